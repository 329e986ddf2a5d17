//! What is kept of the album that is worked on: drafts of what is not saved yet, the file as it is saved,
//! and what becomes of both where the file changed underneath.

use super::change;
use super::desk::{Draft, Keep, SaveError};
use super::read::{Refusal, sentence};
use super::room::{Must, Room};
use super::state::{KIND, State};
use crate::text::seen;

/// The id of the notice that offers a draft.
const DRAFT: &str = "draft";

impl Room {
    /// Offers what earlier runs left unsaved.
    pub(super) fn offer_drafts(&self, state: &mut State, drafts: Vec<Draft>) {
        for (n, draft) in drafts.into_iter().enumerate() {
            let said = match &draft.name {
                Some(_) => format!("An album was begun and never saved: {}.", about(&draft.text)),
                None if draft.base == state.base => {
                    "There is work from last time that was not saved.".to_owned()
                }
                None => "There is work from last time that was not saved; the file was changed since then."
                    .to_owned(),
            };
            state.notice(&format!("{DRAFT}{n}"), said, &["Take it", "Throw it away"]);
            state.drafts.push(Some(draft));
        }
    }

    /// Has the draft follow the text.
    pub(super) fn draft(&self, state: &mut State) {
        // What is only looked at is not kept.
        if state.offers_own_draft() || state.trying.is_some() {
            return;
        }
        let keep = match state.saved() {
            true => Keep::Nothing,
            false => Keep::Draft(Draft {
                name: None,
                text: state.text().to_owned(),
                base: state.base.clone(),
            }),
        };
        let _ = self.drafts.send(keep);
    }

    /// Waits until the draft is kept.
    pub fn settle(&self) {
        let (done, wait) = std::sync::mpsc::channel();
        if self.drafts.send(Keep::Done(done)).is_ok() {
            let _ = wait.recv();
        }
    }

    /// Writes the album under a new name; no draft of the old one comes after it.
    fn save_as(&self, name: &str, text: &str) -> Result<(), SaveError> {
        self.settle();
        self.desk.save_as(name, text)
    }

    /// Saves the text; under a new name if one is given.
    ///
    /// # Errors
    /// Why it was not written.
    pub fn save(&self, name: Option<&str>) -> Result<String, Refusal> {
        let mut state = self.state();
        let text = state.text().to_owned();
        if text.trim().is_empty() {
            return Err(Refusal::new(
                "There is nothing to save yet: measure a bag first.",
            ));
        }
        if state.trying.is_some() {
            return Err(Refusal::new(
                "A bag is tried: keep it or go back, then save.",
            ));
        }
        let text = match name {
            Some(name) if state.base.is_none() => self.titled(&mut state, name),
            _ => text,
        };
        let saved = match (name, &state.base) {
            (Some(name), _) => self.save_as(name, &text),
            (None, Some(base)) => self.desk.save(base, &text),
            (None, None) => {
                return Err(Refusal::new("Name this album: the file gets that name."));
            }
        };
        match saved {
            Ok(()) => {
                state.base = Some(text);
                state.theirs = None;
                state.no_notice("file");
                if !state.offers_own_draft() {
                    let _ = self.drafts.send(Keep::Nothing);
                }
                self.ring(&mut state);
                Ok(format!("Saved {}.", seen(&self.name())))
            }
            Err(SaveError::Changed(now)) => {
                self.conflict(&mut state, now);
                let said =
                    "Not saved: the file was changed by another program. Choose what to keep.";
                Err(Refusal::new(said))
            }
            Err(SaveError::Taken) => {
                let said = "There is an album of this name already. Type another name.";
                Err(Refusal::new(said))
            }
            Err(SaveError::Told(why)) => Err(Refusal::new(sentence(&why))),
        }
    }

    /// The text under the name that it is saved by: a first album is called so from then on.
    pub(super) fn titled(&self, state: &mut State, name: &str) -> String {
        let title = name.trim().trim_end_matches(".toml");
        let reading = state.reading.clone();
        let begun = reading.filter(|it| it.album.title == change::FIRST_TITLE);
        let done = begun.and_then(|it| change::set(&it, state.text(), &["album"], title).ok());
        if let Some(done) = done {
            // A name that cannot be a title is that of the file only.
            let _ = self.put(state, done, None, Must::Read);
        }
        state.text().to_owned()
    }

    /// The file has another text than it had.
    pub(super) fn conflict(&self, state: &mut State, now: Option<String>) {
        let name = seen(&self.name());
        match &now {
            Some(_) => {
                let said = format!("{name} was changed by another program.");
                state.notice("file", said, &["Keep both", "Take theirs"]);
            }
            None => {
                let said = format!("{name} is gone from its folder.");
                state.notice("file", said, &["Write it anew"]);
            }
        }
        state.theirs = now;
        self.ring(state);
    }

