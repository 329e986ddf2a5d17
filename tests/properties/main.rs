//! What must be true of every album, tried on hundreds of varied ones.

#[path = "../common/mod.rs"]
mod common;

mod held;
mod quick;
mod reasons;
mod same;
mod strips;
mod verified;

use std::sync::OnceLock;
use tuckwright::plan::{Certainty, Plan, SizePlan};
use tuckwright::program::{Program, Row, Stage, UnknownId};
use tuckwright::solve::{Limits, StageOutcome, Verdict, solve};
use tuckwright::style::Style;
use tuckwright::{Outcome, Worked, work};

/// Other albums than the recorded ones.
const ALBUMS: std::ops::Range<u64> = 10_000..10_300;

fn worked(style: &Style, seed: u64) -> Worked {
    let album = common::varied(seed);
    match work(style, &album, &Limits::default()) {
        Ok(worked) => worked,
        Err(errors) => panic!("album {seed}: {errors:?}"),
    }
}

/// Every album that is worked out, with its number; worked out once for all tests.
fn each(mut check: impl FnMut(u64, &Style, &Worked)) {
    static ALL: OnceLock<(Style, Vec<Worked>)> = OnceLock::new();
    let (style, all) = ALL.get_or_init(|| {
        let style = common::upright();
        let all = ALBUMS.map(|seed| worked(&style, seed)).collect();
        (style, all)
    });
    for (seed, worked) in ALBUMS.zip(all) {
        check(seed, style, worked);
    }
}

/// The unknowns and groups of a program under some rows alone: whether they can hold.
fn can_hold(program: &Program, rows: Vec<Row>) -> bool {
    let alone = Program {
        unknowns: program.unknowns.clone(),
        groups: program.groups.clone(),
        rows,
        ..Program::default()
    };
    match solve(&alone, &Limits::default()).verdict {
        Verdict::FitsBest => true,
        Verdict::Conflict(_) => false,
        other => panic!("{other:?}"),
    }
}

/// `sum of coefficient * unknown` at these values.
fn sum(terms: &[(UnknownId, i64)], values: &[i64]) -> i128 {
    let term =
        |&(id, times): &(UnknownId, i64)| i128::from(times) * i128::from(values[id.0 as usize]);
    terms.iter().map(term).sum()
}

/// Each preference's title and best value, in the order in which they were settled.
fn optima(worked: &Worked) -> Vec<(String, i128)> {
    let stages = worked
        .expanded
        .program
        .stages
        .iter()
        .zip(&worked.solution.stages);
    stages
        .filter_map(|(stage, outcome)| match (stage, outcome) {
            (Stage::Best { name, .. }, StageOutcome::Best { value, .. }) => {
                Some((name.clone(), *value))
            }
            _ => None,
        })
        .collect()
}

/// All sizes of a plan.
fn plan_sizes(plan: &Plan) -> Vec<&SizePlan> {
    let mut sizes: Vec<&SizePlan> = plan.template.iter().collect();
    for leaf in &plan.leaves {
        sizes.extend(
            leaf.parts
                .iter()
                .flat_map(|part| [&part.width, &part.height]),
        );
        for insert in &leaf.inserts {
            sizes.extend([&insert.width, &insert.height]);
            sizes.extend(
                insert
                    .photo
                    .iter()
                    .flat_map(|photo| [&photo.width, &photo.height]),
            );
        }
    }
    sizes
}

#[test]
fn every_album_has_a_proved_verdict() {
    let (mut fit, mut clash) = (0, 0);
    each(|seed, _, worked| match &worked.outcome {
        Outcome::Fits(plan) => {
            assert_eq!(plan.certainty, Certainty::Best, "album {seed}");
            assert!(
                plan.unlimited.is_empty(),
                "album {seed}: {:?}",
                plan.unlimited
            );
            fit += 1;
        }
        Outcome::Clash(_) => clash += 1,
        other => panic!("album {seed}: {other:?}"),
    });
    println!("{fit} fit, {clash} clash");
    assert!(fit > 100 && clash > 50);
}
