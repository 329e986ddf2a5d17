//! The photos of an album, as a maker asks for them: where they are listed, what stands fixed.

use super::AlbumError;
use super::leaf::{in_text, names_once};
use super::shapes::{NAMED, PHOTOS};
use crate::length::{parse_ratio, parse_size};
use crate::text::{Item, Kind as Wanted, Node, Place, Said, Table, legible};

/// Where the photos are named, as written: beside the album.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PhotosIn {
    /// A table, a line a photo.
    List(Said<String>),
    /// A folder of pictures.
    Folder(Said<String>),
    /// In the album itself.
    Here(Vec<Named>),
}

impl PhotosIn {
    /// What is read beside the album.
    pub fn file(&self) -> Option<&Said<String>> {
        match self {
            PhotosIn::List(said) | PhotosIn::Folder(said) => Some(said),
            PhotosIn::Here(_) => None,
        }
    }
}

/// A photo that the album itself names.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Named {
    pub name: Said<String>,
    /// As written; `None` if it says no size.
    pub size: Option<Said<String>>,
    /// Its width and height, each at least 1, or the sides of its shape.
    pub sides: Option<(i64, i64)>,
    /// They are counted in pixels.
    pub pixels: bool,
}

/// Which photos there are, and what is wanted of their places.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Photos {
    pub place: Place,
    pub from: PhotosIn,
    /// They come in any order; else they keep that of their dates or of their list.
    pub free: bool,
    /// Two photos on pages that face each other.
    pub facing: Vec<[Said<String>; 2]>,
    /// A photo and the place where it stays.
    pub stays: Vec<(Said<String>, Said<String>)>,
    /// The greatest share of a photo that may be cut off to fill its place, numerator and
    /// denominator: from 0, all of it is seen, to 1, its place is filled.
    pub most_cut: (i64, i64),
    /// Fewer pixels an inch are too coarse.
    pub coarsest: Option<i64>,
    /// The photo that loses most loses as little as can be; only then the sum counts.
    pub worst: bool,
    /// A photo may lie on its side.
    pub turn: bool,
    /// A place may take the shape of its photo, if nothing was said of its own.
    pub resize: bool,
}

/// Pixels of a photo's side; fewer than the fewest are no pixels.
const MOST_PIXELS: i64 = 1_000_000;
const FEWEST_PIXELS: i64 = 64;

/// Pixels an inch that can be asked for.
const FINEST: i64 = 5_000;

/// Reads what an album says of its photos.
pub(super) fn photos(root: &Table<'_>) -> Option<Photos> {
    let table = root.table("photos", &PHOTOS)?;
    let why = "the photos would come from two places";
    table.never_both("folder", "list", why);
    table.never_both("photo", "list", why);
    table.never_both("photo", "folder", why);
    let list = table.text("list").map(PhotosIn::List);
    let from = list.or_else(|| table.text("folder").map(PhotosIn::Folder));
    let from = match table.get("photo") {
        Some(_) => Some(PhotosIn::Here(here(&table))),
        None => from,
    };
    if table.get("folder").is_none() && table.get("photo").is_none() {
        table.need("list");
    }
    let both = "both say how much is cut off";
    table.never_both("most_cut", "show", both);
    let order = table.choice("order", &[("kept", false), ("free", true)]);
    let show = table.choice("show", &[("fill", (1, 1)), ("whole", (0, 1))]);
    let worst = table.choice("for", &[("all", false), ("worst", true)]);
    let stays = table.pairs("stays").into_iter();
    let stays = stays.filter_map(|(photo, item)| match item.node {
        Node::Text(_) => Some((photo.clone(), legible(&photo.value, item, root.faults)?)),
        _ => {
            table.wrong("stays", item, Wanted::Text);
            None
        }
    });
    let stays = stays.collect();
    Some(Photos {
        place: table.place,
        facing: facing(&table),
        stays,
        free: order.is_some_and(|said| said.value),
        most_cut: share(&table)
            .or(show.map(|said| said.value))
            .unwrap_or((1, 1)),
        coarsest: table.count("coarsest", 1, FINEST),
        worst: worst.is_some_and(|said| said.value),
        turn: table.flag("turn").unwrap_or(false),
        resize: table.flag("resize").unwrap_or(false),
        from: from?,
    })
}

