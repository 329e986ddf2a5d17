//! What is measured of a finished leaf before anything is cut: planned, and room for what is found.

use super::super::Table;
use super::super::said::{gauged, length};
use super::Facts;
use crate::album::Album;
use crate::length::{Interval, Length, Ruler};
use crate::plan::phrase::Phrase;
use crate::plan::{Assumed, Plan};
use crate::report::{assumed, phrase, place};
use crate::text::grouped;
use itertools::Itertools;

/// What is measured of some kinds of leaf with what is planned, and the names of these.
type Kinds = (Vec<(String, String)>, Vec<String>);

/// Kinds of leaf side by side that are measured together: no more have room on a page.
const SIDE_BY_SIDE: usize = 3;

/// What is planned, as it is measured: in centimetres about the nearest mark, where it has no mark.
fn planned(ruler: Ruler, value: Interval) -> String {
    match ruler.is_metric() {
        true => length(ruler, value),
        false => gauged(ruler, value),
    }
}

pub(super) fn measure(album: &Album, plan: &Plan) -> Facts {
    let ruler = plan.ruler;
    // Kinds of which the same is measured share a column.
    let kinds = plan.leaves.iter().filter_map(|leaf| {
        let frame = place::frame(plan, leaf)?;
        let mut all: Vec<(String, Interval)> = Vec::new();
        if let Some([width, height]) = &frame.measures {
            all.push((width.clone(), frame.width));
            all.push((height.clone(), frame.height));
        }
        // What has no room is not there to be measured.
        let measures = frame.parts.iter().filter_map(|part| part.measure.clone());
        all.extend(measures.filter(|(_, value)| value.most() > Length::ZERO));
        let told = all.into_iter();
        let told: Vec<(String, String)> = told
            .map(|(what, value)| (what, planned(ruler, value)))
            .collect();
        Some((told, leaf.name.clone()))
    });
    let kinds = grouped(kinds);
    let mut then = Vec::new();
    let planned = |value: &Phrase| {
        let mut all = kinds.iter().flat_map(|(told, _)| told);
        all.any(|(_, told)| *told == phrase::print(ruler, value))
    };
    // What is measured anyway is in the table.
    let open = plan.assumed.iter();
    let open = open.filter(|it| !(it.name.contains('.') && planned(&it.value)));
    let open: Vec<Assumed> = open.cloned().collect();
    // What every piece is measured for has a line to be written on.
    let (loose, open): (Vec<Assumed>, _) = open.into_iter().partition(|it| !it.name.contains('.'));
    let assumed = assumed::lines(&open, assumed::Told::Printed, |it| phrase::print(ruler, it));
    if !assumed.is_empty() {
        then.push(format!(
            "Assumed so far; measure it too. {}",
            assumed.join(" ")
        ));
    }
    let to_do = match album.is_written() {
        true => "write what you measured into the album",
        false => "type what you measured",
    };
    let differs = format!("If one differs, {to_do} and print again: every other size follows.");
    let mut tables = kinds.chunks(SIDE_BY_SIDE).map(side_by_side);
    let mut table = tables.next();
    for more in tables {
        // One table below the other, in the columns of the first.
        if let Some(table) = &mut table {
            let mut head = more.head;
            head.resize(table.head.len(), String::new());
            table.rows.push(head);
            for mut row in more.rows {
                row.resize(table.head.len(), String::new());
                table.rows.push(row);
            }
        }
    }
    if let Some(table) = &mut table {
        let wide = table.head.len();
        let rows = loose.iter().map(|it| {
            let what = format!("{} (assumed)", it.why);
            let mut row = vec![what, phrase::print(ruler, &it.value), String::new()];
            row.resize(wide, NOT_HERE.to_owned());
            row
        });
        table.rows.extend(rows);
    }
    Facts {
        then,
        table: table.filter(|table| !table.rows.is_empty()),
        checks: vec![format!("your measures are the planned ones. {differs}")],
        ..Facts::default()
    }
}

/// A cell in which nothing is to be written: no line is drawn there.
const NOT_HERE: &str = "\u{a0}";

/// Measures of some kinds: what is measured, and of each kind what is planned and room for what is found.
fn side_by_side(kinds: &[Kinds]) -> Table {
    let whats = kinds
        .iter()
        .flat_map(|(told, _)| told)
        .map(|(what, _)| what);
    let head = std::iter::once("Measure".to_owned()).chain(
        kinds
            .iter()
            .flat_map(|(_, names)| [names.join(", "), "yours".to_owned()]),
    );
    let rows = whats.unique().map(|what| {
        let cells =
            kinds.iter().flat_map(
                |(told, _)| match told.iter().find(|(known, _)| known == what) {
                    Some((_, value)) => [value.clone(), String::new()],
                    None => [NOT_HERE, NOT_HERE].map(str::to_owned),
                },
            );
        std::iter::once(what.clone()).chain(cells).collect()
    });
    Table {
        head: head.collect(),
        rows: rows.collect(),
        blanks: (1..=kinds.len()).map(|n| 2 * n).collect(),
        bold: (1..=kinds.len()).map(|n| 2 * n - 1).collect(),
        ..Table::default()
    }
}
