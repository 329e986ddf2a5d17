//! The independent parts of a trouble: rules that clash whatever is changed are found first and set aside, so
//! that they hide no other trouble; the rest falls apart into parts, each with the changes of measures and
//! rules that mend it.
//!
//! May import every room up to `program`, and of `solve` what it returned.

use super::changed::{Asked, Step};
use super::own::What;
use super::soften::{Change, Softened};
use super::tries::{Rules, Trial};
use crate::program::UnknownId;
use crate::scene::ThingId;
use crate::solve::{self, Repair, Repairs, repairs};
use itertools::Itertools;
use std::collections::{BTreeMap, BTreeSet};

/// Fixes of measures that are listed for each part of the trouble, and deeds.
pub(super) const MOST_FIXES: usize = 20;

/// A part of the trouble.
#[derive(Default)]
pub(super) struct Trouble {
    /// Rules that clash whatever measures are changed, and those of them that are set aside.
    pub stuck: Rules,
    pub aside: Rules,
    pub trials: Vec<Trial>,
    /// The cheapest of all, if it is none of these.
    pub cheapest: Option<Trial>,
    /// Everything that may mend it was tried.
    pub all: bool,
    /// What mends it while others are tried.
    pub first: Option<Vec<Step>>,
}

impl Trouble {
    /// The parts of which each is mended whatever is chosen for the others, though rules hang together: where
    /// the ways to mend it are all ways to choose one for each part.
    fn parts(self) -> Vec<Trouble> {
        let sets: Vec<BTreeSet<UnknownId>> = self.trials.iter().map(Trial::unknowns).collect();
        let steps = self.trials.iter().flat_map(|trial| &trial.steps);
        let things = steps.filter_map(|step| match step.change.what {
            What::Size { thing, .. } => Some((step.change.unknown, thing)),
            _ => None,
        });
        let blocks = blocks(&sets, &things.collect());
        let is_in = |block: &BTreeSet<UnknownId>, step: &Step| block.contains(&step.change.unknown);
        let known = |step: &Step| blocks.iter().any(|block| is_in(block, step));
        let mut amounts = self.cheapest.iter().flat_map(|trial| &trial.steps);
        let chosen = |block: &BTreeSet<UnknownId>| {
            let of = sets.iter().map(|set| set.intersection(block).collect());
            of.unique_by(|it: &Vec<&UnknownId>| it.clone()).count()
        };
        let all = blocks.iter().map(chosen).product::<usize>();
        if !self.all || blocks.len() < 2 || all != sets.len() || !amounts.all(known) {
            return vec![self];
        }
        let parts = blocks.iter().map(|block| {
            let of_part = |trial: &Trial| {
                let steps = trial.steps.iter().filter(|step| is_in(block, step));
                Trial::of(steps.cloned().collect(), trial.proved)
            };
            // The first with it is the cheapest.
            let trials = self.trials.iter().map(of_part).unique_by(Trial::unknowns);
            let trials: Vec<Trial> = trials.collect();
            let cheapest = self.cheapest.as_ref().map(of_part);
            let is_new = |it: &Trial| trials.iter().all(|trial| trial.steps != it.steps);
            Trouble {
                cheapest: cheapest.filter(is_new),
                trials,
                all: true,
                ..Trouble::default()
            }
        });
        parts.collect()
    }
}

