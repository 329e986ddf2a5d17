//! Sharing out pieces that may be cut from several papers.

use super::{Order, Sheets, Want};
use itertools::Itertools;

/// Pieces of one paper: place in the wants, how many.
pub type Share = Vec<(usize, u64)>;
/// For each paper of a batch the wants that are cut from it.
pub type Shares = Vec<Share>;

/// What is cut from some papers, with its places in the order.
fn cut_from<'o>(order: &'o Order, papers: &[usize]) -> Vec<(usize, &'o Want)> {
    let wants = order.wants.iter().enumerate();
    wants.filter(|(_, want)| want.is_of(papers)).collect()
}

/// Ways of sharing out the pieces of some papers, at most so many; and whether these are all there
/// are. The first one spreads every piece evenly.
pub fn shares(order: &Order, papers: &[usize], most: usize) -> (Vec<Shares>, bool) {
    let wants = cut_from(order, papers);
    // Each want's own ways, the even one first.
    let mut all = true;
    let mut each: Vec<Vec<Vec<u64>>> = Vec::new();
    for (_, want) in &wants {
        let mut ways = Vec::new();
        all &= parts(want, most, &mut ways);
        each.push(ways);
    }
    let mut found: Vec<Vec<usize>> = vec![Vec::new()];
    for ways in &each {
        let longer = found.iter().cartesian_product(0..ways.len());
        let longer = longer.map(|(picks, n)| [&picks[..], &[n]].concat());
        let mut longer: Vec<Vec<usize>> = longer.collect();
        // What is nearest to even comes first, and stays.
        longer.sort_by_key(|picks| picks.iter().sum::<usize>());
        all &= longer.len() <= most;
        longer.truncate(most);
        found = longer;
    }
    let shares = found.iter().map(|picks| {
        let mut shares: Shares = vec![Vec::new(); papers.len()];
        for (((at, want), ways), pick) in wants.iter().zip(&each).zip(picks) {
            for (paper, count) in want.papers.iter().zip(&ways[*pick]) {
                let place = papers.iter().position(|p| p == paper);
                if let (Some(place), 1..) = (place, *count) {
                    shares[place].push((*at, *count));
                }
            }
        }
        shares
    });
    (shares.collect(), all)
}

/// What may be cut from each paper of a batch, whatever is cut from the others.
pub struct Menus {
    /// Places in the order's wants, and how many of each are wanted.
    wants: Vec<(usize, u64)>,
    /// For each paper, for each share how many of each want.
    each: Vec<Vec<Vec<u64>>>,
    /// For each paper, how many of each want an even spread gives it.
    even: Vec<Vec<u64>>,
    /// For each paper the first one with the same sheets and the same shares.
    twins: Vec<usize>,
    /// Whether these are all shares that there are.
    pub all: bool,
}

/// States of what is left to be shared out, times shares: more take too long.
const MOST_STATES: usize = 50_000_000;

