//! Places that take the shape of their photo: what size each of them then has is worked out by the full
//! rules, one change at a time, and what was chosen once more with all changes together.

use super::super::Input;
use crate::album::{Album, WayUp};
use crate::arrange::photos::{Arranged, laid};
use crate::arrange::{Photo, wish};
use crate::length::Length;
use crate::plan::openings::{PhotoSpot, photo_spots};
use crate::plan::work::{Outcome, work_laid};
use crate::plan::{Listed, Plan};
use crate::program::expand::expand;
use crate::solve::Limits;
use num_integer::gcd;
use std::collections::BTreeMap;

/// Albums that are worked out before all other places stay as they are.
const MOST: usize = 400;

/// Sizes of places by photo and place.
pub(super) type Sizes = BTreeMap<(usize, usize), Vec<(Length, Length)>>;

/// A place with the shape that it takes: its leaf, its insert, the sides.
type Change = (usize, usize, (i64, i64));

/// What the places would be, each for each photo; a leaf of which there are several keeps its places, as
/// all of them are alike.
pub(super) fn sizes(
    input: &Input,
    plan: &Plan,
    (photos, spots): (&[Photo], &[PhotoSpot]),
    turn: bool,
    limits: &Limits,
) -> Sizes {
    let mut known: BTreeMap<Change, Option<(Length, Length)>> = BTreeMap::new();
    let mut sizes = Sizes::new();
    for (at, spot) in spots.iter().enumerate() {
        let said = wish::insert(&input.album, spot).and_then(|insert| insert.photo.as_ref());
        let open = said.is_some_and(|photo| photo.shape.is_none() && photo.lies.is_none());
        let leaf = plan.leaves.get(spot.leaf);
        let insert = leaf.and_then(|leaf| leaf.inserts.get(spot.insert));
        let alone = leaf.zip(insert);
        let alone = alone.is_some_and(|(leaf, insert)| leaf.count == 1 && insert.count == 1);
        for (n, photo) in photos.iter().enumerate().filter(|_| open && alone) {
            let Ok((across, up)) = photo.sides else {
                continue;
            };
            let common = gcd(across, up).max(1);
            for turned in [false, true].into_iter().filter(|it| !it || turn) {
                let shape = laid((across / common, up / common), turned);
                let change = (spot.leaf, spot.insert, shape);
                if known.len() >= MOST && !known.contains_key(&change) {
                    continue;
                }
                let found = *known.entry(change).or_insert_with(|| {
                    let spots = worked(input, &[change], limits)?;
                    spots.iter().find(|it| same(it, spot)).map(size)
                });
                if let Some(found) = found {
                    let all = sizes.entry((n, at)).or_default();
                    if !all.contains(&found) {
                        all.push(found);
                    }
                }
            }
        }
    }
    sizes
}

fn same(a: &PhotoSpot, b: &PhotoSpot) -> bool {
    (a.leaf, a.insert, a.copy, a.piece) == (b.leaf, b.insert, b.copy, b.piece)
}

fn size(spot: &PhotoSpot) -> (Length, Length) {
    (spot.width, spot.height)
}

/// The places of the album with these changes; `None` if it does not fit, or a limit was met.
fn worked(input: &Input, changes: &[Change], limits: &Limits) -> Option<Vec<PhotoSpot>> {
    let mut album: Album = input.album.clone();
    for (leaf, insert, (across, up)) in changes {
        let insert = album.leaves.get_mut(*leaf)?.inserts.get_mut(*insert)?;
        let photo = insert.photo.as_mut()?;
        photo.shape = Some((*across, *up));
        photo.lies = Some(lies((*across, *up)));
    }
    let expanded = expand(&input.style, &album).ok()?;
    let worked = work_laid((&input.style, &album), expanded, Listed::NotKept, limits).ok()?;
    match &worked.outcome {
        Outcome::Fits(plan) => Some(photo_spots(plan)),
        _ => None,
    }
}

/// Which way up a photo of these sides lies.
pub(super) fn lies((across, up): (i64, i64)) -> WayUp {
    match across > up {
        true => WayUp::Across,
        false => WayUp::Upright,
    }
}

/// Whether all places are as they were chosen once all of them take their shapes.
pub(super) fn hold(
    input: &Input,
    (photos, spots): (&[Photo], &[PhotoSpot]),
    arranged: &Arranged,
    limits: &Limits,
) -> bool {
    let resized = arranged
        .placed
        .iter()
        .filter(|it| it.size != size(&spots[it.spot]));
    let changes = resized.map(|it| {
        let (across, up) = *photos[it.photo].sides.as_ref().ok()?;
        let common = gcd(across, up).max(1);
        let shape = laid((across / common, up / common), it.turned);
        Some((spots[it.spot].leaf, spots[it.spot].insert, shape))
    });
    let Some(changes) = changes.collect::<Option<Vec<Change>>>() else {
        return false;
    };
    if changes.is_empty() {
        return true;
    }
    let Some(found) = worked(input, &changes, limits) else {
        return false;
    };
    let wanted = |(at, spot): (usize, &PhotoSpot)| {
        let placed = arranged.placed.iter().find(|it| it.spot == at);
        placed.map_or(size(spot), |it| it.size)
    };
    let mut all = spots.iter().enumerate();
    found.len() == spots.len()
        && all.all(|(at, spot)| {
            let now = found.iter().find(|it| same(it, spot)).map(size);
            now == Some(wanted((at, spot)))
        })
}

/// The same with no more than one place of a leaf: places of one leaf may be in each other's way.
pub(super) fn one_a_leaf(sizes: &Sizes, spots: &[PhotoSpot]) -> Sizes {
    let first = |at: usize| spots.iter().position(|it| it.leaf == spots[at].leaf);
    let kept = sizes.iter().filter(|((_, at), _)| first(*at) == Some(*at));
    kept.map(|(key, all)| (*key, all.clone())).collect()
}
