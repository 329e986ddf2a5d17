//! The smallest leaf for given things, worked out by hand.

use crate::{common, exact, leaf, length};
use tuckwright::album::Album;
use tuckwright::explain::Need;
use tuckwright::explain::need::{NeedError, Want, need};
use tuckwright::length::Interval;
use tuckwright::report::phrase::screen;
use tuckwright::solve::Limits;
use tuckwright::{Outcome, work};

fn want(place: &str, width: &str, height: &str) -> Want {
    Want {
        place: place.into(),
        count: 1,
        width: exact(width),
        height: exact(height),
    }
}

fn ask(base: &Album, wants: &[Want]) -> Need {
    let need = need(&common::upright(), base, wants, &Limits::default()).unwrap();
    assert!(need.all);
    need
}

fn shown(base: &Album, need: &Need) -> Vec<String> {
    let show = |l| base.ruler.show(l).to_string();
    let leaves = need.leaves.iter();
    leaves
        .map(|l| format!("{} x {}", show(l.width), show(l.height)))
        .collect()
}

/// 1/4 in to a hole's centre + 1/8 to its rim + 1/8 clear + 4 of card + 0.01 of its thickness + 1/8 ease =
/// 4.635, 4 3/4 in; 6 in of card on a bottom seam of 1/2 in = 6 1/2 in: 30 7/8 square inches. Turned: 6 3/4 x
/// 4 1/2 in, 30 3/8 square inches, a little less.
#[test]
fn a_card_for_the_mouth_goes_in_either_way_up() {
    let base = leaf("1/8 in", "9 in", "9 in", None);
    let need = ask(&base, &[want("mouth", "4 in", "6 in")]);
    assert_eq!(
        shown(&base, &need),
        ["6 3/4 in x 4 1/2 in", "4 3/4 in x 6 1/2 in"]
    );
    assert_eq!(need.leaves[0].turned, [true]);
    assert_eq!(need.leaves[1].turned, [false]);
    assert!(!need.pocket_made && need.gusset.is_none() && need.why.is_none());
}

/// 6 + 3 + 3 + 100 + 0.25 + 3 = 115.25, 116 mm; 150 + 12 = 162 mm. Turned: 166 x 112 mm.
#[test]
fn the_same_on_a_metric_ruler() {
    let base = leaf("1 mm", "200 mm", "200 mm", None);
    let need = ask(&base, &[want("mouth", "100 mm", "150 mm")]);
    assert_eq!(shown(&base, &need), ["166 mm x 112 mm", "116 mm x 162 mm"]);
}

/// On a ruler of 1/8 in a card of 4 1/16 in asks for a whole step more; of one that varies by ± the
/// larger end counts.
#[test]
fn sizes_are_rounded_up_to_the_ruler_and_uncertain_ones_count_at_their_most() {
    let base = leaf("1/8 in", "9 in", "9 in", None);
    let need = ask(&base, &[want("mouth", "4 1/16 in", "6 in")]);
    assert!(shown(&base, &need).contains(&"4 3/4 in x 6 1/2 in".to_owned()));
    let mut card = want("mouth", "4 in", "6 in");
    card.width = Interval::plus_minus(length("4 in"), length("1/16 in")).unwrap();
    let need = ask(&base, &[card]);
    assert!(shown(&base, &need).contains(&"4 3/4 in x 6 1/2 in".to_owned()));
}

