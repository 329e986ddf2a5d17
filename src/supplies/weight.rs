//! What is printed on a pack of paper, pounds of a basis size or grams: thickness comes of it, and
//! weight. And what a thing weighs on a scale.
//!
//! Everything is an exact fraction until the end, where a thickness is rounded up to a whole
//! nanometre: too thick is the cautious side.

use std::ops::Range;

use num_rational::Ratio;
use thiserror::Error;

use crate::length::{Interval, Length};

/// An exact number.
pub type Number = Ratio<i128>;

/// A kind of paper: the sheet that its pounds are counted in, and how bulky it usually is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Basis {
    pub name: &'static str,
    /// Sides of the basis sheet (hundredths of an inch).
    pub sheet: (i128, i128),
    /// Usual bulk, from and to (hundredths of a cubic centimetre a gram).
    pub bulk: (i128, i128),
}

// Bulk: bond from a printing table of calipers (10 lb .002 in to 32 lb .006 in); book from a book
// printer's table and 1.22 for uncoated offset; kraft from a hobby encyclopaedia (30 lb .003 in to
// 70 lb .007 in); those of cover, index, tag and bristol are from memory.
/// The kinds of paper whose weight may be said in pounds.
#[rustfmt::skip] // A row a line.
pub const BASES: &[Basis] = &[
    Basis { name: "bond", sheet: (1700, 2200), bulk: (125, 141) },
    Basis { name: "cover", sheet: (2000, 2600), bulk: (137, 145) },
    Basis { name: "book", sheet: (2500, 3800), bulk: (122, 136) },
    Basis { name: "text", sheet: (2500, 3800), bulk: (122, 136) },
    Basis { name: "kraft", sheet: (2400, 3600), bulk: (150, 150) },
    Basis { name: "tag", sheet: (2400, 3600), bulk: (108, 120) },
    Basis { name: "index", sheet: (2550, 3050), bulk: (108, 115) },
    Basis { name: "bristol", sheet: (2250, 2850), bulk: (115, 150) },
];

/// Bulk of a paper of which only the grams are said: from coated gloss to kraft.
const ANY_BULK: (i128, i128) = (80, 150);

impl Basis {
    /// The kind of a name.
    pub fn named(name: &str) -> Option<&'static Basis> {
        BASES.iter().find(|basis| basis.name == name)
    }

    /// Grams a square metre, exact, of paper of which a ream of a number of sheets has a given weight.
    pub fn grams(&self, pounds: Number, ream: i128) -> Number {
        // 1 lb = 453.59237 g and 1 in = 0.0254 m, both by definition.
        let pound = Number::new(45_359_237, 100_000);
        let inch = Number::new(254, 10_000);
        let side = |hundredths| inch * Number::new(hundredths, 100);
        let sheet = side(self.sheet.0) * side(self.sheet.1);
        pounds * pound / (sheet * Number::from(ream))
    }
}

/// Thickness of paper of a weight (grams a square metre) and a bulk (cubic centimetres a gram),
/// rounded up to a whole nanometre.
pub fn caliper(grams: Number, bulk: Number) -> Option<Length> {
    // g/m2 x cm3/g = 1e-6 m = 1000 nm.
    let nanometres = (grams * bulk * Number::from(1000)).ceil().to_integer();
    i64::try_from(nanometres).ok().map(Length::from_nm)
}

/// What a text says of a paper's weight.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Weight {
    /// Grams a square metre, from and to: a ream of kraft has 480 sheets or 500.
    pub grams: (Number, Number),
    /// Usual bulk of its kind (cubic centimetres a gram), from and to.
    pub bulk: (Number, Number),
}

impl Weight {
    /// Thickness with a measured bulk, or with what is usual for the kind.
    pub fn caliper(&self, bulk: Option<Number>) -> Option<Interval> {
        let (least, most) = bulk.map_or(self.bulk, |bulk| (bulk, bulk));
        Interval::between(caliper(self.grams.0, least)?, caliper(self.grams.1, most)?)
    }
}

/// What one thing weighs, as its maker knows it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Weighs {
    /// On a scale (grams).
    Grams(Number),
    /// Its paper (grams a square metre), from and to.
    Paper(Number, Number),
}

