//! What the maker has: the leaves and the bag, and what goes where on the leaf that is looked at; the rest
//! of it is `home`. In a box stands what the maker says; without one it is worked out.

use super::form::{
    At, Holds, button, capital, entry, id, plain, select, shown, shown_if, sized, tab, tick,
};
use super::home::{cards, goods, holes, its, kinds, papers, price, selling, usual, wishes};
use super::leaf::letters;
use crate::album::{Album, Grip, Insert, Leaf, PartPaper};
use crate::length::{Interval, Ruler};
use crate::open::sight::{Begun, Now, Read, Sight, field};
use crate::plan::{InsertPlan, LeafPlan, Plan};
use crate::style::Style;
use crate::style::parts::{Part, Slot};
use crate::supplies::{Bag, Bottom, Card};
use itertools::Itertools;
use maud::{Markup, html};
use serde_json::json;

/// Rulers to choose from: the step, and what it means.
const RULERS: [(&str, &str); 6] = [
    ("1/16 in", "inches, to 1/16"),
    ("1/8 in", "inches, to 1/8"),
    ("1/4 in", "inches, to 1/4"),
    ("0.5 mm", "millimetres, to 0.5"),
    ("1 mm", "millimetres, to 1"),
    ("0.1 cm", "centimetres, to 0.1"),
];

/// The leaves, and the bag of the one that is looked at.
pub fn bag(sight: &Sight<'_>) -> Markup {
    if let Now::Empty(begun) = sight.now {
        return first_bag(begun);
    }
    let Some(read) = sight.read else {
        return html! { p { "Mend the album's text below first." } };
    };
    let album = read.album;
    let Some(leaf) = album.leaves.get(sight.look.leaf).or(album.leaves.first()) else {
        return html! {};
    };
    html! {
        p class="law" data-key="law" { "In a box: what you say. An empty box is worked out." }
        (rulers(album.ruler, data_ruler(album.ruler).as_str()))
        fieldset data-key="leaves" {
            legend { "Leaves" }
            @for (n, it) in album.leaves.iter().enumerate() {
                label class="tick" data-key=(id(&["pick", &it.name])) {
                    input type="radio" name="leaf" id=(id(&["pick", &it.name]))
                        data-post="/look" data-body=(json!({ "leaf": n })) checked[it.name == leaf.name];
                    span { (it.name) ", " (it.count) " of " (bag_name(album, it)) }
                }
            }
            (button("Add a kind of leaf", "/add", &json!({ "what": "leaf", "like": leaf.name })))
        }
        (leaf_boxes(read, leaf))
        @if let Some(bag) = album.supplies.bags.get(leaf.bag) {
            (bag_boxes(read, bag))
            (other_bags(read, bag))
        }
        (largest(sight, leaf))
    }
}

fn bag_name<'a>(album: &'a Album, leaf: &Leaf) -> &'a str {
    let bag = album.supplies.bags.get(leaf.bag);
    bag.map_or("", |bag| bag.name.as_str())
}

/// The ruler as it is chosen: its step in its own unit.
fn data_ruler(ruler: Ruler) -> String {
    ruler.show(ruler.step())
}

fn rulers(ruler: Ruler, chosen: &str) -> Markup {
    let known = |text: &str| Ruler::parse(text).is_ok_and(|it| it == ruler);
    let mut all: Vec<(String, String)> = RULERS
        .iter()
        .map(|(step, words)| ((*step).to_owned(), (*words).to_owned()))
        .collect();
    let value = match RULERS.iter().find(|(step, _)| known(step)) {
        Some((step, _)) => (*step).to_owned(),
        None => {
            all.push((chosen.to_owned(), format!("steps of {chosen}")));
            chosen.to_owned()
        }
    };
    select("I measure in", At::of(&["ruler"]), &all, &value)
}

/// Two numbers before anything else is known: the same boxes as those of a bag.
fn first_bag(begun: Begun<'_>) -> Markup {
    let ruler = Ruler::parse(begun.ruler);
    let first = |of: &str, key| At::called(of, &["first", key]);
    html! {
        p data-key="how" { "Lay one bag flat on the table and measure it." }
        @if let Ok(ruler) = ruler { (rulers(ruler, begun.ruler)) }
        div class="bag" data-key="bag-box" {
            (entry("Width", first(WIDTH, "width"), Holds::Length, begun.width, ""))
            (entry("Height, from its bottom to its opening", first(HEIGHT, "height"), Holds::Length, begun.height, ""))
            (entry("Gusset, opened", first(GUSSET, "gusset"), Holds::Length, begun.gusset, "none"))
        }
    }
}

