//! The album that is worked on: its text, which is the truth, and what is done to it.
//!
//! Every change goes through [`Room::change`]: it is made on a copy of the text, which the ordinary reader
//! reads; only what it takes stands. A change is fast; what follows from it is worked out by the bench.

use super::ask::{Asked, Question};
use super::bench::{Bench, Job};
use super::change::{self, Done};
use super::desk::{Desk, Keep, keeper};
use super::history::Visit;
use super::pins;
use super::read::{Read, Reading, Refusal, read};
use super::state::{KIND, State, Trying, Visited, take};
use crate::album::field::same_ends;
use crate::explain::{Fix, FixChange, write};
use crate::length::Ruler;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};
use tokio::sync::watch;

/// The first page waits so long for the first sizes.
const FIRST: Duration = Duration::from_secs(3);

/// The album with its bench and its desk.
pub struct Room {
    state: Arc<Mutex<State>>,
    pub(super) bench: Bench,
    ring: Arc<watch::Sender<u64>>,
    pub desk: Arc<dyn Desk>,
    /// Whoever keeps drafts.
    pub(super) drafts: std::sync::mpsc::Sender<Keep>,
}

/// What a change is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Must {
    /// What cannot be read is refused.
    Read,
    /// A text is typed as a whole: it may be wrong for a while.
    Stand,
}

fn locked(state: &Mutex<State>) -> MutexGuard<'_, State> {
    state.lock().unwrap_or_else(PoisonError::into_inner)
}

impl Room {
    /// Opens the album of a desk; `ruler` is the usual one of an empty album.
    ///
    /// # Errors
    /// If its file cannot be read, as a sentence.
    pub fn open(desk: Arc<dyn Desk>, ruler: &str) -> Result<Room, String> {
        let base = desk.album()?;
        let text = base.clone().unwrap_or_default();
        let mut drafts = desk.drafts();
        drafts.retain(|draft| draft.text != text);
        let (ring, _) = watch::channel(0);
        let ring = Arc::new(ring);
        let state = State::new(text.clone(), ruler, base);
        let state = Arc::new(Mutex::new(state));
        let bench = Bench::new({
            let (state, ring) = (Arc::clone(&state), Arc::clone(&ring));
            move |found| {
                let mut state = locked(&state);
                if take(&mut state, found) {
                    state.stamp += 1;
                    ring.send_replace(state.stamp);
                }
            }
        });
        let room = Room {
            state,
            bench,
            ring,
            drafts: keeper(Arc::clone(&desk)),
            desk,
        };
        let mut state = room.state();
        room.offer_drafts(&mut state, drafts);
        room.look_again(&mut state);
        drop(state);
        // The first page shows sizes, if they come soon.
        let began = Instant::now();
        while room.state().is_working() && began.elapsed() < FIRST {
            std::thread::sleep(Duration::from_millis(2));
        }
        Ok(room)
    }

