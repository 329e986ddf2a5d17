//! All sizes of an album, verified, as facts: what the reports, the drawings and the cutting read.
//!
//! A plan exists only after [`verify`] has tested it against the text of the rules. May import
//! every earlier room; of `solve` only what it returned.

pub mod beyond;
pub(crate) mod capacity;
pub mod clash;
pub mod closed;
pub mod frames;
pub mod leaf;
mod loosened;
pub mod openings;
pub mod phrase;
mod reason;
pub mod sentence;
pub mod steps;
pub mod value;
pub mod verify;
pub(crate) mod view;
pub mod work;

use crate::album::Album;
use crate::length::{Interval, Length, Ruler};
use crate::program::expand::Expanded;
use crate::program::model::ChoiceKey;
pub use crate::program::of;
use crate::program::{ExpandError, InstanceId, Stage, UnknownId, unread};
use crate::scene::BagMeasure;
use crate::solve::{Solution, StageOutcome, Verdict, Why};
use crate::style::Style;
use crate::style::expr::Relation;
use itertools::Itertools;
pub use openings::{Cropped, Designed};
use phrase::Phrase;
use std::collections::{BTreeMap, BTreeSet};
use verify::{Finished, VerifyError, verify};
use view::{Lines, View};

pub use leaf::{InsertPlan, LeafPlan, PhotoPlan, TabPlan};

/// How sure the plan is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Certainty {
    /// Every size is proved best in the order of the preferences.
    Best,
    /// It fits; a limit was met before everything was proved best. `same_again`: the same input
    /// stops at the same place.
    Found { same_again: bool },
}

/// Why there is no answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stopped {
    /// The sizes can be put together in too many ways; the same input stops at the same place.
    Ways,
    /// The time was up.
    Clock,
    /// Numbers too large to be added exactly.
    TooLarge,
    /// The program refused its own answer: a defect.
    Refused,
}

impl From<Why> for Stopped {
    fn from(why: Why) -> Stopped {
        match why {
            Why::Nodes | Why::Depth => Stopped::Ways,
            Why::Clock => Stopped::Clock,
            Why::TooLarge => Stopped::TooLarge,
            Why::Malformed | Why::Refused => Stopped::Refused,
        }
    }
}

/// Why a size is what it is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Reason {
    /// A rule stops it; its name, its sentence with numbers, its source.
    Rule {
        name: String,
        /// Both sides of the comparison that stops it.
        sides: Option<Sides>,
        because: Phrase,
        source: String,
    },
    /// An earlier preference stops it.
    Preference(String),
    /// It may not be smaller or larger, whatever the rules say.
    Limit(Length),
    /// The album or its supplies say it.
    Given,
    /// It was measured on what is already made.
    Measured,
    /// A limit was met before the reason was found.
    Unknown,
}

/// Both sides of a rule.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sides {
    pub left: Phrase,
    pub relation: Relation,
    pub right: Phrase,
}

/// One size.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SizePlan {
    /// `front_mat.width`, `photo_mat.photo.width`; without its leaf.
    pub name: String,
    /// The leaf's name; empty for the template.
    pub leaf: String,
    pub value: Interval,
    /// None of a piece of the album that is as large as the room where it lies.
    pub held_by: Vec<Reason>,
}

/// Less than a rule asks for, as the maker accepts it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Accepted {
    pub rule: String,
    /// The leaf or the thing; empty for all.
    pub of: String,
    pub by: Length,
    /// The maker's reason.
    pub why: Option<String>,
}

/// Which rules a plan lists: each costs a sentence with its numbers. All are verified either way.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Listed {
    All,
    /// Wishes that could not be kept.
    NotKept,
}

/// One line of the rule book.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RuleLine {
    pub name: String,
    /// Which leaf and thing it speaks of; empty for the whole album.
    pub of: String,
    pub wish: bool,
    pub kept: bool,
    /// Whole ruler steps left over; nothing for rules that compare bare numbers.
    pub steps_left: Option<i64>,
    pub because: Phrase,
    /// What a hand sees where it is not kept, and does about it.
    pub watch: Option<Phrase>,
    pub source: String,
    /// What one ruler step of breaking it costs in a fix; absent: it never gives.
    pub give: Option<i64>,
}

