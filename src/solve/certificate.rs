//! Cuts a certificate out of a large problem: the rows a proof uses, numbered anew.

use super::problem::{Problem, Row};
use super::proof::{Proof, rows_used};
use super::solution::{Certificate, Claim, Origin};
use crate::program::{GroupId, UnknownId};

/// Old numbers, sorted; the new number of one is its place.
fn place(sorted: &[u32], old: u32) -> u32 {
    // Every number a proof mentions was gathered first.
    sorted.partition_point(|&at| at < old) as u32
}

/// The certificate for a proof over `problem`. `None` where a row is refused, which a row taken
/// from a problem never is.
pub(super) fn cut_out(
    claim: Claim,
    problem: &Problem,
    origins: &[Origin],
    mut proof: Proof,
) -> Option<Certificate> {
    let rows = rows_used(&proof);
    let mut unknowns: Vec<u32> = Vec::new();
    let mut groups: Vec<u32> = Vec::new();
    for &row in &rows {
        let row = &problem.rows()[row as usize];
        unknowns.extend(row.terms.iter().map(|term| term.0));
        groups.extend(row.guards.iter().map(|guard| guard.0));
    }
    proof.names_mut(
        |unknown| unknowns.push(*unknown),
        |group| groups.push(*group),
    );
    for list in [&mut unknowns, &mut groups] {
        list.sort_unstable();
        list.dedup();
    }
    proof.names_mut(
        |unknown| *unknown = place(&unknowns, *unknown),
        |group| *group = place(&groups, *group),
    );
    proof.rows_mut(|row| *row = place(&rows, *row));
    let mut small = Problem::new(
        unknowns
            .iter()
            .map(|&at| problem.unknowns()[at as usize])
            .collect(),
        groups
            .iter()
            .map(|&at| problem.groups()[at as usize])
            .collect(),
    );
    for &row in &rows {
        let row = &problem.rows()[row as usize];
        let terms = row
            .terms
            .iter()
            .map(|&(at, times)| (place(&unknowns, at), times));
        let guards = row
            .guards
            .iter()
            .map(|&(at, taken)| (place(&groups, at), taken));
        small
            .push_row(Row {
                terms: terms.collect(),
                most: row.most,
                guards: guards.collect(),
            })
            .ok()?;
    }
    Some(Certificate {
        claim,
        problem: small,
        proof,
        origins: rows.iter().map(|&row| origins[row as usize]).collect(),
        unknowns: unknowns.into_iter().map(UnknownId).collect(),
        groups: groups.into_iter().map(GroupId).collect(),
    })
}
