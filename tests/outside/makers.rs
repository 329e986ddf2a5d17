//! An album as a maker builds it. Common practice, no published source.

use super::shop::*;
use tuckwright::album::{Value, quick};
use tuckwright::length::{Interval, Ruler};
use tuckwright::plan::Plan;

const EDGE_HOLE: &str = "a hole keeps paper to the spine edge";
const CLEAR: &str = "a pull-out clears the holes and has ease at the outer edge";
const SLOT: &str = "a pull-out stands inside its slot or shows no more than is wanted";
const GRIP: &str = "a pull-out can be gripped";
const BAND_END: &str = "a hole does not go through the band's glued end";
const POCKET_EDGE: &str = "a hole does not cut the pocket's edge";

/// The leaf is 4 3/8 x 5 3/4 in, the pocket's edge 2 7/8 in above the tail, the ruler 1/8 in; the
/// mouth was measured 5 1/4 in deep. Thicknesses are our own: one layer of bag 0.0045 in, mats
/// 0.0065 in, a photo mat 0.01 in.
fn album(count: i64, insert: &str) -> String {
    let prefer = if insert == PHOTO_MAT {
        "prefer = [\"largest photo_mat\", \"largest photo_mat.photo\"]"
    } else {
        ""
    };
    format!(
        r#"
        album = "Six plain leaves"
        ruler = "1/8 in"
        {prefer}
        [template]
        ring = "one inch"
        [set]
        caption_strip = "1 3/8 in"
        [[bag]]
        name = "brown"
        size = "4 3/8 x 5 3/4 in"
        pocket = {{ edge = "2 7/8 in" }}
        caliper = "0.0045 in"
        [[paper]]
        name = "print"
        size = "12 x 12 in"
        caliper = "0.0065 in"
        [[print]]
        name = "square"
        size = "4 x 4 in"
        [[ring]]
        name = "one inch"
        inside = "1 in"
        wire = "1/8 in"
        [[leaf]]
        name = "leaf"
        bag = "brown"
        count = {count}
        front_mat = "print"
        pocket_mat = "print"
        back_mat = "print"
        band = "print"
        measured = {{ "back.depth" = "5 1/4 in" }}
        [[leaf.insert]]
        place = "mouth"
        caliper = "0.01 in"
        {insert}
        "#
    )
}

const PHOTO_MAT: &str = "name = \"photo_mat\"\nphoto = true";

fn card(size: &str) -> String {
    album(6, &format!("name = \"postcard\"\nsize = \"{size}\""))
}

