//! The template at true scale: what is pierced through a frame, the edge that it is laid at or the
//! fold that it lies in. `labels` are its words, `advice` tells how it is laid.

mod advice;
mod labels;

use super::list::{Area, Line, Page, at};
use super::paper::{MM, Paper};
use super::pieces::{
    Fold, Hole, direction, drawn, edge, extent, fold_in_the_middle, folds, holes, name_of, numbered,
};
use super::tile::{self, Large, Tile};
use crate::length::{Interval, Length};
use crate::plan::Plan;
use crate::plan::frames::{self, Bound, Edge, FramePlan};
use crate::report::handout::{Block, said};
use itertools::Itertools;

/// Wide enough to hold and to read; no wider than what it is laid on.
const STRIP: i64 = 44 * MM;
/// Beyond the holes, for words.
const BEYOND: i64 = 36 * MM;
/// It is measured from the low edge, so it ends so far above the highest hole.
const ABOVE: i64 = Length::INCH.nm() * 3 / 4;
/// Between two parts beside each other.
const APART: i64 = 4 * MM;
/// Words stand in no narrower and no lower room.
const LEAST: i64 = 40 * MM;
/// Half of a cradle, at each side of its fold.
const HALF: i64 = 55 * MM;

/// Frames that share a template, and what of them it covers.
struct Template<'a> {
    plan: &'a Plan,
    group: Vec<&'a FramePlan>,
    /// In the frame; from its left and low end.
    area: frames::Area,
    /// The edge that it is laid at; `None` for a cradle, which lies in a fold.
    at: Option<Edge>,
    large: Large,
    /// What the holes take of it from the left, and from the right; nothing if they stand in no row.
    taken: [i64; 2],
    /// They stand at several distances from the edge that it is laid at: words stand beside each.
    spread: bool,
}

/// Where everything that is pierced is, as values.
fn pierced(frame: &FramePlan) -> Vec<(&str, Interval, Interval, Interval)> {
    let all = holes(frame);
    all.map(|(hole, up, diameter)| (hole.mark.name.as_str(), hole.across, up, diameter))
        .collect()
}

/// Frames of one kind that are pierced at the same places: they share one template.
fn groups(plan: &Plan) -> Vec<Vec<&FramePlan>> {
    let mut groups: Vec<Vec<&FramePlan>> = Vec::new();
    for frame in &plan.frames {
        if holes(frame).next().is_none() {
            continue;
        }
        // A strip along a low or high edge is as long as that; all others end above their holes.
        let alike = |group: &&mut Vec<&FramePlan>| {
            let other = group[0];
            let long = match frame.bound {
                Bound::At(Edge::Low) => frame.width == other.width,
                Bound::At(Edge::High) => (frame.width, frame.height) == (other.width, other.height),
                _ => true,
            };
            long && frame.name == other.name && pierced(frame) == pierced(other)
        };
        match groups.iter_mut().find(alike) {
            Some(group) => group.push(frame),
            None => groups.push(vec![frame]),
        }
    }
    groups
}

/// What of the frames a template covers, along the edge with the holes or the fold; and what the holes take of
/// it from the left, and from the right.
fn strip(group: &[&FramePlan], at: Option<Edge>) -> (frames::Area, [i64; 2]) {
    let first = group[0];
    let sides = || group.iter().map(|frame| extent(frame));
    let width = sides().map(|side| side.0).min().unwrap_or(0);
    let height = sides().map(|side| side.1).min().unwrap_or(0);
    let top = holes(first).map(|(_, up, _)| drawn(up)).max().unwrap_or(0);
    let height = match first.bound {
        Bound::At(Edge::Low | Edge::High) => height,
        _ => height.min(top + ABOVE),
    };
    let whole = frames::Area {
        left: 0,
        right: width,
        low: 0,
        high: height,
    };
    // From the edge, or the fold, to the far rim of the farthest hole.
    let reach = |from: &dyn Fn(Hole<'_>, Interval) -> i64| {
        let far = holes(first).map(|(mark, up, diameter)| from(mark, up) + drawn(diameter) / 2);
        far.max().unwrap_or(0)
    };
    let across = |left: i64, right: i64| frames::Area {
        left,
        right,
        ..whole
    };
    let strip = |reach: i64, room: i64| STRIP.max(reach + BEYOND).min(room);
    match at {
        Some(Edge::Left) => {
            let reach = reach(&|mark, _| drawn(mark.across));
            (across(0, strip(reach, width)), [reach, 0])
        }
        Some(Edge::Right) => {
            let full = extent(first).0;
            let reach = reach(&|mark, _| full - drawn(mark.across));
            (across(full - strip(reach, width), full), [0, reach])
        }
        Some(Edge::Low) => {
            let high = strip(reach(&|_, up| drawn(up)), height);
            (frames::Area { high, ..whole }, [0, 0])
        }
        Some(Edge::High) => {
            let full = extent(first).1;
            let low = full - strip(reach(&|_, up| full - drawn(up)), height);
            let high = full;
            (frames::Area { low, high, ..whole }, [0, 0])
        }
        None => {
            let middle = extent(first).0 / 2;
            let reach = reach(&|mark, _| (drawn(mark.across) - middle).abs());
            let half = HALF.max(reach + BEYOND).min(width / 2);
            (across(middle - half, middle + half), [half + reach, 0])
        }
    }
}

