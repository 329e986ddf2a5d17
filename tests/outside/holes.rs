//! Published hole patterns, and a handbook's rule for holes, in whole albums.

use super::shop::*;
use tuckwright::length::Interval;

const HEAD_GIVEN: &str = "holes of a given spacing keep off the head";
const TAIL_GIVEN: &str = "holes of a given spacing keep off the tail";
const CROWD: &str = "end holes do not crowd the middle";

fn punched(pattern: &str, ruler: &str, size: &str, set: &str) -> String {
    let rest = format!("[template]\npattern = \"{pattern}\"\n[set]\n{set}");
    bare(ruler, size, &rest)
}

/// ISO 838:1974: two holes of 6 mm, 80 mm apart, 12 mm from the edge, symmetric on it; read in
/// several copies of an encyclopaedia's article on hole punches. A5 is 148 x 210 mm, read.
/// Derived: (210 - 80) / 2 = 65.
#[test]
fn iso_838_on_a5() {
    let plan = plan(&punched("ISO 838", "1 mm", "148 x 210 mm", ""));
    stand_at(&plan, &["65 mm", "145 mm"]);
    assert_eq!(plan.holes.diameter, Interval::exact(length("6 mm")));
    assert_eq!(plan.holes.edge, Interval::exact(length("12 mm")));
    assert_eq!(plan.holes.pitch, Some(Interval::exact(length("80 mm"))));
    assert_eq!(plan.holes.pattern.as_deref(), Some("ISO 838"));
    assert_eq!(not_kept(&plan), []);
}

/// The same holes marked with an inch ruler. 65 mm are 20.47 eighths: with 20 eighths (63.5 mm)
/// below there are 210 - 63.5 - 80 = 66.5 mm above, 3 more, within one step of 3.175; with 21 there
/// would be 3.35 less. Derived here.
#[test]
fn iso_838_with_an_inch_ruler() {
    let plan = plan(&punched("ISO 838", "1/8 in", "148 x 210 mm", ""));
    stand_at(&plan, &["63.5 mm", "143.5 mm"]);
    assert_eq!(not_kept(&plan), []);
}

/// ISO 838 wants an edge of at least 100 mm (read, as above): 10 mm remain at each end. Our least end
/// is 1 1/2 diameters, 9 mm, so what is published fits, and 98 mm is ours.
#[test]
fn the_shortest_edge_of_iso_838() {
    let on = |height: &str| punched("ISO 838", "1 mm", &format!("148 x {height} mm"), "");
    stand_at(&plan(&on("100")), &["10 mm", "90 mm"]);
    stand_at(&plan(&on("98")), &["9 mm", "89 mm"]);
    clashes(&clash(&on("97")), &[TAIL_GIVEN, HEAD_GIVEN]);
}

/// The four-hole extension: one hole more 80 mm above and below, DIN 821-2:1973 tabulates
/// 80 + 80 + 80 for A4, 210 x 297 mm. Read. Derived: (297 - 240) / 2 = 28.5; the inner two are those
/// of ISO 838, 108.5 and 188.5 mm above the tail.
#[test]
fn four_holes_on_a4() {
    let half = plan(&punched("ISO 838 four-hole", "0.5 mm", "210 x 297 mm", ""));
    stand_at(&half, &["28.5 mm", "108.5 mm", "188.5 mm", "268.5 mm"]);
    let two = plan(&punched("ISO 838", "0.5 mm", "210 x 297 mm", ""));
    assert_eq!(half.holes.heights[1..3], two.holes.heights);
    // In whole millimetres 28 and 29 are equally good; the lower one is taken.
    let whole = plan(&punched("ISO 838 four-hole", "1 mm", "210 x 297 mm", ""));
    stand_at(&whole, &["28 mm", "108 mm", "188 mm", "268 mm"]);
    assert_eq!(not_kept(&whole), []);
}

