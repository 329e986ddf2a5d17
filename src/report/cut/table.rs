//! How many sheets each kind of cuts takes, side by side.

use super::super::words::{headed, table, wrapped};
use super::{sheets_of, stages};
use crate::cut::work::{Batch, STAGES};
use crate::cut::{Answer, Order, Stages};

/// Longer names of papers are counted, so that the table stays on a screen.
const MOST_LETTERS: usize = 30;

/// What the kinds of stages are.
const MEANS: &str = "Two stages: strips across the whole sheet, then pieces off each strip. Three: strips, blocks off each strip, pieces off each block. With both, one more cut of a piece may take waste off. Free: any straight cuts, edge to edge.";

pub(super) fn text(answer: Answer<'_>) -> String {
    let mut text = headed("Sheets by kind of cuts");
    let mut rows = Vec::new();
    for batch in answer.batches {
        let mut row = vec![names(answer.order, batch), at_hand(answer.order, batch)];
        for (n, way) in batch.ways.iter().enumerate() {
            let mark = if n == batch.chosen { " *" } else { "" };
            row.push(format!("{}{mark}", sheets_of(way)));
        }
        rows.push(row);
    }
    if rows.len() > 1 {
        let mut all = vec!["all together".to_owned(), String::new()];
        for n in 0..STAGES.len() {
            let sheets = answer.batches.iter().map(|b| b.ways[n].sheets);
            let sum: Option<u64> = sheets.sum();
            all.push(sum.map_or("-".to_owned(), |n| n.to_string()));
        }
        rows.push(all);
    }
    let head = [
        "Paper",
        "At hand",
        "Two stages",
        "Three stages",
        "Free cuts",
    ];
    text.push_str(&table(&head, &rows, &[], "  "));
    text.push_str(&wrapped(&chosen(answer), "  ", "  "));
    text.push_str(&wrapped(MEANS, "  ", "  "));
    text
}

fn names(order: &Order, batch: &Batch) -> String {
    let names = batch
        .papers
        .iter()
        .map(|p| match order.papers[*p].name.as_str() {
            "" => "any paper",
            name => name,
        });
    let names: Vec<&str> = names.collect();
    let all = names.join(" + ");
    match names.as_slice() {
        [first, rest @ ..] if all.len() > MOST_LETTERS && !rest.is_empty() => {
            format!("{first} and {} more", rest.len())
        }
        _ => all,
    }
}

fn at_hand(order: &Order, batch: &Batch) -> String {
    let sheets = || batch.papers.iter().flat_map(|p| &order.papers[*p].sheets);
    let whole = sheets().filter(|s| !s.offcut).map(|s| s.count);
    let whole = match whole.sum::<Option<u64>>() {
        Some(count) => count.to_string(),
        None => "enough".to_owned(),
    };
    match sheets()
        .filter(|s| s.offcut)
        .filter_map(|s| s.count)
        .sum::<u64>()
    {
        0 => whole,
        1 => format!("{whole}, 1 offcut"),
        offcuts => format!("{whole}, {offcuts} offcuts"),
    }
}

/// Which kind the plan has, and why.
fn chosen(answer: Answer<'_>) -> String {
    if let Some(asked) = answer.asked {
        return format!("* This plan, in {} as you asked.", stages(asked));
    }
    let free = answer
        .batches
        .iter()
        .any(|b| STAGES[b.chosen] == Stages::Free);
    let open = |b: &Batch| STAGES[b.chosen] == Stages::Three && !b.ways[2].proved;
    match free {
        false if answer.batches.iter().any(open) => "* This plan, in three stages. Free cuts may save a sheet: type `--stages free`.".to_owned(),
        false => "* This plan, in three stages. Free cuts would save no sheet.".to_owned(),
        true => "* This plan, in three stages where free cuts would save no sheet. Type `--stages` to choose.".to_owned(),
    }
}
