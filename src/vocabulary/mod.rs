//! Every name that a rule may say: its dimension and its meaning.
//!
//! What the rule language cannot say becomes a derived quantity here, never a bigger grammar.
//! `scene` gives the names their values for one album. Imports nothing.

mod base;

pub use base::{BASE, OF_HOLES, OF_PHOTOS};

/// What a name stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Dimension {
    Length,
    /// A count or a ratio.
    Number,
    Text,
    /// True or false.
    Flag,
}

impl Dimension {
    /// The word for it in a message.
    pub fn word(self) -> &'static str {
        match self {
            Dimension::Length => "a length",
            Dimension::Number => "a number",
            Dimension::Text => "a text",
            Dimension::Flag => "a yes or no",
        }
    }
}

/// A name of the vocabulary.
#[derive(Clone, Copy, Debug)]
pub struct Name {
    /// The kind of thing, and which of its values.
    pub kind: &'static str,
    pub field: &'static str,
    pub dimension: Dimension,
    pub meaning: &'static str,
    /// It may be absent: ask with `given(...)` in a `when`.
    pub optional: bool,
    /// It depends on what is still to be found.
    pub found: bool,
}

const fn name(
    kind: &'static str,
    field: &'static str,
    dimension: Dimension,
    meaning: &'static str,
) -> Name {
    Name {
        kind,
        field,
        dimension,
        meaning,
        optional: false,
        found: false,
    }
}

const fn optional(
    kind: &'static str,
    field: &'static str,
    dimension: Dimension,
    meaning: &'static str,
) -> Name {
    Name {
        optional: true,
        ..name(kind, field, dimension, meaning)
    }
}

/// A length that depends on what is still to be found.
const fn to_find(kind: &'static str, field: &'static str, meaning: &'static str) -> Name {
    Name {
        found: true,
        ..name(kind, field, Dimension::Length, meaning)
    }
}

use Dimension::{Flag, Length, Number, Text};

