//! An album as the page sees it.

use crate::common;
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::sync::Arc;
use tuckwright::album::{self, Album};
use tuckwright::explain::watch::{Remedy, remedies};
use tuckwright::explain::{Explanation, fixes};
use tuckwright::open::sight::{Asked, Begun, Look, Now, Reading, Sheets, Sight, Slip};
use tuckwright::open::view;
use tuckwright::plan::Plan;
use tuckwright::style::Style;
use tuckwright::text::{Fault, Files};
use tuckwright::{Outcome, Worked, solve, work};

/// Everything that a [`Sight`] borrows.
pub struct Desk {
    files: Files,
    style: Style,
    text: String,
    album: Option<Album>,
    own: u32,
    slips: Vec<Slip>,
    worked: Option<Worked>,
    why: Option<Explanation>,
    remedies: Vec<Remedy>,
    pub last: Option<Plan>,
    pub look: Look,
}

/// The text of an album that is shipped.
pub fn shipped(name: &str) -> String {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("models/albums");
    fs::read_to_string(folder.join(name).with_extension("toml")).expect("it is shipped")
}

impl Desk {
    /// Reads this text and works it out.
    pub fn of(text: &str) -> Desk {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("models/albums");
        let mut files = Files::default();
        let own = files.add("album.toml", text);
        let mut load = |path: &str| fs::read(folder.join(path)).map_err(|error| error.to_string());
        let read = album::text::read(&mut files, own, &mut load);
        let style = common::upright();
        let limits = solve::Limits::default();
        let mut desk = Desk {
            files,
            style,
            text: text.to_owned(),
            album: None,
            own,
            slips: Vec::new(),
            worked: None,
            why: None,
            remedies: Vec::new(),
            last: None,
            look: Look::default(),
        };
        let slip = |files: &Files, fault: &dyn Fault| Slip {
            file: String::new(),
            line: files.line(fault.place()),
            said: fault.to_string(),
            help: fault.help(),
            instead: None,
        };
        match read {
            Ok(album) => {
                match work(&desk.style, &album, &limits) {
                    Ok(worked) => {
                        match &worked.outcome {
                            Outcome::Fits(plan) => {
                                desk.last = Some((**plan).clone());
                                desk.remedies = remedies(&desk.style, &album, &worked, &limits);
                            }
                            _ => desk.why = Some(fixes::why(&desk.style, &album, &worked, &limits)),
                        }
                        desk.worked = Some(worked);
                    }
                    Err(errors) => {
                        desk.slips = errors.iter().map(|it| slip(&desk.files, it)).collect();
                    }
                }
                desk.album = Some(album);
            }
            Err(faults) => {
                desk.slips = faults
                    .iter()
                    .map(|it| slip(&desk.files, it.as_ref()))
                    .collect();
            }
        }
        desk
    }

    /// The same after this one, whose sizes fitted.
    pub fn after(mut self, before: &Desk) -> Desk {
        self.last = before.last.clone();
        self
    }

    /// What the page shows of it.
    pub fn parts(&self, width: u32) -> BTreeMap<&'static str, String> {
        // Spaces at which no line ends are spaces here, but in drawings.
        let said = |(name, html): (&'static str, String)| match name {
            "leaf" => (name, html),
            _ => (name, html.replace('\u{a0}', " ")),
        };
        self.see(|sight| view::parts(sight, width).into_iter().map(said).collect())
    }

    pub fn see<T>(&self, then: impl FnOnce(&Sight<'_>) -> T) -> T {
        let outcome = self.worked.as_ref().map(|worked| &worked.outcome);
        let begun = Begun {
            ruler: "1/8 in".to_owned(),
            ..Begun::default()
        };
        let now = match outcome {
            _ if !self.slips.is_empty() => Now::Wrong(&self.slips),
            None => Now::Empty(&begun),
            Some(Outcome::Fits(plan)) => Now::Fits {
                plan,
                remedies: &self.remedies,
            },
            Some(Outcome::Clash(clash)) => Now::Clash {
                clash,
                why: self.why.as_ref(),
            },
            Some(Outcome::Undecided(why)) => Now::Undecided(*why),
            Some(Outcome::Defect(_)) => Now::Refused,
        };
        let read = self.album.as_ref().map(|album| Reading {
            rare: Arc::default(),
            album: album.clone(),
            style: Arc::new(self.style.clone()),
            files: self.files.clone(),
            own: self.own,
        });
        then(&Sight {
            file: Some("low-water.toml"),
            text: &self.text,
            saved: false,
            read: read.as_ref(),
            now,
            last: self.last.as_ref(),
            look: &self.look,
            undo: Some("tag 5 1/2 in high"),
            redo: None,
            notices: &[],
            sheets: Sheets::Soon(None),
            asked: &Asked::Nothing,
            trying: None,
            was: None,
            albums: 1,
        })
    }

    /// Writes the whole page to a folder, where one is named, for whoever wants to look at it.
    pub fn show(&self, name: &str, width: u32) {
        let Ok(folder) = std::env::var("SHOW_PAGE") else {
            return;
        };
        let mut page = view::shell();
        for (id, html) in self.parts(width) {
            let from = page
                .find(&format!(" id=\"{id}\""))
                .expect("the shell has it");
            let start = from + page[from..].find('>').expect("a tag") + 1;
            let close = match id {
                "bar" => "</header>",
                "strip" => "</section>",
                _ => "</div>",
            };
            let end = start + page[start..].find(close).expect("its end");
            page.replace_range(start..end, &html);
        }
        let folder = Path::new(&folder);
        let page = page.replace("\"/page.", "\"page.");
        fs::write(folder.join(format!("{name}.html")), page).expect("a page");
        fs::write(folder.join("page.css"), view::STYLE).expect("a style sheet");
        fs::write(folder.join("page.js"), view::SCRIPT).expect("a script");
    }
}
