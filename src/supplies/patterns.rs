//! Hole patterns that are published, by the names under which an album may ask for them.
//!
//! A pattern says where its holes lie above the lowest one. Equal spacing is the special case: the
//! Swedish four-hole and the seven-ring patterns have none.

use crate::length::Length;

/// How a published value came here.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mark {
    /// Read in a stored copy, mostly a secondary one and not the paid standard.
    Read,
    /// From memory.
    Memory,
}

/// A published hole pattern. Tolerances are left out: the nominal measures are what is drilled to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pattern {
    pub name: &'static str,
    /// Of a hole, where the source fixes it.
    pub diameter: Option<Length>,
    /// Hole centres from the spine edge, where the source fixes it.
    pub edge: Option<Length>,
    /// Hole centres above the lowest one's, which is the first and zero; rising.
    pub offsets: &'static [Length],
    pub source: &'static str,
    pub mark: Mark,
}

impl Pattern {
    /// The pattern of a name, in letters of any case.
    pub fn named(name: &str) -> Option<&'static Pattern> {
        PATTERNS
            .iter()
            .find(|pattern| pattern.name.eq_ignore_ascii_case(name.trim()))
    }

    /// Number of holes.
    pub fn holes(&self) -> i64 {
        i64::try_from(self.offsets.len()).unwrap_or(i64::MAX)
    }

    /// From the lowest hole's centre to the highest one's.
    pub fn span(&self) -> Length {
        self.offsets.last().copied().unwrap_or(Length::ZERO)
    }

    /// Whether its measures are metric: those in inches go by quarters.
    pub fn is_metric(&self) -> bool {
        let quarter = Length::INCH.nm() / 4;
        self.offsets.iter().any(|it| it.nm() % quarter != 0)
    }

    /// Hole spacing, if it is the same everywhere.
    pub fn pitch(&self) -> Option<Length> {
        let pitch = *self.offsets.get(1)?;
        self.offsets
            .iter()
            .zip(0..)
            .all(|(offset, place)| pitch.checked_mul(place) == Some(*offset))
            .then_some(pitch)
    }
}

const fn mm(hundredths: i64) -> Length {
    Length::from_nm(hundredths * Length::MM.nm() / 100)
}

const fn inch(quarters: i64) -> Length {
    Length::from_nm(quarters * Length::INCH.nm() / 4)
}

const fn row<const N: usize>(pitch: Length) -> [Length; N] {
    let mut offsets = [Length::ZERO; N];
    let mut place = 1;
    while place < N {
        offsets[place] = Length::from_nm(offsets[place - 1].nm() + pitch.nm());
        place += 1;
    }
    offsets
}

/// Quarters of an inch between neighbours.
const fn gaps<const N: usize>(quarters: [i64; N]) -> [Length; N] {
    // The first of the given gaps is 0, so that there are as many as holes.
    let mut offsets = [Length::ZERO; N];
    let mut place = 1;
    while place < N {
        offsets[place] = Length::from_nm(offsets[place - 1].nm() + inch(quarters[place]).nm());
        place += 1;
    }
    offsets
}

const JIS: &str = "JIS Z 8303: holes of 6 mm, 9.5 mm apart, 6.5 mm from the edge";
const ORGANISERS: &str = "a reference page on organisers";

/// `hole`: its diameter and its centre from the spine edge, in hundredths of a millimetre.
const fn pattern(
    name: &'static str,
    hole: Option<(i64, i64)>,
    offsets: &'static [Length],
    mark: Mark,
    source: &'static str,
) -> Pattern {
    let (diameter, edge) = match hole {
        Some((diameter, edge)) => (Some(mm(diameter)), Some(mm(edge))),
        None => (None, None),
    };
    Pattern {
        name,
        diameter,
        edge,
        offsets,
        source,
        mark,
    }
}

/// The published patterns.
#[rustfmt::skip] // A row a line.
pub const PATTERNS: &[Pattern] = &[
    pattern("ISO 838", Some((600, 1200)), &row::<2>(mm(8000)), Mark::Read, "ISO 838:1974: two holes of 6 mm, 80 mm apart, 12 mm from the edge"),
    pattern("ISO 838 four-hole", Some((600, 1200)), &row::<4>(mm(8000)), Mark::Read, "one more hole 80 mm above and below those of ISO 838, which does not have them"),
    pattern("US three-hole", None, &row::<3>(inch(17)), Mark::Read, "common practice: 4 1/4 in apart; diameter and edge vary, no standard fixes them"),
    pattern("US two-hole top", None, &row::<2>(inch(11)), Mark::Read, "common practice: 2 3/4 in apart"),
    pattern("half letter three-hole", None, &row::<3>(inch(11)), Mark::Read, "a reference page on organisers: span 5 1/2 in"),
    pattern("A4 30-hole", Some((600, 650)), &row::<30>(mm(950)), Mark::Read, JIS),
    pattern("B5 26-hole", Some((600, 650)), &row::<26>(mm(950)), Mark::Read, JIS),
    pattern("B4 36-hole", Some((600, 650)), &row::<36>(mm(950)), Mark::Read, JIS),
    pattern("A5 20-hole", Some((600, 650)), &row::<20>(mm(950)), Mark::Memory, JIS),
    pattern("Swedish four-hole", None, &[mm(0), mm(2100), mm(9100), mm(11200)], Mark::Read, "common practice in Sweden: 21, 70 and 21 mm apart"),
    pattern("seven-ring letter", None, &gaps([0, 4, 4, 9, 9, 4, 4]), Mark::Read, ORGANISERS),
    pattern("seven-ring half letter", None, &gaps([0, 4, 4, 3, 3, 4, 4]), Mark::Read, ORGANISERS),
    pattern("six-ring A5", None, &gaps([0, 3, 3, 11, 3, 3]), Mark::Read, ORGANISERS),
    pattern("six-ring personal", None, &gaps([0, 3, 3, 8, 3, 3]), Mark::Read, ORGANISERS),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn offsets_start_at_zero_and_rise() {
        for pattern in PATTERNS {
            assert_eq!(pattern.offsets[0], Length::ZERO, "{}", pattern.name);
            assert!(pattern.offsets.is_sorted_by(|a, b| a < b));
            assert_eq!(Pattern::named(pattern.name), Some(pattern));
        }
    }

    #[test]
    fn only_equal_spacing_has_a_pitch() {
        let pitch = |name| Pattern::named(name).and_then(Pattern::pitch);
        assert_eq!(pitch("iso 838"), Some(mm(8000)));
        assert_eq!(pitch("A4 30-hole"), Some(mm(950)));
        assert_eq!(pitch("Swedish four-hole"), None);
        assert_eq!(pitch("seven-ring letter"), None);
    }
}
