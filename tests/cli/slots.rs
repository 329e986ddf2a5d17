//! The mouth without a slot's name is the front slot of a bag with a gusset, in every verb.
//!
//! A bag of 5 x 3 x 8 in: in front of the gusset a card stops at the crease, 8 - 3/2 = 6 1/2 in below
//! the mouth; behind it, and in a flat bag, it stands on the seam, 8 - 1/2 = 7 1/2 in below.

use super::*;
use std::fs;
use tempfile::TempDir;

const BAG: &[&str] = &["--bag", "5 x 3 x 8 in"];
const FRONT: &str = "6 1/2 in";
const ONLY: &str = "7 1/2 in";

/// An album of one leaf, in a folder that lasts as long as it is held.
fn album(bag: &str, insert: &str) -> (TempDir, String) {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("album.toml");
    let words = format!(
        r#"
album = "Slots"
ruler = "1/8 in"
prefer = ["largest photo_mat", "largest photo_mat.photo"]
[[bag]]
name = "gusseted"
size = "5 x 8 in"
gusset = "3 in"
[[bag]]
name = "flat"
size = "5 x 8 in"
[[bag]]
name = "narrow"
size = "2 x 8 in"
[[leaf]]
name = "leaf"
bag = "{bag}"
[[leaf.insert]]
name = "photo_mat"
place = "mouth"
photo = true
{insert}
"#
    );
    fs::write(&file, words).expect("a file");
    let path = file.to_str().expect("a path").to_owned();
    (folder, path)
}

fn with<'a>(verb: &'a str, source: &[&'a str], rest: &[&'a str]) -> Vec<&'a str> {
    [&[verb], source, rest].concat()
}

#[test]
fn fit_says_the_same_of_a_file_and_of_a_bag() {
    let said = album("gusseted", "");
    let front = album("gusseted", "section = \"front\"");
    let flat = album("flat", "");
    let [said, front, flat] = [&said, &front, &flat].map(|(_, path)| path.as_str());
    for (source, height, slot) in [
        (BAG, FRONT, "front slot"),
        (&[said][..], FRONT, "front slot"),
        (&[front][..], FRONT, "front slot"),
        (&[flat][..], ONLY, "mouth"),
        (&["--bag", "5 x 8 in"][..], ONLY, "mouth"),
    ] {
        let answer = json(&with("fit", source, &["--json"]));
        assert_eq!(
            size(&answer, "leaf", "photo_mat.height").0,
            height,
            "{source:?}"
        );
        let told = done(&with("fit", source, &[]));
        assert!(told.contains(&format!("Photo mat: {slot};")), "{told}");
    }
    // What fits the front slot needs no other rule than its own.
    let rules = done(&with("rules", BAG, &[]));
    assert!(rules.contains("its slot is 6 1/2 in deep"), "{rules}");
}

#[test]
fn a_thing_in_the_hand_goes_where_the_album_would_put_it() {
    let (_folder, said) = album("gusseted", "");
    for source in [BAG, &[said.as_str()][..]] {
        for (place, thing, code) in [
            ("mouth", "4 x 6 1/2 in", 0),
            ("mouth", "4 x 7 in", 1),
            ("front slot", "4 x 7 in", 1),
            ("back slot", "4 x 7 in", 0),
        ] {
            let asked = with("why", source, &["--insert", thing, "--into", place]);
            let (out, _) = told(&run(&asked), code);
            // The other slot stands first where that one takes it.
            let other = out.contains("4 x 7 in: into the back slot it goes in as it is");
            assert_eq!(
                other,
                (place, thing) != ("back slot", thing) && code == 1,
                "{out}"
            );
            assert_eq!(
                out.contains(": it goes in as it is."),
                code == 0,
                "{asked:?}\n{out}"
            );
        }
    }
}

/// What `--insert` takes as it is, an album with that thing in it fits, and the other way round.
#[test]
fn a_thing_that_goes_in_fits_in_the_album_too() {
    for (height, code) in [("6 1/2 in", 0), ("6 5/8 in", 1), ("7 1/2 in", 1)] {
        let thing = format!("4 x {height}");
        let asked = with(
            "why",
            BAG,
            &["--insert", &thing, "--into", "mouth", "--json"],
        );
        let answer: Value = serde_json::from_str(&told(&run(&asked), code).0).expect("JSON");
        let more =
            format!("[[leaf.insert]]\nname = \"thing\"\nplace = \"mouth\"\nsize = \"{thing}\"");
        let (_folder, file) = album("gusseted", &more);
        let fits = run(&["fit", &file]).status.code();
        assert_eq!(
            (answer["as_it_is"] == true, fits),
            (code == 0, Some(code)),
            "{thing}"
        );
    }
}

#[test]
fn the_smallest_leaf_is_deep_enough_in_front_of_the_gusset() {
    let (_folder, said) = album("gusseted", "");
    let smallest = |place: &str| {
        let need = format!("{place}: 4 x 6 in");
        let answer = json(&["why", "--json", "--need", &need, &said]);
        let leaves = answer["leaves"].as_array().expect("leaves");
        let upright = leaves.iter().find(|l| l["turned"][0] == false);
        upright.expect("a leaf")["height"]["text"].clone()
    };
    // 6 in of card and half of the gusset; behind it, and the seam.
    assert_eq!(smallest("mouth"), "7 1/2 in");
    assert_eq!(smallest("front slot"), "7 1/2 in");
    assert_eq!(smallest("back slot"), "6 1/2 in");
}

