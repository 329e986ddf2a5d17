//! An answer that is known, and what it says of other programs without solving them.
//!
//! Changing one measure changes few rows. Where a changed program has no looser row than those that
//! a proof used, the proof stands for it too. May import `program` and `solve`.

use crate::program::{Force, Guard, Program, Row, UnknownId};
use crate::solve::{Origin, Solution, StageOutcome, Verdict};
use std::collections::BTreeSet;

/// A program up to the stage that settles one size, and what became of it.
#[derive(Clone, Debug)]
pub(super) struct Known {
    program: Program,
    /// The size; `None` if the program conflicts.
    ticks: Option<i64>,
    /// It should be large; otherwise small.
    pub larger: bool,
    /// Rows of musts that alone keep the size from being better, or that conflict.
    bar: Option<BTreeSet<usize>>,
    /// All rows that the proofs of all stages used, and the plan.
    whole: Option<Whole>,
}

#[derive(Clone, Debug)]
struct Whole {
    used: BTreeSet<usize>,
    /// Rows of musts and of kept wishes.
    kept: Vec<usize>,
    values: Vec<i64>,
    taken: Vec<Option<u32>>,
}

impl Known {
    /// What a solution of this program, or of one with more stages behind, says of an unknown that
    /// should be large or small by its sign. `None` if no answer was found.
    pub(super) fn new(
        program: Program,
        solution: &Solution,
        unknown: UnknownId,
        sign: i64,
    ) -> Option<Known> {
        let rows_of = |certificate: usize| {
            let origins = &solution.certificates.get(certificate)?.origins;
            let rows = origins.iter().filter_map(|origin| match origin {
                Origin::Row(row) => Some(row.0 as usize),
                _ => None,
            });
            Some(rows.collect::<BTreeSet<usize>>())
        };
        let must = musts(&program);
        let (ticks, bar, whole) = match &solution.verdict {
            Verdict::Undecided { .. } => return None,
            Verdict::Conflict(conflict) => (None, rows_of(conflict.certificate), None),
            Verdict::FitsBest | Verdict::FitsFound { .. } => {
                let place = unknown.0 as usize;
                let held = solution.held_by.get(place).and_then(Option::as_ref);
                let bar = held.and_then(|held| {
                    let origins = &solution.certificates.get(held.certificate)?.origins;
                    let alone = origins.iter().all(|origin| match origin {
                        Origin::Row(row) => must[row.0 as usize],
                        Origin::Assumed => true,
                        Origin::Optimum { .. } | Origin::Choice { .. } => false,
                    });
                    rows_of(held.certificate).filter(|_| alone)
                });
                let whole = whole(&program, solution, &must, rows_of);
                (Some(*solution.values.get(place)?), bar, whole)
            }
        };
        Some(Known {
            program,
            ticks,
            larger: sign > 0,
            bar,
            whole,
        })
    }

    /// The size if it were better by this number of ruler steps.
    pub(super) fn better_by(&self, steps: i64) -> Option<i64> {
        self.ticks?
            .checked_add(if self.larger { steps } else { -steps })
    }

    /// By how many ruler steps the size is better here; `None` if either does not fit.
    pub(super) fn gain_over(&self, base: &Known) -> Option<i64> {
        let gain = self.ticks?.checked_sub(base.ticks?)?;
        Some(if base.larger { gain } else { -gain })
    }

    /// Whether the size is no better than `goal` in that program too, by the proofs at hand.
    pub(super) fn rules_out(&self, program: &Program, goal: Option<i64>) -> bool {
        let Some(goal) = goal else { return false };
        let enough = self.ticks.is_none_or(|ticks| {
            if self.larger {
                ticks <= goal
            } else {
                ticks >= goal
            }
        });
        if !enough || !alike(&self.program, program) {
            return false;
        }
        let stands = |rows: &BTreeSet<usize>| {
            let mut rows = rows.iter();
            rows.all(|&at| program.rows[at].most <= self.program.rows[at].most)
        };
        self.bar.as_ref().is_some_and(stands)
            || self.whole.as_ref().is_some_and(|whole| {
                stands(&whole.used) && whole.kept.iter().all(|&at| whole.holds(&program.rows[at]))
            })
    }
}

/// Everything that the answer leans on, where every stage is proved.
fn whole(
    program: &Program,
    solution: &Solution,
    must: &[bool],
    rows_of: impl Fn(usize) -> Option<BTreeSet<usize>>,
) -> Option<Whole> {
    let mut used = BTreeSet::new();
    for stage in solution.stages.get(..program.stages.len())? {
        let certificates = match stage {
            StageOutcome::Kept | StageOutcome::Absent => &[][..],
            StageOutcome::Dropped { certificate } => &[*certificate][..],
            StageOutcome::Best {
                proved: true,
                certificates,
                ..
            } => certificates,
            StageOutcome::Chosen { skipped, .. } => skipped,
            StageOutcome::Best { proved: false, .. } | StageOutcome::Unsettled { .. } => {
                return None;
            }
        };
        for &certificate in certificates {
            used.extend(rows_of(certificate)?);
        }
    }
    // Wishes that are only looked at in later stages do not matter here.
    let stages = program.stages.iter().zip(&solution.stages);
    let mut kept: Vec<usize> = (0..program.rows.len()).filter(|&at| must[at]).collect();
    for (stage, outcome) in stages {
        if let (crate::program::Stage::Keep(id), StageOutcome::Kept) = (stage, outcome) {
            kept.extend(program.instances.get(id.0 as usize)?.rows.clone());
        }
    }
    Some(Whole {
        used,
        kept,
        values: solution.values.clone(),
        taken: solution.taken.clone(),
    })
}

impl Whole {
    fn holds(&self, row: &Row) -> bool {
        let off = |guard: &Guard| {
            let taken = self.taken.get(guard.group.0 as usize).copied().flatten();
            taken.is_some_and(|taken| taken != guard.alternative)
        };
        let sum = row.terms.iter().try_fold(0i128, |sum, (id, n)| {
            let value = *self.values.get(id.0 as usize)?;
            sum.checked_add(i128::from(value).checked_mul(i128::from(*n))?)
        });
        row.guards.iter().any(off) || sum.is_some_and(|sum| sum <= i128::from(row.most))
    }
}

/// Which rows hold in every plan.
fn musts(program: &Program) -> Vec<bool> {
    let mut must = vec![true; program.rows.len()];
    for instance in &program.instances {
        if instance.force == Force::Wish {
            for at in instance.rows.clone() {
                if let Some(place) = must.get_mut(at) {
                    *place = false;
                }
            }
        }
    }
    must
}

/// Whether two programs differ in the right sides of their rows at most.
fn alike(one: &Program, other: &Program) -> bool {
    let bounds = |program: &Program| -> Vec<(i64, i64)> {
        let unknowns = program.unknowns.iter();
        unknowns.map(|u| (u.least, u.most)).collect()
    };
    let rows = one.rows.iter().zip(&other.rows);
    one.rows.len() == other.rows.len()
        && one.groups == other.groups
        && one.instances == other.instances
        && one.stages == other.stages
        && bounds(one) == bounds(other)
        && rows
            .into_iter()
            .all(|(a, b)| a.terms == b.terms && a.guards == b.guards)
}
