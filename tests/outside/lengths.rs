//! Lengths against published values. Beside each stands its source, and how it was seen: "read"
//! means in a copy or a secondary text, not always in the standard itself; "from memory" means
//! that nobody has looked it up yet.

use tuckwright::length::{
    Length, LengthProblem, Ruler, Unit, parse_interval, parse_length, parse_sides, parse_size,
};

fn length(text: &str) -> Length {
    match parse_length(text) {
        Ok(length) => length,
        Err(error) => panic!("{text}: {error}; {}", error.help()),
    }
}

fn ruler(step: &str) -> Ruler {
    Ruler::parse(step).unwrap()
}

fn problem(text: &str) -> LengthProblem {
    parse_length(text).unwrap_err().problem
}

/// International yard and pound agreement, 1959: 1 yd = 0.9144 m, so 1 in = 25.4 mm exactly.
/// NIST SP 811 appendix B.6 prints the same in bold, for exact. Both from memory.
#[test]
fn an_inch_is_25_4_millimetres() {
    assert_eq!(length("1 in"), length("25.4 mm"));
    assert_eq!(length("36 in"), length("914.4 mm"));
    assert_eq!(Unit::Inch.length().nm(), 25_400_000);
}

/// ISO/IEC 7810 ID-1: 85.60 x 53.98 mm, also given as 3.370 x 2.125 in, with the note that either
/// system may be used but the two should not be intermixed or reconverted. Read.
#[test]
fn a_bank_card_in_inches_is_not_the_same_card() {
    let (width, height) = parse_size("85.60 x 53.98 mm").unwrap();
    assert_eq!(width.least().nm(), 85_600_000);
    assert_eq!(height.least().nm(), 53_980_000);
    let (width_in, height_in) = parse_size("3.370 x 2.125 in").unwrap();
    assert_ne!((width, height), (width_in, height_in));
    // On an inch ruler it is still shown as what it is.
    let shown = ruler("1/16 in").show_size(width.least(), height.least());
    assert_eq!(shown, "85.6 x 53.98 mm");
    assert_eq!(parse_size(&shown), Ok((width, height)));
}

/// ISO/IEC 7810: thickness 0.76 ± 0.08 mm. Read.
#[test]
fn a_bank_card_is_between_0_68_and_0_84_thick() {
    let thickness = parse_interval("0.76 ± 0.08 mm").unwrap();
    assert_eq!(ruler("0.01 mm").show_interval(thickness), "0.68 to 0.84 mm");
}

/// CSS Values and Units: 1in = 2.54cm, 1pt = 1/72 in, 1pc = 1/6 in, 1Q = 1/40 cm. Read.
/// 25 400 000 / 72 = 352 777.7...: a point is no whole number of nanometres (derived).
#[test]
fn a_point_cannot_be_kept_and_is_refused() {
    assert_eq!(length("1in"), length("2.54cm"));
    assert_eq!(length("1/40 cm"), length("0.25 mm"));
    let LengthProblem::NotExact { below, above, .. } = problem("1/72 in") else {
        panic!("1/72 in was not refused as inexact");
    };
    assert_eq!((below.nm(), above.nm()), (352_777, 352_778));
    assert!(matches!(problem("1/6 in"), LengthProblem::NotExact { .. }));
    // 864 pt = 12 in (derived).
    let LengthProblem::OtherUnit { same, .. } = problem("864 pt") else {
        panic!("points were not refused");
    };
    assert_eq!(same, Some(length("12 in")));
}

/// The Art and Practice of Silver Printing, chapter VII, cuts 3 x 3 2/3, 3 x 3 1/7 and 4 2/5 x 6
/// out of a sheet of 18 x 22 in. Read. Fifths of an inch are whole nanometres, thirds and sevenths
/// are not (derived: 25 400 000 = 2^6 * 5^5 * 127).
#[test]
fn thirds_and_sevenths_of_an_inch_are_refused_and_fifths_are_not() {
    assert_eq!(length("4 2/5 in").nm(), 111_760_000);
    assert_eq!(ruler("1/16 in").show(length("4 2/5 in")), "4.4 in");
    for text in ["3 2/3 in", "3 1/7 in"] {
        assert!(matches!(problem(text), LengthProblem::NotExact { .. }));
    }
}

