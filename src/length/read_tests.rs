use super::super::words::{vulgar, written_out};
use super::*;
use proptest::prelude::*;

const SIXTY_FOURTH: i64 = 396_875;

fn nm(text: &str) -> i64 {
    match parse_length(text) {
        Ok(length) => length.nm(),
        Err(error) => panic!("{text}: {error}; {}", error.help()),
    }
}

/// What is wrong, the part that is marked, and what to type instead.
fn refused<T: std::fmt::Debug>(
    read: impl Fn(&str) -> Result<T, LengthError>,
    text: &str,
) -> (String, String, String) {
    match read(text) {
        Ok(value) => panic!("{text} was read as {value:?}"),
        Err(error) => (
            error.to_string(),
            text[error.range()].to_string(),
            error.help(),
        ),
    }
}

fn check(text: &str, problem: &str, marked: &str, help: &str) {
    check_with(parse_length, text, problem, marked, help);
}

fn check_with<T: std::fmt::Debug>(
    read: impl Fn(&str) -> Result<T, LengthError>,
    text: &str,
    problem: &str,
    marked: &str,
    help: &str,
) {
    let expected = (problem.to_string(), marked.to_string(), help.to_string());
    assert_eq!(refused(read, text), expected, "{text}");
}

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
        "35/8 in",
        "4 12/32 in",
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
        "nothing is written here",
        "",
        "write a number and a unit, such as `4 3/8 in` or `111 mm`",
    );
    check(
        " \u{a0} ",
        "nothing is written here",
        " \u{a0} ",
        "write a number and a unit, such as `4 3/8 in` or `111 mm`",
    );
    check(
        " 4.375 ",
        "`4.375` has no unit",
        "4.375",
        "say `4.375 in` or `4.375 mm`",
    );
    check("4 inc", "`inc` is no unit", "inc", "write `in`");
    check(
        "4 cn",
        "`cn` is no unit",
        "cn",
        "units are `in`, `mm` and `cm`; a double quote means inches",
    );
    check(
        "4 milimeter",
        "`milimeter` is no unit",
        "milimeter",
        "write `mm`",
    );
    check(
        "4 centimtre",
        "`centimtre` is no unit",
        "centimtre",
        "write `cm`",
    );
    check(
        "4 parsecs",
        "`parsecs` is no unit",
        "parsecs",
        "units are `in`, `mm` and `cm`; a double quote means inches",
    );
    check(
        "1.2 m",
        "`m` is not a unit used here",
        "m",
        "write `1200 mm`",
    );
    check(
        "2 ft",
        "`ft` is not a unit used here",
        "ft",
        "write `24 in`",
    );
    check("1'", "`'` is not a unit used here", "'", "write `12 in`");
    check(
        "5' 6 1/2\"",
        "`'` is not a unit used here",
        "'",
        "write `66 1/2 in`",
    );
    check(
        "5 ft 6",
        "`ft` is not a unit used here",
        "ft",
        "write `66 in`",
    );
    check(
        "12 mil",
        "`mil` is not a unit used here",
        "mil",
        "write `0.012 in`",
    );
    check(
        "72 pt",
        "`pt` is not a unit used here",
        "pt",
        "write `1 in`",
    );
    check(
        "1 pt",
        "`pt` is not a unit used here",
        "pt",
        "say it in `in`",
    );
    check(
        "3 4/0 in",
        "`4/0` divides by zero",
        "4/0",
        "the number below the line must be 1 or more",
    );
    check(
        "0/0",
        "`0/0` divides by zero",
        "0/0",
        "the number below the line must be 1 or more",
    );
    check(
        "4 11/8 in",
        "`4 11/8` has a whole number and a fraction that is not below 1",
        "4 11/8",
        "write `5 3/8` if that is meant",
    );
    check(
        "4 8/8 in",
        "`4 8/8` has a whole number and a fraction that is not below 1",
        "4 8/8",
        "write `5` if that is meant",
    );
    check(
        "1e999 in",
        "`1e999` is written with an exponent",
        "1e999",
        "write the number out",
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
            &format!("write `{plain}`"),
        );
    }
    check(
        "11,1 cm",
        "the comma in `11,1` may mean two things",
        "11,1",
        "write `11.1` with a point",
    );
    check(
        "1,000 mm",
        "the comma in `1,000` may mean two things",
        "1,000",
        "write `1.000` with a point, or `1000`",
    );
    check(
        "-4 3/8 in",
        "`-4 3/8` is negative",
        "-4 3/8",
        "a length is measured from zero up: leave the minus out",
    );
    check(
        "\u{2212}⅜ in",
        "`\u{2212}⅜` is negative",
        "\u{2212}⅜",
        "a length is measured from zero up: leave the minus out",
    );
    check(
        "100000.000001 mm",
        "`100000.000001 mm` is over 100 m",
        "100000.000001 mm",
        "see that the number and the unit are right: nothing in an album is so large",
    );
    check(
        "1234567890123456789 in",
        "`1234567890123456789` has too many digits",
        "1234567890123456789",
        "write a shorter number",
    );
    check(
        "1/3 in",
        "`1/3 in` is not a whole number of nanometres, so it cannot be kept exactly",
        "1/3 in",
        "write `21/64 in` or `11/32 in`; the nearest that can be kept are `8.466666 mm` and \
         `8.466667 mm`",
    );
    check(
        "1/128 in",
        "`1/128 in` is not a whole number of nanometres, so it cannot be kept exactly",
        "1/128 in",
        "write `1/64 in`; the nearest that can be kept are `0.198437 mm` and `0.198438 mm`",
    );
    check(
        "0.66666666666666666666666666666 cm",
        "`0.66666666666666666666666666666 cm` is not a whole number of nanometres, so it cannot \
         be kept exactly",
        "0.66666666666666666666666666666 cm",
        "write `0.666 cm` or `0.667 cm`; the nearest that can be kept are `6.666666 mm` and \
         `6.666667 mm`",
    );
    check(
        "4 3/8 in of card",
        "`of` has no place here",
        "of",
        "take it away: a length is a number and a unit, such as `4 3/8 in`",
    );
    check(
        "1 000 mm",
        "`1 000` is more than one number",
        "1 000",
        "write thousands without a space, as `1000`, and fractions as `4 3/8`",
    );
    check(
        "4 - 3/8 in",
        "`-` has no place here",
        "-",
        "take it away: a length is a number and a unit, such as `4 3/8 in`",
    );
    check(
        "in",
        "`in` stands where a number should be",
        "in",
        "write a number and a unit, such as `4 3/8 in` or `111 mm`",
    );
    check(
        "3/",
        "the text stops where a number should follow",
        "",
        "write a number and a unit, such as `4 3/8 in` or `111 mm`",
    );
    check(
        "4 in ± 1/16 in",
        "this must be one exact length, without ± or `to`",
        "± 1/16 in",
        "write one length, such as `4 3/8 in`",
    );
    check(
        "4 x 5 in",
        "2 sides are written here",
        "4 x 5 in",
        "write one length, such as `4 3/8 in`",
    );
}

