//! A program of known structure, solved again and again with other right sides.
//!
//! The first stages tie a whole album together and are settled on the whole program. What they
//! settled is a number in the rows of the rest, which then falls into parts that no row ties
//! together: each is a small program, and equal ones are solved once. A part's answer is a function
//! of the part alone, so what is remembered, and by whom, never shows. Every answer was proved and
//! replayed when it was found; the whole is tested row by row once more.

use super::extent::Extent;
use super::limits::Limits;
use super::solution::{Certificate, Held, Solution, StageOutcome, Verdict};
use super::stages::Run;
use super::{open, solve_as_far};
use crate::program::{
    Force, Group, GroupId, Guard, Instance, InstanceId, Program, Row, Stage, Unknown, UnknownId,
};
use std::collections::HashMap;
use std::hash::{BuildHasher, RandomState};
use std::sync::atomic::{AtomicI64, AtomicU64, Ordering};
use std::sync::{Arc, Mutex, PoisonError};

/// A program taken apart; it serves every program that differs in right sides alone.
#[derive(Clone, Debug)]
pub struct Apart {
    parts: Vec<Part>,
    /// Stages of the whole.
    stages: usize,
    /// Wishes without an unknown or a choice of their own, by stage.
    plain: Vec<(usize, InstanceId)>,
}

/// Some of a program, numbered anew.
#[derive(Clone, Debug)]
struct Part {
    unknowns: Vec<UnknownId>,
    groups: Vec<GroupId>,
    /// Rows of the whole.
    rows: Vec<usize>,
    /// Stages of the whole.
    stages: Vec<usize>,
    program: Program,
}

/// What became of a program.
#[derive(Clone, Debug)]
pub enum Answered {
    /// It fits and is proved best.
    Best(Settled),
    /// It was solved as a whole: it does not fit, or a limit was met.
    Whole(Box<Solution>),
}

/// A plan, proved best.
#[derive(Clone, Debug)]
pub struct Settled {
    /// One for each unknown (ticks).
    pub values: Vec<i64>,
    /// The alternative of each group; `None` where the group belongs to a wish that is not kept.
    pub taken: Vec<Option<u32>>,
    /// Of each instance, whether it holds; every must does.
    pub kept: Vec<bool>,
    /// Of the stages that were settled beside what is told; [`StageOutcome::Absent`] for all others.
    pub stages: Vec<StageOutcome>,
    /// Of each size that is to be told, why it stops where it does.
    pub held: Vec<(UnknownId, Held)>,
    /// What [`Held::certificate`] and the stages count in.
    pub certificates: Vec<Certificate>,
}

/// A part's answer.
#[derive(Debug)]
struct Small {
    values: Vec<i64>,
    taken: Vec<Option<u32>>,
    /// By stage of the part: its wish is kept.
    kept: Vec<bool>,
}

/// Answers of parts, shared by all threads. It forgets when it is full.
#[derive(Debug)]
pub struct Memory {
    shards: Vec<Mutex<HashMap<Box<[i64]>, Arc<Small>>>>,
    hasher: RandomState,
    most: usize,
    structures: AtomicI64,
    counts: [AtomicU64; 4],
}

/// How much was remembered. Threads that work at the same time may solve one part twice.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Counts {
    pub programs: u64,
    /// Of these, solved as a whole though the musts can hold.
    pub whole: u64,
    /// Small programs that were asked for.
    pub parts: u64,
    /// Of these, solved and not remembered.
    pub anew: u64,
}

/// Locks that are rarely waited for.
const SHARDS: usize = 32;

impl Memory {
    /// A memory of about so many parts; one is some hundreds of bytes.
    #[must_use]
    pub fn new(most: usize) -> Self {
        Self {
            shards: (0..SHARDS).map(|_| Mutex::default()).collect(),
            hasher: RandomState::new(),
            most: most / SHARDS,
            structures: AtomicI64::new(0),
            counts: Default::default(),
        }
    }

    /// A number for one more program, taken apart: its parts are remembered under it.
    #[must_use]
    pub fn number(&self) -> i64 {
        self.structures.fetch_add(1, Ordering::Relaxed)
    }

