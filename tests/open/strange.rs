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
    // A bag of the supplies is copied with its first key: the box has another name from then on.
    key(&tab, "bag.small brown.width", "9", 5);
    let copy = "bag.small brown, changed.width";
    assert!(key(&tab, copy, "99999999", 5)["refused"].is_object());
    assert_eq!(said(&all_of(&tab, "text")), before);
    // Typing goes on in the same box.
    key(&tab, field, "5 1/0", 6);
    key(&tab, field, "5", 6);
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

fn check_of(tab: &Tab) -> String {
    let bag = all_of(tab, "bag");
    let at = bag.find("<legend>Leaves").expect("leaves");
    let all = bag[at..].split("<label").skip(1);
    let mut checked = all.filter(|it| it.contains(" checked"));
    said(&format!("<{}", checked.next().expect("one of them")))
        .trim()
        .to_owned()
}

#[test]
fn a_leaf_that_is_new_or_moved_is_the_one_looked_at() {
    let server = Server::with(ALBUM);
    let tab = server.tab();
    let other = Tab::beside(&server.host, &tab.session, "other");
    tab.post("/look", json!({ "leaf": 1 }));
    other.post("/look", json!({ "leaf": 2 }));
    assert!(check_of(&tab).starts_with("shore, 4"), "{}", check_of(&tab));
    // There is one of it.
    tab.post("/add", json!({ "what": "leaf", "like": "shore" }));
    assert!(
        check_of(&tab).starts_with("shore b, 1"),
        "{}",
        check_of(&tab)
    );
    assert!(check_of(&other).starts_with("ledger"));
    for _ in 0..2 {
        tab.post(
            "/shift",
            json!({ "field": "leaf.shore b", "forward": true }),
        );
        assert!(
            check_of(&tab).starts_with("shore b, 1"),
            "{}",
            check_of(&tab)
        );
        assert!(check_of(&other).starts_with("ledger"));
    }
    tab.post("/undo", json!({}));
    assert!(check_of(&tab).starts_with("shore b, 1"));
    tab.post("/remove", json!({ "field": "leaf.cover" }));
    assert!(check_of(&other).starts_with("ledger"));
}

#[test]
fn sheets_for_many_are_called_so_and_go_back_to_one() {
    let server = Server::with(ALBUM);
    let tab = server.tab();
    let answer = tab.post("/ask", json!({ "what": "people", "albums": "12" }));
    assert_eq!(answer["focus"], "sheets-answer");
    assert!(all_of(&tab, "sheets").contains("Sheets for 12 albums"));
    tab.until("sheets", "Sheets for one album");
    tab.post("/look", json!({ "view": "sheets" }));
    assert!(all_of(&tab, "leaf").contains("The sheets for 12 albums"));
    tab.post("/ask", json!({ "what": "people", "albums": "1" }));
    let sheets = tab.until("sheets", "Look at the sheets");
    assert!(!sheets.contains("albums"), "{sheets}");
}

/// A row that is not measured yet would change every photo.
#[test]
fn a_new_thing_is_there_once_it_is_measured() {
    let server = Server::with(ALBUM);
    let tab = server.tab();
    assert!(all_of(&tab, "stock").contains("its-width=f-new-print-width"));
    let before = said(&all_of(&tab, "text"));
    let add = |width: &str| {
        let print = json!({ "what": "print", "its-name": "small print", "its-width": width, "its-height": "3 1/2" });
        tab.post("/add", print)
    };
    assert!(add("")["refused"].is_object());
    assert!(add("wide")["refused"].is_object());
    assert_eq!(said(&all_of(&tab, "text")), before);
    assert!(add("2 1/2").get("refused").is_none());
    let text = said(&all_of(&tab, "text"));
    assert!(
        text.contains("name = \"small print\"") && text.contains("2 1/2 x 3 1/2 in"),
        "{text}"
    );
}

/// Photos have a place on the page before the album names any.
#[test]
fn photos_are_added_on_the_page() {
    let server = Server::empty();
    let tab = server.tab();
    tab.set("first.width", "5");
    tab.set("first.height", "8");
    assert!(all_of(&tab, "stock").contains("Add photos"));
    for (name, size) in [
        ("boat", "4032 x 3024"),
        ("pier", "6 x 4 in"),
        ("gull", "3:2"),
    ] {
        let answer = tab.post(
            "/add",
            json!({ "what": "photo", "its-name": name, "its-size": size }),
        );
        assert!(answer.get("refused").is_none(), "{answer}");
    }
    let stock = all_of(&tab, "stock");
    assert!(
        stock.contains("photos.photo.boat.size") && stock.contains("6 x 4 in"),
        "{stock}"
    );
    tab.refused("photos.photo.boat.size", "large");
    tab.set("photos.photo.boat.size", "2:3");
    tab.set("photos.photo.boat.name", "harbour");
    let text = said(&all_of(&tab, "text"));
    assert!(
        text.contains("[[photos.photo]]\nname = \"harbour\"\nsize = \"2:3\""),
        "{text}"
    );
    tab.set("photos.turn", "yes");
    let all = ["harbour", "pier", "gull"].map(|name| format!("photos.photo.{name}"));
    for field in all {
        assert!(
            tab.post("/remove", json!({ "field": field }))
                .get("refused")
                .is_none()
        );
    }
    assert!(!said(&all_of(&tab, "text")).contains("photo]"));
}

