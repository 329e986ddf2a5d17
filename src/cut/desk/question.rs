//! What a desk asks of `nest`: one paper's share at a time, each answer checked before it counts.

use super::{Asked, Desk, MOST_STEPS};
use crate::cut::Order;
use crate::cut::batch::{PaperPlan, STAGES, Told, WorkError};
use crate::cut::job::{Counted, counted, faults};
use crate::cut::pool;
use crate::cut::spread::Share;
use crate::nest::{self, Cutting, Limits, Progress, Stages, Stop};

impl Desk<'_> {
    pub(super) fn plan_of(&self, paper: usize, asked: Asked) -> PaperPlan {
        let sheets = &self.order.papers[paper].sheets;
        let used = |offcut: bool| {
            let cuttings = asked.answer.cuttings.iter();
            let of = cuttings.filter(|c| sheets[c.stock].offcut == offcut);
            of.map(|c| c.times).sum()
        };
        PaperPlan {
            paper,
            sheets: used(false),
            offcuts: used(true),
            kept_proved: false,
            turns: Vec::new(),
            cuttings: asked.answer.cuttings,
            counted: asked.counted,
        }
    }

    pub(super) fn ask(
        &mut self,
        paper: usize,
        counts: Share,
        stages: Stages,
    ) -> Result<Asked, WorkError> {
        let key = (paper, counts, stages, self.without_limits);
        if let Some(known) = self.known.get(&key) {
            return Ok(known.clone());
        }
        // A plan for fewer stages is one for more of them too.
        let fewer = STAGES.into_iter().filter(|s| *s < stages).rev();
        let mut fewer = fewer.filter_map(|fewer| {
            let asked = self.known.get(&(paper, key.1.clone(), fewer, key.3))?;
            Some(asked.answer.cuttings.clone())
        });
        let from = fewer.next().unwrap_or_default();
        let asked = self.asked(self.order, paper, &key.1, stages, &from)?;
        self.known.insert(key, asked.clone());
        Ok(asked)
    }

    /// The batch as if everything could be cut from every one of its papers, and turned where one of
    /// them allows it: that takes no more sheets.
    pub(super) fn pooled(&self, stages: Stages) -> Result<nest::Answer, WorkError> {
        let (order, _) = pool::pooled(self.order, self.papers);
        let all: Share = order.wants.iter().map(|w| w.count).enumerate().collect();
        Ok(self.asked(&order, 0, &all, stages, &[])?.answer)
    }

    pub(super) fn asked(
        &self,
        order: &Order,
        paper: usize,
        counts: &[(usize, u64)],
        stages: Stages,
        from: &[Cutting],
    ) -> Result<Asked, WorkError> {
        let cost = self.sheet_cost();
        let made = counted(order, paper, counts, stages, cost, self.ruler);
        self.settle(order, paper, made.map_err(WorkError::Faults)?, stages, from)
    }

    pub(super) fn settle(
        &self,
        order: &Order,
        paper: usize,
        mut counted: Counted,
        stages: Stages,
        from: &[Cutting],
    ) -> Result<Asked, WorkError> {
        let cost = self.sheet_cost();
        let sheets = order.papers[paper].sheets.iter();
        for (stock, one) in counted.job.stocks.iter_mut().zip(sheets) {
            if self.without_limits && !one.offcut {
                stock.count = None;
            }
        }
        let name = &order.papers[paper].name;
        let told = |progress: Progress| {
            if let Some(told) = self.patience.told {
                told(Told {
                    paper: name,
                    stages,
                    sheets: progress.cost.map(|c| c / cost),
                    least: progress.lower_bound / cost,
                    keeps: false,
                });
            }
        };
        let limits = Limits {
            nodes: self.allowed.nodes,
            clock: self.allowed.clock(),
            cancel: self.patience.cancel,
            progress: Some(&told),
        };
        let mut answer = nest::solve_from(&counted.job, from, &limits).map_err(|errors| {
            WorkError::Faults(faults(order, paper, &counted, errors, self.ruler))
        })?;
        let steps = self.allowed.steps();
        let check = |answer: &nest::Answer, steps: u64| {
            nest::check_bound_within(&counted.job, &answer.certificate, steps)
        };
        let mut proved = check(&answer, steps);
        if let Err(nest::CheckError::TooMany | nest::CheckError::Overflow) = proved {
            answer = nest::bound_by_area(&counted.job, answer);
            if steps < MOST_STEPS {
                answer.stopped = answer.stopped.or(Some(Stop::Clock));
            }
            proved = check(&answer, MOST_STEPS);
        }
        let sound = nest::verify(&counted.job, &answer).map_err(|e| e.to_string());
        let refused = sound.err().or(proved.err().map(|e| e.to_string()));
        if let Some(why) = refused {
            return Err(WorkError::Defect(why));
        }
        Ok(Asked { counted, answer })
    }
}
