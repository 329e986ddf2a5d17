//! Growing a size, worked out by hand.

use crate::{block, common, leaf, length};
use tuckwright::album::Album;
use tuckwright::explain::grow::{GrowError, grow};
use tuckwright::explain::{Growth, Offer};
use tuckwright::plan::Reason;
use tuckwright::solve::Limits;
use tuckwright::work;

fn ask(album: &Album, name: &str, leaf: Option<&str>) -> Result<Growth, GrowError> {
    let style = common::upright();
    let limits = Limits::default();
    let worked = work(&style, album, &limits).unwrap();
    grow(&style, album, &worked, name, leaf, &limits)
}

fn rules(reasons: &[Reason]) -> Vec<&str> {
    let names = reasons.iter().filter_map(|reason| match reason {
        Reason::Rule { name, .. } => Some(name.as_str()),
        _ => None,
    });
    names.collect()
}

/// Measure, more or less, by, buys.
fn told(album: &Album, growth: &Growth) -> Vec<String> {
    let ruler = album.ruler;
    let tell = |o: &Offer| {
        let way = if o.more { "more" } else { "less" };
        let (by, buys) = (ruler.show(o.by), ruler.show(o.buys));
        let loses = o.loses.map(|l| format!(", loses {}", ruler.show(l)));
        format!(
            "{} {by} {way} buys {buys}{}",
            o.measure,
            loses.unwrap_or_default()
        )
    };
    growth.offers.iter().map(tell).collect()
}

fn offer<'g>(growth: &'g Growth, measure: &str) -> &'g Offer {
    growth.offers.iter().find(|o| o.measure == measure).unwrap()
}

/// A leaf of 4 3/8 x 5 3/4 in (common practice, no published source). 1/4 in to a hole's centre,
/// 1/8 to its rim, 1/8 clear, 1/8 ease: 4 3/8 - 5/8 = 3 3/4 in of photo mat.
#[test]
fn a_wider_bag_a_smaller_hole_less_clearance_and_less_ease_widen_a_pull_out() {
    let album = block("1/16 in", "4 3/8 in", "5 3/4 in", None);
    let growth = ask(&album, "photo_mat.width", None).unwrap();
    assert_eq!(growth.value.most(), length("3 3/4 in"));
    assert!(growth.larger && growth.proved);
    assert!(
        rules(&growth.held_by)
            .contains(&"a pull-out clears the holes and has ease at the outer edge")
    );
    // A hole of 3/16 in stands 3/16 in from the edge with 3/32 to its rim: 3/32 in less, of which the
    // ruler takes 1/16.
    assert_eq!(
        told(&album, &growth),
        [
            "leaf.width 1/16 in more buys 1/16 in",
            "hole_clear 1/16 in less buys 1/16 in",
            "ease 1/16 in less buys 1/16 in",
            "hole_diameter 1/16 in less buys 1/16 in",
        ]
    );
    // Wider still buys as much each time; of ease and clearance half is left after one step.
    assert_eq!(offer(&growth, "leaf.width").until, None);
    let until = offer(&growth, "ease").until.clone();
    assert_eq!(
        until,
        Some((length("1/16 in"), length("1/16 in"), Vec::new()))
    );
}

/// 111 mm of leaf, holes of 6 mm: 6 + 3 + 3 + 3 = 15 mm, so 96 mm of photo mat. A hole of 5 mm
/// stands 5 mm from the edge with 2.5 mm to its rim: 1.5 mm less, of which the ruler takes 1; one
/// of 4 mm gives 3.
#[test]
fn the_same_on_a_metric_ruler() {
    let album = block("1 mm", "111 mm", "146 mm", None);
    let growth = ask(&album, "photo_mat.width", None).unwrap();
    assert_eq!(growth.value.most(), length("96 mm"));
    assert_eq!(
        told(&album, &growth),
        [
            "leaf.width 1 mm more buys 1 mm",
            "hole_clear 1 mm less buys 1 mm",
            "ease 1 mm less buys 1 mm",
            "hole_diameter 1 mm less buys 1 mm",
        ]
    );
    let (by, buys, held_by) = offer(&growth, "hole_diameter").until.clone().unwrap();
    // At 1 mm: 1 + 0.5 + 3 + 3 = 7.5 mm; 103.5 mm are left, of which the ruler takes 103. There is
    // no smaller hole.
    assert_eq!((by, buys), (length("5 mm"), length("7 mm")));
    assert!(held_by.is_empty());
}

