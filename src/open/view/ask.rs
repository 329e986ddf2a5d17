//! What can be asked, and the last answer.

use super::form::{button, capital, sized};
use crate::compare::{Answer, Comparison, Offer};
use crate::explain::Hand;
use crate::open::sight::{Asked, Sight};
use crate::open::words::paged;
use crate::report::handout::{Block, Section, Table};
use crate::report::{From, why};
use crate::style::Style;
use maud::{Markup, html};
use serde_json::json;

/// The questions, with the answer below them.
pub fn ask(sight: &Sight<'_>) -> Markup {
    let Some(from) = sight.from() else {
        return html! {};
    };
    let album = sight.read.map(|read| &read.album);
    let several = album.is_some_and(|album| album.supplies.bags.len() > 1);
    let has_photos = album.is_some_and(|album| {
        let mut papers = album.supplies.papers.iter();
        album.photos.is_some() || papers.any(|paper| !paper.designs.is_empty())
    });
    html! {
        h3 data-key="ask-head" { "Ask" }
        div class="ask" data-key="ask" {
            div class="two" {
                div class="entry length" { label for="ask-width" { "A card: width" } input id="ask-width" type="text" data-holds="length" autocomplete="off" spellcheck="false"; }
                div class="entry length" { label for="ask-height" { "and height" } input id="ask-height" type="text" data-holds="length" autocomplete="off" spellcheck="false"; }
            }
            button type="button" data-post="/ask" data-body=(json!({ "what": "card" })) data-with="width=ask-width height=ask-height" { "Does this card go in?" }
            @if several { (button("Which of my bags?", "/ask", &json!({ "what": "bags" }))) }
            @if has_photos { (button("Where photos and designs go", "/ask", &json!({ "what": "arrange" }))) }
            div class="entry count" { label for="ask-people" { "How many albums" } input id="ask-people" type="text" inputmode="numeric" value=(sight.albums) autocomplete="off" aria-describedby="ask-people-note"; span id="ask-people-note" class="note" {} }
            @for (what, said) in [("people", "Sheets for all of them"), ("buy", "What to buy"), ("price", "What each costs")] {
                button type="button" data-post="/ask" data-body=(json!({ "what": what })) data-with="albums=ask-people" { (said) }
            }
            button type="button" data-print="/print" data-with="albums=ask-people" { "Print for all of them" }
        }
        @match sight.asked {
            Asked::Nothing | Asked::Grow(_) => {}
            Asked::Working(what) => div id="asked" tabindex="-1" { p { (what) " ..." } }
            Asked::NoGrowth(why) | Asked::NoCard(why) => div id="asked" tabindex="-1" { p { (capital(&paged(Some(from.style), why))) } }
            Asked::Card(hand) => div class="answer-box" id="asked" tabindex="-1" { (card(from, hand)) }
            Asked::Bags(all) => div class="answer-box" id="asked" tabindex="-1" { (bags(from, all)) }
            Asked::Told(asked, all) => div class="answer-box wide" id="asked" tabindex="-1" {
                h4 { (asked) }
                @for section in &**all { (told(section, from.style)) }
                (close())
            }
        }
    }
}

/// What a report says, as the printout says it.
fn told(section: &Section, style: &Style) -> Markup {
    let of = |said: &str| paged(Some(style), said);
    let number = |table: &Table, n| table.numbers.contains(&n).then_some("number");
    html! {
        @if !section.title.is_empty() { h4 { (section.title) } }
        @for block in &section.blocks {
            @match block {
                Block::Heading(said) | Block::Label(said) => p { strong { (of(said)) } },
                Block::Text(said) => p { (of(said)) },
                Block::Small(said) => p class="quiet" { (of(said)) },
                Block::List(_, items) => ul { @for item in items { li { (of(item)) } } },
                Block::Table(table) => table {
                    @if table.head.iter().any(|it| !it.is_empty()) {
                        thead { tr { @for (n, head) in table.head.iter().enumerate() { th scope="col" class=[number(table, n)] { (head) } } } }
                    }
                    tbody { @for row in &table.rows {
                        tr { @for (n, cell) in row.iter().enumerate() { td class=[number(table, n)] { (of(cell)) } } }
                    } }
                },
            }
        }
    }
}

fn card(from: From<'_>, hand: &Hand) -> Markup {
    let size = sized(from.ruler, hand.width, hand.height);
    html! {
        p { strong { (size) ", " (hand.place.replace('_', " ")) @if from.leaves > 1 { " of " (hand.leaf) } ": " (why::goes(from.style, hand)) } }
        @if !hand.as_it_is && !hand.trims.is_empty() {
            p { "What must come off, least first:" }
            ol { @for trim in &hand.trims { li { (why::trimmed(from.ruler, trim)) } } }
        }
        @if !hand.elsewhere.is_empty() {
            p { "As it is, it goes into: " (hand.elsewhere.iter().map(|it| it.name()).collect::<Vec<_>>().join(", ")) "." }
        }
        (close())
    }
}

fn bags(from: From<'_>, all: &Comparison) -> Markup {
    let ruler = from.ruler;
    let photo = |offer: &Offer| {
        let photo = offer.fit()?.photo.as_ref()?;
        Some(sized(ruler, photo.width, photo.height))
    };
    let sheets = |offer: &Offer| {
        let papers = &offer.fit()?.paper;
        let known = papers.iter().filter_map(|it| it.at_least);
        match known.sum::<i64>() {
            0 => (!papers.is_empty()).then(|| "no paper chosen".to_owned()),
            n => Some(format!("at least {n}")),
        }
    };
    let why_not = |offer: &Offer| match &offer.answer {
        Answer::Clash(conflict) => {
            let first = conflict.rules.first();
            first.map_or(String::new(), |rule| format!("No: {}", rule.rule))
        }
        Answer::Fits(_) => "Yes".to_owned(),
        _ => "Open".to_owned(),
    };
    html! {
        div class="wide" {
            table {
                caption { "The same album made of your other bags" }
                thead { tr {
                    th scope="col" { "Fits?" }
                    @for head in ["Largest photo", "Sheets", "Bags cost"] { th scope="col" class="number" { (head) } }
                } }
                @for offer in all.ranked.iter().map(|it| &it.offer).chain(all.failed.iter().map(|(offer, _)| offer)) {
                    tbody {
                        tr { th colspan="4" scope="rowgroup" {
                            button type="button" class="plain" data-post="/ask" data-body=(json!({ "bag": offer.bag.name, "what": "try" })) { "Look at " (offer.bag.name) }
                            span class="quiet" { ", " (sized(ruler, offer.bag.width, offer.bag.height)) }
                        } }
                        tr {
                            td { (why_not(offer)) }
                            td class="number" { (photo(offer).unwrap_or_default()) }
                            td class="number" { (sheets(offer).unwrap_or_default()) }
                            td class="number" { @match offer.cost.price { Some(price) => (price), None => "no price" } }
                        }
                    }
                }
            }
        }
        (close())
    }
}

/// Puts an answer away.
fn close() -> Markup {
    button("Close", "/ask", &json!({ "what": "none" }))
}
