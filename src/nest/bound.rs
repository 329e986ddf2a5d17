//! What the search proves, as certificates.

use super::answer::{Certificate, Claim, Reason};
use super::job::Job;

/// Each piece is worth the paper that it takes with one gap each way, and so is a sheet.
pub(super) fn by_area(job: &Job) -> Certificate {
    let grown = |w: u64, h: u64| (w + job.gap) * (h + job.gap);
    let values: Vec<u64> = job
        .pieces
        .iter()
        .map(|p| grown(p.width, p.height))
        .collect();
    let best = job.stocks.iter().map(|s| {
        let (w, h) = s.trimmed().unwrap_or((0, 0));
        grown(w, h)
    });
    follow(job, values, best.collect())
}

/// Sheets of one stock that may still be used.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Sheets {
    pub cost: u64,
    pub count: Option<u64>,
}

/// All sheets of a job.
pub(super) fn sheets(job: &Job) -> Vec<Sheets> {
    let each = job.stocks.iter();
    each.map(|s| Sheets {
        cost: s.cost,
        count: s.count,
    })
    .collect()
}

/// The place of each stock among the limited ones, and how many sheets of these there are.
pub(super) fn limited(sheets: &[Sheets]) -> (Vec<Option<usize>>, Vec<u64>) {
    let mut limited = Vec::new();
    let place = |sheets: &Sheets| {
        limited.push(sheets.count?);
        Some(limited.len() - 1)
    };
    (sheets.iter().map(place).collect(), limited)
}

/// The strongest claim that follows from these values and what a sheet of each stock holds of them.
pub(super) fn follow(job: &Job, values: Vec<u64>, best: Vec<u64>) -> Certificate {
    let each = job.pieces.iter().zip(&values);
    let demand: u128 = each
        .map(|(p, &v)| u128::from(p.count) * u128::from(v))
        .sum();
    let claim = match least_cost(&sheets(job), &best, demand) {
        Some(cost) => Claim::CostsAtLeast(cost),
        None => Claim::NotEnough,
    };
    let reason = Reason::Values { values, best };
    Certificate { claim, reason }
}

/// The most cost for which sheets are counted one by one; beyond, a part of a sheet counts too.
const COUNTED: u64 = 200_000;

/// The least cost of sheets that hold `demand` together; `None` if all sheets hold less.
pub(super) fn least_cost(sheets: &[Sheets], best: &[u64], demand: u128) -> Option<u64> {
    let unit = sheets
        .iter()
        .fold(0, |unit, s| num_integer::gcd(unit, s.cost));
    let mut stocks: Vec<(u128, u128, u128)> = sheets
        .iter()
        .zip(best)
        .filter(|&(_, &holds)| holds > 0)
        .map(|(s, &holds)| {
            let holds = u128::from(holds);
            let enough = demand.div_ceil(holds);
            let most = s.count.map_or(enough, |c| u128::from(c).min(enough));
            (u128::from(s.cost / unit), holds, most)
        })
        .collect();
    // The most value for its cost first.
    stocks.sort_by(|a, b| (b.1 * a.0).cmp(&(a.1 * b.0)));
    let (mut cost, mut left) = (0u128, demand);
    for &(each, holds, most) in &stocks {
        let whole = most.min(left / holds);
        left -= whole * holds;
        cost += whole * each;
        if left == 0 {
            break;
        }
        if whole < most {
            cost += (left * each).div_ceil(holds);
            left = 0;
            break;
        }
    }
    if left > 0 {
        return None;
    }
    let relaxed = u64::try_from(cost).ok()?;
    let counted = if relaxed < COUNTED / 2 {
        counted(&stocks, demand)
    } else {
        None
    };
    Some(counted.unwrap_or(relaxed) * unit)
}

/// The most cost for which a node of the search counts sheets one by one.
const COUNTED_IN_SEARCH: u64 = 4_000;

/// No sheets within the budget are worth more together; a part of a sheet counts too where stocks
/// differ and the numbers are large.
pub(super) fn most_worth(sheets: &[Sheets], best: &[u64], budget: u64) -> u128 {
    let unit = sheets
        .iter()
        .fold(0, |unit, s| num_integer::gcd(unit, s.cost));
    let budget = budget / unit.max(1);
    let count = |s: &Sheets| s.count.unwrap_or(u64::MAX);
    let cost = |s: &Sheets| s.cost / unit;
    if let ([sheets], [best]) = (sheets, best) {
        return u128::from(*best) * u128::from(count(sheets).min(budget));
    }
    if budget <= COUNTED_IN_SEARCH {
        let each = sheets.iter().zip(best);
        let stocks = each.map(|(s, &holds)| {
            let most = count(s).min(budget / cost(s));
            (u128::from(cost(s)), u128::from(holds), u128::from(most))
        });
        let stocks: Vec<(u128, u128, u128)> = stocks.collect();
        return held_for(&stocks, budget as usize).pop().unwrap_or(0);
    }
    let mut order: Vec<usize> = (0..sheets.len()).collect();
    let by_cost = |a: usize, b: usize| u128::from(best[a]) * u128::from(sheets[b].cost);
    order.sort_by(|&a, &b| by_cost(b, a).cmp(&by_cost(a, b)));
    let (mut worth, mut left) = (0u128, budget);
    for at in order {
        let (own, holds) = (&sheets[at], u128::from(best[at]));
        let whole = count(own).min(left / cost(own));
        worth += u128::from(whole) * holds;
        left -= whole * cost(own);
        if whole < count(own) {
            return worth + (u128::from(left) * holds).div_ceil(u128::from(cost(own)));
        }
    }
    worth
}

/// What sheets hold at most together, for each cost up to `end`.
fn held_for(stocks: &[(u128, u128, u128)], end: usize) -> Vec<u128> {
    let mut held = vec![0; end + 1];
    for &(cost, holds, most) in stocks {
        let mut most = most.min((end as u128) / cost);
        let mut bundle = 1u128;
        while most > 0 {
            let take = bundle.min(most);
            // At most `end`.
            let step = (cost * take) as usize;
            for at in (step..=end).rev() {
                held[at] = held[at].max(held[at - step] + take * holds);
            }
            most -= take;
            bundle *= 2;
        }
    }
    held
}

/// As [`least_cost`], in whole sheets; `None` if that is more than is counted.
fn counted(stocks: &[(u128, u128, u128)], demand: u128) -> Option<u64> {
    let all: u128 = stocks.iter().map(|s| s.0 * s.2).sum();
    let end = usize::try_from(all.min(u128::from(COUNTED))).ok()?;
    let held = held_for(stocks, end);
    let least = held.iter().position(|&holds| holds >= demand)?;
    u64::try_from(least).ok()
}
