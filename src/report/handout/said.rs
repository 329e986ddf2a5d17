//! Lengths and places as they are printed.

use crate::length::{Interval, Ruler};
pub(crate) use crate::report::words::{about, capital, listed as lengths, plain};

/// `4⅜ in`, or `4⅜ to 4½ in`; what is derived and has many decimals is rounded, with `about` before it.
pub fn length(ruler: Ruler, value: Interval) -> String {
    let exact = ruler.show_interval_typographic(value);
    let decimals = exact
        .split(['.', ' ', '\u{a0}'])
        .filter(|part| part.len() > 4 && part.bytes().all(|b| b.is_ascii_digit()));
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

/// A text with every fraction in whole digits: those of a ready-made one are half as large as all others,
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
