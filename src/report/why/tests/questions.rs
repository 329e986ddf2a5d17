//! A thing in the hand, growth, and the smallest leaf.

use super::*;
use crate::explain::need::Want;
use crate::explain::{Growth, Hand, Need, NeedBag, NeedLeaf, Offer, Trim};
use crate::plan::{Reason, Stopped};

fn in_hand(ruler: &str) -> Hand {
    let unit = |inch: &str, mm: &str| int(if ruler.ends_with("mm") { mm } else { inch });
    Hand {
        width: unit("4 in", "100 mm"),
        height: unit("6 in", "150 mm"),
        leaf: "shore".to_owned(),
        place: "mouth".to_owned(),
        as_it_is: false,
        turned: false,
        watch: Vec::new(),
        elsewhere: Vec::new(),
        trims: vec![
            Trim {
                turned: false,
                off_width: unit("1/4 in", "6 mm").least(),
                off_height: unit("3/4 in", "0 mm").least(),
                width: unit("3 3/4 in", "94 mm"),
                height: unit("5 1/4 in", "150 mm"),
            },
            Trim {
                turned: true,
                off_width: unit("2 1/4 in", "56 mm").least(),
                off_height: unit("0 in", "0 mm").least(),
                width: unit("3 3/4 in", "94 mm"),
                height: unit("4 in", "100 mm"),
            },
        ],
        why: Some(explained(Vec::new())),
        stopped: None,
    }
}

#[test]
fn what_must_come_off_is_told_side_by_side() {
    let files = files();
    reads(
        &hand(from(&files, "1/8 in", 1), &in_hand("1/8 in")),
        r#"
Postcards (ruler 1/8 in)
4 x 6 in, into the mouth: it goes in only when it is trimmed.

What must come off, least first
   1  1/4 in off the width and 3/4 in off the height; 3 3/4 x 5 1/4 in is left.
   2  Turned on its side (6 x 4 in): 2 1/4 in off the width; 3 3/4 x 4 in is
      left.

Why it does not go in as it is
What clashes
   1  A pull-out clears the holes (post_card)
      1/4 in + 4 in of post card + 3/8 in = 4 5/8 in; the leaf is 4 3/8 in wide.
        That is 1/4 in too much.
      leaf.width 4 3/8 in: album.toml:2
      ease 1/8 in
      [common practice; style upright:2]
  No sizes keep this rule; that is proved.
"#,
    );
    let told = plain(&hand(from(&files, "1 mm", 2), &in_hand("1 mm")));
    for line in [
        "100 x 150 mm, into the mouth of shore: it goes in only when it is trimmed.\n",
        "   1  6 mm off the width; 94 x 150 mm is left.\n",
        "   2  Turned on its side (150 x 100 mm): 56 mm off the width; 94 x 100 mm is\n",
    ] {
        assert!(told.contains(line), "{line}{told}");
    }
}

/// A limit was met: what is listed is enough, and no word claims that it is the least.
#[test]
fn what_comes_off_is_not_called_least_after_a_limit() {
    let files = files();
    let mut it = in_hand("1/8 in");
    for why in [Stopped::Ways, Stopped::Clock] {
        it.stopped = Some(why);
        let told = plain(&hand(from(&files, "1/8 in", 1), &it));
        assert!(told.contains(
            "it goes in only when it is trimmed.\n\nWhat may come off; less may be enough"
        ));
        assert!(!told.contains("least"), "{told}");
    }
}

#[test]
fn every_answer_about_a_thing_in_the_hand_has_its_words() {
    let files = files();
    let mut it = in_hand("1/8 in");
    let said = |it: &Hand| {
        let told = plain(&hand(from(&files, "1/8 in", 1), it));
        told.lines().nth(1).expect("an answer").to_owned()
    };
    it.trims = Vec::new();
    it.place = "band".to_owned();
    assert_eq!(
        said(&it),
        "4 x 6 in, under the band: it does not go in, however it is trimmed."
    );
    it.stopped = Some(Stopped::Clock);
    assert_eq!(said(&it), "4 x 6 in, under the band: undecided.");
    it.turned = true;
    it.place = "back".to_owned();
    assert_eq!(
        said(&it),
        "4 x 6 in, glued on the back: it goes on turned on its side, not as it is."
    );
    it.as_it_is = true;
    it.place = "front slot".to_owned();
    assert_eq!(
        said(&it),
        "4 x 6 in, into the front slot: it goes in as it is."
    );
}

