//! How the cheapest cuttings are looked for: a linear program over patterns, each found by the
//! dynamic program; dives that fix what it likes most; and complete searches over all patterns
//! that are worth enough, as soon as these are few.

use super::answer::{self, Certificate, Claim, Cutting, Reason, SearchStep, Stop, cost};
use super::bound::{self, most_worth};
use super::columns::{Pattern, Pool, Relaxed};
use super::cover::{Choice, End, Task, cover};
use super::effort::{self, Plan, Tail};
use super::job::Job;
use super::layout::{Hand, realize};
use super::limits::{Meter, Progress};
use super::model::{MOST_PAIRS, Model};
use super::near::in_lanes;
use super::rest::{Node, Rest, worth};
use super::verify::verify_cuttings;

/// Each effort grants twice as much as the one before to every part of the search.
const MOST_EFFORT: usize = 9;
/// What is refuted with more effort than this would take the checker too long to replay.
const MOST_EFFORT_REPLAYED: usize = 5;

pub(super) struct Search<'a, 'm> {
    pub pool: Pool<'a, 'm>,
    pub best: Option<(u64, Plan)>,
    pub bound: u64,
    pub certificate: Certificate,
    /// Patterns that the linear program of the whole starts from.
    start: Vec<usize>,
    pub tail: Option<Tail>,
}

/// What came of the search.
pub(super) struct Outcome {
    pub cuttings: Option<Vec<Cutting>>,
    pub certificate: Certificate,
}

pub(super) fn search(model: &Model, first: Option<&[Cutting]>, meter: &mut Meter) -> Outcome {
    within(model, first, u64::MAX, MOST_EFFORT, meter)
}

/// As [`search`], but a plan that costs more than `most` is none, and a bound above it is enough.
/// `effort`, at most 9, says when to give up.
pub(super) fn within(
    model: &Model,
    first: Option<&[Cutting]>,
    most: u64,
    effort: usize,
    meter: &mut Meter,
) -> Outcome {
    let job = model.job;
    let first = first.filter(|plan| cost(job, plan) <= most);
    let first_cost = first.map(|plan| cost(job, plan));
    let mut search = Search {
        pool: Pool::new(model, meter),
        best: None,
        bound: 0,
        certificate: bound::by_area(job),
        start: Vec::new(),
        tail: None,
    };
    let rest = Rest::whole(model);
    let above = first_cost.unwrap_or(most.saturating_add(1));
    // Pieces are moved about for good plans early; where a cost is asked for, proofs matter as much.
    if most == u64::MAX {
        search.tail = Tail::new(model, &rest, &[], 0);
    }
    let _ = search.run(rest, above, effort.min(MOST_EFFORT));
    let cuttings = search
        .best
        .take()
        .filter(|(cost, _)| first_cost.is_none_or(|f| *cost < f));
    // A plan that fails the verifier is never shown.
    let cuttings = cuttings
        .map(|(_, plan)| search.cuttings(&plan))
        .filter(|cuttings| verify_cuttings(job, cuttings).is_ok());
    Outcome {
        cuttings: cuttings.or(first.map(<[Cutting]>::to_vec)),
        certificate: search.certificate,
    }
}

