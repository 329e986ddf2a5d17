//! The only floats: a linear relaxation proposes a point, or multipliers for a refutation.
//!
//! Nothing here is believed. A point is rounded and tested in whole numbers by the search;
//! multipliers are rounded and added up in whole numbers here, and once more by the checker.

use super::engine::Engine;
use super::problem::Hint;
use super::scope::Scope;
use good_lp::solvers::microlp::microlp;
use good_lp::{
    Expression, ProblemVariables, ResolutionError, Solution, SolutionStatus, SolverModel, Variable,
    WithTimeLimit, variable,
};
use std::collections::BTreeMap;
use std::time::Duration;

/// Numbers beyond this are left to branching: a float could not tell their ticks apart.
const LARGEST: i64 = 1 << 45;

/// What the relaxation proposes.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Relaxed {
    /// Whole values near a point that satisfies the rows in fractions.
    Point(Proposal),
    /// No point was found; multipliers may exist.
    Empty,
    /// The LP could not be asked, or gave no usable answer.
    Nothing,
}

/// Whole numbers near a point of the relaxation, in the order of the scope's unknowns (ticks).
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Proposal {
    /// The point rounded to nearest, down and up.
    pub roundings: [Vec<i64>; 3],
    /// The unknown that is farthest from whole.
    pub split: Option<Fraction>,
}

/// An unknown between two whole numbers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Fraction {
    /// Place among the scope's unknowns.
    pub place: usize,
    /// The whole number below it (ticks).
    pub at: i64,
    /// It is nearer to that one than to the next.
    pub below: bool,
}

impl Proposal {
    fn of(point: &[f64]) -> Self {
        // A cast of a finite float saturates; bounds do the rest.
        let rounded =
            |round: fn(f64) -> f64| point.iter().map(|&value| round(value) as i64).collect();
        let off = |value: f64| (value - value.round()).abs();
        let split = point
            .iter()
            .enumerate()
            .filter(|&(_, &value)| off(value) > 1e-6)
            .max_by(|one, other| off(*one.1).total_cmp(&off(*other.1)))
            .map(|(place, &value)| Fraction {
                place,
                at: value.floor() as i64,
                below: value - value.floor() <= 0.5,
            });
        Self {
            roundings: [rounded(f64::round), rounded(f64::floor), rounded(f64::ceil)],
            split,
        }
    }
}

/// A refutation by multipliers of rows.
#[derive(Clone, Debug)]
pub(super) struct Farkas {
    pub multipliers: Vec<(u32, i64)>,
    /// The sum's coefficients, none zero.
    pub combined: Vec<(u32, i128)>,
}

/// Rows of a scope in force, over unknowns counted from their least values.
struct Shifted {
    ids: Vec<u32>,
    /// Pairs of place in the scope and coefficient.
    terms: Vec<Vec<(usize, f64)>>,
    most: Vec<f64>,
    widths: Vec<f64>,
}

/// A float of a number that a float can hold; `None` beyond.
fn float(number: i128) -> Option<f64> {
    (number.abs() <= i128::from(LARGEST)).then_some(number as f64)
}

fn shift(engine: &Engine, scope: &Scope) -> Option<Shifted> {
    let mut widths = Vec::with_capacity(scope.unknowns.len());
    for &unknown in &scope.unknowns {
        let bounds = engine.bounds(unknown);
        widths.push(float(i128::from(bounds.most) - i128::from(bounds.least))?);
    }
    let mut shifted = Shifted {
        ids: Vec::new(),
        terms: Vec::new(),
        most: Vec::new(),
        widths,
    };
    for &id in scope.rows.iter().filter(|&&id| engine.in_force(id)) {
        let row = &engine.problem().rows()[id as usize];
        let mut most = i128::from(row.most);
        let mut terms = Vec::with_capacity(row.terms.len());
        for &(unknown, coefficient) in &row.terms {
            most -= i128::from(coefficient) * i128::from(engine.bounds(unknown).least);
            if let Ok(place) = scope.unknowns.binary_search(&unknown) {
                terms.push((place, float(coefficient.into())?));
            }
            // An unknown outside the scope is fixed: its term went into `most`.
        }
        shifted.ids.push(id);
        shifted.terms.push(terms);
        shifted.most.push(float(most)?);
    }
    Some(shifted)
}

