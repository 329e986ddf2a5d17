//! Why it does not fit, whether a thing goes in, what holds a size back.

use super::*;

const CARD: &str = "tests/conflicts/card-too-wide/album.toml";
const METRIC: &[&str] = &["why", "--bag", "60 x 140 mm", "--edge", "40 mm"];

/// What is told, with its exit code.
#[track_caller]
pub(crate) fn answered(arguments: &[&str], code: i32) -> String {
    let (out, err) = told(&run(arguments), code);
    assert_eq!(err, "");
    assert!(out.lines().all(|l| l.chars().count() <= 80), "{out}");
    out
}

#[track_caller]
fn json_of(arguments: &[&str], code: i32) -> Value {
    serde_json::from_str(&told(&run(arguments), code).0).expect("JSON")
}

#[test]
fn an_album_that_does_not_fit_is_explained_by_both_verbs() {
    let why = answered(&["why", CARD], 1);
    assert_eq!(answered(&["fit", CARD], 1), why);
    assert_eq!(answered(&["rules", CARD], 1), why);
    for line in [
        "What clashes\n",
        "the leaf is 4 3/8 in wide. That is\n        1/4 in too much.\n",
        "      ease 1/8 in: style upright:",
        "      postcard.width 4 in: tests/conflicts/card-too-wide/album.toml:15\n",
        "   1  Cut postcard down by 1/4 in to 3 3/4 in wide.\n",
        "Leave out postcard.\n",
    ] {
        let found = why.contains(line);
        assert!(found, "{line}\n{why}");
    }
    // The cheapest comes first, and does what it says.
    let first = why.find("Cut postcard down by 1/4 in").expect("a fix");
    assert!(first < why.find("Leave out postcard").expect("a fix"));
}

/// Nothing but the holes gives way to a card that is too wide, and a hole at the very edge is no hole: what is
/// told is where holes belong, and what that leaves for the card.
#[test]
fn a_clash_is_not_told_with_sizes_of_nothing() {
    let album = "tests/conflicts/card-too-wide/album.toml";
    let text = answered(&["why", album], 1);
    let line = "Hole centres are 1/4 in from the spine edge; 1/4 in keeps the paper from\n        tearing.\n";
    assert!(text.contains(line), "{text}");
    assert!(text.contains("That is\n        1/4 in too much."), "{text}");
    let answer = json_of(&["why", "--json", album], 1);
    let members = &answer["explanation"]["clashes"][0]["members"];
    assert_eq!(members[0]["missing"], Value::Null, "{members:#}");
    assert_eq!(members[1]["missing"]["text"], "1/4 in", "{members:#}");
    // A ring that does not close has no room at all, and that is not a number.
    let burst = json_of(
        &[
            "why",
            "--json",
            "tests/conflicts/stack-thicker-than-the-ring/album.toml",
        ],
        1,
    );
    let burst = burst.to_string();
    assert!(
        burst.contains("a ring closes round no more than"),
        "{burst}"
    );
    assert!(
        !burst.contains("closed_paper") && !burst.contains(":-"),
        "{burst}"
    );
}

#[test]
fn a_fix_that_is_typed_makes_it_fit() {
    let narrow = "tests/conflicts/boards-narrow-wrap/album.toml";
    let answer = json_of(&["why", "--json", narrow], 1);
    let lists = answer["explanation"]["fix_lists"]
        .as_array()
        .expect("lists");
    let fixes = lists
        .iter()
        .flat_map(|l| l["fixes"].as_array().expect("fixes"));
    let mut typed = 0;
    for fix in fixes {
        let changes = fix["changes"].as_array().expect("changes");
        let settings: Vec<String> = changes
            .iter()
            .filter(|c| c["change"] == "smaller")
            .map(|c| {
                let says = c["says"].as_str().expect("text");
                let (_, set) = says.split_once("`--set ").expect("a setting");
                set.split('`').next().expect("a setting").replace('"', "")
            })
            .collect();
        if settings.is_empty() || settings.len() != changes.len() {
            continue;
        }
        let mut arguments = vec!["fit", narrow];
        for set in &settings {
            arguments.extend(["--set", set]);
        }
        done(&arguments);
        typed += 1;
    }
    assert!(typed > 0, "{answer:#}");
}

