//! What someone who teaches the craft looks at first.

use super::{done, line};

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