#[test]
fn an_offer_tells_what_it_buys_and_how_far_it_goes() {
    let files = files();
    let rule = Reason::Rule {
        name: "a photo has its side borders".to_owned(),
        sides: None,
        because: Phrase::words(
            "4 in of photo and 1/8 in at each side need 4 1/4 in; photo_mat is 4 1/4 in wide",
        ),
        source: "common practice".to_owned(),
    };
    let growth = |proved| Growth {
        name: "photo_mat.photo.width".to_owned(),
        leaf: "shore".to_owned(),
        value: int("4 in"),
        larger: true,
        pattern: None,
        places: Vec::new(),
        held_by: vec![
            rule.clone(),
            Reason::Preference("large sketch.width".to_owned()),
        ],
        offers: vec![
            Offer {
                measure: "leaf.width".to_owned(),
                leaf: "shore".to_owned(),
                from: int("5 to 5 1/8 in"),
                more: true,
                by: len("1/8 in"),
                buys: len("1/8 in"),
                loses: Some(len("1/16 in")),
                until: Some((len("1/2 in"), len("3/8 in"), vec![rule.clone()])),
                half: false,
            },
            Offer {
                measure: "ease".to_owned(),
                leaf: String::new(),
                from: int("1/8 in"),
                more: false,
                by: len("1/8 in"),
                buys: len("1/8 in"),
                loses: None,
                until: Some((len("1/8 in"), len("1/8 in"), Vec::new())),
                half: true,
            },
        ],
        proved,
    };
    reads(
        &grow(from(&files, "1/8 in", 2), &growth(true)),
        r#"
Postcards (ruler 1/8 in)
The width of photo mat's photo (shore) is 4 in; large is wanted.

What would make it larger, each worked out with the whole album
  The width of leaf (shore), now 5 to 5 1/8 in: 1/8 in more makes it 1/8 in
    larger, and its other side 1/16 in smaller. It goes on up to 1/2 in more,
    which makes it 3/8 in larger. Against more: a photo has its side borders.
  `ease`, now 1/8 in: 1/8 in less makes it 1/8 in larger. Less than half of it
    was not tried.

What limits it
  4 in of photo and 1/8 in at each side need 4 1/4 in; photo mat is 4 1/4 in
    wide. [common practice]
  What comes first: large sketch.width.
"#,
    );
    let told = plain(&grow(from(&files, "1 mm", 1), &growth(false)));
    for line in [
        "The width of photo mat's photo is 101.6 mm; large is wanted.\n",
        "  `ease`, now 3.175 mm: 3.175 mm less makes it 3.175 mm larger. Less than half\n",
        "  A limit was met: a smaller change may be enough",
    ] {
        assert!(told.contains(line), "{line}{told}");
    }
}

#[test]
fn smallest_leaves_are_told_with_the_bags_that_do() {
    let files = files();
    let wants = |inch: bool| {
        [("mouth", 2, "4 in", "6 in"), ("pocket", 1, "3 in", "4 in")].map(|(place, count, w, h)| {
            let side = |text: &str| match inch {
                true => int(text),
                false => int(&text.replace(" in", "0 mm")),
            };
            Want {
                place: place.into(),
                count,
                width: side(w),
                height: side(h),
            }
        })
    };
    let leaf = |width: &str, height: &str, pocket: Option<&str>, turned| NeedLeaf {
        width: len(width),
        height: len(height),
        pocket: pocket.map(len),
        turned,
    };
    let bag = |name: &str, does, turned| NeedBag {
        name: name.to_owned(),
        does,
        turned,
    };
    let found = Need {
        leaves: vec![
            leaf("4 5/8 in", "6 1/2 in", Some("2 in"), vec![false, false]),
            leaf("5 in", "6 3/8 in", Some("1 1/2 in"), vec![false, true]),
        ],
        all: true,
        why: None,
        like: Some("letter bag".to_owned()),
        gusset: None,
        pocket_made: true,
        bags: vec![
            bag("small brown", Some(false), Vec::new()),
            bag("lunch brown", Some(true), vec![true, false]),
            bag("bread bag", None, Vec::new()),
        ],
    };
    reads(
        &need(from(&files, "1/8 in", 1), &wants(true), &found),
        r#"
Postcards (ruler 1/8 in)
What takes, uncut: 2 of 4 x 6 in into the mouth and 3 x 4 in into the pocket.
Flat bags like `letter bag`, of any width and height; a pocket is made, as low
  as will do.

The smallest leaves, width x height, least area first
   1  4 5/8 x 6 1/2 in; pocket 2 in high
   2  5 x 6 3/8 in; pocket 1 1/2 in high; 3 x 4 in turned on its side
  Nothing smaller is enough: one ruler step less of either side of these was
  tried, and that there are no others is proved.

Your bags, each worked out
  small brown: is not enough.
  lunch brown: is enough, with 4 x 6 in turned on its side.
  bread bag: undecided, a limit was met.
"#,
    );
    let none = Need {
        leaves: Vec::new(),
        all: true,
        why: Some(clash("1/4 in")),
        like: Some("bread bag".to_owned()),
        gusset: Some(int("60 mm")),
        pocket_made: false,
        bags: Vec::new(),
    };
    reads(
        &need(from(&files, "1 mm", 1), &wants(false), &none),
        r#"
Postcards (ruler 1 mm)
What takes, uncut: 2 of 40 x 60 mm into the mouth and 30 x 40 mm into the
  pocket.
Bags like `bread bag` of any width and height, with a gusset of 60 mm.

The smallest leaves, width x height, least area first
  No leaf takes them, up to 1000 mm wide and high.

What clashes in the largest
   1  A pull-out clears the holes (post_card)
      1/4 in + 4 in of post card + 3/8 in = 4 5/8 in; the leaf is 4 3/8 in wide.
        That is 6.35 mm too much.
      leaf.width 111.125 mm: album.toml:2
      ease 3.175 mm
      [common practice; style upright:2]
  No sizes keep this rule; that is proved.
"#,
    );
}
