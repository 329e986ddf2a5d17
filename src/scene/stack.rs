//! Thickness: layers of bag at a hole, stacks, and what a ring takes. All in whole nanometres.
//!
//! May import `length` and `supplies`.

use crate::length::{Interval, Length};
use crate::supplies::Bottom;
use num_integer::Roots;

/// How a bag lies folded where a hole near its side edge meets it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Folds {
    pub bottom: Bottom,
    /// Depth of its side gusset, where it has one.
    pub gusset: Option<Interval>,
    /// Height of its pocket's edge above the tail, where it has a pocket.
    pub pocket: Option<Interval>,
    /// Layers that its folded flap adds, up to the flap's edge.
    pub flap_layers: i64,
    /// How much of the bag is folded up in front of the leaf to make the pocket, if it is.
    pub folded_up: Option<Interval>,
}

/// Distances in nanometres, from the least to the most.
type Range = (i128, i128);

impl Folds {
    /// The most layers of bag that a hole at this height above the tail can go through.
    ///
    /// A block-bottom bag of gusset G, folded flat: 4 above the flap, 8 between G/2 and G above its
    /// bottom, 4 below G/2, and the laps of the flap up to its edge; a pinch-bottom bag has 2. A
    /// flat bag of which neither is known may have the 8 anywhere. Derived from how the bag is
    /// folded; measure one bag.
    ///
    /// A bag folded up by F lies there twice below its pocket's edge: a hole at height h goes
    /// through the leaf, F + h from the bag's own bottom, and through the part in front, F - h from
    /// it, where the flap now lies. With a gusset of 3 in and 4 in folded up that is 8 up to 1 in,
    /// 14 up to 2 1/2 in, 10 up to the edge at 4 in, and 4 above. What is longer than the pocket is
    /// high is taken to be turned in behind its edge.
    pub fn layers_at(self, height: Interval) -> i64 {
        let at = range(height);
        let under_edge = self.pocket.is_some_and(|edge| at.0 <= range(edge).1);
        let Some(up) = self.folded_up.map(range) else {
            return self.walls_at(at) + if under_edge { self.flap_layers } else { 0 };
        };
        if self.bottom == Bottom::Block && self.gusset.is_none() {
            // Its flap, of whatever height, is taken to lie in the part in front.
            let front = self.walls_at(at) + self.flap_layers;
            return 4 + if under_edge { front } else { 0 };
        }
        let leaf = self.layers_from_bottom((up.0 + at.0, up.1 + at.1));
        if !under_edge {
            return leaf;
        }
        let front = self.layers_from_bottom((up.0 - at.1, up.1 - at.0));
        leaf + front + self.turned_in(at, up)
    }

    /// Layers of what is turned in behind the pocket's edge, F - 2E + h from the bag's bottom.
    fn turned_in(self, at: Range, up: Range) -> i64 {
        let edge = self.pocket.map_or(up, range);
        let from_bottom = (up.0 - 2 * edge.1 + at.0, up.1 - 2 * edge.0 + at.1);
        if up.1 <= edge.0 || from_bottom.1 < 0 {
            return 0;
        }
        self.layers_from_bottom(from_bottom)
    }

    /// Layers of walls and flap at a distance from the bag's own bottom.
    fn layers_from_bottom(self, from_bottom: Range) -> i64 {
        let under_flap = self.gusset.is_some_and(|g| from_bottom.0 <= range(g).1);
        self.walls_at(from_bottom) + if under_flap { self.flap_layers } else { 0 }
    }

    /// Layers of walls and gusset at a distance from the bag's own bottom.
    fn walls_at(self, (low, high): Range) -> i64 {
        match (self.bottom, self.gusset.map(range)) {
            (Bottom::Pinch, _) => 2,
            // With its gusset not measured, it may be where the holes are.
            (Bottom::Block, None) => 8,
            (Bottom::Block, Some(gusset)) if low <= gusset.1 && 2 * high >= gusset.0 => 8,
            (Bottom::Block, Some(_)) => 4,
        }
    }

    /// The most layers that a hole can meet, wherever it stands.
    pub fn most_layers(self) -> i64 {
        let Some(up) = self.folded_up else {
            let side = match self.bottom {
                Bottom::Pinch => 2,
                Bottom::Block => 8,
            };
            return side + self.pocket.map_or(0, |_| self.flap_layers);
        };
        // Layers change where a fold or an edge lies: there, and next to it on either side.
        let (up, edge) = (range(up), range(self.pocket.unwrap_or(up)));
        let gusset = self.gusset.map_or((0, 0), range);
        let folds = [gusset.0 / 2, gusset.1 / 2, gusset.0, gusset.1, 0];
        let near = |at: i128| [at - 1, at, at + 1];
        let heights = (folds.iter())
            .flat_map(|fold| {
                let turned_in = [fold - up.0 + 2 * edge.0, fold - up.1 + 2 * edge.1];
                let folded = [up.0 - fold, up.1 - fold, fold - up.0, fold - up.1];
                folded.into_iter().chain(turned_in)
            })
            .chain([0, edge.0, edge.1])
            .flat_map(near)
            .filter(|height| *height >= 0);
        let at = |nm: i128| i64::try_from(nm).map(|nm| Interval::exact(Length::from_nm(nm)));
        let layers = heights.filter_map(|height| Some(self.layers_at(at(height).ok()?)));
        layers.max().unwrap_or(0)
    }

