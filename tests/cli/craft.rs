//! What someone who teaches the craft looks at first.

use super::{done, laid, line, pages};

/// Numbers of the sheets of a paper: first and last of each way of cutting.
fn sheets(text: &str) -> Vec<(u64, u64)> {
    let heads = text.lines().map(str::trim).filter_map(|line| {
        let (head, _) = line.split_once(':')?;
        let rest = ["Sheet ", "Sheets ", "Offcut ", "Offcuts "].iter();
        let numbers = rest.filter_map(|it| head.strip_prefix(it)).next()?;
        let numbers = numbers.split([' ', ',']);
        let numbers: Vec<u64> = numbers.filter_map(|it| it.parse().ok()).collect();
        Some((*numbers.first()?, *numbers.last()?))
    });
    heads.collect()
}

/// A sheet has one number, counted through all papers, on the screen and on paper.
#[test]
fn a_sheet_has_one_number_everywhere() {
    let album = concat!(env!("CARGO_MANIFEST_DIR"), "/models/albums/low-water.toml");
    let said = sheets(&done(&["cut", album]));
    let mut next = 1;
    for (first, last) in &said {
        assert_eq!(*first, next, "{said:?}");
        next = last + 1;
    }
    assert!(next > 5, "{said:?}");
    let folder = tempfile::tempdir().expect("a folder");
    let page = folder.path().join("page.html");
    let page = page.to_str().expect("a name");
    done(&["print", album, "--html", page]);
    let page = std::fs::read_to_string(page).expect("a page");
    let page = page
        .replace(['\u{a0}', '\u{202f}'], " ")
        .replace('<', "\n<")
        .replace('>', ">\n");
    let mut printed = sheets(&page);
    printed.dedup();
    assert_eq!(printed, said);
}

/// 4 3/8 x 5 7/8 in is no print; 4 x 6 in is too high for it, so 3 1/2 x 5 in is the largest (the common table of
/// print sizes).
#[test]
fn a_photo_has_the_print_that_is_sold_beside_it() {
    let bag = ["fit", "--bag", "5 1/4 x 3 x 7 5/8 in", "--ruler", "1/16 in"];
    let said = line(&done(&bag));
    let photo = "1 of 4 3/8 x 5 7/8 in (largest print sold that fits: 3 1/2 x 5 in)";
    assert!(said.contains(photo), "{said}");
    // What is trimmed from a print of the album has its name already.
    let said = line(&done(&[&bag[..], &["--print", "4 x 6 in"]].concat()));
    assert!(!said.contains("sold"), "{said}");
}

/// A mat ends 1/16 in from the spine edge. Holes of 3/16 in with centres 3/16 in from it leave 3/16 - 3/32 - 1/16
/// = 1/32 in of it; those of 1/4 in, 1/4 in from it, leave 1/16 in.
#[test]
fn holes_that_leave_little_of_a_mat_are_told() {
    let told = |hole: &str| {
        let bag = [
            "fit",
            "--bag",
            "5 x 3 x 8 in",
            "--hole",
            hole,
            "--edge",
            hole,
        ];
        line(&done(&bag))
    };
    let said = told("3/16 in");
    let thin = "The holes leave only 1/32 in of pocket mat, front mat and back mat beside them";
    assert!(said.contains(thin), "{said}");
    assert!(!told("1/4 in").contains("leave only"));
}

const TABS: &str = r#"
album = "Tabs"
ruler = "1/8 in"
bag = [{ name = "small", size = "5 x 8 in", gusset = "3 in" }]
paper = [{ name = "card", size = "12 x 12 in" }]
[[leaf]]
name = "page"
bag = "small"
insert = [
  { name = "near", place = "mouth", section = "front", grip = "tab", paper = "card" },
  { name = "far", place = "mouth", section = "back", grip = "GRIP", paper = "card" },
]
"#;

#[test]
fn a_tab_behind_a_tab_is_told() {
    for (grip, hides) in [("tab", true), ("notch", false)] {
        let (_folder, album) = laid(&[("album.toml", &TABS.replace("GRIP", grip))]);
        let said = line(&done(&["fit", &album, "--all"]));
        let told = "The pull tabs of near and far lie one behind the other";
        assert_eq!(said.contains(told), hides, "{said}");
        // The thumb that reaches for what lies behind gets hold of the tab before it.
        let told =
            "The pull tab of near stands before the thumb notch of far: glue it beside the notch.";
        assert_eq!(said.contains(told), !hides, "{said}");
    }
    let text = TABS.replace("grip = \"tab\"", "grip = \"notch\"");
    let (_folder, album) = laid(&[("album.toml", &text.replace("GRIP", "tab"))]);
    let said = line(&done(&["fit", &album, "--all"]));
    assert!(!said.contains("stands before"), "{said}");
}

