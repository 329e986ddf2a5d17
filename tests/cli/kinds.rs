//! Kinds of album without leaves, rings, pages or anything that opens: what they do not have is not spoken of.

use super::done;
use std::fs;
use std::path::Path;
use tempfile::TempDir;

/// The album of a kind of `tests/styles` with these words of its style or its own changed, in a folder of its own.
fn kind(kind: &str, changes: &[(&str, &str)]) -> (TempDir, String) {
    let folder = tempfile::tempdir().expect("a folder");
    let from = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/styles")
        .join(kind);
    let mut left: Vec<&(&str, &str)> = changes.iter().collect();
    for file in ["style.toml", "album.toml"] {
        let mut text = fs::read_to_string(from.join(file)).expect("a file");
        left.retain(|(old, new)| {
            let here = text.contains(old);
            text = text.replace(old, new);
            !here
        });
        fs::write(folder.path().join(file), text).expect("a file");
    }
    assert!(left.is_empty(), "{left:?}");
    let album = folder.path().join("album.toml");
    let album = album.to_str().expect("a path").to_owned();
    (folder, album)
}

/// The words of an answer, in one line.
fn line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

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
    let (_folder, album) = kind("bunting", &[]);
    assert!(!done(&["fit", &album]).contains('!'));
}
