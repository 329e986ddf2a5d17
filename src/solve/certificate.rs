//! Cuts a small problem out of a large one: some of its rows, and what they name, numbered anew.

use super::problem::{Problem, Row};
use super::proof::{Proof, rows_used};
use super::solution::{Certificate, Claim, Origin};
use crate::solve::program::{GroupId, UnknownId};

/// A small problem, and the large one's numbers for its rows, unknowns and groups.
#[derive(Clone, Debug)]
pub(super) struct Excerpt {
    pub problem: Problem,
    pub rows: Vec<u32>,
    unknowns: Vec<u32>,
    groups: Vec<u32>,
}

/// Old numbers, sorted; the new number of one is its place.
fn place(sorted: &[u32], old: u32) -> u32 {
    // Every number that is asked for was gathered first.
    sorted.partition_point(|&at| at < old) as u32
}

fn tidy(mut list: Vec<u32>) -> Vec<u32> {
    list.sort_unstable();
    list.dedup();
    list
}

impl Excerpt {
    /// These rows of a problem, with these unknowns and groups besides those in the rows. `None`
    /// where a row is refused, which a row taken from a problem never is.
    pub fn new(
        problem: &Problem,
        rows: Vec<u32>,
        mut unknowns: Vec<u32>,
        mut groups: Vec<u32>,
    ) -> Option<Self> {
        let rows = tidy(rows);
        for &row in &rows {
            let row = &problem.rows()[row as usize];
            unknowns.extend(row.terms.iter().map(|term| term.0));
            groups.extend(row.guards.iter().map(|guard| guard.0));
        }
        let (unknowns, groups) = (tidy(unknowns), tidy(groups));
        let bounds = unknowns.iter().map(|&at| problem.unknowns()[at as usize]);
        let counts = groups.iter().map(|&at| problem.groups()[at as usize]);
        let mut small = Problem::new(bounds.collect(), counts.collect());
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
        Some(Self {
            problem: small,
            rows,
            unknowns,
            groups,
        })
    }

    /// A proof over the excerpt, in the large problem's numbers.
    pub fn enlarge(&self, mut proof: Proof) -> Proof {
        proof.names_mut(
            |unknown| *unknown = self.unknowns[*unknown as usize],
            |group| *group = self.groups[*group as usize],
        );
        proof.rows_mut(|row| *row = self.rows[*row as usize]);
        proof
    }
}

/// The certificate for a proof over `problem`: only the rows that the proof uses.
pub(super) fn cut_out(
    claim: Claim,
    problem: &Problem,
    origins: &[Origin],
    mut proof: Proof,
) -> Option<Certificate> {
    let (mut unknowns, mut groups) = (Vec::new(), Vec::new());
    proof.names_mut(
        |unknown| unknowns.push(*unknown),
        |group| groups.push(*group),
    );
    let small = Excerpt::new(problem, rows_used(&proof), unknowns, groups)?;
    proof.names_mut(
        |unknown| *unknown = place(&small.unknowns, *unknown),
        |group| *group = place(&small.groups, *group),
    );
    proof.rows_mut(|row| *row = place(&small.rows, *row));
    Some(Certificate {
        claim,
        origins: small
            .rows
            .iter()
            .map(|&row| origins[row as usize])
            .collect(),
        problem: small.problem,
        proof,
        unknowns: small.unknowns.into_iter().map(UnknownId).collect(),
        groups: small.groups.into_iter().map(GroupId).collect(),
    })
}
