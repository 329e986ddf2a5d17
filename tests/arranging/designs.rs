//! Designs to pieces: every deal of small puzzles, the pads of a maker, what a sheet gives.

use crate::dice::Dice;
use tuckwright::arrange::deal::{Deal, NoDeal, Puzzle, Worth, deal};
use tuckwright::arrange::sheet::{Counts, gives, of_several};

fn best(puzzle: &Puzzle) -> Option<Worth> {
    let (things, designs) = (puzzle.things.len(), puzzle.gives.len());
    let all = (0..designs.pow(things as u32)).map(|n| {
        let digit = |thing: usize| n / designs.pow(thing as u32) % designs;
        (0..things).map(digit).collect::<Vec<_>>()
    });
    all.filter_map(|design| puzzle.worth(&design)).min()
}

#[test]
fn no_deal_is_better() {
    let (mut dealt, mut refused) = (0, 0);
    for seed in 0..3_000 {
        let dice = &mut Dice::new(seed);
        let kinds = dice.between(1, 3) as usize;
        let counts = |dice: &mut Dice, most: i64| -> Counts {
            (0..kinds).map(|_| dice.between(0, most) as u32).collect()
        };
        let things: Vec<Counts> = (0..dice.between(1, 6))
            .map(|_| {
                let mut thing = vec![0; kinds];
                thing[dice.between(0, kinds as i64 - 1) as usize] = 1;
                // Two that match.
                if dice.chance(15) {
                    thing[dice.between(0, kinds as i64 - 1) as usize] += 1;
                }
                thing
            })
            .collect();
        let same = counts(dice, 3);
        let gives = (0..dice.between(1, 3)).map(|_| match dice.chance(50) {
            true => vec![same.clone()],
            false => (0..dice.between(1, 2)).map(|_| counts(dice, 3)).collect(),
        });
        let gives = gives.collect();
        let pairs = (0..things.len()).flat_map(|b| (0..b).map(move |a| (a, b)));
        let unlike: Vec<_> = pairs.filter(|_| dice.chance(40)).collect();
        let puzzle = Puzzle {
            things,
            gives,
            unlike,
        };
        match (deal(&puzzle, &|| false), best(&puzzle)) {
            (Ok(found), best) => {
                dealt += 1;
                assert_eq!(puzzle.worth(&found.design), best, "{seed}: {puzzle:?}");
                assert!(found.proved, "{seed}");
            }
            (Err(NoDeal::TooFew { .. }), None) => refused += 1,
            (other, best) => panic!("{seed}: {other:?}, {best:?}, {puzzle:?}"),
        }
    }
    assert!(dealt > 800 && refused > 300, "{dealt} and {refused}");
}

/// What a sheet gives, cut apart again: any cut of a rectangle into two, the plainest way.
fn plain((wide, high): (i64, i64), kinds: &[(i64, i64)]) -> Vec<Counts> {
    let mut all = vec![vec![0; kinds.len()]];
    for (n, (w, h)) in kinds.iter().enumerate() {
        if (*w <= wide && *h <= high) || (*h <= wide && *w <= high) {
            let mut one = vec![0; kinds.len()];
            one[n] = 1;
            all.push(one);
        }
    }
    let mut cut = |a: Vec<Counts>, b: Vec<Counts>| {
        for a in &a {
            all.extend(
                b.iter()
                    .map(|b| a.iter().zip(b).map(|(a, b)| a + b).collect()),
            );
        }
    };
    for x in 1..wide {
        cut(plain((x, high), kinds), plain((wide - x, high), kinds));
    }
    for y in 1..high {
        cut(plain((wide, y), kinds), plain((wide, high - y), kinds));
    }
    let below = |a: &Counts, b: &Counts| a != b && a.iter().zip(b).all(|(a, b)| a <= b);
    let mut kept: Vec<Counts> = all
        .iter()
        .filter(|a| !all.iter().any(|b| below(a, b)))
        .cloned()
        .collect();
    kept.sort();
    kept.dedup();
    kept
}

#[test]
fn a_sheet_gives_what_the_plainest_cuts_give() {
    for seed in 0..200 {
        let dice = &mut Dice::new(seed);
        let sheet = (dice.between(1, 5), dice.between(1, 4));
        let kinds: Vec<(i64, i64)> = (0..dice.between(1, 2))
            .map(|_| (dice.between(1, 3), dice.between(1, 3)))
            .collect();
        let found = gives(sheet, &kinds, true, &vec![99; kinds.len()]).expect("it is small");
        assert_eq!(found, plain(sheet, &kinds), "{seed}: {sheet:?} {kinds:?}");
    }
}

