//! Whether a page can be read: no text lies on another text or on a line, nothing lies off the page.

use super::list::{Area, Page, Shape};

/// What is wrong with a page, a sentence each; empty where it can be read.
///
/// A text is held against texts and lines that can still be seen: an area that is filled after them
/// and holds the whole text hides them.
pub fn faults(page: &Page) -> Vec<String> {
    let mut faults = Vec::new();
    let sheet = page.area();
    // What has been drawn so far: texts, lines as pairs of points, circles.
    let mut texts: Vec<(Area, &str)> = Vec::new();
    let mut seen: Vec<Drawn> = Vec::new();
    for mark in &page.marks {
        match &mark.shape {
            Shape::Text(text) => {
                let area = text.area();
                if !sheet.holds(area) {
                    faults.push(format!("`{}` is off the page: {area:?}", text.words));
                }
                texts.push((area, &text.words));
                seen.push(Drawn::Text(texts.len() - 1));
            }
            Shape::Path {
                points,
                closed,
                stroke,
                fill,
            } => {
                let xy = |n: usize| (points[n].x.nm(), points[n].y.nm());
                if fill.is_some() {
                    seen.push(Drawn::Ground(bounds(
                        points.iter().map(|p| (p.x.nm(), p.y.nm())),
                    )));
                }
                if let Some(stroke) = stroke {
                    for n in 1..points.len() {
                        seen.push(Drawn::Line(xy(n - 1), xy(n), stroke.line.width()));
                    }
                    if *closed && points.len() > 1 {
                        seen.push(Drawn::Line(
                            xy(points.len() - 1),
                            xy(0),
                            stroke.line.width(),
                        ));
                    }
                }
                let all = bounds(points.iter().map(|p| (p.x.nm(), p.y.nm())));
                if !sheet.holds(all) {
                    faults.push(format!("a line `{}` is off the page: {all:?}", mark.name));
                }
            }
            Shape::Circle { centre, radius, .. } => {
                let ((x, y), r) = ((centre.x.nm(), centre.y.nm()), radius.nm());
                let all = Area::sized(x - r, y - r, 2 * r, 2 * r);
                if !sheet.holds(all) {
                    faults.push(format!("a circle `{}` is off the page", mark.name));
                }
                seen.push(Drawn::Circle((x, y), r));
            }
        }
    }
    for (at, drawn) in seen.iter().enumerate() {
        let Drawn::Text(text) = drawn else { continue };
        let (area, words) = texts[*text];
        let hidden = seen[..at]
            .iter()
            .rposition(|d| matches!(d, Drawn::Ground(g) if g.holds(area)));
        let from = hidden.map_or(0, |n| n + 1);
        for (n, other) in seen.iter().enumerate().skip(from).filter(|(n, _)| *n != at) {
            let touched = match other {
                Drawn::Text(second) if *second > *text && area.meets(texts[*second].0) => {
                    let between = &seen[at..n];
                    let over =
                        |d: &Drawn| matches!(d, Drawn::Ground(g) if g.holds(texts[*second].0));
                    (!between.iter().any(over)).then(|| format!("`{}`", texts[*second].1))
                }
                Drawn::Line(a, b, wide) if crosses(area.grown(wide / 2), *a, *b) => {
                    Some(format!("a line from {a:?} to {b:?}"))
                }
                Drawn::Circle((x, y), r) if rim_meets(area, (*x, *y), *r) => {
                    Some("a circle".to_owned())
                }
                _ => None,
            };
            if let Some(other) = touched {
                faults.push(format!("`{words}` lies on {other}"));
            }
        }
    }
    faults
}

/// One thing on the page, as far as texts can lie on it.
enum Drawn {
    /// Place in the list of texts.
    Text(usize),
    /// From, to, and how wide.
    Line((i64, i64), (i64, i64), i64),
    Circle((i64, i64), i64),
    /// A filled area, taken as its bounds.
    Ground(Area),
}

fn bounds(points: impl Iterator<Item = (i64, i64)>) -> Area {
    let one = |(x, y): (i64, i64)| Area::sized(x, y, 0, 0);
    points.map(one).reduce(Area::with).unwrap_or_default()
}

/// Whether a straight line enters an area.
fn crosses(area: Area, a: (i64, i64), b: (i64, i64)) -> bool {
    let line = bounds([a, b].into_iter());
    if line.right <= area.left
        || line.left >= area.right
        || line.bottom <= area.top
        || line.top >= area.bottom
    {
        return false;
    }
    // All corners on one side of the line: no.
    let (dx, dy) = (i128::from(b.0 - a.0), i128::from(b.1 - a.1));
    let side = |x: i64, y: i64| dx * i128::from(y - a.1) - dy * i128::from(x - a.0);
    let corners = [
        side(area.left, area.top),
        side(area.right, area.top),
        side(area.left, area.bottom),
        side(area.right, area.bottom),
    ];
    !(corners.iter().all(|s| *s > 0) || corners.iter().all(|s| *s < 0))
}

/// Whether a circle's rim enters an area: its nearest point lies inside the circle, its farthest
/// outside.
fn rim_meets(area: Area, (x, y): (i64, i64), radius: i64) -> bool {
    let square =
        |dx: i64, dy: i64| i128::from(dx) * i128::from(dx) + i128::from(dy) * i128::from(dy);
    let near = square(
        x.clamp(area.left, area.right) - x,
        y.clamp(area.top, area.bottom) - y,
    );
    let far = square(
        (area.left - x).abs().max((area.right - x).abs()),
        (area.top - y).abs().max((area.bottom - y).abs()),
    );
    let rim = i128::from(radius) * i128::from(radius);
    near < rim && rim < far
}

#[cfg(test)]
mod tests {
    use super::super::font::Face;
    use super::super::list::{Anchor, Ink, Line, Text, at};
    use super::*;
    use crate::length::Length;

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
        rim.circle(
            "",
            at(50_000_000, 45_000_000),
            Length::from_nm(5_000_000),
            None,
            None,
        );
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
