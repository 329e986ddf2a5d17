//! The map of the album: what faces what at each opening.

use super::said::{lengths, plain};
use crate::plan::frames::{FramePlan, Laid};
use crate::plan::{LeafPlan, Plan};
use crate::report::place;
use crate::report::words::capital;
use crate::style::parts::{Bound, Edge};

/// One side of a kind of leaf.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Side {
    /// Place in [`Plan::leaves`].
    pub leaf: usize,
    /// The side that the style names first, not the other.
    pub pocket: bool,
    /// Of a leaf that is folded: the half of its frame that is this page.
    pub half: Option<Edge>,
}

/// One opening, or several that are alike: what is seen at the left and at the right.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Opening {
    /// The first and the last of these openings, counted from 1; both 0 for the album closed.
    pub from: i64,
    pub to: i64,
    pub left: Option<Side>,
    pub right: Option<Side>,
}

/// From the front cover to the back of the album, leaf by leaf in the order of the plan. A leaf is
/// seen from its first side first; a turned one from the other.
pub fn openings(plan: &Plan) -> Vec<Opening> {
    let mut frames = plan.frames.iter();
    let frame = frames.find(|frame| frame.leaf.is_some());
    match frame.map(|frame| frame.bound) {
        Some(Bound::Fold) => nested(plan),
        Some(Bound::At(_) | Bound::No) | None => stacked(plan),
    }
}

/// One leaf in the fold of the other, the first outermost: each is two pages on either side.
fn nested(plan: &Plan) -> Vec<Opening> {
    let each = plan.leaves.iter().enumerate();
    let each = each.flat_map(|(n, leaf)| (0..leaf.count.max(0)).map(move |_| n));
    // From the front cover to the middle, then back again.
    let inwards: Vec<usize> = each.collect();
    let page = |leaf: usize, pocket: bool, half: Edge| Side {
        leaf,
        pocket: pocket != plan.leaves[leaf].turned,
        half: Some(half),
    };
    let before = inwards
        .iter()
        .flat_map(|n| [true, false].map(|first| page(*n, first, Edge::Right)));
    let after = inwards
        .iter()
        .rev()
        .flat_map(|n| [false, true].map(|first| page(*n, first, Edge::Left)));
    let pages: Vec<Side> = before.chain(after).collect();
    let mut all: Vec<Opening> = Vec::new();
    for at in 0..=pages.len() / 2 {
        let left = at.checked_mul(2).and_then(|n| pages.get(n.checked_sub(1)?));
        let (left, right) = (left.copied(), pages.get(2 * at).copied());
        let number = at as i64;
        match all.last_mut() {
            Some(last) if (last.left, last.right) == (left, right) => last.to = number,
            _ => all.push(Opening {
                from: number,
                to: number,
                left,
                right,
            }),
        }
    }
    all
}

/// One leaf on the other, the first on top.
fn stacked(plan: &Plan) -> Vec<Opening> {
    let side = |leaf: usize, first: bool| Side {
        leaf,
        pocket: first != plan.leaves[leaf].turned,
        half: None,
    };
    let mut all = Vec::new();
    let mut at = 0_i64;
    let mut before: Option<Side> = None;
    for (n, leaf) in plan.leaves.iter().enumerate() {
        if leaf.count < 1 {
            continue;
        }
        all.push(Opening {
            from: at,
            to: at,
            left: before,
            right: Some(side(n, true)),
        });
        at += 1;
        if leaf.count > 1 {
            all.push(Opening {
                from: at,
                to: at + leaf.count - 2,
                left: Some(side(n, false)),
                right: Some(side(n, true)),
            });
            at += leaf.count - 1;
        }
        before = Some(side(n, false));
    }
    all.push(Opening {
        from: at,
        to: at,
        left: before,
        right: None,
    });
    all
}

