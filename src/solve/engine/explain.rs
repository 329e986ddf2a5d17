//! From a failure back to the changes that it rests on.

use super::{DECISION, Engine, Entry, NO_ENTRY, bound_literal, low_side};
use crate::solve::problem::Side;
use crate::solve::proof::Step;
use std::collections::BinaryHeap;

/// A set of literals.
#[derive(Clone, Debug, Default)]
pub(in crate::solve) struct Literals(Vec<u64>);

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

    pub(super) fn iter(&self) -> impl Iterator<Item = u32> + '_ {
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

impl Engine {
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

    pub(super) fn add_changed(&self, literal: u32, needed: &mut Literals) {
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
