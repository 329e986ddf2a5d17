//! Photos in their places for other programs.

use super::shape::Measure;
use super::{VERSION, length, pretty};
use crate::arrange::photos::{self, NoPlan, Share2};
use crate::arrange::share::Share;
use crate::arrange::wish::label;
use crate::length::Length;
use crate::report::arrange::Told;
use crate::report::arrange::pads::{self, Pad};
use num_traits::ToPrimitive;
use serde::Serialize;

#[derive(Debug, Serialize)]
struct Head<'a> {
    tuckwright: u32,
    kind: &'static str,
    title: &'a str,
    ruler: Measure,
    unit: &'static str,
    verdict: &'static str,
    exit: u8,
    proved: bool,
}

#[derive(Debug, Serialize)]
struct Arranged<'a> {
    lost_in_all: Part,
    lost_at_most: Part,
    placed: Vec<Placed<'a>>,
    without_a_place: Vec<Without<'a>>,
    empty_places: Vec<String>,
}

/// A share, exact and as near as a float gets.
#[derive(Debug, Serialize)]
struct Part {
    exact: String,
    share: f64,
}

#[derive(Debug, Serialize)]
struct Placed<'a> {
    place: String,
    opening: i64,
    right: bool,
    width: Measure,
    height: Measure,
    on_its_side: bool,
    resized: bool,
    photo: &'a str,
    photo_width: i64,
    photo_height: i64,
    seen: Part,
    covered: Part,
    cut_at: &'static str,
    pixels_an_inch: Option<i64>,
    too_coarse: bool,
    print: Option<Print<'a>>,
}

#[derive(Debug, Serialize)]
struct Print<'a> {
    name: &'a str,
    turned: bool,
    whole_photo: bool,
    seen: Part,
    covered: Part,
    off_width: Measure,
    off_height: Measure,
}

#[derive(Debug, Serialize)]
struct Without<'a> {
    photo: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    why: Option<String>,
}

#[derive(Debug, Serialize)]
struct Whole<'a> {
    #[serde(flatten)]
    head: Head<'a>,
    #[serde(flatten)]
    photos: Option<Arranged<'a>>,
    pads: Vec<Pad<'a>>,
}

/// Albums whose pads are dealt out together.
#[derive(Debug, Serialize)]
struct Together<'a> {
    tuckwright: u32,
    kind: &'static str,
    exit: u8,
    albums: Vec<Whole<'a>>,
}

/// Which photo stands where, and which design, in one album or in several; `exit` is the exit code that goes with it.
///
/// # Errors
///
/// None that is known: every value here can be written.
pub fn answer(all: &[Told<'_>], exit: u8) -> serde_json::Result<String> {
    match all {
        [told] => pretty(&of_one(*told, exit)),
        _ => pretty(&Together {
            tuckwright: VERSION,
            kind: "arrangements",
            exit,
            albums: all.iter().map(|told| of_one(*told, exit)).collect(),
        }),
    }
}

fn of_one(told: Told<'_>, exit: u8) -> Whole<'_> {
    let ruler = told.plan.ruler;
    let photos = match told.found {
        Some((_, Ok(arranged))) => Some(photos(told, arranged)),
        _ => None,
    };
    let verdict = match told.found {
        None => "no photos",
        Some((_, Ok(arranged))) if arranged.proved => "proved best",
        Some((_, Ok(_))) => "best found",
        Some((_, Err(NoPlan::Fixed { .. }))) => "impossible",
        Some((_, Err(_))) => "undecided",
    };
    Whole {
        head: Head {
            tuckwright: VERSION,
            kind: "arrange",
            title: &told.album.title,
            ruler: length(ruler, ruler.step()),
            unit: ruler.unit().name(),
            verdict,
            exit,
            proved: ["proved best", "impossible"].contains(&verdict),
        },
        photos,
        pads: pads::json(told.album, (told.at, told.pads)),
    }
}

fn photos<'a>(told: Told<'a>, arranged: &'a photos::Arranged) -> Arranged<'a> {
    let ruler = told.plan.ruler;
    let big = |of: Share| Share2::new((*of.numer()).into(), (*of.denom()).into());
    let exact = |of: Share2| Part {
        share: of.to_f64().unwrap_or(0.0),
        exact: of.to_string(),
    };
    let part = |of: Share| exact(big(of));
    let measure = |of: Length| length(ruler, of);
    let placed = arranged.placed.iter().filter_map(|it| {
        let (spot, photo) = (told.spots.get(it.spot)?, told.photos.get(it.photo)?);
        let (photo_width, photo_height) = *photo.sides.as_ref().ok()?;
        let print = it.print.as_ref().and_then(|print| {
            let card = told.album.supplies.prints.get(print.print)?;
            Some(Print {
                name: &card.name,
                turned: print.turned,
                whole_photo: print.whole,
                seen: part(print.seen()),
                covered: part(print.covered),
                off_width: measure(print.off_width),
                off_height: measure(print.off_height),
            })
        });
        Some(Placed {
            place: label(told.plan, spot),
            opening: spot.opening,
            right: spot.right,
            width: measure(it.size.0),
            height: measure(it.size.1),
            on_its_side: it.turned,
            resized: it.size != (spot.width, spot.height),
            photo: &photo.name,
            photo_width,
            photo_height,
            seen: part(it.seen),
            covered: part(it.covered),
            cut_at: if it.fit.broad {
                "left and right"
            } else {
                "top and bottom"
            },
            pixels_an_inch: it.pixels_an_inch,
            too_coarse: it.too_coarse,
            print,
        })
    });
    let without = told.photos.iter().enumerate().filter_map(|(n, photo)| {
        let out = photo.sides.is_err() || arranged.left_out.contains(&n);
        let why = photo.sides.as_ref().err().map(crate::arrange::NoSize::why);
        out.then_some(Without {
            photo: &photo.name,
            why,
        })
    });
    let taken = |n: &usize| arranged.placed.iter().any(|it| it.spot == *n);
    let empty = (0..told.spots.len()).filter(|n| !taken(n));
    Arranged {
        lost_in_all: exact(arranged.sum.clone()),
        lost_at_most: part(arranged.worst),
        placed: placed.collect(),
        without_a_place: without.collect(),
        empty_places: empty.map(|n| label(told.plan, &told.spots[n])).collect(),
    }
}
