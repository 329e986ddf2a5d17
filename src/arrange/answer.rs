//! What is asked of photos and designs, and what is answered: nothing but data.

use super::Photo;
use super::deal::{Deal, NoDeal};
pub use super::share::Print;
use super::share::{Fit, Share};
use crate::length::Length;
use crate::plan::openings::{PhotoSpot, Seen};
use num_bigint::BigInt;
use std::collections::BTreeMap;

/// What is wanted of the places.
#[derive(Clone, Debug, Default)]
pub struct Wanted {
    pub free: bool,
    /// Photos on pages that face each other, and photos with the place where they stay.
    pub facing: Vec<(usize, usize)>,
    pub stays: Vec<(usize, usize)>,
    pub coarsest: Option<i64>,
    pub worst: bool,
    /// Photos may lie on their side.
    pub turn: bool,
    /// The size of a place (second) if it takes the shape of a photo (first), as it was worked out, with
    /// whether the photo then lies on its side.
    pub sizes: BTreeMap<(usize, usize), Vec<(Length, Length)>>,
}

/// A photo in its place.
#[derive(Clone, Debug, PartialEq)]
pub struct Placed {
    pub photo: usize,
    pub spot: usize,
    /// The photo lies on its side.
    pub turned: bool,
    /// Of the photo as it is trimmed: that of its place, or another if the place takes its shape.
    pub size: (Length, Length),
    pub fit: Fit,
    /// What is cut off or stays bare with the print to order; and how much smaller the place is than it was.
    pub lost: Share,
    pub smaller: Share,
    /// The share of the photo that is seen, and of its place that it covers, with the print to order.
    pub seen: Share,
    pub covered: Share,
    /// What is seen on a print made to measure, and its size in nanometres.
    pub own: (Share, (Share, Share)),
    /// Whole pixels an inch; `None` if the photo's pixels are not known.
    pub pixels_an_inch: Option<i64>,
    pub too_coarse: bool,
    /// The print to order; `None` if none at hand is as large as the place.
    pub print: Option<Print>,
}

/// Why there is no plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NoPlan {
    /// What is fixed leaves none; these wishes, left out alone, each make one possible.
    Fixed {
        facing: Vec<usize>,
        stays: Vec<usize>,
    },
    /// A limit was met before any plan was found.
    Open,
    /// The check refused the answer: a defect of this program.
    Refused,
}

/// The best plan found.
#[derive(Clone, Debug, PartialEq)]
pub struct Arranged {
    /// In the order of the places.
    pub placed: Vec<Placed>,
    /// Photos that have a size and no place.
    pub left_out: Vec<usize>,
    /// What is cut off or left bare in all, and the most of one photo.
    pub sum: Share2,
    pub worst: Share,
    /// Nothing places more photos, makes fewer too coarse or cuts off less.
    pub proved: bool,
}

/// A sum of shares.
pub type Share2 = num_rational::Ratio<BigInt>;

/// Photos, places, and what is wanted.
#[derive(Clone, Copy)]
pub struct Asked<'a> {
    pub photos: &'a [Photo],
    pub spots: &'a [PhotoSpot],
    pub wanted: &'a Wanted,
    /// The greatest share of a photo that may be cut off to fill its place.
    pub most_cut: Share,
}

/// One piece that gets a design, alike in all copies of its album.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Piece {
    /// Which of the albums that are made together, and which of its leaves; no leaf for a part of the
    /// album itself.
    pub album: usize,
    pub leaf_at: Option<usize>,
    /// What it is, and its kind of leaf: `back_mat`, `shore`; empty for a part of the album itself.
    pub name: String,
    pub leaf: String,
    /// Which of the leaves alike, if there are several.
    pub copy: Option<i64>,
    /// Where it is seen; `None` for a part of the album itself.
    pub seen: Option<Seen>,
    pub(super) width: Length,
    pub(super) height: Length,
    /// Its place among the things of the deal: pieces that match are one.
    pub thing: usize,
}

/// A paper of several designs, dealt out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Dealt {
    /// Place in [`supplies::Supplies::papers`].
    pub paper: usize,
    pub pieces: Vec<Piece>,
    /// Widths and heights of the kinds that a proof weighs.
    pub kinds: Vec<(Length, Length)>,
    /// With the sheets at home. `Open` too if there are too many pieces, or too many ways to cut a sheet.
    pub deal: Result<Deal, NoDeal>,
    /// If these are not enough: the deal with the fewest sheets more.
    pub beyond: Option<Beyond>,
}

/// A deal with sheets that must still be bought.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Beyond {
    /// Sheets of each design beside those at home; `None` if that was not counted.
    pub more: Option<i64>,
    pub deal: Deal,
}

impl Piece {
    /// Width and height.
    pub fn size(&self) -> (Length, Length) {
        (self.width, self.height)
    }
}

impl Dealt {
    /// The design of a piece: its place in the paper's designs.
    pub fn design(&self, piece: &Piece) -> Option<usize> {
        let beyond = || self.beyond.as_ref().map(|it| &it.deal);
        let deal = self.deal.as_ref().ok().or_else(beyond)?;
        deal.design.get(piece.thing).copied()
    }
}
