//! An album's text read with all that it names, by the ordinary readers; what is wrong with it, as sentences.

use super::desk::Desk;
pub use super::sight::Reading;
use super::sight::{Slip, field};
use crate::album::field::FieldError;
use crate::album::{self, Album, StyleName};
use crate::length::parse_interval;
use crate::plan::work::Worked;
use crate::program::expand::{Expanded, expand};
use crate::program::{self, ExpandError};
use crate::scene::Lacks;
use crate::style::named::Named;
use crate::style::{self, Style};
use crate::text::{self, Fault, Files};
use serde::Serialize;
use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError};

type Rare = Arc<Vec<(String, String)>>;

/// An album that was worked out.
#[derive(Debug)]
pub struct Facts {
    pub version: u64,
    pub reading: Arc<Reading>,
    pub worked: Worked,
}

/// Why nothing was changed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Refusal {
    pub said: String,
    /// What to type instead, as a sentence.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub help: Option<String>,
    /// A text that can be put into the box.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub instead: Option<String>,
}

impl Refusal {
    pub fn new(said: impl Into<String>) -> Refusal {
        Refusal {
            said: said.into(),
            help: None,
            instead: None,
        }
    }

    /// What a reader says of a text, and what it advises.
    pub fn helped(said: &str, help: &str) -> Refusal {
        let help = sentence(help);
        Refusal {
            instead: instead(Some(&help)),
            help: Some(help),
            ..Refusal::new(sentence(said))
        }
    }
}

impl From<FieldError> for Refusal {
    fn from(error: FieldError) -> Refusal {
        match &error {
            FieldError::Length { why, help } => Refusal::helped(why, help),
            _ => Refusal::new(sentence(&error.to_string())),
        }
    }
}

/// A text with a capital at its head and a stop at its end.
pub fn sentence(text: &str) -> String {
    let text = text::capital(text);
    match text.ends_with(['.', '?', '!', ':']) {
        true => text,
        false => text + ".",
    }
}

/// An album laid over its style; or everything that is wrong in it, in the order of the lines.
pub type Read = Result<(Reading, Expanded), Vec<Slip>>;

/// Reads an album's text with all that it names.
pub fn read(desk: &dyn Desk, name: &str, text: &str) -> Read {
    let mut files = Files::default();
    let own = match text::decode(&mut files, name, text.as_bytes().to_vec()) {
        Ok(own) => own,
        Err(fault) => return Err(slips(&files, 0, &[&fault])),
    };
    let wrong = |files: &Files, faults: &text::Faults| {
        let faults: Vec<&dyn Fault> = faults.iter().map(AsRef::as_ref).collect();
        slips(files, own, &faults)
    };
    let mut load = |path: &str| desk.load(path);
    let album = match program::read_album(&mut files, own, &mut load) {
        Ok(album) => album,
        Err(faults) => return Err(wrong(&files, &faults)),
    };
    let style = match style_of(&mut files, &album, &mut load) {
        Ok(style) => style,
        Err(faults) => return Err(wrong(&files, &faults)),
    };
    match expand(&style, &album) {
        Ok(expanded) => {
            let reading = Reading {
                rare: rare(&album.style.value, &style),
                files,
                own,
                album,
                style,
            };
            Ok((reading, expanded))
        }
        Err(errors) => Err(slips_of(&files, own, &errors)),
    }
}

/// What an album says and its style does not know, or the style says falsely.
pub(super) fn slips_of(files: &Files, own: u32, errors: &[ExpandError]) -> Vec<Slip> {
    let mut errors: Vec<&ExpandError> = errors.iter().collect();
    errors.sort_by_key(|it| it.place());
    let faults: Vec<&dyn Fault> = errors.iter().map(|it| *it as &dyn Fault).collect();
    let mut slips = slips(files, own, &faults);
    for (slip, error) in slips.iter_mut().zip(errors) {
        if let ExpandError::Nowhere {
            missing: Lacks::Paper(part),
            leaf,
            ..
        } = error
        {
            slip.instead = Some((field::join(&["leaf", leaf, part]), "any".to_owned()));
        }
    }
    slips
}

