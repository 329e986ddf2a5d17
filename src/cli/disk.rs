//! The one reader of files: it reads no more than a limit and waits for nobody, and it remembers what
//! it read, so that nothing is written over that.

use std::fs::{self, File};
use std::io::{self, Read};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

use crate::text::MOST_BYTES;

/// Links that lead to links are followed this far.
const MOST_LINKS: usize = 40;

/// What a path leads to.
#[derive(Clone, Debug)]
pub(super) struct Spot {
    /// Without links.
    pub real: PathBuf,
    /// Device and number of the file, where there is one and the system numbers files.
    number: Option<(u64, u64)>,
}

/// What this command has read. A process obeys one command.
static READ: Mutex<Vec<Spot>> = Mutex::new(Vec::new());

impl Spot {
    /// Where a path leads, whether something is there or not.
    pub fn of(path: &Path) -> Spot {
        let mut real = path.to_owned();
        for _ in 0..MOST_LINKS {
            let Ok(to) = fs::read_link(&real) else { break };
            real = parent(&real).join(to);
        }
        let real = match (real.canonicalize(), parent(&real).canonicalize()) {
            (Ok(real), _) => real,
            (Err(_), Ok(parent)) => parent.join(real.file_name().unwrap_or_default()),
            (Err(_), Err(_)) => real,
        };
        Spot {
            number: fs::metadata(&real).ok().and_then(|it| number(&it)),
            real,
        }
    }

    /// Whether both are one file, under whatever names.
    pub fn is(&self, other: &Spot) -> bool {
        self.real == other.real || (self.number.is_some() && self.number == other.number)
    }

    /// Whether this command has read it.
    pub fn was_read(&self) -> bool {
        let read = READ.lock().unwrap_or_else(PoisonError::into_inner);
        read.iter().any(|it| it.is(self))
    }
}

#[cfg(unix)]
fn number(of: &fs::Metadata) -> Option<(u64, u64)> {
    use std::os::unix::fs::MetadataExt;
    Some((of.dev(), of.ino()))
}

#[cfg(not(unix))]
fn number(_: &fs::Metadata) -> Option<(u64, u64)> {
    None
}

/// The folder that something lies in.
pub(super) fn parent(path: &Path) -> PathBuf {
    match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent.to_owned(),
        _ => PathBuf::from("."),
    }
}

/// A hidden file beside an album, with an ending of its own.
pub(super) fn hidden(album: &Path, ending: &str) -> PathBuf {
    let name = album.file_name().unwrap_or_default().to_string_lossy();
    parent(album).join(format!(".{name}.{ending}"))
}

/// Opens a file to read it, or tells why not, in the same words on every system.
pub(super) fn open(path: &Path) -> Result<File, String> {
    let found = fs::metadata(path).map_err(|error| unread(&error))?;
    if found.is_dir() {
        return Err("it is a folder".to_owned());
    }
    if !found.is_file() {
        // A pipe may never say anything, a device may never end.
        return Err("it is a device or a pipe: save what comes out of it as a file".to_owned());
    }
    let file = File::open(path).map_err(|error| unread(&error))?;
    let mut read = READ.lock().unwrap_or_else(PoisonError::into_inner);
    read.push(Spot::of(path));
    Ok(file)
}

/// The bytes of a file; one more than are read where there are too many.
pub(super) fn bytes(path: &Path) -> Result<Vec<u8>, String> {
    let mut bytes = Vec::new();
    open(path)?
        .take(MOST_BYTES as u64 + 1)
        .read_to_end(&mut bytes)
        .map_err(|error| unread(&error))?;
    Ok(bytes)
}

fn unread(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound | io::ErrorKind::NotADirectory => {
            "there is no such file".to_owned()
        }
        io::ErrorKind::PermissionDenied => "it may not be read".to_owned(),
        _ => format!("it could not be read: {error}"),
    }
}
