//! Exact bound propagation.

use super::{Engine, bound_literal, low_side};
use crate::solve::problem::{Bounds, Row, Side};
use crate::solve::proof::End;

/// A literal is changed at most so often in one run of propagation; bounds that creep tick by
/// tick are left to the LP and to branching.
const CHANGES_PER_LITERAL: u32 = 32;
/// Where a row stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::solve) enum Standing {
    /// Out of force, or true whatever values remain.
    Settled,
    /// Still to be heeded.
    Live,
}

impl Engine {
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
}
