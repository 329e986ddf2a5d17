//! One side of a frame: grounds, the edges of its plies, the outline of every piece, dashed where
//! something lies before it.

use super::list::{Area, Ink, Line, Page, at};
use super::look;
use super::pieces::{Piece, beyond, drawn, folds, grip_of, holes, ply_edges, seen, whole};
use crate::album::Grip;
use crate::plan::Plan;
use crate::plan::frames::{self, Bound, Edge, FramePlan, Laid, Tab, What};

/// A frame's side on a page: what is across from its left edge and up from its low edge.
#[derive(Clone, Copy)]
pub(crate) struct Projection {
    /// Drawn, of so much.
    pub scale: (i64, i64),
    /// Where the frame's left end and its low end are.
    pub zero: i64,
    pub base: i64,
    /// Its left edge is at the right; its low edge is above.
    pub mirrored: bool,
    pub upside_down: bool,
}

impl Projection {
    /// A side as it is seen when the frame is turned about the edge that it is bound at.
    pub fn of(bound: Bound, other_side: bool) -> Projection {
        let level = matches!(bound, Bound::At(Edge::Low | Edge::High));
        Projection {
            scale: (1, 1),
            zero: 0,
            base: 0,
            mirrored: other_side && !level,
            upside_down: other_side && level,
        }
    }

    pub fn scaled(&self, length: i64) -> i64 {
        let (n, d) = self.scale;
        (2 * length * n + d).div_euclid(2 * d)
    }

    pub fn x(&self, across: i64) -> i64 {
        match self.mirrored {
            false => self.zero + self.scaled(across),
            true => self.zero - self.scaled(across),
        }
    }

    pub fn y(&self, up: i64) -> i64 {
        match self.upside_down {
            false => self.base - self.scaled(up),
            true => self.base + self.scaled(up),
        }
    }

    pub fn area(&self, area: frames::Area) -> Area {
        let (a, b) = (self.x(area.left), self.x(area.right));
        let (c, d) = (self.y(area.low), self.y(area.high));
        Area {
            left: a.min(b),
            right: a.max(b),
            top: c.min(d),
            bottom: c.max(d),
        }
    }
}

/// A frame by itself: its corners, or all of it.
pub(super) fn sheet(
    page: &mut Page,
    frame: &FramePlan,
    on: &Projection,
    name: &str,
    line: Option<Line>,
    ink: Option<Ink>,
) {
    let area = on.area(whole(frame)).corners().to_vec();
    let corners = frame.shape().iter();
    let corners: Vec<_> = corners.map(|(x, y)| at(on.x(*x), on.y(*y))).collect();
    let corners = if corners.is_empty() { area } else { corners };
    page.closed(name, &corners, line.map(Into::into), ink);
}