/// The boxes of a bag's first measures, whichever bag it is.
const WIDTH: &str = "f-bag-width";
const HEIGHT: &str = "f-bag-height";
const GUSSET: &str = "f-bag-gusset";

fn leaf_boxes(read: Read<'_>, leaf: &Leaf) -> Markup {
    let of = |key| At::called(&format!("f-leaf-{key}"), &["leaf", &leaf.name, key]);
    let count = leaf.count.to_string();
    let bags = read.album.supplies.bags.iter();
    let bags: Vec<(String, String)> = bags
        .map(|bag| (bag.name.clone(), bag.name.clone()))
        .collect();
    let several = read.album.leaves.len() > 1;
    html! {
        details data-key="leaf-boxes" {
            summary { "About " (leaf.name) span class="quiet" { " name, how many, cover" } }
            (entry("Name", of("name"), Holds::Name, &leaf.name, ""))
            (entry("How many", of("count"), Holds::Count, &count, "1"))
            (select("Bag", of("bag"), &bags, bag_name(read.album, leaf)))
            (tick("This is the cover: turned over, plain back outside", of("turned"), leaf.turned))
            @if several {
                @let at = read.album.leaves.iter().position(|it| it.name == leaf.name).unwrap_or_default();
                @let field = field::join(&["leaf", &leaf.name]);
                @if at > 0 { (button(&format!("{} forward in the album", capital(&leaf.name)), "/shift", &json!({ "field": field, "forward": true }))) " " }
                @if at + 1 < read.album.leaves.len() { (button(&format!("{} back in the album", capital(&leaf.name)), "/shift", &json!({ "field": field, "forward": false }))) " " }
                (button(&format!("Remove {}", leaf.name), "/remove", &json!({ "field": field::join(&["leaf", &leaf.name]) })))
            }
        }
    }
}

/// The bag flat on the table, with its measures as boxes.
fn bag_boxes(read: Read<'_>, bag: &Bag) -> Markup {
    let ruler = read.album.ruler;
    let of = |key| At::called(&format!("f-bag-{key}"), &["bag", &bag.name, key]);
    let pocket = |key| {
        At::called(
            &format!("f-pocket-{key}"),
            &["bag", &bag.name, "pocket", key],
        )
    };
    let edge = bag.pocket.as_ref().map(|it| it.edge);
    let depth = bag.pocket.as_ref().and_then(|it| it.depth);
    html! {
        h3 data-key="bag-head" { "The bag: " (bag.name) }
        @if let Some(file) = read.elsewhere(bag.place) {
            p class="quiet" data-key="bag-file" { "It stands in " (file.rsplit('/').next().unwrap_or(file)) ". What you change here stays in this album." }
        }
        div class="bag" data-key="bag-box" {
            (flat(bag))
            (entry("Width", At::called(WIDTH, &["bag", &bag.name, "width"]), Holds::Length, &shown(ruler, bag.width), ""))
            (entry(&high(read.style), At::called(HEIGHT, &["bag", &bag.name, "height"]), Holds::Length, &shown(ruler, bag.height), ""))
            (entry("Gusset, opened", At::called(GUSSET, &["bag", &bag.name, "gusset"]), Holds::Length, &shown_if(ruler, bag.gusset), "none"))
        }
        details data-key="bag-more" {
            summary { "More about this bag" span class="quiet" { " pocket, thickness" (caliper(ruler, bag)) } }
            (entry("Its name", of("name"), Holds::Name, &bag.name, ""))
            div class="two" {
                (entry("Pocket's edge above the tail", pocket("edge"), Holds::Length, &shown_if(ruler, edge), "worked out"))
                // Only of a pocket whose edge is said.
                @if edge.is_some() {
                    (entry("How far a card slides down in the pocket", pocket("depth"), Holds::Length, &shown_if(ruler, depth), "worked out"))
                }
                (entry("Price of one bag", of("price"), Holds::Words, &price(bag.price), "not said"))
            }
            (entry("Thickness of one layer", of("caliper"), Holds::Length, &shown_if(ruler, bag.caliper), "assumed"))
            @let bottoms = [("", "not said"), ("block", "folds flat to a flap"), ("pinch", "no gusset, glued")];
            @let bottoms = bottoms.map(|(value, words)| (value.to_owned(), words.to_owned()));
            @let chosen = match (bag.bottom, bag.gusset) { (Bottom::Pinch, _) => "pinch", (Bottom::Block, Some(_)) => "block", _ => "" };
            (select("Its bottom", of("bottom"), &bottoms, chosen))
            // A bag with a gusset has a flap for its pocket.
            @if bag.gusset.is_none() || bag.folded.is_some() {
                (entry("Leaf's height, where a flat bag is folded up to make a pocket", of("folded"), Holds::Length, &shown_if(ruler, bag.folded), "not folded"))
            }
            (button("Another bag", "/add", &json!({ "what": "bag", "like": bag.name })))
        }
    }
}

