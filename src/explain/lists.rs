//! The changes that make an album fit: one list for each part of its trouble.
//!
//! What is in one list is tried with the first of each other list; where another list has
//! nothing, with the rules that nothing mends set aside.

use super::changed::Asked;
use super::changed::{Solved, Step};
use super::deeds::Deed;
use super::own::What;
use super::soften::Change;
use super::tries::{DEED, Leaves, MOST_TRIED, Rules, Trial, Tries, act, is_accept, is_deed, with};
use super::troubles::{MOST_FIXES, Trouble, context};
use super::{Fix, FixChange, FixList};
use crate::plan::of;
use crate::program::InstanceId;
use rayon::prelude::*;
use std::collections::BTreeSet;

/// Deeds that are tried for one part of the trouble, at the least.
const FEWEST_TRIED: usize = 12;
/// Rules that are laid over albums while deeds are tried, all parts together.
const DEED_ROWS: usize = 40_000;

impl Asked<'_> {
    /// One list for each part of the trouble; none if a limit was met first. And what mends all of several
    /// parts.
    pub(super) fn fixes(
        self,
        clashing: &[InstanceId],
        clashes: &[&[InstanceId]],
    ) -> (Vec<FixList>, Vec<Fix>) {
        let mut wide = Vec::new();
        let mut troubles = self.troubles(clashing, Some(&mut wide));
        wide.sort_by_key(|step| self.rank(step));
        self.join(&mut troubles, &wide);
        let mut lists = self.listed(&troubles);
        let is_later = |(list, _): &(FixList, Vec<Step>)| list.meanwhile.is_some_and(|at| at > 0);
        if lists.len() > 1 && lists.iter().any(is_later) {
            // Each was worked out beside one fix of the others: if the first ones go together, beside these.
            let firsts = lists.iter().flat_map(|(_, first)| first.iter().cloned());
            let aside = troubles.iter().filter(|trouble| trouble.first.is_none());
            let aside = aside.flat_map(|it| it.aside.iter().copied()).collect();
            if self.fits(&firsts.collect::<Vec<_>>(), &aside) == Some(true) {
                for (trouble, (_, first)) in troubles.iter_mut().zip(lists) {
                    trouble.first = trouble.first.take().and(Some(first));
                }
                self.lessen(&mut troubles);
                lists = self.listed(&troubles);
            }
            for (list, _) in &mut lists {
                if let Some(at) = list.meanwhile {
                    list.fixes[..=at].rotate_right(1);
                    list.meanwhile = Some(0);
                }
            }
        }
        let alone = (Vec::new(), Rules::new());
        let whole = wide.into_iter().take(MOST_FIXES);
        let whole = whole.filter_map(|step| self.fix(&act(vec![step], DEED), &alone));
        let mut whole: Vec<Fix> = whole.collect();
        let larger = |change: &FixChange| match change {
            FixChange::Do(Deed::BagOf { from, .. }) => Some(from.clone()),
            _ => None,
        };
        let mut mended = whole.iter().flat_map(|fix| &fix.changes);
        if lists.len() > 1 && !mended.any(|it| larger(it).is_some()) {
            let fixes = lists.iter().flat_map(|(list, _)| &list.fixes);
            let asked = fixes.flat_map(|fix| fix.changes.iter().filter_map(larger));
            let larger = self.both_ways(asked.collect());
            let deeds = larger.map(|deeds| deeds.map(|deed| self.deed(&deed)).to_vec());
            whole.extend(deeds.and_then(|steps| self.fix(&act(steps, 2 * DEED), &alone)));
        }
        let several = lists.len() > 1;
        let lists = lists.into_iter().map(|(mut list, first)| {
            list.clashes = match several {
                true => self.mended(&first, clashes),
                false => (0..clashes.len()).collect(),
            };
            // What mends all of it mends a part of which nothing else is known.
            let open = list.fixes.is_empty() && list.cheapest.is_none();
            if let (true, Some(fix)) = (open, whole.first()) {
                list.nothing_mends.clear();
                list.fixes.push(fix.clone());
            }
            list
        });
        (lists.collect(), whole)
    }

    fn listed(self, troubles: &[Trouble]) -> Vec<(FixList, Vec<Step>)> {
        let all = (0..troubles.len()).into_par_iter();
        all.map(|at| self.list(&troubles[at], &context(troubles, &[at])))
            .collect()
    }

    /// Makes amounts as small as is still enough beside what mends the other parts now, and leaves out changes
    /// that are needed no more.
    fn lessen(self, troubles: &mut [Trouble]) {
        for at in 0..troubles.len() {
            let (others, aside) = context(troubles, &[at]);
            let enough = |steps: &[Step]| self.fits(&with(steps, &others), &aside) == Some(true);
            let part = &mut troubles[at];
            for trial in part.trials.iter_mut().chain(&mut part.cheapest) {
                let is_first = part.first.as_deref() == Some(&trial.steps);
                // What is less of one may make less of another enough.
                loop {
                    let before = trial.steps.clone();
                    for n in 0..before.len() {
                        self.least_of(&mut trial.steps, n, &enough);
                    }
                    if trial.steps == before {
                        break;
                    }
                }
                let mut n = 0;
                while n < trial.steps.len() && trial.steps.len() > 1 {
                    let mut fewer = trial.steps.clone();
                    fewer.remove(n);
                    match enough(&fewer) {
                        true => trial.steps = fewer,
                        false => n += 1,
                    }
                }
                *trial = Trial::of(std::mem::take(&mut trial.steps), trial.proved);
                if is_first {
                    part.first = Some(trial.steps.clone());
                }
            }
            let whats = |trial: &Trial| -> Vec<Change> {
                let changes = trial.steps.iter().map(|it| it.change.clone());
                changes.collect()
            };
            let mut seen: Vec<Vec<Change>> = Vec::new();
            let mut is_new = |trial: &Trial| {
                let whats = whats(trial);
                let new = !seen.contains(&whats);
                seen.push(whats);
                new
            };
            part.trials.retain(&mut is_new);
            part.cheapest = part.cheapest.take().filter(is_new);
        }
    }

    /// Makes one amount the smallest that is enough, of those up to what it is.
    pub(super) fn least_of(self, steps: &mut [Step], n: usize, enough: &impl Fn(&[Step]) -> bool) {
        let (mut not, mut most) = (0, steps[n].amount);
        while most - not > 1 {
            let was = steps[n].clone();
            let middle = not.midpoint(most);
            steps[n] = self.step(&was.change, middle);
            match enough(steps) {
                true => most = middle,
                false => {
                    not = middle;
                    steps[n] = was;
                }
            }
        }
    }

    /// Where a larger bag is asked for, and of one only: it, larger both ways.
    fn both_ways(self, asked: BTreeSet<String>) -> Option<[Deed; 2]> {
        let bags = &self.album.supplies.bags;
        let is_it = |at: usize| bags.get(at).is_some_and(|bag| asked.contains(&bag.name));
        let leaf = self.album.leaves.iter().position(|leaf| is_it(leaf.bag))?;
        (asked.len() == 1).then(|| self.larger_bag(leaf)).flatten()
    }

    /// Of each part of the trouble the easiest fix by its measures, without trying others; and whether
    /// none mends one of them.
    pub(super) fn cheapest_fixes(self, clashing: &[InstanceId]) -> (Vec<Option<Fix>>, bool) {
        let troubles = self.troubles(clashing, None);
        let mut hopeless = false;
        let each = troubles.iter().enumerate().map(|(at, trouble)| {
            let trials: Vec<&Trial> = trouble.trials.iter().chain(&trouble.cheapest).collect();
            hopeless |= trials.is_empty() && !trouble.stuck.is_empty() && trouble.all;
            let context = context(&troubles, &[at]);
            trials.iter().find_map(|trial| self.fix(trial, &context))
        });
        (each.collect(), hopeless)
    }

    /// The parts of the trouble with all that may mend each; none if a limit was met first.
    /// Deeds are tried where there is a list for those that mend more than their own part.
    fn troubles(self, clashing: &[InstanceId], mut wide: Option<&mut Vec<Step>>) -> Vec<Trouble> {
        let Some(mut troubles) = self.apart() else {
            return Vec::new();
        };
        let mut at = 0;
        while at < troubles.len() {
            let context = context(&troubles, &[at]);
            let of_part = self.of_part(clashing, &troubles[at]);
            let inserts = self.inserts_of(&of_part);
            let mut tries = Tries::new(self, &context);
            // Of a large album each try is a longer one.
            let rules = self.expanded.program.instances.len().max(1);
            tries.left = (DEED_ROWS / rules / troubles.len()).clamp(FEWEST_TRIED, MOST_TRIED);
            let stuck = !troubles[at].stuck.is_empty();
            if stuck && tries.fits(&[]) {
                // What mends the others mends it too, as with a pile: each thing in it has a rule of its
                // own. What is listed for the others is tried with its rules.
                troubles.remove(at);
                continue;
            }
            // Where the whole album is spoken of, all of it is tried.
            let near = self.leaves_of(&troubles[at]).into_iter();
            let near = near.collect::<Option<Leaves>>().unwrap_or_default();
            tries.look_near(near.clone());
            let mut more = match stuck {
                false => tries.left_out(&inserts),
                true => tries.unstuck(&troubles[at].stuck),
            };
            if let Some(wide) = &mut wide {
                let stuck_rules: Vec<InstanceId> = troubles[at].stuck.iter().copied().collect();
                let rules = if stuck { &stuck_rules } else { &of_part };
                let deeds = tries.deeds(rules).into_iter();
                more.extend(deeds.map(|deed| act(vec![self.deed(&deed)], DEED)));
                // What mends another part, too, would make that part's list say too much.
                let (mut also, own): (Vec<Trial>, Vec<Trial>) = more
                    .into_iter()
                    .partition(|trial| self.mends_more(&troubles, at, &trial.steps));
                more = own;
                if !stuck {
                    more.extend(self.pairs(&troubles[at], &context, &of_part, &near));
                }
                more.truncate(MOST_FIXES);
                also.truncate(MOST_FIXES);
                // Less of a rule is not to be all that a part is offered.
                if troubles[at].trials.iter().chain(&more).all(is_accept) {
                    more.extend(also.iter().cloned());
                }
                for step in also.into_iter().flat_map(|trial| trial.steps) {
                    if !wide.contains(&step) {
                        wide.push(step);
                    }
                }
            }
            let tried_all = !tries.untried;
            let trouble = &mut troubles[at];
            trouble.all &= tried_all;
            trouble.trials.extend(more);
            let rank = |step: &Step| self.rank(step);
            trouble.trials.sort_by_key(|trial| {
                let most = trial.steps.iter().map(rank).max();
                (most, trial.steps.len(), trial.price)
            });
            // What is bought or done otherwise may mend a little of another part, too: amounts that are
            // enough beside measures would then be more than enough.
            let all = || trouble.trials.iter().chain(&trouble.cheapest);
            let measures = all().filter(|trial| !is_deed(trial) && !is_accept(trial));
            let accepts = all().filter(|trial| is_accept(trial));
            // Rules that no measure mends are set aside meanwhile.
            let deeds = all().filter(|trial| is_deed(trial) && !stuck);
            let mut trials = measures.chain(deeds).chain(accepts);
            trouble.first = trials.find_map(|trial| self.that_fits(&trial.steps, &context));
            at += 1;
        }
        troubles
    }

    /// The clashing rules of the leaves in which something mends this part, those of the whole album if
    /// one of them does, and those of which less may be accepted; all that clash if it names none.
    fn of_part(self, clashing: &[InstanceId], trouble: &Trouble) -> Vec<InstanceId> {
        let leaves = self.leaves_of(trouble);
        let own = clashing.iter();
        let own = own.filter(|id| self.rule_in(**id).iter().any(|leaf| leaves.contains(leaf)));
        let mut own: Rules = own.copied().collect();
        let steps = trouble.trials.iter().flat_map(|trial| &trial.steps);
        own.extend(steps.filter_map(|step| match step.change.what {
            What::Rule(id) => Some(id),
            _ => None,
        }));
        match own.is_empty() {
            true => clashing.to_vec(),
            false => own.into_iter().collect(),
        }
    }

    /// The leaves that a rule speaks of; `None` is the whole album.
    fn rule_in(self, id: InstanceId) -> Vec<Option<usize>> {
        let leaves = self.leaves_of_rule(id);
        match leaves.is_empty() {
            true => vec![None],
            false => leaves.into_iter().map(Some).collect(),
        }
    }

    /// The leaves that a part is about; `None` among them is the whole album.
    fn leaves_of(self, trouble: &Trouble) -> BTreeSet<Option<usize>> {
        let trials = trouble.trials.iter().chain(&trouble.cheapest);
        let steps = trials.flat_map(|trial| &trial.steps);
        let named = steps.flat_map(|step| match &step.change.what {
            What::Size { thing, .. } => vec![self.leaf_index(*thing)],
            What::Rule(id) => self.rule_in(*id),
            _ => Vec::new(),
        });
        let stuck = trouble.stuck.iter().flat_map(|id| self.rule_in(*id));
        named.chain(stuck).collect()
    }

    /// Whether what mends one part at one stroke mends another, what mends that one left undone.
    fn mends_more(self, troubles: &[Trouble], at: usize, steps: &[Step]) -> bool {
        let [step] = steps else { return false };
        let its = self.changes(step);
        // What is done to some leaves is nothing to others, nor to rules that speak of these only.
        let is_far = |other: usize| {
            let leaves = self.leaves_of(&troubles[other]);
            let leaves: Option<Leaves> = leaves.into_iter().collect();
            let both = its.as_ref().zip(leaves);
            both.is_some_and(|(its, other)| !other.is_empty() && its.is_disjoint(&other))
        };
        (0..troubles.len())
            .filter(|other| *other != at && !is_far(*other))
            .any(|other| self.mends(troubles, &[at, other], step))
    }

    fn mends(self, troubles: &[Trouble], parts: &[usize], step: &Step) -> bool {
        let (others, aside) = context(troubles, parts);
        self.fits(&with(std::slice::from_ref(step), &others), &aside) == Some(true)
    }

    /// Makes one part of those that nothing of their own mends, but one deed all of them.
    fn join(self, troubles: &mut Vec<Trouble>, wide: &[Step]) {
        for step in wide {
            let open = |part: &Trouble| {
                let known = |trial: &Trial| trial.steps.iter().all(|it| wide.contains(it));
                !part.stuck.is_empty() && part.trials.iter().all(known)
            };
            let mut parts: Vec<usize> = (0..troubles.len()).collect();
            parts.retain(|at| open(&troubles[*at]) && self.mends(troubles, &[*at], step));
            if parts.len() < 2 || !self.mends(troubles, &parts, step) {
                continue;
            }
            let mut one = Trouble {
                all: true,
                trials: wide.iter().map(|it| act(vec![it.clone()], DEED)).collect(),
                ..Trouble::default()
            };
            for at in parts.into_iter().rev() {
                let part = troubles.remove(at);
                one.stuck.extend(part.stuck);
                one.aside.extend(part.aside);
                one.all &= part.all;
            }
            troubles.push(one);
        }
    }

    /// How late a step stands among ways to mend: what is the least trouble comes first.
    fn rank(self, step: &Step) -> usize {
        let what = &step.change.what;
        self.style
            .rank(self.effort(what, step.change.more, step.amount))
    }

    /// The changes, on the ruler if they can be, if the album then fits.
    fn that_fits(self, steps: &[Step], (others, aside): &(Vec<Step>, Rules)) -> Option<Vec<Step>> {
        let mut ways = self.ways(steps).into_iter();
        ways.find(|steps| self.fits(&with(steps, others), aside) == Some(true))
    }

    /// The list of a part, and what its first fix does.
    fn list(self, trouble: &Trouble, context: &(Vec<Step>, Rules)) -> (FixList, Vec<Step>) {
        let mut all = trouble.all;
        let trials: Vec<&Trial> = trouble.trials.iter().chain(&trouble.cheapest).collect();
        let mut fixes: Vec<(&Trial, Option<Fix>)> = trials
            .into_par_iter()
            .map(|trial| (trial, self.fix(trial, context)))
            .collect();
        // The rows did not show all that hangs on its measures.
        all &= fixes
            .iter()
            .all(|(trial, fix)| fix.is_some() || is_deed(trial));
        let cheapest = trouble.cheapest.as_ref().and_then(|_| fixes.pop()?.1);
        let fixes = fixes.into_iter();
        let mut fixes: Vec<(&Trial, Fix)> =
            fixes.filter_map(|(at, fix)| Some((at, fix?))).collect();
        // What is as little trouble, and leaves more to be wished for, comes later.
        fixes.sort_by_key(|(_, fix)| (fix.effort, fix.unkept));
        let nothing = fixes.is_empty() && cheapest.is_none() && all;
        let stuck = trouble.stuck.iter().filter(|_| nothing);
        let named =
            stuck.filter_map(|id| Some((self.rule(*id)?.name.clone(), of(self.expanded, *id))));
        let nothing_mends = named.collect();
        // As it was put on the ruler.
        let same = |steps: &[Step]| {
            let first = trouble.first.as_deref().unwrap_or_default();
            let whats =
                |steps: &[Step]| steps.iter().map(|it| it.change.clone()).collect::<Vec<_>>();
            whats(steps) == whats(first)
        };
        let first = match fixes.first() {
            Some((trial, _)) if same(&trial.steps) => trouble.first.clone().unwrap_or_default(),
            Some((trial, _)) => trial.steps.clone(),
            None => trouble.first.clone().unwrap_or_default(),
        };
        let list = FixList {
            nothing_mends,
            clashes: Vec::new(),
            meanwhile: fixes.iter().position(|(trial, _)| same(&trial.steps)),
            fixes: fixes.into_iter().map(|(_, fix)| fix).collect(),
            cheapest,
            all,
        };
        (list, first)
    }

    /// A fix with the sizes that come out; `None` if the album does not fit with it.
    fn fix(self, trial: &Trial, (others, aside): &(Vec<Step>, Rules)) -> Option<Fix> {
        let mut ways = self.ways(&trial.steps).into_iter();
        ways.find_map(|steps| {
            let (sizes, unkept) = match self.solved_again(&with(&steps, others), aside) {
                Solved::Fits(sizes, unkept) => (Some(sizes), unkept),
                Solved::Unsettled => (None, usize::MAX),
                Solved::DoesNotFit => return None,
            };
            Some(Fix {
                changes: steps.iter().filter_map(|step| self.told(step)).collect(),
                effort: steps.iter().map(|it| self.rank(it)).max().unwrap_or(0),
                unkept,
                price: trial.price,
                proved: trial.proved,
                sizes,
            })
        })
    }
}
