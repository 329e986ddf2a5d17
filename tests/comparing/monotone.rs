//! What the signs in the rules promise of the photo, where the template is free and the photo is
//! preferred first; and what breaks it.
//!
//! Width and height of the leaf stand on the larger side of every rule that a photo hangs on: a bag
//! that is larger both ways, with the same gusset, never gives a smaller photo. A tolerance takes the
//! smaller end there, and ease stands on the smaller side: more of either never gives a larger one.

use crate::asked::{bag, offered};
use crate::common::{read, upright};
use proptest::prelude::*;
use std::sync::OnceLock;
use tuckwright::album::{Album, Value};
use tuckwright::compare::{Answer, Asked};
use tuckwright::length::{Interval, Length};
use tuckwright::style::Style;
use tuckwright::supplies::Bag;
use tuckwright::text::{Place, Said};

const STEP: i64 = 25_400_000 / 32;

fn style() -> &'static Style {
    static STYLE: OnceLock<Style> = OnceLock::new();
    STYLE.get_or_init(upright)
}

/// A leaf with a photo in this slot and a second thing in the mouth; `rest` are more lines of it.
fn album(section: &str, photo: &str, rest: &str) -> Album {
    // A photo that says nothing of prints may be trimmed from any that there is.
    let prints = match photo.contains("print") {
        true => "[[print]]\nname = \"postcard\"\nsize = \"4 x 6 in\"",
        false => "",
    };
    read(&format!(
        r#"
        album = "A photo first"
        ruler = "1/8 in"
        prefer = ["largest photo_mat.photo"]
        [[bag]]
        name = "old"
        size = "5 x 8 in"
        gusset = "3 in"
        {prints}
        [[leaf]]
        name = "leaf"
        bag = "old"
        {rest}
        [[leaf.insert]]
        name = "photo_mat"
        place = "mouth"
        section = "{section}"
        photo = {photo}
        "#
    ))
}

fn sized(width: i64, gusset: Option<i64>, height: i64, play: i64) -> Bag {
    let side = |steps: i64| {
        let (middle, play) = (Length::from_nm(steps * STEP), Length::from_nm(play * STEP));
        Interval::plus_minus(middle, play).expect("a length")
    };
    Bag {
        gusset: gusset.map(side),
        ..Bag::flat("bag".into(), Place::default(), side(width), side(height))
    }
}

/// How large the photo is; nothing where the album does not fit.
fn photo(album: &Album, bag: &Bag) -> Option<(Length, Length)> {
    let asked = Asked::new(style(), album, None).expect("it can be compared");
    match offered(&asked, bag).answer {
        Answer::Fits(fit) => Some(fit.photo.expect("a photo").size()),
        Answer::Clash(_) => None,
        other => panic!("{other:?}"),
    }
}

const SECTIONS: [&str; 2] = ["front", "back"];
const PHOTOS: [&str; 3] = ["true", "{ shape = \"2:3\" }", "{ print = \"postcard\" }"];

fn kind() -> impl Strategy<Value = Album> {
    (0..2usize, 0..3usize).prop_map(|(s, p)| album(SECTIONS[s], PHOTOS[p], ""))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_larger_bag_never_gives_a_smaller_photo(
        album in kind(),
        gusset in proptest::option::of(32..120i64),
        (width, height) in (48..300i64, 130..500i64),
        (wider, higher) in (0..40i64, 0..40i64),
    ) {
        let small = photo(&album, &sized(width, gusset, height, 0));
        let large = photo(&album, &sized(width + wider, gusset, height + higher, 0));
        prop_assert!(large >= small, "{small:?} {large:?}");
    }

    #[test]
    fn more_tolerance_never_gives_a_larger_photo(
        album in kind(),
        gusset in proptest::option::of(32..120i64),
        (width, height) in (48..300i64, 130..500i64),
        (some, more) in (0..6i64, 0..6i64),
    ) {
        let tight = photo(&album, &sized(width, gusset, height, some));
        let loose = photo(&album, &sized(width, gusset, height, some + more));
        prop_assert!(loose <= tight, "{tight:?} {loose:?}");
    }

    #[test]
    fn more_ease_never_gives_a_larger_photo(
        album in kind(),
        gusset in proptest::option::of(32..120i64),
        (width, height) in (48..300i64, 130..500i64),
        (some, more) in (0..20i64, 0..20i64),
    ) {
        let eased = |steps: i64| {
            let place = Place::default();
            let value = Value::Length(Interval::exact(Length::from_nm(steps * STEP)));
            let mut album = album.clone();
            album.set.push((
                Said { value: "ease".to_owned(), place },
                Said { value, place },
            ));
            photo(&album, &sized(width, gusset, height, 0))
        };
        let (tight, loose) = (eased(some), eased(some + more));
        prop_assert!(loose <= tight, "{tight:?} {loose:?}");
    }
}