#[track_caller]
fn is_the_makers(plan: &Plan) {
    has(
        plan,
        &[
            // 4 3/8 - 1/16 - 1/16 = 4 1/4 wide, all of them.
            // Under the pocket's edge at least 3/8: 5 3/4 - 1/16 - 2 7/8 + 3/8 = 3 3/16, on the
            // ruler 3 1/4.
            ("front_mat", "4 1/4 in", "3 1/4 in"),
            // 2 7/8 - 1/16 - 1/16 = 2 3/4.
            ("pocket_mat", "4 1/4 in", "2 3/4 in"),
            // 5 3/4 - 1/8 - 1/8 = 5 1/2.
            ("back_mat", "4 1/4 in", "5 1/2 in"),
            // 4 3/8 - 1/4 to the hole's centre - 1/8 to its rim - 1/8 clear - 1/8 ease = 3 3/4.
            ("photo_mat", "3 3/4 in", "5 1/4 in"),
            // 3 3/4 - 1/8 - 1/8 = 3 1/2; 5 1/4 - 1/8 - 1 3/8 = 3 3/4.
            ("photo_mat.photo", "3 1/2 in", "3 3/4 in"),
        ],
    );
    // The mat is rounded up, so 3 1/4 + 1/16 + 2 7/8 - 5 3/4 = 7/16 run under.
    let front = plan.leaves[0].parts.iter().find(|p| p.label == "front_mat");
    let under = front.expect("a front mat").runs_under;
    assert_eq!(under, Some(Interval::exact(length("7/16 in"))));

    held(
        plan,
        "front_mat.width",
        &["front mat leaves its side reveals"],
    );
    held(
        plan,
        "front_mat.height",
        &["front mat leaves its head reveal and runs under the pocket's edge"],
    );
    held(
        plan,
        "pocket_mat.width",
        &["pocket mat leaves its side reveals"],
    );
    held(
        plan,
        "pocket_mat.height",
        &["pocket mat leaves a reveal above and below"],
    );
    held(
        plan,
        "back_mat.width",
        &["back mat leaves its side reveals"],
    );
    held(
        plan,
        "back_mat.height",
        &["back mat leaves a reveal at head and tail"],
    );
    held(plan, "photo_mat.width", &[EDGE_HOLE, CLEAR]);
    held(plan, "photo_mat.height", &[SLOT]);

    // A quarter inch off both sides of a 4 x 4 print, and off one end.
    let photo = insert(plan, "photo_mat").photo.as_ref().expect("a photo");
    let print = photo.print.as_ref().expect("a print");
    let off = [print.off_left, print.off_right, print.off_end];
    assert_eq!(off, [length("1/4 in"); 3]);
    assert_eq!(photo.border_below, Interval::exact(length("1 3/8 in")));
    assert_eq!(photo.border_side, Interval::exact(length("1/8 in")));

    // Holes of 1/4 in at 1/4 in. A sixth of 5 3/4 is 0.958, so the lowest stands at 1; two equal
    // steps to the same distance from the head: (5 3/4 - 1 - 1) / 2 = 1 7/8. The middle one stands
    // at 1 + 1 7/8 = 2 7/8: on the pocket's edge.
    assert_eq!(plan.holes.diameter, Interval::exact(length("1/4 in")));
    assert_eq!(plan.holes.edge, Interval::exact(length("1/4 in")));
    stand_at(plan, &["1 in", "2 7/8 in", "4 3/4 in"]);
    let told = not_kept(plan);
    let cut: Vec<_> = told
        .iter()
        .filter(|(name, _)| *name == POCKET_EDGE)
        .collect();
    let [(_, why)] = cut[..] else {
        panic!("one hole of three cuts the pocket's edge: {told:?}");
    };
    assert!(why.contains("2 7/8 in above the tail"), "{why}");
    assert!(why.contains("pocket's edge at 2 7/8 in"), "{why}");
}

#[test]
fn the_album_comes_out_as_the_maker_cut_it() {
    let plan = plan(&album(6, PHOTO_MAT));
    is_the_makers(&plan);
    // A band is as wide as the mat under it, which the reveals hold.
    has(&plan, &[("band", "4 1/4 in", "1 in")]);
    held(&plan, "band.height", &["band has its height"]);
    let band = [
        "band is no wider than the pocket mat",
        "pocket mat leaves its side reveals",
    ];
    held(&plan, "band.width", &band);
    // The lowest hole goes through the band's glued end, as the maker punched it. And the photo mat,
    // level with the mouth, shows nothing to grip; nothing else is not kept.
    let names: Vec<&str> = not_kept(&plan).iter().map(|(name, _)| *name).collect();
    assert_eq!(names, [POCKET_EDGE, BAND_END, GRIP]);
}

#[test]
fn the_same_leaf_without_a_file() {
    let quick = quick::Quick {
        bottom: None,
        folded: None,
        ruler: Ruler::parse("1/8 in").expect("a ruler"),
        width: interval("4 3/8 in"),
        gusset: None,
        height: interval("5 3/4 in"),
        pocket: Some(interval("2 7/8 in")),
        pocket_depth: None,
        hole: None,
        edge: None,
        photo_shape: None,
        print: Some(("square".into(), interval("4 in"), interval("4 in"))),
        set: vec![("caption_strip".into(), Value::Length(interval("1 3/8 in")))],
    };
    // 5 3/4 - 1/2 of bottom seam is the depth that the maker measured. It has no band, and a tab.
    let plan = plan_of(&style(None), &quick::album(quick));
    is_the_makers(&plan);
    let names: Vec<&str> = not_kept(&plan).iter().map(|(name, _)| *name).collect();
    assert_eq!(names, [POCKET_EDGE]);
}

