//! The ends of what can be asked: right answers or clear errors, in bounded memory.

use crate::{job, limits, piece, stock};
use std::sync::Mutex;
use std::sync::atomic::AtomicBool;
use tuckwright::nest::{
    Claim, JobError, LONGEST_SIDE, Limits, MOST_PIECES, Stages, Stop, Trim, Verdict, check_bound,
    check_kept, fill, keep, solve, verify, verify_fill,
};

const ALL: [Stages; 3] = [Stages::Free, Stages::Three, Stages::Two];

#[test]
fn two_pieces_fill_a_sheet_exactly() {
    for stages in ALL {
        let job = job(vec![piece(96, 192, 2)], vec![stock(192, 192)], stages);
        let answer = solve(&job, &limits()).unwrap();
        verify(&job, &answer).unwrap();
        assert_eq!((answer.sheets(), answer.verdict), (1, Verdict::Proved));
        let kept = keep(&job, &answer.cuttings, 1, &limits()).unwrap();
        check_kept(&job, &kept).unwrap();
        assert_eq!((kept.size, kept.proved), ((0, 0), true));
    }
    // With a blade that takes a tick they no longer do.
    let mut job = job(vec![piece(96, 192, 2)], vec![stock(192, 192)], Stages::Free);
    job.gap = 1;
    let answer = solve(&job, &limits()).unwrap();
    verify(&job, &answer).unwrap();
    assert_eq!((answer.sheets(), answer.verdict), (2, Verdict::Proved));
}

#[test]
fn a_piece_as_large_as_the_sheet_needs_no_cut() {
    let job = job(vec![piece(192, 100, 3)], vec![stock(192, 100)], Stages::Two);
    let answer = solve(&job, &limits()).unwrap();
    verify(&job, &answer).unwrap();
    assert_eq!((answer.sheets(), answer.cuttings.len()), (3, 1));
}

#[test]
fn a_piece_that_is_too_large_is_told_with_what_is_missing() {
    let mut large = job(
        vec![piece(10, 10, 1), piece(200, 90, 1)],
        vec![stock(150, 150), stock(192, 80)],
        Stages::Free,
    );
    let error = |turned, stock, over| JobError::PieceTooLarge {
        piece: 1,
        stock,
        turned,
        over,
    };
    assert_eq!(large.check(), Err(vec![error(false, 1, (8, 10))]));
    large.pieces[1].turn = true;
    large.stocks[1].height = 60;
    large.stocks[0].height = 199;
    assert_eq!(large.check(), Err(vec![error(true, 0, (0, 1))]));
}

#[test]
fn all_faults_are_told_at_once() {
    let mut bad = job(
        vec![
            piece(10, 10, 0),
            piece(0, 5, 1),
            piece(LONGEST_SIDE + 1, 5, 1),
        ],
        vec![stock(0, 100), stock(100, 100)],
        Stages::Free,
    );
    bad.stocks[1].trim = Trim {
        left: 60,
        right: 40,
        ..Trim::default()
    };
    bad.stocks[1].cost = 0;
    let errors = solve(&bad, &limits()).unwrap_err();
    for error in [
        JobError::ZeroCount { piece: 0 },
        JobError::ZeroSide { piece: 1 },
        JobError::PieceTooLong { piece: 2 },
        JobError::NothingLeft { stock: 0 },
        JobError::NothingLeft { stock: 1 },
        JobError::ZeroCost { stock: 1 },
    ] {
        assert!(errors.contains(&error), "{error} is missing in {errors:?}");
    }
    let empty = job(Vec::new(), Vec::new(), Stages::Free);
    let errors = solve(&empty, &limits()).unwrap_err();
    assert_eq!(errors, vec![JobError::NoPieces, JobError::NoStocks]);
}

