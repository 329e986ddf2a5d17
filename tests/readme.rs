//! The examples of the README and of every topic of `help` say what the program says, the README stays
//! short, and its picture is as the program draws it. `TRYCMD=overwrite` writes the examples anew,
//! `UPDATE=1` the picture.

use std::fs;
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

/// A drawing of the demo album's printout, found by its title.
const PICTURE: &str = "models/pictures/low-water-shore.svg";
const TITLE: &str = "<title>Shore, pocket side</title>";

#[test]
fn the_picture_is_as_it_is_drawn() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("low-water.html");
    let mut command = Command::new(env!("CARGO_BIN_EXE_tuckwright"));
    command.args(["print", "models/albums/low-water.toml", "--html"]);
    let output = command.arg(&file).output().expect("the program runs");
    assert!(output.status.success(), "{output:?}");
    let page = fs::read_to_string(&file).expect("a page");
    let at = page.find(TITLE).expect("the drawing");
    let from = page[..at].rfind("<svg").expect("its element");
    let to = at + page[at..].find("</svg>").expect("its end") + "</svg>".len();
    let drawn = format!("{}\n", &page[from..to]);
    if std::env::var_os("UPDATE").is_some() {
        fs::write(PICTURE, &drawn).expect("it is written");
    }
    let kept = fs::read_to_string(PICTURE).expect("it is there");
    assert!(
        kept == drawn,
        "{PICTURE} is drawn otherwise: see it with UPDATE=1"
    );
    let readme = fs::read_to_string("README.md").expect("it is there");
    assert!(readme.contains(PICTURE));
}
