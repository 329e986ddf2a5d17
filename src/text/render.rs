//! What is wrong, told as sentences: the file and the line, the line itself with the wrong part
//! underlined, and what to type.
//!
//! ```text
//! low-water.toml, line 12: `5 1/8 x 8 1/2` has no unit.
//!     size = "5 1/8 x 8 1/2"
//!             -------------
//! Type `5 1/8 x 8 1/2 in`.
//! ```

use std::fmt::Write as _;
use std::ops::Range;

use anstyle::{AnsiColor, Style};

use super::lines::{bound, capital, columns, wrapped};
use super::unseen::unseen;
use super::{Fault, Files, Place};

/// For whom it is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Look {
    /// Lines of 80 columns, without colour.
    Plain,
    /// Lines of so many columns, with colour. Colour alone says nothing.
    Screen(usize),
}

impl Look {
    fn width(self) -> usize {
        match self {
            Look::Plain => 80,
            Look::Screen(width) => width.max(NARROWEST),
        }
    }

    fn styled(self, style: Style, text: &str) -> String {
        match self {
            Look::Plain => text.to_owned(),
            Look::Screen(_) => format!("{style}{text}{style:#}"),
        }
    }
}

/// Columns below which nothing is squeezed.
const NARROWEST: usize = 40;
/// Most problems that are shown; the rest is counted.
const MOST_SHOWN: usize = 20;
/// Before a line of a file.
const INDENT: &str = "    ";
/// Where a part of a line is left out.
const CUT: &str = "...";
/// Longest word of a sentence (columns): what a maker typed may be longer.
const LONGEST_WORD: usize = 400;

/// Shows what is wrong in the order of the files and of their lines, and counts it.
pub fn render(files: &Files, faults: &[Box<dyn Fault>], look: Look) -> String {
    let mut ordered: Vec<&dyn Fault> = faults.iter().map(AsRef::as_ref).collect();
    ordered.sort_by_key(|fault| fault.place());
    let shown = ordered.iter().take(MOST_SHOWN);
    let mut parts: Vec<String> = shown.map(|fault| one(files, *fault, look)).collect();
    if let Some(more) = ordered.len().checked_sub(MOST_SHOWN).filter(|n| *n > 0) {
        parts.push(format!("{more} more are not shown.\n"));
    }
    if ordered.len() > 1 {
        parts.push(count(files, &ordered));
    }
    parts.join("\n")
}

/// Sentences as they are shown among faults: with a stop at their end, and lines that fit.
pub fn told(text: &str, look: Look) -> String {
    wrapped(&ended(&printable(text)), look.width(), "", "")
}

fn count(files: &Files, faults: &[&dyn Fault]) -> String {
    let mut names: Vec<u32> = faults.iter().map(|fault| fault.place().file).collect();
    // Parts of one file are one file.
    names.dedup_by_key(|file| files.name(*file));
    let problems = faults.len();
    match names.as_slice() {
        [file] => format!("{problems} problems in {}.\n", printable(files.name(*file))),
        _ => format!("{problems} problems.\n"),
    }
}

fn one(files: &Files, fault: &dyn Fault, look: Look) -> String {
    let place = fault.place();
    let name = printable(files.name(place.file));
    let bare = fault.of_file() || files.text(place.file).is_empty();
    let head = match (name.is_empty(), bare || files.is_typed(place.file)) {
        (true, _) => String::new(),
        (false, true) => format!("{name}:"),
        (false, false) => format!("{name}, line {}:", files.line(place)),
    };
    let what = printable(&fault.to_string());
    let mut text = match head.is_empty() {
        true => told(&capital(&what), look),
        false => told(&format!("{head} {what}"), look),
    };
    if let Some(rest) = text.strip_prefix(&head).filter(|_| !head.is_empty()) {
        text = look.styled(Style::new().bold(), &head) + rest;
    }
    if !bare {
        text += &marked(files, place, look);
    }
    for (other, words) in fault.also() {
        let same = other.file == place.file && files.line(other) == files.line(place);
        let line = match (same, files.name(other.file) == files.name(place.file)) {
            (true, _) => "in the same line".to_owned(),
            (false, true) => format!("in line {}", files.line(other)),
            (false, false) => {
                let name = printable(files.name(other.file));
                format!("in {name}, line {}", files.line(other))
            }
        };
        let words = capital(&format!("{} {line}:", printable(&words)));
        text += &wrapped(&words, look.width(), "", "");
        text += &marked(files, other, look);
    }
    if let Some(help) = fault.help() {
        text += &told(&capital(&help), look);
    }
    text
}

/// With a stop at its end.
fn ended(text: &str) -> String {
    let words: Vec<String> = bound(text).iter().map(|word| shortened(word)).collect();
    let text = words.join(" ");
    match text.ends_with(['.', '?', '!', ':']) {
        true => text,
        false => text + ".",
    }
}

