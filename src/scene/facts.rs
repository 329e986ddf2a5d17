//! Conditions, which read facts and never unknowns, and the ways to pick items of choices.

use super::model::{ChoiceKey, Form, Meaning, Model, NoValue, Picks, Scope, Value, difference};
use super::{Fact, GivenId, Scene};
use crate::length::Length;
use crate::style::expr::{Condition, ConditionNode, Number, Path, Test, plus, times};
use crate::text::Place;
use itertools::Itertools;
use num_traits::{Signed, Zero};
use std::collections::BTreeSet;

impl Model {
    /// Every way to pick one item of each of these choices.
    pub fn all_picks(&self, choices: &BTreeSet<ChoiceKey>) -> Vec<Picks> {
        let each = choices.iter().map(|key| {
            let count = self.choices.get(key).map_or(0, |c| c.items.len());
            (0..count).map(|n| (key.clone(), n))
        });
        let each = each.multi_cartesian_product();
        each.map(|picks| picks.into_iter().collect()).collect()
    }

    /// Whether a condition holds for some of what an uncertain value may be; then its rule applies.
    ///
    /// # Errors
    /// A name without a value, or texts compared with numbers.
    pub fn holds(&self, condition: &Condition, scope: &Scope) -> Result<bool, NoValue> {
        Ok(self.can(condition, scope)?.hold)
    }

    /// Whether all of these hold, each with a value.
    pub fn all_hold(&self, when: &[Condition], scope: &Scope) -> bool {
        let mut when = when.iter();
        when.all(|it| self.holds(it, scope).unwrap_or(false))
    }

    fn can(&self, condition: &Condition, scope: &Scope) -> Result<Can, NoValue> {
        let at = condition.place;
        let known = |is: bool| Can {
            hold: is,
            fail: !is,
        };
        Ok(match &condition.node {
            ConditionNode::Given(path) => known(match self.meaning(path, scope) {
                Meaning::Fact(..) | Meaning::Choice(_) => true,
                Meaning::Column(key, column) => self
                    .choices
                    .get(key)
                    .is_some_and(|c| c.items.iter().any(|i| self.column(*i, column).is_some())),
                Meaning::Unknown(_) | Meaning::Absent => false,
            }),
            ConditionNode::Free(path) => {
                known(matches!(self.meaning(path, scope), Meaning::Unknown(_)))
            }
            ConditionNode::Not(inner) => self.can(inner, scope)?.not(),
            ConditionNode::Flag(path) => match self.name_value(path, at, scope)? {
                Value::Flag(flag) => known(flag),
                _ => return Err(NoValue::Kind(at)),
            },
            ConditionNode::Text(path, test, text) => {
                let same = match self.meaning(path, scope) {
                    Meaning::Fact(Fact::Text(value), _) => value == text,
                    _ => match self.name_value(path, at, scope)? {
                        Value::Text(value) => value == *text,
                        _ => return Err(NoValue::Kind(at)),
                    },
                };
                match test {
                    Test::Equal => known(same),
                    Test::NotEqual => known(!same),
                    _ => return Err(NoValue::Kind(at)),
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
                compared(*test, least, most)
            }
        })
    }

    /// The comparison of lengths in a condition, and what it can be; nothing for any other.
    pub fn tested(&self, condition: &Condition, scope: &Scope) -> Option<Tested> {
        match &condition.node {
            ConditionNode::Not(inner) => self.tested(inner, scope),
            ConditionNode::Compare(a, test, b) => {
                let picks = Picks::new();
                let [a, b] = [a, b].map(|it| self.value(it, scope, &picks).ok());
                let (a, b) = (a?, b?);
                let Value::Length(form) = difference(a, b, condition.place).ok()? else {
                    return None;
                };
                let (least, most) = self.ends(&form)?;
                Some(Tested {
                    can: compared(*test, least, most),
                    test: *test,
                    form,
                })
            }
            _ => None,
        }
    }

    fn name_value(&self, path: &Path, at: Place, scope: &Scope) -> Result<Value, NoValue> {
        self.name(path, at, scope, Some(&Picks::new()))
    }

    /// The ends of what a form without unknowns can be (nanometres).
    pub fn ends(&self, form: &Form) -> Option<(Number, Number)> {
        ends(&self.scene, form)
    }
}

pub(super) fn ends(scene: &Scene, form: &Form) -> Option<(Number, Number)> {
    let mut ends = (Number::zero(), Number::zero());
    for (given, n) in form.givens.iter() {
        let interval = scene.given(*given).value;
        let at = |l: Length| times(n, &Number::from_integer(l.nm().into()));
        let (a, b) = (at(interval.least())?, at(interval.most())?);
        ends.0 = plus(&ends.0, &a.min(b))?;
        ends.1 = plus(&ends.1, &a.max(b))?;
    }
    Some(ends)
}

/// A condition that compares lengths, and what it was.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Tested {
    form: Form,
    test: Test,
    can: Can,
}