    /// Looks at the file: what another program wrote is taken up if nothing here is unsaved, else reported.
    pub fn look_at_file(&self) {
        let Ok(now) = self.desk.album() else { return };
        let mut state = self.state();
        if state.base.is_none() || now == state.base {
            return;
        }
        match now {
            Some(text) if state.saved() => {
                state.base = Some(text.clone());
                let done = (text, "what another program wrote".to_owned());
                let _ = self.put(&mut state, done, None, Must::Stand);
                let name = seen(&self.name());
                let said = format!("{name} was changed by another program; the page follows it.");
                state.notice("follow", said, &["All right"]);
                self.ring(&mut state);
            }
            Some(ref text) if *text == state.text() => {
                state.base = now;
                self.ring(&mut state);
            }
            now => {
                if state.theirs != now || !state.notices.iter().any(|it| it.id == "file") {
                    self.conflict(&mut state, now);
                }
            }
        }
    }

    /// Does what a button of a notice says.
    ///
    /// # Errors
    /// If it cannot be done.
    pub fn answer_notice(&self, id: &str, way: usize) -> Result<String, Refusal> {
        let mut state = self.state();
        let gone = || Refusal::new("That is done already.");
        let known = state.notices.iter().find(|notice| notice.id == id);
        known
            .filter(|notice| way < notice.ways.len())
            .ok_or_else(gone)?;
        let mut said = String::new();
        if let Some(number) = id.strip_prefix(DRAFT) {
            let number: usize = number.parse().map_err(|_| gone())?;
            let draft = state.drafts.get_mut(number).and_then(Option::take);
            let draft = draft.ok_or_else(gone)?;
            state.no_notice(id);
            if way == 0 {
                let done = (draft.text, "the work from last time".to_owned());
                self.put(&mut state, done, None, Must::Stand)?;
                "The work from last time is back.".clone_into(&mut said);
            }
            self.draft(&mut state);
            if let Some(name) = draft.name {
                let _ = self.drafts.send(Keep::Without(name));
            }
            self.ring(&mut state);
            return Ok(said);
        }
        if (id, way) == (KIND, 0) {
            drop(state);
            return self.leave_out().map(|()| said);
        }
        match (id, way) {
            ("file", 0) if state.theirs.is_none() => {
                let (name, text) = (self.name(), state.text().to_owned());
                let saved = self.save_as(&name, &text);
                saved.map_err(|_| Refusal::new("It could not be written."))?;
                state.base = Some(text);
                state.no_notice(id);
                said = format!("Saved {}.", seen(&name));
            }
            ("file", 0) => {
                let name = self.name();
                let bare = name.trim_end_matches(".toml");
                let text = state.text().to_owned();
                let free = (2..100).find_map(|n| {
                    let other = format!("{bare}-{n}.toml");
                    match self.save_as(&other, &text) {
                        Err(SaveError::Taken) => None,
                        done => Some((other, done)),
                    }
                });
                match free {
                    Some((other, Ok(()))) => {
                        state.base = Some(text);
                        state.theirs = None;
                        state.no_notice(id);
                        let _ = self.drafts.send(Keep::Nothing);
                        said = format!(
                            "Saved {}. {} is as the other program left it.",
                            seen(&other),
                            seen(&name)
                        );
                    }
                    _ => return Err(Refusal::new("It could not be written under another name.")),
                }
            }
            ("file", _) => {
                let theirs = state.theirs.take().ok_or_else(gone)?;
                state.no_notice(id);
                state.base = Some(theirs.clone());
                let done = (theirs, "what another program wrote".to_owned());
                self.put(&mut state, done, None, Must::Stand)?;
                let _ = self.drafts.send(Keep::Nothing);
                "The page shows what is in the file.".clone_into(&mut said);
            }
            _ => state.no_notice(id),
        }
        self.ring(&mut state);
        Ok(said)
    }
}

impl State {
    /// While the draft that an earlier run kept of this album is offered, it is not written over.
    fn offers_own_draft(&self) -> bool {
        self.drafts.iter().flatten().any(|it| it.name.is_none())
    }
}

/// By what a maker knows an album that was never saved: its title and its first bag.
fn about(text: &str) -> String {
    let table = text.parse::<toml::Table>().unwrap_or_default();
    let said = |table: &toml::Table, key: &str| Some(seen(table.get(key)?.as_str()?));
    let bags = table.get("bag").and_then(toml::Value::as_array);
    let bag = bags.and_then(|bags| bags.first()?.as_table());
    let size = bag.and_then(|bag| said(bag, "size"));
    let title = said(&table, "album").unwrap_or_else(|| change::FIRST_TITLE.to_owned());
    match size {
        Some(size) => format!("{title}, made of a bag {size}"),
        None => title,
    }
}
