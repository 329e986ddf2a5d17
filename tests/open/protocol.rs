//! Every question that a page asks: start, look, set, add, remove, do, ask, text, undo, redo, follow, print, stop.

use super::client::*;
use serde_json::json;

fn text_of(tab: &Tab) -> String {
    // The box of the album's text holds it whole.
    let answer = tab.post("/look", json!({ "all": true }));
    let text = answer["parts"]["text"].as_str().expect("a part");
    let (_, rest) = text.split_once("<textarea").expect("the album's text");
    let (_, rest) = rest.split_once('>').expect("a box");
    said(rest.split("</textarea>").next().expect("its end"))
}

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
fn a_text_that_is_no_length_changes_nothing() {
    let server = Server::with(ALBUM);
    let tab = server.tab();
    let field = "leaf.shore.insert.species_tag.height";
    let before = tab.post("/look", json!({}));
    let refused = tab.refused(field, "11,1");
    assert_eq!(refused["field"], field);
    assert_eq!(refused["instead"], "11.1");
    assert!(refused["said"].as_str().expect("why").contains("11,1"));
    for text in [
        "4 3/",
        "x",
        "-1",
        "1e9",
        "4 in in",
        "\"",
        "99999999999",
        "0",
        &"9".repeat(5_000),
    ] {
        tab.refused(field, text);
    }
    for field in [
        "",
        "leaf",
        "leaf.shore",
        "leaf.none.count",
        "leaf.shore.insert.none.height",
        "supplies",
        "a.b.c.d.e.f",
        "leaf..x",
        "%",
        "leaf.shore.name.x",
    ] {
        let answer = tab.post("/set", json!({ "field": field, "text": "1" }));
        assert!(answer["refused"].is_object(), "{field}: {answer}");
    }
    let after = tab.post("/look", json!({}));
    assert_eq!(before["version"], after["version"]);
    assert_eq!(text_of(&tab), ALBUM);
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
fn a_question_is_answered_beside() {
    let server = Server::with(ALBUM);
    let tab = server.tab();
    let answer = tab.post(
        "/ask",
        json!({ "what": "card", "width": "3", "height": "4" }),
    );
    assert!(
        answer["parts"]["pieces"]
            .as_str()
            .expect("a part")
            .contains("Close"),
        "{answer}"
    );
    let answer = tab.post(
        "/ask",
        json!({ "what": "grow", "size": "photo_mat.width", "leaf": "shore" }),
    );
    assert!(answer.get("refused").is_none(), "{answer}");
    let answer = tab.post(
        "/ask",
        json!({ "what": "grow", "size": "none", "leaf": "shore" }),
    );
    assert!(answer.get("refused").is_none(), "{answer}");
    assert!(tab.post("/ask", json!({ "what": "weather" }))["refused"].is_object());
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
fn it_looks_at_what_it_is_asked_to() {
    let server = Server::with(ALBUM);
    let tab = server.tab();
    let first = tab.post("/look", json!({}))["parts"]["leaf"].clone();
    let back = tab.post("/look", json!({ "leaf": 1, "side": "back" }))["parts"]["leaf"].clone();
    assert!(back.is_string() && back != first);
    for odd in [
        json!({ "leaf": 99 }),
        json!({ "view": "x", "side": "y" }),
        json!({ "piece": "<b>" }),
        json!({ "width": 0 }),
        json!({ "width": 4_000_000_000_u32 }),
    ] {
        let answer = tab.post("/look", odd);
        assert_eq!(answer.get("refused"), None);
    }
    for view in ["album", "sheets", "template", "leaf"] {
        let _ = tab.post("/look", json!({ "view": view }));
    }
}

#[test]
fn what_does_not_fit_is_not_printed() {
    let server = Server::with(ALBUM);
    let tab = server.tab();
    let pdf = tab.reply("/print", json!({}));
    assert!(pdf.body.starts_with(b"%PDF-"));
    tab.set("leaf.shore.insert.species_tag.height", "9");
    let answer = tab.post("/print", json!({}));
    assert!(
        answer["refused"]["said"]
            .as_str()
            .expect("why")
            .contains("does not fit")
    );
}

/// The pages of a class: what is bought and cut for all, and what each does.
#[test]
fn a_class_gets_its_own_printout() {
    let server = Server::with(ALBUM);
    let tab = server.tab();
    let of = |albums: &str| tab.reply("/print", json!({ "albums": albums }));
    let [one, three] = ["1", "3"].map(of);
    for (reply, name) in [(&one, "low-water.pdf"), (&three, "low-water-3.pdf")] {
        assert!(reply.body.starts_with(b"%PDF-"), "{}", reply.text());
        let said = reply.header("content-disposition").expect("a name");
        assert!(said.contains(&format!("\"{name}\"")), "{said}");
    }
    assert_ne!(one.body.len(), three.body.len());
    // One that was never saved has a name for its printout too.
    let server = Server::empty();
    let new = server.tab();
    new.set("first.width", "5");
    new.set("first.height", "8");
    let said = new.reply("/print", json!({}));
    let said = said.header("content-disposition").map(str::to_owned);
    assert_eq!(said.as_deref(), Some("attachment; filename=\"album.pdf\""));
    for wrong in ["0", "many"] {
        assert!(of(wrong).json()["refused"].is_object(), "{wrong}");
    }
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
fn a_bag_is_tried_and_kept_or_not() {
    let server = Server::with(ALBUM);
    let tab = server.tab();
    let answer = tab.post("/ask", json!({ "what": "bags" }));
    let asked = answer["parts"]["ask"].as_str().expect("a part");
    assert!(asked.contains("lunch brown"), "{asked}");
    let tried = tab.post("/ask", json!({ "what": "try", "bag": "lunch brown" }));
    assert!(tried.get("refused").is_none(), "{}", tried["refused"]);
    assert!(
        tried["parts"]["strip"]
            .as_str()
            .expect("a part")
            .contains("/keep")
    );
    assert!(tab.post("/save", json!({}))["refused"].is_object());
    tab.post("/back", json!({}));
    assert_eq!(text_of(&tab), ALBUM);
    assert!(tab.post("/back", json!({}))["refused"].is_object());
    tab.post("/ask", json!({ "what": "try", "bag": "lunch brown" }));
    tab.post("/keep", json!({}));
    assert_eq!(
        text_of(&tab),
        ALBUM.replace("bag = \"small brown\"", "bag = \"lunch brown\"")
    );
    assert!(tab.post("/ask", json!({ "what": "try", "bag": "none" }))["refused"].is_object());
}

#[test]
fn sheets_are_counted_for_all_who_make_one() {
    let server = Server::with(ALBUM);
    let tab = server.tab();
    let one = tab.until("sheets", "Look at the sheets");
    let asked = tab.post("/ask", json!({ "what": "people", "albums": "3" }));
    assert!(asked.get("refused").is_none(), "{}", asked["refused"]);
    let mut answer = asked;
    while answer["parts"]["sheets"]
        .as_str()
        .is_none_or(|cut| !cut.contains("(proved)") && !cut.contains("not enough"))
    {
        answer = tab.post("/follow", json!({}));
    }
    assert_ne!(answer["parts"]["sheets"].as_str().expect("a part"), one);
    for wrong in ["0", "-1", "1001", "many", ""] {
        let answer = tab.post("/ask", json!({ "what": "people", "albums": wrong }));
        assert!(answer["refused"].is_object(), "{wrong}");
    }
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

/// The boxes of a part, each with its text and what it holds.
fn boxes(html: &str) -> Vec<(String, String)> {
    let attribute = |tag: &str, name: &str| {
        let (_, rest) = tag.split_once(&format!(" {name}=\""))?;
        Some(said(rest.split('"').next()?))
    };
    let tags = html.split('<').filter_map(|tag| tag.split('>').next());
    let inputs = tags.filter(|tag| tag.starts_with("input"));
    let all = inputs.filter_map(|tag| {
        let field = attribute(tag, "data-field")?;
        Some((field, attribute(tag, "value").unwrap_or_default()))
    });
    all.collect()
}

#[test]
fn every_box_of_the_page_is_a_value_of_the_album() {
    let server = Server::with(ALBUM);
    let tab = server.tab();
    let mut seen = std::collections::BTreeSet::new();
    for leaf in 0..3 {
        let answer = tab.post("/look", json!({ "leaf": leaf, "all": true }));
        let parts = answer["parts"].as_object().expect("parts").values();
        let html: String = parts.filter_map(|part| part.as_str()).collect();
        for (field, value) in boxes(&html) {
            if !seen.insert(field.clone()) {
                continue;
            }
            // What stands there is taken as it stands.
            let typed = if value.is_empty() { "1" } else { &value };
            let answer = tab.post("/set", json!({ "field": field, "text": typed }));
            let refused = answer["refused"]["said"].as_str().unwrap_or("");
            assert!(
                value.is_empty() || refused.is_empty(),
                "{field} {value}: {refused}"
            );
            assert!(
                !refused.contains("no value of this name"),
                "{field}: {refused}"
            );
            if answer.get("refused").is_none() {
                tab.post("/undo", json!({}));
            }
        }
    }
    assert!(seen.len() > 60, "{} boxes", seen.len());
    let text = text_of(&tab);
    assert!(text == ALBUM || text.contains("changed"), "{text}");
}

/// A pad of two designs for two kinds of mat: each design is counted by itself.
#[test]
fn what_to_buy_counts_each_design() {
    let server = Server::with(
        "album = \"Pad\"\nruler = \"1/8 in\"\n[[bag]]\nname = \"bag\"\nsize = \"5 x 8 in\"\nbottom = \"pinch\"\n[[leaf]]\nname = \"page\"\nbag = \"bag\"\nfront_mat = \"pad\"\nback_mat = \"pad\"\n[[paper]]\nname = \"pad\"\nsize = \"12 x 12 in\"\ndesigns = [\"fern\", \"moss\"]\nsheets = 0\n[[pack]]\nof = \"pad\"\nholds = 2\nprice = \"3.00\"\n",
    );
    let tab = server.tab();
    tab.until("ask", "What to buy");
    tab.post("/ask", json!({ "what": "buy", "albums": "1" }));
    let cut = tab.until("ask", "pad, moss");
    assert!(cut.contains("pad, fern"), "{cut}");
}

/// Boards are the cover; a leaf between them is none. The word for a leaf is the style's.
#[test]
fn between_boards_the_map_begins_with_a_leaf() {
    for (album, first, other) in [
        (
            include_str!("../../models/albums/harbour.toml"),
            "First leaf",
            "Front cover",
        ),
        (ALBUM, "Front cover", "First leaf"),
    ] {
        let server = Server::with(album);
        let answer = server
            .tab()
            .post("/look", json!({ "view": "album", "all": true }));
        let map = answer["parts"]["leaf"].as_str().expect("a part");
        assert!(map.contains(first) && !map.contains(other), "{map}");
    }
}
