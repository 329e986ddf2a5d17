//! What the maker has at home and holds to: kinds, papers, cards, holes, wishes, what an album is sold for,
//! rules of thumb, and the file itself. What no measure changes is a part of its own, sent once.

use super::form::{
    At, Holds, button, capital, entry, id, number, plain, select, shared, shown, shown_if, tick,
};
use super::papers::of_album;
use super::photos::photos;
use super::strip::slip;
use crate::open::sight::{Now, Read, Sight, field};
use itertools::Itertools;
use maud::{Markup, html};
use serde_json::json;

/// One thing of the supplies: its name, what it measures, what it costs.
pub fn goods(kind: &str, name: &str, cost: Option<impl ToString>, boxes: &Markup) -> Markup {
    let cost = cost_box(its(kind, name)("price"), cost, None);
    thing(kind, name, &html! { (boxes) (cost) })
}

/// What one costs, or a pack of several.
pub fn cost_box(at: At, cost: Option<impl ToString>, pack: Option<i64>) -> Markup {
    let label = match pack {
        Some(n @ 2..) => format!("Price of a pack of {n}"),
        _ => "Price of one".to_owned(),
    };
    entry(&label, at, Holds::Words, &price(cost), "not said")
}

/// The same of what costs nothing by the piece.
pub fn thing(kind: &str, name: &str, boxes: &Markup) -> Markup {
    let of = its(kind, name);
    html! {
        fieldset data-key=(id(&[kind, name])) {
            legend { (name) }
            div class="two" {
                (entry("Its name", of("name"), Holds::Name, name, ""))
                (boxes)
            }
            (button(&format!("Take {name} out"), "/remove", &json!({ "field": field::join(&[kind, name]) })))
        }
    }
}

/// A new thing: it is there once its boxes are filled, so that no size of the program's own changes the album.
pub fn adding(label: &str, kind: &str, boxes: &[(&str, &str)]) -> Markup {
    let id = |key: &str| id(&["new", kind, key]);
    let with = boxes
        .iter()
        .map(|(key, _)| format!("its-{key}={}", id(key)));
    html! {
        details class="new" data-key=(id("")) {
            summary { (label) }
            div class="two" {
                @for (key, label) in boxes {
                    div class=(if *key == "name" { "entry name" } else { "entry length" }) {
                        label for=(id(key)) { (label) }
                        input id=(id(key)) type="text" autocomplete="off" spellcheck="false";
                    }
                }
            }
            button type="button" data-post="/add" data-body=(json!({ "what": kind })) data-with=(with.collect::<Vec<_>>().join(" ")) { "Add it" }
        }
    }
}

/// The boxes of one thing of the supplies.
pub fn its(kind: &str, name: &str) -> impl Fn(&str) -> At {
    move |key| At::of(&[kind, name, key])
}

pub fn price(cost: Option<impl ToString>) -> String {
    cost.map_or(String::new(), |it| it.to_string())
}

/// What is known of an album that was begun.
fn begun<'a>(sight: &Sight<'a>) -> Option<Read<'a>> {
    sight.read.filter(|_| !matches!(sight.now, Now::Empty(_)))
}

/// The kind of album, papers, cards and prints.
pub fn stock(sight: &Sight<'_>) -> Markup {
    html! { @if let Some(read) = begun(sight) { (kinds(read)) (papers(read)) (cards(read)) (photos(read)) } }
}

/// What is wished, what an album is sold for, and rules of thumb.
pub fn rest(sight: &Sight<'_>) -> Markup {
    html! { @if let Some(read) = begun(sight) { (wishes(read)) (selling(read)) (usual(read)) } }
}

fn papers(read: Read<'_>) -> Markup {
    let all = &read.album.supplies.papers;
    let ruler = read.album.ruler;
    let line = all.iter().map(|it| match it.sheets {
        Some(sheets) => format!("{} {sheets}", it.name),
        None => it.name.clone(),
    });
    html! {
        details data-key="papers" {
            summary { "Papers" span class="quiet" { " " (line.collect::<Vec<_>>().join(", ")) } }
            @for paper in all {
                @let of = its("paper", &paper.name);
                (goods("paper", &paper.name, paper.price, &html! {
                    (entry("Sheet width", of("width"), Holds::Length, &shown(ruler, paper.width), ""))
                    (entry("Sheet height", of("height"), Holds::Length, &shown(ruler, paper.height), ""))
                    (entry("Sheets", of("sheets"), Holds::Count, &number(paper.sheets), "not counted"))
                    (entry("Thickness", of("caliper"), Holds::Length, &shown_if(ruler, paper.caliper.filter(|_| !paper.from_weight)), "assumed"))
                    (select("Printed on", of("sides"), &printed(), &number(paper.sides)))
                    (entry("Designs of a pad, with commas between", of("designs"), Holds::Name, &paper.designs.iter().map(|it| it.name.as_str()).join(", "), "no pad"))
                    @for design in &paper.designs {
                        @let of = |key| At::of(&["paper", &paper.name, "designs", &design.name, key]);
                        (entry(&format!("Sheets of {}", design.name), of("sheets"), Holds::Count, &number(design.sheets), "as of each"))
                        (select(&format!("{} is printed on", capital(&design.name)), of("sides"), &printed(), &number(design.sides)))
                    }
                    (tick("Its print must stay upright", of("directed"), paper.directed))
                    (button(&format!("{} for all that has no paper yet", capital(&paper.name)), "/paper", &json!({ "paper": paper.name })))
                }))
            }
            (button("Add a paper", "/add", &json!({ "what": "paper" })))
        }
    }
}

