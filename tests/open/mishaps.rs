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

/// A mat is cut 1/8 in too narrow: what else changes by it is said at once, before anything is cut again.
#[test]
fn what_a_change_changes_beside_it_is_said() {
    let text = "album = \"Table\"\nruler = \"1/8 in\"\nstyle = \"upright\"\n[[bag]]\nname = \"b\"\nsize = \"6 1/8 x 11 1/4 in\"\ngusset = \"3 5/8 in\"\n[[leaf]]\nname = \"page\"\nbag = \"b\"\nfront_mat = \"any\"\n[[leaf.insert]]\nname = \"journal\"\nplace = \"mouth\"\n";
    let server = Server::of(Memory::with(text), LONG);
    let tab = server.tab();
    tab.until("strip", "It fits");
    let before = tab.until("pieces", "front mat");
    assert!(!before.contains(": trim it"), "{before}");
    tab.set("leaf.page.given.front_mat%2Ewidth", "5 7/8");
    let strip = tab.until("strip", "That also changes ");
    // What was asked for is no news.
    assert!(
        strip.contains("changes journal, and where the holes are."),
        "{strip}"
    );
    let after = tab.until("pieces", ": trim it");
    assert_eq!(after.matches(": trim it").count(), 2, "{after}");
    // A change that changes no size says nothing.
    tab.set("album", "Another name");
    tab.until("bar", "Another name");
    let strip = tab.until("strip", "It fits");
    assert!(!strip.contains("also changes"), "{strip}");
}

/// What was accepted can be taken back on the page, and goes with what it speaks of.
#[test]
fn what_is_accepted_is_taken_back() {
    let text = "album = \"Table\"\nruler = \"1/8 in\"\nstyle = \"upright\"\n[[bag]]\nname = \"b\"\nsize = \"6 x 11 in\"\ngusset = \"3 1/2 in\"\nprice = \"0.12\"\npocket = { edge = \"3 in\" }\n[[leaf]]\nname = \"page\"\nbag = \"b\"\n[[leaf.insert]]\nname = \"fare_tag\"\nplace = \"pocket\"\nheight = \"3 1/2 in\"\n[[accept]]\nrule = \"a pocket insert does not fall out\"\nof = \"fare_tag\"\nby = \"1 in\"\n";
    let server = Server::of(Memory::with(text), LONG);
    let tab = server.tab();
    let list = tab.until("pieces", "You accept 1");
    let question = "accept.a pocket insert does not fall out.fare_tag";
    assert!(list.contains(question), "{list}");
    let text = |path: &str, question: serde_json::Value| {
        let answer = tab.post(path, question);
        assert!(answer.get("refused").is_none(), "{answer}");
        let all = tab.post("/look", json!({ "all": true }));
        all["parts"]["text"].as_str().expect("a text").to_owned()
    };
    let accepts = "a pocket insert does not fall out";
    assert!(!text("/remove", json!({ "field": question })).contains(accepts));
    assert!(text("/undo", json!({})).contains(accepts));
    // It goes with what it speaks of.
    let gone = text("/remove", json!({ "field": "leaf.page.insert.fare_tag" }));
    assert!(!gone.contains(accepts), "{gone}");
    text("/undo", json!({}));
    // A kind of album without that rule or that place is offered without them.
    for kind in ["concertina", "signature", "foreedge", "envelope"] {
        let refused = tab.refused("style", kind);
        assert!(refused.to_string().contains("fare tag"), "{refused}");
        assert!(text("/do", json!({ "notice": "kind", "way": 0 })).contains(kind));
        text("/undo", json!({}));
    }
}

/// What a bag costs stays what it costs when it is said that 25 are sold together.
#[test]
fn a_pack_costs_what_its_bags_cost() {
    let text = "album = \"Table\"\nruler = \"1/8 in\"\nstyle = \"upright\"\n[[bag]]\nname = \"b\"\nsize = \"6 x 11 in\"\nprice = \"0.12\"\n[[leaf]]\nname = \"page\"\nbag = \"b\"\n";
    let server = Server::of(Memory::with(text), LONG);
    let tab = server.tab();
    tab.until("strip", "It fits");
    tab.set("bag.b.pack", "25");
    tab.until("text", "price = &quot;3.00&quot;");
    // A pack of another size has its own price.
    tab.set("bag.b.pack", "50");
    tab.until("text", "price = &quot;3.00&quot;");
}

/// What is typed and refused leaves nothing behind, and so nothing is said of it.
#[test]
fn what_is_refused_changes_nothing_else() {
    let server = Server::with(ALBUM);
    let tab = server.tab();
    tab.until("strip", "It fits");
    let set = |text: &str| json!({ "field": "bag.small brown.width", "text": text, "visit": 1 });
    tab.post("/set", set("6"));
    tab.until("strip", "also changes");
    let answer = tab.post("/set", set("6..5"));
    assert!(answer.get("refused").is_some(), "{answer}");
    let strip = tab.until("strip", "It fits");
    assert!(!strip.contains("also changes"), "{strip}");
}

/// Half of a photo is not lost without a word: it is said at once, with what keeps it.
#[test]
fn a_photo_that_loses_much_lies_on_its_side() {
    let lying = |it: &&Mishap| it.name == "a landscape photo in an upright place";
    let album = MISHAPS.iter().find(lying).expect("it is there").album;
    let text =
        format!("album = \"Table\"\nruler = \"1/8 in\"\nsupplies = [\"supplies.toml\"]\n{album}");
    let desk = Memory::with(&text);
    desk.put("supplies.toml", include_str!("../mishaps/supplies.toml"));
    let server = Server::of(desk, LONG);
    let tab = server.tab();
    tab.until("strip", "1 thing to watch");
    let list = tab.until("pieces", "bench 55.6 %");
    assert!(
        list.contains("Let photos lie on their side</button>"),
        "{list}"
    );
    assert!(!list.contains("turn = true"), "{list}");
    tab.set("photos.turn", "yes");
    let list = tab.until("pieces", "front mat");
    assert!(!list.contains("bench"), "{list}");
}

/// A width read off the other side of the ruler: it alone is asked about, and a button puts it into its box.
#[test]
fn a_side_in_the_other_unit_is_asked_about_alone() {
    let server = Server::with(ALBUM);
    let tab = server.tab();
    tab.until("strip", "It fits");
    let refused = tab.refused("bag.small brown.width", "155");
    assert_eq!(refused["said"], "“Width” is “155 in”; the most is 78 in.");
    assert_eq!(refused["instead"], "155 mm", "{refused}");
    tab.set("bag.small brown.width", "155 mm");
    tab.until("text", "size = &quot;155 mm x ");
    let server = Server::with("");
    let refused = server.tab().refused("first.width", "155");
    assert_eq!(refused["instead"], "155 mm", "{refused}");
}
