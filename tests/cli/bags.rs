//! Bags as they are typed: in how many ways, with what is known of them, and what was probably meant.

use super::*;

#[test]
fn a_bag_alone_is_enough() {
    let out = done(&["fit", "--bag", "5 1/8 x 8 1/2 in"]);
    assert!(out.starts_with("One leaf (ruler 1/8 in)\nIt fits, and every size is proved best.\n"));
    // A front mat with 1/16 in of bag at every side; a photo mat that stops 1/2 in above the tail.
    for line in [
        "front mat       5 x 8 3/8 in",
        "photo mat       4 3/8 x 8 in",
    ] {
        assert!(out.contains(line), "{line}\n{out}");
    }
}

#[test]
fn the_bottom_of_a_bag_can_be_typed() {
    let thick = |rest: &[&str]| {
        let answer = json(&[&["fit", "--json", "--bag", "5 x 8 in"], rest].concat());
        let layers = answer["leaves"][0]["layers_at_holes"].to_string();
        let assumed = answer["assumed"].as_array().expect("a list").clone();
        let bottom = assumed.into_iter().find(|it| it["name"] == "bag.bottom");
        let photo_mat = size(&answer, "leaf", "photo_mat.width").0;
        (layers, bottom.map(|it| it["how"].clone()), photo_mat)
    };
    // Not said: a block bottom's layers, and a pinch bag's mouth, where the thickness of what is tucked in
    // counts: 5 - 1/4 - 1/8 - 1/8 - 1/8 in less 0.0195 in of card and print.
    let (layers, bottom, photo_mat) = thick(&[]);
    assert_eq!(layers, "[8,8,8]");
    assert_eq!(bottom, Some("--bottom pinch".into()));
    assert_eq!(photo_mat, "4 1/4 in");
    let (layers, bottom, photo_mat) = thick(&["--bottom", "pinch"]);
    assert_eq!((layers.as_str(), bottom), ("[2,2,2]", None));
    assert_eq!(photo_mat, "4 1/4 in");
    // A flap for a pocket is a block bottom's.
    let (layers, bottom, photo_mat) = thick(&["--pocket", "3 in"]);
    assert_eq!(layers, "[10,8,8]");
    assert_eq!(bottom, Some("--bottom pinch".into()));
    assert_eq!(photo_mat, "4 3/8 in");
    for (bag, bottom, why) in [
        ("5 x 8 in", "block", "has a gusset"),
        ("5 x 3 x 8 in", "pinch", "has no gusset"),
        ("5 x 8 in", "pnch", "Did you mean `pinch`?"),
    ] {
        let told = refused(&["fit", "--bag", bag, "--bottom", bottom]);
        assert!(told.contains(why), "{told}");
    }
    let alone = refused(&["fit", "models/albums/low-water.toml", "--bottom", "pinch"]);
    assert!(alone.contains("goes with `--bag`"), "{alone}");
}

#[test]
fn a_bag_is_typed_in_many_ways() {
    let usual = done(&["fit", "--bag", "5 1/8 x 8 1/2 in"]);
    for bag in ["5⅛ × 8½ in", "5-1/8\" x 8-1/2\"", "5.125 in x 8.5in"] {
        assert_eq!(done(&["fit", "--bag", bag]), usual, "{bag}");
    }
    let metric = json(&["fit", "--json", "--bag", "130 x 80 x 240 mm"]);
    assert_eq!(metric["ruler"]["text"], "1 mm");
    assert_eq!(
        size(&metric, "leaf", "front_mat.width"),
        ("127 mm".to_owned(), 127.0)
    );
    let fine = json(&[
        "fit",
        "--json",
        "--bag",
        "130 x 240 mm",
        "--ruler",
        "0.5 mm",
    ]);
    assert_eq!(fine["ruler"]["text"], "0.5 mm");
    let inch = json(&[
        "fit",
        "--json",
        "--bag",
        "130 x 240 mm",
        "--ruler",
        "1/16 in",
    ]);
    assert_eq!(inch["unit"], "in");
}

#[test]
fn everything_about_a_bag_can_be_typed() {
    let answer = json(&[
        "fit",
        "--json",
        "--bag",
        "4 3/8 x 5 3/4 in",
        "--pocket",
        "2 7/8 in",
        "--pocket-depth",
        "2 7/8 in",
        "--hole",
        "1/4 in",
        "--edge",
        "3/8 in",
        "--print",
        "4 x 6 in",
        "--photo-shape",
        "3:2",
        "--set",
        "caption_strip=1/2 in",
        "--set",
        "border=\"1/4 in\"".replace('"', "").as_str(),
    ]);
    assert_eq!(answer["holes"]["edge"]["text"], "3/8 in");
    assert_eq!(answer["holes"]["diameter"]["text"], "1/4 in");
    let leaf = &answer["leaves"][0];
    let slots = leaf["slots"].as_array().expect("a list");
    let pocket = slots.iter().find(|slot| slot["name"] == "pocket");
    let pocket = pocket.expect("a pocket");
    assert_eq!(pocket["mouth"]["text"], "2 7/8 in");
    assert_eq!(pocket["depth"]["text"], "2 7/8 in");
    assert_eq!(pocket["opens"], "high");
    let photo = &leaf["inserts"][0]["photo"];
    let [width, height] =
        ["width", "height"].map(|side| photo[side]["mm"].as_f64().expect("a number"));
    assert!(
        (height / width - 1.5).abs() < 1e-9 || (width / height - 1.5).abs() < 1e-9,
        "{photo:#}"
    );
    assert!(
        photo["border_side"]["mm"].as_f64() >= Some(6.35),
        "{photo:#}"
    );
    assert!(
        photo["border_below"]["mm"].as_f64() >= Some(12.7),
        "{photo:#}"
    );
    assert_eq!(photo["print"]["name"], "print");
}

