//! Text to words, signs and numbers. Numbers are whole or decimal here; fractions come later.

use super::Unit;
use super::problem::{LengthError, LengthProblem as Problem, fail};
use std::ops::Range;

/// The longest text that is read (bytes).
pub const LONGEST_TEXT: usize = 200;

/// More digits than this before or after a decimal point are never needed, and these fit in `i64`.
const MOST_DIGITS: usize = 18;

#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Kind {
    Whole(i64),
    /// `over / under`; `cut` if digits too fine to matter were left out, so that it is not exact.
    Decimal {
        over: i128,
        under: i128,
        cut: bool,
    },
    /// A fraction in one character.
    Vulgar(i64, i64),
    Slash,
    Hyphen,
    Unit(Unit),
    Other(&'static OtherUnit),
    Times,
    PlusMinus,
    To,
    Colon,
    Percent,
    Word,
    Sign,
}

#[derive(Clone, Debug)]
pub(super) struct Token {
    pub(super) kind: Kind,
    pub(super) at: Range<usize>,
}

/// A unit that is known but not used: its names, its length as a fraction (nanometres), and the
/// unit to say it in.
#[derive(Debug, PartialEq)]
pub(super) struct OtherUnit {
    names: &'static [&'static str],
    pub(super) nm: (i128, i128),
    pub(super) say: Unit,
}

pub(super) const FOOT: OtherUnit = OtherUnit {
    names: &["ft", "foot", "feet"],
    nm: (12 * 25_400_000, 1),
    say: Unit::Inch,
};

#[rustfmt::skip] // A row a line.
static OTHER_UNITS: [OtherUnit; 8] = [
    FOOT,
    OtherUnit { names: &["yd", "yard", "yards"], nm: (36 * 25_400_000, 1), say: Unit::Inch },
    OtherUnit { names: &["thou", "mil", "mils"], nm: (25_400, 1), say: Unit::Inch },
    OtherUnit { names: &["pt", "point", "points"], nm: (25_400_000, 72), say: Unit::Inch },
    OtherUnit { names: &["pc", "pica", "picas"], nm: (25_400_000, 6), say: Unit::Inch },
    OtherUnit { names: &["m", "metre", "metres", "meter", "meters"], nm: (1_000_000_000, 1), say: Unit::Millimetre },
    OtherUnit { names: &["dm"], nm: (100_000_000, 1), say: Unit::Millimetre },
    OtherUnit { names: &["um", "µm", "μm", "micron", "microns"], nm: (1_000, 1), say: Unit::Millimetre },
];

const UNIT_NAMES: [(&str, Unit); 13] = [
    ("in", Unit::Inch),
    ("inch", Unit::Inch),
    ("inches", Unit::Inch),
    ("mm", Unit::Millimetre),
    ("cm", Unit::Centimetre),
    ("millimetre", Unit::Millimetre),
    ("millimetres", Unit::Millimetre),
    ("millimeter", Unit::Millimetre),
    ("millimeters", Unit::Millimetre),
    ("centimetre", Unit::Centimetre),
    ("centimetres", Unit::Centimetre),
    ("centimeter", Unit::Centimetre),
    ("centimeters", Unit::Centimetre),
];

fn unit_named(word: &str) -> Option<Unit> {
    UNIT_NAMES
        .iter()
        .find(|(name, _)| name.eq_ignore_ascii_case(word))
        .map(|(_, unit)| *unit)
}

fn other_unit_named(word: &str) -> Option<&'static OtherUnit> {
    OTHER_UNITS
        .iter()
        .find(|unit| unit.names.iter().any(|n| n.eq_ignore_ascii_case(word)))
}

/// The unit whose name is the fewest letters away from the word, if that is few and it is the only
/// one so near: a wrong guess at a unit is worse than none.
pub(super) fn nearest_unit(word: &str) -> Option<Unit> {
    let word = word.to_lowercase();
    let distance = |name: &str| strsim::levenshtein(name, &word);
    let nearest = UNIT_NAMES.iter().map(|(name, _)| distance(name)).min()?;
    let mut units = UNIT_NAMES
        .iter()
        .filter(|(name, _)| distance(name) == nearest)
        .map(|(_, unit)| *unit);
    let unit = units.next()?;
    let near = nearest <= 2 && nearest < word.chars().count();
    (near && units.all(|other| other == unit)).then_some(unit)
}

