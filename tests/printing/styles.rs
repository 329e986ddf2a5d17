//! Kinds of album other than upright leaves: folded bags sewn through their fold, leaves between boards, and
//! a box of cards, which is not shipped.

use crate::common::{read, style};
use crate::geometry::{Bounds, named};
use crate::layout::faults;
use crate::planned;
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;
use tuckwright::album::Album;
use tuckwright::cut::{Trimmer, pieces};
use tuckwright::draw::list::{Document, Page, Shape};
use tuckwright::draw::paper::Paper;
use tuckwright::draw::{svg, view};
use tuckwright::plan::Plan;
use tuckwright::style::Style;
use tuckwright::style::shipped::shipped;

const INCH: i64 = 25_400_000;

fn folder(kind: &str) -> PathBuf {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/styles");
    root.join(kind)
}

fn words(kind: &str, file: &str) -> String {
    fs::read_to_string(folder(kind).join(file)).expect("a file")
}

/// Bags folded once and sewn through their fold, as many as asked.
pub(crate) fn folded_bags(count: usize) -> (Style, Album) {
    let album = words("folded-bags", "four.toml");
    let album = album.replace("count = 4", &format!("count = {count}"));
    (kind("signature"), read(&album))
}

/// Cards in sleeves, in a tray with a lid.
pub(crate) fn card_box() -> (Style, Album) {
    let album = read(&words("card-box", "recipes.toml"));
    (style(&words("card-box", "style.toml")), album)
}

/// Leaves on rings between two boards; `harbour.toml` with these words changed.
pub(crate) fn boards(changes: &[(&str, &str)]) -> (Style, Album) {
    let mut album = words("boards", "harbour.toml");
    for (from, to) in changes {
        assert!(album.contains(from), "{from}");
        album = album.replace(from, to);
    }
    (kind("boards"), read(&album))
}

/// A kind that is shipped.
fn kind(name: &str) -> Style {
    style(shipped(name).expect("it is shipped"))
}

fn printed((style, album): &(Style, Album)) -> (Plan, Document) {
    let plan = planned(style, album).expect("it fits");
    let document = crate::uncut(Paper::Letter, album, &plan);
    let faults = faults(&plan.title, &document);
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    (plan, document)
}

fn page<'d>(document: &'d Document, title: &str) -> &'d Page {
    let mut pages = document.pages.iter();
    let found = pages.find(|page| page.title.contains(title));
    found.unwrap_or_else(|| panic!("no page {title}"))
}

fn shapes(page: &Page) -> BTreeMap<String, Bounds> {
    named(&svg::file(page))
}

/// A side of a frame at true scale.
fn side(plan: &Plan, frame: usize, back: bool) -> BTreeMap<String, Bounds> {
    shapes(&view::side(
        plan,
        &plan.frames[frame],
        back,
        i64::MAX,
        i64::MAX,
    ))
}

fn texts(page: &Page) -> String {
    let words = page.marks.iter().filter_map(|mark| match &mark.shape {
        Shape::Text(text) => Some(text.words.as_str()),
        _ => None,
    });
    words.collect::<Vec<_>>().join(" ")
}

/// Sizes are those that were worked out by hand in `four.toml`.
#[test]
fn pages_stations_and_creep_of_folded_bags() {
    let (plan, _) = printed(&folded_bags(4));
    let frame = &plan.frames[0];
    let half = frame.width.middle().nm() / 2;
    assert_eq!((half, frame.height.middle().nm()), (9 * INCH / 2, 6 * INCH));
    let mat = &plan.leaves[0].parts[0];
    let size = (
        mat.width.value.middle().nm(),
        mat.height.value.middle().nm(),
    );
    assert_eq!(size, (33 * INCH / 8, 23 * INCH / 4));
    assert_eq!(
        frame
            .parts
            .iter()
            .filter(|it| it.name == "page_mat")
            .count(),
        4
    );
    // Two mats on either side of each of four bags.
    assert_eq!(mat.count, 4);
    let (_, album) = folded_bags(4);
    let order = pieces::order(&plan, &album, Vec::new(), Trimmer::default());
    let mats = order.wants.iter().find(|want| want.name == "page mat");
    assert_eq!(mats.map(|want| want.count), Some(16));
    let stations = frame.marks.iter().filter_map(|mark| mark.up);
    let stations: Vec<i64> = stations.map(|up| up.middle().nm()).collect();
    assert_eq!(stations, [INCH / 2, 3 * INCH, 11 * INCH / 2]);
    // 11/7 x 3 x 0.0265 in = 0.1249 in stand out, of 1/8; 11/7 x 4 x 0.0265 in = 0.1666 do not.
    let (style, album) = folded_bags(5);
    assert!(planned(&style, &album).is_none());
}

