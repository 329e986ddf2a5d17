//! One comparison of a rule becomes rows in whole ruler steps.
//!
//! Everything here rounds to the safe side, once: an uncertain value stands at its worse end, and
//! `sum a x <= b` over whole unknowns keeps only the whole part of `b` after the common divisor
//! is taken out.

use super::fault::ExpandError;
use super::maker::{Expanded, Maker, RowSource};
use super::*;
use crate::length::Length;
use crate::scene::GivenId;
use crate::scene::model::{Form, Meaning, Model, NoValue, Picks, Scope, Terms, Value, difference};
use crate::style::Rule;
use crate::style::expr::{Comparison, Number, Relation, plus, times};
use itertools::Itertools;
use num_integer::Integer;
use num_traits::{CheckedDiv, CheckedMul, Signed, ToPrimitive, Zero};
use std::collections::{BTreeMap, BTreeSet};

/// `sum of coefficient * unknown + constant <= 0` before it is rounded: coefficients count lengths,
/// the constant nanometres.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Loose {
    pub terms: Terms<UnknownId>,
    pub constant: Number,
}

/// Terms and right side of a row in whole numbers, and the ruler steps in one unit of it.
pub type Whole = (Vec<(UnknownId, i64)>, i64, Number);

/// Fractions finer than one part of this are refused: no rule of a craft asks for them.
pub(super) const FINEST: i128 = 1 << 40;

/// The guards that say "these items are picked"; none for a choice of one item.
fn guards(model: &Model, picks: &Picks) -> Vec<Guard> {
    let mut guards: Vec<Guard> = picks
        .iter()
        .filter_map(|(key, &pick)| {
            let group = model.choices.get(key)?.group?;
            Some(Guard {
                group,
                alternative: pick as u32,
            })
        })
        .collect();
    guards.sort_unstable();
    guards
}

impl Loose {
    /// `side * form`, its given values at their worse ends; those in `open` are unknowns instead.
    /// `None` if numbers grow too large.
    pub fn of(
        model: &Model,
        form: &Form,
        side: i64,
        open: &BTreeMap<GivenId, UnknownId>,
    ) -> Option<Loose> {
        let side = Number::from_integer(side.into());
        let mut loose = Loose::default();
        for (id, n) in form.unknowns.iter() {
            loose.terms.add(*id, times(n, &side)?)?;
        }
        for (given, n) in form.givens.iter() {
            let n = times(n, &side)?;
            if let Some(id) = open.get(given) {
                loose.terms.add(*id, n)?;
                continue;
            }
            let value = model.interval(*given);
            let end = if n.is_positive() {
                value.most()
            } else {
                value.least()
            };
            let product = times(&n, &Number::from_integer(end.nm().into()))?;
            loose.constant = plus(&loose.constant, &product)?;
        }
        Some(loose)
    }

    /// The same row over whole ruler steps.
    pub fn whole(&self, step: Length) -> Option<Whole> {
        if *self.constant.denom() > FINEST {
            return None;
        }
        let common = self
            .terms
            .values()
            .try_fold(1i128, |l, n| match *n.denom() {
                1 => Some(l),
                d => (d / l.gcd(&d)).checked_mul(l),
            })?;
        if common > FINEST {
            return None;
        }
        let terms = self
            .terms
            .iter()
            .map(|(id, n)| Some((*id, n.numer().checked_mul(&(common / n.denom()))?)));
        let terms: Vec<(UnknownId, i128)> = terms.collect::<Option<_>>()?;
        let divisor = terms.iter().fold(0i128, |g, (_, n)| match g {
            1 => 1,
            _ => g.gcd(n),
        });
        let divisor = divisor.max(1);
        let over = self.constant.numer().checked_mul(&-common)?;
        let under = self.constant.denom().checked_mul(&step.nm().into())?;
        let most = whole_part(over, under.checked_mul(divisor)?)?;
        let terms = terms
            .into_iter()
            .map(|(id, n)| Some((id, (n / divisor).to_i64()?)));
        let per_unit = Number::new(divisor, common);
        Some((terms.collect::<Option<_>>()?, most, per_unit))
    }
}

