//! An album of photos that is sold, by someone who types no commands.

use super::client::*;
use serde_json::{Value, json};

/// Twelve leaves with two places for a photo each, one of them without a paper.
pub const LIGHTHOUSE: &str = r#"album = "Lighthouse"
style = "upright"
ruler = "1/8 in"
prefer = ["largest photo_mat.photo"]

[[bag]]
name = "harbour bag"
size = "6 1/8 x 11 1/4 in"
gusset = "3 1/2 in"
pocket = { edge = "3 1/2 in" }

[[paper]]
name = 'wave print "blue", 120 g'
size = "12 x 12 in"
sheets = 2
price = "0.60"

[[ring]]
name = "two inch ring"
inside = "2 in"

[[leaf]]
name = "shore"
bag = "harbour bag"
count = 12
front_mat = 'wave print "blue", 120 g'

[[leaf.insert]]
name = "photo_mat"
place = "mouth"
size = "4 1/4 x 6 1/4 in"
paper = 'wave print "blue", 120 g'
photo = true

[[leaf.insert]]
name = "piece"
place = "mouth"
section = "back"
size = "4 1/4 x 6 1/4 in"
photo = true

[photos]
turn = true
photo = [{ name = "boat", size = "6 x 4 in" }, { name = "net", size = "3:2" }, { name = "gull", size = "4 x 6 in" }]
"#;

fn all_of(tab: &Tab, part: &str) -> String {
    let answer = tab.post("/look", json!({ "all": true }));
    answer["parts"][part].as_str().unwrap_or("").to_owned()
}

fn text_of(tab: &Tab) -> String {
    let text = said(&all_of(tab, "text"));
    text.split_once("as it is saved")
        .expect("a text")
        .1
        .to_owned()
}

/// The value that a box shows.
fn value(html: &str, field: &str) -> String {
    let at = html.find(&format!("data-field=\"{field}\""));
    let rest = &html[at.unwrap_or_else(|| panic!("no {field}"))..];
    let rest = rest.split_once("value=\"").expect("a value").1;
    rest.split('"').next().expect("its end").to_owned()
}

fn remove(tab: &Tab, field: &str) -> Value {
    tab.post("/remove", json!({ "field": field }))
}

/// A comma may divide decimals: which it is, is asked.
#[test]
fn fees_and_shares_are_shown_as_they_count() {
    let server = Server::with(LIGHTHOUSE);
    let tab = server.tab();
    for (field, typed, shown, line) in [
        (
            "price.fees",
            "6.5 %, 0.30",
            "6.5 %, 0.30",
            "fees = [\"6.5 %\", \"0.30\"]",
        ),
        (
            "price.fees",
            "5 %,.30",
            "5 %, 0.30",
            "fees = [\"5 %\", \"0.30\"]",
        ),
        ("price.margin", "12.5 %", "12.5 %", "margin = \"12.5 %\""),
        ("price.margin", "1/3", "1/3", "margin = \"1/3\""),
        ("price.margin", "0.05 %", "0.05 %", "margin = \"0.05 %\""),
        ("photos.most_cut", "2.5 %", "2.5 %", "most_cut = \"2.5 %\""),
    ] {
        tab.set(field, typed);
        let text = text_of(&tab);
        assert!(text.contains(&format!("{line}\n")), "{typed}: {text}");
        let part = if field.starts_with("price") {
            "rest"
        } else {
            "stock"
        };
        assert_eq!(value(&all_of(&tab, part), field), shown, "{typed}");
    }
    let before = text_of(&tab);
    for (field, typed) in [
        ("price.fees", "6,5 %"),
        ("price.fees", "0,30"),
        ("price.ends", "9,95"),
    ] {
        let why = tab.refused(field, typed);
        assert!(
            why["said"]
                .as_str()
                .expect("why")
                .contains(typed.trim_end_matches(" %")),
            "{why}"
        );
        assert_eq!(text_of(&tab), before, "{typed}");
    }
    let why = tab.refused("price.fees", "6,5 %");
    assert_eq!(why["said"], "The comma in “6,5” can mean two things.");
}

