//! What an album is made of, as a style lists it: frames with what lies on them from front to back,
//! what is pierced and folded, names for what follows from others, and the steps of the work.
//!
//! Data only. `parts_text` reads it; `scene` and `plan` give it its values for one album.

use super::expr::{Condition, Expr, Path, Words};
use super::steps::Sentence;
use super::{Rule, Style, Tells};
use crate::text::Place;
use itertools::Itertools;

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
    /// How wide the glue is at its edges, if it is not glued all over.
    pub glued: Vec<(Edge, Expr)>,
    /// What it is, seen from the edge with the leaf cut open.
    pub says: Vec<Sentence>,
    /// Another part of its frame that it hangs together with, and at which edge.
    pub joined: Option<(Edge, String)>,
    /// What a maker measures of it, once it is made.
    pub measure: Option<String>,
    /// What the side of its frame on which it lies is called where it is there.
    pub side: Option<String>,
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
        /// Where a leaf is thicker by it.
        thickens: Thickens,
    },
    /// A layer of the bag.
    Ply {
        /// Layers; none for a fold, which is only drawn.
        layers: Expr,
    },
    /// Room for inserts.
    Slot(Slot),
    /// Something that stands by itself and has parts on it.
    Frame(Box<Frame>),
}

/// Where a leaf is thicker by a piece of paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Thickens {
    All,
    /// At its holes: it ends before the middle.
    Holes,
    /// In the middle: it keeps off the holes.
    Middle,
}

/// Room for inserts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Slot {
    /// The edge at which it opens; absent if things are glued on.
    pub opens: Option<Edge>,
    /// What an album says to put an insert there.
    pub place: String,
    /// And of several of that place, which.
    pub section: Option<String>,
    /// The edge above which an insert shows, in words: `the mouth`.
    pub edge: Option<String>,
    /// Where a thing goes that is put there, in words; else `into the` and its name.
    pub into: Option<String>,
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
    /// A table of supplies that it is made from; absent if it is cut from paper or only there
    /// to be reckoned with.
    pub from: Option<String>,
    /// An album has it unless it says otherwise.
    pub usual: bool,
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
    /// What stands above the map of all openings.
    pub faces: Option<String>,
    /// From front to back.
    pub on: Vec<Part>,
    pub marks: Vec<Mark>,
}

/// Most places of one mark: no hand makes more.
pub const MOST_MARKS: i64 = 400;

/// A hole through everything at a place, or a fold from edge to edge.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mark {
    pub name: String,
    pub titles: [String; 2],
    pub count: Option<Expr>,
    /// Its centre from the left edge; nothing for a fold from the left to the right edge.
    pub across: Option<Expr>,
    /// Between which ends that lies while it is to be found.
    pub within: Option<(Expr, Expr)>,
    /// Its centre above the low edge; nothing for a fold from the low to the high edge.
    pub up: Option<Expr>,
    /// Of a hole.
    pub diameter: Option<Expr>,
    /// How the template is laid.
    pub lay: Option<String>,
    /// Where they all are, in words.
    pub note: Vec<Sentence>,
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

impl Lies {
    /// What is said across: its left end, its right end, its width.
    pub fn across(&self) -> [&Option<End>; 3] {
        [&self.left, &self.right, &self.width]
    }

    /// What is said up: its low end, its high end, its height.
    pub fn up(&self) -> [&Option<End>; 3] {
        [&self.low, &self.high, &self.height]
    }
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

impl NameRule {
    /// Every name that its rows read.
    pub fn reads(&self) -> Vec<&Path> {
        self.reads_of(Expr::paths)
    }

    /// The same; of an expression, what `names` finds in it.
    pub fn reads_of<'r>(&'r self, names: impl Fn(&'r Expr) -> Vec<&'r Path>) -> Vec<&'r Path> {
        let mut read = Vec::new();
        for row in &self.rows {
            read.extend(row.conditions().flat_map(Condition::names));
            read.extend(row.is.exprs().iter().flat_map(&names));
        }
        read
    }
}

/// One way to work out a name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row {
    pub when: Vec<Condition>,
    pub is: Is,
    /// Why it stands in for a measure, if it does.
    pub assumed: Option<String>,
    pub tells: Tells,
    pub place: Place,
}

/// What a name stands for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Is {
    Value(End),
    /// Yes where one of these holds.
    Holds(Vec<Condition>),
}

impl Is {
    /// The expressions of a value.
    pub fn exprs(&self) -> &[Expr] {
        match self {
            Is::Value(end) => end.all(),
            Is::Holds(_) => &[],
        }
    }
}

