//! The things of one album and what is known of them: the values behind the vocabulary's names.
//!
//! Everything given is kept once, as a [`Given`], so that a value that enters a rule twice is one
//! value, and so that the plan can say what was assumed. May import `length`, `text`, `supplies`,
//! `album` and `vocabulary`.

use super::stack;
use crate::album::{Album, Grip, Insert, Leaf, PartPaper, Section, Value, Where};
use crate::length::{Interval, Length};
use crate::supplies::{Bag, Bottom};
use crate::text::{Fault, Place, Said};
use std::collections::BTreeMap;

/// A thing of a [`Scene`], by its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ThingId(pub u32);

/// A given value of a [`Scene`], by its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct GivenId(pub u32);

/// Where a given value comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Origin {
    /// Written in the album or on the command line.
    Said,
    /// Measured on what is already made.
    Measured,
    /// A default of the style: a matter of taste or of craft.
    Style,
    /// A default that stands for a measure of the maker's own things.
    Assumed,
    /// Worked out from other given values.
    Derived,
}

/// A value that is not to be found: exact, or between two ends.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Given {
    /// As the maker says it.
    pub label: String,
    pub value: Interval,
    pub origin: Origin,
    pub place: Option<Place>,
}

/// What is known of one field of a thing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Fact {
    Length(GivenId),
    /// Numerator and denominator.
    Number(i64, i64),
    Text(String),
    Flag(bool),
    /// Worked out by an expression in the language of the rules, read in the thing's own scope.
    Derived(&'static str),
}

/// One thing: a leaf, an insert, a hole, a mat ...
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Thing {
    pub kind: &'static str,
    /// As it appears in the names of sizes, without its leaf: `photo_mat.photo`.
    pub label: String,
    /// The thing that it is part of.
    pub owner: Option<ThingId>,
    pub facts: BTreeMap<String, Fact>,
    pub lists: BTreeMap<&'static str, Vec<ThingId>>,
    /// Parts by name: a leaf's `pocket`, `front_mat` ...
    pub parts: BTreeMap<String, ThingId>,
    /// Items of the tables that its choices take from.
    pub tables: BTreeMap<&'static str, Vec<ThingId>>,
    pub place: Option<Place>,
}

/// All things of an album. Thing 0 is the album itself; what has no owner is its part.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Scene {
    pub things: Vec<Thing>,
    pub givens: Vec<Given>,
    /// The style's quantities, by name.
    pub quantities: BTreeMap<String, Fact>,
    /// What stands in for a measure in this album.
    pub assumed: Vec<Assumption>,
}

/// Something that stands in for a measure.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Assumption {
    /// A quantity of the style that was used.
    Quantity(String),
    /// A size that was worked out from others.
    Size {
        thing: ThingId,
        field: &'static str,
        why: &'static str,
    },
}

/// A quantity's value in this album.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct QuantityValue {
    pub name: String,
    pub value: Value,
    pub why: String,
    pub origin: Origin,
    pub place: Option<Place>,
}

/// What is wrong with an album beside its supplies and its style.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum SceneError {
    #[error("no size is called `{}`", .name.value)]
    NoSuchSize {
        name: Said<String>,
        known: Vec<String>,
    },
    #[error("`{}` is given twice", .name.value)]
    GivenTwice { name: Said<String> },
    #[error("the thicknesses add up to more than any album is thick")]
    TooThick { place: Place },
    #[error("`{name}` must be a {wanted}")]
    WrongQuantity {
        name: String,
        wanted: &'static str,
        place: Place,
    },
}

impl Fault for SceneError {
    fn place(&self) -> Place {
        match self {
            SceneError::NoSuchSize { name, .. } | SceneError::GivenTwice { name } => name.place,
            SceneError::TooThick { place } | SceneError::WrongQuantity { place, .. } => *place,
        }
    }

    fn label(&self) -> String {
        match self {
            SceneError::NoSuchSize { .. } => "not a size of this leaf".into(),
            SceneError::GivenTwice { .. } => "said before".into(),
            SceneError::TooThick { .. } => "this leaf and the others".into(),
            SceneError::WrongQuantity { .. } => "here".into(),
        }
    }

    fn help(&self) -> Option<String> {
        Some(match self {
            SceneError::NoSuchSize { name, known } => {
                let near = known
                    .iter()
                    .min_by_key(|k| (strsim::damerau_levenshtein(k, &name.value), k.len()));
                match near {
                    Some(near) => {
                        format!("the nearest is `{near}`; there are: {}", known.join(", "))
                    }
                    None => "leave it out".into(),
                }
            }
            SceneError::GivenTwice { .. } => "keep one of the two".into(),
            SceneError::TooThick { .. } => {
                "measure the thickness of one layer again, and the counts".into()
            }
            SceneError::WrongQuantity { wanted, .. } => match *wanted {
                "length" => "give a length with its unit, such as `1/8 in`".into(),
                _ => "give a number, such as `3`, `1/2` or `65 %`".into(),
            },
        })
    }
}

