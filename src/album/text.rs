//! An album as a maker writes it.
//!
//! Nothing here opens a file: what an album names is fetched by the caller, so that there is one
//! place where files are read.

use super::leaf::{in_text, names_once};
use super::shapes::{ACCEPT, ALBUM, LEAF, PRICE, TEMPLATE};
use super::{Accept, Album, AlbumError, StyleName, Template, Value, leaf, photos, price};
use crate::length::{Interval, Length, Ruler, Unit, parse_ratio, written_unit};
use crate::supplies::patterns::{PATTERNS, Pattern};
use crate::supplies::shelf::Shelf;
use crate::supplies::text::HOLES;
use crate::supplies::{self, Kind, Punch};
use crate::text::{
    self, Fault, Faults, Files, Finds, Item, Kind as Wanted, Limits, Node, Place, Said, Table,
    TextError, legible, length_of, wrong,
};

/// Fetches a file of supplies by its path as the album says it, or tells why not.
pub type Load<'l> = dyn FnMut(&str) -> Result<Vec<u8>, String> + 'l;

/// Reads an album that was taken up into `files`, and the supplies that it names.
///
/// # Errors
///
/// Everything that is wrong in any of the files.
pub fn read(files: &mut Files, album: u32, load: &mut Load<'_>) -> Result<Album, Faults> {
    let (album, faults) = read_with_gaps(files, album, load);
    faults.or(album)
}

/// What can be read of an album, and all that is wrong with it. If anything is, what was not understood is
/// missing, and the album is good for looking at names alone.
pub fn read_with_gaps(
    files: &mut Files,
    album: u32,
    load: &mut Load<'_>,
) -> (Option<Album>, Finds) {
    let faults = Finds::default();
    let album = read_parts(files, album, load, &faults);
    (album, faults)
}

fn read_parts(files: &mut Files, file: u32, load: &mut Load<'_>, faults: &Finds) -> Option<Album> {
    let mut entries = text::read(files, file, &ALBUM, faults)?;
    let place = Place::new(file, 0, 0);
    if entries.is_empty() {
        let example = "album = \"Low water\"";
        faults.tell(place, TextError::Nothing { example });
        return None;
    }
    entries.retain(|entry| match (&*entry.key.value, &entry.item.node) {
        ("ring", Node::Text(name)) => {
            let (place, name) = (entry.item.place, name.clone());
            faults.tell(place, AlbumError::RingAtTop { name });
            false
        }
        _ => true,
    });
    let root = Table::open(&entries, place, &ALBUM, faults);
    let title = root.name("album");
    let style = style(&root);
    let ruler = ruler(&root);
    let shelf = shelf(&root, files, load);
    let prefer = root.texts("prefer");
    let table = root.table("template", &TEMPLATE);
    let template = table.map(|table| template(&table, &shelf));
    let ring = table.and_then(|table| {
        let name = table.name("ring")?;
        Some(name.with(shelf.find(Kind::Ring, &name, faults)?))
    });
    let set = root
        .pairs("set")
        .into_iter()
        .filter_map(|(key, item)| Some((key.clone(), value(&key.value, item, faults)?)))
        .collect();
    let accepted = root.tables("accept", &ACCEPT);
    let accepted = accepted.iter().filter_map(|table| accept(table));
    let accepted = accepted.collect();
    let own = leaf::own(&root, &shelf);
    let photos = photos::photos(&root);
    let table = root.table("price", &PRICE);
    let price = table.map(|table| price::price(&table));
    let minutes = price::minutes(&root);
    let tables = root.tables_with_own("leaf", &LEAF);
    let (names, leaves): (Vec<_>, Vec<_>) =
        tables.iter().map(|table| leaf::leaf(table, &shelf)).unzip();
    names_once("leaves", names.iter().flatten(), faults);
    leaf::not_one_of_several(&names, &leaves, faults);
    Some(Album {
        title: title?.value,
        style,
        ruler: ruler?,
        prefer,
        template: template.unwrap_or_default(),
        ring,
        set,
        accepted,
        leaves: leaves.into_iter().flatten().collect(),
        own,
        photos,
        price: price.unwrap_or_default(),
        minutes,
        supplies: shelf.supplies,
    })
}

/// The style that an album names, or the usual one.
fn style(root: &Table<'_>) -> Said<StyleName> {
    match root.name("style") {
        Some(said) => said.with(StyleName::written(&said.value)),
        None => Said {
            value: StyleName::usual(),
            place: root.place,
        },
    }
}

fn ruler(root: &Table<'_>) -> Option<Ruler> {
    let said = root.text("ruler")?;
    in_text(&said, Ruler::parse(&said.value), root.faults)
}

/// The supplies of the files that an album names, and of the album itself.
fn shelf(root: &Table<'_>, files: &mut Files, load: &mut Load<'_>) -> Shelf {
    let mut shelf = Shelf::default();
    let mut before: Vec<Said<String>> = Vec::new();
    for path in root.texts("supplies") {
        if let Some(first) = before.iter().find(|known| known.value == path.value) {
            let first = first.place;
            let (place, path) = (path.place, path.value);
            root.tell(place, AlbumError::FileTwice { path, first });
            continue;
        }
        before.push(path.clone());
        let bytes = match load(&path.value) {
            Ok(bytes) => bytes,
            Err(reason) => {
                shelf.gaps = true;
                let (place, path) = (path.place, path.value);
                root.tell(place, AlbumError::NoFile { path, reason });
                continue;
            }
        };
        match text::decode(files, path.value, bytes) {
            Ok(file) => supplies::text::read(files, file, &mut shelf, root.faults),
            Err(fault) => {
                shelf.gaps = true;
                root.faults.add(fault);
            }
        }
    }
    // A list that is no list of texts names files that were not read.
    let list = root.get("supplies");
    let touches = |fault: &dyn Fault| list.is_some_and(|it| it.place.touches(fault.place()));
    shelf.gaps |= root.faults.any(touches);
    supplies::text::read_tables(root, &mut shelf);
    shelf.settle(root.faults);
    shelf
}

