//! Albums: what is cut from which paper, papers that share pieces, offcuts from one album to the next.

use super::*;

/// Counted by hand, on sheets of 12 x 12 in.
///
/// Wave print (not turned): 5 back mats of 5 1/8 x 7 3/8, 4 front mats of 5 1/8 x 5, a pocket mat of
/// 5 1/8 x 2 7/8 and 2 bands of 4 7/8 x 1 in. Two stand side by side (10 1/4 in). A column of 12 in
/// takes a back mat and nothing but what is 4 5/8 in high: no front mat. So the 5 back mats and the 4
/// front mats stand in 5 and in 2 columns, 7 in all; 7 columns are 4 sheets; pocket mat and bands go
/// below the back mats. 3 sheets have 6 columns: 4 it is.
///
/// Sand plain: the two front mats of 4 7/8 x 7 7/8, one of 5 1/8 x 5, four of 5 1/8 x 2 7/8 and two
/// of 4 7/8 x 3 in have 76 25/32 + 25 5/8 + 58 15/16 + 29 1/4 = 190 19/32 square inches, more than
/// the 144 of one sheet: 2.
///
/// Shell card: 4 photo mats of 4 5/8 x 6 1/8 (113 5/16 square inches together), 4 sketches of
/// 4 5/8 x 7 5/8 (141 1/16), 2 back prints of 4 1/2 x 7 5/8 (68 5/8), 2 lists of 4 1/4 x 8 (68),
/// 4 tags of 2 x 4 (32) and a title of 3 x 2 (6): 429 in all. Three sheets have 432: by area 3 might
/// do, with 3 square inches of waste between them. Four are easily found by hand; that three cannot
/// be cut is the program's proof, not the hand's.
#[test]
fn low_water_takes_as_many_sheets_as_by_hand() {
    let answer = json(&["cut", LOW_WATER]);
    let of = |paper: &str| {
        let sheets = answer["sheets"].as_array().expect("sheets");
        sheets.iter().filter(|s| s["paper"] == paper).count()
    };
    let all = (of("wave print"), of("sand plain"), of("shell card"));
    assert_eq!(all, (4, 2, 4));
    assert_eq!(answer["verdict"], "proved", "{}", answer["stages"]);
    replayed(&["cut", LOW_WATER]);
}

/// A card of 3 x 3 in stands at the tail of a pocket whose edge is 4 in up: 1 in of its tab is hidden, 1/2 in
/// is glued to the card and 1/2 in seen. The tab of a bought card is cut, too. Both lengths of a tab are of the
/// style (common practice, no published source). No sheet is planned for what is so small.
#[test]
fn a_pull_tab_is_a_piece_as_long_as_it_must_be() {
    let folder = tempfile::tempdir().expect("a folder");
    let album = folder.path().join("album.toml");
    let text = |card: &str| {
        format!(
            "album = \"tabs\"\nstyle = \"upright\"\nruler = \"1/8 in\"\n[[leaf]]\nname = \"leaf\"\nbag = \"flat\"\n\
             [[leaf.insert]]\nname = \"note\"\nplace = \"pocket\"\ncount = 2\ngrip = \"tab\"\n{card}\n[[bag]]\n\
             name = \"flat\"\nsize = \"5 x 9 in\"\npocket = {{ edge = \"4 in\" }}\n[[paper]]\nname = \"ivory\"\nsize = \"12 x 12 in\"\n\
             [[card]]\nname = \"ticket\"\nsize = \"3 x 3 in\"\n"
        )
    };
    let path = album.to_str().expect("a path");
    for (card, of) in [
        ("size = \"3 x 3 in\"\npaper = \"ivory\"", "ivory"),
        ("card = \"ticket\"", "strong paper"),
    ] {
        std::fs::write(&album, text(card)).expect("written");
        let cut = ["cut", path, "--sheet", "12 x 12 in"];
        let tab = json(&cut)["from_left"][0].clone();
        assert_eq!(
            (&tab["name"], &tab["count"]),
            (&"note pull tab".into(), &2.into())
        );
        assert_eq!(
            (&tab["width"]["text"], &tab["height"]["text"]),
            (&"3/4 in".into(), &"2 in".into())
        );
        let said = format!("2 of note pull tab, 3/4 x 2 in, of {of}.");
        let told = done(&cut);
        assert!(told.contains(&said), "{said}\n{told}");
    }
}

