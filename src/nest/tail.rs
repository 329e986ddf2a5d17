//! Jobs whose tables take long: pieces are moved about first, and whatever whole patterns leave is
//! moved about again.

use super::answer::{Claim, Stop};
use super::board::Board;
use super::bound;
use super::columns::Relaxed;
use super::effort::{FEW_KINDS, REFILL, SHORT_TAIL, SLICE, Tail, whole};
use super::layout::Layout;
use super::refill::Refill;
use super::rest::Rest;
use super::search::{Down, Search};

impl Search<'_, '_> {
    /// Whether tables take so long that pieces are moved about first, and again after each way down.
    pub fn are_many(&self, rest: &Rest) -> bool {
        let mut boards = self.pool.model.boards.iter().flatten();
        rest.wanted.len() > FEW_KINDS || boards.any(Board::is_huge)
    }

    /// Whether pieces are moved about before anything else. Beside waste that must be wide enough,
    /// parts end at nearly every tick, and a table that knows them all is slow.
    fn begins_with_pieces(&self, rest: &Rest) -> bool {
        self.pool.model.job.narrowest > 1 || self.are_many(rest)
    }

    /// The linear program of the whole, and what follows from it; `None` if that settles all.
    pub fn root(&mut self, rest: &Rest, most: &mut u64) -> Result<Option<Relaxed>, Stop> {
        let model = self.pool.model;
        let many = self.begins_with_pieces(rest);
        let mut nodes = u64::MAX;
        if many {
            self.refill(most, REFILL / 8)?;
            nodes = SLICE;
        }
        let mut start = Vec::new();
        loop {
            if *most <= self.bound {
                return Ok(None);
            }
            if let Some((_, plan)) = &self.best {
                start.extend(plan.iter().map(|&(pattern, _)| pattern));
            }
            let root = self.pool.relax(rest, &model.boards, *most, &start, nodes);
            if self.follow() {
                return Ok(None);
            }
            let root = root?;
            if many {
                if Tail::is_too_long(self.tail.as_ref(), rest) || root.open {
                    let (mut tail, mut plan, mut cost) = (rest.clone(), Vec::new(), 0);
                    for (pattern, times) in whole(&root) {
                        cost += self.fix(&mut tail, pattern, times, &mut plan);
                    }
                    let tail = Tail::new(model, &tail, &plan, cost);
                    self.tail = tail.or(self.tail.take());
                }
                self.refill(most, REFILL)?;
            }
            if !root.open {
                return Ok(Some(root));
            }
            start.clone_from(&root.columns);
            nodes = nodes.saturating_mul(2);
        }
    }

    /// Takes the best bound of the linear program; true if the sheets do not suffice.
    fn follow(&mut self) -> bool {
        let Some(holds) = &self.pool.strongest else {
            return false;
        };
        let values = self.per_piece(&holds.values);
        let better = bound::follow(self.pool.model.job, values, holds.best.clone());
        match (better.claim, self.certificate.claim) {
            (Claim::NotEnough, _) => {
                self.certificate = better;
                return true;
            }
            (Claim::CostsAtLeast(new), Claim::CostsAtLeast(old)) if new > old => {
                self.bound = new;
                self.certificate = better;
            }
            _ => {}
        }
        self.tell();
        false
    }

    /// Moves the pieces of the tail about one by one, for so many nodes.
    pub fn refill(&mut self, most: &mut u64, nodes: u64) -> Result<(), Stop> {
        let Some(mut tail) = self.tail.take() else {
            return Ok(());
        };
        let until = self.pool.meter.left().saturating_sub(nodes);
        while *most > self.bound.max(tail.cost) {
            let budget = *most - 1 - tail.cost;
            let nodes = self.pool.meter.left().saturating_sub(until);
            let Some(sheets) = tail.refill.go_on(budget, nodes, self.pool.meter)? else {
                break;
            };
            self.improve_with(&tail.plan, sheets);
            if let Some((cost, _)) = &self.best {
                *most = *cost;
            }
        }
        self.tail = Some(tail);
        Ok(())
    }

    /// Once on each way down: moves about what is left, if it is little.
    pub fn end(&mut self, down: &mut Down, rest: &Rest, budget: u64) -> Result<bool, Stop> {
        let pieces = rest.wanted.iter().fold(0u64, |s, &w| s.saturating_add(w));
        if down.ended || pieces > SHORT_TAIL || rest.wanted.len() <= FEW_KINDS {
            return Ok(false);
        }
        down.ended = true;
        let Some(mut refill) = Refill::new(self.pool.model, rest) else {
            return Ok(false);
        };
        let nodes = REFILL << down.effort;
        let Some(sheets) = refill.go_on(budget, nodes, self.pool.meter)? else {
            return Ok(false);
        };
        self.improve_with(&down.plan, sheets);
        Ok(true)
    }

    /// A plan and further sheets.
    fn improve_with(&mut self, plan: &[(usize, u64)], sheets: Vec<(usize, Layout)>) {
        // A pattern of the bound may give the same pieces, with strips that are too narrow.
        if self.pool.model.job.narrowest > 1 {
            self.pool.forget();
        }
        let mut plan = plan.to_vec();
        let each = sheets.into_iter();
        plan.extend(each.map(|(stock, layout)| (self.pool.keep(stock, layout), 1)));
        self.improve(plan);
    }
}
