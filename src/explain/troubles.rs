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
use crate::solve::{self, Repair, Repairs, repairs};

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
        let parts = found.parts.iter().map(|part| {
            let trial = |repair: &Repair| self.trial(&softened, repair);
            let listed = part.sets.iter().any(|s| s.amounts == part.cheapest.amounts);
            let trials: Vec<Trial> = part.sets.iter().map(trial).collect();
            let cheapest = (!listed).then(|| trial(&part.cheapest));
            let first = cheapest.iter().chain(&trials).next();
            Trouble {
                first: first.map(|trial| trial.steps.clone()),
                trials,
                cheapest,
                all: part.complete,
                ..Trouble::default()
            }
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