fn eighths(n: i64) -> Length {
    Length::from_nm(n * STEP * 4)
}

/// A bag that is larger in all three measures may give a smaller photo: in front of the gusset a card
/// stops at the crease, half the gusset up. 8 - 3/2 = 6 1/2 is deeper than 8 1/4 - 4 1/2 / 2 = 6.
/// Photos 1/4 in less: 4 1/8 x 6 1/4
/// and 4 1/8 x 5 3/4.
#[test]
fn a_deeper_gusset_takes_from_the_front_slot() {
    let album = album("front", "true", "");
    let shallow = photo(&album, &bag("5 in", Some("3 in"), "8 in"));
    let deep = photo(&album, &bag("5 in", Some("4 1/2 in"), "8 1/4 in"));
    // 5 - 7/8 = 4 1/8.
    assert_eq!(shallow, Some((eighths(33), eighths(33 + 50))));
    assert_eq!(deep, Some((eighths(33), eighths(33 + 46))));
}

/// With a paper that is named, a front mat has to reach from the head under the pocket's edge: a
/// higher bag with the same pocket needs more paper than one sheet has. Sheet 5 in high: the leaf is at
/// most 5 - 3/8 + 1/16 + 3 = 7 11/16 in high.
#[test]
fn the_pockets_edge_and_a_sheet_end_what_grows() {
    let sheet = |height: &str| {
        let mut album = album("back", "true", "front_mat = \"any\"");
        album.supplies.papers.push(tuckwright::supplies::Paper {
            design_of: None,
            sides: None,
            name: "short".into(),
            place: Place::default(),
            width: tuckwright::length::parse_interval("5 in").expect("a length"),
            height: tuckwright::length::parse_interval("5 in").expect("a length"),
            caliper: None,
            grams: None,
            from_weight: false,
            bulk_assumed: false,
            directed: false,
            designs: Vec::new(),
            sheets: None,
            price: None,
        });
        album.leaves[0].parts[0].1 = tuckwright::album::PartPaper::Papers(vec![0]);
        photo(&album, &bag("5 in", Some("3 in"), height))
    };
    assert!(sheet("7 5/8 in").is_some());
    assert_eq!(sheet("7 3/4 in"), None);
}

/// Holes of a published pattern stand where they stand: a leaf that is too low for them holds nothing,
/// and any higher one does. Two holes 80 mm apart with 9 mm (one and a half diameters of 6) to either
/// end need 98 mm.
#[test]
fn a_fixed_pattern_wants_a_least_height() {
    let album = read(
        r#"
        album = "A fixed pattern"
        ruler = "1 mm"
        prefer = ["largest photo_mat.photo"]
        [template]
        pattern = "ISO 838"
        [[bag]]
        name = "old"
        size = "150 x 200 mm"
        [[leaf]]
        name = "leaf"
        bag = "old"
        [[leaf.insert]]
        name = "photo_mat"
        place = "mouth"
        photo = true
        "#,
    );
    assert_eq!(photo(&album, &bag("150 mm", None, "97 mm")), None);
    let mm = |n: i64| Length::from_nm(n * 1_000_000);
    // 12 to the centre, 3 to the rim, 3 clear, 3 ease, 6 of borders and the thickness of mat and print:
    // less than 150 - 27 = 123. 98 - 12 - 6 = 80.
    let least = photo(&album, &bag("150 mm", None, "98 mm"));
    assert_eq!(least, Some((mm(80), mm(80 + 122))));
    // With the holes free, they stand 6 mm from the edge: 6 mm more of photo.
    let mut free = album.clone();
    free.template = tuckwright::album::Template::default();
    let wider = photo(&free, &bag("150 mm", None, "98 mm"));
    assert_eq!(wider, Some((mm(80), mm(80 + 128))));
}
