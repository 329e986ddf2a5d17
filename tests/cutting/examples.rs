//! Published examples: what is printed where straight cuts reach it, and the trap where they do not.
//!
//! One size out of one sheet, the most of it: `--fill`. The sources were read in stored copies; what
//! straight cuts reach was worked out here.

use super::*;

/// The most of one size out of one sheet.
#[track_caller]
fn most(size: (&str, &str), sheet: &str, turn: &str) -> u64 {
    let lines = format!(
        "name,width,height,turn\ncard,{},{},{turn}\n",
        size.0, size.1
    );
    let (_folder, path) = pieces(&lines);
    let arguments = ["cut", "--fill", &path, "--sheet", sheet, "--stages", "free"];
    let answer = json(&arguments);
    assert_eq!(answer["proved"], true, "{answer}");
    let count = answer["pieces"][0]["count"].as_u64().unwrap_or(0);
    let with = |option| [&arguments[..], &[option]].concat();
    let wanted = replay::wanted(&answer);
    assert_eq!(
        replay::table(&done(&with("--csv")), "0 in"),
        (wanted.clone(), 1)
    );
    assert_eq!(replay::text(&done(&arguments), "0 in"), (wanted.clone(), 1));
    replay::drawn(&answer, &wanted);
    count
}

/// "The Art and Practice of Silver Printing", ch. VII: papers of 18 x 22 in. Two of its sizes are no
/// whole nanometres and are refused, not rounded: 3 2/3 and 3 1/7 in.
#[test]
fn silver_prints_out_of_a_sheet() {
    assert_eq!(most(("2 3/4 in", "4 1/2 in"), "18 x 22 in", "yes"), 32);
    assert_eq!(most(("4 2/5 in", "6 in"), "18 x 22 in", "yes"), 15);
    for (height, lower, upper) in [("3 2/3 in", "3.67 in", 36), ("3 1/7 in", "3.145 in", 42)] {
        let (_folder, path) = pieces(&format!("name,width,height\nprint,3 in,{height}\n"));
        let message = refused(&["cut", "--fill", &path, "--sheet", "18 x 22 in"]);
        assert!(
            message.contains(&format!("line 2: `{height}` cannot be kept exactly")),
            "{message}"
        );
        // A sliver more, and one row or column is lost; a sliver less gives all.
        let below = match upper {
            36 => "3.665 in",
            _ => "3.14 in",
        };
        assert_eq!(most(("3 in", below), "18 x 22 in", "yes"), upper);
        assert!(most(("3 in", lower), "18 x 22 in", "yes") < upper);
    }
}

/// A mathematics forum: 16 or 12 in one direction, 17 in both, which is all that the area allows.
#[test]
fn both_directions_give_one_more() {
    assert_eq!(most(("3 in", "2 in"), "13 x 8 in", "no"), 16);
    assert_eq!(most(("2 in", "3 in"), "13 x 8 in", "no"), 12);
    assert_eq!(most(("3 in", "2 in"), "13 x 8 in", "yes"), 17);
}

/// A pinwheel holds one more than any straight cuts do: 4 is printed for the first, 3 can be cut.
#[test]
fn a_pinwheel_cannot_be_cut() {
    assert_eq!(most(("16 in", "20 in"), "39 x 37 in", "yes"), 3);
    assert_eq!(most(("5 in", "7 in"), "12 x 12 in", "no"), 2);
    assert_eq!(most(("5 in", "7 in"), "12 x 12 in", "yes"), 3);
}

/// Literature on loading pallets: 57 is the best, in a pattern that is not cut straight; 56 can be.
#[test]
fn boxes_on_a_pallet() {
    assert_eq!(most(("8 in", "3 in"), "49 x 28 in", "yes"), 56);
}

/// School problems: the first prints 420, the plain grid; straight cuts give nine more.
#[test]
fn a_plain_grid_is_not_the_most() {
    assert_eq!(most(("6.5 cm", "4.5 cm"), "133 x 95 cm", "yes"), 429);
    assert_eq!(most(("6.5 cm", "4.5 cm"), "133 x 95 cm", "no"), 420);
    assert_eq!(most(("5 cm", "5 cm"), "52 x 38 cm", "yes"), 70);
    assert_eq!(most(("2 cm", "10 cm"), "200 x 200 cm", "yes"), 2_000);
}

/// A press's article keeps the direction of the paper: 10 and 8. Turned, the first gives 12.
#[test]
fn the_direction_of_the_paper_costs_pieces() {
    assert_eq!(most(("7 in", "10 in"), "25 x 38 in", "no"), 9);
    assert_eq!(most(("10 in", "7 in"), "25 x 38 in", "no"), 10);
    assert_eq!(most(("7 in", "10 in"), "25 x 38 in", "yes"), 12);
    assert_eq!(
        most(("10 in", "14 in"), "28 x 42 in", "no").max(most(
            ("14 in", "10 in"),
            "28 x 42 in",
            "no"
        )),
        8
    );
}
