//! What other methods stumble over: creeping bounds, whole-number infeasibility, ties between
//! many choices, numbers too large. And medium programs against an LP code's own integers.

use crate::leaves::best;
use crate::parts::{Dice, add, guarded, row, unknown};
use crate::reference;
use std::sync::atomic::AtomicBool;
use std::time::{Duration, Instant};
use tuckwright::program::{Force, Group, GroupId, Instance, Program, Row, Stage, UnknownId};
use tuckwright::solve::mps::{Goal, Model, Source};
use tuckwright::solve::problem::{Bounds, Problem, Row as LocalRow};
use tuckwright::solve::{Answer, Limits, StageOutcome, Verdict, Why, check, decide, solve};

fn program(bounds: &[(i64, i64)], rows: Vec<Row>) -> Program {
    let mut program = Program::default();
    for (at, &(least, most)) in bounds.iter().enumerate() {
        program
            .unknowns
            .push(unknown(format!("x{at}"), least, most));
    }
    for row in rows {
        add(&mut program, Force::Must, vec![row], None);
    }
    program
}

fn group(program: &mut Program, count: u32) -> u32 {
    program.groups.push(Group {
        name: String::new(),
        alternatives: (0..count).map(|at| at.to_string()).collect(),
    });
    program.groups.len() as u32 - 1
}

/// Generous, for slow machines; how little work it is, the counts of nodes say.
fn soon<T>(question: impl FnOnce() -> T) -> T {
    let start = Instant::now();
    let answer = question();
    assert!(
        start.elapsed() < Duration::from_secs(5),
        "{:?}",
        start.elapsed()
    );
    answer
}

#[test]
fn creeping_bounds_are_settled_by_multipliers() {
    let wide = (0, 1_000_000_000);
    let rows = vec![row(&[(0, 1), (1, -1)], -1), row(&[(1, 1), (0, -1)], 0)];
    let solution = soon(|| solve(&program(&[wide, wide], rows), &Limits::default()));
    let Verdict::Conflict(conflict) = &solution.verdict else {
        panic!("{:?}", solution.verdict);
    };
    assert_eq!(conflict.instances.len(), 2);
    assert!(conflict.proved_minimal);
    assert_eq!(solution.stats.nodes, 1);
}

#[test]
fn a_long_creeping_cycle() {
    let wide = (0, 1_000_000_000);
    for length in [3u32, 20, 100] {
        let rows = (0..length)
            .map(|at| row(&[(at, 1), ((at + 1) % length, -1)], -i64::from(at == 0)))
            .collect();
        let bounds = vec![wide; length as usize];
        let solution = soon(|| solve(&program(&bounds, rows), &Limits::default()));
        assert!(
            matches!(solution.verdict, Verdict::Conflict(_)),
            "{:?}",
            solution.verdict
        );
    }
}

#[test]
fn alternatives_that_fail_only_in_whole_ticks() {
    // x + y = 5 or 7, x - y = 0 or 2 under either choice: halves only.
    let mut program = program(&[(0, 1_000), (0, 1_000)], Vec::new());
    let (sum, difference) = (group(&mut program, 2), group(&mut program, 2));
    for (alternative, total) in [(0, 5), (1, 7)] {
        let guard = [(sum, alternative)];
        let rows = vec![
            guarded(&[(0, 1), (1, 1)], total, &guard),
            guarded(&[(0, -1), (1, -1)], -total, &guard),
        ];
        add(&mut program, Force::Must, rows, None);
    }
    for (alternative, total) in [(0, 0), (1, 2)] {
        let guard = [(difference, alternative)];
        let rows = vec![
            guarded(&[(0, 1), (1, -1)], total, &guard),
            guarded(&[(0, -1), (1, 1)], -total, &guard),
        ];
        add(&mut program, Force::Must, rows, None);
    }
    let solution = soon(|| solve(&program, &Limits::default()));
    let Verdict::Conflict(conflict) = &solution.verdict else {
        panic!("{:?}", solution.verdict);
    };
    assert_eq!(conflict.instances.len(), 4);
    assert!(conflict.proved_minimal);
}

/// Nobody waits for the answer any more.
static STOPPED: AtomicBool = AtomicBool::new(true);

