//! Lengths in every spelling, and what is said of those that are none.

use super::super::super::words::vulgar;
use super::*;

#[test]
fn four_and_three_eighths_in_every_spelling() {
    for text in [
        "4 3/8 in",
        "4-3/8\"",
        "4⅜ in",
        "4 ⅜ in",
        "4-⅜ in",
        "4\u{2011}3/8 in",
        "4.375 in",
        "4.375000000000000000000000000 in",
        "0004.375in",
        "4 3⁄8 in",
        "4\u{200b}3⁄8 in",
        "4\u{202f}3⁄8\u{a0}in",
        "  4\u{2009}3 / 8\tin ",
        "4 3/8in",
        "4 3/8 inch",
        "4 3/8 Inches",
        "4 3/8 IN",
        "4 3/8 in.",
        "4 3/8″",
        "4 3/8”",
        "4 3/8''",
        "4 3/8′′",
        "4 12/32 in",
        "280/64 in",
        "111.125 mm",
        "111.125millimetres",
        "11.1125 cm",
    ] {
        assert_eq!(nm(text), 280 * SIXTY_FOURTH, "{text}");
    }
}

#[test]
fn other_lengths() {
    for (text, expected) in [
        ("3/8 in", 9_525_000),
        ("⅜\"", 9_525_000),
        (".5 in", 12_700_000),
        ("4in", 101_600_000),
        ("0 in", 0),
        ("0/5 mm", 0),
        ("111 mm", 111_000_000),
        ("111mm", 111_000_000),
        ("11.1 cm", 111_000_000),
        ("0.000001 mm", 1),
        ("0.0045 in", 114_300),
        ("1/127 in", 200_000),
        ("1/5 in", 5_080_000),
        ("⅒ in", 2_540_000),
        ("100000 mm", 100_000_000_000),
    ] {
        assert_eq!(nm(text), expected, "{text}");
    }
}

#[test]
fn a_fraction_character_is_its_fraction() {
    for c in "½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅐⅛⅜⅝⅞⅑⅒".chars() {
        let (over, under) = vulgar(c).unwrap();
        let value = |text: String| match parse_length(&text).map_err(|error| error.problem) {
            Ok(length) => (length, length),
            Err(Problem::NotExact { below, above, .. }) => (below, above),
            Err(problem) => panic!("{text}: {problem}"),
        };
        let spelled = value(format!("2 {over}/{under} mm"));
        assert_eq!(value(format!("2{c} mm")), spelled);
        assert_eq!(value(format!("2 {c} mm")), spelled);
    }
}

