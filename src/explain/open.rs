//! The musts of an album with some of its given measures left open: found like any other size.
//!
//! May import `vocabulary`, `program`.

use crate::program::expand::{Expanded, RowSource};
use crate::program::rows::Loose;
use crate::program::{Force, Instance, Program, Row, Unknown, UnknownId};
use crate::scene::{Fact, ThingId};
use std::collections::BTreeMap;

/// Sizes that are left open together, as one unknown: whose, and which.
pub(super) type Sides = Vec<(ThingId, &'static str)>;

/// The musts alone, each list of sizes an unknown from 1 to `most` ruler steps, told in that order.
/// `None` if numbers grow too large.
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
                    let loose = Loose::of(&expanded.model, form, *side, &unknown_of)?;
                    let (terms, most, _) = loose.whole(expanded.ruler.step())?;
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
