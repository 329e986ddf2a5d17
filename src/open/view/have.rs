//! What goes where on the leaf that is looked at, and the paper on it; its bag is `bags`, the rest of what the
//! maker has `home`. In a box stands what the maker says; without one it is worked out.

use super::form::{
    At, Holds, button, capital, entry, id, plain, select, shown, shown_if, sized, tab,
};
use super::leaf::letters;
use super::papers::{first_paper, paper_box, paper_names};
use crate::album::{Insert, Leaf, Photo, WayUp};
use crate::length::Interval;
use crate::open::sight::{Now, Read, Sight, field};
use crate::plan::{InsertPlan, LeafPlan, Plan};
use crate::style::Style;
use crate::style::parts::{Part, Slot};
use crate::supplies::Card;
use itertools::Itertools;
use maud::{Markup, html};
use serde_json::json;

/// What goes where on the leaf that is looked at, and its paper.
pub fn have(sight: &Sight<'_>) -> Markup {
    let read = sight.read.filter(|_| !matches!(sight.now, Now::Empty(_)));
    let leaf = read.and_then(|read| Some((read, super::bags::leaf(sight, &read.album)?)));
    html! {
        @if let Some((read, leaf)) = leaf {
            (places(sight, read, leaf))
            (mats(sight, read, leaf))
        }
    }
}

/// The insert is in that slot: of several of one place, in the first if no section is named.
fn is_in(style: &Style, insert: &Insert, slot: &Slot) -> bool {
    let goes = insert.goes.value.as_str();
    let goes = if goes.is_empty() {
        style.usual_place()
    } else {
        goes
    };
    let mut there = style.slots().filter(|(_, it)| it.place == goes);
    match &insert.section {
        Some(section) => slot.place == goes && slot.section.as_ref() == Some(&section.value),
        None => there.next().is_some_and(|(_, first)| first == slot),
    }
}

/// A tick for each place of the style, and what goes there.
fn places(sight: &Sight<'_>, read: Read<'_>, leaf: &Leaf) -> Markup {
    let style = &read.style;
    let letters = letters(sight, &leaf.name);
    let plan = sight.drawn().and_then(|(plan, _)| plan_of(plan, leaf));
    let mut slots: Vec<(&Part, &Slot)> = Vec::new();
    for (part, slot) in style.slots() {
        // The same slot may come in several cases.
        let alike =
            |(_, it): &(&Part, &Slot)| (&it.place, &it.section) == (&slot.place, &slot.section);
        if !slots.iter().any(alike) {
            slots.push((part, slot));
        }
    }
    // Of a place that is one slot here and several in another bag only those of this bag are offered.
    let at = read.album.leaves.iter().position(|it| it.name == leaf.name);
    let frames = sight.drawn().into_iter().flat_map(|(plan, _)| &plan.frames);
    if let Some(frame) = frames.into_iter().find(|it| it.leaf == at && at.is_some()) {
        let here = |part: &Part| frame.slots().any(|it| it.name == part.name);
        let places = slots.iter().filter(|(part, _)| here(part));
        let places: Vec<&str> = places.map(|(_, slot)| slot.place.as_str()).collect();
        let filled = |slot: &Slot| leaf.inserts.iter().any(|it| is_in(style, it, slot));
        slots.retain(|(part, slot)| {
            here(part) || !places.contains(&slot.place.as_str()) || filled(slot)
        });
    }
    html! {
        h3 data-key="places-head" { "What goes where on " (leaf.name) }
        ul class="places" data-key=(id(&["places", &leaf.name])) {
            @for (part, slot) in slots {
                @let here: Vec<&Insert> = leaf.inserts.iter().filter(|it| is_in(style, it, slot)).collect();
                li data-key=(id(&["place", &leaf.name, &part.name])) {
                    (place_tick(leaf, part, slot, &here))
                    @for insert in &here {
                        (tucked(read, leaf, insert, plan, letters.iter().find(|(name, _)| *name == insert.name).map(|(_, letter)| letter.as_str())))
                    }
                    @if !here.is_empty() {
                        (button(&format!("One more there: {}", part.title), "/add", &to_add(leaf, slot)))
                    }
                }
            }
        }
    }
}

fn plan_of<'a>(plan: &'a Plan, leaf: &Leaf) -> Option<&'a LeafPlan> {
    plan.leaves.iter().find(|it| it.name == leaf.name)
}

