//! A program of known structure, solved again and again with other right sides.
//!
//! The first stages tie a whole album together and are settled on the whole program. What they
//! settled is a number in the rows of the rest, which then falls into parts that no row ties
//! together: each is a small program, and equal ones are solved once. A part's answer is a function
//! of the part alone, so what is remembered, and by whom, never shows. Every answer was proved and
//! replayed when it was found; the whole is tested row by row once more.

mod memory;
mod parts;

pub use memory::{Counts, Memory};
pub use parts::Apart;

use super::extent::Extent;
use super::limits::Limits;
use super::solution::{Certificate, Held, Solution, StageOutcome, Verdict};
use super::stages::Run;
use super::{open, solve_as_far};
use crate::solve::program::{GroupId, Guard, InstanceId, Program, Row, Stage, Unknown, UnknownId};
use memory::Small;
use parts::Part;

/// What became of a program.
#[derive(Clone, Debug)]
pub enum Answered {
    /// It fits and is proved best.
    Best(Settled),
    /// It was solved as a whole: it does not fit, or a limit was met.
    Whole(Box<Solution>),
}

/// A plan, proved best.
#[derive(Clone, Debug)]
pub struct Settled {
    /// One for each unknown (ticks).
    pub values: Vec<i64>,
    /// The alternative of each group; `None` where the group belongs to a wish that is not kept.
    pub taken: Vec<Option<u32>>,
    /// Of each instance, whether it holds; every must does.
    pub kept: Vec<bool>,
    /// Of the stages that were settled beside what is told; [`StageOutcome::Absent`] for all others.
    pub stages: Vec<StageOutcome>,
    /// Of each size that is to be told, why it stops where it does.
    pub held: Vec<(UnknownId, Held)>,
    /// What [`Held::certificate`] and the stages count in.
    pub certificates: Vec<Certificate>,
}

/// Solves a program that was taken apart, its right sides aside; `told` are the sizes whose reasons
/// are told, ascending. `known` distinguishes programs of other structure in one memory.
///
/// It gives what [`solve`](super::solve) gives.
#[must_use]
pub fn solve_apart(
    program: &Program,
    apart: &Apart,
    told: &[UnknownId],
    (memory, known): (&Memory, i64),
    limits: &Limits,
) -> Answered {
    let extent = Extent::Of(told.to_vec());
    let whole = || {
        memory.count([1, 1, 0, 0]);
        Answered::Whole(Box::new(solve_as_far(program, limits, &extent)))
    };
    let mut run = match open(program, limits, &extent) {
        Ok(run) => run,
        Err(solution) => {
            memory.count([1, 0, 0, 0]);
            return Answered::Whole(solution);
        }
    };
    if !told.is_empty() {
        // As it stands, it holds the musts alone.
        run.grounds.lay(run.book.clone());
    }
    let first = (0..program.first_stages).map(|at| run.stage(at));
    let first: Vec<StageOutcome> = first.collect();
    let unsettled = |it: &StageOutcome| matches!(it, StageOutcome::Unsettled { .. });
    if first.iter().any(unsettled) || !run.met.is_empty() || !run.first_is_settled() {
        return whole();
    }
    let mut kept: Vec<Option<InstanceId>> = vec![None; program.stages.len()];
    for (at, instance) in &apart.plain {
        if holds(program, *instance, &run.witness.values, &run.witness.taken) == Some(true) {
            kept[*at] = Some(*instance);
        }
    }
    let mut key = Vec::new();
    let (mut asked, mut anew) = (0, 0);
    let here = apart.stages_with(told);
    for (at, part) in apart.parts.iter().enumerate() {
        if part.stages.iter().any(|at| here[*at]) {
            continue;
        }
        key.clear();
        key.extend([known, at as i64]);
        let Some(()) = part.right_sides(program, &run, &mut key) else {
            return whole();
        };
        asked += 1;
        let small = match memory.recall(&key) {
            Some(small) => small,
            None => {
                anew += 1;
                match part.solve(&key[2..], limits) {
                    Some(small) => memory.keep(&key, small),
                    None => return whole(),
                }
            }
        };
        part.adopt(&small, &mut run, &mut kept);
    }
    // What is told of is settled in its place, as in the whole program: a reason may lie in an
    // earlier preference, or in a wish of another part.
    let mut stages = first;
    for (at, kept) in kept.into_iter().enumerate().skip(program.first_stages) {
        let mut outcome = StageOutcome::Absent;
        if here[at] {
            outcome = run.stage(at);
        } else if let Some(instance) = kept {
            run.kept[instance.0 as usize] = true;
            run.grounds.kept.push(instance);
        }
        stages.push(outcome);
    }
    match settled(run, stages, told) {
        Some(settled) => {
            memory.count([1, 0, asked, anew]);
            Answered::Best(settled)
        }
        None => whole(),
    }
}