/// What is wrong with a weight or a bulk.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum WeightProblem {
    #[error("a weight begins with a number")]
    NoNumber,
    #[error("`{found}` is not a unit of weight")]
    NoUnit { found: String },
    #[error("a weight in pounds needs the kind of paper")]
    NoKind,
    #[error("`{found}` is not a kind of paper")]
    UnknownKind { found: String },
    #[error("`{found}` does not belong here")]
    Unexpected { found: String },
    #[error("no paper weighs {grams} g/m2")]
    OutOfRange { grams: i128 },
    /// `paper`: the weight of its paper would do too.
    #[error("`{found}` is not the weight of a thing")]
    NotGrams { found: String, paper: bool },
    #[error("a thing weighs more than nothing, and at most 100 kg")]
    NoThing,
    #[error("a bulk lies between 0.4 and 4 cm3/g")]
    Bulk,
}

impl WeightProblem {
    /// What to type instead.
    pub fn help(&self) -> String {
        let kinds: Vec<&str> = BASES.iter().map(|basis| basis.name).collect();
        let near = match self {
            WeightProblem::UnknownKind { found } => crate::text::nearest(found, kinds.clone()),
            _ => None,
        };
        let meant = near.map_or("type".to_owned(), |near| {
            format!("did you mean `{near}`? Type")
        });
        match self {
            WeightProblem::Bulk => "type a number like `1.3`, or measure the caliper".to_owned(),
            WeightProblem::NotGrams { paper: true, .. } => {
                "weigh it and type grams or ounces, `5.2 g` or `0.2 oz`; or type the weight of its paper, `80 g/m2` or `30 lb kraft`".to_owned()
            }
            WeightProblem::NotGrams { .. } | WeightProblem::NoThing => {
                "weigh it and type `5.2 g`, `1.1 kg`, `0.2 oz` or `2 lb`".to_owned()
            }
            WeightProblem::OutOfRange { .. } => {
                "type a weight from `5 g/m2` to `2000 g/m2`".to_owned()
            }
            _ => format!(
                "{meant} a weight like `65 lb cover` or `176 g/m2`; the kinds of paper are {}",
                crate::text::listed(&kinds)
            ),
        }
    }
}

/// Reads `65 lb cover`, `50 lb kraft 480 sheets`, `176 g/m2`, `176 g/m2 cover`.
///
/// # Errors
///
/// What is wrong, and which bytes of the text.
pub fn parse(text: &str) -> Result<Weight, (WeightProblem, Range<usize>)> {
    let mut words = Words { text, at: 0 };
    let whole = 0..text.len();
    let number = words.number();
    let (amount, at) = number.ok_or((WeightProblem::NoNumber, whole.clone()))?;
    let amount = amount.ok_or((WeightProblem::NoNumber, at))?;
    let (unit, unit_at) = words.word();
    let pounds = match unit {
        "lb" | "lbs" | "#" => true,
        "g/m2" | "g/m²" | "gsm" => false,
        _ => {
            let found = unit.to_owned();
            return Err((WeightProblem::NoUnit { found }, unit_at));
        }
    };
    let (kind, kind_at) = words.word();
    let basis = match (kind, Basis::named(&kind.to_lowercase())) {
        ("", _) if pounds => return Err((WeightProblem::NoKind, whole)),
        ("", _) => None,
        (_, Some(basis)) => Some(basis),
        (found, None) => {
            let found = found.to_owned();
            return Err((WeightProblem::UnknownKind { found }, kind_at));
        }
    };
    let ream = words.ream()?;
    let (rest, rest_at) = words.word();
    if !rest.is_empty() {
        let found = rest.to_owned();
        return Err((WeightProblem::Unexpected { found }, rest_at));
    }
    let grams = match basis.filter(|_| pounds) {
        None => (amount, amount),
        Some(basis) => {
            let reams = match ream {
                Some(sheets) => (sheets, sheets),
                None if basis.name == "kraft" => (500, 480),
                None => (500, 500),
            };
            (basis.grams(amount, reams.0), basis.grams(amount, reams.1))
        }
    };
    if grams.0 < Number::from(5) || grams.1 > Number::from(2000) {
        let grams = grams.0.round().to_integer();
        return Err((WeightProblem::OutOfRange { grams }, whole));
    }
    let (from, to) = basis.map_or(ANY_BULK, |basis| basis.bulk);
    Ok(Weight {
        grams,
        bulk: (Number::new(from, 100), Number::new(to, 100)),
    })
}

