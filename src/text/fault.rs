//! What is wrong with a file, and the words for it that several readers share.

use std::fmt;

use super::{Finds, Item, Node, Place, Problem, nearest};

/// Something wrong, and what mends it.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{what}")]
pub struct Wrong {
    what: String,
    help: Option<String>,
    also: Vec<(Place, String)>,
    of_file: bool,
}

impl Wrong {
    /// `help` is what to type instead.
    pub fn new(what: impl Into<String>, help: impl Into<String>) -> Wrong {
        Wrong::helped(what, Some(help.into()))
    }

    /// The same; nothing may be known that helps.
    pub(super) fn helped(what: impl Into<String>, help: Option<String>) -> Wrong {
        Wrong {
            what: what.into(),
            help,
            also: Vec::new(),
            of_file: false,
        }
    }

    /// Another place belongs to it: `words` are followed by "in line 3".
    #[must_use]
    pub fn also(mut self, place: Place, words: impl Into<String>) -> Wrong {
        self.also.push((place, words.into()));
        self
    }

    /// It is about the whole file.
    #[must_use]
    pub(super) fn of_file(self, of_file: bool) -> Wrong {
        Wrong { of_file, ..self }
    }

    /// A file says nothing; `example` is what it could begin with.
    pub fn nothing(example: &str) -> Wrong {
        let what = "the file is empty, or holds only remarks";
        Wrong::new(what, format!("begin with `{example}`")).of_file(true)
    }

    /// A file is not UTF-8: the place of a byte of it, counted from 0, and that byte.
    pub fn no_text(position: usize, byte: u8) -> Wrong {
        let what = format!("the file is not plain text (byte {position} is 0x{byte:02X})");
        Wrong::new(what, "save the file again as UTF-8 text")
    }

    /// A length that may not be zero.
    pub fn zero(key: &str) -> Wrong {
        Wrong::new(
            format!("`{key}` must be more than zero"),
            format!("measure it and type it, or delete `{key}` if there is none"),
        )
    }

    /// It is more than the most, `over`, or less than the least. `other` is the same number in the other unit,
    /// where that would do.
    pub fn out_of_range(
        key: &str,
        written: &str,
        limit: &str,
        over: bool,
        other: Option<String>,
    ) -> Wrong {
        let (end, more) = if over {
            ("most", "less")
        } else {
            ("least", "more")
        };
        let other = other.map(|other| format!("did you mean `{other}`? Else "));
        Wrong::new(
            format!("`{key}` is {written}; the {end} is {limit}"),
            format!("{}type `{limit}` or {more}", other.unwrap_or_default()),
        )
    }

    /// An insert is named by a word that would mean two things in a rule.
    pub fn reserved(name: &str) -> Wrong {
        let meaning = "that word has a meaning in the rules";
        let own = match name {
            "photo" | "print" => "photo_mat".to_owned(),
            _ => format!("my_{name}"),
        };
        Wrong::new(
            format!("an insert cannot be named `{name}`: {meaning}"),
            format!("type `name = \"{own}\"`"),
        )
    }

    /// None of the words that may stand there.
    pub fn no_choice(key: &str, written: &str, options: &[&str]) -> Wrong {
        let may = either(options);
        let help = match nearest(written, options.iter().copied()) {
            _ if options.len() == 1 => format!("type {may}"),
            Some(near) => format!("did you mean `{near}`? It may be {may}"),
            None => format!("it may be {may}"),
        };
        Wrong::new(format!("`{key}` cannot be `{written}`"), help)
    }
}

impl Problem for Wrong {
    fn help(&self) -> Option<String> {
        self.help.clone()
    }

    fn also(&self) -> Vec<(Place, String)> {
        self.also.clone()
    }

    fn of_file(&self) -> bool {
        self.of_file
    }
}

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

/// Tells that a value is not of the kind that it should be, if that was not told already. `example` is
/// what could stand there, unless what stands there only needs other quotes or brackets.
pub fn wrong(key: &str, item: &Item, wants: Kind, example: String, faults: &Finds) {
    if let Some(got) = Kind::of(item) {
        let got = match (wants, got) {
            (Kind::Tables, Kind::Table) => "a single table".to_owned(),
            _ => got.to_string(),
        };
        let example = meant_by(key, item, wants).unwrap_or(example);
        let help = match wants {
            Kind::LengthOrRatio => format!("type `{example}`, or a ratio without a unit"),
            _ => format!("type `{example}`"),
        };
        let what = format!("`{key}` should be {wants}; this is {got}");
        faults.tell(item.place, Wrong::new(what, help));
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