#[test]
fn a_price_of_a_pack_is_called_so() {
    let server = Server::with(LIGHTHOUSE);
    let tab = server.tab();
    assert!(all_of(&tab, "bag").contains("Price of one<"));
    tab.set("bag.harbour bag.pack", "50");
    let bag = all_of(&tab, "bag");
    assert!(
        bag.contains("Price of a pack of 50<") && !bag.contains("Price of one<"),
        "{bag}"
    );
}

/// Leaves alike are numbered, so no leaf is called like one of them.
#[test]
fn a_new_leaf_has_a_name_that_no_place_has() {
    let server = Server::with(LIGHTHOUSE);
    let tab = server.tab();
    for name in ["shore b", "shore c"] {
        tab.post("/add", json!({ "what": "leaf", "like": "shore" }));
        assert!(
            text_of(&tab).contains(&format!("name = \"{name}\"")),
            "{}",
            text_of(&tab)
        );
    }
    tab.post("/add", json!({ "what": "leaf", "like": "shore c" }));
    assert!(
        text_of(&tab).contains("name = \"shore d\""),
        "{}",
        text_of(&tab)
    );
}

/// What stays in a place, and what faces, goes with the names of photos, leaves and pieces.
#[test]
fn what_is_wanted_of_photos_follows_their_names() {
    let server = Server::with(LIGHTHOUSE);
    let tab = server.tab();
    tab.set(
        "photos.stays",
        "boat: shore 2, photo mat; gull: Shore 3 piece",
    );
    tab.set("photos.facing", "boat + net");
    for (field, to, stays, facing) in [
        (
            "photos.photo.boat.name",
            "ferry",
            "{ ferry = \"shore 2, photo mat\", gull = \"Shore 3 piece\" }",
            "[[\"ferry\", \"net\"]]",
        ),
        (
            "leaf.shore.name",
            "pier",
            "{ ferry = \"pier 2, photo mat\", gull = \"pier 3, piece\" }",
            "[[\"ferry\", \"net\"]]",
        ),
        (
            "leaf.pier.insert.photo_mat.name",
            "picture",
            "{ ferry = \"pier 2, picture\", gull = \"pier 3, piece\" }",
            "[[\"ferry\", \"net\"]]",
        ),
        // The other place for a photo is gone.
        (
            "leaf.pier.insert.picture.what",
            "piece",
            "{ gull = \"pier 3\" }",
            "[[\"ferry\", \"net\"]]",
        ),
    ] {
        tab.set(field, to);
        let text = text_of(&tab);
        for line in [format!("stays = {stays}\n"), format!("facing = {facing}\n")] {
            assert!(text.contains(&line), "{field}: {line}{text}");
        }
    }
    // The wish for that photo is gone with it.
    assert!(!text_of(&tab).contains("largest"), "{}", text_of(&tab));
    tab.post("/undo", json!({}));
    tab.set("leaf.pier.count", "2");
    assert!(
        text_of(&tab).contains("stays = { ferry = \"pier 2, picture\" }"),
        "{}",
        text_of(&tab)
    );
    remove(&tab, "photos.photo.net");
    assert!(!text_of(&tab).contains("facing"), "{}", text_of(&tab));
    assert!(all_of(&tab, "bar").contains("no place any more for ferry"));
    tab.post("/add", json!({ "what": "leaf", "like": "pier" }));
    remove(&tab, "leaf.pier");
    assert!(!text_of(&tab).contains("stays"), "{}", text_of(&tab));
    // A pin to no place, or of no photo, is refused.
    let before = text_of(&tab);
    for (field, typed, said) in [
        (
            "photos.stays",
            "gull: pier 1",
            "No place for a photo is named “pier 1”.",
        ),
        ("photos.stays", "crab: pier b", "No photo is named “crab”."),
        ("photos.facing", "gull + crab", "No photo is named “crab”."),
    ] {
        assert_eq!(tab.refused(field, typed)["said"], said);
    }
    let help = tab.refused("photos.stays", "gull: pier 1")["help"].clone();
    assert_eq!(help, "The places are “pier b, picture”, “pier b, piece”.");
    assert_eq!(text_of(&tab), before);
}

