//! What is tried by hand for one part of a trouble: each change made in the album, or in the leaves that it
//! is about, and solved again. `lists` asks for it.
//!
//! May import every room up to `program`, and of `solve` what it returned.

use super::changed::{Asked, Step};
use super::deeds::Deed;
use super::own::{What, set_otherwise};
use super::soften::{Change, LEAVING_OUT, Softened, soften};
use crate::album::Leaf;
use crate::program::{InstanceId, UnknownId};
use crate::scene::ThingId;
use std::collections::BTreeSet;

/// Deeds that are tried for one part of the trouble, at the most.
pub(super) const MOST_TRIED: usize = 150;
/// How far holes and pockets are tried step by step.
const TRIED: i64 = 64;
/// What a deed costs, in the price of ruler steps.
pub(super) const DEED: i64 = 10;
/// What going back to the style's own value costs, in the price of ruler steps.
const UNSETTING: i64 = 10;
pub(super) type Rules = BTreeSet<InstanceId>;
pub(super) type Leaves = BTreeSet<usize>;

/// Changes that may mend a part of the trouble.
#[derive(Clone)]
pub(super) struct Trial {
    pub steps: Vec<Step>,
    pub price: i64,
    pub proved: bool,
}

impl Trial {
    /// What these changes cost together.
    pub(super) fn of(steps: Vec<Step>, proved: bool) -> Trial {
        let price = |it: &Step| it.change.price.saturating_mul(it.amount);
        Trial {
            price: steps.iter().map(price).fold(0, i64::saturating_add),
            steps,
            proved,
        }
    }
}

impl Asked<'_> {
    pub(super) fn softened(self, may: &Rules, aside: &Rules) -> Option<Softened> {
        let may = |what: &What, _| match what {
            What::Aside(id) => may.contains(id),
            _ => true,
        };
        soften(self.style, self.album, self.expanded, aside, &may)
    }

    pub(super) fn deed(self, deed: &Deed) -> Step {
        self.step(&once(What::Deed(deed.clone()), DEED), 1)
    }

    /// The leaves that a step changes; `None` if it may change any.
    pub(super) fn changes(self, step: &Step) -> Option<Leaves> {
        match &step.change.what {
            What::Size { thing, .. } | What::LeaveOut(thing) => {
                Some(Leaves::from([self.leaf_index(*thing)?]))
            }
            What::Deed(deed) => self.changed_by(deed),
            _ => None,
        }
    }

    pub(super) fn changed_by(self, deed: &Deed) -> Option<Leaves> {
        let leaves = (0..).zip(&self.album.leaves);
        let bags = &self.album.supplies.bags;
        let is_its = |leaf: &Leaf| match deed {
            Deed::BagOf { from, .. } | Deed::Pick { from, .. } => bags[leaf.bag].name == *from,
            _ => deed.leaf() == Some(&leaf.name),
        };
        let its = leaves.filter(|(_, leaf)| is_its(leaf));
        let its: Leaves = its.map(|(at, _)| at).collect();
        Some(its).filter(|its| !its.is_empty())
    }

    pub(super) fn leave_out(self, thing: ThingId) -> Step {
        self.step(&once(What::LeaveOut(thing), LEAVING_OUT), 1)
    }

    /// The inserts that clashing rules speak of, and those beside them in their leaf: whatever lies
    /// there makes the pile thicker.
    pub(super) fn inserts_of(self, clashing: &[InstanceId]) -> Vec<ThingId> {
        let scene = &self.expanded.model.scene;
        let scopes = clashing.iter();
        let scopes = scopes.map(|id| &self.expanded.scopes[id.0 as usize]);
        let things = scopes.flat_map(|scope| scope.0.iter().map(|(_, thing)| *thing));
        let inserts = things.filter(|thing| scene.thing(*thing).kind == "insert");
        let leaves: BTreeSet<_> = inserts.filter_map(|thing| scene.leaf_of(thing)).collect();
        let mut all = self.all_inserts();
        all.retain(|thing| scene.leaf_of(*thing).is_some_and(|it| leaves.contains(&it)));
        all
    }

    pub(super) fn all_inserts(self) -> Vec<ThingId> {
        let scene = &self.expanded.model.scene;
        let things = (0..scene.things.len() as u32).map(ThingId);
        things
            .filter(|thing| scene.thing(*thing).kind == "insert")
            .collect()
    }
}

/// What is tried by hand for one part, the others mended.
pub(super) struct Tries<'a> {
    pub asked: Asked<'a>,
    pub context: &'a (Vec<Step>, Rules),
    /// The leaves that are tried, where others are left to the last proof; none of them is all.
    pub near: Leaves,
    /// Those of them that cannot be made even alone: what is done to others does not help.
    bad: Leaves,
    /// A limit was met.
    pub untried: bool,
    /// Deeds that may still be tried.
    pub left: usize,
}

