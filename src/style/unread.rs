//! Quantities that nothing reads: mostly a slip of the finger, here or where they should be read.

use super::expr::{Condition, ConditionNode, Expr, Words};
use super::parts::{self, Everything};
use super::{Rule, Style, StyleError};
use crate::text::{At, Problem};
use crate::vocabulary::BASE;
use std::collections::BTreeSet;

/// The quantities of a style that nothing in it reads. Those that the vocabulary needs are read there;
/// those of an included style may have lost their reader to `without`.
pub(super) fn unread(style: &Style) -> Vec<At<StyleError>> {
    let mut read = BTreeSet::new();
    for unknown in &style.unknowns {
        conditions(&unknown.when, &mut read);
        let quantities = unknown.least.iter().chain(&unknown.above);
        read.extend(quantities.map(|it| it.head()));
    }
    for choice in &style.choices {
        conditions(&choice.when, &mut read);
    }
    for rule in &style.rules {
        conditions(&rule.when, &mut read);
        of_rule(rule, &mut read);
    }
    let Everything {
        exprs,
        conditions: asked,
    } = parts::everything(style);
    exprs.into_iter().for_each(|expr| of_expr(expr, &mut read));
    for condition in asked {
        conditions(std::slice::from_ref(condition), &mut read);
    }
    let unread = style.quantities.iter().filter(|quantity| {
        let name = quantity.name.as_str();
        let own = quantity.place.file == style.file;
        own && !read.contains(name) && !BASE.iter().any(|(base, ..)| *base == name)
    });
    let unread = unread.map(|quantity| {
        StyleError::Unread {
            name: quantity.name.clone(),
        }
        .at(quantity.place)
    });
    unread.collect()
}

/// The quantities that a rule's comparisons and its reason read.
pub fn of_rule<'a>(rule: &'a Rule, read: &mut BTreeSet<&'a str>) {
    for comparison in rule.comparisons() {
        of_expr(&comparison.left, read);
        of_expr(&comparison.right, read);
    }
    for words in rule.words() {
        if let Words::Value(expr) = words {
            of_expr(expr, read);
        }
    }
    if let Some(most) = &rule.give_most {
        of_expr(most, read);
    }
}

/// The quantities that conditions read.
pub fn conditions<'a>(when: &'a [Condition], read: &mut BTreeSet<&'a str>) {
    for condition in when {
        match &condition.node {
            ConditionNode::Not(inner) => conditions(std::slice::from_ref(inner), read),
            ConditionNode::Compare(left, _, right) => {
                of_expr(left, read);
                of_expr(right, read);
            }
            ConditionNode::Given(_)
            | ConditionNode::Free(_)
            | ConditionNode::Flag(_)
            | ConditionNode::Text(..) => {}
        }
    }
}

/// The quantities that an expression reads: names of one word.
pub fn of_expr<'a>(expr: &'a Expr, read: &mut BTreeSet<&'a str>) {
    let names = expr.names();
    let bare = names.into_iter().filter(|(path, _)| path.0.len() == 1);
    read.extend(bare.map(|(path, _)| path.head()));
}
