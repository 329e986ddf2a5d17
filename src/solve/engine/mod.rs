//! A problem with its present bounds and open alternatives, and the trail that led there.
//!
//! A *literal* numbers one thing that can be tightened: each unknown's two bounds, then each
//! alternative of each group. Every change of a literal is an [`Entry`] of the trail, linked to
//! the entry before it on the same literal. [`propagate`] makes changes; [`explain`] finds, for
//! any failure, the entries that it rests on and no others.

mod explain;
mod propagate;

pub(super) use explain::Literals;
pub(super) use propagate::Standing;

use super::problem::{Bounds, Problem, ProblemError, Row, Side};
use std::collections::VecDeque;

/// The reason of a branching decision.
const DECISION: u32 = u32::MAX;
const NO_ENTRY: u32 = u32::MAX;

#[derive(Clone, Copy, Debug)]
struct Entry {
    literal: u32,
    old: i64,
    new: i64,
    reason: u32,
    /// The entry before this one on the same literal.
    before: u32,
}

/// A problem with its present bounds and open alternatives.
#[derive(Clone, Debug)]
pub(super) struct Engine {
    problem: Problem,
    bounds: Vec<Bounds>,
    open: Vec<bool>,
    open_count: Vec<u32>,
    /// First literal of each group.
    group_start: Vec<u32>,
    /// Group of each alternative literal, from the first one on.
    group_of: Vec<u32>,
    /// By bound literal: the rows whose smallest sum rests on it. By alternative literal: the rows
    /// that it guards.
    watch: Vec<Vec<u32>>,
    enabled: Vec<bool>,
    trail: Vec<Entry>,
    last: Vec<u32>,
    queue: VecDeque<u32>,
    queued: Vec<bool>,
    changes: Vec<(u32, u32)>,
    run: u32,
    creeping: bool,
    /// Unknowns that took part where the last run of propagation left bounds creeping; sorted.
    pub crept: Vec<u32>,
}

/// The literal of an unknown's bound.
pub(super) fn bound_literal(unknown: u32, side: Side) -> u32 {
    2 * unknown + u32::from(side == Side::Most)
}

/// The bound at which `coefficient * unknown` is smallest.
fn low_side(coefficient: i64) -> Side {
    if coefficient > 0 {
        Side::Least
    } else {
        Side::Most
    }
}

impl Engine {
    pub fn new(problem: Problem) -> Self {
        let unknowns = problem.unknowns().len() as u32;
        let mut group_start = Vec::with_capacity(problem.groups().len());
        let mut group_of = Vec::new();
        for (group, &count) in problem.groups().iter().enumerate() {
            group_start.push(2 * unknowns + group_of.len() as u32);
            group_of.extend((0..count).map(|_| group as u32));
        }
        let literals = 2 * unknowns as usize + group_of.len();
        let mut engine = Self {
            bounds: problem.unknowns().to_vec(),
            open: vec![true; group_of.len()],
            open_count: problem.groups().to_vec(),
            group_start,
            group_of,
            watch: Vec::new(),
            enabled: Vec::with_capacity(problem.rows().len()),
            trail: Vec::new(),
            last: vec![NO_ENTRY; literals],
            queue: VecDeque::with_capacity(problem.rows().len()),
            queued: Vec::with_capacity(problem.rows().len()),
            changes: vec![(0, 0); literals],
            run: 0,
            creeping: false,
            crept: Vec::new(),
            problem,
        };
        let mut watched = vec![0; literals];
        for row in engine.problem.rows() {
            engine.literals_of(row, |literal| watched[literal as usize] += 1);
        }
        // Room for a few rows more, which questions add.
        let room = |count: usize| Vec::with_capacity(count + 2);
        engine.watch = watched.into_iter().map(room).collect();
        for row in 0..engine.problem.rows().len() as u32 {
            engine.enter(row);
        }
        engine
    }

    pub fn problem(&self) -> &Problem {
        &self.problem
    }

    pub fn bounds(&self, unknown: u32) -> Bounds {
        self.bounds[unknown as usize]
    }

    pub fn is_fixed(&self, unknown: u32) -> bool {
        let bounds = self.bounds[unknown as usize];
        bounds.least == bounds.most
    }

    pub fn is_decided(&self, group: u32) -> bool {
        self.open_count[group as usize] == 1
    }

    pub fn open_count(&self, group: u32) -> u32 {
        self.open_count[group as usize]
    }

    pub fn is_open(&self, group: u32, alternative: u32) -> bool {
        self.open[self.alternative_place(group, alternative)]
    }

