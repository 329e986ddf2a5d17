//! Proofs as data: why no whole numbers satisfy a [`Problem`](super::problem::Problem).
//!
//! A proof is a tree kept flat: a child stands before its parent and the root stands last, so that
//! a proof of any depth is walked and dropped without recursion. `check` replays it.

use super::problem::Side;

/// One derivation; each holds under the bounds and strikes made before it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Step {
    /// The row, in force, leaves the unknown no value beyond `to` (ticks) on that side.
    Bound {
        row: u32,
        unknown: u32,
        side: Side,
        to: i64,
    },
    /// The row would be violated at its minimum if this alternative, its one undecided guard,
    /// were taken.
    Strike {
        row: u32,
        group: u32,
        alternative: u32,
    },
}

/// How a node ends.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum End {
    /// The row is in force, and its smallest sum is larger than it allows.
    Violated { row: u32 },
    /// The rows, each times its multiplier (whole, not negative), add up to a row whose smallest
    /// sum between the bounds is larger than it allows.
    Farkas { multipliers: Vec<(u32, i64)> },
    /// `unknown <= at` fails and `unknown >= at + 1` fails.
    Split {
        unknown: u32,
        at: i64,
        below: u32,
        above: u32,
    },
    /// Every alternative still open fails: pairs of alternative and node.
    Either {
        group: u32,
        children: Vec<(u32, u32)>,
    },
    /// The group has no alternatives at all.
    NoAlternative { group: u32 },
    /// The unknown's least value is above its most.
    NoValue { unknown: u32 },
}

/// Steps in order, then an end.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Node {
    pub steps: Vec<Step>,
    pub end: End,
}

/// A refutation. The root is the last node; every child stands before its parent.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Proof {
    pub nodes: Vec<Node>,
}

impl End {
    /// The nodes this one rests on.
    pub(super) fn children_mut(&mut self) -> Vec<&mut u32> {
        match self {
            End::Split { below, above, .. } => vec![below, above],
            End::Either { children, .. } => children.iter_mut().map(|(_, child)| child).collect(),
            _ => Vec::new(),
        }
    }
}

impl Proof {
    /// The part of a pool of nodes that hangs on `root`, numbered anew.
    pub(super) fn gather(pool: &mut [Node], root: u32) -> Self {
        // Parents first from the root, then reversed: children come before parents.
        let mut order = vec![root];
        let mut next = 0;
        while let Some(&at) = order.get(next) {
            for child in pool[at as usize].end.children_mut() {
                order.push(*child);
            }
            next += 1;
        }
        let last = order.len() - 1;
        let mut fresh = 0;
        let mut nodes: Vec<Node> = Vec::with_capacity(order.len());
        for &at in &order {
            let mut node = Node {
                steps: std::mem::take(&mut pool[at as usize].steps),
                end: pool[at as usize].end.clone(),
            };
            for child in node.end.children_mut() {
                // Children were listed in this same order, one after the other.
                fresh += 1;
                *child = (last - fresh) as u32;
            }
            nodes.push(node);
        }
        nodes.reverse();
        Self { nodes }
    }

    /// Visits every row number, for renumbering.
    pub(super) fn rows_mut(&mut self, mut visit: impl FnMut(&mut u32)) {
        for node in &mut self.nodes {
            for step in &mut node.steps {
                match step {
                    Step::Bound { row, .. } | Step::Strike { row, .. } => visit(row),
                }
            }
            match &mut node.end {
                End::Violated { row } => visit(row),
                End::Farkas { multipliers } => {
                    multipliers.iter_mut().for_each(|(row, _)| visit(row));
                }
                _ => {}
            }
        }
    }

    /// Visits every unknown's number and every group's number, for renumbering.
    pub(super) fn names_mut(
        &mut self,
        mut unknown_at: impl FnMut(&mut u32),
        mut group_at: impl FnMut(&mut u32),
    ) {
        for node in &mut self.nodes {
            for step in &mut node.steps {
                match step {
                    Step::Bound { unknown, .. } => unknown_at(unknown),
                    Step::Strike { group, .. } => group_at(group),
                }
            }
            match &mut node.end {
                End::Split { unknown, .. } | End::NoValue { unknown } => unknown_at(unknown),
                End::Either { group, .. } | End::NoAlternative { group } => group_at(group),
                End::Violated { .. } | End::Farkas { .. } => {}
            }
        }
    }
}

/// The rows a proof rests on, sorted, each once.
#[must_use]
pub fn rows_used(proof: &Proof) -> Vec<u32> {
    let mut rows = Vec::new();
    for node in &proof.nodes {
        for step in &node.steps {
            match step {
                Step::Bound { row, .. } | Step::Strike { row, .. } => rows.push(*row),
            }
        }
        match &node.end {
            End::Violated { row } => rows.push(*row),
            End::Farkas { multipliers } => rows.extend(multipliers.iter().map(|pair| pair.0)),
            _ => {}
        }
    }
    rows.sort_unstable();
    rows.dedup();
    rows
}