/// A print of 3 x 5 in is smaller than the 3 1/2 x 5 in that the mat would take: only its width
/// helps, up to 1/2 in. A wider leaf or a lower one would turn it, and lose as much height.
#[test]
fn a_wider_print_widens_a_photo_until_the_mat_holds_it() {
    let album = block("1/8 in", "4 3/8 in", "5 3/4 in", Some(("3 in", "5 in")));
    let growth = ask(&album, "photo_mat.photo.width", None).unwrap();
    assert_eq!(growth.value.most(), length("3 in"));
    // Why it does not turn either is in the reason too.
    assert!(rules(&growth.held_by).contains(&"a photo is no wider than its print"));
    let all = told(&album, &growth);
    assert_eq!(all[0], "width of snap 1/8 in more buys 1/8 in");
    assert!(
        all[1..].iter().all(|said| said.contains("loses 2 in")),
        "{all:?}"
    );
    let losing: Vec<bool> = growth.offers.iter().map(|o| o.loses.is_some()).collect();
    assert!(losing.is_sorted());
    let (by, buys, held_by) = offer(&growth, "width of snap").until.clone().unwrap();
    assert_eq!((by, buys), (length("1/2 in"), length("1/2 in")));
    assert!(
        rules(&held_by).contains(&"a photo has its side borders"),
        "{held_by:?}"
    );
}

/// Small is wanted of a front mat with a pocket below it: 7 + 3/8 - 1/16 - 3 = 4 5/16, so 4 3/8 in.
/// Half a step of a small allowance is tried, too: 1/16 in more of head reveal buys 1/8.
#[test]
fn what_should_be_small_is_made_smaller() {
    let words = r#"
album = "one"
ruler = "1/8 in"
[[bag]]
name = "plain"
size = "5 x 7 in"
gusset = "3 in"
[[leaf]]
name = "page"
bag = "plain"
"#;
    let album = common::read(words);
    let growth = ask(&album, "front_mat.height", Some("page")).unwrap();
    assert!(!growth.larger);
    assert_eq!(growth.value.most(), length("4 3/8 in"));
    let all = told(&album, &growth);
    for said in [
        "leaf.height 1/8 in less buys 1/8 in",
        "leaf.gusset 1/8 in more buys 1/8 in",
        "head_reveal 1/16 in more buys 1/8 in",
        "tuck_under 1/8 in less buys 1/8 in",
    ] {
        assert!(all.contains(&said.to_owned()), "{said} in {all:?}");
    }
    assert_eq!(all.len(), 4, "{all:?}");
}

/// A quarter of a step in the bag: 5 3/32 in is 3/32 in more than the 5 in that are used of it, so
/// still one whole step is needed, and buys one.
#[test]
fn gains_come_in_ruler_steps() {
    let album = leaf("1/8 in", "4 15/32 in", "5 3/4 in", None);
    let growth = ask(&album, "photo_mat.width", None).unwrap();
    assert_eq!(growth.value.most(), length("3 3/4 in"));
    let wide = offer(&growth, "leaf.width");
    assert_eq!((wide.by, wide.buys), (length("1/8 in"), length("1/8 in")));
    // The hole gives 3/16 in: with the 3/32 that lay idle that makes two steps.
    let hole = offer(&growth, "hole_diameter");
    assert_eq!((hole.by, hole.buys), (length("1/8 in"), length("1/4 in")));
}

/// Borders stand at both sides: one step of the border buys two of the photo.
#[test]
fn a_measure_that_enters_twice_buys_twice() {
    let album = leaf("1 mm", "111 mm", "146 mm", None);
    let growth = ask(&album, "photo_mat.photo.width", None).unwrap();
    let border = offer(&growth, "border");
    assert!(!border.more);
    assert_eq!((border.by, border.buys), (length("1 mm"), length("2 mm")));
    let bottom = growth.offers.iter().any(|o| o.measure == "caption_strip");
    assert!(!bottom, "it does not enter a width");
}

