//! Changes in the text of an album file: its comments, order and spacing stay.
//!
//! Nothing here knows what a change is for; whoever asks reads the text again and works it out before it
//! is kept. May import `toml_edit` only.

use std::str::FromStr;
use toml_edit::{
    Array, ArrayOfTables, DocumentMut, InlineTable, Item, Table, TableLike, Value, value,
};

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

    /// An insert of a leaf.
    pub fn insert(&mut self, leaf: &str, name: &str) -> Option<Row<'_>> {
        row(self.row("leaf", leaf)?.0.get_mut("insert")?, name)
    }

    /// Takes a row out of a list; with a leaf, out of its inserts.
    pub fn take_out(&mut self, leaf: &str, name: &str) -> Option<()> {
        let leaf = self.row("leaf", leaf)?;
        match leaf.0.get_mut("insert")? {
            Item::ArrayOfTables(rows) => {
                let at = rows.iter().position(|row| is_called(row, name))?;
                rows.remove(at);
            }
            Item::Value(Value::Array(rows)) => {
                let called =
                    |row: &Value| row.as_inline_table().is_some_and(|it| is_called(it, name));
                let at = rows.iter().position(called)?;
                rows.remove(at);
            }
            _ => return None,
        }
        Some(())
    }

    /// Takes lines out of a list of texts, such as `prefer`.
    pub fn retain(&mut self, list: &str, keep: impl Fn(&str) -> bool) {
        if let Some(list) = self.0.get_mut(list).and_then(Item::as_array_mut) {
            list.retain(|line| line.as_str().is_none_or(&keep));
        }
    }

    /// Puts a row at the end of a list, made if it is not there.
    pub fn push(&mut self, list: &str, row: Table) -> Option<()> {
        let made = || Item::ArrayOfTables(ArrayOfTables::new());
        match self.0.entry(list).or_insert_with(made) {
            Item::ArrayOfTables(rows) => rows.push(row),
            Item::Value(Value::Array(rows)) => {
                rows.push(Value::InlineTable(row.into_inline_table()))
            }
            _ => return None,
        }
        Some(())
    }

    /// A copy of a row, with the values as they stand there.
    pub fn copy(&self, list: &str, name: &str) -> Option<Table> {
        let plain = |row: &dyn TableLike| {
            let mut table = Table::new();
            for (key, item) in row.iter() {
                table.insert(key, item.clone());
            }
            table
        };
        match self.0.get(list)? {
            Item::ArrayOfTables(rows) => {
                let row = rows.iter().find(|row| is_called(*row, name))?;
                Some(plain(row))
            }
            Item::Value(Value::Array(rows)) => {
                let mut rows = rows.iter().filter_map(Value::as_inline_table);
                Some(plain(rows.find(|row| is_called(*row, name))?))
            }
            _ => None,
        }
    }
}

impl Row<'_> {
    pub fn has(&self, key: &str) -> bool {
        self.0.contains_key(key)
    }

    /// A text, as it stands there.
    pub fn text(&self, key: &str) -> Option<&str> {
        self.0.get(key)?.as_str()
    }

    /// Gives a key this value; what stands round an old one stays.
    pub fn put(&mut self, key: &str, new: impl Into<Value>) {
        put(self.0, key, new.into());
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

/// A row of texts.
pub fn row_of(keys: &[(&str, &str)]) -> Table {
    let mut table = Table::new();
    for (key, text) in keys {
        table.insert(key, value(*text));
    }
    table
}

/// Gives a key of a copied row this text.
pub fn put_in(table: &mut Table, key: &str, text: &str) {
    put(table, key, text.into());
}

fn put(table: &mut dyn TableLike, key: &str, mut new: Value) {
    match table.get_mut(key) {
        Some(Item::Value(old)) => {
            *new.decor_mut() = old.decor().clone();
            *old = new;
        }
        _ => {
            table.insert(key, Item::Value(new));
        }
    }
}

fn is_called(row: &dyn TableLike, name: &str) -> bool {
    row.get("name").and_then(Item::as_str) == Some(name)
}

fn row<'p>(list: &'p mut Item, name: &str) -> Option<Row<'p>> {
    match list {
        Item::ArrayOfTables(rows) => {
            let row = rows.iter_mut().find(|row| is_called(*row, name))?;
            Some(Row(row))
        }
        Item::Value(Value::Array(rows)) => inline(rows, name),
        _ => None,
    }
}

fn inline<'p>(rows: &'p mut Array, name: &str) -> Option<Row<'p>> {
    let mut rows = rows.iter_mut().filter_map(Value::as_inline_table_mut);
    let row = rows.find(|row| is_called(*row, name))?;
    Some(Row(row))
}
