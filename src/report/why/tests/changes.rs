//! What may be changed, with what to type.

use super::*;
use crate::album::Value;
use crate::scene::BagMeasure;

#[test]
fn every_measure_is_told_both_ways_with_what_to_type() {
    let files = files();
    let told = |kind, name: &str, (now, to): (&str, &str), bag| {
        let one = FixChange::Measure {
            kind,
            name: name.to_owned(),
            of: "brown".to_owned(),
            why: "play".to_owned(),
            from: int(now),
            to: int(to),
        };
        let ruler = if now.ends_with("mm") {
            "1 mm"
        } else {
            "1/8 in"
        };
        let from = From {
            bag,
            without_pocket: false,
            file: true,
            ..from(&files, ruler, 1)
        };
        change(from, &one)
    };
    use Kind::{Pocket, Quantity, Size, Template};
    for (kind, name, moved, bag, says) in [
        (
            Template("edge"),
            "template.edge",
            ("12 mm", "11 mm"),
            false,
            "punch the holes 1 mm nearer to the spine edge: 11 mm from it (`edge = \"11 mm\"`)",
        ),
        (
            Template("edge"),
            "template.edge",
            ("3/16 in", "1/4 in"),
            true,
            "punch the holes 1/16 in further from the spine edge: 1/4 in from it (`--edge \"1/4 in\"`)",
        ),
        (
            Template("first"),
            "template.first",
            ("1 1/8 in", "7/8 in"),
            false,
            "punch the lowest hole 1/4 in lower: 7/8 in above the tail (`first = \"7/8 in\"`)",
        ),
        (
            Template("first"),
            "template.first",
            ("7/8 in", "1 1/8 in"),
            false,
            "punch the lowest hole 1/4 in higher: 1 1/8 in above the tail (`first = \"1 1/8 in\"`)",
        ),
        (
            Template("pitch"),
            "template.pitch",
            ("80 mm", "78 mm"),
            false,
            "make the hole spacing 2 mm smaller: 78 mm (`pitch = \"78 mm\"`)",
        ),
        (
            Template("diameter"),
            "template.diameter",
            ("1/4 in", "3/8 in"),
            true,
            "make the diameter of a hole 1/8 in larger: 3/8 in (`--hole \"3/8 in\"`)",
        ),
        (
            Pocket(BagMeasure::PocketEdge),
            "pocket.edge",
            ("3 in", "3 1/4 in"),
            true,
            "let the pocket's edge stand 1/4 in higher: 3 1/4 in above the tail (`--pocket \"3 1/4 in\"`)",
        ),
        (
            Pocket(BagMeasure::PocketDepth),
            "pocket.depth",
            ("30 mm", "28 mm"),
            false,
            "make the pocket of `brown` 2 mm less deep: 28 mm (`pocket = { depth = \"28 mm\" ... }`)",
        ),
        (
            Quantity,
            "ease",
            ("3 mm", "4 mm"),
            false,
            "make `ease` 1 mm larger: 4 mm (play; `--set ease=\"4 mm\"`)",
        ),
        (
            Size,
            "post_card.photo.height",
            ("3 in", "3 1/4 in"),
            false,
            "make post card's photo 1/4 in higher: 3 1/4 in high",
        ),
        (
            Size,
            "post_card.show",
            ("1/4 in", "1/2 in"),
            false,
            "let post card show 1/4 in more: 1/2 in (`show = \"1/2 in\"`)",
        ),
        (
            Size,
            "pocket.edge",
            ("3 in", "2 7/8 in"),
            false,
            "let the pocket's edge stand 1/8 in lower: 2 7/8 in above the tail",
        ),
        (
            Size,
            "pocket.depth",
            ("3 in", "3 1/8 in"),
            false,
            "make the pocket 1/8 in deeper: 3 1/8 in",
        ),
    ] {
        assert_eq!(told(kind, name, moved, bag), says);
    }
    let usual = FixChange::Usual {
        quantity: "inside_share".to_owned(),
        why: "share inside".to_owned(),
        from: Value::Ratio(2, 3),
        to: Value::Ratio(1, 2),
    };
    assert_eq!(
        change(from(&files, "1 mm", 1), &usual),
        "leave `inside_share` at 1/2, as usual, not 2/3 (share inside; `--set inside_share=\"1/2\"`)"
    );
}

