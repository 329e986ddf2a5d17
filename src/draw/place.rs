//! Where everything lies on a leaf: as facts, across from the spine edge and up from the tail.

use crate::album::Where;
use crate::length::Interval;
use crate::plan::leaf::PartPlan;
use crate::plan::{InsertPlan, LeafPlan, Plan};

/// A piece on a side of a leaf (nanometres).
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Placed {
    /// `front_mat`, `photo_mat`: as the plan names it.
    pub name: String,
    /// Width and height as they are told.
    pub width: Interval,
    pub height: Interval,
    /// Its left end from the spine edge, its lower end above the tail.
    pub left: i64,
    pub low: i64,
    pub wide: i64,
    pub high: i64,
    /// Heights between which it is hidden behind something.
    pub hidden: Vec<(i64, i64)>,
    /// It lies on the side with the pocket.
    pub pocket: bool,
    pub what: What,
}

/// What a piece is, by its place in the leaf's lists.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum What {
    Part(usize),
    Insert(usize),
}

/// Lower than any leaf.
const BELOW: i64 = -1_000_000_000_000;

/// What is drawn of a length that is only known between two ends.
pub fn drawn(value: Interval) -> i64 {
    value.middle().nm()
}

/// Every mat and insert of a leaf whose place is known; parts of a maker's own style are not.
pub fn pieces(plan: &Plan, leaf: &LeafPlan) -> Vec<Placed> {
    let parts = leaf.parts.iter().enumerate();
    let parts = parts.filter_map(|(n, part)| mat(plan, leaf, n, part));
    let inserts = leaf.inserts.iter().enumerate();
    let inserts = inserts.map(|(n, insert)| tucked(plan, leaf, n, insert));
    parts.chain(inserts).collect()
}

fn quantity(plan: &Plan, name: &str) -> i64 {
    plan.quantities.get(name).map_or(0, |value| drawn(*value))
}

fn mat(plan: &Plan, leaf: &LeafPlan, n: usize, part: &PartPlan) -> Option<Placed> {
    let (width, height) = (drawn(leaf.width), drawn(leaf.height));
    let (wide, high) = (drawn(part.width.value), drawn(part.height.value));
    let edge = leaf.pocket_edge.map(drawn);
    let (low, hidden, pocket) = match (part.label.as_str(), edge) {
        ("front_mat", Some(edge)) => {
            let low = height - quantity(plan, "head_reveal") - high;
            (low, vec![(low.min(edge), edge)], true)
        }
        ("front_mat", None) => ((height - high) / 2, Vec::new(), true),
        ("pocket_mat" | "band", Some(edge)) => ((edge - high) / 2, Vec::new(), true),
        ("back_mat", _) => ((height - high) / 2, Vec::new(), false),
        _ => return None,
    };
    Some(Placed {
        name: part.label.clone(),
        width: part.width.value,
        height: part.height.value,
        left: (width - wide) / 2,
        low,
        wide,
        high,
        hidden,
        pocket,
        what: What::Part(n),
    })
}

fn tucked(plan: &Plan, leaf: &LeafPlan, n: usize, insert: &InsertPlan) -> Placed {
    let (width, height) = (drawn(leaf.width), drawn(leaf.height));
    let (wide, high) = (drawn(insert.width.value), drawn(insert.height.value));
    let shows = insert.shows.map_or(0, |(a, b)| a.midpoint(b));
    let edge = leaf.pocket_edge.map_or(0, drawn);
    let rim = drawn(plan.holes.edge) + drawn(plan.holes.diameter) / 2;
    let clear = rim + quantity(plan, "hole_clear");
    let (from, to, low, hidden) = match insert.goes {
        Where::Mouth => {
            let low = height + shows - high;
            let to = width - quantity(plan, "ease");
            (clear, to, low, vec![(BELOW, height)])
        }
        Where::Pocket => {
            let low = edge + shows - high;
            let side = quantity(plan, "glue_seam") + quantity(plan, "ease");
            (clear.max(side), width - side, low, vec![(BELOW, edge)])
        }
        Where::Band => {
            let low = height + shows - high;
            let band = leaf.parts.iter().find(|part| part.label == "band");
            let hidden = band.and_then(|band| mat(plan, leaf, 0, band));
            let hidden = hidden.map(|b| (b.low, b.low + b.high));
            (clear, width, low, hidden.into_iter().collect())
        }
        Where::Back => {
            let low = (height - high) / 2;
            (clear, width, low, Vec::new())
        }
    };
    Placed {
        name: insert.name.clone(),
        width: insert.width.value,
        height: insert.height.value,
        // As far to the left as to the right between what holds it.
        left: from + ((to - from) - wide) / 2,
        low,
        wide,
        high,
        hidden,
        pocket: insert.goes != Where::Back,
        what: What::Insert(n),
    }
}