impl<'a> Tries<'a> {
    pub(super) fn new(asked: Asked<'a>, context: &'a (Vec<Step>, Rules)) -> Tries<'a> {
        Tries {
            asked,
            context,
            near: Leaves::new(),
            bad: Leaves::new(),
            untried: false,
            left: MOST_TRIED,
        }
    }

    /// Tries only these kinds of leaf from now on.
    pub(super) fn look_near(&mut self, near: Leaves) {
        let (others, aside) = self.context;
        let bad = near.iter().filter(|at| {
            let alone = self.asked.alone(others, aside, &Leaves::from([**at]));
            near.len() > 1 && alone == Some(false)
        });
        self.bad = bad.copied().collect();
        self.near = near;
    }

    pub(super) fn fits(&mut self, steps: &[Step]) -> bool {
        let (others, aside) = self.context;
        let changed: Option<Vec<Leaves>> = steps.iter().map(|it| self.asked.changes(it)).collect();
        let helps = |it: &[Leaves]| {
            let mut bad = self.bad.iter();
            bad.all(|bad| it.iter().any(|its| its.contains(bad)))
        };
        if changed.is_some_and(|it| !helps(&it)) {
            return false;
        }
        let fits = self.asked.alone(&with(steps, others), aside, &self.near);
        self.untried |= fits.is_none();
        fits == Some(true)
    }

    /// What was not tried may be another way.
    pub(super) fn give_up(&mut self) {
        self.untried = true;
    }

    /// Each of these inserts left out, where the album then fits.
    pub(super) fn left_out(&mut self, inserts: &[ThingId]) -> Vec<Trial> {
        let alone = inserts.iter().map(|it| vec![self.asked.leave_out(*it)]);
        let alone: Vec<Vec<Step>> = alone.collect();
        let fit = alone.into_iter().filter(|steps| self.fits(steps));
        fit.map(|steps| act(steps, LEAVING_OUT)).collect()
    }

    /// What mends rules that no change of measures or rules in a row does: things left out, a
    /// quantity as the style has it, and holes or a pocket moved.
    pub(super) fn unstuck(&mut self, stuck: &Rules) -> Vec<Trial> {
        let asked = self.asked;
        let rules: Vec<InstanceId> = stuck.iter().copied().collect();
        let mut inserts = asked.inserts_of(&rules);
        let scopes = rules.iter().map(|id| &asked.expanded.scopes[id.0 as usize]);
        if scopes.into_iter().any(|scope| scope.0.is_empty()) {
            // A rule of the whole album may be any insert's doing.
            inserts = asked.all_inserts();
        }
        let mut found = self.left_out(&inserts);
        for (name, ..) in set_otherwise(asked.style, asked.album) {
            let steps = vec![asked.step(&once(What::Usual(name), UNSETTING), 1)];
            if self.fits(&steps) {
                found.push(act(steps, UNSETTING));
            }
        }
        found.extend(self.moved());
        if found.is_empty() && inserts.len() > 1 {
            found.extend(self.several_left_out(&inserts));
        }
        found
    }

    /// As few inserts left out as make the album fit, though no single one does.
    fn several_left_out(&mut self, inserts: &[ThingId]) -> Option<Trial> {
        let steps = inserts.iter().map(|thing| self.asked.leave_out(*thing));
        let mut steps: Vec<Step> = steps.collect();
        if !self.fits(&steps) {
            return None;
        }
        let mut at = 0;
        while at < steps.len() {
            let mut fewer = steps.clone();
            fewer.remove(at);
            match self.fits(&fewer) {
                true => steps = fewer,
                false => at += 1,
            }
        }
        let price = LEAVING_OUT.saturating_mul(steps.len() as i64);
        Some(act(steps, price))
    }

    /// Holes and pockets moved until the album fits: the layers at the holes hang on them, which no
    /// row shows.
    fn moved(&mut self) -> Vec<Trial> {
        let none = Rules::new();
        let Some(softened) = self.asked.softened(&none, &none) else {
            return Vec::new();
        };
        let context = self.context;
        let others = &context.0;
        let own = softened.changes.iter().filter(|change| {
            matches!(change.what, What::Template(_) | What::Pocket { .. })
                && others.iter().all(|step| step.change.what != change.what)
        });
        let tried = own.filter_map(|change| {
            let most = softened.program.unknowns[change.unknown.0 as usize].most;
            let amount = (1..=most.min(TRIED)).find(|amount| {
                let step = self.asked.step(change, *amount);
                self.fits(&[step])
            })?;
            let steps = vec![self.asked.step(change, amount)];
            Some(act(steps, change.price.saturating_mul(amount)))
        });
        tried.collect()
    }
}

pub(super) fn with(steps: &[Step], others: &[Step]) -> Vec<Step> {
    steps.iter().chain(others).cloned().collect()
}

/// A change that is made or not: nothing less of it would do.
pub(super) fn once(what: What, price: i64) -> Change {
    Change {
        what,
        more: false,
        unknown: UnknownId(u32::MAX),
        price,
    }
}

pub(super) fn is_accept(trial: &Trial) -> bool {
    let mut steps = trial.steps.iter();
    steps.any(|step| matches!(step.change.what, What::Rule(_)))
}

pub(super) fn is_deed(trial: &Trial) -> bool {
    let mut steps = trial.steps.iter();
    steps.any(|step| matches!(step.change.what, What::Deed(_)))
}

pub(super) fn act(steps: Vec<Step>, price: i64) -> Trial {
    Trial {
        steps,
        price,
        proved: true,
    }
}
