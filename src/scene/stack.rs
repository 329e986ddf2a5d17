//! Thickness: sums of it, and what a ring takes. All in whole nanometres.
//!
//! May import `length`.

use crate::length::{Interval, Length};
use num_integer::Roots;

/// Most paper between a hole's rim and the spine edge at which a closed stack still goes round
/// its ring: the largest whole `a` with `T*T + a*a <= D*D`. `None` if `T > D`: the ring does not close.
pub fn closed_paper(inside: Length, stack: Length) -> Option<Length> {
    let (d, t) = (i128::from(inside.nm()), i128::from(stack.nm()));
    let square = d * d - t * t;
    if square < 0 {
        return None;
    }
    i64::try_from(square.sqrt()).ok().map(Length::from_nm)
}

/// Most paper between a hole's rim and the spine edge at which the front can be turned round to
/// the back: the largest whole `a` with `T <= 2 * (333/106) * (D/2 - a)`; 333/106 is just below pi.
pub fn turned_paper(inside: Length, stack: Length) -> Length {
    let (d, t) = (i128::from(inside.nm()), i128::from(stack.nm()));
    let most = (333 * d - 106 * t).div_euclid(666);
    Length::from_nm(i64::try_from(most).unwrap_or(-1))
}

/// `count` times an interval, or `None` if that is beyond any album.
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
    fn the_largest_edge_distance_is_the_largest() {
        for (d, t) in [
            (25_400_000i64, 8_000_001i64),
            (12_700_000, 12_700_000),
            (16_000_000, 3),
        ] {
            let (inside, stack) = (Length::from_nm(d), Length::from_nm(t));
            let closed = closed_paper(inside, stack).expect("it closes");
            let a = i128::from(closed.nm());
            let (d, t) = (i128::from(d), i128::from(t));
            assert!(t * t + a * a <= d * d && t * t + (a + 1) * (a + 1) > d * d);
            let a = i128::from(turned_paper(inside, stack).nm());
            let fits = |a: i128| 106 * t <= 333 * (d - 2 * a);
            assert!(fits(a) && !fits(a + 1));
        }
        assert_eq!(closed_paper(mm("10 mm"), mm("11 mm")), None);
        assert_eq!(closed_paper(mm("10 mm"), mm("10 mm")), Some(Length::ZERO));
    }
}
