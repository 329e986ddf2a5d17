//! The styles that come with the program.

/// Name and text of each.
pub const SHIPPED: &[(&str, &str)] =
    &[("upright", include_str!("../../models/styles/upright.toml"))];

/// The text of a shipped style.
pub fn shipped(name: &str) -> Option<&'static str> {
    SHIPPED
        .iter()
        .find(|(n, _)| *n == name)
        .map(|(_, text)| *text)
}
