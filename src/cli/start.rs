//! A folder to start from: an album and its supplies, made whole or not at all.

use super::{DONE, Stop, output};
use std::fs;
use std::path::{Path, PathBuf};

/// An album that comes with the program, and its supplies.
struct Shipped {
    album: &'static str,
    /// How the album names its supplies where it is kept.
    named: &'static str,
    supplies: &'static str,
}

const INCH: Shipped = Shipped {
    album: include_str!("../../models/albums/low-water.toml"),
    named: "../supplies/seaside.toml",
    supplies: include_str!("../../models/supplies/seaside.toml"),
};

const METRIC: Shipped = Shipped {
    album: include_str!("../../models/albums/hut-book.toml"),
    named: "../supplies/hut.toml",
    supplies: include_str!("../../models/supplies/hut.toml"),
};

const HEAD: &str =
    "# An album to start from. Work it out with `tuckwright fit album.toml`; then change one thing
# after the other into your own. What may stand here is told in the README.
#
";

/// Makes the folder.
pub(super) fn start(dir: &Path, metric: bool) -> Result<u8, Stop> {
    let told = |why: String| Stop::Told(format!("{}: {why}", dir.display()));
    let shipped = if metric { METRIC } else { INCH };
    let there = match fs::read_dir(dir) {
        Ok(mut inside) => {
            if inside.next().is_some() {
                let why = "the folder is not empty; name one that is, or that is not there yet";
                return Err(told(why.to_owned()));
            }
            true
        }
        Err(_) if dir.symlink_metadata().is_ok() => {
            return Err(told("it is no folder that can be read".to_owned()));
        }
        Err(_) => false,
    };
    let parent = match dir.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent.to_owned(),
        _ => PathBuf::from("."),
    };
    if !parent.is_dir() {
        return Err(told(format!("there is no folder `{}`", parent.display())));
    }
    let failed =
        |error: std::io::Error| told(format!("it could not be made: {}", output::reason(&error)));
    // A folder that is there is filled; a new one is made whole beside it and then renamed.
    let mut builder = tempfile::Builder::new();
    builder.prefix(".tuckwright-");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        builder.permissions(fs::Permissions::from_mode(0o777));
    }
    let made = builder.tempdir_in(&parent).map_err(failed)?;
    let album = shipped.album.replace(shipped.named, "supplies.toml");
    output::whole(
        &made.path().join("album.toml"),
        format!("{HEAD}{album}").as_bytes(),
        false,
    )?;
    output::whole(
        &made.path().join("supplies.toml"),
        shipped.supplies.as_bytes(),
        false,
    )?;
    if there {
        fs::remove_dir(dir).map_err(failed)?;
    }
    let made = made.keep();
    if let Err(error) = fs::rename(&made, dir) {
        // Nothing half made is left behind; what could not be removed either is no longer ours to tell.
        let _ = fs::remove_dir_all(&made);
        return Err(failed(error));
    }
    let said = format!(
        "{0}: album.toml and supplies.toml are there. Now: tuckwright fit {1}\n",
        dir.display(),
        dir.join("album.toml").display()
    );
    output::to_screen(&said)?;
    Ok(DONE)
}
