//! What can be wrong with an order: the words that several of these rooms share.

use super::words::size;
use super::{MOST_PIECES, Want};
use crate::length::{Length, Ruler};
use crate::text::{At, Problem, Wrong};

/// A piece that exceeds a sheet, `of`, by so much, as it lies there; `turned`: it was tried on its side too, and
/// this is the better way.
pub(super) fn too_large(
    ruler: Ruler,
    want: &Want,
    of: &str,
    over: (Length, Length),
    turned: bool,
) -> At<Wrong> {
    let told = |over: Length| (over > Length::ZERO).then(|| ruler.show(over));
    let over = match (told(over.0), told(over.1)) {
        (Some(width), Some(height)) => format!("{width} too wide and {height} too high"),
        (Some(width), None) => format!("{width} too wide"),
        (None, Some(height)) => format!("{height} too high"),
        (None, None) => "it does not fit on it".to_owned(),
    };
    let side = if turned { ", even on its side" } else { "" };
    let what = format!("{} is larger than {of}: {over}{side}", sized(ruler, want));
    Wrong::new(what, "take a larger sheet, or make the piece smaller").at(want.place)
}

/// A piece with its size.
pub(super) fn sized(ruler: Ruler, want: &Want) -> String {
    format!("{}, {},", want.label(), size(ruler, want))
}

pub(super) fn too_many(pieces: &str) -> Wrong {
    let what = format!("these are {pieces} pieces; the most at once is {MOST_PIECES}");
    Wrong::new(what, "cut them in several lots")
}

/// No ruler has all sizes on its marks.
pub(super) fn no_ruler() -> Wrong {
    let what = "these sizes lie on no ruler that they share";
    Wrong::new(
        what,
        "type all sizes in the same unit, on the marks of a ruler",
    )
}
