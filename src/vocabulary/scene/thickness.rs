//! How thick leaves and stacks are.

use super::make::Maker;
use super::*;
use crate::album::Leaf;
use crate::length::Length;
use crate::supplies::{Bag, Bottom};
use crate::vocabulary::stack;

impl Maker<'_> {
    pub(super) fn caliper(&self, thing: ThingId) -> Interval {
        let nothing = Interval::exact(Length::ZERO);
        self.scene.length(thing, "caliper").unwrap_or(nothing)
    }

    /// The sum of thicknesses; nothing, and an error, where it is beyond any album.
    pub(super) fn sum(
        &mut self,
        place: Place,
        parts: impl IntoIterator<Item = Option<Interval>>,
    ) -> Interval {
        let nothing = Interval::exact(Length::ZERO);
        let sum = parts
            .into_iter()
            .try_fold(nothing, |sum, part| stack::plus(sum, part?));
        sum.unwrap_or_else(|| {
            if !self
                .errors
                .iter()
                .any(|e| matches!(e, SceneError::TooThick { .. }))
            {
                self.errors.push(SceneError::TooThick { place });
            }
            nothing
        })
    }

    pub(super) fn thickness(&mut self, leaf: ThingId, bag: &Bag, said: &Leaf) {
        let print = self.quantity_length("print_caliper");
        let inserts = self
            .scene
            .thing(leaf)
            .lists
            .get("inserts")
            .cloned()
            .unwrap_or_default();
        let mut bulks = Vec::new();
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
        }
        let bulk = self.sum(said.place, bulks.iter().map(|(_, b)| Some(*b)));
        self.length(leaf, "bulk", bulk, Origin::Derived, Some(said.place));
        let sections = self
            .scene
            .thing(leaf)
            .lists
            .get("sections")
            .cloned()
            .unwrap_or_default();
        for section in sections {
            let here = self
                .scene
                .thing(section)
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
            self.length(section, "bulk", bulk, Origin::Derived, Some(said.place));
        }
        let layer = bag
            .caliper
            .unwrap_or_else(|| self.quantity_length("bag_caliper"));
        let (n, d) = self.quantity_ratio("bulk_factor");
        let layers = |count: i64| stack::times(layer, count).and_then(|t| stack::share(t, n, d));
        let has_pocket = self.scene.flag(leaf, "has_pocket");
        let flap = if has_pocket && bag.bottom == Bottom::Block {
            bag.flap_layers
                .unwrap_or_else(|| self.quantity_count("flap_layers"))
        } else {
            // A bag folded up doubles itself.
            i64::from(has_pocket) * 2
        };
        self.number(leaf, "flap_layers", flap);
        let parts = self.scene.thing(leaf).parts.clone();
        let mats: Vec<_> = parts
            .values()
            .filter(|p| self.scene.flag(**p, "wanted"))
            .map(|p| Some(self.caliper(*p)))
            .collect();
        let bag_at_holes = match bag.squeezed {
            Some(measured) => Some(measured),
            None => {
                let counted = self.layers_counted(leaf, self.folds(leaf, bag, flap));
                self.number(leaf, "layers_counted", counted);
                layers(counted)
            }
        };
        let at_holes = self.sum(said.place, mats.iter().copied().chain([bag_at_holes]));
        if !self
            .scene
            .thing(leaf)
            .facts
            .contains_key("thickness_at_holes")
        {
            self.length(
                leaf,
                "thickness_at_holes",
                at_holes,
                Origin::Derived,
                Some(said.place),
            );
        }
        let middle = self.sum(
            said.place,
            mats.iter().copied().chain([layers(2 + flap), Some(bulk)]),
        );
        if !self.scene.thing(leaf).facts.contains_key("thickness") {
            self.length(leaf, "thickness", middle, Origin::Derived, Some(said.place));
        }
    }

    /// How the bag of a leaf lies folded.
    pub(super) fn folds(&self, leaf: ThingId, bag: &Bag, flap_layers: i64) -> stack::Folds {
        let gusset = self.scene.length(leaf, "gusset");
        let pocket = self.scene.thing(leaf).parts.get("pocket").copied();
        // A folded flap stands as high as the gusset is deep, unless its edge was measured.
        let edge = pocket.and_then(|p| self.scene.length(p, "edge").or(gusset));
        stack::Folds {
            bottom: bag.bottom,
            gusset,
            pocket: edge,
            flap_layers,
        }
    }

    /// Layers at the thickest hole: where the holes are given, those that they meet; else the most
    /// that any hole can.
    fn layers_counted(&self, leaf: ThingId, folds: stack::Folds) -> i64 {
        let given = self.hole_heights(leaf);
        let met = given.map(|heights| heights.iter().map(|h| folds.layers_at(*h)).max());
        met.flatten().unwrap_or_else(|| folds.most_layers())
    }

    /// The heights of a leaf's holes, where all of them are given.
    fn hole_heights(&self, leaf: ThingId) -> Option<Vec<Interval>> {
        let template = self
            .scene
            .things
            .iter()
            .position(|t| t.kind == "template")?;
        let template = ThingId(u32::try_from(template).ok()?);
        let first = self.scene.length(template, "first")?;
        let holes = self.scene.thing(leaf).lists.get("holes")?;
        let height = |hole: &ThingId| {
            let up = match self.scene.length(*hole, "offset") {
                Some(offset) => offset,
                None => match self.scene.count(*hole, "place") {
                    0 => Interval::exact(Length::ZERO),
                    place => stack::times(self.scene.length(template, "pitch")?, place)?,
                },
            };
            stack::plus(first, up)
        };
        holes.iter().map(height).collect()
    }

    pub(super) fn stacks(&mut self, album: ThingId, leaves: &[ThingId]) {
        let nothing = Interval::exact(Length::ZERO);
        for (field, of_leaf) in [
            ("stack_at_holes", "thickness_at_holes"),
            ("stack_in_middle", "thickness"),
        ] {
            let parts: Vec<_> = leaves
                .iter()
                .zip(&self.album.leaves)
                .map(|(id, said)| {
                    stack::times(
                        self.scene.length(*id, of_leaf).unwrap_or(nothing),
                        said.count,
                    )
                })
                .collect();
            let place = self
                .album
                .leaves
                .first()
                .map_or(Place::default(), |l| l.place);
            let sum = self.sum(place, parts);
            self.length(album, field, sum, Origin::Derived, None);
        }
    }
}
