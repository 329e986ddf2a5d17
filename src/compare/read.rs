//! What is compared, taken off a verified plan.

use super::{Asked, Broken, Conflict, Cost, Fit, Photo, Ring, Sheets, Tucked};
use crate::album::{Album, Insert, Leaf, PartPaper};
use crate::length::Interval;
use crate::plan::clash::Clash;
use crate::plan::{InsertPlan, LeafPlan, Plan};
use crate::supplies::{Bag, Paper};

/// Reads a plan; `album` is the one that it was made for. The tolerance is not asked here.
pub(super) fn fit(asked: &Asked<'_>, album: &Album, plan: &Plan) -> Fit {
    let here = || {
        let leaves = plan.leaves.iter().enumerate();
        leaves.filter(|(at, _)| asked.gets_it(*at)).map(|(_, l)| l)
    };
    let inserts = here().flat_map(|leaf| leaf.inserts.iter().map(|insert| tucked(leaf, insert)));
    let ring = plan.ring.as_ref().map(|ring| Ring {
        name: ring.name.clone(),
        takes: here()
            .map(|leaf| (leaf.name.clone(), leaf.capacity.unwrap_or(0)))
            .collect(),
    });
    Fit {
        certainty: plan.certainty,
        photo: photo(asked, plan),
        inserts: inserts.collect(),
        ring,
        stack_at_holes: plan.stack_at_holes,
        paper: paper(album, plan),
        nominal: None,
    }
}

fn tucked(leaf: &LeafPlan, insert: &InsertPlan) -> Tucked {
    Tucked {
        leaf: leaf.name.clone(),
        name: insert.name.clone(),
        count: insert.count,
        width: insert.width.value,
        height: insert.height.value,
    }
}

/// The photo that the album prefers, or the largest of those leaves; of equal ones the first.
pub(super) fn photo(asked: &Asked<'_>, plan: &Plan) -> Option<Photo> {
    let of = |leaf: &LeafPlan, insert: &InsertPlan| {
        let photo = insert.photo.as_ref()?;
        Some(Photo {
            leaf: leaf.name.clone(),
            on: insert.name.clone(),
            width: photo.width.value,
            height: photo.height.value,
            width_by: photo.width.held_by.clone(),
            height_by: photo.height.held_by.clone(),
            print: photo.print.clone(),
        })
    };
    if let Some((leaf, insert)) = asked.photo() {
        let leaf = plan.leaves.get(leaf)?;
        return of(leaf, leaf.inserts.get(insert)?);
    }
    let leaves = plan.leaves.iter().enumerate();
    let photos = leaves
        .filter(|(at, _)| asked.gets_it(*at))
        .flat_map(|(_, leaf)| leaf.inserts.iter().filter_map(move |i| of(leaf, i)));
    largest(photos)
}

/// The largest photo; of equal ones the first.
pub(super) fn largest(mut photos: impl Iterator<Item = Photo>) -> Option<Photo> {
    let first = photos.next()?;
    Some(photos.fold(first, |best, next| {
        if best.size() >= next.size() {
            best
        } else {
            next
        }
    }))
}

/// The paper of the whole album, in the order in which its leaves name it.
fn paper(album: &Album, plan: &Plan) -> Vec<Sheets> {
    let mut areas = Areas::default();
    for (leaf, said) in plan.leaves.iter().zip(&album.leaves) {
        for part in &leaf.parts {
            let count = leaf.count.saturating_mul(part.count);
            let size = (part.width.value, part.height.value);
            areas.add_part(&said.parts, &part.label, size, count);
        }
        for (insert, text) in leaf.inserts.iter().zip(&said.inserts) {
            areas.add_insert(said, text, insert.width.value, insert.height.value);
        }
    }
    // What is cut to the room where it lies is little, and known only once all is laid.
    let found = plan.parts.iter().filter(|it| !it.width.held_by.is_empty());
    for part in found {
        let size = (part.width.value, part.height.value);
        areas.add_part(&album.own.parts, &part.label, size, part.count);
    }
    areas.sheets(album)
}

/// Areas of pieces by the papers that they may be cut from.
#[derive(Default)]
pub(super) struct Areas(Vec<(Vec<usize>, i128)>);

impl Areas {
    fn add(&mut self, papers: &[usize], width: Interval, height: Interval, count: i64) {
        let piece = i128::from(width.most().nm()) * i128::from(height.most().nm());
        let area = piece * i128::from(count);
        match self.0.iter_mut().find(|(known, _)| known == papers) {
            Some((_, sum)) => *sum += area,
            None => self.0.push((papers.to_vec(), area)),
        }
    }

    /// A mat or a band of all leaves of a kind, or a part of the album itself.
    pub fn add_part(
        &mut self,
        parts: &[(String, PartPaper)],
        label: &str,
        (width, height): (Interval, Interval),
        count: i64,
    ) {
        let named = parts.iter().find(|(name, _)| name == label);
        let papers = match named {
            Some((_, PartPaper::Papers(papers))) => &papers[..],
            _ => &[],
        };
        self.add(papers, width, height, count);
    }

    /// What is tucked into all leaves of a kind.
    pub fn add_insert(&mut self, leaf: &Leaf, said: &Insert, width: Interval, height: Interval) {
        // A ready-made card is cut from no sheet.
        if said.card.is_none() {
            let count = leaf.count.saturating_mul(said.count);
            self.add(&said.papers, width, height, count);
        }
    }

    pub fn sheets(self, album: &Album) -> Vec<Sheets> {
        let sheets = self.0.into_iter().map(|(papers, area)| {
            let papers = papers
                .iter()
                .filter_map(|&at| album.supplies.papers.get(at));
            let papers: Vec<&Paper> = papers.collect();
            let of =
                |p: &&Paper| i128::from(p.width.most().nm()) * i128::from(p.height.most().nm());
            let largest = papers.iter().map(of).max().filter(|sheet| *sheet > 0);
            Sheets {
                papers: papers.iter().map(|paper| paper.name.clone()).collect(),
                area,
                at_least: largest.and_then(|sheet| i64::try_from((area + sheet - 1) / sheet).ok()),
                at_hand: match papers.is_empty() {
                    true => None,
                    false => papers.iter().map(|paper| paper.all_sheets()).sum(),
                },
            }
        });
        sheets.collect()
    }
}

/// Whole packs for the album.
pub(super) fn cost(bags: i64, bag: &Bag) -> Cost {
    let pack = bag.pack.unwrap_or(1).max(1);
    let packs = bags / pack + i64::from(bags % pack > 0);
    let price = bag.price.and_then(|each| each.times(packs));
    Cost { bags, packs, price }
}

/// A clash in few facts.
pub(super) fn conflict(clash: &Clash) -> Conflict {
    let members = clash.members.iter().map(|member| Broken {
        rule: member.name.clone(),
        of: member.of.clone(),
        missing: member.short.map(|short| (short, member.sense)),
        source: member.source.clone(),
    });
    Conflict {
        rules: members.collect(),
        proved_minimal: clash.proved_minimal,
    }
}