#[test]
fn every_piece_of_an_album_is_cut_and_no_ready_made_card() {
    for album in [LOW_WATER, HUT_BOOK] {
        let cut = json(&["cut", album]);
        let fit = json(&["fit", album]);
        let mut wanted = Vec::new();
        for leaf in fit["leaves"].as_array().expect("leaves") {
            for part in leaf["parts"].as_array().expect("parts") {
                wanted.push((
                    part,
                    leaf["count"].as_u64().expect("a count"),
                    &leaf["name"],
                ));
            }
            for insert in leaf["inserts"].as_array().expect("inserts") {
                let bought = insert["paper"].is_null();
                let count = leaf["count"].as_u64().expect("a count")
                    * insert["count"].as_u64().expect("a count");
                if !bought {
                    wanted.push((insert, count, &leaf["name"]));
                }
            }
        }
        let pieces = cut["pieces"].as_array().expect("pieces");
        assert_eq!(pieces.len(), wanted.len());
        for (piece, (part, count, leaf)) in pieces.iter().zip(wanted) {
            let name = part["name"].as_str().expect("a name").replace('_', " ");
            assert_eq!(
                (piece["name"].as_str(), &piece["leaf"]),
                (Some(&*name), leaf)
            );
            assert_eq!(
                (&piece["width"], &piece["height"]),
                (&part["width"], &part["height"])
            );
            assert_eq!(piece["count"], count);
            assert_eq!(piece["from"][0]["paper"], part["paper"]);
        }
        // What is printed with a direction is not turned.
        for sheet in cut["sheets"].as_array().expect("sheets") {
            if ["wave print", "contour print"].contains(&sheet["paper"].as_str().expect("a name")) {
                let pieces = sheet["pieces"].as_array().expect("pieces");
                assert!(pieces.iter().all(|p| p["turned"] == false), "{sheet}");
            }
        }
        replayed(&["cut", album]);
    }
}

/// Four front mats that may come from any of several papers.
fn spread(papers: &str, spread: &str, sheets: &str) -> (tempfile::TempDir, String) {
    let folder = tempfile::tempdir().expect("a folder");
    let album = format!(
        r#"album = "Tides"
ruler = "1/8 in"
[[leaf]]
name = "shore"
bag = "small bag"
count = 4
front_mat = [{papers}]
back_mat = "none"
{spread}
[[bag]]
name = "small bag"
size = "4 3/8 x 5 3/4 in"
[[paper]]
name = "wave"
size = "12 x 12 in"
directed = true
sheets = {sheets}
[[paper]]
name = "dune"
size = "12 x 12 in"
[[paper]]
name = "sand"
size = "5 x 12 in"
"#
    );
    let path = written(folder.path(), "album.toml", &album);
    (folder, path)
}

fn from(answer: &Value) -> Vec<(String, u64)> {
    let from = answer["pieces"][0]["from"].as_array().expect("papers");
    let each = from.iter().map(|f| {
        let paper = f["paper"].as_str().expect("a name").to_owned();
        (paper, f["count"].as_u64().expect("a count"))
    });
    each.collect()
}

#[test]
fn pieces_of_several_papers_come_from_the_fewest_sheets() {
    // A mat of 4 1/4 x 5 5/8 in: four out of 12 x 12 in.
    let (_folder, path) = spread("\"wave\", \"dune\"", "", "8");
    let answer = json(&["cut", &path]);
    assert_eq!(
        (&answer["sheets_used"], &answer["verdict"]),
        (&1.into(), &"proved".into())
    );
    assert_eq!(from(&answer).len(), 1);
    assert_eq!(replayed(&["cut", &path]), 1);
    // Where one paper has run out, the others do.
    let (_folder, path) = spread("\"wave\", \"dune\"", "", "0");
    assert_eq!(from(&json(&["cut", &path])), [("dune".to_owned(), 4)]);
}

#[test]
fn spread_pieces_are_no_more_alike_than_was_asked() {
    let (_folder, path) = spread("\"wave\", \"dune\"", "spread = true", "8");
    let answer = json(&["cut", &path]);
    assert_eq!(
        from(&answer),
        [("wave".to_owned(), 2), ("dune".to_owned(), 2)]
    );
    assert_eq!(
        (&answer["sheets_used"], &answer["verdict"]),
        (&2.into(), &"proved".into())
    );
    assert_eq!(replayed(&["cut", &path]), 2);
    let (_folder, path) = spread("\"wave\", \"dune\", \"sand\"", "spread = true", "8");
    let answer = json(&["cut", &path]);
    let each: Vec<u64> = from(&answer).iter().map(|(_, n)| *n).collect();
    assert!(
        each.iter().all(|n| *n <= 2) && each.iter().sum::<u64>() == 4,
        "{each:?}"
    );
    // Two papers are enough for two alike: a third sheet is not cut into.
    assert_eq!(
        (&answer["sheets_used"], &answer["verdict"]),
        (&2.into(), &"proved".into())
    );
    let (_folder, path) = spread("\"wave\", \"dune\"", "spread = 3", "8");
    let each: Vec<u64> = from(&json(&["cut", &path]))
        .iter()
        .map(|(_, n)| *n)
        .collect();
    assert!(each.iter().all(|n| *n <= 3) && each.len() == 2, "{each:?}");
}

