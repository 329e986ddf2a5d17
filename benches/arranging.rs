//! A hundred photos to a hundred places, in their order and free: odd shapes, whose shares have no small
//! common denominator, and those of cameras.

use num_rational::Ratio;
use tuckwright::arrange::Photo;
use tuckwright::arrange::photos::{Asked, Wanted, arrange};
use tuckwright::length::Length;
use tuckwright::plan::openings::PhotoSpot;
use tuckwright::supplies::Supplies;
use tuckwright::text::Place;

fn main() {
    divan::main();
}

#[divan::bench(args = [(false, false), (false, true), (true, false), (true, true)], sample_count = 5)]
fn hundred(bencher: divan::Bencher<'_, '_>, (free, odd): (bool, bool)) {
    let usual = [(4, 3), (3, 4), (3, 2), (1, 1), (16, 9)];
    let photos: Vec<Photo> = (0..100)
        .map(|n: i64| Photo {
            name: n.to_string(),
            place: Place::default(),
            sides: Ok(match odd {
                true => (900 + n * 7_919 % 3_100, 900 + n * 6_007 % 3_100),
                false => usual[n as usize % usual.len()],
            }),
            pixels: odd,
            date: None,
            odd_turn: None,
        })
        .collect();
    let sizes = [(32, 42), (42, 32), (28, 28), (24, 40), (20, 30)];
    let eighths = |n: i64| Length::from_nm(Length::INCH.nm() / 8 * n);
    let spots: Vec<PhotoSpot> = (0..100)
        .map(|n: i64| PhotoSpot {
            leaf: 0,
            insert: 0,
            copy: 1,
            piece: 1,
            opening: n / 2,
            right: n % 2 == 1,
            width: eighths(sizes[(n * n % 5) as usize].0),
            height: eighths(sizes[(n * n % 5) as usize].1),
        })
        .collect();
    let wanted = Wanted {
        free,
        ..Wanted::default()
    };
    let asked = Asked {
        photos: &photos,
        spots: &spots,
        wanted: &wanted,
        most_cut: Ratio::from_integer(1),
    };
    bencher.bench_local(|| {
        let found = arrange(asked, &Supplies::default(), &|_| Vec::new(), &|| false);
        assert!(found.is_ok_and(|found| found.proved));
    });
}
