//! Every point of a small program, one after the other.

use tuckwright::program::{Force, Program, Row, Stage};

#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Point {
    pub values: Vec<i64>,
    pub taken: Vec<u32>,
}

/// What a stage came to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Outcome {
    Kept,
    Dropped,
    Best(i128),
    Chosen(u32),
    Absent,
}

pub fn holds(row: &Row, point: &Point) -> bool {
    let in_force = row
        .guards
        .iter()
        .all(|it| point.taken[it.group.0 as usize] == it.alternative);
    let sum: i64 = row
        .terms
        .iter()
        .map(|&(at, times)| times * point.values[at.0 as usize])
        .sum();
    !in_force || sum <= row.most
}

/// All points that satisfy these rows.
pub fn points(program: &Program, rows: &[&Row]) -> Vec<Point> {
    let mut found = Vec::new();
    let mut point = Point {
        values: program.unknowns.iter().map(|it| it.least).collect(),
        taken: vec![0; program.groups.len()],
    };
    if program.unknowns.iter().any(|it| it.least > it.most) {
        return found;
    }
    loop {
        if rows.iter().all(|row| holds(row, &point)) {
            found.push(point.clone());
        }
        let stepped = (0..point.values.len()).any(|at| {
            if point.values[at] < program.unknowns[at].most {
                point.values[at] += 1;
                true
            } else {
                point.values[at] = program.unknowns[at].least;
                false
            }
        }) || (0..point.taken.len()).any(|at| {
            if (point.taken[at] as usize) + 1 < program.groups[at].alternatives.len() {
                point.taken[at] += 1;
                true
            } else {
                point.taken[at] = 0;
                false
            }
        });
        if !stepped {
            return found;
        }
    }
}

/// Rows of the musts among these instances (all rows that belong to no wish).
pub fn must_rows(program: &Program) -> Vec<&Row> {
    let mut is_must = vec![true; program.rows.len()];
    for instance in &program.instances {
        for row in instance.rows.clone() {
            is_must[row] &= instance.force == Force::Must;
        }
    }
    program
        .rows
        .iter()
        .zip(is_must)
        .filter_map(|(row, must)| must.then_some(row))
        .collect()
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
