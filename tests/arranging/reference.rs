//! The plainest way: every plan there is, each judged on its own.

use num_rational::Ratio;
use num_traits::Zero;
use tuckwright::arrange::Photo;
use tuckwright::arrange::photos::Wanted;
use tuckwright::plan::openings::PhotoSpot;

/// What a plan is worth, first things first: photos without a place, too coarse ones, the worst where
/// that is asked for, the sum of what is cut off, and the sum of what places become smaller.
pub type Worth = (usize, usize, Ratio<i128>, Ratio<i128>, Ratio<i128>);

/// The best of all plans; `None` if none keeps what must hold.
pub fn best(photos: &[Photo], spots: &[PhotoSpot], wanted: &Wanted) -> Option<Worth> {
    let mut plan = vec![None; photos.len()];
    let mut best = None;
    every(&mut plan, 0, spots.len(), &mut |plan| {
        if let Some(worth) = worth(photos, spots, wanted, plan)
            && best.is_none_or(|known| worth < known)
        {
            best = Some(worth);
        }
    });
    best
}

fn every(
    plan: &mut Vec<Option<usize>>,
    at: usize,
    spots: usize,
    judge: &mut dyn FnMut(&[Option<usize>]),
) {
    if at == plan.len() {
        return judge(plan);
    }
    plan[at] = None;
    every(plan, at + 1, spots, judge);
    for spot in 0..spots {
        if !plan[..at].contains(&Some(spot)) {
            plan[at] = Some(spot);
            every(plan, at + 1, spots, judge);
        }
    }
    plan[at] = None;
}

/// What a plan is worth; `None` if it breaks something.
pub fn worth(
    photos: &[Photo],
    spots: &[PhotoSpot],
    wanted: &Wanted,
    plan: &[Option<usize>],
) -> Option<Worth> {
    let placed: Vec<usize> = plan.iter().flatten().copied().collect();
    if !wanted.free && !placed.is_sorted() {
        return None;
    }
    for (photo, spot) in &wanted.stays {
        if plan[*photo] != Some(*spot) {
            return None;
        }
    }
    for (a, b) in &wanted.facing {
        let (a, b) = (&spots[plan[*a]?], &spots[plan[*b]?]);
        if a.opening != b.opening || a.right == b.right {
            return None;
        }
    }
    let (mut coarse, mut worst, mut sum) = (0, Ratio::zero(), Ratio::zero());
    let mut shrunk = Ratio::zero();
    for (photo, spot) in plan.iter().enumerate() {
        let Some(spot) = spot else { continue };
        let ((across, up), at) = (photos[photo].sides.clone().ok()?, &spots[*spot]);
        let mut sizes = vec![(at.width, at.height)];
        sizes.extend(wanted.sizes.get(&(photo, *spot)).into_iter().flatten());
        let mut ways = Vec::new();
        for (width, height) in &sizes {
            for turned in [false, true] {
                let (across, up) = if turned { (up, across) } else { (across, up) };
                let (wide, high) = (i128::from(width.nm()), i128::from(height.nm()));
                let (across, up) = (i128::from(across), i128::from(up));
                let (a, b) = (across * high, up * wide);
                let off = Ratio::new(a.max(b) - a.min(b), a.max(b));
                // Filled: the side that is not cut off is spread over the place's whole side.
                let inch = 25_400_000;
                let fine = Ratio::new(across * inch, wide).min(Ratio::new(up * inch, high));
                let least = wanted.coarsest.unwrap_or(0);
                let short = photos[photo].pixels && fine < Ratio::from_integer(least.into());
                let was = i128::from(at.width.nm()) * i128::from(at.height.nm());
                let smaller = Ratio::new((was - wide * high).max(0), was);
                if !turned || wanted.turn {
                    ways.push((usize::from(short), off, smaller));
                }
            }
        }
        let (short, off, smaller) = ways.into_iter().min()?;
        coarse += short;
        worst = off.max(worst);
        sum += off;
        shrunk += smaller;
    }
    let out = plan.len() - placed.len();
    let worst = if wanted.worst { worst } else { Ratio::zero() };
    Some((out, coarse, worst, sum, shrunk))
}
