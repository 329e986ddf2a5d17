//! Drawn instances after the published classes of two-dimensional bin packing and of cutting stock.
//!
//! The classes are those of Berkey and Wang 1987 (1-6) and of Martello and Vigo 1998 (7-10), their
//! definitions from memory: 20, 40, 60, 80 or 100 pieces, one of each. The others are cutting stock
//! with demands: sides of 25-75 % of the sheet as in Beasley's instances, and many small pieces.
//! The throws are this file's own, so that the sizes are not the published ones.

use super::{Dice, one_sheet};
use tuckwright::nest::{Job, Piece, Stages};

/// Name and how a job is drawn.
pub type Class = (
    &'static str,
    fn(&mut Dice, u64) -> (u64, Vec<(u64, u64, u64)>),
);

/// Numbers of pieces of the published classes.
const SIZES: [u64; 5] = [20, 40, 60, 80, 100];

pub const CLASSES: [Class; 18] = [
    ("class 1: 1-10 of 10", |dice, at| uniform(dice, at, 10, 10)),
    ("class 2: 1-10 of 30", |dice, at| uniform(dice, at, 10, 30)),
    ("class 3: 1-35 of 40", |dice, at| uniform(dice, at, 35, 40)),
    ("class 4: 1-35 of 100", |dice, at| {
        uniform(dice, at, 35, 100)
    }),
    ("class 5: 1-100 of 100", |dice, at| {
        uniform(dice, at, 100, 100)
    }),
    ("class 6: 1-100 of 300", |dice, at| {
        uniform(dice, at, 100, 300)
    }),
    ("class 7: wide", |dice, at| mixed(dice, at, 0)),
    ("class 8: high", |dice, at| mixed(dice, at, 1)),
    ("class 9: large", |dice, at| mixed(dice, at, 2)),
    ("class 10: small", |dice, at| mixed(dice, at, 3)),
    ("quarters of 250", |dice, at| quarters(dice, at, 250, 1)),
    ("quarters of 250, many", |dice, at| {
        quarters(dice, at, 250, 100)
    }),
    ("quarters of 1000", |dice, at| quarters(dice, at, 1_000, 1)),
    ("quarters of 1000, many", |dice, at| {
        quarters(dice, at, 1_000, 100)
    }),
    ("quarters of 3000, many", |dice, at| {
        quarters(dice, at, 3_000, 100)
    }),
    ("50-400 of 1000", |dice, at| {
        small(dice, at, 50, 400, 1_000, 5)
    }),
    ("50-400 of 1000, many", |dice, at| {
        small(dice, at, 50, 400, 1_000, 50)
    }),
    ("1/16 in, 12-60 of 192", |dice, at| {
        small(dice, at, 12, 60, 192, 30)
    }),
];

/// Every instance of a class: `each` for each number of pieces, every other one turned freely.
pub fn jobs(class: &Class, stages: Stages, each: u64) -> impl Iterator<Item = Job> {
    let draw = class.1;
    (0..SIZES.len() as u64 * each).map(move |number| {
        let seed = 0x9e37_79b9_7f4a_7c15 ^ number.wrapping_mul(0x2545_f491_4f6c_dd1d);
        let mut dice = Dice(seed.max(1));
        // The first throws of neighbouring seeds are alike.
        for _ in 0..20 {
            dice.throw(0, 1);
        }
        let (side, pieces) = draw(&mut dice, number / each);
        let pieces = pieces.into_iter().enumerate();
        let pieces = pieces.map(|(at, (width, height, count))| Piece {
            name: at.to_string(),
            width,
            height,
            count,
            turn: number % 2 == 1,
            value: None,
            most_alike: None,
        });
        one_sheet(pieces.collect(), side, side, stages)
    })
}

type Drawn = (u64, Vec<(u64, u64, u64)>);

fn uniform(dice: &mut Dice, at: u64, most: u64, side: u64) -> Drawn {
    let each = (0..SIZES[at as usize]).map(|_| (dice.throw(1, most), dice.throw(1, most), 1));
    (side, each.collect())
}

/// 70 % of one type, 10 % of each other one; sheets of 100 x 100.
fn mixed(dice: &mut Dice, at: u64, main: u64) -> Drawn {
    let each = (0..SIZES[at as usize]).map(|_| {
        let throw = dice.throw(0, 9);
        let others: Vec<u64> = (0..4).filter(|&t| t != main).collect();
        let of = others.get(throw as usize).copied().unwrap_or(main);
        let (width, height) = match of {
            0 => (dice.throw(67, 100), dice.throw(1, 50)),
            1 => (dice.throw(1, 50), dice.throw(67, 100)),
            2 => (dice.throw(50, 100), dice.throw(50, 100)),
            _ => (dice.throw(1, 50), dice.throw(1, 50)),
        };
        (width, height, 1)
    });
    (100, each.collect())
}

/// 10 to 50 kinds with sides of a quarter to three quarters of the sheet.
fn quarters(dice: &mut Dice, at: u64, side: u64, most: u64) -> Drawn {
    let kinds = [10, 20, 30, 40, 50][at as usize];
    let mut throw = || dice.throw(side / 4, side * 3 / 4);
    let sides: Vec<(u64, u64)> = (0..kinds).map(|_| (throw(), throw())).collect();
    let each = sides.into_iter().map(|(w, h)| (w, h, dice.throw(1, most)));
    (side, each.collect())
}

/// 10 to 50 kinds with sides from `least` to `largest`, up to `most` of each.
fn small(dice: &mut Dice, at: u64, least: u64, largest: u64, side: u64, most: u64) -> Drawn {
    let kinds = [10, 20, 30, 40, 50][at as usize];
    let mut throw = || dice.throw(least, largest);
    let sides: Vec<(u64, u64)> = (0..kinds).map(|_| (throw(), throw())).collect();
    let each = sides.into_iter().map(|(w, h)| (w, h, dice.throw(1, most)));
    (side, each.collect())
}
