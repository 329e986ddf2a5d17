//! What is only worked out for reading: photos by size, the closed album.

use crate::length::{Interval, Length};
use crate::plan::Where;
use crate::plan::{LeafPlan, Plan};

pub use crate::plan::leaf::leaves_on;

/// Photos of one size in the whole album.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Photos {
    pub count: i64,
    pub width: Interval,
    pub height: Interval,
}

/// How many photos the album holds, by size, in the order of its leaves.
pub fn photos(plan: &Plan) -> Vec<Photos> {
    let mut all: Vec<Photos> = Vec::new();
    for leaf in &plan.leaves {
        for insert in &leaf.inserts {
            let Some(photo) = &insert.photo else { continue };
            let (width, height) = (photo.width.value, photo.height.value);
            let count = leaf.count.saturating_mul(insert.count);
            match all
                .iter_mut()
                .find(|p| (p.width, p.height) == (width, height))
            {
                Some(same) => same.count = same.count.saturating_add(count),
                None => all.push(Photos {
                    count,
                    width,
                    height,
                }),
            }
        }
    }
    all
}

/// The album closed: about, with its rings, its bulk, and what sticks out above the head. Derived here from the ring model: a ring
/// lies through its hole, so that it stands out beyond the spine by its inside and one wire less
/// the paper between hole and edge.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Closed {
    pub width: Length,
    pub height: Length,
    pub thickness: Length,
}

/// How high a leaf stands with what is tucked into it.
fn highest(leaf: &LeafPlan) -> Option<Length> {
    let head = leaf.height.most();
    let over = leaf.inserts.iter().filter_map(|insert| {
        let (_, shows) = insert.shows?;
        let from = match insert.goes {
            Where::Pocket => leaf.pocket_edge?.most(),
            Where::Mouth | Where::Band | Where::Back => head,
        };
        from.checked_add(Length::from_nm(shows))
    });
    over.chain([head]).max()
}

/// The closed album; `None` if numbers are beyond any album.
pub fn closed(plan: &Plan) -> Option<Closed> {
    let most = |side: fn(&LeafPlan) -> Interval| plan.leaves.iter().map(|l| side(l).most()).max();
    let (width, height) = (most(|l| l.width)?, plan.leaves.iter().map(highest).max()??);
    let stack = plan.stack_in_middle.most().max(plan.stack_at_holes.most());
    let Some(ring) = &plan.ring else {
        return Some(Closed {
            width,
            height,
            thickness: stack,
        });
    };
    let wire = ring.wire.map_or(Length::ZERO, Interval::most);
    let radius = Length::from_nm(plan.holes.diameter.least().nm() / 2);
    let paper = plan.holes.edge.least().checked_sub(radius)?;
    let inside = ring.inside.most();
    let stands_out = inside
        .checked_add(wire)?
        .checked_sub(paper)?
        .max(Length::ZERO);
    Some(Closed {
        width: width.checked_add(stands_out)?,
        height,
        thickness: stack.max(inside.checked_add(wire.checked_mul(2)?)?),
    })
}
