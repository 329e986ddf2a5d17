//! A frame cut open along the way that things are tucked into it: which thing lies before or behind
//! which, and how far down it goes. That way is to scale, thicknesses are not.

use super::flow::column;
use super::font::Face;
use super::list::{Anchor, Area, Ink, Line, Page, Stroke, Text, at};
use super::paper::{MM, Paper, said};
use super::pieces::{Piece, edge, extent, lettered, name_of, opening};
use crate::plan::Plan;
use crate::plan::frames::{self, Edge, FramePlan, Laid, What};
use crate::report::handout::framed::letters;
use crate::report::handout::said::{capital, plain};

/// From one thing to the next.
const STEP: i64 = 9 * MM;

/// One thing between front and back.
struct Layer {
    words: String,
    low: i64,
    high: i64,
    /// Of the frame, or tucked into it.
    own: bool,
    line: Line,
}

/// Where a thing stops: from layer, to layer, how far up.
type Stop = (usize, usize, i64);

/// Length of the drawn frame, and of one frame with its title.
const HIGH: i64 = 52 * MM;
const BLOCK: i64 = 74 * MM;

/// What these pages are called.
pub const TITLE: &str = "Cut open: what lies behind what";

/// Through which edge things are tucked into a frame; `None` if nothing is.
fn opens(frame: &FramePlan) -> Option<Edge> {
    let mut slots = frame.parts.iter().filter_map(|laid| laid.slot);
    slots.find_map(|slot| match frame.parts.get(slot)?.what {
        What::Slot(opens) => opens,
        _ => None,
    })
}

fn introduction(frame: &FramePlan, opens: Edge) -> String {
    let (seen_from, lengths) = match opens {
        Edge::Low | Edge::High => (Edge::Right, "Heights"),
        Edge::Left | Edge::Right => (Edge::Low, "Lengths up and down"),
    };
    format!(
        "Each {} seen from its {}, {} at the left, {} above. {lengths} are to scale, thicknesses are not. Short level lines: there a thing stops. Letters as in the drawings.",
        frame.titles[0],
        edge(frame, seen_from),
        frame.sides[0],
        opening(frame, opens),
    )
}

/// All frames that something is tucked into, several on a page.
pub fn pages(paper: Paper, plan: &Plan) -> Vec<Page> {
    let body = paper.body();
    let mut pages: Vec<Page> = Vec::new();
    let mut y = body.bottom;
    for frame in &plan.frames {
        let Some(opens) = opens(frame) else { continue };
        let lines = layers(plan, frame, opens).0.len() as i64;
        let block = BLOCK.max(20 * MM + lines * 7 * MM);
        if y + block > body.bottom {
            let title = match pages.is_empty() {
                true => TITLE.to_owned(),
                false => format!("{TITLE}, continued"),
            };
            let introduction = introduction(frame, opens);
            let mut page = paper.page(&title, &introduction);
            y = column(&mut page, body, body.top, "", &[introduction]);
            pages.push(page);
        }
        if let Some(page) = pages.last_mut() {
            let area = Area {
                top: y,
                bottom: (y + block).min(body.bottom),
                ..body
            };
            draw(page, plan, frame, opens, area);
        }
        y += block;
    }
    pages
}

/// One frame by itself; `None` if nothing is tucked in.
pub fn page(paper: Paper, plan: &Plan, frame: &FramePlan) -> Option<Page> {
    let opens = opens(frame)?;
    let name = capital(&name_of(plan, frame));
    let about = format!("{name}. {}", introduction(frame, opens));
    let title = format!("{name}, cut open");
    let mut page = paper.page(&title, &about);
    draw(&mut page, plan, frame, opens, paper.body());
    Some(page)
}

