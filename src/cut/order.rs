//! In which order the fence is set, so that it is set as seldom as the cuts allow.
//!
//! A setting cuts everything that is at hand and wants it. Which parts are at hand depends on what
//! was cut before; so the order is searched for, fewest settings first, and greedily where a sheet
//! has so many parts that this would take long.

use super::tree::{Group, Node};
use std::collections::HashSet;

/// States that are looked at before the greedy order is taken.
const MOST_STATES: usize = 20_000;

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
        self.done.iter().flatten().all(|done| *done)
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
        let open = |done: &[bool]| {
            let all = group.items.iter().enumerate();
            let open: Vec<usize> = all.filter(|(i, _)| !done[*i]).map(|(i, _)| i).collect();
            open
        };
        let now: Vec<usize> = open(&self.done[n])
            .into_iter()
            .filter(|i| group.items[*i].along == setting)
            .collect();
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

/// The settings, in order.
pub(super) fn settings(groups: &[Group]) -> Vec<u64> {
    let start = State::new(groups);
    let greedy = greedy(groups, start.clone());
    let mut looked = 0;
    for depth in start.least(groups)..greedy.len() {
        let mut seen = HashSet::new();
        let mut path = Vec::new();
        if search(groups, &start, depth, &mut path, &mut seen, &mut looked) {
            return path;
        }
        if looked >= MOST_STATES {
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
    looked: &mut usize,
) -> bool {
    if state.finished() {
        return true;
    }
    *looked += 1;
    if state.least(groups) > depth || *looked >= MOST_STATES {
        return false;
    }
    if !seen.insert((state.clone(), depth)) {
        return false;
    }
    for setting in state.wanted(groups) {
        let mut next = state.clone();
        next.cut(groups, setting);
        path.push(setting);
        if search(groups, &next, depth - 1, path, seen, looked) {
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
        let Some(setting) = wanted
            .iter()
            .find(|s| !later(s))
            .or(wanted.first())
            .copied()
        else {
            break;
        };
        state.cut(groups, setting);
        path.push(setting);
    }
    path
}
