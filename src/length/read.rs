//! Text to lengths, sizes and ratios. Exact, or refused with what to type instead.

use super::measure::{Held, Joint, Measure, Parser, Side};
use super::problem::{LengthError, LengthProblem as Problem, fail, fail_with};
use super::words::{Kind, lex};
use super::{Interval, Length, Ruler, Unit};
use num_rational::Ratio;
use std::ops::Range;

/// The largest number above or below the line of a ratio.
const LARGEST_IN_RATIO: i128 = 1_000_000_000;

/// `width x height` or `width x gusset x height`, as written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Sides {
    pub width: Interval,
    pub gusset: Option<Interval>,
    pub height: Interval,
}

/// Reads one exact length: `4 3/8 in`, `4-3/8"`, `4⅜ in`, `.5 in`, `111 mm`, `11.1 cm`. Zero is
/// read.
///
/// # Errors
///
/// If the text is no length, is negative, over [`Length::LARGEST`] or
/// [`LONGEST_TEXT`](super::LONGEST_TEXT), has no unit, has a decimal comma (which may as well divide thousands), or is
/// no whole number of nanometres.
pub fn parse_length(text: &str) -> Result<Length, LengthError> {
    let reading = Reading::of(text)?;
    Ok(reading.one_length()?.0)
}

/// Reads one length that may be uncertain: `4 3/8 in ± 1/16 in`, `4 3/8 +/- 1/16 in`,
/// `4 5/16 to 4 7/16 in`, or as [`parse_length`].
///
/// # Errors
///
/// As [`parse_length`], and if the least would be negative or over the most.
pub fn parse_interval(text: &str) -> Result<Interval, LengthError> {
    let reading = Reading::of(text)?;
    let intervals = reading.intervals(1, 1)?;
    intervals.first().copied().ok_or_else(|| reading.empty())
}

/// Reads width x height: `4 1/4 x 5 1/2 in`, `4 3/8 in × 111 mm`, `4 3/8 ± 1/16 x 5 3/4 in`; or the
/// name of a paper or an envelope, upright: `A6`, `C6`, `DL` (ISO 216, ISO 269).
///
/// If the last side is the only one with a ±, it holds for both: `4 3/8 x 5 3/4 in ± 1/16 in`.
/// Write `± 0` at a side that is exact.
///
/// # Errors
///
/// As [`parse_interval`] for each side, and if there are not two.
pub fn parse_size(text: &str) -> Result<(Interval, Interval), LengthError> {
    if let Some(size) = named(text) {
        return Ok(size);
    }
    let reading = Reading::of_sides(text)?;
    match reading.intervals(2, 2)?[..] {
        [width, height] => Ok((width, height)),
        _ => Err(reading.empty()),
    }
}

/// Reads width x height, or width x gusset x height.
///
/// # Errors
///
/// As [`parse_interval`] for each side, and if there are neither two nor three.
pub fn parse_sides(text: &str) -> Result<Sides, LengthError> {
    if let Some((width, height)) = named(text) {
        return Ok(Sides {
            width,
            gusset: None,
            height,
        });
    }
    let reading = Reading::of_sides(text)?;
    let (width, gusset, height) = match reading.intervals(2, 3)?[..] {
        [width, height] => (width, None, height),
        [width, gusset, height] => (width, Some(gusset), height),
        _ => return Err(reading.empty()),
    };
    Ok(Sides {
        width,
        gusset,
        height,
    })
}

/// The upright size that ISO 216 (A, B) or ISO 269 (C, DL) gives a name: each the one before folded
/// once, the millimetre cut off.
fn named(text: &str) -> Option<(Interval, Interval)> {
    let name = text.trim().to_ascii_uppercase();
    let mm = |mm: i64| Interval::exact(Length::from_nm(mm * Length::MM.nm()));
    let (mut width, mut height) = match name.chars().next()? {
        'A' => (841, 1189),
        'B' => (1000, 1414),
        'C' => (917, 1297),
        'D' if name == "DL" => return Some((mm(110), mm(220))),
        _ => return None,
    };
    let folds = (0..=10).find(|folds| name[1..] == folds.to_string())?;
    for _ in 0..folds {
        (width, height) = (height / 2, width);
    }
    Some((mm(width), mm(height)))
}

