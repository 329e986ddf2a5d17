//! `why --do`: a fix in the album's file, comments kept; the old file stays where that cannot be.

use super::*;
use std::fs;
use std::path::PathBuf;
use tempfile::TempDir;

/// A hole so near the edge that its rim tears, and a tag too wide for the pocket of another leaf.
const ALBUM: &str = r#"# For the club.
album = "Two leaves"
ruler = "1/8 in"

[template]
holes = 2
edge = "1/8 in"        # by eye

[[bag]]
name = "small"
size = "5 x 8 in"
gusset = "3 in"
pocket = { edge = "3 in", depth = "3 in" }

[[leaf]]
name = "page"
bag = "small"
"#;

const TAG: &str = r#"[[leaf.insert]]
name = "tag"
place = "pocket"
size = "6 x 4 in"      # cut already
"#;

fn folder(words: &str) -> (TempDir, PathBuf) {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("album.toml");
    fs::write(&path, words).expect("it is written");
    (folder, path)
}

fn why_do(path: &std::path::Path, rest: &[&str]) -> Output {
    let mut arguments = vec!["why", path.to_str().expect("a path")];
    arguments.extend(rest);
    run(&arguments)
}

/// The number that stands before a fix with these words.
fn number(told: &str, words: &str) -> String {
    let line = told.lines().find(|line| {
        let start = line.trim_start();
        start.starts_with(|c: char| c.is_ascii_digit()) && line.contains(words)
    });
    let line = line.unwrap_or_else(|| panic!("{words}\n{told}"));
    let number = line.trim_start().split(' ').next();
    number.expect("a number").to_owned()
}

#[test]
fn a_fix_is_written_and_the_rest_stays() {
    let (_folder, path) = folder(ALBUM);
    let (said, _) = told(&why_do(&path, &[]), 1);
    let farther = number(&said, "further");
    let (said, _) = told(&why_do(&path, &["--do", &farther]), 0);
    assert!(said.contains("it fits"), "{said}");
    let now = fs::read_to_string(&path).expect("it is there");
    let was = ALBUM.lines().zip(now.lines());
    let changed: Vec<_> = was.filter(|(a, b)| a != b).collect();
    assert_eq!(changed.len(), 1, "{now}");
    assert!(changed[0].1.ends_with("# by eye"), "{now}");
    done(&["fit", path.to_str().expect("a path")]);
    let (said, _) = told(&why_do(&path, &["--do", "1"]), 0);
    assert_eq!(said, "It fits: there is nothing to mend.\n");
    assert_eq!(fs::read_to_string(&path).expect("it is there"), now);
}

#[test]
fn less_of_a_rule_is_accepted_in_the_file() {
    let words = format!(
        "{}{TAG}",
        ALBUM.replace("edge = \"1/8 in\"", "edge = \"3/8 in\"")
    );
    // Its clearances are what there is to give.
    let words = words.replace("6 x 4 in", "4 1/4 x 4 in");
    let (_folder, path) = folder(&words);
    let (said, _) = told(&why_do(&path, &[]), 1);
    let accept = number(&said, "Accept");
    told(&why_do(&path, &["--do", &accept]), 0);
    let now = fs::read_to_string(&path).expect("it is there");
    assert!(
        now.starts_with(&words) && now.contains("[[accept]]"),
        "{now}"
    );
    let said = done(&["fit", path.to_str().expect("a path")]);
    assert!(said.contains("You accept"), "{said}");
    // A reason of one's own is repeated.
    fs::write(&path, format!("{now}why = \"tried on a scrap\"\n")).expect("it is written");
    let said = done(&["fit", path.to_str().expect("a path")]);
    assert!(said.contains("tried on a scrap"), "{said}");
}

#[test]
fn two_troubles_take_one_of_each() {
    let words = ALBUM.replace("edge = \"1/8 in\"", "ring = \"small ring\"");
    let ring = "[[ring]]\nname = \"small ring\"\ninside = \"1/2 in\"\nwire = \"1/16 in\"\n";
    let words = format!("{}\ncount = 12\n{TAG}\n{ring}", words.trim_end());
    let (_folder, path) = folder(&words);
    let (said, _) = told(&why_do(&path, &[]), 1);
    assert!(said.contains("List 2 of"), "{said}");
    let (_, error) = told(&why_do(&path, &["--do", "1"]), 2);
    let both = error.split('`').find(|word| word.starts_with("--do "));
    let both = both.unwrap_or_else(|| panic!("{error}"));
    let numbers = both.trim_start_matches("--do ");
    assert!(numbers.contains(','), "{error}");
    assert_eq!(fs::read_to_string(&path).expect("it is there"), words);
    told(&why_do(&path, &["--do", numbers]), 0);
    done(&["fit", path.to_str().expect("a path")]);
}

