//! Lines of at most 80 letters, tables, and plain words for names.

use crate::album::Grip;
use crate::length::{Interval, Ruler};
use crate::plan::SizePlan;

/// Width of a screen.
pub(super) const WIDTH: usize = 80;

/// A heading: bold on a terminal, and told apart by its place anyway.
pub(super) fn strong(text: &str) -> String {
    let style = anstyle::Style::new().bold();
    format!("{style}{text}{style:#}")
}

/// `photo_mat.photo` as it is read: `photo mat photo`.
pub(super) fn plain(name: &str) -> String {
    name.replace(['_', '.'], " ")
}

/// A sentence with the maker's names in it as they are read.
pub(super) fn spaced(sentence: &str) -> String {
    sentence.replace('_', " ")
}

/// `1 leaf`, `4 leaves`.
pub(super) fn count(n: i64, one: &str, more: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { more })
}

/// `a`, `b and c`, `a, b and c`.
pub(super) fn listed(words: &[String]) -> String {
    match words.split_last() {
        None => String::new(),
        Some((last, [])) => last.clone(),
        Some((last, rest)) => format!("{} and {last}", rest.join(", ")),
    }
}

/// The same words with a capital at their head.
pub(super) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    match letters.next() {
        Some(first) => first.to_uppercase().chain(letters).collect(),
        None => String::new(),
    }
}

/// Breaks a text at spaces, but not inside a length (`4 3/8 in`), a size (`4 x 6 in`) or what is to be
/// typed (in backticks); `first` begins the first line, `rest` all others.
pub(super) fn wrapped(text: &str, first: &str, rest: &str) -> String {
    let mut lines = String::new();
    let mut now = first.to_owned();
    let mut empty = true;
    for word in bound(text) {
        let width = now.chars().count() + usize::from(!empty) + word.chars().count();
        if !empty && width > WIDTH {
            lines.push_str(now.trim_end());
            lines.push('\n');
            rest.clone_into(&mut now);
            empty = true;
        }
        if !empty {
            now.push(' ');
        }
        now.push_str(&word);
        empty = false;
    }
    lines.push_str(now.trim_end());
    lines.push('\n');
    lines
}

/// A text whose lengths do not break: the spaces inside them are such that no line ends there.
pub(super) fn unbroken(text: &str) -> String {
    let joined = |word: &String| word.replace(' ', "\u{a0}");
    bound(text).iter().map(joined).collect::<Vec<_>>().join(" ")
}

/// Words of a text; a number keeps to the number, `x` or unit that follows it, and what stands in
/// backticks is one word.
fn bound(text: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    // What does not break stays one word.
    let breaks = |c: char| c.is_whitespace() && !['\u{a0}', '\u{202f}'].contains(&c);
    for word in text.split(breaks).filter(|word| !word.is_empty()) {
        match words.last_mut() {
            Some(before) if keeps(before, word) => {
                before.push(' ');
                before.push_str(word);
            }
            _ => words.push(word.to_owned()),
        }
    }
    words
}

/// Whether a word stays on the line of what stands before it.
fn keeps(before: &str, word: &str) -> bool {
    const UNITS: [&str; 4] = ["in", "mm", "cm", "%"];
    let number = |word: &str| word.starts_with(|c: char| c.is_ascii_digit());
    let typed = before.matches('`').count() % 2 == 1;
    let last = before.rsplit(' ').next().unwrap_or("");
    if typed || (last == "x" && before != last && number(word.trim_start_matches('('))) {
        return true;
    }
    // A side that is only known between two ends stands in brackets.
    let measure = before != last && UNITS.contains(&last.trim_end_matches(')'));
    if word == "x" && measure {
        return true;
    }
    let unit = UNITS.contains(&word.trim_end_matches([',', ';', '.', ')', ':']));
    let more = unit || word == "x" || (number(word) && word.contains('/'));
    number(last) && !last.ends_with([',', ';', ':', '.', ')']) && more
}

