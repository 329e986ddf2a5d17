//! Why an unknown stops where it does: an irreducible reason against one tick more.
//!
//! "Zero slack" would be the wrong question: rounding hides it. The question asked is whether the
//! next tick can be reached, first beside the musts alone, then beside the kept wishes too, then
//! beside the earlier preferences; so a must is named where a must suffices.

use super::book::Book;
use super::book::at_least;
use super::certificate::Excerpt;
use super::conflict;
use super::limits::Limits;
use super::owners::Owners;
use super::problem::Row;
use super::program::UnknownId;
use super::proof::{Proof, rows_used};
use super::solution::{Certificate, Claim, Held, Holder, Origin};
use super::stages::Run;
use std::time::Duration;

/// One deletion question works on a few rows; this is plenty.
const NODES: u64 = 2_000;
const CLOCK: Duration = Duration::from_secs(2);

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
        let proved = self.certificates.get(proved?)?.origins.clone();
        self.held_on_grounds(stage, unknown, larger).or_else(|| {
            let better = self.better(unknown, larger)?;
            let (claim, limits) = (claim(unknown), few(self.limits));
            let found = reason(
                &mut self.book,
                &better,
                Some(&proved),
                &self.owners,
                (claim, limits),
            );
            self.told(stage, larger, found?)
        })
    }

    /// The same, where the musts or the kept wishes suffice.
    pub fn held_on_grounds(&mut self, stage: usize, unknown: u32, larger: bool) -> Option<Held> {
        let better = self.better(unknown, larger)?;
        let (program, owners) = (self.program, &self.owners);
        let about = (claim(unknown), few(self.limits));
        let musts = self.grounds.musts(program, owners).ok()?;
        let mut found = reason(musts, &better, None, owners, about);
        if found.is_none() {
            let wishes = self.grounds.wishes(program, owners).ok()?;
            found = reason(wishes, &better, None, owners, about);
        }
        self.told(stage, larger, found?)
    }

    /// The row that asks for one tick more, or less.
    fn better(&self, unknown: u32, larger: bool) -> Option<Row> {
        let value = self.witness.values[unknown as usize];
        if larger {
            at_least(&[(unknown, 1)], value.checked_add(1)?).ok()
        } else {
            Row::new([(unknown, 1)], value.checked_sub(1)?)
        }
    }

    fn told(
        &mut self,
        stage: usize,
        larger: bool,
        (core, certificate): (Named, Option<Certificate>),
    ) -> Option<Held> {
        let certificate = self.certify(certificate).ok()?;
        let mut holders = core.holders;
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

fn claim(unknown: u32) -> Claim {
    Claim::Held {
        unknown: UnknownId(unknown),
    }
}

fn few(limits: &Limits) -> Limits {
    Limits {
        nodes: NODES,
        clock: limits.clock.min(CLOCK),
        ..*limits
    }
}

/// An irreducible conflict by name.
pub(super) struct Named {
    pub holders: Vec<Holder>,
    pub proof: Proof,
    pub proved_minimal: bool,
}

/// Reduces the holders among `origins` (and their rows in `book`, all of them) to an irreducible
/// conflict beside the rows assumed. The proof is in the book's numbers.
pub(super) fn named_core(
    book: &Book,
    origins: &[Origin],
    owners: &Owners,
    limits: &Limits,
) -> Option<Named> {
    let names = owners.holders(origins);
    let members: Vec<Vec<u32>> = names
        .iter()
        .map(|&name| book.rows_of(name, owners))
        .collect();
    let assumed = book.rows_assumed();
    let rows = members.iter().flatten().chain(&assumed).copied().collect();
    let small = Excerpt::new(book.solver.engine.problem(), rows, Vec::new(), Vec::new())?;
    let renumbered = |rows: &[u32]| -> Vec<u32> {
        let places = rows
            .iter()
            .filter_map(|row| small.rows.binary_search(row).ok());
        places.map(|at| at as u32).collect()
    };
    let members: Vec<Vec<u32>> = members.iter().map(|rows| renumbered(rows)).collect();
    let background = renumbered(&assumed);
    let mut order: Vec<usize> = (0..names.len()).collect();
    order.sort_by_key(|&at| std::cmp::Reverse(owners.rank(names[at])));
    let core = conflict::irreducible(&small.problem, &members, &background, &order, limits).ok()?;
    Some(Named {
        holders: core.members.iter().map(|&at| names[at]).collect(),
        proof: small.enlarge(core.proof),
        proved_minimal: core.proved_minimal,
    })
}

/// The reason against `better` in a book: the one that `origins` names, or else one that
/// propagation finds.
fn reason(
    book: &mut Book,
    better: &Row,
    origins: Option<&[Origin]>,
    owners: &Owners,
    (claim, limits): (Claim, Limits),
) -> Option<(Named, Option<Certificate>)> {
    let mark = book.mark();
    book.push(better.clone(), Origin::Assumed).ok()?;
    let origins = match origins {
        Some(origins) => Some(origins.to_vec()),
        None => book.solver.refute().map(|proof| {
            let rows = rows_used(&proof);
            rows.iter().map(|&row| book.origins[row as usize]).collect()
        }),
    };
    let named = origins.and_then(|origins| named_core(book, &origins, owners, &limits));
    let found = named.map(|mut named| {
        let proof = std::mem::take(&mut named.proof);
        let certificate = book.certify(claim, proof);
        (named, certificate)
    });
    book.undo(mark);
    found
}
