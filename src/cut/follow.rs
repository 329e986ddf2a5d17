//! In which order the sheets are cut, so that the fence can often stay where it is from one to the next.
//!
//! Papers come in their order, and the sheets of one paper in any. What counts of a state is which
//! sheets are cut, where the fence stands and how often it was set; of two that differ in the fence
//! alone, one setting more is never made up for, since that is all that a fence in the right place
//! saves. All states with as many sheets cut stand side by side, so that the answer is the best there
//! is as long as none has to be left out. That is so for ten ways of cutting on a paper; where there
//! are more, those of the fewest settings go on, as many as [`MOST_STEPS`] and [`ALL_STEPS`] allow; and
//! one alone once nobody waits any longer.

use super::watch::Watch;
use crate::length::Length;
use std::collections::HashMap;
use std::ops::Range;

/// States that stand side by side, times the sheets of the paper that they are cut from.
const MOST_STEPS: usize = 40_000;
/// The same for all sheets of all papers together.
const ALL_STEPS: usize = 300_000;
/// Sheets of more ways of cutting stay in the order in which they are given.
const MOST_SHEETS: usize = 300;

/// An order of settings for a sheet: how it begins and ends, and how many they are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Ends {
    pub first: Length,
    pub last: Length,
    pub settings: usize,
}

/// A way of cutting a sheet.
#[derive(Clone, Debug)]
pub(super) struct Sheet {
    /// Its edges are cut off first, and who does so moves the fence.
    pub trimmed: bool,
    /// The orders that it can be cut in, those that are liked best first; none where it is not cut.
    pub orders: Vec<Ends>,
}

/// What comes next.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Next {
    /// Place in the sheets of the paper.
    pub sheet: usize,
    /// Place in its orders; 0 where it has none.
    pub order: usize,
    /// The fence stands at its first setting.
    pub stays: bool,
}

/// A state, and how it came about.
struct Node {
    /// The sheets of this paper that are cut.
    cut: Vec<bool>,
    fence: Option<Length>,
    settings: usize,
    /// The state before, and what was cut then; nothing at the start.
    from: Option<(usize, Next)>,
}

/// The sheets of each paper in the order in which they are cut; where nothing is saved by another, that
/// is the order in which they are given.
pub(super) fn follow(papers: &[Vec<Sheet>], watch: Watch<'_>) -> Vec<Vec<Next>> {
    let mut nodes = vec![Node {
        cut: Vec::new(),
        fence: None,
        settings: 0,
        from: None,
    }];
    let mut now = vec![0];
    let all: usize = papers.iter().map(Vec::len).sum();
    let steps = MOST_STEPS.min(ALL_STEPS / all.max(1));
    for sheets in papers {
        now.iter()
            .for_each(|at| nodes[*at].cut = vec![false; sheets.len()]);
        for n in 0..sheets.len() {
            let over = watch.is_over();
            let open = match sheets.len() > MOST_SHEETS {
                true => n..n + 1,
                false => 0..sheets.len(),
            };
            let first = now.iter().copied().min().unwrap_or(0);
            now = one_more(sheets, open, &now, &mut nodes, watch);
            now.sort_by_key(|at| nodes[*at].settings);
            let most = if over { 1 } else { steps / sheets.len() };
            now.truncate(most.max(1));
            // What is cut is only asked of states that go on.
            let cut = now.iter().map(|at| std::mem::take(&mut nodes[*at].cut));
            let cut: Vec<Vec<bool>> = cut.collect();
            let open = nodes[first..].iter_mut();
            open.for_each(|node| node.cut = Vec::new());
            for (at, cut) in now.iter().zip(cut) {
                nodes[*at].cut = cut;
            }
        }
    }
    let mut back = Vec::new();
    let mut at = now.first().copied();
    while let Some((before, next)) = at.and_then(|at| nodes[at].from) {
        back.push(next);
        at = Some(before);
    }
    let mut steps = back.into_iter().rev();
    let each = papers.iter();
    each.map(|sheets| steps.by_ref().take(sheets.len()).collect())
        .collect()
}

