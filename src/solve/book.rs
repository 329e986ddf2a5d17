//! A solver with the origin of each of its rows: what is settled so far.

use super::certificate::cut_out;
use super::limits::Why;
use super::owners::Owners;
use super::problem::{Bounds, Problem, ProblemError, Row};
use super::program::RowId;
use super::proof::Proof;
use super::search::Solver;
use super::solution::{Certificate, Claim, Holder, Origin};
use crate::solve::program::{self, Program};
use std::collections::BTreeMap;

#[derive(Clone, Debug)]
pub(super) struct Book {
    pub solver: Solver,
    pub origins: Vec<Origin>,
    /// For each row of the program its number here; [`ABSENT`] where it is not taken in.
    places: Vec<u32>,
    /// Rows that stages settled, by stage.
    of_stage: BTreeMap<usize, Vec<u32>>,
}

const ABSENT: u32 = u32::MAX;

/// A place to come back to.
#[derive(Clone, Copy, Debug)]
pub(super) struct Bookmark {
    pub trail: usize,
    rows: usize,
}

fn refused(error: ProblemError) -> Why {
    match error {
        ProblemError::TooLarge => Why::TooLarge,
        _ => Why::Malformed,
    }
}

/// A program's row in the problem's numbers, which are the same.
pub(super) fn convert(row: &program::Row) -> Row {
    let terms = row.terms.iter().map(|&(unknown, times)| (unknown.0, times));
    let guards = row.guards.iter().map(|it| (it.group.0, it.alternative));
    Row {
        terms: terms.collect(),
        most: row.most,
        guards: guards.collect(),
    }
}

impl Book {
    /// The program's unknowns and groups, and those of its rows that `wanted` admits.
    pub fn open(program: &Program, wanted: impl Fn(usize) -> bool) -> Result<Self, Why> {
        let unknowns = program.unknowns.iter().map(|it| Bounds {
            least: it.least,
            most: it.most,
        });
        let groups = program.groups.iter().map(|it| it.alternatives.len() as u32);
        let mut problem = Problem::new(unknowns.collect(), groups.collect());
        let mut origins = Vec::new();
        let mut places = vec![ABSENT; program.rows.len()];
        for (at, row) in program
            .rows
            .iter()
            .enumerate()
            .filter(|(at, _)| wanted(*at))
        {
            places[at] = problem.push_row(convert(row)).map_err(refused)?;
            origins.push(Origin::Row(program::RowId(at as u32)));
        }
        Ok(Self {
            solver: Solver::new(problem),
            origins,
            places,
            of_stage: BTreeMap::new(),
        })
    }

    pub fn mark(&self) -> Bookmark {
        Bookmark {
            trail: self.solver.engine.mark(),
            rows: self.origins.len(),
        }
    }

    /// Takes back changes and rows made since the mark.
    pub fn undo(&mut self, mark: Bookmark) {
        self.solver.engine.undo(mark.trail);
        self.solver.engine.pop_rows(mark.rows);
        for (row, origin) in self.origins.drain(mark.rows..).enumerate() {
            match origin {
                Origin::Row(id) => self.places[id.0 as usize] = ABSENT,
                Origin::Optimum { stage } | Origin::Choice { stage } => {
                    let row = (mark.rows + row) as u32;
                    self.of_stage
                        .entry(stage)
                        .or_default()
                        .retain(|&it| it < row);
                }
                Origin::Assumed => {}
            }
        }
    }

    pub fn push(&mut self, row: Row, origin: Origin) -> Result<u32, Why> {
        let id = self.solver.engine.push_row(row).map_err(refused)?;
        self.origins.push(origin);
        match origin {
            Origin::Row(row) => self.places[row.0 as usize] = id,
            Origin::Optimum { stage } | Origin::Choice { stage } => {
                self.of_stage.entry(stage).or_default().push(id);
            }
            Origin::Assumed => {}
        }
        Ok(id)
    }

    /// Every row that a holder stands for.
    pub fn rows_of(&self, holder: Holder, owners: &Owners) -> Vec<u32> {
        let rows = match holder {
            Holder::Instance(id) => owners.rows_of(id),
            Holder::Row(id) => id.0 as usize..id.0 as usize + 1,
            Holder::Stage(stage) => return self.of_stage.get(&stage).cloned().unwrap_or_default(),
            Holder::Bound => 0..0,
        };
        let places = self.places[rows].iter().copied();
        places.filter(|&row| row != ABSENT).collect()
    }

    /// The rows assumed last.
    pub fn rows_assumed(&self) -> Vec<u32> {
        let assumed = self.origins.iter().rev();
        let count = assumed.take_while(|it| **it == Origin::Assumed).count();
        (self.origins.len() - count..self.origins.len())
            .map(|row| row as u32)
            .collect()
    }

    /// Propagates what was added. What is settled can hold, so a violated row is a defect.
    pub fn settle(&mut self) -> Result<(), Why> {
        self.solver.engine.propagate().map_err(|_| Why::Refused)
    }

    /// A certificate for a proof over the rows as they stand.
    pub fn certify(&self, claim: Claim, proof: Proof) -> Option<Certificate> {
        cut_out(claim, self.solver.engine.problem(), &self.origins, proof)
    }
}

/// A row of a program, and where it comes from.
pub(super) fn row_of(program: &Program, at: usize) -> Result<(Row, Origin), Why> {
    let row = convert(program.rows.get(at).ok_or(Why::Malformed)?);
    Ok((row, Origin::Row(RowId(at as u32))))
}

/// `terms >= target`.
pub(super) fn at_least(terms: &[(u32, i64)], target: i64) -> Result<Row, Why> {
    let most = target.checked_neg().ok_or(Why::TooLarge)?;
    let mut negated = Vec::with_capacity(terms.len());
    for &(unknown, times) in terms {
        negated.push((unknown, times.checked_neg().ok_or(Why::TooLarge)?));
    }
    Row::new(negated, most).ok_or(Why::TooLarge)
}
