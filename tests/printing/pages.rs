//! What a maker gets: few pages, what must stand on the first, letters that are read at arm's length.

use crate::common::{read, upright};
use crate::{Cutting, PAPERS, SHIPPED, document, planned, shipped, uncut, with_parts};
use std::process::Command;
use tuckwright::album::Album;
use tuckwright::draw::handout::Part;
use tuckwright::draw::list::{Document, Page, Shape, Text};
use tuckwright::draw::paper::Paper;
use tuckwright::draw::{handout, svg};
use tuckwright::plan::phrase::Piece;

pub(crate) fn texts(page: &Page) -> impl Iterator<Item = &Text> {
    page.marks.iter().filter_map(|mark| match &mark.shape {
        Shape::Text(text) => Some(text),
        _ => None,
    })
}

fn words(page: &Page) -> String {
    let words: Vec<&str> = texts(page).map(|text| text.words.as_str()).collect();
    words.join(" ").replace(['\u{a0}', '\u{202f}'], " ")
}

pub(crate) fn all_words(document: &Document) -> String {
    let pages = document.pages.iter().map(words);
    pages.collect::<Vec<_>>().join("\n")
}

#[test]
fn seven_leaves_of_three_kinds_are_eight_pages() {
    for paper in PAPERS {
        let (_, document) = document(paper, &shipped("low-water"));
        assert!(
            document.pages.len() <= 8,
            "{paper:?}: {}",
            document.pages.len()
        );
    }
}

#[test]
fn one_bag_is_four_pages() {
    let folder = tempfile::tempdir().unwrap();
    for bag in [
        "5 1/8 x 3 1/8 x 10 5/8 in",
        "5 1/8 x 8 1/2 in",
        "180 x 240 mm",
        "13 x 6 x 21 cm",
        "9 x 13 in",
    ] {
        let mut program = Command::new(env!("CARGO_BIN_EXE_tuckwright"));
        let arguments = ["print", "--bag", bag, "-o", "a.pdf", "--force"];
        let done = program.current_dir(folder.path()).args(arguments).output();
        let said = String::from_utf8(done.unwrap().stdout).unwrap();
        let count = said.split(": ").nth(1).and_then(|it| it.split(' ').next());
        let count: usize = count.and_then(|it| it.parse().ok()).expect("pages");
        assert!(count <= 4, "{bag}: {said}");
    }
}

/// Below a heading stands more than the line of its first step, where that takes no page more.
#[test]
fn no_heading_is_left_alone() {
    let album = read(
        "album = \"one leaf\"\nstyle = \"upright\"\nruler = \"1/16 in\"\n[[leaf]]\nname = \"leaf\"\nbag = \"bag\"\n[[leaf.insert]]\nname = \"photo_mat\"\nplace = \"mouth\"\nsection = \"back\"\nphoto = true\n[[bag]]\nname = \"bag\"\nsize = \"4 7/8 x 9 3/4 in\"\ngusset = \"3 1/8 in\"\npocket = { edge = \"3 in\" }\n",
    );
    let plan = planned(&upright(), &album).expect("a plan");
    let document = uncut(Paper::Letter, &album, &plan);
    assert_eq!(document.pages.len(), 4);
    let pages = document.pages.iter().map(words);
    let below =
        pages.filter_map(|said| Some(said.split_once("Building it, step by step")?.1.to_owned()));
    let below: Vec<String> = below.collect();
    assert!(
        below.iter().all(|it| it.contains("1. Fold the leaves")),
        "{below:?}"
    );
    assert!(!below.is_empty());
}

/// Pages follow kinds of leaf and ways of cutting, not leaves.
#[test]
fn forty_leaves_are_twelve_pages() {
    let mut album = shipped("low-water");
    for (leaf, count) in album.leaves.iter_mut().zip([1, 29, 10]) {
        leaf.count = count;
    }
    album.supplies.rings.clear();
    for paper in &mut album.supplies.papers {
        paper.sheets = Some(200);
    }
    for card in album
        .supplies
        .prints
        .iter_mut()
        .chain(&mut album.supplies.cards)
    {
        card.count = Some(200);
    }
    for paper in PAPERS {
        let (plan, document) = document(paper, &album);
        let leaves: i64 = plan.leaves.iter().map(|leaf| leaf.count).sum();
        assert_eq!(leaves, 40);
        assert!(document.pages.len() <= 12, "{}", document.pages.len());
    }
}

