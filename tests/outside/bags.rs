//! Paper bags of published sizes as leaves, worked out by hand.

use super::shop::*;
use tuckwright::album::quick;
use tuckwright::length::{Interval, Ruler};
use tuckwright::plan::Plan;

const EDGE_HOLE: &str = "a hole keeps paper to the spine edge";
const CLEAR: &str = "a pull-out clears the holes and has ease at the outer edge";
const UNDER: &str = "front mat leaves its head reveal and runs under the pocket's edge";

fn leaf(width: &str, gusset: &str, height: &str) -> Plan {
    let quick = quick::Quick {
        bottom: None,
        folded: None,
        ruler: Ruler::parse("1/8 in").expect("a ruler"),
        width: interval(width),
        gusset: Some(interval(gusset)),
        height: interval(height),
        pocket: None,
        pocket_depth: None,
        hole: None,
        edge: None,
        photo_shape: None,
        print: None,
        set: Vec::new(),
    };
    plan_of(&style(None), &quick::album(quick))
}

#[track_caller]
fn stops(plan: &Plan, edge: &str, depth: &str, front: &str, back: &str) {
    let exact = |text: &str| Interval::exact(length(text));
    let slot = |name: &str| plan.frames[0].part(name).expect("a slot");
    assert_eq!(slot("pocket").mouth, Some(exact(edge)));
    let slots = ["pocket", "front_slot", "back_slot"];
    let depths = slots.map(|name| slot(name).height);
    assert_eq!(depths, [depth, front, back].map(exact));
}

/// A No. 2 bag, 4 1/4 x 2 3/8 x 8 3/16 in, "approximately": read, a maker's table.
#[test]
fn a_number_two_bag() {
    let plan = leaf("4 1/4 in", "2 3/8 in", "8 3/16 in");
    // The flap stands as high as the gusset is deep and is creased at half of it: 1 3/16. A card in
    // front stops at that height, 8 3/16 - 1 3/16 = 7; behind it stands on 1/2 in of seam.
    stops(&plan, "2 3/8 in", "1 3/16 in", "7 in", "7 11/16 in");
    has(
        &plan,
        &[
            // 4 1/4 - 1/8 = 4 1/8. 8 3/16 - 1/16 - 2 3/8 + 3/8 = 6 1/8, which lies on the ruler.
            ("front_mat", "4 1/8 in", "6 1/8 in"),
            // 2 3/8 - 1/8 = 2 1/4.
            ("pocket_mat", "4 1/8 in", "2 1/4 in"),
            // 8 3/16 - 1/4 = 7 15/16, on the ruler 7 7/8.
            ("back_mat", "4 1/8 in", "7 7/8 in"),
            // 4 1/4 - 1/4 - 1/8 - 1/8 - 1/8 = 3 5/8; the mouth is its front slot, 7 in deep.
            ("photo_mat", "3 5/8 in", "7 in"),
            // Less 1/4 both ways.
            ("photo_mat.photo", "3 3/8 in", "6 3/4 in"),
        ],
    );
    let under = plan.leaves[0].parts[0].runs_under;
    assert_eq!(under, Some(Interval::exact(length("3/8 in"))));
    held(&plan, "front_mat.height", &[UNDER]);
    held(&plan, "photo_mat.width", &[EDGE_HOLE, CLEAR]);
    // A sixth of 8 3/16 is 1.365. From 1 3/8 up, two steps of 2 3/4 leave 8 3/16 - 6 7/8 = 1 5/16 at
    // the head, less than a sixth, and two of 2 5/8 leave 1 9/16 there, more than 1/8 in more. From
    // 1 1/2 up, two of 2 5/8 leave 1 7/16.
    stand_at(&plan, &["1 1/2 in", "4 1/8 in", "6 3/4 in"]);
    // The lowest goes through the folded gusset and the flap, 8 layers, and 2 laps of the bottom.
    assert_eq!(plan.leaves[0].layers_at_holes, [10, 4, 4]);
}