/// A thing that is tucked in under a paper brings the paper; what is no photo any more has no wish.
#[test]
fn a_tick_needs_no_word_of_the_file() {
    let server = Server::with(LIGHTHOUSE);
    let tab = server.tab();
    let answer = tab.post(
        "/add",
        json!({ "what": "insert", "leaf": "shore", "place": "band" }),
    );
    assert!(answer.get("refused").is_none(), "{answer}");
    assert!(
        text_of(&tab).contains("band = \"any\"\n"),
        "{}",
        text_of(&tab)
    );
    assert!(
        all_of(&tab, "bar").contains("Undo: piece 2 added, with band"),
        "{}",
        all_of(&tab, "bar")
    );
    tab.set("leaf.shore.insert.photo_mat.what", "piece");
    assert!(!text_of(&tab).contains("largest"));
}

/// Another bag has no measure that nobody took.
#[test]
fn another_bag_is_not_the_first_one() {
    let server = Server::with(LIGHTHOUSE);
    let tab = server.tab();
    let bag = json!({ "what": "bag", "its-name": "flat bag", "its-width": "5", "its-height": "9", "its-gusset": "" });
    assert!(tab.post("/add", bag).get("refused").is_none());
    let text = text_of(&tab);
    assert!(
        text.contains("name = \"flat bag\"\nsize = \"5 x 9 in\"\n\n"),
        "{text}"
    );
    let bags = all_of(&tab, "bags");
    assert_eq!(value(&bags, "bag.flat bag.pocket.edge"), "");
}

/// What fitted before is what fitted before the box was visited.
#[test]
fn half_a_number_is_nothing_that_fitted_before() {
    let server = Server::with(LIGHTHOUSE);
    let tab = server.tab();
    let sizes = || {
        let pieces = said(&all_of(&tab, "pieces"));
        pieces.split_once("In all").expect("a table").1.to_owned()
    };
    let field = "leaf.shore.count";
    let key = |text: &str, visit: u64| {
        tab.post(
            "/set",
            json!({ "field": field, "text": text, "visit": visit }),
        );
    };
    key("15", 1);
    let before = sizes();
    key("4", 2);
    assert_ne!(sizes(), before);
    key("400", 2);
    let now = all_of(&tab, "pieces");
    assert!(now.contains("Sizes before, which fitted"), "{now}");
    assert_eq!(sizes(), before);
}

/// Many photos are typed, or pasted, at once: one a line.
#[test]
fn photos_are_added_one_a_line() {
    let server = Server::with(LIGHTHOUSE);
    let tab = server.tab();
    let add = |lines: &str| tab.post("/add", json!({ "what": "photo", "its-lines": lines }));
    let before = text_of(&tab);
    let why = add("crab 6 x 4 in\nreef\n")["refused"].clone();
    assert_eq!(why["said"], "“reef” has no size.");
    assert_eq!(text_of(&tab), before);
    assert!(add("\n \n")["refused"].is_object());
    assert!(add("boat 3:2")["refused"].is_object(), "the name is taken");
    assert!(
        add("crab 6 x 4 in\n\nold reef, 4032 x 3024\r\n")
            .get("refused")
            .is_none()
    );
    let text = text_of(&tab);
    assert!(
        text.contains("{ name = \"crab\", size = \"6 x 4 in\" }, { name = \"old reef\", size = \"4032 x 3024\" }]"),
        "{text}"
    );
    assert!(all_of(&tab, "bar").contains("Undo: 2 photos added"));
}

/// What is named and has no place, or no paper, is to be seen without asking.
#[test]
fn what_has_no_place_or_no_paper_is_named() {
    let server = Server::with(LIGHTHOUSE);
    let tab = server.tab();
    let sheets = said(&tab.until("sheets", "Not counted"));
    assert!(
        sheets.contains(
            "Not counted: 36 pieces that have no paper yet (pocket mat, back mat, piece)."
        ),
        "{sheets}"
    );
    tab.set("leaf.shore.count", "1");
    assert!(
        said(&all_of(&tab, "pieces")).contains("1 of 3 photos have no place."),
        "{}",
        said(&all_of(&tab, "pieces"))
    );
    let strip = said(&all_of(&tab, "strip"));
    assert!(strip.contains("3 things to watch"), "{strip}");
    tab.set("leaf.shore.count", "2");
    assert!(!all_of(&tab, "pieces").contains("no place"));
    // What is not counted is not awaited.
    tab.set("leaf.shore.insert.photo_mat.width", "9");
    tab.post("/look", json!({ "view": "sheets" }));
    assert!(
        all_of(&tab, "leaf").contains("as soon as the album fits"),
        "{}",
        all_of(&tab, "leaf")
    );
}