fn to_add(leaf: &Leaf, slot: &Slot) -> serde_json::Value {
    json!({ "leaf": leaf.name, "place": slot.place, "section": slot.section.as_deref().unwrap_or_default(), "what": "insert" })
}

fn place_tick(leaf: &Leaf, part: &Part, slot: &Slot, here: &[&Insert]) -> Markup {
    let of = id(&["tick", &leaf.name, &part.name]);
    let (path, body) = match here.first() {
        None => ("/add", to_add(leaf, slot)),
        Some(_) => {
            let all = here
                .iter()
                .map(|it| field::join(&["leaf", &leaf.name, "insert", &it.name]));
            ("/remove", json!({ "fields": all.collect::<Vec<_>>() }))
        }
    };
    html! {
        label class="tick" data-key=(of) {
            input id=(of) type="checkbox" data-post=(path) data-body=(body) checked[!here.is_empty()];
            span { (capital(&part.title)) @if here.is_empty() { ": nothing" } }
        }
    }
}

/// What lies in a place: what it is, its size, how much shows, how it is taken hold of.
fn tucked(
    read: Read<'_>,
    leaf: &Leaf,
    insert: &Insert,
    plan: Option<&LeafPlan>,
    letter: Option<&str>,
) -> Markup {
    let ruler = read.album.ruler;
    let number = leaf.inserts.iter().position(|it| it.name == insert.name);
    let number = number.unwrap_or_default();
    let of = |key| {
        let path = ["leaf", &leaf.name, "insert", &insert.name, key];
        At::called(&format!("f-insert{number}-{key}"), &path)
    };
    let found = plan.and_then(|plan| plan.inserts.iter().find(|it| it.name == insert.name));
    let worked = |side: fn(&InsertPlan) -> Interval| {
        found.map_or(String::new(), |it| shown(ruler, side(it)))
    };
    let said = |side: &Option<crate::text::Said<Interval>>| {
        shown_if(ruler, side.as_ref().map(|it| it.value))
    };
    let cards = &read.album.supplies.cards;
    let card = insert.card.and_then(|at| cards.get(at));
    let what = match (card, &insert.photo) {
        (Some(card), _) => format!("card:{}", card.name),
        (None, Some(_)) => "photo".to_owned(),
        (None, None) => "piece".to_owned(),
    };
    let mut whats = vec![
        ("piece".to_owned(), "a piece to cut".to_owned()),
        ("photo".to_owned(), "a photo on a mat".to_owned()),
    ];
    let named = |card: &Card| {
        (
            format!("card:{}", card.name),
            format!("my card: {}", card.name),
        )
    };
    whats.extend(cards.iter().map(named));
    let grips = [
        ("plain", "by what shows of it"),
        ("notch", "a thumb notch in the bag"),
        ("tab", "a pull tab"),
        ("string", "a string"),
    ];
    let grip = insert.grip.word();
    let grips = grips.map(|(value, words)| (value.to_owned(), words.to_owned()));
    let name = plain(&insert.name);
    html! {
        div class="tucked" data-key=(format!("tucked{number}")) {
            p { @if let Some(letter) = letter { (tab(letter)) " " } strong { (name) }
                @if let Some(it) = found { ", " (sized(ruler, it.width.value, it.height.value)) } }
            (select("What it is", of("what"), &whats, &what))
            @if card.is_none() {
                div class="two" {
                    (entry(&format!("Width of {name}"), of("width"), Holds::Length, &said(&insert.width), &worked(|it| it.width.value)))
                    (entry(&format!("Height of {name}"), of("height"), Holds::Length, &said(&insert.height), &worked(|it| it.height.value)))
                }
            }
            details data-key=(format!("more{number}")) {
                summary { "More about " (name) }
                (entry("Its name", of("name"), Holds::Name, &name, ""))
                @if let (Some(photo), None) = (&insert.photo, card) { (photo_boxes(read, leaf, insert, photo)) }
                @if card.is_none() { (entry("Its thickness, if not its paper's", of("caliper"), Holds::Length, &shown_if(ruler, insert.caliper), "assumed")) }
                (entry("How much shows", of("show"), Holds::Length, &said(&insert.show), "as it comes"))
                (select("Taken hold of by", of("grip"), &grips, grip))
                @if card.is_none() { (select("Paper", of("paper"), &paper_names(read, &insert.papers, "not decided"), &first_paper(read, &insert.papers))) }
                (entry("How many, one on the other", of("count"), Holds::Count, &insert.count.to_string(), "1"))
                (button(&format!("Take {name} out"), "/remove", &json!({ "field": field::join(&["leaf", &leaf.name, "insert", &insert.name]) })))
            }
        }
    }
}