#[test]
fn what_has_no_paper_is_told_apart_or_cut_from_a_sheet_that_is_named() {
    let bag = ["cut", "--bag", "5 1/8 x 8 1/2 in"];
    let text = done(&bag);
    assert!(
        text.contains("Cut from any paper you have: none is named\n"),
        "{text}"
    );
    assert!(text.contains("1 of front mat, 5 x 8 3/8 in."), "{text}");
    let with = [&bag[..], &["--sheet", "12 x 12 in"]].concat();
    let text = done(&with);
    assert!(!text.contains("none is named"), "{text}");
    // Three mats of 5 x 8 3/8, 5 x 8 1/4 and 4 1/2 x 8 in: two side by side, none below.
    assert_eq!(replayed(&with), 2);
}

#[test]
fn an_album_that_does_not_fit_has_nothing_to_cut() {
    let bag = ["--bag", "2 x 6 in", "--edge", "2 in"];
    let (cut, _) = told(&[&["cut"], &bag[..]].concat(), 1);
    let (fit, _) = told(&[&["fit"], &bag[..]].concat(), 1);
    assert_eq!(cut, fit);
}

#[test]
fn offcuts_go_into_the_next_album() {
    let folder = tempfile::tempdir().expect("a folder");
    let list = written(
        folder.path(),
        "list.csv",
        "name,width,height,count,turn\nmat,7 in,12 in,1,no\n",
    );
    let offcuts = folder.path().join("offcuts.toml");
    let offcuts = offcuts.to_str().expect("a name");
    let first = [
        "cut",
        "--pieces",
        &list,
        "--sheet",
        "12 x 12 in",
        "--offcuts",
        offcuts,
    ];
    let text = done(&first);
    assert!(text.contains("5 x 12 in"), "{text}");
    let said = fs::read_to_string(offcuts).expect("the offcuts");
    assert!(
        said.contains("[[offcut]]\nsize = \"5 x 12 in\"\ncount = 1\n"),
        "{said}"
    );
    // It is not written over.
    let message = refused(&first);
    assert!(message.contains("`--force` writes over it"), "{message}");
    assert_eq!(fs::read_to_string(offcuts).expect("the offcuts"), said);
    done(&[&first[..], &["--force"]].concat());
    // The next album reads it: its mats come out of the offcut, and no sheet is cut into.
    let album = |more: &str, paper: &str| {
        format!(
            "album = \"Next\"\nruler = \"1/8 in\"\nsupplies = [\"offcuts.toml\"]\n\
             [[leaf]]\nname = \"shore\"\nbag = \"small bag\"\ncount = 2\nback_mat = \"none\"\nfront_mat = \"{paper}\"\n\
             [[bag]]\nname = \"small bag\"\nsize = \"4 3/8 x 5 3/4 in\"\n{more}"
        )
    };
    let next = written(folder.path(), "next.toml", &album("", "any"));
    let text = done(&["cut", &next, "--sheet", "12 x 12 in"]);
    assert!(
        text.contains("0 sheets and 1 offcut. Fewer offcuts are not enough (proved)."),
        "{text}"
    );
    assert!(text.contains("Offcut 1: 5 x 12 in"), "{text}");
    // With its paper's name, and that paper in another file.
    let named = said.replace("size", "paper = \"wave print\"\nsize");
    fs::write(offcuts, named).expect("written");
    let paper = "[[paper]]\nname = \"wave print\"\nsize = \"12 x 12 in\"\nsheets = 3\n";
    let next = written(folder.path(), "next.toml", &album(paper, "wave print"));
    let answer = json(&["cut", &next]);
    assert_eq!(
        (&answer["sheets_used"], &answer["offcuts_used"]),
        (&0.into(), &1.into())
    );
    // A ragged edge is cut off whole sheets only: 4 1/4 + 5 5/8 in would not leave 1/8 in at each side.
    let trimmed = json(&["cut", &next, "--trim", "3/8 in"]);
    assert_eq!(trimmed["offcuts_used"], 1);
}

#[test]
fn an_offcut_that_is_not_needed_is_still_there_afterwards() {
    let folder = tempfile::tempdir().expect("a folder");
    let album = "album = \"Next\"\nruler = \"1/8 in\"\n\
         [[leaf]]\nname = \"shore\"\nbag = \"small bag\"\nback_mat = \"none\"\nfront_mat = \"wave\"\n\
         [[bag]]\nname = \"small bag\"\nsize = \"4 3/8 x 5 3/4 in\"\n\
         [[paper]]\nname = \"wave\"\nsize = \"12 x 12 in\"\n\
         [[offcut]]\npaper = \"wave\"\nsize = \"3 x 9 in\"\ncount = 2\n";
    let path = written(folder.path(), "album.toml", album);
    let offcuts = folder.path().join("offcuts.toml");
    let text = done(&["cut", &path, "--offcuts", offcuts.to_str().expect("a name")]);
    assert!(
        text.contains("2 of 3 x 9 in of wave, at hand and not needed"),
        "{text}"
    );
    let said = fs::read_to_string(offcuts).expect("the offcuts");
    assert!(
        said.contains("paper = \"wave\"\nsize = \"3 x 9 in\"\ncount = 2\n"),
        "{said}"
    );
}
