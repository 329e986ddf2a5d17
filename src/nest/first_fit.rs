//! First-fit decreasing on shelves: the plain way of cutting that the answer is compared with, and
//! the first plan of the search.
//!
//! Pieces go in the order of their height, the tallest first, each onto the first strip and the
//! first sheet with room for it. Sheets are filled one after the other, which gives the same plan,
//! and a sheet that can be repeated is repeated, so that a million pieces take no longer.

use super::answer::{Cutting, Divides, Part};
use super::build::{place, stack};
use super::job::{Job, Stock};
use super::limits::Meter;

/// Ways of laying pieces that are looked at for one plan: a few seconds. Each round cuts a piece.
const MOST_LOOKS: u64 = 1_000_000_000;
/// Ways that are looked at whatever the limits say, so that there is a plan at once: well under a millisecond.
const FREE_LOOKS: u64 = 50_000;

/// A plan, or `None` if the sheets run out (or the spread over papers gets in the way), or if a limit
/// was met and the job is so large that a plan takes long.
pub(super) fn first_fit(job: &Job, meter: &mut Meter) -> Option<Vec<Cutting>> {
    let both = [Divides::Height, Divides::Width];
    let plans = both
        .into_iter()
        .filter_map(|divides| plan(job, divides, &mut Looks { done: 0, meter }));
    plans.min_by_key(|plan| {
        let each = plan.iter().map(|c| c.times * job.stocks[c.stock].cost);
        each.sum::<u64>()
    })
}

/// Ways of laying pieces that were looked at.
struct Looks<'a, 'm> {
    done: u64,
    meter: &'a mut Meter<'m>,
}

impl Looks<'_, '_> {
    /// Looks at more; `None` if these are too many.
    fn take(&mut self, looks: u64) -> Option<()> {
        self.done = self.done.saturating_add(looks);
        if self.done > FREE_LOOKS {
            self.meter.look().ok()?;
        }
        (self.done <= MOST_LOOKS).then_some(())
    }
}

fn plan(job: &Job, divides: Divides, looks: &mut Looks) -> Option<Vec<Cutting>> {
    let mut wanted: Vec<u64> = job.pieces.iter().map(|p| p.count).collect();
    let mut sheets: Vec<Option<u64>> = job.stocks.iter().map(|s| s.count).collect();
    let alike: Vec<u64> = job.pieces.iter().map(most_alike).collect();
    let mut alike = vec![alike; job.stocks.len()];
    let mut cuttings = Vec::new();
    while wanted.iter().any(|&w| w > 0) {
        // The stock that gives the most area for its cost.
        let mut best: Option<(u128, u64, usize, Part, Vec<u64>)> = None;
        for (at, stock) in job.stocks.iter().enumerate() {
            if sheets[at] == Some(0) {
                continue;
            }
            let capped = wanted.iter().zip(&alike[at]).map(|(w, a)| *w.min(a));
            let sheet = fill(job, stock, capped.collect(), divides, looks)?;
            let mut counts = vec![0; wanted.len()];
            sheet.count(&mut counts);
            let area = job.pieces.iter().zip(&counts);
            let area: u128 = area
                .map(|(p, &c)| u128::from(p.width * p.height) * u128::from(c))
                .sum();
            let better = best.as_ref().is_none_or(|(most, cost, ..)| {
                area * u128::from(*cost) > most * u128::from(stock.cost)
            });
            if area > 0 && better {
                best = Some((area, stock.cost, at, sheet, counts));
            }
        }
        let (_, _, stock, sheet, counts) = best?;
        let each = counts.iter().enumerate().filter(|&(_, &c)| c > 0);
        let fits = each.map(|(p, &c)| wanted[p].min(alike[stock][p]) / c);
        let times = fits.min().unwrap_or(1);
        let times = times.min(sheets[stock].unwrap_or(u64::MAX));
        for (piece, count) in counts.iter().enumerate() {
            wanted[piece] -= count * times;
            alike[stock][piece] -= count * times;
        }
        if let Some(left) = &mut sheets[stock] {
            *left -= times;
        }
        cuttings.push(Cutting {
            stock,
            times,
            sheet,
        });
    }
    Some(cuttings)
}

