//! What is asked of `why` in options: places, leaves, things that must go in.

use super::typed::Typed;
use crate::album::Album;
use crate::explain::{hand, need};
use crate::length::{Interval, Length};
use crate::program::ExpandError;
use crate::program::expand::expand;
use crate::style::Style;
use crate::text::{Place, Said, Wrong, capital, either, listed, nearest};

/// The most of a thing that may lie on each other.
const MOST: i64 = 1_000;

/// The album has no leaf of this name.
pub(super) fn no_leaf(name: &str, known: &[String]) -> Wrong {
    let what = format!("the album has no leaf `{name}`");
    Wrong::new(what, meant(name, known, "the album has"))
}

/// What was probably meant, and all that there is.
pub(super) fn meant(name: &str, known: &[String], has: &str) -> String {
    let all = format!("{has} {}", listed(known));
    match nearest(name, known.iter().map(String::as_str)) {
        Some(near) => format!("did you mean `{near}`? {}", capital(&all)),
        None => all,
    }
}

/// A place of the style by its name; `None`, and an error, if there is none.
fn choice(typed: &mut Typed, style: &Style, place: Place, written: &str) -> Option<hand::Place> {
    let all = hand::Place::all(style);
    let known = all.iter().find(|place| place.name() == written.trim());
    if known.is_none() {
        let name = written.trim();
        let known: Vec<String> = all.iter().map(hand::Place::name).collect();
        let near = nearest(name, known.iter().map(String::as_str));
        let it = near.map_or("it".to_owned(), |near| format!("did you mean `{near}`? It"));
        let help = format!("{it} may be {}", either(&known));
        let wrong = Wrong::new(format!("there is no place `{name}`"), help);
        typed.faults.tell(place, wrong);
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
            let wrong = Wrong::new(format!("{leaf} has no {lacks}"), help);
            typed.faults.tell(at.place, wrong);
        }
    }
}

/// A leaf by its name.
pub(super) fn leaf(typed: &mut Typed, album: &Album, name: &str) -> Option<usize> {
    let said = typed.said("--leaf", name);
    let place = album.leaves.iter().position(|leaf| leaf.name == name);
    if place.is_none() {
        let leaves = album.leaves.iter();
        let known: Vec<String> = leaves.map(|leaf| leaf.name.clone()).collect();
        typed.faults.tell(said.place, no_leaf(name, &known));
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
        let what = format!("`{written}` is not a place with a thing to go in");
        let help = "type a place, `:` and a size, such as `--need \"mouth: 4 x 6 in\"` or `--need \"pocket: 2 of 3 x 4 in\"`";
        typed.faults.tell(said.place, Wrong::new(what, help));
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
                let what = format!("`{}` is not a count", said.value);
                let help = "type a whole number from 1 to 1000, such as `mouth: 2 of 4 x 6 in`";
                typed.faults.tell(said.place, Wrong::new(what, help));
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
                let bag = bag.map_or("a flat bag", |bag| &bag.name);
                let wrong = Wrong::new(format!("{bag} has no {lacks}"), help);
                typed.faults.tell(needed.place.place, wrong);
            }
        }
    }
    !typed.faults.is_empty()
}
