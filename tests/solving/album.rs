//! Programs shaped like albums.

use crate::generate::shuffled;
use crate::leaves::album;
use crate::parts::{add, row};
use tuckwright::program::{Force, Program, Stage};
use tuckwright::solve::{Limits, StageOutcome, Verdict, check, solve};

fn values(program: &Program) -> Vec<Option<i128>> {
    let solution = solve(program, &Limits::default());
    assert_eq!(solution.verdict, Verdict::FitsBest);
    solution
        .stages
        .iter()
        .map(|stage| match stage {
            StageOutcome::Best { value, .. } => Some(*value),
            _ => None,
        })
        .collect()
}

#[test]
fn twelve_leaves_are_proved_best() {
    let program = album(12, 6, 1);
    let start = std::time::Instant::now();
    let solution = solve(&program, &Limits::default());
    println!(
        "{} unknowns, {} rows, {} stages: {:?}, {:?}",
        program.unknowns.len(),
        program.rows.len(),
        program.stages.len(),
        start.elapsed(),
        solution.stats
    );
    assert_eq!(solution.verdict, Verdict::FitsBest);
    assert!(solution.held_by.iter().all(Option::is_some));
    for certificate in &solution.certificates {
        assert_eq!(
            check::replay(&certificate.problem, &certificate.proof),
            Ok(())
        );
        assert!(certificate.is_about(&program));
    }
}

#[test]
fn order_changes_no_optimum() {
    let program = album(3, 3, 2);
    let expected = values(&program);
    for seed in 0..5 {
        assert_eq!(values(&shuffled(&program, seed).0), expected);
    }
}

/// Equal leaves get equal sizes.
#[test]
fn equal_leaves() {
    let one = album(1, 4, 3);
    let mut two = one.clone();
    let ties = 4;
    let own = one.unknowns.len() as u32 - ties;
    let moved = |at: u32| if at < ties { at } else { at + own };
    two.unknowns
        .extend(one.unknowns[ties as usize..].iter().cloned());
    two.groups.extend(one.groups.iter().cloned());
    let instances = one.instances.len() as u32;
    for instance in &one.instances {
        let mut rows = one.rows[instance.rows.clone()].to_vec();
        for row in &mut rows {
            for term in &mut row.terms {
                term.0.0 = moved(term.0.0);
            }
            for guard in &mut row.guards {
                guard.group.0 += one.groups.len() as u32;
            }
        }
        add(&mut two, instance.force, rows, None);
    }
    for stage in &one.stages {
        let mut stage = stage.clone();
        match &mut stage {
            Stage::Keep(id) => id.0 += instances,
            Stage::Best { objective, .. } => {
                objective
                    .iter_mut()
                    .for_each(|term| term.0.0 = moved(term.0.0));
            }
            Stage::Choose(group) => group.0 += one.groups.len() as u32,
        }
        two.stages.push(stage);
    }
    let (one, two) = (
        solve(&one, &Limits::default()),
        solve(&two, &Limits::default()),
    );
    assert_eq!(two.verdict, Verdict::FitsBest);
    assert_eq!(two.values[..one.values.len()], one.values);
    assert_eq!(two.values[one.values.len()..], one.values[ties as usize..]);
}

/// One impossible insert in an album of many leaves: the conflict names its leaf alone, and soon.
#[test]
fn conflict_in_one_leaf_of_twelve() {
    let mut program = album(12, 6, 4);
    let leaf = 4 + 7 * (3 + 6 * 5);
    let narrow = add(&mut program, Force::Must, vec![row(&[(leaf, 1)], 48)], None);
    let start = std::time::Instant::now();
    let solution = solve(&program, &Limits::default());
    println!("{:?}, {:?}", start.elapsed(), solution.stats);
    let Verdict::Conflict(conflict) = &solution.verdict else {
        panic!("{:?}", solution.verdict);
    };
    assert!(conflict.proved_minimal);
    assert!(conflict.instances.contains(&narrow));
    assert!(conflict.instances.len() < 12, "{:?}", conflict.instances);
}

/// Leaves that each fit alone, with template sizes that do not agree.
#[test]
fn conflict_between_leaves() {
    let mut program = album(12, 6, 5);
    let leaf = |at: u32| 4 + at * (3 + 6 * 5);
    add(
        &mut program,
        Force::Must,
        vec![row(&[(leaf(2) + 1, 1)], 80)],
        None,
    );
    add(
        &mut program,
        Force::Must,
        vec![row(&[(0, -1), (1, -2)], -100)],
        None,
    );
    let start = std::time::Instant::now();
    let solution = solve(&program, &Limits::default());
    println!("{:?}, {:?}", start.elapsed(), solution.stats);
    assert!(matches!(solution.verdict, Verdict::Conflict(_)));
}
