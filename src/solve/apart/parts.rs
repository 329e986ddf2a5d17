//! Which parts a program falls into once its first stages are settled.

use crate::solve::program::{
    Force, Group, GroupId, Guard, Instance, InstanceId, Program, Row, Stage, UnknownId,
};

/// A program taken apart; it serves every program that differs in right sides alone.
#[derive(Clone, Debug)]
pub struct Apart {
    pub(super) parts: Vec<Part>,
    /// Stages of the whole.
    stages: usize,
    /// Wishes without an unknown or a choice of their own, by stage.
    pub(super) plain: Vec<(usize, InstanceId)>,
}

/// Some of a program, numbered anew.
#[derive(Clone, Debug)]
pub(super) struct Part {
    pub unknowns: Vec<UnknownId>,
    pub groups: Vec<GroupId>,
    /// Rows of the whole.
    pub rows: Vec<usize>,
    /// Stages of the whole.
    pub stages: Vec<usize>,
    pub program: Program,
}

/// What belongs together: unknowns and, behind them, groups, as a forest; nothing for what the
/// first stages settle.
struct Ties {
    up: Vec<Option<usize>>,
    unknowns: usize,
}

impl Ties {
    fn new(program: &Program) -> Self {
        let unknowns = program.unknowns.len();
        let mut ties = Self {
            up: (0..unknowns + program.groups.len()).map(Some).collect(),
            unknowns,
        };
        for stage in program.stages.iter().take(program.first_stages) {
            match stage {
                Stage::Keep(_) => {}
                Stage::Best { objective, .. } => {
                    for (id, _) in objective {
                        ties.up[id.0 as usize] = None;
                    }
                }
                Stage::Choose(group) => ties.up[unknowns + group.0 as usize] = None,
            }
        }
        for instance in &program.instances {
            // A wish is kept as a whole.
            let rows = &program.rows[instance.rows.clone()];
            match instance.force {
                Force::Must => rows
                    .iter()
                    .for_each(|row| ties.tie(std::slice::from_ref(row))),
                Force::Wish => ties.tie(rows),
            }
        }
        ties
    }

    fn members<'a>(&'a self, rows: &'a [Row]) -> impl Iterator<Item = usize> + 'a {
        let of_row = |row: &'a Row| {
            let terms = row.terms.iter().map(|(id, _)| id.0 as usize);
            terms.chain(
                row.guards
                    .iter()
                    .map(|it| self.unknowns + it.group.0 as usize),
            )
        };
        let all = rows.iter().flat_map(of_row);
        all.filter_map(|at| self.root(at))
    }

    fn root(&self, mut at: usize) -> Option<usize> {
        loop {
            let up = self.up[at]?;
            if up == at {
                return Some(at);
            }
            at = up;
        }
    }

    fn tie(&mut self, rows: &[Row]) {
        let members: Vec<usize> = self.members(rows).collect();
        if let Some(least) = members.iter().copied().min() {
            for member in members {
                self.up[member] = Some(least);
            }
        }
    }

    fn part_of(&self, rows: &[Row]) -> Option<usize> {
        self.members(rows).next()
    }
}

impl Apart {
    /// Takes a program apart. Nothing where it names what does not exist, or a row belongs to no
    /// instance.
    #[must_use]
    pub fn new(program: &Program) -> Option<Self> {
        if !is_whole(program) {
            return None;
        }
        let ties = Ties::new(program);
        let all = ties.up.len();
        let mut roots: Vec<usize> = (0..all).filter_map(|at| ties.root(at)).collect();
        roots.sort_unstable();
        roots.dedup();
        let parts = roots.iter().map(|root| part(program, &ties, *root));
        let wishes = program.stages.iter().enumerate().skip(program.first_stages);
        let plain = wishes.filter_map(|(at, stage)| match stage {
            Stage::Keep(id) => {
                let rows = &program.rows[program.instances[id.0 as usize].rows.clone()];
                ties.part_of(rows).is_none().then_some((at, *id))
            }
            _ => None,
        });
        Some(Self {
            plain: plain.collect(),
            parts: parts.collect(),
            stages: program.stages.len(),
        })
    }

    /// The stages of the parts in which these sizes are, and of those that share a preference with
    /// them.
    pub(super) fn stages_with(&self, told: &[UnknownId]) -> Vec<bool> {
        let mut with = vec![false; self.stages];
        let mut more: Vec<&Part> = (self.parts.iter())
            .filter(|part| {
                told.iter()
                    .any(|id| part.unknowns.binary_search(id).is_ok())
            })
            .collect();
        while let Some(part) = more.pop() {
            if part.stages.iter().all(|at| with[*at]) {
                continue;
            }
            part.stages.iter().for_each(|at| with[*at] = true);
            let shares = |other: &&Part| other.stages.iter().any(|at| part.stages.contains(at));
            more.extend(self.parts.iter().filter(shares));
        }
        with
    }
}

