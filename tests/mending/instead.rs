//! Other bags, prints and rings of the supplies, by hand; a thing in the hand beside others.

use super::*;
use std::sync::atomic::AtomicBool;
use tuckwright::album::Value;
use tuckwright::explain::Deed;
use tuckwright::explain::hand::{Ask, hand, with};

/// A leaf and its supplies on a ruler of 1/8 in.
fn album(words: &str) -> Album {
    common::read(&format!("album = \"A\"\nruler = \"1/8 in\"\n{words}"))
}

/// Something else of the supplies, and the sizes that come out.
struct Swap {
    kind: &'static str,
    leaf: String,
    from: String,
    to: String,
    sizes: Vec<(String, Interval)>,
}

fn swaps(words: &str) -> Vec<Swap> {
    let found = explained(&common::upright(), &album(words)).expect("it does not fit");
    let lists = found.fixes.into_iter().flat_map(|list| list.fixes);
    let fixes = found.whole.into_iter().chain(lists);
    let swaps = fixes.filter_map(|fix| match &fix.changes[..] {
        [
            FixChange::Do(Deed::Use {
                supply,
                leaf,
                from,
                to,
                ..
            }),
        ] => Some(Swap {
            kind: supply.word(),
            leaf: leaf.clone(),
            from: from.clone(),
            to: to.clone(),
            sizes: fix.sizes.clone().expect("sizes"),
        }),
        _ => None,
    });
    swaps.collect()
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
/// the width and the height of what is cut for it. The answer lists no more than twenty.
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
    assert!((10..=20).contains(&swaps(&words(62)).len()));
}

/// The thing in the hand is called `card`, and a second one by a name that no other has.
#[test]
fn a_thing_in_the_hand_has_a_name_of_its_own() {
    let ask = Ask {
        width: interval("3 in"),
        height: interval("4 in"),
        place: "mouth".into(),
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
        place: "mouth".into(),
        leaf: 0,
    };
    let tried = hand(&common::upright(), &narrow, &ask, &Limits::default()).expect("an album");
    assert!(!tried.as_it_is && !tried.turned && tried.trims.is_empty());
    assert_eq!(tried.stopped, None);
    assert!(tried.why.is_some());
}

/// A note of 2 x 5 in is glued on a back of 5 x 8 in; a card of 4 x 5 in goes neither above nor beside it.
/// It can be made lower or narrower, which takes a search; with a limit met in it, the answer is no
/// statement: not that nothing helps, nor that some of the ways are all.
#[test]
fn a_limit_is_never_an_answer_about_a_card() {
    let style = common::upright();
    let album = album(
        "[[bag]]\nname = \"bag\"\nsize = \"5 x 8 in\"\ngusset = \"3 in\"\n[[leaf]]\nname = \"leaf\"\nbag = \"bag\"\nback_mat = \"any\"\n[[leaf.insert]]\nname = \"note\"\nplace = \"back\"\nsize = \"2 x 5 in\"\n",
    );
    let ask = Ask {
        width: interval("4 in"),
        height: interval("5 in"),
        place: "back".into(),
        leaf: 0,
    };
    let full = hand(&style, &album, &ask, &Limits::default()).expect("an album");
    assert!(full.stopped.is_none() && full.trims.len() > 1, "{full:?}");
    let (mut stopped, mut in_search, mut answered) = (0, 0, 0);
    for nodes in 0..60 {
        let limits = Limits {
            nodes,
            ..Limits::default()
        };
        let found = hand(&style, &album, &ask, &limits).expect("an album");
        match found.stopped {
            Some(_) => {
                stopped += 1;
                // That it clashes was proved, and it was a search for trims that ended.
                in_search += usize::from(found.why.is_some());
            }
            None => {
                answered += 1;
                assert_eq!(found.trims, full.trims, "{nodes} nodes");
            }
        }
    }
    println!("{stopped} stopped, {in_search} of them in a search for trims; {answered} answered");
    assert!(
        in_search > 0 && answered > 0,
        "{stopped} {in_search} {answered}"
    );
}

