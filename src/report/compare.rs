//! Bags side by side: a table of the best, what each of them gives, and what the others would need.
//!
//! This file is the table; `held` tells what holds the photos back, `details` what single bags give,
//! `less` what those lack that give too little, `failed` what stops the others; `csv` tells the same of every bag for other programs, one row after the other.

pub mod csv;
mod details;
mod failed;
mod held;
mod less;
pub mod sweep;

pub(super) use details::costs;
pub use failed::stopped;
use held::Held;

use super::words::{capital, count, listed, plain, table, titled, width, wrapped};
use super::{From, fit::Detail};

pub(super) use super::why::sense;
use crate::compare::rank::{Ranked, Respect};
use crate::compare::{Comparison, Offer, Photo, Scope};
use crate::length::{Interval, Length, Ruler};
use crate::plan::Certainty;
use crate::supplies::Bag;

/// The longest name in the table (letters).
const NAME: usize = 24;
/// And as short as it may be cut.
const SHORT: usize = 8;

/// The comparison as text for a screen of 80 letters.
pub fn text(from: From<'_>, compared: &Comparison, detail: Detail) -> String {
    let ruler = from.ruler;
    let mut text = titled(&capital(from.title), ruler);
    text.push_str(&wrapped(&what(from, compared), "", ""));
    text.push_str(&wrapped(&became(compared), "", ""));
    if !compared.ranked.is_empty() {
        let held = Held::of(&compared.ranked);
        text.push('\n');
        text.push_str(&ranked(ruler, compared, &held));
        text.push_str(&marks(compared));
        text.push_str(&held.text());
        text.push_str(&details::text(from, compared, detail));
    }
    text.push_str(&less::text(from, compared));
    if !compared.failed.is_empty() {
        text.push_str(&failed::text(from, compared));
    }
    text
}

/// What was compared.
fn what(from: From<'_>, compared: &Comparison) -> String {
    let Scope {
        leaves,
        all,
        bags,
        left_out,
        photo,
    } = &compared.scope;
    let tried = count(compared.counts.taken, "bag", "bags");
    let place = match (from.bag, all) {
        (true, _) => "each as the leaf".to_owned(),
        (false, true) => format!(
            "each in the place of the album's own: {}",
            count(*bags, "bag", "bags")
        ),
        (false, false) => format!(
            "each in the place of those of {}: {}",
            listed(leaves),
            count(*bags, "bag", "bags")
        ),
    };
    let mut said = format!("{tried}, {place}.");
    let by: Vec<&str> = respects(compared).map(Respect::name).collect();
    said.push_str(&format!(" In order of {}.", by.join(", then ")));
    match photo {
        Some((leaf, on)) if from.leaves > 1 => said.push_str(&format!(
            " The photo is that of {} ({leaf}), which the album prefers.",
            plain(on)
        )),
        None if from.leaves > 1 && respects(compared).any(|by| by == Respect::Photo) => {
            said.push_str(" The photo is the largest of these leaves.")
        }
        _ => {}
    }
    if !left_out.is_empty() {
        said.push_str(&format!(
            " Left out, as it was measured on the old bags: {}.",
            listed(left_out)
        ));
    }
    said
}

/// What bags are compared by; a photo only if one of them holds any.
fn respects(compared: &Comparison) -> impl Iterator<Item = Respect> {
    let ranked = &compared.ranked;
    let photos = ranked.is_empty() || ranked.iter().any(|it| photo(&it.offer).is_some());
    let alone = compared.by.len() == 1;
    let all = compared.by.iter().copied();
    all.filter(move |by| photos || alone || *by != Respect::Photo)
}

/// What is said where the time was up before the end of a list.
pub const UNREAD: &str = "The time was up before the end of the list, so better bags may follow; \
                          give it more with `--time 600`.";