#[test]
fn a_cradle_has_whole_circles_on_its_fold() {
    let (_, document) = printed(&folded_bags(4));
    let page = page(&document, "Template at true scale: song");
    let shapes = shapes(page);
    let card = shapes["template: song"];
    let fold = shapes["template: song: fold"];
    // It lies on both halves of the bag, and is as high as the bag.
    assert_eq!(fold.0, fold.2);
    assert_eq!(fold.0 - card.0, card.2 - fold.0);
    assert_eq!((fold.1, fold.3), (card.1, card.3));
    assert_eq!(card.3 - card.1, 6 * INCH);
    for (n, up) in [INCH / 2, 3 * INCH, 11 * INCH / 2].into_iter().enumerate() {
        let hole = shapes[&format!("template: song: hole {}", n + 1)];
        assert_eq!((hole.2 - hole.0, hole.3 - hole.1), (INCH / 16, INCH / 16));
        assert_eq!(hole.0.midpoint(hole.2), fold.0);
        assert_eq!(card.3 - hole.1.midpoint(hole.3), up);
    }
    let told = texts(page);
    for words in [
        "station 3: 5 1⁄2 in above the tail",
        "FOLD: lay it in the bag's fold",
        "holes of 1⁄16 in on the fold, stand ½ in, 3 in and 5½ in above the tail.",
    ] {
        let plain = |words: &str| words.replace(['\u{a0}', '\u{202f}'], " ");
        assert!(plain(&told).contains(&plain(words)), "{words}: {told}");
    }
    assert!(
        !told.to_lowercase().contains("spine") && !told.contains("SIDE UP"),
        "{told}"
    );
}

#[test]
fn folded_bags_are_drawn_with_their_fold_and_cut_open_along_their_mouth() {
    let (plan, document) = printed(&folded_bags(4));
    let page = |title| page(&document, title);
    let front = side(&plan, 0, false);
    let (bag, fold) = (front["song: leaf"], front["song: fold"]);
    assert_eq!(fold.0 - bag.0, bag.2 - fold.0);
    // One mat at each side of the fold, evenly; the card is behind the right one.
    let (left, right) = (front["song: page_mat"], front["song: page_mat, 2"]);
    assert_eq!(fold.0 - left.2, right.0 - fold.0);
    let card = front["song: verse"];
    assert!(card.0 > fold.0 && card.2 <= bag.2);
    let open = texts(page("Cut open"));
    assert!(
        open.contains("from its tail, outside left, mouth above"),
        "{open}"
    );
    assert!(open.contains("verse"), "{open}");
}

