//! What is wrong with a text that should be a length, as values; the words are in one place.

use super::show::in_unit;
use super::{Length, Ruler, Unit, parse_ratio};
use std::ops::Range;
use thiserror::Error;

/// A text that is no length, size or ratio.
///
/// `Display` says what is wrong, [`LengthError::help`] what to type instead.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
#[error("{problem}")]
pub struct LengthError {
    /// What is wrong.
    pub problem: LengthProblem,
    /// Where: bytes of the text that was read, at character boundaries; empty where something is
    /// missing.
    pub at: Range<usize>,
}

impl LengthError {
    /// What to type instead.
    pub fn help(&self) -> String {
        self.problem.help()
    }

    /// Where in the text (bytes).
    pub fn range(&self) -> Range<usize> {
        self.at.clone()
    }
}

pub(super) fn fail(problem: LengthProblem, at: Range<usize>) -> LengthError {
    LengthError { problem, at }
}

/// The same of what stands there in a text.
pub(super) fn fail_with(
    text: &str,
    at: Range<usize>,
    problem: impl FnOnce(String) -> LengthProblem,
) -> LengthError {
    fail(problem(text[at.clone()].to_string()), at)
}

/// What is wrong with a text that should be a length, size or ratio. Texts are as typed.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum LengthProblem {
    #[error("no size is written here")]
    Empty,
    /// Over [`LONGEST_TEXT`](super::LONGEST_TEXT) bytes; the text is not looked at.
    #[error("this text is too long for a size ({bytes} bytes)")]
    TooLong { bytes: usize },
    /// The text ends where a number should follow.
    #[error("a number is missing at the end")]
    Unfinished,
    #[error("`{found}` is not a number")]
    NoNumber { found: String },
    #[error("`{found}` does not belong here")]
    Unexpected { found: String },
    #[error("`{numbers}` is more than one number")]
    TwoNumbers { numbers: String },
    #[error("`{amount}` has no unit")]
    NoUnit { amount: String },
    #[error("`{unit}` is not a unit")]
    UnknownUnit {
        unit: String,
        /// The unit whose name is the most like it.
        near: Option<Unit>,
    },
    /// A unit that is known, but not used: feet, metres, points.
    #[error("tuckwright does not measure in `{unit}`")]
    OtherUnit {
        unit: String,
        /// The same length, if it can be held.
        same: Option<Length>,
        /// The unit to say it in.
        say: Unit,
    },
    #[error("the number below the line of `{fraction}` is missing")]
    HalfFraction { fraction: String },
    #[error("an `x` is missing between two sides")]
    NoTimes {
        /// With it.
        apart: String,
    },
    /// A letter and a number, as sheets and envelopes are called.
    #[error("no sheet or envelope is called `{name}`")]
    NoName { name: String },
    #[error("`{fraction}` divides by zero")]
    DividesByZero { fraction: String },
    /// A whole number with a fraction of one or more: most likely a slip.
    #[error("the fraction in `{amount}` is 1 or more")]
    ImproperFraction {
        amount: String,
        whole: i64,
        numerator: i64,
        denominator: i64,
    },
    /// A fraction of one or more that may be a whole number and a fraction: `81/2` for `8 1/2`.
    #[error("`{fraction}` can mean two things")]
    RunTogether {
        fraction: String,
        /// With the space.
        apart: String,
        numerator: i64,
        denominator: i64,
    },
    #[error("`{number}` is written with an exponent")]
    Exponent {
        number: String,
        /// The same number without, if that is short.
        plain: Option<String>,
    },
    /// A comma may divide decimals or thousands, so it is not guessed at.
    #[error("the comma in `{number}` can mean two things")]
    Comma { number: String },
    #[error("`{number}` has too many digits")]
    TooManyDigits { number: String },
    #[error("`{number}` is negative")]
    Negative { number: String },
    /// Over [`Length::LARGEST`].
    #[error("`{text}` is more than {}", metres(Length::LARGEST))]
    TooLarge { text: String },
    #[error("`{text}` cannot be kept exactly: it is not a whole number of nanometres")]
    NotExact {
        text: String,
        unit: Unit,
        /// The nearest lengths that can be held, one nanometre apart.
        below: Length,
        above: Length,
        /// The nearest marks of a fine ruler: 1/64 in, or 0.01 mm.
        mark_below: Length,
        mark_above: Length,
    },
    /// A ± where only one exact length can stand.
    #[error("this must be one exact length, without `±` or `to`")]
    NotOneLength,
    #[error("the `±` of {play} is more than the length of {middle} itself", middle = in_unit(*.middle, *.unit), play = in_unit(*.play, *.unit))]
    BelowZero {
        middle: Length,
        play: Length,
        unit: Unit,
    },
    #[error("{first} is more than {second}", first = in_unit(*.first, *.unit), second = in_unit(*.second, *.unit))]
    Backwards {
        first: Length,
        second: Length,
        unit: Unit,
    },
    #[error("{found} {} written here", if *.found == 1 { "side is" } else { "sides are" })]
    SideCount {
        found: usize,
        /// The fewest and the most that may be written.
        fewest: usize,
        most: usize,
    },
    /// The whole text.
    #[error("`{text}` is not a ratio")]
    NoRatio { text: String },
    #[error("a ruler step of {} is too {}", in_unit(*.step, *.unit), if *.step < Ruler::FINEST { "fine" } else { "coarse" })]
    Step { step: Length, unit: Unit },
}

