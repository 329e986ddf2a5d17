//! Thousands of small cases against every plan there is.

use crate::dice::Dice;
use crate::reference::{Worth, best, worth};
use crate::{arranged, photo, spot};
use tuckwright::arrange::Photo;
use tuckwright::arrange::photos::{Arranged, NoPlan, Wanted};
use tuckwright::length::Length;
use tuckwright::plan::openings::PhotoSpot;

pub fn drawn(dice: &mut Dice) -> (Vec<Photo>, Vec<PhotoSpot>, Wanted) {
    let photos = dice.between(1, 5) as usize;
    let sides = |dice: &mut Dice| match dice.between(0, 9) {
        0 => (0, 0),
        1..=3 => (dice.between(90, 1_300), dice.between(90, 1_300)),
        _ => *dice.pick(&[(4, 3), (3, 4), (3, 2), (2, 3), (1, 1), (16, 9)]),
    };
    let photos: Vec<Photo> = (0..photos)
        .map(|n| {
            let sides = sides(dice);
            photo(&n.to_string(), sides, sides.0 > 16)
        })
        .collect();
    let mut spots = Vec::new();
    for opening in 0..dice.between(1, 3) {
        for right in [false, true] {
            for _ in 0..dice.between(0, if spots.len() > 2 { 1 } else { 2 }) {
                let size = (dice.between(12, 48), dice.between(12, 48));
                spots.push(spot(size, opening, right));
            }
        }
    }
    let sized: Vec<usize> = (0..photos.len())
        .filter(|n| photos[*n].sides.is_ok())
        .collect();
    let mut wanted = Wanted {
        free: dice.chance(50),
        coarsest: dice.chance(30).then(|| dice.between(50, 250)),
        worst: dice.chance(30),
        turn: dice.chance(30),
        ..Wanted::default()
    };
    // Places that take the shape of a photo, each with a size of its own.
    let eighth = |n: i64| Length::from_nm(Length::INCH.nm() / 8 * n);
    for photo in 0..photos.len() {
        let takes = dice.chance(25);
        for at in 0..spots.len() {
            let size = (eighth(dice.between(8, 48)), eighth(dice.between(8, 48)));
            if takes && dice.chance(50) {
                wanted.sizes.insert((photo, at), vec![size]);
            }
        }
    }
    let mut twos = sized.clone();
    dice.shuffle(&mut twos);
    if dice.chance(50) {
        let most = dice.between(1, 2) as usize;
        let pairs = twos.chunks_exact(2).take(most);
        wanted.facing = pairs.map(|two| (two[0], two[1])).collect();
    }
    if dice.chance(30) && !sized.is_empty() && !spots.is_empty() {
        let at = dice.between(0, spots.len() as i64 - 1) as usize;
        wanted.stays = vec![(*dice.pick(&sized), at)];
    }
    (photos, spots, wanted)
}

fn of(
    arranged: &Arranged,
    photos: &[Photo],
    spots: &[PhotoSpot],
    wanted: &Wanted,
) -> Option<Worth> {
    let mut plan = vec![None; photos.len()];
    for placed in &arranged.placed {
        plan[placed.photo] = Some(placed.spot);
    }
    worth(photos, spots, wanted, &plan)
}

#[test]
fn no_plan_is_better() {
    let (mut fitting, mut fixed) = (0, 0);
    for seed in 0..4_000 {
        let (photos, spots, wanted) = drawn(&mut Dice::new(seed));
        let best = best(&photos, &spots, &wanted);
        match arranged(&photos, &spots, &wanted) {
            Ok(found) => {
                fitting += 1;
                assert!(found.proved, "{seed}");
                assert_eq!(
                    of(&found, &photos, &spots, &wanted),
                    best,
                    "{seed}: {wanted:?}"
                );
                let sized = photos.iter().filter(|photo| photo.sides.is_ok()).count();
                assert_eq!(found.placed.len() + found.left_out.len(), sized, "{seed}");
            }
            Err(NoPlan::Fixed { facing, stays }) => {
                fixed += 1;
                assert_eq!(best, None, "{seed}: {wanted:?}");
                for at in 0..wanted.facing.len() {
                    let mut fewer = wanted.clone();
                    fewer.facing.remove(at);
                    let helps = self::best(&photos, &spots, &fewer).is_some();
                    assert_eq!(facing.contains(&at), helps, "{seed}");
                }
                for at in 0..wanted.stays.len() {
                    let mut fewer = wanted.clone();
                    fewer.stays.remove(at);
                    let helps = self::best(&photos, &spots, &fewer).is_some();
                    assert_eq!(stays.contains(&at), helps, "{seed}");
                }
            }
            Err(other) => panic!("{seed}: {other:?}"),
        }
    }
    assert!(fitting > 2_000 && fixed > 300, "{fitting} and {fixed}");
}

/// A hundred photos of odd shapes to a hundred places: their shares have no small common denominator.
fn hundred(free: bool) {
    let dice = &mut Dice::new(7);
    let photos: Vec<Photo> = (0..100)
        .map(|n| {
            photo(
                &n.to_string(),
                (dice.between(900, 4_000), dice.between(900, 4_000)),
                true,
            )
        })
        .collect();
    let sizes = [(32, 42), (42, 32), (28, 28), (24, 40), (20, 30)];
    let spots: Vec<PhotoSpot> = (0..100)
        .map(|n| spot(*dice.pick(&sizes), n / 2, n % 2 == 1))
        .collect();
    let facing = vec![(3, 4), (70, 71), (20, 21)];
    let wanted = Wanted {
        free,
        facing,
        ..Wanted::default()
    };
    let found = arranged(&photos, &spots, &wanted).expect("a plan");
    assert!(found.proved && found.left_out.len() <= if free { 0 } else { 6 });
}

#[test]
fn a_hundred_photos_keep_their_order() {
    hundred(false);
}

#[test]
fn a_hundred_photos_go_anywhere() {
    hundred(true);
}
