//! In which order the fence is set for one sheet, so that it is set as seldom as the cuts allow.
//!
//! A setting cuts everything that is at hand and wants it. Which parts are at hand depends on what
//! was cut before. All states that a sheet can be in are gone through, so that it is known with which
//! setting an order can begin and end (`follow` asks for it). Where there are more than
//! [`MOST_STATES`], one order is searched for, fewest settings first, and where that takes as many
//! states, or nobody waits any longer, it is a greedy one.

use super::tree::{Group, Node};
use super::watch::Watch;
use std::collections::{HashMap, HashSet};

/// States of one sheet that are looked at.
const MOST_STATES: usize = 20_000;
/// States of all sheets together; one of very many sheets still has a few.
const ALL_STATES: usize = 400_000;
const LEAST_STATES: usize = 20;

/// What is cut and what is at hand.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub(super) struct State {
    /// For each group, for each of its items: it is cut.
    done: Vec<Vec<bool>>,
    at_hand: Vec<bool>,
}

/// What one setting does to one group: which items, and how many cuts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Batch {
    pub group: usize,
    /// Places in its items, and how many of each are cut off each part.
    pub off: Vec<(usize, u64)>,
    /// What then lies on the trimmer.
    pub left: Left,
}

/// What is left on the trimmer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Left {
    /// The same part, smaller, with more to be cut off it.
    More,
    /// One of its items, which needs no cut.
    Item(usize),
    /// What is left over.
    Rest,
    /// Nothing: the blade takes what is left.
    Nothing,
}

impl State {
    pub fn new(groups: &[Group]) -> State {
        State {
            done: groups.iter().map(|g| vec![false; g.items.len()]).collect(),
            at_hand: (0..groups.len()).map(|n| n == 0).collect(),
        }
    }

    fn finished(&self) -> bool {
        self.open() == 0
    }

    /// Parts of groups that are still to be cut off.
    fn open(&self) -> usize {
        self.done.iter().flatten().filter(|done| !**done).count()
    }

    /// Settings that something at hand wants, widest first.
    fn wanted(&self, groups: &[Group]) -> Vec<u64> {
        let mut all = Vec::new();
        for (n, group) in groups.iter().enumerate().filter(|(n, _)| self.at_hand[*n]) {
            let open = group.items.iter().zip(&self.done[n]);
            all.extend(open.filter(|(_, done)| !**done).map(|(item, _)| item.along));
        }
        all.sort_unstable_by(|a, b| b.cmp(a));
        all.dedup();
        all
    }

    /// No fewer settings than this are still needed.
    fn least(&self, groups: &[Group]) -> usize {
        let mut sure = HashSet::new();
        let mut open = false;
        for (group, done) in groups.iter().zip(&self.done) {
            let items = group.items.iter().zip(done).filter(|(_, done)| !**done);
            let free = group.exact && group.rest.is_none();
            for (item, _) in items {
                open = true;
                if !free || item.each > 1 {
                    sure.insert(item.along);
                }
            }
        }
        sure.len().max(usize::from(open))
    }

    /// Cuts everything at hand that wants this setting, and what comes to hand by it.
    pub fn cut(&mut self, groups: &[Group], setting: u64) -> Vec<Batch> {
        let mut batches = Vec::new();
        loop {
            let before = batches.len();
            for (n, group) in groups.iter().enumerate() {
                if self.at_hand[n] {
                    batches.extend(self.cut_group(n, group, setting));
                }
            }
            if batches.len() == before {
                return batches;
            }
        }
    }

    fn cut_group(&mut self, n: usize, group: &Group, setting: u64) -> Option<Batch> {
        let open = |done: &[bool]| -> Vec<usize> {
            let all = 0..group.items.len();
            all.filter(|i| !done[*i]).collect()
        };
        let mut now = open(&self.done[n]);
        now.retain(|i| group.items[*i].along == setting);
        let last = *now.last()?;
        let mut off: Vec<(usize, u64)> = now.iter().map(|i| (*i, group.items[*i].each)).collect();
        now.iter().for_each(|i| self.done[n][*i] = true);
        let rest = open(&self.done[n]);
        let left = match (group.rest, rest.as_slice()) {
            (Some(_), []) => Left::Rest,
            (None, []) if group.exact => {
                // The last one of these needs no cut.
                if let Some((_, count)) = off.last_mut() {
                    *count -= 1;
                }
                off.retain(|(_, count)| *count > 0);
                Left::Item(last)
            }
            (None, []) => Left::Nothing,
            (None, [one]) if group.exact && group.items[*one].each == 1 => {
                self.done[n][*one] = true;
                Left::Item(*one)
            }
            _ => Left::More,
        };
        for (item, done) in group.items.iter().zip(&self.done[n]) {
            if let (Node::Again(inner), true) = (item.node, *done) {
                self.at_hand[inner] = true;
            }
        }
        Some(Batch {
            group: n,
            off,
            left,
        })
    }
}

