//! What a trimmer and a supply allow, and what takes no longer than it may.

use super::*;
use common::dice::Dice;

#[test]
fn an_offcut_of_just_an_inch_is_kept() {
    for (width, kept) in [("11 in", true), ("11 1/16 in", false)] {
        let (_folder, path) = pieces(&format!(
            "name,width,height,count,turn\nmat,{width},12 in,1,no\n"
        ));
        let answer = json(&["cut", "--pieces", &path, "--sheet", "12 x 12 in"]);
        let offcuts = answer["offcuts"].as_array().expect("offcuts");
        assert_eq!(offcuts.len(), usize::from(kept), "{offcuts:?}");
    }
    // A step more than the sheet has beside it in millimetres: 25 mm are kept, 24 are not.
    for (width, kept) in [("275 mm", true), ("276 mm", false)] {
        let (_folder, path) = pieces(&format!(
            "name,width,height,count,turn\nmat,{width},300 mm,1,no\n"
        ));
        let answer = json(&["cut", "--pieces", &path, "--sheet", "300 x 300 mm"]);
        let offcuts = answer["offcuts"].as_array().expect("offcuts");
        assert_eq!(offcuts.len(), usize::from(kept), "{offcuts:?}");
    }
}

/// One of two pieces of a size may be turned: on a sheet that lies across, and nothing else.
#[test]
fn equal_sizes_are_turned_each_as_it_may_be() {
    let sheets = ["--sheet", "2 x 7 in: 1", "--sheet", "7 x 2 in: 1"];
    for lines in [
        "a,2 in,7 in,1,no\nb,2 in,7 in,1,yes\n",
        "b,2 in,7 in,1,yes\na,2 in,7 in,1,no\n",
    ] {
        let (_folder, path) = pieces(&format!("name,width,height,count,turn\n{lines}"));
        let arguments = [&["cut", "--pieces", &path][..], &sheets].concat();
        let answer = json(&arguments);
        assert_eq!(answer["sheets_used"], 2, "{answer}");
    }
    // Both on sheets that lie across: one of them must not be turned.
    for lines in [
        "a,2 in,7 in,1,no\nb,2 in,7 in,1,yes\n",
        "b,2 in,7 in,1,yes\na,2 in,7 in,1,no\n",
    ] {
        let (_folder, path) = pieces(&format!("name,width,height,count,turn\n{lines}"));
        let message = refused(&["cut", "--pieces", &path, "--sheet", "7 x 2 in: 2"]);
        assert!(message.contains("a, 2 x 7 in"), "{message}");
    }
}

/// Drawn lists: the best use of a sheet keeps to the narrowest strip, and is not refused.
#[test]
fn a_sheet_is_filled_without_strips_that_are_too_narrow() {
    let mut dice = Dice::new(77);
    for _ in 0..12 {
        let mut lines = "name,width,height,turn\n".to_owned();
        for n in 0..dice.between(2, 5) {
            let (w, h) = (dice.between(9, 60), dice.between(9, 60));
            let turn = dice.pick(&["yes", "no"]);
            lines.push_str(&format!("p{n},{w} / 8 in,{h} / 8 in,{turn}\n"));
        }
        let (_folder, path) = pieces(&lines);
        let mut before = f64::INFINITY;
        for narrowest in ["1/8 in", "1/2 in", "1 in"] {
            let arguments = [
                "cut",
                "--fill",
                &path,
                "--sheet",
                "12 x 12 in",
                "--narrowest",
                narrowest,
            ];
            let answer = json(&arguments);
            let value = answer["value"].as_f64().expect("a value");
            assert!(value <= before, "{narrowest}: {lines}");
            before = value;
        }
    }
}

#[test]
fn a_trimmer_that_holds_less_takes_no_fewer_sheets() {
    let sheets = |options: &[&str]| {
        let all = [&["cut", LOW_WATER][..], options].concat();
        json(&all)["sheets_used"].as_u64().expect("sheets")
    };
    let plain = sheets(&[]);
    let mut before = plain;
    for narrowest in ["1/8 in", "1/4 in", "1/2 in", "1 in"] {
        let now = sheets(&["--narrowest", narrowest]);
        assert!(now >= before, "{narrowest}: {now} sheets, {before} before");
        before = now;
    }
    let mut before = plain;
    for gap in ["1/16 in", "1/8 in", "1/4 in"] {
        let now = sheets(&["--gap", gap]);
        assert!(now >= before, "{gap}: {now} sheets, {before} before");
        before = now;
    }
    // What a blade of a quarter inch takes away may be a strip of waste.
    assert!(sheets(&["--narrowest", "1/8 in"]) <= sheets(&["--gap", "1/8 in"]));
}

