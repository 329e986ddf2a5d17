//! Every kind of step and end of a proof, at the very number where it begins to follow, and each
//! with one thing wrong.

use tuckwright::solve::check::{ProofError, replay};
use tuckwright::solve::problem::{Bounds, Problem, Row, Side};
use tuckwright::solve::proof::{End, Node, Proof, Step};

/// Rows as terms, most, guards.
pub type Rows<'a> = &'a [(&'a [(u32, i64)], i64, &'a [(u32, u32)])];

pub fn problem(bounds: &[(i64, i64)], groups: &[u32], rows: Rows) -> Problem {
    let bounds = bounds.iter().map(|&(least, most)| Bounds { least, most });
    let mut problem = Problem::new(bounds.collect(), groups.to_vec());
    for &(terms, most, guards) in rows {
        let row = Row::new(terms.iter().copied(), most).expect("small numbers");
        problem
            .push_row(row.guarded(guards.iter().copied()))
            .expect("a row in normal form");
    }
    problem
}

pub fn node(steps: &[Step], end: End) -> Node {
    Node {
        steps: steps.to_vec(),
        end,
    }
}

pub fn single(problem: &Problem, steps: &[Step], end: End) -> Result<(), ProofError> {
    let nodes = vec![node(steps, end)];
    replay(problem, &Proof { nodes })
}

pub fn bound(side: Side, row: u32, unknown: u32, to: i64) -> Step {
    Step::Bound {
        row,
        unknown,
        side,
        to,
    }
}

fn strike(row: u32, group: u32, alternative: u32) -> Step {
    Step::Strike {
        row,
        group,
        alternative,
    }
}

const fn violated(row: u32) -> End {
    End::Violated { row }
}

/// What becomes of a bound alone: the end that follows never holds, so a bound that is accepted
/// shows as a row that is not violated.
fn bounds(problem: &Problem, steps: &[Step], never: u32) -> Result<(), ProofError> {
    match single(problem, steps, violated(never)) {
        Err(ProofError::NotViolated { row }) if row == never => Ok(()),
        Err(error) => Err(error),
        Ok(()) => panic!("row {never} is violated"),
    }
}

#[test]
fn a_bound_follows_up_to_its_tick() {
    // 2x + 3y <= 20 with y >= 2, so 2x <= 14; -2x - 3y <= -20 with y <= 4, so 2x >= 8.
    let it = problem(
        &[(1, 50), (2, 4)],
        &[],
        &[
            (&[(0, 2), (1, 3)], 20, &[]),
            (&[(0, -2), (1, -3)], -20, &[]),
            (&[], 0, &[]),
        ],
    );
    let step = |side, row, to| bounds(&it, &[bound(side, row, 0, to)], 2);
    let wrong = |row, to| {
        Err(ProofError::WrongBound {
            row,
            unknown: 0,
            to,
        })
    };
    for (to, follows) in [(6, false), (7, true), (8, true), (49, true), (50, false)] {
        let expected = if follows { Ok(()) } else { wrong(0, to) };
        assert_eq!(step(Side::Most, 0, to), expected, "at most {to}");
    }
    for (to, follows) in [(5, false), (4, true), (3, true), (2, true), (1, false)] {
        let expected = if follows { Ok(()) } else { wrong(1, to) };
        assert_eq!(step(Side::Least, 1, to), expected, "at least {to}");
    }
    // Each row moves one side alone.
    assert_eq!(step(Side::Least, 0, 4), wrong(0, 4));
    assert_eq!(step(Side::Most, 1, 7), wrong(1, 7));
    // The same for a term of another sign: y <= 4 leaves nothing for 3y >= 20 - 2x but x >= 4.
    let most = bound(Side::Most, 0, 1, 3);
    assert_eq!(
        bounds(&it, &[most], 2),
        Err(ProofError::WrongBound {
            row: 0,
            unknown: 1,
            to: 3
        })
    );
}

#[test]
fn a_bound_goes_inwards_and_not_past_the_other_bound() {
    // x <= -5 and x >= 5 where x is from 0 to 4: every value is ruled out, but a bound stays within
    // the others.
    let it = problem(
        &[(0, 4)],
        &[],
        &[(&[(0, 1)], -5, &[]), (&[(0, -1)], -5, &[]), (&[], 0, &[])],
    );
    let follows = |side, row, to| bounds(&it, &[bound(side, row, 0, to)], 2).is_ok();
    for to in -5..=10 {
        let inside = (0..4).contains(&to);
        assert_eq!(follows(Side::Most, 0, to), inside, "at most {to}");
        let inside = (1..=4).contains(&to);
        assert_eq!(follows(Side::Least, 1, to), inside, "at least {to}");
    }
}