/// Orders of settings, the shortest first, then the widest. For each first and last setting that an
/// order can have it is the best such order; one that is longer by two than the shortest is left out,
/// since the fence can stay where it is before and after a sheet and save no more. A sheet that is not
/// cut has one empty order, and one of too many states has one order.
/// `sheets` says how many are asked for.
pub(super) fn orders(groups: &[Group], sheets: usize, watch: Watch<'_>) -> Vec<Vec<u64>> {
    let most = (ALL_STATES / sheets.max(1)).clamp(LEAST_STATES, MOST_STATES);
    let Some(states) = States::of(groups, most, watch) else {
        return vec![one(groups, most, watch)];
    };
    let mut all = states.orders();
    all.sort_by(|a, b| a.len().cmp(&b.len()).then_with(|| b.cmp(a)));
    let most = all.first().map_or(0, |best| best.len() + 1);
    all.retain(|order| order.len() <= most);
    if all.is_empty() {
        all.push(Vec::new());
    }
    all
}

/// All states that a sheet can be in; the first is the whole sheet.
struct States {
    /// Widest first.
    settings: Vec<u64>,
    /// For each state: places in `settings` that can be next, widest first, and the states after them.
    next: Vec<Vec<(usize, usize)>>,
    /// For each state, for each last setting: so many are needed until everything is cut.
    needed: Vec<Vec<usize>>,
}

/// No order ends so.
const NEVER: usize = usize::MAX;

impl States {
    /// `None` if there are too many, or nobody waits any longer.
    fn of(groups: &[Group], most: usize, watch: Watch<'_>) -> Option<States> {
        let items = groups.iter().flat_map(|group| &group.items);
        let mut settings: Vec<u64> = items.map(|item| item.along).collect();
        settings.sort_unstable_by(|a, b| b.cmp(a));
        settings.dedup();
        let mut known = HashMap::from([(State::new(groups), 0)]);
        let mut all = vec![State::new(groups)];
        let mut next = Vec::new();
        while let Some(state) = all.get(next.len()).cloned() {
            let mut steps = Vec::new();
            for setting in state.wanted(groups) {
                let Ok(n) = settings.binary_search_by(|s| setting.cmp(s)) else {
                    continue;
                };
                let mut after = state.clone();
                after.cut(groups, setting);
                let at = *known.entry(after).or_insert_with_key(|after| {
                    all.push(after.clone());
                    all.len() - 1
                });
                steps.push((n, at));
            }
            next.push(steps);
            if all.len() > most || watch.is_over() {
                return None;
            }
        }
        // A cut leaves less to be done, so that what comes after a state is known before it.
        let mut least_left_first: Vec<usize> = (0..all.len()).collect();
        least_left_first.sort_by_key(|at| all[*at].open());
        let mut needed: Vec<Vec<usize>> = vec![Vec::new(); all.len()];
        for at in least_left_first {
            if watch.is_over() {
                return None;
            }
            let mut own = vec![NEVER; settings.len()];
            for (setting, after) in &next[at] {
                if next[*after].is_empty() {
                    own[*setting] = 1;
                }
                for (own, then) in own.iter_mut().zip(&needed[*after]) {
                    *own = then.saturating_add(1).min(*own);
                }
            }
            needed[at] = own;
        }
        Some(States {
            settings,
            next,
            needed,
        })
    }

    /// The best order for each first and last setting.
    fn orders(&self) -> Vec<Vec<u64>> {
        let mut all = Vec::new();
        for first in &self.next[0] {
            for last in 0..self.settings.len() {
                all.extend(self.order(*first, last));
            }
        }
        all
    }

    /// The shortest order that begins and ends so, the widest settings first.
    fn order(&self, (first, mut at): (usize, usize), last: usize) -> Option<Vec<u64>> {
        let mut order = vec![self.settings[first]];
        if self.next[at].is_empty() {
            return (first == last).then_some(order);
        }
        let mut left = self.needed[at][last];
        while left > 0 {
            let good = |(setting, after): &&(usize, usize)| match self.next[*after].is_empty() {
                true => left == 1 && *setting == last,
                false => self.needed[*after][last] == left - 1,
            };
            let (setting, after) = self.next[at].iter().find(good)?;
            order.push(self.settings[*setting]);
            (at, left) = (*after, left - 1);
        }
        Some(order)
    }
}

