//! The largest photo over all sizes of bag.

use super::{Compare, Done, exit_code, sound};
use crate::cli::bags::Bags;
use crate::cli::output::{self, Sink};
use crate::cli::typed::Typed;
use crate::cli::watch::Watch;
use crate::cli::{Input, Stop, from};
use crate::compare::sweep::{Cell, Grid, GridError};
use crate::compare::{self, Asked, Offer};
use crate::draw;
use crate::length::{Interval, Length, LengthError, parse_interval, parse_length, written_unit};
use crate::report;
use crate::solve::Limits;
use crate::supplies::{Bag, Bottom};
use crate::text::{Place, Problem, TextError};

/// Bags that are drawn as points.
const MOST_POINTS: usize = 40;

/// What is wrong with what is to be gone over.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
enum SweepError {
    #[error("`{written}` is not a range of two lengths")]
    Range { written: String },
    #[error("{error}")]
    Grid { error: GridError },
}

impl Problem for SweepError {
    fn help(&self) -> Option<String> {
        Some(match self {
            SweepError::Range { .. } => "type two lengths: `3 in .. 8 in`".to_owned(),
            SweepError::Grid { error, .. } => match error {
                GridError::Reversed => "type the smaller one first: `3 in .. 8 in`".to_owned(),
                GridError::Step => "type a whole number of ruler steps".to_owned(),
                GridError::TooMany { .. } => {
                    "take larger steps, `--step \"1/2 in\"`, or a shorter range".to_owned()
                }
            },
        })
    }
}

/// All sizes of bag, and the bag whose gusset and pocket they have.
pub(super) struct Over {
    grid: Grid,
    like: Bag,
}

/// Reads what is to be gone over.
pub(super) fn read(
    verb: &Compare,
    input: &mut Input,
    widths: &str,
    heights: &str,
) -> Result<Over, Stop> {
    let ruler = input.album.ruler;
    let leaf = input.album.leaves.iter().find(|leaf| {
        let named = verb.leaf.as_deref().is_none_or(|name| leaf.name == name);
        named && leaf.inserts.iter().any(|insert| insert.photo.is_some())
    });
    let leaf = leaf
        .or(input.album.leaves.first())
        .map_or(0, |leaf| leaf.bag);
    let mut like = match input.album.supplies.bags.get(leaf) {
        Some(bag) => bag.clone(),
        None => {
            let any = Interval::exact(Length::INCH);
            Bag::flat("bag".to_owned(), Place::default(), any, any)
        }
    };
    let mut typed = Typed::over(&mut input.files);
    let widths = (range(&mut typed, "--widths", widths), widths);
    let heights = (range(&mut typed, "--heights", heights), heights);
    let step = match &verb.step {
        None => Some(ruler.step()),
        Some(text) => length(&mut typed, "--step", text, parse_length(text)),
    };
    if let Some(text) = &verb.gusset {
        gusset(&mut typed, text, &mut like);
    }
    if let (Some(width), Some(height), Some(step)) = (widths.0, heights.0, step) {
        match Grid::new(ruler, width, height, step) {
            Ok(grid) => {
                input.files = typed.done()?;
                return Ok(Over { grid, like });
            }
            Err(error) => {
                let (option, text) = match &error {
                    GridError::Step => ("--step", verb.step.as_deref().unwrap_or("")),
                    GridError::Reversed if width.0 <= width.1 => ("--heights", heights.1),
                    _ => ("--widths", widths.1),
                };
                let place = typed.said(option, text).place;
                typed.faults.tell(place, SweepError::Grid { error });
            }
        }
    }
    Err(typed.stop())
}

fn length<T>(
    typed: &mut Typed,
    option: &str,
    text: &str,
    read: Result<T, LengthError>,
) -> Option<T> {
    let said = typed.said(option, text);
    match read {
        Ok(value) => Some(value),
        Err(error) => {
            let place = said.part(error.range());
            typed.faults.tell(place, TextError::Length { error });
            None
        }
    }
}

/// `3 in .. 8 in`; a unit behind the second length may stand for both.
fn range(typed: &mut Typed, option: &str, text: &str) -> Option<(Length, Length)> {
    let Some((first, last)) = text.split_once("..") else {
        let said = typed.said(option, text);
        let (place, written) = (said.place, said.value);
        typed.faults.tell(place, SweepError::Range { written });
        return None;
    };
    let first = match (written_unit(first), written_unit(last)) {
        (None, Some(unit)) => format!("{} {}", first.trim(), unit.name()),
        _ => first.trim().to_owned(),
    };
    let from = length(typed, option, &first, parse_length(&first));
    let to = length(typed, option, last.trim(), parse_length(last.trim()));
    let (from, to) = (from?, to?);
    let most = Length::from_nm(2_000 * Length::MM.nm());
    if from <= Length::ZERO || to > most {
        let place = typed.said(option, text).place;
        let (key, written, over) = (option.to_owned(), format!("`{text}`"), to > most);
        let limit = if over {
            most.to_string()
        } else {
            "a ruler step".to_owned()
        };
        typed.faults.tell(
            place,
            TextError::OutOfRange {
                key,
                written,
                limit,
                over,
                other: None,
            },
        );
        return None;
    }
    Some((from, to))
}

/// The gusset that all of them have.
fn gusset(typed: &mut Typed, text: &str, like: &mut Bag) {
    if text.trim() == "none" {
        like.gusset = None;
        return;
    }
    if let Some(gusset) = length(typed, "--gusset", text, parse_interval(text)) {
        like.gusset = Some(gusset);
        like.bottom = Bottom::Block;
    }
}

/// Goes over all sizes, and works out the bags that are shown as points.
pub(super) fn sweep(
    verb: &Compare,
    input: &Input,
    asked: &Asked<'_>,
    over: Over,
    mut bags: Bags,
    limits: &Limits,
) -> Result<Done, Stop> {
    let ruler = input.album.ruler;
    let sink = Sink::new(&verb.target);
    let mut watch = Watch::begin();
    let swept = compare::sweep::sweep(asked, limits, over.grid, &over.like, |offer| {
        watch.one_more()?;
        sound(offer)
    })?;
    let mut points: Vec<Offer> = Vec::new();
    compare::each(asked, limits, bags.by_ref().take(MOST_POINTS), |offer| {
        watch.one_more()?;
        sound(&offer)?;
        points.push(offer);
        Ok(())
    })?;
    watch.end();
    watch.still_wanted()?;
    let wrong = bags.wrong()?;
    let many = |of: fn(&Cell) -> bool| swept.cells.iter().filter(|cell| of(cell)).count() as u64;
    let fit = many(|cell| matches!(cell, Cell::Photo(..) | Cell::NoPhoto));
    let code = exit_code(bags.wrong_rows, fit, many(|cell| *cell == Cell::Undecided));
    if let Some(path) = &verb.svg {
        let page = draw::field::page(&input.album.title, ruler, &swept, &points);
        output::whole(path, draw::svg::file(&page).as_bytes(), verb.target.force)?;
    }
    let from = from(input, &verb.source);
    let text = match (verb.csv, verb.json) {
        (true, _) => report::compare::sweep::csv(ruler, &swept),
        (false, true) => report::json::compare::sweep(from, &swept, &points, code),
        (false, false) => report::compare::sweep::text(from, &swept),
    };
    sink.write(&text)?;
    Ok((code, wrong))
}
