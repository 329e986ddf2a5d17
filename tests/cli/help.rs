//! `help`: topics, man pages, completions.

use super::{CLASH, LOW_WATER, done, program, refused, run, told};
use serde_json::Value;
use std::collections::BTreeSet;
use std::fs;

#[test]
fn topics_are_listed_and_shown() {
    let list = done(&["help"]);
    for topic in [
        "fit", "compare", "album", "supplies", "kinds", "json", "words",
    ] {
        let listed = list
            .lines()
            .any(|line| line.starts_with(&format!("  {topic} ")));
        assert!(listed, "{topic} in {list}");
        let text = done(&["help", topic]);
        assert!(text.starts_with(&format!("{topic}: ")), "{text}");
        assert!(!text.contains("```") && !text.contains("|---"), "{text}");
        assert!(done(&["help", "--all"]).contains(text.lines().nth(1).expect("a line")));
    }
    assert_eq!(done(&["help", "help"]), list);
}

#[test]
fn a_command_names_where_its_options_are() {
    let fit = done(&["help", "fit"]);
    assert!(
        fit.ends_with("Options: `tuckwright fit --help`.\n"),
        "{fit}"
    );
    assert!(!done(&["help", "album"]).contains("Options: "));
}

#[test]
fn an_unknown_topic_names_the_nearest_and_all() {
    let error = refused(&["help", "suplies"]);
    assert!(error.contains("There is no topic `suplies`. Did you mean `supplies`?"));
    assert!(error.contains("Type `fit`, `why`, `compare`,"), "{error}");
    let error = refused(&["help", "zzzzzz"]);
    assert!(
        error.contains("There is no topic `zzzzzz`. Type"),
        "{error}"
    );
}

/// The style of your own that the topic shows is one.
#[test]
fn the_style_of_the_topic_works() {
    let text = fs::read_to_string("src/cli/help/kinds.md").expect("a topic");
    let style = text
        .split("```toml\n")
        .nth(1)
        .and_then(|it| it.split("```").next());
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(folder.path().join("mine.toml"), style.expect("a style")).expect("written");
    let album = fs::read_to_string("models/albums/low-water.toml").expect("an album");
    let supplies = fs::canonicalize("models/supplies/seaside.toml").expect("supplies");
    let album = album.replace(
        "../supplies/seaside.toml",
        supplies.to_str().expect("a path"),
    );
    let album = album.replace("style = \"upright\"", "style = \"mine.toml\"");
    let path = folder.path().join("album.toml");
    fs::write(&path, album).expect("written");
    let answer = done(&["fit", path.to_str().expect("a path")]);
    // With the shipped style it is 5 1/8 in wide.
    let words: Vec<&str> = answer.split_whitespace().collect();
    assert!(words.join(" ").contains("front mat 5 x 5 in"), "{answer}");
}

#[test]
fn man_pages_are_written_for_every_command_and_never_over_others() {
    let folder = tempfile::tempdir().expect("a folder");
    let pages = folder.path().join("man");
    let path = pages.to_str().expect("a path");
    let said = done(&["help", "--man", path]);
    assert!(said.contains("15 man pages"), "{said}");
    let cut = pages.join("tuckwright-cut.1");
    let text = fs::read_to_string(&cut).expect("a page");
    assert!(
        text.contains(".TH tuckwright-cut 1") && text.contains(r"\-\-sheet"),
        "{text}"
    );
    fs::write(&cut, "mine").expect("written");
    fs::remove_file(pages.join("tuckwright.1")).expect("removed");
    let error = refused(&["help", "--man", path]);
    assert!(error.contains("`--force` writes over it"), "{error}");
    assert_eq!(fs::read_to_string(&cut).expect("a page"), "mine");
    assert!(!pages.join("tuckwright.1").exists());
    done(&["help", "--man", path, "--force"]);
    assert_eq!(fs::read_to_string(&cut).expect("a page"), text);
}

#[test]
fn shells_get_a_script() {
    for shell in ["bash", "elvish", "fish", "powershell", "zsh"] {
        let script = done(&["help", "--completions", shell]);
        assert!(
            script.contains("offcuts") && script.contains("help"),
            "{shell}"
        );
    }
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("tuckwright.bash");
    let arguments = [
        "help",
        "--completions",
        "bash",
        "-o",
        file.to_str().expect("a path"),
    ];
    assert_eq!(done(&arguments), "");
    let script = fs::read_to_string(&file).expect("a script");
    assert_eq!(script, done(&["help", "--completions", "bash"]));
    assert!(refused(&arguments).contains("`--force` writes over it"));
}

/// Headings are bold on a terminal only.
#[test]
fn headings_are_bold_where_that_is_asked_for() {
    let forced = program(&["help", "care"])
        .env("CLICOLOR_FORCE", "1")
        .output();
    let (bold, _) = told(&forced.expect("it runs"), 0);
    assert!(bold.starts_with("\u{1b}[1mcare: "), "{bold}");
    let (plain, _) = told(&run(&["help", "care"]), 0);
    assert!(!plain.contains('\u{1b}'));
}

/// Names of all fields in an answer, but those that are an album's own words.
fn fields(of: &Value, found: &mut BTreeSet<String>) {
    match of {
        Value::Object(fields_of) => {
            for (name, value) in fields_of {
                found.insert(name.clone());
                fields(value, found);
            }
        }
        Value::Array(values) => values.iter().for_each(|value| fields(value, found)),
        _ => {}
    }
}

#[test]
fn the_topic_names_every_field_of_json() {
    let topic = done(&["help", "json"]);
    let is_name = |c: char| c.is_ascii_alphanumeric() || c == '_';
    let words: BTreeSet<&str> = topic.split(|c| !is_name(c)).collect();
    let shelf = [
        "compare",
        LOW_WATER,
        "--leaf",
        "shore",
        "--bags",
        "models/supplies/shelf.toml",
    ];
    let widths = [
        "compare",
        "--bag",
        "5 x 3 x 8 in",
        "--widths",
        "5 in .. 6 in",
        "--heights",
        "8 in .. 9 in",
    ];
    let card = ["why", "--bag", "4 3/8 x 5 3/4 in", "--insert", "4 x 6 in"];
    let grow = [
        "why",
        "--bag",
        "5 1/8 x 8 1/2 in",
        "--grow",
        "photo_mat.photo.width",
    ];
    let need = ["why", LOW_WATER, "--need", "mouth: 4 x 6 in"];
    let fill = [
        "cut",
        "--fill",
        "models/pieces/cards.csv",
        "--sheet",
        "5 1/2 x 12 in",
    ];
    let questions = [
        &["fit", LOW_WATER][..],
        &["rules", LOW_WATER],
        CLASH,
        &shelf,
        &widths,
        &card,
        &grow,
        &need,
        &["cut", LOW_WATER],
        &["arrange", LOW_WATER],
        &fill,
    ];
    let mut found = BTreeSet::new();
    for question in questions {
        let answer = run(&[question, &["--json"]].concat()).stdout;
        fields(&serde_json::from_slice(&answer).expect("JSON"), &mut found);
    }
    let missing: Vec<&String> = found
        .iter()
        .filter(|it| !words.contains(it.as_str()))
        .collect();
    assert!(
        found.len() > 100 && missing.is_empty(),
        "{missing:?} of {}",
        found.len()
    );
}
