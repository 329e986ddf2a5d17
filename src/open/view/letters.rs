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

/// What a tab may lie on.
struct Ground {
    pieces: Vec<Area>,
    lines: Vec<Area>,
    holes: Vec<Area>,
    tabs: Vec<Area>,
}

/// Where the tab of each piece stands: inside it, on as few other things as can be.
pub fn tabs(
    on: &Projection,
    pieces: &[Piece<'_>],
    page: &Page,
    frame: &FramePlan,
) -> Vec<(i64, i64)> {
    let is_line = |shape: &&Shape| match shape {
        Shape::Path {
            points,
            closed: false,
            stroke: Some(_),
            ..
        } => points.len() == 2,
        _ => false,
    };
    let shapes = page.marks.iter().map(|mark| &mark.shape);
    let holes = holes(frame).map(|(mark, up, diameter)| {
        let reach = on.scaled(drawn(diameter) / 2);
        Area::sized(on.x(drawn(mark.across)), on.y(drawn(up)), 0, 0).grown(reach + 2 * PX)
    });
    let mut ground = Ground {
        pieces: pieces.iter().map(|it| on.area(it.laid().area)).collect(),
        lines: shapes.filter(is_line).map(Shape::area).collect(),
        holes: holes.collect(),
        tabs: Vec::new(),
    };
    let mut places = Vec::new();
    for (n, piece) in pieces.iter().enumerate() {
        let area = ground.pieces[n];
        let across = || steps(area.left, area.right, TAB.0);
        let up = steps(area.top, area.bottom, TAB.1);
        let all = up.flat_map(|y| across().map(move |x| (x, y)));
        let hidden = piece.laid().behind.iter().map(|it| on.area(*it));
        let hidden: Vec<Area> = hidden.collect();
        let best = all.min_by_key(|place| ground.cost(n, &hidden, *place));
        let place = best.unwrap_or(area.middle());
        ground.tabs.push(tab(place));
        places.push(place);
    }
    places
}

/// Places for a tab between two ends.
fn steps(from: i64, to: i64, half: i64) -> impl Iterator<Item = i64> {
    let (mut from, mut to) = (from + half + 3 * PX, to - half - 3 * PX);
    if from > to {
        (from, to) = (from.midpoint(to), from.midpoint(to));
    }
    let step = ((to - from) / 12).max(PX);
    (0..=(to - from) / step).map(move |k| from + k * step)
}

fn tab((x, y): (i64, i64)) -> Area {
    Area::sized(x - TAB.0, y - TAB.1, 2 * TAB.0, 2 * TAB.1)
}

impl Ground {
    /// How bad a place is for the tab of a piece of which parts are hidden.
    fn cost(&self, n: usize, hidden: &[Area], (x, y): (i64, i64)) -> i64 {
        let (area, tab) = (self.pieces[n], tab((x, y)));
        let on = |all: &[Area], tab: Area| all.iter().filter(|it| it.meets(tab)).count() as i64;
        let on_lines = self.lines.iter().filter(|it| it.grown(1).meets(tab));
        let point = Area::sized(x, y, 0, 0);
        let others = self.pieces.iter().enumerate();
        let in_others =
            others.filter(|(other, it)| *other != n && it.holds(point) && !it.holds(area));
        // Of places alike the nearest to the upper left corner.
        let far = (x - area.left) / (4 * PX) + (y - area.top) / (4 * PX);
        on(&self.tabs, tab.grown(3 * PX)) * 4_000
            + on(&self.holes, tab) * 3_000
            + on_lines.count() as i64 * 700
            + in_others.count() as i64 * 300
            + on(hidden, tab).min(1) * 250
            + far
    }
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
