//! Slips of TOML in a maker's words.
//!
//! The parser knows what it expected; a maker wants to know what to type.

use std::ops::Range;

use crate::length::{LengthProblem, parse_interval, parse_size};

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

/// How a message begins, and the same in a maker's words.
#[rustfmt::skip] // A row a line.
const SLIPS: [(&str, &str, &str); 18] = [
    ("missing comma", "a comma is missing", "put a `,` between the values"),
    ("key with no value", "this line has no `=`", "type `name = value`, or begin a remark with `#`"),
    ("unexpected key or value", "something stands behind the value", "type one `name = value` a line, and begin a remark with `#`"),
    ("missing opening quote, expected `'`", "the opening quote is missing", "begin the text with `'`"),
    ("missing opening quote", "the opening quote is missing", "begin the text with `\"`"),
    ("invalid basic string, expected `\"`", "the closing quote is missing", "end the text with `\"` on the same line"),
    ("invalid literal string, expected `'`", "the closing quote is missing", "end the text with `'` on the same line"),
    ("invalid basic string", "the text holds an invisible character (a control character)", "delete it"),
    ("invalid literal string", "the text holds an invisible character (a control character)", "delete it"),
    ("missing escaped value", "a `\\` begins a special letter", "type `\\\\` for a backslash, or put the text in single quotes"),
    ("unclosed array table", "`]]` is missing", "close the heading with `]]`"),
    ("unclosed table", "`]` is missing", "close the heading with `]`"),
    ("unclosed array", "the list is not closed", "end the list with `]`"),
    ("unclosed inline table", "the braces are not closed", "end the table with `}`"),
    ("invalid unquoted key", "a name cannot hold this letter", "type letters from a to z, digits, `_` and `-`"),
    ("unquoted keys cannot be empty", "this value has no name", "type `name = value`"),
    ("unexpected leading zero", "a number begins with 0", "leave the 0 out"),
    ("carriage return", "the line holds a stray carriage return", "delete the end of the line, and type it again"),
];

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
    let key = key_of(before);
    let written = text.get(bytes.clone()).unwrap_or("").trim();
    let tell = |what: &str, help: &str| Slip {
        bytes: bytes.clone(),
        what: what.to_owned(),
        help: (!help.is_empty()).then(|| help.to_owned()),
        twice: false,
        then: Then::Stop,
    };
    let quotes = ['"', '\''];
    // `'a, 'b'`: the text began where the one before it should have ended.
    if message.starts_with("missing comma")
        && before.ends_with(quotes)
        && rest.starts_with(|sign: char| sign.is_alphanumeric() || sign == '(')
    {
        let quote = before.chars().next_back().unwrap_or('"');
        let help = format!("begin and end each text with `{quote}`");
        return tell("a quote is missing before this", &help);
    }
    if message == "duplicate key" {
        return Slip {
            twice: true,
            then: Then::Read,
            ..tell("", "")
        };
    }
    let word = message.starts_with("invalid boolean") || message.starts_with("invalid float");
    if message.starts_with("string values must be quoted") || (word && is_word(written)) {
        if let Some(quote) = opening(rest, key.is_empty()) {
            let help = format!("begin the text with `{quote}`");
            return tell("the opening quote is missing", &help);
        }
        let ratio = key == "value" || heading(text, start) == "[set]";
        return unquoted(written, key, (word, ratio), tell);
    }
    if message.contains("recurs") {
        let help = "three levels are enough for anything here";
        return tell("too many brackets stand inside each other", help);
    }
    let named = line.split_once('=').map(|(name, _)| name.trim());
    if let Some(name) = named.filter(|name| is_words(name))
        && message.starts_with("key with no value")
    {
        let joined = name.replace(' ', "_");
        let help = format!("join the words: `{joined} =`");
        return tell("this name has two words", &help);
    }
    if message.starts_with("unexpected key or value")
        && (rest.trim_start().starts_with("in") || before.ends_with('"'))
    {
        let help = "type inches as `in` inside quotes: `\"4 3/8 in\"`";
        return tell("something stands behind the closing quote", help);
    }
    if message.starts_with("invalid unquoted key")
        && rest.starts_with(':')
        && is_name(before.trim())
    {
        let help = format!("type `{} =`", before.trim());
        return tell("`:` stands where `=` belongs", &help);
    }
    let known = SLIPS.iter().find(|(sign, ..)| message.starts_with(sign));
    if let Some((_, what, help)) = known {
        return tell(what, help);
    }
    let (what, expected) = message.split_once(", expected ").unwrap_or((message, ""));
    let help = match expected {
        "" | "nothing" => String::new(),
        expected => format!("type {expected}"),
    };
    tell(what, &help)
}

/// The quote that ends a text and did not begin it: `a <= b'`. An inch mark behind a name is none.
fn opening(rest: &str, in_list: bool) -> Option<char> {
    let end = rest.find([',', '"', '\''])?;
    let quote = rest[end..].chars().next()?;
    let behind = rest[end + 1..].trim_start();
    let ends = behind.is_empty() || behind.starts_with([',', ']', '}', '#']);
    (ends && quote != ',' && (in_list || quote == '\'')).then_some(quote)
}

/// A text without quotes. `word`: the parser took it for something else; `ratio`: a number without a
/// unit may be meant.
fn unquoted(
    written: &str,
    key: &str,
    (word, ratio): (bool, bool),
    tell: impl Fn(&str, &str) -> Slip,
) -> Slip {
    let skip = |slip| Slip {
        then: Then::Skip,
        ..slip
    };
    let mut unitless = false;
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
            let unit = if ratio { None } else { unit_for(inner) };
            unitless = unit.is_some();
            format!("{quote}{inner}{}{quote}", unit.unwrap_or_default())
        }
    };
    let what = match answer.as_str() {
        "true" | "false" => format!("`{written}` is neither `true` nor `false`"),
        _ if unitless => format!("`{written}` has no quotes and no unit"),
        _ => "this text has no quotes".to_owned(),
    };
    let mut help = match is_name(key) {
        true => format!("type `{key} = {answer}`"),
        false => format!("type `{answer}`"),
    };
    if unitless && !written.contains('/') {
        help.push_str(", with `mm` instead of `in` if you mean millimetres");
    }
    let slip = tell(&what, &help);
    // The parser takes some words for something else, and curly quotes for a part of the text.
    if word || unitless || matches!(&*answer, "true" | "false") || answer.len() != written.len() + 2
    {
        return skip(slip);
    }
    Slip {
        then: Then::Read,
        ..slip
    }
}

/// The unit to type behind a length that has none; `None` if it is no such length.
fn unit_for(written: &str) -> Option<&'static str> {
    let problems = [
        parse_interval(written).err().map(|error| error.problem),
        parse_size(written).err().map(|error| error.problem),
    ];
    let bare = |problem: &LengthProblem| matches!(problem, LengthProblem::NoUnit { .. });
    problems.iter().flatten().any(bare).then_some(" in")
}

/// The name before a value, if the value is the first thing behind `=`.
fn key_of(before: &str) -> &str {
    let name = before
        .trim_end()
        .strip_suffix('=')
        .map_or("", str::trim_end);
    let ends = |sign: char| !(sign.is_ascii_alphanumeric() || matches!(sign, '_' | '-' | '.'));
    name.rsplit(ends).next().unwrap_or("")
}

/// The last heading before a byte of a text.
fn heading(text: &str, at: usize) -> &str {
    let lines = text.get(..at).unwrap_or("").lines();
    let mut headings = lines.map(str::trim).filter(|line| line.starts_with('['));
    headings.next_back().unwrap_or("")
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
