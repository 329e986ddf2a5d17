//! What someone types and presses who sees the page for the first time.

use super::client::*;
use serde_json::{Value, json};

/// A key of one visit to a box.
fn key(tab: &Tab, field: &str, text: &str, visit: u64) -> Value {
    tab.post(
        "/set",
        json!({ "field": field, "text": text, "visit": visit }),
    )
}

fn all_of(tab: &Tab, part: &str) -> String {
    let answer = tab.post("/look", json!({ "all": true }));
    answer["parts"][part].as_str().unwrap_or("").to_owned()
}

/// Each key is sent: what is refused in the end leaves nothing of its first keys behind.
#[test]
fn what_is_refused_leaves_what_was_there_before_the_typing() {
    let server = Server::with(ALBUM);
    let tab = server.tab();
    let before = said(&all_of(&tab, "text"));
    let field = "leaf.shore.insert.species_tag.height";
    for (visit, keys) in [
        (1, &["5", "5 1/0"][..]),
        (2, &["6", "6..5"]),
        (3, &["4", "4,5", "4,5,6"]),
        (4, &["9", "99", "999", "99999999"]),
    ] {
        let last = keys.iter().map(|text| key(&tab, field, text, visit)).last();
        assert!(last.expect("keys")["refused"].is_object(), "{keys:?}");
        assert_eq!(said(&all_of(&tab, "text")), before, "{keys:?}");
    }
    assert!(tab.post("/undo", json!({})).get("say").is_none());
    // Typing goes on in the same box.
    key(&tab, field, "5 1/0", 5);
    key(&tab, field, "5", 5);
    assert!(said(&all_of(&tab, "text")).contains("height = \"5 in\""));
    tab.post("/undo", json!({}));
    assert_eq!(said(&all_of(&tab, "text")), before);
}

/// An album that begins with a number of which the rest is refused has not begun.
#[test]
fn a_first_bag_that_is_refused_is_no_bag() {
    let server = Server::empty();
    let tab = server.tab();
    key(&tab, "first.width", "180", 1);
    key(&tab, "first.height", "2", 2);
    key(&tab, "bag.my bag.height", "26", 2);
    let refused = key(&tab, "bag.my bag.height", "260", 2);
    assert!(refused["refused"].is_object(), "{refused}");
    assert!(all_of(&tab, "bag").contains("first.width"), "no bag yet");
    // In millimetres it is a bag.
    let there = tab.set("first.ruler", "1 mm");
    assert!(
        said(&all_of(&tab, "text")).contains("size = \"180 x 260 mm\""),
        "{there}"
    );
}

#[test]
fn the_unit_is_chosen_before_anything_is_measured() {
    let server = Server::empty();
    let tab = server.tab();
    assert!(all_of(&tab, "bag").contains("data-field=\"first.ruler\""));
    tab.set("first.ruler", "0.1 cm");
    tab.set("first.width", "13");
    tab.set("first.height", "21");
    assert!(said(&all_of(&tab, "text")).contains("size = \"13 x 21 cm\""));
}

#[test]
fn the_answer_before_does_not_stand_beside_a_card_that_cannot_be() {
    let server = Server::with(ALBUM);
    let tab = server.tab();
    tab.post(
        "/ask",
        json!({ "what": "card", "width": "3", "height": "4" }),
    );
    assert!(all_of(&tab, "ask").contains("3 × 4 in"));
    for (width, height, words) in [("abc", "", "abc"), ("3", "", "Type the height")] {
        tab.post(
            "/ask",
            json!({ "what": "card", "width": width, "height": height }),
        );
        let ask = all_of(&tab, "ask");
        assert!(!ask.contains("3 × 4 in") && ask.contains(words), "{ask}");
    }
}