/// All names, by kind of thing. `mat` stands for every part of a leaf that a style declares
/// (`front_mat`, `band` ...).
#[rustfmt::skip] // A row a line.
pub const NAMES: &[Name] = &[
    name("ruler", "step", Length, "smallest step that the maker cuts to"),
    name("album", "leaves", Number, "leaves in the whole album"),
    name("album", "stack_at_holes", Length, "thickness of all leaves and covers at their holes, eyelets included"),
    name("album", "stack_in_middle", Length, "thickness of all leaves and covers in the middle, inserts included"),
    name("template", "count", Number, "holes in the template"),
    name("template", "published", Flag, "its holes are those of a published pattern"),
    name("template", "unequal", Flag, "a published pattern spaces its holes unequally"),
    name("template", "diameter", Length, "of a hole"),
    name("template", "radius", Length, "half the hole's diameter"),
    name("template", "rim", Length, "hole's centre to its rim, or to the rim of an eyelet"),
    optional("template", "eyelet", Length, "outside diameter of an eyelet's flange"),
    optional("template", "flanges", Length, "what the two flanges of an eyelet add to a leaf at its holes"),
    Name {
        optional: true,
        ..to_find("template", "nearest", "centre to centre of the nearest two holes; absent with one hole")
    },
    to_find("template", "span", "lowest hole's centre to the highest hole's"),
    optional("template", "edge", Length, "hole centres to the edge that they are measured from"),
    optional("template", "first", Length, "lowest hole's centre above the low edge"),
    optional("template", "pitch", Length, "hole to hole"),
    optional("punch", "reach", Length, "farthest hole centre from the edge that the punch reaches"),
    optional("punch", "takes", Length, "thickest stack that the punch takes"),
    optional("punch", "diameter", Length, "of the hole that the punch makes"),
    name("ring", "inside", Length, "inside diameter"),
    name("ring", "wire", Length, "thickness of the ring's wire"),
    name("ring", "closed_paper", Length,
        "most paper between hole and edge at which the closed stack goes round; a ring that the stack is too thick for has none"),
    name("ring", "turned_paper", Length,
        "most paper between hole and edge at which all leaves turn round; a ring that the stack is too thick for has none"),
    name("leaf", "name", Text, "the leaf's name"),
    name("leaf", "count", Number, "leaves of this kind"),
    name("leaf", "before", Number, "leaves of the album before the first of this kind"),
    name("leaf", "width", Length, "left edge to right edge of a leaf"),
    name("leaf", "height", Length, "low edge to high edge of a leaf"),
    name("leaf", "turned", Flag, "its plain back is outside, as a cover"),
    name("leaf", "thickness", Length, "thickness in the middle, inserts included"),
    name("leaf", "thickness_at_holes", Length, "thickness at its thickest hole, without inserts and eyelets"),
    name("leaf", "bulk", Length, "thickness of everything tucked into it"),
    name("leaf", "glued_pieces", Number, "how many things are glued on its back"),
    name("bag", "name", Text, "the bag's name"),
    name("bag", "width", Length, "across the face of the flat bag"),
    name("bag", "height", Length, "bottom fold to mouth of the flat bag"),
    name("bag", "bottom", Text, "\"block\" or \"pinch\""),
    optional("bag", "gusset", Length, "depth of the side gusset, opened"),
    optional("bag", "folded", Length, "height of the leaf, where the bag is folded up to make a pocket"),
    optional("bag", "pocket_edge", Length, "height of a pocket's edge"),
    optional("bag", "pocket_depth", Length, "how far a thing slides down below the pocket's edge, as measured"),
    optional("bag", "pocket_why", Text, "how the pocket is made"),
    optional("bag", "front_depth", Length, "depth of the mouth in front of the gusset, as measured"),
    optional("bag", "back_depth", Length, "depth of the mouth behind the gusset, or of the only one, as measured"),
    optional("bag", "flap_layers", Number, "layers that its folded flap adds"),
    optional("bag", "caliper", Length, "thickness of one layer"),
    optional("bag", "squeezed", Length, "thickness of one empty leaf at its holes, squeezed"),
    to_find("mat", "width", "cut size"),
    to_find("mat", "height", "cut size"),
    name("mat", "wanted", Flag, "the leaf has this part"),
    optional("mat", "caliper", Length, "thickness of its paper"),
    optional("mat", "own_caliper", Length, "thickness of its paper, if the supplies say it"),
    optional("mat", "sheet_width", Length, "width of a sheet of its paper"),
    optional("mat", "sheet_height", Length, "height of a sheet of its paper"),
    name("mat", "narrow", Flag, "a sheet of its paper is narrower than the leaf"),
    name("mat", "directed", Flag, "its paper is not turned"),
    name("mat", "centred", Flag, "it lies even at both sides, and nothing says that it keeps off the holes"),
    name("hole", "place", Number, "0 for the lowest hole, then 1, 2 ..."),
    to_find("hole", "height", "its centre above the low edge"),
    optional("hole", "offset", Length, "above the lowest hole, in a published pattern of unequal spacing"),
    name("slot", "name", Text, "the slot's name in the style"),
    name("slot", "place", Text, "what an album says to put a thing there"),
    name("slot", "section", Text, "of several slots of one place, which; else \"none\""),
    name("slot", "depth", Length, "from the edge at which it opens to where a thing stops"),
    name("slot", "bulk", Length, "thickness of what is tucked into it"),
    name("slot", "used", Flag, "something is tucked into it"),
    name("insert", "name", Text, "the insert's name"),
    name("insert", "place", Text, "where it goes, as the album says it"),
    name("insert", "section", Text, "the section of its slot, or \"none\""),
    name("insert", "slot", Text, "its slot's name in the style"),
    optional("insert", "edge", Text, "the edge above which it shows, in words"),
    name("insert", "grip", Text, "\"plain\", \"notch\", \"tab\" or \"string\""),
    name("insert", "count", Number, "how many lie there"),
    name("insert", "show", Length, "how much of it is wanted to show; zero unless the album gives it"),
    optional("insert", "given_height", Length, "its height, if the album gives it: what a `when` may read"),
    name("insert", "has_photo", Flag, "it carries a photo"),
    name("insert", "thickness", Length, "of all of them, photos included"),
    name("insert", "pile", Length, "thickness of everything that lies in the same place, itself included"),
    optional("insert", "sheet_width", Length, "width of a sheet of its paper"),
    optional("insert", "sheet_height", Length, "height of a sheet of its paper"),
    name("insert", "directed", Flag, "its paper is not turned"),
    optional("photo", "shape_across", Number, "shorter side of its shape"),
    optional("photo", "shape_up", Number, "longer side of its shape"),
    name("photo", "shape_whole", Flag, "its shape has small whole sides"),
    name("photo", "upright", Flag, "it has to be no wider than high"),
    name("photo", "across", Flag, "it has to be no higher than wide"),
    name("print", "width", Length, "of the print"),
    name("print", "height", Length, "of the print"),
];

