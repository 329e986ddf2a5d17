//! `export`: one step of the working out as a file for other solvers.

use super::output::{self, Sink};
use super::{CLASH, DONE, Source, Stop, Target, Time, answer, input, mistyped, usage, work};
use crate::plan::Listed;
use crate::plan::work::Outcome;
use crate::report::export::stages;
use crate::solve::{StageOutcome, mps::write_mps, musts_program, stage_program};
use clap::Args;

#[derive(Debug, Args)]
pub(super) struct Export {
    #[command(flatten)]
    source: Source,
    /// Which step, by its number [default: the first that you named in `prefer`]
    #[arg(long, value_name = "N", value_parser = mistyped::whole::<usize>(0..=1_000_000))]
    stage: Option<usize>,
    /// List the steps with their numbers instead
    #[arg(long, conflicts_with = "stage")]
    stages: bool,
    #[command(flatten)]
    time: Time,
    #[command(flatten)]
    target: Target,
}

pub(super) fn export(verb: &Export) -> Result<u8, Stop> {
    let limits = verb.time.begin();
    let input = input::read("export", &verb.source)?;
    Sink::new(&verb.target).ready()?;
    let worked = work(&input, Listed::NotKept, &limits)?;
    let program = &worked.expanded.program;
    let titles = &worked.expanded.stage_titles;
    let sink = Sink::new(&verb.target);
    if verb.stages {
        sink.write(&stages(program, titles))?;
        return Ok(DONE);
    }
    let stage = verb.stage.unwrap_or(program.first_stages);
    if stage >= program.stages.len() {
        let last = program.stages.len().saturating_sub(1);
        let message =
            format!("there is no step {stage}; the last one is {last}. `--stages` lists them");
        return Err(usage("export", &message));
    }
    if let (Outcome::Clash(_), None) = (&worked.outcome, verb.stage) {
        let message = "this album does not fit: what is written is its rules that must hold, \
                       and no sizes keep them all";
        output::to_stderr(&format!("{message}\n"));
        let model = musts_program(program);
        let mps = write_mps(&model).map_err(|e| Stop::Undecided(e.to_string()))?;
        sink.write(&mps.text)?;
        return Ok(CLASH);
    }
    let code = match &worked.outcome {
        Outcome::Clash(_) => CLASH,
        outcome => answer(outcome, None)?.1,
    };
    if code != DONE {
        let message = "this album has no plan, so its steps cannot be written: look at `tuckwright fit` first";
        output::to_stderr(&format!("{message}\n"));
        return Ok(code);
    }
    if let Some(StageOutcome::Unsettled { .. }) = worked.solution.stages.get(stage) {
        let message = format!(
            "step {stage} met a limit: what is written is the question, without a proved answer"
        );
        output::to_stderr(&format!("{message}\n"));
    }
    let model = stage_program(program, &worked.solution, stage).ok_or_else(|| {
        Stop::Undecided(format!(
            "step {stage} holds numbers that are too large to be written"
        ))
    })?;
    let mps = write_mps(&model).map_err(|e| Stop::Undecided(e.to_string()))?;
    sink.write(&mps.text)?;
    Ok(DONE)
}
