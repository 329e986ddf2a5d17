//! The questions of papers that share pieces; mostly of one paper.
//!
//! Each way of sharing the pieces out is a question for each paper alone. Where all ways were tried,
//! the best one is proved over all of them.

mod question;

use super::Order;
use super::batch::{
    Batch, NODES_A_SECOND, PaperPlan, Patience, STAGES, Told, Way, WorkError, level,
};
use super::job::Counted;
use super::offcuts::narrowest_kept;
use super::pool::{self, Pool};
use super::spread::{self, Menus, Share};
use crate::length::Ruler;
use crate::nest::{self, Limits, Stages, Stop, Verdict};
use std::collections::HashMap;
use std::time::{Duration, Instant};

/// A bound that takes more steps to replay than this is given up for one by area: a few seconds.
const MOST_STEPS: u64 = 2_000_000_000;

/// Ways of sharing pieces out that are tried one by one, and questions for all others.
const MOST_WAYS: usize = 64;
const MOST_QUESTIONS: usize = 256;

/// What became of one paper's question.
#[derive(Clone, Debug)]
struct Asked {
    counted: Counted,
    answer: nest::Answer,
}

/// What the questions may take.
#[derive(Clone, Copy, Debug)]
struct Allowed {
    until: Option<Instant>,
    /// Replaying what was found may take until then.
    checked_until: Option<Instant>,
    /// For each question.
    nodes: u64,
}

impl Allowed {
    fn clock(&self) -> Duration {
        left(self.until)
    }

    /// Steps of a checker, each about a nanosecond.
    fn steps(&self) -> u64 {
        let left = left(self.checked_until).as_nanos();
        u64::try_from(left / 2).unwrap_or(u64::MAX).min(MOST_STEPS)
    }
}

/// A time beyond what a clock can hold is no limit.
fn left(until: Option<Instant>) -> Duration {
    let now = Instant::now();
    until.map_or(Duration::MAX, |until| until.saturating_duration_since(now))
}

/// The questions of one batch, each asked once.
pub(super) struct Desk<'a> {
    order: &'a Order,
    papers: &'a [usize],
    /// They are asked about as one.
    pool: Option<&'a Pool>,
    ruler: Ruler,
    patience: &'a Patience<'a>,
    allowed: Allowed,
    /// As if there were as many whole sheets as are wanted.
    without_limits: bool,
    known: HashMap<(usize, Share, Stages, bool), Asked>,
    ways: Vec<Way>,
    with_more: Option<Box<Way>>,
}

