//! Bags side by side as on a shelf: each at the same scale, with its photo on it, the best first.
//!
//! May import what `draw` may.

use super::font::{self, Face};
use super::list::{Anchor, Area, Hatch, Ink, Line, Page, Stroke, at};
use super::picture::{self, LEADING, MARGIN, SMALL, WIDTH, say};
use crate::compare::rank::Ranked;
use crate::compare::{Comparison, Offer};
use crate::length::{Interval, Length, Ruler};
use crate::report::compare as words;
use crate::supplies::Bag;

const MM: i64 = 1_000_000;
/// Bags beside each other.
const COLUMNS: usize = 5;
const COLUMN: i64 = (WIDTH - 2 * MARGIN) / COLUMNS as i64;
/// The most that a bag takes of its column, and how high the highest is drawn.
const BAG_WIDTH: i64 = COLUMN - 6 * MM;
const BAG_HEIGHT: i64 = 58 * MM;
/// Bags that fit, and that do not, that the picture has room for.
const MOST_FIT: usize = 20;
const MOST_FAILED: usize = 5;

/// One bag with the words under it.
struct Shown<'a> {
    offer: &'a Offer,
    unbeaten: bool,
    words: Vec<(Face, String)>,
}

/// The comparison as one page.
pub fn page(title: &str, ruler: Ruler, compared: &Comparison) -> Page {
    let mut all: Vec<Shown<'_>> = Vec::new();
    let ranked = compared.ranked.iter().take(MOST_FIT);
    all.extend(ranked.map(|ranked| fits(ruler, ranked)));
    let failed = compared.failed.iter().take(MOST_FAILED);
    all.extend(failed.map(|(offer, _)| fails(ruler, offer)));
    let drawn = scale(&all);
    let top = MARGIN + 16 * MM;
    let mut rows = Vec::new();
    let mut y = top;
    for row in all.chunks(COLUMNS) {
        let highest = row
            .iter()
            .map(|s| drawn(leaf_height(&s.offer.bag)))
            .max()
            .unwrap_or(0);
        let lines = row.iter().map(|s| s.words.len()).max().unwrap_or(0);
        rows.push((row, y + highest));
        y += highest + LEADING * lines as i64 + 8 * MM;
    }
    let notes = notes(compared);
    let height = y + LEADING * notes.len() as i64 + MARGIN;
    let about = format!(
        "{} bags at one scale, each with its photo at its size; the best first.",
        all.len()
    );
    let mut page = picture::page(title, &about, height);
    for (row, floor) in rows {
        let end = at(WIDTH - MARGIN, floor);
        page.line(
            at(MARGIN, floor),
            end,
            Stroke {
                line: Line::Thin,
                ink: Ink::Mid,
            },
        );
        for (n, shown) in row.iter().enumerate() {
            let left = MARGIN + COLUMN * n as i64;
            bag(&mut page, shown, left, floor, &drawn);
        }
    }
    picture::lines(&mut page, y, &notes);
    page
}

/// Of the bag, or of the leaf where the bag is folded up.
fn leaf_height(bag: &Bag) -> Interval {
    bag.folded.unwrap_or(bag.height)
}

