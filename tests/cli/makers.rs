//! Kinds of album that a maker writes: what is said of them, and what is weighed.

use super::{done, json, run, told};
use std::fs;
use std::path::{Path, PathBuf};

/// A square of 100 mm, cut as it is told.
fn square(folder: &Path, part: &str, sheet: &str) -> PathBuf {
    let style = format!(
        r#"style = "square"
title = "A square"
cautions = ["blades"]
[quantity]
side = {{ value = "4 in", metric = "100 mm", why = "its side" }}
[[unknown]]
name = "tile.width"
prefer = "small"
why = "cut size"
[[unknown]]
name = "tile.height"
prefer = "small"
why = "cut size"
[[rule]]
name = "a tile is a square"
require = ['side <= tile.width', 'side <= tile.height']
because = "the tile needs {{left}}."
source = "common practice"
[[part]]
name = "tile"
on = []
{part}
"#
    );
    let album = format!(
        r#"album = "One tile"
ruler = "1 mm"
style = "style.toml"
leaf = []
papers = {{ tile = "card" }}
paper = [{{ name = "card", size = "{sheet}", price = "0.50", weight = "200 g/m2" }}]
"#
    );
    fs::write(folder.join("style.toml"), style).expect("a style");
    let path = folder.join("album.toml");
    fs::write(&path, album).expect("an album");
    path
}

#[test]
fn an_outline_weighs_what_it_leaves() {
    let folder = tempfile::tempdir().expect("a folder");
    // 0.01 m2 of 200 g/m2 are 2 g; a half of it along the diagonal is 1 g; without a corner of 50 x 50 mm
    // it is 3/4, whichever way round the corners stand.
    for (outline, grams) in [
        ("", 2.0),
        ("outline = [['0', '0'], ['side', '0'], ['0', 'side']]", 1.0),
        (
            "outline = [['0', '0'], ['side', '0'], ['side', 'side / 2'], ['side / 2', 'side / 2'], ['side / 2', 'side'], ['0', 'side']]",
            1.5,
        ),
        (
            "outline = [['0', 'side'], ['side / 2', 'side'], ['side / 2', 'side / 2'], ['side', 'side / 2'], ['side', '0'], ['0', '0']]",
            1.5,
        ),
    ] {
        let path = square(folder.path(), outline, "200 x 300 mm");
        let answer = json(&["price", path.to_str().expect("a name"), "--json"]);
        assert_eq!(answer["lines"][0]["weight"]["grams"], grams, "{outline}");
    }
}

#[test]
fn a_piece_larger_than_its_sheet_is_named() {
    let folder = tempfile::tempdir().expect("a folder");
    let fit = |sheet| {
        let path = square(folder.path(), "", sheet);
        done(&["fit", path.to_str().expect("a name")])
    };
    let said = "The tile, 100 x 100 mm, is larger than a sheet of card, 80 x 300 mm.";
    let out = fit("80 x 300 mm").replace("\n  ", " ");
    assert!(out.contains(said), "{out}");
    assert!(!fit("100 x 300 mm").contains("larger than"));
}

#[test]
fn a_reason_ends_with_one_stop() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = square(folder.path(), "", "200 x 300 mm");
    let out = done(&["rules", path.to_str().expect("a name")]);
    assert!(out.contains("The tile needs 100 mm. ["), "{out}");
}

/// Every name that `rules --names` offers is typed back in a rule, and can be read there.
#[test]
fn names_that_are_offered_can_be_read() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = |name: &str| folder.path().join(name);
    for kind in ["upright", "envelope", "concertina"] {
        let own = format!("include = [\"{kind}\"]\nstyle = \"own\"\ntitle = \"Own\"\n");
        fs::write(path("names.toml"), &own).expect("a style");
        let album = "album = \"Names\"\nstyle = \"STYLE.toml\"\nruler = \"1/8 in\"\nleaf = []\n";
        let named = |style: &str| {
            let to = path(&format!("{style}-album.toml"));
            fs::write(&to, album.replace("STYLE", style)).expect("an album");
            to.to_str().expect("a name").to_owned()
        };
        let out = done(&["rules", "--names", &named("names")]);
        let listed = out.split("Lists for").next().unwrap_or_default();
        let lines = listed.lines().filter(|line| !line.starts_with("    "));
        let names = lines.filter_map(|line| line.trim().split_once(": "));
        let names: Vec<&str> = names.map(|(name, _)| name).collect();
        assert!(names.len() > 80, "{out}");
        let bound = [
            "leaf in leaves",
            "insert in leaf.inserts",
            "photo in insert.photos",
            "mat in leaf.mats",
            "hole in leaf.holes",
            "slot in leaf.slots",
        ];
        let rules = names.iter().map(|name| {
            format!(
                "[[rule]]\nname = \"reads {name}\"\nfor = {bound:?}\nwhen = 'given({name})'\n\
                 require = 'bag_caliper <= bag_caliper'\nbecause = \"none\"\nsource = \"none\"\n"
            )
        });
        let rules: String = rules.collect();
        fs::write(path("back.toml"), own + &rules).expect("a style");
        let output = run(&["rules", "--names", &named("back")]);
        let (_, err) = told(&output, 0);
        assert_eq!(err, "", "{kind}");
    }
}
