//! What an album weighs, what to say of it to whoever buys it, and which parcel takes it: as blocks, and
//! as text for a screen.
//!
//! `listing` is what to say of it, `weight` also has the parcels and what is assumed.

mod listing;
mod weight;

pub use listing::{slots, tucked};
pub use weight::{against, grams, said_of};

use super::handout::{Block, Section, Table, on_screen};
use super::words::{capital, listed};
use crate::album::Album;
use crate::album::price::{Pricing, Share, Wish};
use crate::money::Money;
use crate::plan::Plan;
use crate::price::ask::{Asked, Exact, ask};
use crate::price::cost::Copies;
use crate::price::time::{Minutes, Timed};
use crate::price::work::Priced;

/// What was worked out of a plan, for a report.
#[derive(Clone, Copy, Debug)]
pub struct Answer<'a> {
    pub album: &'a Album,
    pub plan: &'a Plan,
    pub priced: &'a Priced,
}

/// All of it for a screen; of several albums first what they cost together.
pub fn text(answers: &[Answer<'_>]) -> String {
    let each = answers.iter().map(|answer| {
        let Plan { title, ruler, .. } = answer.plan;
        let head = format!("{} (ruler {ruler})", capital(title));
        on_screen(&head, &sections(*answer))
    });
    let each: Vec<String> = each.collect();
    match answers {
        [_] => each.concat(),
        _ => {
            let all = on_screen("All albums together", &[together(answers)]);
            format!("{all}\n{}", each.join("\n"))
        }
    }
}

/// What albums cost and bring together: costs, prices and what is left. `None` beyond what can be counted;
/// prices and what is left only if something is asked for each.
pub fn totals(answers: &[Answer<'_>]) -> [Option<Money>; 3] {
    let sum = |of: &dyn Fn(&Answer<'_>) -> Option<Money>| {
        let times = |it: &Answer<'_>| of(it)?.times(i64::try_from(it.priced.copies.sold).ok()?);
        let all: Option<Vec<Money>> = answers.iter().map(times).collect();
        Money::sum(all?)
    };
    [
        sum(&|it| Some(it.priced.costs)),
        sum(&|it| Some(it.priced.asked.as_ref()?.price)),
        sum(&|it| Some(it.priced.asked.as_ref()?.left)),
    ]
}

fn together(answers: &[Answer<'_>]) -> Section {
    let show = |money: Option<Money>| money.map_or("-".to_owned(), |it| it.to_string());
    let mut rows = Vec::new();
    let mut row = |what: String, sold: u64, money: [Option<Money>; 3]| {
        rows.push([vec![what, sold.to_string()], money.map(show).to_vec()].concat());
    };
    for Answer { plan, priced, .. } in answers {
        let asked = priced.asked.as_ref();
        let asked = [asked.map(|it| it.price), asked.map(|it| it.left)];
        let money = [Some(priced.costs), asked[0], asked[1]];
        row(capital(&plan.title), priced.copies.sold, money);
    }
    let sold = answers.iter().map(|it| it.priced.copies.sold).sum();
    row("All of them".to_owned(), sold, totals(answers));
    let table = Table {
        numbers: vec![1, 2, 3, 4],
        ..Table::new(&["", "Copies", "One costs", "Ask", "Left"], rows)
    };
    let said = "Sheets that several albums are cut from are shared out by the area of their pieces, packs by what each takes of them.";
    Section::new("Price", vec![Block::Table(table), Block::text(said)])
}

/// All of it, in the order in which it is read.
pub fn sections(answer: Answer<'_>) -> Vec<Section> {
    // What cannot be posted is known beside its price.
    let posted = (answer.priced.parcels.iter()).any(|it| it.against.is_empty());
    let parcels = |first: bool| (first != posted).then(|| weight::parcels(answer));
    let all = [
        Some(price(answer)),
        parcels(true),
        Some(time(answer)),
        Some(listing::listing(answer)),
        Some(weight::weight(answer)),
        parcels(false),
        Some(weight::assumed(answer)),
    ];
    all.into_iter()
        .flatten()
        .filter(|section| !section.blocks.is_empty())
        .collect()
}

/// `40 %`, or to a tenth of a percent, rounded down.
pub fn percent(share: Exact) -> String {
    let tenths = (share * Exact::from(1000)).floor().to_integer();
    let sign = if tenths < 0 { "-" } else { "" };
    let tenths = tenths.unsigned_abs();
    match tenths % 10 {
        0 => format!("{sign}{} %", tenths / 10),
        tenth => format!("{sign}{}.{tenth} %", tenths / 10),
    }
}

fn typed(share: Share) -> Exact {
    Exact::new(i128::from(*share.numer()), i128::from(*share.denom()))
}

/// What it costs, and what to ask for it.
fn price(answer: Answer<'_>) -> Section {
    let Answer { album, priced, .. } = answer;
    let Priced {
        material, asked, ..
    } = priced;
    let pricing = &album.price;
    let mut blocks = Vec::new();
    if let Some(asked) = asked {
        blocks.push(Block::Text(verdict(pricing, asked, priced.costs)));
    }
    let Copies { sold, made } = priced.copies;
    let each = match (sold, made - sold.min(made)) {
        (1, 0) => "One album".to_owned(),
        (sold, 0) => format!("One of {sold}"),
        (sold, spare) => format!("One of {sold} and {spare} spare"),
    };
    let mut rows = Vec::new();
    let mut row = |what: &str, money: Money, why: String| {
        rows.push(vec![what.to_owned(), money.to_string(), why])
    };
    let (counted, beside) = match pricing.whole_packs {
        true => (
            material.packs,
            format!("in whole packs; its share of them is {}", material.used),
        ),
        false => (
            material.used,
            format!(
                "its share of packs and sheets; {} in whole packs",
                material.packs
            ),
        ),
    };
    row("Material", counted, beside);
    if let (Some(work), Some(hour), Some(minutes)) = (priced.work, pricing.hour, priced.minutes) {
        let minutes = match (minutes, sold) {
            (Minutes { each, once }, 2..) if once > 0 => {
                format!("{each} minutes and its share of {once}")
            }
            (Minutes { each, once }, _) => format!("{} minutes", each.saturating_add(once)),
        };
        row("Work", work, format!("{minutes} at {hour} an hour"));
    }
    row("Costs", priced.costs, "together".to_owned());
    if let Some(asked) = asked {
        let shares = pricing.shares.iter().map(|share| percent(typed(*share)));
        let fees: Vec<String> = shares
            .chain(pricing.fixed.iter().map(Money::to_string))
            .collect();
        if !fees.is_empty() {
            row("Fees", asked.fees, fees.join(" and "));
        }
        let share = |share: Option<Exact>| share.map_or("none".to_owned(), percent);
        row(
            "Left",
            asked.left,
            format!(
                "margin {} of the price, markup {} of the costs",
                share(asked.margin),
                share(asked.markup)
            ),
        );
    }
    let table = Table {
        numbers: vec![1],
        ..Table::new(&["", &each, ""], rows)
    };
    blocks.push(Block::Table(table));
    if !material.without_price.is_empty() {
        let names = listed(&material.without_price);
        blocks.push(Block::Text(format!(
            "Without a price, so not counted: {names}."
        )));
    }
    if pricing.wish.is_none() {
        let said = "What to ask for it: type `[price]` in the album with `hour`, `fees` and `margin`, or `--margin \"40 %\"`.";
        blocks.push(Block::text(said));
    }
    Section::new("Price", blocks)
}

/// The answer in a sentence.
fn verdict(pricing: &Pricing, asked: &Asked, costs: Money) -> String {
    let ends = match pricing.ends.is_empty() {
        true => "",
        false => " and ends as you asked",
    };
    match pricing.wish {
        Some(Wish::Margin(margin)) => format!(
            "Ask {}: the least price that leaves {} of it{ends}.",
            asked.price,
            percent(typed(margin))
        ),
        Some(Wish::Markup(markup)) => format!(
            "Ask {}: the least price that leaves {} of the costs{ends}.",
            asked.price,
            percent(typed(markup))
        ),
        _ => {
            let mut said = match asked.left {
                left if left < Money::ZERO => {
                    let lost = Money(left.0.saturating_neg());
                    format!("At {} you lose {lost} on every album.", asked.price)
                }
                left => format!("At {}, {left} is left.", asked.price),
            };
            let dearer = dearer(pricing, asked, costs);
            if !dearer.is_empty() {
                said.push_str(&format!(" Ask {}.", dearer.join("; ")));
            }
            said
        }
    }
}

/// Of a price that is tested: what else to ask, to lose nothing and to keep what the album wishes.
fn dearer(pricing: &Pricing, asked: &Asked, costs: Money) -> Vec<String> {
    let even = Wish::Margin(Share::from(0));
    let meant = pricing
        .meant
        .filter(|wish| *wish != even && !matches!(wish, Wish::Price(_)));
    let wishes = [Some(even), meant].into_iter().flatten();
    let told = wishes.filter_map(|wish| {
        let wishing = Pricing {
            wish: Some(wish),
            ..pricing.clone()
        };
        let price = match wishing.leaves_nothing() {
            Some(_) => return None,
            None => ask(costs, &wishing)?.price,
        };
        let why = match wish {
            Wish::Margin(margin) if wish != even => {
                format!("to keep {} of it", percent(typed(margin)))
            }
            Wish::Markup(markup) => format!("to keep {} of the costs", percent(typed(markup))),
            _ => "to lose nothing".to_owned(),
        };
        (price > asked.price).then(|| format!("{price} {why}"))
    });
    told.collect()
}

/// How long each step takes.
fn time(Answer { album, priced, .. }: Answer<'_>) -> Section {
    let Some(minutes) = priced.minutes else {
        return Section::new("Time", Vec::new());
    };
    let steps = &priced.steps;
    let copies = priced.copies.sold;
    let shared = copies > 1 && minutes.once > 0;
    let guessed = |step: &&Timed| !step.said && step.minutes.is_some();
    let show = |step: &Timed| {
        let n = step.minutes.map_or("-".to_owned(), |n| n.to_string());
        let once = (shared && step.once).then(|| format!("once for all {copies}"));
        let notes = [step.said.then(|| "yours".to_owned()), once];
        let notes: Vec<String> = notes.into_iter().flatten().collect();
        vec![step.title.clone(), n, notes.join(", ")]
    };
    let mut rows: Vec<Vec<String>> = steps.iter().map(show).collect();
    let all = match (album.price.minutes, shared) {
        (Some(_), _) => "all together, as the album says",
        (None, true) => "each album",
        (None, false) => "all together",
    };
    let Minutes { each, once } = minutes;
    let mut row = |title: String, minutes: i64| {
        rows.push(vec![title, minutes.to_string(), String::new()]);
    };
    match shared {
        true => {
            row(all.to_owned(), each);
            row(format!("once for all {copies}"), once);
        }
        false => row(all.to_owned(), each.saturating_add(once)),
    }
    let table = Table {
        numbers: vec![1],
        ..Table::new(&["Step", "Minutes", ""], rows)
    };
    let mut blocks = vec![Block::Table(table)];
    if let Some(step) = steps.iter().find(guessed) {
        blocks.push(Block::Text(format!(
            "Guesses, but for those that are yours. Time yourself, and type it below `[minutes]`: `\"{}\" = {}`.",
            step.title,
            step.minutes.unwrap_or(0)
        )));
    }
    Section::new("Time", blocks)
}
