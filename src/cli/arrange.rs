//! `arrange`: which photo stands where. Pictures are opened here, and only their heads are read.

mod better;
mod resize;

use super::together;
use super::typed::Typed;
use super::{CLASH, DONE, Input, Reply, Sink, Source, Stop, UNDECIDED, disk};
use crate::album::{Album, AlbumError, Photos, PhotosIn};
use crate::arrange::cropped::cropped;
use crate::arrange::deal::NoDeal;
use crate::arrange::pads::Dealt;
use crate::arrange::photos::{Arranged, NoPlan, Sizes, stand};
use crate::arrange::{MOST_PHOTOS, NoSize, Photo, head, list, pads, wish};
use crate::cut::pieces::Made;
use crate::plan::openings::{PhotoSpot, photo_spots};
use crate::plan::{Designed, Plan};
use crate::report::handout::Section;
use crate::report::{self, arrange as words};
use crate::solve::Limits;
use crate::text::{Files, Said};
use clap::Args;
use std::fs;
use std::io::BufReader;
use std::path::Path;
use std::time::Duration;

/// The longest that photos are arranged for a printout.
const FOR_PRINT: Duration = Duration::from_secs(5);
/// Larger files are no photos (bytes).
const MOST_BYTES: u64 = 500_000_000;

#[derive(Debug, Args)]
pub(super) struct Arrange {
    #[command(flatten)]
    source: Source,
    #[command(flatten)]
    copies: together::Copies,
    #[command(flatten)]
    reply: Reply,
}

/// One album's photos in their places, or why not.
struct Each<'a> {
    plan: &'a Plan,
    photos: Vec<Photo>,
    spots: Vec<PhotoSpot>,
    found: Option<Result<Arranged, NoPlan>>,
    better: Option<words::Better>,
}

impl<'a> Each<'a> {
    fn new(
        input: &Input,
        plan: &'a Plan,
        photos: Vec<Photo>,
        limits: &Limits,
    ) -> Result<Each<'a>, Stop> {
        let spots = photo_spots(plan);
        let asked = input.album.photos.as_ref();
        let of = asked.map(|asked| (asked, &photos[..], &spots[..]));
        let found = of.map(|of| place(input, plan, of, limits)).transpose()?;
        let better = of
            .zip(found.as_ref())
            .and_then(|(of, found)| better::better(input, plan, of, found.as_ref().ok()?, limits));
        Ok(Each {
            plan,
            photos,
            spots,
            found,
            better,
        })
    }

    /// For a report: `at` is the album's place among those whose pads are dealt out together.
    fn told<'t>(&'t self, (at, album): (usize, &'t Album), pads: &'t [Dealt]) -> words::Told<'t> {
        words::Told {
            album,
            at,
            plan: self.plan,
            photos: &self.photos,
            spots: &self.spots,
            found: album.photos.as_ref().zip(self.found.as_ref()),
            better: self.better.as_ref(),
            pads,
        }
    }
}

pub(super) fn arrange(verb: &Arrange) -> Result<u8, Stop> {
    let limits = verb.reply.time.begin();
    let mut together = together::read(Typed::default(), "arrange", &verb.source, &verb.copies)?;
    let mut photos = Vec::new();
    for each in &mut together.albums {
        let album = &each.input.album;
        let mut papers = album.supplies.papers.iter();
        let Some(asked) = album.photos.clone() else {
            if papers.all(|paper| paper.designs.is_empty()) {
                let message = "this album names no photos and no paper with designs. Type `[photos]` at the end of its file, and below it `list = \"photos.csv\"` or `folder = \"photos\"`; or give a paper `designs`. `tuckwright help arrange` tells the rest";
                return Err(Stop::Told(message.to_owned()));
            }
            photos.push(Vec::new());
            continue;
        };
        let folder = each.folder();
        photos.push(read(&mut each.input.files, &asked, &folder)?);
    }
    let albums = together.joined()?;
    Sink::new(&verb.reply.target).ready()?;
    let worked = together.work(&limits, (verb.reply.json, &verb.reply.target))?;
    let over = || limits.is_over();
    let made = together.made(&albums, &worked);
    let mut code = DONE;
    let mut all = Vec::new();
    for ((each, made), photos) in together.albums.iter().zip(&made).zip(photos) {
        let each = Each::new(&each.input, made.plan, photos, &limits)?;
        code = match &each.found {
            Some(Err(NoPlan::Open)) if code == DONE => UNDECIDED,
            Some(Err(why)) if *why != NoPlan::Open => CLASH,
            _ => code,
        };
        all.push(each);
    }
    let pads = pads::pads(&made, &over);
    for dealt in &pads {
        code = match dealt.deal {
            Err(NoDeal::TooFew { .. }) => CLASH,
            Err(NoDeal::Refused) => return Err(Stop::Undecided(MISTAKE.to_owned())),
            Err(NoDeal::Open) if code == DONE => UNDECIDED,
            _ => code,
        };
    }
    let told = albums.iter().enumerate().zip(&all);
    let told = told.map(|(album, each)| each.told(album, &pads));
    let told: Vec<words::Told<'_>> = told.collect();
    let text = match verb.reply.json {
        true => report::json::arrange::answer(&told, code),
        false => told
            .iter()
            .map(|it| words::text(*it))
            .collect::<Vec<_>>()
            .join("\n"),
    };
    Sink::new(&verb.reply.target).write(&text)?;
    Ok(code)
}

