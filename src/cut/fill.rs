//! The best use of one sheet by any number of each piece.

use super::job::{counted, faults};
use super::steps::take_turns;
use super::work::{PaperPlan, Patience, STAGES, WorkError};
use super::{Order, Stages};
use crate::length::Ruler;
use crate::nest::{self, Cutting, Limits};
use std::time::Instant;

/// One kind of stages for a sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Filled {
    pub stages: Stages,
    /// The pieces' values, or their areas in square steps of the job.
    pub value: u64,
    /// No use of the sheet is worth more.
    pub proved: bool,
    /// The sheet, as a plan for one.
    pub plan: PaperPlan,
}

/// Fills one sheet of the order's first paper, with all kinds of stages side by side, in the order
/// of [`STAGES`]; and which of them is the answer: the one that is asked for, or three where free
/// cuts give no more.
///
/// # Errors
/// What does not lie on the sheet, or a defect of this program.
pub fn fill(
    order: &Order,
    stages: Option<Stages>,
    ruler: Ruler,
    patience: &Patience<'_>,
) -> Result<([Filled; 3], usize), WorkError> {
    let counts: Vec<(usize, u64)> = (0..order.wants.len()).map(|n| (n, 1)).collect();
    let start = Instant::now();
    let until = start.checked_add(patience.time);
    let mut each = Vec::new();
    // What was asked for comes first, and has all the time.
    let first = stages.unwrap_or(Stages::Three);
    let rest = STAGES.into_iter().filter(|s| *s != first);
    for kind in std::iter::once(first).chain(rest) {
        let counted = counted(order, 0, &counts, kind, 1, ruler).map_err(WorkError::Faults)?;
        let limits = Limits {
            clock: patience.left(until),
            cancel: patience.cancel,
            ..Limits::default()
        };
        let fill = nest::fill(&counted.job, &limits)
            .map_err(|errors| WorkError::Faults(faults(order, 0, &counted, errors, ruler)))?;
        nest::verify_fill(&counted.job, &fill).map_err(|e| WorkError::Defect(e.to_string()))?;
        each.push(Filled {
            stages: kind,
            value: fill.value,
            proved: fill.proved,
            plan: PaperPlan {
                paper: 0,
                cuttings: vec![Cutting {
                    stock: fill.stock,
                    times: 1,
                    sheet: fill.sheet,
                }],
                counted,
                sheets: 1,
                offcuts: 0,
                kept_proved: false,
                turns: Vec::new(),
            },
        });
    }
    for filled in &mut each {
        take_turns(&mut [&mut filled.plan], patience.after(start));
    }
    each.sort_by_key(|filled| filled.stages);
    let each: [Filled; 3] = each
        .try_into()
        .map_err(|_| WorkError::Defect("a kind of stages is missing".to_owned()))?;
    let usual = if each[1].value == each[2].value { 1 } else { 2 };
    let asked = stages.and_then(|s| STAGES.iter().position(|t| *t == s));
    Ok((each, asked.unwrap_or(usual)))
}
