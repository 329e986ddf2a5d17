//! What is known of the album that is worked on, what each tab looks at, and what the bench found.

use super::ask::Asked;
use super::bench::{Counted, Found};
use super::change::{Begun, Done};
use super::desk::Draft;
use super::history::{History, Visit};
use super::read::{Facts, Reading};
use super::sight::{Look, Notice, Slip};
use crate::explain::Explanation;
use crate::explain::watch::Remedy;
use crate::plan::work::Outcome;
use std::collections::BTreeMap;
use std::sync::Arc;

/// The notice that offers to leave out what another kind of album has no place for.
pub(super) const KIND: &str = "kind";

/// Tabs whose view is remembered; the one that asked longest ago is forgotten.
const MOST_TABS: usize = 64;

/// What is known of the sheets of the text as it stands.
#[derive(Clone, Debug)]
pub enum Sheets {
    Counting { best: Option<u64>, least: u64 },
    Counted(Arc<Counted>),
    Wrong(Arc<Vec<String>>),
}

/// A bag that is looked at: it is kept, or the text before it comes back.
#[derive(Clone, Debug)]
pub struct Trying {
    pub bag: String,
    pub(super) before: String,
    /// The sizes of the text before, if it fitted.
    pub was: Option<Arc<Facts>>,
}

/// The text before the box was visited that is typed into.
#[derive(Clone, Debug)]
pub(super) struct Visited {
    pub(super) visit: Visit,
    pub(super) reading: Arc<Reading>,
    pub(super) text: String,
    /// What fitted then.
    pub(super) last: Option<Arc<Facts>>,
}

/// What one tab of a browser looks at, and what it was sent.
#[derive(Clone, Debug, Default)]
pub struct Tab {
    /// The last of its questions that was answered.
    pub seq: u64,
    pub look: Look,
    pub width: u32,
    /// Each part as it was sent.
    pub sent: BTreeMap<&'static str, String>,
    pub verdict: String,
    /// The stamp of its last answer.
    pub seen: u64,
    /// Questions that are not answered yet.
    pub asking: u32,
    /// When it asked last, counted in questions.
    heard: u64,
}

/// All that changes.
#[derive(Default)]
pub struct State {
    /// Counts texts: every change makes a new one.
    pub version: u64,
    /// Counts everything that a page shows.
    pub stamp: u64,
    pub history: History,
    pub begun: Begun,
    /// What is wrong with the text as it stands.
    pub slips: Vec<Slip>,
    /// The text as it was last read.
    pub reading: Option<Arc<Reading>>,
    /// The newest text that was worked out.
    pub facts: Option<Arc<Facts>>,
    /// The newest that fitted.
    pub last: Option<Arc<Facts>>,
    /// What fitted before the last change.
    pub before: Option<Arc<Facts>>,
    pub why: Option<(u64, Arc<Explanation>)>,
    pub remedies: Option<(u64, Arc<Vec<Remedy>>)>,
    pub sheets: Option<(u64, Sheets)>,
    /// The bench could not work this version out.
    pub broken: Option<(u64, Vec<Slip>)>,
    pub asked: Asked,
    pub notices: Vec<Notice>,
    /// The text of the file as it was read or written last; `None` if there is none.
    pub base: Option<String>,
    /// What was in the file when it changed underneath.
    pub theirs: Option<String>,
    /// What earlier runs left unsaved, as it is offered: a notice each, counted from the first.
    pub drafts: Vec<Option<Draft>>,
    pub trying: Option<Trying>,
    /// The album of another kind without what that has no place for, as it is offered.
    pub(super) without: Option<Done>,
    pub(super) visited: Option<Visited>,
    /// For how many albums the sheets are counted.
    pub albums: u64,
    pub tabs: BTreeMap<String, Tab>,
    heard: u64,
}

impl State {
    /// That of a text which was not read yet; `base` is the file's, `ruler` that of an album that is begun.
    pub(super) fn new(text: String, ruler: &str, base: Option<String>) -> State {
        State {
            history: History::new(text),
            begun: Begun::new(ruler),
            base,
            albums: 1,
            ..State::default()
        }
    }

    pub fn text(&self) -> &str {
        self.history.text()
    }

    /// What was there before this visit, if it changed something last.
    pub(super) fn begun_in(&self, visit: Option<&Visit>) -> Option<&Visited> {
        let begun = self.visited.as_ref();
        let begun = begun.filter(|it| Some(&it.visit) == visit);
        begun.filter(|it| self.history.is_at(&it.visit))
    }

    pub fn saved(&self) -> bool {
        match &self.base {
            Some(base) => base == self.text(),
            None => self.text().trim().is_empty(),
        }
    }

    /// The tab of this name; a new one begins with nothing sent.
    pub fn tab(&mut self, name: &str) -> &mut Tab {
        self.heard += 1;
        if !self.tabs.contains_key(name) && self.tabs.len() >= MOST_TABS {
            let oldest = self.tabs.iter().min_by_key(|(_, tab)| tab.heard);
            if let Some(oldest) = oldest.map(|(name, _)| name.clone()) {
                self.tabs.remove(&oldest);
            }
        }
        let tab = self.tabs.entry(name.to_owned()).or_default();
        tab.heard = self.heard;
        tab
    }

    pub(super) fn no_notice(&mut self, id: &str) {
        self.notices.retain(|notice| notice.id != id);
    }

    pub(super) fn notice(&mut self, id: &str, said: String, ways: &[&str]) {
        self.no_notice(id);
        self.notices.push(Notice {
            id: id.to_owned(),
            said,
            ways: ways.iter().map(|way| (*way).to_owned()).collect(),
        });
    }
}

/// Takes up what the bench found; whether anything else is to be seen.
pub(super) fn take(state: &mut State, found: Found) -> bool {
    let now = state.version;
    match found {
        Found::Worked(facts) if facts.version == now => {
            if let Outcome::Fits(_) = facts.worked.outcome {
                state.last = Some(Arc::clone(&facts));
            }
            state.facts = Some(facts);
        }
        Found::Wrong(of, slips) if of == now => state.broken = Some((of, slips)),
        Found::Why(of, why) if of == now => state.why = Some((of, Arc::new(why))),
        Found::Remedies(of, found) if of == now => state.remedies = Some((of, Arc::new(found))),
        Found::Counting {
            version,
            best,
            least,
        } if version == now => {
            state.sheets = Some((version, Sheets::Counting { best, least }));
        }
        Found::Counted(of, counted) if of == now => {
            state.sheets = Some((of, Sheets::Counted(counted)));
        }
        Found::Uncut(of, why) if of == now => {
            state.sheets = Some((of, Sheets::Wrong(Arc::new(why))));
        }
        Found::Answered(of, asked) if of == now && matches!(state.asked, Asked::Working(_)) => {
            state.asked = asked;
        }
        Found::Broken(of) if of == now => state.broken = Some((of, Vec::new())),
        _ => return false,
    }
    true
}
