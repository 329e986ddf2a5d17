//! Strips that are folded to and fro, worked out by hand.
//!
//! Every peak has a wall at each side: n peaks, 2 n walls (derived here). A strip that is not long enough is
//! glued to the next one with an allowance of about 1 cm behind its last fold: a handbook of type and
//! lettering, read in a stored copy. The grain runs from head to tail, along the folds: a dictionary of
//! bookbinding terms, "fold binder", read. A fold as deep as what is glued to it, 1/2 in or more: common
//! practice, no published source.

use super::shop::*;
use tuckwright::length::Length;
use tuckwright::style::shipped::shipped;

const SHEET: i64 = 12;

/// A strip for so many bags of 5 x 7 in: how many pieces, and how long each.
fn strip(count: i64) -> (i64, i64) {
    let album = album(&format!(
        r#"
album = "Stops"
style = "concertina"
ruler = "1/8 in"
papers = {{ strip = "laid" }}
[[leaf]]
name = "stop"
bag = "plain"
count = {count}
front_mat = "none"
back_mat = "none"
[[bag]]
name = "plain"
size = "5 x 7 in"
bottom = "pinch"
caliper = "0.0045 in"
[[paper]]
name = "laid"
size = "{SHEET} x 9 in"
"#
    ));
    let plan = plan_of(&style(shipped("concertina")), &album);
    let strip = plan.parts.iter().find(|it| it.label == "strip");
    let strip = strip.expect("a strip");
    (
        strip.count,
        strip.width.value.least().nm() / (Length::INCH.nm() / 8),
    )
}

/// End flaps of 1 in, walls of 3/4 in, 1/16 in at a peak, a lap of 1/2 in; sheets of 12 in; in eighths.
#[test]
fn peaks_walls_and_laps() {
    for (bags, pieces, eighths) in [
        // 2 + 1 9/16: 3 5/8. 2 + 6 x 1 9/16 = 11 3/8.
        (1, 1, 29),
        (6, 1, 91),
        // A lap lies on one wall: a piece is cut off 1/2 in beyond the start of one, and loses 13/16 in at most.
        // 2 + 7 x 1 9/16 = 12 15/16, and a lap with what is lost: half of 14 1/4 is 7 1/8.
        (7, 2, 57),
        // 2 + 13 x 1 9/16 = 22 5/16, and a lap with what is lost: half of 23 5/8 is 11 13/16.
        (13, 2, 95),
        // 23 7/8, and a lap, are more than two sheets; with two, and what is lost, 26 1/2: a third is 8 5/6.
        (14, 3, 71),
    ] {
        assert_eq!(strip(bags), (pieces, eighths), "{bags} bags");
    }
}
