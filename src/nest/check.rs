//! Replays certificates in whole numbers. Shares no code with the search: it finds its own cut
//! positions and its own best use of a sheet, by plain programs over them.

use super::answer::{Certificate, Claim, Reason};
use super::job::{Job, MOST_CELLS, Stages, Stock};
use super::replay::{Searched, replay};
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

/// Whether the claim follows from the certificate. Spread and the narrowest strip are left out of
/// it: they can only cost more.
///
/// # Errors
/// Why it does not follow.
pub fn check_bound(job: &Job, certificate: &Certificate) -> Result<Claim, CheckError> {
    check_bound_within(job, certificate, u64::MAX)
}

/// As [`check_bound`], but refused as [`CheckError::TooMany`] where it takes more than so many steps,
/// each about a nanosecond.
///
/// # Errors
/// Why it does not follow.
pub fn check_bound_within(
    job: &Job,
    certificate: &Certificate,
    most_steps: u64,
) -> Result<Claim, CheckError> {
    check_in(job, certificate, &mut Steps::new(most_steps))
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

pub(super) fn check_in(
    job: &Job,
    certificate: &Certificate,
    steps: &mut Steps,
) -> Result<Claim, CheckError> {
    job.check().map_err(|_| CheckError::NotValid)?;
    match &certificate.reason {
        Reason::Values { values, best } => {
            if values.len() != job.pieces.len() || best.len() != job.stocks.len() {
                return Err(CheckError::WrongLength);
            }
            // By area alone nothing needs to be worked out.
            let by_area = job.pieces.iter().zip(values).all(|(p, &value)| {
                u128::from(value) <= area(p.width + job.gap, p.height + job.gap)
            });
            let mut held: Vec<(usize, u64)> = Vec::new();
            for (stock, (s, &said)) in job.stocks.iter().zip(best).enumerate() {
                let (across, down) = s.trimmed().ok_or(CheckError::NotValid)?;
                if by_area && u128::from(said) >= area(across + job.gap, down + job.gap) {
                    continue;
                }
                // A sheet that is the same holds the same.
                let key = |s: &Stock| (s.trimmed(), s.turn);
                let same = held.iter().find(|(at, _)| key(&job.stocks[*at]) == key(s));
                let holds = match same {
                    Some((_, holds)) => *holds,
                    None => most_value(job, s, values, steps)?,
                };
                held.push((stock, holds));
                if holds > said {
                    return Err(CheckError::HoldsMore { stock, holds });
                }
            }
            let each = job.pieces.iter().zip(values);
            let demand = each.map(|(p, &v)| u128::from(p.count) * u128::from(v));
            let demand: u128 = demand.sum();
            if follows(job, best, demand, certificate.claim)? {
                Ok(certificate.claim)
            } else {
                Err(CheckError::DoesNotFollow)
            }
        }
        Reason::Search {
            groups,
            values,
            best,
            steps: found,
        } => {
            if values.len() != groups.len() || best.len() != job.stocks.len() {
                return Err(CheckError::WrongLength);
            }
            let searched = Searched {
                groups,
                values,
                best,
                steps: found,
            };
            replay(job, &searched, certificate.claim, steps)?;
            Ok(certificate.claim)
        }
    }
}

fn area(width: u64, height: u64) -> u128 {
    u128::from(width) * u128::from(height)
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

/// Whether all that the claim rules out holds less than `demand`.
fn follows(job: &Job, best: &[u64], demand: u128, claim: Claim) -> Result<bool, CheckError> {
    match claim {
        Claim::CostsAtLeast(0) => Ok(true),
        Claim::CostsAtLeast(least) => {
            Ok(value_for(&sheets(job), best, least - 1, COUNTED)? < demand)
        }
        Claim::NotEnough => {
            let mut all = 0u128;
            for (stock, &best) in job.stocks.iter().zip(best) {
                match stock.count {
                    Some(count) => all += u128::from(count) * u128::from(best),
                    None if best > 0 => return Ok(false),
                    None => {}
                }
            }
            Ok(all < demand)
        }
    }
}

/// Cost and number of the sheets of each stock.
pub(super) fn sheets(job: &Job) -> Vec<(u64, u64)> {
    let each = job.stocks.iter();
    each.map(|s| (s.cost, s.count.unwrap_or(u64::MAX)))
        .collect()
}

/// The most cost for which sheets are counted one by one.
const COUNTED: u64 = 200_000;

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

/// No use of one sheet is worth more than this, if cuts lie at sums of sides within the counts.
fn most_value(
    job: &Job,
    stock: &Stock,
    values: &[u64],
    steps: &mut Steps,
) -> Result<u64, CheckError> {
    let (across, down, lain) = lain(job, stock, values)?;
    Ok(match job.stages {
        Stages::Free => {
            steps_suffice(&across, &down, steps)?;
            free(&across, &down, &lain)
        }
        stages => {
            let sides = across.points.len() as u64 * down.points.len() as u64;
            steps.take(sides.saturating_mul(2 * lain.len() as u64))?;
            let upright = strips(&across, &down, &lain, stages);
            let turn = |l: &Lain| Lain {
                width: l.height,
                height: l.width,
                ..*l
            };
            let turned: Vec<Lain> = lain.iter().map(turn).collect();
            upright.max(strips(&down, &across, &turned, stages))
        }
    })
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
                let fit = (width / w) as u128 * (height / h) as u128;
                let area = width as u128 * height as u128 / (w as u128 * h as u128);
                bound = bound.max(u128::from(value) * fit.max(area));
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

fn free(across: &Axis, down: &Axis, lain: &[Lain]) -> u64 {
    let (wide, high) = (across.points.len(), down.points.len());
    let mut worth = vec![0u64; wide * high];
    for l in lain {
        let cell = &mut worth[across.at(l.width) * high + down.at(l.height)];
        *cell = l.value.max(*cell);
    }
    for i in 0..wide {
        for j in 0..high {
            let mut most = worth[i * high + j];
            if i > 0 {
                most = most.max(worth[(i - 1) * high + j]);
            }
            if j > 0 {
                most = most.max(worth[i * high + j - 1]);
            }
            let whole = across.points[i];
            for q in (1..i).take_while(|&q| 2 * across.points[q] <= whole) {
                let rest = across.at(whole - across.points[q]);
                most = most.max(worth[q * high + j] + worth[rest * high + j]);
            }
            let whole = down.points[j];
            for q in (1..j).take_while(|&q| 2 * down.points[q] <= whole) {
                let rest = down.at(whole - down.points[q]);
                most = most.max(worth[i * high + q] + worth[i * high + rest]);
            }
            worth[i * high + j] = most;
        }
    }
    worth.last().copied().unwrap_or(0)
}

/// Strips across the whole sheet, one above the other.
fn strips(across: &Axis, down: &Axis, lain: &[Lain], stages: Stages) -> u64 {
    let high = down.points.len();
    // A block that is wider than the widest piece in it holds no more than one as wide as that.
    let mut widths: Vec<usize> = lain.iter().map(|l| l.width).collect();
    widths.sort_unstable();
    widths.dedup();
    if widths.is_empty() {
        return 0;
    }
    // What one block is worth that is cut from a strip, by its width and height: a stack of pieces
    // at most as wide, or a single piece that is exactly as wide and at most as high.
    let mut block = vec![0u64; widths.len() * high];
    for (j, &h) in down.points.iter().enumerate() {
        let (before, here) = block.split_at_mut(j * widths.len());
        let here = &mut here[..widths.len()];
        if j > 0 {
            here.copy_from_slice(&before[(j - 1) * widths.len()..]);
        }
        for l in lain.iter().filter(|l| l.height <= h) {
            let from = widths.partition_point(|&w| w < l.width);
            if stages == Stages::Two {
                here[from] = here[from].max(l.value);
                continue;
            }
            let rest = &before[down.at(h - l.height) * widths.len()..][..widths.len()];
            for (most, rest) in here.iter_mut().zip(rest).skip(from) {
                *most = (*most).max(l.value + rest);
            }
        }
    }
    // What is left of each length beside a block of each width that is not longer.
    let rests: Vec<Vec<usize>> = across
        .points
        .iter()
        .map(|&length| {
            let shorter = widths.iter().take_while(|&&w| w <= length);
            shorter.map(|&w| across.at(length - w)).collect()
        })
        .collect();
    let mut most = vec![0u64; across.points.len()];
    let mut strip = vec![0u64; high];
    for (strip, blocks) in strip.iter_mut().zip(block.chunks_exact(widths.len())) {
        for i in 1..most.len() {
            let each = blocks.iter().zip(&rests[i]);
            let with = each.map(|(block, &rest)| block + most[rest]).max();
            most[i] = with.unwrap_or(0).max(most[i - 1]);
        }
        *strip = most.last().copied().unwrap_or(0);
    }
    let mut most = vec![0u64; high];
    for i in 1..high {
        let mut here = most[i - 1];
        for (&height, &worth) in down.points[..=i].iter().zip(&strip).skip(1) {
            let rest = down.at(down.points[i] - height);
            here = here.max(worth + most[rest]);
        }
        most[i] = here;
    }
    most.last().copied().unwrap_or(0)
}
