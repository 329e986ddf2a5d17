//! Command lines: options with any text in them, as a shell would hand them on.

use std::ffi::OsString;
use std::fs;
use std::path::PathBuf;
use tuckwright::cli;

const VERBS: [&str; 6] = ["fit", "why", "rules", "compare", "cut", "export"];

/// Options with a value. None of them writes a file.
const OPTIONS: [&str; 28] = [
    "bag",
    "pocket",
    "pocket-depth",
    "ruler",
    "hole",
    "edge",
    "photo-shape",
    "print",
    "set",
    "insert",
    "into",
    "leaf",
    "grow",
    "need",
    "sheet",
    "stages",
    "trim",
    "gap",
    "narrowest",
    "stage",
    "unit",
    "by",
    "at-least",
    "most",
    "widths",
    "heights",
    "gusset",
    "step",
];

/// Options that name a file to read: it is what comes after the options.
const FILES: [&str; 3] = ["pieces", "fill", "bags"];

/// The first line is a verb, the next ones are options (`bag 5 x 8 in`) up to an empty line; what
/// follows is the file that an option names.
pub fn line(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else {
        return;
    };
    let (options, file) = text.split_once("\n\n").unwrap_or((text, ""));
    let mut lines = options.lines();
    let verb = lines.next().unwrap_or("");
    if !VERBS.contains(&verb) {
        return;
    }
    let mut arguments: Vec<OsString> = vec!["tuckwright".into(), verb.into()];
    for line in lines.take(12) {
        let (option, value) = line.split_once(' ').unwrap_or((line, ""));
        if option == "json" || option == "csv" || option == "all" {
            arguments.push(format!("--{option}").into());
        } else if OPTIONS.contains(&option) {
            arguments.push(format!("--{option}={value}").into());
        } else if FILES.contains(&option) {
            let path = path(if option == "bags" { value } else { "" });
            if fs::write(&path, file).is_err() {
                return;
            }
            let mut named = OsString::from(format!("--{option}="));
            named.push(path);
            arguments.push(named);
        }
    }
    if verb == "cut" {
        arguments.push("--time=1".into());
    }
    let code = cli::run(arguments);
    assert!(code <= 3, "exit {code}");
}

/// A file of this process alone.
fn path(kind: &str) -> PathBuf {
    let ending = if kind == "toml" { "toml" } else { "csv" };
    std::env::temp_dir().join(format!("fuzz-{}.{ending}", std::process::id()))
}
