//! Thousands of small programs, each against the enumeration of all its points.

use crate::enumerate::{self, Outcome};
use crate::generate::{random, shuffled};
use crate::points::{Point, holds, points};
use tuckwright::program::{Force, Program, Row};
use tuckwright::solve::{
    Claim, Holder, Limits, Origin, Solution, StageOutcome, Verdict, check, solve,
};

const PROGRAMS: u64 = 4_000;

fn outcomes(solution: &Solution) -> Vec<Outcome> {
    solution
        .stages
        .iter()
        .map(|stage| match stage {
            StageOutcome::Kept => Outcome::Kept,
            StageOutcome::Dropped { .. } => Outcome::Dropped,
            StageOutcome::Best { value, proved, .. } => {
                assert!(proved);
                Outcome::Best(*value)
            }
            StageOutcome::Chosen { alternative, .. } => Outcome::Chosen(*alternative),
            StageOutcome::Absent => Outcome::Absent,
            StageOutcome::Unsettled { why, .. } => panic!("unsettled: {why:?}"),
        })
        .collect()
}

fn accepted(program: &Program, solution: &Solution) {
    for certificate in &solution.certificates {
        assert_eq!(
            check::replay(&certificate.problem, &certificate.proof),
            Ok(())
        );
        assert!(certificate.is_about(program));
        let assumed = certificate.origins.contains(&Origin::Assumed);
        let expected = matches!(
            certificate.claim,
            Claim::Best { .. } | Claim::Held { .. } | Claim::Skipped { .. }
        );
        assert!(expected || !assumed);
    }
}

#[test]
fn agrees_with_enumeration() {
    let mut conflicts = 0;
    let mut dropped = 0;
    for seed in 0..PROGRAMS {
        let program = random(seed);
        let solution = solve(&program, &Limits::default());
        accepted(&program, &solution);
        match enumerate::solve(&program) {
            None => {
                conflicts += 1;
                let Verdict::Conflict(conflict) = &solution.verdict else {
                    panic!("seed {seed}: {:?}", solution.verdict);
                };
                irreducible(&program, conflict, seed);
            }
            Some(expected) => {
                assert_eq!(solution.verdict, Verdict::FitsBest, "seed {seed}");
                assert_eq!(outcomes(&solution), expected, "seed {seed}");
                dropped += expected
                    .iter()
                    .filter(|it| **it == Outcome::Dropped)
                    .count();
                plan(&program, &solution, seed);
                held(&program, &solution, seed);
            }
        }
    }
    // The generator must keep producing both kinds.
    assert!(conflicts > PROGRAMS / 20, "{conflicts} conflicts");
    assert!(dropped as u64 > PROGRAMS / 20, "{dropped} wishes dropped");
}

fn irreducible(program: &Program, conflict: &tuckwright::solve::Conflict, seed: u64) {
    assert!(conflict.proved_minimal, "seed {seed}");
    let rows_without = |left_out: Option<usize>| -> Vec<&Row> {
        conflict
            .instances
            .iter()
            .enumerate()
            .filter(|(at, _)| Some(*at) != left_out)
            .flat_map(|(_, id)| &program.rows[program.instances[id.0 as usize].rows.clone()])
            .collect()
    };
    assert!(
        points(program, &rows_without(None)).is_empty(),
        "seed {seed}"
    );
    for at in 0..conflict.instances.len() {
        assert!(
            !points(program, &rows_without(Some(at))).is_empty(),
            "seed {seed}"
        );
    }
}

/// The plan satisfies every must and every wish that was kept.
fn plan(program: &Program, solution: &Solution, seed: u64) {
    let point = Point {
        values: solution.values.clone(),
        taken: solution.taken.iter().map(|it| it.unwrap_or(0)).collect(),
    };
    for (at, instance) in program.instances.iter().enumerate() {
        let id = tuckwright::program::InstanceId(at as u32);
        let kept = solution.is_kept(program, id);
        assert!(kept || instance.force == Force::Wish);
        if kept {
            for row in &program.rows[instance.rows.clone()] {
                assert!(holds(row, &point), "seed {seed}");
            }
        }
        if let Some(group) = instance.group {
            assert_eq!(
                solution.taken[group.0 as usize].is_some(),
                kept,
                "seed {seed}"
            );
        }
    }
}

/// The holders leave no room for one tick more; without any one of them there is room, as far as
/// rows of the program go.
fn held(program: &Program, solution: &Solution, seed: u64) {
    for (at, held) in solution.held_by.iter().enumerate() {
        let held = held
            .as_ref()
            .unwrap_or_else(|| panic!("seed {seed}: x{at} is not explained"));
        assert!(held.irreducible, "seed {seed}");
        let rows_without = |left_out: Option<usize>| -> Option<Vec<&Row>> {
            let mut rows = Vec::new();
            for (place, holder) in held.holders.iter().enumerate() {
                match holder {
                    _ if Some(place) == left_out => {}
                    Holder::Instance(id) => {
                        rows.extend(&program.rows[program.instances[id.0 as usize].rows.clone()]);
                    }
                    Holder::Row(id) => rows.push(&program.rows[id.0 as usize]),
                    Holder::Stage(_) => return None,
                    Holder::Bound => {}
                }
            }
            Some(rows)
        };
        let room = |rows: &[&Row]| {
            let better = |point: &Point| {
                let (here, there) = (solution.values[at], point.values[at]);
                if held.larger {
                    there > here
                } else {
                    there < here
                }
            };
            points(program, rows).iter().any(better)
        };
        if let Some(rows) = rows_without(None) {
            assert!(!room(&rows), "seed {seed}: x{at} has room");
            if held.holders != [Holder::Bound] {
                for place in 0..held.holders.len() {
                    let rows = rows_without(Some(place)).unwrap_or_default();
                    assert!(room(&rows), "seed {seed}: x{at} has one holder too many");
                }
            }
        }
    }
}

#[test]
fn order_changes_no_optimum() {
    for seed in 0..800 {
        let program = random(seed);
        let (other, _) = shuffled(&program, seed + 1);
        let one = solve(&program, &Limits::default());
        let two = solve(&other, &Limits::default());
        assert_eq!(outcomes(&one), outcomes(&two), "seed {seed}");
        assert_eq!(
            std::mem::discriminant(&one.verdict),
            std::mem::discriminant(&two.verdict),
            "seed {seed}"
        );
    }
}

#[test]
fn same_input_same_answer() {
    for seed in 0..200 {
        let program = random(seed);
        assert_eq!(
            solve(&program, &Limits::default()),
            solve(&program, &Limits::default()),
            "seed {seed}"
        );
    }
}
