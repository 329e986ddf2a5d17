//! One stage as a file in free MPS format, for a second opinion by another solver.
//!
//! Unknowns become integer columns, alternatives become binary columns of which each group takes
//! one, and a guarded row gets a term that lifts it where a guard is not taken. The lift is exact:
//! from the finite bounds, not "a large number". The objective is *minimised* and therefore
//! negated: readers differ about `OBJSENSE`, but all of them minimise.

use super::program::{Group, GroupId, Guard, Row, Unknown, UnknownId};
use std::fmt::Write as _;
use thiserror::Error;

/// What is asked of a [`Model`].
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Goal {
    /// Make `sum of coefficient * unknown` as large as possible (ticks).
    Most(Vec<(UnknownId, i64)>),
    /// Take the alternative of this group that comes first.
    First(GroupId),
    /// Any answer will do.
    Any,
}

/// What a row of a [`Model`] belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Source {
    /// An instance of a rule, by its place in the program.
    Instance(usize),
    /// What an earlier stage settled.
    Stage(usize),
    /// A row of the program that belongs to no instance.
    Program,
}

/// One stage: everything settled before it, and its own question.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Model {
    pub name: String,
    pub unknowns: Vec<Unknown>,
    pub groups: Vec<Group>,
    pub rows: Vec<(Row, Source)>,
    pub goal: Goal,
}

/// A model as text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mps {
    pub text: String,
    /// Each column's code in the text, and its name.
    pub columns: Vec<(String, String)>,
}

/// Why a model was not written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum MpsError {
    #[error("row {row} holds a number that a reader of the file would round")]
    TooLarge { row: usize },
    #[error("the objective or a bound holds a number that a reader of the file would round")]
    TooLargeElsewhere,
    #[error("row {row} names something that the model does not have")]
    Malformed { row: usize },
}

/// Readers keep numbers as floats; beyond this, not every whole number is one.
const LARGEST: i128 = 1 << 53;

fn exact(number: i128) -> Option<i128> {
    (number.abs() <= LARGEST).then_some(number)
}

fn unknown_code(unknown: UnknownId) -> String {
    format!("X{}", unknown.0)
}

fn alternative_code(guard: Guard) -> String {
    format!("G{}A{}", guard.group.0, guard.alternative)
}

/// Entries of the file: for each column its rows and coefficients.
struct Columns {
    unknowns: Vec<Vec<(String, i128)>>,
    alternatives: Vec<Vec<Vec<(String, i128)>>>,
}

/// A row, ready to be written: sense, name, right-hand side.
type Head = (char, String, i128);

/// Writes a model.
///
/// # Errors
/// Where a number is beyond 2^53, or a row names something that does not exist.
pub fn write_mps(model: &Model) -> Result<Mps, MpsError> {
    let mut columns = Columns {
        unknowns: vec![Vec::new(); model.unknowns.len()],
        alternatives: model
            .groups
            .iter()
            .map(|group| vec![Vec::new(); group.alternatives.len()])
            .collect(),
    };
    let mut heads: Vec<Head> = Vec::new();
    goal(model, &mut columns)?;
    for (place, group) in columns.alternatives.iter_mut().enumerate() {
        let name = format!("G{place}");
        for alternative in group {
            alternative.push((name.clone(), 1));
        }
        heads.push(('E', name, 1));
    }
    for (place, (row, source)) in model.rows.iter().enumerate() {
        let name = match source {
            Source::Instance(instance) => format!("R{place}_I{instance}"),
            Source::Stage(stage) => format!("R{place}_S{stage}"),
            Source::Program => format!("R{place}"),
        };
        if let Some(right) = add_row(model, row, place, &name, &mut columns)? {
            heads.push(('L', name, right));
        }
    }
    Ok(Mps {
        text: text(model, &heads, &columns)?,
        columns: names(model),
    })
}

