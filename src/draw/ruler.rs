//! Two rulers beside a drawing: heights from the low edge, each with what is there, and distances from
//! the nearer side edge below it. A hand lays its ruler once and marks.

use super::font::{self, Face};
use super::list::{Anchor, Area, Ink, Line, Page, Text, at};
use super::paper::{MM, SMALLEST, said};
use crate::length::{Interval, Length, Ruler};
use crate::report::handout::said as words;

/// Height of the numbers, and of the names beside them.
const NUMBER: i64 = 3_700_000;
const NAME: i64 = 3_300_000;
/// From one line of a label to the next.
const STEP: i64 = 4_300_000;
/// The widest name on one line, and where many drawings stand in a row.
pub const WIDEST: [i64; 2] = [25 * MM, 21 * MM];
/// What a place costs that is not to be taken.
pub const NEVER: usize = usize::MAX;
/// From the drawing to a label.
const LEADER: i64 = 6 * MM;
/// From lane to lane.
const LANE: i64 = 4_800_000;
/// What is nearer to each other is the same place.
const SAME: i64 = 60_000;

/// A place along a ruler: where it is on the page, how far from the ruler's zero, what is there.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Place {
    pub at: i64,
    pub length: String,
    pub what: Vec<String>,
}

/// A place in a drawing as the texts beside it say it.
pub fn found(ruler: Ruler, nm: i64) -> String {
    words::length(ruler, Interval::exact(Length::from_nm(nm)))
}

/// The number without its unit: the unit is the same on the whole page.
pub fn bare(ruler: Ruler, told: &str) -> String {
    let unit = ruler.unit().name();
    let bare = told
        .strip_suffix(unit)
        .map(|it| it.trim_end_matches('\u{a0}'));
    bare.unwrap_or(told).trim_end().to_owned()
}

/// Adds a place; together with what is there already.
pub fn add(places: &mut Vec<Place>, at: i64, length: String, what: &str) {
    let same = |place: &&mut Place| (place.at - at).abs() < SAME && place.length == length;
    match places.iter_mut().find(same) {
        Some(place) => {
            if !place.what.iter().any(|it| it == what) && !what.is_empty() {
                place.what.push(what.to_owned());
            }
        }
        None => places.push(Place {
            at,
            length,
            what: Some(what.to_owned())
                .filter(|it| !it.is_empty())
                .into_iter()
                .collect(),
        }),
    }
}

fn named(place: &Place, widest: i64) -> Vec<String> {
    let what = font::drawable(&place.what.join(", "));
    font::lines(Face::Regular, Length::from_nm(NAME), &what, widest)
}

fn number(words: &str) -> i64 {
    font::extent(Face::Bold, Length::from_nm(NUMBER), &font::drawable(words)).width
}

/// Heights beside a drawing's edge, at its right or at its left; no label lies below `lowest`.
pub fn heights(
    page: &mut Page,
    places: &[Place],
    (edge, lowest): (i64, i64),
    (right, widest): (bool, i64),
) {
    let out = if right { 1 } else { -1 };
    let mut places: Vec<&Place> = places.iter().collect();
    places.sort_by_key(|place| place.at);
    let high: Vec<i64> = places
        .iter()
        .map(|place| STEP * named(place, widest).len().max(1) as i64)
        .collect();
    let mut middles = apart(&places.iter().map(|it| it.at).collect::<Vec<_>>(), &high);
    let mut limit = lowest;
    for (middle, high) in middles.iter_mut().zip(&high).rev() {
        *middle = (*middle).min(limit - high / 2);
        limit = *middle - high / 2 - MM / 4;
    }
    for ((place, middle), high) in places.iter().zip(middles).zip(&high) {
        let points = [
            at(edge + out * MM / 2, place.at),
            at(edge + out * 2 * MM, place.at),
            at(edge + out * (LEADER - 2 * MM), middle),
            at(edge + out * (LEADER - MM), middle),
        ];
        page.path(&points, Line::Thin);
        let first = middle - high / 2 + STEP / 2;
        let drop = font::capital(Face::Bold, Length::from_nm(NUMBER)) / 2;
        let x = edge + out * LEADER;
        let anchor = if right { Anchor::Start } else { Anchor::End };
        page.text(Text {
            face: Face::Bold,
            anchor,
            ..said(x, first + drop, &place.length, NUMBER)
        });
        let x = x + out * (number(&place.length) + MM + MM / 2);
        for (n, name) in named(place, widest).iter().enumerate() {
            let y = first + drop + STEP * n as i64;
            page.text(Text {
                anchor,
                ..said(x, y, name, NAME)
            });
        }
    }
}