#[test]
fn what_cannot_be_done_leaves_the_file() {
    let (_folder, path) = folder(ALBUM);
    for wrong in ["0", "99", "x", "", "1,1", "-1"] {
        let (_, error) = told(&why_do(&path, &["--do", wrong]), 2);
        assert!(error.contains("--do"), "{wrong}: {error}");
    }
    let (_, error) = told(&why_do(&path, &["--do", "1", "--set", "ease=1/8 in"]), 2);
    assert!(error.contains("--set"), "{error}");
    refused(&["why", "--bag", "2 x 6 in", "--edge", "2 in", "--do", "1"]);
    assert_eq!(fs::read_to_string(&path).expect("it is there"), ALBUM);
}

/// A bag of the supplies is shared with other albums: the album gets its own.
#[test]
fn supplies_are_never_changed() {
    let bag = ALBUM.find("[[bag]]").expect("a bag");
    let leaf = ALBUM.find("[[leaf]]").expect("a leaf");
    let words = ALBUM.replace(&ALBUM[bag..leaf], "");
    let words = words.replace("ruler =", "supplies = [\"shelf.toml\"]\nruler =");
    let words = words.replace("1/8 in\"        #", "3/8 in\"        #");
    let (folder, path) = folder(&format!("{words}{TAG}"));
    let shelf = folder.path().join("shelf.toml");
    fs::write(&shelf, &ALBUM[bag..leaf]).expect("it is written");
    let (said, _) = told(&why_do(&path, &[]), 1);
    let larger = number(&said, "Take a bag at least");
    told(&why_do(&path, &["--do", &larger]), 0);
    let kept = fs::read_to_string(&shelf).expect("it is there");
    assert_eq!(kept, &ALBUM[bag..leaf]);
    done(&["fit", path.to_str().expect("a path")]);
}

#[test]
fn a_card_that_is_cut_keeps_its_remark() {
    let card = "[[card]]\nname = \"ticket\"\nsize = \"6 x 4 in\"\n";
    let tag = TAG.replace("size = \"6 x 4 in\"", "card = \"ticket\"");
    let words = ALBUM.replace("edge = \"1/8 in\"", "edge = \"3/8 in\"");
    let (_folder, path) = folder(&format!("{words}{tag}\n{card}"));
    let (said, _) = told(&why_do(&path, &[]), 1);
    let cut = number(&said, "Cut tag down");
    told(&why_do(&path, &["--do", &cut]), 0);
    let now = fs::read_to_string(&path).expect("it is there");
    assert!(!now.contains("card = \"ticket\""), "{now}");
    assert!(now.contains("# cut already"), "{now}");
    done(&["fit", path.to_str().expect("a path")]);
}

/// What mends all is named first; a ring that is not at home has no count and no price.
#[test]
fn a_larger_ring_is_written_without_what_is_not_known_of_it() {
    let words = ALBUM.replace("edge = \"1/8 in\"", "ring = \"small ring\"");
    let ring = "[[ring]]\nname = \"small ring\"\ninside = \"1/2 in\"\nwire = \"1/16 in\"\ncount = 12\nprice = \"0.30\"\n";
    let words = format!("{}\ncount = 12\n\n{ring}", words.trim_end());
    let (_folder, path) = folder(&words);
    let (said, _) = told(&why_do(&path, &[]), 1);
    let larger = number(&said, "Use rings of at least");
    let hint = said
        .split("`--do ")
        .nth(1)
        .and_then(|rest| rest.split('`').next());
    let hint = hint.unwrap_or_else(|| panic!("{said}")).to_owned();
    let (written, _) = told(&why_do(&path, &["--do", &hint]), 0);
    assert!(written.contains("it fits"), "{written}");
    fs::write(&path, &words).expect("it is written");
    told(&why_do(&path, &["--do", &larger]), 0);
    let now = fs::read_to_string(&path).expect("it is there");
    assert_eq!(now.matches("count = 12\nprice").count(), 1, "{now}");
    assert_eq!(now.matches("[[ring]]").count(), 2, "{now}");
}

#[test]
fn lines_end_as_they_did() {
    let words = ALBUM.replace('\n', "\r\n");
    let (_folder, path) = folder(&words);
    told(&why_do(&path, &["--do", "1"]), 0);
    let now = fs::read_to_string(&path).expect("it is there");
    assert_eq!(
        now.matches('\n').count(),
        now.matches("\r\n").count(),
        "{now}"
    );
    assert_eq!(now.lines().count(), words.lines().count());
}