#[test]
fn a_search_that_is_stopped_leaves_it_open() {
    let rows = vec![row(&[(0, 2), (1, -2)], 1), row(&[(0, -2), (1, 2)], -1)];
    let stopped = Limits {
        stop: Some(&STOPPED),
        ..Limits::default()
    };
    let bounds = [(0, 1_000_000), (0, 1_000_000)];
    let verdict = solve(&program(&bounds, rows), &stopped).verdict;
    assert_eq!(verdict, Verdict::Undecided { why: Why::Clock });
    // What needs no search is settled all the same; its preferences are not.
    let mut easy = program(&[(0, 9), (0, 9)], vec![row(&[(0, 1), (1, 1)], 9)]);
    easy.stages.push(Stage::Best {
        name: String::new(),
        objective: vec![(UnknownId(0), 1)],
    });
    let solution = solve(&easy, &stopped);
    let reproducible = false;
    assert_eq!(solution.verdict, Verdict::FitsFound { reproducible });
    assert!(matches!(
        solution.stages[..],
        [StageOutcome::Unsettled {
            why: Why::Clock,
            ..
        }]
    ));
}

#[test]
fn even_against_odd() {
    // 2x - 2y = 1, with the common divisor left in.
    let rows = vec![row(&[(0, 2), (1, -2)], 1), row(&[(0, -2), (1, 2)], -1)];
    let bounds = [(0, 1_000_000), (0, 1_000_000)];
    let solution = soon(|| solve(&program(&bounds, rows), &Limits::default()));
    assert!(
        matches!(
            solution.verdict,
            Verdict::Conflict(_) | Verdict::Undecided { .. }
        ),
        "{:?}",
        solution.verdict
    );
}

/// Leaves of six choices each, tied by one unknown that no choice likes at the same value.
fn tied(leaves: u32, agree: bool) -> Program {
    let mut program = program(&[(0, 60)], Vec::new());
    let mut dice = Dice::new(9);
    for leaf in 0..leaves {
        for _ in 0..6 {
            let at = program.unknowns.len() as u32;
            program
                .unknowns
                .push(unknown(format!("{leaf}: x{at}"), 0, 40));
            let group = group(&mut program, 3);
            for alternative in 0..3 {
                // The tie and the insert add up to something that only the choice knows.
                let total = 30 + 10 * i64::from(alternative) + dice.within(0, 3);
                let guard = [(group, alternative)];
                let rows = vec![
                    guarded(&[(0, 1), (at, 1)], total, &guard),
                    guarded(&[(0, -1), (at, -1)], -total + 2, &guard),
                ];
                add(&mut program, Force::Must, rows, None);
            }
        }
        let last = program.unknowns.len() as u32;
        let all: Vec<(u32, i64)> = (last - 6..last).map(|at| (at, 1)).collect();
        add(
            &mut program,
            Force::Must,
            vec![row(&all, 80 + i64::from(leaf))],
            None,
        );
    }
    if !agree {
        // The first leaf needs the tie large, the last one needs it small.
        let last = program.unknowns.len() as u32 - 1;
        add(
            &mut program,
            Force::Must,
            vec![row(&[(last, -1)], -35)],
            None,
        );
        add(
            &mut program,
            Force::Must,
            vec![row(&[(0, -1), (1, 1)], -20)],
            None,
        );
    }
    program.stages.push(best(&[(0, 1)]));
    program.first_stages = 1;
    for at in 1..program.unknowns.len() as u32 {
        program.stages.push(best(&[(at, 1)]));
    }
    program
}

#[test]
fn many_choices_tied_by_one_unknown() {
    for agree in [true, false] {
        let solution = soon(|| solve(&tied(12, agree), &Limits::default()));
        println!("{agree}: {:?} {:?}", solution.verdict, solution.stats);
        match solution.verdict {
            Verdict::FitsBest => assert!(agree),
            Verdict::Conflict(_) => assert!(!agree),
            other => panic!("{other:?}"),
        }
    }
}

/// No bound shows this one, only sums; and there are 72 choices to try in vain.
#[test]
fn a_conflict_beside_many_choices() {
    for first_stages in [1, 0] {
        let mut program = tied(12, true);
        program.first_stages = first_stages;
        let leaf = |at: u32| 1 + 6 * at..1 + 6 * (at + 1);
        let sum = |at: u32, times: i64| -> Vec<(u32, i64)> {
            leaf(at).map(|unknown| (unknown, times)).collect()
        };
        add(
            &mut program,
            Force::Must,
            vec![row(&sum(8, -1), -138)],
            None,
        );
        let solution = soon(|| solve(&program, &Limits::default()));
        println!(
            "{first_stages}: {:?} {:?}",
            solution.verdict, solution.stats
        );
        assert!(matches!(solution.verdict, Verdict::Conflict(_)));
    }
}