/// Middles of labels of these heights, each as near to where it belongs as the others let it be.
fn apart(wanted: &[i64], high: &[i64]) -> Vec<i64> {
    // Runs of labels that touch, each moved as a whole to where it is best.
    let mut runs: Vec<(usize, usize, i64)> = Vec::new();
    let gap = |a: usize, b: usize| (high[a] + high[b]) / 2 + MM / 4;
    let offsets = |from: usize, to: usize| -> Vec<i64> {
        let mut all = vec![0];
        for n in from + 1..to {
            all.push(all[all.len() - 1] + gap(n - 1, n));
        }
        all
    };
    let best = |from: usize, to: usize| -> i64 {
        let count = (to - from) as i64;
        let off = offsets(from, to);
        let sum: i64 = (from..to).zip(&off).map(|(n, off)| wanted[n] - off).sum();
        sum / count.max(1)
    };
    for (n, first) in wanted.iter().enumerate() {
        runs.push((n, n + 1, *first));
        while let [.., (a, b, first), (c, d, second)] = runs[..] {
            let end = first + offsets(a, b).last().copied().unwrap_or(0);
            if end + gap(b - 1, c) <= second {
                break;
            }
            runs.pop();
            runs.pop();
            runs.push((a, d, best(a, d)));
        }
    }
    let each = runs
        .iter()
        .flat_map(|(from, to, first)| offsets(*from, *to).into_iter().map(move |off| first + off));
    each.collect()
}

/// A distance from a side edge.
pub struct Off {
    /// From the right edge, not from the left.
    pub right: bool,
    /// The edge, and the end of what is measured, on the page.
    pub edge: i64,
    pub end: i64,
    pub length: String,
    pub what: Vec<String>,
}

/// Adds a distance; together with what is there already.
pub fn add_off(offs: &mut Vec<Off>, off: Off) {
    let same = |it: &&mut Off| {
        it.right == off.right && (it.end - off.end).abs() < SAME && it.length == off.length
    };
    match offs.iter_mut().find(same) {
        Some(it) => {
            for what in off.what {
                if !it.what.contains(&what) {
                    it.what.push(what);
                }
            }
        }
        None => offs.push(off),
    }
}

/// Distances in lanes below a drawing, the shortest first; tells where they end.
pub fn widths(page: &mut Page, offs: &[Off], below: i64) -> i64 {
    let side = |right: bool| {
        let mut all: Vec<&Off> = offs.iter().filter(|it| it.right == right).collect();
        all.sort_by_key(|it| (it.end - it.edge).abs());
        all
    };
    let (left, right) = (side(false), side(true));
    let label = |off: &Off| -> (String, String) {
        (off.length.clone(), font::drawable(&off.what.join(", ")))
    };
    let long = |off: &Off| {
        let (length, what) = label(off);
        let what = font::extent(Face::Regular, Length::from_nm(NAME), &what).width;
        (off.end - off.edge).abs() + 4 * MM + number(&length) + MM + what
    };
    // One of the left and one of the right share a lane where both have room.
    let mut lanes: Vec<Vec<&Off>> = Vec::new();
    let mut right: std::collections::VecDeque<&Off> = right.into();
    for off in left {
        let mut lane = vec![off];
        if let Some(other) = right.front()
            && long(off) + long(other) + 4 * MM <= (other.edge - off.edge).abs()
            && let Some(other) = right.pop_front()
        {
            lane.push(other);
        }
        lanes.push(lane);
    }
    lanes.extend(right.into_iter().map(|off| vec![off]));
    let y = |n: usize| below + LANE * (n as i64 + 1) - MM;
    for (n, lane) in lanes.iter().enumerate() {
        for off in lane {
            for x in [off.edge, off.end] {
                page.line(at(x, below + MM / 2), at(x, y(n) + MM), Line::Thin);
            }
            let (a, b) = (off.edge.min(off.end), off.edge.max(off.end));
            let room = b - a > 5 * MM;
            let tail = if room { 0 } else { 2 * MM };
            page.line(at(a - tail, y(n)), at(b + tail, y(n)), Line::Thin);
            for (tip, way) in [(a, 1), (b, -1)] {
                arrow(page, tip, y(n), if room { way } else { -way });
            }
        }
    }
    for (n, lane) in lanes.iter().enumerate() {
        for off in lane {
            let out = if off.right { -1 } else { 1 };
            let (length, what) = label(off);
            let anchor = if off.right {
                Anchor::End
            } else {
                Anchor::Start
            };
            let drop = font::capital(Face::Bold, Length::from_nm(NUMBER)) / 2;
            let x = off.end + out * 3 * MM;
            let number_text = Text {
                face: Face::Bold,
                anchor,
                ..said(x, y(n) + drop, &length, NUMBER)
            };
            let x = x + out * (number(&length) + MM);
            let name = Text {
                anchor,
                ..said(x, y(n) + drop, &what, NAME)
            };
            for text in [number_text, name] {
                if !text.words.is_empty() {
                    page.fill(text.area().grown(MM / 3), Ink::White);
                    page.text(text);
                }
            }
        }
    }
    below + LANE * lanes.len() as i64 + MM
}

