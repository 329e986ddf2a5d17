//! Printed answers from neighbouring crafts, each as a style of its own: picture mats, envelopes,
//! and a length cut into equal parts.

use super::shop::*;

const HELD: &str = "the window holds the picture";
const EVEN: &str = "borders are the same on both sides";
const WIDE: &str = "borders have their width";

/// The leaf is the board, as large as the glass; `margin` is the border beside the window (width)
/// and above it (height).
const MATS: &str = r#"
    style = "picture mats"
    title = "A board with a window before a picture"
    [quantity]
    overlap = { value = "1/8 in", metric = "2 mm", why = "picture behind each edge of the window" }
    border_least = { value = "1 in", metric = "25 mm", why = "board beside the window" }
    [[unknown]]
    name = "window.width"
    for = ["leaf in leaves"]
    prefer = "large"
    why = "cut size"
    [[unknown]]
    name = "window.height"
    for = ["leaf in leaves"]
    prefer = "large"
    why = "cut size"
    [[unknown]]
    name = "margin.width"
    for = ["leaf in leaves"]
    prefer = "large"
    why = "border at each side"
    [[unknown]]
    name = "margin.height"
    for = ["leaf in leaves"]
    prefer = "large"
    why = "border above and below"
    [[unknown]]
    name = "insert.width"
    for = ["leaf in leaves", "insert in leaf.inserts"]
    prefer = "large"
    why = "the picture"
    [[unknown]]
    name = "insert.height"
    for = ["leaf in leaves", "insert in leaf.inserts"]
    prefer = "large"
    why = "the picture"
    [[rule]]
    name = "the window holds the picture"
    for = ["leaf in leaves", "insert in leaf.inserts"]
    require = [
      'window.width + 2 * overlap <= insert.width',
      'window.height + 2 * overlap <= insert.height',
    ]
    because = "a window and {overlap} behind each edge need {left}; the picture has {right}"
    source = "framing pages"
    [[rule]]
    name = "borders are the same on both sides"
    for = ["leaf in leaves"]
    require = [
      'window.width + 2 * margin.width = leaf.width',
      'window.height + 2 * margin.height = leaf.height',
    ]
    because = "window and borders come to {left}; the board has {right}"
    source = "framing pages"
    [[rule]]
    name = "borders have their width"
    for = ["leaf in leaves"]
    require = ['margin.width >= border_least', 'margin.height >= border_least']
    because = "a border of {left}; {right} is wanted"
    source = "framing pages"
"#;

fn framed(ruler: &str, board: &str, picture: &str, rest: &str) -> String {
    let set = format!("[set]\n{rest}");
    bare(ruler, board, &set)
        + "papers = { window = \"any\", margin = \"any\" }\n"
        + &format!("[[leaf.insert]]\nname = \"picture\"\nplace = \"back\"\nsize = \"{picture}\"")
}

/// Read, framing pages: glass of 14 x 11 in and a window of 9 3/4 x 7 3/4 leave borders of 2 1/8 and
/// 1 5/8; a print of 8 x 10 in with 1/8 overlap has that window.
/// (14 - 9 3/4) / 2 = 2 1/8, (11 - 7 3/4) / 2 = 1 5/8, 10 - 2/8 = 9 3/4, 8 - 2/8 = 7 3/4.
#[test]
fn borders_under_a_given_glass() {
    let plan = plan_in(MATS, &framed("1/8 in", "14 x 11 in", "10 x 8 in", ""));
    has(
        &plan,
        &[
            ("window", "9 3/4 in", "7 3/4 in"),
            ("margin", "2 1/8 in", "1 5/8 in"),
        ],
    );
    held(&plan, "window.width", &[HELD]);
    held(&plan, "window.height", &[HELD]);
    // In quarters 14 - 9 3/4 cannot be halved: (56 - 39) / 2. The window is a step smaller.
    let quarters = plan_in(MATS, &framed("1/4 in", "14 x 11 in", "10 x 8 in", ""));
    has(
        &quarters,
        &[
            ("window", "9 1/2 in", "7 1/2 in"),
            ("margin", "2 1/4 in", "1 3/4 in"),
        ],
    );
    held(&quarters, "window.width", &[HELD, EVEN]);
}