/// The shares of some papers, at most `most` that differ; `None` where they are too many to be put
/// together.
pub fn menus(order: &Order, papers: &[usize], most: usize) -> Option<Menus> {
    let wants = cut_from(order, papers);
    let even = |want: &Want, paper: usize| {
        let place = want.papers.iter().position(|p| *p == paper)? as u64;
        let each = want.papers.len() as u64;
        Some(want.count / each + u64::from(place < want.count % each))
    };
    // For each paper and want, how many may be cut from it.
    let mut amounts: Vec<Vec<Vec<u64>>> = Vec::new();
    for paper in papers {
        let own = wants.iter().map(|(_, want)| {
            let cap = want.most_alike.unwrap_or(want.count).min(want.count);
            match (even(want, *paper), want.papers.len()) {
                (None, _) => vec![0],
                (Some(all), 1) => vec![all],
                (Some(_), _) => (0..=cap).collect(),
            }
        });
        amounts.push(own.collect());
    }
    let same = |a: usize, b: usize| {
        let (a, b) = (&order.papers[a], &order.papers[b]);
        let key = |s: &Sheets| (s.width, s.height, s.count, s.offcut);
        a.directed == b.directed && a.sheets.iter().map(key).eq(b.sheets.iter().map(key))
    };
    // Where there are too many: first near to an even spread or nothing or all, the smallest first,
    // then nearer, then as even as can be.
    let mut by_area: Vec<usize> = (0..wants.len()).collect();
    by_area.sort_by_key(|at| {
        let want = wants[*at].1;
        let area = i128::from(want.width.nm()) * i128::from(want.height.nm());
        area * i128::from(want.count)
    });
    let mut steps = (0..3).flat_map(|how| by_area.iter().map(move |at| (how, *at)));
    let mut all = true;
    let twins = loop {
        let twins = (0..papers.len()).map(|at| {
            let twin = |b: &usize| same(papers[*b], papers[at]) && amounts[*b] == amounts[at];
            (0..at).find(twin).unwrap_or(at)
        });
        let twins: Vec<usize> = twins.collect();
        let many = |own: &Vec<Vec<u64>>| {
            let each = own.iter().map(Vec::len);
            each.fold(1, usize::saturating_mul)
        };
        let own = (0..papers.len()).filter(|at| twins[*at] == *at);
        let sum = own.map(|at| many(&amounts[at]));
        if sum.fold(0, usize::saturating_add) <= most {
            break twins;
        }
        let (how, at) = steps.next()?;
        all = false;
        let want = wants[at].1;
        let each = want.papers.len() as u64;
        let (low, high) = (want.count / each, want.count.div_ceil(each));
        for (paper, own) in papers.iter().zip(&mut amounts) {
            if let (Some(own_even), 2..) = (even(want, *paper), own[at].len()) {
                let last = own[at].last().copied().unwrap_or(high);
                own[at].retain(|n| match how {
                    0 => [0, low, high, last].contains(n),
                    1 => [low, high].contains(n),
                    _ => *n == own_even,
                });
            }
        }
    };
    let each: Vec<Vec<Vec<u64>>> = amounts.iter().map(|own| products(own)).collect();
    let states = wants.iter().map(|(_, w)| usize::try_from(w.count + 1));
    let states = states.map(|own| own.unwrap_or(usize::MAX));
    let states = states.fold(1, usize::saturating_mul);
    let shares: usize = each.iter().map(Vec::len).sum();
    if states.saturating_mul(shares) > MOST_STATES {
        return None;
    }
    let even = papers.iter().map(|paper| {
        let own = wants.iter().map(|(_, w)| even(w, *paper).unwrap_or(0));
        own.collect()
    });
    Some(Menus {
        even: even.collect(),
        wants: wants.iter().map(|(at, w)| (*at, w.count)).collect(),
        each,
        twins,
        all,
    })
}

/// Every choice of one amount of each.
fn products(amounts: &[Vec<u64>]) -> Vec<Vec<u64>> {
    let each = amounts.iter().map(|own| own.iter().copied());
    each.multi_cartesian_product().collect()
}

impl Menus {
    /// The shares of a paper of the batch.
    pub fn shares(&self, paper: usize) -> impl Iterator<Item = Share> + use<'_> {
        self.each[paper].iter().map(|amounts| {
            let each = self.wants.iter().zip(amounts).filter(|(_, n)| **n > 0);
            each.map(|((at, _), n)| (*at, *n)).collect()
        })
    }

    /// The first paper of the batch that is the same.
    pub fn twin(&self, paper: usize) -> usize {
        self.twins[paper]
    }

    /// Shares that differ, all papers together.
    pub fn questions(&self) -> usize {
        let own = (0..self.each.len()).filter(|at| self.twins[*at] == *at);
        own.map(|at| self.each[at].len()).sum()
    }

    /// The cheapest choice of one share for each paper that gives everything just as often as it is
    /// wanted; of those that cost the same, one nearest to an even spread. `costs` has one for each
    /// share, `None` for what cannot be. Papers come one after the other; what counts is what is left.
    pub fn best(&self, costs: &[Vec<Option<u64>>]) -> Option<(u64, Vec<usize>)> {
        let mut radix = Vec::new();
        let mut states = 1usize;
        for (_, count) in &self.wants {
            radix.push(states);
            states *= usize::try_from(count + 1).ok()?;
        }
        // For each paper: by which share each state of what is cut is reached.
        let mut by: Vec<Vec<usize>> = Vec::new();
        let never = (u64::MAX, u64::MAX);
        let mut now = vec![never; states];
        now[0] = (0, 0);
        for (paper, own) in costs.iter().enumerate() {
            let mut next = vec![never; states];
            let mut how = vec![usize::MAX; states];
            for (pick, cost) in own.iter().enumerate() {
                let Some(cost) = cost else {
                    continue;
                };
                let share = &self.each[paper][pick];
                let far = share.iter().zip(&self.even[paper]);
                let far: u64 = far.map(|(a, b)| a.abs_diff(*b)).sum();
                let step = share.iter().zip(&radix);
                let step: usize = step.map(|(n, radix)| *n as usize * radix).sum();
                for (state, before) in now.iter().enumerate().filter(|(_, b)| **b != never) {
                    let fits = share.iter().zip(&self.wants).zip(&radix);
                    let fits = fits.into_iter().all(|((n, (_, count)), radix)| {
                        let cut = (state / radix) as u64 % (count + 1);
                        cut + n <= *count
                    });
                    if !fits {
                        continue;
                    }
                    let worth = (before.0.saturating_add(*cost), before.1 + far);
                    if worth < next[state + step] {
                        next[state + step] = worth;
                        how[state + step] = pick;
                    }
                }
            }
            now = next;
            by.push(how);
        }
        let last = states - 1;
        if now[last] == never {
            return None;
        }
        let mut picks = vec![0; costs.len()];
        let mut state = last;
        for paper in (0..costs.len()).rev() {
            picks[paper] = by[paper][state];
            let share = &self.each[paper][picks[paper]];
            let step = share.iter().zip(&radix);
            state -= step.map(|(n, radix)| *n as usize * radix).sum::<usize>();
        }
        Some((now[last].0, picks))
    }
}

