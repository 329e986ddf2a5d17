//! Several copies, and several albums, in one cutting plan.

use super::{LOW_WATER, done, refused, run, told};
use serde_json::Value;

const HARBOUR: &str = "models/albums/harbour.toml";

/// Sheets of each paper, and whether fewer were ruled out.
fn sheets(arguments: &[&str], code: i32) -> (Vec<(String, u64)>, bool) {
    let mut all = vec!["cut", "--json"];
    all.extend(arguments);
    let (out, _) = told(&run(&all), code);
    let plan: Value = serde_json::from_str(&out).expect("JSON");
    let mut found: Vec<(String, u64)> = Vec::new();
    for sheet in plan["sheets"].as_array().expect("sheets") {
        let paper = sheet["paper"].as_str().expect("a name").to_owned();
        match found.iter_mut().find(|(name, _)| *name == paper) {
            Some((_, count)) => *count += 1,
            None => found.push((paper, 1)),
        }
    }
    (found, plan["proved"].as_bool().expect("yes or no"))
}

fn of(paper: &str, count: u64) -> (String, u64) {
    (paper.to_owned(), count)
}

/// Twelve alone take 2 + 4 + 4 sheets each: 120. Together nine fewer.
#[test]
fn copies_are_cut_from_shared_sheets() {
    let together = [
        of("sand plain", 21),
        of("wave print", 42),
        of("shell card", 48),
    ];
    let (found, proved) = sheets(&[LOW_WATER, "--copies", "12"], 1);
    assert_eq!((found.as_slice(), proved), (&together[..], true));
    // The number behind the album's name, or with a spare one.
    for same in [
        vec!["models/albums/low-water.toml:12"],
        vec![LOW_WATER, "--copies", "11", "--spare", "1"],
    ] {
        assert_eq!(sheets(&same, 1), (found.clone(), true), "{same:?}");
    }
}

/// What two albums name alike is there once; pieces of both come off one sheet.
#[test]
fn albums_share_their_supplies() {
    let words = done(&["cut", LOW_WATER, HARBOUR]);
    assert!(
        words.starts_with("Low Water, four Saturdays; Harbour (ruler 1/8 in)"),
        "{words}"
    );
    assert!(
        words.contains("Low Water, four Saturdays cover front mat"),
        "{words}"
    );
    let (one, other) = (sheets(&[LOW_WATER], 0).0, sheets(&[HARBOUR], 0).0);
    let (both, proved) = sheets(&[LOW_WATER, HARBOUR], 0);
    let sum = |all: &[(String, u64)]| all.iter().map(|(_, n)| n).sum::<u64>();
    assert!(proved && sum(&both) <= sum(&one) + sum(&other));
    assert_eq!(
        both.iter().filter(|(name, _)| name == "sand plain").count(),
        1
    );
}

#[test]
fn what_cannot_be_made_together_is_refused() {
    let folder = tempfile::tempdir().expect("a folder");
    let other = folder.path().join("other.toml");
    let text = "album = \"Other\"\nruler = \"1/8 in\"\nleaf = [{ name = \"page\", bag = \"small brown\" }]\n\
                bag = [{ name = \"small brown\", size = \"5 x 8 in\", gusset = \"3 in\" }]\n";
    std::fs::write(&other, text).expect("written");
    let other = other.to_str().expect("a name");
    let said = refused(&["cut", LOW_WATER, other]);
    assert!(
        said.contains("two albums say different things of the bag `small brown`"),
        "{said}"
    );
    for (arguments, wants) in [
        (
            ["cut", "models/albums/low-water.toml:0"],
            "Type a whole number from 1 to 1000 behind the colon",
        ),
        (
            ["cut", "models/albums/low-water.toml:99999999999999999999"],
            "Type a whole number from 1 to 1000",
        ),
    ] {
        let said = refused(&arguments);
        assert!(said.contains(wants), "{said}");
    }
    let said = refused(&[
        "cut",
        "--pieces",
        "models/pieces/cards.csv",
        "--sheet",
        "12 x 12 in",
        "--copies",
        "2",
    ]);
    assert!(said.contains("`--copies` goes with an album"), "{said}");
}