impl<'a> Desk<'a> {
    pub fn new(
        order: &'a Order,
        papers: &'a [usize],
        pool: Option<&'a Pool>,
        ruler: Ruler,
        patience: &'a Patience<'a>,
    ) -> Desk<'a> {
        Desk {
            order,
            papers,
            pool,
            ruler,
            patience,
            allowed: Allowed {
                until: None,
                checked_until: None,
                nodes: Limits::default().nodes,
            },
            without_limits: false,
            known: HashMap::new(),
            ways: Vec::new(),
            with_more: None,
        }
    }

    /// What is asked for: one kind of stages; or else three, and free cuts where three are not settled
    /// soon.
    pub fn plan(
        &mut self,
        stages: Option<Stages>,
        time: Duration,
        start: Instant,
    ) -> Result<(), WorkError> {
        let late = self.patience.late();
        let now = Instant::now();
        self.allowed.until = now.checked_add(time);
        self.allowed.checked_until = start.checked_add(self.patience.time.saturating_add(late));
        let whole = self.allowed;
        let first = stages.unwrap_or(Stages::Three);
        if stages.is_none() {
            // Free cuts never take more sheets, so that most of the time is theirs.
            let typed = self.patience.typed;
            let seconds = typed.map_or(2, |typed| (typed / 4).clamp(2, 100));
            self.allowed.until = now.checked_add(time / 2);
            self.allowed.nodes = NODES_A_SECOND * seconds;
        }
        let mut asked = vec![first];
        let way = self.way(first)?;
        self.allowed = whole;
        let mut found = way.sheets.is_some();
        let settled = found && way.proved;
        self.ways.push(way);
        if stages.is_none() && !settled {
            let way = self.way(Stages::Free)?;
            found |= way.sheets.is_some();
            asked.push(Stages::Free);
            self.ways.push(way);
        }
        if !found {
            self.without_limits = true;
            let last = asked.pop().unwrap_or(first);
            self.with_more = Some(Box::new(self.way(last)?));
            self.without_limits = false;
        }
        Ok(())
    }

    /// A plan with as many sheets as it takes, if those at hand are not enough (proved).
    pub fn short(mut self) -> Option<Way> {
        // Mostly they are, and the plain way of cutting shows it without a search.
        self.allowed.nodes = 0;
        let plain = self.way(Stages::Free).ok()?;
        if plain.sheets.is_some() {
            return None;
        }
        self.known.clear();
        self.allowed.nodes = 2 * NODES_A_SECOND;
        self.plan(None, self.patience.time, Instant::now()).ok()?;
        let is_proved = |way: &Way| way.stages == Stages::Free && way.not_enough;
        let few = self.ways.iter().any(is_proved);
        self.with_more.filter(|_| few).map(|way| *way)
    }

    /// The fewest sheets that are found soon, with as many at hand as it takes.
    pub fn sheets(mut self, stages: Stages) -> Option<u64> {
        self.without_limits = true;
        self.allowed.nodes = NODES_A_SECOND;
        self.way(stages).ok()?.sheets
    }

    /// What nobody asked for: the other kinds of stages, and the largest offcut.
    pub fn extras(
        mut self,
        stages: Option<Stages>,
        time: Duration,
        nodes: u64,
    ) -> Result<Batch, WorkError> {
        let now = Instant::now();
        let last = now.checked_add(time);
        // Free cuts may save a sheet: half of it is theirs.
        for (each, part) in [(Stages::Free, 2), (Stages::Three, 6), (Stages::Two, 6)] {
            if self.ways.iter().all(|way| way.stages != each) {
                self.allowed = Allowed {
                    until: Instant::now().checked_add(left(last) / 2),
                    checked_until: last,
                    nodes: nodes / part,
                };
                let way = self.way(each)?;
                self.ways.push(way);
            }
        }
        self.allowed.until = last;
        self.allowed.checked_until = last;
        let mut ways = std::mem::take(&mut self.ways);
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
            None => self.with_more.take(),
        };
        self.keep(with_more.as_deref_mut().unwrap_or(&mut ways[chosen]), nodes)?;
        Ok(Batch {
            papers: self.papers.to_vec(),
            ways,
            chosen,
            with_more,
            turned: None,
        })
    }

    /// What a whole sheet costs: more than all offcuts of the batch together.
    fn sheet_cost(&self) -> u64 {
        let papers = self.papers.iter().map(|p| &self.order.papers[*p]);
        let sheets = papers.flat_map(|paper| &paper.sheets);
        let offcuts = sheets.filter(|s| s.offcut).filter_map(|s| s.count);
        offcuts.fold(1, u64::saturating_add)
    }

    /// The best over all ways of sharing pieces out that are tried.
    fn way(&mut self, stages: Stages) -> Result<Way, WorkError> {
        let tried = match self.pool {
            Some(pool) => self.as_one(stages, pool)?,
            None => self.shared(stages)?,
        };
        // What was not tried might need less.
        let (bound, not_enough) = match tried.all {
            true => (tried.bound.unwrap_or(0), tried.bound.is_none()),
            false => {
                let pooled = self.pooled(stages)?;
                (pooled.lower_bound, pooled.verdict == Verdict::NotEnough)
            }
        };
        let (cost, papers) = match tried.best {
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
            stopped: tried.stopped,
            cost,
            bound,
        })
    }

    /// Pieces shared out among the papers.
    fn shared(&mut self, stages: Stages) -> Result<Tried, WorkError> {
        let (shares, all) = spread::shares(self.order, self.papers, MOST_WAYS);
        let menus = match all {
            true => None,
            false => spread::menus(self.order, self.papers, MOST_QUESTIONS),
        };
        match menus {
            Some(menus) => self.by_menus(stages, &menus),
            None => self.one_by_one(stages, shares, all),
        }
    }

    /// All papers as one, and the answer shared out among them.
    fn as_one(&self, stages: Stages, pool: &Pool) -> Result<Tried, WorkError> {
        let (papers, cost) = (&pool.papers, self.sheet_cost());
        let counted = pool::question(self.order, papers, stages, cost, self.ruler);
        let counted = counted.map_err(WorkError::Faults)?;
        let (order, _) = pool::pooled(self.order, papers);
        let Asked { counted, answer } = self.settle(&order, 0, counted, stages, &pool.known)?;
        let split = || pool::split(self.order, papers, &counted, &answer.cuttings);
        Ok(Tried {
            all: true,
            best: answer.cost(&counted.job).map(|cost| (cost, split())),
            bound: (answer.verdict != Verdict::NotEnough).then_some(answer.lower_bound),
            stopped: answer.stopped,
        })
    }

    /// Each way of sharing pieces out after the other.
    fn one_by_one(
        &mut self,
        stages: Stages,
        shares: Vec<spread::Shares>,
        all: bool,
    ) -> Result<Tried, WorkError> {
        let mut tried = Tried {
            all,
            best: None,
            bound: None,
            stopped: None,
        };
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
                tried.stopped = tried.stopped.or(asked.answer.stopped);
                if asked.answer.verdict == Verdict::NotEnough {
                    least = None;
                    cost = None;
                    break;
                }
                let own = asked.answer.cost(&asked.counted.job);
                let both = cost.zip(own);
                cost = both.map(|(sum, own): (u64, u64)| sum.saturating_add(own));
                least = least.map(|sum: u64| sum.saturating_add(asked.answer.lower_bound));
                papers.push(self.plan_of(paper, asked));
            }
            // A way that the sheets do not allow bounds nothing: it is no way.
            if let Some(least) = least {
                tried.bound = Some(tried.bound.map_or(least, |b| b.min(least)));
            }
            if let Some(cost) = cost
                && tried.best.as_ref().is_none_or(|(known, _)| cost < *known)
            {
                tried.best = Some((cost, papers));
            }
        }
        Ok(tried)
    }

    /// Every share of every paper is asked for once; which of them go together is worked out exactly.
    fn by_menus(&mut self, stages: Stages, menus: &Menus) -> Result<Tried, WorkError> {
        let nodes = self.allowed.nodes;
        self.allowed.nodes = (nodes / menus.questions().max(1) as u64).max(nodes.min(2_000));
        let mut stopped = None;
        let (mut costs, mut bounds) = (Vec::new(), Vec::new());
        for paper in 0..self.papers.len() {
            let (mut own, mut own_bounds) = (Vec::new(), Vec::new());
            for share in menus.shares(paper) {
                if share.is_empty() {
                    own.push(Some(0));
                    own_bounds.push(Some(0));
                    continue;
                }
                let twin = self.papers[menus.twin(paper)];
                let asked = self.ask(twin, share, stages)?;
                stopped = stopped.or(asked.answer.stopped);
                own.push(asked.answer.cost(&asked.counted.job));
                let possible = asked.answer.verdict != Verdict::NotEnough;
                own_bounds.push(possible.then_some(asked.answer.lower_bound));
            }
            costs.push(own);
            bounds.push(own_bounds);
        }
        self.allowed.nodes = nodes;
        let mut best = None;
        if let Some((cost, picks)) = menus.best(&costs) {
            let mut papers = Vec::new();
            for (at, pick) in picks.into_iter().enumerate() {
                let share = menus.shares(at).nth(pick).unwrap_or_default();
                if !share.is_empty() {
                    let twin = self.papers[menus.twin(at)];
                    let asked = self.ask(twin, share, stages)?;
                    papers.push(self.plan_of(self.papers[at], asked));
                }
            }
            best = Some((cost, papers));
        }
        Ok(Tried {
            all: menus.all,
            best,
            bound: menus.best(&bounds).map(|(bound, _)| bound),
            stopped,
        })
    }

    /// Of the plans from the same sheets, those that leave a large offcut in one piece.
    fn keep(&self, way: &mut Way, nodes: u64) -> Result<(), WorkError> {
        let many = way.papers.len().max(1);
        for (n, plan) in way.papers.iter_mut().enumerate() {
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
                nodes: nodes / 3 / many as u64,
                clock: self.allowed.clock() / u32::try_from(many - n).unwrap_or(u32::MAX),
                cancel: self.patience.cancel,
                progress: None,
            };
            let kept = nest::keep(&plan.counted.job, &plan.cuttings, least, &limits)
                .map_err(|e| WorkError::Defect(e.to_string()))?;
            // Where a clock ends it, the plan stays what it was: the same on every machine.
            if matches!(kept.stopped, Some(Stop::Clock | Stop::Cancelled)) {
                continue;
            }
            let steps = self.allowed.steps().min(MOST_STEPS / 10);
            let replayed = match nest::check_kept_within(&plan.counted.job, &kept, steps) {
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
}

/// What came of the ways of sharing pieces out.
struct Tried {
    /// Whether these are all ways.
    all: bool,
    best: Option<(u64, Vec<PaperPlan>)>,
    /// The least over all that were tried; `None`: none of them has sheets enough, proved.
    bound: Option<u64>,
    stopped: Option<Stop>,
}
