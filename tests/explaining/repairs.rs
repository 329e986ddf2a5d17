//! Repairs: the cheapest, and every minimal set, beside exhaustive search.

use crate::parts::{Dice, add, row, unknown};
use crate::points::{Point, holds, must_rows, points};
use crate::spoilt::{Spoilt, spoilt, sum};
use std::collections::BTreeSet;
use std::sync::atomic::AtomicBool;
use tuckwright::program::{Force, Program, UnknownId};
use tuckwright::solve::{
    Change, Claim, Limits, Origin, Repair, Repairs, Why, check, minimal_conflicts, repairs,
};

/// Amounts in the order of the changes.
type Amounts = Vec<i64>;

/// The least amounts that make the musts hold, for each point of all else. Every row mentions one
/// change at most, so each point has one such vector, or none.
fn vectors(it: &Spoilt) -> BTreeSet<Amounts> {
    let mut still = it.program.clone();
    for change in &it.changes {
        still.unknowns[change.unknown.0 as usize].most = 0;
    }
    let rows = must_rows(&it.program);
    let vector = |point: &Point| -> Option<Amounts> {
        let mut amounts = vec![0; it.changes.len()];
        for row in &rows {
            if holds(row, point) {
                continue;
            }
            let over = sum(row, point) - row.most;
            let (place, times) = row
                .terms
                .iter()
                .find_map(|&(at, times)| Some((it.change(at)?, times)))?;
            let least = (over + -times - 1) / -times;
            amounts[place] = amounts[place].max(least);
        }
        let fits = amounts
            .iter()
            .zip(&it.changes)
            .all(|(&amount, change)| amount <= it.program.unknowns[change.unknown.0 as usize].most);
        fits.then_some(amounts)
    };
    points(&still, &[]).iter().filter_map(vector).collect()
}

fn price(amounts: &[i64], changes: &[Change]) -> i128 {
    let prices = amounts.iter().zip(changes);
    prices
        .map(|(&amount, it)| i128::from(amount * it.price))
        .sum()
}

fn support(amounts: &[i64]) -> u64 {
    let used = amounts
        .iter()
        .enumerate()
        .filter(|(_, amount)| **amount != 0);
    used.map(|(at, _)| 1 << at).sum()
}

/// The order in which repairs are listed: price, number of changes, their order, amounts.
fn rank(amounts: &Amounts, changes: &[Change]) -> (i128, u32, Vec<usize>, Amounts) {
    let set = support(amounts);
    let places = (0..amounts.len()).filter(|at| set >> at & 1 == 1).collect();
    (
        price(amounts, changes),
        set.count_ones(),
        places,
        amounts.clone(),
    )
}

fn amounts(repair: &Repair, it: &Spoilt) -> Amounts {
    let mut amounts = vec![0; it.changes.len()];
    for &(unknown, amount) in &repair.amounts {
        amounts[it.change(unknown).expect("a change")] = amount;
    }
    amounts
}

/// Every combination of one repair from each part's list.
fn combined(found: &Repairs, it: &Spoilt) -> BTreeSet<Amounts> {
    let mut all = BTreeSet::from([vec![0; it.changes.len()]]);
    for part in &found.parts {
        let lists = part.sets.iter().map(|set| amounts(set, it));
        let lists: Vec<Amounts> = lists.collect();
        let add = |one: &Amounts| -> Vec<Amounts> {
            let plus = |other: &Amounts| one.iter().zip(other).map(|(a, b)| a + b).collect();
            lists.iter().map(plus).collect()
        };
        all = all.iter().flat_map(add).collect();
    }
    all
}

fn is_fixed_row(certificate: &tuckwright::solve::Certificate, row: usize) -> Option<UnknownId> {
    let row = &certificate.problem.rows()[row];
    match row.terms[..] {
        [(unknown, 1)] if row.most == 0 && row.guards.is_empty() => {
            Some(certificate.unknowns[unknown as usize])
        }
        _ => None,
    }
}