impl Search<'_, '_> {
    /// Looks for plans that cost less than `most`.
    fn run(&mut self, rest: Rest, mut most: u64, most_effort: usize) -> Result<(), Stop> {
        if let Claim::CostsAtLeast(least) = self.certificate.claim {
            self.bound = least;
        }
        // More than all sheets at hand cannot be spent.
        let all = self.all_sheets();
        most = most.min(all.map_or(u64::MAX, |all| all.saturating_add(1)));
        let Some(root) = self.root(&rest, &mut most)? else {
            return Ok(());
        };
        let many = self.are_many(&rest);
        let node = Node::new(self.pool.model, rest, MOST_PAIRS, self.pool.meter)?;
        // The bound does not know of strips that are too narrow: nor do its patterns.
        if self.pool.model.job.narrowest > 1 {
            self.pool.forget();
        } else {
            self.start.clone_from(&root.columns);
        }
        for effort in 0..=most_effort {
            for stray in 0..=effort {
                if most <= self.bound {
                    return Ok(());
                }
                let before = self.pool.meter.left();
                let mut down = Down {
                    effort,
                    until: before.saturating_sub(effort::dive(many, effort)),
                    room: MOST_PAIRS,
                    ended: false,
                    plan: Vec::new(),
                };
                let start = self.start.clone();
                self.descend(&mut down, &node, &start, most - 1, stray)?;
                if let Some((cost, _)) = &self.best {
                    most = most.min(*cost);
                }
                let dived = before - self.pool.meter.left();
                self.refill(&mut most, effort::refill_after(many, dived, effort, stray))?;
            }
        }
        Ok(())
    }

    /// What all sheets at hand cost together, if there is an end to them.
    fn all_sheets(&self) -> Option<u64> {
        let each = self.pool.model.job.stocks.iter();
        let mut each = each.map(|s| s.cost.checked_mul(s.count?));
        each.try_fold(0u64, |sum, own| sum.checked_add(own?))
    }

    pub fn tell(&self) {
        self.pool.meter.tell(Progress {
            cost: self.best.as_ref().map(|b| b.0),
            lower_bound: self.bound,
        });
    }

    /// Values of kinds as values of the job's pieces.
    pub fn per_piece(&self, values: &[u64]) -> Vec<u64> {
        let mut each = vec![0; self.pool.model.job.pieces.len()];
        for (kind, value) in self.pool.model.kinds.iter().zip(values) {
            for &member in &kind.members {
                each[member] = *value;
            }
        }
        each
    }

    /// From the linear program's optimum downwards: fixes patterns and looks again at what is left,
    /// until all that is left can be searched completely, or nothing is left.
    fn descend(
        &mut self,
        down: &mut Down,
        node: &Node,
        start: &[usize],
        budget: u64,
        stray: usize,
    ) -> Result<bool, Stop> {
        if node.used == 0 {
            self.improve(down.plan.clone());
            return Ok(true);
        }
        self.pool.meter.spend(1)?;
        if self.pool.meter.left() < down.until {
            return Ok(false);
        }
        let deep = !down.plan.is_empty();
        if deep && self.end(down, &node.rest, budget)? {
            return Ok(true);
        }
        let relaxed = self.pool.relax_properly(node, start, down.effort, deep)?;
        if down.plan.is_empty() {
            self.start.clone_from(&relaxed.columns);
        }
        if relaxed.least.is_none_or(|least| least > budget) {
            let demand = worth(&relaxed.values, &node.rest.wanted);
            let holds = most_worth(&node.rest.sheets, &relaxed.best, budget);
            if down.plan.is_empty() && holds < demand {
                let end = SearchStep {
                    values: relaxed.values.clone(),
                    branch: None,
                };
                self.refuted(budget, &relaxed, vec![end], down.effort);
            }
            return Ok(false);
        }
        if stray == 0 || down.plan.is_empty() {
            match self.complete(node, &relaxed, budget, down.effort)? {
                Complete::Found(tail) => {
                    let mut all = down.plan.clone();
                    all.extend(tail.into_iter().map(|p| (p, 1)));
                    self.improve(all);
                    return Ok(true);
                }
                Complete::None(steps) => {
                    if down.plan.is_empty() {
                        self.refuted(budget, &relaxed, steps, down.effort);
                    }
                    return Ok(false);
                }
                Complete::Open => {}
            }
        }
        let amounts = &relaxed.optimum.amounts;
        // Whole sheets first, all at once.
        let whole = effort::whole(&relaxed);
        let depth = down.plan.len();
        if !whole.is_empty() {
            let mut rest = node.rest.clone();
            let mut left = Some(budget);
            for (pattern, times) in whole {
                let cost = self.fix(&mut rest, pattern, times, &mut down.plan);
                left = left.and_then(|left| left.checked_sub(cost));
            }
            let mut found = false;
            if let Some(left) = left {
                if depth == 0 && Tail::is_too_long(self.tail.as_ref(), &node.rest) {
                    let tail = Tail::new(self.pool.model, &rest, &down.plan, budget - left);
                    self.tail = tail.or(self.tail.take());
                }
                found = self.deeper(down, rest, &relaxed.columns, left, stray)?;
            }
            down.plan.truncate(depth);
            return Ok(found);
        }
        for (at, &(column, _)) in amounts.iter().enumerate().take(stray + 1) {
            let mut rest = node.rest.clone();
            let pattern = relaxed.columns[column];
            let cost = self.fix(&mut rest, pattern, 1, &mut down.plan);
            if cost > 0
                && let Some(budget) = budget.checked_sub(cost)
                && self.deeper(down, rest, &relaxed.columns, budget, stray - at)?
            {
                return Ok(true);
            }
            down.plan.truncate(depth);
        }
        Ok(false)
    }