/// The holes, the same for every leaf and bag.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Holes {
    pub diameter: Interval,
    /// A hole's centre to its rim, or to the rim of its eyelet.
    pub rim: Interval,
    /// What the two flanges of an eyelet add to a leaf; nothing without eyelets.
    pub flanges: Interval,
    /// Centres from the left edge of a leaf.
    pub edge: Interval,
    /// Centres above its low edge, lowest first.
    pub heights: Vec<Interval>,
    /// Absent with one hole, or where a pattern spaces them unequally.
    pub pitch: Option<Interval>,
    pub pattern: Option<String>,
}

/// The ring that was chosen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RingPlan {
    pub name: String,
    pub inside: Interval,
    pub wire: Option<Interval>,
    /// Thickest stack that it may hold.
    pub takes: Length,
}

/// Something that stands in for a measure.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Assumed {
    pub name: String,
    pub value: Phrase,
    pub why: String,
    /// What is measured instead, in the style's words.
    pub title: Option<String>,
    /// The measure of a bag that would say it.
    pub of_bag: Option<BagMeasure>,
}

/// An album, worked out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Plan {
    pub title: String,
    pub style: String,
    /// The style's own words for the kind of album.
    pub style_title: String,
    pub ruler: Ruler,
    pub certainty: Certainty,
    pub leaves: Vec<LeafPlan>,
    /// The parts of the album itself that are cut: cover boards, a wrap, a band round it.
    pub parts: Vec<leaf::PartPlan>,
    /// Pieces that are larger than their sheets.
    pub beyond: Vec<beyond::Beyond>,
    /// Where everything lies, one frame for each kind of leaf, then those of the album.
    pub frames: Vec<frames::FramePlan>,
    /// Every paper of the album, once, in the order in which its parts name them.
    pub papers: Vec<String>,
    /// Which design of a pad each piece is of, once they are dealt out; else none.
    pub designs: Vec<Designed>,
    /// Which photo stands in each place for one, once they are arranged; else none.
    pub photos: Vec<Designed>,
    /// Which of them lose much there, if any do.
    pub cropped: Option<Cropped>,
    /// What to do, in the style's own words.
    pub steps: Vec<steps::StepPlan>,
    /// What the style's words mean, and what can hurt someone at this kind of album; all cautions
    /// where it lists none.
    pub words: Option<String>,
    pub cautions: Vec<String>,
    /// What a maker calls the sizes to be found, by their names in the style.
    pub titles: BTreeMap<String, String>,
    pub closed: Option<closed::Closed>,
    /// Its style threads it on rings.
    pub takes_rings: bool,
    /// On as many as this, if the style says how many.
    pub rings_said: Option<usize>,
    pub holes: Holes,
    pub template: Vec<SizePlan>,
    /// Sizes of a style's own that are no width and height of a piece, nor of the template.
    pub others: Vec<SizePlan>,
    pub ring: Option<RingPlan>,
    /// Of all leaves, and of what covers lie on them.
    pub stack_at_holes: Interval,
    pub stack_in_middle: Interval,
    /// Covers are part of the stack.
    pub with_covers: bool,
    /// Less than rules ask for, as the maker accepts it.
    pub accepted: Vec<Accepted>,
    /// As many of its rules as were asked for.
    pub rules: Vec<RuleLine>,
    pub assumed: Vec<Assumed>,
    /// The style's named lengths as they stand for this album: `ease`, `glue_seam` ...
    pub quantities: BTreeMap<String, Interval>,
    /// Sizes that nothing limits.
    pub unlimited: Vec<String>,
    /// What the album says of rings and holes that its kind does not have, and quantities that it sets and
    /// nothing in it reads.
    pub unread: Vec<String>,
    pub proofs: usize,
}

impl Plan {
    /// Every size: the template's, then leaf by leaf, then those of the album's own parts, then others.
    pub fn sizes(&self) -> impl Iterator<Item = &SizePlan> {
        let leaves = self.leaves.iter().flat_map(|leaf| {
            let parts = leaf.parts.iter().flat_map(|it| [&it.width, &it.height]);
            let inserts = leaf.inserts.iter().flat_map(|it| {
                let photo = it.photo.iter();
                let photo = photo.flat_map(|photo| [&photo.width, &photo.height]);
                [&it.width, &it.height].into_iter().chain(photo)
            });
            parts.chain(inserts)
        });
        let own = self.parts.iter().flat_map(|it| [&it.width, &it.height]);
        let found = self.template.iter().chain(leaves);
        found.chain(own).chain(&self.others)
    }

