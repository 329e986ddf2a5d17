//! The checker: replays proofs and tests witnesses. It searches nothing.
//!
//! It shares no code with propagation, search or the LP: it reads [`Problem`] and [`Proof`] and
//! does its own sums, every one of them checked. What it accepts is true whatever the search did.

use super::problem::{Problem, Row, Side, Witness};
use super::proof::{End, Proof, Step};
use thiserror::Error;

/// Why a proof was refused. Numbers are places in the problem or in the proof.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum ProofError {
    #[error("the proof is empty")]
    Empty,
    #[error("node {node} does not exist, or does not stand before its parent")]
    NoSuchNode { node: u32 },
    #[error("node {node} is used twice")]
    UsedTwice { node: u32 },
    #[error("node {node} is used by nothing")]
    Unused { node: u32 },
    #[error("row {row} does not exist")]
    NoSuchRow { row: u32 },
    #[error("unknown {unknown} does not exist")]
    NoSuchUnknown { unknown: u32 },
    #[error("alternative {alternative} of group {group} does not exist")]
    NoSuchAlternative { group: u32, alternative: u32 },
    #[error("row {row} is not in force")]
    NotInForce { row: u32 },
    #[error("unknown {unknown} is not in row {row}")]
    NotInRow { row: u32, unknown: u32 },
    #[error("row {row} does not give unknown {unknown} the bound {to}")]
    WrongBound { row: u32, unknown: u32, to: i64 },
    #[error("row {row} is not violated")]
    NotViolated { row: u32 },
    #[error("row {row} does not strike alternative {alternative} of group {group}")]
    WrongStrike {
        row: u32,
        group: u32,
        alternative: u32,
    },
    #[error("the multiplier of row {row} is negative")]
    NegativeMultiplier { row: u32 },
    #[error("the multiplied rows do not contradict the bounds")]
    NoContradiction,
    #[error("unknown {unknown} cannot be split at {at}")]
    WrongSplit { unknown: u32, at: i64 },
    #[error("alternative {alternative} of group {group} is open and has no child")]
    MissingChild { group: u32, alternative: u32 },
    #[error("alternative {alternative} of group {group} is struck or repeated, and has a child")]
    ExtraChild { group: u32, alternative: u32 },
    #[error("group {group} has alternatives")]
    HasAlternatives { group: u32 },
    #[error("unknown {unknown} has a value")]
    HasValue { unknown: u32 },
    #[error("a number is too large to be added exactly")]
    Overflow,
}

/// Why a witness was refused.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum WitnessError {
    #[error("the witness has another number of values or of alternatives than the problem")]
    Shape,
    #[error("unknown {unknown} is outside its bounds")]
    OutOfBounds { unknown: u32 },
    #[error("group {group} takes an alternative that does not exist")]
    NoSuchAlternative { group: u32 },
    #[error("row {row} is violated")]
    Violated { row: u32 },
    #[error("a number is too large to be added exactly")]
    Overflow,
}

/// Replays a proof that no whole numbers satisfy `problem`.
///
/// # Errors
/// The first thing in the proof that does not follow.
pub fn replay(problem: &Problem, proof: &Proof) -> Result<(), ProofError> {
    let Some(root) = proof.nodes.len().checked_sub(1) else {
        return Err(ProofError::Empty);
    };
    let root = u32::try_from(root).map_err(|_| ProofError::Overflow)?;
    let mut replay = Replay {
        problem,
        bounds: problem
            .unknowns()
            .iter()
            .map(|bounds| (bounds.least, bounds.most))
            .collect(),
        struck: problem
            .groups()
            .iter()
            .map(|&count| vec![false; count as usize])
            .collect(),
        undo: Vec::new(),
    };
    let mut used = vec![false; proof.nodes.len()];
    let mut work = vec![Work::Node {
        node: root,
        limit: root.saturating_add(1),
        given: Given::Nothing,
    }];
    while let Some(next) = work.pop() {
        match next {
            Work::Leave { depth } => replay.leave(depth),
            Work::Node { node, limit, given } => {
                let place = node as usize;
                if node >= limit || place >= proof.nodes.len() {
                    return Err(ProofError::NoSuchNode { node });
                }
                if std::mem::replace(&mut used[place], true) {
                    return Err(ProofError::UsedTwice { node });
                }
                work.push(Work::Leave {
                    depth: replay.undo.len(),
                });
                replay.assume(given);
                for step in &proof.nodes[place].steps {
                    replay.step(*step)?;
                }
                replay.end(&proof.nodes[place].end, node, &mut work)?;
            }
        }
    }
    match used.iter().position(|used| !used) {
        Some(node) => Err(ProofError::Unused { node: node as u32 }),
        None => Ok(()),
    }
}

