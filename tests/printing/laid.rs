//! Frames are verified: whatever is moved by one ruler step is refused.

use crate::common::{upright, varied};
use crate::folds::folder;
use crate::styles::{boards, card_box, folded_bags};
use crate::{SHIPPED, shipped};
use std::collections::BTreeSet;
use tuckwright::album::Album;
use tuckwright::length::{Interval, Length};
use tuckwright::plan::frames::check::check;
use tuckwright::plan::frames::{FramePlan, What};
use tuckwright::plan::verify::Finished;
use tuckwright::plan::{Parts, Plan, picks};
use tuckwright::solve::Limits;
use tuckwright::style::Style;
use tuckwright::{Outcome, work};

/// Changes one thing of a frame; false where there is no such thing.
type Change = fn(&mut FramePlan, usize, i64) -> bool;

fn end(frame: &mut FramePlan, part: usize, by: i64, side: usize) -> bool {
    let Some(laid) = frame.parts.get_mut(part) else {
        return false;
    };
    let area = &mut laid.area;
    let ends = [
        &mut area.left,
        &mut area.right,
        &mut area.low,
        &mut area.high,
    ];
    let Some(end) = ends.into_iter().nth(side) else {
        return false;
    };
    *end += by;
    true
}

fn longer(value: Interval, by: i64) -> Interval {
    Interval::exact(Length::from_nm(value.middle().nm() + by))
}

const CHANGES: [(&str, Change); 12] = [
    ("left end", |frame, n, by| end(frame, n, by, 0)),
    ("right end", |frame, n, by| end(frame, n, by, 1)),
    ("low end", |frame, n, by| end(frame, n, by, 2)),
    ("high end", |frame, n, by| end(frame, n, by, 3)),
    ("what lies before it", |frame, n, _| {
        let behind = frame.parts.get_mut(n).map(|laid| &mut laid.behind);
        behind.is_some_and(|behind| behind.pop().is_some())
    }),
    ("how far it runs under", |frame, n, by| {
        let runs = frame
            .parts
            .get_mut(n)
            .and_then(|laid| laid.runs_under.as_mut());
        runs.map(|runs| *runs = longer(*runs, by)).is_some()
    }),
    ("layers", |frame, n, _| match frame.parts.get_mut(n) {
        Some(laid) => match &mut laid.what {
            What::Ply(layers) => {
                *layers += 1;
                true
            }
            _ => false,
        },
        None => false,
    }),
    ("a hole's height", |frame, n, by| {
        let up = frame.marks.get_mut(n).and_then(|mark| mark.up.as_mut());
        up.map(|up| *up = longer(*up, by)).is_some()
    }),
    ("a hole's distance", |frame, n, by| {
        let across = frame.marks.get_mut(n).and_then(|mark| mark.across.as_mut());
        across.map(|across| *across = longer(*across, by)).is_some()
    }),
    ("a part is left out", |frame, n, _| {
        let own = |what: What| matches!(what, What::Ply(_) | What::Insert(..));
        let there = frame.parts.get(n).is_some_and(|laid| own(laid.what));
        if there {
            frame.parts.remove(n);
        }
        there
    }),
    ("a corner", |frame, n, by| {
        let corner = frame
            .parts
            .iter_mut()
            .find_map(|laid| laid.outline.get_mut(n));
        corner.map(|corner| corner.1 += by).is_some()
    }),
    ("what stands out", |frame, n, by| {
        let out = frame.out.get_mut(n);
        out.map(|out| *out = Length::from_nm(out.nm() + by))
            .is_some()
    }),
];

/// Makes every change to every frame of some albums, and counts them; each is refused.
fn refused(style: &Style, albums: &[Album]) -> [usize; CHANGES.len()] {
    let mut refused = [0; CHANGES.len()];
    for album in albums {
        let Ok(worked) = work(style, album, &Limits::default()) else {
            continue;
        };
        let Outcome::Fits(plan) = &worked.outcome else {
            continue;
        };
        let parts = Parts {
            style,
            album,
            expanded: &worked.expanded,
            solution: &worked.solution,
        };
        let Plan { frames, ruler, .. } = &**plan;
        let picks = picks(&worked.expanded, &worked.solution);
        let finished = Finished {
            values: &worked.solution.values,
            picks: &picks,
            dropped: &BTreeSet::new(),
        };
        assert_eq!(check(parts, finished, frames), Ok(()));
        for (at, frame) in frames.iter().enumerate() {
            let most = frame.parts.len().max(frame.marks.len()).max(8);
            for (change, refused) in CHANGES.iter().zip(&mut refused) {
                for n in 0..most {
                    for by in [ruler.step().nm(), -ruler.step().nm()] {
                        let mut frames = frames.clone();
                        if change.1(&mut frames[at], n, by) {
                            let name = &album.title;
                            let part = frame.parts.get(n).map(|laid| &laid.name);
                            let told = format!("{name}: {} of {part:?} by {by}", change.0);
                            assert!(check(parts, finished, &frames).is_err(), "{told}");
                            *refused += 1;
                        }
                    }
                }
            }
        }
    }
    println!("{refused:?}");
    refused
}

#[test]
fn what_is_moved_by_a_step_is_refused() {
    let mut albums: Vec<_> = SHIPPED.iter().map(|name| shipped(name)).collect();
    albums.extend((1..12).map(varied));
    let refused = refused(&upright(), &albums);
    // No part of these has corners of its own.
    let none: Vec<usize> = (0..refused.len()).filter(|n| refused[*n] == 0).collect();
    assert_eq!(none, [10], "{refused:?}");
}

#[test]
fn so_it_is_in_other_kinds_of_album() {
    let (style, album) = folded_bags(4);
    let refused_there = refused(&style, &[album]);
    assert!(
        refused_there[7] == 6 && refused_there[8] == 8,
        "{refused_there:?}"
    );
    let (style, album) = card_box();
    let refused_there = refused(&style, &[album]);
    assert!(
        refused_there[0] > 0 && refused_there[10] == 16,
        "{refused_there:?}"
    );
    // A fold from side to side, and three from below to above.
    let (style, album) = folder("", "");
    let refused_there = refused(&style, &[album]);
    assert_eq!(refused_there[7..9], [2, 6], "{refused_there:?}");
    // Holes of two leaves and of the cover.
    let (style, album) = boards(&[]);
    let refused_there = refused(&style, &[album]);
    assert_eq!(refused_there[7..9], [18, 18], "{refused_there:?}");
}
