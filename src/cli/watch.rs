//! Long work: progress on a terminal, and stopping when the maker says so.

use super::Stop;
use std::io::{IsTerminal, Write};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

/// Work that takes no longer says nothing of itself.
const QUIET: Duration = Duration::from_secs(1);
/// How often a number on the screen changes.
const STEP: Duration = Duration::from_millis(200);

/// A count of what is done.
pub(super) struct Watch {
    done: u64,
    began: Instant,
    next: Duration,
    shown: bool,
    terminal: bool,
    stopped: Arc<AtomicBool>,
}

impl Watch {
    /// Begins to count. From here on Ctrl-C stops the work between two bags, so that what was begun
    /// beside its place is taken away.
    pub fn begin() -> Watch {
        let stopped = Arc::new(AtomicBool::new(false));
        let flag = Arc::clone(&stopped);
        // Where no handler can be set, Ctrl-C ends the program at once, as everywhere.
        let _ = ctrlc::set_handler(move || flag.store(true, Ordering::Relaxed));
        Watch {
            done: 0,
            began: Instant::now(),
            next: QUIET,
            shown: false,
            terminal: std::io::stderr().is_terminal(),
            stopped,
        }
    }

    /// One more is done.
    pub fn one_more(&mut self) -> Result<(), Stop> {
        self.done += 1;
        if self.stopped.load(Ordering::Relaxed) {
            self.end();
            return Err(Stop::Interrupted);
        }
        if self.terminal && self.began.elapsed() >= self.next {
            self.next = self.began.elapsed() + STEP;
            self.shown = true;
            let _ = write!(std::io::stderr(), "\r{} bags ...", self.done);
        }
        Ok(())
    }

    /// Takes the count off the screen.
    pub fn end(&mut self) {
        if self.shown {
            let _ = write!(std::io::stderr(), "\r{:40}\r", "");
            self.shown = false;
        }
    }
}