#[test]
fn intervals() {
    let wanted = Interval::between(
        Length::from_nm(276 * SIXTY_FOURTH),
        Length::from_nm(284 * SIXTY_FOURTH),
    )
    .unwrap();
    for text in [
        "4 3/8 in ± 1/16 in",
        "4 3/8 ± 1/16 in",
        "4⅜±1/16\"",
        "4 3/8 in +/- 1/16 in",
        "4.375 +- .0625 in",
        "4 5/16 to 4 7/16 in",
        "4 5/16 in to 4 7/16 in",
    ] {
        assert_eq!(parse_interval(text), Ok(wanted), "{text}");
    }
    let metric = parse_interval("111 mm ± 0.5 mm").unwrap();
    assert_eq!(
        (metric.least().nm(), metric.most().nm()),
        (110_500_000, 111_500_000)
    );
    assert_eq!(
        parse_interval("4 in"),
        Ok(Interval::exact(Length::from_nm(101_600_000)))
    );
    assert!(parse_interval("4 in ± 0 in").unwrap().is_exact());

    check_with(
        parse_interval,
        "1/16 ± 1/8 in",
        "the ± of 1/8 in is more than the length of 1/16 in itself",
        "1/16 ± 1/8 in",
        "write a ± of `1/16 in` or less",
    );
    check_with(
        parse_interval,
        "5 to 4 in",
        "5 in is more than 4 in",
        "5 to 4 in",
        "write `4 in to 5 in`",
    );
    check_with(
        parse_interval,
        "4 3/8 in ± 1/16",
        "`1/16` has no unit",
        "1/16",
        "say `1/16 in` or `1/16 mm`",
    );
    check_with(
        parse_interval,
        "100000 ± 1 mm",
        "`100000 ± 1 mm` is over 100 m",
        "100000 ± 1 mm",
        "see that the number and the unit are right: nothing in an album is so large",
    );
}