/// Lists that a `for` or a `sum` may run over: whose, which, and the kind of its things.
pub const LISTS: &[(&str, &str, &str)] = &[
    ("", "leaves", "leaf"),
    ("album", "mats", "mat"),
    ("leaf", "inserts", "insert"),
    ("leaf", "glued", "insert"),
    ("leaf", "mats", "mat"),
    ("leaf", "holes", "hole"),
    ("leaf", "slots", "slot"),
    ("slot", "inserts", "insert"),
    ("insert", "photos", "photo"),
];

/// Things of which there is one in an album: they need no `for`.
pub const SINGLE: &[&str] = &["ruler", "album", "template", "punch", "ring"];

/// Lists that the sentences of a style may run over beside these.
pub const SAID_LISTS: &[(&str, &str, &str)] =
    &[("leaf", "parts", "part"), ("frame", "parts", "part")];

/// What sentences of a style may say of a thing beside its facts: words that the program puts there.
#[rustfmt::skip] // A row a line.
pub const SAID: &[(&str, &str, &str)] = &[
    ("leaf", "each", "how many leaves of this kind, and their name"),
    ("leaf", "Name", "the leaf's name as a sentence begins"),
    ("bag", "size", "its width, gusset and height as a maker says them"),
    ("hole", "heights", "of all holes, from the lowest"),
    ("ring", "name", "the ring's name"),
    ("slot", "inserts", "the names of what is tucked into it"),
    ("mat", "size", "its width and height as a maker says them"),
    ("mat", "unfolded", "its size laid open, where it is folded lengthwise"),
    ("part", "glue", "how it is glued, as the part itself says it"),
    ("part", "runs_under", "how far an end of it runs under another part"),
];

/// The ends of a box, which places and sentences of a style may say.
pub const ENDS: &[&str] = &["left", "right", "low", "high", "width", "height"];

/// How far what is in its slots stands out of a leaf, at most: left, right, low, high. A place, a sentence or a
/// row of `[name]` may say it.
pub const OUT: [&str; 4] = ["out_left", "out_right", "out_low", "out_high"];

/// What can hurt someone at a kind of album, as its style names it.
pub const CAUTIONS: [&str; 5] = ["blades", "punches", "needles", "small parts", "photo-safe"];

/// Supply tables that a choice may take from, and the kind of their items.
pub const TABLES: &[(&str, &str)] = &[("prints", "print"), ("rings", "ring")];

/// How a thing is taken hold of.
pub const GRIPS: &[&str] = &["plain", "notch", "tab", "string"];

/// How the bottom of a bag is made.
pub const BOTTOMS: &[&str] = &["block", "pinch"];

/// What covers add to the stack of leaves that they lie on: a style says it under this name.
pub const COVERS: &str = "covers";

/// What the program itself asks a style for, under these names.
pub const ASKED: &[(&str, Dimension, &[&str])] = &[
    ("closed", Length, &["width", "height", "thickness"]),
    (COVERS, Length, &["at_holes", "in_middle"]),
    ("ring", Number, &["count"]),
    (
        "grip",
        Length,
        &[
            "notch",
            "tie_below",
            "tie_radius",
            "pull_width",
            "pull_height",
            "pull_glued",
        ],
    ),
];

/// The name of that kind and field.
pub fn find(kind: &str, field: &str) -> Option<&'static Name> {
    NAMES.iter().find(|n| n.kind == kind && n.field == field)
}

/// What the program takes that field for of a thing of that kind, called so: lengths, numbers, texts.
pub fn dimension(kind: &str, head: &str, field: &str) -> Option<Dimension> {
    let mut asked = ASKED.iter();
    let asked = asked.find(|(of, _, fields)| *of == head && fields.contains(&field));
    asked
        .map(|(_, it, _)| *it)
        .or_else(|| find(kind, field).map(|it| it.dimension))
}

/// The kind of the things in a list.
pub fn list(kind: &str, field: &str) -> Option<&'static str> {
    LISTS
        .iter()
        .find(|(k, f, _)| *k == kind && *f == field)
        .map(|(_, _, of)| *of)
}
