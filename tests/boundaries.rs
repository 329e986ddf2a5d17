//! A later room may import an earlier one, never the reverse.

use std::fs;
use std::path::{Path, PathBuf};

/// Each room and all that it may name of the crate.
const ROOMS: &[(&str, &[&str])] = &[
    // The solver and the cutting know whole numbers only.
    ("solve", &[]),
    ("nest", &[]),
    ("length", &[]),
    ("money", &[]),
    ("text", &["length", "money"]),
    ("supplies", &["length", "money", "text"]),
    ("album", &["length", "money", "text", "supplies"]),
    ("vocabulary", &[]),
    ("style", &["length", "text", "album", "vocabulary"]),
    (
        "scene",
        &[
            "length",
            "text",
            "supplies",
            "album",
            "vocabulary",
            "style",
            "solve",
        ],
    ),
    (
        "program",
        &[
            "length",
            "text",
            "supplies",
            "album",
            "vocabulary",
            "style",
            "scene",
            "solve",
        ],
    ),
    (
        "plan",
        &[
            "length",
            "text",
            "supplies",
            "album",
            "vocabulary",
            "style",
            "scene",
            "program",
            "solve",
        ],
    ),
    (
        "explain",
        &[
            "length",
            "text",
            "supplies",
            "album",
            "vocabulary",
            "style",
            "scene",
            "program",
            "solve",
            "plan",
        ],
    ),
    (
        "compare",
        &[
            "length",
            "text",
            "supplies",
            "album",
            "vocabulary",
            "style",
            "scene",
            "program",
            "solve",
            "plan",
            "explain",
        ],
    ),
    (
        "cut",
        &["length", "text", "supplies", "album", "plan", "nest"],
    ),
    (
        "price",
        &[
            "length", "money", "text", "supplies", "album", "style", "plan", "cut",
        ],
    ),
    (
        "shop",
        &[
            "length", "money", "text", "supplies", "album", "plan", "cut", "nest", "solve",
        ],
    ),
    (
        "arrange",
        &["length", "text", "supplies", "album", "plan", "cut"],
    ),
    // Words never see the solver.
    (
        "report",
        &[
            "length",
            "money",
            "text",
            "supplies",
            "album",
            "vocabulary",
            "style",
            "scene",
            "program",
            "plan",
            "explain",
            "compare",
            "cut",
            "shop",
            "arrange",
            "price",
        ],
    ),
    // Drawings see facts and words; never the solver.
    (
        "draw",
        &[
            "length",
            "supplies",
            "album",
            "vocabulary",
            "plan",
            "compare",
            "cut",
            "report",
        ],
    ),
    // The page sees facts, words and drawings; what it asks of the solver goes through `explain`.
    (
        "open",
        &[
            "length",
            "text",
            "supplies",
            "album",
            "vocabulary",
            "style",
            "scene",
            "program",
            "solve",
            "plan",
            "explain",
            "compare",
            "cut",
            "shop",
            "arrange",
            "price",
            "report",
            "draw",
        ],
    ),
];

fn sources(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            sources(&path, found);
        } else if path.extension().is_some_and(|e| e == "rs") {
            found.push(path);
        }
    }
}

/// Every `crate::room` that a text names, comments left out.
fn named(text: &str) -> Vec<String> {
    let code = text.lines().map(|l| l.split("//").next().unwrap_or(""));
    let code = code.collect::<Vec<_>>().join("\n");
    let mut rooms = Vec::new();
    for (at, _) in code.match_indices("crate::") {
        let rest = &code[at + "crate::".len()..];
        if let Some(list) = rest.strip_prefix('{') {
            let list = &list[..list.find('}').unwrap_or(list.len())];
            rooms.extend(list.split(',').map(|w| word(w.trim())));
        } else {
            rooms.push(word(rest));
        }
    }
    rooms
}

fn word(text: &str) -> String {
    text.chars()
        .take_while(|c| c.is_alphanumeric() || *c == '_')
        .collect()
}

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("src")
}

