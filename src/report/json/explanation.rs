//! Explanations for other programs: what clashes, what makes it fit, and what else would do.

use super::{joined, list, measure};
use crate::explain::deeds::{Deed, Supply};
use crate::explain::{Explanation, Fix, FixChange, FixList, Kind};
use crate::length::Interval;
use crate::plan::clash::{Clash, Member};
use crate::report::why as words;
use crate::report::{From, phrase};
use serde_json::{Value, json};

/// What clashes and what makes it fit.
pub(super) fn explanation(from: From<'_>, explained: &Explanation) -> Value {
    json!({
        "clashes": list(&explained.clashes, |it| clash(from, it)),
        "all_clashes": explained.all_clashes,
        "more_clashes": explained.more_clashes,
        "whole": list(&explained.whole, |it| fix(from, it)),
        "fix_lists": list(&explained.fixes, |it| fixes(from, it)),
        "hopeless": explained.hopeless,
    })
}

pub(super) fn clash(from: From<'_>, clash: &Clash) -> Value {
    json!({
        "members": list(&clash.members, |it| member(from, it)),
        "least": list(&clash.least, |(name, value)| named(from, name, (*value).into())),
        "proved_minimal": clash.proved_minimal,
        "also": clash.also,
    })
}

fn member(from: From<'_>, member: &Member) -> Value {
    let missing = member.short.filter(|_| !member.kept);
    let because = member.because.as_ref();
    json!({
        "rule": member.name,
        "of": member.of,
        "because": because.map(|it| phrase::screen(from.ruler, it)),
        "missing": missing.map(|short| measure(from.ruler, short)),
        "sense": words::sense(member.sense),
        "and": list(&member.and, |(because, short, sense)| json!({
            "because": phrase::screen(from.ruler, because),
            "missing": measure(from.ruler, *short),
            "sense": words::sense(*sense),
        })),
        "source": member.source,
        "at": words::at(from, member.place),
        "given": list(&member.givens, |(name, value, place)| {
            let at = place.and_then(|place| words::at(from, place));
            joined([named(from, name, *value), json!({ "at": at })])
        }),
    })
}

fn named(from: From<'_>, name: &str, value: Interval) -> Value {
    joined([json!({ "name": name }), measure(from.ruler, value)])
}

fn fixes(from: From<'_>, found: &FixList) -> Value {
    json!({
        "fixes": list(&found.fixes, |it| fix(from, it)),
        "meanwhile": found.meanwhile,
        "cheapest": found.cheapest.as_ref().map(|it| fix(from, it)),
        "all": found.all,
        "nothing_mends": list(&found.nothing_mends, |(rule, of)| json!({ "rule": rule, "of": of })),
    })
}

pub(super) fn fix(from: From<'_>, fix: &Fix) -> Value {
    let sizes = fix.sizes.as_ref();
    json!({
        "changes": list(&fix.changes, |it| change(from, it)),
        "price": fix.price,
        "proved": fix.proved,
        "sizes": sizes.map(|all| list(all, |(name, value)| named(from, name, *value))),
    })
}

pub(super) fn change(from: From<'_>, change: &FixChange) -> Value {
    let From { ruler, style, .. } = from;
    let (word, name, of) = match change {
        FixChange::Accept { rule, of, .. } => ("accept", rule.as_str(), of.as_str()),
        FixChange::Measure {
            kind,
            name,
            of,
            from,
            to,
            ..
        } => {
            let more = to.least() > from.least();
            // A place that a style finds for a hole, not how large it is.
            let mut unknowns = style.unknowns.iter();
            let mut is_found = |name: &str| unknowns.any(|it| it.name.to_string() == name);
            let word = match (kind, name.as_str(), more) {
                (Kind::Size | Kind::Made, name, false) if !name.ends_with(".show") => "cut down",
                (Kind::Size | Kind::Made, name, true) if !name.ends_with(".show") => "make larger",
                (Kind::Template(_), name, _) if is_found(name) => "move",
                (_, _, false) => "smaller",
                (_, _, true) => "larger",
            };
            (word, name.as_str(), of.as_str())
        }
        FixChange::Usual { quantity, .. } => ("usual", quantity.as_str(), ""),
        FixChange::Do(deed) => done(deed),
        FixChange::LeaveOut { name, leaf } => ("leave out", name.as_str(), leaf.as_str()),
    };
    let (by, ends) = match change {
        FixChange::Accept { by, .. } => (Some(*by), None),
        FixChange::Measure { from, to, .. } => (words::difference(*from, *to), Some((*from, *to))),
        _ => (None, None),
    };
    json!({
        "change": word,
        "name": name,
        "of": of,
        "by": by.map(|by| measure(ruler, by)),
        "from": ends.map(|(from, _)| measure(ruler, from)),
        "to": ends.map(|(_, to)| measure(ruler, to)),
        "says": words::change(from, change),
    })
}

fn use_of(supply: Supply) -> &'static str {
    match supply {
        Supply::Bag => "use bag",
        Supply::Paper => "use paper",
        Supply::Print => "use print",
        Supply::Ring => "use ring",
        Supply::Punch => "use punch",
    }
}

/// A deed: its word, what it is done to, and of what. A program reads the rest from the words.
fn done(deed: &Deed) -> (&'static str, &str, &str) {
    match deed {
        Deed::Place { leaf, insert, .. } => ("place", insert, leaf),
        Deed::Turn { leaf, insert, .. } => ("turn", insert, leaf),
        Deed::Show { leaf, insert, .. } => ("show", insert, leaf),
        Deed::Grip { leaf, insert, .. } => ("grip", insert, leaf),
        Deed::Use {
            supply, to, leaf, ..
        } => (use_of(*supply), to, leaf),
        Deed::RingOf { from, .. } => ("larger ring", from, ""),
        Deed::SheetOf { of, leaf, .. } => ("larger sheets", of, leaf),
        Deed::BagOf { from, .. } => ("larger bag", from, ""),
        Deed::Pick { from, .. } => ("pick", from, ""),
        Deed::Pattern { to, .. } => ("pattern", to.as_deref().unwrap_or(""), ""),
        Deed::Row { .. } => ("move holes", "", ""),
        Deed::Holes { .. } => ("fewer holes", "", ""),
        Deed::NoEyelets => ("no eyelets", "", ""),
        Deed::Without { leaf, part } => ("without", part, leaf),
        Deed::With { part, .. } => ("with", part, ""),
        Deed::Thinner { leaf, insert, .. } => ("thinner card", insert, leaf),
        Deed::FewerOf { leaf, insert, .. } => ("fewer of it", insert, leaf),
        Deed::Fewer { leaf, .. } => ("fewer leaves", leaf, ""),
    }
}
