//! Supplies as a maker writes them: `[[bag]]`, `[[paper]]`, `[[offcut]]`, `[[print]]`, `[[card]]`,
//! `[[ring]]`, `[[punch]]` and `[[parcel]]`, in files of their own or in an album.

use std::cell::Cell;
use std::collections::HashMap;
use std::collections::hash_map::Entry;

use super::packs;
use super::parcel::parcel;
use super::shapes::{
    BAG, CARD, DESIGN, FILE, MANY, OFFCUT, PAPER, PARCEL, POCKET, PRINT, PUNCH, RING,
};
use super::weighed::{weighs, weight_fault};
use super::weight::{self, Number};
use super::{
    Bag, Bottom, Card, Design, Kind, Offcut, Paper, Pocket, Punch, Ring, Supplies, SuppliesError,
};
use crate::length::Interval;
use crate::text::{
    self, Faults, Files, Kind as Wanted, Limits, Node, Place, Said, Shape, Table, TextError, found,
    legible, nearest,
};

pub(super) const BAGS: Limits = Limits::up_to_mm(2_000);
const SHEETS: Limits = Limits::up_to_mm(3_000);
/// Thickness of one layer.
pub(crate) const CALIPERS: Limits = Limits::up_to_mm(5);
const STACKS: Limits = Limits::up_to_mm(50);
const RINGS: Limits = Limits::up_to_mm(300);
/// Holes, and what keeps them apart and off the edge.
pub(crate) const HOLES: Limits = Limits::up_to_mm(1_000);

/// Words that stand for a paper, so no paper is named so.
pub(crate) const RESERVED: &[&str] = &["any", "none"];

/// Names that a message lists.
const FEW: usize = 6;
/// Designs that a pad can have.
const MOST_DESIGNS: usize = 200;
/// Unknown names that are compared with the known ones.
const MOST_HINTS: u32 = 100;

/// Supplies while they are being read. Broken ones keep their names, so that what asks for them is
/// not told that they are missing.
#[derive(Debug, Default)]
pub struct Shelf {
    pub supplies: Supplies,
    names: HashMap<(Kind, String), Name>,
    /// How many unknown names were asked for.
    unknown: Cell<u32>,
    /// Offcuts with the names of their papers, which may stand in a file that is read later.
    offcuts: Vec<(Option<Said<String>>, Offcut)>,
    packs: Vec<packs::Unsettled>,
    /// A file of supplies could not be read: what is not found may be in it.
    pub gaps: bool,
}

#[derive(Debug)]
struct Name {
    place: Place,
    index: Option<usize>,
}

impl Shelf {
    /// The place of a named supply in its list.
    pub fn find(&self, kind: Kind, name: &Said<String>, faults: &mut Faults) -> Option<usize> {
        self.find_or(kind, name, &[], faults)
    }

    /// The same where a few words may stand instead of a name, which were not said.
    pub fn find_or(
        &self,
        kind: Kind,
        name: &Said<String>,
        words: &'static [&'static str],
        faults: &mut Faults,
    ) -> Option<usize> {
        if let Some(known) = self.names.get(&(kind, name.value.clone())) {
            return known.index;
        }
        if !self.gaps {
            let mut known: Vec<(Place, &str)> = Vec::new();
            // Comparing every unknown name with every known one takes long where both are many.
            if self.unknown.get() < MOST_HINTS {
                self.unknown.set(self.unknown.get() + 1);
                let same = self.names.iter().filter(|((of, _), _)| *of == kind);
                known.extend(same.map(|((_, name), known)| (known.place, name.as_str())));
            }
            known.sort_unstable();
            let names = known.iter().map(|(_, name)| *name);
            let near = nearest(&name.value, names.clone().chain(words.iter().copied()));
            found(
                faults,
                SuppliesError::Unknown {
                    place: name.place,
                    kind,
                    name: name.value.clone(),
                    near: near.map(str::to_owned),
                    known: names.take(FEW).map(str::to_owned).collect(),
                    more: known.len().saturating_sub(FEW),
                    words,
                },
            );
        }
        None
    }

    /// Looks up what was named before all files were read.
    pub fn settle(&mut self, faults: &mut Faults) {
        for (name, mut offcut) in std::mem::take(&mut self.offcuts) {
            if let Some(name) = name {
                if let Some((pad, design)) = self.supplies.design(&name.value) {
                    (offcut.paper, offcut.design) = (Some(pad), Some(design));
                } else {
                    let paper = self.find(Kind::Paper, &name, faults);
                    if paper.is_none() {
                        continue;
                    }
                    offcut.paper = paper;
                }
            }
            self.supplies.offcuts.push(offcut);
        }
        let packs = std::mem::take(&mut self.packs);
        let known = |kind, name: &str| {
            let known = self.names.get(&(kind, name.to_owned()))?;
            Some(known.index)
        };
        let named = self
            .names
            .keys()
            .filter(|(kind, _)| packs::SOLD.contains(kind));
        let mut names: Vec<&str> = named.map(|(_, name)| name.as_str()).collect();
        names.sort_unstable();
        let names = (!self.gaps).then_some(&names[..]);
        packs::settle(&mut self.supplies, packs, &known, names, faults);
    }

    fn put(
        &mut self,
        kind: Kind,
        said: Option<Said<String>>,
        index: Option<usize>,
        faults: &mut Faults,
    ) {
        let Some(said) = said else { return };
        if kind == Kind::Paper && RESERVED.contains(&said.value.as_str()) {
            found(
                faults,
                SuppliesError::Reserved {
                    place: said.place,
                    name: said.value,
                },
            );
            return;
        }
        match self.names.entry((kind, said.value.clone())) {
            Entry::Occupied(first) => found(
                faults,
                SuppliesError::NameTwice {
                    place: said.place,
                    kind,
                    name: said.value,
                    first: first.get().place,
                },
            ),
            Entry::Vacant(name) => {
                let place = said.place;
                name.insert(Name { place, index });
            }
        }
    }
}

