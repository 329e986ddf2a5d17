//! Kinds of album beside the first, three facts each, worked out by hand.

use super::shop::*;
use tuckwright::length::Length;
use tuckwright::plan::Plan;
use tuckwright::style::shipped::shipped;

fn of(kind: &str, text: &str) -> Plan {
    let text = format!("album = \"Facts\"\nstyle = \"{kind}\"\n{text}");
    plan_of(&style(shipped(kind)), &album(&text))
}

fn bag(size: &str, more: &str) -> String {
    format!("[[bag]]\nname = \"bag\"\nsize = \"{size}\"\n{more}\n")
}

#[track_caller]
fn heights(plan: &Plan, wanted: &[&str]) {
    let holes = plan.holes.heights.iter().map(|it| it.least());
    let wanted = wanted.iter().map(|it| length(it));
    assert!(holes.eq(wanted), "{:?}", plan.holes.heights);
}

/// A block bag's bottom, turned over, is as wide as its gusset is deep (derived here: it is creased at half of
/// it). So a panel has the rest of 10 1/2 in but 1/16 in at each side: 10 1/2 - 3 1/8 - 1/8 = 7 1/4 in.
///
/// End holes 1/5 to 1/6 of the length from the ends: Bookbinding for Beginners, 1914, read. Of 5 1/8 in these
/// are 1.025 in and 0.854 in; on 1/8 in: 7/8 in.
#[test]
fn fore_edge_bottom_and_end_holes() {
    let bag = bag("5 1/8 x 10 1/2 in", "gusset = \"3 1/8 in\"");
    let plan = of(
        "foreedge",
        &format!(
            "ruler = \"1/8 in\"\ntemplate = {{ holes = 2 }}\n[[leaf]]\nname = \"leaf\"\nbag = \"bag\"\n{bag}"
        ),
    );
    has(&plan, &[("panel", "7 1/4 in", "5 in")]);
    heights(&plan, &["7/8 in", "4 1/4 in"]);
}

/// Two holes 80 mm apart, 6 mm wide, 12 mm from the edge: ISO 838, from memory. In the middle of 200 mm: 60 mm
/// and 140 mm above the tail.
#[test]
fn fore_edge_holes_of_a_binder() {
    let bag = bag("200 x 260 mm", "gusset = \"80 mm\"");
    let plan = of(
        "foreedge",
        &format!(
            "ruler = \"1 mm\"\ntemplate = {{ pattern = \"ISO 838\" }}\n[[leaf]]\nname = \"leaf\"\nbag = \"bag\"\n{bag}"
        ),
    );
    heights(&plan, &["60 mm", "140 mm"]);
    has(&plan, &[("panel", "177 mm", "197 mm")]);
}

fn sewn(size: &str, count: i64, more: &str) -> String {
    let bag = bag(size, "bottom = \"pinch\"\ncaliper = \"0.005 in\"");
    format!(
        "ruler = \"1/16 in\"\n{more}\n[set]\nbulk_factor = \"1\"\n[[leaf]]\nname = \"song\"\nbag = \"bag\"\ncount = {count}\npage_mat = \"laid\"\n{bag}[[paper]]\nname = \"laid\"\nsize = \"12 x 12 in\"\ncaliper = \"0.00825 in\"\n"
    )
}

/// In a round fold the innermost of n sheets stands out by pi/2 (n - 1) t (derived here; trade pages give about
/// t a sheet). Two walls and two mats are 0.0265 in: 11/7 x 3 x 0.0265 = 0.1249 in, 11/7 x 4 x 0.0265 = 0.1666 in,
/// and 1/8 in is the most.
#[test]
fn sewn_bags_creep() {
    of("signature", &sewn("6 x 9 in", 4, ""));
    let text = format!(
        "album = \"Facts\"\nstyle = \"signature\"\n{}",
        sewn("6 x 9 in", 5, "")
    );
    let found = clash_in(shipped("signature").expect("it is shipped"), &text);
    clashes(&found, &["inner pages do not stand out too far"]);
}

/// End stations at most 3/4 in from the ends; three stations below 7 in, five above: a published course of book
/// repair, read in a stored copy. On 6 in: 1/2, 3 and 5 1/2 in. Three on 8 in stand 3 1/2 in apart, of which the
/// answer warns; five do not. (Another guide says no less than 1 in from the ends.)
#[test]
fn sewn_stations() {
    let plan = of("signature", &sewn("6 x 9 in", 4, ""));
    heights(&plan, &["1/2 in", "3 in", "5 1/2 in"]);
    let warns = |stations| {
        let more = format!("template = {{ holes = {stations} }}");
        let plan = of("signature", &sewn("8 x 9 in", 4, &more));
        let mut rules = plan.rules.iter();
        rules.any(|wish| !wish.kept && wish.name == "a long fold has more stations")
    };
    assert!(warns(3) && !warns(5));
}

