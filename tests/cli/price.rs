//! `price`: what to ask, what it weighs, which parcel takes it.

use super::{json, line, refused, run, told};
use serde_json::Value;
use std::fs;

/// What `price` answers to an album of two leaves of one bag, with what else is said of it.
#[track_caller]
fn priced(more: &str, options: &[&str]) -> Value {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("album.toml");
    fs::write(&path, album(more)).expect("an album");
    let path = path.to_str().expect("a name");
    json(&[&["price", path, "--json"], options].concat())
}

fn album(more: &str) -> String {
    format!(
        r#"album = "Two"
ruler = "1 mm"
leaf = [{{ name = "page", bag = "flat", count = 2, front_mat = "none", pocket_mat = "none", back_mat = "plain" }}]
bag = [{{ name = "flat", size = "210 x 297 mm", bottom = "pinch", pack = 50, price = "4.20", weight = "80 g/m2" }}]
paper = [{{ name = "plain", size = "300 x 300 mm", price = "0.50", weight = "100 g/m2" }}]
{more}"#
    )
}

#[test]
fn what_is_cut_and_counted_is_weighed() {
    let answer = priced("", &[]);
    let lines = answer["lines"].as_array().expect("lines");
    // Two bags of two sheets of A4 at 80 g/m2, 4.9896 g each.
    assert_eq!(lines[0]["weight"]["grams"], 19.9584);
    assert_eq!(lines[0]["weight"]["grams_most"], 19.9584);
    let mat = ["back_mat.width", "back_mat.height"].map(|name| {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("album.toml");
        fs::write(&path, album("")).expect("an album");
        let fit = json(&["fit", path.to_str().expect("a name"), "--json"]);
        super::size(&fit, "page", name).1
    });
    let mats = lines[1]["weight"]["grams"].as_f64().expect("a number");
    assert!(
        (mats - 2.0 * mat[0] * mat[1] * 100e-6).abs() < 1e-6,
        "{mats} {mat:?}"
    );
}

#[test]
fn material_work_and_fees_make_a_price() {
    // 2 of 50 bags for 4.20, and a sheet of 0.50 for each mat: 1.168, up to 1.17; in whole packs 5.20.
    let said = "[price]\nhour = \"18.00\"\nminutes = 30\nfees = [\"6.5 %\", \"0.30\"]\n";
    let answer = priced(said, &["--margin", "40 %"]);
    let costs = &answer["costs"];
    let money = ["used", "packs", "work", "all"].map(|key| costs[key].as_str().expect("money"));
    assert_eq!(money, ["1.17", "5.20", "9.00", "10.17"]);
    // (10.17 + 0.30) / (1 - 0.065 - 0.4) = 19.57; its fee is 1.27 + 0.30, and 7.83 are left: 40.01 %.
    let asked = &answer["asked"];
    let money = ["price", "fees", "left", "margin"].map(|key| asked[key].as_str().expect("money"));
    assert_eq!(money, ["19.57", "1.57", "7.83", "40 %"]);
    let tried = priced(said, &["--try", "10.00"]);
    assert_eq!(tried["asked"]["left"], "-1.12");
    let packs = priced(&format!("{said}material = \"packs\""), &["--markup", "0 %"]);
    assert_eq!(packs["costs"]["all"], "14.20");
}

#[test]
fn an_album_has_its_own_times() {
    let minutes = |more| {
        priced(more, &[])["costs"]["minutes"]
            .as_i64()
            .expect("minutes")
    };
    let usual = minutes("");
    assert_eq!(minutes("[minutes]\n\"Bind it\" = 60"), usual + 55);
    assert_eq!(minutes("[price]\nminutes = 7"), 7);
}

/// A template is made once for all copies (common practice, no published source): of its 24 minutes each of
/// twelve albums has 2, and at 60.00 an hour a minute costs 1.00.
#[test]
fn what_is_made_once_is_counted_once() {
    let said = "[minutes]\n\"Measure a finished leaf\" = 0\n\"Make the template\" = 24\n[price]\nhour = \"60.00\"\n";
    let [one, twelve] = [&[][..], &["--copies", "12"]].map(|options| priced(said, options));
    let minutes = |answer: &Value| answer["costs"]["minutes"].as_i64().expect("minutes");
    assert_eq!(minutes(&one) - minutes(&twelve), 22);
    for answer in [&one, &twelve] {
        assert_eq!(answer["costs"]["once"], 24);
        assert_eq!(answer["costs"]["work"], format!("{}.00", minutes(answer)));
    }
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("album.toml");
    fs::write(&path, album(said)).expect("an album");
    let text = line(&super::done(&[
        "price",
        path.to_str().expect("a name"),
        "--copies",
        "12",
    ]));
    let each = minutes(&twelve) - 2;
    for part in [
        format!("{each} minutes and its share of 24 at 60.00 an hour"),
        format!("each album {each}"),
        "once for all 12 24".to_owned(),
        "Make the template 24 yours, once for all 12".to_owned(),
    ] {
        assert!(text.contains(&part), "{part}\n{text}");
    }
}

