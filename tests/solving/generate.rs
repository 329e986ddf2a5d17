//! Programs made from fixed seeds.

use crate::leaves::best;
use crate::parts::{Dice, add, row, unknown};
use tuckwright::program::{
    Force, Group, GroupId, Guard, InstanceId, Program, Row, Stage, UnknownId,
};

fn terms(dice: &mut Dice, unknowns: usize) -> Vec<(u32, i64)> {
    let mut names: Vec<u32> = (0..unknowns as u32).collect();
    dice.shuffle(&mut names);
    names.truncate(dice.within(1, 3) as usize);
    names.sort_unstable();
    let mut list = Vec::new();
    for name in names {
        let times = dice.within(-3, 3);
        if times != 0 {
            list.push((name, times));
        }
    }
    list
}

fn negated(row: &Row, most: i64) -> Row {
    Row {
        terms: row.terms.iter().map(|&(at, times)| (at, -times)).collect(),
        most,
        guards: row.guards.clone(),
    }
}

/// A small program with everything in it: equalities, guards, either-ors, wishes, stages.
pub fn random(seed: u64) -> Program {
    let mut dice = Dice::new(seed);
    let mut program = Program::default();
    for at in 0..dice.within(1, 4) {
        let least = dice.within(-3, 2);
        let most = least + dice.within(0, 5);
        program
            .unknowns
            .push(unknown(format!("x{at}"), least, most));
    }
    let supplies = dice.within(0, 2) as u32;
    for at in 0..supplies {
        program.groups.push(group(&mut dice, at));
    }
    let tight = dice.within(0, 6);
    for _ in 0..dice.within(1, 6) {
        let force = if dice.chance(40) {
            Force::Wish
        } else {
            Force::Must
        };
        let own = dice.chance(25).then(|| {
            let at = program.groups.len() as u32;
            program.groups.push(group(&mut dice, at));
            at
        });
        let mut rows = Vec::new();
        for _ in 0..dice.within(1, 3) {
            let mut made = row(
                &terms(&mut dice, program.unknowns.len()),
                dice.within(-4, tight),
            );
            let mut guards = Vec::new();
            if supplies > 0 && dice.chance(35) {
                guards.push(dice.within(0, i64::from(supplies) - 1) as u32);
            }
            guards.extend(own.filter(|_| dice.chance(85)));
            guards.sort_unstable();
            guards.dedup();
            made.guards = guards
                .into_iter()
                .map(|at| Guard {
                    group: GroupId(at),
                    alternative: dice
                        .within(0, program.groups[at as usize].alternatives.len() as i64 - 1)
                        as u32,
                })
                .collect();
            if dice.chance(25) {
                rows.push(negated(&made, -made.most));
            }
            rows.push(made);
        }
        let id = add(&mut program, force, rows, own);
        if force == Force::Wish {
            program.stages.push(Stage::Keep(id));
        }
    }
    for _ in 0..dice.within(0, 3) {
        let objective = terms(&mut dice, program.unknowns.len());
        program.stages.push(best(&objective));
    }
    for at in 0..program.unknowns.len() as u32 {
        let times = if dice.chance(50) { 1 } else { -1 };
        program.stages.push(best(&[(at, times)]));
    }
    for at in 0..program.groups.len() as u32 {
        program.stages.push(Stage::Choose(GroupId(at)));
    }
    let mut stages = std::mem::take(&mut program.stages);
    if dice.chance(70) {
        dice.shuffle(&mut stages);
    }
    program.first_stages = dice.within(0, 2) as usize;
    program.stages = stages;
    program
}

fn group(dice: &mut Dice, at: u32) -> Group {
    Group {
        name: format!("g{at}"),
        alternatives: (0..dice.within(1, 3)).map(|at| format!("a{at}")).collect(),
    }
}

/// The same program with unknowns, rows and instances in another order; also where each unknown
/// went. Stages and groups keep their order, which means something.
pub fn shuffled(program: &Program, seed: u64) -> (Program, Vec<u32>) {
    let mut dice = Dice::new(seed);
    let mut order: Vec<u32> = (0..program.unknowns.len() as u32).collect();
    dice.shuffle(&mut order);
    let mut new_place = vec![0u32; order.len()];
    for (new, &old) in order.iter().enumerate() {
        new_place[old as usize] = new as u32;
    }
    let mut other = Program {
        unknowns: order
            .iter()
            .map(|&old| program.unknowns[old as usize].clone())
            .collect(),
        groups: program.groups.clone(),
        first_stages: program.first_stages,
        ..Program::default()
    };
    let renamed = |terms: &[(UnknownId, i64)]| {
        let mut terms: Vec<(UnknownId, i64)> = terms
            .iter()
            .map(|&(at, times)| (UnknownId(new_place[at.0 as usize]), times))
            .collect();
        terms.sort_unstable();
        terms
    };
    let mut instances: Vec<usize> = (0..program.instances.len()).collect();
    dice.shuffle(&mut instances);
    let mut new_instance = vec![0u32; instances.len()];
    for &old in &instances {
        let instance = &program.instances[old];
        let mut rows: Vec<Row> = program.rows[instance.rows.clone()].to_vec();
        dice.shuffle(&mut rows);
        for row in &mut rows {
            row.terms = renamed(&row.terms);
        }
        let id = add(
            &mut other,
            instance.force,
            rows,
            instance.group.map(|it| it.0),
        );
        new_instance[old] = id.0;
    }
    other.stages = program
        .stages
        .iter()
        .map(|stage| match stage {
            Stage::Keep(id) => Stage::Keep(InstanceId(new_instance[id.0 as usize])),
            Stage::Best { name, objective } => Stage::Best {
                name: name.clone(),
                objective: renamed(objective),
            },
            Stage::Choose(group) => Stage::Choose(*group),
        })
        .collect();
    (other, new_place)
}
