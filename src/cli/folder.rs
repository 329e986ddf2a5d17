//! Files in a folder, all of them or none: they are written beside their places first, and put there
//! when the last is whole.
//!
//! A run that is killed before that leaves the folder as it was; one that is killed while it puts them
//! there leaves what is missing in `READY`, and the next run into the folder puts it there first. Two
//! runs at once go one after the other.

use super::disk::{Spot, parent};
use super::held::{READY, hold, keep_alive, unfinished};
use super::{Stop, output};
use std::fs::{self, File};
use std::io::{self, ErrorKind, Read, Write};
use std::path::{Path, PathBuf};

/// A file's name, and what is in it.
pub(super) type Named = (String, Vec<u8>);

/// How pages of an older answer are known: by their name and by how they begin.
#[derive(Clone, Copy)]
pub(super) struct Old {
    pub name: fn(&str) -> bool,
    pub head: fn(&[u8]) -> bool,
}

/// In the folder that is ready, the names of files to take away.
const GONE: &str = ".gone";

/// Bytes of a file that tell who wrote it.
const HEAD: u64 = 1_000;

/// Whether files may be put into a folder: it is there and has none of that name, or it can be made.
/// By force they may be there.
pub(super) fn room_for(dir: &Path, files: &[Named], force: bool) -> Result<(), Stop> {
    let told = |why: String| Stop::Told(format!("{}: {why}", dir.display()));
    if dir.is_dir() {
        return files
            .iter()
            .try_for_each(|(name, _)| output::free(&dir.join(name), force).map(|_| ()));
    }
    if dir.symlink_metadata().is_ok() {
        return Err(told("it is no folder that can be read".to_owned()));
    }
    let parent = parent(dir);
    match parent.is_dir() {
        true => Ok(()),
        false => Err(told(format!("there is no folder `{}`", parent.display()))),
    }
}

/// Where the files of a folder go.
pub(super) fn places(dir: &Path, files: &[Named]) -> Vec<PathBuf> {
    files.iter().map(|(name, _)| dir.join(name)).collect()
}

/// Puts files into a folder, which is made if it is not there. By force, what is old goes; everything
/// else that is in the folder stays.
pub(super) fn fill(dir: &Path, files: &[Named], force: bool, old: Option<Old>) -> Result<(), Stop> {
    if !dir.is_dir() {
        room_for(dir, files, force)?;
        let beside = parent(dir);
        let held = hold(&beside)?;
        let made = Staged::new(&beside, dir)?;
        drop(held);
        made.fill(files).map_err(|error| failed(dir, &error))?;
        match made.rename(dir) {
            Ok(()) => return Ok(()),
            // Another run made it meanwhile.
            Err(_) if dir.is_dir() => {}
            Err(error) => return Err(failed(dir, &error)),
        }
    }
    let held = hold(dir)?;
    finish(dir).map_err(|error| failed(dir, &error))?;
    room_for(dir, files, force)?;
    let old = old.filter(|_| force);
    let gone = old.map_or(Vec::new(), |old| older(dir, files, old));
    let made = Staged::new(dir, dir)?;
    let done = made
        .fill(files)
        .and_then(|()| made.write(GONE, gone.join("\n").as_bytes()))
        .and_then(|()| made.rename(&dir.join(READY)))
        .and_then(|()| finish(dir));
    drop(held);
    done.map_err(|error| failed(dir, &error))
}

/// A folder in the making, inside the one where it belongs, so that nothing crosses from one disk to
/// another.
struct Staged {
    made: tempfile::TempDir,
    /// Open as long as somebody works on it.
    _alive: io::Result<File>,
}

impl Staged {
    fn new(beside: &Path, dir: &Path) -> Result<Staged, Stop> {
        let prefix = unfinished();
        let mut builder = tempfile::Builder::new();
        builder.prefix(&prefix);
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            builder.permissions(fs::Permissions::from_mode(0o777));
        }
        let made = builder.tempdir_in(beside).map_err(|e| failed(dir, &e))?;
        let alive = File::open(made.path());
        alive.iter().for_each(keep_alive);
        Ok(Staged {
            made,
            _alive: alive,
        })
    }

    fn fill(&self, files: &[Named]) -> io::Result<()> {
        let mut files = files.iter();
        files.try_for_each(|(name, bytes)| self.write(name, bytes))
    }

    fn write(&self, name: &str, bytes: &[u8]) -> io::Result<()> {
        let mut file = File::create_new(self.made.path().join(name))?;
        file.write_all(bytes)?;
        file.sync_all()
    }

    /// Gives it another name, under which it stays.
    fn rename(&self, to: &Path) -> io::Result<()> {
        fs::rename(self.made.path(), to)
    }
}

/// Names of the pages of an older answer that are not written over.
fn older(dir: &Path, files: &[Named], old: Old) -> Vec<String> {
    let entries = fs::read_dir(dir).into_iter().flatten().flatten();
    let plain = entries.filter(|entry| entry.file_type().is_ok_and(|kind| kind.is_file()));
    let mut names: Vec<String> = plain
        .filter_map(|entry| entry.file_name().into_string().ok())
        .filter(|name| !files.iter().any(|(new, _)| new == name))
        .filter(|name| (old.name)(name) && (old.head)(&head(&dir.join(name))))
        .filter(|name| !Spot::of(&dir.join(name)).was_read())
        .collect();
    names.sort();
    names
}

/// How a file begins; nothing if it cannot be read.
fn head(path: &Path) -> Vec<u8> {
    let mut head = Vec::new();
    let read = File::open(path).and_then(|file| file.take(HEAD).read_to_end(&mut head));
    match read {
        Ok(_) => head,
        Err(_) => Vec::new(),
    }
}

/// Puts what is ready in its place and takes away what is old. Begun and not ended, it can be done
/// again.
fn finish(dir: &Path) -> io::Result<()> {
    let ready = dir.join(READY);
    if !ready.is_dir() {
        return Ok(());
    }
    for entry in fs::read_dir(&ready)? {
        let (name, from) = entry.map(|entry| (entry.file_name(), entry.path()))?;
        if name != GONE {
            put(&from, &Spot::of(&dir.join(name)).real)?;
        }
    }
    let gone = match fs::read_to_string(ready.join(GONE)) {
        Ok(gone) => gone,
        Err(error) if error.kind() == ErrorKind::NotFound => String::new(),
        Err(error) => return Err(error),
    };
    for name in gone.lines().filter(|name| !name.contains(['/', '\\'])) {
        match fs::remove_file(dir.join(name)) {
            Err(error) if error.kind() != ErrorKind::NotFound => return Err(error),
            _ => {}
        }
    }
    fs::remove_dir_all(&ready)
}

/// A link in the folder stays, and what it leads to changes, though it lies on another disk.
fn put(from: &Path, to: &Path) -> io::Result<()> {
    match fs::rename(from, to) {
        Err(error) if error.kind() == ErrorKind::CrossesDevices => {
            fs::copy(from, to)?;
            fs::remove_file(from)
        }
        done => done,
    }
}

fn failed(dir: &Path, error: &io::Error) -> Stop {
    let (dir, why) = (dir.display(), output::reason(error));
    Stop::Told(format!("{dir}: it could not be made: {why}"))
}
