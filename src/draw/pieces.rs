//! What a frame's drawings have in common: letters of its pieces, its seen plies, its words.

use crate::album::Grip;
use crate::length::Interval;
use crate::plan::frames::{Area, Bound, Edge, FramePlan, Laid, Marked, What};
use crate::plan::{LeafPlan, Plan};
use itertools::Itertools;

/// What is drawn of a length that is only known between two ends.
pub fn drawn(value: Interval) -> i64 {
    value.middle().nm()
}

/// A piece of paper or an insert on one side of a frame, with its letter and all its copies.
pub(crate) struct Piece<'a> {
    pub letter: String,
    pub copies: Vec<&'a Laid>,
}

impl<'a> Piece<'a> {
    /// The first of its copies.
    pub fn laid(&self) -> &'a Laid {
        self.copies[0]
    }

    /// As the plan names it; what is no piece of the album's has its title.
    pub fn name(&self) -> &'a str {
        match self.laid().what {
            What::Paper(None) => &self.laid().title,
            _ => &self.laid().name,
        }
    }
}

/// The pieces on one side of a frame: the album's papers in their order, other papers, inserts. No letter is
/// that of two pieces of the frame: they are pencilled on what is cut.
pub(crate) fn lettered(frame: &FramePlan, back: bool) -> Vec<Piece<'_>> {
    match back {
        true => of_side(frame, true, &of_side(frame, false, &[])),
        false => of_side(frame, false, &[]),
    }
}

fn of_side<'f>(frame: &'f FramePlan, back: bool, before: &[Piece<'_>]) -> Vec<Piece<'f>> {
    let order = |laid: &Laid| match laid.what {
        What::Paper(Some(n)) => (0, n, 0),
        What::Paper(None) => (1, 0, 0),
        What::Insert(n, copy) => (2, n, copy),
        What::Ply(_) | What::Slot(_) => (3, 0, 0),
    };
    let mut all: Vec<&Laid> = frame.pieces(back).collect();
    all.sort_by_key(|laid| order(laid));
    let insert = |laid: &Laid| matches!(laid.what, What::Insert(..));
    let alike = |a: &Laid, b: &Laid| a.name == b.name && insert(a) == insert(b);
    let mut pieces: Vec<Piece<'_>> = Vec::new();
    let mut used = before.len();
    for laid in all {
        if let Some(piece) = pieces.iter_mut().find(|it| alike(it.laid(), laid)) {
            piece.copies.push(laid);
            continue;
        }
        let known = before.iter().find(|it| alike(it.laid(), laid));
        let letter = known.map_or_else(|| letter(used), |it| it.letter.clone());
        used += usize::from(known.is_none());
        pieces.push(Piece {
            letter,
            copies: vec![laid],
        });
    }
    pieces
}

/// `A` to `Z`, then `A2` ...
fn letter(n: usize) -> String {
    let first = char::from(b'A' + (n % 26) as u8);
    match n / 26 {
        0 => first.to_string(),
        more => format!("{first}{}", more + 1),
    }
}

/// The kind of leaf that a frame is; `None` for a frame of the album.
pub(crate) fn leaf_of<'a>(plan: &'a Plan, frame: &FramePlan) -> Option<&'a LeafPlan> {
    plan.leaves.get(frame.leaf?)
}

/// What a frame is called: as its leaf, or by its title.
pub(crate) fn name_of(plan: &Plan, frame: &FramePlan) -> String {
    match leaf_of(plan, frame) {
        Some(leaf) => leaf.name.clone(),
        None => frame.titles[0].clone(),
    }
}

/// What is above on most of an album.
pub(crate) fn upper(plan: &Plan) -> &str {
    let leaf = plan.frames.iter().find(|frame| frame.leaf.is_some());
    let frame = leaf.or(plan.frames.first());
    frame.map_or("head", |frame| short_edge(frame, Edge::High))
}

/// Its sides change places in the album.
pub(crate) fn turned(plan: &Plan, frame: &FramePlan) -> bool {
    leaf_of(plan, frame).is_some_and(|leaf| leaf.turned)
}

/// Width and height of a frame as they are drawn.
pub(crate) fn extent(frame: &FramePlan) -> (i64, i64) {
    (drawn(frame.width), drawn(frame.height))
}

/// A frame by itself.
pub(crate) fn whole(frame: &FramePlan) -> Area {
    let (right, high) = extent(frame);
    Area {
        left: 0,
        right,
        low: 0,
        high,
    }
}

/// It covers all of its frame.
fn is_whole(frame: &FramePlan, area: Area) -> bool {
    let (width, height) = extent(frame);
    area.left <= 0 && area.low <= 0 && area.right >= width && area.high >= height
}