#[test]
fn the_cheapest_parcel_that_takes_it() {
    let parcels = r#"
[[parcel]]
name = "cheap but small"
inside = "200 x 290 x 40 mm"
price = "1.00"
[[parcel]]
name = "wide envelope"
inside = "240 x 330 mm"
soft = true
padding = "5 mm"
price = "3.00"
[[parcel]]
name = "narrow envelope"
inside = "210 x 400 mm"
soft = true
price = "2.00"
[[parcel]]
name = "light"
inside = "400 x 400 x 400 mm"
most = "10 g"
price = "0.50"
[[parcel]]
name = "on its side"
inside = "40 x 300 x 215 mm"
around = "800 mm"
price = "2.50"
"#;
    let answer = priced(parcels, &[]);
    let all = answer["parcels"].as_array().expect("parcels").iter();
    let told: Vec<(&str, bool)> = all
        .map(|it| {
            (
                it["name"].as_str().expect("a name"),
                it["takes"].as_bool().expect("it says"),
            )
        })
        .collect();
    // 300 + 2 (215 + 40) is 810.
    let expected = [
        ("wide envelope", true),
        ("light", false),
        ("cheap but small", false),
        ("narrow envelope", false),
        ("on its side", false),
    ];
    assert_eq!(told, expected);
}

#[test]
fn what_makes_no_price_is_refused() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("album.toml");
    fs::write(
        &path,
        album("[price]\nfees = [\"30 %\"]\n[minutes]\n\"Bindit\" = 5"),
    )
    .expect("an album");
    let path = path.to_str().expect("a name");
    for (options, says) in [
        (&["--margin", "100 %"][..], "leaves nothing of it"),
        (&["--margin", "70 %"], "Type a margin below 70 %"),
        (&["--margin", "-5 %"], "--margin"),
        (&["--try", "-5"], "delete the minus"),
        (&["--margin", "40 %", "--try", "5"], "--margin"),
        (&[], "did you mean `Bind it`"),
    ] {
        let err = refused(&[&["price", path], options].concat());
        assert!(
            err.to_lowercase().contains(&says.to_lowercase()),
            "{options:?}: {err}"
        );
    }
    let (out, _) = told(&run(&["price", "--bag", "2 x 6 in", "--edge", "2 in"]), 1);
    assert!(out.contains("It does not fit."), "{out}");
}

/// A class of twelve with a spare kit: what a teacher and a student read.
#[test]
fn a_class_gets_its_kits() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("kits");
    let pages = file.to_str().expect("a name");
    let kit = ["print", super::LOW_WATER, "--kit", "--svg", pages];
    let said = super::done(&[&kit[..], &["--copies", "12", "--spare", "1"]].concat());
    let mut files: Vec<_> = fs::read_dir(&file).expect("pages").flatten().collect();
    files.sort_by_key(|entry| entry.path());
    let text: Vec<String> = files
        .iter()
        .map(|page| fs::read_to_string(page.path()).expect("a page"))
        .collect();
    assert!(said.contains(&format!("{} pages", text.len())), "{said}");
    let words = |page: &str| {
        let tags = page
            .split('<')
            .filter_map(|tag| Some(tag.split_once('>')?.1));
        tags.collect::<Vec<_>>().join(" ").replace('\u{a0}', " ")
    };
    let all = words(&text.join(" "));
    // 5 + 2 bags a kit: 13 kits use 65 and 26. What is bought is what `buy` buys.
    let buy = super::done(&["buy", super::LOW_WATER, "--copies", "12", "--spare", "1"]);
    let bought = buy.lines().skip_while(|line| *line != "Buy").nth(1);
    let bought = bought.expect("a line").trim();
    for said in [
        "13 kits: 12 and 1 spare",
        bought,
        "65",
        "39",
        "For each student",
        "5 bags",
    ] {
        assert!(all.contains(said), "{said}\n{all}");
    }
}

