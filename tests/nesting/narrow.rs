//! The narrowest strip that the trimmer holds, where the sheet's ticks are fine: strips of waste of
//! every width would do, and plans that are easily found without it must not be lost by it.

use super::*;
use tuckwright::nest::{Answer, solve, verify};

const ALL: [Stages; 3] = [Stages::Two, Stages::Three, Stages::Free];

fn answer(job: &Job, nodes: u64) -> Answer {
    let limits = Limits { nodes, ..limits() };
    let answer = solve(job, &limits).unwrap();
    verify(job, &answer).unwrap();
    answer
}

/// Seventeen pieces in thirty-seconds of an inch, four sheets of 12 x 12 in: with a gap of one tick the
/// tables of all positions beside waste once took minutes, and five sheets were all that was found.
#[test]
fn pieces_of_an_album_take_four_sheets_whatever_the_trimmer_holds() {
    let sizes = [
        (96, 64, 1),
        (148, 196, 4),
        (148, 244, 4),
        (64, 128, 4),
        (136, 256, 2),
        (96, 160, 2),
    ];
    let pieces = sizes.map(|(w, h, count)| piece(w, h, count));
    let mut job = turned(job(pieces.to_vec(), vec![stock(384, 384)], Stages::Two));
    for stages in ALL {
        for narrowest in [4, 8, 16] {
            for gap in [0, 1, 2, 4] {
                (job.stages, job.narrowest, job.gap) = (stages, narrowest, gap);
                let answer = answer(&job, 4_000);
                assert!(answer.proved(), "{stages:?}, {narrowest}, {gap}");
                assert_eq!(answer.cost(&job), Some(4));
            }
        }
    }
}

/// Drawn lists: a plan that leaves no narrow strip anyway is not lost, and a trimmer that holds all but
/// the narrowest takes no sheet more than a shelf-by-shelf plan.
#[test]
fn a_plan_that_leaves_no_narrow_strip_is_found_again() {
    let mut dice = Dice(0x0dd5_7a1e_93b2_c4f1);
    let mut obeyed = 0;
    for number in 0..36 {
        let kinds = dice.throw(3, 6);
        let pieces = (0..kinds).map(|_| {
            let (w, h) = (dice.throw(12, 48), dice.throw(16, 66));
            piece(4 * w, 4 * h, dice.throw(1, 3))
        });
        let pieces = pieces.collect();
        let stages = ALL[number % 3];
        let mut job = turned(job(pieces, vec![stock(384, 384)], stages));
        for gap in [0, 1, 4] {
            (job.gap, job.narrowest) = (gap, 0);
            let loose = answer(&job, 1_000);
            for narrowest in [4, 8, 16] {
                job.narrowest = narrowest;
                if verify(&job, &loose).is_ok() {
                    obeyed += 1;
                    let strict = answer(&job, 1_000);
                    assert!(strict.cost(&job) <= loose.cost(&job), "{number}: {job:#?}");
                }
            }
        }
    }
    assert!(obeyed > 40, "{obeyed}");
}
