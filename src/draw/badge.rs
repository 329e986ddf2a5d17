//! Letters in circles, each on the piece that it stands for.

use super::check::Taken;
use super::font::{self, Face};
use super::list::{Anchor, Area, Ink, Line, Page, Text, at};
use super::paper::{MM, said};
use crate::length::Length;

/// Radius of a letter's circle.
const BADGE: i64 = 2_300_000;

/// A letter in a circle on each piece: where nothing else is; or on one of its edges; or, where there
/// is no such place, over what is there.
pub fn draw(page: &mut Page, pieces: &[(&str, Area)]) {
    let areas: Vec<Area> = pieces.iter().map(|(_, area)| *area).collect();
    for (n, (letter, _)) in pieces.iter().enumerate() {
        let taken = Taken::on(page);
        let (x, y) = free_place(&taken, &areas, n).unwrap_or_else(|| areas[n].middle());
        page.circle(
            "",
            at(x, y),
            Length::from_nm(BADGE),
            Some(Line::Thin.into()),
            Some(Ink::White),
        );
        let size = if letter.len() > 1 {
            2_400_000
        } else {
            3_400_000
        };
        let drop = font::capital(Face::Bold, Length::from_nm(size)) / 2;
        page.text(Text {
            face: Face::Bold,
            anchor: Anchor::Middle,
            ..said(x, y + drop, letter, size)
        });
    }
}

/// Where a letter's circle lies on nothing and in as few other pieces as can be; on an edge of its
/// own piece where it would lie in another one.
fn free_place(taken: &Taken<'_>, areas: &[Area], own: usize) -> Option<(i64, i64)> {
    let area = areas[own];
    let inside = area.grown(-BADGE - MM);
    let steps = |from: i64, to: i64| (from..=to).step_by(1_500_000);
    let round = |x: i64, y: i64| Area::sized(x, y, 0, 0).grown(BADGE + MM / 2);
    let others = |x: i64, y: i64| {
        let held = |(n, other): &(usize, &Area)| *n != own && other.holds(Area::sized(x, y, 0, 0));
        areas.iter().enumerate().filter(held).count()
    };
    // Pieces that lie wholly in others cannot be told from them by a place inside.
    let least = areas
        .iter()
        .enumerate()
        .filter(|(n, other)| *n != own && other.holds(area))
        .count();
    let alone = steps(inside.top, inside.bottom)
        .flat_map(|y| steps(inside.left, inside.right).map(move |x| (x, y)))
        .filter(|(x, y)| taken.free(round(*x, *y)));
    let mut crowded = None;
    for (x, y) in alone {
        if others(x, y) <= least {
            return Some((x, y));
        }
        crowded.get_or_insert((x, y));
    }
    edge_place(taken, area).or(crowded)
}

/// On an edge of a piece, where no other line and no text is near.
fn edge_place(taken: &Taken<'_>, area: Area) -> Option<(i64, i64)> {
    let round = |x: i64, y: i64| Area::sized(x, y, 0, 0).grown(BADGE + MM / 2);
    let steps = |from: i64, to: i64| (from + 4 * MM..=to - 4 * MM).step_by(1_500_000);
    let sides = [area.left, area.right];
    let across = [area.top, area.bottom].into_iter();
    let across = across.flat_map(|y| steps(area.left, area.right).map(move |x| (x, y)));
    let up = sides
        .into_iter()
        .flat_map(|x| steps(area.top, area.bottom).map(move |y| (x, y)));
    // All but the one line that it sits on: free above and below it, or at its left and right.
    let clear = |x: i64, y: i64| {
        let all = round(x, y);
        let halves = match sides.contains(&x) {
            true => [
                Area {
                    right: x - MM / 2,
                    ..all
                },
                Area {
                    left: x + MM / 2,
                    ..all
                },
            ],
            false => [
                Area {
                    bottom: y - MM / 2,
                    ..all
                },
                Area {
                    top: y + MM / 2,
                    ..all
                },
            ],
        };
        halves.iter().all(|half| taken.free(*half))
    };
    across.chain(up).find(|(x, y)| clear(*x, *y))
}
