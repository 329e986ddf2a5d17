//! What goes wrong at the table is mended on the page by pressing what stands first.

// What is read first is the business of another test.
#[path = "../mishaps/cases.rs"]
#[allow(dead_code)]
mod cases;

use super::client::*;
use cases::{MISHAPS, Mishap};
use serde_json::json;

/// Buttons that are pressed one after the other: one trouble may stand behind another.
const MOST: usize = 4;

/// The number of the fix that a part offers first.
fn first_fix(strip: &str) -> Option<usize> {
    let (_, fix) = strip.split_once("{&quot;fix&quot;:")?;
    fix.split('}').next()?.parse().ok()
}

#[test]
fn the_first_button_mends_each_mishap() {
    let mut clashes = 0;
    for Mishap { name, album, .. } in &MISHAPS {
        let text = format!(
            "album = \"Table\"\nruler = \"1/8 in\"\nsupplies = [\"supplies.toml\"]\n{album}"
        );
        let desk = Memory::with(&text);
        desk.put("supplies.toml", include_str!("../mishaps/supplies.toml"));
        let server = Server::of(desk, LONG);
        let tab = server.tab();
        let mut answer = tab.post("/look", json!({ "all": true }));
        let fits = |answer: &serde_json::Value| {
            let verdict = answer["verdict"].as_str().expect("a verdict");
            verdict.starts_with("It fits")
        };
        for _ in 0..MOST {
            if fits(&answer) {
                break;
            }
            clashes += 1;
            let strip = tab.until("strip", "{&quot;fix&quot;:");
            let fix = first_fix(&strip).unwrap_or_else(|| panic!("{name}: {strip}"));
            answer = tab.post("/do", json!({ "fix": fix }));
            assert!(answer.get("refused").is_none(), "{name}: {answer}");
        }
        assert!(fits(&answer), "{name}: {}", answer["verdict"]);
    }
    assert!(clashes >= MISHAPS.len() / 2, "{clashes}");
}

/// A part of a page that looks at an album with these supplies, when it contains these words.
fn part_of(album: &str, part: &str, words: &str) -> String {
    let text =
        format!("album = \"Table\"\nruler = \"1/8 in\"\nsupplies = [\"supplies.toml\"]\n{album}");
    let desk = Memory::with(&text);
    desk.put("supplies.toml", include_str!("../mishaps/supplies.toml"));
    let server = Server::of(desk, LONG);
    let tab = server.tab();
    tab.post("/look", json!({ "all": true }));
    tab.until(part, words)
}

#[test]
fn a_bag_that_lies_is_asked_about() {
    part_of(
        "[[bag]]\nname = \"loaf bag\"\nsize = \"9 x 5 1/2 in\"\ngusset = \"3 in\"\n[[leaf]]\nname = \"page\"\nbag = \"loaf bag\"\n[[leaf.insert]]\nname = \"recipe\"\nplace = \"mouth\"\ncard = \"recipe card\"\n",
        "pieces",
        "Loaf bag is wider (9 in) than high (5 1/2 in)",
    );
}
