//! What looks at an answer again refuses every answer that was tampered with.

use crate::common;
use crate::dice::Dice;
use crate::small::drawn;
use num_rational::Ratio;
use tuckwright::arrange::deal::NoDeal;
use tuckwright::arrange::photos::{Asked, arrange};
use tuckwright::arrange::{pads, verify};
use tuckwright::cut::pieces::Made;
use tuckwright::length::Length;
use tuckwright::solve::Limits;
use tuckwright::supplies::Supplies;
use tuckwright::{Outcome, work};

#[test]
fn photos_that_stand_otherwise_are_refused() {
    let mut refused = 0;
    for seed in 0..600 {
        let dice = &mut Dice::new(seed);
        let (photos, spots, wanted) = drawn(dice);
        let asked = Asked {
            photos: &photos,
            spots: &spots,
            wanted: &wanted,
            most_cut: Ratio::from_integer(1),
        };
        let Ok(found) = arrange(asked, &Supplies::default(), &|_| Vec::new(), &|| false) else {
            continue;
        };
        assert_eq!(verify::photos(asked, &[], &found), Ok(()), "{seed}");
        let mut other = found.clone();
        let many = other.placed.len();
        match dice.between(0, 5) {
            0 if many > 0 => other.placed[0].lost += Ratio::new(1, 1_000),
            1 if many > 0 => other.placed[0].turned ^= true,
            2 if many > 1 => {
                let photo = other.placed[0].photo;
                other.placed[1].photo = photo;
            }
            3 if many > 0 => {
                other.placed.pop();
            }
            4 => other.worst += Ratio::new(1, 7),
            5 if many > 0 => other.placed[0].size.0 = Length::INCH,
            _ => continue,
        }
        let square = other.placed.first().is_some_and(|it| {
            let same = |(a, b): &(i64, i64)| a == b;
            photos[it.photo].sides.as_ref().is_ok_and(same) && wanted.turn
        });
        refused += 1;
        assert!(
            verify::photos(asked, &[], &other).is_err() || square,
            "{seed}"
        );
    }
    assert!(refused > 200, "{refused}");
}

const ALBUM: &str = r#"
album = "A year"
ruler = "1/8 in"
bag = [{ name = "small", size = "5 1/8 x 10 5/8 in", gusset = "3 1/8 in" }]

[[leaf]]
name = "page"
bag = "small"
count = 5
front_mat = "pad"
pocket_mat = "pad"
back_mat = "pad"
match = [["front_mat", "pocket_mat"]]

[[paper]]
name = "pad"
designs = ["fern", "moss", "oak"]
"#;

#[test]
fn designs_that_are_dealt_otherwise_are_refused() {
    let album = common::read(&format!("{ALBUM}size = \"12 x 12 in\"\n")).by_design();
    let worked = work(&common::upright(), &album, &Limits::default()).expect("it has values");
    let Outcome::Fits(plan) = &worked.outcome else {
        panic!("it does not fit");
    };
    for sets in [1, 4] {
        let made = [Made {
            sets,
            ..Made::once(plan, &album)
        }];
        let found = pads::pads(&made, &|| false);
        let [dealt] = &found[..] else {
            panic!("one pad");
        };
        assert_eq!(verify::designs(&made, dealt), Ok(()));
        let tampered: [&dyn Fn(&mut pads::Dealt); 5] = [
            &|it| it.pieces[0].thing = it.pieces[4].thing,
            &|it| {
                it.pieces.pop();
            },
            &|it| it.deal.as_mut().expect("dealt").alike += 1,
            &|it| it.deal.as_mut().expect("dealt").most += 1,
            &|it| it.deal.as_mut().expect("dealt").design[0] = 9,
        ];
        for (n, tamper) in tampered.iter().enumerate() {
            let mut other = dealt.clone();
            tamper(&mut other);
            assert!(verify::designs(&made, &other).is_err(), "{n}");
        }
    }
}

/// Sheets of 12 x 6 in: a back mat of 5 x 7 1/4 in and no other takes one. Three designs of one sheet
/// give three, and five are needed.
#[test]
fn weights_are_weighed_again() {
    let size = "size = \"12 x 8 in\"\nsheets = 1\ndirected = true\n";
    let album = common::read(&format!("{ALBUM}{size}")).by_design();
    let worked = work(&common::upright(), &album, &Limits::default()).expect("it has values");
    let Outcome::Fits(plan) = &worked.outcome else {
        panic!("it does not fit");
    };
    let made = [Made {
        sets: 2,
        ..Made::once(plan, &album)
    }];
    let found = pads::pads(&made, &|| false);
    let Err(NoDeal::TooFew {
        weights: Some(weights),
    }) = &found[0].deal
    else {
        panic!("{found:?}");
    };
    assert!(verify::too_few(&made, &found[0], weights));
    assert!(!verify::too_few(&made, &found[0], &vec![0; weights.len()]));
    // With the sheets that it says are missing there is a way; with one less there is none.
    let more = found[0]
        .beyond
        .as_ref()
        .and_then(|it| it.more)
        .expect("it was counted");
    for (sheets, enough) in [(1 + more, true), (more, false)] {
        let size = size.replace("sheets = 1", &format!("sheets = {sheets}"));
        let album = common::read(&format!("{ALBUM}{size}")).by_design();
        let made = [Made {
            sets: 2,
            ..Made::once(plan, &album)
        }];
        let found = pads::pads(&made, &|| false);
        assert_eq!(found[0].deal.is_ok(), enough, "{sheets}");
    }
}
