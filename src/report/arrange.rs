//! Which photo stands where (`pads`: which design of a pad), which print to order and how to trim it, in a maker's words. Blocks, so
//! that the printout and the page can show the same.

mod mats;
mod no_plan;
mod orders;
pub mod pads;

use self::orders::{order, share};
use super::handout::{Block, Section, Table, on_screen, openings};
use super::place;
use super::words::{capital, count, listed};
use crate::album::{Album, Photos};
use crate::arrange::pads::Dealt;
use crate::arrange::photos::{Arranged, NoPlan, Placed, Share2, laid};
use crate::arrange::share::Share;
use crate::arrange::wish::per_cent;
use crate::arrange::{Photo, wish};
use crate::length::Length;
use crate::plan::Plan;
use crate::plan::openings::PhotoSpot;
use crate::text::grouped;
use std::cmp::Ordering;
use std::ops::Deref;

/// Everything that an answer is made from.
#[derive(Clone, Copy)]
pub struct Told<'a> {
    pub album: &'a Album,
    /// Its place among the albums whose pads are dealt out together.
    pub at: usize,
    pub plan: &'a Plan,
    pub photos: &'a [Photo],
    pub spots: &'a [PhotoSpot],
    /// What was asked of photos, if anything was, and what came of it.
    pub found: Option<(&'a Photos, &'a Result<Arranged, NoPlan>)>,
    /// What would lose less of them.
    pub better: Option<&'a Better>,
    pub pads: &'a [Dealt],
}

/// What else may be asked of photos.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Otherwise {
    /// They may lie on their side.
    Turn,
    /// They may stand in any order.
    Free,
    /// Places may take the shape of their photo.
    Resize,
    /// The same, each leaf being a kind of its own.
    Apart,
}

/// What is asked otherwise, and what is then lost of so many photos in all.
#[derive(Clone, Debug, PartialEq)]
pub struct Better {
    pub how: Otherwise,
    pub placed: usize,
    pub sum: Share2,
}

impl Better {
    /// What to type, and what came of it.
    fn told(&self, photos: usize) -> String {
        let (what, typed) = match self.how {
            Otherwise::Turn => ("Lay photos on their side", "turn = true"),
            Otherwise::Free => ("Let photos stand in any order", "order = \"free\""),
            Otherwise::Resize => ("Let places take the shape of their photo", "resize = true"),
            Otherwise::Apart => (
                "Make each of these leaves a `[[leaf]]` of its own, and let places take the shape of their photo",
                "resize = true",
            ),
        };
        let mean = &self.sum / Share2::from_integer(self.placed.max(1).into());
        let lost = match per_cent(&mean) {
            none if none == "0 %" => "nothing is lost".to_owned(),
            mean => format!("{mean} is lost on average"),
        };
        let of = match photos > self.placed {
            true => format!(" of the {} that have a place", self.placed),
            false => String::new(),
        };
        format!("{what}: `{typed}` below `[photos]`. Then {lost}{of} (arranged again).")
    }
}

/// Photos in their places.
#[derive(Clone, Copy)]
struct Placing<'a> {
    told: Told<'a>,
    asked: &'a Photos,
    arranged: &'a Arranged,
}

impl<'a> Deref for Placing<'a> {
    type Target = Told<'a>;

    fn deref(&self) -> &Told<'a> {
        &self.told
    }
}

/// The answer, a section a heading.
pub fn sections(told: Told<'_>) -> Vec<Section> {
    let mut all = match told.found {
        None => Vec::new(),
        Some((asked, Err(why))) => no_plan::sections(why, asked, told.spots),
        Some((asked, Ok(arranged))) => placing(Placing {
            told,
            asked,
            arranged,
        }),
    };
    all.extend(self::pads::sections(
        told.plan,
        told.album,
        (told.at, told.pads),
    ));
    all
}

/// Where a place is found.
fn page(plan: &Plan, spot: &PhotoSpot) -> String {
    let (opening, side) = openings::page(plan, spot.opening, spot.right);
    let opening = opening.to_lowercase();
    match side {
        "" => opening,
        side => format!("{opening}, {side}"),
    }
}

