//! What holds a size, what clashes, and what a tampered plan breaks.

use super::{can_hold, each, plan_sizes, sum};
use std::collections::BTreeMap;
use tuckwright::plan::verify::{Finished, verify};
use tuckwright::plan::{dropped, picks};
use tuckwright::program::prefer::DEFINITION;
use tuckwright::program::{Program, Row, Stage, UnknownId};
use tuckwright::solve::{Held, Holder, Origin, Solution, StageOutcome, Verdict};
use tuckwright::{Outcome, Worked};

/// The unknown at least one step better.
fn better(unknown: usize, value: i64, larger: bool) -> Row {
    let id = UnknownId(unknown as u32);
    let (times, most) = if larger {
        (-1, -value - 1)
    } else {
        (1, value - 1)
    };
    Row {
        terms: vec![(id, times)],
        most,
        guards: Vec::new(),
    }
}

/// What a holder asks. An earlier preference is fixed part by part; its parts are those that the
/// proof names, and each is tight in the plan.
fn rows_of(program: &Program, solution: &Solution, held: &Held, holder: Holder) -> Vec<Row> {
    match holder {
        Holder::Instance(id) => {
            let rows = program.instances[id.0 as usize].rows.clone();
            program.rows[rows].to_vec()
        }
        Holder::Row(id) => vec![program.rows[id.0 as usize].clone()],
        Holder::Bound => Vec::new(),
        Holder::Stage(stage) => {
            let certificate = &solution.certificates[held.certificate];
            let rows = certificate.problem.rows().iter().zip(&certificate.origins);
            let of_stage = rows.filter(|(_, origin)| {
                matches!(origin, Origin::Optimum { stage: n } | Origin::Choice { stage: n } if *n == stage)
            });
            let rows: Vec<Row> = of_stage
                .map(|(row, _)| Row {
                    terms: row
                        .terms
                        .iter()
                        .map(|t| (certificate.unknowns[t.0 as usize], t.1))
                        .collect(),
                    most: row.most,
                    guards: (row.guards.iter())
                        .map(|g| tuckwright::program::Guard {
                            group: certificate.groups[g.0 as usize],
                            alternative: g.1,
                        })
                        .collect(),
                })
                .collect();
            for row in rows.iter().filter(|row| row.guards.is_empty()) {
                assert_eq!(
                    sum(&row.terms, &solution.values),
                    i128::from(row.most),
                    "not settled so"
                );
            }
            rows
        }
    }
}

#[test]
fn what_holds_a_size_holds_it_and_all_of_it_is_needed() {
    let mut kinds: BTreeMap<&str, usize> = BTreeMap::new();
    each(|seed, _, worked| {
        let (program, solution) = (&worked.expanded.program, &worked.solution);
        for (unknown, held) in solution.held_by.iter().enumerate() {
            let Some(held) = held else { continue };
            let name = &program.unknowns[unknown].name;
            assert!(held.irreducible, "album {seed}: {name}");
            let better = better(unknown, solution.values[unknown], held.larger);
            let asked: Vec<Vec<Row>> = held
                .holders
                .iter()
                .map(|h| rows_of(program, solution, held, *h))
                .collect();
            let with = |left_out: Option<usize>| {
                let rows = asked
                    .iter()
                    .enumerate()
                    .filter(|(at, _)| Some(*at) != left_out);
                let mut rows: Vec<Row> = rows.flat_map(|(_, rows)| rows.clone()).collect();
                rows.push(better.clone());
                can_hold(program, rows)
            };
            assert!(
                !with(None),
                "album {seed}: {name} is not held by {:?}",
                held.holders
            );
            for (at, holder) in held.holders.iter().enumerate() {
                let kind = match holder {
                    Holder::Instance(_) => "rule",
                    Holder::Row(_) => "row",
                    Holder::Stage(_) => "preference",
                    Holder::Bound => "limit",
                };
                *kinds.entry(kind).or_default() += 1;
                if *holder != Holder::Bound {
                    assert!(
                        with(Some(at)),
                        "album {seed}: {name} is held without {holder:?}"
                    );
                }
            }
        }
    });
    println!("{kinds:?}");
    assert!(kinds["rule"] > 1_000 && kinds["preference"] > 50);
}