/// A shipped style as it was read.
struct Known {
    /// Its name, the number of its first file, and what the album named of it.
    of: (String, u32, Vec<(String, Named)>),
    /// Its files, with their names.
    texts: Vec<(String, String)>,
    style: Arc<Style>,
}

/// The style of an album. It is longer to read than the album: a shipped one, which stays as it is, is read
/// again only if the album names something else of it.
fn style_of(
    files: &mut Files,
    album: &Album,
    load: &mut album::text::Load<'_>,
) -> Result<Arc<Style>, text::Faults> {
    static LAST: Mutex<Option<Known>> = Mutex::new(None);
    let StyleName::Shipped(name) = &album.style.value else {
        return style::named::read_for(files, album, load).map(Arc::new);
    };
    let first = files.next();
    let names = style::named::names(album).into_iter();
    let names = names.map(|(name, kind)| (name.to_owned(), kind));
    let of = (name.clone(), first, names.collect());
    let mut last = LAST.lock().unwrap_or_else(PoisonError::into_inner);
    if let Some(known) = last.as_ref().filter(|known| known.of == of) {
        for (name, text) in &known.texts {
            files.add(name.as_str(), text.as_str());
        }
        return Ok(Arc::clone(&known.style));
    }
    let style = Arc::new(style::named::read_for(files, album, load)?);
    let file = |file| (files.name(file).to_owned(), files.text(file).to_owned());
    *last = Some(Known {
        of,
        texts: (first..files.next()).map(file).collect(),
        style: Arc::clone(&style),
    });
    Ok(style)
}

/// What the whole style has beyond what was read of it. It is long to read: of a shipped style, which stays
/// as it is, it is read once.
fn rare(named: &StyleName, style: &Style) -> Rare {
    static KNOWN: Mutex<BTreeMap<(String, Vec<String>), Rare>> = Mutex::new(BTreeMap::new());
    let here: Vec<String> = style
        .papers_of_leaf()
        .into_iter()
        .map(str::to_owned)
        .collect();
    let found = || {
        let whole = style.whole();
        let all = whole.iter().flat_map(|whole| {
            let others = whole.papers_of_leaf().into_iter();
            others.filter(|name| !style.has_part(name)).map(|name| {
                let part = whole.on_leaf_called(name);
                (
                    name.to_owned(),
                    part.map_or(name, |part| &part.title).to_owned(),
                )
            })
        });
        Arc::new(all.collect())
    };
    let StyleName::Shipped(name) = named else {
        return found();
    };
    let mut known = KNOWN.lock().unwrap_or_else(PoisonError::into_inner);
    Arc::clone(known.entry((name.clone(), here)).or_insert_with(found))
}

/// What is wrong, as sentences.
fn slips(files: &Files, own: u32, faults: &[&dyn Fault]) -> Vec<Slip> {
    let mut ordered: Vec<&dyn Fault> = faults.to_vec();
    ordered.sort_by_key(|fault| fault.place());
    let slip = |fault: &&dyn Fault| {
        let place = fault.place();
        let help = fault.help();
        Slip {
            file: match place.file == own {
                true => String::new(),
                false => text::seen(files.name(place.file)),
            },
            line: match fault.of_file() {
                true => 0,
                false => files.line(place),
            },
            said: sentence(&fault.to_string()),
            help: help.as_deref().map(sentence),
            instead: None,
        }
    };
    ordered.iter().map(slip).collect()
}

/// What to put into a box instead, from what the reader advises.
pub fn instead(help: Option<&str>) -> Option<String> {
    let help = help?;
    let rest = help.strip_prefix("Type `");
    let rest = rest.or_else(|| help.strip_prefix("Did you mean `"))?;
    let (text, _) = rest.split_once('`')?;
    let bare = format!("{text} in");
    (parse_interval(text).is_ok() || parse_interval(&bare).is_ok()).then(|| text.to_owned())
}

/// A refusal of a text that was good before the change.
pub fn refusal(slips: &[Slip]) -> Refusal {
    let Some(first) = slips.first() else {
        return Refusal::new("That cannot be.");
    };
    Refusal {
        said: first.said.clone(),
        instead: instead(first.help.as_deref()),
        help: first.help.clone(),
    }
}
