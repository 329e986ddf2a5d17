//! What is small, large, tight or beyond reach.

use super::*;

const SHEET: [&str; 2] = ["--sheet", "12 x 12 in"];

#[test]
fn two_pieces_fill_a_sheet_exactly() {
    let (_folder, path) = pieces("name,width,height,count,turn\nhalf,12 in,6 in,2,no\n");
    let arguments = ["cut", "--pieces", &path, "--sheet", "12 x 12 in"];
    assert_eq!(replayed(&arguments), 1);
    let text = flat(&done(&arguments));
    assert!(
        text.contains("1 cut off the height. Off: half, 12 x 6 in. Left: half, 12 x 6 in."),
        "{text}"
    );
    assert!(
        text.contains("Nothing that is 1 in or more each way."),
        "{text}"
    );
}

#[test]
fn a_piece_as_large_as_the_sheet_is_not_cut() {
    let (_folder, path) = pieces("name,width,height,count\nall of it,12 in,12 in,3\n");
    let arguments = ["cut", "--pieces", &path, "--sheet", "12 x 12 in"];
    assert_eq!(replayed(&arguments), 3);
    assert!(done(&arguments).contains("It is all of it as it is."));
}

#[test]
fn a_piece_that_is_too_large_is_told_with_its_line_and_by_how_much() {
    let lines = "name,width,height,count,turn\ntag,2 in,4 in,1,yes\npanel,13 1/4 in,5 in,2,no\nstrip,11 in,12 1/8 in,2,yes\n";
    let (_folder, path) = pieces(lines);
    let message = refused(&["cut", "--pieces", &path, "--sheet", "12 x 12 in"]);
    for part in [
        "panel, 13 1/4 x 5 in, is larger than the sheet, 12 x 12 in: 1 1/4 in too",
        "strip, 11 x 12 1/8 in, is larger than the sheet, 12 x 12 in: 1/8 in too high",
        "line 3: panel",
        "line 4: strip",
    ] {
        assert!(message.contains(part), "{part}\n{message}");
    }
}

#[test]
fn ten_thousand_of_one_size() {
    let (_folder, path) = pieces("name,width,height,count\ntag,2 in,4 in,10000\n");
    // 18 tags of 8 square inches out of 144: nothing is wasted.
    let answer = json(&["cut", "--pieces", &path, SHEET[0], SHEET[1]]);
    assert_eq!(answer["sheets_used"], 556);
    assert_eq!(answer["lower_bound"], 556);
    assert_eq!(answer["verdict"], "proved");
    assert_eq!(answer["sheets"].as_array().expect("sheets").len(), 556);
    let text = done(&["cut", "--pieces", &path, SHEET[0], SHEET[1]]);
    assert!(text.contains("cut alike"), "{text}");
    assert!(text.lines().count() < 80, "{text}");
}

#[test]
fn too_many_pieces_are_refused() {
    for count in ["100001", "18446744073709551616", "-1", "0", "1.5", "many"] {
        let (_folder, path) = pieces(&format!("name,width,height,count\ntag,2 in,4 in,{count}\n"));
        let message = refused(&["cut", "--pieces", &path, SHEET[0], SHEET[1]]);
        assert!(
            message.contains(&format!("`{count}` is not a count")),
            "{message}"
        );
    }
    let (_folder, path) = pieces("name,width,height,count\na,2 in,4 in,60000\nb,3 in,4 in,60000\n");
    let message = refused(&["cut", "--pieces", &path, SHEET[0], SHEET[1]]);
    assert!(
        message.contains("these are 120000 pieces; the most at once is 100000"),
        "{message}"
    );
    // Values that add up to more than can be counted are no panic either.
    let (_folder, path) = pieces("name,width,height,value\na,0.01 mm,0.01 mm,1000000\n");
    let output = run(&["cut", "--fill", &path, "--sheet", "2500 x 2500 mm"]);
    assert!(matches!(output.status.code(), Some(0 | 2)), "{output:?}");
}

