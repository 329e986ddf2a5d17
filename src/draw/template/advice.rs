//! How a template is used: what to do with it in words, and a small picture of it where it is laid.

use super::super::flow::column;
use super::super::font::Face;
use super::super::list::{Area, Ink, Line, Page, at};
use super::super::paper::{self, MM, said};
use super::super::pieces::{
    across_from, direction, drawn, extent, folds, holes, name_of, ply_edges, seen, short_edge,
    turned,
};
use super::super::tile::Tile;
use super::{Template, pierced};
use crate::length::{Interval, Length};
use crate::plan::frames::{self, Edge};
use crate::report::handout::said as words;

impl Template<'_> {
    /// How the template is used, beside it.
    pub(super) fn advice(&self, page: &mut Page, tile: Tile, beside: Area) {
        let (plan, first) = (self.plan, self.group[0]);
        let ruler = plan.ruler;
        let mut lines = vec!["Check the bars below with your own ruler before you cut.".to_owned()];
        let mut told: Vec<&str> = Vec::new();
        for (mark, up, diameter) in holes(first) {
            if told.contains(&mark.name.as_str()) {
                continue;
            }
            told.push(&mark.name);
            let count = pierced(first).iter().filter(|it| it.0 == mark.name).count();
            let [one, several] = &mark.titles;
            let count = match count {
                1 => format!("1 {one}"),
                n => format!("{n} {several}"),
            };
            let diameter = words::length(ruler, diameter);
            let from_edge = self.at.map(|edge| match edge {
                Edge::Left => mark.across,
                Edge::Right => less(first.width, mark.across),
                Edge::Low => up,
                Edge::High => less(first.height, up),
            });
            lines.push(match from_edge {
                Some(off) => format!(
                    "{count} of {diameter}, centres {} from the {}.",
                    words::length(ruler, off),
                    self.where_laid()
                ),
                None => format!("{count} of {diameter}, centres on the fold."),
            });
        }
        let tail = short_edge(first, Edge::Low);
        let of = words::capital(self.titles()[1]);
        match self.at {
            Some(edge) => {
                lines.push(format!(
                    "Glue it on stiff card, cut along the wide lines: {} and {tail} exactly. Punch its {}, each centred on its cross.",
                    self.where_laid(),
                    self.titles()[1]
                ));
                lines.push(format!(
                    "The {} edge is no edge of the {}; it only holds the strip together.",
                    direction(across_from(edge)),
                    first.titles[0]
                ));
            }
            None => lines.push(format!(
                "Glue it on stiff card, cut along the wide lines, {tail} exactly, and fold it along the dashed line. {of} are pierced on the fold, each centred on its cross."
            )),
        }
        let mut marks = first.marks.iter().filter(|mark| mark.up.is_some());
        lines.extend(marks.find_map(|mark| mark.lay.clone()));
        if tile.rows > 1 || tile.columns > 1 {
            lines.push(
                "This template is larger than the page. Cut one page along its long-dashed line, lay that line on its twin on the next page, crosses on crosses, and tape them."
                    .to_owned(),
            );
        }
        let mut y = column(page, beside, beside.top, "How to use it", &lines);
        for other_side in [false, true] {
            let names: Vec<String> = self
                .group
                .iter()
                .filter(|frame| turned(plan, frame) == other_side)
                .map(|frame| name_of(plan, frame))
                .collect();
            if names.is_empty() {
                continue;
            }
            let side = &first.sides[usize::from(self.at.is_none())];
            let how = match (self.at, other_side) {
                (Some(at), false) => {
                    format!(
                        "{side} up, template face up, at the {} edge.",
                        direction(at)
                    )
                }
                (Some(at), true) => format!(
                    "it is turned over in the album, so: {side} up, template face DOWN, {} up, at the {} edge.",
                    short_edge(first, Edge::High),
                    direction(across_from(at))
                ),
                (None, _) => format!("{side} up, the template's fold in its fold."),
            };
            let told = format!("{}: {how}", words::lengths(&names));
            y = column(page, beside, y + 4 * MM, "", &[told]);
            y = self.laid(page, other_side, beside, y + 2 * MM);
        }
    }

    /// A small picture of a frame with the template on it; tells where it ends.
    fn laid(&self, page: &mut Page, other_side: bool, beside: Area, top: i64) -> i64 {
        let frame = self.group[0];
        let (width, height) = extent(frame);
        let room = (beside.bottom - top - 6 * MM).min(46 * MM);
        if room < 25 * MM || height <= 0 {
            return top;
        }
        // As high as there is room, or as wide.
        let limit = beside.width() - 40 * MM;
        let times = |length: i64, (drawn, of): (i64, i64)| {
            (i128::from(length) * i128::from(drawn) / i128::from(of)) as i64
        };
        let scale = match times(width, (room, height)) <= limit {
            true => (room, height),
            false => (limit, width),
        };
        let small = |length: i64| times(length, scale);
        let (wide, high) = (small(width), small(height));
        let left = beside.left + 4 * MM;
        let area = Area::sized(left, top, wide, high);
        page.rect("", area, Some(Line::Edge.into()), Some(Ink::White));
        let back = self.at.is_none();
        for laid in seen(frame, back) {
            let frames::What::Ply(_) = laid.what else {
                continue;
            };
            for [(_, from), (_, to)] in ply_edges(frame, laid) {
                if from == to {
                    let y = area.bottom - small(from);
                    page.line(at(area.left, y), at(area.right, y), Line::Edge);
                }
            }
        }
        let at_edge = match (self.at, other_side) {
            (Some(edge), true) => Some(across_from(edge)),
            (edge, _) => edge,
        };
        let band = |long: i64| (long * 2 / 5).max(6 * MM).min(long);
        let strip = match at_edge {
            Some(Edge::Left) => Area {
                right: area.left + band(wide),
                ..area
            },
            Some(Edge::Right) => Area {
                left: area.right - band(wide),
                ..area
            },
            Some(Edge::Low) => Area {
                top: area.bottom - band(high),
                ..area
            },
            Some(Edge::High) => Area {
                bottom: area.top + band(high),
                ..area
            },
            None => Area {
                left: area.left + (wide - band(wide)) / 2,
                right: area.right - (wide - band(wide)) / 2,
                ..area
            },
        };
        page.rect("", strip, Some(Line::Thin.into()), Some(Ink::Pale));
        for across in folds(frame) {
            let x = area.left + small(across);
            page.line(at(x, area.top), at(x, area.bottom), Line::Fold);
        }
        for (mark, up, diameter) in holes(frame) {
            let across = drawn(mark.across);
            let x = match at_edge {
                Some(Edge::Left) if self.at == Some(Edge::Right) => {
                    strip.left + small(width - across).max(MM)
                }
                Some(Edge::Left) => strip.left + small(across).max(MM),
                Some(Edge::Right) if self.at == Some(Edge::Right) => {
                    strip.right - small(width - across).max(MM)
                }
                Some(Edge::Right) => strip.right - small(across).max(MM),
                Some(Edge::Low | Edge::High) | None => area.left + small(across),
            };
            let y = match at_edge == self.at || !matches!(self.at, Some(Edge::Low | Edge::High)) {
                true => area.bottom - small(drawn(up)),
                false => area.top + small(drawn(up)),
            };
            let radius = small(drawn(diameter) / 2).max(MM / 2);
            page.circle(
                "",
                at(x, y),
                Length::from_nm(radius),
                Some(Line::Thin.into()),
                Some(Ink::White),
            );
        }
        let x = area.right + 3 * MM;
        let face = match (self.at, other_side) {
            (None, _) => "in the fold",
            (_, false) => "face up",
            (_, true) => "face down",
        };
        let head = short_edge(frame, Edge::High);
        for (n, word) in [head, "grey: the template,", face].iter().enumerate() {
            let y = top + 4 * MM + 4_500_000 * n as i64;
            let room = beside.right - x;
            let word = paper::fitted(word, Face::Regular, 3 * MM, room);
            page.text(said(x, y, &word, 3 * MM));
        }
        page.text(said(x, area.bottom, short_edge(frame, Edge::Low), 3 * MM));
        area.bottom
    }
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
