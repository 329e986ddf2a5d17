//! Bags as rows of a table: a text file of values with commas (or semicolons, or tabs) between them.
//!
//! The first row names the columns, in any order: `width` and `height` must be there; `name`,
//! `gusset`, `flap` (height of the pocket's edge), `pocket_depth`, `tolerance` (± of these five, where
//! they have none of their own), `bottom`, `thickness`, `pack`, `price` and `unit` may be. Other
//! columns are left alone. A value may stand in double quotes, a quote in it doubled. Lines that are
//! empty or begin with `#` say nothing. Rows are read one at a time, so that a long file needs no
//! room; what is wrong with one row says nothing of the others.

mod fault;

pub use fault::RowError;

use super::shapes::{MANY, ROW};
use super::text::{BAGS, bag_of, whole, within};
use super::{Bag, Pocket};
use crate::length::{Interval, Unit, written_unit};
use crate::text::{
    Entry, Faults, Finds, Item, Node, Place, Said, Table, TextError, listed, nearest, separator,
    split_cells,
};
use std::ops::Range;

/// Longest row that is read (bytes).
pub const LONGEST_ROW: usize = 10_000;

/// Columns and the words that makers and sellers head them with.
const COLUMNS: &[(&str, &str)] = &[
    ("name", "name"),
    ("width", "width"),
    ("height", "height"),
    ("gusset", "gusset"),
    ("flap", "flap"),
    ("pocket_depth", "pocket_depth"),
    ("tolerance", "tolerance"),
    ("bottom", "bottom"),
    ("thickness", "caliper"),
    ("caliper", "caliper"),
    ("count", "count"),
    ("pack", "pack"),
    ("pack_count", "pack"),
    ("price", "price"),
    ("unit", "unit"),
];

/// How the rows of a file are read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Columns {
    separator: char,
    /// Which key each column is; nothing for one that is left alone.
    keys: Vec<Option<&'static str>>,
    /// Unit of numbers that have none, where it was said for all rows.
    unit: Option<Unit>,
    /// Headings of the columns that are left alone.
    pub left_alone: Vec<String>,
}

/// Reads the first row; `unit` is that of numbers without one, where the maker said it.
pub fn columns(line: &str, file: u32, unit: Option<Unit>, faults: &Finds) -> Option<Columns> {
    let before = faults.len();
    // A mark that some programs put at the head of a file.
    let bare = line.strip_prefix('\u{feff}').unwrap_or(line);
    let shift = line.len() - bare.len();
    let separator = separator(bare);
    let place = |range: &Range<usize>| Place::new(file, shift + range.start, shift + range.end);
    let cells = split(bare, separator, file, faults)?;
    let mut keys: Vec<Option<&'static str>> = Vec::new();
    let mut left_alone = Vec::new();
    let mut seen: Vec<(&str, Place)> = Vec::new();
    for (text, range) in cells {
        let plain = text.trim().to_lowercase().replace([' ', '-'], "_");
        let known = COLUMNS.iter().find(|(heading, _)| *heading == plain);
        let Some((_, key)) = known else {
            // A slip of the finger in a heading would leave a whole column unread.
            match nearest(&plain, COLUMNS.iter().map(|(heading, _)| *heading)) {
                Some(near) if !plain.is_empty() => {
                    let near = COLUMNS
                        .iter()
                        .find(|(h, _)| *h == near)
                        .map_or("", |(h, _)| h);
                    let (place, written) = (place(&range), text);
                    faults.tell(place, RowError::NearColumn { written, near });
                }
                _ => left_alone.push(text.trim().to_owned()),
            }
            keys.push(None);
            continue;
        };
        if let Some((_, first)) = seen.iter().find(|(known, _)| known == key) {
            let (place, first, column) = (place(&range), *first, text);
            faults.tell(place, RowError::ColumnTwice { column, first });
        }
        seen.push((key, place(&range)));
        keys.push(Some(key));
    }
    for column in ["width", "height"] {
        if faults.len() == before && !keys.contains(&Some(column)) {
            let place = Place::new(file, shift, line.len());
            faults.tell(place, RowError::NoColumn { column });
        }
    }
    left_alone.retain(|heading| !heading.is_empty());
    (faults.len() == before).then_some(Columns {
        separator,
        keys,
        unit,
        left_alone,
    })
}

