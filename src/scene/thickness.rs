//! How thick leaves and stacks are.

use super::maker::Maker;
use super::*;
use crate::album::{Album, Leaf};
use crate::length::Length;
use crate::scene::stack;
use crate::supplies::Bag;

const NOTHING: Interval = Interval::exact(Length::ZERO);

/// The album's stacks, and what of a leaf each adds up.
pub(super) const STACKS: [(&str, &str); 2] = [
    ("stack_at_holes", "thickness_at_holes"),
    ("stack_in_middle", "thickness"),
];

/// Of a piece of paper: it keeps off the holes, or off the middle of its leaf.
pub(super) const OFF_HOLES: &str = "off_holes";
pub(super) const OFF_MIDDLE: &str = "off_middle";

impl Maker<'_> {
    pub(super) fn caliper(&self, thing: ThingId) -> Interval {
        self.model.scene.length(thing, "caliper").unwrap_or(NOTHING)
    }

    /// The sum of thicknesses; nothing, and an error, where it is beyond any album.
    pub(super) fn sum(
        &mut self,
        place: Place,
        parts: impl IntoIterator<Item = Option<Interval>>,
    ) -> Interval {
        let sum = parts
            .into_iter()
            .try_fold(NOTHING, |sum, part| stack::plus(sum, part?));
        sum.unwrap_or_else(|| {
            self.too_thick(place);
            NOTHING
        })
    }

    pub(super) fn thickness(&mut self, leaf: ThingId, bag: &Bag, said: &Leaf) {
        let print = self.quantity_length("print_caliper");
        let inserts = self
            .model
            .scene
            .thing(leaf)
            .lists
            .get("inserts")
            .cloned()
            .unwrap_or_default();
        let mut bulks = Vec::new();
        let mut piles = Vec::new();
        for (&insert, text) in inserts.iter().zip(&said.inserts) {
            let photo = text.photo.as_ref().map(|photo| {
                // The thickest print that it may come from.
                let calipers = photo
                    .prints
                    .iter()
                    .filter_map(|p| self.album.supplies.prints.get(*p)?.caliper);
                calipers.max_by_key(|c| c.most()).unwrap_or(print)
            });
            let one = [
                Some(self.caliper(insert)),
                photo.or(Some(Interval::exact(Length::ZERO))),
            ];
            let one = self.sum(text.place, one);
            let all = self.sum(text.place, [stack::times(one, text.count)]);
            let at = Some(text.place);
            let label = format!("thickness of {}", text.name);
            let id = self.given(label, all, Origin::Derived, at);
            self.fact(insert, "thickness", Fact::Length(id));
            bulks.push((insert, all));
            piles.push((self.model.scene.text(insert, "slot").to_owned(), all));
        }
        for (&insert, text) in inserts.iter().zip(&said.inserts) {
            let here = self.model.scene.text(insert, "slot");
            let with = piles.iter().filter(|(slot, _)| slot == here);
            let with: Vec<_> = with.map(|(_, thick)| Some(*thick)).collect();
            let pile = self.sum(text.place, with);
            self.length(insert, "pile", pile, Origin::Derived, Some(text.place));
        }
        let bulk = self.sum(said.place, bulks.iter().map(|(_, b)| Some(*b)));
        self.length(leaf, "bulk", bulk, Origin::Derived, Some(said.place));
        let slots = self
            .model
            .scene
            .thing(leaf)
            .lists
            .get("slots")
            .cloned()
            .unwrap_or_default();
        for slot in slots {
            let here = self
                .model
                .scene
                .thing(slot)
                .lists
                .get("inserts")
                .cloned()
                .unwrap_or_default();
            let here = bulks
                .iter()
                .filter(|(i, _)| here.contains(i))
                .map(|(_, b)| Some(*b));
            let here: Vec<_> = here.collect();
            let bulk = self.sum(said.place, here);
            self.length(slot, "bulk", bulk, Origin::Derived, Some(said.place));
        }
        // What the style says wrongly, and what stands in for a measure, is noted here.
        if bag.caliper.is_none() {
            self.quantity_length("bag_caliper");
        }
        self.quantity_ratio("bulk_factor");
        let plies = self.plies(leaf, said);
        self.model.scene.plies.insert(leaf, plies);
        let Some(thick) = thickness_of(&self.model.scene, leaf, bag) else {
            return self.too_thick(said.place);
        };
        if let Some(counted) = thick.layers_counted {
            self.number(leaf, "layers_counted", counted);
        }
        for (field, value) in [
            ("thickness_at_holes", thick.at_holes),
            ("thickness", thick.middle),
        ] {
            if !self.model.scene.thing(leaf).facts.contains_key(field) {
                self.length(leaf, field, value, Origin::Derived, Some(said.place));
            }
        }
    }

    fn too_thick(&mut self, place: Place) {
        let said = |e: &SceneError| matches!(e, SceneError::TooThick { .. });
        if !self.errors.iter().any(said) {
            self.errors.push(SceneError::TooThick { place });
        }
    }

    pub(super) fn stacks(&mut self, album: ThingId, leaves: &[ThingId]) {
        for (field, of_leaf) in STACKS {
            let first = self.album.leaves.first();
            let place = first.map_or(Place::default(), |l| l.place);
            let sum = stack_of_leaves(&self.model.scene, leaves, self.album, of_leaf);
            match sum {
                Some(sum) => {
                    self.length(album, field, sum, Origin::Derived, None);
                }
                None => self.too_thick(place),
            }
        }
    }
}

