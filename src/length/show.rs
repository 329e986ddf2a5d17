//! Lengths as text: exact, in the unit of the maker's ruler, and read back as the same length.

use super::{Interval, Length, Ruler, Unit};
use std::fmt;

/// 1/64 in (nanometres): the finest binary fraction of an inch that is a whole number of them.
const SIXTY_FOURTH: u64 = 396_875;

/// 0.5 mm (nanometres): less is cut by no hand on purpose.
const HAIR: i64 = 500_000;

/// Between the whole and the fraction: a space that is narrow and does not break the line.
const NARROW: char = '\u{202f}';
/// Elsewhere inside a length or a size.
const NO_BREAK: char = '\u{a0}';

/// The characters that a length is written with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Script {
    /// `4 3/8 in`: for a terminal, for JSON and for files.
    Ascii,
    /// `4⅜ in`: for pages and drawings.
    Typographic,
}

impl Ruler {
    /// `4 3/8 in`, `111 mm`, `11.1 cm`: exact, also off the ruler, and in ASCII.
    ///
    /// In inches, a reduced fraction if its denominator is a power of two (64 at most: finer ones
    /// are no whole nanometres), else a decimal of up to six places (`0.0045 in`), else
    /// millimetres (`80 mm`). In millimetres or centimetres, a decimal. [`parse_length`] reads
    /// it back as the same length, if it is neither negative nor over [`Length::LARGEST`].
    ///
    /// [`parse_length`]: super::parse_length
    pub fn show(self, length: Length) -> String {
        Script::Ascii.sides(self.unit, &[length])
    }

    /// As [`Ruler::show`], for print: `4⅜ in`, `4 3⁄16 in` with U+2044, a true minus sign, and
    /// spaces that do not break (U+00A0; U+202F before a fraction).
    pub fn show_typographic(self, length: Length) -> String {
        Script::Typographic.sides(self.unit, &[length])
    }

    /// `4 1/4 x 5 1/2 in`, width by height; the unit is written twice only if the units differ.
    pub fn show_size(self, width: Length, height: Length) -> String {
        Script::Ascii.sides(self.unit, &[width, height])
    }

    /// A size as it is typed, `4 1/4 x 5 1/2 in` or `4 1/8 to 4 1/4 in x 5 1/2 in`: [`parse_size`] reads
    /// it back as the same.
    ///
    /// [`parse_size`]: super::parse_size
    pub fn type_size(self, width: Interval, height: Interval) -> String {
        if width.is_exact() && height.is_exact() {
            return self.show_size(width.least(), height.least());
        }
        let (width, height) = (self.show_interval(width), self.show_interval(height));
        format!("{width} x {height}")
    }

    /// As [`Ruler::show_size`], for print: `4¼ × 5½ in`.
    pub fn show_size_typographic(self, width: Length, height: Length) -> String {
        Script::Typographic.sides(self.unit, &[width, height])
    }

    /// As [`Ruler::show_size`], for any number of sides: `5 1/8 x 3 1/8 x 10 5/8 in`.
    pub fn show_sides(self, sides: &[Length]) -> String {
        Script::Ascii.sides(self.unit, sides)
    }

    /// `4 5/16 to 4 7/16 in`, or as [`Ruler::show`] if it is exact.
    pub fn show_interval(self, interval: Interval) -> String {
        match interval.is_one() {
            true => self.about(interval.least),
            false => Script::Ascii.interval(self.unit, interval),
        }
    }

    /// As [`Ruler::show_interval`], for print.
    pub fn show_interval_typographic(self, interval: Interval) -> String {
        match interval.is_one() {
            true => self
                .about(interval.least)
                .replace(' ', &NO_BREAK.to_string()),
            false => Script::Typographic.interval(self.unit, interval),
        }
    }

    /// Whether a length is shown in the ruler's own unit.
    pub fn shows_in_own(self, length: Length) -> bool {
        Script::Ascii.amount(length, self.unit).1 == self.unit
    }

    /// Digits behind the point of a length as it is shown.
    pub fn decimals(self, length: Length) -> usize {
        let (shown, _) = Script::Ascii.amount(length, self.unit);
        shown.split_once('.').map_or(0, |(_, rest)| rest.len())
    }

