//! Lengths, exact: whole nanometres, read from what a maker types and shown on the maker's ruler.
//!
//! 1/64 in is 396 875 nm and 0.01 mm is 10 000 nm, so every mark of a ruler is held exactly; a
//! text that says anything finer than a nanometre is refused, never rounded. No float holds a
//! length; [`Length::mm`] exists for machines that read JSON.
//!
//! `words`, `measure` and `read` turn text into values, `problem` says what is wrong with a text and what to type
//! instead, `show` turns values into text. This room imports nothing of the crate.

mod measure;
mod problem;
mod read;
mod show;
mod words;

pub use problem::{LengthError, LengthProblem};
pub use read::{
    Sides, parse_interval, parse_length, parse_ratio, parse_sides, parse_size, written_unit,
};
pub use words::LONGEST_TEXT;

/// A length (nanometres), or a difference of two, which may be negative.
///
/// `Display` writes exact millimetres; a maker is shown [`Ruler::show`] instead.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Length(i64);

impl Length {
    /// No length.
    pub const ZERO: Length = Length(0);
    /// One inch, 25.4 mm.
    pub const INCH: Length = Length(25_400_000);
    /// One millimetre.
    pub const MM: Length = Length(1_000_000);
    /// The largest length that is read from text: 100 m.
    pub const LARGEST: Length = Length(100_000 * 1_000_000);

    /// A length in nanometres.
    pub const fn from_nm(nanometres: i64) -> Length {
        Length(nanometres)
    }

    /// Nanometres, exact.
    pub const fn nm(self) -> i64 {
        self.0
    }

    /// Millimetres, as near as a float gets: for JSON only, never to be computed with.
    pub fn mm(self) -> f64 {
        self.0 as f64 / 1e6
    }

    /// The sum, or `None` beyond the range of `i64`.
    pub const fn checked_add(self, other: Length) -> Option<Length> {
        match self.0.checked_add(other.0) {
            Some(nm) => Some(Length(nm)),
            None => None,
        }
    }

    /// The difference, negative where `other` is the longer, or `None` beyond the range of `i64`.
    pub const fn checked_sub(self, other: Length) -> Option<Length> {
        match self.0.checked_sub(other.0) {
            Some(nm) => Some(Length(nm)),
            None => None,
        }
    }

    /// A multiple of this length, or `None` beyond the range of `i64`.
    pub const fn checked_mul(self, times: i64) -> Option<Length> {
        match self.0.checked_mul(times) {
            Some(nm) => Some(Length(nm)),
            None => None,
        }
    }
}

/// A length that is known to lie between two lengths, both included; exact where they are equal.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Interval {
    least: Length,
    most: Length,
}

/// Ends this far apart are one length (nanometres): what a few roundings make of it.
const ROUNDED: i64 = 10;

impl Interval {
    /// A length known exactly.
    pub const fn exact(length: Length) -> Interval {
        Interval {
            least: length,
            most: length,
        }
    }

    /// From `least` to `most`, or `None` if `least` is negative or longer than `most`.
    pub fn between(least: Length, most: Length) -> Option<Interval> {
        (Length::ZERO <= least && least <= most).then_some(Interval { least, most })
    }

    /// `middle ± play`, or `None` if its least would be negative, if `play` is, or beyond `i64`.
    pub fn plus_minus(middle: Length, play: Length) -> Option<Interval> {
        Interval::between(middle.checked_sub(play)?, middle.checked_add(play)?)
    }

    /// Both ends so much longer; `None` where [`Interval::between`] is.
    pub fn longer(self, by: Length) -> Option<Interval> {
        Interval::between(self.least.checked_add(by)?, self.most.checked_add(by)?)
    }

    /// Both ends so much shorter.
    pub fn shorter(self, by: Length) -> Option<Interval> {
        Interval::between(self.least.checked_sub(by)?, self.most.checked_sub(by)?)
    }

    /// The least that it can be.
    pub const fn least(self) -> Length {
        self.least
    }

    /// The most that it can be.
    pub const fn most(self) -> Length {
        self.most
    }

    /// Whether it is known exactly.
    pub fn is_exact(self) -> bool {
        self.least == self.most
    }

    /// Whether its ends are the same but for what was rounded: a length that no nanometre meets.
    pub fn is_one(self) -> bool {
        !self.is_exact() && self.most.nm() - self.least.nm() <= ROUNDED
    }

    /// Half way between the ends, rounded down to a nanometre; exact for what was written with ±.
    pub const fn middle(self) -> Length {
        Length(self.least.0.midpoint(self.most.0))
    }
}

impl From<Length> for Interval {
    fn from(length: Length) -> Interval {
        Interval::exact(length)
    }
}

/// A unit that lengths are written in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Unit {
    Inch,
    Millimetre,
    Centimetre,
}

impl Unit {
    /// As it is written after a number: `in`, `mm`, `cm`.
    pub const fn name(self) -> &'static str {
        match self {
            Unit::Inch => "in",
            Unit::Millimetre => "mm",
            Unit::Centimetre => "cm",
        }
    }

    /// One of this unit.
    pub const fn length(self) -> Length {
        match self {
            Unit::Inch => Length::INCH,
            Unit::Millimetre => Length::MM,
            Unit::Centimetre => Length(10 * Length::MM.0),
        }
    }
}

