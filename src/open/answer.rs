//! What a tab has not got yet: the parts of the page that are not as they were sent, and a sentence.

use super::ask::Asked;
use super::read::{Facts, Reading, Refusal};
use super::sight::{self, Now, Sight};
use super::state::{Sheets, State};
use super::view;
use super::words::paged_at;
use crate::cut;
use crate::plan::work::Outcome;
use crate::plan::{Plan, Stopped};
use crate::style::Style;
use serde::Serialize;
use std::collections::BTreeMap;

/// Pixels that a drawing is laid out for: at least, and at most.
const NARROWEST: u32 = 240;
const WIDEST: u32 = 2_000;

/// What a browser gets.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Answer {
    /// That of the question.
    pub seq: u64,
    pub version: u64,
    pub stamp: u64,
    /// HTML of each part that changed.
    pub parts: BTreeMap<&'static str, String>,
    /// The answer in one sentence.
    pub verdict: String,
    /// The sizes of this text are not known yet.
    #[serde(skip_serializing_if = "is_false")]
    pub working: bool,
    #[serde(flatten)]
    pub outcomes: Outcomes,
    /// A newer question of this tab was answered already.
    #[serde(skip_serializing_if = "is_false")]
    pub dropped: bool,
}

/// What came of a question, beside the parts.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Outcomes {
    /// For the live region.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub say: Option<String>,
    /// What was done, for eyes too.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub told: Option<String>,
    /// Where the focus goes.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub focus: Option<&'static str>,
    /// Why nothing was changed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub refused: Option<Refused>,
}

impl Outcomes {
    pub fn of(field: &str, done: Result<(), Refusal>) -> Outcomes {
        let field = field.to_owned();
        Outcomes {
            refused: done.err().map(|why| Refused { field, why }),
            ..Outcomes::default()
        }
    }

    pub fn said(field: &str, done: Result<String, Refusal>) -> Outcomes {
        match done {
            Ok(said) => Outcomes {
                told: Some(said).filter(|said| !said.is_empty()),
                ..Outcomes::default()
            },
            Err(refusal) => Outcomes::of(field, Err(refusal)),
        }
    }

    /// What a screen reader says.
    pub fn say(say: Option<String>) -> Outcomes {
        Outcomes {
            say,
            ..Outcomes::default()
        }
    }
}

// What serde asks for takes a reference.
#[expect(clippy::trivially_copy_pass_by_ref)]
fn is_false(flag: &bool) -> bool {
    !flag
}

/// Why nothing was changed, and at which box.
#[derive(Clone, Debug, Serialize)]
pub struct Refused {
    pub field: String,
    #[serde(flatten)]
    pub why: Refusal,
}

impl Refused {
    /// In the words of the page.
    pub fn paged(self, style: Option<&Style>) -> Refused {
        let Refused { field, why } = self;
        let paged = |said: &str| paged_at(style, &field, said);
        let why = Refusal {
            said: paged(&why.said),
            help: why.help.as_deref().map(paged),
            ..why
        };
        Refused { field, why }
    }
}

impl State {
    /// The sizes of the text as it stands are not known yet.
    pub fn is_working(&self) -> bool {
        let known = self
            .facts
            .as_ref()
            .is_some_and(|it| it.version == self.version);
        let broken = self
            .broken
            .as_ref()
            .is_some_and(|(of, _)| *of == self.version);
        self.reading.is_some() && self.slips.is_empty() && !known && !broken
    }

    /// Something that a page waits for is not known yet.
    pub fn is_busy(&self) -> bool {
        self.is_working() || matches!(self.asked, Asked::Working(_))
    }

