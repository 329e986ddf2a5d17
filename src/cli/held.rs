//! A folder that no other run writes into meanwhile, and what killed runs left in it.

use super::Stop;
use std::fs::{self, File, TryLockError};
use std::path::Path;
use std::thread::sleep;
use std::time::{Duration, Instant};

/// How the names of files and folders begin that are not whole yet; then comes whose they are.
const UNFINISHED: &str = ".tuckwright-";

/// What is whole and only half in its place: that is not taken away but put there.
pub(super) const READY: &str = ".tuckwright-ready";

/// Another run holds a folder for the time that a few files take to be written.
const LONGEST: Duration = Duration::from_secs(10);
const AGAIN: Duration = Duration::from_millis(20);

/// How the names of this run begin.
pub(super) fn unfinished() -> String {
    format!("{UNFINISHED}{}-", std::process::id())
}

/// Dropped, it lets the folder go.
pub(super) struct Held {
    lock: Option<File>,
}

/// Waits until no other run writes into a folder, and takes away what killed runs left there.
pub(super) fn hold(folder: &Path) -> Result<Held, Stop> {
    let held = Held {
        lock: lock(folder)?,
    };
    if held.lock.is_some() {
        clean(folder);
    }
    Ok(held)
}

/// `None` where folders cannot be locked: then two runs at once are the maker's to avoid.
fn lock(folder: &Path) -> Result<Option<File>, Stop> {
    let Ok(file) = File::open(folder) else {
        return Ok(None);
    };
    let began = Instant::now();
    loop {
        match file.try_lock() {
            Ok(()) => return Ok(Some(file)),
            Err(TryLockError::Error(_)) => return Ok(None),
            Err(TryLockError::WouldBlock) if began.elapsed() >= LONGEST => {
                let folder = folder.display();
                return Err(Stop::Told(format!(
                    "{folder}: another run of tuckwright writes there; try again when it is done"
                )));
            }
            Err(TryLockError::WouldBlock) => sleep(AGAIN),
        }
    }
}

/// Marks something unfinished as alive, as long as the file is open. Without it, the next run into
/// the same folder takes it away.
pub(super) fn keep_alive(unfinished: &File) {
    // Where it cannot be locked, nothing is taken away either.
    let _ = unfinished.try_lock();
}

/// Takes away what nobody works on any more.
fn clean(folder: &Path) {
    let own = unfinished();
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    for entry in entries {
        let name = entry.file_name();
        let name = name.to_string_lossy();
        // Some network disks let one run lock a file twice.
        let ours = name.starts_with(UNFINISHED) && name != READY && !name.starts_with(&own);
        let Some(kind) = entry.file_type().ok().filter(|_| ours) else {
            continue;
        };
        if !(kind.is_file() || kind.is_dir()) {
            continue;
        }
        let dead = File::open(entry.path()).is_ok_and(|file| file.try_lock().is_ok());
        // What cannot be taken away stays for the run after this one.
        let _ = match (dead, kind.is_dir()) {
            (false, _) => Ok(()),
            (true, true) => fs::remove_dir_all(entry.path()),
            (true, false) => fs::remove_file(entry.path()),
        };
    }
}
