//! Sizes in which photo prints are sold, so that a size that is worked out has a name at the counter.

use crate::length::Length;

/// Short and long side in 1/16 in: 2 x 3 in (a wallet print), then 2R to 8R of the common table of print sizes
/// (read in an encyclopaedia).
const INCHES: [(i64, i64); 6] = [
    (32, 48),
    (40, 56),
    (56, 80),
    (64, 96),
    (80, 112),
    (128, 160),
];
/// The same in millimetres as they are sold where paper is metric (from memory).
const MILLIMETRES: [(i64, i64); 6] = [
    (50, 75),
    (65, 90),
    (90, 130),
    (100, 150),
    (130, 180),
    (200, 250),
];

/// The largest print sold that goes into this width and height uncut, as it lies there.
pub fn largest(width: Length, height: Length, metric: bool) -> Option<(Length, Length)> {
    let (sizes, unit) = match metric {
        true => (MILLIMETRES, Length::MM.nm()),
        false => (INCHES, Length::INCH.nm() / 16),
    };
    let sizes = sizes.into_iter().rev();
    let sizes = sizes.map(|(short, long)| [short, long].map(|n| Length::from_nm(n * unit)));
    let mut ways = sizes.flat_map(|[short, long]| match width > height {
        true => [(long, short), (short, long)],
        false => [(short, long), (long, short)],
    });
    ways.find(|(wide, high)| *wide <= width && *high <= height)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand, from the tables.
    #[test]
    fn the_largest_that_goes_in_uncut() {
        let sixteenths = |n: i64| Length::from_nm(Length::INCH.nm() / 16 * n);
        let found = |w, h| largest(sixteenths(w), sixteenths(h), false);
        let of = |w, h| Some((sixteenths(w), sixteenths(h)));
        // 4 3/16 x 5 13/16 in takes 3 1/2 x 5 in; an eighth more in height takes 4 x 6 in.
        assert_eq!(found(67, 93), of(56, 80));
        assert_eq!(found(67, 96), of(64, 96));
        // Across.
        assert_eq!(found(96, 67), of(96, 64));
        // 3 1/2 x 5 in does not go into 5 1/8 x 2 7/8 in; 2 1/2 x 3 1/2 in goes on its side.
        assert_eq!(found(82, 46), of(56, 40));
        assert_eq!(found(40, 40), None);
        let millimetre = |n: i64| Length::from_nm(n * 1_000_000);
        let metric = largest(millimetre(130), millimetre(180), true);
        assert_eq!(metric, Some((millimetre(130), millimetre(180))));
    }
}