/// Twelve designs of two sheets; a leaf has a front, a pocket and a back mat (eighths of an inch); the
/// back faces the next leaf's front and pocket.
fn pad(side: i64, kinds: &[(i64, i64)], leaves: usize) -> Result<Deal, NoDeal> {
    let most = vec![leaves as u32; kinds.len()];
    let one = gives((side, side), kinds, true, &most).expect("a few pieces");
    let two = of_several(&one, 2, &most).expect("a few pieces");
    let mut puzzle = Puzzle {
        things: Vec::new(),
        gives: vec![two; 12],
        unlike: Vec::new(),
    };
    for leaf in 0..leaves {
        for kind in 0..3 {
            let mut thing = vec![0; 3];
            thing[kind] = 1;
            puzzle.things.push(thing);
        }
        let at = 3 * leaf;
        puzzle.unlike.push((at, at + 1));
        if leaf > 0 {
            puzzle.unlike.extend([(at - 1, at), (at - 1, at + 1)]);
        }
    }
    let found = deal(&puzzle, &|| false)?;
    let worth = (found.alike, found.most, std::cmp::Reverse(found.least));
    assert_eq!(puzzle.worth(&found.design), Some(worth));
    Ok(found)
}

#[test]
fn a_pad_of_twelve_designs() {
    // 5 1/8 x 5, 5 1/8 x 2 7/8 and 5 1/8 x 7 3/8 in from 12 x 12 in: 42 pieces, each design 3 or 4 times.
    let large = [(41, 40), (41, 23), (41, 59)];
    let found = pad(96, &large, 14).expect("it can be dealt");
    assert_eq!(
        (found.alike, found.most, found.least, found.proved),
        (0, 4, 3, true)
    );
    // No back mat fits 6 x 6 in.
    let weights = Some(vec![0, 0, 1]);
    assert_eq!(pad(48, &large, 14), Err(NoDeal::TooFew { weights }));
    // A design of two small sheets gives two large pieces: 24 of 28, and of 26.
    let small = [(34, 45), (34, 12), (34, 44)];
    for leaves in [14, 13] {
        let weights = Some(vec![1, 0, 1]);
        assert_eq!(pad(48, &small, leaves), Err(NoDeal::TooFew { weights }));
    }
    let found = pad(48, &small, 12).expect("it can be dealt");
    assert_eq!(
        (found.alike, found.most, found.least, found.proved),
        (0, 3, 3, true)
    );
}

/// Graphs of the trade: Mycielski's of 11 points needs 4 colours (DIMACS, myciel3), the 25 squares of a
/// board with queens need 5 (queen5_5; read in stored copies), so one colour less leaves two alike.
#[test]
fn published_colourings() {
    let myciel3 = [
        (1, 2),
        (1, 4),
        (1, 7),
        (1, 9),
        (2, 3),
        (2, 6),
        (2, 8),
        (3, 5),
        (3, 7),
        (3, 10),
        (4, 5),
        (4, 6),
        (4, 10),
        (5, 8),
        (5, 9),
        (6, 11),
        (7, 11),
        (8, 11),
        (9, 11),
        (10, 11),
    ];
    let myciel3: Vec<(usize, usize)> = myciel3.iter().map(|(a, b)| (a - 1, b - 1)).collect();
    let square = |n: usize| (n as i64 / 5, n as i64 % 5);
    let attacks = |a: usize, b: usize| {
        let ((r, c), (s, d)) = (square(a), square(b));
        r == s || c == d || (r - s).abs() == (c - d).abs()
    };
    let pairs = (0..25).flat_map(|b| (0..b).map(move |a| (a, b)));
    let queens: Vec<(usize, usize)> = pairs.filter(|(a, b)| attacks(*a, *b)).collect();
    assert_eq!((myciel3.len(), queens.len()), (20, 160));
    let coloured = |points: usize, unlike: &[(usize, usize)], colours: usize| {
        let puzzle = Puzzle {
            things: vec![vec![1]; points],
            gives: vec![vec![vec![points as u32]]; colours],
            unlike: unlike.to_vec(),
        };
        deal(&puzzle, &|| false).expect("there is no end of paper")
    };
    assert_eq!(coloured(11, &myciel3, 4).alike, 0);
    let three = coloured(11, &myciel3, 3);
    assert!(three.alike > 0 && three.proved);
    let five = coloured(25, &queens, 5);
    assert_eq!(
        (five.alike, five.most, five.least, five.proved),
        (0, 5, 5, true)
    );
}
