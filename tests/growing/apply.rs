//! An offer applied to its album by what it says, with nothing of the program's own way to do it.

use tuckwright::album::{Album, Value};
use tuckwright::explain::Offer;
use tuckwright::length::{Interval, Length};
use tuckwright::style::Style;
use tuckwright::text::{Place, Said};

fn moved(value: Interval, by: i64) -> Option<Interval> {
    let end = |l: Length| Length::from_nm(l.nm() + by);
    Interval::between(end(value.least()), end(value.most()))
}

/// A quantity of the style as it is in this album.
fn quantity(style: &Style, album: &Album, name: &str) -> Option<Interval> {
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

/// The album with a measure changed by so much (nm, negative for less); nothing where it is not
/// said, or where there is no more of it.
pub fn change(style: &Style, album: &Album, name: &str, leaf: &str, by: i64) -> Option<Album> {
    let mut album = album.clone();
    if let Some(said) = style.quantity(name) {
        let value = moved(quantity(style, &album, name)?, by)?;
        if said.measure && value.least() == Length::ZERO {
            return None;
        }
        album.set.retain(|(n, _)| n.value != name);
        let place = Place::default();
        let value = Value::Length(value);
        let name = name.to_owned();
        album
            .set
            .push((Said { value: name, place }, Said { value, place }));
        return Some(album);
    }
    let slot = slot(&mut album, name, leaf)?;
    *slot = moved(*slot, by)?;
    if slot.least() == Length::ZERO && !name.ends_with(".show") {
        return None;
    }
    if name.starts_with("template.") {
        album.template.pattern = None;
    }
    Some(album)
}

/// The album with an offer taken, or more or less of it.
pub fn apply(style: &Style, album: &Album, offer: &Offer, by: i64) -> Album {
    let now = match style.quantity(&offer.measure) {
        Some(_) => quantity(style, album, &offer.measure),
        None => slot(&mut album.clone(), &offer.measure, &offer.leaf).copied(),
    };
    assert_eq!(now, Some(offer.from), "{}", offer.measure);
    change(style, album, &offer.measure, &offer.leaf, by).expect("a length")
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
