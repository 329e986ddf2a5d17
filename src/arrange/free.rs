//! Photos in any order: an assignment (the Hungarian method, after Kuhn and Munkres, as shortest
//! augmenting paths), prices that prove it, and branches over the openings of pairs that face each other.

use super::problem::{Number, Places, Problem, Proof, Way};

/// Branches that are looked at before the best plan so far is the answer.
const MOST_NODES: usize = 5_000;

/// The best plan found and its proof.
#[derive(Clone, Debug)]
pub struct Found<T> {
    /// `None` if no plan gives a place to each photo that must have one.
    pub plan: Option<Places>,
    pub proof: Proof<T>,
}

/// The cheapest plan in any order.
pub fn any_order<T: Number>(problem: &Problem<T>, over: &dyn Fn() -> bool) -> Found<T> {
    let mut search = Search {
        problem,
        over,
        best: None,
        nodes: 0,
    };
    let proof = search.branch(&mut Vec::new());
    let best = search.best.filter(|(cost, _)| *cost < problem.dear);
    Found {
        plan: best.map(|(_, plan)| plan),
        proof,
    }
}

/// Whether a photo may stand in a place under what is decided of pairs.
fn allowed<T>(problem: &Problem<T>, decided: &[(usize, Way)], photo: usize, place: usize) -> bool {
    let page = problem.pages[place];
    decided.iter().all(|(pair, way)| {
        let (a, b) = problem.pairs[*pair];
        let stands = |right: bool| page.opening == way.opening && page.right == right;
        (photo != a || stands(way.first_right)) && (photo != b || stands(!way.first_right))
    })
}

/// Every way in which a pair can stand.
fn ways<T>(problem: &Problem<T>) -> Vec<Way> {
    let mut all = Vec::new();
    let lefts = problem.pages.iter().filter(|page| !page.right);
    for left in lefts {
        let faced = problem.pages.iter();
        let faced = faced.filter(|page| page.right && page.opening == left.opening);
        let opening = left.opening;
        let known = all.iter().any(|way: &Way| way.opening == opening);
        if faced.count() > 0 && !known {
            all.extend([false, true].map(|first_right| Way {
                opening,
                first_right,
            }));
        }
    }
    all
}

struct Search<'p, T> {
    problem: &'p Problem<T>,
    over: &'p dyn Fn() -> bool,
    /// Of plans that keep all pairs, or cost what is dear.
    best: Option<(T, Places)>,
    nodes: usize,
}

impl<T: Number> Search<'_, T> {
    fn branch(&mut self, decided: &mut Vec<(usize, Way)>) -> Proof<T> {
        self.nodes += 1;
        let problem = self.problem;
        if self.nodes > MOST_NODES {
            return Proof::Open;
        }
        let costs = costs(problem, decided);
        let Some((plan, photos, places)) = solve(problem, &costs, decided, self.over) else {
            return Proof::Open;
        };
        let total = sum(problem, &plan);
        let beaten = self.best.as_ref().is_some_and(|(best, _)| *best <= total);
        if beaten {
            return Proof::Prices { photos, places };
        }
        if total >= problem.dear {
            self.best = Some((total, plan));
            return Proof::Prices { photos, places };
        }
        let at = |photo: usize| Some(problem.pages[plan[photo]?]);
        let apart = problem.pairs.iter().position(|(a, b)| {
            let (a, b) = (at(*a), at(*b));
            let face = a
                .zip(b)
                .map(|(a, b)| a.opening == b.opening && a.right != b.right);
            face == Some(false)
        });
        let Some(pair) = apart else {
            self.best = Some((total, plan));
            return Proof::Prices { photos, places };
        };
        // First where one of the two stands already.
        let (a, b) = problem.pairs[pair];
        let near = [at(a), at(b)];
        let mut order = ways(problem);
        order.sort_by_key(|way| {
            let near = near.iter().flatten();
            let near = near.filter(|page| page.opening == way.opening).count();
            std::cmp::Reverse(near)
        });
        let mut tried = Vec::new();
        for way in order {
            decided.push((pair, way));
            // Held to one opening, the two may have higher prices: often that is proof enough.
            let mut raised = photos.clone();
            for photo in [a, b] {
                let open =
                    (0..places.len()).filter(|place| allowed(problem, decided, photo, *place));
                let open = open.filter_map(|place| {
                    Some((*costs[photo].get(place)?)?.clone() - places[place].clone())
                });
                raised[photo] = open.fold(problem.left_out(photo), T::min);
            }
            let bound = raised
                .iter()
                .chain(&places)
                .fold(T::zero(), |sum, price| sum + price.clone());
            let beaten = self.best.as_ref().is_some_and(|(best, _)| *best <= bound);
            let proof = match beaten {
                true => Proof::Prices {
                    photos: raised,
                    places: places.clone(),
                },
                false => self.branch(decided),
            };
            tried.push((way, proof));
            decided.pop();
        }
        Proof::Pair { pair, ways: tried }
    }
}

/// What a plan costs, with what is dear for each photo that must have a place and has none.
fn sum<T: Number>(problem: &Problem<T>, plan: &Places) -> T {
    let each = plan.iter().enumerate().map(|(photo, place)| match place {
        Some(place) => problem.costs[photo][*place]
            .clone()
            .unwrap_or_else(|| problem.dear.clone()),
        None => problem.left_out(photo),
    });
    each.fold(T::zero(), |sum, cost| sum + cost)
}