const COVER: &str = r#"album = "Two boards"
style = "boards"
ruler = "1/8 in"
template = { edge = "1/4 in" }
papers = { wrap = "remnant", board = "grey board", belly = "any" }   # what is left
given = { "belly.width" = "11 in" }

[[leaf]]
name = "quay"
bag = "tall bag"

[[bag]]
name = "tall bag"
size = "5 1/4 x 10 5/8 in"
bottom = "pinch"

[[paper]]
name = "remnant"
size = "6 x 12 in"

[[paper]]
name = "cloth"
size = "18 x 24 in"

[[paper]]
name = "grey board"
size = "12 x 18 in"
caliper = "5/64 in"
"#;

#[test]
fn parts_of_the_album_are_made_larger_or_left_out() {
    let words = COVER.replace("remnant\", board", "cloth\", board");
    let (_folder, path) = folder(&words);
    let (said, _) = told(&why_do(&path, &[]), 1);
    let wider = number(&said, "Cut a belly band 11 7/8 in long");
    let out = number(
        &said,
        "Leave the belly out (`belly = \"none\"` in `papers`)",
    );
    told(&why_do(&path, &["--do", &wider]), 0);
    let now = fs::read_to_string(&path).expect("it is there");
    assert_eq!(now, words.replace("11 in", "11 7/8 in"));
    fs::write(&path, &words).expect("it is written");
    told(&why_do(&path, &["--do", &out]), 0);
    let now = fs::read_to_string(&path).expect("it is there");
    assert!(now.contains("belly = \"none\" }   # what is left"), "{now}");
}

#[test]
fn a_part_of_the_album_is_cut_from_other_paper() {
    let words = COVER.replace("given = { \"belly.width\" = \"11 in\" }\n", "");
    let (_folder, path) = folder(&words);
    let (said, _) = told(&why_do(&path, &[]), 1);
    // What everything else lies on stays.
    assert!(!said.contains("Leave the wrap out"), "{said}");
    let cloth = number(&said, "Cut wrap from `cloth` instead of `remnant`");
    told(&why_do(&path, &["--do", &cloth]), 0);
    let now = fs::read_to_string(&path).expect("it is there");
    assert_eq!(now, words.replace("wrap = \"remnant\"", "wrap = \"cloth\""));
}

/// Seventeen leaves with boards in them, on bags that are thin at the spine.
#[test]
fn covers_that_flare_are_offered_strips_at_the_spine() {
    let words = r#"album = "Fat album"
ruler = "1/8 in"

[[leaf]]
name = "leaf"
bag = "small bag"
count = 17
front_mat = "none"
pocket_mat = "none"
back_mat = "none"
stiffener = "grey board"

[[bag]]
name = "small bag"
size = "4 3/8 x 8 in"
gusset = "2 in"

[[paper]]
name = "card"
size = "12 x 12 in"
caliper = "0.014 in"

[[paper]]
name = "grey board"
size = "12 x 18 in"
caliper = "5/64 in"
"#;
    let (_folder, path) = folder(words);
    let fit = ["fit", path.to_str().expect("a path")];
    let said = done(&fit).replace("\n    ", " ");
    let offer = "give every leaf a spine strip of `card` (`spine_strip = \"card\"`).";
    assert!(said.contains(offer), "{said}");
    let strips = words.replace("stiffener", "spine_strip = \"card\"\nstiffener");
    fs::write(&path, strips).expect("it is written");
    let said = done(&fit);
    assert!(!said.contains("flare"), "{said}");
}

/// A card 1/8 in too wide for its slot, which its maker accepts: that is no fault of the style.
#[test]
fn what_is_accepted_is_not_told_as_a_fault() {
    let card = "[[leaf.insert]]\nname = \"recipe\"\nplace = \"mouth\"\nsize = \"4 1/2 x 6 in\"\n";
    let album = ALBUM.replace("1/8 in\"        # by eye", "1/4 in\"");
    let (_folder, path) = folder(&format!("{album}{card}"));
    let (said, _) = told(&why_do(&path, &[]), 1);
    let accept = number(&said, "Accept 1/8 in less at: a pull-out clears the holes");
    told(&why_do(&path, &["--do", &accept]), 0);
    let said = done(&["fit", path.to_str().expect("a path")]);
    assert!(said.contains("You accept 1/8 in less"), "{said}");
    assert!(!said.contains("is larger than"), "{said}");
}
