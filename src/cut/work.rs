//! Asks for every paper, with all kinds of stages side by side, and tells what is proved.
//!
//! Papers that share pieces are asked together, see `desk`. What was asked for comes first, for all
//! papers; the other kinds of stages and the largest offcut come after it, for a short time.

use super::desk::Desk;
use super::job::Counted;
use super::{CutError, MOST_PIECES, Order};
use crate::length::Ruler;
use crate::nest::{Cutting, Stages, Stop};
use std::sync::atomic::AtomicBool;
use std::time::{Duration, Instant};

/// All kinds of stages, from the easiest for the maker to the freest.
pub const STAGES: [Stages; 3] = [Stages::Two, Stages::Three, Stages::Free];

/// How long it may take, and who is told on the way.
#[derive(Clone, Copy)]
pub struct Patience<'a> {
    pub time: Duration,
    /// Seconds that the maker typed. If none, what nobody asked for ends soon after the plan is known:
    /// the other kinds of stages, and the largest offcut.
    pub typed: Option<u64>,
    /// Set from outside to stop soon, with the best plan so far.
    pub cancel: Option<&'a AtomicBool>,
    pub told: Option<&'a (dyn Fn(Told<'_>) + Sync)>,
}

/// How far it is.
#[derive(Clone, Copy, Debug)]
pub struct Told<'a> {
    /// Empty for sheets of any paper.
    pub paper: &'a str,
    pub stages: Stages,
    /// Sheets of the best plan so far.
    pub sheets: Option<u64>,
    /// No plan needs fewer.
    pub least: u64,
    /// The sheets are settled: it is about the largest offcut.
    pub keeps: bool,
}

/// What one paper gives.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PaperPlan {
    /// Place in [`Order::papers`].
    pub paper: usize,
    pub counted: Counted,
    pub cuttings: Vec<Cutting>,
    /// Whole sheets.
    pub sheets: u64,
    /// Offcuts at hand that are cut up.
    pub offcuts: u64,
    /// No plan from these sheets keeps a larger single offcut.
    pub kept_proved: bool,
}

/// One kind of stages for papers that share pieces; mostly for one paper.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Way {
    pub stages: Stages,
    /// One for each paper from which something is cut; empty where no plan was found.
    pub papers: Vec<PaperPlan>,
    /// Whole sheets of all its papers; nothing where no plan was found.
    pub sheets: Option<u64>,
    pub offcuts: u64,
    /// Fewer whole sheets cannot do.
    pub least: u64,
    /// No plan needs fewer sheets, or as few sheets and fewer offcuts.
    pub proved: bool,
    /// The sheets at hand do not suffice, and that is proved.
    pub not_enough: bool,
    /// Which limit was met.
    pub stopped: Option<Stop>,
    pub(super) cost: Option<u64>,
    pub(super) bound: u64,
}

/// Papers that share pieces, all kinds of stages side by side.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Batch {
    /// Places in [`Order::papers`].
    pub papers: Vec<usize>,
    /// In the order of [`STAGES`].
    pub ways: [Way; 3],
    /// Which of them is the plan.
    pub chosen: usize,
    /// Where the sheets at hand do not suffice, or were not shown to: what it takes with as many
    /// whole sheets as are wanted.
    pub with_more: Option<Box<Way>>,
}

impl Batch {
    /// The plan: with the sheets at hand, or else with as many as it takes.
    pub fn plan(&self) -> &Way {
        match &self.with_more {
            Some(way) => way,
            None => &self.ways[self.chosen],
        }
    }
}

/// Why there is no answer.
#[derive(Clone, Debug)]
pub enum WorkError {
    /// What cannot be cut.
    Faults(Vec<CutError>),
    /// The program refused its own answer.
    Defect(String),
}