/// Each pair as a bag of its own, and one step less of either, whatever is turned.
#[test]
fn a_step_less_of_either_side_does_not_do() {
    let style = common::upright();
    let base = leaf("1/8 in", "9 in", "9 in", None);
    let wants = [want("mouth", "4 in", "6 in"), want("mouth", "5 in", "3 in")];
    let need = ask(&base, &wants);
    // As they are: the wider is 5, the higher 6. One turned: 4 x 6 and 3 x 5, or 6 x 4 and 5 x 3.
    assert_eq!(
        shown(&base, &need),
        ["6 3/4 in x 4 1/2 in", "4 3/4 in x 6 1/2 in"]
    );
    let fits = |width: &str, height: &str| {
        [[false, false], [false, true], [true, false], [true, true]].iter().any(|turned| {
            let mut text = format!(
                "album = \"try\"\nruler = \"1/8 in\"\n[[bag]]\nname = \"b\"\nsize = \"{width} x {height}\"\n[[leaf]]\nname = \"l\"\nbag = \"b\"\n"
            );
            for (n, turned) in turned.iter().enumerate() {
                let (a, b) = [("4 in", "6 in"), ("5 in", "3 in")][n];
                let (a, b) = if *turned { (b, a) } else { (a, b) };
                text += &format!("[[leaf.insert]]\nname = \"t{n}\"\nplace = \"mouth\"\nwidth = \"{a}\"\nheight = \"{b}\"\n");
            }
            let worked = work(&style, &common::read(&text), &Limits::default()).unwrap();
            matches!(worked.outcome, Outcome::Fits(_))
        })
    };
    for (width, height, narrower, lower) in [
        ("6 3/4 in", "4 1/2 in", "6 5/8 in", "4 3/8 in"),
        ("4 3/4 in", "6 1/2 in", "4 5/8 in", "6 3/8 in"),
    ] {
        assert!(fits(width, height));
        assert!(!fits(narrower, height) && !fits(width, lower));
    }
}

/// A bag with a gusset of 3 in: a card in the front slot stops at the crease, 1 1/2 in above the
/// tail; in the back slot it stands on the seam.
#[test]
fn slots_are_as_deep_as_the_gusset_lets_them_be() {
    let words = r#"
album = "base"
ruler = "1/8 in"
[[bag]]
name = "small"
size = "5 x 7 in"
gusset = "3 in"
[[bag]]
name = "large"
size = "7 x 9 in"
gusset = "3 in"
[[bag]]
name = "flat"
size = "6 1/2 x 4 1/2 in"
bottom = "pinch"
[[leaf]]
name = "page"
bag = "small"
"#;
    let base = common::read(words);
    let mut card = want("mouth", "4 in", "6 in");
    card.place.section = Some("front".to_owned());
    let need_front = ask(&base, &[card.clone()]);
    assert_eq!(
        shown(&base, &need_front),
        ["4 5/8 in x 7 1/2 in", "6 5/8 in x 5 1/2 in"]
    );
    let bags: Vec<_> = need_front
        .bags
        .iter()
        .map(|b| (b.name.as_str(), b.does))
        .collect();
    // The small one is 1/2 in too low upright, and too narrow for a turned card; a flat one of 6 1/2
    // in is 1/8 in too narrow.
    assert_eq!(
        bags,
        [
            ("small", Some(false)),
            ("large", Some(true)),
            ("flat", Some(false))
        ]
    );
    assert_eq!(need_front.like.as_deref(), Some("small"));
    card.place.section = Some("back".to_owned());
    let need_back = ask(&base, &[card]);
    assert_eq!(
        shown(&base, &need_back),
        ["6 5/8 in x 4 1/2 in", "4 5/8 in x 6 1/2 in"]
    );
    assert_eq!(need_back.bags[0].does, Some(true));
    assert_eq!(need_back.bags[0].turned, [false]);
}

/// A pocket that the bag does not have is made: half of a card 4 in high stays in it, so its edge
/// stands 2 in high, and the card reaches the head. 1/4 + 1/8 + 1/8 + 3 + 1/8 ease + 1/8 glue =
/// 3 3/4 in.
#[test]
fn a_pocket_is_made_as_low_as_will_do() {
    let base = leaf("1/8 in", "9 in", "9 in", None);
    let need = ask(&base, &[want("pocket", "3 in", "4 in")]);
    assert!(need.pocket_made);
    assert_eq!(shown(&base, &need), ["4 3/4 in x 3 in", "3 3/4 in x 4 in"]);
    assert_eq!(need.leaves[0].pocket, Some(length("1 1/2 in")));
    assert_eq!(need.leaves[1].pocket, Some(length("2 in")));
    assert_eq!(need.bags[0].does, Some(false), "it has no pocket");
}