/// Tests the whole and reads it off; nothing where a limit was met.
fn settled(run: Run<'_>, stages: Vec<StageOutcome>, told: &[UnknownId]) -> Option<Settled> {
    let program = run.program;
    let witness = &run.witness;
    let within =
        |(unknown, value): (&Unknown, &i64)| (unknown.least..=unknown.most).contains(value);
    let bounded = program.unknowns.iter().zip(&witness.values).all(within);
    let kept = run.kept.iter().enumerate().filter(|(_, kept)| **kept);
    let mut kept = kept.map(|(at, _)| InstanceId(at as u32));
    let all_hold = kept.all(|id| holds(program, id, &witness.values, &witness.taken) == Some(true));
    if !bounded || !all_hold || !run.met.is_empty() {
        return None;
    }
    let held = told
        .iter()
        .map(|id| Some((*id, run.held_by[id.0 as usize].clone()?)));
    let held = held.collect::<Option<_>>()?;
    let taken = run.witness.taken.iter().enumerate().map(|(at, taken)| {
        let owner = run.owners.wish_of_group(GroupId(at as u32));
        owner.is_none_or(|wish| run.kept[wish]).then_some(*taken)
    });
    Some(Settled {
        taken: taken.collect(),
        values: run.witness.values,
        kept: run.kept,
        stages,
        held,
        certificates: run.certificates,
    })
}

/// Whether every row of an instance holds; nothing where numbers grow too large.
fn holds(program: &Program, id: InstanceId, values: &[i64], taken: &[u32]) -> Option<bool> {
    let instance = program.instances.get(id.0 as usize)?;
    for row in program.rows.get(instance.rows.clone())? {
        let in_force = |it: &Guard| taken.get(it.group.0 as usize) == Some(&it.alternative);
        if row.guards.iter().all(in_force) && value(row, values)? > i128::from(row.most) {
            return Some(false);
        }
    }
    Some(true)
}

fn value(row: &Row, values: &[i64]) -> Option<i128> {
    row.terms.iter().try_fold(0i128, |sum, (id, times)| {
        let value = i128::from(*values.get(id.0 as usize)?);
        sum.checked_add(i128::from(*times).checked_mul(value)?)
    })
}

impl Part {
    /// The right side of each row, once what the first stages settled is a number. A row under an
    /// alternative that was not taken asks nothing.
    fn right_sides(&self, program: &Program, run: &Run<'_>, sides: &mut Vec<i64>) -> Option<()> {
        for (&row, here) in self.rows.iter().zip(&self.program.rows) {
            let row = &program.rows[row];
            let left_out = row.guards.iter().any(|it| {
                !self.groups.contains(&it.group)
                    && run.witness.taken[it.group.0 as usize] != it.alternative
            });
            if left_out {
                sides.push(i64::MAX);
                continue;
            }
            let mut most = row.most;
            if here.terms.len() < row.terms.len() {
                for (id, times) in &row.terms {
                    if self.unknowns.binary_search(id).is_err() {
                        let settled = run.witness.values[id.0 as usize];
                        most = most.checked_sub(times.checked_mul(settled)?)?;
                    }
                }
            }
            // Without unknowns it holds or it does not.
            sides.push(if here.terms.is_empty() {
                most.clamp(-1, 0)
            } else {
                most
            });
        }
        Some(())
    }

    /// The answer with these right sides; nothing where it is not proved best.
    fn solve(&self, sides: &[i64], limits: &Limits) -> Option<Small> {
        let mut program = self.program.clone();
        for (row, most) in program.rows.iter_mut().zip(sides) {
            row.most = *most;
        }
        let solution = solve_as_far(&program, limits, &Extent::Of(Vec::new()));
        if solution.verdict != Verdict::FitsBest {
            return None;
        }
        let kept = solution.stages.iter();
        Some(Small {
            kept: kept.map(|it| *it == StageOutcome::Kept).collect(),
            values: solution.values,
            taken: solution.taken,
        })
    }

    fn adopt(&self, small: &Small, run: &mut Run<'_>, kept: &mut [Option<InstanceId>]) {
        for (id, value) in self.unknowns.iter().zip(&small.values) {
            run.witness.values[id.0 as usize] = *value;
        }
        for (id, taken) in self.groups.iter().zip(&small.taken) {
            if let Some(taken) = taken {
                run.witness.taken[id.0 as usize] = *taken;
            }
        }
        for (&stage, is_kept) in self.stages.iter().zip(&small.kept) {
            if let (Stage::Keep(id), true) = (&run.program.stages[stage], is_kept) {
                kept[stage] = Some(*id);
            }
        }
    }
}
