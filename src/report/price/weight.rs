//! What an album weighs, which parcels take it and what is assumed.

use super::Answer;
use crate::length::{Length, Ruler};
use crate::price::parcel::{Against, Tried};
use crate::price::weight::{By, Grams, Line, Weight, What};
use crate::report::handout::{Block, Section, Table};
use crate::report::place;
use crate::report::words::{capital, count, listed, plain};
use crate::supplies::Parcel;
use crate::supplies::weight::Number;

/// `12 to 14 g`, rounded outwards to tenths below 100 g.
pub fn grams(value: Grams) -> String {
    let tenths = 100_000;
    let (fine, step) = match value.most < 100 * 10 * tenths {
        true => (true, tenths),
        false => (false, 10 * tenths),
    };
    // What is known to a milligram is rounded to the nearest, and not to two ends.
    let (least, most) = match value.most - value.least < 1_000 {
        true => (
            (value.least + step / 2) / step,
            (value.least + step / 2) / step,
        ),
        false => (
            value.least.div_euclid(step),
            -(-value.most).div_euclid(step),
        ),
    };
    let show = |n: i128| match fine {
        true => format!("{}.{}", n / 10, n % 10),
        false => n.to_string(),
    };
    match least == most {
        true => format!("{} g", show(least)),
        false => format!("{} to {} g", show(least), show(most)),
    }
}

/// The same in ounces, up to the next tenth.
fn ounces(micrograms: i128) -> String {
    // 1 oz = 28.349523125 g by definition.
    let tenths = Number::new(micrograms * 10, 1) / Number::new(28_349_523_125, 1_000);
    let tenths = tenths.ceil().to_integer();
    format!("{}.{} oz", tenths / 10, tenths % 10)
}

fn number(grams: Number) -> String {
    let micrograms = (grams * Number::from(1_000_000)).round().to_integer();
    self::grams(Grams {
        least: micrograms,
        most: micrograms,
    })
}

/// What it weighs, for a maker who weighs in grams or in ounces.
pub(super) fn weighs(ruler: Ruler, value: Grams) -> String {
    match ruler.is_metric() {
        true => grams(value),
        false => format!("{}, at most {}", grams(value), ounces(value.most)),
    }
}

/// A line as it is named: `small brown`, `photo print`.
fn named(line: &Line) -> String {
    match (line.what, line.name.as_str()) {
        (What::Papers, "") => "paper without a name".to_owned(),
        (_, "") => "photo prints".to_owned(),
        (_, name) => name.to_owned(),
    }
}

pub(super) fn weight(Answer { priced, plan, .. }: Answer<'_>) -> Section {
    let weight = &priced.weight;
    let row = |line: &Line| {
        let [one, more] = match line.what {
            What::Bags => place::supply(plan),
            What::Papers => ["piece", "pieces"],
            What::Cards => ["card", "cards"],
            What::Prints => ["photo", "photos"],
            What::Rings => ["ring", "rings"],
        };
        vec![named(line), count(line.count, one, more), grams(line.grams)]
    };
    let mut rows: Vec<Vec<String>> = weight.lines.iter().map(row).collect();
    rows.push(vec![
        "all together".to_owned(),
        String::new(),
        grams(weight.total),
    ]);
    let table = Table {
        numbers: vec![2],
        ..Table::new(&["What", "In one album", "Weight"], rows)
    };
    let mut blocks = vec![Block::Table(table)];
    if weight.without_rings {
        let said = "No ring is named, so rings are left out. Type `ring = \"one inch ring\"` below `[template]`.";
        blocks.push(Block::text(said));
    }
    Section::new("Weight", blocks)
}

pub(super) fn parcels(answer: Answer<'_>) -> Section {
    let blocks = match (&answer.album.supplies.parcels[..], answer.plan.closed) {
        ([], _) => Vec::new(),
        (_, None) => {
            let said =
                "This kind of album does not say how large it is closed, so no parcel was tried.";
            vec![Block::text(said)]
        }
        _ => vec![Block::dashes(tried(answer))],
    };
    Section::new("Parcels", blocks)
}