/// The whole part of a row's right side. This is where, and the only place where, something is
/// rounded: the right side loses its fraction, which no whole left side could use. `under` is more
/// than nothing.
pub(super) fn whole_part(over: i128, under: i128) -> Option<i64> {
    over.div_euclid(under).to_i64()
}

impl Expanded {
    /// Asks so much less of a rule, beside what is accepted of it already. `None` if the numbers are too
    /// large, or where it compares bare numbers.
    pub fn loosen(&mut self, id: InstanceId, by: Length) -> Option<()> {
        let before = self.accepted.get(&id).copied().unwrap_or(Length::ZERO);
        let all = before.checked_add(by)?;
        let step = self.ruler.step();
        let whole = |length: Length| Number::from_integer(length.nm().into());
        for at in self.program.instances.get(id.0 as usize)?.rows.clone() {
            let most = match self.row_sources.get(at)? {
                RowSource::Form { form, side } => self.most_of(form, *side, all)?,
                // It is no stronger than what it follows from, which is rounded down.
                RowSource::Follows => {
                    let unit = self.row_steps.get(at)?.checked_mul(&whole(step))?;
                    let units = whole(by).checked_div(&unit)?.ceil().to_integer();
                    self.program
                        .rows
                        .get(at)?
                        .most
                        .checked_add(units.to_i64()?)?
                }
                RowSource::Numbers => return None,
            };
            self.program.rows.get_mut(at)?.most = most;
        }
        self.accepted.insert(id, all);
        Some(())
    }

    /// The right side of a row of which so much less is asked.
    fn most_of(&self, form: &Form, side: i64, less: Length) -> Option<i64> {
        let mut loose = Loose::of(&self.model, form, side, &BTreeMap::new())?;
        let less = Number::from_integer(less.nm().into());
        loose.constant = plus(&loose.constant, &-less)?;
        Some(loose.whole(self.ruler.step())?.1)
    }

    /// The least that, asked less of a rule, leaves as much room for whole ruler steps as `by` does. `None`
    /// as in [`Expanded::loosen`].
    pub fn least_like(&self, id: InstanceId, by: Length) -> Option<Length> {
        let before = self.accepted.get(&id).copied().unwrap_or(Length::ZERO);
        let sources = self
            .row_sources
            .get(self.program.instances.get(id.0 as usize)?.rows.clone())?;
        let room = |by: i64| {
            let all = before.checked_add(Length::from_nm(by))?;
            let forms = sources.iter().filter_map(|source| match source {
                RowSource::Form { form, side } => Some(self.most_of(form, *side, all)),
                RowSource::Follows | RowSource::Numbers => None,
            });
            forms.collect::<Option<Vec<i64>>>()
        };
        let wanted = room(by.nm())?;
        let (mut less, mut enough) = (-1, by.nm());
        while enough - less > 1 {
            let middle = less.midpoint(enough);
            match room(middle)? == wanted {
                true => enough = middle,
                false => less = middle,
            }
        }
        Some(Length::from_nm(enough))
    }
}