fn shortened(word: &str) -> String {
    if columns(word) <= LONGEST_WORD {
        return word.to_owned();
    }
    let signs: Vec<char> = word.chars().collect();
    let (head, tail) = (
        &signs[..LONGEST_WORD / 4],
        &signs[signs.len() - LONGEST_WORD / 8..],
    );
    let (head, tail): (String, String) = (head.iter().collect(), tail.iter().collect());
    format!("{head} {CUT} {tail}")
}

/// A sign of a line as it is shown.
struct Cell {
    text: String,
    width: usize,
}

/// The line of a place, and a line of `-` under the part that is meant.
fn marked(files: &Files, place: Place, look: Look) -> String {
    let (line, part) = line_of(files, place);
    let cells: Vec<Cell> = line.chars().map(cell).collect();
    let Some((seen, part)) = window(&cells, part, look.width() - INDENT.len()) else {
        return String::new();
    };
    let text = |range: Range<usize>| -> String {
        cells[range].iter().map(|cell| cell.text.as_str()).collect()
    };
    let width = |range: Range<usize>| -> usize { cells[range].iter().map(|cell| cell.width).sum() };
    let before = if seen.start > 0 { CUT } else { "" };
    let after = if seen.end < cells.len() { CUT } else { "" };
    let whole = format!("{before}{}{after}", text(seen.clone()));
    let room = " ".repeat(before.len() + width(seen.start..part.start));
    let mark = "-".repeat(width(part).max(1));
    let mark = look.styled(AnsiColor::Red.on_default(), &mark);
    let mut shown = String::new();
    let _ = writeln!(shown, "{INDENT}{}", whole.trim_end());
    let _ = writeln!(shown, "{INDENT}{room}{mark}");
    shown
}

/// The line of a place as the maker wrote it, and which of its letters are meant: at least one,
/// except in an empty line.
fn line_of(files: &Files, place: Place) -> (String, Range<usize>) {
    let text = files.text(place.file);
    let boundary = |at: u32| {
        let at = (at as usize).min(text.len());
        (0..=at)
            .rev()
            .find(|at| text.is_char_boundary(*at))
            .unwrap_or(0)
    };
    let (mut start, end) = (boundary(place.start), boundary(place.end.max(place.start)));
    // A point behind the last line belongs to that line.
    if start == text.len() {
        start = text.trim_end_matches(['\n', '\r']).len();
    }
    let first = text[..start].rfind('\n').map_or(0, |n| n + 1);
    let last = text[start..].find('\n').map_or(text.len(), |n| start + n);
    let line = text[first..last].trim_end_matches('\r');
    let letters = |from: usize, to: usize| text[from..to.max(from)].chars().count();
    let last = first + line.len();
    let (mut from, to) = (
        letters(first, start.min(last)),
        letters(first, end.min(last)),
    );
    let count = line.chars().count();
    // Nothing else could be marked at the end of a line than the letter before.
    from = from.min(count.saturating_sub(1));
    let to = to.max(from + 1).min(count);
    match files.is_typed(place.file) {
        false => (line.to_owned(), from..to),
        true => {
            let quote = if line.contains('"') { '\'' } else { '"' };
            let head = format!("{} {quote}", files.name(place.file));
            let more = head.chars().count();
            (
                format!("{head}{line}{quote}"),
                from + more..to.max(from + 1) + more,
            )
        }
    }
}

/// Which letters are shown, and which of them are marked, where no more fit into `room` columns.
fn window(cells: &[Cell], part: Range<usize>, room: usize) -> Option<(Range<usize>, Range<usize>)> {
    if part.is_empty() || part.end > cells.len() {
        return None;
    }
    let total: usize = cells.iter().map(|cell| cell.width).sum();
    if total <= room {
        return Some((0..cells.len(), part));
    }
    let room = room.saturating_sub(2 * CUT.len());
    let (mut from, mut to) = (part.start, part.start + 1);
    let mut used = cells[part.start].width;
    while to < part.end && used + cells[to].width <= room {
        used += cells[to].width;
        to += 1;
    }
    let part = from..to;
    loop {
        let before = (from, to);
        if from > 0 && used + cells[from - 1].width <= room {
            from -= 1;
            used += cells[from].width;
        }
        if to < cells.len() && used + cells[to].width <= room {
            used += cells[to].width;
            to += 1;
        }
        if before == (from, to) {
            return Some((from..to, part));
        }
    }
}

fn cell(sign: char) -> Cell {
    let text = match sign {
        '\t' => INDENT.to_owned(),
        sign => printable(sign.encode_utf8(&mut [0; 4])),
    };
    let width = columns(&text);
    Cell { text, width }
}