    /// What was counted so far.
    #[must_use]
    pub fn counts(&self) -> Counts {
        let [programs, whole, parts, anew] =
            [0, 1, 2, 3].map(|at: usize| self.counts[at].load(Ordering::Relaxed));
        Counts {
            programs,
            whole,
            parts,
            anew,
        }
    }

    fn count(&self, [programs, whole, parts, anew]: [u64; 4]) {
        for (sum, more) in self.counts.iter().zip([programs, whole, parts, anew]) {
            sum.fetch_add(more, Ordering::Relaxed);
        }
    }

    fn shard(&self, key: &[i64]) -> &Mutex<HashMap<Box<[i64]>, Arc<Small>>> {
        &self.shards[self.hasher.hash_one(key) as usize % SHARDS]
    }

    fn recall(&self, key: &[i64]) -> Option<Arc<Small>> {
        // What is in it is whole, whatever became of a thread that held the lock.
        let shard = self.shard(key).lock();
        let shard = shard.unwrap_or_else(PoisonError::into_inner);
        shard.get(key).cloned()
    }

    fn keep(&self, key: &[i64], small: Small) -> Arc<Small> {
        let small = Arc::new(small);
        let shard = self.shard(key).lock();
        let mut shard = shard.unwrap_or_else(PoisonError::into_inner);
        if shard.len() >= self.most {
            shard.clear();
        }
        shard.insert(key.into(), Arc::clone(&small));
        small
    }
}

/// Solves a program that was taken apart, its right sides aside; `told` are the sizes whose reasons
/// are told, ascending. `known` distinguishes programs of other structure in one memory.
///
/// It gives what [`solve`](super::solve) gives.
#[must_use]
pub fn solve_apart(
    program: &Program,
    apart: &Apart,
    told: &[UnknownId],
    (memory, known): (&Memory, i64),
    limits: &Limits,
) -> Answered {
    let extent = Extent::Of(told.to_vec());
    let whole = || {
        memory.count([1, 1, 0, 0]);
        Answered::Whole(Box::new(solve_as_far(program, limits, &extent)))
    };
    let mut run = match open(program, limits, &extent) {
        Ok(run) => run,
        Err(solution) => {
            memory.count([1, 0, 0, 0]);
            return Answered::Whole(solution);
        }
    };
    if !told.is_empty() {
        // As it stands, it holds the musts alone.
        run.grounds.lay(run.book.clone());
    }
    let first = (0..program.first_stages).map(|at| run.stage(at));
    let first: Vec<StageOutcome> = first.collect();
    let unsettled = |it: &StageOutcome| matches!(it, StageOutcome::Unsettled { .. });
    if first.iter().any(unsettled) || !run.met.is_empty() || !run.first_is_settled() {
        return whole();
    }
    let mut kept: Vec<Option<InstanceId>> = vec![None; program.stages.len()];
    for (at, instance) in &apart.plain {
        if holds(program, *instance, &run.witness.values, &run.witness.taken) == Some(true) {
            kept[*at] = Some(*instance);
        }
    }
    let mut key = Vec::new();
    let (mut asked, mut anew) = (0, 0);
    let here = apart.stages_with(told);
    for (at, part) in apart.parts.iter().enumerate() {
        if part.stages.iter().any(|at| here[*at]) {
            continue;
        }
        key.clear();
        key.extend([known, at as i64]);
        let Some(()) = part.right_sides(program, &run, &mut key) else {
            return whole();
        };
        asked += 1;
        let small = match memory.recall(&key) {
            Some(small) => small,
            None => {
                anew += 1;
                match part.solve(&key[2..], limits) {
                    Some(small) => memory.keep(&key, small),
                    None => return whole(),
                }
            }
        };
        part.adopt(&small, &mut run, &mut kept);
    }
    // What is told of is settled in its place, as in the whole program: a reason may lie in an
    // earlier preference, or in a wish of another part.
    let mut stages = first;
    for (at, kept) in kept.into_iter().enumerate().skip(program.first_stages) {
        let mut outcome = StageOutcome::Absent;
        if here[at] {
            outcome = run.stage(at);
        } else if let Some(instance) = kept {
            run.kept[instance.0 as usize] = true;
            run.grounds.kept.push(instance);
        }
        stages.push(outcome);
    }
    match settled(run, stages, told) {
        Some(settled) => {
            memory.count([1, 0, asked, anew]);
            Answered::Best(settled)
        }
        None => whole(),
    }
}

