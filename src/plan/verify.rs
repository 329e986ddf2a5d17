//! The plan against the text of the rules: every rule for everything it speaks of, in fractions,
//! at both ends of every value that is only known between two.
//!
//! May import `length`, `text`, `vocabulary`, `style`, `program` and `plan::value`.

use super::value::{Point, Value};
use crate::length::Length;
use crate::program::expand::{Expanded, SaidBy};
use crate::program::model::{ChoiceKey, Item, Meaning, Model, Scope};
use crate::program::prefer::DEFINITION;
use crate::program::{ExpandError, Force, InstanceId};
use crate::scene::GivenId;
use crate::style::expr::{Comparison, Expr, Number, Relation, minus, plus};
use crate::style::{Rule, Style};
use num_traits::{CheckedDiv, Signed, ToPrimitive};
use std::collections::{BTreeMap, BTreeSet};

/// One comparison where it is worst.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Worst {
    /// How much is left over, in nanometres or as a bare number; negative where it is broken.
    pub slack: Number,
    /// It compares lengths.
    pub length: bool,
    /// The given values that stand at their most there.
    pub at_most: BTreeSet<GivenId>,
}

/// A rule for one set of things, in a plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    pub instance: InstanceId,
    pub rule: usize,
    pub force: Force,
    /// It holds at every end.
    pub holds: bool,
    /// Way of an `either`, else 0, and the comparison in it that is nearest to breaking.
    pub way: usize,
    pub comparison: usize,
    pub worst: Option<Worst>,
}

impl Line {
    /// The comparison that is nearest to breaking.
    pub fn said_by(&self) -> SaidBy {
        SaidBy {
            way: self.way,
            comparison: self.comparison,
        }
    }
}

/// What is wrong with a plan. That is a defect of this program, but for what a style says falsely, which only
/// the plan shows.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum VerifyError {
    #[error("rule `{rule}` is broken in the plan")]
    Broken { rule: String },
    #[error("rule `{rule}` has no value in the plan")]
    NoValue { rule: String },
    #[error("rule `{rule}` was not made into rows for everything that it speaks of")]
    Missing { rule: String },
    #[error("the rows of the plan and the rules differ in number")]
    Surplus,
    #[error("`{size}` is outside its bounds")]
    Bounds { size: String },
    #[error("`{part}` does not lie on `{frame}` where the style says")]
    Misplaced { part: String, frame: String },
    #[error("the style says places that cannot be")]
    Style(Vec<ExpandError>),
}

/// The finished values that are verified.
#[derive(Clone, Copy)]
pub struct Finished<'a> {
    pub values: &'a [i64],
    pub picks: &'a BTreeMap<ChoiceKey, usize>,
    /// Wishes that are not kept.
    pub dropped: &'a BTreeSet<InstanceId>,
}

impl<'a> Finished<'a> {
    /// The item that a choice takes; `None` if there is no such choice.
    pub(super) fn item(&self, model: &Model, choice: &ChoiceKey) -> Option<Item> {
        let pick = self.picks.get(choice).copied().unwrap_or(0);
        model.choices.get(choice)?.items.get(pick).copied()
    }

