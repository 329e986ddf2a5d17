//! An answer goes to the screen, or into a file that is written whole or not at all.

use super::{Stop, Target};
use std::fs;
use std::io::{ErrorKind, Write};
use std::path::{Path, PathBuf};

/// Where an answer goes.
pub(super) struct Sink<'t> {
    target: &'t Target,
}

impl<'t> Sink<'t> {
    pub fn new(target: &'t Target) -> Sink<'t> {
        Sink { target }
    }

    /// Writes an answer; what is bold stays bold on a terminal only.
    pub fn write(&self, text: &str) -> Result<(), Stop> {
        let Some(path) = &self.target.output else {
            return to_screen(text);
        };
        let plain = anstream::adapter::strip_str(text).to_string();
        whole(path, plain.as_bytes(), self.target.force)
    }
}

/// Writes to stdout.
pub(super) fn to_screen(text: &str) -> Result<(), Stop> {
    let mut out = anstream::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Ok(()) => Ok(()),
        // Whoever read it has read enough.
        Err(error) if error.kind() == ErrorKind::BrokenPipe => Ok(()),
        Err(error) => Err(Stop::Told(format!(
            "the answer could not be written: {error}"
        ))),
    }
}

/// Why something could not be written, without the names that are used on the way.
pub(super) fn reason(error: &std::io::Error) -> String {
    match error.kind() {
        ErrorKind::PermissionDenied => "you may not write in that folder".to_owned(),
        ErrorKind::StorageFull => "the disk is full".to_owned(),
        ErrorKind::ReadOnlyFilesystem => "the disk cannot be written to".to_owned(),
        kind => kind.to_string(),
    }
}

/// Writes a file whole or not at all, and over another one only by force.
pub(super) fn whole(path: &Path, bytes: &[u8], force: bool) -> Result<(), Stop> {
    let told = |why: String| Stop::Told(format!("{}: {why}", path.display()));
    if path.is_dir() {
        return Err(told("it is a folder".to_owned()));
    }
    let there = || told("there is such a file already; `--force` writes over it".to_owned());
    if !force && path.symlink_metadata().is_ok() {
        return Err(there());
    }
    let folder = parent(path);
    if !folder.is_dir() {
        return Err(told("there is no such folder".to_owned()));
    }
    let failed =
        |error: std::io::Error| told(format!("it could not be written: {}", reason(&error)));
    let mut builder = tempfile::Builder::new();
    builder.prefix(".tuckwright-");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        // As any new file: what the maker's own mask leaves of it.
        builder.permissions(std::fs::Permissions::from_mode(0o666));
    }
    let mut file = builder.tempfile_in(&folder).map_err(failed)?;
    file.write_all(bytes).map_err(failed)?;
    file.as_file().sync_all().map_err(failed)?;
    let kept = match force {
        true => file.persist(path),
        false => file.persist_noclobber(path),
    };
    match kept {
        Ok(_) => Ok(()),
        Err(error) if error.error.kind() == ErrorKind::AlreadyExists => Err(there()),
        Err(error) => Err(failed(error.error)),
    }
}

/// Whether a folder may be filled: it is not there, it is empty, or `force`.
pub(super) fn room_for(dir: &Path, force: bool) -> Result<(), Stop> {
    let told = |why: String| Stop::Told(format!("{}: {why}", dir.display()));
    match fs::read_dir(dir) {
        Ok(mut inside) => {
            if !force && inside.next().is_some() {
                let why = "the folder is not empty; name one that is, or that is not there yet";
                return Err(told(why.to_owned()));
            }
            return Ok(());
        }
        Err(_) if dir.symlink_metadata().is_ok() => {
            return Err(told("it is no folder that can be read".to_owned()));
        }
        Err(_) => {}
    }
    let parent = parent(dir);
    if !parent.is_dir() {
        return Err(told(format!("there is no folder `{}`", parent.display())));
    }
    Ok(())
}

/// Makes a folder with files in it, whole or not at all; a folder that is there keeps what else is
/// in it.
pub(super) fn folder(dir: &Path, files: &[(String, Vec<u8>)], force: bool) -> Result<(), Stop> {
    room_for(dir, force)?;
    let failed = |error: std::io::Error| {
        Stop::Told(format!(
            "{}: it could not be made: {}",
            dir.display(),
            reason(&error)
        ))
    };
    // Everything is written beside it first, and moved when it is complete.
    let mut builder = tempfile::Builder::new();
    builder.prefix(".tuckwright-");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        builder.permissions(fs::Permissions::from_mode(0o777));
    }
    let made = builder.tempdir_in(parent(dir)).map_err(failed)?;
    for (name, bytes) in files {
        whole(&made.path().join(name), bytes, false)?;
    }
    if dir.is_dir() && fs::remove_dir(dir).is_err() {
        // It is not empty: file by file, each whole.
        for (name, _) in files {
            fs::rename(made.path().join(name), dir.join(name)).map_err(failed)?;
        }
        return Ok(());
    }
    let made = made.keep();
    if let Err(error) = fs::rename(&made, dir) {
        // Nothing half made is left behind; what could not be removed either is no longer ours to tell.
        let _ = fs::remove_dir_all(&made);
        return Err(failed(error));
    }
    Ok(())
}

fn parent(path: &Path) -> PathBuf {
    match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent.to_owned(),
        _ => PathBuf::from("."),
    }
}
