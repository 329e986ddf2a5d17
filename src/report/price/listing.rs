//! What to say of an album to whoever buys it. Imports `weight`.

use super::Answer;
use super::weight::weighs;
use crate::length::Length;
use crate::plan::Plan;
use crate::plan::frames::What as Part;
use crate::price::weight::What;
use crate::report::handout::{Block, Section};
use crate::report::words::{capital, count, listed, size};
use crate::report::{cautions, facts, place};
use crate::text::summed;

pub(super) fn listing(Answer { plan, priced, .. }: Answer<'_>) -> Section {
    let (ruler, weight) = (plan.ruler, &priced.weight);
    let mut lines = Vec::new();
    if let Some(closed) = plan.closed {
        let up = |side: Length| ruler.length_of(ruler.ticks_up(side)).unwrap_or(side);
        let [width, height, thick] = [closed.width, closed.height, closed.thickness].map(up);
        lines.push(format!(
            "Closed: {}, {} thick.",
            ruler.show_size(width, height),
            ruler.show(thick)
        ));
    }
    let leaves: i64 = plan.leaves.iter().map(|leaf| leaf.count).sum();
    let bags = weight.lines.iter().filter(|line| line.what == What::Bags);
    let bags: Vec<String> = bags.map(|line| line.name.clone()).collect();
    if leaves > 0 {
        lines.push(format!(
            "{}, made of {}.",
            capital(&place::count(plan, leaves)),
            listed(&bags)
        ));
    }
    let photos = facts::photos(plan);
    let of_size = |((width, height), n)| format!("{n} of {}", size(ruler, width, height));
    let photos: Vec<String> = photos.into_iter().map(of_size).collect();
    if !photos.is_empty() {
        lines.push(format!("Photos: {}.", listed(&photos)));
    }
    let slots = slots(plan);
    if !slots.is_empty() {
        let all = slots
            .iter()
            .fold(0, |sum: i64, (_, n)| sum.saturating_add(*n));
        let slots: Vec<String> = slots
            .iter()
            .map(|(name, n)| format!("{name} ({n})"))
            .collect();
        let places = count(all, "place", "places");
        let tucked = match tucked(plan) {
            0 => "Nothing to tuck in comes with it".to_owned(),
            n => format!("{} to tuck in", count(n, "thing", "things")),
        };
        lines.push(format!(
            "{places} to tuck into: {}. {tucked}.",
            listed(&slots)
        ));
    }
    let mut papers: Vec<String> = Vec::new();
    for line in weight.lines.iter().filter(|line| line.what == What::Papers) {
        papers.extend((!line.name.is_empty()).then(|| line.name.clone()));
    }
    if !papers.is_empty() {
        lines.push(format!("Papers: {}.", listed(&papers)));
    }
    if let Some(ring) = &plan.ring {
        let rings = plan.rings();
        lines.push(format!(
            "Rings: {rings} of {}, {} inside.",
            ring.name,
            ruler.show_interval(ring.inside)
        ));
    }
    lines.push(format!("Weighs {}.", weighs(ruler, weight.total)));
    let care = cautions::of(plan).filter(|it| ["small parts", "photo-safe"].contains(&it.name));
    let care: Vec<&str> = care.map(|caution| caution.short).collect();
    if !care.is_empty() {
        lines.push(format!("Take care. {}", care.join(" ")));
    }
    Section::new("For the listing", vec![Block::dashes(lines)])
}

/// Slots and pockets of the whole album by their titles, in the order in which they are met.
pub fn slots(plan: &Plan) -> Vec<(String, i64)> {
    let each = plan.frames.iter().flat_map(|frame| {
        let leaf = frame.leaf.and_then(|leaf| plan.leaves.get(leaf));
        let times = leaf.map_or(frame.count, |leaf| leaf.count);
        let slots = frame.slots().filter(|slot| slot.what != Part::Slot(None));
        slots.map(move |slot| (slot.title.clone(), times))
    });
    summed(each)
}

/// Things that are tucked in, in the whole album; what is glued on is none.
pub fn tucked(plan: &Plan) -> i64 {
    let each = plan.leaves.iter().flat_map(|leaf| {
        let inserts = leaf.inserts.iter().filter(|insert| insert.shows.is_some());
        inserts.map(|insert| insert.count.saturating_mul(leaf.count))
    });
    each.fold(0, i64::saturating_add)
}
