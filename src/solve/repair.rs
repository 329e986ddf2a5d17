//! The cheapest changes that make conflicting musts hold, and every minimal set of changes.
//!
//! A change is an unknown of the program, from 0 up, in the rows that it loosens. "This change
//! stays at nothing" is then a row like any other, and the sets of changes that suffice are the
//! ways to leave such rows out. Leaving a thing out is a group {in, out}: the thing's rows are
//! guarded by "in", and `change >= 1` is guarded by "out".

use super::book::Book;
use super::changes::{Change, Repair, RepairPart, Repairs};
use super::check;
use super::desk::{Desk, Terms, without};
use super::duals::{self, Core, Correction, Duals, Quota, critical};
use super::enumerate::{MinimalConflict, accepted, minimal_conflicts, named};
use super::limits::{Limits, Meter, Why};
use super::owners::Owners;
use super::price::{Cheapest, at_most, lower, note, settle_ties};
use super::problem::Hint;
use super::problem::{Row, Witness};
use super::proof::Proof;
use super::scope::{self, Scope};
use super::search::Reply;
use super::solution::{Claim, Origin};
use crate::solve::program::Program;

/// Conflicts between changes that stay at nothing, in one part, before the answer is cut short.
const CORES: usize = 400;

/// Finds the cheapest repair, and of each independent part every minimal set of changes where
/// there are no more than `most` of them, and `most` otherwise.
///
/// The same program always gives the same answer unless a clock is in [`Repairs::met`]. A change
/// that does not exist, occurs twice, can be below 0 or costs less than 1 is [`Why::Malformed`].
#[must_use]
pub fn repairs(program: &Program, changes: &[Change], limits: &Limits, most: usize) -> Repairs {
    let terms = Terms { program, limits };
    let mut found = Repairs::default();
    match look(terms, changes, most.max(1), &mut found) {
        Ok(complete) => found.complete = complete && found.met.is_empty(),
        Err(why) => found.met.push(why),
    }
    found
}

fn is_well_formed(program: &Program, changes: &[Change]) -> bool {
    let mut seen = vec![false; program.unknowns.len()];
    !super::is_malformed(program)
        && changes.iter().all(|change| {
            let at = change.unknown.0 as usize;
            change.price >= 1
                && program.unknowns.get(at).is_some_and(|it| it.least == 0)
                && !std::mem::replace(&mut seen[at], true)
        })
}

/// A part in the making.
struct Draft {
    scope: Scope,
    /// Places in the list of changes.
    changes: Vec<usize>,
    cheapest: Cheapest,
    sets: Vec<(Cheapest, Vec<usize>)>,
    complete: bool,
}

/// What became of a part.
enum Looked {
    /// It holds without changes.
    Holds,
    /// A limit was met before anything was known.
    Unknown,
    Broken(Box<Draft>),
}

