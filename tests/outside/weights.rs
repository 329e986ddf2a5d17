//! Weights and thicknesses that others have printed. Beside each value stands its source and how it
//! came here: READ = read in a stored copy, DER = derived here, MEM = from memory.

use num_rational::Ratio;
use tuckwright::length::{Length, parse_length};
use tuckwright::price::weight::{micrograms, steel};
use tuckwright::supplies::weight::{Basis, Number, caliper, parse};

fn decimal(text: &str) -> Number {
    let (whole, part) = text.split_once('.').unwrap_or((text, ""));
    let digits: i128 = format!("{whole}{part}").parse().expect("a number");
    Ratio::new(digits, 10_i128.pow(part.len() as u32))
}

fn basis(name: &str) -> &'static Basis {
    Basis::named(name).expect("a kind of paper")
}

/// Within a thousandth: tables are rounded, and some start from 1406.5 for 1406.139.
fn near(ours: Number, printed: &str) {
    let printed = decimal(printed);
    let off = if ours > printed {
        ours - printed
    } else {
        printed - ours
    };
    assert!(
        off * Number::from(1000) <= printed,
        "{ours} is not {printed}"
    );
}

#[test]
fn factors_from_pounds_to_grams() {
    let one = Number::from(1);
    for (kind, sheets, exact, printed) in [
        // Factor tables of paper merchants, READ.
        ("bond", 500, "3.75973", "3.760"),
        ("cover", 500, "2.70411", "2.704"),
        ("cover", 500, "2.70411", "2.7042"),
        ("tag", 500, "1.62748", "1.627"),
        ("kraft", 500, "1.62748", "1.627"),
        ("book", 500, "1.48015", "1.480"),
        ("text", 500, "1.48015", "1.4802"),
        ("kraft", 480, "1.69529", "1.695"),
    ] {
        let factor = basis(kind).grams(one, sheets);
        near(factor, printed);
        // DER: lb x 453.59237 / (sheets x 0.00064516 x square inches), to five places.
        let five = Number::from(100_000);
        assert_eq!((factor * five).round(), decimal(exact) * five, "{kind}");
    }
    // The same tables print two decimals here, so half of the last one is allowed. READ.
    for (kind, printed) in [("index", "1.81"), ("bristol", "2.19")] {
        let hundred = Number::from(100);
        let rounded = (basis(kind).grams(one, 500) * hundred).round();
        assert_eq!(rounded, decimal(printed) * hundred, "{kind}");
    }
}

#[test]
fn worked_weights() {
    // Printed examples on paper weights, READ.
    for (pounds, kind, printed) in [
        (20, "bond", "75.2"),
        (100, "cover", "270.42"),
        (90, "book", "133.218"),
        (28, "bond", "105.3"),
    ] {
        near(basis(kind).grams(Number::from(pounds), 500), printed);
    }
    // Printed in whole grams, READ.
    for (pounds, kind, printed) in [(50, "cover", 135), (50, "text", 74)] {
        let grams = basis(kind).grams(Number::from(pounds), 500);
        assert_eq!(grams.round().to_integer(), printed, "{kind}");
    }
    // 103.6 g/m2 is printed as 69.93 lb book (READ); exact is 69.99 (DER).
    let factor = basis("book").grams(Number::from(1), 500);
    near(decimal("103.6") / factor, "69.93");
}

#[test]
fn worked_thicknesses() {
    let length = |text: &str| parse_length(text).expect("a length");
    let leaves = |one: Length, n| one.checked_mul(n).expect("in range");
    // A book printer's examples, READ: 128 pages, .0039 in a leaf.
    assert_eq!(leaves(length("0.0039 in"), 128 / 2), length("0.2496 in"));
    // 200 pages of .005 in.
    assert_eq!(leaves(length("0.005 in"), 200 / 2), length("1/2 in"));
    // 250 pages of 90 g/m2 make 11.25 mm, with a bulk of 1.0.
    let leaf = caliper(Number::from(90), Number::from(1)).expect("in range");
    assert_eq!(leaves(leaf, 250 / 2), length("11.25 mm"));
}

