//! From what is typed to an album and its style.
//!
//! An option is read as a file of its own, called by the option's name, so that what is wrong in it
//! is shown like what is wrong in an album.

use super::bag::{around, from_bag};
use super::typed::{OptionError, Typed};
use super::{Input, Source, Stop, disk, usage};
use crate::album::{Album, Insert, StyleName};
use crate::length::{Interval, Length, Sides};
use crate::program;
use crate::style::{self, Style, shipped};
use crate::text::{Faults, Place};
use std::path::Path;

/// Reads the album and its style.
pub(super) fn read(verb: &str, source: &Source) -> Result<Input, Stop> {
    read_beside(Typed::default(), verb, source)
}

/// Reads the album and its style beside options that were read before.
pub(super) fn read_beside(mut typed: Typed, verb: &str, source: &Source) -> Result<Input, Stop> {
    let (album, folder) = match (&source.album, &source.bag) {
        (Some(_), Some(_)) => {
            let message = "an album file and `--bag` are two albums. Leave one of them out";
            return Err(usage(verb, message));
        }
        (None, None) => {
            let message = "an album is missing. Name an album file, or type the bag: \
                           `--bag \"5 1/8 x 8 1/2 in\"`";
            return Err(usage(verb, message));
        }
        (Some(path), None) => {
            if let Some((option, _)) = source.of_the_bag().iter().find(|(_, said)| said.is_some()) {
                let message = format!(
                    "`{option}` goes with `--bag`. With an album file, type it into the file"
                );
                return Err(usage(verb, &message));
            }
            let folder = path.parent().unwrap_or(Path::new(""));
            (from_file(&mut typed, path, folder)?, folder)
        }
        (None, Some(bag)) => {
            let album = from_bag(&mut typed, source, bag);
            (complete(&mut typed, source, album)?, Path::new(""))
        }
    };
    finish(typed, album, folder, source)
}

/// Reads an album around a leaf whose bag is left open: what the ruler is if nothing is said, is
/// read off a size.
pub(super) fn open(
    mut typed: Typed,
    verb: &str,
    source: &Source,
    size: &str,
) -> Result<Input, Stop> {
    let without_a_bag = ["--ruler", "--hole", "--edge"];
    let of_the_bag = source.of_the_bag();
    let stray = of_the_bag
        .iter()
        .find(|(option, said)| said.is_some() && !without_a_bag.contains(option));
    if let Some((option, _)) = stray {
        let message = format!("`{option}` goes with `--bag`. Leave it out");
        return Err(usage(verb, &message));
    }
    let any = Interval::exact(Length::from_nm(1_000 * Length::MM.nm()));
    let any = Sides {
        width: any,
        gusset: None,
        height: any,
    };
    let album = around(&mut typed, source, size, Some(any));
    let mut album = complete(&mut typed, source, album)?;
    album.supplies.bags.clear();
    finish(typed, album, Path::new(""), source)
}

/// An album that was made of options; what else is wrong in them is reported at once.
fn complete(typed: &mut Typed, source: &Source, album: Option<Album>) -> Result<Album, Stop> {
    album.ok_or_else(|| {
        typed.settings(&source.set);
        std::mem::take(typed).stop()
    })
}

/// With what is set on the command line, and with its style.
fn finish(
    mut typed: Typed,
    mut album: Album,
    folder: &Path,
    source: &Source,
) -> Result<Input, Stop> {
    for (name, value) in typed.settings(&source.set) {
        album.set.retain(|(before, _)| before.value != name.value);
        album.set.push((name, value));
    }
    if !typed.faults.is_empty() {
        return Err(typed.stop());
    }
    let mut load = |path: &str| disk::bytes(&folder.join(path));
    let style = style::named::read_for(&mut typed.files, &album, &mut load);
    let style = sound(&mut typed, style)?;
    if source.album.is_none() {
        of_kind(&mut album, &style, source)?;
    }
    if let Some(count) = source.pull_outs {
        pull_outs(&mut album, &style, count);
    }
    Ok(Input {
        files: typed.files,
        album,
        style,
    })
}

