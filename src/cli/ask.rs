//! What is asked of `why` in options: places, leaves, things that must go in.

use super::typed::Typed;
use crate::album::{Album, Section, Where};
use crate::explain::{hand, need};
use crate::program::expand::Expanded;
use crate::report::why::Asked;
use crate::text::{Fault, Place, Said, either, found, listed, nearest};

/// The most of a thing that may lie on each other.
const MOST: i64 = 1_000;

/// What is wrong with a question.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub(super) enum AskError {
    #[error("no leaf is called `{name}`")]
    NoLeaf {
        place: Place,
        name: String,
        known: Vec<String>,
    },
    #[error("no size is called `{name}`")]
    NoSize {
        place: Place,
        name: String,
        known: Vec<String>,
    },
    #[error("there is no place `{name}`")]
    NoPlace { place: Place, name: String },
    #[error("{leaf} has no {what}")]
    NotThere {
        place: Place,
        what: &'static str,
        leaf: String,
    },
    #[error("{what}")]
    Given { place: Place, what: String },
    #[error("`{written}` does not say what must go in where")]
    Need { place: Place, written: String },
    #[error("`{written}` is no count")]
    Count { place: Place, written: String },
    #[error("`{written}` does not say what is wanted at least")]
    AtLeast {
        place: Place,
        written: String,
        near: Option<String>,
        known: Vec<String>,
    },
}

impl Fault for AskError {
    fn place(&self) -> Place {
        match self {
            AskError::NoLeaf { place, .. }
            | AskError::NoSize { place, .. }
            | AskError::NoPlace { place, .. }
            | AskError::NotThere { place, .. }
            | AskError::Given { place, .. }
            | AskError::Need { place, .. }
            | AskError::Count { place, .. }
            | AskError::AtLeast { place, .. } => *place,
        }
    }

    fn label(&self) -> String {
        match self {
            AskError::NoLeaf { .. } | AskError::NoSize { .. } | AskError::NoPlace { .. } => {
                "unknown".to_owned()
            }
            AskError::NotThere { .. } => "not there".to_owned(),
            AskError::Given { .. } => "nothing holds it back".to_owned(),
            AskError::Need { .. } | AskError::Count { .. } | AskError::AtLeast { .. } => {
                "here".to_owned()
            }
        }
    }

    fn help(&self) -> Option<String> {
        let known = |name: &str, known: &[String], has: &str| {
            let near = nearest(name, known.iter().map(String::as_str));
            let meant = near.map_or(String::new(), |near| format!("did you mean `{near}`? "));
            Some(format!("{meant}{has} {}", listed(known)))
        };
        match self {
            AskError::NoLeaf {
                name, known: all, ..
            } => known(name, all, "the album has"),
            AskError::NoSize {
                name, known: all, ..
            } => known(name, all, "sizes that were worked out:"),
            AskError::NoPlace { name, .. } => {
                let names = hand::Place::ALL.map(hand::Place::name);
                let meant = nearest(name, names)
                    .map_or(String::new(), |near| format!("did you mean `{near}`? "));
                Some(format!("{meant}it may be {}", either(&names)))
            }
            AskError::NotThere { what, .. } => Some(match *what {
                "band" => "give the leaf a band in the album: `band = \"any\"`".to_owned(),
                "pocket" => "give its bag a pocket: `--pocket \"3 in\"` with `--bag`, `pocket = { edge = \"3 in\" }` in a file".to_owned(),
                _ => "a bag without a gusset has one slot: `mouth`".to_owned(),
            }),
            AskError::Given { .. } => {
                Some("leave it out of the album, and it is worked out".to_owned())
            }
            AskError::Need { .. } => Some(
                "type a place, `:` and a size: `mouth: 4 x 6 in`, `pocket: 2 of 3 x 4 in`"
                    .to_owned(),
            ),
            AskError::AtLeast { near, known, .. } => {
                let meant = near.as_ref();
                let meant = meant.map_or(String::new(), |near| format!("did you mean `{near}`? "));
                Some(format!(
                    "{meant}type what, and how large: `photo 3 x 4 in`, `leaves 8`; there are {}",
                    listed(known)
                ))
            }
            AskError::Count { .. } => {
                Some("type a whole number from 1 to 1000: `mouth: 2 of 4 x 6 in`".to_owned())
            }
        }
    }
}

/// A place by its name; nothing, and told, where there is none.
fn choice(typed: &mut Typed, place: Place, written: &str) -> Option<hand::Place> {
    let known = hand::Place::ALL
        .into_iter()
        .find(|place| place.name() == written.trim());
    if known.is_none() {
        let name = written.trim().to_owned();
        found(&mut typed.faults, AskError::NoPlace { place, name });
    }
    known
}

/// A place as typed after `--into`, which the leaf must have.
pub(super) fn place(typed: &mut Typed, written: &str) -> Option<Said<hand::Place>> {
    let said = typed.said("--into", written);
    choice(typed, said.place, written).map(|place| said.with(place))
}

