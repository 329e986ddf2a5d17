//! A bag in the place of the old ones: what stays, what is left out, which photo is looked at.

use crate::common::{read, upright};
use crate::shelf::{low_water, one_leaf, shelf};
use tuckwright::Outcome;
use tuckwright::compare::{self, Answer, Asked, At, Candidate, CompareError, Nominal, Offer, mend};
use tuckwright::explain::{FixChange, fixes};
use tuckwright::length::{Interval, parse_interval, parse_length};
use tuckwright::solve::Limits;
use tuckwright::supplies::{Bag, Money};
use tuckwright::text::Place;
use tuckwright::work;

const ALBUM: &str = r#"
album = "Two kinds of leaf"
ruler = "1/8 in"
prefer = ["large note.width", "largest far: photo_mat.photo", "large pocket_mat.width"]
[[bag]]
name = "old"
size = "5 1/4 x 7 5/8 in"
gusset = "3 in"
[[ring]]
name = "one inch"
inside = "1 in"
[[paper]]
name = "plain"
size = "12 x 12 in"
sheets = 9
[[leaf]]
name = "near"
bag = "old"
count = 3
front_mat = "plain"
given = { "leaf.width" = "5 in", "back_mat.width" = "4 in" }
[[leaf.insert]]
name = "note"
place = "mouth"
section = "back"
[[leaf]]
name = "far"
bag = "old"
count = 2
measured = { "front.depth" = "6 in" }
[[leaf.insert]]
name = "photo_mat"
place = "mouth"
section = "front"
photo = true
"#;

pub fn bag(width: &str, gusset: Option<&str>, height: &str) -> Bag {
    let length = |text: &str| parse_interval(text).expect("a length");
    Bag {
        gusset: gusset.map(length),
        ..Bag::flat(
            "bag".into(),
            Place::default(),
            length(width),
            length(height),
        )
    }
}

pub fn offered(asked: &Asked<'_>, bag: &Bag) -> Offer {
    let (bag, at) = (bag.clone(), At::default());
    compare::offer(asked, &Candidate { bag, at }, &Limits::default())
}

fn exact(text: &str) -> Interval {
    Interval::exact(parse_length(text).expect("a length"))
}

#[test]
fn measures_of_the_old_bag_are_left_out_and_wishes_stay() {
    let (style, album) = (upright(), read(ALBUM));
    let asked = Asked::new(&style, &album, None).expect("it can be compared");
    assert_eq!(asked.left_out, ["near: leaf.width", "far: front.depth"]);
    assert_eq!(asked.bags(), 5);
    assert_eq!(asked.photo(), Some((1, 0)));
    let with = asked.with(&bag("6 in", Some("3 1/2 in"), "9 in"));
    let given: Vec<&str> = with.leaves[0]
        .given
        .iter()
        .map(|(n, _)| n.value.as_str())
        .collect();
    assert_eq!(given, ["back_mat.width"]);
    assert_eq!(with.supplies.bags.len(), 1);
    assert!(with.leaves.iter().all(|leaf| leaf.bag == 0));
}

#[test]
fn one_kind_of_leaf_alone_gets_the_bag() {
    let (style, album) = (upright(), read(ALBUM));
    let asked = Asked::new(&style, &album, Some("near")).expect("it can be compared");
    assert_eq!(asked.left_out, ["leaf.width"]);
    assert_eq!(asked.bags(), 3);
    // The photo is on the other leaf, which is not asked about.
    assert_eq!(asked.photo(), None);
    let with = asked.with(&bag("6 in", None, "9 in"));
    let names = with
        .leaves
        .iter()
        .map(|l| with.supplies.bags[l.bag].name.as_str());
    assert_eq!(names.collect::<Vec<_>>(), ["bag", "old"]);
    assert_eq!(with.leaves[1].measured, album.leaves[1].measured);
    let wrong = Asked::new(&style, &album, Some("farr"));
    assert!(
        matches!(wrong, Err(CompareError::NoSuchLeaf { known, .. }) if known == ["near", "far"])
    );
}

