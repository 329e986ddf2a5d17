//! Words and numbers to measures and sides: the grammar, and what an amount of a unit comes to.
//!
//! ```text
//! sides    = side (("x" | "×" | "*" | "by") side)*
//! side     = measure [("±" | "+/-" | "+-" | "to") measure]
//! measure  = amount [unit]
//! amount   = decimal | whole [fraction | "-" fraction] | fraction
//! fraction = whole "/" whole | one character such as "⅜"
//! unit     = "in" | "inch" | "inches" | '"' | "mm" | "cm" | ... in any case of letters
//! ```
//!
//! A measure without a unit takes the first unit that follows it. Spaces of any kind may stand
//! between these, and need not where nothing changes its meaning (`4in`, `5x7in`). A comma, an
//! exponent, a minus, feet and metres are known, and refused with the form to write.

use super::problem::{LengthError, LengthProblem as Problem, fail};
use super::words::{FOOT, Kind, OtherUnit, Token, lex, nearest_unit};
use super::{Length, Unit};
use num_integer::Integer;
use std::ops::Range;

/// A number as typed: `over / under`.
#[derive(Clone, Debug)]
pub(super) struct Amount {
    pub(super) over: i128,
    pub(super) under: i128,
    pub(super) cut: bool,
    pub(super) at: Range<usize>,
}

#[derive(Clone, Debug)]
pub(super) struct Measure {
    pub(super) amount: Amount,
    pub(super) unit: Option<Unit>,
    /// With the unit, if it has one of its own.
    pub(super) at: Range<usize>,
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Joint {
    PlusMinus,
    To,
}

#[derive(Clone, Debug)]
pub(super) struct Side {
    pub(super) first: Measure,
    /// What follows, and where the sign before it stands.
    pub(super) second: Option<(Joint, Measure, Range<usize>)>,
}

pub(super) struct Parser<'a> {
    text: &'a str,
    tokens: Vec<Token>,
    place: usize,
}