/// Reads a row.
///
/// # Errors
/// Everything that is wrong with it; places are in `file`, whose text is this line alone.
pub fn row(columns: &Columns, line: &str, file: u32) -> Result<Bag, Faults> {
    let faults = Finds::default();
    let bag = cells(columns, line, file, &faults);
    faults.or(bag)
}

fn cells(columns: &Columns, line: &str, file: u32, faults: &Finds) -> Option<Bag> {
    let place = Place::new(file, 0, line.len());
    if line.len() > LONGEST_ROW {
        faults.tell(Place::new(file, 0, 0), RowError::TooLong);
        return None;
    }
    let cells = split(line, columns.separator, file, faults)?;
    let many = columns.keys.len();
    if let Some((_, first)) = cells.get(many) {
        // Empty values at the end are what some programs add.
        if cells[many..]
            .iter()
            .any(|(text, _)| !text.trim().is_empty())
        {
            let (place, cells) = (Place::new(file, first.start, line.len()), cells.len());
            faults.tell(
                place,
                RowError::TooMany {
                    cells,
                    columns: many,
                },
            );
            return None;
        }
    }
    let said: Vec<(&'static str, Said<String>)> = columns
        .keys
        .iter()
        .zip(cells)
        .filter_map(|(key, (text, range))| {
            let key = (*key)?;
            let lead = text.len() - text.trim_start().len();
            let trimmed = text.trim().to_owned();
            let place = match range.len() == text.len() {
                true => Place::new(file, range.start + lead, range.start + lead + trimmed.len()),
                false => Place::new(file, range.start, range.end),
            };
            (!trimmed.is_empty()).then_some((
                key,
                Said {
                    value: trimmed,
                    place,
                },
            ))
        })
        .collect();
    let unit = match said.iter().find(|(key, _)| *key == "unit") {
        None => columns.unit,
        Some((_, text)) => match unit_of(&text.value) {
            Some(unit) => Some(unit),
            None => {
                let (place, written) = (text.place, text.value.clone());
                faults.tell(place, RowError::Unit { written });
                return None;
            }
        },
    };
    let entries: Vec<Entry> = said
        .iter()
        .filter(|(key, _)| *key != "unit")
        .filter_map(|(key, text)| entry(key, text, unit, faults))
        .collect();
    let table = Table::open(&entries, place, &ROW, faults);
    bag(&table, &said)
}

/// One value as a table holds it.
fn entry(
    key: &'static str,
    text: &Said<String>,
    unit: Option<Unit>,
    faults: &Finds,
) -> Option<Entry> {
    let place = text.place;
    let node = match key {
        "name" | "bottom" | "price" => Node::Text(text.value.clone()),
        "pack" | "count" => {
            let least = i64::from(key == "pack");
            let count = text.value.parse::<i64>().ok();
            let Some(count) = count.filter(|count| (least..=MANY).contains(count)) else {
                let written = text.value.clone();
                faults.tell(place, RowError::Count { written });
                return None;
            };
            Node::Whole {
                written: text.value.clone(),
                value: Some(count),
            }
        }
        _ => match (written_unit(&text.value), unit) {
            (None, Some(unit)) => Node::Text(format!("{} {}", text.value, unit.name())),
            (None, None) if text.value.starts_with(|c: char| c.is_ascii_digit()) => {
                let (key, written) = (key.to_owned(), text.value.clone());
                faults.tell(place, RowError::BareNumber { key, written });
                return None;
            }
            _ => Node::Text(text.value.clone()),
        },
    };
    let key = Said {
        value: key.to_owned(),
        place,
    };
    Some(Entry {
        key,
        item: Item { place, node },
    })
}

fn bag(table: &Table<'_>, said: &[(&'static str, Said<String>)]) -> Option<Bag> {
    for (column, example) in [("width", "5 1/8 in"), ("height", "10 5/8 in")] {
        if !said.iter().any(|(key, _)| *key == column) {
            let place = table.place;
            table.tell(place, RowError::Nothing { column, example });
        }
    }
    let width = table.length("width", BAGS);
    let height = table.length("height", BAGS);
    let name = match table.name("name") {
        Some(name) => Some(name.value),
        None if table.get("name").is_some() => None,
        None => Some(measures(said)),
    };
    let flap = table.length("flap", BAGS);
    let depth = table.length("pocket_depth", BAGS);
    let tolerance = table.length("tolerance", TOLERANCES);
    let flat = whole("the bag's height", &height);
    within("flap", &flap, flat, table.faults);
    let pocket = whole("the flap", &flap);
    within("pocket_depth", &depth, pocket, table.faults);
    let mut bag = bag_of(table, name, width, height)?;
    bag.pocket = flap.map(|flap| Pocket {
        edge: flap.value,
        depth: depth.map(|depth| depth.value),
        why: None,
        place: flap.place,
    });
    if let Some(tolerance) = tolerance {
        loosen(&mut bag, &tolerance, table.faults);
    }
    Some(bag)
}

