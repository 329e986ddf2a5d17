//! What an album says and only its style can judge: quantities that it sets, and parts that it names.

use super::fault::WrongAccept;
use super::maker::{Expanded, Maker, of};
use super::model::{Model, Scope};
use super::{ExpandError, InstanceId};
use crate::album::text::{Load, read_with_gaps};
use crate::album::{self, Album, Insert, PartPaper};
use crate::length::{Length, Ruler};
use crate::scene::{Origin, QuantityValue, SceneError};
use crate::style::expr::{Condition, ConditionNode, Expr, Path};
use crate::style::named::read_for;
use crate::style::parts::{Kind, Part};
use crate::style::{Quantity, Rule, Style, unread};
use crate::text::{Fault, Faults, Files, Finds, Place, Said, nearest};
use itertools::Itertools;
use std::collections::BTreeSet;

/// What an album names and the style does not know: pieces of paper, places and their sections; and
/// inserts whose names mean something else in the style.
///
/// # Errors
/// All of them.
pub(super) fn names(style: &Style, album: &Album) -> Result<(), Vec<ExpandError>> {
    let of_leaves: Vec<&Said<String>> = album.leaves.iter().flat_map(|it| &it.named).collect();
    let of_album: Vec<&Said<String>> = album.own.named.iter().collect();
    let parts = album.leaves.iter().flat_map(|it| &it.parts);
    let parts = parts.chain(&album.own.parts);
    let wanted = parts.filter(|(_, paper)| *paper != PartPaper::None);
    let wanted: BTreeSet<&str> = wanted.map(|(name, _)| name.as_str()).collect();
    let mut errors = Vec::new();
    for (named, known) in [
        (of_leaves, style.papers_of_leaf()),
        (
            of_album,
            [style.papers_of_album(), style.laid_on_album()].concat(),
        ),
    ] {
        let unknown = named.into_iter();
        // What there is to be none of need not be known, but for a slip of the pen.
        let unknown = unknown.filter(|part| {
            let name = part.value.as_str();
            let slip = || nearest(name, known.iter().copied()).is_some();
            !known.contains(&name) && (wanted.contains(name) || slip())
        });
        errors.extend(unknown.map(|part| ExpandError::NoSuchPart {
            name: part.clone(),
            style: style.name.clone(),
            known: known.iter().map(|name| (*name).to_owned()).collect(),
        }));
    }
    for insert in album.leaves.iter().flat_map(|leaf| &leaf.inserts) {
        if is_taken(style, &insert.name) {
            let (name, place) = (insert.name.clone(), insert.named_at);
            errors.push(ExpandError::Reserved { name, place });
        }
        errors.extend(place(style, insert));
    }
    match errors.is_empty() {
        true => Ok(()),
        false => Err(errors),
    }
}

/// Reads an album that was taken up into `files`, and the supplies that it names.
///
/// # Errors
///
/// Everything that is wrong in any of the files; and if anything is, what the album's style does not know.
pub fn read_album(files: &mut Files, album: u32, load: &mut Load<'_>) -> Result<Album, Faults> {
    let (album, faults) = read_with_gaps(files, album, load);
    if let (Some(album), false) = (&album, faults.is_empty()) {
        match read_for(files, album, load) {
            Ok(style) => also_wrong(&style, album, &faults),
            Err(more) => faults.extend(more),
        }
    }
    faults.or(album)
}

/// Adds what a style does not know of an album, but for what is wrong there already.
fn also_wrong(style: &Style, album: &Album, faults: &Finds) {
    let named = names(style, album).err().unwrap_or_default();
    let set = quantities(style, album).err().unwrap_or_default();
    let known = faults.places();
    let errors = named.into_iter().chain(set);
    for error in errors.filter(|error| !known.contains(&error.place())) {
        faults.add(error);
    }
}

/// Whether a name means something else in the style's rules.
fn is_taken(style: &Style, name: &str) -> bool {
    let frames = style.parts.iter().map(|part| part.name.as_str());
    let parts = style.on_leaf().iter().map(|part| part.name.as_str());
    let heads = style.names.iter().map(|rule| rule.name.head());
    let places = style.slots().map(|(_, slot)| slot.place.as_str());
    let mut all = frames.chain(parts).chain(heads).chain(places);
    all.any(|taken| taken == name) || style.of_album_called(name).next().is_some()
}

