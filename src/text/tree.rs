//! A TOML file as a tree of values with places, in the order of the file.

use std::borrow::Cow;
use std::collections::BTreeMap;
use std::ops::Range;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::scan::Scan;
use super::syntax::{self, Then};
use super::{At, Files, Finds, Place, Problem, Shape, TextError};

/// Largest file that is read (bytes).
pub const MOST_BYTES: usize = 2_000_000;

/// Most slips of syntax that are told.
const MOST_SLIPS: usize = 500;

/// A value and where it stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Item {
    pub place: Place,
    pub node: Node,
}

/// What a value is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Node {
    /// Its place lies between the quotes where the text has no escapes.
    Text(String),
    /// A whole number; its value is absent where it is too long for an `i64`.
    Whole {
        written: String,
        value: Option<i64>,
    },
    /// A number with a decimal point or an exponent, as written: no float holds a measure.
    Decimal {
        written: String,
    },
    Flag(bool),
    Date,
    /// Something was said, and what is wrong with it was told.
    Broken,
    List(Vec<Item>),
    /// In the order of the file.
    Table(Vec<Entry>),
}

impl Item {
    /// What stands in it if it is a list, else itself.
    pub fn each(&self) -> &[Item] {
        match &self.node {
            Node::List(items) => items,
            _ => std::slice::from_ref(self),
        }
    }

    /// A text as it stands there.
    pub fn text(&self) -> Option<Said> {
        let Node::Text(text) = &self.node else {
            return None;
        };
        let (value, place) = (text.clone(), self.place);
        Some(Said { value, place })
    }
}

/// A key and its value.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Entry {
    pub key: Said,
    pub item: Item,
}

type Said = super::Said<String>;

/// Takes up the bytes of a file under the name by which the maker knows it.
///
/// # Errors
///
/// A file that is too large or that is no text. It is listed in `files` all the same, so that the
/// error can name it.
pub fn decode(
    files: &mut Files,
    name: impl Into<String>,
    bytes: Vec<u8>,
) -> Result<u32, At<TextError>> {
    if bytes.len() > MOST_BYTES {
        let place = Place::new(files.add(name, ""), 0, 0);
        return Err(TextError::TooLarge.at(place));
    }
    match String::from_utf8(bytes) {
        Ok(text) => Ok(files.add(name, text)),
        Err(error) => {
            let start = error.utf8_error().valid_up_to();
            let byte = error.as_bytes().get(start).copied().unwrap_or_default();
            // Up to the first bad byte the text that is shown has the same positions.
            let text = String::from_utf8_lossy(error.as_bytes()).into_owned();
            let file = files.add(name, text);
            let place = Place::new(file, start, start + char::REPLACEMENT_CHARACTER.len_utf8());
            Err(TextError::NotText {
                byte,
                position: start,
            }
            .at(place))
        }
    }
}

/// Reads a file as TOML whose tables at the top are those of a shape. Every slip of syntax is reported.
///
/// The tree is absent where nothing sensible can be read after them: what a later reader would find
/// missing then may well be there.
pub fn read(files: &Files, file: u32, shape: &Shape, faults: &Finds) -> Option<Vec<Entry>> {
    let text = files.text(file);
    let (table, errors) = DeTable::parse_recoverable(text);
    if errors.is_empty() {
        let scan = &Scan::sound(text);
        let entries = Source { file, scan }.entries(table.get_ref());
        let single = |entry: &Entry| {
            matches!(entry.item.node, Node::Table(_)) && shape.has_several(&entry.key.value)
        };
        if !entries.iter().any(single) {
            return Some(entries);
        }
    }
    // What upsets all that stands behind it is looked for only after a slip.
    let scan = Scan::of(text, shape);
    let text = &*scan.text;
    let (table, errors) = match &scan.text {
        Cow::Borrowed(_) => (table, errors),
        Cow::Owned(text) => DeTable::parse_recoverable(text),
    };
    let source = Source { file, scan: &scan };
    let mut entries = source.entries(table.get_ref());
    single(&scan, file, faults);
    if errors.is_empty() {
        return Some(entries);
    }
    let newlines: Vec<usize> = text.match_indices('\n').map(|(at, _)| at).collect();
    let line = |at: usize| newlines.partition_point(|newline| *newline < at);
    let mut errors: Vec<_> = errors
        .iter()
        .map(|error| (error.span().unwrap_or(0..0), error.message()))
        .collect();
    errors.sort_by_key(|(at, _)| at.start);
    if let Some(open) = &scan.open {
        // What follows is upset by it; a slip within it may be why it is not closed.
        errors.retain(|(at, _)| scan.place(at.clone()).start < open.until);
        if !errors
            .iter()
            .any(|(at, _)| scan.place(at.clone()).start >= open.at)
        {
            let list = files.text(file)[open.at..].starts_with('[');
            let place = Place::new(file, open.at, open.at + 1);
            faults.tell(place, TextError::Unclosed { list });
        }
    }
    // One slip upsets the rest of its line, so only the first one of a line is reported.
    let before = errors.len();
    errors.dedup_by_key(|(at, _)| line(at.start));
    let mut sound = errors.len() == before && before <= MOST_SLIPS && scan.open.is_none();
    for (at, message) in errors.into_iter().take(MOST_SLIPS) {
        let slip = syntax::slip(message, at, text);
        sound &= slip.then != Then::Stop;
        let place = source.place(slip.bytes.clone());
        if slip.then == Then::Skip {
            skip(&mut entries, place);
        }
        if slip.twice {
            let key = source.slice(slip.bytes);
            let first = first_said(&entries, &syntax::bare(key), place, files.text(file));
            faults.tell(
                place,
                TextError::KeyTwice {
                    key: syntax::bare(key),
                    first,
                },
            );
        } else {
            faults.tell(
                place,
                TextError::Syntax {
                    what: slip.what,
                    help: slip.help,
                },
            );
        }
    }
    sound.then_some(entries)
}

