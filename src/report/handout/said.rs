//! Lengths and places as they are printed.

use crate::album::Where;
use crate::length::{Interval, Length, Ruler};
use crate::plan::InsertPlan;

/// `4⅜ in`, or `4⅜ to 4½ in`.
pub fn length(ruler: Ruler, value: Interval) -> String {
    ruler.show_interval_typographic(value)
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

/// A name of the maker's as it is read: `photo mat`.
pub fn plain(name: &str) -> String {
    super::super::words::plain(name)
}

/// Where an insert goes: `front slot`, `pocket`, `glued on the back`.
pub fn place(insert: &InsertPlan) -> &'static str {
    super::super::leaf::place(insert)
}

/// What shows of it: `shows ½ in above the mouth`; nothing where it is glued on.
pub fn shows(ruler: Ruler, insert: &InsertPlan) -> Option<String> {
    let (least, most) = insert.shows?;
    let edge = match insert.goes {
        Where::Mouth => "the mouth",
        Where::Pocket => "the pocket's edge",
        Where::Band | Where::Back => "the head",
    };
    let ends = (Length::from_nm(least), Length::from_nm(most));
    let exact = |length: Length| ruler.show_typographic(length);
    Some(match (least, most) {
        (0, 0) => format!("ends level with {edge}"),
        (a, b) if a == b && a > 0 => format!("shows {} above {edge}", exact(ends.0)),
        (a, b) if a == b => format!("ends {} below {edge}", exact(Length::from_nm(-a))),
        _ => super::super::words::shows(ruler, (least, most), edge),
    })
}

/// How it is taken hold of, where that is not by what shows.
pub fn grip(insert: &InsertPlan) -> Option<&'static str> {
    super::super::words::grip(insert.grip)
}