/// Quantities that the vocabulary itself needs: name, inches, metric, why, and whether it stands
/// for a measure. A style may say them anew.
pub const BASE: &[(&str, &str, &str, &str, bool)] = &[
    ("hole_count", "3", "3", "holes along the spine edge", false),
    (
        "hole_diameter",
        "1/4 in",
        "6 mm",
        "hole that the punch makes",
        true,
    ),
    (
        "bag_caliper",
        "0.0045 in",
        "0.115 mm",
        "thickness of one layer of bag",
        true,
    ),
    (
        "paper_caliper",
        "0.0065 in",
        "0.165 mm",
        "thickness of decorative paper",
        true,
    ),
    (
        "card_caliper",
        "0.01 in",
        "0.25 mm",
        "thickness of an insert's card",
        true,
    ),
    (
        "print_caliper",
        "0.0095 in",
        "0.24 mm",
        "thickness of a photo print",
        true,
    ),
    (
        "bulk_factor",
        "150 %",
        "150 %",
        "how much thicker folded layers of bag lie than when squeezed",
        false,
    ),
    (
        "bottom_seam",
        "1/2 in",
        "12 mm",
        "how far above the tail a pull-out stands at the bag's bottom",
        true,
    ),
    (
        "flap_layers",
        "2",
        "2",
        "layers that a folded flap adds",
        false,
    ),
];

struct Maker<'a> {
    scene: Scene,
    album: &'a Album,
    errors: Vec<SceneError>,
}

/// Puts an album's things together.
///
/// # Errors
/// Every given or measured name that is no size of its leaf, and thicknesses beyond any album.
pub fn build(album: &Album, quantities: &[QuantityValue]) -> Result<Scene, Vec<SceneError>> {
    let mut maker = Maker {
        scene: Scene::default(),
        album,
        errors: Vec::new(),
    };
    maker.all(quantities);
    if maker.errors.is_empty() {
        Ok(maker.scene)
    } else {
        Err(maker.errors)
    }
}

impl Scene {
    /// A thing by its number.
    pub fn thing(&self, id: ThingId) -> &Thing {
        &self.things[id.0 as usize]
    }

    /// A given value by its number.
    pub fn given(&self, id: GivenId) -> &Given {
        &self.givens[id.0 as usize]
    }

    /// The album's own thing.
    pub fn album(&self) -> ThingId {
        ThingId(0)
    }

    /// All kinds of leaf, in the order of the album.
    pub fn leaves(&self) -> &[ThingId] {
        self.thing(self.album())
            .lists
            .get("leaves")
            .map_or(&[], Vec::as_slice)
    }

    /// The leaf that a thing belongs to.
    pub fn leaf_of(&self, id: ThingId) -> Option<ThingId> {
        std::iter::successors(Some(id), |t| self.thing(*t).owner)
            .find(|t| self.thing(*t).kind == "leaf")
    }

    /// A length fact of a thing, where it is a given value.
    pub fn length(&self, thing: ThingId, field: &str) -> Option<Interval> {
        match self.thing(thing).facts.get(field)? {
            Fact::Length(id) => Some(self.given(*id).value),
            _ => None,
        }
    }

    /// A flag of a thing; false where it is not said.
    pub fn flag(&self, thing: ThingId, field: &str) -> bool {
        matches!(self.thing(thing).facts.get(field), Some(Fact::Flag(true)))
    }

    /// A text of a thing; empty where it is not said.
    pub fn text(&self, thing: ThingId, field: &str) -> &str {
        match self.thing(thing).facts.get(field) {
            Some(Fact::Text(text)) => text,
            _ => "",
        }
    }

    /// A whole number of a thing; nothing where it is not said.
    pub fn count(&self, thing: ThingId, field: &str) -> i64 {
        match self.thing(thing).facts.get(field) {
            Some(Fact::Number(n, 1)) => *n,
            _ => 0,
        }
    }

    /// A part of a thing that only the style speaks of; a leaf has it unless the album says otherwise.
    pub fn ensure_part(&mut self, owner: ThingId, name: &str) {
        if self.thing(owner).parts.contains_key(name) || super::SINGLE.contains(&name) {
            return;
        }
        let id = ThingId(self.things.len() as u32);
        self.things.push(Thing {
            kind: "mat",
            label: name.to_owned(),
            owner: Some(owner),
            facts: BTreeMap::from([
                ("wanted".to_owned(), Fact::Flag(true)),
                ("directed".to_owned(), Fact::Flag(false)),
            ]),
            ..Thing::default()
        });
        self.things[owner.0 as usize]
            .parts
            .insert(name.to_owned(), id);
    }

    /// The name of a size for the maker: its thing and field, without the leaf.
    pub fn size_name(&self, thing: ThingId, field: &str) -> String {
        let label = &self.thing(thing).label;
        if label.is_empty() {
            field.to_owned()
        } else {
            format!("{label}.{field}")
        }
    }
}

