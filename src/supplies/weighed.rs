//! Weights in a table of supplies. May import what `text` may, but not `text`.

use super::SuppliesError;
use super::weight::WeightProblem;
use crate::text::{Faults, Place, Table, found};
use std::ops::Range;

/// What a table says of a weight.
pub(super) fn weighs<T>(
    table: &Table<'_>,
    key: &str,
    read: impl Fn(&str) -> Result<T, (WeightProblem, Range<usize>)>,
    faults: &mut Faults,
) -> Option<T> {
    let text = table.text(key, faults)?;
    read(&text.value)
        .map_err(|(problem, bytes)| weight_fault(text.part(bytes), problem, faults))
        .ok()
}

pub(super) fn weight_fault(place: Place, problem: WeightProblem, faults: &mut Faults) {
    found(faults, SuppliesError::Weight { place, problem });
}
