//! The map of the album: what faces what at each opening, small, with words beside it.

use super::figure::{Projection, figure};
use super::flow::column;
use super::font::{self, Face};
use super::list::{Area, Ink, Line, Page, Stroke, Text, at};
use super::paper::{MM, Paper, said};
use super::pieces::{drawn, extent, holes, lettered};
use crate::length::Length;
use crate::plan::Plan;
use crate::plan::frames::{Bound, Edge, FramePlan};
use crate::report::handout::openings::{
    Opening, Side, TITLE, introduction, named, on_page, openings,
};
use crate::report::handout::said::typographic;

/// Height of the highest leaf, room for a leaf's width, and the rings between two leaves.
const HIGH: i64 = 38 * MM;
const WIDE: i64 = 30 * MM;
const RINGS: i64 = 6 * MM;
/// From one opening to the next.
const ROW: i64 = 52 * MM;

/// All pages of the map.
pub fn pages(paper: Paper, plan: &Plan) -> Vec<Page> {
    let body = paper.body();
    let mut pages: Vec<Page> = Vec::new();
    let mut y = body.bottom;
    for opening in openings(plan) {
        if y + ROW > body.bottom {
            let title = match pages.is_empty() {
                true => TITLE.to_owned(),
                false => format!("{TITLE}, continued"),
            };
            let mut page = paper.page(&title, &introduction(plan));
            y = body.top;
            if pages.is_empty() {
                y = column(&mut page, body, y, "", &[introduction(plan)]) + MM;
            }
            pages.push(page);
        }
        if let Some(page) = pages.last_mut() {
            row(page, plan, &opening, body, y);
        }
        y += ROW;
    }
    pages
}

fn row(page: &mut Page, plan: &Plan, opening: &Opening, body: Area, top: i64) {
    let light = Stroke {
        line: Line::Thin,
        ink: Ink::Light,
    };
    page.line(at(body.left, top), at(body.right, top), light);
    page.text(Text {
        face: Face::Bold,
        ..said(body.left, top + 5 * MM, &named(opening), 3_600_000)
    });
    let tail = top + 8 * MM + HIGH;
    let middle = body.left.midpoint(body.right);
    let frames = plan.frames.iter().filter(|frame| frame.leaf.is_some());
    let sides: Vec<(i64, i64)> = frames.map(extent).collect();
    let widest = sides.iter().map(|side| side.0).max().unwrap_or(MM);
    let highest = sides.iter().map(|side| side.1).max().unwrap_or(MM);
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
            let on = beside(plan, side, frame, at_left, (scale, middle, tail));
            // What shows above a neighbour's head is cut off by nothing: there is room above.
            let pieces = lettered(frame, !side.pocket);
            figure(page, frame, &on, !side.pocket, "", &pieces);
        }
    }
    if let Some((side, frame)) = first {
        rings(
            page,
            frame,
            &beside(plan, side, frame, false, (scale, middle, tail)),
            middle,
            [left.is_some(), right.is_some()],
        );
    }
    let gap = RINGS / 2 + WIDE + 4 * MM;
    let words_left = Area {
        left: body.left,
        right: middle - gap,
        top: top + 8 * MM,
        bottom: tail,
    };
    let words_right = Area {
        left: middle + gap,
        right: body.right,
        ..words_left
    };
    for (side, area) in [(left, words_left), (right, words_right)] {
        let Some(side) = side else { continue };
        let told = typographic(&on_page(plan, side));
        words(page, &told, area);
    }
}

/// A side at the left or right of the middle.
fn beside(
    plan: &Plan,
    side: Side,
    frame: &FramePlan,
    at_left: bool,
    (scale, middle, tail): ((i64, i64), i64, i64),
) -> Projection {
    let other = side.pocket == plan.leaves[side.leaf].turned;
    let mut on = Projection {
        scale,
        ..Projection::of(frame.bound, other)
    };
    let (width, height) = extent(frame);
    on.zero = match (at_left, on.mirrored) {
        (true, true) => middle - RINGS / 2,
        (true, false) => middle - RINGS / 2 - on.scaled(width),
        (false, true) => middle + RINGS / 2 + on.scaled(width),
        (false, false) => middle + RINGS / 2,
    };
    on.base = match on.upside_down {
        false => tail,
        true => tail - on.scaled(height),
    };
    on
}

/// What goes through the holes, from one side to the other.
fn rings(page: &mut Page, frame: &FramePlan, on: &Projection, middle: i64, sides: [bool; 2]) {
    let from_edge: fn(i64, i64) -> i64 = match frame.bound {
        Bound::At(Edge::Left) => |_, across| across,
        Bound::At(Edge::Right) => |width, across| width - across,
        _ => return,
    };
    for (mark, up, _) in holes(frame) {
        let y = on.y(drawn(up));
        let across = from_edge(extent(frame).0, drawn(mark.across));
        let reach = RINGS / 2 + on.scaled(across).max(MM / 2);
        let from = if sides[0] { middle - reach } else { middle };
        let to = if sides[1] { middle + reach } else { middle };
        page.line(at(from, y), at(to, y), Line::Edge);
    }
}

/// Small words in a narrow column; what does not fit ends in dots.
fn words(page: &mut Page, told: &str, area: Area) {
    let size = 3 * MM;
    let line = 4 * MM;
    let fits = (area.height() / line).max(1) as usize;
    let told = font::drawable(told);
    let all = font::lines(
        Face::Regular,
        Length::from_nm(size),
        &told,
        area.width() - 4 * MM,
    );
    let more = all.len() > fits;
    for (n, words) in all.iter().take(fits).enumerate() {
        let words = match more && n + 1 == fits {
            true => format!("{words} ..."),
            false => words.clone(),
        };
        let y = area.top + line * (n as i64 + 1);
        page.text(said(area.left, y, &words, size));
    }
}
