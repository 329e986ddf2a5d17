//! Pictures without measures: the album as it lies closed, and small ones beside the steps.

use super::figure::{Projection, painted};
use super::list::{Anchor, Area, Ink, Line, Page, Text, at};
use super::paper::{MM, SMALLEST, said};
use super::pieces::{drawn, extent, folds, holes, name_of, near_plies, ply_edges, turned};
use super::sheets::Scale;
use super::{font, look, ruler};
use crate::cut::Answer;
use crate::cut::place::placed;
use crate::length::Length;
use crate::plan::Plan;
use crate::plan::frames::{self, Bound, Edge, FramePlan, What};
use crate::report::handout::said::plain;
use crate::report::handout::sheets::numbered;
use crate::report::handout::steps::Step;
use crate::report::handout::steps::{Shows, Uses};

/// No more leaves of one kind are drawn behind each other, nor of all kinds together.
const ALIKE: i64 = 4;
const MOST: usize = 9;
/// By how much a leaf is seen beside the one before it.
const BESIDE: i64 = 700_000;

/// A small picture's height and width, with its words.
const HIGH: i64 = 22 * MM;
const LOW: i64 = 12 * MM;
const WIDE: i64 = 34 * MM;

/// The frames of the leaves from the first to the last.
fn stacked(plan: &Plan) -> Vec<&FramePlan> {
    let frames = plan.frames.iter().filter(|frame| frame.leaf.is_some());
    let each = frames.flat_map(|frame| {
        let leaf = frame.leaf.and_then(|leaf| plan.leaves.get(leaf));
        let count = leaf.map_or(1, |leaf| leaf.count).clamp(0, ALIKE);
        (0..count).map(move |_| frame)
    });
    each.take(MOST).collect()
}

/// The album closed, seen from its front; no higher and no wider than so much (nanometres), with its
/// size where it is asked for.
pub fn closed(plan: &Plan, wide: i64, high: i64, measured: bool) -> Page {
    let stacked = stacked(plan);
    let title = "The finished album";
    let mut page = Page::figure(title, &about(plan));
    let most = |side: &dyn Fn(&FramePlan) -> i64| {
        let all = stacked.iter().map(|frame| side(frame));
        all.max().unwrap_or(1).max(1)
    };
    let tall = most(&|frame| extent(frame).1 + frame.out[3].nm().max(0));
    let broad = most(&|frame| extent(frame).0);
    let room = wide - 14 * MM;
    let scale = match i128::from(high) * i128::from(broad) <= i128::from(room) * i128::from(tall) {
        true => (high, tall),
        false => (room, broad),
    };
    let first = stacked.first();
    let (mut left, mut right, mut top) = (0, 0, 0);
    for (n, frame) in stacked.iter().enumerate().rev() {
        let mut on = Projection {
            scale,
            ..Projection::of(frame.bound, false)
        };
        // What is bound at its right edge lies to the left behind the first.
        let behind = BESIDE * n as i64;
        on.zero = match frame.bound {
            Bound::At(Edge::Right) => on.scaled(broad - extent(frame).0) - behind,
            _ => behind,
        };
        painted(&mut page, plan, frame, &on, turned(plan, frame));
        let (width, height) = extent(frame);
        left = left.min(on.zero);
        right = right.max(on.zero + on.scaled(width));
        let out = frame.out[3].nm().max(0);
        top = top.min(-on.scaled(height + out));
    }
    if let (Some(frame), true) = (first, plan.takes_rings) {
        let on = Projection {
            scale,
            ..Projection::of(frame.bound, false)
        };
        let inside = plan.ring.as_ref().map_or(0, |ring| drawn(ring.inside));
        let reach = on.scaled(inside).max(3 * MM);
        for (mark, up, _) in holes(frame) {
            let x = on.x(drawn(mark.across));
            let out = match frame.bound {
                Bound::At(Edge::Right) => x + reach,
                _ => x - reach,
            };
            (left, right) = (left.min(out), right.max(out));
            page.line(at(x, on.y(drawn(up))), at(out, on.y(drawn(up))), Line::Edge);
        }
    }
    if let (Some(closed), true) = (plan.closed, measured) {
        let told = |length: Length| ruler::found(plan.ruler, length.nm());
        let y = 5 * MM;
        ruler::span(&mut page, (left, y), (right, y), &told(closed.width));
        let x = right + 4 * MM;
        ruler::span(&mut page, (x, top), (x, 0), &told(closed.height));
    }
    page.trimmed(MM / 4)
}

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

