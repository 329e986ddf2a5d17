//! One side of a leaf as it is drawn on the screen: to scale, as large as the room for it, with square
//! tabs for its letters and arrows at one piece at a time.
//!
//! Lines come from the same display list as the printed drawing; here they get classes instead of
//! colours, and labels that are laid out for a screen. Everything is in hundred-thousandths of a CSS pixel,
//! as whole numbers, until it is written.

use crate::album::Grip;
use crate::draw::figure::{Projection, figure};
use crate::draw::grips::{grips, tab};
use crate::draw::list::{Anchor, Area, Ink, Line, Page, Point, Shape, Stroke};
use crate::draw::pieces::{Piece, drawn, holes, lettered, name_of, turned, whole};
use crate::length::{Interval, Length};
use crate::plan::Plan;
use crate::plan::frames::{self, Bound, Edge, FramePlan, What};
use crate::report::handout::said;
use maud::{Markup, html};
use serde_json::json;
use std::fmt::Write as _;

/// One CSS pixel.
const PX: i64 = 100_000;
/// Room for the heights of the holes, and for the size of a piece at the other side.
const GUTTER: i64 = 62 * PX;
const SIZES: i64 = 92 * PX;
/// Room above and below.
const ABOVE: i64 = 30 * PX;
const BELOW: i64 = 84 * PX;
/// The highest drawing that is looked at without scrolling.
const HIGHEST: i64 = 430 * PX;
/// Half a tab's sides.
const TAB: (i64, i64) = (12 * PX, 11 * PX);
/// Least distance of two lines of text.
const LINE: i64 = 19 * PX;

/// A size that is too large, as it is drawn: the piece, what it is given as, and the most it may be.
pub struct Offender {
    pub piece: String,
    pub width: Option<(Interval, Interval)>,
    pub height: Option<(Interval, Interval)>,
    /// `3½ in too high`.
    pub said: String,
}

/// What is drawn.
pub struct Drawing<'a> {
    pub plan: &'a Plan,
    pub frame: &'a FramePlan,
    pub back: bool,
    /// Pixels across.
    pub width: u32,
    /// The piece that is chosen, by its name.
    pub chosen: &'a str,
    /// It is of the text as it stands; else pale.
    pub is_now: bool,
    pub offenders: Vec<Offender>,
}

/// Where a size's box is to stand: its middle, in pixels.
pub struct Spot {
    pub x: i64,
    pub y: i64,
}

/// The drawing, and where the boxes of the chosen piece's width and height stand.
pub struct Drawn {
    pub svg: Markup,
    pub width: i64,
    pub height: i64,
    pub across: Option<Spot>,
    pub up: Option<Spot>,
}