/// A length or a ratio.
fn value(key: &str, item: &Item, faults: &Finds) -> Option<Said<Value>> {
    let example = "\"3/4 in\"";
    if !matches!(item.node, Node::Text(_)) {
        let example = format!("{key} = {example}");
        wrong(key, item, Wanted::LengthOrRatio, example, faults);
        return None;
    }
    let said = legible(key, item, faults)?;
    // A ratio has no letters, and an inch mark is no part of one.
    let unit = |sign: char| sign.is_alphabetic() || matches!(sign, '"' | '″' | '”');
    if said.value.contains(unit) {
        let limits = Limits::up_to_mm(3_000).or_nothing();
        let length = length_of(key, item, example, limits, faults)?;
        Some(said.with(Value::Length(length.value)))
    } else {
        let ratio = in_text(&said, parse_ratio(&said.value), faults)?;
        Some(said.with(Value::Ratio(*ratio.numer(), *ratio.denom())))
    }
}

fn accept(table: &Table<'_>) -> Option<Accept> {
    let of = table.name("of");
    let why = table.text("why").map(|said| said.value);
    let by = table.length("by", Limits::up_to_mm(3_000));
    let rule = table.name("rule")?;
    Some(Accept {
        place: table.place,
        rule,
        of,
        // Of what is only known between two ends the less.
        by: by?.value.least(),
        why,
    })
}

/// Tells that a template is not what its punch makes.
fn as_punched(
    table: &Table<'_>,
    (punch, key): (&Punch, &'static str),
    both: Option<(Interval, Interval)>,
) {
    let apart =
        both.filter(|(said, makes)| said.most() < makes.least() || makes.most() < said.least());
    let Some(((_, makes), item)) = apart.zip(table.get(key)) else {
        return;
    };
    let unit = match &item.node {
        Node::Text(text) => written_unit(text).unwrap_or(Unit::Millimetre),
        _ => Unit::Millimetre,
    };
    let step = match unit {
        Unit::Inch => Length::from_nm(Length::INCH.nm() / 64),
        _ => Length::from_nm(Length::MM.nm() / 10),
    };
    let clash = AlbumError::PunchClash {
        key,
        punch: punch.name.clone(),
        makes: Ruler::new(step, unit).map_or(String::new(), |ruler| ruler.show_interval(makes)),
        said_at: punch.place,
    };
    table.tell(item.place, clash);
}

fn template(table: &Table<'_>, shelf: &Shelf) -> Template {
    let punch = table.name("punch");
    let mut template = Template {
        place: table.place,
        holes: table.count("holes", 1, 100),
        diameter: table.measure("diameter", HOLES),
        edge: table.measure("edge", HOLES),
        first: table.measure("first", HOLES),
        pitch: table.measure("pitch", HOLES),
        eyelet: table.measure("eyelet", HOLES),
        punch: punch.and_then(|name| shelf.find(Kind::Punch, &name, table.faults)),
        ..Template::default()
    };
    let punch = (template.punch).and_then(|punch| shelf.supplies.punches.get(punch));
    if let Some(punch) = punch {
        for (key, said, makes) in [
            ("diameter", template.diameter, punch.diameter),
            ("edge", template.edge, punch.edge),
            ("pitch", template.pitch, punch.pitch),
        ] {
            as_punched(table, (punch, key), said.zip(makes));
        }
    }
    if let Some(name) = table.name("pattern") {
        match Pattern::named(&name.value) {
            Some(pattern) => {
                fix(&mut template, table, pattern, name.place);
                template.pattern = Some(name.with(pattern.name.to_owned()));
            }
            None => table.tell(
                name.place,
                TextError::NoChoice {
                    key: "pattern".to_owned(),
                    written: name.value,
                    options: PATTERNS.iter().map(|pattern| pattern.name).collect(),
                },
            ),
        }
    }
    template
}

/// Fixes what a pattern says. What the maker says beside it must be the same.
fn fix(template: &mut Template, table: &Table<'_>, pattern: &'static Pattern, said_at: Place) {
    let clash = |key: &'static str, fixes: Option<String>| {
        if let Some(item) = table.get(key) {
            table.tell(
                item.place,
                AlbumError::PatternClash {
                    key,
                    pattern: pattern.name,
                    said_at,
                    fixes,
                },
            );
        }
    };
    let holes = pattern.holes();
    if template.holes.is_some_and(|said| said != holes) {
        clash("holes", Some(format!("`holes = {holes}`")));
    }
    template.holes = Some(holes);
    for (key, said, fixed) in [
        ("diameter", &mut template.diameter, pattern.diameter),
        ("edge", &mut template.edge, pattern.edge),
        ("pitch", &mut template.pitch, pattern.pitch()),
    ] {
        let Some(fixed) = fixed else { continue };
        let same = said.is_none_or(|said| said == Interval::exact(fixed));
        if !same {
            clash(key, Some(format!("`{key} = \"{fixed}\"`")));
        }
        *said = Some(Interval::exact(fixed));
    }
    if pattern.pitch().is_none() {
        clash("pitch", None);
        template.offsets = Some(pattern.offsets.to_vec());
    }
}

#[cfg(test)]
#[path = "text_tests.rs"]
mod tests;
