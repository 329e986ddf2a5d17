//! A solver with the origin of each of its rows: what is settled so far.

use super::certificate::cut_out;
use super::limits::Why;
use super::problem::{Bounds, Problem, ProblemError, Row};
use super::proof::Proof;
use super::search::Solver;
use super::solution::{Certificate, Claim, Origin};
use crate::program::{self, Program};

#[derive(Clone, Debug)]
pub(super) struct Book {
    pub solver: Solver,
    pub origins: Vec<Origin>,
}

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
pub(super) fn convert(row: &program::Row) -> Result<Row, Why> {
    let terms = row.terms.iter().map(|&(unknown, times)| (unknown.0, times));
    let guards = row.guards.iter().map(|it| (it.group.0, it.alternative));
    Ok(Row::new(terms, row.most)
        .ok_or(Why::TooLarge)?
        .guarded(guards))
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
        for (at, row) in program
            .rows
            .iter()
            .enumerate()
            .filter(|(at, _)| wanted(*at))
        {
            problem.push_row(convert(row)?).map_err(refused)?;
            origins.push(Origin::Row(program::RowId(at as u32)));
        }
        Ok(Self {
            solver: Solver::new(problem),
            origins,
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
        self.origins.truncate(mark.rows);
    }

    pub fn push(&mut self, row: Row, origin: Origin) -> Result<u32, Why> {
        let id = self.solver.engine.push_row(row).map_err(refused)?;
        self.origins.push(origin);
        Ok(id)
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
