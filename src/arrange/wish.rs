//! What an album wants of its photos: names of photos and places, looked up.

use super::answer::{Share2, Wanted};
use super::{NoSize, Photo, share::Share};
use crate::album::{Album, Insert, Photos};
use crate::plan::Plan;
use crate::plan::openings::PhotoSpot;
use crate::text::{Faults, Finds, Place, Problem, Said, nearest};
use itertools::Itertools;
use std::collections::HashMap;
use thiserror::Error;

/// Something wrong with what is wanted.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum WishError {
    #[error("no photo is named `{name}`")]
    NoPhoto { name: String, near: Option<String> },
    #[error("`{name}` has no size, so it has no place")]
    NoSize { name: String },
    #[error("no place for a photo is named `{name}`")]
    NoSpot { name: String, known: Vec<String> },
    #[error("`{name}` faces itself")]
    Itself { name: String },
    #[error("`{name}` stays twice")]
    Twice { name: String, first: Place },
    #[error("two photos stay at `{name}`")]
    Full { name: String, first: Place },
}

impl WishError {
    /// Names that a message lists.
    pub const FEW: usize = 8;
}

impl Problem for WishError {
    fn help(&self) -> Option<String> {
        use WishError as E;
        Some(match self {
            E::NoPhoto {
                near: Some(near), ..
            } => format!("did you mean `{near}`?"),
            E::NoPhoto { .. } => "type the name of a photo, with its ending or without".to_owned(),
            E::NoSize { .. } => "give its width and height in pixels in a list".to_owned(),
            E::NoSpot { known, .. } if known.is_empty() => {
                "type `photo = true` below an insert: then it has a place for one".to_owned()
            }
            E::NoSpot { known, .. } => {
                // In many names is a comma.
                let few = known
                    .iter()
                    .take(Self::FEW)
                    .map(|it| format!("`{it}`"))
                    .join(", ");
                let more = if known.len() > Self::FEW { " ..." } else { "" };
                format!("the places are {few}{more}")
            }
            E::Itself { .. } => "type two photos".to_owned(),
            E::Twice { .. } | E::Full { .. } => "delete one of them".to_owned(),
        })
    }

    fn also(&self) -> Vec<(Place, String)> {
        match self {
            WishError::Twice { first, .. } | WishError::Full { first, .. } => {
                vec![(*first, "the first one stands".to_owned())]
            }
            _ => Vec::new(),
        }
    }
}

/// What a place is called: its leaf, which of the leaves alike, and its insert if the leaf has several
/// photos; the same with spaces in it as in a list.
pub fn label(plan: &Plan, spot: &PhotoSpot) -> String {
    let Some(leaf) = plan.leaves.get(spot.leaf) else {
        return String::new();
    };
    let photos = leaf.inserts.iter().filter(|insert| insert.photo.is_some());
    let insert = leaf.inserts.get(spot.insert);
    let insert = insert.map(|it| (it.name.as_str(), it.count));
    let several = photos.count() > 1;
    called(
        (&leaf.name, leaf.count),
        insert,
        several,
        (spot.copy, spot.piece),
    )
}

/// The same of names and counts: `several` photos are on the leaf, and this is the copy of it and of its insert.
fn called(
    (leaf, leaves): (&str, i64),
    insert: Option<(&str, i64)>,
    several: bool,
    (copy, piece): (i64, i64),
) -> String {
    let plain = |name: &str| name.replace('_', " ");
    let mut label = plain(leaf);
    if leaves > 1 {
        label.push_str(&format!(" {copy}"));
    }
    if let Some((name, pieces)) = insert {
        if several {
            label.push_str(&format!(", {}", plain(name)));
        }
        if pieces > 1 {
            label.push_str(&format!(", number {piece}"));
        }
    }
    label
}

/// A place for a photo as its album has it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PhotoRoom {
    /// Places in [`Album::leaves`] and in its inserts.
    pub leaf: usize,
    pub insert: usize,
    pub copy: i64,
    pub piece: i64,
}

/// Every place for a photo of an album, as it is called ([`label`]).
pub fn places(album: &Album) -> impl Iterator<Item = (PhotoRoom, String)> {
    album.leaves.iter().enumerate().flat_map(|(n, leaf)| {
        let photos = leaf.inserts.iter().enumerate();
        let photos = photos.filter(|(_, it)| it.photo.is_some());
        let several = photos.clone().count() > 1;
        photos.flat_map(move |(insert, it)| {
            let all = (1..=leaf.count).cartesian_product(1..=it.count);
            all.map(move |(copy, piece)| {
                let room = PhotoRoom {
                    leaf: n,
                    insert,
                    copy,
                    piece,
                };
                let of = (leaf.name.as_str(), leaf.count);
                (
                    room,
                    called(of, Some((&it.name, it.count)), several, (copy, piece)),
                )
            })
        })
    })
}

