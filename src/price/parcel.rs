//! Which parcels take an album, the cheapest first, and why others do not. Imports `weight`.

use super::weight::Grams;
use crate::length::Length;
use crate::plan::closed::Closed;
use crate::supplies::Parcel;
use crate::supplies::weight::Number;

/// Why a parcel does not take an album.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Against {
    /// No way round does it lie within the sides; the sides that are missing to the best way, in the
    /// order of the parcel's own.
    Small([Length; 3]),
    /// It may weigh this at most (grams); with its parcel the album may weigh more.
    Heavy(Number),
    /// Length and around together may be this at most, and are the second.
    Around(Length, Length),
}

/// A parcel, tried.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Tried {
    /// Its place in [`crate::supplies::Supplies::parcels`].
    pub parcel: usize,
    /// It takes the album if this is empty.
    pub against: Vec<Against>,
    /// The album with its parcel.
    pub grams: Grams,
}

/// Every parcel for an album of these outer sides and this weight. Those that take it come first, the
/// cheapest first; one without a price comes after those that have one.
pub fn tried(parcels: &[Parcel], closed: Closed, weight: Grams) -> Vec<Tried> {
    let one = |(at, parcel): (usize, &Parcel)| {
        let own = parcel.weight.map_or(0, |grams| {
            (grams * Number::from(1_000_000)).ceil().to_integer()
        });
        let grams = weight
            + Grams {
                least: own,
                most: own,
            };
        let missing = missing(parcel, closed);
        let around = parcel.around.filter(|most| around(parcel, closed) > *most);
        let heavy = parcel
            .most
            .filter(|most| Number::from(grams.most) > *most * Number::from(1_000_000));
        let small = missing.iter().any(|side| *side > Length::ZERO);
        let against = [
            small.then_some(Against::Small(missing)),
            heavy.map(Against::Heavy),
            around.map(|most| Against::Around(most, self::around(parcel, closed))),
        ];
        Tried {
            parcel: at,
            against: against.into_iter().flatten().collect(),
            grams,
        }
    };
    let mut all: Vec<Tried> = parcels.iter().enumerate().map(one).collect();
    let price = |it: &Tried| {
        let price = parcels.get(it.parcel).and_then(|parcel| parcel.price);
        (price.is_none(), price)
    };
    all.sort_by_key(|it| (!it.against.is_empty(), price(it)));
    all
}

/// What the album is with its padding on both sides (nanometres).
fn padded(parcel: &Parcel, closed: Closed) -> [i64; 3] {
    let sides = [closed.width, closed.height, closed.thickness];
    sides.map(|side| {
        side.nm()
            .saturating_add(parcel.padding.nm().saturating_mul(2))
    })
}

/// What is missing to each side of a parcel, with the album the way round that misses the least in all.
fn missing(parcel: &Parcel, closed: Closed) -> [Length; 3] {
    let [a, b, c] = padded(parcel, closed);
    let (x, y, z) = parcel.inside;
    let room = [x.nm(), y.nm(), z.map_or(i64::MAX, Length::nm)];
    let ways = [
        [a, b, c],
        [a, c, b],
        [b, a, c],
        [b, c, a],
        [c, a, b],
        [c, b, a],
    ];
    let short = |[p, q, r]: [i64; 3]| {
        // Flat paper folds round what lies in it: half its thickness above and below, on each side.
        let needs = match parcel.soft {
            true => [p.saturating_add(r), q.saturating_add(r), r],
            false => [p, q, r],
        };
        let off = |n: usize| needs[n].saturating_sub(room[n]).max(0);
        [off(0), off(1), off(2)]
    };
    let sum = |short: &[i64; 3]| short.iter().fold(0_i64, |sum, it| sum.saturating_add(*it));
    let best = ways.map(short).into_iter().min_by_key(sum);
    best.unwrap_or_default().map(Length::from_nm)
}

/// The longest side, and twice the two others: of a box, or of what lies in a soft envelope.
fn around(parcel: &Parcel, closed: Closed) -> Length {
    let mut sides = match (parcel.soft, parcel.inside) {
        (false, (x, y, Some(z))) => [x.nm(), y.nm(), z.nm()],
        _ => padded(parcel, closed),
    };
    sides.sort_unstable();
    let [short, middle, long] = sides;
    let girth = short.saturating_add(middle).saturating_mul(2);
    Length::from_nm(long.saturating_add(girth))
}