/// What a tolerance may be.
const TOLERANCES: crate::text::Limits = crate::text::Limits::up_to_mm(100).or_nothing();

/// Every measure of a side that is exact may be so much less or more. A thickness is not meant: a
/// layer of bag is thinner than any tolerance of its sides.
fn loosen(bag: &mut Bag, tolerance: &Said<Interval>, faults: &Finds) {
    let play = tolerance.value.most();
    let mut measures = vec![("width", &mut bag.width), ("height", &mut bag.height)];
    measures.extend(bag.gusset.iter_mut().map(|gusset| ("gusset", gusset)));
    if let Some(pocket) = &mut bag.pocket {
        measures.push(("flap", &mut pocket.edge));
        measures.extend(pocket.depth.iter_mut().map(|depth| ("pocket_depth", depth)));
    }
    for (key, measure) in measures {
        if !measure.is_exact() {
            continue;
        }
        match Interval::plus_minus(measure.least(), play) {
            Some(loose) if loose.least() > crate::length::Length::ZERO => *measure = loose,
            _ => {
                let (place, key) = (tolerance.place, key.to_owned());
                faults.tell(place, TextError::Zero { key });
            }
        }
    }
}

/// A bag without a name goes by its measures.
fn measures(said: &[(&'static str, Said<String>)]) -> String {
    let sides = ["width", "gusset", "height"].iter().filter_map(|wanted| {
        let side = said.iter().find(|(key, _)| key == wanted);
        side.map(|(_, text)| text.value.clone())
    });
    sides.collect::<Vec<_>>().join(" x ")
}

/// A unit by its name.
pub fn unit_of(text: &str) -> Option<Unit> {
    // `1 in` says more than `in`: only a unit may stand here.
    match text.trim() {
        text if text.starts_with(|c: char| c.is_ascii_digit()) => None,
        text => written_unit(&format!("1 {text}")),
    }
}

/// The values of a row with where they stand.
fn split(
    line: &str,
    separator: char,
    file: u32,
    faults: &Finds,
) -> Option<Vec<(String, Range<usize>)>> {
    let split = split_cells(line, separator).map_err(|quote| {
        let place = Place::new(file, quote.start, quote.end);
        faults.tell(place, RowError::Quote);
    });
    split.ok()
}

/// What is said of the columns that are left alone; `None` if there are none.
pub fn left_alone(columns: &Columns) -> Option<String> {
    let (what, is, it) = match &columns.left_alone[..] {
        [] => return None,
        [_] => ("column", "is", "it is"),
        _ => ("columns", "are", "one of them is"),
    };
    let read = format!("{what} {} {is} not read", listed(&columns.left_alone));
    // What a bag would be taken for without it.
    Some(match columns.keys.contains(&Some("gusset")) {
        true => format!("{read}."),
        false => {
            format!("{read}. Without `gusset` the bags count as flat; if {it} that, call it so.")
        }
    })
}
