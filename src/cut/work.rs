//! Asks for every paper, with all kinds of stages side by side, and tells what is proved.
//!
//! Papers that share pieces are asked together, see `desk`. What was asked for comes first, for all
//! papers; the other kinds of stages and the largest offcut come after it, for a short time.

use super::batch::NODES_A_SECOND;
pub use super::batch::{Batch, PaperPlan, Patience, STAGES, Told, Way, WorkError};
use super::desk::Desk;
use super::pool::{self, Pool};
use super::steps::take_turns;
use super::{CutError, MOST_PIECES, Order};
use crate::length::Ruler;
use crate::nest::Stages;
use crate::text::Problem;
use std::time::{Duration, Instant};

/// Everything that is cut, from which sheets and how. Nothing asked for stages means: three, where
/// that takes no sheet more than free cuts.
///
/// # Errors
/// Everything that cannot be cut, or a defect of this program.
pub fn work(
    order: &Order,
    stages: Option<Stages>,
    ruler: Ruler,
    patience: &Patience<'_>,
) -> Result<Vec<Batch>, WorkError> {
    work_pooled(order, &[], stages, ruler, patience)
}

/// The same, some papers as one, see [`super::pool`].
///
/// # Errors
/// Everything that cannot be cut, or a defect of this program.
pub fn work_pooled(
    order: &Order,
    pools: &[Pool],
    stages: Option<Stages>,
    ruler: Ruler,
    patience: &Patience<'_>,
) -> Result<Vec<Batch>, WorkError> {
    let pieces = order.wants.iter().map(|w| w.count);
    let pieces = pieces.fold(0, u64::saturating_add);
    if let Some(want) = order.wants.iter().find(|_| pieces > MOST_PIECES) {
        let pieces = pieces.to_string();
        let fault = CutError::TooMany { pieces }.at(want.place);
        return Err(WorkError::Faults(vec![fault]));
    }
    let batches = pool::batches(order);
    let start = Instant::now();
    let until = start.checked_add(patience.time);
    let mut desks = Vec::new();
    let mut wrong = Vec::new();
    for (n, papers) in batches.iter().enumerate() {
        let each = patience.left(until) / u32::try_from(batches.len() - n).unwrap_or(u32::MAX);
        let pool = pools.iter().find(|pool| pool.papers == *papers);
        let mut desk = Desk::new(order, papers, pool, ruler, patience);
        match desk.plan(stages, each, start) {
            Ok(()) => desks.push(desk),
            Err(WorkError::Faults(faults)) => wrong.extend(faults),
            Err(defect) => return Err(defect),
        }
    }
    if !wrong.is_empty() {
        return Err(WorkError::Faults(wrong));
    }
    let until = match patience.typed {
        None => Instant::now().checked_add(EXTRAS),
        Some(_) => until,
    };
    let mut left = u32::try_from(desks.len()).unwrap_or(u32::MAX);
    let nodes = NODES_A_SECOND * patience.typed.unwrap_or(2) / u64::from(left.max(1));
    let mut found = Vec::new();
    for desk in desks {
        let mut batch = desk.extras(stages, patience.left(until) / left, nodes)?;
        batch.turned = turned(order, &batch, ruler, patience);
        found.push(batch);
        left -= 1;
    }
    let plans = found.iter_mut().flat_map(|b| &mut b.plan_mut().papers);
    take_turns(&mut plans.collect::<Vec<_>>(), patience.after(start));
    Ok(found)
}

/// Sheets of one size and paper that are enough if its print need not stay upright, if that saves any.
fn turned(order: &Order, batch: &Batch, ruler: Ruler, patience: &Patience<'_>) -> Option<u64> {
    let (needed, [at]) = (batch.with_more.as_ref()?, &batch.papers[..]) else {
        return None;
    };
    let mut other = order.clone();
    let paper = other.papers.get_mut(*at)?;
    if !std::mem::take(&mut paper.directed) || paper.sheets.len() > 1 {
        return None;
    }
    let desk = Desk::new(&other, &batch.papers, None, ruler, patience);
    let sheets = desk.sheets(needed.stages)?;
    (sheets < needed.sheets?).then_some(sheets)
}

/// Plans with as many sheets as it takes, of those papers whose sheets at hand are not enough (proved).
pub fn short(order: &Order, ruler: Ruler, patience: &Patience<'_>) -> Vec<Way> {
    let counted = |paper: &usize| {
        let sheets = order.papers.get(*paper).map(|paper| &paper.sheets);
        sheets.is_some_and(|all| all.iter().all(|it| it.count.is_some()))
    };
    let batches = pool::batches(order).into_iter();
    let few = batches.filter_map(|papers| {
        let desk = Desk::new(order, &papers, None, ruler, patience);
        papers.iter().all(counted).then(|| desk.short()).flatten()
    });
    few.collect()
}

/// Sheets that are missing for a plan: paper, sheet of it, how many more.
pub fn missing(order: &Order, plan: &Way) -> Vec<(usize, usize, u64)> {
    let mut all = Vec::new();
    for plan in &plan.papers {
        for (at, sheets) in order.papers[plan.paper].sheets.iter().enumerate() {
            let of = plan.cuttings.iter().filter(|c| c.stock == at);
            let used: u64 = of.map(|c| c.times).sum();
            let more = used.saturating_sub(sheets.count.unwrap_or(used));
            if more > 0 {
                all.push((plan.paper, at, more));
            }
        }
    }
    all
}

/// What nobody asked for ends so soon after the plan is known; a build that checks everything takes ten
/// times as long.
const EXTRAS: Duration = Duration::from_secs(if cfg!(debug_assertions) { 20 } else { 2 });
