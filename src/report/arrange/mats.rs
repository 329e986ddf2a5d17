//! Mats on which no photo is asked for, and the largest print that goes on each.

use super::super::words::{listed, plain, size};
use crate::album::Album;
use crate::length::Length;
use crate::plan::Plan;
use crate::plan::frames::{Area, FramePlan, Laid, What};
use crate::supplies::sold;
use crate::text::grouped;

/// A line for each print, with the mats that it goes on. Mats too small for any print that is sold are left out.
pub(super) fn lines(album: &Album, plan: &Plan) -> Vec<String> {
    let mats = plan.frames.iter().flat_map(|frame| {
        let leaf = frame.leaf.and_then(|at| plan.leaves.get(at));
        let mats = frame.parts.iter();
        let mats = mats.filter(|it| it.flat && matches!(it.what, What::Paper(Some(_))));
        mats.filter_map(move |mat| {
            let (wide, high) = free(frame, mat);
            let of = size(plan.ruler, mat.width, mat.height);
            let print = print(album, wide, high)?;
            Some(((print, (plain(&mat.name), of)), plain(&leaf?.name)))
        })
    });
    let alike = grouped(mats).into_iter();
    let each = alike
        .map(|((print, (mat, of)), leaves)| (print, format!("{mat} ({}), {of}", listed(&leaves))));
    let lines = grouped(each).into_iter();
    lines
        .map(|(print, mats)| format!("{print}: {}.", mats.join("; ")))
        .collect()
}

/// The largest print at hand that goes uncut on this part of a mat, or else the largest that is sold.
fn print(album: &Album, wide: Length, high: Length) -> Option<String> {
    let ruler = album.ruler;
    let goes = |(w, h): &(Length, Length)| (*w <= wide && *h <= high) || (*h <= wide && *w <= high);
    let prints = album.supplies.prints.iter();
    let prints = prints.map(|it| (it, (it.width.most(), it.height.most())));
    let area = |(w, h): (Length, Length)| i128::from(w.nm()) * i128::from(h.nm());
    let own = prints
        .filter(|(_, sides)| goes(sides))
        .max_by_key(|(_, sides)| area(*sides));
    if let Some((card, (w, h))) = own {
        return Some(format!("{}, {}", card.name, ruler.show_size(w, h)));
    }
    let (w, h) = sold::largest(wide, high, ruler.is_metric())?;
    let said = ruler.show_size(w, h);
    Some(match album.supplies.prints.is_empty() {
        true => said,
        false => format!("{said}, to order, as yours are too large"),
    })
}

/// Width and height of what is left of a mat beside holes, what lies before it and what is glued on it: of
/// each thing in the way the side with the most left stays.
fn free(frame: &FramePlan, mat: &Laid) -> (Length, Length) {
    let holes = frame.marks.iter().filter_map(|hole| {
        let (across, up) = (hole.across?, hole.up?);
        let radius = hole.diameter?.most().nm() / 2;
        Some(Area {
            left: across.least().nm() - radius,
            right: across.most().nm() + radius,
            low: up.least().nm() - radius,
            high: up.most().nm() + radius,
        })
    });
    let glued = frame.parts.iter().filter(|it| {
        let slot = it.slot.and_then(|at| frame.parts.get(at));
        it.back == mat.back && slot.is_some_and(|slot| slot.what == What::Slot(None))
    });
    let glued = glued.map(|it| it.area);
    let in_the_way = holes.chain(mat.behind.iter().copied()).chain(glued);
    let left = in_the_way.fold(mat.area, |all, it| {
        if !all.meets(it) {
            return all;
        }
        let sides = [
            Area {
                right: it.left,
                ..all
            },
            Area {
                left: it.right,
                ..all
            },
            Area {
                high: it.low,
                ..all
            },
            Area {
                low: it.high,
                ..all
            },
        ];
        let room = |it: &Area| {
            let (wide, high) = (it.right - it.left, it.high - it.low);
            i128::from(wide.max(0)) * i128::from(high.max(0))
        };
        sides.into_iter().max_by_key(room).unwrap_or(all)
    });
    let side = |from: i64, to: i64| Length::from_nm((to - from).max(0));
    (side(left.left, left.right), side(left.low, left.high))
}
