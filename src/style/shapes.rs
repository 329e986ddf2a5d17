//! The keys that each table of a style file may have, with an example of each, and the words for edges. May
//! import `text`.

use super::parts::{Bound, Edge, Thickens};
use super::steps::Shows;
use crate::text::Shape;

/// Of a row in any list of rows with names; `include` takes it up.
const BEFORE: (&str, &str) = ("before", "\"rear\"");

pub(super) const STYLE: Shape = Shape::new("a style", &["style", "rule"]).keys(&[
    ("style", "\"upright\""),
    ("title", "\"Upright leaves\""),
    ("quantity", "[quantity]"),
    ("unknown", "[[unknown]]"),
    ("choice", "[[choice]]"),
    ("rule", "[[rule]]"),
    ("part", "[[part]]"),
    ("name", "[name]"),
    ("step", "[[step]]"),
    ("cautions", "[\"blades\"]"),
    ("easiest", "[\"place\", \"hold\", \"trim\"]"),
    ("words", "\"Spine edge: where the holes are.\""),
    ("include", "[\"upright\"]"),
    ("also", "[also.closures]"),
    ("without", "[\"band has its height\"]"),
]);

pub(super) const QUANTITY: Shape = Shape::new("a quantity", &["value", "why"]).keys(&[
    ("value", "\"1/16 in\""),
    ("metric", "\"1.5 mm\""),
    ("why", "\"bag seen beside a mat\""),
    ("measure", "true"),
    ("give", "2"),
]);

pub(super) const UNKNOWN: Shape = Shape::new("an unknown", &["name", "prefer", "why"]).keys(&[
    ("name", "\"front_mat.width\""),
    ("for", "[\"leaf in leaves\"]"),
    ("when", "'front_mat.wanted'"),
    ("prefer", "\"large\""),
    ("first", "true"),
    ("least", "\"least_piece\""),
    ("above", "\"border\""),
    ("title", "\"lowest hole\""),
    ("called", "\"the height of the lowest hole\""),
    ("shown", "\"the lowest hole {it} above the tail\""),
    ("more", "\"punch the lowest hole {by} higher: {it}\""),
    ("less", "\"punch the lowest hole {by} lower: {it}\""),
    ("why", "\"cut size\""),
    BEFORE,
]);

pub(super) const CHOICE: Shape = Shape::new("a choice", &["name", "from", "why"]).keys(&[
    ("name", "\"photo.print\""),
    ("for", "[\"leaf in leaves\"]"),
    ("when", "'insert.has_photo'"),
    ("from", "\"prints\""),
    ("turn", "true"),
    ("prefer", "\"first\""),
    ("first", "true"),
    ("why", "\"what the photo is trimmed from\""),
    BEFORE,
]);

pub(super) const RULE: Shape = Shape::new("a rule", &["name", "because", "source"]).keys(&[
    ("name", "\"a hole keeps paper to the spine edge\""),
    ("wish", "true"),
    ("for", "[\"leaf in leaves\"]"),
    ("when", "'leaf.has_pocket'"),
    ("require", "'template.edge >= template.diameter'"),
    ("either", "['a <= b', 'c <= d']"),
    ("because", "\"it needs {left}; there is {right}\""),
    (
        "watch",
        "\"{insert.name} cannot be gripped: cut a thumb notch\"",
    ),
    ("mend", "[\"spine_strip\"]"),
    ("give", "3"),
    ("give_most", "'hole_clear + ease'"),
    ("capacity", "true"),
    ("source", "\"common practice\""),
    BEFORE,
]);

pub(super) const PART: Shape = Shape::new("a part", &["name"]).keys(&[
    ("name", "\"front_mat\""),
    ("when", "'leaf.has_pocket'"),
    ("title", "\"front mat\""),
    ("left", "'leaf.clear'"),
    ("right", "'leaf.width - ease'"),
    ("width", "'leaf.width / 2'"),
    ("low", "'leaf.height - front.depth'"),
    ("high", "'pocket.edge'"),
    ("height", "'stop_height'"),
    ("usual", "\"none\""),
    ("flat", "false"),
    ("thickens", "\"middle\""),
    ("plies", "'2'"),
    ("opens", "\"high\""),
    ("place", "\"mouth\""),
    ("section", "\"front\""),
    ("edge", "\"the mouth\""),
    ("into", "\"under the band\""),
    ("gap", "'glued_gap'"),
    ("joined", "{ low = \"front\" }"),
    (
        "outline",
        "[['0', '0'], ['leaf.width', '0'], ['0', 'leaf.height']]",
    ),
    ("lies", "\"glued on the leaf\""),
    ("glue", "\"front mat, even at both sides\""),
    ("glued", "{ left = 'glue_seam', right = 'glue_seam' }"),
    ("says", "\"front of the bag\""),
    ("side", "\"pocket side\""),
    ("measure", "\"how deep a card slides into the pocket\""),
    ("from", "\"bags\""),
    ("count", "'2'"),
    ("bound", "\"left\""),
    ("sides", "[\"pocket side\", \"back\"]"),
    ("edges", "{ left = \"spine edge\" }"),
    ("faces", "\"What faces what as you turn the leaves.\""),
    ("on", "[{ name = \"front\", plies = '1' }]"),
    ("marks", "[{ name = \"hole\", across = 'template.edge' }]"),
    BEFORE,
]);

pub(super) const JOINED: Shape = Shape::new("what a part hangs together with", &[]).keys(EDGES);

pub(super) const GLUED: Shape = Shape::new("how wide the glue is at each edge", &[]).keys(&[
    ("left", "'glue_seam'"),
    ("right", "'glue_seam'"),
    ("low", "'glue_seam'"),
    ("high", "'glue_seam'"),
]);

