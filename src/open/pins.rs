//! What follows from a change. What an album wants of single photos, pairs that face each other and photos that stay in a place, goes with
//! the photos and the places that it names: another name carries through, and what is gone takes it along.

use super::change::{self, Done};
use super::history::Visit;
use super::read::{Read, Reading, Refusal, refusal, sentence};
use super::state::State;
use crate::album::{Album, Named, Photos, PhotosIn};
use crate::arrange::wish::{PhotoRoom, WishError, is_called, places};
use crate::text::{Problem, Said, nearest};
use itertools::Itertools;

/// A change with what follows from it: the paper that something lies on, and what is wanted of photos.
///
/// # Errors
/// What is wrong with it.
pub fn with_what_follows(
    state: &State,
    mut done: Done,
    visit: Option<&Visit>,
    reread: &dyn Fn(&str) -> Read,
) -> Result<(Done, Read), Refusal> {
    let mut read = reread(&done.0);
    if let (Err(slips), Some(before)) = (&read, &state.reading)
        && let Some(with) = change::with_what_it_lacks(before, &done, slips)
    {
        read = reread(&with.0);
        done = with;
    }
    let (after, _) = read.as_ref().map_err(|slips| refusal(slips))?;
    let begun = state.begun_in(visit);
    let before = begun.map_or(state.reading.as_ref(), |it| Some(&it.reading));
    let followed = before.map(|it| followed(&it.album, after, &done));
    if let Some(with) = followed.transpose()?.flatten() {
        read = reread(&with.0);
        done = with;
    }
    Ok((done, read))
}

/// The album's text with what is wanted of photos, if anything of it is another; `after` is how the text reads.
///
/// # Errors
/// If what was asked anew names no photo, or no place of the album.
fn followed(before: &Album, after: &Reading, (text, said): &Done) -> Result<Option<Done>, Refusal> {
    let Some(now) = &after.album.photos else {
        return Ok(None);
    };
    let was = before.photos.as_ref();
    let mut gone = Vec::new();
    let mut kept = |pair: Option<(String, String)>, photo: &Said<String>| {
        if pair.is_none() {
            gone.push(photo.value.clone());
        }
        pair.map(<[String; 2]>::from)
    };
    let photo = |name: &Said<String>| photo(was, now, name);
    let mut facing = Vec::new();
    for [a, b] in &now.facing {
        let is_old = was.is_some_and(|was| was.facing.iter().any(|pair| same(pair, [a, b])));
        let pair = match is_old {
            true => kept(photo(a).zip(photo(b)), a),
            false => Some([known(now, a)?, known(now, b)?]),
        };
        facing.extend(pair);
    }
    let mut stays = Vec::new();
    for (name, place) in &now.stays {
        let is_old = was.is_some_and(|was| {
            let mut all = was.stays.iter();
            all.any(|(a, b)| same([a, b], [name, place]))
        });
        let pair = match is_old {
            true => {
                let there = self::place(before, &after.album, &place.value);
                kept(photo(name).zip(there), name)
            }
            false => Some([known(now, name)?, named(&after.album, place)?]),
        };
        stays.extend(pair);
    }
    let face = same_all(&facing, now.facing.iter().map(|[a, b]| [a, b]));
    let stay = same_all(&stays, now.stays.iter().map(|(a, b)| [a, b]));
    if face && stay {
        return Ok(None);
    }
    let mut field = change::field(after, text)?;
    let both = [("facing", &facing, face), ("stays", &stays, stay)];
    for (key, all, _) in both.into_iter().filter(|(.., is_same)| !is_same) {
        let all = all
            .iter()
            .map(|pair| pair.iter().map(String::as_str).collect());
        field.pair(key, &all.collect::<Vec<_>>())?;
    }
    let gone = match gone.is_empty() {
        true => String::new(),
        false => format!(
            "; no place any more for {}",
            gone.iter().unique().join(", ")
        ),
    };
    Ok(Some((field.text(), format!("{said}{gone}"))))
}

fn same<'s>(pair: impl IntoIterator<Item = &'s Said<String>>, other: [&Said<String>; 2]) -> bool {
    pair.into_iter()
        .map(|it| &it.value)
        .eq(other.map(|it| &it.value))
}

