//! Independent parts: what shares a live row belongs together, and nothing else does.

use super::engine::{Engine, Standing};

/// Some unknowns, groups and rows of a problem.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Scope {
    pub unknowns: Vec<u32>,
    pub groups: Vec<u32>,
    pub rows: Vec<u32>,
}

impl Scope {
    pub fn whole(engine: &Engine) -> Self {
        let problem = engine.problem();
        Self {
            unknowns: (0..problem.unknowns().len() as u32).collect(),
            groups: (0..problem.groups().len() as u32).collect(),
            rows: (0..problem.rows().len() as u32)
                .filter(|&row| engine.is_enabled(row))
                .collect(),
        }
    }
}

/// A scope taken apart.
#[derive(Clone, Debug, Default)]
pub(super) struct Parts {
    /// The parts, those with the fewest rows first.
    pub parts: Vec<Scope>,
    /// Live rows that belong to no part: every unknown in them was left out.
    pub between: Vec<u32>,
}

/// Working memory of [`split`] and [`reach`], kept between calls.
#[derive(Clone, Debug, Default)]
pub(super) struct Places {
    unknown: Vec<u32>,
    group: Vec<u32>,
    stamp: u32,
    seen_unknown: Vec<u32>,
    seen_group: Vec<u32>,
    seen_row: Vec<u32>,
}

fn root(parents: &mut [u32], mut at: u32) -> u32 {
    while parents[at as usize] != at {
        let up = parents[parents[at as usize] as usize];
        parents[at as usize] = up;
        at = up;
    }
    at
}

/// Takes a scope apart: unknowns not fixed and groups not decided, tied by live rows. `left_out`
/// unknowns tie nothing together and are in no part.
pub(super) fn split(
    engine: &Engine,
    scope: &Scope,
    left_out: impl Fn(u32) -> bool,
    places: &mut Places,
) -> Parts {
    places.unknown.resize(engine.problem().unknowns().len(), 0);
    places.group.resize(engine.problem().groups().len(), 0);
    let tied = |unknown: u32| !engine.is_fixed(unknown) && !left_out(unknown);
    let mut parents: Vec<u32> = Vec::new();
    for &unknown in scope.unknowns.iter().filter(|&&unknown| tied(unknown)) {
        places.unknown[unknown as usize] = parents.len() as u32;
        parents.push(parents.len() as u32);
    }
    let group_from = parents.len();
    for &group in scope.groups.iter().filter(|&&at| !engine.is_decided(at)) {
        places.group[group as usize] = parents.len() as u32;
        parents.push(parents.len() as u32);
    }
    // Each live row with one of its members.
    let mut live: Vec<(u32, u32)> = Vec::new();
    let mut between = Vec::new();
    for &id in &scope.rows {
        if engine.standing(id) == Standing::Settled {
            continue;
        }
        let row = &engine.problem().rows()[id as usize];
        let unknowns = row.terms.iter().map(|term| term.0);
        let groups = row.guards.iter().map(|guard| guard.0);
        let members = unknowns
            .filter(|&unknown| tied(unknown))
            .map(|unknown| places.unknown[unknown as usize])
            .chain(
                groups
                    .filter(|&group| !engine.is_decided(group))
                    .map(|group| places.group[group as usize]),
            );
        let mut first = None;
        for member in members {
            match first {
                None => first = Some(member),
                Some(first) => {
                    let (one, other) = (root(&mut parents, first), root(&mut parents, member));
                    // The smaller number stays the root, so that parts keep the scope's order.
                    parents[one.max(other) as usize] = one.min(other);
                }
            }
        }
        match first {
            Some(first) => live.push((id, first)),
            None => between.push(id),
        }
    }
    let mut part_of = vec![u32::MAX; parents.len()];
    let mut parts: Vec<Scope> = Vec::new();
    for (row, member) in live {
        let top = root(&mut parents, member) as usize;
        if part_of[top] == u32::MAX {
            part_of[top] = parts.len() as u32;
            parts.push(Scope::default());
        }
        parts[part_of[top] as usize].rows.push(row);
    }
    let mut place = 0;
    for &unknown in scope.unknowns.iter().filter(|&&unknown| tied(unknown)) {
        let part = part_of[root(&mut parents, place) as usize];
        if part != u32::MAX {
            parts[part as usize].unknowns.push(unknown);
        }
        place += 1;
    }
    debug_assert_eq!(place as usize, group_from);
    for &group in scope.groups.iter().filter(|&&at| !engine.is_decided(at)) {
        let part = part_of[root(&mut parents, place) as usize];
        if part != u32::MAX {
            parts[part as usize].groups.push(group);
        }
        place += 1;
    }
    parts.sort_by_key(|part| part.rows.len());
    Parts { parts, between }
}

/// What a question starts from.
#[derive(Clone, Copy, Debug)]
pub(super) enum Seed {
    Unknown(u32),
    Group(u32),
}

/// The parts in which the seeds lie, each once, in the order of the seeds. A seed that is fixed or
/// decided lies in none. The work is in proportion to the parts found.
pub(super) fn reach(engine: &Engine, seeds: &[Seed], places: &mut Places) -> Vec<Scope> {
    places
        .seen_unknown
        .resize(engine.problem().unknowns().len(), 0);
    places.seen_group.resize(engine.problem().groups().len(), 0);
    places.seen_row.resize(engine.problem().rows().len(), 0);
    places.stamp += 1;
    let stamp = places.stamp;
    let mut parts = Vec::new();
    let mut work: Vec<Seed> = Vec::new();
    for &seed in seeds {
        let mut part = Scope::default();
        work.push(seed);
        while let Some(next) = work.pop() {
            let mut enter = |row: u32, part: &mut Scope, work: &mut Vec<Seed>| {
                let seen = &mut places.seen_row[row as usize];
                if std::mem::replace(seen, stamp) == stamp
                    || engine.standing(row) == Standing::Settled
                {
                    return;
                }
                part.rows.push(row);
                let row = &engine.problem().rows()[row as usize];
                work.extend(row.terms.iter().map(|term| Seed::Unknown(term.0)));
                work.extend(row.guards.iter().map(|guard| Seed::Group(guard.0)));
            };
            match next {
                Seed::Unknown(unknown) => {
                    let seen = &mut places.seen_unknown[unknown as usize];
                    if engine.is_fixed(unknown) || std::mem::replace(seen, stamp) == stamp {
                        continue;
                    }
                    part.unknowns.push(unknown);
                    for row in engine.rows_of_unknown(unknown) {
                        enter(row, &mut part, &mut work);
                    }
                }
                Seed::Group(group) => {
                    let seen = &mut places.seen_group[group as usize];
                    if engine.is_decided(group) || std::mem::replace(seen, stamp) == stamp {
                        continue;
                    }
                    part.groups.push(group);
                    for row in engine.rows_of_group(group) {
                        enter(row, &mut part, &mut work);
                    }
                }
            }
        }
        if !part.unknowns.is_empty() || !part.groups.is_empty() {
            // The order in which they were met depends on the rows' order; this one does not.
            part.unknowns.sort_unstable();
            part.groups.sort_unstable();
            part.rows.sort_unstable();
            parts.push(part);
        }
    }
    parts
}
