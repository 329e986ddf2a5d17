//! Rules that cannot all hold, each with its numbers.
//!
//! A member of a conflict is shown with the sizes that all the others together allow: there it is
//! broken, and by how much can be read off. Sizes of nothing are not told.

use super::loosened::{Excerpt, of_the_same};
use super::of;
use super::phrase::Phrase;
use super::sentence::{comparison, sentence};
use super::verify::{Finished, Line, compared, inspect};
use crate::length::{Interval, Length};
use crate::program::expand::{Expanded, RowSource, SaidBy};
use crate::program::model::{ChoiceKey, Picks, Value};
use crate::program::{Force, GroupId, InstanceId, UnknownId};
use crate::solve::{self, Conflict, Extent, Limits, Verdict};
use crate::style::expr::{Relation, Words};
use crate::style::{Rule, Style};
use crate::text::Place;
use itertools::Itertools;
use num_traits::{Signed, ToPrimitive};
use std::collections::{BTreeMap, BTreeSet};

/// One rule of a conflict.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Member {
    pub name: String,
    /// Which leaf and thing it speaks of; empty for the whole album.
    pub of: String,
    /// Its sentence where the others hold; absent where that took too long.
    pub because: Option<Phrase>,
    pub source: String,
    /// Where it stands in the style.
    pub place: Place,
    /// How much is missing where the others hold; absent for rules of bare numbers.
    pub short: Option<Length>,
    /// How what its sentence says is off there.
    pub sense: Sense,
    /// Its other comparisons that are broken there, such as the height beside the width: the sentence of each, how
    /// much is missing, and in which sense.
    pub and: Vec<(Phrase, Length, Sense)>,
    /// Its sentence is of sizes that keep it and break another rule: where it is the broken one, a
    /// size would be nothing.
    pub kept: bool,
    /// Given values that enter it: as the maker says them, and where.
    pub givens: Vec<(String, Interval, Option<Place>)>,
}

/// How what a sentence says at its end is off.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sense {
    TooMuch,
    TooLittle,
    /// It should be the same; or there is no comparison.
    Off,
}

/// Rules that cannot all hold.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Clash {
    pub members: Vec<Member>,
    /// Sizes in it that may not be smaller, whatever the rules say.
    pub least: Vec<(String, Length)>,
    /// Without any one of them the others can hold.
    pub proved_minimal: bool,
    /// What else clashes by the same rules with the same numbers: other leaves and their things, one
    /// name for each clash.
    pub also: Vec<String>,
}

impl Clash {
    /// What its rules speak of, each once; empty for the whole album.
    pub fn speaks_of(&self) -> String {
        let all = self.members.iter().map(|member| &member.of);
        all.filter(|of| !of.is_empty()).unique().join(", ")
    }
}

/// Tells a conflict.
pub fn clash(style: &Style, expanded: &Expanded, conflict: &Conflict, limits: &Limits) -> Clash {
    let proved = conflict.proved_minimal;
    tell(style, expanded, &conflict.instances, proved, limits)
}

/// Tells a conflict by its members.
pub fn tell(
    style: &Style,
    expanded: &Expanded,
    instances: &[InstanceId],
    proved_minimal: bool,
    limits: &Limits,
) -> Clash {
    let best = |id: &InstanceId| at_its_best(style, expanded, instances, *id, limits);
    let tries: Vec<Option<Try>> = instances.iter().map(best).collect();
    let members = instances.iter().zip(&tries).filter_map(|(id, own)| {
        let instance = &expanded.program.instances[id.0 as usize];
        let rule = style.rules.get(instance.rule)?;
        let told = told(style, expanded, *id, own.as_ref(), &tries);
        let line = own.as_ref().map(|own| &own.line);
        let shown = own.as_ref().zip(told.as_ref().filter(|told| !told.kept));
        let others = shown.map(|(own, told)| others(style, expanded, own, &told.because));
        let (mut broken, and): (Vec<SaidBy>, Vec<_>) = others.into_iter().flatten().unzip();
        broken.extend(line.filter(|line| !line.holds).map(Line::said_by));
        Some(Member {
            name: rule.name.clone(),
            of: of(expanded, *id),
            source: rule.source.clone(),
            place: rule.place,
            short: line.and_then(short),
            sense: line.map_or(Sense::Off, |line| sense(rule, line)),
            because: told.as_ref().map(|told| told.because.clone()),
            givens: givens(expanded, *id, &broken),
            and,
            kept: told.is_some_and(|told| told.kept),
        })
    });
    Clash {
        members: members.collect(),
        least: least(expanded, instances, limits),
        proved_minimal,
        also: Vec::new(),
    }
}