impl<'a> Parser<'a> {
    pub(super) fn of(text: &'a str) -> Result<Parser<'a>, LengthError> {
        Ok(Parser {
            text,
            tokens: lex(text)?,
            place: 0,
        })
    }

    fn token(&self, ahead: usize) -> Option<&Token> {
        self.tokens.get(self.place + ahead)
    }

    pub(super) fn peek(&self) -> Option<Kind> {
        self.token(0).map(|token| token.kind)
    }

    pub(super) fn next(&mut self) {
        self.place += 1;
    }

    fn slice(&self, at: &Range<usize>) -> String {
        self.text[at.clone()].to_string()
    }

    /// The end of what was read so far (bytes).
    pub(super) fn read_to(&self) -> usize {
        let last = self.place.checked_sub(1).and_then(|p| self.tokens.get(p));
        last.map_or(0, |token| token.at.end)
    }

    fn unexpected(&self) -> LengthError {
        match self.token(0) {
            None => fail(Problem::Unfinished, self.read_to()..self.read_to()),
            Some(Token { at, .. }) => fail(
                Problem::Unexpected {
                    found: self.slice(at),
                },
                at.clone(),
            ),
        }
    }

    pub(super) fn end(&self) -> Result<(), LengthError> {
        match self.token(0) {
            None => Ok(()),
            Some(_) => Err(self.unexpected()),
        }
    }

    pub(super) fn amount(&mut self) -> Result<Amount, LengthError> {
        let Some(Token { kind, at }) = self.token(0).cloned() else {
            return Err(self.unexpected());
        };
        if kind == Kind::Hyphen {
            self.next();
            if let Ok(amount) = self.positive() {
                let at = at.start..amount.at.end;
                return Err(fail(
                    Problem::Negative {
                        number: self.slice(&at),
                    },
                    at,
                ));
            }
            self.place -= 1;
        }
        self.positive()
    }

    fn positive(&mut self) -> Result<Amount, LengthError> {
        let Some(Token { kind, at }) = self.token(0).cloned() else {
            return Err(self.unexpected());
        };
        match kind {
            Kind::Decimal { over, under, cut } => {
                self.next();
                Ok(Amount {
                    over,
                    under,
                    cut,
                    at,
                })
            }
            Kind::Vulgar(..) => self.fraction(),
            Kind::Whole(_) if self.token(1).is_some_and(|t| t.kind == Kind::Slash) => {
                self.fraction()
            }
            Kind::Whole(whole) => {
                self.next();
                self.mixed(whole, at)
            }
            _ => Err(fail(
                Problem::NoNumber {
                    found: self.slice(&at),
                },
                at,
            )),
        }
    }

    /// The fraction after a whole number, if one follows.
    fn mixed(&mut self, whole: i64, whole_at: Range<usize>) -> Result<Amount, LengthError> {
        let touch = |a: &Range<usize>, b: &Range<usize>| a.end == b.start;
        let hyphen = match (self.token(0), self.token(1)) {
            (Some(hyphen), Some(next)) => {
                hyphen.kind == Kind::Hyphen
                    && touch(&whole_at, &hyphen.at)
                    && touch(&hyphen.at, &next.at)
            }
            _ => false,
        };
        let ahead = usize::from(hyphen);
        let follows = match self.token(ahead).map(|token| token.kind) {
            Some(Kind::Vulgar(..)) => true,
            Some(Kind::Whole(_)) => self
                .token(ahead + 1)
                .is_some_and(|token| token.kind == Kind::Slash),
            _ => false,
        };
        if !follows {
            return Ok(Amount {
                over: whole.into(),
                under: 1,
                cut: false,
                at: whole_at,
            });
        }
        self.place += ahead;
        let fraction = self.fraction()?;
        let at = whole_at.start..fraction.at.end;
        if fraction.over >= fraction.under {
            return Err(fail(
                Problem::ImproperFraction {
                    amount: self.slice(&at),
                    whole,
                    numerator: i64::try_from(fraction.over).unwrap_or(i64::MAX),
                    denominator: i64::try_from(fraction.under).unwrap_or(i64::MAX),
                },
                at,
            ));
        }
        Ok(Amount {
            // Each is below 10^18.
            over: i128::from(whole) * fraction.under + fraction.over,
            at,
            ..fraction
        })
    }

    fn fraction(&mut self) -> Result<Amount, LengthError> {
        let (over, under, at) = match self.token(0).cloned() {
            Some(Token {
                kind: Kind::Vulgar(over, under),
                at,
            }) => (over, under, at),
            Some(Token {
                kind: Kind::Whole(over),
                at,
            }) => {
                self.place += 2;
                let Some(Token {
                    kind: Kind::Whole(under),
                    at: end,
                }) = self.token(0).cloned()
                else {
                    return Err(self.unexpected());
                };
                (over, under, at.start..end.end)
            }
            _ => return Err(self.unexpected()),
        };
        self.next();
        if under == 0 {
            let fraction = self.slice(&at);
            return Err(fail(Problem::DividesByZero { fraction }, at));
        }
        Ok(Amount {
            over: over.into(),
            under: under.into(),
            cut: false,
            at,
        })
    }

    /// Refuses a fraction whose first digits may be a whole number: no one measures 81/2 in.
    fn apart(&self, amount: &Amount) -> Result<(), LengthError> {
        let fraction = &self.text[amount.at.clone()];
        let Some((over, under)) = fraction.split_once('/') else {
            return Ok(());
        };
        let split = (1..over.len()).rev().find_map(|at| {
            let (whole, rest) = (over.get(..at)?, over.get(at..)?);
            let digits = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
            let proper = rest.parse().is_ok_and(|rest: i128| rest < amount.under);
            (digits(over) && !rest.starts_with('0') && proper)
                .then(|| format!("{whole} {rest}/{under}"))
        });
        match split {
            Some(apart) if amount.over >= amount.under => Err(fail(
                Problem::RunTogether {
                    fraction: fraction.to_string(),
                    apart,
                    numerator: i64::try_from(amount.over).unwrap_or(i64::MAX),
                    denominator: i64::try_from(amount.under).unwrap_or(i64::MAX),
                },
                amount.at.clone(),
            )),
            _ => Ok(()),
        }
    }

    fn measure(&mut self) -> Result<Measure, LengthError> {
        let amount = self.amount()?;
        self.apart(&amount)?;
        let start = amount.at.start;
        let unit = match self.token(0).cloned() {
            Some(Token {
                kind: Kind::Unit(unit),
                ..
            }) => {
                self.next();
                Some(unit)
            }
            Some(Token {
                kind: Kind::Other(other),
                at,
            }) => {
                self.next();
                return Err(fail(
                    Problem::OtherUnit {
                        unit: self.slice(&at),
                        same: self.same(&amount, other),
                        say: other.say,
                    },
                    at,
                ));
            }
            Some(Token {
                kind: Kind::Word,
                at,
            }) => {
                let unit = self.slice(&at);
                let near = nearest_unit(&unit);
                return Err(fail(Problem::UnknownUnit { unit, near }, at));
            }
            Some(Token {
                kind: Kind::Whole(_) | Kind::Decimal { .. } | Kind::Vulgar(..),
                at,
            }) => {
                let at = start..at.end;
                return Err(fail(
                    Problem::TwoNumbers {
                        numbers: self.slice(&at),
                    },
                    at,
                ));
            }
            _ => None,
        };
        Ok(Measure {
            amount,
            unit,
            at: start..self.read_to(),
        })
    }

    /// What was written in another unit, feet with the inches that follow them.
    fn same(&mut self, amount: &Amount, other: &OtherUnit) -> Option<Length> {
        let Held::Exactly(length) = amount.times(other.nm) else {
            return None;
        };
        if *other != FOOT || self.token(0).is_none() {
            return Some(length);
        }
        match self.positive() {
            Ok(inches) if matches!(self.peek(), None | Some(Kind::Unit(Unit::Inch))) => {
                match inches.times((Length::INCH.nm().into(), 1)) {
                    Held::Exactly(inches) => length.checked_add(inches),
                    _ => None,
                }
            }
            Ok(_) => None,
            Err(_) => Some(length),
        }
    }

    pub(super) fn side(&mut self) -> Result<Side, LengthError> {
        let first = self.measure()?;
        let joint = match self.peek() {
            Some(Kind::PlusMinus) => Joint::PlusMinus,
            Some(Kind::To) => Joint::To,
            _ => {
                return Ok(Side {
                    first,
                    second: None,
                });
            }
        };
        let at = self.token(0).map_or(0..0, |token| token.at.clone());
        self.next();
        let second = Some((joint, self.measure()?, at));
        Ok(Side { first, second })
    }
}

/// What an amount of a unit comes to.
pub(super) enum Held {
    Exactly(Length),
    /// Between this and one nanometre more.
    Above(Length),
    TooLarge,
}

impl Amount {
    /// A multiple of `nm.0 / nm.1` nanometres.
    pub(super) fn times(&self, nm: (i128, i128)) -> Held {
        let largest = i128::from(Length::LARGEST.nm());
        // Tested before the product: with it, no factor below can leave i128.
        if self.over / self.under > largest * nm.1 / nm.0 {
            return Held::TooLarge;
        }
        let (whole, rest) = (self.over * nm.0).div_rem(&(self.under * nm.1));
        let exact = rest == 0 && !self.cut;
        match i64::try_from(whole) {
            Ok(whole) if whole < Length::LARGEST.nm() + i64::from(exact) => {
                let length = Length::from_nm(whole);
                if exact {
                    Held::Exactly(length)
                } else {
                    Held::Above(length)
                }
            }
            _ => Held::TooLarge,
        }
    }
}
