//! An answer goes to the screen, or into a file that is written whole or not at all.

use super::{Stop, Target};
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

fn there(path: &Path) -> Stop {
    let why = "there is such a file already; `--force` writes over it";
    Stop::Told(format!("{}: {why}", path.display()))
}

/// Tells where a file cannot be written, before anything is; its folder where it can.
pub(super) fn free(path: &Path, force: bool) -> Result<PathBuf, Stop> {
    let told = |why: &str| Stop::Told(format!("{}: {why}", path.display()));
    if path.is_dir() {
        return Err(told("it is a folder"));
    }
    if !force && path.symlink_metadata().is_ok() {
        return Err(there(path));
    }
    let folder = match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder.to_owned(),
        _ => PathBuf::from("."),
    };
    match folder.is_dir() {
        true => Ok(folder),
        false => Err(told("there is no such folder")),
    }
}

/// Writes files into a folder, which is made if it is not there; each whole or not at all, and none
/// where one of them cannot be.
pub(super) fn folder(dir: &Path, files: &[(String, String)], force: bool) -> Result<(), Stop> {
    let told = |error: std::io::Error| {
        Stop::Told(format!(
            "{}: it could not be made: {}",
            dir.display(),
            reason(&error)
        ))
    };
    if !dir.is_dir() {
        std::fs::create_dir(dir).map_err(told)?;
    }
    for (name, _) in files {
        free(&dir.join(name), force)?;
    }
    for (name, text) in files {
        whole(&dir.join(name), text.as_bytes(), force)?;
    }
    Ok(())
}

/// Writes a message beside the answer.
pub(super) fn to_stderr(message: &str) {
    // Nothing can be told where even this fails.
    let _ = anstream::stderr().write_all(message.as_bytes());
}

/// Writes a file whole or not at all, and over another one only by force.
pub(super) fn whole(path: &Path, bytes: &[u8], force: bool) -> Result<(), Stop> {
    let folder = free(path, force)?;
    let told = |why: String| Stop::Told(format!("{}: {why}", path.display()));
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
        Err(error) if error.error.kind() == ErrorKind::AlreadyExists => Err(there(path)),
        Err(error) => Err(failed(error.error)),
    }
}
