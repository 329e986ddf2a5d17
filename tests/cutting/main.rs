//! `cut` as a maker runs it: every printed step is done again by a small reader that knows nothing of
//! the program, and must end with exactly the pieces.

mod album;
mod drawing;
mod edges;
mod examples;
mod left;
mod limits;
mod list;
mod replay;
mod settings;
mod stopped;

#[path = "../common/mod.rs"]
mod common;

use serde_json::Value;
use std::fs;
use std::path::Path;
use std::process::{Command, Output};

const LOW_WATER: &str = "models/albums/low-water.toml";
const HUT_BOOK: &str = "models/albums/hut-book.toml";

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

/// Stdout and stderr of a run that ends with this exit code.
#[track_caller]
fn told(arguments: &[&str], code: i32) -> (String, String) {
    let output = run(arguments);
    let out = String::from_utf8(output.stdout).expect("text");
    let err = String::from_utf8(output.stderr).expect("text");
    assert_eq!(output.status.code(), Some(code), "{out}\n{err}");
    (out, err)
}

#[track_caller]
fn done(arguments: &[&str]) -> String {
    let (out, err) = told(arguments, 0);
    assert_eq!(err, "");
    out
}

#[track_caller]
fn refused(arguments: &[&str]) -> String {
    let (out, err) = told(arguments, 2);
    assert_eq!(out, "");
    flat(&err)
}

#[track_caller]
fn json(arguments: &[&str]) -> Value {
    let mut all = arguments.to_vec();
    all.push("--json");
    serde_json::from_str(&done(&all)).expect("JSON")
}

/// A text in one line.
fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A folder with a list of pieces in it, and the list's path.
fn pieces(lines: &str) -> (tempfile::TempDir, String) {
    let folder = tempfile::tempdir().expect("a folder");
    let path = written(folder.path(), "pieces.csv", lines);
    (folder, path)
}

fn written(folder: &Path, name: &str, text: &str) -> String {
    let path = folder.join(name);
    fs::write(&path, text).expect("a file");
    path.to_str().expect("a name").to_owned()
}

/// All three ways in which the steps are told end with exactly the pieces; the sheets that it took.
#[track_caller]
fn replayed(arguments: &[&str]) -> u64 {
    let answer = json(arguments);
    let wanted = replay::wanted(&answer);
    let sheets = answer["sheets"].as_array().expect("sheets").len() as u64;
    let with = |option| [arguments, &[option]].concat();
    let gap = arguments.iter().position(|a| *a == "--gap");
    let gap = gap.map_or("0 in", |at| arguments[at + 1]);
    let table = done(&with("--csv"));
    assert_eq!(
        replay::table(&table, gap),
        (wanted.clone(), sheets),
        "{table}"
    );
    let text = done(arguments);
    assert!(text.lines().all(|l| l.chars().count() <= 80), "{text}");
    assert_eq!(replay::text(&text, gap), (wanted.clone(), sheets), "{text}");
    replay::drawn(&answer, &wanted);
    sheets
}