fn goal(model: &Model, columns: &mut Columns) -> Result<(), MpsError> {
    // Every column appears at least here, so that no reader misses one.
    let objective = || String::from("OBJ");
    for column in &mut columns.unknowns {
        column.push((objective(), 0));
    }
    for column in columns.alternatives.iter_mut().flatten() {
        column.push((objective(), 0));
    }
    match &model.goal {
        Goal::Any => {}
        Goal::Most(terms) => {
            for &(unknown, times) in terms {
                let column = columns.unknowns.get_mut(unknown.0 as usize);
                let column = column.ok_or(MpsError::TooLargeElsewhere)?;
                let times = exact(-i128::from(times)).ok_or(MpsError::TooLargeElsewhere)?;
                column[0].1 += times;
            }
        }
        Goal::First(group) => {
            if let Some(group) = columns.alternatives.get_mut(group.0 as usize) {
                for (place, column) in group.iter_mut().enumerate() {
                    column[0].1 = place as i128;
                }
            }
        }
    }
    Ok(())
}

/// Adds a row's entries and returns its right-hand side; `None` where the bounds imply the row.
fn add_row(
    model: &Model,
    row: &Row,
    place: usize,
    name: &str,
    columns: &mut Columns,
) -> Result<Option<i128>, MpsError> {
    let too_large = MpsError::TooLarge { row: place };
    let malformed = MpsError::Malformed { row: place };
    let mut maximum = 0i128;
    for &(unknown, times) in &row.terms {
        let bounds = model.unknowns.get(unknown.0 as usize).ok_or(malformed)?;
        let at = if times > 0 { bounds.most } else { bounds.least };
        maximum = i128::from(times)
            .checked_mul(at.into())
            .and_then(|part| maximum.checked_add(part))
            .ok_or(too_large)?;
    }
    let mut right = i128::from(row.most);
    if !row.guards.is_empty() {
        let lift = maximum - right;
        if lift <= 0 {
            return Ok(None);
        }
        exact(lift).ok_or(too_large)?;
        for guard in &row.guards {
            let group = columns.alternatives.get_mut(guard.group.0 as usize);
            let column = group.and_then(|group| group.get_mut(guard.alternative as usize));
            column.ok_or(malformed)?.push((name.to_owned(), lift));
            right += lift;
        }
    }
    for &(unknown, times) in &row.terms {
        let times = exact(times.into()).ok_or(too_large)?;
        columns.unknowns[unknown.0 as usize].push((name.to_owned(), times));
    }
    exact(right).ok_or(too_large).map(Some)
}

fn names(model: &Model) -> Vec<(String, String)> {
    let unknowns = model.unknowns.iter().enumerate().map(|(at, unknown)| {
        let code = unknown_code(UnknownId(at as u32));
        (code, unknown.name.clone())
    });
    let alternatives = model.groups.iter().enumerate().flat_map(|(group, it)| {
        it.alternatives
            .iter()
            .enumerate()
            .map(move |(alternative, name)| {
                let code = alternative_code(Guard {
                    group: GroupId(group as u32),
                    alternative: alternative as u32,
                });
                (code, format!("{} = {name}", it.name))
            })
    });
    unknowns.chain(alternatives).collect()
}

