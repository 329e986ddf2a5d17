//! Exact bound propagation, with a trail that remembers the row behind every change.
//!
//! A *literal* numbers one thing that can be tightened: each unknown's two bounds, then each
//! alternative of each group. Every change of a literal is an [`Entry`] of the trail, linked to
//! the entry before it on the same literal; from any failure the entries that it rests on, and no
//! others, are found by walking these links back ([`Engine::explain`]).

use super::problem::{Bounds, Problem, ProblemError, Row, Side};
use super::proof::{End, Step};
use std::collections::{BinaryHeap, VecDeque};

/// A literal is changed at most so often in one run of propagation; bounds that creep tick by
/// tick are left to the LP and to branching.
const CHANGES_PER_LITERAL: u32 = 32;

/// The reason of a branching decision.
const DECISION: u32 = u32::MAX;
const NO_ENTRY: u32 = u32::MAX;

/// A set of literals.
#[derive(Clone, Debug, Default)]
pub(super) struct Literals(Vec<u64>);

impl Literals {
    pub fn insert(&mut self, literal: u32) {
        let word = literal as usize / 64;
        if self.0.len() <= word {
            self.0.resize(word + 1, 0);
        }
        self.0[word] |= 1 << (literal % 64);
    }

    /// Takes a literal out; whether it was there.
    pub fn remove(&mut self, literal: u32) -> bool {
        let Some(word) = self.0.get_mut(literal as usize / 64) else {
            return false;
        };
        let bit = 1 << (literal % 64);
        let was = *word & bit != 0;
        *word &= !bit;
        was
    }

    pub fn union(&mut self, other: &Self) {
        if self.0.len() < other.0.len() {
            self.0.resize(other.0.len(), 0);
        }
        for (word, more) in self.0.iter_mut().zip(&other.0) {
            *word |= more;
        }
    }

    fn iter(&self) -> impl Iterator<Item = u32> + '_ {
        self.0.iter().enumerate().flat_map(|(at, &word)| {
            let mut rest = word;
            std::iter::from_fn(move || {
                (rest != 0).then(|| {
                    let bit = rest.trailing_zeros();
                    rest &= rest - 1;
                    at as u32 * 64 + bit
                })
            })
        })
    }
}

#[derive(Clone, Copy, Debug)]
struct Entry {
    literal: u32,
    old: i64,
    new: i64,
    reason: u32,
    /// The entry before this one on the same literal.
    before: u32,
}

