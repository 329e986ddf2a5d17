//! What is only worked out for reading: photos by size.

use crate::length::{Interval, Length, Ruler};
use crate::plan::{PhotoPlan, Plan};
use crate::supplies::sold;
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

/// The largest print sold that goes uncut into the place of a photo that no print of the album is trimmed to.
/// `None` if the photo has that size itself, or no print is as small.
pub fn uncut(ruler: Ruler, photo: &PhotoPlan) -> Option<(Length, Length)> {
    let (width, height) = (photo.width.value.most(), photo.height.value.most());
    let found = sold::largest(width, height, ruler.is_metric())?;
    (photo.print.is_none() && found != (width, height)).then_some(found)
}
