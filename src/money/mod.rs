//! Money: whole hundredths of the maker's own currency, exact. No float holds it, and nothing here
//! rounds it. Imports nothing.

use std::fmt;
use std::str::FromStr;
use thiserror::Error;

/// The most that a price may be, in whole units of the currency.
pub const MOST: i64 = 1_000_000;

/// Money as hundredths of the maker's own currency; a difference may be below zero.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Money(pub i64);

/// Why a text is no price.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum MoneyError {
    #[error("type it with a point and two digits behind it, like `4.20`")]
    NoNumber,
    #[error("a price is zero or more: delete the minus")]
    Negative,
    #[error("type at most two digits behind the point, like `4.20`")]
    TooFine,
    #[error("the most is {MOST}")]
    TooMuch,
}

impl Money {
    pub const ZERO: Money = Money(0);

    /// Both together; `None` beyond what can be counted.
    pub fn plus(self, other: Money) -> Option<Money> {
        self.0.checked_add(other.0).map(Money)
    }

    /// This much a number of times; `None` beyond what can be counted.
    pub fn times(self, count: i64) -> Option<Money> {
        self.0.checked_mul(count).map(Money)
    }

    /// All of them together; `None` beyond what can be counted.
    pub fn sum(all: impl IntoIterator<Item = Money>) -> Option<Money> {
        all.into_iter().try_fold(Money::ZERO, Money::plus)
    }
}

impl FromStr for Money {
    type Err = MoneyError;

    /// `4`, `4.2` or `4.20`, at most [`MOST`].
    fn from_str(text: &str) -> Result<Money, MoneyError> {
        let text = text.trim();
        let (unsigned, negative) = match text.strip_prefix(['-', '\u{2212}']) {
            Some(rest) => (rest, true),
            None => (text, false),
        };
        let (whole, part) = unsigned.split_once('.').unwrap_or((unsigned, "0"));
        let digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
        match () {
            () if !digits(whole) || !digits(part) => return Err(MoneyError::NoNumber),
            () if negative => return Err(MoneyError::Negative),
            () if part.len() > 2 => return Err(MoneyError::TooFine),
            () => {}
        }
        let whole: i64 = whole.parse().map_err(|_| MoneyError::TooMuch)?;
        let part: i64 = format!("{part:0<2}")
            .parse()
            .map_err(|_| MoneyError::NoNumber)?;
        match whole < MOST || (whole == MOST && part == 0) {
            true => Ok(Money(whole * 100 + part)),
            false => Err(MoneyError::TooMuch),
        }
    }
}

impl fmt::Display for Money {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.0 < 0 { "-" } else { "" };
        let all = self.0.unsigned_abs();
        write!(f, "{sign}{}.{:02}", all / 100, all % 100)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_price_is_read_to_the_cent_or_refused() {
        use MoneyError::{Negative, NoNumber, TooFine, TooMuch};
        let read = |text: &str| text.parse::<Money>().map(|money| money.0);
        for (text, cents) in [
            ("4", 400),
            (" 4.2 ", 420),
            ("4.05", 405),
            ("0", 0),
            ("0.30", 30),
        ] {
            assert_eq!(read(text), Ok(cents), "{text}");
        }
        assert_eq!(read("1000000"), Ok(100_000_000));
        for (text, why) in [
            ("", NoNumber),
            (".5", NoNumber),
            ("4.", NoNumber),
            ("4,20", NoNumber),
            ("1e2", NoNumber),
            ("--4", NoNumber),
            ("-4.20", Negative),
            ("4.205", TooFine),
            ("1000000.01", TooMuch),
            ("99999999999999999999", TooMuch),
        ] {
            assert_eq!(read(text), Err(why), "{text}");
        }
    }

    #[test]
    fn sums_are_exact_or_refused() {
        assert_eq!(Money::sum([Money(1), Money(2)]), Some(Money(3)));
        assert_eq!(Money(i64::MAX).plus(Money(1)), None);
        assert_eq!(Money(i64::MAX).times(2), None);
        assert_eq!(
            [Money(405), Money(-7), Money(i64::MIN)].map(|m| m.to_string()),
            ["4.05", "-0.07", "-92233720368547758.08"]
        );
    }
}
