//! The decision procedure: do whole numbers satisfy the rows, and if not, why not.
//!
//! At each node: propagate; take what is left apart into independent components; settle each alone
//! (one that fails, fails the node). A component is tried at the hints, then, if the unknowns
//! flagged as `first` tie it together, block by block; then by the LP; then it is branched on,
//! groups before unknowns. A child's failure says which decisions it rests on: where the node's
//! own decision is not among them, the failure is the node's and no other child is looked at
//! (conflict-directed backjumping, Prosser 1993). A question that is not settled within a few
//! hundred nodes is begun anew with more help from the LP.

mod blocks;
mod branch;

use super::check;
use super::engine::{Engine, Literals};
use super::limits::{Limits, Meter, Why};
use super::lp::{self, Relaxed};
use super::problem::{Hint, Problem, Witness};
use super::proof::{End, Node, Proof};
use super::scope::{self, Places, Scope};

/// Decisions nested deeper than this are given up; it keeps the stack small.
const DEEPEST: u32 = 300;
/// A component with more unknowns than this is not given to the LP.
const LP_UNKNOWNS: usize = 60;
/// Unless the question has proved hard, or bounds creep; then this many are.
const WHOLE_UNKNOWNS: usize = 400;
/// A question not settled within this many nodes is begun anew, more thoroughly.
const EASY_NODES: u64 = 300;

/// The answer to a question.
#[derive(Clone, Debug, PartialEq)]
pub enum Answer {
    /// These values satisfy every row.
    Holds(Witness),
    /// No values do.
    Fails(Proof),
    /// A limit was met; either may be true.
    Unsettled(Why),
}

/// Decides a problem.
///
/// `hints` are looked at first, one for each unknown (missing ones mean small); `first` names
/// unknowns that tie otherwise independent blocks together. Neither changes what is true, only
/// which witness or proof is found. Both kinds of answer were re-checked by [`check`].
#[must_use]
pub fn decide(problem: &Problem, hints: &[Hint], first: &[u32], limits: &Limits) -> Answer {
    let mut solver = Solver::new(problem.clone());
    for (place, &hint) in solver.hints.iter_mut().zip(hints) {
        *place = hint;
    }
    for &unknown in first {
        if let Some(place) = solver.first.get_mut(unknown as usize) {
            *place = true;
        }
    }
    let scope = Scope::whole(&solver.engine);
    let answer = match solver.ask(&scope, 0, &mut Meter::new(limits)) {
        Reply::Holds => Answer::Holds(solver.found),
        Reply::Fails(proof) => Answer::Fails(proof),
        Reply::Unsettled(why) => Answer::Unsettled(why),
    };
    let accepted = match &answer {
        Answer::Holds(witness) => check::witness(problem, witness).is_ok(),
        Answer::Fails(proof) => check::replay(problem, proof).is_ok(),
        Answer::Unsettled(_) => true,
    };
    if accepted {
        answer
    } else {
        Answer::Unsettled(Why::Refused)
    }
}

/// As [`Answer`]; the witness is in [`Solver::found`].
pub(super) enum Reply {
    Holds,
    Fails(Proof),
    Unsettled(Why),
}

enum Outcome {
    Holds,
    Fails(Failure),
    Unsettled(Why),
}

/// A node of the proof, and the changed literals that it rests on.
struct Failure {
    node: u32,
    needed: Literals,
}

/// An engine with what a search over it needs.
#[derive(Clone, Debug)]
pub(super) struct Solver {
    pub engine: Engine,
    pub hints: Vec<Hint>,
    /// The alternative of each group to look at first.
    pub favoured: Vec<u32>,
    pub first: Vec<bool>,
    /// After a question that holds: values for everything in its scope.
    pub found: Witness,
    pub places: Places,
    nodes: Vec<Node>,
    /// Splits of each unknown on the present path.
    splits: Vec<u32>,
    /// The present question has proved hard.
    thorough: bool,
    /// Nodes looked at since the solver was made.
    pub visited: u64,
}

impl Solver {
    pub fn new(problem: Problem) -> Self {
        let unknowns = problem.unknowns().len();
        let groups = problem.groups().len();
        Self {
            hints: vec![Hint::Least; unknowns],
            favoured: vec![0; groups],
            first: vec![false; unknowns],
            found: Witness {
                values: problem
                    .unknowns()
                    .iter()
                    .map(|bounds| bounds.least)
                    .collect(),
                taken: vec![0; groups],
            },
            places: Places::default(),
            nodes: Vec::new(),
            splits: vec![0; unknowns],
            thorough: false,
            visited: 0,
            engine: Engine::new(problem),
        }
    }

