//! Slips of a maker at the table, with what she should read first. The sums beside them can be done again by
//! hand; what comes first is common practice, no published source.

use super::{done, run, told};
use std::fs;

/// The answer to a verb about an album of this text, in one line.
#[track_caller]
fn said(verb: &[&str], album: &str, code: i32) -> String {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("album.toml");
    fs::write(&file, album).expect("written");
    let path = file.display().to_string();
    let mut all = verb.to_vec();
    all.insert(1, &path);
    let (out, _) = told(&run(&all), code);
    out.split_whitespace().collect::<Vec<_>>().join(" ")
}

const STUB: &str = "album = \"Stubs\"\nruler = \"1/8 in\"\ntemplate = { holes = 2, edge = \"EDGE\" }\n[[bag]]\nname = \"flat white\"\nsize = \"4 1/2 x 6 in\"\nbottom = \"pinch\"\n[[leaf]]\nname = \"stub\"\nbag = \"flat white\"\nfront_mat = \"none\"\npocket_mat = \"none\"\nback_mat = \"none\"\n[[leaf.insert]]\nname = \"stub_card\"\nplace = \"mouth\"\nsize = \"3 1/4 x 5 in\"\ngrip = \"tab\"\n";

/// 1/2 in to the holes, 1/8 in to their rims, 1/8 in clear, 3 1/4 in of card, 0.01 in and 1/8 in of ease are
/// 4.135 in: it fits. No half is asked about where it would not, nor where 1 1/4 in was typed.
#[test]
fn a_half_that_was_typed_with_a_stop_is_asked_about() {
    let first = "Stubs (ruler 1/8 in) 1.2 in is on no mark of a 1/8 in ruler. Did you mean `edge = \"1/2 in\"`? That fits.";
    let text = said(&["why"], &STUB.replace("EDGE", "1.2 in"), 1);
    assert!(text.starts_with(first), "{text}");
    for other in ["1.3 in", "1 1/4 in"] {
        let text = said(&["why"], &STUB.replace("EDGE", other), 1);
        assert!(!text.contains("Did you mean"), "{text}");
    }
    // A card of 4 1/8 in does not go in beside holes at 1/2 in either.
    let wide = STUB.replace("EDGE", "1.2 in").replace("3 1/4 x", "4 1/8 x");
    let text = said(&["why"], &wide, 1);
    assert!(!text.contains("Did you mean"), "{text}");
    // Two of them are meant together: a quarter for the border, a half for the caption.
    let set = "album = \"Two\"\nruler = \"1/8 in\"\nset = { caption_strip = \"1.2 in\", border = \"1.4 in\" }\nbag = [{ name = \"b\", size = \"5 x 9 in\", gusset = \"3 in\" }]\nleaf = [{ name = \"p\", bag = \"b\", insert = [{ name = \"scene\", place = \"mouth\", photo = true }] }]\n";
    let text = said(&["why"], set, 1);
    let both = "1.2 in and 1.4 in are on no mark of a 1/8 in ruler. Did you mean `caption_strip = \"1/2 in\"` and `border = \"1/4 in\"`? That fits.";
    assert!(text.contains(both), "{text}");
    // What is offered lies on the ruler: 1 1/8 in is the next mark below 1.2, 1 1/2 in that above 1.4.
    for on in ["1 1/8 in (", "1 1/2 in ("] {
        assert!(text.contains(on), "{on}: {text}");
    }
    assert!(
        !text.contains("1.15 in") && !text.contains("1.45 in"),
        "{text}"
    );
}

/// 1/16 in of bag, 5 1/8 in of mat and 3 in of pocket are 8 3/16 in; 8 in and 3/8 in are 8 3/8 in: 3/16 in are
/// missing, on a ruler of 1/8 in.
#[test]
fn what_is_accepted_is_what_is_missing() {
    let album = "album = \"Low\"\nruler = \"1/8 in\"\n[[bag]]\nname = \"bag\"\nsize = \"5 x 8 in\"\ngusset = \"3 in\"\npocket = { edge = \"3 in\", depth = \"2 3/4 in\" }\n[[paper]]\nname = \"fern\"\nsize = \"12 x 12 in\"\n[[leaf]]\nname = \"page\"\nbag = \"bag\"\nfront_mat = \"fern\"\nmeasured = { \"front_mat.height\" = \"5 1/8 in\" }\n";
    let text = said(&["why"], album, 1);
    assert!(text.contains("That is 3/16 in too little."), "{text}");
    assert!(text.contains("Accept 3/16 in less at: front mat"), "{text}");
    // No more and no less: a sixteenth less of it does not fit.
    let with = |by: &str| {
        format!(
            "{album}[[accept]]\nrule = \"front mat leaves its head reveal and runs under the pocket's edge\"\nby = \"{by}\"\n"
        )
    };
    said(&["fit"], &with("3/16 in"), 0);
    said(&["fit"], &with("1/8 in"), 1);
}

