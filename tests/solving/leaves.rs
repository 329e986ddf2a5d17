//! Programs shaped like albums: leaves tied by a template, each with inserts that take one of
//! several prints.

use crate::parts::{Dice, add, guarded, row, unknown};
use tuckwright::program::{Force, Group, GroupId, Program, Stage, UnknownId};

/// Unknowns of the template: height of the first hole, distance of holes, edge, and spine.
const TIES: u32 = 4;
const OF_INSERT: u32 = 5;
const OF_LEAF: u32 = 3;

/// A stage that makes a sum as large as it can be.
pub fn best(objective: &[(u32, i64)]) -> Stage {
    Stage::Best {
        name: String::new(),
        objective: objective
            .iter()
            .map(|&(at, times)| (UnknownId(at), times))
            .collect(),
    }
}

/// An album of so many leaves with so many inserts each, in sixteenths of an inch.
pub fn album(leaves: u32, inserts: u32, seed: u64) -> Program {
    let mut dice = Dice::new(seed);
    let mut program = Program::default();
    let [first, pitch, edge, spine] = [0, 1, 2, 3];
    for name in [
        "template.first",
        "template.pitch",
        "template.edge",
        "ring.spine",
    ] {
        program.unknowns.push(unknown(name, 1, 200));
    }
    // Edge + a quarter inch <= spine <= edge + an inch; the ring leaves room for an inch and a half.
    add(
        &mut program,
        Force::Must,
        vec![
            row(&[(edge, 1), (spine, -1)], -4),
            row(&[(edge, -1), (spine, 1)], 16),
        ],
        None,
    );
    add(
        &mut program,
        Force::Must,
        vec![row(&[(edge, -1)], -5)],
        None,
    );
    add(
        &mut program,
        Force::Must,
        vec![row(&[(spine, 1)], 24)],
        None,
    );
    program.stages.push(best(&[(pitch, 1)]));
    program.stages.push(best(&[(first, -1)]));
    program.stages.push(best(&[(edge, -1)]));
    program.stages.push(best(&[(spine, -1)]));
    program.first_stages = 4;
    for leaf in 0..leaves {
        let base = TIES + leaf * (OF_LEAF + inserts * OF_INSERT);
        let [width, height, mat] = [base, base + 1, base + 2];
        let (bag_width, bag_height) = (dice.within(110, 136), dice.within(90, 130));
        program
            .unknowns
            .push(unknown(format!("{leaf}: leaf.width"), 16, bag_width));
        program
            .unknowns
            .push(unknown(format!("{leaf}: leaf.height"), 16, bag_height));
        program
            .unknowns
            .push(unknown(format!("{leaf}: mat.width"), 8, 200));
        // Three holes: the last one stays half an inch below the top.
        let holes = row(&[(first, 1), (pitch, 2), (height, -1)], -8);
        add(&mut program, Force::Must, vec![holes], None);
        add(
            &mut program,
            Force::Must,
            vec![row(&[(first, -1)], -6)],
            None,
        );
        // The mat keeps clear of the spine.
        let mat_row = row(&[(spine, 1), (width, -1), (mat, 1)], -4);
        add(&mut program, Force::Must, vec![mat_row], None);
        // Holes evenly placed, within a tick: 2 first + 2 pitch = height.
        let even = vec![
            row(&[(first, 2), (pitch, 2), (height, -1)], 1),
            row(&[(first, -2), (pitch, -2), (height, 1)], 1),
        ];
        let even = add(&mut program, Force::Wish, even, None);
        program.stages.push(Stage::Keep(even));
        let mut of_leaf = vec![best(&[(height, 1)]), best(&[(width, 1)]), best(&[(mat, 1)])];
        for insert in 0..inserts {
            let at = base + OF_LEAF + insert * OF_INSERT;
            let [x, y, w, h, tuck] = [at, at + 1, at + 2, at + 3, at + 4];
            for name in ["x", "y", "width", "height", "tuck"] {
                let name = format!("{leaf}: {insert}.{name}");
                program.unknowns.push(unknown(name, 0, 200));
            }
            let group = program.groups.len() as u32;
            let prints = [(80, 64), (72, 48), (64, 40), (48, 36)];
            program.groups.push(Group {
                name: format!("{leaf}: {insert}.print"),
                alternatives: prints.iter().map(|it| format!("{it:?}")).collect(),
            });
            for (alternative, &(long, short)) in prints.iter().enumerate() {
                let guard = [(group, alternative as u32)];
                let rows = vec![
                    guarded(&[(w, -1)], -(long + 4), &guard),
                    guarded(&[(w, 1)], long + 12, &guard),
                    guarded(&[(h, -1)], -(short + 4), &guard),
                    guarded(&[(h, 1)], short + 12, &guard),
                ];
                add(&mut program, Force::Must, rows, None);
            }
            let inside = vec![
                row(&[(x, 1), (w, 1), (mat, -1)], 0),
                row(&[(y, 1), (h, 1), (height, -1)], -2),
            ];
            add(&mut program, Force::Must, inside, None);
            add(
                &mut program,
                Force::Must,
                vec![row(&[(tuck, 1), (h, -1)], -40)],
                None,
            );
            add(
                &mut program,
                Force::Must,
                vec![row(&[(tuck, -1)], -3)],
                None,
            );
            if insert > 0 {
                // Steps: each insert stands higher than the one before.
                let before = at - OF_INSERT;
                let step = row(&[(before + 1, 1), (y, -1)], -dice.within(2, 5));
                add(&mut program, Force::Must, vec![step], None);
            }
            let centred = vec![
                row(&[(x, 2), (w, 1), (mat, -1)], 1),
                row(&[(x, -2), (w, -1), (mat, 1)], 1),
            ];
            let centred = add(&mut program, Force::Wish, centred, None);
            of_leaf.push(Stage::Choose(GroupId(group)));
            of_leaf.push(Stage::Keep(centred));
            of_leaf.push(best(&[(w, 1), (h, 1)]));
            for (place, times) in [(w, 1), (h, 1), (y, -1), (x, -1), (tuck, 1)] {
                of_leaf.push(best(&[(place, times)]));
            }
        }
        program.stages.extend(of_leaf);
    }
    program
}