/// Draws it.
pub fn draw(it: &Drawing<'_>) -> Drawn {
    let pieces = lettered(it.frame, it.back);
    let mut all = whole(it.frame);
    let inserts = it.frame.leaf.map(|leaf| &it.plan.leaves[leaf].inserts);
    for laid in pieces.iter().flat_map(|piece| &piece.copies) {
        all = around(all, laid.area);
        let insert = match laid.what {
            What::Insert(n, _) => inserts.and_then(|all| all.get(n)),
            _ => None,
        };
        if insert.is_some_and(|it| it.grip == Grip::Tab)
            && let Some((_, seen)) = tab(it.frame, laid)
        {
            all = around(all, seen);
        }
    }
    let given: Vec<(usize, frames::Area)> = it
        .offenders
        .iter()
        .enumerate()
        .filter_map(|(n, offender)| Some((n, given(offender, &pieces)?)))
        .collect();
    for (_, area) in &given {
        all = around(all, *area);
    }
    let width = i64::from(it.width.clamp(240, 1_200)) * PX;
    let (on, place) = project(it, all, width);
    let mut page = Page::new(
        Length::from_nm(width),
        Length::from_nm(place.bottom + BELOW),
        "",
        "",
    );
    let name = name_of(it.plan, it.frame);
    figure(&mut page, it.frame, &on, it.back, &name, &pieces);
    grips(&mut page, (it.plan, it.frame), &on, &pieces, &name);
    let chosen = pieces.iter().find(|piece| piece.name() == it.chosen);
    let at_right = (it.frame.bound == Bound::At(Edge::Right)) != on.mirrored;
    let of_chosen = given
        .iter()
        .find(|(n, _)| it.offenders[*n].piece == it.chosen);
    let is_too_large = of_chosen.is_some();
    let area = of_chosen.map(|(_, area)| *area);
    let area = area.or(chosen.map(|piece| piece.laid().area));
    let spots = area.map(|area| arrows(&on, area, place, at_right));
    let height = place.bottom + BELOW;
    let (svg_width, svg_height) = (width / PX, height / PX);
    let letters = tabs(&on, &pieces, &page, it);
    let about = format!(
        "{}, {}",
        said::capital(&name),
        it.frame.sides[usize::from(it.back)]
    );
    let pale = if it.is_now { "" } else { " pale" };
    let svg = html! {
        svg class=(format!("leaf{pale}")) role="img" aria-label=(about) viewBox=(format!("0 0 {svg_width} {svg_height}"))
            width=(svg_width) height=(svg_height) {
            g class="sheet" { (lines(&page, &format!("{name}: "), &format!("{name}: {}", it.frame.name), it.chosen)) }
            (edge_words(it, &on, place))
            g class="holes" { (punched(it, &on, place, at_right)) }
            @for (n, area) in &given { (offender(&on, *area, &it.offenders[*n])) }
            @if let (Some(piece), false) = (chosen, is_too_large) {
                g class="chosen" { (outline(&on, piece)) }
            }
            @if let Some(area) = area { (arrow_lines(&on, area, place, at_right)) }
            g class="tabs" {
                @for (piece, (x, y)) in pieces.iter().zip(&letters) {
                    (letter(&piece.letter, *x, *y, piece.name() == it.chosen))
                }
            }
            (rooms(&on, &pieces))
        }
    };
    let (across, up) = spots.map_or((None, None), |(across, up)| (Some(across), Some(up)));
    Drawn {
        svg,
        width: svg_width,
        height: svg_height,
        across,
        up,
    }
}

fn around(all: frames::Area, area: frames::Area) -> frames::Area {
    frames::Area {
        left: all.left.min(area.left),
        right: all.right.max(area.right),
        low: all.low.min(area.low),
        high: all.high.max(area.high),
    }
}

