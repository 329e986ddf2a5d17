//! A style of two papers and one slot on its side is told in its own words, and in no others.

use super::{done, refused};

const ALBUM: &str = "tests/cli/sleeves/album.toml";

/// What this kind of album does not have.
const FOREIGN: [&str; 18] = [
    "hole",
    "ring",
    "punch",
    "template",
    "spine",
    "pocket",
    "mouth",
    "tail",
    "head",
    "band",
    "gusset",
    "flap",
    "mat ",
    "photo",
    "outer edge",
    "eyelet",
    "string",
    "opens flat",
];

#[track_caller]
fn has_only_its_own(text: &str) {
    let lower = text.to_lowercase();
    for word in FOREIGN {
        let at = lower.match_indices(word).find(|(at, _)| {
            // Not inside another word: `string` is no ring.
            !lower[..*at].ends_with(|c: char| c.is_alphabetic())
        });
        if let Some((at, _)) = at {
            let line = text[..at].lines().count().max(1) - 1;
            panic!("{word}: {:?}", text.lines().nth(line));
        }
    }
}

#[test]
fn a_fit_says_what_a_style_has() {
    has_only_its_own(&done(&["price", ALBUM]));
    for arguments in [&["fit", ALBUM][..], &["fit", ALBUM, "--all"]] {
        let text = done(arguments);
        for said in [
            "North: 3 folders of folder, 150 x 110 mm",
            "Day pass: sleeve; shows 13 mm beyond the open side.",
            "Stack of 3 folders: ",
        ] {
            assert!(text.contains(said), "{said}\n{text}");
        }
        has_only_its_own(&text);
    }
    let all = done(&["fit", ALBUM, "--all"]);
    let beside = "Bag seen beside: label 12 mm at each side, 12 mm above and below;";
    assert!(all.contains(beside), "{all}");
}

#[test]
fn a_printout_says_what_a_style_has() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("out.html");
    done(&["print", ALBUM, "--html", file.to_str().expect("a name")]);
    let html = std::fs::read_to_string(file).expect("a file");
    let body = html.split("<body>").nth(1).expect("a body");
    // Texts, without the drawings.
    let mut text = String::new();
    for piece in body.split("<svg") {
        let piece = piece.split("</svg>").last().unwrap_or("");
        let words = piece
            .split('<')
            .map(|it| it.split_once('>').map_or("", |(_, it)| it));
        text.push_str(
            &words
                .filter(|it| !it.is_empty())
                .collect::<Vec<_>>()
                .join("\n"),
        );
    }
    let text = text.replace('\u{a0}', " ");
    for said in [
        "1. Dress the folders",
        "Label in the middle of the face, then lining on the reverse.",
        "Day pass slides in through the open side.",
        "Check: a label 126 mm wide lies 12 mm from every edge.",
    ] {
        assert!(text.contains(said), "{said}\n{text}");
    }
    // What is drawn says so in words.
    for said in [
        "North, face; label; sleeve: day pass.",
        "North, reverse; lining.",
    ] {
        assert!(html.contains(said), "{said}");
    }
    assert!(
        !text.contains("2. ") && !text.contains("Number them"),
        "{text}"
    );
    has_only_its_own(&text);
}

#[test]
fn a_program_reads_its_slots() {
    let answer = super::json(&["fit", ALBUM, "--json"]);
    let leaf = &answer["leaves"][0];
    let slot = &leaf["slots"][0];
    assert_eq!(slot["title"], "sleeve");
    assert_eq!(slot["opens"], "right");
    assert_eq!(slot["depth"]["text"], "147 mm");
    assert_eq!(slot["inserts"][0], "day_pass");
    assert_eq!(leaf["inserts"][0]["shows"]["text"], "13 mm");
    assert_eq!(answer["closed"], serde_json::Value::Null);
    assert_eq!(leaf["punched_at"], serde_json::Value::Null);
}

/// A piece that no rule keeps on its leaf is as large as may be: no page is printed of it.
#[test]
fn a_piece_that_nothing_limits_is_not_printed() {
    let folder = tempfile::tempdir().expect("a folder");
    let style = "style = \"mine\"\ntitle = \"With a slip\"\ninclude = [\"upright\"]\n\
        [[unknown]]\nname = \"slip.width\"\nfor = [\"leaf in leaves\"]\nprefer = \"large\"\nwhy = \"cut size\"\n\
        [[unknown]]\nname = \"slip.height\"\nfor = [\"leaf in leaves\"]\nprefer = \"large\"\nwhy = \"cut size\"\n\
        [[part]]\nname = \"leaf\"\non = [{ name = \"slip\" }]\n";
    let album = "album = \"A\"\nstyle = \"mine.toml\"\nruler = \"1/8 in\"\n\
        bag = [{ name = \"b\", size = \"5 x 8 in\", bottom = \"pinch\" }]\n\
        leaf = [{ name = \"day\", bag = \"b\", slip = \"any\" }]\n";
    std::fs::write(folder.path().join("mine.toml"), style).expect("written");
    let path = folder.path().join("album.toml");
    std::fs::write(&path, album).expect("written");
    let pdf = folder.path().join("a.pdf");
    let error = refused(&[
        "print",
        path.to_str().expect("a path"),
        "-o",
        pdf.to_str().expect("a path"),
    ]);
    assert!(
        error.contains("Nothing limits") && error.contains("slip"),
        "{error}"
    );
    assert!(!pdf.exists());
}
