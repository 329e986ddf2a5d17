//! Each side of each frame, to scale, with every distance that a hand needs: heights beside it, from
//! its low edge; distances from its nearer side edge below it; sizes inside the things.

mod names;

use super::figure::{Projection, figure};
use super::font::Face;
use super::grips::grips;
use super::list::{Area, Ink, Line, Page, Role, Text, at};
use super::paper::{MM, said};
use super::pieces::{
    Fold, Hole, Piece, beyond, drawn, edge, extent, folds, holes, lettered, name_of, near_plies,
    numbered, turned, whole,
};
use super::ruler::{self, Off, Place};
use crate::length::{Interval, Length};
use crate::plan::Plan;
use crate::plan::frames::{self, Bound, Edge, FramePlan, Laid};
use crate::report::handout::{said as words, sides};
use itertools::Itertools;

/// Scales that a frame is drawn to, the largest that fits: drawn, of so much.
const SCALES: [(i64, i64); 20] = [
    (1, 1),
    (4, 5),
    (2, 3),
    (4, 7),
    (1, 2),
    (5, 11),
    (2, 5),
    (4, 11),
    (1, 3),
    (2, 7),
    (1, 4),
    (1, 5),
    (1, 6),
    (1, 8),
    (1, 10),
    (1, 15),
    (1, 20),
    (1, 30),
    (1, 40),
    (1, 100),
];

/// More folds of one direction than these stand in a sentence, not each at its line.
const FEW_FOLDS: usize = 3;

/// `1 : 2.5`.
pub fn scale_name((drawn, of): (i64, i64)) -> String {
    let hundredths = of * 100 / drawn;
    let text = format!("1 : {}.{:02}", hundredths / 100, hundredths % 100);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// Both sides of a frame as they are met in the album, beside each other on pages of a width (nanometres).
pub struct Sides<'a> {
    plan: &'a Plan,
    pub frame: &'a FramePlan,
    width: i64,
    /// Whether they fit at a scale with names so wide, of those that were looked at.
    fits: Vec<(Way, bool)>,
}

/// A scale, and the widest name.
type Way = ((i64, i64), i64);

impl<'a> Sides<'a> {
    pub fn new(plan: &'a Plan, frame: &'a FramePlan, width: i64) -> Sides<'a> {
        let fits = Vec::new();
        Sides {
            plan,
            frame,
            width,
            fits,
        }
    }

    /// At the largest scale at which each is no higher than so much and both fit.
    pub fn at(&mut self, high: i64) -> [Page; 2] {
        let Sides { frame, width, .. } = *self;
        let low = |scale: &(i64, i64)| {
            let on = Projection {
                scale: *scale,
                ..Projection::of(frame.bound, false)
            };
            let out = frame.out.map(Length::nm);
            on.scaled(extent(frame).1 + out[2].max(0) + out[3].max(0)) <= high
                && on.scaled(extent(frame).0) * 2 <= width
        };
        // Names are broken where that lets the drawing be larger.
        let scales = SCALES.into_iter().filter(low);
        let mut ways = scales.flat_map(|scale| ruler::WIDEST.map(|widest| (scale, widest)));
        let found = ways.find(|way| self.fits(*way));
        let smallest = (SCALES[SCALES.len() - 1], ruler::WIDEST[0]);
        self.drawn(found.unwrap_or(smallest), true)
    }

    fn fits(&mut self, way: Way) -> bool {
        if let Some((_, fits)) = self.fits.iter().find(|it| it.0 == way) {
            return *fits;
        }
        // Names inside it, which take longest, make it no wider.
        let wide = self.drawn(way, false).map(|page| page.width.nm());
        let fits = wide.iter().sum::<i64>() + super::flow::BETWEEN <= self.width;
        self.fits.push((way, fits));
        fits
    }

    fn drawn(&self, (scale, widest): Way, named: bool) -> [Page; 2] {
        let first = turned(self.plan, self.frame);
        [first, !first].map(|back| {
            let drawing = Drawing::new(self.plan, self.frame, back, scale);
            let drawing = Drawing {
                widest,
                named,
                ..drawing
            };
            drawing.page()
        })
    }
}

