//! Explanations: what is offered is done to the album, which must then fit.

use crate::{Dice, readers, whole};
use tuckwright::Outcome;
use tuckwright::album::{Album, Value};
use tuckwright::explain::{Fix, FixChange, Kind, fixes, grow, hand, need};
use tuckwright::length::{Interval, Length};
use tuckwright::scene::BagMeasure;
use tuckwright::style::Style;
use tuckwright::text::{Files, Said};

const NODES: u64 = 3_000;

/// An album drawn from bytes: why it does not fit, or what its sizes are held by.
pub fn album(bytes: &[u8]) {
    let (first, rest) = bytes.split_at(bytes.len().min(16));
    let mut dice = Dice::of(first);
    let Some((mut files, album)) = whole::drawn(rest) else {
        return;
    };
    let style = readers::upright(&mut files);
    let Some(worked) = whole::worked(&files, &style, &album, NODES) else {
        return;
    };
    let limits = whole::limits(NODES);
    match &worked.outcome {
        Outcome::Clash(_) => {
            let why = fixes::why(&style, &album, &worked, &limits);
            assert!(!why.clashes.is_empty());
            mended(&files, &style, &album, &why.fixes);
        }
        Outcome::Fits(_) if dice.chance(50) => {
            let sizes = &worked.expanded.sizes;
            if sizes.is_empty() {
                return;
            }
            let size = &sizes[dice.throw(0, sizes.len() as u64 - 1) as usize];
            let named = &worked.expanded.program.unknowns[size.unknown.0 as usize].name;
            let _ = grow::grow(&style, &album, &worked, named, None, &limits);
        }
        _ => asked(&mut dice, &style, &album),
    }
}

fn side(dice: &mut Dice) -> Interval {
    let nm = dice.between(1, 4_000) * 100_000;
    let play = if dice.chance(20) { 1_000_000 } else { 0 };
    let middle = Length::from_nm(nm);
    Interval::plus_minus(middle, Length::from_nm(play)).unwrap_or(Interval::exact(middle))
}

/// A thing in the hand, and what it needs.
fn asked(dice: &mut Dice, style: &Style, album: &Album) {
    let limits = whole::limits(NODES);
    let ask = hand::Ask {
        width: side(dice),
        height: side(dice),
        place: dice.pick(&hand::Place::all(style)).clone(),
        leaf: dice.throw(0, album.leaves.len() as u64 - 1) as usize,
    };
    let Ok(found) = hand::hand(style, album, &ask, &limits) else {
        return;
    };
    if found.stopped.is_none() {
        let (with, _) = hand::with(album, &ask);
        let worked = tuckwright::work(style, &with, &limits).expect("as before");
        let fits = matches!(worked.outcome, Outcome::Fits(_));
        assert_eq!(fits, found.as_it_is, "{ask:?}");
        for trim in &found.trims {
            let ask = hand::Ask {
                width: trim.width,
                height: trim.height,
                ..ask.clone()
            };
            let (with, _) = hand::with(album, &ask);
            let worked = tuckwright::work(style, &with, &limits).expect("as before");
            assert!(
                matches!(worked.outcome, Outcome::Fits(_)),
                "{ask:?} {trim:?}"
            );
        }
    }
    let want = need::Want {
        place: ask.place,
        count: 1,
        width: ask.width,
        height: ask.height,
    };
    let _ = need::need(style, album, &[want], &limits);
}

