//! The map of the album: what faces what at each opening, small, its papers in their looks.

use super::figure::{Projection, painted};
use super::list::{Line, Page, at};
use super::paper::MM;
use super::pieces::{drawn, extent, holes};
use super::strips::column;
use crate::length::Length;
use crate::plan::Plan;
use crate::plan::frames::{Bound, Edge, FramePlan};
use crate::report::handout::openings::{Opening, Side, designs, on_page, openings, short};
use crate::report::handout::{Block, openings::named};

/// Height of the highest leaf, room for a leaf's width, and the rings between two leaves.
const HIGH: i64 = 32 * MM;
const WIDE: i64 = 17 * MM;
const RINGS: i64 = 4 * MM;
/// A picture with its words.
const CELL: i64 = 2 * WIDE + RINGS + 2 * MM;

/// A picture of each opening, or of several alike.
pub fn cells(plan: &Plan) -> Vec<Page> {
    openings(plan).iter().map(|it| cell(plan, it)).collect()
}

fn cell(plan: &Plan, opening: &Opening) -> Page {
    let told = [(false, opening.left), (true, opening.right)];
    let told = told.into_iter().filter_map(|(r, side)| Some((r, side?)));
    let about: Vec<String> = told.clone().map(|(_, side)| on_page(plan, side)).collect();
    let title = named(plan, opening);
    let mut page = Page::figure(&title, &format!("{title}. {}", about.join(" ")));
    picture(&mut page, plan, opening);
    let mut page = page.trimmed(0);
    // The picture in the middle of its cell, the words below.
    let mut cell = Page::figure(&page.title, &page.about);
    let spare = (CELL - page.width.nm()).max(0) / 2;
    page.tagged.clear();
    cell.put(&page, spare, 0);
    let words = told.flat_map(|(right, side)| {
        std::iter::once(short(plan, side)).chain(designs(plan, opening, right))
    });
    let words = words.map(Block::Small);
    let blocks: Vec<Block> = std::iter::once(Block::Label(title)).chain(words).collect();
    let set = column(&blocks, CELL);
    let top = page.height.nm() + MM;
    cell.put(&set, 0, top);
    cell.width = Length::from_nm(CELL);
    cell.height = Length::from_nm(top + set.height.nm());
    cell
}

fn picture(page: &mut Page, plan: &Plan, opening: &Opening) {
    let frames = plan.frames.iter().filter(|frame| frame.leaf.is_some());
    let high = |frame: &FramePlan| extent(frame).1 + frame.out[3].nm().max(0);
    let widest = frames
        .clone()
        .map(|frame| extent(frame).0)
        .max()
        .unwrap_or(MM);
    let highest = frames.map(high).max().unwrap_or(MM);
    // The same scale for all leaves: that at which the largest still has room.
    let scale =
        match i128::from(HIGH) * i128::from(widest) <= i128::from(WIDE) * i128::from(highest) {
            true => (HIGH, highest.max(1)),
            false => (WIDE, widest.max(1)),
        };
    let of = |side: Option<Side>| {
        let side = side?;
        let mut frames = plan.frames.iter();
        let frame = frames.find(|frame| frame.leaf == Some(side.leaf))?;
        Some((side, frame))
    };
    // What is bound at its right edge is read from right to left.
    let first = of(opening.right).or(of(opening.left));
    let backwards = first.is_some_and(|(_, frame)| frame.bound == Bound::At(Edge::Right));
    let [left, right] = match backwards {
        false => [opening.left, opening.right],
        true => [opening.right, opening.left],
    };
    for (at_left, side) in [(true, left), (false, right)] {
        if let Some((side, frame)) = of(side) {
            let on = beside(plan, side, frame, at_left, scale);
            painted(page, plan, frame, &on, !side.pocket);
        }
    }
    if let Some((side, frame)) = first {
        let on = beside(plan, side, frame, false, scale);
        rings(page, frame, &on, [left.is_some(), right.is_some()]);
    }
}

/// A side at the left or right of the middle.
fn beside(
    plan: &Plan,
    side: Side,
    frame: &FramePlan,
    at_left: bool,
    scale: (i64, i64),
) -> Projection {
    let other = side.pocket == plan.leaves[side.leaf].turned;
    let mut on = Projection {
        scale,
        ..Projection::of(frame.bound, other)
    };
    let (width, height) = extent(frame);
    on.zero = match (at_left, on.mirrored) {
        (true, true) => -RINGS / 2,
        (true, false) => -RINGS / 2 - on.scaled(width),
        (false, true) => RINGS / 2 + on.scaled(width),
        (false, false) => RINGS / 2,
    };
    on.base = match on.upside_down {
        false => 0,
        true => -on.scaled(height),
    };
    on
}

/// What goes through the holes, from one side to the other.
fn rings(page: &mut Page, frame: &FramePlan, on: &Projection, sides: [bool; 2]) {
    let from_edge: fn(i64, i64) -> i64 = match frame.bound {
        Bound::At(Edge::Left) => |_, across| across,
        Bound::At(Edge::Right) => |width, across| width - across,
        _ => return,
    };
    for (mark, up, _) in holes(frame) {
        let y = on.y(drawn(up));
        let across = from_edge(extent(frame).0, drawn(mark.across));
        let reach = RINGS / 2 + on.scaled(across).max(MM / 2);
        let from = if sides[0] { -reach } else { 0 };
        let to = if sides[1] { reach } else { 0 };
        page.line(at(from, y), at(to, y), Line::Edge);
    }
}
