//! What holds each size: every reason once, numbered, so that a table needs only the number.

use super::phrase::{plainly, screen};
use super::words::{capital, numbered};
use crate::length::Ruler;
use crate::plan::{Reason, SizePlan};
use crate::style::expr::Relation;

/// How much is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Detail {
    /// What is needed first.
    First,
    All,
}

/// Reasons in the order in which the tables name them, as they are told.
#[derive(Debug)]
pub(super) struct Notes {
    ruler: Ruler,
    detail: Detail,
    said: Vec<String>,
}

impl Notes {
    pub fn new(ruler: Ruler, detail: Detail) -> Notes {
        Notes {
            ruler,
            detail,
            said: Vec::new(),
        }
    }

    /// The cell of a size: numbers of notes, or the one word that needs no note.
    pub fn cell(&mut self, size: &SizePlan) -> String {
        let marks: Vec<String> = size
            .held_by
            .iter()
            .map(|reason| self.mark(reason))
            .collect();
        match marks.is_empty() {
            true => "-".to_owned(),
            false => marks.join(" "),
        }
    }

    fn mark(&mut self, reason: &Reason) -> String {
        let said = match reason {
            Reason::Given => return "given".to_owned(),
            Reason::Measured => return "measured".to_owned(),
            Reason::Unknown => return "open".to_owned(),
            Reason::Preference(title) => format!("Limited by an earlier wish: {title}."),
            Reason::Limit(length) => format!("Its own limit: {}.", self.ruler.show(*length)),
            Reason::Rule {
                name,
                sides,
                because,
                source,
            } => match (self.detail, sides) {
                (Detail::First, Some(sides)) => {
                    let relation = match sides.relation {
                        Relation::AtMost => "at most ",
                        Relation::AtLeast => "at least ",
                        Relation::Equal => "just ",
                    };
                    format!(
                        "{}: {}, {relation}{}.",
                        capital(name),
                        screen(self.ruler, &sides.left),
                        screen(self.ruler, &sides.right)
                    )
                }
                (Detail::First, None) => {
                    format!("{}: {}.", capital(name), plainly(self.ruler, because))
                }
                (Detail::All, _) => format!(
                    "{}: {}. [{source}]",
                    capital(name),
                    plainly(self.ruler, because)
                ),
            },
        };
        // What reads the same stands there once, whichever thing it is of: the table names the thing.
        let known = self.said.iter().position(|before| *before == said);
        let place = known.unwrap_or_else(|| {
            self.said.push(said);
            self.said.len() - 1
        });
        (place + 1).to_string()
    }

    /// All notes, each with its number.
    pub fn text(&self) -> String {
        numbered(&self.said)
    }
}
