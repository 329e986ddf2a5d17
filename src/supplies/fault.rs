//! What can be wrong with supplies: as values; the words are in one place.

use std::fmt;

use thiserror::Error;

use super::weight::WeightProblem;
use crate::text::{Place, Problem, either};

/// A kind of supply.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Kind {
    Bag,
    Paper,
    Print,
    Card,
    Ring,
    Punch,
    Parcel,
}

impl Kind {
    /// As it stands in a heading: `bag`.
    pub fn word(self) -> &'static str {
        match self {
            Kind::Bag => "bag",
            Kind::Paper => "paper",
            Kind::Print => "print",
            Kind::Card => "card",
            Kind::Ring => "ring",
            Kind::Punch => "punch",
            Kind::Parcel => "parcel",
        }
    }

    /// Several of them: `bags`.
    pub fn words(self) -> &'static str {
        match self {
            Kind::Bag => "bags",
            Kind::Paper => "papers",
            Kind::Print => "prints",
            Kind::Card => "cards",
            Kind::Ring => "rings",
            Kind::Punch => "punches",
            Kind::Parcel => "parcels",
        }
    }
}

impl fmt::Display for Kind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

/// Something wrong with what the maker has.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum SuppliesError {
    #[error("two designs are named `{name}`")]
    DesignTwice { name: String, first: Place },
    #[error("two {} are named `{name}`", kind.words())]
    NameTwice {
        kind: Kind,
        name: String,
        first: Place,
    },
    /// In two albums that are made together.
    #[error("two albums say different things of the {kind} `{name}`")]
    Differs {
        kind: Kind,
        name: String,
        first: Place,
    },
    /// A paper with a name that means something else in an album.
    #[error("a paper cannot be named `{name}`: that word has a meaning in an album")]
    Reserved { name: String },
    #[error("your supplies have no {kind} named `{name}`")]
    Unknown {
        kind: Kind,
        name: String,
        /// The name that was probably meant.
        near: Option<String>,
        /// The first few names, in the order of the files.
        known: Vec<String>,
        /// How many names there are besides.
        more: usize,
        /// Words that may stand here instead of a name.
        words: &'static [&'static str],
    },
    #[error("your supplies have nothing named `{name}` that comes in packs")]
    NotSold { name: String, near: Option<String> },
    #[error("a {kind} and a {other} are both named `{name}`: which one is in the pack is open")]
    Several {
        name: String,
        kind: Kind,
        other: Kind,
    },
    #[error("this pack has two prices")]
    TwoPrices { first: Place },
    /// A part is larger than the whole.
    #[error("`{key}` is larger than {other}")]
    Exceeds {
        key: &'static str,
        /// As a message says it: `the bag's height`.
        other: &'static str,
        whole: Place,
    },
    #[error("a bag with a block bottom needs `gusset`")]
    NoGusset,
    #[error("a bag with a pinch bottom has no gusset at its sides")]
    PinchGusset { gusset: Place },
    #[error("{problem}")]
    Weight { problem: WeightProblem },
    #[error("`bulk` needs a `weight` beside it")]
    BulkAlone,
    #[error("a parcel that is not soft has three sides inside")]
    FlatParcel,
    #[error("the padding fills the whole parcel")]
    AllPadding { inside: Place },
}

impl Problem for SuppliesError {
    fn help(&self) -> Option<String> {
        use SuppliesError as E;
        Some(match self {
            E::NameTwice { name, .. } | E::DesignTwice { name, .. } => {
                format!("give one of them another name than `{name}`")
            }
            E::Differs { .. } => {
                "name one file of supplies in both albums, or give one of them another name"
                    .to_owned()
            }
            E::Reserved { name, .. } => format!("type a name of your own, like `plain {name}`"),
            E::Unknown {
                near: Some(near), ..
            } => format!("did you mean `{near}`?"),
            E::Unknown {
                kind,
                known,
                more,
                words,
                ..
            } => {
                let or = match words {
                    [] => String::new(),
                    words => either(words),
                };
                let or = match (or.is_empty(), known.is_empty()) {
                    (true, _) => or,
                    (false, true) => format!(", or type {or}"),
                    (false, false) => format!(", or {or}"),
                };
                match (known.as_slice(), more) {
                    ([], 0) => format!("add a `[[{kind}]]` of that name{or}"),
                    (known, 0) => format!("type {}{or}", either(known)),
                    (known, more) => {
                        let known: Vec<_> = known.iter().map(|n| format!("`{n}`")).collect();
                        format!("type {} or one of {more} more{or}", known.join(", "))
                    }
                }
            }
            E::NotSold {
                near: Some(near), ..
            } => format!("did you mean `{near}`?"),
            E::NotSold { .. } => {
                "type the name of a bag, a paper, a print, a card or a ring".to_owned()
            }
            E::Several { .. } => "give one of them another name".to_owned(),
            E::TwoPrices { .. } => "delete the one that you would not pay".to_owned(),
            E::Exceeds { .. } => "measure both again".to_owned(),
            E::NoGusset => {
                "measure how deep its side is when the bag is open, and add it: `gusset = \"3 in\"`"
                    .to_owned()
            }
            E::PinchGusset { .. } => "delete `gusset`, or type `bottom = \"block\"`".to_owned(),
            E::Weight { problem, .. } => problem.help(),
            E::FlatParcel => {
                "type `inside = \"6 x 9 x 1 in\"`, or add `soft = true` to an envelope".to_owned()
            }
            E::AllPadding { .. } => "measure both again".to_owned(),
            E::BulkAlone => "add `weight = \"176 g/m2\"`, or delete `bulk`".to_owned(),
        })
    }

    fn also(&self) -> Vec<(Place, String)> {
        match self {
            SuppliesError::NameTwice { first, .. } | SuppliesError::DesignTwice { first, .. } => {
                vec![(*first, "the first one is named".to_owned())]
            }
            SuppliesError::Differs { first, .. } => {
                vec![(*first, "the other album says something else".to_owned())]
            }
            SuppliesError::TwoPrices { first, .. } => {
                vec![(*first, "the same pack has its first price".to_owned())]
            }
            SuppliesError::Exceeds { whole, other, .. } => {
                vec![(*whole, format!("{other} stands"))]
            }
            SuppliesError::AllPadding { inside, .. } => {
                vec![(*inside, "its sides inside stand".to_owned())]
            }
            SuppliesError::PinchGusset { gusset, .. } => {
                vec![(*gusset, "the gusset stands".to_owned())]
            }
            _ => Vec::new(),
        }
    }
}
