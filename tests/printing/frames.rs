//! The places that the style says are those that were drawn so far.

use crate::common::{self, varied};
use crate::{SHIPPED, planned, shipped};
use tuckwright::draw::place::What;
use tuckwright::draw::place::{drawn, pieces};
use tuckwright::plan::frames::What as W;

#[test]
fn frames_are_places() {
    let mut all: Vec<_> = SHIPPED
        .iter()
        .map(|n| (n.to_string(), shipped(n)))
        .collect();
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fits");
    for e in std::fs::read_dir(root).unwrap() {
        let p = e.unwrap().path();
        if let Ok(w) = std::fs::read_to_string(p.join("album.toml")) {
            if w.contains("style = ") && !w.contains("upright") {
                continue;
            }
            if p.join("style.toml").exists() || p.join("supplies.toml").exists() {
                continue;
            }
            all.push((
                p.file_name().unwrap().to_string_lossy().into_owned(),
                common::read(&w),
            ));
        }
    }
    for n in 1..60 {
        all.push((format!("varied {n}"), varied(n)));
    }
    let style = common::upright();
    let (mut same, mut bad) = (0, 0);
    for (name, album) in all {
        let Ok(Some(plan)) = std::panic::catch_unwind(|| planned(&style, &album)) else {
            continue;
        };
        for (n, leaf) in plan.leaves.iter().enumerate() {
            let Some(frame) = plan.frames.iter().find(|f| f.leaf == Some(n)) else {
                eprintln!("{name}: no frame");
                bad += 1;
                continue;
            };
            for piece in pieces(&plan, leaf) {
                for (c, (left, low)) in piece.places().enumerate() {
                    let found = frame.parts.iter().find(|p| match (piece.what, p.what) {
                        (What::Part(a), W::Paper(Some(b))) => a == b,
                        (What::Insert(a), W::Insert(b, k)) => a == b && k == c,
                        (What::Stop, W::Paper(None)) => true,
                        _ => false,
                    });
                    let want = [left, left + piece.wide, low, low + piece.high];
                    match found {
                        None => {
                            eprintln!("{name} {} {}: missing", leaf.name, piece.name);
                            bad += 1
                        }
                        Some(p) => {
                            let got = [p.area.left, p.area.right, p.area.low, p.area.high];
                            let off = want
                                .iter()
                                .zip(got)
                                .map(|(a, b)| (a - b).abs())
                                .max()
                                .unwrap();
                            if off > 2 {
                                eprintln!(
                                    "{name} {} {}: want {want:?} got {got:?}",
                                    leaf.name, piece.name
                                );
                                bad += 1
                            } else {
                                same += 1
                            }
                            if p.back == piece.pocket {
                                eprintln!("{name} {} side", piece.name);
                                bad += 1
                            }
                        }
                    }
                }
            }
            let holes: Vec<_> = frame
                .marks
                .iter()
                .map(|m| (m.across, m.up.unwrap()))
                .collect();
            let want: Vec<_> = plan
                .holes
                .heights
                .iter()
                .map(|h| (plan.holes.edge, *h))
                .collect();
            if holes != want {
                eprintln!("{name} holes {holes:?} {want:?}");
                bad += 1
            }
            let _ = drawn(leaf.width);
        }
    }
    eprintln!("same {same} bad {bad}");
    assert_eq!(bad, 0);
}
