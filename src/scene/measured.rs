//! Given and measured sizes, which take the place of what was known or to be found.

use super::maker::Maker;
use super::*;
use crate::style::expr::{Node, Path};
use crate::style::parts::{Is, NameRule, Row};
use crate::text::Said;
use itertools::Itertools;

/// What an album may give or measure, by kind of thing.
const SETTABLE: &[(&str, &str)] = &[
    ("leaf", "width"),
    ("leaf", "height"),
    ("leaf", "thickness"),
    ("leaf", "thickness_at_holes"),
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
        let found = self.model.scene.things.iter().enumerate().find(|(i, t)| {
            let id = ThingId(*i as u32);
            t.label == label && (id == leaf || self.model.scene.leaf_of(id) == Some(leaf))
        });
        let Some((index, thing)) = found else {
            return self.no_such_size(leaf, name);
        };
        let settable = self.settable(thing);
        if !settable.iter().any(|it| it == field) {
            return self.no_such_size(leaf, name);
        }
        let id = ThingId(index as u32);
        self.replace(id, name, field, value, origin);
    }

    /// The same for a size that there is.
    pub(super) fn replace(
        &mut self,
        thing: ThingId,
        name: &Said<String>,
        field: &str,
        value: Interval,
        origin: Origin,
    ) {
        let said_before = match self.model.scene.thing(thing).facts.get(field) {
            Some(Fact::Length(id)) => {
                self.model.scene.given(*id).origin == origin && origin == Origin::Measured
            }
            _ => false,
        };
        if said_before {
            self.errors
                .push(SceneError::GivenTwice { name: name.clone() });
        }
        self.length(thing, field, value, origin, Some(name.place));
    }

    /// What an album may give or measure of a thing: of a part also what the style declares.
    fn settable(&self, thing: &Thing) -> Vec<String> {
        let always = SETTABLE.iter().filter(|(kind, _)| *kind == thing.kind);
        let always = always.map(|(_, field)| (*field).to_owned());
        let is_part = thing.kind == "mat" && self.style.has_part(&thing.label);
        let declared = self.style.unknowns.iter().map(|unknown| &unknown.name);
        let declared = declared.filter(|name| is_part && name.head() == thing.label);
        let declared = declared.map(|name| name.last().to_owned());
        let names = self.style.names.iter();
        let names = names.filter(|rule| rule.name.head() == thing.label);
        let names = names.filter(|rule| self.is_measure(thing, rule));
        let names = names.map(|rule| rule.name.last().to_owned());
        names.chain(always).chain(declared).unique().collect()
    }

    /// Whether a name is a length that can be measured: a leaf's even where nothing says it.
    fn is_measure(&self, thing: &Thing, rule: &NameRule) -> bool {
        match thing.facts.get(rule.name.last()) {
            // What is only another of the style's names is measured there.
            Some(Fact::Length(_)) => rule.rows.iter().any(|row| match &row.is {
                Is::Value(end) => end.all().iter().all(|expr| match &expr.node {
                    Node::Name(path) => path.head() == "bag",
                    _ => true,
                }),
                Is::Holds(_) => false,
            }),
            Some(Fact::Derived(expr)) => {
                let names = expr.names();
                let found = |path: &Path| self.style.unknowns.iter().any(|u| u.name == *path);
                !names.iter().any(|(path, _)| found(path))
            }
            Some(_) => false,
            None => {
                let bag = |row: &Row| match &row.is {
                    Is::Value(end) => end
                        .all()
                        .iter()
                        .all(|expr| expr.names().iter().all(|(path, _)| path.head() == "bag")),
                    Is::Holds(_) => false,
                };
                thing.kind == "leaf" && rule.rows.iter().all(bag)
            }
        }
    }

    pub(super) fn no_such_size(&mut self, leaf: ThingId, name: &Said<String>) {
        let known = (0..self.model.scene.things.len() as u32)
            .map(ThingId)
            .filter(|t| *t == leaf || self.model.scene.leaf_of(*t) == Some(leaf))
            .flat_map(|t| {
                let fields = self.settable(self.model.scene.thing(t));
                fields.into_iter().map(move |field| (t, field))
            })
            .map(|(t, field)| self.model.scene.size_name(t, &field))
            .collect();
        self.errors.push(SceneError::NoSuchSize {
            name: name.clone(),
            known,
        });
    }
}
