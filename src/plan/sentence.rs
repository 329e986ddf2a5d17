//! A rule's reason with its numbers filled in: facts, no words of our own.
//!
//! May import `length`, `vocabulary`, `style`, `program` and `plan::value`.

use super::Sides;
use super::value::Value;
use super::verify::{Finished, Line};
use crate::length::{Length, Ruler};
use crate::program::expand::Expanded;
use crate::style::expr::{Comparison, Expr, Number, Words};
use crate::style::{Rule, Style};
use num_traits::{ToPrimitive, Zero};
use std::collections::BTreeSet;

/// A reason with its numbers, as text on the maker's ruler.
pub fn sentence(style: &Style, expanded: &Expanded, finished: Finished<'_>, line: &Line) -> String {
    let because = &style.rules[line.rule].because;
    filled(style, expanded, finished, line, because)
}

/// Words of a rule with their numbers.
pub fn filled(
    style: &Style,
    expanded: &Expanded,
    finished: Finished<'_>,
    line: &Line,
    words: &[Words],
) -> String {
    let comparison = comparison(&style.rules[line.rule], line);
    // What is not there is not said to be less than nothing.
    let show = |expr: &Expr| {
        let text = shown(style, expanded, finished, line, expr);
        let of = text.trim_start_matches("about ");
        match of.starts_with('-') && of.ends_with(expanded.ruler.unit().name()) {
            true => expanded.ruler.show(Length::ZERO),
            false => text,
        }
    };
    let mut text = String::new();
    for words in words {
        match words {
            Words::Plain(plain) => text.push_str(plain),
            Words::Left => text.push_str(&comparison.map_or_else(String::new, |c| show(&c.left))),
            Words::Right => text.push_str(&comparison.map_or_else(String::new, |c| show(&c.right))),
            Words::Off => text.push_str(&off(expanded.ruler, line)),
            Words::Value(expr) => text.push_str(&show(expr)),
        }
    }
    text
}

/// By how much a line is broken.
fn off(ruler: Ruler, line: &Line) -> String {
    let worst = line.worst.as_ref();
    let slack = worst.map_or(Number::zero(), |it| it.slack.min(Number::zero()));
    match worst.is_some_and(|it| it.length) {
        true => show(ruler, &Value::Length(-slack)),
        false => show(ruler, &Value::Number(-slack)),
    }
}

/// Both sides of the comparison that a line is about.
pub fn sides(
    style: &Style,
    expanded: &Expanded,
    finished: Finished<'_>,
    line: &Line,
) -> Option<Sides> {
    let comparison = comparison(&style.rules[line.rule], line)?;
    Some(Sides {
        left: shown(style, expanded, finished, line, &comparison.left),
        relation: comparison.relation,
        right: shown(style, expanded, finished, line, &comparison.right),
    })
}

/// A value where the comparison is nearest to breaking. What is uncertain and does not stand in the
/// comparison is shown between its ends.
fn shown(
    style: &Style,
    expanded: &Expanded,
    finished: Finished<'_>,
    line: &Line,
    expr: &Expr,
) -> String {
    let scope = &expanded.scopes[line.instance.0 as usize];
    let none = BTreeSet::new();
    let least = line.worst.as_ref().map_or(&none, |w| &w.at_most);
    let point = finished.point(expanded);
    let text =
        |value: Option<Value>| value.map_or_else(|| "?".to_owned(), |v| show(expanded.ruler, &v));
    let mut most = BTreeSet::new();
    let low = text(point.with(least).noting(expr, scope, &mut most));
    if most.is_empty() {
        return low;
    }
    let mut decided = BTreeSet::new();
    if let Some(Comparison { left, right, .. }) = comparison(&style.rules[line.rule], line) {
        for side in [left, right] {
            point.noting(side, scope, &mut decided);
        }
    }
    most.retain(|given| !decided.contains(given));
    most.extend(least);
    let high = text(point.with(&most).value(expr, scope));
    if low == high {
        low
    } else {
        format!("{low} to {high}")
    }
}

/// The comparison that a line is about.
pub(super) fn comparison<'a>(rule: &'a Rule, line: &Line) -> Option<&'a Comparison> {
    rule.comparison(line.way, line.comparison)
}

/// More digits than this behind the point are rounded in a sentence.
const MOST_DECIMALS: usize = 4;

/// A value as a maker reads it: exact where that is short, else rounded and marked `about`.
pub fn show(ruler: Ruler, value: &Value) -> String {
    match value {
        Value::Length(n) => {
            let whole = n.floor().to_integer().to_i64().unwrap_or(i64::MAX);
            let length = Length::from_nm(whole);
            if n.is_integer() {
                readable(ruler, length)
            } else {
                ruler.about(length)
            }
        }
        Value::Number(n) => number(*n),
        Value::Text(text) => text.clone(),
        Value::Flag(flag) => if *flag { "yes" } else { "no" }.to_owned(),
    }
}

/// A length exactly where that is short, else rounded up and marked `about`.
pub fn readable(ruler: Ruler, length: Length) -> String {
    let exact = ruler.show(length);
    let decimals = exact.split_once('.').map_or(0, |(_, rest)| {
        rest.bytes().take_while(u8::is_ascii_digit).count()
    });
    if decimals > MOST_DECIMALS {
        ruler.about(length)
    } else {
        exact
    }
}

fn number(n: Number) -> String {
    let percent = n * Number::from_integer(100);
    match (n.is_integer(), percent.is_integer() && *n.denom() > 10) {
        (true, _) => n.to_integer().to_string(),
        (false, true) => format!("{} %", percent.to_integer()),
        (false, false) => format!("{}/{}", n.numer(), n.denom()),
    }
}
