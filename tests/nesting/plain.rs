//! The search against the plain reference, and the table against a plain one over every tick.

use crate::reference::{Reference, least_cost, small_job};
use crate::{Dice, job, limits, piece, stock};
use tuckwright::nest::{
    Claim, JobError, Reason, Stages, Verdict, check_bound, fill, solve, verify, verify_fill,
};

#[test]
fn small_jobs_are_cut_as_cheaply_as_they_can_be() {
    let mut dice = Dice(0x1234_5678_9abc_def1);
    let (mut proved, mut found, mut short, mut refused) = (0, 0, 0, 0);
    for number in 0..700 {
        let job = small_job(&mut dice);
        let answer = match solve(&job, &limits()) {
            Ok(answer) => answer,
            Err(errors) => {
                let fits = |e: &JobError| {
                    matches!(
                        e,
                        JobError::PieceTooLarge { .. } | JobError::LeavesSliver { .. }
                    )
                };
                assert!(errors.iter().all(fits), "{number}: {errors:?}");
                assert_eq!(least_cost(&job), None, "{number}: {job:#?}");
                refused += 1;
                continue;
            }
        };
        verify(&job, &answer).unwrap_or_else(|e| panic!("{number}: {e}\n{job:#?}"));
        let claim = check_bound(&job, &answer.certificate);
        claim.unwrap_or_else(|e| panic!("{number}: {e}\n{job:#?}"));
        let least = least_cost(&job);
        match answer.verdict {
            Verdict::Proved => {
                assert_eq!(answer.cost(&job), least, "{number}: {job:#?}");
                proved += 1;
            }
            Verdict::NotEnough => {
                assert_eq!(least, None, "{number}: {job:#?}");
                short += 1;
            }
            Verdict::Found => {
                assert!(least >= Some(answer.lower_bound), "{number}: {job:#?}");
                assert_eq!(answer.cost(&job), least, "{number}: {job:#?}");
                found += 1;
            }
            Verdict::Undecided => {
                assert!(least.is_none_or(|l| l >= answer.lower_bound), "{number}");
                assert_eq!(least, None, "{number}: a plan was missed\n{job:#?}");
            }
        }
    }
    assert!(
        proved > 400 && short > 10 && refused > 10,
        "{proved} {short} {refused}"
    );
    // What a strip that is too narrow costs is not in the bound.
    assert!(found < 60, "{found}");
}

#[test]
fn sheets_that_do_not_suffice_are_proved_not_to() {
    let mut dice = Dice(0x1234_5678_9abc_def1);
    let (mut short, mut searched) = (0, 0);
    for number in 0..4_000 {
        let mut job = small_job(&mut dice);
        job.narrowest = 0;
        for stock in &mut job.stocks {
            stock.count = Some(dice.throw(1, 2));
        }
        let Ok(answer) = solve(&job, &limits()) else {
            continue;
        };
        verify(&job, &answer).unwrap_or_else(|e| panic!("{number}: {e}\n{job:#?}"));
        let claim = check_bound(&job, &answer.certificate);
        claim.unwrap_or_else(|e| panic!("{number}: {e}\n{job:#?}"));
        assert!(answer.proved(), "{number}: {job:#?}");
        if answer.verdict != Verdict::NotEnough {
            continue;
        }
        short += 1;
        if matches!(answer.certificate.reason, Reason::Search { .. }) {
            assert_eq!(least_cost(&job), None, "{number}: {job:#?}");
            searched += 1;
            // As many as are wanted always suffice: the proof must not stand then.
            let mut more = job.clone();
            more.stocks.iter_mut().for_each(|s| s.count = None);
            assert!(check_bound(&more, &answer.certificate).is_err());
        }
    }
    assert!(short > 500 && searched > 5, "{short} {searched}");
}

