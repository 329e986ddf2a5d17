//! What is only worked out for reading, against the rules themselves.

use tuckwright::Outcome;
use tuckwright::album::Grip;
use tuckwright::album::quick::{Quick, album};
use tuckwright::length::{Interval, Ruler, parse_interval, parse_length};
use tuckwright::plan::{Listed, Plan};
use tuckwright::program::expand::expand;
use tuckwright::report::facts::photos;
use tuckwright::report::handout::Block;
use tuckwright::report::handout::front::watch;
use tuckwright::report::phrase::plainly;
use tuckwright::solve::Limits;
use tuckwright::supplies::Ring;
use tuckwright::text::Files;
use tuckwright::work_laid;

/// A gusseted bag of 5 x 3 x 8 in; thickness of everything but the bag is of no matter here.
fn plan(rings: &[(&str, &str)], count: i64) -> Plan {
    listing(rings, count, Listed::All)
}

fn listing(rings: &[(&str, &str)], count: i64, listed: Listed) -> Plan {
    let length = |text: &str| parse_interval(text).expect("a length");
    let mut album = album(Quick {
        bottom: None,
        folded: None,
        ruler: Ruler::parse("1/8 in").expect("a ruler"),
        width: length("5 in"),
        gusset: Some(length("3 in")),
        height: length("8 in"),
        pocket: None,
        pocket_depth: None,
        hole: None,
        edge: None,
        photo_shape: None,
        print: None,
        set: Vec::new(),
    });
    album.leaves[0].count = count;
    // Its card shows nothing to take hold of: a wish that is given up.
    album.leaves[0].inserts[0].grip = Grip::Plain;
    for (inside, wire) in rings {
        album.supplies.rings.push(Ring {
            name: (*inside).to_owned(),
            place: Default::default(),
            inside: length(inside),
            wire: Some(length(wire)),
            weight: None,
            count: None,
            price: None,
        });
    }
    let mut files = Files::default();
    let text = tuckwright::style::shipped::shipped("upright").expect("a style");
    let file = files.add("upright", text);
    let style = tuckwright::style::text::read(&mut files, file).expect("a style");
    let expanded = expand(&style, &album).expect("an album");
    let worked = work_laid((&style, &album), expanded, listed, &Limits::default())
        .expect("places that can be");
    match worked.outcome {
        Outcome::Fits(plan) => *plan,
        other => panic!("{other:?}"),
    }
}

/// A plan that lists few rules is the same plan.
#[test]
fn a_plan_lists_the_rules_that_are_asked_for() {
    let all = listing(&[("1 in", "1/8 in")], 3, Listed::All);
    let few = listing(&[("1 in", "1/8 in")], 3, Listed::NotKept);
    assert!(!few.rules.is_empty() && few.rules.iter().all(|rule| rule.wish && !rule.kept));
    let mut rules = all.rules.clone();
    rules.retain(|rule| !rule.kept);
    assert_eq!(few, Plan { rules, ..all });
}

#[test]
fn as_many_leaves_go_on_the_ring_as_it_says() {
    let one = plan(&[("1 in", "1/8 in")], 1);
    let most = one.leaves[0].capacity.expect("how many leaves");
    assert!(most > 1, "{most}");
    // So many fit; one more does not, as the rules themselves say.
    let full = plan(&[("1 in", "1/8 in"), ("3 in", "1/8 in")], most);
    assert_eq!(full.ring.map(|r| r.name), Some("1 in".to_owned()));
    let over = plan(&[("1 in", "1/8 in"), ("3 in", "1/8 in")], most + 1);
    assert_eq!(over.ring.map(|r| r.name), Some("3 in".to_owned()));
}

#[test]
fn a_closed_album_stands_out_by_its_ring() {
    let inch = |text: &str| parse_length(text).expect("a length");
    let bare = plan(&[], 1).closed.expect("a size");
    assert_eq!((bare.width, bare.height), (inch("5 in"), inch("8 in")));
    // 1 in inside + 1/8 in of wire - 1/8 in of paper between the hole's rim and the edge.
    let bound = plan(&[("1 in", "1/8 in")], 1).closed.expect("a size");
    assert_eq!(
        (bound.width, bound.thickness),
        (inch("6 in"), inch("1 1/4 in"))
    );
}

#[test]
fn what_sticks_out_makes_a_closed_album_higher() {
    let inch = |text: &str| parse_length(text).expect("a length");
    let plan = plan(&[], 1);
    let high = |into: &str, shows: &str| {
        let mut frame = plan.frames[0].clone();
        let slot = frame.parts.iter().position(|part| part.name == into);
        let slot = slot.expect("a slot");
        let deep = frame.parts[slot].height.most();
        let mut inserts = frame.parts.iter_mut();
        let insert = inserts.find(|part| part.slot.is_some()).expect("an insert");
        insert.slot = Some(slot);
        insert.height = Interval::exact(deep.checked_add(inch(shows)).expect("a length"));
        frame.stands_out(&plan.leaves[0])
    };
    let zero = inch("0 in");
    assert_eq!(
        high("front_slot", "1/2 in"),
        [zero, zero, zero, inch("1/2 in")]
    );
    assert_eq!(
        high("back_slot", "1/4 in"),
        [zero, zero, zero, inch("1/4 in")]
    );
    // 3 in of pocket and 4 in above its edge stay below the head; 6 in do not.
    assert_eq!(high("pocket", "4 in"), [zero; 4]);
    assert_eq!(high("pocket", "6 in"), [zero, zero, zero, inch("1 in")]);
    assert_eq!(high("front_slot", "0 in"), [zero; 4]);
}

#[test]
fn photos_of_one_size_are_counted_together() {
    let mut plan = plan(&[], 3);
    let mut second = plan.leaves[0].clone();
    second.count = 2;
    plan.leaves.push(second);
    let counted = photos(&plan);
    assert_eq!((counted.len(), counted[0].1), (1, 5));
}

#[test]
fn what_is_not_kept_is_to_be_watched() {
    let mut plan = plan(&[], 1);
    for rule in &mut plan.rules {
        rule.kept = true;
    }
    let lines = |plan: &Plan| match watch(plan).as_slice() {
        [Block::List(_, lines)] => lines.clone(),
        other => panic!("{other:?}"),
    };
    assert_eq!(lines(&plan), ["Every wish is kept."]);
    // What a hand does about it, where the style says so, else why.
    let with = |plan: &Plan, said: bool| {
        let mut rules = plan.rules.iter();
        let at = rules.position(|rule| rule.wish && rule.watch.is_some() == said);
        at.expect("a wish")
    };
    for said in [true, false] {
        let mut plan = plan.clone();
        let at = with(&plan, said);
        plan.rules[at].kept = false;
        let rule = &plan.rules[at];
        let words = rule.watch.as_ref().unwrap_or(&rule.because);
        let first = plainly(plan.ruler, words);
        let first = first.split(' ').next().expect("a word").to_lowercase();
        let told = lines(&plan);
        assert!(told[0].to_lowercase().starts_with(&first), "{told:?}");
    }
}
