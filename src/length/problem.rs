//! What is wrong with a text that should be a length, as values; the words are in one place.

use super::show::in_unit;
use super::{Length, Ruler, Unit};
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

/// What is wrong with a text that should be a length, size or ratio. Texts are as typed.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum LengthProblem {
    #[error("nothing is written here")]
    Empty,
    /// Over [`LONGEST_TEXT`](super::LONGEST_TEXT) bytes; the text is not looked at.
    #[error("this text has {bytes} bytes, too many for a size")]
    TooLong { bytes: usize },
    /// The text ends where a number should follow.
    #[error("the text stops where a number should follow")]
    Unfinished,
    #[error("`{found}` stands where a number should be")]
    NoNumber { found: String },
    #[error("`{found}` has no place here")]
    Unexpected { found: String },
    #[error("`{numbers}` is more than one number")]
    TwoNumbers { numbers: String },
    #[error("`{amount}` has no unit")]
    NoUnit { amount: String },
    #[error("`{unit}` is no unit")]
    UnknownUnit {
        unit: String,
        /// The unit whose name is the most like it.
        near: Option<Unit>,
    },
    /// A unit that is known, but not used: feet, metres, points.
    #[error("`{unit}` is not a unit used here")]
    OtherUnit {
        unit: String,
        /// The same length, if it can be held.
        same: Option<Length>,
        /// The unit to say it in.
        say: Unit,
    },
    #[error("`{fraction}` divides by zero")]
    DividesByZero { fraction: String },
    /// A whole number with a fraction of one or more: most likely a slip.
    #[error("`{amount}` has a whole number and a fraction that is not below 1")]
    ImproperFraction {
        amount: String,
        whole: i64,
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
    #[error("the comma in `{number}` may mean two things")]
    Comma { number: String },
    #[error("`{number}` has too many digits")]
    TooManyDigits { number: String },
    #[error("`{number}` is negative")]
    Negative { number: String },
    /// Over [`Length::LARGEST`].
    #[error("`{text}` is over {}", metres(Length::LARGEST))]
    TooLarge { text: String },
    #[error("`{text}` is not a whole number of nanometres, so it cannot be kept exactly")]
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
    #[error("this must be one exact length, without ± or `to`")]
    NotOneLength,
    #[error("the ± of {play} is more than the length of {middle} itself", middle = in_unit(*.middle, *.unit), play = in_unit(*.play, *.unit))]
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
    #[error("`{text}` is no ratio")]
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
                "write a number and a unit, such as `4 3/8 in` or `111 mm`".into()
            }
            P::TooLong { .. } => "write only the size, such as `4 1/4 x 5 1/2 in`".into(),
            P::Unexpected { .. } => {
                "take it away: a length is a number and a unit, such as `4 3/8 in`".into()
            }
            P::TwoNumbers { .. } => {
                "write thousands without a space, as `1000`, and fractions as `4 3/8`".into()
            }
            P::NoUnit { amount } => format!("say `{amount} in` or `{amount} mm`"),
            P::UnknownUnit {
                near: Some(unit), ..
            } => format!("write `{}`", unit.name()),
            P::UnknownUnit { near: None, .. } => {
                "units are `in`, `mm` and `cm`; a double quote means inches".into()
            }
            P::OtherUnit {
                same: Some(length),
                say,
                ..
            } => format!("write `{}`", in_unit(*length, *say)),
            P::OtherUnit {
                same: None, say, ..
            } => format!("say it in `{}`", say.name()),
            P::DividesByZero { .. } => "the number below the line must be 1 or more".into(),
            P::ImproperFraction {
                whole,
                numerator,
                denominator,
                ..
            } => {
                let more = i128::from(*whole) + i128::from(numerator / denominator);
                match numerator % denominator {
                    0 => format!("write `{more}` if that is meant"),
                    rest => format!("write `{more} {rest}/{denominator}` if that is meant"),
                }
            }
            P::Exponent {
                plain: Some(plain), ..
            } => format!("write `{plain}`"),
            P::Exponent { plain: None, .. } => "write the number out".into(),
            P::Comma { number } => {
                let point = number.replacen(',', ".", 1);
                let plain = number.replacen(',', "", 1);
                match number.split_once(',') {
                    Some((_, thousands)) if thousands.len() == 3 => {
                        format!("write `{point}` with a point, or `{plain}`")
                    }
                    _ => format!("write `{point}` with a point"),
                }
            }
            P::TooManyDigits { .. } => "write a shorter number".into(),
            P::Negative { .. } => "a length is measured from zero up: leave the minus out".into(),
            P::TooLarge { .. } => {
                "see that the number and the unit are right: nothing in an album is so large".into()
            }
            P::NotExact {
                unit,
                below,
                above,
                mark_below,
                mark_above,
                ..
            } => {
                let nearest = format!("`{below}` and `{above}`");
                let above = in_unit(*mark_above, *unit);
                if *mark_below == Length::ZERO {
                    format!("write `{above}`; the nearest that can be kept are {nearest}")
                } else {
                    let below = in_unit(*mark_below, *unit);
                    format!(
                        "write `{below}` or `{above}`; the nearest that can be kept are {nearest}"
                    )
                }
            }
            P::NotOneLength => "write one length, such as `4 3/8 in`".into(),
            P::BelowZero { middle, unit, .. } => {
                format!("write a ± of `{}` or less", in_unit(*middle, *unit))
            }
            P::Backwards {
                first,
                second,
                unit,
            } => format!(
                "write `{} to {}`",
                in_unit(*second, *unit),
                in_unit(*first, *unit)
            ),
            P::SideCount { fewest, most, .. } => match (fewest, most) {
                (2, 2) => "write width x height, such as `4 1/4 x 5 1/2 in`".into(),
                (3, 3) => {
                    "write width x gusset x height, such as `5 1/8 x 3 1/8 x 10 5/8 in`".into()
                }
                (1, 1) => "write one length, such as `4 3/8 in`".into(),
                _ => "write width x height, such as `5 1/8 x 8 1/2 in`, or width x gusset x \
                      height, such as `5 1/8 x 3 1/8 x 10 5/8 in`"
                    .into(),
            },
            P::NoRatio { .. } => "write `1/6`, `65 %`, `0.65` or `2:3`".into(),
            P::Step { unit, .. } => format!(
                "write a step between `{}` and `{}`, such as `{}`",
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

fn metres(length: Length) -> String {
    format!("{} m", length.nm() / 1_000_000_000)
}
