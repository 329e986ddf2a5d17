//! Long work: progress on a terminal after a second, and the best answer so far when it is stopped.

use super::Stop;
use super::interrupt::asked_to_stop;
use crate::cut::work::{Patience, Told, WorkError};
use crate::report::cut as words;
use crate::solve::Limits;
use crate::text::Files;
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

/// Works, with an eye on whoever waits: progress after a second, and a plan when they stop it.
///
/// `seconds`: those that were typed. What nobody asked for has the same time then.
pub(super) fn patiently<T>(
    limits: &Limits,
    seconds: Option<u64>,
    files: &Files,
    work: impl FnOnce(&Patience<'_>) -> Result<T, WorkError>,
) -> Result<T, Stop> {
    // Working the album out took some of the time already.
    let time = limits.left();
    let found = watched(|cancel, say| {
        let told = |told: Told<'_>| {
            let of = if told.paper.is_empty() {
                "sheets"
            } else {
                told.paper
            };
            let sheets = told
                .sheets
                .map_or(String::new(), |n| format!("{n} found, "));
            let kind = words::stages(told.stages);
            let what = match told.keeps {
                true => "the largest offcut is looked for".to_owned(),
                false => format!("at least {} needed", told.least),
            };
            say(format!("{of}, {kind}: {sheets}{what}"));
        };
        work(&Patience {
            time,
            typed: seconds,
            cancel,
            told: Some(&told),
        })
    });
    found.map_err(|error| match error {
        WorkError::Faults(errors) => super::faults(files, errors),
        WorkError::Defect(why) => Stop::Undecided(format!(
            "tuckwright made a mistake and refused its own cutting plan: {why}.\n\
             Please report it, with what was to be cut, to whoever gave you this program."
        )),
    })
}