fn most_alike(piece: &super::job::Piece) -> u64 {
    piece.most_alike.unwrap_or(u64::MAX)
}

/// A way of laying a piece, seen with the strips across.
struct Way {
    piece: usize,
    turned: bool,
    /// Along the strip, and how high the strip must be (ticks).
    along: u64,
    high: u64,
}

/// One sheet, filled with strips; `wanted` is how many of each piece may be used.
fn fill(
    job: &Job,
    stock: &Stock,
    mut wanted: Vec<u64>,
    divides: Divides,
    looks: &mut Looks,
) -> Option<Part> {
    let Some((width, height)) = stock.trimmed() else {
        return Some(stock.whole());
    };
    let swap = |w: u64, h: u64| match divides {
        Divides::Height => (w, h),
        Divides::Width => (h, w),
    };
    let (long, mut left) = swap(width, height);
    let mut ways = Vec::new();
    for (piece, p) in job.pieces.iter().enumerate() {
        for (w, h, turned) in p.ways(stock) {
            let (along, high) = swap(w, h);
            ways.push(Way {
                piece,
                turned,
                along,
                high,
            });
        }
    }
    ways.sort_by_key(|w| std::cmp::Reverse((w.high, w.along)));
    looks.take(ways.len() as u64)?;
    let mut strips = Vec::new();
    let mut from = 0;
    while let Some(first) = (from..ways.len()).find(|&at| {
        let way = &ways[at];
        wanted[way.piece] > 0
            && way.high <= left
            && way.along <= long
            && job.holds(left - way.high)
            && job.holds(long - way.along)
    }) {
        looks.take(ways.len() as u64)?;
        from = first;
        let high = ways[first].high;
        let mut parts = Vec::new();
        let mut room = long;
        for way in &ways[first..] {
            if !job.holds(high - way.high) {
                continue;
            }
            while wanted[way.piece] > 0 && way.along <= room && job.holds(room - way.along) {
                wanted[way.piece] -= 1;
                room = (room - way.along).saturating_sub(job.gap);
                let (size, whole) = (swap(way.along, way.high), swap(way.along, high));
                parts.push(place(way.piece, way.turned, size, whole, divides, job.gap));
                if room == 0 {
                    break;
                }
            }
        }
        let whole = swap(long, high);
        strips.push(stack(whole.0, whole.1, divides.other(), job.gap, parts));
        left = (left - high).saturating_sub(job.gap);
        if left == 0 {
            break;
        }
    }
    Some(stack(width, height, divides, job.gap, strips))
}

#[cfg(test)]
mod tests {
    use super::super::job::{Piece, Stages, Trim};
    use super::super::limits::Limits;
    use super::super::verify::verify_cuttings;
    use super::*;
    use std::sync::atomic::AtomicBool;
    use std::time::Duration;

    /// Pieces of so many sizes, one of each.
    fn job(kinds: u64) -> Job {
        let piece = |n: u64| Piece {
            name: String::new(),
            width: 60 + n % 37,
            height: 40 + n,
            count: 1,
            turn: n.is_multiple_of(2),
            value: None,
            most_alike: None,
        };
        Job {
            pieces: (0..kinds).map(piece).collect(),
            stocks: vec![Stock {
                name: String::new(),
                width: 1_200,
                height: 1_200,
                count: None,
                cost: 1,
                turn: true,
                trim: Trim::default(),
            }],
            stages: Stages::Two,
            gap: 1,
            narrowest: 0,
        }
    }

    /// A small job has its plain plan at once; a large one asks whether anybody waits.
    #[test]
    fn a_long_plan_ends_where_a_limit_is_met() {
        let stop = AtomicBool::new(true);
        let plain = Limits::default();
        let over = [
            Limits {
                clock: Duration::ZERO,
                ..plain
            },
            Limits {
                cancel: Some(&stop),
                ..plain
            },
        ];
        for (kinds, long) in [(30, false), (1_000, true)] {
            let job = job(kinds);
            let free = first_fit(&job, &mut Meter::new(&plain)).expect("a plan");
            assert!(verify_cuttings(&job, &free).is_ok());
            for limits in &over {
                let met = first_fit(&job, &mut Meter::new(limits));
                assert_eq!(met.is_none(), long, "{kinds}");
            }
        }
    }
}
