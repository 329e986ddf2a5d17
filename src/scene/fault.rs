//! What is wrong with an album beside its supplies and its style.

use crate::text::{Fault, Place, Said, meant};

/// What is wrong with an album beside its supplies and its style.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum SceneError {
    #[error("no size is called `{}`", .name.value)]
    NoSuchSize {
        name: Said<String>,
        known: Vec<String>,
    },
    #[error("`{}` is given twice", .name.value)]
    GivenTwice { name: Said<String> },
    #[error("the thicknesses add up to more than any album is thick")]
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

    fn label(&self) -> String {
        match self {
            SceneError::NoSuchSize { .. } => "not a size of this leaf".into(),
            SceneError::GivenTwice { .. } => "said before".into(),
            SceneError::TooThick { .. } => "this leaf and the others".into(),
            SceneError::WrongQuantity { .. } => "here".into(),
        }
    }

    fn help(&self) -> Option<String> {
        Some(match self {
            SceneError::NoSuchSize { name, known } => {
                meant(&name.value, known.iter().map(String::as_str))
            }
            SceneError::GivenTwice { .. } => "keep one of the two".into(),
            SceneError::TooThick { .. } => {
                "measure the thickness of one layer again, and the counts".into()
            }
            SceneError::WrongQuantity { wanted, .. } => match *wanted {
                "length" => "give a length with its unit, such as `1/8 in`".into(),
                _ => "give a number, such as `3`, `1/2` or `65 %`".into(),
            },
        })
    }
}
