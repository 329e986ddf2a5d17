//! What the letters in a drawing of a leaf mean.

use super::said::{grip, length, plain, sized};
use super::{Section, Table, tidy};
use crate::length::Length;
use crate::plan::frames::{FramePlan, What};
use crate::plan::{InsertPlan, LeafPlan, Plan};
use crate::report::words::capital;
use crate::report::{phrase, place};
use crate::style::parts::Edge;

/// `Shore, pocket side`.
pub fn title(plan: &Plan, leaf: &LeafPlan, first: bool) -> String {
    let of_cover = match (leaf.turned, first) {
        (false, _) => "",
        (true, true) => " (the inside of this cover)",
        (true, false) => " (the outside of this cover)",
    };
    let side = place::side(plan, leaf, first);
    format!("{}, {side}{of_cover}", capital(&leaf.name))
}

/// The same drawing in words.
pub fn about(plan: &Plan, leaf: &LeafPlan, first: bool) -> String {
    let seen = super::openings::seen(plan, leaf, first);
    let size = sized(plan.ruler, leaf.width, leaf.height);
    let one = place::titles(plan)[0];
    format!("A {one} of {size}, seen from one side. {seen}")
}

/// One row for each letter, then the leaf and its holes.
pub fn table(plan: &Plan, leaf: &LeafPlan, first: bool, names: &[(String, String)]) -> Table {
    let frame = place::frame(plan, leaf);
    let mut rows = Vec::new();
    for (letter, name) in names {
        if let Some([size, paper, lies]) = piece(plan, leaf, name) {
            rows.push(vec![letter.clone(), plain(name), size, paper, lies]);
        }
    }
    let mut row = |what: &str, size: String, paper: String, lies: String| {
        rows.push(vec![String::new(), what.to_owned(), size, paper, lies]);
    };
    if let Some(frame) = frame {
        for (titles, diameter, lies) in holes(plan, frame) {
            row(titles, diameter, String::new(), lies);
        }
        let depths = depths(plan, frame);
        if first && let Some(said) = depths {
            row("depths", String::new(), String::new(), said);
        }
    }
    let drawn = |name: &str| frame.is_some_and(|frame| frame.part(name).is_some());
    let others = leaf
        .parts
        .iter()
        .filter(|part| first && !drawn(&part.label));
    for part in others {
        row(
            &plain(&part.label),
            sized(plan.ruler, part.width.value, part.height.value),
            part.paper.clone().unwrap_or_default(),
            "not drawn: its place is the maker's".to_owned(),
        );
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

/// Size, paper and place of what a letter stands for.
fn piece(plan: &Plan, leaf: &LeafPlan, name: &str) -> Option<[String; 3]> {
    let ruler = plan.ruler;
    let note = |name: &str| {
        let mut parts = place::frame(plan, leaf)?.parts.iter();
        let part = parts.find(|it| it.name == name || it.title == name)?;
        let note = part.note.as_ref();
        let said = note.map_or(String::new(), |note| phrase::print(ruler, note));
        Some((part, said))
    };
    if let Some(part) = leaf.parts.iter().find(|part| part.label == name) {
        return Some([
            sized(ruler, part.width.value, part.height.value),
            part.paper.clone().unwrap_or_default(),
            note(name).map_or(String::new(), |(_, said)| said),
        ]);
    }
    if let Some(insert) = leaf.inserts.iter().find(|insert| insert.name == name) {
        return Some([
            sized(ruler, insert.width.value, insert.height.value),
            insert.paper.clone().unwrap_or_default(),
            tucked(plan, leaf, insert),
        ]);
    }
    let (part, said) = note(name)?;
    Some([sized(ruler, part.width, part.height), String::new(), said])
}

/// Where an insert goes, and what shows of it.
fn tucked(plan: &Plan, leaf: &LeafPlan, insert: &InsertPlan) -> String {
    let ruler = plan.ruler;
    let mut lies = vec![place::place(plan, leaf, &insert.name).to_owned()];
    let shows = place::shows(ruler, plan, leaf, &insert.name);
    let slot = place::slot(plan, leaf, &insert.name);
    let note = slot.and_then(|slot| slot.note.clone());
    lies.extend(shows.iter().chain(&note).map(|it| phrase::print(ruler, it)));
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
    lies.join("; ")
}

/// Each kind of hole: what it is called, its diameter, where they are.
fn holes<'a>(plan: &Plan, frame: &'a FramePlan) -> Vec<(&'a str, String, String)> {
    let mut all: Vec<(&str, String, String)> = Vec::new();
    for mark in &frame.marks {
        let Some(diameter) = mark.diameter else {
            continue;
        };
        let title = mark.titles[1].as_str();
        if all.iter().any(|(known, _, _)| *known == title) {
            continue;
        }
        let lies = place::marks(frame, &mark.name);
        let lies = lies.map_or(String::new(), |it| phrase::print(plan.ruler, &it));
        all.push((title, length(plan.ruler, diameter), lies));
    }
    all
}

/// How far things go into each slot. `None` if nothing stops them in any.
fn depths(plan: &Plan, frame: &FramePlan) -> Option<String> {
    let mut deep = Vec::new();
    let mut down = true;
    for slot in frame.slots().filter(|slot| slot.stops) {
        let What::Slot(Some(opens)) = slot.what else {
            continue;
        };
        down &= opens == Edge::High;
        let depth = match opens {
            Edge::Left | Edge::Right => slot.width,
            Edge::Low | Edge::High => slot.height,
        };
        // A bag known so loosely that its ends leave no room may have no such slot.
        deep.push(match depth.most() == Length::ZERO {
            true => format!("{} not there", slot.title),
            false => format!("{} {}", slot.title, length(plan.ruler, depth)),
        });
    }
    let way = if down { "down" } else { "in" };
    let said = format!("how far {way} a thing slides: {}", deep.join(", "));
    (!deep.is_empty()).then_some(said)
}
