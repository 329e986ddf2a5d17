//! What the page shows: facts, borrowed from whoever keeps the album. `view` makes HTML of them.
//!
//! May import every room before this one.

use crate::album::Album;
use crate::compare::Comparison;
use crate::cut;
use crate::explain::watch::Remedy;
use crate::explain::{Explanation, Growth, Hand};
use crate::plan::clash::Clash;
use crate::plan::{Plan, Stopped};
use crate::report::From;
use crate::report::handout::Section;
use crate::shop::short::Short;
use crate::style::Style;
use crate::text::{Files, Place};
use std::sync::Arc;

/// Everything that the page shows.
#[derive(Clone, Copy, Debug)]
pub struct Sight<'a> {
    /// What the album's file is called; `None` if it was never saved.
    pub file: Option<&'a str>,
    /// The album's text as it stands.
    pub text: &'a str,
    /// The text is as it stands in its file.
    pub saved: bool,
    /// The text as it was last read without a fault; `None` if it never was.
    pub read: Option<Read<'a>>,
    pub now: Now<'a>,
    /// The last plan that fitted: that of [`Now::Fits`], where it fits.
    pub last: Option<&'a Plan>,
    pub look: &'a Look,
    /// What the next undo takes back, in words: `tag 5 1/2 in high`.
    pub undo: Option<&'a str>,
    pub redo: Option<&'a str>,
    /// What has to be said of files: a draft, a change from outside, another tab.
    pub notices: &'a [Notice],
    pub sheets: Sheets<'a>,
    pub asked: &'a Asked,
    /// The bag that is tried: nothing is written until it is kept.
    pub trying: Option<&'a str>,
    /// The plan before the last change; while a bag is tried, that in the bag before.
    pub was: Option<&'a Plan>,
    /// Albums to be made: copies of this one.
    pub albums: i64,
}

/// An album that was read, with all that its words need.
#[derive(Debug)]
pub struct Reading {
    pub files: Files,
    /// The album's own file among them: what stands elsewhere belongs to its supplies.
    pub own: u32,
    pub album: Album,
    pub style: Arc<Style>,
    /// Papers that a leaf of this kind may have and this album does not ask for: their names, and what they
    /// are called.
    pub rare: Arc<Vec<(String, String)>>,
}

/// The same, borrowed.
pub type Read<'a> = &'a Reading;

/// What became of the text as it stands.
#[derive(Clone, Copy, Debug)]
pub enum Now<'a> {
    /// There is no leaf yet: a first bag is measured.
    Empty(&'a Begun),
    /// It cannot be read, or it says what its style does not know.
    Wrong(&'a [Slip]),
    Fits {
        plan: &'a Plan,
        /// What would keep wishes that are not kept; empty while it is looked for.
        remedies: &'a [Remedy],
    },
    /// It does not fit. The fixes may come later than the clash.
    Clash {
        clash: &'a Clash,
        why: Option<&'a Explanation>,
    },
    Undecided(Stopped),
    /// A defect of this program: it refused its own answer.
    Refused,
}

/// The measures of a first bag, as they are typed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Begun {
    pub width: String,
    pub height: String,
    pub gusset: String,
    /// The step of the maker's ruler: `1/8 in`, `1 mm`.
    pub ruler: String,
}

/// Something wrong in the text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Slip {
    /// The file; empty for the album's own text.
    pub file: String,
    /// Counted from 1; 0 if it is about the whole file.
    pub line: usize,
    /// What is wrong, as a sentence.
    pub said: String,
    /// What to type instead.
    pub help: Option<String>,
    /// A text that can be put in the place of the wrong one, and the box that it is for.
    pub instead: Option<(String, String)>,
}

/// What is looked at.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Look {
    /// Place in [`Album::leaves`].
    pub leaf: usize,
    pub view: View,
    pub side: Side,
    /// A piece, or one size of it, as the plan names it: `tag`, `tag.height`, `mat.photo.width`. Empty
    /// if none is chosen.
    pub piece: String,
}

