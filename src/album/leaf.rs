//! Leaves and what is tucked into them, as a maker writes them.

use std::collections::HashMap;

use super::shapes::{INSERT, PHOTO};
use super::{AlbumError, Grip, Insert, Leaf, Own, PartPaper, Photo, WayUp};
use crate::length::{Interval, LengthError, parse_ratio};
use crate::supplies::Kind;
use crate::supplies::shelf::{RESERVED, Shelf};
use crate::supplies::text::CALIPERS;
use crate::text::{
    Finds, Kind as Wanted, Limits, Node, Place, Said, Table, TextError, length_of, names_of,
};

/// Sizes of what is cut, and of a bag.
const SIZES: Limits = Limits::up_to_mm(3_000);

/// Words that mean something else in a rule, so no insert is named so.
const WORDS: &[&str] = &[
    "album", "bag", "card", "hole", "holes", "insert", "inserts", "leaf", "leaves", "paper",
    "photo", "print", "punch", "ring", "ruler", "set", "sheet", "slot", "stack", "style",
    "template",
];

/// Reads a leaf, and its name even where the rest is broken.
pub(super) fn leaf(table: &Table<'_>, shelf: &Shelf) -> (Option<Said<String>>, Option<Leaf>) {
    let name = table.name("name");
    let bag_name = table.name("bag");
    let bag = bag_name
        .as_ref()
        .and_then(|name| shelf.find(Kind::Bag, name, table.faults));
    let count = table.count("count", 1, 1_000).unwrap_or(1);
    let turned = table.flag("turned").unwrap_or(false);
    let (parts, named) = parts(table, shelf);
    let papers = |paper: &PartPaper| match paper {
        PartPaper::Papers(papers) => papers.len(),
        PartPaper::None | PartPaper::Any => 0,
    };
    let several = parts.iter().map(|(part, paper)| (part, papers(paper)));
    let several: Vec<_> = several.filter(|(_, papers)| *papers > 1).collect();
    let spread = spread(table, several.iter().map(|(_, n)| *n).min(), count);
    let most_alike = several
        .into_iter()
        .filter_map(|(part, papers)| Some((part.clone(), spread?.most(count, papers))))
        .collect();
    let tables = table.tables("insert", &INSERT);
    let (names, inserts): (Vec<_>, Vec<_>) = tables
        .iter()
        .map(|table| insert(table, (&parts, count), shelf))
        .unzip();
    names_once("inserts of one leaf", names.iter().flatten(), table.faults);
    let inserts: Vec<Insert> = inserts.into_iter().flatten().collect();
    let alike = alike(table, (&parts, &inserts));
    let apart = table.count("apart", 0, 1_000).unwrap_or(0);
    let mut before = HashMap::new();
    for insert in &inserts {
        let sizes = [("width", &insert.width), ("height", &insert.height)];
        for (side, said) in sizes {
            if let Some(said) = said {
                before.insert(format!("{}.{side}", insert.name), said.place);
            }
        }
    }
    let given = sizes(table, "given", before);
    let measured = sizes(table, "measured", HashMap::new());
    let leaf = name.as_ref().map(|name| Leaf {
        name: name.value.clone(),
        place: table.place,
        // Without its bag something is wrong, and nothing is asked of the supplies.
        bag: bag.unwrap_or_default(),
        count,
        exchanged: false,
        turned,
        parts,
        named,
        most_alike,
        inserts,
        alike,
        apart,
        given,
        measured,
    });
    (name, leaf)
}

