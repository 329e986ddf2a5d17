//! Inserts whose place their leaf has not: what is missing, and what to type for it.

use super::ExpandError;
use super::maker::Maker;
use crate::scene::{BagMeasure, Lacks, Nowhere, ThingId};
use itertools::Itertools;

impl Maker<'_> {
    /// Tells of every insert that its leaf has no place for; no rule speaks of it.
    pub(super) fn nowhere(&mut self) {
        for nowhere in self.out.model.scene.nowhere.clone() {
            self.nowhere.insert(nowhere.insert);
            let error = self.told(&nowhere);
            self.errors.extend(error);
        }
    }

    fn told(&self, nowhere: &Nowhere) -> Option<ExpandError> {
        let scene = &self.out.model.scene;
        let mut leaves = scene.leaves().iter();
        let leaf = leaves.position(|leaf| *leaf == nowhere.leaf)?;
        let said = self.album.leaves.get(leaf)?;
        let all = scene.thing(nowhere.leaf).lists.get("inserts")?;
        let at = all.iter().position(|insert| *insert == nowhere.insert)?;
        let insert = said.inserts.get(at)?;
        let bag = self.album.supplies.bags.get(said.bag);
        let bag = bag.map_or("", |bag| &bag.name);
        let frame = self.style.leaf_name();
        let (lacks, give) = match &nowhere.lacks {
            Lacks::Measure { thing, measure } => {
                let typed = self.typed(*measure);
                match frame == Some(thing.as_str()) {
                    true => {
                        let slot = insert.section.as_ref().map_or("", |said| &said.value);
                        (
                            format!("{slot} slot").trim().to_owned(),
                            format!("give bag `{bag}` its {typed}"),
                        )
                    }
                    false => (
                        plain(thing),
                        format!("give bag `{bag}` a {}, {typed}", plain(thing)),
                    ),
                }
            }
            Lacks::Paper(part) => (
                plain(part),
                format!(
                    "give the leaf a {}, `{part} = \"any\"` or a paper's name",
                    plain(part)
                ),
            ),
            Lacks::Section(section) => (format!("{section} slot"), String::new()),
            Lacks::Slot(slot) => (plain(slot), String::new()),
        };
        let places = self.open_places(nowhere.leaf);
        let places = places.iter().map(|it| format!("the {it}")).join(" or ");
        let tuck = match (&insert.section, places.is_empty()) {
            (Some(_), _) => "delete `section`".to_owned(),
            (None, true) => String::new(),
            // It was typed, and has no name.
            (None, false) if insert.place.is_empty() => format!("tuck it into {places}"),
            (None, false) => format!("tuck {} into {places}", insert.name),
        };
        let mut help = [give, tuck].into_iter().filter(|part| !part.is_empty());
        let section = insert.section.as_ref().map(|said| said.place);
        Some(ExpandError::Nowhere {
            lacks,
            missing: nowhere.lacks.clone(),
            insert: insert.name.clone(),
            leaf: said.name.clone(),
            help: help.join(", or "),
            place: section.unwrap_or(insert.place),
        })
    }

    /// The places of a leaf's slots that open, front to back.
    fn open_places(&self, leaf: ThingId) -> Vec<String> {
        let scene = &self.out.model.scene;
        let slots = scene.thing(leaf).lists.get("slots").into_iter().flatten();
        let open = slots.filter(|slot| self.style.opens(scene.text(**slot, "name")));
        let places = open.map(|slot| scene.text(*slot, "place").to_owned());
        places.unique().collect()
    }

    /// A measure of a bag as it is typed.
    fn typed(&self, measure: BagMeasure) -> String {
        let length = match self.album.ruler.is_metric() {
            true => "80 mm",
            false => "3 in",
        };
        match measure {
            BagMeasure::PocketEdge => format!(
                "`pocket = {{ edge = \"{length}\" }}` (`--pocket \"{length}\"` with `--bag`)"
            ),
            BagMeasure::PocketDepth => format!("`pocket = {{ depth = \"{length}\" }}`"),
            other => format!("`{} = \"{length}\"`", other.name()),
        }
    }
}

fn plain(name: &str) -> String {
    name.replace('_', " ")
}
