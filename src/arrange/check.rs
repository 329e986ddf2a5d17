//! What a plan costs and that no plan costs less, worked out without the code that found it.

use super::problem::{Number, Page, Places, Problem, Proof, Way};
use std::collections::BTreeMap;

/// What a plan costs; `None` if it breaks something that must hold.
pub fn cost<T: Number>(problem: &Problem<T>, plan: &Places, in_order: bool) -> Option<T> {
    if plan.len() != problem.costs.len() {
        return None;
    }
    let mut sum = T::zero();
    let mut taken: Vec<usize> = Vec::new();
    for (photo, place) in plan.iter().enumerate() {
        let cost = match place {
            Some(place) if taken.contains(place) => return None,
            Some(place) if in_order && taken.last() >= Some(place) => return None,
            Some(place) => {
                taken.push(*place);
                problem.costs.get(photo)?.get(*place)?.clone()?
            }
            None => problem.out.get(photo)?.clone()?,
        };
        sum = sum + cost;
    }
    let page = |photo: usize| problem.pages.get((*plan.get(photo)?)?);
    for (a, b) in &problem.pairs {
        let (a, b) = (page(*a)?, page(*b)?);
        if a.opening != b.opening || a.right == b.right {
            return None;
        }
    }
    Some(sum)
}

/// What any plan in order costs at least, from the first photo on: for each place where the last one
/// may stand, and the opening that waits for the second of a pair. `None` if there is no such plan.
pub fn least_in_order<T: Number>(problem: &Problem<T>) -> Option<T> {
    type States<T> = BTreeMap<(usize, Option<i64>), T>;
    fn keep<T: Number>(states: &mut States<T>, key: (usize, Option<i64>), cost: T) {
        let known = states.entry(key).or_insert_with(|| cost.clone());
        if cost < *known {
            *known = cost;
        }
    }
    let ends = |photo: usize| problem.pairs.iter().any(|(a, b)| *a.max(b) == photo);
    let begins = |photo: usize| problem.pairs.iter().any(|(a, b)| *a.min(b) == photo);
    let mut states: States<T> = BTreeMap::from([((0, None), T::zero())]);
    for (photo, costs) in problem.costs.iter().enumerate() {
        let (begins, ends) = (begins(photo), ends(photo));
        let mut pairs = problem.pairs.iter();
        let waits = pairs.any(|(a, b)| *a.min(b) <= photo && photo < *a.max(b));
        let mut next = States::new();
        if let (Some(out), false) = (&problem.out[photo], begins || ends) {
            for (key, cost) in &states {
                keep(&mut next, *key, cost.clone() + out.clone());
            }
        }
        let mut known: BTreeMap<Option<i64>, T> = BTreeMap::new();
        let mut coming = states.iter().peekable();
        for (place, page) in problem.pages.iter().enumerate() {
            while let Some(((_, opening), cost)) = coming.next_if(|((from, _), _)| *from <= place) {
                let best = known.entry(*opening).or_insert_with(|| cost.clone());
                if *cost < *best {
                    *best = cost.clone();
                }
            }
            let side = (!begins || !page.right) && (!ends || page.right);
            let (Some(Some(here)), true) = (costs.get(place), side) else {
                continue;
            };
            for (opening, cost) in &known {
                if opening.is_none_or(|it| it == page.opening) {
                    let after = waits.then_some(page.opening);
                    keep(&mut next, (place + 1, after), cost.clone() + here.clone());
                }
            }
        }
        states = next;
    }
    states.into_values().min()
}

/// What a proof shows that any plan in any order costs at least; `None` if it shows nothing.
pub fn bound<T: Number>(problem: &Problem<T>, proof: &Proof<T>) -> Option<T> {
    below(problem, proof, &mut Vec::new())
}

fn below<T: Number>(
    problem: &Problem<T>,
    proof: &Proof<T>,
    decided: &mut Vec<(usize, Way)>,
) -> Option<T> {
    match proof {
        Proof::Open => None,
        Proof::Prices { photos, places } => {
            let counts = photos.len() == problem.costs.len() && places.len() == problem.pages.len();
            let lower = places.iter().all(|price| *price <= T::zero());
            let mut fits = counts && lower;
            for (photo, price) in photos.iter().enumerate() {
                let out = problem.out.get(photo)?.as_ref().unwrap_or(&problem.dear);
                fits &= *price <= *out;
                for (place, cost) in problem.costs.get(photo)?.iter().enumerate() {
                    if let Some(cost) = cost
                        && stands(problem, decided, photo, place)
                    {
                        fits &= price.clone() + places.get(place)?.clone() <= *cost;
                    }
                }
            }
            let all = photos.iter().chain(places);
            fits.then(|| all.fold(T::zero(), |sum, price| sum + price.clone()))
        }
        Proof::Pair { pair, ways } => {
            problem.pairs.get(*pair)?;
            let mut least = problem.dear.clone();
            for page in problem.pages.iter().filter(|page| !page.right) {
                let faces = |it: &Page| it.right && it.opening == page.opening;
                if !problem.pages.iter().any(faces) {
                    continue;
                }
                for first_right in [false, true] {
                    let opening = page.opening;
                    let way = Way {
                        opening,
                        first_right,
                    };
                    let (_, proof) = ways.iter().find(|(known, _)| *known == way)?;
                    decided.push((*pair, way));
                    let bound = below(problem, proof, decided);
                    decided.pop();
                    least = least.min(bound?);
                }
            }
            Some(least)
        }
    }
}

/// Whether a photo can stand in a place at all: one of a pair needs a page that faces it, and stands
/// where its pair was decided to.
fn stands<T>(problem: &Problem<T>, decided: &[(usize, Way)], photo: usize, place: usize) -> bool {
    let page = problem.pages[place];
    problem.pairs.iter().enumerate().all(|(n, (a, b))| {
        if photo != *a && photo != *b {
            return true;
        }
        let mut pages = problem.pages.iter();
        let faced = pages.any(|it| it.opening == page.opening && it.right != page.right);
        let mut ways = decided.iter().filter(|(pair, _)| *pair == n);
        let right = |way: &Way| way.first_right == (photo == *a);
        faced && ways.all(|(_, way)| page.opening == way.opening && page.right == right(way))
    })
}
