//! What else may be asked of photos so that less of them is lost: each is arranged again.

use super::super::{Input, work};
use super::place;
use crate::album::{Album, Photos};
use crate::arrange::photos::Arranged;
use crate::arrange::{Photo, wish};
use crate::plan::openings::{PhotoSpot, photo_spots};
use crate::plan::work::Outcome;
use crate::plan::{Listed, Plan};
use crate::report::arrange::{Better, Otherwise};
use crate::solve::Limits;
use itertools::Itertools;

/// Pairs of a photo and a place that are arranged again, and albums that are worked out for the shapes of
/// their places.
const MOST_PAIRS: usize = 2_500;
const MOST_ALBUMS: usize = 40;

/// The one that loses least; `None` if none of them loses less.
pub(super) fn better(
    input: &Input,
    plan: &Plan,
    (asked, photos, spots): (&Photos, &[Photo], &[PhotoSpot]),
    now: &Arranged,
    limits: &Limits,
) -> Option<Better> {
    if photos.len().saturating_mul(spots.len()) > MOST_PAIRS {
        return None;
    }
    let shapes = photos.iter().filter_map(|photo| {
        let (across, up) = *photo.sides.as_ref().ok()?;
        let common = num_integer::gcd(across, up).max(1);
        Some((across / common, up / common))
    });
    let is_small = shapes.unique().count().saturating_mul(spots.len()) <= MOST_ALBUMS;
    let all = [
        (Otherwise::Turn, !asked.turn),
        (Otherwise::Free, !asked.free),
        (Otherwise::Resize, !asked.resize && is_small),
        (
            Otherwise::Apart,
            is_small && !asked.resize && asked.stays.is_empty(),
        ),
    ];
    let again = |how: Otherwise| -> Option<Arranged> {
        let mut asked = asked.clone();
        match how {
            Otherwise::Turn => asked.turn = true,
            Otherwise::Free => asked.free = true,
            Otherwise::Resize | Otherwise::Apart => asked.resize = true,
        }
        if how != Otherwise::Apart {
            return place(input, plan, (&asked, photos, spots), limits)
                .ok()?
                .ok();
        }
        let apart = Input {
            files: input.files.clone(),
            album: apart(&input.album, spots)?,
            style: input.style.clone(),
        };
        let worked = work(&apart, Listed::NotKept, limits).ok()?;
        let Outcome::Fits(plan) = &worked.outcome else {
            return None;
        };
        let spots = photo_spots(plan);
        place(&apart, plan, (&asked, photos, &spots), limits)
            .ok()?
            .ok()
    };
    let tried = all.into_iter().filter(|(_, may)| *may);
    let tried = tried.filter_map(|(how, _)| {
        let found = again(how)?;
        let gains = found.placed.len() >= now.placed.len() && found.sum < now.sum;
        gains.then_some(Better {
            how,
            placed: found.placed.len(),
            sum: found.sum,
        })
    });
    // Of those that lose as little the first.
    tried.min_by(|a, b| a.sum.cmp(&b.sum))
}

/// Each leaf of which a place could take the shape of its photo as a kind of its own; `None` if there is none.
fn apart(album: &Album, spots: &[PhotoSpot]) -> Option<Album> {
    let open = |at: usize| {
        let of_leaf = spots.iter().filter(|spot| spot.leaf == at);
        let mut photos = of_leaf.filter_map(|spot| wish::insert(album, spot)?.photo.as_ref());
        photos.any(|photo| photo.shape.is_none() && photo.lies.is_none())
    };
    let mut apart = album.clone();
    apart.leaves.clear();
    for (at, leaf) in album.leaves.iter().enumerate() {
        let copies = if open(at) { leaf.count } else { 1 };
        for copy in 1..=copies {
            let mut one = leaf.clone();
            if copies > 1 {
                (one.count, one.name) = (1, format!("{} {copy}", leaf.name));
            }
            apart.leaves.push(one);
        }
    }
    (apart.leaves.len() > album.leaves.len()).then_some(apart)
}
