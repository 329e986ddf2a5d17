//! Whether a page can be read: no text lies on another text or on a line, nothing lies off the page.

use super::list::{Area, Page, Point, Shape};
use crate::length::Length;
use itertools::Itertools;

/// What is wrong with a page, a sentence each; empty where it can be read.
///
/// A text is held against texts and lines that can still be seen: an area that is filled after them
/// and holds the whole text hides them.
pub fn faults(page: &Page) -> Vec<String> {
    let sheet = page.area();
    let mut faults = Vec::new();
    for mark in &page.marks {
        let what = match &mark.shape {
            Shape::Text(text) => &text.words,
            _ => &mark.name,
        };
        let area = mark.shape.area();
        if !sheet.holds(area) {
            faults.push(format!("`{what}` is off the page: {area:?}"));
        }
    }
    let marks: Vec<(Area, &Shape)> = page
        .marks
        .iter()
        .map(|mark| (mark.shape.area(), &mark.shape))
        .collect();
    for (at, (area, shape)) in marks.iter().enumerate() {
        let (Shape::Text(text), area) = (shape, *area) else {
            continue;
        };
        let hidden = marks[..at]
            .iter()
            .rposition(|(all, s)| all.holds(area) && ground(s, area));
        let from = hidden.map_or(0, |n| n + 1);
        let near = area.grown(WIDEST);
        for (n, (all, other)) in marks.iter().enumerate().skip(from) {
            if n == at || !all.grown(1).meets(near) {
                continue;
            }
            let told = match other {
                // Two texts are told once, unless a ground between them hides the first.
                Shape::Text(second) => {
                    let hides = |(_, s): &(Area, &Shape)| ground(s, *all);
                    let apart = n <= at || !area.meets(*all) || marks[at..n].iter().any(hides);
                    (!apart).then(|| format!("`{}`", second.words))
                }
                other if line_in(other, area) => Some(format!("{other:?}")),
                _ => None,
            };
            faults.extend(told.map(|told| format!("`{}` lies on {told}", text.words)));
        }
    }
    faults
}

/// What is on a page already, so that a place for something more can be found.
pub struct Taken<'p> {
    sheet: Area,
    /// Everything with a line or letters, and what it takes up at most.
    marks: Vec<(Area, &'p Shape)>,
}