/// Papers and plies of one side, from the nearest to the first ply that covers everything; no ply that lies
/// whole behind a nearer one.
fn near(frame: &FramePlan, back: bool) -> Vec<&Laid> {
    let mut all: Vec<&Laid> = frame.parts.iter().collect();
    if back {
        all.reverse();
    }
    let mut near = Vec::new();
    for laid in all {
        match laid.what {
            What::Paper(_) if laid.back == back => near.push(laid),
            // Nothing is put into it by the album, and no wall of a bag shows where it is.
            What::Slot(_) if laid.back == back && frame.leaf.is_none() => near.push(laid),
            // Of no layer: a cut in the one before it, where that is glued again.
            What::Ply(0) if laid.glued.is_empty() => {}
            What::Ply(1..) if near.iter().any(|it| is_behind(laid, it)) => {}
            What::Ply(_) => {
                near.push(laid);
                if is_whole(frame, laid.area) {
                    break;
                }
            }
            _ => {}
        }
    }
    near
}

/// Whether a ply lies whole behind another.
fn is_behind(laid: &Laid, nearer: &Laid) -> bool {
    let (it, by) = (laid.area, nearer.area);
    let inside =
        by.left <= it.left && it.right <= by.right && by.low <= it.low && it.high <= by.high;
    matches!(nearer.what, What::Ply(1..)) && inside
}

/// Plies of one side, from the nearest to the first that covers everything; and room for things in a part of the
/// album.
pub(crate) fn near_plies(frame: &FramePlan, back: bool) -> Vec<&Laid> {
    let ply = |laid: &&Laid| matches!(laid.what, What::Ply(_) | What::Slot(_));
    near(frame, back).into_iter().filter(ply).collect()
}

/// What is seen on the ply that covers everything, from the deepest to the nearest.
pub(crate) fn seen(frame: &FramePlan, back: bool) -> Vec<&Laid> {
    let mut seen = near(frame, back);
    seen.retain(|laid| !matches!(laid.what, What::Ply(_)) || !is_whole(frame, laid.area));
    seen.reverse();
    seen
}

/// What stands out of a frame of the inserts of its other side: it is seen from this one, too.
pub(crate) fn beyond(frame: &FramePlan, back: bool) -> Vec<Area> {
    let (width, height) = extent(frame);
    let inserts = frame.pieces(!back);
    let inserts = inserts.filter(|laid| matches!(laid.what, What::Insert(..)));
    let out = inserts.flat_map(|laid| {
        let all = laid.area;
        let (low, high) = (all.low.max(height), all.high.min(0));
        let (left, right) = (all.left.max(width), all.right.min(0));
        [
            Area { low, ..all },
            Area { high, ..all },
            Area { left, ..all },
            Area { right, ..all },
        ]
    });
    out.filter(|it| it.left < it.right && it.low < it.high)
        .collect()
}

/// An edge of a ply that is seen inside its frame, from end to end: across and up.
pub(crate) fn ply_edges(frame: &FramePlan, laid: &Laid) -> Vec<[(i64, i64); 2]> {
    let (width, height) = extent(frame);
    let Area {
        left,
        right,
        low,
        high,
    } = laid.area;
    let level = [low, high].into_iter().filter(|y| 0 < *y && *y < height);
    let upright = [left, right].into_iter().filter(|x| 0 < *x && *x < width);
    let level = level.map(|y| [(left, y), (right, y)]);
    level
        .chain(upright.map(|x| [(x, low), (x, high)]))
        .collect()
}

/// A hole in a frame, and how far its centre is from the left edge.
#[derive(Clone, Copy)]
pub(crate) struct Hole<'a> {
    pub mark: &'a Marked,
    pub across: Interval,
}

/// Holes of a frame, each with the height of its centre and its diameter.
pub(crate) fn holes(frame: &FramePlan) -> impl Iterator<Item = (Hole<'_>, Interval, Interval)> {
    let marks = frame.marks.iter();
    marks.filter_map(|mark| {
        let across = mark.across?;
        Some((Hole { mark, across }, mark.up?, mark.diameter?))
    })
}

/// A fold of a frame (nanometres).
#[derive(Clone, Copy, PartialEq)]
pub(crate) enum Fold {
    /// From its low to its high edge, so far from the left.
    Upright(i64),
    /// From its left to its right edge, so far above the low one.
    Level(i64),
}

impl Fold {
    fn of(mark: &Marked) -> Option<Fold> {
        match (mark.across, mark.up) {
            (Some(across), None) => Some(Fold::Upright(drawn(across))),
            (None, Some(up)) => Some(Fold::Level(drawn(up))),
            _ => None,
        }
    }

