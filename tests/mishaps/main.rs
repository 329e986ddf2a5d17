//! Things that go wrong at the table, with what a maker should read first.
//!
//! What stands first was written down before the program was asked, by someone who knows the trade
//! (common practice, no published source); the numbers are sums that anyone can do again.

mod cases;

use cases::{MISHAPS, Mishap};
use std::path::{Path, PathBuf};
use std::process::Command;

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/mishaps")
}

/// The first eight lines of the answer that are not empty, in small letters, as one.
fn first_lines(album: &str) -> String {
    let place = tempfile::tempdir().expect("a folder");
    let supplies = folder().join("supplies.toml");
    std::fs::copy(supplies, place.path().join("supplies.toml")).expect("a copy");
    let text =
        format!("album = \"Table\"\nruler = \"1/8 in\"\nsupplies = [\"supplies.toml\"]\n{album}");
    let file = place.path().join("album.toml");
    std::fs::write(&file, text).expect("a file");
    let run = Command::new(env!("CARGO_BIN_EXE_tuckwright"))
        .arg("fit")
        .arg(&file)
        .output()
        .expect("it runs");
    assert!(run.status.code().is_some_and(|code| code < 2), "{run:?}");
    let said = String::from_utf8(run.stdout).expect("text");
    let lines = said.lines().filter(|line| !line.trim().is_empty()).take(8);
    let words = lines.flat_map(str::split_whitespace);
    words.collect::<Vec<_>>().join(" ").to_lowercase()
}

#[test]
fn what_to_do_stands_first() {
    let mut wrong = Vec::new();
    for Mishap { name, album, first } in &MISHAPS {
        let said = first_lines(album);
        let mut from = 0;
        for wanted in *first {
            match said[from..].find(wanted) {
                Some(at) => from += at + wanted.len(),
                None => {
                    wrong.push(format!("{name}: no `{wanted}` in its place: {said}"));
                    break;
                }
            }
        }
        // To accept less is never first where something else is known.
        if let Some(accept) = said.find("accept") {
            let before = first.first().and_then(|wanted| said.find(wanted));
            if before.is_none_or(|at| at > accept) {
                wrong.push(format!("{name}: accepting first: {said}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