/// One order, with as few settings as are found.
fn one(groups: &[Group], most: usize, watch: Watch<'_>) -> Vec<u64> {
    let start = State::new(groups);
    let greedy = greedy(groups, start.clone());
    let mut left = most;
    for depth in start.least(groups)..greedy.len() {
        let mut seen = HashSet::new();
        let mut path = Vec::new();
        let limits = (&mut left, watch);
        if search(groups, &start, depth, &mut path, &mut seen, limits) {
            return path;
        }
        if left == 0 {
            break;
        }
    }
    greedy
}

fn search(
    groups: &[Group],
    state: &State,
    depth: usize,
    path: &mut Vec<u64>,
    seen: &mut HashSet<(State, usize)>,
    (left, watch): (&mut usize, Watch<'_>),
) -> bool {
    if state.finished() {
        return true;
    }
    *left = match watch.is_over() {
        true => 0,
        false => left.saturating_sub(1),
    };
    if state.least(groups) > depth || *left == 0 {
        return false;
    }
    if !seen.insert((state.clone(), depth)) {
        return false;
    }
    for setting in state.wanted(groups) {
        let mut next = state.clone();
        next.cut(groups, setting);
        path.push(setting);
        if search(groups, &next, depth - 1, path, seen, (left, watch)) {
            return true;
        }
        path.pop();
    }
    false
}

/// First what no part that is not yet at hand will want, widest first.
fn greedy(groups: &[Group], mut state: State) -> Vec<u64> {
    let mut path = Vec::new();
    while !state.finished() {
        let wanted = state.wanted(groups);
        let later = |setting: &u64| {
            groups.iter().zip(&state.at_hand).any(|(group, at_hand)| {
                !at_hand && group.items.iter().any(|item| item.along == *setting)
            })
        };
        let first = wanted.iter().find(|s| !later(s)).or(wanted.first());
        let Some(&setting) = first else { break };
        state.cut(groups, setting);
        path.push(setting);
    }
    path
}

#[cfg(test)]
mod tests {
    use super::super::tree::groups;
    use super::super::watch::Watch;
    use super::{State, orders};
    use crate::nest::{Divides, Part, What};
    use std::sync::atomic::AtomicBool;
    use std::time::Instant;

    fn part(width: u64, height: u64, what: What) -> Part {
        Part {
            width,
            height,
            what,
        }
    }

    /// A sheet of strips, each cut into pieces as wide as the numbers say.
    fn sheet(strips: &[&[u64]]) -> Part {
        let (mut all, mut number) = (Vec::new(), 0);
        let width = strips.iter().map(|strip| strip.iter().sum()).max();
        let width: u64 = width.unwrap_or(0) + 1;
        for (n, strip) in strips.iter().enumerate() {
            let high = 10 + n as u64;
            let mut parts = Vec::new();
            for &wide in *strip {
                let piece = What::Piece {
                    piece: number,
                    turned: false,
                };
                parts.push(part(wide, high, piece));
                number += 1;
            }
            let left = width - strip.iter().sum::<u64>();
            parts.push(part(left, high, What::Offcut));
            let what = What::Split {
                divides: Divides::Width,
                parts,
            };
            all.push(part(width, high, what));
        }
        let high = all.iter().map(|p| p.height).sum::<u64>() + 1;
        all.push(part(width, 1, What::Offcut));
        let what = What::Split {
            divides: Divides::Height,
            parts: all,
        };
        part(width, high, what)
    }

    /// Without a moment there is still an order, and it cuts everything; with all the time there is, it
    /// is no longer than that one.
    #[test]
    fn an_order_is_there_even_if_nobody_waits() {
        let stop = AtomicBool::new(true);
        let over = [(None, Some(&stop)), (Some(Instant::now()), None)];
        for strips in [
            &[&[3, 5, 7][..], &[5, 3], &[10, 7]][..],
            // Too many states to go through all of them.
            &[
                &[2, 3, 5, 7, 11, 13, 17, 19][..],
                &[4, 6, 8, 9, 12, 14],
                &[2, 4, 10, 15, 16],
            ],
        ] {
            let groups = groups(&sheet(strips), 0);
            let free = Watch {
                until: None,
                cancel: None,
            };
            let best = orders(&groups, 1, free);
            for (until, cancel) in over {
                let quick = orders(&groups, 1, Watch { until, cancel });
                assert_eq!(quick.len(), 1);
                let mut state = State::new(&groups);
                for setting in &quick[0] {
                    assert!(!state.cut(&groups, *setting).is_empty());
                }
                assert!(state.finished());
                assert!(best[0].len() <= quick[0].len());
            }
        }
    }
}
