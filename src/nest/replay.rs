//! Replays the certificates that rest on a search: finds all patterns that are worth enough by
//! itself, then follows the steps and does their sums. Shares no code with the search.

use super::answer::{Claim, SearchStep};
use super::cells::{Be, Sheet};
use super::job::Job;
use super::points::{CheckError, Steps, lain, sheets, steps_suffice, value_for};
use std::collections::HashSet;

/// How often each group comes.
type Counts = Box<[u64]>;

/// The most patterns, partial ones included, that are held at once.
const MOST_PATTERNS: usize = 1_500_000;
/// The most pairs of patterns that are put together for one stock, and what each takes of the steps.
const MOST_PAIRS: usize = 60_000_000;
const STEPS_A_PAIR: u64 = 50;
/// What a pattern takes at each step of the search, for each group.
const STEPS_A_COUNT: u64 = 4;
/// The most counts of patterns that are held at once, eight bytes each.
const MOST_COUNTS: usize = 40_000_000;

/// The most cost for which sheets are counted one by one.
const COUNTED: u64 = 4_000;

/// What a certificate with a search says, its lengths checked.
pub(super) struct Searched<'a> {
    pub groups: &'a [Vec<usize>],
    pub values: &'a [u64],
    pub best: &'a [u64],
    pub steps: &'a [SearchStep],
}

/// What is left on the way: sheets, the budget for them, what is wanted, and what may be used.
#[derive(Clone)]
struct State {
    /// For each stock: cost and how many there are.
    sheets: Vec<(u64, u64)>,
    budget: u64,
    wanted: Vec<u64>,
    /// Stock and counts.
    patterns: Vec<(usize, Counts)>,
}

/// Whether the search shows that everything cheaper than the claim is impossible.
pub(super) fn replay(
    job: &Job,
    searched: &Searched<'_>,
    claim: Claim,
    limit: &mut Steps,
) -> Result<(), CheckError> {
    let budget = match claim {
        Claim::CostsAtLeast(0) => return Ok(()),
        Claim::CostsAtLeast(least) => least - 1,
        // All sheets at hand do not suffice.
        Claim::NotEnough => all_sheets(job)?,
    };
    let wanted = groups(job, searched.groups)?;
    let mut state = State {
        sheets: sheets(job),
        budget,
        wanted,
        patterns: Vec::new(),
    };
    let demand = worth(searched.values, &state.wanted);
    for stock in 0..job.stocks.len() {
        let (across, down, _) = lain(job, &job.stocks[stock], &vec![0; job.pieces.len()])?;
        steps_suffice(&across, &down, limit)?;
        let best = searched.best[stock];
        // What the sheets beside this one hold: none of its stock may be left for it.
        let enough = match state.without(stock) {
            Some(rest) => demand.saturating_sub(rest.holds(searched.best)?),
            None => u128::from(best) + 1,
        };
        let enough = u64::try_from(enough).unwrap_or(u64::MAX);
        let least = enough.min(best.saturating_add(1));
        for counts in patterns(job, stock, searched, &state.wanted, least, limit)? {
            let own = worth(searched.values, &counts);
            if own > u128::from(best) {
                return Err(CheckError::HoldsMore {
                    stock,
                    holds: u64::try_from(own).unwrap_or(u64::MAX),
                });
            }
            if own >= u128::from(enough) {
                state.patterns.push((stock, counts));
            }
        }
    }
    let mut steps = searched.steps.iter();
    follow(state, &mut steps, limit)?;
    match steps.next() {
        None => Ok(()),
        Some(_) => Err(CheckError::DoesNotFollow),
    }
}

/// How many of each group are wanted, if its members are the same to every stock.
fn groups(job: &Job, groups: &[Vec<usize>]) -> Result<Vec<u64>, CheckError> {
    let mut seen = vec![false; job.pieces.len()];
    let mut wanted = Vec::with_capacity(groups.len());
    for group in groups {
        let mut count = 0u64;
        let Some(first) = group.first().and_then(|&p| job.pieces.get(p)) else {
            return Err(CheckError::WrongGroups);
        };
        for &member in group {
            let Some(piece) = job.pieces.get(member).filter(|_| !seen[member]) else {
                return Err(CheckError::WrongGroups);
            };
            let same = job.stocks.iter().all(|stock| {
                let sizes = |p: &super::job::Piece| {
                    let mut sizes: Vec<_> = p.ways(stock).map(|(w, h, _)| (w, h)).collect();
                    sizes.sort_unstable();
                    sizes
                };
                sizes(piece) == sizes(first)
            });
            if !same {
                return Err(CheckError::WrongGroups);
            }
            seen[member] = true;
            count += piece.count;
        }
        wanted.push(count);
    }
    if seen.iter().all(|&s| s) {
        Ok(wanted)
    } else {
        Err(CheckError::WrongGroups)
    }
}

