//! `compare` as it is run: tables of bags with wrong rows, exit codes, an album in another bag.

use super::{LOW_WATER, done, line, refused, run, told};
use serde_json::Value;
use std::path::Path;

pub const SHELF: &str = "models/supplies/shelf.toml";

pub const BAG: [&str; 3] = ["compare", "--bag", "5 x 3 x 8 in"];

/// A file in a folder of its own.
pub fn table(text: &str) -> (tempfile::TempDir, String) {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("bags.csv");
    std::fs::write(&path, text).expect("it can be written");
    let path = path.to_str().expect("text").to_owned();
    (folder, path)
}

pub fn with<'a>(more: &[&'a str]) -> Vec<&'a str> {
    BAG.iter().copied().chain(more.iter().copied()).collect()
}

/// Rows of a CSV answer, by the headings.
pub fn rows(text: &str) -> Vec<Vec<(String, String)>> {
    // Commas within quotes are no ends of values; these rows have no quotes within quotes.
    let cells = |line: &str| -> Vec<String> {
        let parts = line.split('"').enumerate();
        let marked = parts.map(|(n, part)| match n % 2 {
            0 => part.replace(',', "\u{1f}"),
            _ => part.to_owned(),
        });
        marked
            .collect::<String>()
            .split('\u{1f}')
            .map(str::to_owned)
            .collect()
    };
    let mut lines = text.lines().map(cells);
    let head: Vec<String> = lines.next().expect("headings");
    lines
        .map(|cells| head.iter().cloned().zip(cells).collect())
        .collect()
}

pub fn cell<'r>(row: &'r [(String, String)], name: &str) -> &'r str {
    let found = row.iter().find(|(heading, _)| heading == name);
    &found.unwrap_or_else(|| panic!("no {name} in {row:?}")).1
}

#[test]
fn a_table_in_order_with_what_holds_the_photo() {
    let (out, err) = told(
        &run(&["compare", LOW_WATER, "--leaf", "shore", "--bags", SHELF]),
        0,
    );
    assert_eq!(err, "");
    assert!(out.lines().all(|line| line.chars().count() <= 80), "{out}");
    for said in [
        "13 bags, each in the place of those of shore: 4 bags.",
        "4 fit, and every size of those below is proved best. 9 do not fit.",
        "  1*  market bag ",
        "  4*  short brown  4 x 5 1/4 in ",
        "What holds the photo back",
        "Sheets for the whole album, at least, by area alone: ",
        "It would fit: cut species tag (shore) down by 3/8 in to 3 5/8 in high",
    ] {
        assert!(out.contains(said), "{said}\n{out}");
    }
}

/// Names that are long are cut for the table, and told whole below it.
#[test]
fn long_names_do_not_widen_the_table() {
    let name = "a bag with a name that goes on and on, for eighty letters and not one more of it";
    let (_folder, path) = table(&format!(
        "name,width,height\n\"{name}\",5.0625 in,8.0625 in\n"
    ));
    let arguments = with(&["--bags", &path, "--ruler", "1/64 in", "--print", "4 x 6 in"]);
    let (out, _) = told(&run(&arguments), 0);
    assert!(out.lines().all(|line| line.chars().count() <= 80), "{out}");
    let words = |text: &str| line(text);
    assert!(words(&out).contains(name), "{out}");
}

#[test]
pub fn without_files_the_bags_of_the_album_are_compared() {
    let (out, _) = told(&run(&["compare", LOW_WATER, "--leaf", "shore"]), 0);
    assert!(
        out.contains("2 bags, each in the place of those of shore"),
        "{out}"
    );
    assert!(out.contains("small brown"), "{out}");
}