    /// The mark nearest to a length that no hand measures: ten marks of a metric ruler at least, with three digits
    /// more than these. `None` for any other.
    pub fn nearest(self, length: Length) -> Option<Length> {
        let fine = self.decimals(length) > self.decimals(self.step) + 2;
        let far = self.unit != Unit::Inch && length.nm().abs() >= self.step.nm().saturating_mul(10);
        (fine && far).then(|| self.mark(length))
    }

    /// The same of both sides, if it is so of one of them.
    pub fn nearest_size(self, width: Length, height: Length) -> Option<(Length, Length)> {
        let sides = [width, height];
        let is_far = sides.iter().any(|side| self.nearest(*side).is_some());
        is_far.then(|| (self.mark(width), self.mark(height)))
    }

    fn mark(self, length: Length) -> Length {
        let step = self.step.nm();
        let marks = (length.nm() + step / 2).div_euclid(step);
        Length::from_nm(marks.saturating_mul(step))
    }

    /// By how much something changes, for reading: as [`Ruler::show`] where that is short and in the ruler's
    /// unit, else rounded up; what no hand cuts is `a hair (0.009 in)`.
    pub fn amount(self, length: Length) -> String {
        if self.shows_in_own(length) && self.decimals(length) <= 2 {
            return self.show(length);
        }
        let about = self.round(length, true);
        let bare = about.trim_start_matches("about ");
        match length.nm() < HAIR.min(self.step.nm() / 2) {
            true => format!("a hair ({bare})"),
            false => about,
        }
    }

    /// `about 0.324 in`: a derived length, such as a thickness, to the nearest 0.001 in or 0.01 mm
    /// for reading, and written shorter where that is whole sixteenths or tenths. Not exact, and no length
    /// to cut to.
    pub fn about(self, length: Length) -> String {
        self.round(length, false)
    }

    fn round(self, length: Length, up: bool) -> String {
        let (step, short, places, unit) = match self.unit {
            Unit::Inch => (25_400, 25_400_000 / 16, 3, Unit::Inch),
            Unit::Millimetre => (10_000, 100_000, 2, Unit::Millimetre),
            Unit::Centimetre => (10_000, 100_000, 3, Unit::Centimetre),
        };
        let rest = length.nm().rem_euclid(step);
        let more = if up { rest > 0 } else { 2 * rest >= step };
        let steps = length.nm().div_euclid(step) + i64::from(more);
        let rounded = Length::from_nm(steps.saturating_mul(step));
        if rounded.nm() % short == 0 {
            return format!("about {}", in_unit(rounded, unit));
        }
        let power = 10_u64.pow(places);
        let (whole, rest) = (steps.unsigned_abs() / power, steps.unsigned_abs() % power);
        format!(
            "about {sign}{whole}.{rest:0places$} {unit}",
            sign = if steps < 0 { "-" } else { "" },
            places = places as usize,
            unit = unit.name(),
        )
    }
}

/// The step: `1/16 in`.
impl fmt::Display for Ruler {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // A ruler in centimetres has millimetres between them.
        match self.unit == Unit::Centimetre && self.step < Length::from_nm(10 * Length::MM.nm()) {
            true => f.write_str(&in_unit(self.step, Unit::Millimetre)),
            false => f.write_str(&self.show(self.step)),
        }
    }
}

/// Exact millimetres: `111.125 mm`.
impl fmt::Display for Length {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&in_unit(*self, Unit::Millimetre))
    }
}

/// A length in ASCII, in a unit or, if that cannot be exact, in millimetres.
pub(super) fn in_unit(length: Length, unit: Unit) -> String {
    Script::Ascii.sides(unit, &[length])
}

impl Script {
    fn sides(self, unit: Unit, sides: &[Length]) -> String {
        let between = match self {
            Script::Ascii => " x ".to_string(),
            Script::Typographic => format!("{NO_BREAK}×{NO_BREAK}"),
        };
        self.joined(unit, sides, &between)
    }

    fn interval(self, unit: Unit, interval: Interval) -> String {
        if interval.is_exact() {
            self.sides(unit, &[interval.least])
        } else {
            self.joined(unit, &[interval.least, interval.most], " to ")
        }
    }

