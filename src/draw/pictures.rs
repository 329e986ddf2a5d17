//! Pictures without measures: the album as it lies closed, and small ones beside the steps.

use super::figure::{Projection, painted, sheet as sheet_of};
use super::list::{Anchor, Area, Ink, Line, Page, Text, at};
use super::paper::{MM, SMALLEST, said};
use super::pieces::{drawn, extent, folds, holes, name_of, near_plies, ply_edges, turned};
use super::sheets::Scale;
use super::{font, look, ruler};
use crate::cut::Answer;
use crate::cut::place::placed;
use crate::length::{Interval, Length};
use crate::plan::Plan;
use crate::plan::frames::{self, Bound, Edge, FramePlan, What};
use crate::report::handout::said::{self as words, plain};
use crate::report::handout::sheets::numbered;
use crate::report::handout::steps::Step;
use crate::report::handout::steps::{Shows, Uses};
use crate::report::place;

/// No more leaves of one kind are drawn behind each other, nor of all kinds together.
const ALIKE: i64 = 4;
const MOST: usize = 9;
/// By how much a leaf is seen beside the one before it.
const BESIDE: i64 = 700_000;

/// A small picture's height and width, with its words.
const HIGH: i64 = 22 * MM;
const LOW: i64 = 12 * MM;
const WIDE: i64 = 34 * MM;

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
    let tall = |frame: &FramePlan| extent(frame).1 + frame.out[3].nm().max(0);
    let (deep, broad) = (most(&below), most(&|frame| extent(frame).0));
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
        right = right.max(on.zero + on.scaled(extent(frame).0));
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
    let tall = |frame: &&FramePlan| extent(frame).1 + frame.out[3].nm().max(0);
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

