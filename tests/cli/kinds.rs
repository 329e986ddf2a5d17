//! Kinds of album without leaves, rings, pages or anything that opens: what they do not have is not spoken of.

use super::why::answered;
use super::{done, kind, line, pages, refused};
use std::fs;

#[test]
fn paper_larger_than_what_it_lies_on_or_beside_it_is_no_silent_matter() {
    let wide = (
        "'patch.width + 2 * gap <= leaf.width'",
        "'patch.width <= leaf.width + 2 * gap'",
    );
    let off = (
        "name = \"patch\", low = 'gap'",
        "name = \"patch\", low = 'leaf.height'",
    );
    for (change, said) in [
        (
            wide,
            "the patch, 116 x 74 mm, is larger than the pouch, 100 x 120 mm.",
        ),
        (
            off,
            "the patch, 84 x 74 mm, does not lie on the pouch, 100 x 120 mm.",
        ),
    ] {
        let (folder, album) = kind("bunting", &[change]);
        let told = line(&done(&["fit", &album]));
        assert!(told.contains(&format!("! Small: {said}")), "{told}");
        let print = folder.path().join("out.html").display().to_string();
        done(&["print", &album, "--html", &print]);
        let page = fs::read_to_string(print).expect("a page");
        assert!(line(&page).contains(&format!("Small: {said}")), "{page}");
    }
    // A note that no rule asks to lie in its pouch, and an inside that reaches beyond it.
    let out = [
        ("'insert.width + 2 * play <= leaf.width', ", ""),
        ("size = \"90 x 120 mm\"", "size = \"140 x 120 mm\""),
        (
            "opens = \"high\",",
            "opens = \"high\", left = '0 * play', right = 'leaf.width + play',",
        ),
    ];
    let (_folder, album) = kind("bunting", &out);
    let told = line(&done(&["fit", &album]));
    for said in [
        "! Big: the inside of the pouch, 134 x 158 mm, reaches beyond the pouch, 130 x 170 mm.",
        "! Big: the tale, 140 x 120 mm, is larger than the inside of the pouch, 134 x 158 mm.",
    ] {
        assert!(told.contains(said), "{said}\n{told}");
    }
    let ask = [
        "why",
        &album,
        "--leaf",
        "big",
        "--insert",
        "150 x 90 mm",
        "--into",
        "pouch",
    ];
    let told = line(&done(&ask));
    assert!(
        told.contains("To watch: It is larger than the inside of the pouch, 134 x 158 mm"),
        "{told}"
    );
    let (_folder, album) = kind("bunting", &[]);
    assert!(!done(&["fit", &album]).contains('!'));
}

/// What a fan does not have, and bunting: whole words, also with an s.
const OF_FAN: &[&str] = &[
    "leaf",
    "leaves",
    "bag",
    "ring",
    "page by page",
    "opening",
    "cover",
    "insert",
    "slot",
    "pocket",
    "spine",
    "stack",
    "photo",
];
const OF_BUNTING: &[&str] = &[
    "leaf",
    "leaves",
    "ring",
    "page by page",
    "opening",
    "cover",
    "pocket",
    "spine",
    "photo",
];

/// Refuses each of these words in an answer; `page 1 of 3` and what is typed are no words of it.
#[track_caller]
fn has_none_of(words: &[&str], text: &str) {
    let text = line(text).to_lowercase();
    for word in words {
        let mut at = text.match_indices(word).map(|(at, _)| at);
        let whole = |at: &usize| {
            let before = text[..*at].chars().next_back();
            let rest = text[at + word.len()..].trim_start_matches('s');
            let after = rest.chars().next();
            let apart =
                |c: Option<char>| c.is_none_or(|c| !c.is_alphanumeric() && !"._/-".contains(c));
            apart(before) && apart(after.filter(|c| *c != '.'))
        };
        if let Some(at) = at.find(whole) {
            let (from, to) = (at.saturating_sub(60), (at + 60).min(text.len()));
            panic!("{word}: {}", text.get(from..to).unwrap_or(&text).trim());
        }
    }
}

/// The words of a printout, without its styles and drawings' paths; with `more`, those of its pages as drawings.
fn printed(album: &str, more: &[&str]) -> String {
    if !more.is_empty() {
        return words_of(&pages(album, more).concat());
    }
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("out.html").display().to_string();
    done(&["print", album, "--html", &file]);
    let html = fs::read_to_string(file).expect("a page");
    words_of(html.split_once("</style>").expect("its styles").1)
}

