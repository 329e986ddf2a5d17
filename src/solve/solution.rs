//! What [`solve`](super::solve) returns: values, and the proofs behind them.

use super::limits::Why;
use super::problem::{Problem, Row};
use super::proof::Proof;
use crate::solve::program::{GroupId, InstanceId, Program, RowId, UnknownId};

/// Where a row of a [`Certificate`] comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Origin {
    /// A row of the program.
    Row(RowId),
    /// What an earlier [`Stage::Best`](crate::solve::program::Stage::Best) settled: its objective stays
    /// at its optimum. "Not lower" is a preference, "not higher" was proved by that stage.
    Optimum { stage: usize },
    /// What an earlier [`Stage::Choose`](crate::solve::program::Stage::Choose) settled.
    Choice { stage: usize },
    /// What the certificate refutes: "at least one tick better", "this alternative", "this wish",
    /// "without this change", "for less".
    Assumed,
}

/// What a certificate proves.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Claim {
    /// The musts cannot all hold.
    Conflict,
    /// A wish cannot be kept beside what was settled before `stage`.
    Dropped { stage: usize },
    /// The part of the objective of `stage` over these unknowns cannot be larger than `value`.
    Best { stage: usize, value: i128 },
    /// An alternative cannot be taken beside what was settled before `stage`.
    Skipped { stage: usize, alternative: u32 },
    /// The unknown cannot be one tick better, by these rows alone.
    Held { unknown: UnknownId },
    /// The musts cannot all hold while the changes named by the assumed rows stay at nothing.
    Needed,
    /// The changes of one part cannot make the musts hold for less than `price`.
    Dearer { price: i128 },
}

/// A refutation that stands alone: only the rows and unknowns that it needs, between the bounds
/// that the program gives them.
#[derive(Clone, Debug, PartialEq)]
pub struct Certificate {
    pub claim: Claim,
    pub problem: Problem,
    pub proof: Proof,
    /// The origin of each row of `problem`.
    pub origins: Vec<Origin>,
    /// The program's name for each unknown of `problem`.
    pub unknowns: Vec<UnknownId>,
    /// The program's name for each group of `problem`.
    pub groups: Vec<GroupId>,
}

impl Certificate {
    /// Whether its bounds, groups and program rows are those of the program: the proof is about
    /// this album, and not about another one. What the proof proves is for
    /// [`check::replay`](super::check::replay) to say.
    #[must_use]
    pub fn is_about(&self, program: &Program) -> bool {
        let bounds = self.problem.unknowns().iter().zip(&self.unknowns);
        let groups = self.problem.groups().iter().zip(&self.groups);
        let rows = self.problem.rows().iter().zip(&self.origins);
        self.unknowns.len() == self.problem.unknowns().len()
            && self.groups.len() == self.problem.groups().len()
            && self.origins.len() == self.problem.rows().len()
            && bounds.into_iter().all(|(bounds, id)| {
                program
                    .unknowns
                    .get(id.0 as usize)
                    .is_some_and(|it| it.least == bounds.least && it.most == bounds.most)
            })
            && groups.into_iter().all(|(&count, id)| {
                program
                    .groups
                    .get(id.0 as usize)
                    .is_some_and(|it| it.alternatives.len() == count as usize)
            })
            && rows.into_iter().all(|(row, origin)| match origin {
                Origin::Row(id) => program
                    .rows
                    .get(id.0 as usize)
                    .is_some_and(|it| self.is_same(row, it)),
                _ => true,
            })
    }

    fn is_same(&self, row: &Row, other: &crate::solve::program::Row) -> bool {
        row.most == other.most
            && row.terms.len() == other.terms.len()
            && row.guards.len() == other.guards.len()
            && row
                .terms
                .iter()
                .zip(&other.terms)
                .all(|(one, other)| self.unknowns[one.0 as usize] == other.0 && one.1 == other.1)
            && row.guards.iter().zip(&other.guards).all(|(one, other)| {
                self.groups[one.0 as usize] == other.group && one.1 == other.alternative
            })
    }
}

