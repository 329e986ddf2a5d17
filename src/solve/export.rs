//! The question that a stage was, as a model for another solver.

use super::solution::{Solution, StageOutcome};
use crate::solve::mps::{Goal, Model, Source};
use crate::solve::program::{Force, Guard, Program, Row, Stage, UnknownId};

/// Everything that was settled before stage `stage`, and that stage's own question: its objective,
/// the choice it makes, or whether its wish can be kept.
///
/// `None` where there is no such stage or no plan, or where a value is too large for a row.
#[must_use]
pub fn stage_program(program: &Program, solution: &Solution, stage: usize) -> Option<Model> {
    if solution.stages.len() != program.stages.len() {
        return None;
    }
    let question = program.stages.get(stage)?;
    let mut source = vec![Source::Program; program.rows.len()];
    let mut taken_in = vec![true; program.rows.len()];
    for (at, instance) in program.instances.iter().enumerate() {
        for row in instance.rows.clone() {
            source[row] = Source::Instance(at);
            taken_in[row] = instance.force == Force::Must;
        }
    }
    let mut settled: Vec<(Row, Source)> = Vec::new();
    let before = program.stages.iter().zip(&solution.stages).take(stage);
    for (at, (earlier, outcome)) in before.enumerate() {
        match (earlier, outcome) {
            (Stage::Keep(id), StageOutcome::Kept) => {
                let rows = program.instances.get(id.0 as usize)?.rows.clone();
                taken_in.get_mut(rows)?.fill(true);
            }
            (Stage::Best { objective, .. }, StageOutcome::Best { value, .. }) => {
                settled.push((at_least(objective, *value)?, Source::Stage(at)));
            }
            (Stage::Choose(group), StageOutcome::Chosen { alternative, .. })
            | (
                Stage::Choose(group),
                StageOutcome::Unsettled {
                    taken: Some(alternative),
                    ..
                },
            ) => {
                let count = program.groups.get(group.0 as usize)?.alternatives.len() as u32;
                for other in (0..count).filter(|other| other != alternative) {
                    let guard = Guard {
                        group: *group,
                        alternative: other,
                    };
                    let never = Row {
                        terms: Vec::new(),
                        most: -1,
                        guards: vec![guard],
                    };
                    settled.push((never, Source::Stage(at)));
                }
            }
            _ => {}
        }
    }
    let (name, goal) = match question {
        Stage::Best { name, objective } => (name.clone(), Goal::Most(objective.clone())),
        Stage::Choose(group) => (
            program.groups.get(group.0 as usize)?.name.clone(),
            Goal::First(*group),
        ),
        Stage::Keep(id) => {
            let rows = program.instances.get(id.0 as usize)?.rows.clone();
            taken_in.get_mut(rows)?.fill(true);
            (format!("keep instance {}", id.0), Goal::Any)
        }
    };
    let rows = program.rows.iter().zip(source).zip(taken_in);
    let mut rows: Vec<(Row, Source)> = rows
        .filter(|&(_, taken_in)| taken_in)
        .map(|((row, source), _)| (row.clone(), source))
        .collect();
    rows.extend(settled);
    Some(Model {
        name: format!("stage {stage}: {name}"),
        unknowns: program.unknowns.clone(),
        groups: program.groups.clone(),
        rows,
        goal,
    })
}

/// The musts alone, as a question: is there any answer? Where there is a conflict, there is none.
#[must_use]
pub fn musts_program(program: &Program) -> Model {
    let mut rows: Vec<(Row, Source)> = Vec::new();
    let mut of_instance = vec![false; program.rows.len()];
    for (at, instance) in program.instances.iter().enumerate() {
        for row in instance.rows.clone() {
            of_instance[row] = true;
            if instance.force == Force::Must {
                rows.push((program.rows[row].clone(), Source::Instance(at)));
            }
        }
    }
    let rest = program.rows.iter().zip(of_instance).filter(|(_, of)| !of);
    rows.extend(rest.map(|(row, _)| (row.clone(), Source::Program)));
    Model {
        name: "the rules that must hold".to_owned(),
        unknowns: program.unknowns.clone(),
        groups: program.groups.clone(),
        rows,
        goal: Goal::Any,
    }
}

/// `objective >= value`.
fn at_least(objective: &[(UnknownId, i64)], value: i128) -> Option<Row> {
    let negated = objective
        .iter()
        .map(|&(unknown, times)| Some((unknown.0, times.checked_neg()?)))
        .collect::<Option<Vec<_>>>()?;
    let row = super::problem::Row::new(negated, i64::try_from(value).ok()?.checked_neg()?)?;
    let terms = row
        .terms
        .into_iter()
        .map(|(at, times)| (UnknownId(at), times));
    Some(Row {
        terms: terms.collect(),
        most: row.most,
        guards: Vec::new(),
    })
}
