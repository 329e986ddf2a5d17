//! The largest photo over all sizes of bag on a grid, and where the rules change that decide it.
//!
//! Every bag of the grid is worked out like any other. What decides is found for the photo's shorter
//! side, as that comes first: the rules that hold it. Grid points with the same rules make a region.

use super::{Answer, Asked, At, Candidate, Offer, Photo, each};
use crate::length::{Interval, Length, Ruler};
use crate::plan::Reason;
use crate::solve::Limits;
use crate::supplies::Bag;
use std::collections::BTreeMap;

/// More sizes of bag than this are refused.
pub const MOST_CELLS: usize = 40_000;

/// Sizes of bag: every width with every height.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Grid {
    /// From the narrowest up.
    pub widths: Vec<Length>,
    /// From the lowest up.
    pub heights: Vec<Length>,
}

/// Why a grid is refused.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum GridError {
    #[error("the first length is larger than the second")]
    Reversed,
    #[error("this is not a whole number of ruler steps")]
    Step,
    #[error("these are {cells} sizes of bag; the most is {MOST_CELLS}")]
    TooMany { cells: u128 },
}

impl Grid {
    /// Every `step` from the first to the last of both sides. The first is on the ruler or raised to
    /// it.
    ///
    /// # Errors
    /// See [`GridError`].
    pub fn new(
        ruler: Ruler,
        widths: (Length, Length),
        heights: (Length, Length),
        step: Length,
    ) -> Result<Grid, GridError> {
        if step <= Length::ZERO || !ruler.holds(step) {
            return Err(GridError::Step);
        }
        let many = |(first, last): (Length, Length)| {
            let first = ruler.length_of(ruler.ticks_up(first))?;
            let span = last.checked_sub(first)?.nm();
            (span >= 0).then_some((first, (span / step.nm()) as u128 + 1))
        };
        let (Some((width, wide)), Some((height, high))) = (many(widths), many(heights)) else {
            return Err(GridError::Reversed);
        };
        let cells = wide.saturating_mul(high);
        if cells > MOST_CELLS as u128 {
            return Err(GridError::TooMany { cells });
        }
        let sides = |first: Length, many: u128| -> Vec<Length> {
            let ticks = (0..many as i64).filter_map(|n| first.checked_add(step.checked_mul(n)?));
            ticks.collect()
        };
        Ok(Grid {
            widths: sides(width, wide),
            heights: sides(height, high),
        })
    }
}

/// What the bag of one grid point gives.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cell {
    /// Its photo's width and height, and the place of its region.
    Photo(Length, Length, usize),
    /// It fits, and holds no photo.
    NoPhoto,
    DoesNotFit,
    Undecided,
}

/// Grid points whose photos are decided by the same rules.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Region {
    /// Rules that hold the photo's shorter side; where none does, what else, in a word.
    pub rules: Vec<String>,
    pub cells: usize,
}

/// The photo over the grid.
#[derive(Clone, Debug)]
pub struct Sweep {
    pub grid: Grid,
    /// The bag whose gusset, bottom and pocket all have.
    pub like: Bag,
    /// Row by row from the lowest height up, each from the narrowest width up.
    pub cells: Vec<Cell>,
    /// The largest region first.
    pub regions: Vec<Region>,
}

impl Sweep {
    /// The grid point of a width and a height, by their places in the grid.
    pub fn cell(&self, width: usize, height: usize) -> Option<Cell> {
        let wide = self.grid.widths.len();
        (width < wide).then_some(())?;
        self.cells.get(height * wide + width).copied()
    }
}

/// Works the grid out. `one_more` is called with every bag, and may stop the work.
///
/// # Errors
/// That of `one_more`.
pub fn sweep<E>(
    asked: &Asked<'_>,
    limits: &Limits,
    grid: Grid,
    like: &Bag,
    mut one_more: impl FnMut(&Offer) -> Result<(), E>,
) -> Result<Sweep, E> {
    let like = Bag {
        // Depths and folds were measured on a bag of another height.
        folded: None,
        front_depth: None,
        back_depth: None,
        squeezed: None,
        ..like.clone()
    };
    let bags = grid.heights.iter().flat_map(|height| {
        grid.widths.iter().map(|width| Candidate {
            bag: Bag {
                width: Interval::exact(*width),
                height: Interval::exact(*height),
                ..like.clone()
            },
            at: At::default(),
        })
    });
    let mut cells = Vec::new();
    let mut found: Vec<Region> = Vec::new();
    let mut known: BTreeMap<Vec<String>, usize> = BTreeMap::new();
    each(asked, limits, bags, |offer| {
        one_more(&offer)?;
        cells.push(match &offer.answer {
            Answer::Fits(fit) => match &fit.photo {
                None => Cell::NoPhoto,
                Some(photo) => {
                    let rules = deciding(photo);
                    let region = *known.entry(rules.clone()).or_insert_with(|| {
                        found.push(Region { rules, cells: 0 });
                        found.len() - 1
                    });
                    found[region].cells += 1;
                    Cell::Photo(photo.width.least(), photo.height.least(), region)
                }
            },
            Answer::Clash(_) | Answer::NotWorkable(_) => Cell::DoesNotFit,
            Answer::Undecided(_) | Answer::Defect(_) => Cell::Undecided,
        });
        Ok(())
    })?;
    let (regions, place) = by_size(found);
    for cell in &mut cells {
        if let Cell::Photo(_, _, region) = cell {
            *region = place[*region];
        }
    }
    Ok(Sweep {
        grid,
        like,
        cells,
        regions,
    })
}

/// Regions, the largest first, and where each of them went.
fn by_size(found: Vec<Region>) -> (Vec<Region>, Vec<usize>) {
    let mut order: Vec<usize> = (0..found.len()).collect();
    order.sort_by_key(|&n| (std::cmp::Reverse(found[n].cells), n));
    let mut place = vec![0; found.len()];
    for (to, &from) in order.iter().enumerate() {
        place[from] = to;
    }
    (order.iter().map(|&n| found[n].clone()).collect(), place)
}

/// What holds the photo's shorter side.
fn deciding(photo: &Photo) -> Vec<String> {
    let reasons = match photo.width.least() <= photo.height.least() {
        true => &photo.width_by,
        false => &photo.height_by,
    };
    let rules = reasons.iter().filter_map(|reason| match reason {
        Reason::Rule { name, .. } => Some(name.clone()),
        _ => None,
    });
    let mut rules: Vec<String> = rules.collect();
    rules.sort();
    rules.dedup();
    if !rules.is_empty() {
        return rules;
    }
    let other = reasons.first().map(|reason| match reason {
        Reason::Preference(_) => "another size that comes first",
        Reason::Given | Reason::Measured => "its size is given",
        Reason::Limit(_) => "its own limit",
        Reason::Rule { .. } | Reason::Unknown => "not known",
    });
    other.into_iter().map(str::to_owned).collect()
}
