//! Where everything lies on a leaf: as facts, across from the spine edge and up from the tail.

use crate::album::Where;
use crate::length::Interval;
use crate::plan::leaf::PartPlan;
use crate::plan::{InsertPlan, LeafPlan, Plan};
use crate::report::handout::stops;

/// A piece on a side of a leaf (nanometres).
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Placed {
    /// `front_mat`, `photo_mat`: as the plan names it.
    pub name: String,
    /// Width and height as they are told.
    pub width: Interval,
    pub height: Interval,
    /// Its left end from the spine edge, its lower end above the tail.
    pub left: i64,
    pub low: i64,
    pub wide: i64,
    pub high: i64,
    /// Left and lower ends of its other copies, where each has a place of its own.
    pub copies: Vec<(i64, i64)>,
    /// Heights between which it is hidden behind something.
    pub hidden: Vec<(i64, i64)>,
    /// It lies on the side with the pocket.
    pub pocket: bool,
    pub what: What,
}

/// What a piece is, by its place in the leaf's lists.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum What {
    Part(usize),
    Insert(usize),
    /// What a card under the band stands on: no piece of the album's.
    Stop,
}

impl Placed {
    /// Left and lower ends of all its copies, this one first.
    pub fn places(&self) -> impl Iterator<Item = (i64, i64)> {
        std::iter::once((self.left, self.low)).chain(self.copies.iter().copied())
    }
}

/// Lower than any leaf.
const BELOW: i64 = -1_000_000_000_000;

/// What is drawn of a length that is only known between two ends.
pub fn drawn(value: Interval) -> i64 {
    value.middle().nm()
}

/// Every mat and insert of a leaf whose place is known; parts of a maker's own style are not.
pub fn pieces(plan: &Plan, leaf: &LeafPlan) -> Vec<Placed> {
    let parts = leaf.parts.iter().enumerate();
    let parts = parts.filter_map(|(n, part)| mat(plan, leaf, n, part));
    let inserts = leaf.inserts.iter().enumerate();
    let inserts = inserts.map(|(n, insert)| tucked(plan, leaf, n, insert));
    parts.chain(stop(plan, leaf)).chain(inserts).collect()
}

fn quantity(plan: &Plan, name: &str) -> i64 {
    plan.quantities.get(name).map_or(0, |value| drawn(*value))
}

fn mat(plan: &Plan, leaf: &LeafPlan, n: usize, part: &PartPlan) -> Option<Placed> {
    let (width, height) = (drawn(leaf.width), drawn(leaf.height));
    let (wide, high) = (drawn(part.width.value), drawn(part.height.value));
    let edge = leaf.pocket_edge.map(drawn);
    let (low, hidden, pocket) = match (part.label.as_str(), edge) {
        ("front_mat", Some(edge)) => {
            let low = height - quantity(plan, "head_reveal") - high;
            (low, vec![(low.min(edge), edge)], true)
        }
        ("front_mat", None) => ((height - high) / 2, Vec::new(), true),
        ("pocket_mat" | "band", Some(edge)) => ((edge - high) / 2, Vec::new(), true),
        ("back_mat", _) => ((height - high) / 2, Vec::new(), false),
        _ => return None,
    };
    Some(Placed {
        name: part.label.clone(),
        width: part.width.value,
        height: part.height.value,
        left: (width - wide) / 2,
        low,
        wide,
        high,
        copies: Vec::new(),
        hidden,
        pocket,
        what: What::Part(n),
    })
}

/// As far from the spine edge as the holes want it.
fn clear(plan: &Plan) -> i64 {
    drawn(plan.holes.edge) + drawn(plan.holes.rim) + quantity(plan, "hole_clear")
}

fn part(plan: &Plan, leaf: &LeafPlan, label: &str) -> Option<Placed> {
    let mut parts = leaf.parts.iter().enumerate();
    let (n, part) = parts.find(|(_, part)| part.label == label)?;
    mat(plan, leaf, n, part)
}

/// From where to where a card under the band goes: right of the holes, and between the glued ends.
fn under_band(plan: &Plan, leaf: &LeafPlan) -> (i64, i64) {
    let (clear, glue) = (clear(plan), quantity(plan, "band_glue"));
    match part(plan, leaf, "band") {
        Some(band) => (clear.max(band.left + glue), band.left + band.wide - glue),
        None => (clear, drawn(leaf.width)),
    }
}

/// As far to the left as to the right between what holds it.
fn between((from, to): (i64, i64), wide: i64) -> i64 {
    from + ((to - from) - wide) / 2
}

/// What a card under the band stands on.
fn stop(plan: &Plan, leaf: &LeafPlan) -> Option<Placed> {
    let (width, height) = stops::stop(plan, leaf)?;
    let wide = drawn(width);
    Some(Placed {
        name: stops::NAME.to_owned(),
        width,
        height,
        left: between(under_band(plan, leaf), wide),
        low: 0,
        wide,
        high: drawn(height),
        copies: Vec::new(),
        hidden: Vec::new(),
        pocket: true,
        what: What::Stop,
    })
}