#[test]
fn rooms_import_earlier_rooms_only() {
    let mut wrong = Vec::new();
    for (room, allowed) in ROOMS {
        let mut files = Vec::new();
        let folder = root().join(room);
        assert!(folder.is_dir(), "there is no room {room}");
        sources(&folder, &mut files);
        for file in files {
            for name in named(&fs::read_to_string(&file).unwrap()) {
                if name != *room && !allowed.contains(&name.as_str()) {
                    wrong.push(format!("{} names `{name}`", file.display()));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn every_folder_is_a_known_room() {
    for entry in fs::read_dir(root()).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            let name = path.file_name().unwrap().to_str().unwrap().to_owned();
            let known = name == "cli" || ROOMS.iter().any(|(room, _)| *room == name);
            assert!(known, "`{name}` is not in the list of rooms");
        }
    }
}

/// The files of the room `nest` that look for an answer.
const NEST_SEARCH: &[&str] = &[
    "bound",
    "build",
    "cover",
    "first_fit",
    "glance",
    "ladder",
    "layout",
    "limits",
    "lp::",
    "model",
    "near",
    "proper",
    "refill",
    "search::",
    "table",
    "tail",
    "tray",
];

/// What checks an answer shares no code with what found it.
#[test]
fn checkers_stand_alone() {
    for (file, strangers) in [
        (
            "solve/check.rs",
            &[
                "search", "engine", "lp::", "stages", "scope", "desk", "duals", "limits",
            ][..],
        ),
        ("arrange/check.rs", &["free", "kept", "photos"]),
        (
            "arrange/verify.rs",
            &["free", "kept", "photos", "share", "deal", "sheet", "pads"],
        ),
        ("nest/verify.rs", NEST_SEARCH),
        ("nest/check.rs", NEST_SEARCH),
        ("nest/replay.rs", NEST_SEARCH),
        ("nest/cells.rs", NEST_SEARCH),
        ("nest/points.rs", NEST_SEARCH),
        ("nest/check_kept.rs", NEST_SEARCH),
        (
            "plan/value.rs",
            &["rows", "Form", "difference", "program::facts"],
        ),
        (
            "plan/verify.rs",
            &["program::rows", "Form", "difference", "row_sources"],
        ),
    ] {
        let text = fs::read_to_string(root().join(file)).unwrap();
        let code = text.split("#[cfg(test)]").next().unwrap_or("");
        let code: Vec<&str> = code
            .lines()
            .map(|l| l.split("//").next().unwrap_or(""))
            .collect();
        let uses = code.iter().filter(|l| l.trim_start().starts_with("use "));
        for line in uses.chain(code.iter().filter(|l| l.contains("super::"))) {
            for stranger in strangers {
                assert!(
                    !line.contains(stranger),
                    "{file} names `{stranger}`: {line}"
                );
            }
        }
    }
}

#[test]
fn floats_stand_in_one_room() {
    // A number of millimetres for readers of JSON, the clock of a limit, the LP, and the points and
    // dots of the writers of drawings.
    let allowed = [
        "draw/pdf.rs",
        "draw/png.rs",
        "solve/lp.rs",
        "nest/lp.rs",
        "length/mod.rs",
        "length/measure.rs",
        "report/json.rs",
    ];
    let mut files = Vec::new();
    sources(&root(), &mut files);
    for file in files {
        let name = file
            .strip_prefix(root())
            .unwrap()
            .to_str()
            .unwrap()
            .to_owned();
        let text = fs::read_to_string(&file).unwrap();
        let code = text.lines().map(|l| l.split("//").next().unwrap_or(""));
        let tests = name.ends_with("_tests.rs") || name.contains("_tests/");
        let float = !tests && code.clone().any(|l| l.contains("f64") || l.contains("f32"));
        assert!(
            !float || allowed.contains(&name.as_str()) || name.starts_with("report/json"),
            "{name} holds a float"
        );
    }
}

#[test]
fn files_are_read_and_written_in_one_place() {
    let mut files = Vec::new();
    sources(&root(), &mut files);
    for file in files {
        let name = file
            .strip_prefix(root())
            .unwrap()
            .to_str()
            .unwrap()
            .to_owned();
        let text = fs::read_to_string(&file).unwrap();
        let code: Vec<&str> = text
            .lines()
            .map(|l| l.split("//").next().unwrap_or(""))
            .collect();
        let opens = code
            .iter()
            .any(|l| l.contains("std::fs") || l.contains("File::"));
        assert!(!opens || name.starts_with("cli"), "{name} opens files");
    }
}

/// The room of a file, or the file itself, as modules are named: `solve::search::branch`.
fn module(file: &Path) -> Vec<String> {
    let inside = file.strip_prefix(root()).expect("it is a source");
    let mut words: Vec<String> = inside
        .with_extension("")
        .components()
        .map(|part| part.as_os_str().to_string_lossy().into_owned())
        .collect();
    words.pop_if(|last| last == "mod" || last == "lib");
    words
}

/// All paths that a text names in a `use` or in the middle of a line, as written, and those of
/// `use a::{b, c}` one by one.
fn paths(text: &str) -> Vec<Vec<String>> {
    let mut found = Vec::new();
    let mut rest = text;
    while let Some(at) = rest.find("::") {
        let start = rest[..at]
            .rfind(|c: char| !(c.is_alphanumeric() || c == '_'))
            .map_or(0, |n| n + 1);
        let head = rest[start..at].to_owned();
        let used = branches(&rest[at + 2..], vec![head], &mut found);
        rest = &rest[at + 2 + used..];
    }
    found
}

/// Reads `a::{b, c::d}` behind a head; tells how much it read.
fn branches(text: &str, mut head: Vec<String>, found: &mut Vec<Vec<String>>) -> usize {
    let mut at = 0;
    loop {
        let rest = &text[at..];
        if let Some(inner) = rest.strip_prefix('{') {
            let mut inside = 1;
            while inside < rest.len() && inner.len() >= inside {
                let next = &rest[inside..];
                let skipped = next.len() - next.trim_start_matches([',', ' ', '\n']).len();
                inside += skipped;
                if rest[inside..].starts_with('}') || rest[inside..].is_empty() {
                    return at + (inside + 1).min(rest.len());
                }
                let used = branches(&rest[inside..], head.clone(), found);
                if used == 0 {
                    return at + inside;
                }
                inside += used;
            }
            return at + inside;
        }
        let name = word(rest);
        if name.is_empty() {
            found.push(head);
            return at;
        }
        at += name.len();
        head.push(name);
        if text[at..].starts_with("::") {
            at += 2;
        } else {
            found.push(head);
            return at;
        }
    }
}

/// Files that name each other in a circle. A file may name those that lie inside it, and what lies
/// inside may name the file around it: only the way inside counts.
fn circles() -> Vec<Vec<String>> {
    let mut files = Vec::new();
    sources(&root(), &mut files);
    let modules: Vec<Vec<String>> = files.iter().map(|file| module(file)).collect();
    let edges: Vec<Vec<usize>> = files
        .iter()
        .zip(&modules)
        .map(|(file, own)| {
            let text = fs::read_to_string(file).expect("a source");
            let text = text.split("#[cfg(test)]\nmod tests {").next().unwrap_or("");
            let lines = text.lines().map(|l| l.split("//").next().unwrap_or(""));
            let text = lines.collect::<Vec<_>>().join("\n");
            let mut named = Vec::new();
            for path in paths(&text) {
                let full: Vec<String> = match path[0].as_str() {
                    "crate" => path[1..].to_vec(),
                    "self" => [own, &path[1..]].concat(),
                    "super" => {
                        let up = path.iter().take_while(|word| *word == "super").count();
                        let base = &own[..own.len().saturating_sub(up)];
                        [base, &path[up..]].concat()
                    }
                    _ => [own.as_slice(), &path].concat(),
                };
                let of = (1..=full.len())
                    .rev()
                    .find_map(|n| modules.iter().position(|module| *module == full[..n]));
                let Some(of) = of else { continue };
                let other = &modules[of];
                if !own.starts_with(other) {
                    named.push(of);
                }
            }
            named
        })
        .collect();
    // What reaches itself, with all that it reaches and that reaches it.
    let reach = |from: usize| {
        let mut seen = vec![false; files.len()];
        let mut open = edges[from].clone();
        while let Some(at) = open.pop() {
            if !std::mem::replace(&mut seen[at], true) {
                open.extend(&edges[at]);
            }
        }
        seen
    };
    let reached: Vec<Vec<bool>> = (0..files.len()).map(reach).collect();
    let mut all: Vec<Vec<String>> = Vec::new();
    for (at, to) in reached.iter().enumerate() {
        let both = reached.iter().zip(to).zip(&modules);
        let both = both.filter(|((from, to), _)| from[at] && **to);
        let circle: Vec<String> = both.map(|(_, other)| other.join("::")).collect();
        if !circle.is_empty() && !all.contains(&circle) {
            all.push(circle);
        }
    }
    all
}

#[test]
fn no_files_name_each_other_in_a_circle() {
    let circles = circles();
    assert!(circles.is_empty(), "{circles:#?}");
}

#[test]
fn paths_are_read_as_they_are_written() {
    let text = "use super::{a, b::{c, d}};\nlet x = crate::room::file::call(y::z);";
    let read: Vec<String> = paths(text).iter().map(|path| path.join("::")).collect();
    let written = [
        "super::a",
        "super::b::c",
        "super::b::d",
        "crate::room::file::call",
        "y::z",
    ];
    assert_eq!(read, written);
}
