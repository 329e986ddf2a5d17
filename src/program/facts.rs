//! Conditions, which read facts and never unknowns, and the ways to pick items of choices.

use super::model::{ChoiceKey, Form, Meaning, Model, NoValue, Picks, Scope, Value, difference};
use crate::length::Length;
use crate::style::expr::{Condition, ConditionNode, Expr, Node, Number, Path, Test};
use crate::text::Place;
use num_traits::{CheckedAdd, CheckedMul, Signed, Zero};
use std::collections::BTreeSet;

impl Model {
    /// Every way to pick one item of each of these choices.
    pub fn all_picks(&self, choices: &BTreeSet<ChoiceKey>) -> Vec<Picks> {
        let mut all = vec![Picks::new()];
        for key in choices {
            let count = self.choices.get(key).map_or(0, |c| c.items.len());
            all = all
                .into_iter()
                .flat_map(|picks| {
                    (0..count).map(move |n| {
                        let mut picks = picks.clone();
                        picks.insert(key.clone(), n);
                        picks
                    })
                })
                .collect();
        }
        all
    }

    /// Whether a condition can hold.
    ///
    /// # Errors
    /// A name without a value, or texts compared with numbers.
    pub fn holds(&self, condition: &Condition, scope: &Scope) -> Result<bool, NoValue> {
        let at = condition.place;
        match &condition.node {
            ConditionNode::Given(path) => Ok(match self.meaning(path, scope) {
                Meaning::Fact(..) | Meaning::Choice(_) => true,
                Meaning::Column(key, column) => self
                    .choices
                    .get(&key)
                    .is_some_and(|c| c.items.iter().any(|i| self.column(*i, &column).is_some())),
                Meaning::Unknown(_) | Meaning::Absent => false,
            }),
            ConditionNode::Free(path) => {
                Ok(matches!(self.meaning(path, scope), Meaning::Unknown(_)))
            }
            ConditionNode::Not(inner) => Ok(!self.holds(inner, scope)?),
            ConditionNode::Flag(path) => match self.name_value(path, at, scope)? {
                Value::Flag(flag) => Ok(flag),
                _ => Err(NoValue::Kind(at)),
            },
            ConditionNode::Text(path, test, text) => {
                match (self.name_value(path, at, scope)?, test) {
                    (Value::Text(value), Test::Equal) => Ok(value == *text),
                    (Value::Text(value), Test::NotEqual) => Ok(value != *text),
                    _ => Err(NoValue::Kind(at)),
                }
            }
            ConditionNode::Compare(a, test, b) => {
                let picks = Picks::new();
                let d = difference(
                    self.value(a, scope, &picks)?,
                    self.value(b, scope, &picks)?,
                    at,
                )?;
                let (least, most) = match d {
                    Value::Number(n) => (n, n),
                    Value::Length(form) if form.unknowns.is_empty() => {
                        self.ends(&form).ok_or(NoValue::TooLarge(at))?
                    }
                    _ => return Err(NoValue::Kind(at)),
                };
                Ok(match test {
                    Test::Equal => !least.is_positive() && !most.is_negative(),
                    Test::NotEqual => !(least.is_zero() && most.is_zero()),
                    Test::Less => least.is_negative(),
                    Test::AtMost => !least.is_positive(),
                    Test::More => most.is_positive(),
                    Test::AtLeast => !most.is_negative(),
                })
            }
        }
    }

    fn name_value(&self, path: &Path, at: Place, scope: &Scope) -> Result<Value, NoValue> {
        let expr = Expr {
            node: Node::Name(path.clone()),
            place: at,
        };
        self.value(&expr, scope, &Picks::new())
    }

    /// The ends of what a form without unknowns can be (nanometres).
    pub fn ends(&self, form: &Form) -> Option<(Number, Number)> {
        let mut ends = (Number::zero(), Number::zero());
        for (given, n) in &form.givens {
            let interval = self.interval(*given);
            let at = |l: Length| n.checked_mul(&Number::from_integer(l.nm().into()));
            let (a, b) = (at(interval.least())?, at(interval.most())?);
            ends.0 = ends.0.checked_add(&a.min(b))?;
            ends.1 = ends.1.checked_add(&a.max(b))?;
        }
        Some(ends)
    }
}
