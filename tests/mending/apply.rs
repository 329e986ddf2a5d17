//! A fix done by hand: the album changed by what the fix says, with nothing of the program's own way
//! to do it.

use tuckwright::album::{Album, Value};
use tuckwright::explain::{FixChange, Kind};
use tuckwright::length::{Interval, Length};
use tuckwright::scene::BagMeasure;
use tuckwright::text::{Place, Said};

/// The album with these changes; `None` if one of them breaks a rule, which no album can say.
pub fn apply<'a>(album: &Album, changes: impl Iterator<Item = &'a FixChange>) -> Option<Album> {
    let mut album = album.clone();
    for change in changes {
        match change {
            FixChange::Accept { .. } => return None,
            FixChange::Measure {
                kind,
                name,
                of,
                from,
                to,
                ..
            } => {
                let slot = slot(&mut album, *kind, name, of);
                if let Some(slot) = slot {
                    assert_eq!(slot, from, "{change:?}");
                    *slot = *to;
                } else {
                    // A quantity that the album does not set, or a card of the supplies.
                    assert!(matches!(kind, Kind::Quantity | Kind::Size), "{change:?}");
                    say(&mut album, *kind, name, of, *to);
                }
            }
            FixChange::Usual { quantity, .. } => album.set.retain(|(n, _)| n.value != *quantity),
            FixChange::LeaveOut { name, leaf } => leave_out(&mut album, name, leaf),
        }
    }
    Some(album)
}

/// The same change by a ruler step less; `None` if it is then no change.
pub fn a_step_less(change: &FixChange, step: Length) -> Option<FixChange> {
    let mut less = change.clone();
    if let FixChange::Measure { from, to, .. } = &mut less {
        let more = to.least() > from.least();
        let by = (to.least().nm() - from.least().nm()).abs() - step.nm();
        if by <= 0 {
            return None;
        }
        *to = moved(*from, if more { by } else { -by });
    }
    Some(less)
}

pub fn moved(value: Interval, by: i64) -> Interval {
    let end = |length: Length| Length::from_nm(length.nm() + by);
    Interval::between(end(value.least()), end(value.most())).expect("a length")
}

pub fn slot<'a>(
    album: &'a mut Album,
    kind: Kind,
    name: &str,
    of: &str,
) -> Option<&'a mut Interval> {
    match kind {
        Kind::Quantity => {
            let (_, said) = album.set.iter_mut().find(|(n, _)| n.value == name)?;
            match &mut said.value {
                Value::Length(value) => Some(value),
                Value::Ratio(..) => None,
            }
        }
        Kind::Template(key) => {
            let template = &mut album.template;
            match key {
                "edge" => template.edge.as_mut(),
                "first" => template.first.as_mut(),
                "pitch" => template.pitch.as_mut(),
                "diameter" => template.diameter.as_mut(),
                "eyelet" => template.eyelet.as_mut(),
                _ => None,
            }
        }
        Kind::Pocket(measure) => {
            let bag = album.supplies.bags.iter_mut().find(|bag| bag.name == of)?;
            let pocket = bag.pocket.as_mut()?;
            match measure {
                BagMeasure::PocketEdge => Some(&mut pocket.edge),
                _ => pocket.depth.as_mut(),
            }
        }
        Kind::Size => {
            let leaf = album.leaves.iter_mut().find(|leaf| leaf.name == of)?;
            let said = leaf.measured.iter_mut().chain(&mut leaf.given);
            if let Some((_, value)) = said.into_iter().find(|(n, _)| n.value == name) {
                return Some(value);
            }
            let (thing, side) = name.rsplit_once('.')?;
            let insert = leaf.inserts.iter_mut().find(|i| i.name == thing)?;
            let said = match side {
                "width" => &mut insert.width,
                "height" => &mut insert.height,
                _ => &mut insert.show,
            };
            said.as_mut().map(|said| &mut said.value)
        }
    }
}

fn say(album: &mut Album, kind: Kind, name: &str, of: &str, value: Interval) {
    let place = Place::default();
    if kind == Kind::Quantity {
        let value = Value::Length(value);
        let name = name.to_owned();
        album
            .set
            .push((Said { value: name, place }, Said { value, place }));
        return;
    }
    let leaf = album.leaves.iter_mut().find(|leaf| leaf.name == of);
    let (thing, side) = name.rsplit_once('.').expect("a side");
    let inserts = leaf.into_iter().flat_map(|leaf| &mut leaf.inserts);
    let insert = inserts
        .into_iter()
        .find(|i| i.name == thing)
        .expect("an insert");
    assert!(insert.card.is_some(), "{name} was not given");
    let said = Some(Said { value, place });
    match side {
        "width" => insert.width = said,
        _ => insert.height = said,
    }
}

fn leave_out(album: &mut Album, name: &str, leaf: &str) {
    let here = album.leaves.iter_mut().find(|l| l.name == leaf);
    let here = here.expect("a leaf");
    here.inserts.retain(|i| i.name != name);
    let of_it = |size: &str| size.split('.').next() == Some(name);
    here.given.retain(|(n, _)| !of_it(&n.value));
    here.measured.retain(|(n, _)| !of_it(&n.value));
    let left: Vec<String> = album.leaves.iter().map(|l| l.name.clone()).collect();
    let has = |leaf: &str| {
        let leaf = album.leaves.iter().find(|l| l.name == leaf);
        leaf.is_some_and(|l| l.inserts.iter().any(|i| i.name == name))
    };
    let kept: Vec<bool> = (album.prefer.iter())
        .map(|line| {
            let what = line
                .value
                .split_whitespace()
                .skip(1)
                .collect::<Vec<_>>()
                .join(" ");
            match what.split_once(": ") {
                Some((leaf, size)) => !of_it(size) || has(leaf),
                None => !of_it(&what) || left.iter().any(|leaf| has(leaf)),
            }
        })
        .collect();
    let mut kept = kept.into_iter();
    album.prefer.retain(|_| kept.next().unwrap_or(true));
}