    /// The most layers in the middle of the leaf: two walls, the flap, and what is folded up.
    pub fn layers_in_middle(self) -> i64 {
        let folded_up = match (self.folded_up, self.pocket) {
            (None, _) => 0,
            (Some(up), Some(edge)) if up.most() > edge.least() => 4,
            (Some(_), _) => 2,
        };
        2 + self.flap_layers + folded_up
    }
}

fn range(interval: Interval) -> Range {
    (interval.least().nm().into(), interval.most().nm().into())
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
    fn layers_follow_the_folds() {
        let at = |text: &str| Interval::exact(mm(text));
        let block = Folds {
            bottom: Bottom::Block,
            gusset: Some(at("80 mm")),
            pocket: Some(at("80 mm")),
            flap_layers: 2,
            folded_up: None,
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
        // Neither gusset nor bottom known: the worse at every hole.
        let unknown = Folds {
            gusset: None,
            pocket: None,
            ..block
        };
        assert_eq!(
            (unknown.layers_at(at("50 mm")), unknown.most_layers()),
            (8, 8)
        );
    }

    #[test]
    fn a_bag_folded_up_is_met_twice() {
        let at = |text: &str| Interval::exact(mm(text));
        let block = |up: &str, edge: &str| Folds {
            bottom: Bottom::Block,
            gusset: Some(at("3 in")),
            pocket: Some(at(edge)),
            flap_layers: 2,
            folded_up: Some(at(up)),
        };
        // Drawn on paper: the leaf above the fold, in front of it the same bag upside down.
        let table = [
            // The flap lies 1 in to 4 in above the fold, its crease at 2 1/2 in.
            ("4 in", "4 in", "1/2 in", 4 + 4),
            ("4 in", "4 in", "1 in", 4 + 8 + 2),
            ("4 in", "4 in", "2 1/2 in", 4 + 8 + 2),
            ("4 in", "4 in", "2 9/16 in", 4 + 4 + 2),
            ("4 in", "4 in", "4 in", 4 + 4 + 2),
            ("4 in", "4 in", "4 1/16 in", 4),
            // Folded across its flap: 1 in of it stands in the leaf.
            ("2 in", "2 in", "1/2 in", 8 + 2 + 8 + 2),
            ("2 in", "2 in", "1 1/2 in", 4 + 4 + 2),
            // 5 in folded up, the last 1 in of it turned in behind the edge.
            ("5 in", "4 in", "3 1/2 in", 4 + 8 + 2 + 4 + 2),
            ("5 in", "4 in", "1 1/2 in", 4 + 4),
        ];
        for (up, edge, height, layers) in table {
            let folds = block(up, edge);
            assert_eq!(folds.layers_at(at(height)), layers, "{up} {edge} {height}");
            assert!(folds.most_layers() >= layers, "{up} {edge} {height}");
        }
        assert_eq!(block("4 in", "4 in").most_layers(), 14);
        assert_eq!(block("4 in", "4 in").layers_in_middle(), 6);
        assert_eq!(block("5 in", "4 in").layers_in_middle(), 8);
        // The gusset and where it is folded known between two ends: the most between them.
        let loose = Folds {
            gusset: Interval::between(mm("2 7/8 in"), mm("3 1/8 in")),
            ..block("4 in", "4 in")
        };
        assert_eq!(loose.layers_at(at("7/8 in")), 14);
        assert_eq!(loose.layers_at(at("13/16 in")), 8);
        let pinch = Folds {
            bottom: Bottom::Pinch,
            gusset: None,
            flap_layers: 0,
            ..block("3 in", "3 in")
        };
        assert_eq!(pinch.layers_at(at("1 in")), 4);
        assert_eq!(pinch.layers_at(at("3 1/4 in")), 2);
        assert_eq!((pinch.most_layers(), pinch.layers_in_middle()), (4, 4));
        // Neither gusset nor bottom known: a flap of any height may lie in front.
        let unknown = Folds {
            gusset: None,
            ..block("4 in", "4 in")
        };
        assert_eq!(unknown.layers_at(at("1 in")), 14);
        assert_eq!(unknown.most_layers(), 14);
    }

    /// The most that a hole can meet is met by some hole, and by none more.
    #[test]
    fn no_hole_meets_more_than_the_most() {
        let eighths = |n: i64| Interval::exact(Length::from_nm(Length::INCH.nm() / 8 * n));
        for (gusset, up, edge) in (8..=40)
            .flat_map(|g| (2..=40).map(move |up| (g, up)))
            .flat_map(|(g, up)| [(g, up, up), (g, up, up - 2), (g, up, up / 2)])
            .filter(|(_, _, edge)| *edge > 0)
        {
            let folds = Folds {
                bottom: Bottom::Block,
                gusset: Some(eighths(gusset)),
                pocket: Some(eighths(edge)),
                flap_layers: 2,
                folded_up: Some(eighths(up)),
            };
            let met = (0..=100).map(|n| Length::from_nm(Length::INCH.nm() / 16 * n));
            let met = met
                .map(|height| folds.layers_at(Interval::exact(height)))
                .max();
            assert_eq!(met, Some(folds.most_layers()), "{gusset} {up} {edge}");
        }
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
