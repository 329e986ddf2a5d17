//! Questions beside the typing: what would make a size larger, whether a card goes in, which bag is best.

use super::desk::Desk;
use super::read::{Facts, Reading, Refusal, sentence};
pub use super::sight::Asked;
use crate::album::Album;
use crate::album::field::with_unit;
use crate::arrange::pads;
use crate::compare::own;
use crate::cut::pieces::Made;
use crate::cut::work::{Patience, work};
use crate::cut::{Order, Trimmer};
use crate::explain::grow::grow;
use crate::explain::{hand, smallest_ring};
use crate::length::{Interval, Ruler, parse_interval};
use crate::plan::Plan;
use crate::plan::work::Outcome;
use crate::price::cost::Copies;
use crate::price::work::{Unpriced, prices};
use crate::report;
use crate::report::buy::{Shopping, not_enough};
use crate::report::handout::Section;
use crate::shop::buy::{BuyError, How, Purchase, buy};
use crate::shop::needs::needs;
use crate::solve::Limits;
use crate::style::Style;
use crate::text::Limits as Sane;
use std::fmt;
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
    /// What to buy for so many albums.
    Buy(u64),
    /// What each of so many costs, weighs, and is asked for.
    Price(u64),
    /// Which photo and design stands where.
    Arrange(Shelf),
}

/// Where the album's photos are.
#[derive(Clone)]
pub struct Shelf(pub Arc<dyn Desk>);

impl fmt::Debug for Shelf {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Shelf")
    }
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
    pub fn said(&self) -> String {
        match self {
            Question::Grow { .. } => "What would make it larger".to_owned(),
            Question::Card { .. } => "Whether the card goes in".to_owned(),
            Question::Bags => "The album in each of your bags".to_owned(),
            Question::Buy(1) => "What to buy".to_owned(),
            Question::Buy(albums) => format!("What to buy for {albums} albums"),
            Question::Price(1) => "What it costs".to_owned(),
            Question::Price(albums) => format!("What each of {albums} albums costs"),
            Question::Arrange(_) => "Where photos and designs go".to_owned(),
        }
    }

    /// The answer.
    pub fn answer(&self, facts: &Facts, limits: &Limits) -> Asked {
        let Reading { album, style, .. } = &*facts.reading;
        let told = |found| told(self.said(), found);
        match self {
            Question::Arrange(Shelf(desk)) => told(match &facts.worked.outcome {
                Outcome::Fits(plan) => desk.arranged(album, style, plan, limits),
                _ => Err("The album does not fit: it has no places yet.".to_owned()),
            }),
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
            Question::Buy(albums) => told(of_fitting(facts, |album, plan| {
                let made = Made::of(plan, album, *albums);
                let (order, _) = dealt(made, limits);
                Ok(bought(style, (album, made), order, limits)?.1)
            })),
            Question::Price(albums) => told(of_fitting(facts, |album, plan| {
                priced((album, plan), *albums, limits)
            })),
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

fn told(asked: String, found: Result<Vec<Section>, String>) -> Asked {
    match found {
        Ok(sections) => Asked::Told(asked, Arc::new(sections)),
        Err(why) => Asked::NoCard(why),
    }
}

/// What is cut for these albums, whose supplies have a paper for each design ([`Album::by_design`]), and
/// which piece is of which design.
pub fn dealt(made: Made<'_>, limits: &Limits) -> (Order, Vec<pads::Dealt>) {
    let pads = pads::pads(&[made], &|| limits.is_over());
    let order = pads::order(&[made], Vec::new(), Trimmer::default(), &pads);
    (order, pads)
}

/// What a report says of an album that fits, whose supplies have a paper for each design.
fn of_fitting(
    facts: &Facts,
    then: impl FnOnce(&Album, &Plan) -> Result<Vec<Section>, String>,
) -> Result<Vec<Section>, String> {
    match &facts.worked.outcome {
        Outcome::Fits(plan) => then(&facts.reading.album.by_design(), plan),
        _ => Err("The album does not fit: mend it first.".to_owned()),
    }
}

/// What each of so many albums costs; or why that cannot be said, in a sentence.
fn priced(
    (album, plan): (&Album, &Plan),
    albums: u64,
    limits: &Limits,
) -> Result<Vec<Section>, String> {
    let made = Made::of(plan, album, albums);
    let (order, _) = dealt(made, limits);
    let copies = Copies {
        sold: albums,
        made: albums,
    };
    let patience = Patience::lasting(limits.left(), limits.stop);
    let cut = |order: &Order| work(order, None, album.ruler, &patience);
    let found = prices(&[(made, copies)], &order, cut).map_err(|why| match why {
        Unpriced::TooLarge => "Some numbers are too large to be multiplied exactly.".to_owned(),
        Unpriced::Steps(errors) => {
            let first = errors.first().map(ToString::to_string);
            sentence(&first.unwrap_or_default())
        }
        Unpriced::Cut(_) => "Something cannot be cut from the sheets that are named.".to_owned(),
    })?;
    let of = |priced| {
        report::price::sections(report::price::Answer {
            album,
            plan,
            priced,
        })
    };
    Ok(found.first().map_or(Vec::new(), of))
}

/// What these albums need is bought and cut, and what the list says of it; or why there is none, in a sentence.
pub fn bought(
    style: &Style,
    (album, made): (&Album, Made<'_>),
    order: Order,
    limits: &Limits,
) -> Result<(Purchase, Vec<Section>), String> {
    let needs = needs(&[made], order);
    let (any_ring, any_print) = (needs.any_ring, needs.any_print);
    // Half of the time is for the packs, the rest for the plan of their sheets.
    let first = Limits {
        stop: limits.stop,
        ..Limits::lasting(limits.left() / 2)
    };
    let patience = Patience::lasting(limits.left() / 2, limits.stop);
    let how = How {
        stages: None,
        ruler: album.ruler,
        patience: &patience,
    };
    let purchase = buy(&album.supplies, needs, how, &first).map_err(|error| match error {
        BuyError::NotEnough(short) => not_enough(&short, None),
        BuyError::Undecided => "The time was up before any choice was found.".to_owned(),
        BuyError::TooLarge => "These numbers are too large to be added exactly.".to_owned(),
        BuyError::Cut(_) => "Something cannot be cut from the sheets that are named.".to_owned(),
    })?;
    let shopping = Shopping {
        title: &album.title,
        supplies: &album.supplies,
        purchase: &purchase,
        any_ring,
        any_print,
        ring: (any_ring > 0)
            .then(|| smallest_ring(style, album, limits))
            .flatten(),
        ruler: album.ruler,
    };
    let sections = shopping.sections();
    Ok((purchase, sections))
}
