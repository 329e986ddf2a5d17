//! The pictures: nothing lies on other words or off the page, and what they show is what was worked
//! out. `PICTURES=folder` keeps them as PNG, to be looked at.

use crate::common::upright;
use crate::shelf::{compared, low_water, one_leaf, shelf, swept};
use tuckwright::compare::{At, Candidate, each};
use tuckwright::draw::list::{Page, Shape};
use tuckwright::draw::{check, field, png, shelf as chart};
use tuckwright::length::Ruler;
use tuckwright::solve::Limits;

fn sound(name: &str, page: &Page) {
    if let Some(folder) = std::env::var_os("PICTURES") {
        let picture = png::file(page, 110).expect("a picture");
        let path = std::path::Path::new(&folder).join(format!("{name}.png"));
        std::fs::write(path, picture).expect("it can be written");
    }
    let faults = check::faults(page);
    assert!(faults.is_empty(), "{name}: {faults:#?}");
}

fn areas(page: &Page, name: &str) -> Vec<(i64, i64)> {
    let marks = page.marks.iter().filter(|mark| mark.name == name);
    let sides = marks.filter_map(|mark| match &mark.shape {
        Shape::Path { points, .. } => Some((
            points[1].x.nm() - points[0].x.nm(),
            points[2].y.nm() - points[1].y.nm(),
        )),
        _ => None,
    });
    sides.collect()
}

#[test]
fn a_shelf_of_bags_can_be_read() {
    let style = upright();
    for (name, album, leaf, print) in [
        ("shelf-of-one-leaf", one_leaf(Some("4 x 6 in")), None, true),
        ("shelf-of-low-water", low_water(), Some("shore"), true),
        ("shelf-that-fails", low_water(), None, false),
    ] {
        let compared = compared(&style, &album, leaf);
        assert_eq!(!compared.ranked.is_empty(), print);
        let page = chart::page(&album.title, album.ruler, &compared);
        sound(name, &page);
    }
}

/// All bags of a picture are at one scale: the market bag is 7 1/8 in wide and the seed bag 3 in.
#[test]
fn bags_are_drawn_at_one_scale() {
    let style = upright();
    let compared = compared(&style, &one_leaf(None), None);
    let page = chart::page(
        "one leaf",
        Ruler::parse("1/8 in").expect("a ruler"),
        &compared,
    );
    let [market, seed] = ["market bag", "seed bag"].map(|name| areas(&page, name)[0]);
    // 7 1/8 : 3 = 57 : 24, and 13 3/4 : 5 7/8 = 110 : 47; a nanometre is lost in rounding.
    assert!(
        (market.0 * 24 - seed.0 * 57).abs() < 100,
        "{market:?} {seed:?}"
    );
    assert!(
        (market.1 * 47 - seed.1 * 110).abs() < 200,
        "{market:?} {seed:?}"
    );
    let photo = areas(&page, "market bag: photo")[0];
    // In front of its gusset of 4 1/2 in its photo is 6 1/4 x 11 1/4 in.
    assert!(
        (photo.0 * 57 - market.0 * 50).abs() < 100,
        "{photo:?} {market:?}"
    );
    assert!(
        (photo.1 * 55 - market.1 * 45).abs() < 200,
        "{photo:?} {market:?}"
    );
}

#[test]
fn a_map_of_sizes_can_be_read() {
    let style = upright();
    for (name, album, leaf, step) in [
        (
            "map-of-one-leaf",
            one_leaf(Some("4 x 6 in")),
            None,
            "1/4 in",
        ),
        ("map-of-low-water", low_water(), Some("shore"), "1/2 in"),
        ("map-of-one-region", one_leaf(None), None, "1/2 in"),
    ] {
        let (asked, sweep) = swept(&style, &album, leaf, step);
        let bags = shelf().into_iter().map(|bag| Candidate {
            bag,
            at: At::default(),
        });
        let mut points = Vec::new();
        let done: Result<(), ()> = each(&asked, &Limits::default(), bags, |offer| {
            points.push(offer);
            Ok(())
        });
        assert_eq!(done, Ok(()));
        let page = field::page(&album.title, album.ruler, &sweep, &points);
        sound(name, &page);
    }
}
