//! Printed at 100 % everything is true within 0.1 mm: measured on pages that another program
//! rendered at 600 dots an inch.

use crate::raster::{Raster, poppler};
use crate::{PAPERS, SHIPPED, common, document, shipped, with_parts_of};
use std::path::{Path, PathBuf};
use tuckwright::album::Album;
use tuckwright::draw::handout::Part;
use tuckwright::draw::list::{Document, Page, Role};
use tuckwright::draw::paper::Paper;
use tuckwright::draw::pdf;
use tuckwright::length::Interval;
use tuckwright::plan::Plan;
use tuckwright::style::Style;

/// Millimetres.
const TRUE: f64 = 0.1;

fn mm(nm: i64) -> f64 {
    nm as f64 / 1e6
}

fn middle(value: Interval) -> f64 {
    mm(value.middle().nm())
}

struct Printed {
    plan: Plan,
    document: Document,
    pdf: PathBuf,
    _folder: tempfile::TempDir,
}

fn print(paper: Paper, album: &Album) -> Printed {
    print_of(&common::upright(), paper, album)
}

fn print_of(style: &Style, paper: Paper, album: &Album) -> Printed {
    let parts = Some(&[Part::Template, Part::Outlines][..]);
    let (plan, document) = with_parts_of(style, paper, album, parts);
    let folder = tempfile::tempdir().unwrap();
    let pdf = folder.path().join("p.pdf");
    std::fs::write(&pdf, pdf::file(&document).unwrap()).unwrap();
    Printed {
        plan,
        document,
        pdf,
        _folder: folder,
    }
}

/// Where the drawing says that a named thing is: left, top, right, bottom (millimetres).
fn drawn(page: &Page, name: &str) -> Option<(f64, f64, f64, f64)> {
    let marks = page.marks.iter().filter(|mark| mark.name == name);
    let all = marks
        .map(|mark| mark.shape.area())
        .reduce(|a, b| a.with(b))?;
    Some((mm(all.left), mm(all.top), mm(all.right), mm(all.bottom)))
}

/// The one dark run near a place.
fn near(runs: &[f64], expected: f64) -> f64 {
    let nearest = runs
        .iter()
        .min_by(|a, b| (*a - expected).abs().total_cmp(&(*b - expected).abs()));
    *nearest.unwrap_or_else(|| panic!("nothing dark near {expected}"))
}

/// Centre of a circle, from two chords that its own cross does not touch; and its radius.
fn centre(raster: &Raster, (x, y): (f64, f64), radius: f64) -> (f64, f64, f64) {
    let off = radius * 0.6;
    let reach = radius + 0.7;
    let ends = |runs: Vec<f64>| (runs[0], runs[runs.len() - 1]);
    let (left, right) = ends(raster.across(y - off, x - reach, x + reach));
    let (top, bottom) = ends(raster.down(x + off, y - reach, y + reach));
    let half = (right - left) / 2.0;
    let radius = (half * half + off * off).sqrt();
    ((left + right) / 2.0, (top + bottom) / 2.0, radius)
}

fn close(measured: f64, wanted: f64, what: &str) {
    assert!(
        (measured - wanted).abs() <= TRUE,
        "{what}: measured {measured:.3} mm, wanted {wanted:.3} mm"
    );
}

fn bars(raster: &Raster, page: &Page) {
    for (name, long) in [("bar 100 mm", 100.0), ("bar 4 in", 101.6)] {
        let (left, top, right, bottom) = drawn(page, name).expect("a bar");
        // Beside the bar only the ticks at its ends are dark.
        let (runs, ends) = match right - left > bottom - top {
            true => (
                raster.across(top - 1.3, left - 1.0, right + 1.0),
                (left, right),
            ),
            false => (
                raster.down(left - 1.3, top - 1.0, bottom + 1.0),
                (top, bottom),
            ),
        };
        close(near(&runs, ends.1) - near(&runs, ends.0), long, name);
    }
}

