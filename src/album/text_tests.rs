//! Albums that are read, and what becomes of them.

use super::*;
use crate::album::{Grip, PartPaper};
use crate::length::{Length, parse_interval};
use crate::supplies::Bottom;

fn album_with(text: &str, mut load: impl FnMut(&str) -> Option<String>) -> Result<Album, String> {
    let mut files = Files::default();
    let file = files.add("album.toml", text);
    let mut load = |path: &str| {
        let text = load(path).ok_or_else(|| "there is no such file".to_owned())?;
        Ok(text.into_bytes())
    };
    read(&mut files, file, &mut load)
        .map_err(|faults| text::render(&files, &faults, text::Look::Plain))
}

#[track_caller]
fn album(text: &str) -> Album {
    match album_with(text, |_| None) {
        Ok(album) => album,
        Err(message) => panic!("{message}"),
    }
}

fn length(text: &str) -> Interval {
    parse_interval(text).expect("a length")
}

const LEAST: &str = r#"
album = "Low water"
ruler = "1/8 in"
[[leaf]]
name = "shore"
bag = "small brown"
[[bag]]
name = "small brown"
size = "5 1/4 x 7 5/8 in ± 1/16 in"
"#;

#[test]
fn everything_but_the_least_has_a_default() {
    let album = album(LEAST);
    assert_eq!(album.title, "Low water");
    assert_eq!(album.style.value, StyleName::Shipped("upright".to_owned()));
    assert_eq!(album.ruler.step(), Length::from_nm(3_175_000));
    assert_eq!(album.template, Template::default());
    let bag = &album.supplies.bags[0];
    assert_eq!((bag.bottom, bag.gusset), (Bottom::Block, None));
    assert_eq!(bag.width, length("5 1/4 in ± 1/16 in"));
    let leaf = &album.leaves[0];
    assert_eq!((leaf.bag, leaf.count, leaf.turned), (0, 1, false));
    assert_eq!(leaf.parts, []);
}

const MOST: &str = r#"
album = "Low water, four Saturdays"
style = "styles/mine.toml"
ruler = "1 mm"
supplies = ["shared/bags.toml"]
prefer = ["largest photo_mat.photo"]

[template]
pattern = "iso 838"
holes = 2
diameter = "6 mm"
first = "30 mm"
eyelet = "3/8 in"
punch = "hand punch"
ring = "one inch ring"

[set]
caption_strip = "3/4 in"
share = "65 %"
ends = "1/6"

[[leaf]]
name = "shore"
bag = "small brown"
count = 4
turned = true
front_mat = "wave print"
pocket_mat = "none"
band = "any"
papers = { spine_strip = "wave print" }
given = { front_mat.width = "4 in" }
measured = { "leaf.width" = "4 3/8 in ± 1/32 in" }

[[leaf.insert]]
name = "photo_mat"
place = "mouth"
paper = "wave print"
photo = { shape = "6:4", print = "postcard" }

[[leaf.insert]]
name = "tag"
place = "pocket"
size = "2 x 3 3/4 in"
show = "0 in"
grip = "string"
count = 2
photo = false

[[leaf.insert]]
name = "ledger_card"
place = "mouth"
section = "back"
card = "index card"
photo = true

[[paper]]
name = "wave print"
size = "12 x 12 in"
weight = "65 lb cover"
directed = true
price = 1.2

[[print]]
name = "square"
size = "4 x 4 in"
[[print]]
name = "postcard"
size = "4 x 6 in"

[[card]]
name = "index card"
size = "3 x 5 in"

[[ring]]
name = "one inch ring"
inside = "1 in"

[[punch]]
name = "hand punch"
"#;

const BAGS: &str = r#"
[[bag]]
name = "small brown"
size = "5 1/4 x 7 5/8 in"
gusset = "3 in"
pocket = { edge = "3 in", why = "slit and glued again" }
"#;

#[test]
fn everything_that_can_be_said_is_read() {
    let loaded = |path: &str| (path == "shared/bags.toml").then(|| BAGS.to_owned());
    let album = match album_with(MOST, loaded) {
        Ok(album) => album,
        Err(message) => panic!("{message}"),
    };
    assert_eq!(
        album.style.value,
        StyleName::File("styles/mine.toml".to_owned())
    );
    let template = &album.template;
    assert_eq!(template.holes, Some(2));
    assert_eq!(template.pitch, Some(length("80 mm")));
    assert_eq!(template.edge, Some(length("12 mm")));
    assert_eq!(template.first, Some(length("30 mm")));
    assert_eq!((template.punch, &template.offsets), (Some(0), &None));
    assert_eq!(album.ring.map(|ring| ring.value), Some(0));
    let set: Vec<_> = album.set.iter().map(|(_, said)| said.value).collect();
    let strip = Value::Length(length("3/4 in"));
    assert_eq!(set, [strip, Value::Ratio(13, 20), Value::Ratio(1, 6)]);
    let leaf = &album.leaves[0];
    assert_eq!((leaf.count, leaf.turned), (4, true));
    assert_eq!(leaf.parts[1].1, PartPaper::None);
    let strip = ("spine_strip".to_owned(), PartPaper::Papers(vec![0]));
    assert_eq!(leaf.parts[3], strip);
    assert_eq!(leaf.given[0].0.value, "front_mat.width");
    assert_eq!(leaf.measured[0].1, length("4 3/8 in ± 1/32 in"));
    let [photo_mat, tag, ledger] = leaf.inserts.as_slice() else {
        panic!("{:?}", leaf.inserts);
    };
    // Which slot that means is for the bag that it is tried with.
    assert_eq!(photo_mat.section, None);
    let photo = photo_mat.photo.as_ref().expect("a photo");
    assert_eq!((photo.shape, &photo.prints), (Some((3, 2)), &vec![1]));
    assert_eq!((tag.goes.value.as_str(), &tag.section), ("pocket", &None));
    assert_eq!((tag.grip, tag.count), (Grip::String, 2));
    assert_eq!(
        tag.height.as_ref().map(|h| h.value),
        Some(length("3 3/4 in"))
    );
    assert_eq!(tag.photo, None);
    assert_eq!(
        ledger.section.as_ref().map(|s| s.value.as_str()),
        Some("back")
    );
    assert_eq!(ledger.card, Some(0));
    let photo = ledger.photo.as_ref().expect("a photo");
    assert_eq!((photo.shape, &photo.prints), (None, &vec![0, 1]));
    let paper = &album.supplies.papers[0];
    assert!(paper.from_weight && paper.bulk_assumed && paper.directed);
    assert_eq!(paper.price.map(|money| money.0), Some(120));
    assert_eq!(album.supplies.bags[0].bottom, Bottom::Block);
}

