//! Quantities that nothing reads: mostly a slip of the finger, here or where they should be read.

use super::expr::{Condition, ConditionNode, Expr, Path, Words};
use super::names::{Names, in_condition};
use super::parts::{self, Everything};
use super::{Rule, Style, StyleError};
use crate::text::{At, Problem};
use crate::vocabulary::{self, BASE};
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

/// Every name that something in a style reads.
fn all(style: &Style) -> Vec<&Path> {
    let mut read: Vec<&Path> = Vec::new();
    let Everything { exprs, conditions } = parts::everything(style);
    let rules = style.rules.iter();
    let comparisons = rules.clone().flat_map(Rule::comparisons);
    let sides = comparisons.flat_map(|it| [&it.left, &it.right]);
    let words = rules
        .clone()
        .flat_map(Rule::words)
        .filter_map(|it| match it {
            Words::Value(expr) => Some(expr),
            _ => None,
        });
    let most = rules.clone().filter_map(|rule| rule.give_most.as_ref());
    let exprs = exprs.into_iter().chain(sides).chain(words).chain(most);
    read.extend(exprs.flat_map(Expr::names).map(|(path, _)| path));
    let sizes = style.unknowns.iter().flat_map(|it| &it.when);
    let choices = style.choices.iter().flat_map(|it| &it.when);
    let whens = rules.flat_map(|it| &it.when).chain(sizes).chain(choices);
    for condition in whens.chain(conditions) {
        in_condition(condition, &mut read);
    }
    read
}

/// What a style reads of an album's rings, punch and holes.
pub(super) fn of_template(style: &Style) -> BTreeSet<String> {
    let read = all(style).into_iter();
    let read = read.filter(|path| ["ring", "punch", "template"].contains(&path.head()));
    read.flat_map(|path| [path.head().to_owned(), path.to_string()])
        .collect()
}

/// Whether a kind of album has what an album's `[template]` says under this key: rings, eyelets, a punch,
/// holes of one's own choice.
pub fn has(style: &Style, key: &str) -> bool {
    let reads = |names: &[&str]| names.iter().any(|name| style.reads.contains(*name));
    match key {
        "ring" => reads(&["ring"]) || style.choices.iter().any(|choice| choice.from == "rings"),
        "holes" => style.pierces(),
        "pattern" => style.pierces() && reads(&["template.edge"]),
        "punch" => style.pierces() && reads(&["punch", "template.diameter"]),
        "diameter" => reads(&["template.diameter", "template.radius", "template.rim"]),
        "eyelet" => reads(&["template.eyelet", "template.flanges", "template.rim"]),
        key => reads(&[&format!("template.{key}")]),
    }
}

/// The names of a style that nothing in it reads, and that the program does not ask for.
pub(super) fn names(style: &Style, names: &Names<'_>) -> Vec<At<StyleError>> {
    let read = all(style);
    let own = style.names.iter().filter(|it| it.place.file == style.file);
    let unread = own.filter_map(|rule| {
        let (head, field) = (rule.name.head(), rule.name.last());
        let asked: Vec<String> = (vocabulary::ASKED.iter())
            .flat_map(|(head, fields)| fields.iter().map(move |it| format!("{head}.{it}")))
            .collect();
        let kind = names.part(head).or_else(|| names.of_album(head));
        let only_named = kind == Some("name");
        let reads = |path: &&Path| {
            let of_it = path.last() == field || path.last().strip_suffix("_play") == Some(field);
            of_it && (!only_named || path.0.iter().any(|word| word == head))
        };
        let name = rule.name.to_string();
        let known = asked.contains(&name)
            || read.iter().any(reads)
            || !only_named && vocabulary::ENDS.contains(&field)
            || vocabulary::NAMES
                .iter()
                .any(|it| Some(it.kind) == kind && it.field == field);
        (!known).then(|| StyleError::NameUnread { name, asked }.at(rule.place))
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
