//! How the cheapest cuttings are looked for: a linear program over patterns, each found by the
//! dynamic program; dives that fix what it likes most; and complete searches over all patterns
//! that are worth enough, as soon as these are few.

use super::answer::{Certificate, Claim, Cutting, Fill, Stop, cost};
use super::bound::{self, Sheets, least_cost, most_worth};
use super::cover::{Choice, End, Task, cover};
use super::job::Job;
use super::layout::{Hand, Layout, realize};
use super::limits::{Meter, Progress};
use super::lp::{Master, ONE, Optimum};
use super::model::Model;
use super::near::{Ask, Counts, MOST_ALIKE, Near, Refused, near};
use super::table;
use std::collections::{HashMap, HashSet};

/// A way of using one sheet.
#[derive(Clone, Debug)]
struct Pattern {
    stock: usize,
    counts: Vec<u64>,
    layout: Layout,
}

/// What is left to be cut, and from what.
#[derive(Clone, Debug)]
struct Rest {
    /// For each kind.
    wanted: Vec<u64>,
    /// For each stock.
    sheets: Vec<Sheets>,
}

/// Patterns of a plan and for how many sheets each.
type Plan = Vec<(usize, u64)>;

pub(super) struct Search<'a, 'm> {
    model: &'a Model<'a>,
    meter: &'a mut Meter<'m>,
    patterns: Vec<Pattern>,
    known: HashMap<(usize, Vec<u64>), usize>,
    /// For each stock, the first one with the same board.
    same: Vec<usize>,
    best: Option<(u64, Plan)>,
    bound: u64,
}

/// The linear program of a rest.
struct Relaxed {
    optimum: Optimum,
    /// Pattern of each column.
    columns: Vec<usize>,
    /// Values by which the bound holds, and what a sheet of each stock holds of them.
    values: Vec<u64>,
    best: Vec<u64>,
    /// Least cost that follows; `None`: the sheets do not suffice.
    least: Option<u64>,
}

/// What came of the search.
pub(super) struct Outcome {
    pub cuttings: Option<Vec<Cutting>>,
    pub certificate: Certificate,
}

pub(super) fn search(model: &Model, first: Option<&[Cutting]>, meter: &mut Meter) -> Outcome {
    let job = model.job;
    let same = |at: usize| {
        let key = |s: usize| (job.stocks[s].trimmed(), job.stocks[s].turn);
        (0..at).find(|&s| key(s) == key(at)).unwrap_or(at)
    };
    let first_cost = first.map(|plan| cost(job, plan));
    let mut search = Search {
        model,
        meter,
        patterns: Vec::new(),
        known: HashMap::new(),
        same: (0..job.stocks.len()).map(same).collect(),
        best: None,
        bound: 0,
    };
    let mut certificate = bound::by_area(job);
    let rest = Rest {
        wanted: model.kinds.iter().map(|k| k.count).collect(),
        sheets: bound::sheets(job),
    };
    let _ = search.run(rest, &mut certificate, first_cost);
    let cuttings = search
        .best
        .take()
        .filter(|(cost, _)| first_cost.is_none_or(|f| *cost < f));
    let cuttings = cuttings.map(|(_, plan)| search.cuttings(&plan));
    Outcome {
        cuttings: cuttings.or(first.map(<[Cutting]>::to_vec)),
        certificate,
    }
}

impl Search<'_, '_> {
    fn run(
        &mut self,
        rest: Rest,
        certificate: &mut Certificate,
        first: Option<u64>,
    ) -> Result<(), Stop> {
        if let Claim::CostsAtLeast(least) = certificate.claim {
            self.bound = least;
        }
        let root = self.relax(&rest, &[], false)?;
        let better = bound::follow(
            self.model.job,
            self.per_piece(&root.values),
            root.best.clone(),
        );
        match (better.claim, certificate.claim) {
            (Claim::NotEnough, _) => {
                *certificate = better;
                return Ok(());
            }
            (Claim::CostsAtLeast(new), Claim::CostsAtLeast(old)) if new > old => {
                self.bound = new;
                *certificate = better;
            }
            _ => {}
        }
        self.tell();
        let mut most = first.unwrap_or(u64::MAX);
        if most <= self.bound {
            return Ok(());
        }
        let mut effort = 1;
        loop {
            for discrepancies in 0..=effort {
                self.dive(&rest, &root.columns, most - 1, discrepancies, effort)?;
                if let Some((cost, _)) = &self.best {
                    most = most.min(*cost);
                }
                if most <= self.bound {
                    return Ok(());
                }
            }
            effort += 1;
            if effort > 12 {
                return Ok(());
            }
        }
    }

