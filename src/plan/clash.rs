//! Rules that cannot all hold, each with its numbers.
//!
//! A member of a conflict is told with the sizes that all the others together allow: there it is
//! broken, and by how much can be read off.

use super::of;
use super::sentence::{sentence, sides};
use super::verify::{Finished, inspect};
use crate::length::{Interval, Length};
use crate::program::expand::{Expanded, RowSource};
use crate::program::{Force, Instance, InstanceId, Program, Row, Stage, Unknown, UnknownId};
use crate::solve::{self, Conflict, Limits, Verdict};
use crate::style::Style;
use crate::style::expr::{Number, Relation};
use crate::text::Place;
use num_traits::{Signed, ToPrimitive};
use std::collections::BTreeSet;

/// A rule is not missed by more than this (ruler steps).
const MOST_MISSING: i64 = 1 << 20;

/// One rule of a conflict.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Member {
    pub name: String,
    /// Which leaf and thing it speaks of; empty for the whole album.
    pub of: String,
    /// Its sentence where the others hold; absent where that took too long.
    pub because: Option<String>,
    pub source: String,
    /// Where it stands in the style.
    pub place: Place,
    /// How much is missing where the others hold; absent for rules of bare numbers.
    pub short: Option<Length>,
    /// How its two sides should compare; absent where its sentence is.
    pub relation: Option<Relation>,
    /// Given values that enter it: as the maker says them, and where.
    pub givens: Vec<(String, Interval, Option<Place>)>,
}

/// Rules that cannot all hold.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Clash {
    pub members: Vec<Member>,
    /// Sizes in it that may not be smaller, whatever the rules say.
    pub least: Vec<(String, Length)>,
    /// Without any one of them the others can hold.
    pub proved_minimal: bool,
}

/// Tells a conflict.
pub fn clash(style: &Style, expanded: &Expanded, conflict: &Conflict, limits: &Limits) -> Clash {
    tell(
        style,
        expanded,
        &conflict.instances,
        conflict.proved_minimal,
        limits,
    )
}

/// Tells a conflict by its members.
pub fn tell(
    style: &Style,
    expanded: &Expanded,
    instances: &[InstanceId],
    proved_minimal: bool,
    limits: &Limits,
) -> Clash {
    let members = instances.iter().filter_map(|id| {
        let rule = style
            .rules
            .get(expanded.program.instances[id.0 as usize].rule)?;
        let told = told(style, expanded, instances, *id, limits);
        let (because, short, relation) =
            told.map_or((None, None, None), |(b, s, r)| (Some(b), s, r));
        Some(Member {
            name: rule.name.clone(),
            of: of(expanded, *id),
            because,
            source: rule.source.clone(),
            place: rule.place,
            short,
            relation,
            givens: givens(expanded, *id),
        })
    });
    Clash {
        members: members.collect(),
        least: least(expanded, instances, limits),
        proved_minimal,
    }
}

/// The given values in a rule, in the order of the album.
fn givens(expanded: &Expanded, id: InstanceId) -> Vec<(String, Interval, Option<Place>)> {
    let mut ids = BTreeSet::new();
    for row in expanded.program.instances[id.0 as usize].rows.clone() {
        if let RowSource::Form { form, .. } = &expanded.row_sources[row] {
            ids.extend(form.givens.keys().copied());
        }
    }
    let scene = &expanded.model.scene;
    let tell = |id| {
        let given = scene.given(id);
        (given.label.clone(), given.value, given.place)
    };
    ids.into_iter().map(tell).collect()
}

/// Least sizes that a conflict leans on: without them its rules could hold together.
fn least(expanded: &Expanded, instances: &[InstanceId], limits: &Limits) -> Vec<(String, Length)> {
    let mut small = Program {
        unknowns: expanded.program.unknowns.clone(),
        groups: expanded.program.groups.clone(),
        ..Program::default()
    };
    let mut spoken = BTreeSet::new();
    for id in instances {
        let instance = &expanded.program.instances[id.0 as usize];
        let rows = &expanded.program.rows[instance.rows.clone()];
        spoken.extend(rows.iter().flat_map(|row| &row.terms).map(|(id, _)| *id));
        let start = small.rows.len();
        small.rows.extend_from_slice(rows);
        small.instances.push(Instance {
            rows: start..small.rows.len(),
            force: Force::Must,
            ..instance.clone()
        });
    }
    let leans = |id: &UnknownId| {
        let mut freed = small.clone();
        freed.unknowns[id.0 as usize].least = 0;
        let verdict = solve::solve(&freed, limits).verdict;
        matches!(verdict, Verdict::FitsBest | Verdict::FitsFound { .. })
    };
    let unknown = |id: &UnknownId| &expanded.program.unknowns[id.0 as usize];
    spoken
        .iter()
        .filter(|id| unknown(id).least > 0)
        .filter(|id| leans(id))
        .filter_map(|id| {
            let least = expanded.ruler.length_of(unknown(id).least)?;
            Some((unknown(id).name.clone(), least))
        })
        .collect()
}

