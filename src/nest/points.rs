//! What every certificate is replayed with: where cuts may lie, what lies on a sheet, what sheets of
//! a cost hold, and the steps that are left for it.

use super::job::{Job, MOST_CELLS, Stock};
use thiserror::Error;

/// Why a certificate was refused.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum CheckError {
    #[error("the certificate has not one value for each piece and each sheet")]
    WrongLength,
    #[error("sheet {stock} holds pieces worth {holds}, more than is said")]
    HoldsMore { stock: usize, holds: u64 },
    #[error("the values do not add up to the claim")]
    DoesNotFollow,
    #[error("the numbers are too large to be added exactly")]
    Overflow,
    #[error("the groups of the certificate are not groups of equal pieces")]
    WrongGroups,
    #[error("replaying the certificate would take too much memory")]
    TooMany,
    #[error("the job is not valid")]
    NotValid,
}

/// Steps that are left.
pub(super) struct Steps {
    /// For parts that are cut in two.
    cells: u64,
    /// For patterns that are put together and counted: a millisecond at least.
    pub counts: u64,
}

impl Steps {
    pub fn new(most: u64) -> Self {
        Steps {
            cells: most,
            counts: most.max(1_000_000),
        }
    }

    /// # Errors
    /// There are no more.
    pub fn take(&mut self, steps: u64) -> Result<(), CheckError> {
        self.cells = self.cells.checked_sub(steps).ok_or(CheckError::TooMany)?;
        Ok(())
    }

    /// # Errors
    /// There are no more.
    pub fn count(&mut self, steps: u64) -> Result<(), CheckError> {
        self.counts = self.counts.checked_sub(steps).ok_or(CheckError::TooMany)?;
        Ok(())
    }
}

/// Whether every part can be cut in two everywhere in so many steps.
pub(super) fn steps_suffice(
    across: &Axis,
    down: &Axis,
    steps: &mut Steps,
) -> Result<(), CheckError> {
    let (wide, high) = (across.points.len() as u64, down.points.len() as u64);
    let cells = wide * high;
    if cells > MOST_CELLS {
        return Err(CheckError::TooMany);
    }
    steps.take(cells.saturating_mul(wide + high) / 4)
}

/// Cost and number of the sheets of each stock.
pub(super) fn sheets(job: &Job) -> Vec<(u64, u64)> {
    let each = job.stocks.iter();
    each.map(|s| (s.cost, s.count.unwrap_or(u64::MAX)))
        .collect()
}

/// No sheets that cost `budget` together hold more than this: exact where that is at most `counted`,
/// with a part of a sheet allowed where it is more.
pub(super) fn value_for(
    sheets: &[(u64, u64)],
    best: &[u64],
    budget: u64,
    counted: u64,
) -> Result<u128, CheckError> {
    let unit = sheets.iter().map(|s| s.0);
    let unit = unit.fold(0, greatest_common_divisor).max(1);
    let budget = budget / unit;
    let stocks = sheets.iter().zip(best);
    let stocks = stocks.map(|(&(cost, count), &v)| (cost / unit, u128::from(v), count));
    let mut stocks: Vec<(u64, u128, u64)> = stocks.collect();
    if let [(cost, worth, count)] = stocks[..] {
        return Ok(worth * u128::from(count.min(budget / cost)));
    }
    if budget <= counted {
        let size = usize::try_from(budget).map_err(|_| CheckError::Overflow)?;
        let mut value = vec![0u128; size + 1];
        for &(cost, worth, count) in &stocks {
            // So many sheets are sums of bundles of 1, 2, 4 ... and a rest.
            let (mut left, mut bundle) = (count.min(budget / cost), 1);
            while left > 0 {
                let take = bundle.min(left);
                let step = usize::try_from(take * cost).map_err(|_| CheckError::Overflow)?;
                for at in (step..=size).rev() {
                    let with = value[at - step] + u128::from(take) * worth;
                    value[at] = value[at].max(with);
                }
                left -= take;
                bundle *= 2;
            }
        }
        return Ok(value[size]);
    }
    // Best value for its cost first: a.v / a.c > b.v / b.c.
    stocks.sort_by(|a, b| (b.1 * u128::from(a.0)).cmp(&(a.1 * u128::from(b.0))));
    let (mut sum, mut left) = (0u128, budget);
    for (cost, worth, count) in stocks {
        let whole = count.min(left / cost);
        sum += u128::from(whole) * worth;
        left -= whole * cost;
        if whole < count {
            let part = worth * u128::from(left);
            return Ok(sum + part.div_ceil(u128::from(cost)));
        }
    }
    Ok(sum)
}