    /// The lengths with `between` between them, and the unit once if all are in the same one.
    fn joined(self, unit: Unit, lengths: &[Length], between: &str) -> String {
        let space = match self {
            Script::Ascii => ' ',
            Script::Typographic => NO_BREAK,
        };
        let parts: Vec<(String, Unit)> = lengths.iter().map(|l| self.amount(*l, unit)).collect();
        let mut text = String::new();
        for (place, (amount, unit)) in parts.iter().enumerate() {
            if place > 0 {
                text.push_str(between);
            }
            text.push_str(amount);
            // A number takes the first unit that follows it.
            if parts.get(place + 1).is_none_or(|(_, next)| next != unit) {
                text.push(space);
                text.push_str(unit.name());
            }
        }
        text
    }

    /// The number alone, and the unit that it is in.
    fn amount(self, length: Length, unit: Unit) -> (String, Unit) {
        let nm = length.nm().unsigned_abs();
        let (number, unit) = match unit {
            Unit::Millimetre => (decimal(nm, 6), unit),
            Unit::Centimetre => (decimal(nm, 7), unit),
            Unit::Inch if nm.is_multiple_of(SIXTY_FOURTH) => {
                (self.fraction(nm / SIXTY_FOURTH), unit)
            }
            // 127 nm are 5 millionths of an inch; fewer have no decimal of six places.
            Unit::Inch if nm.is_multiple_of(127) => (decimal(nm / 127 * 5, 6), unit),
            Unit::Inch => (decimal(nm, 6), Unit::Millimetre),
        };
        let sign = match self {
            _ if length >= Length::ZERO => "",
            Script::Ascii => "-",
            Script::Typographic => "\u{2212}",
        };
        (format!("{sign}{number}"), unit)
    }

    /// Sixty-fourths as a whole and a reduced fraction.
    fn fraction(self, sixty_fourths: u64) -> String {
        let (whole, rest) = (sixty_fourths / 64, sixty_fourths % 64);
        if rest == 0 {
            return whole.to_string();
        }
        let halvings = rest.trailing_zeros();
        let (numerator, denominator) = (rest >> halvings, 64 >> halvings);
        let whole = if whole == 0 {
            String::new()
        } else {
            whole.to_string()
        };
        let single = match (numerator, denominator) {
            (1, 2) => Some('½'),
            (1, 4) => Some('¼'),
            (3, 4) => Some('¾'),
            (1, 8) => Some('⅛'),
            (3, 8) => Some('⅜'),
            (5, 8) => Some('⅝'),
            (7, 8) => Some('⅞'),
            _ => None,
        };
        match (self, single) {
            (Script::Typographic, Some(single)) => format!("{whole}{single}"),
            (Script::Typographic, None) if whole.is_empty() => {
                format!("{numerator}⁄{denominator}")
            }
            (Script::Typographic, None) => format!("{whole}{NARROW}{numerator}⁄{denominator}"),
            (Script::Ascii, _) if whole.is_empty() => format!("{numerator}/{denominator}"),
            (Script::Ascii, _) => format!("{whole} {numerator}/{denominator}"),
        }
    }
}

/// `units / 10^places` as a decimal without trailing zeros.
fn decimal(units: u64, places: u32) -> String {
    let power = 10_u64.pow(places);
    let (whole, rest) = (units / power, units % power);
    if rest == 0 {
        return whole.to_string();
    }
    let digits = format!("{rest:0places$}", places = places as usize);
    format!("{whole}.{}", digits.trim_end_matches('0'))
}

#[cfg(test)]
mod tests {
    use super::super::{parse_interval, parse_length, parse_size};
    use super::*;
    use proptest::prelude::*;

    fn ruler(text: &str) -> Ruler {
        Ruler::parse(text).unwrap()
    }

    fn length(text: &str) -> Length {
        parse_length(text).unwrap()
    }

