//! What can be wrong with a file of any kind: as values; the words are in one place.

use std::fmt;

use thiserror::Error;

use super::lines::capital;
use super::{Finds, Item, MOST_BYTES, Node, Place, Problem, nearest};
use crate::length::LengthError;
use crate::money::MoneyError;

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

/// What stands there, as it looks to a maker.
fn got_for(wants: Kind, got: Kind) -> String {
    match (wants, got) {
        (Kind::Tables, Kind::Table) => "a single table".to_owned(),
        _ => got.to_string(),
    }
}

impl fmt::Display for Kind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Kind::Text => "a text in quotes",
            Kind::Length => "a length in quotes",
            Kind::LengthOrRatio => "a length or a ratio, in quotes",
            Kind::Size => "two lengths in quotes",
            Kind::Price => "an amount of money",
            Kind::Whole => "a whole number",
            Kind::Decimal => "a decimal number",
            Kind::Flag => "`true` or `false`",
            Kind::Date => "a date",
            Kind::List => "a list",
            Kind::Texts => "a list of texts",
            Kind::Table => "a table in braces",
            Kind::Tables => "a heading in double brackets",
            Kind::FlagOrTable => "`true`, `false` or a table in braces",
            Kind::FlagOrWhole => "`true`, `false` or a whole number",
            Kind::TextOrTexts => "a text or a list of texts",
        })
    }
}

