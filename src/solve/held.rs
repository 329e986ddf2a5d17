//! Why an unknown stops where it does: an irreducible reason against one tick more.
//!
//! "Zero slack" would be the wrong question: rounding hides it. The question asked is whether the
//! next tick can be reached, first beside the musts alone, then beside the kept wishes too, then
//! beside the earlier preferences; so a must is named where a must suffices.

use super::conflict;
use super::limits::Limits;
use super::problem::Row;
use super::solution::{Claim, Held, Holder, Origin};
use super::stages::{Run, at_least};
use crate::program::{Force, GroupId, InstanceId, Program, UnknownId};
use std::collections::BTreeMap;
use std::time::Duration;

/// One deletion question works on a few rows; this is plenty.
const LIMITS: Limits = Limits {
    nodes: 2_000,
    clock: Duration::from_secs(2),
    clock_in_all: Duration::from_secs(2),
};

/// Which instance each row and each group belongs to.
#[derive(Clone, Debug)]
pub(super) struct Owners {
    rows: Vec<Option<InstanceId>>,
    wish_of_group: Vec<Option<u32>>,
    is_wish: Vec<bool>,
}

impl Owners {
    pub fn new(program: &Program) -> Self {
        let mut owners = Self {
            rows: vec![None; program.rows.len()],
            wish_of_group: vec![None; program.groups.len()],
            is_wish: Vec::with_capacity(program.instances.len()),
        };
        for (at, instance) in program.instances.iter().enumerate() {
            let wish = instance.force == Force::Wish;
            owners.is_wish.push(wish);
            for row in instance.rows.clone() {
                if let Some(place) = owners.rows.get_mut(row) {
                    *place = Some(InstanceId(at as u32));
                }
            }
            if let (true, Some(group)) = (wish, instance.group)
                && let Some(place) = owners.wish_of_group.get_mut(group.0 as usize)
            {
                *place = Some(at as u32);
            }
        }
        owners
    }

    pub fn of_row(&self, row: usize) -> Option<InstanceId> {
        self.rows.get(row).copied().flatten()
    }

    pub fn is_must(&self, row: usize) -> bool {
        self.of_row(row)
            .is_none_or(|instance| !self.is_wish[instance.0 as usize])
    }

    /// The wish that a group belongs to, as a place among the instances.
    pub fn wish_of_group(&self, group: GroupId) -> Option<usize> {
        let wish = self.wish_of_group.get(group.0 as usize).copied().flatten();
        wish.map(|at| at as usize)
    }

    fn holder(&self, origin: Origin) -> Option<Holder> {
        match origin {
            Origin::Row(row) => Some(
                self.of_row(row.0 as usize)
                    .map_or(Holder::Row(row), Holder::Instance),
            ),
            Origin::Optimum { stage } | Origin::Choice { stage } => Some(Holder::Stage(stage)),
            Origin::Assumed => None,
        }
    }

    /// The larger, the sooner it is left out: later preferences, then wishes, then musts.
    fn rank(&self, holder: Holder) -> (u32, usize) {
        match holder {
            Holder::Stage(stage) => (3, stage),
            Holder::Instance(id) if self.is_wish[id.0 as usize] => (2, id.0 as usize),
            Holder::Instance(id) => (1, id.0 as usize),
            Holder::Row(id) => (1, id.0 as usize),
            Holder::Bound => (0, 0),
        }
    }
}

impl Run<'_> {
    /// Explains why `unknown`, at its value in the witness, is not one tick better. `proved` is
    /// the certificate of the stage that settled it.
    pub fn held(
        &mut self,
        stage: usize,
        unknown: u32,
        larger: bool,
        proved: Option<usize>,
    ) -> Option<Held> {
        let value = self.witness.values[unknown as usize];
        let better = if larger {
            at_least(&[(unknown, 1)], value.checked_add(1)?).ok()?
        } else {
            Row::new([(unknown, 1)], value.checked_sub(1)?)?
        };
        let claim = Claim::Held {
            unknown: UnknownId(unknown),
        };
        let mut simple = None;
        for book in [&mut self.musts, &mut self.wishes] {
            let mark = book.mark();
            book.push(better.clone(), Origin::Assumed).ok()?;
            let proof = book.solver.refute();
            simple = proof.and_then(|proof| book.certify(claim, proof));
            book.undo(mark);
            if simple.is_some() {
                break;
            }
        }
        let from = match simple {
            Some(certificate) => certificate,
            None => self.certificates.get(proved?)?.clone(),
        };

        let mut members: BTreeMap<Holder, Vec<u32>> = BTreeMap::new();
        let mut background = Vec::new();
        for (row, &origin) in from.origins.iter().enumerate() {
            match self.owners.holder(origin) {
                Some(holder) => members.entry(holder).or_default().push(row as u32),
                None => background.push(row as u32),
            }
        }
        let (names, members): (Vec<Holder>, Vec<Vec<u32>>) = members.into_iter().unzip();
        let mut order: Vec<usize> = (0..names.len()).collect();
        order.sort_by_key(|&at| std::cmp::Reverse(self.owners.rank(names[at])));
        let core =
            conflict::irreducible(&from.problem, &members, &background, &order, &LIMITS).ok()?;
        let small = super::certificate::cut_out(claim, &from.problem, &from.origins, core.proof)?;
        // The second cut numbers by the first one's numbers.
        let small = super::solution::Certificate {
            unknowns: small
                .unknowns
                .iter()
                .map(|at| from.unknowns[at.0 as usize])
                .collect(),
            groups: small
                .groups
                .iter()
                .map(|at| from.groups[at.0 as usize])
                .collect(),
            ..small
        };
        let certificate = self.certify(Some(small)).ok()?;
        let mut holders: Vec<Holder> = core.members.iter().map(|&at| names[at]).collect();
        if holders.is_empty() {
            holders.push(Holder::Bound);
        }
        Some(Held {
            stage,
            larger,
            holders,
            irreducible: core.proved_minimal,
            certificate,
        })
    }
}
