//! Sentences as letters, for a screen and for print: here their numbers get their form.

use super::handout::said;
use super::words::{about, capital, length, listed, plain, size, spaced};
use crate::length::{Interval, Ruler};
use crate::plan::phrase::{Phrase, Piece};

/// As text for a screen.
pub fn screen(ruler: Ruler, phrase: &Phrase) -> String {
    letters(ruler, phrase, [length, about], size)
}

/// As text for a screen, with the maker's names as they are read.
pub fn plainly(ruler: Ruler, phrase: &Phrase) -> String {
    spaced(&screen(ruler, phrase))
}

/// As it is printed, with fractions of their own: `4⅜ in`.
pub(crate) fn print(ruler: Ruler, phrase: &Phrase) -> String {
    letters(ruler, phrase, [said::told, said::about], said::sized)
}

fn letters(
    ruler: Ruler,
    phrase: &Phrase,
    [length, about]: [fn(Ruler, Interval) -> String; 2],
    size: fn(Ruler, Interval, Interval) -> String,
) -> String {
    let letters = |piece: &Piece| match piece {
        Piece::Words(text) => text.clone(),
        Piece::Length(value) => length(ruler, *value),
        Piece::About(value) => about(ruler, *value),
        Piece::Size(width, height) => size(ruler, *width, *height),
        Piece::Lengths(all) => listed(&all.iter().map(|it| length(ruler, *it)).collect::<Vec<_>>()),
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
