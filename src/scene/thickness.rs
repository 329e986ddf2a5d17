//! How thick leaves and stacks are.

use super::facts;
use super::maker::Maker;
use super::model::{Picks, Value};
use super::*;
use crate::album::{Album, Leaf};
use crate::length::Length;
use crate::scene::stack;
use crate::style::expr::Number;
use crate::supplies::Bag;
use crate::vocabulary;
use num_traits::ToPrimitive;

/// The album's stacks, what of a leaf each adds up, and what of its covers.
pub(super) const STACKS: [(&str, &str, &str); 2] = [
    ("stack_at_holes", "thickness_at_holes", "at_holes"),
    ("stack_in_middle", "thickness", "in_middle"),
];

/// Of a piece of paper: it keeps off the holes, or off the middle of its leaf.
pub(super) const OFF_HOLES: &str = "off_holes";
pub(super) const OFF_MIDDLE: &str = "off_middle";

impl Maker<'_> {
    pub(super) fn caliper(&self, thing: ThingId) -> Interval {
        let caliper = self.model.scene.length(thing, "caliper");
        caliper.unwrap_or_default()
    }

    /// The sum of thicknesses; nothing, and an error, where it is beyond any album.
    pub(super) fn sum(
        &mut self,
        place: Place,
        parts: impl IntoIterator<Item = Option<Interval>>,
    ) -> Interval {
        let mut parts = parts.into_iter();
        let sum = parts.try_fold(Interval::default(), |sum, part| stack::plus(sum, part?));
        sum.unwrap_or_else(|| {
            self.too_thick(place);
            Interval::default()
        })
    }

    pub(super) fn thickness(&mut self, leaf: ThingId, bag: &Bag, said: &Leaf) {
        self.bulks(leaf, said);
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
            if !self.has(leaf, field) {
                self.length(leaf, field, value, Origin::Derived, Some(said.place));
            }
        }
    }

    /// How thick the inserts of a leaf are: each, those of each slot, and all.
    fn bulks(&mut self, leaf: ThingId, said: &Leaf) {
        let print = self.quantity_length("print_caliper");
        let inserts = self.model.scene.list(leaf, "inserts").to_vec();
        let inserts = inserts.into_iter().zip(&said.inserts);
        let mut bulks = Vec::new();
        for (insert, text) in inserts.clone() {
            let photo = text.photo.as_ref().map(|photo| {
                // The thickest print that it may come from.
                let prints = &self.album.supplies.prints;
                let calipers = photo.prints.iter().filter_map(|p| prints.get(*p)?.caliper);
                calipers.max_by_key(|c| c.most()).unwrap_or(print)
            });
            let one = [self.caliper(insert), photo.unwrap_or_default()];
            let one = self.sum(text.place, one.map(Some));
            let all = self.sum(text.place, [stack::times(one, text.count)]);
            let (label, at) = (format!("thickness of {}", text.name), Some(text.place));
            self.length_called(label, (insert, "thickness"), all, Origin::Derived, at);
            bulks.push((insert, all));
        }
        for (insert, text) in inserts {
            let slot = |insert: ThingId| self.model.scene.text(insert, "slot");
            let with = bulks.iter().filter(|(it, _)| slot(*it) == slot(insert));
            let with: Vec<_> = with.map(|(_, thick)| Some(*thick)).collect();
            let pile = self.sum(text.place, with);
            self.length(insert, "pile", pile, Origin::Derived, Some(text.place));
        }
        let bulk = self.sum(said.place, bulks.iter().map(|(_, b)| Some(*b)));
        self.length(leaf, "bulk", bulk, Origin::Derived, Some(said.place));
        for slot in self.model.scene.list(leaf, "slots").to_vec() {
            let here = self.model.scene.list(slot, "inserts");
            let here = bulks.iter().filter(|(i, _)| here.contains(i));
            let here: Vec<_> = here.map(|(_, b)| Some(*b)).collect();
            let bulk = self.sum(said.place, here);
            self.length(slot, "bulk", bulk, Origin::Derived, Some(said.place));
        }
    }

    /// Works out what covers add to a stack: a style says it of what is known before the leaves.
    fn covers(&mut self, album: ThingId, field: &str) {
        let Some(covers) = self.model.scene.part(album, vocabulary::COVERS) else {
            return;
        };
        let expr = Expr::name(vocabulary::COVERS, field);
        let scope = self.model.scope_of(album);
        let value = self.model.value(&expr, &scope, &Picks::new());
        let form = value.ok().and_then(Value::known);
        let ends = form.and_then(|form| facts::ends(&self.model.scene, &form));
        let whole = ends.and_then(|(least, most)| {
            let nm = |n: Number| n.to_integer().to_i64().map(Length::from_nm);
            Interval::between(nm(least.floor())?, nm(most.ceil())?)
        });
        if let Some(whole) = whole {
            self.length(covers, field, whole, Origin::Derived, None);
        }
    }

    fn too_thick(&mut self, place: Place) {
        let said = |e: &SceneError| matches!(e, SceneError::TooThick { .. });
        if !self.errors.iter().any(said) {
            self.errors.push(SceneError::TooThick { place });
        }
    }

    pub(super) fn stacks(&mut self, album: ThingId, leaves: &[ThingId]) {
        for (field, of_leaf, of_covers) in STACKS {
            self.covers(album, of_covers);
            let of = (of_leaf, of_covers);
            match stack_of_leaves(&self.model.scene, leaves, self.album, of) {
                Some(sum) => _ = self.length(album, field, sum, Origin::Derived, None),
                None => {
                    let first = self.album.leaves.first();
                    self.too_thick(first.map_or(Place::default(), |l| l.place));
                }
            }
        }
    }
}

