//! What is wrong, shown at its line.

use std::fmt;

use miette::{
    Diagnostic, GraphicalReportHandler, GraphicalTheme, LabeledSpan, MietteError,
    MietteSpanContents, SourceCode, SourceSpan, SpanContents, ThemeCharacters, ThemeStyles,
};

use super::unseen::unseen;
use super::{Fault, Files, Place};

/// With or without colour. Nothing is said by colour alone.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Look {
    Plain,
    Colour,
}

/// Width of a message and of a remedy, so that a screen of 80 letters holds them with their marks.
const WIDTH: usize = 72;
/// Most problems that are shown; the rest is counted.
const MOST_SHOWN: usize = 20;
/// Longer lines are shown in part (bytes to each side of what is marked).
const LINE_SIDE: usize = 60;
/// Longest mark (bytes).
const MARK: usize = 60;

/// Shows what is wrong in the order of the files and of their lines, and counts it.
pub fn render(files: &Files, faults: &[Box<dyn Fault>], look: Look) -> String {
    let mut ordered: Vec<&dyn Fault> = faults.iter().map(AsRef::as_ref).collect();
    ordered.sort_by_key(|fault| fault.place());
    let handler = handler(look);
    let mut text = String::new();
    for fault in ordered.iter().take(MOST_SHOWN) {
        let shown = Shown::new(files, *fault);
        let mut one = String::new();
        if handler.render_report(&mut one, &shown).is_err() {
            one = format!("  {}\n", shown.what);
        }
        for line in one.trim_end().lines() {
            text.push_str(line.trim_end());
            text.push('\n');
        }
        text.push('\n');
    }
    if let Some(more) = ordered.len().checked_sub(MOST_SHOWN).filter(|n| *n > 0) {
        text.push_str(&format!("and {more} more\n\n"));
    }
    text.push_str(&count(files, &ordered));
    text
}

fn count(files: &Files, faults: &[&dyn Fault]) -> String {
    let files_of = faults.iter().map(|fault| fault.place().file);
    let mut names: Vec<u32> = files_of.collect();
    // Parts of one file are one file.
    names.dedup_by_key(|file| files.name(*file));
    let problems = match faults.len() {
        1 => "1 problem".to_owned(),
        n => format!("{n} problems"),
    };
    match names.as_slice() {
        [] => String::new(),
        [file] => format!("{problems} in {}\n", printable(files.name(*file))),
        _ => format!("{problems} in {} files\n", names.len()),
    }
}

fn handler(look: Look) -> GraphicalReportHandler {
    let styles = match look {
        Look::Plain => ThemeStyles::none(),
        Look::Colour => ThemeStyles::ansi(),
    };
    GraphicalReportHandler::new_themed(GraphicalTheme {
        characters: ThemeCharacters::unicode(),
        styles,
    })
    .with_wrap_lines(false)
    .with_links(false)
    .without_syntax_highlighting()
    // `Source` shows the lines of a mark only, and takes 0 for "begin at the mark".
    .with_context_lines(1)
}

/// A fault in the form that the handler takes.
#[derive(Debug)]
struct Shown {
    what: String,
    help: Option<String>,
    labels: Vec<LabeledSpan>,
    source: Option<Source>,
}

impl Shown {
    fn new(files: &Files, fault: &dyn Fault) -> Shown {
        let place = fault.place();
        let text = files.text(place.file);
        let mut what = printable(&fault.to_string());
        let mut help: Vec<String> = fault.help().map(|h| printable(&h)).into_iter().collect();
        let mut labels = Vec::new();
        if text.is_empty() {
            what = format!("{}: {what}", printable(files.name(place.file)));
        } else {
            let span = clipped(place, text);
            let label = Some(printable(&fault.label())).filter(|label| !label.is_empty());
            labels.push(LabeledSpan::new_primary_with_span(label, span));
        }
        for (other, words) in fault.also() {
            let words = printable(&words);
            if other.file == place.file && !text.is_empty() {
                labels.push(LabeledSpan::new_with_span(
                    Some(words),
                    clipped(other, text),
                ));
            } else {
                let name = printable(files.name(other.file));
                help.push(format!("{words} in {name}, line {}", files.line(other)));
            }
        }
        Shown {
            what: wrapped(&what),
            help: (!help.is_empty()).then(|| wrapped(&help.join("\n"))),
            labels,
            source: (!text.is_empty()).then(|| Source {
                name: printable(files.name(place.file)),
                text: printable(text),
                before: files.before(place.file),
            }),
        }
    }
}

/// What is marked: within the text, on one line, and not too long.
fn clipped(place: Place, text: &str) -> SourceSpan {
    let boundary = |at: usize| {
        (0..=at.min(text.len()))
            .rev()
            .find(|at| text.is_char_boundary(*at))
            .unwrap_or(0)
    };
    let start = boundary(place.start as usize);
    let end = boundary((place.end as usize).min(start + MARK)).max(start);
    let line = text[start..end].split(['\n', '\r']).next().unwrap_or("");
    if line.is_empty() && text[start..].chars().next().is_none_or(char::is_whitespace) {
        // At the end of a line the sign before is marked: nothing else could be.
        let before = text[..start].trim_end_matches(['\n', '\r']);
        if let Some(sign) = before.chars().next_back() {
            return SourceSpan::from((before.len() - sign.len_utf8(), sign.len_utf8()));
        }
    }
    SourceSpan::from((start, line.len()))
}

