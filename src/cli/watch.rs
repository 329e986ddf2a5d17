//! Long work: progress on a terminal, and stopping when the maker asks for it.

use super::Stop;
use super::interrupt::asked_to_stop;
use std::io::{IsTerminal, Write};
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
    stopped: &'static AtomicBool,
}

impl Watch {
    /// Begins to count. From here on Ctrl-C stops the work, so that what was begun
    /// beside its place is taken away; a second time ends the program at once.
    pub fn begin() -> Watch {
        Watch {
            done: 0,
            began: Instant::now(),
            next: QUIET,
            shown: false,
            terminal: std::io::stderr().is_terminal(),
            stopped: asked_to_stop(),
        }
    }

    /// One more is done.
    pub fn one_more(&mut self) -> Result<(), Stop> {
        self.done += 1;
        self.still_wanted()?;
        if self.terminal && self.began.elapsed() >= self.next {
            self.next = self.began.elapsed() + STEP;
            self.shown = true;
            let _ = write!(std::io::stderr(), "\r{} bags ...", self.done);
        }
        Ok(())
    }

    /// Stops where the maker did.
    pub fn still_wanted(&mut self) -> Result<(), Stop> {
        match self.stopped.load(Ordering::Relaxed) {
            false => Ok(()),
            true => {
                self.end();
                Err(Stop::Interrupted)
            }
        }
    }

    /// Takes the count off the screen.
    pub fn end(&mut self) {
        if self.shown {
            let _ = write!(std::io::stderr(), "\r{:40}\r", "");
            self.shown = false;
        }
    }
}
