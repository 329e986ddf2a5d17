//! Someone who has only the pages: every cut, fold, glue line, hole and tool is on them.

use crate::pages::all_words;
use crate::{common, document, planned, shipped, with_parts};
use tuckwright::album::Album;
use tuckwright::draw::handout::Part;
use tuckwright::draw::list::{Document, Page, Shape};
use tuckwright::draw::paper::Paper;
use tuckwright::draw::{profile, view};
use tuckwright::length::Interval;

fn printed(album: &Album) -> (Document, String) {
    let (_, document) = document(Paper::Letter, album);
    let words = all_words(&document);
    (
        document,
        words.split_whitespace().collect::<Vec<_>>().join(" "),
    )
}

fn low_water() -> (Document, String) {
    printed(&shipped("low-water"))
}

fn says(words: &str, all: &[&str]) {
    for said in all {
        assert!(words.contains(said), "{said}\n{words}");
    }
}

fn drawn(document: &Document, name: &str) -> bool {
    let mut marks = document.pages.iter().flat_map(|page| &page.marks);
    marks.any(|mark| mark.name == name)
}

#[test]
fn a_slit_flap_has_its_cut_and_its_glue() {
    let (document, words) = low_water();
    says(
        &words,
        &[
            "slit the crease behind the flap, 1½ in above the tail, from side to side (5¼ in)",
            "Glue the strip that hangs from the flap, 1½ in high, to the flap",
            "glue the flap along the tail, ¼ in high",
        ],
    );
    assert!(drawn(&document, "shore: slit"));
    // A flap that is only turned up is not slit.
    assert!(!drawn(&document, "ledger: slit"));
}

#[test]
fn layers_that_are_punched_one_by_one_are_not_glued_first() {
    let (_, words) = low_water();
    let dry = "at the spine edge, glue only when the holes are punched";
    says(
        &words,
        &[
            dry,
            "The holes punched, glue the pocket at the spine edge, ⅛ in wide.",
        ],
    );
    let mut album = shipped("low-water");
    for punch in &mut album.supplies.punches {
        punch.takes = Some(Interval::exact(tuckwright::length::Length::INCH));
    }
    assert!(!printed(&album).1.contains(dry));
}

#[test]
fn a_mat_wider_than_the_way_behind_the_pocket_goes_in_before_the_glue() {
    let (_, words) = low_water();
    says(
        &words,
        &[
            "Every leaf: leave their uppermost 7⁄16 in dry until the front mat is in.",
            "1⁄16 in of bag above it. Now glue the pocket's sides there.",
        ],
    );
}

#[test]
fn what_the_steps_use_is_on_the_table() {
    let (_, words) = low_water();
    let table = words.split("How to cut").next().unwrap_or_default();
    let tools = [
        "Clips",
        "Strong paper for the stops",
        "Small punch for holes of ⅛ in",
    ];
    says(table, &tools);
    // No stop, tab or string in the other.
    let (_, other) = printed(&shipped("hut-book"));
    for tool in &tools[1..] {
        let bare = tool.split(" of ").next().unwrap_or_default();
        assert!(!other.contains(bare), "{tool}");
    }
}

#[test]
fn every_measure_has_a_line_and_no_other_is_asked_for() {
    let (_, words) = low_water();
    says(&words, &["thickness of a photo print (assumed) 0.0095 in"]);
    // Each of its papers has a thickness of its own.
    assert!(!words.contains("hickness of decorative paper"));
}

#[test]
fn even_all_round_is_said_only_where_it_is() {
    let (_, words) = low_water();
    let ledger = words.split("Ledger: pocket mat").nth(1);
    let ledger = ledger.and_then(|it| it.split("press until dry").next());
    let ledger = ledger.unwrap_or_default();
    says(
        ledger,
        &["on the pocket, even at both sides, and above and below"],
    );
    assert!(!ledger.contains("even all round"));
    says(&words, &["pocket mat on the pocket, even all round"]);
}

#[test]
fn sheets_are_tried_one_by_one() {
    let (_, words) = low_water();
    says(
        &words,
        &["Cut sheet 1 and lay its pieces on their leaves as drawn"],
    );
    assert!(!words.contains("one of each size from the list first"));
}

