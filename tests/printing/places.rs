//! What is drawn lies where the rules say that it has room: clear of the holes, between glue, on its
//! mat, and off what else lies there.

use crate::common::{self, upright, varied};
use crate::{SHIPPED, document, planned, shipped};
use std::path::Path;
use tuckwright::album::{Album, Where};
use tuckwright::draw::list::Shape;
use tuckwright::draw::paper::Paper;
use tuckwright::draw::place::{Placed, What, pieces};
use tuckwright::plan::{LeafPlan, Plan};
use tuckwright::report::handout::{Block, steps, stops};

/// Half of an odd count of nanometres.
const HALF: i64 = 2;

fn case(name: &str) -> Album {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fits");
    let words = std::fs::read_to_string(root.join(name).join("album.toml")).expect("a case");
    common::read(&words)
}

/// Shipped albums, cases and varied albums that fit.
fn albums() -> Vec<Album> {
    let mut all: Vec<Album> = SHIPPED.iter().map(|name| shipped(name)).collect();
    let cases = [
        "band-clear-of-the-holes",
        "under-a-deep-band",
        "low-card-under-the-band",
        "deep-holes",
        "print-on-a-narrow-mat",
        "glued-one-above-the-other",
        "glued-side-by-side",
    ];
    all.extend(cases.iter().map(|name| case(name)));
    all.extend((1..150).map(varied));
    all
}

fn nm(plan: &Plan, name: &str) -> i64 {
    plan.quantities[name].middle().nm()
}

/// Every copy of a piece: left, right, low, high.
fn places(piece: &Placed) -> impl Iterator<Item = [i64; 4]> {
    piece
        .places()
        .map(|(left, low)| [left, left + piece.wide, low, low + piece.high])
}

fn inserts<'a>(leaf: &LeafPlan, all: &'a [Placed], goes: Where) -> Vec<&'a Placed> {
    let here = |piece: &&Placed| match piece.what {
        What::Insert(n) => leaf.inserts[n].goes == goes,
        _ => false,
    };
    all.iter().filter(here).collect()
}

#[test]
fn what_is_drawn_has_the_room_that_the_rules_ask_for() {
    let style = upright();
    let (mut banded, mut glued, mut several) = (0, 0, 0);
    for album in albums() {
        let Some(plan) = planned(&style, &album) else {
            continue;
        };
        let holes = &plan.holes;
        let clear = holes.edge.middle().nm() + holes.rim.middle().nm() + nm(&plan, "hole_clear");
        for leaf in &plan.leaves {
            let all = pieces(&plan, leaf);
            let part = |name: &str| all.iter().find(|piece| piece.name == name);
            let name = format!("{}, {}", plan.title, leaf.name);
            if let Some(band) = part("band") {
                let glue = nm(&plan, "band_glue");
                for card in inserts(leaf, &all, Where::Band) {
                    let right = card.left + card.wide;
                    assert!(card.left + HALF >= clear.max(band.left + glue), "{name}");
                    assert!(right <= band.left + band.wide - glue + HALF, "{name}");
                    assert_eq!(card.low, 0, "{name}: it stands at the tail");
                    assert!(card.high + HALF >= band.low + band.high / 2, "{name}");
                    let stop = part(stops::NAME).expect("it stands on something");
                    assert!(stop.left <= card.left + HALF, "{name}");
                    assert!(stop.left + stop.wide + HALF >= right, "{name}");
                    assert!(stop.low == 0 && stop.high <= band.low + HALF, "{name}");
                    banded += 1;
                }
            }
            let backs = inserts(leaf, &all, Where::Back);
            let room = match part("back_mat") {
                Some(mat) => [mat.left, mat.left + mat.wide, mat.low, mat.low + mat.high],
                None => [0, leaf.width.middle().nm(), 0, leaf.height.middle().nm()],
            };
            let pieces: Vec<[i64; 4]> = backs.iter().flat_map(|piece| places(piece)).collect();
            let wished = plan.rules.iter().any(|rule| {
                !rule.kept && rule.of == leaf.name && rule.name.starts_with("all that is glued")
            });
            for (n, one) in pieces.iter().enumerate() {
                glued += 1;
                if wished {
                    continue;
                }
                assert!(one[0] + HALF >= clear.max(room[0]), "{name}: {one:?}");
                assert!(one[1] <= room[1] + HALF, "{name}: {one:?} {room:?}");
                assert!(one[2] + HALF >= room[2], "{name}: {one:?} {room:?}");
                assert!(one[3] <= room[3] + HALF, "{name}: {one:?} {room:?}");
                for other in &pieces[..n] {
                    several += 1;
                    let gap = nm(&plan, "glued_gap") - HALF;
                    let beside = one[1] + gap <= other[0] || other[1] + gap <= one[0];
                    let above = one[3] + gap <= other[2] || other[3] + gap <= one[2];
                    assert!(beside || above, "{name}: {one:?} {other:?}");
                }
            }
        }
    }
    println!("{banded} under bands, {glued} on backs, {several} pairs");
    assert!(banded > 10 && glued > 20 && several > 8);
}

/// The stop is drawn, named in the legend, and made in a step of its own.
#[test]
fn a_stop_is_drawn_and_made() {
    let album = shipped("low-water");
    let (plan, document) = document(Paper::A4, &album);
    let section = steps::steps(&album, &plan);
    let told: Vec<&String> = section
        .blocks
        .iter()
        .flat_map(|block| match block {
            Block::List(_, lines) => lines.as_slice(),
            _ => &[],
        })
        .filter(|line| line.contains("fold a strip of strong paper"))
        .collect();
    assert_eq!(told.len(), 1, "{told:?}");
    assert!(told[0].starts_with("Ledger") && told[0].contains("finds"));
    let page = |title: &str| {
        let page = document
            .pages
            .iter()
            .find(|page| page.title.starts_with(title));
        let page = page.unwrap_or_else(|| panic!("no page {title}"));
        let words = page.marks.iter().filter_map(|mark| match &mark.shape {
            Shape::Text(text) => Some(text.words.as_str()),
            _ => None,
        });
        words.collect::<Vec<_>>().join(" ")
    };
    assert!(page("Ledger, pocket side").contains(stops::NAME));
    assert!(page("Cut open").contains(stops::NAME));
}
