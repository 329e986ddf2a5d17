//! How long a question may be thought about, and what it means to stop.

use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

/// Questions of which each may take the same share of the time that there is.
const QUESTIONS: u32 = 6;

/// Limits of a search. An answer that meets one is "not settled"; it is never "does not fit".
#[derive(Clone, Copy, Debug)]
pub struct Limits {
    /// Search nodes for one question. The same input always stops at the same node.
    pub nodes: u64,
    /// Time for one question. An answer stopped by a clock cannot be reproduced.
    pub clock: Duration,
    /// When every question of one answer must be over: solving, explaining, trying again.
    pub until: Option<Instant>,
    /// Set when nobody waits any more.
    pub stop: Option<&'static AtomicBool>,
}

impl Default for Limits {
    fn default() -> Self {
        Self {
            nodes: 50_000,
            clock: Duration::from_secs(10),
            until: None,
            stop: None,
        }
    }
}

impl Limits {
    /// Limits of an answer that is begun now and takes no longer than this.
    #[must_use]
    pub fn lasting(time: Duration) -> Self {
        Self {
            clock: time / QUESTIONS,
            // A time beyond what a clock can hold is no limit.
            until: Instant::now().checked_add(time),
            ..Self::default()
        }
    }

    /// Whether nothing more may be asked.
    #[must_use]
    pub fn is_over(&self) -> bool {
        is_over(self.until, self.stop)
    }

    /// What is left of the time.
    #[must_use]
    pub fn left(&self) -> Duration {
        match self.until {
            Some(until) => until.saturating_duration_since(Instant::now()),
            None => Duration::MAX,
        }
    }
}

fn is_over(until: Option<Instant>, stop: Option<&AtomicBool>) -> bool {
    stop.is_some_and(|stop| stop.load(Ordering::Relaxed))
        || until.is_some_and(|until| Instant::now() >= until)
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

/// What is left of the limits of one question.
#[derive(Clone, Debug)]
pub(super) struct Meter {
    left: u64,
    until: Option<Instant>,
    stop: Option<&'static AtomicBool>,
    met: Option<Why>,
}

impl Meter {
    pub fn new(limits: &Limits) -> Self {
        // A limit beyond what a clock can hold is no limit.
        let own = Instant::now().checked_add(limits.clock);
        Self {
            left: limits.nodes,
            until: own.into_iter().chain(limits.until).min(),
            stop: limits.stop,
            met: None,
        }
    }

    /// Counts one node.
    pub fn node(&mut self) -> Result<(), Why> {
        if let Some(why) = self.met {
            return Err(why);
        }
        // A node asks the LP or goes through many rows: a look at the clock is nothing beside it.
        if self.left == 0 {
            self.met = Some(Why::Nodes);
        } else if self.is_late() {
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

    pub fn is_late(&self) -> bool {
        is_over(self.until, self.stop)
    }

    /// Time that is left; `None` if there is no limit.
    pub fn time(&self) -> Option<Duration> {
        let until = self.until?;
        Some(until.saturating_duration_since(Instant::now()))
    }
}
