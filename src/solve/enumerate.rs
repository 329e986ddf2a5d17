//! All minimal conflicts among the musts of a program, where they are few.
//!
//! Wishes are left out. A member is an instance with all of its rows; rows that belong to no
//! instance, and the bounds, are always there. What shares no unknown and no group cannot conflict
//! together, so each such part is looked at alone.

use super::book::{Book, convert};
use super::check;
use super::desk::{Desk, Terms};
use super::duals::{self, Core, Quota};
use super::limits::{Limits, Why};
use super::owners::Owners;
use super::price::note;
use super::problem::Witness;
use super::proof::{Node, Proof};
use super::scope::Scope;
use super::solution::{Certificate, Claim, Origin};
use crate::solve::program::{Force, InstanceId, Program, RowId};

/// Ways to leave something out that are looked at in one part before it counts as having too many.
const CORRECTIONS: usize = 400;
/// Conflicts beyond those asked for are still counted, up to so many times as many.
const COUNTED: usize = 3;

/// One irreducible conflict.
#[derive(Clone, Debug, PartialEq)]
pub struct MinimalConflict {
    /// In program order. Empty where rows of no instance, or bounds, conflict by themselves.
    pub instances: Vec<InstanceId>,
    /// Rows that belong to no instance and that the proof uses.
    pub rows: Vec<RowId>,
    /// [`Claim::Conflict`]; accepted by [`check`](super::check).
    pub certificate: Certificate,
    /// Without any one of the instances the rest can hold; that was checked for each.
    pub proved_minimal: bool,
    /// Conflicts of different parts share no unknown and no group. Counted from 0.
    pub part: usize,
}

/// The conflicts of a program.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Conflicts {
    /// Fewest instances first, then program order. None where the musts can hold, if `complete`.
    pub conflicts: Vec<MinimalConflict>,
    /// These are all.
    pub complete: bool,
    /// Conflicts found and not listed: there are at least so many more.
    pub more: usize,
    /// Limits that were met, each once. A limit makes the answer incomplete.
    pub met: Vec<Why>,
    /// Questions asked.
    pub questions: u64,
}

/// Some instances and rows that share no unknown and no group with the others.
#[derive(Clone, Debug, Default)]
struct Part {
    instances: Vec<u32>,
    /// Rows that belong to no instance.
    rows: Vec<usize>,
    scope: Scope,
}

/// Finds the irreducible conflicts among the musts: all of them where they are few, and no more
/// than `most` of them.
///
/// The same program always gives the same answer unless a clock is in `met`.
#[must_use]
pub fn minimal_conflicts(program: &Program, limits: &Limits, most: usize) -> Conflicts {
    let terms = Terms { program, limits };
    let mut all = Conflicts {
        complete: true,
        ..Conflicts::default()
    };
    if let Err(why) = look(terms, most, &mut all) {
        note(&mut all.met, why);
    }
    all.complete &= all.met.is_empty();
    if let Some(at) = all.conflicts.iter().position(|it| it.instances.is_empty()) {
        // What conflicts without any instance is within every other conflict.
        let alone = all.conflicts.swap_remove(at);
        all.conflicts = vec![alone];
    }
    all.conflicts
        .sort_by(|a, b| (a.instances.len(), &a.instances).cmp(&(b.instances.len(), &b.instances)));
    all.more += all.conflicts.len().saturating_sub(most);
    all.complete &= all.more == 0;
    all.conflicts.truncate(most);
    all
}

fn look(terms: Terms, most: usize, all: &mut Conflicts) -> Result<(), Why> {
    let program = terms.program;
    if super::is_malformed(program) {
        return Err(Why::Malformed);
    }
    let book = Book::open(program, |_| false)?;
    if let Some(end) = book.solver.engine.empty() {
        let steps = Vec::new();
        let proof = Proof {
            nodes: vec![Node { steps, end }],
        };
        let certificate = accepted(book.certify(Claim::Conflict, proof), program)?;
        let owners = Owners::new(program);
        let core = Core {
            members: Vec::new(),
            certificate,
            proved_minimal: true,
        };
        all.conflicts.push(named(core, &[], &owners, 0));
        return Ok(());
    }
    let owners = Owners::new(program);
    for (at, part) in parts(program, &owners)?.into_iter().enumerate() {
        if terms.limits.is_over() {
            return Err(Why::Clock);
        }
        let mut book = book.clone();
        let background = part.rows.iter();
        let mut scope = part.scope;
        for &row in background {
            let origin = Origin::Row(RowId(row as u32));
            scope
                .rows
                .push(book.push(convert(&program.rows[row]), origin)?);
        }
        if let Some(proof) = book.solver.refute() {
            let certificate = book.certify(Claim::Conflict, proof);
            let core = Core {
                members: Vec::new(),
                certificate: accepted(certificate, program)?,
                proved_minimal: true,
            };
            all.conflicts.push(named(core, &[], &owners, at));
            continue;
        }
        let members: Vec<Vec<_>> = part
            .instances
            .iter()
            .map(|&instance| {
                let rows = program.instances[instance as usize].rows.clone();
                let named = |row| (convert(&program.rows[row]), Origin::Row(RowId(row as u32)));
                rows.map(named).collect()
            })
            .collect();
        super::look_towards_the_stages(program, &mut book.solver);
        let near = nearby(&book, program);
        let mut desk = Desk::new(terms, book, members, scope, Claim::Conflict, near);
        let quota = Quota {
            cores: most.saturating_mul(COUNTED).max(1),
            corrections: CORRECTIONS,
        };
        let found = duals::enumerate(&mut desk, quota, |_| 0);
        all.questions += desk.questions;
        found.met.iter().for_each(|&why| note(&mut all.met, why));
        all.complete &= found.complete;
        for core in found.cores {
            all.conflicts
                .push(named(core, &part.instances, &owners, at));
        }
    }
    Ok(())
}

