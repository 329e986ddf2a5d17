//! What a student takes home: one leaf on one page or two, or three if much goes into it, whatever kind of album it is
//! of.

use crate::common::style;
use crate::layout::faults;
use crate::pages::{NINE, all_words, texts};
use crate::{PAPERS, shipped};
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::process::Command;
use tuckwright::Outcome;
use tuckwright::album::Album;
use tuckwright::draw::handout::{self, Ask, HOME};
use tuckwright::draw::list::Document;
use tuckwright::draw::look;
use tuckwright::draw::paper::Paper;
use tuckwright::plan::{self, Parts, Plan};
use tuckwright::solve::Limits;
use tuckwright::style::shipped as kinds;

/// The names of all albums that are shipped, and of their kinds.
fn albums() -> Vec<(String, String)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("models/albums");
    let files = fs::read_dir(folder).unwrap().map(|it| it.unwrap().path());
    let each = files.map(|path| {
        let words = fs::read_to_string(&path).unwrap();
        let kind = words.lines().find_map(|it| it.strip_prefix("style = "));
        let kind = kind.map_or("upright", |it| it.trim_matches('"'));
        let name = path.file_stem().unwrap().to_str().unwrap().to_owned();
        (name, kind.to_owned())
    });
    each.collect()
}

fn taken_home(paper: Paper, kind: &str, album: &Album, leaf: usize) -> (Plan, Document) {
    let style = style(kinds::shipped(kind).expect("it is shipped"));
    let worked = tuckwright::work(&style, album, &Limits::default())
        .ok()
        .unwrap();
    let parts = Parts {
        style: &style,
        album,
        expanded: &worked.expanded,
        solution: &worked.solution,
    };
    let Outcome::Fits(whole) = &worked.outcome else {
        panic!("it fits");
    };
    let (album, plan) = plan::alone(parts, whole, leaf).unwrap();
    let ask = Ask {
        album: &album,
        plan: &plan,
        answer: None,
        parts: Some(&HOME),
    };
    let document = handout::document(paper, &ask);
    (plan, document)
}

#[test]
fn each_leaf_of_each_kind_goes_home_on_two_pages_or_three() {
    let (mut seen, mut long) = (BTreeSet::new(), 0);
    for (name, kind) in albums() {
        let album = shipped(&name);
        for (n, leaf) in album.leaves.iter().enumerate() {
            for paper in PAPERS {
                let (plan, document) = taken_home(paper, &kind, &album, n);
                let of = format!("{name}, {}, {paper:?}", leaf.name);
                let faults = faults(&of, &document);
                assert!(faults.is_empty(), "{}", faults.join("\n"));
                let count = document.pages.len();
                assert!((1..=3).contains(&count), "{of}: {count}");
                long += usize::from(count > 2);
                let said = all_words(&document);
                let small = document.pages.iter().flat_map(texts);
                let small: Vec<_> = small.filter(|it| it.size.nm() < NINE - 1_000).collect();
                assert!(small.is_empty(), "{of}: {small:?}");
                for words in ["You make one ", "Your pieces"] {
                    assert!(said.contains(words), "{of}: {words}\n{said}");
                }
                let template = said.contains("Template at true scale") && said.contains("100 mm");
                let mut marks = plan.frames[0].marks.iter();
                assert_eq!(template, marks.any(|it| it.diameter.is_some()), "{of}");
                // Everything that is cut for it, and nothing of what the album has beside it.
                let here = &plan.leaves[0];
                assert_eq!((plan.leaves.len(), here.count), (1, 1), "{of}");
                assert_eq!(here.name, leaf.name);
                let pieces = here.parts.iter().map(|it| &it.label);
                for piece in pieces.chain(here.inserts.iter().map(|it| &it.name)) {
                    assert!(said.contains(&piece.replace('_', " ")), "{of}: {piece}");
                }
                assert!(plan.parts.is_empty() && plan.frames.len() == 1, "{of}");
            }
        }
        seen.insert(kind);
    }
    let shipped = kinds::SHIPPED.iter().map(|(kind, _)| (*kind).to_owned());
    assert_eq!(seen, shipped.collect(), "a kind has no album");
    assert!(long <= 4, "{long} leaves are three pages");
}

