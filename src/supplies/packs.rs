//! Packs as a maker writes them: `[[pack]]`, what is in each, and what it costs.

use super::shapes::{MANY, PACK};
use super::{Kind, Money, Supplies, SuppliesError};
use crate::text::{Finds, Node, Place, Said, Table, nearest};

/// A pack that is for sale beside the supplies' own prices.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pack {
    pub place: Place,
    /// Kind, place in the list of its kind, how many are in the pack; each supply once, never empty.
    pub holds: Vec<(Kind, usize, i64)>,
    pub price: Money,
    /// The most of it that can be bought.
    pub most: Option<i64>,
}

/// Kinds that are bought by the piece.
pub const SOLD: [Kind; 5] = [Kind::Bag, Kind::Paper, Kind::Print, Kind::Card, Kind::Ring];

/// A pack whose names are not looked up yet: what it holds may stand in a file that is read later.
#[derive(Debug)]
pub(super) struct Unsettled {
    of: Vec<(Said<String>, i64)>,
    pack: Pack,
}

pub(super) fn read(root: &Table<'_>) -> Vec<Unsettled> {
    let tables = root.tables("pack", &PACK);
    tables.iter().filter_map(|table| pack(table)).collect()
}

fn pack(table: &Table<'_>) -> Option<Unsettled> {
    let price = table.money("price");
    let most = table.count("most", 1, MANY);
    let of = match &table.get("of")?.node {
        Node::Table(_) => {
            let why = "a table of names and counts says what is in the pack";
            table.never_both("holds", "of", why);
            let pairs = table.pairs("of");
            if pairs.is_empty() {
                table.lacks("of");
            }
            let each = pairs.into_iter().filter_map(|(name, item)| {
                let count = table.count_of(&name.value, item, 1, MANY)?;
                Some((name, count))
            });
            each.collect()
        }
        _ => {
            let name = table.name("of");
            table.need("holds");
            let holds = table.count("holds", 1, MANY);
            name.zip(holds).into_iter().collect::<Vec<_>>()
        }
    };
    let pack = Pack {
        place: table.place,
        holds: Vec::new(),
        price: price?,
        most,
    };
    (!of.is_empty()).then_some(Unsettled { of, pack })
}

/// What is known of a name of a kind: `None` if there is no such supply, nothing inside if it is broken.
pub(super) type Known<'k> = &'k dyn Fn(Kind, &str) -> Option<Option<usize>>;

/// Looks up what the packs hold, and which of them say the same. `names` are those of all supplies, for
/// hints; `None` if a file could not be read, in which what is not found may be.
pub(super) fn settle(
    all: &mut Supplies,
    packs: Vec<Unsettled>,
    known: Known<'_>,
    names: Option<&[&str]>,
    faults: &Finds,
) {
    for Unsettled { of, mut pack } in packs {
        let many = of.len();
        for (name, count) in of {
            if let Some((kind, at)) = named(&name, known, names, faults) {
                pack.holds.push((kind, at, count));
            }
        }
        if pack.holds.len() < many {
            continue;
        }
        pack.holds.sort_by_key(|(kind, at, _)| (kind.word(), *at));
        let same = all.packs.iter().find(|it| it.holds == pack.holds);
        let first = same
            .map(|it| it.place)
            .or_else(|| own_price(all, &pack.holds));
        match first {
            Some(first) => {
                let place = pack.place;
                faults.tell(place, SuppliesError::TwoPrices { first });
            }
            None => all.packs.push(pack),
        }
    }
}

/// Where a supply says the price of just this pack.
fn own_price(supplies: &Supplies, holds: &[(Kind, usize, i64)]) -> Option<Place> {
    let [(kind, at, count)] = *holds else {
        return None;
    };
    let own = supplies.own_pack(kind, at)?;
    (own.holds == [(kind, at, count)]).then_some(own.place)
}

/// The supply of a name, of whatever kind.
fn named(
    said: &Said<String>,
    known: Known<'_>,
    names: Option<&[&str]>,
    faults: &Finds,
) -> Option<(Kind, usize)> {
    let here = SOLD
        .into_iter()
        .filter_map(|kind| Some((kind, known(kind, &said.value)?)));
    let here: Vec<(Kind, Option<usize>)> = here.collect();
    let (place, name) = (said.place, said.value.clone());
    match here[..] {
        [(kind, at)] => Some((kind, at?)),
        [] => {
            if let Some(names) = names {
                let near = nearest(&name, names.iter().copied()).map(str::to_owned);
                faults.tell(place, SuppliesError::NotSold { name, near });
            }
            None
        }
        [(kind, _), (other, _), ..] => {
            faults.tell(place, SuppliesError::Several { name, kind, other });
            None
        }
    }
}

impl Supplies {
    /// The pack that a supply's own price speaks of; `None` if it has no price.
    pub fn own_pack(&self, kind: Kind, at: usize) -> Option<Pack> {
        let card = |cards: &[super::Card]| cards.get(at).map(|it| (it.place, 1, it.price));
        let (place, count, price) = match kind {
            Kind::Bag => self
                .bags
                .get(at)
                .map(|it| (it.place, it.pack.unwrap_or(1), it.price)),
            Kind::Paper => self.papers.get(at).map(|it| (it.place, 1, it.price)),
            Kind::Print => card(&self.prints),
            Kind::Card => card(&self.cards),
            Kind::Ring => self.rings.get(at).map(|it| (it.place, 1, it.price)),
            Kind::Punch | Kind::Parcel => None,
        }?;
        Some(Pack {
            place,
            holds: vec![(kind, at, count)],
            price: price?,
            most: None,
        })
    }
}