/// What is wrong with where an insert goes, in any leaf of this style.
fn place(style: &Style, insert: &Insert) -> Option<ExpandError> {
    if style.parts.is_empty() {
        // A style of rules alone knows no places.
        return None;
    }
    let (goes, section) = (&insert.goes, insert.section.as_ref());
    let slots = || style.slots().map(|(_, slot)| slot);
    let here: Vec<_> = slots().filter(|slot| slot.place == goes.value).collect();
    let sections: Vec<&str> = here
        .iter()
        .filter_map(|slot| slot.section.as_deref())
        .collect();
    if !goes.value.is_empty() && here.is_empty() {
        let known = slots().map(|slot| slot.place.clone()).unique().collect();
        let name = goes.clone();
        let called = goes.value.replace('_', " ");
        let called = called.strip_suffix(" slot").unwrap_or(&called);
        let slot = slots().find(|slot| slot.section.as_deref() == Some(called));
        let slot = slot.and_then(|slot| Some((slot.place.clone(), slot.section.clone()?)));
        return Some(ExpandError::NoPlace { name, known, slot });
    }
    let section = section.filter(|section| !sections.contains(&section.value.as_str()))?;
    let with_it = slots().find(|slot| slot.section.as_ref() == Some(&section.value));
    let with_any = slots().find(|slot| slot.section.is_some());
    Some(ExpandError::NoSection {
        name: section.clone(),
        of: goes.value.clone(),
        known: sections
            .iter()
            .map(|section| (*section).to_owned())
            .collect(),
        other: with_it.or(with_any).map(|slot| slot.place.clone()),
    })
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
                length: with_unit(album.ruler, value.value),
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

/// A bare number as a length in the unit of the ruler.
fn with_unit(ruler: Ruler, value: album::Value) -> Option<String> {
    let album::Value::Ratio(over, under) = value else {
        return None;
    };
    let nm = ruler.unit().length().nm().checked_mul(over)?;
    let exact = nm % under == 0 && over > 0;
    exact.then(|| ruler.show(Length::from_nm(nm / under)))
}

/// Asks less of the rules of which the album accepts less.
pub(super) fn accepted(maker: &mut Maker<'_>) {
    let out = &mut maker.out;
    for accept in &maker.album.accepted {
        let mut refuse = |wrong| {
            let (rule, place) = (accept.rule.value.clone(), accept.rule.place);
            maker
                .errors
                .push(ExpandError::Accept { rule, wrong, place });
        };
        let mut rules = maker.style.rules.iter();
        let Some(at) = rules.position(|rule| rule.name == accept.rule.value) else {
            let known = maker.style.rules.iter().map(|rule| rule.name.clone());
            refuse(WrongAccept::NoRule(known.collect()));
            continue;
        };
        if maker.style.rules[at].wish {
            refuse(WrongAccept::Wish);
            continue;
        }
        let here = (0..).map(InstanceId).zip(&out.program.instances);
        let here = here.filter(|(_, it)| it.rule == at).map(|(id, _)| id);
        let here: Vec<InstanceId> = here.collect();
        let plain = |name: &str| name.replace('_', " ");
        let is_it = |id: &&InstanceId| {
            accept.of.as_ref().is_none_or(|said| {
                let (said, of) = (plain(&said.value), plain(&of(out, **id)));
                of == said || of.starts_with(&format!("{said}: "))
            })
        };
        let its: Vec<InstanceId> = here.iter().filter(is_it).copied().collect();
        if its.is_empty() {
            let known = here.iter().map(|id| of(out, *id)).unique().collect();
            refuse(WrongAccept::Nothing(known));
            continue;
        }
        if its
            .into_iter()
            .any(|id| out.loosen(id, accept.by).is_none())
        {
            refuse(WrongAccept::NoLength);
        }
    }
}

/// The names that this album reads of what it is made of: in rules that apply, in what follows from other
/// names, and for its holes and folds. What stands in for a measure that can be given itself reads none.
pub fn read<'a>(style: &'a Style, expanded: &'a Expanded) -> Vec<&'a Path> {
    let rows = style.names.iter().flat_map(|it| &it.rows);
    let rows: Vec<Place> = (rows.filter(|row| row.assumed.is_none()))
        .map(|row| row.place)
        .collect();
    let model = &expanded.model;
    let within = |place: Place| {
        let mut rows = rows.iter().filter(|row| row.file == place.file);
        rows.any(|row| row.start <= place.start && place.end <= row.end)
    };
    // What the vocabulary itself works out stands in no row.
    let derived = model.all_derived().filter(|expr| within(expr.place));
    let applied = expanded.program.instances.iter().map(|it| it.rule);
    let applied: BTreeSet<_> = applied.collect();
    let rules = applied.into_iter().filter_map(|it| style.rules.get(it));
    let sides = rules
        .flat_map(Rule::comparisons)
        .flat_map(|it| [&it.left, &it.right]);
    let leaves = model.scene.leaves();
    let frames = style.parts.iter().flat_map(|part| match &part.kind {
        Kind::Frame(frame) if frame.from.is_some() => {
            let scopes = leaves.iter().map(|leaf| Scope::of(&part.name, Some(*leaf)));
            scopes.map(|scope| (part, scope)).collect()
        }
        _ => vec![(part, Scope::default())],
    });
    let of_tables =
        frames.flat_map(|(part, scope)| part.read_where(&|part| is_there(model, part, &scope)));
    let all = derived.chain(sides).chain(of_tables).flat_map(Expr::names);
    let least = expanded
        .sizes
        .iter()
        .filter_map(|it| style.unknowns[it.declared].least.as_ref());
    let least = least.map(|(path, _)| path);
    all.map(|(path, _)| path).chain(least).collect()
}

/// Whether a part is there, and wanted if it is of paper.
fn is_there(model: &Model, part: &Part, scope: &Scope) -> bool {
    let holds = |it: &Condition| model.holds(it, scope).unwrap_or(true);
    let wanted = || ConditionNode::Flag(Path(vec![part.name.clone(), "wanted".to_owned()]));
    let wanted = match &part.kind {
        Kind::Paper { .. } => holds(&Condition {
            node: wanted(),
            place: part.place,
        }),
        _ => true,
    };
    wanted && part.when.iter().all(holds)
}

/// What the album says of rings and holes that its kind does not have, by its key.
fn not_there(style: &Style, album: &Album) -> Vec<String> {
    let of = &album.template;
    // A pattern says the others.
    let own = of.pattern.is_none();
    let said = [
        ("ring", album.ring.is_some()),
        ("pattern", !own),
        ("holes", own && of.holes.is_some()),
        ("diameter", own && of.diameter.is_some()),
        ("edge", own && of.edge.is_some()),
        ("first", of.first.is_some()),
        ("pitch", own && of.pitch.is_some()),
        ("punch", of.punch.is_some()),
        ("eyelet", of.eyelet.is_some()),
    ];
    let said = said
        .into_iter()
        .filter(|(key, said)| *said && !unread::has(style, key));
    said.map(|(key, _)| key.to_owned()).collect()
}

/// What the album says of rings and holes that its kind does not have, then quantities that it sets and
/// nothing in it reads: no rule that applies, no condition, and nothing that its things are made of.
pub fn unread(style: &Style, album: &Album, expanded: &Expanded) -> Vec<String> {
    let mut unread = not_there(style, album);
    unread.extend(unset(style, album, expanded));
    unread
}

fn unset(style: &Style, album: &Album, expanded: &Expanded) -> Vec<String> {
    if album.set.is_empty() {
        return Vec::new();
    }
    let model = &expanded.model;
    let mut read: BTreeSet<&str> = model.scene.read.iter().map(String::as_str).collect();
    read.extend(model.all_derived().flat_map(unread::quantities));
    for size in &expanded.sizes {
        let least = &style.unknowns[size.declared].least;
        read.extend(least.as_ref().map(|(least, _)| least.head()));
    }
    let applied = expanded.program.instances.iter().map(|it| it.rule);
    let applied = applied.dedup().filter_map(|rule| style.rules.get(rule));
    read.extend(applied.flat_map(Rule::exprs).flat_map(unread::quantities));
    let set = album.set.iter().map(|(name, _)| &name.value);
    let mut unread: Vec<String> = set
        .filter(|name| !read.contains(name.as_str()))
        .cloned()
        .collect();
    if unread.is_empty() {
        return unread;
    }
    // Conditions of what does not apply read too, if there is anything that they ask of.
    for (bindings, when) in style.cases() {
        if !model.scopes(bindings).is_empty() {
            let sides = when.iter().flat_map(Condition::sides);
            read.extend(sides.flat_map(unread::quantities));
        }
    }
    unread.retain(|name| !read.contains(name.as_str()));
    unread
}