/// The states with one sheet of `open` more cut, in the order in which they are found.
fn one_more(
    sheets: &[Sheet],
    open: Range<usize>,
    now: &[usize],
    nodes: &mut Vec<Node>,
    watch: Watch<'_>,
) -> Vec<usize> {
    let mut found: Vec<usize> = Vec::new();
    let mut known: HashMap<(Vec<bool>, Option<Length>), usize> = HashMap::new();
    let mut fewest: HashMap<Vec<bool>, usize> = HashMap::new();
    let mut worked_out = HashMap::new();
    for at in now {
        if !found.is_empty() && watch.is_over() {
            break;
        }
        for n in open.clone() {
            let sheet = &sheets[n];
            let node = &nodes[*at];
            if node.cut[n] {
                continue;
            }
            let (before, fence) = (node.settings, node.fence);
            let mut cut = node.cut.clone();
            cut[n] = true;
            let ways = worked_out
                .entry((n, fence))
                .or_insert_with(|| ways(n, sheet, fence));
            let least = fewest.entry(cut.clone()).or_insert(usize::MAX);
            for (fence, more, next) in ways.iter().copied() {
                let settings = before + more;
                *least = settings.min(*least);
                if settings > *least {
                    continue;
                }
                let new = Node {
                    cut: cut.clone(),
                    fence,
                    settings,
                    from: Some((*at, next)),
                };
                match known.get(&(cut.clone(), fence)) {
                    Some(same) if nodes[*same].settings <= settings => {}
                    Some(same) => nodes[*same] = new,
                    None => {
                        known.insert((cut.clone(), fence), nodes.len());
                        found.push(nodes.len());
                        nodes.push(new);
                    }
                }
            }
        }
    }
    found.retain(|at| fewest.get(&nodes[*at].cut) == Some(&nodes[*at].settings));
    found
}

/// Where the fence can stand after a sheet, how often it is set for it, and how it is cut.
fn ways(n: usize, sheet: &Sheet, fence: Option<Length>) -> Vec<(Option<Length>, usize, Next)> {
    let fence = fence.filter(|_| !sheet.trimmed);
    let next = |order, stays| Next {
        sheet: n,
        order,
        stays,
    };
    if sheet.orders.is_empty() {
        return vec![(fence, 0, next(0, false))];
    }
    let each = sheet.orders.iter().enumerate().map(|(order, ends)| {
        let stays = fence == Some(ends.first);
        let settings = ends.settings - usize::from(stays);
        (Some(ends.last), settings, next(order, stays))
    });
    let mut all: Vec<_> = each.collect();
    // Of those that end alike the first of the fewest settings is enough.
    all.sort_by_key(|(last, settings, next)| (*last, *settings, next.order));
    all.dedup_by_key(|(last, ..)| *last);
    all.sort_by_key(|(.., next)| next.order);
    all
}

#[cfg(test)]
mod tests {
    use super::super::watch::Watch;
    use super::{Ends, Next, Sheet, follow};
    use crate::length::Length;
    use itertools::Itertools;
    use proptest::prelude::*;