/// Every hole of every template, and how the parts of a tiled one go together.
fn templates(printed: &Printed) {
    let plan = &printed.plan;
    let radius = middle(plan.holes.diameter) / 2.0;
    let edge = middle(plan.holes.edge);
    let mut measured = 0;
    for (n, page) in printed.document.pages.iter().enumerate() {
        if !page.title.starts_with("Template") {
            continue;
        }
        let raster = Raster::of(&printed.pdf, n + 1);
        bars(&raster, page);
        let marks = page.marks.iter().map(|mark| mark.name.as_str());
        let Some(name) = marks
            .clone()
            .find(|n| n.starts_with("template") && !n.contains("hole"))
        else {
            panic!("{} has no template", page.title);
        };
        // Parts of a long one stand beside each other; the last has the tail.
        let places = |hole: usize| {
            let name = format!("{name}: hole {hole}");
            let marks = page.marks.iter().filter(move |mark| mark.name == name);
            marks.map(|mark| mark.shape.area().middle())
        };
        let holes = 1..=plan.holes.heights.len();
        let mut parts: Vec<i64> = holes.flat_map(|hole| places(hole).map(|it| it.0)).collect();
        parts.sort_unstable();
        parts.dedup();
        for (n, part) in parts.iter().enumerate() {
            let left = mm(*part) - edge;
            let tail = n + 1 == parts.len() && !page.title.contains("row 1 of 2");
            let lines = page.marks.iter().filter(|mark| mark.name == name);
            let lines = lines.map(|mark| mark.shape.area());
            let bottom = lines.filter(|it| (mm(it.left) - left).abs() < 1.0);
            let bottom = bottom.map(|it| it.bottom).max().map(mm).expect("its spine");
            let mut before: Option<(f64, f64)> = None;
            for (hole, height) in plan.holes.heights.iter().enumerate() {
                let Some(place) = places(hole + 1).find(|it| it.0 == *part) else {
                    continue;
                };
                let (x, y, r) = centre(&raster, (mm(place.0), mm(place.1)), radius);
                measured += 1;
                close(r, radius, "radius");
                let spine = near(
                    &raster.across(y + radius + 3.0, left - 1.0, left + 1.0),
                    left,
                );
                close(x - spine, edge, "hole to spine edge");
                let height = middle(*height);
                if tail {
                    let low = near(
                        &raster.down(left + edge + 8.0, bottom - 1.0, bottom + 1.0),
                        bottom,
                    );
                    close(low - y, height, "hole above the tail");
                }
                if let Some((below, y_below)) = before {
                    close(y_below - y, height - below, "hole to hole");
                }
                before = Some((height, y));
            }
        }
    }
    assert!(measured >= plan.holes.heights.len());
}

/// Every outline on the pages that hold outlines.
fn outlines(printed: &Printed, most: usize) {
    let mut pages = 0;
    for (n, page) in printed.document.pages.iter().enumerate() {
        if !page.title.starts_with("Outlines") || pages == most {
            continue;
        }
        pages += 1;
        let raster = Raster::of(&printed.pdf, n + 1);
        bars(&raster, page);
        for leaf in &printed.plan.leaves {
            let parts = leaf.parts.iter().map(|p| (&p.label, &p.width, &p.height));
            let inserts = leaf.inserts.iter().map(|i| (&i.name, &i.width, &i.height));
            for (name, width, height) in parts.chain(inserts) {
                let name = format!("{}: {name}", leaf.name);
                let Some((left, top, right, bottom)) = drawn(page, &name) else {
                    continue;
                };
                let y = bottom - 1.5;
                let runs = raster.across(y, left - 1.0, right + 1.0);
                let wide = near(&runs, right) - near(&runs, left);
                let x = right - 1.5;
                let runs = raster.down(x, top - 1.0, bottom + 1.0);
                let high = near(&runs, bottom) - near(&runs, top);
                close(wide, middle(width.value), &format!("width of {name}"));
                close(high, middle(height.value), &format!("height of {name}"));
            }
        }
    }
    assert!(pages > 0);
}

#[test]
fn the_shipped_albums_are_true_on_both_papers() {
    if !poppler() {
        return;
    }
    for name in SHIPPED {
        for paper in PAPERS {
            let printed = print(paper, &shipped(name));
            templates(&printed);
            outlines(&printed, 3);
        }
    }
}