#[test]
fn counts_and_values_that_overflow_are_refused() {
    let many = job(
        vec![piece(10, 10, u64::MAX), piece(11, 11, u64::MAX)],
        vec![stock(100, 100)],
        Stages::Free,
    );
    assert_eq!(
        solve(&many, &limits()).unwrap_err(),
        vec![JobError::TooManyPieces]
    );
    let mut dear = job(vec![piece(10, 10, 1)], vec![stock(100, 100)], Stages::Free);
    dear.stocks[0].cost = u64::MAX / 8;
    assert_eq!(
        solve(&dear, &limits()).unwrap_err(),
        vec![JobError::TooMuch]
    );
    dear.stocks[0].cost = 1;
    dear.pieces[0].value = Some(u64::MAX);
    assert_eq!(fill(&dear, &limits()).unwrap_err(), vec![JobError::TooMuch]);
    let mut wide = job(vec![piece(10, 10, 1)], vec![stock(100, 100)], Stages::Free);
    wide.gap = u64::MAX;
    let errors = solve(&wide, &limits()).unwrap_err();
    assert_eq!(
        errors,
        vec![
            JobError::PieceTooLong { piece: 0 },
            JobError::SheetTooLong { stock: 0 }
        ]
    );
}

#[test]
fn ten_thousand_pieces_of_one_size() {
    for stages in ALL {
        let job = job(vec![piece(48, 64, 10_000)], vec![stock(192, 192)], stages);
        let answer = solve(&job, &limits()).unwrap();
        verify(&job, &answer).unwrap();
        check_bound(&job, &answer.certificate).unwrap();
        // 4 x 3 on a sheet.
        assert_eq!((answer.sheets(), answer.verdict), (834, Verdict::Proved));
        assert!(answer.cuttings.len() <= 2);
    }
}

#[test]
fn as_many_pieces_as_are_allowed() {
    let half = MOST_PIECES / 2;
    let job = job(
        vec![piece(100, 60, half), piece(45, 60, half)],
        vec![stock(192, 192)],
        Stages::Free,
    );
    let answer = solve(&job, &limits()).unwrap();
    verify(&job, &answer).unwrap();
    check_bound(&job, &answer.certificate).unwrap();
    assert!(answer.cost(&job).unwrap() - answer.lower_bound <= 1);
}

#[test]
fn ten_thousand_tiny_pieces_on_one_sheet() {
    for stages in ALL {
        let job = job(vec![piece(1, 1, 10_000)], vec![stock(100, 100)], stages);
        let answer = solve(&job, &limits()).unwrap();
        verify(&job, &answer).unwrap();
        assert_eq!((answer.sheets(), answer.verdict), (1, Verdict::Proved));
    }
    // One long strip: deep if it were cut piece by piece.
    let job = job(
        vec![piece(1, 1, 50_000)],
        vec![stock(50_000, 1)],
        Stages::Free,
    );
    let answer = solve(&job, &limits()).unwrap();
    verify(&job, &answer).unwrap();
    assert_eq!(answer.sheets(), 1);
}

#[test]
fn more_positions_than_memory_holds_still_get_a_plan() {
    // Sides without a common measure: nearly every tick is a sum of them.
    let sizes = (0..40).map(|at| piece(1_001 + 7 * at, 1_003 + 11 * at, 1_000));
    let side = LONGEST_SIDE;
    for stages in ALL {
        let job = job(sizes.clone().collect(), vec![stock(side, side)], stages);
        let answer = solve(&job, &limits()).unwrap();
        verify(&job, &answer).unwrap();
        check_bound(&job, &answer.certificate).unwrap();
        assert_eq!(answer.sheets(), 1);
        let best = fill(&job, &limits()).unwrap();
        verify_fill(&job, &best).unwrap();
        assert!(!best.proved && best.value > 0);
    }
}

#[test]
fn sheets_at_hand_that_do_not_suffice() {
    let mut short = job(
        vec![piece(60, 60, 5), piece(30, 90, 2)],
        vec![stock(100, 100), stock(120, 60)],
        Stages::Free,
    );
    short.stocks[0].count = Some(2);
    short.stocks[1].count = Some(1);
    let answer = solve(&short, &limits()).unwrap();
    verify(&short, &answer).unwrap();
    assert_eq!(answer.verdict, Verdict::NotEnough);
    assert_eq!(
        check_bound(&short, &answer.certificate),
        Ok(Claim::NotEnough)
    );
    // With one sheet more they do.
    short.stocks[0].count = Some(3);
    let answer = solve(&short, &limits()).unwrap();
    verify(&short, &answer).unwrap();
    assert_eq!(answer.verdict, Verdict::Proved);
}

