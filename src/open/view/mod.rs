//! HTML of what the page shows: pure functions from facts to text.
//!
//! `strip` is the answer with its first button, and the bar above it; `have` and `home` what the maker has; `leaf`
//! the drawing in the middle, laid out by `drawing` for the width of the screen; `cut` what to cut and
//! what is asked; `fixes` are the buttons that mend; `parts` (here) puts them together. Names of parts
//! and places come from the style.

mod cut;
mod drawing;
mod fixes;
mod form;
mod have;
mod home;
mod leaf;
mod strip;

use super::sight::Sight;
use maud::{DOCTYPE, html};

/// The page's own style sheet and script; nothing else is fetched.
pub const STYLE: &str = include_str!("page.css");
pub const SCRIPT: &str = include_str!("page.js");
/// The sign of the page in a browser's tabs: a bag with its doubled rule.
pub const ICON: &str = include_str!("icon.svg");

/// The parts of the page that follow what is known, each as the HTML inside the element of that name.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Parts {
    pub bar: String,
    pub strip: String,
    pub bag: String,
    pub have: String,
    pub text: String,
    pub leaf: String,
    pub cut: String,
}

impl Parts {
    /// Each with its name.
    pub fn all(&self) -> [(&'static str, &str); 7] {
        [
            ("bar", &self.bar),
            ("strip", &self.strip),
            ("bag", &self.bag),
            ("have", &self.have),
            ("text", &self.text),
            ("leaf", &self.leaf),
            ("cut", &self.cut),
        ]
    }
}

/// All parts, the drawing laid out for this many CSS pixels across.
pub fn parts(sight: &Sight<'_>, width_px: u32) -> Parts {
    Parts {
        bar: strip::bar(sight).into_string(),
        strip: strip::strip(sight).into_string(),
        bag: have::bag(sight).into_string(),
        have: have::have(sight).into_string(),
        text: home::as_text(sight).into_string(),
        leaf: leaf::leaf(sight, width_px).into_string(),
        cut: cut::cut(sight).into_string(),
    }
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
                            div id="bag" {}
                            div id="have" {}
                            div id="text" {}
                        }
                        section id="leaf-part" aria-label="The leaf" tabindex="-1" {
                            div id="leaf" {}
                        }
                    }
                    section id="cut-part" aria-labelledby="cut-head" tabindex="-1" {
                        h2 id="cut-head" { "What to cut" }
                        div id="cut" {}
                    }
                }
            }
        }
    };
    page.into_string()
}
