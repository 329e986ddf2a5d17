//! Where what is tucked in stops if nobody measured it: a pocket's edge and depth, the depth of the
//! slots, and how much of a bag is folded up for its pocket.

use super::make::Maker;
use super::*;
use crate::album::Leaf;
use crate::length::Length;
use crate::scene::stack;
use crate::supplies::{Bag, Bottom};

const CREASE: &str = "leaf.gusset / 2";
const EDGE: &str = "pocket.edge";
/// Where it is not known which of the two is lower.
const BELOW_EDGE: &str = "pocket.edge - pocket.short";

impl Maker<'_> {
    pub(super) fn pocket(&mut self, index: usize, leaf: ThingId, bag: &Bag) -> Option<ThingId> {
        let folded_flap = bag.bottom == Bottom::Block && bag.gusset.is_some();
        if bag.pocket.is_none() && bag.folded.is_none() && !folded_flap {
            return None;
        }
        let at = Some(bag.pocket.as_ref().map_or(bag.place, |p| p.place));
        let id = self.thing("pocket", "pocket", Some(leaf), at);
        match (&bag.pocket, bag.folded) {
            (Some(_), _) => self.of_bag(index, id, "edge", BagMeasure::PocketEdge, at),
            (None, Some(_)) => {
                let why = "all of the bag that is longer than the leaf is folded up";
                self.stop(id, "edge", "leaf.bag_height - leaf.height", why);
            }
            (None, None) => {
                let why = "a folded flap stands as high as the gusset is deep";
                self.stop(id, "edge", "leaf.gusset", why);
            }
        }
        match bag.pocket.as_ref().and_then(|p| p.depth) {
            Some(_) => self.of_bag(index, id, "depth", BagMeasure::PocketDepth, at),
            // A folded flap is creased at half the gusset: a hidden fold stops what slides down.
            None if folded_flap && bag.folded.is_none() => {
                let why = "a folded flap is creased at half the gusset, and things stop there";
                self.stop(id, "depth", CREASE, why);
            }
            None => {
                let why = "things are taken to slide down to the tail";
                self.stop(id, "depth", EDGE, why);
            }
        }
        self.scene.things[leaf.0 as usize]
            .parts
            .insert("pocket".into(), id);
        Some(id)
    }

    /// A pocket whose edge stands below the crease of its flap is no deeper than that edge. To be
    /// asked when the edge is known for good.
    pub(super) fn no_deeper_than_its_edge(&mut self, leaf: ThingId) {
        let Some(&pocket) = self.scene.thing(leaf).parts.get("pocket") else {
            return;
        };
        let why = match stops_at(&self.scene, leaf) {
            None | Some((CREASE, _)) => return,
            Some((text, short)) => {
                self.follows(pocket, "depth", text);
                let at = self.scene.thing(pocket).place;
                self.length(pocket, "short", short, Origin::Derived, at);
                match text {
                    EDGE => "its edge stands below the crease of a folded flap",
                    _ => "things stop at the crease of a folded flap, or below its edge",
                }
            }
        };
        for note in &mut self.scene.assumed {
            if let Assumption::Size {
                thing,
                field: "depth",
                why: said,
            } = note
                && *thing == pocket
            {
                *said = why;
            }
        }
    }

    pub(super) fn sections(
        &mut self,
        index: usize,
        leaf: ThingId,
        inserts: &[ThingId],
    ) -> Vec<ThingId> {
        let album = self.album;
        let said: &Leaf = &album.leaves[index];
        let bag = &album.supplies.bags[said.bag];
        let names: &[&str] = match bag.gusset {
            Some(_) => &["front", "back"],
            None => &["only"],
        };
        let mut sections = Vec::new();
        for &name in names {
            let label = if name == "only" { "back" } else { name };
            let id = self.thing("section", label, Some(leaf), Some(said.place));
            self.fact(id, "name", Fact::Text(name.into()));
            let measure = match name {
                "front" => BagMeasure::FrontDepth,
                _ => BagMeasure::BackDepth,
            };
            match measure.of(bag) {
                Some(_) => self.of_bag(index, id, "depth", measure, Some(bag.place)),
                // Crease and seam of the bag's bottom are folded up, out of the card's way.
                None if bag.folded.is_some() => {
                    let why = "a card sinks to the fold at the leaf's tail";
                    self.stop(id, "depth", "leaf.height", why);
                }
                None if name == "front" => {
                    let why = "a card in front of the gusset stops at its crease, half the gusset above the tail";
                    self.stop(id, "depth", "leaf.height - leaf.gusset / 2", why);
                }
                None => {
                    let why = "a card stands on the bag's bottom seam";
                    self.stop(id, "depth", "leaf.height - bottom_seam", why);
                }
            }
            let here = inserts.iter().copied();
            let here = here.filter(|i| self.scene.text(*i, "section") == name);
            let here: Vec<ThingId> = here.collect();
            self.scene.things[id.0 as usize]
                .lists
                .insert("inserts", here);
            let parts = &mut self.scene.things[leaf.0 as usize].parts;
            parts.insert(label.to_owned(), id);
            sections.push(id);
        }
        sections
    }

    /// A size that stands in for a measure.
    fn stop(&mut self, thing: ThingId, field: &'static str, text: &'static str, why: &'static str) {
        self.follows(thing, field, text);
        self.assume(Assumption::Size { thing, field, why });
    }
}

