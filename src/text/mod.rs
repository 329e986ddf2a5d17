//! Files that a maker writes, as text with places: where a word stands, and what is wrong with it.
//!
//! Everything that is read from a file keeps its [`Place`], so that an error, and later an
//! explanation, can point at the line. May import `length` only.
//!
//! A file is read into a tree of values with places ([`Item`]), not into serde structs: serde stops
//! at the first value that it cannot take, and a maker should see everything that is wrong at once.
//! `scan` finds slips that would upset all behind them, `tree` makes the tree, [`Table`] asks it for
//! values, [`TextError`] says what is wrong with a file of any kind, and [`render`] shows it. `lines` breaks
//! sentences into lines, there and in reports; `alike` puts together what is alike.

use std::cell::RefCell;
use std::collections::BTreeSet;

mod alike;
mod cells;
mod fault;
mod lines;
mod measure;
mod near;
mod render;
mod scan;
mod syntax;
mod table;
mod tree;
mod unseen;

pub use alike::{grouped, summed};
pub use cells::says_nothing;
pub(crate) use cells::{Rows, separator, split_cells};
pub use fault::{Kind, TextError, a, either, listed, wrong};
pub(crate) use lines::{bound, capital, columns, wrapped};
pub use measure::Limits;
pub(crate) use measure::{legible, length_of, over, within};
pub use near::{ask, asked, meant, nearest};
pub use render::{Look, render, told};
pub use table::{Shape, Table};
pub(crate) use table::{money, names_of};
pub use tree::{Entry, Item, MOST_BYTES, Node, decode, read};
pub use unseen::seen;

/// A run of bytes in one of the files that were read. Ordered by file, then by position.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Place {
    /// Place of the file in [`Files`].
    pub file: u32,
    pub start: u32,
    pub end: u32,
}

impl Place {
    /// The bytes from `start` up to `end` of a file.
    pub fn new(file: u32, start: usize, end: usize) -> Place {
        let narrow = |at: usize| u32::try_from(at).unwrap_or(u32::MAX);
        Place {
            file,
            start: narrow(start),
            end: narrow(end.max(start)),
        }
    }

    /// Number of bytes.
    pub fn len(self) -> usize {
        self.end.saturating_sub(self.start) as usize
    }

    /// Marks a point between two bytes.
    pub fn is_empty(self) -> bool {
        self.len() == 0
    }

    /// Both lie in the same file and share a byte, or one is a point that touches the other.
    pub fn touches(self, other: Place) -> bool {
        let (early, late) = if self.start <= other.start {
            (self, other)
        } else {
            (other, self)
        };
        self.file == other.file
            && (late.start < early.end
                || late.start == early.start
                || (late.is_empty() && late.start == early.end))
    }
}

/// A value and where it was said.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Said<T> {
    pub value: T,
    pub place: Place,
}

impl<T> Said<T> {
    /// What stands in no file.
    pub fn nowhere(value: T) -> Said<T> {
        let place = Place::default();
        Said { value, place }
    }

    /// The same place with another value.
    pub fn with<U>(&self, value: U) -> Said<U> {
        Said {
            value,
            place: self.place,
        }
    }
}

impl Said<String> {
    /// Where some bytes of the value stand in the file.
    ///
    /// The place of a text without escapes is what stands between its quotes, so it is as long as
    /// its value; every escape is longer than what it stands for, so then the whole text is marked.
    pub fn part(&self, bytes: std::ops::Range<usize>) -> Place {
        if self.place.len() != self.value.len() || bytes.end > self.value.len() {
            return self.place;
        }
        let start = self.place.start as usize;
        Place::new(self.place.file, start + bytes.start, start + bytes.end)
    }
}

/// The files that were read, by the names under which the maker knows them.
#[derive(Clone, Debug, Default)]
pub struct Files {
    files: Vec<File>,
}

#[derive(Clone, Debug)]
struct File {
    name: String,
    text: String,
    /// Lines before its text that are not kept.
    before: usize,
    /// It is what was typed behind an option.
    typed: bool,
}

impl Files {
    /// Adds a file and tells its number.
    pub fn add(&mut self, name: impl Into<String>, text: impl Into<String>) -> u32 {
        self.add_from_line(name, text, 1)
    }

    /// Adds a part of a file of which no more is kept, that begins with this line, counted from 1.
    pub fn add_from_line(
        &mut self,
        name: impl Into<String>,
        text: impl Into<String>,
        line: usize,
    ) -> u32 {
        self.push(name.into(), text.into(), line.saturating_sub(1), false)
    }

    /// Adds what was typed behind an option, under the option's name.
    pub fn add_typed(&mut self, option: impl Into<String>, text: impl Into<String>) -> u32 {
        self.push(option.into(), text.into(), 0, true)
    }

