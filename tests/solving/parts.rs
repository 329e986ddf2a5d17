//! What programs are put together from, and numbers from a seed.

use tuckwright::program::{
    Force, GroupId, Guard, Instance, InstanceId, Program, Row, Unknown, UnknownId,
};

/// A small generator (Knuth's MMIX constants): the same numbers on every machine.
pub struct Dice(u64);

impl Dice {
    pub fn new(seed: u64) -> Self {
        let mut dice = Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ 0x1234_5678);
        dice.next();
        dice
    }

    pub fn next(&mut self) -> u64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        self.0 >> 33
    }

    /// A number from `least` to `most`.
    pub fn within(&mut self, least: i64, most: i64) -> i64 {
        least + (self.next() % (most - least + 1) as u64) as i64
    }
}

pub fn unknown(name: impl Into<String>, least: i64, most: i64) -> Unknown {
    Unknown {
        name: name.into(),
        least,
        most,
        open: false,
    }
}

pub fn row(terms: &[(u32, i64)], most: i64) -> Row {
    let mut terms: Vec<(UnknownId, i64)> = terms
        .iter()
        .map(|&(at, times)| (UnknownId(at), times))
        .collect();
    terms.sort_unstable();
    Row {
        terms,
        most,
        guards: Vec::new(),
    }
}

pub fn guarded(terms: &[(u32, i64)], most: i64, guards: &[(u32, u32)]) -> Row {
    let guards = guards.iter().map(|&(group, alternative)| Guard {
        group: GroupId(group),
        alternative,
    });
    Row {
        guards: guards.collect(),
        ..row(terms, most)
    }
}

pub fn add(program: &mut Program, force: Force, rows: Vec<Row>, group: Option<u32>) -> InstanceId {
    let from = program.rows.len();
    program.rows.extend(rows);
    program.instances.push(Instance {
        rule: program.instances.len(),
        force,
        rows: from..program.rows.len(),
        group: group.map(GroupId),
    });
    InstanceId(program.instances.len() as u32 - 1)
}
