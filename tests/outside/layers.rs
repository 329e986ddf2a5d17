//! Layers of bag at a hole and in the middle, by the plies of the shipped style: drawn on paper, then counted.

use super::shop::*;
use tuckwright::length::parse_interval;
use tuckwright::program::expand::expand;
use tuckwright::scene::HoleAt;

/// A leaf of this bag; layers at holes of these heights, at the thickest, and in the middle.
fn layers(bag: &str, heights: &[&str]) -> (Vec<i64>, i64, i64) {
    let album = album(&format!(
        "album = \"Layers\"\nruler = \"1/16 in\"\n[[leaf]]\nname = \"leaf\"\nbag = \"bag\"\n[[bag]]\nname = \"bag\"\n{bag}\n"
    ));
    let expanded = expand(&style(None), &album).expect("an album");
    let scene = &expanded.model.scene;
    let plies = &scene.plies[&scene.leaves()[0]];
    let interval = |text: &str| parse_interval(text).expect("a length");
    let told = |up: &&str| {
        let (across, up) = (interval("1/2 in"), interval(up));
        plies.told(scene, HoleAt { across, up })
    };
    let all = heights.iter().map(told).collect();
    (all, plies.at_holes(scene), plies.in_middle(scene))
}

/// Gusset 80 mm, its flap of two layers turned up: 4 walls and 2 of flap below the crease at 40 mm, 4
/// more up to the flap's edge at 80 mm, 4 above.
#[test]
fn a_flap_turned_up() {
    let bag = "size = \"130 x 220 mm\"\ngusset = \"80 mm\"";
    let (met, most, middle) = layers(bag, &["10 mm", "40 mm", "80 mm", "81 mm"]);
    assert_eq!((met, most, middle), (vec![6, 10, 10, 4], 10, 4));
    // Where it is only known between two heights, the most of them.
    assert_eq!(layers(bag, &["84.5 mm ± 5.5 mm"]).0, [10]);
    let bag = "size = \"130 x 220 mm\"\ngusset = \"80 mm\"\nflap_layers = 3";
    assert_eq!(layers(bag, &["10 mm"]).0, [7]);
}

/// Without a gusset at its sides: two walls, and what is glued on for a pocket.
#[test]
fn a_pinch_bottom_has_two() {
    let bag = "size = \"5 x 8 in\"\nbottom = \"pinch\"";
    assert_eq!(layers(bag, &["1 in"]), (vec![2], 2, 2));
    let bag = "size = \"5 x 8 in\"\nbottom = \"pinch\"\npocket = { edge = \"3 in\" }";
    assert_eq!(layers(bag, &["1 in", "4 in"]), (vec![4, 2], 4, 4));
}

/// Neither bottom nor gusset known: a block bottom may lie wherever the holes are.
#[test]
fn an_unknown_bottom_counts_as_the_thicker() {
    assert_eq!(layers("size = \"5 x 8 in\"", &["1 in"]), (vec![8], 8, 2));
}

/// Gusset 3 in. The leaf above the fold, in front of it the same bag upside down: with 4 in folded up the
/// flap lies 1 to 4 in above the fold, its crease at 2 1/2 in.
#[test]
fn a_bag_folded_up_is_met_twice() {
    let bag = |up: &str, edge: &str| {
        let pocket = if up == edge {
            String::new()
        } else {
            format!("\npocket = {{ edge = \"{edge}\" }}")
        };
        let high = match up {
            "4 in" => "14 in",
            "2 in" => "12 in",
            _ => "15 in",
        };
        format!(
            "size = \"5 x {}\"\ngusset = \"3 in\"\nfolded = \"10 in\"{pocket}",
            high
        )
    };
    let heights = [
        "1/2 in",
        "1 in",
        "2 1/2 in",
        "2 9/16 in",
        "4 in",
        "4 1/16 in",
    ];
    let (met, most, middle) = layers(&bag("4 in", "4 in"), &heights);
    assert_eq!((met, most, middle), (vec![8, 14, 14, 10, 10, 4], 14, 6));
    // Folded across its flap: 1 in of it stands in the leaf.
    let (met, most, middle) = layers(&bag("2 in", "2 in"), &["1/2 in", "1 1/2 in"]);
    assert_eq!((met, most, middle), (vec![20, 10], 20, 8));
    // 5 in folded up, the last 1 in of it, flap and all, turned in behind the edge.
    let (met, most, middle) = layers(&bag("5 in", "4 in"), &["3 1/2 in", "1 1/2 in"]);
    assert_eq!((met, most, middle), (vec![20, 8], 20, 10));
}
