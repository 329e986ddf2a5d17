//! The musts of an album with some of its given measures left open: found like any other size.
//!
//! May import `vocabulary`, `program`.

use crate::program::expand::{Expanded, RowSource};
use crate::program::model::Form;
use crate::program::{Force, Instance, Program, Row, Unknown, UnknownId};
use crate::style::expr::Number;
use crate::vocabulary::scene::{Fact, GivenId, ThingId};
use num_integer::Integer;
use num_traits::{CheckedAdd, CheckedDiv, CheckedMul, Signed, ToPrimitive, Zero};
use std::collections::BTreeMap;

/// Sizes that are left open together, as one unknown: whose, and which.
pub(super) type Sides = Vec<(ThingId, &'static str)>;

/// The musts alone, each list of sizes an unknown from 1 to `most` ruler steps, told in that order.
/// Nothing where numbers grow too large.
pub(super) fn musts(
    expanded: &Expanded,
    open: &[(&str, Sides)],
    most: i64,
) -> Option<(Program, Vec<UnknownId>)> {
    let mut program = Program {
        unknowns: expanded.program.unknowns.clone(),
        groups: expanded.program.groups.clone(),
        ..Program::default()
    };
    let mut unknown_of = BTreeMap::new();
    let mut unknowns = Vec::new();
    for (name, sides) in open {
        let id = UnknownId(program.unknowns.len() as u32);
        program.unknowns.push(Unknown {
            name: (*name).to_owned(),
            least: 1,
            most,
            open: true,
        });
        unknowns.push(id);
        for (thing, field) in sides {
            let fact = expanded.model.scene.thing(*thing).facts.get(*field);
            if let Some(Fact::Length(given)) = fact {
                unknown_of.insert(*given, id);
            }
        }
    }
    for instance in &expanded.program.instances {
        if instance.force != Force::Must {
            continue;
        }
        let start = program.rows.len();
        for at in instance.rows.clone() {
            let row = &expanded.program.rows[at];
            match &expanded.row_sources[at] {
                RowSource::Form { form, side } => {
                    let (terms, most) = whole(expanded, form, *side, &unknown_of)?;
                    let guards = row.guards.clone();
                    program.rows.push(Row {
                        terms,
                        most,
                        guards,
                    });
                }
                RowSource::Numbers => program.rows.push(row.clone()),
                // It follows from the others as they were, or defines what no must needs.
                RowSource::Follows => {}
            }
        }
        program.instances.push(Instance {
            rows: start..program.rows.len(),
            ..instance.clone()
        });
    }
    Some((program, unknowns))
}

/// `side * form <= 0` in whole ruler steps, with unknowns in the place of some given values.
fn whole(
    expanded: &Expanded,
    form: &Form,
    side: i64,
    unknown_of: &BTreeMap<GivenId, UnknownId>,
) -> Option<(Vec<(UnknownId, i64)>, i64)> {
    let side = Number::from_integer(side.into());
    let step = Number::from_integer(expanded.ruler.step().nm().into());
    let mut terms: BTreeMap<UnknownId, Number> = BTreeMap::new();
    let mut constant = Number::zero();
    for (id, n) in &form.unknowns {
        terms.insert(*id, n.checked_mul(&side)?);
    }
    for (given, n) in &form.givens {
        let n = n.checked_mul(&side)?;
        if let Some(id) = unknown_of.get(given) {
            let sum = terms.entry(*id).or_insert_with(Number::zero);
            *sum = sum.checked_add(&n)?;
            continue;
        }
        let value = expanded.model.interval(*given);
        let end = if n.is_positive() {
            value.most()
        } else {
            value.least()
        };
        let product = n.checked_mul(&Number::from_integer(end.nm().into()))?;
        constant = constant.checked_add(&product)?;
    }
    terms.retain(|_, n| !n.is_zero());
    let bound = (-constant).checked_div(&step)?;
    let denominators = terms
        .values()
        .try_fold(1i128, |l, n| (n.denom() / l.gcd(n.denom())).checked_mul(l))?;
    let terms: Vec<(UnknownId, i128)> = (terms.into_iter())
        .map(|(id, n)| {
            let n = n.checked_mul(&Number::from_integer(denominators))?;
            Some((id, n.to_integer()))
        })
        .collect::<Option<_>>()?;
    let divisor = terms.iter().fold(0i128, |g, (_, n)| g.gcd(n)).max(1);
    let most = bound.checked_mul(&Number::new(denominators, divisor))?;
    let terms = terms
        .into_iter()
        .map(|(id, n)| Some((id, (n / divisor).to_i64()?)))
        .collect::<Option<_>>()?;
    Some((terms, most.floor().to_integer().to_i64()?))
}