/// The same for one album as it stands on the page, whose photos lie in this folder.
///
/// # Errors
/// Why that cannot be said, as a sentence.
pub(super) fn told(
    mut input: Input,
    plan: &Plan,
    folder: &Path,
    limits: &Limits,
) -> Result<Vec<Section>, String> {
    let why = |stop: Stop| match stop {
        Stop::Faults(_, faults) => {
            faults
                .first()
                .map_or(String::new(), |fault| match fault.help() {
                    Some(help) => format!("{fault}: {help}"),
                    None => fault.to_string(),
                })
        }
        Stop::Told(why) | Stop::Undecided(why) | Stop::Usage(_, why) => why,
        Stop::Interrupted | Stop::Answered(_) => "That was stopped.".to_owned(),
    };
    let asked = input.album.photos.clone();
    let photos = match &asked {
        Some(asked) => read(&mut input.files, asked, folder).map_err(why)?,
        None => Vec::new(),
    };
    let each = Each::new(&input, plan, photos, limits).map_err(why)?;
    let pads = pads::pads(&[Made::once(plan, &input.album)], &|| limits.is_over());
    Ok(words::sections(each.told((0, &input.album), &pads)))
}

/// Which photo stands in each place of an album that is printed, where it names photos, and which of them lose
/// much there.
pub(super) fn standing(input: &mut Input, plan: &mut Plan, folder: &Path) -> Result<(), Stop> {
    let Some(asked) = input.album.photos.clone() else {
        return Ok(());
    };
    let photos = read(&mut input.files, &asked, folder)?;
    let spots = photo_spots(plan);
    let limits = Limits::lasting(FOR_PRINT);
    let Ok(found) = place(input, plan, (&asked, &photos, &spots), &limits)? else {
        return Ok(());
    };
    let each = found.placed.iter().filter_map(|it| {
        let spot = spots.get(it.spot)?;
        let on_its_side = if it.turned { ", on its side" } else { "" };
        Some(Designed {
            leaf: Some(spot.leaf),
            copy: spot.copy,
            page: Some((spot.opening, spot.right)),
            name: plan
                .leaves
                .get(spot.leaf)?
                .inserts
                .get(spot.insert)?
                .name
                .clone(),
            design: format!("{}{on_its_side}", photos.get(it.photo)?.name),
        })
    });
    plan.photos = each.collect();
    plan.cropped = cropped(&input.album, plan, &photos, &|| limits.is_over());
    Ok(())
}

/// Which photos lose much, beside the sizes. Photos that cannot be read are a matter of `arrange`.
pub(super) fn watched(input: &Input, plan: &mut Plan, folder: &Path, limits: &Limits) {
    let Some(asked) = &input.album.photos else {
        return;
    };
    if let Ok(photos) = read(&mut input.files.clone(), asked, folder) {
        plan.cropped = cropped(&input.album, plan, &photos, &|| limits.is_over());
    }
}

/// An answer that its check refused.
const MISTAKE: &str = "tuckwright made a mistake and refused its own arrangement.\nPlease report it, with the album and its photos' sizes, to whoever gave you this program.";

/// Photos to places.
fn place(
    input: &Input,
    plan: &Plan,
    (asked, photos, spots): (&Photos, &[Photo], &[PhotoSpot]),
    limits: &Limits,
) -> Result<Result<Arranged, NoPlan>, Stop> {
    if spots.len() > MOST_PHOTOS {
        return Err(Stop::Told(format!(
            "this album has {} places for photos; {MOST_PHOTOS} is the most",
            spots.len()
        )));
    }
    let answer = |sizes: Sizes| {
        let of = (asked, photos, spots);
        match stand((&input.album, plan), of, sizes, &|| limits.is_over()) {
            Err(faults) => Err(Stop::Faults(Box::new(input.files.clone()), faults)),
            Ok(Err(NoPlan::Refused)) => Err(Stop::Undecided(MISTAKE.to_owned())),
            Ok(found) => Ok(found),
        }
    };
    if asked.resize {
        let all = resize::sizes(input, plan, (photos, spots), asked.turn, limits);
        let fewer = resize::one_a_leaf(&all, spots);
        for sizes in [all, fewer] {
            let found = answer(sizes)?;
            let holds = |it: &Arranged| resize::hold(input, (photos, spots), it, limits);
            if found.as_ref().is_ok_and(holds) {
                return Ok(found);
            }
        }
    }
    answer(Sizes::new())
}

/// The photos that an album names, in their order.
fn read(files: &mut Files, asked: &Photos, beside: &Path) -> Result<Vec<Photo>, Stop> {
    let mut typed = Typed::over(files);
    let photos = match &asked.from {
        PhotosIn::Here(all) if all.len() > MOST_PHOTOS => {
            let many = all.len();
            return Err(Stop::Told(format!(
                "the album names {many} photos; {MOST_PHOTOS} is the most"
            )));
        }
        PhotosIn::Here(all) => all.iter().map(Photo::named).collect(),
        PhotosIn::List(said) => listed(&mut typed, said, beside),
        PhotosIn::Folder(said) => pictures(&mut typed, said, beside),
    };
    *files = typed.done()?;
    Ok(photos)
}

fn listed(typed: &mut Typed, said: &Said<String>, beside: &Path) -> Vec<Photo> {
    let path = beside.join(&said.value);
    match disk::bytes(&path) {
        Ok(bytes) => {
            let file = typed.decoded(path.display().to_string(), bytes);
            let read = file.map(|file| list::read(&typed.files, file, &typed.faults));
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
    typed
        .faults
        .tell(place, AlbumError::NoFile { path, reason });
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
