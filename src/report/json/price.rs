//! Weight, listing and parcels for other programs.

use super::shape::{Closed, Head, Photos};
use super::{From, VERSION, head, length, measure, pretty};
use crate::price::weight::{Grams, What};
use crate::report::price::{Answer, against, said_of, slots, tucked};
use crate::report::{self, cautions, facts};
use serde::Serialize;

/// Grams, from and to.
#[derive(Debug, Serialize)]
struct Weight {
    text: String,
    grams: f64,
    grams_most: f64,
}

#[derive(Debug, Serialize)]
struct Line {
    what: &'static str,
    name: String,
    count: u64,
    weight: Weight,
}

#[derive(Debug, Serialize)]
struct Slot {
    name: String,
    count: i64,
}

#[derive(Debug, Serialize)]
struct Listing {
    closed: Option<Closed>,
    photos: Vec<Photos>,
    slots: Vec<Slot>,
    tucked: i64,
    ring: Option<String>,
    cautions: Vec<&'static str>,
}

#[derive(Debug, Serialize)]
struct Parcel {
    name: String,
    price: Option<String>,
    takes: bool,
    against: Vec<String>,
    weight: Weight,
}

/// Money is text with two decimals; shares are percents, rounded down to a tenth.
#[derive(Debug, Serialize)]
struct Asked {
    price: String,
    fees: String,
    left: String,
    margin: Option<String>,
    markup: Option<String>,
}

#[derive(Debug, Serialize)]
struct Cost {
    what: &'static str,
    name: String,
    count: u64,
    used: String,
    packs: String,
}

#[derive(Debug, Serialize)]
struct Costs<'a> {
    lines: Vec<Cost>,
    used: String,
    packs: String,
    without_price: &'a [String],
    minutes: Option<i64>,
    work: Option<String>,
    all: String,
}

#[derive(Debug, Serialize)]
struct Step<'a> {
    title: &'a str,
    minutes: Option<i64>,
    assumed: bool,
}

#[derive(Debug, Serialize)]
struct Price<'a> {
    #[serde(flatten)]
    head: Head<'a>,
    copies: u64,
    spare: u64,
    asked: Option<Asked>,
    costs: Costs<'a>,
    steps: Vec<Step<'a>>,
    listing: Listing,
    weight: Weight,
    lines: Vec<Line>,
    parcels: Vec<Parcel>,
    assumed: Vec<String>,
}

/// Albums that are made together; money of all copies.
#[derive(Debug, Serialize)]
struct Prices<'a> {
    tuckwright: u32,
    kind: &'static str,
    exit: u8,
    costs: Option<String>,
    price: Option<String>,
    left: Option<String>,
    albums: Vec<Price<'a>>,
}

/// What albums cost and weigh, and which parcels take them, the cheapest first.
///
/// # Errors
///
/// None that is known: every value here can be written.
pub fn price(all: &[(From<'_>, Answer<'_>)], exit: u8) -> serde_json::Result<String> {
    if let [(from, answer)] = all {
        return pretty(&of_one(*from, *answer, exit));
    }
    let answers: Vec<Answer<'_>> = all.iter().map(|(_, answer)| *answer).collect();
    let [costs, price, left] = report::price::totals(&answers);
    let shown = |money: Option<crate::money::Money>| money.map(|it| it.to_string());
    pretty(&Prices {
        tuckwright: VERSION,
        kind: "prices",
        exit,
        costs: shown(costs),
        price: shown(price),
        left: shown(left),
        albums: all
            .iter()
            .map(|(from, answer)| of_one(*from, *answer, exit))
            .collect(),
    })
}

fn of_one<'a>(from: From<'a>, answer: Answer<'a>, exit: u8) -> Price<'a> {
    let Answer {
        album,
        plan,
        priced,
    } = answer;
    let (weight, material) = (&priced.weight, &priced.material);
    let ruler = plan.ruler;
    let exact = |value| length(ruler, value);
    let photos = facts::photos(plan).into_iter().map(|p| Photos {
        count: p.count,
        width: measure(ruler, p.width),
        height: measure(ruler, p.height),
    });
    let lines = weight.lines.iter().map(|line| Line {
        what: word(line.what),
        name: line.name.clone(),
        count: line.count,
        weight: grams(line.grams),
    });
    let parcels = priced.parcels.iter().filter_map(|tried| {
        let parcel = album.supplies.parcels.get(tried.parcel)?;
        let why = tried
            .against
            .iter()
            .map(|it| against(ruler, parcel, tried, it));
        Some(Parcel {
            name: parcel.name.clone(),
            price: parcel.price.map(|price| price.to_string()),
            takes: tried.against.is_empty(),
            against: why.collect(),
            weight: grams(tried.grams),
        })
    });
    let costs = material.lines.iter().map(|line| Cost {
        what: word(line.what),
        name: line.name.clone(),
        count: line.count,
        used: line.used.to_string(),
        packs: line.packs.to_string(),
    });
    let steps = priced.steps.iter().map(|step| Step {
        title: &step.title,
        minutes: step.minutes,
        assumed: !step.said && step.minutes.is_some(),
    });
    let slots = slots(plan)
        .into_iter()
        .map(|(name, count)| Slot { name, count });
    Price {
        head: head("price", from, report::Answer::Fits(plan), exit),
        copies: priced.copies.sold,
        spare: priced.copies.made.saturating_sub(priced.copies.sold),
        asked: priced.asked.as_ref().map(|asked| Asked {
            price: asked.price.to_string(),
            fees: asked.fees.to_string(),
            left: asked.left.to_string(),
            margin: asked.margin.map(report::price::percent),
            markup: asked.markup.map(report::price::percent),
        }),
        costs: Costs {
            lines: costs.collect(),
            used: material.used.to_string(),
            packs: material.packs.to_string(),
            without_price: &material.without_price,
            minutes: priced.minutes,
            work: priced.work.map(|work| work.to_string()),
            all: priced.costs.to_string(),
        },
        steps: steps.collect(),
        listing: Listing {
            closed: plan.closed.map(|c| Closed {
                width: exact(c.width),
                height: exact(c.height),
                thickness: exact(c.thickness),
            }),
            photos: photos.collect(),
            slots: slots.collect(),
            tucked: tucked(plan),
            ring: plan.ring.as_ref().map(|ring| ring.name.clone()),
            cautions: cautions::of(plan).map(|caution| caution.full).collect(),
        },
        weight: grams(weight.total),
        lines: lines.collect(),
        parcels: parcels.collect(),
        assumed: said_of(weight),
    }
}

fn word(what: What) -> &'static str {
    match what {
        What::Bags => "bag",
        What::Papers => "paper",
        What::Cards => "card",
        What::Prints => "print",
        What::Rings => "ring",
    }
}

fn grams(value: Grams) -> Weight {
    Weight {
        text: report::price::grams(value),
        grams: value.least as f64 / 1e6,
        grams_most: value.most as f64 / 1e6,
    }
}