/// What stands between the tags.
fn words_of(body: &str) -> String {
    let mut text = String::new();
    for piece in body.split('<').skip(1) {
        let (tag, words) = piece.split_once('>').unwrap_or((piece, ""));
        text.push(' ');
        if tag.starts_with("title") || tag.starts_with("desc") || !words.trim().is_empty() {
            text.push_str(words);
        }
    }
    text
}

/// Without the names of its bags, and what its file calls a leaf.
fn its_own(said: &str) -> String {
    let own = [
        "red bag",
        "blue bag",
        "`measured` of its leaf",
        "a bag's bottom in its `[[bag]]`",
    ];
    own.iter()
        .fold(line(said), |said, own| said.replace(own, ""))
}

#[test]
fn what_a_kind_does_not_have_is_not_spoken_of() {
    for (name, words) in [("fan", OF_FAN), ("bunting", OF_BUNTING)] {
        let (_folder, album) = kind(name, &[]);
        for verb in [
            &["fit"][..],
            &["fit", "--all"],
            &["price"],
            &["cut"],
            &["buy"],
            &["why"],
            &["rules"],
        ] {
            let mut arguments = verb.to_vec();
            arguments.insert(1, &album);
            let said = done(&arguments);
            has_none_of(words, &its_own(&said));
        }
        has_none_of(
            words,
            &printed(&album, &[])
                .replace("red bag", "")
                .replace("blue bag", ""),
        );
    }
    let (_folder, fan) = kind("fan", &[]);
    has_none_of(OF_FAN, &printed(&fan, &["--kit"]));
}

#[test]
fn what_is_asked_of_things_that_there_are_not_is_refused() {
    let (_folder, album) = kind("fan", &[]);
    let bags = "models/supplies/shelf.toml";
    for (arguments, said) in [
        (
            &["why", &album, "--insert", "4 x 6 in"][..],
            "nothing goes into this kind of album",
        ),
        (
            &["why", &album, "--insert", "4 x 6 in", "--into", "blade"],
            "nothing goes into this kind of album",
        ),
        (
            &["why", &album, "--need", "blade: 4 x 6 in"],
            "nothing goes into this kind of album",
        ),
        (&["compare", &album, "--bags", bags], "made of a bag"),
        (&["compare", &album], "made of a bag"),
        (
            &["print", &album, "--handout", "--output", "out.pdf"],
            "this album has no leaves",
        ),
    ] {
        let told = refused(arguments);
        assert!(told.contains(said), "{arguments:?}: {told}");
    }
}

#[test]
fn a_typed_bag_is_one_of_its_kind() {
    let (folder, _) = kind("bunting", &[]);
    let style = folder.path().join("style.toml").display().to_string();
    let said = done(&["fit", "--bag", "100 x 150 mm", "--style", &style]);
    assert!(
        said.contains("One pouch") && said.contains("card   92 x 104 mm"),
        "{said}"
    );
    let (folder, _) = kind("fan", &[]);
    let style = folder.path().join("style.toml").display().to_string();
    let said = refused(&["fit", "--bag", "100 x 150 mm", "--style", &style]);
    assert!(
        said.contains("no part of this kind of album is made of a bag"),
        "{said}"
    );
}

/// What stands for a measure of the maker's own is named if this album reads it, and only then.
#[test]
fn what_is_to_be_measured_is_what_the_album_reads() {
    for (name, there, not) in [
        (
            "fan",
            &["blade_long", "blade_broad", "blade_thick"][..],
            &["hole_diameter", "paper_caliper"][..],
        ),
        // The depth of the pouch stands for what lies below it.
        (
            "bunting",
            &["line_thick", "nest.depth"],
            &["hole_diameter", "sole"],
        ),
    ] {
        let (_folder, album) = kind(name, &[]);
        let said = done(&["fit", "--all", &album]);
        for (names, is) in [(there, true), (not, false)] {
            for name in names {
                assert_eq!(said.contains(&format!("(`{name}`)")), is, "{name}: {said}");
            }
        }
    }
    let boards = done(&["fit", "--all", "--bag", "5 x 8 in", "--style", "boards"]);
    assert!(
        boards.contains("Thickness of a board: 5/64 in (`board_thick`)."),
        "{boards}"
    );
}

