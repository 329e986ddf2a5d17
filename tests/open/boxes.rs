//! All that an album file can say can be said on the page: in a box of its own, or in that of the file's text.

use super::client::*;
use serde_json::json;
use std::collections::BTreeSet;
use tuckwright::album::shapes;
use tuckwright::open::sight::field;

/// The tables of an album file, each by the keys that lead to it.
const TABLES: &[&[&str]] = &[
    &[],
    &["template"],
    &["accept"],
    &["photos"],
    &["photos", "photo"],
    &["price"],
    &["leaf"],
    &["leaf", "insert"],
    &["leaf", "insert", "photo"],
    &["bag"],
    &["bag", "pocket"],
    &["paper"],
    &["paper", "designs"],
    &["offcut"],
    &["card"],
    &["print"],
    &["ring"],
    &["punch"],
    &["pack"],
    &["parcel"],
];

/// What is said in the file's text alone. Whoever adds a key gives it a box or puts it here.
const IN_TEXT: &[&str] = &[
    // Which files are read is not a browser's to say.
    "supplies",
    "photos.list",
    "photos.folder",
    // A reason goes with each.
    "accept",
    "accept.rule",
    "accept.of",
    "accept.by",
    "accept.why",
    "bag.pocket.why",
    // What was measured of a piece that is cut already, and what is fixed before.
    "given",
    "measured",
    "leaf.measured",
    // Of many steps and things, each in its own words.
    "minutes",
    "template.pattern",
    "leaf.spread",
    "leaf.match",
    "leaf.apart",
    "leaf.insert.spread",
    "bag.flap_layers",
    // What is bought, posted and weighed.
    "bag.weight",
    "paper.weight",
    "paper.bulk",
    "card.weight",
    "print.weight",
    "ring.weight",
    "offcut",
    "offcut.paper",
    "offcut.size",
    "offcut.count",
    "pack",
    "pack.of",
    "pack.holds",
    "pack.price",
    "pack.most",
    "parcel",
    "parcel.name",
    "parcel.inside",
    "parcel.soft",
    "parcel.padding",
    "parcel.weight",
    "parcel.most",
    "parcel.around",
    "parcel.price",
];

/// More of everything than the album that is shipped has: a flat bag, a pad of designs.
fn full() -> String {
    ALBUM.to_owned()
        + "\n[[bag]]\nname = \"flat\"\nsize = \"5 x 8 in\"\n\n[[leaf]]\nname = \"flat\"\nbag = \"flat\"\n\n[[paper]]\nname = \"pad\"\nsize = \"6 x 6 in\"\ndesigns = [\"fern\", { name = \"moss\", sheets = 2 }]\n"
}

const BOARDS: &str = include_str!("../../models/albums/harbour.toml");

/// The keys of a field without the names of rows.
fn leads(words: &[String]) -> Vec<&str> {
    const LISTS: &[&str] = &[
        "leaf", "insert", "bag", "paper", "designs", "offcut", "card", "print", "ring", "punch",
    ];
    let mut words = words.iter();
    let mut kinds = Vec::new();
    while let Some(word) = words.next() {
        kinds.push(word.as_str());
        if LISTS.contains(&word.as_str()) || kinds == ["photos", "photo"] {
            words.next();
        }
    }
    kinds
}

/// Whether the page has a box for this key of a table: of a list it is one for any of its rows.
fn has_box(fields: &BTreeSet<Vec<String>>, table: &[&str], key: &str) -> bool {
    let there = |key: &str| {
        let way: Vec<&str> = table.iter().copied().chain([key]).collect();
        fields.iter().any(|words| leads(words).starts_with(&way))
    };
    match key {
        "size" => there(key) || there("width") && there("height"),
        // The same box says which of both it is.
        "photo" | "card" if table == ["leaf", "insert"] => there("what"),
        // Names of the style, each with a box of its own.
        "papers" if table == ["leaf"] => there("front_mat"),
        // A tick for each place.
        "place" | "section" => there("place"),
        // Their names are typed together.
        "name" if table == ["paper", "designs"] => true,
        // The other of two keys for the same.
        "show" if table == ["photos"] => there("most_cut"),
        _ => there(key),
    }
}

#[test]
fn every_key_has_a_box_or_stands_in_the_text() {
    let mut html = String::new();
    let leaves = |piece: &str, leaf| json!({ "all": true, "leaf": leaf, "piece": piece });
    for (album, looks) in [
        (
            full(),
            vec![
                leaves("front_mat", 1),
                leaves("back_print", 2),
                leaves("", 3),
            ],
        ),
        // It has paper of its own; and photos that it names itself.
        (
            format!("{BOARDS}\n[[photos.photo]]\nname = \"boat\"\n"),
            vec![leaves("", 0)],
        ),
    ] {
        let server = Server::with(&album);
        let tab = server.tab();
        for look in looks {
            let answer = tab.post("/look", look);
            let parts = answer["parts"].as_object().expect("parts");
            html.extend(parts.values().filter_map(|it| it.as_str()));
        }
    }
    assert!(html.contains("id=\"album-text\""), "no box for the text");
    let said = |mark: &str| {
        let all: Vec<Vec<String>> = html
            .split(mark)
            .skip(1)
            .filter_map(|rest| rest.split_once('"'))
            .map(|(said, _)| field::split(&said.replace("&quot;", "\"").replace("&amp;", "&")))
            .collect();
        all
    };
    let mut fields: BTreeSet<Vec<String>> = said("data-field=\"").into_iter().collect();
    // Wishes are put in order by buttons, places chosen by ticks.
    let words = |all: &[&str]| all.iter().map(|word| (*word).to_owned()).collect();
    if html.contains("&quot;field&quot;:&quot;prefer&quot;") {
        fields.insert(words(&["prefer"]));
    }
    if html.contains("&quot;place&quot;:&quot;pocket&quot;") {
        fields.insert(words(&["leaf", "shore", "insert", "new", "place"]));
    }
    let mut open = Vec::new();
    for table in TABLES {
        let shape = shapes::of(table).expect("a table");
        let missing = shape.keys.iter().map(|(key, _)| *key);
        let missing = missing.filter(|key| !has_box(&fields, table, key));
        open.extend(missing.map(|key| [table, &[key][..]].concat().join(".")));
    }
    open.sort_unstable();
    let mut text = IN_TEXT.to_vec();
    text.sort_unstable();
    assert_eq!(open, text);
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
