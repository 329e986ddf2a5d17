//! Sharing out pieces that may be cut from several papers.

use super::{Order, Want};

/// For each paper of a batch the wants that are cut from it, each with how many.
pub type Shares = Vec<Vec<(usize, u64)>>;

/// Ways of sharing out the pieces of some papers, at most so many; and whether these are all there
/// are. The first one spreads every piece evenly.
pub fn shares(order: &Order, papers: &[usize], most: usize) -> (Vec<Shares>, bool) {
    let wants: Vec<(usize, &Want)> = order
        .wants
        .iter()
        .enumerate()
        .filter(|(_, w)| w.papers.iter().any(|p| papers.contains(p)))
        .collect();
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
        let longer = found.iter().flat_map(|picks| {
            (0..ways.len()).map(move |n| {
                let mut picks = picks.clone();
                picks.push(n);
                picks
            })
        });
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
    let mut seen = false;
    ways.retain(|way| {
        let again = *way == first && seen;
        seen |= *way == first;
        !again
    });
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
}