/// Draws grounds first, then lines, all named after `of`.
pub(crate) fn figure(
    page: &mut Page,
    frame: &FramePlan,
    on: &Projection,
    back: bool,
    of: &str,
    pieces: &[Piece<'_>],
) {
    for area in beyond(frame, back) {
        page.rect("", on.area(area), Line::Edge, Some(Ink::White));
    }
    sheet(page, frame, on, "", None, Some(Ink::Pale));
    let stuff = seen(frame, back);
    for laid in &stuff {
        let ink = match laid.what {
            What::Slot(_) => continue,
            What::Ply(_) => Ink::Pale,
            _ => Ink::White,
        };
        match laid.outline.len() {
            0 => page.fill(on.area(laid.area), ink),
            _ => {
                let corners = laid.outline.iter();
                let corners: Vec<_> = corners.map(|(x, y)| at(on.x(*x), on.y(*y))).collect();
                page.fill_within(&corners, ink);
            }
        }
    }
    glued(page, frame, on, back);
    let name = format!("{of}: {}", frame.name);
    sheet(page, frame, on, &name, Some(Line::Edge), None);
    for laid in stuff {
        let layers = match laid.what {
            What::Ply(layers) => layers,
            What::Slot(_) => 0,
            _ => continue,
        };
        let name = format!("{of}: {}", laid.name);
        let line = if layers == 0 {
            Line::Hidden
        } else {
            Line::Edge
        };
        match laid.outline.len() {
            0 => {
                for [from, to] in ply_edges(frame, laid) {
                    let points = [from, to].map(|(x, y)| at(on.x(x), on.y(y)));
                    page.named_path(&name, &points, line);
                }
            }
            _ => outline(page, on, &name, laid),
        }
    }
    let folds = folds(frame).into_iter();
    for run in folds.flat_map(|fold| fold.runs(frame)) {
        let points = run.map(|(x, y)| at(on.x(x), on.y(y)));
        page.named_path(&format!("{of}: fold"), &points, Line::Fold);
    }
    for piece in pieces {
        for (n, copy) in piece.copies.iter().enumerate() {
            let name = match n {
                0 => format!("{of}: {}", piece.name()),
                _ => format!("{of}: {}, {}", piece.name(), n + 1),
            };
            outline(page, on, &name, copy);
        }
    }
}

/// Where glue goes that is not all over a thing: rising lines.
pub(super) fn glued(page: &mut Page, frame: &FramePlan, on: &Projection, back: bool) {
    for laid in frame.parts.iter().filter(|laid| laid.back == back) {
        for area in laid.glued.iter().map(|area| on.area(*area)) {
            // Of a narrow strip only dots would be seen.
            let narrow = area.width().min(area.height());
            match narrow < 600_000 {
                true => page.fill(area, Ink::Mid),
                false => {
                    let apart = (narrow * 2 / 3).clamp(550_000, 1_270_000);
                    page.hatch(area, super::list::Hatch::Rising, apart, Ink::Mid);
                }
            }
        }
    }
}

/// One side as it is seen: everything from the deepest to the nearest, each paper in its look. What lies
/// in the bag is seen where it stands out of it.
pub(super) fn painted(
    page: &mut Page,
    plan: &Plan,
    frame: &FramePlan,
    on: &Projection,
    back: bool,
) {
    let mut all: Vec<&Laid> = frame.parts.iter().collect();
    if !back {
        all.reverse();
    }
    let edge = Line::Hair;
    if frame
        .parts
        .iter()
        .all(|laid| !matches!(laid.what, What::Ply(1..)))
    {
        sheet(page, frame, on, "", Some(Line::Hair), Some(Ink::Bag));
    }
    for laid in all {
        match laid.what {
            What::Slot(_) | What::Ply(..=0) => continue,
            // Behind the bag, from this side.
            What::Paper(_) | What::Insert(..) if laid.back != back && laid.slot.is_none() => {
                continue;
            }
            _ => {}
        }
        let look = look::of(plan, frame, laid);
        let area = on.area(laid.area);
        match laid.outline.len() {
            0 => {
                look.paint(page, area);
                page.rect("", area, edge, None);
            }
            _ => {
                let corners = laid.outline.iter();
                let corners: Vec<_> = corners.map(|(x, y)| at(on.x(*x), on.y(*y))).collect();
                page.outline("", &corners, edge, Some(look.ground()));
            }
        }
        photo(page, plan, frame, on, laid);
        if grip_of(plan, frame, laid) == Some(Grip::Tab)
            && let Some(Tab { seen, .. }) = frame.tab(laid)
        {
            page.rect("", on.area(seen), edge, Some(Ink::White));
        }
    }
    for fold in folds(frame) {
        let points = fold.ends(frame).map(|(x, y)| at(on.x(x), on.y(y)));
        page.path(&points, Line::Fold);
    }
    for (mark, up, diameter) in holes(frame) {
        let centre = at(on.x(drawn(mark.across)), on.y(drawn(up)));
        let radius = on.scaled(drawn(diameter) / 2).max(300_000);
        page.circle("", centre, radius, edge, Some(Ink::White));
    }
}

/// The photo on an insert, grey.
fn photo(page: &mut Page, plan: &Plan, frame: &FramePlan, on: &Projection, laid: &Laid) {
    let leaf = frame.leaf.and_then(|leaf| plan.leaves.get(leaf));
    let (What::Insert(n, _), Some(leaf)) = (laid.what, leaf) else {
        return;
    };
    let Some(photo) = leaf.inserts.get(n).and_then(|insert| insert.photo.as_ref()) else {
        return;
    };
    let (wide, high) = (drawn(photo.width.value), drawn(photo.height.value));
    let left = laid.area.left.midpoint(laid.area.right) - wide / 2;
    let top = laid.area.high - drawn(photo.border_above);
    let area = on.area(frames::Area {
        left,
        right: left + wide,
        low: top - high,
        high: top,
    });
    page.rect("", area, Line::Hair, Some(Ink::Light));
}

/// The edges of a piece, dashed where they are hidden.
fn outline(page: &mut Page, on: &Projection, name: &str, laid: &Laid) {
    let mut draw = |from: (i64, i64), to: (i64, i64), hidden: bool| {
        let line = if hidden { Line::Hidden } else { Line::Edge };
        let points = [from, to].map(|(x, y)| at(on.x(x), on.y(y)));
        page.named_path(name, &points, line);
    };
    if !laid.outline.is_empty() {
        let corners = &laid.outline;
        for (n, from) in corners.iter().enumerate() {
            let to = corners[(n + 1) % corners.len()];
            for (a, b, hidden) in slanted(&laid.behind, *from, to) {
                draw(a, b, hidden);
            }
        }
        return;
    }
    let frames::Area {
        left,
        right,
        low,
        high,
    } = laid.area;
    for y in [low, high] {
        let over = laid.behind.iter().filter(|it| it.low <= y && y < it.high);
        let over: Vec<(i64, i64)> = over.map(|it| (it.left, it.right)).collect();
        for (from, to, hidden) in runs(left, right, &over) {
            draw((from, y), (to, y), hidden);
        }
    }
    // Up both sides, from one change to the next.
    let side = |x: i64| {
        let over = laid.behind.iter().filter(|it| it.left < x && x < it.right);
        let over: Vec<(i64, i64)> = over.map(|it| (it.low, it.high)).collect();
        runs(low, high, &over)
    };
    let sides = [(left, side(left)), (right, side(right))];
    let most = sides.iter().map(|(_, runs)| runs.len()).max().unwrap_or(0);
    for n in 0..most {
        for (x, runs) in &sides {
            if let Some((from, to, hidden)) = runs.get(n) {
                draw((*x, *to), (*x, *from), *hidden);
            }
        }
    }
}

/// A line from one end to the other, cut where it goes behind something or comes out.
fn runs(from: i64, to: i64, over: &[(i64, i64)]) -> Vec<(i64, i64, bool)> {
    let mut cuts: Vec<i64> = over.iter().flat_map(|(a, b)| [*a, *b]).collect();
    cuts.retain(|cut| from < *cut && *cut < to);
    cuts.extend([from, to]);
    cuts.sort_unstable();
    cuts.dedup();
    let mut runs: Vec<(i64, i64, bool)> = Vec::new();
    for pair in cuts.windows(2) {
        let hidden = over.iter().any(|(a, b)| *a <= pair[0] && pair[0] < *b);
        match runs.last_mut() {
            Some(last) if last.2 == hidden => last.1 = pair[1],
            _ => runs.push((pair[0], pair[1], hidden)),
        }
    }
    runs
}

/// From a point to a point, and whether it is hidden.
type Run = ((i64, i64), (i64, i64), bool);

/// An edge in any direction: the same, cut where it crosses an edge of what lies before it.
fn slanted(over: &[frames::Area], from: (i64, i64), to: (i64, i64)) -> Vec<Run> {
    const PARTS: i64 = 1_000_000;
    let point = |n: i64| {
        let part = |a: i64, b: i64| {
            let way = i128::from(b - a) * i128::from(n) / i128::from(PARTS);
            a + i64::try_from(way).unwrap_or(0)
        };
        (part(from.0, to.0), part(from.1, to.1))
    };
    let crossing = |a: i64, b: i64, at: i64| {
        let way = i128::from(at - a) * i128::from(PARTS);
        let n = way.checked_div(i128::from(b - a))?;
        i64::try_from(n).ok().filter(|n| 0 < *n && *n < PARTS)
    };
    let mut cuts = vec![0, PARTS];
    for it in over {
        cuts.extend(
            [it.left, it.right]
                .iter()
                .filter_map(|x| crossing(from.0, to.0, *x)),
        );
        cuts.extend(
            [it.low, it.high]
                .iter()
                .filter_map(|y| crossing(from.1, to.1, *y)),
        );
    }
    cuts.sort_unstable();
    cuts.dedup();
    let run = |pair: &[i64]| {
        let (x, y) = point(pair[0].midpoint(pair[1]));
        let holds =
            |it: &frames::Area| (it.left..=it.right).contains(&x) && (it.low..it.high).contains(&y);
        let hidden = over.iter().any(holds);
        (point(pair[0]), point(pair[1]), hidden)
    };
    cuts.windows(2).map(run).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_edge_is_dashed_where_something_lies_before_it() {
        assert_eq!(runs(0, 10, &[]), [(0, 10, false)]);
        assert_eq!(runs(0, 10, &[(-5, 4)]), [(0, 4, true), (4, 10, false)]);
        // Two that lie on each other are one.
        assert_eq!(
            runs(0, 10, &[(2, 6), (3, 8)]),
            [(0, 2, false), (2, 8, true), (8, 10, false)]
        );
        assert_eq!(runs(0, 10, &[(0, 10)]), [(0, 10, true)]);
    }

    #[test]
    fn a_slanting_edge_is_cut_too() {
        let over = frames::Area {
            left: 0,
            right: 10_000_000,
            low: 0,
            high: 4_000_000,
        };
        let cut = slanted(&[over], (0, 0), (10_000_000, 10_000_000));
        let cut: Vec<_> = cut
            .into_iter()
            .map(|(_, to, hidden)| (to, hidden))
            .collect();
        assert_eq!(
            cut,
            [
                ((4_000_000, 4_000_000), true),
                ((10_000_000, 10_000_000), false)
            ]
        );
    }
}
