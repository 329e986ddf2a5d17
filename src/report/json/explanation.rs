//! Explanations for other programs: what clashes, what makes it fit, and what else would do.

use super::shape::Measure;
use super::{length, measure};
use crate::explain::deeds::{Deed, Supply};
use crate::explain::{Explanation, Fix, FixChange, FixList, Kind};
use crate::length::{Interval, Ruler};
use crate::plan::clash::{Clash, Member};
use crate::report::why as words;
use crate::report::{From, phrase};
use crate::text::Place;
use serde::Serialize;

/// Why an album does not fit.
#[derive(Debug, Serialize)]
pub(super) struct Explained {
    clashes: Vec<OneClash>,
    all_clashes: bool,
    more_clashes: usize,
    whole: Vec<OneFix>,
    fix_lists: Vec<OneList>,
    hopeless: bool,
}

#[derive(Debug, Serialize)]
pub(super) struct OneClash {
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
    meanwhile: Option<usize>,
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

/// What clashes and what makes it fit.
pub(super) fn explanation(from: From<'_>, explained: &Explanation) -> Explained {
    Explained {
        clashes: explained.clashes.iter().map(|c| clash(from, c)).collect(),
        all_clashes: explained.all_clashes,
        more_clashes: explained.more_clashes,
        whole: explained.whole.iter().map(|f| fix(from, f)).collect(),
        fix_lists: explained.fixes.iter().map(|l| list(from, l)).collect(),
        hopeless: explained.hopeless,
    }
}

pub(super) fn clash(from: From<'_>, clash: &Clash) -> OneClash {
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
        because: (member.because.as_ref()).map(|it| phrase::screen(from.ruler, it)),
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
        meanwhile: list.meanwhile,
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
    let From { ruler, style, .. } = from;
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
            OneChange {
                by: words::difference(*from, *to).map(|by| length(ruler, by)),
                from: Some(measure(ruler, *from)),
                to: Some(measure(ruler, *to)),
                ..one(word, name, of)
            }
        }
        FixChange::Usual { quantity, .. } => one("usual", quantity, ""),
        FixChange::Do(deed) => {
            let (word, name, of) = done(deed);
            one(word, name, of)
        }
        FixChange::LeaveOut { name, leaf } => one("leave out", name, leaf),
    };
    OneChange {
        says: words::change(from, change),
        ..told
    }
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
