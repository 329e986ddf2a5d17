//! Room for inserts: which slots a leaf has, and which insert goes into which.

use super::maker::Maker;
use super::model::Scope;
use super::*;
use crate::album::{Insert, Leaf};
use crate::style::expr::{Condition, ConditionNode, Node};
use crate::style::parts::{Edge, End, Is, Lies, Part, Slot};

impl Maker<'_> {
    /// The slots that a leaf has, from front to back.
    pub(super) fn slots(&mut self, leaf: ThingId, said: &Leaf) -> Vec<ThingId> {
        let style = self.style;
        let mut slots: Vec<ThingId> = Vec::new();
        for (part, slot) in style.slots() {
            self.ensure_all(leaf, said.into(), &part.when);
            let scope = self.model.scope_of(leaf);
            if !self.all_hold(&part.when, &scope) {
                continue;
            }
            let at = self.model.scene.thing(leaf).place;
            let there = self.model.scene.part(leaf, &part.name);
            let thing = there.unwrap_or_else(|| self.thing("slot", &part.name, Some(leaf), at));
            self.part(leaf, &part.name, thing);
            if slots.contains(&thing) {
                continue;
            }
            let section = slot.section.as_deref().unwrap_or(NO_SECTION);
            for (field, text) in [
                ("name", part.name.as_str()),
                ("place", &slot.place),
                ("section", section),
            ] {
                self.fact(thing, field, Fact::Text(text.to_owned()));
            }
            slots.push(thing);
        }
        slots
    }

    /// How deep each slot is, where its style has no name for that.
    pub(super) fn depths(&mut self, slots: &[ThingId]) {
        let style = self.style;
        for &thing in slots {
            let name = self.model.scene.text(thing, "name");
            let scope = self.model.scope_of(thing);
            let cases = style.slots().filter(|(part, _)| part.name == name);
            let mut here = cases.filter(|(part, _)| self.model.all_hold(&part.when, &scope));
            let depth = here
                .next()
                .and_then(|(part, slot)| self.depth(slot, &part.lies));
            if let (false, Some(depth)) = (self.has(thing, "depth"), depth)
                && self.can_be_worked_out(&depth, &scope)
            {
                self.fact(thing, "depth", Fact::Derived(Arc::new(depth)));
            }
        }
    }

    /// How deep a slot is: from the edge at which it opens to its other end.
    fn depth(&self, slot: &Slot, lies: &Lies) -> Option<Expr> {
        let opens = slot.opens?;
        let ([near, far, size], whole) = match opens {
            Edge::Left | Edge::Right => (lies.across(), "width"),
            Edge::Low | Edge::High => (lies.up(), "height"),
        };
        let at = |end: &Option<End>| match end {
            Some(End::At(expr)) => Some(Some(expr.clone())),
            // The tightest of several is found with the sizes.
            Some(_) => None,
            None => Some(None),
        };
        let (near, far, size) = (at(near)?, at(far)?, at(size)?);
        if size.is_some() {
            return size;
        }
        let far = far.unwrap_or_else(|| Expr::name("leaf", whole));
        Some(match near {
            None => far,
            Some(near) => Expr::unsaid(Node::Subtract(Box::new(far), Box::new(near))),
        })
    }

    /// The place that an insert is for.
    pub(super) fn place_of<'a>(&'a self, insert: &'a Insert) -> &'a str {
        match insert.goes.value.as_str() {
            "" => self.style.usual_place(),
            said => said,
        }
    }

    /// The slot that an insert goes into: of its place the first, or the one with its section.
    pub(super) fn slot_of(
        &self,
        slots: &[ThingId],
        insert: &Insert,
        exchanged: bool,
    ) -> Option<ThingId> {
        let text = |slot: ThingId, field: &str| self.model.scene.text(slot, field);
        let mut here =
            (slots.iter().copied()).filter(|slot| text(*slot, "place") == self.place_of(insert));
        let Some(section) = &insert.section else {
            return here.next();
        };
        let of_section = |wanted: &str| {
            let mut slots = here.clone();
            slots.find(|slot| text(*slot, "section") == wanted)
        };
        // Another bag may have one slot only where the first had several.
        let only = || of_section(NO_SECTION).filter(|_| exchanged);
        of_section(&section.value).or_else(only)
    }

    /// What a leaf lacks for an insert that has no slot in it.
    pub(super) fn lacks(&mut self, leaf: ThingId, insert: &Insert) -> Lacks {
        let style = self.style;
        let place: Vec<(&Part, &Slot)> = style
            .slots()
            .filter(|(_, slot)| slot.place == self.place_of(insert))
            .collect();
        let section = |slot: &Slot| match (&insert.section, &slot.section) {
            (Some(wanted), Some(has)) => wanted.value == *has,
            (wanted, _) => wanted.is_none(),
        };
        let scope = self.model.scope_of(leaf);
        let mut missing = place.iter().filter(|(_, slot)| section(slot));
        match (missing.next(), &insert.section) {
            (Some((part, _)), _) => self
                .first_missing(&part.when, &scope, 0)
                .unwrap_or(Lacks::Slot(part.title.clone())),
            (None, Some(section)) => Lacks::Section(section.value.clone()),
            (None, None) => Lacks::Slot(self.place_of(insert).to_owned()),
        }
    }

    /// The first of these conditions that does not hold, told by what is missing for it.
    fn first_missing(&self, when: &[Condition], scope: &Scope, depth: usize) -> Option<Lacks> {
        // Names do not run in circles; this is the end of any that would.
        const DEEPEST: usize = 32;
        let holds = |c: &Condition| self.model.holds(c, scope).unwrap_or(false);
        let failed = when
            .iter()
            .find(|c| !holds(c))
            .filter(|_| depth < DEEPEST)?;
        let (ConditionNode::Given(path) | ConditionNode::Flag(path)) = &failed.node else {
            return None;
        };
        let style = self.style;
        let [head, field] = path.0.as_slice() else {
            return None;
        };
        if field == "wanted" {
            let needs = style.on_leaf_called(head).map(|part| &part.when[..]);
            let needs = self.first_missing(needs.unwrap_or(&[]), scope, depth + 1);
            return needs.or_else(|| Some(Lacks::Paper(head.clone())));
        }
        let rule = style.name_rule(head, field)?;
        rule.rows.iter().find_map(|row| match &row.is {
            Is::Holds(any) => {
                let first = any.first().map(std::slice::from_ref)?;
                self.first_missing(first, scope, depth + 1)
            }
            Is::Value(_) => BagMeasure::of_row(row).map(|measure| Lacks::Measure {
                thing: head.clone(),
                measure,
            }),
        })
    }
}

/// The section of a slot that has none.
pub const NO_SECTION: &str = "none";
