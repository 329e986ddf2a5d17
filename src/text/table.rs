//! Asking a table for its values: each question tells what is wrong with the answer, and goes on.

use super::measure::{Limits, legible, length_of, within};
use super::{Entry, Finds, Item, Kind, Node, Place, Problem, Said, TextError, nearest, wrong};
use crate::length::{Interval, parse_size};
use crate::money::Money;

/// What a table may hold. Each key comes with an example of its value, as a maker would type it.
#[derive(Debug, PartialEq, Eq)]
pub struct Shape {
    /// As a sentence begins: `a bag`.
    pub what: &'static str,
    pub keys: &'static [(&'static str, &'static str)],
    pub required: &'static [&'static str],
    /// Keys that belong at the top of the file, and land here when they are typed too late.
    pub top: &'static [&'static str],
}

impl Shape {
    pub const fn new(what: &'static str, required: &'static [&'static str]) -> Shape {
        Shape {
            what,
            required,
            keys: &[],
            top: &[],
        }
    }

    pub const fn keys(self, keys: &'static [(&'static str, &'static str)]) -> Shape {
        Shape { keys, ..self }
    }

    pub const fn top(self, top: &'static [&'static str]) -> Shape {
        Shape { top, ..self }
    }

    /// The example of a key that it may have.
    pub fn example(&self, key: &str) -> Option<&'static str> {
        let mut keys = self.keys.iter();
        Some(keys.find(|(name, _)| *name == key)?.1)
    }

    /// Whether it may have several tables of this name.
    pub fn has_several(&self, key: &str) -> bool {
        self.example(key).is_some_and(|it| it.starts_with("[["))
    }

    pub fn names(&self) -> impl Iterator<Item = &'static str> {
        self.keys.iter().map(|(name, _)| *name)
    }

    /// Whether it may have this key.
    pub fn has(&self, key: &str) -> bool {
        self.example(key).is_some()
    }
}

/// Longest name (letters).
const LONGEST_NAME: usize = 80;

/// A table of a file and what it may hold.
#[derive(Clone, Copy, Debug)]
pub struct Table<'t> {
    pub place: Place,
    pub shape: &'static Shape,
    entries: &'t [Entry],
    /// Where what is wrong in it is told.
    pub faults: &'t Finds,
}

/// Whether a key may be a name of the maker's own: it is no slip of a known one that may have such a value,
/// and has a text, or several.
fn is_own(shape: &Shape, entry: &Entry) -> bool {
    let key = entry.key.value.as_str();
    let texts = matches!(entry.item.node, Node::Text(_) | Node::List(_));
    let other = !shape.top.contains(&key) && !shape.has(key);
    let one = matches!(entry.item.node, Node::Text(_));
    let like = shape
        .keys
        .iter()
        .filter(|(_, example)| !one || example.starts_with('"'));
    texts && other && nearest(key, like.map(|(name, _)| *name)).is_none()
}

