//! Thickness: layers of bag at a hole, stacks, and what a ring takes. All in whole nanometres.
//!
//! May import `length` and `supplies`.

use crate::length::{Interval, Length};
use crate::supplies::Bottom;
use num_integer::Roots;

/// How a bag lies folded, as far as a hole near its side edge meets it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Folds {
    pub bottom: Bottom,
    /// Depth of its side gusset, where it has one.
    pub gusset: Option<Interval>,
    /// Height of its pocket's edge above the tail, where it has a pocket.
    pub pocket: Option<Interval>,
    /// Layers that its folded flap adds, up to the pocket's edge.
    pub flap_layers: i64,
}

impl Folds {
    /// The most layers of bag that a hole at this height above the tail can go through.
    ///
    /// A block-bottom bag of gusset G, folded flat: 4 above the flap, 8 between G/2 and G above the
    /// tail, 4 below G/2, and the laps of the flap up to its edge; a pinch-bottom bag has 2, and 2
    /// more where it is folded up for a pocket. Derived from how the bag is folded; measure one bag.
    pub fn layers_at(self, height: Interval) -> i64 {
        let (low, high) = (height.least().nm(), height.most().nm());
        let in_gusset = self.gusset.is_some_and(|g| {
            low <= g.most().nm() && 2 * i128::from(high) >= i128::from(g.least().nm())
        });
        let side = match self.bottom {
            Bottom::Pinch => 2,
            Bottom::Block if in_gusset => 8,
            Bottom::Block => 4,
        };
        let under_edge = self.pocket.is_some_and(|edge| low <= edge.most().nm());
        side + if under_edge { self.flap_layers } else { 0 }
    }

    /// The most layers that a hole can meet, wherever it stands.
    pub fn most_layers(self) -> i64 {
        let side = match (self.bottom, self.gusset) {
            (Bottom::Pinch, _) => 2,
            // With its gusset not measured, it may be where the holes are.
            (Bottom::Block, _) => 8,
        };
        side + if self.pocket.is_some() {
            self.flap_layers
        } else {
            0
        }
    }
}

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
        let at = |text: &str| Interval::exact(mm(text));
        let block = Folds {
            bottom: Bottom::Block,
            gusset: Some(at("80 mm")),
            pocket: Some(at("80 mm")),
            flap_layers: 2,
        };
        for (height, layers) in [("10 mm", 6), ("40 mm", 10), ("80 mm", 10), ("81 mm", 4)] {
            assert_eq!(block.layers_at(at(height)), layers, "{height}");
        }
        // Known between two ends only, a hole meets the most that is between them.
        let between = Interval::between(mm("79 mm"), mm("90 mm"));
        assert_eq!(between.map(|h| block.layers_at(h)), Some(10));
        assert_eq!(block.most_layers(), 10);
        let pinch = Folds {
            bottom: Bottom::Pinch,
            gusset: None,
            pocket: None,
            ..block
        };
        assert_eq!(pinch.layers_at(at("50 mm")), 2);
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
