//! Rules that cannot all hold, each with its numbers.
//!
//! A member of a conflict is told with the sizes that all the others together allow: there it is
//! broken, and by how much can be read off.

use super::of;
use super::sentence::sentence;
use super::verify::{Finished, inspect};
use crate::program::expand::Expanded;
use crate::program::{Instance, InstanceId, Program};
use crate::solve::{self, Conflict, Limits, Verdict};
use crate::style::Style;
use crate::text::Place;
use std::collections::BTreeSet;

/// One rule of a conflict.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Member {
    pub name: String,
    /// Which leaf and thing it speaks of; empty for the whole album.
    pub of: String,
    /// Its sentence where the others hold; absent where that took too long.
    pub because: Option<String>,
    pub source: String,
    /// Where it stands in the style.
    pub place: Place,
}

/// Rules that cannot all hold.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Clash {
    pub members: Vec<Member>,
    /// Without any one of them the others can hold.
    pub proved_minimal: bool,
}

/// Tells a conflict.
pub fn clash(style: &Style, expanded: &Expanded, conflict: &Conflict, limits: &Limits) -> Clash {
    let members = conflict.instances.iter().filter_map(|id| {
        let rule = style
            .rules
            .get(expanded.program.instances[id.0 as usize].rule)?;
        Some(Member {
            name: rule.name.clone(),
            of: of(expanded, *id),
            because: told(style, expanded, conflict, *id, limits),
            source: rule.source.clone(),
            place: rule.place,
        })
    });
    Clash {
        members: members.collect(),
        proved_minimal: conflict.proved_minimal,
    }
}

/// The sentence of one member where all the others hold.
fn told(
    style: &Style,
    expanded: &Expanded,
    conflict: &Conflict,
    member: InstanceId,
    limits: &Limits,
) -> Option<String> {
    let others = conflict.instances.iter().filter(|i| **i != member).copied();
    let program = only(&expanded.program, &others.collect::<Vec<_>>(), member);
    let solution = solve::solve(&program, limits);
    // Where every size is given, there are no values, and it fits all the same.
    if !matches!(
        solution.verdict,
        Verdict::FitsBest | Verdict::FitsFound { .. }
    ) {
        return None;
    }
    let picks = super::picks(expanded, &solution);
    let all: BTreeSet<InstanceId> = (0..expanded.program.instances.len() as u32)
        .map(InstanceId)
        .collect();
    let finished = Finished {
        values: &solution.values,
        picks: &picks,
        dropped: &all,
    };
    let line = inspect(style, expanded, finished, member).ok()?;
    Some(sentence(style, expanded, finished, &line))
}

/// The program with the rows of these instances alone, each unknown drawn towards what would keep
/// the left-out member least broken.
fn only(program: &Program, instances: &[InstanceId], left_out: InstanceId) -> Program {
    let mut small = Program {
        unknowns: program.unknowns.clone(),
        groups: program.groups.clone(),
        ..Program::default()
    };
    for id in instances {
        let instance = &program.instances[id.0 as usize];
        let start = small.rows.len();
        small
            .rows
            .extend_from_slice(&program.rows[instance.rows.clone()]);
        small.instances.push(Instance {
            rows: start..small.rows.len(),
            ..instance.clone()
        });
    }
    let broken = &program.instances[left_out.0 as usize];
    for row in &program.rows[broken.rows.clone()] {
        let objective: Vec<_> = row.terms.iter().map(|(id, n)| (*id, -n)).collect();
        if !objective.is_empty() {
            small.stages.push(crate::program::Stage::Best {
                name: String::new(),
                objective,
            });
        }
    }
    small
}
