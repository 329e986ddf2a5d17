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

/// No sheets within the budget are worth more together; a part of a sheet counts where stocks
/// differ.
pub(super) fn most_worth(sheets: &[Sheets], best: &[u64], budget: u64) -> u128 {
    let most = |s: &Sheets, budget: u64| s.count.unwrap_or(u64::MAX).min(budget / s.cost);
    if let ([sheets], [best]) = (sheets, best) {
        return u128::from(*best) * u128::from(most(sheets, budget));
    }
    let mut order: Vec<usize> = (0..sheets.len()).collect();
    let by_cost = |a: usize, b: usize| u128::from(best[a]) * u128::from(sheets[b].cost);
    order.sort_by(|&a, &b| by_cost(b, a).cmp(&by_cost(a, b)));
    let (mut worth, mut left) = (0u128, budget);
    for at in order {
        let (own, holds) = (&sheets[at], u128::from(best[at]));
        let whole = most(own, left);
        worth += u128::from(whole) * holds;
        left -= whole * own.cost;
        if own.count.is_none_or(|count| whole < count) {
            return worth + (u128::from(left) * holds).div_ceil(u128::from(own.cost));
        }
    }
    worth
}

/// As [`least_cost`], in whole sheets; `None` if that is more than is counted.
fn counted(stocks: &[(u128, u128, u128)], demand: u128) -> Option<u64> {
    // What sheets of such a cost hold at most.
    let mut holds_for: Vec<u128> = vec![0];
    let all: u128 = stocks.iter().map(|s| s.0 * s.2).sum();
    let end = usize::try_from(all.min(u128::from(COUNTED))).ok()?;
    holds_for.resize(end + 1, 0);
    for &(cost, holds, most) in stocks {
        let cost = usize::try_from(cost).ok()?;
        let mut most = most.min((end / cost) as u128);
        let mut bundle = 1u128;
        while most > 0 {
            let take = bundle.min(most);
            let step = cost * usize::try_from(take).ok()?;
            for at in (step..=end).rev() {
                holds_for[at] = holds_for[at].max(holds_for[at - step] + take * holds);
            }
            most -= take;
            bundle *= 2;
        }
    }
    let least = holds_for.iter().position(|&holds| holds >= demand)?;
    u64::try_from(least).ok()
}
