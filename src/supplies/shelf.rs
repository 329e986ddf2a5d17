//! Supplies while they are being read: what is named so far, and what is looked up once all is read.

use std::cell::Cell;
use std::collections::HashMap;
use std::collections::hash_map::Entry;

use super::{Kind, Offcut, Supplies, SuppliesError, packs};
use crate::text::{Finds, Place, Said, nearest};

/// Words that stand for a paper, so no paper is named so.
pub(crate) const RESERVED: &[&str] = &["any", "none"];

/// Names that a message lists.
const FEW: usize = 6;
/// Unknown names that are compared with the known ones.
const MOST_HINTS: u32 = 100;

/// Supplies while they are being read. Broken ones keep their names, so that what asks for them is
/// not told that they are missing.
#[derive(Debug, Default)]
pub struct Shelf {
    pub supplies: Supplies,
    names: HashMap<(Kind, String), Name>,
    /// How many unknown names were asked for.
    unknown: Cell<u32>,
    /// Offcuts with the names of their papers, which may stand in a file that is read later.
    pub(super) offcuts: Vec<(Option<Said<String>>, Offcut)>,
    pub(super) packs: Vec<packs::Unsettled>,
    /// A file of supplies could not be read: what is not found may be in it.
    pub gaps: bool,
}

#[derive(Debug)]
struct Name {
    place: Place,
    index: Option<usize>,
}

impl Shelf {
    /// The place of a named supply in its list.
    pub fn find(&self, kind: Kind, name: &Said<String>, faults: &Finds) -> Option<usize> {
        self.find_or(kind, name, &[], faults)
    }

    /// The same where a few words may stand instead of a name, which were not said.
    pub fn find_or(
        &self,
        kind: Kind,
        name: &Said<String>,
        words: &'static [&'static str],
        faults: &Finds,
    ) -> Option<usize> {
        if let Some(known) = self.names.get(&(kind, name.value.clone())) {
            return known.index;
        }
        if !self.gaps {
            let mut known: Vec<(Place, &str)> = Vec::new();
            // Comparing every unknown name with every known one takes long where both are many.
            if self.unknown.get() < MOST_HINTS {
                self.unknown.set(self.unknown.get() + 1);
                let same = self.names.iter().filter(|((of, _), _)| *of == kind);
                known.extend(same.map(|((_, name), known)| (known.place, name.as_str())));
            }
            known.sort_unstable();
            let names = known.iter().map(|(_, name)| *name);
            let near = nearest(&name.value, names.clone().chain(words.iter().copied()));
            faults.tell(
                name.place,
                SuppliesError::Unknown {
                    kind,
                    name: name.value.clone(),
                    near: near.map(str::to_owned),
                    known: names.take(FEW).map(str::to_owned).collect(),
                    more: known.len().saturating_sub(FEW),
                    words,
                },
            );
        }
        None
    }

    /// Looks up what was named before all files were read.
    pub fn settle(&mut self, faults: &Finds) {
        for (name, mut offcut) in std::mem::take(&mut self.offcuts) {
            if let Some(name) = name {
                if let Some((pad, design)) = self.supplies.design(&name.value) {
                    (offcut.paper, offcut.design) = (Some(pad), Some(design));
                } else {
                    let paper = self.find(Kind::Paper, &name, faults);
                    if paper.is_none() {
                        continue;
                    }
                    offcut.paper = paper;
                }
            }
            self.supplies.offcuts.push(offcut);
        }
        let packs = std::mem::take(&mut self.packs);
        let known = |kind, name: &str| {
            let known = self.names.get(&(kind, name.to_owned()))?;
            Some(known.index)
        };
        let named = self
            .names
            .keys()
            .filter(|(kind, _)| packs::SOLD.contains(kind));
        let mut names: Vec<&str> = named.map(|(_, name)| name.as_str()).collect();
        names.sort_unstable();
        let names = (!self.gaps).then_some(&names[..]);
        packs::settle(&mut self.supplies, packs, &known, names, faults);
    }

    pub(super) fn put(
        &mut self,
        kind: Kind,
        said: Option<Said<String>>,
        index: Option<usize>,
        faults: &Finds,
    ) {
        let Some(said) = said else { return };
        if kind == Kind::Paper && RESERVED.contains(&said.value.as_str()) {
            faults.tell(said.place, SuppliesError::Reserved { name: said.value });
            return;
        }
        match self.names.entry((kind, said.value.clone())) {
            Entry::Occupied(first) => faults.tell(
                said.place,
                SuppliesError::NameTwice {
                    kind,
                    name: said.value,
                    first: first.get().place,
                },
            ),
            Entry::Vacant(name) => {
                let place = said.place;
                name.insert(Name { place, index });
            }
        }
    }
}