/// Worked out on paper, ruler 1/8 in, bag 6 x 3 1/2 x 9 in. Front slot: 9 - 1 3/4 = 7 1/4 deep. Mat:
/// 6 - 1/4 - 1/8 - 1/8 - 1/8 = 5 3/8 wide, 7 1/4 high. Photo: 1/4 less each way, 5 1/8 x 7.
#[test]
fn an_offer_tells_photo_inserts_sheets_packs_and_ring() {
    let (style, album) = (upright(), read(ALBUM));
    let asked = Asked::new(&style, &album, None).expect("it can be compared");
    let mut six = bag("6 in", Some("3 1/2 in"), "9 in");
    (six.pack, six.price) = (Some(4), Some(Money(150)));
    let offered = offered(&asked, &six);
    let fit = offered.fit().expect("it fits");
    let photo = fit.photo.as_ref().expect("a photo");
    assert_eq!(
        (photo.leaf.as_str(), photo.on.as_str()),
        ("far", "photo_mat")
    );
    assert_eq!(
        (photo.width, photo.height),
        (exact("5 1/8 in"), exact("7 in"))
    );
    assert!(!photo.width_by.is_empty() && !photo.height_by.is_empty());
    assert_eq!(fit.nominal, None);
    let mat = fit
        .inserts
        .iter()
        .find(|i| i.name == "photo_mat")
        .expect("the mat");
    assert_eq!(
        (mat.width, mat.height),
        (exact("5 3/8 in"), exact("7 1/4 in"))
    );
    // 5 bags, 4 in a pack: 2 packs of 1.50.
    assert_eq!((offered.cost.bags, offered.cost.packs), (5, 2));
    assert_eq!(offered.cost.price, Some(Money(300)));
    // The front mats of 3 leaves: 5 7/8 x (9 - 1/16 - 3 1/2 + 3/8 = 5 13/16, on the ruler 5 7/8):
    // 103.5 square inches, and 144 make a sheet.
    let plain = fit
        .paper
        .iter()
        .find(|s| !s.papers.is_empty())
        .expect("a paper");
    let eighth = 25_400_000i128 / 8;
    assert_eq!(plain.area, 3 * 47 * 47 * eighth * eighth);
    assert_eq!((plain.at_least, plain.at_hand), (Some(1), Some(9)));
    let ring = fit.ring.as_ref().expect("a ring");
    assert_eq!(ring.name, "one inch");
    assert_eq!(ring.takes.len(), 2);
}

/// The photo loses what the bag may be smaller: with 1/8 in each way, 5 x 6 7/8 instead of 5 1/8 x 7,
/// as both the crease and the edge count at the smallest bag.
#[test]
fn a_tolerance_costs_photo() {
    let (style, album) = (upright(), read(ALBUM));
    let asked = Asked::new(&style, &album, None).expect("it can be compared");
    let loose = bag("6 in ± 1/8 in", Some("3 1/2 in"), "9 in ± 1/8 in");
    let offered = offered(&asked, &loose);
    let fit = offered.fit().expect("it fits");
    let photo = fit.photo.as_ref().expect("a photo");
    assert_eq!(
        (photo.width, photo.height),
        (exact("5 in"), exact("6 7/8 in"))
    );
    let nominal = Nominal::Photo(exact("5 1/8 in").least(), exact("7 in").least());
    assert_eq!(fit.nominal, Some(nominal));
}

/// A preference for what a bag has no place for is passed over: a flat bag has no pocket mat. The
/// note lies in its only slot.
#[test]
fn a_flat_bag_has_no_pocket_to_prefer() {
    let (style, album) = (upright(), read(ALBUM));
    let asked = Asked::new(&style, &album, None).expect("it can be compared");
    let offered = offered(&asked, &bag("6 in", None, "9 in"));
    let photo = offered
        .fit()
        .and_then(|fit| fit.photo.clone())
        .expect("a photo");
    // 9 - 1/2 of seam = 8 1/2, less 1/4.
    assert_eq!(photo.height, exact("8 1/4 in"));
}

/// What does not fit is told with what is missing, and with its cheapest fix.
#[test]
fn a_bag_that_just_fails_tells_what_it_would_need() {
    let (style, album) = (
        upright(),
        read(&ALBUM.replace("name = \"note\"", "name = \"note\"\nwidth = \"5 1/8 in\"")),
    );
    let asked = Asked::new(&style, &album, None).expect("it can be compared");
    // 1/4 + 1/8 + 1/8 + 5 1/8 + 1/8 = 5 3/4 of 5 5/8.
    let narrow = bag("5 5/8 in", Some("3 1/2 in"), "9 in");
    let offered = offered(&asked, &narrow);
    let Answer::Clash(conflict) = &offered.answer else {
        panic!("{:?}", offered.answer);
    };
    assert!(conflict.proved_minimal);
    let clear = "a pull-out clears the holes and has ease at the outer edge";
    let rule = conflict
        .rules
        .iter()
        .find(|r| r.rule == clear)
        .expect("the rule");
    assert_eq!(rule.missing.map(|(by, _)| by), parse_length("1/8 in").ok());
    let mended = mend(&asked, &narrow, &Limits::default()).expect("what it would need");
    assert_eq!((mended.fixes.len(), mended.hopeless), (1, false));
    assert!(mended.fixes[0].proved && mended.fixes[0].sizes.is_some());
    let wide = bag("5 3/4 in", Some("3 1/2 in"), "9 in");
    assert_eq!(mend(&asked, &wide, &Limits::default()), None);
}

