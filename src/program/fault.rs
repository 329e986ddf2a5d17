//! Why a style cannot be laid over an album.

use super::PlaceError;
use super::model::MOST_SCOPES;
use crate::scene::{Lacks, SceneError};
use crate::text::{Fault, Place, Said, ask, asked, either, meant, nearest};

/// Why a style cannot be laid over an album.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum ExpandError {
    #[error(transparent)]
    Scene(#[from] SceneError),
    #[error(transparent)]
    Place(#[from] PlaceError),
    #[error("style `{style}` has no quantity `{}`", .name.value)]
    NoSuchQuantity {
        name: Said<String>,
        style: String,
        known: Vec<String>,
    },
    #[error("style `{style}` has no part `{}`", .name.value)]
    NoSuchPart {
        name: Said<String>,
        style: String,
        known: Vec<String>,
    },
    #[error("`place` cannot be `{}`", .name.value)]
    NoPlace {
        name: Said<String>,
        known: Vec<String>,
        /// The place and section of the slot that is called so.
        slot: Option<(String, String)>,
    },
    #[error("{}", no_section(name, of, known))]
    NoSection {
        name: Said<String>,
        /// The place that is said with it.
        of: String,
        /// Sections of that place.
        known: Vec<String>,
        /// A place that has sections.
        other: Option<String>,
    },
    /// It would mean two things in a rule.
    #[error("an insert cannot be named `{name}`: that word has a meaning in the rules")]
    Reserved { name: String, place: Place },
    #[error("`{name}` must be a {wanted}")]
    QuantityKind {
        name: String,
        wanted: &'static str,
        /// A number that was typed for a length, with the unit of the ruler.
        length: Option<String>,
        place: Place,
    },
    #[error("rule `{rule}` needs `{name}`, which {} does not give", match lacks {
        Absence::Slot(_) => "the style",
        _ => "this album",
    })]
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
    #[error("{}", more_places(mark, *places, *most, hole.as_ref()))]
    MorePlaces {
        mark: String,
        places: i64,
        most: i64,
        /// The hole of a leaf that each place reads, if that is why there are no more.
        hole: Option<String>,
        place: Place,
    },
    #[error("rule `{rule}` does not add up to lengths")]
    Kind { rule: String, place: Place },
    #[error("rule `{rule}` divides by zero")]
    Zero { rule: String, place: Place },
    #[error("rule `{rule}` leads to numbers that are too large for any album")]
    TooLarge { rule: String, place: Place },
    #[error("rule `{rule}` sets a measure with `±` equal to something")]
    UncertainEqual { rule: String, place: Place },
    #[error("{wrong}")]
    Prefer {
        wrong: String,
        help: String,
        place: Place,
    },
    #[error("{}", accept(rule, wrong))]
    Accept {
        rule: String,
        wrong: WrongAccept,
        place: Place,
    },
    #[error("this `for` runs over more than {MOST_SCOPES} things in this album")]
    LongFor { place: Place },
    #[error("this album is too large: it has more than {most} {what}")]
    TooMany {
        what: &'static str,
        most: usize,
        place: Place,
    },
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
    /// A size of a slot, by the name under which a style says it.
    Slot(String),
    /// Another one, in a rule with (`true`) or without conditions.
    Value(bool),
}

/// Why nothing less of a rule can be accepted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum WrongAccept {
    /// There is no such rule; those that there are.
    NoRule(Vec<String>),
    /// It is kept where it can be, and needs no leave.
    Wish,
    /// It speaks of no such thing; what it speaks of here.
    Nothing(Vec<String>),
    /// It counts, and compares no lengths.
    NoLength,
}

fn accept(rule: &str, wrong: &WrongAccept) -> String {
    match wrong {
        WrongAccept::NoRule(_) => format!("the style has no rule called `{rule}`"),
        WrongAccept::Wish => format!("`{rule}` is a wish: it is given up where it cannot be kept"),
        WrongAccept::Nothing(_) => format!("`{rule}` does not speak of that here"),
        WrongAccept::NoLength => format!("`{rule}` compares no lengths"),
    }
}