#[test]
fn a_frame_with_an_outline_is_drawn_and_printed_as_it_is_cut() {
    let (_folder, album) = kind("fan", &[]);
    let pages = pages(&album, &[]);
    let drawn = |name: &str| {
        let all: String = pages.concat();
        let at = all
            .find(&format!("data-name=\"{name}\""))
            .or_else(|| all.find(&format!("id=\"{name}\"")));
        at.unwrap_or_else(|| panic!("no {name}"));
    };
    drawn("sheath");
    let outline = pages
        .iter()
        .find(|page| page.contains("Outline") && page.contains("sheath"));
    assert!(outline.is_some(), "no outline of the sheath");
    assert!(pages.concat().contains("1 rivet hole of"));
}

#[test]
fn what_is_not_cut_itself_is_drawn_as_the_paper_that_is_all_of_it() {
    let (_folder, album) = kind(
        "fan",
        &[
            ("name = \"sheath.width\"", "name = \"cover.width\""),
            ("name = \"sheath.height\"", "name = \"cover.height\""),
            (
                "[name]\n",
                "[name]\n\"sheath.width\" = 'cover.width'\n\"sheath.height\" = 'cover.height'\n",
            ),
            (
                "outline = [[",
                "on = [{ name = \"cover\", left = '0', low = '0', outline = [[",
            ),
            ("['0', 'sheath.height']]", "['0', 'sheath.height']] }]"),
            ("sheath = \"kraft\"", "cover = \"kraft\""),
        ],
    );
    let all = pages(&album, &[]).concat();
    let drawn = all.split("data-name=\"sheath: sheath\" d=\"").skip(1);
    let corners = drawn.map(|it| it.split('Z').next().unwrap_or("").matches('L').count());
    let corners: Vec<usize> = corners.collect();
    assert!(
        !corners.is_empty() && corners.iter().all(|it| *it == 5),
        "{corners:?}"
    );
}

#[test]
fn holes_and_folds_of_parts_have_their_places_in_json() {
    let (_folder, album) = kind("fan", &[]);
    let fit: serde_json::Value =
        serde_json::from_str(&done(&["fit", &album, "--json"])).expect("JSON");
    let marks = fit["marks"].as_array().expect("marks");
    let said = |n: usize| ["of", "name"].map(|key| marks[n][key].as_str().unwrap_or(""));
    assert_eq!(
        (said(0), said(1)),
        (["blade", "pivot"], ["sheath", "crease"])
    );
    assert_eq!(marks[0]["up"]["text"], "1/2 in");
    assert!(marks[1]["up"].is_null() && marks.len() == 3, "{marks:?}");
}

#[test]
fn a_map_beside_the_template_keeps_its_heading_and_is_found_where_it_is_said_to_be() {
    for album in [
        "models/albums/letters.toml",
        "models/albums/ferry-tickets.toml",
    ] {
        let pages = pages(album, &[]);
        let has = |page: &String| line(&words_of(page)).contains("The album, page by page");
        let at = pages.iter().rposition(has).expect("a map") + 1;
        let told = line(&words_of(&pages[0])).to_lowercase();
        let here = told
            .split("on page ")
            .find(|it| it.starts_with(&format!("{at}: ")));
        assert!(here.is_some_and(|it| it.contains("map")), "{album}: {told}");
    }
}

/// Sizes that a style says in place of finding them.
const SAID: &[(&str, &str)] = &[
    ("cautions =", "include = [\"common\"]\ncautions ="),
    (
        "[[unknown]]\nname = \"patch.width\"\nfor = [\"leaf in leaves\"]\nwhen = 'patch.wanted'\nprefer = \"largest with patch.height\"\nwhy = \"cut size\"\n[[unknown]]\nname = \"patch.height\"\nfor = [\"leaf in leaves\"]\nwhen = 'patch.wanted'\nprefer = \"large\"\nwhy = \"cut size\"\n",
        "",
    ),
    (
        "[[unknown]]\nname = \"line.width\"\nprefer = \"small\"\nwhy = \"length of the line\"\n[[unknown]]\nname = \"line.height\"\nprefer = \"small\"\nwhy = \"thickness of the line\"\n",
        "",
    ),
    (
        "[name]\n",
        "[name]\n\"patch.width\" = 'leaf.width - 2 * gap'\n\"patch.height\" = 'leaf.height - hem - 2 * gap'\n\"line.width\" = 'sum(leaf in leaves: leaf.count * leaf.width) + (album.leaves - 1) * between'\n\"line.height\" = 'line_thick'\n\"rope.width\" = 'line.width'\n\"rope.height\" = 'line.height'\n",
    ),
    (
        "name = \"line\"\ntitle = [\"line\", \"lines\"]",
        "name = \"rope\"\ntitle = [\"rope\", \"ropes\"]\non = [{ name = \"line\" }]",
    ),
];

