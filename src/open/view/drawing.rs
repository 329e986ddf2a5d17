//! One side of a leaf as it is drawn on the screen: to scale, as large as the room for it, with square tabs for
//! its `letters` and `arrows` at one piece at a time.
//!
//! Lines come from the same display list as the printed drawing; here they get classes instead of
//! colours, and labels that are laid out for a screen. Everything is in hundred-thousandths of a CSS pixel,
//! as whole numbers, until it is written.

use super::arrows::{Offender, Spot, arrow_lines, arrows, given, offender};
use super::letters::{letter, tabs};
use super::pixels::{PX, path, px, round};
use crate::album::Grip;
use crate::draw::figure::{Projection, figure};
use crate::draw::grips::grips;
use crate::draw::list::{Area, Ink, Line, Page, Point, Shape, Stroke};
use crate::draw::pieces::{Piece, drawn, holes, lettered, name_of, turned, whole};
use crate::length::Length;
use crate::plan::Plan;
use crate::plan::frames::{self, Bound, Edge, FramePlan, Tab, What};
use crate::report::handout::said;
use maud::{Markup, html};
use serde_json::json;

/// Room for the heights of the holes, at least, and for the size of a piece at the other side.
const GUTTER: i64 = 62 * PX;
const SIZES: i64 = 106 * PX;
/// Room above and below.
const ABOVE: i64 = 30 * PX;
const BELOW: i64 = 84 * PX;
/// The highest drawing that is looked at without scrolling.
const HIGHEST: i64 = 430 * PX;
/// Least distance of two lines of text.
const LINE: i64 = 19 * PX;

/// What is drawn.
pub struct Drawing<'a> {
    pub plan: &'a Plan,
    pub frame: &'a FramePlan,
    pub back: bool,
    /// Pixels across.
    pub width: u32,
    /// Half as high as usual.
    pub half: bool,
    /// The piece that is chosen, by its name.
    pub chosen: &'a str,
    /// It is of the text as it stands; else pale.
    pub is_now: bool,
    pub offenders: Vec<Offender>,
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
            && let Some(Tab { seen, .. }) = it.frame.tab(laid)
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
    let letters = tabs(&on, &pieces, &page, it.frame);
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

/// Room for the heights of the holes.
fn gutter(it: &Drawing<'_>) -> i64 {
    let sign = |sign| if sign == 'm' { 15 * PX } else { 9 * PX };
    let wide = |up| -> i64 { said::length(it.plan.ruler, up).chars().map(sign).sum() };
    let most = holes(it.frame).map(|(_, up, _)| wide(up)).max();
    (most.unwrap_or(0) + 16 * PX).max(GUTTER)
}

/// The scale and the place of a frame in a drawing so wide; and what it takes up.
fn project(it: &Drawing<'_>, all: frames::Area, width: i64) -> (Projection, Area) {
    let mut on = Projection::of(it.frame.bound, it.back != turned(it.plan, it.frame));
    let (wide, high) = ((all.right - all.left).max(1), (all.high - all.low).max(1));
    let gutter = gutter(it);
    let room = (width - gutter - SIZES).max(80 * PX);
    // The side that is the tighter of both; in i128, as both factors are large.
    let highest = if it.half { HIGHEST / 2 } else { HIGHEST };
    let by_width = i128::from(room) * i128::from(high) <= i128::from(highest) * i128::from(wide);
    on.scale = if by_width {
        (room, wide)
    } else {
        (highest, high)
    };
    let spare = (room - on.scaled(wide)).max(0) / 2;
    let at_right = (it.frame.bound == Bound::At(Edge::Right)) != on.mirrored;
    let left = spare + if at_right { SIZES } else { gutter };
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

/// The class of a line.
pub fn class(stroke: Stroke) -> &'static str {
    match stroke.line {
        Line::Edge => "edge",
        Line::Thin | Line::Hair => "thin",
        Line::Hidden => "hidden",
        Line::Fold => "fold",
        Line::Centre => "thin",
    }
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
