//! What the tests and benches over varied albums share.

#![allow(dead_code)]

pub mod bags;
pub mod dice;
pub mod vary;

use std::fs;
use std::path::Path;
use tuckwright::album::{self, Album};
use tuckwright::style::{self, Style};
use tuckwright::text::{self, Files, Look};

/// The text of the style that is shipped.
pub const UPRIGHT: &str = include_str!("../../models/styles/upright.toml");
/// What it takes over.
pub const ALSO: [(&str, &str); 2] = [
    (
        "extras.toml",
        include_str!("../../models/styles/extras.toml"),
    ),
    (
        "closures.toml",
        include_str!("../../models/styles/closures.toml"),
    ),
];

/// The style that is shipped.
pub fn upright() -> Style {
    style(UPRIGHT)
}

/// Kinds of album beside the first, each with its demo album.
pub const KINDS: [(&str, &str); 5] = [
    ("boards", "harbour"),
    ("foreedge", "ferry-tickets"),
    ("envelope", "letters"),
    ("signature", "quay-songs"),
    ("concertina", "seven-stops"),
];

/// A shipped kind.
pub fn kind(name: &str) -> Style {
    style(style::shipped::shipped(name).expect("it is shipped"))
}

/// Reads a style.
pub fn style(words: &str) -> Style {
    style_with(words, &[])
}

/// Reads a style with the files beside it that it takes over.
pub fn style_with(words: &str, others: &[(&str, String)]) -> Style {
    let mut files = Files::default();
    let file = files.add("style.toml", words);
    let mut load = |path: &str| {
        let text = others.iter().find(|(name, _)| *name == path);
        let text = text.map(|(_, text)| text.clone().into_bytes());
        text.ok_or_else(|| format!("{path} is not here"))
    };
    match style::text::read_with(&mut files, file, &mut load) {
        Ok(style) => style,
        Err(faults) => panic!("{}", text::render(&files, &faults, Look::Plain)),
    }
}

/// Reads an album that names no files.
pub fn read(words: &str) -> Album {
    let mut files = Files::default();
    let file = files.add("album.toml", words);
    let mut load = |path: &str| Err(format!("{path} is not here"));
    match album::text::read(&mut files, file, &mut load) {
        Ok(album) => album,
        Err(faults) => panic!("{words}\n{}", text::render(&files, &faults, Look::Plain)),
    }
}

/// The varied album of a number.
pub fn varied(seed: u64) -> Album {
    read(&vary::album(seed))
}

/// An album that is shipped, with its supplies.
pub fn shipped(name: &str) -> Album {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("models/albums");
    let words =
        fs::read_to_string(folder.join(name).with_extension("toml")).expect("it is shipped");
    let mut files = Files::default();
    let file = files.add(name, words);
    let mut load = |path: &str| fs::read(folder.join(path)).map_err(|error| error.to_string());
    match album::text::read(&mut files, file, &mut load) {
        Ok(album) => album,
        Err(faults) => panic!("{}", text::render(&files, &faults, Look::Plain)),
    }
}