/// Twice the fold and 4 to 6 in of thread: the same course. From 1/2 in to 5 1/2 in and back, and 6 in: 16 in.
#[test]
fn sewn_thread() {
    let plan = of("signature", &sewn("6 x 9 in", 4, ""));
    let told = format!("{:?}", plan.steps);
    let thread = Length::INCH.nm() * 16;
    assert!(told.contains(&thread.to_string()), "{told}");
}

fn letter(size: &str, card: &str, template: &str) -> String {
    let bag = bag(size, "bottom = \"pinch\"\ncaliper = \"0.1 mm\"");
    format!(
        "ruler = \"1 mm\"\ntemplate = {{ {template} }}\n[[leaf]]\nname = \"letter\"\nbag = \"bag\"\nface = \"none\"\nliner = \"none\"\n[[leaf.insert]]\nname = \"note\"\nplace = \"inside\"\nsize = \"{card}\"\ncaliper = \"0.3 mm\"\n{bag}"
    )
}

/// C6, 114 x 162 mm, takes A6, 105 x 148 mm; C5, 162 x 229 mm, takes A5, 148 x 210 mm: ISO 269 and ISO 216, read
/// in an encyclopaedia's tables. B6, 125 x 176 mm, takes C6: from memory. Beside holes: 6 + 3 + 3 + 148 + 0.6 =
/// 160.6 mm of 162; with those of ISO 838 12 + 3 + 3 + 210 + 0.6 = 228.6 mm of 229.
#[test]
fn envelopes_take_their_sheets() {
    let near = "holes = 2, diameter = \"6 mm\", edge = \"6 mm\"";
    let binder = "holes = 2, diameter = \"6 mm\", edge = \"12 mm\"";
    for (envelope, card, template) in [
        ("114 x 162 mm", "148 x 105 mm", near),
        ("162 x 229 mm", "210 x 148 mm", binder),
        ("125 x 176 mm", "162 x 114 mm", near),
    ] {
        of("envelope", &letter(envelope, card, template));
    }
    // A6 in C6 beside the holes of a binder: 12 + 3 + 3 + 148 + 0.6 = 166.6 mm of 162.
    let text = letter("114 x 162 mm", "148 x 105 mm", binder);
    let text = format!("album = \"Facts\"\nstyle = \"envelope\"\n{text}");
    let found = clash_in(shipped("envelope").expect("it is shipped"), &text);
    clashes(
        &found,
        &["a card goes in past its holes and its own thickness"],
    );
}

fn covers(set: &str) -> Plan {
    let bag = bag("5 x 8 in", "bottom = \"pinch\"");
    of(
        "boards",
        &format!(
            "ruler = \"1/8 in\"\ntemplate = {{ edge = \"1/4 in\" }}\n{set}\n[[leaf]]\nname = \"leaf\"\nbag = \"bag\"\n{bag}"
        ),
    )
}

/// Squares of 1/8 in, turn-ins of 3/4 in: Printing and Bookbinding for Schools, early 20th century, read in
/// excerpt. A hinge of 7 to 10 mm or 3/8 in: common practice, no published source; 5/16 in is 7.9 mm.
///
/// Boards: 8 + 2/8 = 8 1/4 in high; strip 1/4 + 1/8 + 1/8 = 1/2 in; 5 + 1/8 - 1/2 - 5/16 = 4 5/16, so 4 3/8 in
/// wide. Wrap: 1/2 + 5/16 + 4 3/8 + 2 x 3/4 + 2 x 5/64 = 6 27/32, so 6 7/8 in; 8 1/4 + 1 1/2 + 5/32, so 10 in.
#[test]
fn boards_in_their_wrap() {
    let plan = covers("set = { turn_in = \"3/4 in\" }");
    let told = |name: &str| {
        let part = plan
            .parts
            .iter()
            .find(|it| it.label == name)
            .expect("a part");
        [&part.width, &part.height].map(|side| plan.ruler.show_interval(side.value))
    };
    assert_eq!(told("strip"), ["1/2 in", "8 1/4 in"]);
    assert_eq!(told("board"), ["4 3/8 in", "8 1/4 in"]);
    assert_eq!(told("wrap"), ["6 7/8 in", "10 in"]);
    // With a hinge of 3/8 in the board is 4 1/4 in wide, and with one of 10 mm no wider.
    for hinge in ["3/8 in", "10 mm"] {
        let plan = covers(&format!("set = {{ hinge = \"{hinge}\" }}"));
        let board = plan.parts.iter().find(|it| it.label == "board");
        let board = board.expect("a board").width.value;
        assert_eq!(plan.ruler.show_interval(board), "4 1/4 in", "{hinge}");
    }
}
