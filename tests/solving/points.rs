//! Every point of a small program, one after the other.

use tuckwright::program::{Force, Program, Row};

#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Point {
    pub values: Vec<i64>,
    pub taken: Vec<u32>,
}

pub fn holds(row: &Row, point: &Point) -> bool {
    let in_force = row
        .guards
        .iter()
        .all(|it| point.taken[it.group.0 as usize] == it.alternative);
    let sum: i64 = row
        .terms
        .iter()
        .map(|&(at, times)| times * point.values[at.0 as usize])
        .sum();
    !in_force || sum <= row.most
}

/// All points that satisfy these rows.
pub fn points(program: &Program, rows: &[&Row]) -> Vec<Point> {
    let mut found = Vec::new();
    let mut point = Point {
        values: program.unknowns.iter().map(|it| it.least).collect(),
        taken: vec![0; program.groups.len()],
    };
    if program.unknowns.iter().any(|it| it.least > it.most) {
        return found;
    }
    loop {
        if rows.iter().all(|row| holds(row, &point)) {
            found.push(point.clone());
        }
        let stepped = (0..point.values.len()).any(|at| {
            if point.values[at] < program.unknowns[at].most {
                point.values[at] += 1;
                true
            } else {
                point.values[at] = program.unknowns[at].least;
                false
            }
        }) || (0..point.taken.len()).any(|at| {
            if (point.taken[at] as usize) + 1 < program.groups[at].alternatives.len() {
                point.taken[at] += 1;
                true
            } else {
                point.taken[at] = 0;
                false
            }
        });
        if !stepped {
            return found;
        }
    }
}

/// Rows of the musts among these instances (all rows that belong to no wish).
pub fn must_rows(program: &Program) -> Vec<&Row> {
    let mut is_must = vec![true; program.rows.len()];
    for instance in &program.instances {
        for row in instance.rows.clone() {
            is_must[row] &= instance.force == Force::Must;
        }
    }
    program
        .rows
        .iter()
        .zip(is_must)
        .filter_map(|(row, must)| must.then_some(row))
        .collect()
}