/// What each photo costs in each place that it may have under what is decided.
fn costs<'p, T>(problem: &'p Problem<T>, decided: &[(usize, Way)]) -> Vec<Vec<Option<&'p T>>> {
    let ways = ways(problem);
    // A photo of a pair stands where a page faces it, whatever is decided.
    let paired = |photo: usize| {
        problem
            .pairs
            .iter()
            .any(|(a, b)| *a == photo || *b == photo)
    };
    let faced = |place: usize| {
        let opening = problem.pages[place].opening;
        ways.iter().any(|way| way.opening == opening)
    };
    let faced: Vec<bool> = (0..problem.pages.len()).map(faced).collect();
    let row = |photo: usize| {
        let paired = paired(photo);
        let cost = |(place, cost): (usize, &'p Option<T>)| {
            let may = (!paired || faced[place]) && allowed(problem, decided, photo, place);
            cost.as_ref().filter(|_| may)
        };
        problem.costs[photo].iter().enumerate().map(cost).collect()
    };
    (0..problem.costs.len()).map(row).collect()
}

/// The cheapest plan without the pairs that are not decided, and exact prices of photos and places
/// that prove it; `None` if time is up.
fn solve<T: Number>(
    problem: &Problem<T>,
    exact: &[Vec<Option<&T>>],
    decided: &[(usize, Way)],
    over: &dyn Fn() -> bool,
) -> Option<(Places, Vec<T>, Vec<T>)> {
    if let Some(rough) = &problem.rough {
        let plan = assign(rough, &costs(rough, decided), over)?;
        if let Some((photos, places)) = prices(problem, exact, &plan) {
            return Some((plan, photos, places));
        }
    }
    let plan = assign(problem, exact, over)?;
    let (photos, places) = prices(problem, exact, &plan)?;
    Some((plan, photos, places))
}

/// The highest prices at which no photo would rather stand elsewhere, by shortest paths (Bellman and
/// Ford); `None` if a plan is not the cheapest.
fn prices<T: Number>(
    problem: &Problem<T>,
    costs: &[Vec<Option<&T>>],
    plan: &Places,
) -> Option<(Vec<T>, Vec<T>)> {
    let mut places = vec![T::zero(); problem.pages.len()];
    let price = |photo: usize, places: &[T]| {
        Some(match plan[photo] {
            Some(place) => costs[photo][place]?.clone() - places[place].clone(),
            None => problem.left_out(photo),
        })
    };
    for _ in 0..=places.len() {
        let before = places.clone();
        for (photo, row) in costs.iter().enumerate() {
            let own = price(photo, &places)?;
            for (place, cost) in row.iter().enumerate() {
                if let Some(cost) = cost {
                    let most = (*cost).clone() - own.clone();
                    if most < places[place] {
                        places[place] = most;
                    }
                }
            }
        }
        if places == before {
            let photos: Option<Vec<T>> = (0..plan.len()).map(|n| price(n, &places)).collect();
            let photos = photos?;
            let low = |n: usize| photos[n] <= problem.left_out(n);
            let empty = |n: &usize| !plan.contains(&Some(*n));
            let free = (0..places.len()).filter(empty).all(|n| places[n].is_zero());
            return (free && (0..plan.len()).all(low)).then_some((photos, places));
        }
    }
    None
}

/// The cheapest plan without the pairs that are not decided; `None` if time is up.
///
/// Each photo has one more place of its own, which costs what leaving it out does.
fn assign<T: Number>(
    problem: &Problem<T>,
    costs: &[Vec<Option<&T>>],
    over: &dyn Fn() -> bool,
) -> Option<Places> {
    let (photos, places) = (problem.costs.len(), problem.pages.len());
    let columns = places + photos;
    let mut row_price = vec![T::zero(); photos];
    let mut column_price = vec![T::zero(); columns];
    let mut held: Vec<Option<usize>> = vec![None; columns];
    for start in 0..photos {
        if over() {
            return None;
        }
        let mut least: Vec<Option<T>> = vec![None; columns];
        let mut before: Vec<Option<usize>> = vec![None; columns];
        let mut used: Vec<usize> = Vec::new();
        let mut is_used = vec![false; columns];
        let (mut row, mut from) = (start, None);
        let mut column = loop {
            let mut reach = |column: usize, cost: T| {
                if !is_used[column] {
                    let reduced = cost - row_price[row].clone() - column_price[column].clone();
                    if least[column].as_ref().is_none_or(|least| reduced < *least) {
                        least[column] = Some(reduced);
                        before[column] = from;
                    }
                }
            };
            for (column, cost) in costs[row].iter().enumerate() {
                if let Some(cost) = cost {
                    reach(column, (*cost).clone());
                }
            }
            reach(places + row, problem.left_out(row));
            let open = (0..columns).filter(|column| !is_used[*column]);
            let open = open.filter_map(|column| Some((least[column].as_ref()?, column)));
            // The photo's own place is always open to it.
            let (by, next) = open.min()?;
            let by = by.clone();
            row_price[start] = row_price[start].clone() + by.clone();
            for column in &used {
                if let Some(row) = held[*column] {
                    row_price[row] = row_price[row].clone() + by.clone();
                }
                column_price[*column] = column_price[*column].clone() - by.clone();
            }
            for (column, least) in least.iter_mut().enumerate() {
                if let Some(least) = least
                    && !is_used[column]
                {
                    *least = least.clone() - by.clone();
                }
            }
            is_used[next] = true;
            used.push(next);
            match held[next] {
                None => break next,
                Some(holder) => (row, from) = (holder, Some(next)),
            }
        };
        while let Some(earlier) = before[column] {
            held[column] = held[earlier];
            column = earlier;
        }
        held[column] = Some(start);
    }
    let mut plan = vec![None; photos];
    for (place, photo) in held.iter().take(places).enumerate() {
        if let Some(photo) = photo {
            plan[*photo] = Some(place);
        }
    }
    Some(plan)
}