/// What is seen beside a step whose words are so high (nanometres); a page without a size where there is
/// nothing to show.
pub fn of_step(plan: &Plan, answer: Option<Answer<'_>>, step: &Step, text: i64) -> Page {
    let high = (text - 6 * MM).clamp(LOW, HIGH);
    let has = |frame: &FramePlan, what: &dyn Fn(What) -> bool| {
        frame.parts.iter().any(|laid| what(laid.what))
    };
    let minis = |wanted: &dyn Fn(&FramePlan) -> bool, draw: &Draw<'_>| {
        // Of what the step is done to, where that has it.
        let spoken = |frame: &FramePlan| frame.leaf.is_some() == step.of_leaves && wanted(frame);
        minis(plan, high, &spoken, draw).or_else(|| minis(plan, high, wanted, draw))
    };
    let page = match (step.shows, &step.uses) {
        (Some(Shows::Plies), _) => minis(&|_| true, &|page, frame, on| plies(page, frame, on)),
        (Some(Shows::Papers), _) => minis(
            &|frame| has(frame, &|it| matches!(it, What::Paper(_))),
            &|page, frame, on| papers(page, plan, frame, on),
        ),
        (Some(Shows::Zigzag), _) => zigzag(plan, high),
        (Some(Shows::Folds), _) => minis(&|frame| !folds(frame).is_empty(), &|page, frame, on| {
            plies(page, frame, on);
        }),
        (Some(Shows::Grips | Shows::Template), _) => None,
        (None, Some(Uses::Cut)) => answer.and_then(|answer| sheet(answer, high)),
        (None, Some(Uses::Photos)) => mounted(plan, high),
        (None, Some(Uses::Tuck)) => minis(
            &|frame| has(frame, &|it| matches!(it, What::Insert(..))),
            &|page, frame, on| {
                let mut front = frame.pieces(false);
                let back = front.all(|it| !matches!(it.what, What::Insert(..)));
                // As the side lies in the album, bound edge to the rings.
                let mut turned = Projection {
                    scale: on.scale,
                    zero: on.zero,
                    ..Projection::of(frame.bound, back != turned(plan, frame))
                };
                if turned.mirrored {
                    turned.zero += turned.scaled(extent(frame).0);
                }
                painted(page, plan, frame, &turned, back);
            },
        ),
        (None, Some(Uses::Order)) => Some(closed(plan, WIDE, high, false)),
        (None, Some(Uses::Mark(name))) => minis(
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

/// How a frame is drawn small.
type Draw<'a> = dyn Fn(&mut Page, &FramePlan, &Projection) + 'a;

/// Some frames side by side; `None` if there are none.
fn minis(
    plan: &Plan,
    tallest: i64,
    wanted: &dyn Fn(&FramePlan) -> bool,
    draw: &Draw<'_>,
) -> Option<Page> {
    let frames = plan.frames.iter().filter(|frame| wanted(frame)).take(3);
    let frames: Vec<&FramePlan> = frames.collect();
    let count = frames.len() as i64;
    let high = |frame: &&FramePlan| extent(frame).1 + frame.out[3].nm().max(0);
    let tall = frames.iter().map(high).max()?.max(1);
    let broad: i64 = frames.iter().map(|frame| extent(frame).0).sum();
    let room = WIDE - 3 * MM * (count - 1);
    let wide = i128::from(tallest) * i128::from(broad);
    let scale = match wide <= i128::from(room) * i128::from(tall) {
        true => (tallest, tall),
        false => (room, broad.max(1)),
    };
    let mut page = Page::figure("", "");
    let mut x = 0;
    let mut names = Vec::new();
    for frame in frames {
        let on = Projection {
            scale,
            zero: x,
            ..Projection::of(frame.bound, false)
        };
        let wide = on.scaled(extent(frame).0);
        let mut cell = wide;
        // Where there is only one, it needs no name.
        if plan.frames.len() > 1 {
            let name = name_of(plan, frame);
            let room = (wide + 3 * MM).max(WIDE / count);
            let name = super::paper::fitted(&name, font::Face::Regular, SMALLEST, room);
            let long = said(0, 0, &name, SMALLEST).area().width();
            cell = cell.max(long - 3 * MM);
            names.push((x + cell / 2, name));
        }
        let on = Projection {
            zero: x + (cell - wide) / 2,
            ..on
        };
        draw(&mut page, frame, &on);
        x += cell + 3 * MM;
    }
    // Below all that hangs out of them.
    let low = page.marks.iter().map(|mark| mark.shape.area().bottom);
    let low = low.max().unwrap_or(0).max(0);
    for (x, name) in names {
        page.text(Text {
            anchor: Anchor::Middle,
            ..said(x, low + 4 * MM, &name, SMALLEST)
        });
    }
    Some(page.trimmed(MM / 4))
}

/// The first part of the album with several folds, as it stands when they are made: its ends lie flat.
fn zigzag(plan: &Plan, tallest: i64) -> Option<Page> {
    let frames = plan.frames.iter().filter(|frame| frame.leaf.is_none());
    let mut all = frames.map(|frame| (frame, folds(frame)));
    let (frame, mut folds) = all.find(|(_, folds)| folds.len() > 1)?;
    folds.sort_unstable();
    folds.push(extent(frame).0);
    let last = folds.len() - 1;
    let (mut points, mut from) = (vec![(0, 0)], 0);
    for (n, fold) in folds.into_iter().enumerate() {
        let (long, x) = (fold - from, points[n].0);
        points.push(match n == 0 || n == last {
            true => (x + long, 0),
            // Walls lean: half as far as they are long, and 0.866 of it up.
            false if n % 2 == 1 => (x + long / 2, long / 1_000 * 866),
            false => (x + long / 2, 0),
        });
        from = fold;
    }
    let broad = points[last + 1].0.max(1);
    let high = points.iter().map(|(_, up)| *up).max()?.max(1);
    let (n, d) =
        match i128::from(high) * i128::from(WIDE) <= i128::from(tallest) * i128::from(broad) {
            true => (WIDE, broad),
            false => (tallest, high),
        };
    let on = Projection {
        scale: (n, d),
        ..Projection::of(frame.bound, false)
    };
    let points = points.into_iter().map(|(x, up)| at(on.x(x), on.y(up)));
    let mut page = Page::figure("", "");
    let name = format!("{} folded", frame.name);
    page.named_path(&name, &points.collect::<Vec<_>>(), Line::Edge);
    Some(page.trimmed(MM / 4))
}

/// The layers of a frame that are seen.
fn plies(page: &mut Page, frame: &FramePlan, on: &Projection) {
    sheet_of(page, frame, on, "", Some(Line::Hair), Some(Ink::Bag));
    for laid in near_plies(frame, false).into_iter().rev() {
        let line = match laid.what {
            What::Ply(0) => Line::Hidden,
            _ => Line::Hair,
        };
        for [from, to] in ply_edges(frame, laid) {
            let points = [from, to].map(|(x, y)| at(on.x(x), on.y(y)));
            page.path(&points, line);
        }
    }
    super::figure::glued(page, frame, on, false);
    for across in folds(frame) {
        let points = [0, extent(frame).1].map(|up| at(on.x(across), on.y(up)));
        page.path(&points, Line::Fold);
    }
}

/// Its papers, each with its number in the order in which they are glued.
fn papers(page: &mut Page, plan: &Plan, frame: &FramePlan, on: &Projection) {
    plies(page, frame, on);
    let papers = frame.as_glued().into_iter();
    let papers = papers.filter(|it| matches!(it.what, What::Paper(_)));
    let front: Vec<_> = papers.enumerate().filter(|(_, it)| !it.back).collect();
    for (_, laid) in &front {
        let area = on.area(laid.area);
        look::of(plan, frame, laid).paint(page, area);
        page.rect("", area, Line::Hair, None);
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
    plies(page, frame, on);
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
        page.rect("", strip, Line::Hair, Some(Ink::Mid));
    }
    for (mark, up, _) in holes(frame) {
        let centre = at(on.x(flip(drawn(mark.across))), on.y(drawn(up)));
        page.circle("", centre, 600_000, Line::Hair, Some(Ink::White));
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
    page.rect("", area, Line::Hair, Some(Ink::Pale));
    let (parts, _) = placed(first.plan, &first.sheet);
    for part in parts {
        let area = scale.area(part.x, part.y, part.lies.width, part.lies.height);
        let piece = matches!(part.lies.is, crate::cut::steps::Is::Piece { .. });
        let ground = if piece { Ink::White } else { Ink::Pale };
        page.rect("", area, Line::Hair, Some(ground));
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
    let edge = Line::Hair;
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