#[test]
fn what_nothing_mends_hides_no_other_list() {
    let files = files();
    let from = from(&files, "1/8 in", 1);
    let mut none = explained(Vec::new());
    let told = plain(&explanation(from, &none));
    assert!(told.contains("was found before a limit was met."), "{told}");
    let stuck = FixList {
        fixes: Vec::new(),
        meanwhile: None,
        cheapest: None,
        all: true,
        clashes: Vec::new(),
        nothing_mends: vec![(
            "a pocket ends below the head".to_owned(),
            "cover".to_owned(),
        )],
    };
    let photo = sizes(&[("photo_mat.photo.width", "3 in")]);
    let other = FixList {
        fixes: vec![
            fix(vec![cut("3 3/4 in")], photo.clone()),
            fix(vec![cut("3 1/2 in")], photo),
        ],
        meanwhile: Some(0),
        cheapest: None,
        all: true,
        nothing_mends: Vec::new(),
        clashes: Vec::new(),
    };
    none.fixes = vec![other, stuck.clone()];
    none.hopeless = true;
    let told = plain(&explanation(from, &none));
    let (_, told) = told.split_once("What makes it fit").expect("a heading");
    reads(
        told,
        r#"
: one from each list, easiest first
  List 1 of 2
   1  Cut post card down by 1/4 in to 3 3/4 in wide.
   2  Cut post card down by 1/2 in to 3 1/2 in wide.
  With each the album was worked out again, and fits but for list 2. By whole
  steps of the ruler, less is not enough; that is proved.
  List 2 of 2
  No change mends this rule: A pocket ends below the head (cover). The sizes of
  pieces, the holes, pocket and quantities that you gave were tried smaller and
  larger, and leaving out what is tucked in. Only something else in its place
  can help.
"#,
    );
    none.fixes = vec![stuck];
    let told = plain(&explanation(from, &none));
    assert!(
        told.contains("\nWhat makes it fit\n  No change mends this rule"),
        "{told}"
    );
}

/// What stands below the verdict: the first fixes of each list, in its order, never one that breaks a
/// rule where another does not; of things of the supplies only one; none that is not known to fit.
#[test]
fn the_first_ways_break_no_rule() {
    let files = files();
    let first = |fixes: Vec<FixList>| fixes::easiest(from(&files, "1/8 in", 1), &explained(fixes));
    let accept = || FixChange::Accept {
        rule: "a pull-out clears the holes".to_owned(),
        of: "post_card".to_owned(),
        by: len("1/8 in"),
    };
    let out = || FixChange::LeaveOut {
        name: "post_card".to_owned(),
        leaf: "shore".to_owned(),
    };
    let list = |all: Vec<FixChange>| FixList {
        fixes: all.into_iter().map(|c| fix(vec![c], sizes(&[]))).collect(),
        meanwhile: Some(0),
        cheapest: None,
        all: true,
        nothing_mends: Vec::new(),
        clashes: Vec::new(),
    };
    let measure = "Cut post card down by 1/4 in to 3 3/4 in wide";
    let bag = "use bag `lunch brown` instead of `small brown` for `shore`";
    let all = vec![accept(), cut("3 3/4 in"), use_bag(), use_bag(), out()];
    assert_eq!(
        first(vec![list(all)]),
        [format!("{measure}; or {bag}; or leave out post card.")]
    );
    let breaks = first(vec![list(vec![accept()])]);
    assert!(breaks[0].starts_with("Accept 1/8 in less"), "{breaks:?}");
    assert_eq!(
        first(vec![
            list(vec![cut("3 3/4 in"), accept()]),
            list(vec![out()])
        ]),
        [format!("{measure}."), "And leave out post card.".to_owned()]
    );
    let mut unsettled = vec![list(vec![cut("3 3/4 in")])];
    unsettled[0].fixes[0].sizes = None;
    assert!(first(unsettled).is_empty());
    assert!(first(Vec::new()).is_empty());
}
