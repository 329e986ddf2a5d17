//! An offer applied to its album by what it says, with nothing of the program's own way to do it.

use tuckwright::album::{Album, Value};
use tuckwright::explain::Offer;
use tuckwright::length::{Interval, Length};
use tuckwright::style::Style;
use tuckwright::text::{Place, Said};

fn moved(value: Interval, by: i64) -> Interval {
    let end = |l: Length| Length::from_nm(l.nm() + by);
    Interval::between(end(value.least()), end(value.most())).expect("a length")
}

/// A quantity of the style as it is in this album.
pub fn quantity(style: &Style, album: &Album, name: &str) -> Option<Interval> {
    let said = album.set.iter().find(|(n, _)| n.value == name);
    let quantity = style.quantity(name)?;
    let usual = match quantity.metric {
        Some(metric) if album.ruler.is_metric() => metric,
        _ => quantity.value,
    };
    match said.map_or(usual, |(_, v)| v.value) {
        Value::Length(value) => Some(value),
        Value::Ratio(..) => None,
    }
}

/// The album with a quantity changed.
pub fn set(style: &Style, album: &Album, name: &str, by: i64) -> Album {
    let mut album = album.clone();
    let value = moved(quantity(style, &album, name).expect("a length"), by);
    album.set.retain(|(n, _)| n.value != name);
    let place = Place::default();
    let value = Value::Length(value);
    album.set.push((
        Said {
            value: name.to_owned(),
            place,
        },
        Said { value, place },
    ));
    album
}

/// The album with the measure of an offer changed by so much (nm, negative for less).
pub fn apply(style: &Style, album: &Album, offer: &Offer, by: i64) -> Album {
    let name = offer.measure.as_str();
    if style.quantity(name).is_some() {
        return set(style, album, name, by);
    }
    let mut album = album.clone();
    let slot = slot(&mut album, name, &offer.leaf).unwrap_or_else(|| panic!("{name}"));
    assert_eq!(*slot, offer.from, "{name}");
    *slot = moved(*slot, by);
    if name.starts_with("template.") {
        album.template.pattern = None;
    }
    album
}

fn slot<'a>(album: &'a mut Album, name: &str, leaf: &str) -> Option<&'a mut Interval> {
    let supplies = &mut album.supplies;
    if let Some((side, of)) = name.split_once(" of ") {
        if let Some(print) = supplies
            .prints
            .iter_mut()
            .chain(&mut supplies.cards)
            .find(|p| p.name == of)
        {
            return match side {
                "width" => Some(&mut print.width),
                "height" => Some(&mut print.height),
                _ => print.caliper.as_mut(),
            };
        }
        if let Some(paper) = supplies.papers.iter_mut().find(|p| p.name == of) {
            return match side {
                "width" => Some(&mut paper.width),
                "height" => Some(&mut paper.height),
                _ => paper.caliper.as_mut(),
            };
        }
        if let Some(ring) = supplies.rings.iter_mut().find(|r| r.name == of) {
            return match side {
                "inside" => Some(&mut ring.inside),
                _ => ring.wire.as_mut(),
            };
        }
        if let Some(punch) = supplies.punches.iter_mut().find(|p| p.name == of) {
            return match side {
                "diameter" => punch.diameter.as_mut(),
                "reach" => punch.reach.as_mut(),
                "takes" => punch.takes.as_mut(),
                _ => None,
            };
        }
        if let Some(bag) = supplies.bags.iter_mut().find(|b| b.name == of) {
            return match side {
                "thickness" => bag.caliper.as_mut(),
                _ => bag.squeezed.as_mut(),
            };
        }
        let inserts = album.leaves.iter_mut().filter(|l| l.name == leaf);
        let mut inserts = inserts.flat_map(|l| &mut l.inserts);
        return inserts.find(|i| i.name == of)?.caliper.as_mut();
    }
    if let Some(field) = name.strip_prefix("template.") {
        let template = &mut album.template;
        return match field {
            "diameter" => template.diameter.as_mut(),
            "edge" => template.edge.as_mut(),
            "first" => template.first.as_mut(),
            "pitch" => template.pitch.as_mut(),
            _ => template.eyelet.as_mut(),
        };
    }
    let leaf = album.leaves.iter_mut().find(|l| l.name == leaf)?;
    let sizes = leaf.measured.iter_mut().chain(&mut leaf.given);
    if let Some((_, value)) = sizes.into_iter().find(|(n, _)| n.value == name) {
        return Some(value);
    }
    let bag = &mut supplies.bags[leaf.bag];
    match name {
        "leaf.width" => return Some(&mut bag.width),
        "leaf.height" => return Some(bag.folded.as_mut().unwrap_or(&mut bag.height)),
        "leaf.bag_height" => return Some(&mut bag.height),
        "leaf.gusset" => return bag.gusset.as_mut(),
        "pocket.edge" => return bag.pocket.as_mut().map(|p| &mut p.edge),
        "pocket.depth" => return bag.pocket.as_mut()?.depth.as_mut(),
        "front.depth" => return bag.front_depth.as_mut(),
        "back.depth" => return bag.back_depth.as_mut(),
        _ => {}
    }
    let (insert, field) = name.rsplit_once('.')?;
    let insert = leaf.inserts.iter_mut().find(|i| i.name == insert)?;
    let said = match field {
        "width" => &mut insert.width,
        "height" => &mut insert.height,
        _ => &mut insert.show,
    };
    said.as_mut().map(|s| &mut s.value)
}