/// Whether all of it was found.
fn look(terms: Terms, changes: &[Change], most: usize, found: &mut Repairs) -> Result<bool, Why> {
    let program = terms.program;
    if !is_well_formed(program, changes) {
        return Err(Why::Malformed);
    }
    let owners = Owners::new(program);
    let mut book = Book::open(program, |row| owners.is_must(row))?;
    super::look_towards_the_stages(program, &mut book.solver);
    for change in changes {
        book.solver.hints[change.unknown.0 as usize] = Hint::Least;
    }
    let whole = Scope::whole(&book.solver.engine);
    let mut meter = Meter::new(terms.limits);
    found.questions += 1;
    match book.solver.ask(&whole, 0, &mut meter) {
        Reply::Holds => {}
        Reply::Unsettled(why) => return Err(why),
        Reply::Fails(proof) => {
            found.hopeless = Some(hopeless(terms, &book, &owners, proof)?);
            return Ok(true);
        }
    }
    let mut best = book.solver.found.clone();
    let mut drafts = Vec::new();
    let mut complete = true;
    let mut all_looked_at = true;
    for scope in scopes(&mut book, &whole, changes) {
        let places: Vec<usize> = (0..changes.len())
            .filter(|&at| scope.unknowns.binary_search(&changes[at].unknown.0).is_ok())
            .collect();
        if places.is_empty() {
            continue;
        }
        let mut part = Part::open(terms, book, scope, changes, places, best);
        let (draft, part_holds) = match part.repair(most, found) {
            Looked::Holds => (None, true),
            Looked::Unknown => (None, false),
            Looked::Broken(draft) => (Some(*draft), false),
        };
        found.questions += part.desk.questions;
        best = part.desk.near.clone();
        book = part.desk.close();
        match draft {
            Some(draft) => {
                best = draft.cheapest.witness.clone();
                complete &= draft.complete;
                drafts.push(draft);
            }
            None => all_looked_at &= part_holds,
        }
    }
    check::witness(book.solver.engine.problem(), &best).map_err(|_| Why::Refused)?;
    let parts: Result<Vec<RepairPart>, Why> = drafts
        .into_iter()
        .map(|draft| finish(draft, changes, &best, &book, found))
        .collect();
    found.parts = parts?;
    found.cheapest = Some(sum(&found.parts, changes, best, all_looked_at));
    Ok(complete && all_looked_at)
}

/// The musts conflict with all changes free.
fn hopeless(
    terms: Terms,
    book: &Book,
    owners: &Owners,
    proof: Proof,
) -> Result<MinimalConflict, Why> {
    let few = minimal_conflicts(terms.program, terms.limits, 1);
    if let Some(conflict) = few.conflicts.into_iter().next() {
        return Ok(conflict);
    }
    let certificate = accepted(book.certify(Claim::Conflict, proof), terms.program)?;
    let rows = certificate.origins.iter().filter_map(|it| match it {
        Origin::Row(row) => owners.of_row(row.0 as usize),
        _ => None,
    });
    let mut instances: Vec<u32> = rows.map(|it| it.0).collect();
    instances.sort_unstable();
    instances.dedup();
    let core = Core {
        members: (0..instances.len() as u32).collect(),
        certificate,
        proved_minimal: false,
    };
    Ok(named(core, &instances, owners, 0))
}

/// The parts that are independent even with all changes free; and by itself each change that
/// propagation forces, and that no row still at stake mentions.
fn scopes(book: &mut Book, whole: &Scope, changes: &[Change]) -> Vec<Scope> {
    let solver = &mut book.solver;
    let mut parts = scope::split(&solver.engine, whole, |_| false, &mut solver.places).parts;
    for change in changes {
        let unknown = change.unknown.0;
        let is_in = |part: &Scope| part.unknowns.binary_search(&unknown).is_ok();
        if solver.engine.bounds(unknown).least > 0 && !parts.iter().any(is_in) {
            parts.push(Scope {
                unknowns: vec![unknown],
                ..Scope::default()
            });
        }
    }
    let first = |part: &Scope| {
        let of_part = |it: &Change| part.unknowns.binary_search(&it.unknown.0).is_ok();
        changes.iter().position(of_part)
    };
    parts.sort_by_cached_key(|part| first(part).unwrap_or(usize::MAX));
    parts
}

struct Part<'a> {
    desk: Desk<'a>,
    scope: Scope,
    changes: Vec<usize>,
    /// The unknown and the price of each member, which is "this change stays at nothing".
    priced: Vec<(u32, i64)>,
}

impl<'a> Part<'a> {
    fn open(
        terms: Terms<'a>,
        book: Book,
        scope: Scope,
        changes: &[Change],
        places: Vec<usize>,
        near: Witness,
    ) -> Self {
        let priced: Vec<(u32, i64)> = places
            .iter()
            .map(|&at| (changes[at].unknown.0, changes[at].price))
            .collect();
        let members = priced.iter().map(|&(unknown, _)| {
            let row = Row {
                terms: vec![(unknown, 1)],
                ..Row::default()
            };
            vec![(row, Origin::Assumed)]
        });
        let members = members.collect();
        let mut desk = Desk::new(terms, book, members, scope.clone(), Claim::Needed, near);
        desk.small = priced.iter().map(|it| it.0).collect();
        Self {
            desk,
            scope,
            changes: places,
            priced,
        }
    }