/// The verdict over all bags.
fn became(compared: &Comparison) -> String {
    let counts = compared.counts;
    let mut said = Vec::new();
    let best = |ranked: &Ranked| {
        let fit = ranked.offer.fit();
        fit.is_some_and(|fit| fit.certainty == Certainty::Best)
    };
    let proved = match compared.ranked.iter().all(best) {
        true => ", and every size of those below is proved best",
        false => "; of some below a limit was met before every size was proved best",
    };
    let fits = count(counts.fit, "fits", "fit");
    let wanted = || {
        let words = compared.at_least.iter().map(|it| it.words.clone());
        listed(&words.collect::<Vec<_>>())
    };
    said.push(match counts.fit {
        0 if counts.taken == 0 => "Nothing was compared.".to_owned(),
        0 if counts.small > 0 => {
            let fits = count(counts.small, "fits", "fit");
            format!("None gives {}; {fits}, with less.", wanted())
        }
        0 => "None fits.".to_owned(),
        _ => format!("{fits}{proved}."),
    });
    if counts.small > 0 && counts.fit > 0 {
        let fits = count(counts.small, "fits", "fit");
        said.push(format!("{fits} too, but with less than {}.", wanted()));
    }
    if counts.clash > 0 {
        said.push(format!(
            "{}.",
            count(counts.clash, "does not fit", "do not fit")
        ));
    }
    if counts.open > 0 {
        let open = count(counts.open, "is undecided", "are undecided");
        said.push(format!("{open}: a limit was met first."));
    }
    if compared.unread {
        said.push(UNREAD.to_owned());
    }
    said.join(" ")
}

/// The table, with names as long as a screen has room for.
fn ranked(ruler: Ruler, compared: &Comparison, held: &Held) -> String {
    let fits = |text: &String| text.lines().all(|line| line.chars().count() <= width());
    let tables = (SHORT..=NAME)
        .rev()
        .map(|name| best(ruler, compared, held, name));
    let mut short = String::new();
    for table in tables {
        if fits(&table) {
            return table;
        }
        short = table;
    }
    short
}

fn best(ruler: Ruler, compared: &Comparison, held: &Held, name: usize) -> String {
    let several = compared
        .ranked
        .iter()
        .any(|r| !held.own(&r.offer).is_empty());
    let photos = compared.ranked.iter().any(|r| photo(&r.offer).is_some());
    let rings = compared.ranked.iter().any(|r| leaves(&r.offer).is_some());
    let prices = compared.ranked.iter().any(|r| r.offer.cost.price.is_some());
    let shown = [true, true, photos, rings, prices, several];
    let heads = ["", "Bag", "Photo", "On a ring", "Price", "Limited by"];
    let row = |ranked: &Ranked| {
        let offer = &ranked.offer;
        let place = ranked.rank.map_or("-".to_owned(), |rank| rank.to_string());
        let mark = if ranked.unbeaten { "*" } else { " " };
        let none = || "-".to_owned();
        [
            format!("{place}{mark}"),
            shortened(&offer.bag.name, name),
            photo(offer).map_or_else(none, |p| size(ruler, p.width, p.height)),
            leaves(offer).map_or_else(none, |n| n.to_string()),
            offer
                .cost
                .price
                .map_or_else(none, |price| price.to_string()),
            held.cell(offer),
        ]
    };
    let keep = |cells: [String; 6]| -> Vec<String> {
        let cells = cells.into_iter().zip(shown);
        cells
            .filter(|(_, shown)| *shown)
            .map(|(cell, _)| cell)
            .collect()
    };
    let rows: Vec<Vec<String>> = compared.ranked.iter().map(|r| keep(row(r))).collect();
    let heads = keep(heads.map(str::to_owned));
    let heads: Vec<&str> = heads.iter().map(String::as_str).collect();
    let numbers = ["", "On a ring", "Price"];
    let right: Vec<usize> = (0..heads.len())
        .filter(|n| numbers.contains(&heads[*n]))
        .collect();
    table(&heads, &rows, &right, "  ")
}

