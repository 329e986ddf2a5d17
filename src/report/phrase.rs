//! Sentences as letters, for a screen and for print: here their numbers get their form.

use super::handout::said;
use super::words::{about, capital, listed, plain, size, spaced};
use crate::length::Ruler;
use crate::plan::phrase::{Phrase, Piece};

/// As text for a screen.
pub fn screen(ruler: Ruler, phrase: &Phrase) -> String {
    let letters = |piece: &Piece| match piece {
        Piece::Words(text) => text.clone(),
        Piece::Length(value) => ruler.show_interval(*value),
        Piece::About(value) => about(ruler, *value),
        Piece::Size(width, height) => size(ruler, *width, *height),
        Piece::Lengths(all) => {
            let all: Vec<String> = all.iter().map(|it| ruler.show_interval(*it)).collect();
            listed(&all)
        }
        Piece::Names(names) => listed(&read(names)),
    };
    phrase.0.iter().map(letters).collect()
}

/// As text for a screen, with the maker's names as they are read.
pub fn plainly(ruler: Ruler, phrase: &Phrase) -> String {
    spaced(&screen(ruler, phrase))
}

/// As it is printed, with fractions of their own: `4⅜ in`.
pub(crate) fn print(ruler: Ruler, phrase: &Phrase) -> String {
    let letters = |piece: &Piece| match piece {
        Piece::Words(text) => text.clone(),
        Piece::Length(value) => said::length(ruler, *value),
        Piece::About(value) => about(ruler, *value),
        Piece::Size(width, height) => said::sized(ruler, *width, *height),
        Piece::Lengths(all) => {
            let all: Vec<String> = all.iter().map(|it| said::length(ruler, *it)).collect();
            listed(&all)
        }
        Piece::Names(names) => listed(&read(names)),
    };
    phrase.0.iter().map(letters).collect()
}

/// As it is printed, with the maker's names as they are read.
pub(crate) fn printed(ruler: Ruler, phrase: &Phrase) -> String {
    spaced(&print(ruler, phrase))
}

/// A whole sentence in print: it begins with a capital and ends with a full stop.
pub(crate) fn sentence(ruler: Ruler, phrase: &Phrase) -> String {
    let text = capital(&print(ruler, phrase));
    match text.ends_with(['.', '!', '?', ':']) {
        true => text,
        false => format!("{text}."),
    }
}

fn read(names: &[String]) -> Vec<String> {
    names.iter().map(|name| plain(name)).collect()
}
