//! The checker against proofs that were tampered with.

use crate::generate::random;
use crate::parts::Dice;
use crate::steps::{bound, node, problem, single};
use tuckwright::solve::check::{ProofError, WitnessError, replay, witness};
use tuckwright::solve::problem::{Problem, Side, Witness};
use tuckwright::solve::proof::{End, Proof, Step};
use tuckwright::solve::{Answer, Limits, decide, solve};

fn most(row: u32, unknown: u32, to: i64) -> Step {
    bound(Side::Most, row, unknown, to)
}

#[test]
fn bounds_one_tick_too_tight() {
    // 2x <= 7, x >= 4.
    let it = problem(
        &[(0, 10)],
        &[],
        &[(&[(0, 2)], 7, &[]), (&[(0, -1)], -4, &[])],
    );
    let end = End::Violated { row: 1 };
    assert_eq!(single(&it, &[most(0, 0, 3)], end.clone()), Ok(()));
    let wrong = ProofError::WrongBound {
        row: 0,
        unknown: 0,
        to: 2,
    };
    assert_eq!(single(&it, &[most(0, 0, 2)], end.clone()), Err(wrong));
    assert_eq!(
        single(&it, &[], end.clone()),
        Err(ProofError::NotViolated { row: 1 })
    );
    assert_eq!(
        single(&it, &[most(5, 0, 3)], end.clone()),
        Err(ProofError::NoSuchRow { row: 5 })
    );
    assert_eq!(
        single(&it, &[most(0, 9, 3)], end),
        Err(ProofError::NotInRow { row: 0, unknown: 9 })
    );
    let extreme = [most(0, 0, i64::MIN)];
    assert!(single(&it, &extreme, End::Violated { row: 1 }).is_err());
    let extreme = [Step::Bound {
        row: 1,
        unknown: 0,
        side: Side::Least,
        to: i64::MAX,
    }];
    assert!(single(&it, &extreme, End::Violated { row: 0 }).is_err());
}

#[test]
fn multipliers() {
    // x - y <= -1, y - x <= 0.
    let it = problem(
        &[(0, 1_000), (0, 1_000)],
        &[],
        &[(&[(0, 1), (1, -1)], -1, &[]), (&[(0, -1), (1, 1)], 0, &[])],
    );
    let farkas = |multipliers: &[(u32, i64)]| {
        let multipliers = multipliers.to_vec();
        single(&it, &[], End::Farkas { multipliers })
    };
    assert_eq!(farkas(&[(0, 1), (1, 1)]), Ok(()));
    assert_eq!(
        farkas(&[(0, 1), (1, -1)]),
        Err(ProofError::NegativeMultiplier { row: 1 })
    );
    assert_eq!(farkas(&[(0, 1)]), Err(ProofError::NoContradiction));
    assert_eq!(farkas(&[]), Err(ProofError::NoContradiction));
    assert_eq!(farkas(&[(2, 1)]), Err(ProofError::NoSuchRow { row: 2 }));
    // Large multipliers are still exact, or refused.
    assert_eq!(farkas(&[(0, i64::MAX), (1, i64::MAX)]), Ok(()));
    let steep = problem(&[(0, 1 << 60)], &[], &[(&[(0, 1 << 60)], -1, &[])]);
    let multipliers = vec![(0, i64::MAX); 9];
    let overflow = single(&steep, &[], End::Farkas { multipliers });
    assert!(matches!(overflow, Ok(()) | Err(ProofError::Overflow)));
}

#[test]
fn a_sum_that_overflows_is_refused() {
    let it = problem(&[(-(1 << 60), 1 << 60)], &[], &[(&[(0, 1 << 60)], 0, &[])]);
    let multipliers = vec![(0, i64::MAX); 300];
    assert_eq!(
        single(&it, &[], End::Farkas { multipliers }),
        Err(ProofError::Overflow)
    );
}

/// x <= 3 under one alternative, x <= 4 under the other; x >= 5.
fn guarded() -> Problem {
    problem(
        &[(0, 10)],
        &[2],
        &[
            (&[(0, 1)], 3, &[(0, 0)]),
            (&[(0, 1)], 4, &[(0, 1)]),
            (&[(0, -1)], -5, &[]),
        ],
    )
}

