//! Which photo stands where in an album, with the least share cut off in all, and which design of a pad.
//!
//! `list` reads a table of photos, `head` the size of a picture off its first bytes (`heic` of one
//! kind of them); `share` is what is lost of a photo in a place and which print to order; `photos`
//! asks the question, `cropped` looks for those that lose much. `pads` asks which design of a pad stands where:
//! `sheet` is what a sheet gives, `deal` answers. The question of photos is answered in whole numbers:
//! `problem` states it, `kept` answers it where the photos keep their order, `free` where they do not, and
//! `check` proves both without their code. `verify`
//! looks again at what is said of photos and designs; `answer` is what goes between all of these.
//! May import `length`, `text`, `supplies`, `album`, `plan` and `cut`.

use crate::album::Named;
use crate::text::Place;
use thiserror::Error;

mod answer;
mod check;
pub mod cropped;
pub mod deal;
pub mod free;
pub mod head;
mod heic;
pub mod kept;
pub mod list;
pub mod pads;
pub mod photos;
pub mod problem;
pub mod share;
pub mod sheet;
pub mod verify;
pub mod wish;

pub use check::{bound, cost, least_in_order};

/// Photos that an album can ask for, and places that it can have.
pub const MOST_PHOTOS: usize = 500;

/// Why a file gives no size.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum HeadError {
    #[error("it is no JPEG, PNG, WebP, HEIC or AVIF picture")]
    NoPicture,
    #[error("it ends before its size: it may be cut short")]
    CutShort,
    #[error("its head is broken: it gives no size")]
    NoSize,
    #[error("its head gives {0} x {1} pixels")]
    Pixels(u64, u64),
}

/// Why a photo has no size.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NoSize {
    /// Its list does not give one.
    NotGiven,
    /// Its file could not be read as a picture.
    Broken(HeadError),
    /// Its file could not be opened.
    Closed(String),
}

impl Photo {
    /// One that the album names.
    pub fn named(said: &Named) -> Photo {
        Photo {
            name: said.name.value.clone(),
            place: said.name.place,
            sides: said.sides.ok_or(NoSize::NotGiven),
            pixels: said.pixels,
            date: None,
            odd_turn: None,
        }
    }
}

/// One photo.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Photo {
    pub name: String,
    /// Its line in its list.
    pub place: Place,
    /// Width and height as it is looked at, each at least 1: pixels, or the sides of its shape.
    pub sides: Result<(i64, i64), NoSize>,
    /// Its sides are counted in pixels.
    pub pixels: bool,
    /// When it was taken, `2024:07:01 09:30:00`.
    pub date: Option<String>,
    /// A turn that is none of the eight there are, taken for upright.
    pub odd_turn: Option<u32>,
}