/// Tells where a leaf has no such place.
pub(super) fn must_have(typed: &mut Typed, input: &Expanded, leaf: usize, at: &Said<hand::Place>) {
    let scene = &input.model.scene;
    let Some(id) = scene.leaves().get(leaf).copied() else {
        return;
    };
    let slot = |name: &str| {
        let slots = scene.thing(id).lists.get("sections");
        slots.is_some_and(|all| all.iter().any(|s| scene.text(*s, "name") == name))
    };
    let has = match at.value {
        hand::Place::FrontSlot => slot("front"),
        hand::Place::BackSlot => slot("back"),
        hand::Place::Pocket => scene.flag(id, "has_pocket"),
        hand::Place::Band => scene.flag(id, "has_pocket") && scene.flag(id, "has_band"),
        hand::Place::Mouth | hand::Place::GluedBack => true,
    };
    if !has {
        // A band lies across a pocket.
        let what = match at.value {
            hand::Place::Band if !scene.flag(id, "has_pocket") => hand::Place::Pocket.name(),
            _ => at.value.name(),
        };
        let fault = AskError::NotThere {
            place: at.place,
            what,
            leaf: scene.text(id, "name").to_owned(),
        };
        found(&mut typed.faults, fault);
    }
}

/// A leaf by its name.
pub(super) fn leaf(typed: &mut Typed, album: &Album, name: &str) -> Option<usize> {
    let said = typed.said("--leaf", name);
    let place = album.leaves.iter().position(|leaf| leaf.name == name);
    if place.is_none() {
        let known = album.leaves.iter().map(|leaf| leaf.name.clone()).collect();
        let fault = AskError::NoLeaf {
            place: said.place,
            name: said.value,
            known,
        };
        found(&mut typed.faults, fault);
    }
    place
}

/// What must go in: the place, and the thing as the words and as the search read it.
pub(super) struct Needed {
    at: Said<hand::Place>,
    pub asked: Asked,
    pub want: need::Want,
}

/// The size in what is typed after `--need`, to see its unit.
pub(super) fn size_in(written: &str) -> &str {
    let size = written.split_once(':').map_or(written, |(_, rest)| rest);
    size.split_once(" of ")
        .map_or(size, |(_, rest)| rest)
        .trim()
}

/// One thing that must go in: `mouth: 2 of 4 x 6 in`.
pub(super) fn needed(typed: &mut Typed, written: &str) -> Option<Needed> {
    let said = typed.said("--need", written);
    let part = |text: &str| {
        let text = text.trim();
        let start = text.as_ptr() as usize - said.value.as_ptr() as usize;
        Said {
            value: text.to_owned(),
            place: said.part(start..start + text.len()),
        }
    };
    let Some((place, rest)) = said.value.split_once(':') else {
        let (place, written) = (said.place, said.value.clone());
        found(&mut typed.faults, AskError::Need { place, written });
        return None;
    };
    let (count, size) = match rest.split_once(" of ") {
        Some((count, size)) => (Some(part(count)), part(size)),
        None => (None, part(rest)),
    };
    let place = part(place);
    let at = choice(typed, place.place, &place.value);
    let count = match &count {
        None => Some(1),
        Some(said) => {
            let number = said.value.parse().ok().filter(|n| (1..=MOST).contains(n));
            if number.is_none() {
                let (place, written) = (said.place, said.value.clone());
                found(&mut typed.faults, AskError::Count { place, written });
            }
            number
        }
    };
    let sides = typed.size_of("--need", &size);
    let ((width, height), at, count) = (sides?, at?, count?);
    let (goes, section) = match at {
        hand::Place::Mouth => (Where::Mouth, None),
        hand::Place::FrontSlot => (Where::Mouth, Some(Section::Front)),
        hand::Place::BackSlot => (Where::Mouth, Some(Section::Back)),
        hand::Place::Pocket => (Where::Pocket, None),
        hand::Place::Band => (Where::Band, None),
        hand::Place::GluedBack => (Where::Back, None),
    };
    Some(Needed {
        at: place.with(at),
        asked: Asked {
            place: at.name().to_owned(),
            count,
            width,
            height,
        },
        want: need::Want {
            place: goes,
            section,
            count,
            width,
            height,
        },
    })
}

/// Tells where a slot is asked for that the bags have not whose size is left open.
pub(super) fn must_be_made(typed: &mut Typed, album: &Album, needed: &Needed) {
    let at = &needed.at;
    let bag = album.leaves.first().map(|leaf| leaf.bag);
    let bag = album.supplies.bags.get(bag.unwrap_or(0));
    let slots = matches!(at.value, hand::Place::FrontSlot | hand::Place::BackSlot);
    if slots && bag.is_none_or(|bag| bag.gusset.is_none()) {
        let fault = AskError::NotThere {
            place: at.place,
            what: at.value.name(),
            leaf: bag.map_or("a flat bag", |bag| &bag.name).to_owned(),
        };
        found(&mut typed.faults, fault);
    }
}