/// Everything that is cut, from which sheets and how. Nothing asked for stages means: three, where
/// that takes no sheet more than free cuts.
///
/// # Errors
/// Everything that cannot be cut, or a defect of this program.
pub fn work(
    order: &Order,
    stages: Option<Stages>,
    ruler: Ruler,
    patience: &Patience<'_>,
) -> Result<Vec<Batch>, WorkError> {
    let pieces: u64 = order
        .wants
        .iter()
        .map(|w| w.count)
        .fold(0, u64::saturating_add);
    if let Some(want) = order.wants.iter().find(|_| pieces > MOST_PIECES) {
        let place = want.place;
        let pieces = pieces.to_string();
        return Err(WorkError::Faults(vec![CutError::TooMany { place, pieces }]));
    }
    let batches = tied(order);
    let start = Instant::now();
    let until = start.checked_add(patience.time);
    let mut desks = Vec::new();
    let mut wrong = Vec::new();
    for (n, papers) in batches.iter().enumerate() {
        let now = Instant::now();
        let left = until.map_or(patience.time, |until| until.saturating_duration_since(now));
        let each = left / u32::try_from(batches.len() - n).unwrap_or(u32::MAX);
        let mut desk = Desk::new(order, papers, ruler, patience);
        match desk.plan(stages, each, start) {
            Ok(()) => desks.push(desk),
            Err(WorkError::Faults(faults)) => wrong.extend(faults),
            Err(defect) => return Err(defect),
        }
    }
    if !wrong.is_empty() {
        return Err(WorkError::Faults(wrong));
    }
    let until = match patience.typed {
        None => Instant::now().checked_add(EXTRAS),
        Some(_) => until,
    };
    let mut left = u32::try_from(desks.len()).unwrap_or(u32::MAX);
    let nodes = NODES_A_SECOND * patience.typed.unwrap_or(2) / u64::from(left.max(1));
    let mut found = Vec::new();
    for desk in desks {
        let now = Instant::now();
        let each = until.map_or(patience.time, |until| until.saturating_duration_since(now));
        let each = each / left;
        found.push(desk.extras(stages, each, nodes)?);
        left -= 1;
    }
    Ok(found)
}

/// What nobody asked for ends so soon after the plan is known; a build that checks everything takes ten
/// times as long.
const EXTRAS: Duration = Duration::from_secs(if cfg!(debug_assertions) { 20 } else { 2 });

/// What nobody asked for ends after so many nodes for each second that it has, so that it is the same
/// on every machine; the clock is met first only where that is slow.
pub(super) const NODES_A_SECOND: u64 = 10_000;

/// Papers from which something is cut, those together that share pieces.
fn tied(order: &Order) -> Vec<Vec<usize>> {
    let mut groups: Vec<Vec<usize>> = Vec::new();
    for want in &order.wants {
        let (mut tied, rest): (Vec<_>, Vec<_>) = std::mem::take(&mut groups)
            .into_iter()
            .partition(|group: &Vec<usize>| group.iter().any(|p| want.papers.contains(p)));
        tied.push(want.papers.clone());
        let mut one: Vec<usize> = tied.concat();
        one.sort_unstable();
        one.dedup();
        groups = rest;
        groups.push(one);
    }
    groups.sort_unstable();
    groups
}

/// A plan for fewer stages is one for more of them too, and a bound for more stages is one for fewer.
pub(super) fn level(ways: &mut [Way; 3]) {
    for (few, more) in [(0, 1), (1, 2)] {
        let better = match (ways[few].cost, ways[more].cost) {
            (Some(few), Some(more)) => few < more,
            (Some(_), None) => true,
            (None, _) => false,
        };
        if better {
            let from = ways[few].clone();
            let to = &mut ways[more];
            to.papers = from.papers;
            for paper in &mut to.papers {
                paper.counted.job.stages = to.stages;
                paper.kept_proved = false;
            }
            (to.sheets, to.offcuts, to.cost) = (from.sheets, from.offcuts, from.cost);
            to.not_enough = false;
        }
    }
    for (few, more) in [(1, 2), (0, 1)] {
        if ways[more].not_enough {
            ways[few].not_enough = true;
        }
        ways[few].bound = ways[few].bound.max(ways[more].bound);
        ways[few].least = ways[few].least.max(ways[more].least);
    }
    for way in ways {
        way.proved = way.not_enough || way.cost.is_some_and(|cost| cost <= way.bound);
    }
}