impl Fault for ExpandError {
    fn place(&self) -> Place {
        match self {
            ExpandError::Scene(e) => e.place(),
            ExpandError::Place(e) => e.place(),
            ExpandError::NoSuchQuantity { name, .. }
            | ExpandError::NoSuchPart { name, .. }
            | ExpandError::NoPlace { name, .. }
            | ExpandError::NoSection { name, .. } => name.place,
            ExpandError::QuantityKind { place, .. }
            | ExpandError::Reserved { place, .. }
            | ExpandError::Absent { place, .. }
            | ExpandError::Nowhere { place, .. }
            | ExpandError::MorePlaces { place, .. }
            | ExpandError::Kind { place, .. }
            | ExpandError::Zero { place, .. }
            | ExpandError::TooLarge { place, .. }
            | ExpandError::UncertainEqual { place, .. }
            | ExpandError::Prefer { place, .. }
            | ExpandError::Accept { place, .. }
            | ExpandError::LongFor { place }
            | ExpandError::TooMany { place, .. } => *place,
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
            ExpandError::Scene(e) => return e.help(),
            ExpandError::Place(e) => return e.help(),
            ExpandError::NoSuchQuantity { name, known, .. }
            | ExpandError::NoSuchPart { name, known, .. } => {
                meant(&name.value, known.iter().map(String::as_str))
            }
            ExpandError::NoPlace {
                slot: Some((place, section)),
                ..
            } => format!("type `place = \"{place}\"`, `section = \"{section}\"`"),
            ExpandError::NoPlace { name, known, .. } => one_of(&name.value, known),
            ExpandError::NoSection { name, known, .. } if !known.is_empty() => {
                one_of(&name.value, known)
            }
            ExpandError::NoSection { other, .. } => {
                let other = other.as_ref();
                let other = other.map(|place| format!(", or type `place = \"{place}\"`"));
                format!("delete `section`{}", other.unwrap_or_default())
            }
            ExpandError::Reserved { name, .. } => format!("type `name = \"my_{name}\"`"),
            ExpandError::QuantityKind {
                length: Some(length),
                ..
            } => format!("type `{length}`"),
            ExpandError::QuantityKind { wanted, .. } => match *wanted {
                "length" => "type a length with its unit, such as `1/8 in`".into(),
                _ => "type a number, such as `1/6` or `65 %`".into(),
            },
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
                Absence::Slot(size) => format!("add `\"{size}\" = '...'` under `[name]`"),
                Absence::Value(more) => {
                    format!("{}, or give `{name}` in the album", ask(name, *more))
                }
            },
            ExpandError::MorePlaces { most, hole, .. } => match hole {
                Some(_) => "type `count = 'template.count'`".into(),
                None => format!("type `count = '{most}'` or less"),
            },
            ExpandError::Kind { .. } => {
                "multiply a length by numbers only, and compare it with a length".into()
            }
            ExpandError::Zero { .. } => "divide by a number other than 0".into(),
            ExpandError::TooLarge { .. } => "look for a slip in a measure or a count".into(),
            ExpandError::UncertainEqual { .. } => {
                "type `<=` or `>=`, or give the measure without `±`".into()
            }
            ExpandError::Prefer { help, .. } | ExpandError::Nowhere { help, .. } => help.clone(),
            ExpandError::Accept { rule, wrong, .. } => match wrong {
                WrongAccept::NoRule(known) => meant(rule, known.iter().map(String::as_str)),
                WrongAccept::Nothing(known) if known.iter().any(|of| !of.is_empty()) => {
                    let known: Vec<&str> = known.iter().map(String::as_str).collect();
                    format!("`of` may be {}", either(&known))
                }
                WrongAccept::Nothing(_) => "delete `of`".into(),
                WrongAccept::Wish | WrongAccept::NoLength => "delete this `[[accept]]`".into(),
            },
            ExpandError::LongFor { .. } => "name fewer lists, or a list of what is in another, such as `insert in leaf.inserts`".into(),
            ExpandError::TooMany { .. } => "split the album into two files".into(),
        })
    }
}

fn more_places(mark: &str, places: i64, most: i64, hole: Option<&String>) -> String {
    match hole {
        Some(hole) => format!(
            "mark `{mark}` has {places} places that read `{hole}`, but a leaf has only {most}"
        ),
        None => format!("mark `{mark}` has {places} places; the most is {most}"),
    }
}

fn no_section(name: &Said<String>, of: &str, known: &[String]) -> String {
    match known {
        [] => format!("`{of}` has no sections"),
        _ => format!("`section` cannot be `{}`", name.value),
    }
}

/// What was probably meant, and all that may stand there.
fn one_of(typed: &str, known: &[String]) -> String {
    let names: Vec<&str> = known.iter().map(String::as_str).collect();
    let near = nearest(typed, names.iter().copied());
    let near = near.map_or(String::new(), |near| format!("did you mean `{near}`? It"));
    let head = if near.is_empty() { "it" } else { &near };
    format!("{head} may be {}", either(&names))
}