/// The smallest step that a maker cuts to, and the unit that the maker reads.
///
/// A size to be cut is a whole number of steps, called ticks. Sizes are shown in `unit`, whatever
/// the step.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Ruler {
    step: Length,
    unit: Unit,
}

impl Ruler {
    /// The finest step: 0.01 mm.
    pub const FINEST: Length = Length(10_000);
    /// The coarsest step: 100 mm.
    pub const COARSEST: Length = Length(100 * Length::MM.0);
    /// The finest marks that rulers have: a sixty-fourth of an inch, a tenth of a millimetre.
    pub const MARKS: [Length; 2] = [Length(396_875), Length(100_000)];

    /// A ruler, or `None` if the step is not between [`Ruler::FINEST`] and [`Ruler::COARSEST`].
    pub fn new(step: Length, unit: Unit) -> Option<Ruler> {
        (Ruler::FINEST..=Ruler::COARSEST)
            .contains(&step)
            .then_some(Ruler { step, unit })
    }

    /// Reads a step, such as `1/16 in` or `0.5 mm`; the ruler shows sizes in the unit that it is
    /// written in.
    ///
    /// # Errors
    ///
    /// Those of [`parse_length`], and [`LengthProblem::Step`] if the step is not between
    /// [`Ruler::FINEST`] and [`Ruler::COARSEST`].
    pub fn parse(text: &str) -> Result<Ruler, LengthError> {
        read::parse_ruler(text)
    }

    /// The smallest step that is cut to.
    pub const fn step(self) -> Length {
        self.step
    }

    /// The unit that sizes are shown in.
    pub const fn unit(self) -> Unit {
        self.unit
    }

    /// Whether sizes are shown in millimetres or centimetres.
    pub const fn is_metric(self) -> bool {
        !matches!(self.unit, Unit::Inch)
    }

    /// The most ticks that are no longer than `length`. A size to be cut is rounded this way: three
    /// of it then still fit where three were planned.
    pub const fn ticks_down(self, length: Length) -> i64 {
        length.0.div_euclid(self.step.0)
    }

    /// The fewest ticks that are no shorter than `length`.
    pub const fn ticks_up(self, length: Length) -> i64 {
        // No overflow: the step is over 1 nm, so the quotient is far from the ends of i64.
        self.ticks_down(length) + if self.holds(length) { 0 } else { 1 }
    }

    /// Whether `length` is a whole number of ticks.
    pub const fn holds(self, length: Length) -> bool {
        length.0.rem_euclid(self.step.0) == 0
    }

    /// The length of a number of ticks, or `None` beyond the range of `i64` nanometres.
    pub const fn length_of(self, ticks: i64) -> Option<Length> {
        self.step.checked_mul(ticks)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn intervals_are_ordered_and_not_negative() {
        let mm = |n| Length::from_nm(n * Length::MM.nm());
        assert_eq!(Interval::between(mm(2), mm(1)), None);
        assert_eq!(Interval::between(mm(-1), mm(1)), None);
        assert_eq!(Interval::plus_minus(mm(1), mm(2)), None);
        assert_eq!(Interval::plus_minus(mm(3), mm(-1)), None);
        let play = Interval::plus_minus(mm(10), mm(1)).unwrap();
        assert_eq!(
            (play.least(), play.middle(), play.most()),
            (mm(9), mm(10), mm(11))
        );
        assert!(!play.is_exact() && Interval::exact(mm(9)).is_exact());
        let far = Interval::between(Length(i64::MAX - 3), Length(i64::MAX)).unwrap();
        assert_eq!(far.middle(), Length(i64::MAX - 2));
    }

    #[test]
    fn ticks_round_both_ways_below_zero_too() {
        let ruler = Ruler::new(Length::MM, Unit::Millimetre).unwrap();
        for (nm, down, up) in [
            (0, 0, 0),
            (1, 0, 1),
            (999_999, 0, 1),
            (1_000_000, 1, 1),
            (-1, -1, 0),
            (-1_000_000, -1, -1),
            (-1_000_001, -2, -1),
        ] {
            let length = Length::from_nm(nm);
            assert_eq!(
                (ruler.ticks_down(length), ruler.ticks_up(length)),
                (down, up)
            );
            assert_eq!(ruler.holds(length), down == up);
        }
        for nm in [i64::MIN, i64::MAX] {
            let length = Length::from_nm(nm);
            assert_eq!(ruler.ticks_up(length) - ruler.ticks_down(length), 1);
        }
        assert_eq!(ruler.length_of(i64::MAX), None);
        assert_eq!(
            ruler.length_of(-3).and_then(|l| l.checked_mul(-1)),
            Some(Length(3_000_000))
        );
    }

    #[test]
    fn arithmetic_does_not_wrap() {
        let most = Length::from_nm(i64::MAX);
        assert_eq!(most.checked_add(Length(1)), None);
        assert_eq!(Length::from_nm(i64::MIN).checked_sub(Length(1)), None);
        assert_eq!(
            Length::MM.checked_sub(Length::INCH),
            Some(Length(-24_400_000))
        );
    }
}