/// What stands out of a sleeve is drawn above it; frames of the album have drawings of their own; no
/// page speaks of what such an album has not.
#[test]
fn a_box_has_its_tray_and_its_lid() {
    let (plan, document) = printed(&card_box());
    let frames: Vec<&str> = plan.frames.iter().map(|it| it.name.as_str()).collect();
    assert_eq!(frames, ["leaf", "tray", "lid"]);
    assert_eq!(
        plan.frames[0].out.map(|out| out.nm()),
        [0, 0, 0, 3 * INCH / 4]
    );
    let sides = [
        (1, 41 * INCH / 8, 6 * INCH),
        (2, 11 * INCH / 2, 13 * INCH / 16),
    ];
    for (n, width, height) in sides {
        let frame = &plan.frames[n];
        let size = (frame.width.middle().nm(), frame.height.middle().nm());
        assert_eq!(size, (width, height), "{}", frame.name);
    }
    let page = |title| page(&document, title);
    let sleeve = side(&plan, 0, false);
    let (bag, card) = (sleeve["soups: leaf"], sleeve["soups: recipe"]);
    assert_eq!(bag.1 - card.1, 3 * INCH / 4, "drawn at true scale");
    assert_eq!(bag.3, card.3);
    let tray = side(&plan, 1, false);
    let (wall, label) = (tray["tray: tray"], tray["tray: label"]);
    assert_eq!(label.0 - wall.0, 3 * INCH / 4);
    assert_eq!(wall.2 - label.2, 3 * INCH / 4);
    // 5 1/8 - 2 x 3/4 in wide, a third of the tray high, its corners cut off: it is cut, once.
    let cut = plan.parts.iter().find(|part| part.label == "label");
    let cut = cut.expect("the label is cut");
    let size = [&cut.width, &cut.height].map(|side| side.value.middle().nm());
    assert_eq!((cut.count, size), (1, [29 * INCH / 8, 2 * INCH]));
    let outlines = document
        .pages
        .iter()
        .filter(|it| it.title.starts_with("Outline"));
    let outline = outlines
        .flat_map(|page| &page.marks)
        .find(|mark| mark.name == "label");
    assert!(outline.is_some(), "the label's outline");
    let lid = side(&plan, 2, false)["lid: lid"];
    assert_eq!(
        (lid.2 - lid.0, lid.3 - lid.1),
        (11 * INCH / 2, 13 * INCH / 16)
    );
    let said = document.pages.iter().map(texts).collect::<String>();
    for title in ["Tray, front", "Tray, back", "Lid, outside", "Lid, inside"] {
        assert!(said.contains(title), "{title}");
    }
    let titles: Vec<&str> = document
        .pages
        .iter()
        .map(|page| page.title.as_str())
        .collect();
    assert!(
        !titles.iter().any(|title| title.contains("Template")),
        "{titles:?}"
    );
    let drawn = plan.frames[1..].iter();
    let drawn = drawn.flat_map(|frame| view::Sides::new(&plan, frame, 200_000_000).at(150_000_000));
    let open = drawn.chain([page("Cut open").clone()]);
    for page in open {
        let told = texts(&page).to_lowercase();
        let told: Vec<&str> = told.split(|c: char| !c.is_alphabetic()).collect();
        for word in ["tail", "spine", "pocket", "hole", "ring", "punch", "leaf"] {
            assert!(
                !told.contains(&word),
                "{} says {word}: {told:?}",
                page.title
            );
        }
    }
}

/// Sizes are those that were worked out by hand in `harbour.toml`.
#[test]
fn boards_cover_all_leaves_and_are_cut_twice() {
    let (style, album) = boards(&[]);
    let plan = planned(&style, &album).expect("it fits");
    let sizes = plan.parts.iter().map(|part| {
        let size = [&part.width, &part.height].map(|side| plan.ruler.show_interval(side.value));
        (part.label.as_str(), part.count, size.join(" x "))
    });
    let sizes: Vec<(&str, i64, String)> = sizes.collect();
    let wanted = [
        ("belly", 1, "12 1/4 in x 2 in"),
        ("strip", 2, "1/2 in x 10 7/8 in"),
        ("board", 2, "4 5/8 in x 10 7/8 in"),
        ("wrap", 2, "6 7/8 in x 12 3/8 in"),
        ("endpaper", 2, "4 3/8 in x 10 5/8 in"),
    ];
    assert_eq!(sizes, wanted.map(|(a, n, size)| (a, n, size.to_owned())));
    let order = pieces::order(&plan, &album, Vec::new(), Trimmer::default());
    let wants = order.wants.iter().chain(&order.any_paper);
    let own = wants.filter(|want| want.leaf.is_empty());
    let own: Vec<(&str, u64)> = own.map(|want| (want.name.as_str(), want.count)).collect();
    let wanted = [
        ("strip", 2),
        ("board", 2),
        ("wrap", 2),
        ("endpaper", 2),
        ("belly", 1),
    ];
    assert_eq!(own, wanted);
    let closed = plan.closed.expect("it closes");
    assert_eq!(closed.width.nm(), 87 * INCH / 16);
    assert_eq!(closed.height.nm(), 87 * INCH / 8);
}

