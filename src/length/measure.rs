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

use super::problem::{LengthError, LengthProblem as Problem, fail, fail_with};
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

    /// The next token, to be taken apart.
    fn now(&self) -> Option<(Kind, Range<usize>)> {
        self.token(0).map(|token| (token.kind, token.at.clone()))
    }

    pub(super) fn next(&mut self) {
        self.place += 1;
    }

    fn fail(&self, at: Range<usize>, problem: impl FnOnce(String) -> Problem) -> LengthError {
        fail_with(self.text, at, problem)
    }

    /// The end of what was read so far (bytes).
    pub(super) fn read_to(&self) -> usize {
        let last = self.place.checked_sub(1).and_then(|p| self.tokens.get(p));
        last.map_or(0, |token| token.at.end)
    }

    fn unexpected(&self) -> LengthError {
        match self.now() {
            None => fail(Problem::Unfinished, self.read_to()..self.read_to()),
            Some((_, at)) => self.fail(at, |found| Problem::Unexpected { found }),
        }
    }

    pub(super) fn end(&self) -> Result<(), LengthError> {
        match self.token(0) {
            None => Ok(()),
            // One side after the other, with a unit between them.
            Some(Token {
                kind: Kind::Whole(_) | Kind::Decimal { .. } | Kind::Vulgar(..),
                at,
            }) => {
                let text = self.text;
                let (before, after) = (text[..at.start].trim(), text[at.start..].trim());
                let apart = format!("{before} x {after}");
                Err(fail(Problem::NoTimes { apart }, at.clone()))
            }
            Some(_) => Err(self.unexpected()),
        }
    }

    pub(super) fn amount(&mut self) -> Result<Amount, LengthError> {
        if let Some((Kind::Hyphen, at)) = self.now() {
            self.next();
            if let Ok(amount) = self.positive() {
                let at = at.start..amount.at.end;
                return Err(self.fail(at, |number| Problem::Negative { number }));
            }
            self.place -= 1;
        }
        self.positive()
    }

    fn positive(&mut self) -> Result<Amount, LengthError> {
        if self.is_fraction(0) {
            return self.fraction();
        }
        match self.now() {
            Some((Kind::Decimal { over, under, cut }, at)) => {
                self.next();
                let exact = Amount::of(over, under, at);
                Ok(Amount { cut, ..exact })
            }
            Some((Kind::Whole(whole), at)) => {
                self.next();
                self.mixed(whole, at)
            }
            Some((_, at)) => Err(self.fail(at, |found| Problem::NoNumber { found })),
            None => Err(self.unexpected()),
        }
    }

    /// Whether a fraction stands so many tokens ahead.
    fn is_fraction(&self, ahead: usize) -> bool {
        match self.token(ahead).map(|token| token.kind) {
            Some(Kind::Vulgar(..)) => true,
            Some(Kind::Whole(_)) => {
                let next = self.token(ahead + 1);
                next.is_some_and(|token| token.kind == Kind::Slash)
            }
            _ => false,
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
        if !self.is_fraction(ahead) {
            return Ok(Amount::of(whole.into(), 1, whole_at));
        }
        self.place += ahead;
        let fraction = self.fraction()?;
        let at = whole_at.start..fraction.at.end;
        if fraction.over >= fraction.under {
            let (numerator, denominator) = fraction.line();
            return Err(self.fail(at, |amount| Problem::ImproperFraction {
                amount,
                whole,
                numerator,
                denominator,
            }));
        }
        Ok(Amount {
            // Each is below 10^18.
            over: i128::from(whole) * fraction.under + fraction.over,
            at,
            ..fraction
        })
    }

    fn fraction(&mut self) -> Result<Amount, LengthError> {
        let (over, under, at) = match self.now() {
            Some((Kind::Vulgar(over, under), at)) => (over, under, at),
            Some((Kind::Whole(over), at)) => {
                self.place += 2;
                let Some((Kind::Whole(under), end)) = self.now() else {
                    let half = at.start..self.read_to();
                    return Err(self.fail(half, |fraction| Problem::HalfFraction { fraction }));
                };
                (over, under, at.start..end.end)
            }
            _ => return Err(self.unexpected()),
        };
        self.next();
        if under == 0 {
            return Err(self.fail(at, |fraction| Problem::DividesByZero { fraction }));
        }
        Ok(Amount::of(over.into(), under.into(), at))
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
            Some(apart) if amount.over >= amount.under => {
                let (numerator, denominator) = amount.line();
                Err(
                    self.fail(amount.at.clone(), |fraction| Problem::RunTogether {
                        fraction,
                        apart,
                        numerator,
                        denominator,
                    }),
                )
            }
            _ => Ok(()),
        }
    }

    fn measure(&mut self) -> Result<Measure, LengthError> {
        let amount = self.amount()?;
        self.apart(&amount)?;
        let start = amount.at.start;
        let unit = match self.now() {
            Some((Kind::Unit(unit), _)) => {
                self.next();
                Some(unit)
            }
            Some((Kind::Other(other), at)) => {
                self.next();
                let (same, say) = (self.same(&amount, other), other.say);
                return Err(self.fail(at, |unit| Problem::OtherUnit { unit, same, say }));
            }
            Some((Kind::Word, at)) => {
                let near = nearest_unit(&self.text[at.clone()]);
                return Err(self.fail(at, |unit| Problem::UnknownUnit { unit, near }));
            }
            Some((Kind::Whole(_) | Kind::Decimal { .. } | Kind::Vulgar(..), at)) => {
                let at = start..at.end;
                return Err(self.fail(at, |numbers| Problem::TwoNumbers { numbers }));
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
        let joint = match self.now() {
            Some((Kind::PlusMinus, at)) => Some((Joint::PlusMinus, at)),
            Some((Kind::To, at)) => Some((Joint::To, at)),
            _ => None,
        };
        let mut second = None;
        if let Some((joint, at)) = joint {
            self.next();
            second = Some((joint, self.measure()?, at));
        }
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
    fn of(over: i128, under: i128, at: Range<usize>) -> Amount {
        let cut = false;
        Amount {
            over,
            under,
            cut,
            at,
        }
    }

    /// What stands above and below the line.
    fn line(&self) -> (i64, i64) {
        let held = |n: i128| i64::try_from(n).unwrap_or(i64::MAX);
        (held(self.over), held(self.under))
    }

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
                let held = if exact { Held::Exactly } else { Held::Above };
                held(Length::from_nm(whole))
            }
            _ => Held::TooLarge,
        }
    }
}