/// A larger photo is of no use where there are four of its bag for six leaves.
#[test]
fn bags_of_which_there_are_too_few_are_named() {
    let folder = tempfile::tempdir().expect("a folder");
    let written = |name: &str, text: &str| {
        let path = folder.path().join(name);
        std::fs::write(&path, text).expect("written");
        path.to_str().expect("text").to_owned()
    };
    let bag = |name: &str, size: &str, count: i64| {
        format!(
            "[[bag]]\nname = \"{name}\"\nsize = \"{size}\"\ngusset = \"3 in\"\ncount = {count}\n"
        )
    };
    let album = written(
        "album.toml",
        &format!(
            "album = \"Ferry tickets\"\nruler = \"1/8 in\"\n{}[[paper]]\nname = \"pad\"\nsize = \"12 x 12 in\"\ndesigns = [\"fog\", \"sun\"]\nsheets = 3\n[[leaf]]\nname = \"trip\"\nbag = \"low\"\ncount = 6\nback_mat = \"pad\"\n[[leaf.insert]]\nname = \"photo_mat\"\nplace = \"mouth\"\nsection = \"front\"\nphoto = true\n",
            bag("low", "5 x 7 in", 9)
        ),
    );
    let bags = written(
        "bags.toml",
        &(bag("middling", "5 x 7 1/2 in", 6) + &bag("high", "5 1/4 x 9 in", 4)),
    );
    let (out, _) = told(&run(&["compare", &album, "--bags", &bags]), 0);
    let words = line(&out);
    let said =
        "Too few at hand. high: you have 4, you need 6. Best of those that are enough: middling.";
    assert!(words.contains(said), "{out}");
    let answer: Value =
        serde_json::from_str(&done(&["compare", &album, "--bags", &bags, "--json"])).expect("JSON");
    let ranked = answer["ranked"].as_array().expect("bags").iter();
    let counts: Vec<_> = ranked.map(|it| (&it["name"], &it["at_hand"])).collect();
    assert_eq!(
        counts,
        [
            (&Value::from("high"), &Value::from(4)),
            (&Value::from("middling"), &Value::from(6))
        ]
    );
    assert_eq!(answer["bags_needed"], 6);
    // Three sheets of each of two designs.
    let papers = answer["ranked"][0]["paper"].as_array().expect("papers");
    let of_pad: Vec<_> = papers.iter().filter(|it| it["names"][0] == "pad").collect();
    assert_eq!((of_pad.len(), &of_pad[0]["at_hand"]), (1, &Value::from(6)));
}

/// 8 1/2 in of bag less 1 in beside a photo; in the supplies' shelf no other is as wide.
#[test]
fn if_none_gives_it_the_nearest_are_shown() {
    let asked = with(&["--bags", SHELF, "--at-least", "photo 8 x 10 in"]);
    let (out, _) = told(&run(&asked), 1);
    assert!(out.contains("None gives photo 8 x 10 in; "), "{out}");
    let less = "What gives less, nearest first\n  print bag, 8 1/2 x 11 in, flat\n    Photo 7 1/2 x 10 1/4 in: 1/2 in too narrow.\n";
    assert!(out.contains(less), "{out}");
    // What fits with less of something else may still give less than is asked for.
    let asked = ["compare", LOW_WATER, "--leaf", "shore", "--bags", SHELF];
    let asked = [&asked[..], &["--at-least", "photo 6 x 8 in"]].concat();
    let (out, _) = told(&run(&asked), 1);
    let loaf = "It would fit, with a photo of 4 x 6 in: cut species tag";
    assert!(out.contains(loaf), "{out}");
    let first = out.find("market bag").expect("the nearest");
    assert!(first < out.find("loaf bag").expect("one that does not fit"));
}

#[test]
fn columns_that_are_not_read_are_named() {
    let columns = |head: &str| {
        let (_folder, bags) = table(&format!("{head}\na,5 in,3 in,9 in\n"));
        let (out, err) = told(&run(&with(&["--bags", &bags])), 0);
        assert!(out.contains("2 bags"), "{out}");
        err.replace(&bags, "bags.csv")
    };
    assert_eq!(
        columns("name,width,side fold,height"),
        "bags.csv: column `side fold` is not read. Without `gusset` the bags count as flat; if it is that, call it so.\n"
    );
    assert_eq!(
        columns("colour,width,gusset,height"),
        "bags.csv: column `colour` is not read.\n"
    );
}

