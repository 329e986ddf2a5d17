//! What is left to be cut on the way down, with boards made for it.

use super::bound::Sheets;
use super::model::{Board, Model};
use super::near::{Counts, MOST_ALIKE};

/// What is left to be cut, and from what.
#[derive(Clone, Debug)]
pub(super) struct Rest {
    /// For each kind.
    pub wanted: Vec<u64>,
    /// For each stock.
    pub sheets: Vec<Sheets>,
}

/// What is left, with boards made for it.
pub(super) struct Node {
    pub rest: Rest,
    pub boards: Vec<Option<Board>>,
    /// The lane of each kind that is wanted, and how many are.
    pub lanes: Vec<Option<usize>>,
    pub used: usize,
    /// Whether lanes can count so many.
    pub can_count: bool,
}

impl Node {
    pub fn new(model: &Model, rest: Rest) -> Self {
        let mut used = 0;
        let mut lane = |&wanted: &u64| {
            (wanted > 0).then(|| {
                used += 1;
                used - 1
            })
        };
        let lanes = rest.wanted.iter().map(&mut lane).collect();
        Self {
            boards: model.boards_for(&rest.wanted),
            can_count: rest.wanted.iter().all(|&w| w <= MOST_ALIKE),
            lanes,
            used,
            rest,
        }
    }

    pub fn wanted<const N: usize>(&self) -> Counts<N> {
        let mut wanted = Counts::NONE;
        for (lane, &count) in self.lanes.iter().zip(&self.rest.wanted) {
            if let Some(lane) = lane {
                wanted.0[*lane] = i16::try_from(count.min(MOST_ALIKE)).unwrap_or(0);
            }
        }
        wanted
    }
}

/// What counts are worth together.
pub(super) fn worth(values: &[u64], counts: &[u64]) -> u128 {
    let each = values.iter().zip(counts);
    each.map(|(v, c)| u128::from(*v) * u128::from(*c)).sum()
}