    #[test]
    fn exact_on_and_off_the_ruler() {
        let (inch, mm, cm) = (ruler("1/16 in"), ruler("1 mm"), ruler("0.1 cm"));
        for (text, in_inches, in_mm, in_cm) in [
            ("4 3/8 in", "4 3/8 in", "111.125 mm", "11.1125 cm"),
            ("3/8 in", "3/8 in", "9.525 mm", "0.9525 cm"),
            ("4 in", "4 in", "101.6 mm", "10.16 cm"),
            ("2 63/64 in", "2 63/64 in", "75.803125 mm", "7.5803125 cm"),
            ("0.0045 in", "0.0045 in", "0.1143 mm", "0.01143 cm"),
            ("0.1 in", "0.1 in", "2.54 mm", "0.254 cm"),
            ("0.000005 in", "0.000005 in", "0.000127 mm", "0.0000127 cm"),
            ("80 mm", "80 mm", "80 mm", "8 cm"),
            ("111 mm", "111 mm", "111 mm", "11.1 cm"),
            ("0.000001 mm", "0.000001 mm", "0.000001 mm", "0.0000001 cm"),
            ("0 mm", "0 in", "0 mm", "0 cm"),
        ] {
            let length = length(text);
            assert_eq!(inch.show(length), in_inches);
            assert_eq!(mm.show(length), in_mm);
            assert_eq!(cm.show(length), in_cm);
            assert_eq!(length.to_string(), in_mm);
        }
        let less = Length::from_nm(-9_525_000);
        assert_eq!(inch.show(less), "-3/8 in");
        assert_eq!(inch.show_typographic(less), "\u{2212}⅜\u{a0}in");
        assert_eq!(
            mm.show(Length::from_nm(i64::MIN)),
            "-9223372036854.775808 mm"
        );
        assert_eq!(inch.to_string(), "1/16 in");
    }

    #[test]
    fn for_print() {
        let inch = ruler("1/16 in");
        let shown = |text| inch.show_typographic(length(text));
        assert_eq!(shown("4 3/8 in"), "4⅜\u{a0}in");
        assert_eq!(shown("4 3/16 in"), "4\u{202f}3⁄16\u{a0}in");
        assert_eq!(shown("3/16 in"), "3⁄16\u{a0}in");
        assert_eq!(shown("½ in"), "½\u{a0}in");
        assert_eq!(shown("80 mm"), "80\u{a0}mm");
        assert_eq!(
            inch.show_size_typographic(length("4 1/4 in"), length("5 1/2 in")),
            "4¼\u{a0}×\u{a0}5½\u{a0}in"
        );
    }

    #[test]
    fn sizes_and_intervals() {
        let inch = ruler("1/16 in");
        let (a, b, c) = (length("4 1/4 in"), length("5 1/2 in"), length("80 mm"));
        assert_eq!(inch.show_size(a, b), "4 1/4 x 5 1/2 in");
        assert_eq!(inch.show_size(a, c), "4 1/4 in x 80 mm");
        assert_eq!(inch.show_sides(&[a, c, c]), "4 1/4 in x 80 x 80 mm");
        assert_eq!(inch.show_sides(&[c, a, b]), "80 mm x 4 1/4 x 5 1/2 in");
        let play = parse_interval("4 3/8 ± 1/16 in").unwrap();
        assert_eq!(inch.show_interval(play), "4 5/16 to 4 7/16 in");
        assert_eq!(inch.show_interval(Interval::exact(a)), "4 1/4 in");
        assert_eq!(
            inch.show_interval_typographic(play),
            "4\u{202f}5⁄16 to 4\u{202f}7⁄16\u{a0}in"
        );
    }

