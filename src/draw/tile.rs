//! What is larger than a page, at true scale, on several: with overlap, a line to lay on each other,
//! and crosses that must meet.

use super::list::{Area, Ink, Line, Page, Point, at};
use super::paper::MM;
use crate::length::Length;

/// The least overlap of two neighbours.
pub const OVERLAP: i64 = 16 * MM;

/// Something at true scale: straight lines, and circles, from its upper left corner
/// (nanometres).
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Large {
    pub width: i64,
    pub height: i64,
    /// Lines with their names.
    pub lines: Vec<(String, Point, Point, Line)>,
    /// Circles with their names.
    pub circles: Vec<(String, Point, Length)>,
}

impl Large {
    /// The four edges of a rectangle.
    pub fn rect(&mut self, name: &str, area: Area, line: Line) {
        self.ring(name, &area.corners(), line);
    }

    /// The edges from corner to corner, and back to the first.
    pub fn ring(&mut self, name: &str, corners: &[Point], line: Line) {
        for (n, from) in corners.iter().enumerate() {
            let to = corners[(n + 1) % corners.len()];
            self.lines.push((name.to_owned(), *from, to, line));
        }
    }
}

/// One page's part of something large.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Tile {
    /// From the head, and from the left; from 0.
    pub row: usize,
    pub column: usize,
    pub rows: usize,
    pub columns: usize,
    /// What of it is on this page.
    pub window: Area,
    /// How much neighbours share.
    pub overlap: i64,
}

/// The parts that cover something on pages with room for `wide` x `high`, row by row from the head.
pub fn tiles(large: &Large, wide: i64, high: i64) -> Vec<Tile> {
    let across = large.circles.iter().map(|(_, _, r)| 2 * r.nm()).max();
    // Every circle is whole on one page.
    let wanted = OVERLAP.max(across.unwrap_or(0) + 6 * MM);
    let overlap = wanted.min(wide / 2).min(high / 2);
    let count = |whole: i64, room: i64| match whole <= room {
        true => 1,
        false => 1 + ((whole - room) as u64).div_ceil((room - overlap).max(MM) as u64) as usize,
    };
    let (columns, rows) = (count(large.width, wide), count(large.height, high));
    // Parts of one size, so that none is a sliver.
    let step = |whole: i64, parts: usize| match parts {
        1 => whole,
        parts => {
            let n = parts as i64;
            (whole + (n - 1) * overlap + n - 1).div_euclid(n)
        }
    };
    let (tall, broad) = (step(large.height, rows), step(large.width, columns));
    let mut tiles = Vec::new();
    for row in 0..rows {
        for column in 0..columns {
            let left = (broad - overlap) * column as i64;
            let top = (tall - overlap) * row as i64;
            let window = Area {
                left,
                top,
                right: (left + broad).min(large.width),
                bottom: (top + tall).min(large.height),
            };
            tiles.push(Tile {
                row,
                column,
                rows,
                columns,
                window,
                overlap,
            });
        }
    }
    tiles
}

/// Draws one part with its window's upper left corner at `origin`; the crosses and lines to lay on
/// each other too. `clear` keeps the crosses off the left end of an overlap (nanometres).
pub fn draw(page: &mut Page, large: &Large, tile: Tile, origin: (i64, i64), clear: i64) {
    let (dx, dy) = (origin.0 - tile.window.left, origin.1 - tile.window.top);
    let moved = |x: i64, y: i64| at(x + dx, y + dy);
    for (name, from, to, line) in &large.lines {
        if let Some((a, b)) = within(*from, *to, tile.window) {
            page.named_path(name, &[moved(a.0, a.1), moved(b.0, b.1)], *line);
        }
    }
    for (name, centre, radius) in &large.circles {
        let (x, y) = (centre.x.nm(), centre.y.nm());
        let all = Area::sized(x, y, 0, 0).grown(radius.nm());
        // Whole, on the page that has all of it that lies on the sheet: a centre may lie on an edge.
        let on_sheet = Area {
            left: all.left.clamp(0, large.width),
            right: all.right.clamp(0, large.width),
            top: all.top.clamp(0, large.height),
            bottom: all.bottom.clamp(0, large.height),
        };
        if !tile.window.holds(on_sheet) {
            continue;
        }
        let arm = radius.nm() + 2 * MM;
        page.circle(name, moved(x, y), radius.nm(), Line::Edge, Some(Ink::White));
        page.line(moved(x - arm, y), moved(x + arm, y), Line::Thin);
        page.line(moved(x, y - arm), moved(x, y + arm), Line::Thin);
    }
    joins(page, tile, moved, clear);
}