#[test]
fn what_makes_it_larger_starts_from_the_front_slot() {
    let answer = json(&with("why", BAG, &["--grow", "photo_mat.height", "--json"]));
    assert_eq!(answer["value"]["text"], FRONT);
    let offers = answer["offers"].as_array().expect("offers");
    let gusset = offers.iter().find(|o| o["measure"] == "leaf.gusset");
    // Half of what the gusset loses.
    let gusset = gusset.expect("a shallower gusset makes it larger");
    assert_eq!(
        (&gusset["more"], &gusset["by"]["text"]),
        (&Value::Bool(false), &"1/4 in".into())
    );
}

#[test]
fn another_bag_gives_its_front_slot_or_its_only_one() {
    // Compared: the photo that each bag takes, the album's own bag flat or not.
    for own in ["flat", "gusseted"] {
        let (_folder, file) = album(own, "");
        let answer = json(&["compare", &file, "--json"]);
        let ranked = answer["ranked"].as_array().expect("bags");
        for (bag, height) in [("gusseted", FRONT), ("flat", ONLY)] {
            let found = ranked.iter().find(|r| r["name"] == bag).expect("ranked");
            let insert = &found["inserts"][0];
            assert_eq!(insert["height"]["text"], height, "{own}: {bag}");
        }
    }
    // Swapped: the sizes that come out are those of the file with that bag.
    let wide = "width = \"3 in\"";
    let (_folder, clash) = album("narrow", wide);
    let asked = ["why", "--json", &clash];
    let answer: Value = serde_json::from_str(&told(&run(&asked), 1).0).expect("JSON");
    let lists = answer["explanation"]["fix_lists"]
        .as_array()
        .expect("lists");
    let fixes = lists
        .iter()
        .flat_map(|list| list["fixes"].as_array().expect("fixes"));
    let swaps: Vec<&Value> = fixes
        .filter(|fix| fix["changes"][0]["change"] == "use bag")
        .collect();
    for (bag, height) in [("gusseted", FRONT), ("flat", ONLY)] {
        let swap = swaps
            .iter()
            .find(|s| s["changes"][0]["name"] == bag)
            .expect("a swap");
        let sizes = swap["sizes"].as_array().expect("sizes");
        let of = |name: &str| sizes.iter().find(|s| s["name"] == name).expect("a size");
        assert_eq!(of("photo_mat.height")["text"], height, "{bag}");
        let (_folder, file) = album(bag, wide);
        let fits = json(&["fit", "--json", &file]);
        for size in sizes {
            let name = size["name"].as_str().expect("a name");
            if !name.ends_with(".unit") {
                assert_eq!(
                    self::size(&fits, "leaf", name).0,
                    size["text"],
                    "{bag}: {name}"
                );
            }
        }
    }
}

#[test]
fn what_is_cut_and_printed_is_what_fits() {
    let (folder, said) = album("gusseted", "");
    for source in [BAG, &[said.as_str()][..]] {
        let cut = with("cut", source, &["--sheet", "12 x 12 in", "--json"]);
        let answer: Value = serde_json::from_str(&told(&run(&cut), 0).0).expect("JSON");
        let pieces = answer["pieces"].as_array().expect("pieces");
        let mat = pieces
            .iter()
            .find(|p| p["name"] == "photo mat" || p["name"] == "photo_mat");
        assert_eq!(
            mat.expect("a photo mat")["height"]["text"],
            FRONT,
            "{source:?}"
        );
        let page = folder.path().join("page.html");
        let page = page.to_str().expect("a path");
        told(
            &run(&with("print", source, &["--html", page, "--force"])),
            0,
        );
        let text = fs::read_to_string(page).expect("a page");
        assert!(
            text.contains("front slot: photo mat.") && text.contains("6½\u{a0}in"),
            "{source:?}"
        );
    }
}

#[test]
fn several_pull_outs_of_a_typed_bag_take_its_slots_in_turn() {
    let two = json(&[&["fit", "--json", "--pull-outs", "3"], BAG].concat());
    let inserts = two["leaves"][0]["inserts"].as_array().expect("a list");
    let slots: Vec<_> = inserts.iter().map(|it| it["place"].as_str()).collect();
    assert_eq!(
        slots,
        [Some("front slot"), Some("back slot"), Some("front slot")]
    );
    let flat = done(&["fit", "--bag", "5 x 8 in", "--pull-outs", "2"]);
    assert!(flat.contains("Photo mat 2: mouth"), "{flat}");
    // A kind whose places have no sections.
    let envelope = ["fit", "--style", "envelope", "--bag", "5 x 7 in"];
    done(&[&envelope[..], &["--pull-outs", "2"]].concat());
    refused(&[&["fit", "--pull-outs", "0"], BAG].concat());
    let file = ["fit", "models/albums/low-water.toml", "--pull-outs", "2"];
    refused(&file);
}

#[test]
fn a_folder_that_is_not_there_is_said_in_words() {
    let told = refused(&["new", "/proc/tuckwright"]);
    assert!(!told.contains("entity"), "{told}");
}