/// Breaks lines at spaces, but not inside backticks: what is to be typed stays in one piece.
fn wrapped(text: &str) -> String {
    let mut lines = Vec::new();
    for line in text.lines() {
        let mut quoted = false;
        let words = line.split(|sign: char| {
            quoted ^= sign == '`';
            sign == ' ' && !quoted
        });
        let mut now = String::new();
        for word in words {
            let width = now.chars().count() + 1 + word.chars().count();
            if !now.is_empty() && width > WIDTH {
                lines.push(std::mem::take(&mut now));
            }
            if !now.is_empty() {
                now.push(' ');
            }
            now.push_str(word);
        }
        lines.push(now);
    }
    lines.join("\n")
}

impl fmt::Display for Shown {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.what)
    }
}

impl std::error::Error for Shown {}

impl Diagnostic for Shown {
    fn help(&self) -> Option<Box<dyn fmt::Display + '_>> {
        let help = self.help.as_ref()?;
        Some(Box::new(help))
    }

    fn source_code(&self) -> Option<&dyn SourceCode> {
        let source = self.source.as_ref()?;
        Some(source)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        (!self.labels.is_empty()).then(|| Box::new(self.labels.iter().cloned()) as Box<_>)
    }
}

/// A file of which whole lines are shown, or a part where they are very long.
#[derive(Debug)]
struct Source {
    name: String,
    text: String,
    /// Lines of the file that stand before the text.
    before: usize,
}

impl SourceCode for Source {
    fn read_span<'a>(
        &'a self,
        span: &SourceSpan,
        before: usize,
        _after: usize,
    ) -> Result<Box<dyn SpanContents<'a> + 'a>, MietteError> {
        let (text, start) = (&self.text, span.offset());
        let end = start + span.len();
        if end > text.len() || !text.is_char_boundary(start) || !text.is_char_boundary(end) {
            return Err(MietteError::OutOfBounds);
        }
        let line_start = text[..start].rfind('\n').map_or(0, |n| n + 1);
        let line_end = text[end..].find('\n').map_or(text.len(), |n| end + n);
        let earliest = if before == 0 { start } else { line_start };
        let first = (start.saturating_sub(LINE_SIDE).max(earliest)..=start)
            .find(|at| text.is_char_boundary(*at))
            .unwrap_or(start);
        let last = (end..=line_end.min(end + LINE_SIDE))
            .rev()
            .find(|at| text.is_char_boundary(*at))
            .unwrap_or(end);
        let line = self.before + text[..start].bytes().filter(|b| *b == b'\n').count();
        Ok(Box::new(MietteSpanContents::new_named(
            self.name.clone(),
            &text.as_bytes()[first..last],
            SourceSpan::from((first, last - first)),
            line,
            text[line_start..first].chars().count(),
            text[first..last].lines().count().max(1),
        )))
    }
}

/// The same text, byte for byte as long, with signs that do not disturb a terminal.
fn printable(text: &str) -> String {
    text.chars()
        .map(|sign| match sign {
            '\n' | '\t' => sign,
            '\r' => ' ',
            sign if unseen(sign).is_none() => sign,
            sign => match sign.len_utf8() {
                1 => '?',
                2 => '\u{bf}',
                3 => char::REPLACEMENT_CHARACTER,
                _ => '\u{1f7e6}',
            },
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::text::{Faults, TextError};

    fn shown(text: &str, start: usize, end: usize) -> String {
        let mut files = Files::default();
        let file = files.add("a.toml", text);
        let place = Place::new(file, start, end);
        let fault = TextError::Syntax {
            place,
            what: "wrong".to_owned(),
            help: None,
        };
        let faults: Faults = vec![Box::new(fault)];
        render(&files, &faults, Look::Plain)
    }

    #[test]
    fn any_place_can_be_shown() {
        for text in ["", "\n", "⅜", "a\r\nb", "\u{202e}x", "a = 1\n\n"] {
            for start in 0..=text.len() + 2 {
                for end in start..=text.len() + 2 {
                    let message = shown(text, start, end);
                    assert!(message.contains("wrong"), "{text:?} {start} {end}");
                    assert!(!message.contains("Failed"), "{message}");
                }
            }
        }
    }

    #[test]
    fn the_place_is_told_by_line_and_column() {
        assert!(shown("a = 1\nb = 2\n", 10, 11).contains("[a.toml:2:5]"));
    }

    #[test]
    fn colour_adds_nothing_but_colour() {
        let mut files = Files::default();
        let file = files.add("a.toml", "a = 1");
        let place = Place::new(file, 0, 1);
        let faults: Faults = vec![Box::new(TextError::EmptyText {
            place,
            key: "a".to_owned(),
        })];
        let colour = render(&files, &faults, Look::Colour);
        assert!(colour.contains('\u{1b}'));
        let bare = anstream::adapter::strip_str(&colour).to_string();
        assert_eq!(bare, render(&files, &faults, Look::Plain));
    }

    #[test]
    fn what_is_to_be_typed_is_not_broken() {
        let text = format!("{} `{}` end", "word ".repeat(12).trim(), "a b ".repeat(8));
        let lines = wrapped(&text);
        assert!(
            lines.contains(&format!("`{}`", "a b ".repeat(8))),
            "{lines}"
        );
        assert_eq!(lines.lines().count(), 2);
    }
}
