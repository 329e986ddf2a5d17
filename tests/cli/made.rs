//! Kinds of album that a maker writes: what a style says falsely is said of the style, and what it says is done.

use super::*;
use std::fs;
use tempfile::TempDir;

/// A sheath round a pad, each text in the place of another, in its style or its album; its folder and file.
fn sheath(changes: &[(&str, &str)]) -> (TempDir, String) {
    let folder = tempfile::tempdir().expect("a folder");
    for name in ["style.toml", "pad.toml"] {
        let path = format!("{}/tests/styles/sheath/{name}", env!("CARGO_MANIFEST_DIR"));
        let mut words = fs::read_to_string(path).expect("a file");
        for (before, after) in changes {
            words = words.replace(before, after);
        }
        fs::write(folder.path().join(name), words).expect("a file");
    }
    let file = folder.path().join("pad.toml");
    (folder, file.to_str().expect("a path").to_owned())
}

fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A hole above the tag: without the tag it has no place.
const ABOVE_THE_TAG: (&str, &str) = (
    "up = 'sheath.height - finger_in'",
    "up = 'tag.height + finger'",
);

#[test]
fn what_a_style_says_falsely_is_no_mistake_of_the_program() {
    for (change, said) in [
        (
            (
                "finger_in = { value = \"1 in\"",
                "finger_in = { value = \"9 in\"",
            ),
            "lies 3 7/8 in beyond the closed end of `sheath`",
        ),
        (
            ("tag = \"scrap\"", "tag = \"none\""),
            "reads `tag.height` here, which this album does not have",
        ),
        (
            ("count = 'cards'", "count = 'cards / 4'"),
            "this count of `card` comes to 1/2",
        ),
    ] {
        let (_folder, file) = match said.contains("tag.height") {
            true => sheath(&[change, ABOVE_THE_TAG]),
            false => sheath(&[change, ("tag = \"scrap\"", "tag = \"none\"")]),
        };
        for verb in ["fit", "why", "rules", "cut", "price"] {
            let err = refused(&[verb, &file]);
            assert!(
                err.contains(said) && err.contains("style.toml, line"),
                "{verb}: {err}"
            );
        }
    }
}

#[test]
fn no_fix_is_offered_after_which_the_style_says_falsely_where_something_lies() {
    let small = (
        "name = \"scrap\"\nsize = \"6 x 6 in\"",
        "name = \"scrap\"\nsize = \"1 x 1 in\"",
    );
    let least = (
        "'tag.width + play <= pad_wide'",
        "'tag.width + play <= pad_wide', 'finger + finger <= tag.width'",
    );
    let without = "eave the tag out";
    let (_folder, file) = sheath(&[small, least]);
    let (out, _) = told(&run(&["why", &file]), 1);
    assert!(one_line(&out).contains(without), "{out}");
    let (_folder, file) = sheath(&[small, least, ABOVE_THE_TAG]);
    let (out, _) = told(&run(&["why", &file]), 1);
    assert!(!one_line(&out).contains(without), "{out}");
}

#[test]
fn what_is_there_no_times_is_not_cut() {
    let (_folder, file) = sheath(&[("cards = { value = \"2\"", "cards = { value = \"0\"")]);
    assert!(!done(&["fit", &file]).contains("card "));
    assert!(!done(&["cut", &file, "--sheet", "20 x 20 in"]).contains("card "));
    let steps = done(&["price", &file]);
    assert!(!steps.contains("the 0 cards"), "{steps}");
}

#[test]
fn nothing_is_cut_that_has_no_height() {
    let (_folder, file) = sheath(&[(
        "finger_in = { value = \"1 in\"",
        "finger_in = { value = \"4 3/8 in\"",
    )]);
    let (out, _) = told(&run(&["fit", &file]), 0);
    assert!(out.contains("tag     2 7/8 x 1/8 in"), "{out}");
    let (_folder, file) = sheath(&[
        (
            "finger_in = { value = \"1 in\"",
            "finger_in = { value = \"5 1/8 in\"",
        ),
        ("size = \"8 1/2 x 11 in\"", "size = \"11 x 5 3/4 in\""),
    ]);
    let (out, _) = told(&run(&["fit", &file]), 1);
    assert!(
        one_line(&out).contains("The tag leaves the finger hole free"),
        "{out}"
    );
}