    fn push(&mut self, name: String, text: String, before: usize, typed: bool) -> u32 {
        self.files.push(File {
            name,
            text,
            before,
            typed,
        });
        u32::try_from(self.files.len() - 1).unwrap_or(u32::MAX)
    }

    /// The number that the next file gets.
    pub fn next(&self) -> u32 {
        u32::try_from(self.files.len()).unwrap_or(u32::MAX)
    }

    /// The name of a file.
    pub fn name(&self, file: u32) -> &str {
        self.files.get(file as usize).map_or("", |f| &f.name)
    }

    /// The text of a file.
    pub fn text(&self, file: u32) -> &str {
        self.files.get(file as usize).map_or("", |f| &f.text)
    }

    /// The texts of all files but this one.
    pub fn others(&self, file: u32) -> Vec<&str> {
        let others = (0..self.next()).filter(|other| *other != file);
        others.map(|other| self.text(other)).collect()
    }

    /// The line of a place, counted from 1.
    pub fn line(&self, place: Place) -> usize {
        let text = self.text(place.file);
        let end = (place.start as usize).min(text.len());
        let lines = text.as_bytes()[..end].iter().filter(|b| **b == b'\n');
        1 + self.before(place.file) + lines.count()
    }

    /// Whether it is what was typed behind an option.
    pub(crate) fn is_typed(&self, file: u32) -> bool {
        self.files.get(file as usize).is_some_and(|f| f.typed)
    }

    /// Lines of a file that stand before what is kept of it.
    fn before(&self, file: u32) -> usize {
        self.files.get(file as usize).map_or(0, |f| f.before)
    }
}

/// Something wrong in a file: a room's typed error with its place and its remedy. Its words begin
/// with a small letter and have no stop at their end: [`render`] makes sentences of them.
pub trait Fault: std::fmt::Display + std::fmt::Debug + Send + Sync {
    /// Where it stands.
    fn place(&self) -> Place;
    /// What to type instead.
    fn help(&self) -> Option<String>;
    /// Other places that belong to it, each with the words that "in line 3" follows.
    fn also(&self) -> Vec<(Place, String)> {
        Vec::new()
    }
    /// It is about the whole file, so no line is shown.
    fn of_file(&self) -> bool {
        false
    }
}

/// A room's typed error without its place: what is wrong, and what mends it.
pub trait Problem: std::error::Error + Send + Sync + Sized {
    /// What to type instead.
    fn help(&self) -> Option<String>;

    /// Other places that belong to it, each with the words that "in line 3" follows.
    fn also(&self) -> Vec<(Place, String)> {
        Vec::new()
    }

    /// It is about the whole file, if it stands at this place.
    fn of_file(&self, _: Place) -> bool {
        false
    }

    fn at(self, place: Place) -> At<Self> {
        At { place, what: self }
    }
}

/// A problem and where it stands.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{what}")]
pub struct At<P> {
    pub place: Place,
    pub what: P,
}

impl<P: Problem> Fault for At<P> {
    fn place(&self) -> Place {
        self.place
    }

    fn help(&self) -> Option<String> {
        self.what.help()
    }

    fn also(&self) -> Vec<(Place, String)> {
        self.what.also()
    }

    fn of_file(&self) -> bool {
        self.what.of_file(self.place)
    }
}

/// Everything that was found wrong.
pub type Faults = Vec<Box<dyn Fault>>;

/// What is found wrong while a text is read; whoever reads a part of it adds to it.
#[derive(Debug, Default)]
pub struct Finds(RefCell<Faults>);

impl Finds {
    pub fn is_empty(&self) -> bool {
        self.0.borrow().is_empty()
    }

    pub fn len(&self) -> usize {
        self.0.borrow().len()
    }

    /// Whether something of this kind was found.
    pub fn any(&self, of: impl Fn(&dyn Fault) -> bool) -> bool {
        self.0.borrow().iter().any(|fault| of(&**fault))
    }

    /// Where something is wrong.
    pub fn places(&self) -> BTreeSet<Place> {
        self.0.borrow().iter().map(|fault| fault.place()).collect()
    }

    /// Adds what is wrong at a place.
    pub fn tell(&self, place: Place, what: impl Problem + 'static) {
        self.add(what.at(place));
    }

    pub fn add(&self, fault: impl Fault + 'static) {
        self.0.borrow_mut().push(Box::new(fault));
    }

    pub fn extend(&self, more: impl IntoIterator<Item = Box<dyn Fault>>) {
        self.0.borrow_mut().extend(more);
    }

    /// All of it.
    pub fn all(self) -> Faults {
        self.0.into_inner()
    }

    /// What was read; or all that is wrong, if anything is.
    ///
    /// # Errors
    /// All that is wrong.
    pub fn or<T>(self, read: Option<T>) -> Result<T, Faults> {
        match read {
            Some(read) if self.is_empty() => Ok(read),
            _ => Err(self.all()),
        }
    }
}
