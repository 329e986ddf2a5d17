//! The program as a maker runs it: what it prints, what it writes, and its exit code.

mod answers;
mod bags;
mod buying;
mod class;
mod compare;
mod compared;
mod copies;
mod craft;
mod doing;
mod help;
#[cfg(unix)]
mod kept;
mod kinds;
mod made;
mod makers;
mod own;
mod price;
mod slips;
mod slots;
mod time;
mod told;
mod why;
mod written;

use serde_json::Value;
use std::fs;
use std::path::Path;
use std::process::{Command, Output};
use tempfile::TempDir;

const LOW_WATER: &str = "models/albums/low-water.toml";
const HUT_BOOK: &str = "models/albums/hut-book.toml";
/// Two inches of bag and a hole two inches from its edge.
const CLASH: &[&str] = &["fit", "--bag", "2 x 6 in", "--edge", "2 in"];

fn program(arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_tuckwright"));
    command
        .args(arguments)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .env_remove("CLICOLOR_FORCE");
    command
}

fn run(arguments: &[&str]) -> Output {
    program(arguments).output().expect("the program runs")
}

#[track_caller]
fn told(output: &Output, code: i32) -> (String, String) {
    let out = String::from_utf8(output.stdout.clone()).expect("text");
    let err = String::from_utf8(output.stderr.clone()).expect("text");
    assert_eq!(output.status.code(), Some(code), "{out}\n{err}");
    (out, err)
}

#[track_caller]
fn done(arguments: &[&str]) -> String {
    let (out, err) = told(&run(arguments), 0);
    assert_eq!(err, "");
    out
}

/// The words of a refusal, in one line.
#[track_caller]
fn refused(arguments: &[&str]) -> String {
    let (out, err) = told(&run(arguments), 2);
    assert_eq!(out, "");
    assert!(!err.is_empty());
    line(&err)
}

/// Words in one line.
fn line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Files in a folder of their own, and the path of the last, which is the album.
fn laid(files: &[(&str, &str)]) -> (TempDir, String) {
    let folder = tempfile::tempdir().expect("a folder");
    let mut last = String::new();
    for (name, text) in files {
        let path = folder.path().join(name);
        fs::write(&path, text).expect("a file");
        last = path.display().to_string();
    }
    (folder, last)
}

/// The text with these words of it changed; each must be there.
#[track_caller]
fn changed(text: String, changes: &[(&str, &str)]) -> String {
    changes.iter().fold(text, |text, (old, new)| {
        assert!(text.contains(old), "{old}");
        text.replace(old, new)
    })
}

/// A kind of `tests/styles` and its album, with words of the one or the other changed, laid out.
#[track_caller]
fn kind(name: &str, changes: &[(&str, &str)]) -> (TempDir, String) {
    let from = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/styles");
    let files = fs::read_dir(from.join(name)).expect("a kind");
    let mut names: Vec<_> = files.map(|it| it.expect("a file").file_name()).collect();
    names.sort_by_key(|name| name != "style.toml");
    let names: Vec<_> = names
        .iter()
        .map(|it| it.to_str().expect("a name"))
        .collect();
    let texts = names
        .iter()
        .map(|file| fs::read_to_string(from.join(name).join(file)));
    let texts: Vec<String> = texts.map(|text| text.expect("a text")).collect();
    // Both are changed as one text, so that a change that is nowhere is found.
    let all = changed(texts.join("\0"), changes);
    let files: Vec<_> = names.into_iter().zip(all.split('\0')).collect();
    laid(&files)
}

/// An album that is shipped, with words of it changed, laid out.
#[track_caller]
fn shipped(name: &str, changes: &[(&str, &str)]) -> (TempDir, String) {
    let text = fs::read_to_string(format!("models/albums/{name}.toml")).expect("an album");
    let models = concat!("\"", env!("CARGO_MANIFEST_DIR"), "/models/");
    laid(&[(
        "album.toml",
        &changed(text, changes).replace("\"../", models),
    )])
}

/// The pages of a printout as drawings, in their order.
#[track_caller]
fn pages(album: &str, more: &[&str]) -> Vec<String> {
    let folder = tempfile::tempdir().expect("a folder");
    let into = folder.path().join("pages");
    let to = ["print", album, "--svg", into.to_str().expect("a path")];
    done(&[&to, more].concat());
    let files = fs::read_dir(into).expect("pages");
    let mut files: Vec<_> = files.map(|it| it.expect("a page").path()).collect();
    files.sort();
    let pages = files
        .iter()
        .map(|file| fs::read_to_string(file).expect("a page"));
    pages.collect()
}

#[track_caller]
fn json(arguments: &[&str]) -> Value {
    serde_json::from_str(&done(arguments)).expect("JSON")
}

/// Text and millimetres of a size.
#[track_caller]
fn size(answer: &Value, leaf: &str, name: &str) -> (String, f64) {
    let sizes = answer["sizes"].as_array().expect("sizes");
    let found = sizes
        .iter()
        .find(|s| s["name"] == name && s["leaf"] == leaf);
    let found = found.unwrap_or_else(|| panic!("no {leaf}: {name} in {sizes:#?}"));
    let text = found["text"].as_str().expect("text").to_owned();
    (text, found["mm"].as_f64().expect("a number"))
}
