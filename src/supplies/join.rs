//! The supplies of albums that are made together, as one: what several albums name is there once.

use super::{Bag, Card, Kind, Paper, Punch, Ring, Supplies, SuppliesError};
use crate::text::{Faults, Files, Finds, Place};

/// Where the supplies of one album stand among those of all: a place for each of its own, kind by kind.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Moved {
    pub bags: Vec<usize>,
    pub papers: Vec<usize>,
    pub prints: Vec<usize>,
    pub cards: Vec<usize>,
    pub rings: Vec<usize>,
    pub punches: Vec<usize>,
}

impl Moved {
    /// Where a supply of this place now stands.
    pub fn of(&self, kind: Kind, at: usize) -> usize {
        let places = match kind {
            Kind::Bag => &self.bags,
            Kind::Paper => &self.papers,
            Kind::Print => &self.prints,
            Kind::Card => &self.cards,
            Kind::Ring => &self.rings,
            Kind::Punch => &self.punches,
            // An album is posted by itself.
            Kind::Parcel => return at,
        };
        places.get(at).copied().unwrap_or(at)
    }
}

/// What has a name: two albums that name it mean one thing.
trait Named: Clone + PartialEq {
    fn name(&self) -> &str;
    fn place(&self) -> Place;
    /// The same without its place.
    fn bare(self) -> Self;
}

macro_rules! named {
    ($($kind:ty $(, $it:ident: $inside:block)?;)*) => {$(
        impl Named for $kind {
            fn name(&self) -> &str {
                &self.name
            }
            fn place(&self) -> Place {
                self.place
            }
            fn bare(mut self) -> Self {
                self.place = Place::default();
                $(let $it = &mut self; $inside)?
                self
            }
        }
    )*};
}
named! {
    Paper; Card; Ring; Punch;
    Bag, bag: {
        if let Some(pocket) = &mut bag.pocket {
            pocket.place = Place::default();
        }
    };
}

/// All supplies as one, and for each album where its own stand there. What has no name is the same where
/// it stands at the same place of files that say the same.
///
/// # Errors
/// Two albums say different things of one name.
pub fn join(files: &Files, all: &[&Supplies]) -> Result<(Supplies, Vec<Moved>), Faults> {
    let mut joined = Supplies::default();
    let faults = Finds::default();
    let mut moved = Vec::new();
    for one in all {
        let faults = &faults;
        moved.push(Moved {
            bags: put(Kind::Bag, &mut joined.bags, &one.bags, faults),
            papers: put(Kind::Paper, &mut joined.papers, &one.papers, faults),
            prints: put(Kind::Print, &mut joined.prints, &one.prints, faults),
            cards: put(Kind::Card, &mut joined.cards, &one.cards, faults),
            rings: put(Kind::Ring, &mut joined.rings, &one.rings, faults),
            punches: put(Kind::Punch, &mut joined.punches, &one.punches, faults),
        });
        let papers = moved.last().map_or(&[][..], |moved| &moved.papers);
        for offcut in &one.offcuts {
            if !joined
                .offcuts
                .iter()
                .any(|it| alike(files, it.place, offcut.place))
            {
                let mut offcut = offcut.clone();
                offcut.paper = offcut.paper.and_then(|at| papers.get(at).copied());
                joined.offcuts.push(offcut);
            }
        }
        for pack in &one.packs {
            if !joined
                .packs
                .iter()
                .any(|it| alike(files, it.place, pack.place))
            {
                let mut pack = pack.clone();
                for (kind, at, _) in &mut pack.holds {
                    *at = moved.last().map_or(*at, |moved| moved.of(*kind, *at));
                }
                joined.packs.push(pack);
            }
        }
    }
    faults.or(Some((joined, moved)))
}

fn put<T: Named>(kind: Kind, to: &mut Vec<T>, from: &[T], faults: &Finds) -> Vec<usize> {
    let each = from.iter().map(|one| {
        let Some(at) = to.iter().position(|it| it.name() == one.name()) else {
            to.push(one.clone());
            return to.len() - 1;
        };
        if to[at].clone().bare() != one.clone().bare() {
            let (place, first) = (one.place(), to[at].place());
            let name = one.name().to_owned();
            faults.tell(place, SuppliesError::Differs { kind, name, first });
        }
        at
    });
    each.collect()
}

fn alike(files: &Files, one: Place, other: Place) -> bool {
    one == other || (one.start == other.start && files.text(one.file) == files.text(other.file))
}