/// The certificate stands, and assumes of the listed changes that they stay at nothing, and at
/// most one row that every smaller price than `below` satisfies.
fn stands(
    certificate: &tuckwright::solve::Certificate,
    it: &Spoilt,
    at_nothing: &dyn Fn(UnknownId) -> bool,
    below: Option<i128>,
) {
    assert!(certificate.is_about(&it.program));
    assert_eq!(
        check::replay(&certificate.problem, &certificate.proof),
        Ok(())
    );
    for (at, origin) in certificate.origins.iter().enumerate() {
        if *origin != Origin::Assumed || is_fixed_row(certificate, at).is_some_and(at_nothing) {
            continue;
        }
        let row = &certificate.problem.rows()[at];
        let below = below.expect("only a price row may stand here");
        assert!(row.guards.is_empty());
        let mut divisor = None;
        for &(unknown, times) in &row.terms {
            let id = certificate.unknowns[unknown as usize];
            let change = it.changes[it.change(id).expect("a change")];
            assert_eq!(change.price % times, 0);
            assert_eq!(
                *divisor.get_or_insert(change.price / times),
                change.price / times
            );
        }
        let divisor = i128::from(divisor.expect("a price row"));
        assert!(i128::from(row.most) >= (below - 1).div_euclid(divisor));
    }
}

fn fits(repair: &Repair, program: &Program) {
    let point = Point {
        values: repair.values.clone(),
        taken: repair.taken.clone(),
    };
    assert!(must_rows(program).iter().all(|row| holds(row, &point)));
    for (unknown, value) in program.unknowns.iter().zip(&repair.values) {
        assert!(unknown.least <= *value && *value <= unknown.most);
    }
}

fn looks_right(found: &Repairs, it: &Spoilt, seed: u64) {
    let prices = |amounts: &Amounts| price(amounts, &it.changes);
    for part in &found.parts {
        for set in &part.sets {
            fits(set, &it.program);
            assert!(
                set.proved && set.needed.len() == set.amounts.len(),
                "seed {seed}"
            );
            assert_eq!(prices(&amounts(set, it)), set.price);
            let used = |id: UnknownId| set.amounts.iter().any(|pair| pair.0 == id);
            for (&(needed, _), &at) in set.amounts.iter().zip(&set.needed) {
                let certificate = &found.certificates[at];
                assert_eq!(certificate.claim, Claim::Needed);
                stands(certificate, it, &|id| id == needed || !used(id), None);
            }
            for &at in &set.cheaper {
                let certificate = &found.certificates[at];
                assert_eq!(certificate.claim, Claim::Dearer { price: set.price });
                stands(certificate, it, &|id| !used(id), Some(set.price));
            }
        }
        fits(&part.cheapest, &it.program);
        assert_eq!(prices(&amounts(&part.cheapest, it)), part.cheapest.price);
        let [at] = part.cheapest.cheaper[..] else {
            panic!("seed {seed}: one proof for a part");
        };
        stands(
            &found.certificates[at],
            it,
            &|_| false,
            Some(part.cheapest.price),
        );
    }
    let cheapest = found.cheapest.as_ref().expect("not hopeless");
    fits(cheapest, &it.program);
    assert!(cheapest.proved);
    assert_eq!(cheapest.cheaper.len(), found.parts.len());
    assert_eq!(prices(&amounts(cheapest, it)), cheapest.price);
}