/// Of 8 x 10 in 4 x 6 in are 24 of 80: 70 % goes. Of 5 x 7 in 4 7/8 x 7 are 97 %.
#[test]
fn a_print_that_is_far_too_large_is_told_first() {
    for (print, much) in [("8 x 10 in", true), ("5 x 7 in", false)] {
        let text = format!(
            "album = \"T\"\nruler = \"1/8 in\"\nstyle = \"upright\"\nprint = [{{ name = \"lab\", size = \"{print}\" }}]\n[[bag]]\nname = \"b\"\nsize = \"6 x 11 in\"\n[[leaf]]\nname = \"page\"\nbag = \"b\"\n[[leaf.insert]]\nname = \"scene\"\nplace = \"mouth\"\ngrip = \"tab\"\nphoto = {{ print = \"lab\" }}\n"
        );
        let (_folder, album) = laid(&[("album.toml", &text)]);
        let said = line(&done(&["fit", &album]));
        let told = "What to watch Scene: more than 20 % (our own limit) of its print goes. Lab (8 x 10 in) must be cut down";
        assert_eq!(said.contains(told), much, "{said}");
    }
}

const MINE: &str = r#"style = "mine"
title = "Mine"
include = ["upright"]
[name]
"closed.height" = 'leaf.height'
"#;

/// An insert stands 1/2 in out of the mouth of a bag of 8 in: 8 1/2 in.
#[test]
fn a_closed_album_that_forgets_what_stands_out_is_told() {
    let insert = "insert = [{ name = \"tall\", place = \"mouth\", section = \"front\", show = \"1/2 in\", paper = \"card\" }]\n";
    let (head, _) = TABS.split_once("insert = ").expect("an album");
    for (style, forgets) in [
        ("style = \"mine.toml\"", true),
        ("style = \"upright\"", false),
    ] {
        let album = format!("{style}\n{head}{insert}");
        let (_folder, album) = laid(&[("mine.toml", MINE), ("album.toml", &album)]);
        let said = line(&done(&["fit", &album, "--all"]));
        let told = "With what stands out it is 8 1/2 in high, but the style says 8 in for the closed album";
        assert_eq!(said.contains(told), forgets, "{said}");
    }
}

/// 6 1/8 in are 155.575 mm and 11 1/4 in 285.75 mm: no hand measures that.
#[test]
fn sizes_of_the_other_unit_are_about_a_mark() {
    let text = "album = \"T\"\nruler = \"0.1 cm\"\nstyle = \"upright\"\n[[bag]]\nname = \"b\"\nsize = \"6 1/8 x 11 1/4 in\"\ngusset = \"3 5/8 in\"\n[[leaf]]\nname = \"page\"\nbag = \"b\"\n[[leaf.insert]]\nname = \"tag\"\nplace = \"mouth\"\nheight = \"4 1/2 in\"\n";
    let (_folder, album) = laid(&[("album.toml", text)]);
    let said = line(&done(&["fit", &album]));
    assert!(said.contains("1 leaf of b, about 15.6 x 28.6 cm"), "{said}");
    let pages = pages(&album, &[]).join(" ");
    assert!(!pages.contains("15.5575"), "{pages}");
}

/// What is cut from what the sheets leave says so in the list: it has no sheet of its own.
#[test]
fn a_pull_tab_is_cut_from_an_offcut() {
    let text = "album = \"T\"\nruler = \"1/8 in\"\nstyle = \"upright\"\npaper = [{ name = \"card\", size = \"12 x 12 in\", sheets = 9 }]\n[[bag]]\nname = \"b\"\nsize = \"6 x 11 in\"\n[[leaf]]\nname = \"page\"\nbag = \"b\"\nfront_mat = \"card\"\n[[leaf.insert]]\nname = \"scene\"\nplace = \"mouth\"\ngrip = \"tab\"\npaper = \"card\"\n";
    let (folder, album) = laid(&[("album.toml", text)]);
    let page = folder.path().join("album.html").display().to_string();
    done(&["print", &album, "--html", &page]);
    let page = std::fs::read_to_string(page).expect("a page");
    let (_, rest) = page.split_once("scene pull tab").expect("a tab");
    let (row, _) = rest.split_once("</tr>").expect("its row");
    assert!(row.contains("an offcut"), "{row}");
}
