//! Questions beside the typing: what would make a size larger, whether a card goes in, which bag is best.

use super::read::{Facts, Reading, Refusal, sentence};
use crate::album::field::with_unit;
use crate::compare::{Comparison, own};
use crate::explain::grow::grow;
use crate::explain::{Growth, Hand, hand};
use crate::length::{Interval, Ruler, parse_interval};
use crate::solve::Limits;
use crate::text::Limits as Sane;
use std::sync::Arc;

/// What is asked.
#[derive(Clone, Debug)]
pub enum Question {
    /// What would make a size of a leaf larger.
    Grow { size: String, leaf: String },
    /// Whether a thing of this size goes in.
    Card {
        width: Interval,
        height: Interval,
        /// Only into this leaf.
        leaf: Option<usize>,
    },
    /// The same album in each bag of the supplies.
    Bags,
}

/// A question and its answer.
#[derive(Clone, Debug)]
pub enum Asked {
    Nothing,
    Working(String),
    Grow(Arc<Growth>),
    NoGrowth(String),
    Card(Arc<Hand>),
    NoCard(String),
    Bags(Arc<Comparison>),
}

impl Question {
    /// A card by its sides, as they are typed.
    ///
    /// # Errors
    /// If one of them is no length.
    pub fn card(
        (width, height): (&str, &str),
        leaf: Option<usize>,
        ruler: Ruler,
    ) -> Result<Question, Refusal> {
        let side = |what: &str, typed: &str| {
            if typed.trim().is_empty() {
                return Err(Refusal::new(format!("Type the {what} of the card.")));
            }
            let read = parse_interval(&with_unit(typed, ruler));
            let side = read.map_err(|error| Refusal {
                said: sentence(&error.to_string()),
                help: Some(sentence(&error.help())),
                instead: None,
            })?;
            match side.least().nm() > 0 && side.most() <= Sane::up_to_mm(3_000).most {
                true => Ok(side),
                false => Err(Refusal::new(format!(
                    "The {what} cannot be that of a card."
                ))),
            }
        };
        Ok(Question::Card {
            width: side("width", width)?,
            height: side("height", height)?,
            leaf,
        })
    }

    /// What is worked out, in words.
    pub fn said(&self) -> &'static str {
        match self {
            Question::Grow { .. } => "What would make it larger",
            Question::Card { .. } => "Whether the card goes in",
            Question::Bags => "The album in each of your bags",
        }
    }

    /// The answer.
    pub fn answer(&self, facts: &Facts, limits: &Limits) -> Asked {
        let Reading { album, style, .. } = &*facts.reading;
        match self {
            Question::Grow { size, leaf } => {
                let leaf = Some(leaf.as_str()).filter(|leaf| !leaf.is_empty());
                match grow(style, album, &facts.worked, size, leaf, limits) {
                    Ok(growth) => Asked::Grow(Arc::new(growth)),
                    Err(error) => Asked::NoGrowth(sentence(&error.to_string())),
                }
            }
            Question::Bags => match own(style, album, limits) {
                Ok(bags) => Asked::Bags(Arc::new(bags)),
                Err(error) => Asked::NoCard(sentence(&error.to_string())),
            },
            Question::Card {
                width,
                height,
                leaf,
            } => {
                let all: Vec<usize> = match leaf {
                    Some(leaf) => vec![*leaf],
                    None => (0..album.leaves.len()).collect(),
                };
                let sides = (*width, *height);
                let (leaf, place) = hand::best(style, album, &all, sides, limits);
                let ask = hand::Ask {
                    width: *width,
                    height: *height,
                    place,
                    leaf,
                };
                match hand::hand(style, album, &ask, limits) {
                    Ok(hand) => Asked::Card(Arc::new(hand)),
                    Err(errors) => {
                        let first = errors.first().map(ToString::to_string);
                        let first = first.unwrap_or_else(|| "that cannot be asked".to_owned());
                        Asked::NoCard(sentence(&first))
                    }
                }
            }
        }
    }
}
