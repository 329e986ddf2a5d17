//! Why a size stops where it does. A rule may ask several things at once, so what is shown of it is the
//! comparison whose rows the proof uses, and not the one that is nearest to breaking.
//!
//! May import what `plan` may.

use super::verify::{Line, compared};
use super::view::View;
use super::{Reason, sentence};
use crate::length::Length;
use crate::program::InstanceId;
use crate::solve::{Holder, Origin, StageOutcome};
use crate::style::expr::Number;
use itertools::Itertools;

impl View<'_> {
    pub(super) fn held_by(&self, unknown: usize) -> Vec<Reason> {
        let expanded = self.parts.expanded;
        let Some(Some(held)) = self.parts.solution.held_by.get(unknown) else {
            return vec![Reason::Unknown];
        };
        let bounds = &expanded.program.unknowns[unknown];
        let used = self.rows_of(&[held.certificate]);
        let mut reasons = Vec::new();
        // What leaves no step comes before what would stop it only on another way.
        let is_loose = |holder: &&Holder| match holder {
            Holder::Instance(id) => !self.is_tight(*id, &used, unknown),
            _ => true,
        };
        for holder in held.holders.iter().sorted_by_key(is_loose) {
            let reason = match holder {
                Holder::Instance(id) => match self.of_rule(*id, &used, unknown) {
                    Some(reason) => reason,
                    None => continue,
                },
                Holder::Row(_) => continue,
                Holder::Stage(n) => Reason::Preference(expanded.stage_titles[*n].clone()),
                Holder::Bound => {
                    let ticks = match held.larger {
                        true => bounds.most,
                        false => bounds.least,
                    };
                    Reason::Limit(expanded.ruler.length_of(ticks).unwrap_or(Length::ZERO))
                }
            };
            reasons.push(reason);
        }
        if !reasons.iter().any(|r| matches!(r, Reason::Rule { .. })) {
            // Only earlier preferences hold it: then what holds those is the reason.
            for holder in &held.holders {
                if let Holder::Stage(stage) = holder {
                    reasons.extend(self.behind(*stage, unknown));
                }
            }
        }
        let mut each: Vec<Reason> = Vec::new();
        for reason in reasons {
            if !each.contains(&reason) {
                each.push(reason);
            }
        }
        each
    }

    /// The rules in the proof that an earlier preference, so far as this unknown enters it, cannot be
    /// better.
    fn behind(&self, stage: usize, unknown: usize) -> Vec<Reason> {
        let solution = self.parts.solution;
        let program = &self.parts.expanded.program;
        let Some(StageOutcome::Best { certificates, .. }) = solution.stages.get(stage) else {
            return Vec::new();
        };
        let about = |at: &usize| {
            let certificate = solution.certificates.get(*at);
            certificate.is_some_and(|c| c.unknowns.iter().any(|u| u.0 as usize == unknown))
        };
        let about: Vec<usize> = certificates.iter().copied().filter(about).collect();
        let used = self.rows_of(&about);
        let instances = (0..).map(InstanceId).zip(&program.instances);
        let rules = instances.filter(|(_, it)| used.iter().any(|row| it.rows.contains(row)));
        let reasons = rules.filter_map(|(id, _)| self.of_rule(id, &used, unknown));
        reasons.collect()
    }

    /// The rows of the program that these proofs use.
    fn rows_of(&self, certificates: &[usize]) -> Vec<usize> {
        let all = certificates.iter();
        let all = all.filter_map(|at| self.parts.solution.certificates.get(*at));
        let rows = all.flat_map(|c| &c.origins).filter_map(|it| match it {
            Origin::Row(row) => Some(row.0 as usize),
            _ => None,
        });
        rows.sorted().dedup().collect()
    }

    /// A rule as a reason of an unknown, by one of the rows that the proof uses: one of the way and the
    /// items taken before one of another, one that speaks of the unknown before one that does not, and
    /// of these the nearest to breaking.
    fn of_rule(&self, id: InstanceId, used: &[usize], unknown: usize) -> Option<Reason> {
        match self.nearest(id, used, unknown) {
            Some(line) => Some(self.rule_reason(&line)),
            None => Some(self.rule_reason(&*self.line(id.0 as usize)?)),
        }
    }

    /// Whether a rule leaves less than a step of the ruler on the way and with the items that are taken,
    /// and would not stop the unknown on another way only.
    fn is_tight(&self, id: InstanceId, used: &[usize], unknown: usize) -> bool {
        let expanded = self.parts.expanded;
        let step = Number::from_integer(expanded.ruler.step().nm().into());
        let mine = &expanded.program.instances[id.0 as usize].rows;
        let mut rows = used.iter().filter(|row| mine.contains(row));
        let nearest = self.nearest(id, used, unknown);
        let worst = nearest.and_then(|line| line.worst);
        rows.any(|row| self.is_taken(*row))
            && worst.is_some_and(|worst| worst.length && worst.slack < step)
    }

    /// Whether a row is one of the way and the items that are taken.
    fn is_taken(&self, row: usize) -> bool {
        let mut guards = self.parts.expanded.program.rows[row].guards.iter();
        guards.all(|guard| {
            let taken = self.parts.solution.taken.get(guard.group.0 as usize);
            taken.copied().flatten() == Some(guard.alternative)
        })
    }

    /// The comparison of a rule that its reason shows.
    fn nearest(&self, id: InstanceId, used: &[usize], unknown: usize) -> Option<Line> {
        let expanded = self.parts.expanded;
        let program = &expanded.program;
        let mine = program.instances.get(id.0 as usize)?.rows.clone();
        let rows: Vec<usize> = used.iter().copied().filter(|r| mine.contains(r)).collect();
        let about = |row: &usize| {
            let mut terms = program.rows[*row].terms.iter();
            terms.any(|(id, _)| id.0 as usize == unknown)
        };
        let rows = preferred(preferred(rows, |row| self.is_taken(*row)), about);
        let said_by = rows.iter().filter_map(|row| expanded.said_by.get(*row));
        let lines = said_by.sorted().dedup().filter_map(|said_by| {
            compared(self.parts.style, expanded, self.finished, id, *said_by)
        });
        let slack = |line: &Line| line.worst.as_ref().map(|worst| worst.slack);
        lines.min_by_key(slack)
    }

    fn rule_reason(&self, line: &Line) -> Reason {
        let rule = &self.parts.style.rules[line.rule];
        Reason::Rule {
            name: rule.name.clone(),
            sides: sentence::sides(self.parts.style, self.parts.expanded, self.finished, line),
            because: self.sentence(line),
            source: rule.source.clone(),
        }
    }
}

/// Those that are preferred, where there are any; else all.
fn preferred(rows: Vec<usize>, is: impl Fn(&usize) -> bool) -> Vec<usize> {
    let some: Vec<usize> = rows.iter().copied().filter(|row| is(row)).collect();
    if some.is_empty() { rows } else { some }
}