/// An answer is for the number of albums that stands in the box.
#[test]
fn an_answer_goes_with_its_question() {
    let server = Server::with(LIGHTHOUSE);
    let tab = server.tab();
    let ask =
        |what: &str, albums: &str| tab.post("/ask", json!({ "what": what, "albums": albums }));
    assert!(all_of(&tab, "ask").contains("id=\"ask-people-note\""));
    ask("price", "3");
    tab.until("ask", "What each of 3 albums costs");
    let why = ask("price", "abc")["refused"].clone();
    assert_eq!(why["field"], "ask-people");
    assert!(!all_of(&tab, "ask").contains("What each of"));
    ask("price", "2");
    tab.until("ask", "What each of 2 albums costs");
    ask("people", "5");
    assert!(!all_of(&tab, "ask").contains("What each of"));
}

/// `In` is a slot that opens.
#[test]
fn a_card_goes_in_where_it_can_be_taken_out() {
    let flat = LIGHTHOUSE
        .replace("ruler = \"1/8 in\"", "ruler = \"1 mm\"")
        .replace("6 1/8 x 11 1/4 in", "105 x 160 mm")
        .replace("gusset = \"3 1/2 in\"", "gusset = \"60 mm\"")
        .replace("edge = \"3 1/2 in\"", "edge = \"60 mm\"")
        .replace("size = \"4 1/4 x 6 1/4 in\"\n", "");
    let server = Server::with(&flat);
    let tab = server.tab();
    tab.post(
        "/ask",
        json!({ "what": "card", "width": "4 in", "height": "6 in" }),
    );
    let asked = tab.until("ask", "answer-box");
    let asked = said(&asked);
    assert!(asked.contains(": it goes in only when"), "{asked}");
}

/// A box is called as it is where it stands.
#[test]
fn two_boxes_that_each_decide_the_price_are_named() {
    let server = Server::with(LIGHTHOUSE);
    let tab = server.tab();
    tab.set("price.margin", "40");
    let why = tab.refused("price.price", "25");
    let words = format!("{} {}", why["said"], why["help"]);
    assert!(
        words.contains("Or the price itself")
            && words.contains("Margin, a share of the price")
            && !words.contains("Price of one"),
        "{words}"
    );
}

/// What is refused names boxes, and no word of the file.
#[test]
fn refusals_are_in_the_words_of_the_page() {
    let server = Server::with(LIGHTHOUSE);
    let tab = server.tab();
    for (field, typed) in [("price.minutes", "1 h 30"), ("leaf.shore.count", "2.5")] {
        let said = format!("“{typed}” is no whole number.");
        assert_eq!(tab.refused(field, typed)["said"], said);
    }
    let facing = tab.refused("photos.facing", "boat + net; gull");
    assert!(!facing.to_string().contains('['), "{facing}");
    let album = tab.refused("album", &"a".repeat(93));
    assert!(
        !album["said"].as_str().expect("why").contains("`album`"),
        "{album}"
    );
}

/// A single trouble has each of its ways once.
#[test]
fn no_way_out_is_offered_twice() {
    let server = Server::with(&LIGHTHOUSE.replace("inside = \"2 in\"", "inside = \"3/4 in\""));
    let tab = server.tab();
    tab.set("template.ring", "two inch ring");
    let pieces = said(&tab.until("pieces", "&quot;fix&quot;"));
    assert!(!pieces.contains("Mends all of it"), "{pieces}");
    let pieces = all_of(&tab, "pieces");
    let labels = pieces.split("data-post=\"/do\"").skip(1);
    let labels = labels.map(|it| it.split(['>', '<']).nth(1).unwrap_or_default());
    let mut labels: Vec<&str> = labels.collect();
    let all = labels.len();
    labels.sort_unstable();
    labels.dedup();
    assert_eq!(labels.len(), all, "{labels:?}");
}