/// Strips and cradles of every other kind: each hole where its frame has it, above the tail and from the edge or
/// fold that the template is laid at; the concertina has none.
#[test]
fn templates_of_every_kind_are_true() {
    if !poppler() {
        return;
    }
    for (kind, name) in common::KINDS {
        let printed = print_of(&common::kind(kind), Paper::A4, &shipped(name));
        let mut measured = 0;
        for (n, page) in printed.document.pages.iter().enumerate() {
            if !page.title.starts_with("Template") {
                continue;
            }
            let raster = Raster::of(&printed.pdf, n + 1);
            bars(&raster, page);
            for frame in &printed.plan.frames {
                let marks = frame
                    .marks
                    .iter()
                    .filter_map(|it| Some((it, it.up?, it.diameter?)));
                let of = match frame.leaf {
                    Some(leaf) => &printed.plan.leaves[leaf].name,
                    None => &frame.name,
                };
                for (at, (mark, up, diameter)) in marks.enumerate() {
                    let strip = format!("template: {of}");
                    let Some(place) = drawn(page, &format!("{strip}: {} {}", mark.name, at + 1))
                    else {
                        continue;
                    };
                    let radius = middle(diameter) / 2.0;
                    let x = (place.0 + place.2) / 2.0;
                    let y = (place.1 + place.3) / 2.0;
                    let (x, y, r) = centre(&raster, (x, y), radius);
                    close(r, radius, "radius");
                    let (left, _, _, bottom) = drawn(page, &strip).expect("its lines");
                    let low = near(&raster.down(x + 8.0, bottom - 1.0, bottom + 1.0), bottom);
                    close(low - y, middle(up), "hole above the tail");
                    let edge = match drawn(page, &format!("{strip}: fold")) {
                        Some((fold, ..)) => {
                            // Chain lines have gaps.
                            let runs = (3..12).flat_map(|below| {
                                raster.across(y + f64::from(below), fold - 1.0, fold + 1.0)
                            });
                            near(&runs.collect::<Vec<_>>(), fold)
                        }
                        None => {
                            let spine = raster.across(y + radius + 3.0, left - 1.0, left + 1.0);
                            near(&spine, left) + middle(mark.across.expect("a hole"))
                        }
                    };
                    close(x, edge, "hole to spine edge or fold");
                    measured += 1;
                }
            }
        }
        let holes = printed.plan.holes.heights.len();
        let frames = printed.plan.frames.iter();
        let pierced = frames.filter(|it| it.marks.iter().any(|mark| mark.diameter.is_some()));
        assert_eq!(measured, holes * pierced.count(), "{kind}");
    }
}

/// A template that is longer than a page has a whole hole on both its parts: laid on each other there, its
/// holes are as far apart as planned.
#[test]
fn a_long_template_is_joined_at_a_whole_hole() {
    if !poppler() {
        return;
    }
    let album = common::read(
        "album = \"long\"\nruler = \"1/8 in\"\n[template]\npattern = \"US three-hole\"\n[[leaf]]\nname = \"leaf\"\nbag = \"bag\"\n[[bag]]\nname = \"bag\"\nsize = \"9 x 11 in\"\ngusset = \"3 in\"\n",
    );
    let printed = print(Paper::Letter, &album);
    let pages = printed.document.pages.iter().enumerate();
    let mut pages = pages.filter(|(_, page)| page.title.starts_with("Template"));
    // Both parts lie beside each other, and each is measured.
    let (n, page) = pages.next().expect("a template");
    assert!(pages.next().is_none());
    let raster = Raster::of(&printed.pdf, n + 1);
    let heights = &printed.plan.holes.heights;
    let radius = middle(printed.plan.holes.diameter) / 2.0;
    let of = |hole: usize| -> Vec<(f64, f64)> {
        let name = format!("template: leaf: hole {}", hole + 1);
        let here = page.marks.iter().filter(|mark| mark.name == name);
        let places = here.map(|mark| mark.shape.area().middle());
        let each = places.map(|(x, y)| centre(&raster, (mm(x), mm(y)), radius));
        each.map(|(x, y, _)| (x, y)).collect()
    };
    let holes: Vec<Vec<(f64, f64)>> = (0..heights.len()).map(of).collect();
    assert!(holes.iter().all(|it| !it.is_empty()), "{holes:?}");
    let twice = holes.iter().filter(|it| it.len() == 2).count();
    assert_eq!(twice, 1, "one hole is on both parts: {holes:?}");
    // Neighbours are together on some part.
    for n in 1..heights.len() {
        let beside = |low: &(f64, f64)| {
            let mut upper = holes[n].iter().filter(|it| (it.0 - low.0).abs() < TRUE);
            upper.next().map(|it| low.1 - it.1)
        };
        let apart = holes[n - 1].iter().find_map(beside);
        let wanted = middle(heights[n]) - middle(heights[n - 1]);
        close(
            apart.expect("no part is joined between holes"),
            wanted,
            "hole to hole",
        );
    }
}

