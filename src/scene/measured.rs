//! Given and measured sizes, which take the place of what was known or to be found.

use super::make::Maker;
use super::*;
use crate::text::Said;
use itertools::Itertools;

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

impl Maker<'_> {
    /// A given or measured value takes the place of what was known or to be found.
    pub(super) fn override_size(
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
        let settable = self.settable(thing);
        if !settable.iter().any(|it| it == field) {
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

    /// What an album may give or measure of a thing: of a part also what the style declares.
    fn settable(&self, thing: &Thing) -> Vec<String> {
        let always = SETTABLE.iter().filter(|(kind, _)| *kind == thing.kind);
        let always = always.map(|(_, field)| (*field).to_owned());
        let part = self.parts.iter().filter(|_| thing.kind == "mat");
        let part = part.filter(|part| part.name == thing.label);
        let declared = part.flat_map(|part| part.fields.iter().cloned());
        always.chain(declared).unique().collect()
    }

    pub(super) fn no_such_size(&mut self, leaf: ThingId, name: &Said<String>) {
        let known = (0..self.scene.things.len() as u32)
            .map(ThingId)
            .filter(|t| *t == leaf || self.scene.leaf_of(*t) == Some(leaf))
            .flat_map(|t| {
                let fields = self.settable(self.scene.thing(t));
                fields.into_iter().map(move |field| (t, field))
            })
            .map(|(t, field)| self.scene.size_name(t, &field))
            .collect();
        self.errors.push(SceneError::NoSuchSize {
            name: name.clone(),
            known,
        });
    }
}
