//! How much a search does before it looks elsewhere, and what is left beside a part of a plan.

use super::columns::Relaxed;
use super::lp::ONE;
use super::model::Model;
use super::refill::Refill;
use super::rest::Rest;

/// Patterns of a plan and for how many sheets each.
pub(super) type Plan = Vec<(usize, u64)>;

/// Nodes that pieces are moved about for with the least effort, and nodes of a way down.
pub(super) const REFILL: u64 = 2_000;
pub(super) const DIVE: u64 = 1_000;
/// With more kinds than this, pieces are moved about first.
pub(super) const FEW_KINDS: usize = 12;
/// Nodes for the linear program before pieces are moved about again.
pub(super) const SLICE: u64 = 3_000;
/// So few pieces left are moved about on the way down.
pub(super) const SHORT_TAIL: u64 = 150;
/// So many pieces are better cut in part by whole patterns first.
pub(super) const LONG_TAIL: u64 = 300;

/// Nodes that are granted to a way down.
pub(super) fn dive(many: bool, effort: usize) -> u64 {
    if many { DIVE << effort } else { u64::MAX }
}

/// Nodes for which pieces are moved about after a way down that took so many.
pub(super) fn refill_after(many: bool, dived: u64, effort: usize, stray: usize) -> u64 {
    match (many, stray) {
        (true, _) => (2 * dived).max(REFILL << effort),
        (false, 0) => dived.min(REFILL << effort),
        (false, _) => 0,
    }
}

/// What is left beside a part of a plan, to be moved about piece by piece.
pub(super) struct Tail {
    pub plan: Plan,
    /// What that part costs.
    pub cost: u64,
    pub refill: Refill,
}

impl Tail {
    /// `None` where it cannot be moved about.
    pub fn new(model: &Model, rest: &Rest, plan: &[(usize, u64)], cost: u64) -> Option<Self> {
        let refill = Refill::new(model, rest)?;
        let plan = plan.to_vec();
        Some(Self { plan, cost, refill })
    }

    /// Whether whole sheets should be taken from it first.
    pub fn is_too_long(tail: Option<&Self>, rest: &Rest) -> bool {
        let pieces = rest.wanted.iter().fold(0u64, |s, &w| s.saturating_add(w));
        pieces > LONG_TAIL && tail.is_none_or(|tail| tail.plan.is_empty())
    }
}

/// The patterns that a linear program uses for whole sheets, and for how many.
pub(super) fn whole(relaxed: &Relaxed) -> Plan {
    let each = relaxed.optimum.amounts.iter();
    each.map(|&(column, x)| (relaxed.columns[column], (x + ONE / 1000) / ONE))
        .filter(|&(_, x)| x > 0)
        .collect()
}