/// Groups of pieces that match, each of names that the leaf gives a paper.
fn alike(
    table: &Table<'_>,
    (parts, inserts): (&[(String, PartPaper)], &[Insert]),
) -> Vec<Vec<String>> {
    let mut all = Vec::new();
    let mut seen: Vec<Said<String>> = Vec::new();
    for group in table.list("match", Wanted::List) {
        let names = names_of("match", group, "[[\"label\", \"tag\"]]", table.faults);
        for said in &names {
            let known = parts.iter().any(|(name, _)| *name == said.value)
                || inserts.iter().any(|insert| insert.name == said.value);
            if !known {
                let (place, name) = (said.place, said.value.clone());
                table.tell(place, AlbumError::NoPiece { name });
            }
        }
        seen.extend(names.iter().cloned());
        all.push(names.into_iter().map(|said| said.value).collect());
    }
    names_once("pieces that match", seen.iter(), table.faults);
    all
}

/// What an album says of the parts of its own.
pub(super) fn own(root: &Table<'_>, shelf: &Shelf) -> Own {
    let (parts, named) = parts(root, shelf);
    Own {
        parts,
        named,
        given: sizes(root, "given", HashMap::new()),
        measured: sizes(root, "measured", HashMap::new()),
    }
}

/// The papers of a leaf's parts, or of the album's, and those that the style has to know.
fn parts(table: &Table<'_>, shelf: &Shelf) -> (Vec<(String, PartPaper)>, Vec<Said<String>>) {
    let mut parts = Vec::new();
    let mut named = Vec::new();
    let mut before = HashMap::new();
    let own = table.own();
    let own = own.map(|(part, item)| (item.place, part.clone(), item));
    let papers = table.pairs("papers").into_iter();
    let papers = papers.map(|(part, item)| (part.place, part, item));
    for (at, part, item) in own.chain(papers) {
        let place = part.place;
        let name = part.value;
        if let Some(first) = before.insert(name.clone(), place) {
            let what = "pieces of one leaf";
            table.tell(place, AlbumError::NameTwice { what, name, first });
        } else if !is_name(&name) {
            let what = "a part";
            table.tell(place, AlbumError::BadName { what, name });
        } else {
            let said = names_of(&name, item, "\"wave print\"", table.faults);
            let paper = part_paper(&said, shelf, table.faults);
            if paper.is_some() {
                let value = name.clone();
                named.push(Said { value, place: at });
            }
            parts.extend(paper.map(|paper| (name, paper)));
        }
    }
    (parts, named)
}

/// `"none"`, `"any"`, or one paper or several.
fn part_paper(said: &[Said<String>], shelf: &Shelf, faults: &Finds) -> Option<PartPaper> {
    match said {
        [one] => match one.value.as_str() {
            "none" => Some(PartPaper::None),
            "any" => Some(PartPaper::Any),
            _ => shelf
                .find_or(Kind::Paper, one, RESERVED, faults)
                .map(|paper| PartPaper::Papers(vec![paper])),
        },
        several => {
            let papers = papers(several, shelf, faults);
            (!papers.is_empty()).then_some(PartPaper::Papers(papers))
        }
    }
}

/// Papers by their names, each once.
fn papers(said: &[Said<String>], shelf: &Shelf, faults: &Finds) -> Vec<usize> {
    names_once("papers of one piece", said.iter(), faults);
    let found = said
        .iter()
        .filter_map(|name| shelf.find(Kind::Paper, name, faults));
    found.collect()
}

/// How pieces are spread over several papers.
#[derive(Clone, Copy, Debug)]
enum Spread {
    Evenly,
    NoMoreThan(i64),
}

impl Spread {
    /// The most pieces alike from one of this number of papers.
    fn most(self, pieces: i64, papers: usize) -> i64 {
        match self {
            Spread::NoMoreThan(most) => most,
            Spread::Evenly => evenly(pieces, papers),
        }
    }
}

/// The least number that is enough from each of this number of papers.
fn evenly(pieces: i64, papers: usize) -> i64 {
    let papers = i64::try_from(papers).unwrap_or(i64::MAX).max(1);
    pieces / papers + i64::from(pieces % papers != 0)
}

