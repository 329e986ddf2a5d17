//! Files: the same bytes from run to run, written whole or not at all, readable without scripts.

use crate::{Cutting, PAPERS, SHIPPED, document, planned, shipped};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use tuckwright::album::Album;
use tuckwright::cut::Answer;
use tuckwright::draw::handout::Ask;
use tuckwright::draw::paper::Paper;
use tuckwright::draw::{html, pdf, png, svg};
use tuckwright::plan::Plan;

fn tuckwright(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_tuckwright"))
        .current_dir(folder)
        .args(arguments)
        .output()
        .unwrap()
}

fn album(name: &str) -> String {
    let folder: PathBuf = [env!("CARGO_MANIFEST_DIR"), "models", "albums"]
        .iter()
        .collect();
    folder
        .join(name)
        .with_extension("toml")
        .display()
        .to_string()
}

fn inside(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(folder)
        .unwrap()
        .map(|e| e.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

fn ask<'a>(album: &'a Album, plan: &'a Plan, answer: Option<Answer<'a>>) -> Ask<'a> {
    Ask {
        album,
        plan,
        answer,
        parts: None,
    }
}

#[test]
fn the_same_bytes_from_run_to_run() {
    for name in SHIPPED {
        for paper in PAPERS {
            let album = shipped(name);
            let (plan, first) = document(paper, &album);
            let (_, second) = document(paper, &album);
            assert_eq!(pdf::file(&first), pdf::file(&second));
            let written = |d: &tuckwright::draw::list::Document| -> Vec<String> {
                d.pages.iter().map(svg::file).collect()
            };
            assert_eq!(written(&first), written(&second));
            let page = || html::file(&ask(&album, &plan, None));
            assert_eq!(page(), page());
        }
    }
    let (_, document) = document(Paper::A4, &shipped("hut-book"));
    let picture = || png::file(&document.pages[7], 60).unwrap();
    assert_eq!(picture(), picture());
    assert!(picture().starts_with(b"\x89PNG"));
    // 60 dots an inch are 2362 a metre.
    let bytes = picture();
    let at = bytes
        .windows(4)
        .position(|it| it == b"pHYs")
        .expect("how large it is");
    assert_eq!(bytes[at + 4..at + 8], 2362_u32.to_be_bytes());
}

#[test]
fn every_form_is_written() {
    let folder = tempfile::tempdir().unwrap();
    let album = album("hut-book");
    let done = tuckwright(
        folder.path(),
        &[
            "print", &album, "-o", "a.pdf", "--html", "a.html", "--svg", "drawings", "--png",
            "pictures",
        ],
    );
    assert_eq!(done.status.code(), Some(0), "{done:?}");
    assert_eq!(
        inside(folder.path()),
        ["a.html", "a.pdf", "drawings", "pictures"]
    );
    let said = String::from_utf8(done.stdout).unwrap();
    assert!(said.contains("pages of A4 paper. Print at 100 %"), "{said}");
    let pages = inside(&folder.path().join("drawings")).len();
    assert_eq!(inside(&folder.path().join("pictures")).len(), pages);
    assert!(said.contains(&format!("{pages} pages")), "{said}");
    let bytes = fs::read(folder.path().join("a.pdf")).unwrap();
    let text = String::from_utf8_lossy(&bytes);
    assert!(text.contains("/PrintScaling /None") && text.contains("/Lang"));
}

#[test]
fn nothing_is_written_over_or_by_half() {
    let folder = tempfile::tempdir().unwrap();
    let album = album("low-water");
    fs::write(folder.path().join("a.pdf"), "mine").unwrap();
    fs::create_dir(folder.path().join("full")).unwrap();
    fs::write(folder.path().join("full/mine.txt"), "mine").unwrap();
    fs::write(folder.path().join("full/page-03.svg"), "mine").unwrap();
    for arguments in [
        &["print", &album, "-o", "a.pdf"][..],
        &["print", &album, "-o", "b.pdf", "--svg", "full"],
        &["print", &album, "-o", "nowhere/b.pdf"],
        &["print", &album, "--png", "nowhere/b"],
        &["print", &album],
        &["print", &album, "-o", "b.pdf", "--paper", "a5"],
    ] {
        let done = tuckwright(folder.path(), arguments);
        assert_eq!(done.status.code(), Some(2), "{arguments:?}");
        assert_eq!(inside(folder.path()), ["a.pdf", "full"], "{arguments:?}");
        assert_eq!(fs::read(folder.path().join("a.pdf")).unwrap(), b"mine");
        assert_eq!(
            inside(&folder.path().join("full")),
            ["mine.txt", "page-03.svg"]
        );
    }
    // By force, and only then; what else is in a folder stays.
    let forced = ["print", &album, "-o", "a.pdf", "--svg", "full", "--force"];
    let done = tuckwright(folder.path(), &forced);
    assert_eq!(done.status.code(), Some(0), "{done:?}");
    assert!(
        fs::read(folder.path().join("a.pdf"))
            .unwrap()
            .starts_with(b"%PDF-")
    );
    assert_eq!(
        fs::read(folder.path().join("full/mine.txt")).unwrap(),
        b"mine"
    );
    assert!(inside(&folder.path().join("full")).len() > 6);
    assert_eq!(inside(folder.path()), ["a.pdf", "full"]);
}

