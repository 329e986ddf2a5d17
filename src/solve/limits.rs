//! How long a question may be thought about, and what it means to stop.

use std::time::{Duration, Instant};

/// Limits of a search. An answer that meets one is "not settled"; it is never "does not fit".
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Limits {
    /// Search nodes for one question. The same input always stops at the same node.
    pub nodes: u64,
    /// Time for one question. An answer stopped by a clock cannot be reproduced.
    pub clock: Duration,
    /// Time for all questions of one program together.
    pub clock_in_all: Duration,
}

impl Default for Limits {
    fn default() -> Self {
        Self {
            nodes: 50_000,
            clock: Duration::from_secs(10),
            clock_in_all: Duration::from_secs(60),
        }
    }
}

/// Why a question was left open.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Why {
    /// The node limit; reproducible.
    Nodes,
    /// Decisions nested too deep; reproducible.
    Depth,
    /// Numbers too large to be added exactly; reproducible.
    TooLarge,
    /// The problem names something that does not exist; reproducible.
    Malformed,
    /// The checker refused an answer. That is a defect of this program; reproducible.
    Refused,
    /// The clock; not reproducible.
    Clock,
}

impl Why {
    /// Whether the same input always stops here.
    #[must_use]
    pub fn is_reproducible(self) -> bool {
        self != Why::Clock
    }
}

/// The clock is looked at once in so many nodes.
const NODES_PER_LOOK: u64 = 32;

/// What is left of the limits of one question.
#[derive(Clone, Debug)]
pub(super) struct Meter {
    left: u64,
    until: Option<Instant>,
    met: Option<Why>,
}

impl Meter {
    pub fn new(limits: &Limits, all_until: Option<Instant>) -> Self {
        // A limit beyond what a clock can hold is no limit.
        let own = Instant::now().checked_add(limits.clock);
        Self {
            left: limits.nodes,
            until: own.into_iter().chain(all_until).min(),
            met: None,
        }
    }

    /// Counts one node.
    pub fn node(&mut self) -> Result<(), Why> {
        if let Some(why) = self.met {
            return Err(why);
        }
        if self.left == 0 {
            self.met = Some(Why::Nodes);
        } else if self.left.is_multiple_of(NODES_PER_LOOK) && self.is_late() {
            self.met = Some(Why::Clock);
        }
        self.left = self.left.saturating_sub(1);
        self.met.map_or(Ok(()), Err)
    }

    /// A meter for the first `nodes` of these.
    pub fn lend(&self, nodes: u64) -> Self {
        Self {
            left: self.left.min(nodes),
            ..self.clone()
        }
    }

    /// Counts what a lent meter of `nodes` used.
    pub fn take_back(&mut self, nodes: u64, lent: &Self) {
        self.left -= self.left.min(nodes) - lent.left;
    }

    fn is_late(&self) -> bool {
        self.until.is_some_and(|until| Instant::now() >= until)
    }
}
