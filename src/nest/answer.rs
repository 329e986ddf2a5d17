//! What is answered: cuttings as trees of straight cuts, what they cost, and what is proved.

use super::job::{Job, Stock};

/// Which measure of a part a cut divides.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Divides {
    /// An upright cut: the parts lie side by side, from left to right.
    Width,
    /// A level cut: the parts lie one above the other, from the top down.
    Height,
}

impl Divides {
    /// The other measure.
    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            Divides::Width => Divides::Height,
            Divides::Height => Divides::Width,
        }
    }
}

/// What lies on the trimmer, and what becomes of it. Sizes are whole ticks, and exact.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Part {
    pub width: u64,
    pub height: u64,
    pub what: What,
}

/// What becomes of a part.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum What {
    /// It is a piece of the job's list; `turned` by a quarter.
    Piece { piece: usize, turned: bool },
    /// It is left over.
    Offcut,
    /// Straight cuts side by side through all of it. Its parts and the gaps between them make up
    /// the whole; less than a gap may be missing at the end, which the last cut takes away. No part
    /// of a split is split again in the same direction.
    Split { divides: Divides, parts: Vec<Part> },
}

/// One way of cutting a sheet, and how many sheets are cut so.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Cutting {
    /// Place in the job's stocks.
    pub stock: usize,
    /// Sheets cut this way, at least 1.
    pub times: u64,
    /// The sheet after its edges are trimmed.
    pub sheet: Part,
}

/// How far the question was settled.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Verdict {
    /// The cuttings give every piece, and no way of cutting costs less.
    Proved,
    /// The cuttings give every piece; cheaper ones may exist, down to the lower bound.
    Found,
    /// The sheets at hand cannot give all pieces: proved.
    NotEnough,
    /// A limit was met before the sheets at hand were found to suffice or not.
    Undecided,
}

/// The answer to a job.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Answer {
    pub verdict: Verdict,
    /// Verified cuttings, equal ones together; empty unless proved or found.
    pub cuttings: Vec<Cutting>,
    /// No way of cutting costs less than this. With equal costs of 1: sheets.
    pub lower_bound: u64,
    /// Why that is so, or why the sheets do not suffice: for [`super::check_bound`].
    pub certificate: Certificate,
    /// What a plain first-fit decreasing costs, for comparison; `None` if it runs out of sheets.
    pub first_fit: Option<u64>,
    /// Which limit was met, if any.
    pub stopped: Option<Stop>,
}

/// Why a search ended before its question was settled.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Stop {
    /// The limit of nodes; the same job always stops here.
    Nodes,
    /// The clock; not reproducible.
    Clock,
    /// Somebody asked to stop.
    Cancelled,
}

/// A plan from the same sheets that keeps a large piece of paper whole.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Kept {
    /// Verified cuttings, equal ones together; they cost what was given.
    pub cuttings: Vec<Cutting>,
    /// Offcuts with a shorter side (ticks) are waste, and not counted.
    pub least: u64,
    /// Width and height (ticks) of the largest single offcut, by area; `(0, 0)` if nothing is left.
    pub size: (u64, u64),
    /// Whether no plan from these sheets keeps a larger one.
    pub proved: bool,
    /// What no plan keeps, and why: for [`super::check_kept`]. Only part of the proof where
    /// nothing is proved.
    pub ruled_out: Vec<RuledOut>,
    /// Which limit was met, if any.
    pub stopped: Option<Stop>,
}

/// No plan from the sheets at hand gives this beside all pieces.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct RuledOut {
    pub extra: Extra,
    /// Over the job with the extra, see [`Extra`].
    pub certificate: Certificate,
}

/// Paper that is asked for as if it were a piece, once.
///
/// In the job that a certificate speaks of it stands after the other pieces and may be turned. One
/// that widens a piece is turned as the piece is, and cut instead of one of these: it stands last
/// too and the piece is wanted once less, or in the piece's place if that was wanted once.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Extra {
    /// Ticks.
    pub width: u64,
    pub height: u64,
    /// The piece that lies in it, a gap beside the offcut: in two and three stages the last cut of
    /// all comes off a single piece.
    pub widens: Option<usize>,
}

impl Extra {
    /// An offcut of this size (ticks).
    pub(super) const fn offcut(width: u64, height: u64) -> Self {
        Self {
            width,
            height,
            widens: None,
        }
    }
}

/// What a certificate claims.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Claim {
    /// No way of cutting costs less.
    CostsAtLeast(u64),
    /// The sheets at hand cannot give all pieces.
    NotEnough,
}

/// A claim with whole numbers from which it follows. [`super::check_bound`] replays it.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Certificate {
    pub claim: Claim,
    pub reason: Reason,
}

/// Why a claim holds.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Reason {
    /// Every piece has a value, and no sheet holds more than so much of it. `values` has one for
    /// each piece of the job, `best` one for each stock. Cuts are looked for at sums of sides
    /// within the counts that are asked for.
    Values { values: Vec<u64>, best: Vec<u64> },
    /// As values, but no piece is counted more often than it is wanted, and a search follows: all
    /// patterns that are worth enough to be in a cheaper plan are known, and no choice of them does
    /// it. `groups` holds the pieces that are equal; `values` has one for each group.
    Search {
        groups: Vec<Vec<usize>>,
        values: Vec<u64>,
        best: Vec<u64>,
        steps: Vec<SearchStep>,
    },
}

