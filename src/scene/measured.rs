//! Given and measured sizes, which take the place of what was known or to be found.

use super::maker::{Maker, Saying};
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
    /// Given and measured sizes that no name has taken.
    pub(super) fn override_sizes(&mut self, of: ThingId, said: Saying<'_>) {
        for (sizes, origin) in [
            (said.given, Origin::Said),
            (said.measured, Origin::Measured),
        ] {
            for (name, value) in sizes {
                if !self.naming.said.contains(&name.value) {
                    self.override_size(of, name, *value, origin);
                }
            }
        }
    }

    /// Whether a thing is a leaf's, or the album's own.
    fn is_part_of(&self, thing: ThingId, of: ThingId) -> bool {
        let scene = &self.model.scene;
        match of == scene.album() {
            true => scene.thing(of).parts.values().any(|part| *part == thing),
            false => thing == of || scene.leaf_of(thing) == Some(of),
        }
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
        let found = self.model.scene.things.iter().enumerate().find(|(i, t)| {
            let id = ThingId(*i as u32);
            t.label == label && self.is_part_of(id, leaf)
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
        let style = self.style;
        let known =
            style.has_part(&thing.label) || style.papers_of_album().contains(&thing.label.as_str());
        let is_part = thing.kind == "mat" && known;
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
            .filter(|t| self.is_part_of(*t, leaf))
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
