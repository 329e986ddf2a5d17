//! The cutting plans of sheets: how many of each paper, and the steps at the trimmer.

use super::said::sized;
use super::{Block, Bullet, Section, Table, tidy};
use crate::cut::steps::{SheetPlan, sheets};
use crate::cut::work::PaperPlan;
use crate::cut::{Answer, Order};
use crate::length::{Interval, Ruler};
use crate::report::cut::{Verdict, missing, settings, told, totals, uncut, verdict, which};
use crate::report::words::{capital, count, listed};

/// `Sand plain: sheets 2 to 4, cut alike, 12 × 12 in`.
pub fn title(ruler: Ruler, order: &Order, plan: &PaperPlan, sheet: &SheetPlan) -> String {
    let paper = &order.papers[plan.paper];
    let from = &paper.sheets[sheet.stock];
    let name = if paper.name.is_empty() {
        "any paper"
    } else {
        &paper.name
    };
    let size = ruler.show_size_typographic(from.width, from.height);
    let which = which(sheet, from.offcut).to_lowercase();
    format!("{}: {which}, {size}", capital(name))
}

/// What is said above a sheet's drawing.
pub fn words(order: &Order, plan: &PaperPlan) -> String {
    let upright = if order.papers[plan.paper].directed {
        " The print stands upright as drawn: nothing is turned."
    } else {
        ""
    };
    format!("Numbers in circles: the steps below, in this order. Hatched: left over.{upright}")
}

/// The steps of one sheet.
pub fn steps(ruler: Ruler, order: &Order, plan: &PaperPlan, sheet: &SheetPlan) -> Block {
    let mut rows = Vec::new();
    for (n, (setting, cuts)) in told(ruler, order, plan, sheet).iter().enumerate() {
        let setting = ruler.show_typographic(*setting);
        let setting = match sheet.stays && n == 0 {
            true => format!("stays at {setting}"),
            false => setting,
        };
        for (at, cut) in cuts.iter().enumerate() {
            let (number, setting) = match at {
                0 => ((n + 1).to_string(), setting.clone()),
                _ => (String::new(), String::new()),
            };
            rows.push(vec![number, setting, cut.clone()]);
        }
    }
    if let Some(whole) = uncut(order, plan, sheet) {
        return Block::Text(whole);
    }
    let head = [
        "Step",
        "Set the fence to",
        "What is cut, and what comes off",
    ];
    let table = Table {
        head: head.map(str::to_owned).to_vec(),
        rows,
        tick: true,
        ..Table::default()
    };
    let section = Section {
        title: String::new(),
        blocks: vec![Block::Table(table)],
    };
    tidy(section)
        .blocks
        .pop()
        .unwrap_or(Block::Text(String::new()))
}

/// How many sheets of each paper, and whether fewer could do.
pub fn summary(ruler: Ruler, answer: Answer<'_>) -> Vec<Block> {
    let order = answer.order;
    let (used, _, least) = totals(answer.batches);
    let all = count(used as i64, "sheet", "sheets");
    let mut blocks = Vec::new();
    blocks.push(Block::Text(match verdict(answer.batches) {
        Verdict::Proved => format!("{all} in all. Fewer are not enough (proved)."),
        Verdict::Found => {
            format!("{all} in all, the best plan found; at least {least} are needed.")
        }
        Verdict::NotEnough | Verdict::Undecided => format!("{all} in all."),
    }));
    let mut items = Vec::new();
    let all = sheets(answer.batches.iter().flat_map(|b| &b.plan().papers));
    blocks.extend(settings(&all).map(Block::Text));
    for (plan, sheets) in &all {
        let paper = &order.papers[plan.paper];
        let name = if paper.name.is_empty() {
            "any paper"
        } else {
            &paper.name
        };
        let pieces: u64 = plan.counted.kinds.iter().flatten().map(|(_, n)| n).sum();
        let mut sizes: Vec<String> = Vec::new();
        for sheet in sheets {
            let from = &paper.sheets[sheet.stock];
            let size = sized(
                ruler,
                Interval::exact(from.width),
                Interval::exact(from.height),
            );
            if !sizes.contains(&size) {
                sizes.push(size);
            }
        }
        let short: u64 = missing(order, answer.batches)
            .iter()
            .filter(|(at, _, _)| *at == plan.paper)
            .map(|(_, _, more)| more)
            .sum();
        let more = match short {
            0 => String::new(),
            n => format!("; {n} more than there are in the supplies"),
        };
        items.push(format!(
            "{}: {} of {}, for {}{more}",
            capital(name),
            count(plan.sheets as i64, "sheet", "sheets"),
            listed(&sizes),
            count(pieces as i64, "piece", "pieces"),
        ));
    }
    blocks.push(Block::List(Bullet::Tick, items));
    blocks
}