/// Reads a bulk: `1.3`, `1.3 cm3/g`.
///
/// # Errors
///
/// What is wrong, and which bytes of the text.
pub fn parse_bulk(text: &str) -> Result<Number, (WeightProblem, Range<usize>)> {
    let wrong = || (WeightProblem::Bulk, 0..text.len());
    let mut words = Words { text, at: 0 };
    let bulk = words.number().and_then(|(n, _)| n).ok_or_else(wrong)?;
    let unit = words.word().0;
    let sane = bulk >= Number::new(4, 10) && bulk <= Number::from(4);
    if !sane || !matches!(unit, "" | "cm3/g" | "cm³/g") || !words.word().0.is_empty() {
        return Err(wrong());
    }
    Ok(bulk)
}

/// Reads what a thing weighs on a scale (grams): `5.2 g`, `1.1 kg`, `0.2 oz`, `2 lb`.
///
/// # Errors
///
/// What is wrong, and which bytes of the text.
pub fn parse_grams(text: &str) -> Result<Number, (WeightProblem, Range<usize>)> {
    let wrong = || {
        let found = text.trim().to_owned();
        let paper = false;
        (WeightProblem::NotGrams { found, paper }, 0..text.len())
    };
    let mut words = Words { text, at: 0 };
    let amount = words.number().and_then(|(n, _)| n).ok_or_else(wrong)?;
    // 1 lb = 16 oz = 453.59237 g by definition.
    let unit = match words.word().0 {
        "g" => Number::from(1),
        "kg" => Number::from(1000),
        "oz" => Number::new(45_359_237, 1_600_000),
        "lb" | "lbs" => Number::new(45_359_237, 100_000),
        _ => return Err(wrong()),
    };
    if !words.word().0.is_empty() {
        return Err(wrong());
    }
    let grams = amount * unit;
    match grams > Number::from(0) && grams <= Number::from(100_000) {
        true => Ok(grams),
        false => Err((WeightProblem::NoThing, 0..text.len())),
    }
}

/// Reads what a thing weighs, or its paper.
///
/// # Errors
///
/// What is wrong, and which bytes of the text.
pub fn parse_weighs(text: &str) -> Result<Weighs, (WeightProblem, Range<usize>)> {
    match (parse_grams(text), parse(text)) {
        (Ok(grams), _) => Ok(Weighs::Grams(grams)),
        (_, Ok(paper)) => Ok(Weighs::Paper(paper.grams.0, paper.grams.1)),
        (Err((WeightProblem::NotGrams { found, .. }, at)), Err((problem, part))) => {
            Err(match problem {
                WeightProblem::UnknownKind { .. } | WeightProblem::OutOfRange { .. } => {
                    (problem, part)
                }
                _ => (WeightProblem::NotGrams { found, paper: true }, at),
            })
        }
        (Err(problem), Err(_)) => Err(problem),
    }
}

struct Words<'t> {
    text: &'t str,
    at: usize,
}