/// The bags of which this leaf is not made.
fn other_bags(read: Read<'_>, shown_bag: &Bag) -> Markup {
    let bags = read.album.supplies.bags.iter();
    let all: Vec<&Bag> = bags.filter(|it| it.name != shown_bag.name).collect();
    let ruler = read.album.ruler;
    html! {
        @if !all.is_empty() {
            details data-key="other-bags" open[all.iter().any(|it| it.place.file == read.own)] {
                summary { "Other bags" span class="quiet" { " " (all.iter().map(|it| it.name.as_str()).join(", ")) } }
                @for bag in all {
                    @let of = its("bag", &bag.name);
                (goods("bag", &bag.name, bag.price, &html! {
                        (entry("Width", of("width"), Holds::Length, &shown(ruler, bag.width), ""))
                        (entry("Height", of("height"), Holds::Length, &shown(ruler, bag.height), ""))
                        (entry("Gusset, opened", of("gusset"), Holds::Length, &shown_if(ruler, bag.gusset), "none"))
                    }))
                }
            }
        }
    }
}

/// The bag's height in words: from which end to which.
fn high(style: &Style) -> String {
    let Some((_, frame)) = style.leaf_frame() else {
        return "Height".to_owned();
    };
    let low = frame.edges[2].split(", ").next().unwrap_or_default();
    let high = frame.edges[3].rsplit(", ").next().unwrap_or_default();
    format!("Height, {low} to {high}")
}

fn caliper(ruler: Ruler, bag: &Bag) -> String {
    bag.caliper
        .map_or(String::new(), |it| format!(", {} thick", shown(ruler, it)))
}

/// A small picture of the flat bag: its face, its pocket's edge, and arrows at the two first measures.
fn flat(bag: &Bag) -> Markup {
    let (wide, high) = (
        bag.width.middle().nm().max(1),
        bag.height.middle().nm().max(1),
    );
    let (width, height) = fit(wide, high, 104, 150);
    let up = |length: Interval| length.middle().nm().saturating_mul(height) / high;
    let edge = bag.pocket.as_ref().map(|it| height - up(it.edge));
    let flap = bag.gusset.filter(|_| bag.bottom == Bottom::Block);
    let flap = flap.map(|gusset| height - up(gusset) / 2);
    html! {
        svg class="flat" data-key="flat" aria-hidden="true" viewBox=(format!("-4 -4 {} {}", width + 24, height + 24))
            width=(width + 24) height=(height + 24) {
            rect class="bagface" x="0" y="0" width=(width) height=(height) {}
            @if let Some(y) = edge { path class="edge" d=(format!("M0 {y}H{width}")) {} }
            @if let Some(y) = flap { path class="hidden" d=(format!("M0 {y}H{width}")) {} }
            path class="arrow" d=(format!("M0 {y}H{width}M0 {top}V{low}M{width} {top}V{low}", y = height + 10, top = height + 6, low = height + 14)) {}
            path class="arrow" d=(format!("M{x} 0V{height}M{left} 0H{right}M{left} {height}H{right}", x = width + 10, left = width + 6, right = width + 14)) {}
        }
    }
}

/// Sides in the same ratio, as large as both of these allow.
fn fit(wide: i64, high: i64, most_wide: i64, most_high: i64) -> (i64, i64) {
    let by_width = i128::from(most_wide) * i128::from(high) / i128::from(wide);
    match i64::try_from(by_width) {
        Ok(height) if height <= most_high => (most_wide, height.max(8)),
        _ => {
            let width = i128::from(most_high) * i128::from(wide) / i128::from(high);
            (i64::try_from(width).unwrap_or(most_wide).max(8), most_high)
        }
    }
}

/// The answer beside the boxes, for a screen on which the drawing is far away.
fn largest(sight: &Sight<'_>, leaf: &Leaf) -> Markup {
    let said = match (sight.now, sight.drawn()) {
        (Now::Fits { plan, .. }, _) => {
            let of_leaf = plan.leaves.iter().filter(|it| it.name == leaf.name);
            let photos = of_leaf
                .flat_map(|it| &it.inserts)
                .filter_map(|it| it.photo.as_ref());
            let area = |it: &&crate::plan::PhotoPlan| {
                i128::from(it.width.value.least().nm()) * i128::from(it.height.value.least().nm())
            };
            photos.max_by_key(area).map(|photo| {
                let size = sized(plan.ruler, photo.width.value, photo.height.value);
                format!("Largest photo {size}.")
            })
        }
        (Now::Clash { .. }, _) => {
            let all = super::fixes::troubles(sight);
            all.first().map(|it| format!("Does not fit: {}.", it.said))
        }
        _ => None,
    };
    html! { @if let Some(said) = said { p class="here" data-key="largest" { strong { (said) } } } }
}

