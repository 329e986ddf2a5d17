//! What a name of a rule stands for, as the style and the vocabulary can tell without an album.

use super::expr::Path;
use super::{Style, UnknownRule, Value};
use crate::vocabulary::{self, Dimension};
use itertools::Itertools;

/// What a name is.
#[derive(Clone, Copy, Debug)]
pub(super) struct Known {
    pub dimension: Dimension,
    /// The solver may have to find it.
    pub unknown: bool,
    /// An album may say nothing of it.
    pub optional: bool,
}

/// Why a name stands for nothing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Lost {
    /// There is no such thing, or it has no such value.
    Nothing,
    /// There is one for each thing of this kind, and no variable says which.
    Unbound(&'static str),
    /// Every leaf has such a part, and these variables are leaves.
    Several(Vec<String>),
}

/// Variables of a `for` and the kinds of things that they stand for.
pub(super) type Kinds = Vec<(String, &'static str)>;

/// The thing that the first words of a name stand for.
struct Owner<'p> {
    kind: &'static str,
    /// The word for it: a variable, a part, or a thing of which there is one.
    word: &'p str,
    /// What follows.
    rest: &'p [String],
}

#[derive(Clone, Copy)]
pub(super) struct Names<'a>(pub &'a Style);

impl Names<'_> {
    pub fn lookup(&self, path: &Path, kinds: &Kinds) -> Result<Known, Lost> {
        let fact = |dimension, optional| Known {
            dimension,
            unknown: false,
            optional,
        };
        if let [name] = path.0.as_slice() {
            let value = self.0.quantity(name).ok_or(Lost::Nothing)?.value;
            let dimension = match value {
                Value::Length(_) => Dimension::Length,
                Value::Ratio(..) => Dimension::Number,
            };
            return Ok(fact(dimension, false));
        }
        let choice = self.0.choices.iter().find(|c| {
            let words = &c.name.0;
            path.0.len() == words.len() + 1 && path.0.starts_with(words)
        });
        if let Some(choice) = choice {
            let mut tables = vocabulary::TABLES.iter();
            let table = tables.find(|(table, _)| *table == choice.from);
            let name = table.and_then(|(_, kind)| vocabulary::find(kind, path.last()));
            // A choice from an empty table is not there at all.
            let name = name.ok_or(Lost::Nothing)?;
            return Ok(fact(name.dimension, choice.bindings.is_empty()));
        }
        let owner = self.owner(path, kinds)?;
        let [field] = owner.rest else {
            return Err(Lost::Nothing);
        };
        let declared = self.0.unknowns.iter().any(|u| {
            let head = u.name.head();
            let same = head == owner.word || self.variable_kind(u, head) == Some(owner.kind);
            u.name.last() == field && same
        });
        if declared {
            return Ok(Known {
                dimension: Dimension::Length,
                unknown: true,
                optional: true,
            });
        }
        let named = vocabulary::find(owner.kind, field).ok_or(Lost::Nothing)?;
        Ok(Known {
            unknown: named.found,
            ..fact(named.dimension, named.optional)
        })
    }

    fn variable_kind(&self, unknown: &UnknownRule, variable: &str) -> Option<&'static str> {
        let binding = unknown.bindings.iter().find(|b| b.variable == variable)?;
        vocabulary::LISTS
            .iter()
            .find(|(_, list, _)| *list == binding.list.last())
            .map(|(_, _, k)| *k)
    }

    /// The kind of a part that every leaf has.
    fn part(&self, word: &str) -> Option<&'static str> {
        let mut always = vocabulary::LEAF_PARTS.iter();
        let always = always.find(|part| **part == word).copied();
        always.or_else(|| self.0.sizes_of_parts().contains_key(word).then_some("mat"))
    }

    fn owner<'p>(&self, path: &'p Path, kinds: &Kinds) -> Result<Owner<'p>, Lost> {
        let Some((head, rest)) = path.0.split_first() else {
            return Err(Lost::Nothing);
        };
        let owner = |kind, word, rest| Ok(Owner { kind, word, rest });
        if let Some((_, kind)) = kinds.iter().rev().find(|(v, _)| v == head) {
            // `leaf.board.height`: a part of that leaf.
            if let ("leaf", [part, inner @ ..]) = (*kind, rest)
                && !inner.is_empty()
                && let Some(kind) = self.part(part)
            {
                return owner(kind, part.as_str(), inner);
            }
            return owner(kind, head.as_str(), rest);
        }
        if let Some(single) = vocabulary::SINGLE.iter().find(|s| *s == head) {
            return owner(single, head.as_str(), rest);
        }
        if let Some(kind) = self.part(head) {
            let leaves = leaves(kinds);
            return match leaves.len() {
                0 => Err(Lost::Unbound("leaf")),
                1 => owner(kind, head.as_str(), rest),
                _ => Err(Lost::Several(leaves)),
            };
        }
        let mut lists = vocabulary::LISTS.iter();
        match lists.find(|(_, _, kind)| kind == head) {
            Some((_, _, kind)) => Err(Lost::Unbound(kind)),
            None => Err(Lost::Nothing),
        }
    }

    /// What an unknown is declared to be a size of; the part of two leaves is a part of neither.
    pub fn declared(&self, unknown: &UnknownRule, kinds: &Kinds) -> Result<(), Lost> {
        self.owner(&unknown.name, kinds).map(|_| ())
    }

    /// A name with its leaf in front where there is only one that can be meant, so that two ways of
    /// writing it are one.
    pub fn full(&self, path: &Path, kinds: &Kinds) -> Vec<String> {
        let bare = !kinds.iter().any(|(v, _)| v == path.head()) && self.part(path.head()).is_some();
        let leaf = match &leaves(kinds)[..] {
            [leaf] if bare => Some(leaf.clone()),
            _ => None,
        };
        leaf.into_iter().chain(path.0.iter().cloned()).collect()
    }

    /// Names that could have been meant.
    pub fn near(&self, path: &Path, kinds: &Kinds) -> Vec<String> {
        let quantities = || self.0.quantities.iter().map(|q| q.name.clone());
        let (before, last) = match path.0.as_slice() {
            [] | [_] => return quantities().collect(),
            [before @ .., last] => (before.join("."), last),
        };
        let near: Vec<String> = match self.owner(path, kinds) {
            Ok(owner) => {
                let facts = vocabulary::NAMES.iter().filter(|n| n.kind == owner.kind);
                let unknowns = self.0.unknowns.iter();
                let unknowns = unknowns.filter(|u| u.name.head() == owner.word);
                facts
                    .map(|n| n.field)
                    .chain(unknowns.map(|u| u.name.last()))
                    .map(|field| format!("{before}.{field}"))
                    .collect()
            }
            Err(_) => {
                let variables = kinds.iter().map(|(v, _)| v.as_str());
                let single = vocabulary::SINGLE.iter().copied();
                let parts = self.0.sizes_of_parts();
                let parts = parts.keys().copied();
                let always = vocabulary::LEAF_PARTS.iter().copied();
                variables
                    .chain(single)
                    .chain(parts)
                    .chain(always)
                    .map(|head| format!("{head}.{last}"))
                    .collect()
            }
        };
        // What was written is no hint.
        let written = path.to_string();
        near.into_iter()
            .unique()
            .filter(|name| *name != written)
            .collect()
    }
}

/// The variables that stand for leaves.
fn leaves(kinds: &Kinds) -> Vec<String> {
    let leaves = kinds.iter().filter(|(_, kind)| *kind == "leaf");
    leaves
        .map(|(variable, _)| variable.clone())
        .unique()
        .collect()
}
