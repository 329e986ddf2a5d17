//! What is drawn, in exact lengths and in the order in which it is drawn: later marks lie over
//! earlier ones.

use super::font::{self, Face};
use crate::length::Length;

pub use super::area::{Area, Point, at};
pub use super::ink::{Ink, Line, Stroke};

/// Which point of a text its place is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    Start,
    Middle,
    End,
}

/// One line of text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Text {
    /// On the baseline.
    pub at: Point,
    pub words: String,
    /// Height of the font: about 1.4 times that of a capital.
    pub size: Length,
    pub face: Face,
    pub anchor: Anchor,
    /// Reads from below to above.
    pub turned: bool,
    pub ink: Ink,
}

impl Text {
    /// The least area around its letters.
    pub fn area(&self) -> Area {
        let box_ = font::extent(self.face, self.size, &self.words);
        let start = match self.anchor {
            Anchor::Start => 0,
            Anchor::Middle => -box_.width / 2 - 1,
            Anchor::End => -box_.width,
        };
        let (x, y) = (self.at.x.nm(), self.at.y.nm());
        match self.turned {
            false => Area {
                left: x + start,
                right: x + start + box_.width + 1,
                top: y - box_.above,
                bottom: y + box_.below,
            },
            true => Area {
                left: x - box_.above,
                right: x + box_.below,
                top: y - start - box_.width - 1,
                bottom: y - start,
            },
        }
    }
}

/// One thing that is drawn.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Shape {
    /// Straight lines from point to point.
    Path {
        points: Vec<Point>,
        closed: bool,
        stroke: Option<Stroke>,
        fill: Option<Ink>,
    },
    Circle {
        centre: Point,
        radius: Length,
        stroke: Option<Stroke>,
        fill: Option<Ink>,
    },
    Text(Text),
}

impl Shape {
    /// Moves it to the right and down (nanometres).
    pub fn shift(&mut self, right: i64, down: i64) {
        let move_ = |point: &mut Point| {
            *point = at(point.x.nm() + right, point.y.nm() + down);
        };
        match self {
            Shape::Path { points, .. } => points.iter_mut().for_each(move_),
            Shape::Circle { centre, .. } => move_(centre),
            Shape::Text(text) => move_(&mut text.at),
        }
    }

    /// The least area around it, its lines taken as having no width.
    pub fn area(&self) -> Area {
        match self {
            Shape::Path { points, .. } => {
                let one = |p: &Point| Area::sized(p.x.nm(), p.y.nm(), 0, 0);
                points
                    .iter()
                    .map(one)
                    .reduce(Area::with)
                    .unwrap_or_default()
            }
            Shape::Circle { centre, radius, .. } => {
                Area::sized(centre.x.nm(), centre.y.nm(), 0, 0).grown(radius.nm())
            }
            Shape::Text(text) => text.area(),
        }
    }
}

/// A shape, and the name of what it stands for: `shore: front_mat`; empty where it is nothing that
/// is cut or punched. Names are written into SVG, so that sizes can be read back.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mark {
    pub name: String,
    pub shape: Shape,
}

/// What marks that stand together are, for a reader who does not see them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Role {
    /// A heading and its level: 1 is the document's title.
    Heading(u8),
    Text,
    /// Of a list.
    Item,
    /// Of a table: whether it begins a row, and whether it is a heading.
    Cell {
        first: bool,
        head: bool,
    },
    /// A drawing, in words.
    Figure(String),
}

/// Marks of a page, from one of them up to another, and what they are; what is in none is only to be
/// looked at.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Tagged {
    pub role: Role,
    pub from: usize,
    pub to: usize,
    /// It goes on from the one before.
    pub same: bool,
}

/// How an area is hatched, so that it is distinct without colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hatch {
    /// Lines that rise to the right.
    Rising,
    /// Lines that fall to the right.
    Falling,
    /// Both.
    Crossed,
    Level,
    Upright,
}

