//! A thing in the hand: does it go in as it is, turned, trimmed, or not at all?

use super::changed::Asked;
pub use super::deeds::Place;
use super::fixes::why;
use super::own::What;
use super::soften::soften;
use super::troubles::priced;
use super::{Hand, Trim};
use crate::album::{Album, Insert};
use crate::length::{Interval, Length};
use crate::plan::Stopped;
use crate::plan::phrase::Phrase;
use crate::plan::work::{Outcome, Worked, work};
use crate::program::ExpandError;
use crate::program::expand::expand;
use crate::solve::{self, Limits, Repair, repairs};
use crate::style::Style;
use crate::text::Said;
use itertools::Itertools;
use std::collections::BTreeSet;

/// What is asked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ask {
    pub width: Interval,
    pub height: Interval,
    pub place: Place,
    /// Place of the leaf in the album.
    pub leaf: usize,
}

impl Ask {
    /// The same thing on its side.
    fn turned(&self) -> Ask {
        Ask {
            width: self.height,
            height: self.width,
            ..self.clone()
        }
    }
}

impl Trim {
    /// What comes off both sides together (nanometres).
    fn off(&self) -> i64 {
        self.off_width.nm() + self.off_height.nm()
    }
}

/// Sides that something may come off: no more sets of them suffice while no smaller one does.
const SIDES: usize = 2;

/// The album with the thing in it, and the thing's name there.
pub fn with(album: &Album, ask: &Ask) -> (Album, String) {
    let mut album = album.clone();
    let leaf = &mut album.leaves[ask.leaf];
    let mut name = "card".to_owned();
    while leaf.inserts.iter().any(|i| i.name == name) {
        name.push_str("_in_hand");
    }
    let place = leaf.place;
    let (goes, section) = ask.place.said();
    leaf.inserts.push(Insert {
        name: name.clone(),
        named_at: place,
        place,
        goes,
        section,
        width: Some(Said::nowhere(ask.width)),
        height: Some(Said::nowhere(ask.height)),
        count: 1,
        ..Insert::default()
    });
    (album, name)
}

/// Tries a thing in a place, as it is, turned and trimmed, each by solving the whole album.
///
/// # Errors
/// As [`work`]: what the album says and the style does not know.
pub fn hand(
    style: &Style,
    album: &Album,
    ask: &Ask,
    limits: &Limits,
) -> Result<Hand, Vec<ExpandError>> {
    let turned = ask.turned();
    let (as_it_is, name) = with(album, ask);
    let first = work(style, &as_it_is, limits)?;
    let fits = |worked: &Worked| matches!(worked.outcome, Outcome::Fits(_));
    let (other_way, _) = with(album, &turned);
    let second = work(style, &other_way, limits)?;
    let square = ask.width == ask.height;
    let (mut trims, mut settled) = (Vec::new(), true);
    let goes = fits(&first) || fits(&second);
    if !goes {
        for (ask, album, worked, way) in [
            (ask, &as_it_is, &first, false),
            (&turned, &other_way, &second, true),
        ] {
            if way && square {
                continue;
            }
            let asked = Asked::of(style, album, &worked.expanded, limits);
            let (some, all) = trimmed(asked, &name, ask, way);
            trims.extend(some);
            settled &= all;
        }
        trims.sort_by_key(|t: &Trim| (t.off(), t.turned));
    }
    let stopped = match (&first.outcome, &second.outcome) {
        _ if goes => None,
        (Outcome::Undecided(why), _) | (_, Outcome::Undecided(why)) => Some(*why),
        // That no trim was found, or none with less off, is no proof that there is none.
        _ if !settled => Some(match limits.is_over() {
            true => Stopped::Clock,
            false => Stopped::Ways,
        }),
        _ => None,
    };
    let clash = matches!(first.outcome, Outcome::Clash(_));
    let elsewhere = match fits(&first) {
        true => Vec::new(),
        false => elsewhere(style, album, ask, limits),
    };
    let way = if fits(&first) { &first } else { &second };
    let watch = match &way.outcome {
        Outcome::Fits(plan) => {
            let unkept = plan.rules.iter().filter(|it| it.wish && !it.kept);
            let its = unkept.filter(|it| it.of.rsplit(": ").next() == Some(&name));
            let its = its.map(|it| it.because.clone());
            let all = plan.frames.iter().flat_map(|frame| frame.astray());
            let out = all.filter(|(laid, _)| laid.name == name);
            let out = out.filter_map(|(_, slot)| {
                let slot = slot?;
                let said = format!("it is larger than the {}, ", slot.title);
                let said = Phrase::words(said).size(slot.width, slot.height);
                Some(said.and(": no rule of the style keeps it out"))
            });
            its.chain(out).collect()
        }
        _ => Vec::new(),
    };
    Ok(Hand {
        watch,
        elsewhere,
        width: ask.width,
        height: ask.height,
        leaf: album.leaves[ask.leaf].name.clone(),
        place: ask.place.name(),
        as_it_is: fits(&first),
        turned: fits(&second),
        trims,
        why: clash.then(|| why(style, &as_it_is, &first, limits)),
        stopped,
    })
}

/// The slots that a leaf has, each once: those that things are pulled out of before those that they are
/// glued in.
fn slots(style: &Style, album: &Album, leaf: usize) -> Vec<Place> {
    let Ok(expanded) = expand(style, album) else {
        return Vec::new();
    };
    let scene = &expanded.model.scene;
    let leaf = scene.leaves().get(leaf);
    let listed = leaf.map_or(&[][..], |leaf| scene.list(*leaf, "slots"));
    let there = |name: &str| listed.iter().any(|slot| scene.thing(*slot).label == name);
    let all = style.slots().filter(|(part, _)| there(&part.name));
    let all = all.sorted_by_key(|(_, slot)| slot.opens.is_none());
    all.map(|(_, slot)| Place::of(slot)).unique().collect()
}

