//! What is left to be cut on the way down, with boards made for it.

use super::answer::Stop;
use super::board::Board;
use super::bound::{self, Sheets};
use super::limits::Meter;
use super::model::{Grid, Kind, Model};
use super::near::{Counts, MOST_ALIKE};

/// What is left to be cut, and from what.
#[derive(Clone, Debug)]
pub(super) struct Rest {
    /// For each kind.
    pub wanted: Vec<u64>,
    /// For each stock.
    pub sheets: Vec<Sheets>,
    /// For each stock, how many of each kind may still come from it; empty where nothing is spread.
    pub alike: Vec<Vec<u64>>,
}

impl Rest {
    /// All that a model asks for.
    pub fn whole(model: &Model) -> Self {
        let job = model.job;
        let most = |k: &Kind| job.pieces[k.members[0]].most_alike.unwrap_or(u64::MAX);
        let alike: Vec<u64> = model.kinds.iter().map(most).collect();
        let spread = alike.iter().any(|&most| most < u64::MAX);
        Self {
            wanted: model.kinds.iter().map(|k| k.count).collect(),
            sheets: bound::sheets(job),
            alike: vec![alike; if spread { job.stocks.len() } else { 0 }],
        }
    }

    /// How many of a kind may still come from a stock.
    pub fn wanted_of(&self, stock: usize, kind: usize) -> u64 {
        let alike = self.alike.get(stock).map_or(u64::MAX, |alike| alike[kind]);
        self.wanted[kind].min(alike)
    }

    /// Counts of a pattern, no more of a kind than may come from its stock.
    pub fn clipped(&self, stock: usize, counts: &[u64]) -> Vec<u64> {
        let each = counts.iter().enumerate();
        each.map(|(kind, count)| (*count).min(self.wanted_of(stock, kind)))
            .collect()
    }

    /// Uses up to so many sheets cut alike; gives for how many the counts were of use.
    pub fn cut(&mut self, stock: usize, counts: &[u64], times: u64) -> u64 {
        let each = (0..counts.len()).filter(|&kind| counts[kind] > 0);
        let of_use = |kind: usize| self.wanted_of(stock, kind).div_ceil(counts[kind]);
        let mut times = times.min(each.clone().map(of_use).max().unwrap_or(0));
        if !self.alike.is_empty() {
            // What may not come from this stock may be wanted yet: one sheet at a time.
            times = times.min(1);
        }
        times = times.min(self.sheets[stock].count.unwrap_or(u64::MAX));
        if let Some(count) = &mut self.sheets[stock].count {
            *count -= times;
        }
        for kind in each {
            let took = counts[kind]
                .saturating_mul(times)
                .min(self.wanted_of(stock, kind));
            self.wanted[kind] -= took;
            if let Some(alike) = self.alike.get_mut(stock) {
                alike[kind] -= took;
            }
        }
        times
    }
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
    /// `most`: as many pairs of parts as its boards may hold.
    ///
    /// # Errors
    /// A limit was met.
    pub fn new(model: &Model, rest: Rest, most: usize, meter: &mut Meter) -> Result<Self, Stop> {
        let mut used = 0;
        let mut lane = |&wanted: &u64| {
            (wanted > 0).then(|| {
                used += 1;
                used - 1
            })
        };
        let lanes = rest.wanted.iter().map(&mut lane).collect();
        Ok(Self {
            boards: model.boards_for(&rest.wanted, Grid::Search, most, meter)?,
            can_count: rest.wanted.iter().all(|&w| w <= MOST_ALIKE),
            lanes,
            used,
            rest,
        })
    }

    /// Pairs of parts that its boards know.
    pub fn pairs(&self) -> usize {
        self.boards.iter().flatten().map(Board::pairs).sum()
    }

    pub fn wanted<const N: usize>(&self) -> Counts<N> {
        self.lanes_of(&self.rest.wanted)
    }

    /// How many of each kind may come from the stock.
    pub fn wanted_of<const N: usize>(&self, stock: usize) -> Counts<N> {
        let wanted = self.wanted::<N>();
        let alike = self.rest.alike.get(stock);
        alike.map_or(wanted, |alike| self.lanes_of(alike).clip(&wanted))
    }

    /// Counts of kinds in lanes.
    pub fn lanes_of<const N: usize>(&self, counts: &[u64]) -> Counts<N> {
        let mut lanes = Counts::NONE;
        for (lane, &count) in self.lanes.iter().zip(counts) {
            if let Some(lane) = lane {
                lanes.0[*lane] = i16::try_from(count.min(MOST_ALIKE)).unwrap_or(0);
            }
        }
        lanes
    }
}

/// What counts are worth together.
pub(super) fn worth(values: &[u64], counts: &[u64]) -> u128 {
    let each = values.iter().zip(counts);
    each.map(|(v, c)| u128::from(*v) * u128::from(*c)).sum()
}
