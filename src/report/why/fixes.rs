//! What makes an album fit: changes in plain words, cheapest first, and what sizes come out.

use super::{From, sizes};
use crate::explain::{Explanation, Fix, FixChange, FixList, Swap};
use crate::length::{Interval, Length, Ruler};
use crate::report::words::{capital, plain, strong, wrapped};

/// All fixes of an explanation, then what else from the supplies would do.
pub fn text(from: From<'_>, explained: &Explanation) -> String {
    let lists: Vec<&FixList> = explained.fixes.iter().collect();
    let mut text = String::new();
    let found = lists
        .iter()
        .any(|l| !l.fixes.is_empty() || l.cheapest.is_some());
    if found {
        let heading = match lists.len() {
            1 => "What makes it fit, cheapest first",
            _ => "What makes it fit: one from each list, cheapest first",
        };
        text.push_str(&format!("\n{}\n", strong(heading)));
        let mut first = None;
        for (n, list) in lists.iter().enumerate() {
            if lists.len() > 1 {
                text.push_str(&format!("  List {} of {}\n", n + 1, lists.len()));
            }
            text.push_str(&one_list(from, list, &mut first));
        }
    } else if explained.hopeless {
        let said = "None of these rules gives, and no size or quantity in them may be changed. Only something else in its place can help.";
        text.push_str(&format!("\n{}\n", strong("What makes it fit")));
        text.push_str(&wrapped(said, "  ", "  "));
    } else {
        let said = "No change that makes it fit was found before a limit was met.";
        text.push_str(&format!("\n{}\n", strong("What makes it fit")));
        text.push_str(&wrapped(said, "  ", "  "));
    }
    text.push_str(&swaps(from, &explained.swaps));
    text
}

/// The sizes of the first fix that was told, to which those of the others are compared.
type First = Option<Vec<(String, Interval)>>;

fn one_list(from: From<'_>, list: &FixList, first: &mut First) -> String {
    let mut text = String::new();
    for (n, fix) in list.fixes.iter().enumerate() {
        text.push_str(&one(from, fix, &format!("  {:>2}  ", n + 1), first));
    }
    if let Some(cheapest) = &list.cheapest {
        let said = "Cheapest of all, with smaller amounts of more changes:";
        text.push_str(&wrapped(said, "  ", "  "));
        text.push_str(&one(from, cheapest, "      ", first));
    }
    let all: Vec<&Fix> = list.fixes.iter().chain(&list.cheapest).collect();
    let mut said = Vec::new();
    let it = if all.len() == 1 { "it" } else { "each" };
    if !all.is_empty() && all.iter().all(|f| f.sizes.is_some()) {
        let with = format!("With {it} the album was worked out again, and fits.");
        said.push(with);
    }
    if !all.is_empty() && all.iter().all(|f| f.proved) {
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

fn one(from: From<'_>, fix: &Fix, mark: &str, first: &mut First) -> String {
    let changes: Vec<String> = fix.changes.iter().map(|c| change(from, c)).collect();
    let mut text = wrapped(
        &format!("{}.", capital(&changes.join("; and "))),
        mark,
        "      ",
    );
    let mut line = |said: &str| text.push_str(&wrapped(said, "      ", "        "));
    if let Some(found) = &fix.sizes
        && let Some(said) = told_sizes(from.ruler, found, first)
    {
        line(&said);
    }
    if !fix.proved {
        line("A little less may do too: a limit was met before that was known.");
    }
    text
}

/// What sizes come out: all of the first fix, of the others those that differ from it. Nothing where
/// every size is given.
fn told_sizes(ruler: Ruler, found: &[(String, Interval)], first: &mut First) -> Option<String> {
    let said = sizes::listed(ruler, found);
    if said.is_empty() {
        return None;
    }
    let Some(before) = first else {
        *first = Some(found.to_vec());
        return Some(format!("Sizes then: {said}."));
    };
    let other = sizes::listed(ruler, &sizes::differing(found, before));
    Some(match other.is_empty() {
        true => "Sizes then: as with the first.".to_owned(),
        false => format!("Sizes then, where not as with the first: {other}."),
    })
}

/// One change, as something to do.
pub fn change(from: From<'_>, change: &FixChange) -> String {
    let ruler = from.ruler;
    let in_leaf = |leaf: &str| match from.leaves > 1 && !leaf.is_empty() {
        true => format!(" ({leaf})"),
        false => String::new(),
    };
    match change {
        FixChange::Accept { rule, of, by } => {
            let of = if of.is_empty() {
                String::new()
            } else {
                format!(" ({of})")
            };
            format!("accept {} less at: {rule}{of}", ruler.show(*by))
        }
        FixChange::Smaller {
            quantity,
            why,
            from,
            by,
        } => {
            let left = ruler.show(less(*from, *by));
            format!(
                "make `{quantity}` {} smaller: {left} ({why}; `--set {quantity}=\"{left}\"`)",
                ruler.show(*by)
            )
        }
        FixChange::CutDown {
            name,
            leaf,
            from,
            by,
        } => {
            let (of, side) = name.rsplit_once('.').unwrap_or((name, ""));
            let side = match side {
                "width" => " wide",
                "height" => " high",
                _ => "",
            };
            let left = format!(" to {}{side}", ruler.show_interval(shorter(*from, *by)));
            let of = sizes::thing(of);
            format!(
                "cut {of}{} down by {}{left}",
                in_leaf(leaf),
                ruler.show(*by)
            )
        }
        FixChange::Move { name, from, by } => {
            let (by, left) = (ruler.show(*by), ruler.show_interval(shorter(*from, *by)));
            match name.as_str() {
                "template.edge" => {
                    format!("punch the holes {by} nearer to the spine edge: {left} from it")
                }
                "template.first" => {
                    format!("punch the lowest hole {by} lower: {left} above the tail")
                }
                "template.pitch" => format!("make the hole spacing {by} smaller: {left}"),
                name => format!("make {} {by} smaller: {left}", sizes::called(name)),
            }
        }
        FixChange::LeaveOut { name, leaf } => {
            format!("leave out {}{}", plain(name), in_leaf(leaf))
        }
    }
}

fn less(from: Length, by: Length) -> Length {
    Length::from_nm((from.nm() - by.nm()).max(0))
}

fn shorter(from: Interval, by: Length) -> Interval {
    let most = less(from.most(), by);
    let both = Interval::between(less(from.least(), by), most);
    both.unwrap_or_else(|| Interval::exact(most))
}

fn swaps(from: From<'_>, swaps: &[Swap]) -> String {
    if swaps.is_empty() {
        return String::new();
    }
    let heading = "Or something else from your supplies, with which it was worked out and fits";
    let mut text = format!("\n{}\n", strong(heading));
    for swap in swaps {
        let of = match swap.leaf.is_empty() {
            true => String::new(),
            false => format!(" for `{}`", swap.leaf),
        };
        let instead = match swap.from.is_empty() {
            true => String::new(),
            false => format!(" instead of `{}`", swap.from),
        };
        let said = format!("use {} `{}`{of}{instead}", swap.kind, swap.to);
        text.push_str(&wrapped(&format!("{}.", capital(&said)), "  ", "      "));
        let found = sizes::listed(from.ruler, &swap.sizes);
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
