//! What makes an album fit: changes in plain words, cheapest first, and what sizes come out.

use super::{From, rule, sizes};
use crate::album::Value;
use crate::explain::{Explanation, Fix, FixChange, FixList, Kind, Swap};
use crate::length::{Interval, Length, Ruler};
use crate::report::fit;
use crate::report::words::{capital, plain, spaced, strong, wrapped};
use crate::scene::BagMeasure;
use crate::style::{Style, Tells};

/// All fixes of an explanation, then what else from the supplies would do.
pub fn text(from: From<'_>, explained: &Explanation) -> String {
    let lists = &explained.fixes;
    let has_fixes = |list: &FixList| !list.fixes.is_empty() || list.cheapest.is_some();
    let heading = match (lists.iter().any(has_fixes), lists.len()) {
        (false, _) => "What makes it fit",
        (true, 1) => "What makes it fit, cheapest first",
        (true, _) => "What makes it fit: one from each list, cheapest first",
    };
    let mut text = format!("\n{}\n", strong(heading));
    if lists.is_empty() {
        let said = "No change that makes it fit was found before a limit was met.";
        text.push_str(&wrapped(said, "  ", "  "));
    }
    let stuck: Vec<String> = (1..)
        .zip(lists)
        .filter(|(_, list)| !has_fixes(list))
        .map(|(n, _)| format!("list {n}"))
        .collect();
    if lists.len() > 1 && stuck.len() < lists.len() {
        let others = match stuck.is_empty() {
            true => String::new(),
            false => format!(", and without the rules of {}", stuck.join(" and ")),
        };
        let said = format!("Sizes are those with the first of each other list{others}.");
        text.push_str(&wrapped(&said, "  ", "  "));
    }
    let mut first = None;
    for (n, list) in lists.iter().enumerate() {
        if lists.len() > 1 {
            text.push_str(&format!("  List {} of {}\n", n + 1, lists.len()));
        }
        text.push_str(&match has_fixes(list) {
            true => one_list(from, list, (lists.len(), &stuck), &mut first),
            false => wrapped(&without(list), "  ", "  "),
        });
    }
    text.push_str(&swaps(from, &explained.swaps));
    text
}

/// What to do, before all arithmetic: of each part of the trouble the first fix, of a single part one that
/// neither breaks a rule nor leaves something out, if there is one. `None` if that is not known.
pub fn easiest(from: From<'_>, explained: &Explanation) -> Option<String> {
    let accepts = |c: &FixChange| matches!(c, FixChange::Accept { .. });
    let leaves_out = |c: &FixChange| matches!(c, FixChange::LeaveOut { .. });
    let keeps_rules = |fix: &&Fix| fix.sizes.is_some() && !fix.changes.iter().any(accepts);
    let changes_measures = |fix: &&Fix| keeps_rules(fix) && !fix.changes.iter().any(leaves_out);
    let lists = &explained.fixes[..];
    let swap = explained.swaps.iter().find(|swap| !swap.with_others);
    let fixes: Vec<&Fix> = match lists {
        [list] => {
            let alone = list.fixes.iter().find(changes_measures);
            let or_without = || {
                list.fixes
                    .iter()
                    .find(keeps_rules)
                    .filter(|_| swap.is_none())
            };
            alone.or_else(or_without).into_iter().collect()
        }
        lists => {
            // Each was worked out with the first of the others: other pairs are not known to fit.
            let firsts = lists
                .iter()
                .map(|list| list.fixes.first().filter(keeps_rules));
            firsts.collect::<Option<_>>().unwrap_or_default()
        }
    };
    let changes = fixes.iter().flat_map(|fix| &fix.changes);
    let mut ways = Vec::new();
    if !fixes.is_empty() {
        let changes: Vec<String> = changes.map(|c| change(from, c)).collect();
        ways.push(changes.join("; and "));
    }
    ways.extend(swap.map(use_it));
    let beyond = |list: &FixList| {
        let mut all = list.fixes.iter().chain(&list.cheapest);
        list.all && all.all(|fix| fix.sizes.is_some() && !changes_measures(&fix))
    };
    match ways.is_empty() {
        false => Some(format!("Easiest: {}.", ways.join("; or "))),
        true if lists.iter().any(beyond) => Some(
            "No measure of yours mends all of it: take something else instead, leave something out, or accept less than a rule asks."
                .to_owned(),
        ),
        true => None,
    }
}

/// A part of the trouble that nothing mends.
fn without(list: &FixList) -> String {
    let rules = list.nothing_mends.iter();
    let rules: Vec<String> = rules.map(|(name, of)| rule(name, &spaced(of))).collect();
    let these = match rules.len() {
        0 => return "No change was found that mends this part.".to_owned(),
        1 => "this rule",
        _ => "these rules",
    };
    format!(
        "No change mends {these}: {}. The sizes of pieces, the holes, pocket and quantities that you gave were tried smaller and larger, and leaving out what is tucked in. Only something else in its place can help.",
        rules.join("; ")
    )
}

