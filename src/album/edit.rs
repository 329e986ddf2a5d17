//! Changes in the text of an album file: its comments, order and spacing stay.
//!
//! Nothing here knows what a change is for; whoever asks reads the text again and works it out before it
//! is kept. May import `toml_edit` only.

use std::collections::BTreeMap;
use std::str::FromStr;
pub use toml_edit::Table;
use toml_edit::{Array, ArrayOfTables, DocumentMut, InlineTable, Item, TableLike, Value, value};

/// An album's text that is changed.
pub struct Pen(DocumentMut);

/// A table of an album, in whichever form it is written.
pub struct Row<'p>(&'p mut dyn TableLike);

impl Pen {
    /// `None` if the text is no TOML.
    pub fn of(text: &str) -> Option<Pen> {
        DocumentMut::from_str(text).ok().map(Pen)
    }

    /// The text as it is now.
    pub fn text(&self) -> String {
        self.0.to_string()
    }

    /// The row of a list, such as `leaf`, with this name.
    pub fn row(&mut self, list: &str, name: &str) -> Option<Row<'_>> {
        row(self.0.get_mut(list)?, name)
    }

    /// A table, such as `template`; made if it is not there.
    pub fn table(&mut self, name: &str) -> Option<Row<'_>> {
        let made = || Item::Table(Table::new());
        let item = self.0.entry(name).or_insert_with(made);
        item.as_table_like_mut().map(Row)
    }

    /// The table that these words lead to: each is the name of a table, or that of a list and then the
    /// name of one of its rows. A table that is not there is made.
    pub fn at(&mut self, words: &[&str]) -> Option<Row<'_>> {
        let mut at: &mut dyn TableLike = self.0.as_table_mut();
        let mut words = words.iter();
        let mut top = true;
        while let Some(word) = words.next() {
            if at
                .get(word)
                .is_none_or(|item| item.is_none() || is_flag(item))
            {
                let made = match top {
                    true => Item::Table(Table::new()),
                    false => Item::Value(Value::InlineTable(InlineTable::new())),
                };
                at.insert(word, made);
            }
            let item = at.get_mut(word)?;
            at = match item.is_table_like() {
                true => item.as_table_like_mut()?,
                false => row(item, words.next()?)?.0,
            };
            top = false;
        }
        Some(Row(at))
    }

    /// Takes a table that says nothing away; a photo of which nothing more is said stays one.
    pub fn tidy(&mut self, words: &[&str]) {
        let Some((last, above)) = words.split_last() else {
            return;
        };
        let Some(row) = self.at(above) else { return };
        let empty = row.0.get(last).and_then(Item::as_table_like);
        if empty.is_none_or(|table| !table.is_empty()) {
            return;
        }
        match *last {
            "photo" => put(row.0, last, true.into()),
            _ => drop(row.0.remove(last)),
        }
    }

    /// Puts another name in the place of one wherever the album names this row of a list.
    pub fn renamed(&mut self, list: &str, old: &str, new: &str) {
        let names = |path: &[&str]| match (list, path) {
            ("bag", ["leaf", "bag"])
            | ("leaf", ["accept", "of"])
            | ("card", ["leaf", "insert", "card"])
            | ("print", ["leaf", "insert", "photo", "print"])
            | ("ring", ["template", "ring"])
            | ("punch", ["template", "punch"])
            | ("paper", ["leaf", "insert", "paper"] | ["leaf", "papers", _])
            | ("paper", ["papers", _] | ["offcut", "paper"])
            | ("bag" | "paper" | "print" | "card" | "ring", ["pack", "of"]) => true,
            ("paper", ["leaf", part]) => !matches!(*part, "name" | "bag"),
            _ => false,
        };
        texts(self.0.as_table_mut(), &mut Vec::new(), &mut |path, text| {
            if let (["prefer"], "leaf") = (path, list) {
                // `largest shore: tag.height`
                let (wish, of) = text.split_once(' ')?;
                let rest = of.trim_start().strip_prefix(old)?;
                let rest = rest.trim_start().strip_prefix(':')?;
                return Some(format!("{wish} {new}:{rest}"));
            }
            (text == old && names(path)).then(|| new.to_owned())
        });
    }

    /// Puts another name in the place of an insert's wherever the album names it.
    pub fn renamed_insert(&mut self, leaf: &str, old: &str, new: &str) {
        let other = |word: &str| match word.strip_prefix(old) {
            Some("") => Some(new.to_owned()),
            Some(rest) if rest.starts_with('.') => Some(format!("{new}{rest}")),
            _ => None,
        };
        for said in ["given", "measured"] {
            let Some(row) = self.row("leaf", leaf) else {
                return;
            };
            let Some(sizes) = row.0.get_mut(said).and_then(Item::as_table_like_mut) else {
                continue;
            };
            let keys = sizes.iter().map(|(key, _)| key.to_owned());
            for key in keys.collect::<Vec<_>>() {
                if let (Some(key), Some(item)) = (other(&key), other(&key).and(sizes.remove(&key)))
                {
                    sizes.insert(&key, item);
                }
            }
        }
        texts(
            self.0.as_table_mut(),
            &mut Vec::new(),
            &mut |path, text| match path {
                ["accept", "of"] => other(text),
                ["prefer"] => {
                    let words = text.split(' ');
                    let words = words.map(|word| other(word).unwrap_or_else(|| word.to_owned()));
                    Some(words.collect::<Vec<_>>().join(" ")).filter(|line| line != text)
                }
                _ => None,
            },
        );
    }

    /// Whether the list at the end of these words has a row of that name.
    pub fn has(&self, words: &[&str]) -> bool {
        let mut at: &dyn TableLike = self.0.as_table();
        for [list, name] in words.as_chunks().0 {
            match at.get(list).and_then(|list| known(list, name)) {
                Some(row) => at = row,
                None => return false,
            }
        }
        true
    }

    /// An insert of a leaf.
    pub fn insert(&mut self, leaf: &str, name: &str) -> Option<Row<'_>> {
        row(self.row("leaf", leaf)?.0.get_mut("insert")?, name)
    }

    /// Takes an insert out of a leaf.
    pub fn take_out(&mut self, leaf: &str, name: &str) -> Option<()> {
        self.row("leaf", leaf)?.take_out("insert", name)
    }

    /// The album's own keys.
    pub fn top(&mut self) -> Row<'_> {
        Row(self.0.as_table_mut())
    }

    /// Takes lines out of a list of texts, such as `prefer`.
    pub fn retain(&mut self, list: &str, keep: impl Fn(&str) -> bool) {
        if let Some(list) = self.0.get_mut(list).and_then(Item::as_array_mut) {
            list.retain(|line| line.as_str().is_none_or(&keep));
        }
    }

    /// Takes rows out of a list of the album's.
    pub fn retain_rows(&mut self, list: &str, keep: impl Fn(&dyn TableLike) -> bool) {
        match self.0.get_mut(list) {
            Some(Item::ArrayOfTables(rows)) => {
                rows.retain(|row| keep(row));
                if rows.is_empty() {
                    self.0.remove(list);
                }
            }
            Some(Item::Value(Value::Array(rows))) => {
                rows.retain(|row| row.as_inline_table().is_none_or(|row| keep(row)));
            }
            _ => {}
        }
    }

    /// Puts a row at the end of a list, made if it is not there.
    pub fn push(&mut self, list: &str, row: Table) -> Option<()> {
        self.top().push(list, row)
    }

    /// A copy of a row, with the values as they stand there.
    pub fn copy(&self, list: &str, name: &str) -> Option<Table> {
        let mut table = Table::new();
        for (key, item) in known(self.0.get(list)?, name)?.iter() {
            let mut item = item.clone();
            unplaced(&mut item);
            table.insert(key, item);
        }
        Some(table)
    }
}

