//! The answers of `why` for other programs: an album, a thing in the hand, growth, smallest leaves.
//! What clashes and what makes it fit is in `explanation`.

use super::explanation::{Explained, OneClash, clash, explanation};
use super::shape::{Held, Measure};
use super::{VERSION, held, length, measure, pretty, verdict};
use crate::explain::{Growth, Hand, Need, NeedBag, NeedLeaf, Offer, Trim, need};
use crate::length::{Interval, Length};
use crate::report::phrase::plainly;
use crate::report::why as words;
use crate::report::{Answer, From, stopped};
use serde::Serialize;

#[derive(Debug, Serialize)]
struct Head<'a> {
    tuckwright: u32,
    kind: &'static str,
    asked: &'static str,
    title: &'a str,
    ruler: Measure,
    unit: &'static str,
    verdict: &'static str,
    exit: u8,
    #[serde(skip_serializing_if = "Option::is_none")]
    undecided: Option<&'static str>,
}

#[derive(Debug, Serialize)]
struct Why<'a, T: Serialize> {
    #[serde(flatten)]
    head: Head<'a>,
    #[serde(flatten)]
    rest: T,
}

#[derive(Debug, Serialize)]
struct Album {
    explanation: Option<Explained>,
}

#[derive(Debug, Serialize)]
struct InHand {
    leaf: String,
    place: String,
    width: Measure,
    height: Measure,
    as_it_is: bool,
    turned: bool,
    watch: Vec<String>,
    trims: Vec<OneTrim>,
    explanation: Option<Explained>,
}

#[derive(Debug, Serialize)]
struct OneTrim {
    turned: bool,
    off_width: Measure,
    off_height: Measure,
    width: Measure,
    height: Measure,
    says: String,
}

#[derive(Debug, Serialize)]
struct Grown {
    name: String,
    leaf: String,
    value: Measure,
    wanted: &'static str,
    held_by: Vec<Held>,
    offers: Vec<OneOffer>,
    proved: bool,
}

#[derive(Debug, Serialize)]
struct OneOffer {
    measure: String,
    leaf: String,
    from: Measure,
    more: bool,
    by: Measure,
    buys: Measure,
    loses: Option<Measure>,
    until: Option<Until>,
}

#[derive(Debug, Serialize)]
struct Until {
    by: Measure,
    buys: Measure,
    held_by: Vec<Held>,
}

#[derive(Debug, Serialize)]
struct Needed {
    wants: Vec<Want>,
    like: Option<String>,
    gusset: Option<Measure>,
    pocket_made: bool,
    leaves: Vec<Leaf>,
    all: bool,
    clash: Option<OneClash>,
    bags: Vec<Bag>,
}

#[derive(Debug, Serialize)]
struct Want {
    place: String,
    count: i64,
    width: Measure,
    height: Measure,
}

#[derive(Debug, Serialize)]
struct Leaf {
    width: Measure,
    height: Measure,
    pocket: Option<Measure>,
    turned: Vec<bool>,
}

#[derive(Debug, Serialize)]
struct Bag {
    name: String,
    does: Option<bool>,
    turned: Vec<bool>,
}

fn head<'a>(
    from: From<'a>,
    asked: &'static str,
    verdict: &'static str,
    undecided: Option<&'static str>,
    exit: u8,
) -> Head<'a> {
    Head {
        tuckwright: VERSION,
        kind: "why",
        asked,
        title: from.title,
        ruler: length(from.ruler, from.ruler.step()),
        unit: from.ruler.unit().name(),
        verdict,
        exit,
        undecided,
    }
}

/// Why an album does not fit, or that it does.
///
/// # Errors
///
/// None that is known: every value here can be written.
pub fn album(from: From<'_>, answer: Answer<'_>, exit: u8) -> serde_json::Result<String> {
    let (explanation, undecided) = match answer {
        Answer::Clash(explained) => (Some(explanation(from, explained)), None),
        Answer::Undecided(why) => (None, Some(stopped(why))),
        Answer::Fits(_) => (None, None),
    };
    pretty(&Why {
        head: head(from, "album", verdict(answer), undecided, exit),
        rest: Album { explanation },
    })
}