/// What the middle of the page shows.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum View {
    #[default]
    Leaf,
    Album,
    Sheets,
    Template,
}

/// From where a leaf is seen.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Side {
    #[default]
    Front,
    Back,
    Both,
    /// Cut open, from the edge.
    Open,
}

/// Something that has to be said, and what can be done about it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Notice {
    /// By which the answer names it.
    pub id: String,
    pub said: String,
    /// What each button says, in order.
    pub ways: Vec<String>,
}

/// How far the count of sheets is.
#[derive(Clone, Copy, Debug)]
pub enum Sheets<'a> {
    /// It begins soon; what was counted of the text before.
    Soon(Option<cut::Answer<'a>>),
    /// So many papers are done of all; the best plan so far, and how many sheets it needs at least.
    Counting { best: Option<u64>, least: u64 },
    /// And, where the sheets are not enough, for how many albums they are; then all that is needed and not there.
    Counted(cut::Answer<'a>, Option<u64>, &'a [Short]),
    /// What cannot be cut, as sentences.
    Wrong(&'a [String]),
}

/// A question and its answer.
#[derive(Clone, Debug, Default)]
pub enum Asked {
    #[default]
    Nothing,
    /// It is worked out.
    Working(String),
    /// What would make a size larger.
    Grow(Arc<Growth>),
    /// Nothing can be said of that size, and why.
    NoGrowth(String),
    Card(Arc<Hand>),
    /// It cannot be asked so.
    NoCard(String),
    Bags(Arc<Comparison>),
    /// What a report says of what was asked.
    Told(String, Arc<Vec<Section>>),
}

impl<'a> Sight<'a> {
    /// The name of the album.
    pub fn title(&self) -> &'a str {
        self.read.map_or("", |read| &read.album.title)
    }

    /// What reports need.
    pub fn from(&self) -> Option<From<'a>> {
        Some(self.read?.from(false))
    }

    /// The plan that is drawn, and whether it is of the text as it stands.
    pub fn drawn(&self) -> Option<(&'a Plan, bool)> {
        match self.now {
            Now::Fits { plan, .. } => Some((plan, true)),
            _ => self.last.map(|plan| (plan, false)),
        }
    }
}

impl Reading {
    /// What reports need; `file`: they may speak of the album's file.
    pub fn from(&self, file: bool) -> From<'_> {
        From {
            title: &self.album.title,
            ruler: self.album.ruler,
            bag: false,
            without_pocket: false,
            file,
            leaves: self.album.leaves.len(),
            style: &self.style,
            files: &self.files,
        }
    }

    /// Where something stands that is not in the album's own file: in a file of supplies.
    pub fn elsewhere(&self, place: Place) -> Option<&str> {
        (place.file != self.own).then(|| self.files.name(place.file))
    }
}

/// Paths into an album's text, as boxes name them: `leaf.shore.count`.
pub mod field {
    /// Words joined to a path; a dot inside a word is kept apart from those between words.
    pub fn join(words: &[&str]) -> String {
        let word = |word: &&str| word.replace('%', "%25").replace('.', "%2E");
        words.iter().map(word).collect::<Vec<_>>().join(".")
    }

    /// The words of a path.
    pub fn split(path: &str) -> Vec<String> {
        let word = |word: &str| word.replace("%2E", ".").replace("%25", "%");
        path.split('.').map(word).collect()
    }

    #[cfg(test)]
    mod tests {
        use super::*;

        #[test]
        fn a_path_is_read_back() {
            for words in [
                &["leaf", "shore", "count"][..],
                &["bag", "No. 5, 10 %", "width"],
                &["a%2Eb", "", "%"],
            ] {
                assert_eq!(split(&join(words)), words);
            }
            assert_eq!(join(&["bag", "No. 5", "width"]), "bag.No%2E 5.width");
        }
    }
}