fn same_all<'s>(all: &[[String; 2]], said: impl Iterator<Item = [&'s Said<String>; 2]>) -> bool {
    said.map(|pair| pair.map(|it| it.value.clone()))
        .eq(all.iter().cloned())
}

/// Where a row stands now: by its name, or by its number where only its name is another.
fn moved(before: &[&str], after: &[&str], at: usize) -> Option<usize> {
    let name = before.get(at)?;
    let renamed = before.len() == after.len() && !before.contains(after.get(at)?);
    let same = after.iter().position(|it| it == name);
    same.or(renamed.then_some(at))
}

/// Where the leaf stands now that was looked at.
pub fn leaf(at: usize, before: &Album, now: &Album) -> usize {
    let moved = moved(&leaves(before), &leaves(now), at);
    moved.unwrap_or(at.min(now.leaves.len().saturating_sub(1)))
}

fn names(photos: &[Named]) -> Vec<&str> {
    photos.iter().map(|it| it.name.value.as_str()).collect()
}

fn leaves(album: &Album) -> Vec<&str> {
    album.leaves.iter().map(|it| it.name.as_str()).collect()
}

fn inserts(album: &Album, leaf: usize) -> Vec<&str> {
    let all = album.leaves.get(leaf).map(|it| &it.inserts[..]);
    let all = all.unwrap_or_default().iter();
    all.map(|it| it.name.as_str()).collect()
}

fn here(photos: &Photos) -> Option<&[Named]> {
    match &photos.from {
        PhotosIn::Here(all) => Some(all),
        _ => None,
    }
}

/// A photo by its name, with its ending or without.
fn at(all: &[Named], name: &str) -> Option<usize> {
    let stem = |it: &Named| {
        it.name
            .value
            .rsplit_once('.')
            .is_some_and(|(stem, _)| stem == name)
    };
    let exact = all.iter().position(|it| it.name.value == name);
    exact.or_else(|| all.iter().position(stem))
}

/// The name that a photo has now; that of one outside of the album stays.
fn photo(was: Option<&Photos>, now: &Photos, name: &Said<String>) -> Option<String> {
    let same = Some(name.value.clone());
    let (Some(before), Some(after)) = (was.and_then(here), here(now)) else {
        return same;
    };
    let Some(old) = at(before, &name.value) else {
        return same;
    };
    let (before, after) = (names(before), names(after));
    let new = moved(&before, &after, old)?;
    match before[old] == after[new] {
        true => same,
        false => Some(after[new].to_owned()),
    }
}

/// What the place is called now in which a photo stays; one that was none stays as it is typed.
fn place(before: &Album, after: &Album, label: &str) -> Option<String> {
    let Some((old, _)) = places(before).find(|(_, it)| is_called(it, label)) else {
        return Some(label.to_owned());
    };
    let leaf = moved(&leaves(before), &leaves(after), old.leaf)?;
    let insert = moved(
        &inserts(before, old.leaf),
        &inserts(after, leaf),
        old.insert,
    )?;
    let new = PhotoRoom {
        leaf,
        insert,
        ..old
    };
    let (_, now) = places(after).find(|(room, _)| *room == new)?;
    match is_called(&now, label) {
        true => Some(label.to_owned()),
        false => Some(now),
    }
}

fn known(photos: &Photos, name: &Said<String>) -> Result<String, Refusal> {
    let known = here(photos).is_none_or(|all| at(all, &name.value).is_some());
    let all = here(photos).unwrap_or_default().iter();
    let near = || nearest(&name.value, all.map(|it| it.name.value.as_str())).map(str::to_owned);
    known.then(|| name.value.clone()).ok_or_else(|| {
        refused(&WishError::NoPhoto {
            name: name.value.clone(),
            near: near(),
        })
    })
}

fn named(album: &Album, label: &Said<String>) -> Result<String, Refusal> {
    let mut all = places(album).map(|(_, it)| it);
    let known = all.any(|it| is_called(&it, &label.value));
    known.then(|| label.value.clone()).ok_or_else(|| {
        let known = places(album)
            .map(|(_, it)| it)
            .take(WishError::FEW + 1)
            .collect();
        refused(&WishError::NoSpot {
            name: label.value.clone(),
            known,
        })
    })
}

fn refused(error: &WishError) -> Refusal {
    Refusal {
        help: error.help().as_deref().map(sentence),
        ..Refusal::new(sentence(&error.to_string()))
    }
}
