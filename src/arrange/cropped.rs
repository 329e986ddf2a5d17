//! Photos of which much is cut off to fill their places, and whether that is better if they may lie on their side.

use super::photos::{Sizes, stand};
use super::share::Share;
use super::{MOST_PHOTOS, Photo};
use crate::album::{Album, Photos};
use crate::plan::openings::photo_spots;
use crate::plan::{Cropped, Plan};
use crate::text::grouped;

/// A photo that loses more than this, in hundredths, is said to do so: our own limit, no published source.
pub const MUCH: i128 = 20;

/// Pairs of a photo and a place that are tried for this alone.
const MOST_PAIRS: usize = 10_000;

/// Photos that lose much where they stand; `None` if none does, or if it is not known: places may take the
/// shape of their photos, there are very many, or what is asked of them cannot be.
pub fn cropped(
    album: &Album,
    plan: &Plan,
    photos: &[Photo],
    over: &dyn Fn() -> bool,
) -> Option<Cropped> {
    let asked = album.photos.as_ref().filter(|asked| !asked.resize)?;
    let spots = photo_spots(plan);
    let pairs = photos.len().saturating_mul(spots.len());
    if spots.len() > MOST_PHOTOS || pairs > MOST_PAIRS {
        return None;
    }
    let much = Share::new(MUCH, 100);
    let lossy = |asked: &Photos| {
        let of = (asked, photos, &spots[..]);
        let found = stand((album, plan), of, Sizes::new(), over).ok()?.ok()?;
        let lost = found
            .placed
            .into_iter()
            .map(|it| (Share::from_integer(1) - it.seen, it.photo));
        Some(lost.filter(|(lost, _)| *lost > much).collect::<Vec<_>>())
    };
    let now = lossy(asked).filter(|now| !now.is_empty())?;
    let lying = (!asked.turn).then(|| {
        let turn = true;
        lossy(&Photos {
            turn,
            ..asked.clone()
        })
        .map(|it| it.len())
    });
    let lying = lying.flatten().filter(|fewer| *fewer < now.len());
    let named = now
        .iter()
        .map(|(lost, at)| (*lost, photos[*at].name.clone()));
    let mut photos = grouped(named);
    photos.sort_by(|(a, _), (b, _)| b.cmp(a));
    Some(Cropped { photos, lying })
}
