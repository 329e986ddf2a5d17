//! The same things with another bag of the same make: which given values are measures of a bag, and
//! what follows from them.

use super::thickness::{STACKS, stack_of_leaves, thickness_of};
use super::*;
use crate::album::Album;
use crate::scene::stack;
use crate::style::expr::Node;
use crate::style::parts::{End, Is, Row};
use crate::supplies::{Bag, Bottom};

/// A measure of a bag.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BagMeasure {
    Width,
    Height,
    /// How high the leaf is, where the bag is folded up.
    Folded,
    Gusset,
    PocketEdge,
    PocketDepth,
    FrontDepth,
    BackDepth,
    Caliper,
    Squeezed,
}

impl BagMeasure {
    /// All of them.
    pub const ALL: [BagMeasure; 10] = [
        BagMeasure::Width,
        BagMeasure::Height,
        BagMeasure::Folded,
        BagMeasure::Gusset,
        BagMeasure::PocketEdge,
        BagMeasure::PocketDepth,
        BagMeasure::FrontDepth,
        BagMeasure::BackDepth,
        BagMeasure::Caliper,
        BagMeasure::Squeezed,
    ];

    /// What a style calls it, after `bag.`
    pub fn name(self) -> &'static str {
        match self {
            BagMeasure::Width => "width",
            BagMeasure::Height => "height",
            BagMeasure::Folded => "folded",
            BagMeasure::Gusset => "gusset",
            BagMeasure::PocketEdge => "pocket_edge",
            BagMeasure::PocketDepth => "pocket_depth",
            BagMeasure::FrontDepth => "front_depth",
            BagMeasure::BackDepth => "back_depth",
            BagMeasure::Caliper => "caliper",
            BagMeasure::Squeezed => "squeezed",
        }
    }

    /// The measure that a style calls so.
    pub fn called(name: &str) -> Option<BagMeasure> {
        BagMeasure::ALL.into_iter().find(|it| it.name() == name)
    }

    /// The measure that a row of a name is, and nothing else.
    pub fn of_row(row: &Row) -> Option<BagMeasure> {
        match &row.is {
            Is::Value(End::At(Expr {
                node: Node::Name(path),
                ..
            })) if path.head() == "bag" => BagMeasure::called(path.last()),
            _ => None,
        }
    }

    /// What a bag says of it.
    pub fn of(self, bag: &Bag) -> Option<Interval> {
        let pocket = bag.pocket.as_ref();
        match self {
            BagMeasure::Width => Some(bag.width),
            BagMeasure::Height => Some(bag.height),
            BagMeasure::Folded => bag.folded,
            BagMeasure::Gusset => bag.gusset,
            BagMeasure::PocketEdge => pocket.map(|p| p.edge),
            BagMeasure::PocketDepth => pocket.and_then(|p| p.depth),
            BagMeasure::FrontDepth => bag.front_depth,
            BagMeasure::BackDepth => bag.back_depth,
            BagMeasure::Caliper => bag.caliper,
            BagMeasure::Squeezed => bag.squeezed,
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
            pocket.is_some_and(|p| p.why.is_some()),
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
        let of_leaves: Vec<ThingId> = of_leaves.copied().collect();
        let follows = self
            .follows
            .iter()
            .filter(|it| of_leaves.contains(&it.leaf));
        moving.extend(follows.filter_map(|it| it.given));
        let derived = of_leaves
            .iter()
            .flat_map(|leaf| OF_LEAF.map(|field| (*leaf, field)))
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
        let of_leaves: Option<Vec<ThingId>> =
            (leaves.iter().map(|at| self.leaves().get(*at).copied())).collect();
        self.follow_again(&of_leaves?)?;
        for at in leaves {
            let leaf = *self.leaves().get(*at)?;
            let narrow = narrow_mats(self, leaf);
            let as_before = |(mat, narrow): &(ThingId, bool)| self.flag(*mat, "narrow") == *narrow;
            if !narrow.iter().all(as_before) {
                return None;
            }
            let thick = thickness_of(self, leaf, bag)?;
            self.count_again(leaf, "layers_counted", thick.layers_counted);
            self.work_out(leaf, "thickness_at_holes", thick.at_holes);
            self.work_out(leaf, "thickness", thick.middle);
        }
        let all = self.album();
        for (field, of_leaf, of_covers) in STACKS {
            let stack = stack_of_leaves(self, self.leaves(), album, (of_leaf, of_covers))?;
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

/// What of a leaf is worked out from its bag's measures, beside what its names come to.
const OF_LEAF: [&str; 2] = ["thickness_at_holes", "thickness"];

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
