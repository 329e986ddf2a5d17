//! A text of `help` for a screen. It is written in a little Markdown: headings, paragraphs, lists,
//! tables of two columns, and examples between fences.

use super::words::strong;
use crate::text::{bound, columns, wrapped};

/// Where the second column of a table begins, at the most (letters from the left).
const TERM: usize = 24;
/// Everything but headings stands this far in, so that headings are seen without bold letters.
const INDENT: &str = "  ";

/// A text as it is read on a screen of this width (letters). Examples are never broken.
pub fn topic(text: &str, width: usize) -> String {
    let mut lines = text.lines().peekable();
    let mut out = String::new();
    while let Some(line) = lines.next() {
        if line.starts_with("```") {
            let example = lines.by_ref().take_while(|line| !line.starts_with("```"));
            out.push_str(&indented(&example.collect::<Vec<_>>(), width));
        } else if line.starts_with('|') {
            let mut rows = vec![line];
            while let Some(row) = lines.next_if(|line| line.starts_with('|')) {
                rows.push(row);
            }
            out.push_str(&table(&rows, width));
        } else if let Some(heading) = line.strip_prefix('#') {
            let heading = heading.trim_start_matches('#').trim();
            out.push_str(&format!("{}\n", strong(heading)));
            lines.next_if(|line| line.is_empty());
        } else if line.is_empty() {
            out.push('\n');
        } else {
            let mut whole = line.to_owned();
            while let Some(more) = lines.next_if(|line| goes_on(line)) {
                whole.push(' ');
                whole.push_str(more.trim_start());
            }
            let whole = bare(&whole);
            out.push_str(&match whole.strip_prefix("- ") {
                Some(item) => fitted(item, width, "  - ", "    "),
                None => fitted(&whole, width, INDENT, INDENT),
            });
        }
    }
    out
}

/// Lines of this width. What is to be typed is not broken; if it is wider than a line, it loses its
/// backticks and may break.
fn fitted(text: &str, width: usize, first: &str, rest: &str) -> String {
    let room = width.saturating_sub(columns(rest));
    let words = bound(text)
        .into_iter()
        .map(|word| match columns(&word) > room {
            true => word.replace('`', ""),
            false => word,
        });
    wrapped(&words.collect::<Vec<_>>().join(" "), width, first, rest)
}

/// Whether a line belongs to the paragraph before it.
fn goes_on(line: &str) -> bool {
    !line.is_empty()
        && !["```", "|", "#", "- "]
            .iter()
            .any(|it| line.starts_with(it))
}

/// Without the stars of emphasis; what is to be typed (in backticks) keeps its own.
fn bare(text: &str) -> String {
    let parts = text.split('`').enumerate();
    let parts = parts.map(|(n, part)| match n % 2 {
        0 => part.replace('*', ""),
        _ => part.to_owned(),
    });
    parts.collect::<Vec<_>>().join("`")
}

/// An example, without the empty lines at its end, as far in as its answer leaves room for.
fn indented(example: &[&str], width: usize) -> String {
    let answer = example.iter().filter(|line| !line.starts_with("$ "));
    let longest = answer.map(|line| line.chars().count()).max().unwrap_or(0);
    let indents = [INDENT.repeat(2), INDENT.to_owned()];
    let fitting = |indent: &&String| longest + indent.len() <= width;
    let indent = indents.iter().find(fitting).map_or("", String::as_str);
    let text = example.join("\n");
    let lines = text.trim_end().lines();
    lines
        .map(|line| match line {
            "" => "\n".to_owned(),
            line => format!("{indent}{line}\n"),
        })
        .collect()
}

/// A term and what it means, row by row; the line of headings and the one below it are left out.
fn table(rows: &[&str], width: usize) -> String {
    let rows = rows.iter().skip(2).map(|row| {
        let row = row.trim_matches(|c| c == '|' || c == ' ');
        let (term, meaning) = row.split_once(" | ").unwrap_or((row, ""));
        (bare(term), bare(meaning))
    });
    let rows: Vec<(String, String)> = rows.collect();
    let ends = rows
        .iter()
        .map(|(term, _)| term.chars().count() + 2 * INDENT.len());
    let column = ends.filter(|it| *it <= TERM).max().unwrap_or(TERM);
    let rest = " ".repeat(column);
    let mut out = String::new();
    for (term, meaning) in rows {
        let first = format!("{INDENT}{term}");
        let length = first.chars().count();
        if length + INDENT.len() <= column {
            let first = format!("{first}{}", " ".repeat(column - length));
            out.push_str(&fitted(&meaning, width, &first, &rest));
        } else {
            out.push_str(&fitted(&term, width, INDENT, INDENT));
            out.push_str(&fitted(&meaning, width, &rest, &rest));
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::topic;

    #[track_caller]
    fn check(text: &str, width: usize, expected: &str) {
        let shown = anstream::adapter::strip_str(&topic(text, width)).to_string();
        assert_eq!(shown, expected);
    }

    #[test]
    fn paragraphs_and_lists_are_wrapped_and_emphasis_is_left_out() {
        check(
            "# a: b\n\nOne *two* three\nfour `a * b` five.\n\n- six seven\n  eight nine\n- ten\n",
            17,
            "a: b\n  One two three\n  four `a * b`\n  five.\n\n  - six seven\n    eight nine\n  - ten\n",
        );
    }

    #[test]
    fn a_row_of_a_table_stays_together() {
        check(
            "| key | |\n|---|---|\n| `a` | one two three four |\n| `a long name, and another one` | five |\n",
            20,
            "  `a`  one two three\n       four\n  a long name, and\n  another one\n       five\n",
        );
    }

    #[test]
    fn examples_are_not_broken() {
        check(
            "```console\n$ and a long command\n\nas broad as it\n\n```\n",
            16,
            "  $ and a long command\n\n  as broad as it\n",
        );
        check("```\nas broad as it\n```\n", 15, "as broad as it\n");
    }
}