    /// [`Self::descend`] with boards for what is left. All boards on one way down are in memory.
    fn deeper(
        &mut self,
        down: &mut Down,
        rest: Rest,
        start: &[usize],
        budget: u64,
        stray: usize,
    ) -> Result<bool, Stop> {
        let node = Node::new(self.pool.model, rest, down.room, self.pool.meter)?;
        let room = down.room;
        down.room = room.saturating_sub(node.pairs());
        let found = self.descend(down, &node, start, budget, stray);
        down.room = room;
        found
    }

    /// Uses a pattern; gives what that costs.
    pub fn fix(&mut self, rest: &mut Rest, pattern: usize, times: u64, plan: &mut Plan) -> u64 {
        let Pattern { stock, counts, .. } = &self.pool.patterns[pattern];
        let times = rest.cut(*stock, counts, times);
        if times > 0 {
            plan.push((pattern, times));
        }
        times * rest.sheets[*stock].cost
    }

    /// Nothing costs as little as this.
    fn refuted(&mut self, budget: u64, relaxed: &Relaxed, steps: Vec<SearchStep>, effort: usize) {
        // Certificates know nothing of spread and of strips that are too narrow.
        let job = self.pool.model.job;
        let plain = job.narrowest <= 1 && job.pieces.iter().all(|p| p.most_alike.is_none());
        if budget < self.bound || !plain || effort > MOST_EFFORT_REPLAYED {
            return;
        }
        self.bound = budget + 1;
        let enough = self.all_sheets().is_none_or(|all| self.bound <= all);
        let kinds = &self.pool.model.kinds;
        self.certificate = Certificate {
            claim: match enough {
                true => Claim::CostsAtLeast(self.bound),
                false => Claim::NotEnough,
            },
            reason: Reason::Search {
                groups: kinds.iter().map(|k| k.members.clone()).collect(),
                values: relaxed.values.clone(),
                best: relaxed.best.clone(),
                steps,
            },
        };
        self.tell();
    }

    pub fn improve(&mut self, plan: Plan) {
        let job = self.pool.model.job;
        let of = |pattern: usize| job.stocks[self.pool.patterns[pattern].stock].cost;
        let cost = plan.iter().map(|&(p, times)| times * of(p)).sum();
        if self.best.as_ref().is_none_or(|(least, _)| cost < *least) {
            self.best = Some((cost, plan));
            self.tell();
        }
    }