    /// Decides the rows of a scope under the present bounds, which it leaves as they are but for
    /// the rows woken since `mark`. A proof starts from the problem's own bounds.
    pub fn ask(&mut self, scope: &Scope, mark: usize, meter: &mut Meter) -> Reply {
        self.nodes.clear();
        if let Some(end) = self.engine.empty() {
            return Reply::Fails(Proof {
                nodes: vec![Node {
                    steps: Vec::new(),
                    end,
                }],
            });
        }
        let mut lent = meter.lend(EASY_NODES);
        let mut outcome = self.node_since(mark, scope, 0, &mut lent);
        meter.take_back(EASY_NODES, &lent);
        if matches!(outcome, Outcome::Unsettled(Why::Nodes)) && meter.node().is_ok() {
            outcome = self.thoroughly(mark, scope, meter);
        }
        match outcome {
            Outcome::Holds => Reply::Holds,
            Outcome::Unsettled(why) => Reply::Unsettled(why),
            Outcome::Fails(failure) => {
                self.engine.undo(mark);
                let failure = self.preface(failure, 0);
                Reply::Fails(Proof::gather(&mut self.nodes, failure.node))
            }
        }
    }

    /// Refutes by propagation alone, or says nothing.
    pub fn refute(&mut self) -> Option<Proof> {
        let row = self.engine.propagate().err()?;
        self.nodes.clear();
        let failure = self.fail(End::Violated { row }, self.engine.behind_violation(row));
        let failure = self.preface(failure, 0);
        Some(Proof::gather(&mut self.nodes, failure.node))
    }

    fn fail(&mut self, end: End, needed: Literals) -> Failure {
        let node = self.nodes.len() as u32;
        self.nodes.push(Node {
            steps: Vec::new(),
            end,
        });
        Failure { node, needed }
    }

    /// Puts the steps made since `mark` that a failure rests on before it.
    fn preface(&mut self, mut failure: Failure, mark: usize) -> Failure {
        let mut steps = self.engine.explain(&mut failure.needed, mark);
        let node = &mut self.nodes[failure.node as usize];
        steps.append(&mut node.steps);
        node.steps = steps;
        failure
    }

    /// The second attempt at a question that was not easy: the unknowns in the most rows count as
    /// ties, and the LP is asked of components with open choices too.
    fn thoroughly(&mut self, mark: usize, scope: &Scope, meter: &mut Meter) -> Outcome {
        let parts = scope::split(&self.engine, scope, |_| false, &mut self.places).parts;
        for part in parts
            .iter()
            .filter(|part| part.unknowns.len() <= WHOLE_UNKNOWNS)
            .take_while(|_| !meter.is_late())
        {
            if let Some(failure) = self.farkas(part, meter) {
                return Outcome::Fails(self.preface(failure, mark));
            }
        }
        let flagged = self.first.clone();
        for part in &parts {
            self.flag_ties(part);
        }
        self.thorough = true;
        let outcome = self.node_since(mark, scope, 0, meter);
        self.thorough = false;
        self.first = flagged;
        outcome
    }

    /// Flags unknowns that are in many more rows than most of their part.
    fn flag_ties(&mut self, part: &Scope) {
        let rows = |unknown: u32| self.engine.rows_of_unknown(unknown).count();
        let mut counts: Vec<usize> = part.unknowns.iter().map(|&at| rows(at)).collect();
        counts.sort_unstable();
        let usual = counts.get(counts.len() / 2).copied().unwrap_or(0).max(2);
        let ties = part.unknowns.iter().copied();
        let ties: Vec<u32> = ties.filter(|&at| rows(at) >= 4 * usual).collect();
        for unknown in ties {
            self.first[unknown as usize] = true;
        }
    }

    fn node(&mut self, scope: &Scope, depth: u32, meter: &mut Meter) -> Outcome {
        self.node_since(self.engine.mark(), scope, depth, meter)
    }

    /// A node whose changes, and so its steps, began at `mark`.
    fn node_since(&mut self, mark: usize, scope: &Scope, depth: u32, meter: &mut Meter) -> Outcome {
        self.visited += 1;
        if let Err(row) = self.engine.propagate() {
            let needed = self.engine.behind_violation(row);
            let failure = self.fail(End::Violated { row }, needed);
            return Outcome::Fails(self.preface(failure, mark));
        }
        let crept = std::mem::take(&mut self.engine.crept);
        self.settle(scope);
        let parts = scope::split(&self.engine, scope, |_| false, &mut self.places).parts;
        let mut unsettled = None;
        for part in &parts {
            match self.component(part, depth, &crept, meter) {
                Outcome::Holds => {}
                Outcome::Fails(failure) => return Outcome::Fails(self.preface(failure, mark)),
                Outcome::Unsettled(why) => unsettled = Some(why),
            }
        }
        unsettled.map_or(Outcome::Holds, Outcome::Unsettled)
    }

    /// Notes the value of everything in a scope: what is fixed, and for the rest what the hints
    /// say. Components overwrite theirs.
    fn settle(&mut self, scope: &Scope) {
        for &unknown in &scope.unknowns {
            let bounds = self.engine.bounds(unknown);
            self.found.values[unknown as usize] = self.hints[unknown as usize].within(bounds);
        }
        for &group in &scope.groups {
            if let Some(taken) = self.favoured_open(group) {
                self.found.taken[group as usize] = taken;
            }
        }
    }