/// Three holes 4 1/4 in apart (read, the same article and a page of printing tips) on letter paper,
/// 8 1/2 x 11 in (ANSI/ASME Y14.1, from memory). Derived: (11 - 8 1/2) / 2 = 1 1/4.
#[test]
fn three_holes_on_letter_paper() {
    let letter = plan(&punched("US three-hole", "1/8 in", "8 1/2 x 11 in", ""));
    stand_at(&letter, &["1 1/4 in", "5 1/2 in", "9 3/4 in"]);
    assert_eq!(not_kept(&letter), []);

    // The article asks for an edge of at least 240 mm: 12 mm at each end. Our own least is 1 1/2
    // diameters, 9 mm at each end of a span of 215.9 mm, 233.9 mm in all: what is published fits.
    let on = |height: &str| {
        let size = format!("210 x {height}");
        punched("US three-hole", "1 mm", &size, "")
    };
    let least = plan(&on("240 mm"));
    stand_at(&least, &["12 mm", "119.95 mm", "227.9 mm"]);
    assert_eq!(not_kept(&least), []);
    clashes(&clash(&on("233 mm")), &[TAIL_GIVEN, HEAD_GIVEN]);
    // In inches 3/8 in at each end: 9 1/4 in.
    let inch = |height: &str| {
        let size = format!("8 1/2 x {height}");
        punched("US three-hole", "1/16 in", &size, "")
    };
    stand_at(
        &plan(&inch("9 1/4 in")),
        &["3/8 in", "4 5/8 in", "8 7/8 in"],
    );
    clashes(&clash(&inch("9 3/16 in")), &[TAIL_GIVEN, HEAD_GIVEN]);
}

/// Rows of holes 9.5 mm apart, JIS Z 8303: 30 on A4, 26 on B5, 36 on B4, read in a catalogue and a
/// glossary of print finishing; 20 on A5 from memory. What is left at each end,
/// (height - (holes - 1) x 9.5) / 2, derived here.
#[test]
fn rows_leave_the_published_ends() {
    for (pattern, size, holes, end, top) in [
        ("A4 30-hole", "210 x 297 mm", 30, "10.75 mm", "286.25 mm"),
        ("B5 26-hole", "182 x 257 mm", 26, "9.75 mm", "247.25 mm"),
        ("B4 36-hole", "257 x 364 mm", 36, "15.75 mm", "348.25 mm"),
        ("A5 20-hole", "148 x 210 mm", 20, "14.75 mm", "195.25 mm"),
    ] {
        let plan = plan(&punched(pattern, "0.25 mm", size, ""));
        let heights = &plan.holes.heights;
        assert_eq!(heights.len(), holes, "{pattern}");
        assert_eq!(heights[0], Interval::exact(length(end)), "{pattern}");
        assert_eq!(
            heights[holes - 1],
            Interval::exact(length(top)),
            "{pattern}"
        );
        assert_eq!(plan.holes.edge, Interval::exact(length("6.5 mm")));
        assert_eq!(not_kept(&plan), [], "{pattern}");
    }
    // The tightest end is 9.75 mm, on B5: 1.625 diameters.
    let b5 = |share: &str| {
        let set = format!("end_share_given = \"{share}\"");
        punched("B5 26-hole", "0.25 mm", "182 x 257 mm", &set)
    };
    assert_eq!(
        plan(&b5("13/8")).holes.heights[0],
        Interval::exact(length("9.75 mm"))
    );
    clashes(&clash(&b5("14/8")), &[TAIL_GIVEN, HEAD_GIVEN]);
    // 9.5 mm are 1.58 diameters of 6 mm.
    let a5 = clash(&punched(
        "A5 20-hole",
        "0.25 mm",
        "148 x 210 mm",
        "pitch_share_given = \"8/5\"",
    ));
    clashes(&a5, &["holes of a given spacing do not run together"]);
    assert!(a5[0].1.contains("9.5 mm apart; 9.6 mm"), "{}", a5[0].1);
}

