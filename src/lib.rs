//! tuckwright: exact sizes for ring-bound albums made of paper bags.
//!
//! ```text
//! album.toml, supplies, styles -> album, supplies, style -> program -> solve -> plan -> explain -> compare -> report -> draw
//! ```
//!
//! A later stage may import an earlier one, never the reverse.
#![forbid(unsafe_code)]

pub mod album;
pub mod cli;
pub mod compare;
pub mod cut;
pub mod draw;
pub mod explain;
pub mod length;
pub mod nest;
pub mod plan;
pub mod program;
pub mod report;
pub mod scene;
pub mod solve;
pub mod style;
pub mod supplies;
pub mod text;
pub mod vocabulary;

use program::ExpandError;
use program::expand::Expanded;
use solve::{Limits, Solution, Verdict};

/// What became of an album.
#[derive(Clone, Debug)]
pub enum Outcome {
    /// It fits.
    Fits(Box<plan::Plan>),
    /// Its rules cannot all hold.
    Clash(plan::clash::Clash),
    /// A limit was met before a plan or a proof was found.
    Undecided(plan::Stopped),
    /// The plan broke a rule when it was verified: a defect of this program.
    Defect(plan::verify::VerifyError),
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
pub fn work(
    style: &style::Style,
    album: &album::Album,
    limits: &Limits,
) -> Result<Worked, Vec<ExpandError>> {
    let expanded = program::expand::expand(style, album)?;
    let solution = solve::solve(&expanded.program, limits);
    let outcome = match &solution.verdict {
        Verdict::FitsBest | Verdict::FitsFound { .. } => {
            let parts = plan::Parts {
                style,
                album,
                expanded: &expanded,
                solution: &solution,
            };
            match plan::make(parts) {
                Ok(plan) => Outcome::Fits(Box::new(plan)),
                Err(defect) => Outcome::Defect(defect),
            }
        }
        Verdict::Conflict(conflict) => {
            Outcome::Clash(plan::clash::clash(style, &expanded, conflict, limits))
        }
        Verdict::Undecided { why } => Outcome::Undecided((*why).into()),
    };
    Ok(Worked {
        expanded,
        solution,
        outcome,
    })
}
