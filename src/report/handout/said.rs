//! Lengths and places as they are printed.

use crate::length::{Interval, Length, Ruler, Unit};
use crate::report::words;
pub(crate) use crate::report::words::{capital, listed as lengths, plain};

/// The mark of a fine ruler in inches: 1/64 in.
const FINE: i64 = 396_875;

/// Whether a hand lays a ruler in inches at it, not a gauge for thicknesses.
fn on_inches(ruler: Ruler, value: Interval) -> bool {
    let one = value.is_exact() || value.is_one();
    ruler.unit() == Unit::Inch && one && value.least().nm() >= 8 * FINE
}

/// `4⅜ in`, or `4⅜ to 4½ in`; what is derived and has many decimals is rounded, with `about` before it.
pub fn length(ruler: Ruler, value: Interval) -> String {
    let most = if on_inches(ruler, value) { 2 } else { 4 };
    let ends = [value.least(), value.most()];
    match ends.iter().any(|end| ruler.decimals(*end) > most) {
        true => about(ruler, value),
        false => ruler.show_interval_typographic(value),
    }
}

/// `about 1 21⁄64 in`: a derived length at the nearest mark of a fine ruler; in other units, and of
/// thicknesses, a decimal.
pub fn about(ruler: Ruler, value: Interval) -> String {
    if !on_inches(ruler, value) {
        return words::about(ruler, value);
    }
    let near = (value.least().nm() + FINE / 2) / FINE * FINE;
    format!("about {}", ruler.show_typographic(Length::from_nm(near)))
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