/// Whether a thing in the hand goes in.
///
/// # Errors
///
/// None that is known: every value here can be written.
pub fn hand(from: From<'_>, hand: &Hand, exit: u8) -> serde_json::Result<String> {
    let of = |value: Interval| measure(from.ruler, value);
    let exact = |value: Length| length(from.ruler, value);
    let trim = |trim: &Trim| OneTrim {
        turned: trim.turned,
        off_width: exact(trim.off_width),
        off_height: exact(trim.off_height),
        width: of(trim.width),
        height: of(trim.height),
        says: words::trimmed(from.ruler, trim),
    };
    let verdict = words::verdict(hand).trim_end_matches('.');
    pretty(&Why {
        head: head(from, "insert", verdict, hand.stopped.map(stopped), exit),
        rest: InHand {
            leaf: hand.leaf.clone(),
            place: hand.place.clone(),
            width: of(hand.width),
            height: of(hand.height),
            as_it_is: hand.as_it_is,
            turned: hand.turned,
            watch: (hand.watch.iter())
                .map(|it| plainly(from.ruler, it))
                .collect(),
            trims: hand.trims.iter().map(trim).collect(),
            explanation: hand.why.as_ref().map(|why| explanation(from, why)),
        },
    })
}

/// What holds a size back.
///
/// # Errors
///
/// None that is known: every value here can be written.
pub fn grow(from: From<'_>, growth: &Growth, exit: u8) -> serde_json::Result<String> {
    let ruler = from.ruler;
    let all = |reasons: &[crate::plan::Reason]| reasons.iter().map(|r| held(ruler, r)).collect();
    let offer = |offer: &Offer| OneOffer {
        measure: offer.measure.clone(),
        leaf: offer.leaf.clone(),
        from: measure(ruler, offer.from),
        more: offer.more,
        by: length(ruler, offer.by),
        buys: length(ruler, offer.buys),
        loses: offer.loses.map(|loses| length(ruler, loses)),
        until: offer.until.as_ref().map(|(by, buys, held_by)| Until {
            by: length(ruler, *by),
            buys: length(ruler, *buys),
            held_by: all(held_by),
        }),
    };
    pretty(&Why {
        head: head(from, "grow", "fits", None, exit),
        rest: Grown {
            name: growth.name.clone(),
            leaf: growth.leaf.clone(),
            value: measure(ruler, growth.value),
            wanted: if growth.larger { "large" } else { "small" },
            held_by: all(&growth.held_by),
            offers: growth.offers.iter().map(offer).collect(),
            proved: growth.proved,
        },
    })
}

/// The smallest leaves that take given things.
///
/// # Errors
///
/// None that is known: every value here can be written.
pub fn need(
    from: From<'_>,
    wants: &[need::Want],
    need: &Need,
    exit: u8,
) -> serde_json::Result<String> {
    let ruler = from.ruler;
    let verdict = match (need.leaves.is_empty(), need.all) {
        (false, _) => "found",
        (true, true) => "no leaf does",
        (true, false) => "undecided",
    };
    let want = |want: &need::Want| Want {
        place: want.place.name(),
        count: want.count,
        width: measure(ruler, want.width),
        height: measure(ruler, want.height),
    };
    let leaf = |leaf: &NeedLeaf| Leaf {
        width: length(ruler, leaf.width),
        height: length(ruler, leaf.height),
        pocket: leaf.pocket.map(|edge| length(ruler, edge)),
        turned: leaf.turned.clone(),
    };
    let bag = |bag: &NeedBag| Bag {
        name: bag.name.clone(),
        does: bag.does,
        turned: bag.turned.clone(),
    };
    pretty(&Why {
        head: head(from, "need", verdict, None, exit),
        rest: Needed {
            wants: wants.iter().map(want).collect(),
            like: need.like.clone(),
            gusset: need.gusset.map(|g| measure(ruler, g)),
            pocket_made: need.pocket_made,
            leaves: need.leaves.iter().map(leaf).collect(),
            all: need.all,
            clash: need.why.as_ref().map(|c| clash(from, c)),
            bags: need.bags.iter().map(bag).collect(),
        },
    })
}
