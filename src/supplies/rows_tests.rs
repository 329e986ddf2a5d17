//! Rows of bags, and what is wrong with them.

use super::rows::{Columns, columns, row};
use super::*;
use crate::length::{Unit, parse_interval};
use crate::text::says_nothing;
use crate::text::{Faults, Files, Finds, Look, render};

const NAME: &str = "bags.csv";

fn heads(line: &str, unit: Option<Unit>) -> Columns {
    let faults = Finds::default();
    let read = columns(line, 0, unit, &faults);
    read.unwrap_or_else(|| panic!("{}", shown(line, 1, &faults.all())))
}

fn shown(line: &str, number: usize, faults: &Faults) -> String {
    let mut files = Files::default();
    files.add_from_line(NAME, line, number);
    render(&files, faults, Look::Plain)
}

fn bag(head: &str, line: &str) -> Bag {
    match row(&heads(head, None), line, 0) {
        Ok(bag) => bag,
        Err(faults) => panic!("{}", shown(line, 2, &faults)),
    }
}

fn wrong(head: &str, line: &str) -> String {
    match row(&heads(head, None), line, 0) {
        Ok(bag) => panic!("{bag:?}"),
        Err(faults) => shown(line, 7, &faults),
    }
}

fn length(text: &str) -> Interval {
    parse_interval(text).expect("a length")
}

const ALL: &str =
    "Name,Width,Gusset,Height,Flap,Pocket depth,Tolerance,Bottom,Thickness,Pack count,Price";

#[test]
fn every_column_is_read() {
    let bag = bag(
        ALL,
        "\"tall, \"\"brown\"\"\",5 1/8 in,3 1/8 in,10 5/8 in ± 1/8 in,3 in,2 in,1/16 in,block,0.0045 in,50,4.20",
    );
    assert_eq!(bag.name, "tall, \"brown\"");
    // What says its own ± keeps it.
    assert_eq!(bag.height, length("10 5/8 in ± 1/8 in"));
    assert_eq!(bag.width, length("5 1/8 in ± 1/16 in"));
    assert_eq!(bag.gusset, Some(length("3 1/8 in ± 1/16 in")));
    let pocket = bag.pocket.expect("a pocket");
    assert_eq!(
        (pocket.edge, pocket.depth),
        (length("3 in ± 1/16 in"), Some(length("2 in ± 1/16 in")))
    );
    assert_eq!(bag.caliper, Some(length("0.0045 in")));
    assert_eq!((bag.pack, bag.price), (Some(50), Some(Money(420))));
}

#[test]
fn a_tolerance_is_that_of_every_side_and_of_no_thickness() {
    let head = "name,width,height,gusset,flap,pocket_depth,thickness,tolerance";
    let short = "a,6 in,11 in,3 in,3 1/4 in,1 1/2 in,0.004 in,1/16 in";
    let sides = ["6", "11", "3", "3 1/4", "1 1/2"].map(|side| format!("{side} in ± 1/16 in"));
    let long = format!("a,{},0.004 in,", sides.join(","));
    let same = bag(head, &long);
    assert!(
        same.pocket
            .as_ref()
            .is_some_and(|p| p.depth == Some(length("1 1/2 in ± 1/16 in")))
    );
    let loosened = bag(head, short);
    let pocket = |bag: &Bag| bag.pocket.as_ref().map(|p| (p.edge, p.depth));
    assert_eq!(pocket(&loosened), pocket(&same));
    assert_eq!(
        (
            loosened.width,
            loosened.height,
            loosened.gusset,
            loosened.caliper
        ),
        (same.width, same.height, same.gusset, same.caliper)
    );
    // A measure with its own ± keeps it.
    let own = bag("width,height,tolerance", "6 in ± 1/8 in,11 in,1/16 in");
    assert_eq!(own.width, length("6 in ± 1/8 in"));
}

#[test]
fn columns_stand_in_any_order_with_any_separator() {
    for (head, line) in [
        ("height,colour,width", "8 in,white,5 in"),
        ("\u{feff}height;colour;width", "8 in;white, or cream;5 in"),
        ("height\twidth", "8 in\t5 in"),
        ("height,width,name", "\"8 in\" , 5 in ,"),
    ] {
        let bag = bag(head, line);
        assert_eq!(
            (bag.width, bag.height),
            (length("5 in"), length("8 in")),
            "{head}"
        );
    }
    assert_eq!(
        heads("width,colour,height,sku", None).left_alone,
        ["colour", "sku"]
    );
    assert_eq!(
        bag("width,height,gusset", "5 in,8 in,3 in").name,
        "5 in x 3 in x 8 in"
    );
}