/// Photos that stand in the album.
fn here(table: &Table<'_>) -> Vec<Named> {
    let rows = table.tables("photo", &NAMED).into_iter();
    let rows = rows.filter_map(|row| {
        let size = row.text("size");
        let sides = size.as_ref().and_then(|said| sides(&said.value));
        if let (Some(said), None) = (&size, sides) {
            let (place, written) = (said.place, said.value.clone());
            table.tell(place, AlbumError::PhotoSize { written });
        }
        Some(Named {
            name: row.name("name")?,
            size,
            sides: sides.map(|(sides, _)| sides),
            pixels: sides.is_some_and(|(_, pixels)| pixels),
        })
    });
    let rows: Vec<Named> = rows.collect();
    names_once("photos", rows.iter().map(|row| &row.name), table.faults);
    rows
}

/// Width and height of a photo, in pixels (`4032 x 3024`) or as it is at hand (`6 x 4 in`), or its shape
/// (`3:2`); and whether they are pixels.
fn sides(text: &str) -> Option<((i64, i64), bool)> {
    if text.contains(':') {
        let ratio = parse_ratio(text).ok().filter(|it| *it.numer() > 0)?;
        return Some(((*ratio.numer(), *ratio.denom()), false));
    }
    let side = |text: &str| {
        let side = text.trim().parse().ok();
        side.filter(|n| (1..=MOST_PIXELS).contains(n))
    };
    let two = text.split_once(['x', '×']);
    if let Some(both) = two.and_then(|(width, height)| side(width).zip(side(height))) {
        // Of a print at hand a maker may leave the unit out.
        return Some((both, both.0.min(both.1) >= FEWEST_PIXELS));
    }
    let (width, height) = parse_size(text).ok()?;
    let (width, height) = (width.middle().nm(), height.middle().nm());
    let common = num_integer::gcd(width, height);
    (width > 0 && height > 0).then(|| ((width / common, height / common), false))
}

/// A photo as it is named in one line, with its size behind: `boat 6 x 4 in`. `None` if no size stands there.
pub fn name_and_size(line: &str) -> Option<(&str, &str)> {
    let is_between = |sign: char| sign.is_whitespace() || matches!(sign, ',' | ';' | ':');
    let mut gaps = line.match_indices(is_between);
    gaps.find_map(|(at, _)| {
        let (name, size) = line.split_at(at);
        let size = size.trim_matches(is_between);
        (!name.is_empty() && sides(size).is_some())
            .then_some((name.trim_end_matches(is_between), size))
    })
}

/// Pairs of names.
fn facing(table: &Table<'_>) -> Vec<[Said<String>; 2]> {
    let name = |item: &Item| legible("facing", item, table.faults);
    let pair = |pair: &Item| match &pair.node {
        Node::List(two) => match two.as_slice() {
            [a, b] => Some([name(a)?, name(b)?]),
            _ => None,
        },
        _ => None,
    };
    let mut all = Vec::new();
    for item in table.list("facing", Wanted::List) {
        let before = table.faults.len();
        match pair(item) {
            Some(pair) => all.push(pair),
            None if table.faults.len() > before => {}
            None => table.tell(item.place, AlbumError::Pair),
        }
    }
    all
}

/// A share from nothing to all.
fn share(table: &Table<'_>) -> Option<(i64, i64)> {
    let said = table.text("most_cut")?;
    let ratio = in_text(&said, parse_ratio(&said.value), table.faults)?;
    if ratio > num_rational::Ratio::from_integer(1) {
        let (place, written) = (said.place, said.value);
        table.tell(place, AlbumError::Share { written });
        return None;
    }
    Some((*ratio.numer(), *ratio.denom()))
}

#[cfg(test)]
mod tests {
    use super::name_and_size;

    #[test]
    fn a_photo_and_its_size_stand_in_a_line() {
        for (line, read) in [
            ("boat 6 x 4 in", Some(("boat", "6 x 4 in"))),
            ("my boat 2\t4032 x 3024", Some(("my boat 2", "4032 x 3024"))),
            ("No. 3, at sea; 3:2", Some(("No. 3, at sea", "3:2"))),
            ("pier.jpg: 4 1/2 x 6 in", Some(("pier.jpg", "4 1/2 x 6 in"))),
            ("boat", None),
            ("6 x 4 in", None),
            (" 3:2", None),
            ("", None),
        ] {
            assert_eq!(name_and_size(line.trim()), read, "{line}");
        }
    }
}