    fn favoured_open(&self, group: u32) -> Option<u32> {
        let favoured = self.favoured[group as usize];
        if self.engine.is_open(group, favoured) {
            return Some(favoured);
        }
        self.engine.open_alternatives(group).next()
    }

    /// Whether the values noted satisfy the scope's rows; what is outside it is fixed.
    fn noted_holds(&self, scope: &Scope) -> bool {
        scope.rows.iter().all(|&id| {
            let row = &self.engine.problem().rows()[id as usize];
            let taken = |&(group, at): &(u32, u32)| {
                if self.engine.is_decided(group) {
                    self.engine.is_open(group, at)
                } else {
                    self.found.taken[group as usize] == at
                }
            };
            if !row.guards.iter().all(taken) {
                return true;
            }
            let sum: i128 = row
                .terms
                .iter()
                .map(|&(unknown, coefficient)| {
                    let bounds = self.engine.bounds(unknown);
                    let value = if bounds.least == bounds.most {
                        bounds.least
                    } else {
                        self.found.values[unknown as usize]
                    };
                    i128::from(coefficient) * i128::from(value)
                })
                .sum();
            sum <= i128::from(row.most)
        })
    }

    /// Settles a component at a fixpoint of propagation. It was settled at the hints by `node`.
    fn component(
        &mut self,
        scope: &Scope,
        depth: u32,
        crept: &[u32],
        meter: &mut Meter,
    ) -> Outcome {
        self.settle(scope);
        if self.noted_holds(scope) {
            return Outcome::Holds;
        }
        if let Err(why) = meter.node() {
            return Outcome::Unsettled(why);
        }
        if depth >= DEEPEST {
            return Outcome::Unsettled(Why::Depth);
        }
        if let Some(outcome) = self.blocks(scope, depth, meter) {
            return outcome;
        }
        let mut fraction = None;
        if scope.unknowns.len() > LP_UNKNOWNS {
            // Too large for the LP as a whole, but what creeps can be refuted by itself.
            let creeping = self.creeping(scope, crept);
            if creeping.unknowns.len() <= WHOLE_UNKNOWNS
                && let Some(failure) = self.farkas(&creeping, meter)
            {
                return Outcome::Fails(failure);
            }
        } else if scope.groups.is_empty() || !crept.is_empty() || self.thorough {
            let plain = crept.is_empty() && scope.groups.is_empty();
            if plain && self.dive(scope) {
                return Outcome::Holds;
            }
            match lp::relax(&self.engine, scope, &self.hints, meter.time()) {
                Relaxed::Point(proposal) if scope.groups.is_empty() => {
                    if self.rounded_holds(scope, &proposal.roundings) {
                        return Outcome::Holds;
                    }
                    fraction = proposal.split;
                }
                Relaxed::Empty => {
                    if let Some(failure) = self.farkas(scope, meter) {
                        return Outcome::Fails(failure);
                    }
                }
                Relaxed::Point(_) | Relaxed::Nothing => {}
            }
        }
        let group = scope
            .groups
            .iter()
            .copied()
            .min_by_key(|&group| self.engine.open_count(group));
        match group {
            Some(group) => self.either(scope, group, depth, meter),
            None => self.branch(scope, fraction, depth, meter),
        }
    }

    /// The rows of a scope between creeping unknowns alone.
    fn creeping(&self, scope: &Scope, crept: &[u32]) -> Scope {
        let creeps = |unknown: u32| crept.binary_search(&unknown).is_ok();
        let among = |&row: &u32| {
            let terms = &self.engine.problem().rows()[row as usize].terms;
            terms
                .iter()
                .all(|&(at, _)| creeps(at) || self.engine.is_fixed(at))
        };
        if crept.is_empty() {
            return Scope::default();
        }
        Scope {
            unknowns: scope
                .unknowns
                .iter()
                .copied()
                .filter(|&at| creeps(at))
                .collect(),
            groups: Vec::new(),
            rows: scope.rows.iter().copied().filter(among).collect(),
        }
    }

    fn farkas(&mut self, scope: &Scope, meter: &Meter) -> Option<Failure> {
        if scope.rows.is_empty() {
            return None;
        }
        let found = lp::farkas(&self.engine, scope, meter.time())?;
        let needed = self.engine.behind_sum(&found.multipliers, &found.combined);
        let multipliers = found.multipliers;
        Some(self.fail(End::Farkas { multipliers }, needed))
    }

    fn rounded_holds(&mut self, scope: &Scope, roundings: &[Vec<i64>]) -> bool {
        roundings.iter().any(|values| {
            for (&unknown, &value) in scope.unknowns.iter().zip(values) {
                self.found.values[unknown as usize] =
                    Hint::At(value).within(self.engine.bounds(unknown));
            }
            self.noted_holds(scope)
        })
    }
}
