//! Replays the proof that no larger offcut can be kept. Shares no code with the search.
//!
//! An offcut that could not be larger is by a sum of sides narrower than its sheet, and by a sum of
//! sides lower: whatever else lies there can be pushed together. So it is enough that every such
//! size with more area than what is kept holds one that is ruled out. In two and three stages one
//! kind of offcut cannot be pushed wider: what the last cut of all takes off a single piece. There
//! each piece, widened by a strip of more area than what is kept, is ruled out.

use super::answer::{Claim, Extra, Kept};
use super::check::check_in;
use super::job::{Job, Piece, Stages, Stock};
use super::points::{CheckError, Steps, lain};
use super::verify::{VerifyError, verify_cuttings};
use thiserror::Error;

/// What is wrong with a plan that keeps an offcut.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum KeptError {
    #[error(transparent)]
    Cuttings(#[from] VerifyError),
    #[error("the largest offcut of the cuttings is {} x {}", found.0, found.1)]
    WrongSize { found: (u64, u64) },
    #[error("what is ruled out first: number {number}: {error}")]
    Certificate { number: usize, error: CheckError },
    #[error("certificate {number} does not rule out its extra at this cost")]
    DoesNotFollow { number: usize },
    #[error("extra {number} names a piece that is not in the job")]
    NoSuchPiece { number: usize },
    #[error("an offcut of {width} x {height} is not ruled out")]
    NotRuledOut { width: u64, height: u64 },
    #[error("piece {piece} with a strip beside it, {width} x {height}, is not ruled out")]
    LastCutNotRuledOut {
        piece: usize,
        width: u64,
        height: u64,
    },
    #[error(transparent)]
    Check(#[from] CheckError),
}

/// Whether the cuttings give every piece and keep what is said; and, if it is said to be proved,
/// whether no plan from the same sheets keeps a larger offcut.
///
/// # Errors
/// The first fault.
pub fn check_kept(job: &Job, kept: &Kept) -> Result<(), KeptError> {
    check_kept_within(job, kept, u64::MAX)
}

/// As [`check_kept`], with so many steps for all certificates together, each about a nanosecond.
///
/// # Errors
/// The first fault.
pub fn check_kept_within(job: &Job, kept: &Kept, most_steps: u64) -> Result<(), KeptError> {
    let budget = verify_cuttings(job, &kept.cuttings)?;
    let area = |(w, h): (u64, u64)| u128::from(w) * u128::from(h);
    let mut found = (0, 0);
    for cutting in &kept.cuttings {
        let largest = cutting.sheet.largest_offcut(kept.least).unwrap_or((0, 0));
        if area(largest) > area(found) {
            found = largest;
        }
    }
    if area(found) != area(kept.size) {
        return Err(KeptError::WrongSize { found });
    }
    if !kept.proved {
        return Ok(());
    }
    let sheets = used_only(job, kept);
    let mut steps = Steps::new(most_steps);
    for (number, ruled_out) in kept.ruled_out.iter().enumerate() {
        let with = with_extra(&sheets, ruled_out.extra).ok_or(KeptError::NoSuchPiece { number })?;
        let claim = check_in(&with, &ruled_out.certificate, &mut steps)
            .map_err(|error| KeptError::Certificate { number, error })?;
        let follows = match claim {
            Claim::NotEnough => true,
            Claim::CostsAtLeast(least) => u128::from(least) > budget,
        };
        if !follows {
            return Err(KeptError::DoesNotFollow { number });
        }
    }
    let area = kept.size.0 * kept.size.1;
    // Narrower ones are waste, or no trimmer holds them.
    let narrowest = job.narrowest.max(kept.least).max(1);
    for stock in sheets.stocks.iter().filter(|s| s.count != Some(0)) {
        sizes(&sheets, stock, kept, area, narrowest)?;
        if job.stages != Stages::Free {
            last_cuts(&sheets, stock, kept, area, narrowest)?;
        }
    }
    Ok(())
}

/// The job with only the sheets that are used. Strips that are too narrow and spread are left out:
/// without them more is possible, not less.
fn used_only(job: &Job, kept: &Kept) -> Job {
    let mut only = job.clone();
    only.narrowest = 0;
    only.pieces.iter_mut().for_each(|p| p.most_alike = None);
    let used = |stock: usize| {
        let of = kept.cuttings.iter().filter(|c| c.stock == stock);
        of.map(|c| c.times).sum::<u64>()
    };
    let kinds = (0..job.stocks.len()).filter(|&s| used(s) > 0).count();
    for (at, stock) in only.stocks.iter_mut().enumerate() {
        // One kind of sheet is limited by its cost.
        if used(at) == 0 || kinds > 1 {
            stock.count = Some(used(at));
        }
    }
    only
}

fn with_extra(job: &Job, extra: Extra) -> Option<Job> {
    let mut with = job.clone();
    let asked = |turn: bool| Piece {
        name: String::new(),
        width: extra.width,
        height: extra.height,
        count: 1,
        turn,
        value: None,
        most_alike: None,
    };
    match extra.widens {
        None => with.pieces.push(asked(true)),
        Some(at) => {
            let piece = with.pieces.get_mut(at)?;
            let widened = asked(piece.turn);
            if piece.count == 1 {
                *piece = widened;
            } else {
                piece.count -= 1;
                with.pieces.push(widened);
            }
        }
    }
    Some(with)
}

/// Every size that a sum of sides leaves of the stock's sheet.
fn sizes(
    job: &Job,
    stock: &Stock,
    kept: &Kept,
    area: u64,
    narrowest: u64,
) -> Result<(), KeptError> {
    let values = vec![0; job.pieces.len()];
    let (across, down, _) = lain(job, stock, &values)?;
    let (width, height) = stock.trimmed().ok_or(CheckError::NotValid)?;
    let left = |whole: u64, sums: &[usize]| -> Vec<u64> {
        let each = sums.iter().map(|&sum| whole.saturating_sub(sum as u64));
        each.filter(|&left| left >= narrowest).collect()
    };
    // The lowest first.
    let mut heights = left(height, &down.points);
    heights.sort_unstable();
    for width in left(width, &across.points) {
        let enough = heights.partition_point(|&h| width * h <= area);
        let Some(&height) = heights.get(enough) else {
            continue;
        };
        let mut extras = kept.ruled_out.iter().map(|r| r.extra);
        let ruled_out = extras.any(|e| {
            let within = |w: u64, h: u64| w <= width && h <= height;
            e.widens.is_none()
                && (within(e.width, e.height) || stock.turn && within(e.height, e.width))
        });
        if !ruled_out {
            return Err(KeptError::NotRuledOut { width, height });
        }
    }
    Ok(())
}

/// Every piece with a strip beside or below it.
fn last_cuts(
    job: &Job,
    stock: &Stock,
    kept: &Kept,
    area: u64,
    narrowest: u64,
) -> Result<(), KeptError> {
    let (across, down) = stock.trimmed().ok_or(CheckError::NotValid)?;
    for (number, piece) in job.pieces.iter().enumerate() {
        let strip = |side: u64| job.gap + (area / side + 1).max(narrowest);
        let wider = (piece.width + strip(piece.height), piece.height);
        let higher = (piece.width, piece.height + strip(piece.width));
        for ((width, height), side) in [(wider, piece.height), (higher, piece.width)] {
            if side < narrowest {
                continue;
            }
            let turn = piece.turn && stock.turn;
            let fits = width <= across && height <= down;
            let fits_turned = turn && height <= across && width <= down;
            let mut extras = kept.ruled_out.iter().map(|r| r.extra);
            let ruled_out = extras.any(|e| {
                e.widens == Some(number)
                    && e.width <= width
                    && e.height <= height
                    && e.width >= piece.width
                    && e.height >= piece.height
            });
            if (fits || fits_turned) && !ruled_out {
                return Err(KeptError::LastCutNotRuledOut {
                    piece: number,
                    width,
                    height,
                });
            }
        }
    }
    Ok(())
}
