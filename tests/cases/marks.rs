//! What an album is a case for, and whether it is.

use crate::dump::sizes;
use crate::run::Case;
use std::fs;
use std::path::Path;
use tuckwright::plan::{Plan, RuleLine};
use tuckwright::solve::StageOutcome;
use tuckwright::style::Style;
use tuckwright::{Outcome, Worked};

/// A rule that an album is a case for.
#[derive(Clone, Debug)]
pub struct Mark {
    pub rule: String,
    /// It clashes; otherwise it is tight.
    pub clash: bool,
    /// Rules that would clash with it for the same cause, and are laid aside for the test.
    pub aside: Vec<String>,
}

/// The marks in an album's file.
///
/// # Errors
/// The file cannot be read.
pub fn marks(album: &Path) -> Result<Vec<Mark>, String> {
    let text = fs::read_to_string(album).map_err(|e| e.to_string())?;
    let said = |line: &str, word: &str| Some(line.strip_prefix(word)?.trim().to_owned());
    let aside: Vec<String> = text
        .lines()
        .filter_map(|line| said(line, "# aside:"))
        .collect();
    let of = |line: &str, word: &str, clash: bool| {
        let rule = said(line, word)?;
        let aside = aside.clone();
        Some(Mark { rule, clash, aside })
    };
    Ok(text
        .lines()
        .filter_map(|line| of(line, "# tight:", false).or_else(|| of(line, "# clash:", true)))
        .collect())
}

/// Other lines of an album's file that say what its case shows.
///
/// # Errors
/// The case does not show it.
pub fn shows(album: &Path, case: &Case) -> Result<(), String> {
    let text = fs::read_to_string(album).map_err(|e| e.to_string())?;
    for said in text
        .lines()
        .filter_map(|line| line.strip_prefix("# changes:"))
    {
        let mut other = case.clone();
        match said.trim() {
            "without the first preference" => drop(other.album.prefer.remove(0)),
            "preferences reversed" => other.album.prefer.reverse(),
            said => return Err(format!("no case can show that it changes `{said}`")),
        }
        if sizes(plan(&case.work()?.outcome)?) == sizes(plan(&other.work()?.outcome)?) {
            return Err(format!("nothing changes {said}"));
        }
    }
    for said in text.lines().filter_map(|line| line.strip_prefix("# same:")) {
        let worked = case.work()?;
        let plan = plan(&worked.outcome)?;
        let mut leaves = said.split_whitespace().map(|name| leaf(plan, name));
        let first = leaves.next();
        if first.as_deref() == Some("") || leaves.any(|other| Some(other) != first) {
            return Err(format!("the sizes of leaves{said} differ"));
        }
    }
    Ok(())
}

/// The sizes of one leaf, without its heading.
fn leaf(plan: &Plan, name: &str) -> String {
    let all = sizes(plan);
    let mut lines = all
        .lines()
        .skip_while(|l| !l.starts_with(&format!("leaf {name} ")));
    lines.next();
    lines
        .take_while(|l| !l.is_empty())
        .collect::<Vec<_>>()
        .join("\n")
}

/// The same case with some rules taken out of its style.
fn laying_aside(case: &Case, rules: &[String]) -> Case {
    let mut other = case.clone();
    other.style.rules.retain(|r| !rules.contains(&r.name));
    other
}

/// A case's style without one rule.
fn without(case: &Case, rule: &str) -> Style {
    let mut style = case.style.clone();
    style.rules.retain(|r| r.name != rule);
    style
}

/// What becomes of a case without one rule. `None` if it then fits, and a hole or a fold lies off its part.
fn work_without(case: &Case, rule: &str) -> Result<Option<Worked>, String> {
    match case.work_with(&without(case, rule)) {
        Err(told) if told.contains(" beyond the ") => Ok(None),
        worked => worked.map(Some),
    }
}

impl Mark {
    /// # Errors
    /// The album is no case for this rule.
    pub fn test(&self, case: &Case) -> Result<(), String> {
        let case = &laying_aside(case, &self.aside);
        let Some(rule) = case.style.rules.iter().find(|r| r.name == self.rule) else {
            return Err(format!("no rule is called `{}`", self.rule));
        };
        match (self.clash, rule.wish) {
            (false, _) => self.is_tight(case),
            (true, false) => self.clashes(case),
            (true, true) => self.is_given_up(case),
        }
    }

