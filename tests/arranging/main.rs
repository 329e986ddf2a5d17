//! Photos to places: every plan of small cases, published assignments, made heads of pictures.

#[path = "../common/mod.rs"]
mod common;
mod designs;
mod examples;
mod heads;
mod pads;
mod reference;
mod small;
mod told;
mod verify;

use common::dice;
use num_rational::Ratio;
use tuckwright::arrange::photos::{Arranged, Asked, NoPlan, Wanted, arrange};
use tuckwright::arrange::{NoSize, Photo};
use tuckwright::length::Length;
use tuckwright::plan::openings::PhotoSpot;
use tuckwright::supplies::Supplies;

/// A photo of this shape, or one whose size is not known.
pub fn photo(name: &str, sides: (i64, i64), pixels: bool) -> Photo {
    Photo {
        name: name.to_owned(),
        place: Default::default(),
        sides: if sides.0 == 0 {
            Err(NoSize::NotGiven)
        } else {
            Ok(sides)
        },
        pixels,
        date: None,
        odd_turn: None,
    }
}

/// A place of so many eighths of an inch, at an opening, on its right page or its left.
pub fn spot((wide, high): (i64, i64), opening: i64, right: bool) -> PhotoSpot {
    let eighths = |n: i64| Length::from_nm(Length::INCH.nm() / 8 * n);
    PhotoSpot {
        leaf: 0,
        insert: 0,
        copy: 1,
        piece: 1,
        opening,
        right,
        width: eighths(wide),
        height: eighths(high),
    }
}

/// The plan for places that are filled.
pub fn arranged(
    photos: &[Photo],
    spots: &[PhotoSpot],
    wanted: &Wanted,
) -> Result<Arranged, NoPlan> {
    let asked = Asked {
        photos,
        spots,
        wanted,
        most_cut: Ratio::from_integer(1),
    };
    arrange(asked, &Supplies::default(), &|_| Vec::new(), &|| false)
}
