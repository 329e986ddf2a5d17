//! The words on a template: the height of each hole, what its edges are called, which side is up.

use super::super::check;
use super::super::font::{self, Face};
use super::super::list::{Anchor, Area, Page, Role, Text};
use super::super::paper::{MM, Paper, said};
use super::super::pieces::{
    Hole, drawn, edge, extent, holes, name_of, numbered, short_edge, turned,
};
use super::super::tile::{self, Tile};
use super::{APART, LEAST, Template};
use crate::length::Length;
use crate::plan::frames::{Edge, FramePlan};
use crate::report::handout::{Block, said as words};

/// The first of some texts that lies in an area and on nothing.
fn try_all(page: &mut Page, inside: Area, candidates: Vec<Text>) -> bool {
    let free = candidates.into_iter().find(|text| {
        let area = text.area();
        inside.holds(area) && check::free(page, area.grown(MM / 2))
    });
    let found = free.is_some();
    if let Some(text) = free {
        page.text(text);
    }
    found
}

/// A template's part on its page.
struct Sheet<'t, 'a> {
    of: &'t Template<'a>,
    tile: Tile,
    /// The part, and how it is moved from the figure onto the page.
    strip: Area,
    moved: (i64, i64),
}
impl Template<'_> {
    /// Draws parts of it on a page beside each other, and beside them or below how it is used.
    pub(super) fn on_page(
        &self,
        page: &mut Page,
        paper: Paper,
        tiles: &[Tile],
        beside_it: (&mut Vec<Vec<Block>>, &mut Vec<Page>),
    ) {
        let body = paper.column();
        let mut strips: Vec<Area> = Vec::new();
        for tile in tiles {
            let left = strips.last().map_or(body.left, |it| it.right + APART);
            strips.push(self.one(page, *tile, (left, body.top)));
        }
        let (Some(first), Some(last)) = (strips.first(), strips.last()) else {
            return;
        };
        let others = strips[1..].iter().map(|it| it.bottom + APART).max();
        let beside = Area {
            left: first.right + APART,
            top: others.unwrap_or(body.top),
            ..body
        };
        let corner = Area {
            left: last.right + APART,
            bottom: others.map_or(first.bottom, |bottom| bottom - APART),
            ..body
        };
        let below = Area {
            top: first.bottom + APART,
            ..body
        };
        let high = first.height() > body.height() / 2 && beside.width() > LEAST;
        let rooms = match (others, body.right - first.right > 80 * MM || high) {
            (Some(_), _) => [beside, corner],
            (None, true) => {
                let right = first.right;
                [beside, Area { right, ..below }]
            }
            (None, false) => [below, corner],
        };
        let joined = tiles.iter().any(|it| it.rows > 1 || it.columns > 1);
        match Self::has_room(paper, tiles) {
            true => self.advice(page, joined, rooms, beside_it),
            // It says which part it is, as no heading can.
            false => {
                for (tile, strip) in tiles.iter().zip(&strips) {
                    self.named(page, *tile, *strip);
                }
            }
        }
    }

    /// Which part this is, on it.
    fn named(&self, page: &mut Page, tile: Tile, strip: Area) {
        let name = tile::named(tile).map(|name| format!(", {name}"));
        let words = format!("Template{}", name.unwrap_or_default());
        let at = |n: i64| Text {
            anchor: Anchor::Middle,
            face: Face::Bold,
            ..said(
                strip.left.midpoint(strip.right),
                strip.top + 25 * MM + n * 6 * MM,
                &words,
                3_400_000,
            )
        };
        try_all(page, strip.grown(-MM), (0..20).map(at).collect());
    }

    /// Draws one part with its upper left corner there; tells where it lies.
    fn one(&self, page: &mut Page, tile: Tile, origin: (i64, i64)) -> Area {
        let from = page.marks.len();
        tile::draw(page, &self.large, tile, origin, self.taken[0]);
        let window = tile.window;
        let (dx, dy) = (origin.0 - window.left, origin.1 - window.top);
        let sheet = Sheet {
            of: self,
            tile,
            strip: Area {
                left: window.left + dx,
                right: window.right + dx,
                top: window.top + dy,
                bottom: window.bottom + dy,
            },
            moved: (dx, dy),
        };
        let end = match self.at {
            Some(Edge::Right) => tile.column + 1 == tile.columns,
            Some(Edge::Low | Edge::High) => true,
            Some(Edge::Left) | None => tile.column == 0,
        };
        if end {
            sheet.heights(page);
            sheet.laid_edge(page);
        }
        sheet.ends(page);
        sheet.side_up(page);
        sheet.joins(page);
        let about = page.about.clone();
        page.tag(Role::Figure(about), from);
        sheet.strip
    }
}

