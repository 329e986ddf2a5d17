//! Files that a maker writes, as text with places: where a word stands, and what is wrong with it.
//!
//! Everything that is read from a file keeps its [`Place`], so that an error, and later an
//! explanation, can point at the line. May import `length` only.

/// A run of bytes in one of the files that were read. Ordered by file, then by position.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Place {
    /// Place of the file in [`Files`].
    pub file: u32,
    pub start: u32,
    pub end: u32,
}

/// A value and where it was said.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Said<T> {
    pub value: T,
    pub place: Place,
}

/// The files that were read, by the names under which the maker knows them.
#[derive(Clone, Debug, Default)]
pub struct Files {
    files: Vec<(String, String)>,
}

impl Files {
    /// Adds a file and tells its number.
    pub fn add(&mut self, name: impl Into<String>, text: impl Into<String>) -> u32 {
        self.files.push((name.into(), text.into()));
        (self.files.len() - 1) as u32
    }

    /// The name of a file.
    pub fn name(&self, file: u32) -> &str {
        self.files.get(file as usize).map_or("", |f| &f.0)
    }

    /// The text of a file.
    pub fn text(&self, file: u32) -> &str {
        self.files.get(file as usize).map_or("", |f| &f.1)
    }

    /// The line of a place, counted from 1.
    pub fn line(&self, place: Place) -> usize {
        let text = self.text(place.file);
        let end = (place.start as usize).min(text.len());
        1 + text.as_bytes()[..end].iter().filter(|b| **b == b'\n').count()
    }
}

/// Something wrong in a file: a stage's typed error with its place, its mark and its remedy.
pub trait Fault: std::fmt::Display {
    /// Where it stands.
    fn place(&self) -> Place;
    /// A few words at the marked place.
    fn label(&self) -> String;
    /// What to type instead.
    fn help(&self) -> Option<String>;
}