/// Lines and crosses that are laid on those of the neighbours.
fn joins(page: &mut Page, tile: Tile, moved: impl Fn(i64, i64) -> Point, clear: i64) {
    let Area {
        left,
        top,
        right,
        bottom,
    } = tile.window;
    let half = tile.overlap / 2;
    let joins = [
        (tile.row > 0, true, top + half, tile.row),
        (tile.row + 1 < tile.rows, true, bottom - half, tile.row + 1),
        (tile.column > 0, false, left + half, tile.column),
        (
            tile.column + 1 < tile.columns,
            false,
            right - half,
            tile.column + 1,
        ),
    ];
    for (_, level, place, n) in joins.into_iter().filter(|join| join.0) {
        let (from, to) = match level {
            true => (left, right),
            false => (top, bottom),
        };
        let point = |along: i64, off: i64| match level {
            true => moved(along, place + off),
            false => moved(place + off, along),
        };
        page.line(point(from, 0), point(to, 0), Line::Centre);
        for (side, along) in [(1, from + clear + 8 * MM), (2, to - 8 * MM)] {
            if along <= from || along >= to {
                continue;
            }
            let arm = 4 * MM;
            let name = format!(
                "register {} {n}.{side}",
                if level { "row" } else { "column" }
            );
            page.named_path(&name, &[point(along, -arm), point(along, arm)], Line::Thin);
            page.circle(&name, point(along, 0), 2 * MM, Line::Thin, None);
        }
    }
}

/// Both ends of what of a line lies in a window.
type Ends = ((i64, i64), (i64, i64));

/// What of a line lies in a window; `None` for one that is not there, or there with its end alone.
fn within(from: Point, to: Point, window: Area) -> Option<Ends> {
    if from.x != to.x && from.y != to.y {
        return slanted(from, to, window);
    }
    let (ax, bx) = (from.x.nm().min(to.x.nm()), from.x.nm().max(to.x.nm()));
    let (ay, by) = (from.y.nm().min(to.y.nm()), from.y.nm().max(to.y.nm()));
    let (cx, ex) = (ax.max(window.left), bx.min(window.right));
    let (cy, ey) = (ay.max(window.top), by.min(window.bottom));
    let outside = cx > ex || cy > ey || ((cx, cy) == (ex, ey) && (ax, ay) != (bx, by));
    (!outside).then_some(((cx, cy), (ex, ey)))
}

/// The same of a slanting line (Liang and Barsky, 1984).
fn slanted(from: Point, to: Point, window: Area) -> Option<Ends> {
    const WHOLE: i128 = 1 << 40;
    let (x, y) = (i128::from(from.x.nm()), i128::from(from.y.nm()));
    let (dx, dy) = (i128::from(to.x.nm()) - x, i128::from(to.y.nm()) - y);
    let (mut begin, mut end) = (0, WHOLE);
    let sides = [
        (-dx, x - i128::from(window.left)),
        (dx, i128::from(window.right) - x),
        (-dy, y - i128::from(window.top)),
        (dy, i128::from(window.bottom) - y),
    ];
    for (way, room) in sides {
        let at = (room * WHOLE).div_euclid(way);
        match way < 0 {
            true => begin = begin.max(at),
            false => end = end.min(at),
        }
    }
    let point = |at: i128| {
        let place = |from: i128, way: i128| i64::try_from(from + way * at / WHOLE).ok();
        Some((place(x, dx)?, place(y, dy)?))
    };
    (begin < end).then(|| Some((point(begin)?, point(end)?)))?
}

/// Where a part goes, in words; `None` if there is only one.
pub fn named(tile: Tile) -> Option<String> {
    let Tile {
        row,
        column,
        rows,
        columns,
        ..
    } = tile;
    let row = (rows > 1).then(|| format!("row {} of {rows} from the head", row + 1));
    let column = (columns > 1).then(|| format!("column {} of {columns} from the left", column + 1));
    match (row, column) {
        (Some(row), Some(column)) => Some(format!("{row}, {column}")),
        (row, column) => row.or(column),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slanting_line_is_cut_at_a_window() {
        let window = Area::sized(0, 0, 10 * MM, 10 * MM);
        let ends = |from: (i64, i64), to: (i64, i64)| {
            let point = |(x, y): (i64, i64)| at(x * MM, y * MM);
            slanted(point(from), point(to), window)
        };
        let mm = |(x, y): (i64, i64)| (x * MM, y * MM);
        assert_eq!(ends((2, 2), (4, 6)), Some((mm((2, 2)), mm((4, 6)))));
        assert_eq!(ends((-5, -5), (15, 15)), Some((mm((0, 0)), mm((10, 10)))));
        assert_eq!(ends((8, 20), (20, 8)), None);
    }

    #[test]
    fn a_circle_on_an_edge_is_whole() {
        let mut large = Large {
            width: 60 * MM,
            height: 400 * MM,
            ..Large::default()
        };
        for up in [0, 100, 200, 300, 400] {
            let name = format!("hole {up}");
            large
                .circles
                .push((name, at(0, up * MM), Length::from_nm(3 * MM)));
        }
        let tiles = tiles(&large, 180 * MM, 220 * MM);
        assert_eq!(tiles.len(), 2);
        let mut page = Page::new(Length::from_nm(210 * MM), Length::from_nm(297 * MM), "", "");
        for tile in tiles {
            draw(&mut page, &large, tile, (20 * MM, 20 * MM), 0);
        }
        for up in [0, 100, 200, 300, 400] {
            let name = format!("hole {up}");
            assert!(page.marks.iter().any(|mark| mark.name == name), "{name}");
        }
    }
}
