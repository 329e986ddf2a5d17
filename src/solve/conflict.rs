//! Irreducible conflicts: members that fail together, while without any one of them the rest can
//! hold.
//!
//! A proof names the rows it used, which are few; the deletion filter then works on those alone.

use super::check;
use super::limits::{Limits, Meter, Why};
use super::problem::Problem;
use super::proof::{Proof, rows_used};
use super::scope::Scope;
use super::search::{Reply, Solver};

/// A conflict.
#[derive(Clone, Debug, PartialEq)]
pub struct Core {
    /// Places in the list of members, ascending.
    pub members: Vec<usize>,
    /// Refutes the members' rows and the background, in the problem's numbers.
    pub proof: Proof,
    /// Each member is needed, and that was settled for each. Otherwise a limit was met, and the
    /// member in question was kept.
    pub proved_minimal: bool,
}

/// Why there is no core.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoCore {
    /// All rows can hold together.
    Holds,
    /// A limit was met at the first question.
    Unsettled(Why),
}

/// Reduces `members`, each a list of rows of `problem`, to an irreducible conflict beside the rows
/// of `background`, which always hold. Rows in neither do not take part.
///
/// Members are left out one at a time in the given `order` (places in `members`; those not named
/// stay in), so that the ones named last are the likeliest to remain.
///
/// # Errors
/// Where there is no conflict, or a limit was met before one was proved.
pub fn irreducible(
    problem: &Problem,
    members: &[Vec<u32>],
    background: &[u32],
    order: &[usize],
    limits: &Limits,
) -> Result<Core, NoCore> {
    let rows = problem.rows().len();
    let mut filter = Filter {
        solver: Solver::new(problem.clone()),
        enabled: vec![false; rows],
        members,
        limits,
    };
    for &row in background.iter().chain(members.iter().flatten()) {
        if let Some(place) = filter.enabled.get_mut(row as usize) {
            *place = true;
        }
    }
    let mut proof = match filter.ask() {
        Reply::Fails(proof) => proof,
        Reply::Holds => return Err(NoCore::Holds),
        Reply::Unsettled(why) => return Err(NoCore::Unsettled(why)),
    };
    let mut kept: Vec<bool> = vec![true; members.len()];
    filter.keep_used(&mut kept, &proof, background);
    let mut proved_minimal = true;
    for &member in order {
        if !kept.get(member).copied().unwrap_or(false) {
            continue;
        }
        if limits.is_over() {
            proved_minimal = false;
            break;
        }
        kept[member] = false;
        filter.enable(&kept, background);
        match filter.ask() {
            Reply::Fails(shorter) => {
                proof = shorter;
                filter.keep_used(&mut kept, &proof, background);
            }
            Reply::Holds => kept[member] = true,
            Reply::Unsettled(_) => {
                kept[member] = true;
                proved_minimal = false;
            }
        }
    }
    proved_minimal &= (0..members.len()).all(|at| !kept[at] || order.contains(&at));
    Ok(Core {
        members: (0..members.len()).filter(|&at| kept[at]).collect(),
        proof,
        proved_minimal,
    })
}

struct Filter<'a> {
    solver: Solver,
    enabled: Vec<bool>,
    members: &'a [Vec<u32>],
    limits: &'a Limits,
}

impl Filter<'_> {
    fn ask(&mut self) -> Reply {
        self.solver.engine.restart(&self.enabled);
        let scope = Scope::whole(&self.solver.engine);
        let mut meter = Meter::new(self.limits);
        let reply = self.solver.ask(&scope, 0, &mut meter);
        // What the checker refuses is not known.
        match reply {
            Reply::Fails(proof) => match check::replay(self.solver.engine.problem(), &proof) {
                Ok(()) => Reply::Fails(proof),
                Err(_) => Reply::Unsettled(Why::Refused),
            },
            other => other,
        }
    }

    /// A member stays only if the proof uses one of its rows. Those found to be needed do: the
    /// rest would hold without them.
    fn keep_used(&mut self, kept: &mut [bool], proof: &Proof, background: &[u32]) {
        let used = rows_used(proof);
        for (at, rows) in self.members.iter().enumerate() {
            kept[at] &= rows.iter().any(|row| used.binary_search(row).is_ok());
        }
        self.enable(kept, background);
    }

    fn enable(&mut self, kept: &[bool], background: &[u32]) {
        self.enabled.fill(false);
        let members = self.members.iter().zip(kept).filter(|(_, kept)| **kept);
        for &row in members.flat_map(|(rows, _)| rows).chain(background) {
            if let Some(place) = self.enabled.get_mut(row as usize) {
                *place = true;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::solve::problem::{Bounds, Row};

    /// x >= 5, x <= 4, x <= 3, y <= 2, and x + y >= 9: rows 0 to 4.
    fn problem() -> Problem {
        let mut problem = Problem::new(vec![Bounds { least: 0, most: 9 }; 2], Vec::new());
        let rows: [(&[(u32, i64)], i64); 5] = [
            (&[(0, -1)], -5),
            (&[(0, 1)], 4),
            (&[(0, 1)], 3),
            (&[(1, 1)], 2),
            (&[(0, -1), (1, -1)], -9),
        ];
        for (terms, most) in rows {
            let row = Row::new(terms.iter().copied(), most).expect("small numbers");
            problem.push_row(row).expect("a row in normal form");
        }
        problem
    }

    fn members(rows: &[u32]) -> Vec<Vec<u32>> {
        rows.iter().map(|&row| vec![row]).collect()
    }

    #[test]
    fn what_is_named_last_remains() {
        let limits = Limits::default();
        for (order, kept) in [([0, 1, 2], [0, 2]), ([0, 2, 1], [0, 1])] {
            let core = irreducible(&problem(), &members(&[0, 1, 2]), &[], &order, &limits)
                .expect("they conflict");
            assert!(core.proved_minimal);
            // The proof found first may name one of the two only; either is irreducible.
            assert!(core.members == kept || core.members.len() == 2);
            assert!(check::replay(&problem(), &core.proof).is_ok());
        }
    }

    #[test]
    fn the_background_is_no_member() {
        let limits = Limits::default();
        let core = irreducible(&problem(), &members(&[2, 3]), &[4], &[0, 1], &limits);
        let core = core.expect("x <= 3 and y <= 2 leave 5 of 9");
        assert_eq!(core.members, [0, 1]);
        let holds = irreducible(&problem(), &members(&[3]), &[4], &[0], &limits);
        assert_eq!(holds, Err(NoCore::Holds));
    }

    #[test]
    fn what_is_not_settled_stays_and_is_said() {
        // x + y = 9 with x - y = 0 needs a node; without one of them, so does the rest.
        let mut problem = Problem::new(vec![Bounds { least: 0, most: 9 }; 2], Vec::new());
        for (x, y, most) in [(1, 1, 9), (-1, -1, -9), (1, -1, 0), (-1, 1, 0)] {
            let row = Row::new([(0, x), (1, y)], most).expect("small numbers");
            problem.push_row(row).expect("a row in normal form");
        }
        let members = [vec![0, 1], vec![2, 3]];
        let core =
            irreducible(&problem, &members, &[], &[0], &Limits::default()).expect("halves only");
        assert_eq!(core.members, [0, 1]);
        assert!(!core.proved_minimal, "the second was never left out");
        let none = Limits {
            nodes: 0,
            ..Limits::default()
        };
        let unsettled = irreducible(&problem, &members, &[], &[0, 1], &none);
        assert_eq!(unsettled, Err(NoCore::Unsettled(Why::Nodes)));
    }
}
