//! What each table of an album may say, with an example of each value.

use crate::supplies::shapes::{
    BAG, CARD, DESIGN, OFFCUT, PACK, PAPER, PARCEL, POCKET, PRINT, PUNCH, RING, TOP,
};
use crate::text::Shape;

/// What the table of these keys may say; `None` if its keys are names of the style or of parts.
pub fn of(keys: &[&str]) -> Option<&'static Shape> {
    Some(match keys {
        [] => &ALBUM,
        ["template"] => &TEMPLATE,
        ["accept"] => &ACCEPT,
        ["photos"] => &PHOTOS,
        ["photos", "photo"] => &NAMED,
        ["price"] => &PRICE,
        ["leaf"] => &LEAF,
        ["leaf", "insert"] => &INSERT,
        ["leaf", "insert", "photo"] => &PHOTO,
        ["bag"] => &BAG,
        ["bag", "pocket"] => &POCKET,
        ["paper"] => &PAPER,
        ["paper", "designs"] => &DESIGN,
        ["offcut"] => &OFFCUT,
        ["card"] => &CARD,
        ["print"] => &PRINT,
        ["ring"] => &RING,
        ["punch"] => &PUNCH,
        ["pack"] => &PACK,
        ["parcel"] => &PARCEL,
        _ => return None,
    })
}

pub(super) const ALBUM: Shape = Shape::new("an album", &["album", "ruler", "leaf"]).keys(&[
    ("album", "\"Low water\""),
    ("style", "\"upright\""),
    ("ruler", "\"1/8 in\""),
    ("supplies", "[\"supplies.toml\"]"),
    ("prefer", "[\"largest photo_mat.photo\"]"),
    ("template", "[template]"),
    ("set", "[set]"),
    ("accept", "[[accept]]"),
    ("papers", "{ wrap = \"book cloth\" }"),
    ("given", "{ \"board.height\" = \"9 in\" }"),
    ("measured", "{ \"board.height\" = \"9 in\" }"),
    ("photos", "[photos]"),
    ("price", "[price]"),
    ("minutes", "{ \"Bind it\" = 20 }"),
    ("leaf", "[[leaf]]"),
    ("bag", "[[bag]]"),
    ("paper", "[[paper]]"),
    ("offcut", "[[offcut]]"),
    ("print", "[[print]]"),
    ("card", "[[card]]"),
    ("ring", "[[ring]]"),
    ("punch", "[[punch]]"),
    ("pack", "[[pack]]"),
    ("parcel", "[[parcel]]"),
]);

pub(super) const TEMPLATE: Shape = Shape::new("the template", &[]).top(TOP).keys(&[
    ("holes", "3"),
    ("diameter", "\"1/4 in\""),
    ("edge", "\"1/2 in\""),
    ("first", "\"1 in\""),
    ("pitch", "\"2 3/4 in\""),
    ("pattern", "\"ISO 838\""),
    ("eyelet", "\"3/8 in\""),
    ("punch", "\"hand punch\""),
    // Not beside `[[ring]]`: TOML lets no key be a text and a list of tables.
    ("ring", "\"one inch ring\""),
]);

pub(super) const ACCEPT: Shape = Shape::new("what is accepted", &["rule", "by"])
    .top(TOP)
    .keys(&[
        ("rule", "\"the stack fits the ring\""),
        ("of", "\"shore\""),
        ("by", "\"1/8 in\""),
        ("why", "\"it closes: I tried it\""),
    ]);

pub(super) const PHOTOS: Shape = Shape::new("the photos", &[]).top(TOP).keys(&[
    ("list", "\"photos.csv\""),
    ("folder", "\"photos\""),
    ("photo", "[[photos.photo]]"),
    ("order", "\"kept\""),
    ("facing", "[[\"boat\", \"harbour\"]]"),
    ("stays", "{ boat = \"shore 2\" }"),
    ("show", "\"fill\""),
    ("most_cut", "\"10 %\""),
    ("coarsest", "200"),
    ("for", "\"worst\""),
    ("turn", "true"),
    ("resize", "true"),
]);

pub(super) const NAMED: Shape = Shape::new("a photo", &["name"])
    .top(TOP)
    .keys(&[("name", "\"boat\""), ("size", "\"4032 x 3024\"")]);

pub(super) const PRICE: Shape = Shape::new("the price", &[]).top(TOP).keys(&[
    ("hour", "\"18.00\""),
    ("minutes", "150"),
    ("fees", "[\"6.5 %\", \"0.30\"]"),
    ("margin", "\"40 %\""),
    ("markup", "\"60 %\""),
    ("price", "\"25.00\""),
    ("ends", "[\".50\", \".95\"]"),
    ("material", "\"packs\""),
]);

pub(super) const LEAF: Shape = Shape::new("a leaf", &["name", "bag"]).top(TOP).keys(&[
    ("name", "\"shore\""),
    ("bag", "\"small brown\""),
    ("count", "4"),
    ("turned", "true"),
    ("papers", "{ spine_strip = \"wave print\" }"),
    ("spread", "true"),
    ("match", "[[\"front_mat\", \"band\"]]"),
    ("apart", "2"),
    ("given", "{ \"front_mat.width\" = \"4 in\" }"),
    ("measured", "{ \"leaf.width\" = \"4 3/8 in\" }"),
    ("insert", "[[leaf.insert]]"),
]);

pub(super) const INSERT: Shape = Shape::new("an insert", &["name", "place"]).top(TOP).keys(&[
    ("name", "\"photo_mat\""),
    ("place", "\"mouth\""),
    ("section", "\"front\""),
    ("size", "\"2 x 3 3/4 in\""),
    ("width", "\"2 in\""),
    ("height", "\"3 3/4 in\""),
    ("show", "\"1/2 in\""),
    ("grip", "\"notch\""),
    ("paper", "\"sand card\""),
    ("spread", "true"),
    ("card", "\"index card\""),
    ("caliper", "\"0.01 in\""),
    ("count", "2"),
    ("photo", "true"),
]);

pub(super) const PHOTO: Shape = Shape::new("a photo", &[]).keys(&[
    ("shape", "\"2:3\""),
    ("lies", "\"across\""),
    ("print", "[\"postcard print\"]"),
]);
