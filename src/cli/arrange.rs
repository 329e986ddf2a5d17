//! `arrange`: which photo stands where. Pictures are opened here, and only their heads are read.

use super::typed::Typed;
use super::{
    CLASH, DONE, Input, Reply, Sink, Source, Stop, UNDECIDED, disk, input, together, work, written,
};
use crate::album::{Album, AlbumError, Photos, PhotosIn};
use crate::arrange::deal::NoDeal;
use crate::arrange::photos::{Arranged, Asked, NoPlan, Wanted, arrange as arranged};
use crate::arrange::{MOST_PHOTOS, NoSize, Photo, head, list, pads, wish};
use crate::plan::openings::{PhotoSpot, photo_spots};
use crate::plan::work::Outcome;
use crate::plan::{Listed, Plan};
use crate::report::{self, arrange as words};
use crate::text::{Said, found};
use clap::Args;
use std::fs;
use std::io::BufReader;
use std::path::Path;

/// Larger files are no photos (bytes).
const MOST_BYTES: u64 = 500_000_000;

#[derive(Debug, Args)]
pub(super) struct Arrange {
    #[command(flatten)]
    source: Source,
    #[command(flatten)]
    reply: Reply,
}

pub(super) fn arrange(verb: &Arrange) -> Result<u8, Stop> {
    let limits = verb.reply.time.begin();
    let mut input = input::read("arrange", &verb.source)?;
    let asked = input.album.photos.clone();
    let papers = &input.album.supplies.papers;
    if asked.is_none() && papers.iter().all(|paper| paper.designs.is_empty()) {
        let message = "this album names no photos and no paper with designs. Type `[photos]` at the end of its file, and below it `list = \"photos.csv\"` or `folder = \"photos\"`; or give a paper `designs`. `tuckwright help arrange` tells the rest";
        return Err(Stop::Told(message.to_owned()));
    }
    let folder = verb.source.album.as_deref().and_then(Path::parent);
    let folder = folder.unwrap_or(Path::new("")).to_owned();
    let photos = match &asked {
        Some(asked) => read(&mut input, asked, &folder)?,
        None => Vec::new(),
    };
    Sink::new(&verb.reply.target).ready()?;
    let worked = work(&input, Listed::NotKept, &limits)?;
    let Outcome::Fits(plan) = &worked.outcome else {
        // An album without sizes has no places.
        let to = (verb.reply.json, &verb.reply.target);
        return together::without_sizes((&input, &verb.source), &worked, &limits, to);
    };
    let over = || limits.is_over();
    let spots = photo_spots(plan);
    let album = &input.album;
    let mut code = DONE;
    let found = match &asked {
        Some(asked) => Some(place(&input, plan, (asked, &photos, &spots), &over)?),
        None => None,
    };
    if let Some((_, Err(why))) = &found {
        code = if *why == NoPlan::Open {
            UNDECIDED
        } else {
            CLASH
        };
    }
    let pads = pads::pads(plan, album, &over);
    for dealt in &pads {
        code = match dealt.deal {
            Err(NoDeal::TooFew { .. }) => CLASH,
            Err(NoDeal::Open) if code == DONE => UNDECIDED,
            _ => code,
        };
    }
    let told = words::Told {
        album,
        plan,
        photos: &photos,
        spots: &spots,
        found: asked.as_ref().zip(found.as_ref().map(|(_, found)| found)),
        pads: &pads,
    };
    let text = match verb.reply.json {
        true => written(report::json::arrange::answer(told, code))?,
        false => words::text(told),
    };
    Sink::new(&verb.reply.target).write(&text)?;
    Ok(code)
}

