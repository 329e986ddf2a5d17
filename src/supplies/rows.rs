//! Bags as rows of a table: a text file of values with commas (or semicolons, or tabs) between them.
//!
//! The first row names the columns, in any order: `width` and `height` must be there; `name`,
//! `gusset`, `flap` (height of the pocket's edge), `pocket_depth`, `tolerance` (± of these five, where
//! they have none of their own), `bottom`, `thickness`, `pack`, `price` and `unit` may be. Other
//! columns are left alone. A value may stand in double quotes, a quote in it doubled. Lines that are
//! empty or begin with `#` say nothing. Rows are read one at a time, so that a long file needs no
//! room; what is wrong with one row says nothing of the others.

use super::shapes::{MANY, ROW};
use super::text::{BAGS, bag_of, whole, within};
use super::{Bag, Pocket};
use crate::length::{Interval, Unit, written_unit};
use crate::text::{
    Entry, Faults, Finds, Item, Node, Place, Said, Table, Wrong, listed, nearest, separator,
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
                    let help = format!("did you mean `{near}`?");
                    faults.tell(place(&range), no_column(&text, &help));
                }
                _ => left_alone.push(text.trim().to_owned()),
            }
            keys.push(None);
            continue;
        };
        if let Some((_, first)) = seen.iter().find(|(known, _)| known == key) {
            let what = format!("two columns are headed `{text}`");
            let wrong = Wrong::new(what, "delete one of them");
            let wrong = wrong.also(*first, format!("the first `{text}` stands"));
            faults.tell(place(&range), wrong);
        }
        seen.push((key, place(&range)));
        keys.push(Some(key));
    }
    for column in ["width", "height"] {
        if faults.len() == before && !keys.contains(&Some(column)) {
            let place = Place::new(file, shift, line.len());
            let help = "head the columns in the first row: `name,width,gusset,height,pack,price`";
            faults.tell(place, no_column(column, help));
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

fn no_column(column: &str, help: &str) -> Wrong {
    Wrong::new(format!("there is no column `{column}`"), help)
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
        let what = format!("the row is longer than {LONGEST_ROW} bytes");
        let wrong = Wrong::new(what, "begin a new line for every bag");
        faults.tell(Place::new(file, 0, 0), wrong);
        return None;
    }
    let cells = split(line, columns.separator, file, faults)?;
    let many = columns.keys.len();
    if let Some((_, first)) = cells.get(many) {
        // Empty values at the end are what some programs add.
        let mut more = cells[many..].iter();
        if more.any(|(text, _)| !text.trim().is_empty()) {
            let (place, cells) = (Place::new(file, first.start, line.len()), cells.len());
            let what = format!("the row has {cells} values; there are {many} columns");
            let help = "type double quotes around a value with a comma in it: `\"bag, brown\"`";
            faults.tell(place, Wrong::new(what, help));
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
            let value = trimmed;
            (!value.is_empty()).then_some((key, Said { value, place }))
        })
        .collect();
    let unit = match said.iter().find(|(key, _)| *key == "unit") {
        None => columns.unit,
        Some((_, text)) => Some(unit_of(text, faults)?),
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
                let what = format!("`{}` is not a count", text.value);
                let help = format!("type a whole number from 1 to {MANY}");
                faults.tell(place, Wrong::new(what, help));
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
                faults.tell(place, bare_number(key, &text.value));
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

fn bare_number(key: &str, written: &str) -> Wrong {
    // Nobody measures millimetres in fractions.
    let or = match written.contains('/') {
        true => String::new(),
        false => format!(" or `{written} mm`"),
    };
    let help = format!("type `{written} in`{or}; `--unit in` stands for the whole table");
    Wrong::new(format!("`{key}` has no unit"), help)
}

fn bag(table: &Table<'_>, said: &[(&'static str, Said<String>)]) -> Option<Bag> {
    for (column, example) in [("width", "5 1/8 in"), ("height", "10 5/8 in")] {
        if !said.iter().any(|(key, _)| *key == column) {
            let help = format!("type a length with its unit, such as `{example}`");
            let wrong = Wrong::new(format!("the row has no `{column}`"), help);
            table.tell(table.place, wrong);
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
            _ => faults.tell(tolerance.place, Wrong::zero(key)),
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

/// A unit by its name; what is none is told.
pub fn unit_of(said: &Said<String>, faults: &Finds) -> Option<Unit> {
    let text = said.value.trim();
    // `1 in` says more than `in`: only a unit may stand here.
    let more = text.starts_with(|c: char| c.is_ascii_digit());
    let unit = written_unit(&format!("1 {text}")).filter(|_| !more);
    if unit.is_none() {
        let what = format!("`{}` is not a unit", said.value);
        faults.tell(said.place, Wrong::new(what, "type `in`, `mm` or `cm`"));
    }
    unit
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
        let help = "type `\"` behind the value too, like `\"bag, brown\"`; type inches as `in`";
        faults.tell(place, Wrong::new("the closing quote is missing", help));
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
