//! Any text is answered; what is written out is read again as it was.

use super::super::super::words::written_out;
use super::*;
use proptest::prelude::*;

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
        let (whole, rest) = (over / under, over % under);
        let text = format!("{whole} {rest}/{under} {}", unit.name());
        match parse_length(&text).map_err(|e| e.problem) {
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
