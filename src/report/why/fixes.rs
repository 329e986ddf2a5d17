//! What makes an album fit: changes in plain words, cheapest first, and what sizes come out.

use super::changes::changes;
use super::sizes;
use super::{From, rule};
use crate::explain::{Explanation, Fix, FixChange, FixList};
use crate::length::Interval;
use crate::report::words::{capital, headed, spaced, wrapped};
use itertools::Itertools;

/// All fixes of an explanation, then what else from the supplies would do.
pub fn text(from: From<'_>, explained: &Explanation) -> String {
    let lists = &explained.fixes;
    let has_fixes = |list: &FixList| !list.fixes.is_empty() || list.cheapest.is_some();
    let heading = match (lists.iter().any(has_fixes), lists.len()) {
        (false, _) => "What makes it fit",
        (true, 1) => "What makes it fit, easiest first",
        (true, _) => "What makes it fit: one from each list, easiest first",
    };
    let mut text = headed(heading);
    if lists.is_empty() {
        let said = "No change that makes it fit was found before a limit was met.";
        text.push_str(&wrapped(said, "  ", "  "));
    }
    let stuck: Vec<String> = (1..)
        .zip(lists)
        .filter(|(_, list)| list.meanwhile.is_none() && list.cheapest.is_none())
        .map(|(n, _)| list_name(n))
        .collect();
    if lists.len() > 1 && stuck.is_empty() {
        let said = "Sizes are those with the first of each other list.";
        text.push_str(&wrapped(said, "  ", "  "));
    }
    if from.file && !lists.is_empty() && lists.iter().all(has_fixes) {
        let firsts = (0..)
            .zip(lists)
            .map(|(n, it)| explained.first_of(n) + it.best());
        let firsts = firsts.map(|n| n.to_string()).collect::<Vec<_>>().join(",");
        let (one, numbers) = match (whole_first(explained), lists.len()) {
            (true, all) => ("what mends all of it", explained.first_of(all).to_string()),
            (false, 1) => ("one", firsts),
            (false, _) => ("one of each", firsts),
        };
        let said =
            format!("To have {one} written into the album's file: `why` with `--do {numbers}`.");
        text.push_str(&wrapped(&said, "  ", "  "));
    }
    let mut first = None;
    for (n, list) in lists.iter().enumerate() {
        if lists.len() > 1 {
            text.push_str(&format!("  List {} of {}\n", n + 1, lists.len()));
        }
        text.push_str(&match has_fixes(list) {
            true => {
                let number = explained.first_of(n);
                let own = list_name(n + 1);
                one_list(
                    from,
                    (list, number),
                    (lists.len(), &own, &stuck),
                    &mut first,
                )
            }
            false => wrapped(&without(list), "  ", "  "),
        });
    }
    if !explained.whole.is_empty() {
        text.push_str("  Or one that mends all of it\n");
    }
    for (n, fix) in (explained.first_of(lists.len())..).zip(&explained.whole) {
        let said = format!("{}.", capital(&said(from, fix)));
        text.push_str(&wrapped(&said, &format!("  {n:>2}  "), "      "));
    }
    text
}

fn list_name(number: usize) -> String {
    format!("list {number}")
}

/// What was written into an album's file, which fits now.
pub fn written(from: From<'_>, file: &str, fixes: &[&Fix]) -> String {
    let all = fixes.iter().flat_map(|fix| changes(from, &fix.changes));
    let changes = capital(&all.collect::<Vec<_>>().join("; and "));
    let said =
        format!("{changes}: that stands in {file} now, and it fits: `tuckwright fit {file}`.");
    wrapped(&said, "", "")
}

/// Changes of one way that stand before all else.
const FIRST_CHANGES: usize = 4;
/// Ways to mend one trouble that stand before all else.
const FIRST_WAYS: usize = 3;

/// What to do, before all arithmetic: the easiest ways to mend each part of the trouble, without those
/// that break a rule if there are others. Empty if none is known.
pub fn easiest(from: From<'_>, explained: &Explanation) -> Vec<String> {
    let accepts = |c: &FixChange| matches!(c, FixChange::Accept { .. });
    let lists = &explained.fixes[..];
    let ways = lists.iter().map(|list| {
        let best = list.every().nth(list.best());
        let all = best.into_iter().chain(list.every());
        let all = all.unique_by(|fix| std::ptr::from_ref(*fix));
        // What mends all of it stands by itself.
        let is_whole = |fix: &Fix| explained.whole.iter().any(|it| it.changes == fix.changes);
        let all = all.filter(|fix| fix.sizes.is_some() && !is_whole(fix));
        let (breaking, keeping): (Vec<&Fix>, Vec<&Fix>) =
            all.partition(|fix| fix.changes.iter().any(accepts));
        // Less of a rule is no way beside what mends all of it.
        let ways = match keeping.is_empty() && explained.whole.is_empty() {
            true => breaking,
            false => keeping,
        };
        let ways = different(&ways).into_iter().enumerate();
        // Of several things to do at once one way is enough to read.
        let ways = ways.filter(|(n, fix)| *n == 0 || fix.changes.len() == 1);
        let ways: Vec<String> = ways.map(|(_, fix)| said(from, fix)).collect();
        ways.join("; or ")
    });
    let ways: Vec<String> = ways.collect();
    let whole: Vec<&Fix> = explained.whole.iter().collect();
    let whole = different(&whole).into_iter().map(|fix| said(from, fix));
    let whole = whole.collect::<Vec<_>>().join("; or ");
    let mut all = Vec::new();
    let first = whole_first(explained);
    // With a part that nothing else mends the others are no other way.
    let none = match whole.is_empty() {
        true => ways.iter().all(String::is_empty),
        false => ways.iter().any(String::is_empty),
    };
    if !whole.is_empty() && (none || first) {
        let but = if none { "" } else { " Or:" };
        all.push(format!("{}: that mends all of it.{but}", capital(&whole)));
    }
    if !none {
        // One part that nothing mends is said, too: without it the others are of no use.
        let told = lists
            .iter()
            .zip(ways)
            .map(|(list, way)| match way.is_empty() {
                true => nothing(list),
                false => way,
            });
        // One that mends several parts is said once.
        let told = told.unique().enumerate();
        all.extend(told.map(|(n, way)| match n {
            0 => format!("{}.", capital(&way)),
            _ => format!("And {way}."),
        }));
        if !whole.is_empty() && !first {
            all.push(format!("Or {whole}: that mends all of it."));
        }
    }
    all
}

