//! The cutting plans of sheets: how many of each paper, their numbers, and how far the fence is set.

use super::said::sized;
use crate::cut::place::placed;
use crate::cut::steps::{Is, SheetPlan, Step, sheets};
use crate::cut::work::PaperPlan;
use crate::cut::{Answer, Order, Want};
use crate::length::{Interval, Ruler};
use crate::report::cut::{Verdict, letters, missing, totals, verdict};
use crate::report::phrase;
use crate::report::words::{capital, count, listed};

/// A way of cutting a sheet of a paper.
pub struct Numbered<'a> {
    pub plan: &'a PaperPlan,
    pub sheet: SheetPlan,
}

/// Every way of cutting a sheet, paper by paper.
pub fn numbered(answer: Answer<'_>) -> Vec<Numbered<'_>> {
    let papers = answer.batches.iter().flat_map(|batch| &batch.plan().papers);
    let all = sheets(papers).into_iter();
    all.flat_map(|(plan, sheets)| {
        sheets
            .into_iter()
            .map(move |sheet| Numbered { plan, sheet })
    })
    .collect()
}

/// The sheets that a want is cut from: `1, 2`.
pub fn of_want(answer: Answer<'_>, is: &dyn Fn(&Want) -> bool) -> String {
    let mut found: Vec<String> = Vec::new();
    for one in numbered(answer) {
        let kinds = &one.plan.counted.kinds;
        let (parts, _) = placed(one.plan, &one.sheet);
        let here = parts.iter().any(|part| match part.lies.is {
            Is::Piece { piece, .. } => {
                let wants = kinds.get(piece).into_iter().flatten();
                wants
                    .into_iter()
                    .any(|(want, _)| is(&answer.order.wants[*want]))
            }
            _ => false,
        });
        if here {
            found.push(numbers(&one));
        }
    }
    found.join(", ")
}

fn numbers(one: &Numbered<'_>) -> String {
    let SheetPlan { number, times, .. } = one.sheet;
    match times {
        1 => number.to_string(),
        2 => format!("{number}, {}", number + 1),
        _ => format!("{number}\u{2013}{}", number + times - 1),
    }
}

/// `Sheets 2 to 4, sand plain: cut 3 so`.
pub fn title(ruler: Ruler, order: &Order, one: &Numbered<'_>) -> String {
    let paper = &order.papers[one.plan.paper];
    let from = &paper.sheets[one.sheet.stock];
    let name = match paper.name.is_empty() {
        true => "any paper",
        false => &paper.name,
    };
    let what = if from.offcut { "Offcut" } else { "Sheet" };
    let size = ruler.show_size_typographic(from.width, from.height);
    let trimmed = crate::report::cut::trimmed(&one.sheet);
    let trimmed = trimmed.map_or(String::new(), |said| {
        format!(". {}", phrase::print(ruler, &said))
    });
    let SheetPlan { number, times, .. } = one.sheet;
    match times {
        1 => format!("{what} {number}: {name}, {size}{trimmed}"),
        _ => format!(
            "{what}s {number} to {}: {name}, {size}; cut {times} so{trimmed}",
            number + times - 1
        ),
    }
}

/// What is said above the sheets.
pub fn words(order: &Order) -> String {
    let directed = order.papers.iter().filter(|paper| paper.directed);
    let directed: Vec<String> = directed.map(|paper| paper.name.clone()).collect();
    let upright = match directed.is_empty() {
        true => String::new(),
        false => format!(
            " {} stands upright as drawn: do not turn it.",
            capital(&listed(&directed))
        ),
    };
    format!(
        "Set the fence to the bold number and cut where its circle stands. The letter behind it is the strip that you cut; without a letter it is the sheet. ×2: cut twice. Grey is left over.{upright}"
    )
}

/// A setting of the fence, and what is cut with it: `5 1/8`, `A ×2`.
pub fn row(ruler: Ruler, step: &Step) -> (String, String) {
    let setting = super::said::spelled(&ruler.show_typographic(step.setting));
    let cuts = step.cuts.iter().map(|cut| {
        let from = match cut.from.is {
            Is::Strip(n) => letters(n),
            // Beside a strip the sheet is named, or nobody would see that it is cut too.
            _ if step.cuts.len() > 1 => "sheet".to_owned(),
            _ => String::new(),
        };
        match cut.cuts.saturating_mul(cut.alike) {
            1 => from,
            n => format!("{from}\u{a0}×{n}")
                .trim_start_matches('\u{a0}')
                .to_owned(),
        }
    });
    let cuts: Vec<String> = cuts.filter(|it| !it.is_empty()).collect();
    let unit = ruler.unit().name();
    let bare = setting
        .strip_suffix(unit)
        .map(|it| it.trim_end_matches('\u{a0}').to_owned());
    (bare.unwrap_or(setting), cuts.join(", "))
}

/// How many sheets of each paper, and whether fewer could do.
pub fn summary(ruler: Ruler, answer: Answer<'_>) -> Vec<String> {
    let order = answer.order;
    let (used, _, least) = totals(answer.batches);
    let mut items = Vec::new();
    let all = sheets(answer.batches.iter().flat_map(|b| &b.plan().papers));
    for (plan, sheets) in &all {
        let paper = &order.papers[plan.paper];
        let name = if paper.name.is_empty() {
            "any paper"
        } else {
            &paper.name
        };
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
            "{}: {} of {}{more}",
            capital(name),
            count(plan.sheets, "sheet", "sheets"),
            listed(&sizes),
        ));
    }
    let used = count(used, "sheet", "sheets");
    items.extend(match verdict(answer.batches) {
        Verdict::Proved => Some(format!("In all {used}: fewer are not enough (proved)")),
        Verdict::Found => Some(format!(
            "In all {used}, the best plan found; at least {least} are needed"
        )),
        Verdict::NotEnough | Verdict::Undecided => None,
    });
    items
}
