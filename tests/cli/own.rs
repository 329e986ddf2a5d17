//! Kinds of album that a maker wrote: leaves that are compared with each other both ways, a place that only some
//! leaves have, a folder to start from, what the steps need.

use super::{done, json, laid, pages, refused};
use std::fs;
use std::path::Path;
use tempfile::TempDir;

/// Flags of paper on leaves that are all as high as each other; a room that only several leaves alike have; a
/// board with a pocket. Each leaf is a single card.
const STYLE: &str = r#"
style = "flags"
title = "Flags on cards of one height"
[quantity]
play = { value = "1/8 in", metric = "3 mm", why = "so that a card slides" }
rim = { value = "1 in", metric = "25 mm", why = "board beside its pocket" }
[[unknown]]
name = "flag.width"
for = ["leaf in leaves"]
when = 'flag.wanted'
prefer = "large"
why = "cut size"
[[unknown]]
name = "flag.height"
for = ["leaf in leaves"]
when = 'flag.wanted'
prefer = "large"
why = "cut size"
[[unknown]]
name = "insert.width"
for = ["leaf in leaves", "insert in leaf.inserts"]
prefer = "large"
why = "cut size"
[[unknown]]
name = "insert.height"
for = ["leaf in leaves", "insert in leaf.inserts"]
prefer = "large"
why = "cut size"
[[unknown]]
name = "board.width"
prefer = "small"
why = "as wide as a leaf"
[[unknown]]
name = "board.height"
prefer = "small"
why = "as high as a leaf"
[[part]]
name = "leaf"
from = "bags"
title = ["card", "cards"]
on = [
  { name = "flag", lies = "glued on" },
  { name = "room", opens = "high", place = "room", edge = "the room's edge", when = 'leaf.count > 1' },
  { name = "face", plies = '1' },
]
[[part]]
name = "board"
usual = "none"
edges = { low = "foot", high = "top" }
on = [{ name = "pocket", opens = "high", place = "pocket", edge = "its edge", left = 'rim', right = 'board.width - rim', low = 'rim', high = 'board.height / 2' }]
[[rule]]
name = "cards are as high as each other"
for = ["leaf in leaves", "other in leaves"]
require = 'leaf.height <= other.height'
because = "a card is {left} high, another {right}"
source = "common practice"
[[rule]]
name = "a flag stays on its card"
for = ["leaf in leaves"]
when = 'flag.wanted'
require = ['flag.width + 2 * play <= leaf.width', 'flag.height + 2 * play <= leaf.height']
because = "a flag needs {left}; the card has {right}"
source = "common practice"
[[rule]]
name = "a thing goes into the room"
for = ["leaf in leaves", "insert in leaf.inserts"]
require = ['insert.width + 2 * play <= leaf.width', 'insert.height + play <= leaf.height']
because = "it needs {left}; the card has {right}"
source = "common practice"
[[rule]]
name = "the board covers the cards"
for = ["leaf in leaves"]
when = 'board.wanted'
require = ['leaf.width <= board.width', 'leaf.height <= board.height']
because = "a card is {left}, the board {right}"
source = "common practice"
[[step]]
title = "Sew"
needs = ["An awl"]
do = [{ for = ["leaf in leaves"], needs = ["Waxed thread, {leaf.height}"], say = "Sew {leaf.name}." }]
"#;

/// Two kinds of card, the second so high, without a card of the other kind to spare.
fn album(high: &str) -> (TempDir, String) {
    let text = format!(
        r#"
album = "Flags"
style = "style.toml"
ruler = "1/8 in"
papers = {{ board = "laid" }}
leaf = [
  {{ name = "one", bag = "low", count = 1, flag = "laid" }},
  {{ name = "two", bag = "high", count = 3, flag = "laid" }},
]
bag = [
  {{ name = "low", size = "4 x 6 in", count = 3 }},
  {{ name = "high", size = "4 x {high}", count = 3 }},
]
paper = [{{ name = "laid", size = "12 x 12 in" }}]
"#
    );
    laid(&[("style.toml", STYLE), ("album.toml", &text)])
}

/// By hand: 6 3/8 - 6 = 3/8 in, three steps; one step less or more would break the rule the one or the other way.
#[test]
fn what_is_compared_both_ways_is_mended_by_the_one_size_that_is_the_same() {
    let (_folder, album) = album("6 3/8 in");
    let (told, _) = super::told(&super::run(&["why", &album]), 1);
    assert!(
        told.contains("exactly 6 3/8 in high instead of `low`"),
        "{told}"
    );
    assert!(!told.contains("No change mends"), "{told}");
}

/// Only the second kind of card has the room, as there are three of it. 3 + 2/8 = 3 1/4 wide, 4 + 1/8 = 4 1/8 high.
#[test]
fn the_smallest_leaf_is_like_one_that_has_the_place() {
    let (_folder, album) = album("6 in");
    let told = done(&["why", &album, "--need", "room: 3 x 4 in"]);
    assert!(told.contains("like `high`"), "{told}");
    assert!(told.contains("3 1/4 x 4 1/8 in"), "{told}");
    let told = refused(&[
        "why", &album, "--insert", "3 x 4 in", "--into", "room", "--leaf", "one",
    ]);
    assert!(told.contains("one has no room"), "{told}");
}

#[test]
fn what_steps_need_is_on_every_list() {
    let (_folder, album) = album("6 in");
    let needs = ["An awl", "Waxed thread, 6"];
    let shopping = done(&["buy", &album]);
    let read = json(&["buy", "--json", &album]);
    for (need, said) in needs.iter().zip(read["needs"].as_array().expect("a list")) {
        assert!(shopping.contains(need), "{shopping}");
        assert!(said.as_str().expect("words").starts_with(need), "{said}");
    }
    let teacher = &pages(&album, &["--kit", "--copies", "3"])[0];
    for need in needs {
        assert!(teacher.contains(need), "{need}");
    }
    // Single cards are no bags.
    assert!(teacher.contains("3 cards") && !teacher.contains("3 bags"));
}

/// The pocket of the board: its edges, 1 in and 6 / 2 = 3 in above the foot, 1 in from the sides.
#[test]
fn room_in_a_part_of_the_album_is_drawn_on_it() {
    let (_folder, album) = album("6 in");
    let page = pages(&album, &["--pages", "leaves"]).concat();
    assert!(page.contains("data-name=\"board: pocket\""), "{page}");
    assert!(page.contains(">foot of<") && page.contains(">pocket<"));
}

#[test]
fn a_folder_to_start_from_reads_a_style_where_it_lies() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = |name: &str| {
        folder
            .path()
            .join(name)
            .to_str()
            .expect("a name")
            .to_owned()
    };
    fs::create_dir(at("kinds")).expect("a folder");
    fs::write(at("kinds/flags.toml"), STYLE).expect("a style");
    for (name, more) in [("inch", None), ("metric", Some("--metric"))] {
        let (dir, style) = (at(name), at("kinds/flags.toml"));
        let all = ["new", &dir, "--style", &style];
        done(&all.into_iter().chain(more).collect::<Vec<_>>());
        let album = fs::read_to_string(at(name) + "/album.toml").expect("an album");
        assert!(album.contains("style = \"../kinds/flags.toml\""), "{album}");
        done(&["fit", &(at(name) + "/album.toml")]);
    }
    let told = refused(&["new", &at("other"), "--style", "signatur"]);
    assert!(told.contains("Did you mean `signature`?"), "{told}");
    let none = at("none.toml");
    assert!(refused(&["new", &at("other"), "--style", &none]).contains("no such file"));
    assert!(!Path::new(&at("other")).exists());
}