impl LengthProblem {
    /// What to type instead.
    pub fn help(&self) -> String {
        use LengthProblem as P;
        match self {
            P::Empty | P::NoNumber { .. } | P::Unfinished => {
                "type a number and a unit, such as `4 3/8 in` or `111 mm`".into()
            }
            P::TooLong { .. } => "type only the size, such as `4 1/4 x 5 1/2 in`".into(),
            P::Unexpected { .. } => {
                "delete it: a length is a number and a unit, such as `4 3/8 in`".into()
            }
            P::TwoNumbers { .. } => {
                "type thousands without a space, as `1000`, and fractions as `4 3/8`".into()
            }
            // Nobody measures millimetres in fractions.
            P::NoUnit { amount } if amount.contains('/') => format!("type `{amount} in`"),
            P::NoUnit { amount } => format!("type `{amount} in` or `{amount} mm`"),
            P::UnknownUnit {
                near: Some(unit), ..
            } => format!("type `{}`", unit.name()),
            P::UnknownUnit { near: None, .. } => {
                "type `in`, `mm` or `cm`; a double quote means inches too".into()
            }
            P::OtherUnit {
                same: Some(length),
                say,
                ..
            } => format!("type `{}`", in_unit(*length, *say)),
            P::OtherUnit {
                same: None, say, ..
            } => format!("measure it in `{}`", say.name()),
            P::HalfFraction { .. } => "type it, as in `4 3/8 in`".into(),
            P::NoTimes { apart } => format!("type `{apart}`"),
            P::NoName { .. } => {
                "type `A0` to `A10`, the same with `B` or `C`, or `DL`; or a size, such as `4 1/4 x 5 1/2 in`".into()
            }
            P::DividesByZero { .. } => "type 1 or more below the line".into(),
            P::ImproperFraction {
                whole,
                numerator,
                denominator,
                ..
            } => format!(
                "type `{}` if you mean that",
                mixed(*whole, *numerator, *denominator)
            ),
            P::RunTogether {
                apart,
                numerator,
                denominator,
                ..
            } => format!(
                "type `{apart}`, or `{}`",
                mixed(0, *numerator, *denominator)
            ),
            P::Exponent {
                plain: Some(plain), ..
            } => format!("type `{plain}`"),
            P::Exponent { plain: None, .. } => "type the number in full".into(),
            P::Comma { number } => without_comma(number),
            P::TooManyDigits { .. } => "type a shorter number".into(),
            P::Negative { .. } => "leave the minus out: a length is measured from zero up".into(),
            P::TooLarge { .. } => "look for a slip in the number or the unit".into(),
            P::NotExact {
                unit,
                below,
                above,
                mark_below,
                mark_above,
                ..
            } => {
                let mark = |at: &Length| format!("`{}`", in_unit(*at, *unit));
                let marks = match *mark_below == Length::ZERO {
                    true => mark(mark_above),
                    false => format!("{} or {}", mark(mark_below), mark(mark_above)),
                };
                format!("type {marks}; the nearest that can be kept are `{below}` and `{above}`")
            }
            P::NotOneLength => "type one length, such as `4 3/8 in`".into(),
            P::BelowZero { middle, unit, .. } => {
                format!("type a `±` of `{}` or less", in_unit(*middle, *unit))
            }
            P::Backwards {
                first,
                second,
                unit,
            } => format!(
                "type `{} to {}`",
                in_unit(*second, *unit),
                in_unit(*first, *unit)
            ),
            P::SideCount { fewest, most, .. } => as_many_sides(*fewest, *most).into(),
            P::NoRatio { text } => match text.to_lowercase().replace(['×', '*'], "x") {
                text if text == "square" => "type `1:1`".into(),
                // Sides as they are typed elsewhere.
                text if parse_ratio(&text.replacen('x', ":", 1)).is_ok() => {
                    format!("type `{}`", text.replacen('x', ":", 1))
                }
                _ => "type `1/6`, `65 %`, `0.65` or `2:3`".into(),
            },
            P::Step { unit, .. } => format!(
                "type a step between `{}` and `{}`, such as `{}`",
                Ruler::FINEST,
                Ruler::COARSEST,
                match unit {
                    Unit::Inch => "1/16 in",
                    Unit::Millimetre | Unit::Centimetre => "1 mm",
                }
            ),
        }
    }
}

/// The comma of a number may divide decimals, or thousands.
fn without_comma(number: &str) -> String {
    let point = number.replacen(',', ".", 1);
    let plain = number.replacen(',', "", 1);
    match number.split_once(',') {
        Some((whole, thousands)) if thousands.len() == 3 && whole != "0" => {
            format!("type `{point}` with a point, or `{plain}`")
        }
        _ => format!("type `{point}` with a point"),
    }
}

fn as_many_sides(fewest: usize, most: usize) -> &'static str {
    match (fewest, most) {
        (2, 2) => "type width x height, such as `4 1/4 x 5 1/2 in`",
        (3, 3) => "type width x gusset x height, such as `5 1/8 x 3 1/8 x 10 5/8 in`",
        (1, 1) => "type one length, such as `4 3/8 in`",
        _ => {
            "type width x height, such as `5 1/8 x 8 1/2 in`, or width x gusset x height, such as \
             `5 1/8 x 3 1/8 x 10 5/8 in`"
        }
    }
}

/// A whole number and a fraction of any size, as a maker reads it.
fn mixed(whole: i64, numerator: i64, denominator: i64) -> String {
    let whole = i128::from(whole) + i128::from(numerator / denominator);
    match (whole, numerator % denominator) {
        (_, 0) => whole.to_string(),
        (_, rest) => format!("{whole} {rest}/{denominator}"),
    }
}

fn metres(length: Length) -> String {
    format!("{} m", length.nm() / 1_000_000_000)
}
