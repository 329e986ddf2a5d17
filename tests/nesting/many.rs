//! Jobs of many kinds and of large boards, where pieces are moved about one by one.

use crate::{Dice, job, limits, piece, stock, turned};
use tuckwright::nest::{Job, Limits, Stages, check_bound, solve, verify};

const STAGES: [Stages; 3] = [Stages::Free, Stages::Three, Stages::Two];

fn checked(job: &Job, nodes: u64) -> u64 {
    let limits = Limits { nodes, ..limits() };
    let answer = solve(job, &limits).unwrap();
    verify(job, &answer).unwrap();
    let claim = check_bound(job, &answer.certificate);
    assert_eq!(claim, Ok(answer.certificate.claim));
    assert!(answer.cost(job) <= answer.first_fit, "{job:#?}");
    let again = solve(job, &limits).unwrap();
    assert_eq!(answer, again, "the same nodes give the same answer");
    answer.cost(job).unwrap()
}

/// Cuts a part at random until pieces are small.
fn cut(dice: &mut Dice, width: u64, height: u64, largest: u64, out: &mut Vec<(u64, u64)>) {
    if width <= largest && height <= largest {
        out.push((width, height));
    } else if width > height {
        let at = dice.throw(width / 4, width * 3 / 4);
        cut(dice, at, height, largest, out);
        cut(dice, width - at, height, largest, out);
    } else {
        let at = dice.throw(height / 4, height * 3 / 4);
        cut(dice, width, at, largest, out);
        cut(dice, width, height - at, largest, out);
    }
}

/// Whole sheets cut up without waste: fewer sheets cannot give the pieces, as their area says, and
/// so many can. At most one more is found.
#[test]
fn sheets_cut_up_are_put_together_again() {
    let mut dice = Dice(2_024);
    for (side, largest) in [(100, 60), (300, 150), (1_000, 600)] {
        let mut out = Vec::new();
        for _ in 0..3 {
            cut(&mut dice, side, side, largest, &mut out);
        }
        let pieces = out.iter().map(|&(w, h)| piece(w, h, 1)).collect();
        let job = job(pieces, vec![stock(side, side)], Stages::Free);
        let sheets = checked(&job, 20_000);
        assert!((3..=4).contains(&sheets), "{sheets}: {job:#?}");
    }
}

/// Blades, several stocks of several costs and limited sheets, turned or not, in all stages.
#[test]
fn many_kinds_are_cut_as_the_job_says() {
    let mut dice = Dice(99);
    for number in 0..9 {
        let pieces = (0..dice.throw(13, 30)).map(|_| {
            let (width, height) = (dice.throw(5, 60), dice.throw(5, 60));
            piece(width, height, dice.throw(1, 4))
        });
        let pieces = pieces.collect();
        let mut small = stock(70, 80);
        (small.count, small.cost) = (Some(dice.throw(1, 4)), 3);
        let mut fixed = stock(120, 60);
        (fixed.turn, fixed.cost) = (false, 4);
        let stocks = vec![small, stock(100, 100), fixed];
        let stocks = stocks.into_iter().take(2 + number % 2).collect();
        let mut job = job(pieces, stocks, STAGES[number % 3]);
        job.stocks[1].cost = 5;
        job.gap = number as u64 % 4;
        if number % 2 == 1 {
            job = turned(job);
        }
        checked(&job, 3_000);
    }
}

/// More pieces than are moved one by one, on a large board.
#[test]
fn long_lists_on_large_boards_end_within_their_nodes() {
    let mut dice = Dice(5);
    for stages in STAGES {
        let pieces = (0..20).map(|_| {
            let (width, height) = (dice.throw(50, 400), dice.throw(50, 400));
            piece(width, height, dice.throw(1, 200))
        });
        checked(
            &job(pieces.collect(), vec![stock(1_000, 1_000)], stages),
            5_000,
        );
    }
}
