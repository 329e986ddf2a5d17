//! The same things with another bag of the same make: which given values are measures of a bag, and
//! what follows from them.

use super::stops::pocket_edge;
use super::thickness::{stack_of_leaves, thickness_of};
use super::*;
use crate::album::Album;
use crate::length::Length;
use crate::scene::stack;
use crate::supplies::{Bag, Bottom};

/// A measure of a bag.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BagMeasure {
    Width,
    Height,
    /// The bag's height, or where it is folded up.
    LeafHeight,
    Gusset,
    PocketEdge,
    PocketDepth,
    FrontDepth,
    BackDepth,
}

impl BagMeasure {
    /// What a bag says of it.
    pub fn of(self, bag: &Bag) -> Option<Interval> {
        let pocket = bag.pocket.as_ref();
        match self {
            BagMeasure::Width => Some(bag.width),
            BagMeasure::Height => Some(bag.height),
            BagMeasure::LeafHeight => Some(bag.folded.unwrap_or(bag.height)),
            BagMeasure::Gusset => bag.gusset,
            BagMeasure::PocketEdge => pocket.map(|p| p.edge),
            BagMeasure::PocketDepth => pocket.and_then(|p| p.depth),
            BagMeasure::FrontDepth => bag.front_depth,
            BagMeasure::BackDepth => bag.back_depth,
        }
    }
}

/// A given value that is a measure of a leaf's bag.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OfBag {
    pub given: GivenId,
    /// Place in [`Album::leaves`].
    pub leaf: usize,
    pub measure: BagMeasure,
}

/// What a bag has, whatever its measures: bags of one shape make the same things.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct BagShape(u16);

impl From<&Bag> for BagShape {
    fn from(bag: &Bag) -> BagShape {
        let pocket = bag.pocket.as_ref();
        let has = [
            bag.bottom == Bottom::Pinch,
            bag.gusset.is_some(),
            bag.folded.is_some(),
            pocket.is_some(),
            pocket.is_some_and(|p| p.depth.is_some()),
            bag.front_depth.is_some(),
            bag.back_depth.is_some(),
            bag.caliper.is_some(),
            bag.flap_layers.is_some(),
            bag.squeezed.is_some(),
        ];
        let bit = |(at, has): (usize, bool)| u16::from(has) << at;
        BagShape(has.into_iter().enumerate().map(bit).sum())
    }
}

impl Scene {
    /// The given values that another bag for these leaves (places in [`Album::leaves`]) may change.
    pub fn moving(&self, leaves: &[usize]) -> Vec<GivenId> {
        let of_bags = self.of_bags.iter().filter(|it| leaves.contains(&it.leaf));
        let mut moving: Vec<GivenId> = of_bags.map(|it| it.given).collect();
        let album = self.album();
        let rings = self.thing(album).tables.get("rings");
        let of_leaves = leaves.iter().filter_map(|at| self.leaves().get(*at));
        let of_leaf = |leaf: &ThingId| {
            let pocket = self.thing(*leaf).parts.get("pocket");
            let of_pocket = pocket.into_iter().flat_map(|p| OF_POCKET.map(|f| (*p, f)));
            OF_LEAF.map(|f| (*leaf, f)).into_iter().chain(of_pocket)
        };
        let derived = of_leaves
            .flat_map(of_leaf)
            .chain(["stack_at_holes", "stack_in_middle"].map(|f| (album, f)))
            .chain(
                (rings.into_iter().flatten())
                    .flat_map(|ring| ["closed_paper", "turned_paper"].map(|f| (*ring, f))),
            );
        moving.extend(derived.filter_map(|(thing, field)| self.derived_given(thing, field)));
        moving.sort_unstable();
        moving.dedup();
        moving
    }

    /// The given value behind a fact that was worked out, and not said or measured.
    fn derived_given(&self, thing: ThingId, field: &str) -> Option<GivenId> {
        match self.thing(thing).facts.get(field)? {
            Fact::Length(id) if self.given(*id).origin == Origin::Derived => Some(*id),
            _ => None,
        }
    }

    /// Gives these leaves (places in [`Album::leaves`]) another bag of the [`BagShape`] that they
    /// have. Places in files stay those of the first bag.
    ///
    /// `None` if thicknesses are beyond any album, the bag has not that shape, or a ring closes
    /// round the leaves of one bag and not of the other; the scene is then good for nothing but another
    /// bag.
    pub fn remeasure(&mut self, album: &Album, leaves: &[usize], bag: &Bag) -> Option<()> {
        for at in 0..self.of_bags.len() {
            let it = self.of_bags[at];
            if leaves.contains(&it.leaf) {
                self.givens[it.given.0 as usize].value = it.measure.of(bag)?;
            }
        }
        for at in leaves {
            let leaf = *self.leaves().get(*at)?;
            let narrow = narrow_mats(self, leaf);
            let as_before = |(mat, narrow): &(ThingId, bool)| self.flag(*mat, "narrow") == *narrow;
            if !narrow.iter().all(as_before) || !self.stops_again(leaf) {
                return None;
            }
            for (thing, field, value) in plays(self, leaf) {
                self.work_out(thing, field, value);
            }
            let thick = thickness_of(self, leaf, bag)?;
            self.count_again(leaf, "flap_layers", Some(thick.flap_layers));
            self.count_again(leaf, "layers_counted", thick.layers_counted);
            self.work_out(leaf, "thickness_at_holes", thick.at_holes);
            self.work_out(leaf, "thickness", thick.middle);
        }
        let all = self.album();
        for (field, of_leaf) in STACKS {
            let stack = stack_of_leaves(self, self.leaves(), album, of_leaf)?;
            self.work_out(all, field, stack);
        }
        let stack = self.length(all, "stack_at_holes")?;
        for at in 0..self.rings().len() {
            let ring = self.rings()[at];
            let inside = self.length(ring, "inside")?;
            let closes = self.thing(ring).facts.contains_key("closed_paper");
            match (closes, ring_papers(inside, stack)) {
                (true, Some([closed, turned])) => {
                    self.work_out(ring, "closed_paper", closed);
                    self.work_out(ring, "turned_paper", turned);
                }
                (false, None) => {}
                // Other rules speak of this ring than before.
                _ => return None,
            }
        }
        Some(())
    }

