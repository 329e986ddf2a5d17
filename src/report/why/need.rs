//! The smallest leaves that take given things, and which bags of the supplies would do.

use super::hand::into;
use super::{From, head, one};
use crate::explain::need::{LARGEST, Want};
use crate::explain::{Need, NeedBag, NeedLeaf};
use crate::length::Ruler;
use crate::report::words::{headed, lines, listed, numbered, size, wrapped};

/// One wish as it is read: `2 of 4 x 6 in into the mouth`.
fn asked(from: From<'_>, one: &Want) -> String {
    let it = size(from.ruler, one.width, one.height);
    let count = match one.count {
        1 => String::new(),
        n => format!("{n} of "),
    };
    format!("{count}{it} {}", into(from.style, &one.place.name()))
}

/// The smallest leaves, least area first, and the bags that would do.
pub fn need(from: From<'_>, wants: &[Want], need: &Need) -> String {
    let ruler = from.ruler;
    let mut text = head(from);
    let all: Vec<String> = wants.iter().map(|w| asked(from, w)).collect();
    let said = format!("What takes, uncut: {}.", listed(&all));
    text.push_str(&wrapped(&said, "", "  "));
    text.push_str(&wrapped(&like(ruler, need), "", "  "));
    // A leaf that is folded of its bag has other sides.
    let [single, several] = match from.style.leaf_is_its_bag() {
        true => ["leaf", "leaves"],
        false => ["bag", "bags"],
    };
    let heading = format!("The smallest {several}, width x height, least area first");
    text.push_str(&headed(&heading));
    let leaves = need.leaves.iter();
    text.push_str(&numbered(leaves.map(|leaf| one_leaf(ruler, wants, leaf))));
    let largest = ruler.show(LARGEST);
    let none = format!("No {single} takes them, up to {largest} wide and high.");
    let said = match (need.leaves.is_empty(), need.all) {
        (true, true) => none.as_str(),
        (true, false) => "None was found before a limit was met.",
        (false, true) => {
            "Nothing smaller is enough: one ruler step less of either side of these was tried, and that there are no others is proved."
        }
        (false, false) => "There may be others: a limit was met.",
    };
    text.push_str(&wrapped(said, "  ", "  "));
    if let Some(clash) = &need.why {
        text.push_str(&headed("What clashes in the largest"));
        text.push_str(&one(from, clash));
    }
    if !need.bags.is_empty() {
        text.push_str(&headed("Your bags, each worked out"));
        let bags = need.bags.iter();
        text.push_str(&lines(bags.map(|bag| one_bag(ruler, wants, bag))));
    }
    text
}

/// What kind of bag the leaves are of.
fn like(ruler: Ruler, need: &Need) -> String {
    let bag = match (&need.like, need.gusset) {
        (Some(name), Some(gusset)) => {
            let gusset = ruler.show_interval(gusset);
            format!("Bags like `{name}` of any width and height, with a gusset of {gusset}")
        }
        (Some(name), None) => format!("Flat bags like `{name}`, of any width and height"),
        (None, Some(gusset)) => {
            format!("Bags with a gusset of {}", ruler.show_interval(gusset))
        }
        (None, None) => "Flat bags, with one slot".to_owned(),
    };
    match need.pocket_made {
        true => format!("{bag}; a pocket is made, as low as will do."),
        false => format!("{bag}."),
    }
}

fn one_leaf(ruler: Ruler, wants: &[Want], leaf: &NeedLeaf) -> String {
    let mut said = ruler.show_size(leaf.width, leaf.height);
    if let Some(pocket) = leaf.pocket {
        said.push_str(&format!("; pocket {} high", ruler.show(pocket)));
    }
    said.push_str(&turned(ruler, wants, &leaf.turned, "; "));
    said
}

fn one_bag(ruler: Ruler, wants: &[Want], bag: &NeedBag) -> String {
    let does = match bag.does {
        Some(true) => format!("is enough{}", turned(ruler, wants, &bag.turned, ", with ")),
        Some(false) => "is not enough".to_owned(),
        None => "undecided, a limit was met".to_owned(),
    };
    format!("{}: {does}.", bag.name)
}

/// Which of the things lie on their side; empty if none does.
fn turned(ruler: Ruler, wants: &[Want], turned: &[bool], before: &str) -> String {
    let all: Vec<String> = wants
        .iter()
        .zip(turned)
        .filter(|(_, turned)| **turned)
        .map(|(want, _)| size(ruler, want.width, want.height))
        .collect();
    match all.is_empty() {
        true => String::new(),
        false => format!("{before}{} turned on its side", listed(&all)),
    }
}
