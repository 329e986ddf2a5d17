//! Lines as wide as a terminal or 80 letters, tables, and plain words for names.

use crate::album::{Grip, Value};
use crate::length::{Interval, Length, Ruler, Unit};
use crate::plan::SizePlan;
use crate::text::bound;
pub(crate) use crate::text::capital;
use std::sync::OnceLock;

/// Columns of the terminal that reads the answer, where one does.
static SCREEN: OnceLock<usize> = OnceLock::new();

/// Answers go to a terminal with so many columns.
pub fn on_screen(columns: usize) {
    SCREEN.get_or_init(|| columns);
}

/// Columns of an answer.
pub(super) fn width() -> usize {
    *SCREEN.get().unwrap_or(&80)
}

/// A heading: bold on a terminal, and told apart by its place anyway.
pub(super) fn strong(text: &str) -> String {
    let style = anstyle::Style::new().bold();
    format!("{style}{text}{style:#}")
}

/// The title of an answer, with its ruler.
pub(super) fn titled(title: &str, ruler: Ruler) -> String {
    format!("{}\n", strong(&format!("{title} (ruler {ruler})")))
}

/// The heading of what stands below it.
pub(super) fn headed(title: &str) -> String {
    format!("\n{}\n", strong(title))
}

/// Sentences below a heading, each in lines of its own.
pub(super) fn lines(all: impl IntoIterator<Item = impl AsRef<str>>) -> String {
    let all = all.into_iter();
    all.map(|said| wrapped(said.as_ref(), "  ", "    "))
        .collect()
}

/// The same with their numbers.
pub(super) fn numbered(all: impl IntoIterator<Item = impl AsRef<str>>) -> String {
    let one =
        |(n, said): (usize, _)| wrapped(AsRef::as_ref(&said), &format!("  {n:>2}  "), "      ");
    (1..).zip(all).map(one).collect()
}

/// `photo_mat.photo` as it is read: `photo mat photo`.
pub(crate) fn plain(name: &str) -> String {
    name.replace(['_', '.'], " ")
}

/// A sentence with the maker's names in it as they are read.
pub(super) fn spaced(sentence: &str) -> String {
    sentence.replace('_', " ")
}

/// `1 leaf`, `4 leaves`.
pub(super) fn count(n: impl TryInto<i64>, one: &str, more: &str) -> String {
    let n = n.try_into().unwrap_or(i64::MAX);
    format!("{n} {}", if n == 1 { one } else { more })
}

/// `a`, `b and c`, `a, b and c`.
pub(crate) fn listed(words: &[String]) -> String {
    match words.split_last() {
        None => String::new(),
        Some((last, [])) => last.clone(),
        Some((last, rest)) => format!("{} and {last}", rest.join(", ")),
    }
}

/// Breaks a text into lines of this width; `first` begins the first line, `rest` all others.
pub(super) fn wrapped(text: &str, first: &str, rest: &str) -> String {
    crate::text::wrapped(text, width(), first, rest)
}

/// A text whose lengths do not break: the spaces inside them are such that no line ends there.
pub(super) fn unbroken(text: &str) -> String {
    let joined = |word: &String| word.replace(' ', "\u{a0}");
    bound(text).iter().map(joined).collect::<Vec<_>>().join(" ")
}

/// A width and a height as cut.
pub(super) fn sides(ruler: Ruler, width: &SizePlan, height: &SizePlan) -> String {
    size(ruler, width.value, height.value)
}

/// `4 1/4 x 5 1/2 in`, or `about 15.6 x 28.6 cm` if no hand measures it; a side that is only known between two ends stands in brackets.
pub(super) fn size(ruler: Ruler, width: Interval, height: Interval) -> String {
    if width.is_exact() && height.is_exact() {
        let (width, height) = (width.least(), height.least());
        return match ruler.nearest_size(width, height) {
            Some((width, height)) => format!("about {}", ruler.show_size(width, height)),
            None => ruler.show_size(width, height),
        };
    }
    let side = |side: Interval| match side.is_exact() {
        true => ruler.show(side.least()),
        false => format!("({})", ruler.show_interval(side)),
    };
    format!("{} x {}", side(width), side(height))
}

/// `4 3/8 in`, or `about 4.7 cm` if no hand measures it.
pub(super) fn length(ruler: Ruler, value: Interval) -> String {
    match ruler.nearest(value.least()).filter(|_| value.is_exact()) {
        Some(near) => format!("about {}", ruler.show(near)),
        None => ruler.show_interval(value),
    }
}

/// `about 0.3 in`, or `about 0.3 to 0.34 in`.
pub(crate) fn about(ruler: Ruler, value: Interval) -> String {
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
    columns(head, rows, right, indent).concat()
}

/// The lines of such a table, the heads of its columns first.
pub(super) fn columns(
    head: &[&str],
    rows: &[Vec<String>],
    right: &[usize],
    indent: &str,
) -> Vec<String> {
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
    let line = |row: Vec<String>| {
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
        format!("{}\n", line.trim_end())
    };
    all().map(line).collect()
}

/// What a quantity of a style is: in the unit in which it was written, or as a ratio.
pub(super) fn worth(value: Value) -> String {
    match value {
        Value::Ratio(n, 1) => n.to_string(),
        Value::Ratio(n, d) if 100 % d == 0 && d > 10 => format!("{} %", n * 100 / d),
        Value::Ratio(n, d) => format!("{n}/{d}"),
        Value::Length(length) => {
            // What is written in inches is seldom a whole hundredth of a millimetre.
            let metric = length.least().nm() % 10_000 == 0 && length.least().nm() % 25_400 != 0;
            let unit = if metric { Unit::Millimetre } else { Unit::Inch };
            match Ruler::new(Length::MM, unit) {
                Some(ruler) => ruler.show_interval(length),
                None => length.least().to_string(),
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lists_read_like_sentences() {
        let words = |n: usize| ["a", "b", "c"].map(str::to_owned)[..n].to_vec();
        assert_eq!(
            [listed(&words(1)), listed(&words(2)), listed(&words(3))],
            ["a", "a and b", "a, b and c"]
        );
    }
}
