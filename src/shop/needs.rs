//! What albums use up, all copies together: bags, prints, cards, rings, and the pieces that are cut.

use crate::cut::Order;
use crate::cut::pieces::Made;
use crate::supplies::{Kind, Supplies};

/// A number of one supply.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Need {
    pub kind: Kind,
    /// Place in the list of its kind in [`Supplies`].
    pub at: usize,
    pub count: u64,
}

/// What the albums need, spare copies included.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Needs {
    /// Bags, prints, cards and rings, each once, in the order of the supplies.
    pub things: Vec<Need>,
    /// Every piece that is cut; the sheets at hand are those of the supplies. How many sheets that takes
    /// is for [`crate::cut::work::work`] to say.
    pub order: Order,
    /// Rings of albums that name none.
    pub any_ring: u64,
    /// Photos that are trimmed from no print of the supplies.
    pub any_print: u64,
}

/// What albums with the same supplies need, each as often as it is made, with the pieces that are cut as
/// they were shared out over papers.
pub fn needs(all: &[Made<'_>], order: Order) -> Needs {
    let mut needs = Needs {
        things: Vec::new(),
        order,
        any_ring: 0,
        any_print: 0,
    };
    for made in all {
        of_album(&mut needs, made);
    }
    needs.things.retain(|need| need.count > 0);
    needs.things.sort_by_key(|need| (rank(need.kind), need.at));
    needs
}

fn of_album(needs: &mut Needs, made: &Made<'_>) {
    let supplies = &made.album.supplies;
    let times = |counts: &[i64]| {
        let each = counts.iter().map(|n| u64::try_from(*n).unwrap_or(0));
        each.fold(made.sets, u64::saturating_mul)
    };
    for (leaf, said) in made.plan.leaves.iter().zip(&made.album.leaves) {
        needs.put(Kind::Bag, said.bag, times(&[leaf.count]));
        for (insert, said) in leaf.inserts.iter().zip(&said.inserts) {
            let count = times(&[leaf.count, insert.count]);
            if let Some(card) = said.card {
                needs.put(Kind::Card, card, count);
            }
            let Some(photo) = &insert.photo else { continue };
            let print = photo.print.as_ref();
            let print = print.and_then(|p| supplies.prints.iter().position(|it| it.name == p.name));
            match print {
                Some(print) => needs.put(Kind::Print, print, count),
                None => needs.any_print = needs.any_print.saturating_add(count),
            }
        }
    }
    let count = times(&[made.plan.rings() as i64]);
    let ring = made.plan.ring.as_ref();
    match ring.and_then(|r| supplies.rings.iter().position(|it| it.name == r.name)) {
        Some(ring) => needs.put(Kind::Ring, ring, count),
        None => needs.any_ring = needs.any_ring.saturating_add(count),
    }
}

/// The order in which kinds are listed.
fn rank(kind: Kind) -> usize {
    const ORDER: [Kind; 5] = [Kind::Bag, Kind::Paper, Kind::Print, Kind::Card, Kind::Ring];
    ORDER
        .iter()
        .position(|it| *it == kind)
        .unwrap_or(ORDER.len())
}

impl Needs {
    fn put(&mut self, kind: Kind, at: usize, count: u64) {
        let mut known = self.things.iter_mut();
        match known.find(|it| (it.kind, it.at) == (kind, at)) {
            Some(same) => same.count = same.count.saturating_add(count),
            None => self.things.push(Need { kind, at, count }),
        }
    }
}

/// The name of a supply, and how many are at hand; sheets of a paper without its offcuts.
pub fn at_hand(supplies: &Supplies, kind: Kind, at: usize) -> Option<(&str, u64)> {
    let (name, count) = match kind {
        Kind::Bag => supplies.bags.get(at).map(|it| (&it.name, it.count))?,
        Kind::Paper => supplies
            .papers
            .get(at)
            .map(|it| (&it.name, it.all_sheets()))?,
        Kind::Print => supplies.prints.get(at).map(|it| (&it.name, it.count))?,
        Kind::Card => supplies.cards.get(at).map(|it| (&it.name, it.count))?,
        Kind::Ring => supplies.rings.get(at).map(|it| (&it.name, it.count))?,
        Kind::Punch => supplies.punches.get(at).map(|it| (&it.name, Some(1)))?,
        Kind::Parcel => supplies.parcels.get(at).map(|it| (&it.name, None))?,
    };
    let count = count.and_then(|count| u64::try_from(count).ok());
    Some((name, count.unwrap_or(0)))
}