impl Row {
    /// When it applies, and the conditions that it stands for.
    pub fn conditions(&self) -> impl Iterator<Item = &Condition> {
        let holds = match &self.is {
            Is::Value(_) => &[][..],
            Is::Holds(any) => any,
        };
        self.when.iter().chain(holds)
    }
}

/// Every part of a list with all that lie on them, in order.
pub fn all(parts: &[Part]) -> Vec<&Part> {
    let mut found = Vec::new();
    for part in parts {
        found.push(part);
        found.extend(part.frame().into_iter().flat_map(|frame| all(&frame.on)));
    }
    found
}

impl Style {
    /// What stands by itself, each with what lies on it.
    pub fn frames(&self) -> impl Iterator<Item = (&Part, &Frame)> {
        let parts = self.parts.iter();
        parts.filter_map(|part| Some((part, part.frame()?)))
    }

    /// What one bag becomes: the first frame that is made from supplies.
    pub fn leaf_frame(&self) -> Option<(&Part, &Frame)> {
        self.frames().find(|(_, frame)| frame.from.is_some())
    }

    /// What a leaf is called.
    pub fn leaf_name(&self) -> Option<&str> {
        Some(&self.leaf_frame()?.0.name)
    }

    /// Everything that lies on a leaf, from front to back.
    pub fn on_leaf(&self) -> &[Part] {
        self.leaf_frame().map_or(&[], |(_, frame)| &frame.on)
    }

    /// What is pierced through a leaf.
    pub fn hole(&self) -> Option<&Mark> {
        let marks = self.leaf_frame().map(|(_, frame)| &frame.marks);
        marks
            .into_iter()
            .flatten()
            .find(|mark| mark.diameter.is_some())
    }

    /// Whether that is called so.
    pub fn is_hole(&self, name: &str) -> bool {
        self.hole().is_some_and(|mark| mark.name == name)
    }

    /// Room for inserts, each with the part that says where it lies.
    pub fn slots(&self) -> impl Iterator<Item = (&Part, &Slot)> {
        let parts = self.on_leaf().iter();
        parts.filter_map(|part| Some((part, part.slot()?)))
    }

    /// Whether that is a slot of a leaf that opens.
    pub fn opens(&self, name: &str) -> bool {
        let mut slots = self.slots();
        slots.any(|(part, slot)| part.name == name && slot.opens.is_some())
    }

    /// Where a thing goes of which no more is said: where the last slot opens.
    pub fn usual_place(&self) -> &str {
        let open = self.slots().filter(|(_, slot)| slot.opens.is_some());
        open.last().map_or("", |(_, slot)| slot.place.as_str())
    }

    /// The part of a leaf that is called so, the first of several.
    pub fn on_leaf_called(&self, name: &str) -> Option<&Part> {
        self.on_leaf().iter().find(|part| part.name == name)
    }

    /// Pieces of paper on a leaf: those that have sizes to be found, in the order of these, and those whose
    /// sizes the style says.
    pub fn papers_of_leaf(&self) -> Vec<&str> {
        let heads = self.unknowns.iter().map(|unknown| unknown.name.head());
        let found = heads.filter(|head| self.has_part(head));
        let said = self.on_leaf().iter().filter(|part| {
            let says = |side| self.name_rule(&part.name, side).is_some();
            matches!(part.kind, Kind::Paper { .. }) && says("width") && says("height")
        });
        let said = said.map(|part| part.name.as_str());
        found.chain(said).unique().collect()
    }

    /// The frames that are made from no supply: parts of the album itself, each with what it is.
    pub fn album_frames(&self) -> impl Iterator<Item = (&Part, &Frame)> {
        self.frames().filter(|(_, frame)| frame.from.is_none())
    }

    /// The parts of the album itself that are called so: frames, and what lies on them.
    pub fn of_album_called(&self, name: &str) -> impl Iterator<Item = &Part> {
        let all = self.album_frames();
        let all = all.flat_map(|(part, frame)| std::iter::once(part).chain(&frame.on));
        all.filter(move |part| part.name == name)
    }

    /// Pieces of paper of the album itself that have sizes to be found, in the order of these.
    pub fn papers_of_album(&self) -> Vec<&str> {
        let own = self.unknowns.iter().filter(|it| it.bindings.is_empty());
        let heads = own.map(|unknown| unknown.name.head()).unique();
        let is_cut = |part: &Part| matches!(part.kind, Kind::Paper { .. } | Kind::Frame(_));
        heads
            .filter(|head| self.of_album_called(head).any(is_cut))
            .collect()
    }