/// The second printed example asks for borders of 2 in: the board is 9 3/4 + 4 = 13 3/4 by
/// 7 3/4 + 4 = 11 3/4. On a board 1/4 in smaller both ways the window gives way.
#[test]
fn borders_of_two_inches() {
    let two = "border_least = \"2 in\"";
    let plan = plan_in(
        MATS,
        &framed("1/8 in", "13 3/4 x 11 3/4 in", "10 x 8 in", two),
    );
    has(
        &plan,
        &[
            ("window", "9 3/4 in", "7 3/4 in"),
            ("margin", "2 in", "2 in"),
        ],
    );
    let less = plan_in(
        MATS,
        &framed("1/8 in", "13 1/2 x 11 1/2 in", "10 x 8 in", two),
    );
    has(
        &less,
        &[
            ("window", "9 1/2 in", "7 1/2 in"),
            ("margin", "2 in", "2 in"),
        ],
    );
    held(&less, "window.width", &[EVEN, WIDE]);
}

/// The third: 216 x 279 mm with 2 mm overlap has a window of 212 x 275. On a board of 312 x 375 mm
/// that leaves 50 mm everywhere.
#[test]
fn a_window_in_millimetres() {
    let plan = plan_in(MATS, &framed("1 mm", "312 x 375 mm", "216 x 279 mm", ""));
    has(
        &plan,
        &[("window", "212 mm", "275 mm"), ("margin", "50 mm", "50 mm")],
    );
}

/// Read, framing pages: an overlap of at least 1/8 in for each edge, 1/4 is common. With 1/4 the
/// window is 1/4 in smaller both ways, and each border wider by half of that.
#[test]
fn a_common_overlap() {
    let quarter = "overlap = \"1/4 in\"";
    let plan = plan_in(MATS, &framed("1/8 in", "14 x 11 in", "10 x 8 in", quarter));
    has(
        &plan,
        &[
            ("window", "9 1/2 in", "7 1/2 in"),
            ("margin", "2 1/4 in", "1 3/4 in"),
        ],
    );
}

const EASE: &str = "an insert has its ease";

/// The leaf is the envelope.
pub const ENVELOPES: &str = r#"
    style = "envelopes"
    title = "One insert in an envelope"
    [quantity]
    ease_across = { value = "1/4 in", metric = "6 mm", why = "insert narrower than its envelope" }
    ease_up = { value = "1/4 in", metric = "6 mm", why = "insert lower than its envelope" }
    [[unknown]]
    name = "insert.width"
    for = ["leaf in leaves", "insert in leaf.inserts"]
    prefer = "large"
    why = "cut size"
    [[unknown]]
    name = "insert.height"
    for = ["leaf in leaves", "insert in leaf.inserts"]
    prefer = "large"
    why = "cut size"
    [[rule]]
    name = "an insert has its ease"
    for = ["leaf in leaves", "insert in leaf.inserts"]
    require = [
      'insert.width + ease_across <= leaf.width',
      'insert.height + ease_up <= leaf.height',
    ]
    because = "the insert and its ease need {left}; the envelope has {right}"
    source = "sellers' pages"
"#;

pub fn envelope(ruler: &str, size: &str, card: &str, set: &str) -> String {
    let set = format!("[set]\n{set}");
    bare(ruler, size, &set) + "[[leaf.insert]]\nname = \"note\"\nplace = \"mouth\"\n" + card
}

/// Read, sellers' pages: an insert is at least 1/4 in smaller both ways; A-6, 4 3/4 x 6 1/2, takes
/// 4 1/2 x 6 1/4; A-7, 5 1/4 x 7 1/4, takes 5 x 7; No. 10 is 4 1/8 x 9 1/2.
#[test]
fn what_goes_into_an_envelope() {
    for (size, width, height) in [
        ("4 3/4 x 6 1/2 in", "4 1/2 in", "6 1/4 in"),
        ("5 1/4 x 7 1/4 in", "5 in", "7 in"),
        // No printed insert; 4 1/8 - 1/4 and 9 1/2 - 1/4, derived here.
        ("4 1/8 x 9 1/2 in", "3 7/8 in", "9 1/4 in"),
    ] {
        let plan = plan_in(ENVELOPES, &envelope("1/8 in", size, "", ""));
        has(&plan, &[("note", width, height)]);
        held(&plan, "note.width", &[EASE]);
        // A step more does not go in.
        let more = format!("width = \"{width}\"\nheight = \"9 3/8 in\"");
        clashes(
            &clash_in(ENVELOPES, &envelope("1/8 in", size, &more, "")),
            &[EASE],
        );
    }
}

