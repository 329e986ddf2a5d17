//! Lengths and places as they are printed.

use crate::length::{Interval, Length, Ruler};
use crate::plan::InsertPlan;

/// `4⅜ in`, or `4⅜ to 4½ in`; what is derived and has many decimals is rounded up, with `about` before it.
pub fn length(ruler: Ruler, value: Interval) -> String {
    let exact = ruler.show_interval_typographic(value);
    let decimals = exact
        .split(['.', ' ', '\u{a0}'])
        .filter(|part| part.len() > 3 && part.bytes().all(|b| b.is_ascii_digit()));
    match decimals.count() {
        0 => exact,
        _ => about(ruler, value),
    }
}

/// `4¼ × 5½ in`; a side that is only known between two ends stands in brackets.
pub fn sized(ruler: Ruler, width: Interval, height: Interval) -> String {
    if width.is_exact() && height.is_exact() {
        return ruler.show_size_typographic(width.least(), height.least());
    }
    let side = |side: Interval| match side.is_exact() {
        true => ruler.show_typographic(side.least()),
        false => format!("({})", ruler.show_interval_typographic(side)),
    };
    format!("{}\u{a0}×\u{a0}{}", side(width), side(height))
}

/// What is derived, and no length to cut to.
pub fn about(ruler: Ruler, value: Interval) -> String {
    super::super::words::about(ruler, value)
}

/// `a, b and c`.
pub fn lengths(words: &[String]) -> String {
    super::super::words::listed(words)
}

/// The same words with a capital at their head.
pub fn capital(text: &str) -> String {
    super::super::words::capital(text)
}

/// A name of the maker's as it is read: `photo mat`.
pub fn plain(name: &str) -> String {
    super::super::words::plain(name)
}

/// How it is taken hold of, where that is not by what shows.
pub fn grip(insert: &InsertPlan) -> Option<&'static str> {
    super::super::words::grip(insert.grip)
}

/// A sentence with its fractions of inches as they are printed: `4 3/8 x 5 in` becomes
/// `4⅜ × 5 in`.
pub fn typographic(text: &str) -> String {
    let words: Vec<&str> = text.split(' ').collect();
    let whole = |word: &str| !word.is_empty() && word.bytes().all(|b| b.is_ascii_digit());
    let mut out: Vec<String> = Vec::new();
    for (n, word) in words.iter().enumerate() {
        let number = |word: Option<&&str>| {
            let inner = word.map(|w| w.trim_matches(['(', ')', ',', ';']));
            inner.is_some_and(|w| w.starts_with(|c: char| c.is_ascii_digit()))
        };
        if *word == "x" && number(words.get(n + 1)) {
            out.push("×".to_owned());
            continue;
        }
        let Some((before, fraction, after)) = fraction(word) else {
            out.push((*word).to_owned());
            continue;
        };
        // The whole number before it, unless that is something else's.
        let joined = before.is_empty() && n > 0 && {
            let last = words[n - 1].trim_start_matches('(');
            whole(last)
        };
        match out.last_mut() {
            Some(last) if joined => {
                let narrow = if fraction.contains('⁄') {
                    "\u{202f}"
                } else {
                    ""
                };
                last.push_str(&format!("{narrow}{fraction}{after}"));
            }
            _ => out.push(format!("{before}{fraction}{after}")),
        }
    }
    out.join(" ").replace(" × ", "\u{a0}×\u{a0}")
}

/// The same with every fraction in whole digits: those of a ready-made one are half as large as all others,
/// too small where a hand sets its ruler by them.
pub fn spelled(text: &str) -> String {
    let mut out = String::new();
    for letter in text.chars() {
        match READY.iter().find(|(ready, _)| *ready == letter) {
            Some((_, whole)) => {
                let joined = out.ends_with(|it: char| it.is_ascii_digit());
                out.push_str(if joined { "\u{202f}" } else { "" });
                out.push_str(whole);
            }
            None => out.push(letter),
        }
    }
    out
}

const READY: [(char, &str); 7] = [
    ('½', "1⁄2"),
    ('¼', "1⁄4"),
    ('¾', "3⁄4"),
    ('⅛', "1⁄8"),
    ('⅜', "3⁄8"),
    ('⅝', "5⁄8"),
    ('⅞', "7⁄8"),
];

/// What stands before a fraction with a ruler's denominator, the fraction as it is printed, and what
/// stands after it.
fn fraction(word: &str) -> Option<(&str, String, &str)> {
    let start = word.find(|c: char| c.is_ascii_digit())?;
    let (before, rest) = word.split_at(start);
    let end = rest.find(|c: char| !c.is_ascii_digit() && c != '/');
    let (fraction, after) = rest.split_at(end.unwrap_or(rest.len()));
    let (above, below) = fraction.split_once('/')?;
    let below: i64 = below
        .parse()
        .ok()
        .filter(|n| [2, 4, 8, 16, 32, 64].contains(n))?;
    let above: i64 = above.parse().ok().filter(|n| (1..below).contains(n))?;
    if !before.chars().all(|c| c == '(') || after.starts_with(|c: char| c.is_alphanumeric()) {
        return None;
    }
    let shown = Ruler::new(Length::MM, crate::length::Unit::Inch)?
        .show_typographic(Length::from_nm(Length::INCH.nm() / below * above));
    let shown = shown.trim_end_matches("in").trim_end_matches('\u{a0}');
    Some((before, shown.to_owned(), after))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fractions_are_printed_as_such() {
        for (text, printed) in [
            ("5 1/8 in of mat", "5⅛ in of mat"),
            ("4 1/4 x 5 1/2 in", "4¼ × 5½ in"),
            ("(3/4 in, turned)", "(¾ in, turned)"),
            ("1/16 in of bag; 1 7/8 in", "1⁄16 in of bag; 1⅞ in"),
            ("8 1/16 in", "8\u{202f}1⁄16 in"),
            ("1/6 of the height", "1/6 of the height"),
            ("x marks 3 x 5", "x marks 3 × 5"),
            ("lowest hole 1/2", "lowest hole ½"),
            ("ISO 18902, or 1/128", "ISO 18902, or 1/128"),
        ] {
            let printed = printed.replace(" × ", "\u{a0}×\u{a0}");
            assert_eq!(typographic(text), printed);
        }
    }
}
