//! What an album costs: its share of packs and sheets, the same with every pack counted whole, and the work.
//!
//! Shares of packs are added as fractions and rounded up to a cent once. Imports `weight`, `time`, `cut`.

use super::weight::{Weight, What};
use crate::album::Album;
use crate::cut::Order;
use crate::cut::work::Batch;
use crate::money::Money;
use crate::supplies::{Card, Kind, Supplies};
use num_rational::Ratio;
use num_traits::{CheckedAdd, CheckedDiv, CheckedMul};

/// Albums that are made together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Copies {
    /// Those that are sold; at least 1.
    pub sold: u64,
    /// With those that are spare: what they take is shared out over the others.
    pub made: u64,
}

/// What one kind of thing costs in one album.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    pub what: What,
    pub name: String,
    /// Bags, sheets, cards, prints or rings of all copies of the album; of sheets that other albums are cut
    /// from too its share, rounded up.
    pub count: u64,
    /// Up to the next cent.
    pub used: Money,
    pub packs: Money,
}

/// What the things of an album cost.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Material {
    pub lines: Vec<Line>,
    /// Each thing's share of its pack, up to the next cent of all together.
    pub used: Money,
    /// Every pack counted whole.
    pub packs: Money,
    /// What has no price, as the supplies name it.
    pub without_price: Vec<String>,
}

/// One of the albums that are made together, with what one of it is made of.
#[derive(Clone, Copy, Debug)]
pub struct Lot<'a> {
    pub album: &'a Album,
    pub weight: &'a Weight,
    pub copies: Copies,
}

/// What all lots use of one kind of thing, and what that costs.
struct Used {
    what: What,
    name: String,
    /// A pack's price, and how many it holds; `None` if it has none.
    price: Option<(Money, i64)>,
    count: u64,
    /// By lot: of bags the number, of sheets the area of its pieces; exact.
    shares: Vec<i128>,
}

