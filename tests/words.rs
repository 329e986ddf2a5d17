//! How the program speaks: no message looks like a compiler's, and no output holds phrases that a maker
//! would have to read twice.
//!
//! Looked at are the expected texts of `tests/errors`, `tests/fits` and `tests/conflicts`, the README,
//! the help of every verb and all topics, what the shipped albums print, and what is answered to a slip of typing.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

const ALBUMS: [&str; 2] = [
    "models/albums/low-water.toml",
    "models/albums/hut-book.toml",
];

const VERBS: [&str; 14] = [
    "fit", "why", "compare", "cut", "buy", "arrange", "price", "rules", "print", "export", "open",
    "kinds", "new", "help",
];

/// What a programmer's tools write around a message.
const OF_COMPILERS: [&str; 12] = [
    "error:", "error[", "help:", "tip:", "note:", "warning:", "usage:", "-->", "^", "~~", "×", "·",
];

/// Phrases, and what a maker would rather read.
const AVOIDED: [(&str, &str); 29] = [
    ("is told", "name who shows it, and where"),
    ("are told", "name who shows it, and where"),
    ("was told", "name who shows it, and where"),
    ("is said", "name the thing"),
    ("are said", "name the thing"),
    ("was said", "name the thing"),
    ("says so", "name the thing"),
    ("says nothing", "\"is empty\", \"does not give\""),
    ("so many", "a number"),
    ("so much", "a number"),
    ("as far as", "a plain noun"),
    ("that which", "a plain noun"),
    ("nothing where", "\"none if\""),
    ("held by", "\"limited by\""),
    ("settled", "\"worked out\""),
    ("unsettled", "\"not worked out\""),
    ("ticks", "\"ruler steps\""),
    ("instance", "name the thing"),
    ("relaxed", "name the change"),
    ("stays a must", "\"must hold\""),
    ("cannot do", "\"is not enough\""),
    ("does not do", "\"does not work\""),
    ("do not do", "\"do not work\""),
    ("smaller does", "\"smaller works\""),
    ("larger does", "\"larger works\""),
    ("has no place here", "\"does not belong here\""),
    ("buys nothing", "\"gains nothing\""),
    ("stage", "\"step\""),
    ("unknowns", "\"sizes\""),
];

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// What a command prints, on both channels.
fn printed(arguments: &[&str]) -> String {
    let mut command = Command::new(env!("CARGO_BIN_EXE_tuckwright"));
    command.args(arguments).current_dir(root());
    let output = command.output().expect("the program runs");
    let text = [output.stdout, output.stderr].concat();
    String::from_utf8(text).expect("text")
}

/// Texts below a folder with a name.
fn texts(folder: &str) -> Vec<(String, String)> {
    let mut open = vec![root().join(folder)];
    let mut texts = Vec::new();
    while let Some(folder) = open.pop() {
        let entries = fs::read_dir(&folder).expect("a folder").flatten();
        let mut paths: Vec<PathBuf> = entries.map(|entry| entry.path()).collect();
        paths.sort();
        for path in paths {
            if path.is_dir() {
                open.push(path);
            } else if path.extension().is_some_and(|ending| ending == "txt") {
                let text = fs::read_to_string(&path).expect("a text");
                texts.push((path.display().to_string(), text));
            }
        }
    }
    assert!(!texts.is_empty(), "{folder}");
    texts
}

/// Slips of typing, and what is answered.
fn slips() -> Vec<(String, String)> {
    let album = ALBUMS[0];
    let lines: [&[&str]; 19] = [
        &["fits", album],
        &["fit"],
        &["fit", "--bagg", "5 x 8 in"],
        &["fit", album, album],
        &["fit", album, "-q"],
        &["fit", album, "--time", "soon"],
        &["fit", album, "--time"],
        &["fit", album, "--all=yes"],
        &["fit", album, "--bag", "5 x 8 in"],
        &["fit", "--bag", "5 x 8"],
        &["fit", "models"],
        &["rules", album, "--names", "--json"],
        &["compare", album, "--by", "colour"],
        &["compare", album, "--widths", "3 in .. 5 in"],
        &["why", album, "--into", "mouth"],
        &["cut", "--pieces", "no.csv"],
        &["print", album],
        &["new"],
        &["help", "suplies"],
    ];
    let answered = lines.iter().map(|line| (line.join(" "), printed(line)));
    answered.collect()
}

/// Words in one line, with a space at both ends, and without what is to be typed: that is in backticks,
/// or an option.
fn words(text: &str) -> String {
    let bare = text.split('`').step_by(2).flat_map(str::split_whitespace);
    let bare: Vec<&str> = bare.filter(|word| !word.starts_with("--")).collect();
    let letters = |c: char| if c.is_alphanumeric() { c } else { ' ' };
    let lower: String = bare.join(" ").to_lowercase().chars().map(letters).collect();
    let words: Vec<&str> = lower.split_whitespace().collect();
    format!(" {} ", words.join(" "))
}

