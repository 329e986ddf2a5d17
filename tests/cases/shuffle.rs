//! Leaves and rules in another order make the same album: every preference comes to the same value.
//!
//! Only the maker's own preferences and the first ones (template and ring) are compared. Wishes and
//! the sizes' own preferences go by the order of the file, so they may come out otherwise.

use crate::run::Case;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use tuckwright::program::Stage;
use tuckwright::solve::StageOutcome;

/// Albums with several leaves, where an order can matter.
pub fn albums(root: &Path) -> Vec<PathBuf> {
    let cases = crate::folders(&root.join("tests/fits")).into_iter().map(|f| f.join("album.toml"));
    let all = cases.chain(crate::files(&root.join("models/albums")));
    all.filter(|path| Case::read(path).is_ok_and(|c| !c.album.prefer.is_empty() || c.album.leaves.len() > 1))
        .collect()
}

/// # Errors
/// A preference comes to another value in another order.
pub fn same_optima(path: &Path) -> Result<(), libtest_mimic::Failed> {
    let mut case = Case::read(path)?;
    let expected = optima(&case)?;
    let leaves = case.album.leaves.clone();
    let rules = case.style.rules.clone();
    for seed in 1..=4 {
        case.album.leaves = leaves.clone();
        case.style.rules = rules.clone();
        shuffle(&mut case.album.leaves, seed);
        shuffle(&mut case.style.rules, seed + 100);
        let told = optima(&case)?;
        if told != expected {
            return Err(format!("order {seed}: expected {expected:?}, told {told:?}").into());
        }
    }
    Ok(())
}

/// Each preference that the maker named or that ties the album together, with its value.
fn optima(case: &Case) -> Result<BTreeMap<String, i128>, String> {
    let worked = case.work()?;
    let program = &worked.expanded.program;
    let stages = program.stages.iter().zip(&worked.solution.stages).zip(&worked.expanded.stage_titles);
    let mut all = BTreeMap::new();
    for (n, ((stage, outcome), title)) in stages.enumerate() {
        let named = case.album.prefer.iter().any(|p| title.starts_with(p.value.trim()));
        if let (Stage::Best { .. }, StageOutcome::Best { value, .. }) = (stage, outcome)
            && (n < program.first_stages || named)
        {
            all.entry(title.clone()).or_insert(*value);
        }
    }
    Ok(all)
}

/// Another order, always the same for a seed.
fn shuffle<T>(list: &mut [T], seed: u64) {
    let mut state = seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1;
    for last in (1..list.len()).rev() {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        let other = (state >> 33) as usize % (last + 1);
        list.swap(last, other);
    }
}