/// Reads a ratio: `1/6`, `65 %`, `33 1/3 %`, `0.65`, `1`, `2:3`, `85.60 : 53.98`. Exact and
/// reduced, zero or more, with no number over 1 000 000 000.
///
/// # Errors
///
/// If the text is no ratio, negative, divides by zero, or has too many digits.
pub fn parse_ratio(text: &str) -> Result<Ratio<i64>, LengthError> {
    let no_ratio = |mut error: LengthError| {
        if let Problem::Empty
        | Problem::Unfinished
        | Problem::NoNumber { .. }
        | Problem::Unexpected { .. } = error.problem
        {
            error.problem = Problem::NoRatio {
                text: text.trim().to_string(),
            };
        }
        error
    };
    let mut parser = Parser::of(text).map_err(no_ratio)?;
    let first = parser.amount().map_err(no_ratio)?;
    let mut at = first.at.clone();
    let mut cut = first.cut;
    let mut by = (1, 1);
    match parser.peek() {
        Some(Kind::Percent) => {
            parser.next();
            by = (100, 1);
        }
        Some(Kind::Colon) => {
            parser.next();
            let second = parser.amount().map_err(no_ratio)?;
            at.end = second.at.end;
            cut |= second.cut;
            by = (second.over, second.under);
        }
        _ => {}
    }
    parser.end().map_err(no_ratio)?;
    if by.0 == 0 {
        let zero = |fraction| Problem::DividesByZero { fraction };
        return Err(fail_with(text, at, zero));
    }
    let divided = || {
        let first = Ratio::new(first.over, first.under);
        let by = Ratio::new(by.0, by.1);
        let (over, under) = (
            first.numer().checked_mul(*by.denom())?,
            first.denom().checked_mul(*by.numer())?,
        );
        let ratio = Ratio::new(over, under);
        let small = *ratio.numer() <= LARGEST_IN_RATIO && *ratio.denom() <= LARGEST_IN_RATIO;
        if !small || cut {
            return None;
        }
        Some(Ratio::new(
            i64::try_from(*ratio.numer()).ok()?,
            i64::try_from(*ratio.denom()).ok()?,
        ))
    };
    let too_many = |number| Problem::TooManyDigits { number };
    divided().ok_or_else(|| fail_with(text, at, too_many))
}

/// The last unit that a text names, if it can be split into words and numbers at all: what a maker
/// who wrote it reads sizes in.
pub fn written_unit(text: &str) -> Option<Unit> {
    if named(text).is_some() {
        return Some(Unit::Millimetre);
    }
    let tokens = lex(text).ok()?;
    tokens.iter().rev().find_map(|token| match token.kind {
        Kind::Unit(unit) => Some(unit),
        _ => None,
    })
}

pub(super) fn parse_ruler(text: &str) -> Result<Ruler, LengthError> {
    let reading = Reading::of(text)?;
    let (step, unit, at) = reading.one_length()?;
    Ruler::new(step, unit).ok_or_else(|| fail(Problem::Step { step, unit }, at))
}

/// A text split into sides, every measure with its unit; not yet worked out.
struct Reading<'a> {
    text: &'a str,
    sides: Vec<Side>,
    at: Range<usize>,
}

