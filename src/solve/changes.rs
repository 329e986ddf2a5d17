//! Changes, and what [`repairs`](super::repairs) returns: amounts, and the proofs behind them.

use super::enumerate::MinimalConflict;
use super::limits::Why;
use super::solution::Certificate;
use crate::solve::program::UnknownId;

/// Something that may change.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Change {
    /// By how much (ticks); from 0.
    pub unknown: UnknownId,
    /// What one tick of it costs; at least 1.
    pub price: i64,
}

/// Changes that make the musts hold.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Repair {
    /// Each change that is not nothing, in the order of the changes.
    pub amounts: Vec<(UnknownId, i64)>,
    /// Of these amounts.
    pub price: i128,
    /// There is nothing cheaper: with these changes alone for a set, with any for the cheapest.
    pub proved: bool,
    /// Places in [`Repairs::certificates`]: [`Claim::Dearer`], one for each part.
    pub cheaper: Vec<usize>,
    /// Places in [`Repairs::certificates`]: for each amount [`Claim::Needed`], that without this
    /// change the others of the set do not suffice. Empty for the cheapest of all, whose changes
    /// need not be a minimal set.
    pub needed: Vec<usize>,
    /// All unknowns (ticks), the other parts repaired at their cheapest; every must holds.
    pub values: Vec<i64>,
    /// An alternative of each group.
    pub taken: Vec<u32>,
}

/// An independent part of the conflict: one of its repairs is needed, whatever the other parts do.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RepairPart {
    /// The changes that lie in it, in their order.
    pub changes: Vec<UnknownId>,
    /// The cheapest amounts of all; of equally cheap ones the fewest changes, then the earliest.
    pub cheapest: Repair,
    /// Every set of changes that suffices while no smaller part of it does, each at its cheapest.
    /// Cheapest first; then fewest changes, then their order.
    pub sets: Vec<Repair>,
    /// These are all sets.
    pub complete: bool,
}

/// What makes the musts hold.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Repairs {
    /// The cheapest of all: the sum of the parts' cheapest. Without amounts where the musts hold
    /// as they are; absent where nothing helps or a limit was met too soon.
    pub cheapest: Option<Repair>,
    /// What is broken, each part for itself.
    pub parts: Vec<RepairPart>,
    /// Every part was looked at, and its sets are all there are.
    pub complete: bool,
    /// The musts conflict whatever the changes.
    pub hopeless: Option<MinimalConflict>,
    pub certificates: Vec<Certificate>,
    /// Limits that were met, each once.
    pub met: Vec<Why>,
    /// Questions asked.
    pub questions: u64,
}