fn goes(style: &Style, album: &Album, ask: &Ask, limits: &Limits) -> bool {
    let worked = work(style, &with(album, ask).0, limits);
    worked.is_ok_and(|worked| matches!(worked.outcome, Outcome::Fits(_)))
}

/// The best place for a thing in one of these leaves: the first in which it goes as it is; else the first
/// in which it goes turned; else where least comes off, or where things go of which no more is said. Only
/// slots that open count, if there are any: what is glued on does not go in.
pub fn best(
    style: &Style,
    album: &Album,
    leaves: &[usize],
    (width, height): (Interval, Interval),
    limits: &Limits,
) -> (usize, Place) {
    let of_leaf = |&leaf: &usize| {
        let places = slots(style, album, leaf).into_iter();
        places.map(move |place| Ask {
            width,
            height,
            place,
            leaf,
        })
    };
    let mut asks: Vec<Ask> = leaves.iter().flat_map(of_leaf).collect();
    let opens = |ask: &Ask| {
        let mut slots = style.slots().filter(|(_, slot)| slot.opens.is_some());
        slots.any(|(_, slot)| Place::of(slot) == ask.place)
    };
    if asks.iter().any(opens) {
        asks.retain(opens);
    }
    let upright = asks.iter().map(|ask| (ask, ask.clone()));
    let mut ways = upright.chain(asks.iter().map(|ask| (ask, ask.turned())));
    if let Some((ask, _)) = ways.find(|(_, way)| goes(style, album, way, limits)) {
        return (ask.leaf, ask.place.clone());
    }
    let trims = asks.iter().filter_map(|ask| {
        let tried = hand(style, album, ask, limits).ok()?;
        Some((tried.trims.first()?.off(), ask))
    });
    match trims.min_by_key(|(off, _)| *off) {
        Some((_, ask)) => (ask.leaf, ask.place.clone()),
        None => {
            let first = leaves.first().copied().unwrap_or(0);
            (first, Place::from(style.usual_place()))
        }
    }
}

/// The other places of its leaf in which it goes as it is.
fn elsewhere(style: &Style, album: &Album, ask: &Ask, limits: &Limits) -> Vec<Place> {
    let mut others = slots(style, album, ask.leaf);
    let asked = |place: &Place| {
        let section = ask.place.section.is_none() || place.section == ask.place.section;
        place.place == ask.place.place && section
    };
    // Without a section the first slot of a place is meant.
    if let Some(at) = others.iter().position(asked) {
        others.remove(at);
    }
    let there = others.into_iter().filter(|place| {
        let ask = Ask {
            place: place.clone(),
            ..ask.clone()
        };
        goes(style, album, &ask, limits)
    });
    there.collect()
}

/// The least that must come off, by every smallest set of sides; and whether that is known to be the
/// least, or that nothing that comes off helps.
fn trimmed(asked: Asked<'_>, name: &str, ask: &Ask, turned: bool) -> (Vec<Trim>, bool) {
    let scene = &asked.expanded.model.scene;
    let its_own = |what: &What, more: bool| match what {
        What::Size { thing, .. } if !more => {
            let leaf = scene.leaf_of(*thing);
            scene.thing(*thing).label == name && leaf == scene.leaves().get(ask.leaf).copied()
        }
        _ => false,
    };
    let none = BTreeSet::new();
    let Some(softened) = soften(asked.style, asked.album, asked.expanded, &none, &its_own) else {
        return (Vec::new(), false);
    };
    let changes: Vec<solve::Change> = softened.changes.iter().map(priced).collect();
    let found = repairs(&softened.program, &changes, asked.limits, SIDES);
    if found.hopeless.is_some() {
        return (Vec::new(), true);
    }
    let off = |repair: &Repair, side: &str| {
        let is_its = |what: &What| matches!(what, What::Size { field, .. } if field == side);
        let of_side = softened.changes.iter().filter(|c| is_its(&c.what));
        let ids: Vec<_> = of_side.map(|c| c.unknown).collect();
        let amounts = repair.amounts.iter().filter(|(id, _)| ids.contains(id));
        amounts.map(|(_, n)| *n).sum::<i64>()
    };
    // Width and height are parts of their own where no rule ties them: a trim takes from each.
    let parts = found.parts.iter().map(|part| {
        let sets = part.sets.iter();
        sets.map(|repair| (off(repair, "width"), off(repair, "height")))
            .collect::<Vec<_>>()
    });
    let ways = parts.reduce(|ways, part| {
        let both = |(w, h): &(i64, i64)| part.iter().map(move |(a, b)| (w + a, h + b)).collect();
        ways.iter().flat_map::<Vec<_>, _>(both).collect()
    });
    let ways = ways.unwrap_or_default();
    let steps = |n: i64| asked.expanded.ruler.length_of(n).unwrap_or(Length::ZERO);
    let trims = ways.iter().filter_map(|(w, h)| {
        let trim = Trim {
            turned,
            off_width: steps(*w),
            off_height: steps(*h),
            width: ask.width.shorter(steps(*w))?,
            height: ask.height.shorter(steps(*h))?,
        };
        // Proved by solving again with what is left of it.
        let left = Ask {
            width: trim.width,
            height: trim.height,
            ..ask.clone()
        };
        let mut album = asked.album.clone();
        album.leaves[ask.leaf].inserts.pop();
        let (album, _) = with(&album, &left);
        let worked = work(asked.style, &album, asked.limits).ok()?;
        matches!(worked.outcome, Outcome::Fits(_)).then_some(trim)
    });
    let trims: Vec<Trim> = trims.collect();
    let known = found.complete && trims.len() == ways.len();
    (trims, known)
}