fn placing(told: Placing<'_>) -> Vec<Section> {
    let mut all = vec![Section::new("", vec![Block::Text(verdict(told))])];
    let list = |title: &str, before: Option<String>, lines: Vec<String>| {
        let before = before.map(Block::Text).into_iter();
        (!lines.is_empty())
            .then(|| Section::new(title, before.chain([Block::dashes(lines)]).collect()))
    };
    // What is amiss is read before the table.
    all.extend(list("Photos without a place", None, without(told)));
    let ruler = told.plan.ruler;
    if let Some(least) = told.asked.coarsest {
        let why = format!(
            "Take larger files of these, or make their places smaller: they have fewer than {least} pixels an inch and may look blurred. That is common practice, not a standard: 300 is fine, 150 will often do."
        );
        let coarse = told.arranged.placed.iter().filter(|it| it.too_coarse);
        let coarse = coarse.map(|it| {
            let fine = it.pixels_an_inch.unwrap_or(0);
            let sides = (told.photos.get(it.photo)).and_then(|photo| photo.sides.as_ref().ok());
            let enough = sides.and_then(|&sides| {
                let side = |pixels: i64| {
                    let nm = i128::from(pixels) * i128::from(Length::INCH.nm()) / i128::from(least);
                    ruler.length_of(ruler.ticks_down(Length::from_nm(i64::try_from(nm).ok()?)))
                };
                let (across, up) = laid(sides, it.turned);
                let size = ruler.show_size(side(across)?, side(up)?);
                Some(format!(", enough for at most {size}"))
            });
            let enough = enough.unwrap_or_default();
            format!("{}: {fine} pixels an inch{enough}", name(told, it.photo))
        });
        all.extend(list("Too coarse", Some(why), coarse.collect()));
    }
    if let Some(better) = told.better {
        all.push(Section::new(
            "To lose less",
            vec![Block::Text(better.told(told.photos.len()))],
        ));
    }
    if !told.arranged.placed.is_empty() {
        let table = Block::Table(places(told));
        all.push(Section::new("Where each photo goes", vec![table]));
        all.extend(list("Order and trim", None, orders(told)));
        let said = "Type this into the album, and its photos have these sizes:".to_owned();
        let title = "Places that take the shape of their photo";
        all.extend(list(title, Some(said), resized(told)));
    }
    let taken = |n: usize| told.arranged.placed.iter().any(|it| it.spot == n);
    let empty = (0..told.spots.len()).filter(|n| !taken(*n));
    let empty: Vec<String> = empty.map(|n| label(told, n)).collect();
    let lines = (!empty.is_empty()).then(|| format!("{}.", capital(&listed(&empty))));
    all.extend(list("Places without a photo", None, Vec::from_iter(lines)));
    let why = "A photo stands only on an insert that asks for one (`photo = true`), so these stay empty. To glue one on by hand, the largest print that goes on each, clear of the holes and of what is glued there:".to_owned();
    all.extend(list(
        "Mats without a photo",
        Some(why),
        mats::lines(told.album, told.plan),
    ));
    all.extend(list("Good to know", None, notes(told)));
    all
}

fn name(told: Placing<'_>, photo: usize) -> String {
    told.photos
        .get(photo)
        .map_or(String::new(), |it| it.name.clone())
}

fn label(told: Placing<'_>, spot: usize) -> String {
    told.spots
        .get(spot)
        .map_or(String::new(), |spot| wish::label(told.plan, spot))
}

fn verdict(told: Placing<'_>) -> String {
    let arranged = told.arranged;
    let placed = arranged.placed.len();
    let order = if told.asked.free {
        ""
    } else {
        " in this order"
    };
    if placed == 0 {
        return match told.spots.is_empty() {
            true => "This album has no place for a photo. Type `photo = true` below an insert."
                .to_owned(),
            false => "No photo has a size, so none has a place.".to_owned(),
        };
    }
    let all = told.photos.iter().filter(|it| it.sides.is_ok()).count();
    let of = match all > placed {
        true => format!("{placed} of "),
        false => String::new(),
    };
    let mut said = vec![format!(
        "{of}{} in {}.",
        count(all, "photo", "photos"),
        count(told.spots.len(), "place", "places")
    )];
    let [of, more, worst] = match loses(told) {
        (false, true) => [
            "of a place stays bare",
            "leaves less bare",
            "leaves less of its place bare",
        ],
        (true, true) => [
            "is cut off a photo or stays bare beside it",
            "loses less",
            "loses less",
        ],
        (_, false) => ["of a photo is cut off", "cuts off less", "loses less"],
    };
    let mean = &arranged.sum / Share2::from_integer(placed.into());
    let most = share(arranged.worst);
    let with = match arranged.placed.iter().any(|it| it.print.is_some()) {
        true => "With the prints below, on average",
        false => "On average",
    };
    said.push(match most == "0 %" {
        true => "Each is seen whole and fills its place: nothing is lost.".to_owned(),
        false => format!("{with} {} {of}; at most {most} of one.", per_cent(&mean)),
    });
    said.push(match (arranged.proved, told.asked.worst) {
        (true, false) => format!("No other arrangement{order} places more photos or {more} (proved)."),
        (true, true) => format!(
            "No other arrangement{order} places more photos, and in none the photo that loses most {worst} (proved)."
        ),
        (false, _) => format!("This is the best found{order}; a better one may be possible."),
    });
    said.join(" ")
}

/// Whether some of a photo is cut off, and whether some of a place stays bare.
fn loses(told: Placing<'_>) -> (bool, bool) {
    let any = |of: fn(&Placed) -> Share| {
        let mut placed = told.arranged.placed.iter();
        placed.any(|it| of(it) < Share::from_integer(1))
    };
    (any(|it| it.seen), any(|it| it.covered))
}

