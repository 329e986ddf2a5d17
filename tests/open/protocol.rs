//! The questions that change an album or follow it: start, set, add, remove, do, text, undo, redo, follow, stop.

use super::client::*;
use serde_json::json;

#[test]
fn a_tab_gets_what_it_has_not_got() {
    let server = Server::with(ALBUM);
    let tab = server.tab();
    let first = tab.post("/look", json!({}));
    let parts = first["parts"].as_object().expect("parts");
    for part in [
        "bar", "strip", "bag", "places", "rest", "text", "leaf", "pieces", "ask",
    ] {
        assert!(parts.contains_key(part), "{part}");
    }
    let all = parts.len();
    assert!(
        first["verdict"]
            .as_str()
            .expect("a verdict")
            .starts_with("It fits"),
        "{}",
        first["verdict"]
    );
    // When all that follows is there, nothing is sent twice.
    tab.until("sheets", "Look at the sheets");
    let quiet = tab.post("/look", json!({}));
    assert_eq!(quiet["parts"], json!({}));
    // Another tab of the same browser gets all of it.
    let other = Tab::beside(&server.host, &tab.session, "other");
    assert_eq!(
        other.post("/look", json!({}))["parts"]
            .as_object()
            .expect("parts")
            .len(),
        all
    );
}

#[test]
fn a_measure_is_set_and_everything_follows() {
    let server = Server::with(ALBUM);
    let tab = server.tab();
    let _ = tab.post("/look", json!({}));
    let answer = tab.set("leaf.shore.insert.species_tag.height", "3 1/2");
    assert!(
        answer["verdict"]
            .as_str()
            .expect("a verdict")
            .starts_with("It fits")
    );
    assert!(
        answer["parts"]["pieces"]
            .as_str()
            .expect("a part")
            .contains("3 1/2")
    );
    let text = text_of(&tab);
    // One line is another; its unit is that of the ruler, its comment stays.
    assert_eq!(
        text,
        ALBUM.replace("height = \"4 in\"", "height = \"3 1/2 in\"")
    );
}

/// What no measure changes is large, and every key would send it.
#[test]
fn a_measure_sends_only_what_shows_it() {
    let server = Server::with(ALBUM);
    let tab = server.tab();
    tab.until("sheets", "Look at the sheets");
    let _ = tab.post("/look", json!({}));
    let answer = tab.set("leaf.shore.insert.species_tag.height", "3 1/2");
    let parts = answer["parts"].as_object().expect("parts");
    for part in ["bag", "bags", "stock", "rest", "ask"] {
        assert!(!parts.contains_key(part), "{part}");
    }
}

/// The page would draw each key twice.
#[test]
fn whoever_follows_leaves_the_news_to_the_question_of_its_own_tab() {
    let server = Server::with(ALBUM);
    let tab = server.tab();
    tab.until("sheets", "Look at the sheets");
    let _ = tab.post("/look", json!({}));
    std::thread::scope(|scope| {
        let waits = scope.spawn(|| tab.post("/follow", json!({})));
        let answer = tab.set("leaf.shore.insert.species_tag.height", "3 1/2");
        assert!(answer["parts"]["pieces"].is_string(), "{answer}");
        let later = waits.join().expect("an answer");
        assert!(later["parts"].get("bar").is_none(), "{later}");
    });
}

#[test]
fn an_older_question_of_a_tab_is_dropped() {
    let server = Server::with(ALBUM);
    let tab = server.tab();
    let field = "leaf.shore.insert.species_tag.height";
    let _ = tab.post("/set", json!({ "seq": 9, "field": field, "text": "3" }));
    let late = tab.post("/set", json!({ "seq": 8, "field": field, "text": "2" }));
    assert_eq!(late["dropped"], true);
    assert!(text_of_from(&tab, 10).contains("height = \"3 in\""));
}

fn text_of_from(tab: &Tab, seq: u64) -> String {
    let answer = tab.post("/look", json!({ "seq": seq, "all": true }));
    said(answer["parts"]["text"].as_str().expect("a part"))
}