    fn tell(&self) {
        self.meter.tell(Progress {
            cost: self.best.as_ref().map(|b| b.0),
            lower_bound: self.bound,
        });
    }

    /// Values of kinds as values of the job's pieces.
    fn per_piece(&self, values: &[u64]) -> Vec<u64> {
        let mut each = vec![0; self.model.job.pieces.len()];
        for (kind, value) in self.model.kinds.iter().zip(values) {
            for &member in &kind.members {
                each[member] = *value;
            }
        }
        each
    }

    fn keep(&mut self, stock: usize, counts: Vec<u64>, layout: Layout) -> usize {
        let next = self.patterns.len();
        let known = self.known.entry((stock, counts.clone())).or_insert(next);
        if *known == next {
            self.patterns.push(Pattern {
                stock,
                counts,
                layout,
            });
        }
        *known
    }

    /// The best pattern of each stock for these values; `None` where it holds nothing.
    fn price(&mut self, values: &[u64]) -> Result<Vec<Option<(u64, usize)>>, Stop> {
        let mut found: Vec<Option<(u64, usize)>> = Vec::with_capacity(self.same.len());
        for (stock, board) in self.model.boards.iter().enumerate() {
            let same = self.same[stock];
            let Some(board) = board else {
                found.push(None);
                continue;
            };
            if same < stock {
                let twin = found[same].map(|(worth, pattern)| {
                    let Pattern { counts, layout, .. } = self.patterns[pattern].clone();
                    (worth, self.keep(stock, counts, layout))
                });
                found.push(twin);
                continue;
            }
            let table = table::fill(board, values, self.meter)?;
            let (_, worth) = table::root(board, &table);
            let layout = table::layout(board, &table, values);
            let counts = layout.counts(board, values.len());
            found.push(Some((worth, self.keep(stock, counts, layout))));
        }
        Ok(found)
    }