#[test]
fn sheets_at_hand_that_do_not_suffice_are_told_with_what_is_missing() {
    let (_folder, path) = pieces("name,width,height,count,turn\nmat,7 in,7 in,5,no\n");
    let arguments = ["cut", "--pieces", &path, "--sheet", "12 x 12 in: 3"];
    let (text, _) = told(&arguments, 1);
    assert!(
        text.contains("The sheets at hand are not enough (proved)."),
        "{text}"
    );
    assert!(text.contains("2 sheets more"), "{text}");
    let (answer, _) = told(&[&arguments[..], &["--json"]].concat(), 1);
    let answer: Value = serde_json::from_str(&answer).expect("JSON");
    assert_eq!(answer["verdict"], "not enough sheets");
    assert_eq!(answer["missing"][0]["more"], 2);
    assert_eq!(answer["exit"], 1);
    replay::drawn(&answer, &replay::wanted(&answer));
}

#[test]
fn several_sheets_with_counts_are_used_as_far_as_they_go() {
    let (_folder, path) = pieces("name,width,height,count,turn\nmat,7 in,7 in,5,no\n");
    // One large sheet holds four; then one small one does.
    let arguments = [
        "cut",
        "--pieces",
        &path,
        "--sheet",
        "8 x 8 in: 2",
        "--sheet",
        "14 x 14 in: 1",
    ];
    assert_eq!(replayed(&arguments), 2);
}

#[test]
fn a_ragged_edge_and_a_blade_take_their_share() {
    let (_folder, path) = pieces("name,width,height,count,turn\nmat,6 in,6 in,4,no\n");
    let sheets = |more: &[&str]| {
        let all = [&["cut", "--pieces", &path, SHEET[0], SHEET[1]], more].concat();
        replayed(&all)
    };
    assert_eq!(sheets(&[]), 1);
    assert_eq!(sheets(&["--trim", "1/8 in"]), 4);
    assert_eq!(sheets(&["--gap", "1/16 in"]), 4);
    let (_folder, path) = pieces("name,width,height,count,turn\nmat,5 7/8 in,5 7/8 in,4,no\n");
    let trimmed = [
        "cut", "--pieces", &path, SHEET[0], SHEET[1], "--trim", "1/8 in",
    ];
    assert_eq!(replayed(&trimmed), 1);
    assert!(
        done(&trimmed).contains("Trim 1/8 in off each edge first; 11 3/4 x 11 3/4 in is left.")
    );
    // 5 7/8 + 1/4 + 5 7/8 = 12 in.
    assert_eq!(
        replayed(&[
            "cut", "--pieces", &path, SHEET[0], SHEET[1], "--gap", "1/4 in"
        ]),
        1
    );
    // The second cut takes what is left: less than the blade's own width.
    assert_eq!(
        replayed(&[
            "cut", "--pieces", &path, SHEET[0], SHEET[1], "--gap", "3/16 in"
        ]),
        1
    );
    let nothing = refused(&[
        "cut", "--pieces", &path, SHEET[0], SHEET[1], "--trim", "6 in",
    ]);
    assert!(nothing.contains("trimming leaves nothing"), "{nothing}");
}

#[test]
fn a_trimmer_does_not_hold_less_than_it_can() {
    let (_folder, path) =
        pieces("name,width,height,count,turn\nmat,11 1/2 in,12 in,1,no\ntag,1/2 in,2 in,3,yes\n");
    let arguments = ["cut", "--pieces", &path, SHEET[0], SHEET[1]];
    assert_eq!(replayed(&arguments), 1);
    let message = refused(&[&arguments[..], &["--narrowest", "1 in"]].concat());
    assert!(
        message.contains("1/2 in narrower than your trimmer can hold"),
        "{message}"
    );
    assert!(message.contains("1/2 in"), "{message}");
}

