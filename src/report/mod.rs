//! The words: what a maker reads of a plan, of a clash, of the rules. Also the same for programs.
//!
//! `fit` is the cut list (with `leaf`, `holes`, `watch`, `notes`, `assumed`, `cautions`), `rules` the rule book, `why`
//! what clashes and what would help, `compare` bags side by side, `cut` the cutting plan, `buy` the shopping list, `arrange` photos and designs in their places, `price` weight, price and parcels, `json` all
//! of it for other programs, `export` the lists around a model file, `handout` what is printed,
//! `facts` what is only worked out for reading, `topic` the texts of `help`. May import `length`,
//! `text`, `supplies`, `album`, `vocabulary`, `style`, `program`, `plan`, `explain`, `compare`,
//! `cut`, `price`, `shop` and `arrange`; never the solver.

pub mod arrange;
pub(crate) mod assumed;
pub mod buy;
pub mod cautions;
pub mod compare;
pub mod cut;
pub mod export;
pub mod facts;
pub mod fit;
pub mod handout;
pub(crate) mod holes;
pub mod json;
pub(crate) mod leaf;
mod notes;
pub mod phrase;
pub(crate) mod place;
pub mod price;
pub mod remake;
pub mod rules;
pub mod topic;
pub(crate) mod watch;
pub mod why;
mod words;

pub use words::on_screen;

use crate::explain::Explanation;
use crate::length::Ruler;
use crate::plan::{Certainty, Plan, Stopped};
use crate::style::Style;
use crate::text::Files;

/// What became of an album, for a report.
#[derive(Clone, Copy, Debug)]
pub enum Answer<'a> {
    Fits(&'a Plan),
    Clash(&'a Explanation),
    Undecided(Stopped),
}

/// What was asked about.
#[derive(Clone, Copy, Debug)]
pub struct From<'a> {
    pub title: &'a str,
    pub ruler: Ruler,
    /// It was a bag's measures, not an album file.
    pub bag: bool,
    /// No pocket was typed for that bag, which has none of its own.
    pub without_pocket: bool,
    /// `why --do` can write a fix into its file.
    pub file: bool,
    /// How many kinds of leaf it has: a leaf is named where there are several.
    pub leaves: usize,
    /// The style, for its own words.
    pub style: &'a Style,
    /// What was read, so that a line can be named.
    pub files: &'a Files,
}

impl From<'_> {
    /// ` (shore)` behind a thing of that leaf, if the album has several.
    pub fn in_leaf(self, leaf: &str) -> String {
        match self.leaves > 1 && !leaf.is_empty() {
            true => format!(" ({leaf})"),
            false => String::new(),
        }
    }
}

/// The verdict in one sentence.
pub fn verdict(certainty: Certainty) -> &'static str {
    match certainty {
        Certainty::Best => "It fits, and every size is proved best.",
        Certainty::Found { same_again: true } => {
            "It fits. These are the best sizes found; a limit was met before all were proved best."
        }
        Certainty::Found { same_again: false } => {
            "It fits. These are the best sizes found; the time was up before all were proved best, and another run may find others."
        }
    }
}

/// What became of an album: of a plan what `fits` tells.
fn became(from: From<'_>, answer: Answer<'_>, fits: impl FnOnce(&Plan) -> String) -> String {
    match answer {
        Answer::Fits(plan) => fits(plan),
        Answer::Clash(explained) => why::explanation(from, explained),
        Answer::Undecided(why) => words::wrapped(&format!("Undecided: {}.", stopped(why)), "", ""),
    }
}

/// Why there is no answer, in a maker's words.
pub fn stopped(why: Stopped) -> &'static str {
    match why {
        Stopped::Ways => {
            "the sizes can be put together in too many ways; the limit was met before any fitted or were shown not to. Give some sizes in the album, or leave something out"
        }
        Stopped::Clock => {
            "the time was up before any sizes fitted or were shown not to. Give it more time with `--time 600`, or give some sizes in the album"
        }
        Stopped::TooLarge => {
            "some numbers are too large to be added exactly; look for a slip in a measure or a count"
        }
        Stopped::Refused => {
            "tuckwright made a mistake and refused its own answer; please report it, with the album and its supplies, to whoever gave you this program"
        }
    }
}
