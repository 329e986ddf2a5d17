//! What holds each size: every reason once, numbered, so that a table needs only the number.

use super::words::{capital, wrapped};
use crate::length::Ruler;
use crate::plan::{Reason, SizePlan};

/// Reasons in the order in which the tables name them.
#[derive(Debug, Default)]
pub(super) struct Notes {
    reasons: Vec<Reason>,
}

impl Notes {
    /// The cell of a size: numbers of notes, or the one word that needs no note.
    pub fn cell(&mut self, size: &SizePlan) -> String {
        let marks: Vec<String> = size.held_by.iter().map(|reason| self.mark(reason)).collect();
        match marks.is_empty() {
            true => "-".to_owned(),
            false => marks.join(" "),
        }
    }

    fn mark(&mut self, reason: &Reason) -> String {
        match reason {
            Reason::Given => return "given".to_owned(),
            Reason::Measured => return "measured".to_owned(),
            Reason::Unknown => return "open".to_owned(),
            _ => {}
        }
        let known = self.reasons.iter().position(|r| r == reason);
        let place = known.unwrap_or_else(|| {
            self.reasons.push(reason.clone());
            self.reasons.len() - 1
        });
        (place + 1).to_string()
    }

    /// All notes, each with its number; with `sources` also where a rule comes from.
    pub fn text(&self, ruler: Ruler, sources: bool) -> String {
        let mut text = String::new();
        for (n, reason) in self.reasons.iter().enumerate() {
            let said = match reason {
                Reason::Rule { name, because, source } => {
                    let source = if sources { format!(" [{source}]") } else { String::new() };
                    format!("{}: {because}.{source}", capital(name))
                }
                Reason::Preference(title) => format!("Settled before it: {title}."),
                Reason::Limit(length) => format!("Its own limit: {}.", ruler.show(*length)),
                Reason::Given | Reason::Measured | Reason::Unknown => continue,
            };
            text.push_str(&wrapped(&said, &format!("  {:>2}  ", n + 1), "      "));
        }
        text
    }
}
