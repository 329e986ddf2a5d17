//! The examples of the README and of every topic of `help` say what the program says, the README stays
//! short, and its picture is as the program draws it. `TRYCMD=overwrite` writes the examples anew,
//! `UPDATE=1` the picture.

use std::fs;
use std::path::PathBuf;
use std::process::Command;

#[test]
fn examples_are_as_they_are_run() {
    trycmd::TestCases::new()
        .case("README.md")
        .case("src/cli/help/*.md");
}

#[test]
fn the_readme_is_short() {
    let bytes = fs::read("README.md").expect("it is there").len();
    assert!(bytes <= 7_000, "{bytes} bytes; topics of `help` hold more");
}

/// A page of the demo album's printout, found by its title.
const PICTURE: &str = "models/pictures/low-water-shore.svg";
const TITLE: &str = "<title>Shore, pocket side</title>";

#[test]
fn the_picture_is_as_it_is_drawn() {
    let folder = tempfile::tempdir().expect("a folder");
    let pages = folder.path().join("pages");
    let mut command = Command::new(env!("CARGO_BIN_EXE_tuckwright"));
    command.args(["print", "models/albums/low-water.toml", "--svg"]);
    let output = command.arg(&pages).output().expect("the program runs");
    assert!(output.status.success(), "{output:?}");
    let mut names: Vec<PathBuf> = fs::read_dir(&pages)
        .expect("pages")
        .map(|page| page.expect("a page").path())
        .collect();
    names.sort();
    let texts = names.iter().map(|it| fs::read_to_string(it).expect("SVG"));
    let drawn: Vec<String> = texts.filter(|text| text.contains(TITLE)).collect();
    assert_eq!(drawn.len(), 1, "pages called {TITLE}");
    if std::env::var_os("UPDATE").is_some() {
        fs::write(PICTURE, &drawn[0]).expect("it is written");
    }
    let kept = fs::read_to_string(PICTURE).expect("it is there");
    assert!(
        kept == drawn[0],
        "{PICTURE} is drawn otherwise: see it with UPDATE=1"
    );
    let readme = fs::read_to_string("README.md").expect("it is there");
    assert!(readme.contains(PICTURE));
}