    /// Pieces of paper of the album itself whose sizes follow from where they lie.
    pub fn laid_on_album(&self) -> Vec<&str> {
        let found = self.papers_of_album();
        let all = self.album_frames().flat_map(|(_, frame)| &frame.on);
        let papers = all.filter(|part| matches!(part.kind, Kind::Paper { .. }));
        let names = papers.map(|part| part.name.as_str()).unique();
        names.filter(|name| !found.contains(name)).collect()
    }

    /// Whether a leaf, or the album, has this piece of paper if nothing is said of it.
    pub fn is_usual(&self, name: &str) -> bool {
        let on_leaf = self.on_leaf_called(name);
        let said = on_leaf.or_else(|| self.of_album_called(name).next());
        said.is_none_or(|part| match &part.kind {
            Kind::Paper { usual, .. } => *usual,
            Kind::Frame(frame) => frame.usual,
            _ => true,
        })
    }

    /// The rule of a name.
    pub fn name_rule(&self, head: &str, field: &str) -> Option<&NameRule> {
        let is =
            |rule: &&NameRule| matches!(rule.name.0.as_slice(), [h, f] if h == head && f == field);
        self.names.iter().find(is)
    }
}

impl Mark {
    /// The expressions that say where it is and how large.
    pub fn lengths(&self) -> impl Iterator<Item = &Expr> {
        let all = [&self.across, &self.up, &self.diameter];
        all.into_iter().flatten()
    }
}

impl Part {
    /// What it is, if it stands by itself.
    pub fn frame(&self) -> Option<&Frame> {
        match &self.kind {
            Kind::Frame(frame) => Some(frame),
            _ => None,
        }
    }

    /// What it is, if it is room for inserts.
    pub fn slot(&self) -> Option<&Slot> {
        match &self.kind {
            Kind::Slot(slot) => Some(slot),
            _ => None,
        }
    }

    /// What is said of it: where it lies, how it is glued, what it is.
    pub fn sentences(&self) -> impl Iterator<Item = &Sentence> {
        self.note.iter().chain(&self.glue).chain(&self.says)
    }

    /// The expressions by which it, and what lies on it, are laid and counted, of those that are `there`.
    pub fn read_where<'p>(&'p self, there: &dyn Fn(&Part) -> bool) -> Vec<&'p Expr> {
        if !there(self) {
            return Vec::new();
        }
        let lies = self.lies.across().into_iter().chain(self.lies.up());
        let mut all: Vec<&Expr> = lies.flatten().flat_map(End::all).collect();
        all.extend(self.outline.iter().flat_map(|(x, y)| [x, y]));
        all.extend(self.glued.iter().map(|(_, wide)| wide));
        match &self.kind {
            Kind::Paper { .. } => {}
            Kind::Ply { layers } => all.push(layers),
            Kind::Slot(slot) => all.extend(&slot.gap),
            Kind::Frame(frame) => {
                all.extend(&frame.count);
                all.extend(frame.on.iter().flat_map(|part| part.read_where(there)));
                for mark in &frame.marks {
                    let within = mark.within.iter().flat_map(|(low, high)| [low, high]);
                    all.extend(within.chain(&mark.count).chain(mark.lengths()));
                }
            }
        }
        all
    }
}

/// Every expression and every condition in a style.
#[derive(Debug, Default)]
pub struct Everything<'s> {
    pub exprs: Vec<&'s Expr>,
    pub conditions: Vec<&'s Condition>,
}

/// What a style says in its tables, and of its rules, sizes and choices.
pub fn everything(style: &Style) -> Everything<'_> {
    let mut all = Everything::default();
    all.conditions
        .extend(style.cases().flat_map(|(_, when)| when));
    all.exprs.extend(style.rules.iter().flat_map(Rule::exprs));
    for row in style.names.iter().flat_map(|rule| &rule.rows) {
        all.conditions.extend(row.conditions());
        all.exprs.extend(row.is.exprs());
    }
    for part in &style.parts {
        all.exprs.extend(part.read_where(&|_| true));
    }
    for part in self::all(&style.parts) {
        all.conditions.extend(&part.when);
        part.sentences().for_each(|it| all.sentence(it));
    }
    for step in &style.steps {
        let sentences = step.does.iter().chain(&step.checks);
        sentences.for_each(|sentence| all.sentence(sentence));
        all.exprs.extend(&step.minutes);
        let words = step.care.iter().chain(&step.needs).flatten();
        all.exprs.extend(words.filter_map(Words::value));
    }
    all
}

impl<'s> Everything<'s> {
    fn sentence(&mut self, sentence: &'s Sentence) {
        self.conditions.extend(&sentence.when);
        self.exprs.extend(sentence.words().filter_map(Words::value));
    }
}