#[test]
fn every_size_of_a_plan_says_what_holds_it() {
    each(|seed, _, worked| {
        let Outcome::Fits(plan) = &worked.outcome else {
            return;
        };
        for size in plan_sizes(plan) {
            assert!(!size.held_by.is_empty(), "album {seed}: {}", size.name);
            let known = !size.held_by.contains(&tuckwright::plan::Reason::Unknown);
            assert!(known, "album {seed}: {} {}", size.leaf, size.name);
        }
    });
}

#[test]
fn what_clashes_clashes_alone_and_each_of_it_is_needed() {
    let mut sizes: BTreeMap<usize, usize> = BTreeMap::new();
    each(|seed, style, worked| {
        let Verdict::Conflict(conflict) = &worked.solution.verdict else {
            return;
        };
        assert!(
            conflict.proved_minimal && conflict.rows.is_empty(),
            "album {seed}"
        );
        let program = &worked.expanded.program;
        let with = |left_out: Option<usize>| {
            let members = conflict
                .instances
                .iter()
                .enumerate()
                .filter(|(at, _)| Some(*at) != left_out);
            let rows = members.flat_map(|(_, id)| {
                program.rows[program.instances[id.0 as usize].rows.clone()].to_vec()
            });
            can_hold(program, rows.collect())
        };
        assert!(!with(None), "album {seed}");
        for (at, id) in conflict.instances.iter().enumerate() {
            let rule = program.instances[id.0 as usize].rule;
            assert!(!style.rules[rule].wish, "album {seed}: a wish clashes");
            assert!(with(Some(at)), "album {seed}: {}", style.rules[rule].name);
        }
        *sizes.entry(conflict.instances.len()).or_default() += 1;
    });
    println!("clashes by their number of rules: {sizes:?}");
    assert!(sizes.keys().any(|members| *members > 1));
}

/// Why a plan may not have a size one step better.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Broken {
    Rule,
    /// What makes "the shorter side" the shorter one.
    Definition,
    EarlierPreference,
}

fn broken(
    style: &tuckwright::style::Style,
    worked: &Worked,
    values: &[i64],
    stage: usize,
) -> Option<Broken> {
    let (expanded, solution) = (&worked.expanded, &worked.solution);
    let finished = Finished {
        values,
        picks: &picks(expanded, solution),
        dropped: &dropped(expanded, solution),
    };
    if verify(style, expanded, finished).is_err() {
        return Some(Broken::Rule);
    }
    let program = &expanded.program;
    let defined = program.instances.iter().filter(|it| it.rule == DEFINITION);
    let mut rows = defined.flat_map(|it| &program.rows[it.rows.clone()]);
    if rows.any(|row| sum(&row.terms, values) > i128::from(row.most)) {
        return Some(Broken::Definition);
    }
    let mut earlier = program.stages.iter().zip(&solution.stages).take(stage);
    let worse = earlier.any(|it| match it {
        (Stage::Best { objective, .. }, StageOutcome::Best { value, .. }) => {
            sum(objective, values) < *value
        }
        _ => false,
    });
    worse.then_some(Broken::EarlierPreference)
}

#[test]
fn a_size_one_step_better_breaks_a_rule_or_an_earlier_preference() {
    let mut counts: BTreeMap<Broken, usize> = BTreeMap::new();
    each(|seed, style, worked| {
        let solution = &worked.solution;
        for size in &worked.expanded.sizes {
            let at = size.unknown.0 as usize;
            let Some(Some(held)) = solution.held_by.get(at) else {
                continue;
            };
            let mut values = solution.values.clone();
            values[at] += if held.larger { 1 } else { -1 };
            let broken = broken(style, worked, &values, held.stage);
            let name = &worked.expanded.program.unknowns[at].name;
            let Some(broken) = broken else {
                panic!("album {seed}: {name} may be {}", values[at]);
            };
            // Rules alone hold it, so the text of the rules must say so.
            let rules_alone = !held.holders.iter().any(|h| matches!(h, Holder::Stage(_)));
            assert!(
                !rules_alone || broken == Broken::Rule,
                "album {seed}: {name}, {broken:?}"
            );
            *counts.entry(broken).or_default() += 1;
        }
    });
    println!("{counts:?}");
    assert!(counts[&Broken::Rule] > 1_000);
}