/// Whether it is a piece of the album with nothing on it: its size says all.
pub fn is_plain(frame: &FramePlan) -> bool {
    let itself = |laid: &Laid| laid.name == frame.name;
    frame.leaf.is_none()
        && frame.marks.is_empty()
        && folds(frame).is_empty()
        && frame.parts.iter().all(itself)
}

/// Whether all that lies on a side lies in its middle, across and up.
pub fn in_the_middle(frame: &FramePlan, back: bool) -> bool {
    let (wide, high) = extent(frame);
    let even = |laid: &Laid| {
        let area = laid.area;
        let off = [area.left + area.right - wide, area.low + area.high - high];
        off.iter().all(|it| it.abs() < 60_000)
    };
    let pieces = lettered(frame, back);
    pieces
        .iter()
        .all(|it| it.copies.len() == 1 && even(it.laid()))
}

/// One side by itself, at the largest scale at which it is no wider and no higher (nanometres).
pub fn side(plan: &Plan, frame: &FramePlan, back: bool, width: i64, high: i64) -> Page {
    let draw = |scale| Drawing::new(plan, frame, back, scale).page();
    let fits = |high: i64| {
        let mut all = SCALES.into_iter().map(draw);
        all.find(|page| page.width.nm() <= width && page.height.nm() <= high)
    };
    // Where names below each other are higher, as large as these let it be.
    let names = || draw(SCALES[SCALES.len() - 1]);
    let found = fits(high).or_else(|| fits(names().height.nm()));
    found.unwrap_or_else(names)
}

/// A side as it is laid out.
struct Drawing<'a> {
    plan: &'a Plan,
    frame: &'a FramePlan,
    back: bool,
    pieces: Vec<Piece<'a>>,
    on: Projection,
    /// The widest name beside it.
    widest: i64,
    /// Whether names stand inside it.
    named: bool,
}