    fn repair(&mut self, most: usize, found: &mut Repairs) -> Looked {
        let start = self.desk.near.clone();
        let priced = self.priced.clone();
        let price = |set: &[u32]| {
            let prices = set.iter().map(|&at| i128::from(priced[at as usize].1));
            prices.sum()
        };
        let quota = Quota {
            cores: CORES,
            corrections: most,
        };
        let mut duals = duals::enumerate(&mut self.desk, quota, price);
        duals.met.iter().for_each(|&why| note(&mut found.met, why));
        if duals.corrections.iter().any(|it| it.members.is_empty()) {
            return Looked::Holds;
        }
        if duals.cores.is_empty() {
            // Nothing was settled, not even that something is broken.
            self.desk.near = start;
            return Looked::Unknown;
        }
        let corrections = std::mem::take(&mut duals.corrections);
        let needed = needed(&corrections, &duals, found);
        let mut sets: Vec<(Cheapest, Vec<u32>, Vec<usize>)> = corrections
            .into_iter()
            .zip(needed)
            .map(|(it, needed)| {
                let cheapest = self.cheapest_of(&it, &mut found.met);
                (cheapest, it.members, needed)
            })
            .collect();
        sets.sort_by(|a, b| (a.0.price, a.1.len(), &a.1).cmp(&(b.0.price, b.1.len(), &b.1)));
        let cheapest = self.cheapest(&sets, duals.complete, start, &mut found.met);
        Looked::Broken(Box::new(Draft {
            scope: self.scope.clone(),
            changes: self.changes.clone(),
            cheapest,
            sets: sets.into_iter().map(|it| (it.0, it.2)).collect(),
            complete: duals.complete,
        }))
    }

    fn terms(&self, members: &[u32]) -> Vec<(u32, i64)> {
        members.iter().map(|&at| self.priced[at as usize]).collect()
    }

    /// The cheapest amounts of a set.
    fn cheapest_of(&mut self, set: &Correction, met: &mut Vec<Why>) -> Cheapest {
        let at_nothing = without(&self.desk.all(), &set.members);
        let terms = self.terms(&set.members);
        let start = set.witness.clone();
        let mut cheapest = lower(&mut self.desk, &at_nothing, &terms, start, met);
        if let [rest @ .., _] = &terms[..] {
            let order: Vec<u32> = rest.iter().map(|it| it.0).collect();
            settle_ties(
                &mut self.desk,
                &at_nothing,
                &terms,
                &order,
                &mut cheapest,
                met,
            );
        }
        cheapest
    }

    /// The cheapest amounts of all changes.
    fn cheapest(
        &mut self,
        sets: &[(Cheapest, Vec<u32>, Vec<usize>)],
        complete: bool,
        start: Witness,
        met: &mut Vec<Why>,
    ) -> Cheapest {
        let terms = self.priced.clone();
        let start = sets.first().map_or(start, |it| it.0.witness.clone());
        self.desk.near = start.clone();
        let mut cheapest = lower(&mut self.desk, &[], &terms, start, met);
        if let Some((best, members, _)) = sets.first()
            && best.price == cheapest.price
            && (members.len() == 1 && complete)
        {
            return cheapest;
        }
        if cheapest.certificate.is_none() {
            return cheapest;
        }
        // The fewest changes at this price, and of these the first: a minimal set beside the row
        // that forbids a higher price.
        let row = at_most(&terms, cheapest.price);
        let before = match row.and_then(|row| self.desk.assume(row)) {
            Ok(before) => before,
            Err(why) => {
                note(met, why);
                return cheapest;
            }
        };
        let quota = Quota {
            cores: CORES,
            corrections: 1,
        };
        let duals = duals::enumerate(&mut self.desk, quota, |_| 0);
        self.desk.take_back(before);
        duals.met.iter().for_each(|&why| note(met, why));
        if let Some(fewest) = duals.corrections.into_iter().next() {
            let at_nothing = without(&self.desk.all(), &fewest.members);
            let few = self.terms(&fewest.members);
            cheapest.witness = fewest.witness;
            if let [rest @ .., _] = &few[..] {
                let order: Vec<u32> = rest.iter().map(|it| it.0).collect();
                settle_ties(
                    &mut self.desk,
                    &at_nothing,
                    &few,
                    &order,
                    &mut cheapest,
                    met,
                );
            }
        }
        cheapest
    }
}

