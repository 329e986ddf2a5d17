//! One paper's question in whole steps that all its lengths share, and what is wrong with it.

use super::words::sheet;
use super::{CutError, MOST_PIECES, Order, Paper, Want};
use crate::length::{Length, Ruler};
use crate::nest::{Job, JobError, LONGEST_SIDE, MOST_KINDS, Piece, Stages, Stock, Trim};
use crate::text::Problem;
use crate::text::{At, Place};
use num_integer::gcd;

/// What is cut off a sheet before anything else.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Edges {
    pub left: Length,
    pub right: Length,
    pub top: Length,
    pub bottom: Length,
}

/// A question as `nest` reads it, and how to read its answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Counted {
    pub job: Job,
    /// One step of the job.
    pub unit: Length,
    /// For each piece of the job the wants that it stands for, with how many of each.
    pub kinds: Vec<Vec<(usize, u64)>>,
    /// For each stock of the job, in the order of the paper's sheets.
    pub edges: Vec<Edges>,
}

impl Counted {
    /// The fewest steps that are as long.
    pub fn steps_of(&self, length: Length) -> u64 {
        let steps = u64::try_from(length.nm()).unwrap_or(0);
        steps.div_ceil(u64::try_from(self.unit.nm()).unwrap_or(1).max(1))
    }

    /// So many steps.
    pub fn length(&self, steps: u64) -> Length {
        let steps = i64::try_from(steps).unwrap_or(i64::MAX);
        // A side is no longer than what it was counted from.
        self.unit.checked_mul(steps).unwrap_or(Length::LARGEST)
    }
}

/// What is asked of one paper. `counts` are the wants that are cut from it, each with how many.
/// A whole sheet costs more than all offcuts together, so that the fewest sheets are taken, and
/// then the fewest offcuts; `sheet_cost` says how much.
///
/// # Errors
/// What trimming leaves nothing of, and sizes that share no step.
pub fn counted(
    order: &Order,
    paper: usize,
    counts: &[(usize, u64)],
    stages: Stages,
    sheet_cost: u64,
    ruler: Ruler,
) -> Result<Counted, Vec<At<CutError>>> {
    let trimmed = trimmed(order, paper, ruler)?;
    let kinds = merged(order, counts);
    let firsts = kinds.iter().filter_map(|kind| kind.first());
    let wants: Vec<&Want> = firsts.map(|(want, _)| &order.wants[*want]).collect();
    let unit = unit(order, &wants, &trimmed).ok_or_else(|| too_fine(ruler, &wants))?;
    let mut stocks = Vec::new();
    let mut edges = Vec::new();
    for (one, (width, height, trim)) in order.papers[paper].sheets.iter().zip(&trimmed) {
        stocks.push(Stock {
            name: String::new(),
            width: steps(*width, unit),
            height: steps(*height, unit),
            count: one.count,
            cost: if one.offcut { 1 } else { sheet_cost },
            turn: !order.papers[paper].directed,
            trim: Trim::default(),
        });
        let rest = |side: Length| Length::from_nm(side.nm() % unit + trim.nm());
        edges.push(Edges {
            left: *trim,
            right: rest(*width),
            top: *trim,
            bottom: rest(*height),
        });
    }
    let pieces = wants.iter().zip(&kinds).map(|(want, kind)| Piece {
        name: String::new(),
        width: steps(want.width, unit),
        height: steps(want.height, unit),
        count: kind.iter().map(|(_, n)| n).sum(),
        turn: want.turn,
        value: want.value,
        most_alike: None,
    });
    Ok(Counted {
        job: Job {
            pieces: pieces.collect(),
            // A sheet that is not there is no stock, but keeps its place.
            stocks,
            stages,
            gap: steps(order.trimmer.gap, unit),
            narrowest: steps(order.trimmer.narrowest, unit),
        },
        unit: Length::from_nm(unit),
        kinds,
        edges,
    })
}

/// A sheet after its edges are trimmed: width, height, and what comes off each edge.
type Trimmed = (Length, Length, Length);

/// All sheets of a paper.
fn trimmed(order: &Order, paper: usize, ruler: Ruler) -> Result<Vec<Trimmed>, Vec<At<CutError>>> {
    let mut faults = Vec::new();
    let mut trimmed = Vec::new();
    for one in &order.papers[paper].sheets {
        let trim = match one.offcut {
            true => Length::ZERO,
            false => order.trimmer.trim,
        };
        let left = |side: Length| {
            let both = trim.checked_mul(2)?;
            side.checked_sub(both).filter(|l| *l > Length::ZERO)
        };
        match (left(one.width), left(one.height)) {
            (Some(width), Some(height)) => trimmed.push((width, height, trim)),
            _ => {
                let of = sheet(ruler, &order.papers[paper], one);
                faults.push(CutError::NothingLeft { of }.at(one.place));
            }
        }
    }
    match faults.is_empty() {
        true => Ok(trimmed),
        false => Err(faults),
    }
}

/// So many steps of `unit` are in a length.
fn steps(length: Length, unit: i64) -> u64 {
    u64::try_from(length.nm() / unit.max(1)).unwrap_or(0)
}

