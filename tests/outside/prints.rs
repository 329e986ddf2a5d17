//! Published sizes of photo prints: which print a photo of a given mat is trimmed from, and how
//! print sizes hang together.

use super::shop::*;
use tuckwright::length::{Interval, Length};

/// Short and long side. 2R to 5R read in an encyclopaedia's table, both in inches and in rounded
/// millimetres; 6R and 8R by the table's rule, 8R's 203 x 254 mm from memory.
const INCHES: &[(&str, &str)] = &[
    ("2R", "2 1/2 x 3 1/2 in"),
    ("3R", "3 1/2 x 5 in"),
    ("4R", "4 x 6 in"),
    ("5R", "5 x 7 in"),
    ("6R", "6 x 8 in"),
    ("8R", "8 x 10 in"),
];
const MILLIMETRES: &[(&str, &str)] = &[
    ("2R", "63.5 x 89 mm"),
    ("3R", "89 x 127 mm"),
    ("4R", "102 x 152 mm"),
    ("5R", "127 x 178 mm"),
    ("8R", "203 x 254 mm"),
];

fn mat(ruler: &str, leaf: &str, prints: &[(&str, &str)], mat: &str) -> String {
    let prints = prints.iter();
    let prints: Vec<String> = prints
        .map(|(name, size)| format!("[[print]]\nname = \"{name}\"\nsize = \"{size}\""))
        .collect();
    let insert = format!(
        "[[leaf.insert]]\nname = \"photo_mat\"\nplace = \"mouth\"\nsize = \"{mat}\"\nphoto = true"
    );
    bare(ruler, leaf, &prints.join("\n")) + &insert
}

