//! Thousands of bags without a file: usual ones, tiny ones, huge ones, hardly measured ones.

use super::common;
use common::dice::Dice;
use tuckwright::album::Value;
use tuckwright::album::quick::{Quick, album};
use tuckwright::length::{Interval, Length, Ruler, parse_interval};
use tuckwright::solve::Limits;
use tuckwright::style::Style;
use tuckwright::{Outcome, work};

const BAGS: usize = 4_000;
/// Search nodes of one answer: far above what any of them takes, and the same on every machine.
const MOST_NODES: u64 = 400;

const MM: i64 = Length::MM.nm();

/// Between two lengths (nm), on a grain, with what play it may have.
fn measure(dice: &mut Dice, least: i64, most: i64) -> Interval {
    let grain = *dice.pick(&[10_000, 100_000, MM / 2, MM, 396_875, 4 * 396_875]);
    let middle = dice.between(least / grain, most / grain).max(1) * grain;
    let play = match dice.between(1, 20) {
        1..=14 => 0,
        15..=17 => dice.between(0, 3) * MM / 2,
        18 => middle / 2,
        19 => middle - 1,
        _ => dice.between(0, middle - 1),
    };
    let play = play.min(middle - 1);
    Interval::plus_minus(Length::from_nm(middle), Length::from_nm(play)).expect("not negative")
}

fn bag(dice: &mut Dice) -> Quick {
    let rulers = [
        "1/16 in", "1/8 in", "1 mm", "0.5 mm", "0.01 mm", "1/64 in", "1 in", "100 mm",
    ];
    let (least, most) = match dice.between(1, 10) {
        1..=6 => (60 * MM, 400 * MM),
        7 => (MM / 100, 5 * MM),
        8 => (MM, 60 * MM),
        9 => (400 * MM, 2_000 * MM),
        _ => (MM, 2_000 * MM),
    };
    let maybe = |dice: &mut Dice, percent: i64, least: i64, most: i64| {
        dice.chance(percent).then(|| measure(dice, least, most))
    };
    let width = measure(dice, least, most);
    let height = measure(dice, least, most);
    let shapes = [
        (2, 3),
        (1, 1),
        (3, 4),
        (5398, 8560),
        (16, 9),
        (64, 63),
        (1, 1_000_000),
    ];
    let print = dice.chance(40).then(|| {
        let sides = [
            measure(dice, 20 * MM, 300 * MM),
            measure(dice, 20 * MM, 300 * MM),
        ];
        ("print".to_owned(), sides[0], sides[1])
    });
    let mut set = Vec::new();
    let names = [
        "side_reveal",
        "border",
        "caption_strip",
        "ease",
        "hole_clear",
        "end_least",
        "bag_caliper",
    ];
    for name in names {
        if dice.chance(8) {
            set.push((
                name.to_owned(),
                Value::Length(measure(dice, MM / 100, 30 * MM)),
            ));
        }
    }
    if dice.chance(5) {
        set.push((
            "hole_count".to_owned(),
            Value::Ratio(dice.between(0, 40), 1),
        ));
    }
    if dice.chance(5) {
        set.push((
            "edge_share".to_owned(),
            Value::Ratio(dice.between(0, 999), 7),
        ));
    }
    Quick {
        bottom: None,
        folded: None,
        ruler: Ruler::parse(dice.pick::<&str>(&rulers)).expect("a ruler"),
        gusset: maybe(dice, 50, least / 4, most / 2),
        pocket: maybe(dice, 30, least / 4, most / 2),
        pocket_depth: maybe(dice, 30, least / 4, most / 2),
        hole: maybe(dice, 30, MM, 12 * MM),
        edge: maybe(dice, 20, MM, 40 * MM),
        photo_shape: dice.chance(35).then(|| *dice.pick(&shapes)),
        width,
        height,
        print,
        set,
    }
}

#[test]
fn any_bag_has_a_verdict_at_once() {
    let style = common::upright();
    let mut dice = Dice::new(3);
    let (mut fit, mut clash) = (0, 0);
    let mut dearest = (0, String::new());
    for _ in 0..BAGS {
        let quick = bag(&mut dice);
        let said = format!("{quick:?}");
        let worked = work(&style, &album(quick), &Limits::default());
        let nodes = worked.as_ref().map_or(0, |it| it.solution.stats.nodes);
        match worked.map(|worked| worked.outcome) {
            Ok(Outcome::Fits(_)) => fit += 1,
            Ok(Outcome::Clash(_)) => clash += 1,
            other => panic!("{said}\n{other:?}"),
        }
        dearest = dearest.max((nodes, said));
    }
    println!("{fit} fit, {clash} clash; most nodes: {dearest:?}");
    assert!(dearest.0 < MOST_NODES, "{dearest:?}");
    assert!(fit > BAGS / 4 && clash > BAGS / 10);
}