/// The relaxation of a scope's rows in force, pulled towards the hints; within this time.
pub(super) fn relax(
    engine: &Engine,
    scope: &Scope,
    hints: &[Hint],
    time: Option<Duration>,
) -> Relaxed {
    let Some(shifted) = shift(engine, scope) else {
        return Relaxed::Nothing;
    };
    let mut names = ProblemVariables::new();
    let variables: Vec<Variable> = shifted
        .widths
        .iter()
        .map(|&width| names.add(variable().min(0.0).max(width)))
        .collect();
    let mut objective = Expression::from(0.0);
    for (&unknown, &name) in scope.unknowns.iter().zip(&variables) {
        match hints[unknown as usize] {
            Hint::Least => objective += -1.0 * name,
            Hint::Most => objective += 1.0 * name,
            Hint::At(_) => {}
        }
    }
    let mut model = names.maximise(objective).using(microlp);
    for (terms, &most) in shifted.terms.iter().zip(&shifted.most) {
        model.add_constraint(sum(terms, &variables).leq(most));
    }
    match timed(model, time).solve() {
        Ok(solution) if matches!(solution.status(), SolutionStatus::Optimal) => {
            let mut point = Vec::with_capacity(variables.len());
            for (&unknown, &name) in scope.unknowns.iter().zip(&variables) {
                let value = solution.value(name);
                if !value.is_finite() {
                    return Relaxed::Nothing;
                }
                point.push(value + engine.bounds(unknown).least as f64);
            }
            Relaxed::Point(Proposal::of(&point))
        }
        Ok(_) => Relaxed::Nothing,
        Err(ResolutionError::Infeasible) => Relaxed::Empty,
        Err(_) => Relaxed::Nothing,
    }
}

fn timed<M: WithTimeLimit>(model: M, time: Option<Duration>) -> M {
    match time {
        Some(time) => model.with_time_limit(time.as_secs_f64()),
        None => model,
    }
}

fn sum(terms: &[(usize, f64)], variables: &[Variable]) -> Expression {
    let mut sum = Expression::from(0.0);
    for &(place, coefficient) in terms {
        sum += coefficient * variables[place];
    }
    sum
}

/// Whole multipliers with which the rows in force contradict the bounds.
///
/// The LP looks for multipliers `y >= 0`, their sum at most 1, and for `q >= 0` that lift each
/// combined coefficient to zero or more; from least values counted, the contradiction's size is
/// `-(most . y) - (width . q)`. Rounding costs little of it: the bounds absorb what is left over.
pub(super) fn farkas(engine: &Engine, scope: &Scope, time: Option<Duration>) -> Option<Farkas> {
    let shifted = shift(engine, scope)?;
    let mut names = ProblemVariables::new();
    let multipliers: Vec<Variable> = shifted
        .ids
        .iter()
        .map(|_| names.add(variable().min(0.0).max(1.0)))
        .collect();
    let lifts: Vec<Variable> = shifted
        .widths
        .iter()
        .map(|_| names.add(variable().min(0.0)))
        .collect();
    let mut objective = Expression::from(0.0);
    for (&most, &name) in shifted.most.iter().zip(&multipliers) {
        objective += -most * name;
    }
    for (&width, &name) in shifted.widths.iter().zip(&lifts) {
        objective += -width * name;
    }
    let mut columns: Vec<Expression> = lifts.iter().map(|&name| name.into()).collect();
    let mut total = Expression::from(0.0);
    for (terms, &name) in shifted.terms.iter().zip(&multipliers) {
        total += name;
        for &(place, coefficient) in terms {
            columns[place] += coefficient * name;
        }
    }
    let mut model = names.maximise(objective).using(microlp);
    for column in columns {
        model.add_constraint(column.geq(0.0));
    }
    model.add_constraint(total.leq(1.0));
    let solution = timed(model, time).solve().ok()?;
    if !matches!(solution.status(), SolutionStatus::Optimal) {
        return None;
    }
    let mut found = Vec::new();
    for (&row, &name) in shifted.ids.iter().zip(&multipliers) {
        let value = solution.value(name);
        if !value.is_finite() {
            return None;
        }
        if value > 1e-9 {
            found.push((row, value));
        }
    }
    let smallest = found
        .iter()
        .map(|pair| pair.1)
        .fold(f64::INFINITY, f64::min);
    // Small multipliers are easier to read, and usually exact.
    let scales = [1.0, 2.0, 6.0, 60.0].map(|times| times / smallest);
    scales
        .into_iter()
        .chain([1e4, 1e7, 1e10])
        .find_map(|scale| add_up(engine, &found, scale))
}

