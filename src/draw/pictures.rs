//! Small pictures beside the steps, without measures.

use super::closed::closed;
use super::figure::{Projection, painted, sheet as sheet_of};
use super::list::{Anchor, Area, Ink, Line, Page, Text, at};
use super::paper::{MM, SMALLEST, said};
use super::pieces::{Fold, drawn, extent, folds, holes, name_of, near_plies, ply_edges, turned};
use super::sheets::Scale;
use super::{font, look};
use crate::cut::Answer;
use crate::cut::place::placed;
use crate::length::Length;
use crate::plan::Plan;
use crate::plan::frames::{self, Bound, Edge, FramePlan, What};
use crate::report::handout::said::plain;
use crate::report::handout::sheets::numbered;
use crate::report::handout::steps::Step;
use crate::report::handout::steps::{Shows, Uses};

/// A small picture's height and width, with its words.
const HIGH: i64 = 22 * MM;
const LOW: i64 = 12 * MM;
const WIDE: i64 = 34 * MM;

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
    let upright = |fold| match fold {
        Fold::Upright(across) => Some(across),
        Fold::Level(_) => None,
    };
    let upright = |frame| {
        folds(frame)
            .into_iter()
            .filter_map(upright)
            .collect::<Vec<_>>()
    };
    let mut all = frames.map(|frame| (frame, upright(frame)));
    let (frame, mut folds) = all.find(|(_, folds)| folds.len() > 1)?;
    folds.sort_unstable();
    folds.push(extent(frame).0);
    let last = folds.len() - 1;
    let walls = folds.windows(2).map(|two| two[1] - two[0]);
    let wall = walls.take(last - 1).max().unwrap_or(0);
    let (mut points, mut from) = (vec![(0, 0)], 0);
    for (n, fold) in folds.into_iter().enumerate() {
        let (long, (x, up)) = (fold - from, points[n]);
        // Between two folds near each other it stays as high as it is.
        let level = n == 0 || n == last || 4 * long < wall;
        points.push(match (level, up) {
            (true, _) => (x + long, up),
            // Walls lean: half as far as they are long, and 0.866 of it up.
            (false, 0) => (x + long / 2, long / 1_000 * 866),
            (false, _) => (x + long / 2, 0),
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
            What::Ply(0) | What::Slot(_) => Line::Hidden,
            _ => Line::Hair,
        };
        for [from, to] in ply_edges(frame, laid) {
            let points = [from, to].map(|(x, y)| at(on.x(x), on.y(y)));
            page.path(&points, line);
        }
    }
    super::figure::glued(page, frame, on, false);
    for fold in folds(frame) {
        let points = fold.ends(frame).map(|(x, y)| at(on.x(x), on.y(y)));
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