#[test]
fn more_stages_never_take_more_sheets() {
    let lines = "name,width,height,count,turn\na,5 in,7 in,3,yes\nb,3 1/2 in,5 in,7,yes\nc,2 in,4 in,9,yes\nd,6 1/4 in,3 3/8 in,4,no\n";
    let (_folder, path) = pieces(lines);
    let mut used = Vec::new();
    for stages in ["two", "three", "free"] {
        let arguments = [
            "cut", "--pieces", &path, SHEET[0], SHEET[1], "--stages", stages,
        ];
        used.push(replayed(&arguments));
        let answer = json(&arguments);
        assert_eq!(answer["stages"][0]["chosen"], stages);
        let each = ["two", "three", "free"]
            .map(|s| answer["stages"][0][s]["sheets"].as_u64().expect("sheets"));
        assert!(each[0] >= each[1] && each[1] >= each[2], "{each:?}");
    }
    assert!(used[0] >= used[1] && used[1] >= used[2], "{used:?}");
    let usual = json(&["cut", "--pieces", &path, SHEET[0], SHEET[1]]);
    let wanted = if used[1] == used[2] { "three" } else { "free" };
    assert_eq!(usual["stages"][0]["chosen"], wanted);
}

#[test]
fn other_units_and_other_lists_of_fields() {
    let lines = "\u{feff}Height;Name;Width\r\n148 mm;card;105 mm\r\n";
    let (_folder, path) = pieces(lines);
    assert_eq!(
        replayed(&["cut", "--pieces", &path, "--sheet", "210 x 297 mm"]),
        1
    );
    // A sheet in inches and pieces in millimetres share a step of 0.1 mm.
    assert_eq!(
        replayed(&["cut", "--pieces", &path, "--sheet", "8 1/2 x 11 in"]),
        1
    );
    let tabs = "name\twidth\theight\tcount\nbig, round\t2\"\t4\"\t2\n";
    let (_folder, path) = pieces(tabs);
    let text = done(&[
        "cut", "--pieces", &path, SHEET[0], SHEET[1], "--ruler", "1/16 in",
    ]);
    assert!(
        text.contains("(ruler 1/16 in)") && text.contains("2 of big, round, 2 x 4 in"),
        "{text}"
    );
}

/// By hand: 5 3/4 + 5 3/4 leaves a strip of 1/2 in, 6 3/8 + 6 3/8 is 12 3/4, 7 1/2 + 5 3/4 is
/// 13 1/4, and 5 3/4 + 6 3/8 is 12 1/8 in: no two of the four share a sheet.
#[test]
fn what_the_narrowest_strip_leaves_unproved_is_said_to_be_so() {
    let list = "name,width,height,count,turn\n\
                p0,7 1/2 in,5 3/4 in,1,no\n\
                p1,5 3/4 in,6 3/8 in,3,no\n";
    let (_folder, path) = pieces(list);
    let narrow = [
        "cut",
        "--pieces",
        &path,
        SHEET[0],
        SHEET[1],
        "--narrowest",
        "5/8 in",
    ];
    assert_eq!(replayed(&narrow), 4);
    let text = done(&narrow);
    assert!(!text.contains("too many ways"), "{text}");
    let proved = text.contains("Fewer are not enough (proved).");
    let why = text.contains("strips that are too narrow");
    assert!(proved || why, "{text}");
}

/// What lies on no ruler's mark is refused, not rounded: a piece that is a hair larger may not come out
/// of the sheet any more. What to write instead is told, and does.
#[test]
fn a_size_on_no_mark_is_told_with_the_marks_beside_it() {
    let lines = "name,width,height,count\ncard,5 in,7 in,2\nodd,3.66667 in,4 in,3\n";
    let (_folder, path) = pieces(lines);
    let message = refused(&["cut", "--pieces", &path, SHEET[0], SHEET[1]]);
    for part in [
        "line 3: odd",
        "3.66667 in is on no mark",
        "Type `3 21/32 in` or `3 43/64 in` instead of `3.66667 in`",
    ] {
        assert!(message.contains(part), "{part}\n{message}");
    }
    assert!(!message.contains("card"), "{message}");
    for mark in ["3 21/32 in", "3 43/64 in"] {
        let (_folder, path) = pieces(&lines.replace("3.66667 in", mark));
        replayed(&["cut", "--pieces", &path, SHEET[0], SHEET[1]]);
    }
    // Three of it are as wide as a sheet of 11 in, but for a hair.
    let lines = "name,width,height,count\nodd,93.133418 mm,279.4 mm,3\n";
    let (_folder, path) = pieces(lines);
    let message = refused(&["cut", "--pieces", &path, "--sheet", "279.4 x 279.4 mm"]);
    assert!(message.contains("`93.1 mm` or `93.2 mm`"), "{message}");
}
