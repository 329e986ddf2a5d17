//! What an expression comes to: lengths as linear forms, and how they are added and multiplied exactly.
//! May import what `scene` may.

use super::{GivenId, UnknownId};
use crate::style::expr::{Number, Path, plus, times};
use crate::text::Place;
use num_traits::{CheckedSub, One, Zero};

/// Coefficients in the order of what they belong to. There are few: a list is quicker than a map.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Terms<K>(Vec<(K, Number)>);

/// A length as `sum of coefficient * given + sum of coefficient * unknown`. Coefficients are plain
/// numbers: an unknown's counts its length, not its ticks.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Form {
    pub givens: Terms<GivenId>,
    pub unknowns: Terms<UnknownId>,
}

/// What an expression comes to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Value {
    Length(Form),
    Number(Number),
    Text(String),
    Flag(bool),
}

/// Why an expression has no value.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NoValue {
    /// A name that this album says nothing of.
    Absent(Path, Place),
    /// The picked item of a choice does not say this column.
    NoColumn(Path, Place),
    /// A text or a yes-or-no where a number is needed, or a product of lengths.
    Kind(Place),
    /// A division by nothing.
    Zero(Place),
    /// Beyond the numbers that can be held.
    TooLarge(Place),
}

impl Value {
    /// A length that leans on nothing that is to be found.
    pub fn known(self) -> Option<Form> {
        match self {
            Value::Length(form) if form.unknowns.is_empty() => Some(form),
            _ => None,
        }
    }
}

impl Form {
    /// This and another; `None` beyond the numbers that can be held.
    pub(super) fn plus(&self, other: &Form) -> Option<Form> {
        let mut sum = self.clone();
        sum.givens.add_all(other.givens.clone())?;
        sum.unknowns.add_all(other.unknowns.clone())?;
        Some(sum)
    }

    /// This without another.
    pub(super) fn less(&self, other: &Form) -> Option<Form> {
        let mut negative = other.clone();
        negative.givens.values_mut().for_each(|n| *n = -*n);
        negative.unknowns.values_mut().for_each(|n| *n = -*n);
        self.plus(&negative)
    }
}

impl<K> Default for Terms<K> {
    fn default() -> Self {
        Terms(Vec::new())
    }
}

impl<K: Copy + Ord> Terms<K> {
    /// Once this.
    pub fn one(key: K) -> Self {
        Terms(vec![(key, Number::one())])
    }

    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    pub fn iter(&self) -> std::slice::Iter<'_, (K, Number)> {
        self.0.iter()
    }

    pub fn keys(&self) -> impl Iterator<Item = &K> {
        self.0.iter().map(|(key, _)| key)
    }

    pub fn values(&self) -> impl Iterator<Item = &Number> {
        self.0.iter().map(|(_, n)| n)
    }

    pub fn values_mut(&mut self) -> impl Iterator<Item = &mut Number> {
        self.0.iter_mut().map(|(_, n)| n)
    }

    /// Adds so much of this. `None` if the sum is too large to be held.
    pub fn add(&mut self, key: K, n: Number) -> Option<()> {
        match self.0.binary_search_by_key(&key, |(key, _)| *key) {
            Ok(at) => {
                let sum = plus(&self.0[at].1, &n)?;
                match sum.is_zero() {
                    true => _ = self.0.remove(at),
                    false => self.0[at].1 = sum,
                }
            }
            Err(at) if !n.is_zero() => self.0.insert(at, (key, n)),
            Err(_) => {}
        }
        Some(())
    }

    fn add_all(&mut self, other: Terms<K>) -> Option<()> {
        if self.0.is_empty() {
            *self = other;
            return Some(());
        }
        for (key, n) in other.0 {
            self.add(key, n)?;
        }
        self.0
            .iter()
            .all(|(_, n)| bounded(*n).is_some())
            .then_some(())
    }
}

/// Coefficients beyond this are refused, so that sums of lengths times them stay far from the end
/// of what is added exactly, wherever they are added.
const LARGEST: i128 = 1 << 62;

fn bounded(n: Number) -> Option<Number> {
    (n.numer().abs() <= LARGEST && *n.denom() <= LARGEST).then_some(n)
}

pub(super) fn scale(value: Value, by: Number, at: Place) -> Result<Value, NoValue> {
    let times = |n: &mut Number| {
        let product = match (by.numer(), by.denom()) {
            (1, 1) => return Ok(()),
            // Mostly by minus one, which needs no fraction to be reduced.
            (-1, 1) => n
                .numer()
                .checked_neg()
                .map(|over| Number::new_raw(over, *n.denom())),
            _ => times(n, &by),
        };
        *n = product.and_then(bounded).ok_or(NoValue::TooLarge(at))?;
        Ok(())
    };
    match value {
        Value::Number(mut n) => {
            times(&mut n)?;
            Ok(Value::Number(n))
        }
        Value::Length(mut form) => {
            form.givens.values_mut().try_for_each(times)?;
            form.unknowns.values_mut().try_for_each(times)?;
            Ok(Value::Length(form))
        }
        Value::Text(_) | Value::Flag(_) => Err(NoValue::Kind(at)),
    }
}

pub(super) fn add(a: Value, b: Value, at: Place) -> Result<Value, NoValue> {
    let big = || NoValue::TooLarge(at);
    match (a, b) {
        (Value::Number(a), Value::Number(b)) => Ok(Value::Number(plus(&a, &b).ok_or_else(big)?)),
        // The bare 0 is a length too.
        (Value::Length(form), Value::Number(n)) | (Value::Number(n), Value::Length(form))
            if n.is_zero() =>
        {
            Ok(Value::Length(form))
        }
        (Value::Length(mut a), Value::Length(b)) => {
            a.givens.add_all(b.givens).ok_or_else(big)?;
            a.unknowns.add_all(b.unknowns).ok_or_else(big)?;
            Ok(Value::Length(a))
        }
        _ => Err(NoValue::Kind(at)),
    }
}

/// `left - right` of two lengths or two numbers.
///
/// # Errors
/// As [`Model::value`].
pub fn difference(left: Value, right: Value, at: Place) -> Result<Value, NoValue> {
    match (&left, &right) {
        (Value::Number(a), Value::Number(b)) => {
            let n = a.checked_sub(b).ok_or(NoValue::TooLarge(at))?;
            Ok(Value::Number(n))
        }
        _ => add(left, scale(right, Number::from_integer(-1), at)?, at),
    }
}
