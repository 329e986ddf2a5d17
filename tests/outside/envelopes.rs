//! Bags and envelopes of published sizes side by side, worked out by hand.
//!
//! Bags: a No. 2, 4 1/4 x 2 3/8 x 8 3/16 in ("approximately"), and a No. 12, 7 1/8 x 4 1/2 x
//! 13 3/4 in: read, makers' tables. Envelopes: A-2 4 3/8 x 5 3/4 in, A-6 4 3/4 x 6 1/2, A-7
//! 5 1/4 x 7 1/4, No. 10 4 1/8 x 9 1/2: read, sellers' tables. C6 114 x 162 mm and C5 162 x 229 mm
//! (ISO 269, from ISO 216's C series): read, an encyclopaedia's table. An envelope is a flat bag: one
//! slot, no gusset, no pocket; stood on its short side, so that its opening is at the head.

use super::shop::*;
use tuckwright::album::quick::{self, Quick};
use tuckwright::compare::{Asked, At, Candidate, Fit, offer};
use tuckwright::length::{Interval, Ruler};
use tuckwright::solve::Limits;
use tuckwright::supplies::Bag;
use tuckwright::text::Place;

/// What a bag gives as a single leaf with a photo mat.
fn gives(ruler: &str, width: &str, gusset: Option<&str>, height: &str) -> Fit {
    let album = quick::album(Quick {
        bottom: None,
        folded: None,
        ruler: Ruler::parse(ruler).expect("a ruler"),
        // Any bag: it is exchanged.
        width: interval("5 in"),
        gusset: None,
        height: interval("8 in"),
        pocket: None,
        pocket_depth: None,
        hole: None,
        edge: None,
        photo_shape: None,
        print: None,
        set: Vec::new(),
    });
    let style = style(None);
    let asked = Asked::new(&style, &album, None).expect("it can be compared");
    let bag = Bag {
        gusset: gusset.map(interval),
        ..Bag::flat(
            "bag".into(),
            Place::default(),
            interval(width),
            interval(height),
        )
    };
    let at = At::default();
    let offered = offer(&asked, &Candidate { bag, at }, &Limits::default());
    offered.fit().expect("it fits").clone()
}

#[track_caller]
fn photo(fit: &Fit, width: &str, height: &str) {
    let photo = fit.photo.as_ref().expect("a photo");
    let exact = |text: &str| Interval::exact(length(text));
    assert_eq!((photo.width, photo.height), (exact(width), exact(height)));
}

/// In every one of them on an inch ruler, with a hole of 1/4 in: the hole's centre stands 1/4 in from
/// the edge, its rim 1/8 further, then 1/8 clear, the mat, and 1/8 ease: the mat is 5/8 in narrower
/// than the leaf. In a flat one it stands on 1/2 in of seam, and is narrower by its own thickness and the
/// photo's too, 0.0195 in, so by a ruler step. The photo is 1/4 in less both ways: 7/8 in, in a flat one 1 in,
/// narrower and 3/4 in lower than the leaf, each side rounded down to 1/8 in where the leaf is off the ruler.
#[test]
fn on_an_inch_ruler() {
    for (width, gusset, height, wide, high) in [
        // With a gusset the mouth is its front slot, where the mat stops at half the gusset.
        // 4 1/4 - 7/8 = 3 3/8; 8 3/16 - 1 3/16 = 7, less 1/4: 6 3/4.
        (
            "4 1/4 in",
            Some("2 3/8 in"),
            "8 3/16 in",
            "3 3/8 in",
            "6 3/4 in",
        ),
        // 7 1/8 - 7/8 = 6 1/4; 13 3/4 - 2 1/4 - 1/4 = 11 1/4.
        (
            "7 1/8 in",
            Some("4 1/2 in"),
            "13 3/4 in",
            "6 1/4 in",
            "11 1/4 in",
        ),
        // 4 3/8 - 1 = 3 3/8; 5 3/4 - 3/4 = 5.
        ("4 3/8 in", None, "5 3/4 in", "3 3/8 in", "5 in"),
        // 4 3/4 - 1 = 3 3/4; 6 1/2 - 3/4 = 5 3/4.
        ("4 3/4 in", None, "6 1/2 in", "3 3/4 in", "5 3/4 in"),
        // 5 1/4 - 1 = 4 1/4; 7 1/4 - 3/4 = 6 1/2.
        ("5 1/4 in", None, "7 1/4 in", "4 1/4 in", "6 1/2 in"),
        // No. 10: 4 1/8 - 1 = 3 1/8; 9 1/2 - 3/4 = 8 3/4.
        ("4 1/8 in", None, "9 1/2 in", "3 1/8 in", "8 3/4 in"),
    ] {
        photo(&gives("1/8 in", width, gusset, height), wide, high);
    }
}

/// On a ruler of 1 mm with holes of 6 mm: 6 to the centre, 3 to the rim, 3 clear, 3 ease: 15 mm; the
/// seam and the borders as the style has them in millimetres: 12 mm of seam, 3 mm of border at each
/// side and above, 3 mm of caption strip. The photo is 15 + 6 + 0.5 mm of thickness, on the ruler 22 mm,
/// narrower and 12 + 6 = 18 mm lower.
#[test]
fn on_a_metric_ruler() {
    // C6: 114 - 22 = 92, 162 - 18 = 144. C5: 162 - 22 = 140, 229 - 18 = 211.
    photo(&gives("1 mm", "114 mm", None, "162 mm"), "92 mm", "144 mm");
    photo(&gives("1 mm", "162 mm", None, "229 mm"), "140 mm", "211 mm");
}

/// ISO 216's C5 halved is C6: 229 / 2 = 114.5, cut down to 114 (read, the same table). So two C6
/// beside each other stand in a C5 turned on its side; their photos do not, as each leaf loses 22 mm.
#[test]
fn two_half_envelopes_hold_less_than_a_whole_one() {
    let of = |width, height| {
        let fit = gives("1 mm", width, None, height);
        let photo = fit.photo.expect("a photo");
        (photo.width.least().nm(), photo.height.least().nm())
    };
    let (half, whole) = (of("114 mm", "162 mm"), of("162 mm", "229 mm"));
    let area = |(w, h): (i64, i64)| i128::from(w) * i128::from(h);
    // 2 * 92 * 144 = 26 496 of 140 * 211 = 29 540 square millimetres.
    assert_eq!(2 * area(half), 26_496 * 1_000_000_000_000);
    assert_eq!(area(whole), 29_540 * 1_000_000_000_000);
}

/// A folded No. 2 bag's ±: a maker's table says "approximately". With 1/8 in each way what fits, fits
/// the smallest: the photo of 4 1/8 x 8 1/16 in, 3 1/4 wide, and in front of the gusset 8 1/16 -
/// 1 3/16 = 6 7/8, less 1/4: 6 5/8 high. The ± costs 1/8 in of either side.
#[test]
fn approximately_costs_an_eighth() {
    let loose = gives(
        "1/8 in",
        "4 1/4 in ± 1/8 in",
        Some("2 3/8 in"),
        "8 3/16 in ± 1/8 in",
    );
    photo(&loose, "3 1/4 in", "6 5/8 in");
    let nominal = tuckwright::compare::Nominal::Photo(length("3 3/8 in"), length("6 3/4 in"));
    assert_eq!(loose.nominal, Some(nominal));
}
