//! A folder of files, made whole or not at all.

use super::{Stop, output};
use std::fs;
use std::path::{Path, PathBuf};

/// A file's name, and what is in it.
pub(super) type Named = (String, Vec<u8>);

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
pub(super) fn fill(dir: &Path, files: &[Named], force: bool) -> Result<(), Stop> {
    room_for(dir, force)?;
    let failed = |error: std::io::Error| {
        Stop::Told(format!(
            "{}: it could not be made: {}",
            dir.display(),
            output::reason(&error)
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
        output::whole(&made.path().join(name), bytes, false)?;
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
