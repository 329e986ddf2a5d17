//! An LP code's own branch and bound, given a stage as a whole, in ticks.

use crate::generate::random;
use crate::leaves::best;
use crate::parts::{Dice, add, guarded, row, unknown};
use good_lp::solvers::microlp::microlp;
use good_lp::{
    Expression, ProblemVariables, ResolutionError, Solution as _, SolverModel, Variable, variable,
};
use tuckwright::program::{Force, Group, GroupId, Program, Row, Stage, UnknownId};
use tuckwright::solve::mps::{Goal, Model};
use tuckwright::solve::{Limits, StageOutcome, Verdict, solve, stage_program};

/// What the goal comes to, or `None` where nothing satisfies the rows.
pub fn answer(model: &Model) -> Option<i128> {
    let mut names = ProblemVariables::new();
    let unknowns: Vec<Variable> = model
        .unknowns
        .iter()
        .map(|it| {
            names.add(
                variable()
                    .integer()
                    .min(it.least as f64)
                    .max(it.most as f64),
            )
        })
        .collect();
    let groups: Vec<Vec<Variable>> = model
        .groups
        .iter()
        .map(|it| {
            it.alternatives
                .iter()
                .map(|_| names.add(variable().binary()))
                .collect()
        })
        .collect();
    let sum = |terms: &[(UnknownId, i64)]| {
        let mut sum = Expression::from(0.0);
        for &(at, times) in terms {
            sum += times as f64 * unknowns[at.0 as usize];
        }
        sum
    };
    let mut objective = Expression::from(0.0);
    match &model.goal {
        Goal::Any => {}
        Goal::Most(terms) => objective = sum(terms),
        Goal::First(group) => {
            for (place, &name) in groups[group.0 as usize].iter().enumerate() {
                objective += -(place as f64) * name;
            }
        }
    }
    let mut lp = names.maximise(objective).using(microlp);
    for group in &groups {
        let mut one = Expression::from(0.0);
        for &name in group {
            one += name;
        }
        lp.add_constraint(one.eq(1.0));
    }
    for (row, _) in &model.rows {
        let most = |&(at, times): &(UnknownId, i64)| {
            let bounds = &model.unknowns[at.0 as usize];
            times * if times > 0 { bounds.most } else { bounds.least }
        };
        let lift = row.terms.iter().map(most).sum::<i64>() - row.most;
        let mut lifted = sum(&row.terms);
        for guard in &row.guards {
            let name = groups[guard.group.0 as usize][guard.alternative as usize];
            lifted += lift as f64 * name;
        }
        if lift > 0 {
            let right = row.most + lift * row.guards.len() as i64;
            lp.add_constraint(lifted.leq(right as f64));
        }
    }
    match lp.solve() {
        Ok(solution) => Some(match &model.goal {
            Goal::Any => 0,
            Goal::Most(terms) => terms
                .iter()
                .map(|&(at, times)| {
                    i128::from(times) * solution.value(unknowns[at.0 as usize]).round() as i128
                })
                .sum(),
            Goal::First(group) => groups[group.0 as usize]
                .iter()
                .position(|&name| solution.value(name) > 0.5)
                .map_or(0, |at| at as i128),
        }),
        Err(ResolutionError::Infeasible) => None,
        Err(other) => panic!("{other}"),
    }
}

/// Every stage of a solution against the reference; how many there were.
fn compare(program: &Program, seed: u64) -> usize {
    let solution = solve(program, &Limits::default());
    let plain = Model {
        name: String::new(),
        unknowns: program.unknowns.clone(),
        groups: program.groups.clone(),
        rows: program
            .rows
            .iter()
            .enumerate()
            .filter(|&(at, _)| {
                program
                    .instances
                    .iter()
                    .all(|it| it.force == Force::Must || !it.rows.contains(&at))
            })
            .map(|(_, row)| (row.clone(), tuckwright::solve::mps::Source::Program))
            .collect(),
        goal: Goal::Any,
    };
    let fits = answer(&plain).is_some();
    match solution.verdict {
        Verdict::FitsBest => assert!(fits, "seed {seed}"),
        Verdict::Conflict(_) => assert!(!fits, "seed {seed}"),
        ref other => panic!("seed {seed}: {other:?}"),
    }
    for (at, outcome) in solution.stages.iter().enumerate() {
        let expected = match outcome {
            StageOutcome::Kept => Some(0),
            StageOutcome::Dropped { .. } => None,
            StageOutcome::Best { value, .. } => Some(*value),
            StageOutcome::Chosen { alternative, .. } => Some(i128::from(*alternative)),
            StageOutcome::Absent | StageOutcome::Unsettled { .. } => continue,
        };
        let model = stage_program(program, &solution, at).expect("there is a plan");
        assert_eq!(answer(&model), expected, "seed {seed}, stage {at}");
    }
    solution.stages.len()
}

#[test]
fn stages_of_random_programs() {
    let stages: usize = (0..300).map(|seed| compare(&random(seed), seed)).sum();
    assert!(stages > 700, "{stages}");
}

/// Leaves with a few choices each, tied by two unknowns that the leaves pull both ways.
fn tied_leaves(seed: u64) -> Program {
    let mut dice = Dice::new(seed);
    let mut program = Program::default();
    for name in ["first", "pitch"] {
        program.unknowns.push(unknown(name, 0, 30));
    }
    let direction = if dice.chance(50) { 1 } else { -1 };
    program.stages.push(best(&[(0, direction), (1, 2)]));
    program.stages.push(best(&[(0, 1)]));
    program.first_stages = 2;
    for leaf in 0..dice.within(2, 4) {
        let at = program.unknowns.len() as u32;
        for name in ["height", "width"] {
            program
                .unknowns
                .push(unknown(format!("{leaf}: {name}"), 0, 40));
        }
        let group = program.groups.len() as u32;
        program.groups.push(Group {
            name: format!("{leaf}: print"),
            alternatives: (0..3).map(|at| format!("p{at}")).collect(),
        });
        for alternative in 0..3 {
            let guard = [(group, alternative)];
            let (low, high) = (dice.within(5, 60), dice.within(0, 6));
            let rows: Vec<Row> = vec![
                guarded(&[(0, -1), (1, -2), (at, -1)], -low, &guard),
                guarded(&[(0, 1), (1, 2), (at, 1)], low + high, &guard),
                guarded(
                    &[(0, dice.within(1, 2)), (at + 1, 1)],
                    dice.within(10, 45),
                    &guard,
                ),
                guarded(&[(at, 2), (at + 1, -3)], dice.within(-30, 30), &guard),
            ];
            add(&mut program, Force::Must, rows, None);
        }
        let sum = row(&[(at, 1), (at + 1, 1)], dice.within(15, 50));
        add(&mut program, Force::Must, vec![sum], None);
        let even = vec![
            row(&[(0, 2), (at, -1)], dice.within(0, 3)),
            row(&[(0, -2), (at, 1)], dice.within(0, 3)),
        ];
        let even = add(&mut program, Force::Wish, even, None);
        program.stages.push(Stage::Keep(even));
        program.stages.push(Stage::Choose(GroupId(group)));
        program.stages.push(best(&[(at, 1)]));
        program.stages.push(best(&[(at + 1, 1)]));
    }
    program
}

#[test]
fn stages_of_tied_leaves() {
    let stages: usize = (0..150).map(|seed| compare(&tied_leaves(seed), seed)).sum();
    assert!(stages > 700, "{stages}");
}
