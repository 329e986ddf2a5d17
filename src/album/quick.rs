//! An album of one leaf from a bag's measures alone, so that no file is needed before the first
//! answer.

use super::*;
use crate::length::{Interval, Ruler};
use crate::supplies::{Bag, Bottom, Card, Pocket};

/// What a maker types instead of a file.
#[derive(Clone, Debug)]
pub struct Quick {
    pub ruler: Ruler,
    pub width: Interval,
    pub gusset: Option<Interval>,
    pub height: Interval,
    /// `None` if it is not known: a flat bag then counts the worse of both at its holes and its mouth.
    pub bottom: Option<Bottom>,
    /// Height of the leaf where the bag is folded up to make a pocket.
    pub folded: Option<Interval>,
    /// Height of the pocket's edge above the tail.
    pub pocket: Option<Interval>,
    pub pocket_depth: Option<Interval>,
    /// Hole diameter.
    pub hole: Option<Interval>,
    /// Hole centres to the spine edge.
    pub edge: Option<Interval>,
    pub photo_shape: Option<(i64, i64)>,
    /// Width and height of a print that the photo is trimmed from.
    pub print: Option<(String, Interval, Interval)>,
    pub set: Vec<(String, Value)>,
}

/// One leaf with its mats and a photo mat for the largest photo that its mouth takes. The mat may end
/// level with the mouth or below, where no finger takes hold of it, so it gets a pull tab. It has the
/// pieces of paper that are usual in the style.
pub fn album(quick: Quick) -> Album {
    let place = Place::default();
    let pocket = quick.pocket.map(|edge| Pocket {
        edge,
        depth: quick.pocket_depth,
        why: None,
        place,
    });
    let set = quick.set.into_iter();
    let set = set.map(|(name, value)| (Said::nowhere(name), Said::nowhere(value)));
    let print = quick.print.map(|(name, width, height)| Card {
        name,
        width,
        height,
        ..Card::default()
    });
    let prints: Vec<Card> = print.into_iter().collect();
    let photo_mat = Insert {
        name: "photo_mat".to_owned(),
        grip: Grip::Tab,
        count: 1,
        photo: Some(Photo {
            place,
            prints: (0..prints.len()).collect(),
            lies: None,
            shape: quick.photo_shape,
        }),
        ..Insert::default()
    };
    Album {
        title: "one leaf".to_owned(),
        style: Said::nowhere(StyleName::usual()),
        ruler: quick.ruler,
        // Not the mat first: round a small print it would leave a caption strip of half a leaf.
        prefer: vec![Said::nowhere("largest photo_mat.photo".to_owned())],
        template: Template {
            diameter: quick.hole,
            edge: quick.edge,
            ..Template::default()
        },
        ring: None,
        accepted: Vec::new(),
        own: Own::default(),
        photos: None,
        price: super::price::Pricing::default(),
        minutes: Vec::new(),
        set: set.collect(),
        leaves: vec![Leaf {
            name: "leaf".to_owned(),
            count: 1,
            inserts: vec![photo_mat],
            ..Leaf::default()
        }],
        supplies: Supplies {
            bags: vec![Bag {
                gusset: quick.gusset,
                bottom: quick.bottom.unwrap_or(Bottom::Block),
                pocket,
                folded: quick.folded,
                ..Bag::flat("bag".to_owned(), place, quick.width, quick.height)
            }],
            prints,
            ..Supplies::default()
        },
    }
}
