//! What can be wrong with an order: as values; the words are in one place.

use super::Want;
use super::words::size;
use crate::length::{Length, Ruler};
use crate::text::{At, Problem};
use thiserror::Error;

/// Something that cannot be cut.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum CutError {
    #[error("{name}, {size}, is larger than {of}: {}{}", over(.width, .height), if *.turned { ", even on its side" } else { "" })]
    TooLarge {
        name: String,
        size: String,
        /// `the sheet, 12 x 12 in`.
        of: String,
        /// What is too much, where it is.
        width: Option<String>,
        height: Option<String>,
        /// It was tried on its side too, and this is the better way.
        turned: bool,
    },
    #[error("{name}, {size}, is {by} narrower than your trimmer can hold")]
    TooNarrow {
        name: String,
        size: String,
        by: String,
    },
    #[error(
        "{name}, {size}, leaves a strip of {left} beside it, narrower than your trimmer can hold"
    )]
    LeavesSliver {
        name: String,
        size: String,
        /// What is left of the sheet beside it.
        left: String,
    },
    #[error("trimming leaves nothing of {of}")]
    NothingLeft { of: String },
    #[error(
        "these are {pieces} pieces; the most at once is {}",
        super::MOST_PIECES
    )]
    TooMany { pieces: String },
    #[error("there are too many sizes; the most is {most}")]
    TooManyKinds { most: usize },
    #[error("these sizes lie on no ruler that they share")]
    TooFine,
    #[error("{name}, {size}, lies on no ruler with the other sizes: {side} is on no mark")]
    OffMarks {
        name: String,
        size: String,
        /// The side that lies on no ruler's mark, and the marks beside it.
        side: String,
        marks: Vec<String>,
    },
    #[error("the values are too large")]
    TooMuch,
}

fn over(width: &Option<String>, height: &Option<String>) -> String {
    match (width, height) {
        (Some(width), Some(height)) => format!("{width} too wide and {height} too high"),
        (Some(width), None) => format!("{width} too wide"),
        (None, Some(height)) => format!("{height} too high"),
        (None, None) => "it does not fit on it".to_owned(),
    }
}

impl CutError {
    /// A piece that exceeds a sheet by so much, as it lies there.
    pub(super) fn too_large(
        ruler: Ruler,
        want: &Want,
        of: String,
        over: (Length, Length),
        turned: bool,
    ) -> At<CutError> {
        let told = |over: Length| (over > Length::ZERO).then(|| ruler.show(over));
        CutError::TooLarge {
            name: want.label(),
            size: size(ruler, want),
            of,
            width: told(over.0),
            height: told(over.1),
            turned,
        }
        .at(want.place)
    }
}

impl Problem for CutError {
    fn help(&self) -> Option<String> {
        use CutError as E;
        Some(match self {
            E::TooLarge { .. } => "take a larger sheet, or make the piece smaller".to_owned(),
            E::TooNarrow { .. } => "cut it by hand, and leave it out here".to_owned(),
            E::LeavesSliver { .. } => {
                "take a larger sheet, or type a smaller `--narrowest`".to_owned()
            }
            E::NothingLeft { .. } => "type a smaller `--trim`".to_owned(),
            E::TooMany { .. } | E::TooManyKinds { .. } => "cut them in several lots".to_owned(),
            E::TooFine => "type all sizes in the same unit, on the marks of a ruler".to_owned(),
            E::OffMarks { side, marks, .. } => {
                let marks: Vec<String> = marks.iter().map(|mark| format!("`{mark}`")).collect();
                format!("type {} instead of `{side}`", marks.join(" or "))
            }
            E::TooMuch => "type smaller values, in the same proportion".to_owned(),
        })
    }
}
