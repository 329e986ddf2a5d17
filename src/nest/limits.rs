//! How long a question may be thought about, and who is told on the way.

use super::answer::Stop;
use std::fmt;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

/// How a search stands, for whoever waits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Progress {
    /// Cost of the best cuttings so far; `None` before there are any.
    pub cost: Option<u64>,
    /// Nothing costs less than this.
    pub lower_bound: u64,
}

/// Limits of a search. One that is met leaves a question open; it never decides it.
#[derive(Clone, Copy)]
pub struct Limits<'a> {
    /// Search nodes, each about a tenth of a millisecond; dynamic programs count as many as they
    /// take. The same job always stops at the same node.
    pub nodes: u64,
    /// Time for all of it. An answer stopped by a clock cannot be reproduced.
    pub clock: Duration,
    /// Set from outside to stop soon, with the best cuttings so far.
    pub cancel: Option<&'a AtomicBool>,
    /// Called whenever the cost or the bound becomes better.
    pub progress: Option<&'a (dyn Fn(Progress) + Sync)>,
}

impl Default for Limits<'_> {
    fn default() -> Self {
        Self {
            nodes: 1_000_000,
            clock: Duration::from_secs(60),
            cancel: None,
            progress: None,
        }
    }
}

impl fmt::Debug for Limits<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Limits")
            .field("nodes", &self.nodes)
            .field("clock", &self.clock)
            .finish_non_exhaustive()
    }
}

/// What is left of the limits.
pub(super) struct Meter<'a> {
    left: u64,
    until: Option<Instant>,
    limits: Limits<'a>,
    met: Option<Stop>,
}

impl<'a> Meter<'a> {
    pub fn new(limits: &Limits<'a>) -> Self {
        Self {
            left: limits.nodes,
            // A limit beyond what a clock can hold is no limit.
            until: Instant::now().checked_add(limits.clock),
            limits: *limits,
            met: None,
        }
    }

    /// Counts some nodes; an error once a limit is met.
    pub fn spend(&mut self, nodes: u64) -> Result<(), Stop> {
        if self.left < nodes {
            self.met = self.met.or(Some(Stop::Nodes));
        }
        self.left = self.left.saturating_sub(nodes);
        self.look()
    }

    /// An error once a limit is met; costs no node.
    pub fn look(&mut self) -> Result<(), Stop> {
        if self.met.is_none() {
            let cancelled = |flag: &AtomicBool| flag.load(Ordering::Relaxed);
            if self.limits.cancel.is_some_and(cancelled) {
                self.met = Some(Stop::Cancelled);
            } else if self.until.is_some_and(|until| Instant::now() >= until) {
                self.met = Some(Stop::Clock);
            }
        }
        self.met.map_or(Ok(()), Err)
    }

    /// Nodes that are left.
    pub fn left(&self) -> u64 {
        self.left
    }

    /// Which limit was met.
    pub fn met(&self) -> Option<Stop> {
        self.met
    }

    /// Tells whoever waits.
    pub fn tell(&self, progress: Progress) {
        if let Some(tell) = self.limits.progress {
            tell(progress);
        }
    }
}