    /// What its style calls it, one and several.
    pub fn titles(self, frame: &FramePlan) -> [&str; 2] {
        let mut marks = frame.marks.iter();
        let mark = marks.find(|mark| Fold::of(mark) == Some(self));
        mark.map_or(["fold", "folds"], |it| [&it.titles[0], &it.titles[1]])
    }

    /// Its ends: across and up.
    pub fn ends(self, frame: &FramePlan) -> [(i64, i64); 2] {
        let (width, height) = extent(frame);
        match self {
            Fold::Upright(across) => [(across, 0), (across, height)],
            Fold::Level(up) => [(0, up), (width, up)],
        }
    }

    /// The stretches of it that have paper at both of its sides: across and up of their ends.
    pub fn runs(self, frame: &FramePlan) -> Vec<[(i64, i64); 2]> {
        if frame.outline.is_empty() {
            return vec![self.ends(frame)];
        }
        // As if it were upright.
        let (at, level) = match self {
            Fold::Upright(at) => (at, false),
            Fold::Level(at) => (at, true),
        };
        let flip = |(x, y): (i64, i64)| if level { (y, x) } else { (x, y) };
        let corners: Vec<_> = frame.outline.iter().map(|it| flip(*it)).collect();
        let [beside, other] = [at - 1, at + 1].map(|at| within(&corners, at));
        let both = beside.iter().flat_map(|a| {
            let both = other.iter().map(|b| (a.0.max(b.0), a.1.min(b.1)));
            both.filter(|(low, high)| low < high)
        });
        both.map(|(low, high)| [flip((at, low)), flip((at, high))])
            .collect()
    }
}

/// From where to where an upright line lies between these corners.
fn within(corners: &[(i64, i64)], at: i64) -> Vec<(i64, i64)> {
    let next = corners.iter().cycle().skip(1);
    let crossed = corners.iter().zip(next).filter_map(|(a, b)| {
        let (from, to) = if a.0 < b.0 { (a, b) } else { (b, a) };
        let share = i128::from(at - from.0) * i128::from(to.1 - from.1);
        let over = i128::from(to.0 - from.0);
        (from.0 < at && at <= to.0)
            .then(|| from.1 + i64::try_from(share / over).unwrap_or_default())
    });
    let ends: Vec<i64> = crossed.sorted().collect();
    ends.chunks_exact(2).map(|it| (it[0], it[1])).collect()
}

/// Where a frame is folded.
pub(crate) fn folds(frame: &FramePlan) -> Vec<Fold> {
    let mut all: Vec<Fold> = frame.marks.iter().filter_map(Fold::of).collect();
    let middle = fold_in_the_middle(frame);
    if frame.bound == Bound::Fold && !all.contains(&middle) {
        all.push(middle);
    }
    all
}

/// The fold of a frame that is bound along its middle.
pub(crate) fn fold_in_the_middle(frame: &FramePlan) -> Fold {
    let middle = drawn(frame.width) / 2;
    let there = |fold: &Fold| matches!(fold, Fold::Upright(at) if (at - middle).abs() <= 2);
    let mut marked = frame.marks.iter().filter_map(Fold::of);
    marked.find(there).unwrap_or(Fold::Upright(middle))
}

/// Names like `hole 1`, numbered by kind.
pub(crate) fn numbered(frame: &FramePlan, of: &Marked) -> usize {
    let alike = frame.marks.iter().filter(|mark| mark.name == of.name);
    let before = alike.take_while(|mark| !std::ptr::eq(*mark, of));
    before.count() + 1
}

/// An edge in a sentence: `spine edge`, of several words for it the first.
pub(crate) fn edge(frame: &FramePlan, edge: Edge) -> &str {
    let words = &frame.edges[edge as usize];
    words.split(',').next().unwrap_or(words)
}

/// The same without the fold that it is: `tail`.
pub(crate) fn short_edge(frame: &FramePlan, of: Edge) -> &str {
    let words = edge(frame, of);
    words.strip_suffix(" fold").unwrap_or(words)
}

/// What opens there: of several words for an edge the last, `mouth`.
pub(crate) fn opening(frame: &FramePlan, edge: Edge) -> &str {
    let words = &frame.edges[edge as usize];
    words.rsplit(", ").next().unwrap_or(words)
}

/// Where an edge is in a drawing.
pub(crate) fn direction(edge: Edge) -> &'static str {
    match edge {
        Edge::Left => "left",
        Edge::Right => "right",
        Edge::Low => "lower",
        Edge::High => "upper",
    }
}

/// How an insert is taken hold of.
pub(crate) fn grip_of(plan: &Plan, frame: &FramePlan, laid: &Laid) -> Option<Grip> {
    let What::Insert(n, _) = laid.what else {
        return None;
    };
    Some(plan.leaves.get(frame.leaf?)?.inserts.get(n)?.grip)
}
