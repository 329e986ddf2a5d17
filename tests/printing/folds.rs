//! Folds from below to above and from side to side: drawn where the style says, and said as they are drawn.

use crate::common::{read, style};
use crate::geometry::named;
use crate::layout::faults;
use crate::planned;
use std::fs;
use std::path::Path;
use tuckwright::album::Album;
use tuckwright::draw::handout::Part;
use tuckwright::draw::list::{Line, Shape};
use tuckwright::draw::paper::Paper;
use tuckwright::draw::{svg, view};
use tuckwright::style::Style;

const INCH: i64 = 25_400_000;

/// A folder of one sheet, with these words of its style changed.
pub(crate) fn folder(from: &str, to: &str) -> (Style, Album) {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/styles/folder");
    let words = |file: &str| fs::read_to_string(root.join(file)).expect("a file");
    let kind = words("style.toml");
    assert!(kind.contains(from), "{from}");
    (style(&kind.replace(from, to)), read(&words("letters.toml")))
}

/// Where folds are, worked out by hand in `letters.toml`.
#[test]
fn folds_of_both_directions_are_drawn_where_they_are() {
    let (style, album) = folder("", "");
    let plan = planned(&style, &album).expect("it fits");
    let [pocket, middle, ..] = &plan.frames[0].marks[..] else {
        panic!("two marks")
    };
    assert_eq!((pocket.across, middle.up), (None, None));
    assert_eq!(pocket.up.map(|it| it.middle().nm()), Some(5 * INCH / 2));
    assert_eq!(middle.across.map(|it| it.middle().nm()), Some(6 * INCH));
    // Both sides at true scale: the bounds of all folds are the sheet's, as they cross it from edge to edge.
    for back in [false, true] {
        let page = view::side(&plan, &plan.frames[0], back, i64::MAX, i64::MAX);
        let shapes = named(&svg::file(&page));
        assert_eq!(shapes["sheet: sheet"], shapes["sheet: fold"]);
        let level = page.marks.iter().filter_map(|mark| match &mark.shape {
            Shape::Path { points, .. } if mark.name == "sheet: fold" => Some(points),
            _ => None,
        });
        let level: Vec<i64> = level
            .filter(|points| points[0].y == points[1].y)
            .map(|points| points[0].y.nm())
            .collect();
        assert_eq!(level, [shapes["sheet: sheet"].3 - 5 * INCH / 2]);
    }
}

/// What lies off the ruler is the same number in the drawing and in the steps, by the nearest 1/16 in: 12 / 9 in are
/// 21 1/3 of them, 24 / 9 in 42 2/3.
#[test]
fn texts_and_drawings_say_the_same_length() {
    let (style, album) = folder("", "");
    let plan = planned(&style, &album).expect("it fits");
    let document = crate::uncut(Paper::Letter, &album, &plan);
    let wrong = faults(&plan.title, &document);
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    let all = document.pages.iter().flat_map(|page| &page.marks);
    let all = all.filter_map(|mark| match &mark.shape {
        Shape::Text(text) => Some(text.words.replace('\u{a0}', " ")),
        _ => None,
    });
    let all: Vec<String> = all.collect();
    let said = all.join(" ");
    assert_eq!(
        all.iter()
            .filter(|it| **it == "about 1\u{202f}5⁄16")
            .count(),
        2,
        "{said}"
    );
    for step in [
        "Score the sheet 2½ in above its lower edge",
        "1 pocket fold, 2½ in above the lower edge",
        "2 thirds, about 1\u{202f}5⁄16 in and about 2\u{202f}11⁄16 in from the left side",
    ] {
        assert!(said.contains(step), "{step}: {said}");
    }
}

