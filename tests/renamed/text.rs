//! No name that the shipped style declares stands as text in the program, but for words that are not
//! the style's own.

use crate::common;
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use tuckwright::style::Style;
use tuckwright::style::parts::{self, Kind};
use tuckwright::vocabulary::{BASE, LISTS, NAMES, SAID, SINGLE, TABLES};

/// Words that a style and something else have in common, with what they are there.
const OTHERWISE: &[(&str, &str)] = &[
    (
        "closed",
        "three names that every style may say: how large the closed album is",
    ),
    ("flap", "a column of a table of bags"),
    ("pocket", "a key of a bag among the supplies"),
    ("front", "plain English for the first side of anything"),
    ("back", "plain English for its other side"),
    ("mouth", "plain English for where anything is open"),
    (
        "lowest hole",
        "plain English for the first hole of a template",
    ),
];

/// Files that say what to type instead of what is wrong: their examples are from the shipped style.
const EXAMPLES: &[&str] = &[
    "album/fault.rs",
    "album/shapes.rs",
    "cli/typed.rs",
    "program/prefer.rs",
    "style/fault.rs",
    "style/shapes.rs",
];

/// What a style declares, by how it may stand in a text of the program.
struct Declared {
    /// As the whole text: words without a blank.
    words: BTreeSet<String>,
    /// As a word of it: `pocket.edge`, `front_mat`.
    parts: BTreeSet<String>,
    /// Anywhere in it: titles and names of several words.
    titles: BTreeSet<String>,
}

fn declared(style: &Style) -> Declared {
    let mut words: BTreeSet<String> = BTreeSet::new();
    let mut titles: BTreeSet<String> = BTreeSet::new();
    let base: Vec<&str> = BASE.iter().map(|(name, ..)| *name).collect();
    let quantities = style.quantities.iter().map(|it| it.name.clone());
    words.extend(quantities.filter(|name| !base.contains(&name.as_str())));
    for part in parts::all(&style.parts) {
        words.insert(part.name.clone());
        // A title that is only the name is no title.
        titles.extend(
            Some(&part.title)
                .filter(|it| **it != part.name.replace('_', " "))
                .cloned(),
        );
        match &part.kind {
            Kind::Slot(slot) => {
                words.insert(slot.place.clone());
                words.extend(slot.section.clone());
                titles.extend(slot.into.clone());
            }
            Kind::Frame(frame) => {
                words.extend(frame.marks.iter().map(|mark| mark.name.clone()));
                let edges = frame.edges.iter().flat_map(|it| it.split(','));
                titles.extend(edges.map(|it| it.trim().to_owned()));
                titles.extend(frame.titles.iter().chain(&frame.sides).cloned());
            }
            _ => {}
        }
    }
    titles.extend(style.rules.iter().map(|rule| rule.name.clone()));
    titles.extend(style.steps.iter().filter_map(|step| step.title.clone()));
    titles.extend(style.titles().into_values());
    let unknowns = style.unknowns.iter().map(|it| &it.name);
    let choices = style.choices.iter().map(|it| &it.name);
    let names = style.names.iter().map(|it| &it.name);
    let mut parts: BTreeSet<String> = BTreeSet::new();
    for path in unknowns.chain(choices).chain(names) {
        words.insert(path.head().to_owned());
        if path.0.len() > 1 {
            parts.insert(path.to_string());
        }
    }
    parts.extend(words.iter().filter(|word| word.contains('_')).cloned());
    titles.retain(|title| title.contains(' '));
    // What every style has: things of the vocabulary and what it says of them.
    let lists = LISTS.iter().flat_map(|(_, list, kind)| [*list, *kind]);
    let mut every: BTreeSet<String> = lists
        .chain(SINGLE.iter().copied())
        .map(str::to_owned)
        .collect();
    every.extend(
        TABLES
            .iter()
            .flat_map(|(table, kind)| [*table, *kind])
            .map(str::to_owned),
    );
    every.extend(OTHERWISE.iter().map(|(word, _)| (*word).to_owned()));
    for (kind, field) in NAMES
        .iter()
        .map(|it| (it.kind, it.field))
        .chain(SAID.iter().map(|(kind, field, _)| (*kind, *field)))
    {
        every.extend([kind.to_owned(), field.to_owned(), format!("{kind}.{field}")]);
    }
    let of_closed = ["width", "height", "thickness"].map(|side| format!("closed.{side}"));
    every.extend(of_closed);
    let own = |set: BTreeSet<String>| set.difference(&every).cloned().collect();
    Declared {
        words: own(words),
        parts: own(parts),
        titles: own(titles),
    }
}