pub(super) fn vulgar(c: char) -> Option<(i64, i64)> {
    Some(match c {
        '½' => (1, 2),
        '⅓' => (1, 3),
        '⅔' => (2, 3),
        '¼' => (1, 4),
        '¾' => (3, 4),
        '⅕' => (1, 5),
        '⅖' => (2, 5),
        '⅗' => (3, 5),
        '⅘' => (4, 5),
        '⅙' => (1, 6),
        '⅚' => (5, 6),
        '⅐' => (1, 7),
        '⅛' => (1, 8),
        '⅜' => (3, 8),
        '⅝' => (5, 8),
        '⅞' => (7, 8),
        '⅑' => (1, 9),
        '⅒' => (1, 10),
        _ => return None,
    })
}

/// Spaces of any width, and the characters without width that divide a whole from its fraction.
fn is_space(c: char) -> bool {
    c.is_whitespace() || matches!(c, '\u{200b}' | '\u{2060}' | '\u{2064}' | '\u{feff}')
}

/// The bytes at the start of `text` that are decimal digits.
fn digits(text: &str) -> &str {
    let end = text
        .find(|c: char| !c.is_ascii_digit())
        .unwrap_or(text.len());
    &text[..end]
}

fn starts_with_digit(text: &str) -> bool {
    text.starts_with(|c: char| c.is_ascii_digit())
}

pub(super) fn lex(text: &str) -> Result<Vec<Token>, LengthError> {
    if text.len() > LONGEST_TEXT {
        return Err(fail(Problem::TooLong { bytes: text.len() }, 0..text.len()));
    }
    let mut tokens = Vec::new();
    let mut start = 0;
    while let Some(c) = text[start..].chars().next() {
        let rest = &text[start..];
        if is_space(c) {
            start += c.len_utf8();
            continue;
        }
        let (kind, length) = if starts_with_digit(rest.strip_prefix('.').unwrap_or(rest)) {
            number(rest, start)?
        } else if let Some((over, under)) = vulgar(c) {
            (Kind::Vulgar(over, under), c.len_utf8())
        } else if let Some(found) = sign(rest) {
            found
        } else if c.is_alphabetic() {
            word(rest)
        } else {
            (Kind::Sign, c.len_utf8())
        };
        tokens.push(Token {
            kind,
            at: start..start + length,
        });
        start += length;
    }
    if tokens.is_empty() {
        return Err(fail(Problem::Empty, 0..text.len()));
    }
    Ok(tokens)
}

fn sign(rest: &str) -> Option<(Kind, usize)> {
    const INCHES: Kind = Kind::Unit(Unit::Inch);
    // Longer signs before those that they begin with.
    const SIGNS: [(&str, Kind); 31] = [
        ("+/-", Kind::PlusMinus),
        ("+/\u{2212}", Kind::PlusMinus),
        ("+-", Kind::PlusMinus),
        ("±", Kind::PlusMinus),
        ("''", INCHES),
        ("\u{2032}\u{2032}", INCHES),
        ("\u{2019}\u{2019}", INCHES),
        ("\"", INCHES),
        ("\u{2033}", INCHES),
        ("\u{201d}", INCHES),
        ("\u{201c}", INCHES),
        ("\u{2ba}", INCHES),
        ("'", Kind::Other(&FOOT)),
        ("\u{2032}", Kind::Other(&FOOT)),
        ("\u{2019}", Kind::Other(&FOOT)),
        ("/", Kind::Slash),
        ("\u{2044}", Kind::Slash),
        ("\u{2215}", Kind::Slash),
        ("-", Kind::Hyphen),
        ("\u{2010}", Kind::Hyphen),
        ("\u{2011}", Kind::Hyphen),
        ("\u{2212}", Kind::Hyphen),
        ("\u{d7}", Kind::Times),
        ("\u{2715}", Kind::Times),
        ("\u{2716}", Kind::Times),
        ("\u{2a2f}", Kind::Times),
        ("*", Kind::Times),
        (":", Kind::Colon),
        ("\u{2236}", Kind::Colon),
        ("%", Kind::Percent),
        ("\u{66a}", Kind::Percent),
    ];
    SIGNS
        .iter()
        .find(|(sign, _)| rest.starts_with(sign))
        .map(|(sign, kind)| (*kind, sign.len()))
}

