//! Jobs that ask for an offcut as if it were a piece, and their plans as plans without it.

use super::answer::{Cutting, Divides, Extra, Part, What};
use super::build::{offcut, stack};
use super::job::{Job, Piece, Stock};

/// The job with the sheets that are used and no others.
pub(super) fn same_sheets(job: &Job, cuttings: &[Cutting]) -> Job {
    let mut same = job.clone();
    let mut used = vec![0; job.stocks.len()];
    for cutting in cuttings {
        used[cutting.stock] += cutting.times;
    }
    let kinds = used.iter().filter(|&&used| used > 0).count();
    for (stock, used) in same.stocks.iter_mut().zip(used) {
        // Sheets of one kind are counted by what they cost.
        if used == 0 || kinds > 1 {
            stock.count = Some(used);
        }
    }
    same
}

/// An extra as a piece.
pub(super) fn asked_for(job: &Job, extra: Extra) -> Piece {
    Piece {
        name: String::new(),
        width: extra.width,
        height: extra.height,
        count: 1,
        turn: extra.widens.is_none_or(|number| job.pieces[number].turn),
        value: None,
        most_alike: None,
    }
}

/// The job with an extra, see [`Extra`].
pub(super) fn extended(job: &Job, extra: Extra) -> Job {
    let mut job = job.clone();
    let piece = asked_for(&job, extra);
    match extra.widens.map(|number| &mut job.pieces[number]) {
        Some(widened) if widened.count == 1 => *widened = piece,
        Some(widened) => {
            widened.count -= 1;
            job.pieces.push(piece);
        }
        None => job.pieces.push(piece),
    }
    job
}

/// A part of the job with the extra, as one without it.
pub(super) fn without(job: &Job, extra: Extra, part: &Part) -> Part {
    let gap = job.gap;
    let place = match extra.widens {
        Some(piece) if job.pieces[piece].count == 1 => piece,
        _ => job.pieces.len(),
    };
    match &part.what {
        What::Offcut => part.clone(),
        What::Piece { piece, .. } if *piece != place => part.clone(),
        What::Piece { turned, .. } => {
            let Some(number) = extra.widens else {
                return offcut(part.width, part.height);
            };
            let piece = &job.pieces[number];
            let turned = *turned;
            let (width, height) = match turned {
                true => (piece.height, piece.width),
                false => (piece.width, piece.height),
            };
            let divides = match (extra.width > piece.width) != turned {
                true => Divides::Width,
                false => Divides::Height,
            };
            let piece = number;
            let own = Part::new(width, height, What::Piece { piece, turned });
            stack(part.width, part.height, divides, gap, vec![own])
        }
        What::Split { divides, parts } => {
            let parts = parts.iter().map(|p| without(job, extra, p)).collect();
            stack(part.width, part.height, *divides, gap, parts)
        }
    }
}

/// Whether no sheet holds more of these values than numbers count, with room to spare.
pub(super) fn can_be_counted(job: &Job, values: &[u64]) -> bool {
    let area = |w: u64, h: u64| u128::from(w + job.gap) * u128::from(h + job.gap);
    let sheets = job.stocks.iter().filter_map(Stock::trimmed);
    let sheet = sheets.map(|(w, h)| area(w, h)).max().unwrap_or(0);
    let ways = 2 * values.len() as u128 + 1;
    let mut each = job.pieces.iter().zip(values);
    each.all(|(p, &value)| {
        let times = sheet / area(p.width, p.height).max(1) + 1;
        u128::from(value) * times * ways < 1 << 61
    })
}