/// The room of a size that is too large: from the same corner as the piece in the drawing.
fn given(offender: &Offender, pieces: &[Piece<'_>]) -> Option<frames::Area> {
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

/// The scale and the place of a frame in a drawing so wide; and what it takes up.
fn project(it: &Drawing<'_>, all: frames::Area, width: i64) -> (Projection, Area) {
    let mut on = Projection::of(it.frame.bound, it.back != turned(it.plan, it.frame));
    let (wide, high) = ((all.right - all.left).max(1), (all.high - all.low).max(1));
    let room = (width - GUTTER - SIZES).max(80 * PX);
    // The side that is the tighter of both; in i128, as both factors are large.
    let by_width = i128::from(room) * i128::from(high) <= i128::from(HIGHEST) * i128::from(wide);
    on.scale = if by_width {
        (room, wide)
    } else {
        (HIGHEST, high)
    };
    let spare = (room - on.scaled(wide)).max(0) / 2;
    let at_right = (it.frame.bound == Bound::At(Edge::Right)) != on.mirrored;
    let left = spare + if at_right { SIZES } else { GUTTER };
    let (top, bottom) = (ABOVE, ABOVE + on.scaled(high));
    on.zero = match on.mirrored {
        false => left - on.scaled(all.left),
        true => left + on.scaled(all.right),
    };
    on.base = match on.upside_down {
        false => bottom + on.scaled(all.low),
        true => top - on.scaled(all.low),
    };
    let place = Area {
        left,
        right: left + on.scaled(wide),
        top,
        bottom,
    };
    (on, place)
}

/// A number of pixels with two decimals at the most.
fn px(nm: i64) -> String {
    let hundredths = (nm + PX / 200 * nm.signum()) / (PX / 100);
    let (whole, rest) = (hundredths / 100, (hundredths % 100).abs());
    let sign = if hundredths < 0 && whole == 0 {
        "-"
    } else {
        ""
    };
    match rest {
        0 => format!("{sign}{whole}"),
        rest => format!("{sign}{whole}.{rest:02}")
            .trim_end_matches('0')
            .to_owned(),
    }
}

fn path(points: &[Point], closed: bool) -> String {
    let mut d = String::new();
    for (n, point) in points.iter().enumerate() {
        let letter = if n == 0 { 'M' } else { 'L' };
        // Writing to a string does not fail.
        let _ = write!(d, "{letter}{} {}", px(point.x.nm()), px(point.y.nm()));
    }
    if closed {
        d.push('Z');
    }
    d
}

/// The class of a line.
fn class(stroke: Stroke) -> &'static str {
    match stroke.line {
        Line::Edge => "edge",
        Line::Thin | Line::Hair => "thin",
        Line::Hidden => "hidden",
        Line::Fold => "fold",
        Line::Centre => "thin",
    }
}

/// A circle as a path.
fn round(centre: Point, radius: i64) -> String {
    let (x, y) = (px(centre.x.nm() - radius), px(centre.y.nm()));
    let (r, far) = (px(radius), px(2 * radius));
    format!("M{x} {y}a{r} {r} 0 1 0 {far} 0a{r} {r} 0 1 0 -{far} 0Z")
}

/// Lines and grounds of a figure; those of one class in one path, so that little is sent.
fn lines(page: &Page, before: &str, outline: &str, chosen: &str) -> Markup {
    let mut runs: Vec<(&'static str, String)> = Vec::new();
    for mark in &page.marks {
        let (d, stroke, fill) = match &mark.shape {
            Shape::Path {
                points,
                closed,
                stroke,
                fill,
            } => (path(points, *closed), stroke, fill),
            Shape::Circle {
                centre,
                radius,
                stroke,
                fill,
            } => (round(*centre, radius.nm()), stroke, fill),
            Shape::Text(_) => continue,
        };
        let name = mark.name.strip_prefix(before).unwrap_or("");
        let kind = match (stroke, fill) {
            // It is drawn over all else.
            (Some(_), _) if !chosen.is_empty() && name == chosen => continue,
            (Some(_), _) if mark.name == outline => "bagedge",
            (Some(stroke), _) => class(*stroke),
            (None, Some(Ink::White)) => "paper",
            (None, _) => "bagface",
        };
        match runs.last_mut() {
            Some((last, all)) if *last == kind => all.push_str(&d),
            _ => runs.push((kind, d)),
        }
    }
    html! {
        @for (kind, d) in &runs {
            path class=(kind) d=(d) {}
            // The doubled rule of the bag: its edge, and a narrow line inside it.
            @if *kind == "bagedge" { path class="baginner" d=(d) {} }
        }
    }
}

fn outline(on: &Projection, piece: &Piece<'_>) -> Markup {
    let all = piece.copies.iter().map(|laid| match laid.outline.len() {
        0 => path(&on.area(laid.area).corners(), true),
        _ => {
            let corners = laid.outline.iter();
            let points: Vec<Point> = corners
                .map(|(x, y)| crate::draw::list::at(on.x(*x), on.y(*y)))
                .collect();
            path(&points, true)
        }
    });
    html! { path d=(all.collect::<String>()) {} }
}

/// Holes as circles, their heights beside the bound edge, no two labels on each other.
fn punched(it: &Drawing<'_>, on: &Projection, place: Area, at_right: bool) -> Markup {
    let level = matches!(it.frame.bound, Bound::At(Edge::Low | Edge::High));
    let ruler = it.plan.ruler;
    let mut labels: Vec<(i64, i64, String)> = Vec::new();
    let mut circles = Vec::new();
    for (mark, up, diameter) in holes(it.frame) {
        let (x, y) = (on.x(drawn(mark.across)), on.y(drawn(up)));
        circles.push((px(x), px(y), px(on.scaled(drawn(diameter) / 2).max(3 * PX))));
        if !level {
            labels.push((x, y, said::length(ruler, up)));
        }
    }
    // From below upwards.
    labels.sort_by_key(|(_, y, _)| std::cmp::Reverse(*y));
    let (out, anchor) = match at_right {
        false => (place.left - 10 * PX, "end"),
        true => (place.right + 10 * PX, "start"),
    };
    let mut above = i64::MAX;
    let labels: Vec<(i64, i64, i64, String)> = labels
        .into_iter()
        .map(|(x, y, words)| {
            let at = y.min(above.saturating_sub(LINE));
            above = at;
            (x, y, at, words)
        })
        .collect();
    html! {
        @for (x, y, r) in &circles { circle cx=(x) cy=(y) r=(r) {} }
        @for (x, y, at, words) in &labels {
            path class="thin" d=(format!("M{} {}L{} {}", px(*x), px(*y), px(out), px(*at))) {}
            text x=(px(out + if at_right { 4 * PX } else { -4 * PX })) y=(px(at + 5 * PX)) text-anchor=(anchor) { (words) }
        }
    }
}

/// What the upper and the lower edge are called.
fn edge_words(it: &Drawing<'_>, on: &Projection, place: Area) -> Markup {
    let [above, below] = match on.upside_down {
        false => [Edge::High, Edge::Low],
        true => [Edge::Low, Edge::High],
    };
    let middle = place.left.midpoint(place.right);
    let below_y = place.bottom
        + if it.chosen.is_empty() {
            22 * PX
        } else {
            78 * PX
        };
    html! {
        g class="edges" text-anchor="middle" {
            text x=(px(middle)) y=(px(place.top - 10 * PX)) { (it.frame.edges[above as usize]) }
            text x=(px(middle)) y=(px(below_y)) { (it.frame.edges[below as usize]) }
        }
    }
}

/// Where the boxes of a piece's sizes stand: below all, and at the side without holes.
fn arrows(on: &Projection, area: frames::Area, place: Area, at_right: bool) -> (Spot, Spot) {
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

fn arrow_lines(on: &Projection, area: frames::Area, place: Area, at_right: bool) -> Markup {
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
fn offender(on: &Projection, area: frames::Area, it: &Offender) -> Markup {
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

/// Where the tab of each piece stands: inside it, on as few other things as can be.
fn tabs(on: &Projection, pieces: &[Piece<'_>], page: &Page, it: &Drawing<'_>) -> Vec<(i64, i64)> {
    let areas: Vec<Area> = pieces
        .iter()
        .map(|piece| on.area(piece.laid().area))
        .collect();
    let strokes: Vec<Area> = page
        .marks
        .iter()
        .filter_map(|mark| match &mark.shape {
            Shape::Path {
                points,
                closed: false,
                stroke: Some(_),
                ..
            } if points.len() == 2 => Some(mark.shape.area()),
            _ => None,
        })
        .collect();
    let round: Vec<Area> = holes(it.frame)
        .map(|(mark, up, diameter)| {
            let reach = on.scaled(drawn(diameter) / 2);
            Area::sized(on.x(drawn(mark.across)), on.y(drawn(up)), 0, 0).grown(reach + 2 * PX)
        })
        .collect();
    let mut taken: Vec<Area> = Vec::new();
    let mut places = Vec::new();
    for (n, area) in areas.iter().enumerate() {
        let hidden = pieces[n].laid().behind.iter();
        let hidden: Vec<Area> = hidden.map(|it| on.area(*it)).collect();
        let steps = |from: i64, to: i64, half: i64| {
            let (from, to) = (from + half + 3 * PX, to - half - 3 * PX);
            let (from, to) = match from <= to {
                true => (from, to),
                false => (from.midpoint(to), from.midpoint(to)),
            };
            let step = ((to - from) / 12).max(PX);
            let count = (to - from) / step;
            (0..=count).map(move |k| from + k * step)
        };
        let cost = |x: i64, y: i64| {
            let tab = Area {
                left: x - TAB.0,
                right: x + TAB.0,
                top: y - TAB.1,
                bottom: y + TAB.1,
            };
            let near = tab.grown(3 * PX);
            let on_tabs = taken.iter().filter(|it| it.meets(near)).count();
            let on_holes = round.iter().filter(|it| it.meets(tab)).count();
            let on_lines = strokes.iter().filter(|it| it.grown(1).meets(tab)).count();
            let others = areas.iter().enumerate();
            let in_others = others
                .filter(|(other, it)| {
                    *other != n && it.holds(Area::sized(x, y, 0, 0)) && !it.holds(*area)
                })
                .count();
            let is_hidden = hidden.iter().any(|it| it.meets(tab));
            // Of places alike the nearest to the upper left corner.
            let far = (x - area.left) / (4 * PX) + (y - area.top) / (4 * PX);
            on_tabs as i64 * 4_000
                + on_holes as i64 * 3_000
                + on_lines as i64 * 700
                + in_others as i64 * 300
                + i64::from(is_hidden) * 250
                + far
        };
        let mut best: Option<(i64, (i64, i64))> = None;
        for y in steps(area.top, area.bottom, TAB.1) {
            for x in steps(area.left, area.right, TAB.0) {
                let cost = cost(x, y);
                if best.is_none_or(|(least, _)| cost < least) {
                    best = Some((cost, (x, y)));
                }
            }
        }
        let (x, y) = best.map_or(area.middle(), |(_, place)| place);
        taken.push(Area {
            left: x - TAB.0,
            right: x + TAB.0,
            top: y - TAB.1,
            bottom: y + TAB.1,
        });
        places.push((x, y));
    }
    places
}

fn letter(letter: &str, x: i64, y: i64, is_chosen: bool) -> Markup {
    let class = if is_chosen { "tab chosen" } else { "tab" };
    html! {
        g class=(class) {
            rect x=(px(x - TAB.0)) y=(px(y - TAB.1)) width=(px(2 * TAB.0)) height=(px(2 * TAB.1)) {}
            text x=(px(x)) y=(px(y + 5 * PX)) text-anchor="middle" { (letter) }
        }
    }
}

/// The rooms of the pieces, the smallest last: a click on one chooses it, as a button in the list does.
fn rooms(on: &Projection, pieces: &[Piece<'_>]) -> Markup {
    let room = |piece: &Piece<'_>| (piece.name().to_owned(), on.area(piece.laid().area));
    let mut rooms: Vec<(String, Area)> = pieces.iter().map(room).collect();
    let size = |area: Area| i128::from(area.width()) * i128::from(area.height());
    rooms.sort_by_key(|(_, area)| std::cmp::Reverse(size(*area)));
    html! {
        @for (name, area) in &rooms {
            rect class="room" data-post="/look" data-body=(json!({ "piece": name })) x=(px(area.left)) y=(px(area.top))
                width=(px(area.width())) height=(px(area.height())) {}
        }
    }
}

/// One side without words, as high as this (pixels), for the openings of an album.
pub fn small(plan: &Plan, frame: &FramePlan, back: bool, most: (u32, u32), about: &str) -> Markup {
    let pieces = lettered(frame, back);
    let mut all = whole(frame);
    for laid in pieces.iter().flat_map(|piece| &piece.copies) {
        all = around(all, laid.area);
    }
    let (wide, high) = ((all.right - all.left).max(1), (all.high - all.low).max(1));
    let (width, height) = (i64::from(most.0) * PX, i64::from(most.1) * PX);
    let mut on = Projection::of(frame.bound, back != turned(plan, frame));
    let by_width = i128::from(width) * i128::from(high) <= i128::from(height) * i128::from(wide);
    on.scale = if by_width {
        (width, wide)
    } else {
        (height, high)
    };
    let (width, height) = (on.scaled(wide), on.scaled(high));
    on.zero = if on.mirrored {
        on.scaled(all.right)
    } else {
        -on.scaled(all.left)
    };
    on.base = if on.upside_down {
        -on.scaled(all.low)
    } else {
        height + on.scaled(all.low)
    };
    let mut page = Page::new(Length::from_nm(width), Length::from_nm(height), "", "");
    let name = name_of(plan, frame);
    figure(&mut page, frame, &on, back, &name, &pieces);
    let (width, height) = (width / PX + 4, height / PX + 4);
    html! {
        svg class="leaf small" role="img" aria-label=(about) viewBox=(format!("-2 -2 {width} {height}")) width=(width) height=(height) {
            (lines(&page, &format!("{name}: "), &format!("{name}: {}", frame.name), ""))
            g class="holes" {
                @for (mark, up, diameter) in holes(frame) {
                    circle cx=(px(on.x(drawn(mark.across)))) cy=(px(on.y(drawn(up)))) r=(px(on.scaled(drawn(diameter) / 2))) {}
                }
            }
        }
    }
}

/// A page of the printout as it is seen on a screen: classes in the place of colours.
pub fn paper_page(page: &Page, about: &str) -> Markup {
    // A tenth of a millimetre is one unit.
    let unit = |nm: i64| format!("{}", nm / 100_000);
    let point = |p: &Point| format!("{} {}", unit(p.x.nm()), unit(p.y.nm()));
    let ground = |ink: &Ink| match ink {
        Ink::White => "paper",
        Ink::Black | Ink::Dark => "solid",
        Ink::Light | Ink::Mid => "grey",
        _ => "bagface",
    };
    html! {
        svg class="print" role="img" aria-label=(about) viewBox=(format!("0 0 {} {}", unit(page.width.nm()), unit(page.height.nm()))) {
            @for mark in &page.marks {
                @match &mark.shape {
                    Shape::Path { points, closed, stroke, fill } => {
                        @let class = [fill.as_ref().map(&ground), stroke.map(class)];
                        @let class = class.into_iter().flatten().collect::<Vec<_>>().join(" ");
                        @let d = points.iter().enumerate().map(|(n, p)| format!("{}{}", if n == 0 { "M" } else { "L" }, point(p))).collect::<String>();
                        path class=(class) d=(format!("{d}{}", if *closed { "Z" } else { "" })) {}
                    }
                    Shape::Circle { centre, radius, .. } => {
                        circle class="edge" cx=(unit(centre.x.nm())) cy=(unit(centre.y.nm())) r=(unit(radius.nm())) {}
                    }
                    Shape::Text(text) => {
                        @let anchor = match text.anchor { Anchor::Start => "start", Anchor::Middle => "middle", Anchor::End => "end" };
                        @let (x, y) = (unit(text.at.x.nm()), unit(text.at.y.nm()));
                        @let turn = text.turned.then(|| format!("rotate(-90 {x} {y})"));
                        text x=(x) y=(y) font-size=(unit(text.size.nm())) text-anchor=(anchor) transform=[turn] { (text.words) }
                    }
                }
            }
        }
    }
}

/// The letters of the pieces on one side of a frame, with their names; papers that are no pieces of the
/// album are left out.
pub fn letters(frame: &FramePlan, back: bool) -> Vec<(String, String)> {
    let pieces = lettered(frame, back).into_iter();
    let own = pieces.filter(|piece| piece.laid().what != What::Paper(None));
    own.map(|piece| (piece.name().to_owned(), piece.letter.clone()))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pixels_are_written_shortly() {
        for (nm, text) in [
            (0, "0"),
            (100_000, "1"),
            (150_000, "1.5"),
            (133_333, "1.33"),
            (-50_000, "-0.5"),
            (-1_250_000, "-12.5"),
        ] {
            assert_eq!(px(nm), text);
        }
    }

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
