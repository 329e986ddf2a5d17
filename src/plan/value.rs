//! What an expression comes to in a finished plan, in fractions, straight from the text of a rule.
//!
//! It shares nothing with the making of linear forms: a slip there is caught here. May import
//! `length`, `text`, `vocabulary`, `style` and `program`.

use crate::length::Length;
use crate::program::model::{ChoiceKey, Meaning, Model, Scope};
use crate::scene::{Fact, GivenId, ThingId};
use crate::style::expr::{Expr, Node, Number, Path, minus, plus, times};
use num_traits::{CheckedDiv, CheckedSub, Zero};
use std::cell::RefCell;
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

impl Value {
    /// Another number of the same kind.
    fn with(self, make: impl Fn(Number) -> Option<Number>) -> Option<Value> {
        match self {
            Value::Length(n) => make(n).map(Value::Length),
            Value::Number(n) => make(n).map(Value::Number),
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
    /// Given values between two ends are noted here when they are read.
    pub open: Option<&'a RefCell<BTreeSet<GivenId>>>,
}

/// What an expression comes to while some given values lie anywhere between their ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Amount {
    pub least: Number,
    /// Half way between all of them at their least and all at their most.
    pub middle: Number,
    pub most: Number,
}

impl Amount {
    /// One that is known exactly.
    pub fn exact(n: Number) -> Amount {
        Amount {
            least: n,
            middle: n,
            most: n,
        }
    }
}

impl<'a> Point<'a> {
    /// The plan with these given values at their most.
    pub fn with<'b>(&self, at_most: &'b BTreeSet<GivenId>) -> Point<'b>
    where
        'a: 'b,
    {
        Point { at_most, ..*self }
    }

    /// The value of an expression, and the given values between two ends that it reads.
    pub fn noting(
        &self,
        expr: &Expr,
        scope: &Scope,
        found: &mut BTreeSet<GivenId>,
    ) -> Option<Value> {
        let open = RefCell::default();
        let here = Some(&open);
        let point = Point {
            open: here,
            ..*self
        };
        let value = point.value(expr, scope);
        found.extend(open.into_inner());
        value
    }

    /// The ends of an expression, whatever stands at its most here. It is linear in each given
    /// value: the larger end of one alone tells which way the whole goes.
    pub fn ends(&self, expr: &Expr, scope: &Scope) -> Option<Amount> {
        let mut open = BTreeSet::new();
        let none = BTreeSet::new();
        let least = self.with(&none).noting(expr, scope, &mut open)?.amount()?;
        let at = |at_most: &BTreeSet<_>| self.with(at_most).value(expr, scope)?.amount();
        if open.is_empty() {
            return Some(Amount::exact(least));
        }
        let (mut lower, mut higher) = (BTreeSet::new(), BTreeSet::new());
        for given in &open {
            if at(&BTreeSet::from([*given]))? < least {
                lower.insert(*given);
            } else {
                higher.insert(*given);
            }
        }
        let sum = plus(&least, &at(&open)?)?;
        Some(Amount {
            least: at(&lower)?,
            middle: sum / Number::from_integer(2),
            most: at(&higher)?,
        })
    }

    /// The value of an expression; `None` if a name has none, or numbers grow too large.
    pub fn value(&self, expr: &Expr, scope: &Scope) -> Option<Value> {
        match &expr.node {
            Node::Number(n) => Some(Value::Number(*n)),
            Node::Name(path) => self.name(path, scope),
            Node::Negative(a) => {
                let zero = Number::zero();
                self.value(a, scope)?.with(|n| zero.checked_sub(&n))
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
                self.value(a, scope)?.with(|n| n.checked_div(&by))
            }
            Node::Sum(binding, body) => {
                let mut total = None;
                for thing in self.model.list(&binding.list, scope) {
                    let inner = scope.with(&binding.variable, *thing);
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
                if let Some(open) = self.open
                    && !interval.is_exact()
                {
                    open.borrow_mut().insert(*given);
                }
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
