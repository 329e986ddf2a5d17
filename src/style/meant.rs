//! What a name, or a text that it is compared with, was probably meant to be. May import what `style` may.

use super::expr::Path;
use super::names::{Kinds, Lost, Names};
use crate::vocabulary;
use itertools::Itertools;

impl Names<'_> {
    /// The texts that a value can be; `None` if an album may make up its own.
    pub fn texts(&self, path: &Path, kinds: &Kinds) -> Option<Vec<String>> {
        let owner = self.owner(path, kinds).ok()?;
        let slots = || {
            let parts = super::parts::all(&self.style.parts).into_iter();
            parts.filter_map(|part| Some((&part.name, part.slot()?)))
        };
        let words = |all: &[&str]| Some(all.iter().map(ToString::to_string).collect());
        match (owner.kind, path.last()) {
            // A file that is only taken over has none of its own.
            ("slot" | "insert", _) if slots().next().is_none() => None,
            ("slot" | "insert", "place") => Some(slots().map(|(_, it)| it.place.clone()).collect()),
            ("slot", "name") | ("insert", "slot") => {
                Some(slots().map(|(name, _)| name.clone()).collect())
            }
            ("slot" | "insert", "section") => {
                let own = slots().filter_map(|(_, it)| it.section.clone());
                Some(own.chain(["none".to_owned()]).collect())
            }
            ("insert", "grip") => words(vocabulary::GRIPS),
            ("bag", "bottom") => words(vocabulary::BOTTOMS),
            _ => None,
        }
    }

    /// Names that could have been meant.
    pub fn near(&self, path: &Path, kinds: &Kinds) -> Vec<String> {
        let quantities = || self.style.quantities.iter().map(|q| q.name.clone());
        let (before, last) = match path.0.as_slice() {
            [] | [_] => return quantities().collect(),
            [before @ .., last] => (before.join("."), last),
        };
        let near: Vec<String> = match self.owner(path, kinds) {
            Ok(owner) => {
                let facts = vocabulary::NAMES.iter().filter(|n| n.kind == owner.kind);
                let unknowns = self.style.unknowns.iter();
                let unknowns = unknowns.filter(|u| u.name.head() == owner.word);
                let rules = self.style.names.iter();
                let rules = rules.filter(|rule| match owner.kind {
                    "leaf" => self.style.leaf_name() == Some(rule.name.head()),
                    "hole" => self.style.is_hole(rule.name.head()),
                    _ => rule.name.head() == owner.word,
                });
                facts
                    .map(|n| n.field)
                    .chain(rules.map(|rule| rule.name.last()))
                    .chain(unknowns.map(|u| u.name.last()))
                    .map(|field| format!("{before}.{field}"))
                    .collect()
            }
            Err(_) => {
                let variables = kinds.iter().map(|(v, _)| v.as_str());
                let single = vocabulary::SINGLE.iter().copied();
                let parts = self.style.papers_of_leaf();
                let listed = self.style.on_leaf().iter().map(|part| part.name.as_str());
                let named = self.style.names.iter().map(|rule| rule.name.head());
                let sized = self
                    .style
                    .unknowns
                    .iter()
                    .map(|unknown| unknown.name.head());
                let chosen = self.style.choices.iter().map(|it| it.name.to_string());
                let words = variables.chain(single).chain(parts).chain(listed);
                chosen
                    .chain(words.chain(named).chain(sized).map(str::to_owned))
                    .map(|head| format!("{head}.{last}"))
                    .chain(self.style.unknowns.iter().map(|it| it.name.to_string()))
                    .chain(self.style.names.iter().map(|it| it.name.to_string()))
                    .collect()
            }
        };
        // What was written is no hint, nor is what there is not. What can be read here comes first.
        let written = path.to_string();
        let found = |name: &String| self.lookup(&Path::of(name), kinds).err();
        let near = near.into_iter().unique().filter(|name| *name != written);
        let near = near.filter(|name| found(name) != Some(Lost::Nothing));
        let (here, elsewhere): (Vec<String>, Vec<String>) =
            near.partition(|name| matches!(found(name), None | Some(Lost::Told)));
        [here, elsewhere].concat()
    }
}