/// What goes into the one leaf of a typed bag, if its kind has a place and sizes for it.
fn of_kind(album: &mut Album, style: &Style, source: &Source) -> Result<(), Stop> {
    if style.leaf_frame().is_none() && !style.parts.is_empty() {
        let why = "no part of this kind of album is made of a bag. Name an album file instead";
        return Err(Stop::Told(why.to_owned()));
    }
    let sizes = |head: &str| style.unknowns.iter().any(|it| it.name.head() == head);
    if !sizes("photo") {
        let of_photos = [
            ("--photo-shape", &source.photo_shape),
            ("--print", &source.print),
        ];
        if let Some((option, _)) = of_photos.iter().find(|(_, said)| said.is_some()) {
            let why = "this kind of album holds no photos. Leave it out";
            return Err(Stop::Told(format!("{option}: {why}")));
        }
        album.prefer.clear();
    }
    for leaf in &mut album.leaves {
        if style.usual_place().is_empty() || !sizes("insert") {
            leaf.inserts.clear();
            album.prefer.clear();
        }
        for insert in leaf.inserts.iter_mut().filter(|_| !sizes("photo")) {
            (insert.name, insert.photo) = ("card".to_owned(), None);
        }
    }
    Ok(())
}

/// So many pull-outs in the one leaf of a typed bag, each alike; where its gusset parts the mouth into
/// slots, into one slot after the other.
fn pull_outs(album: &mut Album, style: &Style, count: u64) {
    let place = style.usual_place();
    let slots = style.slots().filter(|(_, slot)| slot.place == place);
    let sections: Vec<&String> = slots
        .filter_map(|(_, slot)| slot.section.as_ref())
        .collect();
    let parted = album.supplies.bags.iter().all(|bag| bag.gusset.is_some());
    for leaf in &mut album.leaves {
        let Some(first) = leaf.inserts.first().cloned() else {
            continue;
        };
        let of = |at: u64| {
            let name = match at {
                0 => first.name.clone(),
                _ => format!("{}_{}", first.name, at + 1),
            };
            let mut in_turn = sections.iter().cycle().skip(at as usize);
            let section = in_turn.next().filter(|_| parted && count > 1);
            Insert {
                name,
                goes: first.goes.with(place.to_owned()),
                section: section.map(|section| first.goes.with((*section).clone())),
                ..first.clone()
            }
        };
        leaf.inserts = (0..count).map(of).collect();
        let photo = |insert: &Insert| format!("largest {}.photo", insert.name);
        let wanted = leaf.inserts.iter().map(photo);
        album.prefer = wanted.map(|wish| first.goes.with(wish)).collect();
    }
}

/// Only the style of an album, or the first one that is shipped.
pub(super) fn style(verb: &str, source: &Source) -> Result<Style, Stop> {
    if source.album.is_some() || source.bag.is_some() {
        return read(verb, source).map(|input| input.style);
    }
    named(source.style.as_deref().unwrap_or(shipped::SHIPPED[0].0))
}

/// A style by its name or its file, as it is typed.
pub(super) fn named(named: &str) -> Result<Style, Stop> {
    let mut typed = Typed::default();
    let said = typed.said("--style", named);
    let named = said.with(StyleName::written(named));
    let mut load = |path: &str| disk::bytes(Path::new(path));
    let style = style::named::read(&mut typed.files, &named, &mut load);
    sound(&mut typed, style)
}

fn from_file(typed: &mut Typed, path: &Path, folder: &Path) -> Result<Album, Stop> {
    let name = path.display().to_string();
    let bytes = match disk::bytes(path) {
        Ok(bytes) => bytes,
        Err(why) => {
            let place = Place::new(typed.files.add(&name, ""), 0, 0);
            let inside = path.join("album.toml");
            let help = match inside.is_file() {
                true => format!("name the file in it: `{}`", inside.display()),
                false => {
                    "look at the name; `tuckwright new DIR` makes an album to start from".to_owned()
                }
            };
            typed.faults.tell(place, OptionError::Path { why, help });
            return Err(std::mem::take(typed).stop());
        }
    };
    from_bytes(typed, name, bytes, folder)
}

/// Reads an album anew whose file is to have this text.
pub(super) fn again(source: &Source, path: &Path, text: &str) -> Result<Input, Stop> {
    let mut typed = Typed::default();
    let folder = path.parent().unwrap_or(Path::new(""));
    let (name, bytes) = (path.display().to_string(), text.as_bytes().to_vec());
    let album = from_bytes(&mut typed, name, bytes, folder)?;
    finish(typed, album, folder, source)
}

fn from_bytes(
    typed: &mut Typed,
    name: String,
    bytes: Vec<u8>,
    folder: &Path,
) -> Result<Album, Stop> {
    let file = typed.decoded(name, bytes);
    let file = file.ok_or_else(|| std::mem::take(typed).stop())?;
    let mut load = |path: &str| disk::bytes(&folder.join(path));
    let album = program::read_album(&mut typed.files, file, &mut load);
    sound(typed, album)
}

fn sound<T>(typed: &mut Typed, read: Result<T, Faults>) -> Result<T, Stop> {
    read.map_err(|faults| {
        typed.faults.extend(faults);
        std::mem::take(typed).stop()
    })
}
