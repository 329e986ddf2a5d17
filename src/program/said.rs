//! What an album says and only its style can judge: quantities that it sets, and parts that it names.

use super::ExpandError;
use super::expand::Expanded;
use crate::album::{self, Album};
use crate::scene::{Origin, PartOfStyle, QuantityValue, SceneError};
use crate::style::expr::{Binding, Condition};
use crate::style::{Quantity, Style, unread};
use std::collections::BTreeSet;

/// The parts that the style knows.
///
/// # Errors
/// Every part that the album gives a paper and the style does not know.
pub(super) fn parts(style: &Style, album: &Album) -> Result<Vec<PartOfStyle>, Vec<ExpandError>> {
    let known = style.sizes_of_parts();
    let named = album.leaves.iter().flat_map(|leaf| &leaf.named);
    let unknown = named.filter(|part| !known.contains_key(part.value.as_str()));
    let errors: Vec<ExpandError> = unknown
        .map(|part| ExpandError::NoSuchPart {
            name: part.clone(),
            style: style.name.clone(),
            known: known.keys().map(|name| (*name).to_owned()).collect(),
        })
        .collect();
    if !errors.is_empty() {
        return Err(errors);
    }
    let part = |(name, fields): (&str, _)| PartOfStyle {
        name: name.to_owned(),
        fields: BTreeSet::<&str>::into_iter(fields)
            .map(str::to_owned)
            .collect(),
    };
    Ok(known.into_iter().map(part).collect())
}

/// The style's quantities with what the album sets.
pub(super) fn quantities(
    style: &Style,
    album: &Album,
) -> Result<Vec<QuantityValue>, Vec<ExpandError>> {
    let mut errors = Vec::new();
    for (index, (name, value)) in album.set.iter().enumerate() {
        let Some(quantity) = style.quantity(&name.value) else {
            errors.push(ExpandError::NoSuchQuantity {
                name: name.clone(),
                style: style.name.clone(),
                known: style.quantities.iter().map(|q| q.name.clone()).collect(),
            });
            continue;
        };
        let length = matches!(quantity.value, album::Value::Length(_));
        if length != matches!(value.value, album::Value::Length(_)) {
            errors.push(ExpandError::QuantityKind {
                name: name.value.clone(),
                wanted: if length { "length" } else { "number" },
                place: value.place,
            });
        }
        if album.set[..index]
            .iter()
            .any(|(n, _)| n.value == name.value)
        {
            errors.push(ExpandError::Scene(SceneError::GivenTwice {
                name: name.clone(),
            }));
        }
    }
    if !errors.is_empty() {
        return Err(errors);
    }
    let value = |q: &Quantity| {
        let set = album.set.iter().find(|(n, _)| n.value == q.name);
        QuantityValue {
            name: q.name.clone(),
            value: set.map_or(q.usual(album.ruler), |(_, v)| v.value),
            why: q.why.clone(),
            origin: match (set, q.measure) {
                (Some(_), _) => Origin::Said,
                (None, true) => Origin::Assumed,
                (None, false) => Origin::Style,
            },
            place: Some(set.map_or(q.place, |(_, v)| v.place)),
        }
    };
    Ok(style.quantities.iter().map(value).collect())
}

/// Quantities that the album sets and nothing in it reads: no rule that applies, no condition, and
/// nothing that its things are made of.
pub(super) fn unread(style: &Style, album: &Album, expanded: &Expanded) -> Vec<String> {
    if album.set.is_empty() {
        return Vec::new();
    }
    let model = &expanded.model;
    let mut read: BTreeSet<&str> = model.scene.read.iter().map(String::as_str).collect();
    for expr in model.all_derived() {
        unread::of_expr(expr, &mut read);
    }
    let mut asked = |bindings: &[Binding], when| {
        let here = !model.scopes(bindings).is_empty();
        let when: &[Condition] = if here { when } else { &[] };
        unread::conditions(when, &mut read);
    };
    for unknown in &style.unknowns {
        asked(&unknown.bindings, &unknown.when);
    }
    for choice in &style.choices {
        asked(&choice.bindings, &choice.when);
    }
    for rule in &style.rules {
        asked(&rule.bindings, &rule.when);
    }
    for size in &expanded.sizes {
        let least = &style.unknowns[size.declared].least;
        read.extend(least.as_ref().map(|least| least.head()));
    }
    let applied = expanded.program.instances.iter();
    for rule in applied.filter_map(|instance| style.rules.get(instance.rule)) {
        unread::of_rule(rule, &mut read);
    }
    let set = album.set.iter().map(|(name, _)| &name.value);
    let unread = set.filter(|name| !read.contains(name.as_str()));
    unread.cloned().collect()
}
