//! What can be wrong with an album: as values; the words are in one place.

use thiserror::Error;

use crate::text::{Place, Problem};

/// Something wrong with an album.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum AlbumError {
    #[error("`{path}` cannot be read: {reason}")]
    NoFile { path: String, reason: String },
    #[error("`{path}` is listed twice")]
    FileTwice { path: String, first: Place },
    #[error("two {what} are named `{name}`")]
    NameTwice {
        /// `leaves`, `inserts of one leaf` or `papers of one piece`.
        what: &'static str,
        name: String,
        first: Place,
    },
    /// A place for a photo could not be told from another.
    #[error("a leaf cannot be named `{name}`: that is number {number} of `{of}`")]
    OneOfSeveral {
        name: String,
        of: String,
        number: i64,
        first: Place,
    },
    /// It would mean two things in a rule.
    #[error("an insert cannot be named `{name}`: that word has a meaning in the rules")]
    Reserved { name: String },
    /// It could not stand in a rule.
    #[error("`{name}` cannot be the name of {what}")]
    BadName { what: &'static str, name: String },
    #[error("`{name}` does not name a size")]
    BadSizeName { name: String },
    #[error("`{name}` is given twice")]
    SizeTwice { name: String, first: Place },
    #[error("`{key}` does not agree with the pattern `{pattern}`")]
    PatternClash {
        key: &'static str,
        pattern: &'static str,
        said_at: Place,
        /// What the pattern says, where it says one thing.
        fixes: Option<String>,
    },
    #[error("the punch `{punch}` makes {}", made(key, makes))]
    PunchClash {
        key: &'static str,
        punch: String,
        makes: String,
        said_at: Place,
    },
    /// `[[ring]]` lists the rings at hand, and TOML lets a key be only one thing.
    #[error("the album's ring belongs under `[template]`")]
    RingAtTop { name: String },
    #[error("there is only one paper to spread over")]
    SpreadOverOne,
    /// The named papers, with the most alike from each, are not enough.
    #[error("{papers} papers are too few for {pieces} pieces, with `spread` as it is")]
    SpreadTooThin {
        papers: usize,
        pieces: i64,
        needed: i64,
    },
    #[error("`{written}` is not the shape of a photo")]
    Shape { written: String },
    #[error("this leaf names no paper for `{name}`")]
    NoPiece { name: String },
    #[error("photos face each other in twos")]
    Pair,
    #[error("`{written}` is more than all of a photo")]
    Share { written: String },
    #[error("`{written}` of a price leaves nothing of it")]
    WholeShare { written: String },
    #[error("fees and margin come to {sum} of the price: no price leaves that")]
    NothingLeft { sum: String, below: String },
    #[error("`{written}` is neither a share of the price nor an amount of money")]
    Fee { written: String },
    #[error("`{written}` is not the end of a price")]
    End { written: String },
    #[error("`{written}` is not the size of a photo")]
    PhotoSize { written: String },
    #[error("a step takes from 0 to {most} minutes")]
    Minutes { most: i64 },
}