/// Bags as they are sold and as they are typed, with what goes into them: no wish is given up that the
/// maker did not touch. What the form adds of itself (mats, a photo mat, holes) must not get in its way.
#[test]
fn what_a_typed_bag_adds_gives_no_wish_up() {
    let style = common::upright();
    let length = |text: &str| parse_interval(text).expect("a length");
    let print = |width, height| Some(("print".to_owned(), length(width), length(height)));
    let bag = |ruler: &str, sides: [&str; 3]| Quick {
        bottom: None,
        folded: None,
        ruler: Ruler::parse(ruler).expect("a ruler"),
        width: length(sides[0]),
        gusset: (!sides[1].is_empty()).then(|| length(sides[1])),
        height: length(sides[2]),
        pocket: None,
        pocket_depth: None,
        hole: None,
        edge: None,
        photo_shape: None,
        print: None,
        set: Vec::new(),
    };
    let inch = |sides| bag("1/8 in", sides);
    let metric = |sides| bag("1 mm", sides);
    let pocket = |edge: &str, it: Quick| Quick {
        pocket: Some(length(edge)),
        ..it
    };
    let shape = |shape, it: Quick| Quick {
        photo_shape: Some(shape),
        ..it
    };
    let bags = [
        inch(["5 1/8 in", "", "8 1/2 in"]),
        inch(["5 1/8 in", "3 in", "8 1/2 in"]),
        inch(["4 3/8 in", "", "5 3/4 in"]),
        metric(["110 mm", "", "180 mm"]),
        metric(["160 mm", "90 mm", "240 mm"]),
        inch(["6 in", "3 1/2 in", "11 in"]),
        pocket("3 in", inch(["5 in", "", "8 in"])),
        pocket("1 in", inch(["5 in", "", "8 in"])),
        pocket("70 mm", metric(["100 mm", "60 mm", "190 mm"])),
        shape((2, 3), inch(["3 1/2 in", "", "6 1/2 in"])),
        shape((4, 5), metric(["180 mm", "60 mm", "260 mm"])),
        inch(["4 1/4 in", "2 3/8 in", "8 3/16 in"]),
        inch(["2 3/4 in", "", "4 1/4 in"]),
        Quick {
            print: print("4 in", "6 in"),
            ..inch(["7 in", "", "9 in"])
        },
        Quick {
            print: print("89 mm", "127 mm"),
            ..metric(["130 mm", "80 mm", "210 mm"])
        },
    ];
    for quick in bags {
        let said = format!("{quick:?}");
        let worked = work(&style, &album(quick), &Limits::default()).expect("a bag");
        let Outcome::Fits(plan) = worked.outcome else {
            panic!("{said}\n{:?}", worked.outcome);
        };
        let broken: Vec<&str> = plan
            .rules
            .iter()
            .filter(|line| !line.kept)
            .map(|line| line.name.as_str())
            .collect();
        assert!(broken.is_empty(), "{said}\n{broken:?}");
    }
}

/// The photo's shorter side, and both sides together, of the one leaf (nm); else the rules that clash.
fn photo(style: &Style, quick: &Quick) -> Result<(i64, i64), Vec<String>> {
    match work(style, &album(quick.clone()), &Limits::default())
        .expect("a bag")
        .outcome
    {
        Outcome::Fits(plan) => {
            let photo = plan.leaves[0].inserts[0]
                .photo
                .as_ref()
                .expect("it carries one");
            let (width, height) = (
                photo.width.value.least().nm(),
                photo.height.value.least().nm(),
            );
            Ok((width.min(height), width + height))
        }
        Outcome::Clash(clash) => Err(clash
            .members
            .into_iter()
            .map(|member| member.name)
            .collect()),
        other => panic!("{other:?}"),
    }
}

/// In every rule that a photo hangs on, the leaf's sides stand on the side that allows more. One
/// pair of rules may clash on a larger bag all the same: where a pocket is hardly deeper than the
/// front mat must run under its edge, the mat's height lies in a gap that is narrower than a ruler
/// step, and moves with the bag's height on or off the ruler.
#[test]
fn a_larger_bag_never_has_a_smaller_photo() {
    let style = common::upright();
    let mut dice = Dice::new(4);
    let (mut compared, mut larger) = (0, 0);
    for _ in 0..600 {
        let mut quick = bag(&mut dice);
        (quick.width, quick.height) = (
            measure(&mut dice, 60 * MM, 400 * MM),
            measure(&mut dice, 60 * MM, 400 * MM),
        );
        let Ok(small) = photo(&style, &quick) else {
            continue;
        };
        let by = [dice.between(0, 40) * MM / 4, dice.between(0, 40) * MM / 4];
        let mut large = quick.clone();
        let grow = |side: Interval, by: i64| {
            let more = |end: Length| Length::from_nm(end.nm() + by);
            Interval::between(more(side.least()), more(side.most())).expect("in order")
        };
        large.width = grow(quick.width, by[0]);
        large.height = grow(quick.height, by[1]);
        match photo(&style, &large) {
            Ok(grown) => {
                assert!(
                    grown >= small,
                    "{quick:?}\n{small:?}; larger by {by:?}: {grown:?}"
                );
                compared += 1;
                larger += usize::from(grown > small);
            }
            Err(rules) => {
                let gap = "front mat ends inside the pocket".to_owned();
                assert!(
                    rules.contains(&gap),
                    "{quick:?} larger by {by:?}: {rules:?}"
                );
            }
        }
    }
    println!("{compared} bags made larger; {larger} photos grew");
    assert!(compared > 150 && larger > 50);
}
