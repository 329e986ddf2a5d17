//! What sheets hold together, and from which number on a claim follows.

use crate::sums::certificate;
use crate::{Dice, job, piece, stock};
use tuckwright::nest::{CheckError, Claim, Job, Stages, Stock, check_bound};

/// Sheets of one piece of 10 x 10 each, by cost and number; so many of it are wanted.
fn sheets(each: &[(u64, Option<u64>)], wanted: u64) -> Job {
    let stocks = each.iter().map(|&(cost, count)| Stock {
        cost,
        count,
        ..stock(10, 10)
    });
    job(vec![piece(10, 10, wanted)], stocks.collect(), Stages::Free)
}

fn follows(job: &Job, best: &[u64], claim: Claim) -> bool {
    match check_bound(job, &certificate(&[1], best, claim)) {
        Ok(accepted) => {
            assert_eq!(accepted, claim);
            true
        }
        Err(CheckError::DoesNotFollow) => false,
        Err(other) => panic!("{other}"),
    }
}

/// The most that sheets hold within a budget: every number of each.
fn every_number(each: &[(u64, Option<u64>)], best: &[u64], budget: u64) -> u64 {
    let Some((&(cost, count), rest)) = each.split_first() else {
        return 0;
    };
    let most = count.unwrap_or(u64::MAX).min(budget / cost);
    let all = (0..=most)
        .map(|taken| taken * best[0] + every_number(rest, &best[1..], budget - taken * cost));
    all.max().unwrap_or(0)
}

#[test]
fn a_cost_follows_once_all_that_is_cheaper_holds_less_than_is_wanted() {
    let mut dice = Dice(0x5ee7_50f9_ade5_0123);
    let (mut yes, mut no) = (0, 0);
    for _ in 0..1_500 {
        let scale = dice.throw(1, 3);
        let kinds = dice.throw(1, 3) as usize;
        let each: Vec<(u64, Option<u64>)> = (0..kinds)
            .map(|_| {
                let count = (dice.throw(0, 1) == 0).then(|| dice.throw(0, 5));
                (scale * dice.throw(1, 6), count)
            })
            .collect();
        let best: Vec<u64> = each.iter().map(|_| dice.throw(1, 7)).collect();
        let least = dice.throw(0, 30);
        let within = least.checked_sub(1).map(|b| every_number(&each, &best, b));
        let within = within.unwrap_or(0);
        for wanted in [within, within + 1].into_iter().filter(|&w| w > 0) {
            let claim = Claim::CostsAtLeast(least);
            let expected = least == 0 || within < wanted;
            let found = follows(&sheets(&each, wanted), &best, claim);
            assert_eq!(found, expected, "{each:?} {best:?} {least} {wanted}");
            yes += usize::from(found);
            no += usize::from(!found);
        }
    }
    assert!(yes > 500 && no > 500, "{yes} {no}");
}

#[test]
fn above_200_000_a_part_of_a_sheet_counts_too() {
    let each = [(50_000, None), (70_001, Some(2))];
    let best = [4, 7];
    let at = |budget: u64, wanted| {
        let job = sheets(&each, wanted);
        follows(&job, &best, Claim::CostsAtLeast(budget + 1))
    };
    // Counted one by one: 2 x 7 + 4, and 9,998 are left.
    assert!(at(200_000, 19) && !at(200_000, 18));
    // 2 x 7 + 4, and a fifth of a sheet for the 9,999 that are left.
    assert!(at(200_001, 20) && !at(200_001, 19));
    // 14 + 3 x 4 + 1.
    assert!(at(300_000, 28) && !at(300_000, 27));
    // Nothing is left: 14 + 2 x 4 exactly.
    assert!(at(240_002, 23) && !at(240_002, 22));
    assert!(at(240_003, 24) && !at(240_003, 23));
    // With an end to both, all of them are all there are.
    let each = [(50_000, Some(3)), (70_001, Some(2))];
    let at = |wanted| {
        let job = sheets(&each, wanted);
        follows(&job, &best, Claim::CostsAtLeast(10_000_001))
    };
    assert!(at(27) && !at(26));
    // The better value for its cost comes first, whichever stands first.
    for swap in [false, true] {
        let mut each = vec![(100_003, Some(1)), (90_000, Some(5))];
        let mut best = vec![11, 9];
        if swap {
            each.reverse();
            best.reverse();
        }
        // 11 + 9 + ceil(9 x 59,997 / 90,000).
        let at = |wanted| {
            let job = sheets(&each, wanted);
            follows(&job, &best, Claim::CostsAtLeast(250_001))
        };
        assert!(at(27) && !at(26), "{swap}");
    }
    // What all costs share is taken out first.
    let each = [(500_000, None), (700_000, Some(2))];
    let at = |wanted| {
        let job = sheets(&each, wanted);
        follows(&job, &[4, 7], Claim::CostsAtLeast(2_300_000))
    };
    // Units of 100,000, counted one by one: 7 + 3 x 4 for all 22.
    assert!(at(20) && !at(19));
}

#[test]
fn sheets_do_not_suffice_once_all_of_them_hold_less_than_is_wanted() {
    let each = [(1, Some(3)), (2, Some(2)), (5, Some(0))];
    let best = [4, 7, 100];
    let short = |wanted| follows(&sheets(&each, wanted), &best, Claim::NotEnough);
    assert!(!short(25), "as much as is wanted suffices");
    assert!(!short(26), "3 x 4 + 2 x 7 is what is wanted");
    assert!(short(27));
    // Sheets without an end always suffice, unless they hold nothing.
    let each = [(1, Some(3)), (2, None)];
    assert!(!follows(&sheets(&each, 1_000), &[1, 1], Claim::NotEnough));
    let mut none = sheets(&each, 4);
    none.stocks[1].height = 9;
    assert!(follows(&none, &[1, 0], Claim::NotEnough));
    assert!(!follows(&none, &[1, 1], Claim::NotEnough));
    none.pieces[0].count = 3;
    assert!(!follows(&none, &[1, 0], Claim::NotEnough));
}
