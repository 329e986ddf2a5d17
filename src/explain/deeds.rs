//! What a hand does otherwise, that no measure says: a thing in another place, turned, of another
//! paper; other holes, another bag or ring; fewer leaves. `offers` finds those that mend a trouble.
//!
//! May import `length`, `text`, `supplies`, `album` and `style`.

use crate::album::{Album, Grip, Insert, Leaf, PartPaper};
use crate::length::{Interval, Length};
use crate::style::Style;
use crate::style::parts::Slot;
use crate::supplies::patterns::Pattern;
use crate::text::Said;
use itertools::Itertools;
use std::mem::discriminant;

/// Where a thing is to go: a place of the style, and which of several slots there.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Place {
    pub place: String,
    /// The first of the place if nothing is said, as in an album file.
    pub section: Option<String>,
}

impl From<&str> for Place {
    fn from(place: &str) -> Place {
        Place {
            place: place.to_owned(),
            section: None,
        }
    }
}

impl Place {
    /// As a maker says it.
    pub fn name(&self) -> String {
        match &self.section {
            Some(section) => format!("{section} slot"),
            None => self.place.clone(),
        }
    }

    /// Every place of a style, and every slot that a section tells apart.
    pub fn all(style: &Style) -> Vec<Place> {
        let slots = style.slots().map(|(_, slot)| Place::of(slot));
        let all = slots.flat_map(|slot| {
            let section = None;
            [
                Place {
                    section,
                    ..slot.clone()
                },
                slot,
            ]
        });
        all.unique().collect()
    }

    /// That of a slot.
    pub(super) fn of(slot: &Slot) -> Place {
        let (place, section) = (slot.place.clone(), slot.section.clone());
        Place { place, section }
    }

    /// As an album file says it.
    pub(super) fn said(&self) -> (Said<String>, Option<Said<String>>) {
        let section = self.section.clone().map(Said::nowhere);
        (Said::nowhere(self.place.clone()), section)
    }
}

/// One of them. Leaves, things and supplies are called by their names.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Deed {
    /// A thing goes elsewhere in its leaf.
    Place {
        leaf: String,
        insert: String,
        to: Place,
    },
    /// It, or a piece that is cut already, is turned on its side, and then has these sides.
    Turn {
        leaf: String,
        insert: String,
        width: Interval,
        height: Interval,
    },
    /// It may stand out so far above the edge of its slot.
    Show {
        leaf: String,
        insert: String,
        to: Length,
    },
    /// It is taken hold of otherwise.
    Grip {
        leaf: String,
        insert: String,
        grip: Grip,
    },
    /// Something else of the supplies takes the place of what was chosen.
    Use {
        supply: Supply,
        leaf: String,
        /// The insert or the piece of paper, of the album itself if no leaf is named; empty for a bag.
        of: String,
        from: String,
        to: String,
    },
    /// Rings at least so large inside, in place of one of the supplies.
    RingOf {
        from: String,
        inside: Interval,
        to: Length,
    },
    /// A bag at least so wide or so high, in place of one of the supplies.
    BagOf {
        from: String,
        side: Side,
        to: Interval,
        /// A larger one would not do.
        only: bool,
    },
    /// A thing or a piece is cut from sheets at least so wide and so high, in place of those of one paper.
    SheetOf {
        leaf: String,
        of: String,
        from: String,
        now: (Interval, Interval),
        to: (Interval, Interval),
    },
    /// Of the bags of a pack those that are at least so wide or so high.
    Pick {
        from: String,
        side: Side,
        pack: Interval,
        to: Length,
    },
    /// Another published pattern of holes; without one, so many holes at a spacing of one's own.
    Pattern { from: String, to: Option<String> },
    /// The row of holes begins so high above the tail.
    Row { from: Interval, to: Interval },
    /// So many holes.
    Holes { from: i64, to: i64 },
    /// No eyelets.
    NoEyelets,
    /// A leaf goes without a piece of paper; the album itself, if no leaf is named.
    Without { leaf: String, part: String },
    /// Every leaf gets a piece of paper that it goes without.
    With { part: String, paper: String },
    /// So many fewer of a thing that lies several times in one place; so many are left there.
    FewerOf {
        leaf: String,
        insert: String,
        by: i64,
        left: i64,
    },
    /// It is of card no thicker than this.
    Thinner {
        leaf: String,
        insert: String,
        from: Interval,
        to: Length,
    },
    /// So many leaves fewer of this kind; so many are left of all.
    Fewer { leaf: String, by: i64, left: i64 },
}

/// A table of the supplies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Supply {
    Bag,
    Paper,
    Print,
    Ring,
    Punch,
}

impl Supply {
    /// What a maker calls one of it.
    pub fn word(self) -> &'static str {
        match self {
            Supply::Bag => "bag",
            Supply::Paper => "paper",
            Supply::Print => "print",
            Supply::Ring => "ring",
            Supply::Punch => "punch",
        }
    }
}

/// A side of a bag.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    Wide,
    High,
}

impl Side {
    /// As a maker says it of a bag.
    pub fn word(self) -> &'static str {
        match self {
            Side::Wide => "wide",
            Side::High => "high",
        }
    }
}