/// A card that touches the rim of a hole is no advice: what leaves less than half of a clearance or an ease
/// comes last, and not among the first lines.
#[test]
fn a_change_that_leaves_too_little_comes_last() {
    let out = answered(&["why", CARD], 1);
    let (first, list) = out.split_once("What clashes").expect("a list");
    assert!(!first.contains("`ease`"), "{out}");
    let at = |words: &str| list.find(words).unwrap_or_else(|| panic!("{words}: {out}"));
    assert!(at("Leave out postcard.") < at("Make `hole_clear` 1/8 in smaller: 0 in"));
}

#[test]
fn millimetres_are_told_in_millimetres() {
    let why = answered(METRIC, 1);
    for line in [
        "40 mm to the hole's centre + 3 mm to its rim + 3 mm clear + 12 mm",
        "never less than 12 mm",
        "mm too much.",
        "punch the holes",
    ] {
        assert!(
            why.replace("\n      ", " ").to_lowercase().contains(line),
            "{line}\n{why}"
        );
    }
    assert!(!why.contains(" in wide"), "{why}");
}

#[test]
fn an_album_that_fits_says_so() {
    let out = answered(&["why", LOW_WATER], 0);
    assert!(
        out.contains("\nIt fits, and every size is proved best.\n"),
        "{out}"
    );
    assert!(out.contains("--grow"), "{out}");
    let answer = json_of(&["why", "--json", LOW_WATER], 0);
    assert_eq!(answer["kind"], "why");
    assert_eq!(answer["verdict"], "fits, proved best");
    assert!(answer["explanation"].is_null());
}

