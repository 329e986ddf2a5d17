//! Kinds of album that a maker writes: what is said of them, and what is weighed.

use super::{done, json, kind, laid, line, pages, refused, run, told};
use tempfile::TempDir;

/// A square of 100 mm, cut as it is told.
fn square(part: &str, sheet: &str) -> (TempDir, String) {
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
    laid(&[("style.toml", &style), ("album.toml", &album)])
}

#[test]
fn an_outline_weighs_what_it_leaves() {
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
        let (_folder, album) = square(outline, "200 x 300 mm");
        let answer = json(&["price", &album, "--json"]);
        assert_eq!(answer["lines"][0]["weight"]["grams"], grams, "{outline}");
    }
}

#[test]
fn a_piece_larger_than_its_sheet_is_named() {
    let fit = |sheet| {
        let (_folder, album) = square("", sheet);
        done(&["fit", &album])
    };
    let (_folder, album) = square("", "80 x 300 mm");
    let facts = &json(&["fit", "--json", &album])["larger_than_sheet"][0];
    assert_eq!(
        (&facts["name"], &facts["sheet"]["width"]["mm"]),
        (&"tile".into(), &80.0.into())
    );
    let said = "The tile, 100 x 100 mm, is larger than a sheet of card, 80 x 300 mm.";
    let out = line(&fit("80 x 300 mm"));
    assert!(out.contains(said), "{out}");
    assert!(!fit("100 x 300 mm").contains("larger than"));
}

#[test]
fn a_reason_ends_with_one_stop() {
    let (_folder, album) = square("", "200 x 300 mm");
    let out = done(&["rules", &album]);
    assert!(out.contains("The tile needs 100 mm. ["), "{out}");
}

/// Every name that `rules --names` offers is typed back in a rule, and can be read there.
#[test]
fn names_that_are_offered_can_be_read() {
    for kind in ["upright", "envelope", "concertina"] {
        let own = format!("include = [\"{kind}\"]\nstyle = \"own\"\ntitle = \"Own\"\n");
        let album = "album = \"Names\"\nstyle = \"style.toml\"\nruler = \"1/8 in\"\nleaf = []\n";
        let named = |style: &str| {
            let (_folder, album) = laid(&[("style.toml", style), ("album.toml", album)]);
            run(&["rules", "--names", &album])
        };
        let (out, _) = told(&named(&own), 0);
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
        let (_, err) = told(&named(&(own + &rules)), 0);
        assert_eq!(err, "", "{kind}");
    }
}

/// The pouches of `big` are empty: there is nothing to push into them, and nothing is said of it.
#[test]
fn nothing_is_said_of_what_is_in_an_empty_slot() {
    let push = "[[step]]\ntitle = \"Push\"\ndo = [{ for = [\"leaf in leaves\", \"slot in leaf.slots\"], say = \"{leaf.each}: push {slot.inserts} in.\" }]\n[[step]]\ntitle = \"String it\"";
    let empty = "[[leaf.insert]]\nname = \"tale\"\nplace = \"pouch\"\npaper = \"card\"\nsize = \"90 x 120 mm\"\n";
    let (_folder, album) = kind(
        "bunting",
        &[("[[step]]\ntitle = \"String it\"", push), (empty, "")],
    );
    let page = pages(&album, &["--pages", "steps"]).concat();
    assert!(page.contains("push wish in"), "{page}");
    assert!(
        !page.contains("push  in") && !page.contains("push in"),
        "{page}"
    );
}

#[test]
fn one_and_several_of_what_has_no_title() {
    let titles = ("title = [\"pouch\", \"pouches\"]\n", "");
    let (_folder, album) = kind("bunting", &[titles]);
    let out = done(&["fit", &album]);
    assert!(
        out.contains("3 leaves of red bag") && out.contains("A leaf"),
        "{out}"
    );
}

#[test]
fn minutes_are_typed_without_a_unit() {
    let (_folder, album) = kind(
        "bunting",
        &[("minutes = 'album.leaves'", "minutes = '20 min'")],
    );
    let said = "Type a number of minutes without a unit: `minutes = '20'`.";
    assert!(refused(&["fit", &album]).contains(said));
}
