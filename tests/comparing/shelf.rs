//! The demo's bags in the demo's album and in a single leaf.

use tuckwright::album::quick::{self, Quick};
use tuckwright::album::{self, Album};
use tuckwright::compare::rank::{Ranking, Respect};
use tuckwright::compare::sweep::{Grid, Sweep, sweep};
use tuckwright::compare::{Asked, At, Candidate, Comparison, each, mend};
use tuckwright::length::{Interval, Ruler, parse_interval, parse_length, parse_size};
use tuckwright::solve::Limits;
use tuckwright::style::Style;
use tuckwright::supplies::Bag;
use tuckwright::supplies::{shelf::Shelf, text::read};
use tuckwright::text::{self, Files, Finds, Look};

pub const SHELF: &str = include_str!("../../models/supplies/shelf.toml");

/// The bags of the demo.
pub fn shelf() -> Vec<Bag> {
    let mut files = Files::default();
    let file = files.add("shelf.toml", SHELF);
    let (mut shelf, faults) = (Shelf::default(), Finds::default());
    read(&files, file, &mut shelf, &faults);
    let faults = faults.all();
    assert!(
        faults.is_empty(),
        "{}",
        text::render(&files, &faults, Look::Plain)
    );
    shelf.supplies.bags
}

pub fn low_water() -> Album {
    let mut files = Files::default();
    let text = include_str!("../../models/albums/low-water.toml");
    let file = files.add("low-water.toml", text);
    let mut load = |_: &str| Ok(include_bytes!("../../models/supplies/seaside.toml").to_vec());
    match album::text::read(&mut files, file, &mut load) {
        Ok(album) => album,
        Err(faults) => panic!("{}", text::render(&files, &faults, Look::Plain)),
    }
}

fn length(text: &str) -> Interval {
    parse_interval(text).expect("a length")
}

/// One leaf, as of a bag that is typed.
pub fn one_leaf(print: Option<&str>) -> Album {
    quick::album(Quick {
        bottom: None,
        folded: None,
        ruler: Ruler::parse("1/8 in").expect("a ruler"),
        width: length("5 1/8 in"),
        gusset: Some(length("3 in")),
        height: length("8 1/2 in"),
        pocket: None,
        pocket_depth: None,
        hole: None,
        edge: None,
        photo_shape: None,
        print: print.map(|print| {
            let (width, height) = parse_size(print).expect("a size");
            ("print".to_owned(), width, height)
        }),
        set: Vec::new(),
    })
}

/// The demo's bags in order of photo and price.
pub fn compared(style: &Style, album: &Album, leaf: Option<&str>) -> Comparison {
    let asked = Asked::new(style, album, leaf).expect("it can be compared");
    let by = [Respect::Photo, Respect::Price];
    let mut ranking = Ranking::new(&by, &[], 20);
    let bags = shelf().into_iter().map(|bag| Candidate {
        bag,
        at: At::default(),
    });
    let done: Result<(), ()> = each(&asked, &Limits::default(), bags, |offer| {
        ranking.take(offer);
        Ok(())
    });
    assert_eq!(done, Ok(()));
    let counts = ranking.counts;
    let (ranked, failed) = ranking.finish();
    let failed = failed.into_iter().map(|offer| {
        let mend = mend(&asked, &offer.bag, &Limits::default());
        (offer, mend)
    });
    Comparison {
        scope: asked.scope(),
        by: by.to_vec(),
        at_least: Vec::new(),
        counts,
        ranked,
        less: Vec::new(),
        failed: failed.collect(),
        wrong_rows: 0,
        unread: false,
    }
}

/// The photo over bags of 3 to 8 x 4 to 12 in with a gusset of 3 in.
pub fn swept<'s>(
    style: &'s Style,
    album: &Album,
    leaf: Option<&str>,
    step: &str,
) -> (Asked<'s>, Sweep) {
    let asked = Asked::new(style, album, leaf).expect("it can be compared");
    let exact = |text: &str| parse_length(text).expect("a length");
    let grid = Grid::new(
        album.ruler,
        (exact("3 in"), exact("8 in")),
        (exact("4 in"), exact("12 in")),
        exact(step),
    );
    let like = Bag {
        gusset: Some(length("3 in")),
        ..album.supplies.bags.last().expect("a bag").clone()
    };
    let grid = grid.expect("a grid");
    let swept: Result<Sweep, ()> = sweep(&asked, &Limits::default(), grid, &like, |_| Ok(()));
    let swept = swept.expect("it is not stopped");
    (asked, swept)
}
