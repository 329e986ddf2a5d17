//! The steps as a table for a spreadsheet: a row for everything that comes off or is left.
//!
//! Start with one `sheet`. A row whose `to` is `off` says what one setting takes off a part, one
//! whose `to` is `left` what then lies there. `alike` is how many such parts there are on one sheet,
//! `count` how many come off each of them.

use super::{called, piece_name};
use crate::cut::steps::{Cut, Is, Lies, SheetPlan, sheets};
use crate::cut::work::PaperPlan;
use crate::cut::{Divides, Order};
use crate::length::Ruler;

const HEAD: &str = "paper,sheet,times,step,set,from,from_width,from_height,alike,side,cuts,to,is,name,width,height,count\n";

/// The steps of some papers' plans.
pub fn text<'p>(ruler: Ruler, order: &Order, plans: impl Iterator<Item = &'p PaperPlan>) -> String {
    let mut text = HEAD.to_owned();
    for (plan, sheets) in sheets(plans) {
        for sheet in sheets {
            text.push_str(&of_sheet(ruler, order, plan, &sheet));
        }
    }
    text
}

fn of_sheet(ruler: Ruler, order: &Order, plan: &PaperPlan, sheet: &SheetPlan) -> String {
    let paper = &order.papers[plan.paper];
    let from = &paper.sheets[sheet.stock];
    let start = [
        paper.name.clone(),
        sheet.number.to_string(),
        sheet.times.to_string(),
    ];
    let mut rows = String::new();
    let whole = [ruler.show(from.width), ruler.show(from.height)];
    let trimmed = (sheet.width, sheet.height) != (from.width, from.height);
    if trimmed || sheet.steps.is_empty() {
        // The edges come off first; a sheet that is not cut is what it is.
        let (parts, _) = crate::cut::place::placed(plan, sheet);
        let is = match (sheet.steps.is_empty(), parts.first()) {
            (true, Some(whole)) => whole.lies.is,
            _ => Is::Sheet,
        };
        let lies = Lies {
            is,
            width: sheet.width,
            height: sheet.height,
        };
        let set = if trimmed { "trim" } else { "" };
        let cells = [
            &start[..],
            &["0".to_owned(), set.to_owned(), "sheet".to_owned()],
            &whole,
        ];
        let more = ["1".to_owned(), String::new(), String::new()];
        rows.push_str(&row([
            &cells.concat()[..],
            &more,
            &thing(ruler, order, plan, "left", 1, lies),
        ]));
    }
    for (n, step) in sheet.steps.iter().enumerate() {
        for cut in &step.cuts {
            let head = [
                &start[..],
                &[(n + 1).to_string(), ruler.show(step.setting)],
                &from_cells(ruler, order, plan, cut),
            ]
            .concat();
            let off = cut.off.iter().map(|(count, lies)| ("off", *count, *lies));
            for (to, count, lies) in off.chain(cut.left.map(|lies| ("left", 1, lies))) {
                let what = thing(ruler, order, plan, to, count, lies);
                rows.push_str(&row([&head, &[], &what]));
            }
        }
    }
    rows
}

fn from_cells(ruler: Ruler, order: &Order, plan: &PaperPlan, cut: &Cut) -> [String; 6] {
    let side = match cut.divides {
        Divides::Width => "width",
        Divides::Height => "height",
    };
    [
        called(order, plan, cut.from.is),
        ruler.show(cut.from.width),
        ruler.show(cut.from.height),
        cut.alike.to_string(),
        side.to_owned(),
        cut.cuts.to_string(),
    ]
}

fn thing(
    ruler: Ruler,
    order: &Order,
    plan: &PaperPlan,
    to: &str,
    count: u64,
    lies: Lies,
) -> [String; 6] {
    let (is, name) = match lies.is {
        Is::Sheet => ("sheet", "sheet".to_owned()),
        Is::Strip(_) => ("strip", called(order, plan, lies.is)),
        Is::Piece { piece, turned } => {
            let is = if turned { "turned piece" } else { "piece" };
            (is, piece_name(order, plan, piece))
        }
        Is::Offcut => ("offcut", String::new()),
    };
    [
        to.to_owned(),
        is.to_owned(),
        name,
        ruler.show(lies.width),
        ruler.show(lies.height),
        count.to_string(),
    ]
}

fn row(parts: [&[String]; 3]) -> String {
    let cells: Vec<String> = parts.concat().iter().map(|cell| quoted(cell)).collect();
    cells.join(",") + "\n"
}

/// A cell, in quotes where it must be; one that a spreadsheet would take for a formula is made text.
fn quoted(cell: &str) -> String {
    let formula = cell.starts_with(['=', '+', '-', '@', '\t']);
    let cell = if formula {
        format!("'{cell}")
    } else {
        cell.to_owned()
    };
    match cell.contains([',', '"', '\n', '\r', ';']) {
        true => format!("\"{}\"", cell.replace('"', "\"\"")),
        false => cell,
    }
}
