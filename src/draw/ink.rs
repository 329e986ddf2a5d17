//! Kinds of lines and colours.

use super::area::Point;

/// A line's width and pattern, after ISO 128-2 (from memory): wide lines twice as wide as narrow
/// ones; a dash is 12, a long dash 24, a gap 3 and a dot half a narrow line's width.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Line {
    /// Continuous, wide: edges that are cut, visible edges.
    Edge,
    /// Continuous, 0.3 mm: edges in small pictures, lines whose middle is cut.
    Hair,
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
            Line::Hair => 300_000,
            Line::Hidden | Line::Fold => 250_000,
            Line::Thin | Line::Centre => 180_000,
        }
    }

    /// Lengths of dashes and gaps in turn (nanometres); empty where it is continuous.
    pub const fn dashes(self) -> &'static [i64] {
        match self {
            Line::Edge | Line::Hair | Line::Thin => &[],
            Line::Hidden => &[2_000_000, 1_000_000],
            Line::Fold => &[6_000_000, 1_000_000, 250_000, 1_000_000, 250_000, 1_000_000],
            Line::Centre => &[4_000_000, 800_000, 200_000, 800_000],
        }
    }

    /// How far into its dashes a level or upright line begins (nanometres), so that all of its kind
    /// on a page keep step: two that lie on each other look like one. It runs to the right or down.
    pub fn phase(self, points: &[Point]) -> i64 {
        let period: i64 = self.dashes().iter().sum();
        match points {
            [a, b] if period > 0 && a.y == b.y => a.x.nm().rem_euclid(period),
            [a, b] if period > 0 && a.x == b.x => a.y.nm().rem_euclid(period),
            _ => 0,
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
    /// What leaves are made of.
    Bag,
    /// Grounds behind black words.
    Pale,
    White,
    /// Orange, sky blue, green, blue, red and purple that colour-blind eyes tell apart, pale: grounds
    /// behind black words. After Okabe and Ito's palette, from memory.
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
            Ink::Bag => [219, 219, 219],
            Ink::Pale => [235, 235, 235],
            Ink::White => [255, 255, 255],
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
