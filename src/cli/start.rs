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
    /// How the album names its supplies where it is kept.
    named: &'static str,
    supplies: &'static str,
}

const SEASIDE: &str = include_str!("../../models/supplies/seaside.toml");
const SEASIDE_NAMED: &str = "../supplies/seaside.toml";

const ALL: [Shipped; 7] = [
    Shipped {
        style: "upright",
        metric: false,
        album: include_str!("../../models/albums/low-water.toml"),
        named: SEASIDE_NAMED,
        supplies: SEASIDE,
    },
    Shipped {
        style: "upright",
        metric: true,
        album: include_str!("../../models/albums/hut-book.toml"),
        named: "../supplies/hut.toml",
        supplies: include_str!("../../models/supplies/hut.toml"),
    },
    Shipped {
        style: "boards",
        metric: false,
        album: include_str!("../../models/albums/harbour.toml"),
        named: SEASIDE_NAMED,
        supplies: SEASIDE,
    },
    Shipped {
        style: "foreedge",
        metric: false,
        album: include_str!("../../models/albums/ferry-tickets.toml"),
        named: SEASIDE_NAMED,
        supplies: SEASIDE,
    },
    Shipped {
        style: "envelope",
        metric: true,
        album: include_str!("../../models/albums/letters.toml"),
        named: "../supplies/hut.toml",
        supplies: include_str!("../../models/supplies/hut.toml"),
    },
    Shipped {
        style: "signature",
        metric: false,
        album: include_str!("../../models/albums/quay-songs.toml"),
        named: SEASIDE_NAMED,
        supplies: SEASIDE,
    },
    Shipped {
        style: "concertina",
        metric: false,
        album: include_str!("../../models/albums/seven-stops.toml"),
        named: SEASIDE_NAMED,
        supplies: SEASIDE,
    },
];

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
