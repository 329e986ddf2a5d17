//! The same album made of other bags: what each of them gives, as facts.
//!
//! `asked` puts a bag in the place of the album's own and knows which photo is looked at; `offer`
//! works one bag out by the full rules and `read` takes what is compared off its plan; `judge` answers
//! many bags, `glance` taking the same off a solution, and `all` hands them on from all cores; `rank`
//! puts bags in order and keeps those that no other beats, `sweep` goes over all
//! sizes of bag, `own` compares those of the album's supplies in one call. The words are made in `report`. May import
//! every room up to `explain`.

mod all;
mod asked;
mod glance;
mod judge;
mod offer;
mod own;
pub mod rank;
mod read;
pub mod sweep;

pub use all::each;
pub use asked::{Asked, CompareError};
pub use judge::Judge;
pub use offer::{mend, offer, verified};
pub use own::{own, with_needs};

use crate::explain::Fix;
use crate::length::{Interval, Length};
use crate::plan::clash::Sense;
use crate::plan::leaf::PrintPlan;
use crate::plan::verify::VerifyError;
use crate::plan::{Certainty, Reason, Stopped};
use crate::program::ExpandError;
use crate::supplies::{Bag, Money};

/// A bag that is offered, and where it was read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Candidate {
    pub bag: Bag,
    pub at: At,
}

/// Where a bag was read: which of the files, from 0, and its line, from 1; line 0 is no line.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct At {
    pub file: u32,
    pub line: u32,
}

/// What one bag comes to in the album.
#[derive(Clone, Debug)]
pub struct Offer {
    pub bag: Bag,
    pub at: At,
    pub answer: Answer,
    /// Bags for the album, and what they cost; the same whether they fit or not.
    pub cost: Cost,
}

/// What became of the album with this bag.
#[derive(Clone, Debug)]
pub enum Answer {
    Fits(Box<Fit>),
    Clash(Conflict),
    /// A limit was met before sizes were found or shown not to be there.
    Undecided(Stopped),
    /// The rules cannot be laid over an album of this bag.
    NotWorkable(Vec<ExpandError>),
    /// The plan broke a rule when it was verified: a defect of this program.
    Defect(VerifyError),
}

/// What is compared of an album that fits.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fit {
    pub certainty: Certainty,
    /// The photo that is looked at; absent where the leaves hold none.
    pub photo: Option<Photo>,
    /// What is tucked into the leaves of this bag, or glued on their backs.
    pub inserts: Vec<Tucked>,
    pub ring: Option<Ring>,
    /// Of the whole album.
    pub stack_at_holes: Interval,
    pub paper: Vec<Sheets>,
    /// The photo with a bag of the same nominal measures, known exactly; absent where this one's are.
    pub nominal: Option<Nominal>,
}

/// A photo, what holds it, and the print that it takes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Photo {
    pub leaf: String,
    /// The insert that it is on.
    pub on: String,
    pub width: Interval,
    pub height: Interval,
    pub width_by: Vec<Reason>,
    pub height_by: Vec<Reason>,
    /// With what is trimmed off it.
    pub print: Option<PrintPlan>,
}

/// Something tucked in or glued on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Tucked {
    pub leaf: String,
    pub name: String,
    /// In one leaf.
    pub count: i64,
    pub width: Interval,
    pub height: Interval,
}

/// The ring that was chosen, and how many leaves of each kind alone go on it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ring {
    pub name: String,
    pub takes: Vec<(String, i64)>,
}

/// Sheets that the album cannot do without for pieces of one paper, or of any of the same few: the
/// area of the pieces over that of the largest sheet. How they lie on it is not asked, so it may take
/// more; and pieces of other papers may share a sheet, so these bounds are not added up.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sheets {
    /// Empty where the album leaves the paper open; then there is no sheet to count.
    pub papers: Vec<String>,
    /// Of all pieces (square nanometres).
    pub area: i128,
    pub at_least: Option<i64>,
    /// Of all these papers, where it is known of each.
    pub at_hand: Option<i64>,
}

/// What an exactly known bag of the same nominal measures would give.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Nominal {
    /// Its photo's width and height.
    Photo(Length, Length),
    /// It does not fit, or was not settled: ± then costs nothing that could be told.
    Nothing,
}

/// Bags to buy, in whole packs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Cost {
    /// Bags that the album takes.
    pub bags: i64,
    /// Packs that hold them; a bag without a pack is sold singly.
    pub packs: i64,
    /// For all packs.
    pub price: Option<Money>,
}

/// Rules that cannot all hold, in few facts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Conflict {
    pub rules: Vec<Broken>,
    /// Without any one of them the others can hold.
    pub proved_minimal: bool,
}

/// One rule of a conflict.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Broken {
    pub rule: String,
    /// Which leaf and thing it speaks of; empty for the whole album.
    pub of: String,
    /// How much is missing where the others hold, and how that is off.
    pub missing: Option<(Length, Sense)>,
    pub source: String,
}

/// What a bag that does not fit would need: the cheapest fix of each independent part of the trouble,
/// all of which are needed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mend {
    pub fixes: Vec<Fix>,
    /// Whatever is changed, it does not fit.
    pub hopeless: bool,
}

impl Offer {
    /// What is compared, where it fits.
    pub fn fit(&self) -> Option<&Fit> {
        match &self.answer {
            Answer::Fits(fit) => Some(fit),
            _ => None,
        }
    }

    /// How many of these bags are at hand, if that is known and the leaves need more.
    pub fn too_few(&self) -> Option<i64> {
        self.bag.count.filter(|have| *have < self.cost.bags)
    }
}

impl Photo {
    /// The shorter side and both together: a larger photo is one whose shorter side is larger, then
    /// whose sides are longer together, as everywhere.
    pub fn size(&self) -> (Length, Length) {
        sizes(self.width.least(), self.height.least())
    }
}

/// The shorter of two sides, and both together.
pub fn sizes(width: Length, height: Length) -> (Length, Length) {
    let both = width.nm().saturating_add(height.nm());
    (width.min(height), Length::from_nm(both))
}

/// What is compared, in the maker's names.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Scope {
    /// The leaves that get the other bag.
    pub leaves: Vec<String>,
    /// These are all of them.
    pub all: bool,
    /// Bags that they take.
    pub bags: i64,
    /// What was left out with the old bags.
    pub left_out: Vec<String>,
    /// Leaf and insert of the photo that the album prefers; else the largest is looked at.
    pub photo: Option<(String, String)>,
}

/// All bags that are shown.
#[derive(Clone, Debug)]
pub struct Comparison {
    pub scope: Scope,
    pub by: Vec<rank::Respect>,
    /// What is asked for at least, as typed.
    pub at_least: Vec<rank::AtLeast>,
    pub counts: rank::Counts,
    pub ranked: Vec<rank::Ranked>,
    /// If none gives what is asked for, the nearest of those that fit.
    pub less: Vec<Offer>,
    /// The nearest of those that do not fit, and what each would need.
    pub failed: Vec<(Offer, Option<Mend>)>,
    /// Rows of files that were wrong, and are not among them.
    pub wrong_rows: u64,
    /// The time was up before all bags were read.
    pub unread: bool,
}
