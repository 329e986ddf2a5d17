//! What stands in for a measure: its sentence, and what is typed once it is measured.

use super::words::{capital, listed, plain};
use crate::length::{Interval, Ruler};
use crate::plan::Assumed;
use crate::plan::phrase::Phrase;
use crate::scene::BagMeasure;

/// How much the answer says of what stands in for a measure.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Told {
    /// What it is, and the name by which it can be changed.
    Short,
    /// Why, too.
    Whole,
    /// Why, without the name.
    Printed,
}

/// What stands in for a measure, in words, a sentence each, its values as `write` has them; the same of several leaves stands
/// there once.
pub(crate) fn lines(all: &[Assumed], told: Told, write: impl Fn(&Phrase) -> String) -> Vec<String> {
    let mut lines: Vec<(Vec<String>, &str, &Assumed)> = Vec::new();
    for one in all {
        let (leaf, size) = match one.name.split_once(": ") {
            Some((leaf, size)) => (vec![leaf.to_owned()], size),
            None => (Vec::new(), one.name.as_str()),
        };
        let same = lines.iter_mut().find(|(_, name, other)| {
            *name == size && (&other.value, &other.why) == (&one.value, &one.why)
        });
        match same {
            Some((leaves, _, _)) => leaves.extend(leaf),
            None => lines.push((leaf, size, one)),
        }
    }
    let said = |(leaves, name, one): &(Vec<String>, &str, &Assumed)| {
        let of = if leaves.is_empty() {
            String::new()
        } else {
            format!(" ({})", listed(leaves))
        };
        let name_typed = match told {
            Told::Printed => String::new(),
            Told::Short | Told::Whole => format!(" (`{name}`)"),
        };
        let value = write(&one.value);
        // A quantity's reason says what it is; a size's says why it is so large.
        let said = match name.split_once('.') {
            None => format!("{}{of}: {value}", one.why),
            Some((thing, side)) => {
                let plainly = || format!("{} of the {}", plain(side), plain(thing));
                let size = one.title.clone().unwrap_or_else(plainly);
                match told {
                    Told::Short => format!("{size}{of}: {value}"),
                    _ => format!("{size}{of}: {value}, since {}", one.why),
                }
            }
        };
        format!("{}{name_typed}.", capital(&said))
    };
    lines.iter().map(said).collect()
}

/// How an assumed value is said.
pub(super) fn how(assumed: &Assumed, bag: bool) -> String {
    if let (Some(option), true) = (assumed.of_bag.and_then(option), bag) {
        return option.to_owned();
    }
    match (assumed.name.as_str(), bag) {
        ("bag.bottom", true) => "--bottom pinch".to_owned(),
        (name, _) if name.ends_with("bag.bottom") => "bottom = \"pinch\"".to_owned(),
        (name, _) if name.contains('.') => {
            let size = name.rsplit(": ").next().unwrap_or(name);
            format!("measured = {{ \"{size}\" = \"...\" }}")
        }
        (name, _) => format!("--set {name}=\"...\""),
    }
}

/// What is typed beside `--bag` for another of its measures.
pub(super) fn option(measure: BagMeasure) -> Option<&'static str> {
    match measure {
        BagMeasure::PocketEdge => Some("--pocket"),
        BagMeasure::PocketDepth => Some("--pocket-depth"),
        _ => None,
    }
}

/// What to ask of a bag that is wider than high.
pub fn lies(ruler: Ruler, bag: &str, (width, height): (Interval, Interval)) -> String {
    let [width, height] = [width, height].map(|it| ruler.show_interval(it));
    format!(
        "{} is wider ({width}) than high ({height}), its mouth up. If you measured it the other way round, swap its two numbers.",
        capital(bag)
    )
}
