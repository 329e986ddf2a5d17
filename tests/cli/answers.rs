//! What is answered to what is typed.

use super::*;

#[test]
fn a_wish_that_is_not_kept_stands_right_under_the_verdict() {
    // Photos of which much is cut off, for one.
    let fit = ["fit", "models/albums/low-water.toml"];
    let out = done(&fit);
    let under = out.lines().skip(1).take(4).collect::<Vec<_>>().join("\n");
    let begins = "It fits, and every size is proved best.\n\nWhat to watch, and 5 more with `--all`\n  3 photos lose more";
    assert!(under.starts_with(begins), "{out}");
    let all = done(&[&fit[..], &["--all"]].concat());
    let under = all.lines().skip(1).take(4).collect::<Vec<_>>().join("\n");
    let begins = begins.replace(", and 5 more with `--all`", "");
    assert!(under.starts_with(&begins), "{all}");
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