/// How thick a leaf is.
pub(super) struct Thickness {
    /// Layers of bag counted at its thickest hole; absent where that was measured squeezed.
    pub layers_counted: Option<i64>,
    pub at_holes: Interval,
    /// In the middle, inserts included.
    pub middle: Interval,
}

/// How thick a leaf is, its inserts' thickness known; `None` if that is beyond any album.
pub(super) fn thickness_of(scene: &Scene, leaf: ThingId, bag: &Bag) -> Option<Thickness> {
    let quantity = |name: &str| scene.quantities.get(name);
    let layer = bag.caliper.or_else(|| match quantity("bag_caliper")? {
        Fact::Length(id) => Some(scene.given(*id).value),
        _ => None,
    });
    let (n, d) = match quantity("bulk_factor") {
        Some(Fact::Number(n, d)) => (*n, *d),
        _ => (1, 1),
    };
    let layers = |count: i64| {
        stack::times(layer.unwrap_or(NOTHING), count).and_then(|t| stack::share(t, n, d))
    };
    let plies = scene.plies.get(&leaf)?;
    let mats = |off: &str| {
        let mats = scene.thing(leaf).parts.values();
        let mats = mats.filter(|p| scene.flag(**p, "wanted") && !scene.flag(**p, off));
        let mut calipers = mats.filter_map(|p| scene.length(*p, "caliper"));
        calipers.try_fold(NOTHING, stack::plus)
    };
    let layers_counted = match bag.squeezed {
        Some(_) => None,
        None => Some(plies.at_holes(scene)),
    };
    let bag_at_holes = match (bag.squeezed, layers_counted) {
        (Some(measured), _) => measured,
        (None, counted) => layers(counted?)?,
    };
    let bulk = scene.length(leaf, "bulk").unwrap_or(NOTHING);
    Some(Thickness {
        layers_counted,
        at_holes: stack::plus(mats(OFF_HOLES)?, bag_at_holes)?,
        middle: stack::plus(
            stack::plus(mats(OFF_MIDDLE)?, layers(plies.in_middle(scene))?)?,
            bulk,
        )?,
    })
}

/// What the flanges of an eyelet add to a leaf at its holes.
fn flanges(scene: &Scene) -> Interval {
    let template = scene.things.iter().position(|t| t.kind == "template");
    let template = template.and_then(|at| u32::try_from(at).ok());
    template
        .and_then(|at| scene.length(ThingId(at), "flanges"))
        .unwrap_or(NOTHING)
}

/// The sum of one field over all leaves of the album; at their holes, with their eyelets.
pub(super) fn stack_of_leaves(
    scene: &Scene,
    leaves: &[ThingId],
    album: &Album,
    field: &str,
) -> Option<Interval> {
    let more = match field {
        "thickness_at_holes" => flanges(scene),
        _ => NOTHING,
    };
    let one = |(id, said): (&ThingId, &Leaf)| {
        let leaf = scene.length(*id, field).unwrap_or(NOTHING);
        stack::times(stack::plus(leaf, more)?, said.count)
    };
    let mut parts = leaves.iter().zip(&album.leaves).map(one);
    parts.try_fold(NOTHING, |sum, part| stack::plus(sum, part?))
}