/// Lengths as drawn: so that the widest and the highest bag have room.
fn scale(all: &[Shown<'_>]) -> impl Fn(Interval) -> i64 + use<> {
    let most = |side: fn(&Offer) -> Interval| {
        let sides = all.iter().map(|shown| side(shown.offer).middle().nm());
        i128::from(sides.max().unwrap_or(1).max(1))
    };
    let (wide, high) = (most(|o| o.bag.width), most(|o| leaf_height(&o.bag)));
    // Of the two scales the smaller one.
    let (over, under) = match i128::from(BAG_WIDTH) * high <= i128::from(BAG_HEIGHT) * wide {
        true => (i128::from(BAG_WIDTH), wide),
        false => (i128::from(BAG_HEIGHT), high),
    };
    move |side: Interval| {
        let drawn = i128::from(side.middle().nm()) * over / under;
        i64::try_from(drawn).unwrap_or(BAG_HEIGHT).max(1)
    }
}

fn fits<'a>(ruler: Ruler, ranked: &'a Ranked) -> Shown<'a> {
    let offer = &ranked.offer;
    let rank = ranked
        .rank
        .map_or(String::new(), |rank| format!("{rank}. "));
    let star = if ranked.unbeaten { " *" } else { "" };
    let mut said = vec![(Face::Bold, format!("{rank}{}{star}", offer.bag.name))];
    if let Some(photo) = offer.fit().and_then(|fit| fit.photo.as_ref()) {
        said.push((Face::Bold, words::size(ruler, photo.width, photo.height)));
    }
    said.push((Face::Regular, words::measures(ruler, &offer.bag)));
    if let Some(price) = offer.cost.price {
        said.push((Face::Regular, format!("{} for the bags", price)));
    }
    Shown {
        offer,
        unbeaten: ranked.unbeaten,
        words: broken(said),
    }
}

fn fails<'a>(ruler: Ruler, offer: &'a Offer) -> Shown<'a> {
    Shown {
        offer,
        unbeaten: false,
        words: broken(vec![
            (Face::Bold, offer.bag.name.clone()),
            (Face::Regular, words::measures(ruler, &offer.bag)),
            (Face::Regular, words::stopped(ruler, &offer.answer)),
        ]),
    }
}

/// Words broken into lines of a column.
fn broken(said: Vec<(Face, String)>) -> Vec<(Face, String)> {
    let lines = said.into_iter().flat_map(|(face, text)| {
        let lines = font::lines(face, Length::from_nm(SMALL), &text, COLUMN - 3 * MM);
        lines.into_iter().map(move |line| (face, line))
    });
    lines.collect()
}

fn bag(
    page: &mut Page,
    shown: &Shown<'_>,
    left: i64,
    floor: i64,
    drawn: &impl Fn(Interval) -> i64,
) {
    let bag = &shown.offer.bag;
    let (wide, high) = (drawn(bag.width), drawn(leaf_height(bag)));
    let face = Area::sized(left, floor - high, wide, high);
    let fit = shown.offer.fit();
    let line = if fit.is_some() {
        Line::Edge
    } else {
        Line::Hidden
    };
    let ink = if shown.unbeaten || fit.is_none() {
        Ink::Black
    } else {
        Ink::Mid
    };
    if fit.is_none() {
        page.hatch(face, Hatch::Rising, 2 * MM, Ink::Light);
    }
    page.rect(&bag.name, face, Stroke { line, ink }, None);
    let edge = bag.pocket.as_ref().map(|pocket| pocket.edge).or(bag.gusset);
    if let Some(edge) = edge.map(drawn).filter(|edge| *edge < high) {
        let y = floor - edge;
        let thin = Stroke {
            line: Line::Thin,
            ink: Ink::Mid,
        };
        page.line(at(face.left, y), at(face.right, y), thin);
    }
    if let Some(photo) = fit.and_then(|fit| fit.photo.as_ref()) {
        let (w, h) = (drawn(photo.width).min(wide), drawn(photo.height).min(high));
        let (x, y) = (face.left + (wide - w) / 2, face.top + (high - h) / 2);
        let name = format!("{}: photo", bag.name);
        page.rect(
            &name,
            Area::sized(x, y, w, h),
            Line::Thin,
            Some(Ink::PaleSky),
        );
    }
    for (n, (face, text)) in shown.words.iter().enumerate() {
        let y = floor + LEADING * (n as i64 + 1);
        say(page, left, y, text, SMALL, *face, Anchor::Start);
    }
}

/// What the signs mean.
fn notes(compared: &Comparison) -> Vec<String> {
    let mut notes = vec![
        "Filled: the photo at its size, not at its place. Line across a bag: its pocket's edge. \
         Hatched: the album does not fit."
            .to_owned(),
    ];
    if compared.ranked.iter().any(|ranked| ranked.unbeaten) {
        notes.push(words::unbeaten(compared));
    }
    notes
        .iter()
        .flat_map(|note| picture::broken(note))
        .collect()
}
