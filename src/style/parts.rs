//! What an album is made of, as a style lists it: frames with what lies on them from front to back,
//! what is pierced and folded, names for what follows from others, and the steps of the work.
//!
//! Data only. `parts_text` reads it; `scene` and `plan` give it its values for one album.

use super::expr::{Binding, Condition, Expr, Path, Words};
use crate::text::Place;

/// One thing that there is: a bag's wall, a mat, a slot, a whole leaf.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Part {
    pub name: String,
    /// It is there where all of these hold. The same name may come again: one more piece alike, or
    /// the same thing in another case.
    pub when: Vec<Condition>,
    /// What a maker calls it; its name with spaces where the style has no title.
    pub title: String,
    pub lies: Lies,
    pub kind: Kind,
    /// Corners from front to back of what is no rectangle; empty for one.
    pub outline: Vec<(Expr, Expr)>,
    /// Where it lies, for the legend of a drawing. Of several sentences the first that holds and
    /// whose values are known is said; so for the other two.
    pub note: Vec<Sentence>,
    /// How it is glued, for the steps.
    pub glue: Vec<Sentence>,
    /// What it is, seen from the edge with the leaf cut open.
    pub says: Vec<Sentence>,
    /// Another part of its frame that it hangs together with, and at which edge.
    pub joined: Option<(Edge, String)>,
    /// What a maker measures of it, once it is made.
    pub measure: Option<String>,
    pub place: Place,
}

/// What kind of thing a part is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Cut from paper, and glued.
    Paper {
        /// A leaf has it unless its album says otherwise.
        usual: bool,
        /// Glued all over; else at its ends only, so that things go behind it.
        flat: bool,
    },
    /// A layer of the bag.
    Ply {
        /// Layers; none for a fold, which is only drawn.
        layers: Expr,
        /// Counted in thickness, and not among the layers that are told of a hole.
        perhaps: bool,
    },
    /// Room for inserts.
    Slot(Slot),
    /// Something that stands by itself and has parts on it.
    Frame(Box<Frame>),
}

/// Room for inserts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Slot {
    /// The edge at which it opens; nothing where things are glued on.
    pub opens: Option<Edge>,
    /// What an album says to put an insert there.
    pub place: String,
    /// And of several of that place, which.
    pub section: Option<String>,
    /// The edge above which an insert shows, in words: `the mouth`.
    pub edge: Option<String>,
    /// Between two things that are glued there.
    pub gap: Option<Expr>,
}

/// The edges of a frame.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Edge {
    Left,
    Right,
    Low,
    High,
}

/// How a frame is bound.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bound {
    /// At that edge, one frame on the other.
    At(Edge),
    /// In a fold across its middle, one frame in the other.
    Fold,
    /// Not at all.
    No,
}

/// Something with two sides that other parts lie on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Frame {
    /// A table of supplies that it is made from; nothing where it is cut from paper or only there
    /// to be reckoned with.
    pub from: Option<String>,
    /// How many there are; one where the style does not say.
    pub count: Option<Expr>,
    pub bound: Bound,
    /// One of it, and several, in words.
    pub titles: [String; 2],
    /// Its two sides in words: the one that is seen first, and the other.
    pub sides: [String; 2],
    /// Its edges in words: left, right, low, high.
    pub edges: [String; 4],
    /// What a maker measures of it, across and up.
    pub measures: Option<[String; 2]>,
    /// From front to back.
    pub on: Vec<Part>,
    pub marks: Vec<Mark>,
}

/// A hole through everything at a place, or a fold along a line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mark {
    pub name: String,
    pub titles: [String; 2],
    pub count: Option<Expr>,
    /// Its centre from the left edge.
    pub across: Expr,
    /// Between which ends that lies while it is to be found.
    pub within: Option<(Expr, Expr)>,
    /// Its centre above the low edge; nothing for a fold.
    pub up: Option<Expr>,
    /// Of a hole.
    pub diameter: Option<Expr>,
    /// How the template is laid.
    pub lay: Option<String>,
    pub place: Place,
}

/// Where a part lies in its frame: two of three on each axis.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Lies {
    pub left: Option<End>,
    pub right: Option<End>,
    pub width: Option<End>,
    pub low: Option<End>,
    pub high: Option<End>,
    pub height: Option<End>,
}

/// An expression, or the largest or smallest of several.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum End {
    At(Expr),
    Most(Vec<Expr>),
    Least(Vec<Expr>),
}

impl End {
    /// Its expressions.
    pub fn all(&self) -> &[Expr] {
        match self {
            End::At(one) => std::slice::from_ref(one),
            End::Most(all) | End::Least(all) => all,
        }
    }
}

/// A name for what follows from others: the first row that applies and can be worked out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NameRule {
    pub name: Path,
    pub rows: Vec<Row>,
    pub place: Place,
}

/// One way to work out a name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row {
    pub when: Vec<Condition>,
    pub is: Is,
    /// Why it stands in for a measure, if it does.
    pub assumed: Option<String>,
    /// What is measured instead, in words.
    pub title: Option<String>,
    pub place: Place,
}

/// What a name stands for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Is {
    Value(End),
    /// Yes where one of these holds.
    Holds(Vec<Condition>),
}

/// Words with values in them, once or for each of some things.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sentence {
    pub bindings: Vec<Binding>,
    pub when: Vec<Condition>,
    pub say: Vec<Words>,
    /// Said once where it holds for any of them.
    pub once: bool,
    /// Said before the first of what belongs to the first thing bound.
    pub head: Option<Vec<Words>>,
    /// What stands between those of one thing.
    pub join: Option<String>,
    /// What has to be on the table for it.
    pub needs: Vec<Vec<Words>>,
    pub place: Place,
}

/// Blocks of facts that the program itself puts into a step.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Uses {
    Measure,
    Cut,
    Photos,
    Tuck,
    /// The order of the leaves.
    Order,
    /// Which edge, which side up, how thick: of a mark by name.
    Mark(String),
}

/// One step of the work.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Step {
    pub title: Option<String>,
    pub does: Vec<Sentence>,
    pub checks: Vec<Sentence>,
    pub care: Option<Vec<Words>>,
    pub needs: Vec<Vec<Words>>,
    /// Said where nothing is to be done; else the step is left out.
    pub none: Option<String>,
    pub uses: Option<Uses>,
    pub place: Place,
}

/// Every part of a list with all that lie on them, in order.
pub fn all(parts: &[Part]) -> Vec<&Part> {
    let mut found = Vec::new();
    for part in parts {
        found.push(part);
        if let Kind::Frame(frame) = &part.kind {
            found.extend(all(&frame.on));
        }
    }
    found
}
