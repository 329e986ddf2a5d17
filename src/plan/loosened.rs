//! Some rules of a program cut out of it, one of them loosened by as little as can be.
//!
//! May import what `plan` may.

use crate::program::expand::Expanded;
use crate::program::prefer::DEFINITION;
use crate::program::{
    Force, Group, GroupId, Guard, Instance, InstanceId, Program, Row, Stage, Unknown, UnknownId,
};
use crate::style::expr::Number;
use num_traits::ToPrimitive;

/// A rule is not missed by more than this (ruler steps).
const MOST_MISSING: i64 = 1 << 20;

/// Some rules of a program as musts, and what they speak of numbered anew, in its order.
pub(super) struct Excerpt {
    pub program: Program,
    /// The whole program's numbers, in order.
    pub unknowns: Vec<UnknownId>,
    pub groups: Vec<GroupId>,
}

impl Excerpt {
    /// These rules, and these unknowns besides those that they speak of.
    pub fn new(program: &Program, instances: &[InstanceId], also: &[UnknownId]) -> Excerpt {
        let mut small = Excerpt {
            program: Program::default(),
            unknowns: also.to_vec(),
            groups: Vec::new(),
        };
        let of = |id: &InstanceId| &program.instances[id.0 as usize];
        for it in instances.iter().map(of) {
            for row in &program.rows[it.rows.clone()] {
                small.unknowns.extend(row.terms.iter().map(|(id, _)| *id));
                small.groups.extend(row.guards.iter().map(|it| it.group));
            }
            small.groups.extend(it.group);
        }
        small.unknowns.sort_unstable();
        small.unknowns.dedup();
        small.groups.sort_unstable();
        small.groups.dedup();
        for id in &small.unknowns {
            let it = &program.unknowns[id.0 as usize];
            small.program.unknowns.push(Unknown {
                name: String::new(),
                ..*it
            });
        }
        for id in &small.groups {
            let count = program.groups[id.0 as usize].alternatives.len();
            small.program.groups.push(Group {
                name: String::new(),
                alternatives: vec![String::new(); count],
            });
        }
        for id in instances {
            let instance = of(id);
            let start = small.program.rows.len();
            for row in &program.rows[instance.rows.clone()] {
                let terms = row.terms.iter();
                let terms = terms.filter_map(|(id, n)| Some((small.unknown(*id)?, *n)));
                let guards = row.guards.iter();
                let guards = guards.filter_map(|it| {
                    let group = small.group(it.group)?;
                    Some(Guard { group, ..*it })
                });
                let row = Row {
                    terms: terms.collect(),
                    most: row.most,
                    guards: guards.collect(),
                };
                small.program.rows.push(row);
            }
            small.program.instances.push(Instance {
                rows: start..small.program.rows.len(),
                force: Force::Must,
                rule: instance.rule,
                group: instance.group.and_then(|id| small.group(id)),
            });
        }
        small
    }

    pub fn unknown(&self, id: UnknownId) -> Option<UnknownId> {
        let at = self.unknowns.binary_search(&id).ok()?;
        Some(UnknownId(at as u32))
    }

    pub fn group(&self, id: GroupId) -> Option<GroupId> {
        let at = self.groups.binary_search(&id).ok()?;
        Some(GroupId(at as u32))
    }

    /// A rule of a conflict loosened by as little as can be, as few of its comparisons as can be, beside all
    /// its others. The `rest` are
    /// rules that speak of the same sizes, so that none is shown at a value that they forbid; as wishes
    /// they are kept where they can be. Then every size is as its own preference has it.
    pub fn loosened(
        expanded: &Expanded,
        (instances, left_out): (&[InstanceId], InstanceId),
        (rest, force): (&[InstanceId], Force),
        also: &[UnknownId],
    ) -> Option<Excerpt> {
        let program = &expanded.program;
        let mut order: Vec<InstanceId> = instances.to_vec();
        order.retain(|id| *id != left_out);
        let place = order.len();
        order.push(left_out);
        order.extend(rest);
        let mut small = Excerpt::new(program, &order, also);
        let leave = |small: &mut Excerpt| {
            let id = UnknownId(small.program.unknowns.len() as u32);
            small.program.unknowns.push(Unknown {
                name: String::new(),
                least: 0,
                most: MOST_MISSING,
                open: false,
            });
            id
        };
        let loosened = leave(&mut small);
        let whole = program.instances[left_out.0 as usize].rows.clone();
        let here = small.program.instances[place].rows.clone();
        let mut each = Vec::new();
        for (at, of) in here.zip(whole) {
            let own = leave(&mut small);
            let row = loosen(&small.program.rows[at], own, expanded.row_steps[of])?;
            small.program.rows[at] = row;
            each.push(own);
        }
        for at in place + 1..order.len() {
            small.program.instances[at].force = force;
            if force == Force::Wish {
                let wish = InstanceId(at as u32);
                small.program.stages.push(Stage::Keep(wish));
            }
        }
        let start = small.program.rows.len();
        let no_more = each.iter().map(|own| Row {
            terms: vec![(loosened, -1), (*own, 1)],
            most: 0,
            guards: Vec::new(),
        });
        small.program.rows.extend(no_more);
        let rows = start..small.program.rows.len();
        let instance = &small.program.instances[place];
        let (group, rule) = (None, instance.rule);
        small.program.instances.push(Instance {
            rows,
            force: Force::Must,
            rule,
            group,
        });
        // A comparison that can be kept is: the one that is broken tells the truth.
        for objective in [
            vec![(loosened, -1)],
            each.into_iter().map(|own| (own, -1)).collect(),
        ] {
            small.program.stages.push(Stage::Best {
                name: String::new(),
                objective,
            });
        }
        for stage in &program.stages {
            if let Stage::Best { objective, .. } = stage
                && let [(id, times)] = objective[..]
                && let Some(id) = small.unknown(id)
            {
                small.program.stages.push(Stage::Best {
                    name: String::new(),
                    objective: vec![(id, times)],
                });
            }
        }
        Some(small)
    }
}

/// Musts outside a conflict that speak of some of these sizes and of no others.
pub(super) fn of_the_same(
    program: &Program,
    instances: &[InstanceId],
    sizes: &[UnknownId],
) -> Vec<InstanceId> {
    let within = |rows: &[Row]| {
        let mut terms = rows.iter().flat_map(|row| &row.terms).peekable();
        terms.peek().is_some() && terms.all(|(id, _)| sizes.binary_search(id).is_ok())
    };
    let all = (0..).map(InstanceId).zip(&program.instances);
    let same = all.filter(|(id, it)| {
        it.force == Force::Must
            && it.rule != DEFINITION
            && !instances.contains(id)
            && within(&program.rows[it.rows.clone()])
    });
    same.map(|(id, _)| id).collect()
}

/// The row with a number of ruler steps of leave.
fn loosen(row: &Row, by: UnknownId, steps: Number) -> Option<Row> {
    // One unit of the row is `steps` ruler steps: a ruler step is `1 / steps` units.
    let (times, per_step) = (steps.numer().to_i64()?, steps.denom().to_i64()?);
    let terms = row.terms.iter();
    let terms = terms.map(|(id, n)| Some((*id, n.checked_mul(times)?)));
    let mut terms: Vec<(UnknownId, i64)> = terms.collect::<Option<_>>()?;
    terms.push((by, -per_step));
    Some(Row {
        terms,
        most: row.most.checked_mul(times)?,
        guards: row.guards.clone(),
    })
}
