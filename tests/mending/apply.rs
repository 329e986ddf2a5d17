//! A fix done by hand: the album changed by what the fix says, with nothing of the program's own way
//! to do it.

use itertools::Itertools;
use tuckwright::album::{Album, Insert, Leaf, PartPaper, Value};
use tuckwright::explain::deeds::{Deed, Side, Supply};
use tuckwright::explain::{FixChange, Kind};
use tuckwright::length::{Interval, Length};
use tuckwright::scene::BagMeasure;
use tuckwright::supplies::Bag;
use tuckwright::text::{Place, Said};

/// The album with these changes; `None` if one of them breaks a rule, which no album can say.
pub fn apply<'a>(album: &Album, changes: impl Iterator<Item = &'a FixChange>) -> Option<Album> {
    let mut album = album.clone();
    // What is left out goes last: another change may speak of it.
    let out = |change: &&FixChange| matches!(change, FixChange::LeaveOut { .. });
    for change in changes.sorted_by_key(out) {
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
                    assert!(
                        matches!(kind, Kind::Quantity | Kind::Size | Kind::Made),
                        "{change:?}"
                    );
                    say(&mut album, *kind, name, of, *to);
                }
            }
            FixChange::Usual { quantity, .. } => album.set.retain(|(n, _)| n.value != *quantity),
            FixChange::Do(deed) => done(&mut album, deed),
            FixChange::LeaveOut { name, leaf } => leave_out(&mut album, name, leaf),
        }
    }
    Some(album)
}

/// What a hand does, done anew.
fn done(album: &mut Album, deed: &Deed) {
    let place = Place::default();
    let said = |value| Some(Said { value, place });
    match deed {
        Deed::Place { leaf, insert, to } => {
            let it = thing(album, leaf, insert);
            it.goes.value = to.place.clone();
            it.section = to.section.clone().map(|value| Said { value, place });
        }
        Deed::Turn {
            leaf,
            insert,
            width,
            height,
        } => {
            let it = thing(album, leaf, insert);
            (it.width, it.height, it.card) = (said(*width), said(*height), None);
        }
        Deed::Show { leaf, insert, to } => {
            thing(album, leaf, insert).show = said(Interval::exact(*to));
        }
        Deed::Grip { leaf, insert, grip } => thing(album, leaf, insert).grip = *grip,
        Deed::Use {
            supply,
            leaf,
            of,
            to,
            ..
        } => match supply {
            Supply::Bag => {
                let bags = &album.supplies.bags;
                let at = bags.iter().position(|bag| bag.name == *to).expect("a bag");
                leaf_of(album, leaf).bag = at;
            }
            Supply::Ring => {
                let rings = &album.supplies.rings;
                let at = rings.iter().position(|ring| ring.name == *to);
                album.ring = at.map(|value| Said { value, place });
            }
            Supply::Punch => {
                let punches = &album.supplies.punches;
                album.template.punch = punches.iter().position(|it| it.name == *to);
            }
            Supply::Print => {
                let prints = &album.supplies.prints;
                let at = prints
                    .iter()
                    .position(|it| it.name == *to)
                    .expect("a print");
                thing(album, leaf, of)
                    .photo
                    .as_mut()
                    .expect("a photo")
                    .prints = vec![at];
            }
            Supply::Paper => {
                let papers = &album.supplies.papers;
                let at = papers
                    .iter()
                    .position(|it| it.name == *to)
                    .expect("a paper");
                let leaf = leaf_of(album, leaf);
                match leaf.parts.iter_mut().find(|(name, _)| name == of) {
                    Some((_, paper)) => *paper = PartPaper::Papers(vec![at]),
                    None => {
                        let mut inserts = leaf.inserts.iter_mut();
                        inserts.find(|it| it.name == *of).expect("an insert").papers = vec![at];
                    }
                }
            }
        },
        Deed::RingOf { from, to, .. } => {
            let mut rings = album.supplies.rings.iter_mut();
            let ring = rings.find(|ring| ring.name == *from).expect("a ring");
            ring.inside = Interval::exact(*to);
        }
        Deed::SheetOf {
            leaf, of, from, to, ..
        } => {
            let papers = &mut album.supplies.papers;
            let mut paper = papers
                .iter()
                .find(|it| it.name == *from)
                .expect("a paper")
                .clone();
            (paper.width, paper.height) = *to;
            let at = papers.len();
            papers.push(paper);
            let parts = match leaf.is_empty() {
                true => &mut album.own.parts,
                false => &mut leaf_of(album, leaf).parts,
            };
            match parts.iter_mut().find(|(name, _)| name == of) {
                Some((_, paper)) => *paper = PartPaper::Papers(vec![at]),
                None => thing(album, leaf, of).papers = vec![at],
            }
        }
        Deed::BagOf { from, side, to, .. } => {
            let bag = bag_of(album, from);
            match side {
                Side::Wide => bag.width = *to,
                Side::High => bag.height = *to,
            }
        }
        Deed::Pick { from, side, to, .. } => {
            let bag = bag_of(album, from);
            let side = match side {
                Side::Wide => &mut bag.width,
                Side::High => &mut bag.height,
            };
            *side = Interval::between(*to, side.most()).expect("a length");
        }
        Deed::Row { to, .. } => album.template.first = Some(*to),
        Deed::Holes { to, .. } => album.template.holes = Some(*to),
        Deed::NoEyelets => album.template.eyelet = None,
        // The table of patterns says what each fixes, and has tests of its own.
        Deed::Pattern { .. } => deed.done(album).expect("a pattern"),
        Deed::Without { leaf, part } => {
            let leaf = leaf_of(album, leaf);
            leaf.named.retain(|it| it.value != *part);
            leaf.parts.retain(|(name, _)| name != part);
            leaf.parts.push((part.clone(), PartPaper::None));
        }
        Deed::With { part, paper } => {
            let mut papers = album.supplies.papers.iter();
            let at = papers.position(|it| it.name == *paper).expect("a paper");
            for leaf in &mut album.leaves {
                leaf.parts.retain(|(name, _)| name != part);
                leaf.parts.push((part.clone(), PartPaper::Papers(vec![at])));
            }
        }
        Deed::Thinner {
            leaf, insert, to, ..
        } => thing(album, leaf, insert).caliper = Some(Interval::exact(*to)),
        Deed::FewerOf {
            leaf, insert, by, ..
        } => thing(album, leaf, insert).count -= by,
        Deed::Fewer { leaf, by, .. } => leaf_of(album, leaf).count -= by,
    }
}

