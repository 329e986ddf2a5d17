//! Worked examples: shares cut off, published assignments, the longest common run of two words.

use crate::{arranged, photo, spot};
use num_rational::Ratio;
use tuckwright::arrange::photos::{Arranged, Asked, NoPlan, Wanted, arrange};
use tuckwright::arrange::problem::{Page, Problem, Proof};
use tuckwright::arrange::{Photo, bound, cost, free, kept, least_in_order, share, verify};
use tuckwright::length::{Interval, Length};
use tuckwright::plan::openings::PhotoSpot;
use tuckwright::supplies::{Card, Supplies};

fn inches(n: i64, over: i64) -> Length {
    Length::from_nm(Length::INCH.nm() * n / over)
}

fn ratio(a: i128, b: i128) -> Ratio<i128> {
    Ratio::new(a, b)
}

/// Worked out here with fractions by hand.
#[test]
fn what_is_cut_off_to_fill_a_print() {
    for (photo, print, off) in [
        ((4, 3), (6, 4), ratio(1, 9)),
        ((3, 2), (7, 5), ratio(1, 15)),
        ((3, 2), (10, 8), ratio(1, 6)),
        ((1, 1), (6, 4), ratio(1, 3)),
        ((4, 3), (4, 6), ratio(1, 2)),
    ] {
        let place = (inches(print.0, 1), inches(print.1, 1));
        let fit = share::fit(photo, place);
        assert_eq!(ratio(1, 1) - fit.filled, off, "{photo:?} in {print:?}");
        // However much is cut off, what is seen times what is covered is the same.
        for most in [ratio(0, 1), ratio(1, 20), ratio(1, 1)] {
            let seen = share::seen(fit, most);
            let (wide, high) = share::printed(photo, place, fit, seen);
            let covers = |image: Ratio<i128>, side: Length| {
                (image / ratio(side.nm().into(), 1)).min(ratio(1, 1))
            };
            let covered = covers(wide, place.0) * covers(high, place.1);
            assert_eq!(seen * covered, fit.filled);
        }
    }
}

/// Pixels at 300, 200 and 150 an inch for a 4 x 6 in print: 1200 x 1800, 800 x 1200, 600 x 900, as a
/// laboratory's table has them (read in a stored copy).
#[test]
fn pixels_an_inch_are_those_of_the_trade() {
    for (across, up, fine) in [(1_200, 1_800, 300), (800, 1_200, 200), (600, 900, 150)] {
        let place = (inches(4, 1), inches(6, 1));
        let fit = share::fit((across, up), place);
        let printed = share::printed((across, up), place, fit, ratio(1, 1));
        assert_eq!(share::pixels_an_inch(across, printed.0), ratio(fine, 1));
    }
}

/// A print of so many inches.
fn card(width: i64, height: i64) -> Card {
    let side = |n| Interval::exact(inches(n, 1));
    Card {
        name: "print".to_owned(),
        width: side(width),
        height: side(height),
        ..Card::default()
    }
}

/// A square photo, and places of 4 x 4 in and 5 1/2 x 6 in. Printed to measure it loses nothing in the first
/// and 1/12 in the second. On a print of 6 x 6 in it loses 1 - 16/36 in the first, and 1/12 in the second.
#[test]
fn what_is_lost_is_counted_on_the_print_to_order() {
    let photos = [photo("a", (1, 1), false)];
    let spots = [spot((32, 32), 1, false), spot((44, 48), 2, false)];
    let wanted = Wanted::default();
    let asked = Asked {
        photos: &photos,
        spots: &spots,
        wanted: &wanted,
        most_cut: ratio(1, 1),
    };
    let supplies = Supplies {
        prints: vec![card(6, 6)],
        ..Supplies::default()
    };
    let found = |prints: Vec<usize>| {
        let found = arrange(asked, &supplies, &|_| prints.clone(), &|| false);
        let found = found.expect("a plan");
        let lost = num_rational::Ratio::new(1.into(), 12.into());
        (found.placed[0].spot, found.sum == lost, found.worst)
    };
    assert_eq!(found(Vec::new()), (0, false, ratio(0, 1)));
    assert_eq!(found(vec![0]), (1, true, ratio(1, 12)));
    // The check looks at the print again.
    let mut other = arrange(asked, &supplies, &|_| vec![0], &|| false).expect("a plan");
    other.placed[0].spot = 0;
    other.placed[0].size = (inches(4, 1), inches(4, 1));
    assert!(verify::photos(asked, &supplies.prints, &other).is_err());
}