/// What is in these sets, apart where being in one says nothing of being in the other. A thing is cut once: its
/// two sides stay together.
fn blocks(
    sets: &[BTreeSet<UnknownId>],
    things: &BTreeMap<UnknownId, ThingId>,
) -> Vec<BTreeSet<UnknownId>> {
    let with = |wanted: &[UnknownId]| {
        let has = |set: &&BTreeSet<UnknownId>| wanted.iter().all(|it| set.contains(it));
        sets.iter().filter(has).count()
    };
    let mut blocks: Vec<BTreeSet<UnknownId>> = Vec::new();
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

impl Asked<'_> {
    /// The parts of the trouble with the changes of measures and rules that mend each.
    pub(super) fn apart(self) -> Option<Vec<Trouble>> {
        let none = Rules::new();
        let mut softened = self.softened(&none, &none)?;
        let mut found = self.repairs(&softened, MOST_FIXES);
        let mut cores: Vec<Rules> = Vec::new();
        let mut may = Rules::new();
        // Each turn finds rules of which one more may be set aside: there are no more turns than rules.
        for _ in &self.expanded.program.instances {
            let Some(conflict) = &found.hopeless else {
                break;
            };
            let ids = conflict.instances.iter();
            let core = ids.filter_map(|id| *softened.of.get(id.0 as usize)?);
            let core: Rules = core.collect();
            may.extend(&core);
            cores.push(core);
            softened = self.softened(&may, &none)?;
            found = self.repairs(&softened, 1);
        }
        let mut stuck = Vec::new();
        if !cores.is_empty() {
            // The fewest rules without which the rest can be mended.
            let amounts = found.cheapest.as_ref()?.amounts.iter();
            let aside: Rules = amounts
                .filter_map(|(unknown, _)| match change(&softened, *unknown)?.what {
                    What::Aside(id) => Some(id),
                    _ => None,
                })
                .collect();
            softened = self.softened(&none, &aside)?;
            found = self.repairs(&softened, MOST_FIXES);
            if found.hopeless.is_some() {
                return None;
            }
            stuck = merged(cores)
                .into_iter()
                .map(|rules| Trouble {
                    aside: rules.intersection(&aside).copied().collect(),
                    stuck: rules,
                    all: true,
                    ..Trouble::default()
                })
                .collect();
        }
        if found.cheapest.is_none() && stuck.is_empty() {
            return None;
        }
        let parts = found.parts.iter().flat_map(|part| {
            let trial = |repair: &Repair| self.trial(&softened, repair);
            let listed = part.sets.iter().any(|s| s.amounts == part.cheapest.amounts);
            let trials: Vec<Trial> = part.sets.iter().map(trial).collect();
            let cheapest = (!listed).then(|| trial(&part.cheapest));
            let whole = Trouble {
                trials,
                cheapest,
                all: part.complete,
                ..Trouble::default()
            };
            let mut parts = whole.parts();
            for part in &mut parts {
                let first = part.cheapest.iter().chain(&part.trials).next();
                part.first = first.map(|trial| trial.steps.clone());
            }
            parts
        });
        Some(parts.chain(stuck).collect())
    }

    fn repairs(self, softened: &Softened, most: usize) -> Repairs {
        let changes: Vec<solve::Change> = softened.changes.iter().map(priced).collect();
        repairs(&softened.program, &changes, self.limits, most)
    }

    fn trial(self, softened: &Softened, repair: &Repair) -> Trial {
        let steps = repair.amounts.iter().filter_map(|(unknown, amount)| {
            let change = change(softened, *unknown)?;
            Some(self.step(change, *amount))
        });
        Trial::of(steps.collect(), repair.proved)
    }
}

/// What mends all parts but these meanwhile, and the rules of theirs that are set aside.
pub(super) fn context(troubles: &[Trouble], parts: &[usize]) -> (Vec<Step>, Rules) {
    let (mut others, mut aside) = (Vec::new(), Rules::new());
    for (n, trouble) in troubles.iter().enumerate() {
        match &trouble.first {
            _ if parts.contains(&n) => {}
            Some(steps) => others.extend(steps.iter().cloned()),
            None => aside.extend(&trouble.aside),
        }
    }
    (others, aside)
}

fn change(softened: &Softened, unknown: UnknownId) -> Option<&Change> {
    softened.changes.iter().find(|c| c.unknown == unknown)
}

/// A change with what a step of it costs, as the solver takes it.
pub(super) fn priced(change: &Change) -> solve::Change {
    solve::Change {
        unknown: change.unknown,
        price: change.price,
    }
}

/// Sets of rules that share one are one trouble.
fn merged(cores: Vec<Rules>) -> Vec<Rules> {
    let mut all: Vec<Rules> = Vec::new();
    for mut core in cores {
        let (one, apart): (Vec<Rules>, Vec<Rules>) =
            all.into_iter().partition(|other| !other.is_disjoint(&core));
        core.extend(one.into_iter().flatten());
        all = apart;
        all.push(core);
    }
    all
}