fn text(model: &Model, heads: &[Head], columns: &Columns) -> Result<String, MpsError> {
    let mut out = String::new();
    // Writing to a string cannot fail.
    let mut line = |text: std::fmt::Arguments| {
        let _ = writeln!(out, "{text}");
    };
    // A comment must stay one line, whatever a name holds.
    let one_line = |name: &str| name.replace(char::is_control, " ");
    line(format_args!("* {}", one_line(&model.name)));
    line(format_args!(
        "* Minimised: what is wanted large stands here negated."
    ));
    for (code, name) in names(model) {
        line(format_args!("* {code}: {}", one_line(&name)));
    }
    line(format_args!("NAME tuckwright"));
    line(format_args!("ROWS"));
    line(format_args!(" N OBJ"));
    for (sense, name, _) in heads {
        line(format_args!(" {sense} {name}"));
    }
    line(format_args!("COLUMNS"));
    line(format_args!(" M1 'MARKER' 'INTORG'"));
    let unknowns = columns.unknowns.iter().enumerate();
    for (at, entries) in unknowns {
        let code = unknown_code(UnknownId(at as u32));
        for (row, times) in entries {
            line(format_args!(" {code} {row} {times}"));
        }
    }
    for (group, alternatives) in columns.alternatives.iter().enumerate() {
        for (alternative, entries) in alternatives.iter().enumerate() {
            let code = alternative_code(Guard {
                group: GroupId(group as u32),
                alternative: alternative as u32,
            });
            for (row, times) in entries {
                line(format_args!(" {code} {row} {times}"));
            }
        }
    }
    line(format_args!(" M2 'MARKER' 'INTEND'"));
    line(format_args!("RHS"));
    for (_, name, right) in heads {
        line(format_args!(" RHS {name} {right}"));
    }
    line(format_args!("BOUNDS"));
    for (at, unknown) in model.unknowns.iter().enumerate() {
        let code = unknown_code(UnknownId(at as u32));
        for (kind, bound) in [("LO", unknown.least), ("UP", unknown.most)] {
            let bound = exact(bound.into()).ok_or(MpsError::TooLargeElsewhere)?;
            line(format_args!(" {kind} BND {code} {bound}"));
        }
    }
    for (group, alternatives) in columns.alternatives.iter().enumerate() {
        for alternative in 0..alternatives.len() {
            line(format_args!(" LO BND G{group}A{alternative} 0"));
            line(format_args!(" UP BND G{group}A{alternative} 1"));
        }
    }
    line(format_args!("ENDATA"));
    Ok(out)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn model(row: Row, goal: Goal) -> Model {
        Model {
            name: "stage 0".into(),
            unknowns: vec![Unknown {
                name: "mat.width".into(),
                least: -3,
                most: 9,
                open: false,
            }],
            groups: vec![Group {
                name: "print".into(),
                alternatives: vec!["5 x 7".into(), "4 x 6".into()],
            }],
            rows: vec![(row, Source::Instance(5))],
            goal,
        }
    }

    fn guarded(times: i64, most: i64) -> Row {
        Row {
            terms: vec![(UnknownId(0), times)],
            most,
            guards: vec![Guard {
                group: GroupId(0),
                alternative: 1,
            }],
        }
    }

    #[test]
    fn a_guarded_row_is_lifted_exactly() {
        let goal = Goal::Most(vec![(UnknownId(0), 1)]);
        let mps = write_mps(&model(guarded(2, 7), goal)).expect("small numbers");
        // 2 * 9 - 7 = 11 above what the row allows.
        for line in [
            " X0 OBJ -1",
            " X0 R0_I5 2",
            " G0A1 R0_I5 11",
            " RHS R0_I5 18",
            " RHS G0 1",
            " LO BND X0 -3",
            " UP BND X0 9",
            " UP BND G0A1 1",
            "* G0A1: print = 4 x 6",
        ] {
            assert!(
                mps.text.lines().any(|it| it == line),
                "{line}\n{}",
                mps.text
            );
        }
        assert_eq!(mps.columns[0], ("X0".into(), "mat.width".into()));
    }

    #[test]
    fn a_row_that_the_bounds_imply_is_left_out() {
        let mps = write_mps(&model(guarded(1, 9), Goal::Any)).expect("small numbers");
        assert!(!mps.text.contains("R0_I5"));
    }

    #[test]
    fn a_choice_prefers_its_first_alternative() {
        let mps = write_mps(&model(guarded(1, 9), Goal::First(GroupId(0)))).expect("small");
        assert!(mps.text.contains(" G0A0 OBJ 0\n"));
        assert!(mps.text.contains(" G0A1 OBJ 1\n"));
    }

    #[test]
    fn numbers_that_a_reader_would_round_are_refused() {
        let large = write_mps(&model(guarded(1 << 60, 9), Goal::Any));
        assert_eq!(large, Err(MpsError::TooLarge { row: 0 }));
        let mut outside = guarded(1, 2);
        outside.terms[0].0 = UnknownId(4);
        let outside = write_mps(&model(outside, Goal::Any));
        assert_eq!(outside, Err(MpsError::Malformed { row: 0 }));
    }
}
