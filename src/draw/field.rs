//! The largest photo over all sizes of bag, as a map: regions where the same rules decide, lines of
//! equal photos, and bags as points.
//!
//! `map` draws the map itself, this file what stands around it. May import what `draw` may.

mod map;

use super::font::{self, Face};
use super::list::{Anchor, Area, Ink, Line, Page};
use super::picture::{self, LEADING, MARGIN, SMALL, WIDTH, say};
use crate::compare::Offer;
use crate::compare::sweep::Sweep;
use crate::length::{Length, Ruler};
use crate::report::compare as words;

const MM: i64 = 1_000_000;
const LEFT: i64 = MARGIN + 14 * MM;
const TOP: i64 = MARGIN + 20 * MM;
/// Room of the map.
const MAP_WIDTH: i64 = 112 * MM;
const MAP_HEIGHT: i64 = 150 * MM;
const WORDS: i64 = LEFT + MAP_WIDTH + 8 * MM;

/// Grounds of the regions; each has its letter too.
const GROUNDS: [Ink; 8] = [
    Ink::PaleSky,
    Ink::PaleOrange,
    Ink::PaleGreen,
    Ink::PalePurple,
    Ink::PaleBlue,
    Ink::PaleRed,
    Ink::Pale,
    Ink::White,
];

/// Where the map lies on the page, and what its ends stand for.
struct Map<'a> {
    sweep: &'a Sweep,
    area: Area,
    /// A grid point lies in the middle of its cell.
    cell: (i64, i64),
}

/// The map as one page; `bags` are worked out apart, each with its own gusset.
pub fn page(title: &str, ruler: Ruler, sweep: &Sweep, bags: &[Offer]) -> Page {
    let (wide, high) = (
        sweep.grid.widths.len() as i64,
        sweep.grid.heights.len() as i64,
    );
    let cell = (MAP_WIDTH / wide.max(1), MAP_HEIGHT / high.max(1));
    // Widths and heights at one scale, so that a bag's shape is seen.
    let step = |sides: &[Length]| match sides {
        [first, second, ..] => second.nm() - first.nm(),
        _ => 1,
    };
    let (across, up) = (step(&sweep.grid.widths), step(&sweep.grid.heights));
    let cell = match wide > 1 && high > 1 && across == up {
        true => (cell.0.min(cell.1), cell.0.min(cell.1)),
        false => cell,
    };
    let area = Area::sized(LEFT, TOP, cell.0 * wide, cell.1 * high);
    let map = Map { sweep, area, cell };
    let legend = legend(ruler, sweep);
    let points = points(ruler, &map, bags);
    let below = area.bottom + 20 * MM;
    let (left, right) = points.split_at(points.len().div_ceil(2));
    let column = (area.right.max(LEFT + MAP_WIDTH) - MARGIN) / 2;
    let ends = [TOP + room(&legend), below + room(left), below + room(right)];
    let height = ends.into_iter().max().unwrap_or(below) + MARGIN;
    let about = words::sweep::about(ruler, sweep);
    let mut page = picture::page(title, &about, height);
    map.grounds(&mut page);
    map.contours(&mut page, ruler);
    map.borders(&mut page);
    page.rect("", area, Line::Thin, None);
    map.axes(&mut page, ruler);
    let mut taken = map.letters(&mut page, bags);
    map.dots(&mut page, bags, &mut taken);
    map.photos(&mut page, ruler, &taken);
    entries(&mut page, WORDS, TOP + LEADING, &legend);
    entries(&mut page, MARGIN, below, left);
    entries(&mut page, MARGIN + column, below, right);
    page
}

/// Height of a list of entries.
fn room(entries: &[Entry]) -> i64 {
    let lines = entries.iter().map(|(_, _, lines)| lines.len() as i64);
    lines
        .map(|lines| LEADING * lines + LEADING / 2)
        .sum::<i64>()
        + LEADING
}

/// A list of entries, from its first baseline down.
fn entries(page: &mut Page, left: i64, top: i64, entries: &[Entry]) {
    let mut y = top;
    for (mark, ground, lines) in entries {
        if let Some(ground) = ground {
            let swatch = Area::sized(left, y - 3 * MM, 4 * MM, 4 * MM);
            page.rect("", swatch, Line::Thin, Some(*ground));
        }
        say(
            page,
            left + 2 * MM,
            y,
            mark,
            SMALL,
            Face::Bold,
            Anchor::Middle,
        );
        for line in lines {
            say(
                page,
                left + 6 * MM,
                y,
                line,
                SMALL,
                Face::Regular,
                Anchor::Start,
            );
            y += LEADING;
        }
        y += LEADING / 2;
    }
}

/// A mark, its ground, and what it stands for.
type Entry = (String, Option<Ink>, Vec<String>);

/// A text in lines of so much room.
fn broken(text: &str, room: i64) -> Vec<String> {
    font::lines(Face::Regular, Length::from_nm(SMALL), text, room)
}

/// Regions, and the rules that their numbers stand for.
fn legend(ruler: Ruler, sweep: &Sweep) -> Vec<Entry> {
    const ROOM: i64 = WIDTH - MARGIN - WORDS - 6 * MM;
    let mut all: Vec<Entry> = Vec::new();
    for (n, (mark, said)) in words::sweep::legend(sweep).iter().enumerate() {
        let ground = GROUNDS.get(n).filter(|_| n < sweep.regions.len());
        all.push(((*mark).to_owned(), ground.copied(), broken(said, ROOM)));
    }
    if sweep.regions.is_empty() {
        return all;
    }
    let said = "Rules that decide the photo's shorter side:";
    all.push((String::new(), None, broken(said, ROOM)));
    for (n, rule) in words::sweep::rules(sweep).iter().enumerate() {
        all.push(((n + 1).to_string(), None, broken(rule, ROOM)));
    }
    let step = ruler.show(unit(ruler));
    let said = format!("Dashed: from here on the photo's shorter side is a whole {step} longer.");
    all.push((String::new(), None, broken(&said, ROOM)));
    all
}

/// Bags by their numbers, and what each gives.
fn points(ruler: Ruler, map: &Map<'_>, bags: &[Offer]) -> Vec<Entry> {
    let points = bags.iter().enumerate().map(|(n, offer)| {
        let photo = offer.fit().and_then(|fit| fit.photo.as_ref());
        let gives = match photo {
            Some(photo) => format!("photo {}", words::size(ruler, photo.width, photo.height)),
            None => "does not fit".to_owned(),
        };
        let beyond = match map.point(offer) {
            Some(_) => "",
            None => " (beyond the map)",
        };
        let said = format!(
            "{}: {gives}{beyond}",
            words::sweep::point(ruler, &offer.bag)
        );
        (
            (n + 1).to_string(),
            None,
            broken(&said, (MAP_WIDTH - 8 * MM) / 2),
        )
    });
    let heading = match bags.is_empty() {
        true => Vec::new(),
        false => broken("Bags, each with its own gusset:", MAP_WIDTH / 2),
    };
    let heading = (String::new(), None, heading);
    std::iter::once(heading).chain(points).collect()
}

/// Between two lines of equal photos.
fn unit(ruler: Ruler) -> Length {
    match ruler.is_metric() {
        true => Length::from_nm(20 * MM),
        false => Length::INCH,
    }
}