#[test]
fn refusals_say_what_to_type() {
    check(
        "",
        "no size is written here",
        "",
        "type a number and a unit, such as `4 3/8 in` or `111 mm`",
    );
    check(
        " \u{a0} ",
        "no size is written here",
        " \u{a0} ",
        "type a number and a unit, such as `4 3/8 in` or `111 mm`",
    );
    check(
        " 4.375 ",
        "`4.375` has no unit",
        "4.375",
        "type `4.375 in` or `4.375 mm`",
    );
    check("4 inc", "`inc` is not a unit", "inc", "type `in`");
    check(
        "4 cn",
        "`cn` is not a unit",
        "cn",
        "type `in`, `mm` or `cm`; a double quote means inches too",
    );
    check(
        "4 milimeter",
        "`milimeter` is not a unit",
        "milimeter",
        "type `mm`",
    );
    check(
        "4 centimtre",
        "`centimtre` is not a unit",
        "centimtre",
        "type `cm`",
    );
    check(
        "4 parsecs",
        "`parsecs` is not a unit",
        "parsecs",
        "type `in`, `mm` or `cm`; a double quote means inches too",
    );
    check(
        "1.2 m",
        "tuckwright does not measure in `m`",
        "m",
        "type `1200 mm`",
    );
    check(
        "2 ft",
        "tuckwright does not measure in `ft`",
        "ft",
        "type `24 in`",
    );
    check(
        "1'",
        "tuckwright does not measure in `'`",
        "'",
        "type `12 in`",
    );
    check(
        "5' 6 1/2\"",
        "tuckwright does not measure in `'`",
        "'",
        "type `66 1/2 in`",
    );
    check(
        "5 ft 6",
        "tuckwright does not measure in `ft`",
        "ft",
        "type `66 in`",
    );
    check(
        "12 mil",
        "tuckwright does not measure in `mil`",
        "mil",
        "type `0.012 in`",
    );
    check(
        "72 pt",
        "tuckwright does not measure in `pt`",
        "pt",
        "type `1 in`",
    );
    check(
        "1 pt",
        "tuckwright does not measure in `pt`",
        "pt",
        "measure it in `in`",
    );
    check(
        "3 4/0 in",
        "`4/0` divides by zero",
        "4/0",
        "type 1 or more below the line",
    );
    check(
        "0/0",
        "`0/0` divides by zero",
        "0/0",
        "type 1 or more below the line",
    );
    check(
        "4 11/8 in",
        "the fraction in `4 11/8` is 1 or more",
        "4 11/8",
        "type `5 3/8` if you mean that",
    );
    check(
        "81/2 in",
        "`81/2` can mean two things",
        "81/2",
        "type `8 1/2`, or `40 1/2`",
    );
    check(
        "111/8 in",
        "`111/8` can mean two things",
        "111/8",
        "type `11 1/8`, or `13 7/8`",
    );
    check(
        "4 8/8 in",
        "the fraction in `4 8/8` is 1 or more",
        "4 8/8",
        "type `5` if you mean that",
    );
    check(
        "1e999 in",
        "`1e999` is written with an exponent",
        "1e999",
        "type the number in full",
    );
    for (number, plain) in [
        ("1.5e2", "150"),
        ("1.5E-3", "0.0015"),
        ("12.5e-1", "1.25"),
        (".5e+1", "5"),
        ("0e5", "0"),
        ("12e0", "12"),
    ] {
        check(
            &format!("{number} mm"),
            &format!("`{number}` is written with an exponent"),
            number,
            &format!("type `{plain}`"),
        );
    }
    check(
        "11,1 cm",
        "the comma in `11,1` can mean two things",
        "11,1",
        "type `11.1` with a point",
    );
    check(
        "1,000 mm",
        "the comma in `1,000` can mean two things",
        "1,000",
        "type `1.000` with a point, or `1000`",
    );
    check(
        "-4 3/8 in",
        "`-4 3/8` is negative",
        "-4 3/8",
        "leave the minus out: a length is measured from zero up",
    );
    check(
        "\u{2212}⅜ in",
        "`\u{2212}⅜` is negative",
        "\u{2212}⅜",
        "leave the minus out: a length is measured from zero up",
    );
    check(
        "100000.000001 mm",
        "`100000.000001 mm` is more than 100 m",
        "100000.000001 mm",
        "look for a slip in the number or the unit",
    );
    check(
        "1234567890123456789 in",
        "`1234567890123456789` has too many digits",
        "1234567890123456789",
        "type a shorter number",
    );
    check(
        "1/3 in",
        "`1/3 in` cannot be kept exactly: it is not a whole number of nanometres",
        "1/3 in",
        "type `21/64 in` or `11/32 in`; the nearest that can be kept are `8.466666 mm` and \
         `8.466667 mm`",
    );
    check(
        "1/128 in",
        "`1/128 in` cannot be kept exactly: it is not a whole number of nanometres",
        "1/128 in",
        "type `1/64 in`; the nearest that can be kept are `0.198437 mm` and `0.198438 mm`",
    );
    check(
        "0.66666666666666666666666666666 cm",
        "`0.66666666666666666666666666666 cm` cannot be kept exactly: it is not a whole number of nanometres",
        "0.66666666666666666666666666666 cm",
        "type `0.666 cm` or `0.667 cm`; the nearest that can be kept are `6.666666 mm` and \
         `6.666667 mm`",
    );
    check(
        "4 3/8 in of card",
        "`of` does not belong here",
        "of",
        "delete it: a length is a number and a unit, such as `4 3/8 in`",
    );
    check(
        "1 000 mm",
        "`1 000` is more than one number",
        "1 000",
        "type thousands without a space, as `1000`, and fractions as `4 3/8`",
    );
    check(
        "4 - 3/8 in",
        "`-` does not belong here",
        "-",
        "delete it: a length is a number and a unit, such as `4 3/8 in`",
    );
    check(
        "in",
        "`in` is not a number",
        "in",
        "type a number and a unit, such as `4 3/8 in` or `111 mm`",
    );
    check(
        "3/",
        "the number below the line of `3/` is missing",
        "3/",
        "type it, as in `4 3/8 in`",
    );
    check(
        "4 in ± 1/16 in",
        "this must be one exact length, without `±` or `to`",
        "± 1/16 in",
        "type one length, such as `4 3/8 in`",
    );
    check(
        "4 x 5 in",
        "2 sides are written here",
        "4 x 5 in",
        "type one length, such as `4 3/8 in`",
    );
}
