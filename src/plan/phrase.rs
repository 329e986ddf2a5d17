//! Sentences as facts: words, lengths, names; a writer turns them into letters. Imports `length`.

use crate::length::Interval;

/// One piece of a sentence.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Piece {
    Words(String),
    Length(Interval),
    /// Width and height.
    Size(Interval, Interval),
    /// `a, b and c`.
    Lengths(Vec<Interval>),
    /// Names as the maker gave them.
    Names(Vec<String>),
}

/// A sentence, or a part of one.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Phrase(pub Vec<Piece>);

impl Phrase {
    /// Words alone.
    pub fn words(text: impl Into<String>) -> Phrase {
        Phrase(vec![Piece::Words(text.into())])
    }
}
