//! Published card and paper sizes in leaves: what fits, and what does not by one step.

use super::shop::*;

const EDGE_HOLE: &str = "a hole keeps paper to the spine edge";
const CLEAR: &str = "a pull-out clears the holes and has ease at the outer edge";
const SLOT: &str = "a pull-out stands inside its slot or shows no more than is wanted";
const POCKET: &str = "a pocket insert clears the holes";
const FALL: &str = "a pocket insert does not fall out";

fn tucked(ruler: &str, bag: &str, place: &str, card: &str) -> String {
    format!(
        r#"
        album = "One card"
        ruler = "{ruler}"
        [[bag]]
        name = "bag"
        {bag}
        [[card]]
        name = "card"
        size = "{card}"
        [[leaf]]
        name = "leaf"
        bag = "bag"
        [[leaf.insert]]
        name = "slip"
        place = "{place}"
        card = "card"
        "#
    )
}

/// ISO/IEC 7810 ID-1, 85.60 x 53.98 mm. Read. On a millimetre ruler: 6 to the hole's centre + 3 to
/// its rim + 3 clear + 85.6 + 3 ease + 3 glue = 103.6 mm. Half of 53.98 is 26.99 mm.
#[test]
fn a_bank_card_in_a_pocket_in_millimetres() {
    let on = |width: &str, depth: &str| {
        let bag = format!(
            "size = \"{width} x 150 mm\"\npocket = {{ edge = \"60 mm\", depth = \"{depth}\" }}"
        );
        tucked("1 mm", &bag, "pocket", "85.60 x 53.98 mm")
    };
    has(
        &plan(&on("104 mm", "27 mm")),
        &[("slip", "85.6 mm", "53.98 mm")],
    );
    has(
        &plan(&on("103.6 mm", "26.99 mm")),
        &[("slip", "85.6 mm", "53.98 mm")],
    );
    let found = clash(&on("103 mm", "27 mm"));
    clashes(&found, &[EDGE_HOLE, POCKET]);
    assert!(
        found[1].1.contains("= 103.6 mm; the leaf is 103 mm wide"),
        "{}",
        found[1].1
    );
    let found = clash(&on("104 mm", "26 mm"));
    clashes(&found, &[FALL]);
    assert!(
        found[0]
            .1
            .contains("of it, 26.99 mm, belongs inside the pocket, which is 26 mm deep"),
        "{}",
        found[0].1
    );
}

/// The same card on a ruler of 1/16 in: 1/4 + 1/8 + 1/8 + 85.6 mm + 1/8 + 1/8 = 3/4 in + 3.37008 in:
/// 4 1/8 takes it and 4 1/16 does not. The standard also gives 3.370 x 2.125 in, and notes that the
/// two systems should not be intermixed (read): a leaf of 4.12 in takes that one and not the other,
/// for 2 thousandths of a millimetre.
#[test]
fn a_bank_card_in_a_pocket_in_inches() {
    let on = |width: &str, card: &str| {
        let bag = format!(
            "size = \"{width} x 6 in\"\npocket = {{ edge = \"2 1/2 in\", depth = \"1 1/8 in\" }}"
        );
        tucked("1/16 in", &bag, "pocket", card)
    };
    let (metric, inches) = ("85.60 x 53.98 mm", "3.370 x 2.125 in");
    has(
        &plan(&on("4 1/8 in", metric)),
        &[("slip", "85.6 mm", "53.98 mm")],
    );
    clashes(&clash(&on("4 1/16 in", metric)), &[EDGE_HOLE, POCKET]);
    has(
        &plan(&on("4.12 in", inches)),
        &[("slip", "3.37 in", "2.125 in")],
    );
    clashes(&clash(&on("4.12 in", metric)), &[EDGE_HOLE, POCKET]);
}

/// Index cards of 3 x 5, 4 x 6 and 5 x 8 in, from memory. A card in the mouth needs 1/4 + 1/8 + 1/8
/// of holes and 1/8 of ease beside it, 5/8 in, and 1/2 in below it, where a gusset of 1 in has its crease.
#[test]
fn index_cards() {
    for (card, leaf, narrow, low) in [
        (
            "3 x 5 in",
            "3 5/8 x 5 1/2 in",
            "3 9/16 x 5 1/2 in",
            "3 5/8 x 5 7/16 in",
        ),
        (
            "4 x 6 in",
            "4 5/8 x 6 1/2 in",
            "4 9/16 x 6 1/2 in",
            "4 5/8 x 6 7/16 in",
        ),
        (
            "5 x 8 in",
            "5 5/8 x 8 1/2 in",
            "5 9/16 x 8 1/2 in",
            "5 5/8 x 8 7/16 in",
        ),
    ] {
        let on = |size: &str| {
            let bag = format!("size = \"{size}\"\ngusset = \"1 in\"");
            tucked("1/16 in", &bag, "mouth", card)
        };
        let fits = plan(&on(leaf));
        // It stands level with the mouth.
        assert_eq!(insert(&fits, "slip").shows, Some((0, 0)), "{card}");
        clashes(&clash(&on(narrow)), &[EDGE_HOLE, CLEAR]);
        clashes(&clash(&on(low)), &[SLOT]);
    }
}

