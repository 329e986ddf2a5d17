//! Weights in a table of supplies. May import what `text` may, but not `text`.

use super::SuppliesError;
use super::weight::WeightProblem;
use crate::text::{Finds, Place, Table};
use std::ops::Range;

/// What a table says of a weight.
pub(super) fn weighs<T>(
    table: &Table<'_>,
    key: &str,
    read: impl Fn(&str) -> Result<T, (WeightProblem, Range<usize>)>,
) -> Option<T> {
    let text = table.text(key)?;
    read(&text.value)
        .map_err(|(problem, bytes)| weight_fault(text.part(bytes), problem, table.faults))
        .ok()
}

pub(super) fn weight_fault(place: Place, problem: WeightProblem, faults: &Finds) {
    faults.tell(place, SuppliesError::Weight { problem });
}