    /// The linear program of a rest. Patterns count no more of a kind than is wanted if `clipped`.
    fn relax(&mut self, rest: &Rest, start: &[usize], clipped: bool) -> Result<Relaxed, Stop> {
        let kinds = rest.wanted.len();
        let mut places = vec![None; rest.sheets.len()];
        let mut limited = Vec::new();
        for (stock, sheets) in rest.sheets.iter().enumerate() {
            if let Some(count) = sheets.count {
                places[stock] = Some(limited.len());
                limited.push(count);
            }
        }
        let dearest = rest.sheets.iter().map(|s| s.cost).max().unwrap_or(1);
        let mut master = Master::new(&rest.wanted, &limited, dearest);
        let mut columns = Vec::new();
        let mut seen = HashSet::new();
        let mut add =
            |search: &Self, pattern: usize, master: &mut Master, columns: &mut Vec<usize>| {
                let Pattern { stock, counts, .. } = &search.patterns[pattern];
                let each = counts.iter().zip(&rest.wanted);
                let counts: Vec<u64> = if clipped {
                    each.map(|(c, w)| *c.min(w)).collect()
                } else {
                    each.map(|(c, w)| if *w > 0 { *c } else { 0 }).collect()
                };
                let new = counts.iter().any(|&c| c > 0) && seen.insert((*stock, counts.clone()));
                if new {
                    master.add(&counts, places[*stock], rest.sheets[*stock].cost);
                    columns.push(pattern);
                }
                new
            };
        for &pattern in start {
            add(self, pattern, &mut master, &mut columns);
        }
        if start.is_empty() {
            for kind in (0..kinds).filter(|&kind| rest.wanted[kind] > 0) {
                let mut only = vec![0; kinds];
                only[kind] = ONE;
                for (_, pattern) in self.price(&only)?.into_iter().flatten() {
                    add(self, pattern, &mut master, &mut columns);
                }
            }
        }
        let mut optimum = master.optimise(20_000);
        let mut values = optimum.values.clone();
        let mut best = vec![0; rest.sheets.len()];
        let mut least: Option<Option<u64>> = None;
        let mut strongest = 0u128;
        for round in 0..2_000 {
            let mut priced: Vec<u64> = optimum.values.clone();
            for (value, wanted) in priced.iter_mut().zip(&rest.wanted) {
                if *wanted == 0 {
                    *value = 0;
                }
            }
            let found = self.price(&priced)?;
            let holds: Vec<u64> = found.iter().map(|f| f.map_or(0, |f| f.0)).collect();
            let demand = priced.iter().zip(&rest.wanted);
            let demand: u128 = demand.map(|(v, w)| u128::from(*v) * u128::from(*w)).sum();
            let follows = least_cost(&rest.sheets, &holds, demand);
            // How strong: demand over what one sheet of the first stock holds.
            let ratio = demand * u128::from(ONE)
                / u128::from(holds.iter().copied().max().unwrap_or(1).max(1));
            let stronger = match (follows, least) {
                (_, None) => true,
                (None, Some(old)) => old.is_some(),
                (Some(new), Some(Some(old))) => new > old || new == old && ratio > strongest,
                (Some(_), Some(None)) => false,
            };
            if stronger {
                (values, best, least, strongest) = (priced, holds, Some(follows), ratio);
            }
            let mut new = false;
            for (stock, found) in found.into_iter().enumerate() {
                let rent = places[stock].map_or(0, |place| optimum.rents[place]);
                let price = rest.sheets[stock].cost * ONE + rent;
                if let Some((worth, pattern)) = found
                    && worth > price + price / 200_000
                {
                    new |= add(self, pattern, &mut master, &mut columns);
                }
            }
            if !new {
                break;
            }
            let _ = round;
            optimum = master.optimise(20_000);
        }
        Ok(Relaxed {
            optimum,
            columns,
            values,
            best,
            least: least.flatten(),
        })
    }

    /// From the linear program's optimum downwards: fixes patterns and looks again at what is left,
    /// until all that is left can be searched completely, or nothing is left.
    fn dive(
        &mut self,
        rest: &Rest,
        start: &[usize],
        budget: u64,
        discrepancies: usize,
        effort: usize,
    ) -> Result<bool, Stop> {
        let mut plan = Vec::new();
        self.descend(
            rest.clone(),
            start,
            budget,
            discrepancies,
            effort,
            &mut plan,
        )
    }

    fn descend(
        &mut self,
        rest: Rest,
        start: &[usize],
        budget: u64,
        discrepancies: usize,
        effort: usize,
        plan: &mut Plan,
    ) -> Result<bool, Stop> {
        if rest.wanted.iter().all(|&w| w == 0) {
            self.improve(plan.clone());
            return Ok(true);
        }
        self.meter.spend(1)?;
        let relaxed = self.relax(&rest, start, true)?;
        if relaxed.least.is_none_or(|least| least > budget) {
            return Ok(false);
        }
        if discrepancies == 0 || plan.is_empty() {
            match self.complete(&rest, &relaxed, budget, effort)? {
                Complete::Found(tail) => {
                    let mut all = plan.clone();
                    all.extend(tail.into_iter().map(|p| (p, 1)));
                    self.improve(all);
                    return Ok(true);
                }
                Complete::None => return Ok(false),
                Complete::Open => {}
            }
        }
        let amounts = &relaxed.optimum.amounts;
        // Whole sheets first, all at once.
        let whole: Vec<(usize, u64)> = amounts
            .iter()
            .map(|&(column, x)| (relaxed.columns[column], (x + ONE / 1000) / ONE))
            .filter(|&(_, x)| x > 0)
            .collect();
        let depth = plan.len();
        if !whole.is_empty() {
            let mut rest = rest;
            let mut left = budget;
            for (pattern, times) in whole {
                for _ in 0..1 {
                    left = left.saturating_sub(self.fix(&mut rest, pattern, times, plan));
                }
            }
            let found = self.descend(rest, &relaxed.columns, left, discrepancies, effort, plan)?;
            plan.truncate(depth);
            return Ok(found);
        }
        for (at, &(column, _)) in amounts.iter().enumerate().take(discrepancies + 1) {
            let mut rest = rest.clone();
            let pattern = relaxed.columns[column];
            let cost = self.fix(&mut rest, pattern, 1, plan);
            let left = discrepancies - at;
            if cost > 0
                && let Some(budget) = budget.checked_sub(cost)
                && self.descend(rest, &relaxed.columns, budget, left, effort, plan)?
            {
                return Ok(true);
            }
            plan.truncate(depth);
        }
        Ok(false)
    }