/// Texts of a source with their lines; tests at its end are left out, and comments.
fn texts(source: &str) -> Vec<(usize, String)> {
    let source = source.split("#[cfg(test)]\nmod").next().unwrap_or("");
    let mut found = Vec::new();
    let mut letters = source.chars().peekable();
    let mut line = 1;
    while let Some(c) = letters.next() {
        match c {
            '\n' => line += 1,
            '/' if letters.peek() == Some(&'/') => {
                while letters.next_if(|c| *c != '\n').is_some() {}
            }
            // A letter in single quotes may be a quote.
            '\'' => {
                let mut ahead = letters.clone();
                let first = ahead.next();
                if first == Some('\\') {
                    ahead.next();
                }
                if ahead.next() == Some('\'') {
                    letters = ahead;
                }
            }
            '"' => {
                let at = line;
                let mut text = String::new();
                while let Some(c) = letters.next() {
                    match c {
                        '"' => break,
                        '\\' => text.extend(letters.next()),
                        c => text.push(c),
                    }
                    line += usize::from(c == '\n');
                }
                found.push((at, text));
            }
            _ => {}
        }
    }
    found
}

fn sources(folder: &Path, all: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).expect("a folder") {
        let path = entry.expect("an entry").path();
        let name = path.file_stem().unwrap_or_default().to_string_lossy();
        if name == "tests" || name.ends_with("_tests") {
            continue;
        }
        match path.is_dir() {
            true => sources(&path, all),
            // Topics of `help` are texts for a maker of the shipped style.
            false => {
                all.extend(Some(path).filter(|it| it.extension().is_some_and(|it| it == "rs")))
            }
        }
    }
}

impl Declared {
    fn in_text(&self, text: &str) -> Option<&str> {
        let word = self.words.get(text);
        let is_name = |c: char| c.is_ascii_alphanumeric() || c == '_' || c == '.';
        let mut words = text.split(|c| !is_name(c));
        let part = || words.find_map(|word| self.parts.get(word.trim_end_matches('.')));
        let title = || {
            self.titles
                .iter()
                .find(|title| text.contains(title.as_str()))
        };
        word.or_else(part).or_else(title).map(String::as_str)
    }
}

#[test]
fn no_name_of_a_style_stands_in_the_program() {
    let declared = declared(&common::upright());
    assert!(declared.words.len() > 60 && declared.parts.len() > 60 && declared.titles.len() > 100);
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut all = Vec::new();
    sources(&root, &mut all);
    all.sort();
    assert!(all.len() > 200, "{}", all.len());
    let mut wrong = Vec::new();
    let mut examples = BTreeSet::new();
    for path in all {
        let file = path
            .strip_prefix(&root)
            .expect("below it")
            .to_string_lossy()
            .into_owned();
        for (line, text) in texts(&fs::read_to_string(&path).expect("a source")) {
            let Some(name) = declared.in_text(&text) else {
                continue;
            };
            match EXAMPLES.contains(&file.as_str()) {
                true => drop(examples.insert(file.clone())),
                false => wrong.push(format!("src/{file}:{line}: `{name}` in {text:?}")),
            }
        }
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
    // Each of these is still needed.
    assert_eq!(examples.len(), EXAMPLES.len(), "{examples:?}");
}

/// The test would see one.
#[test]
fn a_name_of_a_style_is_seen() {
    let declared = declared(&common::upright());
    for (text, seen) in [
        ("caption_strip", true),
        ("under_band", true),
        ("say pocket.edge, if you like", true),
        ("punch it at the spine edge", true),
        ("Glue the mats", true),
        ("template.edge", false),
        ("width", false),
    ] {
        let source = format!("let it = \"{text}\"; // \"under_band\"\n");
        let found = texts(&source);
        assert_eq!(found.len(), 1);
        assert_eq!(declared.in_text(&found[0].1).is_some(), seen, "{text}");
    }
}
