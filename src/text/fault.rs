//! What can be wrong with a file of any kind: as values; the words are in one place.

use std::fmt;

use thiserror::Error;

use super::{Fault, Faults, Item, MOST_BYTES, Node, Place, found, nearest};
use crate::length::LengthError;

/// What a value is, or should be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    Text,
    Length,
    LengthOrRatio,
    Size,
    Price,
    Whole,
    Decimal,
    Flag,
    Date,
    List,
    Texts,
    Table,
    Tables,
    /// `photo = true`, or a table that says more.
    FlagOrTable,
    /// `spread = true`, or how many.
    FlagOrWhole,
    /// One text, or a list of them.
    TextOrTexts,
}

impl Kind {
    /// What a value is; nothing if it was told to be wrong.
    pub fn of(item: &Item) -> Option<Kind> {
        Some(match item.node {
            Node::Text(_) => Kind::Text,
            Node::Whole { .. } => Kind::Whole,
            Node::Decimal { .. } => Kind::Decimal,
            Node::Flag(_) => Kind::Flag,
            Node::Date => Kind::Date,
            Node::List(_) => Kind::List,
            Node::Table(_) => Kind::Table,
            Node::Broken => return None,
        })
    }
}

impl fmt::Display for Kind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Kind::Text => "a text in quotes",
            Kind::Length => "a length in quotes",
            Kind::LengthOrRatio => "a length or a ratio, in quotes",
            Kind::Size => "two lengths in quotes",
            Kind::Price => "a price",
            Kind::Whole => "a whole number",
            Kind::Decimal => "a decimal number",
            Kind::Flag => "`true` or `false`",
            Kind::Date => "a date",
            Kind::List => "a list",
            Kind::Texts => "a list of texts",
            Kind::Table => "a table",
            Kind::Tables => "a list of tables",
            Kind::FlagOrTable => "`true`, `false` or a table",
            Kind::FlagOrWhole => "`true`, `false` or a whole number",
            Kind::TextOrTexts => "a text or a list of texts",
        })
    }
}

/// Something wrong with the text, the shape or a length of a file.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum TextError {
    #[error("the file has more than {MOST_BYTES} bytes, the most that is read")]
    TooLarge { place: Place },
    /// Not UTF-8.
    #[error("the file is not plain text: byte {position}, in line {line}, is 0x{byte:02X}")]
    NotText {
        place: Place,
        byte: u8,
        /// Counted from 0.
        position: usize,
        line: usize,
    },
    #[error("the file says nothing")]
    Nothing { place: Place, example: &'static str },
    #[error("{what}")]
    Syntax {
        place: Place,
        what: String,
        help: Option<String>,
    },
    #[error("`{key}` is said twice")]
    KeyTwice {
        place: Place,
        key: String,
        first: Option<Place>,
    },
    #[error("{of} has no `{key}`")]
    UnknownKey {
        place: Place,
        key: String,
        of: &'static str,
        known: Vec<&'static str>,
        /// It belongs at the top of an album.
        top: bool,
    },
    #[error("{of} needs `{key}`")]
    Missing {
        place: Place,
        of: &'static str,
        key: &'static str,
        example: &'static str,
    },
    #[error("`{key}` should be {wants}")]
    Wrong {
        place: Place,
        key: String,
        wants: Kind,
        got: Kind,
        example: String,
    },
    #[error("`{key}` has no unit")]
    BareNumber {
        place: Place,
        key: String,
        /// As it stands in the file.
        written: String,
    },
    #[error("{error}")]
    Length { place: Place, error: LengthError },
    #[error("`{key}` is {written}, and the {} is {limit}", if *.over { "most" } else { "least" })]
    OutOfRange {
        place: Place,
        key: String,
        written: String,
        /// With its unit.
        limit: String,
        /// It is more than the most, not less than the least.
        over: bool,
    },
    /// A length that may not be zero.
    #[error("`{key}` is zero, or may be")]
    Zero { place: Place, key: String },
    #[error("`{key}` cannot be `{written}`")]
    NoChoice {
        place: Place,
        key: String,
        written: String,
        options: Vec<&'static str>,
    },
    #[error("`{key}` is empty")]
    EmptyText { place: Place, key: String },
    #[error("`{key}` holds a character that is not seen: {sign}")]
    Unseen {
        place: Place,
        key: String,
        sign: String,
    },
    #[error("`{key}` has {letters} letters, and {most} is the most")]
    LongText {
        place: Place,
        key: String,
        letters: usize,
        most: usize,
    },
    #[error("`{written}` is no price")]
    Price { place: Place, written: String },
    /// Two keys of which only one may be said.
    #[error("`{key}` stands beside `{other}`")]
    Beside {
        place: Place,
        key: &'static str,
        other: &'static str,
        first: Place,
        why: &'static str,
    },
}

/// Tells that a value is not of the kind that it should be, if that was not told already.
pub fn wrong(key: &str, item: &Item, wants: Kind, example: String, faults: &mut Faults) {
    if let Some(got) = Kind::of(item) {
        found(
            faults,
            TextError::Wrong {
                place: item.place,
                key: key.to_owned(),
                wants,
                got,
                example,
            },
        );
    }
}

