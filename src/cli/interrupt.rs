//! Ctrl-C while the program works: the first asks it to stop, the second ends it.

use super::STOPPED;
use std::sync::Once;
use std::sync::atomic::{AtomicBool, Ordering};

/// Set by whoever stops the program while it works.
static STOP: AtomicBool = AtomicBool::new(false);
static LISTENS: Once = Once::new();

/// The work that was asked to stop did so; what comes next may be stopped in its turn.
pub(super) fn stopped_in_time() {
    STOP.store(false, Ordering::Relaxed);
}

/// A flag that is set when somebody stops the program. Stopped twice, it ends at once; without this
/// call it ends at the first time.
pub(super) fn asked_to_stop() -> &'static AtomicBool {
    on_stop(|| {});
    &STOP
}

/// Has something else done when the program is stopped; a second time it ends at once.
pub(super) fn on_stop(heard: impl Fn() + Send + 'static) {
    LISTENS.call_once(|| {
        // Where signals cannot be heard, the program is stopped as any other.
        let _ = ctrlc::set_handler(move || {
            if STOP.swap(true, Ordering::Relaxed) {
                std::process::exit(STOPPED.into());
            }
            heard();
        });
    });
}