#[test]
fn a_card_for_the_mouth_loses_a_quarter_inch() {
    let flat = ["--bag", "4 3/8 x 5 3/4 in"];
    let bag = [&flat[..], &["--pocket", "2 7/8 in"]].concat();
    let in_bag = |bag: &[&'static str], size: &'static str, code: i32| {
        let mut all = vec!["why"];
        all.extend(bag);
        all.extend(["--insert", size, "--into", "mouth"]);
        answered(&all, code)
    };
    let into = |size, code| in_bag(&bag, size, code);
    let out = into("4 x 6 in", 1);
    for line in [
        "4 x 6 in, into the mouth: it goes in only when it is trimmed.\n",
        "   1  1/4 in off the width and 3/4 in off the height; 3 3/4 x 5 1/4 in is left.\n",
        "to the hole's centre",
        "1/8 in clear",
        "1/8 in ease",
    ] {
        assert!(out.contains(line), "{line}\n{out}");
    }
    // What is left goes in, and a step more of it does not.
    assert!(into("3 3/4 x 5 1/4 in", 0).contains("it goes in as it is."));
    into("3 7/8 x 5 1/4 in", 1);
    into("3 3/4 x 5 3/8 in", 1);
    assert!(into("5 x 3 in", 0).contains("it goes in turned on its side"));
    // Without a flap its bottom may be a pinch: the card's thickness takes a step more, and how that is
    // mended stands below.
    let out = in_bag(&flat, "4 x 6 in", 1);
    for line in [
        "   1  3/8 in off the width and 3/4 in off the height; 3 5/8 x 5 1/4 in is left.\n",
        "Not given\n  Bottom of the bag: pinch or block, ",
        "  Say it with `--bottom`: `pinch`, or `block` and its gusset in `--bag`.\n",
    ] {
        assert!(out.contains(line), "{line}\n{out}");
    }
}

#[test]
fn a_thing_is_tried_in_the_leaf_that_is_named() {
    let ask = |leaf: &str, code: i32| {
        let size = ["--insert", "75 x 100 mm", "--into", "pocket", "--json"];
        let mut all = vec!["why", LOW_WATER, "--leaf", leaf];
        all.extend(size);
        json_of(&all, code)
    };
    let shore = ask("shore", 0);
    assert_eq!(
        (&shore["verdict"], &shore["as_it_is"]),
        (&"it goes in as it is".into(), &true.into())
    );
    let ledger = ask("ledger", 0);
    assert_eq!(
        (&ledger["as_it_is"], &ledger["turned"]),
        (&false.into(), &true.into())
    );
    let member = &ledger["explanation"]["clashes"][0]["members"][0];
    assert_eq!(member["rule"], "a pocket insert does not fall out");
    assert_eq!(member["sense"], "too much");
}

#[test]
fn what_holds_a_photo_back_is_told_with_what_would_help() {
    let bag = [
        "--bag",
        "5 1/8 x 8 1/2 in",
        "--ruler",
        "1/16 in",
        "--grow",
        "photo_mat.photo.width",
    ];
    let mut all = vec!["why"];
    all.extend(bag);
    let out = answered(&all, 0);
    for line in [
        "The width of photo mat's photo is 4 3/16 in; large is wanted.\n",
        "What limits it\n",
        "  `border`, now 1/8 in: 1/16 in less makes it 1/8 in larger.",
    ] {
        assert!(out.contains(line), "{line}\n{out}");
    }
    all.push("--json");
    let answer = json_of(&all, 0);
    // What an offer says it buys is bought.
    let offers = answer["offers"].as_array().expect("offers");
    let border = offers.iter().find(|o| o["measure"] == "border");
    let border = border.expect("an offer");
    assert_eq!(border["buys"]["text"], "1/8 in");
    let with = json(&[
        "fit",
        "--json",
        "--bag",
        "5 1/8 x 8 1/2 in",
        "--ruler",
        "1/16 in",
        "--set",
        "border=1/16 in",
    ]);
    assert_eq!(size(&with, "leaf", "photo_mat.photo.width").0, "4 5/16 in");
}

/// ISO 838 has holes of 6 mm, 12 mm from the edge; a hole of one's own may stand 6 mm from it.
#[test]
fn a_pattern_that_holds_a_size_back_is_named() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("album.toml");
    let album = "album = \"Routes\"\nruler = \"1 mm\"\n[template]\npattern = \"ISO 838\"\n[[bag]]\nname = \"bag\"\nsize = \"165 x 222 mm\"\nbottom = \"pinch\"\n[[leaf]]\nname = \"route\"\nbag = \"bag\"\nfront_mat = \"none\"\nback_mat = \"none\"\n[[leaf.insert]]\nname = \"map\"\nplace = \"mouth\"\nheight = \"200 mm\"\n";
    std::fs::write(&path, album).expect("it is written");
    let path = path.to_str().expect("text");
    let said = answered(&["why", path, "--grow", "map.width"], 0);
    let first = "The pattern `ISO 838` holds it back: with holes at your own spacing it is 6 mm\n    larger.";
    assert!(said.contains(first), "{said}");
    assert!(
        !said.contains("spine edge, now") && !said.contains("diameter of a hole, now"),
        "{said}"
    );
}

#[test]
fn a_size_of_an_album_that_does_not_fit_is_explained_instead() {
    let out = answered(&["why", CARD, "--grow", "postcard.height"], 1);
    let first = "Nothing grows in an album that does not fit. First:\n";
    let rest = out.strip_prefix(first).expect("why it says so");
    assert_eq!(rest, answered(&["why", CARD], 1));
}

#[test]
fn the_smallest_leaf_takes_what_must_go_in() {
    let wants = [
        "--need",
        "mouth: 2 of 4 x 6 in",
        "--need",
        "pocket: 3 x 4 in",
    ];
    let all = [&["why"], &wants[..]].concat();
    let out = answered(&all, 0);
    for line in [
        "2 of 4 x 6 in into the mouth and 3 x 4 in into the pocket.\n",
        "4 5/8 x 6 1/2 in; pocket 2 in high\n",
        "4 x 6 in turned on its side\n",
    ] {
        assert!(out.contains(line), "{line}\n{out}");
    }
    // A bag of that size takes them, and one that is a step narrower does not.
    for (bag, code) in [("4 5/8 x 6 1/2 in", 0), ("4 1/2 x 6 1/2 in", 1)] {
        let into = ["--insert", "4 x 6 in", "--into", "mouth"];
        let pocket = ["--pocket", "2 in", "--pocket-depth", "2 in"];
        answered(&[&["why", "--bag", bag], &into[..], &pocket].concat(), code);
    }
    let answer = json_of(&[&all[..], &["--json"]].concat(), 0);
    assert_eq!(answer["wants"][0]["count"], 2);
    assert_eq!(answer["leaves"][1]["width"]["mm"], 117.475);
}

