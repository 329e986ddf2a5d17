//! The styles that come with the program.

/// Name and text of each kind of album.
pub const SHIPPED: &[(&str, &str)] = &[
    ("upright", include_str!("../../models/styles/upright.toml")),
    ("boards", include_str!("../../models/styles/boards.toml")),
    (
        "signature",
        include_str!("../../models/styles/signature.toml"),
    ),
];

/// What kinds include, and no kind of itself.
const SHARED: &[(&str, &str)] = &[("common", include_str!("../../models/styles/common.toml"))];

/// The text of a shipped kind of album.
pub fn shipped(name: &str) -> Option<&'static str> {
    named(SHIPPED, name)
}

/// The text of a shipped file that a style may include.
pub fn included(name: &str) -> Option<&'static str> {
    shipped(name).or_else(|| named(SHARED, name))
}

fn named(all: &[(&str, &'static str)], name: &str) -> Option<&'static str> {
    all.iter().find(|(n, _)| *n == name).map(|(_, text)| *text)
}