    const FREE: Watch<'_> = Watch {
        until: None,
        cancel: None,
    };

    /// How often the fence is set; what is told must be so.
    fn settings(papers: &[Vec<Sheet>], told: &[Vec<Next>]) -> usize {
        let mut fence = None;
        let mut sum = 0;
        assert_eq!(papers.len(), told.len());
        for (sheets, order) in papers.iter().zip(told) {
            let all = order.iter().map(|next| next.sheet).sorted();
            assert!(all.eq(0..sheets.len()), "{order:?}");
            for next in order {
                let sheet = &sheets[next.sheet];
                if sheet.trimmed {
                    fence = None;
                }
                let Some(ends) = sheet.orders.get(next.order) else {
                    assert!(sheet.orders.is_empty() && !next.stays);
                    continue;
                };
                assert_eq!(next.stays, fence == Some(ends.first));
                sum += ends.settings - usize::from(next.stays);
                fence = Some(ends.last);
            }
        }
        sum
    }

    /// The same, of every order of sheets with every order of settings.
    fn fewest(papers: &[Vec<Sheet>], fence: Option<Length>) -> usize {
        let Some((sheets, rest)) = papers.split_first() else {
            return 0;
        };
        let all = (0..sheets.len()).permutations(sheets.len());
        all.map(|order| one(sheets, &order, rest, fence))
            .min()
            .unwrap_or(0)
    }

    fn one(sheets: &[Sheet], order: &[usize], rest: &[Vec<Sheet>], fence: Option<Length>) -> usize {
        let Some((first, more)) = order.split_first() else {
            return fewest(rest, fence);
        };
        let sheet = &sheets[*first];
        let fence = if sheet.trimmed { None } else { fence };
        if sheet.orders.is_empty() {
            return one(sheets, more, rest, fence);
        }
        let each = sheet.orders.iter().map(|ends| {
            let own = ends.settings - usize::from(fence == Some(ends.first));
            own + one(sheets, more, rest, Some(ends.last))
        });
        each.min().unwrap_or(0)
    }

    fn ends() -> impl Strategy<Value = Ends> {
        (1..5_i64, 1..5_i64, 0..2_usize).prop_map(|(first, last, more)| Ends {
            first: Length::from_nm(first),
            last: Length::from_nm(last),
            settings: more + if first == last { 1 } else { 2 },
        })
    }

    fn sheet() -> impl Strategy<Value = Sheet> {
        let trimmed = proptest::bool::weighted(0.1);
        (trimmed, prop::collection::vec(ends(), 0..4))
            .prop_map(|(trimmed, orders)| Sheet { trimmed, orders })
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]

        #[test]
        fn no_order_of_sheets_sets_the_fence_less_often(
            papers in prop::collection::vec(prop::collection::vec(sheet(), 0..5), 0..3),
        ) {
            let told = follow(&papers, FREE);
            prop_assert_eq!(settings(&papers, &told), fewest(&papers, None));
        }

        #[test]
        fn many_sheets_are_never_worse_than_each_alone(
            papers in prop::collection::vec(prop::collection::vec(sheet(), 0..25), 0..3),
        ) {
            let alone = papers.iter().flatten().filter_map(|sheet| {
                sheet.orders.iter().map(|ends| ends.settings).min()
            });
            let alone: usize = alone.sum();
            prop_assert!(settings(&papers, &follow(&papers, FREE)) <= alone);
        }
    }

    /// Every sheet is cut once, whatever the time.
    #[test]
    fn sheets_come_in_some_order_even_if_nobody_waits() {
        let stop = std::sync::atomic::AtomicBool::new(true);
        let watch = Watch {
            cancel: Some(&stop),
            ..FREE
        };
        let ends = |n| Ends {
            first: Length::from_nm(n % 7),
            last: Length::from_nm(n % 5),
            settings: 2,
        };
        let sheet = |n: i64| Sheet {
            trimmed: false,
            orders: vec![ends(n), ends(3 * n)],
        };
        let papers = [(0..25).map(sheet).collect(), vec![sheet(1)]];
        let quick = settings(&papers, &follow(&papers, watch));
        assert!(settings(&papers, &follow(&papers, FREE)) < quick && quick <= 52);
    }

    #[test]
    fn sheets_keep_their_order_where_no_other_saves_a_setting() {
        let sheet = |first, last| Sheet {
            trimmed: false,
            orders: vec![Ends {
                first: Length::from_nm(first),
                last: Length::from_nm(last),
                settings: 2,
            }],
        };
        let papers = [(0..6).map(|n| sheet(10 + n, 20 + n)).collect()];
        let order = follow(&papers, FREE).concat();
        assert!(order.iter().map(|next| next.sheet).eq(0..6), "{order:?}");
        // The last of one is the first of the other: they change places.
        let papers = [vec![sheet(1, 2), sheet(3, 1)]];
        let order = follow(&papers, FREE).concat();
        assert!(order.iter().map(|next| next.sheet).eq([1, 0]), "{order:?}");
        assert!(!order[0].stays && order[1].stays);
    }

    /// Ten sheets are held in full: the only chain of all of them is found.
    #[test]
    fn ten_sheets_follow_each_other() {
        let ends = |first, last| Ends {
            first: Length::from_nm(first),
            last: Length::from_nm(last),
            settings: 2,
        };
        let sheet = |n: i64| Sheet {
            trimmed: false,
            // What is liked best leads nowhere.
            orders: vec![ends(50 + n, 60 + n), ends(n * 7 % 10, n * 7 % 10 + 1)],
        };
        let papers = [(0..10).map(sheet).collect::<Vec<_>>()];
        assert_eq!(settings(&papers, &follow(&papers, FREE)), 11);
    }
}
