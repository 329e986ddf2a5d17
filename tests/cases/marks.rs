//! What an album is a case for, and whether it is.

use crate::dump::sizes;
use crate::run::Case;
use std::fs;
use std::path::Path;
use tuckwright::Outcome;
use tuckwright::plan::Plan;

/// A rule that an album is a case for.
#[derive(Clone, Debug)]
pub struct Mark {
    pub rule: String,
    /// It clashes; otherwise it is tight.
    pub clash: bool,
}

/// The marks in an album's file.
///
/// # Errors
/// The file cannot be read.
pub fn marks(album: &Path) -> Result<Vec<Mark>, String> {
    let text = fs::read_to_string(album).map_err(|e| e.to_string())?;
    let of = |line: &str, word: &str, clash: bool| {
        let rule = line.strip_prefix(word)?.trim().to_owned();
        Some(Mark { rule, clash })
    };
    Ok(text
        .lines()
        .filter_map(|line| of(line, "# tight:", false).or_else(|| of(line, "# clash:", true)))
        .collect())
}

impl Mark {
    /// # Errors
    /// The album is no case for this rule.
    pub fn test(&self, case: &Case) -> Result<(), String> {
        let Some(rule) = case.style.rules.iter().find(|r| r.name == self.rule) else {
            return Err(format!("no rule is called `{}`", self.rule));
        };
        match (self.clash, rule.wish) {
            (false, _) => self.is_tight(case),
            (true, false) => self.clashes(case),
            (true, true) => self.is_given_up(case),
        }
    }

    /// Kept with no whole ruler step left; without it some size is another, or it is no matter of
    /// sizes: then it speaks of given values alone.
    fn is_tight(&self, case: &Case) -> Result<(), String> {
        let Mark { rule, .. } = self;
        let worked = case.work()?;
        let plan = plan(&worked.outcome)?;
        let lines: Vec<_> = plan.rules.iter().filter(|l| l.name == *rule).collect();
        if !lines.iter().any(|l| l.kept && l.steps_left == Some(0)) {
            let left: Vec<_> = lines.iter().map(|l| (&l.of, l.kept, l.steps_left)).collect();
            return Err(format!("`{rule}` is not tight: {left:?}"));
        }
        let expanded = &worked.expanded;
        let speaks_of_sizes = expanded.program.instances.iter().any(|instance| {
            case.style.rules.get(instance.rule).is_some_and(|r| r.name == *rule)
                && expanded.program.rows[instance.rows.clone()].iter().any(|row| !row.terms.is_empty())
        });
        if !speaks_of_sizes {
            return Ok(());
        }
        let without = case.work_with(&case.without(rule))?;
        if sizes(plan) == sizes(self::plan(&without.outcome)?) {
            return Err(format!("`{rule}` decides nothing: every size is the same without it"));
        }
        Ok(())
    }

    /// A member of the conflict, which is irreducible and gone without it.
    fn clashes(&self, case: &Case) -> Result<(), String> {
        let Mark { rule, .. } = self;
        let worked = case.work()?;
        let Outcome::Clash(clash) = &worked.outcome else {
            return Err(format!("`{rule}` does not clash: {}", outcome(&worked.outcome)));
        };
        if !clash.members.iter().any(|m| m.name == *rule) {
            return Err(format!("`{rule}` is no member of the conflict"));
        }
        if !clash.proved_minimal {
            return Err("the conflict is not proved to be minimal".into());
        }
        let without = case.work_with(&case.without(rule))?;
        match &without.outcome {
            Outcome::Fits(_) => Ok(()),
            other => Err(format!("without `{rule}` it still does not fit: {}", outcome(other))),
        }
    }

    /// A wish that is not kept; as a must it is a member of a conflict.
    fn is_given_up(&self, case: &Case) -> Result<(), String> {
        let Mark { rule, .. } = self;
        let worked = case.work()?;
        let plan = plan(&worked.outcome)?;
        if !plan.rules.iter().any(|l| l.name == *rule && !l.kept) {
            return Err(format!("the wish `{rule}` is kept"));
        }
        let mut style = case.style.clone();
        for r in style.rules.iter_mut().filter(|r| r.name == *rule) {
            r.wish = false;
        }
        match &case.work_with(&style)?.outcome {
            Outcome::Clash(clash) if clash.members.iter().any(|m| m.name == *rule) => Ok(()),
            other => Err(format!("as a must `{rule}` does not clash: {}", outcome(other))),
        }
    }
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
            let names: Vec<_> = clash.members.iter().map(|m| format!("{} [{}]", m.name, m.of)).collect();
            format!("clash of {}", names.join("; "))
        }
        Outcome::Undecided(why) => format!("undecided: {why:?}"),
        Outcome::Defect(error) => format!("defect: {error}"),
    }
}
