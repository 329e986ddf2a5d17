//! Rules that cannot all hold, each with its numbers.
//!
//! A member of a conflict is told with the sizes that all the others together allow: there it is
//! broken, and by how much can be read off.

use super::of;
use super::sentence::{comparison, sentence, sides};
use super::verify::{Finished, Line, inspect};
use crate::length::{Interval, Length};
use crate::program::expand::{Expanded, RowSource};
use crate::program::{
    Force, Group, GroupId, Guard, Instance, InstanceId, Program, Row, Stage, Unknown, UnknownId,
};
use crate::solve::{self, Conflict, Extent, Limits, Verdict};
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
    let small = Excerpt::new(&expanded.program, instances);
    let leans = |at: &usize| {
        let mut freed = small.program.clone();
        freed.unknowns[*at].least = 0;
        let verdict = solve::solve(&freed, limits).verdict;
        matches!(verdict, Verdict::FitsBest | Verdict::FitsFound { .. })
    };
    (0..small.unknowns.len())
        .filter(|at| small.program.unknowns[*at].least > 0)
        .filter(|at| leans(at))
        .filter_map(|at| {
            let unknown = &expanded.program.unknowns[small.unknowns[at].0 as usize];
            let least = expanded.ruler.length_of(unknown.least)?;
            Some((unknown.name.clone(), least))
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
    at_its_best(
        style,
        expanded,
        instances,
        member,
        limits,
        |finished, line| {
            let text = sentence(style, expanded, finished, line);
            let relation = sides(style, expanded, finished, line).map(|s| s.relation);
            (text, short(line), relation)
        },
    )
}

/// By how much each member is broken where all the others hold, and how its sides should compare, as
/// in [`Member`], in their order.
pub fn missing(
    style: &Style,
    expanded: &Expanded,
    instances: &[InstanceId],
    limits: &Limits,
) -> Vec<Option<(Length, Option<Relation>)>> {
    let one = |member: &InstanceId| {
        let told = at_its_best(style, expanded, instances, *member, limits, |_, line| {
            let rule = style.rules.get(line.rule)?;
            let relation = comparison(rule, line).map(|it| it.relation);
            Some((short(line)?, relation))
        });
        told.flatten()
    };
    instances.iter().map(one).collect()
}

/// How much is missing; nothing for rules of bare numbers.
fn short(line: &Line) -> Option<Length> {
    let worst = line.worst.as_ref();
    let worst = worst.filter(|w| w.length && w.slack.is_negative())?;
    let missing = (-worst.slack).ceil().to_integer().to_i64()?;
    Some(Length::from_nm(missing))
}

/// One member where all the others hold and it is broken by as little as can be; nothing where that
/// took too long.
fn at_its_best<T>(
    style: &Style,
    expanded: &Expanded,
    instances: &[InstanceId],
    member: InstanceId,
    limits: &Limits,
    look: impl FnOnce(Finished<'_>, &Line) -> T,
) -> Option<T> {
    let small = only(expanded, instances, member)?;
    // Why the sizes stop there is not asked.
    let solution = solve::solve_as_far(&small.program, limits, &Extent::Of(Vec::new()));
    if !matches!(
        solution.verdict,
        Verdict::FitsBest | Verdict::FitsFound { .. }
    ) {
        return None;
    }
    let program = &expanded.program;
    let mut values: Vec<i64> = program.unknowns.iter().map(|it| it.least).collect();
    for (id, value) in small.unknowns.iter().zip(&solution.values) {
        values[id.0 as usize] = *value;
    }
    let taken = |group: &GroupId| {
        let at = small.groups.binary_search(group).ok()?;
        solution.taken.get(at).copied().flatten()
    };
    let choices = expanded.model.choices.iter();
    let picks = choices.map(|(key, choice)| {
        let pick = choice.group.as_ref().and_then(taken).unwrap_or(0);
        (key.clone(), pick as usize)
    });
    let picks = picks.collect();
    let all: BTreeSet<InstanceId> = (0..program.instances.len() as u32)
        .map(InstanceId)
        .collect();
    let finished = Finished {
        values: &values,
        picks: &picks,
        dropped: &all,
    };
    let line = inspect(style, expanded, finished, member).ok()?;
    Some(look(finished, &line))
}

/// Some rules of a program as musts, and what they speak of numbered anew, in its order.
struct Excerpt {
    program: Program,
    unknowns: Vec<UnknownId>,
    groups: Vec<GroupId>,
}

impl Excerpt {
    fn new(program: &Program, instances: &[InstanceId]) -> Excerpt {
        let mut small = Excerpt {
            program: Program::default(),
            unknowns: Vec::new(),
            groups: Vec::new(),
        };
        let of = |id: &InstanceId| &program.instances[id.0 as usize];
        for row in instances
            .iter()
            .flat_map(|id| &program.rows[of(id).rows.clone()])
        {
            small.unknowns.extend(row.terms.iter().map(|(id, _)| *id));
            small.groups.extend(row.guards.iter().map(|it| it.group));
        }
        small
            .groups
            .extend(instances.iter().filter_map(|id| of(id).group));
        small.unknowns.sort_unstable();
        small.unknowns.dedup();
        small.groups.sort_unstable();
        small.groups.dedup();
        for id in &small.unknowns {
            let it = &program.unknowns[id.0 as usize];
            small.program.unknowns.push(Unknown {
                name: String::new(),
                ..*it
            });
        }
        for id in &small.groups {
            let count = program.groups[id.0 as usize].alternatives.len();
            small.program.groups.push(Group {
                name: String::new(),
                alternatives: vec![String::new(); count],
            });
        }
        for id in instances {
            let instance = of(id);
            let start = small.program.rows.len();
            for row in &program.rows[instance.rows.clone()] {
                let terms = row.terms.iter();
                let terms = terms.filter_map(|(id, n)| Some((small.unknown(*id)?, *n)));
                let guards = row.guards.iter();
                let guards = guards.filter_map(|it| {
                    let group = small.group(it.group)?;
                    Some(Guard { group, ..*it })
                });
                let row = Row {
                    terms: terms.collect(),
                    most: row.most,
                    guards: guards.collect(),
                };
                small.program.rows.push(row);
            }
            small.program.instances.push(Instance {
                rows: start..small.program.rows.len(),
                force: Force::Must,
                rule: instance.rule,
                group: instance.group.and_then(|id| small.group(id)),
            });
        }
        small
    }

    fn unknown(&self, id: UnknownId) -> Option<UnknownId> {
        let at = self.unknowns.binary_search(&id).ok()?;
        Some(UnknownId(at as u32))
    }

    fn group(&self, id: GroupId) -> Option<GroupId> {
        let at = self.groups.binary_search(&id).ok()?;
        Some(GroupId(at as u32))
    }
}

/// The rows of these instances alone, those of the left-out one loosened by as little as can be;
/// then every size as its own preference has it.
fn only(expanded: &Expanded, instances: &[InstanceId], left_out: InstanceId) -> Option<Excerpt> {
    let mut order: Vec<InstanceId> = instances.to_vec();
    order.retain(|id| *id != left_out);
    order.push(left_out);
    let mut small = Excerpt::new(&expanded.program, &order);
    let loosened = UnknownId(small.program.unknowns.len() as u32);
    small.program.unknowns.push(Unknown {
        name: String::new(),
        least: 0,
        most: MOST_MISSING,
        open: false,
    });
    let whole = expanded.program.instances[left_out.0 as usize].rows.clone();
    let here = small.program.instances.last()?.rows.clone();
    for (at, of) in here.zip(whole) {
        let row = loosen(&small.program.rows[at], loosened, expanded.row_steps[of])?;
        small.program.rows[at] = row;
    }
    small.program.stages.push(Stage::Best {
        name: String::new(),
        objective: vec![(loosened, -1)],
    });
    for stage in &expanded.program.stages {
        if let Stage::Best { objective, .. } = stage
            && let [(id, times)] = objective[..]
            && let Some(id) = small.unknown(id)
        {
            small.program.stages.push(Stage::Best {
                name: String::new(),
                objective: vec![(id, times)],
            });
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