/// Layers: 8 at most where the gusset is folded, 2 of flap: 10 x 0.0045 x 1.5 = 0.0675. Four papers
/// are 0.026, so one leaf 0.0935 and six 0.561 in. A ring of 1 in may be filled to 0.65.
#[test]
fn six_leaves_go_on_one_inch_rings() {
    let six = plan(&album(6, PHOTO_MAT));
    assert_eq!(six.stack_at_holes, Interval::exact(length("0.561 in")));
    let ring = six.ring.expect("a ring");
    assert_eq!(ring.takes, length("0.65 in"));
    // Room left: 0.089 in, less than one more leaf. Seven are 0.6545 in.
    let seven = clash(&album(7, PHOTO_MAT));
    clashes(&seven, &["the stack fits the ring"]);
    assert!(seven[0].1.contains("0.6545 in"), "{}", seven[0].1);
}

/// 1/4 to the hole's centre + 1/8 to its rim + 1/8 clear + 4 of card + 1/8 ease = 4 5/8 in; the leaf
/// is 4 3/8 wide. And 6 in do not stand in 5 1/4.
#[test]
fn a_card_of_four_by_six_is_cut_down() {
    let found = clash(&card("4 x 6 in"));
    assert!(found.iter().any(|(name, _)| name == CLEAR || name == SLOT));

    let wide = clash(&card("4 x 5 1/4 in"));
    clashes(&wide, &[EDGE_HOLE, CLEAR]);
    for part in [
        "1/4 in to the hole's centre",
        "1/8 in to its rim",
        "1/8 in clear",
        "4 in of postcard",
        "1/8 in ease = 4 5/8 in",
        "the leaf is 4 3/8 in wide",
    ] {
        assert!(wide[1].1.contains(part), "{}", wide[1].1);
    }
    let high = clash(&card("3 3/4 x 6 in"));
    clashes(&high, &[SLOT]);
    assert!(high[0].1.contains("postcard is 6 in high"), "{}", high[0].1);
    assert!(high[0].1.contains("5 1/4 in deep"), "{}", high[0].1);

    // Cut down to the size of the photo mat it goes in; with one ruler step more it does not.
    has(
        &plan(&card("3 3/4 x 5 1/4 in")),
        &[("postcard", "3 3/4 in", "5 1/4 in")],
    );
    clashes(&clash(&card("3 7/8 x 5 1/4 in")), &[EDGE_HOLE, CLEAR]);
    clashes(&clash(&card("3 3/4 x 5 3/8 in")), &[SLOT]);
}

/// The middle hole's centre stands 2 7/8 above the tail and its rim 1/8 higher; 1/8 of paper should
/// remain to the pocket's edge. An edge at 3 1/8 keeps that and one at 3 does not; nor does one at
/// 2 3/4, below the hole, while one at 2 5/8 does.
#[test]
fn a_pocket_that_the_middle_hole_keeps_off() {
    for (edge, kept) in [
        ("3 1/8 in", true),
        ("3 in", false),
        ("2 3/4 in", false),
        ("2 5/8 in", true),
    ] {
        let text =
            album(6, PHOTO_MAT).replace("edge = \"2 7/8 in\"", &format!("edge = \"{edge}\""));
        let plan = plan(&text);
        stand_at(&plan, &["1 in", "2 7/8 in", "4 3/4 in"]);
        let told = not_kept(&plan);
        assert_eq!(
            told.iter().all(|(name, _)| *name != POCKET_EDGE),
            kept,
            "{edge}"
        );
    }
}
