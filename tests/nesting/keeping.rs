//! A large offcut in one piece: against a plain reference that tries every cut at every tick, by hand,
//! and with proofs that were tampered with.

use crate::leaving::most_left;
use crate::reference::small_job;
use crate::{Dice, job, limits, piece, stock, turned};
use tuckwright::nest::{
    Answer, Job, Kept, KeptError, Limits, Stages, Stop, Verdict, check_kept, keep, solve,
};

fn area((width, height): (u64, u64)) -> u64 {
    width * height
}

/// The largest offcut of cuttings.
fn largest(answer: &Answer, least: u64) -> u64 {
    let each = answer.cuttings.iter();
    let each = each.filter_map(|c| c.sheet.largest_offcut(least)).map(area);
    each.max().unwrap_or(0)
}

fn kept(job: &Job) -> (Answer, Kept) {
    let answer = solve(job, &limits()).unwrap();
    assert_eq!(answer.verdict, Verdict::Proved);
    let kept = keep(job, &answer.cuttings, 1, &limits()).unwrap();
    check_kept(job, &kept).unwrap_or_else(|e| panic!("{e}\n{job:#?}\n{kept:#?}"));
    (answer, kept)
}

#[test]
fn small_jobs_keep_as_much_in_one_piece_as_they_can() {
    let mut dice = Dice(0x2468_ace0_1357_9bdf);
    let (mut asked, mut proved, mut better) = (0, 0, 0);
    for number in 0..1500 {
        let job = small_job(&mut dice);
        let Ok(answer) = solve(&job, &limits()) else {
            continue;
        };
        if answer.verdict != Verdict::Proved {
            continue;
        }
        let least = dice.throw(0, 3);
        let kept = keep(&job, &answer.cuttings, least, &limits()).unwrap();
        check_kept(&job, &kept).unwrap_or_else(|e| panic!("{number}: {e}\n{job:#?}\n{kept:#?}"));
        let most = most_left(&job, &answer.cuttings, kept.least);
        let own = area(kept.size);
        assert!(own >= largest(&answer, kept.least), "{number}: {job:#?}");
        assert!(own <= most, "{number}: {most} {job:#?}\n{kept:#?}");
        asked += 1;
        better += usize::from(own > largest(&answer, kept.least));
        if kept.proved {
            assert_eq!(own, most, "{number}: {job:#?}\n{kept:#?}");
            proved += 1;
        } else if job.narrowest <= 1 && job.pieces.iter().all(|p| p.most_alike.is_none()) {
            panic!("{number}: not proved: {job:#?}\n{kept:#?}");
        }
    }
    assert!(
        asked > 900 && proved > 700 && better > 90,
        "{asked} {proved} {better}"
    );
}

#[test]
fn four_pieces_leave_half_a_sheet_whole() {
    // 4 x 18 square inches of 144; stacked they are 6 wide and 12 high, so 6 x 12 stays whole: by hand.
    for stages in [Stages::Two, Stages::Three, Stages::Free] {
        let job = turned(job(vec![piece(6, 3, 4)], vec![stock(12, 12)], stages));
        let (_, kept) = kept(&job);
        assert_eq!((area(kept.size), kept.proved), (72, true));
    }
}

#[test]
fn the_last_cut_of_all_may_leave_the_most() {
    // Two stages on 10 x 9: the piece of 2 x 9 takes a strip of all the height, the one of 8 x 1
    // must lie beside it, and what is cut off that piece last is 8 x 8. By hand.
    let pieces = vec![piece(2, 9, 1), piece(8, 1, 1)];
    let job = job(pieces, vec![stock(10, 9)], Stages::Two);
    let (_, kept) = kept(&job);
    assert_eq!((kept.size, kept.proved), ((8, 8), true));
}

#[test]
fn the_blade_takes_its_part_of_the_offcut_too() {
    // 12 - 3 - 1 is left beside a piece of 3 wide.
    let mut job = job(vec![piece(3, 12, 1)], vec![stock(12, 12)], Stages::Free);
    job.gap = 1;
    let (_, kept) = kept(&job);
    assert_eq!((kept.size, kept.proved), ((8, 12), true));
}

/// Album-like lists: up to six sizes in sixteenths of an inch on sheets of 12 x 12 in.
fn list(dice: &mut Dice, stages: Stages) -> Job {
    let kinds = dice.throw(2, 6);
    let pieces =
        (0..kinds).map(|_| piece(dice.throw(16, 100), dice.throw(16, 120), dice.throw(1, 8)));
    let job = job(pieces.collect(), vec![stock(192, 192)], stages);
    if dice.throw(0, 1) == 0 {
        job
    } else {
        turned(job)
    }
}