    /// What this tab has not got yet.
    pub fn answer(&mut self, name: &str, file: Option<&str>, seq: u64) -> Answer {
        let tab = self.tab(name);
        let (look, width) = (tab.look.clone(), tab.width.clamp(NARROWEST, WIDEST));
        let mut sent = std::mem::take(&mut tab.sent);
        let (all, verdict) = {
            let sheets = self.sheets_now();
            let sight = self.sight(file, &look, sheets);
            (view::parts(&sight, width), view::verdict(&sight))
        };
        let mut parts = BTreeMap::new();
        for (part, html) in all {
            if sent.get(part) != Some(&html) {
                sent.insert(part, html.clone());
                parts.insert(part, html);
            }
        }
        let stamp = self.stamp;
        let tab = self.tab(name);
        tab.sent = sent;
        tab.seen = stamp;
        let say = (tab.verdict != verdict).then(|| verdict.clone());
        tab.verdict.clone_from(&verdict);
        Answer {
            seq,
            version: self.version,
            stamp: self.stamp,
            parts,
            verdict,
            working: self.is_working(),
            outcomes: Outcomes::say(say),
            ..Answer::default()
        }
    }

    fn sheets_now(&self) -> sight::Sheets<'_> {
        let Some((of, sheets)) = &self.sheets else {
            return sight::Sheets::Soon(None);
        };
        let is_now = *of == self.version;
        match sheets {
            Sheets::Counted(counted) => {
                let answer = cut::Answer {
                    order: &counted.order,
                    batches: &counted.batches,
                    left: &counted.left,
                    asked: None,
                };
                match is_now {
                    true => sight::Sheets::Counted(answer, counted.enough_for, &counted.short),
                    false => sight::Sheets::Soon(Some(answer)),
                }
            }
            _ if !is_now => sight::Sheets::Soon(None),
            Sheets::Counting { best, least } => sight::Sheets::Counting {
                best: *best,
                least: *least,
            },
            Sheets::Wrong(why) => sight::Sheets::Wrong(why),
        }
    }

    fn sight<'s>(
        &'s self,
        file: Option<&'s str>,
        look: &'s sight::Look,
        sheets: sight::Sheets<'s>,
    ) -> Sight<'s> {
        let current = |of: u64| of == self.version;
        // While a text is worked out, the page shows what is known of the one before.
        let facts: Option<&Facts> = self.facts.as_deref();
        let reading: Option<&Reading> = match facts {
            Some(facts) if self.is_working() => Some(&facts.reading),
            _ => self.reading.as_deref(),
        };
        let now = match (facts, &self.broken) {
            _ if self.text().trim().is_empty() => Now::Empty(&self.begun),
            _ if !self.slips.is_empty() => Now::Wrong(&self.slips),
            (_, Some((of, slips))) if current(*of) => match slips[..] {
                [] => Now::Refused,
                _ => Now::Wrong(slips),
            },
            (Some(facts), _) => match &facts.worked.outcome {
                Outcome::Fits(plan) => Now::Fits {
                    plan,
                    remedies: match &self.remedies {
                        Some((of, found)) if *of == facts.version => found,
                        _ => &[],
                    },
                },
                Outcome::Clash(clash) => Now::Clash {
                    clash,
                    why: match &self.why {
                        Some((of, why)) if *of == facts.version => Some(why),
                        _ => None,
                    },
                },
                Outcome::Undecided(why) => Now::Undecided(*why),
                Outcome::Defect(_) => Now::Refused,
            },
            (None, _) => Now::Undecided(Stopped::Clock),
        };
        let plan = |facts: &'s Facts| -> Option<&'s Plan> {
            match &facts.worked.outcome {
                Outcome::Fits(plan) => Some(plan),
                _ => None,
            }
        };
        let was = match &self.trying {
            Some(trying) => &trying.was,
            None => &self.before,
        };
        let was = was.as_deref();
        Sight {
            file,
            text: self.text(),
            saved: self.saved(),
            read: reading,
            now,
            last: self.last.as_deref().and_then(plan),
            look,
            undo: self.history.undo_said(),
            redo: self.history.redo_said(),
            notices: &self.notices,
            sheets,
            asked: &self.asked,
            trying: self.trying.as_ref().map(|it| it.bag.as_str()),
            was: was.and_then(plan),
            albums: i64::try_from(self.albums).unwrap_or(i64::MAX),
        }
    }
}