/// Two leaves that each allow three narrow ranges of the tie, by their choices alone: in some of
/// these albums a range of one meets a range of the other, in most none does.
#[test]
fn conflicts_through_the_choices_of_two_leaves() {
    let mut conflicts = 0;
    for case in 0..40 {
        let (low, high) = (i64::from(case % 8), 10 + i64::from(case / 8));
        let answers = [1, 0].map(|first_stages| {
            let mut program = tied(12, true);
            program.first_stages = first_stages;
            for at in 1 + 6 * 2..1 + 6 * 3 {
                add(&mut program, Force::Must, vec![row(&[(at, 1)], low)], None);
            }
            for at in 1 + 6 * 8..1 + 6 * 9 {
                let rows = vec![row(&[(at, 1)], high + 1), row(&[(at, -1)], -high)];
                add(&mut program, Force::Must, rows, None);
            }
            let solution = soon(|| solve(&program, &Limits::default()));
            match solution.verdict {
                Verdict::FitsBest => true,
                Verdict::Conflict(_) => false,
                other => panic!("{case}: {other:?}"),
            }
        });
        assert_eq!(answers[0], answers[1], "{case}");
        conflicts += i32::from(!answers[0]);
    }
    assert!((1..40).contains(&conflicts), "{conflicts}");
}

#[test]
fn a_limit_is_never_a_conflict() {
    let limits = Limits {
        nodes: 0,
        ..Limits::default()
    };
    // x + y = 5, x - y = 0: no whole numbers, but no node to find out.
    let rows = vec![
        row(&[(0, 1), (1, 1)], 5),
        row(&[(0, -1), (1, -1)], -5),
        row(&[(0, 1), (1, -1)], 0),
        row(&[(0, -1), (1, 1)], 0),
    ];
    let program = program(&[(0, 10), (0, 10)], rows);
    let solution = solve(&program, &limits);
    assert_eq!(solution.verdict, Verdict::Undecided { why: Why::Nodes });
    assert!(matches!(
        solve(&program, &Limits::default()).verdict,
        Verdict::Conflict(_)
    ));
}

#[test]
fn numbers_too_large_are_undecided_or_right() {
    let ends = (i64::MIN, i64::MAX);
    let rows = vec![row(&[(0, i64::MAX), (1, i64::MAX)], 0)];
    let solution = solve(&program(&[ends, ends], rows), &Limits::default());
    assert_eq!(solution.verdict, Verdict::Undecided { why: Why::TooLarge });

    let mut wide = program(&[ends], vec![row(&[(0, 1)], 7)]);
    wide.stages.push(best(&[(0, 1)]));
    wide.stages.push(best(&[(0, i64::MIN)]));
    let solution = solve(&wide, &Limits::default());
    assert_eq!(solution.values, [7]);

    let mut dice = Dice::new(3);
    for _ in 0..500 {
        let mut large = || {
            let shift = dice.within(0, 62);
            dice.within(-9, 9).saturating_mul(1 << shift)
        };
        let bounds = [(large(), large()), (large(), large())].map(|(a, b)| (a.min(b), a.max(b)));
        let rows = (0..3)
            .map(|_| {
                let mut made = row(&[(0, large()), (1, large())], large());
                made.terms.retain(|term| term.1 != 0);
                made
            })
            .collect();
        let mut program = program(&bounds, rows);
        program.stages.push(best(&[(0, large()), (1, large())]));
        program.stages.push(best(&[(0, 1)]));
        let limits = Limits {
            nodes: 200,
            ..Limits::default()
        };
        let solution = solve(&program, &limits);
        if !solution.values.is_empty() {
            for row in &program.rows {
                let terms = row.terms.iter();
                let sum: i128 = terms
                    .map(|&(at, times)| {
                        i128::from(times) * i128::from(solution.values[at.0 as usize])
                    })
                    .sum();
                assert!(sum <= i128::from(row.most));
            }
        }
    }
}

#[test]
fn malformed_programs_are_undecided() {
    let outside = program(&[(0, 1)], vec![row(&[(7, 1)], 0)]);
    let repeated = program(&[(0, 1)], vec![row(&[(0, 1), (0, 2)], 0)]);
    // Given up as the wish's, the row would not be asked of the must.
    let mut shared = program(&[(0, 1)], vec![row(&[(0, 1)], 0)]);
    for force in [Force::Must, Force::Wish] {
        shared.instances.push(Instance {
            rule: 0,
            force,
            rows: 0..1,
            group: None,
        });
    }
    for program in [outside, repeated, shared] {
        let solution = solve(&program, &Limits::default());
        assert_eq!(
            solution.verdict,
            Verdict::Undecided {
                why: Why::Malformed
            }
        );
    }
    let mut stage = program(&[(0, 1)], Vec::new());
    stage.stages.push(best(&[(3, 1)]));
    stage.stages.push(Stage::Choose(GroupId(4)));
    let solution = solve(&stage, &Limits::default());
    assert_eq!(solution.verdict, Verdict::FitsFound { reproducible: true });
}

