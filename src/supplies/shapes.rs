//! What each kind of supply may say, with an example of each value.

use crate::text::Shape;

/// Keys of an album that come before its first heading: typed later, they land in a supply.
pub(crate) const TOP: &[&str] = &["album", "style", "ruler", "supplies", "prefer"];

/// The most of anything that is counted.
pub(super) const MANY: i64 = 1_000_000;

pub(crate) const BAG: Shape = Shape::new("a bag", &["name", "size"]).top(TOP).keys(&[
    ("name", "\"small brown\""),
    ("size", "\"5 1/8 x 10 5/8 in\""),
    ("gusset", "\"3 1/8 in\""),
    ("bottom", "\"block\""),
    ("pocket", "{ edge = \"3 in\", depth = \"2 3/4 in\" }"),
    ("folded", "\"6 in\""),
    ("front_depth", "\"8 in\""),
    ("back_depth", "\"9 in\""),
    ("caliper", "\"0.0045 in\""),
    ("flap_layers", "2"),
    ("squeezed", "\"0.03 in\""),
    ("count", "30"),
    ("weight", "\"6 g\""),
    ("pack", "50"),
    ("price", "\"4.20\""),
]);

/// A row of a table of bags: each value is typed bare, without quotes.
pub(super) const ROW: Shape = Shape::new("a bag", &[]).keys(&[
    ("name", "small brown"),
    ("width", "5 1/8 in"),
    ("height", "10 5/8 in"),
    ("gusset", "3 1/8 in"),
    ("flap", "3 in"),
    ("pocket_depth", "2 3/4 in"),
    ("tolerance", "1/16 in"),
    ("bottom", "block"),
    ("caliper", "0.0045 in"),
    ("count", "30"),
    ("pack", "50"),
    ("price", "4.20"),
]);

pub(crate) const POCKET: Shape = Shape::new("a pocket", &["edge"]).top(TOP).keys(&[
    ("edge", "\"3 in\""),
    ("depth", "\"2 3/4 in\""),
    ("why", "\"flap slit and glued again\""),
]);

pub(crate) const PAPER: Shape = Shape::new("a paper", &["name", "size"]).top(TOP).keys(&[
    ("name", "\"wave print\""),
    ("size", "\"12 x 12 in\""),
    ("caliper", "\"0.0065 in\""),
    ("weight", "\"65 lb cover\""),
    ("bulk", "\"1.3\""),
    ("directed", "true"),
    ("designs", "[\"fern\", \"moss\"]"),
    ("sheets", "4"),
    ("sides", "2"),
    ("price", "\"1.20\""),
]);

pub(crate) const DESIGN: Shape = Shape::new("a design", &["name"]).keys(&[
    ("name", "\"fern\""),
    ("sheets", "2"),
    ("sides", "1"),
]);

pub(crate) const OFFCUT: Shape = Shape::new("an offcut", &["size"]).top(TOP).keys(&[
    ("paper", "\"wave print\""),
    ("size", "\"4 x 7 1/2 in\""),
    ("count", "2"),
]);

const CARD_KEYS: &[(&str, &str)] = &[
    ("name", "\"postcard\""),
    ("size", "\"4 x 6 in\""),
    ("caliper", "\"0.0095 in\""),
    ("weight", "\"200 g/m2\""),
    ("count", "8"),
    ("price", "\"0.30\""),
];

pub(crate) const PRINT: Shape = Shape::new("a print", &["name", "size"])
    .top(TOP)
    .keys(CARD_KEYS);

pub(crate) const CARD: Shape = Shape::new("a card", &["name", "size"])
    .top(TOP)
    .keys(CARD_KEYS);

pub(crate) const RING: Shape = Shape::new("a ring", &["name", "inside"]).top(TOP).keys(&[
    ("name", "\"one inch ring\""),
    ("inside", "\"1 in\""),
    ("wire", "\"1/8 in\""),
    ("weight", "\"2 g\""),
    ("count", "3"),
    ("price", "\"0.40\""),
]);

pub(crate) const PUNCH: Shape = Shape::new("a punch", &["name"]).top(TOP).keys(&[
    ("name", "\"hand punch\""),
    ("diameter", "\"1/4 in\""),
    ("reach", "\"1 in\""),
    ("takes", "\"0.06 in\""),
    ("edge", "\"1/2 in\""),
    ("pitch", "\"80 mm\""),
    ("holes", "2"),
]);

pub(crate) const PACK: Shape = Shape::new("a pack", &["of", "price"]).top(TOP).keys(&[
    ("of", "\"small brown\""),
    ("holds", "24"),
    ("price", "\"9.50\""),
    ("most", "2"),
]);

pub(crate) const PARCEL: Shape = Shape::new("a parcel", &["name", "inside"]).top(TOP).keys(&[
    ("name", "\"padded envelope\""),
    ("inside", "\"6 x 9 x 1 in\""),
    ("soft", "true"),
    ("padding", "\"1/4 in\""),
    ("weight", "\"20 g\""),
    ("most", "\"500 g\""),
    ("around", "\"900 mm\""),
    ("price", "\"3.20\""),
]);

pub(super) const FILE: Shape = Shape::new("a supplies file", &[]).keys(&[
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
