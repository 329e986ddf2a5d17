//! HTML of what the page shows: pure functions from facts to text.
//!
//! `strip` is the answer with its first button, and the bar above it; `bags`, `have` and `home` what the maker
//! has, with `papers` to choose from and `photos`; `leaf` the drawing in the middle, laid out by `drawing` for the width of
//! the screen (with its `arrows` and `letters`), `whole` what is shown in its place (`printed` are pages as
//! they are printed); `cut` what to cut, `ask` what can be asked; `fixes` are the buttons that mend; `parts` (here)
//! puts them together. Names of parts and places come from the style.

mod arrows;
mod ask;
mod bags;
mod cut;
mod drawing;
mod fixes;
mod form;
mod have;
mod home;
mod leaf;
mod letters;
mod papers;
mod photos;
mod pixels;
mod printed;
mod strip;
mod whole;

use super::sight::Sight;
use maud::{DOCTYPE, html};

/// The page's own style sheet and script; nothing else is fetched.
pub const STYLE: &str = include_str!("page.css");
pub const SCRIPT: &str = include_str!("page.js");
/// The sign of the page in a browser's tabs: a bag with its doubled rule.
pub const ICON: &str = include_str!("icon.svg");

/// The parts of the page that follow what is known, each with the name of the element that it stands in. A
/// part is sent again if it changed: what a key changes stands apart from what it leaves as it is.
pub fn parts(sight: &Sight<'_>, width_px: u32) -> [(&'static str, String); 13] {
    [
        ("bar", strip::bar(sight)),
        ("strip", strip::strip(sight)),
        ("bag", bags::bag(sight)),
        ("bags", bags::others(sight)),
        ("places", have::have(sight)),
        ("stock", home::stock(sight)),
        ("holes", home::holes(sight)),
        ("rest", home::rest(sight)),
        ("text", home::as_text(sight)),
        ("leaf", leaf::leaf(sight, width_px)),
        ("pieces", cut::cut(sight)),
        ("sheets", cut::sheets(sight)),
        ("ask", cut::asked(sight)),
    ]
    .map(|(name, html)| match html.into_string() {
        // The file as it is.
        html if name == "text" => (name, html),
        html => (name, unbroken(&html)),
    })
}

/// Text of a page in which a number keeps to its fraction and its unit: no line ends between them.
fn unbroken(html: &str) -> String {
    let mut in_tag = false;
    let letter = |(at, letter): (usize, char)| {
        match letter {
            '<' => in_tag = true,
            '>' => in_tag = false,
            _ => {}
        }
        let number = html[..at].ends_with(|c: char| c.is_ascii_digit());
        match letter == ' ' && !in_tag && number && belongs(&html[at + 1..]) {
            true => '\u{a0}',
            false => letter,
        }
    };
    html.char_indices().map(letter).collect()
}

/// Whether a text begins with a fraction or a unit.
fn belongs(text: &str) -> bool {
    let ends = |c: char| c.is_whitespace() || "<,;:.)".contains(c);
    let word = text.split(ends).next().unwrap_or("");
    let fraction = word.contains('/') && word.starts_with(|c: char| c.is_ascii_digit());
    fraction || ["in", "mm", "cm", "%"].contains(&word)
}

/// The answer in one sentence, for the live region and the title of the window.
pub fn verdict(sight: &Sight<'_>) -> String {
    strip::verdict(sight)
}

/// The page without its content: everything that an album says comes later, to whoever has the key.
pub fn shell() -> String {
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1, interactive-widget=resizes-content";
                meta name="color-scheme" content="light dark";
                title { "tuckwright" }
                link rel="icon" type="image/svg+xml" href="/icon.svg";
                link rel="stylesheet" href="/page.css";
                script src="/page.js" defer {}
            }
            body {
                a class="skip" href="#strip" { "To the answer" }
                header id="bar" { h1 { "tuckwright" } }
                section id="strip" aria-label="Answer" tabindex="-1" {
                    p { "One moment: the album is opened." }
                    noscript { p { "This page needs JavaScript: it asks tuckwright for every size." } }
                }
                p id="say" role="status" class="unseen" {}
                p id="told" aria-hidden="true" {}
                nav class="jumps" aria-label="Parts of the page" {
                    a href="#have-part" { "What I have" }
                    a href="#leaf-part" { "The leaf" }
                    a href="#cut-part" { "What to cut" }
                }
                main {
                    // The leaf stays beside what is typed, and no further.
                    div class="desk" {
                        section id="have-part" aria-labelledby="have-head" tabindex="-1" {
                            h2 id="have-head" { "What I have" }
                            @for part in ["bag", "bags"] { div id=(part) {} }
                            div id="have" { @for part in ["places", "stock", "holes", "rest"] { div id=(part) {} } }
                            div id="text" {}
                        }
                        section id="leaf-part" aria-label="The leaf" tabindex="-1" {
                            div id="leaf" {}
                        }
                    }
                    section id="cut-part" aria-labelledby="cut-head" tabindex="-1" {
                        h2 id="cut-head" { "What to cut" }
                        div id="cut" { @for part in ["pieces", "sheets", "ask"] { div id=(part) {} } }
                    }
                }
            }
        }
    };
    page.into_string()
}

#[cfg(test)]
mod tests {
    #[test]
    fn a_number_keeps_to_its_fraction_and_its_unit() {
        for (html, told) in [
            (
                "<p>need 6 1/16 in, 3 x</p>",
                "<p>need 6\u{a0}1/16\u{a0}in, 3 x</p>",
            ),
            (
                "<b title=\"6 1/16 in\">2 of 3 and/or 4 %</b>",
                "<b title=\"6 1/16 in\">2 of 3 and/or 4\u{a0}%</b>",
            ),
            ("bag 3 1", "bag 3 1"),
        ] {
            assert_eq!(super::unbroken(html), told);
        }
    }
}
