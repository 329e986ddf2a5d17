//! The things of one album and what is known of them: the values behind the vocabulary's names.
//!
//! Everything given is kept once, as a [`Given`], so that a value that enters a rule twice is one
//! value, and so that the plan can say what was assumed. May import `length`, `text`, `supplies`,
//! `album`, `vocabulary` and `style`, and of `solve` its program.

pub mod facts;
mod fault;
mod follows;
mod form;
mod leaf;
mod make;
mod maker;
mod measured;
pub mod model;
mod named;
mod plies;
mod remeasure;
mod slots;
pub mod stack;
mod thickness;

use facts::Tested;
pub use fault::SceneError;
use follows::Follows;
pub use make::{build, template};
pub use plies::{HoleAt, Plies};
pub use remeasure::{BagMeasure, BagShape, OfBag};
pub(crate) use thickness::covers;

use crate::album::Value;
use crate::length::Interval;
use crate::solve::program::{GroupId, UnknownId};
use crate::style::expr::Expr;
use crate::style::grammar;
use crate::text::Place;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

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
    Derived(Arc<Expr>),
}

impl Fact {
    /// A fact that follows from others, as an expression says it. `None` if that is none, which a
    /// test of every such text rules out.
    pub fn derived(text: &str) -> Option<Fact> {
        let expr = grammar::read_expr(text, Place::default()).ok()?;
        Some(Fact::Derived(Arc::new(expr)))
    }
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
    /// Quantities that were needed to put the things together.
    pub read: BTreeSet<String>,
    /// Given values that are measures of a leaf's bag.
    pub of_bags: Vec<OfBag>,
    /// What a style calls a leaf and a hole where the vocabulary says `leaf` and `hole`.
    pub called: BTreeMap<String, &'static str>,
    /// Inserts whose place their leaf has not.
    pub nowhere: Vec<Nowhere>,
    /// Conditions on what bags measure, by which names and parts were chosen.
    pub(crate) chosen: Vec<Tested>,
    /// The layers of each leaf's bag.
    pub plies: BTreeMap<ThingId, Plies>,
    /// Values that follow from what bags measure, in the order in which they are worked out.
    follows: Vec<Follows>,
}

/// An insert whose place its leaf has not, and what the leaf lacks for it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Nowhere {
    pub insert: ThingId,
    pub leaf: ThingId,
    pub lacks: Lacks,
}

/// What a leaf lacks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Lacks {
    /// A measure of its bag, without which the thing of that name is not there.
    Measure { thing: String, measure: BagMeasure },
    /// A piece of paper that is only there where the album names it.
    Paper(String),
    /// A place with that section.
    Section(String),
    /// Something else: the slot's own name.
    Slot(String),
}

/// Something that stands in for a measure.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Assumption {
    /// A quantity of the style that was used.
    Quantity(String),
    /// The bottom of a flat leaf's bag, of which neither kind nor gusset is known; `flap` if a pocket tells
    /// that it has a flap.
    Bottom { leaf: ThingId, flap: bool },
    /// A size that was worked out from others.
    Size {
        thing: ThingId,
        field: String,
        why: String,
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
        self.list(self.album(), "leaves")
    }

    /// A list of a thing; empty where it has none.
    pub fn list(&self, thing: ThingId, name: &str) -> &[ThingId] {
        let list = self.thing(thing).lists.get(name);
        list.map_or(&[], Vec::as_slice)
    }

    /// A part of a thing.
    pub fn part(&self, thing: ThingId, name: &str) -> Option<ThingId> {
        self.thing(thing).parts.get(name).copied()
    }

    /// The holes of all leaves, as the first has them.
    pub fn holes(&self) -> &[ThingId] {
        let first = self.leaves().first();
        first.map_or(&[], |leaf| self.list(*leaf, "holes"))
    }

    /// The kind of what a style calls so; the word itself if it is no name of a kind.
    pub fn kind_of<'n>(&self, name: &'n str) -> &'n str {
        self.called.get(name).copied().unwrap_or(name)
    }

    /// The insert of that name on a leaf.
    pub fn insert(&self, leaf: ThingId, name: &str) -> Option<ThingId> {
        let mut inserts = self.list(leaf, "inserts").iter().copied();
        inserts.find(|it| self.thing(*it).label == name)
    }

    /// Keeps one leaf, and one of it; everything else stays as it was worked out for all of them.
    pub(crate) fn only(&mut self, leaf: Option<ThingId>) {
        let lists = self.things.first_mut().map(|album| &mut album.lists);
        if let Some(leaves) = lists.and_then(|lists| lists.get_mut("leaves")) {
            leaves.retain(|it| Some(*it) == leaf);
        }
        let thing = leaf.and_then(|leaf| self.things.get_mut(leaf.0 as usize));
        if let Some(thing) = thing {
            thing.facts.insert("count".to_owned(), Fact::Number(1, 1));
        }
    }

    /// The leaf that a thing belongs to.
    pub fn leaf_of(&self, id: ThingId) -> Option<ThingId> {
        std::iter::successors(Some(id), |t| self.thing(*t).owner)
            .find(|t| self.thing(*t).kind == "leaf")
    }

    /// What that leaf is called; empty for what belongs to no leaf.
    pub fn leaf_name(&self, id: ThingId) -> &str {
        let leaf = self.leaf_of(id);
        leaf.map_or("", |leaf| self.text(leaf, "name"))
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

    /// A whole number of a thing; 0 if it is not given.
    pub fn count(&self, thing: ThingId, field: &str) -> i64 {
        match self.thing(thing).facts.get(field) {
            Some(Fact::Number(n, 1)) => *n,
            _ => 0,
        }
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