#[test]
fn what_is_typed_in_one_visit_is_undone_at_once() {
    let server = Server::with(ALBUM);
    let tab = server.tab();
    let field = "leaf.shore.insert.species_tag.height";
    for text in ["3", "3 1", "3 1/2"] {
        let answer = tab.post("/set", json!({ "field": field, "text": text, "visit": 1 }));
        // A half typed fraction is no length: the one before it stands.
        assert_eq!(answer.get("refused").is_some(), text == "3 1", "{answer}");
    }
    let answer = tab.post("/set", json!({ "field": field, "text": "5", "visit": 2 }));
    assert!(
        answer["parts"]["bar"]
            .as_str()
            .expect("a bar")
            .contains("species tag height 5")
    );
    let undone = tab.post("/undo", json!({}));
    assert_eq!(undone["say"], "Undone: species tag height 5.");
    assert!(text_of(&tab).contains("height = \"3 1/2 in\""));
    tab.post("/undo", json!({}));
    assert_eq!(text_of(&tab), ALBUM);
    assert!(tab.post("/undo", json!({})).get("say").is_none());
    tab.post("/redo", json!({}));
    let answer = tab.post("/redo", json!({}));
    assert_eq!(answer["say"], "Done again: species tag height 5.");
    assert!(text_of(&tab).contains("height = \"5 in\""));
    tab.post("/redo", json!({}));
}

#[test]
fn a_hundred_steps_are_undone() {
    let server = Server::with(ALBUM);
    let tab = server.tab();
    for n in 0..100 {
        tab.set("leaf.shore.count", &(5 + n).to_string());
    }
    for _ in 0..100 {
        tab.post("/undo", json!({}));
    }
    assert_eq!(text_of(&tab), ALBUM);
}

#[test]
fn a_first_album_is_made_of_two_numbers() {
    let server = Server::empty();
    let tab = server.tab();
    let first = tab.post("/look", json!({}));
    assert!(
        first["parts"]["bag"]
            .as_str()
            .expect("a part")
            .contains("first.width")
    );
    let begun = tab.set("first.width", "5 1/8");
    assert!(
        begun["parts"]["leaf"].is_null()
            || !begun["verdict"].as_str().unwrap_or("").contains("fits")
    );
    // A key that was on its way while the album came into being is not lost.
    tab.set("first.height", "8");
    let there = tab.set("first.height", "8 1/2");
    assert!(
        there["verdict"]
            .as_str()
            .expect("a verdict")
            .starts_with("It fits"),
        "{}",
        there["verdict"]
    );
    assert!(text_of(&tab).contains("size = \"5 1/8 x 8 1/2 in\""));
    // From here on it is an album like any other.
    tab.set("bag.my bag.gusset", "3 in");
    tab.set("bag.my bag.width", "130 mm");
    tab.refused("first.height", "9");
    tab.post("/undo", json!({}));
    tab.post("/undo", json!({}));
    tab.post("/undo", json!({}));
    tab.post("/undo", json!({}));
    let empty = tab.post("/look", json!({ "all": true }));
    assert!(
        empty["parts"]["bag"]
            .as_str()
            .expect("a part")
            .contains("first.width")
    );
    tab.refused("first.height", "8 1,5");
}

#[test]
fn a_clash_is_mended_by_its_button() {
    let server = Server::with(ALBUM);
    let tab = server.tab();
    let answer = tab.set("leaf.shore.insert.species_tag.height", "9");
    assert!(
        answer["verdict"]
            .as_str()
            .expect("a verdict")
            .starts_with("Does not fit"),
        "{}",
        answer["verdict"]
    );
    let strip = tab.until("strip", "data-post=\"/do\"");
    let (_, fix) = strip.split_once("{&quot;fix&quot;:").expect("a fix");
    let fix: usize = fix
        .split('}')
        .next()
        .expect("a number")
        .parse()
        .expect("a number");
    let answer = tab.post("/do", json!({ "fix": fix }));
    assert!(
        answer["verdict"]
            .as_str()
            .expect("a verdict")
            .starts_with("It fits"),
        "{answer}"
    );
    assert_eq!(answer["focus"], "strip");
    // The same fix is not written twice.
    assert!(tab.post("/do", json!({ "fix": fix }))["refused"].is_object());
    assert_eq!(
        text_of(&tab),
        ALBUM.replace("height = \"4 in\"", "height = \"5 1/2 in\"")
    );
    tab.post("/undo", json!({}));
    assert!(text_of(&tab).contains("height = \"9 in\""));
    for wrong in [
        json!({ "fix": 0 }),
        json!({ "fix": 99 }),
        json!({ "watch": 99 }),
        json!({ "notice": "x" }),
        json!({}),
    ] {
        assert!(
            tab.post("/do", wrong.clone())["refused"].is_object(),
            "{wrong}"
        );
    }
}

