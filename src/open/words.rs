//! What a sentence says of the album's text, as the page says it: the name of a box in the place of a key.

use crate::style::Style;

/// Keys of an album's text, and the boxes or folds of the page that stand for them.
const BOXES: &[(&str, &str)] = &[
    ("album", "What it is called"),
    ("bag", "The bag"),
    ("back_depth", "Depth behind it"),
    ("bottom", "Its bottom"),
    ("caliper", "Thickness"),
    ("card", "Cards and prints"),
    ("coarsest", "Fewest pixels an inch"),
    ("count", "How many"),
    ("designs", "Designs of a pad"),
    ("diameter", "Hole's diameter"),
    ("edge", "Centre from the edge"),
    ("eyelet", "Eyelet's width"),
    ("ends", "A price ends with"),
    ("facing", "Photos that face each other"),
    ("fees", "Fees of a sale"),
    ("first", "Lowest above the lower edge"),
    ("folded", "Leaf's height"),
    ("grip", "Taken hold of by"),
    ("front_depth", "Depth in front of the gusset"),
    ("gusset", "Gusset, opened"),
    ("height", "Height"),
    ("holes", "How many holes"),
    ("hour", "One hour of work"),
    ("inside", "Inside"),
    ("lies", "The photo lies"),
    ("margin", "Margin, a share of the price"),
    ("markup", "A share of the costs on top"),
    ("minutes", "Minutes of work"),
    ("most_cut", "Most of a photo that may be cut off"),
    ("name", "Its name"),
    ("order", "Their order"),
    ("paper", "Papers"),
    ("photos", "Photos"),
    ("pitch", "From hole to hole"),
    ("place", "What goes where"),
    ("prefer", "What I want most"),
    ("price", "Price of one"),
    ("print", "Cards and prints"),
    ("punch", "Punch"),
    ("reach", "Reaches in"),
    ("resize", "A place may take the shape of its photo"),
    ("ring", "Ring"),
    ("ruler", "I measure in"),
    ("set", "Rules of thumb"),
    ("shape", "Its shape"),
    ("sheets", "Sheets"),
    ("show", "How much shows"),
    ("squeezed", "An empty leaf at its holes, squeezed"),
    ("stays", "Photos that stay in a place"),
    ("style", "Kind of album"),
    ("takes", "Thickest that it takes"),
    ("template", "Holes and rings"),
    ("turn", "A photo may lie on its side"),
    ("turned", "This is the cover"),
    ("width", "Width"),
    ("wire", "Wire"),
];

/// Boxes of a table whose keys are called otherwise elsewhere.
const OF_TABLE: &[(&str, &str, &str)] = &[
    ("price", "price", "Or the price itself"),
    ("bag", "edge", "Pocket's edge above the tail"),
    ("bag", "depth", "How far a card slides down in the pocket"),
    ("bag", "caliper", "Thickness of one layer"),
];

/// The name of a table where it differs from that of a key.
const FOLDS: &[(&str, &str)] = &[
    ("price", "Selling it"),
    ("ring", "Holes and rings"),
    ("leaf", "Leaves"),
    ("leaf.insert", "What goes where"),
    ("leaf.insert.photo", "Its print"),
    ("photos.photo", "Photos"),
    ("print", "Cards and prints"),
];

/// The sentence with each key by the name of its box, and all else that stands in backticks in quotes.
pub fn paged(style: Option<&Style>, said: &str) -> String {
    paged_at(style, "", said)
}

/// The same of what is said of a box: that of this field.
pub fn paged_at(style: Option<&Style>, field: &str, said: &str) -> String {
    let table = field.split('.').next().unwrap_or_default();
    let key = field.rsplit('.').next().unwrap_or_default();
    let parts = said.split('`').enumerate();
    let parts = parts.map(|(n, part)| match (n % 2, part) {
        (0, _) => part.to_owned(),
        // In a file two sides are one size.
        (_, "size") if ["width", "height", "gusset"].contains(&key) => boxed(style, table, key),
        _ => boxed(style, table, part),
    });
    parts.collect()
}

fn boxed(style: Option<&Style>, table: &str, code: &str) -> String {
    let called = |key: &str| {
        let mut of_table = OF_TABLE.iter();
        if let Some((.., label)) = of_table.find(|(of, it, _)| (*of, *it) == (table, key)) {
            return Some(*label);
        }
        let of_page = BOXES
            .iter()
            .find(|(it, _)| *it == key)
            .map(|(_, label)| *label);
        let quantity = || style?.quantity(key).map(|it| it.why.as_str());
        of_page.or_else(quantity)
    };
    if let Some(name) = code.strip_prefix('[').and_then(|it| it.strip_suffix(']')) {
        let name = name.trim_matches(['[', ']']);
        let fold = FOLDS
            .iter()
            .find(|(it, _)| *it == name)
            .map(|(_, label)| *label);
        return match fold.or_else(|| called(name)) {
            Some(label) => format!("“{label}”"),
            None => format!("“{code}” in the album as text"),
        };
    }
    let code = code.strip_prefix("--").unwrap_or(code);
    if let Some(label) = called(code) {
        return format!("“{label}”");
    }
    let sides = code.split_once(" = ").or_else(|| code.split_once(' '));
    match sides.and_then(|(key, value)| Some((called(key)?, value.trim_matches('"')))) {
        // A list of two names is a pair.
        Some((label, pair)) if pair.starts_with("[[") => {
            let names = pair.split('"').skip(1).step_by(2).collect::<Vec<_>>();
            format!("“{label}: {}”", names.join(" + "))
        }
        Some((label, "true")) => format!("“{label}” with a tick"),
        Some((label, value)) => format!("“{label}: {value}”"),
        None => format!("“{code}”"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_key_is_the_name_of_its_box() {
        for (said, page) in [
            (
                "Lay photos on their side: `turn = true` below `[photos]`.",
                "Lay photos on their side: “A photo may lie on its side” with a tick below “Photos”.",
            ),
            (
                "type `[price]` with `margin`, or `--margin \"40 %\"`.",
                "type “Selling it” with “Margin, a share of the price”, or “Margin, a share of the price: 40 %”.",
            ),
            (
                "`count` of a card is a text. Type `count = 4`.",
                "“How many” of a card is a text. Type “How many: 4”.",
            ),
            (
                "type two names: `facing = [[\"boat\", \"harbour\"]]`",
                "type two names: “Photos that face each other: boat + harbour”",
            ),
            ("add a `[[pack]]`", "add a “[[pack]]” in the album as text"),
            ("`99999999` is too large", "“99999999” is too large"),
            ("half `open", "half “open”"),
        ] {
            assert_eq!(paged(None, said), page);
        }
    }

    #[test]
    fn what_is_said_of_a_box_has_its_name() {
        for (field, said, page) in [
            (
                "bag.small.width",
                "`size` must be more than zero",
                "“Width” must be more than zero",
            ),
            (
                "bag.small.pocket.edge",
                "`edge` must be more",
                "“Pocket's edge above the tail” must be more",
            ),
            (
                "template.edge",
                "`edge` must be more",
                "“Centre from the edge” must be more",
            ),
            (
                "punch.small.takes",
                "`takes` must be more",
                "“Thickest that it takes” must be more",
            ),
            (
                "",
                "a `[[leaf.insert]]` below its `[[leaf]]`",
                "a “What goes where” below its “Leaves”",
            ),
        ] {
            assert_eq!(paged_at(None, field, said), page);
        }
    }
}
