//! From what is typed to an album and its style.
//!
//! An option is read as a file of its own, called by the option's name, so that what is wrong in it
//! is shown like what is wrong in an album.

use super::bag::{around, from_bag};
use super::{Input, Source, Stop, disk, usage};
use crate::album::{self, Album, StyleName, Value};
use crate::length::{
    Interval, Length, LengthError, Ruler, Unit, parse_interval, parse_size, written_unit,
};
use crate::style::{self, Style, shipped};
use crate::text::{self, Fault, Faults, Files, Limits, Place, Said, TextError, found, within};
use clap::error::ErrorKind;
use std::path::Path;

pub(super) const BAGS: Limits = Limits::up_to_mm(2_000);
pub(super) const HOLES: Limits = Limits::up_to_mm(1_000);
const THINGS: Limits = Limits::up_to_mm(3_000);
pub(super) const ANY: Limits = Limits::up_to_mm(3_000).or_nothing();

/// What is wrong with an option beside what it measures.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub(super) enum OptionError {
    #[error("{why}")]
    Path {
        place: Place,
        why: String,
        help: Option<String>,
    },
    #[error("`{written}` sets nothing")]
    Set { place: Place, written: String },
    #[error("`{written}` is no shape")]
    Shape { place: Place, written: String },
    #[error("`{name}` is set twice")]
    SetTwice { place: Place, name: String },
    #[error("no bag has a `{written}` bottom")]
    Bottom { place: Place, written: String },
    #[error("a bag with a pinch bottom has no gusset at its sides")]
    PinchGusset { place: Place },
    #[error("a bag with a block bottom has a gusset at its sides")]
    BlockFlat { place: Place },
    #[error("`--pocket-depth` goes with `--pocket`")]
    DepthAlone { place: Place },
}

impl Fault for OptionError {
    fn place(&self) -> Place {
        match self {
            OptionError::Path { place, .. }
            | OptionError::Set { place, .. }
            | OptionError::Shape { place, .. }
            | OptionError::SetTwice { place, .. }
            | OptionError::Bottom { place, .. }
            | OptionError::PinchGusset { place }
            | OptionError::BlockFlat { place }
            | OptionError::DepthAlone { place } => *place,
        }
    }

    fn label(&self) -> String {
        match self {
            OptionError::Path { .. } => "named here".to_owned(),
            OptionError::SetTwice { .. } => "set again".to_owned(),
            _ => "here".to_owned(),
        }
    }

    fn help(&self) -> Option<String> {
        Some(match self {
            OptionError::Path { help, .. } => return help.clone(),
            OptionError::Set { .. } => {
                "type a name, `=` and a value: `--set caption_strip=\"3/4 in\"`; `tuckwright rules --names` lists the names".to_owned()
            }
            OptionError::Shape { .. } => "type two sides, like `2:3`".to_owned(),
            OptionError::SetTwice { .. } => "leave one of them out".to_owned(),
            OptionError::Bottom { written, .. } => {
                text::meant(written, ["block", "pinch"])
            }
            OptionError::PinchGusset { .. } => {
                "leave the gusset out of `--bag`, or type `--bottom block`".to_owned()
            }
            OptionError::BlockFlat { .. } => {
                "measure the gusset, the depth of its side, opened: `--bag \"5 x 3 x 8 in\"`".to_owned()
            }
            OptionError::DepthAlone { .. } => {
                "type the height of the pocket's edge too: `--pocket \"3 in\"`".to_owned()
            }
        })
    }
}

/// Options, each as a file of its own.
#[derive(Default)]
pub(super) struct Typed {
    pub files: Files,
    pub faults: Faults,
}

impl Typed {
    /// With the files that were read before.
    pub fn over(files: &mut Files) -> Typed {
        Typed {
            files: std::mem::take(files),
            faults: Faults::new(),
        }
    }

    /// The files, where nothing is wrong.
    pub fn done(self) -> Result<Files, Stop> {
        match self.faults.is_empty() {
            true => Ok(self.files),
            false => Err(self.stop()),
        }
    }

    /// Width and height of a thing.
    pub fn size(&mut self, option: &str, text: &str) -> Option<(Interval, Interval)> {
        let said = self.said(option, text);
        self.size_of(option, &said)
    }

    /// Width and height in a part of an option.
    pub fn size_of(&mut self, option: &str, said: &Said<String>) -> Option<(Interval, Interval)> {
        let (width, height) = self.read(said, parse_size(&said.value))?;
        let sane = [width, height]
            .iter()
            .all(|side| self.sane(option, said, *side, THINGS));
        sane.then_some((width, height))
    }