/// Each parcel, the cheapest that takes the album first.
fn tried(
    Answer {
        album,
        plan,
        priced,
    }: Answer<'_>,
) -> Vec<String> {
    let (ruler, parcels) = (plan.ruler, &priced.parcels);
    let mut lines = Vec::new();
    let fitting = parcels.iter().any(|it| it.against.is_empty());
    if !fitting {
        lines.push("No parcel of your supplies takes this album.".to_owned());
    }
    for (n, tried) in parcels.iter().enumerate() {
        let Some(parcel) = album.supplies.parcels.get(tried.parcel) else {
            continue;
        };
        let price = match parcel.price {
            Some(price) => format!(", {}", price),
            None => ", no price".to_owned(),
        };
        let name = format!("{}{price}", parcel.name);
        lines.push(match (tried.against.is_empty(), n) {
            (true, 0) => {
                let cheapest = if parcel.price.is_some() {
                    "The cheapest: "
                } else {
                    ""
                };
                format!(
                    "{cheapest}{name}. With the album: {}.",
                    weighs(ruler, tried.grams)
                )
            }
            (true, _) => format!("{name}: takes it too."),
            (false, _) => {
                let why = tried
                    .against
                    .iter()
                    .map(|it| against(ruler, parcel, tried, it));
                let why: Vec<String> = why.collect();
                format!("{name}: {}.", why.join("; "))
            }
        });
    }
    lines
}

/// Why a parcel does not take the album.
pub fn against(ruler: Ruler, parcel: &Parcel, tried: &Tried, why: &Against) -> String {
    match why {
        Against::Small(missing) => {
            let short = missing.iter().filter(|side| **side > Length::ZERO);
            let short: Vec<String> = short.map(|side| ruler.about(*side)).collect();
            let padding = match parcel.padding > Length::ZERO {
                true => " with its padding",
                false => "",
            };
            format!(
                "too small{padding}, by {} even the best way round",
                listed(&short)
            )
        }
        Against::Heavy(most) => format!(
            "{} too heavy: it may weigh {}, and weighs up to {}",
            number(Number::new(tried.grams.most, 1_000_000) - *most),
            number(*most),
            grams(Grams {
                least: tried.grams.most,
                most: tried.grams.most
            })
        ),
        Against::Around(most, is) => format!(
            "its length and around it together are {}; at most {} are allowed",
            ruler.about(*is),
            ruler.show(*most)
        ),
    }
}

pub(super) fn assumed(Answer { priced, .. }: Answer<'_>) -> Section {
    let mut lines = said_of(&priced.weight);
    lines.push("Glue and ink are left out.".to_owned());
    Section::new("Assumed", vec![Block::dashes(lines)])
}

/// What is assumed, one line for all things that it is assumed of.
pub fn said_of(weight: &Weight) -> Vec<String> {
    let mut all: Vec<(What, By, Vec<String>)> = Vec::new();
    for line in &weight.lines {
        for by in &line.assumed {
            let alike = |what: What, known: By| match by {
                By::Usual(..) => (what, known) == (line.what, *by),
                _ => known == *by,
            };
            match all.iter_mut().find(|(what, known, _)| alike(*what, *known)) {
                Some((_, _, names)) => names.push(named(line)),
                None => all.push((line.what, *by, vec![named(line)])),
            }
        }
    }
    all.into_iter()
        .map(|(what, by, names)| said(what, by, &listed(&names)))
        .collect()
}

fn said(what: What, by: By, names: &str) -> String {
    let names = capital(&plain(names));
    match (what, by) {
        (_, By::Shape) => format!(
            "{names}: paper reckoned from its size, without seams. Weigh one: `weight = \"6 g\"`."
        ),
        (What::Bags, By::Usual(least, most)) => {
            format!(
                "{names}: paper of {least} to {most} g/m2, as bags usually have. Type its weight, `weight = \"80 g/m2\"`."
            )
        }
        (_, By::Usual(least, most)) => {
            format!(
                "{names}: {least} to {most} g/m2, as is usual. Type what the pack says: `weight = \"200 g/m2\"`."
            )
        }
        (_, By::Thickness) => {
            format!(
                "{names}: reckoned from its thickness. Type what the pack says: `weight = \"200 g/m2\"`."
            )
        }
        (_, By::Steel) => {
            format!(
                "{names}: a steel wire of its size, without a hinge. Weigh one: `weight = \"2 g\"`."
            )
        }
        (_, By::UsualWire) => {
            format!(
                "{names}: a steel wire of 2 to 3 mm, without a hinge. Measure its `wire`, or weigh one: `weight = \"2 g\"`."
            )
        }
    }
}