impl<'t> Words<'t> {
    fn skip(&mut self) -> &'t str {
        let rest = &self.text[self.at..];
        self.at += rest.len() - rest.trim_start().len();
        &self.text[self.at..]
    }

    /// A decimal number, and where it stands; absent inside if it has too many digits.
    fn number(&mut self) -> Option<(Option<Number>, Range<usize>)> {
        let rest = self.skip();
        let len = rest
            .find(|c: char| !c.is_ascii_digit() && c != '.')
            .unwrap_or(rest.len());
        let start = self.at;
        self.at += len;
        let (whole, part) = rest[..len].split_once('.').unwrap_or((&rest[..len], ""));
        if whole.is_empty() && part.is_empty() || part.contains('.') {
            return None;
        }
        let number = (whole.len() <= 6 && part.len() <= 6)
            .then(|| format!("{whole}{part}").parse().ok())
            .flatten()
            .and_then(|digits: i128| {
                let scale = 10_i128.pow(u32::try_from(part.len()).ok()?);
                Some(Number::new(digits, scale))
            });
        Some((number, start..self.at))
    }

    /// What stands up to the next space; empty at the end.
    fn word(&mut self) -> (&'t str, Range<usize>) {
        let rest = self.skip();
        let len = rest.find(char::is_whitespace).unwrap_or(rest.len());
        let start = self.at;
        self.at += len;
        (&rest[..len], start..self.at)
    }

    /// `480 sheets` or `500 sheets`, if anything follows.
    fn ream(&mut self) -> Result<Option<i128>, (WeightProblem, Range<usize>)> {
        let (sheets, at) = self.word();
        let ream = match sheets {
            "" => return Ok(None),
            "480" => 480,
            "500" => 500,
            found => {
                let found = found.to_owned();
                return Err((WeightProblem::Unexpected { found }, at));
            }
        };
        let (word, at) = self.word();
        if word != "sheets" {
            let found = format!("{sheets} {word}").trim().to_owned();
            return Err((WeightProblem::Unexpected { found }, at));
        }
        Ok(Some(ream))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn weights_are_read_in_both_systems() {
        for text in [
            "65 lb cover",
            "65lb  Cover",
            "65 lbs cover",
            "65# cover",
            "20.5 lb bond",
            "50 lb kraft 480 sheets",
            "176 g/m2",
            "176 g/m²",
            "176gsm cover",
        ] {
            assert!(parse(text).is_ok(), "{text}: {:?}", parse(text));
        }
        for (text, bytes) in [
            ("", 0..0),
            ("cover", 0..5),
            ("65", 2..2),
            ("65 kg", 3..5),
            ("65 lb", 0..5),
            ("65 lb covr", 6..10),
            ("65 lb cover paper", 12..17),
            ("1 g/m2", 0..6),
            ("0 lb bond", 0..9),
            ("9999999 g/m2", 0..7),
            ("1.2.3 g/m2", 0..10),
            ("50 lb kraft 480", 15..15),
        ] {
            assert_eq!(parse(text).map_err(|e| e.1), Err(bytes), "{text}");
        }
    }

    #[test]
    fn kraft_without_its_ream_is_a_range() {
        let kraft = parse("50 lb kraft").expect("a weight");
        assert_eq!(
            kraft.grams.0,
            parse("50 lb kraft 500 sheets").unwrap().grams.0
        );
        assert_eq!(
            kraft.grams.1,
            parse("50 lb kraft 480 sheets").unwrap().grams.1
        );
        assert!(kraft.grams.0 < kraft.grams.1);
    }

    #[test]
    fn thickness_is_rounded_up() {
        let one = Number::from(1);
        assert_eq!(
            caliper(Number::from(90), one),
            Some(Length::from_nm(90_000))
        );
        let third = Number::new(1, 3);
        assert_eq!(caliper(third, one), Some(Length::from_nm(334)));
    }

    #[test]
    fn things_are_weighed_in_both_systems() {
        let number = Number::new;
        for (text, grams) in [
            ("5.2 g", number(52, 10)),
            ("5.2g", number(52, 10)),
            ("1.1 kg", number(1100, 1)),
            ("16 oz", number(45_359_237, 100_000)),
            ("1 lb", number(45_359_237, 100_000)),
        ] {
            assert_eq!(parse_weighs(text), Ok(Weighs::Grams(grams)), "{text}");
        }
        let (least, most) = parse("30 lb kraft").expect("a weight").grams;
        assert_eq!(parse_weighs("30 lb kraft"), Ok(Weighs::Paper(least, most)));
        for text in [
            "",
            "5",
            "-5 g",
            "0 g",
            "5 g g",
            "101 kg",
            "5 stone",
            "30 lb krft",
            "9999 gsm",
        ] {
            assert!(parse_weighs(text).is_err(), "{text}");
        }
        assert!(parse_grams("80 gsm").is_err());
    }

    #[test]
    fn a_bulk_is_sane() {
        assert_eq!(parse_bulk("1.3").ok(), Some(Number::new(13, 10)));
        assert_eq!(parse_bulk("1.3 cm3/g").ok(), Some(Number::new(13, 10)));
        for text in ["", "0", "5", "1.3 kg", "x", "1.3 cm3/g x"] {
            assert!(parse_bulk(text).is_err(), "{text}");
        }
    }
}
