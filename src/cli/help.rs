//! `help`: topics to read on the screen, man pages, and what a shell needs to complete a command line.
//!
//! A topic is a text in `help/`, shown by `report::topic`; `tests/readme.rs` runs its examples.

use super::{DONE, Line, Sink, Stop, Target, folder, output};
use crate::report::topic::topic;
use crate::text::{either, nearest, seen};
use clap::{Args, CommandFactory};
use clap_complete::Shell;
use clap_mangen::Man;
use std::path::{Path, PathBuf};

#[derive(Debug, Args)]
pub(super) struct Help {
    /// A topic or a command; without one, all of them are listed
    topic: Option<String>,
    /// Every topic, one after the other
    #[arg(long, conflicts_with = "topic")]
    all: bool,
    /// Write a man page for each command into this folder
    #[arg(long, value_name = "DIR", conflicts_with_all = ["topic", "all", "output"])]
    man: Option<PathBuf>,
    /// The script with which a shell completes commands and options
    #[arg(long, value_name = "SHELL", conflicts_with_all = ["topic", "all", "man"])]
    completions: Option<Shell>,
    #[command(flatten)]
    target: Target,
}

/// Every topic: what to type, and its text. Those of commands come first.
const TOPICS: &[(&str, &str)] = &[
    ("fit", include_str!("help/fit.md")),
    ("why", include_str!("help/why.md")),
    ("compare", include_str!("help/compare.md")),
    ("cut", include_str!("help/cut.md")),
    ("buy", include_str!("help/buy.md")),
    ("arrange", include_str!("help/arrange.md")),
    ("price", include_str!("help/price.md")),
    ("rules", include_str!("help/rules.md")),
    ("print", include_str!("help/print.md")),
    ("export", include_str!("help/export.md")),
    ("open", include_str!("help/open.md")),
    ("kinds", include_str!("help/kinds.md")),
    ("style", include_str!("help/style.md")),
    ("new", include_str!("help/new.md")),
    ("bag", include_str!("help/bag.md")),
    ("lengths", include_str!("help/lengths.md")),
    ("album", include_str!("help/album.md")),
    ("supplies", include_str!("help/supplies.md")),
    ("files", include_str!("help/files.md")),
    ("json", include_str!("help/json.md")),
    ("words", include_str!("help/words.md")),
    ("care", include_str!("help/care.md")),
];

/// Columns of a file, and of what is no terminal.
const USUAL: usize = 80;

pub(super) fn help(verb: &Help) -> Result<u8, Stop> {
    let sink = Sink::new(&verb.target);
    if let Some(dir) = &verb.man {
        return man(dir, verb.target.force);
    }
    if let Some(shell) = verb.completions {
        let mut script = Vec::new();
        clap_complete::generate(shell, &mut Line::command(), "tuckwright", &mut script);
        sink.write(&String::from_utf8_lossy(&script))?;
        return Ok(DONE);
    }
    let width = match verb.target.output {
        Some(_) => USUAL,
        None => output::screen().unwrap_or(USUAL),
    };
    let text = match &verb.topic {
        _ if verb.all => every(width),
        None => list(width),
        Some(name) => one(name, width)?,
    };
    sink.write(&text)?;
    Ok(DONE)
}

/// The line of a topic in the list: what follows its name in its heading.
fn says(text: &str) -> &str {
    let heading = text.lines().next().unwrap_or("");
    heading.split_once(": ").map_or("", |(_, says)| says)
}

fn is_command(name: &str) -> bool {
    Line::command().find_subcommand(name).is_some()
}

/// Every topic with a line of its own.
fn list(width: usize) -> String {
    let rows = |commands: bool| -> String {
        let of = TOPICS
            .iter()
            .filter(|(name, _)| is_command(name) == commands);
        of.map(|(name, text)| format!("| {name} | {} |\n", says(text)))
            .collect()
    };
    let text = format!(
        "# Commands\n| command | |\n|---|---|\n{}\n# Topics\n| topic | |\n|---|---|\n{}\n\
         Read one with `tuckwright help NAME`, all with `tuckwright help --all`. \
         `tuckwright COMMAND --help` lists the options of a command.\n",
        rows(true),
        rows(false)
    );
    topic(&text, width)
}