impl Maker<'_> {
    fn thing(
        &mut self,
        kind: &'static str,
        label: impl Into<String>,
        owner: Option<ThingId>,
        place: Option<Place>,
    ) -> ThingId {
        let id = ThingId(self.scene.things.len() as u32);
        self.scene.things.push(Thing {
            kind,
            label: label.into(),
            owner,
            place,
            ..Thing::default()
        });
        id
    }

    fn fact(&mut self, thing: ThingId, field: &str, fact: Fact) {
        self.scene.things[thing.0 as usize]
            .facts
            .insert(field.to_owned(), fact);
    }

    fn given(
        &mut self,
        label: impl Into<String>,
        value: Interval,
        origin: Origin,
        place: Option<Place>,
    ) -> GivenId {
        let id = GivenId(self.scene.givens.len() as u32);
        self.scene.givens.push(Given {
            label: label.into(),
            value,
            origin,
            place,
        });
        id
    }

    fn length(
        &mut self,
        thing: ThingId,
        field: &str,
        value: Interval,
        origin: Origin,
        place: Option<Place>,
    ) -> GivenId {
        let label = self.scene.size_name(thing, field);
        let id = self.given(label, value, origin, place);
        self.fact(thing, field, Fact::Length(id));
        id
    }

    fn number(&mut self, thing: ThingId, field: &str, value: i64) {
        self.fact(thing, field, Fact::Number(value, 1));
    }

    /// A length quantity; a style that says it as a number is refused.
    fn quantity_length(&mut self, name: &str) -> Interval {
        let id = match self.scene.quantities.get(name) {
            Some(Fact::Length(id)) => Some(*id),
            _ => None,
        };
        if let Some(id) = id {
            if self.scene.given(id).origin == Origin::Assumed {
                self.assume(Assumption::Quantity(name.to_owned()));
            }
            return self.scene.given(id).value;
        }
        self.wrong_quantity(name, "length");
        Interval::exact(Length::ZERO)
    }

    fn assume(&mut self, assumption: Assumption) {
        if !self.scene.assumed.contains(&assumption) {
            self.scene.assumed.push(assumption);
        }
    }

    fn quantity_ratio(&mut self, name: &str) -> (i64, i64) {
        if let Some(Fact::Number(n, d)) = self.scene.quantities.get(name) {
            return (*n, *d);
        }
        self.wrong_quantity(name, "number");
        (1, 1)
    }

    fn quantity_count(&mut self, name: &str) -> i64 {
        match self.quantity_ratio(name) {
            (n, 1) if (0..=1000).contains(&n) => n,
            _ => {
                self.wrong_quantity(name, "whole number");
                1
            }
        }
    }

    fn wrong_quantity(&mut self, name: &str, wanted: &'static str) {
        let place = (self.album.set.iter())
            .find(|(n, _)| n.value == name)
            .map_or(self.album.style.place, |(_, v)| v.place);
        self.errors.push(SceneError::WrongQuantity {
            name: name.to_owned(),
            wanted,
            place,
        });
    }

    fn all(&mut self, quantities: &[QuantityValue]) {
        let album = self.thing("album", "album", None, None);
        for q in quantities {
            let fact = match q.value {
                Value::Length(value) => {
                    Fact::Length(self.given(q.name.clone(), value, q.origin, q.place))
                }
                Value::Ratio(n, d) => Fact::Number(n, d),
            };
            self.scene.quantities.insert(q.name.clone(), fact);
        }
        let ruler = self.thing("ruler", "ruler", None, None);
        let step = Interval::exact(self.album.ruler.step());
        self.length(ruler, "step", step, Origin::Said, None);
        let template = self.template();
        let punch = self.punch();
        let leaves: Vec<ThingId> = (0..self.album.leaves.len()).map(|i| self.leaf(i)).collect();
        let count = self
            .album
            .leaves
            .iter()
            .map(|l| l.count)
            .fold(0i64, i64::saturating_add);
        self.number(album, "leaves", count);
        self.stacks(album, &leaves);
        let rings = self.rings(album);
        let album_thing = &mut self.scene.things[album.0 as usize];
        album_thing.lists.insert("leaves", leaves);
        album_thing.tables.insert("rings", rings);
        for (name, id) in [
            ("ruler", ruler),
            ("template", template),
            ("punch", punch),
            ("album", album),
        ] {
            album_thing.parts.insert(name.to_owned(), id);
        }
    }

    fn template(&mut self) -> ThingId {
        let said = self.album.template.clone();
        let at = Some(said.place);
        let id = self.thing("template", "template", None, at);
        let punch = said.punch.and_then(|p| self.album.supplies.punches.get(p));
        let count = said.holes.or(punch.and_then(|p| p.holes));
        let count = count.unwrap_or_else(|| self.quantity_count("hole_count"));
        let count = said.offsets.as_ref().map_or(count, |o| o.len() as i64);
        self.number(id, "count", count);
        match said.diameter.or(punch.and_then(|p| p.diameter)) {
            Some(value) => {
                self.length(id, "diameter", value, Origin::Said, at);
            }
            None => {
                let fact = self.scene.quantities.get("hole_diameter").cloned();
                self.quantity_length("hole_diameter");
                if let Some(fact) = fact {
                    self.fact(id, "diameter", fact);
                }
            }
        }
        let edge = said.edge.or(punch.and_then(|p| p.edge));
        let pitch = said.pitch.or(punch.and_then(|p| p.pitch));
        for (field, value) in [("edge", edge), ("first", said.first), ("pitch", pitch)] {
            if let Some(value) = value {
                self.length(id, field, value, Origin::Said, at);
            }
        }
        self.fact(id, "unequal", Fact::Flag(said.offsets.is_some()));
        let radius = "template.diameter / 2";
        let wide_eyelet = said.eyelet.filter(|e| {
            self.scene
                .length(id, "diameter")
                .is_none_or(|d| e.least() >= d.most())
        });
        match wide_eyelet {
            Some(value) => {
                self.length(id, "eyelet", value, Origin::Said, at);
                self.fact(id, "rim", Fact::Derived("template.eyelet / 2"));
            }
            None => self.fact(id, "rim", Fact::Derived(radius)),
        }
        self.fact(id, "radius", Fact::Derived(radius));
        match said.offsets.as_ref().and_then(|o| o.last().copied()) {
            Some(span) => {
                self.length(id, "span", Interval::exact(span), Origin::Said, at);
            }
            None if count <= 1 => {
                self.length(
                    id,
                    "span",
                    Interval::exact(Length::ZERO),
                    Origin::Derived,
                    at,
                );
            }
            None => self.fact(
                id,
                "span",
                Fact::Derived("(template.count - 1) * template.pitch"),
            ),
        }
        id
    }

    fn punch(&mut self) -> ThingId {
        let said = self
            .album
            .template
            .punch
            .and_then(|p| self.album.supplies.punches.get(p));
        let id = self.thing("punch", "punch", None, said.map(|p| p.place));
        if let Some(p) = said {
            for (field, value) in [
                ("reach", p.reach),
                ("takes", p.takes),
                ("diameter", p.diameter),
            ] {
                if let Some(value) = value {
                    self.length(id, field, value, Origin::Said, Some(p.place));
                }
            }
        }
        id
    }

    fn leaf(&mut self, index: usize) -> ThingId {
        let album = self.album;
        let leaf = &album.leaves[index];
        let bag = &album.supplies.bags[leaf.bag];
        let id = self.thing("leaf", "leaf", None, Some(leaf.place));
        let at = Some(bag.place);
        self.fact(id, "name", Fact::Text(leaf.name.clone()));
        self.number(id, "count", leaf.count);
        self.fact(id, "turned", Fact::Flag(leaf.turned));
        self.length(id, "bag_width", bag.width, Origin::Said, at);
        self.length(id, "bag_height", bag.height, Origin::Said, at);
        self.length(id, "width", bag.width, Origin::Said, at);
        let height = bag.folded.unwrap_or(bag.height);
        self.length(id, "height", height, Origin::Said, at);
        self.fact(id, "folded", Fact::Flag(bag.folded.is_some()));
        if let Some(gusset) = bag.gusset {
            self.length(id, "gusset", gusset, Origin::Said, at);
        }
        self.fact(id, "pinch", Fact::Flag(bag.bottom == Bottom::Pinch));
        let has_pocket = self.pocket(id, bag).is_some();
        self.fact(id, "has_pocket", Fact::Flag(has_pocket));
        let mut band = false;
        let mut mats = Vec::new();
        for (name, paper) in &leaf.parts {
            // What lies on the pocket needs one.
            let here = has_pocket || !matches!(name.as_str(), "pocket_mat" | "band");
            let part = self.part(id, name, if here { paper } else { &PartPaper::None });
            if self.scene.flag(part, "wanted") {
                band |= name == "band";
                mats.push(part);
            }
        }
        self.fact(id, "has_band", Fact::Flag(band));
        let inserts: Vec<ThingId> = leaf.inserts.iter().map(|i| self.insert(id, i)).collect();
        let sections = self.sections(id, bag, leaf, &inserts);
        let holes = self.holes(id);
        let thing = &mut self.scene.things[id.0 as usize];
        thing.lists.insert("inserts", inserts);
        thing.lists.insert("sections", sections);
        thing.lists.insert("holes", holes);
        thing.lists.insert("mats", mats);
        for (said, origin) in [
            (&leaf.given, Origin::Said),
            (&leaf.measured, Origin::Measured),
        ] {
            for (name, value) in said {
                self.override_size(id, name, *value, origin);
            }
        }
        self.thickness(id, bag, leaf);
        id
    }

    fn pocket(&mut self, leaf: ThingId, bag: &Bag) -> Option<ThingId> {
        let folded_flap = bag.bottom == Bottom::Block && bag.gusset.is_some();
        if bag.pocket.is_none() && !folded_flap {
            return None;
        }
        let at = Some(bag.pocket.as_ref().map_or(bag.place, |p| p.place));
        let id = self.thing("pocket", "pocket", Some(leaf), at);
        match &bag.pocket {
            Some(p) => {
                self.length(id, "edge", p.edge, Origin::Said, at);
            }
            None => {
                self.fact(id, "edge", Fact::Derived("leaf.gusset"));
                self.assume(Assumption::Size {
                    thing: id,
                    field: "edge",
                    why: "a folded flap stands as high as the gusset is deep",
                });
            }
        }
        match bag.pocket.as_ref().and_then(|p| p.depth) {
            Some(depth) => {
                self.length(id, "depth", depth, Origin::Said, at);
            }
            // A folded flap is creased at half the gusset: a hidden fold stops what slides down.
            None if folded_flap && bag.folded.is_none() => {
                self.fact(id, "depth", Fact::Derived("leaf.gusset / 2"));
                self.assume(Assumption::Size {
                    thing: id,
                    field: "depth",
                    why: "a folded flap is creased at half the gusset, and things stop there",
                });
            }
            None => {
                self.fact(id, "depth", Fact::Derived("pocket.edge"));
                self.assume(Assumption::Size {
                    thing: id,
                    field: "depth",
                    why: "things are taken to slide down to the tail",
                });
            }
        }
        self.scene.things[leaf.0 as usize]
            .parts
            .insert("pocket".into(), id);
        Some(id)
    }

    fn part(&mut self, leaf: ThingId, name: &str, paper: &PartPaper) -> ThingId {
        let id = self.thing("mat", name, Some(leaf), None);
        let wanted = *paper != PartPaper::None;
        self.fact(id, "wanted", Fact::Flag(wanted));
        let sheet = match paper {
            PartPaper::Paper(p) => Some(*p),
            PartPaper::None | PartPaper::Any => None,
        };
        self.paper(id, sheet, "paper_caliper");
        self.scene.things[leaf.0 as usize]
            .parts
            .insert(name.to_owned(), id);
        id
    }

    /// Sheet and caliper of what a thing is cut from.
    fn paper(&mut self, thing: ThingId, paper: Option<usize>, assumed: &str) {
        let paper = paper.and_then(|p| self.album.supplies.papers.get(p));
        self.fact(
            thing,
            "directed",
            Fact::Flag(paper.is_some_and(|p| p.directed)),
        );
        if let Some(p) = paper {
            self.length(thing, "sheet_width", p.width, Origin::Said, Some(p.place));
            self.length(thing, "sheet_height", p.height, Origin::Said, Some(p.place));
        }
        match paper.and_then(|p| p.caliper.map(|c| (c, p))) {
            Some((caliper, p)) => {
                let origin = if p.from_weight {
                    Origin::Assumed
                } else {
                    Origin::Said
                };
                let id = self.given(
                    format!("thickness of {}", p.name),
                    caliper,
                    origin,
                    Some(p.place),
                );
                self.fact(thing, "caliper", Fact::Length(id));
            }
            None => {
                self.quantity_length(assumed);
                if let Some(fact) = self.scene.quantities.get(assumed).cloned() {
                    self.fact(thing, "caliper", fact);
                }
            }
        }
    }

    fn insert(&mut self, leaf: ThingId, insert: &Insert) -> ThingId {
        let at = Some(insert.place);
        let id = self.thing("insert", insert.name.clone(), Some(leaf), at);
        let gusset = self.scene.thing(leaf).facts.contains_key("gusset");
        self.fact(id, "name", Fact::Text(insert.name.clone()));
        let place = match insert.goes {
            Where::Mouth => "mouth",
            Where::Pocket => "pocket",
            Where::Band => "band",
            Where::Back => "back",
        };
        self.fact(id, "place", Fact::Text(place.into()));
        let section = match (insert.goes, insert.section) {
            (Where::Mouth, Some(Section::Front)) if gusset => "front",
            (Where::Mouth, _) if gusset => "back",
            (Where::Mouth, _) => "only",
            _ => "none",
        };
        self.fact(id, "section", Fact::Text(section.into()));
        let grip = match insert.grip {
            Grip::Plain => "plain",
            Grip::Notch => "notch",
            Grip::Tab => "tab",
            Grip::String => "string",
        };
        self.fact(id, "grip", Fact::Text(grip.into()));
        self.number(id, "count", insert.count);
        let (show, origin, show_at) = match &insert.show {
            Some(said) => (said.value, Origin::Said, Some(said.place)),
            None => (Interval::exact(Length::ZERO), Origin::Style, None),
        };
        self.length(id, "show", show, origin, show_at);
        let card = insert.card.and_then(|c| self.album.supplies.cards.get(c));
        for (field, said, of_card) in [
            ("width", &insert.width, card.map(|c| c.width)),
            ("height", &insert.height, card.map(|c| c.height)),
        ] {
            match (said, of_card) {
                (Some(said), _) => {
                    self.length(id, field, said.value, Origin::Said, Some(said.place));
                }
                (None, Some(value)) => {
                    self.length(id, field, value, Origin::Said, card.map(|c| c.place));
                }
                (None, None) => {}
            }
        }
        self.paper(id, insert.paper, "card_caliper");
        if let Some(caliper) = insert.caliper.or(card.and_then(|c| c.caliper)) {
            let given = self.given(
                format!("thickness of {}", insert.name),
                caliper,
                Origin::Said,
                at,
            );
            self.fact(id, "caliper", Fact::Length(given));
        }
        let mut photos = Vec::new();
        if let Some(photo) = &insert.photo {
            photos.push(self.photo(id, insert, photo));
        }
        self.fact(id, "has_photo", Fact::Flag(!photos.is_empty()));
        self.scene.things[id.0 as usize]
            .lists
            .insert("photos", photos);
        id
    }

    fn photo(&mut self, insert: ThingId, said: &Insert, photo: &crate::album::Photo) -> ThingId {
        let id = self.thing(
            "photo",
            format!("{}.photo", said.name),
            Some(insert),
            Some(photo.place),
        );
        // Small whole sides make every size a whole multiple; others are kept within a few steps.
        const WHOLE: i64 = 64;
        if let Some((across, up)) = photo.shape {
            self.number(id, "shape_across", across);
            self.number(id, "shape_up", up);
            self.fact(id, "shape_whole", Fact::Flag(across.max(up) <= WHOLE));
        } else {
            self.fact(id, "shape_whole", Fact::Flag(false));
        }
        let mut prints = Vec::new();
        for &p in &photo.prints {
            let Some(print) = self.album.supplies.prints.get(p) else {
                continue;
            };
            let item = self.thing("print", print.name.clone(), None, Some(print.place));
            self.number(item, "index", p as i64);
            for (field, value) in [("width", print.width), ("height", print.height)] {
                let given = self.given(
                    format!("{field} of {}", print.name),
                    value,
                    Origin::Said,
                    Some(print.place),
                );
                self.fact(item, field, Fact::Length(given));
            }
            prints.push(item);
        }
        self.scene.things[id.0 as usize]
            .tables
            .insert("prints", prints);
        id
    }

    fn sections(
        &mut self,
        leaf: ThingId,
        bag: &Bag,
        said: &Leaf,
        inserts: &[ThingId],
    ) -> Vec<ThingId> {
        let names: &[&str] = if bag.gusset.is_some() {
            &["front", "back"]
        } else {
            &["only"]
        };
        let mut sections = Vec::new();
        for &name in names {
            let label = if name == "only" { "back" } else { name };
            let id = self.thing("section", label, Some(leaf), Some(said.place));
            self.fact(id, "name", Fact::Text(name.into()));
            let measured = if name == "front" {
                bag.front_depth
            } else {
                bag.back_depth
            };
            match measured {
                Some(depth) => {
                    self.length(id, "depth", depth, Origin::Said, Some(bag.place));
                }
                // A card in front of the gusset stops at its crease.
                None if name == "front" => {
                    self.fact(id, "depth", Fact::Derived("leaf.height - leaf.gusset / 2"));
                    self.assume(Assumption::Size {
                        thing: id,
                        field: "depth",
                        why: "a card in front of the gusset stops at its crease, half the gusset above the tail",
                    });
                }
                None => {
                    self.fact(id, "depth", Fact::Derived("leaf.height - bottom_seam"));
                    self.assume(Assumption::Size {
                        thing: id,
                        field: "depth",
                        why: "a card stands on the bag's bottom seam",
                    });
                }
            }
            let here = inserts
                .iter()
                .copied()
                .filter(|i| self.scene.text(*i, "section") == name);
            let here: Vec<ThingId> = here.collect();
            self.scene.things[id.0 as usize]
                .lists
                .insert("inserts", here);
            sections.push(id);
        }
        sections
    }

    fn holes(&mut self, leaf: ThingId) -> Vec<ThingId> {
        let template = &self.album.template;
        let offsets = template.offsets.clone();
        let count = match (
            &offsets,
            self.scene.things.iter().find(|t| t.kind == "template"),
        ) {
            (Some(offsets), _) => offsets.len() as i64,
            (None, Some(t)) => match t.facts.get("count") {
                Some(Fact::Number(n, 1)) => *n,
                _ => 0,
            },
            (None, None) => 0,
        };
        let mut holes = Vec::new();
        for place in 0..count {
            let id = self.thing("hole", format!("hole {}", place + 1), Some(leaf), None);
            self.number(id, "place", place);
            match offsets.as_ref().and_then(|o| o.get(place as usize)) {
                Some(offset) => {
                    self.length(id, "offset", Interval::exact(*offset), Origin::Said, None);
                    self.fact(id, "height", Fact::Derived("template.first + hole.offset"));
                }
                None if place == 0 => self.fact(id, "height", Fact::Derived("template.first")),
                None => self.fact(
                    id,
                    "height",
                    Fact::Derived("template.first + hole.place * template.pitch"),
                ),
            }
            holes.push(id);
        }
        holes
    }

    /// A given or measured value takes the place of what was known or to be found.
    fn override_size(
        &mut self,
        leaf: ThingId,
        name: &Said<String>,
        value: Interval,
        origin: Origin,
    ) {
        let Some((label, field)) = name.value.rsplit_once('.') else {
            return self.no_such_size(leaf, name);
        };
        let found = self.scene.things.iter().enumerate().find(|(i, t)| {
            let id = ThingId(*i as u32);
            t.label == label && (id == leaf || self.scene.leaf_of(id) == Some(leaf))
        });
        let Some((index, thing)) = found else {
            return self.no_such_size(leaf, name);
        };
        if !SETTABLE
            .iter()
            .any(|(kind, f)| *kind == thing.kind && *f == field)
        {
            return self.no_such_size(leaf, name);
        }
        let said_before = match thing.facts.get(field) {
            Some(Fact::Length(id)) => {
                self.scene.given(*id).origin == origin && origin == Origin::Measured
            }
            _ => false,
        };
        if said_before {
            self.errors
                .push(SceneError::GivenTwice { name: name.clone() });
        }
        let id = ThingId(index as u32);
        self.length(id, field, value, origin, Some(name.place));
    }

    fn no_such_size(&mut self, leaf: ThingId, name: &Said<String>) {
        let known = (0..self.scene.things.len() as u32)
            .map(ThingId)
            .filter(|t| *t == leaf || self.scene.leaf_of(*t) == Some(leaf))
            .flat_map(|t| {
                let kind = self.scene.thing(t).kind;
                let fields = SETTABLE.iter().filter(move |(k, _)| *k == kind);
                fields.map(move |(_, f)| (t, *f))
            })
            .map(|(t, f)| self.scene.size_name(t, f))
            .collect();
        self.errors.push(SceneError::NoSuchSize {
            name: name.clone(),
            known,
        });
    }

    fn caliper(&self, thing: ThingId) -> Interval {
        let nothing = Interval::exact(Length::ZERO);
        self.scene.length(thing, "caliper").unwrap_or(nothing)
    }

    /// The sum of thicknesses; nothing, and an error, where it is beyond any album.
    fn sum(&mut self, place: Place, parts: impl IntoIterator<Item = Option<Interval>>) -> Interval {
        let nothing = Interval::exact(Length::ZERO);
        let sum = parts
            .into_iter()
            .try_fold(nothing, |sum, part| stack::plus(sum, part?));
        sum.unwrap_or_else(|| {
            if !self
                .errors
                .iter()
                .any(|e| matches!(e, SceneError::TooThick { .. }))
            {
                self.errors.push(SceneError::TooThick { place });
            }
            nothing
        })
    }

    fn thickness(&mut self, leaf: ThingId, bag: &Bag, said: &Leaf) {
        let print = self.quantity_length("print_caliper");
        let inserts = self
            .scene
            .thing(leaf)
            .lists
            .get("inserts")
            .cloned()
            .unwrap_or_default();
        let mut bulks = Vec::new();
        for (&insert, text) in inserts.iter().zip(&said.inserts) {
            let photo = text.photo.as_ref().map(|photo| {
                // The thickest print that it may come from.
                let calipers = photo
                    .prints
                    .iter()
                    .filter_map(|p| self.album.supplies.prints.get(*p)?.caliper);
                calipers.max_by_key(|c| c.most()).unwrap_or(print)
            });
            let one = [
                Some(self.caliper(insert)),
                photo.or(Some(Interval::exact(Length::ZERO))),
            ];
            let one = self.sum(text.place, one);
            let all = self.sum(text.place, [stack::times(one, text.count)]);
            let at = Some(text.place);
            let label = format!("thickness of {}", text.name);
            let id = self.given(label, all, Origin::Derived, at);
            self.fact(insert, "thickness", Fact::Length(id));
            bulks.push((insert, all));
        }
        let bulk = self.sum(said.place, bulks.iter().map(|(_, b)| Some(*b)));
        self.length(leaf, "bulk", bulk, Origin::Derived, Some(said.place));
        let sections = self
            .scene
            .thing(leaf)
            .lists
            .get("sections")
            .cloned()
            .unwrap_or_default();
        for section in sections {
            let here = self
                .scene
                .thing(section)
                .lists
                .get("inserts")
                .cloned()
                .unwrap_or_default();
            let here = bulks
                .iter()
                .filter(|(i, _)| here.contains(i))
                .map(|(_, b)| Some(*b));
            let here: Vec<_> = here.collect();
            let bulk = self.sum(said.place, here);
            self.length(section, "bulk", bulk, Origin::Derived, Some(said.place));
        }
        let layer = bag
            .caliper
            .unwrap_or_else(|| self.quantity_length("bag_caliper"));
        let (n, d) = self.quantity_ratio("bulk_factor");
        let layers = |count: i64| stack::times(layer, count).and_then(|t| stack::share(t, n, d));
        let has_pocket = self.scene.flag(leaf, "has_pocket");
        let flap = if has_pocket && bag.bottom == Bottom::Block {
            bag.flap_layers
                .unwrap_or_else(|| self.quantity_count("flap_layers"))
        } else {
            // A bag folded up doubles itself.
            i64::from(has_pocket) * 2
        };
        let parts = self.scene.thing(leaf).parts.clone();
        let mats: Vec<_> = parts
            .values()
            .filter(|p| self.scene.flag(**p, "wanted"))
            .map(|p| Some(self.caliper(*p)))
            .collect();
        let bag_at_holes = match bag.squeezed {
            Some(measured) => Some(measured),
            None => layers(stack::most_layers(bag.bottom) + flap),
        };
        let at_holes = self.sum(said.place, mats.iter().copied().chain([bag_at_holes]));
        if !self
            .scene
            .thing(leaf)
            .facts
            .contains_key("thickness_at_holes")
        {
            self.length(
                leaf,
                "thickness_at_holes",
                at_holes,
                Origin::Derived,
                Some(said.place),
            );
        }
        let middle = self.sum(
            said.place,
            mats.iter().copied().chain([layers(2 + flap), Some(bulk)]),
        );
        if !self.scene.thing(leaf).facts.contains_key("thickness") {
            self.length(leaf, "thickness", middle, Origin::Derived, Some(said.place));
        }
    }

    fn stacks(&mut self, album: ThingId, leaves: &[ThingId]) {
        let nothing = Interval::exact(Length::ZERO);
        for (field, of_leaf) in [
            ("stack_at_holes", "thickness_at_holes"),
            ("stack_in_middle", "thickness"),
        ] {
            let parts: Vec<_> = leaves
                .iter()
                .zip(&self.album.leaves)
                .map(|(id, said)| {
                    stack::times(
                        self.scene.length(*id, of_leaf).unwrap_or(nothing),
                        said.count,
                    )
                })
                .collect();
            let place = self
                .album
                .leaves
                .first()
                .map_or(Place::default(), |l| l.place);
            let sum = self.sum(place, parts);
            self.length(album, field, sum, Origin::Derived, None);
        }
    }

    fn rings(&mut self, album: ThingId) -> Vec<ThingId> {
        let nothing = Interval::exact(Length::ZERO);
        let stack = self
            .scene
            .length(album, "stack_at_holes")
            .unwrap_or(nothing);
        let fixed = self.album.ring.as_ref().map(|r| r.value);
        let mut rings = Vec::new();
        for (index, ring) in self.album.supplies.rings.iter().enumerate() {
            if fixed.is_some_and(|f| f != index) {
                continue;
            }
            let at = Some(ring.place);
            let id = self.thing("ring", ring.name.clone(), None, at);
            self.number(id, "index", index as i64);
            // More paper goes round a larger ring and round a thinner stack: the worst ends are known.
            let closed = stack::closed_paper(ring.inside.least(), stack.most());
            let turned = stack::turned_paper(ring.inside.least(), stack.most());
            for (field, value, origin) in [
                ("inside", ring.inside, Origin::Said),
                ("closed_paper", Interval::exact(closed), Origin::Derived),
                ("turned_paper", Interval::exact(turned), Origin::Derived),
            ] {
                let given = self.given(format!("{field} of {}", ring.name), value, origin, at);
                self.fact(id, field, Fact::Length(given));
            }
            if let Some(wire) = ring.wire {
                let given = self.given(format!("wire of {}", ring.name), wire, Origin::Said, at);
                self.fact(id, "wire", Fact::Length(given));
            }
            rings.push(id);
        }
        rings
    }
}

/// What an album may give or measure, by kind of thing.
const SETTABLE: &[(&str, &str)] = &[
    ("leaf", "width"),
    ("leaf", "height"),
    ("leaf", "gusset"),
    ("leaf", "thickness"),
    ("leaf", "thickness_at_holes"),
    ("pocket", "edge"),
    ("pocket", "depth"),
    ("section", "depth"),
    ("mat", "width"),
    ("mat", "height"),
    ("insert", "width"),
    ("insert", "height"),
    ("insert", "show"),
    ("photo", "width"),
    ("photo", "height"),
];
