//! Names and sizes inside the things of a drawing, and what its bound edge is called. May import what `draw`
//! may.

use super::super::font::Face;
use super::super::list::{Anchor, Area, Ink, Line, Page, Text, at};
use super::super::paper::{MM, SMALLEST, said};
use super::super::pieces::{Piece, edge, leaf_of, near_plies, ply_edges, whole};
use super::super::{check, ruler};
use super::Drawing;
use crate::plan::frames::{Edge, Laid, What};
use crate::report::handout::{said as words, sides};

impl Drawing<'_> {
    /// The name and the size of everything, inside it; what has no room there is returned.
    pub(super) fn sizes(&self, page: &mut Page) -> Vec<String> {
        let mut left_out = Vec::new();
        let on = &self.on;
        // The smallest first: they have the fewest places.
        let mut pieces: Vec<&Piece<'_>> = self.pieces.iter().collect();
        let edges = near_plies(self.frame, self.back);
        let edges = edges.into_iter().filter(|it| it.what != What::Ply(0));
        let edges = edges.flat_map(|laid| ply_edges(self.frame, laid));
        let edges: Vec<Area> = edges
            .map(|[(a, b), (c, d)]| {
                let (a, b, c, d) = (on.x(a), on.y(b), on.x(c), on.y(d));
                Area {
                    left: a.min(c),
                    right: a.max(c),
                    top: b.min(d),
                    bottom: b.max(d),
                }
                .grown(MM / 4)
            })
            .collect();
        let size = |laid: &Laid| {
            let area = laid.area;
            i128::from(area.right - area.left) * i128::from(area.high - area.low)
        };
        pieces.sort_by_key(|piece| size(piece.laid()));
        for piece in pieces {
            let laid = piece.laid();
            let name = words::plain(piece.name());
            let size = words::spelled(&words::sized(self.plan.ruler, laid.width, laid.height));
            let name = match (laid.what, piece.copies.len()) {
                (_, 2..) => format!("{name} ({} of them)", piece.copies.len()),
                _ => name,
            };
            let bold = |text: &str| (Face::Bold, text.to_owned());
            let plain = |text: &str| (Face::Regular, text.to_owned());
            let more = self.more(laid);
            let both = format!("{name} {size}");
            let mut ways = vec![vec![bold(&name), plain(&size)], vec![bold(&both)]];
            if let Some(more) = &more {
                ways.insert(0, vec![bold(&name), plain(&size), plain(more)]);
            }
            let here = on.area(laid.area);
            let others: Vec<Area> = self
                .pieces
                .iter()
                .flat_map(|other| &other.copies)
                .filter(|other| !std::ptr::eq(**other, laid))
                .map(|other| on.area(other.area))
                .collect();
            let covers: Vec<Area> = laid.behind.iter().map(|it| on.area(*it)).collect();
            // On what covers a small part of it, it would name that; nor does it wipe out an edge of the
            // frame's.
            let large = |it: Area| i128::from(it.width()) * i128::from(it.height());
            let named = covers.iter().filter(|it| large(**it) * 2 < large(here));
            let named: Vec<&Area> = named.chain(&edges).collect();
            let cost = |area: Area| match named.iter().any(|it| it.meets(area)) {
                true => ruler::NEVER,
                false => others.iter().filter(|it| it.meets(area)).count(),
            };
            let tries = [(false, false), (true, false), (false, true), (true, true)];
            let found = tries.iter().find_map(|how| {
                let mut ways = ways.iter();
                ways.find_map(|way| ruler::inside(page, here, way, *how, &cost))
            });
            match found {
                Some((ground, texts)) => {
                    page.fill(ground, Ink::White);
                    for text in texts {
                        page.text(text);
                    }
                }
                None => left_out.push(format!("{name} {size}")),
            }
        }
        left_out
    }

    /// What is said of an insert beside its size.
    fn more(&self, laid: &Laid) -> Option<String> {
        let (What::Insert(..), Some(leaf)) = (laid.what, leaf_of(self.plan, self.frame)) else {
            return None;
        };
        sides::shows(self.plan, leaf, &laid.name)
    }

    /// What the bound edge is called, beside it.
    pub(super) fn edge_words(&self, page: &mut Page, near: i64, at_right: bool) {
        let whole = self.on.area(whole(self.frame));
        let edges = match at_right == self.on.mirrored {
            true => Edge::Left,
            false => Edge::Right,
        };
        let words = edge(self.frame, edges);
        let x = match at_right {
            false => near - 2 * MM,
            true => near + 4 * MM,
        };
        let taken = check::Taken::on(page);
        // The page has no size yet: whatever is free is on it.
        let text = |y: i64| Text {
            turned: true,
            ..said(x, y, words, SMALLEST)
        };
        let along = (0..200)
            .map(|n| whole.bottom - 2 * MM * n)
            .take_while(|y| *y > whole.top)
            .map(text)
            .find(|text| text.area().top > whole.top && taken.free(text.area().grown(MM / 4)));
        if let Some(text) = along {
            page.text(text);
            return;
        }
        // Between the heights of the holes there is no room: above the edge's upper end, as high as it must.
        let (top, x) = (
            self.all().top,
            if at_right { whole.right } else { whole.left },
        );
        let (anchor, off) = match at_right {
            false => (Anchor::Start, MM),
            true => (Anchor::End, -MM),
        };
        let text = |y: i64| Text {
            anchor,
            ..said(x + off, y, words, SMALLEST)
        };
        let heights = (1..200).map(|n| top - 2 * MM * n);
        let free = |y: &i64| taken.free(text(*y).area().grown(MM / 4));
        if let Some(y) = heights.into_iter().find(free) {
            page.line(at(x, whole.top - MM / 2), at(x, y - 2 * MM), Line::Thin);
            page.text(text(y));
        }
    }
}