#[test]
fn what_does_not_fit_is_told_and_not_printed() {
    let folder = tempfile::tempdir().unwrap();
    let done = tuckwright(
        folder.path(),
        &["print", "--bag", "1 x 1 in", "-o", "a.pdf"],
    );
    assert_eq!(done.status.code(), Some(1), "{done:?}");
    assert!(
        String::from_utf8(done.stdout)
            .unwrap()
            .contains("It does not fit.")
    );
    assert_eq!(inside(folder.path()), Vec::<String>::new());
}

#[test]
fn a_bag_alone_is_printed_and_metric_paper_is_a4() {
    let folder = tempfile::tempdir().unwrap();
    for (bag, paper) in [("5 1/8 x 8 1/2 in", "letter"), ("180 x 240 mm", "A4")] {
        let done = tuckwright(
            folder.path(),
            &["print", "--bag", bag, "-o", "a.pdf", "--force"],
        );
        assert_eq!(done.status.code(), Some(0), "{done:?}");
        let said = String::from_utf8(done.stdout).unwrap();
        assert!(said.contains(&format!("of {paper} paper")), "{said}");
    }
}

#[test]
fn the_html_stands_alone() {
    for name in SHIPPED {
        let album = shipped(name);
        let plan = planned(&crate::common::upright(), &album).unwrap();
        let cutting = Cutting::of(&album, &plan);
        let page = html::file(&ask(&album, &plan, Some(cutting.answer())));
        assert!(page.starts_with("<!DOCTYPE html>") && page.contains("<html lang=\"en\">"));
        // One heading above all, and no other is more than one step deeper than the one before it.
        let heads = page.match_indices("<h").filter_map(|(at, _)| {
            let level = page[at + 2..].chars().next()?.to_digit(10)?;
            page[at + 3..].starts_with('>').then_some(level)
        });
        let heads: Vec<u32> = heads.collect();
        assert_eq!(heads.iter().filter(|it| **it == 1).count(), 1, "{heads:?}");
        assert!(
            heads[0] == 1 && heads.windows(2).all(|it| it[1] <= it[0] + 1),
            "{heads:?}"
        );
        // Letters are black, on grounds that are light enough for them: 4.5 to 1, as WCAG 2.2 asks (read), is
        // a grey of 0x75 at least (derived).
        assert!(page.contains("color:#000;background:#fff"));
        let texts = page.split("<text ").skip(1);
        let mut texts = texts.filter_map(|it| it.split('>').next());
        assert!(texts.all(|it| !it.contains("fill=")));
        let fills = page.split("fill=\"#").skip(1).filter_map(|it| it.get(..2));
        let grounds = fills.filter(|it| *it != "00");
        let dark: Vec<&str> = grounds.filter(|it| *it < "75").collect();
        assert!(dark.is_empty(), "{dark:?}");
        for strange in ["<script", "src=", "@import", "url(", "href=\"http", "<link"] {
            assert!(!page.contains(strange), "{strange}");
        }
        // Every drawing says in words what it shows.
        let drawings = page.matches("<svg ").count();
        assert!(drawings >= 2 * plan.leaves.len());
        assert_eq!(page.matches("role=\"img\"").count(), drawings);
        assert_eq!(page.matches("<desc>").count(), drawings);
        assert_eq!(page.matches("<desc></desc>").count(), 0);
        // Each tag that is opened is closed.
        for tag in [
            "table", "tr", "td", "th", "ul", "li", "section", "figure", "svg", "text", "h2",
        ] {
            let opened = page.matches(&format!("<{tag}>")).count()
                + page.matches(&format!("<{tag} ")).count();
            assert_eq!(opened, page.matches(&format!("</{tag}>")).count(), "{tag}");
        }
    }
}