/// The length of one step, in nanometres, in which all sizes are whole; `None` if sheets have too many.
///
/// Steps that divide the sheets too say what is left exactly. Where they would be too fine, what the
/// pieces' own steps do not reach is cut off first: no sum of pieces does.
fn unit(order: &Order, wants: &[&Want], trimmed: &[Trimmed]) -> Option<i64> {
    let own = [order.trimmer.gap, order.trimmer.narrowest].into_iter();
    let pieces = own.chain(wants.iter().flat_map(|w| [w.width, w.height]));
    let pieces = pieces.fold(0, |g, length| gcd(g, length.nm()));
    let sides = || trimmed.iter().flat_map(|(w, h, _)| [*w, *h]);
    let fine = sides().fold(pieces, |g, length| gcd(g, length.nm()));
    let longest = sides().max().unwrap_or_default();
    let mut units = [fine, pieces].into_iter();
    units.find(|unit| *unit != 0 && steps(longest, *unit) < LONGEST_SIDE / 2)
}

/// Each side that lies on no ruler's mark, with the marks beside it; where all do, the sheet is too
/// large for such different rulers.
fn too_fine(ruler: Ruler, wants: &[&Want]) -> Vec<At<CutError>> {
    let on = |side: Length, mark: Length| side.nm() % mark.nm() == 0;
    let mark = Ruler::MARKS[usize::from(ruler.is_metric())];
    let mut all = Vec::new();
    for want in wants {
        for side in [want.width, want.height] {
            if Ruler::MARKS.iter().any(|mark| on(side, *mark)) {
                continue;
            }
            let below = side.nm() / mark.nm();
            let marks = [below, below + 1].into_iter().filter(|n| *n > 0);
            let marks = marks.filter_map(|n| mark.checked_mul(n));
            all.push(
                CutError::OffMarks {
                    name: want.label(),
                    size: super::words::size(ruler, want),
                    side: ruler.show(side),
                    marks: marks.map(|mark| ruler.show(mark)).collect(),
                }
                .at(want.place),
            );
        }
    }
    if all.is_empty() {
        let place = wants.first().map_or(Place::default(), |w| w.place);
        all.push(CutError::TooFine.at(place));
    }
    all
}

/// Wants that are cut alike, together: the order of the first of each.
fn merged(order: &Order, counts: &[(usize, u64)]) -> Vec<Vec<(usize, u64)>> {
    let alike = |a: &Want, b: &Want| {
        (a.width, a.height, a.turn, a.value) == (b.width, b.height, b.turn, b.value)
    };
    let mut kinds: Vec<Vec<(usize, u64)>> = Vec::new();
    for (want, count) in counts {
        let same = kinds.iter_mut().find(|kind| {
            let first = kind.first().map(|(w, _)| &order.wants[*w]);
            first.is_some_and(|first| alike(first, &order.wants[*want]))
        });
        match same {
            Some(kind) => kind.push((*want, *count)),
            None => kinds.push(vec![(*want, *count)]),
        }
    }
    kinds
}

/// What `nest` found wrong, in the maker's lengths.
pub fn faults(
    order: &Order,
    paper: usize,
    counted: &Counted,
    errors: Vec<JobError>,
    ruler: Ruler,
) -> Vec<At<CutError>> {
    let paper: &Paper = &order.papers[paper];
    let want = |piece: usize| {
        let first = counted.kinds.get(piece).and_then(|k| k.first());
        first.map(|(w, _)| &order.wants[*w])
    };
    let place = counted.kinds.first().and_then(|k| k.first());
    let place = place.map_or(Place::default(), |(w, _)| order.wants[*w].place);
    let one = |error: JobError| match error {
        JobError::PieceTooLarge {
            piece,
            stock,
            turned,
            over,
        } => {
            let of = sheet(ruler, paper, paper.sheets.get(stock)?);
            let over = (counted.length(over.0), counted.length(over.1));
            Some(CutError::too_large(ruler, want(piece)?, of, over, turned))
        }
        JobError::TooNarrow { piece, by } => {
            let want = want(piece)?;
            Some(
                CutError::TooNarrow {
                    name: want.label(),
                    size: super::words::size(ruler, want),
                    by: ruler.show(counted.length(by)),
                }
                .at(want.place),
            )
        }
        JobError::LeavesSliver { piece, left, .. } => {
            let want = want(piece)?;
            let narrow = [left.0, left.1].into_iter().filter(|l| *l > 0).min();
            Some(
                CutError::LeavesSliver {
                    name: want.label(),
                    size: super::words::size(ruler, want),
                    left: ruler.show(counted.length(narrow.unwrap_or(0))),
                }
                .at(want.place),
            )
        }
        JobError::TooManyKinds => Some(CutError::TooManyKinds { most: MOST_KINDS }.at(place)),
        JobError::TooManyPieces => Some(
            CutError::TooMany {
                pieces: format!("more than {MOST_PIECES}"),
            }
            .at(place),
        ),
        JobError::TooMuch => Some(CutError::TooMuch.at(place)),
        // The others were made impossible when the question was counted.
        _ => Some(CutError::TooFine.at(place)),
    };
    errors.into_iter().filter_map(one).collect()
}
