//! The cheapest packs, against published cases and against all choices of packs.

use super::common::dice::Dice;
use serde_json::Value;
use tuckwright::money::Money;
use tuckwright::shop::cover::{Basket, Demand, NoBasket, Offer, Shopping, TooFew, check};
use tuckwright::solve::Limits;

fn one(packs: &[(u64, i64)], need: u64) -> Shopping {
    let offer = |&(holds, price): &(u64, i64)| Offer {
        holds: vec![(0, holds)],
        price: Money(price),
        most: None,
    };
    Shopping {
        offers: packs.iter().map(offer).collect(),
        demands: vec![Demand {
            weights: vec![(0, 1)],
            least: need,
        }],
        too_few: Vec::new(),
    }
}

#[track_caller]
fn cheapest(shopping: &Shopping) -> Basket {
    let basket = shopping
        .cheapest(&Limits::default())
        .expect("it can be bought");
    assert_eq!(check(shopping, &basket), Ok(()));
    assert!(basket.proved);
    basket
}

/// Worked by hand: packs of 10, 25 and 100.
#[test]
fn packs_of_one_thing() {
    for (need, price, packs) in [
        (30, 1350, [3, 0, 0]),
        (50, 1998, [0, 2, 0]),
        (60, 2448, [1, 2, 0]),
        (80, 3200, [0, 0, 1]),
        (130, 4550, [3, 0, 1]),
    ] {
        let basket = cheapest(&one(&[(10, 450), (25, 999), (100, 3200)], need));
        assert_eq!(
            (basket.price, &basket.counts[..]),
            (Money(price), &packs[..]),
            "{need}"
        );
    }
}

/// 43 cannot be made of 6, 9 and 20 (Picciotto's numbers, read in an encyclopedia): 44 come.
#[test]
fn what_no_packs_hold_exactly() {
    let shopping = one(&[(6, 6), (9, 9), (20, 20)], 43);
    let basket = cheapest(&shopping);
    assert_eq!(
        (basket.price, shopping.bought(&basket.counts, 0)),
        (Money(44), Some(44))
    );
}

/// The knapsack problem p01 of a published collection (weights 23 31 29 44 53 38 63 85 89 82, capacity
/// 165, best 309; from memory), turned round: what stays out must weigh at least 537 - 165 = 372, at the
/// least profit, 679 - 309 = 370.
#[test]
fn a_knapsack_turned_round() {
    let weights = [23, 31, 29, 44, 53, 38, 63, 85, 89, 82];
    let profits = [92, 57, 49, 68, 60, 43, 67, 84, 87, 72];
    let packs: Vec<(u64, i64)> = weights.into_iter().zip(profits).collect();
    let mut shopping = one(&packs, 372);
    shopping
        .offers
        .iter_mut()
        .for_each(|offer| offer.most = Some(1));
    assert_eq!(cheapest(&shopping).price, Money(370));
}

fn drawn(dice: &mut Dice) -> Shopping {
    let mut below = |n: i64| dice.between(0, n - 1) as u64;
    let things = 1 + below(3) as usize;
    let offers = (0..1 + below(4)).map(|_| {
        let mut holds: Vec<(usize, u64)> = Vec::new();
        for thing in 0..things {
            if below(2) == 0 || (holds.is_empty() && thing + 1 == things) {
                holds.push((thing, 1 + below(6)));
            }
        }
        Offer {
            holds,
            price: Money(below(40) as i64),
            most: (below(3) == 0).then(|| below(4)),
        }
    });
    let offers = offers.collect();
    let mut demands: Vec<Demand> = (0..things)
        .map(|thing| Demand {
            weights: vec![(thing, 1)],
            least: below(13),
        })
        .collect();
    let mut too_few = Vec::new();
    if below(3) == 0 {
        // A sum over several things, as of sheets of several sizes.
        let weights = (0..things).map(|thing| (thing, below(4))).collect();
        demands.push(Demand {
            weights,
            least: below(25),
        });
        too_few.push(TooFew((0..things).map(|thing| (thing, below(9))).collect()));
    }
    Shopping {
        offers,
        demands,
        too_few,
    }
}

/// The least price over all choices of packs, each as often as could help.
fn by_all_choices(shopping: &Shopping) -> Option<i64> {
    let enough = |counts: &[u64]| {
        let has = |thing: usize| -> u64 {
            let each = shopping
                .offers
                .iter()
                .zip(counts)
                .flat_map(|(offer, count)| {
                    offer
                        .holds
                        .iter()
                        .map(move |(at, holds)| (*at, holds * count))
                });
            each.filter(|(at, _)| *at == thing)
                .map(|(_, count)| count)
                .sum()
        };
        shopping.demands.iter().all(|demand| {
            demand
                .weights
                .iter()
                .map(|(thing, weight)| weight * has(*thing))
                .sum::<u64>()
                >= demand.least
        }) && shopping
            .too_few
            .iter()
            .all(|few| few.0.iter().any(|(thing, most)| has(*thing) > *most))
    };
    let amounts = shopping.demands.iter().map(|demand| demand.least);
    let more = shopping.too_few.iter().flat_map(|few| &few.0);
    let cap = amounts
        .chain(more.map(|(_, most)| most + 1))
        .max()
        .unwrap_or(0);
    let mut best = None;
    let mut counts = vec![0_u64; shopping.offers.len()];
    loop {
        if enough(&counts) {
            let price = shopping
                .offers
                .iter()
                .zip(&counts)
                .map(|(o, n)| o.price.0 * *n as i64)
                .sum();
            best = Some(best.map_or(price, |best: i64| best.min(price)));
        }
        let most = |offer: &Offer| offer.most.unwrap_or(cap).min(cap);
        let next = counts
            .iter()
            .zip(&shopping.offers)
            .position(|(n, offer)| *n < most(offer));
        let Some(next) = next else { return best };
        counts[next] += 1;
        counts[..next].fill(0);
    }
}