fn leaf_of<'a>(album: &'a mut Album, name: &str) -> &'a mut Leaf {
    let mut leaves = album.leaves.iter_mut();
    leaves.find(|leaf| leaf.name == name).expect("a leaf")
}

fn thing<'a>(album: &'a mut Album, leaf: &str, name: &str) -> &'a mut Insert {
    let mut inserts = leaf_of(album, leaf).inserts.iter_mut();
    inserts.find(|it| it.name == name).expect("an insert")
}

fn bag_of<'a>(album: &'a mut Album, name: &str) -> &'a mut Bag {
    let mut bags = album.supplies.bags.iter_mut();
    bags.find(|bag| bag.name == name).expect("a bag")
}

/// The same change by a ruler step less; `None` if it is then no change.
pub fn a_step_less(change: &FixChange, step: Length) -> Option<FixChange> {
    let mut less = change.clone();
    let less_by = |to: Length, by: Length| to.checked_sub(by).expect("a length");
    if let FixChange::Do(deed) = &mut less {
        match deed {
            Deed::BagOf { to, .. } => *to = moved(*to, -step.nm()),
            Deed::Pick { to, .. } => *to = less_by(*to, step),
            Deed::Show { to, .. } if *to > step => *to = less_by(*to, step),
            Deed::Fewer { by, .. } | Deed::FewerOf { by, .. } if *by > 1 => *by -= 1,
            _ => return None,
        }
        return Some(less);
    }
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
        Kind::Size | Kind::Made => {
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
    let insert = inserts.into_iter().find(|i| i.name == thing);
    let insert = insert.unwrap_or_else(|| panic!("no insert: {name} of {of}, {value:?}"));
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
