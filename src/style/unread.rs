//! Quantities that nothing reads: mostly a slip of the finger, here or where they should be read.

use super::expr::{Condition, Expr, Path};
use super::names::Names;
use super::parts::{Everything, everything};
use super::{Style, StyleError};
use crate::text::{At, Problem};
use crate::vocabulary::{self, BASE};
use std::collections::BTreeSet;

/// The quantities of a style that nothing in it reads. Those that the vocabulary needs are read there;
/// those of an included style may have lost their reader to `without`.
pub(super) fn unread(style: &Style) -> Vec<At<StyleError>> {
    let Everything { exprs, conditions } = everything(style);
    let asked = conditions.into_iter().flat_map(Condition::sides);
    let mut read: BTreeSet<&str> = exprs
        .into_iter()
        .chain(asked)
        .flat_map(quantities)
        .collect();
    let ends = style.unknowns.iter().flat_map(|it| [&it.least, &it.above]);
    read.extend(ends.flatten().map(|(it, _)| it.head()));
    let unread = style.quantities.iter().filter(|quantity| {
        let name = quantity.name.as_str();
        let own = quantity.place.file == style.file;
        own && !read.contains(name) && !BASE.iter().any(|(base, ..)| *base == name)
    });
    let unread = unread.map(|quantity| {
        StyleError::Unread {
            name: quantity.name.clone(),
        }
        .at(quantity.place)
    });
    unread.collect()
}

/// Every name that something in a style reads.
fn all(style: &Style) -> Vec<&Path> {
    let Everything { exprs, conditions } = everything(style);
    let asked = conditions.into_iter().flat_map(Condition::names);
    exprs
        .into_iter()
        .flat_map(Expr::paths)
        .chain(asked)
        .collect()
}

/// What a style reads of an album's rings, punch and holes.
pub(super) fn of_template(style: &Style) -> BTreeSet<String> {
    let read = all(style).into_iter();
    let read = read.filter(|path| ["ring", "punch", "template"].contains(&path.head()));
    read.flat_map(|path| [path.head().to_owned(), path.to_string()])
        .collect()
}

/// Whether a kind of album has what an album's `[template]` says under this key: rings, eyelets, a punch,
/// holes of one's own choice.
pub fn has(style: &Style, key: &str) -> bool {
    let reads = |names: &[&str]| names.iter().any(|name| style.reads.contains(*name));
    match key {
        "ring" => reads(&["ring"]) || style.choices.iter().any(|choice| choice.from == "rings"),
        "holes" => style.pierces(),
        "pattern" => style.pierces() && reads(&["template.edge"]),
        "punch" => style.pierces() && reads(&["punch", "template.diameter"]),
        "diameter" => reads(&["template.diameter", "template.radius", "template.rim"]),
        "eyelet" => reads(&["template.eyelet", "template.flanges", "template.rim"]),
        key => reads(&[&format!("template.{key}")]),
    }
}

/// The names of a style that nothing in it reads, and that the program does not ask for.
pub(super) fn names(style: &Style, names: &Names<'_>) -> Vec<At<StyleError>> {
    let read = all(style);
    let own = style.names.iter().filter(|it| it.place.file == style.file);
    let unread = own.filter_map(|rule| {
        let (head, field) = (rule.name.head(), rule.name.last());
        let asked: Vec<String> = (vocabulary::ASKED.iter())
            .flat_map(|(head, _, fields)| fields.iter().map(move |it| format!("{head}.{it}")))
            .collect();
        let kind = names.part(head).or_else(|| names.of_album(head));
        let only_named = kind == Some("name");
        let reads = |path: &&Path| {
            let of_it = path.last() == field || path.last().strip_suffix("_play") == Some(field);
            of_it && (!only_named || path.0.iter().any(|word| word == head))
        };
        let name = rule.name.to_string();
        let known = asked.contains(&name)
            || read.iter().any(reads)
            || !only_named && vocabulary::ENDS.contains(&field)
            || vocabulary::NAMES
                .iter()
                .any(|it| Some(it.kind) == kind && it.field == field);
        (!known).then(|| StyleError::NameUnread { name, asked }.at(rule.place))
    });
    unread.collect()
}

/// The quantities that an expression reads: names of one word.
pub fn quantities(expr: &Expr) -> impl Iterator<Item = &str> {
    let bare = expr.paths().into_iter().filter(|path| path.0.len() == 1);
    bare.map(Path::head)
}