/// Where to look first: each unknown where its own preference draws it.
fn nearby(book: &Book, program: &Program) -> Witness {
    let bounds = program.unknowns.iter().zip(&book.solver.hints);
    let bounds = bounds.map(|(unknown, hint)| {
        hint.within(super::problem::Bounds {
            least: unknown.least,
            most: unknown.most,
        })
    });
    Witness {
        values: bounds.collect(),
        taken: vec![0; program.groups.len()],
    }
}

/// A core by the program's names.
pub(super) fn named(
    core: Core,
    instances: &[u32],
    owners: &Owners,
    part: usize,
) -> MinimalConflict {
    let members = core.members.iter();
    let rows = core.certificate.origins.iter().filter_map(|it| match it {
        Origin::Row(row) if owners.of_row(row.0 as usize).is_none() => Some(*row),
        _ => None,
    });
    MinimalConflict {
        instances: members
            .map(|&it| InstanceId(instances[it as usize]))
            .collect(),
        rows: rows.collect(),
        certificate: core.certificate,
        proved_minimal: core.proved_minimal,
        part,
    }
}

/// A certificate that the checker accepts.
pub(super) fn accepted(
    certificate: Option<Certificate>,
    program: &Program,
) -> Result<Certificate, Why> {
    certificate
        .filter(|it| it.is_about(program))
        .filter(|it| check::replay(&it.problem, &it.proof).is_ok())
        .ok_or(Why::Refused)
}

/// The parts of the musts, in program order. An unknown of one value and a group of one
/// alternative tie nothing together.
fn parts(program: &Program, owners: &Owners) -> Result<Vec<Part>, Why> {
    let unknowns = program.unknowns.len();
    let mut parents: Vec<usize> = (0..unknowns + program.groups.len()).collect();
    let ties = |row: usize| -> Result<Vec<usize>, Why> {
        let row = program.rows.get(row).ok_or(Why::Malformed)?;
        let mut ties = Vec::new();
        for (unknown, _) in &row.terms {
            let at = unknown.0 as usize;
            let it = program.unknowns.get(at).ok_or(Why::Malformed)?;
            if it.least < it.most {
                ties.push(at);
            }
        }
        for guard in &row.guards {
            let at = guard.group.0 as usize;
            let it = program.groups.get(at).ok_or(Why::Malformed)?;
            if it.alternatives.len() > 1 {
                ties.push(unknowns + at);
            }
        }
        Ok(ties)
    };
    // Each member, or row of no instance, with what it ties together.
    let mut pieces: Vec<(Option<u32>, usize, Vec<usize>)> = Vec::new();
    for row in 0..program.rows.len() {
        if owners.of_row(row).is_none() {
            pieces.push((None, row, ties(row)?));
        }
    }
    for (at, instance) in program.instances.iter().enumerate() {
        if instance.force == Force::Must && !instance.rows.is_empty() {
            let mut all = Vec::new();
            for row in instance.rows.clone() {
                all.extend(ties(row)?);
            }
            pieces.push((Some(at as u32), instance.rows.start, all));
        }
    }
    pieces.sort_by_key(|piece| piece.1);
    for (_, _, ties) in &pieces {
        for pair in ties.windows(2) {
            let (one, other) = (root(&mut parents, pair[0]), root(&mut parents, pair[1]));
            parents[one.max(other)] = one.min(other);
        }
    }
    let mut parts: Vec<Part> = Vec::new();
    let mut part_of = vec![usize::MAX; parents.len()];
    for (instance, row, ties) in pieces {
        let at = match ties.first() {
            Some(&tie) => {
                let top = root(&mut parents, tie);
                if part_of[top] == usize::MAX {
                    part_of[top] = parts.len();
                    parts.push(Part::default());
                }
                part_of[top]
            }
            None => {
                parts.push(Part::default());
                parts.len() - 1
            }
        };
        match instance {
            Some(instance) => parts[at].instances.push(instance),
            None => parts[at].rows.push(row),
        }
    }
    for at in 0..parents.len() {
        let top = root(&mut parents, at);
        if let Some(part) = parts.get_mut(part_of[top]) {
            if at < unknowns {
                part.scope.unknowns.push(at as u32);
            } else {
                part.scope.groups.push((at - unknowns) as u32);
            }
        }
    }
    Ok(parts)
}

fn root(parents: &mut [usize], mut at: usize) -> usize {
    while parents[at] != at {
        parents[at] = parents[parents[at]];
        at = parents[at];
    }
    at
}