    /// Eyelets as its album wants them, if its kind has any.
    pub fn eyelet(&self, album: &Album) -> Option<Interval> {
        let has = self.unread.iter().all(|key| key != "eyelet");
        album.template.eyelet.filter(|_| has)
    }

    /// Rings of one album: as many as the style says, else as a leaf has holes, or without leaves a part of the
    /// album.
    pub fn rings(&self) -> usize {
        if let Some(said) = self.rings_said {
            return said;
        }
        let holes = |frame: &frames::FramePlan| {
            let marks = frame.marks.iter();
            marks.filter(|it| it.diameter.is_some()).count()
        };
        match (self.takes_rings, self.leaves.is_empty()) {
            (false, _) => 0,
            (true, false) => self.holes.heights.len(),
            (true, true) => self.frames.iter().map(holes).max().unwrap_or(0),
        }
    }
}

/// Everything that a plan is made from.
#[derive(Clone, Copy)]
pub struct Parts<'a> {
    pub style: &'a Style,
    pub album: &'a Album,
    pub expanded: &'a Expanded,
    pub solution: &'a Solution,
}

/// Reads the picked items of all choices off a solution.
pub fn picks(expanded: &Expanded, solution: &Solution) -> BTreeMap<ChoiceKey, usize> {
    let taken = |choice: &crate::program::model::Choice| {
        let taken = solution.taken.get(choice.group?.0 as usize)?;
        taken.map(|taken| taken as usize)
    };
    let choices = expanded.model.choices.iter();
    choices
        .map(|(key, choice)| (key.clone(), taken(choice).unwrap_or(0)))
        .collect()
}

/// Wishes that the solution does not keep.
pub fn dropped(expanded: &Expanded, solution: &Solution) -> BTreeSet<InstanceId> {
    let stages = expanded.program.stages.iter().zip(&solution.stages);
    stages
        .filter_map(|(stage, outcome)| match (stage, outcome) {
            (Stage::Keep(_), StageOutcome::Kept) => None,
            (Stage::Keep(instance), _) => Some(*instance),
            _ => None,
        })
        .collect()
}

/// Makes a verified plan of a solution that fits.
///
/// # Errors
/// The plan breaks a rule: a defect of this program.
pub fn make(parts: Parts<'_>, listed: Listed) -> Result<Plan, VerifyError> {
    let Parts {
        expanded, solution, ..
    } = parts;
    let picks = picks(expanded, solution);
    let dropped = dropped(expanded, solution);
    let finished = Finished {
        values: &solution.values,
        picks: &picks,
        dropped: &dropped,
    };
    let lines = verify(parts.style, expanded, finished)?;
    seen(View {
        parts,
        finished,
        lines: Lines::All(&lines, listed),
    })
}

/// One leaf by itself, at the sizes that it has in the album: what one person makes and takes home. It
/// has no rules, no part of the album, and of the steps those that speak of leaves.
///
/// # Errors
/// As [`make`].
pub fn alone(parts: Parts<'_>, whole: &Plan, leaf: usize) -> Result<(Album, Plan), VerifyError> {
    let mut album = parts.album.clone();
    let mut expanded = parts.expanded.clone();
    let scene = &mut expanded.model.scene;
    let id = scene.leaves().get(leaf).copied();
    album.leaves = album.leaves.into_iter().skip(leaf).take(1).collect();
    album.leaves.iter_mut().for_each(|it| it.count = 1);
    scene.only(id);
    let picks = picks(&expanded, parts.solution);
    let dropped = BTreeSet::new();
    let mut plan = seen(View {
        parts: Parts {
            album: &album,
            expanded: &expanded,
            ..parts
        },
        finished: Finished {
            values: &parts.solution.values,
            picks: &picks,
            dropped: &dropped,
        },
        lines: Lines::Asked,
    })?;
    plan.parts.clear();
    plan.papers.clone_from(&whole.papers);
    plan.frames.retain(|frame| frame.leaf.is_some());
    plan.steps.retain(|step| step.of_leaves && !step.idle);
    plan.steps.iter_mut().for_each(|step| step.none = None);
    plan.closed = None;
    Ok((album, plan))
}