/// Seven rings on letter paper, 1 - 1 - 2 1/4 - 2 1/4 - 1 - 1 in, span 8 1/2; on half letter,
/// 1 - 1 - 3/4 - 3/4 - 1 - 1, span 5 1/2. Read, a page on organisers; sums derived here. Their ends
/// and middles are those of the three-hole patterns.
#[test]
fn seven_rings() {
    let seven = plan(&punched("seven-ring letter", "1/8 in", "8 1/2 x 11 in", ""));
    stand_at(
        &seven,
        &[
            "1 1/4 in", "2 1/4 in", "3 1/4 in", "5 1/2 in", "7 3/4 in", "8 3/4 in", "9 3/4 in",
        ],
    );
    assert_eq!(seven.holes.pitch, None);
    let three = plan(&punched("US three-hole", "1/8 in", "8 1/2 x 11 in", ""));
    let ends = [0, 3, 6].map(|n| seven.holes.heights[n]);
    assert_eq!(three.holes.heights, ends);

    let size = "5 1/2 x 8 1/2 in";
    let seven = plan(&punched("seven-ring half letter", "1/8 in", size, ""));
    stand_at(
        &seven,
        &[
            "1 1/2 in", "2 1/2 in", "3 1/2 in", "4 1/4 in", "5 in", "6 in", "7 in",
        ],
    );
    let three = plan(&punched("half letter three-hole", "1/8 in", size, ""));
    let ends = [0, 3, 6].map(|n| seven.holes.heights[n]);
    assert_eq!(three.holes.heights, ends);
}

/// Four holes 21, 70 and 21 mm apart: read, an encyclopaedia's article on ring binders. On A4 of
/// 297 mm: (297 - 112) / 2 = 92.5; on a millimetre ruler 92 below and 93 above. Derived here.
#[test]
fn swedish_four_holes_on_a4() {
    let plan = plan(&punched("Swedish four-hole", "1 mm", "210 x 297 mm", ""));
    stand_at(&plan, &["92 mm", "113 mm", "183 mm", "204 mm"]);
    assert_eq!(not_kept(&plan), []);
}

/// Bean & Brodhead, Bookbinding for Beginners, 1914: holes 1/5 to 1/6 of the length from its end.
/// Read in part.
#[test]
fn a_handbooks_fifth_and_sixth() {
    for (height, holes) in [
        // A sixth is 0.958, a fifth 1.15: on the ruler 1.
        ("5 3/4 in", ["1 in", "2 7/8 in", "4 3/4 in"]),
        // 1.365 to 1.638: 1 1/2, and 1 7/16 above. From 1 3/8 up there would be 1 5/16 or 1 9/16 above:
        // less than a sixth, or more than 1/8 in uneven.
        ("8 3/16 in", ["1 1/2 in", "4 1/8 in", "6 3/4 in"]),
        // 2.292 to 2.75: 2 3/8.
        ("13 3/4 in", ["2 3/8 in", "6 7/8 in", "11 3/8 in"]),
        // 0.417 to 0.5: the least end of 1/2 in is just a fifth.
        ("2 1/2 in", ["1/2 in", "1 1/4 in", "2 in"]),
    ] {
        let plan = plan(&bare("1/8 in", &format!("4 in x {height}"), ""));
        stand_at(&plan, &holes);
        assert_eq!(not_kept(&plan), [], "{height}");
        let (first, high) = (plan.holes.heights[0].least().nm(), length(height).nm());
        assert!(5 * first <= high && high <= 6 * first, "{height}");
    }
    // One step lower, 1/2 in is more than a fifth of 2 3/8 (0.475), and the plan says so.
    let low = plan(&bare("1/8 in", "4 in x 2 3/8 in", ""));
    stand_at(&low, &["1/2 in", "1 1/8 in", "1 3/4 in"]);
    let told = not_kept(&low);
    assert_eq!(told.len(), 1, "{told:?}");
    assert_eq!(told[0].0, CROWD);
    assert!(told[0].1.contains("1/2 in from the tail"), "{}", told[0].1);
}