/// A photo of 3:4 for 4 x 5 1/4 in on a print of 4 x 6 in: filled and trimmed 7/9 of it are seen,
/// whole on the print and trimmed 63/64.
#[test]
fn a_photo_whole_on_its_print_shows_more() {
    let card = card(4, 6);
    let place = (inches(4, 1), inches(21, 4));
    let print = |most_cut| share::print((3, 4), place, [(0, &card)].into_iter(), most_cut);
    let print = print(ratio(1, 1)).expect("it is as large as the place");
    assert_eq!((print.whole, print.turned), (true, false));
    assert_eq!((print.seen(), print.covered), (ratio(63, 64), ratio(1, 1)));
    assert_eq!(print.off_height, inches(3, 4));
    // A photo of 2:3 fills the same print: nothing is white, and 7/8 of its height is seen.
    let fills = share::print((2, 3), place, [(0, &card)].into_iter(), ratio(1, 1));
    let fills = fills.expect("it is as large as the place");
    assert_eq!((fills.whole, fills.seen()), (false, ratio(7, 8)));
    // Cut down to 4 1/2 x 3 in, whose shape it has, it loses as much of its width as of its height.
    let small = (inches(9, 2), inches(3, 1));
    let cut = share::print((3, 2), small, [(0, &card)].into_iter(), ratio(1, 1));
    let cut = cut.expect("it is larger than the place");
    assert_eq!((cut.seen_wide, cut.seen_high), (ratio(3, 4), ratio(3, 4)));
    assert_eq!(cut.seen(), ratio(9, 16));
}

fn four() -> (Vec<Photo>, Vec<PhotoSpot>) {
    let photos = [("A", (4, 3)), ("B", (3, 4)), ("C", (1, 1)), ("D", (3, 2))];
    let photos = photos.map(|(name, sides)| photo(name, sides, false));
    let spots = [
        spot((32, 48), 1, false),
        spot((48, 32), 1, true),
        spot((32, 32), 2, false),
    ];
    (photos.to_vec(), spots.to_vec())
}

fn lost(found: &Arranged) -> (Ratio<i128>, Vec<usize>) {
    let sum = found.placed.iter().map(|it| ratio(1, 1) - it.fit.filled);
    (sum.sum(), found.left_out.clone())
}

/// Worked out by hand over all plans.
#[test]
fn four_photos_in_three_places() {
    let (photos, spots) = four();
    let found = |wanted: Wanted| lost(&arranged(&photos, &spots, &wanted).expect("a plan"));
    let free = |free| Wanted {
        free,
        ..Wanted::default()
    };
    assert_eq!(found(free(true)), (ratio(1, 9), vec![0]));
    assert_eq!(found(free(false)), (ratio(7, 9), vec![0]));
    let facing = vec![(0, 1)];
    let (sum, out) = found(Wanted {
        facing,
        ..free(true)
    });
    assert_eq!((sum, out), (ratio(2, 9), vec![3]));
    // C is square and wants the last place; kept there, D, behind it, has none left.
    let stays = vec![(2, 2)];
    let (_, out) = found(Wanted {
        stays,
        ..free(false)
    });
    assert_eq!(out, vec![3]);
}

#[test]
fn two_pairs_for_one_opening_cannot_both_face() {
    let (photos, spots) = four();
    let facing = vec![(0, 1), (2, 3)];
    let wanted = Wanted {
        facing,
        free: true,
        ..Wanted::default()
    };
    let (facing, stays) = (vec![0, 1], Vec::new());
    assert_eq!(
        arranged(&photos, &spots, &wanted),
        Err(NoPlan::Fixed { facing, stays })
    );
}

