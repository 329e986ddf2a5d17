//! From a style and an album to a verified plan or a proved conflict: the pipeline in one function.

use super::{Listed, Parts, Plan, Stopped, clash, make, verify};
use crate::album::Album;
use crate::program::ExpandError;
use crate::program::expand::{Expanded, expand};
use crate::solve::{self, Limits, Solution, Verdict};
use crate::style::Style;

/// What became of an album.
#[derive(Clone, Debug)]
pub enum Outcome {
    /// It fits.
    Fits(Box<Plan>),
    /// Its rules cannot all hold.
    Clash(clash::Clash),
    /// A limit was met before a plan or a proof was found.
    Undecided(Stopped),
    /// The plan broke a rule when it was verified: a defect of this program.
    Defect(verify::VerifyError),
}

/// An album with everything that was made of it on the way.
#[derive(Clone, Debug)]
pub struct Worked {
    pub expanded: Expanded,
    pub solution: Solution,
    pub outcome: Outcome,
}

/// From a style and an album to a verified plan or a proved conflict.
///
/// # Errors
/// What the album says and the style does not know, and rules without a value for this album.
pub fn work(style: &Style, album: &Album, limits: &Limits) -> Result<Worked, Vec<ExpandError>> {
    let expanded = expand(style, album)?;
    work_laid((style, album), expanded, Listed::All, limits)
}

/// As [`work`], with the rules laid over the album already; the plan lists all of them or few.
///
/// # Errors
/// What the style says falsely of where things lie in this album.
pub fn work_laid(
    (style, album): (&Style, &Album),
    expanded: Expanded,
    listed: Listed,
    limits: &Limits,
) -> Result<Worked, Vec<ExpandError>> {
    let solution = solve::solve(&expanded.program, limits);
    let outcome = match &solution.verdict {
        Verdict::FitsBest | Verdict::FitsFound { .. } => {
            let parts = Parts {
                style,
                album,
                expanded: &expanded,
                solution: &solution,
            };
            match make(parts, listed) {
                Ok(plan) => Outcome::Fits(Box::new(plan)),
                Err(verify::VerifyError::Style(errors)) => return Err(errors),
                Err(defect) => Outcome::Defect(defect),
            }
        }
        Verdict::Conflict(conflict) => {
            Outcome::Clash(clash::clash(style, &expanded, conflict, limits))
        }
        Verdict::Undecided { why } => Outcome::Undecided((*why).into()),
    };
    Ok(Worked {
        expanded,
        solution,
        outcome,
    })
}
