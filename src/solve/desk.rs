//! One part of a program, asked again and again with other members in it.
//!
//! A *member* is some rows that are in or out together; the background is always in. Members that
//! most questions share are laid down and propagated once. Every failure names the members that
//! its proof used; every answer was accepted by `check`.

use super::book::{Book, Bookmark};
use super::check;
use super::limits::{Limits, Meter, Why};
use super::problem::Hint;
use super::problem::{Row, Witness};
use super::proof::rows_used;
use super::scope::Scope;
use super::search::Reply;
use super::solution::{Certificate, Claim, Origin};
use crate::solve::program::Program;

/// Belongs to no member.
const NOBODY: u32 = u32::MAX;

/// Search nodes for a question about a price: a sum over many things is the hardest question there
/// is, and the sets of changes are of use without it. Once one met this limit, the next get less.
const PRICE_NODES: u64 = 1_000;
const LATER_PRICE_NODES: u64 = 60;

/// The answer to a question. Lists of members are ascending.
pub(super) enum Told {
    /// Values for the whole book.
    Holds(Witness),
    Fails(Refuted),
    Unsettled(Why),
}

/// Members that fail beside the background, which may be none.
pub(super) struct Refuted {
    pub members: Vec<u32>,
    pub certificate: Certificate,
}

/// What all desks of one answer share.
#[derive(Clone, Copy)]
pub(super) struct Terms<'a> {
    pub program: &'a Program,
    pub limits: &'a Limits,
}

pub(super) struct Desk<'a> {
    terms: Terms<'a>,
    book: Book,
    members: Vec<Vec<(Row, Origin)>>,
    scope: Scope,
    claim: Claim,
    /// The member of each row of the book.
    owners: Vec<u32>,
    floor: Bookmark,
    top: Bookmark,
    /// Members laid down between floor and top.
    laid: Vec<u32>,
    /// Values outside the scope, and where to look first within it.
    pub near: Witness,
    /// Unknowns of the scope that are looked for where they are small.
    pub small: Vec<u32>,
    pub questions: u64,
    price_nodes: u64,
}

/// Whether all of one ascending list is in another.
pub(super) fn is_within(few: &[u32], many: &[u32]) -> bool {
    few.iter().all(|at| many.binary_search(at).is_ok())
}

/// An ascending list without what is in another.
pub(super) fn without(list: &[u32], left_out: &[u32]) -> Vec<u32> {
    let stays = |at: &&u32| left_out.binary_search(at).is_err();
    list.iter().filter(stays).copied().collect()
}

impl<'a> Desk<'a> {
    /// A desk over the rows that a book holds already, which are the background: they were
    /// propagated, and `near` satisfies what of them lies outside `scope`.
    pub fn new(
        terms: Terms<'a>,
        book: Book,
        members: Vec<Vec<(Row, Origin)>>,
        scope: Scope,
        claim: Claim,
        near: Witness,
    ) -> Self {
        let mark = book.mark();
        Self {
            terms,
            owners: vec![NOBODY; book.origins.len()],
            book,
            members,
            scope,
            claim,
            floor: mark,
            top: mark,
            laid: Vec::new(),
            near,
            small: Vec::new(),
            questions: 0,
            price_nodes: PRICE_NODES,
        }
    }

    /// The book back, as it was given.
    pub fn close(mut self) -> Book {
        self.book.undo(self.floor);
        self.book
    }

    pub fn all(&self) -> Vec<u32> {
        (0..self.members.len() as u32).collect()
    }

    /// Adds a row to the background; [`Desk::take_back`] takes it away. What it claims is claimed
    /// beside this row.
    pub fn assume(&mut self, row: Row) -> Result<Bookmark, Why> {
        self.clear();
        let before = self.floor;
        self.book.push(row, Origin::Assumed)?;
        self.owners.push(NOBODY);
        if self.book.solver.engine.propagate().is_err() {
            // Its caller has values that satisfy it.
            self.undo(before);
            return Err(Why::Refused);
        }
        self.floor = self.book.mark();
        self.top = self.floor;
        Ok(before)
    }

    pub fn take_back(&mut self, before: Bookmark) {
        self.undo(before);
        self.laid.clear();
        self.floor = before;
        self.top = before;
    }

    fn undo(&mut self, mark: Bookmark) {
        self.book.undo(mark);
        self.owners.truncate(self.book.origins.len());
    }

    fn clear(&mut self) {
        self.undo(self.floor);
        self.laid.clear();
        self.top = self.floor;
    }