    /// Uses a pattern; gives what that costs.
    fn fix(&mut self, rest: &mut Rest, pattern: usize, times: u64, plan: &mut Plan) -> u64 {
        let Pattern { stock, counts, .. } = &self.patterns[pattern];
        let sheets = &mut rest.sheets[*stock];
        // No more sheets than are of use.
        let each = counts
            .iter()
            .zip(&rest.wanted)
            .filter(|(c, w)| **c > 0 && **w > 0);
        let use_for = each.map(|(c, w)| w.div_ceil(*c)).max().unwrap_or(0);
        let times = times.min(use_for).min(sheets.count.unwrap_or(u64::MAX));
        if let Some(count) = &mut sheets.count {
            *count -= times;
        }
        for (wanted, count) in rest.wanted.iter_mut().zip(counts) {
            *wanted = wanted.saturating_sub(count.saturating_mul(times));
        }
        if times > 0 {
            plan.push((pattern, times));
        }
        times * sheets.cost
    }

    fn improve(&mut self, plan: Plan) {
        let job = self.model.job;
        let cost = plan
            .iter()
            .map(|&(p, times)| times * job.stocks[self.patterns[p].stock].cost);
        let cost = cost.sum();
        if self.best.as_ref().is_none_or(|(least, _)| cost < *least) {
            self.best = Some((cost, plan));
            self.tell();
        }
    }

    /// All that is left at once, if the patterns that are worth enough are few.
    fn complete(
        &mut self,
        rest: &Rest,
        relaxed: &Relaxed,
        budget: u64,
        effort: usize,
    ) -> Result<Complete, Stop> {
        let lanes = rest.wanted.iter().filter(|&&w| w > 0).count();
        match lanes {
            0..=8 => self.complete_in::<8>(rest, relaxed, budget, effort),
            9..=16 => self.complete_in::<16>(rest, relaxed, budget, effort),
            17..=32 => self.complete_in::<32>(rest, relaxed, budget, effort),
            33..=64 => self.complete_in::<64>(rest, relaxed, budget, effort),
            65..=128 => self.complete_in::<128>(rest, relaxed, budget, effort),
            _ => Ok(Complete::Open),
        }
    }

