//! Every way into the search, with a budget of nothing: it must come back, with what it has.

use super::*;
use proptest::prelude::*;
use std::sync::atomic::AtomicBool;
use std::time::Duration;
use tuckwright::nest::{
    Answer, check_bound, check_kept, fill, keep, solve, verify, verify_cuttings, verify_fill,
};

const ALL: [Stages; 3] = [Stages::Two, Stages::Three, Stages::Free];

/// No nodes, no time, stopped already.
fn nothing(stop: &AtomicBool) -> [Limits<'_>; 3] {
    let plain = Limits::default();
    [
        Limits { nodes: 0, ..plain },
        Limits {
            clock: Duration::ZERO,
            ..plain
        },
        Limits {
            cancel: Some(stop),
            ..plain
        },
    ]
}

fn sound(job: &Job, answer: &Answer) {
    verify(job, answer).unwrap();
    check_bound(job, &answer.certificate).unwrap();
}

fn each_way_in(job: &Job) {
    let stop = AtomicBool::new(true);
    for limits in nothing(&stop) {
        let answer = solve(job, &limits).unwrap();
        sound(job, &answer);
        if !answer.cuttings.is_empty() {
            let kept = keep(job, &answer.cuttings, 1, &limits).unwrap();
            verify_cuttings(job, &kept.cuttings).unwrap();
            check_kept(job, &kept).unwrap();
        }
        let best = fill(job, &limits).unwrap();
        verify_fill(job, &best).unwrap();
        assert!(!best.proved || best.value == 0);
    }
    // With a little, wherever it runs out.
    for nodes in [1, 3, 10, 40, 150, 600] {
        let limits = Limits {
            nodes,
            ..Limits::default()
        };
        sound(job, &solve(job, &limits).unwrap());
        verify_fill(job, &fill(job, &limits).unwrap()).unwrap();
    }
}

/// Sizes of a published kind: most pieces take a sheet alone, and the last few share one. The plan
/// once came to a point where pieces were to be moved about on no sheet at all, for ever.
#[test]
fn many_kinds_on_a_large_board() {
    let mut dice = 7u64;
    let mut side = |least: u64, most: u64| {
        dice = dice.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
        least + (dice >> 33) % (most - least)
    };
    let pieces = (0..60).map(|_| piece(side(200, 2_000), side(200, 1_100), 1));
    let mut job = job(pieces.collect(), vec![stock(2_550, 2_100)], Stages::Three);
    for stages in ALL {
        job.stages = stages;
        each_way_in(&job);
    }
}

fn some_job() -> impl Strategy<Value = Job> {
    let pieces = prop::collection::vec((1..40u64, 1..40u64, 1..6u64, any::<bool>()), 1..16);
    let stocks = prop::collection::vec((40..70u64, 40..70u64, 0..4u64, 1..4u64), 1..4);
    let rest = (0..3usize, 0..3u64, prop::bool::weighted(0.2));
    (pieces, stocks, rest).prop_map(|(pieces, stocks, (stages, gap, spread))| Job {
        pieces: pieces
            .into_iter()
            .map(|(w, h, count, turn)| Piece {
                turn,
                most_alike: spread.then_some(count.div_ceil(2)),
                ..piece(w, h, count)
            })
            .collect(),
        stocks: stocks
            .into_iter()
            .map(|(w, h, count, cost)| Stock {
                count: (count > 0).then_some(count),
                cost,
                ..stock(w, h)
            })
            .collect(),
        stages: ALL[stages],
        gap,
        narrowest: 0,
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]

    #[test]
    fn drawn_jobs_come_back(job in some_job()) {
        each_way_in(&job);
    }
}