#[test]
fn rows_are_added_and_taken_out() {
    let server = Server::with(ALBUM);
    let tab = server.tab();
    let answer = tab.post("/add", json!({ "what": "leaf", "like": "shore" }));
    assert!(answer.get("refused").is_none(), "{answer}");
    let text = text_of(&tab);
    assert!(
        text.contains("name = \"shore b\"") && text.matches("species_tag").count() == 2,
        "{text}"
    );
    let field = "leaf.shore b";
    tab.post("/remove", json!({ "field": field }));
    assert_eq!(text_of(&tab), ALBUM);
    let answer = tab.post(
        "/add",
        json!({ "what": "insert", "leaf": "ledger", "place": "pocket" }),
    );
    assert!(answer.get("refused").is_none(), "{answer}");
    assert!(
        text_of(&tab).contains("name = \"piece\"\nplace = \"pocket\""),
        "{}",
        text_of(&tab)
    );
    let gone = tab.post(
        "/remove",
        json!({ "fields": ["leaf.ledger.insert.piece", "leaf.ledger.insert.finds"] }),
    );
    assert!(gone.get("refused").is_none(), "{gone}");
    assert!(!text_of(&tab).contains("name = \"finds\""));
    for what in ["paper", "card", "print", "ring", "punch", "bag", "offcut"] {
        let answer = tab.post("/add", json!({ "what": what }));
        assert!(answer.get("refused").is_none(), "{what}: {answer}");
    }
    for wrong in [
        json!({ "what": "accept" }),
        json!({}),
        json!({ "what": "insert" }),
        json!({ "what": "leaf", "like": "none" }),
    ] {
        assert!(
            tab.post("/add", wrong.clone())["refused"].is_object(),
            "{wrong}"
        );
    }
    let gone = tab.post("/remove", json!({ "field": "bag.small brown" }));
    assert!(
        gone["refused"]["said"]
            .as_str()
            .expect("why")
            .contains("supplies"),
        "{gone}"
    );
}

#[test]
fn the_album_is_typed_as_text() {
    let server = Server::with(ALBUM);
    let tab = server.tab();
    let wrong = ALBUM.replace("count = 4", "count = four");
    let answer = tab.post("/text", json!({ "text": wrong }));
    assert!(answer.get("refused").is_none());
    let parts = answer["parts"].to_string();
    assert!(
        parts.contains("ine 35") || parts.contains("ine 36") || parts.contains("Line"),
        "{parts}"
    );
    // Meanwhile the boxes are not typed into.
    assert!(
        tab.refused("leaf.shore.count", "5")["said"]
            .as_str()
            .expect("why")
            .contains("text")
    );
    let answer = tab.post(
        "/text",
        json!({ "text": ALBUM.replace("count = 4", "count = 5") }),
    );
    assert!(
        answer["verdict"]
            .as_str()
            .expect("a verdict")
            .starts_with("It fits")
    );
    tab.set("leaf.shore.count", "4");
    assert_eq!(text_of(&tab), ALBUM);
}

#[test]
fn what_another_tab_changes_is_followed() {
    let server = Server::with(ALBUM);
    let tab = server.tab();
    let other = Tab::beside(&server.host, &tab.session, "other");
    tab.until("sheets", "Look at the sheets");
    let stamp = tab.post("/look", json!({}))["stamp"].clone();
    std::thread::scope(|scope| {
        let waits = scope.spawn(|| tab.post("/follow", json!({})));
        other.set("leaf.shore.insert.species_tag.height", "3");
        let heard = waits.join().expect("an answer");
        assert!(heard["stamp"].as_u64() > stamp.as_u64());
    });
    tab.until("text", "3 in");
}