/// What is to watch has its place among the steps.
#[test]
fn what_cannot_be_gripped_gets_its_notch_or_its_tab() {
    let (_, words) = low_water();
    let steps = words.split("Building it").nth(1).unwrap_or_default();
    says(
        steps,
        &[
            "Shore, photo mat: to take it out, cut a thumb notch of radius ⅜ in into the middle of the mouth, through the layer in front of it only, or glue a leftover strip, ¾ in by 1 in, to its upper end.",
        ],
    );
}

/// Both sides of the leaves of low-water as the printout draws them.
fn sides() -> Vec<Page> {
    let plan = planned(&common::upright(), &shipped("low-water")).unwrap();
    let frames = plan.frames.iter();
    let sides = frames.flat_map(|it| view::Sides::new(&plan, it, 180_000_000).at(72_000_000));
    sides.collect()
}

fn side(title: &str) -> Page {
    let mut sides = sides().into_iter();
    sides.find(|page| page.title == title).expect("a side")
}

fn area(page: &Page, name: &str) -> tuckwright::draw::area::Area {
    let named = page.marks.iter().filter(|mark| mark.name == name);
    let areas = named.map(|mark| mark.shape.area());
    areas.reduce(|a, b| a.with(b)).expect("it is drawn")
}

#[test]
fn every_side_names_its_spine_edge() {
    for page in sides() {
        let mut texts = crate::pages::texts(&page);
        assert!(texts.any(|it| it.words == "spine edge"), "{}", page.title);
    }
}

#[test]
fn no_name_lies_on_another_thing_or_wipes_out_an_edge() {
    let ledger = side("Ledger, pocket side");
    let band = area(&ledger, "ledger: band");
    for text in crate::pages::texts(&ledger).filter(|it| it.words.starts_with("pocket mat")) {
        let beside = text.area().left > band.right;
        assert!(beside || !text.area().meets(band), "{}", text.words);
    }
    let shore = side("Shore, pocket side");
    let edge = area(&shore, "shore: flap").top;
    let grounds = shore.marks.iter().filter(|mark| match &mark.shape {
        Shape::Text(text) => text.words.contains("tag") || text.words.contains("2 × 4"),
        _ => false,
    });
    for text in grounds.map(|mark| mark.shape.area()) {
        let beside = text.left > area(&shore, "shore: flap").right;
        assert!(beside || text.bottom < edge || edge < text.top);
    }
}

/// A strip of glue 1 mm wide is seen as one, not as a few dots.
#[test]
fn narrow_glue_is_hatched_closely() {
    let shore = side("Shore, pocket side");
    let flap = area(&shore, "shore: flap");
    let strip = |mark: &&tuckwright::draw::list::Mark| {
        let it = mark.shape.area();
        let slanting = it.width() > 0 && it.width() == it.height();
        let near = flap.left <= it.left && it.right <= flap.left + 1_200_000;
        mark.name.is_empty() && slanting && near && it.top >= flap.top
    };
    let lines = shore.marks.iter().filter(strip).count();
    // The pocket is 25 mm high here.
    assert!(lines > 25, "{lines} lines");
}

#[test]
fn every_piece_on_a_sheet_has_its_name() {
    let (_, document) = with_parts(Paper::Letter, &shipped("low-water"), Some(&[Part::Sheets]));
    let words = all_words(&document);
    for name in [
        "ledger band",
        "cover title",
        "species tag",
        "finds",
        "pocket mat",
    ] {
        let last = name.split(' ').next_back().unwrap_or(name);
        assert!(words.contains(last), "{name}\n{words}");
    }
    // No word is torn, and no size.
    let torn = crate::pages::all_words(&document);
    for part in ["cover/shor ", " e back mat", "⅞ in 5⅛ × 2 "] {
        assert!(!torn.contains(part), "{part}");
    }
}

#[test]
fn a_leaf_cut_open_says_where_all_ends() {
    let plan = planned(&common::upright(), &shipped("low-water")).unwrap();
    let open = profile::figures(&plan, 50_000_000);
    let ledger = open.iter().find(|page| page.title.starts_with("Ledger"));
    let ledger = ledger.expect("it is cut open");
    assert!(ledger.about.contains("0 foot of finds"), "{}", ledger.about);
}
