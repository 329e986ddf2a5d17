//! A complete search over given patterns: whether they give all that is wanted within a budget.
//!
//! At every node a linear program values the pieces; patterns that are worth too little to be in
//! any plan within the budget go; then one pattern is used once more in one branch, and not at all
//! in the other. What it leaves behind can be replayed.

use super::answer::{SearchStep, Stop};
use super::bound::{self, Sheets, most_worth};
use super::limits::Meter;
use super::lp::{Master, ONE};
use super::near::{Counts, lanes_take};
use std::cmp::Reverse;

/// A pattern of the search.
#[derive(Clone, Copy, Debug)]
pub(super) struct Choice<const N: usize> {
    pub counts: Counts<N>,
    /// Place in the job's stocks.
    pub stock: usize,
    /// The caller's number.
    pub id: usize,
}

/// What is left to do.
#[derive(Clone, Debug)]
pub(super) struct Task<const N: usize> {
    pub wanted: Counts<N>,
    /// Lanes in use.
    pub lanes: usize,
    /// For each stock, how many may still come from it; empty where nothing is spread.
    pub alike: Vec<Counts<N>>,
    /// Cost and number of sheets of each stock.
    pub sheets: Vec<Sheets>,
    pub budget: u64,
}

/// Patterns of many lanes that are looked at in the time of one node.
const CHOICES_A_NODE: u64 = 100;

/// How a search ended.
#[derive(Clone, Debug)]
pub(super) enum End {
    /// Patterns by the caller's numbers, one for each sheet.
    Found(Vec<usize>),
    /// These patterns do not do it.
    None(Vec<SearchStep>),
    /// The nodes that were granted are used up.
    Open,
}

/// Searches with at most so many nodes.
///
/// # Errors
/// A limit of the whole question was met.
pub(super) fn cover<const N: usize>(
    task: &Task<N>,
    choices: &[Choice<N>],
    nodes: u64,
    meter: &mut Meter,
) -> Result<End, Stop> {
    let mut search = Search {
        meter,
        left: nodes,
        steps: Vec::new(),
        used: Vec::new(),
    };
    match search.node(task.clone(), choices.to_vec(), Vec::new()) {
        Ok(true) => Ok(End::Found(search.used)),
        Ok(false) => Ok(End::None(search.steps)),
        Err(Halt::Granted) => Ok(End::Open),
        Err(Halt::Stop(stop)) => Err(stop),
    }
}

enum Halt {
    Granted,
    Stop(Stop),
}

struct Search<'a, 'm> {
    meter: &'a mut Meter<'m>,
    left: u64,
    steps: Vec<SearchStep>,
    used: Vec<usize>,
}

impl Search<'_, '_> {
    /// Whether a plan was found; it then stands in `used`.
    fn node<const N: usize>(
        &mut self,
        task: Task<N>,
        choices: Vec<Choice<N>>,
        warm: Vec<Choice<N>>,
    ) -> Result<bool, Halt> {
        if task.wanted.is_none() {
            return Ok(true);
        }
        let mut choices = clip(&choices, &task);
        let mut warm = clip(&warm, &task);
        loop {
            if self.left == 0 {
                return Err(Halt::Granted);
            }
            self.left -= 1;
            let many = choices.len() as u64 * (lanes_take(N) - 1) / CHOICES_A_NODE;
            self.meter.spend(1 + many).map_err(Halt::Stop)?;
            let relaxed = relax(&task, &choices, warm, self.meter).map_err(Halt::Stop)?;
            warm = relaxed.active;
            let values = relaxed.values;
            let best = best(&task, &choices, &values);
            let demand = u128::from(task.wanted.worth(&values));
            let mut step = SearchStep {
                values,
                branch: None,
            };
            if exceeds(&task, &best, demand) {
                self.steps.push(step);
                return Ok(false);
            }
            if let Some(whole) = relaxed.whole {
                self.used.extend(whole);
                return Ok(true);
            }
            let least = least(&task, &best, demand);
            let stays = |c: &Choice<N>| {
                let worth = u128::from(c.counts.worth(&step.values));
                least[c.stock].is_some_and(|least| worth >= least)
            };
            choices.retain(stays);
            warm.retain(stays);
            let is_open = |c: &&Choice<N>| {
                let same = |o: &Choice<N>| (o.counts, o.stock) == (c.counts, c.stock);
                choices.iter().any(same)
            };
            let Some(branch) = relaxed.used.iter().find(is_open).copied() else {
                // Patterns went: the next linear program is another one.
                self.steps.push(step);
                continue;
            };
            step.branch = Some((branch.stock, branch.counts.in_lanes(task.lanes)));
            self.steps.push(step);
            let mut rest = task.clone();
            if rest.use_sheet(branch.stock) {
                rest.take(&branch);
                self.used.push(branch.id);
                if self.node(rest, choices.clone(), warm.clone())? {
                    return Ok(true);
                }
                self.used.pop();
            }
            // Where it is not used, nothing that gives less is needed either.
            let other =
                |c: &Choice<N>| c.stock != branch.stock || !c.counts.is_within(&branch.counts);
            choices.retain(other);
            warm.retain(other);
        }
    }
}

impl<const N: usize> Task<N> {
    /// What of a pattern is of use.
    fn clip(&self, choice: &Choice<N>) -> Counts<N> {
        let counts = choice.counts.clip(&self.wanted);
        let alike = self.alike.get(choice.stock);
        alike.map_or(counts, |alike| counts.clip(alike))
    }

    /// Takes what a pattern gives from what is wanted.
    fn take(&mut self, choice: &Choice<N>) {
        let counts = self.clip(choice);
        self.wanted = counts.take_from(&self.wanted);
        if let Some(alike) = self.alike.get_mut(choice.stock) {
            *alike = counts.take_from(alike);
        }
    }

