//! Photos in their places for other programs.

use super::{about, joined, list, measure, pretty, start};
use crate::arrange::NoSize;
use crate::arrange::photos::{Arranged, NoPlan, Share2};
use crate::arrange::share::Share;
use crate::arrange::wish::label;
use crate::report::arrange::Told;
use crate::report::arrange::pads;
use num_traits::ToPrimitive;
use serde_json::{Value, json};

/// Which photo stands where, and which design, in one album or in several; `exit` is the exit code that goes with it.
pub fn answer(all: &[Told<'_>], exit: u8) -> String {
    match all {
        [told] => pretty(&of_one(*told, exit)),
        _ => {
            let albums = list(all, |told| of_one(*told, exit));
            let rest = json!({ "exit": exit, "albums": albums });
            pretty(&joined([start("arrangements"), rest]))
        }
    }
}

fn of_one(told: Told<'_>, exit: u8) -> Value {
    let photos = match told.found {
        Some((_, Ok(arranged))) => photos(told, arranged),
        _ => Value::Null,
    };
    let verdict = match told.found {
        None => "no photos",
        Some((_, Ok(arranged))) if arranged.proved => "proved best",
        Some((_, Ok(_))) => "best found",
        Some((_, Err(NoPlan::Fixed { .. }))) => "impossible",
        Some((_, Err(_))) => "undecided",
    };
    let proved = ["proved best", "impossible"].contains(&verdict);
    joined([
        start("arrange"),
        about(&told.album.title, told.plan.ruler),
        json!({ "verdict": verdict, "exit": exit, "proved": proved }),
        photos,
        json!({ "pads": pads::json(told.album, (told.at, told.pads)) }),
    ])
}

/// A share, exact and as near as a float gets.
fn exact(of: &Share2) -> Value {
    json!({ "exact": of.to_string(), "share": of.to_f64().unwrap_or(0.0) })
}

fn share(of: Share) -> Value {
    exact(&Share2::new((*of.numer()).into(), (*of.denom()).into()))
}

fn photos(told: Told<'_>, arranged: &Arranged) -> Value {
    let ruler = told.plan.ruler;
    let placed = arranged.placed.iter().filter_map(|it| {
        let (spot, photo) = (told.spots.get(it.spot)?, told.photos.get(it.photo)?);
        let (photo_width, photo_height) = *photo.sides.as_ref().ok()?;
        let print = it.print.as_ref().and_then(|print| {
            let card = told.album.supplies.prints.get(print.print)?;
            Some(json!({
                "name": card.name,
                "turned": print.turned,
                "whole_photo": print.whole,
                "seen": share(print.seen()),
                "covered": share(print.covered),
                "off_width": measure(ruler, print.off_width),
                "off_height": measure(ruler, print.off_height),
            }))
        });
        Some(json!({
            "place": label(told.plan, spot),
            "opening": spot.opening,
            "right": spot.right,
            "width": measure(ruler, it.size.0),
            "height": measure(ruler, it.size.1),
            "on_its_side": it.turned,
            "resized": it.size != (spot.width, spot.height),
            "photo": photo.name,
            "photo_width": photo_width,
            "photo_height": photo_height,
            "seen": share(it.seen),
            "covered": share(it.covered),
            "cut_at": if it.fit.broad { "left and right" } else { "top and bottom" },
            "pixels_an_inch": it.pixels_an_inch,
            "too_coarse": it.too_coarse,
            "print": print,
        }))
    });
    let without = told.photos.iter().enumerate().filter_map(|(n, photo)| {
        let out = photo.sides.is_err() || arranged.left_out.contains(&n);
        let why = photo.sides.as_ref().err().map(NoSize::why);
        let why = why.map(|why| json!({ "why": why })).unwrap_or_default();
        out.then(|| joined([json!({ "photo": photo.name }), why]))
    });
    let taken = |n: &usize| arranged.placed.iter().any(|it| it.spot == *n);
    let empty = told.spots.iter().enumerate().filter(|(n, _)| !taken(n));
    json!({
        "lost_in_all": exact(&arranged.sum),
        "lost_at_most": share(arranged.worst),
        "placed": placed.collect::<Value>(),
        "without_a_place": without.collect::<Value>(),
        "empty_places": list(empty, |(_, spot)| json!(label(told.plan, spot))),
    })
}
