//! A frame of the album's own, that no leaf is: a cover board, a wrapper, a tray.

use super::said::sized;
use super::{Block, Section, Table, tidy};
use crate::plan::Plan;
use crate::plan::frames::{FramePlan, What};
use crate::plan::phrase::Phrase;
use crate::report::words::{capital, listed, plain};

/// `Wrapper, outside`.
pub fn title(frame: &FramePlan, back: bool) -> String {
    let side = &frame.sides[usize::from(back)];
    format!("{}, {side}", capital(&frame.titles[0]))
}

/// The same drawing in words.
pub fn about(plan: &Plan, frame: &FramePlan, back: bool) -> String {
    let size = sized(plan.ruler, frame.width, frame.height);
    let pieces = frame.pieces(back).map(|laid| plain(&laid.name));
    let pieces: Vec<String> = pieces.collect();
    let on_it = match pieces.is_empty() {
        true => "Nothing lies on it.".to_owned(),
        false => format!("On it: {}.", listed(&pieces)),
    };
    format!("{} of {size}. {on_it}", title(frame, back))
}

/// One row for each letter, then the holes.
pub fn table(plan: &Plan, frame: &FramePlan, back: bool, names: &[(String, String)]) -> Table {
    let ruler = plan.ruler;
    let mut rows = Vec::new();
    for (letter, name) in names {
        let named = |laid: &&crate::plan::frames::Laid| laid.name == *name || laid.title == *name;
        let mut here = frame.pieces(back).filter(named);
        let Some(laid) = here.next() else { continue };
        let mut lies: Vec<String> = laid.note.iter().map(|it| letters(plan, it)).collect();
        match 1 + here.count() {
            1 => {}
            n => lies.push(format!("{n} of them")),
        }
        let of_paper = plan.parts.iter().find(|part| part.label == laid.name);
        rows.push(vec![
            letter.clone(),
            plain(&laid.title),
            sized(ruler, laid.width, laid.height),
            of_paper
                .and_then(|part| part.paper.clone())
                .unwrap_or_default(),
            lies.join("; "),
        ]);
    }
    for part in &frame.parts {
        let (What::Ply(_), Some(note)) = (part.what, &part.note) else {
            continue;
        };
        rows.push(vec![
            String::new(),
            plain(&part.title),
            sized(ruler, part.width, part.height),
            String::new(),
            letters(plan, note),
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
        blocks: vec![Block::Table(table.clone())],
    };
    match tidy(section).blocks.pop() {
        Some(Block::Table(tidied)) => tidied,
        _ => table,
    }
}

/// A sentence of the style as it is printed.
pub fn letters(plan: &Plan, phrase: &Phrase) -> String {
    crate::report::phrase::print(plan.ruler, phrase)
}
