//! The cheapest sheets of several sizes, against a worked example and against all numbers of sheets.

use super::common::dice::Dice;
use super::common::{shipped, style};
use std::time::Duration;
use tuckwright::cut::pieces::{Made, together};
use tuckwright::cut::work::Patience;
use tuckwright::cut::{Order, Paper, Sheets, Stages, Trimmer, Want, pool};
use tuckwright::length::{Interval, Length, Ruler, Unit};
use tuckwright::money::Money;
use tuckwright::nest;
use tuckwright::shop::buy::{BuyError, How, Purchase, buy};
use tuckwright::shop::needs::Needs;
use tuckwright::solve::Limits;
use tuckwright::style::shipped::shipped as shipped_style;
use tuckwright::supplies::{self, Kind, Pack, Supplies};
use tuckwright::text::Place;
use tuckwright::{Outcome, work};

/// Paper in eighths of an inch, how many are at home, its price, and packs of it.
struct Sold {
    size: (i64, i64),
    at_home: i64,
    price: Option<i64>,
    packs: Vec<(i64, i64, Option<i64>)>,
}

fn eighths(n: i64) -> Length {
    Length::from_nm(Length::INCH.nm() / 8 * n)
}

fn ruler() -> Ruler {
    Ruler::new(eighths(1), Unit::Inch).expect("a ruler")
}

fn supplies(sold: &[Sold]) -> Supplies {
    let mut all = Supplies::default();
    for (at, one) in sold.iter().enumerate() {
        all.papers.push(supplies::Paper {
            design_of: None,
            sides: None,
            name: format!("paper {at}"),
            place: Place::default(),
            width: Interval::exact(eighths(one.size.0)),
            height: Interval::exact(eighths(one.size.1)),
            caliper: None,
            grams: None,
            from_weight: false,
            bulk_assumed: false,
            directed: false,
            designs: Vec::new(),
            sheets: Some(one.at_home),
            price: one.price.map(Money),
        });
        for &(holds, price, most) in &one.packs {
            all.packs.push(Pack {
                place: Place::default(),
                holds: vec![(Kind::Paper, at, holds)],
                price: Money(price),
                most,
            });
        }
    }
    all
}

/// An order of pieces that may come from every paper.
fn order(supplies: &Supplies, wants: Vec<Want>) -> Order {
    let papers = supplies.papers.iter().map(|paper| Paper {
        name: paper.name.clone(),
        directed: false,
        sheets: vec![Sheets {
            width: paper.width.least(),
            height: paper.height.least(),
            count: paper.sheets.map(|n| n as u64),
            offcut: false,
            place: paper.place,
        }],
    });
    let papers: Vec<Paper> = papers.collect();
    let all: Vec<usize> = (0..papers.len()).collect();
    let wants = wants.into_iter().map(|want| Want {
        papers: all.clone(),
        ..want
    });
    Order {
        wants: wants.collect(),
        papers,
        any_paper: Vec::new(),
        from_left: Vec::new(),
        trimmer: Trimmer::default(),
    }
}

fn bought(supplies: &Supplies, order: Order, limits: &Limits) -> Result<Purchase, BuyError> {
    let needs = Needs {
        things: Vec::new(),
        order,
        any_ring: 0,
        any_print: 0,
    };
    let patience = Patience {
        time: Duration::from_secs(200),
        typed: Some(1),
        cancel: None,
        told: None,
    };
    let how = How {
        stages: Some(Stages::Free),
        ruler: ruler(),
        patience: &patience,
    };
    let found = buy(supplies, needs, how, limits)?;
    let way = found.batches.iter().map(|b| b.plan());
    assert!(
        way.clone().all(|way| way.sheets.is_some())
            && found.batches.iter().all(|b| b.with_more.is_none())
    );
    Ok(found)
}

fn low_water(copies: u64) -> Vec<Want> {
    let album = shipped("low-water");
    let style = style(shipped_style("upright").expect("it is shipped"));
    let worked = work(&style, &album, &Limits::default()).expect("it can be read");
    let Outcome::Fits(plan) = &worked.outcome else {
        panic!("it fits")
    };
    let made = Made {
        plan,
        album: &album,
        sets: copies,
    };
    together(&[made], Vec::new(), Trimmer::default()).wants
}

fn letter_and_square() -> Supplies {
    supplies(&[
        Sold {
            size: (96, 96),
            at_home: 0,
            price: Some(90),
            packs: vec![(10, 750, None)],
        },
        Sold {
            size: (68, 88),
            at_home: 0,
            price: Some(45),
            packs: vec![(25, 950, None)],
        },
    ])
}

/// Worked out beforehand with another program: 48 small sheets for four copies.
#[test]
fn four_copies_from_small_sheets() {
    let supplies = letter_and_square();
    let found = bought(
        &supplies,
        order(&supplies, low_water(4)),
        &Limits::default(),
    );
    let found = found.expect("it can be bought");
    assert_eq!((found.price, found.proved), (Money(1900), true));
    assert_eq!(
        found
            .things
            .iter()
            .map(|it| (it.at, it.bought))
            .collect::<Vec<_>>(),
        [(1, 50)]
    );
}

