//! Values that follow from others: how far a length plays, which of several is the tightest; worked out
//! again when a bag is measured anew. May import what `scene` may.

use super::facts;
use super::model::Form;
use super::{GivenId, Scene, ThingId};
use crate::length::{Interval, Length};
use crate::style::expr::Number;
use num_traits::{Signed, ToPrimitive};

/// A given value that follows from what bags measure.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Follows {
    pub leaf: ThingId,
    /// Absent where only the choice has to stay what it is.
    pub given: Option<GivenId>,
    pub how: How,
}

/// How a value follows from others.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum How {
    /// How far a length may be off its middle.
    Play(Form),
    /// By how much the last of these may miss the tightest of them all.
    Tightest {
        of: Vec<Form>,
        most: bool,
        taken: Tightest,
    },
}

/// Which of several is the tightest, whatever is uncertain in them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Tightest {
    /// This one.
    Is(usize),
    /// The last one is never above it (never below it, of the most), and no tighter is known.
    Last,
    /// The last one, less (or more) by what is not known.
    About,
}

impl Scene {
    /// Works out again what follows from the measures of these leaves' bags; `None` if it follows in
    /// another way than before.
    pub(super) fn follow_again(&mut self, leaves: &[ThingId]) -> Option<()> {
        for at in 0..self.follows.len() {
            let it = &self.follows[at];
            if !leaves.contains(&it.leaf) {
                continue;
            }
            let value = match &it.how {
                How::Play(form) => play(self, form)?,
                How::Tightest { of, most, taken } => {
                    let (now, short) = tightest_of(self, of, *most)?;
                    if now != *taken {
                        return None;
                    }
                    short
                }
            };
            if let Some(given) = it.given {
                self.givens[given.0 as usize].value = value;
            }
        }
        self.chosen
            .iter()
            .all(|tested| tested.is_as_before(self))
            .then_some(())
    }
}

/// How far a length may be off its middle.
pub(super) fn play(scene: &Scene, form: &Form) -> Option<Interval> {
    let (least, most) = facts::ends(scene, form)?;
    let play = ((most - least) / Number::from_integer(2)).ceil();
    let nm = play.to_integer().to_i64()?;
    Some(Interval::exact(Length::from_nm(nm)))
}

/// Which is the tightest, and by how much the last one may miss it.
pub(super) fn tightest_of(scene: &Scene, of: &[Form], most: bool) -> Option<(Tightest, Interval)> {
    let nothing = Interval::default();
    let less = |a: &Form, b: &Form| facts::ends(scene, &a.less(b)?);
    for (at, one) in of.iter().enumerate() {
        let mut tighter = true;
        for other in of {
            let (low, high) = less(one, other)?;
            tighter &= if most {
                !low.is_negative()
            } else {
                !high.is_positive()
            };
        }
        if tighter {
            return Some((Tightest::Is(at), nothing));
        }
    }
    let ends: Option<Vec<_>> = of.iter().map(|form| facts::ends(scene, form)).collect();
    let ends = ends?;
    let last = ends.last()?;
    let (exact, short) = match most {
        true => {
            let most = ends.iter().map(|(_, most)| *most).max()?;
            (last.1 == most, most - last.0)
        }
        false => {
            let least = ends.iter().map(|(least, _)| *least).min()?;
            (last.0 == least, last.1 - least)
        }
    };
    if exact {
        return Some((Tightest::Last, nothing));
    }
    let short = Length::from_nm(short.ceil().to_integer().to_i64()?);
    Some((Tightest::About, Interval::between(Length::ZERO, short)?))
}
