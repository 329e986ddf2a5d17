//! What to start from: the kinds of album, and a folder with an album and its supplies, made whole or not
//! at all.

use super::{DONE, Stop, folder, output};
use crate::style::shipped::SHIPPED;
use crate::style::text::read;
use crate::text::Files;
use std::path::Path;

/// An album that comes with the program, and its supplies.
struct Shipped {
    style: &'static str,
    metric: bool,
    album: &'static str,
    /// How the album names its supplies where it is kept, and what stands there.
    supplies: [&'static str; 2],
}

const SEASIDE: [&str; 2] = [
    "../supplies/seaside.toml",
    include_str!("../../models/supplies/seaside.toml"),
];
const HUT: [&str; 2] = [
    "../supplies/hut.toml",
    include_str!("../../models/supplies/hut.toml"),
];

#[rustfmt::skip] // A row a line.
const ALL: [Shipped; 7] = [
    in_inches("upright", include_str!("../../models/albums/low-water.toml")),
    in_millimetres("upright", include_str!("../../models/albums/hut-book.toml")),
    in_inches("boards", include_str!("../../models/albums/harbour.toml")),
    in_inches("foreedge", include_str!("../../models/albums/ferry-tickets.toml")),
    in_millimetres("envelope", include_str!("../../models/albums/letters.toml")),
    in_inches("signature", include_str!("../../models/albums/quay-songs.toml")),
    in_inches("concertina", include_str!("../../models/albums/seven-stops.toml")),
];

const fn in_inches(style: &'static str, album: &'static str) -> Shipped {
    Shipped {
        style,
        album,
        metric: false,
        supplies: SEASIDE,
    }
}

const fn in_millimetres(style: &'static str, album: &'static str) -> Shipped {
    Shipped {
        metric: true,
        supplies: HUT,
        ..in_inches(style, album)
    }
}

const HEAD: &str =
    "# An album to start from. Work it out with `tuckwright fit album.toml`; then change one thing
# after the other into your own. `tuckwright help album` lists what may stand here.
#
";

/// The kinds of album in one line each.
pub(super) fn kinds() -> Result<u8, Stop> {
    let mut text = String::new();
    for (name, words) in SHIPPED {
        let mut files = Files::default();
        let file = files.add(format!("style {name}"), *words);
        let style =
            read(&mut files, file).map_err(|faults| Stop::Faults(Box::new(files), faults))?;
        text.push_str(&format!("{name:<11}{}\n", style.title));
    }
    text.push_str("To start from one: `tuckwright new DIR --style KIND`.\n");
    output::to_screen(&text)?;
    Ok(DONE)
}

/// Makes the folder.
pub(super) fn start(dir: &Path, style: &str, metric: bool) -> Result<u8, Stop> {
    let of_kind = || ALL.iter().filter(|it| it.style == style);
    let mut all = of_kind().filter(|it| it.metric == metric);
    // Where there is one in millimetres only, it need not be asked for.
    let Some(shipped) = all.next().or_else(|| of_kind().find(|_| !metric)) else {
        let why = "there is no album of this kind in millimetres; leave `--metric` out";
        return Err(Stop::Told(format!("--style {style}: {why}")));
    };
    if std::fs::read_dir(dir).is_ok_and(|mut inside| inside.next().is_some()) {
        let why = "the folder is not empty; name one that is, or that is not there yet";
        return Err(Stop::Told(format!("{}: {why}", dir.display())));
    }
    let [named, supplies] = shipped.supplies;
    let album = shipped.album.replace(named, "supplies.toml");
    let files = [
        ("album.toml", format!("{HEAD}{album}")),
        ("supplies.toml", supplies.to_owned()),
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
