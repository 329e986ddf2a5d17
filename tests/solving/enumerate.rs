//! What the stages of a small program come to, by trying every point.

use crate::points::{Point, holds, must_rows, points};
use tuckwright::program::{Force, Program, Stage};

/// What a stage came to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Outcome {
    Kept,
    Dropped,
    Best(i128),
    Chosen(u32),
    Absent,
}

/// The outcome of each stage, or `None` where the musts conflict.
pub fn solve(program: &Program) -> Option<Vec<Outcome>> {
    let mut left = points(program, &must_rows(program));
    if left.is_empty() {
        return None;
    }
    let mut kept = vec![false; program.instances.len()];
    let mut outcomes = Vec::new();
    for stage in &program.stages {
        outcomes.push(match stage {
            Stage::Keep(id) => {
                let rows = &program.rows[program.instances[id.0 as usize].rows.clone()];
                let keeping: Vec<Point> = left
                    .iter()
                    .filter(|point| rows.iter().all(|row| holds(row, point)))
                    .cloned()
                    .collect();
                if keeping.is_empty() {
                    Outcome::Dropped
                } else {
                    left = keeping;
                    kept[id.0 as usize] = true;
                    Outcome::Kept
                }
            }
            Stage::Best { objective, .. } => {
                let value = |point: &Point| -> i128 {
                    objective
                        .iter()
                        .map(|&(at, times)| i128::from(times * point.values[at.0 as usize]))
                        .sum()
                };
                let most = left.iter().map(value).max()?;
                left.retain(|point| value(point) == most);
                Outcome::Best(most)
            }
            Stage::Choose(group) => {
                let absent = program.instances.iter().enumerate().any(|(at, instance)| {
                    instance.group == Some(*group) && instance.force == Force::Wish && !kept[at]
                });
                if absent {
                    Outcome::Absent
                } else {
                    let place = group.0 as usize;
                    let first = left.iter().map(|point| point.taken[place]).min()?;
                    left.retain(|point| point.taken[place] == first);
                    Outcome::Chosen(first)
                }
            }
        });
    }
    Some(outcomes)
}