#[test]
fn alternatives() {
    let it = guarded();
    let child = |row: u32, to: i64| node(&[most(row, 0, to)], End::Violated { row: 2 });
    let either = |children: &[(u32, u32)]| {
        let end = End::Either {
            group: 0,
            children: children.to_vec(),
        };
        let nodes = vec![child(0, 3), child(1, 4), node(&[], end)];
        replay(&it, &Proof { nodes })
    };
    assert_eq!(either(&[(0, 0), (1, 1)]), Ok(()));
    let missing = |alternative| ProofError::MissingChild {
        group: 0,
        alternative,
    };
    assert_eq!(either(&[(0, 0)]), Err(missing(1)));
    assert_eq!(either(&[]), Err(missing(0)));
    assert_eq!(
        either(&[(0, 0), (0, 1)]),
        Err(ProofError::ExtraChild {
            group: 0,
            alternative: 0
        })
    );
    assert_eq!(
        either(&[(0, 0), (1, 0)]),
        Err(ProofError::NotInForce { row: 0 })
    );
    assert_eq!(
        either(&[(0, 0), (1, 7)]),
        Err(ProofError::NoSuchNode { node: 7 })
    );
    assert_eq!(
        either(&[(0, 0), (1, 2)]),
        Err(ProofError::NoSuchNode { node: 2 })
    );
    assert_eq!(
        either(&[(0, 1), (1, 0)]),
        Err(ProofError::NotInForce { row: 0 })
    );
    assert!(either(&[(0, 0), (9, 1)]).is_err());
    // A guarded row is not in force before its alternative is taken.
    assert_eq!(
        single(&it, &[most(0, 0, 3)], End::Violated { row: 2 }),
        Err(ProofError::NotInForce { row: 0 })
    );
    let early = [Step::Strike {
        row: 0,
        group: 0,
        alternative: 0,
    }];
    assert!(single(&it, &early, End::Violated { row: 2 }).is_err());
}

#[test]
fn splits_and_shapes() {
    let it = problem(&[(0, 10)], &[], &[(&[(0, 1)], -1, &[])]);
    let leaf = || node(&[], End::Violated { row: 0 });
    let split = |unknown, at, below, above| {
        let end = End::Split {
            unknown,
            at,
            below,
            above,
        };
        let nodes = vec![leaf(), leaf(), node(&[], end)];
        replay(&it, &Proof { nodes })
    };
    assert_eq!(split(0, 4, 0, 1), Ok(()));
    assert_eq!(split(0, 4, 0, 0), Err(ProofError::UsedTwice { node: 0 }));
    assert_eq!(split(0, 4, 2, 1), Err(ProofError::NoSuchNode { node: 2 }));
    for at in [10, -1, i64::MAX, i64::MIN] {
        assert_eq!(
            split(0, at, 0, 1),
            Err(ProofError::WrongSplit { unknown: 0, at })
        );
    }
    assert_eq!(
        split(3, 4, 0, 1),
        Err(ProofError::NoSuchUnknown { unknown: 3 })
    );
    assert_eq!(replay(&it, &Proof::default()), Err(ProofError::Empty));
    let nodes = vec![leaf(), leaf()];
    assert_eq!(
        replay(&it, &Proof { nodes }),
        Err(ProofError::Unused { node: 0 })
    );
    assert_eq!(
        single(&it, &[], End::NoValue { unknown: 0 }),
        Err(ProofError::HasValue { unknown: 0 })
    );
    assert!(single(&it, &[], End::NoAlternative { group: 0 }).is_err());
}

/// A proof as deep as this would overflow a stack that followed it.
#[test]
fn deep_proofs_are_walked_and_dropped() {
    let depth = 200_000u32;
    let it = problem(&[(0, 1 << 40)], &[], &[(&[(0, 1)], -1, &[])]);
    let leaf = || node(&[], End::Violated { row: 0 });
    let mut nodes = vec![leaf()];
    for level in 0..depth {
        nodes.push(leaf());
        let at = nodes.len() as u32;
        let end = End::Split {
            unknown: 0,
            at: i64::from(depth - level),
            below: at - 1,
            above: at - 2,
        };
        nodes.push(node(&[], end));
    }
    assert_eq!(replay(&it, &Proof { nodes }), Ok(()));
}

#[test]
fn witnesses() {
    let it = guarded();
    let test = |values: &[i64], taken: &[u32]| {
        let (values, taken) = (values.to_vec(), taken.to_vec());
        witness(&it, &Witness { values, taken })
    };
    assert_eq!(test(&[3], &[0]), Err(WitnessError::Violated { row: 2 }));
    assert_eq!(test(&[5], &[0]), Err(WitnessError::Violated { row: 0 }));
    assert_eq!(
        test(&[11], &[0]),
        Err(WitnessError::OutOfBounds { unknown: 0 })
    );
    assert_eq!(
        test(&[5], &[2]),
        Err(WitnessError::NoSuchAlternative { group: 0 })
    );
    assert_eq!(test(&[5], &[]), Err(WitnessError::Shape));
}

