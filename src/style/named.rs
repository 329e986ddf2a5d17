//! The style that an album names: one that is shipped, or a file of the maker's own.
//!
//! Nothing here opens a file: the caller fetches what is named. May import `text` and `album`.

use super::{Style, shipped, text};
use crate::album::text::Load;
use crate::album::{Album, AlbumError, StyleName};
use crate::text::{self as files, Fault, Faults, Files, Problem, Said, TextError};
use std::path::Path;

/// Reads a style by the name that an album has for it; `load` fetches a path as the album says it.
///
/// # Errors
///
/// Everything that is wrong in it and in what it includes.
pub fn read(
    files: &mut Files,
    named: &Said<StyleName>,
    load: &mut Load<'_>,
) -> Result<Style, Faults> {
    asked(files, named, load, None)
}

/// Reads the style of an album, without files that it takes over only if they are asked for: they are, if
/// the album names a part, a size or a quantity of theirs. All of them, if it names what no file has, so that
/// an error lists all that there is.
///
/// # Errors
///
/// Everything that is wrong in it and in what it includes.
pub fn read_for(files: &mut Files, album: &Album, load: &mut Load<'_>) -> Result<Style, Faults> {
    let names = names(album);
    let asks = |text: &str| {
        let is_there = |(name, kind): &(&str, Named)| match kind {
            Named::Quantity => text.contains(&format!("\n{name} ")),
            Named::Part => text.contains(&format!("name = \"{name}\"")),
        };
        names.iter().any(is_there)
    };
    let style = asked(files, &album.style, load, Some(&asks))?;
    let is_known = |(name, kind): &(&str, Named)| match kind {
        Named::Quantity => style.quantity(name).is_some(),
        Named::Part => style.has_part(name) || style.of_album_called(name).next().is_some(),
    };
    match style.whole.is_some() && !names.iter().all(is_known) {
        true => read(files, &album.style, load),
        false => Ok(style),
    }
}

/// What an album may name of its style.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Named {
    Quantity,
    Part,
}

/// Parts and quantities that an album speaks of: what [`read_for`] leaves out hangs on them alone.
pub fn names(album: &Album) -> Vec<(&str, Named)> {
    let leaves = album.leaves.iter().flat_map(|leaf| &leaf.named);
    let parts = leaves
        .chain(&album.own.named)
        .map(|said| (said, Named::Part));
    let set = album.set.iter().map(|(said, _)| (said, Named::Quantity));
    parts
        .chain(set)
        .map(|(said, kind)| (said.value.as_str(), kind))
        .collect()
}

fn asked(
    files: &mut Files,
    named: &Said<StyleName>,
    load: &mut Load<'_>,
    asked: Option<&dyn Fn(&str) -> bool>,
) -> Result<Style, Faults> {
    let place = named.place;
    let file: Result<u32, Box<dyn Fault>> = match &named.value {
        StyleName::Shipped(name) => match shipped::shipped(name) {
            Some(text) => Ok(files.add(format!("style {name}"), text)),
            None => Err(Box::new(
                TextError::NoChoice {
                    key: "style".to_owned(),
                    written: name.clone(),
                    options: shipped::SHIPPED.iter().map(|(name, _)| *name).collect(),
                }
                .at(place),
            )),
        },
        StyleName::File(path) => match load(path) {
            Ok(bytes) => {
                let decoded = files::decode(files, path.as_str(), bytes);
                decoded.map_err(|fault| Box::new(fault) as Box<dyn Fault>)
            }
            Err(reason) => Err(Box::new(
                AlbumError::NoFile {
                    path: path.clone(),
                    reason,
                }
                .at(place),
            )),
        },
    };
    let file = file.map_err(|fault| vec![fault])?;
    let beside = match &named.value {
        StyleName::File(path) => Path::new(path).parent(),
        StyleName::Shipped(_) => None,
    };
    let mut included = |path: &str| match beside {
        Some(folder) => load(&folder.join(path).to_string_lossy()),
        None => Err("a shipped style includes no files".to_owned()),
    };
    text::read_asked(files, file, &mut included, asked)
}