    /// The alternatives of a group that are not struck, in order.
    pub fn open_alternatives(&self, group: u32) -> impl Iterator<Item = u32> + '_ {
        (0..self.problem.groups()[group as usize]).filter(move |&at| self.is_open(group, at))
    }

    pub fn is_enabled(&self, row: u32) -> bool {
        self.enabled[row as usize]
    }

    /// Rows in which an unknown occurs.
    pub fn rows_of_unknown(&self, unknown: u32) -> impl Iterator<Item = u32> + '_ {
        let at = 2 * unknown as usize;
        self.watch[at].iter().chain(&self.watch[at + 1]).copied()
    }

    /// Rows that some alternative of a group guards.
    pub fn rows_of_group(&self, group: u32) -> impl Iterator<Item = u32> + '_ {
        let from = self.group_start[group as usize] as usize;
        let count = self.problem.groups()[group as usize] as usize;
        self.watch[from..from + count].iter().flatten().copied()
    }

    pub fn alternative_literal(&self, group: u32, alternative: u32) -> u32 {
        self.group_start[group as usize] + alternative
    }

    fn alternative_place(&self, group: u32, alternative: u32) -> usize {
        self.alternative_literal(group, alternative) as usize - 2 * self.bounds.len()
    }

    /// Adds a row, to be propagated by the next run.
    pub fn push_row(&mut self, row: Row) -> Result<u32, ProblemError> {
        let id = self.problem.push_row(row)?;
        self.enter(id);
        Ok(id)
    }

    /// The literals that a row rests on.
    fn literals_of(&self, row: &Row, mut visit: impl FnMut(u32)) {
        for &(unknown, coefficient) in &row.terms {
            visit(bound_literal(unknown, low_side(coefficient)));
        }
        for &(group, alternative) in &row.guards {
            visit(self.group_start[group as usize] + alternative);
        }
    }

    fn enter(&mut self, id: u32) {
        let row = &self.problem.rows()[id as usize];
        for &(unknown, coefficient) in &row.terms {
            self.watch[bound_literal(unknown, low_side(coefficient)) as usize].push(id);
        }
        for &(group, alternative) in &row.guards {
            self.watch[(self.group_start[group as usize] + alternative) as usize].push(id);
        }
        self.enabled.push(true);
        self.queued.push(false);
        self.wake(id);
    }

    /// Takes the last rows away; what they changed must have been undone before.
    pub fn pop_rows(&mut self, count: usize) {
        while self.problem.rows().len() > count {
            let Some(row) = self.problem.pop_row() else {
                return;
            };
            for &(unknown, coefficient) in &row.terms {
                self.watch[bound_literal(unknown, low_side(coefficient)) as usize].pop();
            }
            for &(group, alternative) in &row.guards {
                self.watch[(self.group_start[group as usize] + alternative) as usize].pop();
            }
            self.enabled.pop();
            self.queued.pop();
        }
        self.queue.retain(|&row| (row as usize) < count);
    }

    /// Starts afresh with only these rows.
    pub fn restart(&mut self, enabled: &[bool]) {
        self.undo(0);
        self.enabled.copy_from_slice(enabled);
        self.forget_queue();
        for row in 0..self.enabled.len() as u32 {
            self.wake(row);
        }
    }

    fn wake(&mut self, row: u32) {
        if self.enabled[row as usize] && !self.queued[row as usize] {
            self.queued[row as usize] = true;
            self.queue.push_back(row);
        }
    }

    fn forget_queue(&mut self) {
        while let Some(row) = self.queue.pop_front() {
            self.queued[row as usize] = false;
        }
    }

    pub fn mark(&self) -> usize {
        self.trail.len()
    }

    /// Takes back every change made after a mark.
    pub fn undo(&mut self, mark: usize) {
        let unknowns = self.bounds.len();
        while self.trail.len() > mark {
            let Some(entry) = self.trail.pop() else {
                return;
            };
            let literal = entry.literal as usize;
            self.last[literal] = entry.before;
            if literal >= 2 * unknowns {
                let place = literal - 2 * unknowns;
                self.open[place] = true;
                self.open_count[self.group_of[place] as usize] += 1;
            } else if literal.is_multiple_of(2) {
                self.bounds[literal / 2].least = entry.old;
            } else {
                self.bounds[literal / 2].most = entry.old;
            }
        }
    }

    fn record(&mut self, literal: u32, old: i64, new: i64, reason: u32) {
        let before = std::mem::replace(&mut self.last[literal as usize], self.trail.len() as u32);
        self.trail.push(Entry {
            literal,
            old,
            new,
            reason,
            before,
        });
    }

    fn set_bound(&mut self, unknown: u32, side: Side, to: i64, reason: u32) {
        let bounds = &mut self.bounds[unknown as usize];
        let place = match side {
            Side::Least => &mut bounds.least,
            Side::Most => &mut bounds.most,
        };
        let old = std::mem::replace(place, to);
        let literal = bound_literal(unknown, side);
        self.record(literal, old, to, reason);
        for at in 0..self.watch[literal as usize].len() {
            self.wake(self.watch[literal as usize][at]);
        }
    }

    fn strike(&mut self, group: u32, alternative: u32, reason: u32) {
        let place = self.alternative_place(group, alternative);
        self.open[place] = false;
        self.open_count[group as usize] -= 1;
        self.record(self.alternative_literal(group, alternative), 1, 0, reason);
        if self.open_count[group as usize] != 1 {
            return;
        }
        let left = self.open_alternatives(group).next();
        if let Some(left) = left {
            let literal = self.alternative_literal(group, left) as usize;
            for at in 0..self.watch[literal].len() {
                self.wake(self.watch[literal][at]);
            }
        }
    }

    /// Assumes a bound that is tighter than the present one.
    pub fn assume_bound(&mut self, unknown: u32, side: Side, to: i64) {
        self.set_bound(unknown, side, to, DECISION);
    }

    /// Assumes that an open alternative is taken.
    pub fn assume_taken(&mut self, group: u32, alternative: u32) {
        for other in 0..self.problem.groups()[group as usize] {
            if other != alternative && self.is_open(group, other) {
                self.strike(group, other, DECISION);
            }
        }
    }
}