/// Reads a file of supplies.
pub fn read(files: &Files, file: u32, shelf: &mut Shelf, faults: &mut Faults) {
    let Some(entries) = text::read(files, file, faults) else {
        shelf.gaps = true;
        return;
    };
    let place = Place::new(file, 0, 0);
    if entries.is_empty() {
        found(
            faults,
            TextError::Nothing {
                place,
                example: "[[bag]]",
            },
        );
        return;
    }
    let table = Table::open(&entries, place, &FILE, faults);
    read_tables(&table, shelf, faults);
}

/// Reads the supplies that a table holds.
pub fn read_tables(root: &Table<'_>, shelf: &mut Shelf, faults: &mut Faults) {
    each(root, Kind::Bag, &BAG, shelf, faults, bag, |s| &mut s.bags);
    each(root, Kind::Paper, &PAPER, shelf, faults, paper, |s| {
        &mut s.papers
    });
    for table in root.tables("offcut", &OFFCUT, faults) {
        let paper = table.name("paper", faults);
        shelf
            .offcuts
            .extend(offcut(&table, faults).map(|offcut| (paper, offcut)));
    }
    each(root, Kind::Print, &PRINT, shelf, faults, card, |s| {
        &mut s.prints
    });
    each(root, Kind::Card, &CARD, shelf, faults, card, |s| {
        &mut s.cards
    });
    each(root, Kind::Ring, &RING, shelf, faults, ring, |s| {
        &mut s.rings
    });
    shelf.packs.extend(packs::read(root, faults));
    each(root, Kind::Punch, &PUNCH, shelf, faults, punch, |s| {
        &mut s.punches
    });
    each(root, Kind::Parcel, &PARCEL, shelf, faults, parcel, |s| {
        &mut s.parcels
    });
}