#[test]
fn lists_of_an_album_keep_more_and_mostly_the_most() {
    let mut dice = Dice(0x0f1e_2d3c_4b5a_6978);
    let (mut proved, mut better, mut sum) = (0, 0, (0, 0));
    for number in 0..36 {
        let stages = [Stages::Two, Stages::Three, Stages::Free][number % 3];
        let job = list(&mut dice, stages);
        let (answer, kept) = kept(&job);
        let (before, after) = (largest(&answer, 1), area(kept.size));
        assert!(after >= before);
        assert!(kept.proved || kept.stopped.is_none() || kept.stopped == Some(Stop::Nodes));
        proved += usize::from(kept.proved);
        better += usize::from(after > before);
        sum = (sum.0 + before, sum.1 + after);
        // Without the plan that keeps so much the proof must not stand: something larger is possible.
        if kept.proved && after > before {
            let first = answer.cuttings.iter();
            let size = first.filter_map(|c| c.sheet.largest_offcut(1));
            let claim = Kept {
                cuttings: answer.cuttings.clone(),
                size: size.max_by_key(|s| area(*s)).unwrap_or((0, 0)),
                ..kept.clone()
            };
            let refused = check_kept(&job, &claim);
            let missing = matches!(
                refused,
                Err(KeptError::NotRuledOut { .. } | KeptError::LastCutNotRuledOut { .. })
            );
            assert!(missing, "{number}: {refused:?}");
        }
    }
    assert!(proved >= 24 && better >= 20, "{proved} {better}");
    assert!(sum.1 > sum.0, "{sum:?}");
}

#[test]
fn a_proof_that_was_tampered_with_is_refused() {
    let mut dice = Dice(0x7777_1234_8888_4321);
    let (mut dropped, mut needed) = (0, 0);
    for _ in 0..12 {
        let job = list(&mut dice, Stages::Free);
        let (_, kept) = kept(&job);
        if !kept.proved {
            continue;
        }
        let mut claim = kept.clone();
        claim.size.0 += 1;
        assert!(matches!(
            check_kept(&job, &claim),
            Err(KeptError::WrongSize { .. })
        ));
        for number in 0..kept.ruled_out.len() {
            // An extra that the sheets do give cannot be ruled out by what rules out a larger one.
            let mut claim = kept.clone();
            let extra = &mut claim.ruled_out[number].extra;
            (extra.width, extra.height) = (1, 1);
            let refused = check_kept(&job, &claim);
            assert!(refused.is_err(), "{refused:?}");
            let mut claim = kept.clone();
            claim.ruled_out.remove(number);
            dropped += 1;
            needed += usize::from(check_kept(&job, &claim).is_err());
        }
    }
    assert!(needed > 10 && dropped > needed / 2, "{needed} of {dropped}");
}

#[test]
fn a_clock_leaves_the_plan_as_it_was() {
    let job = turned(job(
        vec![piece(50, 70, 9), piece(33, 81, 7)],
        vec![stock(192, 192)],
        Stages::Three,
    ));
    let answer = solve(&job, &limits()).unwrap();
    let none = Limits {
        clock: std::time::Duration::ZERO,
        ..limits()
    };
    let kept = keep(&job, &answer.cuttings, 1, &none).unwrap();
    check_kept(&job, &kept).unwrap();
    assert_eq!((kept.proved, kept.stopped), (false, Some(Stop::Clock)));
    assert_eq!(kept.cuttings, answer.cuttings);
}

#[test]
fn fine_rulers_have_too_many_sizes_for_a_proof() {
    // Tenths of a millimetre, 700 x 500 mm.
    let pieces = [
        (833, 1217, 14),
        (551, 904, 22),
        (1479, 612, 9),
        (333, 444, 30),
    ];
    let pieces = pieces.map(|(w, h, n)| piece(w, h, n)).to_vec();
    let job = turned(job(pieces, vec![stock(7000, 5000)], Stages::Three));
    let few = Limits {
        nodes: 4_000,
        ..limits()
    };
    let answer = solve(&job, &few).unwrap();
    let kept = keep(&job, &answer.cuttings, 1, &few).unwrap();
    check_kept(&job, &kept).unwrap();
    assert!(!kept.proved && area(kept.size) >= largest(&answer, 1));
}
