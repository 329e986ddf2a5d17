//! An album's things while they are put together, and what every file here adds to them with.

use super::model::Model;
use super::*;
use crate::album::{Album, Leaf, Own, PartPaper};
use crate::style::Style;
use crate::text::Said;

/// What a field is called that tells how far another may be off the middle of what is given.
pub(super) const PLAY: &str = "_play";

/// What is made, and what of.
pub(super) struct Maker<'a> {
    pub model: Model,
    pub album: &'a Album,
    pub style: &'a Style,
    /// Names of the leaf that is made.
    pub naming: Naming,
    /// Names of the style that are of the album itself, by their places.
    pub of_album: BTreeSet<usize>,
    /// Fields that a rule asks the play of.
    pub plays: Vec<String>,
    pub errors: Vec<SceneError>,
}

/// What an album says of the parts of one leaf, or of its own.
#[derive(Clone, Copy)]
pub(super) struct Saying<'a> {
    pub parts: &'a [(String, PartPaper)],
    pub given: &'a [(Said<String>, Interval)],
    pub measured: &'a [(Said<String>, Interval)],
}

impl<'a> Saying<'a> {
    /// Every size that is given or measured.
    pub fn sizes(self) -> impl Iterator<Item = (&'a Said<String>, Interval, Origin)> {
        let of = |all: &'a [(Said<String>, Interval)], origin| {
            all.iter().map(move |(name, value)| (name, *value, origin))
        };
        of(self.given, Origin::Said).chain(of(self.measured, Origin::Measured))
    }
}

impl<'a> From<&'a Leaf> for Saying<'a> {
    fn from(leaf: &'a Leaf) -> Saying<'a> {
        Saying {
            parts: &leaf.parts,
            given: &leaf.given,
            measured: &leaf.measured,
        }
    }
}

impl<'a> From<&'a Own> for Saying<'a> {
    fn from(own: &'a Own) -> Saying<'a> {
        Saying {
            parts: &own.parts,
            given: &own.given,
            measured: &own.measured,
        }
    }
}

/// The names of one leaf while they are worked out.
#[derive(Default)]
pub(super) struct Naming {
    /// Names that are worked out or about to be.
    pub begun: BTreeSet<usize>,
    /// What the album gives or measures and a name has taken.
    pub said: BTreeSet<String>,
}

impl Maker<'_> {
    pub(super) fn thing(
        &mut self,
        kind: &'static str,
        label: impl Into<String>,
        owner: Option<ThingId>,
        place: Option<Place>,
    ) -> ThingId {
        let id = ThingId(self.model.scene.things.len() as u32);
        self.model.scene.things.push(Thing {
            kind,
            label: label.into(),
            owner,
            place,
            ..Thing::default()
        });
        id
    }

    /// The thing itself, to add to it.
    pub(super) fn at(&mut self, thing: ThingId) -> &mut Thing {
        &mut self.model.scene.things[thing.0 as usize]
    }

    pub(super) fn part(&mut self, of: ThingId, name: &str, part: ThingId) {
        self.at(of).parts.insert(name.to_owned(), part);
    }

    pub(super) fn fact(&mut self, thing: ThingId, field: &str, fact: Fact) {
        self.at(thing).facts.insert(field.to_owned(), fact);
    }

    pub(super) fn has(&self, thing: ThingId, field: &str) -> bool {
        self.model.scene.thing(thing).facts.contains_key(field)
    }

    /// A fact that follows from others.
    pub(super) fn follows(&mut self, thing: ThingId, field: &str, text: &str) {
        if let Some(fact) = Fact::derived(text) {
            self.fact(thing, field, fact);
        }
    }

    pub(super) fn given(
        &mut self,
        label: impl Into<String>,
        value: Interval,
        origin: Origin,
        place: Option<Place>,
    ) -> GivenId {
        let id = GivenId(self.model.scene.givens.len() as u32);
        self.model.scene.givens.push(Given {
            label: label.into(),
            value,
            origin,
            place,
        });
        id
    }

    pub(super) fn length(
        &mut self,
        thing: ThingId,
        field: &str,
        value: Interval,
        origin: Origin,
        place: Option<Place>,
    ) -> GivenId {
        let label = self.model.scene.size_name(thing, field);
        self.length_called(label, (thing, field), value, origin, place)
    }

    /// The same of what the album or its supplies say, if they do.
    pub(super) fn said(
        &mut self,
        thing: ThingId,
        field: &str,
        value: Option<Interval>,
        place: Option<Place>,
    ) {
        if let Some(value) = value {
            self.length(thing, field, value, Origin::Said, place);
        }
    }

    /// A length under a name of its own.
    pub(super) fn length_called(
        &mut self,
        label: String,
        (thing, field): (ThingId, &str),
        value: Interval,
        origin: Origin,
        place: Option<Place>,
    ) -> GivenId {
        let id = self.given(label, value, origin, place);
        self.fact(thing, field, Fact::Length(id));
        id
    }

    pub(super) fn number(&mut self, thing: ThingId, field: &str, value: i64) {
        self.fact(thing, field, Fact::Number(value, 1));
    }

    /// A length quantity; a style that says it as a number is refused.
    pub(super) fn quantity_length(&mut self, name: &str) -> Interval {
        self.model.scene.read.insert(name.to_owned());
        let id = match self.model.scene.quantities.get(name) {
            Some(Fact::Length(id)) => Some(*id),
            _ => None,
        };
        if let Some(id) = id {
            if self.model.scene.given(id).origin == Origin::Assumed {
                self.assume(Assumption::Quantity(name.to_owned()));
            }
            return self.model.scene.given(id).value;
        }
        self.wrong_quantity(name, "length");
        Interval::default()
    }

    /// A length quantity stands in for what is not said of a thing.
    pub(super) fn usual(&mut self, thing: ThingId, field: &str, quantity: &str) {
        self.quantity_length(quantity);
        self.stands_in(thing, field, quantity);
    }

    pub(super) fn stands_in(&mut self, thing: ThingId, field: &str, quantity: &str) {
        if let Some(fact) = self.model.scene.quantities.get(quantity).cloned() {
            self.fact(thing, field, fact);
        }
    }

    pub(super) fn assume(&mut self, assumption: Assumption) {
        if !self.model.scene.assumed.contains(&assumption) {
            self.model.scene.assumed.push(assumption);
        }
    }

    pub(super) fn quantity_ratio(&mut self, name: &str) -> (i64, i64) {
        self.model.scene.read.insert(name.to_owned());
        if let Some(Fact::Number(n, d)) = self.model.scene.quantities.get(name) {
            return (*n, *d);
        }
        self.wrong_quantity(name, "number");
        (1, 1)
    }

    pub(super) fn quantity_count(&mut self, name: &str) -> i64 {
        match self.quantity_ratio(name) {
            (n, 1) if (0..=1000).contains(&n) => n,
            _ => {
                self.wrong_quantity(name, "whole number from 0 to 1000");
                1
            }
        }
    }

    pub(super) fn wrong_quantity(&mut self, name: &str, wanted: &'static str) {
        let place = (self.album.set.iter())
            .find(|(n, _)| n.value == name)
            .map_or(self.album.style.place, |(_, v)| v.place);
        self.errors.push(SceneError::WrongQuantity {
            name: name.to_owned(),
            wanted,
            place,
        });
    }
}