#[test]
fn usual_bulk_holds_the_printed_calipers() {
    // A printing table of bond calipers, READ: pounds, inches.
    for (pounds, inches) in [
        ("10", "0.002"),
        ("12", "0.0025"),
        ("13.5", "0.00275"),
        ("15", "0.003"),
        ("16", "0.00325"),
        ("18", "0.0035"),
        ("20", "0.004"),
        ("24", "0.0045"),
        ("28", "0.0052"),
        ("32", "0.006"),
    ] {
        let weight = tuckwright::supplies::weight::parse(&format!("{pounds} lb bond"));
        let range = weight.expect("a weight").caliper(None).expect("in range");
        let printed = parse_length(&format!("{inches} in")).expect("a length");
        assert!(
            range.least() <= printed && printed <= range.most(),
            "{pounds} lb bond: {printed} is not within {range:?}"
        );
    }
    // A hobby encyclopaedia's table of kraft, READ, reams of 480: within 2 %, as the rule printed
    // beside it (a ten-thousandth of an inch a pound) is rounded.
    for (pounds, inches) in [("30", "0.003"), ("50", "0.005"), ("70", "0.007")] {
        let weight = tuckwright::supplies::weight::parse(&format!("{pounds} lb kraft 480 sheets"));
        let range = weight.expect("a weight").caliper(None).expect("in range");
        let printed = parse_length(&format!("{inches} in")).expect("a length");
        let off = (range.most().nm() - printed.nm()).abs();
        assert!(off * 50 <= printed.nm(), "{pounds} lb kraft");
    }
}

/// Grams of a sheet of a paper.
fn sheet(width: &str, height: &str, grams: Number) -> Number {
    let nm = |text: &str| i128::from(parse_length(text).expect("a length").nm());
    let weight = micrograms(nm(width) * nm(height), grams).expect("in range");
    weight / Number::from(1_000_000)
}

#[test]
fn sheets_of_iso_216_at_80_grams() {
    // An encyclopaedia's table of sizes, READ; the weights DER: width x height x 80 g/m2. What is said of a
    // sheet of A4, that it weighs 5 g, is rounded.
    for (width, height, grams) in [
        ("841 mm", "1189 mm", "79.99592"),
        ("297 mm", "420 mm", "9.9792"),
        ("210 mm", "297 mm", "4.9896"),
        ("148 mm", "210 mm", "2.4864"),
        ("105 mm", "148 mm", "1.2432"),
    ] {
        assert_eq!(sheet(width, height, Number::from(80)), decimal(grams));
    }
}

#[test]
fn sheets_in_inches_by_the_pound() {
    let hundredths = |grams: Number| (grams * Number::from(100)).round().to_integer();
    let pounds = |text: &str| parse(text).expect("a weight").grams.0;
    // DER: 12 x 12 in is 0.09290304 m2. By definition 500 sheets of 17 x 22 in weigh 20 lb, and a letter
    // sheet is a quarter of one.
    let card = sheet("12 in", "12 in", pounds("65 lb cover"));
    assert_eq!(hundredths(card), 1633);
    let letter = sheet("8 1/2 in", "11 in", pounds("20 lb bond"));
    assert_eq!(letter, decimal("453.59237") * Number::new(20, 2000));
    for (text, printed) in [
        ("20 lb bond", "75.19"),
        ("65 lb cover", "175.77"),
        ("110 lb index", "198.88"),
        ("30 lb kraft", "48.82"),
        ("40 lb kraft", "65.10"),
        ("57 lb kraft", "92.77"),
    ] {
        let rounded = hundredths(pounds(text));
        assert_eq!(
            Number::from(rounded),
            decimal(printed) * Number::from(100),
            "{text}"
        );
    }
}

#[test]
fn rings_of_steel_wire() {
    // DER: 7.85 g/cm3 (MEM) x pi / 4 d^2 x pi (D + d), in grams to two places.
    for (inside, wire, printed) in [("1/2 in", "3/32 in", 166), ("1 in", "1/8 in", 558)] {
        let nm = |text: &str| i128::from(parse_length(text).expect("a length").nm());
        let grams = steel(nm(inside), nm(wire)) / Number::from(10_000);
        assert_eq!(grams.round().to_integer(), printed, "{inside}");
    }
}
