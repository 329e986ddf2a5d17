//! What cutting answers: a plan for each paper, all kinds of stages side by side, and what is proved.

use super::CutError;
use super::job::Counted;
use super::watch::Watch;
use crate::nest::{Cutting, Stages, Stop};
use crate::text::At;
use std::sync::atomic::AtomicBool;
use std::time::{Duration, Instant};

/// All kinds of stages, from the easiest for the maker to the freest.
pub const STAGES: [Stages; 3] = [Stages::Two, Stages::Three, Stages::Free];

/// How long it may take, and who hears of it on the way.
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

impl<'a> Patience<'a> {
    /// So long, with nobody who hears of it; `cancel` is set from outside to stop.
    pub fn lasting(time: Duration, cancel: Option<&'a AtomicBool>) -> Patience<'a> {
        Patience {
            time,
            typed: None,
            cancel,
            told: None,
        }
    }

    /// What is left until then.
    pub(super) fn left(&self, until: Option<Instant>) -> Duration {
        let now = Instant::now();
        until.map_or(self.time, |until| until.saturating_duration_since(now))
    }

    /// How much longer what was found may be checked and put in order.
    pub(super) fn late(&self) -> Duration {
        self.time / 5 + Duration::from_secs(1)
    }

    /// For what comes after all questions that were asked from `start` on.
    pub(super) fn after(&self, start: Instant) -> Watch<'a> {
        Watch {
            until: start.checked_add(self.time.saturating_add(self.late())),
            cancel: self.cancel,
        }
    }
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
    /// In which order the sheets are cut; empty in plans that are not shown.
    pub(super) turns: Vec<Turn>,
}

/// When a way of cutting a sheet has its turn, and with which settings (steps of the paper's job).
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Turn {
    /// Place in the paper's cuttings.
    pub cutting: usize,
    pub settings: Vec<u64>,
    /// The fence stands at the first of them.
    pub stays: bool,
}

/// One kind of stages for papers that share pieces; mostly for one paper.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Way {
    pub stages: Stages,
    /// One for each paper from which something is cut; empty where no plan was found.
    pub papers: Vec<PaperPlan>,
    /// Whole sheets of all its papers; absent without a plan.
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
    /// Then, of one paper with a direction: sheets that are enough if its pieces lie turned; `None` if that
    /// saves none.
    pub turned: Option<u64>,
}

impl Batch {
    /// The plan: with the sheets at hand, or else with as many as it takes.
    pub fn plan(&self) -> &Way {
        match &self.with_more {
            Some(way) => way,
            None => &self.ways[self.chosen],
        }
    }

    pub(super) fn plan_mut(&mut self) -> &mut Way {
        match &mut self.with_more {
            Some(way) => way,
            None => &mut self.ways[self.chosen],
        }
    }
}

/// Why there is no answer.
#[derive(Clone, Debug)]
pub enum WorkError {
    /// What cannot be cut.
    Faults(Vec<At<CutError>>),
    /// The program refused its own answer.
    Defect(String),
}

/// What nobody asked for ends after so many nodes for each second that it has, so that it is the same
/// on every machine; the clock is met first only where that is slow.
pub(super) const NODES_A_SECOND: u64 = 10_000;

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