/// Tests the whole and reads it off; nothing where a limit was met.
fn settled(run: Run<'_>, stages: Vec<StageOutcome>, told: &[UnknownId]) -> Option<Settled> {
    let program = run.program;
    let witness = &run.witness;
    let within =
        |(unknown, value): (&Unknown, &i64)| (unknown.least..=unknown.most).contains(value);
    let bounded = program.unknowns.iter().zip(&witness.values).all(within);
    let kept = run.kept.iter().enumerate().filter(|(_, kept)| **kept);
    let mut kept = kept.map(|(at, _)| InstanceId(at as u32));
    let all_hold = kept.all(|id| holds(program, id, &witness.values, &witness.taken) == Some(true));
    if !bounded || !all_hold || !run.met.is_empty() {
        return None;
    }
    let held = told
        .iter()
        .map(|id| Some((*id, run.held_by[id.0 as usize].clone()?)));
    let held = held.collect::<Option<_>>()?;
    let taken = run.witness.taken.iter().enumerate().map(|(at, taken)| {
        let owner = run.owners.wish_of_group(GroupId(at as u32));
        owner.is_none_or(|wish| run.kept[wish]).then_some(*taken)
    });
    Some(Settled {
        taken: taken.collect(),
        values: run.witness.values,
        kept: run.kept,
        stages,
        held,
        certificates: run.certificates,
    })
}

/// Whether every row of an instance holds; nothing where numbers grow too large.
fn holds(program: &Program, id: InstanceId, values: &[i64], taken: &[u32]) -> Option<bool> {
    let instance = program.instances.get(id.0 as usize)?;
    for row in program.rows.get(instance.rows.clone())? {
        let in_force = |it: &Guard| taken.get(it.group.0 as usize) == Some(&it.alternative);
        if row.guards.iter().all(in_force) && value(row, values)? > i128::from(row.most) {
            return Some(false);
        }
    }
    Some(true)
}

fn value(row: &Row, values: &[i64]) -> Option<i128> {
    row.terms.iter().try_fold(0i128, |sum, (id, times)| {
        let value = i128::from(*values.get(id.0 as usize)?);
        sum.checked_add(i128::from(*times).checked_mul(value)?)
    })
}

impl Part {
    /// The right side of each row, once what the first stages settled is a number. A row under an
    /// alternative that was not taken asks nothing.
    fn right_sides(&self, program: &Program, run: &Run<'_>, sides: &mut Vec<i64>) -> Option<()> {
        for (&row, here) in self.rows.iter().zip(&self.program.rows) {
            let row = &program.rows[row];
            let left_out = row.guards.iter().any(|it| {
                !self.groups.contains(&it.group)
                    && run.witness.taken[it.group.0 as usize] != it.alternative
            });
            if left_out {
                sides.push(i64::MAX);
                continue;
            }
            let mut most = row.most;
            if here.terms.len() < row.terms.len() {
                for (id, times) in &row.terms {
                    if self.unknowns.binary_search(id).is_err() {
                        let settled = run.witness.values[id.0 as usize];
                        most = most.checked_sub(times.checked_mul(settled)?)?;
                    }
                }
            }
            // Without unknowns it holds or it does not.
            sides.push(if here.terms.is_empty() {
                most.clamp(-1, 0)
            } else {
                most
            });
        }
        Some(())
    }

    /// The answer with these right sides; nothing where it is not proved best.
    fn solve(&self, sides: &[i64], limits: &Limits) -> Option<Small> {
        let mut program = self.program.clone();
        for (row, most) in program.rows.iter_mut().zip(sides) {
            row.most = *most;
        }
        let solution = solve_as_far(&program, limits, &Extent::Of(Vec::new()));
        if solution.verdict != Verdict::FitsBest {
            return None;
        }
        let kept = solution.stages.iter();
        Some(Small {
            kept: kept.map(|it| *it == StageOutcome::Kept).collect(),
            values: solution.values,
            taken: solution.taken,
        })
    }

