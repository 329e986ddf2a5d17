//! What to start from: the kinds of album, and a folder with an album and its supplies, made whole or not
//! at all.

use super::{DONE, Stop, disk, folder, input, output};
use crate::album;
use crate::program::expand::expand;
use crate::style::Style;
use crate::style::shipped::SHIPPED;
use crate::style::text::read;
use crate::supplies::Supplies;
use crate::text::Files;
use std::borrow::Cow;
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

/// The photos that one of them lists.
const PHOTOS: [&str; 2] = [
    "../photos/low-water.csv",
    include_str!("../../models/photos/low-water.csv"),
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
    if !ALL.iter().any(|it| it.style == style) {
        return own(dir, style, metric);
    }
    let of_kind = || ALL.iter().filter(|it| it.style == style);
    let mut all = of_kind().filter(|it| it.metric == metric);
    // Where there is one in millimetres only, it need not be asked for.
    let Some(shipped) = all.next().or_else(|| of_kind().find(|_| !metric)) else {
        let why = "there is no album of this kind in millimetres; leave `--metric` out";
        return Err(Stop::Told(format!("--style {style}: {why}")));
    };
    let [named, supplies] = shipped.supplies;
    let album = shipped.album.replace(named, "supplies.toml");
    let [named, photos] = PHOTOS;
    let listed = album.contains(named).then_some(photos);
    write(dir, &album.replace(named, "photos.csv"), supplies, listed)
}

fn write(dir: &Path, album: &str, supplies: &str, photos: Option<&str>) -> Result<u8, Stop> {
    if std::fs::read_dir(dir).is_ok_and(|mut inside| inside.next().is_some()) {
        let why = "the folder is not empty; name one that is, or that is not there yet";
        return Err(Stop::Told(format!("{}: {why}", dir.display())));
    }
    let names = match photos {
        Some(_) => "album.toml, supplies.toml and photos.csv",
        None => "album.toml and supplies.toml",
    };
    let files = [
        Some(("album.toml", format!("{HEAD}{album}"))),
        Some(("supplies.toml", supplies.to_owned())),
        photos.map(|list| ("photos.csv", list.to_owned())),
    ];
    let files = files.into_iter().flatten();
    let files = files.map(|(name, text)| (name.to_owned(), text.into_bytes()));
    let files: Vec<_> = files.collect();
    folder::fill(dir, &files, false, None)?;
    let said = format!(
        "{}: {names} are there. Now: tuckwright fit {}\n",
        dir.display(),
        dir.join("album.toml").display()
    );
    output::to_screen(&said)?;
    Ok(DONE)
}

/// The same for a style of the maker's own: an album of one kind of leaf that reads it where it lies.
fn own(dir: &Path, named: &str, metric: bool) -> Result<u8, Stop> {
    let style = input::named(named)?;
    let ([_, supplies], ruler) = match metric {
        true => (HUT, "1 mm"),
        false => (SEASIDE, "1/8 in"),
    };
    let way = way(dir, Path::new(named)).unwrap_or_else(|| named.to_owned());
    let head = format!(
        "album = \"My album\"\nstyle = {way:?}\nruler = {ruler:?}\nsupplies = [\"supplies.toml\"]\n"
    );
    let album = |text: &str| {
        let mut files = Files::default();
        let file = files.add("album.toml", text);
        let mut beside = |_: &str| Ok(supplies.as_bytes().to_vec());
        album::text::read(&mut files, file, &mut beside).ok()
    };
    let known =
        album(&format!("{head}leaf = []\n")).map_or_else(Supplies::default, |it| it.supplies);
    let fits = |text: &String| album(text).is_some_and(|it| expand(&style, &it).is_ok());
    // Where a thing has no place yet, the maker says what it needs.
    let empty = first(&style, &known, &head, false);
    let text = Some(first(&style, &known, &head, true)).filter(fits);
    write(dir, &text.unwrap_or(empty), supplies, None)
}

/// An album of a kind: its papers named, one kind of leaf if it has any, and a thing in it if one goes in.
fn first(style: &Style, known: &Supplies, head: &str, tucked: bool) -> String {
    let mut papers = known.papers.iter().map(|paper| paper.name.as_str());
    let (thin, card) = (
        papers.next().unwrap_or("any"),
        papers.next_back().unwrap_or("any"),
    );
    let papers = |names: Vec<&str>| {
        let usual = names.into_iter().filter(|name| style.is_usual(name));
        let lines = usual.map(|name| format!("{name} = {thin:?}"));
        lines.collect::<Vec<_>>()
    };
    let mut text = head.to_owned();
    let of_album = papers([style.papers_of_album(), style.laid_on_album()].concat());
    if !of_album.is_empty() {
        text.push_str(&format!("papers = {{ {} }}\n", of_album.join(", ")));
    }
    let (Some(_), Some(bag)) = (style.leaf_frame(), known.bags.first()) else {
        return text + "leaf = []\n";
    };
    text.push_str(&format!(
        "\n[[leaf]]\nname = \"first\"\nbag = {:?}\ncount = 4\n",
        bag.name
    ));
    for line in papers(style.papers_of_leaf()) {
        text.push_str(&format!("{line}\n"));
    }
    let open = style.slots().filter(|(_, slot)| slot.opens.is_some());
    let is_free = |name: &&str| style.on_leaf_called(name).is_none();
    let name = ["note", "slip", "insert_1"].into_iter().find(is_free);
    if let (true, Some((_, slot)), Some(name)) = (tucked, open.last(), name) {
        let section = slot.section.as_ref();
        let section = section.map_or(String::new(), |it| format!("section = {it:?}\n"));
        text.push_str(&format!(
            "[[leaf.insert]]\nname = {name:?}\nplace = {:?}\n{section}paper = {card:?}\n",
            slot.place
        ));
    }
    text
}

/// The way from a folder, which may not be there yet, to a file; with `/` between names.
fn way(dir: &Path, file: &Path) -> Option<String> {
    let beside = disk::parent(dir)
        .canonicalize()
        .ok()?
        .join(dir.file_name()?);
    let file = file.canonicalize().ok()?;
    let (from, to) = (beside.components(), file.components());
    let same = from
        .clone()
        .zip(to.clone())
        .take_while(|(a, b)| a == b)
        .count();
    let up = from.skip(same).map(|_| "..".into());
    let down = to.skip(same).map(|it| it.as_os_str().to_string_lossy());
    Some(up.chain(down).collect::<Vec<Cow<'_, str>>>().join("/"))
}