/// Photos to places.
fn place(
    input: &Input,
    plan: &Plan,
    (asked, photos, spots): (&Photos, &[Photo], &[PhotoSpot]),
    over: &dyn Fn() -> bool,
) -> Result<(Wanted, Result<Arranged, NoPlan>), Stop> {
    if spots.len() > MOST_PHOTOS {
        return Err(Stop::Told(format!(
            "this album has {} places for photos; {MOST_PHOTOS} is the most",
            spots.len()
        )));
    }
    let labels: Vec<String> = spots.iter().map(|spot| wish::label(plan, spot)).collect();
    let wanted = wish::wanted(asked, photos, &labels);
    let wanted = wanted.map_err(|faults| Stop::Faults(Box::new(input.files.clone()), faults))?;
    let question = Asked {
        photos,
        spots,
        wanted: &wanted,
        most_cut: wish::most_cut(asked),
    };
    let prints = |spot: &PhotoSpot| prints(&input.album, spot);
    match arranged(question, &input.album.supplies, &prints, over) {
        Err(NoPlan::Refused) => Err(Stop::Undecided(
            "tuckwright made a mistake and refused its own arrangement.\nPlease report it, with the album and its photos' sizes, to whoever gave you this program."
                .to_owned(),
        )),
        found => Ok((wanted, found)),
    }
}

/// Prints that a photo in a place may be trimmed from.
fn prints(album: &Album, spot: &PhotoSpot) -> Vec<usize> {
    let photo = wish::insert(album, spot).and_then(|insert| insert.photo.as_ref());
    photo.map_or(Vec::new(), |photo| photo.prints.clone())
}

/// The photos that an album names, in their order.
fn read(input: &mut Input, asked: &Photos, beside: &Path) -> Result<Vec<Photo>, Stop> {
    let mut typed = Typed::over(&mut input.files);
    let photos = match &asked.from {
        PhotosIn::List(said) => listed(&mut typed, said, beside),
        PhotosIn::Folder(said) => pictures(&mut typed, said, beside),
    };
    input.files = typed.done()?;
    Ok(photos)
}

fn listed(typed: &mut Typed, said: &Said<String>, beside: &Path) -> Vec<Photo> {
    let path = beside.join(&said.value);
    match disk::bytes(&path) {
        Ok(bytes) => {
            let file = typed.decoded(path.display().to_string(), bytes);
            let read = file.map(|file| list::read(&typed.files, file, &mut typed.faults));
            read.unwrap_or_default()
        }
        Err(reason) => {
            unread(typed, said, reason);
            Vec::new()
        }
    }
}

/// Tells that what an album names cannot be read.
fn unread(typed: &mut Typed, said: &Said<String>, reason: String) {
    let (place, path) = (said.place, said.value.clone());
    found(
        &mut typed.faults,
        AlbumError::NoFile {
            place,
            path,
            reason,
        },
    );
}

fn pictures(typed: &mut Typed, said: &Said<String>, beside: &Path) -> Vec<Photo> {
    let path = beside.join(&said.value);
    let entries = match fs::read_dir(&path) {
        Ok(entries) => entries,
        Err(_) => {
            let reason = match path.exists() {
                true => "it is no folder that may be read",
                false => "there is no such folder",
            };
            unread(typed, said, reason.to_owned());
            return Vec::new();
        }
    };
    let names = entries.flatten().map(|entry| entry.file_name());
    let names = names.filter_map(|name| name.into_string().ok());
    let is_picture = |name: &String| {
        let ending = Path::new(name).extension().and_then(|it| it.to_str());
        let ending = ending.unwrap_or("").to_lowercase();
        !name.starts_with('.') && head::ENDINGS.contains(&ending.as_str())
    };
    let mut names: Vec<String> = names.filter(is_picture).collect();
    names.sort();
    if names.is_empty() || names.len() > MOST_PHOTOS {
        let reason = match names.len() {
            0 => "there are no pictures in it: their names end in jpg, png, webp, heic or avif"
                .to_owned(),
            many => format!("there are {many} pictures in it; {MOST_PHOTOS} is the most"),
        };
        unread(typed, said, reason);
        return Vec::new();
    }
    let photo = |name: String| {
        let read = picture(&path.join(&name));
        head::photo(crate::text::seen(&name), read)
    };
    let mut photos: Vec<Photo> = names.into_iter().map(photo).collect();
    wish::by_date(&mut photos);
    photos
}

fn picture(path: &Path) -> Result<head::Head, NoSize> {
    let file = disk::open(path).map_err(NoSize::Closed)?;
    let large = file.metadata().is_ok_and(|it| it.len() > MOST_BYTES);
    if large {
        return Err(NoSize::Closed("it is larger than 500 MB".to_owned()));
    }
    head::read(&mut BufReader::new(file)).map_err(NoSize::Broken)
}