/// Every paper of some leaves and parts, once, in their order.
pub fn papers(leaves: &[LeafPlan], own: &[leaf::PartPlan]) -> Vec<String> {
    let of_leaves = leaves.iter().flat_map(|leaf| {
        let parts = leaf.parts.iter().map(|part| &part.paper);
        parts.chain(leaf.inserts.iter().map(|insert| &insert.paper))
    });
    let all = of_leaves.chain(own.iter().map(|part| &part.paper));
    all.flatten().unique().cloned().collect()
}

/// A solution as facts.
fn seen(view: View<'_>) -> Result<Plan, VerifyError> {
    let Parts {
        style,
        album,
        expanded,
        solution,
    } = view.parts;
    let certainty = match solution.verdict {
        Verdict::FitsFound { reproducible } => Certainty::Found {
            same_again: reproducible,
        },
        _ => Certainty::Best,
    };
    let scene = &expanded.model.scene;
    let leaves = scene.leaves().iter().enumerate();
    let leaves = leaves.map(|(n, id)| leaf::plan(view, *id, &album.leaves[n]));
    let leaves: Vec<LeafPlan> = leaves.collect();
    let mut own = leaf::of_album(view);
    let laid = frames::frames(view, &leaves, &own);
    let wrong = wrong(&laid);
    if !wrong.is_empty() {
        return Err(VerifyError::Style(wrong));
    }
    let steps = steps::steps(view, &leaves, &laid);
    let closed = closed::closed(view, &laid);
    let frames: Vec<_> = laid.into_iter().map(|(frame, _)| frame).collect();
    frames::check::check(view.parts, view.finished, &frames)?;
    let mut leaves = leaves;
    frames::tell(view, &frames, &mut leaves, &mut own);
    frames::laid(view, &frames, &mut own);
    let stack = |field: &str| scene.length(scene.album(), field).unwrap_or_default();
    Ok(Plan {
        title: album.title.clone(),
        style: style.name.clone(),
        style_title: style.title.clone(),
        ruler: album.ruler,
        certainty,
        beyond: beyond::beyond(album, &leaves, &own),
        papers: papers(&leaves, &own),
        leaves,
        parts: own,
        frames,
        designs: Vec::new(),
        photos: Vec::new(),
        cropped: None,
        steps,
        words: style.words.clone(),
        cautions: style.cautions.clone(),
        titles: style.titles(),
        closed,
        takes_rings: style.choices.iter().any(|choice| choice.from == "rings"),
        rings_said: closed::rings(view),
        holes: view.holes(),
        template: view.template(),
        others: view.others(),
        ring: capacity::ring(view),
        stack_at_holes: stack("stack_at_holes"),
        stack_in_middle: stack("stack_in_middle"),
        with_covers: crate::scene::covers(scene, "in_middle") != Interval::default(),
        accepted: accepted(album),
        rules: view.rules(),
        assumed: view.assumed(),
        quantities: view.quantities(),
        unlimited: view.unlimited(),
        unread: unread(style, album, expanded),
        proofs: solution.stats.proofs_checked,
    })
}

/// What the style says falsely of where things lie, with the sizes of a solution that fits.
pub(crate) fn misplaced(parts: Parts<'_>) -> Vec<ExpandError> {
    let picks = picks(parts.expanded, parts.solution);
    let view = View {
        parts,
        finished: Finished {
            values: &parts.solution.values,
            picks: &picks,
            dropped: &BTreeSet::new(),
        },
        lines: Lines::Asked,
    };
    let leaves = view.scene().leaves().iter().zip(&parts.album.leaves);
    let leaves: Vec<LeafPlan> = leaves
        .map(|(id, said)| leaf::plan(view, *id, said))
        .collect();
    wrong(&frames::frames(view, &leaves, &leaf::of_album(view)))
}

fn wrong(laid: &[(frames::FramePlan, frames::Laying<'_>)]) -> Vec<ExpandError> {
    let wrong = laid.iter().flat_map(|(_, laying)| laying.wrong.clone());
    wrong.unique_by(|it| it.place).map(Into::into).collect()
}

fn accepted(album: &Album) -> Vec<Accepted> {
    let all = album.accepted.iter().map(|it| Accepted {
        rule: it.rule.value.clone(),
        of: it.of.clone().map_or_else(String::new, |of| of.value),
        by: it.by,
        why: it.why.clone(),
    });
    all.collect()
}
