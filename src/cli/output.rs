//! An answer goes to the screen, or into a file that is written whole or not at all.

use super::{Stop, Target};
use std::io::{BufWriter, ErrorKind, Write};
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

    /// An answer that is written row by row.
    pub fn rows(&self) -> Result<Rows, Stop> {
        Ok(match &self.target.output {
            Some(path) => Rows::File(Kept::open(path, self.target.force)?),
            None => Rows::Screen,
        })
    }
}

/// Rows on their way to the screen, or into a file that is put in its place when it is whole.
pub(super) enum Rows {
    File(Kept),
    Screen,
}

impl Rows {
    /// Writes some more of them.
    pub fn write(&mut self, text: &str) -> Result<(), Stop> {
        match self {
            Rows::File(file) => file.write(text.as_bytes()),
            Rows::Screen => to_screen(text),
        }
    }

    /// That was the last.
    pub fn done(self) -> Result<(), Stop> {
        match self {
            Rows::File(file) => file.keep(),
            Rows::Screen => Ok(()),
        }
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
    let mut file = Kept::open(path, force)?;
    file.write(bytes)?;
    file.keep()
}

/// A file that is written bit by bit beside its place, and put there when it is whole. Dropped before
/// that, it is gone.
pub(super) struct Kept {
    path: PathBuf,
    force: bool,
    file: BufWriter<tempfile::NamedTempFile>,
}

impl Kept {
    /// Begins a file; one that is there is written over only by force.
    pub fn open(path: &Path, force: bool) -> Result<Kept, Stop> {
        let folder = free(path, force)?;
        let mut builder = tempfile::Builder::new();
        builder.prefix(".tuckwright-");
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            // As any new file: what the maker's own mask leaves of it.
            builder.permissions(std::fs::Permissions::from_mode(0o666));
        }
        let file = builder.tempfile_in(&folder).map_err(|e| failed(path, &e))?;
        Ok(Kept {
            path: path.to_owned(),
            force,
            file: BufWriter::new(file),
        })
    }

    /// Writes more of it.
    pub fn write(&mut self, bytes: &[u8]) -> Result<(), Stop> {
        let written = self.file.write_all(bytes);
        written.map_err(|error| failed(&self.path, &error))
    }

    /// Puts it in its place.
    pub fn keep(self) -> Result<(), Stop> {
        let Kept { path, force, file } = self;
        let file = file.into_inner().map_err(|e| failed(&path, e.error()))?;
        file.as_file().sync_all().map_err(|e| failed(&path, &e))?;
        let kept = match force {
            true => file.persist(&path),
            false => file.persist_noclobber(&path),
        };
        match kept {
            Ok(_) => Ok(()),
            Err(error) if error.error.kind() == ErrorKind::AlreadyExists => Err(there(&path)),
            Err(error) => Err(failed(&path, &error.error)),
        }
    }
}

fn there(path: &Path) -> Stop {
    let path = path.display();
    Stop::Told(format!(
        "{path}: there is such a file already; `--force` writes over it"
    ))
}

fn failed(path: &Path, error: &std::io::Error) -> Stop {
    let (path, why) = (path.display(), reason(error));
    Stop::Told(format!("{path}: it could not be written: {why}"))
}