    /// Takes one sheet of the stock; false if that is not possible.
    pub fn use_sheet(&mut self, stock: usize) -> bool {
        let sheets = &mut self.sheets[stock];
        let Some(budget) = self.budget.checked_sub(sheets.cost) else {
            return false;
        };
        if let Some(count) = &mut sheets.count {
            if *count == 0 {
                return false;
            }
            *count -= 1;
        }
        self.budget = budget;
        true
    }
}

/// Patterns without what is no longer wanted, each once.
fn clip<const N: usize>(choices: &[Choice<N>], task: &Task<N>) -> Vec<Choice<N>> {
    let mut clipped: Vec<Choice<N>> = choices
        .iter()
        .map(|c| Choice {
            counts: task.clip(c),
            ..*c
        })
        .filter(|c| !c.counts.is_none())
        .collect();
    clipped.sort_by_key(|c| (c.stock, c.counts, c.id));
    clipped.dedup_by_key(|c| (c.stock, c.counts));
    if clipped.len() <= 2_000 {
        // Those with most pieces first, so that what covers comes before what is covered.
        clipped.sort_by_cached_key(|c| (Reverse(c.counts.pieces()), c.stock, c.counts));
        let mut kept: Vec<Choice<N>> = Vec::with_capacity(clipped.len());
        for c in clipped {
            let covers = |k: &Choice<N>| k.stock == c.stock && c.counts.is_within(&k.counts);
            if !kept.iter().any(covers) {
                kept.push(c);
            }
        }
        return kept;
    }
    clipped
}

struct Relaxed<const N: usize> {
    values: Vec<u64>,
    /// Patterns that the linear program has looked at closely.
    active: Vec<Choice<N>>,
    /// A plan, if its amounts are whole.
    whole: Option<Vec<usize>>,
    /// Patterns that the optimum uses, most first.
    used: Vec<Choice<N>>,
}

/// The linear program over the choices; columns come in as they are found to save cost.
fn relax<const N: usize>(
    task: &Task<N>,
    choices: &[Choice<N>],
    mut active: Vec<Choice<N>>,
    meter: &mut Meter,
) -> Result<Relaxed<N>, Stop> {
    let wanted = task.wanted.in_lanes(task.lanes);
    let (places, limited) = bound::limited(&task.sheets);
    let dearest = task.sheets.iter().map(|s| s.cost).max().unwrap_or(1);
    let mut master = Master::new(&wanted, &limited, dearest);
    let add = |master: &mut Master, c: &Choice<N>| {
        let counts = c.counts.in_lanes(task.lanes);
        master.add(&counts, places[c.stock], task.sheets[c.stock].cost);
    };
    for choice in &active {
        add(&mut master, choice);
    }
    let mut optimum = master.optimise(10_000, meter)?;
    for _ in 0..200 {
        meter.look()?;
        // The patterns that save most, a few at once.
        let mut saves: Vec<(u64, usize)> = Vec::new();
        for (at, choice) in choices.iter().enumerate() {
            let worth = choice.counts.worth(&optimum.values);
            let rent = places[choice.stock].map_or(0, |place| optimum.rents[place]);
            let price = task.sheets[choice.stock].cost * ONE + rent;
            if worth > price + price / 100_000 {
                saves.push((worth - price, at));
            }
        }
        if saves.is_empty() {
            break;
        }
        saves.sort_by_key(|&(saved, at)| (Reverse(saved), at));
        for &(_, at) in saves.iter().take(8) {
            add(&mut master, &choices[at]);
            active.push(choices[at]);
        }
        optimum = master.optimise(10_000, meter)?;
    }
    let is_whole = |amount: u64| amount % ONE < ONE / 10_000 || amount % ONE > ONE - ONE / 10_000;
    let mut whole = None;
    if !optimum.misses && optimum.amounts.iter().all(|&(_, x)| is_whole(x)) {
        let mut plan = Vec::new();
        let mut rest = task.clone();
        let mut fits = true;
        for &(column, amount) in &optimum.amounts {
            for _ in 0..(amount + ONE / 2) / ONE {
                fits &= rest.use_sheet(active[column].stock);
                rest.take(&active[column]);
                plan.push(active[column].id);
            }
        }
        whole = (fits && rest.wanted.is_none()).then_some(plan);
    }
    let used = optimum.amounts.iter().map(|&(column, _)| active[column]);
    Ok(Relaxed {
        used: used.collect(),
        values: optimum.values,
        active,
        whole,
    })
}

/// What a pattern of each stock must be worth to be in any plan within the budget; `None` if no
/// sheet of it can be.
fn least<const N: usize>(task: &Task<N>, best: &[u64], demand: u128) -> Vec<Option<u128>> {
    let each = (0..task.sheets.len()).map(|stock| {
        let mut rest = task.clone();
        let holds = rest
            .use_sheet(stock)
            .then(|| most_worth(&rest.sheets, best, rest.budget))?;
        Some(demand.saturating_sub(holds))
    });
    each.collect()
}

/// The most that a sheet of each stock is worth among the choices.
fn best<const N: usize>(task: &Task<N>, choices: &[Choice<N>], values: &[u64]) -> Vec<u64> {
    let mut best = vec![0; task.sheets.len()];
    for choice in choices {
        let worth = choice.counts.worth(values);
        best[choice.stock] = worth.max(best[choice.stock]);
    }
    best
}

/// Whether no sheets within the budget are worth the demand together.
fn exceeds<const N: usize>(task: &Task<N>, best: &[u64], demand: u128) -> bool {
    most_worth(&task.sheets, best, task.budget) < demand
}