/// Everything else that the maker has or wants.
pub fn have(sight: &Sight<'_>) -> Markup {
    let Some(read) = sight.read.filter(|_| !matches!(sight.now, Now::Empty(_))) else {
        return html! {};
    };
    let album = read.album;
    let leaf = album.leaves.get(sight.look.leaf).or(album.leaves.first());
    html! {
        @if let Some(leaf) = leaf {
            (places(sight, read, leaf))
            (mats(sight, read, leaf))
        }
        (kinds(read))
        (papers(read))
        (cards(read))
        (holes(sight, read))
        (wishes(read))
        (selling(read))
        (usual(read))
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
    let style = read.style;
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
    json!({ "what": "insert", "leaf": leaf.name, "place": slot.place, "section": slot.section.as_deref().unwrap_or_default() })
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
    let grip = match insert.grip {
        Grip::Plain => "plain",
        Grip::Notch => "notch",
        Grip::Tab => "tab",
        Grip::String => "string",
    };
    let grips = grips.map(|(value, words)| (value.to_owned(), words.to_owned()));
    let name = plain(&insert.name);
    html! {
        div class="tucked" data-key=(format!("tucked{number}")) {
            p { @if let Some(letter) = letter { (tab(letter)) " " } strong { (name) }
                @if let Some(it) = found { ", " (sized(ruler, it.width.value, it.height.value)) } }
            @if card.is_none() {
                div class="two" {
                    (entry(&format!("Width of {name}"), of("width"), Holds::Length, &said(&insert.width), &worked(|it| it.width.value)))
                    (entry(&format!("Height of {name}"), of("height"), Holds::Length, &said(&insert.height), &worked(|it| it.height.value)))
                }
            }
            details data-key=(format!("more{number}")) {
                summary { "More about " (name) }
                (entry("Its name", of("name"), Holds::Name, &name, ""))
                (select("What it is", of("what"), &whats, &what))
                (entry("How much shows", of("show"), Holds::Length, &said(&insert.show), "as it comes"))
                (select("Taken hold of by", of("grip"), &grips, grip))
                @if card.is_none() { (select("Paper", of("paper"), &paper_names(read, &insert.papers, "not decided"), &first_paper(read, &insert.papers))) }
                (entry("How many, one on the other", of("count"), Holds::Count, &insert.count.to_string(), "1"))
                (button(&format!("Take {name} out"), "/remove", &json!({ "field": field::join(&["leaf", &leaf.name, "insert", &insert.name]) })))
            }
        }
    }
}

/// Papers to choose from; of several that are named together the choice says so.
fn paper_names(read: Read<'_>, chosen: &[usize], none: &str) -> Vec<(String, String)> {
    let papers = &read.album.supplies.papers;
    let mut all = vec![(String::new(), none.to_owned())];
    if chosen.len() > 1 {
        let names = chosen.iter().filter_map(|at| papers.get(*at));
        let names = names.map(|it| it.name.as_str()).collect::<Vec<_>>();
        all.push((first_paper(read, chosen), names.join(" or ")));
    }
    all.extend(papers.iter().map(|it| (it.name.clone(), it.name.clone())));
    all
}

fn first_paper(read: Read<'_>, chosen: &[usize]) -> String {
    let papers = &read.album.supplies.papers;
    match chosen {
        [] => String::new(),
        [one] => papers.get(*one).map_or(String::new(), |it| it.name.clone()),
        // As the file has it: it stays unless something else is chosen.
        _ => "(several)".to_owned(),
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
        let (papers, chosen): (&[usize], String) = match said(name) {
            Some(PartPaper::Papers(all)) => (all, first_paper(read, all)),
            Some(PartPaper::None) => (&[], "none".to_owned()),
            Some(PartPaper::Any) => (&[], "any".to_owned()),
            None if is_usual(name) => (&[], "any".to_owned()),
            None => (&[], "none".to_owned()),
        };
        let none = ("none".to_owned(), "none".to_owned());
        let papers = paper_names(read, papers, "any paper").into_iter();
        let papers = papers.map(|(value, words)| match value.is_empty() {
            true => ("any".to_owned(), words),
            false => (value, words),
        });
        let all: Vec<(String, String)> = [none].into_iter().chain(papers).collect();
        let at = At::called(&format!("f-part-{name}"), &["leaf", &leaf.name, name]);
        select(&label, at, &all, &chosen)
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