/// The same text with signs that do not disturb a terminal.
fn printable(text: &str) -> String {
    let shown = |sign: char| match sign {
        '\n' | '\t' => ' ',
        sign if unseen(sign).is_none() => sign,
        sign if sign.is_ascii() => '?',
        _ => char::REPLACEMENT_CHARACTER,
    };
    text.chars().map(shown).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::text::Problem;
    use crate::text::{Faults, TextError};

    fn fault(text: &str, start: usize, end: usize) -> (Files, Faults) {
        let mut files = Files::default();
        let file = files.add("a.toml", text);
        let fault = TextError::Syntax {
            what: "this is wrong".to_owned(),
            help: Some("type `b`".to_owned()),
        }
        .at(Place::new(file, start, end));
        (files, vec![Box::new(fault)])
    }

    fn shown(text: &str, start: usize, end: usize) -> String {
        let (files, faults) = fault(text, start, end);
        render(&files, &faults, Look::Plain)
    }

    #[test]
    fn any_place_can_be_shown() {
        for text in ["", "\n", "⅜", "a\r\nb", "\u{202e}x", "a = 1\n\n"] {
            for start in 0..=text.len() + 2 {
                for end in start..=text.len() + 2 {
                    let message = shown(text, start, end);
                    assert!(message.contains("wrong"), "{text:?} {start} {end}");
                }
            }
        }
    }

    #[test]
    fn the_line_is_shown_and_the_part_underlined() {
        assert_eq!(
            shown("a = 1\nbee = 25\r\n", 12, 14),
            "a.toml, line 2: this is wrong.\n    bee = 25\n          --\nType `b`.\n"
        );
        // At the end of a line the letter before is marked.
        let at_end = shown("bee = 25", 8, 8);
        assert!(at_end.contains("\n           -\n"), "{at_end}");
    }

    #[test]
    fn the_mark_stands_under_wide_letters_and_behind_tabs() {
        // `日` and `本` take two columns each, an accent that is typed apart takes none.
        let wide = shown("日本 = x", 9, 10);
        assert!(wide.contains("\n    日本 = x\n           -\n"), "{wide}");
        let marked = shown("日本 = x", 0, 6);
        assert!(marked.contains("\n    ----\n"), "{marked}");
        let tab = shown("\tx = y", 5, 6);
        assert!(tab.contains("\n        x = y\n            -\n"), "{tab}");
        let accent = shown("cafe\u{301} = y", 9, 10);
        assert!(accent.contains("\n           -\n"), "{accent}");
    }

    #[test]
    fn a_long_line_is_cut_around_its_mark() {
        let text = format!("{} wrong {}", "word ".repeat(60), "more ".repeat(60));
        for width in [40, 60, 80, 120] {
            let (files, faults) = fault(&text, 301, 306);
            let screen = render(&files, &faults, Look::Screen(width));
            let message = anstream::adapter::strip_str(&screen).to_string();
            let lines: Vec<&str> = message.lines().collect();
            assert!(lines.iter().all(|line| columns(line) <= width), "{message}");
            let at = lines[1].find("wrong").expect("the marked word");
            assert_eq!(lines[2], format!("{}-----", " ".repeat(at)), "{message}");
            assert!(lines[1].ends_with(CUT) && lines[1].trim().starts_with(CUT));
        }
        // A mark that is longer than a line is cut as well.
        let long = shown(&text, 0, text.len());
        assert!(long.lines().all(|line| columns(line) <= 80), "{long}");
    }

    #[test]
    fn an_option_is_shown_as_it_is_typed() {
        let mut files = Files::default();
        let file = files.add_typed("--bag", "5 x 8");
        let fault = TextError::Syntax {
            what: "this is wrong".to_owned(),
            help: None,
        }
        .at(Place::new(file, 4, 5));
        let faults: Faults = vec![Box::new(fault)];
        assert_eq!(
            render(&files, &faults, Look::Plain),
            "--bag: this is wrong.\n    --bag \"5 x 8\"\n               -\n"
        );
    }

    #[test]
    fn a_second_place_is_told_with_its_line() {
        let mut files = Files::default();
        let file = files.add("a.toml", "x = 1\ny = 2\nx = 3\n");
        let fault = TextError::KeyTwice {
            key: "x".to_owned(),
            first: Some(Place::new(file, 0, 1)),
        }
        .at(Place::new(file, 12, 13));
        let faults: Faults = vec![Box::new(fault)];
        let text = render(&files, &faults, Look::Plain);
        assert!(text.starts_with("a.toml, line 3: "), "{text}");
        assert!(text.contains("in line 1:\n    x = 1\n    -\n"), "{text}");
    }

    #[test]
    fn colour_adds_nothing_but_colour() {
        let (files, faults) = fault("a = 1", 0, 1);
        let colour = render(&files, &faults, Look::Screen(80));
        assert!(colour.contains('\u{1b}'));
        let bare = anstream::adapter::strip_str(&colour).to_string();
        assert_eq!(bare, render(&files, &faults, Look::Plain));
    }
}