#[test]
fn sizes() {
    let size = |text: &str| {
        let (width, height) = match parse_size(text) {
            Ok(size) => size,
            Err(error) => panic!("{text}: {error}"),
        };
        [width, height].map(|side| {
            let sixty_fourths = [side.least(), side.most()].map(|l| l.nm() / SIXTY_FOURTH);
            (sixty_fourths[0], sixty_fourths[1])
        })
    };
    for text in [
        "4 1/4 x 5 1/2 in",
        "4¼×5½\"",
        "4 1/4X5 1/2in",
        "4 1/4 in * 5 1/2 in",
        "4 1/4inx5 1/2in",
        "4.25in by 139.7 mm",
        "107.95mmx139.7mm",
    ] {
        assert_eq!(size(text), [(272, 272), (352, 352)], "{text}");
    }
    for text in [
        "4 3/8 ± 1/16 x 5 3/4 ± 1/16 in",
        "4 3/8 x 5 3/4 in ± 1/16 in",
        "4 3/8 x 5 3/4 ± 1/16 in",
        "4 3/8 in x 5 3/4 in ± 1.5875 mm",
    ] {
        assert_eq!(size(text), [(276, 284), (364, 372)], "{text}");
    }
    assert_eq!(size("4 3/8 ± 1/16 x 5 3/4 in"), [(276, 284), (368, 368)]);
    assert_eq!(
        size("4 3/8 ± 0 x 5 3/4 ± 1/16 in"),
        [(280, 280), (364, 372)]
    );

    let sides = |text: &str| parse_sides(text).unwrap();
    let inches = |text: &str| parse_interval(text).unwrap();
    assert_eq!(
        sides("5 1/8 x 3 1/8 x 10 5/8 in"),
        Sides::Three {
            width: inches("5 1/8 in"),
            gusset: inches("3 1/8 in"),
            height: inches("10 5/8 in")
        }
    );
    assert_eq!(
        sides("5 1/8 x 8 1/2 in ± 1/16 in"),
        Sides::Two {
            width: inches("5 1/8 ± 1/16 in"),
            height: inches("8 1/2 ± 1/16 in")
        }
    );
    assert_eq!(
        parse_size3("1 x 2 x 3 in"),
        Ok((inches("1 in"), inches("2 in"), inches("3 in")))
    );

    check_with(
        parse_size,
        "4 x 5",
        "`4 x 5` has no unit",
        "4 x 5",
        "say `4 x 5 in` or `4 x 5 mm`",
    );
    check_with(
        parse_size,
        "4 in x 5",
        "`5` has no unit",
        "5",
        "say `5 in` or `5 mm`",
    );
    check_with(
        parse_size,
        "4 x 5 1/3 in",
        "`5 1/3 in` is not a whole number of nanometres, so it cannot be kept exactly",
        "5 1/3 in",
        "write `5 21/64 in` or `5 11/32 in`; the nearest that can be kept are `135.466666 mm` \
         and `135.466667 mm`",
    );
    check_with(
        parse_size,
        "4 in",
        "1 side is written here",
        "4 in",
        "write width x height, such as `4 1/4 x 5 1/2 in`",
    );
    check_with(
        parse_sides,
        "1 x 2 x 3 x 4 in",
        "4 sides are written here",
        "1 x 2 x 3 x 4 in",
        "write width x height, such as `5 1/8 x 8 1/2 in`, or width x gusset x height, such as \
         `5 1/8 x 3 1/8 x 10 5/8 in`",
    );
    check_with(
        parse_size,
        "4 in x",
        "the text stops where a number should follow",
        "",
        "write a number and a unit, such as `4 3/8 in` or `111 mm`",
    );
    check_with(
        parse_size3,
        "1/16 x 2 x 3 in ± 1/8 in",
        "the ± of 1/8 in is more than the length of 1/16 in itself",
        "1/16 x 2 x 3 in ± 1/8 in",
        "write a ± of `1/16 in` or less",
    );
}

