//! What is asked of `why` in options: places, leaves, things that must go in.

use super::typed::Typed;
use crate::album::Album;
use crate::explain::{hand, need};
use crate::length::{Interval, Length};
use crate::program::ExpandError;
use crate::program::expand::expand;
use crate::style::Style;
use crate::text::{Place, Problem, Said, capital, either, listed, nearest};

/// The most of a thing that may lie on each other.
const MOST: i64 = 1_000;

/// What is wrong with a question.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub(super) enum AskError {
    #[error("the album has no leaf `{name}`")]
    NoLeaf { name: String, known: Vec<String> },
    #[error("there is no size `{name}`")]
    NoSize { name: String, known: Vec<String> },
    #[error("no card and no print is called `{name}`")]
    NoCard { name: String, known: Vec<String> },
    #[error("there is no place `{name}`")]
    NoPlace { name: String, known: Vec<String> },
    #[error("{leaf} has no {what}")]
    NotThere {
        what: String,
        leaf: String,
        help: String,
    },
    #[error("{what}")]
    Given { what: String },
    #[error("`{written}` is not a place with a thing to go in")]
    Need { written: String },
    #[error("`{written}` is not a count")]
    Count { written: String },
    #[error("`{written}` is not a thing with its least size")]
    AtLeast {
        written: String,
        near: Option<String>,
        known: Vec<String>,
    },
}

impl Problem for AskError {
    fn help(&self) -> Option<String> {
        let known = |name: &str, known: &[String], has: &str| {
            let near = nearest(name, known.iter().map(String::as_str));
            let all = format!("{has} {}", listed(known));
            Some(match near {
                Some(near) => format!("did you mean `{near}`? {}", capital(&all)),
                None => all,
            })
        };
        match self {
            AskError::NoLeaf {
                name, known: all, ..
            } => known(name, all, "the album has"),
            AskError::NoSize {
                name, known: all, ..
            } => known(name, all, "the sizes are"),
            AskError::NoCard { name, known: all } if all.is_empty() => Some(format!(
                "type a size, such as `--insert \"4 x 6 in\"`: the album has no card or print called `{name}`"
            )),
            AskError::NoCard { name, known: all } => known(name, all, "the album has"),
            AskError::NoPlace {
                name, known: all, ..
            } => {
                let names: Vec<&str> = all.iter().map(String::as_str).collect();
                let meant = nearest(name, names.iter().copied())
                    .map_or("it".to_owned(), |near| format!("did you mean `{near}`? It"));
                Some(format!("{meant} may be {}", either(&names)))
            }
            AskError::NotThere { help, .. } => Some(help.clone()),
            AskError::Given { .. } => {
                Some("delete it in the album, and it is worked out".to_owned())
            }
            AskError::Need { .. } => Some(
                "type a place, `:` and a size, such as `--need \"mouth: 4 x 6 in\"` or `--need \"pocket: 2 of 3 x 4 in\"`"
                    .to_owned(),
            ),
            AskError::AtLeast { near, known, .. } => {
                let meant = near.as_ref();
                let meant = meant.map_or("type".into(), |near| format!("did you mean `{near}`? Type"));
                Some(format!(
                    "{meant} a thing and how large it must be, such as `photo 3 x 4 in` or `leaves 8`; \
                     you can ask for {}",
                    listed(known)
                ))
            }
            AskError::Count { .. } => {
                Some("type a whole number from 1 to 1000, such as `mouth: 2 of 4 x 6 in`".to_owned())
            }
        }
    }
}

/// A place of the style by its name; `None`, and an error, if there is none.
fn choice(typed: &mut Typed, style: &Style, place: Place, written: &str) -> Option<hand::Place> {
    let all = hand::Place::all(style);
    let known = all.iter().find(|place| place.name() == written.trim());
    if known.is_none() {
        let name = written.trim().to_owned();
        let known = all.iter().map(hand::Place::name).collect();
        typed.faults.tell(place, AskError::NoPlace { name, known });
    }
    known.cloned()
}

