//! The supplies of albums that are made together, as one: what several albums name is there once.

use super::{Bag, Card, Kind, Paper, Punch, Ring, Supplies, SuppliesError};
use crate::text::{Faults, Files, Finds, Place};
use std::collections::HashMap;

/// Where the supplies of one album stand among those of all, kind by kind.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Moved(HashMap<Kind, Vec<usize>>);

impl Moved {
    /// Where a supply of this place now stands.
    pub fn of(&self, kind: Kind, at: usize) -> usize {
        let places = self.0.get(&kind);
        places.and_then(|all| all.get(at)).copied().unwrap_or(at)
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
        let places = Moved(HashMap::from([
            put(Kind::Bag, &mut joined.bags, &one.bags, faults),
            put(Kind::Paper, &mut joined.papers, &one.papers, faults),
            put(Kind::Print, &mut joined.prints, &one.prints, faults),
            put(Kind::Card, &mut joined.cards, &one.cards, faults),
            put(Kind::Ring, &mut joined.rings, &one.rings, faults),
            put(Kind::Punch, &mut joined.punches, &one.punches, faults),
        ]));
        for offcut in &one.offcuts {
            if !joined
                .offcuts
                .iter()
                .any(|it| alike(files, it.place, offcut.place))
            {
                let mut offcut = offcut.clone();
                offcut.paper = offcut.paper.map(|at| places.of(Kind::Paper, at));
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
                    *at = places.of(*kind, *at);
                }
                joined.packs.push(pack);
            }
        }
        moved.push(places);
    }
    faults.or(Some((joined, moved)))
}

/// The supplies of a kind, and where each now stands.
fn put<T: Named>(kind: Kind, to: &mut Vec<T>, from: &[T], faults: &Finds) -> (Kind, Vec<usize>) {
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
    (kind, each.collect())
}

fn alike(files: &Files, one: Place, other: Place) -> bool {
    one == other || (one.start == other.start && files.text(one.file) == files.text(other.file))
}