/// The name of one opening, or of several.
pub fn named(opening: &Opening) -> String {
    match (opening.left, opening.right) {
        (None, _) => "Front cover".to_owned(),
        (_, None) => "Back of the album".to_owned(),
        _ if opening.from == opening.to => format!("Opening {}", opening.from),
        _ => format!("Openings {} to {}", opening.from, opening.to),
    }
}

/// What is seen on a side of a leaf, and what is tucked in there.
pub fn seen(plan: &Plan, leaf: &LeafPlan, first: bool) -> String {
    seen_of(plan, leaf, first, None)
}

/// The same of one half of it.
fn seen_of(plan: &Plan, leaf: &LeafPlan, first: bool, half: Option<Edge>) -> String {
    let frame = place::frame(plan, leaf);
    let mut said = vec![format!(
        "{}, {}",
        capital(&leaf.name),
        place::side(plan, leaf, first)
    )];
    let here = |laid: &Laid| laid.back != first && frame.is_none_or(|it| on_half(it, laid, half));
    let parts = leaf.parts.iter().filter(|part| {
        let laid = frame.and_then(|frame| {
            let mut all = frame.parts.iter().filter(|it| it.name == part.label);
            all.clone().find(|it| here(it)).or(all.next())
        });
        laid.map_or(first, here)
    });
    let mats: Vec<String> = parts
        .map(|p| match &p.paper {
            Some(paper) => format!("{} of {paper}", plain(&p.label)),
            None => plain(&p.label),
        })
        .collect();
    let made_of = frame.and_then(|frame| frame.from.as_deref());
    let bare = match made_of {
        Some(supply) => format!("bare {}", supply.trim_end_matches('s')),
        None => "bare".to_owned(),
    };
    said.push(match mats.is_empty() {
        true => bare,
        false => lengths(&mats),
    });
    for insert in &leaf.inserts {
        let laid = place::laid(plan, leaf, &insert.name);
        if !laid.is_some_and(here) {
            continue;
        }
        let several = match insert.count {
            0 | 1 => String::new(),
            n => format!(" (x{n})"),
        };
        said.push(format!(
            "{}: {}{several}",
            place::place(plan, leaf, &insert.name),
            plain(&insert.name)
        ));
    }
    format!("{}.", said.join("; "))
}

/// Whether the middle of a part lies on one half of its frame.
fn on_half(frame: &FramePlan, laid: &Laid, half: Option<Edge>) -> bool {
    let middle = laid.area.left + laid.area.right;
    let fold = frame.width.least().nm();
    match half {
        Some(Edge::Left) => middle <= fold,
        Some(Edge::Right) => middle >= fold,
        _ => true,
    }
}

/// The map's title, and the words above it.
pub const TITLE: &str = "The album, page by page";

pub fn introduction(plan: &Plan) -> String {
    let faces = plan.frames.iter().find_map(|frame| frame.faces.clone());
    let leaves = place::titles(plan)[1];
    faces.unwrap_or_else(|| format!("What faces what as you turn the {leaves}."))
}

/// What is seen of a page.
pub fn on_page(plan: &Plan, side: Side) -> String {
    seen_of(plan, &plan.leaves[side.leaf], side.pocket, side.half)
}

/// The same in few words: whose page it is, and what is in it.
pub fn short(plan: &Plan, side: Side) -> String {
    let leaf = &plan.leaves[side.leaf];
    let frame = place::frame(plan, leaf);
    let here = |name: &str| {
        let laid = place::laid(plan, leaf, name);
        laid.is_some_and(|laid| {
            laid.back != side.pocket && frame.is_none_or(|it| on_half(it, laid, side.half))
        })
    };
    let inserts = leaf.inserts.iter().filter(|insert| here(&insert.name));
    let inserts = inserts.map(|insert| plain(&insert.name));
    let inserts: Vec<String> = inserts.collect();
    let of = place::side(plan, leaf, side.pocket);
    let name = capital(&leaf.name);
    match inserts.is_empty() {
        true => format!("{name}, {of}."),
        false => format!("{name}, {of}: {}.", inserts.join(", ")),
    }
}