/// Ways of cutting one want from its papers: how many from each, the even one first. Tells whether
/// they are all.
fn parts(want: &Want, most: usize, ways: &mut Vec<Vec<u64>>) -> bool {
    let papers = want.papers.len() as u64;
    if papers == 1 {
        ways.push(vec![want.count]);
        return true;
    }
    let cap = want.most_alike.unwrap_or(want.count).min(want.count);
    let even = |n: u64| want.count / papers + u64::from(n < want.count % papers);
    ways.push((0..papers).map(even).collect());
    let mut now = Vec::new();
    let all = each_part(want.count, want.papers.len(), cap, &mut now, most, ways);
    // Not the even one twice.
    let first = ways[0].clone();
    let mut n = 0..;
    ways.retain(|way| n.next() == Some(0) || *way != first);
    let far = |way: &Vec<u64>| {
        let each = way.iter().zip(&first);
        each.map(|(a, b)| a.abs_diff(*b)).sum::<u64>()
    };
    ways.sort_by_key(far);
    all
}

fn each_part(
    left: u64,
    papers: usize,
    cap: u64,
    now: &mut Vec<u64>,
    most: usize,
    ways: &mut Vec<Vec<u64>>,
) -> bool {
    if papers == 0 {
        if left == 0 {
            ways.push(now.clone());
        }
        return true;
    }
    let rest = cap.saturating_mul(papers as u64 - 1);
    let mut all = true;
    for count in left.saturating_sub(rest)..=cap.min(left) {
        if ways.len() > most {
            return false;
        }
        now.push(count);
        all &= each_part(left - count, papers - 1, cap, now, most, ways);
        now.pop();
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::length::Length;
    use crate::text::Place;

    fn want(count: u64, papers: &[usize], most_alike: Option<u64>) -> Want {
        Want {
            album: 0,
            name: "mat".to_owned(),
            leaf: String::new(),
            place: Place::default(),
            width: Length::INCH,
            height: Length::INCH,
            count,
            turn: true,
            value: None,
            papers: papers.to_vec(),
            most_alike,
            loose: false,
            twice_off: 0,
        }
    }

    fn ways(want: &Want) -> (Vec<Vec<u64>>, bool) {
        let mut ways = Vec::new();
        let all = parts(want, 64, &mut ways);
        (ways, all)
    }

    #[test]
    fn an_even_spread_leaves_no_choice() {
        assert_eq!(ways(&want(4, &[0, 1], Some(2))), (vec![vec![2, 2]], true));
        assert_eq!(ways(&want(6, &[0, 1, 2], Some(2))).0, vec![vec![2, 2, 2]]);
    }

    #[test]
    fn who_gets_the_odd_one_is_tried() {
        let (ways, all) = ways(&want(5, &[0, 1, 2], Some(2)));
        assert!(all);
        let mut sorted = ways.clone();
        sorted.sort();
        assert_eq!(sorted, [[1, 2, 2], [2, 1, 2], [2, 2, 1]]);
        assert_eq!(ways[0], [2, 2, 1]);
    }

    #[test]
    fn without_a_limit_all_ways_are_tried_while_they_are_few() {
        let (few, all) = ways(&want(3, &[0, 1], None));
        assert_eq!((few.len(), all), (4, true));
        let (many, all) = ways(&want(1_000, &[0, 1, 2], None));
        assert!(!all && many.len() <= 65);
        assert_eq!(many[0], [334, 333, 333]);
    }

    fn order(wants: Vec<Want>, papers: usize) -> Order {
        let paper = |n| crate::cut::Paper {
            name: format!("paper {n}"),
            directed: true,
            sheets: vec![Sheets {
                width: Length::INCH,
                height: Length::INCH,
                count: Some(2),
                offcut: false,
                place: Place::default(),
            }],
        };
        Order {
            papers: (0..papers).map(paper).collect(),
            wants,
            any_paper: Vec::new(),
            from_left: Vec::new(),
            trimmer: crate::cut::Trimmer::default(),
        }
    }

    /// The least of all ways of sharing out, one after the other.
    fn plainly(menus: &Menus, costs: &[Vec<Option<u64>>]) -> Option<u64> {
        let mut least: Option<u64> = None;
        let picks = costs.iter().map(|own| (0..own.len()).collect::<Vec<_>>());
        let picks: Vec<Vec<usize>> = itertools::Itertools::multi_cartesian_product(picks).collect();
        for picks in picks {
            let each = picks.iter().enumerate();
            let cost: Option<u64> = each.map(|(paper, pick)| costs[paper][*pick]).sum();
            let mut sum = vec![0; menus.wants.len()];
            for (paper, pick) in picks.iter().enumerate() {
                let share = &menus.each[paper][*pick];
                sum.iter_mut().zip(share).for_each(|(sum, n)| *sum += n);
            }
            let wanted = menus.wants.iter().map(|(_, count)| *count);
            if let (Some(cost), true) = (cost, wanted.eq(sum)) {
                least = Some(least.map_or(cost, |least| least.min(cost)));
            }
        }
        least
    }

    #[test]
    fn six_for_the_fronts_and_six_for_the_backs() {
        let all: Vec<usize> = (0..12).collect();
        let wants = (0..4).map(|_| want(6, &all, Some(1)));
        let order = order(wants.collect(), 12);
        let menus = menus(&order, &all, 256).expect("few states");
        assert!(menus.all);
        // All papers are the same, and each share is one of sixteen.
        assert_eq!(menus.questions(), 16);
        // Two pieces of a paper take two sheets, and there are no more.
        let cost = |share: Share| match share.len() {
            0..=2 => Some(share.len() as u64),
            _ => None,
        };
        let costs: Vec<Vec<Option<u64>>> = (0..12)
            .map(|paper| menus.shares(paper).map(cost).collect())
            .collect();
        let (least, picks) = menus.best(&costs).expect("a way");
        assert_eq!((least, picks.len()), (24, 12));
    }

    #[test]
    fn too_many_shares_are_fewer_near_to_an_even_spread() {
        let wants = vec![want(40, &[0, 1], None), want(30, &[0, 1], None)];
        let order = order(wants, 2);
        let menus = menus(&order, &[0, 1], 64).expect("few states");
        assert!(!menus.all && menus.questions() <= 64);
        let costs: Vec<Vec<Option<u64>>> = (0..2)
            .map(|paper| menus.shares(paper).map(|_| Some(1)).collect())
            .collect();
        let (_, picks) = menus.best(&costs).expect("the even way at least");
        for (paper, pick) in picks.iter().enumerate() {
            let share = menus.shares(paper).nth(*pick);
            assert_eq!(share, Some(vec![(0, 20), (1, 15)]));
        }
    }

    proptest::proptest! {
        #[test]
        fn no_other_way_is_cheaper(
            counts in proptest::collection::vec((1..4_u64, 0..3_usize), 1..3),
            costs in proptest::collection::vec(proptest::option::weighted(0.8, 0..9_u64), 64),
        ) {
            let papers = [vec![0, 1, 2], vec![0, 2], vec![1]];
            let wants = counts.iter().map(|(count, of)| want(*count, &papers[*of], None));
            let order = order(wants.collect(), 3);
            let menus = menus(&order, &[0, 1, 2], 256).expect("few states");
            let mut drawn = costs.into_iter().cycle();
            let costs: Vec<Vec<Option<u64>>> = (0..3)
                .map(|paper| menus.shares(paper).map(|_| drawn.next().flatten()).collect())
                .collect();
            let best = menus.best(&costs).map(|(cost, _)| cost);
            proptest::prop_assert_eq!(best, plainly(&menus, &costs));
        }
    }
}