/// A board stands 1/8 in below the tails, so its holes are 1/8 in higher above its own.
#[test]
fn holes_of_boards_meet_those_of_the_leaves() {
    let given = (
        "edge = \"1/4 in\"",
        "edge = \"1/4 in\", first = \"2 1/8 in\"",
    );
    let unequal = ("edge = \"1/4 in\"", "pattern = \"Swedish four-hole\"");
    for changes in [&[][..], &[given], &[unequal]] {
        let (style, album) = boards(changes);
        let Some(plan) = planned(&style, &album) else {
            panic!("{changes:?}");
        };
        let frame = |name: &str| plan.frames.iter().find(|it| it.name == name);
        let heights = |name: &str, mark: &str| {
            let heights = frame(name).expect("a frame").heights(mark);
            let heights = heights.iter().map(|up| up.middle().nm());
            heights.collect::<Vec<i64>>()
        };
        let on_leaf = heights("leaf", "hole");
        assert!(on_leaf.len() >= 3);
        let higher: Vec<i64> = on_leaf.iter().map(|up| up + INCH / 8).collect();
        assert_eq!(heights("cover", "cover_hole"), higher);
    }
}

/// The wrap stands out all round; the endpaper lies on the inside; the band is cut from its own frame.
#[test]
fn boards_are_drawn_with_their_wrap_and_have_a_template_of_their_own() {
    let (plan, document) = printed(&boards(&[]));
    let page = |title| page(&document, title);
    let at = plan.frames.iter().position(|it| it.titles[0] == "cover");
    let outside = side(&plan, at.expect("a cover"), false);
    let (cover, wrap) = (outside["cover: cover"], outside["cover: wrap"]);
    // 5/8 in and the board's 5/64 in stand out at the spine edge.
    assert_eq!(cover.0 - wrap.0, 45 * INCH / 64);
    assert!(!outside.contains_key("cover: endpaper"));
    let inside = side(&plan, at.expect("a cover"), true);
    assert!(inside.contains_key("cover: endpaper"));
    let template = texts(page("Template at true scale: cover"));
    let plain = |words: &str| words.replace(['\u{a0}', '\u{202f}'], " ");
    assert!(plain(&template).contains("2 in"), "{template}");
    let said = document
        .pages
        .iter()
        .map(texts)
        .collect::<Vec<_>>()
        .join(" ");
    for piece in ["wrap", "board", "strip", "endpaper", "belly"] {
        assert!(said.contains(piece), "{said}");
    }
    let steps = document
        .pages
        .iter()
        .filter(|it| it.title.contains("Building"));
    let steps: String = steps.map(texts).collect();
    let steps = plain(&steps);
    for said in [
        "Each cover: glue the endpaper",
        "a wrap of 6⅞ × 12⅜ in",
        "2 covers, outside up",
    ] {
        assert!(steps.contains(said), "{said}: {steps}");
    }
}

/// What an album leaves out is not there; what it gives or measures stays; what it names is cut from that.
#[test]
fn an_album_says_what_its_own_parts_are() {
    let papers = "papers = { wrap = \"book cloth\", board = \"grey board\", strip = \"grey board\", endpaper = \"sand paper\", belly = \"any\" }";
    let other = "papers = { belly = \"none\" }\ngiven = { \"board.height\" = \"11 in\" }\nmeasured = { \"strip.width\" = \"9/16 in\" }";
    let (style, album) = boards(&[(papers, other)]);
    let plan = planned(&style, &album).expect("it fits");
    let part = |name: &str| plan.parts.iter().find(|part| part.label == name);
    assert!(part("belly").is_none());
    assert!(plan.frames.iter().all(|frame| frame.name != "belly"));
    let width = part("strip").expect("a strip").width.value;
    assert_eq!(plan.ruler.show_interval(width), "9/16 in");
    let height = part("endpaper").expect("an endpaper").height.value;
    assert_eq!(plan.ruler.show_interval(height), "10 3/4 in");
}

#[test]
fn a_part_that_is_cut_to_its_room_may_be_left_out() {
    let album = words("card-box", "recipes.toml");
    let (from, to) = ("ruler = ", "papers = { label = \"none\" }\nruler = ");
    let album = read(&album.replacen(from, to, 1));
    let plan = planned(&card_box().0, &album).expect("it fits");
    assert!(plan.parts.iter().all(|part| part.label != "label"));
    let tray = plan.frames.iter().find(|frame| frame.name == "tray");
    assert!(tray.expect("a tray").part("label").is_none());
}