/// What mends all of it stands first, unless a few things do that are less trouble each.
fn whole_first(explained: &Explanation) -> bool {
    let lists = explained.fixes.iter();
    let firsts: Vec<&Fix> = lists.filter_map(|list| list.fixes.first()).collect();
    let few = firsts.iter().map(|fix| fix.changes.len()).sum::<usize>() <= FIRST_CHANGES;
    let less = |fix: &Fix| firsts.iter().all(|first| first.effort < fix.effort);
    let all = few && firsts.len() == explained.fixes.len();
    let later = all && explained.whole.iter().all(less);
    !(explained.whole.is_empty() || later)
}

fn said(from: From<'_>, fix: &Fix) -> String {
    let few = fix.changes.len().min(FIRST_CHANGES);
    let mut said = changes(from, &fix.changes[..few]);
    match fix.changes.len() - few {
        0 => {}
        more => said.push(format!("{more} more like it, below")),
    }
    said.join("; and ")
}

/// The first few, of which no two only put something else of the supplies in the same place.
fn different<'f>(fixes: &[&'f Fix]) -> Vec<&'f Fix> {
    let mut first: Vec<&Fix> = Vec::new();
    for fix in fixes {
        let alike = |other: &&Fix| match (&fix.changes[..], &other.changes[..]) {
            ([FixChange::Do(a)], [FixChange::Do(b)]) => {
                std::mem::discriminant(a) == std::mem::discriminant(b)
            }
            _ => false,
        };
        if first.len() < FIRST_WAYS && !first.iter().any(alike) {
            first.push(fix);
        }
    }
    first
}

/// A part of the trouble that nothing mends.
fn without(list: &FixList) -> String {
    if list.nothing_mends.is_empty() {
        return format!("{}.", capital(&nothing(list)));
    }
    format!(
        "{}. The sizes of pieces, the holes, pocket and quantities that you gave were tried smaller and larger, and leaving out what is tucked in. Only something else in its place can help.",
        capital(&nothing(list))
    )
}

/// The same in a few words.
fn nothing(list: &FixList) -> String {
    let rules = list.nothing_mends.iter();
    let rules: Vec<String> = rules.map(|(name, of)| rule(name, &spaced(of))).collect();
    let these = match rules.len() {
        0 => return "no change was found that mends this part".to_owned(),
        1 => "this rule",
        _ => "these rules",
    };
    format!("no change mends {these}: {}", rules.join("; "))
}

/// The sizes of the first fix, to which those of the others are compared.
type First = Option<Vec<(String, Interval)>>;

fn one_list(
    from: From<'_>,
    (list, number): (&FixList, usize),
    (lists, own, stuck): (usize, &str, &[String]),
    first: &mut First,
) -> String {
    let mut text = String::new();
    // With rules of other lists broken sizes say nothing.
    let is_whole = lists == 1 || stuck.is_empty();
    let mut one = |fix: &Fix, n: usize| {
        let sizes = is_whole.then_some(&mut *first);
        one(from, fix, &format!("  {n:>2}  "), lists, sizes)
    };
    for (n, fix) in (number..).zip(&list.fixes) {
        text.push_str(&one(fix, n));
    }
    if let Some(cheapest) = &list.cheapest {
        let said = "Cheapest of all, with smaller amounts of more changes:";
        text.push_str(&wrapped(said, "  ", "  "));
        text.push_str(&one(cheapest, number + list.fixes.len()));
    }
    let all: Vec<&Fix> = list.every().collect();
    let mut said = Vec::new();
    let it = if all.len() == 1 { "it" } else { "each" };
    if all.iter().all(|f| f.sizes.is_some()) {
        let others: Vec<&String> = stuck.iter().filter(|it| **it != own).collect();
        let but = match others.is_empty() {
            true => String::new(),
            false => format!(" but for {}", others.into_iter().join(" and ")),
        };
        let with = format!("With {it} the album was worked out again, and fits{but}.");
        said.push(with);
    }
    if all.iter().all(|f| f.proved) {
        said.push("By whole steps of the ruler, less is not enough; that is proved.".to_owned());
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

fn one(from: From<'_>, fix: &Fix, mark: &str, lists: usize, first: Option<&mut First>) -> String {
    let mut text = wrapped(
        &format!("{}.", capital(&changes(from, &fix.changes).join("; and "))),
        mark,
        "      ",
    );
    let mut line = |said: &str| text.push_str(&wrapped(said, "      ", "        "));
    if let (Some(found), Some(first)) = (&fix.sizes, first)
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
