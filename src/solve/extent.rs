//! How much is told of a program that is solved.

use crate::solve::program::UnknownId;

/// Of which sizes it is told why they stop where they do. It is the costlier half of an answer.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum Extent {
    /// Of all.
    #[default]
    All,
    /// Of these, ascending.
    Of(Vec<UnknownId>),
}

impl Extent {
    pub(super) fn tells(&self, unknown: UnknownId) -> bool {
        match self {
            Extent::All => true,
            Extent::Of(told) => told.binary_search(&unknown).is_ok(),
        }
    }
}