/// What may be said of a photo: how it lies, its shape, its print.
fn photo_boxes(read: Read<'_>, leaf: &Leaf, insert: &Insert, photo: &Photo) -> Markup {
    let of = |key| At::of(&["leaf", &leaf.name, "insert", &insert.name, "photo", key]);
    let words = |way: &str| (way.to_owned(), way.to_owned());
    let ways = WayUp::WORDS.map(|(way, _)| words(way));
    let ways: Vec<_> = [(String::new(), "either way".to_owned())]
        .into_iter()
        .chain(ways)
        .collect();
    let shape = photo
        .shape
        .map_or(String::new(), |(a, b)| format!("{a}:{b}"));
    let all = &read.album.supplies.prints;
    let mut prints = vec![(String::new(), "any print".to_owned())];
    prints.extend(all.iter().map(|it| words(&it.name)));
    let chosen: Vec<&str> = photo
        .prints
        .iter()
        .filter_map(|at| Some(all.get(*at)?.name.as_str()))
        .collect();
    let print = match chosen[..] {
        [one] if all.len() > 1 => one.to_owned(),
        _ if chosen.len() < all.len() => {
            prints.push((chosen.join("\n"), chosen.join(" or ")));
            chosen.join("\n")
        }
        _ => String::new(),
    };
    html! {
        div class="two" {
            (select("The photo lies", of("lies"), &ways, photo.lies.map_or("", WayUp::word)))
            (entry("Its shape, such as 2:3", of("shape"), Holds::Words, &shape, "any"))
        }
        @if all.len() > 1 { (select("Its print", of("print"), &prints, &print)) }
    }
}

/// The pieces of paper that a leaf of this style may have.
fn mats(sight: &Sight<'_>, read: Read<'_>, leaf: &Leaf) -> Markup {
    let rare = read.rare.iter().map(|(name, _)| name.as_str());
    let names = read.style.papers_of_leaf().into_iter().chain(rare);
    let letters = letters(sight, &leaf.name);
    let said = |name: &str| {
        leaf.parts
            .iter()
            .find(|(part, _)| part == name)
            .map(|(_, it)| it)
    };
    let is_rare = |name: &str| read.rare.iter().any(|(it, _)| it == name);
    let is_usual = |name: &str| read.style.is_usual(name) && !is_rare(name);
    // What only some albums have is folded away while this leaf has it not.
    let (here, rare): (Vec<&str>, Vec<&str>) =
        names.partition(|name| is_usual(name) || said(name).is_some());
    let title = |name: &str| {
        let part = read.style.on_leaf_called(name);
        let known = part.map(|part| &part.title);
        let rare = || {
            read.rare
                .iter()
                .find(|(it, _)| it == name)
                .map(|(_, title)| title)
        };
        known
            .or_else(rare)
            .map_or_else(|| plain(name), Clone::clone)
    };
    let box_of = |name: &str| {
        let letter = letters.iter().find(|(of, _)| of == name);
        let letter = letter.map(|(_, letter)| format!("{letter}: "));
        let label = format!("{}{}", letter.unwrap_or_default(), title(name));
        let at = At::called(&format!("f-part-{name}"), &["leaf", &leaf.name, name]);
        paper_box(read, &label, at, said(name), is_usual(name))
    };
    html! {
        @if !(here.is_empty() && rare.is_empty()) {
            h3 data-key="mats-head" { "Paper on " (leaf.name) }
            div class="group" data-key=(id(&["mats", &leaf.name])) {
                @for name in here { (box_of(name)) }
                @if !rare.is_empty() {
                    details data-key="rare" {
                        summary { "More paper" span class="quiet" { " " (rare.iter().map(|name| title(name)).join(", ")) } }
                        @for name in rare { (box_of(name)) }
                    }
                }
            }
        }
    }
}
