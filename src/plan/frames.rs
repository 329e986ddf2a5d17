//! Where everything lies: each frame of a style with its parts from front to back, what hides what,
//! what is pierced and folded, worked out from a verified solution.
//!
//! A place is an expression of the style. `value` evaluates it with what is uncertain in its middle,
//! to be drawn, and between its ends, to be judged (`amount`); `lay` puts the parts on their frame,
//! and `check` works everything out again and refuses what lies elsewhere.
//! May import what `plan` may.

mod amount;
pub mod check;
mod lay;
mod value;

use super::leaf::LeafPlan;
use super::phrase::Phrase;
use super::view::View;
use crate::length::{Interval, Length};
use crate::style::parts::Kind;
pub use crate::style::parts::{Bound, Edge};
use value::Laying;

/// A rectangle in its frame (nanometres): across from the left edge, up from the low edge.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Area {
    pub left: i64,
    pub right: i64,
    pub low: i64,
    pub high: i64,
}

/// What a laid part is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum What {
    /// A piece of paper: its place in [`LeafPlan::parts`], if it is one of the album's pieces.
    Paper(Option<usize>),
    /// So many layers of the bag; a fold has none.
    Ply(i64),
    /// Room for inserts, and where it opens.
    Slot(Option<Edge>),
    /// One of its place in [`LeafPlan::inserts`], and which copy of it.
    Insert(usize, usize),
}

/// A part where it lies.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Laid {
    pub name: String,
    pub title: String,
    pub what: What,
    pub area: Area,
    /// Its width and height as they are told.
    pub width: Interval,
    pub height: Interval,
    /// It lies on the back of its frame.
    pub back: bool,
    /// The slot that an insert is in, by its place in the frame's parts.
    pub slot: Option<usize>,
    /// What lies before it, seen from its side.
    pub behind: Vec<Area>,
    /// How far an end of it runs under something while the other end is seen.
    pub runs_under: Option<Interval>,
    /// Corners of what is no rectangle.
    pub outline: Vec<(i64, i64)>,
    /// The part that it hangs together with, by its place, and at which edge.
    pub joined: Option<(Edge, usize)>,
    /// Its slot's low end was said, so that things stop there.
    pub stops: bool,
    pub note: Option<Phrase>,
    pub glue: Option<Phrase>,
    pub says: Option<Phrase>,
    /// What a maker measures of it, and what it should be.
    pub measure: Option<(String, Interval)>,
}

/// A hole, or a fold where it has no height.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Marked {
    pub name: String,
    /// One of it, and several, in words.
    pub titles: [String; 2],
    /// How the template is laid.
    pub lay: Option<String>,
    pub across: Interval,
    pub up: Option<Interval>,
    pub diameter: Option<Interval>,
}

/// A frame and everything on it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FramePlan {
    pub name: String,
    /// Its leaf's place in [`super::Plan::leaves`]; absent for a frame of the album.
    pub leaf: Option<usize>,
    pub bound: Bound,
    /// One of it, and several.
    pub titles: [String; 2],
    /// The side that is seen first, and the other.
    pub sides: [String; 2],
    /// Left, right, low, high.
    pub edges: [String; 4],
    pub measures: Option<[String; 2]>,
    pub width: Interval,
    pub height: Interval,
    /// From front to back.
    pub parts: Vec<Laid>,
    pub marks: Vec<Marked>,
    /// How far papers and inserts stand out of it: left, right, low, high.
    pub out: [Length; 4],
}

impl FramePlan {
    /// The part of that name, the first of several.
    pub fn part(&self, name: &str) -> Option<&Laid> {
        self.parts.iter().find(|part| part.name == name)
    }

    /// Inserts and pieces of paper on one side, front to back.
    pub fn pieces(&self, back: bool) -> impl Iterator<Item = &Laid> {
        let piece = |part: &&Laid| matches!(part.what, What::Paper(_) | What::Insert(..));
        self.parts
            .iter()
            .filter(move |p| p.back == back)
            .filter(piece)
    }
}

impl Area {
    /// Whether they share more than an edge.
    fn meets(self, other: Area) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.low < other.high
            && other.low < self.high
    }
}

/// All frames of a plan.
pub(super) fn frames(view: View<'_>, leaves: &[LeafPlan]) -> Vec<FramePlan> {
    let scene = view.scene();
    let mut all = Vec::new();
    for part in &view.parts.style.parts {
        let Kind::Frame(frame) = &part.kind else {
            continue;
        };
        match frame.from {
            Some(_) => {
                let things = scene.leaves().iter().zip(leaves).enumerate();
                let laid = things.filter_map(|(n, (id, plan))| {
                    let laying = Laying::of_leaf(view, part, *id, plan)?;
                    Some(laying.frame(part, frame, Some(n)))
                });
                all.extend(laid);
            }
            None => all
                .extend(Laying::of_album(view, part).map(|laying| laying.frame(part, frame, None))),
        }
    }
    all
}