/// Twelve copies take both sizes: large sheets alone cost 67.50, small ones alone 56.05.
#[test]
fn twelve_copies_from_sheets_of_two_sizes() {
    let supplies = letter_and_square();
    let limits = Limits::lasting(Duration::from_secs(300));
    let found =
        bought(&supplies, order(&supplies, low_water(12)), &limits).expect("it can be bought");
    assert_eq!((found.price, found.proved), (Money(5500), true));
    assert_eq!(
        found
            .things
            .iter()
            .map(|it| (it.at, it.bought))
            .collect::<Vec<_>>(),
        [(0, 10), (1, 125)]
    );
}

fn drawn(dice: &mut Dice) -> (Supplies, Vec<Want>) {
    let mut below = |n: i64| dice.between(0, n - 1);
    let sold = (0..2).map(|_| Sold {
        size: (16 + below(20), 16 + below(20)),
        at_home: below(2),
        price: (below(3) > 0).then(|| 20 + below(60)),
        packs: (0..1 + below(2))
            .map(|_| {
                (
                    2 + below(4),
                    60 + below(150),
                    (below(4) == 0).then(|| 1 + below(2)),
                )
            })
            .collect(),
    });
    let sold: Vec<Sold> = sold.collect();
    let wants = (0..1 + below(3)).map(|n| Want {
        album: 0,
        name: format!("piece {n}"),
        leaf: String::new(),
        place: Place::default(),
        width: eighths(7 + below(13)),
        height: eighths(7 + below(13)),
        count: 1 + below(7) as u64,
        turn: below(2) == 0,
        value: None,
        papers: Vec::new(),
        most_alike: None,
        loose: false,
        twice_off: 0,
    });
    let wants = wants.collect();
    (supplies(&sold), wants)
}

/// The least price of at least this many sheets of a paper, over all choices of its packs.
fn least_price(all: &Supplies, paper: usize, sheets: i64) -> Option<i64> {
    let own = all.own_pack(Kind::Paper, paper);
    let packs: Vec<&Pack> = all
        .packs
        .iter()
        .filter(|p| p.holds[0].1 == paper)
        .chain(&own)
        .collect();
    fn rest(packs: &[&Pack], sheets: i64) -> Option<i64> {
        let Some((first, others)) = packs.split_first() else {
            return (sheets <= 0).then_some(0);
        };
        let enough = (sheets.max(0) + first.holds[0].2 - 1) / first.holds[0].2;
        let most = first.most.unwrap_or(enough).min(enough);
        (0..=most)
            .filter_map(|n| Some(first.price.0 * n + rest(others, sheets - n * first.holds[0].2)?))
            .min()
    }
    rest(&packs, sheets)
}

/// Every pair of numbers of sheets is asked about, each as its own question.
fn by_all_numbers(all: &Supplies, order: &Order) -> Option<i64> {
    let question = pool::question(order, &[0, 1], Stages::Free, 1, ruler()).expect("a question");
    let pieces: u64 = order.wants.iter().map(|want| want.count).sum();
    let mut best = None;
    for first in 0..=pieces {
        for second in 0..=pieces {
            let home = |at: usize| all.papers[at].sheets.unwrap_or(0);
            let price = |at: usize, n: u64| least_price(all, at, n as i64 - home(at));
            let Some(price) = price(0, first).zip(price(1, second)).map(|(a, b)| a + b) else {
                continue;
            };
            if best.is_some_and(|best| price >= best) {
                continue;
            }
            let mut job = question.job.clone();
            (job.stocks[0].count, job.stocks[1].count) = (Some(first), Some(second));
            let answer = nest::solve(&job, &nest::Limits::default());
            if !answer.expect("a job").cuttings.is_empty() {
                best = Some(price);
            }
        }
    }
    best
}

#[test]
fn all_numbers_of_sheets_are_tried() {
    let (mut sold, mut mixed) = (0, 0);
    for seed in 0..600 {
        let (all, wants) = drawn(&mut Dice::new(seed));
        let order = order(&all, wants);
        match (
            bought(&all, order.clone(), &Limits::default()),
            by_all_numbers(&all, &order),
        ) {
            (Ok(found), Some(price)) => {
                assert!(found.proved, "{seed}");
                assert_eq!(found.price, Money(price), "{seed} {all:?} {order:?}");
                sold += 1;
                mixed += usize::from(found.things.iter().filter(|it| it.bought > 0).count() > 1);
            }
            (Err(BuyError::NotEnough(_)), None) => {}
            // A piece that fits no sheet is an error of the question.
            (Err(BuyError::Cut(_)), _) => {}
            (found, wanted) => panic!("{seed} {:?}, not {wanted:?}", found.map(|it| it.price)),
        }
    }
    assert!(sold > 400 && mixed > 30, "{sold} {mixed}");
}

/// With the time up there is still an answer, but it claims no proof.
#[test]
fn a_budget_ends_the_questions() {
    let supplies = letter_and_square();
    let limits = Limits {
        until: Some(std::time::Instant::now()),
        ..Limits::default()
    };
    let found = bought(&supplies, order(&supplies, low_water(2)), &limits);
    let found = found.expect("the first plan is there");
    assert!(
        !found.proved && found.price >= found.least,
        "{:?}",
        found.price
    );
}