/// How many sides of a sheet are printed.
fn printed() -> [(String, String); 3] {
    let sides = [("", "not said"), ("1", "one side"), ("2", "both sides")];
    sides.map(|(value, words)| (value.to_owned(), words.to_owned()))
}

fn cards(read: Read<'_>) -> Markup {
    let supplies = &read.album.supplies;
    let kinds = [
        ("card", "Add a ready-made card", &supplies.cards),
        ("print", "Add a photo print", &supplies.prints),
    ];
    let names = kinds
        .iter()
        .flat_map(|(.., all)| all.iter())
        .map(|it| it.name.as_str());
    html! {
        details data-key="cards" {
            summary { "Cards and prints" span class="quiet" { " " (names.collect::<Vec<_>>().join(", ")) } }
            @for (kind, add, all) in kinds {
                @for card in all {
                    @let of = its(kind, &card.name);
                (goods(kind, &card.name, card.price, &html! {
                        (entry("Width", of("width"), Holds::Length, &shown(read.album.ruler, card.width), ""))
                        (entry("Height", of("height"), Holds::Length, &shown(read.album.ruler, card.height), ""))
                        (entry("Thickness", of("caliper"), Holds::Length, &shown_if(read.album.ruler, card.caliper), "assumed"))
                        (entry("How many", of("count"), Holds::Count, &number(card.count), "not counted"))
                    }))
                }
                (adding(add, kind, &[("name", "Its name"), ("width", "Width"), ("height", "Height")]))
            }
        }
    }
}

/// Holes, rings and punches.
pub fn holes(sight: &Sight<'_>) -> Markup {
    let Some(read) = begun(sight) else {
        return html! {};
    };
    let (album, ruler) = (&read.album, read.album.ruler);
    let template = &album.template;
    let supplies = &album.supplies;
    let plan = sight.drawn().map(|(plan, _)| plan);
    let found = |name: &str| {
        let sizes = plan.map(|plan| plan.template.iter());
        let size = sizes.into_iter().flatten().find(|it| it.name == name);
        size.map_or("worked out".to_owned(), |it| shown(ruler, it.value))
    };
    let of = |key| At::of(&["template", key]);
    let named = |names: Vec<&String>, none: &str| {
        let first = (String::new(), none.to_owned());
        let all = names.into_iter().map(|it| (it.clone(), it.clone()));
        std::iter::once(first).chain(all).collect::<Vec<_>>()
    };
    let rings = named(
        supplies.rings.iter().map(|it| &it.name).collect(),
        "whichever fits",
    );
    let punches = named(
        supplies.punches.iter().map(|it| &it.name).collect(),
        "not said",
    );
    let ring = album
        .ring
        .as_ref()
        .and_then(|it| supplies.rings.get(it.value));
    let punch = template.punch.and_then(|at| supplies.punches.get(at));
    let count = number(template.holes);
    let taken = plan
        .and_then(|plan| plan.ring.as_ref())
        .map_or(String::new(), |it| format!(", {}", it.name));
    let holes = plan.map_or(0, |plan| plan.holes.heights.len());
    html! {
        @if read.style.pierces() {
            details data-key="holes" {
                summary { "Holes and rings" span class="quiet" { " " (holes) " holes" (taken) } }
                div class="two" {
                    (entry("How many holes", of("holes"), Holds::Count, &count, &holes.to_string()))
                    (entry("Hole's diameter", of("diameter"), Holds::Length, &shown_if(ruler, template.diameter), &found("template.diameter")))
                    (entry("Centre from the edge", of("edge"), Holds::Length, &shown_if(ruler, template.edge), &found("template.edge")))
                    (entry("Lowest above the lower edge", of("first"), Holds::Length, &shown_if(ruler, template.first), &found("template.first")))
                    (entry("From hole to hole", of("pitch"), Holds::Length, &shown_if(ruler, template.pitch), &found("template.pitch")))
                    (entry("Eyelet's width", of("eyelet"), Holds::Length, &shown_if(ruler, template.eyelet), "no eyelets"))
                }
                (select("Punch", of("punch"), &punches, punch.map_or("", |it| &it.name)))
                (select("Ring", of("ring"), &rings, ring.map_or("", |it| &it.name)))
                @for ring in &supplies.rings {
                    @let of = its("ring", &ring.name);
                (goods("ring", &ring.name, ring.price, &html! {
                        (entry("Inside", of("inside"), Holds::Length, &shown(ruler, ring.inside), ""))
                        (entry("Wire", of("wire"), Holds::Length, &shown_if(ruler, ring.wire), "not said"))
                        (entry("How many", of("count"), Holds::Count, &number(ring.count), "not counted"))
                    }))
                }
                (adding("Add a ring", "ring", &[("name", "Its name"), ("inside", "Inside")]))
                @for punch in &supplies.punches {
                    @let of = its("punch", &punch.name);
                    (thing("punch", &punch.name, &html! {
                        (entry("Its hole", of("diameter"), Holds::Length, &shown_if(ruler, punch.diameter), "not said"))
                        (entry("Reaches in", of("reach"), Holds::Length, &shown_if(ruler, punch.reach), "any depth"))
                        (entry("Thickest that it takes", of("takes"), Holds::Length, &shown_if(ruler, punch.takes), "not said"))
                        (entry("Centre from the edge, if it fixes it", of("edge"), Holds::Length, &shown_if(ruler, punch.edge), "free"))
                        (entry("From hole to hole, if it fixes it", of("pitch"), Holds::Length, &shown_if(ruler, punch.pitch), "free"))
                        (entry("Holes in one stroke", of("holes"), Holds::Count, &number(punch.holes), "1"))
                    }))
                }
                (button("Add a punch", "/add", &json!({ "what": "punch" })))
            }
        }
    }
}

