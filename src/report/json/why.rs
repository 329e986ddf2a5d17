//! Explanations for other programs: clashes, fixes, a thing in the hand, growth, smallest leaves.

use super::shape::{Held, Measure};
use super::{VERSION, held, length, measure, pretty, verdict};
use crate::explain::{
    Explanation, Fix, FixChange, FixList, Growth, Hand, Kind, Need, NeedBag, NeedLeaf, Offer, Swap,
    Trim,
};
use crate::length::{Interval, Length, Ruler};
use crate::plan::clash::{Clash, Member};
use crate::report::why::{self as words, Asked};
use crate::report::{Answer, From, stopped};
use crate::text::Place;
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

/// Why an album does not fit.
#[derive(Debug, Serialize)]
pub struct Explained {
    clashes: Vec<OneClash>,
    all_clashes: bool,
    more_clashes: usize,
    fix_lists: Vec<OneList>,
    swaps: Vec<OneSwap>,
    hopeless: bool,
}

#[derive(Debug, Serialize)]
struct OneClash {
    members: Vec<OneMember>,
    least: Vec<Named>,
    proved_minimal: bool,
    also: Vec<String>,
}

#[derive(Debug, Serialize)]
struct OneMember {
    rule: String,
    of: String,
    because: Option<String>,
    missing: Option<Measure>,
    sense: &'static str,
    source: String,
    at: Option<String>,
    given: Vec<Given>,
}

#[derive(Debug, Serialize)]
struct Given {
    #[serde(flatten)]
    value: Named,
    at: Option<String>,
}

#[derive(Debug, Serialize)]
struct Named {
    name: String,
    #[serde(flatten)]
    value: Measure,
}

#[derive(Debug, Serialize)]
struct OneList {
    fixes: Vec<OneFix>,
    cheapest: Option<OneFix>,
    all: bool,
    nothing_mends: Vec<OneRule>,
}

#[derive(Debug, Serialize)]
struct OneRule {
    rule: String,
    of: String,
}

#[derive(Debug, Serialize)]
pub(super) struct OneFix {
    changes: Vec<OneChange>,
    price: i64,
    proved: bool,
    sizes: Option<Vec<Named>>,
}

#[derive(Debug, Serialize)]
struct OneChange {
    change: &'static str,
    name: String,
    of: String,
    by: Option<Measure>,
    from: Option<Measure>,
    to: Option<Measure>,
    says: String,
}

#[derive(Debug, Serialize)]
struct OneSwap {
    kind: &'static str,
    leaf: String,
    from: String,
    to: String,
    with_others: bool,
    sizes: Vec<Named>,
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
        Answer::Clash(explained) => (Some(self::explanation(from, explained)), None),
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
pub fn need(from: From<'_>, wants: &[Asked], need: &Need, exit: u8) -> serde_json::Result<String> {
    let ruler = from.ruler;
    let verdict = match (need.leaves.is_empty(), need.all) {
        (false, _) => "found",
        (true, true) => "no leaf does",
        (true, false) => "undecided",
    };
    let want = |want: &Asked| Want {
        place: want.place.clone(),
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

/// What clashes and what makes it fit.
pub fn explanation(from: From<'_>, explained: &Explanation) -> Explained {
    Explained {
        clashes: explained.clashes.iter().map(|c| clash(from, c)).collect(),
        all_clashes: explained.all_clashes,
        more_clashes: explained.more_clashes,
        fix_lists: explained.fixes.iter().map(|l| list(from, l)).collect(),
        swaps: explained
            .swaps
            .iter()
            .map(|s| swap(from.ruler, s))
            .collect(),
        hopeless: explained.hopeless,
    }
}

fn clash(from: From<'_>, clash: &Clash) -> OneClash {
    let least = clash.least.iter().map(|(name, value)| Named {
        name: name.clone(),
        value: length(from.ruler, *value),
    });
    OneClash {
        members: clash.members.iter().map(|m| member(from, m)).collect(),
        least: least.collect(),
        proved_minimal: clash.proved_minimal,
        also: clash.also.clone(),
    }
}

fn member(from: From<'_>, member: &Member) -> OneMember {
    let given = |(name, value, place): &(String, Interval, Option<Place>)| Given {
        value: Named {
            name: name.clone(),
            value: measure(from.ruler, *value),
        },
        at: place.and_then(|p| words::at(from, p)),
    };
    OneMember {
        rule: member.name.clone(),
        of: member.of.clone(),
        because: member.because.clone(),
        missing: (member.short)
            .filter(|_| !member.kept)
            .map(|short| length(from.ruler, short)),
        sense: words::sense(member.relation),
        source: member.source.clone(),
        at: words::at(from, member.place),
        given: member.givens.iter().map(given).collect(),
    }
}

fn named(ruler: Ruler, sizes: &[(String, Interval)]) -> Vec<Named> {
    let one = |(name, value): &(String, Interval)| Named {
        name: name.clone(),
        value: measure(ruler, *value),
    };
    sizes.iter().map(one).collect()
}

fn list(from: From<'_>, list: &FixList) -> OneList {
    OneList {
        fixes: list.fixes.iter().map(|f| fix(from, f)).collect(),
        cheapest: list.cheapest.as_ref().map(|f| fix(from, f)),
        all: list.all,
        nothing_mends: (list.nothing_mends.iter())
            .map(|(rule, of)| OneRule {
                rule: rule.clone(),
                of: of.clone(),
            })
            .collect(),
    }
}

pub(super) fn fix(from: From<'_>, fix: &Fix) -> OneFix {
    OneFix {
        changes: fix.changes.iter().map(|c| change(from, c)).collect(),
        price: fix.price,
        proved: fix.proved,
        sizes: fix.sizes.as_ref().map(|s| named(from.ruler, s)),
    }
}

fn change(from: From<'_>, change: &FixChange) -> OneChange {
    let ruler = from.ruler;
    let one = |change: &'static str, name: &str, of: &str| OneChange {
        change,
        name: name.to_owned(),
        of: of.to_owned(),
        by: None,
        from: None,
        to: None,
        says: String::new(),
    };
    let told = match change {
        FixChange::Accept { rule, of, by } => OneChange {
            by: Some(length(ruler, *by)),
            ..one("accept", rule, of)
        },
        FixChange::Measure {
            kind,
            name,
            of,
            from,
            to,
            ..
        } => {
            let more = to.least() > from.least();
            let word = match (kind, name.as_str(), more) {
                (Kind::Size, name, false) if !name.ends_with(".show") => "cut down",
                (Kind::Size, name, true) if !name.ends_with(".show") => "make larger",
                (_, "template.edge" | "template.first" | "template.pitch", _) => "move",
                (_, _, false) => "smaller",
                (_, _, true) => "larger",
            };
            OneChange {
                by: words::difference(*from, *to).map(|by| length(ruler, by)),
                from: Some(measure(ruler, *from)),
                to: Some(measure(ruler, *to)),
                ..one(word, name, of)
            }
        }
        FixChange::Usual { quantity, .. } => one("usual", quantity, ""),
        FixChange::LeaveOut { name, leaf } => one("leave out", name, leaf),
    };
    OneChange {
        says: words::change(from, change),
        ..told
    }
}

fn swap(ruler: Ruler, swap: &Swap) -> OneSwap {
    OneSwap {
        kind: swap.kind,
        leaf: swap.leaf.clone(),
        from: swap.from.clone(),
        to: swap.to.clone(),
        with_others: swap.with_others,
        sizes: named(ruler, &swap.sizes),
    }
}