    #[test]
    fn about_is_the_nearest_and_says_so() {
        let (inch, mm, cm) = (ruler("1/16 in"), ruler("1 mm"), ruler("0.1 cm"));
        for (nm, in_inches, in_mm, in_cm) in [
            (
                8_229_600,
                "about 0.324 in",
                "about 8.23 mm",
                "about 0.823 cm",
            ),
            (
                8_229_601,
                "about 0.324 in",
                "about 8.23 mm",
                "about 0.823 cm",
            ),
            (
                8_242_300,
                "about 0.325 in",
                "about 8.24 mm",
                "about 0.824 cm",
            ),
            (
                8_235_000,
                "about 0.324 in",
                "about 8.24 mm",
                "about 0.824 cm",
            ),
            (25_400_000, "about 1 in", "about 25.4 mm", "about 2.54 cm"),
            (0, "about 0 in", "about 0 mm", "about 0 cm"),
            (-1, "about 0 in", "about 0 mm", "about 0 cm"),
            (
                -30_000,
                "about -0.001 in",
                "about -0.03 mm",
                "about -0.003 cm",
            ),
        ] {
            let length = Length::from_nm(nm);
            assert_eq!(inch.about(length), in_inches);
            assert_eq!(mm.about(length), in_mm);
            assert_eq!(cm.about(length), in_cm);
        }
        // A third of 212 mm is one length, between two nanometres.
        let third = Interval::between(Length::from_nm(70_666_666), Length::from_nm(70_666_667));
        assert_eq!(mm.show_interval(third.unwrap()), "about 70.67 mm");
    }

    #[test]
    fn amounts_that_no_hand_cuts() {
        let (inch, mm, cm) = (ruler("1/8 in"), ruler("1 mm"), ruler("0.1 cm"));
        for (nm, in_inches, in_mm) in [
            (225_000, "a hair (0.009 in)", "a hair (0.23 mm)"),
            (225_001, "a hair (0.009 in)", "a hair (0.23 mm)"),
            (250_000, "a hair (0.010 in)", "0.25 mm"),
            (3_175_000, "1/8 in", "about 3.18 mm"),
            (793_750, "1/32 in", "about 0.8 mm"),
            (1_000_000, "about 0.040 in", "1 mm"),
            (0, "0 in", "0 mm"),
        ] {
            let length = Length::from_nm(nm);
            assert_eq!(inch.amount(length), in_inches);
            assert_eq!(mm.amount(length), in_mm);
        }
        assert_eq!(cm.amount(Length::from_nm(225_000)), "a hair (0.023 cm)");
        assert_eq!(cm.amount(Length::from_nm(1_500_000)), "0.15 cm");
    }

    /// 1/64 in, 0.01 mm, or any nanometre.
    fn any_length() -> impl Strategy<Value = Length> {
        prop_oneof![
            (0..=20_000_i64).prop_map(|n| n * SIXTY_FOURTH as i64),
            (0..=1_000_000_i64).prop_map(|n| n * 10_000),
            (0..=100_000_000_i64).prop_map(|n| n * 127),
            0..=Length::LARGEST.nm(),
        ]
        .prop_map(Length::from_nm)
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(4096))]

        #[test]
        fn what_is_shown_is_read_back(a in any_length(), b in any_length(), unit in 0_usize..3) {
            let unit = [Unit::Inch, Unit::Millimetre, Unit::Centimetre][unit];
            let ruler = Ruler::new(Length::MM, unit).unwrap();
            for text in [ruler.show(a), ruler.show_typographic(a)] {
                prop_assert_eq!(parse_length(&text), Ok(a), "{}", text);
            }
            for text in [ruler.show_size(a, b), ruler.show_size_typographic(a, b)] {
                let size = (Interval::exact(a), Interval::exact(b));
                prop_assert_eq!(parse_size(&text), Ok(size), "{}", text);
            }
            let interval = Interval::between(a.min(b), a.max(b)).unwrap();
            for text in [ruler.show_interval(interval), ruler.show_interval_typographic(interval)] {
                prop_assert_eq!(parse_interval(&text), Ok(interval), "{}", text);
            }
            prop_assert!(ruler.show_size(a, b).is_ascii());
        }

        #[test]
        fn ticks_are_read_back(ticks in 0..100_000_i64, step in 0_usize..6) {
            let step = ["1/64 in", "1/16 in", "1/10 in", "0.01 mm", "0.5 mm", "0.1 cm"][step];
            let ruler = ruler(step);
            let length = ruler.length_of(ticks).unwrap();
            prop_assert!(ruler.holds(length));
            prop_assert_eq!((ruler.ticks_down(length), ruler.ticks_up(length)), (ticks, ticks));
            if length <= Length::LARGEST {
                prop_assert_eq!(parse_length(&ruler.show(length)), Ok(length));
            }
        }
    }
}
