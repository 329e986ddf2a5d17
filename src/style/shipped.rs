//! The styles that come with the program.

/// Name and text of each kind of album.
pub const SHIPPED: &[(&str, &str)] = &[
    ("upright", include_str!("../../models/styles/upright.toml")),
    ("boards", include_str!("../../models/styles/boards.toml")),
    (
        "foreedge",
        include_str!("../../models/styles/foreedge.toml"),
    ),
    (
        "envelope",
        include_str!("../../models/styles/envelope.toml"),
    ),
    (
        "signature",
        include_str!("../../models/styles/signature.toml"),
    ),
    (
        "concertina",
        include_str!("../../models/styles/concertina.toml"),
    ),
];

/// What kinds include, and no kind of itself.
const SHARED: &[(&str, &str)] = &[
    ("common", include_str!("../../models/styles/common.toml")),
    ("rings", include_str!("../../models/styles/rings.toml")),
    ("extras", include_str!("../../models/styles/extras.toml")),
    ("grips", include_str!("../../models/styles/grips.toml")),
    (
        "closures",
        include_str!("../../models/styles/closures.toml"),
    ),
];

/// The text of a shipped kind of album.
pub fn shipped(name: &str) -> Option<&'static str> {
    named(SHIPPED, name)
}

/// The text of a shipped file that a style may include.
pub fn included(name: &str) -> Option<&'static str> {
    shipped(name).or_else(|| named(SHARED, name))
}

/// The names of these.
pub(super) fn can_include() -> impl Iterator<Item = &'static str> {
    SHIPPED.iter().chain(SHARED).map(|(name, _)| *name)
}

/// The first shared file with this in its text.
pub(super) fn sharing(text: &str) -> Option<&'static str> {
    let mut all = SHARED.iter();
    Some(all.find(|(_, it)| it.contains(text))?.0)
}

fn named(all: &[(&str, &'static str)], name: &str) -> Option<&'static str> {
    all.iter().find(|(n, _)| *n == name).map(|(_, text)| *text)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The rows of a file, each without the comments above it.
    fn rows(text: &str) -> Vec<&str> {
        let rows = text
            .split("\n\n")
            .filter_map(|row| row.get(row.find("[[")?..));
        rows.map(str::trim).collect()
    }

    /// A row that `upright` does without: how thick its middle may be is a rule of its own.
    const NOT_UPRIGHT: &str = "name = \"the ring is as wide as what lies beside it is thick\"";

    /// `upright` has rows of its own in an order of its own; what the files that are shared have of them is the
    /// same, word for word.
    #[test]
    fn what_is_shared_is_as_in_upright() {
        let upright = rows(shipped("upright").expect("it is shipped"));
        for (file, text) in &SHARED[..2] {
            for row in rows(text)
                .into_iter()
                .filter(|row| !row.contains(NOT_UPRIGHT))
            {
                assert!(upright.contains(&row), "{file}: {row}");
            }
        }
    }
}