/// A width and a height as cut.
pub(super) fn sides(ruler: Ruler, width: &SizePlan, height: &SizePlan) -> String {
    size(ruler, width.value, height.value)
}

/// `4 1/4 x 5 1/2 in`; a side that is only known between two ends stands in brackets.
pub(super) fn size(ruler: Ruler, width: Interval, height: Interval) -> String {
    if width.is_exact() && height.is_exact() {
        return ruler.show_size(width.least(), height.least());
    }
    let side = |side: Interval| match side.is_exact() {
        true => ruler.show(side.least()),
        false => format!("({})", ruler.show_interval(side)),
    };
    format!("{} x {}", side(width), side(height))
}

/// `about 0.3 in`, or `about 0.3 to 0.34 in`.
pub(super) fn about(ruler: Ruler, value: Interval) -> String {
    let most = ruler.about(value.most());
    if value.is_exact() {
        return most;
    }
    let least = ruler.about(value.least());
    let bare = |text: &str| text.trim_start_matches("about ").to_owned();
    let (least, most) = (bare(&least), bare(&most));
    if least == most {
        return format!("about {most}");
    }
    let number = least.split(' ').next().unwrap_or("");
    format!("about {number} to {most}")
}

/// How it is taken hold of, where that is not by what shows.
pub(super) fn grip(grip: Grip) -> Option<&'static str> {
    match grip {
        Grip::Plain => None,
        Grip::Notch => Some("thumb notch in the bag"),
        Grip::Tab => Some("pull tab"),
        Grip::String => Some("string through its head"),
    }
}

/// Rows set out in columns; `right` marks columns of numbers. Cells are plain text.
pub(super) fn table(head: &[&str], rows: &[Vec<String>], right: &[usize], indent: &str) -> String {
    let all = || {
        std::iter::once(head.iter().map(|h| (*h).to_owned()).collect()).chain(rows.iter().cloned())
    };
    let mut widths = vec![0; head.len()];
    for row in all() {
        let row: Vec<String> = row;
        for (width, cell) in widths.iter_mut().zip(&row) {
            *width = (*width).max(cell.chars().count());
        }
    }
    let mut text = String::new();
    for row in all() {
        let mut line = indent.to_owned();
        for (n, (cell, width)) in row.iter().zip(&widths).enumerate() {
            let room = " ".repeat(width - cell.chars().count());
            let gap = if n == 0 { "" } else { "  " };
            line.push_str(gap);
            match right.contains(&n) {
                true => line.push_str(&format!("{room}{cell}")),
                false => line.push_str(&format!("{cell}{room}")),
            }
        }
        text.push_str(line.trim_end());
        text.push('\n');
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_length_is_not_broken() {
        let text = format!("{} 4 3/8 in of bag", "word ".repeat(15));
        let lines = wrapped(&text, "", "  ");
        assert!(lines.contains("\n  4 3/8 in of bag\n"), "{lines}");
        assert!(lines.lines().all(|line| line.chars().count() <= WIDTH));
    }

    #[test]
    fn a_size_is_not_broken() {
        for size in [
            "4 3/8 x 11 1/2 in",
            "5 in) x 6 in",
            "6 in x (4",
            "12.5 x 8 mm",
        ] {
            for words in 60..80 {
                let text = format!("{}, {size} of x and 3 more", "w".repeat(words));
                let lines = wrapped(&text, "", "  ");
                assert!(lines.contains(size), "{lines}");
                assert!(lines.lines().all(|line| line.chars().count() <= WIDTH));
            }
        }
    }

    #[test]
    fn lists_read_like_sentences() {
        let words = |n: usize| ["a", "b", "c"].map(str::to_owned)[..n].to_vec();
        assert_eq!(
            [listed(&words(1)), listed(&words(2)), listed(&words(3))],
            ["a", "a and b", "a, b and c"]
        );
    }
}