impl Tested {
    /// The values that it reads.
    pub fn givens(&self) -> impl Iterator<Item = &GivenId> {
        self.form.givens.keys()
    }

    /// The same comparison, whatever it was before.
    pub fn anew(self) -> Tested {
        let can = Can {
            hold: true,
            fail: true,
        };
        Tested { can, ..self }
    }

    /// Whether it holds for some of what is uncertain in this scene; with `not`, its contrary.
    pub fn holds(&self, scene: &Scene, not: bool) -> bool {
        ends(scene, &self.form).is_some_and(|(least, most)| {
            let can = compared(self.test, least, most);
            if not { can.fail } else { can.hold }
        })
    }

    /// Whether it is still what it was, with the values of this scene.
    pub fn is_as_before(&self, scene: &Scene) -> bool {
        ends(scene, &self.form)
            .is_some_and(|(least, most)| compared(self.test, least, most) == self.can)
    }
}

/// What a condition may turn out to be over all that is uncertain.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Can {
    hold: bool,
    fail: bool,
}

impl Can {
    /// What the contrary may turn out to be.
    fn not(self) -> Can {
        let Can { hold, fail } = self;
        Can {
            hold: fail,
            fail: hold,
        }
    }
}

/// A difference between two ends, against nothing.
fn compared(test: Test, least: Number, most: Number) -> Can {
    let reversed = |other| compared(other, least, most).not();
    match test {
        Test::Equal => Can {
            hold: !least.is_positive() && !most.is_negative(),
            fail: !(least.is_zero() && most.is_zero()),
        },
        Test::Less => Can {
            hold: least.is_negative(),
            fail: !most.is_negative(),
        },
        Test::AtMost => Can {
            hold: !least.is_positive(),
            fail: most.is_positive(),
        },
        Test::NotEqual => reversed(Test::Equal),
        Test::More => reversed(Test::AtMost),
        Test::AtLeast => reversed(Test::Less),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every whole value between the ends decides what can hold and what can fail.
    #[test]
    fn conditions_over_an_interval_are_those_of_its_values() {
        let tests = [
            Test::Equal,
            Test::NotEqual,
            Test::Less,
            Test::AtMost,
            Test::More,
            Test::AtLeast,
        ];
        for test in tests {
            for (low, high) in [(-2, -1), (-2, 0), (-1, 1), (0, 0), (0, 2), (1, 2)] {
                let is = |n: i128| match test {
                    Test::Equal => n == 0,
                    Test::NotEqual => n != 0,
                    Test::Less => n < 0,
                    Test::AtMost => n <= 0,
                    Test::More => n > 0,
                    Test::AtLeast => n >= 0,
                };
                let can = compared(test, Number::from_integer(low), Number::from_integer(high));
                let hold = (low..=high).any(is);
                let fail = (low..=high).any(|n| !is(n));
                assert_eq!(can, Can { hold, fail }, "{test:?} {low} {high}");
            }
        }
    }
}
