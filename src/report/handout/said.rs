//! Lengths and places as they are printed.

use crate::length::{Interval, Length, Ruler, Unit};
use crate::report::words;
pub(crate) use crate::report::words::{capital, listed as lengths, plain};

/// Sixteenths of an inch, which any ruler in inches has.
const SIXTEENTH: i64 = 1_587_500;

/// One length in inches that a hand can measure (nanometres).
fn on_inches(ruler: Ruler, value: Interval) -> Option<i64> {
    let one = value.is_exact() || value.is_one();
    let nm = value.least().nm();
    (ruler.unit() == Unit::Inch && one && 2 * nm.abs() >= SIXTEENTH).then_some(nm)
}

/// The marks of a ruler in inches: its steps, or sixteenths where these are finer.
fn marks(ruler: Ruler) -> i64 {
    match ruler.step().nm() {
        step if step % SIXTEENTH == 0 => SIXTEENTH,
        step => step.max(1),
    }
}

/// `4⅜ in`, or `4⅜ to 4½ in`, as it is measured in a drawing: what lies on no mark of the ruler, nor half way
/// between two, is `about` the nearest mark.
pub fn length(ruler: Ruler, value: Interval) -> String {
    let halves = |nm: i64| 2 * nm % marks(ruler) == 0;
    match on_inches(ruler, value) {
        Some(nm) if !halves(nm) => about(ruler, value),
        Some(_) => ruler.show_interval_typographic(value),
        None => match ruler.nearest(value.least()).filter(|_| value.is_exact()) {
            Some(near) => format!("about {}", ruler.show_typographic(near)),
            None => gauged(ruler, value),
        },
    }
}

/// The same in a sentence, where what is below 1/8 in may be a thickness, which no ruler measures.
pub fn told(ruler: Ruler, value: Interval) -> String {
    match value.most().nm().abs() < 2 * SIXTEENTH {
        true => gauged(ruler, value),
        false => length(ruler, value),
    }
}

/// A thickness, or what was measured: as it is, or rounded, with `about` before it, if it has many decimals.
pub fn gauged(ruler: Ruler, value: Interval) -> String {
    let ends = [value.least(), value.most()];
    match ends.iter().any(|end| ruler.decimals(*end) > 4) {
        true => words::about(ruler, value),
        false => ruler.show_interval_typographic(value),
    }
}

/// `about 1 5⁄16 in`: a derived length at the nearest mark; in other units, and of thicknesses, a decimal.
pub fn about(ruler: Ruler, value: Interval) -> String {
    let nm = on_inches(ruler, value)
        .filter(|nm| nm.abs() >= 2 * SIXTEENTH || 64 * nm % Length::INCH.nm() == 0);
    let Some(nm) = nm else {
        return words::about(ruler, value);
    };
    let mark = marks(ruler);
    let near = (nm + mark / 2).div_euclid(mark) * mark;
    format!("about {}", ruler.show_typographic(Length::from_nm(near)))
}

/// `4¼ × 5½ in`; a side that is only known between two ends stands in brackets.
pub fn sized(ruler: Ruler, width: Interval, height: Interval) -> String {
    if width.is_exact() && height.is_exact() {
        let (width, height) = (width.least(), height.least());
        return match ruler.nearest_size(width, height) {
            Some((width, height)) => {
                format!("about {}", ruler.show_size_typographic(width, height))
            }
            None => ruler.show_size_typographic(width, height),
        };
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

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: 5/64 in lies nearest to 1/16 in, 8 39/64 to 8 5/8, 1 1/3 to 1 5/16.
    #[test]
    fn what_a_hand_measures_lies_on_marks() {
        let said = |step: &str, nm: i64| {
            let ruler = Ruler::parse(step).expect("a ruler");
            let value = Interval::exact(Length::from_nm(nm));
            spelled(&length(ruler, value)).replace(['\u{a0}', '\u{202f}'], " ")
        };
        let inch = Length::INCH.nm();
        for (step, nm, expected) in [
            ("1/16 in", inch * 5 / 64, "about 1⁄16 in"),
            ("1/16 in", inch * 551 / 64, "about 8 5⁄8 in"),
            ("1/8 in", inch * 4 / 3, "about 1 5⁄16 in"),
            // Half way between two marks a hand finds by eye; the marks are the ruler's own.
            ("1/16 in", inch * 55 / 32, "1 23⁄32 in"),
            ("1/64 in", inch * 5 / 64, "5⁄64 in"),
            ("1/10 in", inch * 3 / 10, "0.3 in"),
            ("1 mm", 10_500_000, "10.5 mm"),
        ] {
            assert_eq!(said(step, nm), expected, "{nm}");
        }
        let ruler = Ruler::parse("1/16 in").expect("a ruler");
        let board = Interval::exact(Length::from_nm(inch * 5 / 64));
        assert!(!told(ruler, board).starts_with("about"));
    }
}