#[test]
fn ratios() {
    for (text, over, under) in [
        ("1/6", 1, 6),
        ("65 %", 13, 20),
        ("65%", 13, 20),
        ("33 1/3 %", 1, 3),
        ("0.65", 13, 20),
        ("1", 1, 1),
        ("0", 0, 1),
        ("2:3", 2, 3),
        ("85.60 : 53.98", 4280, 2699),
        ("1 1/2", 3, 2),
        ("⅔", 2, 3),
        ("1/2 : 1/3", 3, 2),
    ] {
        assert_eq!(parse_ratio(text), Ok(Ratio::new(over, under)), "{text}");
    }
    for text in ["", "4 in", "one half", "2:", "2:3:4", "1/6 of it"] {
        let (problem, _, help) = refused(parse_ratio, text);
        assert_eq!(problem, format!("`{text}` is no ratio"));
        assert_eq!(help, "write `1/6`, `65 %`, `0.65` or `2:3`");
    }
    check_with(
        parse_ratio,
        "3:0",
        "`3:0` divides by zero",
        "3:0",
        "the number below the line must be 1 or more",
    );
    check_with(
        parse_ratio,
        "-1/6",
        "`-1/6` is negative",
        "-1/6",
        "a length is measured from zero up: leave the minus out",
    );
    for text in [
        "1/1000000001",
        "0.3333333333333333333333333333",
        "999999999999999999 1/2 : 1/999999999999999999",
    ] {
        assert!(
            matches!(
                parse_ratio(text).map_err(|error| error.problem),
                Err(Problem::TooManyDigits { .. })
            ),
            "{text}"
        );
    }
}

#[test]
fn rulers() {
    for (text, step, unit) in [
        ("1/8 in", 3_175_000, Unit::Inch),
        ("1/64\"", 396_875, Unit::Inch),
        ("1 mm", 1_000_000, Unit::Millimetre),
        ("0.5mm", 500_000, Unit::Millimetre),
        ("0.1 cm", 1_000_000, Unit::Centimetre),
    ] {
        let ruler = Ruler::parse(text).unwrap();
        assert_eq!((ruler.step().nm(), ruler.unit()), (step, unit), "{text}");
        assert_eq!(ruler.is_metric(), unit != Unit::Inch);
    }
    check_with(
        Ruler::parse,
        "0 in",
        "a ruler step of 0 in is too fine",
        "0 in",
        "write a step between `0.01 mm` and `100 mm`, such as `1/16 in`",
    );
    check_with(
        Ruler::parse,
        "11 cm",
        "a ruler step of 11 cm is too coarse",
        "11 cm",
        "write a step between `0.01 mm` and `100 mm`, such as `1 mm`",
    );
}

#[test]
fn the_unit_that_was_written() {
    assert_eq!(written_unit("5 1/8 x 8 1/2 in"), Some(Unit::Inch));
    assert_eq!(written_unit("5 in x 80 mm"), Some(Unit::Millimetre));
    assert_eq!(written_unit("5 x 8"), None);
    assert_eq!(written_unit("1e9 in"), None);
}

#[test]
fn a_long_text_is_not_looked_at() {
    let text = "9".repeat(1_000_000);
    assert_eq!(
        parse_length(&text),
        Err(LengthError {
            problem: Problem::TooLong { bytes: 1_000_000 },
            at: 0..1_000_000
        })
    );
    assert!(parse_length(&format!("{}4 in", " ".repeat(196))).is_ok());
    assert!(parse_length(&format!("{}4 in", " ".repeat(197))).is_err());
}

