//! What faces what at each opening of the album, where its photos are seen, and what stands there once it is
//! dealt out.

use super::Plan;
use super::frames::{Bound, Edge, FramePlan, Laid, What};
use crate::length::Length;
use num_rational::Ratio;
use std::collections::{BTreeMap, BTreeSet};

/// Photos of which much is cut off to fill their places.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cropped {
    /// Their names by the share that each loses, the greatest first.
    pub photos: Vec<(Ratio<i128>, Vec<String>)>,
    /// How many lose so much if photos may lie on their side, if these are fewer.
    pub lying: Option<usize>,
}

/// A piece of paper and its design, or a place and its photo.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Designed {
    /// Its leaf, `None` for a part of the album itself, and which of the leaves alike, from 1.
    pub leaf: Option<usize>,
    pub copy: i64,
    /// The opening at which it is seen, and whether on its right page.
    pub page: Option<(i64, bool)>,
    pub name: String,
    pub design: String,
}

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
    let leaf = |n: usize, half| [true, false].map(|first| page(n, first, half));
    let before = inwards.iter().flat_map(|n| leaf(*n, Edge::Right));
    let after = inwards.iter().flat_map(|n| leaf(*n, Edge::Left)).rev();
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

/// Whether the middle of a part lies on one half of its frame.
pub fn on_half(frame: &FramePlan, laid: &Laid, half: Option<Edge>) -> bool {
    let middle = laid.area.left + laid.area.right;
    let fold = frame.width.least().nm();
    match half {
        Some(Edge::Left) => middle <= fold,
        Some(Edge::Right) => middle >= fold,
        _ => true,
    }
}

/// Room for one photo, as the album is turned page by page.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PhotoSpot {
    /// Places in [`Plan::leaves`] and of the insert in it.
    pub leaf: usize,
    pub insert: usize,
    /// Which of the leaves alike, and which of the inserts alike in it, counted from 1.
    pub copy: i64,
    pub piece: i64,
    /// The opening at which it is seen, 0 for the front cover, and whether on its right page.
    pub opening: i64,
    pub right: bool,
    /// Of the photo as it is trimmed; of what is uncertain the larger end.
    pub width: Length,
    pub height: Length,
}

/// A piece of paper or an insert, as the album is turned page by page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Seen {
    /// Place in [`Plan::leaves`].
    pub leaf: usize,
    pub thing: Thing,
    /// As of a [`PhotoSpot`].
    pub copy: i64,
    pub piece: i64,
    pub opening: i64,
    pub right: bool,
}

/// Its place in the parts or the inserts of its leaf.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Thing {
    Part(usize),
    Insert(usize),
}

/// Everything of paper on leaves, each once: left before right, on a page in the order of the album.
pub fn seen(plan: &Plan) -> Vec<Seen> {
    let mut all = Vec::new();
    let mut met: BTreeMap<(usize, bool, bool), i64> = BTreeMap::new();
    let mut once = BTreeSet::new();
    for opening in openings(plan) {
        for number in opening.from..=opening.to {
            let sides = [(false, opening.left), (true, opening.right)];
            for (right, side) in sides.into_iter().filter_map(|(r, s)| Some((r, s?))) {
                let back = side.half == Some(Edge::Left);
                let copy = met.entry((side.leaf, side.pocket, back)).or_insert(0);
                *copy += 1;
                let Some(leaf) = plan.leaves.get(side.leaf) else {
                    continue;
                };
                // Nested leaves come back the other way round.
                let copy = if back { leaf.count + 1 - *copy } else { *copy };
                let frame = plan.frames.iter().find(|it| it.leaf == Some(side.leaf));
                let here = |thing: Thing, piece: i64| {
                    let Some(frame) = frame else {
                        return side.pocket;
                    };
                    let is = |it: &&Laid| match thing {
                        Thing::Part(at) => leaf.parts.get(at).is_some_and(|p| p.label == it.name),
                        Thing::Insert(at) => matches!(it.what, What::Insert(n, _) if n == at),
                    };
                    let mut laid = frame.parts.iter().filter(is);
                    // Of several alike of which one is laid, all lie there.
                    let nth = laid.clone().nth(usize::try_from(piece - 1).unwrap_or(0));
                    nth.or_else(|| laid.next()).is_some_and(|laid| {
                        laid.back != side.pocket && on_half(frame, laid, side.half)
                    })
                };
                let parts = leaf.parts.iter().enumerate();
                let parts = parts.map(|(at, part)| (Thing::Part(at), part.count));
                let inserts = leaf.inserts.iter().enumerate();
                let inserts = inserts.map(|(at, insert)| (Thing::Insert(at), insert.count));
                for (thing, count) in parts.chain(inserts) {
                    for piece in 1..=count {
                        if here(thing, piece) && once.insert((side.leaf, thing, copy, piece)) {
                            all.push(Seen {
                                leaf: side.leaf,
                                thing,
                                copy,
                                piece,
                                opening: number,
                                right,
                            });
                        }
                    }
                }
            }
        }
    }
    all
}

/// Room for photos in the order of the pages.
pub fn photo_spots(plan: &Plan) -> Vec<PhotoSpot> {
    let all = seen(plan).into_iter();
    let spots = all.filter_map(|it| {
        let Thing::Insert(insert) = it.thing else {
            return None;
        };
        let photo = plan.leaves.get(it.leaf)?.inserts.get(insert)?;
        let photo = photo.photo.as_ref()?;
        Some(PhotoSpot {
            leaf: it.leaf,
            insert,
            copy: it.copy,
            piece: it.piece,
            opening: it.opening,
            right: it.right,
            width: photo.width.value.most(),
            height: photo.height.value.most(),
        })
    });
    spots.collect()
}