/// Tells of headings with single brackets, of each name once.
fn single(scan: &Scan<'_>, file: u32, faults: &Finds) {
    let mut names: BTreeMap<&str, Vec<Place>> = BTreeMap::new();
    for (bytes, name) in &scan.single {
        let place = Place::new(file, bytes.start, bytes.end);
        names.entry(name).or_default().push(place);
    }
    for (name, places) in names {
        let (key, more) = (name.to_owned(), places.len() - 1);
        faults.tell(places[0], TextError::SingleBrackets { key, more });
    }
}

/// Marks what stands at a place as told.
fn skip(entries: &mut [Entry], place: Place) {
    for entry in entries {
        skip_item(&mut entry.item, place);
    }
}

fn skip_item(item: &mut Item, place: Place) {
    match &mut item.node {
        Node::Table(entries) => skip(entries, place),
        Node::List(items) => items.iter_mut().for_each(|item| skip_item(item, place)),
        _ if item.place.touches(place) => item.node = Node::Broken,
        _ => {}
    }
}

/// The last place before `place` where the key was said in a table that may still go on.
fn first_said(entries: &[Entry], key: &str, place: Place, text: &str) -> Option<Place> {
    let mut best = None;
    for entry in entries {
        let here = entry.key.place;
        if entry.key.value == key && here.start < place.start {
            best = best.max(Some(here));
        }
        let closed = |item: &Item| {
            text.as_bytes().get(item.place.start as usize) == Some(&b'{')
                && item.place.end <= place.start
        };
        for item in entry.item.each().iter().filter(|item| !closed(item)) {
            if let Node::Table(entries) = &item.node {
                best = best.max(first_said(entries, key, place, text));
            }
        }
    }
    best
}

struct Source<'t> {
    file: u32,
    scan: &'t Scan<'t>,
}

