//! The stop at the tail that a card under the band stands on: a strip folded lengthwise.

use super::said::{capital, length, lengths, plain, sized};
use crate::length::Interval;
use crate::plan::Where;
use crate::plan::{InsertPlan, LeafPlan, Plan};
use crate::scene::stack;

/// What it is called beside the pieces of an album, whose names have no spaces.
pub const NAME: &str = "stop at the tail";

/// What lies under a leaf's band.
fn under(leaf: &LeafPlan) -> impl Iterator<Item = &InsertPlan> {
    let banded = leaf.parts.iter().any(|part| part.label == "band");
    let under = move |insert: &&InsertPlan| banded && insert.goes == Where::Band;
    leaf.inserts.iter().filter(under)
}

/// Width and height of a leaf's stop; `None` if nothing stands on one.
pub fn stop(plan: &Plan, leaf: &LeafPlan) -> Option<(Interval, Interval)> {
    let widths = under(leaf).map(|insert| insert.width.value);
    let widest = widths.max_by_key(|width| width.most())?;
    Some((widest, *plan.quantities.get("stop_height")?))
}

/// How to make the stops, a line for each kind of leaf.
pub fn lines(plan: &Plan) -> Vec<String> {
    let line = |leaf: &LeafPlan| {
        let (width, height) = stop(plan, leaf)?;
        let names: Vec<String> = under(leaf).map(|insert| plain(&insert.name)).collect();
        Some(format!(
            "{}: fold a strip of strong paper, {}, lengthwise, so that both halves are {} high; lay its fold on the tail fold, below the band where {} is drawn, and glue its back half to the pocket. What stands under the band stands in the fold.",
            capital(&leaf.name),
            sized(plan.ruler, width, stack::times(height, 2)?),
            length(plan.ruler, height),
            lengths(&names),
        ))
    };
    plan.leaves.iter().filter_map(line).collect()
}