    pub fn state(&self) -> MutexGuard<'_, State> {
        locked(&self.state)
    }

    /// Hears of everything that changes.
    pub fn listen(&self) -> watch::Receiver<u64> {
        self.ring.subscribe()
    }

    /// Whoever waits looks whether there is news for it.
    pub(super) fn nudge(&self, state: &State) {
        self.ring.send_replace(state.stamp);
    }

    /// Something else is to be seen.
    pub fn ring(&self, state: &mut State) {
        state.stamp += 1;
        self.ring.send_replace(state.stamp);
    }

    /// The name that faults have for the album's text.
    pub(super) fn name(&self) -> String {
        self.desk.name().unwrap_or_else(|| "the album".to_owned())
    }

    fn read(&self, text: &str) -> Read {
        read(&*self.desk, &self.name(), text)
    }

    /// Reads the text as it stands, and has it worked out.
    pub(super) fn look_again(&self, state: &mut State) {
        let read = self.read(state.text());
        self.stand(state, read);
    }

    /// The text as it stands was read so.
    pub(super) fn stand(&self, state: &mut State, read: Read) {
        state.version += 1;
        state.before.clone_from(&state.last);
        state.asked = Asked::Nothing;
        state.no_notice(KIND);
        if state
            .trying
            .as_ref()
            .is_some_and(|it| it.before == state.text())
        {
            state.trying = None;
        }
        match read {
            Ok((reading, expanded)) => {
                let reading = Arc::new(reading);
                if let Some(before) = &state.reading {
                    for tab in state.tabs.values_mut() {
                        tab.look.leaf = pins::leaf(tab.look.leaf, &before.album, &reading.album);
                    }
                }
                state.slips = Vec::new();
                state.reading = Some(Arc::clone(&reading));
                self.bench.put(Job {
                    version: state.version,
                    reading,
                    expanded,
                });
            }
            Err(_) if state.text().trim().is_empty() => {
                state.slips = Vec::new();
                state.reading = None;
                state.facts = None;
                state.last = None;
            }
            Err(slips) => state.slips = slips,
        }
        self.ring(state);
    }

    /// Puts another text in the place of the one that stands.
    pub(super) fn put(
        &self,
        state: &mut State,
        (text, said): Done,
        visit: Option<Visit>,
        must: Must,
    ) -> Result<(), Refusal> {
        if text.len() > change::MOST_TEXT {
            return Err(Refusal::new("An album has at most 256 KB of text."));
        }
        if text == state.text() {
            return Ok(());
        }
        let (reread, done) = (|text: &str| self.read(text), (text, said));
        let ((text, said), read) = match must {
            Must::Read => pins::with_what_follows(state, done, visit.as_ref(), &reread)?,
            Must::Stand => {
                let read = reread(&done.0);
                (done, read)
            }
        };
        state.history.push(text, said, visit);
        self.stand(state, read);
        self.draft(state);
        Ok(())
    }

    /// A change of one thing, made on the text as it was read. Refused, it changes nothing, and what the same
    /// visit to its box changed before is as it was.
    ///
    /// # Errors
    /// What is wrong with it, as sentences.
    pub fn change(
        &self,
        visit: Option<Visit>,
        make: impl FnOnce(&Reading, &str) -> Result<Done, Refusal>,
    ) -> Result<(), Refusal> {
        let mut state = self.state();
        if !state.slips.is_empty() {
            let said = "The text cannot be read as it stands. Mend it in the box of the album's text first.";
            return Err(Refusal::new(said));
        }
        // All that is typed in one visit changes the text that was there before it: a half typed name, or a
        // box that was empty for a moment, leaves nothing behind.
        let (reading, text) = match state.begun_in(visit.as_ref()).cloned() {
            Some(begun) => {
                // What fitted half typed is not what was there before.
                state.last = begun.last;
                (begun.reading, begun.text)
            }
            None => {
                let reading = state.reading.clone();
                let reading = reading.ok_or_else(|| Refusal::new("Measure a bag first."))?;
                let text = state.text().to_owned();
                state.visited = visit.clone().map(|visit| Visited {
                    visit,
                    reading: Arc::clone(&reading),
                    text: text.clone(),
                    last: state.last.clone(),
                });
                (reading, text)
            }
        };
        let done = make(&reading, &text);
        let done = done.and_then(|done| self.put(&mut state, done, visit.clone(), Must::Read));
        if let (Err(_), Some(visit)) = (&done, &visit) {
            self.forget(&mut state, visit);
        }
        done
    }

    /// What was typed in this visit is refused: the text is as it was before it.
    fn forget(&self, state: &mut State, visit: &Visit) {
        if state.history.forget(visit) {
            self.look_again(state);
            // All is as it was.
            state.before = None;
            self.draft(state);
        }
    }

    /// A measure of the first bag.
    ///
    /// # Errors
    /// What is wrong with it.
    pub fn begin(&self, key: &str, typed: &str, visit: Option<Visit>) -> Result<(), Refusal> {
        let mut state = self.state();
        // A key that was on its way while the album came into being still belongs to its first bag.
        let untouched = state
            .begun
            .album()
            .is_some_and(|(text, _)| text == state.text());
        if !untouched && !state.text().trim().is_empty() {
            return Err(Refusal::new("The album has a bag already."));
        }
        // The boxes keep what is refused: in another unit it may be a bag.
        let taken = state.begun.set(key, typed);
        self.ring(&mut state);
        let album = state.begun.album().filter(|_| taken.is_ok());
        let done = taken.and_then(|()| match album {
            Some(done) => self.put(&mut state, done, visit.clone(), Must::Read),
            None => Ok(()),
        });
        if let (Err(_), Some(visit)) = (&done, &visit) {
            self.forget(&mut state, visit);
        }
        match key {
            // What is no bag in this unit is no reason to refuse the unit.
            "ruler" if Ruler::parse(typed.trim()).is_ok() => Ok(()),
            _ => done,
        }
    }

    /// The whole text, as it is typed.
    ///
    /// # Errors
    /// If it is too long.
    pub fn whole(&self, text: String, visit: Option<Visit>) -> Result<(), Refusal> {
        let mut state = self.state();
        let text = same_ends(state.text(), text.replace("\r\n", "\n"));
        self.put(
            &mut state,
            (text, "the album's text".to_owned()),
            visit,
            Must::Stand,
        )
    }

    /// This tab looks at the last leaf: it is new.
    pub fn look_at_last(&self, tab: &str) {
        let mut state = self.state();
        let leaves = state.reading.as_ref().map_or(0, |it| it.album.leaves.len());
        let look = &mut state.tab(tab).look;
        look.leaf = leaves.saturating_sub(1);
        look.piece.clear();
    }

    /// Looks at the album in another bag.
    ///
    /// # Errors
    /// If the album cannot be made of it as it stands.
    pub fn try_bag(&self, bag: &str) -> Result<(), Refusal> {
        let (before, was) = {
            let state = self.state();
            let tried = state.trying.as_ref();
            let tried = tried.map(|it| (it.before.clone(), it.was.clone()));
            tried.unwrap_or_else(|| (state.text().to_owned(), state.last.clone()))
        };
        self.change(None, |reading, text| change::of_bag(reading, text, bag))?;
        let mut state = self.state();
        state.trying = Some(Trying {
            bag: bag.to_owned(),
            before,
            was,
        });
        self.ring(&mut state);
        Ok(())
    }

    /// The bag that is looked at stays.
    pub fn keep_bag(&self) {
        let mut state = self.state();
        state.trying = None;
        self.draft(&mut state);
        self.ring(&mut state);
    }

    /// The text before a bag was looked at comes back.
    ///
    /// # Errors
    /// If none is looked at.
    pub fn go_back(&self) -> Result<(), Refusal> {
        let mut state = self.state();
        let trying = state.trying.take();
        let trying = trying.ok_or_else(|| Refusal::new("No bag is tried."))?;
        let done = (trying.before, "back to the bag before".to_owned());
        self.put(&mut state, done, None, Must::Stand)?;
        self.draft(&mut state);
        Ok(())
    }

    /// What is offered to make a size larger, by its place.
    ///
    /// # Errors
    /// If it is not offered any more, or cannot be written.
    pub fn take_offer(&self, number: usize) -> Result<(), Refusal> {
        let offer = match &self.state().asked {
            Asked::Grow(growth) => growth.offers.get(number).cloned(),
            _ => None,
        };
        let gone = || Refusal::new("The album was changed meanwhile: ask again.");
        let offer = offer.ok_or_else(gone)?;
        self.change(None, |reading, text| {
            change::take_offer(reading, text, &offer)
        })
    }

    /// For how many albums the sheets are counted.
    ///
    /// # Errors
    /// If it is no number of albums.
    pub fn count_for(&self, typed: &str) -> Result<(), Refusal> {
        // What was said of another number of albums is no answer any more.
        self.close();
        let albums = change::albums(typed)?;
        let mut state = self.state();
        state.albums = albums;
        state.sheets = None;
        let facts = state.facts.clone().filter(|_| !state.is_working());
        self.bench.count_for(albums, facts);
        self.ring(&mut state);
        Ok(())
    }

    pub fn undo(&self) -> Option<String> {
        let mut state = self.state();
        let said = state.history.undo()?;
        self.look_again(&mut state);
        self.draft(&mut state);
        Some(format!("Undone: {said}."))
    }

    pub fn redo(&self) -> Option<String> {
        let mut state = self.state();
        let said = state.history.redo()?;
        self.look_again(&mut state);
        self.draft(&mut state);
        Some(format!("Done again: {said}."))
    }

    /// A fix by its number, counted from 1.
    ///
    /// # Errors
    /// If there is no such fix of the text as it stands, or if it cannot be written.
    pub fn mend(&self, number: usize) -> Result<(), Refusal> {
        let gone = || Refusal::new("The album was changed meanwhile: look at the new answer.");
        let mut state = self.state();
        let (of, why) = state.why.clone().ok_or_else(gone)?;
        let all = why.numbered();
        let at = number.checked_sub(1).ok_or_else(gone)?;
        let (_, fix) = all.get(at).copied().ok_or_else(gone)?;
        if of != state.version {
            return Err(gone());
        }
        self.write(&mut state, fix)
    }

    /// What keeps a wish, by its place among the remedies.
    ///
    /// # Errors
    /// As [`Room::mend`].
    pub fn keep_wish(&self, number: usize) -> Result<(), Refusal> {
        let gone = || Refusal::new("The album was changed meanwhile: look at the new answer.");
        let mut state = self.state();
        let (of, remedies) = state.remedies.clone().ok_or_else(gone)?;
        let remedy = remedies.get(number).ok_or_else(gone)?;
        if of != state.version {
            return Err(gone());
        }
        let fix = Fix {
            changes: vec![FixChange::Do(remedy.deed.clone())],
            effort: 0,
            unkept: 0,
            price: 0,
            proved: false,
            sizes: None,
        };
        self.write(&mut state, &fix)
    }

    fn write(&self, state: &mut State, fix: &Fix) -> Result<(), Refusal> {
        let by_hand = || {
            Refusal::new(
                "That cannot be written into the text as it stands. Change it in the boxes.",
            )
        };
        let reading = state.reading.clone().ok_or_else(by_hand)?;
        let others = change::others(&reading);
        let text = write::written(&reading.album, state.text(), &others, &[fix]);
        let text = text.ok_or_else(by_hand)?;
        let from = reading.from(true);
        let said = fix
            .changes
            .iter()
            .map(|it| crate::report::why::change(from, it));
        let said: Vec<String> = said.collect();
        self.put(state, (text, said.join(", ")), None, Must::Read)
    }

    /// Asks something about the text as it stands.
    ///
    /// # Errors
    /// If its sizes are not known.
    pub fn ask(&self, question: Question) -> Result<(), Refusal> {
        let mut state = self.state();
        let facts = state
            .facts
            .clone()
            .filter(|_| !state.is_working() && state.slips.is_empty());
        let facts = facts.ok_or_else(|| Refusal::new("The sizes are not known yet: ask again."))?;
        state.asked = Asked::Working(question.said());
        self.ring(&mut state);
        self.bench.ask(facts, question);
        Ok(())
    }

    /// It cannot be asked so: that stands in the place of the answer before.
    pub fn unasked(&self, why: Refusal) {
        self.close();
        let help = why.help.map_or(String::new(), |help| format!(" {help}"));
        let mut state = self.state();
        state.asked = Asked::NoCard(why.said + &help);
        self.ring(&mut state);
    }

    /// The answer was read.
    pub fn close(&self) {
        let mut state = self.state();
        state.asked = Asked::Nothing;
        self.bench.stop_asking();
        self.ring(&mut state);
    }

    /// Ends the count of sheets with the best so far.
    pub fn stop_counting(&self) {
        self.bench.stop_counting();
    }
}