/// Width, height, print, whether it is turned, and what comes off left, right and at one end.
type Trimmed<'a> = (&'a str, &'a str, &'a str, bool, [&'a str; 3]);

#[track_caller]
fn trims(text: &str, wanted: Trimmed<'_>) {
    let (width, height, name, turned, off) = wanted;
    let plan = plan(text);
    has(&plan, &[("photo_mat.photo", width, height)]);
    let photo = insert(&plan, "photo_mat").photo.as_ref().expect("a photo");
    let print = photo.print.as_ref().expect("a print");
    assert_eq!((print.name.as_str(), print.turned), (name, turned));
    let found = [print.off_left, print.off_right, print.off_end];
    assert_eq!(found, off.map(length), "{found:?}");
}

/// The border and the caption strip are 1/8 in, so a photo is 1/4 in smaller both ways than its mat,
/// and comes from the first print that is no smaller.
#[test]
fn a_photo_in_inches_is_trimmed_from_the_smallest_print() {
    let nothing = ["0 in"; 3];
    for (size, wanted) in [
        (
            "2 3/4 x 3 3/4 in",
            ("2 1/2 in", "3 1/2 in", "2R", false, nothing),
        ),
        (
            "3 3/4 x 5 1/4 in",
            ("3 1/2 in", "5 in", "3R", false, nothing),
        ),
        ("5 1/4 x 7 1/4 in", ("5 in", "7 in", "5R", false, nothing)),
        ("8 1/4 x 10 1/4 in", ("8 in", "10 in", "8R", false, nothing)),
        // Across: the print is turned.
        (
            "5 1/4 x 3 3/4 in",
            ("5 in", "3 1/2 in", "3R", true, nothing),
        ),
        // 4 - 3 3/4 = 1/4, an eighth off each side.
        (
            "4 x 6 1/4 in",
            (
                "3 3/4 in",
                "6 in",
                "4R",
                false,
                ["1/8 in", "1/8 in", "0 in"],
            ),
        ),
        // One step wider than 3R: 4R, 3/8 off, which the ruler does not halve; 6 - 5 = 1 off an end.
        (
            "3 7/8 x 5 1/4 in",
            (
                "3 5/8 in",
                "5 in",
                "4R",
                false,
                ["1/8 in", "1/4 in", "1 in"],
            ),
        ),
        // One step higher than 3R.
        (
            "3 3/4 x 5 3/8 in",
            (
                "3 1/2 in",
                "5 1/8 in",
                "4R",
                false,
                ["1/4 in", "1/4 in", "7/8 in"],
            ),
        ),
        // Higher than 5R: 6R.
        (
            "5 1/4 x 7 3/8 in",
            (
                "5 in",
                "7 1/8 in",
                "6R",
                false,
                ["1/2 in", "1/2 in", "7/8 in"],
            ),
        ),
    ] {
        trims(&mat("1/8 in", "10 x 14 in", INCHES, size), wanted);
    }
}

/// A print is never enlarged: on a mat for 9 x 11 in the largest photo is an 8R.
#[test]
fn a_photo_is_no_larger_than_the_largest_print() {
    let text = mat("1/8 in", "10 x 14 in", INCHES, "9 1/4 x 11 1/4 in");
    trims(&text, ("8 in", "10 in", "8R", false, ["0 in"; 3]));
    let plan = plan(&text);
    held(
        &plan,
        "photo_mat.photo.height",
        &["a photo is no higher than its print"],
    );
}

/// The same in millimetres: the border and the caption strip are 3 mm.
#[test]
fn a_photo_in_millimetres() {
    let nothing = ["0 mm"; 3];
    for (size, wanted) in [
        ("95 x 133 mm", ("89 mm", "127 mm", "3R", false, nothing)),
        ("108 x 158 mm", ("102 mm", "152 mm", "4R", false, nothing)),
        ("133 x 184 mm", ("127 mm", "178 mm", "5R", false, nothing)),
        ("209 x 260 mm", ("203 mm", "254 mm", "8R", false, nothing)),
        // 63.5 lies on no millimetre: 63 wide, the odd half off one side.
        (
            "69.5 x 95 mm",
            ("63 mm", "89 mm", "2R", false, ["0 mm", "0.5 mm", "0 mm"]),
        ),
        // One millimetre wider than 4R's mat.
        (
            "109 x 158 mm",
            ("103 mm", "152 mm", "5R", false, ["12 mm", "12 mm", "26 mm"]),
        ),
    ] {
        trims(&mat("1 mm", "250 x 350 mm", MILLIMETRES, size), wanted);
    }
}

/// Two equal pieces of a sheet, side by side or one above the other; and a long side that is the
/// short one and two inches.
const HALVES: &str = r#"
    style = "halves"
    title = "Two equal pieces of a sheet"
    [quantity]
    pieces = { value = "2", why = "equal pieces" }
    [[unknown]]
    name = "insert.width"
    for = ["leaf in leaves", "insert in leaf.inserts"]
    prefer = "largest with insert.height"
    why = "cut size"
    [[unknown]]
    name = "insert.height"
    for = ["leaf in leaves", "insert in leaf.inserts"]
    prefer = "large"
    why = "cut size"
    [[rule]]
    name = "two pieces come out of the sheet"
    for = ["leaf in leaves", "insert in leaf.inserts"]
    either = [
      ['pieces * insert.width <= leaf.width', 'insert.height <= leaf.height'],
      ['insert.width <= leaf.width', 'pieces * insert.height <= leaf.height'],
    ]
    because = "{pieces} pieces of {insert.width} x {insert.height}"
    source = "printed table"
"#;

/// An encyclopaedia's table, read: twice 4R is 6R. It also prints that twice 2R is 5R; by area that
/// is wrong, 2 x 2 1/2 x 3 1/2 = 17 1/2 and 5 x 7 = 35: twice 2R is 3R, and twice 3R is 5R.
/// Derived here: 5 x 7 halved is 5 x 3 1/2, 5 x 3 1/2 halved is 2 1/2 x 3 1/2, 8 x 6 halved 4 x 6.
#[test]
fn twice_one_print_is_another() {
    let sides = |plan: &tuckwright::plan::Plan| {
        let half = insert(plan, "half");
        let mut sides: Vec<Length> = [&half.width, &half.height]
            .map(|side| side.value.least())
            .into();
        sides.sort();
        sides
    };
    for (sheet, short, long) in [
        ("3 1/2 x 5 in", "2 1/2 in", "3 1/2 in"),
        ("5 x 7 in", "3 1/2 in", "5 in"),
        ("6 x 8 in", "4 in", "6 in"),
    ] {
        let half = "[[leaf.insert]]\nname = \"half\"\nplace = \"mouth\"";
        let plan = plan_in(HALVES, &(bare("1/8 in", sheet, "") + half));
        assert_eq!(sides(&plan), [length(short), length(long)], "{sheet}");
    }
    // A larger piece than 2R does not come twice out of 3R; 3R does not come twice out of 4R.
    for (sheet, piece) in [
        ("3 1/2 x 5 in", "2 5/8 x 3 1/2 in"),
        ("4 x 6 in", "3 1/2 x 5 in"),
    ] {
        let half =
            format!("[[leaf.insert]]\nname = \"half\"\nplace = \"mouth\"\nsize = \"{piece}\"");
        let found = clash_in(HALVES, &(bare("1/8 in", sheet, "") + &half));
        clashes(&found, &["two pieces come out of the sheet"]);
    }
}

const NUMBERED: &str = r#"
    style = "numbered"
    title = "Prints called nR"
    [quantity]
    longer = { value = "2 in", why = "long side beyond the short one, up to 10 in" }
    [[unknown]]
    name = "insert.width"
    for = ["leaf in leaves", "insert in leaf.inserts"]
    prefer = "large"
    why = "short side"
    [[unknown]]
    name = "insert.height"
    for = ["leaf in leaves", "insert in leaf.inserts"]
    prefer = "large"
    why = "long side"
    [[rule]]
    name = "nR is two inches longer"
    for = ["leaf in leaves", "insert in leaf.inserts"]
    require = 'insert.height = insert.width + longer'
    because = "{left} high, {right} by the rule"
    source = "printed table"
"#;

/// The same table: the long side of nR is n + 2 in, but for 2R and 3R, which are neither n wide nor
/// 2 in longer. Read.
#[test]
fn the_rule_of_the_numbered_sizes() {
    let of = |sides: &str| {
        let print = format!("[[leaf.insert]]\nname = \"piece\"\nplace = \"mouth\"\n{sides}");
        bare("1/2 in", "12 x 12 in", "") + &print
    };
    for (n, long) in [("4", "6 in"), ("5", "7 in"), ("6", "8 in"), ("8", "10 in")] {
        let plan = plan_in(NUMBERED, &of(&format!("width = \"{n} in\"")));
        has(&plan, &[("piece", &format!("{n} in"), long)]);
        let table = INCHES.iter().find(|(name, _)| *name == format!("{n}R"));
        let (_, size) = table.expect("a print");
        assert_eq!(*size, format!("{n} x {long}"));
    }
    for (name, size) in &INCHES[..2] {
        let found = clash_in(NUMBERED, &of(&format!("size = \"{size}\"")));
        clashes(&found, &["nR is two inches longer"]);
        assert!(["2R", "3R"].contains(name));
    }
}

/// Print sizes in millimetres are rounded: what is cut for 102 x 152 is larger than a 4 x 6 in print
/// (101.6 x 152.4) one way and smaller the other. Derived here: on a millimetre ruler the photo from
/// the print in inches is 101 x 152.
#[test]
fn inches_and_rounded_millimetres_are_two_prints() {
    let inches = [("4R", "4 x 6 in")];
    let text = mat("1 mm", "250 x 350 mm", &inches, "108 x 158 mm");
    trims(
        &text,
        (
            "101 mm",
            "152 mm",
            "4R",
            false,
            ["0 mm", "0.6 mm", "0.4 mm"],
        ),
    );
    let width = plan(&text);
    let photo = insert(&width, "photo_mat").photo.as_ref().expect("a photo");
    // (108 - 101) / 2 = 3.5 at each side, 158 - 3 - 152 = 3 below.
    assert_eq!(photo.border_side, Interval::exact(length("3.5 mm")));
    assert_eq!(photo.border_below, Interval::exact(length("3 mm")));
}

fn shaped(ruler: &str, prints: &[(&str, &str)], size: &str, shape: &str) -> String {
    let text = mat(ruler, "250 x 350 mm", prints, size);
    text.replace(
        "photo = true",
        &format!("photo = {{ shape = \"{shape}\" }}"),
    )
}

/// 4R is 4 x 6 in, so 2 to 3 (read). On a mat of 3 3/4 x 5 1/4 a photo of that shape is two and three
/// times the same whole number of eighths: three times 13 is 4 7/8, three times 14 would be 5 1/4,
/// more than the 5 that borders leave. 3 1/4 x 4 7/8, from a 3R of 3 1/2 x 5. Derived here.
#[test]
fn a_photo_of_two_to_three() {
    let wanted = ("3 1/4 in", "4 7/8 in", "3R", false, ["1/8 in"; 3]);
    trims(&shaped("1/8 in", INCHES, "3 3/4 x 5 1/4 in", "2:3"), wanted);
    trims(&shaped("1/8 in", INCHES, "3 3/4 x 5 1/4 in", "3:2"), wanted);
    // A mat of 4 1/4 x 6 1/4 takes a whole 4R.
    let wanted = ("4 in", "6 in", "4R", false, ["0 in"; 3]);
    trims(&shaped("1/8 in", INCHES, "4 1/4 x 6 1/4 in", "2:3"), wanted);
}

/// ISO/IEC 7810 ID-1, 85.60 x 53.98 mm (read), has no whole sides: neither side of a photo of that
/// shape may miss it by more than two ruler steps, whichever side is said first. On a mat of
/// 92 x 66 mm it is at most 86 wide. 55 high asks for 55 x 85.6 / 53.98 = 87.2, 1.2 steps more;
/// 56 high for 88.8, 2.8 more. Derived here.
#[test]
fn a_photo_shaped_like_a_bank_card() {
    let prints = [("large", "203 x 254 mm")];
    for shape in ["5398:8560", "8560:5398"] {
        let plan = plan(&shaped("1 mm", &prints, "92 x 66 mm", shape));
        has(&plan, &[("photo_mat.photo", "86 mm", "55 mm")]);
    }
}
