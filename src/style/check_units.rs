//! Lengths and numbers of a style that do not go together, and quantities without their unit.

use super::check::Checker;
use super::expr::{Expr, Node, Path};
use super::names::Known;
use super::{Quantity, StyleError, dimension, value};
use crate::album::Value;
use crate::text::Place;
use crate::vocabulary::{self, Dimension};
use itertools::Itertools;

impl Checker<'_> {
    /// The least of an unknown, and what lies above it, are lengths of the style's own quantities.
    pub(super) fn least(&mut self, path: &Path, at: Place) {
        match path.0.as_slice() {
            [name] => match self.style.quantity(name).map(|q| q.value) {
                Some(Value::Length(_)) => {}
                Some(Value::Ratio(..)) => {
                    let node = Node::Name(path.clone());
                    let number = Expr { node, place: at };
                    self.no_length(&number, Dimension::Number, None);
                }
                None => {
                    let quantities = self.style.quantities.iter();
                    let known = quantities.map(|q| q.name.clone()).collect();
                    let name = path.to_string();
                    self.refuse(at, StyleError::Unknown { name, known });
                }
            },
            _ => self.refuse(at, StyleError::LeastQuantity),
        }
    }

    /// Quantities that the program reads itself are what it reads.
    pub(super) fn base(&mut self) {
        for quantity in &self.style.quantities {
            let mut base = vocabulary::BASE.iter();
            let base = base.find(|(name, ..)| *name == quantity.name);
            let Some(base) = base.and_then(|(_, inch, ..)| value(inch).ok()) else {
                continue;
            };
            let [is, wanted] = [quantity.value, base].map(dimension);
            if is != wanted {
                self.dimension(is, wanted, quantity.place, None);
            }
        }
    }

    /// Notes the quantities of a number by which a length is multiplied.
    pub(super) fn counts_of(&mut self, number: &Expr, of: Dimension) {
        if of == Dimension::Length {
            let names = number.names().into_iter();
            let words = names.filter(|(path, _)| path.0.len() == 1);
            self.counting
                .extend(words.map(|(path, _)| path.to_string()));
        }
    }

    /// Both sides of a comparison or a sum are of one dimension.
    pub(super) fn alike(&mut self, left: (Known, &Expr), right: (Known, &Expr)) -> bool {
        if left.0.dimension == right.0.dimension {
            return true;
        }
        // The bare 0 is a length too.
        let zero = |(known, expr): (Known, &Expr), other: Known| {
            expr.is_zero()
                && known.dimension == Dimension::Number
                && other.dimension == Dimension::Length
        };
        if zero(left, right.0) || zero(right, left.0) {
            return true;
        }
        let bare = |e: &Expr| matches!(e.node, Node::Number(_)).then_some(e.place);
        let of = |it: (Known, &Expr)| Some((it.1.place, it.0.dimension.word()));
        if let Some(place) = bare(left.1).or(bare(right.1)) {
            self.refuse(place, StyleError::BareNumber);
        } else if right.0.dimension == Dimension::Length {
            self.no_length(left.1, left.0.dimension, of(right));
        } else if left.0.dimension == Dimension::Length {
            self.no_length(right.1, right.0.dimension, of(left));
        } else {
            let place = right.1.place;
            self.dimension(right.0.dimension, left.0.dimension, place, of(left));
        }
        false
    }

    /// Refuses what is no length where one is needed.
    pub(super) fn no_length(
        &mut self,
        expr: &Expr,
        is: Dimension,
        other: Option<(Place, &'static str)>,
    ) {
        let names = expr.names().into_iter();
        let words = names.filter(|(path, _)| path.0.len() == 1);
        let read = words.filter_map(|(path, _)| self.style.quantity(path.head()));
        let numbers = read.filter(|it| matches!(it.value, Value::Ratio(..)));
        let numbers: Vec<&Quantity> = numbers.unique_by(|it| it.place).collect();
        self.dimension(is, Dimension::Length, expr.place, other);
        if is == Dimension::Number && !numbers.is_empty() {
            self.unitless
                .extend(self.errors.pop().map(|it| (numbers, it)));
        }
    }

    /// A quantity whose unit is missing is one fault where it stands, however often it is read.
    pub(super) fn units(&mut self) {
        let mut told: Vec<&Quantity> = Vec::new();
        let all = std::mem::take(&mut self.unitless);
        for (numbers, wrong) in &all {
            if let [quantity] = numbers[..]
                && let Value::Ratio(over, under) = quantity.value
                && !told.contains(&quantity)
                && !self.counting.contains(&quantity.name)
                && quantity.place.file == self.style.file
            {
                told.push(quantity);
                let (name, used) = (quantity.name.clone(), wrong.place);
                let written = match under {
                    1 => over.to_string(),
                    _ => format!("{over}/{under}"),
                };
                let missing = StyleError::NoUnit {
                    name,
                    written,
                    used,
                };
                self.refuse(quantity.place, missing);
            }
        }
        let rest = all.into_iter();
        let rest = rest.filter(|(numbers, _)| !numbers.iter().any(|it| told.contains(it)));
        self.errors.extend(rest.map(|(_, wrong)| wrong));
    }

    pub(super) fn dimension(
        &mut self,
        is: Dimension,
        wanted: Dimension,
        place: Place,
        other: Option<(Place, &'static str)>,
    ) {
        self.refuse(place, StyleError::dimension(is, wanted, other));
    }
}
