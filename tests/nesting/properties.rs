//! What must hold between jobs, over proved optima.

use crate::{Dice, job, limits, piece, stock};
use tuckwright::nest::{Job, Stages, check_bound, fill, solve, verify, verify_fill};

/// Sheets of a proved optimum.
fn proved(job: &Job) -> Option<u64> {
    let answer = solve(job, &limits()).unwrap();
    verify(job, &answer).unwrap();
    check_bound(job, &answer.certificate).unwrap();
    assert!(
        answer
            .first_fit
            .is_none_or(|plain| plain >= answer.sheets())
    );
    answer.proved().then(|| answer.sheets())
}

fn list(dice: &mut Dice) -> Job {
    let pieces = (0..dice.throw(2, 6)).map(|_| {
        let (width, height) = (dice.throw(12, 80), dice.throw(12, 80));
        piece(width, height, dice.throw(1, 9))
    });
    job(pieces.collect(), vec![stock(100, 130)], Stages::Free)
}

#[test]
fn one_piece_more_never_takes_fewer_sheets() {
    let mut dice = Dice(1_001);
    let mut compared = 0;
    for _ in 0..60 {
        let small = list(&mut dice);
        let mut large = small.clone();
        if dice.throw(0, 1) == 0 {
            let at = dice.throw(0, large.pieces.len() as u64 - 1) as usize;
            large.pieces[at].count += 1;
        } else {
            large
                .pieces
                .push(piece(dice.throw(12, 80), dice.throw(12, 80), 1));
        }
        if let (Some(small), Some(large)) = (proved(&small), proved(&large)) {
            assert!(small <= large && large <= small + 1);
            compared += 1;
        }
    }
    assert!(compared > 50, "{compared}");
}

#[test]
fn turning_never_takes_more_sheets() {
    let mut dice = Dice(1_002);
    let mut compared = 0;
    for _ in 0..60 {
        let fixed = list(&mut dice);
        let mut free = fixed.clone();
        free.pieces
            .iter_mut()
            .for_each(|p| p.turn = dice.throw(0, 2) > 0);
        let mut grained = free.clone();
        grained.stocks[0].turn = false;
        if let (Some(fixed), Some(free), Some(grained)) =
            (proved(&fixed), proved(&free), proved(&grained))
        {
            assert!(free <= fixed);
            assert_eq!(grained, fixed, "a sheet with a direction turns nothing");
            compared += 1;
        }
    }
    assert!(compared > 50, "{compared}");
}

#[test]
fn more_stages_never_take_more_sheets() {
    let mut dice = Dice(1_003);
    let mut compared = 0;
    for _ in 0..60 {
        let mut job = list(&mut dice);
        job.pieces.iter_mut().for_each(|p| p.turn = true);
        let sheets = [Stages::Two, Stages::Three, Stages::Free].map(|stages| {
            job.stages = stages;
            proved(&job)
        });
        if let [Some(two), Some(three), Some(free)] = sheets {
            assert!(free <= three && three <= two);
            compared += 1;
        }
    }
    assert!(compared > 50, "{compared}");
}

#[test]
fn a_wider_blade_and_a_ragged_edge_never_save_sheets() {
    let mut dice = Dice(1_004);
    let mut compared = 0;
    for _ in 0..40 {
        let plain = list(&mut dice);
        let mut wide = plain.clone();
        wide.gap = dice.throw(1, 4);
        let mut ragged = plain.clone();
        ragged.stocks[0].trim.left = dice.throw(1, 4);
        ragged.stocks[0].trim.top = dice.throw(0, 4);
        if let (Some(plain), Some(wide), Some(ragged)) =
            (proved(&plain), proved(&wide), proved(&ragged))
        {
            assert!(plain <= wide && plain <= ragged);
            compared += 1;
        }
    }
    assert!(compared > 30, "{compared}");
}

#[test]
fn the_same_job_gives_the_same_answer() {
    let mut dice = Dice(1_005);
    for _ in 0..10 {
        let job = list(&mut dice);
        let answers = [(); 2].map(|()| solve(&job, &limits()).unwrap());
        assert_eq!(answers[0], answers[1]);
    }
}

#[test]
fn a_trimmer_that_holds_less_never_saves_sheets() {
    let mut dice = Dice(1_006);
    for number in 0..40 {
        let mut job = list(&mut dice);
        job.pieces
            .iter_mut()
            .for_each(|p| p.turn = dice.throw(0, 1) > 0);
        let mut before = 0;
        for narrowest in [0, 2, 4, 7, 10, 12] {
            job.narrowest = narrowest;
            let answer = solve(&job, &limits()).unwrap();
            verify(&job, &answer).unwrap();
            let sheets = answer.sheets();
            assert!(sheets >= before, "{number}: {narrowest}\n{job:#?}");
            before = sheets;
        }
    }
}

#[test]
fn a_trimmer_that_holds_less_never_fills_more() {
    let mut dice = Dice(1_007);
    for number in 0..60 {
        let mut job = list(&mut dice);
        for stages in [Stages::Two, Stages::Three, Stages::Free] {
            job.stages = stages;
            let mut before = u64::MAX;
            for narrowest in [0, 2, 5, 9, 12] {
                job.narrowest = narrowest;
                let best = fill(&job, &limits()).unwrap();
                verify_fill(&job, &best).unwrap();
                assert!(best.proved && best.value <= before, "{number}: {job:#?}");
                before = best.value;
            }
        }
    }
}