/// Something wrong with the text, the shape or a length of a file.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum TextError {
    #[error("this file is too large: tuckwright reads up to {MOST_BYTES} bytes")]
    TooLarge,
    /// Not UTF-8.
    #[error("the file is not plain text (byte {position} is 0x{byte:02X})")]
    NotText {
        byte: u8,
        /// Counted from 0.
        position: usize,
    },
    #[error("the file is empty, or holds only remarks")]
    Nothing { example: &'static str },
    #[error("{what}")]
    Syntax { what: String, help: Option<String> },
    #[error("this {} is not closed", if *.list { "list" } else { "table" })]
    Unclosed { list: bool },
    #[error("`[{key}]` has single brackets, and there may be several")]
    SingleBrackets {
        key: String,
        /// Headings alike in the rest of the file.
        more: usize,
    },
    #[error("{of} has nothing in it")]
    Empty { of: &'static str, example: String },
    #[error("`{key}` stands here a second time")]
    KeyTwice { key: String, first: Option<Place> },
    #[error("{of} has no `{key}`")]
    UnknownKey {
        key: String,
        of: &'static str,
        known: Vec<&'static str>,
        /// It belongs at the top of an album.
        top: bool,
    },
    #[error("{of} needs `{key}`")]
    Missing {
        of: &'static str,
        key: &'static str,
        example: &'static str,
    },
    #[error("`{key}` should be {wants}; this is {}", got_for(*wants, *got))]
    Wrong {
        key: String,
        wants: Kind,
        got: Kind,
        example: String,
    },
    #[error("`{key}` has no unit")]
    BareNumber {
        key: String,
        /// As it stands in the file.
        written: String,
    },
    #[error("{error}")]
    Length { error: LengthError },
    #[error("`{key}` is {written}; the {} is {limit}", if *.over { "most" } else { "least" })]
    OutOfRange {
        key: String,
        written: String,
        /// With its unit.
        limit: String,
        /// It is more than the most, not less than the least.
        over: bool,
        /// The same number in the other unit, where that would do.
        other: Option<String>,
    },
    /// A length that may not be zero.
    #[error("`{key}` must be more than zero")]
    Zero { key: String },
    #[error("`{key}` cannot be `{written}`")]
    NoChoice {
        key: String,
        written: String,
        options: Vec<&'static str>,
    },
    #[error("`{key}` is empty")]
    EmptyText { key: String },
    #[error("`{key}` holds an invisible character: {sign}")]
    Unseen { key: String, sign: String },
    #[error("`{key}` has {letters} letters; the most is {most}")]
    LongText {
        key: String,
        letters: usize,
        most: usize,
    },
    #[error("`{written}` is not a price")]
    Price { written: String, why: MoneyError },
    /// Two keys of which only one may be said.
    #[error("`{key}` and `{other}` do not go together: {why}")]
    Beside {
        key: &'static str,
        other: &'static str,
        first: Place,
        why: &'static str,
    },
}

/// Tells that a value is not of the kind that it should be, if that was not told already. `example` is
/// what could stand there, unless what stands there only needs other quotes or brackets.
pub fn wrong(key: &str, item: &Item, wants: Kind, example: String, faults: &Finds) {
    if let Some(got) = Kind::of(item) {
        faults.tell(
            item.place,
            TextError::Wrong {
                key: key.to_owned(),
                wants,
                got,
                example: meant_by(key, item, wants).unwrap_or(example),
            },
        );
    }
}

/// A value as it was meant, where quotes or brackets are all that is wrong.
fn meant_by(key: &str, item: &Item, wants: Kind) -> Option<String> {
    let text = match &item.node {
        Node::Text(text) => text.trim(),
        Node::Whole { written, .. } | Node::Decimal { written } if wants == Kind::LengthOrRatio => {
            return Some(format!("{key} = \"{written} in\""));
        }
        _ => return None,
    };
    let meant = match wants {
        Kind::Whole | Kind::FlagOrWhole if text.parse::<u32>().is_ok() => text.to_owned(),
        Kind::Flag | Kind::FlagOrTable | Kind::FlagOrWhole => match &*text.to_lowercase() {
            "yes" | "on" | "true" => "true".to_owned(),
            "no" | "off" | "false" => "false".to_owned(),
            _ => return None,
        },
        Kind::Texts if !text.is_empty() && !text.contains(['"', '\\']) => format!("[\"{text}\"]"),
        _ => return None,
    };
    Some(format!("{key} = {meant}"))
}

impl Problem for TextError {
    fn help(&self) -> Option<String> {
        use TextError as E;
        Some(match self {
            E::TooLarge => "name an album, a style or a file of supplies".to_owned(),
            E::NotText { .. } => "save the file again as UTF-8 text".to_owned(),
            E::Nothing { example, .. } => format!("begin with `{example}`"),
            E::Syntax { help, .. } => return help.clone(),
            E::Unclosed { list: true } => "end it with `]`".to_owned(),
            E::Unclosed { list: false } => "end it with `}`".to_owned(),
            E::SingleBrackets { key, more: 0 } => format!("type `[[{key}]]`"),
            E::SingleBrackets { key, more: 1 } => {
                format!("type `[[{key}]]`, here and at the other one")
            }
            E::SingleBrackets { key, more } => {
                format!("type `[[{key}]]`, here and at the {more} others")
            }
            E::Empty { example, .. } => {
                format!("type what belongs to it, such as `{example}`, or delete it")
            }
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
                    Some(near) => format!("did you mean `{near}`? {} ", capital(of)),
                    None => format!("{of} "),
                };
                format!("{meant}may have {}", listed(known))
            }
            E::Missing { key, example, .. } if example.starts_with("[[") => {
                let none = format!("; a kind of album without any has a line `{key} = []`");
                let none = if *key == "leaf" { &none } else { "" };
                format!("add a line `{example}`, and what belongs to it below{none}")
            }
            E::Missing { key, example, .. } => format!("add `{key} = {example}`"),
            E::Wrong {
                wants: Kind::LengthOrRatio,
                example,
                ..
            } => format!("type `{example}`, or a ratio without a unit"),
            E::Wrong { example, .. } => format!("type `{example}`"),
            E::BareNumber { key, written, .. } => {
                format!("type `{key} = \"{written} in\"` or `{key} = \"{written} mm\"`")
            }
            E::Length { error, .. } => error.help(),
            E::OutOfRange {
                limit, over, other, ..
            } => {
                let other = match other {
                    Some(other) => format!("did you mean `{other}`? Else "),
                    None => String::new(),
                };
                format!(
                    "{other}type `{limit}` or {}",
                    if *over { "less" } else { "more" }
                )
            }
            E::Zero { key, .. } => {
                format!("measure it and type it, or delete `{key}` if there is none")
            }
            E::NoChoice { options, .. } if options.len() == 1 => {
                format!("type {}", either(options))
            }
            E::NoChoice {
                written, options, ..
            } => {
                let meant = match nearest(written, options.iter().copied()) {
                    Some(near) => format!("did you mean `{near}`? It "),
                    None => "it ".to_owned(),
                };
                format!("{meant}may be {}", either(options))
            }
            E::EmptyText { key, .. } => format!("type a text, or delete `{key}`"),
            E::Unseen { .. } => {
                "delete it with the letters beside it, and type those again".to_owned()
            }
            E::LongText { .. } => "shorten it".to_owned(),
            E::Price { why, .. } => why.to_string(),
            E::Beside { key, other, .. } => format!("delete `{key}` or `{other}`"),
        })
    }

    fn of_file(&self, place: Place) -> bool {
        use TextError as E;
        match self {
            E::TooLarge | E::Nothing { .. } => true,
            // What the whole file lacks, not one of its tables.
            E::Missing { .. } => place.is_empty() && place.start == 0,
            _ => false,
        }
    }

    fn also(&self) -> Vec<(Place, String)> {
        match self {
            TextError::KeyTwice {
                first: Some(first), ..
            } => vec![(*first, "it stands first".to_owned())],
            TextError::Beside { first, other, .. } => vec![(*first, format!("`{other}` stands"))],
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

/// A thing with its article.
pub fn a(thing: &str) -> String {
    let article = match thing.starts_with(['a', 'e', 'i', 'o', 'u']) {
        true => "an",
        false => "a",
    };
    format!("{article} {thing}")
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
