//! Intervals, sizes, ratios, rulers and units.

use super::*;

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
        "the `±` of 1/8 in is more than the length of 1/16 in itself",
        "1/16 ± 1/8 in",
        "type a `±` of `1/16 in` or less",
    );
    check_with(
        parse_interval,
        "5 to 4 in",
        "5 in is more than 4 in",
        "5 to 4 in",
        "type `4 in to 5 in`",
    );
    check_with(
        parse_interval,
        "4 3/8 in ± 1/16",
        "`1/16` has no unit",
        "1/16",
        "type `1/16 in`",
    );
    check_with(
        parse_interval,
        "100000 ± 1 mm",
        "`100000 ± 1 mm` is more than 100 m",
        "100000 ± 1 mm",
        "look for a slip in the number or the unit",
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
        Sides {
            width: inches("5 1/8 in"),
            gusset: Some(inches("3 1/8 in")),
            height: inches("10 5/8 in")
        }
    );
    assert_eq!(
        sides("5 1/8 x 8 1/2 in ± 1/16 in"),
        Sides {
            width: inches("5 1/8 ± 1/16 in"),
            gusset: None,
            height: inches("8 1/2 ± 1/16 in")
        }
    );

    check_with(
        parse_size,
        "4 x 5",
        "`4 x 5` has no unit",
        "4 x 5",
        "type `4 x 5 in` or `4 x 5 mm`",
    );
    check_with(
        parse_size,
        "4 in x 5",
        "`5` has no unit",
        "5",
        "type `5 in` or `5 mm`",
    );
    check_with(
        parse_size,
        "4 x 5 1/3 in",
        "`5 1/3 in` cannot be kept exactly: it is not a whole number of nanometres",
        "5 1/3 in",
        "type `5 21/64 in` or `5 11/32 in`; the nearest that can be kept are `135.466666 mm` \
         and `135.466667 mm`",
    );
    check_with(
        parse_size,
        "4 in",
        "1 side is written here",
        "4 in",
        "type width x height, such as `4 1/4 x 5 1/2 in`",
    );
    check_with(
        parse_sides,
        "1 x 2 x 3 x 4 in",
        "4 sides are written here",
        "1 x 2 x 3 x 4 in",
        "type width x height, such as `5 1/8 x 8 1/2 in`, or width x gusset x height, such as \
         `5 1/8 x 3 1/8 x 10 5/8 in`",
    );
    check_with(
        parse_size,
        "4 in x",
        "a number is missing at the end",
        "",
        "type a number and a unit, such as `4 3/8 in` or `111 mm`",
    );
    check_with(
        parse_sides,
        "5 1/ x 8 1/2 in",
        "the number below the line of `1/` is missing",
        "1/",
        "type it, as in `4 3/8 in`",
    );
    check_with(
        parse_size,
        "2in 4in",
        "an `x` is missing between two sides",
        "4",
        "type `2in x 4in`",
    );
    check_with(
        parse_size,
        " A99",
        "no sheet or envelope is called `A99`",
        "A99",
        "type `A0` to `A10`, the same with `B` or `C`, or `DL`; or a size, such as \
         `4 1/4 x 5 1/2 in`",
    );
    check_with(
        parse_sides,
        "1/16 x 2 x 3 in ± 1/8 in",
        "the `±` of 1/8 in is more than the length of 1/16 in itself",
        "1/16 x 2 x 3 in ± 1/8 in",
        "type a `±` of `1/16 in` or less",
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
        assert_eq!(problem, format!("`{text}` is not a ratio"));
        assert_eq!(help, "type `1/6`, `65 %`, `0.65` or `2:3`");
    }
    for (text, meant) in [("3x2", "3:2"), ("4 × 5", "4 : 5"), ("square", "1:1")] {
        assert_eq!(refused(parse_ratio, text).2, format!("type `{meant}`"));
    }
    check_with(
        parse_ratio,
        "3:0",
        "`3:0` divides by zero",
        "3:0",
        "type 1 or more below the line",
    );
    check_with(
        parse_ratio,
        "-1/6",
        "`-1/6` is negative",
        "-1/6",
        "leave the minus out: a length is measured from zero up",
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
        "type a step between `0.01 mm` and `100 mm`, such as `1/16 in`",
    );
    check_with(
        Ruler::parse,
        "11 cm",
        "a ruler step of 11 cm is too coarse",
        "11 cm",
        "type a step between `0.01 mm` and `100 mm`, such as `1 mm`",
    );
}

#[test]
fn the_unit_that_was_written() {
    assert_eq!(written_unit("5 1/8 x 8 1/2 in"), Some(Unit::Inch));
    assert_eq!(written_unit("5 in x 80 mm"), Some(Unit::Millimetre));
    assert_eq!(written_unit("5 x 8"), None);
    assert_eq!(written_unit("1e9 in"), None);
}