#[test]
fn it_stops_when_it_is_asked() {
    let server = Server::with(ALBUM);
    let tab = server.tab();
    assert_eq!(
        tab.post("/stop", json!({}))["say"],
        "tuckwright has stopped."
    );
    let host = server.host.clone();
    server.ended();
    assert!(std::net::TcpStream::connect(host).is_err());
}

#[test]
fn what_is_half_typed_leaves_nothing_behind() {
    let server = Server::with(ALBUM);
    let tab = server.tab();
    let typed = |field: &str, visit: u64, texts: &[&str]| {
        for text in texts {
            let set = json!({ "field": field, "text": text, "visit": visit });
            let answer = tab.post("/set", set);
            assert!(answer.get("refused").is_none(), "{field} {text}: {answer}");
        }
    };
    // The line and its comment are back with the number.
    typed("leaf.shore.insert.sketch.show", 1, &["", "1", "3/4"]);
    let shown = ALBUM.replace("show = \"1/2 in\"", "show = \"3/4 in\"");
    assert_eq!(text_of(&tab), shown);
    tab.post("/undo", json!({}));
    // A name is one name, whatever it was on the way.
    typed("leaf.shore.name", 2, &["s", "sa", "sand"]);
    let sand = ALBUM.replace("\"shore\"", "\"sand\"");
    assert_eq!(text_of(&tab), sand.replace("\"shore 3\"", "\"sand 3\""));
    tab.post("/undo", json!({}));
    typed("bag.small brown.name", 3, &["a", "ab"]);
    assert!(!text_of(&tab).contains("\"a\""), "{}", text_of(&tab));
    tab.post("/undo", json!({}));
    assert_eq!(text_of(&tab), ALBUM);
    // What another tab changed meanwhile stays.
    typed("leaf.shore.count", 4, &["5"]);
    let other = Tab::beside(&server.host, &tab.session, "other");
    other.set("leaf.ledger.count", "3");
    typed("leaf.shore.count", 4, &["6"]);
    let both = ALBUM.replace("count = 4", "count = 6");
    assert_eq!(text_of(&tab), both.replace("count = 2", "count = 3"));
}

#[test]
fn a_leaf_goes_with_the_wishes_for_it() {
    let server = Server::with(ALBUM);
    let tab = server.tab();
    let answer = tab.post("/remove", json!({ "field": "leaf.ledger" }));
    assert!(answer.get("refused").is_none(), "{answer}");
    let text = text_of(&tab);
    assert!(
        text.contains("prefer = [\"largest photo_mat.photo\"]"),
        "{text}"
    );
    tab.post("/undo", json!({}));
    assert_eq!(text_of(&tab), ALBUM);
}

#[test]
fn the_kind_of_album_is_one_that_is_shipped() {
    let server = Server::with(ALBUM);
    let tab = server.tab();
    for path in ["mine.toml", "../style.toml", "/etc/passwd", "none", ""] {
        tab.refused("style", path);
    }
    tab.set("style", "upright");
    assert_eq!(text_of(&tab), ALBUM);
}

#[test]
fn ten_tabs_hear_of_each_change() {
    let server = Server::with(ALBUM);
    let first = server.tab();
    let (host, session) = (&server.host, &first.session);
    let names = [
        "side_reveal",
        "head_reveal",
        "pocket_reveal",
        "back_reveal",
        "cutting_error",
        "tuck_under",
        "band_height",
        "band_glue",
        "stop_height",
        "end_least",
    ];
    std::thread::scope(|scope| {
        for name in names {
            // Each changes something of its own, and sees what all the others changed.
            scope.spawn(move || {
                let tab = Tab::beside(host, session, name);
                tab.set(&format!("set.{name}"), "1/8");
                for other in names {
                    tab.until("text", &format!("{other} = "));
                }
            });
        }
    });
    for _ in 0..10 {
        first.post("/undo", json!({}));
    }
    assert_eq!(text_of(&first), ALBUM);
}