    /// All that is left at once, with all patterns that are worth enough if these are few, else with
    /// the best of them.
    fn complete(
        &mut self,
        node: &Node,
        relaxed: &Relaxed,
        budget: u64,
        effort: usize,
    ) -> Result<Complete, Stop> {
        let Relaxed { values, best, .. } = relaxed;
        let demand = worth(values, &node.rest.wanted);
        let mut choices = Vec::new();
        let mut all = true;
        for (stock, own) in node.rest.sheets.iter().enumerate() {
            let mut without = node.rest.sheets.clone();
            if let Some(count) = &mut without[stock].count {
                if *count == 0 {
                    continue;
                }
                *count -= 1;
            }
            let Some(left) = budget.checked_sub(own.cost) else {
                continue;
            };
            let holds = most_worth(&without, best, left);
            let Ok(least) = u64::try_from(demand.saturating_sub(holds)) else {
                continue;
            };
            if least > best[stock] {
                continue;
            }
            let mut list = self.pool.near(node, stock, values, least, effort)?;
            let mut loss = best[stock] - least;
            for _ in 0..8 {
                if list.is_some() {
                    break;
                }
                all = false;
                loss /= 2;
                let least = best[stock] - loss;
                list = self.pool.near(node, stock, values, least, effort)?;
            }
            choices.extend(list.unwrap_or_default());
        }
        if !all {
            let more = relaxed.columns.iter().copied();
            choices.extend(more.filter(|p| !choices.contains(p)).collect::<Vec<_>>());
        }
        let end = in_lanes!(
            node.used,
            self.cover_in(node, &choices, budget, effort),
            Ok(End::Open)
        )?;
        Ok(match end {
            End::Found(used) => Complete::Found(used),
            End::None(steps) if all => Complete::None(steps),
            _ => Complete::Open,
        })
    }

    fn cover_in<const N: usize>(
        &mut self,
        node: &Node,
        patterns: &[usize],
        budget: u64,
        effort: usize,
    ) -> Result<End, Stop> {
        if !node.can_count {
            return Ok(End::Open);
        }
        let wanted = node.wanted::<N>();
        let choice = |&id: &usize| {
            let Pattern { stock, counts, .. } = &self.pool.patterns[id];
            Choice {
                counts: node.lanes_of(counts),
                stock: *stock,
                id,
            }
        };
        let choices: Vec<Choice<N>> = patterns.iter().map(choice).collect();
        let alike = 0..node.rest.alike.len();
        let task = Task {
            wanted,
            lanes: node.used,
            alike: alike.map(|stock| node.wanted_of(stock)).collect(),
            sheets: node.rest.sheets.clone(),
            budget,
        };
        cover(&task, &choices, 40 << effort, self.pool.meter)
    }

    /// Trees for a plan; what is cut too often stays paper.
    fn cuttings(&self, plan: &Plan) -> Vec<Cutting> {
        let job: &Job = self.pool.model.job;
        let mut hand = Hand::new(job);
        let mut cuttings: Vec<Cutting> = Vec::new();
        for &(pattern, times) in plan {
            let Pattern { stock, layout, .. } = &self.pool.patterns[pattern];
            let mut left = times;
            while left > 0 {
                let before = hand.left.clone();
                let sheet = realize(self.pool.model, *stock, layout, &mut hand);
                let took = before.iter().zip(&hand.left).map(|(b, a)| b - a);
                let took: Vec<u64> = took.collect();
                let again = hand.again(*stock, &took, left - 1);
                left -= 1 + again;
                if took.iter().all(|&t| t == 0) {
                    break;
                }
                answer::add(&mut cuttings, *stock, 1 + again, sheet);
            }
        }
        cuttings
    }
}

/// A way down from the whole question.
pub(super) struct Down {
    pub effort: usize,
    /// Given up once fewer nodes than this are left.
    until: u64,
    /// As many pairs of parts as further boards may hold.
    room: usize,
    /// What was left was moved about once.
    pub ended: bool,
    /// What is fixed so far.
    pub plan: Plan,
}

enum Complete {
    Found(Vec<usize>),
    None(Vec<SearchStep>),
    Open,
}
