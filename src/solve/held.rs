//! Why an unknown stops where it does: an irreducible reason against one tick more.
//!
//! "Zero slack" would be the wrong question: rounding hides it. The question asked is whether the
//! next tick can be reached, first beside the musts alone, then beside the kept wishes too, then
//! beside the earlier preferences; so a must is named where a must suffices.

use super::book::Book;
use super::certificate::Excerpt;
use super::conflict;
use super::limits::{Limits, Why};
use super::problem::Row;
use super::proof::{Proof, rows_used};
use super::solution::{Certificate, Claim, Held, Holder, Origin};
use super::stages::{Run, at_least, row_of};
use crate::program::{Force, GroupId, InstanceId, Program, UnknownId};
use std::time::Duration;

/// One deletion question works on a few rows; this is plenty.
const NODES: u64 = 2_000;
const CLOCK: Duration = Duration::from_secs(2);

/// Which instance each row and each group belongs to.
#[derive(Clone, Debug)]
pub(super) struct Owners {
    rows: Vec<Option<InstanceId>>,
    wish_of_group: Vec<Option<u32>>,
    is_wish: Vec<bool>,
    ranges: Vec<std::ops::Range<usize>>,
}

impl Owners {
    pub fn new(program: &Program) -> Self {
        let mut owners = Self {
            rows: vec![None; program.rows.len()],
            wish_of_group: vec![None; program.groups.len()],
            is_wish: Vec::with_capacity(program.instances.len()),
            ranges: program.instances.iter().map(|it| it.rows.clone()).collect(),
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

    /// The program rows of an instance.
    pub fn rows_of(&self, instance: InstanceId) -> std::ops::Range<usize> {
        self.ranges
            .get(instance.0 as usize)
            .cloned()
            .unwrap_or(0..0)
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

    /// The holders of some rows, each once.
    pub fn holders(&self, origins: &[Origin]) -> Vec<Holder> {
        let mut names: Vec<Holder> = origins.iter().filter_map(|it| self.holder(*it)).collect();
        names.sort_unstable();
        names.dedup();
        names
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

/// What a size may be held by before any preference: the musts alone, then the kept wishes too.
/// Laid out when the first explanation is asked for.
#[derive(Debug, Default)]
pub(super) struct Grounds {
    /// Wishes in the order in which they were kept.
    pub kept: Vec<InstanceId>,
    musts: Option<Book>,
    /// And how many of the kept wishes are in it.
    wishes: Option<(Book, usize)>,
}

impl Grounds {
    /// Takes a book in which the musts, and nothing else, were propagated.
    pub fn lay(&mut self, musts: Book) {
        self.musts = Some(musts);
    }

    fn musts(&mut self, program: &Program, owners: &Owners) -> Result<&mut Book, Why> {
        let musts = match self.musts.take() {
            Some(book) => book,
            None => {
                let mut book = Book::open(program, |row| owners.is_must(row))?;
                book.settle()?;
                book
            }
        };
        Ok(self.musts.insert(musts))
    }

    fn wishes(&mut self, program: &Program, owners: &Owners) -> Result<&mut Book, Why> {
        let (mut book, from) = match self.wishes.take() {
            Some(before) => before,
            None => (self.musts(program, owners)?.clone(), 0),
        };
        for id in &self.kept[from..] {
            for at in owners.rows_of(*id) {
                let (row, origin) = row_of(program, at)?;
                book.push(row, origin)?;
            }
            book.settle()?;
        }
        Ok(&mut self.wishes.insert((book, self.kept.len())).0)
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
