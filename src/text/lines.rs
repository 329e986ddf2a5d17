//! Lines of words: how wide a text is on a screen, and where a line may end.

use unicode_width::UnicodeWidthStr;

/// Columns that a text takes on a screen.
pub fn columns(text: &str) -> usize {
    text.width()
}

/// The same words with a capital at their head.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    match letters.next() {
        Some(first) => first.to_uppercase().chain(letters).collect(),
        None => String::new(),
    }
}

/// Breaks a text at spaces, but not inside a length (`4 3/8 in`), a size (`4 x 6 in`) or what is to be
/// typed (in backticks); `first` begins the first line, `rest` all others. A word that is wider than
/// `width` columns has a line of its own.
pub fn wrapped(text: &str, width: usize, first: &str, rest: &str) -> String {
    let mut lines = String::new();
    let mut now = first.to_owned();
    let mut empty = true;
    for word in bound(text) {
        let wide = columns(&now) + usize::from(!empty) + columns(&word);
        if !empty && wide > width {
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

/// Words of a text; a number keeps to the number, `x` or unit that follows it, and what stands in
/// backticks is one word.
pub fn bound(text: &str) -> Vec<String> {
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_length_is_not_broken() {
        let text = format!("{} 4 3/8 in of bag", "word ".repeat(15));
        let lines = wrapped(&text, 80, "", "  ");
        assert!(lines.contains("\n  4 3/8 in of bag\n"), "{lines}");
        assert!(lines.lines().all(|line| columns(line) <= 80));
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
                let lines = wrapped(&text, 80, "", "  ");
                assert!(lines.contains(size), "{lines}");
                assert!(lines.lines().all(|line| columns(line) <= 80));
            }
        }
    }

    #[test]
    fn what_is_to_be_typed_is_not_broken() {
        let typed = format!("`{}`", "a b ".repeat(8));
        let text = format!("{} {typed} end", "word ".repeat(12).trim());
        let lines = wrapped(&text, 72, "", "");
        assert!(lines.contains(typed.trim_end()), "{lines}");
        assert_eq!(lines.lines().count(), 2);
    }
}
