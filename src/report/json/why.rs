//! The answers of `why` for other programs: an album, a thing in the hand, growth, smallest leaves.
//! What clashes and what makes it fit is in `explanation`.

use super::explanation::{change, clash, explanation};
use super::{about, held, joined, list, measure, pretty, start, undecided, verdict};
use crate::explain::{Deed, FixChange, Growth, Hand, Need, Offer, Trim, need};
use crate::length::Length;
use crate::report::phrase::plainly;
use crate::report::why as words;
use crate::report::{Answer, From};
use serde_json::{Value, json};

fn why(
    from: From<'_>,
    asked: &str,
    (verdict, stopped): (&str, Value),
    rest: Value,
    exit: u8,
) -> String {
    let asked = json!({ "asked": asked });
    let verdict = json!({ "verdict": verdict, "exit": exit });
    let about = about(from.title, from.ruler);
    pretty(&joined([
        start("why"),
        asked,
        about,
        verdict,
        stopped,
        rest,
    ]))
}

/// Why an album does not fit, or that it does.
pub fn album(from: From<'_>, answer: Answer<'_>, exit: u8) -> String {
    let explanation = match answer {
        Answer::Clash(explained) => Some(explanation(from, explained)),
        _ => None,
    };
    let verdict = (verdict(answer), undecided(answer));
    why(
        from,
        "album",
        verdict,
        json!({ "explanation": explanation }),
        exit,
    )
}

/// Whether a thing in the hand goes in.
pub fn hand(from: From<'_>, hand: &Hand, exit: u8) -> String {
    let ruler = from.ruler;
    let trim = |trim: &Trim| {
        json!({
            "turned": trim.turned,
            "off_width": measure(ruler, trim.off_width),
            "off_height": measure(ruler, trim.off_height),
            "width": measure(ruler, trim.width),
            "height": measure(ruler, trim.height),
            "says": words::trimmed(ruler, trim),
        })
    };
    let rest = json!({
        "leaf": hand.leaf,
        "place": hand.place,
        "width": measure(ruler, hand.width),
        "height": measure(ruler, hand.height),
        "as_it_is": hand.as_it_is,
        "turned": hand.turned,
        "watch": list(&hand.watch, |it| json!(plainly(from.ruler, it))),
        "trims": list(&hand.trims, trim),
        "explanation": hand.why.as_ref().map(|why| explanation(from, why)),
    });
    let stopped = hand.stopped.map(|why| undecided(Answer::Undecided(why)));
    let verdict = words::verdict(hand).trim_end_matches('.');
    why(
        from,
        "insert",
        (verdict, stopped.unwrap_or_default()),
        rest,
        exit,
    )
}

/// What holds a size back.
pub fn grow(from: From<'_>, growth: &Growth, exit: u8) -> String {
    let ruler = from.ruler;
    let offer = |offer: &Offer| {
        let until = offer.until.as_ref().map(|(by, buys, held_by)| {
            json!({
                "by": measure(ruler, *by),
                "buys": measure(ruler, *buys),
                "held_by": held(ruler, held_by),
                "half": offer.half,
            })
        });
        json!({
            "measure": offer.measure,
            "leaf": offer.leaf,
            "from": measure(ruler, offer.from),
            "more": offer.more,
            "by": measure(ruler, offer.by),
            "buys": measure(ruler, offer.buys),
            "loses": offer.loses.map(|loses| measure(ruler, loses)),
            "until": until,
        })
    };
    let place = |(deed, buys): &(Deed, Length)| {
        let change = change(from, &FixChange::Do(deed.clone()));
        joined([change, json!({ "buys": measure(ruler, *buys) })])
    };
    let rest = json!({
        "name": growth.name,
        "leaf": growth.leaf,
        "value": measure(ruler, growth.value),
        "wanted": if growth.larger { "large" } else { "small" },
        "held_by": held(ruler, &growth.held_by),
        "offers": list(&growth.offers, offer),
        "places": list(&growth.places, place),
        "pattern": growth.pattern.as_ref().map(|(name, buys)| json!({ "name": name, "buys": measure(ruler, *buys) })),
        "proved": growth.proved,
    });
    why(from, "grow", ("fits", Value::Null), rest, exit)
}

/// The smallest leaves that take given things.
pub fn need(from: From<'_>, wants: &[need::Want], need: &Need, exit: u8) -> String {
    let ruler = from.ruler;
    let verdict = match (need.leaves.is_empty(), need.all) {
        (false, _) => "found",
        (true, true) => "no leaf does",
        (true, false) => "undecided",
    };
    let rest = json!({
        "wants": list(wants, |want| json!({
            "place": want.place.name(),
            "count": want.count,
            "width": measure(ruler, want.width),
            "height": measure(ruler, want.height),
        })),
        "like": need.like,
        "gusset": need.gusset.map(|gusset| measure(ruler, gusset)),
        "pocket_made": need.pocket_made,
        "leaves": list(&need.leaves, |leaf| json!({
            "width": measure(ruler, leaf.width),
            "height": measure(ruler, leaf.height),
            "pocket": leaf.pocket.map(|edge| measure(ruler, edge)),
            "turned": leaf.turned,
        })),
        "all": need.all,
        "clash": need.why.as_ref().map(|why| clash(from, why)),
        "bags": list(&need.bags, |bag| json!({ "name": bag.name, "does": bag.does, "turned": bag.turned })),
    });
    why(from, "need", (verdict, Value::Null), rest, exit)
}
