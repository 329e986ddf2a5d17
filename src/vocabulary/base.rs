//! Quantities without which no album can be worked out.

/// Quantities that the vocabulary itself needs: name, inches, metric, why, and whether it stands
/// for a measure. A style may say them anew.
#[rustfmt::skip] // A row a line.
pub const BASE: &[(&str, &str, &str, &str, bool)] = &[
    ("hole_count", "3", "3", "holes in a leaf", false),
    ("hole_diameter", "1/4 in", "6 mm", "hole that the punch makes", true),
    ("bag_caliper", "0.0045 in", "0.115 mm", "thickness of one layer of bag", true),
    ("paper_caliper", "0.0065 in", "0.165 mm", "thickness of decorative paper", true),
    ("card_caliper", "0.01 in", "0.25 mm", "thickness of an insert's card", true),
    ("print_caliper", "0.0095 in", "0.24 mm", "thickness of a photo print", true),
    ("eyelet_flanges", "1/32 in", "0.8 mm", "what the two flanges of an eyelet add to a leaf at its holes", true),
    ("bulk_factor", "150 %", "150 %", "how much thicker folded layers of bag lie than when squeezed", false),
];

/// Those of them that a style without holes does not need.
pub const OF_HOLES: &[&str] = &["hole_diameter"];

/// Those that an album without photos does not need.
pub const OF_PHOTOS: &[&str] = &["print_caliper"];