#[test]
fn what_cannot_be_grown_is_said() {
    let words = r#"
album = "two"
ruler = "1 mm"
[[bag]]
name = "plain"
size = "120 x 180 mm"
gusset = "60 mm"
[[leaf]]
name = "front"
bag = "plain"
given = { "back_mat.width" = "100 mm" }
[[leaf]]
name = "rear"
bag = "plain"
measured = { "back_mat.width" = "101 mm" }
"#;
    let album = common::read(words);
    let leaves = vec!["front".to_owned(), "rear".to_owned()];
    let name = "front_mat.width".to_owned();
    assert_eq!(
        ask(&album, "front_mat.width", None),
        Err(GrowError::WhichLeaf {
            name,
            leaves: leaves.clone()
        })
    );
    assert!(ask(&album, "rear: front_mat.width", None).is_ok());
    assert_eq!(
        ask(&album, "front_mat.width", Some("last")),
        Err(GrowError::NoSuchLeaf {
            leaf: "last".to_owned(),
            known: leaves
        })
    );
    for (leaf, measured) in [("front", false), ("rear", true)] {
        let Err(GrowError::NotFound {
            measured: found,
            value,
            ..
        }) = ask(&album, "back_mat.width", Some(leaf))
        else {
            panic!("{leaf}");
        };
        assert_eq!(found, measured);
        assert!(value.ends_with("mm"));
    }
    let Err(GrowError::NoSuchSize { known, .. }) = ask(&album, "front_mat.widht", None) else {
        panic!();
    };
    assert!(known.contains(&"front_mat.width".to_owned()));
    assert!(!known.contains(&"back_mat.width".to_owned()), "it is given");
    let small = leaf("1 mm", "20 mm", "30 mm", None);
    assert_eq!(
        ask(&small, "photo_mat.width", None),
        Err(GrowError::DoesNotFit)
    );
}

/// A card in the front slot stops at the crease, half the gusset above the tail: half of each step
/// of gusset, so that every second one buys. 7 - 3/2 = 5 1/2 in.
#[test]
fn half_of_a_step_buys_nothing_and_two_halves_buy_one() {
    let words = r#"
album = "one"
ruler = "1/8 in"
[[bag]]
name = "plain"
size = "5 x 7 in"
gusset = "3 in"
[[leaf]]
name = "page"
bag = "plain"
[[leaf.insert]]
name = "note"
place = "mouth"
"#;
    let album = common::read(words);
    let growth = ask(&album, "note.height", None).unwrap();
    assert_eq!(growth.value.most(), length("5 1/2 in"));
    assert_eq!(
        told(&album, &growth),
        [
            "leaf.height 1/8 in more buys 1/8 in",
            "leaf.gusset 1/4 in less buys 1/8 in",
        ]
    );
}

/// Four cards of 0.3 mm take 1.2 mm of a flat bag: 111 - 6 - 3 - 3 - 3 - 1.2 = 94.8 mm, of which
/// the ruler takes 94. At 0.25 mm they take 1 mm, and 95 are left.
#[test]
fn thinner_cards_buy_width_in_a_flat_bag() {
    let words = r#"
album = "one"
ruler = "1 mm"
[[bag]]
name = "letter"
size = "111 x 146 mm"
bottom = "pinch"
[[leaf]]
name = "page"
bag = "letter"
[[leaf.insert]]
name = "note"
place = "mouth"
count = 4
caliper = "0.3 mm"
"#;
    let album = common::read(words);
    let growth = ask(&album, "note.width", None).unwrap();
    assert_eq!(growth.value.most(), length("94 mm"));
    let thin = offer(&growth, "thickness of note");
    assert!(!thin.more);
    assert_eq!((thin.by, thin.buys), (length("0.05 mm"), length("1 mm")));
    // However thin, four cards take something of the next millimetre.
    let until = thin.until.as_ref().map(|(by, buys, _)| (*by, *buys));
    assert_eq!(until, Some((length("0.05 mm"), length("1 mm"))));
}

/// A photo is as wide as its print until a leaf of 8 in takes no more: 8 - 7/8 = 7 1/8 in. What was
/// tried ends 32 steps on; a gain at the 31st is known to be the last, one at the 32nd is not.
#[test]
fn how_far_more_helps_is_told_up_to_the_last_step_that_shows_it() {
    let until = |print: &str| {
        let album = block("1/8 in", "8 in", "20 in", Some((print, "16 in")));
        let growth = ask(&album, "photo_mat.photo.width", None).unwrap();
        assert_eq!(growth.value.most(), length(print));
        let wider = growth.offers.iter();
        let mut wider = wider.filter(|o| o.measure == "width of snap" && o.more);
        let until = wider.next().expect("a wider print").until.clone();
        until.map(|(by, buys, held_by)| (by, buys, rules(&held_by).join(", ")))
    };
    let (by, buys, held_by) = until("3 1/4 in").expect("it ends within what was tried");
    assert_eq!((by, buys), (length("3 7/8 in"), length("3 7/8 in")));
    assert!(
        held_by.contains("a pull-out clears the holes") && !held_by.contains("print"),
        "{held_by}"
    );
    assert_eq!(until("3 1/8 in"), None);
}