/// What the signs in the table mean.
fn marks(compared: &Comparison) -> String {
    let unbeaten: Vec<&Ranked> = compared.ranked.iter().filter(|r| r.unbeaten).collect();
    let mut said = self::unbeaten(compared);
    if unbeaten.iter().any(|r| r.rank.is_none()) {
        said.push_str(" - Behind others that are not shown.");
    }
    let mut told = Vec::new();
    let first = |r: &&&Ranked| {
        let again = r.rank.is_some() && told.contains(&r.rank);
        told.push(r.rank);
        !again
    };
    let tied: Vec<String> = unbeaten
        .iter()
        .filter(|r| r.ties > 0)
        .filter(first)
        .map(|r| {
            let others = count(r.ties, "other", "others");
            format!("{} and {others}", r.offer.bag.name)
        })
        .collect();
    let mut text = wrapped(&said, "  ", "    ");
    if !tied.is_empty() {
        let said = format!("Alike in every respect: {}.", tied.join("; "));
        text.push_str(&wrapped(&said, "  ", "    "));
    }
    if let Some(said) = few(compared) {
        text.push_str(&wrapped(&said, "  ", "    "));
    }
    text
}

/// Of which bags there are too few, and the best of those that are enough, if it stands behind them.
fn few(compared: &Comparison) -> Option<String> {
    let offers = || compared.ranked.iter().map(|ranked| &ranked.offer);
    let few = offers().filter_map(|it| Some((it, it.too_few()?)));
    let few: Vec<String> = few
        .map(|(it, have)| {
            let (name, need) = (&it.bag.name, it.cost.bags);
            format!("{name}: you have {have}, you need {need}")
        })
        .collect();
    if few.is_empty() {
        return None;
    }
    let mut said = format!("Too few at hand. {}.", few.join("; "));
    let enough = |it: &&Offer| it.bag.count.is_some() && it.too_few().is_none();
    if offers().next().is_some_and(|it| it.too_few().is_some())
        && let Some(it) = offers().find(enough)
    {
        said.push_str(&format!(" Best of those that are enough: {}.", it.bag.name));
    }
    Some(said)
}

/// What the star means.
pub fn unbeaten(compared: &Comparison) -> String {
    let each: Vec<String> = respects(compared).map(|by| better(by).to_owned()).collect();
    let mut said = match &each[..] {
        [one] => format!("* No other bag is better in this: {one}."),
        _ => format!(
            "* No other bag is as good in every respect and better in one: {}.",
            listed(&each)
        ),
    };
    if compared.by.contains(&Respect::Price) {
        said.push_str(" A bag without a price counts as the dearest.");
    }
    said
}

/// A size as it is read; also for drawings.
pub fn size(ruler: Ruler, width: Interval, height: Interval) -> String {
    super::words::size(ruler, width, height)
}

/// A length without its unit, for a scale that names it.
pub fn bare(ruler: Ruler, length: Length) -> String {
    let shown = ruler.show(length);
    let unit = ruler.unit().name();
    shown
        .strip_suffix(unit)
        .unwrap_or(&shown)
        .trim_end()
        .to_owned()
}

fn better(respect: Respect) -> &'static str {
    match respect {
        Respect::Photo => "a larger photo (its shorter side first)",
        Respect::Price => "less money for the bags",
        Respect::Leaves => "more leaves on the ring",
        Respect::Paper => "less paper",
        Respect::Thickness => "a thinner stack at the holes",
    }
}

fn photo(offer: &Offer) -> Option<&Photo> {
    offer.fit()?.photo.as_ref()
}

fn leaves(offer: &Offer) -> Option<i64> {
    offer.fit()?.leaves_on_ring()
}

/// A name that the table has room for.
fn shortened(name: &str, most: usize) -> String {
    match name.chars().count() > most {
        false => name.to_owned(),
        true => {
            let some: String = name.chars().take(most - 2).collect();
            format!("{}..", some.trim_end())
        }
    }
}

/// Width, gusset and height of a bag, and how high it is folded.
pub fn measures(ruler: Ruler, bag: &Bag) -> String {
    let sides = match bag.gusset {
        None => format!("{}, flat", size(ruler, bag.width, bag.height)),
        Some(gusset) if bag.width.is_exact() && bag.height.is_exact() && gusset.is_exact() => {
            ruler.show_sides(&[bag.width.least(), gusset.least(), bag.height.least()])
        }
        Some(gusset) => format!(
            "{}, gusset {}",
            size(ruler, bag.width, bag.height),
            ruler.show_interval(gusset)
        ),
    };
    match bag.folded {
        Some(folded) => format!("{sides}, folded to {}", ruler.show_interval(folded)),
        None => sides,
    }
}