/// Kinds of album to choose from.
fn kinds(read: Read<'_>) -> Markup {
    use crate::album::StyleName;
    use crate::style::shipped::SHIPPED;
    let title = |(name, text): &(&str, &str)| {
        let mut lines = text.lines();
        let said = lines.find_map(|line| line.strip_prefix("title = \"")?.strip_suffix('"'));
        ((*name).to_owned(), said.unwrap_or(name).to_owned())
    };
    let mut all: Vec<(String, String)> = SHIPPED.iter().map(title).collect();
    let chosen = match &read.album.style.value {
        StyleName::Shipped(name) => name.clone(),
        StyleName::File(path) => {
            all.push((path.clone(), read.style.title.clone()));
            path.clone()
        }
    };
    html! {
        details data-key="kinds" {
            summary { "Kind of album" span class="quiet" { " " (read.style.title) } }
            (entry("What it is called", At::of(&["album"]), Holds::Name, &read.album.title, ""))
            (select("Kind of album", At::of(&["style"]), &all, &chosen))
            (of_album(read))
        }
    }
}

/// What the maker wants most, first things first.
fn wishes(read: Read<'_>) -> Markup {
    let all: Vec<&str> = read
        .album
        .prefer
        .iter()
        .map(|it| it.value.as_str())
        .collect();
    let with = |lines: &[&str]| json!({ "field": "prefer", "text": lines.join("\n") });
    let moved = |from: usize, to: usize| {
        let mut lines: Vec<&str> = all.clone();
        lines.swap(from, to);
        with(&lines)
    };
    let inserts = read.album.leaves.iter().flat_map(|leaf| &leaf.inserts);
    let open =
        inserts.filter(|it| it.card.is_none() && (it.width.is_none() || it.height.is_none()));
    let more = open.flat_map(|it| {
        let photo = it
            .photo
            .is_some()
            .then(|| format!("largest {}.photo", it.name));
        photo.into_iter().chain([format!("largest {}", it.name)])
    });
    let more: Vec<String> = more
        .unique()
        .filter(|it| !all.contains(&it.as_str()))
        .collect();
    html! {
        details data-key="wishes" {
            summary { "What I want most" span class="quiet" { " " (all.iter().map(|it| plain(it)).collect::<Vec<_>>().join(", then ")) } }
            ol {
                @for (n, line) in all.iter().enumerate() {
                    li data-key=(id(&["wish", line])) {
                        (plain(line)) " "
                        @if n > 0 { button type="button" data-post="/set" data-body=(moved(n, n - 1)) aria-label=(format!("Up: {}", plain(line))) { "Up" } }
                        @if n + 1 < all.len() { button type="button" data-post="/set" data-body=(moved(n, n + 1)) aria-label=(format!("Down: {}", plain(line))) { "Down" } }
                        @let others: Vec<&str> = all.iter().copied().filter(|it| it != line).collect();
                        button type="button" data-post="/set" data-body=(with(&others)) aria-label=(format!("Take away: {}", plain(line))) { "Take away" }
                    }
                }
            }
            @for line in &more {
                @let lines: Vec<&str> = all.iter().copied().chain([line.as_str()]).collect();
                (button(&format!("Then the {}", plain(line)), "/set", &with(&lines)))
            }
            p class="quiet" { "The first is settled first; the next gets what is left." }
        }
    }
}