/// Whether and how pieces are spread; `papers` is the least number of papers that one of them has,
/// if any has several.
fn spread(table: &Table<'_>, papers: Option<usize>, pieces: i64) -> Option<Spread> {
    let item = table.get("spread")?;
    let place = item.place;
    let spread = match item.node {
        Node::Flag(false) => return None,
        Node::Flag(true) => Spread::Evenly,
        Node::Whole { .. } => Spread::NoMoreThan(table.count("spread", 1, 1_000_000)?),
        _ => {
            table.wrong("spread", item, Wanted::FlagOrWhole);
            return None;
        }
    };
    let Some(papers) = papers else {
        table.tell(place, AlbumError::SpreadOverOne);
        return None;
    };
    let needed = evenly(pieces, papers);
    if spread.most(pieces, papers) < needed {
        table.tell(
            place,
            AlbumError::SpreadTooThin {
                papers,
                pieces,
                needed,
            },
        );
    }
    Some(spread)
}

/// Sizes by their names. `before` are those that were given in another way.
fn sizes(
    table: &Table<'_>,
    key: &str,
    mut before: HashMap<String, Place>,
) -> Vec<(Said<String>, Interval)> {
    let mut sizes = Vec::new();
    for (name, item) in table.pairs(key) {
        let place = name.place;
        let length = length_of(&name.value, item, "\"4 3/8 in\"", SIZES, table.faults);
        let parts: Vec<&str> = name.value.split('.').collect();
        if parts.len() < 2 || !parts.iter().all(|part| is_name(part)) {
            let name = name.value;
            table.tell(place, AlbumError::BadSizeName { name });
            continue;
        }
        if let Some(first) = before.get(&name.value) {
            let (name, first) = (name.value, *first);
            table.tell(place, AlbumError::SizeTwice { name, first });
            continue;
        }
        before.insert(name.value.clone(), place);
        sizes.extend(length.map(|length| (name, length.value)));
    }
    sizes
}

/// Small letters, digits and `_`, a letter first: what can stand in a rule.
fn is_name(text: &str) -> bool {
    text.starts_with(|c: char| c.is_ascii_lowercase())
        && text
            .chars()
            .all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_')
}

fn insert(
    table: &Table<'_>,
    (parts, leaves): (&[(String, PartPaper)], i64),
    shelf: &Shelf,
) -> (Option<Said<String>>, Option<Insert>) {
    let name = table.name("name");
    if let Some(said) = &name {
        let (place, name) = (said.place, said.value.clone());
        if !is_name(&name) {
            let what = "an insert";
            table.tell(place, AlbumError::BadName { what, name });
        } else if WORDS.contains(&name.as_str()) || parts.iter().any(|(part, _)| *part == name) {
            table.tell(place, AlbumError::Reserved { name });
        }
    }
    let goes = table.name("place");
    let section = table.name("section");
    let why = "the size would stand there twice";
    table.never_both("width", "size", why);
    table.never_both("height", "size", why);
    for key in ["size", "width", "height"] {
        table.never_both(key, "card", "the card has a size");
    }
    let (mut width, mut height) = (table.length("width", SIZES), table.length("height", SIZES));
    if let Some((wide, high)) = table.size("size", SIZES) {
        (width, height) = (Some(wide), Some(high));
    }
    let show = table.length("show", SIZES.or_nothing());
    let grip = table.choice("grip", &Grip::WORDS);
    let papers = papers(&table.names("paper"), shelf, table.faults);
    let card = table.name("card");
    let card = card.and_then(|name| shelf.find(Kind::Card, &name, table.faults));
    let caliper = table.length("caliper", CALIPERS);
    let count = table.count("count", 1, 1_000).unwrap_or(1);
    let pieces = count.saturating_mul(leaves);
    let several = Some(papers.len()).filter(|n| *n > 1);
    let most_alike =
        spread(table, several, pieces).and_then(|spread| Some(spread.most(pieces, several?)));
    let photo = photo(table, shelf);
    let insert = name.as_ref().zip(goes).map(|(name, goes)| Insert {
        name: name.value.clone(),
        named_at: name.place,
        place: table.place,
        goes,
        section,
        width,
        height,
        show,
        grip: grip.map_or_else(Grip::default, |grip| grip.value),
        papers,
        most_alike,
        card,
        caliper: caliper.map(|caliper| caliper.value),
        count,
        photo,
    });
    (name, insert)
}

