//! What is compared, taken straight off a solution: the same as `read` takes off a plan, without
//! the plan.

use super::read::{Areas, largest};
use super::{Asked, Broken, Conflict, Fit, Photo, Ring, Sheets, Tucked};
use crate::album::Album;
use crate::length::{Interval, Length};
use crate::plan::verify::Finished;
use crate::plan::view::{Lines, View};
use crate::plan::{self, Certainty, Parts, clash, picks};
use crate::plan::{capacity, leaf};
use crate::program::InstanceId;
use crate::program::expand::Expanded;
use crate::scene::ThingId;
use crate::solve::{self, Limits, Verdict};
use crate::style::Style;
use std::collections::BTreeSet;

const NOTHING: Interval = Interval::exact(Length::ZERO);

/// Reads a solution that fits. `dropped` are the wishes that it does not keep. The tolerance is not
/// asked here.
pub(super) fn fit(asked: &Asked<'_>, parts: Parts<'_>, dropped: &BTreeSet<InstanceId>) -> Fit {
    let picks = picks(parts.expanded, parts.solution);
    let finished = Finished {
        values: &parts.solution.values,
        picks: &picks,
        dropped,
    };
    let view = View {
        parts,
        finished,
        lines: Lines::Asked,
    };
    let scene = view.scene();
    Fit {
        certainty: match parts.solution.verdict {
            Verdict::FitsFound { reproducible } => Certainty::Found {
                same_again: reproducible,
            },
            _ => Certainty::Best,
        },
        photo: photo(asked, view),
        inserts: inserts(asked, view),
        ring: ring(asked, view),
        stack_at_holes: scene
            .length(scene.album(), "stack_at_holes")
            .unwrap_or(NOTHING),
        paper: paper(parts.album, view),
        nominal: None,
    }
}

/// Rules that cannot all hold, in few facts: the same as of a whole clash.
pub(super) fn conflict(
    style: &Style,
    expanded: &Expanded,
    found: &solve::Conflict,
    limits: &Limits,
) -> Conflict {
    let missing = clash::missing(style, expanded, &found.instances, limits);
    let broken = |(id, missing): (&InstanceId, _)| {
        let rule = expanded.program.instances[id.0 as usize].rule;
        let rule = style.rules.get(rule)?;
        Some(Broken {
            rule: rule.name.clone(),
            of: plan::of(expanded, *id),
            missing,
            source: rule.source.clone(),
        })
    };
    Conflict {
        rules: found
            .instances
            .iter()
            .zip(missing)
            .filter_map(broken)
            .collect(),
        proved_minimal: found.proved_minimal,
    }
}

/// The leaves that get the other bag, by their places.
fn here<'a>(asked: &Asked<'_>, view: View<'a>) -> impl Iterator<Item = (usize, ThingId)> {
    let leaves = view.scene().leaves().iter().copied().enumerate();
    leaves.filter(|(at, _)| asked.gets_it(*at))
}

fn inserts_of(view: View<'_>, leaf: ThingId) -> &[ThingId] {
    let inserts = view
        .parts
        .expanded
        .model
        .scene
        .thing(leaf)
        .lists
        .get("inserts");
    inserts.map_or(&[], Vec::as_slice)
}

fn sides(view: View<'_>, thing: ThingId) -> Option<(Interval, Interval)> {
    Some((view.length(thing, "width")?, view.length(thing, "height")?))
}

fn inserts(asked: &Asked<'_>, view: View<'_>) -> Vec<Tucked> {
    let mut inserts = Vec::new();
    for (at, leaf) in here(asked, view) {
        let said = &view.parts.album.leaves[at];
        for (insert, text) in inserts_of(view, leaf).iter().zip(&said.inserts) {
            if let Some((width, height)) = sides(view, *insert) {
                inserts.push(Tucked {
                    leaf: said.name.clone(),
                    name: text.name.clone(),
                    count: text.count,
                    width,
                    height,
                });
            }
        }
    }
    inserts
}

fn ring(asked: &Asked<'_>, view: View<'_>) -> Option<Ring> {
    let ring = capacity::ring(view)?;
    let takes = here(asked, view).map(|(at, leaf)| {
        let name = view.parts.album.leaves[at].name.clone();
        (name, capacity::leaves(view, leaf).unwrap_or(0))
    });
    Some(Ring {
        takes: takes.collect(),
        name: ring.name.clone(),
    })
}

/// The photo that the album prefers, or the largest of those leaves; of equal ones the first.
fn photo(asked: &Asked<'_>, view: View<'_>) -> Option<Photo> {
    let scene = view.scene();
    let of = |leaf: usize, place: usize| {
        let insert = *inserts_of(view, *scene.leaves().get(leaf)?).get(place)?;
        let (width, height) = (view.size(insert, "width")?, view.size(insert, "height")?);
        let photos = scene.thing(insert).lists.get("photos")?;
        let mut photos = photos.iter();
        let photo = photos.find_map(|photo| leaf::photo(view, *photo, &width, &height))?;
        let said = &view.parts.album.leaves[leaf];
        Some(Photo {
            leaf: said.name.clone(),
            on: said.inserts[place].name.clone(),
            width: photo.width.value,
            height: photo.height.value,
            width_by: photo.width.held_by,
            height_by: photo.height.held_by,
            print: photo.print,
        })
    };
    if let Some((leaf, insert)) = asked.photo() {
        return of(leaf, insert);
    }
    let all = here(asked, view).flat_map(|(at, _)| {
        let places = 0..view.parts.album.leaves[at].inserts.len();
        places.map(move |place| (at, place))
    });
    largest(all.filter_map(|(at, place)| of(at, place)))
}

fn paper(album: &Album, view: View<'_>) -> Vec<Sheets> {
    let scene = view.scene();
    let mut areas = Areas::default();
    for (leaf, said) in scene.leaves().iter().zip(&album.leaves) {
        for part in leaf::mats(scene, *leaf) {
            if let Some(size) = sides(view, part) {
                let label = &scene.thing(part).label;
                let count = leaf::count(view, Some(*leaf), label);
                areas.add_part(&said.parts, label, size, said.count.saturating_mul(count));
            }
        }
        for (insert, text) in inserts_of(view, *leaf).iter().zip(&said.inserts) {
            if let Some((width, height)) = sides(view, *insert) {
                areas.add_insert(said, text, width, height);
            }
        }
    }
    let own = scene.thing(scene.album()).lists.get("mats");
    for part in own.into_iter().flatten() {
        if let Some(size) = sides(view, *part) {
            let label = &scene.thing(*part).label;
            let count = leaf::count(view, None, label);
            areas.add_part(&album.own.parts, label, size, count);
        }
    }
    areas.sheets(album)
}
