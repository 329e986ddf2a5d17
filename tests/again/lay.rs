//! Right sides, and the whole scene, against rules that are laid over every bag anew.

use crate::common::{self, bags, dice::Dice};
use tuckwright::album::Album;
use tuckwright::program::again::Again;
use tuckwright::program::expand::expand;
use tuckwright::style::Style;
use tuckwright::supplies::Bag;

/// Leaves that share a bag with the first one, or with the last one, and that bag.
fn leaves(dice: &mut Dice, album: &Album) -> (Vec<usize>, Bag) {
    let bag = dice.pick(&album.leaves).bag;
    let of_it = (0..album.leaves.len()).filter(|at| album.leaves[*at].bag == bag);
    (of_it.collect(), album.supplies.bags[bag].clone())
}

/// What became of some bags: laid again, and expanded because they had to be.
#[derive(Debug, Default)]
struct Tally {
    again: usize,
    anew: usize,
    refused: usize,
}

fn compare(style: &Style, album: &Album, dice: &mut Dice, count: usize, tally: &mut Tally) {
    let (leaves, first) = leaves(dice, album);
    let Ok(expanded) = expand(style, album) else {
        tally.refused += 1;
        return;
    };
    let Some(again) = Again::new(style, album, &leaves, expanded) else {
        panic!("{}: nothing in the style forbids it", album.title);
    };
    let mut scene = again.expanded.model.scene.clone();
    let mut sides = Vec::new();
    for at in 0..count {
        let bag = match at % 4 {
            3 => bags::any(dice, &first),
            _ => bags::alike(dice, &first),
        };
        let other = album.with_bag(&leaves, &bag);
        let anew = expand(style, &other);
        match again.lay(&mut scene, album, &bag, &mut sides) {
            Some(()) => {
                let anew = anew.expect("what is laid again can be laid anew");
                let program = again.program(&sides);
                for (again, anew) in program.rows.iter().zip(&anew.program.rows) {
                    assert_eq!(again, anew, "{} {bag:?}", album.title);
                }
                assert!(program == anew.program, "{} {bag:?}", album.title);
                let here = scene.givens.iter().zip(&anew.model.scene.givens);
                for (again, anew) in here {
                    assert_eq!(again, anew, "{} {bag:?}", album.title);
                }
                assert!(scene == anew.model.scene, "{} {bag:?}", album.title);
                tally.again += 1;
            }
            None => tally.anew += 1,
        }
    }
}

#[test]
fn another_bag_gives_what_its_own_expansion_gives() {
    let style = common::upright();
    let mut tally = Tally::default();
    for seed in 0..300 {
        let mut dice = Dice::new(seed + 40_000);
        compare(&style, &common::varied(seed), &mut dice, 12, &mut tally);
    }
    println!("{tally:?}");
    assert!(tally.again > 2_000 && tally.anew > 300, "{tally:?}");
}

/// Rules that apply to some bags only, by their measures, and an equality of a bag's measure.
#[test]
fn a_condition_that_turns_out_otherwise_is_laid_anew() {
    let words = common::UPRIGHT.replace(
        "when = ['slot.place = \"mouth\"', 'insert.grip = \"plain\"', 'free(insert.height)']",
        "when = ['slot.place = \"mouth\"', 'insert.grip = \"plain\"', 'not leaf.height - leaf.width < 60 * ruler.step']",
    );
    assert_ne!(words, common::UPRIGHT);
    let style = common::style(&words);
    let mut tally = Tally::default();
    for seed in 0..150 {
        let mut dice = Dice::new(seed + 50_000);
        compare(&style, &common::varied(seed), &mut dice, 8, &mut tally);
    }
    println!("{tally:?}");
    assert!(tally.again > 600 && tally.anew > 350, "{tally:?}");
}