pub(super) const EDGE_WORDS: Shape = Shape::new("the words for a frame's edges", &[]).keys(EDGES);

pub(super) const EDGES: &[(&str, &str)] = &[
    ("left", "\"spine edge\""),
    ("right", "\"outer edge\""),
    ("low", "\"tail fold\""),
    ("high", "\"head, mouth\""),
];
pub(super) const MARK: Shape = Shape::new("a mark", &["name"]).keys(&[
    ("name", "\"hole\""),
    ("title", "[\"hole\", \"holes\"]"),
    ("count", "'template.count'"),
    ("across", "'template.edge'"),
    ("within", "['0', 'leaf.width / 2']"),
    ("up", "'hole.height'"),
    ("diameter", "'template.diameter'"),
    ("lay", "\"Lay it at the tail fold and the spine edge.\""),
    ("lies", "\"centres {hole.heights} above the tail\""),
    BEFORE,
]);

pub(super) const ENDS: Shape = Shape::new("the largest or smallest of several", &[]).keys(&[
    ("most", "['leaf.clear', 'glue_seam + ease']"),
    ("least", "['leaf.height', 'pocket.edge']"),
]);

pub(super) const ROW: Shape = Shape::new("what a name stands for", &[]).keys(&[
    ("when", "'leaf.has_pocket'"),
    ("is", "'leaf.gusset / 2'"),
    ("most", "['leaf.width', 'wrapper.width']"),
    ("least", "['leaf.gusset / 2', 'pocket.edge']"),
    ("holds", "'given(pocket.edge)'"),
    ("assumed", "\"a flap stands as high as the gusset is deep\""),
    ("title", "\"height of the pocket's edge\""),
    ("more", "\"let the pocket stand {by} higher: {it}\""),
    ("less", "\"let the pocket stand {by} lower: {it}\""),
]);

pub(super) const STEP: Shape = Shape::new("a step", &[]).keys(&[
    ("title", "\"Fold the leaves\""),
    ("do", "[\"Press the leaves flat.\"]"),
    (
        "check",
        "[\"a strip of card slides down into every slot.\"]",
    ),
    ("care", "\"hot glue burns.\""),
    ("needs", "[\"An awl\"]"),
    ("none", "\"No leaf has a mat.\""),
    ("use", "\"cut\""),
    ("minutes", "'5 + 2 * album.leaves'"),
    ("shows", "\"papers\""),
    BEFORE,
]);

pub(super) const SENTENCE: Shape = Shape::new("a sentence", &["say"]).keys(&[
    ("for", "[\"leaf in leaves\"]"),
    ("when", "'leaf.has_pocket'"),
    ("say", "\"{leaf.name}: lay the bag flat.\""),
    ("once", "true"),
    ("head", "\"{leaf.each}: \""),
    ("join", "\"; then \""),
    ("needs", "[\"Thin string\"]"),
]);

pub(super) const WHERE: [(&str, Edge); 4] = [
    ("left", Edge::Left),
    ("right", Edge::Right),
    ("low", Edge::Low),
    ("high", Edge::High),
];
pub(super) const OPENS: [(&str, Option<Edge>); 5] = [
    ("left", Some(Edge::Left)),
    ("right", Some(Edge::Right)),
    ("low", Some(Edge::Low)),
    ("high", Some(Edge::High)),
    ("no", None),
];
pub(super) const THICKENS: [(&str, Thickens); 3] = [
    ("all", Thickens::All),
    ("holes", Thickens::Holes),
    ("middle", Thickens::Middle),
];
pub(super) const SHOWS: [(&str, Shows); 6] = [
    ("plies", Shows::Plies),
    ("papers", Shows::Papers),
    ("folds", Shows::Folds),
    ("zigzag", Shows::Zigzag),
    ("grips", Shows::Grips),
    ("template", Shows::Template),
];
pub(super) const BOUND: [(&str, Bound); 6] = [
    ("left", Bound::At(Edge::Left)),
    ("right", Bound::At(Edge::Right)),
    ("low", Bound::At(Edge::Low)),
    ("high", Bound::At(Edge::High)),
    ("fold", Bound::Fold),
    ("none", Bound::No),
];

#[cfg(test)]
mod tests {
    use super::*;

    /// What a maker reads of a style names every key that a file may have.
    #[test]
    fn every_key_is_explained() {
        let text = include_str!("../cli/help/style.md");
        let of = |heading: &str| {
            let (_, rest) = text
                .split_once(&format!("\n## {heading}\n"))
                .expect(heading);
            rest.split("\n## ").next().unwrap_or("").to_owned()
        };
        assert!(text.contains("may stand `before` another"));
        for (heading, shapes) in [
            ("The file", &[STYLE][..]),
            ("A quantity", &[QUANTITY]),
            ("An unknown", &[UNKNOWN]),
            ("A choice", &[CHOICE]),
            ("A rule", &[RULE]),
            ("A part", &[PART]),
            ("A mark", &[MARK]),
            ("A row of `[name]`", &[ROW, ENDS]),
            ("A step and its sentences", &[STEP, SENTENCE]),
        ] {
            let said = of(heading);
            let said = said
                .lines()
                .filter_map(|line| line.strip_prefix("| `")?.split('`').next());
            let said: std::collections::BTreeSet<&str> = said.collect();
            let keys = shapes.iter().flat_map(|shape| shape.keys);
            let keys = keys.map(|(key, _)| *key);
            let keys = keys.filter(|key| *key != BEFORE.0).collect();
            assert_eq!(said, keys, "{heading}");
        }
    }
}
