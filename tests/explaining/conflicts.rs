//! Minimal conflicts: all of them, and nothing else.

use crate::points::{Point, holds, points};
use crate::spoilt::{musts, spoilt};
use std::collections::BTreeSet;
use tuckwright::program::{Program, Row};
use tuckwright::solve::{Claim, Conflicts, Limits, Verdict, check, minimal_conflicts, solve};

/// The instances that each point keeps, as bits; points that break a row of no instance left out.
fn kept(program: &Program) -> BTreeSet<u64> {
    let mut owned = vec![false; program.rows.len()];
    for instance in &program.instances {
        owned[instance.rows.clone()].fill(true);
    }
    let background: Vec<&Row> = (program.rows.iter().zip(&owned))
        .filter_map(|(row, owned)| (!owned).then_some(row))
        .collect();
    let keeps = |point: &Point| {
        let all = program.instances.iter().enumerate();
        let kept = all.filter(|(_, it)| {
            program.rows[it.rows.clone()]
                .iter()
                .all(|row| holds(row, point))
        });
        kept.map(|(at, _)| 1 << at).sum()
    };
    points(program, &background).iter().map(keeps).collect()
}

/// Every set of musts that fails while each smaller one can hold, by looking at all sets.
fn exhaustive(program: &Program) -> BTreeSet<u64> {
    let kept = kept(program);
    let musts = musts(program);
    let can_hold = |set: u64| kept.iter().any(|it| set & !it == 0);
    (0..1u64 << program.instances.len())
        .filter(|set| set & !musts == 0 && !can_hold(*set))
        .filter(|set| {
            let members = (0..program.instances.len()).filter(|at| set >> at & 1 == 1);
            members.into_iter().all(|at| can_hold(set & !(1 << at)))
        })
        .collect()
}

fn bits(found: &Conflicts) -> BTreeSet<u64> {
    let of_one =
        |it: &tuckwright::solve::MinimalConflict| it.instances.iter().map(|id| 1 << id.0).sum();
    found.conflicts.iter().map(of_one).collect()
}

#[test]
fn all_minimal_conflicts_of_small_programs() {
    let (mut conflicting, mut several, mut together) = (0, 0, 0);
    for seed in 0..2_500 {
        let mut program = spoilt(seed).program;
        // Changes stay at nothing here: what they loosen is for the repairs.
        for unknown in &mut program.unknowns {
            if unknown.name.starts_with("change") || unknown.name == "left out" {
                unknown.most = 0;
            }
        }
        let wanted = exhaustive(&program);
        let found = minimal_conflicts(&program, &Limits::default(), 100);
        assert_eq!(bits(&found), wanted, "seed {seed}");
        assert!(found.complete && found.more == 0, "seed {seed}");
        for conflict in &found.conflicts {
            assert!(conflict.proved_minimal);
            assert!(conflict.instances.is_sorted());
            let certificate = &conflict.certificate;
            assert_eq!(certificate.claim, Claim::Conflict);
            assert!(certificate.is_about(&program));
            assert_eq!(
                check::replay(&certificate.problem, &certificate.proof),
                Ok(())
            );
        }
        let verdict = solve(&program, &Limits::default()).verdict;
        let conflicts = matches!(verdict, Verdict::Conflict(_));
        assert_eq!(conflicts, !wanted.is_empty(), "seed {seed}");
        conflicting += u32::from(conflicts);
        several += u32::from(wanted.len() > 1);
        together += u32::from(wanted.iter().any(|set| set.count_ones() > 2));
        // The fewest where not all are asked for, and how many more.
        let few = minimal_conflicts(&program, &Limits::default(), 1);
        assert_eq!(few.complete, wanted.len() <= 1, "seed {seed}");
        assert!(bits(&few).is_subset(&wanted));
        assert_eq!(few.conflicts.len(), wanted.len().min(1));
        assert!(few.more >= usize::from(wanted.len() > 1) && few.more < wanted.len().max(1));
    }
    assert!(conflicting > 1_000, "{conflicting}");
    assert!(several > 300, "{several}");
    assert!(together > 100, "{together}");
}

/// Conflicts over whole steps that the halves of a step resolve: the same rows, every length
/// counted twice.
#[test]
fn a_finer_ruler_resolves_some() {
    let mut resolved = 0;
    for seed in 0..1_000 {
        let mut program = spoilt(seed).program;
        program.unknowns.retain(|it| it.name.starts_with('x'));
        let sizes = program.unknowns.len() as u32;
        for row in &mut program.rows {
            row.terms.retain(|term| term.0.0 < sizes);
        }
        let coarse = minimal_conflicts(&program, &Limits::default(), 100);
        for unknown in &mut program.unknowns {
            unknown.least *= 2;
            unknown.most *= 2;
        }
        for row in &mut program.rows {
            row.most *= 2;
        }
        let fine = minimal_conflicts(&program, &Limits::default(), 100);
        assert!(coarse.complete && fine.complete);
        assert_eq!(bits(&fine), exhaustive(&program), "seed {seed}");
        // What conflicts on the finer ruler conflicts on the coarser one.
        let coarse = bits(&coarse);
        for set in bits(&fine) {
            assert!(coarse.iter().any(|it| it & !set == 0), "seed {seed}");
        }
        resolved += u32::from(!coarse.is_empty() && fine.conflicts.is_empty());
    }
    assert!(resolved > 3, "{resolved}");
}
