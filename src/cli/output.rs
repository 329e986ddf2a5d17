//! An answer goes to the screen, or into a file that is written whole or not at all: never over what
//! this command reads, and through links.

use super::disk::{Spot, parent};
use super::held::{hold, keep_alive, unfinished};
use super::{Stop, Target};
use crate::text::Look;
use std::fs;
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

    /// Tells what stands in the way of writing, before anything is worked out.
    pub fn ready(&self) -> Result<(), Stop> {
        let path = self.target.output.as_deref();
        path.map_or(Ok(()), |path| free(path, self.target.force).map(|_| ()))
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
        ErrorKind::NotFound => "there is no such folder".to_owned(),
        ErrorKind::NotADirectory => "what should be a folder is a file".to_owned(),
        ErrorKind::InvalidFilename => "the name is too long".to_owned(),
        kind => kind.to_string(),
    }
}

/// Where a file goes, links followed; or why it cannot be written, before anything is.
pub(super) fn free(path: &Path, force: bool) -> Result<PathBuf, Stop> {
    let told = |why: &str| Stop::Told(format!("{}: {why}", path.display()));
    if path.is_dir() {
        return Err(told("it is a folder"));
    }
    let spot = Spot::of(path);
    let found = fs::symlink_metadata(&spot.real);
    if found.is_ok_and(|found| !found.is_file()) {
        return Err(told(
            "it is a device, a pipe or a link in a circle, not a file",
        ));
    }
    if spot.was_read() {
        return Err(told("it is read here: name another file to write to"));
    }
    if !force && path.symlink_metadata().is_ok() {
        return Err(there(path));
    }
    match parent(&spot.real).is_dir() {
        true => Ok(spot.real),
        false => Err(told("there is no such folder")),
    }
}

/// Tells where two things that are to be written would be one file.
pub(super) fn apart<'p>(targets: impl IntoIterator<Item = &'p Path>) -> Result<(), Stop> {
    let mut seen: Vec<(Spot, &Path)> = Vec::new();
    for path in targets {
        let spot = Spot::of(path);
        if let Some((_, other)) = seen.iter().find(|(other, _)| other.is(&spot)) {
            let (one, other) = (other.display(), path.display());
            return Err(Stop::Told(format!(
                "{one} and {other} would be one file: name another for one of them"
            )));
        }
        seen.push((spot, path));
    }
    Ok(())
}

/// How messages beside the answer look: as wide as a terminal, within reason, and of one width
/// elsewhere.
pub(super) fn look() -> Look {
    let of = terminal_size::terminal_size_of(std::io::stderr());
    Look::Screen(of.map_or(80, columns))
}

/// How many columns an answer gets on a terminal; `None` if it goes elsewhere.
pub(super) fn screen() -> Option<usize> {
    terminal_size::terminal_size_of(std::io::stdout()).map(columns)
}

fn columns((width, _): (terminal_size::Width, terminal_size::Height)) -> usize {
    usize::from(width.0).clamp(60, 120)
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
    /// As the maker names it, and without links.
    path: PathBuf,
    real: PathBuf,
    force: bool,
    file: BufWriter<tempfile::NamedTempFile>,
}

impl Kept {
    /// Begins a file; one that is there is written over only by force.
    pub fn open(path: &Path, force: bool) -> Result<Kept, Stop> {
        Kept::at(path, free(path, force)?, force)
    }

    /// Begins a file that takes the place of the one that was read.
    pub fn over(path: &Path) -> Result<Kept, Stop> {
        Kept::at(path, Spot::of(path).real, true)
    }

    /// Begins a file where there is none, though one may have been read there.
    pub fn anew(path: &Path) -> Result<Kept, Stop> {
        Kept::at(path, Spot::of(path).real, false)
    }

    fn at(path: &Path, real: PathBuf, force: bool) -> Result<Kept, Stop> {
        let folder = parent(&real);
        let held = hold(&folder)?;
        let prefix = unfinished();
        let mut builder = tempfile::Builder::new();
        builder.prefix(&prefix);
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            // As any new file: what the maker's own mask leaves of it.
            builder.permissions(fs::Permissions::from_mode(0o666));
        }
        let file = builder.tempfile_in(&folder).map_err(|e| failed(path, &e))?;
        keep_alive(file.as_file());
        drop(held);
        if let Ok(before) = fs::metadata(&real) {
            // What is written over stays as open or as closed to others as it was.
            let kept = file.as_file().set_permissions(before.permissions());
            kept.map_err(|e| failed(path, &e))?;
        }
        Ok(Kept {
            path: path.to_owned(),
            real,
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
        let Kept {
            path,
            real,
            force,
            file,
        } = self;
        let file = file.into_inner().map_err(|e| failed(&path, e.error()))?;
        file.as_file().sync_all().map_err(|e| failed(&path, &e))?;
        let kept = match force {
            true => file.persist(&real),
            false => file.persist_noclobber(&real),
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
