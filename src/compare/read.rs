//! What is compared, taken off a verified plan.

use super::{Asked, Broken, Conflict, Cost, Fit, Photo, Ring, Sheets, Tucked};
use crate::album::{Album, PartPaper};
use crate::length::Interval;
use crate::plan::clash::Clash;
use crate::plan::leaf::leaves_on;
use crate::plan::{InsertPlan, LeafPlan, Plan};
use crate::supplies::{Bag, Money};

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
            .map(|leaf| (leaf.name.clone(), leaves_on(ring, plan, leaf)))
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
    photos.fold(None, |best: Option<Photo>, next| match best {
        Some(best) if best.size() >= next.size() => Some(best),
        _ => Some(next),
    })
}

/// The paper of the whole album, in the order in which its leaves name it.
fn paper(album: &Album, plan: &Plan) -> Vec<Sheets> {
    let mut areas: Vec<(Option<usize>, i128)> = Vec::new();
    let mut add = |paper: Option<usize>, width: Interval, height: Interval, count: i64| {
        let piece = i128::from(width.most().nm()) * i128::from(height.most().nm());
        let area = piece * i128::from(count);
        match areas.iter_mut().find(|(known, _)| *known == paper) {
            Some((_, sum)) => *sum += area,
            None => areas.push((paper, area)),
        }
    };
    for (leaf, said) in plan.leaves.iter().zip(&album.leaves) {
        for part in &leaf.parts {
            let named = said.parts.iter().find(|(name, _)| *name == part.label);
            let paper = match named {
                Some((_, PartPaper::Papers(papers))) => papers.first().copied(),
                _ => None,
            };
            add(paper, part.width.value, part.height.value, leaf.count);
        }
        for (insert, said) in leaf.inserts.iter().zip(&said.inserts) {
            // A ready-made card is cut from no sheet.
            if said.card.is_none() {
                let count = leaf.count.saturating_mul(insert.count);
                add(
                    said.papers.first().copied(),
                    insert.width.value,
                    insert.height.value,
                    count,
                );
            }
        }
    }
    let sheets = areas.into_iter().map(|(paper, area)| {
        let paper = paper.and_then(|at| album.supplies.papers.get(at));
        let sheet =
            paper.map(|p| i128::from(p.width.most().nm()) * i128::from(p.height.most().nm()));
        Sheets {
            paper: paper.map(|p| p.name.clone()),
            area,
            at_least: sheet
                .filter(|sheet| *sheet > 0)
                .and_then(|sheet| i64::try_from((area + sheet - 1) / sheet).ok()),
            at_hand: paper.and_then(|p| p.sheets),
            price: paper.and_then(|p| p.price),
        }
    });
    sheets.collect()
}

/// Whole packs for the album.
pub(super) fn cost(bags: i64, bag: &Bag) -> Cost {
    let pack = bag.pack.unwrap_or(1).max(1);
    let packs = bags / pack + i64::from(bags % pack > 0);
    let price = bag.price.and_then(|Money(each)| each.checked_mul(packs));
    Cost {
        bags,
        packs,
        price: price.map(Money),
    }
}

/// A clash in few facts.
pub(super) fn conflict(clash: &Clash) -> Conflict {
    let members = clash.members.iter().map(|member| Broken {
        rule: member.name.clone(),
        of: member.of.clone(),
        missing: member.short.map(|short| (short, member.relation)),
        source: member.source.clone(),
    });
    Conflict {
        rules: members.collect(),
        proved_minimal: clash.proved_minimal,
    }
}
