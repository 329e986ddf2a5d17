//! Where the holes are, and at which side of each kind of leaf.

use super::notes::Notes;
use super::words::{capital, count, listed, strong, wrapped};
use crate::length::Length;
use crate::plan::{LeafPlan, Plan};

/// The side edge that a kind of leaf is punched at, with its pocket side up.
pub(super) fn punched_at(leaf: &LeafPlan) -> &'static str {
    match leaf.turned {
        false => "left",
        true => "right",
    }
}

pub(super) fn text(plan: &Plan, notes: &mut Notes) -> String {
    let ruler = plan.ruler;
    let holes = &plan.holes;
    let mut text = format!("{}\n", strong("Holes, the same in every leaf and bag"));
    let heights: Vec<String> = holes
        .heights
        .iter()
        .map(|h| ruler.show_interval(*h))
        .collect();
    if heights.is_empty() {
        // Where they are is no size of this kind of album, so there is nothing to tell of them.
        text.push_str("  This kind of album has no holes.\n");
        return text;
    }
    let pattern = holes
        .pattern
        .as_ref()
        .map_or(String::new(), |p| format!(" ({p})"));
    let spacing = match (&holes.pitch, heights.len()) {
        (Some(pitch), 2..) => format!("; hole spacing {}", ruler.show_interval(*pitch)),
        _ => String::new(),
    };
    let said = format!(
        "{}{pattern} of {}, centres {} from the spine edge and {} above the tail{spacing}.",
        count(heights.len() as i64, "hole", "holes"),
        ruler.show_interval(holes.diameter),
        ruler.show_interval(holes.edge),
        listed(&heights),
    );
    text.push_str(&wrapped(&said, "  ", "  "));
    if holes.flanges.most() != Length::ZERO {
        let said = format!(
            "The eyelets make each leaf {} thicker at its holes.",
            ruler.show_interval(holes.flanges)
        );
        text.push_str(&wrapped(&said, "  ", "  "));
    }
    for turned in [true, false] {
        let leaves = plan.leaves.iter().filter(|leaf| leaf.turned == turned);
        let names: Vec<String> = leaves.clone().map(|leaf| leaf.name.clone()).collect();
        let Some(side) = leaves.clone().map(punched_at).next() else {
            continue;
        };
        let template = match turned {
            true => ": lay the template face down, head up",
            false => "",
        };
        let said = match plan.leaves.len() {
            1 => format!("Pocket side up, punch along the {side} edge{template}."),
            _ => format!(
                "{}: pocket side up, punch along the {side} edge{template}.",
                capital(&listed(&names))
            ),
        };
        text.push_str(&wrapped(&said, "  ", "    "));
    }
    let held: Vec<String> = plan
        .template
        .iter()
        .map(|size| {
            let what = match size.name.as_str() {
                "template.edge" => "distance from the spine edge",
                "template.first" => "lowest hole",
                "template.pitch" => "spacing",
                name => name,
            };
            format!("{what} {}", notes.cell(size))
        })
        .collect();
    if !held.is_empty() {
        text.push_str(&wrapped(
            &format!("Limited by: {}.", held.join("; ")),
            "  ",
            "  ",
        ));
    }
    text
}