#[test]
fn a_unit_is_said_in_the_value_or_for_the_row_or_for_all() {
    let by_row = bag("width,height,unit", "130,210 mm,mm");
    assert_eq!(
        (by_row.width, by_row.height),
        (length("130 mm"), length("210 mm"))
    );
    let all = heads("width,height", Some(Unit::Inch));
    let bag = row(&all, "5 1/8,210 mm", 0).expect("a bag");
    assert_eq!(
        (bag.width, bag.height),
        (length("5 1/8 in"), length("210 mm"))
    );
    let told = wrong("width,height", "5 1/8 in,8 1/2");
    assert!(marked(&told, "7:10"), "{told}");
    assert!(told.contains("Type `8 1/2 in`; "), "{told}");
    let told = wrong("width,height", "5 1/8 in,8");
    assert!(told.contains("Type `8 in` or `8 mm`; "), "{told}");
    assert!(wrong("width,height,unit", "5,8,foot").contains("Type `in`, `mm` or `cm`"));
}

/// Whether the line is named and the mark begins below the letter, both counted from 1: `7:10`.
fn marked(told: &str, place: &str) -> bool {
    let (line, letter) = place.split_once(':').expect("a line and a letter");
    let letter: usize = letter.parse().expect("a number");
    let at = told
        .lines()
        .find(|line| line.trim_matches([' ', '-']).is_empty());
    let found = at.and_then(|line| line.find('-'));
    told.contains(&format!("bags.csv, line {line}: ")) && found == Some(letter + 3)
}

#[test]
fn what_is_wrong_with_a_row_is_shown_at_its_line() {
    for (head, line, what, place) in [
        ("width,height", ",8 in", "the row has no `width`", "7:1"),
        (
            "width,height",
            "5 in,0 in",
            "`height` must be more than zero",
            "7:6",
        ),
        ("width,height", "5 in,80 m", "", "7:6"),
        ("width,height", "5 in,3000 mm", "the most is", "7:6"),
        (
            "width,height,gusset",
            "5 in,8 in,9 in",
            "`gusset` is larger than",
            "7:11",
        ),
        (
            "width,height,pack",
            "5 in,8 in,1.5",
            "`1.5` is not a count",
            "7:11",
        ),
        (
            "width,height,price",
            "5 in,8 in,cheap",
            "`cheap` is not a price",
            "7:11",
        ),
        (
            "width,height,name",
            "5 in,8 in,\"a",
            "the closing quote is missing",
            "7:11",
        ),
        (
            "width,height",
            "5 in,8 in,9 in",
            "3 values; there are 2",
            "7:11",
        ),
        (
            "width,height,bottom",
            "5 in,8 in,round",
            "cannot be `round`",
            "7:11",
        ),
        (
            "width,height,bottom",
            "5 in,8 in,block",
            "needs `gusset`",
            "7:11",
        ),
        ("width,height,tolerance", "2 in,8 in,3 in", "zero", "7:11"),
        (
            "width,height,flap",
            "5 in,8 in,9 in",
            "`flap` is larger than",
            "7:11",
        ),
    ] {
        let told = wrong(head, line);
        assert!(
            told.contains(what) && marked(&told, place),
            "{line}\n{told}"
        );
    }
    // Everything at once.
    let told = wrong("width,height,pack", "5,8,x");
    assert!(told.contains("3 problems"), "{told}");
    assert!(wrong("width,height", &"9".repeat(20_000)).contains("longer than"));
}

#[test]
fn a_slip_in_a_heading_is_told_and_not_left_alone() {
    for (head, what) in [
        ("width,hieght", "Did you mean `height`"),
        ("width,height,tolerence", "Did you mean `tolerance`"),
        ("width,height,width", "two columns are headed"),
        ("colour,height", "there is no column `width`"),
        ("\"width,height", "the closing quote is missing"),
    ] {
        let faults = Finds::default();
        assert_eq!(columns(head, 0, None, &faults), None);
        let told = shown(head, 1, &faults.all());
        assert!(told.contains(what), "{told}");
    }
    assert!(says_nothing(" # invented") && says_nothing("\t") && !says_nothing("5,8"));
}

proptest::proptest! {
    /// Whatever stands in a file, it is a bag, or a fault that can be shown.
    #[test]
    fn any_line_is_answered(
        head in "[width,heigt;\"\t±⅜ ]{0,40}",
        line in "[0-9 /.in,;\"\t±⅜é\\-]{0,60}",
        any in ".{0,60}",
    ) {
        let faults = Finds::default();
        if columns(&head, 0, None, &faults).is_none() {
            proptest::prop_assert!(!faults.is_empty());
            shown(&head, 1, &faults.all());
        }
        let known = heads("width,height,name,pack,tolerance", Some(Unit::Inch));
        for line in [line, any] {
            if let Err(faults) = row(&known, &line, 0) {
                proptest::prop_assert!(!faults.is_empty());
                shown(&line, 2, &faults);
            }
        }
    }
}
