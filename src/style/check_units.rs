//! Lengths and numbers of a style that do not go together, and quantities without their unit.

use super::Quantity;
use super::check::Checker;
use super::expr::{Expr, Node, Path};
use super::names::Known;
use crate::album::Value;
use crate::text::{Place, Wrong};
use crate::vocabulary::Dimension;
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
                    self.unknown(path.to_string(), known, at);
                }
            },
            _ => {
                let help = "name a length under `[quantity]`, such as `least_piece`";
                self.refuse(at, Wrong::new("this is not the name of a quantity", help));
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
            let what = "this number has no unit, and is compared with a length";
            let help = "name the length under `[quantity]`, with its unit and a `why`";
            self.refuse(place, Wrong::new(what, help));
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
                let written = match under {
                    1 => over.to_string(),
                    _ => format!("{over}/{under}"),
                };
                let what = format!("`{}` has no unit, and is used as a length", quantity.name);
                let help = format!("type `value = \"{written} mm\"` or `value = \"{written} in\"`");
                let missing = Wrong::new(what, help).also(wrong.fault.place, "it is used");
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
        let (what, wanted) = (is.word(), wanted.word());
        let what = format!("this is {what}; {wanted} is needed");
        let mut wrong = Wrong::new(what, format!("put {wanted} here"));
        if let Some((place, what)) = other {
            wrong = wrong.also(place, format!("it goes with {what}"));
        }
        self.refuse(place, wrong);
    }
}
