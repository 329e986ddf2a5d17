//! A leaf seen from its outer edge, cut open: which thing lies before or behind which, and how far
//! down it goes. Heights are to scale, thicknesses are not.

use super::flow::column;
use super::font::Face;
use super::list::{Anchor, Area, Ink, Line, Page, Stroke, Text, at};
use super::paper::{MM, Paper, said};
use super::place::{Placed, What, drawn};
use super::view;
use crate::album::Where;
use crate::plan::{LeafPlan, Plan};
use crate::report::handout::said::{capital, length, plain};
use crate::report::handout::stops;

/// From one thing to the next.
const STEP: i64 = 9 * MM;

/// One thing between front and back.
struct Layer {
    words: String,
    low: i64,
    high: i64,
    /// Of the bag, or tucked into it.
    bag: bool,
    line: Line,
}

fn layer(words: &str, low: i64, high: i64) -> Layer {
    Layer {
        words: words.to_owned(),
        low,
        high,
        bag: true,
        line: Line::Edge,
    }
}

/// Height of the drawn leaf, and of one leaf with its title.
const HIGH: i64 = 52 * MM;
const BLOCK: i64 = 74 * MM;

/// What these pages are called.
pub const TITLE: &str = "Cut open: what lies behind what";
const INTRODUCTION: &str = "Each leaf seen from its outer edge, pocket side at the left, mouth above. Heights are to scale, thicknesses are not. Short level lines: there a thing stops. Letters as in the drawings.";

/// Leaves that something is tucked into.
fn tucked(plan: &Plan) -> impl Iterator<Item = &LeafPlan> {
    let loose = |leaf: &&LeafPlan| leaf.inserts.iter().any(|i| i.goes != Where::Back);
    plan.leaves.iter().filter(loose)
}

/// All leaves that something is tucked into, several on a page.
pub fn pages(paper: Paper, plan: &Plan) -> Vec<Page> {
    let body = paper.body();
    let mut pages: Vec<Page> = Vec::new();
    let mut y = body.bottom;
    for leaf in tucked(plan) {
        let lines = layers(plan, leaf, &view::lettered(plan, leaf, true))
            .0
            .len() as i64;
        let block = BLOCK.max(20 * MM + lines * 7 * MM);
        if y + block > body.bottom {
            let title = match pages.is_empty() {
                true => TITLE.to_owned(),
                false => format!("{TITLE}, continued"),
            };
            let mut page = paper.page(&title, INTRODUCTION);
            y = column(&mut page, body, body.top, "", &[INTRODUCTION.to_owned()]);
            pages.push(page);
        }
        if let Some(page) = pages.last_mut() {
            let area = Area {
                top: y,
                bottom: (y + block).min(body.bottom),
                ..body
            };
            draw(page, plan, leaf, area);
        }
        y += block;
    }
    pages
}

/// One leaf by itself; `None` if nothing is tucked in.
pub fn page(paper: Paper, plan: &Plan, leaf: &LeafPlan) -> Option<Page> {
    tucked(plan).find(|other| other.name == leaf.name)?;
    let about = format!("{}. {INTRODUCTION}", capital(&leaf.name));
    let title = format!("{}, cut open", capital(&leaf.name));
    let mut page = paper.page(&title, &about);
    draw(&mut page, plan, leaf, paper.body());
    Some(page)
}

fn draw(page: &mut Page, plan: &Plan, leaf: &LeafPlan, area: Area) {
    let height = drawn(leaf.height);
    let pieces = view::lettered(plan, leaf, true);
    let (layers, stops) = layers(plan, leaf, &pieces);
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
        match layer.bag {
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
    let title = format!("{}, from front to back", capital(&leaf.name));
    column(page, beside, area.top, &title, &words);
}

/// Everything from front to back, and where things stop: from layer, to layer, height above the tail.
fn layers(
    plan: &Plan,
    leaf: &LeafPlan,
    pieces: &[(String, Placed)],
) -> (Vec<Layer>, Vec<(usize, usize, i64)>) {
    let height = drawn(leaf.height);
    let told = |value| length(plan.ruler, value);
    let mut layers: Vec<Layer> = Vec::new();
    let mut ends = Vec::new();
    let piece = |name: &str| pieces.iter().find(|(_, piece)| piece.name == name);
    let tucked = |layers: &mut Vec<Layer>, goes: Where, section: &str| {
        for (letter, piece) in pieces {
            let What::Insert(n) = piece.what else {
                continue;
            };
            let insert = &leaf.inserts[n];
            if insert.goes != goes || (goes == Where::Mouth && insert.section != section) {
                continue;
            }
            layers.push(Layer {
                words: format!("{letter}: {}", plain(&piece.name)),
                low: piece.low,
                high: piece.low + piece.high,
                bag: false,
                line: Line::Thin,
            });
        }
    };
    if let Some((letter, band)) = piece("band") {
        let words = format!("{letter}: band");
        layers.push(layer(&words, band.low, band.low + band.high));
    }
    let stop = piece(stops::NAME).map(|(letter, stop)| {
        let words = format!("{letter}: {}, a folded strip", stops::NAME);
        layers.push(layer(&words, stop.low, stop.low + stop.high));
        layers.len() - 1
    });
    tucked(&mut layers, Where::Band, "");
    let flap = leaf.pocket_edge.map(|edge| {
        layers.push(layer(
            &format!("pocket, its edge {} above the tail", told(edge)),
            0,
            drawn(edge),
        ));
        (layers.len() - 1, drawn(edge))
    });
    if let (Some(stop), Some((pocket, _))) = (stop, flap) {
        ends.push((stop, pocket, 0));
    }
    tucked(&mut layers, Where::Pocket, "");
    layers.push(layer("front of the bag", 0, height));
    let front = layers.len() - 1;
    if let Some((n, edge)) = flap {
        ends.push((n, front, 0));
        if let Some(depth) = leaf.pocket_depth {
            ends.push((n, front, edge - drawn(depth)));
        }
    }
    let depth = |name: &str| {
        let found = leaf.sections.iter().find(|(n, _)| n == name);
        found.map(|(_, depth)| *depth)
    };
    let mut before = front;
    if let Some(deep) = depth("front") {
        tucked(&mut layers, Where::Mouth, "front");
        layers.push(Layer {
            line: Line::Fold,
            ..layer(
                &format!(
                    "the fold at the bag's sides; front slot {} deep",
                    told(deep)
                ),
                height - drawn(deep),
                height,
            )
        });
        ends.push((before, layers.len() - 1, height - drawn(deep)));
        before = layers.len() - 1;
    }
    for name in ["back", "only"] {
        tucked(&mut layers, Where::Mouth, name);
        if let Some(deep) = depth(name) {
            let slot = if name == "back" { "back slot" } else { "mouth" };
            layers.push(layer(
                &format!("back of the bag; {slot} {} deep", told(deep)),
                0,
                height,
            ));
            ends.push((before, layers.len() - 1, height - drawn(deep)));
        }
    }
    if leaf.sections.is_empty() {
        layers.push(layer("back of the bag", 0, height));
    }
    // The tail closes the bag.
    ends.push((front, layers.len() - 1, 0));
    (layers, ends)
}
