//! What is wrong with an album beside its supplies and its style.

use crate::text::{Fault, Place, Said, meant};

/// What is wrong with an album beside its supplies and its style.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum SceneError {
    #[error("this leaf has no size `{}`", .name.value)]
    NoSuchSize {
        name: Said<String>,
        known: Vec<String>,
    },
    #[error("`{}` is given twice", .name.value)]
    GivenTwice { name: Said<String> },
    #[error("this leaf and the others are thicker together than any album")]
    TooThick { place: Place },
    #[error("`{name}` must be a {wanted}")]
    WrongQuantity {
        name: String,
        wanted: &'static str,
        place: Place,
    },
}

impl Fault for SceneError {
    fn place(&self) -> Place {
        match self {
            SceneError::NoSuchSize { name, .. } | SceneError::GivenTwice { name } => name.place,
            SceneError::TooThick { place } | SceneError::WrongQuantity { place, .. } => *place,
        }
    }

    fn help(&self) -> Option<String> {
        Some(match self {
            SceneError::NoSuchSize { name, known } => {
                meant(&name.value, known.iter().map(String::as_str))
            }
            SceneError::GivenTwice { .. } => "delete one of the two".into(),
            SceneError::TooThick { .. } => {
                "measure the thickness of one layer again, and look at the counts".into()
            }
            SceneError::WrongQuantity { wanted, .. } => match *wanted {
                "length" => "type a length with its unit, such as `1/8 in`".into(),
                _ => "type a number, such as `3`, `1/2` or `65 %`".into(),
            },
        })
    }
}