    /// A line of a file of which no more is kept.
    pub fn file(&mut self, name: &str, text: &str, line: usize) -> u32 {
        self.files.add_from_line(name, text, line)
    }

    /// The number of a file that holds text; nothing, and told, where it does not.
    pub fn decoded(&mut self, name: String, bytes: Vec<u8>) -> Option<u32> {
        match text::decode(&mut self.files, name, bytes) {
            Ok(file) => Some(file),
            Err(fault) => {
                found(&mut self.faults, fault);
                None
            }
        }
    }

    /// Reads one of the files.
    pub fn read_with(&mut self, read: impl FnOnce(&Files, &mut Faults)) {
        read(&self.files, &mut self.faults);
    }

    /// The line of a place.
    pub fn line(&self, place: Place) -> usize {
        self.files.line(place)
    }

    pub fn said(&mut self, option: &str, text: &str) -> Said<String> {
        let file = self.files.add(option, text);
        Said {
            value: text.to_owned(),
            place: Place::new(file, 0, text.len()),
        }
    }

    pub fn read<T>(&mut self, said: &Said<String>, read: Result<T, LengthError>) -> Option<T> {
        match read {
            Ok(value) => Some(value),
            Err(error) => {
                let place = said.part(error.range());
                found(&mut self.faults, TextError::Length { place, error });
                None
            }
        }
    }

    pub fn sane(
        &mut self,
        option: &str,
        said: &Said<String>,
        length: Interval,
        limits: Limits,
    ) -> bool {
        within(option, said, length, limits, &mut self.faults)
    }

    pub fn length(
        &mut self,
        option: &str,
        text: &Option<String>,
        limits: Limits,
    ) -> Option<Said<Interval>> {
        let said = self.said(option, text.as_ref()?);
        let length = self.read(&said, parse_interval(&said.value))?;
        self.sane(option, &said, length, limits)
            .then(|| said.with(length))
    }

    fn settings(&mut self, texts: &[String]) -> Vec<(Said<String>, Said<Value>)> {
        let mut all: Vec<(Said<String>, Said<Value>)> = Vec::new();
        for text in texts {
            let said = self.said("--set", text);
            let Some((name, value)) = text
                .split_once('=')
                .filter(|(name, _)| !name.trim().is_empty())
            else {
                let (place, written) = (said.place, text.clone());
                found(&mut self.faults, OptionError::Set { place, written });
                continue;
            };
            let part = |range: std::ops::Range<usize>| Said {
                value: text[range.clone()].to_owned(),
                place: said.part(range),
            };
            let starts = name.len() - name.trim_start().len();
            let key = part(starts..starts + name.trim().len());
            let written = part(text.len() - value.len()..text.len());
            let Some(value) = self.read(&written, style::text::value(&written.value)) else {
                continue;
            };
            if let Value::Length(length) = value
                && !self.sane(&key.value, &written, length, ANY)
            {
                continue;
            }
            if all.iter().any(|(before, _)| before.value == key.value) {
                let (place, name) = (key.place, key.value);
                found(&mut self.faults, OptionError::SetTwice { place, name });
                continue;
            }
            all.push((key, written.with(value)));
        }
        all
    }

    pub fn stop(self) -> Stop {
        Stop::Faults(Box::new(self.files), self.faults)
    }
}

/// Reads the album and its style.
pub(super) fn read(verb: &str, source: &Source) -> Result<Input, Stop> {
    read_beside(Typed::default(), verb, source)
}