/// A place as typed after `--into`, which the leaf must have.
pub(super) fn place(typed: &mut Typed, style: &Style, written: &str) -> Option<Said<hand::Place>> {
    let said = typed.said("--into", written);
    choice(typed, style, said.place, written).map(|place| said.with(place))
}

/// Tells where a leaf has no such place: the thing is laid there, and nothing else is asked.
pub(super) fn must_have(
    typed: &mut Typed,
    (style, album): (&Style, &Album),
    leaf: usize,
    at: &Said<hand::Place>,
) {
    let size = Interval::exact(Length::from_nm(1));
    let ask = hand::Ask {
        width: size,
        height: size,
        place: at.value.clone(),
        leaf,
    };
    let (album, name) = hand::with(album, &ask);
    let errors = expand(style, &album).err().unwrap_or_default();
    for error in errors {
        if let ExpandError::Nowhere {
            lacks,
            insert,
            leaf,
            help,
            ..
        } = error
            && insert == name
        {
            let place = at.place;
            let what = lacks;
            typed
                .faults
                .tell(place, AskError::NotThere { what, leaf, help });
        }
    }
}

/// A leaf by its name.
pub(super) fn leaf(typed: &mut Typed, album: &Album, name: &str) -> Option<usize> {
    let said = typed.said("--leaf", name);
    let place = album.leaves.iter().position(|leaf| leaf.name == name);
    if place.is_none() {
        let known = album.leaves.iter().map(|leaf| leaf.name.clone()).collect();
        let fault = AskError::NoLeaf {
            name: said.value,
            known,
        }
        .at(said.place);
        typed.faults.add(fault);
    }
    place
}

/// What must go in: the place as typed, and the thing.
pub(super) struct Needed {
    place: Said<String>,
    count: i64,
    width: Interval,
    height: Interval,
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
        typed.faults.tell(place, AskError::Need { written });
        return None;
    };
    let (count, size) = match rest.split_once(" of ") {
        Some((count, size)) => (Some(part(count)), part(size)),
        None => (None, part(rest)),
    };
    let place = part(place);
    let count = match &count {
        None => Some(1),
        Some(said) => {
            let number = said.value.parse().ok().filter(|n| (1..=MOST).contains(n));
            if number.is_none() {
                let (place, written) = (said.place, said.value.clone());
                typed.faults.tell(place, AskError::Count { written });
            }
            number
        }
    };
    let sides = typed.size_of("--need", &size);
    let ((width, height), count) = (sides?, count?);
    Some(Needed {
        place,
        count,
        width,
        height,
    })
}

/// The same as the search reads it, in a place of the style.
pub(super) fn placed(typed: &mut Typed, style: &Style, needed: &Needed) -> Option<need::Want> {
    let said = &needed.place;
    Some(need::Want {
        place: choice(typed, style, said.place, &said.value)?,
        count: needed.count,
        width: needed.width,
        height: needed.height,
    })
}

/// Tells which things have no place in bags like these; whether there are any.
pub(super) fn no_place(
    typed: &mut Typed,
    album: &Album,
    all: &[Needed],
    errors: &[ExpandError],
) -> bool {
    let bag = album.leaves.first().map(|leaf| leaf.bag);
    let bag = album.supplies.bags.get(bag.unwrap_or(0));
    for (at, needed) in all.iter().enumerate() {
        for error in errors {
            let ExpandError::Nowhere {
                lacks,
                insert,
                help,
                ..
            } = error
            else {
                return false;
            };
            if *insert == need::called(at) {
                let fault = AskError::NotThere {
                    what: lacks.clone(),
                    leaf: bag.map_or("a flat bag", |bag| &bag.name).to_owned(),
                    help: help.clone(),
                }
                .at(needed.place.place);
                typed.faults.add(fault);
            }
        }
    }
    !typed.faults.is_empty()
}