impl<'a> Template<'a> {
    fn new(plan: &'a Plan, group: Vec<&'a FramePlan>) -> Template<'a> {
        let at = match group[0].bound {
            Bound::At(edge) => Some(edge),
            Bound::Fold => None,
            Bound::No => Some(Edge::Left),
        };
        let (area, taken) = strip(&group, at);
        let mut template = Template {
            plan,
            group,
            area,
            at,
            large: Large::default(),
            taken,
            spread: false,
        };
        template.spread = at.is_some() && template.off_edge(None).len() > 1;
        if template.spread {
            template.taken = [0, 0];
        }
        template.large = template.figure();
        template
    }

    /// The template as one figure, its low edge below.
    fn figure(&self) -> Large {
        let (first, area) = (self.group[0], self.area);
        let (width, height) = (area.right - area.left, area.high - area.low);
        let mut large = Large {
            width,
            height,
            ..Large::default()
        };
        let name = format!("template: {}", name_of(self.plan, first));
        // Only where it is laid must it be cut exactly: at the low edge, and at the edge of the holes.
        let exact = [Some(Edge::Low), self.at.or(Some(Edge::Low))];
        let sides = [
            (Edge::High, at(0, 0), at(width, 0)),
            (Edge::Right, at(width, 0), at(width, height)),
            (Edge::Low, at(0, height), at(width, height)),
            (Edge::Left, at(0, 0), at(0, height)),
        ];
        for (side, from, to) in sides {
            let line = match exact.contains(&Some(side)) {
                true => Line::Hair,
                false => Line::Hidden,
            };
            large.lines.push((name.clone(), from, to, line));
        }
        for fold in folds(first) {
            let (from, to, inside) = match fold {
                Fold::Upright(across) => {
                    let x = across - area.left;
                    (at(x, 0), at(x, height), (0..=width).contains(&x))
                }
                Fold::Level(up) => {
                    let y = area.high - up;
                    (at(0, y), at(width, y), (0..=height).contains(&y))
                }
            };
            if inside {
                let fold = (format!("{name}: fold"), from, to, Line::Fold);
                large.lines.push(fold);
            }
        }
        for (hole, up, diameter) in holes(first) {
            large.circles.push((
                format!("{name}: {} {}", hole.mark.name, numbered(first, hole.mark)),
                at(drawn(hole.across) - area.left, area.high - drawn(up)),
                Length::from_nm(drawn(diameter) / 2),
            ));
        }
        large
    }

    /// What it is called where it is laid.
    fn where_laid(&self) -> &str {
        match self.at {
            Some(at) => edge(self.group[0], at),
            None => fold_in_the_middle(self.group[0]).titles(self.group[0])[0],
        }
    }

    /// How far holes are from the edge that it is laid at, the nearest first; those of one name, or all.
    fn off_edge(&self, name: Option<&str>) -> Vec<Interval> {
        let first = self.group[0];
        let all = holes(first).filter(|(hole, ..)| name.is_none_or(|name| hole.mark.name == name));
        let far = all.filter_map(|(mark, up, _)| {
            Some(match self.at? {
                Edge::Left => mark.across,
                Edge::Right => less(first.width, mark.across),
                Edge::Low => up,
                Edge::High => less(first.height, up),
            })
        });
        far.sorted_by_key(|it| it.middle()).dedup().collect()
    }

    /// What it shows, for who cannot see it.
    fn about(&self, of: &str) -> String {
        let count = self.large.circles.len();
        let several = self.titles()[1];
        match self.at {
            Some(_) if self.spread => format!(
                "The sheet through which {of} is punched, at true scale: {count} {several}."
            ),
            Some(at) => format!(
                "The strip through which {of} is punched, at true scale: {count} {several} along its {} edge.",
                direction(at)
            ),
            None => format!(
                "The cradle through which {of} is pierced, at true scale: {count} {several} along its {}.",
                self.where_laid()
            ),
        }
    }

    /// Whether words have room beside these parts, or below them.
    fn has_room(paper: Paper, tiles: &[Tile]) -> bool {
        let body = paper.column();
        let first = tiles.first().map(|it| it.window);
        first.is_none_or(|it| {
            body.width() - it.width() - APART > LEAST || body.height() - it.height() - APART > LEAST
        })
    }

    /// `hole`, `station`: one of what it shows, and several.
    fn titles(&self) -> [&str; 2] {
        let mut marks = holes(self.group[0]);
        let first = marks.next();
        first.map_or(["hole", "holes"], |(Hole { mark, .. }, ..)| {
            [&mark.titles[0], &mark.titles[1]]
        })
    }

    fn names(&self) -> Vec<String> {
        let names = self.group.iter();
        names.map(|frame| name_of(self.plan, frame)).collect()
    }
}

