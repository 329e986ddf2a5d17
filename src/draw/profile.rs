//! A frame cut open: everything from front to back as lines side by side, heights to scale,
//! thicknesses not; how far each thing goes down, and where it stops.

use super::figure::Projection;
use super::list::{Area, Ink, Line, Page, Stroke, at};
use super::paper::MM;
use super::pieces::{drawn, edge, extent, name_of, opening};
use super::ruler;
use super::view::titled;
use crate::plan::Plan;
use crate::plan::frames::{self, Edge, FramePlan, Laid, What};
use crate::report::handout::said::{capital, plain};

/// From one thing to the next.
const STEP: i64 = 4 * MM;

/// What these drawings are called.
pub const TITLE: &str = "Cut open: what lies behind what";

/// One thing between front and back.
struct Layer {
    /// What it is called where it ends; nothing for a wall of the bag.
    name: String,
    low: i64,
    high: i64,
    /// Of the frame, or tucked into it.
    own: bool,
    line: Line,
}

/// Where a thing stops: from layer, to layer, how far up, and what is called by it.
type Stop = (usize, usize, i64, String);

/// Through which edge things are tucked into a frame; `None` if nothing is.
fn opens(frame: &FramePlan) -> Option<Edge> {
    let mut slots = frame.parts.iter().filter_map(|laid| laid.slot);
    slots.find_map(|slot| match frame.parts.get(slot)?.what {
        What::Slot(opens) => opens,
        _ => None,
    })
}

/// What is said above these drawings; `None` if nothing is tucked into any frame.
pub fn introduction(plan: &Plan) -> Option<String> {
    let (frame, opens) = plan
        .frames
        .iter()
        .find_map(|frame| Some((frame, opens(frame)?)))?;
    let (seen_from, lengths) = match opens {
        Edge::Low | Edge::High => (Edge::Right, "heights"),
        Edge::Left | Edge::Right => (Edge::Low, "lengths up and down"),
    };
    Some(format!(
        "Each {} from its {}, {} left, {} above; only {lengths} are to scale. Bars are tucked in.",
        frame.titles[0],
        edge(frame, seen_from),
        frame.sides[0],
        opening(frame, opens),
    ))
}

/// All frames that something is tucked into, the highest so high (nanometres).
pub fn figures(plan: &Plan, high: i64) -> Vec<Page> {
    let open = plan.frames.iter();
    let open = open.filter_map(|frame| Some((frame, opens(frame)?)));
    let most = open
        .clone()
        .map(|(frame, opens)| length(frame, opens))
        .max();
    let scale = (high, most.unwrap_or(0).max(1));
    open.map(|(frame, opens)| draw(plan, frame, opens, scale))
        .collect()
}

/// One frame, so high (nanometres); `None` if nothing is tucked into it.
pub fn figure(plan: &Plan, frame: &FramePlan, high: i64) -> Option<Page> {
    let opens = opens(frame)?;
    Some(draw(
        plan,
        frame,
        opens,
        (high, length(frame, opens).max(1)),
    ))
}

/// From its closed end to where it opens, and what stands out there.
fn length(frame: &FramePlan, opens: Edge) -> i64 {
    let whole = match opens {
        Edge::Low | Edge::High => extent(frame).1,
        Edge::Left | Edge::Right => extent(frame).0,
    };
    whole + frame.out[opens as usize].nm().max(0)
}