/// The album, how large it is closed, what to watch with what to do, what to cut.
#[test]
fn the_first_page_holds_what_comes_first() {
    for name in SHIPPED {
        for paper in PAPERS {
            let (plan, document) = document(paper, &shipped(name));
            let first = &document.pages[0];
            let said = words(first);
            for wanted in ["What to watch", "What to cut", "Pieces", "Sheet"] {
                assert!(said.contains(wanted), "{name}: {wanted}\n{said}");
            }
            assert!(said.starts_with(&document.title), "{said}");
            for leaf in &plan.leaves {
                for part in &leaf.parts {
                    assert!(
                        said.contains(&part.label.replace('_', " ")),
                        "{}",
                        part.label
                    );
                }
            }
            let kept = |rule: &&tuckwright::plan::RuleLine| rule.wish && !rule.kept;
            for rule in plan.rules.iter().filter(kept) {
                let begins = rule.watch.as_ref().unwrap_or(&rule.because);
                let words = begins.0.iter().filter_map(|piece| match piece {
                    Piece::Words(words) => Some(words.split(' ')),
                    _ => None,
                });
                let mut words = words.flatten();
                let word = words.find(|it| it.len() > 4).expect("a word");
                assert!(said.contains(&word.replace('_', " ")), "{word}: {said}");
            }
            let high = tuckwright::draw::list::Role::Figure(String::new());
            let figures = first
                .tagged
                .iter()
                .filter(|it| std::mem::discriminant(&it.role) == std::mem::discriminant(&high));
            assert!(figures.count() >= 1, "a picture of the album");
        }
    }
    let (_, document) = document(Paper::Letter, &shipped("low-water"));
    let said = words(&document.pages[0]);
    // The pull-out that no hand can grip, and what is done about it.
    assert!(
        said.contains("photo mat can't be gripped: cut a thumb notch"),
        "{said}"
    );
    assert!(
        said.contains("10 5⁄8 in") && said.contains("6 1⁄4 in"),
        "{said}"
    );
}

/// 9 pt.
pub(crate) const NINE: i64 = 9 * 25_400_000 / 72;

/// 9 pt at least, however small the drawing; plain text 12 pt.
#[test]
fn no_letter_is_smaller_than_nine_points() {
    for name in SHIPPED {
        let (_, document) = document(Paper::A4, &shipped(name));
        for page in &document.pages {
            for text in texts(page) {
                assert!(
                    text.size.nm() >= NINE - 1_000,
                    "{}: {}",
                    text.words,
                    text.size
                );
            }
        }
        let plain = document.pages.iter().flat_map(texts);
        let plain = plain.filter(|text| text.words.contains("template at tail fold"));
        for text in plain {
            assert!(
                text.size.nm() >= 12 * 25_400_000 / 72 - 1_000,
                "{}",
                text.words
            );
        }
    }
}

/// It is measured from the tail, so it ends above its highest hole, and one strip serves tall leaves and
/// low ones.
#[test]
fn no_template_is_torn_between_its_holes() {
    for name in SHIPPED {
        for paper in PAPERS {
            let (_, document) = document(paper, &shipped(name));
            let templates = document.pages.iter();
            let templates = templates.filter(|page| page.title.starts_with("Template"));
            assert_eq!(templates.count(), 1, "{name}");
        }
    }
}

#[test]
fn the_map_names_the_papers() {
    for name in SHIPPED {
        let (_, document) = document(Paper::A4, &shipped(name));
        let map = document.pages.iter().map(words);
        let map = map.filter(|said| said.contains("Back of the album"));
        let said = map.collect::<Vec<_>>().join(" ");
        let album = shipped(name);
        for paper in &album.supplies.papers {
            assert!(said.contains(&paper.name), "{name}: {}", paper.name);
        }
        assert!(
            said.contains("Front cover") && said.contains("bag"),
            "{said}"
        );
    }
}