fn each<T>(
    root: &Table<'_>,
    kind: Kind,
    shape: &'static Shape,
    shelf: &mut Shelf,
    faults: &mut Faults,
    one: impl Fn(&Table<'_>, Option<String>, &mut Faults) -> Option<T>,
    list: impl Fn(&mut Supplies) -> &mut Vec<T>,
) {
    for table in root.tables(kind.word(), shape, faults) {
        let name = table.name("name", faults);
        let item = one(&table, name.as_ref().map(|n| n.value.clone()), faults);
        let list = list(&mut shelf.supplies);
        let index = item.map(|item| {
            list.push(item);
            list.len() - 1
        });
        shelf.put(kind, name, index, faults);
    }
}

fn bag(table: &Table<'_>, name: Option<String>, faults: &mut Faults) -> Option<Bag> {
    let (width, height) = table.size("size", BAGS, faults).unzip();
    bag_of(table, name, width, height, faults)
}

/// A bag of this width and height, and what else a table says of it.
pub(super) fn bag_of(
    table: &Table<'_>,
    name: Option<String>,
    width: Option<Said<Interval>>,
    height: Option<Said<Interval>>,
    faults: &mut Faults,
) -> Option<Bag> {
    let gusset = table.length("gusset", BAGS, faults);
    let folded = table.length("folded", BAGS, faults);
    let front_depth = table.length("front_depth", BAGS, faults);
    let back_depth = table.length("back_depth", BAGS, faults);
    let bottom = table.choice(
        "bottom",
        &[("block", Bottom::Block), ("pinch", Bottom::Pinch)],
        faults,
    );
    let gusset_place = table.key_place("gusset");
    match (&bottom, gusset_place) {
        (Some(said), None) if said.value == Bottom::Block => {
            found(faults, SuppliesError::NoGusset { place: said.place });
        }
        (Some(said), Some(gusset)) if said.value == Bottom::Pinch => {
            found(
                faults,
                SuppliesError::PinchGusset {
                    place: said.place,
                    gusset,
                },
            );
        }
        _ => {}
    }
    let whole = height.as_ref().map(|height| ("the bag's height", height));
    let leaf = folded
        .as_ref()
        .map(|folded| ("the folded height", folded))
        .or(whole);
    for (key, part, whole) in [
        ("gusset", &gusset, whole),
        ("folded", &folded, whole),
        ("front_depth", &front_depth, leaf),
        ("back_depth", &back_depth, leaf),
    ] {
        within(key, part.as_ref(), whole, faults);
    }
    let pocket = table
        .table("pocket", &POCKET, faults)
        .and_then(|table| pocket(&table, leaf, faults));
    let caliper = table.length("caliper", CALIPERS, faults);
    let squeezed = table.length("squeezed", STACKS, faults);
    let flap_layers = table.count("flap_layers", 0, 20, faults);
    let count = table.count("count", 0, MANY, faults);
    let weight = weighs(table, "weight", weight::parse_weighs, faults);
    let pack = table.count("pack", 1, MANY, faults);
    let price = table.money("price", faults);
    let (name, width, height) = (name?, width?, height?);
    Some(Bag {
        name,
        place: table.place,
        width: width.value,
        height: height.value,
        gusset: value(gusset),
        bottom: match (bottom, gusset_place) {
            (Some(said), _) => said.value,
            // With its gusset not measured, a bag is taken for the thicker kind.
            (None, _) => Bottom::Block,
        },
        pocket,
        folded: value(folded),
        front_depth: value(front_depth),
        back_depth: value(back_depth),
        caliper: value(caliper),
        flap_layers,
        squeezed: value(squeezed),
        count,
        weight,
        pack,
        price,
    })
}

fn pocket(table: &Table<'_>, leaf: Whole<'_>, faults: &mut Faults) -> Option<Pocket> {
    let edge = table.length("edge", BAGS, faults);
    let depth = table.length("depth", BAGS, faults);
    within("edge", edge.as_ref(), leaf, faults);
    within(
        "depth",
        depth.as_ref(),
        edge.as_ref().map(|e| ("the pocket's edge", e)),
        faults,
    );
    let why = table.text("why", faults);
    Some(Pocket {
        edge: edge?.value,
        depth: value(depth),
        why: why.map(|why| why.value),
        place: table.place,
    })
}

/// A measure that another may not exceed, and how a message says it.
pub(super) type Whole<'s> = Option<(&'static str, &'s Said<Interval>)>;

/// Tells that a part is larger than the whole, however both are measured.
pub(super) fn within(
    key: &'static str,
    part: Option<&Said<Interval>>,
    whole: Whole<'_>,
    faults: &mut Faults,
) {
    if let (Some(part), Some((other, whole))) = (part, whole)
        && part.value.least() > whole.value.most()
    {
        found(
            faults,
            SuppliesError::Exceeds {
                place: part.place,
                key,
                other,
                whole: whole.place,
            },
        );
    }
}

fn paper(table: &Table<'_>, name: Option<String>, faults: &mut Faults) -> Option<Paper> {
    let size = table.size("size", SHEETS, faults);
    table.never_both("bulk", "caliper", "the caliper is more exact", faults);
    let bulk = bulk(table, faults);
    let weight = weighs(table, "weight", weight::parse, faults);
    if let (Some(place), None) = (table.key_place("bulk"), table.get("weight")) {
        found(faults, SuppliesError::BulkAlone { place });
    }
    let measured = value(table.length("caliper", CALIPERS, faults));
    let directed = table.flag("directed", faults).unwrap_or(false);
    let sheets = table.count("sheets", 0, MANY, faults);
    let price = table.money("price", faults);
    let designs = designs(table, faults);
    let sides = table.count("sides", 1, 2, faults);
    let (width, height) = size?;
    Some(Paper {
        designs,
        name: name?,
        place: table.place,
        width: width.value,
        height: height.value,
        caliper: measured.or_else(|| weight?.caliper(bulk)),
        grams: weight.map(|weight| weight.grams),
        from_weight: weight.is_some() && measured.is_none(),
        bulk_assumed: weight.is_some() && bulk.is_none() && measured.is_none(),
        directed,
        design_of: None,
        sheets,
        sides,
        price,
    })
}

/// The designs of a pad: names, or tables that give each a number of sheets.
fn designs(table: &Table<'_>, faults: &mut Faults) -> Vec<Design> {
    let Some(item) = table.get("designs") else {
        return Vec::new();
    };
    let Node::List(items) = &item.node else {
        table.wrong("designs", item, Wanted::List, faults);
        return Vec::new();
    };
    let mut designs: Vec<Design> = Vec::new();
    let mut places: Vec<Place> = Vec::new();
    for item in items.iter().take(MOST_DESIGNS) {
        let design = match &item.node {
            Node::Text(_) => legible("designs", item, faults).map(|said| (said, None, None)),
            Node::Table(entries) => {
                let table = Table::open(entries, item.place, &DESIGN, faults);
                let sheets = table.count("sheets", 0, MANY, faults);
                let sides = table.count("sides", 1, 2, faults);
                table.name("name", faults).map(|name| (name, sheets, sides))
            }
            _ => {
                table.wrong("designs", item, Wanted::Text, faults);
                None
            }
        };
        let Some((said, sheets, sides)) = design else {
            continue;
        };
        let (place, name) = (said.place, said.value);
        if let Some(at) = designs.iter().position(|known| known.name == name) {
            let first = places[at];
            found(faults, SuppliesError::DesignTwice { place, name, first });
            continue;
        }
        places.push(place);
        designs.push(Design {
            name,
            sheets,
            sides,
        });
    }
    designs
}

fn offcut(table: &Table<'_>, faults: &mut Faults) -> Option<Offcut> {
    let size = table.size("size", SHEETS, faults);
    let count = table.count("count", 0, MANY, faults).unwrap_or(1);
    let (width, height) = size?;
    Some(Offcut {
        place: table.place,
        paper: None,
        design: None,
        width: width.value,
        height: height.value,
        count,
    })
}

fn bulk(table: &Table<'_>, faults: &mut Faults) -> Option<Number> {
    let item = table.get("bulk")?;
    let said = match &item.node {
        Node::Decimal { written } | Node::Whole { written, .. } => Said {
            value: written.clone(),
            place: item.place,
        },
        Node::Text(_) => table.text("bulk", faults)?,
        _ => {
            table.wrong("bulk", item, Wanted::Text, faults);
            return None;
        }
    };
    weight::parse_bulk(&said.value)
        .map_err(|(problem, bytes)| weight_fault(said.part(bytes), problem, faults))
        .ok()
}

fn card(table: &Table<'_>, name: Option<String>, faults: &mut Faults) -> Option<Card> {
    let size = table.size("size", BAGS, faults);
    let caliper = table.length("caliper", CALIPERS, faults);
    let count = table.count("count", 0, MANY, faults);
    let price = table.money("price", faults);
    let (width, height) = size?;
    Some(Card {
        name: name?,
        place: table.place,
        width: width.value,
        height: height.value,
        caliper: value(caliper),
        weight: weighs(table, "weight", weight::parse_weighs, faults),
        count,
        price,
    })
}

fn ring(table: &Table<'_>, name: Option<String>, faults: &mut Faults) -> Option<Ring> {
    let inside = table.length("inside", RINGS, faults);
    let wire = table.length("wire", STACKS, faults);
    within(
        "wire",
        wire.as_ref(),
        inside.as_ref().map(|i| ("the inside", i)),
        faults,
    );
    let count = table.count("count", 0, MANY, faults);
    let price = table.money("price", faults);
    Some(Ring {
        name: name?,
        place: table.place,
        inside: inside?.value,
        wire: value(wire),
        weight: weighs(table, "weight", weight::parse_grams, faults),
        count,
        price,
    })
}

fn punch(table: &Table<'_>, name: Option<String>, faults: &mut Faults) -> Option<Punch> {
    let reach = table.length("reach", HOLES, faults);
    let edge = table.length("edge", HOLES, faults);
    within(
        "edge",
        edge.as_ref(),
        reach.as_ref().map(|r| ("the reach", r)),
        faults,
    );
    let diameter = table.length("diameter", STACKS, faults);
    let takes = table.length("takes", STACKS, faults);
    let pitch = table.length("pitch", HOLES, faults);
    let holes = table.count("holes", 1, 100, faults);
    Some(Punch {
        name: name?,
        place: table.place,
        diameter: value(diameter),
        reach: value(reach),
        takes: value(takes),
        edge: value(edge),
        pitch: value(pitch),
        holes,
    })
}

fn value(said: Option<Said<Interval>>) -> Option<Interval> {
    said.map(|said| said.value)
}