impl Row<'_> {
    pub fn has(&self, key: &str) -> bool {
        self.0.contains_key(key)
    }

    /// Takes a row out of a list in this table.
    pub fn take_out(&mut self, list: &str, name: &str) -> Option<()> {
        let rows = self.0.get_mut(list)?;
        let at = place(rows, name)?;
        match rows {
            Item::ArrayOfTables(rows) => {
                rows.remove(at);
                if rows.is_empty() {
                    self.0.remove(list);
                }
            }
            rows => drop(rows.as_array_mut()?.remove(at)),
        }
        Some(())
    }

    /// Puts a row of a list one place forward, or one back; its comments go with it.
    pub fn shift(&mut self, list: &str, name: &str, forward: bool) -> Option<()> {
        let rows = self.0.get_mut(list)?;
        let at = place(rows, name)?;
        let other = if forward { at.checked_sub(1)? } else { at + 1 };
        match rows {
            Item::ArrayOfTables(rows) if other < rows.len() => {
                let mut all: Vec<Table> = std::mem::take(rows).into_iter().collect();
                swap(&mut all, [at.min(other), at.max(other)]);
                rows.extend(all);
            }
            Item::Value(Value::Array(rows)) if other < rows.len() => {
                let row = rows.remove(at);
                rows.insert_formatted(other, row);
            }
            _ => return None,
        }
        Some(())
    }

    /// Puts a row at the end of a list in this table, made if it is not there.
    pub fn push(&mut self, list: &str, row: Table) -> Option<()> {
        if self.0.get(list).is_none_or(Item::is_none) {
            // In a table that stands in one line it becomes a list that does so too.
            self.0
                .insert(list, Item::ArrayOfTables(ArrayOfTables::new()));
        }
        match self.0.get_mut(list)? {
            Item::ArrayOfTables(rows) => rows.push(row),
            Item::Value(Value::Array(rows)) => {
                rows.push(Value::InlineTable(row.into_inline_table()))
            }
            _ => return None,
        }
        Some(())
    }

    /// A text, as it stands there.
    pub fn text(&self, key: &str) -> Option<&str> {
        self.0.get(key)?.as_str()
    }

    /// Gives a key this value; what stands round an old one stays.
    pub fn put(&mut self, key: &str, new: impl Into<Value>) {
        put(self.0, key, new.into());
    }

    /// Gives a key a list of names. A name of which more is said keeps it.
    pub fn put_names(&mut self, key: &str, names: &[&str]) {
        let old = self.0.get(key).and_then(Item::as_array);
        let known = |name: &&str| {
            let mut all = old.into_iter().flatten();
            let said = |it: &&Value| it.as_inline_table().is_some_and(|it| is_called(it, name));
            all.find(said)
                .cloned()
                .unwrap_or_else(|| Value::from(*name))
        };
        let mut all: Array = names.iter().map(known).collect();
        all.fmt();
        match all.is_empty() {
            true => self.remove(key),
            false => self.put(key, Value::Array(all)),
        }
    }

    /// A name in a list becomes a table, of which more may be said.
    pub fn widen(&mut self, list: &str, name: &str) -> Option<()> {
        let rows = self.0.get_mut(list)?;
        let all = rows.as_array_mut().into_iter().flat_map(Array::iter_mut);
        for one in all.filter(|it| it.as_str() == Some(name)) {
            let mut table = InlineTable::new();
            table.insert("name", name.into());
            let decor = one.decor().clone();
            *one = Value::InlineTable(table);
            *one.decor_mut() = decor;
        }
        place(rows, name).map(|_| ())
    }

    /// Gives another key this value in the place of an old one, with what stands round that.
    pub fn put_for(&mut self, old: &str, key: &str, new: impl Into<Value>) {
        let mut new = new.into();
        if let Some(Item::Value(old)) = self.0.remove(old) {
            *new.decor_mut() = old.decor().clone();
        }
        self.0.insert(key, Item::Value(new));
    }

    pub fn remove(&mut self, key: &str) {
        self.0.remove(key);
    }

    /// A table in this one.
    pub fn table(&mut self, key: &str) -> Option<Row<'_>> {
        self.0.get_mut(key)?.as_table_like_mut().map(Row)
    }

    /// The same, made in one line if it is not there or is no table.
    pub fn table_or_new(&mut self, key: &str) -> Option<Row<'_>> {
        if self.0.get(key).is_none_or(|item| !item.is_table_like()) {
            put(self.0, key, Value::InlineTable(InlineTable::new()));
        }
        self.table(key)
    }
}