fn greatest_common_divisor(a: u64, b: u64) -> u64 {
    if b == 0 {
        a
    } else {
        greatest_common_divisor(b, a % b)
    }
}

/// A piece on a sheet: width and height with the gap (ticks), value.
#[derive(Clone, Copy)]
pub(super) struct Lain {
    pub width: usize,
    pub height: usize,
    pub value: u64,
    /// Place in the job's list.
    pub piece: usize,
}

/// Positions for cuts across and down, and the pieces that fit the stock, each way up. No sheet is
/// worth more than a `u64` counts.
pub(super) fn lain(
    job: &Job,
    stock: &Stock,
    values: &[u64],
) -> Result<(Axis, Axis, Vec<Lain>), CheckError> {
    let Some((width, height)) = stock.trimmed() else {
        return Err(CheckError::NotValid);
    };
    let size = |ticks: u64| usize::try_from(ticks).map_err(|_| CheckError::Overflow);
    let (width, height) = (size(width + job.gap)?, size(height + job.gap)?);
    let mut lain = Vec::new();
    let mut across = Vec::new();
    let mut down = Vec::new();
    let mut bound = 0u128;
    for (number, (piece, &value)) in job.pieces.iter().zip(values).enumerate() {
        let (mut wide, mut high) = (Vec::new(), Vec::new());
        for (w, h, _) in piece.ways(stock) {
            let (w, h) = (size(w + job.gap)?, size(h + job.gap)?);
            if w <= width && h <= height {
                let here = Lain {
                    width: w,
                    height: h,
                    value,
                    piece: number,
                };
                lain.push(here);
                wide.push(w);
                high.push(h);
                let area = width as u128 * height as u128 / (w as u128 * h as u128);
                bound = bound.max(u128::from(value) * area);
            }
        }
        across.push((wide, piece.count));
        down.push((high, piece.count));
    }
    // The best use of a sheet holds each way of each piece at most so often.
    if bound * (lain.len() as u128 + 1) > u128::from(u64::MAX) {
        return Err(CheckError::Overflow);
    }
    let across = Axis::new(width, &across);
    let down = Axis::new(height, &down);
    Ok((across, down, lain))
}

/// The positions for cuts along one side of a sheet: 0 and the sums of sides within the counts.
pub(super) struct Axis {
    pub points: Vec<usize>,
    /// For each tick, how many points lie at or before it, less one.
    floor: Vec<u32>,
}

impl Axis {
    fn new(length: usize, sides: &[(Vec<usize>, u64)]) -> Self {
        // For each tick reached: how few of the current kind it takes.
        let mut reached = vec![false; length + 1];
        reached[0] = true;
        for (sides, count) in sides {
            let mut few = vec![u64::MAX; length + 1];
            for at in 0..=length {
                if reached[at] {
                    few[at] = 0;
                }
                for &side in sides {
                    if at >= side && few[at - side] < *count {
                        few[at] = few[at].min(few[at - side] + 1);
                    }
                }
            }
            for at in 0..=length {
                reached[at] |= few[at] <= *count;
            }
        }
        let points: Vec<usize> = (0..=length).filter(|&at| reached[at]).collect();
        let mut floor = Vec::with_capacity(length + 1);
        let mut last = 0;
        for (at, &is_point) in reached.iter().enumerate() {
            if at > 0 && is_point {
                last += 1;
            }
            floor.push(last);
        }
        Self { points, floor }
    }

    pub fn at(&self, length: usize) -> usize {
        self.floor[length] as usize
    }
}
