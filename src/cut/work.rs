//! Asks for every paper, with all kinds of stages side by side, and tells what is proved.
//!
//! Papers that share pieces are asked together: each way of sharing them out is a question for each
//! paper alone. Where all ways were tried, the best one is proved over all of them.

use super::job::{Counted, counted, faults};
use super::offcuts::narrowest_kept;
use super::{CutError, MOST_PIECES, Order};
use crate::length::Ruler;
use crate::nest::{self, Cutting, Limits, Progress, Stages, Stop, Verdict};
use std::collections::HashMap;
use std::sync::atomic::AtomicBool;
use std::time::{Duration, Instant};

/// All kinds of stages, from the easiest for the maker to the freest.
pub const STAGES: [Stages; 3] = [Stages::Two, Stages::Three, Stages::Free];

/// Questions of a batch: one for each kind of stages, and what is left in one piece.
const QUESTIONS: usize = STAGES.len() + 1;

/// How long a larger offcut is looked for, in nodes of the search: about two seconds.
const NODES_TO_KEEP: u64 = 20_000;

/// A bound that takes more steps to replay than this is given up for one by area: a few seconds.
const MOST_STEPS: u64 = 2_000_000_000;

/// Ways of sharing pieces out that are tried at most.
const MOST_WAYS: usize = 64;

/// How long it may take, and who is told on the way.
#[derive(Clone, Copy)]
pub struct Patience<'a> {
    pub time: Duration,
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
    cost: Option<u64>,
    bound: u64,
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
    let mut found = Vec::new();
    let mut wrong = Vec::new();
    let until = Instant::now().checked_add(patience.time);
    let mut left = batches.len() * QUESTIONS;
    for papers in batches {
        let mut desk = Desk {
            order,
            papers: &papers,
            ruler,
            patience,
            until,
            left,
            without_limits: false,
            known: HashMap::new(),
        };
        match desk.batch(stages) {
            Ok(batch) => found.push(batch),
            Err(WorkError::Faults(faults)) => wrong.extend(faults),
            Err(defect) => return Err(defect),
        }
        left -= QUESTIONS;
    }
    match wrong.is_empty() {
        true => Ok(found),
        false => Err(WorkError::Faults(wrong)),
    }
}

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

/// Pieces of one paper: place in the wants, how many.
type Share = Vec<(usize, u64)>;

/// What became of one paper's question.
#[derive(Clone, Debug)]
struct Asked {
    counted: Counted,
    answer: nest::Answer,
}

/// The questions of one batch, each asked once.
struct Desk<'a> {
    order: &'a Order,
    papers: &'a [usize],
    ruler: Ruler,
    patience: &'a Patience<'a>,
    until: Option<Instant>,
    /// Questions of whole batches that are still to come, this one's among them.
    left: usize,
    /// As if there were as many whole sheets as are wanted.
    without_limits: bool,
    known: HashMap<(usize, Share, Stages, bool), Asked>,
}