/// Where a row stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Standing {
    /// Out of force, or true whatever values remain.
    Settled,
    /// Still to be heeded.
    Live,
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
            watch: vec![Vec::new(); literals],
            enabled: Vec::with_capacity(problem.rows().len()),
            trail: Vec::new(),
            last: vec![NO_ENTRY; literals],
            queue: VecDeque::new(),
            queued: Vec::new(),
            changes: vec![(0, 0); literals],
            run: 0,
            creeping: false,
            crept: Vec::new(),
            problem,
        };
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

    /// What contradicts itself before any row is looked at.
    pub fn empty(&self) -> Option<End> {
        let bounds = self.problem.unknowns();
        if let Some(at) = bounds.iter().position(|bounds| bounds.least > bounds.most) {
            return Some(End::NoValue { unknown: at as u32 });
        }
        let group = self.problem.groups().iter().position(|&count| count == 0)?;
        Some(End::NoAlternative {
            group: group as u32,
        })
    }

    /// Tightens until nothing changes, or nothing but creeping bounds.
    ///
    /// # Errors
    /// The row that is violated.
    pub fn propagate(&mut self) -> Result<(), u32> {
        self.run = self.run.wrapping_add(1);
        self.crept.clear();
        self.creeping = false;
        while let Some(row) = self.queue.pop_front() {
            self.queued[row as usize] = false;
            if !self.visit(row) {
                self.forget_queue();
                return Err(row);
            }
        }
        if self.creeping {
            // One bound of a cycle meets the limit first and stops the others short of it.
            let often =
                |&(run, count): &(u32, u32)| run == self.run && count >= CHANGES_PER_LITERAL / 2;
            let unknowns = (0..self.bounds.len()).filter(|at| {
                let changes = &self.changes[2 * at..2 * at + 2];
                changes.iter().any(often)
            });
            self.crept = unknowns.map(|at| at as u32).collect();
        }
        Ok(())
    }

    /// Smallest sum of a row. It cannot overflow: see [`Problem::push_row`].
    fn minimum(&self, row: &Row) -> i128 {
        row.terms
            .iter()
            .map(|&(unknown, coefficient)| {
                let bounds = self.bounds[unknown as usize];
                let at = match low_side(coefficient) {
                    Side::Least => bounds.least,
                    Side::Most => bounds.most,
                };
                i128::from(coefficient) * i128::from(at)
            })
            .sum()
    }

    /// Propagates one row; false where it is violated.
    fn visit(&mut self, id: u32) -> bool {
        let row = &self.problem.rows()[id as usize];
        let mut waiting = None;
        for &(group, alternative) in &row.guards {
            if !self.is_open(group, alternative) {
                return true;
            }
            if !self.is_decided(group) && waiting.replace((group, alternative)).is_some() {
                return true;
            }
        }
        let slack = i128::from(row.most) - self.minimum(row);
        match waiting {
            Some((group, alternative)) => {
                if slack < 0 {
                    self.strike(group, alternative, id);
                }
                true
            }
            None if slack < 0 => false,
            None => {
                for at in 0..self.problem.rows()[id as usize].terms.len() {
                    let (unknown, coefficient) = self.problem.rows()[id as usize].terms[at];
                    self.tighten(id, unknown, coefficient, slack);
                }
                true
            }
        }
    }

    /// `slack` is not negative, so the new bound lies between the old ones and is an `i64`.
    fn tighten(&mut self, row: u32, unknown: u32, coefficient: i64, slack: i128) {
        let Bounds { least, most } = self.bounds[unknown as usize];
        let width = i128::from(most) - i128::from(least);
        let room = slack / i128::from(coefficient).abs();
        if room >= width {
            return;
        }
        let (side, to) = match low_side(coefficient) {
            Side::Least => (Side::Most, i128::from(least) + room),
            Side::Most => (Side::Least, i128::from(most) - room),
        };
        let changes = &mut self.changes[bound_literal(unknown, side) as usize];
        if changes.0 != self.run {
            *changes = (self.run, 0);
        }
        if changes.1 >= CHANGES_PER_LITERAL {
            self.creeping = true;
            return;
        }
        changes.1 += 1;
        self.set_bound(unknown, side, to as i64, row);
    }

    /// Whether a row must still be heeded.
    pub fn standing(&self, id: u32) -> Standing {
        let row = &self.problem.rows()[id as usize];
        let struck = |&(group, at): &(u32, u32)| !self.is_open(group, at);
        if !self.enabled[id as usize] || row.guards.iter().any(struck) {
            return Standing::Settled;
        }
        let maximum: i128 = row
            .terms
            .iter()
            .map(|&(unknown, coefficient)| {
                let bounds = self.bounds[unknown as usize];
                let at = match low_side(coefficient) {
                    Side::Least => bounds.most,
                    Side::Most => bounds.least,
                };
                i128::from(coefficient) * i128::from(at)
            })
            .sum();
        if maximum <= i128::from(row.most) {
            Standing::Settled
        } else {
            Standing::Live
        }
    }

    /// Whether every guard of a row is taken.
    pub fn in_force(&self, id: u32) -> bool {
        self.enabled[id as usize]
            && self.problem.rows()[id as usize]
                .guards
                .iter()
                .all(|&(group, at)| self.is_decided(group) && self.is_open(group, at))
    }

    /// Calls `want` with every literal that the row rests on when it tightens `except` (or is
    /// violated, or strikes `except`).
    fn antecedents(&self, row: u32, except: u32, mut want: impl FnMut(u32)) {
        let row = &self.problem.rows()[row as usize];
        for &(unknown, coefficient) in &row.terms {
            if except / 2 != unknown {
                want(bound_literal(unknown, low_side(coefficient)));
            }
        }
        for &(group, alternative) in &row.guards {
            if self.alternative_literal(group, alternative) == except {
                continue;
            }
            for other in 0..self.problem.groups()[group as usize] {
                if other != alternative {
                    want(self.alternative_literal(group, other));
                }
            }
        }
    }

    /// The changed literals behind a violated row.
    pub fn behind_violation(&self, row: u32) -> Literals {
        let mut needed = Literals::default();
        self.antecedents(row, u32::MAX, |literal| {
            self.add_changed(literal, &mut needed)
        });
        needed
    }

    /// The changed literals behind a sum of rows in force whose combined coefficients are given.
    pub fn behind_sum(&self, rows: &[(u32, i64)], combined: &[(u32, i128)]) -> Literals {
        let mut needed = Literals::default();
        for &(unknown, coefficient) in combined {
            let side = if coefficient > 0 {
                Side::Least
            } else {
                Side::Most
            };
            self.add_changed(bound_literal(unknown, side), &mut needed);
        }
        for &(row, _) in rows {
            for &(group, alternative) in &self.problem.rows()[row as usize].guards {
                self.add_struck(group, Some(alternative), &mut needed);
            }
        }
        needed
    }

    /// The strikes of a group, but for one alternative.
    pub fn add_struck(&self, group: u32, except: Option<u32>, needed: &mut Literals) {
        for other in 0..self.problem.groups()[group as usize] {
            if Some(other) != except {
                self.add_changed(self.alternative_literal(group, other), needed);
            }
        }
    }

    fn add_changed(&self, literal: u32, needed: &mut Literals) {
        if self.last[literal as usize] != NO_ENTRY {
            needed.insert(literal);
        }
    }

    /// The steps made from a mark on that `needed` rests on, in order. `needed` becomes what they
    /// rest on in turn: literals changed before the mark.
    pub fn explain(&self, needed: &mut Literals, from: usize) -> Vec<Step> {
        let mut heap: BinaryHeap<u32> = BinaryHeap::new();
        let mut below = Literals::default();
        let mut want = |literal: u32, until: u32, heap: &mut BinaryHeap<u32>| {
            let mut at = self.last[literal as usize];
            while at != NO_ENTRY && at >= until {
                at = self.trail[at as usize].before;
            }
            if at != NO_ENTRY {
                if at as usize >= from {
                    heap.push(at);
                } else {
                    below.insert(literal);
                }
            }
        };
        for literal in needed.iter() {
            want(literal, NO_ENTRY, &mut heap);
        }
        let mut steps = Vec::new();
        while let Some(at) = heap.pop() {
            while heap.peek() == Some(&at) {
                heap.pop();
            }
            let entry = self.trail[at as usize];
            if entry.reason == DECISION {
                // Decisions stand before the mark; none can be met here.
                continue;
            }
            steps.push(self.as_step(entry));
            let except = entry.literal;
            self.antecedents(entry.reason, except, |literal| want(literal, at, &mut heap));
        }
        steps.reverse();
        *needed = below;
        steps
    }

    fn as_step(&self, entry: Entry) -> Step {
        let unknowns = self.bounds.len() as u32;
        if entry.literal >= 2 * unknowns {
            let group = self.group_of[(entry.literal - 2 * unknowns) as usize];
            Step::Strike {
                row: entry.reason,
                group,
                alternative: entry.literal - self.group_start[group as usize],
            }
        } else {
            Step::Bound {
                row: entry.reason,
                unknown: entry.literal / 2,
                side: if entry.literal.is_multiple_of(2) {
                    Side::Least
                } else {
                    Side::Most
                },
                to: entry.new,
            }
        }
    }
}
