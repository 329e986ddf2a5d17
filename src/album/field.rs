//! One value of an album's text, named by the way that leads to it: `leaf`, `shore`, `insert`, `tag`,
//! `height`. The names are those of the file; sides of a size are there too, though a file may say both in
//! one text.
//!
//! What comes out is text: the ordinary reader reads it again, and tells what is wrong with a value.
//! May import `length`, `supplies` and `text`.

mod typed;

use super::edit::{Pen, row_of};
use super::shapes;
use crate::length::Ruler;
use crate::supplies::text::{BAGS, SHEETS};
use thiserror::Error;
use toml_edit::value;
use typed::{Says, numberless, one_word, paired, pairs, side, unquoted, usual, written};
pub use typed::{amounts, packet, with_unit};

/// Why a value cannot be changed.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum FieldError {
    #[error("the text cannot be read as it stands")]
    NoToml,
    #[error("there is no {what} `{name}` here")]
    NoRow { what: String, name: String },
    #[error("`{name}` stands in a file of supplies: change it there")]
    Elsewhere { name: String },
    #[error("there is no value of this name here")]
    NoField,
    #[error("the album cannot be without this")]
    Needed,
    #[error("`{typed}` is no whole number")]
    NoWhole { typed: String },
    #[error("there is a {what} `{name}` already")]
    Taken { what: String, name: String },
    #[error("{why}")]
    Length {
        why: String,
        /// What to type instead.
        help: String,
    },
}

/// An album's text with the texts of its supplies beside it, for one change.
pub struct Field<'t> {
    pen: Pen,
    before: &'t str,
    others: Vec<Pen>,
    ruler: Ruler,
}

/// Lists whose rows have names.
const LISTS: &[&str] = &[
    "leaf", "bag", "paper", "offcut", "print", "card", "ring", "punch",
];
/// Tables of an album of which there is one.
const TABLES: &[&str] = &[
    "template", "set", "papers", "given", "measured", "price", "photos",
];
/// Keys of `photos` that name what is read.
const READ: &[&str] = &["list", "folder"];
/// Of the other keys at its head, those that may be typed here; which files are read is not one of them.
const TOP: &[&str] = &["album", "style", "ruler", "prefer"];