    fn adopt(&self, small: &Small, run: &mut Run<'_>, kept: &mut [Option<InstanceId>]) {
        for (id, value) in self.unknowns.iter().zip(&small.values) {
            run.witness.values[id.0 as usize] = *value;
        }
        for (id, taken) in self.groups.iter().zip(&small.taken) {
            if let Some(taken) = taken {
                run.witness.taken[id.0 as usize] = *taken;
            }
        }
        for (&stage, is_kept) in self.stages.iter().zip(&small.kept) {
            if let (Stage::Keep(id), true) = (&run.program.stages[stage], is_kept) {
                kept[stage] = Some(*id);
            }
        }
    }
}

/// What belongs together: unknowns and, behind them, groups, as a forest; nothing for what the
/// first stages settle.
struct Ties {
    up: Vec<Option<usize>>,
    unknowns: usize,
}

impl Ties {
    fn new(program: &Program) -> Self {
        let unknowns = program.unknowns.len();
        let mut ties = Self {
            up: (0..unknowns + program.groups.len()).map(Some).collect(),
            unknowns,
        };
        for stage in program.stages.iter().take(program.first_stages) {
            match stage {
                Stage::Keep(_) => {}
                Stage::Best { objective, .. } => {
                    for (id, _) in objective {
                        ties.up[id.0 as usize] = None;
                    }
                }
                Stage::Choose(group) => ties.up[unknowns + group.0 as usize] = None,
            }
        }
        for instance in &program.instances {
            // A wish is kept as a whole.
            let rows = &program.rows[instance.rows.clone()];
            match instance.force {
                Force::Must => rows
                    .iter()
                    .for_each(|row| ties.tie(std::slice::from_ref(row))),
                Force::Wish => ties.tie(rows),
            }
        }
        ties
    }

    fn members<'a>(&'a self, rows: &'a [Row]) -> impl Iterator<Item = usize> + 'a {
        let of_row = |row: &'a Row| {
            let terms = row.terms.iter().map(|(id, _)| id.0 as usize);
            terms.chain(
                row.guards
                    .iter()
                    .map(|it| self.unknowns + it.group.0 as usize),
            )
        };
        let all = rows.iter().flat_map(of_row);
        all.filter_map(|at| self.root(at))
    }

    fn root(&self, mut at: usize) -> Option<usize> {
        loop {
            let up = self.up[at]?;
            if up == at {
                return Some(at);
            }
            at = up;
        }
    }

    fn tie(&mut self, rows: &[Row]) {
        let members: Vec<usize> = self.members(rows).collect();
        if let Some(least) = members.iter().copied().min() {
            for member in members {
                self.up[member] = Some(least);
            }
        }
    }

    fn part_of(&self, rows: &[Row]) -> Option<usize> {
        self.members(rows).next()
    }
}

impl Apart {
    /// Takes a program apart. Nothing where it names what does not exist, or a row belongs to no
    /// instance.
    #[must_use]
    pub fn new(program: &Program) -> Option<Self> {
        if !is_whole(program) {
            return None;
        }
        let ties = Ties::new(program);
        let all = ties.up.len();
        let mut roots: Vec<usize> = (0..all).filter_map(|at| ties.root(at)).collect();
        roots.sort_unstable();
        roots.dedup();
        let parts = roots.iter().map(|root| part(program, &ties, *root));
        let wishes = program.stages.iter().enumerate().skip(program.first_stages);
        let plain = wishes.filter_map(|(at, stage)| match stage {
            Stage::Keep(id) => {
                let rows = &program.rows[program.instances[id.0 as usize].rows.clone()];
                ties.part_of(rows).is_none().then_some((at, *id))
            }
            _ => None,
        });
        Some(Self {
            plain: plain.collect(),
            parts: parts.collect(),
            stages: program.stages.len(),
        })
    }

    /// The stages of the parts in which these sizes are, and of those that share a preference with
    /// them.
    fn stages_with(&self, told: &[UnknownId]) -> Vec<bool> {
        let mut with = vec![false; self.stages];
        let mut more: Vec<&Part> = (self.parts.iter())
            .filter(|part| {
                told.iter()
                    .any(|id| part.unknowns.binary_search(id).is_ok())
            })
            .collect();
        while let Some(part) = more.pop() {
            if part.stages.iter().all(|at| with[*at]) {
                continue;
            }
            part.stages.iter().for_each(|at| with[*at] = true);
            let shares = |other: &&Part| other.stages.iter().any(|at| part.stages.contains(at));
            more.extend(self.parts.iter().filter(shares));
        }
        with
    }
}