/// A sheet that no board comes out of is a clash like any other.
#[test]
fn boards_that_come_out_of_no_sheet_clash() {
    let (style, album) = boards(&[("size = \"12 x 18 in\"", "size = \"8 x 10 in\"")]);
    assert!(planned(&style, &album).is_none());
}

/// What has no holes and no rings is never told of any.
#[test]
fn no_answer_speaks_of_what_is_not_there() {
    for verb in [&["fit", "--all"][..], &["why"], &["rules"], &["cut"]] {
        let (code, told, _) = run("card-box", &[verb, &["recipes.toml"]].concat());
        assert_eq!(code, Some(0));
        // What can hurt is listed of all kinds where an answer is no album's.
        let told = told.split("Take care").next().unwrap_or("").to_lowercase();
        for word in told.split(|c: char| !c.is_alphabetic()) {
            let other = [
                "hole", "holes", "ring", "rings", "punch", "punched", "spine", "pocket",
            ];
            assert!(!other.contains(&word), "{verb:?} says {word}: {told}");
        }
    }
}

/// Runs the program on an album of `tests/styles`: its exit code, what it prints and what it complains of.
fn run(kind: &str, arguments: &[&str]) -> (Option<i32>, String, String) {
    run_in(&folder(kind), arguments)
}

fn run_in(folder: &Path, arguments: &[&str]) -> (Option<i32>, String, String) {
    let mut program = Command::new(env!("CARGO_BIN_EXE_tuckwright"));
    let output = program.args(arguments).current_dir(folder).output();
    let output = output.expect("the program runs");
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    (
        output.status.code(),
        text(&output.stdout),
        text(&output.stderr),
    )
}

#[test]
fn all_go_through_every_verb() {
    let to = tempfile::tempdir().expect("a folder");
    for (kind, album, piece) in [
        ("folded-bags", "four.toml", "page mat"),
        ("card-box", "recipes.toml", "recipe"),
        ("boards", "harbour.toml", "endpaper"),
    ] {
        for verb in ["fit", "why", "cut", "rules"] {
            let (code, out, err) = run(kind, &[verb, album]);
            assert_eq!(code, Some(0), "{verb} {album}: {out}\n{err}");
        }
        assert!(run(kind, &["fit", album]).1.contains(piece));
        let pdf = to.path().join(kind).with_extension("pdf");
        let (code, _, err) = run(kind, &["print", album, "-o", &pdf.to_string_lossy()]);
        assert_eq!(code, Some(0), "{err}");
        assert!(pdf.exists());
    }
}

/// The kind of album that DEVELOPERS.md shows, and its album, off that page.
#[test]
fn the_kind_that_is_explained_works() {
    let page = Path::new(env!("CARGO_MANIFEST_DIR")).join("DEVELOPERS.md");
    let page = fs::read_to_string(page).expect("a page");
    let blocks = page.split("```toml\n").skip(1);
    let blocks: Vec<&str> = blocks.filter_map(|it| it.split("```").next()).collect();
    let to = tempfile::tempdir().expect("a folder");
    for (begins, file) in [
        ("style = \"pocket_book\"", "pocket_book.toml"),
        ("album = ", "album.toml"),
    ] {
        let block = blocks.iter().find(|it| it.starts_with(begins));
        fs::write(to.path().join(file), block.expect("a block")).expect("it is written");
    }
    let done = |arguments: &[&str]| {
        let (code, out, err) = run_in(to.path(), arguments);
        assert_eq!(code, Some(0), "{arguments:?}: {out}\n{err}");
        out
    };
    // Of envelopes of 4 1/2 x 6 in. Label: 4 1/2 - 2/2 wide, 6 - 2/2 high.
    // Reply: 4 1/2 - 2/8 wide; the pouch is 6 - 1/2 deep, less 1/8 high.
    let fit = done(&["fit", "album.toml"]);
    assert!(fit.contains("every size is proved best"), "{fit}");
    for size in ["label  3 1/2 x 5 in", "reply  4 1/4 x 5 3/8 in"] {
        assert!(fit.contains(size), "{size}: {fit}");
    }
    let cut = done(&["cut", "album.toml"]);
    assert!(cut.contains("3 of label, 3 1/2 x 5 in"), "{cut}");
    let rules = done(&["rules", "album.toml"]);
    assert!(rules.contains("A label leaves its margin"), "{rules}");
    done(&["why", "album.toml"]);
    done(&["print", "album.toml", "-o", "book.pdf"]);
    assert!(to.path().join("book.pdf").exists());
}

