//! What is wrong with a list of pieces, all of it at once, each with its line.

use super::*;

#[test]
fn every_wrong_row_is_named_with_what_to_type() {
    let lines = "name,width,height,count,turn\n\
                 # remarks and empty lines say nothing\n\
                 \n\
                 tag,2,4 in,3,yes\n\
                 ,2 in,4 in,3,yes\n\
                 mat,5 1/8 in,,1,no\n\
                 card,4 in,6 in,x,maybe\n\
                 list,4 in,6 in\n\
                 big, round,4 in,6 in,1,yes\n\
                 \"open,4 in,6 in,1,yes\n\
                 dot,0 in,1 in,1,yes\n\
                 good,1 in,1 in,1,yes\n";
    let (_folder, path) = pieces(lines);
    let message = refused(&["cut", "--pieces", &path, "--sheet", "12 x 12 in"]);
    for (line, what, help) in [
        ("4: ", "`2` has no unit", "Type `2 in` or `2 mm`"),
        ("5: ", "`name` is empty", "Type it, or delete the line"),
        ("6: ", "`height` is empty", "Type a length with its unit"),
        (
            "7: ",
            "`x` is not a count",
            "Type a whole number from 1 to 100000",
        ),
        ("7: ", "`turn` cannot be `maybe`", "Type `yes` or `no`"),
        (
            "8: ",
            "this line has 3 fields; the first line has 5",
            "Leave a field empty",
        ),
        (
            "9: ",
            "this line has 6 fields",
            "Type double quotes around a field with a comma in it",
        ),
        (
            "10: ",
            "the closing quote is missing",
            "delete the first quote",
        ),
        ("11: ", "`width` must be more than zero", "Measure it"),
    ] {
        let told = format!("line {line}{what}");
        assert!(message.contains(&told), "{told}\n{message}");
        assert!(message.contains(help), "{help}\n{message}");
    }
    assert!(message.contains("9 problems in "), "{message}");
    assert!(!message.contains("good"), "{message}");
}

#[test]
fn a_name_is_seen_and_has_an_end() {
    let long = "x".repeat(100_000);
    let lines = format!("name,width,height\na\u{0}b,5 in,7 in\n{long},5 in,7 in\n");
    let (_folder, path) = pieces(&lines);
    let message = refused(&["cut", "--pieces", &path, "--sheet", "12 x 12 in"]);
    assert!(message.contains("2 problems in "), "{message}");
    assert!(
        message.contains("holds an invisible character"),
        "{message}"
    );
    assert!(message.contains("the name has 100000 letters"), "{message}");
    assert!(message.contains("the most is 200"), "{message}");
}

#[test]
fn the_first_line_must_name_the_columns() {
    for (head, what) in [
        ("name,width\n", "there is no column `height`"),
        ("name,widht,height\n", "Did you mean `width`?"),
        (
            "name,width,height,width\n",
            "two columns are headed `width`",
        ),
        (
            "tag,2 in,4 in\n",
            "Begin with the line `name,width,height,count,turn`",
        ),
        ("name,width,height\n", "the list has no pieces"),
        ("", "the list has no pieces"),
    ] {
        let (_folder, path) = pieces(head);
        let message = refused(&["cut", "--pieces", &path, "--sheet", "12 x 12 in"]);
        assert!(message.contains(what), "{head}: {what}\n{message}");
    }
}

#[test]
fn options_are_told_like_files() {
    let (_folder, path) = pieces("name,width,height\ntag,2 in,4 in\n");
    let message = refused(&[
        "cut",
        "--pieces",
        &path,
        "--sheet",
        "12 x 12",
        "--sheet",
        "6 x 6 in: none",
        "--trim",
        "1/8",
    ]);
    for what in [
        "`12 x 12` has no unit",
        "`none` is not a number of sheets",
        "Type a whole number from 1 to 1000000: `--sheet \"12 x 12 in: 3\"`",
        "`1/8` has no unit",
    ] {
        assert!(message.contains(what), "{what}\n{message}");
    }
    let message = refused(&["cut", "--pieces", &path]);
    assert!(message.contains("--sheet \"12 x 12 in\""), "{message}");
    let message = refused(&["cut", "--pieces", "nowhere.csv", "--sheet", "12 x 12 in"]);
    assert!(
        message.contains("nowhere.csv: there is no such file"),
        "{message}"
    );
    let message = refused(&[
        "cut",
        "--pieces",
        &path,
        "--sheet",
        "12 x 12 in",
        "--pocket",
        "3 in",
    ]);
    assert!(
        message.contains("`--pocket` goes with an album"),
        "{message}"
    );
    refused(&["cut", LOW_WATER, "--pieces", &path]);
    let message = refused(&[
        "cut", "--fill", &path, "--sheet", "6 x 6 in", "--sheet", "7 x 7 in",
    ]);
    assert!(message.contains("Type `--sheet` once"), "{message}");
}

#[test]
fn values_decide_what_fills_a_sheet() {
    // Six by area alone: 3 x 4 in fills 6 x 12 in without waste. Worth more: five of 5 x 2 in.
    let lines = "name,width,height,value,turn\ncard,3 in,4 in,2,no\nstrip,5 in,2 in,9,no\n";
    let (_folder, path) = pieces(lines);
    let answer = json(&["cut", "--fill", &path, "--sheet", "6 x 12 in"]);
    assert_eq!(answer["value"], 6 * 9);
    assert_eq!(answer["pieces"][0]["name"], "strip");
    assert_eq!(answer["valued"], true);
    let plain = "name,width,height,turn\ncard,3 in,4 in,no\nstrip,5 in,2 in,no\n";
    let (_folder, path) = pieces(plain);
    let answer = json(&["cut", "--fill", &path, "--sheet", "6 x 12 in"]);
    assert_eq!(answer["used_permille"], 1_000);
    assert_eq!(answer["pieces"][0]["count"], 6);
    let text = done(&["cut", "--fill", &path, "--sheet", "6 x 12 in"]);
    assert!(text.contains("100.0 % of the sheet is used"), "{text}");
}
