//! Where the holes are, and at which side of each kind of leaf.

use super::notes::{Detail, Notes};
use super::words::{capital, count, listed, strong, wrapped};
use super::{phrase, place};
use crate::length::Length;
use crate::plan::frames::{FramePlan, Marked};
use crate::plan::phrase::Phrase;
use crate::plan::{LeafPlan, Plan};
use itertools::Itertools;

/// The side edge that a kind of leaf is punched at, with its first side up.
pub(super) fn punched_at(plan: &Plan, leaf: &LeafPlan) -> Option<&'static str> {
    place::bound_at(plan, leaf).map(place::direction)
}

/// How many holes of which diameter, and where; one sentence for each kind of them. Those of the album's
/// own parts say which they are in.
pub(crate) fn sentences(plan: &Plan) -> Vec<Phrase> {
    let leaf = plan.frames.iter().find(|frame| frame.leaf.is_some());
    let pattern = plan.holes.pattern.as_ref();
    let pattern = pattern.map_or(String::new(), |p| format!(" ({p})"));
    let mut all = leaf.map_or(Vec::new(), |frame| in_frame(frame, "", &pattern));
    for frame in plan.frames.iter().filter(|frame| frame.leaf.is_none()) {
        let of = format!("{}: ", frame.titles[0]);
        all.extend(in_frame(frame, &of, ""));
    }
    all
}

fn in_frame(frame: &FramePlan, of: &str, pattern: &str) -> Vec<Phrase> {
    let mut names: Vec<&str> = Vec::new();
    let mut all = Vec::new();
    for mark in &frame.marks {
        let Some(diameter) = mark
            .diameter
            .filter(|_| !names.contains(&mark.name.as_str()))
        else {
            continue;
        };
        names.push(&mark.name);
        let many = frame.marks.iter().filter(|it| it.name == mark.name).count();
        let [one, more] = &mark.titles;
        let holes = count(many, one, more);
        let lies = place::marks(frame, &mark.name).unwrap_or_default();
        let said = Phrase::words(format!("{of}{holes}{pattern} of "));
        all.push(said.length(diameter).and(", ").then(lies));
    }
    all
}

pub(super) fn text(plan: &Plan, notes: &mut Notes, detail: Detail) -> String {
    let ruler = plan.ruler;
    let holes = &plan.holes;
    let sentences = sentences(plan);
    if sentences.is_empty() {
        return String::new();
    }
    let titles = plan.frames.iter().flat_map(|frame| &frame.marks);
    let mut titles = titles.filter(|mark| mark.diameter.is_some());
    let [hole, several] = titles
        .next()
        .map_or(["hole", "holes"], |mark| [&mark.titles[0], &mark.titles[1]]);
    let [one, _] = place::titles(plan);
    let pierced = plan.frames.iter().filter(|frame| frame.leaf.is_some());
    let places = pierced.map(|frame| {
        let holes = frame.marks.iter().filter(|mark| mark.diameter.is_some());
        let place = |it: &Marked| (it.across, it.up, it.diameter);
        holes.map(place).collect::<Vec<_>>()
    });
    let alike = places.dedup().collect::<Vec<_>>();
    let alike = alike.len() == 1 && alike.iter().all(|places| !places.is_empty());
    let head = match alike || plan.frames.is_empty() {
        true => format!("{}, the same in every {one}", capital(several)),
        false => capital(several),
    };
    let spacing = match (&holes.pitch, holes.heights.len()) {
        (Some(pitch), 2..) => format!("; {hole} spacing {}", ruler.show_interval(*pitch)),
        _ => String::new(),
    };
    let mut said: Vec<String> = (sentences.iter())
        .map(|said| format!("{}{spacing}.", capital(&phrase::screen(ruler, said))))
        .collect();
    if holes.flanges.most() != Length::ZERO {
        said.push(format!(
            "The eyelets make each {one} {} thicker at its {several}.",
            ruler.show_interval(holes.flanges)
        ));
    }
    for turned in [true, false] {
        let leaves = plan.leaves.iter().filter(|leaf| leaf.turned == turned);
        let names: Vec<String> = leaves.clone().map(|leaf| leaf.name.clone()).collect();
        let Some((leaf, side)) = leaves
            .filter_map(|leaf| Some((leaf, punched_at(plan, leaf)?)))
            .next()
        else {
            continue;
        };
        let up = place::side(plan, leaf, true);
        let template = match turned {
            true => ": lay the template face down, head up",
            false => "",
        };
        said.push(capital(&match plan.leaves.len() {
            1 => format!("{up} up, punch along the {side} edge{template}."),
            _ => format!(
                "{}: {up} up, punch along the {side} edge{template}.",
                listed(&names)
            ),
        }));
    }
    let mut text = match detail {
        Detail::First => {
            let head = strong(&format!("{head}."));
            wrapped(&format!("{head} {}", said.join(" ")), "", "  ")
        }
        Detail::All => {
            let lines = said.iter().map(|said| wrapped(said, "  ", "    "));
            format!("{}\n{}", strong(&head), lines.collect::<String>())
        }
    };
    let titled = |name: &str| plan.titles.get(name).cloned().unwrap_or(name.to_owned());
    let held: Vec<String> = plan
        .template
        .iter()
        .map(|size| format!("{} {}", titled(&size.name), notes.cell(size)))
        .collect();
    if !held.is_empty() && detail == Detail::All {
        text.push_str(&wrapped(
            &format!("Limited by: {}.", held.join("; ")),
            "  ",
            "  ",
        ));
    }
    text
}