/// Sizes are those of the album, though only one leaf is made; no other leaf is spoken of.
#[test]
fn a_leaf_alone_is_the_leaf_of_the_album() {
    let album = shipped("low-water");
    let whole = crate::planned(&crate::common::upright(), &album).unwrap();
    for (n, leaf) in whole.leaves.iter().enumerate() {
        let (plan, document) = taken_home(Paper::Letter, "upright", &album, n);
        let alone = &plan.leaves[0];
        assert_eq!(alone.parts, leaf.parts);
        assert_eq!(alone.inserts, leaf.inserts);
        assert_eq!(alone.thickness_at_holes, leaf.thickness_at_holes);
        assert_eq!(plan.holes, whole.holes);
        assert_eq!(plan.frames[0].parts, whole.frames[n].parts);
        let said = all_words(&document);
        for other in whole.leaves.iter().filter(|it| it.name != leaf.name) {
            let mut words = said.split(|it: char| !it.is_alphanumeric());
            assert!(!words.any(|it| it == other.name), "{}: {said}", other.name);
        }
        for words in ["Bind", " ring", "Measure a finished", "cut the sheets"] {
            assert!(!said.contains(words), "{words}: {said}");
        }
    }
}

/// One fill for one paper in everything that is printed of an album: a leaf that names its papers in another order
/// is drawn like the whole.
#[test]
fn a_paper_looks_alike_in_all_prints() {
    for (name, kind) in albums() {
        let album = shipped(&name);
        let whole = crate::planned(&style(kinds::shipped(&kind).unwrap()), &album).unwrap();
        for n in 0..album.leaves.len() {
            let (plan, _) = taken_home(Paper::Letter, &kind, &album, n);
            let frame = &plan.frames[0];
            let mut frames = whole.frames.iter();
            let same = frames.find(|it| it.leaf == Some(n)).unwrap();
            for (laid, there) in frame.parts.iter().zip(&same.parts) {
                let alone = look::of(&plan, frame, laid);
                assert_eq!(
                    alone,
                    look::of(&whole, same, there),
                    "{name}: {}",
                    laid.name
                );
            }
        }
    }
}

#[test]
fn the_leaf_is_the_one_that_is_asked_for_or_that_there_is_most_of() {
    let folder = tempfile::tempdir().unwrap();
    let album = Path::new(env!("CARGO_MANIFEST_DIR")).join("models/albums/low-water.toml");
    let run = |more: &[&str]| {
        let mut program = Command::new(env!("CARGO_BIN_EXE_tuckwright"));
        program.current_dir(folder.path()).arg("print").arg(&album);
        let done = program
            .args(["--html", "a.html", "--force"])
            .args(more)
            .output()
            .unwrap();
        (done.status.code(), String::from_utf8(done.stderr).unwrap())
    };
    for (more, title) in [
        (&["--handout"][..], "You make one leaf: shore"),
        (
            &["--handout", "--leaf", "ledger"],
            "You make one leaf: ledger",
        ),
    ] {
        assert_eq!(run(more).0, Some(0));
        let page = fs::read_to_string(folder.path().join("a.html")).unwrap();
        assert!(page.contains(&format!("<h1>{title}</h1>")), "{title}");
        assert!(!page.contains("How to cut the sheets"));
    }
    let (code, said) = run(&["--handout", "--leaf", "shores"]);
    assert_eq!(code, Some(2), "{said}");
    assert!(
        said.contains("`shores`") && said.contains("`shore`"),
        "{said}"
    );
    assert_eq!(run(&["--leaf", "shore"]).0, Some(2));
    assert_eq!(run(&["--handout", "--pages", "all"]).0, Some(2));
}
