//! What is wrong with the names of a style: words that several tests share.

use crate::text::{self, At, Place, Problem, Wrong, meant};
use crate::vocabulary;
use itertools::Itertools;

/// What the tests of names refuse.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Refused {
    pub fault: At<Wrong>,
    /// The name that stands for nothing there.
    pub lost: Option<String>,
}

impl Refused {
    pub fn at(place: Place, what: Wrong) -> Refused {
        let fault = what.at(place);
        Refused { fault, lost: None }
    }
}

/// `meant`, of names that were made up for it.
pub(super) fn meant_of(name: &str, known: &[String]) -> String {
    meant(name, known.iter().map(String::as_str))
}

/// Nothing in an album is a list of this name.
pub(super) fn no_list(list: &str, known: &[String]) -> Wrong {
    Wrong::new(format!("there is no list `{list}`"), meant_of(list, known))
}

/// A size of nothing that there is.
pub(super) fn size_of_nothing(name: &str) -> Wrong {
    Wrong::new(
        format!("no thing of an album has the size `{name}`"),
        "for a piece of the album, type no `for`, and add a `[[part]]` of that name with `on = []`; for a part of a leaf, type `for = [\"leaf in leaves\"]`; name any other size after a variable of its `for`",
    )
}

/// There is one for each thing of this kind, and no variable says which.
pub(super) fn unbound(name: &str, kind: &str) -> Wrong {
    let of = text::a(kind);
    Wrong::new(
        format!("`{name}` belongs to {of}, and this does not name one"),
        format!("add `for = [{}]`", bindings(kind)),
    )
}

/// These variables stand for leaves, and each has such a part.
pub(super) fn which_leaf(name: &str, leaves: &[String]) -> Wrong {
    let all = leaves
        .iter()
        .map(|leaf| format!("`{leaf}`"))
        .join(" or of ");
    let full = leaves.iter().map(|leaf| format!("`{leaf}.{name}`"));
    Wrong::new(
        format!("`{name}` can be that of {all}"),
        format!("type {}", full.format(" or ")),
    )
}

/// Each follows from the next, and the last from the first.
pub(super) fn circle(names: &[String]) -> Wrong {
    let mut names = names.iter().map(|name| format!("`{name}`"));
    let first = names.next().unwrap_or_default();
    let through: String = names.map(|name| format!(", through {name}")).collect();
    let what = format!("{first} follows from itself{through}");
    Wrong::new(what, "let one of them follow from something else")
}

/// The list has no row before which another should stand.
pub(super) fn before_nothing(name: &str) -> Wrong {
    let help = "name a row of the same list, or delete `before`: then the row comes last";
    Wrong::new(format!("this list has no `{name}`"), help)
}

/// `[also]` has something else in it than tables.
pub(super) fn no_also() -> Wrong {
    let what = "this says no file that is taken over if it is asked for";
    Wrong::new(
        what,
        "type a table for each file, such as `[also.closures]`",
    )
}

/// What binds a variable to each thing of a kind, as it is typed.
fn bindings(kind: &str) -> String {
    let mut lists = vocabulary::LISTS.iter();
    match lists.find(|(_, _, of)| *of == kind) {
        Some(("", list, of)) => format!("\"{of} in {list}\""),
        Some((owner, list, of)) => format!("{}, \"{of} in {owner}.{list}\"", bindings(owner)),
        None => String::new(),
    }
}
