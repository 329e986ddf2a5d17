//! What the maker has: bags, papers, offcuts, prints, cards, rings and punches, as measured.
//!
//! `text` reads them (`shelf` is what is named so far), `rows` reads bags from a table of values, `parcel` parcels, `weighed` weights in a
//! table, `weight` makes thicknesses of weights, `patterns` lists published hole
//! patterns, `join` makes one of the supplies of several albums,
//! `packs` reads what is sold in packs, `sold` lists sizes of prints; this file says what supplies are once they are valid. May import `length`, `money` and `text`.

mod designs;
mod fault;
pub mod join;
pub mod packs;
mod parcel;
pub mod patterns;
pub mod rows;
#[cfg(test)]
mod rows_tests;
pub(crate) mod shapes;
pub mod shelf;
pub mod sold;
pub mod text;
mod weighed;
pub mod weight;

pub use fault::{Kind, SuppliesError};

pub use crate::money::Money;

pub use packs::Pack;

use crate::length::{Interval, Length};
use crate::text::Place;
use weight::{Number, Weighs};

/// How a bag's bottom is made. A bag of which it is not known is taken for the thicker kind.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Bottom {
    #[default]
    /// Gusseted, folds flat to a flap as deep as its gusset: two sections, four layers at the sides.
    Block,
    /// No gusset at the sides: one section, two layers; its small flap is glued and gives no pocket.
    Pinch,
}

/// A pocket as the maker measures it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pocket {
    /// Height of its edge above the tail.
    pub edge: Interval,
    /// How far down a thing slides below that edge; not measured: half the gusset of a folded flap.
    pub depth: Option<Interval>,
    /// How it is made, in the maker's words.
    pub why: Option<String>,
    pub place: Place,
}

/// A paper bag, flat, as measured.
#[derive(Default, Clone, Debug, PartialEq, Eq)]
pub struct Bag {
    pub name: String,
    pub place: Place,
    /// Across the face.
    pub width: Interval,
    /// Tail fold to mouth.
    pub height: Interval,
    /// Depth of the side gusset, opened (the bag's third measure).
    pub gusset: Option<Interval>,
    pub bottom: Bottom,
    /// A pocket other than the one that the folded flap makes.
    pub pocket: Option<Pocket>,
    /// Height of the leaf where the bag is folded up to make a pocket; else the bag's height.
    pub folded: Option<Interval>,
    /// Measured depth of the section in front of the gusset.
    pub front_depth: Option<Interval>,
    /// Measured depth of the section behind the gusset, or of the only one.
    pub back_depth: Option<Interval>,
    /// Thickness of one layer.
    pub caliper: Option<Interval>,
    /// Layers that the folded flap adds.
    pub flap_layers: Option<i64>,
    /// Measured thickness of one empty leaf at its holes, squeezed.
    pub squeezed: Option<Interval>,
    /// How many are at hand.
    pub count: Option<i64>,
    /// Of one bag, or of its paper.
    pub weight: Option<Weighs>,
    /// Bags in a pack.
    pub pack: Option<i64>,
    /// Price of a pack.
    pub price: Option<Money>,
}

impl Bag {
    /// A flat bag of which nothing else is known: taken for the thicker kind, without a gusset and
    /// without a pocket.
    pub fn flat(name: String, place: Place, width: Interval, height: Interval) -> Bag {
        Bag {
            name,
            place,
            width,
            height,
            ..Bag::default()
        }
    }

    /// It has a gusset, is not folded, and is wider than high: mostly two numbers that changed places (common
    /// practice, no published source).
    pub fn lies(&self) -> bool {
        self.gusset.is_some() && self.folded.is_none() && self.width.least() > self.height.most()
    }
}