/// The answer as a whole.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// There is a plan, and every stage is proved.
    FitsBest,
    /// There is a plan; some stage met a limit. `reproducible` where no clock was in it.
    FitsFound { reproducible: bool },
    /// No plan satisfies these musts together; proved by `certificate`.
    Conflict(Conflict),
    /// A limit was met before a plan or a proof was found.
    Undecided { why: Why },
}

/// Musts that cannot all hold.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Conflict {
    /// In program order.
    pub instances: Vec<InstanceId>,
    /// Rows of the program in the conflict that belong to no instance.
    pub rows: Vec<RowId>,
    /// Without any one of the instances the rest can hold; that was checked for each.
    pub proved_minimal: bool,
    /// Place in [`Solution::certificates`].
    pub certificate: usize,
}

/// What became of a stage. Certificates are places in [`Solution::certificates`].
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum StageOutcome {
    /// The wish is kept.
    Kept,
    /// The wish cannot be kept.
    Dropped { certificate: usize },
    /// The objective's value (ticks). `proved` where it cannot be larger: one certificate for each
    /// independent part of the objective.
    Best {
        value: i128,
        proved: bool,
        certificates: Vec<usize>,
    },
    /// The alternative taken, and a certificate for each one passed over before it.
    Chosen {
        alternative: u32,
        skipped: Vec<usize>,
    },
    /// The group belongs to a wish that is not kept, or not yet looked at.
    Absent,
    /// A limit was met: a wish is dropped for lack of time; a choice keeps `taken`, which can be
    /// taken, though an earlier alternative might be.
    Unsettled { why: Why, taken: Option<u32> },
}

/// What keeps an unknown from being one tick better.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Holder {
    /// A must, or a wish that is kept.
    Instance(InstanceId),
    /// A row of the program that belongs to no instance.
    Row(RowId),
    /// An earlier preference.
    Stage(usize),
    /// Its own least or most value.
    Bound,
}

/// Why an unknown cannot be one tick better in the direction of its own preference.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Held {
    /// The stage that asks for this unknown alone.
    pub stage: usize,
    /// It should be large; otherwise small.
    pub larger: bool,
    pub holders: Vec<Holder>,
    /// Each holder is needed: without it the others leave room.
    pub irreducible: bool,
    /// Place in [`Solution::certificates`].
    pub certificate: usize,
}

/// How much work it was.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Stats {
    /// Search nodes.
    pub nodes: u64,
    /// Questions asked of the search; most are settled at their first node.
    pub questions: u64,
    /// Proofs replayed and accepted by the checker.
    pub proofs_checked: usize,
    /// Witnesses tested and accepted by the checker.
    pub witnesses_checked: usize,
    /// Nodes of all proofs.
    pub proof_nodes: usize,
    /// Steps of all proofs.
    pub proof_steps: usize,
}

/// A program's answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Solution {
    pub verdict: Verdict,
    /// One value for each unknown (ticks); empty where there is no plan.
    pub values: Vec<i64>,
    /// The alternative of each group; `None` where the group belongs to a wish that is not kept.
    pub taken: Vec<Option<u32>>,
    /// One for each stage of the program; empty where there is no plan.
    pub stages: Vec<StageOutcome>,
    /// For each unknown that a stage of its own makes large or small: why it stops there. `None`
    /// also where that stage met a limit.
    pub held_by: Vec<Option<Held>>,
    /// Unknowns that reach a `most` that no rule set.
    pub unlimited: Vec<UnknownId>,
    pub certificates: Vec<Certificate>,
    pub stats: Stats,
}

impl Solution {
    /// Whether a stage's wish is kept, by instance.
    #[must_use]
    pub fn is_kept(&self, program: &Program, instance: InstanceId) -> bool {
        use crate::solve::program::{Force, Stage};
        program
            .instances
            .get(instance.0 as usize)
            .is_some_and(|it| it.force == Force::Must)
            || program
                .stages
                .iter()
                .zip(&self.stages)
                .any(|(stage, outcome)| {
                    *stage == Stage::Keep(instance) && *outcome == StageOutcome::Kept
                })
    }
}
