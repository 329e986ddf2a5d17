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
use num_traits::CheckedAdd;

/// Albums that are made together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Copies {
    /// Those that are sold; at least 1.
    pub sold: u64,
    /// With those that are spare: what they take is shared out over the others.
    pub made: u64,
}

impl Copies {
    pub const ONE: Copies = Copies { sold: 1, made: 1 };
}

/// What one kind of thing costs in one album.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    pub what: What,
    pub name: String,
    /// Bags, sheets, cards, prints or rings of all copies.
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

/// What the things of one album cost: those of which a weight lists the number, and the sheets of the
/// cutting plan of all copies. `None` beyond what can be counted.
pub fn material(
    album: &Album,
    weight: &Weight,
    copies: Copies,
    (order, batches): (&Order, &[Batch]),
) -> Option<Material> {
    let supplies = &album.supplies;
    let mut material = Material::default();
    let (mut used, mut whole) = (Ratio::from(0_i128), Ratio::from(0_i128));
    let mut put = |what, name: &str, count: u64, price: Option<(Money, i64)>| {
        let Some((Money(price), pack)) = price else {
            material.without_price.push(name.to_owned());
            return Some(());
        };
        let (price, pack) = (i128::from(price), i128::from(pack.max(1)));
        let sold = i128::from(copies.sold.max(1));
        let here = Ratio::new(i128::from(count).checked_mul(price)?, pack * sold);
        used = used.checked_add(&here)?;
        let packs = (i128::from(count).checked_add(pack - 1)? / pack).checked_mul(price)?;
        let packs = Ratio::new(packs, sold);
        whole = whole.checked_add(&packs)?;
        material.lines.push(Line {
            what,
            name: name.to_owned(),
            count,
            used: up(here)?,
            packs: up(packs)?,
        });
        Some(())
    };
    for line in &weight.lines {
        let name = line.name.as_str();
        let named = |all: &[Card]| all.iter().position(|it| it.name == name);
        let found = match line.what {
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
            What::Papers if !name.is_empty() => continue,
            What::Papers => (Kind::Paper, None),
        };
        let price = found.1.and_then(|at| cheapest(supplies, found.0, at));
        let name = match (line.what, name) {
            (What::Papers, "") => "paper without a name",
            (_, "") => "photo prints",
            (_, name) => name,
        };
        put(line.what, name, line.count.checked_mul(copies.made)?, price)?;
    }
    for plan in batches.iter().flat_map(|batch| &batch.plan().papers) {
        let Some(paper) = order.papers.get(plan.paper) else {
            continue;
        };
        // An offcut was paid for with its sheet.
        let bought = |at: usize| paper.sheets.get(at).is_some_and(|sheets| !sheets.offcut);
        let cut = plan.cuttings.iter().filter(|cutting| bought(cutting.stock));
        let sheets: u64 = cut.map(|cutting| cutting.times).sum();
        if sheets > 0 {
            let at = supplies.papers.iter().position(|it| it.name == paper.name);
            let price = at.and_then(|at| cheapest(supplies, Kind::Paper, at));
            put(What::Papers, &paper.name, sheets, price)?;
        }
    }
    (material.used, material.packs) = (up(used)?, up(whole)?);
    Some(material)
}

/// The price of a pack of one thing and how many it holds, of the pack in which one of them costs least.
fn cheapest(supplies: &Supplies, kind: Kind, at: usize) -> Option<(Money, i64)> {
    let own = supplies.own_pack(kind, at);
    let all = own.iter().chain(&supplies.packs);
    let alone = all.filter_map(|pack| match pack.holds[..] {
        [(of, place, count)] if (of, place) == (kind, at) && count > 0 => Some((pack.price, count)),
        _ => None,
    });
    alone.min_by_key(|(price, count)| Ratio::new(price.0, *count))
}

/// Up to the next cent.
fn up(cents: Ratio<i128>) -> Option<Money> {
    i64::try_from(cents.ceil().to_integer()).ok().map(Money)
}

/// What a number of minutes costs, up to the next cent.
pub fn work(minutes: i64, hour: Money) -> Option<Money> {
    let cents = Ratio::new(i128::from(minutes).checked_mul(i128::from(hour.0))?, 60);
    up(cents)
}