/// Whether a place is called so, however it is written.
pub fn is_called(label: &str, typed: &str) -> bool {
    let plain = |name: &str| {
        let letters = name.to_lowercase().replace(['_', ','], " ");
        letters.split_whitespace().join(" ")
    };
    plain(label) == plain(typed)
}

/// The insert of a place, as its album has it.
pub fn insert<'a>(album: &'a Album, spot: &PhotoSpot) -> Option<&'a Insert> {
    album.leaves.get(spot.leaf)?.inserts.get(spot.insert)
}

/// Looks up what an album wants.
///
/// # Errors
/// Everything that names nothing, or stands there twice.
pub fn wanted(asked: &Photos, photos: &[Photo], labels: &[String]) -> Result<Wanted, Faults> {
    let faults = Finds::default();
    let photo = |said: &Said<String>| -> Option<usize> {
        let (place, name) = (said.place, said.value.clone());
        let stem = |photo: &Photo| photo.name.rsplit_once('.').map(|(stem, _)| stem.to_owned());
        let exact = photos.iter().position(|photo| photo.name == name);
        let mut stems = (0..photos.len()).filter(|n| stem(&photos[*n]).as_ref() == Some(&name));
        let Some(at) = exact.or_else(|| stems.next()) else {
            let near = nearest(&name, photos.iter().map(|photo| photo.name.as_str()));
            let near = near.map(str::to_owned);
            faults.tell(place, WishError::NoPhoto { name, near });
            return None;
        };
        if photos[at].sides.is_err() {
            faults.tell(place, WishError::NoSize { name });
            return None;
        }
        Some(at)
    };
    let mut facing = Vec::new();
    for [a, b] in &asked.facing {
        let two = photo(a).zip(photo(b));
        match two {
            Some((one, other)) if one == other => {
                let (place, name) = (b.place, b.value.clone());
                faults.tell(place, WishError::Itself { name });
            }
            _ => facing.extend(two),
        }
    }
    let mut stays = Vec::new();
    let (mut who, mut at) = (HashMap::new(), HashMap::new());
    for (name, label) in &asked.stays {
        let spot = labels
            .iter()
            .position(|known| is_called(known, &label.value));
        if spot.is_none() {
            let (place, name, known) = (label.place, label.value.clone(), labels.to_vec());
            faults.tell(place, WishError::NoSpot { name, known });
        }
        let Some((photo, spot)) = photo(name).zip(spot) else {
            continue;
        };
        if let Some(first) = who.insert(photo, name.place) {
            let (place, name) = (name.place, name.value.clone());
            faults.tell(place, WishError::Twice { name, first });
        }
        if let Some(first) = at.insert(spot, label.place) {
            let (place, name) = (label.place, label.value.clone());
            faults.tell(place, WishError::Full { name, first });
        }
        stays.push((photo, spot));
    }
    faults.or(Some(Wanted {
        free: asked.free,
        facing,
        stays,
        coarsest: asked.coarsest,
        worst: asked.worst,
        turn: asked.turn,
        sizes: Default::default(),
    }))
}

/// What may be cut off, as a share.
pub fn most_cut(asked: &Photos) -> Share {
    Share::new(asked.most_cut.0.into(), asked.most_cut.1.into())
}

/// Photos of a folder in their order: by date, those without one behind them, by name.
pub fn by_date(photos: &mut [Photo]) {
    photos.sort_by(|a, b| {
        let key = |photo: &Photo| (photo.date.is_none(), photo.date.clone(), photo.name.clone());
        key(a).cmp(&key(b))
    });
}

/// Whole tenths of a per cent, rounded to the nearest; what is not nothing is never shown as nothing.
pub fn per_cent(share: &Share2) -> String {
    use num_integer::Integer;
    use num_traits::Zero;
    let mille = (share * num_bigint::BigInt::from(1_000))
        .round()
        .to_integer();
    match mille.is_zero() {
        true if share.is_zero() => "0 %".to_owned(),
        true => "under 0.1 %".to_owned(),
        false => {
            let (whole, tenth) = mille.div_rem(&num_bigint::BigInt::from(10));
            match tenth.is_zero() {
                true => format!("{whole} %"),
                false => format!("{whole}.{tenth} %"),
            }
        }
    }
}

impl NoSize {
    /// Why, as it stands behind a photo's name.
    pub fn why(&self) -> String {
        match self {
            NoSize::NotGiven => {
                "its list gives no size: type its width and height in pixels, or its shape"
                    .to_owned()
            }
            NoSize::Broken(error) => error.to_string(),
            NoSize::Closed(why) => why.clone(),
        }
    }
}
