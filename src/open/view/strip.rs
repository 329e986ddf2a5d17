//! The bar with the album's name, and the strip: the answer, and the first thing to do.

use super::fixes::{self, troubles, unplaced, watched, way};
use super::form::{button, capital};
use crate::open::sight::{Now, Sheets, Sight, Slip};
use crate::plan::Certainty;
use crate::report;
use maud::{Markup, html};
use serde_json::json;

/// The bar: name, undo, redo, print, save.
pub fn bar(sight: &Sight<'_>) -> Markup {
    let none = json!({});
    let title = match sight.title() {
        "" => "A new album",
        title => title,
    };
    let is_plan = matches!(sight.now, Now::Fits { .. });
    html! {
        h1 data-key="title" { (capital(title)) }
        p class="file" data-key="file" {
            @match sight.file {
                Some(file) => { (file) @if !sight.saved { ", not saved yet" } }
                None => { "not saved yet" }
            }
        }
        div class="tools" data-key="tools" {
            (back("Undo", "/undo", sight.undo))
            (back("Redo", "/redo", sight.redo))
            // A bag that is only tried is neither printed nor saved.
            @let tried = sight.trying.map(|bag| format!("Keep {bag} or go back first"));
            @let off = tried.as_ref().map(|_| "true");
            @if is_plan {
                button type="button" id="print" data-print="/print" title=[tried.as_ref()] aria-disabled=[off] { "Print" }
            }
            @if sight.file.is_none() {
                label class="unseen" for="save-name" { "Name of the album's file" }
                input id="save-name" type="text" placeholder="name this album" autocomplete="off" spellcheck="false";
                button type="button" id="save" class="first" data-post="/save" data-body=(none) data-with="name=save-name" title=[tried.as_ref()] aria-disabled=[off] { "Save" }
            } @else {
                button type="button" id="save" class="first" data-post="/save" data-body=(none) title=[tried.as_ref()] aria-disabled=[off] { "Save" }
                details class="another" data-key="another" {
                    summary { "Save as" }
                    label class="unseen" for="save-name" { "Another name for the album's file" }
                    input id="save-name" type="text" placeholder="another name" autocomplete="off" spellcheck="false";
                    button type="button" data-post="/save" data-body=(none) data-with="name=save-name" aria-disabled=[off] { "Save under this name" }
                }
            }
            button type="button" id="end" data-post="/stop" data-body=(none) { "Stop tuckwright" }
        }
    }
}

fn back(label: &str, path: &str, what: Option<&str>) -> Markup {
    let said = what.map(|what| format!("{label}: {what}"));
    html! {
        button type="button" id=(label.to_lowercase()) data-post=(path) data-body="{}" title=[said.as_ref()]
            aria-label=[said.as_ref()] aria-disabled=[said.is_none().then_some("true")] { (label) }
    }
}

/// The place of a leaf that has the trouble, while another one is looked at.
fn elsewhere(sight: &Sight<'_>, leaf: &str) -> Option<usize> {
    let all = &sight.read?.album.leaves;
    let at = all.iter().position(|it| it.name == leaf)?;
    (all.len() > 1 && at != sight.look.leaf).then_some(at)
}

/// The sentence may still change: what mends it is looked for.
fn is_open(sight: &Sight<'_>) -> bool {
    matches!(sight.now, Now::Clash { why: None, .. })
}

