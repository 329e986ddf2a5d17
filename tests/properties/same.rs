//! The same album, said in another order, or twice.

use super::{ALBUMS, common, each, optima, plan_sizes, worked};
use common::dice::Dice;
use std::collections::{BTreeMap, BTreeSet};
use tuckwright::length::{parse_interval, parse_length};
use tuckwright::program::Stage;
use tuckwright::solve::{Limits, StageOutcome, Verdict};
use tuckwright::{Outcome, Worked, work};

/// Every size by its name, leaf included.
fn sizes(worked: &Worked) -> BTreeMap<String, i64> {
    let names = worked
        .expanded
        .program
        .unknowns
        .iter()
        .map(|it| it.name.clone());
    names.zip(worked.solution.values.iter().copied()).collect()
}

fn fits(worked: &Worked) -> bool {
    worked.solution.verdict == Verdict::FitsBest
}

/// The wishes kept among so many stages: of which rule, and of which things, by name.
fn kept(worked: &Worked, stages: usize) -> BTreeSet<(usize, Vec<String>)> {
    let expanded = &worked.expanded;
    let scene = &expanded.model.scene;
    let settled = expanded
        .program
        .stages
        .iter()
        .zip(&worked.solution.stages)
        .take(stages);
    let kept = settled.filter_map(|(stage, outcome)| match (stage, outcome) {
        (Stage::Keep(id), StageOutcome::Kept) => Some(id.0 as usize),
        _ => None,
    });
    kept.map(|at| {
        let of = expanded.scopes[at].0.iter().map(|(_, thing)| {
            let leaf = scene
                .leaf_of(*thing)
                .map_or("", |leaf| scene.text(leaf, "name"));
            format!("{leaf}: {}", scene.thing(*thing).label)
        });
        (expanded.program.instances[at].rule, of.collect())
    })
    .collect()
}

#[test]
fn the_same_album_gives_the_same_plan() {
    each(|seed, style, first| {
        let again = worked(style, seed);
        assert_eq!(again.solution, first.solution, "album {seed}");
        match (&again.outcome, &first.outcome) {
            (Outcome::Fits(again), Outcome::Fits(first)) => {
                assert_eq!(again, first, "album {seed}")
            }
            (Outcome::Clash(again), Outcome::Clash(first)) => {
                assert_eq!(again, first, "album {seed}")
            }
            other => panic!("album {seed}: {other:?}"),
        }
    });
}

/// Wishes are kept in the order of the file, so theirs stays; that of the musts means nothing.
#[test]
fn rules_in_another_order_give_the_same_sizes() {
    let mut dice = Dice::new(1);
    each(|seed, style, first| {
        let mut other = style.clone();
        let musts: Vec<usize> = (0..other.rules.len())
            .filter(|at| !other.rules[*at].wish)
            .collect();
        let mut order = musts.clone();
        dice.shuffle(&mut order);
        for (to, from) in musts.iter().zip(&order) {
            other.rules[*to] = style.rules[*from].clone();
        }
        let shuffled = worked(&other, seed);
        assert_eq!(fits(&shuffled), fits(first), "album {seed}");
        assert_eq!(optima(&shuffled), optima(first), "album {seed}");
        assert_eq!(
            shuffled.solution.values, first.solution.values,
            "album {seed}"
        );
        assert_eq!(sizes(&shuffled), sizes(first), "album {seed}");
    });
}

/// Where two leaves' wishes for the one template cannot both be kept, the leaf that is written
/// first has its way; all else is the same.
#[test]
fn leaves_in_another_order_give_the_same_sizes() {
    let style = common::upright();
    let mut dice = Dice::new(2);
    let (mut same, mut other_wishes) = (0, Vec::new());
    for seed in ALBUMS {
        let mut album = common::varied(seed);
        if album.leaves.len() < 2 {
            continue;
        }
        let first = worked(&style, seed);
        let by = dice.between(1, album.leaves.len() as i64 - 1);
        album.leaves.rotate_left(by as usize);
        let shuffled = work(&style, &album, &Limits::default()).expect("read before");
        assert_eq!(fits(&shuffled), fits(&first), "album {seed}");
        let of_template = first.expanded.program.first_stages;
        if kept(&shuffled, usize::MAX) != kept(&first, usize::MAX) {
            let [one, other] = [&shuffled, &first].map(|it| kept(it, of_template));
            assert_ne!(one, other, "album {seed}: not for the template's sake");
            other_wishes.push(seed);
            continue;
        }
        assert_eq!(sizes(&shuffled), sizes(&first), "album {seed}");
        let in_any_order = |worked: &Worked| {
            let mut all = optima(worked);
            all.sort();
            all
        };
        assert_eq!(
            in_any_order(&shuffled),
            in_any_order(&first),
            "album {seed}"
        );
        same += 1;
    }
    println!("{same} the same; other wishes kept in {other_wishes:?}");
    assert!(same > 80 && other_wishes.len() * 10 < same);
}

#[test]
fn equal_leaves_have_equal_sizes() {
    let style = common::upright();
    let mut compared = 0;
    for seed in ALBUMS {
        let mut album = common::varied(seed);
        let of = (seed % album.leaves.len() as u64) as usize;
        let mut twin = album.leaves[of].clone();
        let name = std::mem::replace(&mut twin.name, "twin".to_owned());
        album.leaves.push(twin);
        let worked = work(&style, &album, &Limits::default()).expect("read before");
        let sizes = sizes(&worked);
        for (size, value) in &sizes {
            if let Some(rest) = size.strip_prefix("twin: ")
                && let Some(other) = sizes.get(&format!("{name}: {rest}"))
            {
                assert_eq!(value, other, "album {seed}: {rest}");
                compared += 1;
            }
        }
    }
    println!("{compared} pairs of sizes");
    assert!(compared > 1_000);
}

#[test]
fn sizes_are_printed_so_that_they_read_the_same() {
    let mut read = 0;
    each(|seed, _, worked| {
        let Outcome::Fits(plan) = &worked.outcome else {
            return;
        };
        for size in plan_sizes(plan) {
            let ends = [size.value.least(), size.value.most()];
            for end in ends {
                for text in [plan.ruler.show(end), plan.ruler.show_typographic(end)] {
                    assert_eq!(parse_length(&text), Ok(end), "album {seed}: {text}");
                    read += 1;
                }
            }
            if size.value.is_exact() {
                let text = plan.ruler.show_interval(size.value);
                assert_eq!(
                    parse_interval(&text),
                    Ok(size.value),
                    "album {seed}: {text}"
                );
            }
        }
    });
    assert!(read > 1_000);
}