/// A pocket 1 in deep holds no card 4 in high or 3 in high, however large the leaf.
#[test]
fn where_no_leaf_does_it_is_said_why() {
    let words = r#"
album = "base"
ruler = "1/8 in"
[[bag]]
name = "shallow"
size = "5 x 7 in"
gusset = "2 in"
pocket = { edge = "2 in", depth = "1 in" }
[[leaf]]
name = "page"
bag = "shallow"
"#;
    let base = common::read(words);
    let need = ask(&base, &[want("pocket", "3 in", "4 in")]);
    assert!(need.leaves.is_empty());
    let why = need.why.unwrap();
    let rules: Vec<&str> = why.members.iter().map(|m| m.name.as_str()).collect();
    assert_eq!(rules, ["a pocket insert does not fall out"]);
    // It is told of the card as it was given, not turned.
    let because = why.members[0].because.as_ref().expect("it is told");
    let because = screen(base.ruler, because);
    assert!(because.contains("4 in"), "{because}");
    let no = need_error(&base, &[]);
    assert_eq!(no, NeedError::Nothing);
    let many = vec![want("mouth", "1 in", "2 in"); 9];
    assert_eq!(need_error(&base, &many), NeedError::TooMany);
}

/// A pocket is made where the first leaf's bag has none. Another bag's pocket stays as it is: 1/2 in
/// deep it does not hold a card 4 in high, 2 in deep it does. A flat bag with a pocket has one.
#[test]
fn a_bag_is_tried_with_the_pocket_that_it_has() {
    let bag = |name: &str, more: &str| {
        format!("[[bag]]\nname = \"{name}\"\nsize = \"5 x 7 in\"\nbottom = \"pinch\"\n{more}\n")
    };
    let words = |first: &str| {
        let pocket = |depth: &str| format!("pocket = {{ edge = \"2 in\", depth = \"{depth}\" }}");
        let bags = [
            bag("plain", ""),
            bag("shallow", &pocket("1/2 in")),
            bag("deep", &pocket("2 in")),
        ];
        format!(
            "album = \"base\"\nruler = \"1/8 in\"\n{}[[leaf]]\nname = \"page\"\nbag = \"{first}\"\n",
            bags.concat()
        )
    };
    let card = [want("pocket", "3 in", "4 in")];
    for (first, made) in [("plain", true), ("shallow", false), ("deep", false)] {
        let base = common::read(&words(first));
        let need = ask(&base, &card);
        assert_eq!(need.pocket_made, made, "{first}");
        let does: Vec<_> = need.bags.iter().map(|b| b.does).collect();
        assert_eq!(does, [Some(false), Some(false), Some(true)], "{first}");
        // Without a pocket a bag has a mouth.
        let need = ask(&base, &[want("mouth", "3 in", "4 in")]);
        assert!(need.bags.iter().all(|b| b.does == Some(true)), "{first}");
    }
}

/// A slip under a band: the band is 1/2 in high and keeps 1/8 in of pocket above and below.
#[test]
fn a_pocket_that_is_made_for_a_band_is_no_higher_than_its_leaf() {
    let base = leaf("1/8 in", "9 in", "9 in", None);
    let need = ask(&base, &[want("band", "3 in", "1/2 in")]);
    assert!(need.pocket_made && !need.leaves.is_empty());
    for it in &need.leaves {
        let pocket = it.pocket.expect("a pocket");
        assert!(pocket >= length("3/4 in") && pocket <= it.height, "{it:?}");
    }
    println!("{:?}", need.leaves);
}

fn need_error(base: &Album, wants: &[Want]) -> NeedError {
    need(&common::upright(), base, wants, &Limits::default()).unwrap_err()
}