#[test]
fn exit_codes_tell_what_became_of_the_bags() {
    // None fits.
    let (_folder, small) = table("width,height\n1 in,2 in\n");
    let (out, err) = told(
        &run(&with(&["--bags", &small, "--at-least", "photo 9 x 9 in"])),
        1,
    );
    assert!(
        out.contains("None gives photo 9 x 9 in; 1 fits, with less."),
        "{out}"
    );
    assert_eq!(err, "");
    // A wrong row among others that fit.
    let (_folder, mixed) = table("name,width,height\ngood,5 in,8 in\nbad,5,8 in\ntoo,6 in,9 in\n");
    let (out, err) = told(&run(&with(&["--bags", &mixed])), 2);
    assert!(
        out.contains("good") && out.contains("too") && !out.contains("bad"),
        "{out}"
    );
    assert!(
        err.contains("bags.csv, line 3: `width` has no unit"),
        "{err}"
    );
    assert!(err.contains("Type `5 in` or `5 mm`"), "{err}");
    assert!(
        err.contains("1 row is wrong and was left out; the others were compared."),
        "{err}"
    );
    // Said for all rows, it is right.
    let (_, err) = told(&run(&with(&["--bags", &mixed, "--unit", "in"])), 0);
    assert_eq!(err, "");
}

#[test]
fn what_is_wrong_with_files_and_options_is_told_before_anything_is_worked_out() {
    let (_folder, heads) = table("width,hieght\n5 in,8 in\n");
    let (_folder2, empty) = table("# nothing\n\n");
    for (arguments, said) in [
        (
            vec!["compare", "--bag", "5 x 8 in"],
            "Name the bags: `--bags bags.csv`",
        ),
        (with(&["--bags", "no-such.csv"]), "there is no such file"),
        (with(&["--bags", "models"]), "it is a folder"),
        (with(&["--bags", &heads]), "Did you mean `height`?"),
        (with(&["--bags", &empty]), "the file is empty"),
        (
            with(&["--bags", LOW_WATER]),
            "a supplies file has no `album`",
        ),
        (
            with(&["--bags", SHELF, "--unit", "foot"]),
            "Type `in`, `mm` or `cm`",
        ),
        (
            with(&["--bags", SHELF, "--leaf", "laef"]),
            "Did you mean `leaf`?",
        ),
        (
            with(&["--bags", SHELF, "--by", "size"]),
            "It may be `photo`, `price`",
        ),
        (
            with(&["--bags", SHELF, "--at-least", "phto 3 x 4 in"]),
            "Did you mean `photo`?",
        ),
        (
            with(&["--bags", SHELF, "--at-least", "photo 3 x 4"]),
            "has no unit",
        ),
        (
            with(&["--bags", SHELF, "--at-least", "leaves many"]),
            "`leaves 8`",
        ),
        (with(&["--widths", "3 in .. 8 in"]), "--heights"),
        (
            with(&["--widths", "3 in", "--heights", "4 in .. 8 in"]),
            "`3 in .. 8 in`",
        ),
        (
            with(&["--widths", "8 in .. 3 in", "--heights", "4 in .. 8 in"]),
            "the smaller one first",
        ),
        (
            with(&[
                "--widths",
                "3 in .. 8 in",
                "--heights",
                "4 in .. 8 in",
                "--step",
                "1/10 in",
            ]),
            "a whole number of ruler steps",
        ),
        (
            with(&[
                "--widths",
                "1 in .. 70 in",
                "--heights",
                "1 in .. 70 in",
                "--ruler",
                "1/32 in",
            ]),
            "sizes of bag; the most is 40000",
        ),
    ] {
        let err = refused(&arguments);
        assert!(err.contains(said), "{arguments:?}\n{err}");
    }
}

/// Each row says what `fit` says of a bag of these measures.
#[test]
fn a_row_says_what_fit_says() {
    let (out, _) = told(&run(&with(&["--bags", SHELF, "--csv"])), 0);
    let rows = rows(&out);
    let tall = rows.iter().find(|row| cell(row, "name") == "tall brown");
    let row = tall.expect("the bag");
    let sides = ["width", "gusset", "height"].map(|side| cell(row, side));
    let fit = super::json(&["fit", "--bag", &sides.join(" x "), "--json"]);
    let (width, _) = super::size(&fit, "leaf", "photo_mat.photo.width");
    let (height, _) = super::size(&fit, "leaf", "photo_mat.photo.height");
    let photo = (cell(row, "photo_width"), cell(row, "photo_height"));
    assert_eq!(photo, (&*width, &*height));
    assert_eq!(cell(row, "verdict"), "fits, proved best");
}

