//! Each side of each frame, to scale, with its sizes: what lies where, and what is hidden.

use super::badge;
use super::check::{self, Taken};
use super::dims::{self, Dim, Run};
use super::figure::{Projection, figure};
use super::flow::Flow;
use super::list::{Anchor, Area, Ink, Line, Page, Stroke, Text, at};
use super::paper::{MM, Paper, said};
use super::pieces::{
    Piece, drawn, extent, holes, leaf_of, lettered, name_of, near_plies, numbered, turned,
};
use crate::length::Length;
use crate::plan::Plan;
use crate::plan::frames::{self, Bound, Edge, FramePlan, What};
use crate::report::handout::said as words;
use crate::report::handout::{Block, Table, framed, legend};

/// Scales that a frame is drawn to, the largest that fits: drawn, of so much.
pub const SCALES: [(i64, i64); 13] = [
    (1, 1),
    (4, 5),
    (2, 3),
    (1, 2),
    (2, 5),
    (1, 3),
    (1, 4),
    (1, 5),
    (1, 8),
    (1, 10),
    (1, 15),
    (1, 20),
    (1, 40),
];

/// Room beside the bound edge for the heights of the holes.
const HOLES: i64 = 24 * MM;

/// `1 : 2.5`.
pub fn scale_name((drawn, of): (i64, i64)) -> String {
    let hundredths = of * 100 / drawn;
    let text = format!("1 : {}.{:02}", hundredths / 100, hundredths % 100);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// One side of a frame: the drawing, where it ends, and what its letters mean.
pub struct Side {
    pub page: Page,
    pub bottom: i64,
    pub legend: Table,
}

/// Draws one side of a frame at the upper end of a page.
pub fn side(paper: Paper, plan: &Plan, frame: &FramePlan, back: bool) -> Side {
    let pieces = lettered(frame, back);
    let names: Vec<(String, String)> = pieces
        .iter()
        .map(|piece| (piece.letter.clone(), piece.name().to_owned()))
        .collect();
    let (title, about, legend) = match leaf_of(plan, frame) {
        Some(leaf) => (
            legend::title(plan, leaf, !back),
            legend::about(plan, leaf, !back),
            legend::table(plan, leaf, !back, &names),
        ),
        None => (
            framed::title(frame, back),
            framed::about(plan, frame, back),
            framed::table(plan, frame, back, &names),
        ),
    };
    let mut page = paper.page(&title, &about);
    // The drawing takes what its legend leaves of the page, and half of it at least.
    let mut under = Flow::new(paper, "", "");
    under.block(&Block::Table(legend.clone()));
    let body = paper.body();
    let taken = if under.several() {
        body.height()
    } else {
        under.y() - body.top
    };
    let room = (body.height() - taken).max(body.height() / 2);
    let drawing = Drawing::new(paper, plan, frame, back, pieces, room);
    let bottom = drawing.draw(&mut page);
    Side {
        page,
        bottom,
        legend,
    }
}

/// Pages of one side of a frame: the drawing, and under it what its letters mean.
pub fn pages(paper: Paper, plan: &Plan, frame: &FramePlan, back: bool) -> Vec<Page> {
    let Side {
        page,
        bottom,
        legend,
    } = side(paper, plan, frame, back);
    let mut flow = Flow::after(paper, page, bottom);
    if !legend.rows.is_empty() {
        flow.block(&Block::Table(legend));
    }
    flow.done()
}

/// A side as it is laid out on its page.
struct Drawing<'a> {
    plan: &'a Plan,
    frame: &'a FramePlan,
    back: bool,
    pieces: Vec<Piece<'a>>,
    body: Area,
    on: Projection,
    /// The frame's number of lanes for sizes across.
    lanes: i64,
}

const CAPTION: i64 = 13 * MM;