/// All that a kind has no place for is said at once, and one button leaves it out.
#[test]
fn a_kind_without_a_pocket_leaves_it_out() {
    let server = Server::with(ALBUM);
    let tab = server.tab();
    for kind in ["concertina", "signature", "foreedge", "envelope", "boards"] {
        let before = said(&all_of(&tab, "text"));
        let answer = tab.post("/set", json!({ "field": "style", "text": kind }));
        let Some(why) = answer["refused"]["said"].as_str() else {
            tab.post("/undo", json!({}));
            continue;
        };
        assert!(why.contains("has no place for"), "{kind}: {why}");
        assert!(all_of(&tab, "strip").contains("Leave it out"), "{kind}");
        let answer = tab.post("/do", json!({ "notice": "kind", "way": 0 }));
        assert!(answer.get("refused").is_none(), "{kind}: {answer}");
        let text = said(&all_of(&tab, "text"));
        assert!(text.contains(&format!("style = \"{kind}\"")), "{text}");
        assert!(!all_of(&tab, "strip").contains("Leave it out"), "{kind}");
        tab.post("/undo", json!({}));
        assert_eq!(said(&all_of(&tab, "text")), before, "{kind}");
    }
    tab.post("/set", json!({ "field": "style", "text": "concertina" }));
    tab.set("leaf.shore.count", "3");
    assert!(!all_of(&tab, "strip").contains("Leave it out"));
    assert!(tab.post("/do", json!({ "notice": "kind", "way": 0 }))["refused"].is_object());
}

#[test]
fn what_is_missing_stands_at_the_top() {
    let server = Server::with(ALBUM);
    let tab = server.tab();
    tab.until("sheets", "Look at the sheets");
    assert!(!all_of(&tab, "strip").contains("You have"));
    tab.set("paper.shell card.sheets", "1");
    let strip = said(&tab.until("strip", "You have"));
    assert!(strip.contains("You have 1 sheet of shell card"), "{strip}");
}

#[test]
fn a_trouble_on_another_leaf_leads_there() {
    let server = Server::with(ALBUM);
    let tab = server.tab();
    tab.post("/look", json!({ "leaf": 0 }));
    tab.set("leaf.shore.insert.species_tag.height", "9");
    let strip = tab.until("strip", "Look at shore");
    assert!(strip.contains("&quot;leaf&quot;:1"), "{strip}");
    tab.post("/look", json!({ "leaf": 1 }));
    assert!(!all_of(&tab, "strip").contains("Look at shore"));
}

#[test]
fn prices_are_typed_as_they_are_written() {
    let server = Server::with(ALBUM);
    let tab = server.tab();
    for (field, typed, written) in [
        ("bag.small brown.price", "$0.30", "price = \"0.30\""),
        ("bag.small brown, changed.price", ".40", "price = \"0.40\""),
        (
            "bag.small brown, changed.price",
            "0.25 €",
            "price = \"0.25\"",
        ),
        ("price.hour", "$18", "hour = \"18\""),
        ("price.margin", "40", "margin = \"40 %\""),
        ("price.margin", "35 %", "margin = \"35 %\""),
        ("photos.most_cut", "10", "most_cut = \"10 %\""),
    ] {
        tab.set(field, typed);
        let text = said(&all_of(&tab, "text"));
        assert!(text.contains(written), "{typed}: {text}");
    }
    let why = tab.refused("bag.small brown.width", "99999999");
    assert!(
        !why["said"].as_str().expect("why").contains("unit"),
        "{why}"
    );
}

#[test]
fn a_bag_that_is_tried_is_not_saved_or_printed() {
    let server = Server::with(ALBUM);
    let tab = server.tab();
    tab.post("/ask", json!({ "what": "bags" }));
    let ask = said(&tab.until("ask", "Look at lunch brown"));
    assert!(ask.contains("Sheets") && ask.contains("Bags cost"), "{ask}");
    tab.post("/ask", json!({ "what": "try", "bag": "lunch brown" }));
    let bar = all_of(&tab, "bar");
    let save = bar.split("<button").find(|it| it.contains("id=\"save\""));
    let save = save.expect("a button");
    assert!(save.contains("Keep lunch brown or go back first"), "{save}");
    tab.post("/back", json!({}));
    assert!(!all_of(&tab, "bar").contains("go back first"));
}

#[test]
fn the_words_of_a_kind_are_explained() {
    let server = Server::with(ALBUM);
    let tab = server.tab();
    let ask = said(&all_of(&tab, "ask"));
    assert!(
        ask.contains("Mouth: the bag's opening, at the head."),
        "{ask}"
    );
}

/// Several pieces may give the same reason.
#[test]
fn no_reason_is_given_twice() {
    let server = Server::with(ALBUM);
    let tab = server.tab();
    let mut many = 0;
    for (leaf, piece) in [
        (0, "front_mat"),
        (0, "tides"),
        (1, "photo_mat"),
        (1, "front_mat"),
        (2, "photo_mat"),
        (2, "back_print"),
    ] {
        let look = json!({ "all": true, "leaf": leaf, "view": "leaf", "piece": piece });
        let shown = tab.post("/look", look);
        let shown = shown["parts"]["leaf"].as_str().expect("a part").to_owned();
        for side in shown.split("class=\"side\"").skip(1) {
            let side = side.split("</details>").next().expect("its end");
            let (first, others) = side.split_once("<ul>").unwrap_or((side, ""));
            let first = first
                .rsplit("<p>")
                .next()
                .and_then(|it| it.split("</p>").next());
            let others = others.split("<li>").skip(1).map(said);
            let all: Vec<String> = first.map(said).into_iter().chain(others).collect();
            let mut once = all.clone();
            once.sort();
            once.dedup();
            assert_eq!(once.len(), all.len(), "{piece}: {all:#?}");
            many += all.len();
        }
    }
    assert!(many > 4, "{many}");
}