fn draw(plan: &Plan, frame: &FramePlan, opens: Edge, scale: (i64, i64)) -> Page {
    let on = Projection {
        scale,
        ..Projection::of(frame.bound, false)
    };
    let (layers, stops) = layers(frame, opens);
    let told = |up: i64| {
        let ruler = plan.ruler;
        ruler::bare(ruler, &ruler::found(ruler, up))
    };
    let title = format!("{}, cut open", capital(&name_of(plan, frame)));
    let mut page = Page::figure(&title, "");
    let x = |n: usize| STEP * n as i64;
    let y = |up: i64| -on.scaled(up);
    let mut places = Vec::new();
    let right = x(layers.len().saturating_sub(1)) + MM;
    // From the head of each thing to its name.
    for (n, layer) in layers
        .iter()
        .enumerate()
        .filter(|(_, it)| !it.name.is_empty())
    {
        let light = Stroke {
            line: Line::Thin,
            ink: Ink::Light,
        };
        page.line(at(x(n), y(layer.high)), at(right, y(layer.high)), light);
    }
    for (n, layer) in layers.iter().enumerate() {
        let (low, high) = (y(layer.low), y(layer.high));
        match layer.own {
            true => page.line(at(x(n), low), at(x(n), high), layer.line),
            false => {
                let strip = Area {
                    left: x(n) - 600_000,
                    right: x(n) + 600_000,
                    top: high,
                    bottom: low,
                };
                page.rect("", strip, Line::Thin, Some(Ink::Light));
            }
        }
        if !layer.name.is_empty() {
            ruler::add(&mut places, high, told(layer.high), &layer.name);
            // What stands at the very end stands there, too.
            if layer.low > 0 || !layer.own {
                let foot = format!("foot of {}", layer.name);
                ruler::add(&mut places, low, told(layer.low), &foot);
            }
        }
    }
    for (from, to, up, name) in stops {
        page.line(at(x(from), y(up)), at(x(to), y(up)), Line::Edge);
        if up > 0 && !name.is_empty() {
            ruler::add(&mut places, y(up), told(up), &name);
        }
    }
    ruler::heights(
        &mut page,
        &places,
        (right, 4 * MM),
        (true, ruler::WIDEST[1]),
    );
    let said = places.iter().rev();
    let said = said.map(|it| format!("{} {}", it.length, it.what.join(", ")));
    let said: Vec<String> = said.collect();
    page.about = format!("{title}: {}.", said.join("; "));
    titled(page, &title)
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
fn layers(frame: &FramePlan, opens: Edge) -> (Vec<Layer>, Vec<Stop>) {
    let mut layers: Vec<Layer> = Vec::new();
    // Which part each layer is.
    let mut parts: Vec<usize> = Vec::new();
    let whole = along(
        frame,
        opens,
        frames::Area {
            left: 0,
            right: drawn(frame.width),
            low: 0,
            high: drawn(frame.height),
        },
    );
    for (at, laid) in frame.parts.iter().enumerate() {
        if !is_layer(frame, laid) {
            continue;
        }
        let (low, high) = along(frame, opens, laid.area);
        let own = !matches!(laid.what, What::Insert(..));
        let ends = (low, high) != whole;
        layers.push(Layer {
            name: match laid.what {
                What::Ply(0) => String::new(),
                What::Ply(_) if !ends => String::new(),
                What::Insert(..) => plain(&laid.name),
                _ => laid.title.clone(),
            },
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
                stops.push((from, to, if far { high } else { low }, String::new()));
            }
        }
        if matches!(laid.what, What::Slot(Some(_))) && laid.stops {
            let own = |layer: &usize| layers[*layer].own;
            let before = (0..parts.len()).filter(own).rfind(|n| parts[*n] < at);
            let behind = (0..parts.len()).filter(own).find(|n| parts[*n] > at);
            if let (Some(from), Some(to)) = (before, behind) {
                let up = along(frame, opens, laid.area).0;
                stops.push((from, to, up, format!("{} ends", laid.title)));
            }
        }
    }
    (layers, stops)
}

/// It stands between front and back where the frame is cut open.
fn is_layer(frame: &FramePlan, laid: &Laid) -> bool {
    if laid.back {
        return false;
    }
    let says = |it: &Laid| matches!(it.what, What::Ply(_)) && it.says.is_some();
    match (laid.what, laid.slot) {
        (What::Insert(..), Some(slot)) => frame
            .parts
            .get(slot)
            .is_some_and(|slot| matches!(slot.what, What::Slot(Some(_)))),
        // A style that says nothing of its plies means all of them.
        (What::Ply(1..), _) if !frame.parts.iter().any(says) => true,
        _ => laid.says.is_some(),
    }
}
