//! Whose rows are whose: the instance of each row, the wish of each group.

use super::program::{Force, GroupId, InstanceId, Program};
use super::solution::{Holder, Origin};

/// Which instance each row and each group belongs to.
#[derive(Clone, Debug)]
pub(super) struct Owners {
    rows: Vec<Option<InstanceId>>,
    wish_of_group: Vec<Option<u32>>,
    is_wish: Vec<bool>,
    ranges: Vec<std::ops::Range<usize>>,
}

impl Owners {
    pub fn new(program: &Program) -> Self {
        let mut owners = Self {
            rows: vec![None; program.rows.len()],
            wish_of_group: vec![None; program.groups.len()],
            is_wish: Vec::with_capacity(program.instances.len()),
            ranges: program.instances.iter().map(|it| it.rows.clone()).collect(),
        };
        for (at, instance) in program.instances.iter().enumerate() {
            let wish = instance.force == Force::Wish;
            owners.is_wish.push(wish);
            for row in instance.rows.clone() {
                if let Some(place) = owners.rows.get_mut(row) {
                    *place = Some(InstanceId(at as u32));
                }
            }
            if let (true, Some(group)) = (wish, instance.group)
                && let Some(place) = owners.wish_of_group.get_mut(group.0 as usize)
            {
                *place = Some(at as u32);
            }
        }
        owners
    }

    pub fn of_row(&self, row: usize) -> Option<InstanceId> {
        self.rows.get(row).copied().flatten()
    }

    /// The program rows of an instance.
    pub fn rows_of(&self, instance: InstanceId) -> std::ops::Range<usize> {
        self.ranges
            .get(instance.0 as usize)
            .cloned()
            .unwrap_or(0..0)
    }

    pub fn is_must(&self, row: usize) -> bool {
        self.of_row(row)
            .is_none_or(|instance| !self.is_wish[instance.0 as usize])
    }

    /// The wish that a group belongs to, as a place among the instances.
    pub fn wish_of_group(&self, group: GroupId) -> Option<usize> {
        let wish = self.wish_of_group.get(group.0 as usize).copied().flatten();
        wish.map(|at| at as usize)
    }

    fn holder(&self, origin: Origin) -> Option<Holder> {
        match origin {
            Origin::Row(row) => Some(
                self.of_row(row.0 as usize)
                    .map_or(Holder::Row(row), Holder::Instance),
            ),
            Origin::Optimum { stage } | Origin::Choice { stage } => Some(Holder::Stage(stage)),
            Origin::Assumed => None,
        }
    }

    /// The holders of some rows, each once.
    pub fn holders(&self, origins: &[Origin]) -> Vec<Holder> {
        let mut names: Vec<Holder> = origins.iter().filter_map(|it| self.holder(*it)).collect();
        names.sort_unstable();
        names.dedup();
        names
    }

    /// The larger, the sooner it is left out: later preferences, then wishes, then musts.
    pub fn rank(&self, holder: Holder) -> (u32, usize) {
        match holder {
            Holder::Stage(stage) => (3, stage),
            Holder::Instance(id) if self.is_wish[id.0 as usize] => (2, id.0 as usize),
            Holder::Instance(id) => (1, id.0 as usize),
            Holder::Row(id) => (1, id.0 as usize),
            Holder::Bound => (0, 0),
        }
    }
}