    /// Lays members down for the questions that follow; those that leave one of them out clear
    /// the desk again. Members that propagation refutes are not laid down.
    pub fn lay(&mut self, members: &[u32]) {
        if self.laid == members {
            return;
        }
        self.clear();
        let settled =
            self.push_members(members).is_ok() && self.book.solver.engine.propagate().is_ok();
        if settled {
            self.top = self.book.mark();
            self.laid = members.to_vec();
        } else {
            self.undo(self.floor);
        }
    }

    fn push_members(&mut self, members: &[u32]) -> Result<(), Why> {
        for &member in members {
            let rows = self.members.get(member as usize).ok_or(Why::Malformed)?;
            for (row, origin) in rows {
                self.book.push(row.clone(), *origin)?;
                self.owners.push(member);
            }
        }
        Ok(())
    }

    /// Whether these members can hold beside the background.
    pub fn ask(&mut self, members: &[u32]) -> Told {
        self.ask_with(members, None, self.claim)
    }

    /// The same with one more row, and with what its failure claims. The unknowns of that row are
    /// looked for where it is smallest.
    pub fn ask_with(&mut self, members: &[u32], row: Option<Row>, claim: Claim) -> Told {
        if !is_within(&self.laid, members) {
            self.clear();
        }
        let told = self.ask_above(members, row, claim);
        self.undo(self.top);
        told.unwrap_or_else(Told::Unsettled)
    }

    fn ask_above(&mut self, members: &[u32], row: Option<Row>, claim: Claim) -> Result<Told, Why> {
        if self.terms.limits.is_over() {
            return Err(Why::Clock);
        }
        self.questions += 1;
        self.push_members(&without(members, &self.laid))?;
        let solver = &mut self.book.solver;
        for &unknown in &self.scope.unknowns {
            solver.hints[unknown as usize] = Hint::At(self.near.values[unknown as usize]);
        }
        for &group in &self.scope.groups {
            solver.favoured[group as usize] = self.near.taken[group as usize];
        }
        for &unknown in &self.small {
            solver.hints[unknown as usize] = Hint::Least;
        }
        let mut limits = *self.terms.limits;
        let is_price = row.is_some();
        if let Some(row) = row {
            limits.nodes = limits.nodes.min(self.price_nodes);
            for &(unknown, times) in &row.terms {
                solver.hints[unknown as usize] = if times > 0 { Hint::Least } else { Hint::Most };
            }
            self.book.push(row, Origin::Assumed)?;
            self.owners.push(NOBODY);
        }
        let mut scope = self.scope.clone();
        let last = self.book.origins.len() as u32;
        let from = scope.rows.last().map_or(0, |&row| row + 1);
        let added = (from..last).filter(|&row| self.is_added(row));
        scope.rows.extend(added);
        let mut meter = Meter::new(&limits);
        match self.book.solver.ask(&scope, self.top.trail, &mut meter) {
            Reply::Holds => self.witness().map(Told::Holds),
            Reply::Unsettled(why) => {
                if is_price {
                    self.price_nodes = LATER_PRICE_NODES;
                }
                Err(why)
            }
            Reply::Fails(proof) => {
                let owner = |row: u32| self.owners[row as usize];
                let rows = rows_used(&proof).into_iter().map(owner);
                let mut members: Vec<u32> = rows.filter(|&at| at != NOBODY).collect();
                members.sort_unstable();
                members.dedup();
                let certificate = self.book.certify(claim, proof);
                let certificate = certificate
                    .filter(|it| it.is_about(self.terms.program))
                    .filter(|it| check::replay(&it.problem, &it.proof).is_ok())
                    .ok_or(Why::Refused)?;
                Ok(Told::Fails(Refuted {
                    members,
                    certificate,
                }))
            }
        }
    }

    /// Rows that came after the book was handed over: members' and assumed ones.
    fn is_added(&self, row: u32) -> bool {
        self.owners[row as usize] != NOBODY || self.book.origins[row as usize] == Origin::Assumed
    }

    fn witness(&mut self) -> Result<Witness, Why> {
        let found = &self.book.solver.found;
        let mut witness = self.near.clone();
        for &unknown in &self.scope.unknowns {
            witness.values[unknown as usize] = found.values[unknown as usize];
        }
        for &group in &self.scope.groups {
            witness.taken[group as usize] = found.taken[group as usize];
        }
        match check::witness(self.book.solver.engine.problem(), &witness) {
            Ok(()) => Ok(witness),
            Err(_) => Err(Why::Refused),
        }
    }

    /// The smallest value that the sum can have by propagation alone, beside what is laid down.
    pub fn least(&self, terms: &[(u32, i64)]) -> i128 {
        let one = |&(unknown, times): &(u32, i64)| {
            let bounds = self.book.solver.engine.bounds(unknown);
            let at = if times > 0 { bounds.least } else { bounds.most };
            i128::from(times) * i128::from(at)
        };
        terms.iter().map(one).sum()
    }
}