fn worth(values: &[u64], counts: &[u64]) -> u128 {
    let each = values.iter().zip(counts);
    each.map(|(&v, &c)| u128::from(v) * u128::from(c)).sum()
}

/// What all sheets at hand cost together, if there is an end to them.
fn all_sheets(job: &Job) -> Result<u64, CheckError> {
    let mut sum = 0u64;
    for stock in &job.stocks {
        let count = stock.count.ok_or(CheckError::DoesNotFollow)?;
        let cost = stock.cost.checked_mul(count).ok_or(CheckError::Overflow)?;
        sum = sum.checked_add(cost).ok_or(CheckError::Overflow)?;
    }
    Ok(sum)
}

impl State {
    /// With one sheet of the stock less; `None` if there is none, or it costs too much.
    fn without(&self, stock: usize) -> Option<State> {
        let (cost, count) = self.sheets[stock];
        let budget = self.budget.checked_sub(cost)?;
        let count = count.checked_sub(1)?;
        let mut rest = State {
            sheets: self.sheets.clone(),
            budget,
            wanted: Vec::new(),
            patterns: Vec::new(),
        };
        rest.sheets[stock].1 = count;
        Some(rest)
    }

    /// Sheets within the budget hold no more than this, if one of each stock holds `best`.
    fn holds(&self, best: &[u64]) -> Result<u128, CheckError> {
        value_for(&self.sheets, best, self.budget, COUNTED)
    }

    /// Patterns lose what is no longer wanted; each stays once.
    fn clip(&mut self) {
        let mut seen = HashSet::new();
        let patterns = std::mem::take(&mut self.patterns);
        for (stock, mut counts) in patterns {
            for (count, wanted) in counts.iter_mut().zip(&self.wanted) {
                *count = (*count).min(*wanted);
            }
            if counts.iter().any(|&c| c > 0) && seen.insert((stock, counts.clone())) {
                self.patterns.push((stock, counts));
            }
        }
    }
}

/// Follows the steps of one node to its end. Depth is the number of sheets.
fn follow(
    mut state: State,
    steps: &mut std::slice::Iter<'_, SearchStep>,
    limit: &mut Steps,
) -> Result<(), CheckError> {
    state.clip();
    loop {
        let counts = (state.patterns.len() + 1) * (state.wanted.len() + 1);
        limit.count(STEPS_A_COUNT * counts as u64)?;
        let step = steps.next().ok_or(CheckError::DoesNotFollow)?;
        if step.values.len() != state.wanted.len() {
            return Err(CheckError::WrongLength);
        }
        let mut best = vec![0u64; state.sheets.len()];
        for (stock, counts) in &state.patterns {
            let own = u64::try_from(worth(&step.values, counts));
            best[*stock] = best[*stock].max(own.map_err(|_| CheckError::Overflow)?);
        }
        let demand = worth(&step.values, &state.wanted);
        if state.holds(&best)? < demand {
            return match step.branch {
                None => Ok(()),
                Some(_) => Err(CheckError::DoesNotFollow),
            };
        }
        // Patterns worth less than this leave too much for the other sheets.
        let enough = (0..best.len()).map(|stock| {
            let holds = state.without(stock).map(|rest| rest.holds(&best));
            Ok(holds.transpose()?.map(|h| demand.saturating_sub(h)))
        });
        let enough = enough.collect::<Result<Vec<Option<u128>>, CheckError>>()?;
        let stays = |(stock, counts): &(usize, Counts)| {
            enough[*stock].is_some_and(|enough| worth(&step.values, counts) >= enough)
        };
        state.patterns.retain(stays);
        let Some((stock, counts)) = &step.branch else {
            continue;
        };
        // Either some sheet is cut so, or none is; and where none is, none is cut so that it gives
        // even less.
        if *stock >= state.sheets.len() || counts.len() != state.wanted.len() {
            return Err(CheckError::WrongLength);
        }
        if let Some(mut rest) = state.without(*stock) {
            let each = state.wanted.iter().zip(counts);
            rest.wanted = each.map(|(w, c)| w.saturating_sub(*c)).collect();
            rest.patterns.clone_from(&state.patterns);
            follow(rest, steps, limit)?;
        }
        let within = |own: &[u64]| own.iter().zip(counts).all(|(own, c)| own <= c);
        state.patterns.retain(|(s, own)| s != stock || !within(own));
    }
}

