//! What is only worked out for reading: photos by size.

use crate::length::Interval;
use crate::plan::Plan;

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