    fn rings(&self) -> &[ThingId] {
        let tables = &self.thing(self.album()).tables;
        tables.get("rings").map_or(&[], Vec::as_slice)
    }

    pub(super) fn work_out(&mut self, thing: ThingId, field: &str, value: Interval) {
        if let Some(id) = self.derived_given(thing, field) {
            self.givens[id.0 as usize].value = value;
        }
    }

    fn count_again(&mut self, thing: ThingId, field: &str, count: Option<i64>) {
        let facts = &mut self.things[thing.0 as usize].facts;
        if let (Some(fact), Some(count)) = (facts.get_mut(field), count) {
            *fact = Fact::Number(count, 1);
        }
    }
}

/// The album's stacks, and what of a leaf each adds up.
pub(super) const STACKS: [(&str, &str); 2] = [
    ("stack_at_holes", "thickness_at_holes"),
    ("stack_in_middle", "thickness"),
];

/// What of a leaf and of its pocket is worked out from its bag's measures.
const OF_LEAF: [&str; 4] = [
    "width_play",
    "height_play",
    "thickness_at_holes",
    "thickness",
];
const OF_POCKET: [&str; 3] = ["play", "edge_play", "short"];

/// The mats of a leaf, and whether a sheet of their paper may be narrower than the leaf.
pub(super) fn narrow_mats(scene: &Scene, leaf: ThingId) -> Vec<(ThingId, bool)> {
    let width = scene.length(leaf, "width");
    let narrow = |mat: ThingId| {
        let sheet = |side: &str| scene.length(mat, side);
        let sides = match scene.flag(mat, "directed") {
            true => [sheet("sheet_width"), None],
            false => [sheet("sheet_width"), sheet("sheet_height")],
        };
        let across = sides.into_iter().flatten().map(Interval::least).min();
        across
            .zip(width)
            .is_some_and(|(sheet, leaf)| sheet < leaf.most())
    };
    let parts = scene.thing(leaf).parts.values().copied();
    let mats = parts.filter(|part| scene.thing(*part).kind == "mat");
    mats.map(|mat| (mat, narrow(mat))).collect()
}

/// How far sizes of a leaf and the edge of its pocket may be off the middle of what is given.
pub(super) fn plays(scene: &Scene, leaf: ThingId) -> Vec<(ThingId, &'static str, Interval)> {
    let pocket = scene.thing(leaf).parts.get("pocket").copied();
    let sizes = [
        (Some(leaf), "width_play", scene.length(leaf, "width")),
        (Some(leaf), "height_play", scene.length(leaf, "height")),
        (pocket, "edge_play", pocket_edge(scene, leaf)),
    ];
    let known = |(thing, field, size): (Option<ThingId>, _, Option<Interval>)| {
        Some((thing?, field, play(size?)))
    };
    let of_pocket = pocket.map(|pocket| (pocket, "play", pocket_play(scene, pocket)));
    sizes
        .into_iter()
        .filter_map(known)
        .chain(of_pocket)
        .collect()
}

/// How far a size may be off the middle of what is given.
fn play(size: Interval) -> Interval {
    let play = (size.most().nm() - size.least().nm() + 1) / 2;
    Interval::exact(Length::from_nm(play))
}

/// How far a pocket's edge and depth together may be off the middle of what is given: a pocket varies
/// as one, and is never deeper than it is high. Zero if either is worked out.
fn pocket_play(scene: &Scene, pocket: ThingId) -> Interval {
    let sides = [scene.length(pocket, "edge"), scene.length(pocket, "depth")];
    let play = match sides {
        [Some(edge), Some(depth)] => stack::plus(play(edge), play(depth)),
        _ => None,
    };
    play.unwrap_or(Interval::exact(Length::ZERO))
}

/// What a ring takes between hole and spine edge: closed, and with its leaves turned round. More
/// paper goes round a larger ring and round a thinner stack: the worst ends are known.
/// `None` if the ring may not close round the stack.
pub(super) fn ring_papers(inside: Interval, stack: Interval) -> Option<[Interval; 2]> {
    let (inside, stack) = (inside.least(), stack.most());
    Some([
        Interval::exact(stack::closed_paper(inside, stack)?),
        Interval::exact(stack::turned_paper(inside, stack)),
    ])
}
