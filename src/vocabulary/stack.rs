//! Thickness: layers of bag at a hole, stacks, and what a ring takes. All in whole nanometres.
//!
//! May import `length` and `supplies`.

use crate::length::{Interval, Length};
use crate::supplies::Bottom;
use num_integer::Roots;

/// Layers of bag that a hole at `height` above the tail goes through, near a side edge.
///
/// A block-bottom bag of gusset G, folded flat: 4 above the flap, 8 between G/2 and G above the
/// tail, 4 below G/2; a pinch-bottom bag has 2 everywhere. Derived from how the bag is folded;
/// measure one bag.
pub fn layers_at(bottom: Bottom, gusset: Length, height: Length) -> i64 {
    match bottom {
        Bottom::Pinch => 2,
        Bottom::Block if height.nm() <= gusset.nm() && 2 * height.nm() >= gusset.nm() => 8,
        Bottom::Block => 4,
    }
}

/// The most layers that a hole can meet, wherever it stands.
pub fn most_layers(bottom: Bottom) -> i64 {
    match bottom {
        Bottom::Pinch => 2,
        Bottom::Block => 8,
    }
}

/// Most paper between a hole's rim and the spine edge at which a closed stack still goes round
/// its ring: the largest whole `a` with `T*T + a*a <= D*D`; less than nothing where `T > D`.
pub fn closed_paper(inside: Length, stack: Length) -> Length {
    let (d, t) = (i128::from(inside.nm()), i128::from(stack.nm()));
    let square = d * d - t * t;
    if square < 0 {
        return Length::from_nm(-1);
    }
    // A root of a square below 2^63 squared fits.
    Length::from_nm(square.sqrt() as i64)
}

/// Most paper between a hole's rim and the spine edge at which the front can be turned round to
/// the back: the largest whole `a` with `T <= 2 * (333/106) * (D/2 - a)`; 333/106 is just below pi.
pub fn turned_paper(inside: Length, stack: Length) -> Length {
    let (d, t) = (i128::from(inside.nm()), i128::from(stack.nm()));
    let most = (333 * d - 106 * t).div_euclid(666);
    Length::from_nm(i64::try_from(most).unwrap_or(-1))
}

/// `count` times an interval, or nothing where that is beyond any album.
pub fn times(value: Interval, count: i64) -> Option<Interval> {
    Interval::between(
        value.least().checked_mul(count)?,
        value.most().checked_mul(count)?,
    )
}

/// The sum of two intervals.
pub fn plus(a: Interval, b: Interval) -> Option<Interval> {
    Interval::between(
        a.least().checked_add(b.least())?,
        a.most().checked_add(b.most())?,
    )
}

/// `numerator / denominator` times an interval, rounded outward to whole nanometres.
pub fn share(value: Interval, numerator: i64, denominator: i64) -> Option<Interval> {
    let scale = |length: Length, up: bool| {
        let product = i128::from(length.nm()) * i128::from(numerator);
        let d = i128::from(denominator);
        let q = if up {
            num_integer::Integer::div_ceil(&product, &d)
        } else {
            product.div_euclid(d)
        };
        i64::try_from(q).ok().map(Length::from_nm)
    };
    Interval::between(scale(value.least(), false)?, scale(value.most(), true)?)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(text: &str) -> Length {
        crate::length::parse_length(text).unwrap()
    }

    #[test]
    fn layers_follow_the_folds() {
        let g = mm("80 mm");
        for (height, layers) in [("10 mm", 4), ("40 mm", 8), ("80 mm", 8), ("81 mm", 4)] {
            assert_eq!(layers_at(Bottom::Block, g, mm(height)), layers, "{height}");
        }
        assert_eq!(layers_at(Bottom::Pinch, g, mm("50 mm")), 2);
    }

    #[test]
    fn the_largest_edge_distance_is_the_largest() {
        for (d, t) in [
            (25_400_000i64, 8_000_001i64),
            (12_700_000, 12_700_000),
            (16_000_000, 3),
        ] {
            let (inside, stack) = (Length::from_nm(d), Length::from_nm(t));
            let a = i128::from(closed_paper(inside, stack).nm());
            let (d, t) = (i128::from(d), i128::from(t));
            assert!(t * t + a * a <= d * d && t * t + (a + 1) * (a + 1) > d * d);
            let a = i128::from(turned_paper(inside, stack).nm());
            let fits = |a: i128| 106 * t <= 333 * (d - 2 * a);
            assert!(fits(a) && !fits(a + 1));
        }
        assert_eq!(closed_paper(mm("10 mm"), mm("11 mm")).nm(), -1);
    }
}
