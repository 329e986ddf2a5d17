//! Slips of TOML in a maker's words.
//!
//! The parser knows what it expected; a maker wants to know what to type.

use std::ops::Range;

/// What can be done after a slip.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Then {
    /// The value was still read as it was meant.
    Read,
    /// The value was not read as it was meant, but what follows it was.
    Skip,
    /// What follows may not have been read as it was meant.
    Stop,
}

/// A slip of syntax.
pub(super) struct Slip {
    pub bytes: Range<usize>,
    pub what: String,
    pub help: Option<String>,
    /// The key was said before in the same table.
    pub twice: bool,
    pub then: Then,
}

/// A key without the quotes that it may be written in.
pub(super) fn bare(key: &str) -> String {
    key.trim_matches(['"', '\'']).to_owned()
}

/// Rewords what the parser said about some bytes of a text.
pub(super) fn slip(message: &str, bytes: Range<usize>, text: &str) -> Slip {
    let (start, line) = line_of(text, bytes.start);
    let (before, rest) = line
        .split_at_checked(bytes.start.saturating_sub(start))
        .unwrap_or((line, ""));
    let key = line.split_once('=').map_or("", |(key, _)| key.trim());
    let written = text.get(bytes.clone()).unwrap_or("").trim();
    let tell = |what: &str, help: &str| Slip {
        bytes: bytes.clone(),
        what: what.to_owned(),
        help: (!help.is_empty()).then(|| help.to_owned()),
        twice: false,
        then: Then::Stop,
    };
    if message == "duplicate key" {
        return Slip {
            twice: true,
            then: Then::Read,
            ..tell("", "")
        };
    }
    let word = message.starts_with("invalid boolean") || message.starts_with("invalid float");
    if message.starts_with("string values must be quoted") || (word && is_word(written)) {
        return unquoted(written, key, word, tell);
    }
    if message.contains("recurs") {
        return tell(
            "lists or tables are nested too deeply",
            "nothing here needs more than three levels",
        );
    }
    if message.starts_with("missing comma") {
        return tell("a comma is missing", "put a `,` between the values");
    }
    if message.starts_with("key with no value") {
        let named = line.split_once('=').map(|(name, _)| name.trim());
        return match named {
            Some(name) if is_words(name) => tell(
                "a name of two words",
                &format!("join the words: `{} =`", name.replace(' ', "_")),
            ),
            _ => tell(
                "a line without `=`",
                "type `name = value`, or begin a remark with `#`",
            ),
        };
    }
    if message.starts_with("unexpected key or value") {
        if rest.trim_start().starts_with("in") || before.ends_with('"') {
            return tell(
                "something follows the closing quote",
                "inside quotes write inches as `in`: `\"4 3/8 in\"`",
            );
        }
        return tell(
            "something follows the value",
            "one `name = value` a line; a remark begins with `#`",
        );
    }
    for (sign, what, help) in [
        (
            "invalid basic string, expected `\"`",
            "the closing quote is missing",
            "end the text with `\"` on the same line",
        ),
        (
            "invalid literal string, expected `'`",
            "the closing quote is missing",
            "end the text with `'` on the same line",
        ),
        (
            "invalid basic string",
            "a text holds a control character",
            "delete it",
        ),
        (
            "invalid literal string",
            "a text holds a control character",
            "delete it",
        ),
        (
            "missing escaped value",
            "a `\\` begins a special sign",
            "type `\\\\` for a backslash, or put the text in single quotes",
        ),
        (
            "unclosed array table",
            "`]]` is missing",
            "close the heading with `]]`",
        ),
        (
            "unclosed table",
            "`]` is missing",
            "close the heading with `]`",
        ),
        (
            "unclosed array",
            "the list is not closed",
            "end the list with `]`",
        ),
        (
            "unclosed inline table",
            "the braces are not closed",
            "end it with `}`",
        ),
        (
            "invalid unquoted key",
            "a name holds a sign that names do not have",
            "names have letters a to z, digits, `_` and `-`",
        ),
        (
            "unquoted keys cannot be empty",
            "a value without a name",
            "type `name = value`",
        ),
        (
            "unexpected leading zero",
            "a number begins with 0",
            "leave the 0 out",
        ),
        (
            "carriage return",
            "a stray carriage return",
            "end the line in the ordinary way",
        ),
    ] {
        if message.starts_with(sign) {
            return tell(what, help);
        }
    }
    let (what, expected) = message.split_once(", expected ").unwrap_or((message, ""));
    let help = match expected {
        "" | "nothing" => String::new(),
        expected => format!("expected {expected}"),
    };
    tell(what, &help)
}

fn unquoted(written: &str, key: &str, word: bool, tell: impl Fn(&str, &str) -> Slip) -> Slip {
    let skip = |slip| Slip {
        then: Then::Skip,
        ..slip
    };
    let answer = match written.to_lowercase().as_str() {
        "" => {
            return skip(tell(
                &format!("`{key}` has no value"),
                &format!("type one, or delete `{key} =`"),
            ));
        }
        "yes" | "on" | "true" => "true".to_owned(),
        "no" | "off" | "false" => "false".to_owned(),
        _ => {
            let inner = written.trim_matches(['“', '”', '„', '‟', '‘', '’', '"']);
            let quote = if inner.contains('"') { '\'' } else { '"' };
            format!("{quote}{inner}{quote}")
        }
    };
    let what = match answer.as_str() {
        "true" | "false" => format!("`{written}` is neither `true` nor `false`"),
        _ => "a text without quotes".to_owned(),
    };
    let slip = if is_name(key) {
        tell(&what, &format!("type `{key} = {answer}`"))
    } else {
        tell(&what, &format!("type `{answer}`"))
    };
    // The parser takes some words for something else, and curly quotes for a part of the text.
    if word || matches!(&*answer, "true" | "false") || answer.len() != written.len() + 2 {
        return skip(slip);
    }
    Slip {
        then: Then::Read,
        ..slip
    }
}

fn is_name(key: &str) -> bool {
    !key.is_empty()
        && key
            .chars()
            .all(|c| c.is_ascii_alphanumeric() || matches!(c, '_' | '-' | '.'))
}

fn is_words(name: &str) -> bool {
    name.contains(' ') && is_name(&name.replace(' ', "_"))
}

fn is_word(written: &str) -> bool {
    written.chars().all(char::is_alphabetic)
}

/// The line that holds a byte, and where it starts.
fn line_of(text: &str, at: usize) -> (usize, &str) {
    let at = (0..=at.min(text.len()))
        .rev()
        .find(|at| text.is_char_boundary(*at))
        .unwrap_or(0);
    let start = text[..at].rfind('\n').map_or(0, |n| n + 1);
    let end = text[at..].find('\n').map_or(text.len(), |n| at + n);
    (start, text[start..end].trim_end_matches('\r'))
}
