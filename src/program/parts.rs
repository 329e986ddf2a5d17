//! Parts of a program that have nothing to do with each other: no row names unknowns or groups of
//! two of them.
//!
//! The solver finds finer parts as it goes, when values are settled and rows fall silent; these
//! are the ones that a reader can see in the rows themselves.

use super::{GroupId, Program, RowId, UnknownId};

/// Unknowns, groups and rows that hang together, each ascending.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Part {
    pub unknowns: Vec<UnknownId>,
    pub groups: Vec<GroupId>,
    pub rows: Vec<RowId>,
}

/// The independent parts, in the order of their first unknowns; groups without unknowns follow.
/// An unknown that can take one value only ties nothing together, and is in no part. Rows without
/// any other unknown and without guards are in none either.
#[must_use]
pub fn parts(program: &Program) -> Vec<Part> {
    let unknowns = program.unknowns.len();
    let mut parents: Vec<usize> = (0..unknowns + program.groups.len()).collect();
    let is_free = |at: usize| {
        program
            .unknowns
            .get(at)
            .is_none_or(|unknown| unknown.least < unknown.most)
    };
    let members = |row: usize| {
        let row = &program.rows[row];
        let terms = row.terms.iter().map(|term| term.0.0 as usize);
        let guards = row.guards.iter().map(|it| unknowns + it.group.0 as usize);
        terms.chain(guards).filter(|&at| is_free(at))
    };
    for row in 0..program.rows.len() {
        let mut members = members(row);
        let Some(first) = members.next() else {
            continue;
        };
        for member in members {
            let (one, other) = (root(&mut parents, first), root(&mut parents, member));
            parents[one.max(other)] = one.min(other);
        }
    }
    let mut place = vec![None; parents.len()];
    let mut parts: Vec<Part> = Vec::new();
    for at in (0..parents.len()).filter(|&at| is_free(at)) {
        let top = root(&mut parents, at);
        let part = *place[top].get_or_insert_with(|| {
            parts.push(Part::default());
            parts.len() - 1
        });
        match at.checked_sub(unknowns) {
            None => parts[part].unknowns.push(UnknownId(at as u32)),
            Some(group) => parts[part].groups.push(GroupId(group as u32)),
        }
    }
    for row in 0..program.rows.len() {
        let top = members(row).next().map(|first| root(&mut parents, first));
        if let Some(part) = top.and_then(|top| place[top]) {
            parts[part].rows.push(RowId(row as u32));
        }
    }
    parts
}

fn root(parents: &mut [usize], mut at: usize) -> usize {
    while parents[at] != at {
        parents[at] = parents[parents[at]];
        at = parents[at];
    }
    at
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::program::{Group, Guard, Row, Unknown};

    #[test]
    fn rows_and_guards_tie_and_fixed_unknowns_do_not() {
        let unknown = |least, most| Unknown {
            name: String::new(),
            least,
            most,
            open: false,
        };
        let row = |places: &[u32], guards: &[u32]| Row {
            terms: places.iter().map(|&at| (UnknownId(at), 1)).collect(),
            most: 3,
            guards: guards
                .iter()
                .map(|&group| Guard {
                    group: GroupId(group),
                    alternative: 0,
                })
                .collect(),
        };
        let program = Program {
            // The third can take one value only.
            unknowns: vec![unknown(0, 9), unknown(0, 9), unknown(4, 4), unknown(0, 9)],
            groups: vec![Group {
                name: String::new(),
                alternatives: vec![String::new(); 2],
            }],
            rows: vec![
                row(&[0, 2], &[0]),
                row(&[1, 2], &[]),
                row(&[3], &[0]),
                row(&[], &[]),
            ],
            ..Program::default()
        };
        let parts = parts(&program);
        assert_eq!(parts.len(), 2);
        assert_eq!(parts[0].unknowns, [UnknownId(0), UnknownId(3)]);
        assert_eq!(parts[0].groups, [GroupId(0)]);
        assert_eq!(parts[0].rows, [RowId(0), RowId(2)]);
        assert_eq!(parts[1].unknowns, [UnknownId(1)]);
        assert_eq!(parts[1].rows, [RowId(1)]);
    }
}
