//! The style that an album names: one that is shipped, or a file of the maker's own.
//!
//! Nothing here opens a file: the caller fetches what is named. May import `text` and `album`.

use super::{Style, shipped, text};
use crate::album::text::Load;
use crate::album::{AlbumError, StyleName};
use crate::text::{self as files, Fault, Faults, Files, Said, TextError};
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
    let place = named.place;
    let file: Result<u32, Box<dyn Fault>> = match &named.value {
        StyleName::Shipped(name) => match shipped::shipped(name) {
            Some(text) => Ok(files.add(format!("style {name}"), text)),
            None => Err(Box::new(TextError::NoChoice {
                place,
                key: "style".to_owned(),
                written: name.clone(),
                options: shipped::SHIPPED.iter().map(|(name, _)| *name).collect(),
            })),
        },
        StyleName::File(path) => match load(path) {
            Ok(bytes) => {
                let decoded = files::decode(files, path.as_str(), bytes);
                decoded.map_err(|fault| Box::new(fault) as Box<dyn Fault>)
            }
            Err(reason) => Err(Box::new(AlbumError::NoFile {
                place,
                path: path.clone(),
                reason,
            })),
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
    text::read_with(files, file, &mut included)
}