#[test]
fn all_choices_of_packs_are_tried() {
    let (mut sold, mut short) = (0, 0);
    for seed in 0..3_000 {
        let shopping = drawn(&mut Dice::new(seed));
        if shopping.offers.len() > 3
            && shopping.offers.iter().filter(|o| o.most.is_none()).count() > 3
        {
            continue;
        }
        match (
            shopping.cheapest(&Limits::default()),
            by_all_choices(&shopping),
        ) {
            (Ok(basket), Some(price)) => {
                assert_eq!(check(&shopping, &basket), Ok(()), "{seed} {shopping:?}");
                assert!(basket.proved, "{seed}");
                assert_eq!(basket.price, Money(price), "{seed} {shopping:?} {basket:?}");
                sold += 1;
            }
            (Err(NoBasket::NotEnough), None) => short += 1,
            (found, wanted) => panic!("{seed} {shopping:?}: {found:?}, not {wanted:?}"),
        }
    }
    assert!(sold > 1_000 && short > 100, "{sold} {short}");
}

/// Fifteen things and forty packs: the optima of another program, see `tests/recorded/packs.py`.
#[test]
fn larger_baskets_cost_what_another_solver_found() {
    let text = include_str!("../recorded/packs.json");
    let all: Value = serde_json::from_str(text).expect("JSON");
    let number = |value: &Value| value.as_u64().expect("a number");
    let cases = all["cases"].as_array().expect("cases");
    for (n, case) in cases.iter().enumerate() {
        let offers = case["offers"]
            .as_array()
            .expect("offers")
            .iter()
            .map(|offer| {
                let holds = offer[2].as_array().expect("things").iter();
                Offer {
                    holds: holds
                        .map(|it| (number(&it[0]) as usize, number(&it[1])))
                        .collect(),
                    price: Money(number(&offer[0]) as i64),
                    most: offer[1].as_u64(),
                }
            });
        let needs = case["needs"].as_array().expect("needs").iter().enumerate();
        let demand = |(thing, least): (usize, &Value)| Demand {
            weights: vec![(thing, 1)],
            least: number(least),
        };
        let shopping = Shopping {
            offers: offers.collect(),
            demands: needs.map(demand).collect(),
            too_few: Vec::new(),
        };
        // Larger than what is enumerated above: needs below 13 of three things at most.
        let needs = shopping.demands.iter().map(|demand| demand.least);
        assert!(needs.max() > Some(60), "case {n}");
        let basket = cheapest(&shopping);
        assert_eq!(basket.price.0, number(&case["price"]) as i64, "case {n}");
    }
    assert_eq!(cases.len(), 30);
}

/// A basket that was tampered with, or a proof of another question, is refused.
#[test]
fn the_check_refuses_what_does_not_follow() {
    let shopping = one(&[(10, 450), (25, 999), (100, 3200)], 60);
    let basket = cheapest(&shopping);
    let mut dear = basket.clone();
    dear.counts = vec![6, 0, 0];
    dear.price = Money(2700);
    assert!(check(&shopping, &dear).is_err());
    let mut few = basket.clone();
    few.counts = vec![0, 2, 0];
    few.price = Money(1998);
    assert!(check(&shopping, &few).is_err());
    let other = one(&[(10, 450), (25, 999), (100, 1200)], 60);
    assert!(check(&other, &basket).is_err());
    let mut cheaper = shopping.clone();
    cheaper.offers[0].price = Money(100);
    assert!(check(&cheaper, &basket).is_err());
}

/// Without nodes there is no proof, and the answer does not claim one.
#[test]
fn a_limit_is_no_proof() {
    let packs: Vec<(u64, i64)> = (0..12)
        .map(|n| (1001 + 97 * n, 30_011 + 2_903 * n as i64))
        .collect();
    let shopping = one(&packs, 123_457);
    let limits = Limits {
        nodes: 3,
        ..Limits::default()
    };
    match shopping.cheapest(&limits) {
        Ok(basket) => {
            assert!(!basket.proved);
            assert_eq!(check(&shopping, &basket), Ok(()));
        }
        Err(why) => assert_eq!(why, NoBasket::Undecided),
    }
}