fn places(told: Placing<'_>) -> Table {
    let fine = told
        .arranged
        .placed
        .iter()
        .any(|it| it.pixels_an_inch.is_some());
    let lost = match loses(told) {
        (false, true) => "Bare",
        (true, true) => "Lost",
        (_, false) => "Cut off",
    };
    let opens = place::opens(told.plan);
    let mut head = vec!["Place"];
    head.extend(opens.then_some("Seen at"));
    head.extend(["Photo", lost]);
    head.extend(fine.then_some("Pixels an inch"));
    let row = |it: &Placed| {
        let spot = &told.spots[it.spot];
        let mut row = vec![capital(&label(told, it.spot))];
        row.extend(opens.then(|| page(told.plan, spot)));
        row.extend([
            format!(
                "{}{}",
                name(told, it.photo),
                if it.turned { ", on its side" } else { "" }
            ),
            share(it.lost),
        ]);
        if fine {
            let short = if it.too_coarse { " *" } else { "" };
            row.push(
                it.pixels_an_inch
                    .map_or("-".to_owned(), |n| format!("{n}{short}")),
            );
        }
        row
    };
    let rows = told.arranged.placed.iter().map(row);
    Table {
        numbers: vec![3, 4],
        bold: vec![2],
        ..Table::new(&head, rows.collect())
    }
}

/// Places with another size than they had, and what to type for it.
fn resized(told: Placing<'_>) -> Vec<String> {
    let ruler = told.plan.ruler;
    let line = |it: &Placed| {
        let spot = told.spots.get(it.spot)?;
        let (across, up) = *told.photos.get(it.photo)?.sides.as_ref().ok()?;
        let common = num_integer::gcd(across, up).max(1);
        let (across, up) = laid((across / common, up / common), it.turned);
        let insert = &told
            .plan
            .leaves
            .get(spot.leaf)?
            .inserts
            .get(spot.insert)?
            .name;
        let lies = match across.cmp(&up) {
            Ordering::Less => ", lies = \"upright\"",
            Ordering::Equal => "",
            Ordering::Greater => ", lies = \"across\"",
        };
        let old = (spot.width, spot.height);
        (it.size != old).then(|| {
            format!(
                "{}: its photo is {}, not {}. At `{insert}`: `photo = {{ shape = \"{across}:{up}\"{lies} }}`",
                capital(&label(told, it.spot)),
                ruler.show_size(it.size.0, it.size.1),
                ruler.show_size(old.0, old.1),
            )
        })
    };
    told.arranged.placed.iter().filter_map(line).collect()
}

/// What to order and how to trim it; photos of which the same is true stand in one line.
fn orders(told: Placing<'_>) -> Vec<String> {
    let placed = told.arranged.placed.iter();
    let lines = grouped(placed.map(|it| (order(told.album, it), name(told, it.photo))));
    lines
        .into_iter()
        .map(|(line, names)| format!("{}: {line}", listed(&names)))
        .collect()
}

fn without(told: Placing<'_>) -> Vec<String> {
    let sized = told.photos.iter().filter(|it| it.sides.is_ok()).count();
    let mut lines: Vec<(String, Vec<String>)> = Vec::new();
    for (n, photo) in told.photos.iter().enumerate() {
        let why = match &photo.sides {
            Err(why) => why.why(),
            Ok(_) if !told.arranged.left_out.contains(&n) => continue,
            Ok(_) if sized > told.spots.len() => {
                let spots = count(told.spots.len(), "place", "places");
                format!("there are {spots} for {sized} photos, and this way least is lost")
            }
            Ok(_) => "what you fixed leaves no place for it in this order".to_owned(),
        };
        let alike = |(other, _): &&mut (String, Vec<String>)| *other == why && photo.sides.is_ok();
        match lines.iter_mut().find(alike) {
            Some((_, names)) => names.push(photo.name.clone()),
            None => lines.push((why, vec![photo.name.clone()])),
        }
    }
    let lines = lines.into_iter();
    lines
        .map(|(why, names)| format!("{}: {why}.", listed(&names)))
        .collect()
}

fn notes(told: Placing<'_>) -> Vec<String> {
    let mut notes = Vec::new();
    let undated: Vec<String> = match told.asked.from {
        crate::album::PhotosIn::Folder(_) if !told.asked.free => {
            let undated = told
                .photos
                .iter()
                .filter(|it| it.date.is_none() && it.sides.is_ok());
            undated.map(|it| it.name.clone()).collect()
        }
        _ => Vec::new(),
    };
    if !undated.is_empty() {
        notes.push(format!(
            "{} without a date, so behind the others: {}.",
            count(undated.len(), "photo", "photos"),
            listed(&undated)
        ));
    }
    let odd = told.photos.iter().filter_map(|it| Some((it, it.odd_turn?)));
    notes.extend(odd.map(|(it, turn)| {
        format!(
            "{}: its turn is {turn}, which is none; it counts as upright.",
            it.name
        )
    }));
    notes
}

/// The answer for a screen.
pub fn text(told: Told<'_>) -> String {
    let title = format!("{} (ruler {})", capital(&told.album.title), told.plan.ruler);
    on_screen(&title, &sections(told))
}
