//! The album as it lies closed; of what is not bound one of each, side by side.

use super::figure::{Projection, painted};
use super::list::{Line, Page, at};
use super::paper::{MM, SMALLEST, said};
use super::pieces::{drawn, extent, holes, name_of, turned};
use super::{font, ruler};
use crate::length::{Interval, Length};
use crate::plan::Plan;
use crate::plan::frames::{Bound, Edge, FramePlan};
use crate::report::handout::said as words;
use crate::report::place;

/// No more leaves of one kind are drawn behind each other, nor of all kinds together.
const ALIKE: i64 = 4;
const MOST: usize = 9;
/// By how much a leaf is seen beside the one before it.
const BESIDE: i64 = 700_000;

/// What lies on each other, from the front: a part of the album that is bound as leaves are, then the
/// leaves. What is folded shows its front half.
fn stacked(plan: &Plan) -> Vec<FramePlan> {
    let outside = |frame: &&FramePlan| frame.leaf.is_none() && frame.bound != Bound::No;
    let leaves = plan.frames.iter().filter(|frame| frame.leaf.is_some());
    let leaves = leaves.flat_map(|frame| {
        let leaf = frame.leaf.and_then(|leaf| plan.leaves.get(leaf));
        let count = leaf.map_or(1, |leaf| leaf.count).clamp(0, ALIKE);
        (0..count).map(move |_| frame)
    });
    let all = plan.frames.iter().find(outside).into_iter().chain(leaves);
    all.take(MOST).map(folded).collect()
}

/// As it lies closed: of what is folded its front half, bound at its left edge; edges of the album's own
/// papers are turned in.
fn folded(frame: &FramePlan) -> FramePlan {
    let mut half = frame.clone();
    if frame.leaf.is_none() {
        let (width, height) = extent(frame);
        for laid in &mut half.parts {
            let area = &mut laid.area;
            (area.left, area.low) = (area.left.max(0), area.low.max(0));
            (area.right, area.high) = (area.right.min(width), area.high.min(height));
            laid.outline.clear();
        }
        half.out = [Length::ZERO; 4];
    }
    if frame.bound != Bound::Fold {
        return half;
    }
    let fold = drawn(frame.width) / 2;
    half.bound = Bound::At(Edge::Left);
    half.width = Interval::exact(Length::from_nm(fold));
    half.marks.clear();
    half.out[0] = Length::ZERO;
    for laid in &mut half.parts {
        laid.area.left = (laid.area.left - fold).max(0);
        laid.area.right -= fold;
    }
    half.parts.retain(|laid| laid.area.right > 0);
    half
}

/// How wide and how high it is drawn, with what stands out of it at the right and at the top.
fn reach(plan: &Plan, frame: &FramePlan) -> (i64, i64) {
    let (wide, high) = extent(frame);
    let leaf = frame.leaf.and_then(|leaf| plan.leaves.get(leaf));
    let tucked = leaf.map_or([Length::ZERO; 4], |leaf| frame.stands_out(leaf));
    let out = |edge: usize| frame.out[edge].max(tucked[edge]).nm().max(0);
    // What is seen from its back, or bound at its right, stands out to the left.
    let right = frame.bound != Bound::At(Edge::Right) && !turned(plan, frame);
    (wide + if right { out(1) } else { 0 }, high + out(3))
}

/// The album closed, seen from its front; no higher and no wider than so much (nanometres), with its
/// size where it is asked for.
pub fn closed(plan: &Plan, wide: i64, high: i64, measured: bool) -> Page {
    if !place::opens(plan) {
        return apart(plan, wide, high, measured);
    }
    let stacked = stacked(plan);
    let mut page = Page::figure("The finished album", &about(plan));
    // How far one lies below another: their holes are at one height, else their low edges.
    let lowest = |frame: &FramePlan| holes(frame).map(|(_, up, _)| drawn(up)).min();
    let least = stacked.iter().filter_map(lowest).min().unwrap_or(0);
    let below = |frame: &FramePlan| lowest(frame).map_or(0, |up| up - least);
    let most = |side: &dyn Fn(&FramePlan) -> i64| {
        let all = stacked.iter().map(side);
        all.max().unwrap_or(1).max(1)
    };
    let tall = |frame: &FramePlan| reach(plan, frame).1;
    let (deep, broad) = (most(&below), most(&|frame| reach(plan, frame).0));
    let whole = deep + most(&|frame| tall(frame) - below(frame));
    let room = wide - 14 * MM;
    let scale = match i128::from(high) * i128::from(broad) <= i128::from(room) * i128::from(whole) {
        true => (high, whole),
        false => (room, broad),
    };
    let (mut left, mut right, mut top, mut bottom) = (0, 0, 0, 0);
    for (n, frame) in stacked.iter().enumerate().rev() {
        let mut on = Projection {
            scale,
            ..Projection::of(frame.bound, false)
        };
        on.base = on.scaled(below(frame));
        // What is bound at its right edge lies to the left behind the first.
        let behind = BESIDE * n as i64;
        on.zero = match frame.bound {
            Bound::At(Edge::Right) => on.scaled(broad - extent(frame).0) - behind,
            _ => behind,
        };
        painted(&mut page, plan, frame, &on, turned(plan, frame));
        left = left.min(on.zero);
        right = right.max(on.zero + on.scaled(reach(plan, frame).0));
        (top, bottom) = (
            top.min(on.base - on.scaled(tall(frame))),
            bottom.max(on.base),
        );
        if n > 0 || !plan.takes_rings {
            continue;
        }
        let inside = plan.ring.as_ref().map_or(0, |ring| drawn(ring.inside));
        let reach = on.scaled(inside).max(3 * MM);
        for (mark, up, _) in holes(frame) {
            let (x, y) = (on.x(drawn(mark.across)), on.y(drawn(up)));
            let out = match frame.bound {
                Bound::At(Edge::Right) => x + reach,
                _ => x - reach,
            };
            (left, right) = (left.min(out), right.max(out));
            page.line(at(x, y), at(out, y), Line::Edge);
        }
    }
    if let (Some(closed), true) = (plan.closed, measured) {
        let told = |length: Length| words::spelled(&ruler::found(plan.ruler, length.nm()));
        let y = bottom + 5 * MM;
        ruler::span(&mut page, (left, y), (right, y), &told(closed.width));
        let x = right + 4 * MM;
        ruler::span(&mut page, (x, top), (x, bottom), &told(closed.height));
    }
    page.trimmed(MM / 4)
}