/// Goes over a table and those inside it that have a place of their own in the file.
fn tables(table: &mut Table, each: &mut dyn FnMut(&mut Table)) {
    each(table);
    for (_, item) in table.iter_mut() {
        match item {
            Item::Table(inner) => tables(inner, each),
            Item::ArrayOfTables(rows) => rows.iter_mut().for_each(|row| tables(row, each)),
            _ => {}
        }
    }
}

/// Swaps two tables of a list. Where a table stands in the file is a number of its own, of those inside it
/// too.
fn swap(all: &mut [Table], two: [usize; 2]) {
    let places = |table: &mut Table| {
        let mut places = Vec::new();
        tables(table, &mut |table| places.extend(table.position()));
        places.sort_unstable();
        places
    };
    let mut free = two.map(|at| places(&mut all[at])).concat();
    free.sort_unstable();
    all.swap(two[0], two[1]);
    let mut free = free.into_iter();
    for at in two {
        let old = places(&mut all[at]);
        let new: BTreeMap<isize, isize> = old.into_iter().zip(&mut free).collect();
        tables(&mut all[at], &mut |table| {
            let place = table.position().and_then(|it| new.get(&it).copied());
            table.set_position(place);
        });
    }
}

/// A row of texts.
pub fn row_of(keys: &[(&str, &str)]) -> Table {
    let mut table = Table::new();
    for (key, text) in keys {
        table.insert(key, value(*text));
    }
    table
}