/// A page: what is on it, its size, its title and what it shows, in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Page {
    pub width: Length,
    pub height: Length,
    pub title: String,
    /// The description for a person who cannot see it.
    pub about: String,
    /// As in BCP 47: `en`.
    pub language: &'static str,
    pub marks: Vec<Mark>,
    /// In the order in which they are read.
    pub tagged: Vec<Tagged>,
    /// What leads to another page, counted from 0.
    pub links: Vec<(Area, usize)>,
}

impl Page {
    /// An empty page.
    pub fn new(width: Length, height: Length, title: &str, about: &str) -> Page {
        Page {
            width,
            height,
            title: title.to_owned(),
            about: about.to_owned(),
            language: "en",
            marks: Vec::new(),
            tagged: Vec::new(),
            links: Vec::new(),
        }
    }

    /// A drawing of its own, as large as will be seen.
    pub fn figure(title: &str, about: &str) -> Page {
        Page::new(Length::ZERO, Length::ZERO, title, about)
    }

    /// Only what is drawn on it, with so much room around (nanometres).
    pub fn trimmed(mut self, room: i64) -> Page {
        let drawn = self.marks.iter().map(|mark| mark.shape.area());
        let all = drawn.reduce(Area::with).unwrap_or_default().grown(room);
        (self.width, self.height) = (Length::from_nm(all.width()), Length::from_nm(all.height()));
        for mark in &mut self.marks {
            mark.shape.shift(-all.left, -all.top);
        }
        for (area, _) in &mut self.links {
            *area = area.moved(-all.left, -all.top);
        }
        self
    }

    /// Everything of another page, so far to the right and down (nanometres).
    pub fn put(&mut self, other: &Page, right: i64, down: i64) {
        let before = self.marks.len();
        self.marks
            .extend(other.marks.iter().cloned().map(|mut mark| {
                mark.shape.shift(right, down);
                mark
            }));
        let tagged = other.tagged.iter().map(|it| Tagged {
            from: it.from + before,
            to: it.to + before,
            ..it.clone()
        });
        self.tagged.extend(tagged);
        let links = other.links.iter();
        self.links
            .extend(links.map(|(area, to)| (area.moved(right, down), *to)));
    }

    /// The same of a drawing, which is one thing for a reader.
    pub fn put_figure(&mut self, figure: &Page, right: i64, down: i64) {
        // Words stay words.
        if figure.title.is_empty() && figure.about.is_empty() {
            return self.put(figure, right, down);
        }
        let from = self.marks.len();
        self.put(figure, right, down);
        self.tagged.retain(|it| it.from < from);
        let mut about = figure.about.clone();
        if about.is_empty() {
            about.clone_from(&figure.title);
        }
        self.tag(Role::Figure(about), from);
    }

    /// Says what all marks from one on are.
    pub fn tag(&mut self, role: Role, from: usize) {
        let to = self.marks.len();
        if from < to {
            self.tagged.push(Tagged {
                role,
                from,
                to,
                same: false,
            });
        }
    }

    /// All of it.
    pub fn area(&self) -> Area {
        Area::sized(0, 0, self.width.nm(), self.height.nm())
    }

    fn push(&mut self, name: &str, shape: Shape) {
        self.marks.push(Mark {
            name: name.to_owned(),
            shape,
        });
    }

    /// A straight line.
    pub fn line(&mut self, from: Point, to: Point, stroke: impl Into<Stroke>) {
        self.path(&[from, to], stroke);
    }

    /// Straight lines from point to point.
    pub fn path(&mut self, points: &[Point], stroke: impl Into<Stroke>) {
        self.named_path("", points, stroke);
    }

    /// Straight lines with a name, see [`Mark::name`].
    pub fn named_path(&mut self, name: &str, points: &[Point], stroke: impl Into<Stroke>) {
        let mut points = points.to_vec();
        if let [a, b] = points.as_slice()
            && (a.x, a.y) > (b.x, b.y)
        {
            // To the right or down, see [`Line::phase`].
            points.reverse();
        }
        let shape = Shape::Path {
            points,
            closed: false,
            stroke: Some(stroke.into()),
            fill: None,
        };
        self.push(name, shape);
    }