#[test]
fn bags_of_the_supplies_are_tried_for_what_must_go_in() {
    let out = answered(&["why", LOW_WATER, "--need", "front slot: 4 x 6 in"], 0);
    assert!(out.contains("with a gusset of 3 in"), "{out}");
    assert!(out.contains("Your bags, each worked out\n"), "{out}");
    let out = answered(
        &["why", "--need", "mouth: 100 x 150 mm", "--ruler", "5 mm"],
        0,
    );
    assert!(out.contains("120 x 165 mm\n"), "{out}");
    let out = answered(&["why", "--need", "mouth: 60 x 70 in"], 1);
    assert!(out.contains("No leaf takes them, up to 1000 mm"), "{out}");
    assert!(out.contains("What clashes in the largest\n"), "{out}");
}

#[test]
fn what_is_wrong_in_a_need_is_told() {
    for (arguments, shown) in [
        (&["mouth: 4 x 6"][..], "`4 x 6` has no unit"),
        (&[""], "is not a place with a thing to go in"),
        (&["4 x 6 in"], "is not a place with a thing to go in"),
        (&["moth: 4 x 6 in"], "Did you mean `mouth`?"),
        (&["mouth: 0 of 4 x 6 in"], "`0` is not a count"),
        (&["mouth: two of 4 x 6 in"], "`two` is not a count"),
        (&["mouth: 0 x 6 in"], "`--need` must be more than zero"),
        (&["front slot: 4 x 6 in"], "a flat bag has no front slot"),
        (
            &["mouth: 4 x 6 in", "--pocket", "3 in"],
            "`--pocket` goes with `--bag`",
        ),
        (
            &["mouth: 4 x 6 in", "--grow", "photo_mat.width"],
            "do not go together",
        ),
        (
            &["mouth: 4 x 6 in", "--leaf", "shore"],
            "do not go together",
        ),
    ] {
        let err = refused(&[&["why", "--need"], arguments].concat());
        assert!(err.contains(shown), "{shown}\n{err}");
    }
}

#[test]
fn what_is_wrong_in_a_question_is_one_clear_message() {
    let bag = ["why", "--bag", "4 3/8 x 5 3/4 in"];
    for (more, shown) in [
        (
            &["--insert", "4 x 6", "--into", "mouth"][..],
            "`4 x 6` has no unit",
        ),
        (
            &["--insert", "0 x 6 in", "--into", "mouth"],
            "`--insert` must be more than zero",
        ),
        (
            &["--insert", "4 x 6 in", "--into", "moth"],
            "Did you mean `mouth`?",
        ),
        (
            &["--insert", "4 x 6 in", "--into", "band"],
            "leaf has no pocket",
        ),
        (
            &["--insert", "4 x 6 in", "--into", "front slot"],
            "leaf has no front slot",
        ),
        (
            &["--insert", "4 x 6 in", "--into", "pocket"],
            "leaf has no pocket",
        ),
        (
            &["--insert", "4 x 6 in", "--into", "mouth", "--leaf", "shore"],
            "the album has no leaf `shore`",
        ),
        (&["--into", "mouth"], "Type `--insert SIZE` too"),
        (&["--insert", "big crad"], "big crad"),
        (
            &[
                "--insert",
                "4 x 6 in",
                "--into",
                "mouth",
                "--grow",
                "photo_mat.width",
            ],
            "do not go together",
        ),
        (
            &["--grow", "photo_mat.wide"],
            "Did you mean `photo_mat.width`?",
        ),
        (&["--leaf", "leaf"], "`--leaf` goes with"),
    ] {
        let arguments: Vec<&str> = bag.iter().chain(more).copied().collect();
        let err = refused(&arguments);
        assert!(err.contains(shown), "{shown}\n{err}");
        // Several would be counted.
        assert!(!err.contains("problems"), "{err}");
    }
    for (more, shown) in [
        (
            &["--insert", "4 x 6 in", "--into", "mouth"][..],
            "Name one with `--leaf`: `cover`, `shore` or `ledger`",
        ),
        (&["--grow", "front_mat.width"], "Name one with `--leaf`"),
        (&["--grow", "species_tag.width"], "as given in the album"),
    ] {
        let mut arguments = vec!["why", LOW_WATER];
        arguments.extend(more);
        let err = refused(&arguments);
        assert!(err.contains(shown), "{shown}\n{err}");
    }
}

