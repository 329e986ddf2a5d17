//! Files in a folder, put there when all of them are written.

use super::{Stop, output};
use std::fs;
use std::path::{Path, PathBuf};

/// A file's name, and what is in it.
pub(super) type Named = (String, Vec<u8>);

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

/// Puts files into a folder, which is made if it is not there and keeps what else is in it. All of
/// them are written beside it first.
pub(super) fn fill(dir: &Path, files: &[Named], force: bool) -> Result<(), Stop> {
    room_for(dir, files, force)?;
    let failed = |error: std::io::Error| {
        let (dir, why) = (dir.display(), output::reason(&error));
        Stop::Told(format!("{dir}: it could not be made: {why}"))
    };
    let mut builder = tempfile::Builder::new();
    builder.prefix(".tuckwright-");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        builder.permissions(fs::Permissions::from_mode(0o777));
    }
    // Inside a folder that is there, so that nothing crosses from one disk to another.
    let there = dir.is_dir();
    let beside = if there { dir.to_owned() } else { parent(dir) };
    let made = builder.tempdir_in(beside).map_err(failed)?;
    for (name, bytes) in files {
        output::whole(&made.path().join(name), bytes, false)?;
    }
    if there {
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