    /// Kept with no whole ruler step left, and without it some size is another or is held by something
    /// else; or it speaks of given values alone.
    fn is_tight(&self, case: &Case) -> Result<(), String> {
        let rule = &self.rule;
        let worked = case.work()?;
        let plan = plan(&worked.outcome)?;
        let lines: Vec<_> = plan.rules.iter().filter(|l| l.name == *rule).collect();
        if !lines.iter().any(|l| l.kept && l.steps_left == Some(0)) {
            let left: Vec<_> = lines
                .iter()
                .map(|l| (&l.of, l.kept, l.steps_left))
                .collect();
            return Err(format!("`{rule}` is not tight: {left:?}"));
        }
        let expanded = &worked.expanded;
        let speaks_of_sizes = expanded.program.instances.iter().any(|instance| {
            case.style
                .rules
                .get(instance.rule)
                .is_some_and(|r| r.name == *rule)
                && expanded.program.rows[instance.rows.clone()]
                    .iter()
                    .any(|row| !row.terms.is_empty())
        });
        if !speaks_of_sizes {
            return Ok(());
        }
        let Some(without) = work_without(case, rule)? else {
            return Ok(());
        };
        if sizes(plan) == sizes(self::plan(&without.outcome)?) {
            return Err(format!(
                "`{rule}` decides nothing: every size and its reason is the same without it"
            ));
        }
        Ok(())
    }

    /// A member of the conflict, which is irreducible and gone without it.
    fn clashes(&self, case: &Case) -> Result<(), String> {
        let rule = &self.rule;
        let worked = case.work()?;
        let Outcome::Clash(clash) = &worked.outcome else {
            return Err(format!(
                "`{rule}` does not clash: {}",
                outcome(&worked.outcome)
            ));
        };
        if !clash.members.iter().any(|m| m.name == *rule) {
            return Err(format!("`{rule}` is no member of the conflict"));
        }
        if !clash.proved_minimal {
            return Err("the conflict is not proved to be minimal".into());
        }
        let Some(without) = work_without(case, rule)? else {
            return Ok(());
        };
        match &without.outcome {
            Outcome::Fits(_) => Ok(()),
            other => Err(format!(
                "without `{rule}` it still does not fit: {}",
                outcome(other)
            )),
        }
    }

    /// A wish that is not kept. As a must it is a member of a conflict, or costs another wish or a
    /// preference of the maker's.
    fn is_given_up(&self, case: &Case) -> Result<(), String> {
        let rule = &self.rule;
        let worked = case.work()?;
        let plan = plan(&worked.outcome)?;
        if !plan.rules.iter().any(|l| l.name == *rule && !l.kept) {
            return Err(format!("the wish `{rule}` is kept"));
        }
        let mut style = case.style.clone();
        for r in style.rules.iter_mut().filter(|r| r.name == *rule) {
            r.wish = false;
        }
        let forced = case.work_with(&style)?;
        match &forced.outcome {
            Outcome::Clash(clash) if clash.members.iter().any(|m| m.name == *rule) => Ok(()),
            Outcome::Fits(other)
                if costs(plan, other, rule)
                    || preferred(case, &worked) != preferred(case, &forced) =>
            {
                Ok(())
            }
            other => Err(format!(
                "as a must `{rule}` costs nothing: {}",
                outcome(other)
            )),
        }
    }
}

/// Whether another plan gives up a wish that this one keeps.
fn costs(plan: &Plan, other: &Plan, rule: &str) -> bool {
    let kept = |of: &RuleLine| {
        plan.rules
            .iter()
            .any(|l| l.name == of.name && l.of == of.of && l.kept)
    };
    other
        .rules
        .iter()
        .any(|l| l.name != rule && !l.kept && kept(l))
}

/// What became of the maker's own preferences, in their order.
pub fn preferred(case: &Case, worked: &Worked) -> Vec<(String, i128)> {
    let first = worked.expanded.program.first_stages;
    let stages = worked
        .expanded
        .stage_titles
        .iter()
        .zip(&worked.solution.stages)
        .skip(first);
    let named = |title: &str| {
        case.album
            .prefer
            .iter()
            .any(|p| title.starts_with(p.value.trim()))
    };
    let best = stages.filter_map(|(title, outcome)| match outcome {
        StageOutcome::Best { value, .. } if named(title) => Some((title.clone(), *value)),
        _ => None,
    });
    best.collect()
}

fn plan(outcome: &Outcome) -> Result<&Plan, String> {
    match outcome {
        Outcome::Fits(plan) => Ok(plan),
        other => Err(format!("it does not fit: {}", self::outcome(other))),
    }
}

/// A few words on an outcome.
pub fn outcome(outcome: &Outcome) -> String {
    match outcome {
        Outcome::Fits(_) => "it fits".into(),
        Outcome::Clash(clash) => {
            let names: Vec<_> = clash
                .members
                .iter()
                .map(|m| format!("{} [{}]", m.name, m.of))
                .collect();
            format!("clash of {}", names.join("; "))
        }
        Outcome::Undecided(why) => format!("undecided: {why:?}"),
        Outcome::Defect(error) => format!("defect: {error}"),
    }
}