#[test]
fn all_repairs_of_small_programs() {
    let (mut broken, mut hopeless, mut no_minimal_set, mut apart, mut several, mut out) =
        (0, 0, 0, 0, 0, 0);
    for seed in 0..2_500 {
        let it = spoilt(seed);
        let found = repairs(&it.program, &it.changes, &Limits::default(), 1_000);
        assert!(found.complete && found.met.is_empty(), "seed {seed}");
        let vectors = vectors(&it);
        if vectors.is_empty() {
            let conflict = found.hopeless.expect("nothing helps");
            assert!(found.cheapest.is_none() && found.parts.is_empty());
            assert!(conflict.certificate.is_about(&it.program));
            let certificate = &conflict.certificate;
            assert_eq!(
                check::replay(&certificate.problem, &certificate.proof),
                Ok(())
            );
            hopeless += 1;
            continue;
        }
        assert!(found.hopeless.is_none(), "seed {seed}");
        looks_right(&found, &it, seed);
        let supports: BTreeSet<u64> = vectors.iter().map(|it| support(it)).collect();
        let minimal = |set: &u64| !supports.iter().any(|it| it != set && it & !set == 0);
        let sets: BTreeSet<u64> = supports.iter().copied().filter(minimal).collect();
        let ranked = |it: &Spoilt, list: &mut dyn Iterator<Item = &Amounts>| {
            list.map(|amounts| rank(amounts, &it.changes)).min()
        };
        // One from each list: every minimal set, each at its cheapest, and of equally cheap
        // amounts those in which the first change is smallest.
        let wanted: BTreeSet<Amounts> = sets
            .iter()
            .filter_map(|set| ranked(&it, &mut vectors.iter().filter(|it| support(it) == *set)))
            .map(|rank| rank.3)
            .collect();
        assert_eq!(combined(&found, &it), wanted, "seed {seed}");
        for part in &found.parts {
            let order = part.sets.iter().map(|set| {
                let rank = rank(&amounts(set, &it), &it.changes);
                (rank.0, rank.1, rank.2)
            });
            assert!(order.is_sorted(), "seed {seed}");
        }
        let best = ranked(&it, &mut vectors.iter()).expect("some").3;
        let cheapest = found.cheapest.as_ref().expect("not hopeless");
        assert_eq!(amounts(cheapest, &it), best, "seed {seed}");
        broken += u32::from(!found.parts.is_empty());
        no_minimal_set += u32::from(!sets.contains(&support(&best)));
        apart += u32::from(found.parts.len() > 1);
        several += u32::from(sets.len() > 2);
        out += u32::from(best.iter().zip(&it.changes).any(|(&amount, change)| {
            amount > 0 && it.program.unknowns[change.unknown.0 as usize].name == "left out"
        }));
        let few = repairs(&it.program, &it.changes, &Limits::default(), 1);
        for (few, all) in few.parts.iter().zip(&found.parts) {
            assert_eq!(few.complete, all.sets.len() == 1, "seed {seed}");
            assert_eq!(few.sets.len(), 1);
            assert!(all.sets.iter().any(|it| it.amounts == few.sets[0].amounts));
            assert_eq!(few.cheapest.amounts, all.cheapest.amounts, "seed {seed}");
        }
    }
    assert!(broken > 1_200, "{broken}");
    assert!(hopeless > 50, "{hopeless}");
    assert!(no_minimal_set > 10, "{no_minimal_set}");
    assert!(apart > 30, "{apart}");
    assert!(several > 50, "{several}");
    assert!(out > 10, "{out}");
}