/// The multipliers times `scale`, rounded, if they prove what they should.
fn add_up(engine: &Engine, found: &[(u32, f64)], scale: f64) -> Option<Farkas> {
    let mut multipliers = Vec::new();
    let mut sums: BTreeMap<u32, i128> = BTreeMap::new();
    let mut allowed = 0i128;
    for &(row, value) in found {
        let scaled = (value * scale).round();
        if !(0.0..1e15).contains(&scaled) {
            return None;
        }
        let multiplier = scaled as i64;
        if multiplier == 0 {
            continue;
        }
        multipliers.push((row, multiplier));
        let row = &engine.problem().rows()[row as usize];
        let times = |number: i64| i128::from(number).checked_mul(i128::from(multiplier));
        allowed = allowed.checked_add(times(row.most)?)?;
        for &(unknown, coefficient) in &row.terms {
            let sum = sums.entry(unknown).or_insert(0);
            *sum = sum.checked_add(times(coefficient)?)?;
        }
    }
    let combined: Vec<(u32, i128)> = sums.into_iter().filter(|pair| pair.1 != 0).collect();
    let mut minimum = 0i128;
    for &(unknown, coefficient) in &combined {
        let bounds = engine.bounds(unknown);
        let at = if coefficient > 0 {
            bounds.least
        } else {
            bounds.most
        };
        minimum = minimum.checked_add(coefficient.checked_mul(at.into())?)?;
    }
    (minimum > allowed).then_some(Farkas {
        multipliers,
        combined,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::solve::problem::{Bounds, Problem, Row};

    fn engine(most: i64, rows: &[(i64, i64, i64)]) -> Engine {
        let mut problem = Problem::new(vec![Bounds { least: 0, most }; 2], Vec::new());
        for &(x, y, at_most) in rows {
            let row = Row::new([(0, x), (1, y)], at_most).expect("small numbers");
            problem.push_row(row).expect("a row in normal form");
        }
        Engine::new(problem)
    }

    #[test]
    fn multipliers_are_whole_and_small() {
        // 3x - 2y <= -1 twice over is 6x - 4y <= -2, against 4y - 6x <= 1.
        let engine = engine(1_000_000, &[(3, -2, -1), (-6, 4, 1)]);
        let scope = Scope::whole(&engine);
        assert_eq!(
            relax(&engine, &scope, &[Hint::Least; 2], None),
            Relaxed::Empty
        );
        let found = farkas(&engine, &scope, None).expect("a contradiction");
        assert_eq!(found.multipliers, [(0, 2), (1, 1)]);
        assert_eq!(found.combined, []);
    }

    #[test]
    fn halves_are_no_contradiction() {
        let engine = engine(9, &[(2, -2, 1), (-2, 2, -1)]);
        let scope = Scope::whole(&engine);
        assert!(matches!(
            relax(&engine, &scope, &[Hint::Most; 2], None),
            Relaxed::Point(_)
        ));
        assert!(farkas(&engine, &scope, None).is_none());
    }

    #[test]
    fn numbers_too_large_for_a_float_are_not_asked() {
        let engine = engine(i64::MAX, &[(1, 1, 7)]);
        let scope = Scope::whole(&engine);
        assert_eq!(
            relax(&engine, &scope, &[Hint::Most; 2], None),
            Relaxed::Nothing
        );
        assert!(farkas(&engine, &scope, None).is_none());
    }
}