/// Two albums of one sheet: what is used of it is shared by area, and together they cost what it costs.
#[test]
fn albums_made_together_share_their_sheets() {
    let folder = tempfile::tempdir().expect("a folder");
    let write = |name: &str, text: &str| {
        let path = folder.path().join(name);
        fs::write(&path, text).expect("an album");
        path.to_str().expect("a name").to_owned()
    };
    let one = write("one.toml", &album("[price]\nmargin = \"40 %\"\n"));
    let alone = json(&["price", &one, "--copies", "2", "--json"]);
    // The same album twice is as dear as two copies of it.
    let twice = json(&["price", &one, &one, "--json"]);
    for album in twice["albums"].as_array().expect("albums") {
        assert_eq!(album["costs"]["used"], alone["costs"]["used"]);
        assert_eq!(album["asked"]["price"], alone["asked"]["price"]);
    }
    let small = album("[price]\nmargin = \"40 %\"\n").replace("count = 2", "count = 1");
    let small = write("small.toml", &small.replace("\"Two\"", "\"One\""));
    let both = json(&["price", &one, &format!("{small}:3"), "--json"]);
    let cents = |value: &Value| -> i64 {
        let text = value.as_str().expect("money").replace('.', "");
        text.parse().expect("a number")
    };
    let albums = both["albums"].as_array().expect("albums");
    let copies = [1, 3];
    for (key, total) in [("costs", "costs"), ("price", "price")] {
        let each = albums.iter().zip(copies).map(|(album, n)| match key {
            "costs" => n * cents(&album["costs"]["all"]),
            _ => n * cents(&album["asked"]["price"]),
        });
        assert_eq!(each.sum::<i64>(), cents(&both[total]));
    }
    // 5 bags of 50 for 4.20 and 5 mats of 0.50, each album's to within a cent.
    let all: i64 = albums
        .iter()
        .zip(copies)
        .map(|(it, n)| n * cents(&it["costs"]["used"]))
        .sum();
    assert!((42 + 250..=42 + 250 + 4).contains(&all), "{all}");
    let text = super::done(&["price", &one, &format!("{small}:3")]);
    assert!(
        text.contains("All of them") && text.contains("shared out"),
        "{text}"
    );
}

/// Bags alone: nothing is cut, mounted or tucked in, so no minutes count for that; and a price that is too
/// low says what is lost and what to ask.
#[test]
fn what_the_album_does_not_have_takes_no_time() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("album.toml");
    // 2 of 10 bags for 5.00, and half an hour: 7.00; a tenth and 0.20 of the price are kept by the shop.
    let text = "album = \"Bare\"\nruler = \"1/8 in\"\nbag = [{ name = \"kraft\", size = \"6 x 9 in\", gusset = \"3 in\", pack = 10, price = \"5.00\" }]\n\
        leaf = [{ name = \"page\", bag = \"kraft\", count = 2, front_mat = \"none\", pocket_mat = \"none\", back_mat = \"none\" }]\n\
        [price]\nhour = \"12.00\"\nminutes = 30\nfees = [\"10 %\", \"0.20\"]\nmargin = \"40 %\"\n";
    fs::write(&path, text).expect("an album");
    let path = path.to_str().expect("a name");
    let answer = json(&["price", path, "--json"]);
    let steps = answer["steps"].as_array().expect("steps").iter();
    let titles: Vec<&str> = steps.filter_map(|step| step["title"].as_str()).collect();
    for title in [
        "Cut the papers",
        "Glue the mats",
        "Trim and mount the photos",
        "Tuck everything in",
    ] {
        assert!(!titles.contains(&title), "{titles:?}");
    }
    assert!(titles.contains(&"Punch the holes"), "{titles:?}");
    let said = |options: &[&str]| {
        let (out, _) = told(&run(&[&["price", path], options].concat()), 0);
        line(&out)
    };
    // 6.00 - 7.00 - 0.80; (7.00 + 0.20) / 0.9 = 8.00; / 0.5 = 14.40.
    let low = said(&["--try", "6.00"]);
    let lost =
        "At 6.00 you lose 1.80 on every album. Ask 8.00 to lose nothing; 14.40 to keep 40 % of it.";
    assert!(low.contains(lost), "{low}");
    assert!(low.contains("6 places to tuck into: pocket (2), "), "{low}");
    assert!(low.contains("Nothing to tuck in comes with it."), "{low}");
    let middling = said(&["--try", "10.00"]);
    assert!(
        middling.contains("At 10.00, 1.80 is left. Ask 14.40 to keep 40 % of it."),
        "{middling}"
    );
    assert!(
        said(&["--try", "20.00"]).contains("At 20.00, 10.80 is left. "),
        "{middling}"
    );
}
