//! Supplies as a maker writes them: `[[bag]]`, `[[paper]]`, `[[offcut]]`, `[[print]]`, `[[card]]`,
//! `[[ring]]`, `[[punch]]` and `[[parcel]]`, in files of their own or in an album.

use super::packs;
use super::parcel::parcel;
use super::shapes::{
    BAG, CARD, DESIGN, FILE, MANY, OFFCUT, PAPER, PARCEL, POCKET, PRINT, PUNCH, RING,
};
use super::shelf::Shelf;
use super::weighed::{weighs, weight_fault};
use super::weight::{self, Number};
use super::{
    Bag, Bottom, Card, Design, Kind, Offcut, Paper, Pocket, Punch, Ring, Supplies, SuppliesError,
};
use crate::length::Interval;
use crate::text::{
    self, Files, Finds, Kind as Wanted, Limits, Node, Place, Said, Shape, Table, TextError, legible,
};

pub(crate) const BAGS: Limits = Limits::up_to_mm(2_000);
pub(crate) const SHEETS: Limits = Limits::up_to_mm(3_000);
/// Thickness of one layer.
pub(crate) const CALIPERS: Limits = Limits::up_to_mm(5);
/// One layer of a bag: more is a stack of them, or the other unit.
const LAYERS: Limits = Limits::up_to_mm(2);
const STACKS: Limits = Limits::up_to_mm(50);
const RINGS: Limits = Limits::up_to_mm(300);
/// Holes, and what keeps them apart and off the edge.
pub(crate) const HOLES: Limits = Limits::up_to_mm(1_000);

/// Designs that a pad can have.
const MOST_DESIGNS: usize = 200;

/// Reads a file of supplies.
pub fn read(files: &Files, file: u32, shelf: &mut Shelf, faults: &Finds) {
    let Some(entries) = text::read(files, file, &FILE, faults) else {
        shelf.gaps = true;
        return;
    };
    let place = Place::new(file, 0, 0);
    if entries.is_empty() {
        faults.tell(place, TextError::Nothing { example: "[[bag]]" });
        return;
    }
    let table = Table::open(&entries, place, &FILE, faults);
    read_tables(&table, shelf);
}

/// Reads the supplies that a table holds.
pub fn read_tables(root: &Table<'_>, shelf: &mut Shelf) {
    each(root, Kind::Bag, &BAG, shelf, bag, |s| &mut s.bags);
    each(root, Kind::Paper, &PAPER, shelf, paper, |s| &mut s.papers);
    for table in root.tables("offcut", &OFFCUT) {
        let paper = table.name("paper");
        let offcut = offcut(&table);
        shelf.offcuts.extend(offcut.map(|offcut| (paper, offcut)));
    }
    each(root, Kind::Print, &PRINT, shelf, card, |s| &mut s.prints);
    each(root, Kind::Card, &CARD, shelf, card, |s| &mut s.cards);
    each(root, Kind::Ring, &RING, shelf, ring, |s| &mut s.rings);
    shelf.packs.extend(packs::read(root));
    each(root, Kind::Punch, &PUNCH, shelf, punch, |s| &mut s.punches);
    each(root, Kind::Parcel, &PARCEL, shelf, parcel, |s| {
        &mut s.parcels
    });
}