/// Whether everything that is named exists, and every row belongs to one instance.
fn is_whole(program: &Program) -> bool {
    let mut rows = 0;
    let follow = program.instances.iter().all(|it| {
        let next = it.rows.start == rows && it.rows.end >= rows;
        rows = it.rows.end;
        next
    });
    let unknown = |id: UnknownId| (id.0 as usize) < program.unknowns.len();
    let group = |id: GroupId| (id.0 as usize) < program.groups.len();
    follow
        && rows == program.rows.len()
        && program.first_stages <= program.stages.len()
        && program.rows.iter().all(|row| {
            row.terms.iter().all(|(id, _)| unknown(*id))
                && row.guards.iter().all(|it| group(it.group))
        })
        && program.stages.iter().all(|stage| match stage {
            Stage::Keep(id) => (id.0 as usize) < program.instances.len(),
            Stage::Best { objective, .. } => objective.iter().all(|(id, _)| unknown(*id)),
            Stage::Choose(id) => group(*id),
        })
}

fn part(program: &Program, ties: &Ties, root: usize) -> Part {
    let here = |at: &usize| ties.root(*at) == Some(root);
    let unknowns = (0..ties.unknowns).filter(here);
    let unknowns: Vec<UnknownId> = unknowns.map(|at| UnknownId(at as u32)).collect();
    let groups = (0..program.groups.len()).filter(|at| here(&(ties.unknowns + at)));
    let groups: Vec<GroupId> = groups.map(|at| GroupId(at as u32)).collect();
    let new_unknown = |id: &UnknownId| {
        let at = unknowns.binary_search(id).ok()?;
        Some(UnknownId(at as u32))
    };
    let new_group = |id: &GroupId| {
        let at = groups.binary_search(id).ok()?;
        Some(GroupId(at as u32))
    };
    let mut small = Program {
        unknowns: unknowns
            .iter()
            .map(|id| program.unknowns[id.0 as usize].clone())
            .collect(),
        groups: groups
            .iter()
            .map(|id| -> Group { program.groups[id.0 as usize].clone() })
            .collect(),
        ..Program::default()
    };
    let mut rows = Vec::new();
    let mut instances: Vec<Option<InstanceId>> = vec![None; program.instances.len()];
    for (at, instance) in program.instances.iter().enumerate() {
        let start = rows.len();
        let all = &program.rows[instance.rows.clone()];
        for row in instance.rows.clone() {
            let of_it = match instance.force {
                Force::Must => std::slice::from_ref(&program.rows[row]),
                Force::Wish => all,
            };
            if ties.part_of(of_it) != Some(root) {
                continue;
            }
            let it = &program.rows[row];
            let terms = it
                .terms
                .iter()
                .filter_map(|(id, n)| Some((new_unknown(id)?, *n)));
            let guards = it.guards.iter().filter_map(|it| {
                let group = new_group(&it.group)?;
                Some(Guard { group, ..*it })
            });
            small.rows.push(Row {
                terms: terms.collect(),
                most: it.most,
                guards: guards.collect(),
            });
            rows.push(row);
        }
        if rows.len() > start {
            instances[at] = Some(InstanceId(small.instances.len() as u32));
            small.instances.push(Instance {
                rows: start..rows.len(),
                group: instance.group.and_then(|id| new_group(&id)),
                ..instance.clone()
            });
        }
    }
    let mut stages = Vec::new();
    for (at, stage) in program.stages.iter().enumerate().skip(program.first_stages) {
        let of_part = match stage {
            Stage::Keep(id) => instances[id.0 as usize].map(Stage::Keep),
            Stage::Choose(id) => new_group(id).map(Stage::Choose),
            Stage::Best { objective, name } => {
                let terms = objective
                    .iter()
                    .filter_map(|(id, n)| Some((new_unknown(id)?, *n)));
                let objective: Vec<_> = terms.collect();
                (!objective.is_empty()).then(|| Stage::Best {
                    name: name.clone(),
                    objective,
                })
            }
        };
        if let Some(stage) = of_part {
            small.stages.push(stage);
            stages.push(at);
        }
    }
    Part {
        unknowns,
        groups,
        rows,
        stages,
        program: small,
    }
}