fn word(rest: &str) -> (Kind, usize) {
    let end = rest
        .find(|c: char| !c.is_alphabetic())
        .unwrap_or(rest.len());
    let (word, after) = rest.split_at(end);
    if let Some(unit) = unit_named(word) {
        let dotted = word.eq_ignore_ascii_case("in")
            && after
                .strip_prefix('.')
                .is_some_and(|after| !starts_with_digit(after));
        return (Kind::Unit(unit), end + usize::from(dotted));
    }
    // `4inx5in`: the unit now, the `x` next.
    if let Some(unit) = word.strip_suffix(['x', 'X']).and_then(unit_named) {
        return (Kind::Unit(unit), end - 1);
    }
    let kind = match word {
        "x" | "X" | "by" => Kind::Times,
        "to" => Kind::To,
        _ => other_unit_named(word).map_or(Kind::Word, Kind::Other),
    };
    (kind, end)
}

/// A whole number or a decimal, and its bytes.
fn number(rest: &str, start: usize) -> Result<(Kind, usize), LengthError> {
    let whole = digits(rest);
    let mut length = whole.len();
    let decimals = rest[length..].strip_prefix('.').map_or("", digits);
    if !decimals.is_empty() {
        length += 1 + decimals.len();
    }
    let after = &rest[length..];
    let refuse = |problem: fn(String) -> Problem, length: usize| {
        let found = rest[..length].to_string();
        Err(fail(problem(found), start..start + length))
    };

    if let Some(thousands) = after.strip_prefix(',').map(digits)
        && !thousands.is_empty()
        && decimals.is_empty()
    {
        let length = length + 1 + thousands.len();
        return refuse(|number| Problem::Comma { number }, length);
    }
    if let Some(power) = after.strip_prefix(['e', 'E']) {
        let unsigned = power.strip_prefix(['+', '-']).unwrap_or(power);
        let end = rest.len() - unsigned.len() + digits(unsigned).len();
        if starts_with_digit(unsigned) {
            let power = &rest[length + 1..end];
            return Err(fail(
                Problem::Exponent {
                    number: rest[..end].to_string(),
                    plain: written_out(whole, decimals, power),
                },
                start..start + end,
            ));
        }
    }

    let too_many = |number| Problem::TooManyDigits { number };
    let whole = whole.trim_start_matches('0');
    if whole.len() > MOST_DIGITS {
        return refuse(too_many, length);
    }
    let value = whole
        .bytes()
        .fold(0, |value, digit| value * 10 + i64::from(digit - b'0'));
    if decimals.is_empty() {
        return Ok((Kind::Whole(value), length));
    }
    let decimals = decimals.trim_end_matches('0');
    let kept = &decimals[..decimals.len().min(MOST_DIGITS)];
    let mut over = i128::from(value);
    let mut under = 1;
    for digit in kept.bytes() {
        over = over * 10 + i128::from(digit - b'0');
        under *= 10;
    }
    let cut = kept.len() < decimals.len();
    Ok((Kind::Decimal { over, under, cut }, length))
}

/// `whole.decimals` times ten to `power`, without an exponent, if that is short.
pub(super) fn written_out(whole: &str, decimals: &str, power: &str) -> Option<String> {
    let power: i32 = power.parse().ok()?;
    let point = i32::try_from(whole.len()).ok()?.checked_add(power)?;
    let figures = format!("{whole}{decimals}");
    if figures.len() > MOST_DIGITS || !(-9..=12).contains(&power) {
        return None;
    }
    let zeros = |count: i32| "0".repeat(usize::try_from(count).unwrap_or(0));
    let padded = format!(
        "{}{figures}{}",
        zeros(1 - point),
        zeros(point - i32::try_from(figures.len()).ok()?)
    );
    let (before, after) = padded.split_at_checked(usize::try_from(point.max(1)).ok()?)?;
    let before = before.trim_start_matches('0');
    let before = if before.is_empty() { "0" } else { before };
    let after = after.trim_end_matches('0');
    Some(if after.is_empty() {
        before.to_string()
    } else {
        format!("{before}.{after}")
    })
}