/// Whatever the text, every reader answers, and every error marks a part of the text.
fn nothing_panics(text: &str) -> Result<(), TestCaseError> {
    let errors = [
        parse_length(text).err(),
        parse_interval(text).err(),
        parse_size(text).err(),
        parse_size3(text).err(),
        parse_sides(text).err(),
        parse_ratio(text).err(),
        Ruler::parse(text).err(),
    ];
    for error in errors.into_iter().flatten() {
        prop_assert!(text.get(error.range()).is_some(), "{text:?}: {error:?}");
        prop_assert!(!error.to_string().is_empty() && !error.help().is_empty());
    }
    written_unit(text);
    Ok(())
}

/// Pieces of lengths in any order: what is almost right is where readers fail.
fn scraps() -> impl Strategy<Value = String> {
    let scrap = prop_oneof![
        4 => "[0-9]{1,3}",
        1 => "[0-9]{16,22}",
        1 => "[0-9]{0,20}\\.[0-9]{0,20}",
        8 => prop::sample::select(vec![
            " ", " ", " ", "/", "⁄", "-", "−", ".", ",", "⅜", "⅓", "in", "in.", "inch", "\"", "″",
            "'", "''", "mm", "cm", "m", "ft", "µm", "pt", "x", "×", "by", "to", "±", "+/-", "+",
            "%", ":", "e", "E", "e-", "\u{a0}", "\u{200b}", "ø", "ß", "👜",
        ]).prop_map(String::from),
    ];
    prop::collection::vec(scrap, 0..12).prop_map(|scraps| scraps.concat())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(4096))]

    #[test]
    fn any_text_is_answered(text in "\\PC{0,80}") {
        nothing_panics(&text)?;
    }

    #[test]
    fn any_string_is_answered(text: String) {
        nothing_panics(&text)?;
    }

    #[test]
    fn any_scraps_are_answered(text in scraps()) {
        nothing_panics(&text)?;
    }

    /// A fraction is read exactly or refused between its two neighbours.
    #[test]
    fn exact_or_between(over in 0_i64..4000, under in 1_i64..2000, unit in 0_usize..3) {
        let unit = [Unit::Inch, Unit::Millimetre, Unit::Centimetre][unit];
        let product = i128::from(over) * i128::from(unit.length().nm());
        let under_wide = i128::from(under);
        match parse_length(&format!("{over}/{under} {}", unit.name())).map_err(|e| e.problem) {
            Ok(length) => prop_assert_eq!(i128::from(length.nm()) * under_wide, product),
            Err(Problem::NotExact { below, above, mark_below, mark_above, .. }) => {
                prop_assert!(i128::from(below.nm()) * under_wide < product);
                prop_assert!(product < i128::from(above.nm()) * under_wide);
                prop_assert_eq!(above.nm() - below.nm(), 1);
                prop_assert!(mark_below <= below && above <= mark_above);
            }
            Err(problem) => {
                let too_large = matches!(problem, Problem::TooLarge { .. });
                prop_assert!(too_large, "{}", problem);
                prop_assert!(product > under_wide * i128::from(Length::LARGEST.nm()));
            }
        }
    }

    /// What an exponent is written out as is the same number.
    #[test]
    fn exponents_are_written_out_right(figures in 0_i64..1_000_000, places in 0_usize..6, power in -6_i32..6) {
        let padded = format!("{figures:0width$}", width = places + 1);
        let (whole, decimals) = padded.split_at(padded.len() - places);
        let plain = written_out(whole, decimals, &power.to_string());
        let ratio = |text: &str| text.parse::<f64>().map_or(f64::NAN, |value| (value * 1e12).round());
        let plain = plain.unwrap_or_default();
        prop_assert_eq!(ratio(&plain), ratio(&format!("{whole}.{decimals}0e{power}")));
        prop_assert!(!plain.contains('e'));
    }
}