fn draw(page: &mut Page, plan: &Plan, frame: &FramePlan, opens: Edge, area: Area) {
    let height = match opens {
        Edge::Low | Edge::High => extent(frame).1,
        Edge::Left | Edge::Right => extent(frame).0,
    };
    let (layers, stops) = layers(plan, frame, opens);
    let words: Vec<String> = layers
        .iter()
        .enumerate()
        .map(|(n, layer)| format!("{}  {}", n + 1, layer.words))
        .collect();
    let highest = layers.iter().map(|l| l.high).max().unwrap_or(height);
    let over = highest.max(height) - height;
    let scale = (HIGH, (height + over).max(1));
    let scaled = |length: i64| {
        let (n, d) = scale;
        (2 * length * n + d).div_euclid(2 * d)
    };
    let tail = area.top + 8 * MM + scaled(height + over);
    // Closer together where there are many.
    let count = layers.len() as i64;
    let step = STEP.min((area.width() - 80 * MM).max(40 * MM) / count.max(1));
    let x = |n: usize| area.left + 8 * MM + step * n as i64;
    let y = |up: i64| tail - scaled(up);
    for (n, layer) in layers.iter().enumerate() {
        let (low, high) = (y(layer.low), y(layer.high));
        match layer.own {
            true => page.line(at(x(n), low), at(x(n), high), layer.line),
            false => {
                let strip = Area {
                    left: x(n) - 700_000,
                    right: x(n) + 700_000,
                    top: high,
                    bottom: low,
                };
                page.rect("", strip, Some(Line::Thin.into()), Some(Ink::Light));
            }
        }
    }
    for (from, to, up) in stops {
        page.line(at(x(from), y(up)), at(x(to), y(up)), Line::Edge);
    }
    for n in 0..layers.len() {
        page.text(Text {
            face: Face::Bold,
            anchor: Anchor::Middle,
            ..said(x(n), tail + 5 * MM, &(n + 1).to_string(), 3 * MM)
        });
    }
    // The head, across all of it.
    let light = Stroke {
        line: Line::Centre,
        ink: Ink::Mid,
    };
    let right = x(layers.len());
    let from = at(x(0) - 5 * MM, y(height));
    page.line(from, at(right - step + 5 * MM, y(height)), light);
    let beside = Area {
        left: right + 6 * MM,
        ..area
    };
    let title = format!("{}, from front to back", capital(&name_of(plan, frame)));
    column(page, beside, area.top, &title, &words);
}

/// From its closed end up to where it opens.
fn along(frame: &FramePlan, opens: Edge, area: frames::Area) -> (i64, i64) {
    let (width, height) = extent(frame);
    match opens {
        Edge::High => (area.low, area.high),
        Edge::Low => (height - area.high, height - area.low),
        Edge::Right => (area.left, area.right),
        Edge::Left => (width - area.right, width - area.left),
    }
}

/// Everything from front to back, and where things stop.
fn layers(plan: &Plan, frame: &FramePlan, opens: Edge) -> (Vec<Layer>, Vec<Stop>) {
    let pieces = lettered(frame, false);
    let mut layers: Vec<Layer> = Vec::new();
    // Which part each layer is.
    let mut parts: Vec<usize> = Vec::new();
    for (at, laid) in frame.parts.iter().enumerate() {
        let Some(words) = told(plan, frame, &pieces, laid) else {
            continue;
        };
        let (low, high) = along(frame, opens, laid.area);
        let own = !matches!(laid.what, What::Insert(..));
        layers.push(Layer {
            words,
            low,
            high,
            own,
            line: match laid.what {
                What::Ply(0) => Line::Fold,
                _ if own => Line::Edge,
                _ => Line::Thin,
            },
        });
        parts.push(at);
    }
    let mut stops = Vec::new();
    for (at, laid) in frame.parts.iter().enumerate() {
        if let Some((edge, other)) = laid.joined {
            let layer = |part: usize| parts.iter().position(|it| *it == part);
            if let (Some(from), Some(to)) = (layer(at), layer(other)) {
                let (low, high) = along(frame, opens, laid.area);
                let far = edge == opens;
                stops.push((from, to, if far { high } else { low }));
            }
        }
        if matches!(laid.what, What::Slot(Some(_))) && laid.stops {
            let own = |layer: &usize| layers[*layer].own;
            let before = (0..parts.len()).filter(own).rfind(|n| parts[*n] < at);
            let behind = (0..parts.len()).filter(own).find(|n| parts[*n] > at);
            if let (Some(from), Some(to)) = (before, behind) {
                stops.push((from, to, along(frame, opens, laid.area).0));
            }
        }
    }
    (layers, stops)
}

/// What a layer is; `None` if the part is none.
fn told(plan: &Plan, frame: &FramePlan, pieces: &[Piece<'_>], laid: &Laid) -> Option<String> {
    if laid.back {
        return None;
    }
    let words = match (laid.what, laid.slot) {
        (What::Insert(..), Some(slot)) => match frame.parts.get(slot)?.what {
            What::Slot(Some(_)) => plain(&laid.name),
            _ => return None,
        },
        _ => letters(plan, laid.says.as_ref()?),
    };
    let mine = |piece: &&Piece<'_>| piece.copies.iter().any(|copy| std::ptr::eq(*copy, laid));
    Some(match pieces.iter().find(mine) {
        Some(piece) => format!("{}: {words}", piece.letter),
        None => words,
    })
}