impl Deed {
    /// What something larger than one of the supplies is called.
    pub(super) fn larger(name: &str) -> String {
        format!("{name}, larger")
    }

    /// Something else of the supplies for the whole album.
    pub(super) fn of_all(supply: Supply, from: &str, to: &str) -> Deed {
        Deed::of_one(supply, ("", ""), from, to)
    }

    /// The same for one leaf, or for a thing in it.
    pub(super) fn of_one(supply: Supply, (leaf, of): (&str, &str), from: &str, to: &str) -> Deed {
        let [leaf, of, from, to] = [leaf, of, from, to].map(str::to_owned);
        Deed::Use {
            supply,
            leaf,
            of,
            from,
            to,
        }
    }

    /// A thing on its side, if that makes a difference.
    pub(super) fn turned(
        (leaf, insert): (&str, &str),
        [width, height]: [Option<Interval>; 2],
    ) -> Option<Deed> {
        let (height, width) = (width?, height?);
        let [leaf, insert] = [leaf, insert].map(str::to_owned);
        (width != height).then_some(Deed::Turn {
            leaf,
            insert,
            width,
            height,
        })
    }

    /// The leaf to which it is done, if it is done to one kind of leaf alone.
    pub fn leaf(&self) -> Option<&str> {
        match self {
            Deed::Place { leaf, .. }
            | Deed::Turn { leaf, .. }
            | Deed::Show { leaf, .. }
            | Deed::Grip { leaf, .. }
            | Deed::Use { leaf, .. }
            | Deed::SheetOf { leaf, .. }
            | Deed::Without { leaf, .. }
            | Deed::Thinner { leaf, .. }
            | Deed::FewerOf { leaf, .. } => {
                Some(leaf).filter(|it| !it.is_empty()).map(String::as_str)
            }
            _ => None,
        }
    }

    /// Whether this does all that the other does: the same of one thing, or more of it.
    pub fn covers(&self, other: &Deed) -> bool {
        match (self.extent(), other.extent()) {
            (Some((of, more)), Some((same, less))) => {
                discriminant(self) == discriminant(other) && of == same && more >= less
            }
            _ => self == other,
        }
    }

    /// What it makes larger or fewer, and how far; `None` for a deed that has no more or less of it.
    fn extent(&self) -> Option<((&str, Option<Side>), i64)> {
        match self {
            Deed::RingOf { from, to, .. } => Some(((from, None), to.nm())),
            Deed::Fewer { leaf, by, .. } => Some(((leaf, None), *by)),
            Deed::BagOf { from, side, to, .. } => Some(((from, Some(*side)), to.least().nm())),
            _ => None,
        }
    }

    /// Does it in an album; `None` where it is nothing to do there.
    pub fn done(&self, album: &mut Album) -> Option<()> {
        match self {
            Deed::Place { leaf, insert, to } => {
                let it = thing(album, leaf, insert)?;
                (it.goes, it.section) = to.said();
            }
            Deed::Turn {
                leaf,
                insert,
                width,
                height,
            } => {
                let Some(it) = thing(album, leaf, insert) else {
                    return turned(album, (leaf, insert), (*width, *height));
                };
                let place = it.place;
                let said = |value| Some(Said { value, place });
                // It is a card of the supplies no more: these lie upright.
                (it.width, it.height, it.card) = (said(*width), said(*height), None);
            }
            Deed::Show { leaf, insert, to } => {
                let it = thing(album, leaf, insert)?;
                let (value, place) = (Interval::exact(*to), it.place);
                it.show = Some(Said { value, place });
            }
            Deed::Grip { leaf, insert, grip } => thing(album, leaf, insert)?.grip = *grip,
            Deed::Use {
                supply,
                leaf,
                of,
                to,
                ..
            } => use_it(album, *supply, (leaf, of), to)?,
            Deed::RingOf { from, to, .. } => {
                let rings = &mut album.supplies.rings;
                let mut ring = rings.iter().find(|ring| ring.name == *from)?.clone();
                ring.inside = Interval::exact(*to);
                let at = rings.len();
                rings.push(ring);
                let place = album.ring.as_ref().map_or(Default::default(), |r| r.place);
                album.ring = Some(Said { value: at, place });
            }
            Deed::SheetOf {
                leaf, of, from, to, ..
            } => {
                let papers = &mut album.supplies.papers;
                let mut paper = papers.iter().find(|it| it.name == *from)?.clone();
                paper.name = Deed::larger(from);
                (paper.width, paper.height) = *to;
                let name = paper.name.clone();
                papers.push(paper);
                use_it(album, Supply::Paper, (leaf, of), &name)?;
            }
            Deed::BagOf { from, side, to, .. } => *side_of(album, from, *side)? = *to,
            Deed::Pick { from, side, to, .. } => {
                let of = side_of(album, from, *side)?;
                *of = Interval::between(*to, of.most())?;
            }
            Deed::Pattern { to, .. } => pattern(album, to.as_deref())?,
            Deed::Holes { to, .. } => {
                album.template.holes = Some(*to);
                if *to < 2 {
                    album.template.pitch = None;
                }
            }
            Deed::Row { to, .. } => album.template.first = Some(*to),
            Deed::NoEyelets => album.template.eyelet = None,
            Deed::Without { leaf, part } => {
                let (parts, named) = match leaf.as_str() {
                    "" => (&mut album.own.parts, &mut album.own.named),
                    _ => {
                        let leaf = leaf_of(album, leaf)?;
                        (&mut leaf.parts, &mut leaf.named)
                    }
                };
                parts.retain(|(name, _)| name != part);
                parts.push((part.clone(), PartPaper::None));
                named.retain(|said| said.value != *part);
            }
            Deed::With { part, paper } => {
                let mut papers = album.supplies.papers.iter();
                let at = papers.position(|it| it.name == *paper)?;
                for leaf in &mut album.leaves {
                    leaf.parts.retain(|(name, _)| name != part);
                    leaf.parts.push((part.clone(), PartPaper::Papers(vec![at])));
                }
            }
            Deed::Thinner {
                leaf, insert, to, ..
            } => thing(album, leaf, insert)?.caliper = Some(Interval::exact(*to)),
            Deed::FewerOf {
                leaf, insert, by, ..
            } => thing(album, leaf, insert)?.count -= by,
            Deed::Fewer { leaf, by, .. } => leaf_of(album, leaf)?.count -= by,
        }
        Some(())
    }
}