/// The sizes of the first fix, to which those of the others are compared.
type First = Option<Vec<(String, Interval)>>;

fn one_list(
    from: From<'_>,
    list: &FixList,
    (lists, stuck): (usize, &[String]),
    first: &mut First,
) -> String {
    let mut text = String::new();
    for (n, fix) in list.fixes.iter().enumerate() {
        text.push_str(&one(from, fix, &format!("  {:>2}  ", n + 1), lists, first));
    }
    if let Some(cheapest) = &list.cheapest {
        let said = "Cheapest of all, with smaller amounts of more changes:";
        text.push_str(&wrapped(said, "  ", "  "));
        text.push_str(&one(from, cheapest, "      ", lists, first));
    }
    let all: Vec<&Fix> = list.fixes.iter().chain(&list.cheapest).collect();
    let mut said = Vec::new();
    let it = if all.len() == 1 { "it" } else { "each" };
    if all.iter().all(|f| f.sizes.is_some()) {
        let but = match stuck.is_empty() {
            true => String::new(),
            false => format!(" but for {}", stuck.join(" and ")),
        };
        let with = format!("With {it} the album was worked out again, and fits{but}.");
        said.push(with);
    }
    if all.iter().all(|f| f.proved) {
        said.push("That smaller amounts of the same do not do is proved.".to_owned());
    }
    if !list.all {
        said.push("There may be other ways.".to_owned());
    }
    text.push_str(&match said.is_empty() {
        true => String::new(),
        false => wrapped(&said.join(" "), "  ", "  "),
    });
    text
}

fn one(from: From<'_>, fix: &Fix, mark: &str, lists: usize, first: &mut First) -> String {
    let changes: Vec<String> = fix.changes.iter().map(|c| change(from, c)).collect();
    let mut text = wrapped(
        &format!("{}.", capital(&changes.join("; and "))),
        mark,
        "      ",
    );
    let mut line = |said: &str| text.push_str(&wrapped(said, "      ", "        "));
    if let Some(found) = &fix.sizes
        && let Some(said) = told_sizes(from, found, lists, first)
    {
        line(&said);
    }
    if !fix.proved {
        line("A little less may do too: a limit was met before that was known.");
    }
    text
}

/// What sizes come out: all of the first fix, of the others those that differ from it. `None` if
/// every size is given.
fn told_sizes(
    from: From<'_>,
    found: &[(String, Interval)],
    lists: usize,
    first: &mut First,
) -> Option<String> {
    let said = sizes::listed(from.style, from.ruler, found);
    if said.is_empty() {
        return None;
    }
    let Some(before) = first else {
        *first = Some(found.to_vec());
        return Some(format!("Sizes then: {said}."));
    };
    let the_first = match lists {
        1 => "the first",
        _ => "the first of each list",
    };
    let other = sizes::listed(from.style, from.ruler, &sizes::differing(found, before));
    Some(match other.is_empty() {
        true => format!("Sizes then: as with {the_first}."),
        false => format!("Sizes then, where not as with {the_first}: {other}."),
    })
}

/// One change, as something to do.
pub fn change(from: From<'_>, change: &FixChange) -> String {
    let ruler = from.ruler;
    match change {
        FixChange::Accept { rule, of, by } => {
            let of = if of.is_empty() {
                String::new()
            } else {
                format!(" ({of})")
            };
            format!("accept {} less at: {rule}{of}", ruler.show(*by))
        }
        FixChange::Measure {
            kind,
            name,
            of,
            why,
            from: now,
            to,
        } => {
            let moved = Moved {
                by: difference(*now, *to).map_or(String::new(), |by| ruler.show(by)),
                left: ruler.show_interval(*to),
                more: to.least() > now.least(),
            };
            match kind {
                Kind::Quantity => quantity(name, why, &moved),
                Kind::Size => size(from.style, name, &in_leaf(from, of), &moved),
                Kind::Template(key) => hole(from, (name, key), &moved),
                Kind::Pocket(measure) => pocket(from, (name, *measure), of, &moved),
            }
        }
        FixChange::Usual {
            quantity,
            why,
            from: now,
            to,
        } => {
            let (now, to) = (value(ruler, *now), value(ruler, *to));
            format!(
                "leave `{quantity}` at {to}, as usual, not {now} ({why}; `--set {quantity}=\"{to}\"`)"
            )
        }
        FixChange::LeaveOut { name, leaf } => {
            format!("leave out {}{}", plain(name), in_leaf(from, leaf))
        }
    }
}

/// A measure that is moved, in words.
struct Moved {
    by: String,
    /// What it then is.
    left: String,
    more: bool,
}

impl Moved {
    /// In the style's own words, if it has any for this.
    fn told(&self, tells: &Tells, of: &str) -> Option<String> {
        let words = if self.more { &tells.more } else { &tells.less };
        let said = words.as_ref()?.replace("{by}", &self.by);
        Some(said.replace("{it}", &self.left).replace("{of}", of))
    }