/// As of a card in the hand, of an album: if nobody waits any more, no list is called whole, and of
/// nothing that was not tried it is claimed that it does not help.
#[test]
fn a_limit_is_never_a_word_about_fixes() {
    static STOP: AtomicBool = AtomicBool::new(true);
    let style = common::upright();
    let album = album(
        r#"
[[bag]]
name = "low"
size = "5 x 8 in"
gusset = "1/2 in"
[[leaf]]
name = "cover"
bag = "low"
band = "any"
front_mat = "none"
pocket_mat = "none"
[[leaf]]
name = "page"
bag = "low"
front_mat = "none"
pocket_mat = "none"
[[leaf.insert]]
name = "poster"
place = "mouth"
size = "5 x 6 in"
"#,
    );
    let worked = work(&style, &album, &Limits::default()).expect("an album");
    assert!(matches!(worked.outcome, Outcome::Clash(_)));
    let full = why(&style, &album, &worked, &Limits::default());
    let [cut, stuck] = &full.fixes[..] else {
        panic!("{:#?}", full.fixes);
    };
    assert!(cut.all && !cut.fixes.is_empty());
    // No measure mends it: the band is left out, or the bag another.
    assert!(stuck.all && stuck.nothing_mends.is_empty() && !stuck.fixes.is_empty());
    let stopped = Limits {
        stop: Some(&STOP),
        ..Limits::default()
    };
    let found = why(&style, &album, &worked, &stopped);
    for list in &found.fixes {
        assert!(!list.all && list.nothing_mends.is_empty(), "{list:#?}");
    }
    assert!(!found.hopeless);
}

/// Thirty leaves whose pockets are too low for the bands that they want, each with another trouble: none
/// is left out because there are so many.
#[test]
fn no_trouble_is_one_too_many() {
    let mut words = String::new();
    for n in 0..30 {
        words += &format!(
            "[[bag]]\nname = \"bag {n}\"\nsize = \"5 x {} in\"\ngusset = \"1/2 in\"\n[[leaf]]\nname = \"leaf {n}\"\nbag = \"bag {n}\"\nband = \"any\"\npocket_mat = \"none\"\nfront_mat = \"none\"\n",
            8 + n % 2
        );
    }
    let found = explained(&common::upright(), &album(&words)).expect("it does not fit");
    assert!(!found.hopeless);
    let without = found.fixes.iter().filter(|list| {
        let mut fixes = list.fixes.iter();
        fixes.any(|fix| matches!(&fix.changes[..], [FixChange::Do(Deed::Without { .. })]))
    });
    assert_eq!(without.count(), 30, "{:#?}", found.fixes);
}

/// A share that the album sets goes back to the style's own: of two values that of the album's ruler.
#[test]
fn a_quantity_goes_back_to_the_value_of_the_ruler() {
    let text = common::UPRIGHT;
    let style = text.replace(
        "edge_share     = { value = \"1\", ",
        "edge_share     = { value = \"1\", metric = \"5/4\", ",
    );
    assert_ne!(style, text);
    let style = common::style(&style);
    for (ruler, inside, usual) in [("1/8 in", "1 in", (1, 1)), ("1 mm", "25 mm", (5, 4))] {
        let album = common::read(&format!(
            "album = \"A\"\nruler = \"{ruler}\"\n[set]\nedge_share = \"9\"\n[template]\nring = \"r\"\n[[ring]]\nname = \"r\"\ninside = \"{inside}\"\n[[bag]]\nname = \"b\"\nsize = \"5 x 8 in\"\ngusset = \"3 in\"\n[[leaf]]\nname = \"l\"\nbag = \"b\"\n"
        ));
        let found = explained(&style, &album).expect("it does not fit");
        let mut changes = found.fixes.iter().flat_map(|list| &list.fixes);
        let back = changes.find_map(|fix| match &fix.changes[..] {
            [FixChange::Usual { to, .. }] => Some(*to),
            _ => None,
        });
        let (n, d) = usual;
        assert_eq!(back, Some(Value::Ratio(n, d)), "{:#?}", found.fixes);
    }
}

/// What is glued takes up its clearances at most: a card 1/8 in too wide may be squeezed in, one that is
/// 3 3/4 in too wide never. Room there is: 5 in less 1/4 + 1/8 + 1/8 + 1/8 + 1/8 in.
#[test]
fn no_more_is_accepted_than_there_is_to_give() {
    let accepts = |wide: &str| {
        let words = format!(
            "bag = [{{ name = \"b\", size = \"5 x 9 in\", gusset = \"3 in\", pocket = {{ edge = \"3 in\", depth = \"3 in\" }} }}]\n\
             leaf = [{{ name = \"day\", bag = \"b\", insert = [{{ name = \"plan\", place = \"pocket\", size = \"{wide} x 4 in\" }}] }}]"
        );
        let found = explained(&common::upright(), &album(&words)).expect("it does not fit");
        let fixes = found.fixes.into_iter().flat_map(|list| list.fixes);
        let changes = fixes.flat_map(|fix| fix.changes);
        let by = changes.filter_map(|change| match change {
            FixChange::Accept { by, .. } => Some(by),
            _ => None,
        });
        by.collect::<Vec<Length>>()
    };
    assert!(!accepts("4 3/8").is_empty(), "little is accepted");
    assert_eq!(accepts("8"), [], "there is no such room");
}