/// What the things of each album cost: those of which its weight lists the number, and its share, by area,
/// of the sheets of the cutting plan of all copies. `None` beyond what can be counted.
pub fn material(lots: &[Lot<'_>], (order, batches): (&Order, &[Batch])) -> Option<Vec<Material>> {
    let supplies = &lots.first()?.album.supplies;
    let mut all: Vec<Used> = Vec::new();
    for (n, lot) in lots.iter().enumerate() {
        for line in &lot.weight.lines {
            let Some((name, price)) = bought(supplies, line.what, &line.name) else {
                continue;
            };
            let count = line.count.checked_mul(lot.copies.made)?;
            let known = all
                .iter_mut()
                .find(|it| (it.what, it.name.as_str()) == (line.what, name));
            let used = match known {
                Some(used) => used,
                None => {
                    all.push(Used {
                        what: line.what,
                        name: name.to_owned(),
                        price,
                        count: 0,
                        shares: vec![0; lots.len()],
                    });
                    all.last_mut()?
                }
            };
            used.count = used.count.checked_add(count)?;
            used.shares[n] += i128::from(count);
        }
    }
    for plan in batches.iter().flat_map(|batch| &batch.plan().papers) {
        let Some(paper) = order.papers.get(plan.paper) else {
            continue;
        };
        // An offcut was paid for with its sheet.
        let whole = |at: usize| paper.sheets.get(at).is_some_and(|sheets| !sheets.offcut);
        let cut = plan.cuttings.iter().filter(|cutting| whole(cutting.stock));
        let sheets: u64 = cut.map(|cutting| cutting.times).sum();
        if sheets == 0 {
            continue;
        }
        let mut shares = vec![0; lots.len()];
        for (want, count) in plan.counted.kinds.iter().flatten() {
            let want = order.wants.get(*want)?;
            // In whole micrometres, so that the sum of all areas can be counted.
            let side = |length: crate::length::Length| i128::from(length.nm() / 1_000);
            let area = side(want.width).checked_mul(side(want.height))?;
            *shares.get_mut(want.album)? += area.checked_mul(i128::from(*count))?;
        }
        let at = supplies.papers.iter().position(|it| it.name == paper.name);
        all.push(Used {
            what: What::Papers,
            name: paper.name.clone(),
            price: at.and_then(|at| cheapest(supplies, Kind::Paper, at)),
            count: sheets,
            shares,
        });
    }
    let each = lots.iter().enumerate();
    each.map(|(n, lot)| of_lot(&all, n, lot.copies)).collect()
}

/// What one album of a lot costs.
fn of_lot(all: &[Used], lot: usize, copies: Copies) -> Option<Material> {
    let mut material = Material::default();
    let (mut used, mut whole) = (Ratio::from(0_i128), Ratio::from(0_i128));
    let sold = i128::from(copies.sold.max(1));
    for one in all.iter().filter(|one| one.shares.get(lot) > Some(&0)) {
        let Some((Money(price), pack)) = one.price else {
            material.without_price.push(one.name.clone());
            continue;
        };
        let shares = one.shares.iter().sum();
        let share = Ratio::new(*one.shares.get(lot)?, i128::max(shares, 1));
        let (price, pack) = (i128::from(price), i128::from(pack.max(1)));
        let count = i128::from(one.count);
        let of_all = |cents: Ratio<i128>| cents.checked_mul(&share)?.checked_div(&sold.into());
        let here = of_all(Ratio::new(count.checked_mul(price)?, pack))?;
        let packs = (count.checked_add(pack - 1)? / pack).checked_mul(price)?;
        let packs = of_all(packs.into())?;
        used = used.checked_add(&here)?;
        whole = whole.checked_add(&packs)?;
        let own = share.checked_mul(&count.into())?.ceil().to_integer();
        material.lines.push(Line {
            what: one.what,
            name: one.name.clone(),
            count: u64::try_from(own).ok()?,
            used: up(here)?,
            packs: up(packs)?,
        });
    }
    (material.used, material.packs) = (up(used)?, up(whole)?);
    Some(material)
}

/// What a line of a weight is called as a thing that is bought, and its price; `None` of what is cut.
fn bought<'n>(
    supplies: &Supplies,
    what: What,
    name: &'n str,
) -> Option<(&'n str, Option<(Money, i64)>)> {
    let named = |all: &[Card]| all.iter().position(|it| it.name == name);
    let (kind, at) = match what {
        What::Bags => (
            Kind::Bag,
            supplies.bags.iter().position(|it| it.name == name),
        ),
        What::Cards => (Kind::Card, named(&supplies.cards)),
        What::Prints => (Kind::Print, named(&supplies.prints)),
        What::Rings => (
            Kind::Ring,
            supplies.rings.iter().position(|it| it.name == name),
        ),
        // Those that are cut come in sheets.
        What::Papers if !name.is_empty() => return None,
        What::Papers => (Kind::Paper, None),
    };
    let name = match (what, name) {
        (What::Papers, "") => "paper without a name",
        (_, "") => "photo prints",
        (_, name) => name,
    };
    Some((name, at.and_then(|at| cheapest(supplies, kind, at))))
}

/// The price of a pack of one thing and how many it holds, of the pack in which one of them costs least.
fn cheapest(supplies: &Supplies, kind: Kind, at: usize) -> Option<(Money, i64)> {
    let own = supplies.own_pack(kind, at);
    let all = own.iter().chain(&supplies.packs);
    // The designs of a pad come together.
    let family = |kind: Kind, at: usize| {
        let paper = supplies.papers.get(at).filter(|_| kind == Kind::Paper);
        let pad = paper.and_then(|paper| paper.design_of);
        (kind, pad.map_or(at, |(pad, _)| pad))
    };
    let alone = all.filter_map(|pack| {
        let mut holds = pack.holds.iter();
        let holds_it = holds.clone().any(|(k, a, _)| (*k, *a) == (kind, at));
        let one = holds.all(|(k, a, _)| family(*k, *a) == family(kind, at));
        let count = pack.holds.iter().map(|(_, _, count)| count).sum();
        (holds_it && one && count > 0).then_some((pack.price, count))
    });
    alone.min_by_key(|(price, count)| Ratio::new(price.0, *count))
}

/// Up to the next cent.
fn up(cents: Ratio<i128>) -> Option<Money> {
    i64::try_from(cents.ceil().to_integer()).ok().map(Money)
}

/// What a number of minutes costs, up to the next cent.
pub fn work(minutes: Ratio<i128>, hour: Money) -> Option<Money> {
    up(minutes.checked_mul(&Ratio::new(i128::from(hour.0), 60))?)
}
