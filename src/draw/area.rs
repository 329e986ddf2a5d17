//! Places and upright rectangles on a page.

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

    /// The same, so far to the right and down.
    pub const fn moved(self, right: i64, down: i64) -> Area {
        Area::sized(
            self.left + right,
            self.top + down,
            self.width(),
            self.height(),
        )
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
    pub fn corners(self) -> [Point; 4] {
        [
            at(self.left, self.top),
            at(self.right, self.top),
            at(self.right, self.bottom),
            at(self.left, self.bottom),
        ]
    }
}