impl Source<'_> {
    fn place(&self, bytes: Range<usize>) -> Place {
        let bytes = self.scan.place(bytes);
        Place::new(self.file, bytes.start, bytes.end)
    }

    fn slice(&self, bytes: Range<usize>) -> &str {
        self.scan.text.get(bytes).unwrap_or("")
    }

    // The depth of the tree is limited by the parser.
    fn entries(&self, table: &DeTable<'_>) -> Vec<Entry> {
        let mut entries: Vec<Entry> = table
            .iter()
            .map(|(key, value)| Entry {
                key: Said {
                    value: key.get_ref().to_string(),
                    place: self.place(key.span()),
                },
                item: self.item(value),
            })
            .collect();
        entries.sort_by_key(|entry| entry.key.place);
        entries
    }

    fn item(&self, value: &Spanned<DeValue<'_>>) -> Item {
        let span = value.span();
        let mut place = self.place(span.clone());
        let node = match value.get_ref() {
            DeValue::String(text) => {
                place = self.inside(span, text);
                Node::Text(text.to_string())
            }
            DeValue::Integer(number) => Node::Whole {
                written: self.slice(span).to_owned(),
                value: i64::from_str_radix(number.as_str(), number.radix()).ok(),
            },
            DeValue::Float(_) => Node::Decimal {
                written: self.slice(span).to_owned(),
            },
            DeValue::Boolean(flag) => Node::Flag(*flag),
            DeValue::Datetime(_) => Node::Date,
            DeValue::Array(items) => Node::List(items.iter().map(|i| self.item(i)).collect()),
            DeValue::Table(table) => Node::Table(self.entries(table)),
        };
        Item { place, node }
    }

    /// The bytes between the quotes, if they are the value itself.
    fn inside(&self, span: Range<usize>, value: &str) -> Place {
        let written = self.slice(span.clone());
        for (open, close) in [
            ("\"", "\""),
            ("'", "'"),
            ("\"\"\"", "\"\"\""),
            ("'''", "'''"),
            ("\"\"\"\n", "\"\"\""),
            ("'''\n", "'''"),
            ("\"\"\"\r\n", "\"\"\""),
            ("'''\r\n", "'''"),
        ] {
            let inner = written
                .strip_prefix(open)
                .and_then(|rest| rest.strip_suffix(close));
            if inner == Some(value) && !value.is_empty() {
                let start = span.start + open.len();
                return self.place(start..start + value.len());
            }
        }
        self.place(span)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tree(text: &str) -> (Option<Vec<Entry>>, Vec<String>) {
        let mut files = Files::default();
        let file = files.add("a.toml", text);
        let faults = Finds::default();
        let entries = read(&files, file, &Shape::new("a test", &[]), &faults);
        let faults = faults.all();
        (entries, faults.iter().map(ToString::to_string).collect())
    }

    fn marked(text: &str) -> String {
        let entries = tree(text).0.expect("readable");
        let place = entries[0].item.place;
        text[place.start as usize..place.end as usize].to_owned()
    }

    #[test]
    fn a_text_is_marked_between_its_quotes_unless_it_has_escapes() {
        assert_eq!(marked("a = \"4 in\""), "4 in");
        assert_eq!(marked("a = '4\"'"), "4\"");
        assert_eq!(marked("a = '''\n4\nin'''"), "4\nin");
        assert_eq!(marked("a = \"\"\"4 in\"\"\""), "4 in");
        assert_eq!(marked("a = \"\""), "\"\"");
        assert_eq!(marked("a = \"4\\u0020in\""), "\"4\\u0020in\"");
        assert_eq!(marked("a = \"\\\"\""), "\"\\\"\"");
        assert_eq!(marked("a = \"⅜ in\""), "⅜ in");
    }

    #[test]
    fn entries_keep_the_order_of_the_file() {
        let entries = tree("z = 1\na = 2\n[m]\n[b]").0.expect("readable");
        let keys: Vec<_> = entries.iter().map(|e| e.key.value.as_str()).collect();
        assert_eq!(keys, ["z", "a", "m", "b"]);
    }

    #[test]
    fn a_slip_that_leaves_the_rest_readable_does_not_hide_it() {
        assert!(tree("a = 1\na = 2").0.is_some());
        assert!(tree("a = 4 3/8 in").0.is_some());
        assert!(tree("a = [1, 2\nb = 3").0.is_none());
    }

    #[test]
    fn deep_nesting_is_an_error_and_not_a_crash() {
        for text in [
            format!("a = {}1{}", "[".repeat(100_000), "]".repeat(100_000)),
            format!("a = {}1{}", "{a=".repeat(100_000), "}".repeat(100_000)),
            format!("{}a = 1", "a.".repeat(100_000)),
            format!("[{}a]", "a.".repeat(100_000)),
        ] {
            assert!(tree(&text).1[0].contains("too many brackets"));
        }
    }

    #[test]
    fn no_bytes_make_it_panic() {
        for text in [
            "\0",
            "a = \"\0\"",
            "\u{feff}a = 1",
            "a = \"\\ud800\"",
            "[",
            "[[",
            "a.b = 1\na = 2",
            "bag = 1\n[[bag]]\n",
            "[[bag]]\n[bag]\n",
            "=",
            "\r",
            "a = 1\r b = 2",
            "\"\" = 1",
            "größe = 1",
            "a = \"\u{202e}\"",
        ] {
            tree(text);
        }
    }
}
