//! What is answered to what is typed.

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
fn a_wish_that_is_not_kept_stands_right_under_the_verdict() {
    // A small cover over larger pages, for one.
    let fit = ["fit", "models/albums/low-water.toml"];
    let out = done(&fit);
    let under = out.lines().skip(1).take(4).collect::<Vec<_>>().join("\n");
    let begins = "It fits, and every size is proved best.\n\nWhat to watch, and 4 more with `--all`\n  Shore: photo mat";
    assert!(under.starts_with(begins), "{out}");
    let all = done(&[&fit[..], &["--all"]].concat());
    let under = all.lines().skip(1).take(4).collect::<Vec<_>>().join("\n");
    let begins = begins.replace(", and 4 more with `--all`", "");
    assert!(under.starts_with(&begins), "{all}");
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
fn a_place_that_a_leaf_has_not_is_told_with_what_makes_it() {
    for place in ["pocket", "band"] {
        let told = refused(&[
            "why", "--bag", "5 x 8 in", "--insert", "3 x 4 in", "--into", place,
        ]);
        assert!(
            told.contains("has no pocket") && told.contains("--pocket"),
            "{told}"
        );
    }
    done(&["fit", "--bag", "5 x 3 x 8 in", "--pocket", "1 1/4 in"]);
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
fn a_quantity_can_be_set_over_an_album() {
    let usual = json(&["fit", "--json", LOW_WATER]);
    let wider = json(&["fit", "--json", LOW_WATER, "--set", "side_reveal=1/8 in"]);
    assert_eq!(size(&usual, "shore", "front_mat.width").0, "5 1/8 in");
    assert_eq!(size(&wider, "shore", "front_mat.width").0, "5 in");
    // The album sets `caption_strip` itself; what is typed counts.
    let strip =
        |answer: &Value| answer["leaves"][1]["inserts"][0]["photo"]["border_below"]["mm"].as_f64();
    let higher = json(&[
        "fit",
        "--json",
        LOW_WATER,
        "--set",
        "caption_strip=1 1/4 in",
    ]);
    assert_eq!((strip(&usual), strip(&higher)), (Some(19.05), Some(31.75)));
}

#[test]
fn setting_what_nothing_reads_is_told() {
    let said = "! Nothing in this album reads `band_glue`: setting it changes nothing.\n";
    let bag = ["fit", "--bag", "5 1/8 x 8 1/2 in"];
    let with = |set: &str| done(&[&bag[..], &["--set", set]].concat());
    assert!(with("band_glue=1/8 in").contains(said));
    assert!(!with("side_reveal=1/8 in").contains("Nothing in this album reads"));
    assert_eq!(
        json(&[&bag[..], &["--json", "--set", "band_glue=1/8 in"]].concat())["unread"],
        serde_json::json!(["band_glue"])
    );
}

/// Bags that are sewn go on no ring and have no eyelets; a concertina has no holes at all.
#[test]
fn what_a_kind_of_album_cannot_have_is_named() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("album.toml");
    let fit = |kind: &str, template: &str| {
        let bag = "[[bag]]\nname = \"bag\"\nsize = \"5 x 7 in\"\nbottom = \"pinch\"\n";
        let ring = "[[ring]]\nname = \"ring\"\ninside = \"1 in\"\n";
        let album = format!(
            "album = \"A\"\nstyle = \"{kind}\"\nruler = \"1/8 in\"\n[template]\n{template}\n{bag}{ring}[[leaf]]\nname = \"a\"\nbag = \"bag\"\ncount = 3\n"
        );
        std::fs::write(&path, album).expect("it is written");
        let answer = json(&["fit", "--json", path.to_str().expect("text")]);
        answer["unread"].to_string()
    };
    let sewn = "holes = 3\nring = \"ring\"\neyelet = \"3/8 in\"\nedge = \"1 in\"";
    assert_eq!(fit("signature", sewn), r#"["ring","edge","eyelet"]"#);
    assert_eq!(
        fit("concertina", "holes = 3\nring = \"ring\""),
        r#"["ring","holes"]"#
    );
    let on_rings = "holes = 2\nring = \"ring\"\neyelet = \"3/8 in\"\nedge = \"1/2 in\"";
    for kind in ["upright", "envelope", "foreedge", "boards"] {
        assert_eq!(fit(kind, on_rings), "[]", "{kind}");
    }
    let path = path.to_str().expect("text");
    fit("signature", sewn);
    let said = done(&["fit", "--all", path]);
    assert!(
        said.contains("! Nothing in this album reads `ring`: setting it changes nothing."),
        "{said}"
    );
    assert!(!said.contains("eyelets"), "{said}");
}

#[test]
fn sizes_of_a_style_of_ones_own_are_told() {
    let album = "tests/fits/a-box-with-its-own-sizes/album.toml";
    let text = done(&["fit", "--all", album]);
    for line in [
        "Window left 1/2 in. Limited by:",
        "Album box width 5 1/4 in. Limited by:",
    ] {
        assert!(text.contains(line), "{line}\n{text}");
    }
    let answer = json(&["fit", "--json", album]);
    assert_eq!(size(&answer, "leaf", "window.left").0, "1/2 in");
    assert_eq!(size(&answer, "", "album.box_width").0, "5 1/4 in");
    // It is held back by the leaf's own width, and so it can be asked about.
    let why = done(&["why", album, "--grow", "album.box_width"]);
    assert!(why.contains("The box is"), "{why}");
    // Nothing is pierced, so no sentence is about holes.
    for word in ["Holes", "the holes", "lowest hole"] {
        assert!(!text.contains(word), "{text}");
    }
    assert!(!text.contains("0 in from"), "{text}");
    assert_eq!(answer["holes"]["edge"], Value::Null);
    let hint = done(&["why", album]);
    assert!(hint.contains("--grow window.width`"), "{hint}");
    let book = done(&["rules", album]);
    assert!(book.contains("Style `boxed`: Leaves in a box."), "{book}");
}

#[test]
fn what_is_wrong_in_an_option_is_shown_in_it() {
    for (arguments, shown) in [
        (&["fit", "--bag", "5 1/8 x 8 1/2"][..], "--bag: "),
        (&["fit", "--bag", ""], "--bag: "),
        (&["fit", "--bag", "3 x 4 x 5 x 6 in"], "--bag: "),
        (
            &["fit", "--bag", "0 x 6 in"],
            "`--bag` must be more than zero",
        ),
        (&["fit", "--bag", "5 x 600 in"], "`--bag` is `5 x 600 in`"),
        (&["fit", "--bag", "5 x 6 in", "--ruler", "3 m"], "--ruler: "),
        (
            &["fit", "--bag", "5 x 6 in", "--pocket", "1/0 in"],
            "--pocket: ",
        ),
        (&["fit", "--bag", "5 x 6 in", "--hole", "-1 in"], "--hole: "),
        (&["fit", "--bag", "5 x 6 in", "--edge", "1"], "--edge: "),
        (
            &["fit", "--bag", "5 x 6 in", "--print", "4 in"],
            "--print: ",
        ),
        (
            &["fit", "--bag", "5 x 6 in", "--photo-shape", "3/2"],
            "`3/2` is not the shape of a photo",
        ),
        (
            &["fit", "--bag", "5 x 6 in", "--pocket-depth", "1 in"],
            "`--pocket-depth` needs `--pocket`",
        ),
        (
            &["fit", LOW_WATER, "--set", "ease"],
            "`ease` is not a name with a value",
        ),
        (
            &["fit", LOW_WATER, "--set", "=1 in"],
            "`=1 in` is not a name with a value",
        ),
        (
            &["fit", LOW_WATER, "--set", "eese=1/8 in"],
            "--set \"eese=1/8 in\" ---- ",
        ),
        (
            &["fit", LOW_WATER, "--set", "ease=1/8"],
            "--set \"ease=1/8\" --- ",
        ),
        (
            &[
                "rules",
                LOW_WATER,
                "--set",
                "ease=1 in",
                "--set",
                "ease=2 in",
            ],
            "`ease` is set twice",
        ),
        (&["fit", "--bag", "5 x 6", "--set", "ease"], "2 problems."),
    ] {
        let message = refused(arguments);
        assert!(message.contains(shown), "{arguments:?}\n{message}");
    }
}

#[test]
fn a_command_that_makes_no_sense_is_refused() {
    for (arguments, shown) in [
        (&["fit"][..], "Name an album file, or type the bag"),
        (&["fit", LOW_WATER, "--bag", "5 x 6 in"], "two albums"),
        (
            &["fit", LOW_WATER, "--pocket", "3 in"],
            "`--pocket` goes with `--bag`",
        ),
        (&["fit", "--bags", "5 x 6 in"], "Did you mean `--bag`?"),
        (&["fits", LOW_WATER], "Did you mean `fit`?"),
        (&["fit", "no/such.toml"], "there is no such file"),
        (&["fit", "models"], "it is a folder"),
        (
            &["export", LOW_WATER, "--stage", "9999"],
            "There is no step 9999",
        ),
        (
            &["export", LOW_WATER, "--stage", "x"],
            "`--stage` cannot be `x`. Type a whole number from 0",
        ),
        (
            &["export", LOW_WATER, "--stage", "1", "--stages"],
            "`--stage` and `--stages` do not go together",
        ),
    ] {
        let message = refused(arguments);
        assert!(message.contains(shown), "{arguments:?}\n{message}");
    }
}

#[test]
fn an_album_that_does_not_fit_ends_with_1_and_says_what_clashes() {
    let (out, err) = told(&run(CLASH), 1);
    assert_eq!(err, "");
    assert!(
        out.contains("\nIt does not fit.\n") && out.contains("\n\nWhat clashes\n"),
        "{out}"
    );
    assert!(out.contains("A pull-out clears the holes"), "{out}");
    let (out, _) = told(&run(&[CLASH, &["--json"]].concat()), 1);
    let answer: Value = serde_json::from_str(&out).expect("JSON");
    assert_eq!(answer["verdict"], "does not fit");
    assert_eq!(answer["exit"], 1);
    let clash = answer["clash"].as_array().expect("a clash");
    assert!(!clash.is_empty());
    for member in clash {
        for key in ["rule", "of", "because", "source"] {
            assert!(member[key].is_string(), "{key} in {member:#}");
        }
    }
    assert!(answer["sizes"].is_null() && answer["clash_proved_minimal"].is_boolean());
    let rules = [&["rules"], &CLASH[1..]].concat();
    assert!(told(&run(&rules), 1).0.contains("What clashes"));
    let fixes = &answer["explanation"]["fix_lists"];
    assert!(
        fixes.as_array().is_some_and(|all| !all.is_empty()),
        "{fixes:#}"
    );
    let export = [&["export"], &CLASH[1..]].concat();
    let (out, err) = told(&run(&export), 1);
    // The rules that must hold, for another solver to refute.
    assert!(
        out.ends_with("ENDATA\n") && err.contains("does not fit"),
        "{out}{err}"
    );
}

#[test]
fn json_holds_what_its_topic_promises() {
    for (album, leaves) in [(LOW_WATER, 3), (HUT_BOOK, 3)] {
        let answer = json(&["fit", "--json", album]);
        assert_eq!(
            (&answer["tuckwright"], &answer["kind"]),
            (&Value::from(2), &Value::from("fit"))
        );
        assert_eq!(
            (&answer["verdict"], &answer["exit"]),
            (&Value::from("fits, proved best"), &Value::from(0))
        );
        assert_eq!(answer["leaves"].as_array().map(Vec::len), Some(leaves));
        let names = json(&["rules", "--json", album]);
        assert_eq!(names["kind"], "rules");
        let rules: Vec<&str> = names["rules"]
            .as_array()
            .expect("rules")
            .iter()
            .filter_map(|rule| rule["rule"].as_str())
            .collect();
        for size in answer["sizes"].as_array().expect("sizes") {
            assert!(
                size["text"].is_string() && size["mm"].as_f64() > Some(0.0),
                "{size:#}"
            );
            let held = size["held_by"].as_array().expect("a list");
            assert!(!held.is_empty(), "{size:#}");
            for by in held {
                let rule = by["rule"].as_str().expect("a name");
                let known = rules.contains(&rule)
                    || ["given", "measured", "limit"].contains(&rule)
                    || rule.starts_with("preference: ");
                assert!(known && by["because"].as_str() != Some(""), "{size:#}");
            }
        }
        for leaf in answer["leaves"].as_array().expect("leaves") {
            let turned = leaf["turned"].as_bool().expect("a flag");
            assert_eq!(leaf["punched_at"], if turned { "right" } else { "left" });
        }
        for key in [
            "holes",
            "photos",
            "ring",
            "stack",
            "closed",
            "wishes_not_kept",
            "assumed",
            "cautions",
        ] {
            assert!(!answer[key].is_null(), "{key}");
        }
    }
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

#[test]
fn photos_holes_and_the_closed_album_add_up() {
    let answer = json(&["fit", "--json", LOW_WATER]);
    let photos = answer["photos"].as_array().expect("photos");
    assert_eq!(
        photos
            .iter()
            .filter_map(|p| p["count"].as_i64())
            .sum::<i64>(),
        6
    );
    let heights = answer["holes"]["heights"].as_array().expect("heights");
    let mm: Vec<f64> = heights.iter().filter_map(|h| h["mm"].as_f64()).collect();
    let spacing = answer["holes"]["spacing"]["mm"]
        .as_f64()
        .expect("a spacing");
    assert!(
        mm.windows(2)
            .all(|pair| (pair[1] - pair[0] - spacing).abs() < 1e-9),
        "{mm:?}"
    );
    // Widest leaf 5 1/4 in; ring 1 in inside and 1/8 in of wire; 1/8 in of paper behind the hole.
    assert_eq!(answer["closed"]["width"]["text"], "6 1/4 in");
    assert_eq!(answer["closed"]["thickness"]["text"], "1 1/4 in");
}

#[test]
fn rules_come_tight_ones_first_and_names_are_listed() {
    let answer = json(&["rules", "--json", LOW_WATER]);
    let steps: Vec<i64> = answer["rules"]
        .as_array()
        .expect("rules")
        .iter()
        .filter_map(|rule| rule["steps_left"].as_i64())
        .collect();
    assert!(steps.is_sorted() && steps.contains(&0), "{steps:?}");
    let text = done(&["rules", LOW_WATER]);
    assert!(
        text.contains("[wish, NOT KEPT]") && text.contains("Tight: "),
        "{text}"
    );
    let names = done(&["rules", "--names"]);
    for line in [
        "  leaf.width: left edge to right edge of a leaf (a length)",
        "  leaf.inserts: ",
        "  caption_strip = 1/8 in",
    ] {
        assert!(names.contains(line), "{line}");
    }
}

/// Every line that is marked is typed again as the answer says, and the album fits.
#[test]
fn what_is_to_be_typed_works() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("album.toml");
    let album = "album = Low water\nruler = 1/16\n[[leaf]]\nname = \"shore\"\nbag = \"brown\"\n\
                 count = \"6\"\nturned = \"No\"\n[[bag]]\nname = \"brown\"\nsize = 5 1/4 x 7 5/8\n\
                 gusset = 3\n";
    let mut lines: Vec<String> = album.lines().map(str::to_owned).collect();
    std::fs::write(&path, album).expect("an album");
    let name = path.to_str().expect("a name");
    let (_, err) = told(&run(&["fit", name]), 2);
    let answers: Vec<&str> = err.split("album.toml, line ").skip(1).collect();
    assert_eq!(answers.len(), 6, "{err}");
    for answer in answers {
        let line: usize = answer
            .split(':')
            .next()
            .and_then(|n| n.parse().ok())
            .expect("a line");
        let typed = answer
            .split("\nType `")
            .nth(1)
            .and_then(|rest| rest.split('`').next());
        lines[line - 1] = typed.unwrap_or_else(|| panic!("{answer}")).to_owned();
    }
    std::fs::write(&path, lines.join("\n")).expect("an album");
    done(&["fit", name]);
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
    let words = out.split_whitespace().collect::<Vec<_>>().join(" ");
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
        let words = out.split_whitespace().collect::<Vec<_>>().join(" ");
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
