//! Decisions: a dive along the hints, a split of an unknown, the alternatives of a group.

use super::{Outcome, Solver};
use crate::solve::engine::{Literals, bound_literal};
use crate::solve::limits::{Meter, Why};
use crate::solve::lp::Fraction;
use crate::solve::problem::Side;
use crate::solve::proof::End;
use crate::solve::scope::Scope;

/// Conflicts that a dive may meet before it is given up.
const DIVE_CONFLICTS: u32 = 6;

impl Solver {
    /// Follows the hints with propagation and almost no way back.
    pub(super) fn dive(&mut self, scope: &Scope) -> bool {
        let start = self.engine.mark();
        let mut conflicts = 0;
        for &unknown in &scope.unknowns {
            while !self.engine.is_fixed(unknown) {
                let bounds = self.engine.bounds(unknown);
                let value = self.hints[unknown as usize].within(bounds);
                let mark = self.engine.mark();
                if value > bounds.least {
                    self.engine.assume_bound(unknown, Side::Least, value);
                }
                if value < bounds.most {
                    self.engine.assume_bound(unknown, Side::Most, value);
                }
                if self.engine.propagate().is_ok() {
                    continue;
                }
                self.engine.undo(mark);
                conflicts += 1;
                // The value is excluded; an end of the range can be cut off.
                if value == bounds.least {
                    self.engine.assume_bound(unknown, Side::Least, value + 1);
                } else {
                    self.engine.assume_bound(unknown, Side::Most, value - 1);
                }
                if conflicts > DIVE_CONFLICTS || self.engine.propagate().is_err() {
                    self.engine.undo(start);
                    return false;
                }
            }
        }
        self.settle(scope);
        let holds = self.noted_holds(scope);
        self.engine.undo(start);
        holds
    }

    pub(super) fn branch(
        &mut self,
        scope: &Scope,
        fraction: Option<Fraction>,
        depth: u32,
        meter: &mut Meter,
    ) -> Outcome {
        if let Some(Fraction { place, at, below }) = fraction
            && let Some(&unknown) = scope.unknowns.get(place)
        {
            let bounds = self.engine.bounds(unknown);
            if bounds.least <= at && at < bounds.most {
                return self.split(scope, unknown, at, below, depth, meter);
            }
        }
        let width = |unknown: u32| {
            let bounds = self.engine.bounds(unknown);
            bounds.most.abs_diff(bounds.least)
        };
        let narrowest = scope
            .unknowns
            .iter()
            .copied()
            .min_by_key(|&unknown| (!self.first[unknown as usize], width(unknown)));
        let Some(unknown) = narrowest else {
            // A component without unknowns has groups, and was branched on those.
            return Outcome::Unsettled(Why::Refused);
        };
        let bounds = self.engine.bounds(unknown);
        let hint = self.hints[unknown as usize].within(bounds);
        if self.splits[unknown as usize] > 1 {
            let middle = bounds.least + (width(unknown) / 2) as i64;
            // Half of the width, rounded down, is below the most.
            return self.split(scope, unknown, middle, hint <= middle, depth, meter);
        }
        let (at, below) = if hint == bounds.most {
            (bounds.most - 1, false)
        } else {
            (hint, true)
        };
        self.split(scope, unknown, at, below, depth, meter)
    }

    /// Both sides of `unknown <= at`, where `least <= at < most`.
    pub(super) fn split(
        &mut self,
        scope: &Scope,
        unknown: u32,
        at: i64,
        below_first: bool,
        depth: u32,
        meter: &mut Meter,
    ) -> Outcome {
        let below = (Side::Most, at);
        let above = (Side::Least, at + 1);
        let order = if below_first {
            [below, above]
        } else {
            [above, below]
        };
        let mut children = [0; 2];
        let mut needed = Literals::default();
        let mut unsettled = None;
        for (side, to) in order {
            let mark = self.engine.mark();
            self.splits[unknown as usize] += 1;
            self.engine.assume_bound(unknown, side, to);
            let outcome = self.node(scope, depth + 1, meter);
            self.splits[unknown as usize] -= 1;
            self.engine.undo(mark);
            match outcome {
                Outcome::Holds => return Outcome::Holds,
                Outcome::Unsettled(why) => unsettled = Some(why),
                Outcome::Fails(mut failure) => {
                    if !failure.needed.remove(bound_literal(unknown, side)) {
                        return Outcome::Fails(failure);
                    }
                    // The bound that stood here before may have been used below; a proof that
                    // needs the decision starts from it.
                    needed.union(&failure.needed);
                    children[usize::from(side == Side::Least)] = failure.node;
                }
            }
        }
        if let Some(why) = unsettled {
            return Outcome::Unsettled(why);
        }
        let [below, above] = children;
        Outcome::Fails(self.fail(
            End::Split {
                unknown,
                at,
                below,
                above,
            },
            needed,
        ))
    }

    /// Every open alternative of a group.
    pub(super) fn either(
        &mut self,
        scope: &Scope,
        group: u32,
        depth: u32,
        meter: &mut Meter,
    ) -> Outcome {
        let mut order: Vec<u32> = self.engine.open_alternatives(group).collect();
        let favoured = self.favoured[group as usize];
        // A stable sort: the favoured one first, the rest in the table's order.
        order.sort_by_key(|&alternative| alternative != favoured);
        let mut children = Vec::with_capacity(order.len());
        let mut needed = Literals::default();
        self.engine.add_struck(group, None, &mut needed);
        let mut unsettled = None;
        for &alternative in &order {
            let mark = self.engine.mark();
            self.engine.assume_taken(group, alternative);
            let outcome = self.node(scope, depth + 1, meter);
            self.engine.undo(mark);
            match outcome {
                Outcome::Holds => return Outcome::Holds,
                Outcome::Unsettled(why) => unsettled = Some(why),
                Outcome::Fails(mut failure) => {
                    let mut rests_on_it = false;
                    for &other in order.iter().filter(|&&other| other != alternative) {
                        let literal = self.engine.alternative_literal(group, other);
                        rests_on_it |= failure.needed.remove(literal);
                    }
                    if !rests_on_it {
                        return Outcome::Fails(failure);
                    }
                    needed.union(&failure.needed);
                    children.push((alternative, failure.node));
                }
            }
        }
        if let Some(why) = unsettled {
            return Outcome::Unsettled(why);
        }
        Outcome::Fails(self.fail(End::Either { group, children }, needed))
    }
}