#[test]
fn unknowns_without_values_and_groups_without_alternatives() {
    let solution = solve(&program(&[(0, 1), (3, 2)], Vec::new()), &Limits::default());
    assert!(matches!(solution.verdict, Verdict::Conflict(_)));
    let mut empty = program(&[], Vec::new());
    group(&mut empty, 0);
    let solution = solve(&empty, &Limits::default());
    assert!(matches!(solution.verdict, Verdict::Conflict(_)));
    let constant = program(&[], vec![row(&[], -1)]);
    assert!(matches!(
        solve(&constant, &Limits::default()).verdict,
        Verdict::Conflict(_)
    ));
}

#[test]
fn an_open_bound_that_is_reached_is_reported() {
    let mut program = program(&[(0, 50), (0, 50)], vec![row(&[(0, 1)], 9)]);
    for at in 0..2 {
        program.unknowns[at as usize].open = true;
        program.stages.push(best(&[(at, 1)]));
    }
    let solution = solve(&program, &Limits::default());
    assert_eq!(solution.unlimited, [UnknownId(1)]);
}

#[test]
fn agrees_with_microlp_in_ticks() {
    let mut conflicts = 0;
    for seed in 0..400 {
        let mut dice = Dice::new(seed);
        let count = dice.within(4, 10) as u32;
        let bounds: Vec<(i64, i64)> = (0..count)
            .map(|_| {
                let least = dice.within(-10, 10);
                (least, least + dice.within(0, 60))
            })
            .collect();
        let mut rows = Vec::new();
        for _ in 0..dice.within(3, 14) {
            let mut places: Vec<u32> = (0..count).collect();
            dice.shuffle(&mut places);
            places.truncate(dice.within(2, 4) as usize);
            let terms: Vec<(u32, i64)> = places
                .into_iter()
                .map(|at| (at, dice.within(1, 5) * if dice.chance(50) { 1 } else { -1 }))
                .collect();
            let most = dice.within(-30, 40);
            if dice.chance(15) {
                let other: Vec<(u32, i64)> = terms.iter().map(|&(at, it)| (at, -it)).collect();
                rows.push(row(&other, -most));
            }
            rows.push(row(&terms, most));
        }
        let mut program = program(&bounds, rows);
        let objective: Vec<(u32, i64)> = (0..count)
            .map(|at| (at, dice.within(-3, 3)))
            .filter(|it| it.1 != 0)
            .collect();
        program.stages.push(best(&objective));
        let named = objective.iter().map(|&(at, times)| (UnknownId(at), times));
        let expected = reference::answer(&Model {
            name: String::new(),
            unknowns: program.unknowns.clone(),
            groups: Vec::new(),
            rows: program
                .rows
                .iter()
                .map(|row| (row.clone(), Source::Program))
                .collect(),
            goal: Goal::Most(named.collect()),
        });
        let solution = solve(&program, &Limits::default());
        match (expected, &solution.verdict) {
            (None, Verdict::Conflict(_)) => conflicts += 1,
            (Some(expected), Verdict::FitsBest) => {
                let StageOutcome::Best { value, proved, .. } = solution.stages[0] else {
                    panic!("seed {seed}");
                };
                assert!(proved, "seed {seed}");
                assert_eq!(value, expected, "seed {seed}");
            }
            other => panic!("seed {seed}: {other:?}"),
        }
    }
    assert!(conflicts > 40, "{conflicts} conflicts");
}

#[test]
fn the_stack_is_small_enough() {
    // A chain that only branching settles, as deep as the search goes.
    let count = 600u32;
    let mut problem = Problem::new(
        vec![Bounds { least: 0, most: 9 }; count as usize],
        Vec::new(),
    );
    for at in 0..count - 1 {
        for sign in [1, -1] {
            let terms = [(at, 2 * sign), (at + 1, -3 * sign)];
            let row = LocalRow::new(terms, 1).expect("small numbers");
            problem.push_row(row).expect("a row in normal form");
        }
    }
    let all: Vec<(u32, i64)> = (0..count)
        .map(|at| (at, if at % 2 == 0 { 1 } else { -1 }))
        .collect();
    problem
        .push_row(LocalRow::new(all, -7).expect("small numbers"))
        .expect("a row in normal form");
    let limits = Limits {
        nodes: 3_000,
        ..Limits::default()
    };
    // Any answer will do, if there is one.
    match decide(&problem, &[], &[], &limits) {
        Answer::Holds(witness) => assert_eq!(check::witness(&problem, &witness), Ok(())),
        Answer::Fails(proof) => assert_eq!(check::replay(&problem, &proof), Ok(())),
        Answer::Unsettled(why) => assert!(why.is_reproducible()),
    }
}