#[test]
fn a_piece_whose_size_the_style_says_comes_out_of_a_sheet_too() {
    let (_folder, album) = kind("bunting", SAID);
    // 100 - 2 x 8 and 120 - 30 - 2 x 8; 4 x 100 + 3 x 130 + 6 x 40.
    let told = line(&done(&["fit", &album]));
    for size in ["patch 84 x 74 mm 1 4 dots", "line 1030 x 3 mm 1 string"] {
        assert!(told.contains(size), "{size}\n{told}");
    }
    let cut = line(&done(&["cut", &album]));
    assert!(cut.contains("84 x 74 mm"), "{cut}");
    for (sheet, small) in [
        ("size = \"3000 x 3 mm\"", "size = \"1000 x 3 mm\""),
        (
            "size = \"210 x 297 mm\"\nsheets = 3",
            "size = \"70 x 80 mm\"\nsheets = 3",
        ),
    ] {
        let changes = [SAID, &[(sheet, small)]].concat();
        let (_folder, album) = kind("bunting", &changes);
        let told = line(&answered(&["fit", &album], 1));
        assert!(
            told.contains("comes out of one sheet of its paper"),
            "{told}"
        );
    }
}

#[test]
fn a_single_layer_is_no_folded_bag() {
    let single = [
        (
            "{ name = \"front\", plies = '1', joined = { low = \"rear\" }, says = \"front of the pouch\" },\n",
            "",
        ),
        (
            "plies = '1', joined = { high = \"turn\" }, says",
            "plies = '1', says",
        ),
        ("plies = '2', low", "plies = '0', low"),
        (
            "caliper = \"0.1 mm\"",
            "caliper = \"0.1 mm\"\nweight = \"100 g/m2\"",
        ),
        (
            "papers = { patch = \"dots\" }",
            "papers = { patch = \"none\" }",
        ),
    ];
    let (_folder, album) = kind("bunting", &single);
    // 7 x 0.1 mm of pouch and 7 x 0.3 mm of note: nothing is folded, so nothing springs up.
    let told = line(&done(&["fit", &album]));
    assert!(told.contains("about 2.8 mm in the middle"), "{told}");
    // 4 x 100 x 150 mm and 3 x 130 x 200 mm of 100 g/m2.
    let told = line(&done(&["price", &album]));
    for weight in ["blue bag 4 pouches 6.0 g", "red bag 3 pouches 7.8 g"] {
        assert!(told.contains(weight), "{weight}\n{told}");
    }
}

/// A pull tab stands 1/2 in out of its mouth, and so out of the closed album: sums by hand.
#[test]
fn a_pull_tab_counts_in_the_closed_album() {
    let bag = "[[bag]]\nname = \"bag\"\nsize = \"5 1/4 x 8 in\"\nbottom = \"pinch\"\n";
    let card = "{ name = \"note\", place = \"mouth\", size = \"3 x 4 in\", grip = \"tab\" }";
    for (style, closed) in [
        // Above a leaf 8 in high.
        ("upright", "5 1/4 x 8 1/2 in"),
        // Boards 1/8 in below the leaf and above it: 1/8 + 8 + 1/2; strip, hinge and board are 1/2 + 5/16 + 4 5/8, rounded up to 5 1/2.
        ("boards", "5 1/2 x 8 5/8 in"),
        // Beyond a leaf 8 in wide.
        ("foreedge", "8 1/2 x 5 1/4 in"),
        // A page is half of 8 in.
        ("signature", "4 1/2 x 5 1/4 in"),
        // Boards 8 1/4 in high, the bag in their middle: 1/8 + 8 + 1/2; hinge and board 5/16 + 5 3/8, rounded up.
        ("concertina", "5 3/4 x 8 5/8 in"),
    ] {
        let album = format!(
            "album = \"Tabs\"\nstyle = \"{style}\"\nruler = \"1/8 in\"\n\n[[leaf]]\nname = \"leaf\"\nbag = \"bag\"\ninsert = [{card}]\n\n{bag}"
        );
        let (_folder, album) = super::laid(&[("album.toml", &album)]);
        let said = line(&done(&["fit", &album])).replace('\u{a0}', " ");
        assert!(
            said.contains(&format!("Closed: {closed},")),
            "{style}: {said}"
        );
    }
}