    fn complete_in<const N: usize>(
        &mut self,
        rest: &Rest,
        relaxed: &Relaxed,
        budget: u64,
        effort: usize,
    ) -> Result<Complete, Stop> {
        let mut lanes = vec![None; rest.wanted.len()];
        let mut wanted = Counts::<N>::NONE;
        let mut next = 0;
        for (kind, &count) in rest.wanted.iter().enumerate().filter(|(_, w)| **w > 0) {
            let Some(count) = i16::try_from(count)
                .ok()
                .filter(|&c| c as u64 <= MOST_ALIKE)
            else {
                return Ok(Complete::Open);
            };
            wanted.0[next] = count;
            lanes[kind] = Some(next);
            next += 1;
        }
        let Relaxed { values, best, .. } = relaxed;
        let demand = values.iter().zip(&rest.wanted);
        let demand: u128 = demand.map(|(v, w)| u128::from(*v) * u128::from(*w)).sum();
        let mut choices: Vec<Choice<N>> = Vec::new();
        let mut lists: Vec<(usize, Near<N>)> = Vec::new();
        let mut ids: Vec<(usize, usize)> = Vec::new();
        let model = self.model;
        for (stock, board) in model.boards.iter().enumerate() {
            let (Some(board), own) = (board, rest.sheets[stock]) else {
                continue;
            };
            let mut without = rest.sheets.clone();
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
            let table = table::fill(board, values, self.meter)?;
            let ask = Ask {
                board,
                table: &table,
                values,
                lanes: &lanes,
                wanted,
                least,
                most: 4_000 << effort,
                most_pairs: 400_000 << effort,
            };
            let list = match near(&ask, self.meter) {
                Ok(list) => list,
                Err(Refused::TooMany) => return Ok(Complete::Open),
                Err(Refused::Stop) => return self.meter.look().map(|()| Complete::Open),
            };
            for at in 0..list.len() {
                choices.push(Choice {
                    counts: list.counts(at),
                    stock,
                    id: ids.len(),
                });
                ids.push((lists.len(), at));
            }
            lists.push((stock, list));
        }
        let task = Task {
            wanted,
            lanes: next,
            sheets: rest.sheets.clone(),
            budget,
        };
        match cover(&task, &choices, 50 << effort, self.meter)? {
            End::Open => Ok(Complete::Open),
            End::None(_) => Ok(Complete::None),
            End::Found(used) => {
                let mut found = Vec::new();
                for id in used {
                    let (list, at) = ids[id];
                    let (stock, list) = &lists[list];
                    let layout = list.layout(at);
                    let Some(board) = &model.boards[*stock] else {
                        continue;
                    };
                    let counts = layout.counts(board, rest.wanted.len());
                    let (stock, layout) = (*stock, layout);
                    found.push(self.keep(stock, counts, layout));
                }
                Ok(Complete::Found(found))
            }
        }
    }

    /// Trees for a plan; what is cut too often stays paper.
    fn cuttings(&self, plan: &Plan) -> Vec<Cutting> {
        let job: &Job = self.model.job;
        let mut hand = Hand {
            left: job.pieces.iter().map(|p| p.count).collect(),
        };
        let mut cuttings: Vec<Cutting> = Vec::new();
        for &(pattern, times) in plan {
            let Pattern { stock, layout, .. } = &self.patterns[pattern];
            let mut left = times;
            while left > 0 {
                let before = hand.left.clone();
                let sheet = realize(self.model, *stock, layout, &mut hand);
                // The same again, as long as there is enough of everything.
                let took = before.iter().zip(&hand.left).map(|(b, a)| b - a);
                let took: Vec<u64> = took.collect();
                let again = hand.left.iter().zip(&took).filter(|(_, t)| **t > 0);
                let again = again.map(|(l, t)| l / t).min().unwrap_or(0).min(left - 1);
                for (left, took) in hand.left.iter_mut().zip(&took) {
                    *left -= took * again;
                }
                left -= 1 + again;
                if took.iter().all(|&t| t == 0) {
                    break;
                }
                let times = 1 + again;
                match cuttings
                    .iter_mut()
                    .find(|c| c.stock == *stock && c.sheet == sheet)
                {
                    Some(same) => same.times += times,
                    None => cuttings.push(Cutting {
                        stock: *stock,
                        times,
                        sheet,
                    }),
                }
            }
        }
        cuttings
    }
}

enum Complete {
    Found(Vec<usize>),
    None,
    Open,
}

/// The best use of one sheet of the first stock by any number of each piece; an uncut sheet if a
/// limit is met first.
pub(super) fn fill(model: &Model, meter: &mut Meter) -> Fill {
    let job = model.job;
    let nothing = Fill {
        stock: 0,
        value: 0,
        proved: false,
        sheet: job.stocks[0].whole(),
    };
    let Some(board) = &model.boards[0] else {
        return nothing;
    };
    let values: Vec<u64> = model
        .kinds
        .iter()
        .map(|k| job.pieces[k.members[0]].worth())
        .collect();
    let Ok(table) = table::fill(board, &values, meter) else {
        return nothing;
    };
    let layout = table::layout(board, &table, &values);
    let mut hand = Hand {
        left: vec![u64::MAX; job.pieces.len()],
    };
    Fill {
        stock: 0,
        value: table::root(board, &table).1,
        proved: true,
        sheet: realize(model, 0, &layout, &mut hand),
    }
}