impl<'p> Taken<'p> {
    /// Everything on a page.
    pub fn on(page: &'p Page) -> Taken<'p> {
        let drawn = |shape: &Shape| match shape {
            Shape::Path { stroke, .. } | Shape::Circle { stroke, .. } => stroke.is_some(),
            Shape::Text(_) => true,
        };
        let shapes = page.marks.iter().map(|mark| &mark.shape);
        // A drawing that is not cut to its size yet has no edges.
        let sheet = match page.width.nm() {
            0 => Area::sized(0, 0, 0, 0).grown(i64::MAX / 4),
            _ => page.area(),
        };
        Taken {
            sheet,
            marks: shapes
                .filter(|shape| drawn(shape))
                .map(|shape| (shape.area(), shape))
                .collect(),
        }
    }

    /// Only its texts and its circles, which no ground may hide.
    pub fn texts(page: &'p Page) -> Taken<'p> {
        let mut taken = Taken::on(page);
        taken
            .marks
            .retain(|(_, shape)| !matches!(shape, Shape::Path { .. }));
        taken
    }

    /// Whether an area lies on the page, and on no line and no text.
    pub fn free(&self, area: Area) -> bool {
        let taken = |(bounds, shape): &(Area, &Shape)| {
            is_near(*bounds, area)
                && match shape {
                    Shape::Text(_) => bounds.meets(area),
                    other => line_in(other, area),
                }
        };
        self.sheet.holds(area) && !self.marks.iter().any(taken)
    }

    /// All places of this size in a room, so far from each other, that lie on no line and no text, row by
    /// row. Each line is held against the places near it only: a room has thousands.
    pub fn places(&self, room: Area, (wide, high): (i64, i64), step: i64) -> Vec<Area> {
        let steps = |from: i64, to: i64| (from..=to).step_by(step as usize).collect();
        let columns: Vec<i64> = steps(room.left, room.right - wide);
        let rows: Vec<i64> = steps(room.top, room.bottom - high);
        let near = |starts: &[i64], long: i64, low: i64, end: i64| {
            starts.partition_point(|it| it + long <= low)..starts.partition_point(|it| *it < end)
        };
        let mut free = vec![true; columns.len() * rows.len()];
        let mut take = |bounds: Area, enters: &dyn Fn(Area) -> bool| {
            let across = near(&columns, wide, bounds.left, bounds.right);
            for row in near(&rows, high, bounds.top, bounds.bottom) {
                for column in across.clone() {
                    let place = Area::sized(columns[column], rows[row], wide, high);
                    let free = &mut free[row * columns.len() + column];
                    *free = *free && !enters(place);
                }
            }
        };
        for (bounds, shape) in self.marks.iter().filter(|it| is_near(it.0, room)) {
            match shape {
                Shape::Text(_) => take(*bounds, &|_| true),
                Shape::Circle { .. } => take(bounds.grown(WIDEST), &|it| line_in(shape, it)),
                Shape::Path { .. } => {
                    for (half, [a, b]) in lines(shape) {
                        let bounds = ends(a, b).grown(half);
                        let upright = a.x == b.x || a.y == b.y;
                        take(bounds, &|it| upright || crosses(it.grown(half), a, b));
                    }
                }
            }
        }
        let places = rows.iter().cartesian_product(&columns);
        let places = places.map(|(y, x)| Area::sized(*x, *y, wide, high));
        let places = places
            .zip(free)
            .filter(|(place, free)| *free && self.sheet.holds(*place));
        places.map(|(place, _)| place).collect()
    }
}

/// No line is wider than this.
const WIDEST: i64 = 500_000;

/// Whether a line with these bounds may enter an area.
fn is_near(bounds: Area, area: Area) -> bool {
    let near = area.grown(WIDEST);
    bounds.right >= near.left
        && bounds.left <= near.right
        && bounds.bottom >= near.top
        && bounds.top <= near.bottom
}

/// Whether an area lies on the page, and on no line and no text.
pub fn free(page: &Page, area: Area) -> bool {
    Taken::on(page).free(area)
}

/// Whether a shape is a filled area that holds all of this one.
fn ground(shape: &Shape, area: Area) -> bool {
    match shape {
        Shape::Path {
            points,
            fill: Some(_),
            closed: true,
            ..
        } => {
            // Upright rectangles only: of others the bounds would say too much.
            let all = shape.area();
            points.len() == 4 && all.corners().iter().all(|c| points.contains(c)) && all.holds(area)
        }
        Shape::Circle {
            centre,
            radius,
            fill: Some(_),
            ..
        } => {
            let far = farthest(area, *centre);
            far <= i128::from(radius.nm()) * i128::from(radius.nm())
        }
        _ => false,
    }
}

/// Whether a shape's line enters an area.
fn line_in(shape: &Shape, area: Area) -> bool {
    match shape {
        Shape::Path { .. } => lines(shape).any(|(half, [a, b])| crosses(area.grown(half), a, b)),
        Shape::Circle {
            centre,
            radius,
            stroke: Some(stroke),
            ..
        } => rim_in(area.grown(stroke.line.width() / 2), *centre, radius.nm()),
        _ => false,
    }
}

/// The straight lines of a path that is drawn, each with half its width.
fn lines(shape: &Shape) -> impl Iterator<Item = (i64, [Point; 2])> {
    let (points, closed, half): (&[Point], bool, i64) = match shape {
        Shape::Path {
            points,
            closed,
            stroke: Some(stroke),
            ..
        } => (points, *closed, stroke.line.width() / 2),
        _ => (&[], false, 0),
    };
    let ring = points.last().zip(points.first()).filter(|_| closed);
    let pairs = points.iter().zip(points.iter().skip(1)).chain(ring);
    pairs.map(move |(a, b)| (half, [*a, *b]))
}

/// The area of a line that has no width.
fn ends(a: Point, b: Point) -> Area {
    let one = |p: Point| Area::sized(p.x.nm(), p.y.nm(), 0, 0);
    one(a).with(one(b))
}

/// Whether a straight line enters an area.
fn crosses(area: Area, a: Point, b: Point) -> bool {
    let line = ends(a, b);
    if line.right <= area.left
        || line.left >= area.right
        || line.bottom <= area.top
        || line.top >= area.bottom
    {
        return false;
    }
    // All corners on one side of the line: no.
    let (dx, dy) = (line_side(a.x, b.x), line_side(a.y, b.y));
    let side = |c: Point| dx * line_side(a.y, c.y) - dy * line_side(a.x, c.x);
    let sides = area.corners().map(side);
    !(sides.iter().all(|s| *s > 0) || sides.iter().all(|s| *s < 0))
}

fn line_side(from: Length, to: Length) -> i128 {
    i128::from(to.nm()) - i128::from(from.nm())
}

/// Square of the distance from a point to the farthest point of an area.
fn farthest(area: Area, from: Point) -> i128 {
    let (x, y) = (from.x.nm(), from.y.nm());
    let dx = (area.left - x).abs().max((area.right - x).abs());
    let dy = (area.top - y).abs().max((area.bottom - y).abs());
    i128::from(dx) * i128::from(dx) + i128::from(dy) * i128::from(dy)
}

/// Whether a circle's rim enters an area: the area's nearest point lies inside the circle, its
/// farthest outside.
fn rim_in(area: Area, centre: Point, radius: i64) -> bool {
    let (x, y) = (centre.x.nm(), centre.y.nm());
    let dx = i128::from(x.clamp(area.left, area.right) - x);
    let dy = i128::from(y.clamp(area.top, area.bottom) - y);
    let rim = i128::from(radius) * i128::from(radius);
    dx * dx + dy * dy < rim && rim < farthest(area, centre)
}

#[cfg(test)]
mod tests {
    use super::super::font::Face;
    use super::super::list::{Anchor, Ink, Line, Text, at};
    use super::*;

    fn page() -> Page {
        let side = Length::from_nm(100_000_000);
        Page::new(side, side, "p", "")
    }

    fn say(page: &mut Page, x: i64, y: i64, words: &str) {
        page.text(Text {
            at: at(x, y),
            words: words.to_owned(),
            size: Length::from_nm(4_000_000),
            face: Face::Regular,
            anchor: Anchor::Middle,
            turned: false,
            ink: Ink::Black,
        });
    }

    #[test]
    fn what_lies_on_what_is_found() {
        let mut one = page();
        say(&mut one, 50_000_000, 50_000_000, "mat");
        assert_eq!(faults(&one), Vec::<String>::new());
        // Before or after it: a line through it, a text on it, off the page, a circle's rim.
        let mut line = one.clone();
        line.line(at(0, 49_000_000), at(100_000_000, 49_000_000), Line::Thin);
        assert_eq!(faults(&line).len(), 1);
        let mut text = one.clone();
        say(&mut text, 52_000_000, 51_000_000, "tag");
        assert_eq!(faults(&text).len(), 1);
        let mut off = one.clone();
        say(&mut off, 1_000_000, 20_000_000, "far too far");
        assert_eq!(faults(&off).len(), 1);
        let mut rim = one.clone();
        rim.circle("", at(50_000_000, 45_000_000), 5_000_000, Line::Thin, None);
        assert_eq!(faults(&rim).len(), 1);
        // A slanting line that misses the letters though its bounds do not.
        let mut slant = one;
        slant.line(
            at(40_000_000, 47_000_000),
            at(50_000_000, 10_000_000),
            Line::Thin,
        );
        assert_eq!(faults(&slant), Vec::<String>::new());
    }

    #[test]
    fn a_ground_hides_what_is_below() {
        let mut one = page();
        one.line(at(0, 49_000_000), at(100_000_000, 49_000_000), Line::Thin);
        one.fill(
            Area::sized(30_000_000, 40_000_000, 40_000_000, 20_000_000),
            Ink::White,
        );
        say(&mut one, 50_000_000, 50_000_000, "mat");
        assert_eq!(faults(&one), Vec::<String>::new());
    }
}
