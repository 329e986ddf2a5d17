//! One comparison of a rule becomes rows in whole ruler steps.
//!
//! Everything here rounds to the safe side, once: an uncertain value stands at its worse end, and
//! `sum a x <= b` over whole unknowns keeps only the whole part of `b` after the common divisor
//! is taken out.

use super::expand::{Maker, RowSource};
use super::fault::ExpandError;
use super::model::{Form, NoValue, Scope, Value, difference};
use super::*;
use crate::style::Rule;
use crate::style::expr::{Comparison, Number, Relation};
use itertools::Itertools;
use num_integer::Integer;
use num_traits::{CheckedAdd, CheckedDiv, CheckedMul, Signed, ToPrimitive, Zero};
use std::collections::BTreeSet;

impl Maker<'_> {
    pub(super) fn comparison(
        &mut self,
        rule: &Rule,
        comparison: &Comparison,
        scope: &Scope,
        either: &[Guard],
    ) {
        let mut choices = BTreeSet::new();
        self.model()
            .choices_in(&comparison.left, scope, &mut choices);
        self.model()
            .choices_in(&comparison.right, scope, &mut choices);
        let start = self.out.program.rows.len();
        for picks in self.model().all_picks(&choices) {
            let difference = self
                .model()
                .value(&comparison.left, scope, &picks)
                .and_then(|left| {
                    let right = self.model().value(&comparison.right, scope, &picks)?;
                    difference(left, right, comparison.place)
                });
            let difference = match difference {
                Ok(difference) => difference,
                // An item that does not say the column is not held to the rule.
                Err(NoValue::Absent(..)) if !picks.is_empty() => continue,
                Err(why) => return self.refuse(&rule.name, why),
            };
            let form = match difference {
                Value::Length(form) => form,
                Value::Number(n) => {
                    let holds = match comparison.relation {
                        Relation::AtMost => !n.is_positive(),
                        Relation::AtLeast => !n.is_negative(),
                        Relation::Equal => n.is_zero(),
                    };
                    self.push(
                        Row {
                            terms: Vec::new(),
                            most: if holds { 0 } else { -1 },
                            guards: self
                                .model()
                                .guards(&picks)
                                .into_iter()
                                .chain(either.iter().copied())
                                .sorted()
                                .collect(),
                        },
                        Number::from_integer(1),
                        RowSource::Numbers,
                    );
                    continue;
                }
                _ => return self.refuse(&rule.name, NoValue::Kind(comparison.place)),
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
                let guards = self
                    .model()
                    .guards(&picks)
                    .into_iter()
                    .chain(either.iter().copied())
                    .sorted()
                    .collect();
                match self.row(&form, *side, guards) {
                    Some((row, steps)) => {
                        let form = form.clone();
                        let side = *side;
                        self.push(row, steps, RowSource::Form { form, side });
                    }
                    None => return self.refuse(&rule.name, NoValue::TooLarge(comparison.place)),
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

    /// `side * form <= 0` in whole ticks.
    fn row(&self, form: &Form, side: i64, guards: Vec<Guard>) -> Option<(Row, Number)> {
        let side = Number::from_integer(side.into());
        let step = Number::from_integer(self.out.ruler.step().nm().into());
        let mut constant = Number::zero();
        for (given, n) in &form.givens {
            let n = n * side;
            let interval = self.model().interval(*given);
            let end = if n.is_positive() {
                interval.most()
            } else {
                interval.least()
            };
            let product = n.checked_mul(&Number::from_integer(end.nm().into()))?;
            constant = constant.checked_add(&product)?;
        }
        let bound = (-constant).checked_div(&step)?;
        let denominators = form
            .unknowns
            .values()
            .try_fold(1i128, |l, n| (n.denom() / l.gcd(n.denom())).checked_mul(l))?;
        let terms: Vec<(UnknownId, i128)> = (form.unknowns.iter())
            .map(|(id, n)| {
                Some((
                    *id,
                    (n * side)
                        .checked_mul(&Number::from_integer(denominators))?
                        .to_integer(),
                ))
            })
            .collect::<Option<_>>()?;
        let divisor = terms.iter().fold(0i128, |g, (_, n)| g.gcd(n)).max(1);
        let per_row = Number::new(denominators, divisor);
        let most = bound.checked_mul(&per_row)?.floor().to_integer().to_i64()?;
        let terms = terms
            .into_iter()
            .map(|(id, n)| Some((id, (n / divisor).to_i64()?)))
            .collect::<Option<_>>()?;
        Some((
            Row {
                terms,
                most,
                guards,
            },
            per_row.recip(),
        ))
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