/// What is seen beside a step whose words are so high (nanometres); a page without a size where there is
/// nothing to show.
pub fn of_step(plan: &Plan, answer: Option<Answer<'_>>, step: &Step, text: i64) -> Page {
    let high = (text - 6 * MM).clamp(LOW, HIGH);
    let page = match (step.shows, &step.uses) {
        (Some(Shows::Plies), _) => minis(plan, high, &|_| true, &|page, frame, on| {
            plies(page, frame, on, false);
        }),
        (Some(Shows::Papers), _) => minis(
            plan,
            high,
            &|frame| {
                frame
                    .parts
                    .iter()
                    .any(|it| matches!(it.what, What::Paper(_)))
            },
            &|page, frame, on| papers(page, plan, frame, on),
        ),
        (Some(Shows::Grips | Shows::Template), _) => None,
        (None, Some(Uses::Cut)) => answer.and_then(|answer| sheet(answer, high)),
        (None, Some(Uses::Photos)) => mounted(plan, high),
        (None, Some(Uses::Tuck)) => minis(
            plan,
            high,
            &|frame| {
                frame
                    .parts
                    .iter()
                    .any(|it| matches!(it.what, What::Insert(..)))
            },
            &|page, frame, on| {
                let back = frame
                    .pieces(false)
                    .all(|it| !matches!(it.what, What::Insert(..)));
                let on = &Projection { ..*on };
                painted(page, plan, frame, on, back);
            },
        ),
        (None, Some(Uses::Order)) => Some(closed(plan, WIDE, high, false)),
        (None, Some(Uses::Mark(name))) => minis(
            plan,
            high,
            &|frame| frame.marks.iter().any(|mark| mark.name == *name),
            &|page, frame, on| template(page, plan, frame, on),
        ),
        (None, Some(Uses::Measure) | None) => None,
    };
    let mut page = page.unwrap_or_else(|| Page::figure("", ""));
    page.title.clone_from(&step.title);
    page.about = format!("What step {} is about.", step.title);
    page
}

/// Frames side by side, those that look alike once.
fn minis(
    plan: &Plan,
    tallest: i64,
    wanted: &dyn Fn(&FramePlan) -> bool,
    draw: &dyn Fn(&mut Page, &FramePlan, &Projection),
) -> Option<Page> {
    let mut frames: Vec<(&FramePlan, String)> = Vec::new();
    for frame in plan.frames.iter().filter(|frame| wanted(frame)) {
        frames.push((frame, name_of(plan, frame)));
    }
    frames.truncate(3);
    let count = frames.len() as i64;
    if count == 0 {
        return None;
    }
    let high = |frame: &FramePlan| extent(frame).1 + frame.out[3].nm().max(0);
    let tall = frames.iter().map(|(frame, _)| high(frame)).max()?.max(1);
    let broad: i64 = frames.iter().map(|(frame, _)| extent(frame).0).sum();
    let room = WIDE - 3 * MM * (count - 1);
    let wide = i128::from(tallest) * i128::from(broad);
    let scale = match wide <= i128::from(room) * i128::from(tall) {
        true => (tallest, tall),
        false => (room, broad.max(1)),
    };
    let mut page = Page::figure("", "");
    let mut x = 0;
    for (frame, name) in frames {
        let on = Projection {
            scale,
            zero: x,
            ..Projection::of(frame.bound, false)
        };
        draw(&mut page, frame, &on);
        let wide = on.scaled(extent(frame).0);
        // Where there is only one, it needs no name.
        if plan.frames.len() > 1 {
            let name = super::paper::fitted(&name, font::Face::Regular, SMALLEST, wide + 3 * MM);
            page.text(Text {
                anchor: Anchor::Middle,
                ..said(x + wide / 2, 4 * MM, &name, SMALLEST)
            });
        }
        x += wide + 3 * MM;
    }
    Some(page.trimmed(MM / 4))
}

fn whole(frame: &FramePlan) -> frames::Area {
    let (right, high) = extent(frame);
    frames::Area {
        left: 0,
        right,
        low: 0,
        high,
    }
}

/// The layers of a frame that are seen.
fn plies(page: &mut Page, frame: &FramePlan, on: &Projection, back: bool) {
    let edge = Some(Line::Hair.into());
    page.rect("", on.area(whole(frame)), edge, Some(Ink::Bag));
    for laid in near_plies(frame, back).into_iter().rev() {
        for [from, to] in ply_edges(frame, laid) {
            let points = [from, to].map(|(x, y)| at(on.x(x), on.y(y)));
            page.path(&points, Line::Hair);
        }
    }
    super::figure::glued(page, frame, on, back);
    for across in folds(frame) {
        let points = [0, extent(frame).1].map(|up| at(on.x(across), on.y(up)));
        page.path(&points, Line::Fold);
    }
}