/// What mends a bag is one of the fixes by its measures, found without the others. Beside what is done
/// for another part of the trouble less may be enough, never beside measures alone.
#[test]
fn a_bag_needs_the_first_of_all_fixes() {
    let (style, limits) = (upright(), Limits::default());
    let (mut needs, mut listed_too) = (0, 0);
    for album in [low_water(), one_leaf(None), one_leaf(Some("4 x 6 in"))] {
        let asked = Asked::new(&style, &album, None).expect("it can be compared");
        for bag in shelf() {
            let mended = mend(&asked, &bag, &limits);
            // Some have no pocket for what goes into one.
            let Ok((album, _)) = asked.expanded(&bag) else {
                continue;
            };
            let worked = work(&style, &album, &limits).expect("it can be worked out");
            let Outcome::Clash(_) = worked.outcome else {
                assert_eq!(mended, None);
                continue;
            };
            let why = fixes::why(&style, &album, &worked, &limits);
            let mended = mended.expect("it does not fit");
            needs += mended.fixes.len();
            // What nothing mends by its measures leaves none.
            for (alone, list) in mended.fixes.iter().zip(&why.fixes) {
                let listed = list.fixes.iter().chain(&list.cheapest);
                listed_too += usize::from(listed.map(|fix| &fix.changes).any(|changes| {
                    let mut both = alone.changes.iter().zip(changes);
                    changes.len() == alone.changes.len() && both.all(asks_as_much)
                }));
            }
        }
    }
    assert!(
        needs > 10 && listed_too * 4 > needs * 3,
        "{listed_too} of {needs}"
    );
}

/// Whether one change is of the same measure as another, the same way, and at least as far.
fn asks_as_much((alone, listed): (&FixChange, &FixChange)) -> bool {
    use FixChange::Measure;
    let (
        Measure {
            name, of, from, to, ..
        },
        Measure {
            name: also,
            of: its,
            from: was,
            to: least,
            ..
        },
    ) = (alone, listed)
    else {
        return alone == listed;
    };
    let ends = (from.least(), to.least());
    let between = ends.0.min(ends.1)..=ends.0.max(ends.1);
    (name, of, from) == (also, its, was) && between.contains(&least.least())
}

/// What is shown is worked out a second time, the whole way; an answer that differs is not shown.
#[test]
fn an_answer_that_the_whole_way_does_not_give_is_refused() {
    let (style, album) = (upright(), read(ALBUM));
    let asked = Asked::new(&style, &album, None).expect("it can be compared");
    let found = offered(&asked, &bag("6 in", Some("3 1/2 in"), "9 in"));
    let limits = Limits::default();
    let again = compare::verified(&asked, &found, &limits).expect("the same");
    assert_eq!(again.fit(), found.fit());
    let mut forged = found.clone();
    let Answer::Fits(fit) = &mut forged.answer else {
        panic!("{:?}", forged.answer);
    };
    fit.photo.as_mut().expect("a photo").width = exact("5 1/4 in");
    assert!(compare::verified(&asked, &forged, &limits).is_none());
}

/// A piece that may be cut from either of two papers is counted against the larger sheet, and apart
/// from those that may not: 3 back mats of 4 x 8 3/4 in are 105 square inches, on sheets of 6 x 12 in
/// two, on sheets of 12 x 12 in one.
#[test]
fn pieces_of_several_papers_are_bounded_by_the_largest_sheet() {
    let two = ALBUM.replace(
        "sheets = 9\n",
        "sheets = 9\n[[paper]]\nname = \"small\"\nsize = \"6 x 12 in\"\nsheets = 4\n",
    );
    for (papers, names, least, hand) in [
        ("\"small\"", &["small"][..], 2, 4),
        ("[\"small\", \"plain\"]", &["small", "plain"], 1, 13),
    ] {
        let named = format!("front_mat = \"plain\"\nback_mat = {papers}");
        let (style, album) = (
            upright(),
            read(&two.replace("front_mat = \"plain\"", &named)),
        );
        let asked = Asked::new(&style, &album, None).expect("it can be compared");
        let offered = offered(&asked, &bag("6 in", Some("3 1/2 in"), "9 in"));
        let fit = offered.fit().expect("it fits");
        let sheets = fit
            .paper
            .iter()
            .find(|s| s.papers == names)
            .expect("its paper");
        assert_eq!((sheets.at_least, sheets.at_hand), (Some(least), Some(hand)));
    }
}
