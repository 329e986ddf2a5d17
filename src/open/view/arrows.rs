//! The arrows at the piece that is chosen, and sizes that are too large.

use super::pixels::{PX, path, px};
use crate::draw::figure::Projection;
use crate::draw::list::Area;
use crate::draw::pieces::{Piece, drawn};
use crate::length::Interval;
use crate::plan::frames;
use maud::{Markup, html};
use std::fmt::Write as _;

/// Where a size's box is to stand: its middle, in pixels.
pub struct Spot {
    pub x: i64,
    pub y: i64,
}

/// A size that is too large, as it is drawn: the piece, what it is given as, and the most it may be.
pub struct Offender {
    pub piece: String,
    pub width: Option<(Interval, Interval)>,
    pub height: Option<(Interval, Interval)>,
    /// `3½ in too high`.
    pub said: String,
}

/// The room of a size that is too large: from the same corner as the piece in the drawing.
pub fn given(offender: &Offender, pieces: &[Piece<'_>]) -> Option<frames::Area> {
    let piece = pieces.iter().find(|it| it.name() == offender.piece)?;
    let area = piece.laid().area;
    let wide = offender
        .width
        .map_or(area.right - area.left, |(now, _)| drawn(now));
    let high = offender
        .height
        .map_or(area.high - area.low, |(now, _)| drawn(now));
    let left = area.left.midpoint(area.right) - wide / 2;
    Some(frames::Area {
        left,
        right: left + wide,
        low: area.low,
        high: area.low + high,
    })
}

/// Where the boxes of a piece's sizes stand: below all, and at the side without holes.
pub fn arrows(on: &Projection, area: frames::Area, place: Area, at_right: bool) -> (Spot, Spot) {
    let area = on.area(area);
    let across = Spot {
        x: area.left.midpoint(area.right) / PX,
        y: (place.bottom + 42 * PX) / PX,
    };
    let x = match at_right {
        false => place.right + 54 * PX,
        true => place.left - 54 * PX,
    };
    let up = Spot {
        x: x / PX,
        y: area.top.midpoint(area.bottom) / PX,
    };
    (across, up)
}

pub fn arrow_lines(on: &Projection, area: frames::Area, place: Area, at_right: bool) -> Markup {
    let area = on.area(area);
    let low = place.bottom + 14 * PX;
    let (side, near) = match at_right {
        false => (place.right + 14 * PX, area.right),
        true => (place.left - 14 * PX, area.left),
    };
    let mut d = String::new();
    let _ = write!(
        d,
        "M{l} {b}V{end}M{r} {b}V{end}M{l} {low}H{r}",
        l = px(area.left),
        r = px(area.right),
        b = px(area.bottom),
        end = px(low + 6 * PX),
        low = px(low)
    );
    let over = if at_right {
        side - 6 * PX
    } else {
        side + 6 * PX
    };
    let _ = write!(
        d,
        "M{n} {t}H{over}M{n} {b}H{over}M{side} {t}V{b}",
        n = px(near),
        t = px(area.top),
        b = px(area.bottom),
        over = px(over),
        side = px(side)
    );
    let head = |x: i64, y: i64, (dx, dy): (i64, i64)| {
        // A slim triangle whose point is at (x, y).
        let (a, b) = (x + dx * 8 * PX + dy * 3 * PX, y + dy * 8 * PX + dx * 3 * PX);
        let (c, e) = (x + dx * 8 * PX - dy * 3 * PX, y + dy * 8 * PX - dx * 3 * PX);
        format!(
            "M{} {}L{} {}L{} {}Z",
            px(x),
            px(y),
            px(a),
            px(b),
            px(c),
            px(e)
        )
    };
    let heads = [
        head(area.left, low, (1, 0)),
        head(area.right, low, (-1, 0)),
        head(side, area.top, (0, 1)),
        head(side, area.bottom, (0, -1)),
    ];
    html! {
        g class="arrows" {
            path class="arrow" d=(d) {}
            path class="head" d=(heads.concat()) {}
        }
    }
}

/// A size that is too large: dashed in full, what is too much hatched, and how much in words.
pub fn offender(on: &Projection, area: frames::Area, it: &Offender) -> Markup {
    let mut most = area;
    if let Some((_, limit)) = it.width {
        let spare = (area.right - area.left - drawn(limit)).max(0);
        most.left += spare / 2;
        most.right -= spare / 2;
    }
    if let Some((_, limit)) = it.height {
        most.high = most.low + drawn(limit);
    }
    let (outer, inner) = (on.area(area), on.area(most));
    let mut hatch = String::new();
    let step = 9 * PX;
    let mut at = outer.left + outer.top;
    while at < outer.right + outer.bottom {
        let (from, to) = (
            outer.left.max(at - outer.bottom),
            outer.right.min(at - outer.top),
        );
        let (from, to) = (from, to.max(from));
        // Only what lies outside the room that there is: level bands above it, or beside it.
        for (x1, x2) in outside(from, to, at, inner) {
            let _ = write!(
                hatch,
                "M{} {}L{} {}",
                px(x1),
                px(at - x1),
                px(x2),
                px(at - x2)
            );
        }
        at += step;
    }
    html! {
        g class="offender" {
            path class="hatch" d=(hatch) {}
            path class="too" d=(path(&outer.corners(), true)) {}
            @if it.height.is_some() {
                path class="limit" d=(format!("M{} {}H{}", px(outer.left - 8 * PX), px(inner.top), px(outer.right + 8 * PX))) {}
            }
            text x=(px(outer.right + 8 * PX)) y=(px(outer.top + 14 * PX)) { (it.said) }
        }
    }
}

/// The runs of a rising line `x + y = sum` between two ends that lie outside of an area.
fn outside(from: i64, to: i64, sum: i64, area: Area) -> Vec<(i64, i64)> {
    let (enter, leave) = (
        area.left.max(sum - area.bottom),
        area.right.min(sum - area.top),
    );
    if enter >= leave {
        return vec![(from, to)];
    }
    let runs = [(from, enter.min(to)), (leave.max(from), to)];
    runs.into_iter().filter(|(a, b)| a < b).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_hatched_lies_outside_of_the_room() {
        let area = Area {
            left: 10,
            right: 20,
            top: 10,
            bottom: 20,
        };
        assert_eq!(outside(0, 30, 30, area), [(0, 10), (20, 30)]);
        assert_eq!(outside(0, 5, 5, area), [(0, 5)]);
    }
}
