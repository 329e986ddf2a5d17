//! Why a style cannot be laid over an album.

use super::PlaceError;
use crate::scene::Lacks;
use crate::text::{At, Fault, Place, Wrong, ask, asked};

/// Why a style cannot be laid over an album.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum ExpandError {
    /// What nobody else asks after.
    #[error(transparent)]
    Wrong(#[from] At<Wrong>),
    #[error(transparent)]
    Place(#[from] PlaceError),
    #[error("rule `{rule}` needs `{name}`, which this album does not give")]
    Absent {
        rule: String,
        name: String,
        lacks: Absence,
        place: Place,
    },
    #[error("{leaf} has no {lacks} for {insert}")]
    Nowhere {
        lacks: String,
        /// The same for who can give it.
        missing: Lacks,
        insert: String,
        leaf: String,
        help: String,
        place: Place,
    },
    #[error("rule `{rule}` does not add up to lengths")]
    Kind { rule: String, place: Place },
    #[error("rule `{rule}` leads to numbers that are too large for any album")]
    TooLarge { rule: String, place: Place },
    #[error("rule `{rule}` sets a measure with `±` equal to something")]
    UncertainEqual { rule: String, place: Place },
    /// A line of the album's `prefer`.
    #[error(transparent)]
    Prefer(At<Wrong>),
}

/// What kind of name has no value.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Absence {
    /// A side of a piece of paper, and no size to be found.
    Side,
    /// The same of a part that is not here, in a rule with conditions or without.
    Part(bool),
    /// Something of a supply, where none is named to choose from: this table.
    Choice(String),
    /// Another one, in a rule with (`true`) or without conditions.
    Value(bool),
}

impl Fault for ExpandError {
    fn place(&self) -> Place {
        match self {
            ExpandError::Wrong(e) | ExpandError::Prefer(e) => e.place,
            ExpandError::Place(e) => e.place(),
            ExpandError::Absent { place, .. }
            | ExpandError::Nowhere { place, .. }
            | ExpandError::Kind { place, .. }
            | ExpandError::TooLarge { place, .. }
            | ExpandError::UncertainEqual { place, .. } => *place,
        }
    }

    fn also(&self) -> Vec<(Place, String)> {
        match self {
            ExpandError::Place(e) => e.also(),
            _ => Vec::new(),
        }
    }

    fn help(&self) -> Option<String> {
        Some(match self {
            ExpandError::Wrong(e) | ExpandError::Prefer(e) => return e.help(),
            ExpandError::Place(e) => return e.help(),
            ExpandError::Absent { name, lacks, .. } => match lacks {
                Absence::Side => {
                    format!("add an `[[unknown]]` with `name = \"{name}\"`: a size to be found")
                }
                Absence::Part(more) => {
                    let part = name
                        .rsplit_once('.')
                        .map_or(name.as_str(), |(part, _)| part);
                    asked(&format!("{part}.wanted"), *more)
                }
                Absence::Choice(from) => format!(
                    "{}, or add a `[[{}]]` to the supplies{}",
                    ask(name, false),
                    from.trim_end_matches('s'),
                    match from.as_str() {
                        "prints" => "; with `--bag` type `--print \"4 x 6 in\"`",
                        _ => "",
                    }
                ),
                Absence::Value(more) => {
                    format!("{}, or give `{name}` in the album", ask(name, *more))
                }
            },
            ExpandError::Kind { .. } => {
                "multiply a length by numbers only, and compare it with a length".into()
            }
            ExpandError::TooLarge { .. } => "look for a slip in a measure or a count".into(),
            ExpandError::UncertainEqual { .. } => {
                "type `<=` or `>=`, or give the measure without `±`".into()
            }
            ExpandError::Nowhere { help, .. } => help.clone(),
        })
    }
}
