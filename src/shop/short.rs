//! Supplies of which an album needs more than are at hand.

use super::needs::{at_hand, needs};
use crate::cut::Order;
use crate::cut::pieces::Made;
use crate::cut::work::{self, Patience, Way};
use crate::length::Ruler;
use crate::money::Money;
use crate::supplies::{Kind, Supplies};

/// One of them. Of a pad whose designs are all as many, `each` is their number and the counts are of one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Short {
    pub kind: Kind,
    pub name: String,
    pub each: Option<usize>,
    pub have: u64,
    pub need: u64,
    /// All that is for sale of it, if that was asked.
    pub sales: Vec<Sale>,
}

/// So many packs, with so many in each, for so much in all.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sale {
    pub packs: u64,
    pub each: u64,
    pub cost: Money,
}

/// All whose number at hand is known, sheets where it is proved that they are not enough. `order` is
/// everything that is cut.
pub fn short(made: Made<'_>, order: Order, ruler: Ruler, patience: &Patience<'_>) -> Vec<Short> {
    let plans = work::short(&order, ruler, patience);
    of_plans(made, order, &plans)
}

/// The same by plans with as many sheets as it takes, of those papers whose sheets are not enough.
pub fn of_plans<'a>(
    made: Made<'_>,
    order: Order,
    plans: impl IntoIterator<Item = &'a Way>,
) -> Vec<Short> {
    let supplies = &made.album.supplies;
    let mut sheets = Vec::new();
    for plan in plans {
        for (paper, at, more) in work::missing(&order, plan) {
            let paper = &order.papers[paper];
            let have = paper.sheets.get(at).and_then(|it| it.count).unwrap_or(0);
            sheets.push(Short {
                kind: Kind::Paper,
                name: paper.name.clone(),
                each: None,
                have,
                need: have.saturating_add(more),
                sales: Vec::new(),
            });
        }
    }
    let needs = needs(&[made], order);
    let things = needs.things.into_iter().filter_map(|need| {
        let (name, have) = at_hand(supplies, need.kind, need.at)?;
        (is_known(supplies, need.kind, need.at) && need.count > have).then(|| Short {
            kind: need.kind,
            name: name.to_owned(),
            each: None,
            have,
            need: need.count,
            sales: Vec::new(),
        })
    });
    things.chain(by_pad(supplies, sheets)).collect()
}

fn is_known(supplies: &Supplies, kind: Kind, at: usize) -> bool {
    let count = match kind {
        Kind::Bag => supplies.bags.get(at).map(|it| it.count),
        Kind::Print => supplies.prints.get(at).map(|it| it.count),
        Kind::Card => supplies.cards.get(at).map(|it| it.count),
        Kind::Ring => supplies.rings.get(at).map(|it| it.count),
        Kind::Paper | Kind::Punch | Kind::Parcel => None,
    };
    count.flatten().is_some()
}

/// Designs of one pad as one, if of all of them as many are there and as many are needed.
fn by_pad(supplies: &Supplies, mut sheets: Vec<Short>) -> Vec<Short> {
    for (at, pad) in supplies.papers.iter().enumerate() {
        let is_of = |it: &Short| {
            let mut papers = supplies.papers.iter().filter(|paper| paper.name == it.name);
            papers.any(|paper| paper.design_of.is_some_and(|(pad, _)| pad == at))
        };
        let Some(first) = sheets.iter().position(is_of) else {
            continue;
        };
        let one = sheets[first].clone();
        let alike = |it: &&Short| is_of(it) && (it.have, it.need) == (one.have, one.need);
        if pad.designs.len() > 1 && sheets.iter().filter(alike).count() == pad.designs.len() {
            sheets.retain(|it| !is_of(it));
            let (name, each) = (pad.name.clone(), Some(pad.designs.len()));
            sheets.insert(first.min(sheets.len()), Short { name, each, ..one });
        }
    }
    sheets
}
