//! Replays certificates in whole numbers. Shares no code with the search: it finds its own cut
//! positions and its own best use of a sheet, by plain programs over them.

use super::answer::{Certificate, Claim, Reason};
use super::job::{Job, Stages, Stock};
use super::points::{Axis, CheckError, Lain, Steps, lain, sheets, steps_suffice, value_for};
use super::replay::{Searched, replay};

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

/// The most cost for which sheets are counted one by one.
const COUNTED: u64 = 200_000;

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