impl<'a> Drawing<'a> {
    fn new(
        paper: Paper,
        plan: &'a Plan,
        frame: &'a FramePlan,
        back: bool,
        pieces: Vec<Piece<'a>>,
        high: i64,
    ) -> Drawing<'a> {
        let body = paper.body();
        let on = Projection {
            scale: SCALES[SCALES.len() - 1],
            ..Projection::of(frame.bound, back != turned(plan, frame))
        };
        let mut drawing = Drawing {
            plan,
            frame,
            back,
            pieces,
            body,
            on,
            lanes: 0,
        };
        let (across, up) = drawing.sizes();
        drawing.lanes = across.len() as i64;
        let room = (
            body.width() - HOLES - dims::LANE * up.len() as i64 - 2 * MM,
            high - CAPTION - dims::LANE * drawing.lanes - 9 * MM,
        );
        let all = drawing.all();
        let fits = |scale: &&(i64, i64)| {
            let on = Projection {
                scale: **scale,
                ..on
            };
            on.scaled(all.right - all.left) <= room.0 && on.scaled(all.high - all.low) <= room.1
        };
        let scale = SCALES.iter().find(fits);
        drawing.on.scale = *scale.unwrap_or(&SCALES[SCALES.len() - 1]);
        let on = drawing.on;
        let (left, right) = match on.mirrored {
            false => (-all.left, all.right),
            true => (all.right, -all.left),
        };
        let spare = (room.0 - on.scaled(left + right)).max(0) / 2;
        // Where the frame's own zero comes to lie: from the side that has the holes' room.
        let from_left = |length: i64| body.left + spare + HOLES + on.scaled(length);
        let from_right = |length: i64| body.right - spare - HOLES - on.scaled(length);
        drawing.on.zero = match (drawing.holes_at_right(), on.mirrored) {
            (false, false) => from_left(-all.left),
            (false, true) => from_left(all.right),
            (true, false) => from_right(all.right),
            (true, true) => from_right(-all.left),
        };
        let top = body.top + CAPTION + 4 * MM;
        drawing.on.base = match on.upside_down {
            false => top + on.scaled(all.high - extent(frame).1) + on.scaled(extent(frame).1),
            true => top + on.scaled(-all.low),
        };
        drawing
    }

    /// The frame by itself.
    fn whole(&self) -> frames::Area {
        let (right, high) = extent(self.frame);
        frames::Area {
            left: 0,
            right,
            low: 0,
            high,
        }
    }

    /// The frame and what stands out of it on this side.
    fn all(&self) -> frames::Area {
        let copies = self.pieces.iter().flat_map(|piece| &piece.copies);
        copies.fold(self.whole(), |all, laid| frames::Area {
            left: all.left.min(laid.area.left),
            right: all.right.max(laid.area.right),
            low: all.low.min(laid.area.low),
            high: all.high.max(laid.area.high),
        })
    }

    /// The side of the drawing beside which the heights of the holes stand: the bound edge's.
    fn holes_at_right(&self) -> bool {
        (self.frame.bound == Bound::At(Edge::Right)) != self.on.mirrored
    }

    /// It is bound at its low or high edge, so that holes lie beside each other.
    fn bound_level(&self) -> bool {
        matches!(self.frame.bound, Bound::At(Edge::Low | Edge::High))
    }

    fn told(&self, value: crate::length::Interval) -> String {
        words::length(self.plan.ruler, value)
    }

    /// Lanes for sizes, as many as there are different ones: across, and up.
    fn sizes(&self) -> (Vec<Dim>, Vec<Dim>) {
        let (mut across, mut up): (Vec<Dim>, Vec<Dim>) = (Vec::new(), Vec::new());
        let on = &self.on;
        for piece in &self.pieces {
            let laid = piece.laid();
            // What is no piece of the album's is cut from a scrap, as wide as what it is for.
            if laid.what == What::Paper(None) {
                continue;
            }
            let (area, of) = (on.area(laid.area), &piece.letter);
            dims::add(
                &mut across,
                area.left,
                area.right,
                of,
                &self.told(laid.width),
            );
            dims::add(&mut up, area.top, area.bottom, of, &self.told(laid.height));
        }
        let whole = self.whole();
        for laid in near_plies(self.frame, self.back) {
            let (area, it) = (on.area(laid.area), laid.area);
            // One over the whole frame is as large as that; it is listed if a maker measures it.
            let measured = laid.measure.is_some();
            if measured || (it.low, it.high) != (whole.low, whole.high) {
                let told = self.told(laid.height);
                dims::add(&mut up, area.top, area.bottom, &laid.title, &told);
            }
            if (it.left, it.right) != (whole.left, whole.right) {
                let told = self.told(laid.width);
                dims::add(&mut across, area.left, area.right, &laid.title, &told);
            }
        }
        if self.bound_level() {
            for (mark, ..) in holes(self.frame) {
                let of = format!("{} {}", mark.name, numbered(self.frame, mark));
                let (from, to) = (on.x(0), on.x(drawn(mark.across)));
                dims::add(&mut across, from, to, &of, &self.told(mark.across));
            }
        }
        let area = on.area(whole);
        let FramePlan { width, height, .. } = self.frame;
        let of = &self.frame.titles[0];
        dims::add(&mut across, area.left, area.right, of, &self.told(*width));
        dims::add(&mut up, area.top, area.bottom, of, &self.told(*height));
        (across, up)
    }

    /// Draws it and tells where it ends.
    fn draw(&self, page: &mut Page) -> i64 {
        let (body, on) = (self.body, &self.on);
        for (n, line) in [
            format!(
                "Scale {}. Wide lines: edges that you see. Dashed: edges that are hidden.",
                scale_name(on.scale)
            ),
            "What is tucked in is drawn as if the paper before it were glass. Letters: see below."
                .to_owned(),
        ]
        .iter()
        .take(if self.pieces.is_empty() && self.frame.leaf.is_none() {
            1
        } else {
            2
        })
        .enumerate()
        {
            let y = body.top + 4 * MM + 4_500_000 * n as i64;
            page.text(Text {
                ink: Ink::Dark,
                ..said(body.left, y, line, 3_200_000)
            });
        }
        let name = name_of(self.plan, self.frame);
        figure(page, self.frame, on, self.back, &name, &self.pieces);
        self.holes(page, &name);
        let (across, up) = self.sizes();
        let all = on.area(self.all());
        dims::draw(page, Run::Across, all.bottom, &across, body);
        let (run, side) = match self.holes_at_right() {
            false => (Run::Up, all.right),
            true => (Run::UpLeft, all.left),
        };
        dims::draw(page, run, side, &up, body);
        let lettered = self.pieces.iter().flat_map(|piece| {
            let area = |laid: &&frames::Laid| (piece.letter.as_str(), on.area(laid.area));
            piece.copies.iter().map(area)
        });
        badge::draw(page, &lettered.collect::<Vec<_>>());
        self.edge_words(page);
        // The size of something low is written beyond it.
        let lowest = page.marks.iter().map(|mark| mark.shape.area().bottom).max();
        let end = all.bottom + dims::LANE * across.len() as i64 + 4 * MM;
        end.max(lowest.unwrap_or(end) + MM)
    }

    /// What the edges are called, above, below, and beside the bound one.
    fn edge_words(&self, page: &mut Page) {
        let (on, frame) = (&self.on, self.frame);
        let (whole, all) = (on.area(self.whole()), on.area(self.all()));
        let [above, below] = match on.upside_down {
            false => [Edge::High, Edge::Low],
            true => [Edge::Low, Edge::High],
        };
        let at_right = self.holes_at_right();
        for (edge, y) in [(above, all.top - MM), (below, all.bottom + 4 * MM)] {
            let text = Text {
                anchor: Anchor::Middle,
                ink: Ink::Dark,
                ..said(whole.middle().0, y, &frame.edges[edge as usize], 3 * MM)
            };
            // Where there are sizes: then beside them.
            let (x, anchor) = match at_right {
                false => (whole.left - MM, Anchor::End),
                true => (whole.right + MM, Anchor::Start),
            };
            let beside = Text {
                at: at(x, y),
                anchor,
                ..text.clone()
            };
            let mut texts = [text, beside].into_iter();
            if let Some(text) = texts.find(|text| check::free(page, text.area())) {
                page.text(text);
            }
        }
        let mut sides = vec![at_right];
        if !matches!(frame.bound, Bound::At(Edge::Left | Edge::Right)) {
            sides.push(!at_right);
        }
        for right in sides {
            let edge = match right == on.mirrored {
                true => Edge::Left,
                false => Edge::Right,
            };
            let words = &frame.edges[edge as usize];
            // Two millimetres off the edge, wherever nothing else is.
            let x = match right {
                false => all.left - 2 * MM,
                true => all.right + 4 * MM,
            };
            let taken = Taken::on(page);
            let text = |y: i64| Text {
                turned: true,
                ink: Ink::Dark,
                ..said(x, y, words, 3 * MM)
            };
            let along = (0..200)
                .map(|n| whole.bottom - 2 * MM * n)
                .take_while(|y| *y > whole.top)
                .map(text)
                .find(|text| text.area().top > whole.top && taken.free(text.area().grown(MM / 4)));
            if let Some(text) = along {
                page.text(text);
            }
        }
    }

    /// The holes, with their heights beside the bound edge.
    fn holes(&self, page: &mut Page, of: &str) {
        let (on, all) = (&self.on, self.on.area(self.all()));
        let at_right = self.holes_at_right();
        let (out, side) = match at_right {
            false => (-1, all.left),
            true => (1, all.right),
        };
        let mut above = on.y(0) + 3 * MM;
        for (mark, up, diameter) in holes(self.frame) {
            let centre = at(on.x(drawn(mark.across)), on.y(drawn(up)));
            page.circle(
                &format!("{of}: {} {}", mark.name, numbered(self.frame, mark)),
                centre,
                Length::from_nm(on.scaled(drawn(diameter) / 2)),
                Some(Line::Edge.into()),
                Some(Ink::White),
            );
            if self.bound_level() {
                continue;
            }
            // From the centre out to the label; labels keep apart.
            let y = centre.y.nm();
            let y_text = y.min(above - 4 * MM);
            above = y_text;
            page.path(
                &[
                    centre,
                    at(side + out * 2 * MM, y),
                    at(side + out * 4 * MM, y_text),
                ],
                Stroke {
                    line: Line::Thin,
                    ink: Ink::Mid,
                },
            );
            page.text(Text {
                anchor: if at_right { Anchor::Start } else { Anchor::End },
                ..said(side + out * 5 * MM, y_text + MM, &self.told(up), dims::SIZE)
            });
        }
    }
}