#[test]
fn the_cheaper_of_two_stocks_is_used() {
    let mut two = job(
        vec![piece(50, 50, 8)],
        vec![stock(100, 100), stock(50, 50)],
        Stages::Free,
    );
    two.stocks[0].cost = 5;
    let answer = solve(&two, &limits()).unwrap();
    verify(&two, &answer).unwrap();
    assert_eq!(
        (answer.verdict, answer.cost(&two)),
        (Verdict::Proved, Some(8))
    );
    two.stocks[0].cost = 3;
    let answer = solve(&two, &limits()).unwrap();
    verify(&two, &answer).unwrap();
    assert_eq!(
        (answer.verdict, answer.cost(&two)),
        (Verdict::Proved, Some(6))
    );
}

#[test]
fn pieces_are_spread_over_papers() {
    let papers = ["dots", "stripes", "plain"].map(|name| {
        let mut stock = stock(100, 100);
        stock.name = name.into();
        stock.count = Some(2);
        stock
    });
    let mut spread = job(vec![piece(50, 50, 9)], papers.to_vec(), Stages::Free);
    let freely = solve(&spread, &limits()).unwrap();
    assert_eq!(freely.sheets(), 3);
    spread.pieces[0].most_alike = Some(3);
    let answer = solve(&spread, &limits()).unwrap();
    verify(&spread, &answer).unwrap();
    assert_eq!((answer.verdict, answer.sheets()), (Verdict::Proved, 3));
    spread.pieces[0].most_alike = Some(2);
    let answer = solve(&spread, &limits()).unwrap();
    verify(&spread, &answer).unwrap();
    assert!(matches!(
        answer.verdict,
        Verdict::Undecided | Verdict::NotEnough
    ));
}

#[test]
fn no_strip_is_narrower_than_the_trimmer_holds() {
    // 3 x 60 and a strip of 12 beside them, which must not be narrower than 15.
    let mut job = job(vec![piece(60, 60, 9)], vec![stock(192, 192)], Stages::Free);
    let answer = solve(&job, &limits()).unwrap();
    assert_eq!(answer.sheets(), 1);
    job.narrowest = 15;
    let answer = solve(&job, &limits()).unwrap();
    verify(&job, &answer).unwrap();
    assert_eq!(answer.sheets(), 3);
    job.pieces[0].width = 180;
    let errors = solve(&job, &limits()).unwrap_err();
    let left = (12, 132);
    let sliver = JobError::LeavesSliver {
        piece: 0,
        stock: 0,
        left,
    };
    assert_eq!(errors, vec![sliver]);
    job.pieces[0].width = 10;
    let errors = solve(&job, &limits()).unwrap_err();
    assert_eq!(errors, vec![JobError::TooNarrow { piece: 0, by: 5 }]);
}

#[test]
fn somebody_may_stop_it() {
    let sizes = (0..30).map(|at| piece(100 + 13 * at, 120 + 11 * at, 40));
    let job = job(sizes.collect(), vec![stock(1_000, 1_000)], Stages::Free);
    let stop = AtomicBool::new(true);
    let told = Mutex::new(Vec::new());
    let tell = |progress| told.lock().unwrap().push(progress);
    let answer = solve(
        &job,
        &Limits {
            cancel: Some(&stop),
            progress: Some(&tell),
            ..limits()
        },
    )
    .unwrap();
    verify(&job, &answer).unwrap();
    check_bound(&job, &answer.certificate).unwrap();
    assert_eq!(answer.stopped, Some(Stop::Cancelled));
    assert_eq!(answer.verdict, Verdict::Found);
    let told = told.into_inner().unwrap();
    let last = told.last().unwrap();
    assert_eq!(
        (last.cost, last.lower_bound),
        (answer.cost(&job), answer.lower_bound)
    );
}

#[test]
fn a_fill_may_hold_nothing_else() {
    let mut job = job(
        vec![piece(30, 40, 1)],
        vec![stock(29, 100), stock(100, 100)],
        Stages::Free,
    );
    // The first stock is filled, and it holds none.
    let best = fill(&job, &limits()).unwrap();
    verify_fill(&job, &best).unwrap();
    assert_eq!((best.value, best.proved), (0, true));
    job.stocks.swap(0, 1);
    job.pieces[0].value = Some(7);
    let best = fill(&job, &limits()).unwrap();
    verify_fill(&job, &best).unwrap();
    assert_eq!(best.value, 7 * 6);
}