/// A list of tables, each in one line.
pub type Rows = Value;

/// Rows as such a list.
pub fn rows_in_line(rows: Vec<Table>) -> Rows {
    let rows = rows.into_iter().map(Table::into_inline_table);
    Value::Array(rows.collect())
}

/// Gives a key of a copied row this text.
pub fn put_in(table: &mut Table, key: &str, new: impl Into<Value>) {
    put(table, key, new.into());
}

fn put(table: &mut dyn TableLike, key: &str, mut new: Value) {
    match table.get_mut(key) {
        Some(Item::Value(old)) => {
            *new.decor_mut() = old.decor().clone();
            *old = new;
        }
        _ => {
            // The space before a closing brace would stand before the comma.
            let last = table.iter_mut().last();
            if let Some(last) = last.and_then(|(_, item)| item.as_value_mut()) {
                let decor = last.decor_mut();
                let space = decor.suffix().and_then(toml_edit::RawString::as_str);
                if space.is_some_and(|it| !it.is_empty() && it.trim_matches(' ').is_empty()) {
                    decor.set_suffix("");
                }
            }
            table.insert(key, Item::Value(new));
        }
    }
}

/// Goes over every text of a table, with the keys that lead to it; a new one takes its place.
fn texts(
    table: &mut dyn TableLike,
    path: &mut Vec<String>,
    new: &mut dyn FnMut(&[&str], &str) -> Option<String>,
) {
    for (key, item) in table.iter_mut() {
        path.push(key.get().to_owned());
        match item {
            Item::Value(value) => in_value(value, path, new),
            Item::ArrayOfTables(rows) => rows.iter_mut().for_each(|row| texts(row, path, new)),
            Item::Table(table) => texts(table, path, new),
            Item::None => {}
        }
        path.pop();
    }
}

fn in_value(
    value: &mut Value,
    path: &mut Vec<String>,
    new: &mut dyn FnMut(&[&str], &str) -> Option<String>,
) {
    match value {
        Value::String(text) => {
            let keys: Vec<&str> = path.iter().map(String::as_str).collect();
            if let Some(other) = new(&keys, text.value()) {
                let mut other = Value::from(other);
                *other.decor_mut() = value.decor().clone();
                *value = other;
            }
        }
        Value::Array(rows) => rows.iter_mut().for_each(|row| in_value(row, path, new)),
        Value::InlineTable(table) => texts(table, path, new),
        _ => {}
    }
}

/// What is copied is written where it comes, not where it stood.
fn unplaced(item: &mut Item) {
    let all = |table: &mut Table| {
        table.set_position(None);
        table.iter_mut().for_each(|(_, item)| unplaced(item));
    };
    match item {
        Item::Table(table) => all(table),
        Item::ArrayOfTables(rows) => rows.iter_mut().for_each(all),
        _ => {}
    }
}

/// `photo = true`: of which a table may say more.
fn is_flag(item: &Item) -> bool {
    item.as_bool().is_some()
}

fn is_called(row: &dyn TableLike, name: &str) -> bool {
    row.get("name").and_then(Item::as_str) == Some(name)
}

/// The place of the row with this name in a list, in whichever form the list is written.
fn place(list: &Item, name: &str) -> Option<usize> {
    match list {
        Item::ArrayOfTables(rows) => rows.iter().position(|row| is_called(row, name)),
        list => list.as_array()?.iter().position(|row| {
            let row = row.as_inline_table();
            row.is_some_and(|row| is_called(row, name))
        }),
    }
}

/// That row.
fn known<'p>(list: &'p Item, name: &str) -> Option<&'p dyn TableLike> {
    let at = place(list, name)?;
    match list {
        Item::ArrayOfTables(rows) => rows.get(at).map(|row| row as _),
        list => {
            let row = list.as_array()?.get(at)?.as_inline_table()?;
            Some(row)
        }
    }
}

fn row<'p>(list: &'p mut Item, name: &str) -> Option<Row<'p>> {
    let at = place(list, name)?;
    match list {
        Item::ArrayOfTables(rows) => rows.get_mut(at).map(|row| Row(row)),
        list => {
            let row = list.as_array_mut()?.get_mut(at)?;
            Some(Row(row.as_inline_table_mut()?))
        }
    }
}