/// ISO 216 (read, an encyclopaedia's table): A5 is 148 x 210 mm, ± 1.5 mm up to 150 mm and ± 2 mm
/// above. What fits inside fits the smallest, 146.5 x 208 mm: mats 146.5 - 3 = 143.5, on the ruler
/// 143; back mat 208 - 6 = 202. Nominal sheets would take 145 and 204.
#[test]
fn mats_fit_the_smallest_a5() {
    let on = |size: &str| {
        let size = format!("size = \"{size}\"");
        tucked("1 mm", &size, "mouth", "105 ± 1.5 mm x 148 ± 1.5 mm")
    };
    let uncertain = plan(&on("148 ± 1.5 mm x 210 ± 2 mm"));
    has(
        &uncertain,
        &[
            ("back_mat", "143 mm", "202 mm"),
            ("front_mat", "143 mm", "205 mm"),
        ],
    );
    let nominal = plan(&on("148 x 210 mm"));
    has(
        &nominal,
        &[
            ("back_mat", "145 mm", "204 mm"),
            ("front_mat", "145 mm", "207 mm"),
        ],
    );
    // In a slot of 210 ± 2 - 12 mm an A6 of 148 ± 1.5 stays 46.5 to 53.5 mm below the mouth.
    let below = insert(&uncertain, "slip").shows;
    assert_eq!(below, Some((-53_500_000, -46_500_000)));
}

/// A6 of 105 ± 1.5 mm in a leaf of w ± 1.5: 6 + 3 + 3 + 106.5 + 3 = 121.5 mm must fit the narrowest
/// leaf, so w is 123; without tolerances 120 would do. Derived from ISO 216 (read).
#[test]
fn the_widest_a6_in_the_narrowest_leaf() {
    let (a6, exact) = ("105 ± 1.5 mm x 148 ± 1.5 mm", "105 x 148 mm");
    let on = |width: &str, card: &str| {
        tucked(
            "1 mm",
            &format!("size = \"{width} x 210 mm\"\ngusset = \"24 mm\""),
            "mouth",
            card,
        )
    };
    plan(&on("123 ± 1.5 mm", a6));
    clashes(&clash(&on("122.9 ± 1.5 mm", a6)), &[EDGE_HOLE, CLEAR]);
    plan(&on("120 mm", exact));
    clashes(&clash(&on("119.9 mm", exact)), &[EDGE_HOLE, CLEAR]);
}

/// A print of 4 x 6 in (4R, read in a table) glued on a back: 1/4 + 1/8 + 1/8 of holes + 4 + 1/16 of
/// bag = 4 9/16 in; the back mat under it leaves 1/8 at head and tail, so 6 1/4 in high.
#[test]
fn a_print_glued_on_a_back() {
    let on = |size: &str| tucked("1/16 in", &format!("size = \"{size}\""), "back", "4 x 6 in");
    plan(&on("4 9/16 x 6 1/4 in"));
    let back = "what is glued on a back clears the holes";
    clashes(&clash(&on("4 1/2 x 6 1/4 in")), &[EDGE_HOLE, back]);
    let mat = "back mat leaves a reveal at head and tail";
    let stays = "what is glued on a back stays on the back mat";
    clashes(&clash(&on("4 9/16 x 6 3/16 in")), &[mat, stays]);
}

/// A business card of 3 1/2 x 2 in (from memory) under a band: 1/4 + 1/8 + 1/8 of holes, 3 1/2 of card,
/// 1/8 ease and 1/4 of glue come to 4 3/8 in, where the band ends; the pocket mat under it leaves 1/16
/// beside it: 4 7/16 in of leaf.
#[test]
fn a_business_card_under_a_band() {
    let on = |width: &str| {
        let bag = format!("size = \"{width} x 6 in\"\npocket = {{ edge = \"2 7/8 in\" }}");
        let text = tucked("1/16 in", &bag, "band", "3 1/2 x 2 in");
        text.replace("bag = \"bag\"", "bag = \"bag\"\nband = \"any\"")
    };
    has(&plan(&on("4 7/16 in")), &[("band", "4 5/16 in", "1 in")]);
    let found = clash(&on("4 3/8 in"));
    clashes(
        &found,
        &[
            "pocket mat leaves its side reveals",
            "band is no wider than the pocket mat",
            EDGE_HOLE,
            "what is tucked under the band keeps off its outer glued end",
        ],
    );
}
