//! The program as a maker runs it: what it prints, what it writes, and its exit code.

mod answers;
mod buying;
mod class;
mod compare;
mod copies;
mod doing;
mod help;
#[cfg(unix)]
mod kept;
mod kinds;
mod made;
mod makers;
mod own;
mod price;
mod slots;
mod time;
mod told;
mod why;
mod written;

use serde_json::Value;
use std::process::{Command, Output};

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
    err.split_whitespace().collect::<Vec<_>>().join(" ")
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
