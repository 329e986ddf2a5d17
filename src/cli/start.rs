//! A folder to start from: an album and its supplies, made whole or not at all.

use super::{DONE, Stop, folder, output};
use std::path::Path;

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
# after the other into your own. `tuckwright help album` lists what may stand here.
#
";

/// Makes the folder.
pub(super) fn start(dir: &Path, metric: bool) -> Result<u8, Stop> {
    if std::fs::read_dir(dir).is_ok_and(|mut inside| inside.next().is_some()) {
        let why = "the folder is not empty; name one that is, or that is not there yet";
        return Err(Stop::Told(format!("{}: {why}", dir.display())));
    }
    let shipped = if metric { METRIC } else { INCH };
    let album = shipped.album.replace(shipped.named, "supplies.toml");
    let files = [
        ("album.toml", format!("{HEAD}{album}")),
        ("supplies.toml", shipped.supplies.to_owned()),
    ];
    let files = files.map(|(name, text)| (name.to_owned(), text.into_bytes()));
    folder::fill(dir, &files, false, None)?;
    let said = format!(
        "{0}: album.toml and supplies.toml are there. Now: tuckwright fit {1}\n",
        dir.display(),
        dir.join("album.toml").display()
    );
    output::to_screen(&said)?;
    Ok(DONE)
}