impl<'a> Drawing<'a> {
    fn new(plan: &'a Plan, frame: &'a FramePlan, back: bool, scale: (i64, i64)) -> Drawing<'a> {
        let on = Projection {
            scale,
            ..Projection::of(frame.bound, back != turned(plan, frame))
        };
        Drawing {
            plan,
            frame,
            back,
            pieces: lettered(frame, back),
            on,
            widest: ruler::WIDEST[0],
            named: true,
        }
    }

    /// The frame and what stands out of it on this side.
    fn all(&self) -> Area {
        let copies = self.pieces.iter().flat_map(|piece| &piece.copies);
        let out = beyond(self.frame, self.back);
        let areas = copies.map(|laid| self.on.area(laid.area));
        let areas = areas.chain(out.into_iter().map(|area| self.on.area(area)));
        areas.fold(self.on.area(whole(self.frame)), Area::with)
    }

    /// The side of the drawing beside which the heights of the holes stand: the bound edge's.
    fn holes_at_right(&self) -> bool {
        (self.frame.bound == Bound::At(Edge::Right)) != self.on.mirrored
    }

    /// It is bound at its low or high edge, so that holes lie beside each other.
    fn bound_level(&self) -> bool {
        matches!(self.frame.bound, Bound::At(Edge::Low | Edge::High))
    }

    fn told(&self, value: Interval) -> String {
        let ruler = self.plan.ruler;
        words::spelled(&ruler::bare(ruler, &words::length(ruler, value)))
    }

    fn found(&self, nm: i64) -> String {
        let ruler = self.plan.ruler;
        words::spelled(&ruler::bare(ruler, &ruler::found(ruler, nm)))
    }

    /// The drawing with everything beside it.
    fn page(&self) -> Page {
        let (title, about) = sides::told(self.plan, self.frame, self.back);
        let about = format!("{about} Scale {}.", scale_name(self.on.scale));
        let mut page = Page::figure(&title, &about);
        let name = name_of(self.plan, self.frame);
        figure(
            &mut page,
            self.frame,
            &self.on,
            self.back,
            &name,
            &self.pieces,
        );
        self.holes(&mut page, &name);
        grips(
            &mut page,
            (self.plan, self.frame),
            &self.on,
            &self.pieces,
            &name,
        );
        let left_out = match self.named {
            true => self.sizes(&mut page),
            false => Vec::new(),
        };
        let all = self.all();
        let at_right = self.holes_at_right();
        let bound = self.hole_heights();
        let (near, far) = match at_right {
            false => (all.left, all.right),
            true => (all.right, all.left),
        };
        let (lowest, wide) = (all.bottom + MM / 2, self.widest);
        ruler::heights(&mut page, &bound, (near, lowest), (at_right, wide));
        ruler::heights(&mut page, &self.heights(), (far, lowest), (!at_right, wide));
        self.edge_words(&mut page, near, at_right);
        let mut end = ruler::widths(&mut page, &self.offs(), lowest);
        let even = self.even();
        // As wide as the drawing with its rulers, so that words never make it smaller.
        let drawn = page.marks.iter().map(|mark| mark.shape.area());
        let drawn = drawn.reduce(Area::with).unwrap_or(all);
        let room = (drawn.left, drawn.right.max(drawn.left + 50 * MM));
        if !even.is_empty() {
            let said = format!("Even at both sides: {}.", even.join(", "));
            end = ruler::under(&mut page, &said, room, end);
        }
        if !left_out.is_empty() {
            let said = format!("{}.", words::capital(&left_out.join("; ")));
            end = ruler::under(&mut page, &said, room, end);
        }
        let [upright, level] = self.folds();
        let upright = (
            upright,
            Fold::Upright as fn(i64) -> Fold,
            "from",
            Edge::Left,
        );
        let level = (level, Fold::Level as fn(i64) -> Fold, "above", Edge::Low);
        for (folds, of, from, at) in [upright, level] {
            if folds.len() > FEW_FOLDS {
                let called = folds.iter().map(|it| of(*it).titles(self.frame)[1]);
                let called = called.unique().join(" and ");
                let all = folds.into_iter().map(|fold| self.found(fold)).join(", ");
                let said = format!("{called} {from} the {}: {all}.", edge(self.frame, at));
                let said = words::capital(&said);
                end = ruler::under(&mut page, &said, room, end);
            }
        }
        titled(page, &title)
    }

    /// Folds from the low to the high edge, from the left one; and those from side to side, from the low one.
    fn folds(&self) -> [Vec<i64>; 2] {
        let (mut upright, mut level) = (Vec::new(), Vec::new());
        for fold in folds(self.frame) {
            match fold {
                Fold::Upright(across) => upright.push(across),
                Fold::Level(up) => level.push(up),
            }
        }
        upright.sort_unstable();
        level.sort_unstable();
        [upright, level]
    }

    /// Heights of the holes, at the bound edge.
    fn hole_heights(&self) -> Vec<Place> {
        let mut all = Vec::new();
        if !self.bound_level() {
            for (_, up, _) in holes(self.frame) {
                ruler::add(&mut all, self.on.y(drawn(up)), self.told(up), "");
            }
        }
        all
    }

    /// Heights of everything else.
    fn heights(&self) -> Vec<Place> {
        let mut all = Vec::new();
        let frame = self.frame;
        let whole = whole(frame);
        let mut add = |up: i64, length: String, what: &str| {
            ruler::add(&mut all, self.on.y(up), length, what);
        };
        add(0, "0".to_owned(), edge(frame, Edge::Low));
        add(whole.high, self.told(frame.height), edge(frame, Edge::High));
        if self.bound_level() {
            for (Hole { mark, .. }, up, _) in holes(frame) {
                add(drawn(up), self.told(up), &mark.titles[1]);
            }
        }
        let [_, folds] = self.folds();
        for up in folds.iter().filter(|_| folds.len() <= FEW_FOLDS) {
            let [title, _] = Fold::Level(*up).titles(frame);
            add(*up, self.found(*up), title);
        }
        let mut ends = |laid: &Laid, title: &str| {
            for (up, what) in [
                (laid.area.high, title.to_owned()),
                (laid.area.low, format!("foot of {title}")),
            ] {
                if up != 0 && up != whole.high {
                    add(up, self.found(up), &what);
                }
            }
        };
        for piece in &self.pieces {
            for laid in &piece.copies {
                ends(laid, &words::plain(piece.name()));
            }
        }
        for laid in near_plies(frame, self.back) {
            ends(laid, &laid.title);
        }
        all
    }

    /// It lies in the middle across.
    fn is_even(&self, area: frames::Area) -> bool {
        (area.left - (extent(self.frame).0 - area.right)).abs() < 60_000
    }

    /// Pieces that lie in the middle across.
    fn even(&self) -> Vec<String> {
        let even = |piece: &&Piece<'_>| piece.copies.len() == 1 && self.is_even(piece.laid().area);
        let even = self.pieces.iter().filter(even);
        even.map(|piece| words::plain(piece.name())).collect()
    }

    /// Distances from the nearer side edge.
    fn offs(&self) -> Vec<Off> {
        let mut all = Vec::new();
        let on = &self.on;
        let wide = extent(self.frame).0;
        let mut add = |far: bool, off: i64, length: String, what: String| {
            let (edge, end) = match far {
                false => (on.x(0), on.x(off)),
                true => (on.x(wide), on.x(wide - off)),
            };
            let off = Off {
                right: far != on.mirrored,
                edge,
                end,
                length,
                what: vec![what],
            };
            if off.edge != off.end {
                ruler::add_off(&mut all, off);
            }
        };
        for piece in &self.pieces {
            for laid in &piece.copies {
                if piece.copies.len() == 1 && self.is_even(laid.area) {
                    continue;
                }
                let (near, far) = (laid.area.left, wide - laid.area.right);
                let name = words::plain(piece.name());
                match near.abs() <= far.abs() {
                    true => add(false, near, self.found(near), name),
                    false => add(true, far, self.found(far), name),
                }
            }
        }
        for laid in near_plies(self.frame, self.back) {
            if laid.area.left > 0 {
                let off = laid.area.left;
                add(false, off, self.found(off), laid.title.clone());
            }
            if laid.area.right < wide {
                let off = wide - laid.area.right;
                add(true, off, self.found(off), laid.title.clone());
            }
        }
        for (Hole { mark, across: from }, ..) in holes(self.frame) {
            let across = drawn(from);
            let number = numbered(self.frame, mark);
            let (far, what) = match self.bound_level() {
                true => (false, format!("{} {number}", mark.titles[0])),
                false => {
                    let mut alike = self.frame.marks.iter().filter(|it| it.name == mark.name);
                    let several = usize::from(alike.nth(1).is_some());
                    (across > wide / 2, mark.titles[several].clone())
                }
            };
            match far {
                false => add(false, across, self.told(from), what),
                true => add(true, wide - across, self.found(wide - across), what),
            }
        }
        let [folds, _] = self.folds();
        for across in folds.iter().filter(|_| folds.len() <= FEW_FOLDS) {
            if (across - wide / 2).abs() > 2 {
                let [title, _] = Fold::Upright(*across).titles(self.frame);
                add(false, *across, self.found(*across), title.to_owned());
            }
        }
        all
    }

    fn holes(&self, page: &mut Page, of: &str) {
        let on = &self.on;
        for (Hole { mark, across }, up, diameter) in holes(self.frame) {
            page.circle(
                &format!("{of}: {} {}", mark.name, numbered(self.frame, mark)),
                at(on.x(drawn(across)), on.y(drawn(up))),
                on.scaled(drawn(diameter) / 2),
                Line::Edge,
                Some(Ink::White),
            );
        }
    }
}

/// A drawing with its title above it, cut to what is drawn.
pub fn titled(mut page: Page, title: &str) -> Page {
    let drawn = page.marks.iter().map(|mark| mark.shape.area());
    let all = drawn.reduce(Area::with).unwrap_or_default();
    let from = page.marks.len();
    let size = super::strips::CELL;
    let wide = all.width().max(36 * MM);
    let length = Length::from_nm(size);
    let lines = super::font::lines(Face::Bold, length, &super::font::drawable(title), wide);
    let step = 5 * MM;
    for (n, line) in lines.iter().rev().enumerate() {
        let y = all.top - 3 * MM - step * n as i64;
        page.text(Text {
            face: Face::Bold,
            ..said(all.left, y, line, size)
        });
    }
    page.tag(Role::Text, from);
    page.trimmed(MM / 2)
}