/// Which phrases a text holds.
fn found(text: &str) -> Vec<&'static str> {
    let words = words(text);
    let held = AVOIDED
        .iter()
        .filter(|(phrase, _)| words.contains(&format!(" {phrase} ")));
    held.map(|(phrase, _)| *phrase).collect()
}

/// What makes a message look like that of a compiler.
fn looks_of_compilers(text: &str) -> Vec<String> {
    let lower = text.to_lowercase();
    let boxes = lower
        .chars()
        .filter(|c| matches!(c, '\u{2190}'..='\u{21ff}' | '\u{2500}'..='\u{259f}'));
    let marks = OF_COMPILERS.iter().filter(|mark| lower.contains(*mark));
    boxes
        .map(String::from)
        .chain(marks.map(|mark| (*mark).to_owned()))
        .collect()
}

#[test]
fn no_message_looks_like_a_compilers() {
    let mut wrong = Vec::new();
    for (name, text) in texts("tests/errors").into_iter().chain(slips()) {
        let looks = looks_of_compilers(&text);
        if !looks.is_empty() {
            wrong.push(format!("{name}: {looks:?}\n{text}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn a_compilers_message_is_seen() {
    for text in [
        "error: no",
        "  ╭─[a.toml:1:1]",
        " --> a.toml",
        "  help: type `a`",
        "  ^^^",
        "a → b",
    ] {
        assert!(!looks_of_compilers(text).is_empty(), "{text}");
    }
    assert!(
        looks_of_compilers("a.toml, line 1: `b` is wrong.\n    b\n    -\nType `a`.").is_empty()
    );
}

#[test]
fn every_message_ends_with_what_to_type() {
    for (name, text) in slips() {
        let last = text.trim_end().lines().last().unwrap_or("").to_owned();
        assert!(last.ends_with(['.', '?']), "{name}\n{text}");
        assert!(text.contains('`'), "{name}\n{text}");
    }
}

#[test]
fn no_output_holds_a_phrase_that_is_avoided() {
    let mut all: Vec<(String, String)> = ["tests/errors", "tests/fits", "tests/conflicts"]
        .iter()
        .flat_map(|folder| texts(folder))
        .collect();
    all.extend(slips());
    let readme = fs::read_to_string(root().join("README.md")).expect("the README");
    all.push(("README.md".to_owned(), readme));
    for topic in fs::read_dir(root().join("src/cli/help")).expect("topics") {
        let path = topic.expect("a topic").path();
        let text = fs::read_to_string(&path).expect("a text");
        all.push((path.display().to_string(), text));
    }
    for verb in VERBS {
        all.push((format!("{verb} --help"), printed(&[verb, "--help"])));
    }
    for album in ALBUMS {
        for rest in [
            &["fit"][..],
            &["fit", "--all"],
            &["rules"],
            &["why"],
            &["compare", "--bags", "models/supplies/shelf.toml"],
            &["cut"],
            &["buy", "--copies", "12"],
            &["arrange"],
            &["price"],
        ] {
            let arguments = [&rest[..1], &[album], &rest[1..]].concat();
            all.push((arguments.join(" "), printed(&arguments)));
        }
    }
    let asked: [&[&str]; 6] = [
        &["why", "--bag", "5 x 8 in", "--grow", "photo_mat.width"],
        &[
            "why",
            ALBUMS[0],
            "--leaf",
            "shore",
            "--grow",
            "photo_mat.photo",
        ],
        &[
            "why",
            ALBUMS[0],
            "--leaf",
            "shore",
            "--insert",
            "9 x 12 in",
            "--into",
            "pocket",
        ],
        &["why", ALBUMS[1], "--insert", "3 x 3 in", "--into", "mouth"],
        &[
            "why",
            "--need",
            "mouth: 4 x 6 in",
            "--need",
            "pocket: 2 of 3 x 4 in",
        ],
        &["compare", ALBUMS[0], "--bag", "6 x 3 x 11 in"],
    ];
    all.extend(asked.iter().map(|line| (line.join(" "), printed(line))));
    let folder = tempfile::tempdir().expect("a folder");
    for (n, album) in ALBUMS.iter().enumerate() {
        let page = folder.path().join(format!("{n}.html"));
        printed(&["print", album, "--html", page.to_str().expect("a path")]);
        let page = fs::read_to_string(page).expect("it is printed");
        let texts = page
            .split('<')
            .filter_map(|tag| Some(tag.split_once('>')?.1));
        all.push((
            format!("print {album}"),
            texts.collect::<Vec<_>>().join(" "),
        ));
    }
    let mut wrong = Vec::new();
    for (name, text) in all {
        let phrases = found(&text);
        if !phrases.is_empty() {
            wrong.push(format!("{name}: {phrases:?}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn an_avoided_phrase_is_seen_and_what_is_typed_is_not() {
    assert_eq!(found("It\nis told, below."), ["is told"]);
    assert_eq!(found("The holes: held by the ring."), ["held by"]);
    assert!(found("Type `--stages two`, and upheld by all.").is_empty());
}