/// The kind of album that `help style` shows, as the screen shows it.
#[test]
fn the_kind_that_the_help_shows_works() {
    let to = tempfile::tempdir().expect("a folder");
    let (_, page, _) = run_in(to.path(), &["help", "style"]);
    let lines: Vec<&str> = page.lines().map(str::trim).collect();
    let between = |from: &str, to: &str| {
        let from = lines.iter().position(|it| it.starts_with(from));
        let rest = &lines[from.expect("where it begins")..];
        let to = rest.iter().position(|it| it.starts_with(to));
        rest[..to.expect("where it ends")].join("\n")
    };
    let style = between("style = \"tray\"", "And beside it");
    let album = between("album = \"A tray\"", "The file");
    fs::write(to.path().join("tray.toml"), style).expect("it is written");
    fs::write(to.path().join("album.toml"), album).expect("it is written");
    // 4 in of card and two walls of 1 in; folds 1 in and 1 + 4 in from the left.
    let (code, fit, err) = run_in(to.path(), &["fit", "album.toml"]);
    assert_eq!(code, Some(0), "{fit}{err}");
    assert!(fit.contains("tray   6 x 6 in"), "{fit}");
    let (code, json, _) = run_in(to.path(), &["fit", "album.toml", "--json"]);
    let folds = json.matches("\"name\": \"fold\"").count();
    assert_eq!((code, folds), (Some(0), 2), "{json}");
    let (code, out, err) = run_in(to.path(), &["print", "album.toml", "-o", "tray.pdf"]);
    assert_eq!(code, Some(0), "{out}{err}");
}

/// An album of each kind in millimetres, on A4: nothing in it is in inches but the bar of 4 in.
#[test]
fn metric_albums_have_no_inches() {
    for (kind, _) in crate::common::KINDS {
        let path = format!("tests/fits/metric-{kind}/album.toml");
        let album = read(&std::fs::read_to_string(path).expect("an album"));
        let style = crate::common::kind(kind);
        let (plan, document) = crate::with_parts_of(&style, Paper::A4, &album, None);
        assert_eq!(plan.certainty, tuckwright::plan::Certainty::Best);
        for page in &document.pages {
            let told = texts(page);
            let words: Vec<&str> = told.split_whitespace().collect();
            for two in words.windows(2) {
                let number = two[0] != "4" && two[0].ends_with(char::is_numeric);
                let inches = number && two[1].trim_matches(|c: char| !c.is_alphanumeric()) == "in";
                assert!(!inches, "{kind}, {}: {two:?}", page.title);
            }
        }
    }
}

/// No word of any kind's printout lies on anything: the demo albums, those in millimetres, and one with all
/// that only some albums ask for.
#[test]
fn printouts_of_every_kind_can_be_read() {
    let own = |name: &str| {
        let path = format!("tests/fits/{name}/album.toml");
        read(&std::fs::read_to_string(path).expect("an album"))
    };
    let kinds = crate::common::KINDS.iter();
    let demos = kinds
        .clone()
        .map(|(kind, name)| (*kind, crate::common::shipped(name)));
    let metric = kinds.map(|(kind, _)| (*kind, own(&format!("metric-{kind}"))));
    let extras = [("upright", own("extras-of-a-leaf"))];
    let mut wrong = Vec::new();
    for (kind, album) in demos.chain(metric).chain(extras) {
        let style = crate::common::kind(kind);
        for paper in crate::PAPERS {
            let (_, document) = crate::with_parts_of(&style, paper, &album, None);
            wrong.extend(faults(&format!("{kind}, {}", album.title), &document));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