impl Fault for TextError {
    fn place(&self) -> Place {
        use TextError as E;
        match self {
            E::TooLarge { place }
            | E::NotText { place, .. }
            | E::Nothing { place, .. }
            | E::Syntax { place, .. }
            | E::KeyTwice { place, .. }
            | E::UnknownKey { place, .. }
            | E::Missing { place, .. }
            | E::Wrong { place, .. }
            | E::BareNumber { place, .. }
            | E::Length { place, .. }
            | E::OutOfRange { place, .. }
            | E::Zero { place, .. }
            | E::NoChoice { place, .. }
            | E::EmptyText { place, .. }
            | E::Unseen { place, .. }
            | E::LongText { place, .. }
            | E::Price { place, .. }
            | E::Beside { place, .. } => *place,
        }
    }

    fn label(&self) -> String {
        use TextError as E;
        match self {
            E::TooLarge { .. } | E::Nothing { .. } => String::new(),
            E::NotText { .. } => "not UTF-8".to_owned(),
            E::Syntax { .. } | E::Length { .. } => "here".to_owned(),
            E::KeyTwice { .. } => "said again".to_owned(),
            E::UnknownKey { .. } => "unknown".to_owned(),
            E::Missing { key, .. } => format!("without `{key}`"),
            E::Wrong { got, .. } => format!("this is {got}"),
            E::BareNumber { .. } => "inches or millimetres?".to_owned(),
            E::OutOfRange { over: true, .. } => "too much".to_owned(),
            E::OutOfRange { over: false, .. } => "too little".to_owned(),
            E::Zero { .. } => "more than zero is needed".to_owned(),
            E::NoChoice { .. } => "not one of its values".to_owned(),
            E::EmptyText { .. } => "empty".to_owned(),
            E::Unseen { .. } => "not seen".to_owned(),
            E::LongText { .. } => "too long".to_owned(),
            E::Price { .. } => "not a price".to_owned(),
            E::Beside { why, .. } => (*why).to_owned(),
        }
    }

    fn help(&self) -> Option<String> {
        use TextError as E;
        Some(match self {
            E::TooLarge { .. } => "name a text file that was written by hand".to_owned(),
            E::NotText { .. } => "save the file again as UTF-8 text".to_owned(),
            E::Nothing { example, .. } => format!("begin with `{example}`"),
            E::Syntax { help, .. } => return help.clone(),
            E::KeyTwice { key, .. } => format!(
                "delete one `{key}`, or begin the next thing with its own heading, like `[[bag]]`"
            ),
            E::UnknownKey {
                key,
                of,
                known,
                top,
                ..
            } => {
                if *top {
                    return Some(format!(
                        "move `{key}` to the top of the album, before its first heading in brackets"
                    ));
                }
                let meant = match nearest(key, known.iter().copied()) {
                    Some(near) => format!("did you mean `{near}`? "),
                    None => String::new(),
                };
                format!("{meant}{of} takes {}", listed(known))
            }
            E::Missing { example, .. } if example.starts_with("[[") => {
                format!("add a table that begins with `{example}`")
            }
            E::Missing { key, example, .. } => format!("add `{key} = {example}`"),
            E::Wrong {
                wants: Kind::LengthOrRatio,
                example,
                ..
            } => format!("type `{example}`; a ratio goes without a unit"),
            E::Wrong { example, .. } => format!("type `{example}`"),
            E::BareNumber { key, written, .. } => {
                format!("type `{key} = \"{written} in\"` or `{key} = \"{written} mm\"`")
            }
            E::Length { error, .. } => error.help(),
            E::OutOfRange { limit, over, .. } => {
                format!("type {limit} or {}", if *over { "less" } else { "more" })
            }
            E::Zero { key, .. } => {
                format!("measure it and type it; where there is none, leave `{key}` out")
            }
            E::NoChoice {
                written, options, ..
            } => {
                let meant = match nearest(written, options.iter().copied()) {
                    Some(near) => format!("did you mean `\"{near}\"`? "),
                    None => String::new(),
                };
                format!("{meant}it may be {}", either(options))
            }
            E::EmptyText { key, .. } => format!("type a text, or delete `{key}`"),
            E::Unseen { .. } => {
                "delete it with the letters beside it, and type those again".to_owned()
            }
            E::LongText { .. } => "shorten it".to_owned(),
            E::Price { .. } => "type it with a point and two decimals: `\"4.20\"`".to_owned(),
            E::Beside { key, other, .. } => format!("delete `{key}` or `{other}`"),
        })
    }

    fn also(&self) -> Vec<(Place, String)> {
        match self {
            TextError::KeyTwice {
                first: Some(first), ..
            } => vec![(*first, "said first".to_owned())],
            TextError::Beside { first, other, .. } => vec![(*first, format!("`{other}`"))],
            _ => Vec::new(),
        }
    }
}

/// `a`, `b` and `c`, each in backticks.
pub fn listed(words: &[impl AsRef<str>]) -> String {
    joined(words, "and")
}

/// `a`, `b` or `c`, each in backticks.
pub fn either(words: &[impl AsRef<str>]) -> String {
    joined(words, "or")
}

fn joined(words: &[impl AsRef<str>], last_with: &str) -> String {
    let words: Vec<String> = words
        .iter()
        .map(|word| format!("`{}`", word.as_ref()))
        .collect();
    match words.split_last() {
        None => "nothing".to_owned(),
        Some((last, [])) => last.clone(),
        Some((last, rest)) => format!("{} {last_with} {last}", rest.join(", ")),
    }
}