#[test]
fn a_bag_between_two_measures_is_told_from_least_to_most() {
    let answer = json(&["fit", "--json", LOW_WATER]);
    let bag = &answer["leaves"][2]["width"];
    assert_eq!(bag["text"], "5 1/16 to 5 3/16 in");
    assert_eq!(
        (bag["mm"].as_f64(), bag["mm_most"].as_f64()),
        (Some(128.5875), Some(131.7625))
    );
}

/// A bag of 9 in folded up to 7 in has a pocket 2 in high; a flat one has none, and learns how to.
#[test]
fn a_typed_bag_is_folded_up_for_a_pocket() {
    let flat = ["fit", "--bag", "6 x 9 in", "--bottom", "pinch"];
    let out = done(&flat);
    assert!(out.contains("No pocket was typed: `--pocket"), "{out}");
    let out = done(&[&flat[..], &["--folded", "7 in"]].concat());
    assert!(!out.contains("No pocket was typed"), "{out}");
    assert!(out.contains("a bag of 6 x 7 in"), "{out}");
    assert!(out.contains("pocket mat      5 7/8 x 1 7/8 in"), "{out}");
    let err = refused(&[&flat[..], &["--folded", "9 in"]].concat());
    assert!(err.contains("folded up"), "{err}");
    refused(&["fit", "models/albums/low-water.toml", "--folded", "7 in"]);
}

/// A C6 envelope is 114 mm wide; 162 x 114 mm are its numbers the other way round.
#[test]
fn a_bag_of_an_album_the_other_way_round() {
    let folder = tempfile::tempdir().expect("a folder");
    let album = std::fs::read_to_string("models/albums/letters.toml").expect("an album");
    let turned = album.replace("114 x 162 mm", "162 x 114 mm");
    assert_ne!(album, turned);
    let path = folder.path().join("album.toml");
    let supplies = std::path::absolute("models/supplies/hut.toml").expect("a path");
    let supplies = supplies.to_str().expect("text");
    std::fs::write(&path, turned.replace("../supplies/hut.toml", supplies)).expect("written");
    let (out, _) = told(&run(&["why", path.to_str().expect("text")]), 1);
    let words = line(&out);
    assert!(
        words.contains("wider than high? Did you mean `size = \"114 x 162 mm\"`? That fits."),
        "{out}"
    );
}

/// What was probably meant stands first, if it fits.
#[test]
fn a_bag_that_was_meant_otherwise() {
    for (typed, says, meant) in [
        (
            "12 x 7 x 22 mm",
            "A bag 12 mm wide? Did you mean",
            "12 x 7 x 22 cm",
        ),
        ("5 x 8 mm", "A bag 5 mm wide? Did you mean", "5 x 8 in"),
    ] {
        let (out, _) = told(&run(&["fit", "--bag", typed]), 1);
        let words = line(&out);
        let first =
            format!("{says} {meant} (`--bag \"{meant}\"`)? That fits. As typed it does not fit.");
        assert!(words.contains(&first), "{out}");
        done(&["fit", "--bag", meant]);
        let head = out.split("What clashes").next().unwrap_or("");
        let ways: Vec<&str> = head
            .lines()
            .filter_map(|it| Some(it.trim().split_once(". ")?.1))
            .collect();
        let once: std::collections::BTreeSet<&&str> = ways.iter().collect();
        assert_eq!(once.len(), ways.len(), "{out}");
        for never in [" -", "10000 mm", "without the rules of"] {
            assert!(!out.contains(never), "{never}: {out}");
        }
    }
    // A bag that is small both ways, and one that is meant as it is typed.
    for typed in ["2 x 2 in", "60 x 60 mm"] {
        let (out, _) = told(&run(&["fit", "--bag", typed, "--edge", "45 mm"]), 1);
        assert!(!out.contains("Did you mean"), "{out}");
    }
    // A gusset folds in by half at each side.
    for (typed, meant) in [
        ("6 x 10 x 4 in", "6 x 4 x 10 in"),
        ("3 1/8 x 5 1/8 x 10 5/8 in", "5 1/8 x 3 1/8 x 10 5/8 in"),
    ] {
        let deep = refused(&["fit", "--bag", typed]);
        assert!(
            deep.contains("the gusset, in the middle, is deeper than the bag is"),
            "{deep}"
        );
        assert!(
            deep.contains(&format!("Did you mean `--bag \"{meant}\"`?")),
            "{deep}"
        );
    }
    let mm = refused(&["fit", "--bag", "130 x 240 in"]);
    assert!(mm.contains("Did you mean `130 x 240 mm`?"), "{mm}");
    let far = refused(&["fit", "--bag", "60 x 90 in"]);
    assert!(far.contains("type `78 in` or less"), "{far}");
}
