//! Given and measured sizes, which take the place of what was known or to be found.

use super::make::Maker;
use super::*;
use crate::text::Said;

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

    pub(super) fn no_such_size(&mut self, leaf: ThingId, name: &Said<String>) {
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
}
