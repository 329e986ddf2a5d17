//! A rule's reason with its numbers filled in: a phrase, no letters yet.
//!
//! May import `length`, `vocabulary`, `style`, `program` and `plan::value`.

use super::Sides;
use super::phrase::{Phrase, Piece};
use super::value::Value;
use super::verify::{Finished, Line};
use crate::length::{Interval, Length, Ruler, Unit};
use crate::program::expand::Expanded;
use crate::style::expr::{Comparison, Expr, Number, Words};
use crate::style::{Rule, Style};
use num_traits::{ToPrimitive, Zero};
use std::collections::BTreeSet;

/// A reason with its numbers.
pub fn sentence(style: &Style, expanded: &Expanded, finished: Finished<'_>, line: &Line) -> Phrase {
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
) -> Phrase {
    let comparison = comparison(&style.rules[line.rule], line);
    let show = |expr: &Expr| shown(style, expanded, finished, line, expr);
    let pieces = words.iter().map(|words| match words {
        Words::Plain(plain) => Phrase::words(plain),
        Words::Left => comparison.map_or_else(Phrase::default, |c| show(&c.left)),
        Words::Right => comparison.map_or_else(Phrase::default, |c| show(&c.right)),
        Words::Off => off(expanded.ruler, line),
        Words::Value(expr) => show(expr),
    });
    one_unit(expanded.ruler, Phrase::joined(pieces, ""))
}

/// A sentence in inches whose other lengths stand in millimetres, with those rounded in inches; as it is
/// if all of it has one unit, or a size or a range has another.
fn one_unit(ruler: Ruler, phrase: Phrase) -> Phrase {
    let other = |piece: &Piece| {
        let Piece::Length(value) = piece else {
            return false;
        };
        !ruler.shows_in_own(value.least())
    };
    if !gives_own(ruler, &phrase) {
        return phrase;
    }
    let words = |at: Option<usize>| match at.and_then(|at| phrase.0.get(at)) {
        Some(Piece::Words(words)) => words.as_str(),
        _ => "",
    };
    let bound = |(at, piece): (usize, &Piece)| {
        let before = words(at.checked_sub(1));
        let after = words(Some(at + 1));
        let range = before == TO || after == TO;
        other(piece) && (range || before.ends_with(" x ") || after.starts_with(" x "))
    };
    if phrase.0.iter().enumerate().any(bound) {
        return phrase;
    }
    let pieces = phrase.0.into_iter().map(|piece| match piece {
        Piece::Length(value) if other(&Piece::Length(value)) => Piece::About(value),
        piece => piece,
    });
    Phrase(pieces.collect())
}

/// Between the ends of what is uncertain.
const TO: &str = " to ";

/// Whether a sentence gives a length in the ruler's own unit, and that is not millimetres.
pub fn gives_own(ruler: Ruler, phrase: &Phrase) -> bool {
    let own = |piece: &Piece| match piece {
        Piece::Length(value) => ruler.shows_in_own(value.least()),
        Piece::About(_) => true,
        _ => false,
    };
    ruler.unit() != Unit::Millimetre && phrase.0.iter().any(own)
}

/// By how much a line is broken.
fn off(ruler: Ruler, line: &Line) -> Phrase {
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
) -> Phrase {
    let scope = &expanded.scopes[line.instance.0 as usize];
    let none = BTreeSet::new();
    let least = line.worst.as_ref().map_or(&none, |w| &w.at_most);
    let point = finished.point(expanded);
    let text = |value: Option<Value>| match value {
        Some(value) => show(expanded.ruler, &value),
        None => Phrase::words("?"),
    };
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
    match low == high {
        true => low,
        false => low.and(TO).then(high),
    }
}

/// The comparison that a line is about.
pub(super) fn comparison<'a>(rule: &'a Rule, line: &Line) -> Option<&'a Comparison> {
    rule.comparison(line.way, line.comparison)
}

/// More digits than this behind the point are rounded in a sentence.
const MOST_DECIMALS: usize = 4;

/// A value as a maker reads it: exact where that is short, else rounded and marked `about`. What is not
/// there is not said to be less than nothing.
pub fn show(ruler: Ruler, value: &Value) -> Phrase {
    match value {
        Value::Length(n) => {
            let whole = n.floor().to_integer().to_i64().unwrap_or(i64::MAX);
            let length = Length::from_nm(whole).max(Length::ZERO);
            match n.is_integer() {
                true => readable(ruler, length),
                false => Phrase::default().about(Interval::exact(length)),
            }
        }
        Value::Number(n) => Phrase::words(number(*n)),
        Value::Text(text) => Phrase::words(text),
        Value::Flag(flag) => Phrase::words(if *flag { "yes" } else { "no" }),
    }
}

/// A length exactly where that is short, else rounded and marked `about`.
pub fn readable(ruler: Ruler, length: Length) -> Phrase {
    let value = Interval::exact(length);
    match ruler.decimals(length) > MOST_DECIMALS {
        true => Phrase::default().about(value),
        false => Phrase::default().length(value),
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

    fn length(text: &str) -> Phrase {
        let length = crate::length::parse_length(text).expect("a length");
        Phrase::default().length(Interval::exact(length))
    }

    #[test]
    fn a_sentence_has_one_unit() {
        let inch = Ruler::parse("1/8 in").expect("a ruler");
        let all = |parts: &[(&str, &str)]| {
            let parts = parts.iter().map(|(of, words)| length(of).and(*words));
            Phrase::joined(parts, "")
        };
        let mixed = all(&[("1/4 in", " and "), ("105 mm", " come to "), ("5 in", "")]);
        let about = |piece: &Piece| matches!(piece, Piece::About(_));
        let told = one_unit(inch, mixed.clone());
        assert_eq!(told.0.iter().filter(|it| about(it)).count(), 1);
        assert!(about(&told.0[2]), "{told:?}");
        for same in [
            all(&[("12 mm", " from the edge; it stands in "), ("10 mm", "")]),
            all(&[("1/4 in", " of "), ("5 in", "")]),
            all(&[("1/4 in", " of "), ("105 mm", " x "), ("148 mm", "")]),
            all(&[("1/4 in", " of "), ("105 mm", " to "), ("106 mm", "")]),
        ] {
            assert_eq!(one_unit(inch, same.clone()), same);
        }
        let metric = Ruler::parse("1 mm").expect("a ruler");
        assert_eq!(one_unit(metric, mixed.clone()), mixed);
    }
}