impl Maker<'_> {
    /// The left side less the right one, for every way to pick the items that they read.
    fn differences(
        &self,
        comparison: &Comparison,
        scope: &Scope,
    ) -> Vec<(Picks, Result<Value, NoValue>)> {
        let model = self.model();
        let Comparison { left, right, .. } = comparison;
        let less = |left, right| difference(left, right, comparison.place);
        let plain = model.value_without_choice(left, scope);
        let plain = plain.zip(model.value_without_choice(right, scope));
        if let Some((left, right)) = plain {
            let one = left.and_then(|left| less(left, right?));
            return vec![(Picks::new(), one)];
        }
        let mut choices = BTreeSet::new();
        for side in [left, right] {
            model.reads(side, scope, &mut |_, meaning| match meaning {
                Meaning::Column(key, _) if !choices.contains(key) => {
                    choices.insert(key.clone());
                }
                _ => {}
            });
        }
        let all = model.all_picks(&choices).into_iter();
        all.map(|picks| {
            let value = |side| model.value(side, scope, &picks);
            let one = value(left).and_then(|left| less(left, value(right)?));
            (picks, one)
        })
        .collect()
    }

    pub(super) fn comparison(
        &mut self,
        rule: &Rule,
        comparison: &Comparison,
        scope: &Scope,
        either: &[Guard],
    ) {
        let start = self.out.program.rows.len();
        for (picks, difference) in self.differences(comparison, scope) {
            let guards = guards(self.model(), &picks).into_iter();
            let guards = guards.chain(either.iter().copied()).sorted().collect_vec();
            let difference = match difference {
                Ok(difference) => difference,
                // An item that does not say the column is not held to the rule.
                Err(NoValue::NoColumn(..)) => continue,
                Err(why) => return self.refuse(&rule.name, why, scope),
            };
            let form = match difference {
                Value::Length(form) => form,
                Value::Number(n) => {
                    let holds = match comparison.relation {
                        Relation::AtMost => !n.is_positive(),
                        Relation::AtLeast => !n.is_negative(),
                        Relation::Equal => n.is_zero(),
                    };
                    let row = Row {
                        terms: Vec::new(),
                        most: if holds { 0 } else { -1 },
                        guards,
                    };
                    self.push(row, Number::from_integer(1), RowSource::Numbers);
                    continue;
                }
                _ => return self.refuse(&rule.name, NoValue::Kind(comparison.place), scope),
            };
            let uncertain = form
                .givens
                .keys()
                .any(|g| !self.model().interval(*g).is_exact());
            let sides: &[i64] = match comparison.relation {
                Relation::AtMost => &[1],
                Relation::AtLeast => &[-1],
                Relation::Equal if uncertain => {
                    let error = ExpandError::UncertainEqual {
                        rule: rule.name.clone(),
                        place: comparison.place,
                    };
                    if !self.errors.contains(&error) {
                        self.errors.push(error);
                    }
                    return;
                }
                Relation::Equal => &[1, -1],
            };
            for side in sides {
                let guards = guards.clone();
                let step = self.out.ruler.step();
                let loose = Loose::of(self.model(), &form, *side, &BTreeMap::new());
                match loose.and_then(|loose| loose.whole(step)) {
                    Some((terms, most, steps)) => {
                        let row = Row {
                            terms,
                            most,
                            guards,
                        };
                        let form = form.clone();
                        let side = *side;
                        self.push(row, steps, RowSource::Form { form, side });
                    }
                    None => {
                        return self.refuse(&rule.name, NoValue::TooLarge(comparison.place), scope);
                    }
                }
            }
        }
        self.weakest(start, either);
    }

    fn push(&mut self, row: Row, steps: Number, source: RowSource) {
        self.out.program.rows.push(row);
        self.out.row_steps.push(steps);
        self.out.row_sources.push(source);
    }

    /// What every item of a choice asks at least: it bounds the unknowns before an item is picked.
    fn weakest(&mut self, start: usize, either: &[Guard]) {
        let rows = &self.out.program.rows[start..];
        let Some(first) = rows.first() else { return };
        let [guard] = first.guards[..] else { return };
        if !either.is_empty() {
            return;
        }
        let alternatives = self.out.program.groups[guard.group.0 as usize]
            .alternatives
            .len();
        let alike = rows.len() == alternatives
            && rows.iter().all(|r| r.terms == first.terms)
            && rows
                .iter()
                .map(|r| &r.guards[..])
                .all(|g| matches!(g, [g] if g.group == guard.group));
        if alike && let Some(most) = rows.iter().map(|r| r.most).max() {
            let row = Row {
                terms: first.terms.clone(),
                most,
                guards: Vec::new(),
            };
            let steps = self.out.row_steps[start];
            self.push(row, steps, RowSource::Follows);
        }
    }
}