fn nudge(dice: &mut Dice, number: &mut u32) {
    *number = match dice.within(0, 3) {
        0 => number.wrapping_add(1),
        1 => number.wrapping_sub(1),
        2 => u32::MAX,
        _ => dice.within(0, 5) as u32,
    };
}

fn nudge_wide(dice: &mut Dice, number: &mut i64) {
    *number = match dice.within(0, 5) {
        0 => i64::MIN,
        1 => i64::MAX,
        2 => number.wrapping_neg(),
        3 => number.wrapping_add(dice.within(1, 3)),
        _ => number.wrapping_sub(dice.within(1, 3)),
    };
}

fn mutate(dice: &mut Dice, proof: &mut Proof) {
    let at = dice.within(0, proof.nodes.len() as i64 - 1) as usize;
    let node = &mut proof.nodes[at];
    if !node.steps.is_empty() && dice.chance(60) {
        let step = dice.within(0, node.steps.len() as i64 - 1) as usize;
        if dice.chance(20) {
            node.steps.remove(step);
            return;
        }
        match &mut node.steps[step] {
            Step::Bound {
                row,
                unknown,
                side,
                to,
            } => match dice.within(0, 3) {
                0 => nudge(dice, row),
                1 => nudge(dice, unknown),
                2 => {
                    *side = if *side == Side::Most {
                        Side::Least
                    } else {
                        Side::Most
                    }
                }
                _ => nudge_wide(dice, to),
            },
            Step::Strike {
                row,
                group,
                alternative,
            } => match dice.within(0, 2) {
                0 => nudge(dice, row),
                1 => nudge(dice, group),
                _ => nudge(dice, alternative),
            },
        }
        return;
    }
    match &mut node.end {
        End::Violated { row } => nudge(dice, row),
        End::Farkas { multipliers } => {
            let pair = dice.within(0, multipliers.len() as i64 - 1) as usize;
            if dice.chance(50) {
                nudge(dice, &mut multipliers[pair].0);
            } else {
                nudge_wide(dice, &mut multipliers[pair].1);
            }
        }
        End::Split {
            unknown,
            at,
            below,
            above,
        } => match dice.within(0, 3) {
            0 => nudge(dice, unknown),
            1 => nudge_wide(dice, at),
            2 => nudge(dice, below),
            _ => nudge(dice, above),
        },
        End::Either { group, children } => {
            if children.is_empty() || dice.chance(20) {
                nudge(dice, group);
            } else {
                let child = dice.within(0, children.len() as i64 - 1) as usize;
                match dice.within(0, 2) {
                    0 => nudge(dice, &mut children[child].0),
                    1 => nudge(dice, &mut children[child].1),
                    _ => drop(children.remove(child)),
                }
            }
        }
        End::NoAlternative { group } => nudge(dice, group),
        End::NoValue { unknown } => nudge(dice, unknown),
    }
}

/// What can hold cannot be refuted: take a proof, loosen one of the rows it needs until the rest
/// can hold, and change the proof in every way. Nothing is accepted, and nothing panics.
#[test]
fn no_mutation_refutes_what_holds() {
    let mut dice = Dice::new(11);
    let mut tried = 0;
    for seed in 0..1_500 {
        let solution = solve(&random(seed), &Limits::default());
        for certificate in &solution.certificates {
            let whole = &certificate.problem;
            if whole.rows().is_empty() {
                continue;
            }
            let loosened = dice.within(0, whole.rows().len() as i64 - 1) as usize;
            let mut other = Problem::new(whole.unknowns().to_vec(), whole.groups().to_vec());
            for (at, row) in whole.rows().iter().enumerate() {
                let mut row = row.clone();
                row.most += i64::from(at == loosened) * dice.within(1, 4);
                other.push_row(row).expect("a row in normal form");
            }
            if !matches!(
                decide(&other, &[], &[], &Limits::default()),
                Answer::Holds(_)
            ) {
                continue;
            }
            let mut proof = certificate.proof.clone();
            assert!(replay(&other, &proof).is_err());
            for _ in 0..6 {
                mutate(&mut dice, &mut proof);
                assert!(replay(&other, &proof).is_err(), "seed {seed}");
                tried += 1;
            }
        }
    }
    assert!(tried > 10_000, "{tried}");
}