impl Problem for AlbumError {
    fn help(&self) -> Option<String> {
        use AlbumError as E;
        Some(match self {
            E::NoFile { .. } => {
                "look at the name; a file beside the album is named alone, like `supplies.toml`"
                    .to_owned()
            }
            E::FileTwice { path, .. } => format!("delete one `{path}`"),
            E::NameTwice { what, .. } if !what.starts_with("leaves") && !what.starts_with("inserts") => {
                "delete one of them".to_owned()
            }
            E::NameTwice { .. } | E::OneOfSeveral { .. } => {
                "give one of them another name".to_owned()
            }
            E::Reserved { name, .. } if matches!(name.as_str(), "photo" | "print") => {
                "type `name = \"photo_mat\"`".to_owned()
            }
            E::Reserved { name, .. } => format!("type `name = \"my_{name}\"`"),
            E::BadName { name, what, .. } => match plain(name) {
                Some(name) if *what == "an insert" => format!("type `name = \"{name}\"`"),
                Some(name) => format!("type `{name}`"),
                None => "type small letters, digits and `_`: `photo_mat`".to_owned(),
            },
            E::BadSizeName { .. } => {
                "type a thing and its measure: `\"front_mat.width\"`".to_owned()
            }
            E::SizeTwice { .. } => "delete one of them".to_owned(),
            E::PatternClash {
                key,
                fixes: Some(fixes),
                ..
            } => format!("delete `{key}`, or delete `pattern`: the pattern has {fixes}"),
            E::PatternClash { key, .. } => {
                format!("delete `{key}`, or delete `pattern`: the pattern has unequal spacings")
            }
            E::PunchClash { key, .. } => match *key {
                "pitch" => "delete `pitch`: the punch says it; or delete `punch`, and punch hole by hole".to_owned(),
                "edge" => "delete `edge`: the punch says it; or name another punch".to_owned(),
                key => format!("delete `{key}`: a hole is as large as its punch makes it; or name another punch"),
            },
            E::RingAtTop { name, .. } => format!("type `ring = \"{name}\"` below `[template]`"),
            E::SpreadOverOne => {
                "list several papers for one piece, `[\"wave print\", \"sand plain\"]`, or delete `spread`".to_owned()
            }
            E::SpreadTooThin { needed, .. } => {
                format!("type `spread = {needed}` or `spread = true`, or list more papers")
            }
            E::WholeShare { .. } => "type a share below 100 %, like `40 %`".to_owned(),
            E::NothingLeft { below, .. } => format!(
                "type smaller ones: the margin stays below {below}; a margin is a share of the price, a `markup` one of the costs"
            ),
            E::Fee { .. } => "type `6.5 %` or `0.30`".to_owned(),
            E::End { .. } => "type its last digits with two behind the point, like `.50` or `9.95`".to_owned(),
            E::Minutes { .. } => "type a whole number of minutes, like `20`".to_owned(),
            E::Shape { .. } => "type it like `shape = \"2:3\"`".to_owned(),
            E::NoPiece { name, .. } => format!("give it one, `{name} = \"garden pad\"`, or leave it out of `match`"),
            E::PhotoSize { .. } => "type its pixels, `4032 x 3024`, its sides, `6 x 4 in`, or its shape, `3:2`".to_owned(),
            E::Pair => "type two names: `facing = [[\"boat\", \"harbour\"]]`".to_owned(),
            E::Share { .. } => "type a share up to `most_cut = \"100 %\"`".to_owned(),
        })
    }

    fn also(&self) -> Vec<(Place, String)> {
        match self {
            AlbumError::FileTwice { first, .. } => vec![(*first, "it is listed first".to_owned())],
            AlbumError::NameTwice { first, .. } => {
                vec![(*first, "the first one is named".to_owned())]
            }
            AlbumError::OneOfSeveral { of, first, .. } => {
                vec![(*first, format!("there are several of `{of}`"))]
            }
            AlbumError::SizeTwice { first, .. } => vec![(*first, "it is also given".to_owned())],
            AlbumError::PatternClash { said_at, .. } => {
                vec![(*said_at, "the pattern is named".to_owned())]
            }
            AlbumError::PunchClash { said_at, .. } => {
                vec![(*said_at, "the punch is described".to_owned())]
            }
            _ => Vec::new(),
        }
    }
}

/// What a punch makes, by the key of a template.
fn made(key: &str, makes: &str) -> String {
    match key {
        "diameter" => format!("holes of {makes}"),
        "edge" => format!("holes {makes} from the edge"),
        _ => format!("holes {makes} apart"),
    }
}

/// A name in small letters, digits and `_`, if anything is left of it.
fn plain(name: &str) -> Option<String> {
    let words: String = name
        .to_lowercase()
        .chars()
        .map(|c| if c.is_ascii_alphanumeric() { c } else { ' ' })
        .collect();
    let joined: Vec<&str> = words.split_whitespace().collect();
    let joined = joined.join("_");
    joined
        .starts_with(|c: char| c.is_ascii_lowercase())
        .then_some(joined)
}