/// The parts of a template, each on a page: joined where a whole hole is on both, never between holes,
/// unless two holes lie farther apart than a page is high.
fn parts(large: &Large, (wide, high): (i64, i64)) -> Vec<Tile> {
    let plain = || tile::tiles(large, wide, high);
    if large.height <= high || large.width > wide {
        return plain();
    }
    let circles = large.circles.iter();
    let radius = circles.clone().map(|(_, _, r)| r.nm()).max().unwrap_or(0);
    let overlap = 2 * radius + 16 * MM;
    let mut windows: Vec<(i64, i64)> = Vec::new();
    let mut top = 0;
    while large.height - top > high {
        let joins = circles.clone().map(|(_, at, _)| at.y.nm());
        let joins = joins.filter(|y| y - overlap / 2 > top && y + overlap / 2 - top <= high);
        let Some(y) = joins.max() else {
            return plain();
        };
        windows.push((top, y + overlap / 2));
        top = y - overlap / 2;
    }
    windows.push((top, large.height));
    let rows = windows.len();
    let each = windows.iter().enumerate().map(|(row, (top, bottom))| Tile {
        row,
        column: 0,
        rows,
        columns: 1,
        window: Area {
            left: 0,
            right: large.width,
            top: *top,
            bottom: *bottom,
        },
        overlap,
    });
    each.collect()
}

/// All pages of the templates, and on which of them more drawings stand. Beside the first stand steps and then
/// these drawings, if all of them have room there; else they are left as they are.
pub fn pages(
    paper: Paper,
    plan: &Plan,
    steps: &mut Vec<Vec<Block>>,
    more: &mut Vec<Page>,
) -> (Vec<Page>, usize) {
    let body = paper.column();
    let (mut pages, mut beside) = (Vec::new(), 0);
    for group in groups(plan) {
        let template = Template::new(plan, group);
        let of = said::lengths(&template.names());
        let tiles = parts(&template.large, (body.width(), body.height()));
        let about = template.about(&of);
        let mut rest = tiles.as_slice();
        // What fills whole pages leaves the words a page of their own.
        if !Template::has_room(paper, &tiles[..1]) {
            let mut page = paper.page(&format!("Template at true scale: {of}"), &about);
            let room = paper.column();
            let none = Area {
                left: room.right,
                ..room
            };
            template.advice(&mut page, tiles.len() > 1, [room, none], (steps, more));
            pages.push(page);
        }
        while !rest.is_empty() {
            // Others stand beside the first, where words have room below them.
            let fits = |n: &usize| {
                let wide: i64 = rest[..*n].iter().map(|it| it.window.width() + APART).sum();
                let low = |it: &Tile| it.window.height() <= body.height() / 2;
                *n == 1 || wide <= body.width() && rest[1..*n].iter().all(low)
            };
            let count = (1..=rest.len()).rev().find(fits).unwrap_or(1);
            let (here, later) = rest.split_at(count);
            rest = later;
            // Where it goes stands first: names may be long.
            let part = here.first().and_then(|it| tile::named(*it));
            let title = match part.filter(|_| here.len() < tiles.len()) {
                Some(part) => format!("Template at true scale, {part}: {of}"),
                None => format!("Template at true scale: {of}"),
            };
            let mut page = paper.page(&title, &about);
            let before = more.len();
            template.on_page(&mut page, paper, here, (steps, more));
            if more.len() < before {
                beside = pages.len();
            }
            pages.push(page);
        }
    }
    (pages, beside)
}

/// A distance from the far edge.
fn less(whole: Interval, part: Interval) -> Interval {
    let end = |a: Length, b: Length| Length::from_nm(a.nm() - b.nm());
    let (low, high) = (
        end(whole.least(), part.most()),
        end(whole.most(), part.least()),
    );
    Interval::between(low, high).unwrap_or(Interval::exact(high))
}
