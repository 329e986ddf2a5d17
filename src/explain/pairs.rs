//! Where two things go wrong in one part of a trouble, a deed that mends one of them, with the measures that mend
//! the other: of a mat from too small a pad and a card that is too large another paper mends one only.
//!
//! May import every room up to `program`.

use super::changed::{Asked, Step};
use super::deeds::Deed;
use super::own::What;
use super::tries::{DEED, Leaves, Rules, Trial, Tries, act, with};
use super::troubles::Trouble;
use crate::program::{InstanceId, UnknownId};
use crate::scene::ThingId;
use itertools::Itertools;
use std::collections::{BTreeMap, BTreeSet};

/// Deeds that are tried for each thing that goes wrong.
const TRIED: usize = 40;

/// Changes of measures, each by its unknown.
type Block = BTreeSet<UnknownId>;

impl Asked<'_> {
    /// Deeds that mend one of several things that go wrong in a part, each with the cheapest measures for the
    /// others.
    pub(super) fn pairs(
        self,
        trouble: &Trouble,
        (others, aside): &(Vec<Step>, Rules),
        rules: &[InstanceId],
        near: &Leaves,
    ) -> Vec<Trial> {
        let Some(cheapest) = trouble.trials.first() else {
            return Vec::new();
        };
        let enough = |steps: &[Step]| self.fits(&with(steps, others), aside) == Some(true);
        let blocks = apart(trouble).into_iter();
        let pairs = blocks.flat_map(|block| {
            let rest = cheapest.steps.iter();
            let rest = rest.filter(|step| !block.contains(&step.change.unknown));
            let rest: Vec<Step> = rest.cloned().collect();
            let beside = (with(&rest, others), aside.clone());
            let mut tries = Tries::new(self, &beside);
            tries.left = TRIED;
            tries.look_near(near.clone());
            let deeds = tries.deeds(rules).into_iter();
            let deeds: Vec<Deed> = deeds.filter(is_whole).collect();
            deeds.into_iter().map(move |deed| (deed, rest.clone()))
        });
        let pairs = pairs.filter_map(|(deed, rest)| {
            let mut steps = with(&[self.deed(&deed)], &rest);
            for n in 1..steps.len() {
                self.least_of(&mut steps, n, &enough);
            }
            // What is needed no more makes it a deed that mends all of the part.
            let needed = (0..steps.len()).all(|n| {
                let mut fewer = steps.clone();
                fewer.remove(n);
                !enough(&fewer)
            });
            let price = |it: &Step| it.change.price.saturating_mul(it.amount);
            let price = DEED + steps[1..].iter().map(price).sum::<i64>();
            needed.then(|| act(steps, price))
        });
        pairs.collect()
    }
}

/// A deed of which nothing less would do.
fn is_whole(deed: &Deed) -> bool {
    matches!(
        deed,
        Deed::Use { .. } | Deed::SheetOf { .. } | Deed::Place { .. } | Deed::Without { .. }
    )
}

/// What goes wrong in a part, each by the measures that mend it: where the ways to mend the part are all ways to
/// choose one for each. Empty if it is one thing.
fn apart(trouble: &Trouble) -> Vec<Block> {
    let unknowns = |trial: &Trial| trial.steps.iter().map(|it| it.change.unknown).collect();
    let sets: Vec<Block> = trouble.trials.iter().map(unknowns).collect();
    let steps = trouble.trials.iter().flat_map(|trial| &trial.steps);
    let things = steps.filter_map(|step| match step.change.what {
        What::Size { thing, .. } => Some((step.change.unknown, thing)),
        _ => None,
    });
    let blocks = blocks(&sets, &things.collect());
    let ways = |block: &Block| {
        let of = sets.iter().map(|set| set.intersection(block).collect());
        of.unique_by(|it: &Vec<&UnknownId>| it.clone()).count()
    };
    let all = blocks.iter().map(ways).product::<usize>();
    match trouble.all && blocks.len() > 1 && all == sets.len() {
        true => blocks,
        false => Vec::new(),
    }
}

/// What is in these sets, apart where being in one says nothing of being in the other. A thing is cut once: its
/// two sides stay together.
fn blocks(sets: &[Block], things: &BTreeMap<UnknownId, ThingId>) -> Vec<Block> {
    let with = |wanted: &[UnknownId]| {
        let has = |set: &&Block| wanted.iter().all(|it| set.contains(it));
        sets.iter().filter(has).count()
    };
    let mut blocks: Vec<Block> = Vec::new();
    for one in sets.iter().flatten().unique() {
        let thing = things.get(one);
        let hangs = |other: &UnknownId| {
            thing.is_some() && things.get(other) == thing
                || with(&[*one, *other]) * sets.len() != with(&[*one]) * with(&[*other])
        };
        let (near, mut far): (Vec<_>, Vec<_>) = blocks
            .into_iter()
            .partition(|block| block.iter().any(hangs));
        far.push(near.into_iter().flatten().chain([*one]).collect());
        blocks = far;
    }
    blocks
}