/// The best value of every part, every cut at every tick.
fn every_tick(width: usize, height: usize, pieces: &[(usize, usize, u64)]) -> u64 {
    let mut best = vec![vec![0u64; height + 1]; width + 1];
    for w in 1..=width {
        for h in 1..=height {
            let fit = pieces.iter().filter(|p| p.0 <= w && p.1 <= h);
            let mut most = fit.map(|p| p.2).max().unwrap_or(0);
            for at in 1..w {
                most = most.max(best[at][h] + best[w - at][h]);
            }
            for at in 1..h {
                most = most.max(best[w][at] + best[w][h - at]);
            }
            best[w][h] = most;
        }
    }
    best[width][height]
}

#[test]
fn one_sheet_is_filled_as_well_as_by_every_tick() {
    let mut dice = Dice(0xfeed_beef_cafe_0123);
    for _ in 0..150 {
        let (width, height) = (dice.throw(10, 60), dice.throw(10, 60));
        let mut job = job(Vec::new(), vec![stock(width, height)], Stages::Free);
        let mut plain = Vec::new();
        for _ in 0..dice.throw(1, 7) {
            let mut p = piece(dice.throw(3, width), dice.throw(3, height), 1);
            p.value = (dice.throw(0, 1) == 1).then(|| dice.throw(1, 500));
            p.turn = dice.throw(0, 1) == 1;
            for (w, h, _) in p.ways(&job.stocks[0]) {
                plain.push((w as usize, h as usize, p.worth()));
            }
            job.pieces.push(p);
        }
        let best = fill(&job, &limits()).unwrap();
        verify_fill(&job, &best).unwrap();
        let expected = every_tick(width as usize, height as usize, &plain);
        assert_eq!(best.value, expected, "{job:#?}");
    }
}

/// Waste that is too narrow to be cut off counts too: every cut at every tick, in all stages.
#[test]
fn one_sheet_is_filled_as_well_as_the_trimmer_allows() {
    let mut dice = Dice(0x0bad_cafe_1234_5678);
    let mut narrow = 0;
    for number in 0..600 {
        let mut job = small_job(&mut dice);
        // As many as a sheet takes.
        job.pieces.iter_mut().for_each(|p| p.count = 9);
        let Ok(best) = fill(&job, &limits()) else {
            continue;
        };
        verify_fill(&job, &best).unwrap_or_else(|e| panic!("{number}: {e}\n{job:#?}"));
        let area = job.stocks[0].width * job.stocks[0].height;
        if job.pieces.iter().any(|p| p.width * p.height * 9 < area) {
            continue;
        }
        let all = Reference::new(&job, &job.stocks[0]).sheet();
        let worth = |counts: &Vec<u64>| {
            let each = counts.iter().zip(&job.pieces);
            each.map(|(count, piece)| count * piece.worth())
                .sum::<u64>()
        };
        let most = all.iter().map(worth).max();
        assert_eq!(Some(best.value), most, "{number}: {job:#?}");
        assert!(best.proved, "{number}: {job:#?}");
        narrow += u64::from(job.narrowest > 1);
    }
    assert!(narrow > 20, "{narrow}");
}

/// Published instances are drawn like this: sides between a quarter and three quarters of the
/// sheet's. Sizes here are our own.
#[test]
fn fills_of_larger_sheets_agree_with_the_certificate_checker() {
    let mut dice = Dice(0x0dd_ba11);
    for side in [250, 500, 700] {
        for turn in [false, true] {
            let sizes = (0..12).map(|_| {
                let mut p = piece(
                    dice.throw(side / 4, side * 3 / 4),
                    dice.throw(side / 4, side * 3 / 4),
                    1_000,
                );
                p.turn = turn;
                p
            });
            let job = job(sizes.collect(), vec![stock(side, side)], Stages::Free);
            let best = fill(&job, &limits()).unwrap();
            verify_fill(&job, &best).unwrap();
            // The checker's own table must find the same: worth less is refused, this is not.
            let reason = |best: u64| tuckwright::nest::Reason::Values {
                values: job.pieces.iter().map(|p| p.width * p.height).collect(),
                best: vec![best],
            };
            let certificate = |best: u64| tuckwright::nest::Certificate {
                claim: Claim::CostsAtLeast(1),
                reason: reason(best),
            };
            assert!(check_bound(&job, &certificate(best.value)).is_ok());
            assert!(check_bound(&job, &certificate(best.value - 1)).is_err());
        }
    }
}