/// A photo: `true`, or a table that says its shape and its prints.
fn photo(table: &Table<'_>, shelf: &Shelf) -> Option<Photo> {
    let item = table.get("photo")?;
    let prints = 0..shelf.supplies.prints.len();
    let mut photo = Photo {
        place: item.place,
        prints: prints.collect(),
        shape: None,
        lies: None,
    };
    match &item.node {
        Node::Flag(true) => Some(photo),
        Node::Flag(false) => None,
        Node::Table(entries) => {
            let table = Table::open(entries, item.place, &PHOTO, table.faults);
            photo.shape = shape(&table);
            let lies = table.choice("lies", &WayUp::WORDS);
            photo.lies = lies.map(|said| said.value);
            let names = table.names("print");
            let said = table.get("print").map(|item| &item.node);
            if let Some(Node::Text(_) | Node::List(_)) = said {
                let known = |name| shelf.find(Kind::Print, name, table.faults);
                photo.prints = names.iter().filter_map(known).collect();
            }
            Some(photo)
        }
        _ => {
            table.wrong("photo", item, Wanted::FlagOrTable);
            None
        }
    }
}

fn shape(table: &Table<'_>) -> Option<(i64, i64)> {
    let said = table.text("shape")?;
    let ratio = in_text(&said, parse_ratio(&said.value), table.faults)?;
    if *ratio.numer() == 0 || !said.value.contains(':') {
        let (place, written) = (said.place, said.value);
        table.tell(place, AlbumError::Shape { written });
        return None;
    }
    Some((*ratio.numer(), *ratio.denom()))
}

/// Tells which names are said twice.
pub(super) fn names_once<'n>(
    what: &'static str,
    names: impl Iterator<Item = &'n Said<String>>,
    faults: &Finds,
) {
    let mut before: HashMap<&str, Place> = HashMap::new();
    for name in names {
        match before.get(&*name.value) {
            Some(first) => faults.tell(
                name.place,
                AlbumError::NameTwice {
                    what,
                    name: name.value.clone(),
                    first: *first,
                },
            ),
            None => {
                before.insert(&name.value, name.place);
            }
        }
    }
}

/// Of two leaves alike the second is called `shore 2`: no other leaf may be.
pub(super) fn not_one_of_several(
    names: &[Option<Said<String>>],
    leaves: &[Option<Leaf>],
    faults: &Finds,
) {
    let leaves = leaves.iter().flatten().filter(|leaf| leaf.count > 1);
    let mut several: HashMap<&str, &Leaf> = HashMap::new();
    for leaf in leaves {
        several.entry(&leaf.name).or_insert(leaf);
    }
    for name in names.iter().flatten() {
        let Some((of, number)) = name.value.rsplit_once(' ') else {
            continue;
        };
        let Ok(number) = number.parse::<i64>() else {
            continue;
        };
        let is = |leaf: &&&Leaf| (1..=leaf.count).contains(&number);
        if let Some(leaf) = several.get(of).filter(is) {
            let (name, of, first) = (name.clone(), of.to_owned(), leaf.place);
            let error = AlbumError::OneOfSeveral {
                name: name.value,
                of,
                number,
                first,
            };
            faults.tell(name.place, error);
        }
    }
}

/// What was made of a text, or what is wrong with it and where.
pub(super) fn in_text<T>(
    said: &Said<String>,
    made: Result<T, LengthError>,
    faults: &Finds,
) -> Option<T> {
    made.map_err(|error| {
        let place = said.part(error.range());
        faults.tell(place, TextError::Length { error });
    })
    .ok()
}