/// One step of a search that finds nothing. The steps of the branch with the pattern come next,
/// then those of the branch without it.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct SearchStep {
    /// A value for each group. If what may be used holds less than what is wanted, the branch ends
    /// here; if not, patterns that are worth too little go.
    pub values: Vec<u64>,
    /// Stock and counts of a pattern that is used once more, or no longer; no part of a sheet
    /// that gives less is used either then. Nothing: the next step looks at the same branch again.
    pub branch: Option<(usize, Vec<u64>)>,
}

impl Part {
    pub const fn new(width: u64, height: u64, what: What) -> Self {
        Self {
            width,
            height,
            what,
        }
    }

    /// The largest part that is left over (width, height), by area, of those with no side shorter
    /// than `least` (ticks).
    #[must_use]
    pub fn largest_offcut(&self, least: u64) -> Option<(u64, u64)> {
        match &self.what {
            What::Piece { .. } => None,
            What::Offcut => {
                (self.width.min(self.height) >= least).then_some((self.width, self.height))
            }
            What::Split { parts, .. } => {
                let each = parts.iter().filter_map(|part| part.largest_offcut(least));
                each.max_by_key(|&(width, height)| (u128::from(width) * u128::from(height), width))
            }
        }
    }

    /// Adds to `counts` how often each piece of the job is cut from this part.
    pub fn count(&self, counts: &mut [u64]) {
        match &self.what {
            What::Piece { piece, .. } => counts[*piece] += 1,
            What::Offcut => {}
            What::Split { parts, .. } => parts.iter().for_each(|p| p.count(counts)),
        }
    }
}

impl Answer {
    /// What the cuttings cost in all; `None` if there are none.
    #[must_use]
    pub fn cost(&self, job: &Job) -> Option<u64> {
        (!self.cuttings.is_empty()).then(|| cost(job, &self.cuttings))
    }

    /// Sheets that the cuttings use.
    #[must_use]
    pub fn sheets(&self) -> u64 {
        self.cuttings.iter().map(|c| c.times).sum()
    }

    /// Whether the answer is settled: proved least, or proved impossible.
    #[must_use]
    pub fn proved(&self) -> bool {
        matches!(self.verdict, Verdict::Proved | Verdict::NotEnough)
    }
}

/// The best use of one sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fill {
    /// Place in the job's stocks.
    pub stock: usize,
    /// What the pieces on it are worth together; proved: nothing is worth more, unless `narrowest`
    /// is given, which makes it the best found.
    pub value: u64,
    /// Whether no use of the sheet is worth more.
    pub proved: bool,
    /// The sheet after its edges are trimmed.
    pub sheet: Part,
}

impl Stock {
    /// An uncut sheet, trimmed; a sheet of which the trim leaves nothing is 0 x 0.
    #[must_use]
    pub fn whole(&self) -> Part {
        let (width, height) = self.trimmed().unwrap_or((0, 0));
        Part::new(width, height, What::Offcut)
    }
}

/// One more way of cutting sheets; equal ones come together.
pub(super) fn add(cuttings: &mut Vec<Cutting>, stock: usize, times: u64, sheet: Part) {
    let mut same = cuttings.iter_mut();
    match same.find(|c| c.stock == stock && c.sheet == sheet) {
        Some(same) => same.times += times,
        None => cuttings.push(Cutting {
            stock,
            times,
            sheet,
        }),
    }
}

/// What cuttings cost in all.
pub(super) fn cost(job: &Job, cuttings: &[Cutting]) -> u64 {
    let each = cuttings.iter();
    each.map(|c| c.times * job.stocks[c.stock].cost).sum()
}

/// An answer out of the best cuttings that were found and the best bound that was proved.
pub(super) fn settle(
    job: &Job,
    plan: Option<Vec<Cutting>>,
    certificate: Certificate,
    stopped: Option<Stop>,
) -> Answer {
    let mut answer = Answer {
        verdict: Verdict::Undecided,
        cuttings: plan.clone().unwrap_or_default(),
        lower_bound: 0,
        certificate,
        first_fit: None,
        stopped,
    };
    match answer.certificate.claim {
        Claim::NotEnough => {
            answer.verdict = Verdict::NotEnough;
            answer.cuttings.clear();
        }
        Claim::CostsAtLeast(least) => {
            answer.lower_bound = least;
            match answer.cost(job) {
                Some(cost) if cost <= least => answer.verdict = Verdict::Proved,
                Some(_) => answer.verdict = Verdict::Found,
                None => {}
            }
        }
    }
    answer
}

/// The largest single offcut of cuttings (width, height), by area, with no side shorter than `least`;
/// `(0, 0)` if there is none.
pub(super) fn largest_offcut(cuttings: &[Cutting], least: u64) -> (u64, u64) {
    let each = cuttings.iter();
    let each = each.filter_map(|c| c.sheet.largest_offcut(least));
    each.max_by_key(|&(w, h)| (w * h, w)).unwrap_or((0, 0))
}
