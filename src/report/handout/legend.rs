//! What the letters in a drawing of a leaf mean.

use super::said::{grip, length, lengths, place, plain, shows, sized, stands};
use super::{Section, Table, stops, tidy};
use crate::plan::{LeafPlan, Plan};
use crate::report::words::capital;

/// `Shore, pocket side`.
pub fn title(leaf: &LeafPlan, pocket: bool) -> String {
    let side = match (pocket, leaf.turned) {
        (true, true) => "pocket side (the inside of this cover)",
        (true, false) => "pocket side",
        (false, true) => "back (the outside of this cover)",
        (false, false) => "back",
    };
    format!("{}, {side}", capital(&leaf.name))
}

/// The same drawing in words.
pub fn about(plan: &Plan, leaf: &LeafPlan, pocket: bool) -> String {
    let seen = super::openings::seen(leaf, pocket);
    let size = sized(plan.ruler, leaf.width, leaf.height);
    format!("A leaf of {size}, seen from one side. {seen}")
}

/// One row for each letter, then the leaf and its holes.
pub fn table(plan: &Plan, leaf: &LeafPlan, pocket: bool, names: &[(String, String)]) -> Table {
    let ruler = plan.ruler;
    let mut rows = Vec::new();
    for (letter, name) in names {
        let part = leaf.parts.iter().find(|part| part.label == *name);
        let insert = leaf.inserts.iter().find(|insert| insert.name == *name);
        let (size, paper, lies) = match (part, insert) {
            (Some(part), _) => {
                let lies = match (part.label.as_str(), part.runs_under) {
                    ("front_mat", Some(run)) => format!(
                        "glued on the leaf, even at both sides; runs {} down behind the pocket's edge",
                        length(ruler, run)
                    ),
                    ("band", _) => "across the pocket, glued at its ends only".to_owned(),
                    ("pocket_mat", _) => "glued on the pocket, even all round".to_owned(),
                    _ => "glued on the leaf, even at both sides".to_owned(),
                };
                (
                    sized(ruler, part.width.value, part.height.value),
                    part.paper.clone(),
                    lies,
                )
            }
            (None, Some(insert)) => {
                let mut lies = vec![place(insert).to_owned()];
                lies.extend(shows(ruler, insert));
                lies.extend(stands(leaf, insert).map(str::to_owned));
                lies.extend(grip(insert).map(str::to_owned));
                if insert.count > 1 {
                    lies.push(format!("{} of them", insert.count));
                }
                if let Some(photo) = &insert.photo {
                    lies.push(format!(
                        "with a photo of {}",
                        sized(ruler, photo.width.value, photo.height.value)
                    ));
                }
                (
                    sized(ruler, insert.width.value, insert.height.value),
                    insert.paper.clone(),
                    lies.join("; "),
                )
            }
            (None, None) => match stops::stop(plan, leaf) {
                Some((width, height)) if name == stops::NAME => (
                    sized(ruler, width, height),
                    None,
                    "a folded strip, its back half glued to the pocket".to_owned(),
                ),
                _ => continue,
            },
        };
        rows.push(vec![
            letter.clone(),
            plain(name),
            size,
            paper.unwrap_or_default(),
            lies,
        ]);
    }
    let heights: Vec<String> = plan
        .holes
        .heights
        .iter()
        .map(|h| length(ruler, *h))
        .collect();
    rows.push(vec![
        String::new(),
        "holes".to_owned(),
        length(ruler, plan.holes.diameter),
        String::new(),
        format!(
            "centres {} from the spine edge, and {} above the tail",
            length(ruler, plan.holes.edge),
            lengths(&heights)
        ),
    ]);
    if pocket && (leaf.pocket_depth.is_some() || !leaf.sections.is_empty()) {
        let mut deep = Vec::new();
        if let Some(depth) = leaf.pocket_depth {
            deep.push(format!("pocket {}", length(ruler, depth)));
        }
        for (name, depth) in &leaf.sections {
            let slot = match name.as_str() {
                "front" => "front slot",
                "back" => "back slot",
                _ => "mouth",
            };
            deep.push(format!("{slot} {}", length(ruler, *depth)));
        }
        rows.push(vec![
            String::new(),
            "depths".to_owned(),
            String::new(),
            String::new(),
            format!("how far down a thing slides: {}", deep.join(", ")),
        ]);
    }
    let others = leaf.parts.iter().filter(|part| {
        let known = ["front_mat", "pocket_mat", "band", "back_mat"];
        pocket && !known.contains(&part.label.as_str())
    });
    for part in others {
        rows.push(vec![
            String::new(),
            plain(&part.label),
            sized(ruler, part.width.value, part.height.value),
            part.paper.clone().unwrap_or_default(),
            "not drawn: its place is the maker's".to_owned(),
        ]);
    }
    let head = ["", "What", "Width × height", "Paper", "Where it lies"];
    let table = Table {
        head: head.map(str::to_owned).to_vec(),
        rows,
        ..Table::default()
    };
    let section = Section {
        title: String::new(),
        blocks: vec![super::Block::Table(table.clone())],
    };
    match tidy(section).blocks.pop() {
        Some(super::Block::Table(tidied)) => tidied,
        _ => table,
    }
}
