//! Whoever waits for a cutting plan: every loop that may take long asks whether they still do.

use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Instant;

/// Until when a thing may be worked on.
#[derive(Clone, Copy, Debug)]
pub(super) struct Watch<'a> {
    /// `None`: a time beyond what a clock can hold.
    pub until: Option<Instant>,
    /// Set from outside to stop soon.
    pub cancel: Option<&'a AtomicBool>,
}

impl Watch<'_> {
    /// Nobody waits any longer.
    pub fn is_over(&self) -> bool {
        let cancelled = |flag: &AtomicBool| flag.load(Ordering::Relaxed);
        self.cancel.is_some_and(cancelled) || self.until.is_some_and(|u| Instant::now() >= u)
    }
}