/// The same pages: A-2, 4 3/8 x 5 3/4, takes 4 1/4 x 5 1/2. That is 1/8 less one way and 1/4 the
/// other, so their own rule is not kept everywhere; by the rule A-2 takes 4 1/8 x 5 1/2.
#[test]
fn the_printed_insert_of_a_2_breaks_the_printed_rule() {
    let printed = "size = \"4 1/4 x 5 1/2 in\"";
    let a_2 = |card: &str, set: &str| envelope("1/8 in", "4 3/8 x 5 3/4 in", card, set);
    has(
        &plan_in(ENVELOPES, &a_2("", "")),
        &[("note", "4 1/8 in", "5 1/2 in")],
    );
    let found = clash_in(ENVELOPES, &a_2(printed, ""));
    clashes(&found, &[EASE]);
    assert!(found[0].1.contains("4 1/2 in"), "{}", found[0].1);
    assert!(found[0].1.contains("4 3/8 in"), "{}", found[0].1);
    // With an eighth across it goes in, and a sixteenth more does not.
    let eighth = "ease_across = \"1/8 in\"";
    plan_in(ENVELOPES, &a_2(printed, eighth));
    clashes(
        &clash_in(ENVELOPES, &a_2("size = \"4 5/16 x 5 1/2 in\"", eighth)),
        &[EASE],
    );
    clashes(
        &clash_in(ENVELOPES, &a_2("size = \"4 1/4 x 5 9/16 in\"", eighth)),
        &[EASE],
    );
}

/// ISO 269 C6, 114 x 162 mm, is made for A6, 105 x 148 mm; tolerances of ISO 216 are 1.5 mm up to
/// 150 mm and 2 mm above. Read. Derived: the widest A6 in the narrowest C6 has 112.5 - 106.5 = 6 mm,
/// not the nominal 9.
#[test]
fn the_largest_insert_in_the_smallest_envelope() {
    let c6 = "114 ± 1.5 mm x 162 ± 2 mm";
    let a6 = "size = \"105 ± 1.5 mm x 148 ± 1.5 mm\"";
    plan_in(ENVELOPES, &envelope("1 mm", c6, a6, ""));
    let more = "ease_across = \"6.01 mm\"";
    clashes(
        &clash_in(ENVELOPES, &envelope("1 mm", c6, a6, more)),
        &[EASE],
    );
    // Without ± nine would do, and no more.
    let exact = |ease: &str| {
        let set = format!("ease_across = \"{ease}\"");
        envelope("1 mm", "114 x 162 mm", "size = \"105 x 148 mm\"", &set)
    };
    plan_in(ENVELOPES, &exact("9 mm"));
    clashes(&clash_in(ENVELOPES, &exact("9.01 mm")), &[EASE]);
}

const PARTS: &str = r#"
    style = "equal parts"
    title = "One length in equal parts"
    [quantity]
    parts = { value = "3", why = "equal parts" }
    [[unknown]]
    name = "strip.width"
    for = ["leaf in leaves"]
    prefer = "large"
    why = "cut size"
    [[unknown]]
    name = "strip.height"
    for = ["leaf in leaves"]
    prefer = "large"
    why = "cut size"
    [[rule]]
    name = "the parts come out of the length"
    for = ["leaf in leaves"]
    require = 'parts * strip.width <= leaf.width'
    because = "{parts} parts of {strip.width} need {left}; there is {right}"
    source = "arithmetic"
    [[rule]]
    name = "a strip is as high as the sheet"
    for = ["leaf in leaves"]
    require = 'strip.height <= leaf.height'
    because = "{left} high; there is {right}"
    source = "arithmetic"
"#;

/// Derived here: 11 in in three parts are 3 2/3. The nearest sixteenth, 3 11/16, three times over is
/// 11 1/16; sizes to be cut are rounded down, to 3 5/8 in eighths and in sixteenths.
#[test]
fn eleven_inches_in_three_parts() {
    let on = |ruler: &str, given: &str| {
        let leaf = format!("papers = {{ strip = \"any\" }}\n{given}");
        bare(ruler, "11 x 8 1/2 in", "") + &leaf
    };
    for ruler in ["1/8 in", "1/16 in"] {
        let plan = plan_in(PARTS, &on(ruler, ""));
        has(&plan, &[("strip", "3 5/8 in", "8 1/2 in")]);
        held(&plan, "strip.width", &["the parts come out of the length"]);
    }
    // 3 21/32 = 3.65625, three times 10.96875.
    has(
        &plan_in(PARTS, &on("1/32 in", "")),
        &[("strip", "3 21/32 in", "8 1/2 in")],
    );
    let nearest = "given = { \"strip.width\" = \"3 11/16 in\" }";
    let found = clash_in(PARTS, &on("1/16 in", nearest));
    clashes(&found, &["the parts come out of the length"]);
    assert!(
        found[0].1.contains("need 11 1/16 in; there is 11 in"),
        "{}",
        found[0].1
    );
}