/// What an hour costs and what is to be left of a price.
fn selling(read: Read<'_>) -> Markup {
    use crate::album::price::Wish;
    let said = &read.album.price;
    let percent = |share: crate::album::price::Share| shared(*share.numer(), *share.denom());
    let [mut margin, mut markup, mut tested] = [const { String::new() }; 3];
    match said.wish {
        Some(Wish::Margin(share)) => margin = percent(share),
        Some(Wish::Markup(share)) => markup = percent(share),
        Some(Wish::Price(money)) => tested = money.to_string(),
        None => {}
    }
    let shares = said.shares.iter().map(|share| percent(*share));
    let fees = shares
        .chain(said.fixed.iter().map(ToString::to_string))
        .join(", ");
    let ends = said.ends.iter().map(|end| match end.of {
        100 => format!(".{:02}", end.cents),
        _ => format!("{}.{:02}", end.cents / 100, end.cents % 100),
    });
    let ends = ends.collect::<Vec<_>>().join(", ");
    let counted = [
        ("used", "by what is used of them"),
        ("packs", "whole packs"),
    ];
    let counted = counted.map(|(value, words)| (value.to_owned(), words.to_owned()));
    let of = |key| At::of(&["price", key]);
    html! {
        details data-key="selling" {
            summary { "Selling it" span class="quiet" { " an hour's price, fees, margin" } }
            div class="two" {
                (entry("One hour of work", of("hour"), Holds::Words, &price(said.hour), "not counted"))
                (entry("Minutes of work", of("minutes"), Holds::Count, &number(said.minutes), "by its steps"))
                (entry("Fees of a sale, such as 6.5 %, 0.30", of("fees"), Holds::Name, &fees, "none"))
                (entry("Margin, a share of the price", of("margin"), Holds::Words, &margin, "not said"))
                (entry("Or a share of the costs on top", of("markup"), Holds::Words, &markup, "not said"))
                (entry("Or the price itself", of("price"), Holds::Words, &tested, "worked out"))
                (entry("A price ends with, such as .50, .95", of("ends"), Holds::Name, &ends, "anything"))
            }
            (select("Material is counted", of("material"), &counted, if said.whole_packs { "packs" } else { "used" }))
        }
    }
}

/// Quantities of the style: rules of thumb that this album may change.
fn usual(read: Read<'_>) -> Markup {
    use crate::album::Value;
    let ruler = read.album.ruler;
    let set = &read.album.set;
    let words = |value: Value| match value {
        Value::Length(length) => shown(ruler, length),
        Value::Ratio(above, 1) => above.to_string(),
        Value::Ratio(above, below) => format!("{above}/{below}"),
    };
    html! {
        details data-key="usual" {
            summary { "Rules of thumb" span class="quiet" { " " (set.len()) " changed" } }
            p class="quiet" { "What is usual stands in grey. Type your own." }
            @for quantity in &read.style.quantities {
                @let own = set.iter().find(|(name, _)| name.value == quantity.name).map(|(_, it)| words(it.value));
                @let holds = match quantity.value { Value::Length(_) => Holds::Length, Value::Ratio(..) => Holds::Words };
                (entry(&capital(&quantity.why), At::of(&["set", &quantity.name]), holds, &own.unwrap_or_default(), &words(quantity.usual(ruler))))
            }
        }
    }
}

/// The file itself, for what no box says. It is a part of its own: every key changes it.
pub fn as_text(sight: &Sight<'_>) -> Markup {
    if matches!(sight.now, Now::Empty(_)) {
        return html! {};
    }
    let slips = match sight.now {
        Now::Wrong(slips) => slips,
        _ => &[],
    };
    let lines = sight.text.lines().count();
    html! {
        details data-key="text" id="text-part" open[!slips.is_empty()] {
            summary { "The album as text" span class="quiet" { " " (lines) " lines" } }
            @if !slips.is_empty() {
                ul class="slips" {
                    @for (n, it) in slips.iter().enumerate() {
                        li data-key=(format!("slip{n}")) {
                            (capital(&slip(it)))
                            @if let Some(help) = &it.help { " " (capital(&super::fixes::quoted(help.trim_end_matches('.')))) "." }
                            @if let Some((field, text)) = &it.instead {
                                " " (button(&format!("Use {text}"), "/set", &json!({ "field": field, "text": text })))
                            }
                        }
                    }
                }
            }
            label for="album-text" { "The file, as it is saved" }
            textarea id="album-text" data-text="/text" rows="16" spellcheck="false" autocomplete="off" { (sight.text) }
        }
    }
}