/// A bag without a pocket is an answer, not a slip in the album's file.
#[test]
fn a_bag_without_a_place_for_something_says_what_to_do() {
    let flat = ["compare", LOW_WATER, "--bag", "6 x 9 in"];
    let (out, err) = told(&run(&flat), 1);
    assert_eq!(err, "");
    assert!(out.contains("It does not go in as it is."), "{out}");
    assert!(
        out.contains("Shore has no pocket for species tag:"),
        "{out}"
    );
    assert!(out.contains("--pocket"), "{out}");
}

/// An album in another bag for other programs: what it is now and what it was; what has no place.
#[test]
fn another_bag_for_other_programs() {
    let run = |bag: &[&str], code: i32| {
        let mut asked = vec!["compare", LOW_WATER, "--json", "--bag"];
        asked.extend(bag);
        let (text, _) = told(&run(&asked), code);
        let json: Value = serde_json::from_str(&text).expect("an object");
        assert_eq!(json["kind"], "remake");
        assert_eq!(json["exit"], code);
        json
    };
    let fits = run(
        &["6 x 3 x 11 in", "--pocket", "3 in", "--leaf", "ledger"],
        0,
    );
    assert_eq!(fits["verdict"], "fits, proved best");
    let size = |of: &Value| of["leaves"][2]["width"]["text"].clone();
    assert_eq!(size(&fits), "6 in");
    assert_eq!(size(&fits["before"]), "5 1/16 to 5 3/16 in");
    let lacks = run(&["6 x 11 in"], 1);
    assert_eq!(lacks["verdict"], "does not fit");
    assert!(
        lacks["lacks"].as_array().is_some_and(|all| !all.is_empty()),
        "{lacks}"
    );
}

/// A card of A6 in a book of envelopes: in a C6 and in all that are larger; not in a DL, a No. 10 or an A-2.
#[test]
fn envelopes_are_compared_by_what_goes_in() {
    let said = done(&[
        "compare",
        "models/albums/letters.toml",
        "--bags",
        "models/supplies/envelopes.toml",
    ]);
    assert!(
        said.contains("6 fit, ") && said.contains("3 do not fit"),
        "{said}"
    );
    for fits in ["C6", "C5", "C4", "B6", "A-6", "A-7"] {
        let row = format!("{fits} envelope ");
        assert!(
            said.lines().any(|line| line.contains(&row)),
            "{fits}: {said}"
        );
    }
}

/// Other leaves keep their bags; without a photo none is spoken of.
#[test]
fn bags_of_other_leaves_are_not_counted() {
    let (_folder, path) = table("");
    let album = Path::new(&path).with_file_name("album.toml");
    let bare = "front_mat = \"none\"\npocket_mat = \"none\"\nback_mat = \"none\"\n";
    let leaf = |name: &str, bag: &str| {
        format!("[[leaf]]\nname = \"{name}\"\nbag = \"{bag}\"\ncount = 3\n{bare}")
    };
    let text = format!(
        "album = \"Seeds\"\nruler = \"1/8 in\"\nbag = [\n  {{ name = \"tall\", size = \"6 x 9 in\", gusset = \"3 in\", count = 5 }},\n  {{ name = \"low\", size = \"5 x 7 in\", gusset = \"3 in\", count = 5 }},\n]\n{}{}",
        leaf("peas", "tall"),
        leaf("beans", "low")
    );
    std::fs::write(&album, text).expect("written");
    let album = album.to_str().expect("text");
    let (out, _) = told(&run(&["compare", album, "--leaf", "peas"]), 0);
    let words = line(&out);
    // A table counts too.
    std::fs::write(
        &path,
        "name,width,height,gusset,count\nshop,6 in,8 in,3 in,1\n",
    )
    .expect("written");
    let counted = done(&["compare", album, "--leaf", "peas", "--bags", &path]);
    assert!(
        counted.contains("shop: you have 1, you need 3"),
        "{counted}"
    );
    // Of 5 low bags beans keep 3.
    assert!(
        words.contains("Too few at hand. low: you have 2, you need 3."),
        "{out}"
    );
    assert!(
        words.contains("In order of price.") && !words.contains("photo"),
        "{out}"
    );
}