/// A fold is called what its style calls it, at its line and where several stand in a sentence.
#[test]
fn folds_are_called_by_their_titles() {
    for (from, to, called) in [
        ("", "", ["pocket fold", "third"]),
        (
            "count = '2'",
            "count = '8'",
            [
                "pocket fold",
                "Thirds and folds in the middle from the left side",
            ],
        ),
    ] {
        let (style, album) = folder(from, to);
        let plan = planned(&style, &album).expect("it fits");
        let page = view::side(&plan, &plan.frames[0], false, i64::MAX, i64::MAX);
        let texts = page.marks.iter().filter_map(|mark| match &mark.shape {
            Shape::Text(text) => Some(text.words.replace('\u{a0}', " ")),
            _ => None,
        });
        let texts: Vec<String> = texts.collect();
        for called in called {
            assert!(
                texts.iter().any(|it| it.starts_with(called)),
                "{called}: {texts:?}"
            );
        }
        assert!(
            !texts
                .iter()
                .any(|it| it.starts_with("fold") || it.starts_with("Fold")),
            "{texts:?}"
        );
    }
}

/// One that lies beside its sheet is refused.
#[test]
fn a_fold_lies_on_its_sheet() {
    let (style, album) = folder("up = 'pocket_depth'", "up = '2 * page_height'");
    assert!(planned(&style, &album).is_none());
}

/// A blade of 1 1/2 x 7 in has its hole 3/4 in from the side and 1/2 in above the foot, 3/16 in wide. A sheath has
/// creases 1/2 + 1 5/8 and 1/2 + 2 * 1 5/8 = 3 3/4 in from its side. Its mouth is cut out 1/2 in deep, which rises over
/// the last 1/2 in of its 4 in: the second crease ends half way up, 1/4 in below its corners.
#[test]
fn outlines_have_their_folds_and_holes() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/styles/fan");
    let words = |file: &str| fs::read_to_string(root.join(file)).expect("a file");
    let kind = (style(&words("style.toml")), read(&words("album.toml")));
    let (_, document) =
        crate::with_parts_of(&kind.0, Paper::Letter, &kind.1, Some(&[Part::Outlines]));
    let wrong = faults("fan", &document);
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    let page = document.pages.iter().map(svg::file).collect::<String>();
    let shapes = named(&page);
    let (blade, hole) = (shapes["blade"], shapes["blade: hole"]);
    assert_eq!(
        (blade.2 - blade.0, blade.3 - blade.1),
        (3 * INCH / 2, 7 * INCH)
    );
    let side = 3 * INCH / 4 - 3 * INCH / 32;
    assert_eq!((hole.0 - blade.0, blade.2 - hole.2), (side, side));
    assert_eq!(blade.3 - hole.3, INCH / 2 - 3 * INCH / 32);
    let (sheath, folds) = (shapes["sheath"], shapes["sheath: fold"]);
    assert_eq!(folds.0 - sheath.0, INCH / 2 + 13 * INCH / 8);
    assert_eq!(folds.2 - sheath.0, INCH / 2 + 2 * 13 * INCH / 8);
    assert!((folds.1 - sheath.1 - INCH / 4).abs() <= 1);
    assert_eq!((sheath.2 - sheath.0, sheath.3), (4 * INCH, folds.3));
}

/// A sketch shows 1/2 in above its leaf: it is seen from the back as it is from the front, and nothing else is higher.
#[test]
fn what_stands_out_is_seen_from_both_sides() {
    let album = crate::shipped("low-water");
    let plan = planned(&crate::common::upright(), &album).expect("it fits");
    let frame = plan.frames.iter().find(|it| it.out[3].nm() > 0);
    let frame = frame.expect("something shows");
    assert_eq!(frame.out[3].nm(), INCH / 2);
    for back in [false, true] {
        let page = view::side(&plan, frame, back, i64::MAX, i64::MAX);
        let edges = page.marks.iter().filter(|mark| {
            let stroke = |it: &Shape| match it {
                Shape::Path { stroke, .. } => stroke.map(|it| it.line),
                _ => None,
            };
            stroke(&mark.shape) == Some(Line::Edge)
        });
        let drawn = edges.map(|mark| mark.shape.area().top);
        let leaf = named(&svg::file(&page))["shore: leaf"];
        assert_eq!(drawn.min(), Some(leaf.1 - INCH / 2), "{back}");
    }
}
