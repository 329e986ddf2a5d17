//! What an expression comes to in a finished plan, in fractions, straight from the text of a rule.
//!
//! It shares nothing with the making of linear forms: a slip there is caught here. May import
//! `length`, `text`, `vocabulary`, `style` and `program`.

use crate::length::Length;
use crate::program::model::{ChoiceKey, Meaning, Model, Scope};
use crate::scene::{Fact, GivenId, ThingId};
use crate::style::expr::{Expr, Node, Number, Path, minus, plus, times};
use num_traits::{CheckedDiv, CheckedSub, Zero};
use std::collections::{BTreeMap, BTreeSet};

/// A value in a plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Value {
    /// In nanometres, exactly.
    Length(Number),
    Number(Number),
    Text(String),
    Flag(bool),
}

impl Value {
    /// The number in it: nanometres of a length.
    pub fn amount(&self) -> Option<Number> {
        match self {
            Value::Length(n) | Value::Number(n) => Some(*n),
            Value::Text(_) | Value::Flag(_) => None,
        }
    }
}

/// What an expression needs of a plan.
#[derive(Clone, Copy)]
pub struct Point<'a> {
    pub model: &'a Model,
    /// Ticks of each unknown.
    pub values: &'a [i64],
    pub step: Length,
    pub picks: &'a BTreeMap<ChoiceKey, usize>,
    /// Given values that stand at their most; all others stand at their least.
    pub at_most: &'a BTreeSet<GivenId>,
}

impl Point<'_> {
    /// The value of an expression; `None` if a name has none, or numbers grow too large.
    pub fn value(&self, expr: &Expr, scope: &Scope) -> Option<Value> {
        match &expr.node {
            Node::Number(n) => Some(Value::Number(*n)),
            Node::Name(path) => self.name(path, scope),
            Node::Negative(a) => {
                let zero = Number::zero();
                match self.value(a, scope)? {
                    Value::Length(n) => Some(Value::Length(zero.checked_sub(&n)?)),
                    Value::Number(n) => Some(Value::Number(zero.checked_sub(&n)?)),
                    _ => None,
                }
            }
            Node::Add(a, b) => self.both(a, b, scope, plus),
            Node::Subtract(a, b) => self.both(a, b, scope, minus),
            Node::Multiply(a, b) => match (self.value(a, scope)?, self.value(b, scope)?) {
                (Value::Number(x), Value::Number(y)) => Some(Value::Number(times(&x, &y)?)),
                (Value::Length(x), Value::Number(y)) | (Value::Number(x), Value::Length(y)) => {
                    Some(Value::Length(times(&x, &y)?))
                }
                _ => None,
            },
            Node::Divide(a, b) => {
                let Value::Number(by) = self.value(b, scope)? else {
                    return None;
                };
                if by.is_zero() {
                    return None;
                }
                match self.value(a, scope)? {
                    Value::Length(n) => Some(Value::Length(n.checked_div(&by)?)),
                    Value::Number(n) => Some(Value::Number(n.checked_div(&by)?)),
                    _ => None,
                }
            }
            Node::Sum(binding, body) => {
                let mut total = None;
                for thing in self.model.list(&binding.list, scope) {
                    let mut inner = scope.clone();
                    inner.0.push((binding.variable.clone(), *thing));
                    let next = self.value(body, &inner)?;
                    total = Some(match total {
                        None => next,
                        Some(sum) => same(sum, next, plus)?,
                    });
                }
                let nothing = match self.model.counts.contains(&expr.place) {
                    true => Value::Number(Number::zero()),
                    false => Value::Length(Number::zero()),
                };
                Some(total.unwrap_or(nothing))
            }
        }
    }

    fn both(
        &self,
        a: &Expr,
        b: &Expr,
        scope: &Scope,
        join: fn(&Number, &Number) -> Option<Number>,
    ) -> Option<Value> {
        same(self.value(a, scope)?, self.value(b, scope)?, join)
    }

    fn name(&self, path: &Path, scope: &Scope) -> Option<Value> {
        match self.model.meaning(path, scope) {
            Meaning::Fact(fact, thing) => self.fact(fact, thing),
            Meaning::Unknown(id) => {
                let ticks = *self.values.get(id.0 as usize)?;
                let ticks = Number::from_integer(ticks.into());
                let step = Number::from_integer(self.step.nm().into());
                Some(Value::Length(times(&ticks, &step)?))
            }
            Meaning::Column(key, column) => {
                let choice = self.model.choices.get(key)?;
                let pick = self.picks.get(key).copied().unwrap_or(0);
                let item = *choice.items.get(pick)?;
                self.fact(self.model.column(item, column)?, item.thing)
            }
            Meaning::Choice(_) | Meaning::Absent => None,
        }
    }

    fn fact(&self, fact: &Fact, thing: ThingId) -> Option<Value> {
        Some(match fact {
            Fact::Length(given) => {
                let interval = self.model.interval(*given);
                let end = if self.at_most.contains(given) {
                    interval.most()
                } else {
                    interval.least()
                };
                Value::Length(Number::from_integer(end.nm().into()))
            }
            Fact::Number(n, d) => Value::Number(Number::new((*n).into(), (*d).into())),
            Fact::Text(text) => Value::Text(text.clone()),
            Fact::Flag(flag) => Value::Flag(*flag),
            Fact::Derived(formula) => {
                return self.value(formula, &self.model.scope_of(thing));
            }
        })
    }
}

fn same(a: Value, b: Value, join: fn(&Number, &Number) -> Option<Number>) -> Option<Value> {
    match (a, b) {
        (Value::Length(a), Value::Length(b)) => Some(Value::Length(join(&a, &b)?)),
        (Value::Number(a), Value::Number(b)) => Some(Value::Number(join(&a, &b)?)),
        _ => None,
    }
}

/// The given values between two ends that an expression reads.
pub fn uncertain(
    model: &Model,
    picks: &BTreeMap<ChoiceKey, usize>,
    expr: &Expr,
    scope: &Scope,
    found: &mut BTreeSet<GivenId>,
) {
    let mut fact = |fact: &Fact, thing: ThingId| match fact {
        Fact::Length(given) if !model.interval(*given).is_exact() => {
            found.insert(*given);
            None
        }
        Fact::Derived(formula) => Some((formula.clone(), thing)),
        _ => None,
    };
    match &expr.node {
        Node::Number(_) => {}
        Node::Name(path) => {
            let inner = match model.meaning(path, scope) {
                Meaning::Fact(f, thing) => fact(f, thing),
                Meaning::Column(key, column) => {
                    let pick = picks.get(key).copied().unwrap_or(0);
                    let item = model.choices.get(key).and_then(|c| c.items.get(pick));
                    item.and_then(|i| fact(model.column(*i, column)?, i.thing))
                }
                _ => None,
            };
            if let Some((formula, thing)) = inner {
                uncertain(model, picks, &formula, &model.scope_of(thing), found);
            }
        }
        Node::Negative(a) => uncertain(model, picks, a, scope, found),
        Node::Add(a, b) | Node::Subtract(a, b) | Node::Multiply(a, b) | Node::Divide(a, b) => {
            uncertain(model, picks, a, scope, found);
            uncertain(model, picks, b, scope, found);
        }
        Node::Sum(binding, body) => {
            for thing in model.list(&binding.list, scope) {
                let mut inner = scope.clone();
                inner.0.push((binding.variable.clone(), *thing));
                uncertain(model, picks, body, &inner, found);
            }
        }
    }
}