/// Its papers, each with its number in the order in which they are glued.
fn papers(page: &mut Page, plan: &Plan, frame: &FramePlan, on: &Projection) {
    plies(page, frame, on, false);
    let papers = frame.as_glued().into_iter();
    let papers = papers.filter(|it| matches!(it.what, What::Paper(_)));
    let front: Vec<_> = papers.enumerate().filter(|(_, it)| !it.back).collect();
    for (_, laid) in &front {
        let area = on.area(laid.area);
        look::of(plan, frame, laid).paint(page, area);
        page.rect("", area, Some(Line::Hair.into()), None);
    }
    for (n, laid) in front {
        let (x, y) = on.area(laid.area).middle();
        let text = Text {
            face: font::Face::Bold,
            anchor: Anchor::Middle,
            ..said(x, y + MM, &(n + 1).to_string(), SMALLEST)
        };
        if on.area(laid.area).holds(text.area().grown(MM / 3)) {
            page.fill(text.area().grown(MM / 3), Ink::White);
            page.text(text);
        }
    }
}

/// Where the template is laid, grey.
fn template(page: &mut Page, plan: &Plan, frame: &FramePlan, on: &Projection) {
    plies(page, frame, on, false);
    // A turned leaf lies with its first side up, too.
    let turned = turned(plan, frame);
    let flip = |across: i64| match turned {
        true => extent(frame).0 - across,
        false => across,
    };
    let (mut far, mut high) = (0, 0);
    for (mark, up, _) in holes(frame) {
        far = far.max(drawn(mark.across));
        high = high.max(drawn(up));
    }
    let all = extent(frame);
    if let Bound::At(Edge::Left) = frame.bound {
        let wide = (far * 4).min(all.0 / 2);
        let (a, b) = (flip(0), flip(wide));
        let strip = on.area(frames::Area {
            left: a.min(b),
            right: a.max(b),
            low: 0,
            high: (high + all.1 / 12).min(all.1),
        });
        page.rect("", strip, Some(Line::Hair.into()), Some(Ink::Mid));
    }
    for (mark, up, _) in holes(frame) {
        let centre = at(on.x(flip(drawn(mark.across))), on.y(drawn(up)));
        let radius = Length::from_nm(600_000);
        page.circle(
            "",
            centre,
            radius,
            Some(Line::Hair.into()),
            Some(Ink::White),
        );
    }
}

/// The first sheet with its cuts.
fn sheet(answer: Answer<'_>, high: i64) -> Option<Page> {
    let all = numbered(answer);
    let first = all.first()?;
    let paper = &answer.order.papers[first.plan.paper];
    let from = &paper.sheets[first.sheet.stock];
    let scale = Scale::new(from.width, from.height, high, (0, 0));
    let mut page = Page::figure("", "");
    let area = scale.area(Length::ZERO, Length::ZERO, from.width, from.height);
    page.rect("", area, Some(Line::Hair.into()), Some(Ink::Pale));
    let (parts, _) = placed(first.plan, &first.sheet);
    for part in parts {
        let area = scale.area(part.x, part.y, part.lies.width, part.lies.height);
        let piece = matches!(part.lies.is, crate::cut::steps::Is::Piece { .. });
        let ground = if piece { Ink::White } else { Ink::Pale };
        page.rect("", area, Some(Line::Hair.into()), Some(ground));
    }
    Some(page.trimmed(MM / 4))
}

/// The first photo on its mat.
fn mounted(plan: &Plan, tallest: i64) -> Option<Page> {
    let mut inserts = plan.leaves.iter().flat_map(|leaf| &leaf.inserts);
    let (insert, photo) = inserts.find_map(|it| Some((it, it.photo.as_ref()?)))?;
    let (width, height) = (drawn(insert.width.value), drawn(insert.height.value));
    let (wide, high) = (drawn(photo.width.value), drawn(photo.height.value));
    let on = Projection {
        scale: (tallest, height.max(width).max(1)),
        ..Projection::of(Bound::No, false)
    };
    let area = |left: i64, top: i64, wide: i64, high: i64| {
        Area::sized(
            on.scaled(left),
            on.scaled(top),
            on.scaled(wide),
            on.scaled(high),
        )
    };
    let mut page = Page::figure("", "");
    let edge = Some(Line::Hair.into());
    page.rect("", area(0, 0, width, height), edge, Some(Ink::White));
    let top = drawn(photo.border_above);
    let inner = area((width - wide) / 2, top, wide, high);
    page.rect("", inner, edge, Some(Ink::Light));
    let name = super::paper::fitted(&plain(&insert.name), font::Face::Regular, SMALLEST, WIDE);
    let bottom = on.scaled(height) + 4 * MM;
    page.text(Text {
        anchor: Anchor::Middle,
        ..said(on.scaled(width) / 2, bottom, &name, SMALLEST)
    });
    Some(page.trimmed(MM / 4))
}
