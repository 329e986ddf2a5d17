//! Photos that keep their order: the best plan for the photos from one on in the places from one on,
//! from the last to the first.

use super::problem::{Number, Places, Problem};

#[derive(Clone, Copy)]
enum Step {
    Put,
    LeaveOut,
    Skip,
}

/// The cheapest plan in order; `None` if no plan keeps every must.
pub fn in_order<T: Number>(problem: &Problem<T>) -> Option<Places> {
    let (photos, places) = (problem.costs.len(), problem.pages.len());
    let pairs = problem.pairs.iter();
    let pairs: Vec<(usize, usize)> = pairs.map(|(a, b)| (*a.min(b), *a.max(b))).collect();
    // While the second of a pair is to come, its opening may not be left.
    let waits = |next: usize| pairs.iter().any(|(a, b)| *a < next && next <= *b);
    let ends = |place: usize| {
        let after = problem.pages.get(place + 1).map(|page| page.opening);
        after != Some(problem.pages[place].opening)
    };
    let mut best: Vec<Option<T>> = vec![Some(T::zero()); places + 1];
    let mut steps = vec![vec![Step::Skip; places + 1]; photos];
    for photo in (0..photos).rev() {
        let first = pairs.iter().any(|(a, _)| *a == photo);
        let second = pairs.iter().any(|(_, b)| *b == photo);
        let must = first || second || problem.out[photo].is_none();
        let (held, held_after) = (waits(photo), waits(photo + 1));
        let mut now: Vec<Option<T>> = vec![None; places + 1];
        for place in (0..=places).rev() {
            let mut least: Option<(T, Step)> = None;
            let mut offer = |cost: Option<T>, step: Step| {
                if let Some(cost) = cost
                    && least.as_ref().is_none_or(|(best, _)| cost < *best)
                {
                    least = Some((cost, step));
                }
            };
            if let Some(page) = problem.pages.get(place) {
                let sides = (!first || !page.right) && (!second || page.right);
                let leaves = ends(place);
                if sides && !(leaves && held_after) {
                    let cost = problem.costs[photo][place].clone();
                    let rest = best[place + 1].clone();
                    offer(cost.zip(rest).map(|(a, b)| a + b), Step::Put);
                }
                if !(leaves && held) {
                    offer(now[place + 1].clone(), Step::Skip);
                }
            }
            if !must {
                let rest = best[place].clone();
                offer(
                    rest.map(|rest| problem.left_out(photo) + rest),
                    Step::LeaveOut,
                );
            }
            if let Some((cost, step)) = least {
                now[place] = Some(cost);
                steps[photo][place] = step;
            }
        }
        best = now;
    }
    best.first()?.as_ref()?;
    let (mut photo, mut place) = (0, 0);
    let mut plan = vec![None; photos];
    while photo < photos {
        match steps[photo][place] {
            Step::Put => {
                plan[photo] = Some(place);
                (photo, place) = (photo + 1, place + 1);
            }
            Step::LeaveOut => photo += 1,
            Step::Skip => place += 1,
        }
    }
    Some(plan)
}