impl Sheet<'_, '_> {
    fn inside(&self) -> Area {
        self.strip.grown(-MM)
    }

    /// Where words stand: off the holes.
    fn middle(&self) -> i64 {
        let [left, right] = self.of.taken;
        self.strip.left.midpoint(self.strip.right) + left / 2 - right / 2
    }

    fn level(&self, label: &str, y: i64, face: Face) -> Text {
        Text {
            anchor: Anchor::Middle,
            face,
            ..said(self.middle(), y, label, 3_400_000)
        }
    }

    /// Each hole's height beside it.
    fn heights(&self, page: &mut Page) {
        let (of, frame) = (self.of, self.of.group[0]);
        let ((dx, dy), strip) = (self.moved, self.strip);
        let tail = short_edge(frame, Edge::Low);
        for ((Hole { mark, .. }, up, diameter), (_, centre, _)) in
            holes(frame).zip(&of.large.circles)
        {
            let (x, y) = (centre.x.nm() + dx, centre.y.nm() + dy);
            let radius = drawn(diameter) / 2;
            let short = words::spelled(&words::length(of.plan.ruler, up));
            let [one, _] = &mark.titles;
            let long = format!("{one} {}: {short} above the {tail}", numbered(frame, mark));
            // A centre may lie on an edge.
            let y = y.clamp(strip.top, strip.bottom);
            let cut = y - radius < strip.top || y + radius > strip.bottom;
            if cut && of.at.is_some() {
                continue;
            }
            let right = of.at == Some(Edge::Right) && !of.spread;
            let off = [0, 5 * MM, -5 * MM, 10 * MM, -10 * MM];
            let [clear, far] = of.taken;
            let (x, anchor) = match of.at {
                _ if of.spread => (x + radius + 3 * MM, Anchor::Start),
                Some(Edge::Right) => (strip.right - far - 5 * MM, Anchor::End),
                Some(Edge::Left) | None => (clear + 5 * MM + dx, Anchor::Start),
                Some(Edge::Low | Edge::High) => (x + radius + 3 * MM, Anchor::Start),
            };
            let at_height = |label: &str| {
                let label = label.to_owned();
                let text = |off: i64| Text {
                    anchor: if right { Anchor::End } else { anchor },
                    ..said(x, y + MM + off, &label, 3_200_000)
                };
                off.map(text)
            };
            let texts = [at_height(&long), at_height(&short)].concat();
            try_all(page, self.inside(), texts);
        }
    }

    /// Along the edge that it is laid at, between the holes and beside them.
    fn laid_edge(&self, page: &mut Page) {
        let of = self.of;
        let (here, strip) = (of.where_laid(), self.strip);
        let short = here.to_uppercase();
        let one = &of.group[0].titles[0];
        let label = match of.at {
            Some(_) => format!("{short}: lay it at the {one}'s {here}"),
            None => format!("{short}: lay it in the {one}'s {here}"),
        };
        let [clear, far] = of.taken;
        let along = || {
            (0..200)
                .map(|n| strip.bottom - 4 * MM * n)
                .take_while(|y| *y > strip.top)
        };
        let texts = |words: &str| -> Vec<Text> {
            let text = |turned: bool, x: i64, y: i64| Text {
                turned,
                face: Face::Bold,
                ..said(x, y, words, 3_200_000)
            };
            match of.at {
                Some(Edge::Right) => along()
                    .map(|y| text(true, strip.right - far - MM, y))
                    .collect(),
                Some(Edge::Left) | None => along()
                    .map(|y| text(true, clear + 4 * MM + self.moved.0, y))
                    .collect(),
                Some(Edge::Low | Edge::High) => along()
                    .map(|y| text(false, strip.left + 4 * MM, y))
                    .collect(),
            }
        };
        if !try_all(page, self.inside(), texts(&label)) {
            try_all(page, self.inside(), texts(&short));
        }
    }

