//! Which run has an album open: two pages of one file would write over each other.
//!
//! A hidden file beside the album, for its owner only, is locked by the run that serves it, and says
//! where; another run asks that one for a fresh address instead.

use super::disk::hidden;
use std::fs::{self, File, OpenOptions, TryLockError};
use std::io::{Read, Seek, Write};
use std::net::{Ipv4Addr, Ipv6Addr, SocketAddr, TcpStream};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

/// A run that has just begun says where it serves by then.
const BEGINS: Duration = Duration::from_secs(5);
const AGAIN: Duration = Duration::from_millis(20);
/// The other run answers by then.
const ANSWER: Duration = Duration::from_secs(5);
/// Bytes of what is said there, and of an answer.
const MOST: u64 = 4_096;

/// Whose an album is.
pub(super) enum Claim {
    /// This run's, until it is dropped.
    Ours(Claimed),
    /// Another run serves it; here is a fresh address of its page.
    Served(String),
    /// Another run has it, and does not answer.
    Silent,
    /// Files cannot be locked here, or something else lies in the place of the file.
    Unknown,
}

/// The locked file.
pub(super) struct Claimed {
    path: PathBuf,
    file: File,
}

impl Drop for Claimed {
    fn drop(&mut self) {
        let _ = fs::remove_file(&self.path);
    }
}

impl Claimed {
    /// Says where the album is served.
    pub fn say(&mut self, address: SocketAddr, secret: &str) {
        let said = serde_json::json!({ "address": address, "secret": secret });
        // Unwritten, the other run finds a silent one.
        let _ = self.file.set_len(0);
        let _ = self.file.rewind();
        let _ = self.file.write_all(said.to_string().as_bytes());
    }
}

/// Claims an album's file for this run.
pub(super) fn claim(album: &Path) -> Claim {
    let path = path_of(album);
    let began = Instant::now();
    loop {
        let Some(mut file) = opened(&path) else {
            return Claim::Unknown;
        };
        match file.try_lock() {
            // Another run may have taken it away before it was locked.
            Ok(()) if is_at(&file, &path) => return Claim::Ours(Claimed { path, file }),
            Ok(()) => {}
            Err(TryLockError::Error(_)) => return Claim::Unknown,
            Err(TryLockError::WouldBlock) => {
                if let Some(address) = fresh(&mut file) {
                    return Claim::Served(address);
                }
            }
        }
        if began.elapsed() >= BEGINS {
            return Claim::Silent;
        }
        std::thread::sleep(AGAIN);
    }
}

/// Claims an album only if no other run has it.
pub(super) fn alone(album: &Path) -> Option<Claimed> {
    let path = path_of(album);
    let file = opened(&path)?;
    (file.try_lock().is_ok() && is_at(&file, &path)).then_some(Claimed { path, file })
}

/// The file that says whose an album is.
fn path_of(album: &Path) -> PathBuf {
    hidden(album, "open")
}

/// The file, made if it is not there; `None` if something else is, or if it is another user's.
fn opened(path: &Path) -> Option<File> {
    let mut options = OpenOptions::new();
    options.read(true).write(true).create(true).truncate(false);
    #[cfg(unix)]
    {
        use std::os::unix::fs::OpenOptionsExt;
        options.mode(0o600);
    }
    match path.symlink_metadata() {
        Ok(found) if !found.is_file() => return None,
        // No link that is put there meanwhile is followed.
        Err(_) => drop(options.create_new(true)),
        Ok(_) => {}
    }
    let file = options.open(path).ok().or_else(|| {
        // Another run made it in between.
        let there = path.symlink_metadata().is_ok_and(|found| found.is_file());
        let mut options = OpenOptions::new();
        options.read(true).write(true);
        there.then(|| options.open(path).ok()).flatten()
    })?;
    (is_own(&file.metadata().ok()?) && is_at(&file, path)).then_some(file)
}

/// Whether the open file is the one at this path, and no link leads there.
#[cfg(unix)]
fn is_at(file: &File, path: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    match (file.metadata(), path.symlink_metadata()) {
        (Ok(open), Ok(there)) => (open.dev(), open.ino()) == (there.dev(), there.ino()),
        _ => false,
    }
}

#[cfg(not(unix))]
fn is_at(_: &File, path: &Path) -> bool {
    path.symlink_metadata().is_ok_and(|found| found.is_file())
}

/// Whether a file is this user's, and nobody else may write to it.
#[cfg(unix)]
pub(super) fn is_own(found: &fs::Metadata) -> bool {
    use std::os::unix::fs::MetadataExt;
    let own = tempfile::tempfile().and_then(|file| file.metadata());
    own.is_ok_and(|own| own.uid() == found.uid()) && found.mode() & 0o022 == 0
}

#[cfg(not(unix))]
pub(super) fn is_own(_: &fs::Metadata) -> bool {
    true
}

/// A fresh address of the run that says where it serves.
fn fresh(file: &mut File) -> Option<String> {
    let mut said = Vec::new();
    file.take(MOST).read_to_end(&mut said).ok()?;
    let said: serde_json::Value = serde_json::from_slice(&said).ok()?;
    let at: SocketAddr = said.get("address")?.as_str()?.parse().ok()?;
    let near = at.ip() == Ipv4Addr::LOCALHOST || at.ip() == Ipv6Addr::LOCALHOST;
    let mut stream = near.then(|| TcpStream::connect_timeout(&at, ANSWER).ok())??;
    stream.set_read_timeout(Some(ANSWER)).ok()?;
    let body = serde_json::json!({ "secret": said.get("secret")? }).to_string();
    let asked = format!(
        "POST /again HTTP/1.1\r\nHost: {at}\r\nOrigin: http://{at}\r\nContent-Type: application/json\r\n\
         Content-Length: {}\r\nConnection: close\r\n\r\n{body}",
        body.len()
    );
    stream.write_all(asked.as_bytes()).ok()?;
    let mut answer = Vec::new();
    stream.take(MOST).read_to_end(&mut answer).ok()?;
    let answer = String::from_utf8(answer).ok()?;
    let (_, body) = answer.split_once("\r\n\r\n")?;
    let answer: serde_json::Value = serde_json::from_str(body).ok()?;
    let address = answer.get("address")?.as_str()?;
    let own = format!("http://{at}/#");
    address.starts_with(&own).then(|| address.to_owned())
}