#[test]
fn a_pattern_may_have_unequal_spacings() {
    let text = LEAST.replace(
        "[[leaf]]",
        "[template]\npattern = \"Swedish four-hole\"\n[[leaf]]",
    );
    let template = album(&text).template;
    let offsets = template.offsets.expect("offsets");
    assert_eq!((offsets.len(), template.holes), (4, Some(4)));
    assert_eq!(template.pitch, None);
}

#[test]
fn what_a_file_that_was_not_read_may_hold_is_not_missed() {
    let text = LEAST.replace("[[leaf]]", "supplies = [\"no.toml\"]\n[[leaf]]");
    let text = text.replace("bag = \"small brown\"", "bag = \"tall white\"");
    let message = album_with(&text, |_| None).expect_err("a missing file");
    assert!(message.contains("there is no such file"), "{message}");
    assert!(!message.contains("tall white"), "{message}");
}

#[test]
fn a_broken_bag_is_not_told_to_be_missing() {
    let text = LEAST.replace("5 1/4 x 7 5/8 in ± 1/16 in", "5 1/4 in");
    let message = album_with(&text, |_| None).expect_err("one side only");
    assert!(message.contains("width x height"), "{message}");
    // Two would be counted.
    assert!(!message.contains("problems"), "{message}");
}

/// A cheap stand-in for chance: the same bytes every time.
fn next(seed: &mut u64) -> usize {
    *seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
    (*seed >> 33) as usize
}

#[test]
fn no_change_of_a_sound_album_makes_it_panic() {
    let signs = [
        "\"", "'", "[", "]", "{", "}", "=", "\n", ".", "#", "\\", "±", "⅜", "\0", "\u{202e}", "-",
        "9", "x", " ", "\"\"\"", "0/0", "1e99 in", "\u{feff}", "\r",
    ];
    let mut seed = 7;
    for _ in 0..3_000 {
        let mut text: Vec<char> = MOST.chars().collect();
        for _ in 0..=next(&mut seed) % 3 {
            let at = next(&mut seed) % text.len();
            match next(&mut seed) % 3 {
                0 => {
                    text.remove(at);
                }
                1 => {
                    let end = (at + next(&mut seed) % 40).min(text.len());
                    text.drain(at..end);
                }
                _ => {
                    let sign = signs[next(&mut seed) % signs.len()];
                    text.splice(at..at, sign.chars());
                }
            }
        }
        let text: String = text.into_iter().collect();
        if let Err(message) = album_with(&text, |_| Some(BAGS.to_owned())) {
            assert!(message.contains("album.toml"), "{text}");
        }
    }
}

#[test]
fn many_unknown_names_are_told_soon() {
    let leaves: String = (0..15_000)
        .map(|n| format!("[[leaf]]\nname = \"leaf {n}\"\nbag = \"bag {n}\"\n"))
        .collect();
    let bags: String = (0..15_000)
        .map(|n| format!("[[bag]]\nname = \"a bag {n}\"\nsize = \"5 x 7 in\"\n"))
        .collect();
    let text = format!("album = \"a\"\nruler = \"1 mm\"\n{leaves}{bags}");
    let start = std::time::Instant::now();
    album_with(&text, |_| None).expect_err("unknown bags");
    assert!(start.elapsed().as_secs() < 20, "{:?}", start.elapsed());
}

#[test]
fn large_files_with_many_slips_are_told_soon() {
    for line in [
        "a\n",
        "a ",
        "a = \n",
        "[[bag]]\n",
        "bag = 1\n",
        "\"\n",
        "[a]\n",
        "a = [",
        "x.y = 1\n",
    ] {
        let text = line.repeat(text::MOST_BYTES / line.len());
        let start = std::time::Instant::now();
        album_with(&text, |_| None).expect_err("slips");
        let took = start.elapsed();
        assert!(took.as_secs() < 20, "{line:?} took {took:?}");
    }
}