    /// A closed outline with a name, see [`Mark::name`].
    pub fn outline(
        &mut self,
        name: &str,
        points: &[Point],
        stroke: impl Into<Stroke>,
        fill: Option<Ink>,
    ) {
        self.closed(name, points, Some(stroke.into()), fill);
    }

    pub(super) fn closed(
        &mut self,
        name: &str,
        points: &[Point],
        stroke: Option<Stroke>,
        fill: Option<Ink>,
    ) {
        let shape = Shape::Path {
            points: points.to_vec(),
            closed: true,
            stroke,
            fill,
        };
        self.push(name, shape);
    }

    /// An upright rectangle with a name, see [`Mark::name`].
    pub fn rect(&mut self, name: &str, area: Area, stroke: impl Into<Stroke>, fill: Option<Ink>) {
        self.outline(name, &area.corners(), stroke, fill);
    }

    /// A filled area without an outline.
    pub fn fill(&mut self, area: Area, ink: Ink) {
        self.fill_within(&area.corners(), ink);
    }

    /// The same from corner to corner.
    pub fn fill_within(&mut self, corners: &[Point], ink: Ink) {
        self.closed("", corners, None, Some(ink));
    }

    /// A circle with a name, see [`Mark::name`]; its radius in nanometres.
    pub fn circle(
        &mut self,
        name: &str,
        centre: Point,
        radius: i64,
        line: Line,
        fill: Option<Ink>,
    ) {
        let shape = Shape::Circle {
            centre,
            radius: Length::from_nm(radius),
            stroke: Some(line.into()),
            fill,
        };
        self.push(name, shape);
    }

    /// A line of text; what the font cannot draw is replaced, see [`font::drawable`].
    pub fn text(&mut self, text: Text) {
        let words = font::drawable(&text.words);
        if !words.is_empty() {
            self.push("", Shape::Text(Text { words, ..text }));
        }
    }

    /// Narrow lines across an area, so far from each other (nanometres, at least 0.1 mm).
    pub fn hatch(&mut self, area: Area, hatch: Hatch, apart: i64, ink: Ink) {
        let apart = apart.max(100_000);
        let line = Line::Thin;
        let stroke = Stroke { line, ink };
        let Area {
            left,
            top,
            right,
            bottom,
        } = area;
        if area.width() <= 0 || area.height() <= 0 {
            return;
        }
        // The same grid on the whole page, so that neighbours join.
        let grid = |from: i64, to: i64| {
            let first = from.div_euclid(apart) + 1;
            (first..).map(|n| n * apart).take_while(move |at| *at < to)
        };
        let mut lines: Vec<(Point, Point)> = Vec::new();
        if hatch == Hatch::Level {
            lines.extend(grid(top, bottom).map(|y| (at(left, y), at(right, y))));
        }
        if hatch == Hatch::Upright {
            lines.extend(grid(left, right).map(|x| (at(x, top), at(x, bottom))));
        }
        if matches!(hatch, Hatch::Rising | Hatch::Crossed) {
            // x + y stays the same along a rising line.
            lines.extend(grid(left + top, right + bottom).map(|sum| {
                let (low, high) = (left.max(sum - bottom), right.min(sum - top));
                (at(low, sum - low), at(high, sum - high))
            }));
        }
        if matches!(hatch, Hatch::Falling | Hatch::Crossed) {
            lines.extend(grid(left - bottom, right - top).map(|off| {
                let (low, high) = (left.max(off + top), right.min(off + bottom));
                (at(low, low - off), at(high, high - off))
            }));
        }
        for (from, to) in lines {
            self.line(from, to, stroke);
        }
    }
}

/// Pages that belong together.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Document {
    pub title: String,
    pub language: &'static str,
    pub pages: Vec<Page>,
}