#[test]
fn bounds_hold_for_what_comes_after_them_on_both_sides() {
    // x <= 3, y >= x + 2 with y <= 4, so x <= 2; and x >= 3.
    let it = problem(
        &[(0, 9), (0, 4)],
        &[],
        &[
            (&[(0, 1), (1, -1)], -2, &[]),
            (&[(0, -1)], -3, &[]),
            (&[(1, 1)], 4, &[]),
        ],
    );
    let first = bound(Side::Most, 0, 0, 2);
    assert_eq!(single(&it, &[first], violated(1)), Ok(()));
    // From the other side: x >= 3 first, so y >= 5.
    let first = bound(Side::Least, 1, 0, 3);
    assert_eq!(single(&it, &[first], violated(0)), Ok(()));
    assert_eq!(
        single(&it, &[], violated(0)),
        Err(ProofError::NotViolated { row: 0 })
    );
}

#[test]
fn a_row_is_violated_by_one_and_not_by_nothing() {
    for (most, is_violated) in [(5, false), (4, true)] {
        // 2x - y at x >= 4 and y <= 3.
        let it = problem(&[(4, 9), (1, 3)], &[], &[(&[(0, 2), (1, -1)], most, &[])]);
        let expected = if is_violated {
            Ok(())
        } else {
            Err(ProofError::NotViolated { row: 0 })
        };
        assert_eq!(single(&it, &[], violated(0)), expected);
        let multipliers = vec![(0, 3)];
        let farkas = single(&it, &[], End::Farkas { multipliers });
        assert_eq!(farkas.is_ok(), is_violated);
    }
}

#[test]
fn multiplied_rows_are_added_up() {
    // x + y <= 4, x - y <= -2, -x <= -2: twice x is at most 2.
    let rows: Rows = &[
        (&[(0, 1), (1, 1)], 4, &[]),
        (&[(0, 1), (1, -1)], -2, &[]),
        (&[(0, -1)], -2, &[]),
    ];
    let it = problem(&[(0, 9), (0, 9)], &[], rows);
    let farkas = |multipliers: &[(u32, i64)]| {
        let multipliers = multipliers.to_vec();
        single(&it, &[], End::Farkas { multipliers })
    };
    assert_eq!(farkas(&[(0, 1), (1, 1), (2, 2)]), Ok(()));
    // A row of no weight, and a row in two parts, change nothing.
    assert_eq!(farkas(&[(0, 1), (1, 1), (2, 1), (2, 1), (0, 0)]), Ok(()));
    for few in [
        &[(0, 1), (1, 1), (2, 1)][..],
        &[(0, 1), (1, 1)],
        &[(0, 1), (2, 1)],
        &[(0, 2), (1, 1), (2, 2)],
    ] {
        assert_eq!(farkas(few), Err(ProofError::NoContradiction), "{few:?}");
    }
    // A row that is not in force has no weight, not even none.
    let mut it = problem(&[(0, 9), (0, 9)], &[2], rows);
    let guarded = Row::new([(0, 1)], -1).expect("small numbers");
    it.push_row(guarded.guarded([(0, 1)]))
        .expect("a row in normal form");
    for weight in [0, 1] {
        let multipliers = vec![(0, 1), (1, 1), (2, 2), (3, weight)];
        assert_eq!(
            single(&it, &[], End::Farkas { multipliers }),
            Err(ProofError::NotInForce { row: 3 })
        );
    }
}

/// Two groups of three; row 0 needs alternative 1 of the first and 2 of the second, and is broken
/// as soon as x >= 4. Row 1 strikes alternative 0 of the second, row 2 its alternative 1. Row 3 is
/// broken while alternative 1 of the first is not struck.
fn two_groups(least: i64) -> Problem {
    problem(
        &[(least, 9)],
        &[3, 3],
        &[
            (&[(0, 1)], 3, &[(0, 1), (1, 2)]),
            (&[], -1, &[(1, 0)]),
            (&[], -1, &[(1, 1)]),
            (&[], -1, &[(0, 0)]),
            (&[], -1, &[(0, 2)]),
            (&[], 0, &[]),
        ],
    )
}

