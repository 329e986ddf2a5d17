//! Small programs whose musts seldom hold, with changes that loosen some of them.

use crate::parts::{Dice, add, guarded, row, unknown};
use crate::points::Point;
use tuckwright::program::{Force, Group, Program, Row, UnknownId};
use tuckwright::solve::Change;

/// A program and what may change in it.
pub struct Spoilt {
    pub program: Program,
    pub changes: Vec<Change>,
}

impl Spoilt {
    /// The change of an unknown, by its place.
    pub fn change(&self, unknown: UnknownId) -> Option<usize> {
        self.changes.iter().position(|it| it.unknown == unknown)
    }
}

/// Which instances are musts, as bits.
pub fn musts(program: &Program) -> u64 {
    let all = program.instances.iter().enumerate();
    let musts = all.filter(|(_, it)| it.force == Force::Must && !it.rows.is_empty());
    musts.map(|(at, _)| 1 << at).sum()
}

/// A program of a few unknowns in one or two blocks, tied or not. Every row mentions one change at
/// most, and is loosened by it.
pub fn spoilt(seed: u64) -> Spoilt {
    let mut dice = Dice::new(seed ^ 0x5EED);
    let mut program = Program::default();
    let sizes = dice.within(2, 4) as u32;
    for at in 0..sizes {
        let least = dice.within(-1, 1);
        let most = least + dice.within(2, 5);
        program
            .unknowns
            .push(unknown(format!("x{at}"), least, most));
    }
    let mut changes = Vec::new();
    let mut shared = None;
    let groups = dice.within(0, 1) as u32;
    for at in 0..groups {
        let count = dice.within(1, 3);
        program.groups.push(Group {
            name: format!("g{at}"),
            alternatives: (0..count).map(|at| format!("a{at}")).collect(),
        });
    }
    for _ in 0..dice.within(3, 7) {
        let force = if dice.chance(15) {
            Force::Wish
        } else {
            Force::Must
        };
        let kind = dice.within(0, 9);
        // A change of its own, one that several share, or none.
        let change = match kind {
            0..=5 => Some(new_change(&mut dice, &mut program, &mut changes)),
            6..=8 => {
                let change =
                    shared.unwrap_or_else(|| new_change(&mut dice, &mut program, &mut changes));
                shared = Some(change);
                Some(change)
            }
            _ => None,
        };
        let change = change.filter(|_| force == Force::Must);
        let mut own = None;
        let mut guards: Vec<(u32, u32)> = Vec::new();
        if dice.chance(20) {
            // Its own either-or.
            let at = program.groups.len() as u32;
            program.groups.push(Group {
                name: format!("either {at}"),
                alternatives: vec!["one".into(), "other".into()],
            });
            own = Some(at);
        } else if groups > 0 && dice.chance(30) {
            let count = program.groups[0].alternatives.len() as i64;
            guards.push((0, dice.within(0, count - 1) as u32));
        }
        let mut rows = Vec::new();
        for branch in 0..own.map_or(1, |_| 2) {
            let mut guards = guards.clone();
            guards.extend(own.map(|at| (at, branch)));
            let terms = some_terms(&mut dice, sizes);
            let most = dice.within(-5, 4);
            let mut ways = vec![(terms.clone(), most)];
            if dice.chance(25) {
                let other = terms.iter().map(|&(at, times)| (at, -times)).collect();
                ways.push((other, -most));
            }
            for (mut terms, most) in ways {
                terms.extend(change.map(|at| (at, -dice.within(1, 3))));
                rows.push(guarded(&terms, most, &guards));
            }
        }
        add(&mut program, force, rows, own);
    }
    if dice.chance(30) {
        leave_out(&mut dice, &mut program, &mut changes);
    }
    if dice.chance(20) {
        // A row of no instance.
        program
            .rows
            .push(row(&some_terms(&mut dice, sizes), dice.within(-2, 3)));
    }
    Spoilt { program, changes }
}

fn new_change(dice: &mut Dice, program: &mut Program, changes: &mut Vec<Change>) -> u32 {
    let at = program.unknowns.len() as u32;
    let most = dice.within(1, 9);
    program
        .unknowns
        .push(unknown(format!("change {at}"), 0, most));
    changes.push(Change {
        unknown: UnknownId(at),
        price: dice.within(1, 4),
    });
    at
}

/// Something that may be left out: in or out, and out has a price.
fn leave_out(dice: &mut Dice, program: &mut Program, changes: &mut Vec<Change>) {
    let Some(at) = (0..program.instances.len()).find(|&at| {
        let it = &program.instances[at];
        it.force == Force::Must && it.group.is_none()
    }) else {
        return;
    };
    let group = program.groups.len() as u32;
    program.groups.push(Group {
        name: "tucked in".into(),
        alternatives: vec!["in".into(), "out".into()],
    });
    for row in program.instances[at].rows.clone() {
        let row = &mut program.rows[row];
        let mut guards: Vec<(u32, u32)> = row
            .guards
            .iter()
            .map(|it| (it.group.0, it.alternative))
            .collect();
        guards.push((group, 0));
        row.guards = guarded(&[], 0, &guards).guards;
    }
    let out = program.unknowns.len() as u32;
    program.unknowns.push(unknown("left out", 0, 1));
    changes.push(Change {
        unknown: UnknownId(out),
        price: dice.within(2, 12),
    });
    add(
        program,
        Force::Must,
        vec![guarded(&[(out, -1)], -1, &[(group, 1)])],
        None,
    );
}

fn some_terms(dice: &mut Dice, sizes: u32) -> Vec<(u32, i64)> {
    let mut names: Vec<u32> = (0..sizes).collect();
    dice.shuffle(&mut names);
    names.truncate(dice.within(1, 2) as usize);
    names.sort_unstable();
    let mut terms = Vec::new();
    for name in names {
        let times = dice.within(-3, 3);
        terms.push((name, if times == 0 { 2 } else { times }));
    }
    terms
}

/// Sum of a row at a point.
pub fn sum(row: &Row, point: &Point) -> i64 {
    let terms = row.terms.iter();
    terms
        .map(|&(at, times)| times * point.values[at.0 as usize])
        .sum()
}