/// Twelve papers with two sheets each: two pieces of a leaf take a sheet each, so six papers are for
/// fronts and six for backs. An even spread puts three pieces on some of them.
#[test]
fn papers_of_two_sheets_each_are_shared_out_exactly() {
    let folder = tempfile::tempdir().expect("a folder");
    let names: Vec<String> = (1..=12).map(|n| format!("\"design {n}\"")).collect();
    let papers = names.join(", ");
    let mut album = format!(
        r#"album = "Twelve designs"
ruler = "1/8 in"
[[leaf]]
name = "bed"
bag = "small bag"
count = 6
spread = true
front_mat = [{papers}]
pocket_mat = [{papers}]
back_mat = [{papers}]
[[bag]]
name = "small bag"
size = "4 3/8 x 5 3/4 in"
pocket = {{ edge = "2 1/2 in", depth = "2 3/8 in", why = "measured" }}
gusset = "2 1/2 in"
"#
    );
    for name in &names {
        album.push_str(&format!(
            "[[paper]]\nname = {name}\nsize = \"6 x 6 in\"\nsheets = 2\ndirected = true\n"
        ));
    }
    let path = written(folder.path(), "album.toml", &album);
    let answer = json(&["cut", &path]);
    assert_eq!(answer["verdict"], "proved", "{answer}");
    assert_eq!(answer["missing"].as_array().map(Vec::len), Some(0));
    let pieces = answer["pieces"].as_array().expect("pieces");
    assert_eq!(pieces.len(), 3);
    for piece in pieces {
        let from = piece["from"].as_array().expect("papers");
        assert!(
            from.iter().all(|f| f["count"] == 1) && from.len() == 6,
            "{piece}"
        );
    }
    replayed(&["cut", &path]);
}

#[test]
fn an_offcut_gives_no_pieces_of_another_paper() {
    let folder = tempfile::tempdir().expect("a folder");
    let album = r#"album = "Two papers"
ruler = "1/8 in"
[[leaf]]
name = "shore"
bag = "small bag"
front_mat = "sand"
back_mat = "none"
[[leaf.insert]]
name = "map"
place = "mouth"
section = "front"
grip = "notch"
width = "3 in"
height = "4 in"
paper = "moss"
[[bag]]
name = "small bag"
size = "4 3/8 x 5 3/4 in"
gusset = "2 1/2 in"
[[paper]]
name = "sand"
size = "12 x 12 in"
[[paper]]
name = "moss"
size = "12 x 12 in"
"#;
    let path = written(folder.path(), "album.toml", album);
    let answer = json(&["cut", &path]);
    let offcuts = answer["offcuts"].as_array().expect("offcuts");
    let gives = |paper: &str| {
        let of = offcuts.iter().filter(|o| o["paper"] == paper);
        let given = of.flat_map(|o| o["gives"].as_array().expect("a list"));
        given.filter(|g| g["name"] == "map").count()
    };
    assert_eq!(gives("sand"), 0, "{offcuts:?}");
    assert!(gives("moss") > 0, "{offcuts:?}");
}

/// With ±, a piece is cut as large as it may have to be, from a sheet as small as it may be.
#[test]
fn plus_and_minus_go_by_the_worse_end() {
    let folder = tempfile::tempdir().expect("a folder");
    let album = r#"album = "Plus and minus"
ruler = "1/8 in"
[[leaf]]
name = "shore"
bag = "small bag"
front_mat = "none"
back_mat = "none"
[[leaf.insert]]
name = "map"
place = "mouth"
section = "front"
grip = "notch"
width = "3 in ± 1/8 in"
height = "4 in ± 1/8 in"
paper = "moss"
[[bag]]
name = "small bag"
size = "4 3/8 x 5 3/4 in"
gusset = "2 1/2 in"
[[paper]]
name = "moss"
size = "12 in ± 1/8 in x 11 in"
"#;
    let path = written(folder.path(), "album.toml", album);
    let answer = json(&["cut", &path]);
    let text = |of: &Value, side: &str| of[side]["text"].as_str().expect("a length").to_owned();
    let piece = answer["pieces"]
        .as_array()
        .expect("pieces")
        .iter()
        .find(|p| p["name"] == "map");
    let piece = piece.expect("the map");
    assert_eq!(
        (text(piece, "width"), text(piece, "height")),
        ("3 1/8 in".to_owned(), "4 1/8 in".to_owned())
    );
    let said = flat(&done(&["cut", &path]));
    assert!(said.contains("Sheet 1: 11 7/8 x 11 in"), "{said}");
}

/// A title of a twentieth of a millimetre: thousands of positions for cuts, and thousands of titles
/// that each offcut could still give.
#[test]
fn a_very_thin_piece_is_cut_like_any_other() {
    let (_folder, path) = pieces(
        "name,width,height,count,turn\ntitle,0.05 mm,60 mm,1,yes\nmat,159 mm,210 mm,5,yes\n",
    );
    let arguments = [
        "cut",
        "--pieces",
        &path,
        "--sheet",
        "210 x 297 mm",
        "--time",
        "1",
    ];
    let answer = json(&arguments);
    assert_eq!(answer["sheets_used"], 5, "{answer}");
}