impl Scene {
    /// Works out again where a pocket ends whose depth nobody measured; false where that is now said
    /// in other words.
    pub(super) fn stops_again(&mut self, leaf: ThingId) -> bool {
        let Some(&pocket) = self.thing(leaf).parts.get("pocket") else {
            return true;
        };
        let Some((text, short)) = stops_at(self, leaf) else {
            return true;
        };
        let same = matches!(self.thing(pocket).facts.get("depth"), Some(Fact::Derived(was)) if was.text == text);
        self.work_out(pocket, "short", short);
        same
    }
}

/// How the depth of a folded flap's pocket follows from its edge and its crease, whichever is lower,
/// and how far below the edge it may end. `None` if its depth was measured or is no question.
fn stops_at(scene: &Scene, leaf: ThingId) -> Option<(&'static str, Interval)> {
    const NOTHING: Interval = Interval::exact(Length::ZERO);
    let pocket = *scene.thing(leaf).parts.get("pocket")?;
    let Fact::Derived(was) = scene.thing(pocket).facts.get("depth")? else {
        return None;
    };
    if scene.flag(leaf, "folded") || ![CREASE, EDGE, BELOW_EDGE].contains(&was.text.as_str()) {
        return None;
    }
    let crease = stack::share(scene.length(leaf, "gusset")?, 1, 2)?;
    // A flap that was not measured stands as high as the gusset is deep.
    let Some(edge) = scene.length(pocket, "edge") else {
        return Some((CREASE, NOTHING));
    };
    if crease.most() <= edge.least() {
        return Some((CREASE, NOTHING));
    }
    // Never above the true depth, and never above the edge.
    if edge.least() <= crease.least() {
        return Some((EDGE, NOTHING));
    }
    let short = edge.most().checked_sub(crease.least())?;
    Some((BELOW_EDGE, Interval::between(Length::ZERO, short)?))
}

/// Height of a leaf's pocket edge above its tail.
pub(super) fn pocket_edge(scene: &Scene, leaf: ThingId) -> Option<Interval> {
    let pocket = *scene.thing(leaf).parts.get("pocket")?;
    scene
        .length(pocket, "edge")
        .or_else(|| folded_up(scene, leaf).or_else(|| scene.length(leaf, "gusset")))
}

/// How much of its bag is folded up in front of a leaf, if it is.
pub(super) fn folded_up(scene: &Scene, leaf: ThingId) -> Option<Interval> {
    if !scene.flag(leaf, "folded") {
        return None;
    }
    let (bag, leaf) = (
        scene.length(leaf, "bag_height")?,
        scene.length(leaf, "height")?,
    );
    let less = |a: Length, b: Length| a.checked_sub(b).map(|up| up.max(Length::ZERO));
    Interval::between(
        less(bag.least(), leaf.most())?,
        less(bag.most(), leaf.least())?,
    )
}
