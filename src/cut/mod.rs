//! From pieces to a cutting plan as a maker reads it: what is cut from which paper, the sheets, the
//! steps at the trimmer, what is left over.
//!
//! ```text
//! Plan, or a list -> Order -> jobs for nest -> Cutting plan -> steps, offcuts
//! ```
//!
//! `pieces` makes an order of a plan, `list` of a file with pieces; `job` counts lengths in steps that
//! they all share; `work` asks `nest` about every kind of stages (`batch` is what it answers); `desk` does so for papers that share
//! pieces, `spread` shares these out, `pool` takes several papers for one; `steps` puts the cuts in the trimmer's order (`order` within a sheet,
//! `follow` from sheet to sheet, both while a `watch` lasts), `place` says where each piece then lies; `offcuts` tells what is left and what it could still give. May import `length`,
//! `text`, `supplies`, `album`, `plan` and `nest`.

pub mod batch;
mod desk;
mod fault;
pub mod fill;
mod follow;
pub mod job;
pub mod list;
pub mod offcuts;
mod order;
pub mod pieces;
pub mod place;
pub mod pool;
mod spread;
pub mod steps;
mod tree;
mod watch;
pub mod words;
pub mod work;

pub use crate::nest::{Divides, Stages, Stop};
pub use fault::CutError;

use crate::length::Length;
use crate::text::Place;

/// The most pieces of one order, all together: more would be no hand work.
pub const MOST_PIECES: u64 = 100_000;

/// Pieces of one size and name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Want {
    /// What it is: `back mat`.
    pub name: String,
    /// The kind of leaf that it is for; empty where there is only one.
    pub leaf: String,
    pub place: Place,
    /// Which of the albums that are made together it is for.
    pub album: usize,
    pub width: Length,
    pub height: Length,
    /// At least 1, except in a fill, which does not read it.
    pub count: u64,
    /// May lie turned on its side, where its paper allows it.
    pub turn: bool,
    /// What one is worth to a fill; its area where nothing is said.
    pub value: Option<u64>,
    /// Places in [`Order::papers`] that it may be cut from; never empty.
    pub papers: Vec<usize>,
    /// No more than so many alike from one of several papers.
    pub most_alike: Option<u64>,
    /// It is tucked in or a band: an offcut may give one more.
    pub loose: bool,
    /// Twice what its outline leaves out of its width times its height (square nanometres).
    pub twice_off: i128,
}

impl Want {
    /// Whether it may be cut from one of these papers.
    fn is_of(&self, papers: &[usize]) -> bool {
        self.papers.iter().any(|paper| papers.contains(paper))
    }

    /// `shore back mat`, or `back mat` where there is one kind of leaf.
    pub fn label(&self) -> String {
        // `pea card` of the leaf `pea` is no `pea pea card`.
        let named = self.name.strip_prefix(&*self.leaf);
        match self.leaf.is_empty() || named.is_some_and(|rest| rest.starts_with(' ')) {
            true => self.name.clone(),
            false => format!("{} {}", self.leaf, self.name),
        }
    }
}

/// Sheets of one size.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sheets {
    pub width: Length,
    pub height: Length,
    /// How many are at hand; nothing: as many as it takes.
    pub count: Option<u64>,
    /// What was left of another sheet: its edges are not trimmed again.
    pub offcut: bool,
    pub place: Place,
}

/// A paper with its sheets at hand.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Paper {
    /// Empty for sheets of any paper.
    pub name: String,
    /// Printed with a direction: nothing is turned on it.
    pub directed: bool,
    /// In the order in which they were named, whole sheets before offcuts; never empty.
    pub sheets: Vec<Sheets>,
}

/// What the trimmer does.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Trimmer {
    /// Cut off each edge of a whole sheet before anything else.
    pub trim: Length,
    /// What the blade takes away with every cut.
    pub gap: Length,
    /// The narrowest strip that it holds.
    pub narrowest: Length,
}

/// What was asked, and what was worked out: all that a report needs.
#[derive(Clone, Copy, Debug)]
pub struct Answer<'a> {
    pub order: &'a Order,
    pub batches: &'a [work::Batch],
    pub left: &'a [offcuts::Left],
    /// Whether one kind of stages was asked for.
    pub asked: Option<Stages>,
}

impl<'a> Answer<'a> {
    /// The usual plan, to be drawn; `None` if nothing is cut.
    pub fn drawn(order: &'a Order, batches: &'a [work::Batch]) -> Option<Answer<'a>> {
        (!batches.is_empty()).then_some(Answer {
            order,
            batches,
            left: &[],
            asked: None,
        })
    }
}

/// What is to be cut, and from what.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Order {
    pub papers: Vec<Paper>,
    pub wants: Vec<Want>,
    /// Pieces for which no paper is named and no sheet was given.
    pub any_paper: Vec<Want>,
    /// Small pieces, such as pull tabs, for which no sheet is planned: what is left over gives them.
    pub from_left: Vec<Want>,
    pub trimmer: Trimmer,
}