    /// The values, what is uncertain at its least.
    pub fn point(&self, expanded: &'a Expanded) -> Point<'a> {
        static NONE: BTreeSet<GivenId> = BTreeSet::new();
        Point {
            model: &expanded.model,
            values: self.values,
            step: expanded.ruler.step(),
            picks: self.picks,
            at_most: &NONE,
            open: None,
        }
    }
}

/// Tests a plan against its style, rule by rule.
///
/// # Errors
/// The first rule that does not hold or was left out: a defect of this program.
pub fn verify(
    style: &Style,
    expanded: &Expanded,
    finished: Finished<'_>,
) -> Result<Vec<Line>, VerifyError> {
    if finished.values.len() != expanded.program.unknowns.len() {
        return Err(VerifyError::Surplus);
    }
    for (unknown, value) in expanded.program.unknowns.iter().zip(finished.values) {
        if *value < unknown.least || *value > unknown.most {
            return Err(VerifyError::Bounds {
                size: unknown.name.clone(),
            });
        }
    }
    let mut lines = Vec::new();
    // The rules are laid over the album again, and each is looked up in what was solved.
    let mut next = 0usize;
    let model = &expanded.model;
    for (index, rule) in style.rules.iter().enumerate() {
        let name = || rule.name.clone();
        for scope in model.scopes(&rule.bindings) {
            let mut applies = true;
            for condition in &rule.when {
                let no_value = |_| VerifyError::NoValue { rule: name() };
                applies = applies && model.holds(condition, &scope).map_err(no_value)?;
            }
            if !applies {
                continue;
            }
            let found = expanded.program.instances.get(next);
            let same =
                found.is_some_and(|i| i.rule == index) && expanded.scopes.get(next) == Some(&scope);
            if !same {
                return Err(VerifyError::Missing { rule: name() });
            }
            let instance = InstanceId(next as u32);
            next += 1;
            let line = line(rule, index, instance, &scope, expanded, finished)?;
            let accepted = expanded.accepted.get(&instance);
            let is_enough = |worst: &Worst| {
                let by = accepted.map(|by| Number::from_integer(by.nm().into()));
                by.and_then(|by| plus(&worst.slack, &by))
                    .is_some_and(|left| worst.length && !left.is_negative())
            };
            let excused =
                finished.dropped.contains(&instance) || line.worst.as_ref().is_some_and(is_enough);
            if !line.holds && !excused {
                return Err(VerifyError::Broken { rule: name() });
            }
            lines.push(line);
        }
    }
    let rest = expanded.program.instances.get(next..).unwrap_or(&[]);
    if rest.iter().any(|i| i.rule != DEFINITION) {
        return Err(VerifyError::Surplus);
    }
    Ok(lines)
}

/// One rule for one set of things, at given values, whether it holds or not.
///
/// # Errors
/// The rule has no value there.
pub fn inspect(
    style: &Style,
    expanded: &Expanded,
    finished: Finished<'_>,
    instance: InstanceId,
) -> Result<Line, VerifyError> {
    let index = expanded.program.instances[instance.0 as usize].rule;
    let rule = style.rules.get(index).ok_or(VerifyError::Surplus)?;
    let scope = &expanded.scopes[instance.0 as usize];
    line(rule, index, instance, scope, expanded, finished)
}

/// One comparison of a rule for one set of things, at given values. `None` if it has no value there,
/// or a picked item is not held to it.
pub fn compared(
    style: &Style,
    expanded: &Expanded,
    finished: Finished<'_>,
    instance: InstanceId,
    said_by: SaidBy,
) -> Option<Line> {
    let index = expanded.program.instances[instance.0 as usize].rule;
    let rule = style.rules.get(index)?;
    let SaidBy { way, comparison } = said_by;
    let scope = &expanded.scopes[instance.0 as usize];
    let found = worst(rule.comparison(way, comparison)?, scope, expanded, finished);
    let worst = found.ok().flatten()?;
    Some(Line {
        instance,
        rule: index,
        force: if rule.wish { Force::Wish } else { Force::Must },
        holds: !worst.slack.is_negative(),
        way,
        comparison,
        worst: Some(worst),
    })
}

fn line(
    rule: &Rule,
    index: usize,
    instance: InstanceId,
    scope: &Scope,
    expanded: &Expanded,
    finished: Finished<'_>,
) -> Result<Line, VerifyError> {
    let mut best: Option<(bool, Number, usize, usize, Option<Worst>)> = None;
    for (way, comparisons) in rule.ways().iter().enumerate() {
        let mut holds = true;
        let mut tightest: Option<(Number, usize, Worst)> = None;
        for (n, comparison) in comparisons.iter().enumerate() {
            let rule = || rule.name.clone();
            let worst = worst(comparison, scope, expanded, finished);
            let worst = worst.map_err(|()| VerifyError::NoValue { rule: rule() })?;
            // A picked item that does not say the column is not held to the rule.
            let Some(worst) = worst else { continue };
            holds &= !worst.slack.is_negative();
            let tighter = |(slack, ..): &(Number, usize, Worst)| worst.slack < *slack;
            if tightest.as_ref().is_none_or(tighter) {
                tightest = Some((worst.slack, n, worst));
            }
        }
        let slack = tightest.as_ref().map_or(Number::from_integer(0), |t| t.0);
        let better = best.as_ref().is_none_or(|b| (holds, slack) > (b.0, b.1));
        if better {
            let n = tightest.as_ref().map_or(0, |t| t.1);
            best = Some((holds, slack, way, n, tightest.map(|t| t.2)));
        }
    }
    let (holds, _, way, comparison, worst) =
        best.unwrap_or((true, Number::from_integer(0), 0, 0, None));
    Ok(Line {
        instance,
        rule: index,
        force: if rule.wish { Force::Wish } else { Force::Must },
        holds,
        way,
        comparison,
        worst,
    })
}

/// A comparison where it is nearest to breaking; `None` if a picked item does not say a column.
fn worst(
    comparison: &Comparison,
    scope: &Scope,
    expanded: &Expanded,
    finished: Finished<'_>,
) -> Result<Option<Worst>, ()> {
    let point = finished.point(expanded);
    let mut open = BTreeSet::new();
    let mut read = |side: &Expr| point.noting(side, scope, &mut open);
    let (Some(left), Some(right)) = (read(&comparison.left), read(&comparison.right)) else {
        let sides = [&comparison.left, &comparison.right];
        let unsaid = |side| column_unsaid(expanded, finished, side, scope);
        return sides.into_iter().any(unsaid).then_some(None).ok_or(());
    };
    let length = matches!((&left, &right), (Value::Length(_), Value::Length(_)));
    let between = |left: Value, right: Value| {
        let (left, right) = (left.amount()?, right.amount()?);
        match comparison.relation {
            Relation::AtMost => minus(&right, &left),
            Relation::AtLeast => minus(&left, &right),
            Relation::Equal => minus(&left, &right).map(|d| -d.abs()),
        }
    };
    let slack = |at_most: &BTreeSet<GivenId>| {
        let point = point.with(at_most);
        let value = |side| point.value(side, scope);
        let sides = value(&comparison.left).zip(value(&comparison.right));
        sides.and_then(|(l, r)| between(l, r)).ok_or(())
    };
    // A comparison is linear in each given value: whichever end is worse for one of them alone is
    // worse with all the others, so every value is tried once.
    let mut at_most = BTreeSet::new();
    let all_least = between(left, right).ok_or(())?;
    for given in open {
        let alone = slack(&BTreeSet::from([given]))?;
        if alone < all_least {
            at_most.insert(given);
        }
    }
    let worst = match at_most.is_empty() {
        true => all_least,
        false => slack(&at_most)?,
    };
    Ok(Some(Worst {
        slack: worst,
        length,
        at_most,
    }))
}

/// Whether a picked item does not say a column that an expression reads.
fn column_unsaid(expanded: &Expanded, finished: Finished<'_>, expr: &Expr, scope: &Scope) -> bool {
    let model = &expanded.model;
    expr.names().iter().any(|(path, _)| {
        let Meaning::Column(key, column) = model.meaning(path, scope) else {
            return false;
        };
        let item = finished.item(model, key);
        item.is_some_and(|item| model.column(item, column).is_none())
    })
}

impl Line {
    /// Whole ruler steps that are left over; negative where it is broken; nothing for bare numbers.
    pub fn steps_left(&self, step: Length) -> Option<i64> {
        let worst = self.worst.as_ref().filter(|w| w.length)?;
        let steps = worst
            .slack
            .checked_div(&Number::from_integer(step.nm().into()))?;
        steps.floor().to_integer().to_i64()
    }
}