impl<'a> Reading<'a> {
    /// What is not the name of a size may look like one.
    fn of_sides(text: &'a str) -> Result<Reading<'a>, LengthError> {
        let name = text.trim();
        match name.strip_prefix(|letter: char| "ABCD".contains(letter.to_ascii_uppercase())) {
            Some(digits) if !digits.is_empty() && digits.bytes().all(|it| it.is_ascii_digit()) => {
                let start = text.len() - text.trim_start().len();
                let no_name = |name| Problem::NoName { name };
                Err(fail_with(text, start..start + name.len(), no_name))
            }
            _ => Reading::of(text),
        }
    }

    fn of(text: &'a str) -> Result<Reading<'a>, LengthError> {
        let mut parser = Parser::of(text)?;
        let mut sides = vec![parser.side()?];
        while parser.peek() == Some(Kind::Times) {
            parser.next();
            sides.push(parser.side()?);
        }
        parser.end()?;
        let at = sides.first().map_or(0, |side| side.first.at.start)..parser.read_to();
        let mut reading = Reading { text, sides, at };
        reading.share_units()?;
        Ok(reading)
    }

    /// Gives every measure the first unit that follows it.
    fn share_units(&mut self) -> Result<(), LengthError> {
        let mut following = None;
        let mut bare: Option<Range<usize>> = None;
        let measures = self.sides.iter_mut().rev().flat_map(|side| {
            let second = side.second.as_mut().map(|(_, measure, _)| measure);
            second.into_iter().chain([&mut side.first])
        });
        for measure in measures {
            following = measure.unit.or(following);
            measure.unit = following;
            if following.is_none() {
                let end = bare.map_or(measure.at.end, |bare| bare.end);
                bare = Some(measure.at.start..end);
            }
        }
        let no_unit = |amount| Problem::NoUnit { amount };
        bare.map_or(Ok(()), |at| Err(fail_with(self.text, at, no_unit)))
    }

    /// The one exact length that is written, its unit and its place.
    fn one_length(&self) -> Result<(Length, Unit, Range<usize>), LengthError> {
        let [side] = &self.sides[..] else {
            return Err(self.side_count(1, 1));
        };
        if let Some((_, _, at)) = &side.second {
            return Err(fail(Problem::NotOneLength, at.start..self.at.end));
        }
        let (length, unit) = self.length(&side.first)?;
        Ok((length, unit, side.first.at.clone()))
    }

    fn intervals(&self, fewest: usize, most: usize) -> Result<Vec<Interval>, LengthError> {
        if !(fewest..=most).contains(&self.sides.len()) {
            return Err(self.side_count(fewest, most));
        }
        let for_all = match self.sides.split_last() {
            Some((last, others)) if others.iter().all(|side| side.second.is_none()) => last
                .second
                .as_ref()
                .filter(|(joint, ..)| *joint == Joint::PlusMinus),
            _ => None,
        };
        let interval = |side: &Side| self.interval(side, side.second.as_ref().or(for_all));
        self.sides.iter().map(interval).collect()
    }

    fn interval(
        &self,
        side: &Side,
        second: Option<&(Joint, Measure, Range<usize>)>,
    ) -> Result<Interval, LengthError> {
        let (first, unit) = self.length(&side.first)?;
        let Some((joint, measure, _)) = second else {
            return Ok(Interval::exact(first));
        };
        let (second, _) = self.length(measure)?;
        let (interval, problem) = match joint {
            Joint::PlusMinus => (
                Interval::plus_minus(first, second),
                Problem::BelowZero {
                    middle: first,
                    play: second,
                    unit,
                },
            ),
            Joint::To => (
                Interval::between(first, second),
                Problem::Backwards {
                    first,
                    second,
                    unit,
                },
            ),
        };
        let at = side.first.at.start.min(measure.at.start)..measure.at.end;
        match interval {
            None => Err(fail(problem, at)),
            Some(interval) if interval.most() > Length::LARGEST => {
                Err(fail_with(self.text, at, |text| Problem::TooLarge { text }))
            }
            Some(interval) => Ok(interval),
        }
    }

    fn length(&self, measure: &Measure) -> Result<(Length, Unit), LengthError> {
        let at = measure.at.clone();
        // Every measure has a unit by now.
        let Some(unit) = measure.unit else {
            return Err(self.empty());
        };
        let mut text = self.text[at.clone()].to_string();
        match measure.amount.times((unit.length().nm().into(), 1)) {
            Held::Exactly(length) => Ok((length, unit)),
            Held::TooLarge => Err(fail(Problem::TooLarge { text }, at)),
            Held::Above(below) => {
                let step = match unit {
                    Unit::Inch => Length::INCH.nm() / 64,
                    Unit::Millimetre | Unit::Centimetre => Length::MM.nm() / 100,
                };
                let mark = below.nm() - below.nm() % step;
                if measure.amount.at == at {
                    text = format!("{text} {}", unit.name());
                }
                Err(fail(
                    Problem::NotExact {
                        text,
                        unit,
                        below,
                        above: Length::from_nm(below.nm() + 1),
                        mark_below: Length::from_nm(mark),
                        mark_above: Length::from_nm(mark + step),
                    },
                    at,
                ))
            }
        }
    }

    fn side_count(&self, fewest: usize, most: usize) -> LengthError {
        let found = self.sides.len();
        fail(
            Problem::SideCount {
                found,
                fewest,
                most,
            },
            self.at.clone(),
        )
    }

    fn empty(&self) -> LengthError {
        fail(Problem::Empty, 0..self.text.len())
    }
}

#[cfg(test)]
#[path = "read_tests/mod.rs"]
mod tests;
