//! What is drawn lies where the rules say that it has room: clear of the holes, between glue, on its
//! mat, and off what else lies there.

use crate::common::{self, upright, varied};
use crate::{SHIPPED, document, planned, shipped};
use std::path::Path;
use tuckwright::album::Album;
use tuckwright::draw::list::{Page, Shape};
use tuckwright::draw::paper::Paper;
use tuckwright::draw::{profile, view};
use tuckwright::plan::Plan;
use tuckwright::plan::frames::{FramePlan, Laid, What};
use tuckwright::report::handout::{Block, steps};

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

/// Left, right, low, high.
fn ends(laid: &Laid) -> [i64; 4] {
    [
        laid.area.left,
        laid.area.right,
        laid.area.low,
        laid.area.high,
    ]
}

/// Every copy of every insert that lies in a slot.
fn inserts<'a>(frame: &'a FramePlan, slot: &str) -> Vec<&'a Laid> {
    let here = |laid: &&Laid| {
        let slot_of = laid.slot.map(|slot| frame.parts[slot].name.as_str());
        matches!(laid.what, What::Insert(..)) && slot_of == Some(slot)
    };
    frame.parts.iter().filter(here).collect()
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
        for frame in &plan.frames {
            let leaf = &plan.leaves[frame.leaf.expect("a leaf's")];
            let part = |name: &str| frame.part(name).map(ends);
            let name = format!("{}, {}", plan.title, leaf.name);
            if let Some(band) = part("band") {
                let glue = nm(&plan, "band_glue");
                for card in inserts(frame, "under_band").into_iter().map(ends) {
                    assert!(card[0] + HALF >= clear.max(band[0] + glue), "{name}");
                    assert!(card[1] <= band[1] - glue + HALF, "{name}");
                    assert_eq!(card[2], 0, "{name}: it stands at the tail");
                    assert!(card[3] + HALF >= band[2].midpoint(band[3]), "{name}");
                    let stop = part("stop").expect("it stands on something");
                    assert!(stop[0] <= card[0] + HALF, "{name}");
                    assert!(stop[1] + HALF >= card[1], "{name}");
                    assert!(stop[2] == 0 && stop[3] <= band[2] + HALF, "{name}");
                    banded += 1;
                }
            }
            let whole = [0, leaf.width.middle().nm(), 0, leaf.height.middle().nm()];
            let room = part("back_mat").unwrap_or(whole);
            let pieces = inserts(frame, "glued_back").into_iter().map(ends);
            let pieces: Vec<[i64; 4]> = pieces.collect();
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

/// The stop is drawn, and made in a step of its own.
#[test]
fn a_stop_is_drawn_and_made() {
    let album = shipped("low-water");
    let (plan, _) = document(Paper::A4, &album);
    let steps = steps::steps(&album, &plan, false);
    let told: Vec<&String> = steps
        .iter()
        .flat_map(|step| &step.blocks)
        .flat_map(|block| match block {
            Block::List(_, lines) => lines.as_slice(),
            _ => &[],
        })
        .filter(|line| line.contains("fold a strip of strong paper"))
        .collect();
    assert_eq!(told.len(), 1, "{told:?}");
    assert!(told[0].starts_with("Ledger") && told[0].contains("finds"));
    let ledger = plan.frames.iter().find(|frame| frame.leaf == Some(2));
    let side = view::side(
        &plan,
        ledger.expect("a ledger"),
        false,
        100_000_000,
        150_000_000,
    );
    let words = |page: &Page| {
        let words = page.marks.iter().filter_map(|mark| match &mark.shape {
            Shape::Text(text) => Some(text.words.clone()),
            _ => None,
        });
        words.collect::<Vec<_>>().join(" ")
    };
    assert!(words(&side).contains("stop at the tail"));
    let open = profile::figures(&plan, 60_000_000);
    assert!(words(&open[2]).contains("stop at the tail"));
}

/// A card 6 in high stands on a seam 1/2 in above the tail of a bag 8 in high: 1 1/2 in of its tab are
/// hidden, and the 1/2 in that a hand takes hold of stands above the mouth.
#[test]
fn a_tab_is_seen_above_what_hides_its_card() {
    let album = common::read(
        "album = \"Tab\"\nruler = \"1/8 in\"\n[[bag]]\nname = \"bag\"\nsize = \"5 1/4 x 8 in\"\ngusset = \"3 in\"\n[[leaf]]\nname = \"page\"\nbag = \"bag\"\n[[leaf.insert]]\nname = \"letter\"\nplace = \"mouth\"\nsection = \"back\"\nsize = \"4 x 6 in\"\ngrip = \"tab\"\n",
    );
    let plan = planned(&upright(), &album).expect("it fits");
    let [front, _] = view::Sides::new(&plan, &plan.frames[0], 180_000_000).at(100_000_000);
    let named = front
        .marks
        .iter()
        .filter(|it| it.name == "page: letter, grip");
    let high: Vec<i64> = named
        .map(|mark| match &mark.shape {
            Shape::Path { points, .. } => {
                let ys = points.iter().map(|point| point.y.nm());
                ys.clone().max().unwrap_or(0) - ys.min().unwrap_or(0)
            }
            _ => 0,
        })
        .collect();
    let [hidden, seen] = high[..] else {
        panic!("{high:?}")
    };
    assert!((hidden - 3 * seen).abs() <= 4 * HALF, "{high:?}");
}