/// Tests a witness against every bound and every row in force.
///
/// # Errors
/// The first bound or row that does not hold.
pub fn witness(problem: &Problem, witness: &Witness) -> Result<(), WitnessError> {
    if witness.values.len() != problem.unknowns().len()
        || witness.taken.len() != problem.groups().len()
    {
        return Err(WitnessError::Shape);
    }
    for (at, (bounds, &value)) in problem.unknowns().iter().zip(&witness.values).enumerate() {
        if value < bounds.least || value > bounds.most {
            return Err(WitnessError::OutOfBounds { unknown: at as u32 });
        }
    }
    for (at, (&count, &taken)) in problem.groups().iter().zip(&witness.taken).enumerate() {
        if taken >= count {
            return Err(WitnessError::NoSuchAlternative { group: at as u32 });
        }
    }
    for (at, row) in problem.rows().iter().enumerate() {
        let in_force = row
            .guards
            .iter()
            .all(|&(group, alternative)| witness.taken[group as usize] == alternative);
        if !in_force {
            continue;
        }
        let mut sum = 0i128;
        for &(unknown, coefficient) in &row.terms {
            sum = i128::from(coefficient)
                .checked_mul(i128::from(witness.values[unknown as usize]))
                .and_then(|part| sum.checked_add(part))
                .ok_or(WitnessError::Overflow)?;
        }
        if sum > i128::from(row.most) {
            return Err(WitnessError::Violated { row: at as u32 });
        }
    }
    Ok(())
}

/// What a child may assume beyond its parent.
#[derive(Clone, Copy)]
enum Given {
    Nothing,
    AtMost { unknown: u32, most: i64 },
    AtLeast { unknown: u32, least: i64 },
    Taken { group: u32, alternative: u32 },
}

enum Work {
    Node { node: u32, limit: u32, given: Given },
    Leave { depth: usize },
}

enum Undo {
    Bounds { unknown: u32, bounds: (i64, i64) },
    Struck { group: u32, alternative: u32 },
}

struct Replay<'a> {
    problem: &'a Problem,
    bounds: Vec<(i64, i64)>,
    struck: Vec<Vec<bool>>,
    undo: Vec<Undo>,
}