impl<'t> Table<'t> {
    /// Takes up a table, and tells what it should not hold and what it lacks.
    pub fn open(
        entries: &'t [Entry],
        place: Place,
        shape: &'static Shape,
        faults: &'t Finds,
    ) -> Table<'t> {
        Table::open_with(entries, place, shape, |_| false, faults)
    }

    /// The same; a key that `own` holds for is the maker's own name for something.
    fn open_with(
        entries: &'t [Entry],
        place: Place,
        shape: &'static Shape,
        own: impl Fn(&Entry) -> bool,
        faults: &'t Finds,
    ) -> Table<'t> {
        let strange = entries.iter().filter(|e| !shape.has(&e.key.value));
        for entry in strange.filter(|entry| !own(entry)) {
            let key = entry.key.value.clone();
            faults.tell(
                entry.key.place,
                TextError::UnknownKey {
                    of: shape.what,
                    known: shape.names().collect(),
                    top: shape.top.contains(&key.as_str()),
                    key,
                },
            );
        }
        let table = Table {
            place,
            shape,
            entries,
            faults,
        };
        match (entries, shape.required) {
            ([], [_, ..]) => table.is_empty(),
            _ => shape.required.iter().for_each(|key| table.need(key)),
        }
        table
    }

    /// Tells what is wrong at a place in it.
    pub fn tell(&self, place: Place, what: impl Problem + 'static) {
        self.faults.tell(place, what);
    }

    /// Tells that there is nothing in it.
    fn is_empty(&self) {
        let Shape { what: of, keys, .. } = self.shape;
        let example = keys
            .first()
            .map(|(key, example)| format!("{key} = {example}"));
        let example = example.unwrap_or_default();
        self.tell(self.place, TextError::Empty { of, example });
    }

    /// Tells that a key is missing, if it is.
    pub fn need(&self, key: &'static str) {
        if self.get(key).is_none() {
            self.lacks(key);
        }
    }

    /// Tells that a key is missing, or says nothing.
    pub fn lacks(&self, key: &'static str) {
        let (place, of, example) = (self.place, self.shape.what, self.example(key));
        let missing = TextError::Missing { of, key, example }.at(place);
        self.faults.add(missing);
    }

    /// Tells that two keys stand side by side that may not.
    pub fn never_both(&self, key: &'static str, other: &'static str, why: &'static str) {
        if let (Some(place), Some(first)) = (self.key_place(key), self.key_place(other)) {
            self.tell(
                place,
                TextError::Beside {
                    key,
                    other,
                    first,
                    why,
                },
            );
        }
    }

    /// Where a key stands.
    pub fn key_place(&self, key: &str) -> Option<Place> {
        Some(self.entry(key)?.key.place)
    }

    /// A value of any kind.
    pub fn get(&self, key: &str) -> Option<&'t Item> {
        Some(&self.entry(key)?.item)
    }

    fn entry(&self, key: &str) -> Option<&'t Entry> {
        self.entries.iter().find(|entry| entry.key.value == key)
    }

    /// A list; absent means empty. What is no list is refused as no `wants`.
    pub fn list(&self, key: &str, wants: Kind) -> &'t [Item] {
        match self.get(key) {
            None => &[],
            Some(item) => match &item.node {
                Node::List(items) => items,
                _ => {
                    self.wrong(key, item, wants);
                    &[]
                }
            },
        }
    }

    fn example(&self, key: &str) -> &'static str {
        self.shape.example(key).unwrap_or("...")
    }

    /// Tells that a value is not of the kind that it should be.
    pub fn wrong(&self, key: &str, item: &Item, wants: Kind) {
        let example = self.example(key);
        let example = match wants {
            // Within another list it is called by both.
            Kind::Tables if example.starts_with("[[") => example.to_owned(),
            Kind::Tables => format!("[[{key}]]"),
            Kind::Table if example.starts_with('[') => example.to_owned(),
            _ => format!("{key} = {example}"),
        };
        wrong(key, item, wants, example, self.faults);
    }

    /// A text that is not empty and can be printed.
    pub fn text(&self, key: &str) -> Option<Said<String>> {
        let item = self.get(key)?;
        if !matches!(item.node, Node::Text(_)) {
            self.wrong(key, item, Kind::Text);
            return None;
        }
        legible(key, item, self.faults)
    }

    /// A name: a short text.
    pub fn name(&self, key: &str) -> Option<Said<String>> {
        short(key, self.text(key)?, self.faults)
    }

    /// `true` or `false`.
    pub fn flag(&self, key: &str) -> Option<bool> {
        let item = self.get(key)?;
        if let Node::Flag(flag) = item.node {
            return Some(flag);
        }
        self.wrong(key, item, Kind::Flag);
        None
    }

    /// A whole number within limits, both included.
    pub fn count(&self, key: &str, least: i64, most: i64) -> Option<i64> {
        self.count_of(key, self.get(key)?, least, most)
    }

    /// The same of a value in a table whose keys the maker chooses.
    pub fn count_of(&self, key: &str, item: &Item, least: i64, most: i64) -> Option<i64> {
        let Node::Whole { value, .. } = item.node else {
            self.wrong(key, item, Kind::Whole);
            return None;
        };
        // What is too long for an i64 is shown as the most that it can hold.
        let number = value.unwrap_or(i64::MAX);
        if (least..=most).contains(&number) {
            return Some(number);
        }
        let over = number > most;
        let limit = if over { most } else { least };
        self.tell(
            item.place,
            TextError::OutOfRange {
                key: key.to_owned(),
                written: match number {
                    i64::MAX => "a number of many digits".to_owned(),
                    number => number.to_string(),
                },
                limit: limit.to_string(),
                over,
                other: None,
            },
        );
        None
    }

    /// A length, perhaps with a ±.
    pub fn length(&self, key: &str, limits: Limits) -> Option<Said<Interval>> {
        let item = self.get(key)?;
        length_of(key, item, self.example(key), limits, self.faults)
    }

    /// A length of which the place does not matter.
    pub fn measure(&self, key: &str, limits: Limits) -> Option<Interval> {
        Some(self.length(key, limits)?.value)
    }

    /// Two lengths, `W x H`.
    pub fn size(&self, key: &str, limits: Limits) -> Option<(Said<Interval>, Said<Interval>)> {
        let item = self.get(key)?;
        if !matches!(item.node, Node::Text(_)) {
            self.wrong(key, item, Kind::Size);
            return None;
        }
        let text = legible(key, item, self.faults)?;
        match parse_size(&text.value) {
            Ok((width, height)) => {
                let sound = [width, height]
                    .map(|side| within(key, &text, side, limits, self.faults))
                    .into_iter()
                    .all(|sound| sound);
                sound.then(|| (text.with(width), text.with(height)))
            }
            Err(error) => {
                let place = text.part(error.range());
                self.tell(place, TextError::Length { error });
                None
            }
        }
    }

    /// A price: `"4.20"`, or the bare number.
    pub fn money(&self, key: &str) -> Option<Money> {
        let item = self.get(key)?;
        let text = match &item.node {
            Node::Text(_) => legible(key, item, self.faults)?.value,
            Node::Whole { written, .. } | Node::Decimal { written } => written.clone(),
            _ => {
                self.wrong(key, item, Kind::Price);
                return None;
            }
        };
        let place = item.place;
        money(&Said { place, value: text }, self.faults)
    }

    /// One of a few words.
    pub fn choice<T: Copy>(&self, key: &str, options: &[(&'static str, T)]) -> Option<Said<T>> {
        let text = self.text(key)?;
        if let Some((_, value)) = options.iter().find(|(word, _)| *word == text.value) {
            return Some(text.with(*value));
        }
        self.tell(
            text.place,
            TextError::NoChoice {
                key: key.to_owned(),
                written: text.value,
                options: options.iter().map(|(word, _)| *word).collect(),
            },
        );
        None
    }

    /// A list of texts; absent means empty. Those that are no texts are told and left out.
    pub fn texts(&self, key: &str) -> Vec<Said<String>> {
        let mut texts = Vec::new();
        for item in self.list(key, Kind::Texts) {
            match item.node {
                Node::Text(_) => texts.extend(legible(key, item, self.faults)),
                _ => self.wrong(key, item, Kind::Text),
            }
        }
        texts
    }

    /// One name, or a list of them; absent means empty.
    pub fn names(&self, key: &str) -> Vec<Said<String>> {
        match self.get(key) {
            None => Vec::new(),
            Some(item) => names_of(key, item, self.example(key), self.faults),
        }
    }

    /// A table within this one.
    pub fn table(&self, key: &str, shape: &'static Shape) -> Option<Table<'t>> {
        let item = self.get(key)?;
        match &item.node {
            Node::Table(entries) => Some(Table::open(entries, item.place, shape, self.faults)),
            _ => {
                self.wrong(key, item, Kind::Table);
                None
            }
        }
    }

    /// Tables with the same heading, `[[bag]]`.
    pub fn tables(&self, key: &str, shape: &'static Shape) -> Vec<Table<'t>> {
        self.tables_with(key, shape, |_| false)
    }

    /// The same for tables that may also name things that only their style knows: keys that are no
    /// slip of the finger, each with a text or several.
    pub fn tables_with_own(&self, key: &str, shape: &'static Shape) -> Vec<Table<'t>> {
        self.tables_with(key, shape, |entry| is_own(shape, entry))
    }

    fn tables_with(
        &self,
        key: &str,
        shape: &'static Shape,
        own: impl Fn(&Entry) -> bool,
    ) -> Vec<Table<'t>> {
        let Some(item) = self.get(key) else {
            return Vec::new();
        };
        let items = match &item.node {
            // `[bag]` for `[[bag]]`: what it holds is read all the same.
            Node::Table(_) => {
                self.wrong(key, item, Kind::Tables);
                std::slice::from_ref(item)
            }
            _ => self.list(key, Kind::Tables),
        };
        let mut tables = Vec::new();
        for item in items {
            let Node::Table(entries) = &item.node else {
                self.wrong(key, item, Kind::Table);
                continue;
            };
            let table = Table::open_with(entries, item.place, shape, &own, self.faults);
            match (entries.is_empty(), shape.required) {
                (false, _) => tables.push(table),
                (true, []) => table.is_empty(),
                // It was told.
                (true, _) => {}
            }
        }
        tables
    }

    /// What it says beside what it may say.
    pub fn own(&self) -> impl Iterator<Item = (&'t Said<String>, &'t Item)> {
        let shape = self.shape;
        let entries = self.entries.iter().filter(|entry| is_own(shape, entry));
        entries.map(|entry| (&entry.key, &entry.item))
    }

    /// A table whose keys the maker chooses. Dotted keys without quotes are put together again, so
    /// that `front_mat.width = ..` says the same as `"front_mat.width" = ..`.
    pub fn pairs(&self, key: &str) -> Vec<(Said<String>, &'t Item)> {
        self.pairs_of(key, |_| false)
    }

    /// The same where a value may itself be a table: one for which `value` holds.
    pub fn pairs_of(&self, key: &str, value: fn(&Entry) -> bool) -> Vec<(Said<String>, &'t Item)> {
        let Some(item) = self.get(key) else {
            return Vec::new();
        };
        let mut pairs = Vec::new();
        match &item.node {
            Node::Table(entries) => flatten("", None, entries, value, &mut pairs),
            _ => self.wrong(key, item, Kind::Table),
        }
        pairs
    }
}

fn flatten<'t>(
    before: &str,
    start: Option<Place>,
    entries: &'t [Entry],
    value: fn(&Entry) -> bool,
    pairs: &mut Vec<(Said<String>, &'t Item)>,
) {
    for entry in entries {
        let key = format!("{before}{}", entry.key.value);
        let end = entry.key.place;
        // The parts of a dotted key stand side by side; otherwise the last one is marked.
        let place = match start {
            Some(first) if first.end < end.start && end.start - first.end < 4 => Place {
                start: first.start,
                ..end
            },
            _ => end,
        };
        match &entry.item.node {
            Node::Table(inner) if !value(entry) => {
                flatten(&format!("{key}."), Some(place), inner, value, pairs);
            }
            _ => pairs.push((Said { value: key, place }, &entry.item)),
        }
    }
}

/// Tells that a text is too long for a name.
fn short(key: &str, text: Said<String>, faults: &Finds) -> Option<Said<String>> {
    let letters = text.value.chars().count();
    if letters <= LONGEST_NAME {
        return Some(text);
    }
    let (key, most) = (key.to_owned(), LONGEST_NAME);
    faults.tell(text.place, TextError::LongText { key, letters, most });
    None
}

/// One name, or a list of them; `example` is one that could stand there. What is no name is reported
/// and left out.
pub(crate) fn names_of(key: &str, item: &Item, example: &str, faults: &Finds) -> Vec<Said<String>> {
    let items = match &item.node {
        Node::Text(_) => std::slice::from_ref(item),
        Node::List(items) => items.as_slice(),
        _ => {
            let example = format!("{key} = {example}");
            wrong(key, item, Kind::TextOrTexts, example, faults);
            return Vec::new();
        }
    };
    let mut names = Vec::new();
    for item in items {
        if !matches!(item.node, Node::Text(_)) {
            wrong(key, item, Kind::Text, format!("{key} = {example}"), faults);
            continue;
        }
        let text = legible(key, item, faults);
        names.extend(text.and_then(|text| short(key, text, faults)));
    }
    names
}

/// A price as it is typed.
pub fn money(said: &Said<String>, faults: &Finds) -> Option<Money> {
    let read = said.value.parse();
    let wrong = |why| {
        let (place, written) = (said.place, said.value.clone());
        faults.tell(place, TextError::Price { written, why });
    };
    read.map_err(wrong).ok()
}