/// For each set the certificates that each of its changes is needed.
fn needed(sets: &[Correction], duals: &Duals, found: &mut Repairs) -> Vec<Vec<usize>> {
    let from = found.certificates.len();
    let cores = duals.cores.iter();
    found
        .certificates
        .extend(cores.map(|core| core.certificate.clone()));
    let of_set = |set: &Correction| {
        let members = set.members.iter();
        members
            .filter_map(|&at| critical(&set.members, at, &duals.cores))
            .map(|at| from + at)
            .collect()
    };
    sets.iter().map(of_set).collect()
}

/// The values of one part, and of everything else the best ones.
fn overlay(scope: &Scope, part: &Witness, best: &Witness) -> Witness {
    let mut whole = best.clone();
    for &unknown in &scope.unknowns {
        whole.values[unknown as usize] = part.values[unknown as usize];
    }
    for &group in &scope.groups {
        whole.taken[group as usize] = part.taken[group as usize];
    }
    whole
}

fn finish(
    draft: Draft,
    changes: &[Change],
    best: &Witness,
    book: &Book,
    found: &mut Repairs,
) -> Result<RepairPart, Why> {
    let mut repair = |cheapest: Cheapest, needed: Vec<usize>| -> Result<Repair, Why> {
        let whole = overlay(&draft.scope, &cheapest.witness, best);
        check::witness(book.solver.engine.problem(), &whole).map_err(|_| Why::Refused)?;
        let amounts = draft.changes.iter().filter_map(|&at| {
            let unknown = changes[at].unknown;
            let amount = whole.values[unknown.0 as usize];
            (amount != 0).then_some((unknown, amount))
        });
        let mut cheaper = Vec::new();
        if let Some(certificate) = cheapest.certificate {
            cheaper.push(found.certificates.len());
            found.certificates.push(certificate);
        }
        Ok(Repair {
            amounts: amounts.collect(),
            price: cheapest.price,
            proved: !cheaper.is_empty(),
            cheaper,
            needed,
            values: whole.values,
            taken: whole.taken,
        })
    };
    let sets: Result<Vec<Repair>, Why> = draft
        .sets
        .into_iter()
        .map(|(cheapest, needed)| repair(cheapest, needed))
        .collect();
    Ok(RepairPart {
        changes: draft
            .changes
            .iter()
            .map(|&at| changes[at].unknown)
            .collect(),
        cheapest: repair(draft.cheapest, Vec::new())?,
        sets: sets?,
        complete: draft.complete,
    })
}

/// The cheapest of all parts together.
fn sum(parts: &[RepairPart], changes: &[Change], best: Witness, all_looked_at: bool) -> Repair {
    let cheapest = || parts.iter().map(|part| &part.cheapest);
    let amounts = changes.iter().filter_map(|change| {
        let amount = best.values[change.unknown.0 as usize];
        (amount != 0).then_some((change.unknown, amount))
    });
    Repair {
        amounts: amounts.collect(),
        price: changes
            .iter()
            .map(|it| i128::from(it.price) * i128::from(best.values[it.unknown.0 as usize]))
            .sum(),
        proved: all_looked_at && cheapest().all(|it| it.proved),
        cheaper: cheapest().flat_map(|it| it.cheaper.clone()).collect(),
        needed: Vec::new(),
        values: best.values,
        taken: best.taken,
    }
}