impl<'t> Field<'t> {
    /// `others` are the texts of its supplies.
    ///
    /// # Errors
    /// If the text is no TOML.
    pub fn of(text: &'t str, others: &[&str], ruler: Ruler) -> Result<Field<'t>, FieldError> {
        Ok(Field {
            pen: Pen::of(text).ok_or(FieldError::NoToml)?,
            before: text,
            others: others.iter().filter_map(|text| Pen::of(text)).collect(),
            ruler,
        })
    }

    /// The text as it is now; its lines end as they did.
    pub fn text(&self) -> String {
        same_ends(self.before, self.pen.text())
    }

    /// Gives a value this text, as it was typed; an empty one takes the value away. A number without a
    /// unit gets that of the ruler.
    ///
    /// # Errors
    /// If there is no such value, or if it cannot be left out.
    pub fn set(&mut self, words: &[&str], typed: &str) -> Result<(), FieldError> {
        let (key, table) = words.split_last().ok_or(FieldError::NoField)?;
        // A row of the supplies is not copied for the name that it has.
        if *key == "name" && table.last().is_some_and(|name| *name == typed.trim()) {
            return Ok(());
        }
        let table = self.own(table)?;
        let table: Vec<&str> = table.iter().map(String::as_str).collect();
        match (*key, &table[..]) {
            ("name", _) => return self.rename(&table, typed.trim()),
            ("what", ["leaf", _, "insert", _]) => return self.kind(&table, typed),
            ("designs", ["paper", _]) | ("fees" | "ends", ["price"]) => {
                let mut row = self.pen.at(&table).ok_or(FieldError::NoField)?;
                let names = match *key {
                    "designs" => typed.split([',', '\n']).map(str::trim).collect(),
                    _ => amounts(typed),
                };
                let names: Vec<&str> = names.into_iter().filter(|it| !it.is_empty()).collect();
                row.put_names(key, &names);
                self.pen.tidy(&table);
                return Ok(());
            }
            ("facing" | "stays", ["photos"]) => return self.pair(key, &pairs(key, typed)),
            (_, ["paper", paper, "designs", design]) => {
                let paper = ["paper", *paper];
                let row = self.pen.at(&paper);
                row.and_then(|mut row| row.widen("designs", design))
                    .ok_or_else(|| no_row("designs", design))?;
            }
            // Either says how much of a photo is seen.
            ("most_cut", ["photos"]) => self
                .pen
                .at(&table)
                .ok_or(FieldError::NoField)?
                .remove("show"),
            (key, ["photos"]) if READ.contains(&key) => return Err(FieldError::NoField),
            _ => {}
        }
        if table.is_empty() && !TOP.contains(key) {
            return Err(FieldError::NoField);
        }
        let kinds = kinds(&table);
        let shape = shapes::of(&kinds);
        let example = shape.and_then(|shape| shape.example(key));
        let says = Says::of(&kinds, example);
        let typed = typed.trim();
        let sized = shape.is_some_and(|shape| shape.has("size"));
        let ruler = self.ruler;
        let mut row = self.pen.at(&table).ok_or(FieldError::NoField)?;
        if let (["bag"], Some([width, gusset, height])) = (&kinds[..], packet(typed, ruler)) {
            row.put("size", ruler.type_size(width, height));
            row.put("gusset", ruler.show_interval(gusset));
            return Ok(());
        }
        if sized && (*key == "width" || *key == "height") {
            let limits = if kinds == ["bag"] { BAGS } else { SHEETS };
            return side(&mut row, key, typed, (ruler, example.is_some()), limits);
        }
        let needed = shape.is_some_and(|shape| shape.required.contains(key));
        if typed.is_empty() && needed {
            // A table inside a row, such as a bag's pocket, is gone without what it needs.
            let [above @ .., _, last] = &table[..] else {
                return Err(FieldError::Needed);
            };
            if above.is_empty() || table.len().is_multiple_of(2) {
                return Err(FieldError::Needed);
            }
            let above = &table[..table.len() - 1];
            self.pen.at(above).ok_or(FieldError::NoField)?.remove(last);
            return Ok(());
        }
        if says == Says::Whole && !typed.is_empty() && typed.parse::<i64>().is_err() {
            let typed = typed.to_owned();
            return Err(FieldError::NoWhole { typed });
        }
        match written(says, typed, row.text(key), ruler) {
            Some(value) => row.put(key, value),
            None => row.remove(key),
        }
        // A table with nothing in it says nothing.
        self.pen.tidy(&table);
        Ok(())
    }

    /// Takes a value, or a row of a list, away.
    ///
    /// # Errors
    /// If it is not there, or if the album cannot be without it.
    pub fn remove(&mut self, words: &[&str]) -> Result<(), FieldError> {
        if let ["accept", rule, of] = words {
            self.keep_accepted(|its, thing| (its, thing) != (*rule, *of));
            return Ok(());
        }
        let [table @ .., list, name] = words else {
            return self.set(words, "");
        };
        if !is_list(table, list) {
            return self.set(words, "");
        }
        let gone = self
            .pen
            .at(table)
            .and_then(|mut row| row.take_out(list, name));
        // What is said of photos is said of none without the last of them.
        if (table, *list) == (&["photos"], "photo")
            && self
                .pen
                .table("photos")
                .is_some_and(|row| !row.has("photo"))
        {
            self.pen.top().remove("photos");
        }
        gone.ok_or_else(|| match self.others.iter().any(|pen| pen.has(words)) {
            true => FieldError::Elsewhere {
                name: (*name).to_owned(),
            },
            false => no_row(list, name),
        })
    }

    /// Puts a row of a list of the album one place forward, or one back.
    ///
    /// # Errors
    /// If it is not there, or first or last already.
    pub fn shift(&mut self, list: &str, name: &str, forward: bool) -> Result<(), FieldError> {
        let done = self.pen.top().shift(list, name, forward);
        done.ok_or_else(|| no_row(list, name))
    }

    /// What is wanted of photos, `facing` or `stays`: pairs of names. What is no pair is written as it is
    /// typed, for the reader to refuse.
    ///
    /// # Errors
    /// If the text has another thing of that name.
    pub fn pair(&mut self, key: &str, pairs: &[Vec<&str>]) -> Result<(), FieldError> {
        let mut row = self.pen.at(&["photos"]).ok_or(FieldError::NoField)?;
        match paired(key, pairs) {
            Some(pairs) => row.put(key, pairs),
            None => row.remove(key),
        }
        Ok(())
    }

    /// Keeps those lines of the list of wishes that `keep` says.
    pub fn keep_wishes(&mut self, keep: impl Fn(&str) -> bool) {
        self.pen.retain("prefer", keep);
    }

    /// Keeps those acceptances that `keep` says, by their rule and what it speaks of, empty for all.
    pub fn keep_accepted(&mut self, keep: impl Fn(&str, &str) -> bool) {
        self.pen.retain_rows("accept", |row| {
            let text = |key| row.get(key).and_then(|it| it.as_str()).unwrap_or("");
            keep(text("rule"), text("of"))
        });
    }

    /// A new row at the end of a list, with what it cannot be without; tells its name.
    ///
    /// `like` names a row that it begins as a copy of.
    ///
    /// # Errors
    /// If there is no such list, or no such row to copy.
    pub fn add(
        &mut self,
        table: &[&str],
        list: &str,
        like: Option<&str>,
        said: &[(&str, &str)],
    ) -> Result<String, FieldError> {
        if !is_list(table, list) {
            return Err(FieldError::NoField);
        }
        let keys: Vec<&str> = kinds(table).into_iter().chain([list]).collect();
        let shape = shapes::of(&keys).ok_or(FieldError::NoField)?;
        let mut row = match like {
            Some(like) => {
                let all = [&self.pen].into_iter().chain(&self.others);
                let copy = all.into_iter().find_map(|pen| pen.copy(list, like));
                copy.ok_or_else(|| no_row(list, like))?
            }
            None => row_of(&[]),
        };
        let base = like.map_or_else(|| list.to_owned(), |like| numberless(like).to_owned());
        let base = match list {
            // A word that rules use for something else.
            "insert" => "piece".to_owned(),
            _ => base,
        };
        let joint = if list == "insert" { "_" } else { " " };
        let free = |name: &String| {
            let words: Vec<&str> = table.iter().copied().chain([list, name.as_str()]).collect();
            !self.pen.has(&words) && !self.others.iter().any(|pen| pen.has(&words))
        };
        // Leaves alike are numbered: a number behind a leaf's name is one of these.
        let letters = ('b'..='z').filter(|_| list == "leaf");
        let letters = letters.map(|letter| format!("{base} {letter}"));
        let names = letters.chain((2..).map(|n| format!("{base}{joint}{n}")));
        let mut names = std::iter::once(base.clone()).chain(names);
        let name = names.find(free).unwrap_or(base);
        let mut new = match shape.has("name") {
            true => row_of(&[("name", &name)]),
            false => row_of(&[]),
        };
        let required = shape.required.iter().filter(|key| **key != "name");
        for key in required {
            let given = said.iter().find(|(name, _)| name == key);
            let text = given.map(|(_, text)| (*text).to_owned()).or_else(|| {
                let example = shape.example(key).and_then(unquoted)?;
                Some(usual(example, self.ruler))
            });
            if let (Some(text), false) = (text, row.contains_key(key)) {
                new.insert(key, value(text));
            }
        }
        for (key, text) in said {
            if !new.contains_key(key) && !text.is_empty() {
                new.insert(key, value(*text));
            }
        }
        row.remove("name");
        for (key, item) in row {
            if !new.contains_key(&key) {
                new.insert(&key, item);
            }
        }
        let mut at = self.pen.at(table).ok_or(FieldError::NoField)?;
        at.push(list, new).ok_or(FieldError::NoField)?;
        Ok(name)
    }

    /// The way to a table in the album's own text. A bag of its supplies is copied into it first, as other
    /// albums read theirs.
    fn own(&mut self, table: &[&str]) -> Result<Vec<String>, FieldError> {
        let mut own: Vec<String> = table.iter().map(|word| (*word).to_owned()).collect();
        match table {
            [] => {}
            [list, name, rest @ ..] if LISTS.contains(list) => {
                if !self.pen.has(&[list, name]) {
                    if !self.others.iter().any(|pen| pen.has(&[list, name])) {
                        return Err(no_row(list, name));
                    }
                    let copy = self.copied(list, name)?;
                    own[1] = copy;
                }
                if let (["leaf", _, "insert", insert, ..], true) = (table, !rest.is_empty())
                    && !self.pen.has(&table[..4])
                {
                    return Err(no_row("insert", insert));
                }
            }
            [one, ..] if TABLES.contains(one) => {}
            _ => return Err(FieldError::NoField),
        }
        Ok(own)
    }

    /// A copy of a row of the supplies by a name of its own, used from here on.
    fn copied(&mut self, list: &str, name: &str) -> Result<String, FieldError> {
        let mut copies = self.others.iter().map(|pen| pen.copy(list, name));
        let mut copy = copies.find_map(|it| it).ok_or_else(|| no_row(list, name))?;
        let other = format!("{name}, changed");
        // It was copied before, for the measure that was typed before this one.
        if self.pen.has(&[list, &other]) {
            return Ok(other);
        }
        super::edit::put_in(&mut copy, "name", &other);
        self.pen.push(list, copy).ok_or(FieldError::NoField)?;
        self.pen.renamed(list, name, &other);
        Ok(other)
    }

    /// What is tucked in: a photo, a card of the supplies (`card:NAME`), or else a piece to cut.
    fn kind(&mut self, table: &[&str], typed: &str) -> Result<(), FieldError> {
        let mut row = self.pen.at(table).ok_or(FieldError::NoField)?;
        match typed.split_once(':') {
            Some(("card", name)) => {
                for key in ["photo", "size", "width", "height"] {
                    row.remove(key);
                }
                row.put("card", name);
            }
            _ if typed == "photo" => {
                row.remove("card");
                if !row.has("photo") {
                    row.put("photo", true);
                }
            }
            _ => ["card", "photo"].iter().for_each(|key| row.remove(key)),
        }
        Ok(())
    }

    fn rename(&mut self, table: &[&str], new: &str) -> Result<(), FieldError> {
        let [above @ .., list, old] = table else {
            return Err(FieldError::NoField);
        };
        // A rule names what is tucked in by one word.
        let word = one_word(new);
        let new = if *list == "insert" { &word } else { new };
        if new.is_empty() {
            return Err(FieldError::Needed);
        }
        if new == *old {
            return Ok(());
        }
        let taken: Vec<&str> = above.iter().copied().chain([*list, new]).collect();
        if self.pen.has(&taken) || self.others.iter().any(|pen| pen.has(&taken)) {
            return Err(FieldError::Taken {
                what: (*list).to_owned(),
                name: new.to_owned(),
            });
        }
        let mut row = self.pen.at(table).ok_or(FieldError::NoField)?;
        row.put("name", new);
        match above {
            ["leaf", leaf] => self.pen.renamed_insert(leaf, old, new),
            _ => self.pen.renamed(list, old, new),
        }
        Ok(())
    }
}

/// Lines end as they did.
pub fn same_ends(before: &str, after: String) -> String {
    match before.contains("\r\n") {
        true => after.replace("\r\n", "\n").replace('\n', "\r\n"),
        false => after,
    }
}

fn no_row(what: &str, name: &str) -> FieldError {
    FieldError::NoRow {
        what: what.to_owned(),
        name: name.to_owned(),
    }
}

/// Whether rows of this list in a table may be added, and taken out.
fn is_list(table: &[&str], list: &str) -> bool {
    match kinds(table)[..] {
        [] => LISTS.contains(&list),
        ["leaf"] => list == "insert",
        ["photos"] => list == "photo",
        _ => false,
    }
}

/// The kinds of table that these words lead through, without the names of rows.
fn kinds<'w>(table: &[&'w str]) -> Vec<&'w str> {
    let mut kinds = Vec::new();
    let mut words = table.iter();
    while let Some(word) = words.next() {
        kinds.push(*word);
        let is_row = LISTS.contains(word) && kinds.len() == 1
            || matches!(*word, "insert" | "designs")
            || kinds == ["photos", "photo"];
        if is_row {
            words.next();
        }
    }
    kinds
}