fn every(width: usize) -> String {
    let topics = TOPICS.iter().map(|(_, text)| topic(text, width));
    topics.collect::<Vec<_>>().join("\n\n")
}

fn one(name: &str, width: usize) -> Result<String, Stop> {
    if name == "help" {
        return Ok(list(width));
    }
    let names = || TOPICS.iter().map(|(name, _)| *name);
    let Some((name, text)) = TOPICS.iter().find(|(known, _)| *known == name) else {
        let near = nearest(name, names());
        let near = near.map_or(String::new(), |near| format!("Did you mean `{near}`? "));
        let all = either(&names().collect::<Vec<_>>());
        return Err(Stop::Told(format!(
            "There is no topic `{}`. {near}Type {all}",
            seen(name)
        )));
    };
    let options = format!("\nOptions: `tuckwright {name} --help`.\n");
    let options = if is_command(name) { &options } else { "" };
    Ok(topic(&format!("{text}{options}"), width))
}

/// A page for the program and one for each command, as `man` reads them.
fn man(dir: &Path, force: bool) -> Result<u8, Stop> {
    let mut whole = Line::command();
    whole.build();
    let mut files = Vec::new();
    for command in std::iter::once(&whole).chain(whole.get_subcommands()) {
        let page =
            Man::new(command.clone()).source(concat!("tuckwright ", env!("CARGO_PKG_VERSION")));
        let mut text = Vec::new();
        let written = page.render(&mut text);
        written.map_err(|error| Stop::Told(format!("a man page could not be made: {error}")))?;
        files.push((page.get_filename(), text));
    }
    folder::room_for(dir, &files, force)?;
    folder::fill(dir, &files, force, None)?;
    let dir = dir.display();
    output::to_screen(&format!(
        "{dir}: {} man pages. Read one: man {dir}/tuckwright.1\n",
        files.len()
    ))?;
    Ok(DONE)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_command_has_a_topic() {
        for command in Line::command().get_subcommands() {
            let name = command.get_name();
            let known = name == "help" || TOPICS.iter().any(|(topic, _)| *topic == name);
            assert!(known, "`{name}` has no topic in src/cli/help");
        }
    }

    #[test]
    fn a_topic_begins_with_its_name_and_its_line_in_the_list() {
        for (name, text) in TOPICS {
            let head = format!("# {name}: ");
            assert!(text.starts_with(&head) && !says(text).is_empty(), "{name}");
        }
    }

    /// What `report::topic` shows as it was meant: nothing else of Markdown.
    #[test]
    fn topics_keep_to_the_marks_that_are_shown() {
        for (name, text) in TOPICS {
            let mut example = false;
            for line in text.lines() {
                example ^= line.starts_with("```");
                if example {
                    continue;
                }
                let wrong = line.contains("**") || line.contains("](");
                let columns = line.matches(" | ").count();
                let table = line.starts_with("| ") == (columns > 0) && columns <= 1;
                assert!(!wrong && table, "{name}: {line}");
            }
        }
    }

    #[test]
    fn topics_are_short_and_their_lines_fit_every_screen() {
        let bytes: usize = TOPICS.iter().map(|(_, text)| text.len()).sum();
        assert!(bytes <= 71_500, "{bytes} bytes of topics");
        for width in [60, 80, 120] {
            let all = anstream::adapter::strip_str(&every(width)).to_string();
            let typed = |line: &str| line.trim_start().starts_with("$ ") || width < 80;
            let broad = all
                .lines()
                .find(|line| line.chars().count() > width && !typed(line));
            assert_eq!(broad, None, "{width}");
        }
    }
}
