//! The letters of the pieces: which, and where each stands in its square tab.

use super::pixels::{PX, px};
use crate::draw::figure::Projection;
use crate::draw::list::{Area, Page, Shape};
use crate::draw::pieces::{Piece, drawn, holes, lettered};
use crate::plan::frames::{FramePlan, What};
use maud::{Markup, html};

/// Half a tab's sides.
const TAB: (i64, i64) = (12 * PX, 11 * PX);

/// The letters of the pieces on one side of a frame, with their names; papers that are no pieces of the
/// album are left out.
pub fn letters(frame: &FramePlan, back: bool) -> Vec<(String, String)> {
    let pieces = lettered(frame, back).into_iter();
    let own = pieces.filter(|piece| piece.laid().what != What::Paper(None));
    own.map(|piece| (piece.name().to_owned(), piece.letter.clone()))
        .collect()
}

/// Where the tab of each piece stands: inside it, on as few other things as can be.
pub fn tabs(
    on: &Projection,
    pieces: &[Piece<'_>],
    page: &Page,
    frame: &FramePlan,
) -> Vec<(i64, i64)> {
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
    let round: Vec<Area> = holes(frame)
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

pub fn letter(letter: &str, x: i64, y: i64, is_chosen: bool) -> Markup {
    let class = if is_chosen { "tab chosen" } else { "tab" };
    html! {
        g class=(class) {
            rect x=(px(x - TAB.0)) y=(px(y - TAB.1)) width=(px(2 * TAB.0)) height=(px(2 * TAB.1)) {}
            text x=(px(x)) y=(px(y + 5 * PX)) text-anchor="middle" { (letter) }
        }
    }
}