/// Both changes in one row, unlike the programs above: every point of everything, one by one.
#[test]
fn changes_that_loosen_one_row_together() {
    let (mut broken, mut no_minimal_set) = (0, 0);
    for seed in 0..400 {
        let mut dice = Dice::new(seed);
        let mut program = Program::default();
        for at in 0..2 {
            program.unknowns.push(unknown(format!("x{at}"), 0, 3));
        }
        for at in 0..3 {
            program.unknowns.push(unknown(format!("change {at}"), 0, 4));
        }
        for _ in 0..dice.within(2, 4) {
            let mut terms = vec![(0, dice.within(-2, 2)), (1, dice.within(-2, 2))];
            terms.extend((2..5).map(|at| (at, -dice.within(0, 3))));
            terms.retain(|term| term.1 != 0);
            let rows = vec![row(&terms, dice.within(-9, 0))];
            add(&mut program, Force::Must, rows, None);
        }
        let changes = (2..5).map(|at| Change {
            unknown: UnknownId(at),
            price: dice.within(1, 5),
        });
        let it = Spoilt {
            changes: changes.collect(),
            program,
        };
        let all = points(&it.program, &must_rows(&it.program));
        let all: BTreeSet<Amounts> = all.iter().map(|it| it.values[2..].to_vec()).collect();
        let found = repairs(&it.program, &it.changes, &Limits::default(), 20);
        assert_eq!(found.hopeless.is_some(), all.is_empty(), "seed {seed}");
        let Some(cheapest) = &found.cheapest else {
            continue;
        };
        looks_right(&found, &it, seed);
        let ranked = |wanted: &dyn Fn(u64) -> bool| {
            let those = all.iter().filter(|it| wanted(support(it)));
            those.map(|amounts| rank(amounts, &it.changes)).min()
        };
        let best = ranked(&|_| true).expect("some").3;
        assert_eq!(amounts(cheapest, &it), best, "seed {seed}");
        let supports: BTreeSet<u64> = all.iter().map(|it| support(it)).collect();
        let smaller = |set: u64| supports.iter().any(|&it| it != set && it & !set == 0);
        let sets = supports.iter().filter(|&&set| !smaller(set));
        let wanted: BTreeSet<Amounts> = sets
            .filter_map(|&set| ranked(&|it| it == set))
            .map(|rank| rank.3)
            .collect();
        assert_eq!(combined(&found, &it), wanted, "seed {seed}");
        broken += u32::from(!found.parts.is_empty());
        no_minimal_set += u32::from(smaller(support(&best)));
    }
    assert!(broken > 200, "{broken}");
    assert!(no_minimal_set > 10, "{no_minimal_set}");
}

/// A alone by 100, or A by 1 and B by 1.
#[test]
fn the_cheapest_need_not_have_a_minimal_set() {
    let mut program = Program::default();
    for (name, most) in [("x", 100), ("y", 100), ("A", 100), ("B", 1)] {
        program.unknowns.push(unknown(name, 0, most));
    }
    let rows = [
        row(&[(0, -1), (1, -1)], -100),
        row(&[(0, 1), (2, -1)], 0),
        row(&[(1, 1), (3, -99)], 0),
    ];
    for row in rows {
        add(&mut program, Force::Must, vec![row], None);
    }
    let changes = [2, 3].map(|at| Change {
        unknown: UnknownId(at),
        price: 3,
    });
    let found = repairs(&program, &changes, &Limits::default(), 20);
    assert!(found.complete);
    let [part] = &found.parts[..] else {
        panic!("one part");
    };
    let sets: Vec<_> = part
        .sets
        .iter()
        .map(|it| (&it.amounts[..], it.price))
        .collect();
    assert_eq!(sets, [(&[(UnknownId(2), 100)][..], 300)]);
    let cheapest = found.cheapest.expect("it can be repaired");
    assert_eq!(cheapest.amounts, [(UnknownId(2), 1), (UnknownId(3), 1)]);
    assert_eq!((cheapest.price, cheapest.proved), (6, true));
}

/// Nobody waits for the answer any more.
static STOPPED: AtomicBool = AtomicBool::new(true);

#[test]
fn limits_and_slips_are_said() {
    let it = (0..).map(spoilt).find(|it| {
        let found = repairs(&it.program, &it.changes, &Limits::default(), 20);
        found.parts.iter().any(|part| part.sets.len() > 1)
    });
    let it = it.expect("there is one");
    let hasty = Limits {
        stop: Some(&STOPPED),
        ..Limits::default()
    };
    let found = repairs(&it.program, &it.changes, &hasty, 20);
    assert!(!found.complete && found.met == [Why::Clock]);
    assert!(found.cheapest.is_none_or(|it| !it.proved));
    let conflicts = minimal_conflicts(&it.program, &hasty, 20);
    assert!(!conflicts.complete && conflicts.met == [Why::Clock]);
    assert!(conflicts.conflicts.iter().all(|it| !it.proved_minimal));
    let change = it.changes[0];
    for wrong in [
        vec![change, change],
        vec![Change { price: 0, ..change }],
        vec![Change {
            unknown: UnknownId(99),
            ..change
        }],
    ] {
        let found = repairs(&it.program, &wrong, &Limits::default(), 20);
        assert_eq!(found.met, [Why::Malformed]);
        assert!(found.cheapest.is_none() && !found.complete);
    }
}