/// A board of 7 5/8 in lacks a quarter of 7 7/8 in: it is not too high.
#[test]
fn what_is_less_than_it_should_be_is_too_little() {
    let album = "album = \"Low board\"\nstyle = \"boards\"\nruler = \"1/8 in\"\nbag = [{ name = \"bag\", size = \"5 1/4 x 7 5/8 in\", bottom = \"pinch\" }]\nleaf = [{ name = \"quay\", bag = \"bag\" }]\nmeasured = { \"board.height\" = \"7 5/8 in\" }\n";
    let text = said(&["why"], album, 1);
    let first = "need 7 7/8 in; the board is 7 5/8 in high. That is 1/4 in too little.";
    assert!(text.contains(first), "{text}");
}

/// Round boards of 7 7/8 in goes a wrap of 6 7/8 x 9 3/8 in: linen 6 in wide is too narrow. What is as thick as
/// linen comes before scrapbook paper, and no sheet need be longer than the wrap.
#[test]
fn what_is_like_the_paper_comes_first() {
    let paper = |name: &str, size: &str, caliper: &str| {
        format!("[[paper]]\nname = \"{name}\"\nsize = \"{size}\"\ncaliper = \"{caliper}\"\n")
    };
    let papers = [
        paper("wave print", "12 x 12 in", "0.0065 in"),
        paper("linen strip", "6 x 36 in", "0.012 in"),
        paper("book cloth", "18 x 24 in", "0.012 in"),
        paper("grey board", "12 x 18 in", "5/64 in"),
    ];
    let album = format!(
        "album = \"Harbour\"\nstyle = \"boards\"\nruler = \"1/8 in\"\ntemplate = {{ holes = 2, diameter = \"1/4 in\" }}\npapers = {{ wrap = \"linen strip\", board = \"grey board\", strip = \"grey board\" }}\nbag = [{{ name = \"bag\", size = \"5 1/4 x 7 5/8 in\", gusset = \"3 in\" }}]\nleaf = [{{ name = \"quay\", bag = \"bag\", front_mat = \"none\", pocket_mat = \"none\", back_mat = \"none\" }}]\n{}",
        papers.concat()
    );
    let text = said(&["why"], &album, 1);
    let first = "It does not fit. Cut wrap from `book cloth` instead of `linen strip`; or cut wrap from sheets of at least 6 7/8 x 9 3/8 in (`linen strip`: 6 x 36 in)";
    assert!(text.contains(first), "{text}");
    let size = |size: &str| album.replace("6 x 36 in", size);
    said(&["fit"], &size("6 7/8 x 9 3/8 in"), 0);
    said(&["fit"], &size("6 3/4 x 9 3/8 in"), 1);
    said(&["fit"], &size("6 7/8 x 9 1/4 in"), 1);
}

/// A mat of 4 7/8 x 7 3/4 in upright comes out of 8 1/2 x 11 in once; turned twice, as twice 4 7/8 in are
/// 9 3/4 in.
#[test]
fn why_sheets_are_needed_is_told() {
    let album = "album = \"Birds\"\nruler = \"1/8 in\"\n[[bag]]\nname = \"bag\"\nsize = \"5 x 8 in\"\ngusset = \"3 in\"\n[[paper]]\nname = \"birds print\"\nsize = \"8 1/2 x 11 in\"\ndirected = true\nsheets = 4\n[[leaf]]\nname = \"bird\"\nbag = \"bag\"\ncount = 6\nfront_mat = \"none\"\npocket_mat = \"none\"\nback_mat = \"birds print\"\n";
    let text = said(&["cut"], album, 1);
    let first = "The sheets at hand are not enough (proved). Get 2 sheets more of birds print: 6 are needed, 4 are at hand, as its print stays upright. Turned, 3 would be enough.";
    assert!(text.contains(first), "{text}");
    let turned = album.replace("directed = true\nsheets = 4", "sheets = 3");
    said(&["cut"], &turned, 0);
    let few = said(&["cut"], &turned.replace("sheets = 3", "sheets = 2"), 1);
    let first = "Get 1 sheet more of birds print: 3 are needed, 2 are at hand. ";
    assert!(few.contains(first), "{few}");
}

/// The front slot ends where the gusset is creased, 1 1/2 in above the tail; the back slot does not.
#[test]
fn another_place_makes_a_photo_larger() {
    let ask = [
        "why",
        "--bag",
        "5 x 3 x 8 in",
        "--grow",
        "photo_mat.photo.height",
    ];
    let text = done(&ask).split_whitespace().collect::<Vec<_>>().join(" ");
    let first = "What would make it larger, each worked out with the whole album Put photo mat into the back slot";
    let at = text.find(first).unwrap_or_else(|| panic!("{text}"));
    let line = &text[at..];
    assert!(line.contains(": 1 in larger, 7 1/4 in."), "{text}");
    let answer = super::json(&["why", "--bag", "5 x 3 x 8 in", "--grow", ask[4], "--json"]);
    assert_eq!(answer["places"][0]["buys"]["text"], "1 in", "{answer:#}");
}
