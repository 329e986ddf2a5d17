//! A rule's reason with its numbers filled in: facts, no words of our own.
//!
//! May import `length`, `vocabulary`, `style`, `program` and `plan::value`.

use super::Sides;
use super::value::Value;
use super::verify::{Finished, Line};
use crate::length::{Length, Ruler, Unit, parse_length};
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
    one_unit(expanded.ruler, &text).unwrap_or(text)
}

/// A sentence in inches whose other lengths stand in millimetres, all of it in inches; `None` if all of it
/// has one unit, or a size or a range has another.
fn one_unit(ruler: Ruler, text: &str) -> Option<String> {
    let (own, other) = (ruler.unit().name(), Unit::Millimetre.name());
    if own == other || !gives(text, own) {
        return None;
    }
    let mut all = String::new();
    let mut rest = text;
    while let Some(at) = places(rest, other).next() {
        let from = rest[..at].rfind(' ').map_or(0, |space| space + 1);
        let before = &rest[..from];
        let until = at + 1 + other.len();
        let length = parse_length(&rest[from..until]).ok()?;
        let digit = |c: char| c.is_ascii_digit();
        let range = before
            .strip_suffix(" to ")
            .is_some_and(|it| it.ends_with(digit));
        if range || before.ends_with(" x ") || rest[until..].starts_with(" x ") {
            return None;
        }
        all.push_str(before);
        all.push_str(&ruler.about(length));
        rest = &rest[until..];
    }
    (!all.is_empty()).then(|| all + rest)
}

/// Where a text gives a length in this unit.
fn places<'t>(text: &'t str, unit: &str) -> impl Iterator<Item = usize> + use<'t> {
    let unit = format!(" {unit}");
    let places = text.match_indices(' ').map(|(at, _)| at);
    places.filter(move |at| {
        let digit = |c: char| c.is_ascii_digit();
        text[..*at].ends_with(digit) && text[*at..].starts_with(&unit)
    })
}

/// Whether a text gives a length in this unit.
pub fn gives(text: &str, unit: &str) -> bool {
    places(text, unit).next().is_some()
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sentence_has_one_unit() {
        let inch = Ruler::parse("1/8 in").expect("a ruler");
        let one = |text| one_unit(inch, text);
        assert_eq!(
            one("1/4 in and 105 mm come to 111.35 mm, which stands in the 5 in bag").as_deref(),
            Some("1/4 in and about 4.134 in come to about 4.384 in, which stands in the 5 in bag")
        );
        for same in [
            "12 mm from the edge; it stands in 10 mm",
            "1/4 in of 5 in",
            "1/4 in of 105 x 148 mm",
            "1/4 in of 105 to 106 mm",
        ] {
            assert_eq!(one(same), None, "{same}");
        }
        assert_eq!(
            one_unit(Ruler::parse("1 mm").expect("a ruler"), "5 mm in 6 in"),
            None
        );
    }
}
