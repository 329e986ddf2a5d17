//! A program solved apart, against the same program solved as a whole.

use crate::common::{self, bags, dice::Dice};
use tuckwright::program::expand::expand;
use tuckwright::program::{Force, UnknownId};
use tuckwright::solve::{
    Answered, Apart, Extent, Limits, Memory, StageOutcome, Verdict, solve, solve_apart,
    solve_as_far,
};

/// Told of fewer sizes, a program is settled as ever.
#[test]
fn what_is_told_changes_nothing_else() {
    let style = common::upright();
    let limits = Limits::default();
    let mut told_of = 0;
    for seed in 0..120 {
        let Ok(expanded) = expand(&style, &common::varied(seed)) else {
            continue;
        };
        let program = &expanded.program;
        let told: Vec<UnknownId> = (expanded.sizes.iter().map(|it| it.unknown))
            .step_by(3)
            .collect();
        let some = solve_as_far(program, &limits, &Extent::Of(told.clone()));
        let all = solve(program, &limits);
        assert_eq!(some.verdict, all.verdict, "{seed}");
        assert_eq!(some.values, all.values, "{seed}");
        assert_eq!(some.taken, all.taken, "{seed}");
        for (at, (some, all)) in some.held_by.iter().zip(&all.held_by).enumerate() {
            let is_told = told.contains(&UnknownId(at as u32));
            assert_eq!(some.is_some(), all.is_some() && is_told, "{seed}");
            if let (Some(some), Some(all)) = (some, all) {
                told_of += 1;
                assert_eq!(some.holders, all.holders, "{seed}");
            }
        }
    }
    assert!(told_of > 150, "{told_of}");
}

/// Values, wishes kept and reasons, over varied albums and bags, with one memory for all of them.
#[test]
fn apart_is_as_a_whole() {
    let style = common::upright();
    let limits = Limits::default();
    // One that has room, one that forgets every now and then, one that forgets at once.
    let memories = [100_000, 400, 0].map(Memory::new);
    let (mut best, mut whole, mut failed) = (0, 0, 0);
    for seed in 0..250 {
        let mut dice = Dice::new(seed + 60_000);
        let album = common::varied(seed);
        let first = album.supplies.bags[album.leaves[0].bag].clone();
        let all: Vec<usize> = (0..album.leaves.len()).collect();
        for at in 0..4 {
            let album = match at {
                0 => album.clone(),
                _ => album.with_bag(&all, &bags::alike(&mut dice, &first)),
            };
            let Ok(expanded) = expand(&style, &album) else {
                continue;
            };
            let program = &expanded.program;
            let apart = Apart::new(program).expect("it is whole");
            let told: Vec<UnknownId> = (expanded.sizes.iter().map(|it| it.unknown))
                .filter(|_| dice.chance(20))
                .collect();
            let known = (seed * 4 + at) as i64;
            let memory = &memories[seed as usize % 3];
            let answered = solve_apart(program, &apart, &told, (memory, known), &limits);
            let solution = solve(program, &limits);
            match answered {
                Answered::Best(settled) => {
                    best += 1;
                    assert_eq!(solution.verdict, Verdict::FitsBest, "{seed}.{at}");
                    assert_eq!(settled.values, solution.values, "{seed}.{at}");
                    for (at, instance) in program.instances.iter().enumerate() {
                        let id = tuckwright::program::InstanceId(at as u32);
                        let kept = instance.force == Force::Must || solution.is_kept(program, id);
                        assert_eq!(settled.kept[at], kept, "{seed}: {instance:?}");
                    }
                    for (_, choice) in expanded.model.choices.iter() {
                        if let Some(group) = choice.group {
                            let group = group.0 as usize;
                            assert_eq!(settled.taken[group], solution.taken[group], "{seed}");
                        }
                    }
                    for (unknown, held) in &settled.held {
                        let as_whole = solution.held_by[unknown.0 as usize].as_ref();
                        let as_whole = as_whole.expect("it is told as a whole too");
                        assert_eq!(held.holders, as_whole.holders, "{seed}.{at} {unknown:?}");
                        assert_eq!(held.larger, as_whole.larger);
                    }
                }
                Answered::Whole(it) => {
                    assert_eq!(it.verdict, solution.verdict, "{seed}.{at}");
                    assert_eq!(it.values, solution.values, "{seed}.{at}");
                    let told = |it: &StageOutcome| matches!(it, StageOutcome::Kept);
                    assert!(
                        it.stages
                            .iter()
                            .map(told)
                            .eq(solution.stages.iter().map(told))
                    );
                    match it.verdict {
                        Verdict::Conflict(_) => failed += 1,
                        _ => whole += 1,
                    }
                }
            }
        }
    }
    println!("{best} apart, {whole} as a whole, {failed} do not fit");
    assert!(best > 200 && failed > 100, "{best} {whole} {failed}");
}
