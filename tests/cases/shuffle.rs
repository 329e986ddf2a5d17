//! Leaves and rules in another order make the same album: every preference comes to the same value.
//!
//! Compared are the first preferences (template and ring) and the maker's own. Wishes go by the order
//! of the file, one leaf after the other, so they keep their order here: where two cannot both be
//! kept, the earlier one is, and another order is another album.

use crate::marks::{outcome, preferred};
use crate::run::Case;
use std::path::{Path, PathBuf};
use tuckwright::solve::StageOutcome;
use tuckwright::style::Rule;
use tuckwright::{Outcome, Worked};

/// Albums with several leaves, where an order can matter.
pub fn albums(root: &Path) -> Vec<PathBuf> {
    let cases = crate::folders(&root.join("tests/fits"))
        .into_iter()
        .map(|f| f.join("album.toml"));
    let all = cases.chain(crate::files(&root.join("models/albums")));
    all.filter(|path| {
        Case::read(path).is_ok_and(|c| !c.album.prefer.is_empty() || c.album.leaves.len() > 1)
    })
    .collect()
}

/// # Errors
/// A preference comes to another value in another order.
pub fn same_optima(path: &Path) -> Result<(), libtest_mimic::Failed> {
    let mut case = Case::read(path)?;
    let worked = case.work()?;
    let Outcome::Fits(plan) = &worked.outcome else {
        return Err(outcome(&worked.outcome).into());
    };
    let wishes_all_kept = plan.rules.iter().all(|r| r.kept);
    let expected = optima(&case, &worked);
    let leaves = case.album.leaves.clone();
    let rules = case.style.rules.clone();
    for seed in 1..=4 {
        case.album.leaves = leaves.clone();
        case.style.rules = rules.clone();
        // Where leaves contend for a wish, the earlier leaf has it.
        if wishes_all_kept {
            shuffle(&mut case.album.leaves, seed);
        }
        let (wishes, mut musts): (Vec<Rule>, Vec<Rule>) =
            rules.iter().cloned().partition(|r| r.wish);
        shuffle(&mut musts, seed + 100);
        case.style.rules = mixed(wishes, musts, seed + 200);
        let told = optima(&case, &case.work()?);
        if told != expected {
            return Err(format!("order {seed}: expected {expected:?}, told {told:?}").into());
        }
    }
    Ok(())
}

/// Both lists as one, each in its own order.
fn mixed(first: Vec<Rule>, second: Vec<Rule>, seed: u64) -> Vec<Rule> {
    let mut from_first: Vec<bool> = (0..first.len() + second.len())
        .map(|n| n < first.len())
        .collect();
    shuffle(&mut from_first, seed);
    let (mut first, mut second) = (first.into_iter(), second.into_iter());
    let next = from_first
        .into_iter()
        .filter_map(|f| if f { first.next() } else { second.next() });
    next.collect()
}

/// Each preference that the maker named or that ties the album together, with its value.
fn optima(case: &Case, worked: &Worked) -> Vec<(String, i128)> {
    let titles = worked
        .expanded
        .stage_titles
        .iter()
        .zip(&worked.solution.stages);
    let first = titles.take(worked.expanded.program.first_stages);
    let first = first.filter_map(|(title, outcome)| match outcome {
        StageOutcome::Best { value, .. } => Some((title.clone(), *value)),
        _ => None,
    });
    first.chain(preferred(case, worked)).collect()
}

/// Another order, always the same for a seed.
fn shuffle<T>(list: &mut [T], seed: u64) {
    let mut state = seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1;
    for last in (1..list.len()).rev() {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        let other = (state >> 33) as usize % (last + 1);
        list.swap(last, other);
    }
}