impl Desk<'_> {
    fn batch(&mut self, stages: Option<Stages>) -> Result<Batch, WorkError> {
        // What was asked for comes first, and has the time; three stages are the usual.
        let first = stages.unwrap_or(Stages::Three);
        let mut ways: Vec<Way> = Vec::new();
        let rest = STAGES.into_iter().rev().filter(|s| *s != first);
        for each in std::iter::once(first).chain(rest) {
            let way = self.way(each)?;
            self.left = self.left.saturating_sub(1).max(1);
            ways.push(way);
        }
        ways.sort_by_key(|way| way.stages);
        let mut ways: [Way; 3] = ways
            .try_into()
            .map_err(|_| WorkError::Defect("a kind of stages is missing".to_owned()))?;
        level(&mut ways);
        let usual = usize::from(ways[1].sheets != ways[2].sheets) + 1;
        let asked = stages.and_then(|s| STAGES.iter().position(|t| *t == s));
        let chosen = asked.unwrap_or(usual);
        let mut with_more = match ways[chosen].sheets {
            Some(_) => None,
            None => {
                self.without_limits = true;
                Some(Box::new(self.way(STAGES[chosen])?))
            }
        };
        self.keep(with_more.as_deref_mut().unwrap_or(&mut ways[chosen]))?;
        Ok(Batch {
            papers: self.papers.to_vec(),
            ways,
            chosen,
            with_more,
        })
    }

    /// What a whole sheet costs: more than all offcuts of the batch together.
    fn sheet_cost(&self) -> u64 {
        let sheets = self
            .papers
            .iter()
            .flat_map(|p| &self.order.papers[*p].sheets);
        let offcuts = sheets.filter(|s| s.offcut).filter_map(|s| s.count);
        offcuts.fold(1, u64::saturating_add)
    }

    /// The best over all ways of sharing pieces out that are tried.
    fn way(&mut self, stages: Stages) -> Result<Way, WorkError> {
        let (shares, all) = super::spread::shares(self.order, self.papers, MOST_WAYS);
        let mut best: Option<(u64, Vec<PaperPlan>)> = None;
        let mut bound: Option<u64> = None;
        let mut not_enough = all;
        let mut stopped = None;
        let papers_of = self.papers;
        for share in shares {
            let mut cost = Some(0_u64);
            let mut least = Some(0_u64);
            let mut papers = Vec::new();
            for (paper, counts) in papers_of.iter().copied().zip(share) {
                if counts.is_empty() {
                    continue;
                }
                let asked = self.ask(paper, counts, stages)?;
                stopped = stopped.or(asked.answer.stopped);
                if asked.answer.verdict == Verdict::NotEnough {
                    least = None;
                    cost = None;
                    break;
                }
                let own = asked.answer.cost(&asked.counted.job);
                cost = cost.zip(own).map(|(sum, own)| sum + own);
                least = least.map(|sum| sum + asked.answer.lower_bound);
                papers.push(self.plan(paper, asked));
            }
            // A way that the sheets do not allow bounds nothing: it is no way.
            if let Some(least) = least {
                not_enough = false;
                bound = Some(bound.map_or(least, |b| b.min(least)));
            }
            if let Some(cost) = cost
                && best.as_ref().is_none_or(|(known, _)| cost < *known)
            {
                best = Some((cost, papers));
            }
        }
        // What was not tried might need less.
        let bound = match all {
            true => bound.unwrap_or(0),
            false => {
                let pooled = self.pooled(stages)?;
                not_enough = pooled.verdict == Verdict::NotEnough;
                pooled.lower_bound
            }
        };
        let (cost, papers) = match best {
            Some((cost, papers)) => (Some(cost), papers),
            None => (None, Vec::new()),
        };
        Ok(Way {
            stages,
            sheets: cost.map(|_| papers.iter().map(|p| p.sheets).sum()),
            offcuts: papers.iter().map(|p| p.offcuts).sum(),
            papers,
            least: bound / self.sheet_cost(),
            proved: not_enough || cost.is_some_and(|cost| cost <= bound),
            not_enough,
            stopped,
            cost,
            bound,
        })
    }

    /// Of the plans from the same sheets, those that leave a large offcut in one piece.
    fn keep(&self, way: &mut Way) -> Result<(), WorkError> {
        for plan in &mut way.papers {
            if let Some(told) = self.patience.told {
                told(Told {
                    paper: &self.order.papers[plan.paper].name,
                    stages: way.stages,
                    sheets: Some(plan.sheets),
                    least: plan.sheets,
                    keeps: true,
                });
            }
            let least = plan.counted.steps_of(narrowest_kept(self.ruler));
            let limits = Limits {
                nodes: NODES_TO_KEEP,
                clock: self.remaining(),
                cancel: self.patience.cancel,
                progress: None,
            };
            let kept = nest::keep(&plan.counted.job, &plan.cuttings, least, &limits)
                .map_err(|e| WorkError::Defect(e.to_string()))?;
            let replayed = match nest::check_kept_within(&plan.counted.job, &kept, MOST_STEPS / 10)
            {
                Ok(()) => true,
                Err(nest::KeptError::Certificate {
                    error: nest::CheckError::TooMany | nest::CheckError::Overflow,
                    ..
                }) => false,
                Err(why) => return Err(WorkError::Defect(why.to_string())),
            };
            // Pieces shared out in another way might leave more.
            plan.kept_proved = kept.proved && replayed && self.papers.len() == 1;
            plan.cuttings = kept.cuttings;
        }
        Ok(())
    }

    /// The time of one question.
    fn remaining(&self) -> Duration {
        let left = |until: Instant| until.saturating_duration_since(Instant::now());
        let remaining = self.until.map_or(self.patience.time, left);
        remaining / u32::try_from(self.left).unwrap_or(u32::MAX).max(1)
    }

    fn plan(&self, paper: usize, asked: Asked) -> PaperPlan {
        let sheets = &self.order.papers[paper].sheets;
        let used = |offcut: bool| {
            let cuttings = asked.answer.cuttings.iter();
            let of = cuttings.filter(|c| sheets[c.stock].offcut == offcut);
            of.map(|c| c.times).sum()
        };
        PaperPlan {
            paper,
            sheets: used(false),
            offcuts: used(true),
            kept_proved: false,
            cuttings: asked.answer.cuttings,
            counted: asked.counted,
        }
    }

    fn ask(&mut self, paper: usize, counts: Share, stages: Stages) -> Result<Asked, WorkError> {
        let key = (paper, counts, stages, self.without_limits);
        if let Some(known) = self.known.get(&key) {
            return Ok(known.clone());
        }
        let asked = self.asked(self.order, paper, &key.1, stages)?;
        self.known.insert(key, asked.clone());
        Ok(asked)
    }

    /// The batch as if everything could be cut from every one of its papers, and turned where one of
    /// them allows it: that takes no more sheets.
    fn pooled(&self, stages: Stages) -> Result<nest::Answer, WorkError> {
        let papers = || self.papers.iter().map(|p| &self.order.papers[*p]);
        let pool = super::Paper {
            name: String::new(),
            directed: papers().all(|p| p.directed),
            sheets: papers().flat_map(|p| p.sheets.iter().cloned()).collect(),
        };
        let ours = |w: &&super::Want| w.papers.iter().any(|p| self.papers.contains(p));
        let order = Order {
            papers: vec![pool],
            wants: self.order.wants.iter().filter(ours).cloned().collect(),
            any_paper: Vec::new(),
            trimmer: self.order.trimmer,
        };
        let all: Share = order.wants.iter().map(|w| w.count).enumerate().collect();
        Ok(self.asked(&order, 0, &all, stages)?.answer)
    }

    fn asked(
        &self,
        order: &Order,
        paper: usize,
        counts: &[(usize, u64)],
        stages: Stages,
    ) -> Result<Asked, WorkError> {
        let cost = self.sheet_cost();
        let made = counted(order, paper, counts, stages, cost, self.ruler);
        let mut counted = made.map_err(WorkError::Faults)?;
        let sheets = order.papers[paper].sheets.iter();
        for (stock, one) in counted.job.stocks.iter_mut().zip(sheets) {
            if self.without_limits && !one.offcut {
                stock.count = None;
            }
        }
        let name = &order.papers[paper].name;
        let told = |progress: Progress| {
            if let Some(told) = self.patience.told {
                told(Told {
                    paper: name,
                    stages,
                    sheets: progress.cost.map(|c| c / cost),
                    least: progress.lower_bound / cost,
                    keeps: false,
                });
            }
        };
        let limits = Limits {
            clock: self.remaining(),
            cancel: self.patience.cancel,
            progress: Some(&told),
            ..Limits::default()
        };
        let mut answer = nest::solve(&counted.job, &limits).map_err(|errors| {
            WorkError::Faults(faults(order, paper, &counted, errors, self.ruler))
        })?;
        let check = |answer: &nest::Answer| {
            nest::check_bound_within(&counted.job, &answer.certificate, MOST_STEPS)
        };
        let mut proved = check(&answer);
        if let Err(nest::CheckError::TooMany | nest::CheckError::Overflow) = proved {
            answer = nest::bound_by_area(&counted.job, answer);
            proved = check(&answer);
        }
        let sound = nest::verify(&counted.job, &answer).map_err(|e| e.to_string());
        let refused = sound.err().or(proved.err().map(|e| e.to_string()));
        if let Some(why) = refused {
            return Err(WorkError::Defect(why));
        }
        Ok(Asked { counted, answer })
    }
}

/// A plan for fewer stages is one for more of them too, and a bound for more stages is one for fewer.
fn level(ways: &mut [Way; 3]) {
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
