//! Other bags, prints and rings of the supplies, by hand; a thing in the hand beside others.

use super::*;
use tuckwright::explain::Swap;
use tuckwright::explain::hand::{Ask, Place, hand, with};

/// A leaf and its supplies on a ruler of 1/8 in.
fn album(words: &str) -> Album {
    common::read(&format!("album = \"A\"\nruler = \"1/8 in\"\n{words}"))
}

fn swaps(words: &str) -> Vec<Swap> {
    let found = explained(&common::upright(), &album(words)).expect("it does not fit");
    found.swaps
}

/// What each would take the place of, and what it is.
fn told(swaps: &[Swap]) -> Vec<(&str, &str, &str)> {
    let told = swaps.iter();
    told.map(|it| (it.kind, it.from.as_str(), it.to.as_str()))
        .collect()
}

/// A photo of 5 x 5 in that is said to come from a print of 4 x 6 in: that of 5 x 7 in is tried and
/// does, that of 3 x 5 in does not. Both sides clash, and each print is told once.
#[test]
fn another_print_is_tried_where_one_was_named() {
    let words = |photo: &str| {
        format!(
            r#"
[[bag]]
name = "bag"
size = "6 x 8 in"
[[leaf]]
name = "leaf"
bag = "bag"
given = {{ "photo_mat.photo.width" = "5 in", "photo_mat.photo.height" = "5 in" }}
[[leaf.insert]]
name = "photo_mat"
place = "mouth"
photo = {photo}
[[print]]
name = "postcard"
size = "4 x 6 in"
[[print]]
name = "snap"
size = "3 x 5 in"
[[print]]
name = "portrait"
size = "5 x 7 in"
"#
        )
    };
    let found = swaps(&words("{ print = [\"postcard\"] }"));
    assert_eq!(told(&found), [("print", "postcard", "portrait")]);
    assert_eq!(found[0].leaf, "leaf");
    assert!(!found[0].with_others);
    // Of several that were named the first is said to be replaced; no named one is tried again.
    let found = swaps(&words("{ print = [\"snap\", \"postcard\"] }"));
    assert_eq!(told(&found), [("print", "snap", "portrait")]);
    // Where none was named every print was tried already.
    let small = words("true").replace("5 x 7 in", "4 x 7 in");
    assert_eq!(told(&swaps(&small)), []);
}

/// Wire of 1/4 in goes through no hole of 1/4 in; of two other rings the thin one does.
#[test]
fn another_ring_is_tried_where_one_was_chosen() {
    let words = r#"
[template]
ring = "thick"
[[bag]]
name = "bag"
size = "4 3/8 x 5 3/4 in"
[[leaf]]
name = "leaf"
bag = "bag"
[[ring]]
name = "thick"
inside = "1 in"
wire = "1/4 in"
[[ring]]
name = "thin"
inside = "1 in"
wire = "1/8 in"
[[ring]]
name = "as thick"
inside = "1 1/4 in"
wire = "1/4 in"
"#;
    let found = swaps(words);
    assert_eq!(told(&found), [("ring", "thick", "thin")]);
    assert!(found[0].leaf.is_empty() && !found[0].sizes.is_empty());
}

/// A poster of 5 x 8 in is too wide and too high for the leaf's bag: a larger bag is told once, with
/// the width and the height of what is cut for it. No more than sixty are tried.
#[test]
fn each_other_bag_is_told_once_and_not_without_end() {
    let words = |others: usize| {
        let mut words = String::from(
            r#"
[[leaf]]
name = "leaf"
bag = "small"
[[leaf.insert]]
name = "poster"
place = "mouth"
size = "5 x 8 in"
[[leaf]]
name = "cover"
bag = "small"
[[bag]]
name = "small"
size = "5 x 7 in"
"#,
        );
        for n in 0..others {
            words += &format!("[[bag]]\nname = \"large {n}\"\nsize = \"7 x 10 in\"\n");
        }
        words
    };
    let found = swaps(&words(2));
    assert_eq!(
        told(&found),
        [("bag", "small", "large 0"), ("bag", "small", "large 1")]
    );
    for swap in &found {
        let has = |side: &str| swap.sizes.iter().any(|(name, _)| name.ends_with(side));
        assert!(has(".width") && has(".height"), "{:?}", swap.sizes);
    }
    assert_eq!(swaps(&words(62)).len(), 60);
}

/// The thing in the hand is called `card`, and a second one by a name that no other has.
#[test]
fn a_thing_in_the_hand_has_a_name_of_its_own() {
    let ask = Ask {
        width: interval("3 in"),
        height: interval("4 in"),
        place: Place::Mouth,
        leaf: 0,
    };
    let words =
        "[[bag]]\nname = \"bag\"\nsize = \"5 x 8 in\"\n[[leaf]]\nname = \"leaf\"\nbag = \"bag\"\n";
    let note = "[[leaf.insert]]\nname = \"note\"\nplace = \"mouth\"\nsize = \"3 x 4 in\"\n";
    for words in [words.to_owned(), format!("{words}{note}")] {
        let (one, first) = with(&album(&words), &ask);
        let (two, second) = with(&one, &ask);
        let (_, third) = with(&two, &ask);
        let names = [first, second, third];
        assert_eq!(names, ["card", "card_in_hand", "card_in_hand_in_hand"]);
    }
}

/// Holes and their clearances leave no room for any card in a bag 5/8 in wide: nothing that comes off
/// helps, and that is an answer, not a limit that was met.
#[test]
fn where_no_trim_helps_nothing_stopped_it() {
    let narrow = quick(bag("1/8 in", "5/8 in", "8 in"));
    let ask = Ask {
        width: interval("3 in"),
        height: interval("4 in"),
        place: Place::Mouth,
        leaf: 0,
    };
    let tried = hand(&common::upright(), &narrow, &ask, &Limits::default()).expect("an album");
    assert!(!tried.as_it_is && !tried.turned && tried.trims.is_empty());
    assert_eq!(tried.stopped, None);
    assert!(tried.why.is_some());
}