/// The sentence of one member where all the others hold, and by how much it is broken there.
fn told(
    style: &Style,
    expanded: &Expanded,
    instances: &[InstanceId],
    member: InstanceId,
    limits: &Limits,
) -> Option<(String, Option<Length>, Option<Relation>)> {
    let others = instances.iter().filter(|i| **i != member).copied();
    let program = only(expanded, &others.collect::<Vec<_>>(), member)?;
    let solution = solve::solve(&program, limits);
    if !matches!(
        solution.verdict,
        Verdict::FitsBest | Verdict::FitsFound { .. }
    ) {
        return None;
    }
    let picks = super::picks(expanded, &solution);
    let all: BTreeSet<InstanceId> = (0..expanded.program.instances.len() as u32)
        .map(InstanceId)
        .collect();
    let finished = Finished {
        values: &solution.values,
        picks: &picks,
        dropped: &all,
    };
    let line = inspect(style, expanded, finished, member).ok()?;
    let missing = line
        .worst
        .as_ref()
        .filter(|w| w.length && w.slack.is_negative());
    let missing = missing.and_then(|w| (-w.slack).ceil().to_integer().to_i64());
    let text = sentence(style, expanded, finished, &line);
    let relation = sides(style, expanded, finished, &line).map(|s| s.relation);
    Some((text, missing.map(Length::from_nm), relation))
}

/// The rows of these instances alone, and those of the left-out member loosened by as little as
/// can be; then every size as its own preference has it.
fn only(expanded: &Expanded, instances: &[InstanceId], left_out: InstanceId) -> Option<Program> {
    let program = &expanded.program;
    let mut small = Program {
        unknowns: program.unknowns.clone(),
        groups: program.groups.clone(),
        ..Program::default()
    };
    let loosened = UnknownId(small.unknowns.len() as u32);
    small.unknowns.push(Unknown {
        name: "missing".to_owned(),
        least: 0,
        most: MOST_MISSING,
        open: false,
    });
    let mut spoken = BTreeSet::new();
    for id in instances.iter().chain([&left_out]) {
        let instance = &program.instances[id.0 as usize];
        let start = small.rows.len();
        for index in instance.rows.clone() {
            let row = &program.rows[index];
            spoken.extend(row.terms.iter().map(|(id, _)| *id));
            let row = if *id == left_out {
                loosen(row, loosened, expanded.row_steps[index])?
            } else {
                row.clone()
            };
            small.rows.push(row);
        }
        small.instances.push(Instance {
            rows: start..small.rows.len(),
            force: Force::Must,
            ..instance.clone()
        });
    }
    small.stages.push(Stage::Best {
        name: String::new(),
        objective: vec![(loosened, -1)],
    });
    for stage in &program.stages {
        if let Stage::Best { objective, .. } = stage
            && let [(id, _)] = objective[..]
            && spoken.contains(&id)
        {
            small.stages.push(stage.clone());
        }
    }
    Some(small)
}

/// The row with so many ruler steps of leave.
fn loosen(row: &Row, by: UnknownId, steps: Number) -> Option<Row> {
    // One unit of the row is `steps` ruler steps: a ruler step is `1 / steps` units.
    let (times, per_step) = (steps.numer().to_i64()?, steps.denom().to_i64()?);
    let terms = row
        .terms
        .iter()
        .map(|(id, n)| Some((*id, n.checked_mul(times)?)));
    let mut terms: Vec<(UnknownId, i64)> = terms.collect::<Option<_>>()?;
    terms.push((by, -per_step));
    Some(Row {
        terms,
        most: row.most.checked_mul(times)?,
        guards: row.guards.clone(),
    })
}
