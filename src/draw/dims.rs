//! Dimension lines: what is measured, with arrows at both ends, in lanes beside a drawing.

use super::font::{self, Face};
use super::list::{Anchor, Area, Ink, Line, Page, Point, Text, at};
use super::paper::{MM, said};
use crate::length::Length;

/// From lane to lane.
pub const LANE: i64 = 5_400_000;
/// Height of the font.
pub const SIZE: i64 = 3_100_000;
/// An arrow's length and half its width.
const ARROW: (i64, i64) = (1_900_000, 450_000);
/// Beyond its lane, and between drawing and extension line.
const BEYOND: i64 = MM;

/// What is measured: from, to (on the page, nanometres), what it is of, and its length in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Dim {
    pub from: i64,
    pub to: i64,
    pub of: Vec<String>,
    pub length: String,
}

/// In which direction measures run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Run {
    /// Across: lanes lie below each other.
    Across,
    /// Up: lanes lie beside each other, to the right.
    Up,
    /// Up, and the lanes lie to the left.
    UpLeft,
}

/// Draws measures, each in a lane of its own, the shortest next to the drawing's edge.
///
/// `edge` is where the extension lines begin: below the drawing, or at its side.
pub fn draw(page: &mut Page, run: Run, edge: i64, dims: &[Dim], within: Area) {
    let mut dims: Vec<&Dim> = dims.iter().collect();
    dims.sort_by_key(|dim| (dim.to - dim.from, dim.from));
    let sign = if run == Run::UpLeft { -1 } else { 1 };
    // Along the measure, and from the drawing outwards, as a point of the page.
    let point = |along: i64, out: i64| -> Point {
        match run {
            Run::Across => at(along, out),
            Run::Up | Run::UpLeft => at(out, along),
        }
    };
    let lane = |n: usize| edge + sign * (LANE * (n as i64 + 1) - MM);
    for (n, dim) in dims.iter().enumerate() {
        let out = lane(n);
        for end in [dim.from, dim.to] {
            let start = edge + sign * BEYOND;
            page.line(
                point(end, start),
                point(end, out + sign * BEYOND),
                Line::Thin,
            );
        }
        let room = dim.to - dim.from > 2 * ARROW.0 + MM;
        let tail = if room { 0 } else { 2 * ARROW.0 };
        page.line(
            point(dim.from - tail, out),
            point(dim.to + tail, out),
            Line::Thin,
        );
        for (tip, inward) in [(dim.from, 1), (dim.to, -1)] {
            let way = if room { inward } else { -inward };
            let arrow = [
                point(tip, out),
                point(tip + way * ARROW.0, out - ARROW.1),
                point(tip + way * ARROW.0, out + ARROW.1),
            ];
            page.outline("", &arrow, None, Some(Ink::Black));
        }
    }
    for (n, dim) in dims.iter().enumerate() {
        label(page, run, dim, lane(n), within);
    }
}

/// The label on its line, or beside it where the measure is too short.
fn label(page: &mut Page, run: Run, dim: &Dim, out: i64, within: Area) {
    let size = Length::from_nm(SIZE);
    let words = font::drawable(&format!("{}  {}", dim.of.join(", "), dim.length));
    let room = font::extent(Face::Regular, size, &words);
    let half = room.width / 2 + MM;
    let fits = dim.to - dim.from >= room.width + 2 * ARROW.0 + 2 * MM;
    let tail = 2 * ARROW.0;
    let (least, most) = match run {
        Run::Across => (within.left, within.right),
        Run::Up | Run::UpLeft => (within.top, within.bottom),
    };
    // Beyond the end that is read last, or the other one where there is no room.
    let beyond = match run {
        Run::Across if dim.to + tail + 2 * half <= most => dim.to + tail + half,
        Run::Up | Run::UpLeft if dim.from - tail - 2 * half >= least => dim.from - tail - half,
        Run::Across => dim.from - tail - half,
        Run::Up | Run::UpLeft => dim.to + tail + half,
    };
    let middle = match fits {
        true => dim.from.midpoint(dim.to),
        false => beyond,
    };
    let drop = font::capital(Face::Regular, size) / 2;
    let turned = run != Run::Across;
    let place = match turned {
        false => at(middle, out + drop),
        true => at(out + drop, middle),
    };
    let text = Text {
        at: place,
        anchor: Anchor::Middle,
        turned,
        ..said(0, 0, &words, SIZE)
    };
    page.fill(text.area().grown(MM / 2), Ink::White);
    page.text(text);
}

/// A measure of something; together with what lies between the same ends.
pub fn add(dims: &mut Vec<Dim>, from: i64, to: i64, of: &str, length: &str) {
    let (from, to) = (from.min(to), from.max(to));
    let same = |dim: &&mut Dim| (dim.from, dim.to) == (from, to) && dim.length == length;
    match dims.iter_mut().find(same) {
        Some(dim) => dim.of.push(of.to_owned()),
        None => dims.push(Dim {
            from,
            to,
            of: vec![of.to_owned()],
            length: length.to_owned(),
        }),
    }
}
