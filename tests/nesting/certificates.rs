//! Certificates are accepted as they are and refused once anything in them is made to say more.

use crate::reference::small_job;
use crate::{Dice, job, limits, piece, stock, turned};
use tuckwright::nest::{Answer, Certificate, Claim, Job, Reason, Stages, check_bound, solve};

/// A list such as an album's, on a sheet of 12 x 12 in sixteenths.
fn list(dice: &mut Dice) -> Job {
    let pieces = (0..dice.throw(2, 8)).map(|_| {
        let (width, height) = (dice.throw(20, 110), dice.throw(20, 110));
        piece(width, height, dice.throw(1, 12))
    });
    let pieces = pieces.collect();
    let stages = [Stages::Free, Stages::Three, Stages::Two][dice.throw(0, 2) as usize];
    job(pieces, vec![stock(192, 192)], stages)
}

fn solved(job: &Job) -> Answer {
    let answer = solve(job, &limits()).unwrap();
    assert_eq!(
        check_bound(job, &answer.certificate),
        Ok(answer.certificate.claim)
    );
    answer
}

#[test]
fn a_stronger_claim_is_refused() {
    let mut dice = Dice(77);
    for number in 0..60 {
        let mut job = list(&mut dice);
        if number % 2 == 1 {
            job = turned(job);
        }
        let answer = solved(&job);
        let Claim::CostsAtLeast(least) = answer.certificate.claim else {
            panic!("sheets are unlimited");
        };
        for claim in [
            Claim::CostsAtLeast(least + 1),
            Claim::CostsAtLeast(u64::MAX),
            Claim::NotEnough,
        ] {
            let more = Certificate {
                claim,
                ..answer.certificate.clone()
            };
            assert!(check_bound(&job, &more).is_err(), "{claim:?} {job:#?}");
        }
    }
}

/// One number of the certificate is changed. It may then still prove its claim, but no change may
/// prove more than is true.
#[test]
fn changed_numbers_prove_nothing_untrue() {
    let mut dice = Dice(4_711);
    let (mut refused, mut tried) = (0, 0);
    for _ in 0..40 {
        let job = list(&mut dice);
        let answer = solved(&job);
        if !answer.proved() {
            continue;
        }
        for _ in 0..40 {
            let mut changed = answer.certificate.clone();
            let more = dice.throw(0, 1);
            changed.claim = Claim::CostsAtLeast(answer.lower_bound + more);
            let size = dice.throw(1, 22);
            let step = dice.throw(1, 1 << size);
            let twist = |n: &mut u64, up: bool| {
                *n = if up {
                    n.saturating_add(step)
                } else {
                    n.saturating_sub(step)
                };
            };
            let up = dice.throw(0, 1) == 1;
            match &mut changed.reason {
                Reason::Values { values, best } => {
                    let at = dice.throw(0, values.len() as u64) as usize;
                    twist(values.get_mut(at).unwrap_or(&mut best[0]), up);
                }
                Reason::Search {
                    values,
                    best,
                    steps,
                    ..
                } => {
                    let at = dice.throw(0, values.len() as u64) as usize;
                    let step = dice.throw(0, steps.len() as u64 - 1) as usize;
                    let within = dice.throw(0, steps[step].values.len() as u64) as usize;
                    match dice.throw(0, 3) {
                        0 => twist(values.get_mut(at).unwrap_or(&mut best[0]), up),
                        1 if within < steps[step].values.len() => {
                            twist(&mut steps[step].values[within], up);
                        }
                        2 => drop(steps.remove(step)),
                        _ => steps.truncate(step),
                    }
                }
            }
            tried += 1;
            match check_bound(&job, &changed) {
                // The optimum is known: nothing above it may be accepted.
                Ok(claim) => assert_eq!(claim, Claim::CostsAtLeast(answer.lower_bound)),
                Err(_) => refused += 1,
            }
        }
    }
    assert!(refused * 2 > tried, "{refused} of {tried}");
}

#[test]
fn a_sheet_that_holds_more_than_is_said_is_found_out() {
    let mut dice = Dice(31);
    for _ in 0..40 {
        let job = list(&mut dice);
        let mut certificate = solved(&job).certificate;
        let (Reason::Values { best, .. } | Reason::Search { best, .. }) = &mut certificate.reason;
        best[0] /= 2;
        assert!(check_bound(&job, &certificate).is_err());
    }
}

#[test]
fn lists_of_the_wrong_length_are_refused() {
    let mut dice = Dice(5);
    for _ in 0..20 {
        let job = small_job(&mut dice);
        let Ok(answer) = solve(&job, &limits()) else {
            continue;
        };
        for change in 0..3 {
            let mut changed = answer.certificate.clone();
            let (Reason::Values { values, best } | Reason::Search { values, best, .. }) =
                &mut changed.reason;
            match change {
                0 => values.push(1),
                1 => best.push(1),
                _ => drop(values.pop()),
            }
            assert!(check_bound(&job, &changed).is_err());
        }
    }
}

/// Bounds above that of values, where pieces are wanted once or twice.
#[test]
fn a_search_is_replayed_and_a_cut_one_is_refused() {
    let mut dice = Dice(2_024);
    let mut searched = 0;
    for _ in 0..300 {
        let pieces = (0..dice.throw(4, 10)).map(|_| {
            let (width, height) = (dice.throw(15, 75), dice.throw(15, 75));
            piece(width, height, dice.throw(1, 3))
        });
        let job = job(pieces.collect(), vec![stock(100, 100)], Stages::Free);
        let answer = solved(&job);
        let Reason::Search {
            groups,
            values,
            best,
            steps,
        } = &answer.certificate.reason
        else {
            continue;
        };
        searched += 1;
        let with = |groups: &Vec<Vec<usize>>, steps: &[_]| Certificate {
            claim: answer.certificate.claim,
            reason: Reason::Search {
                groups: groups.clone(),
                values: values.clone(),
                best: best.clone(),
                steps: steps.to_vec(),
            },
        };
        for end in 0..steps.len() {
            assert!(check_bound(&job, &with(groups, &steps[..end])).is_err());
        }
        let twice: Vec<_> = steps.iter().chain(steps).cloned().collect();
        assert!(check_bound(&job, &with(groups, &twice)).is_err());
        // Pieces that are not equal are no group.
        let mut merged = groups.clone();
        let last = merged.pop().unwrap();
        merged[0].extend(last);
        assert!(check_bound(&job, &with(&merged, steps)).is_err());
    }
    assert!(searched > 2, "{searched}");
}
