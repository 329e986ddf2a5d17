//! The map of the album: what faces what at each opening, small, with words beside it.

use super::flow::column;
use super::font::{self, Face};
use super::list::{Area, Ink, Line, Page, Stroke, Text, at};
use super::paper::{MM, Paper, said};
use super::place::drawn;
use super::view::{self, Frame};
use crate::length::Length;
use crate::plan::Plan;
use crate::report::handout::openings::{INTRODUCTION, Opening, Side, TITLE, named, openings, seen};
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
            let mut page = paper.page(&title, INTRODUCTION);
            y = body.top;
            if pages.is_empty() {
                y = column(&mut page, body, y, "", &[INTRODUCTION.to_owned()]) + MM;
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
    let highest = plan.leaves.iter().map(|l| drawn(l.height)).max();
    let widest = plan.leaves.iter().map(|l| drawn(l.width)).max();
    let (highest, widest) = (highest.unwrap_or(MM), widest.unwrap_or(MM));
    // The same scale for all leaves: that at which the largest still has room.
    let scale =
        match i128::from(HIGH) * i128::from(widest) <= i128::from(WIDE) * i128::from(highest) {
            true => (HIGH, highest.max(1)),
            false => (WIDE, widest.max(1)),
        };
    let frame = |left: bool| Frame {
        scale,
        spine: middle + if left { RINGS / 2 } else { -RINGS / 2 },
        tail,
        left,
    };
    let both = opening.left.is_some() && opening.right.is_some();
    for (side, frame) in [(opening.left, frame(false)), (opening.right, frame(true))] {
        let Some(side) = side else { continue };
        leaf(page, plan, side, &frame);
    }
    for height in &plan.holes.heights {
        let f = frame(true);
        let y = f.y(drawn(*height));
        let reach = f.scaled(drawn(plan.holes.edge)).max(MM / 2);
        let (from, to) = match both {
            true => (middle - RINGS / 2 - reach, middle + RINGS / 2 + reach),
            false if opening.left.is_some() => (middle - RINGS / 2 - reach, middle),
            false => (middle, middle + RINGS / 2 + reach),
        };
        page.line(at(from, y), at(to, y), Line::Edge);
    }
    let gap = RINGS / 2 + WIDE + 4 * MM;
    let left = Area {
        left: body.left,
        right: middle - gap,
        top: top + 8 * MM,
        bottom: tail,
    };
    let right = Area {
        left: middle + gap,
        right: body.right,
        ..left
    };
    for (side, area) in [(opening.left, left), (opening.right, right)] {
        let Some(side) = side else { continue };
        let told = typographic(&seen(&plan.leaves[side.leaf], side.pocket));
        words(page, &told, area);
    }
}

fn leaf(page: &mut Page, plan: &Plan, side: Side, frame: &Frame) {
    let leaf = &plan.leaves[side.leaf];
    let pieces = view::lettered(plan, leaf, side.pocket);
    // What shows above a neighbour's head is cut off by nothing: there is room above.
    view::figure(page, leaf, frame, side.pocket, "", &pieces);
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