fn each<T>(
    root: &Table<'_>,
    kind: Kind,
    shape: &'static Shape,
    shelf: &mut Shelf,
    one: impl Fn(&Table<'_>, Option<String>) -> Option<T>,
    list: impl Fn(&mut Supplies) -> &mut Vec<T>,
) {
    for table in root.tables(kind.word(), shape) {
        let name = table.name("name");
        let item = one(&table, name.as_ref().map(|n| n.value.clone()));
        let list = list(&mut shelf.supplies);
        let index = item.map(|item| {
            list.push(item);
            list.len() - 1
        });
        shelf.put(kind, name, index, root.faults);
    }
}

fn bag(table: &Table<'_>, name: Option<String>) -> Option<Bag> {
    let (width, height) = table.size("size", BAGS).unzip();
    bag_of(table, name, width, height)
}

/// A bag of this width and height, and what else a table says of it.
pub(super) fn bag_of(
    table: &Table<'_>,
    name: Option<String>,
    width: Option<Said<Interval>>,
    height: Option<Said<Interval>>,
) -> Option<Bag> {
    let gusset = table.length("gusset", BAGS);
    let folded = table.length("folded", BAGS);
    let front_depth = table.length("front_depth", BAGS);
    let back_depth = table.length("back_depth", BAGS);
    let words = [("block", Bottom::Block), ("pinch", Bottom::Pinch)];
    let bottom = table.choice("bottom", &words);
    let gusset_place = table.key_place("gusset");
    match (&bottom, gusset_place) {
        (Some(said), None) if said.value == Bottom::Block => {
            table.tell(said.place, SuppliesError::NoGusset);
        }
        (Some(said), Some(gusset)) if said.value == Bottom::Pinch => {
            table.tell(said.place, SuppliesError::PinchGusset { gusset });
        }
        _ => {}
    }
    let flat = whole("the bag's height", &height);
    // It folds in by half at each side; what is too deep for the height has an answer of its own.
    let wide = whole("the bag's width", &width);
    let is_low = |gusset: &Said<Interval>, height: &Said<Interval>| {
        gusset.value.least() <= height.value.most()
    };
    if gusset
        .as_ref()
        .zip(height.as_ref())
        .is_none_or(|(gusset, height)| is_low(gusset, height))
    {
        within("gusset", &gusset, wide, table.faults);
    }
    let leaf = whole("the folded height", &folded).or(flat);
    for (key, part, whole) in [
        ("gusset", &gusset, flat),
        ("folded", &folded, flat),
        ("front_depth", &front_depth, leaf),
        ("back_depth", &back_depth, leaf),
    ] {
        within(key, part, whole, table.faults);
    }
    let pocket = table
        .table("pocket", &POCKET)
        .and_then(|table| pocket(&table, leaf));
    Some(Bag {
        caliper: table.measure("caliper", LAYERS),
        squeezed: table.measure("squeezed", STACKS),
        flap_layers: table.count("flap_layers", 0, 20),
        count: table.count("count", 0, MANY),
        weight: weighs(table, "weight", weight::parse_weighs),
        pack: table.count("pack", 1, MANY),
        price: table.money("price"),
        name: name?,
        place: table.place,
        width: width?.value,
        height: height?.value,
        gusset: value(gusset),
        bottom: bottom.map_or_else(Bottom::default, |said| said.value),
        pocket,
        folded: value(folded),
        front_depth: value(front_depth),
        back_depth: value(back_depth),
    })
}

fn pocket(table: &Table<'_>, leaf: Whole<'_>) -> Option<Pocket> {
    let edge = table.length("edge", BAGS);
    let depth = table.length("depth", BAGS);
    within("edge", &edge, leaf, table.faults);
    let pocket = whole("the pocket's edge", &edge);
    within("depth", &depth, pocket, table.faults);
    Some(Pocket {
        why: table.text("why").map(|why| why.value),
        edge: edge?.value,
        depth: value(depth),
        place: table.place,
    })
}

/// A measure that another may not exceed, and how a message says it.
pub(super) type Whole<'s> = Option<(&'static str, &'s Said<Interval>)>;

pub(super) fn whole<'s>(name: &'static str, said: &'s Option<Said<Interval>>) -> Whole<'s> {
    Some((name, said.as_ref()?))
}

/// Tells that a part is larger than the whole, however both are measured.
pub(super) fn within(
    key: &'static str,
    part: &Option<Said<Interval>>,
    whole: Whole<'_>,
    faults: &Finds,
) {
    if let (Some(part), Some((other, whole))) = (part, whole)
        && part.value.least() > whole.value.most()
    {
        faults.tell(
            part.place,
            SuppliesError::Exceeds {
                key,
                other,
                whole: whole.place,
            },
        );
    }
}

fn paper(table: &Table<'_>, name: Option<String>) -> Option<Paper> {
    let size = table.size("size", SHEETS);
    table.never_both("bulk", "caliper", "the caliper is more exact");
    let bulk = bulk(table);
    let weight = weighs(table, "weight", weight::parse);
    if let (Some(place), None) = (table.key_place("bulk"), table.get("weight")) {
        table.tell(place, SuppliesError::BulkAlone);
    }
    let measured = table.measure("caliper", CALIPERS);
    let directed = table.flag("directed").unwrap_or(false);
    let sheets = table.count("sheets", 0, MANY);
    let price = table.money("price");
    let designs = designs(table);
    let sides = table.count("sides", 1, 2);
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
fn designs(table: &Table<'_>) -> Vec<Design> {
    let mut designs: Vec<(Place, Design)> = Vec::new();
    let items = table.list("designs", Wanted::List).iter();
    for item in items.take(MOST_DESIGNS) {
        let design = match &item.node {
            Node::Text(_) => legible("designs", item, table.faults).map(|said| (said, None, None)),
            Node::Table(entries) => {
                let table = Table::open(entries, item.place, &DESIGN, table.faults);
                let sheets = table.count("sheets", 0, MANY);
                let sides = table.count("sides", 1, 2);
                table.name("name").map(|name| (name, sheets, sides))
            }
            _ => {
                table.wrong("designs", item, Wanted::Text);
                None
            }
        };
        let Some((said, sheets, sides)) = design else {
            continue;
        };
        let (place, name) = (said.place, said.value);
        if let Some(&(first, _)) = designs.iter().find(|(_, known)| known.name == name) {
            table.tell(place, SuppliesError::DesignTwice { name, first });
            continue;
        }
        let design = Design {
            name,
            sheets,
            sides,
        };
        designs.push((place, design));
    }
    designs.into_iter().map(|(_, design)| design).collect()
}

fn offcut(table: &Table<'_>) -> Option<Offcut> {
    let size = table.size("size", SHEETS);
    let count = table.count("count", 0, MANY).unwrap_or(1);
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

fn bulk(table: &Table<'_>) -> Option<Number> {
    let item = table.get("bulk")?;
    let said = match &item.node {
        Node::Decimal { written } | Node::Whole { written, .. } => Said {
            value: written.clone(),
            place: item.place,
        },
        Node::Text(_) => table.text("bulk")?,
        _ => {
            table.wrong("bulk", item, Wanted::Text);
            return None;
        }
    };
    weight::parse_bulk(&said.value)
        .map_err(|(problem, bytes)| weight_fault(said.part(bytes), problem, table.faults))
        .ok()
}

fn card(table: &Table<'_>, name: Option<String>) -> Option<Card> {
    let size = table.size("size", BAGS);
    let caliper = table.measure("caliper", CALIPERS);
    let count = table.count("count", 0, MANY);
    let price = table.money("price");
    let weight = weighs(table, "weight", weight::parse_weighs);
    let (width, height) = size?;
    Some(Card {
        name: name?,
        place: table.place,
        width: width.value,
        height: height.value,
        caliper,
        weight,
        count,
        price,
    })
}

fn ring(table: &Table<'_>, name: Option<String>) -> Option<Ring> {
    let inside = table.length("inside", RINGS);
    let wire = table.length("wire", STACKS);
    within("wire", &wire, whole("the inside", &inside), table.faults);
    Some(Ring {
        weight: weighs(table, "weight", weight::parse_grams),
        count: table.count("count", 0, MANY),
        price: table.money("price"),
        name: name?,
        place: table.place,
        inside: inside?.value,
        wire: value(wire),
    })
}

fn punch(table: &Table<'_>, name: Option<String>) -> Option<Punch> {
    let reach = table.length("reach", HOLES);
    let edge = table.length("edge", HOLES);
    within("edge", &edge, whole("the reach", &reach), table.faults);
    Some(Punch {
        diameter: table.measure("diameter", STACKS),
        takes: table.measure("takes", STACKS),
        pitch: table.measure("pitch", HOLES),
        holes: table.count("holes", 1, 100),
        name: name?,
        place: table.place,
        reach: value(reach),
        edge: value(edge),
    })
}

fn value(said: Option<Said<Interval>>) -> Option<Interval> {
    said.map(|said| said.value)
}
