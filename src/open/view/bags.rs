//! The leaves, and the bag of the one that is looked at, with its measures as boxes; and the other bags.

use super::form::{
    At, Holds, button, capital, entry, id, number, select, shown, shown_if, sized, tick,
};
use super::home::{adding, cost_box, its, thing};
use crate::album::{Album, Leaf};
use crate::length::{Interval, Ruler};
use crate::open::sight::{Begun, Now, Read, Sight, field};
use crate::style::Style;
use crate::supplies::{Bag, Bottom};
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
    let album = &read.album;
    let Some(leaf) = leaf(sight, album) else {
        return html! {};
    };
    html! {
        p class="law" data-key="law" { "In a box: what you say. An empty box is worked out." }
        (rulers(album.ruler, data_ruler(album.ruler).as_str(), &["ruler"]))
        fieldset data-key="leaves" {
            legend { "Leaves" }
            @for (n, it) in album.leaves.iter().enumerate() {
                label class="tick" data-key=(id(&["pick", &it.name])) {
                    input type="radio" name="leaf" id=(id(&["pick", &it.name]))
                        data-post="/look" data-body=(json!({ "leaf": n })) checked[it.name == leaf.name];
                    span { (it.name) ", " (it.count) " of " (bag_name(album, it)) }
                }
            }
            (button("Add a kind of leaf", "/add", &json!({ "like": leaf.name, "what": "leaf" })))
        }
        (leaf_boxes(read, leaf))
        @if let Some(bag) = album.supplies.bags.get(leaf.bag) {
            (bag_boxes(read, bag))
        }
        (largest(sight, leaf))
    }
}

/// The bags of which the leaf that is looked at is not made.
pub fn others(sight: &Sight<'_>) -> Markup {
    let read = sight.read.filter(|_| !matches!(sight.now, Now::Empty(_)));
    let leaf = read.and_then(|read| Some((read, leaf(sight, &read.album)?)));
    let bag = leaf.and_then(|(read, leaf)| Some((read, read.album.supplies.bags.get(leaf.bag)?)));
    html! { @if let Some((read, bag)) = bag { (other_bags(read, bag)) } }
}

/// The leaf that is looked at.
pub fn leaf<'a>(sight: &Sight<'_>, album: &'a Album) -> Option<&'a Leaf> {
    album.leaves.get(sight.look.leaf).or(album.leaves.first())
}

fn bag_name<'a>(album: &'a Album, leaf: &Leaf) -> &'a str {
    let bag = album.supplies.bags.get(leaf.bag);
    bag.map_or("", |bag| bag.name.as_str())
}

/// The ruler as it is chosen: its step in its own unit.
fn data_ruler(ruler: Ruler) -> String {
    ruler.show(ruler.step())
}

fn rulers(ruler: Ruler, chosen: &str, path: &[&str]) -> Markup {
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
    select("I measure in", At::called("f-ruler", path), &all, &value)
}

/// Two numbers before anything else is known: the same boxes as those of a bag.
fn first_bag(begun: &Begun) -> Markup {
    let ruler = Ruler::parse(&begun.ruler);
    let first = |of: &str, key| At::called(of, &["first", key]);
    html! {
        p data-key="how" { "Lay one bag flat on the table and measure it." }
        @if let Ok(ruler) = ruler { (rulers(ruler, &begun.ruler, &["first", "ruler"])) }
        div class="two" data-key="bag-box" {
            (entry("Width", first(WIDTH, "width"), Holds::Length, &begun.width, ""))
            (entry("Height, from its bottom to its opening", first(HEIGHT, "height"), Holds::Length, &begun.height, ""))
            (entry("Gusset, opened", first(GUSSET, "gusset"), Holds::Length, &begun.gusset, "none"))
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
            (select("Bag", of("bag"), &bags, bag_name(&read.album, leaf)))
            (tick("This is the cover: turned over, so that its back is outside", of("turned"), leaf.turned))
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
            (entry(&high(&read.style), At::called(HEIGHT, &["bag", &bag.name, "height"]), Holds::Length, &shown(ruler, bag.height), ""))
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
                (cost_box(of("price"), bag.price, bag.pack))
            }
            div class="two" {
                (entry("Thickness of one layer", of("caliper"), Holds::Length, &shown_if(ruler, bag.caliper), "assumed"))
                (entry("An empty leaf at its holes, squeezed", of("squeezed"), Holds::Length, &shown_if(ruler, bag.squeezed), "worked out"))
                (entry("Depth in front of the gusset", of("front_depth"), Holds::Length, &shown_if(ruler, bag.front_depth), "worked out"))
                (entry("Depth behind it", of("back_depth"), Holds::Length, &shown_if(ruler, bag.back_depth), "worked out"))
                (entry("How many", of("count"), Holds::Count, &number(bag.count), "not counted"))
                (entry("Bags in a pack", of("pack"), Holds::Count, &number(bag.pack), "1"))
            }
            @let bottoms = [("", "not said"), ("block", "folds flat to a flap"), ("pinch", "no gusset, glued")];
            @let bottoms = bottoms.map(|(value, words)| (value.to_owned(), words.to_owned()));
            @let chosen = match (bag.bottom, bag.gusset) { (Bottom::Pinch, _) => "pinch", (Bottom::Block, Some(_)) => "block", _ => "" };
            (select("Its bottom", of("bottom"), &bottoms, chosen))
            // A bag with a gusset has a flap for its pocket.
            @if bag.gusset.is_none() || bag.folded.is_some() {
                (entry("Leaf's height, where a flat bag is folded up to make a pocket", of("folded"), Holds::Length, &shown_if(ruler, bag.folded), "not folded"))
            }
            (adding("Another bag", "bag", &[("name", "Its name"), ("width", "Width"), ("height", "Height"), ("gusset", "Gusset, opened, if it has one")]))
        }
    }
}

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
                    @let edge = At::of(&["bag", &bag.name, "pocket", "edge"]);
                    (thing("bag", &bag.name, &html! {
                        (entry("Width", of("width"), Holds::Length, &shown(ruler, bag.width), ""))
                        (entry("Height", of("height"), Holds::Length, &shown(ruler, bag.height), ""))
                        (entry("Gusset, opened", of("gusset"), Holds::Length, &shown_if(ruler, bag.gusset), "none"))
                        (entry("Pocket's edge above the tail", edge, Holds::Length, &shown_if(ruler, bag.pocket.as_ref().map(|it| it.edge)), "worked out"))
                        (cost_box(of("price"), bag.price, bag.pack))
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
                let sold = crate::report::facts::uncut(plan.ruler, photo);
                let sold =
                    sold.map(|(w, h)| sized(plan.ruler, Interval::exact(w), Interval::exact(h)));
                let sold = sold.map(|it| format!(" Largest print sold that fits: {it}."));
                format!("Largest photo {size}.{}", sold.unwrap_or_default())
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
