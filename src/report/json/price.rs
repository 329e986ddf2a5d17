//! Weight, listing and parcels for other programs.

use super::{From, closed, head, joined, list, photos, pretty, start};
use crate::money::Money;
use crate::price::weight::{Grams, What};
use crate::report::price::{Answer, against, percent, said_of, slots, totals, tucked};
use crate::report::{self, cautions};
use num_traits::ToPrimitive;
use serde_json::{Value, json};

/// What albums cost and weigh, and which parcels take them, the cheapest first.
pub fn price(all: &[(From<'_>, Answer<'_>)], exit: u8) -> String {
    if let [(from, answer)] = all {
        return pretty(&of_one(*from, *answer, exit));
    }
    let answers: Vec<Answer<'_>> = all.iter().map(|(_, answer)| *answer).collect();
    let [costs, price, left] = totals(&answers).map(text);
    let rest = json!({
        "exit": exit,
        "costs": costs,
        "price": price,
        "left": left,
        "albums": list(all, |(from, answer)| of_one(*from, *answer, exit)),
    });
    pretty(&joined([start("prices"), rest]))
}

/// Money is text with two decimals; shares are percents, rounded down to a tenth.
fn text(money: Option<Money>) -> Option<String> {
    money.map(|money| money.to_string())
}

fn of_one(from: From<'_>, answer: Answer<'_>, exit: u8) -> Value {
    let Answer {
        album,
        plan,
        priced,
    } = answer;
    let (weight, material) = (&priced.weight, &priced.material);
    let parcels = priced.parcels.iter().filter_map(|tried| {
        let parcel = album.supplies.parcels.get(tried.parcel)?;
        Some(json!({
            "name": parcel.name,
            "price": text(parcel.price),
            "takes": tried.against.is_empty(),
            "against": list(&tried.against, |it| json!(against(plan.ruler, parcel, tried, it))),
            "weight": grams(tried.grams),
        }))
    });
    let rest = json!({
        "copies": priced.copies.sold,
        "spare": priced.copies.made.saturating_sub(priced.copies.sold),
        "asked": priced.asked.as_ref().map(|asked| json!({
            "price": asked.price.to_string(),
            "fees": asked.fees.to_string(),
            "left": asked.left.to_string(),
            "margin": asked.margin.map(percent),
            "markup": asked.markup.map(percent),
        })),
        "costs": {
            "lines": list(&material.lines, |line| json!({
                "what": word(line.what),
                "name": line.name,
                "count": line.count,
                "used": line.used.to_string(),
                "packs": line.packs.to_string(),
            })),
            "used": material.used.to_string(),
            "packs": material.packs.to_string(),
            "without_price": material.without_price,
            "minutes": priced.minutes.and_then(|it| it.of_one(priced.copies.sold).ceil().to_integer().to_i64()),
            "once": priced.minutes.map(|it| it.once),
            "work": text(priced.work),
            "all": priced.costs.to_string(),
        },
        "steps": list(&priced.steps, |step| json!({
            "title": step.title,
            "minutes": step.minutes,
            "assumed": !step.said && step.minutes.is_some(),
            "once": step.once,
        })),
        "listing": {
            "closed": closed(plan),
            "photos": photos(plan),
            "slots": list(slots(plan), |(name, count)| json!({ "name": name, "count": count })),
            "tucked": tucked(plan),
            "ring": plan.ring.as_ref().map(|ring| &ring.name),
            "cautions": list(cautions::of(plan), |caution| json!(caution.full)),
        },
        "weight": grams(weight.total),
        "lines": list(&weight.lines, |line| json!({
            "what": word(line.what),
            "name": line.name,
            "count": line.count,
            "weight": grams(line.grams),
        })),
        "parcels": parcels.collect::<Value>(),
        "assumed": said_of(weight),
    });
    joined([head("price", from, report::Answer::Fits(plan), exit), rest])
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

/// From and to.
fn grams(value: Grams) -> Value {
    json!({
        "text": report::price::grams(value),
        "grams": value.least as f64 / 1e6,
        "grams_most": value.most as f64 / 1e6,
    })
}