#[test]
fn the_least_sum_is_not_the_least_worst() {
    let photos = [photo("a", (4, 3), false), photo("b", (3, 2), false)];
    let spots = [spot((32, 24), 1, false), spot((32, 48), 2, false)];
    let found = |worst| {
        let wanted = Wanted {
            free: true,
            worst,
            ..Wanted::default()
        };
        let found = arranged(&photos, &spots, &wanted).expect("a plan");
        (found.worst, lost(&found).0)
    };
    assert_eq!(found(false), (ratio(5, 9), ratio(5, 9)));
    assert_eq!(found(true), (ratio(1, 2), ratio(11, 18)));
}

/// Every photo must be placed; prices prove it.
fn least(costs: &[&[i128]]) -> i128 {
    let problem = Problem {
        costs: costs
            .iter()
            .map(|row| row.iter().copied().map(Some).collect())
            .collect(),
        out: vec![None; costs.len()],
        dear: 1_000_000,
        pairs: Vec::new(),
        pages: vec![
            Page {
                opening: 0,
                right: false
            };
            costs[0].len()
        ],
        rough: None,
    };
    let found = free::any_order(&problem, &|| false);
    let plan = found.plan.expect("a plan");
    let total = cost(&problem, &plan, false).expect("it is whole");
    assert_eq!(bound(&problem, &found.proof), Some(total));
    total
}

/// Read in the tests of scipy (`test_linear_assignment.py`) and of pathfinding (`kuhn_munkres.rs`);
/// the second of each with a column more.
#[test]
fn published_assignments() {
    assert_eq!(
        least(&[&[400, 150, 400], &[400, 450, 600], &[300, 225, 300]]),
        850
    );
    assert_eq!(
        least(&[
            &[400, 150, 400, 1],
            &[400, 450, 600, 2],
            &[300, 225, 300, 3]
        ]),
        452
    );
    assert_eq!(least(&[&[4, 1, 3], &[2, 0, 5], &[3, 2, 2]]), 5);
    let cranes: [&[i128]; 4] = [
        &[90, 75, 75, 80],
        &[35, 85, 55, 65],
        &[125, 95, 90, 105],
        &[45, 110, 95, 115],
    ];
    assert_eq!(least(&cranes), 275);
    // Most is least of what is left of a thousand.
    let most: [[i128; 5]; 5] = [
        [7, 53, 183, 439, 863],
        [497, 383, 563, 79, 973],
        [287, 63, 343, 169, 583],
        [627, 343, 773, 959, 943],
        [767, 473, 103, 699, 303],
    ];
    let turned = most.map(|row| row.map(|n| 1_000 - n));
    let rows: Vec<&[i128]> = turned.iter().map(|row| &row[..]).collect();
    assert_eq!(5_000 - least(&rows), 3_315);
}

/// ABCBDAB and BDCABA have four letters in common in order (a textbook's example, from memory), and six
/// in any.
#[test]
fn the_longest_common_run() {
    let (a, b) = ("ABCBDAB", "BDCABA");
    let row = |x: char| b.chars().map(|y| (x == y).then_some(0)).collect();
    let problem = Problem {
        costs: a.chars().map(row).collect(),
        out: vec![Some(1); a.len()],
        dear: 1_000,
        pairs: Vec::new(),
        pages: vec![
            Page {
                opening: 0,
                right: false
            };
            b.len()
        ],
        rough: None,
    };
    let placed = |plan: Vec<Option<usize>>| plan.iter().flatten().count();
    assert_eq!(placed(kept::in_order(&problem).expect("a plan")), 4);
    assert_eq!(least_in_order(&problem), Some(3));
    let found = free::any_order(&problem, &|| false);
    assert_eq!(placed(found.plan.expect("a plan")), 6);
    // A proof with one price raised proves nothing.
    let Proof::Prices { mut photos, places } = found.proof else {
        panic!("no pairs, no branches");
    };
    photos[0] += 2;
    assert_eq!(bound(&problem, &Proof::Prices { photos, places }), None);
}