#[test]
fn an_alternative_is_struck_once_its_other_guards_are_taken() {
    let it = two_groups(4);
    let takes_second = [strike(1, 1, 0), strike(2, 1, 1)];
    let in_order = |steps: &[Step]| bounds(&it, steps, 5);
    assert_eq!(in_order(&takes_second), Ok(()));
    let early = [strike(0, 0, 1)];
    assert_eq!(in_order(&early), Err(ProofError::NotInForce { row: 0 }));
    let half = [strike(1, 1, 0), strike(0, 0, 1)];
    assert_eq!(in_order(&half), Err(ProofError::NotInForce { row: 0 }));
    let all = [strike(1, 1, 0), strike(2, 1, 1), strike(0, 0, 1)];
    assert_eq!(in_order(&all), Ok(()));
    // All three alternatives of the first group are then struck.
    let end = End::Either {
        group: 0,
        children: Vec::new(),
    };
    let rest = [strike(3, 0, 0), strike(4, 0, 2)];
    let all: Vec<Step> = all.iter().chain(&rest).copied().collect();
    assert_eq!(single(&it, &all, end.clone()), Ok(()));
    for left_out in 0..all.len() {
        let mut few = all.clone();
        few.remove(left_out);
        assert!(single(&it, &few, end.clone()).is_err(), "{left_out}");
    }
    // Where another alternative of the other group is taken, the row speaks of none.
    let other = problem(
        &[(4, 9)],
        &[3, 3],
        &[
            (&[(0, 1)], 3, &[(0, 1), (1, 2)]),
            (&[], -1, &[(1, 2)]),
            (&[], -1, &[(1, 1)]),
            (&[], 0, &[]),
        ],
    );
    let steps = [strike(1, 1, 2), strike(2, 1, 1), strike(0, 0, 1)];
    assert_eq!(
        bounds(&other, &steps, 3),
        Err(ProofError::NotInForce { row: 0 })
    );
}

#[test]
fn a_strike_names_a_guard_of_a_row_that_breaks() {
    let takes_second = [strike(1, 1, 0), strike(2, 1, 1)];
    let with = |least, last: Step| {
        let steps = [takes_second[0], takes_second[1], last];
        bounds(&two_groups(least), &steps, 5)
    };
    let wrong = |row, group, alternative| {
        Err(ProofError::WrongStrike {
            row,
            group,
            alternative,
        })
    };
    assert_eq!(with(4, strike(0, 0, 1)), Ok(()));
    assert_eq!(with(3, strike(0, 0, 1)), wrong(0, 0, 1));
    assert_eq!(with(4, strike(0, 0, 0)), wrong(0, 0, 0));
    assert_eq!(with(4, strike(0, 0, 2)), wrong(0, 0, 2));
    assert_eq!(with(4, strike(3, 1, 0)), wrong(3, 1, 0));
    assert_eq!(with(4, strike(5, 0, 1)), wrong(5, 0, 1));
    assert_eq!(
        with(4, strike(6, 0, 1)),
        Err(ProofError::NoSuchRow { row: 6 })
    );
}

#[test]
fn a_row_is_in_force_when_each_of_its_guards_is_taken() {
    let it = two_groups(4);
    let takes = |group: u32| match group {
        0 => [strike(3, 0, 0), strike(4, 0, 2)],
        _ => [strike(1, 1, 0), strike(2, 1, 1)],
    };
    let not = Err(ProofError::NotInForce { row: 0 });
    assert_eq!(single(&it, &takes(0), violated(0)), not);
    assert_eq!(single(&it, &takes(1), violated(0)), not);
    let both = [takes(0), takes(1)].concat();
    assert_eq!(single(&it, &both, violated(0)), Ok(()));
    // Where every alternative is struck, none is taken.
    let last = [both.clone(), vec![strike(0, 0, 1)]].concat();
    assert_eq!(single(&it, &last, violated(0)), not);
}

