//! Sentences as facts: words, lengths, names; a writer turns them into letters. Imports `length`.

use crate::length::Interval;

/// One piece of a sentence.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Piece {
    Words(String),
    Length(Interval),
    /// A length that is only derived, and none to cut to.
    About(Interval),
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
        Phrase::default().and(text)
    }

    fn with(mut self, piece: Piece) -> Phrase {
        self.0.push(piece);
        self
    }

    pub fn and(self, text: impl Into<String>) -> Phrase {
        let text = text.into();
        match text.is_empty() {
            true => self,
            false => self.with(Piece::Words(text)),
        }
    }

    pub fn length(self, value: Interval) -> Phrase {
        self.with(Piece::Length(value))
    }

    pub fn about(self, value: Interval) -> Phrase {
        self.with(Piece::About(value))
    }

    pub fn size(self, width: Interval, height: Interval) -> Phrase {
        self.with(Piece::Size(width, height))
    }

    pub fn lengths(self, all: Vec<Interval>) -> Phrase {
        self.with(Piece::Lengths(all))
    }

    pub fn name(self, name: &str) -> Phrase {
        self.with(Piece::Names(vec![name.to_owned()]))
    }

    pub fn then(mut self, other: Phrase) -> Phrase {
        self.0.extend(other.0);
        self
    }

    /// Whether nothing is said.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// Several with the same words between them.
    pub fn joined(all: impl IntoIterator<Item = Phrase>, between: &str) -> Phrase {
        let mut joined = Phrase::default();
        for (n, phrase) in all.into_iter().enumerate() {
            let before = if n == 0 { "" } else { between };
            joined = joined.and(before).then(phrase);
        }
        joined
    }
}
