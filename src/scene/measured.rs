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
        for (name, value, origin) in said.sizes() {
            if !self.naming.said.contains(&name.value) {
                self.override_size(of, name, value, origin);
            }
        }
    }

    /// The things that are a leaf's, or the album's own.
    fn things_of(&self, of: ThingId) -> impl Iterator<Item = (ThingId, &Thing)> {
        let scene = &self.model.scene;
        let all = (0..).map(ThingId).zip(&scene.things);
        all.filter(move |(id, _)| match of == scene.album() {
            true => scene.thing(of).parts.values().any(|part| part == id),
            false => scene.leaf_of(*id) == Some(of),
        })
    }

    /// A given or measured value takes the place of what was known or to be found.
    fn override_size(
        &mut self,
        leaf: ThingId,
        name: &Said<String>,
        value: Interval,
        origin: Origin,
    ) {
        let found = name.value.rsplit_once('.').and_then(|(label, field)| {
            let (id, thing) = self
                .things_of(leaf)
                .find(|(_, thing)| thing.label == label)?;
            let settable = self.settable(thing).iter().any(|it| it == field);
            settable.then_some((id, field))
        });
        match found {
            Some((id, field)) => self.replace(id, name, field, value, origin),
            None => self.no_such_size(leaf, name),
        }
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
        if let Some(Fact::Length(id)) = self.model.scene.thing(thing).facts.get(field)
            && [self.model.scene.given(*id).origin, origin] == [Origin::Measured; 2]
        {
            let name = name.clone();
            self.errors.push(SceneError::GivenTwice { name });
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
                    Is::Value(end) => {
                        let mut names = end.all().iter().flat_map(Expr::paths);
                        names.all(|path| path.head() == "bag")
                    }
                    Is::Holds(_) => false,
                };
                thing.kind == "leaf" && rule.rows.iter().all(bag)
            }
        }
    }

    pub(super) fn no_such_size(&mut self, leaf: ThingId, name: &Said<String>) {
        let named = |(id, thing): (ThingId, &Thing)| {
            let fields = self.settable(thing).into_iter();
            let names = fields.map(|field| self.model.scene.size_name(id, &field));
            names.collect::<Vec<String>>()
        };
        let known = self.things_of(leaf).flat_map(named).collect();
        let name = name.clone();
        self.errors.push(SceneError::NoSuchSize { name, known });
    }
}