#[test]
fn a_split_gives_each_side_its_half_and_nothing_of_the_other() {
    // x <= 5 and x >= 6 clash with y on each side: y >= 2 below, y >= 2 above, and y <= 1.
    let it = problem(
        &[(0, 10), (0, 9)],
        &[],
        &[
            // Below: x - y <= ... y >= 7 - x.
            (&[(0, -1), (1, -1)], -7, &[]),
            // Above: y >= x - 4.
            (&[(0, 1), (1, -1)], 4, &[]),
            (&[(1, 1)], 1, &[]),
        ],
    );
    let proof = |at, most: Option<i64>, steps: [&[Step]; 2]| {
        let root: Vec<Step> = most.iter().map(|&to| bound(Side::Most, 2, 1, to)).collect();
        let end = End::Split {
            unknown: 0,
            at,
            below: 0,
            above: 1,
        };
        let nodes = vec![
            node(steps[0], violated(0)),
            node(steps[1], violated(1)),
            node(&root, end),
        ];
        replay(&it, &Proof { nodes })
    };
    // With y <= 1: x >= 6 of the first row, x <= 5 of the second.
    assert_eq!(proof(5, Some(1), [&[], &[]]), Ok(()));
    assert_eq!(
        proof(4, Some(1), [&[], &[]]),
        Err(ProofError::NotViolated { row: 1 })
    );
    assert_eq!(
        proof(6, Some(1), [&[], &[]]),
        Err(ProofError::NotViolated { row: 0 })
    );
    // The bound of the parent stays for the second child once the first is done.
    assert_eq!(
        proof(5, None, [&[], &[]]),
        Err(ProofError::NotViolated { row: 0 })
    );
    let own = [bound(Side::Most, 2, 1, 1)];
    assert_eq!(proof(5, None, [&own, &own]), Ok(()));
    // What a child finds is its own.
    assert_eq!(
        proof(5, None, [&own, &[]]),
        Err(ProofError::NotViolated { row: 1 })
    );
}

#[test]
fn strikes_end_with_the_node_that_made_them() {
    // Alternative 0 is struck by row 0 in one half only.
    let it = problem(
        &[(0, 9)],
        &[2],
        &[(&[(0, 1)], 4, &[(0, 0)]), (&[], -1, &[(0, 1)])],
    );
    let either = || End::Either {
        group: 0,
        children: Vec::new(),
    };
    let steps = [strike(0, 0, 0), strike(1, 0, 1)];
    let proof = |above: &[Step], below: &[Step]| {
        let end = End::Split {
            unknown: 0,
            at: 4,
            below: 0,
            above: 1,
        };
        let nodes = vec![node(below, either()), node(above, either()), node(&[], end)];
        replay(&it, &Proof { nodes })
    };
    assert_eq!(
        proof(&steps, &steps),
        Err(ProofError::WrongStrike {
            row: 0,
            group: 0,
            alternative: 0
        })
    );
    // The lower half is read first; the other way round nothing of it may be left.
    let end = End::Split {
        unknown: 0,
        at: 4,
        below: 1,
        above: 0,
    };
    let lower = problem(
        &[(0, 9)],
        &[2],
        &[(&[(0, -1)], -5, &[(0, 0)]), (&[], -1, &[(0, 1)])],
    );
    let nodes = vec![
        node(&steps[1..], either()),
        node(&steps, either()),
        node(&[], end),
    ];
    assert_eq!(
        replay(&lower, &Proof { nodes }),
        Err(ProofError::MissingChild {
            group: 0,
            alternative: 0
        })
    );
}

#[test]
fn an_unknown_without_a_value_is_one_whose_bounds_cross() {
    for (bounds, has_value) in [((3, 2), false), ((3, 3), true), ((3, 4), true)] {
        let it = problem(&[(0, 5), bounds], &[], &[]);
        let expected = if has_value {
            Err(ProofError::HasValue { unknown: 1 })
        } else {
            Ok(())
        };
        assert_eq!(single(&it, &[], End::NoValue { unknown: 1 }), expected);
    }
    let it = problem(&[(0, 5)], &[0, 1], &[]);
    assert_eq!(
        single(&it, &[], End::NoValue { unknown: 1 }),
        Err(ProofError::NoSuchUnknown { unknown: 1 })
    );
    assert_eq!(single(&it, &[], End::NoAlternative { group: 0 }), Ok(()));
    assert_eq!(
        single(&it, &[], End::NoAlternative { group: 1 }),
        Err(ProofError::HasAlternatives { group: 1 })
    );
    let none = ProofError::NoSuchAlternative {
        group: 2,
        alternative: 0,
    };
    assert_eq!(single(&it, &[], End::NoAlternative { group: 2 }), Err(none));
    let children = Vec::new();
    let either = End::Either { group: 2, children };
    assert_eq!(single(&it, &[], either), Err(none));
}

#[test]
fn the_first_node_that_nothing_uses_is_named() {
    let it = problem(&[(0, 10)], &[], &[(&[(0, 1)], -1, &[])]);
    let leaf = || node(&[], violated(0));
    let end = End::Split {
        unknown: 0,
        at: 4,
        below: 0,
        above: 2,
    };
    let nodes = vec![leaf(), leaf(), leaf(), leaf(), node(&[], end)];
    assert_eq!(
        replay(&it, &Proof { nodes }),
        Err(ProofError::Unused { node: 1 })
    );
}