/// Whether everything that is named exists, and every row belongs to one instance.
fn is_whole(program: &Program) -> bool {
    let mut rows = 0;
    let follow = program.instances.iter().all(|it| {
        let next = it.rows.start == rows && it.rows.end >= rows;
        rows = it.rows.end;
        next
    });
    let unknown = |id: UnknownId| (id.0 as usize) < program.unknowns.len();
    let group = |id: GroupId| (id.0 as usize) < program.groups.len();
    follow
        && rows == program.rows.len()
        && program.first_stages <= program.stages.len()
        && program.rows.iter().all(|row| {
            row.terms.iter().all(|(id, _)| unknown(*id))
                && row.guards.iter().all(|it| group(it.group))
        })
        && program.stages.iter().all(|stage| match stage {
            Stage::Keep(id) => (id.0 as usize) < program.instances.len(),
            Stage::Best { objective, .. } => objective.iter().all(|(id, _)| unknown(*id)),
            Stage::Choose(id) => group(*id),
        })
}

/// Old numbers of one part's unknowns and groups, in order: the new number of each is its place.
struct Renumbered {
    unknowns: Vec<UnknownId>,
    groups: Vec<GroupId>,
}

impl Renumbered {
    fn unknown(&self, id: UnknownId) -> Option<UnknownId> {
        let at = self.unknowns.binary_search(&id).ok()?;
        Some(UnknownId(at as u32))
    }

    fn group(&self, id: GroupId) -> Option<GroupId> {
        let at = self.groups.binary_search(&id).ok()?;
        Some(GroupId(at as u32))
    }

    fn terms<T: Copy>(&self, terms: &[(UnknownId, T)]) -> Vec<(UnknownId, T)> {
        let each = terms.iter();
        each.filter_map(|(id, n)| Some((self.unknown(*id)?, *n)))
            .collect()
    }

    fn row(&self, row: &Row) -> Row {
        let guards = row.guards.iter().filter_map(|it| {
            let group = self.group(it.group)?;
            Some(Guard { group, ..*it })
        });
        Row {
            terms: self.terms(&row.terms),
            most: row.most,
            guards: guards.collect(),
        }
    }

    /// A stage, where it speaks of this part.
    fn stage(&self, stage: &Stage, instances: &[Option<InstanceId>]) -> Option<Stage> {
        match stage {
            Stage::Keep(id) => instances[id.0 as usize].map(Stage::Keep),
            Stage::Choose(id) => self.group(*id).map(Stage::Choose),
            Stage::Best { objective, name } => {
                let objective = self.terms(objective);
                (!objective.is_empty()).then(|| Stage::Best {
                    name: name.clone(),
                    objective,
                })
            }
        }
    }
}

fn part(program: &Program, ties: &Ties, root: usize) -> Part {
    let here = |at: &usize| ties.root(*at) == Some(root);
    let unknowns = (0..ties.unknowns).filter(here);
    let groups = (0..program.groups.len()).filter(|at| here(&(ties.unknowns + at)));
    let new = Renumbered {
        unknowns: unknowns.map(|at| UnknownId(at as u32)).collect(),
        groups: groups.map(|at| GroupId(at as u32)).collect(),
    };
    let unknowns = new.unknowns.iter();
    let groups = new.groups.iter();
    let mut small = Program {
        unknowns: unknowns
            .map(|id| program.unknowns[id.0 as usize].clone())
            .collect(),
        groups: groups
            .map(|id| -> Group { program.groups[id.0 as usize].clone() })
            .collect(),
        ..Program::default()
    };
    let mut rows = Vec::new();
    let mut instances: Vec<Option<InstanceId>> = vec![None; program.instances.len()];
    for (at, instance) in program.instances.iter().enumerate() {
        let start = rows.len();
        let all = &program.rows[instance.rows.clone()];
        rows.extend(instance.rows.clone().filter(|row| {
            let of_it = match instance.force {
                Force::Must => std::slice::from_ref(&program.rows[*row]),
                Force::Wish => all,
            };
            ties.part_of(of_it) == Some(root)
        }));
        if rows.len() > start {
            instances[at] = Some(InstanceId(small.instances.len() as u32));
            small.instances.push(Instance {
                rows: start..rows.len(),
                group: instance.group.and_then(|id| new.group(id)),
                ..instance.clone()
            });
        }
    }
    small.rows = rows.iter().map(|at| new.row(&program.rows[*at])).collect();
    let mut stages = Vec::new();
    for (at, stage) in program.stages.iter().enumerate().skip(program.first_stages) {
        if let Some(stage) = new.stage(stage, &instances) {
            small.stages.push(stage);
            stages.push(at);
        }
    }
    Part {
        unknowns: new.unknowns,
        groups: new.groups,
        rows,
        stages,
        program: small,
    }
}
