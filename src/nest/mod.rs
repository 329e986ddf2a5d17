//! Cutting sheets: the fewest sheets for a list of pieces, the straight cuts, and a proof that
//! fewer do not suffice.
//!
//! ```text
//! Job -> solve -> Answer { cuttings, lower_bound, certificate } -> verify, check_bound
//!     -> keep  -> Kept { cuttings, size, proved, ruled_out }    -> check_kept
//! ```
//!
//! Every cut goes edge to edge of what lies on the trimmer. Sizes are whole ticks; floats stand in
//! `lp.rs` alone, which only proposes: a bound is a certificate in whole numbers, and cuttings are
//! trees that [`verify`] walks. [`verify`] and [`check_bound`] share no code with the search.
//!
//! The room imports nothing of the crate.

mod answer;
mod board;
mod bound;
mod build;
mod cells;
mod check;
mod check_kept;
mod columns;
mod cover;
mod effort;
mod extra;
mod fill;
mod first_fit;
mod glance;
mod job;
mod keep;
mod ladder;
mod layout;
mod limits;
mod lp;
mod model;
mod near;
mod outside;
mod points;
mod proper;
mod refill;
mod replay;
mod rest;
mod search;
mod table;
mod tail;
mod tray;
mod verify;

pub use answer::{
    Answer, Certificate, Claim, Cutting, Divides, Extra, Fill, Kept, Part, Reason, RuledOut,
    SearchStep, Stop, Verdict, What,
};
pub use check::{check_bound, check_bound_within};
pub use check_kept::{KeptError, check_kept, check_kept_within};
pub use job::{
    Job, JobError, LONGEST_SIDE, MOST_CELLS, MOST_KINDS, MOST_PIECES, Piece, Stages, Stock, Trim,
};
pub use limits::{Limits, Progress};
use model::Model;
pub use points::CheckError;
use thiserror::Error;
pub use verify::{VerifyError, verify, verify_cuttings, verify_fill};

/// The cheapest cuttings for a job, with a bound and its certificate.
///
/// # Errors
/// Everything that is wrong with the job.
pub fn solve(job: &Job, limits: &Limits) -> Result<Answer, Vec<JobError>> {
    solve_from(job, &[], limits)
}

/// As [`solve`], with cuttings that are known: none that are found cost more. They are not looked at
/// where they do not answer the job.
///
/// # Errors
/// Everything that is wrong with the job.
pub fn solve_from(job: &Job, known: &[Cutting], limits: &Limits) -> Result<Answer, Vec<JobError>> {
    job.check()?;
    let mut meter = limits::Meter::new(limits);
    let plain = first_fit::first_fit(job, &mut meter);
    let first_fit = plain.as_ref().map(|plan| answer::cost(job, plan));
    let known = (!known.is_empty() && verify_cuttings(job, known).is_ok()).then(|| known.to_vec());
    let plan = known.into_iter().chain(plain);
    let plan = plan.min_by_key(|plan| answer::cost(job, plan));
    // Where there are more positions for cuts than memory holds, or no time for them, the plain plan
    // stands, with a bound by area.
    let (cuttings, certificate) = match Model::new(job, false, &mut meter) {
        Ok(Some(model)) => {
            let outcome = search::search(&model, plan.as_deref(), &mut meter);
            (outcome.cuttings, outcome.certificate)
        }
        _ => (plan.clone(), bound::by_area(job)),
    };
    let mut answer = answer::settle(job, cuttings, certificate, meter.met());
    answer.first_fit = first_fit;
    meter.tell(Progress {
        cost: answer.cost(job),
        lower_bound: answer.lower_bound,
    });
    Ok(answer)
}

/// The answer with a bound by area alone, for where its own takes too long to be replayed.
#[must_use]
pub fn bound_by_area(job: &Job, answer: Answer) -> Answer {
    let plan = (!answer.cuttings.is_empty()).then_some(answer.cuttings);
    Answer {
        first_fit: answer.first_fit,
        ..answer::settle(job, plan, bound::by_area(job), answer.stopped)
    }
}

/// The best use of one sheet of the job's first stock by any number of each piece.
///
/// # Errors
/// Everything that is wrong with the job.
pub fn fill(job: &Job, limits: &Limits) -> Result<Fill, Vec<JobError>> {
    job.check()?;
    let mut meter = limits::Meter::new(limits);
    Ok(fill::fill(job, &mut meter))
}

/// Of all plans from the sheets that `cuttings` use, the one that leaves the largest offcut in one
/// piece, by area: proved where `proved` says so, else the best found. An offcut with a side shorter
/// than `least` (ticks) is waste, and not counted.
///
/// # Errors
/// Everything that is wrong with the job, or with the cuttings, which must give all its pieces.
pub fn keep(
    job: &Job,
    cuttings: &[Cutting],
    least: u64,
    limits: &Limits,
) -> Result<Kept, KeepError> {
    job.check().map_err(KeepError::Job)?;
    verify_cuttings(job, cuttings)?;
    // Costs on the way are those of questions about offcuts.
    let quiet = Limits {
        progress: None,
        ..*limits
    };
    let mut meter = limits::Meter::new(&quiet);
    Ok(keep::keep(job, cuttings, least, &mut meter))
}

/// Why no larger offcut could be looked for.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum KeepError {
    #[error("the job is not valid")]
    Job(Vec<JobError>),
    #[error(transparent)]
    Cuttings(#[from] VerifyError),
}
