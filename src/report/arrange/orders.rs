//! Which print to order for a photo, and what to trim off it.

use super::super::words::listed;
use crate::album::Album;
use crate::arrange::photos::{Placed, Share2, off};
use crate::arrange::share::Share;
use crate::arrange::wish::per_cent;
use crate::length::{Length, Ruler};
use std::cmp::Ordering;

/// A share as a maker reads it.
pub(super) fn share(of: Share) -> String {
    per_cent(&Share2::new((*of.numer()).into(), (*of.denom()).into()))
}

/// What a hand can cut, or about how much.
fn measure(ruler: Ruler, of: Length) -> String {
    let half_step = (ruler.step().nm() / 2).max(1);
    match of.nm() % half_step {
        0 => ruler.show(of),
        _ => ruler.about(of),
    }
}

/// What to order for a photo in its place, and how to trim it.
pub(super) fn order(album: &Album, it: &Placed) -> String {
    let ruler = album.ruler;
    let sides = if it.fit.broad {
        "left and right"
    } else {
        "top and bottom"
    };
    let one = Share::from_integer(1);
    let about = |side: Share| {
        let nm = i64::try_from(side.round().to_integer());
        ruler.about(Length::from_nm(nm.unwrap_or(i64::MAX)))
    };
    let (own_seen, (wide, high)) = it.own;
    let (wide, high) = (about(wide), about(high));
    let cards = &album.supplies.prints;
    let print = it
        .print
        .as_ref()
        .and_then(|print| Some((print, cards.get(print.print)?)));
    let Some((print, card)) = print else {
        let trim = match off(it) {
            Length::ZERO => String::new(),
            off => format!(" and trim {} off the {sides}", ruler.about(off)),
        };
        let mut said = format!("print it {wide} wide and {high} high{trim}.");
        said.push_str(&lost(it.seen, it.covered, &format!(" at the {sides}")));
        return said;
    };
    let (width, height) = (card.width.least(), card.height.least());
    let lies = match print.turned == (width > height) {
        _ if width == height => "",
        true => ", upright",
        false => ", lying",
    };
    let how = match print.whole {
        true => "the whole photo on it, with white edges",
        false => "the photo fills it",
    };
    let half = |of: Length| measure(ruler, Length::from_nm(of.nm() / 2));
    let offs = [
        (print.off_width, "the left and right"),
        (print.off_height, "the top and bottom"),
    ];
    let offs = offs.into_iter().filter(|(off, _)| off.nm() > 0);
    let offs: Vec<String> = offs
        .map(|(off, of)| format!("{} off {of}", half(off)))
        .collect();
    let place = ruler.show_size(it.size.0, it.size.1);
    let no_trim = offs.is_empty();
    let trim = match no_trim {
        true => "It is as large as its place: nothing to trim".to_owned(),
        false => format!("Trim it to {place}: {}", listed(&offs)),
    };
    let mut said = format!("order {}{lies}; {how}. {trim}.", card.name);
    let at = match print.seen_wide.cmp(&print.seen_high) {
        _ if no_trim => " beyond the edges of the print",
        Ordering::Less => ", most of it at the left and right",
        Ordering::Equal => "",
        Ordering::Greater => ", most of it at the top and bottom",
    };
    said.push_str(&lost(print.seen(), print.covered, at));
    if print.seen() < own_seen {
        said.push_str(&format!(
            " A print of your own, {wide} wide and {high} high, loses only {}.",
            share(one - own_seen)
        ));
    }
    said
}

fn lost(seen: Share, covered: Share, at: &str) -> String {
    let one = Share::from_integer(1);
    let mut said = String::new();
    if seen < one {
        said.push_str(&format!(" {} of the photo is lost{at}.", share(one - seen)));
    }
    if covered < one {
        said.push_str(&format!(
            " {} of its place stays bare.",
            share(one - covered)
        ));
    }
    said
}