#[test]
fn an_explanation_goes_into_a_file() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("why.txt");
    let path = file.to_str().expect("a path");
    let (out, _) = told(&run(&["why", CARD, "-o", path]), 1);
    assert_eq!(out, "");
    let written = std::fs::read_to_string(&file).expect("a text");
    assert_eq!(written, answered(&["why", CARD], 1));
}

/// An object has just these fields, as `help json` lists them.
#[track_caller]
fn fields(of: &Value, wanted: &str) {
    let mut found: Vec<&str> = of
        .as_object()
        .expect("an object")
        .keys()
        .map(String::as_str)
        .collect();
    let mut wanted: Vec<&str> = wanted.split(' ').collect();
    found.sort_unstable();
    wanted.sort_unstable();
    assert_eq!(found, wanted);
}

#[test]
fn json_of_explanations_holds_what_its_topic_promises() {
    let head = "tuckwright kind asked title ruler unit verdict exit";
    let album = json_of(&["why", "--json", CARD], 1);
    fields(&album, &format!("{head} explanation"));
    assert_eq!(
        (&album["kind"], &album["asked"]),
        (&"why".into(), &"album".into())
    );
    let why = &album["explanation"];
    fields(
        why,
        "clashes all_clashes more_clashes whole fix_lists hopeless",
    );
    fields(&why["clashes"][0], "members least proved_minimal also");
    let member = &why["clashes"][0]["members"][1];
    fields(member, "rule of because missing sense and source at given");
    assert_eq!(member["missing"]["mm"], 6.35);
    fields(&member["given"][0], "name text mm at");
    fields(
        &why["fix_lists"][0],
        "fixes meanwhile cheapest all nothing_mends",
    );
    let fix = &why["fix_lists"][0]["fixes"][0];
    fields(fix, "changes price proved sizes");
    fields(&fix["changes"][0], "change name of by from to says");
    fields(&fix["sizes"][0], "name text mm");
    // `fit` tells the same.
    let fit = json_of(&["fit", "--json", CARD], 1);
    assert_eq!(&fit["explanation"], why);

    let bag = ["why", "--json", "--bag", "4 3/8 x 5 3/4 in"];
    let hand = ["--insert", "4 x 6 in", "--into", "mouth"];
    let hand = json_of(&[&bag[..], &hand].concat(), 1);
    let own = "leaf place width height as_it_is turned watch trims explanation";
    fields(&hand, &format!("{head} {own}"));
    fields(
        &hand["trims"][0],
        "turned off_width off_height width height says",
    );

    let grow = json_of(&[&bag[..], &["--grow", "photo_mat.width"]].concat(), 0);
    let own = "name leaf value wanted held_by offers places pattern proved";
    fields(&grow, &format!("{head} {own}"));
    let offer = &grow["offers"][0];
    fields(offer, "measure leaf from more by buys loses until");

    let need = json_of(
        &["why", "--json", LOW_WATER, "--need", "mouth: 4 x 6 in"],
        0,
    );
    let own = "wants like gusset pocket_made leaves all clash bags";
    fields(&need, &format!("{head} {own}"));
    fields(&need["wants"][0], "place count width height");
    fields(&need["leaves"][0], "width height pocket turned");
    fields(&need["bags"][0], "name does turned");
}
