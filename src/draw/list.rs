//! What is drawn, in exact lengths and in the order in which it is drawn: later marks lie over
//! earlier ones.

use super::font::{self, Face};
use crate::length::Length;

/// A place on a page: across from its left edge, down from its upper edge.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Point {
    pub x: Length,
    pub y: Length,
}

/// A place in whole nanometres.
pub const fn at(x: i64, y: i64) -> Point {
    Point {
        x: Length::from_nm(x),
        y: Length::from_nm(y),
    }
}

/// An upright rectangle, in whole nanometres.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Area {
    pub left: i64,
    pub top: i64,
    pub right: i64,
    pub bottom: i64,
}

impl Area {
    /// From its upper left corner and its sides.
    pub const fn sized(left: i64, top: i64, width: i64, height: i64) -> Area {
        Area {
            left,
            top,
            right: left + width,
            bottom: top + height,
        }
    }

    pub const fn width(self) -> i64 {
        self.right - self.left
    }

    pub const fn height(self) -> i64 {
        self.bottom - self.top
    }

    /// The point half way across and down, rounded down to a nanometre.
    pub const fn middle(self) -> (i64, i64) {
        (
            self.left.midpoint(self.right),
            self.top.midpoint(self.bottom),
        )
    }

    /// The same, larger by so much at every side; smaller where it is negative.
    pub const fn grown(self, by: i64) -> Area {
        Area {
            left: self.left - by,
            top: self.top - by,
            right: self.right + by,
            bottom: self.bottom + by,
        }
    }

    /// Whether all of `other` lies in it.
    pub const fn holds(self, other: Area) -> bool {
        self.left <= other.left
            && self.top <= other.top
            && self.right >= other.right
            && self.bottom >= other.bottom
    }

    /// Whether the two have more than an edge in common.
    pub const fn meets(self, other: Area) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }

    /// The least area that holds both.
    pub fn with(self, other: Area) -> Area {
        Area {
            left: self.left.min(other.left),
            top: self.top.min(other.top),
            right: self.right.max(other.right),
            bottom: self.bottom.max(other.bottom),
        }
    }

    /// Its corners, clockwise from the upper left.
    pub fn corners(self) -> Vec<Point> {
        vec![
            at(self.left, self.top),
            at(self.right, self.top),
            at(self.right, self.bottom),
            at(self.left, self.bottom),
        ]
    }
}

/// A line's width and pattern, after ISO 128-2 (from memory): wide lines twice as wide as narrow
/// ones; a dash is 12, a long dash 24, a gap 3 and a dot half a narrow line's width.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Line {
    /// Continuous, wide: edges that are cut, visible edges.
    Edge,
    /// Continuous, narrow: dimensions, hatching, tables, axes.
    Thin,
    /// Dashed, narrow: hidden edges.
    Hidden,
    /// Long-dash double-dot, narrow: folds.
    Fold,
    /// Long-dash dot, narrow: centre lines.
    Centre,
}

impl Line {
    /// Width of the line (nanometres).
    pub const fn width(self) -> i64 {
        match self {
            Line::Edge => 500_000,
            Line::Hidden | Line::Fold => 250_000,
            Line::Thin | Line::Centre => 180_000,
        }
    }

    /// Lengths of dashes and gaps in turn (nanometres); empty where it is continuous.
    pub const fn dashes(self) -> &'static [i64] {
        match self {
            Line::Edge | Line::Thin => &[],
            Line::Hidden => &[2_000_000, 1_000_000],
            Line::Fold => &[6_000_000, 1_000_000, 250_000, 1_000_000, 250_000, 1_000_000],
            Line::Centre => &[4_000_000, 800_000, 200_000, 800_000],
        }
    }
}

/// A colour. Black first: greys tell things apart on any printer; the tints are for the eye alone
/// and always stand beside a hatch, a shape or a word.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Ink {
    Black,
    /// Words of lesser weight.
    Dark,
    /// Lines of lesser weight.
    Mid,
    Light,
    /// Grounds behind black words.
    Pale,
    White,
    /// Orange, sky blue, green, blue, red and purple that colour-blind eyes tell apart, each in a
    /// strong shade for lines and points. After Okabe and Ito's palette, from memory.
    Orange,
    Sky,
    Green,
    Blue,
    Red,
    Purple,
    /// The same, pale: grounds behind black words.
    PaleOrange,
    PaleSky,
    PaleGreen,
    PaleBlue,
    PaleRed,
    PalePurple,
}

impl Ink {
    /// Red, green and blue.
    pub const fn rgb(self) -> [u8; 3] {
        match self {
            Ink::Black => [0, 0, 0],
            Ink::Dark => [70, 70, 70],
            Ink::Mid => [128, 128, 128],
            Ink::Light => [190, 190, 190],
            Ink::Pale => [235, 235, 235],
            Ink::White => [255, 255, 255],
            Ink::Orange => [230, 159, 0],
            Ink::Sky => [86, 180, 233],
            Ink::Green => [0, 158, 115],
            Ink::Blue => [0, 114, 178],
            Ink::Red => [213, 94, 0],
            Ink::Purple => [204, 121, 167],
            Ink::PaleOrange => [250, 231, 191],
            Ink::PaleSky => [213, 236, 250],
            Ink::PaleGreen => [191, 231, 220],
            Ink::PaleBlue => [191, 220, 236],
            Ink::PaleRed => [245, 215, 191],
            Ink::PalePurple => [242, 222, 233],
        }
    }
}

/// A line with its colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stroke {
    pub line: Line,
    pub ink: Ink,
}

impl From<Line> for Stroke {
    fn from(line: Line) -> Stroke {
        let ink = Ink::Black;
        Stroke { line, ink }
    }
}

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

/// A shape, and the name of what it stands for: `shore: front_mat`; empty where it is nothing that
/// is cut or punched. Names are written into SVG, so that sizes can be read back.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mark {
    pub name: String,
    pub shape: Shape,
}

/// How an area is hatched, so that it is told apart without colour.
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
    /// What a person who cannot see it is told.
    pub about: String,
    /// As in BCP 47: `en`.
    pub language: &'static str,
    pub marks: Vec<Mark>,
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
        let shape = Shape::Path {
            points: points.to_vec(),
            closed: false,
            stroke: Some(stroke.into()),
            fill: None,
        };
        self.push("", shape);
    }

    /// A closed outline with a name, see [`Mark::name`].
    pub fn outline(
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
    pub fn rect(&mut self, name: &str, area: Area, stroke: Option<Stroke>, fill: Option<Ink>) {
        self.outline(name, &area.corners(), stroke, fill);
    }

    /// A filled area without an outline.
    pub fn fill(&mut self, area: Area, ink: Ink) {
        self.rect("", area, None, Some(ink));
    }

    /// A circle with a name, see [`Mark::name`].
    pub fn circle(
        &mut self,
        name: &str,
        centre: Point,
        radius: Length,
        stroke: Option<Stroke>,
        fill: Option<Ink>,
    ) {
        let shape = Shape::Circle {
            centre,
            radius,
            stroke,
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
