//! Long work: progress on a terminal after a second, and the best answer so far when it is stopped.

use super::interrupt::asked_to_stop;
use std::io::{IsTerminal, Write};
use std::sync::atomic::AtomicBool;
use std::sync::mpsc::{RecvTimeoutError, channel};
use std::sync::{Mutex, PoisonError};
use std::time::Duration;

const FIRST: Duration = Duration::from_secs(1);
const AGAIN: Duration = Duration::from_millis(200);

/// Does some work. It is given a flag that is set when somebody stops it, and told where to say how
/// far it is. Stopped twice, the program ends at once.
pub(super) fn watched<T>(
    work: impl FnOnce(Option<&AtomicBool>, &(dyn Fn(String) + Sync)) -> T,
) -> T {
    let stop = asked_to_stop();
    let said = Mutex::new(String::new());
    let say = |text: String| *said.lock().unwrap_or_else(PoisonError::into_inner) = text;
    if !std::io::stderr().is_terminal() {
        return work(Some(stop), &say);
    }
    let (done, wait) = channel::<()>();
    let said = &said;
    std::thread::scope(|scope| {
        scope.spawn(move || {
            let mut shown = 0;
            while let Err(RecvTimeoutError::Timeout) =
                wait.recv_timeout(if shown == 0 { FIRST } else { AGAIN })
            {
                let text = said.lock().unwrap_or_else(PoisonError::into_inner).clone();
                let text = format!("{text} ... (Ctrl-C: the best plan so far)");
                let width = text.chars().count();
                // Nothing can be told where even this fails.
                let _ = write!(std::io::stderr(), "\r{text:shown$}");
                shown = width;
            }
            if shown > 0 {
                let _ = write!(std::io::stderr(), "\r{:shown$}\r", "");
            }
        });
        let found = work(Some(stop), &say);
        drop(done);
        found
    })
}