/// Published patterns: ISO 838 has its holes 80 mm apart; the three-hole pattern of letter paper
/// 4 1/4 in. Both from memory, as the tests of patterns say where they are listed.
#[test]
fn published_patterns_are_true() {
    if !poppler() {
        return;
    }
    for (pattern, apart, ruler) in [
        ("ISO 838", 80.0, "1/8 in"),
        ("US three-hole", 4.25 * 25.4, "1/8 in"),
        ("ISO 838", 80.0, "1 mm"),
        ("US three-hole", 4.25 * 25.4, "1 mm"),
    ] {
        let album = common::read(&format!(
            "album = \"p\"\nruler = \"{ruler}\"\n[template]\npattern = \"{pattern}\"\n[[leaf]]\nname = \"leaf\"\nbag = \"bag\"\n[[bag]]\nname = \"bag\"\nsize = \"9 x 11 in\"\ngusset = \"3 in\"\n"
        ));
        for paper in PAPERS {
            let printed = print(paper, &album);
            let heights: Vec<f64> = printed
                .plan
                .holes
                .heights
                .iter()
                .map(|h| middle(*h))
                .collect();
            for pair in heights.windows(2) {
                close(pair[1] - pair[0], apart, pattern);
            }
            templates(&printed);
        }
    }
}

#[test]
fn fonts_are_embedded_and_text_is_text() {
    if !poppler() {
        return;
    }
    let told = crate::raster::told;
    for name in SHIPPED {
        let (plan, document) = document(Paper::A4, &shipped(name));
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("p.pdf");
        std::fs::write(&file, pdf::file(&document).unwrap()).unwrap();
        let printed = Printed {
            plan,
            document,
            pdf: file,
            _folder: folder,
        };
        let pdf: &Path = &printed.pdf;
        let fonts = told("pdffonts", pdf, &[]);
        let rows: Vec<&str> = fonts.lines().skip(2).collect();
        assert!(!rows.is_empty());
        for row in rows {
            assert!(row.contains("NotoSans"), "{row}");
            // Embedded, a subset, with its letters' meaning.
            let flags: Vec<&str> = row.split_whitespace().filter(|w| *w == "yes").collect();
            assert_eq!(flags.len(), 3, "{row}");
        }
        let plain = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
        let text = plain(&told("pdftotext", pdf, &["-"]));
        let printed_text = format!("{}", printed.document.pages.len());
        assert!(text.contains(&format!("page 1 of {printed_text}")));
        for words in [
            "Print this page at 100 %, not fitted to the page",
            "SPINE EDGE",
            "Check:",
        ] {
            assert!(text.contains(words), "{words}");
        }
        // Lengths come out as they were put in.
        let hole = printed
            .plan
            .ruler
            .show_interval_typographic(printed.plan.holes.edge);
        let hole = plain(&hole);
        assert!(text.contains(&format!("and {hole} from")), "{hole}");
        let info = told("pdfinfo", pdf, &[]);
        assert!(info.contains(&printed.document.title), "{info}");
    }
}

/// The file is tagged, says its language, and has words for every drawing, as another program reads it.
#[test]
fn a_pdf_can_be_read_aloud() {
    if !poppler() {
        return;
    }
    for name in SHIPPED {
        let (_, document) = document(Paper::A4, &shipped(name));
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("p.pdf");
        std::fs::write(&file, pdf::file(&document).unwrap()).unwrap();
        let info = crate::raster::told("pdfinfo", &file, &[]);
        let tagged = info.lines().find(|line| line.starts_with("Tagged:"));
        assert!(tagged.is_some_and(|line| line.ends_with("yes")), "{info}");
        let read = crate::raster::told("pdfinfo", &file, &["-struct-text"]);
        for part in [
            "H1",
            "H2",
            "P (block)",
            "Figure",
            "Table",
            "TH",
            "TD",
            "LI",
            "Link",
        ] {
            assert!(read.contains(part), "{part}: {read}");
        }
        // In the order in which it is read.
        let places = [
            "What to watch",
            "What to cut",
            "To have or to buy",
            "1. Fold",
            "Bind it",
        ];
        let places = places.map(|words| read.find(words).unwrap_or_else(|| panic!("{words}")));
        assert!(places.is_sorted(), "{places:?}");
        let bytes = std::fs::read(&file).unwrap();
        let text = String::from_utf8_lossy(&bytes);
        assert!(text.contains("/Lang") && text.contains("/DisplayDocTitle true"));
        // Every figure has its words, and every link leads somewhere.
        for page in &document.pages {
            for part in &page.tagged {
                if let Role::Figure(words) = &part.role {
                    assert!(words.len() > 10, "{}: {words:?}", page.title);
                }
            }
            for (_, to) in &page.links {
                assert!(*to < document.pages.len());
            }
        }
        assert!(document.pages[0].links.len() >= 4);
    }
}
