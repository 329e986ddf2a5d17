//! Weights in a table of supplies. May import what `text` may, but not `text`.

use super::weight::WeightProblem;
use crate::text::{Finds, Said, Table};
use std::ops::Range;

/// One of the readers of `weight`.
pub(super) type Read<T> = fn(&str) -> Result<T, (WeightProblem, Range<usize>)>;

/// What a table says of a weight.
pub(super) fn weighs<T>(table: &Table<'_>, key: &str, read: Read<T>) -> Option<T> {
    read_weight(&table.text(key)?, read, table.faults)
}

/// What a text says of a weight; what is wrong with it is told.
pub(super) fn read_weight<T>(said: &Said<String>, read: Read<T>, faults: &Finds) -> Option<T> {
    let wrong = |(problem, bytes)| faults.tell(said.part(bytes), problem);
    read(&said.value).map_err(wrong).ok()
}