/// Which line of the strip's edge: solid where it fits, dashed where it does not.
fn mood(sight: &Sight<'_>) -> &'static str {
    match sight.now {
        Now::Fits { .. } => "fits",
        Now::Clash { .. } | Now::Wrong(_) | Now::Refused => "clash",
        Now::Empty(_) | Now::Undecided(_) => "open",
    }
}

/// What the answer is in a word or two, and in a sentence behind it.
fn answer(sight: &Sight<'_>) -> (&'static str, String) {
    match sight.now {
        Now::Empty(_) => (
            "Measure a flat bag.",
            "Type its width and its height.".to_owned(),
        ),
        Now::Fits { plan, .. } => (
            "It fits.",
            match plan.certainty {
                Certainty::Best => "No size can be larger (proved).".to_owned(),
                Certainty::Found { .. } => {
                    "These are the best sizes found; a limit was met before all were proved best."
                        .to_owned()
                }
            },
        ),
        Now::Clash { .. } => {
            let all = troubles(sight);
            let first = all.first().map_or("", |it| it.said.as_str());
            let more = match all.len() {
                0 | 1 => String::new(),
                2 => format!(" And {}.", all[1].said),
                n => format!(" {} more things do not fit.", n - 1),
            };
            ("Does not fit:", format!("{first}.{more}"))
        }
        Now::Wrong(slips) => ("Cannot be read:", slips.first().map_or(String::new(), slip)),
        Now::Undecided(why) => ("Undecided:", format!("{}.", report::stopped(why))),
        Now::Refused => (
            "Undecided:",
            format!("{}.", report::stopped(crate::plan::Stopped::Refused)),
        ),
    }
}

/// A slip in a sentence, with its place.
pub fn slip(slip: &Slip) -> String {
    let at = match (slip.file.as_str(), slip.line) {
        ("", 0) => String::new(),
        (file, 0) => format!("{file}: "),
        ("", line) => format!("line {line}: "),
        (file, line) => format!("{file}, line {line}: "),
    };
    format!("{at}{}.", fixes::quoted(slip.said.trim_end_matches('.')))
}

/// The answer in one sentence.
pub fn verdict(sight: &Sight<'_>) -> String {
    let (word, rest) = answer(sight);
    format!("{word} {rest}")
}

/// What the last change changed beside what it says.
fn also_changed(sight: &Sight<'_>) -> Option<String> {
    let Now::Fits { plan, .. } = sight.now else {
        return None;
    };
    report::remake::also_changed(sight.was?, plan)
}

/// The strip.
pub fn strip(sight: &Sight<'_>) -> Markup {
    let (word, rest) = answer(sight);
    let all = troubles(sight);
    let whole = fixes::whole(sight);
    html! {
        div class=(format!("answer {}", mood(sight))) data-key="answer" data-open=[is_open(sight).then_some("yes")] {
            @if let Some(bag) = sight.trying {
                p data-key="trying" {
                    strong { "Trying " (bag) "." } " Nothing is written until you keep it. "
                    (button("Keep it", "/keep", &json!({})))
                    (button("Go back", "/back", &json!({})))
                }
            }
            // The script's own: what stands in boxes and is not in the album.
            button type="button" id="untaken" class="note" {}
            p class="verdict" data-key="verdict" { strong { (word) } " " (rest) }
            @if let Some(also) = also_changed(sight) {
                p data-key="also" { (also) }
            }
            @if let Some(from) = sight.from() {
                @let first = whole.first().copied().or_else(|| all.first()?.ways.first().copied());
                @if let Some(first) = first {
                    div class="act" data-key="act" {
                        (way(from, first, true))
                        @if let Some(at) = all.first().and_then(|it| elsewhere(sight, &it.leaf)) {
                            (button(&format!("Look at {}", all[0].leaf), "/look", &json!({ "leaf": at, "view": "leaf" })))
                        }
                        @let others = all.iter().map(|it| it.ways.len()).sum::<usize>().saturating_sub(1);
                        @if others > 0 {
                            a href="#troubles" { (others) @if others == 1 { " other way" } @else { " other ways" } }
                        }
                    }
                }
            }
            @let watch = watched(sight).len() + usize::from(unplaced(sight).is_some());
            @if watch > 0 {
                p class="act" data-key="watch" {
                    a href="#troubles" { (watch) @if watch == 1 { " thing to watch" } @else { " things to watch" } }
                }
            }
            @if let (Now::Fits { .. }, Sheets::Counted(_, _, [first, others @ ..])) = (sight.now, sight.sheets) {
                p class="act" data-key="short" {
                    @if sight.albums > 1 { "For " (sight.albums) " albums: " }
                    (report::fit::missing(first)) " "
                    @match others.len() {
                        0 => button type="button" class="plain" data-post="/look" data-body=(json!({ "lead": true, "view": "sheets" })) { "See the sheets" },
                        n => a href="#sheets-answer" { (n) @if n == 1 { " more is missing" } @else { " more are missing" } },
                    }
                }
            }
            @if let Now::Wrong(slips) = sight.now {
                p class="act" data-key="slips" {
                    a href="#text-part" { @if slips.len() > 1 { "See all " (slips.len()) } @else { "What to type" } }
                }
            }
        }
        @for notice in sight.notices {
            div class="notice" data-key=(notice.id) {
                p { (notice.said) }
                @for (n, way) in notice.ways.iter().enumerate() {
                    (button(way, "/do", &json!({ "notice": notice.id, "way": n })))
                }
            }
        }
    }
}
