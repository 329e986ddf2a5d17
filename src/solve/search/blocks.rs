//! Components that a few unknowns tie together: a template and its leaves.

use super::super::problem::Hint;
use super::{Outcome, Solver};
use crate::solve::limits::Meter;
use crate::solve::scope::{self, Scope};

/// A tie, and the lower and the higher value that two blocks want of it; nothing where all agree.
type Disagreement = Option<(u32, i64, i64)>;

impl Solver {
    /// Where unknowns flagged as first tie blocks together: each block is settled with those
    /// unknowns free. One that fails, fails all. If the blocks agree on the tying values, all
    /// holds; where two differ, the search splits between their values.
    pub(super) fn blocks(
        &mut self,
        scope: &Scope,
        depth: u32,
        meter: &mut Meter,
    ) -> Option<Outcome> {
        let ties: Vec<u32> = scope
            .unknowns
            .iter()
            .copied()
            .filter(|&unknown| self.first[unknown as usize])
            .collect();
        if ties.is_empty() || ties.len() == scope.unknowns.len() {
            return None;
        }
        let first = &self.first;
        let apart = scope::split(
            &self.engine,
            scope,
            |unknown| first[unknown as usize],
            &mut self.places,
        );
        if apart.parts.len() < 2 {
            return None;
        }
        let kept: Vec<Hint> = ties.iter().map(|&tie| self.hints[tie as usize]).collect();
        let outcome = self.settle_blocks(&ties, &apart, depth, meter);
        for (&tie, hint) in ties.iter().zip(kept) {
            self.hints[tie as usize] = hint;
        }
        Some(match outcome {
            Err(outcome) => outcome,
            Ok(apart) => match apart {
                None => Outcome::Holds,
                Some((tie, low, high)) => {
                    let middle = low + (high - low) / 2;
                    let bounds = self.engine.bounds(tie);
                    let hint = self.hints[tie as usize].within(bounds);
                    let at = if low <= hint && hint < high {
                        hint
                    } else {
                        middle
                    };
                    self.split(scope, tie, at, hint <= at, depth, meter)
                }
            },
        })
    }

    /// Settles each block by itself, and tells where two of them disagree.
    fn settle_blocks(
        &mut self,
        ties: &[u32],
        apart: &scope::Parts,
        depth: u32,
        meter: &mut Meter,
    ) -> Result<Disagreement, Outcome> {
        let mut wanted: Vec<Option<(i64, i64)>> = vec![None; ties.len()];
        let mut unsettled = None;
        for part in &apart.parts {
            let mut block = part.clone();
            block.unknowns.extend(ties);
            block.unknowns.sort_unstable();
            block.rows.extend(&apart.between);
            let mark = self.engine.mark();
            let outcome = self.node(&block, depth + 1, meter);
            self.engine.undo(mark);
            match outcome {
                Outcome::Fails(failure) => return Err(Outcome::Fails(failure)),
                Outcome::Unsettled(why) => unsettled = Some(why),
                Outcome::Holds => {
                    for (at, &tie) in ties.iter().enumerate() {
                        let value = self.found.values[tie as usize];
                        let range = wanted[at].get_or_insert((value, value));
                        *range = (range.0.min(value), range.1.max(value));
                        self.hints[tie as usize] = Hint::At(value);
                    }
                }
            }
        }
        if let Some(why) = unsettled {
            return Err(Outcome::Unsettled(why));
        }
        let widest = ties
            .iter()
            .zip(&wanted)
            .filter_map(|(&tie, range)| range.map(|(low, high)| (tie, low, high)))
            .filter(|&(_, low, high)| low < high)
            .max_by_key(|&(tie, low, high)| (high.abs_diff(low), std::cmp::Reverse(tie)));
        Ok(widest)
    }
}