/// Heights from the tail, each with its name; the glue; what things are taken hold of by.
#[test]
fn a_leaf_shows_what_a_hand_needs() {
    let (plan, document) = document(Paper::Letter, &shipped("low-water"));
    let said = all_words(&document);
    for wanted in [
        // The band above the tail, and what stands under it.
        "1 1⁄16 foot of band",
        "8 finds",
        "3 1⁄8 pocket",
        "Even at both sides: front mat",
    ] {
        let lines = said.replace('\n', " ");
        let found = wanted.split(' ').all(|word| lines.contains(word));
        assert!(found, "{wanted}");
    }
    let ledger = &plan.frames[2];
    let glued = |name: &str| ledger.part(name).expect(name).glued.len();
    assert_eq!((glued("band"), glued("flap")), (2, 2));
    let names: Vec<&str> = document
        .pages
        .iter()
        .flat_map(|page| &page.marks)
        .map(|mark| mark.name.as_str())
        .collect();
    for grip in ["ledger: finds, grip", "shore: species_tag, grip"] {
        assert!(names.contains(&grip), "{grip}");
    }
}

#[test]
fn parts_are_chosen() {
    let album = shipped("low-water");
    let titles = |parts: &[Part]| -> Vec<String> {
        let (_, document) = with_parts(Paper::Letter, &album, Some(parts));
        document.pages.into_iter().map(|page| page.title).collect()
    };
    let rules = titles(&[Part::Rules]);
    assert!(
        rules.iter().all(|it| it.starts_with("The rules")),
        "{rules:?}"
    );
    let outlines = titles(&[Part::Outlines]);
    assert!(outlines.len() > 3, "{outlines:?}");
    let template = titles(&[Part::Template]);
    assert_eq!(template.len(), 1, "{template:?}");
    // Neither is in the usual printout: all its pieces are plain rectangles.
    let (_, usual) = document(Paper::Letter, &album);
    let said = all_words(&usual);
    assert!(!said.contains("Outline") && !said.contains("Steps left"));
    let all: Vec<Part> = handout::PARTS.iter().map(|(_, part)| *part).collect();
    assert!(titles(&all).len() > usual.pages.len() + 5);
}

#[test]
fn a_part_that_is_not_there_is_named() {
    let mut program = Command::new(env!("CARGO_BIN_EXE_tuckwright"));
    let arguments = [
        "print", "--bag", "5 x 8 in", "--pages", "leafs", "-o", "a.pdf",
    ];
    let done = program.args(arguments).output().unwrap();
    assert_eq!(done.status.code(), Some(2));
    let said = String::from_utf8(done.stderr).unwrap();
    assert!(
        said.contains("`--pages leafs`") && said.contains("`leaves`"),
        "{said}"
    );
}

/// A typed bag is in no file, so nothing asks for a line to be written into one.
#[test]
fn only_an_album_in_a_file_is_written_to() {
    let album: Album = shipped("low-water");
    assert!(album.is_written());
    let (_, document) = document(Paper::Letter, &album);
    assert!(all_words(&document).contains("write what you measured into the album"));
    let folder = tempfile::tempdir().unwrap();
    let mut program = Command::new(env!("CARGO_BIN_EXE_tuckwright"));
    let arguments = ["print", "--bag", "5 x 8 in", "--svg", "s"];
    let done = program.current_dir(folder.path()).args(arguments).output();
    assert_eq!(done.unwrap().status.code(), Some(0));
    for page in std::fs::read_dir(folder.path().join("s")).unwrap() {
        let page = std::fs::read_to_string(page.unwrap().path()).unwrap();
        assert!(!page.contains("the album, under"), "{page}");
    }
}

/// Every page says in words what is on it.
#[test]
fn pages_have_titles() {
    let album = shipped("hut-book");
    let plan = planned(&crate::common::upright(), &album).unwrap();
    let _ = Cutting::of(&album, &plan);
    let document = uncut(Paper::A4, &album, &plan);
    for page in &document.pages {
        let drawn = svg::file(page);
        assert!(!drawn.contains("<title></title>"), "{}", page.title);
        assert!(!drawn.contains("<desc></desc>"), "{}", page.title);
    }
}