/// The other comparisons of a rule that are broken there, with what is said of each.
fn others(
    style: &Style,
    expanded: &Expanded,
    own: &Try,
    because: &Phrase,
) -> Vec<(SaidBy, (Phrase, Length, Sense))> {
    let SaidBy { way, comparison } = own.line.said_by();
    let rule = &style.rules[own.line.rule];
    let count = rule.ways().get(way).map_or(0, |all| all.len());
    let others = (0..count).filter(|it| *it != comparison);
    let one = |comparison| {
        let (by, at) = (SaidBy { way, comparison }, own.finished());
        let line = compared(style, expanded, at, own.line.instance, by)?;
        let said = sentence(style, expanded, at, &line);
        let other = said != *because;
        other.then_some((by, (said, short(&line)?, sense(rule, &line))))
    };
    others.filter_map(one).collect()
}

/// The given values in a rule, or in those comparisons of it that are broken, in the order of the album.
fn givens(
    expanded: &Expanded,
    id: InstanceId,
    broken: &[SaidBy],
) -> Vec<(String, Interval, Option<Place>)> {
    let mut ids = BTreeSet::new();
    let rows = expanded.program.instances[id.0 as usize].rows.clone();
    let said_by = |row: &usize| expanded.said_by.get(*row);
    let broken =
        |row: &usize| broken.is_empty() || said_by(row).is_some_and(|by| broken.contains(by));
    for row in rows.filter(broken) {
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
    let small = Excerpt::new(&expanded.program, instances, &[]);
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

/// The sentence of one member.
struct Told {
    because: Phrase,
    kept: bool,
}

/// The sentence of one member where all the others hold. A size of nothing is no size: where it would
/// speak of one, it is shown with the sizes at which another member is the broken one.
fn told(
    style: &Style,
    expanded: &Expanded,
    member: InstanceId,
    own: Option<&Try>,
    tries: &[Option<Try>],
) -> Option<Told> {
    let own = own?;
    let speaks_of = spoken_of(style, expanded, member);
    let of_nothing = |it: &Try| {
        speaks_of.iter().any(|id| {
            let at = id.0 as usize;
            expanded.program.unknowns[at].least == 0 && it.values[at] == 0
        })
    };
    let sounder = || {
        let mut others = tries.iter().flatten();
        let other = others.find(|it| !of_nothing(it))?;
        let line = inspect(style, expanded, other.finished(), member).ok()?;
        Some((other, line))
    };
    let (at, line) = match of_nothing(own).then(sounder).flatten() {
        Some((other, line)) => (other, line),
        None => (own, own.line.clone()),
    };
    Some(Told {
        because: sentence(style, expanded, at.finished(), &line),
        kept: line.holds,
    })
}

/// By how much each member is broken where all the others hold, and in which sense, as in [`Member`],
/// in their order.
pub fn missing(
    style: &Style,
    expanded: &Expanded,
    instances: &[InstanceId],
    limits: &Limits,
) -> Vec<Option<(Length, Sense)>> {
    let one = |member: &InstanceId| {
        let line = at_its_best(style, expanded, instances, *member, limits)?.line;
        let rule = style.rules.get(line.rule)?;
        Some((short(&line)?, sense(rule, &line)))
    };
    instances.iter().map(one).collect()
}

/// What is to be at least so much is too little; so is what has less than its sentence says is needed,
/// and what is named before the side that it is not to fall short of. All else is too much.
fn sense(rule: &Rule, line: &Line) -> Sense {
    let Some(comparison) = comparison(rule, line) else {
        return Sense::Off;
    };
    let needed = |words: &str| {
        let mut words = words.split(|c: char| !c.is_alphabetic());
        words.any(|word| matches!(word, "need" | "needs" | "needed"))
    };
    let needs = (rule.because.iter()).any(|it| matches!(it, Words::Plain(words) if needed(words)));
    let first = |side: &Words| rule.because.iter().position(|it| it == side);
    let turned = matches!((first(&Words::Right), first(&Words::Left)), (Some(a), Some(b)) if a < b);
    match comparison.relation {
        Relation::Equal => Sense::Off,
        Relation::AtMost if !needs && !turned => Sense::TooMuch,
        Relation::AtMost | Relation::AtLeast => Sense::TooLittle,
    }
}

/// How much is missing; nothing for rules of bare numbers.
fn short(line: &Line) -> Option<Length> {
    let worst = line.worst.as_ref();
    let worst = worst.filter(|w| w.length && w.slack.is_negative())?;
    let missing = (-worst.slack).ceil().to_integer().to_i64()?;
    Some(Length::from_nm(missing))
}

/// A rule is asked by itself there: whether a wish is kept has no say.
const NONE: &BTreeSet<InstanceId> = &BTreeSet::new();

/// Sizes at which a member is broken by as little as can be.
struct Try {
    values: Vec<i64>,
    picks: BTreeMap<ChoiceKey, usize>,
    line: Line,
}

impl Try {
    fn finished(&self) -> Finished<'_> {
        Finished {
            values: &self.values,
            picks: &self.picks,
            dropped: NONE,
        }
    }
}

/// The sizes that a rule and its sentence speak of.
fn spoken_of(style: &Style, expanded: &Expanded, id: InstanceId) -> Vec<UnknownId> {
    let program = &expanded.program;
    let instance = &program.instances[id.0 as usize];
    let rows = &program.rows[instance.rows.clone()];
    let terms = rows.iter().flat_map(|row| &row.terms);
    let mut sizes: Vec<UnknownId> = terms.map(|(id, _)| *id).collect();
    let rule = style.rules.get(instance.rule);
    for words in rule.iter().flat_map(|rule| &rule.because) {
        if let Words::Value(expr) = words
            && let Ok(Value::Length(form)) =
                (expanded.model).value(expr, &expanded.scopes[id.0 as usize], &Picks::new())
        {
            sizes.extend(form.unknowns.keys());
        }
    }
    sizes.sort_unstable();
    sizes.dedup();
    sizes
}

/// One member where all the others hold and it is broken by as little as can be; `None` if that
/// took too long.
fn at_its_best(
    style: &Style,
    expanded: &Expanded,
    instances: &[InstanceId],
    member: InstanceId,
    limits: &Limits,
) -> Option<Try> {
    let program = &expanded.program;
    let spoken = |id: &InstanceId| spoken_of(style, expanded, *id);
    let mut sizes: Vec<UnknownId> = instances.iter().flat_map(spoken).collect();
    sizes.sort_unstable();
    sizes.dedup();
    let rest = of_the_same(program, instances, &sizes);
    let solved = |force| {
        let it = Excerpt::loosened(expanded, (instances, member), (&rest, force), &sizes)?;
        // Why the sizes stop there is not asked.
        let solution = solve::solve_as_far(&it.program, limits, &Extent::Of(Vec::new()));
        let verdict = &solution.verdict;
        let fits = matches!(verdict, Verdict::FitsBest | Verdict::FitsFound { .. });
        fits.then_some((it, solution))
    };
    let (small, solution) = solved(Force::Must).or_else(|| solved(Force::Wish))?;
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
    let finished = Finished {
        values: &values,
        picks: &picks,
        dropped: NONE,
    };
    let line = inspect(style, expanded, finished, member).ok()?;
    Some(Try {
        values,
        picks,
        line,
    })
}