/// What the covers of an album add to a stack; zero if its style says none.
pub(crate) fn covers(scene: &Scene, field: &str) -> Interval {
    let covers = scene.part(scene.album(), vocabulary::COVERS);
    let thick = covers.and_then(|covers| scene.length(covers, field));
    thick.unwrap_or_default()
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
    // A single layer has no air between it and another.
    let layers = |count: i64| {
        let (n, d) = if count > 1 { (n, d) } else { (1, 1) };
        stack::times(layer.unwrap_or_default(), count).and_then(|t| stack::share(t, n, d))
    };
    let plies = scene.plies.get(&leaf)?;
    let mats = |off: &str| {
        let mats = scene.thing(leaf).parts.values();
        let mats = mats.filter(|p| scene.flag(**p, "wanted") && !scene.flag(**p, off));
        let mut calipers = mats.filter_map(|p| scene.length(*p, "caliper"));
        calipers.try_fold(Interval::default(), stack::plus)
    };
    let (layers_counted, bag_at_holes) = match bag.squeezed {
        Some(measured) => (None, measured),
        None => {
            let counted = plies.at_holes(scene);
            (Some(counted), layers(counted)?)
        }
    };
    let bulk = scene.length(leaf, "bulk").unwrap_or_default();
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
    let template = scene.part(scene.album(), "template");
    let flanges = template.and_then(|template| scene.length(template, "flanges"));
    flanges.unwrap_or_default()
}

/// The sum of one field over all leaves of the album, with its covers; at their holes, with their eyelets.
pub(super) fn stack_of_leaves(
    scene: &Scene,
    leaves: &[ThingId],
    album: &Album,
    (field, of_covers): (&str, &str),
) -> Option<Interval> {
    let more = match field {
        "thickness_at_holes" => flanges(scene),
        _ => Interval::default(),
    };
    let one = |(id, said): (&ThingId, &Leaf)| {
        let leaf = scene.length(*id, field).unwrap_or_default();
        stack::times(stack::plus(leaf, more)?, said.count)
    };
    let mut parts = leaves.iter().zip(&album.leaves).map(one);
    parts.try_fold(covers(scene, of_covers), |sum, part| {
        stack::plus(sum, part?)
    })
}
