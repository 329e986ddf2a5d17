//! A style laid over an album while it becomes a [`Program`], and what comes of it.

use super::model::MOST_SCOPES;
use super::*;
use crate::album::Album;
use crate::length::{Length, Ruler};
use crate::scene::ThingId;
use crate::scene::model::{Form, Model, NoValue, Scope};
use crate::style::Style;
use crate::style::expr::{Binding, Number, Path};
use crate::vocabulary;
use itertools::Itertools;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// A style laid over an album, and the program that it makes.
#[derive(Clone, Debug)]
pub struct Expanded {
    pub model: Model,
    pub program: Program,
    /// The scope of each instance, aligned with [`Program::instances`].
    pub scopes: Vec<Scope>,
    /// Ruler steps in one unit of each row, aligned with [`Program::rows`].
    pub row_steps: Vec<Number>,
    /// What each row was made of, aligned with [`Program::rows`].
    pub row_sources: Vec<RowSource>,
    /// The comparison that each row of a rule says; rows behind these are no rule's.
    pub said_by: Vec<SaidBy>,
    /// What the maker named in `prefer` and each unknown's own wish, aligned with
    /// [`Program::stages`].
    pub stage_titles: Vec<String>,
    /// Unknowns that are sizes of things, in the order of the style, and the thing they belong to.
    pub sizes: Vec<SizeOf>,
    /// Units of the ruler.
    pub ruler: Ruler,
    /// By how much less these rules ask than the style says: the maker accepts it.
    pub accepted: BTreeMap<InstanceId, Length>,
}

/// Which leaf and thing an instance speaks of, for a maker; empty for the whole album.
pub fn of(expanded: &Expanded, instance: InstanceId) -> String {
    let scene = &expanded.model.scene;
    let scope = &expanded.scopes[instance.0 as usize].0;
    let Some((_, thing)) = scope.last() else {
        return String::new();
    };
    let leaves = scope
        .iter()
        .filter(|(_, it)| scene.thing(*it).kind == "leaf");
    let leaves: Vec<&str> = leaves.map(|(_, it)| scene.text(*it, "name")).collect();
    if leaves.len() > 1 {
        return leaves.into_iter().unique().join(" and ");
    }
    let leaf = scene.leaf_of(*thing).map_or("", |l| scene.text(l, "name"));
    let label = &scene.thing(*thing).label;
    match (scene.leaves().len() > 1, scene.thing(*thing).kind) {
        (_, "leaf") => leaf.to_owned(),
        (true, _) if !leaf.is_empty() => format!("{leaf}: {label}"),
        _ => label.clone(),
    }
}

/// What a row says before it is rounded.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum RowSource {
    /// `side * form <= 0`; the side is -1 where the comparison was turned round.
    Form { form: Form, side: i64 },
    /// A comparison of bare numbers.
    Numbers,
    /// It follows from other rows, or defines a helper unknown.
    Follows,
}

/// A comparison of a rule: the way of its `either`, else 0, and its place there.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct SaidBy {
    pub way: usize,
    pub comparison: usize,
}

/// An unknown that is a size of a thing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SizeOf {
    pub thing: ThingId,
    pub field: String,
    pub unknown: UnknownId,
    /// Place of its declaration in [`Style::unknowns`].
    pub declared: usize,
}

pub(super) struct Maker<'a> {
    pub style: &'a Style,
    pub album: &'a Album,
    pub out: Expanded,
    pub errors: Vec<ExpandError>,
    /// Things whose place their leaf has not: no rule is laid over them.
    pub nowhere: BTreeSet<ThingId>,
    /// What each `for` that was read runs over: many rules have the same.
    pub runs: Vec<(&'a [Binding], Arc<[Scope]>)>,
}

impl<'a> Maker<'a> {
    /// Every scope of a `for`, in the album's order.
    pub(super) fn scopes(&mut self, bindings: &'a [Binding]) -> Arc<[Scope]> {
        let same = |known: &'a [Binding]| {
            let words = |it: &'a Binding| (&it.variable, &it.list);
            known.iter().map(words).eq(bindings.iter().map(words))
        };
        if let Some((_, scopes)) = self.runs.iter().find(|(known, _)| same(known)) {
            return Arc::clone(scopes);
        }
        let mut scopes = self.model().scopes(bindings);
        if let (true, Some(first)) = (scopes.len() > MOST_SCOPES, bindings.first()) {
            let place = first.place;
            self.errors.push(ExpandError::LongFor { place });
            scopes.clear();
        }
        let scopes: Arc<[Scope]> = scopes.into();
        self.runs.push((bindings, Arc::clone(&scopes)));
        scopes
    }

    pub(super) fn model(&self) -> &Model {
        &self.out.model
    }

    /// Whether it is a side of a piece of paper of the style.
    fn is_side(&self, name: &Path) -> bool {
        let [head, field] = name.0.as_slice() else {
            return false;
        };
        let side = vocabulary::find("mat", field).is_some_and(|it| it.found);
        let mut own = self.style.of_album_called(head);
        side && self.style.name_rule(head, field).is_none()
            && own.next().or(self.style.on_leaf_called(head)).is_some()
    }

    /// Whether it is a size to be found, of a part where that is there.
    fn is_found(&self, name: &Path) -> bool {
        let mut unknowns = self.style.unknowns.iter();
        self.style.has_part(name.head()) && unknowns.any(|it| it.name == *name)
    }

    /// What the style calls the slot that a name speaks of.
    fn slot(&self, name: &Path, scope: &Scope) -> Option<&str> {
        let thing = self.model().head(name.head(), scope)?;
        let slot = self.model().scene.thing(thing);
        (slot.kind == "slot").then_some(slot.label.as_str())
    }

    pub(super) fn refuse(&mut self, rule: &str, why: NoValue, scope: &Scope) {
        let mut rules = self.style.rules.iter();
        let more = rules.any(|it| it.name == rule && !it.when.is_empty());
        let mut choices = self.style.choices.iter();
        let rule = rule.to_owned();
        let error = match why {
            NoValue::Absent(name, place) | NoValue::NoColumn(name, place) => ExpandError::Absent {
                lacks: match choices.find(|it| name.0.starts_with(&it.name.0)) {
                    Some(choice) => Absence::Choice(choice.from.clone()),
                    None if self.is_found(&name) => Absence::Part(more),
                    None if self.is_side(&name) => Absence::Side,
                    None => match self.slot(&name, scope) {
                        Some(slot) => Absence::Slot(format!("{slot}.{}", name.last())),
                        None => Absence::Value(more),
                    },
                },
                name: name.to_string(),
                rule,
                place,
            },
            NoValue::Kind(place) => ExpandError::Kind { rule, place },
            NoValue::Zero(place) => ExpandError::Zero { rule, place },
            NoValue::TooLarge(place) => ExpandError::TooLarge { rule, place },
        };
        if !self.errors.contains(&error) {
            self.errors.push(error);
        }
    }
}