    /// What is above and below.
    fn ends(&self, page: &mut Page) {
        let (of, frame, strip) = (self.of, self.of.group[0], self.strip);
        let [head, tail] = [Edge::High, Edge::Low].map(|it| short_edge(frame, it));
        if self.tile.row == 0 && of.at != Some(Edge::Low) {
            let cut_off = of.area.high < extent(frame).1;
            let words = match cut_off {
                true => "cut off above here".to_owned(),
                false => head.to_uppercase(),
            };
            let down = [5 * MM, 10 * MM, 15 * MM, 20 * MM];
            let texts = down.map(|d| self.level(&words, strip.top + d, Face::Regular));
            try_all(page, self.inside(), texts.to_vec());
        }
        if self.tile.row + 1 == self.tile.rows && of.at != Some(Edge::High) {
            let up = [3 * MM, 8 * MM, 13 * MM];
            let short = tail.to_uppercase();
            let label = format!("{short}: at the {}", edge(frame, Edge::Low));
            let long = up.map(|d| self.level(&label, strip.bottom - d, Face::Bold));
            let short = up.map(|d| self.level(&short, strip.bottom - d, Face::Bold));
            try_all(page, self.inside(), [long, short].concat());
        }
    }

    /// Which side is up, and for which it is.
    fn side_up(&self, page: &mut Page) {
        let (of, strip) = (self.of, self.strip);
        let high = strip.top.midpoint(strip.bottom);
        let (down, up): (Vec<&FramePlan>, Vec<&FramePlan>) = of
            .group
            .iter()
            .partition(|frame| of.at.is_some() && turned(of.plan, frame));
        let named = |frames: &[&FramePlan]| {
            let names = frames.iter().map(|frame| name_of(of.plan, frame));
            words::lengths(&names.collect::<Vec<_>>())
        };
        let mut lines = Vec::new();
        if of.at.is_some() {
            lines.push((Face::Bold, "THIS SIDE UP".to_owned()));
        }
        if !up.is_empty() {
            lines.push((Face::Regular, format!("for {}", named(&up))));
        }
        if !down.is_empty() {
            lines.push((Face::Regular, format!("{}: this side down", named(&down))));
        }
        let [left, right] = of.taken;
        let room = strip.width() - left - right - 14 * MM;
        let lines: Vec<(Face, String)> = lines
            .iter()
            .flat_map(|(face, line)| {
                let size = Length::from_nm(3_400_000);
                let set = font::lines(*face, size, &font::drawable(line), room.max(MM));
                set.into_iter().map(|line| (*face, line))
            })
            .collect();
        let block = |off: i64| -> Vec<Text> {
            let all = lines.iter().enumerate();
            all.map(|(n, (face, line))| self.level(line, high + off + 5 * MM * n as i64, *face))
                .collect()
        };
        // Together, where there is room for all of them.
        let offs = (0..40).flat_map(|n| [3 * MM * n, -3 * MM * n]);
        let inside = self.inside();
        let taken = check::Taken::on(page);
        let fits = |texts: &Vec<Text>| {
            texts.iter().all(|text| {
                let area = text.area();
                inside.holds(area) && taken.free(area.grown(3 * MM))
            })
        };
        for text in offs.map(block).find(fits).unwrap_or_default() {
            page.text(text);
        }
    }

    /// Where it goes on, on another page.
    fn joins(&self, page: &mut Page) {
        let (tile, strip) = (self.tile, self.strip);
        for (first, y) in [(true, strip.top), (false, strip.bottom)] {
            let joined = match first {
                true => tile.row > 0,
                false => tile.row + 1 < tile.rows,
            };
            if !joined {
                continue;
            }
            let off = tile.overlap / 2 + 2 * MM;
            let y = if first { y + off + 3 * MM } else { y - off };
            let texts = ["lay on its twin", "twin line"];
            let texts = texts.map(|label| self.level(label, y, Face::Regular));
            try_all(page, self.inside(), texts.to_vec());
        }
    }
}