fn leaf_of<'a>(album: &'a mut Album, leaf: &str) -> Option<&'a mut Leaf> {
    album.leaves.iter_mut().find(|it| it.name == leaf)
}

fn thing<'a>(album: &'a mut Album, leaf: &str, insert: &str) -> Option<&'a mut Insert> {
    let mut inserts = leaf_of(album, leaf)?.inserts.iter_mut();
    inserts.find(|it| it.name == insert)
}

fn side_of<'a>(album: &'a mut Album, bag: &str, side: Side) -> Option<&'a mut Interval> {
    let mut bags = album.supplies.bags.iter_mut();
    let bag = bags.find(|it| it.name == bag)?;
    Some(match side {
        Side::Wide => &mut bag.width,
        Side::High => &mut bag.height,
    })
}

/// A piece that is cut already, turned.
fn turned(
    album: &mut Album,
    (leaf, part): (&str, &str),
    (width, height): (Interval, Interval),
) -> Option<()> {
    let leaf = album.leaves.iter_mut().find(|it| it.name == leaf)?;
    for (field, to) in [("width", width), ("height", height)] {
        let name = format!("{part}.{field}");
        let mut said = leaf.measured.iter_mut().chain(&mut leaf.given);
        said.find(|(it, _)| it.value == name)?.1 = to;
    }
    Some(())
}

fn use_it(album: &mut Album, supply: Supply, (leaf, of): (&str, &str), to: &str) -> Option<()> {
    let supplies = &album.supplies;
    let at = match supply {
        Supply::Bag => supplies.bags.iter().position(|it| it.name == to),
        Supply::Paper => supplies.papers.iter().position(|it| it.name == to),
        Supply::Print => supplies.prints.iter().position(|it| it.name == to),
        Supply::Ring => supplies.rings.iter().position(|it| it.name == to),
        Supply::Punch => supplies.punches.iter().position(|it| it.name == to),
    }?;
    let part = |parts: &mut Vec<(String, PartPaper)>| {
        let (_, paper) = parts.iter_mut().find(|(name, _)| name == of)?;
        *paper = PartPaper::Papers(vec![at]);
        Some(())
    };
    match supply {
        Supply::Punch => album.template.punch = Some(at),
        Supply::Ring => album.ring = album.ring.as_ref().map(|ring| ring.with(at)),
        Supply::Paper if leaf.is_empty() => part(&mut album.own.parts)?,
        Supply::Bag => leaf_of(album, leaf)?.bag = at,
        Supply::Paper if part(&mut leaf_of(album, leaf)?.parts).is_some() => {}
        Supply::Paper => thing(album, leaf, of)?.papers = vec![at],
        Supply::Print => thing(album, leaf, of)?.photo.as_mut()?.prints = vec![at],
    }
    Some(())
}

fn pattern(album: &mut Album, name: Option<&str>) -> Option<()> {
    let template = &mut album.template;
    let old = template.pattern.take()?;
    let was = Pattern::named(&old.value)?;
    template.offsets = None;
    template.pitch = None;
    // What the old pattern fixed is free again.
    if was.diameter.is_some() {
        template.diameter = None;
    }
    if was.edge.is_some() {
        template.edge = None;
    }
    let Some(name) = name else { return Some(()) };
    let new = Pattern::named(name)?;
    template.holes = Some(new.holes());
    template.diameter = new.diameter.map(Interval::exact).or(template.diameter);
    template.edge = new.edge.map(Interval::exact).or(template.edge);
    template.pitch = new.pitch().map(Interval::exact);
    if template.pitch.is_none() {
        template.offsets = Some(new.offsets.to_vec());
    }
    template.pattern = Some(old.with(new.name.to_owned()));
    Some(())
}