/// A No. 12 bag, 7 1/8 x 4 1/2 x 13 3/4 in: read, two tables.
#[test]
fn a_number_twelve_bag() {
    let plan = leaf("7 1/8 in", "4 1/2 in", "13 3/4 in");
    // 13 3/4 - 2 1/4 = 11 1/2; 13 3/4 - 1/2 = 13 1/4.
    stops(&plan, "4 1/2 in", "2 1/4 in", "11 1/2 in", "13 1/4 in");
    has(
        &plan,
        &[
            // 13 3/4 - 1/16 - 4 1/2 + 3/8 = 9 9/16, on the ruler 9 5/8.
            ("front_mat", "7 in", "9 5/8 in"),
            ("pocket_mat", "7 in", "4 3/8 in"),
            ("back_mat", "7 in", "13 1/2 in"),
            // 7 1/8 - 5/8 = 6 1/2.
            ("photo_mat", "6 1/2 in", "11 1/2 in"),
            ("photo_mat.photo", "6 1/4 in", "11 1/4 in"),
        ],
    );
    // 9 5/8 + 1/16 + 4 1/2 - 13 3/4 = 7/16.
    let under = plan.leaves[0].parts[0].runs_under;
    assert_eq!(under, Some(Interval::exact(length("7/16 in"))));
    // A sixth of 13 3/4 is 2.292: 2 3/8; twice 4 1/2 above it 11 3/8, and 2 3/8 to the head. The
    // lowest stands just above the flap's crease at 2 1/4.
    stand_at(&plan, &["2 3/8 in", "6 7/8 in", "11 3/8 in"]);
    assert_eq!(plan.leaves[0].layers_at_holes, [10, 4, 4]);
}

/// Tables differ by 1/8 in and more, so a bag is measured. A No. 2 bag 1/8 in narrower than printed
/// makes everything 1/8 in narrower, and nothing lower.
#[test]
fn a_bag_narrower_than_printed() {
    let plan = leaf("4 1/8 in", "2 3/8 in", "8 3/16 in");
    has(
        &plan,
        &[
            ("front_mat", "4 in", "6 1/8 in"),
            ("pocket_mat", "4 in", "2 1/4 in"),
            ("photo_mat", "3 1/2 in", "7 in"),
            ("photo_mat.photo", "3 1/4 in", "6 3/4 in"),
        ],
    );
}

/// The back mat of a No. 12 bag, 7 x 13 1/2 in, does not come out of letter paper, 8 1/2 x 11 in
/// (ANSI/ASME Y14.1, from memory): 7 x 11 do, and 7 x 8 1/2 where the print must stay upright on a
/// sheet of 11 x 8 1/2. A sheet of 11 x 17 (the same) takes it whole.
#[test]
fn a_back_mat_out_of_letter_paper() {
    let from = |sheet: &str, directed: bool| {
        plan(&format!(
            r#"
            album = "One tall leaf"
            ruler = "1/8 in"
            [[bag]]
            name = "number twelve"
            size = "7 1/8 x 13 3/4 in"
            gusset = "4 1/2 in"
            [[paper]]
            name = "print"
            size = "{sheet}"
            directed = {directed}
            [[leaf]]
            name = "leaf"
            bag = "number twelve"
            back_mat = "print"
            "#
        ))
    };
    let one = "a mat comes out of one sheet of its paper, turned or not";
    for sheet in ["8 1/2 x 11 in", "11 x 8 1/2 in"] {
        let letter = from(sheet, false);
        has(&letter, &[("back_mat", "7 in", "11 in")]);
        held(&letter, "back_mat.height", &[one]);
    }
    let upright = from("11 x 8 1/2 in", true);
    has(&upright, &[("back_mat", "7 in", "8 1/2 in")]);
    held(
        &upright,
        "back_mat.height",
        &["a mat comes out of one sheet of its paper, the print upright"],
    );
    for sheet in ["11 x 17 in", "17 x 11 in"] {
        has(&from(sheet, false), &[("back_mat", "7 in", "13 1/2 in")]);
    }
}
