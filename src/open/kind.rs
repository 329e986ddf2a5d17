//! Another kind of album: what it has no place for is said at once, and left out when asked.

use super::change::{self, Done};
use super::read::{Reading, Refusal, read};
use super::room::{Must, Room};
use super::state::KIND;
use crate::album::Album;
use crate::album::field::Field;
use crate::explain::still_there;
use crate::text;
use itertools::Itertools;

impl Room {
    /// The album becomes one of this kind, which is shipped.
    ///
    /// # Errors
    /// If it says what the kind does not know. What could be left out stands in a notice then.
    pub fn of_kind(&self, kind: &str) -> Result<(), Refusal> {
        let done = self.change(None, |reading, text| {
            change::set(reading, text, &["style"], kind)
        });
        let Err(why) = done else { return Ok(()) };
        let mut state = self.state();
        let without = state
            .reading
            .as_ref()
            .and_then(|it| without(it, state.text(), kind));
        match without.filter(|(done, _)| read(&*self.desk, &self.name(), &done.0).is_ok()) {
            None => Err(why),
            Some((done, said)) => {
                state.notice(
                    KIND,
                    said.clone(),
                    &["Leave it out", "Keep the kind as it is"],
                );
                state.without = Some(done);
                self.ring(&mut state);
                Err(Refusal::new(said))
            }
        }
    }

    /// What was offered to be left out is.
    ///
    /// # Errors
    /// If nothing is offered any more.
    pub(super) fn leave_out(&self) -> Result<(), Refusal> {
        let mut state = self.state();
        state.no_notice(KIND);
        let done = state.without.take();
        let done = done.ok_or_else(|| Refusal::new("The album was changed meanwhile."))?;
        self.put(&mut state, done, None, Must::Read)
    }
}

/// The album as one of another kind without all that this kind has no place for, and a sentence that names it.
fn without(reading: &Reading, text: &str, kind: &str) -> Option<(Done, String)> {
    let whole = change::shipped(kind)?;
    let others = change::others(reading);
    let mut field = Field::of(text, &others, reading.album.ruler).ok()?;
    field.set(&["style"], kind).ok()?;
    let mut gone = Vec::new();
    let mut after = reading.album.clone();
    after.leaves.iter_mut().for_each(|leaf| {
        leaf.inserts.retain(|insert| {
            let mut slots = whole.slots().map(|(_, slot)| slot);
            insert.goes.value.is_empty()
                || slots.any(|slot| {
                    slot.place == insert.goes.value
                        && insert
                            .section
                            .as_ref()
                            .is_none_or(|it| slot.section.as_ref() == Some(&it.value))
                })
        });
        leaf.parts.retain(|(part, _)| whole.has_part(part));
    });
    for (leaf, now) in reading.album.leaves.iter().zip(&after.leaves) {
        for insert in leaf.inserts.iter().filter(|it| !now.inserts.contains(it)) {
            field
                .remove(&["leaf", &leaf.name, "insert", &insert.name])
                .ok()?;
            gone.push(insert.name.clone());
        }
        for (part, _) in leaf.parts.iter().filter(|it| !now.parts.contains(it)) {
            for words in [
                &["leaf", &leaf.name, part][..],
                &["leaf", &leaf.name, "papers", part],
            ] {
                field.set(words, "").ok()?;
            }
            gone.push(part.clone());
        }
    }
    let own = &reading.album.own;
    let of_album = |part: &str| whole.of_album_called(part).next().is_some();
    for (part, _) in own.parts.iter().filter(|(part, _)| !of_album(part)) {
        field.set(&["papers", part], "").ok()?;
        gone.push(part.clone());
    }
    for (said, key) in sizes(&reading.album, &gone) {
        let words: Vec<&str> = said.iter().map(String::as_str).chain([key]).collect();
        field.set(&words, "").ok()?;
    }
    for (name, _) in &reading.album.set {
        if whole.quantity(&name.value).is_none() {
            field.set(&["set", &name.value], "").ok()?;
            gone.push(name.value.clone());
        }
    }
    field.keep_wishes(|line| {
        let is_gone = |name: &String| line.split([' ', '.', ':']).any(|word| word == name);
        !gone.iter().any(is_gone) && still_there(&reading.album, &after, line)
    });
    let names: Vec<String> = gone.iter().map(|name| name.replace('_', " ")).collect();
    field.keep_accepted(|rule, of| {
        whole.rules.iter().any(|it| it.name == rule) && !change::speaks_of(of, &names)
    });
    let called = |name: &String| {
        let title = reading
            .style
            .on_leaf_called(name)
            .map(|part| part.title.clone());
        title.unwrap_or_else(|| text::seen(&name.replace('_', " ")))
    };
    let all = gone.iter().map(called).unique().join(", ");
    (!gone.is_empty()).then(|| {
        let title = &whole.title;
        let said = format!("“{title}” has no place for what your album has: {all}.");
        ((field.text(), format!("{title}, without {all}")), said)
    })
}

/// Sizes that are given or measured of what goes: the way to each, and its key.
fn sizes<'a>(album: &'a Album, gone: &[String]) -> Vec<(Vec<String>, &'a str)> {
    let is_gone = |name: &&str| gone.iter().any(|it| name.split('.').next() == Some(it));
    let mut all = Vec::new();
    for (way, given, measured) in [(vec![], &album.own.given, &album.own.measured)]
        .into_iter()
        .chain(album.leaves.iter().map(|leaf| {
            let way = vec!["leaf".to_owned(), leaf.name.clone()];
            (way, &leaf.given, &leaf.measured)
        }))
    {
        for (table, said) in [("given", given), ("measured", measured)] {
            let names = said
                .iter()
                .map(|(name, _)| name.value.as_str())
                .filter(is_gone);
            all.extend(names.map(|name| ([&way[..], &[table.to_owned()]].concat(), name)));
        }
    }
    all
}