fn tucked(plan: &Plan, leaf: &LeafPlan, n: usize, insert: &InsertPlan) -> Placed {
    let (width, height) = (drawn(leaf.width), drawn(leaf.height));
    let (wide, high) = (drawn(insert.width.value), drawn(insert.height.value));
    let shows = insert.shows.map_or(0, |(a, b)| a.midpoint(b));
    let edge = leaf.pocket_edge.map_or(0, drawn);
    let clear = clear(plan);
    let (room, low, hidden) = match insert.goes {
        Where::Mouth => {
            let to = width - quantity(plan, "ease");
            ((clear, to), height + shows - high, vec![(BELOW, height)])
        }
        Where::Pocket => {
            let side = quantity(plan, "glue_seam") + quantity(plan, "ease");
            let room = (clear.max(side), width - side);
            (room, edge + shows - high, vec![(BELOW, edge)])
        }
        Where::Band => {
            let before = [part(plan, leaf, "band"), stop(plan, leaf)];
            let hidden = before.into_iter().flatten();
            let hidden = hidden.map(|b| (b.low, b.low + b.high)).collect();
            (under_band(plan, leaf), height + shows - high, hidden)
        }
        Where::Back => ((clear, width), 0, Vec::new()),
    };
    let mut places = match insert.goes {
        Where::Back => glued(plan, leaf, n),
        _ => vec![(between(room, wide), low)],
    }
    .into_iter();
    let (left, low) = places.next().unwrap_or((between(room, wide), low));
    Placed {
        name: insert.name.clone(),
        width: insert.width.value,
        height: insert.height.value,
        left,
        low,
        wide,
        high,
        copies: places.collect(),
        hidden,
        pocket: insert.goes != Where::Back,
        what: What::Insert(n),
    }
}

/// More pieces on one back are not drawn.
const MOST_GLUED: usize = 24;

/// Where each piece of an insert that is glued on a back lies. All that is glued there lies one above
/// the other, the first at the head; or side by side where only that has room.
fn glued(plan: &Plan, leaf: &LeafPlan, n: usize) -> Vec<(i64, i64)> {
    let here = leaf.inserts.iter().enumerate();
    let here = here.filter(|(_, insert)| insert.goes == Where::Back);
    let pieces = here.flat_map(|(n, insert)| {
        let count = usize::try_from(insert.count).unwrap_or(1);
        let sides = (drawn(insert.width.value), drawn(insert.height.value));
        std::iter::repeat_n((n, sides), count.min(MOST_GLUED))
    });
    let pieces: Vec<(usize, (i64, i64))> = pieces.take(MOST_GLUED).collect();
    let (width, height) = (drawn(leaf.width), drawn(leaf.height));
    let reveal = quantity(plan, "back_reveal");
    let side = quantity(plan, "side_reveal");
    let (left, right, low, high) = match part(plan, leaf, "back_mat") {
        Some(mat) => (mat.left, mat.left + mat.wide, mat.low, mat.low + mat.high),
        None => (0, width - side, reveal, height - reveal),
    };
    let (left, gap) = (left.max(clear(plan)), quantity(plan, "glued_gap"));
    let wide: Vec<i64> = pieces.iter().map(|(_, sides)| sides.0).collect();
    let tall: Vec<i64> = pieces.iter().map(|(_, sides)| sides.1).collect();
    let takes = |sides: &[i64]| sides.iter().sum::<i64>() + gap * (sides.len() as i64 - 1);
    let in_a_row = takes(&tall) > high - low && takes(&wide) <= right - left;
    let along = match in_a_row {
        true => spread((left, right), gap, &wide),
        // From the head down.
        false => spread((-high, -low), gap, &tall),
    };
    let place = |((of, sides), at): (&(usize, (i64, i64)), i64)| {
        let place = match in_a_row {
            true => (at, between((low, high), sides.1)),
            false => (between((left, right), sides.0), -at - sides.1),
        };
        (*of == n).then_some(place)
    };
    pieces.iter().zip(along).filter_map(place).collect()
}

/// Where each of some lengths begins: evenly apart in the room that they have, and from each other by
/// a gap at least; where they have too little, over each other from one end of it to the other.
fn spread((from, to): (i64, i64), gap: i64, lengths: &[i64]) -> Vec<i64> {
    let more = lengths.len() as i64 - 1;
    let spare = to - from - lengths.iter().sum::<i64>();
    if spare < gap * more {
        let places = lengths.iter().zip(0..);
        let place = |(length, n): (&i64, i64)| from + (to - from - length) * n / more.max(1);
        return places.map(place).collect();
    }
    let apart = gap.max(spare / (more + 2));
    let mut at = from + (spare - apart * more) / 2;
    let begin = |length: &i64| {
        let here = at;
        at += length + apart;
        here
    };
    lengths.iter().map(begin).collect()
}