impl Replay<'_> {
    fn leave(&mut self, depth: usize) {
        while self.undo.len() > depth {
            match self.undo.pop() {
                Some(Undo::Bounds { unknown, bounds }) => self.bounds[unknown as usize] = bounds,
                Some(Undo::Struck { group, alternative }) => {
                    self.struck[group as usize][alternative as usize] = false;
                }
                None => break,
            }
        }
    }

    fn set(&mut self, unknown: u32, bounds: (i64, i64)) {
        let place = &mut self.bounds[unknown as usize];
        self.undo.push(Undo::Bounds {
            unknown,
            bounds: *place,
        });
        *place = bounds;
    }

    fn strike(&mut self, group: u32, alternative: u32) {
        let place = &mut self.struck[group as usize][alternative as usize];
        if !std::mem::replace(place, true) {
            self.undo.push(Undo::Struck { group, alternative });
        }
    }

    /// The assumption was tested when the parent's end was read.
    fn assume(&mut self, given: Given) {
        match given {
            Given::Nothing => {}
            Given::AtMost { unknown, most } => {
                self.set(unknown, (self.bounds[unknown as usize].0, most));
            }
            Given::AtLeast { unknown, least } => {
                self.set(unknown, (least, self.bounds[unknown as usize].1));
            }
            Given::Taken { group, alternative } => {
                for other in 0..self.problem.groups()[group as usize] {
                    if other != alternative {
                        self.strike(group, other);
                    }
                }
            }
        }
    }

    fn row(&self, row: u32) -> Result<&Row, ProofError> {
        self.problem
            .rows()
            .get(row as usize)
            .ok_or(ProofError::NoSuchRow { row })
    }

    fn is_taken(&self, group: u32, alternative: u32) -> bool {
        self.struck[group as usize]
            .iter()
            .enumerate()
            .all(|(at, &struck)| struck != (at == alternative as usize))
    }

    fn row_in_force(&self, id: u32) -> Result<&Row, ProofError> {
        let row = self.row(id)?;
        if row
            .guards
            .iter()
            .all(|&(group, at)| self.is_taken(group, at))
        {
            Ok(row)
        } else {
            Err(ProofError::NotInForce { row: id })
        }
    }

    /// The smallest value of `coefficient * unknown`.
    fn smallest(&self, unknown: u32, coefficient: i128) -> Result<i128, ProofError> {
        let (least, most) = self.bounds[unknown as usize];
        let at = if coefficient > 0 { least } else { most };
        coefficient
            .checked_mul(i128::from(at))
            .ok_or(ProofError::Overflow)
    }

    /// The smallest sum of a row's terms, one of them left out where `without` names it.
    fn minimum(&self, row: &Row, without: Option<u32>) -> Result<i128, ProofError> {
        let mut sum = 0i128;
        for &(unknown, coefficient) in &row.terms {
            if Some(unknown) != without {
                sum = sum
                    .checked_add(self.smallest(unknown, coefficient.into())?)
                    .ok_or(ProofError::Overflow)?;
            }
        }
        Ok(sum)
    }

    fn step(&mut self, step: Step) -> Result<(), ProofError> {
        match step {
            Step::Bound {
                row: id,
                unknown,
                side,
                to,
            } => self.bound(id, unknown, side, to),
            Step::Strike {
                row: id,
                group,
                alternative,
            } => {
                let wrong = ProofError::WrongStrike {
                    row: id,
                    group,
                    alternative,
                };
                let row = self.row(id)?;
                if !row.guards.contains(&(group, alternative)) {
                    return Err(wrong);
                }
                let others = row.guards.iter().filter(|guard| guard.0 != group);
                if !others
                    .into_iter()
                    .all(|&(other, at)| self.is_taken(other, at))
                {
                    return Err(ProofError::NotInForce { row: id });
                }
                if self.minimum(row, None)? <= i128::from(row.most) {
                    return Err(wrong);
                }
                self.strike(group, alternative);
                Ok(())
            }
        }
    }

    fn bound(&mut self, id: u32, unknown: u32, side: Side, to: i64) -> Result<(), ProofError> {
        let row = self.row_in_force(id)?;
        let Some(&(_, coefficient)) = row.terms.iter().find(|term| term.0 == unknown) else {
            return Err(ProofError::NotInRow { row: id, unknown });
        };
        let wrong = ProofError::WrongBound {
            row: id,
            unknown,
            to,
        };
        let slack = i128::from(row.most)
            .checked_sub(self.minimum(row, Some(unknown))?)
            .ok_or(ProofError::Overflow)?;
        // `coefficient * unknown <= slack`: the first value beyond `to` must break it.
        let beyond = match side {
            Side::Most if coefficient > 0 => i128::from(to) + 1,
            Side::Least if coefficient < 0 => i128::from(to) - 1,
            _ => return Err(wrong),
        };
        let reached = i128::from(coefficient)
            .checked_mul(beyond)
            .ok_or(ProofError::Overflow)?;
        if reached <= slack {
            return Err(wrong);
        }
        let (least, most) = self.bounds[unknown as usize];
        match side {
            Side::Most if to < most && to >= least => self.set(unknown, (least, to)),
            Side::Least if to > least && to <= most => self.set(unknown, (to, most)),
            _ => return Err(wrong),
        }
        Ok(())
    }

    fn end(&self, end: &End, node: u32, work: &mut Vec<Work>) -> Result<(), ProofError> {
        match end {
            End::Violated { row: id } => {
                let row = self.row_in_force(*id)?;
                if self.minimum(row, None)? > i128::from(row.most) {
                    Ok(())
                } else {
                    Err(ProofError::NotViolated { row: *id })
                }
            }
            End::Farkas { multipliers } => self.farkas(multipliers),
            &End::Split {
                unknown,
                at,
                below,
                above,
            } => {
                let &(least, most) = self
                    .bounds
                    .get(unknown as usize)
                    .ok_or(ProofError::NoSuchUnknown { unknown })?;
                // Within these, `at + 1` cannot overflow.
                if at < least || at >= most {
                    return Err(ProofError::WrongSplit { unknown, at });
                }
                work.push(Work::Node {
                    node: above,
                    limit: node,
                    given: Given::AtLeast {
                        unknown,
                        least: at + 1,
                    },
                });
                work.push(Work::Node {
                    node: below,
                    limit: node,
                    given: Given::AtMost { unknown, most: at },
                });
                Ok(())
            }
            End::Either { group, children } => self.either(*group, children, node, work),
            &End::NoAlternative { group } => match self.problem.groups().get(group as usize) {
                Some(0) => Ok(()),
                Some(_) => Err(ProofError::HasAlternatives { group }),
                None => Err(ProofError::NoSuchAlternative {
                    group,
                    alternative: 0,
                }),
            },
            &End::NoValue { unknown } => match self.problem.unknowns().get(unknown as usize) {
                Some(bounds) if bounds.least > bounds.most => Ok(()),
                Some(_) => Err(ProofError::HasValue { unknown }),
                None => Err(ProofError::NoSuchUnknown { unknown }),
            },
        }
    }

    fn either(
        &self,
        group: u32,
        children: &[(u32, u32)],
        node: u32,
        work: &mut Vec<Work>,
    ) -> Result<(), ProofError> {
        let Some(struck) = self.struck.get(group as usize) else {
            return Err(ProofError::NoSuchAlternative {
                group,
                alternative: 0,
            });
        };
        let mut covered = struck.clone();
        for &(alternative, child) in children {
            match covered.get_mut(alternative as usize) {
                None => return Err(ProofError::NoSuchAlternative { group, alternative }),
                Some(true) => return Err(ProofError::ExtraChild { group, alternative }),
                Some(place) => *place = true,
            }
            work.push(Work::Node {
                node: child,
                limit: node,
                given: Given::Taken { group, alternative },
            });
        }
        match covered.iter().position(|covered| !covered) {
            Some(at) => Err(ProofError::MissingChild {
                group,
                alternative: at as u32,
            }),
            None => Ok(()),
        }
    }

    fn farkas(&self, multipliers: &[(u32, i64)]) -> Result<(), ProofError> {
        let mut sums: std::collections::BTreeMap<u32, i128> = std::collections::BTreeMap::new();
        let mut allowed = 0i128;
        for &(id, multiplier) in multipliers {
            let row = self.row_in_force(id)?;
            if multiplier < 0 {
                return Err(ProofError::NegativeMultiplier { row: id });
            }
            let times = |number: i64| i128::from(number).checked_mul(i128::from(multiplier));
            allowed = times(row.most)
                .and_then(|part| allowed.checked_add(part))
                .ok_or(ProofError::Overflow)?;
            for &(unknown, coefficient) in &row.terms {
                let sum = sums.entry(unknown).or_insert(0);
                *sum = times(coefficient)
                    .and_then(|part| sum.checked_add(part))
                    .ok_or(ProofError::Overflow)?;
            }
        }
        let mut minimum = 0i128;
        for (unknown, sum) in sums {
            minimum = minimum
                .checked_add(self.smallest(unknown, sum)?)
                .ok_or(ProofError::Overflow)?;
        }
        if minimum > allowed {
            Ok(())
        } else {
            Err(ProofError::NoContradiction)
        }
    }
}
