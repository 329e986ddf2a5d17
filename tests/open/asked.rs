//! What a page asks and looks at without changing the album: ask, look, print.

use super::client::*;
use serde_json::json;

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
