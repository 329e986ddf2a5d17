//! What is only worked out for reading: photos by size.

use crate::length::Interval;
use crate::plan::Plan;
use crate::text::summed;

/// Width and height of the photos of the album and how many there are of each, in the order of its leaves.
pub fn photos(plan: &Plan) -> Vec<((Interval, Interval), i64)> {
    let each = plan.leaves.iter().flat_map(|leaf| {
        leaf.inserts.iter().filter_map(|insert| {
            let photo = insert.photo.as_ref()?;
            let size = (photo.width.value, photo.height.value);
            Some((size, leaf.count.saturating_mul(insert.count)))
        })
    });
    summed(each)
}