/// One of each of what is not bound, side by side at one scale, each with its size where it is asked for.
fn apart(plan: &Plan, wide: i64, high: i64, measured: bool) -> Page {
    // A cord drawn beside a bag would leave no room for the bag.
    let strip = |frame: &FramePlan| {
        let (width, height) = extent(frame);
        width.max(height) > 20 * width.min(height).max(1)
    };
    let shown = plan.frames.iter().filter(|frame| !strip(frame));
    let shown: Vec<&FramePlan> = shown.take(APART).collect();
    let names: Vec<String> = shown.iter().map(|it| name_of(plan, it)).collect();
    let closed = crate::report::handout::front::closed(plan).unwrap_or_default();
    let about = format!(
        "One of each, seen from its front: {}. {closed}",
        names.join(", ")
    );
    let mut page = Page::figure("What it is made of", &about);
    let told = |side: i64| words::spelled(&ruler::found(plan.ruler, side));
    let long = |side: i64| said(0, 0, &told(side), SMALLEST).area().width() * 5 / 4;
    let heights = shown.iter().map(|frame| long(extent(frame).1));
    let beside = match measured {
        true => heights.max().unwrap_or(0) + 8 * MM,
        false => 3 * MM,
    };
    let room = (wide - beside * shown.len() as i64).max(MM);
    let tall = |frame: &&FramePlan| reach(plan, frame).1;
    let most = shown.iter().map(tall).max().unwrap_or(1).max(1);
    let broad = shown
        .iter()
        .map(|frame| extent(frame).0)
        .sum::<i64>()
        .max(1);
    let scale = match i128::from(high) * i128::from(broad) <= i128::from(room) * i128::from(most) {
        true => (high, most),
        false => (room, broad),
    };
    let mut x = 0;
    for (frame, name) in shown.iter().zip(&names) {
        let on = Projection {
            scale,
            zero: x,
            ..Projection::of(frame.bound, false)
        };
        painted(&mut page, plan, frame, &on, turned(plan, frame));
        let (width, height) = extent(frame);
        let (right, top) = (x + on.scaled(width), -on.scaled(height));
        let mut low = 4 * MM;
        if measured {
            ruler::span(&mut page, (x, 5 * MM), (right, 5 * MM), &told(width));
            let beside = right + 4 * MM;
            ruler::span(&mut page, (beside, top), (beside, 0), &told(height));
            low += 6 * MM;
        }
        if shown.len() > 1 {
            let room = right - x + beside - MM;
            let name = super::paper::fitted(name, font::Face::Regular, SMALLEST, room);
            page.text(said(x, low, &name, SMALLEST));
        }
        // The words of a narrow one are wider than it is.
        let over = if measured {
            (long(width) + 8 * MM - (right - x)).max(0) / 2
        } else {
            0
        };
        x = right + beside.max(over) + over;
    }
    page.trimmed(MM / 4)
}

/// No more of what is not bound is drawn.
const APART: usize = 3;

fn about(plan: &Plan) -> String {
    let closed = crate::report::handout::front::closed(plan);
    let first = crate::report::handout::openings::openings(plan);
    let first = first.first().and_then(|it| it.right.or(it.left));
    let first = first.map_or(String::new(), |side| {
        crate::report::handout::openings::on_page(plan, side)
    });
    format!(
        "The finished album, seen from its front: {first} {}",
        closed.unwrap_or_default()
    )
}