/// Each fix with what mends every other list meanwhile, done to the album by hand.
fn mended(files: &Files, style: &Style, album: &Album, lists: &[tuckwright::explain::FixList]) {
    for (at, list) in lists.iter().enumerate() {
        for fix in list.fixes.iter().chain(&list.cheapest) {
            assert!(fix.sizes.is_some() || !fix.proved, "{fix:?}\n{album:?}");
            assert!(!fix.changes.is_empty());
            let others = lists.iter().enumerate().filter(|(n, _)| *n != at);
            let others: Option<Vec<&Fix>> = others
                .map(|(_, list)| {
                    let meanwhile = list.meanwhile.and_then(|at| list.fixes.get(at));
                    meanwhile.or(list.cheapest.as_ref())
                })
                .collect();
            let Some(others) = others else { continue };
            let mut changed = album.clone();
            let all = std::iter::once(fix).chain(others);
            let done = all
                .flat_map(|fix| &fix.changes)
                .try_for_each(|change| done(&mut changed, style, change));
            if fix.sizes.is_none() || done.is_none() {
                continue;
            }
            let Some(worked) = whole::worked(files, style, &changed, NODES) else {
                panic!("{fix:?} cannot be done to {album:?}");
            };
            let clashes = matches!(worked.outcome, Outcome::Clash(_));
            assert!(!clashes, "{fix:?} does not help: {album:?}");
        }
    }
}

/// Does one change to an album; `None` for what no album file can say.
fn done(album: &mut Album, style: &Style, change: &FixChange) -> Option<()> {
    match change {
        FixChange::Accept { .. } => None,
        FixChange::Measure {
            kind: Kind::Quantity,
            name,
            to,
            ..
        } => {
            let value = Value::Length(*to);
            style.quantity(name)?;
            let place = album.style.place;
            album.set.retain(|(set, _)| set.value != *name);
            let name = name.clone();
            album
                .set
                .push((Said { value: name, place }, Said { value, place }));
            Some(())
        }
        FixChange::Measure {
            kind, name, of, to, ..
        } => {
            *slot(album, *kind, name, of)? = *to;
            Some(())
        }
        FixChange::Usual { quantity, .. } => {
            album.set.retain(|(set, _)| set.value != *quantity);
            Some(())
        }
        FixChange::Do(deed) => deed.done(album),
        FixChange::LeaveOut { name, leaf } => {
            // A wish for what is left out goes with it.
            if album
                .prefer
                .iter()
                .any(|said| said.value.contains(name.as_str()))
            {
                return None;
            }
            let leaf = album.leaves.iter_mut().find(|it| it.name == *leaf)?;
            let inserts = leaf.inserts.len();
            leaf.inserts.retain(|it| it.name != *name);
            let of_it = |size: &str| size.split('.').next() == Some(name.as_str());
            leaf.given.retain(|(size, _)| !of_it(&size.value));
            leaf.measured.retain(|(size, _)| !of_it(&size.value));
            (leaf.inserts.len() < inserts).then_some(())
        }
    }
}

/// Where an album says a measure.
fn slot<'a>(album: &'a mut Album, kind: Kind, name: &str, of: &str) -> Option<&'a mut Interval> {
    let (thing, field) = name.rsplit_once('.')?;
    match kind {
        Kind::Quantity => None,
        Kind::Template(key) => match key {
            "edge" => album.template.edge.as_mut(),
            "first" => album.template.first.as_mut(),
            "pitch" => album.template.pitch.as_mut(),
            "diameter" => album.template.diameter.as_mut(),
            _ => album.template.eyelet.as_mut(),
        },
        Kind::Pocket(measure) => {
            let bag = album.supplies.bags.iter_mut().find(|bag| bag.name == of)?;
            let pocket = bag.pocket.as_mut()?;
            match measure {
                BagMeasure::PocketEdge => Some(&mut pocket.edge),
                _ => pocket.depth.as_mut(),
            }
        }
        Kind::Size | Kind::Made => {
            let leaf = album.leaves.iter_mut().find(|it| it.name == of)?;
            let said = leaf.measured.iter_mut().chain(&mut leaf.given);
            if let Some((_, value)) = said.into_iter().find(|(n, _)| n.value == name) {
                return Some(value);
            }
            let insert = leaf.inserts.iter_mut().find(|it| it.name == thing)?;
            let side = match field {
                "width" => &mut insert.width,
                "height" => &mut insert.height,
                _ => &mut insert.show,
            };
            side.as_mut().map(|said| &mut said.value)
        }
    }
}
