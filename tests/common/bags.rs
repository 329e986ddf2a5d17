//! Bags, from a number: other ones of the same make, and of any make.

use super::dice::Dice;
use tuckwright::length::{Interval, Length};
use tuckwright::supplies::{Bag, Bottom, Pocket};

const MM: i64 = 1_000_000;
const SIXTEENTH: i64 = 1_587_500;

/// A length from `least` to `most` (mm): on a 1/16 in grid, on whole millimetres, or on none; with
/// some play around it now and then.
fn length(dice: &mut Dice, least: i64, most: i64, play: i64) -> Interval {
    let nm = match dice.between(0, 2) {
        0 => dice.between(least * MM / SIXTEENTH + 1, most * MM / SIXTEENTH) * SIXTEENTH,
        1 => dice.between(least, most) * MM,
        _ => dice.between(least * MM, most * MM),
    };
    let play = if dice.chance(play) {
        *dice.pick(&[MM, SIXTEENTH, SIXTEENTH / 2, 1])
    } else {
        0
    };
    Interval::plus_minus(Length::from_nm(nm), Length::from_nm(play))
        .unwrap_or(Interval::exact(Length::from_nm(nm)))
}

/// A bag that says the same things as another, with other measures.
pub fn alike(dice: &mut Dice, bag: &Bag) -> Bag {
    let mm = |interval: Interval| (interval.middle().nm() / MM).max(4);
    let play = *dice.pick(&[0, 30, 100]);
    let near = |dice: &mut Dice, of: Interval| {
        let of = mm(of);
        length(dice, of * 7 / 10, of * 14 / 10 + 1, play)
    };
    let mut other = bag.clone();
    other.width = near(dice, bag.width);
    other.height = near(dice, bag.height);
    other.gusset = bag.gusset.map(|it| near(dice, it));
    other.folded = bag.folded.map(|it| near(dice, it));
    other.front_depth = bag.front_depth.map(|it| near(dice, it));
    other.back_depth = bag.back_depth.map(|it| near(dice, it));
    if let Some(pocket) = &mut other.pocket {
        pocket.edge = near(dice, pocket.edge);
        pocket.depth = pocket.depth.map(|it| near(dice, it));
    }
    let thin = |dice: &mut Dice| Interval::exact(Length::from_nm(dice.between(50_000, 900_000)));
    other.caliper = bag.caliper.map(|_| thin(dice));
    other.squeezed = bag.squeezed.map(|_| thin(dice));
    other.flap_layers = bag.flap_layers.map(|_| dice.between(0, 4));
    other
}

/// The same bag, up to 6 mm wider and higher.
pub fn a_little_larger(dice: &mut Dice, bag: &Bag) -> Bag {
    let mut larger = |of: Interval| {
        let more = Length::from_nm(dice.between(0, 6 * MM));
        let end = |length: Length| length.checked_add(more).unwrap_or(length);
        Interval::between(end(of.least()), end(of.most())).unwrap_or(of)
    };
    Bag {
        width: larger(bag.width),
        height: larger(bag.height),
        ..bag.clone()
    }
}

/// A bag of any make.
pub fn any(dice: &mut Dice, bag: &Bag) -> Bag {
    let mut other = bag.clone();
    let of =
        |percent: i64| Interval::exact(Length::from_nm(bag.height.middle().nm() / 100 * percent));
    other.bottom = *dice.pick(&[Bottom::Block, Bottom::Block, Bottom::Pinch]);
    let block = other.bottom == Bottom::Block;
    other.gusset = (block && dice.chance(60)).then(|| of(30));
    other.folded = dice.chance(15).then(|| of(60));
    other.pocket = dice.chance(30).then(|| Pocket {
        // Now and then below the crease of a folded flap.
        edge: of(*dice.pick(&[35, 35, 15])),
        depth: dice.chance(50).then(|| of(30)),
        why: None,
        place: bag.pocket.as_ref().map_or(bag.place, |p| p.place),
    });
    other.front_depth = (other.gusset.is_some() && dice.chance(20)).then(|| of(70));
    other.back_depth = dice.chance(20).then(|| of(90));
    other.caliper = dice.chance(30).then(|| of(1));
    other.squeezed = dice.chance(15).then(|| of(1));
    other.flap_layers = dice.chance(15).then_some(3);
    alike(dice, &other)
}