/// Reads the album and its style beside options that were read before.
pub(super) fn read_beside(mut typed: Typed, verb: &str, source: &Source) -> Result<Input, Stop> {
    let (album, folder) = match (&source.album, &source.bag) {
        (Some(_), Some(_)) => {
            let message = "an album file and `--bag` are two albums: leave one of them out";
            return Err(usage(verb, ErrorKind::ArgumentConflict, message.to_owned()));
        }
        (None, None) => {
            let message = "name an album file, or type the bag: `--bag \"5 1/8 x 8 1/2 in\"`";
            return Err(usage(
                verb,
                ErrorKind::MissingRequiredArgument,
                message.to_owned(),
            ));
        }
        (Some(path), None) => {
            if let Some((option, _)) = source.of_the_bag().iter().find(|(_, said)| said.is_some()) {
                let message =
                    format!("`{option}` goes with `--bag`: in an album file, say it there");
                return Err(usage(verb, ErrorKind::ArgumentConflict, message));
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
        let message = format!("`{option}` goes with `--bag`");
        return Err(usage(verb, ErrorKind::ArgumentConflict, message));
    }
    let any = Interval::exact(Length::from_nm(1_000 * Length::MM.nm()));
    let album = around(&mut typed, source, size, Some((any, None, any)));
    let mut album = complete(&mut typed, source, album)?;
    album.supplies.bags.clear();
    finish(typed, album, Path::new(""), source)
}

/// An album that was made of options; what else is wrong in them is told at once.
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
    let style = style_of(&mut typed, &album.style, folder)?;
    Ok(Input {
        files: typed.files,
        album,
        style,
    })
}

/// Only the style of an album, or the first one that is shipped.
pub(super) fn style(verb: &str, source: &Source) -> Result<Style, Stop> {
    if source.album.is_some() || source.bag.is_some() {
        return read(verb, source).map(|input| input.style);
    }
    let first = Said {
        value: StyleName::Shipped(shipped::SHIPPED[0].0.to_owned()),
        place: Place::default(),
    };
    style_of(&mut Typed::default(), &first, Path::new(""))
}

fn from_file(typed: &mut Typed, path: &Path, folder: &Path) -> Result<Album, Stop> {
    let name = path.display().to_string();
    let bytes = match disk::bytes(path) {
        Ok(bytes) => bytes,
        Err(why) => {
            let said = typed.said("ALBUM", &name);
            let inside = path.join("album.toml");
            let help = match inside.is_file() {
                true => format!("name the file in it: `{}`", inside.display()),
                false => {
                    "name an album file; `tuckwright new DIR` makes one to start from".to_owned()
                }
            };
            let (place, help) = (said.place, Some(help));
            found(&mut typed.faults, OptionError::Path { place, why, help });
            return Err(std::mem::take(typed).stop());
        }
    };
    let file = match text::decode(&mut typed.files, name, bytes) {
        Ok(file) => file,
        Err(fault) => {
            found(&mut typed.faults, fault);
            return Err(std::mem::take(typed).stop());
        }
    };
    let mut load = |path: &str| disk::bytes(&folder.join(path));
    album::text::read(&mut typed.files, file, &mut load).map_err(|faults| {
        typed.faults.extend(faults);
        std::mem::take(typed).stop()
    })
}

/// The ruler of a maker who writes measures in this unit.
pub(super) fn usual_ruler(written: &str) -> Option<Ruler> {
    match written_unit(written)? {
        Unit::Inch => Ruler::new(Length::from_nm(Length::INCH.nm() / 8), Unit::Inch),
        unit => Ruler::new(Length::MM, unit),
    }
}

fn style_of(typed: &mut Typed, named: &Said<StyleName>, folder: &Path) -> Result<Style, Stop> {
    let file = match &named.value {
        StyleName::Shipped(name) => match shipped::shipped(name) {
            Some(text) => Ok(typed.files.add(format!("style {name}"), text)),
            None => {
                let fault = TextError::NoChoice {
                    place: named.place,
                    key: "style".to_owned(),
                    written: name.clone(),
                    options: shipped::SHIPPED.iter().map(|(name, _)| *name).collect(),
                };
                Err(Box::new(fault) as Box<dyn Fault>)
            }
        },
        StyleName::File(path) => match disk::bytes(&folder.join(path)) {
            Ok(bytes) => text::decode(&mut typed.files, path.as_str(), bytes)
                .map_err(|fault| Box::new(fault) as Box<dyn Fault>),
            Err(reason) => Err(Box::new(album::AlbumError::NoFile {
                place: named.place,
                path: path.clone(),
                reason,
            }) as Box<dyn Fault>),
        },
    };
    let read = file.map_err(|fault| vec![fault]).and_then(|file| {
        let beside = match &named.value {
            StyleName::File(path) => folder.join(path).parent().map(Path::to_path_buf),
            StyleName::Shipped(_) => None,
        };
        let mut load = |path: &str| match &beside {
            Some(folder) => disk::bytes(&folder.join(path)),
            None => Err("a shipped style includes no files".to_owned()),
        };
        style::text::read_with(&mut typed.files, file, &mut load)
    });
    read.map_err(|faults| {
        typed.faults.extend(faults);
        std::mem::take(typed).stop()
    })
}