/// A sheet of decorative paper or card.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Paper {
    pub name: String,
    pub place: Place,
    pub width: Interval,
    pub height: Interval,
    /// Thickness, measured or worked out from the weight.
    pub caliper: Option<Interval>,
    /// Grams a square metre, from and to.
    pub grams: Option<(Number, Number)>,
    /// The caliper was worked out from a weight.
    pub from_weight: bool,
    /// The bulk that it was worked out with is what is usual for the kind: measure it.
    pub bulk_assumed: bool,
    /// Printed with a direction: its pieces are not turned.
    pub directed: bool,
    /// A pad: the designs that its sheets have; empty if all are alike.
    pub designs: Vec<Design>,
    /// It is one design of a pad: the place of that pad and of the design in it; see
    /// [`Supplies::by_design`].
    pub design_of: Option<(usize, usize)>,
    /// Sheets at hand, of each design.
    pub sheets: Option<i64>,
    /// Sides that are printed, 1 or 2; `None` if that was not said.
    pub sides: Option<i64>,
    /// Price of a sheet.
    pub price: Option<Money>,
}

impl Paper {
    /// Sheets at hand, of all designs together.
    pub fn all_sheets(&self) -> Option<i64> {
        let each = self.designs.iter();
        match self.designs.is_empty() {
            true => self.sheets,
            false => each.map(|design| design.sheets.or(self.sheets)).sum(),
        }
    }
}

/// One of the designs of a pad.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Design {
    pub name: String,
    /// Its sheets at hand, and its printed sides, if it has a number of its own.
    pub sheets: Option<i64>,
    pub sides: Option<i64>,
}

/// What is left of a sheet, as it lies with its print upright.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Offcut {
    pub place: Place,
    /// Place in [`Supplies::papers`]; `None` if the paper has no name.
    pub paper: Option<usize>,
    /// Which design of a pad, if that was said.
    pub design: Option<usize>,
    pub width: Interval,
    pub height: Interval,
    /// How many of this size are at hand.
    pub count: i64,
}

/// A photo print or a ready-made card.
#[derive(Default, Clone, Debug, PartialEq, Eq)]
pub struct Card {
    pub name: String,
    pub place: Place,
    pub width: Interval,
    pub height: Interval,
    pub caliper: Option<Interval>,
    /// Of one, or of its paper.
    pub weight: Option<Weighs>,
    /// How many are at hand.
    pub count: Option<i64>,
    pub price: Option<Money>,
}

/// A loose ring.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ring {
    pub name: String,
    pub place: Place,
    /// Inside diameter.
    pub inside: Interval,
    /// Thickness of its wire.
    pub wire: Option<Interval>,
    /// Of one (grams).
    pub weight: Option<Number>,
    pub count: Option<i64>,
    pub price: Option<Money>,
}

/// A hole punch.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Punch {
    pub name: String,
    pub place: Place,
    /// Of the hole that it makes.
    pub diameter: Option<Interval>,
    /// Farthest hole centre from the paper's edge.
    pub reach: Option<Interval>,
    /// Thickest stack that it takes.
    pub takes: Option<Interval>,
    /// Hole centre from the edge, where the punch fixes it.
    pub edge: Option<Interval>,
    /// Hole spacing, where the punch fixes it.
    pub pitch: Option<Interval>,
    /// Holes in one stroke, where the punch fixes them.
    pub holes: Option<i64>,
}

/// What an album is posted in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Parcel {
    pub name: String,
    pub place: Place,
    /// Its sides inside, the last one absent where an envelope does not say how thick it may become.
    pub inside: (Length, Length, Option<Length>),
    /// It gives way: what lies in it takes of its width what it is thick.
    pub soft: bool,
    /// Left free on every side of what lies in it.
    pub padding: Length,
    /// Of the empty parcel with its padding (grams).
    pub weight: Option<Number>,
    /// The most that all of it may weigh (grams).
    pub most: Option<Number>,
    /// The most that its length and what it measures around may be together.
    pub around: Option<Length>,
    pub price: Option<Money>,
}

/// Everything at hand, in the order in which it was written.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Supplies {
    pub bags: Vec<Bag>,
    pub papers: Vec<Paper>,
    pub offcuts: Vec<Offcut>,
    pub prints: Vec<Card>,
    pub cards: Vec<Card>,
    pub rings: Vec<Ring>,
    pub punches: Vec<Punch>,
    pub packs: Vec<Pack>,
    pub parcels: Vec<Parcel>,
}