/// All ways of using one sheet that are worth at least so much, no group more often than it is
/// wanted; those that another covers may be missing.
fn patterns(
    job: &Job,
    stock: usize,
    searched: &Searched<'_>,
    wanted: &[u64],
    least: u64,
    limit: &mut Steps,
) -> Result<Vec<Counts>, CheckError> {
    let sheet = Sheet::new(job, stock, searched.groups, searched.values)?;
    let most = sheet.most();
    let floor = sheet.floors(least, &most);
    let most_pairs = (limit.counts / STEPS_A_PAIR).min(MOST_PAIRS as u64) as usize;
    let most_held = MOST_PATTERNS.min(MOST_COUNTS / (wanted.len() + 4));
    let (mut held, mut pairs) = (0usize, 0usize);
    let mut sets: Vec<Vec<(u64, Counts)>> = vec![Vec::new(); sheet.size()];
    for cell in sheet.cells() {
        let place = sheet.place(cell);
        let own = floor[place];
        if own > most[place] {
            continue;
        }
        let mut seen: HashSet<Counts> = HashSet::new();
        let mut offer = |counts: Counts| {
            if worth(searched.values, &counts) >= u128::from(own) {
                seen.insert(counts);
            }
        };
        sheet.each(cell, |be| match be {
            _ if pairs > most_pairs => {}
            Be::Piece(at) => {
                let mut counts = vec![0; wanted.len()];
                counts[sheet.lain[at].1] = 1;
                offer(counts.into());
            }
            Be::Same(other) => {
                for (_, counts) in &sets[sheet.place(other)] {
                    offer(counts.clone());
                }
            }
            Be::Pair(a, b) => {
                for (in_a, a) in &sets[sheet.place(a)] {
                    for (in_b, b) in &sets[sheet.place(b)] {
                        if in_a + in_b < own {
                            break;
                        }
                        pairs += 1;
                        if pairs > most_pairs {
                            return;
                        }
                        let sum = a.iter().zip(b).zip(wanted);
                        offer(sum.map(|((a, b), w)| (a + b).min(*w)).collect());
                    }
                }
            }
        });
        held += seen.len();
        if held > most_held || pairs > most_pairs {
            return Err(CheckError::TooMany);
        }
        let each = seen.into_iter().map(|counts| {
            let value = u64::try_from(worth(searched.values, &counts)).unwrap_or(u64::MAX);
            (value, counts)
        });
        sets[place] = uncovered(each.collect());
    }
    limit.count(STEPS_A_PAIR * pairs as u64)?;
    let whole = sheet
        .whole()
        .flat_map(|place| std::mem::take(&mut sets[place]));
    let mut all: Vec<(u64, Counts)> = whole.collect();
    all.retain(|(value, _)| *value >= least);
    let all = uncovered(all).into_iter();
    Ok(all.map(|(_, counts)| counts).collect())
}

/// In the order of falling value. Where there are few, without those that give nothing that another
/// does not give too.
fn uncovered(mut all: Vec<(u64, Counts)>) -> Vec<(u64, Counts)> {
    let pieces = |counts: &Counts| counts.iter().sum::<u64>();
    all.sort_by(|a, b| {
        let ahead = (b.0, pieces(&b.1)).cmp(&(a.0, pieces(&a.1)));
        ahead.then_with(|| a.1.cmp(&b.1))
    });
    if all.len() > 1_500 {
        return all;
    }
    let mut kept: Vec<(u64, Counts)> = Vec::with_capacity(all.len());
    for (value, counts) in all {
        let covers = |k: &(u64, Counts)| counts.iter().zip(&k.1).all(|(own, k)| own <= k);
        if !kept.iter().any(covers) {
            kept.push((value, counts));
        }
    }
    kept
}