/// Eleven inches in three parts are 3 2/3 each. The nearest sixteenth, 3 11/16, is 1/16 in too long
/// three times over; a size to be cut is rounded down (derived).
#[test]
fn a_third_of_eleven_inches_is_cut_as_three_and_five_eighths() {
    let LengthProblem::NotExact { below: third, .. } = problem("3 2/3 in") else {
        panic!("a third of eleven inches was not refused as inexact");
    };
    let (eighths, sixteenths) = (ruler("1/8 in"), ruler("1/16 in"));
    for (ruler, ticks) in [(eighths, 29), (sixteenths, 58)] {
        assert_eq!(ruler.ticks_down(third), ticks);
        let cut = ruler.length_of(ticks).unwrap();
        assert_eq!(ruler.show(cut), "3 5/8 in");
        assert!(cut.checked_mul(3) <= Some(length("11 in")));
    }
    assert_eq!(sixteenths.ticks_up(third), 59);
    let nearest = sixteenths.length_of(59).unwrap();
    assert_eq!(sixteenths.show(nearest), "3 11/16 in");
    assert_eq!(nearest.checked_mul(3), Some(length("11 1/16 in")));
}

/// NIST SP 811 B.7.2: 36 ft x 0.3048 = 10.9728 m, there rounded to 11.0 m. Read. Here feet are
/// refused, with the same length in inches, and nothing is rounded.
#[test]
fn thirty_six_feet() {
    let LengthProblem::OtherUnit { same, .. } = problem("36 ft") else {
        panic!("feet were not refused");
    };
    assert_eq!(same.map(Length::nm), Some(10_972_800_000));
    assert_eq!(same, Some(length("432 in")));
}

/// NIST LC 1137: 36 in is printed as 91 cm and 40.1 in as 101.9 cm. Read. Exact: 91.44 and 101.854
/// (derived). The printed values are ticks beside the exact ones; a size to be cut would take the
/// lower.
#[test]
fn printed_conversions_are_rounded_and_ours_are_not() {
    let centimetres = ruler("1 cm");
    let yard = length("36 in");
    assert_eq!(centimetres.show(yard), "91.44 cm");
    assert_eq!(centimetres.ticks_down(yard), 91);

    let tenths = ruler("0.1 cm");
    let other = length("40.1 in");
    assert_eq!(tenths.show(other), "101.854 cm");
    assert_eq!(
        (tenths.ticks_down(other), tenths.ticks_up(other)),
        (1018, 1019)
    );
    assert!(!tenths.holds(other));
}

/// Photo prints: 4R is 4 x 6 in, tabulated as 102 x 152 mm. Read. The millimetres are rounded: they
/// are another size.
#[test]
fn a_print_in_rounded_millimetres_is_another_size() {
    let print = parse_size("4 x 6 in").unwrap();
    assert_eq!(parse_size("101.6 x 152.4 mm"), Ok(print));
    assert_ne!(parse_size("102 x 152 mm"), Ok(print));
}

/// Envelope A-2: 4 3/8 x 5 3/4 in takes a card of 4 1/4 x 5 1/2 in. Read, in sellers' tables.
#[test]
fn an_envelope_leaves_an_eighth_and_a_quarter() {
    let (width, height) = parse_size("4 3/8 x 5 3/4 in").unwrap();
    let (card_width, card_height) = parse_size("4 1/4 x 5 1/2 in").unwrap();
    let play = |outer: Length, inner| outer.checked_sub(inner);
    assert_eq!(
        play(width.least(), card_width.most()),
        Some(length("1/8 in"))
    );
    assert_eq!(
        play(height.least(), card_height.most()),
        Some(length("1/4 in"))
    );
}

/// ISO 216:2007 (A and B) and ISO 269:1985 (C and DL), trimmed and envelope sizes: from memory, and
/// the same as in every table of paper sizes. Each is half the one before, so no size of the three
/// series can be wrong alone.
#[test]
fn papers_and_envelopes_by_their_names() {
    for (name, size) in [
        ("A0", "841 x 1189 mm"),
        ("A4", "210 x 297 mm"),
        ("a6", "105 x 148 mm"),
        ("A7", "74 x 105 mm"),
        ("A10", "26 x 37 mm"),
        ("B5", "176 x 250 mm"),
        ("B6", "125 x 176 mm"),
        ("C5", "162 x 229 mm"),
        (" C6 ", "114 x 162 mm"),
        ("DL", "110 x 220 mm"),
    ] {
        assert_eq!(
            parse_size(name).unwrap(),
            parse_size(size).unwrap(),
            "{name}"
        );
        assert_eq!(
            parse_sides(name).unwrap(),
            parse_sides(size).unwrap(),
            "{name}"
        );
    }
    for text in [
        "A11",
        "A06",
        "A",
        "D6",
        "DLE",
        "A6 mm",
        "A6 in",
        "A4 x 3 in",
        "Ä4",
    ] {
        assert!(parse_size(text).is_err(), "{text}");
    }
}