    fn or<'a>(&self, more: &'a str, less: &'a str) -> &'a str {
        if self.more { more } else { less }
    }
}

fn in_leaf(from: From<'_>, leaf: &str) -> String {
    match from.leaves > 1 && !leaf.is_empty() {
        true => format!(" ({leaf})"),
        false => String::new(),
    }
}

fn value(ruler: Ruler, value: Value) -> String {
    match value {
        Value::Length(length) => ruler.show_interval(length),
        ratio => crate::report::rules::shown(ratio),
    }
}

fn quantity(name: &str, why: &str, moved: &Moved) -> String {
    let Moved { by, left, .. } = moved;
    let sense = moved.or("larger", "smaller");
    format!("make `{name}` {by} {sense}: {left} ({why}; `--set {name}=\"{left}\"`)")
}

fn size(style: &Style, name: &str, in_leaf: &str, moved: &Moved) -> String {
    if let Some(told) = moved.told(style.tells(name), in_leaf) {
        return told;
    }
    let Moved { by, left, .. } = moved;
    let (of, side) = name.rsplit_once('.').unwrap_or((name, ""));
    let of = sizes::thing(of);
    let (adverb, comparative) = match side {
        "width" => (" wide", "wider"),
        "height" => (" high", "higher"),
        "show" => {
            let sense = moved.or("more", "less");
            return format!("let {of}{in_leaf} show {by} {sense}: {left} (`show = \"{left}\"`)");
        }
        "depth" => return deep(&of, in_leaf, moved),
        _ => ("", "larger"),
    };
    match moved.more {
        true => format!("make {of}{in_leaf} {by} {comparative}: {left}{adverb}"),
        false => format!("cut {of}{in_leaf} down by {by} to {left}{adverb}"),
    }
}

/// How far things slide into a slot.
fn deep(slot: &str, of: &str, moved: &Moved) -> String {
    let Moved { by, left, .. } = moved;
    let sense = moved.or("deeper", "less deep");
    format!("make the {slot}{of} {by} {sense}: {left}")
}

fn hole(from: From<'_>, (name, key): (&str, &str), moved: &Moved) -> String {
    let Moved { by, left, .. } = moved;
    let said = moved.told(from.style.tells(name), "").unwrap_or_else(|| {
        let sense = moved.or("larger", "smaller");
        let called = sizes::called(from.style, name);
        format!("make {called} {by} {sense}: {left}")
    });
    let typed = match (from.bag, key) {
        (true, "edge") => format!("`--edge \"{left}\"`"),
        (true, _) => format!("`--hole \"{left}\"`"),
        (false, key) => format!("`{key} = \"{left}\"`"),
    };
    format!("{said} ({typed})")
}

fn pocket(from: From<'_>, (name, measure): (&str, BagMeasure), bag: &str, moved: &Moved) -> String {
    let left = &moved.left;
    let key = match measure {
        BagMeasure::PocketEdge => "edge",
        _ => "depth",
    };
    let (of, typed) = match fit::option(measure).filter(|_| from.bag) {
        Some(option) => (String::new(), format!("`{option} \"{left}\"`")),
        None => (
            format!(" of `{bag}`"),
            format!("`pocket = {{ {key} = \"{left}\" ... }}`"),
        ),
    };
    let thing = name.split('.').next().unwrap_or(name);
    let told = moved.told(from.style.tells(name), &of);
    let said = told.unwrap_or_else(|| deep(&plain(thing), &of, moved));
    format!("{said} ({typed})")
}

/// By how much a measure differs from what it was.
pub fn difference(from: Interval, to: Interval) -> Option<Length> {
    let (less, more) = (from.least().min(to.least()), from.least().max(to.least()));
    more.checked_sub(less)
}

fn use_it(swap: &Swap) -> String {
    let of = match swap.leaf.is_empty() {
        true => String::new(),
        false => format!(" for `{}`", swap.leaf),
    };
    let instead = match swap.from.is_empty() {
        true => String::new(),
        false => format!(" instead of `{}`", swap.from),
    };
    format!("use {} `{}`{of}{instead}", swap.kind, swap.to)
}

fn swaps(from: From<'_>, swaps: &[Swap]) -> String {
    if swaps.is_empty() {
        return String::new();
    }
    let heading = "Or something else from your supplies, with which it was worked out and fits";
    let mut text = format!("\n{}\n", strong(heading));
    for swap in swaps {
        let others = match swap.with_others {
            true => ", with the first of each list that has one",
            false => "",
        };
        let said = format!("{}{others}", use_it(swap));
        text.push_str(&wrapped(&format!("{}.", capital(&said)), "  ", "      "));
        let found = sizes::listed(from.style, from.ruler, &swap.sizes);
        if !found.is_empty() {
            text.push_str(&wrapped(
                &format!("Sizes then: {found}."),
                "      ",
                "        ",
            ));
        }
    }
    text
}
