//! What an expression comes to on a frame as it is laid: its middle, from the model, the ends of
//! other parts and the names of the style.

use super::Again;
use crate::plan::frames::{Laid, What};
use crate::program::model::{Meaning, Scope};
use crate::style::expr::{Condition, ConditionNode, Expr, Node, Number, Path};
use crate::style::parts::{End, Is};
use num_traits::{CheckedAdd, CheckedDiv, CheckedMul, CheckedSub, ToPrimitive};
use std::collections::BTreeSet;

impl Again<'_> {
    pub(super) fn hold(&self, when: &[Condition]) -> bool {
        when.iter().all(|condition| self.holds(condition))
    }

    fn holds(&self, condition: &Condition) -> bool {
        match &condition.node {
            ConditionNode::Flag(path) if path.last() == "used" => {
                self.inside(path.head()).count() > 0
            }
            ConditionNode::Not(inner) => !self.holds(inner),
            _ => {
                let model = &self.parts.expanded.model;
                model.holds(condition, &self.scope).unwrap_or(false)
            }
        }
    }

    /// What lies in a slot.
    fn inside(&self, slot: &str) -> impl Iterator<Item = &Laid> {
        let all = &self.laid.parts;
        let named = all
            .iter()
            .position(|it| it.name == slot && matches!(it.what, What::Slot(_)));
        let here = move |it: &&Laid| named.is_some() && it.slot == named;
        all.iter().filter(here)
    }

    pub(super) fn of(&self, part: &str, field: &str) -> Option<i64> {
        self.middle(&Expr::name(part, field))
    }

    pub(super) fn end(&self, end: &End) -> Option<i64> {
        let all = end.all().iter().filter_map(|expr| self.middle(expr));
        match end {
            End::At(expr) => self.middle(expr),
            End::Most(_) => all.max(),
            End::Least(_) => all.min(),
        }
    }

    /// The middle of what an expression can be.
    pub(super) fn middle(&self, expr: &Expr) -> Option<i64> {
        self.number(expr)?.round().to_integer().to_i64()
    }

    /// From the model alone.
    pub(super) fn exact(&self, expr: &Expr, scope: &Scope) -> Option<i64> {
        self.known(expr, scope)?.round().to_integer().to_i64()
    }

    /// What the model says: half way between all uncertain values at their least and at their most.
    fn known(&self, expr: &Expr, scope: &Scope) -> Option<Number> {
        let mut open = BTreeSet::new();
        let least = self.point.noting(expr, scope, &mut open)?.amount()?;
        if open.is_empty() {
            return Some(least);
        }
        let most = self.point.with(&open).value(expr, scope)?.amount()?;
        let sum = least.checked_add(&most)?;
        sum.checked_div(&Number::from_integer(2))
    }

    fn number(&self, expr: &Expr) -> Option<Number> {
        match &expr.node {
            Node::Number(n) => Some(*n),
            Node::Name(path) => self.named(path),
            Node::Negative(a) => Number::from_integer(0).checked_sub(&self.number(a)?),
            Node::Add(a, b) => self.number(a)?.checked_add(&self.number(b)?),
            Node::Subtract(a, b) => self.number(a)?.checked_sub(&self.number(b)?),
            Node::Multiply(a, b) => self.number(a)?.checked_mul(&self.number(b)?),
            Node::Divide(a, b) => self.number(a)?.checked_div(&self.number(b)?),
            Node::Sum(..) => self.known(expr, &self.scope),
        }
    }

    fn named(&self, path: &Path) -> Option<Number> {
        let whole = |n: i64| Number::from_integer(n.into());
        if let Some((mark, place)) = &self.mark
            && path.head() == mark
            && path.last() == "place"
        {
            return Some(whole(*place));
        }
        let model = &self.parts.expanded.model;
        if model.meaning(path, &self.scope) != Meaning::Absent {
            return self.known(&Expr::unsaid(Node::Name(path.clone())), &self.scope);
        }
        if let [part, field] = path.0.as_slice()
            && let Some(laid) = self.laid.part(part)
        {
            let it = laid.area;
            let value = match field.as_str() {
                "left" => it.left,
                "right" => it.right,
                "low" => it.low,
                "high" => it.high,
                "width" => it.right - it.left,
                "height" => it.high - it.low,
                "widest" => {
                    let wide = self.inside(part).map(|it| it.area.right - it.area.left);
                    wide.max()?
                }
                _ => return None,
            };
            return Some(whole(value));
        }
        let rule = self.parts.style.names.iter().find(|it| it.name == *path)?;
        let rows = rule.rows.iter().filter(|row| self.hold(&row.when));
        let mut values = rows.filter_map(|row| match &row.is {
            Is::Value(end) => self.end(end),
            Is::Holds(_) => None,
        });
        values.next().map(whole)
    }
}
