//! Values between two ends, and the ends of a part. Imports `length`.

use super::{Area, Edge};
use crate::length::{Interval, Length};
pub(crate) use crate::plan::value::Amount;
use crate::style::expr::Number;
use num_traits::{CheckedAdd, CheckedMul, CheckedSub, ToPrimitive};

impl Amount {
    pub(super) fn of(value: Interval) -> Amount {
        let nm = |l: Length| Number::from_integer(l.nm().into());
        Amount {
            least: nm(value.least()),
            middle: (nm(value.least()) + nm(value.most())) / Number::from_integer(2),
            most: nm(value.most()),
        }
    }

    pub(super) fn plus(self, other: Amount) -> Option<Amount> {
        Some(Amount {
            least: self.least.checked_add(&other.least)?,
            middle: self.middle.checked_add(&other.middle)?,
            most: self.most.checked_add(&other.most)?,
        })
    }

    pub(super) fn minus(self, other: Amount) -> Option<Amount> {
        Some(Amount {
            least: self.least.checked_sub(&other.most)?,
            middle: self.middle.checked_sub(&other.middle)?,
            most: self.most.checked_sub(&other.least)?,
        })
    }

    pub(super) fn times(self, by: Number) -> Option<Amount> {
        let [a, b] = [self.least.checked_mul(&by)?, self.most.checked_mul(&by)?];
        Some(Amount {
            least: a.min(b),
            middle: self.middle.checked_mul(&by)?,
            most: a.max(b),
        })
    }

    pub(super) fn half(self) -> Option<Amount> {
        self.times(Number::new(1, 2))
    }

    pub(super) fn join(self, other: Amount, pick: fn(Number, Number) -> Number) -> Amount {
        Amount {
            least: pick(self.least, other.least),
            middle: pick(self.middle, other.middle),
            most: pick(self.most, other.most),
        }
    }

    /// The middle as it is drawn (nanometres).
    pub(super) fn drawn(self) -> i64 {
        self.middle.floor().to_integer().to_i64().unwrap_or(0)
    }

    /// A side: none where its ends leave no room between them.
    pub(crate) fn side(self) -> Option<Interval> {
        let zero = Number::from_integer(0);
        let least = self.least.max(zero);
        let most = self.most.max(zero);
        Amount {
            least,
            most,
            ..self
        }
        .interval()
    }

    pub(crate) fn interval(self) -> Option<Interval> {
        let low = self.least.floor().to_integer().to_i64()?;
        let high = self.most.ceil().to_integer().to_i64()?;
        Interval::between(Length::from_nm(low), Length::from_nm(high))
    }
}

/// A part's four ends.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Ends {
    pub(super) left: Amount,
    pub(super) right: Amount,
    pub(super) low: Amount,
    pub(super) high: Amount,
}

impl Ends {
    pub(super) fn area(self) -> Area {
        Area {
            left: self.left.drawn(),
            right: self.right.drawn(),
            low: self.low.drawn(),
            high: self.high.drawn(),
        }
    }

    pub(super) fn at(self, edge: Edge) -> Amount {
        match edge {
            Edge::Left => self.left,
            Edge::Right => self.right,
            Edge::Low => self.low,
            Edge::High => self.high,
        }
    }

    pub(super) fn of(&self, field: &str) -> Option<Amount> {
        Some(match field {
            "left" => self.left,
            "right" => self.right,
            "low" => self.low,
            "high" => self.high,
            "width" => self.right.minus(self.left)?,
            "height" => self.high.minus(self.low)?,
            _ => return None,
        })
    }
}