/// A tip on a level line.
fn arrow(page: &mut Page, tip: i64, y: i64, way: i64) {
    let back = tip + way * 1_700_000;
    let corners = [at(tip, y), at(back, y - 450_000), at(back, y + 450_000)];
    page.fill_within(&corners, Ink::Black);
}

/// A length along a level or upright line, its words in the middle of it or beyond its end.
pub fn span(page: &mut Page, from: (i64, i64), to: (i64, i64), words: &str) {
    page.line(at(from.0, from.1), at(to.0, to.1), Line::Thin);
    let level = from.1 == to.1;
    for (x, y) in [from, to] {
        let (dx, dy) = if level { (0, MM) } else { (MM, 0) };
        page.line(at(x - dx, y - dy), at(x + dx, y + dy), Line::Thin);
    }
    if words.is_empty() {
        return;
    }
    let (x, y) = (from.0.midpoint(to.0), from.1.midpoint(to.1));
    let drop = font::capital(Face::Bold, Length::from_nm(NUMBER)) / 2;
    let wide = number(words);
    let long = (to.0 - from.0).abs().max((to.1 - from.1).abs());
    let inside = level && wide + 2 * MM <= long;
    let (x, y, anchor) = match (inside, level) {
        (true, _) => (x, y + drop, Anchor::Middle),
        (false, true) => (to.0 + 2 * MM, y + drop, Anchor::Start),
        (false, false) => (x + 2 * MM, y + drop, Anchor::Start),
    };
    let text = Text {
        face: Face::Bold,
        anchor,
        ..said(x, y, words, NUMBER)
    };
    page.fill(text.area().grown(MM / 3), Ink::White);
    page.text(text);
}

/// Words in the middle below a drawing, in lines of its width; tells where they end.
pub fn under(page: &mut Page, words: &str, (left, right): (i64, i64), top: i64) -> i64 {
    let size = Length::from_nm(NAME);
    let lines = font::lines(Face::Regular, size, &font::drawable(words), right - left);
    let mut y = top;
    for line in lines {
        y += STEP;
        page.text(said(left, y - MM, &line, NAME));
    }
    y
}

/// Words in a drawing: bold first, then plain, around the middle of an area; `None` if they have no
/// room there. They lie on nothing, or `over` lines and then on a white ground; where several places are
/// as good, in the middle. Tells the ground, too.
pub fn inside(
    page: &Page,
    area: Area,
    lines: &[(Face, String)],
    (turned, over): (bool, bool),
    cost: &dyn Fn(Area) -> usize,
) -> Option<(Area, Vec<Text>)> {
    let size = |face: Face| if face == Face::Bold { NUMBER } else { NAME };
    let wide = |(face, line): &(Face, String)| {
        font::extent(*face, Length::from_nm(size(*face)), &font::drawable(line)).width
    };
    let wide = lines.iter().map(wide).max()? + MM;
    let high = STEP * lines.len() as i64 + MM / 2;
    let (wide, high) = if turned { (high, wide) } else { (wide, high) };
    let room = area.grown(-MM / 2);
    if wide > room.width() || high > room.height() {
        return None;
    }
    let taken = match over {
        false => super::check::Taken::on(page),
        true => super::check::Taken::texts(page),
    };
    let middle = room.middle();
    let far = |it: &Area| {
        let (x, y) = it.middle();
        (x - middle.0).abs() + (y - middle.1).abs()
    };
    let mut best: Option<((usize, i64), Area)> = None;
    for area in taken.places(room, (wide, high), 1_600_000) {
        let far = far(&area);
        // What costs nothing gives way to nothing farther from the middle.
        if best.is_some_and(|(best, _)| best <= (0, far)) {
            continue;
        }
        let cost = cost(area);
        if cost != NEVER && best.is_none_or(|(best, _)| (cost, far) < best) {
            best = Some(((cost, far), area));
        }
    }
    let (_, area) = best?;
    let (x, y) = area.middle();
    let set = lines.iter().enumerate().map(|(n, (face, line))| {
        let drop = font::capital(*face, Length::from_nm(size(*face))) / 2;
        let off = STEP * n as i64 - STEP * (lines.len() as i64 - 1) / 2 + drop;
        let place = match turned {
            false => (x, y + off),
            true => (x + off, y),
        };
        Text {
            face: *face,
            anchor: Anchor::Middle,
            turned,
            ..said(place.0, place.1, line, size(*face).max(SMALLEST))
        }
    });
    Some((area, set.collect()))
}

#[cfg(test)]
mod tests {
    use super::apart;

    #[test]
    fn labels_keep_their_order_and_touch_nothing() {
        let high = [4_000_000; 4];
        let set = apart(&[0, 1_000_000, 1_500_000, 40_000_000], &high);
        for pair in set.windows(2) {
            assert!(pair[1] - pair[0] >= 4_000_000, "{set:?}");
        }
        // What stands alone stays where it belongs.
        assert_eq!(set[3], 40_000_000);
        // Those that crowd lie around the middle of where they belong.
        assert!(set[0] < 0 && set[2] > 1_500_000, "{set:?}");
    }
}
