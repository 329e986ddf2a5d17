//! The best use of one sheet, as text.

use super::super::words::{count, listed, strong, titled, wrapped};
use super::{piece_name, stages};
use crate::cut::fill::Filled;
use crate::cut::steps::sheets;
use crate::cut::words::size;
use crate::cut::{Order, Want};
use crate::length::Ruler;

/// How many of each piece come out of the sheet: place in the job's pieces, and how many.
pub fn counts(filled: &Filled) -> Vec<(usize, u64)> {
    let mut counts = vec![0; filled.plan.counted.job.pieces.len()];
    for cutting in &filled.plan.cuttings {
        cutting.sheet.count(&mut counts);
    }
    counts
        .into_iter()
        .enumerate()
        .filter(|(_, n)| *n > 0)
        .collect()
}

/// Whether somebody said what the pieces are worth.
fn valued(order: &Order) -> bool {
    order.wants.iter().any(|want| want.value.is_some())
}

/// Share of the sheet that is used (tenths of a percent), rounded down.
pub fn used(order: &Order, filled: &Filled) -> u64 {
    let Some(sheet) = order.papers.first().and_then(|p| p.sheets.first()) else {
        return 0;
    };
    let area = |w: i64, h: i64| i128::from(w) * i128::from(h);
    let whole = area(sheet.width.nm(), sheet.height.nm()).max(1);
    let wants = counts(filled).into_iter().filter_map(|(piece, count)| {
        let want = want(order, filled, piece)?;
        Some(area(want.width.nm(), want.height.nm()) * i128::from(count))
    });
    u64::try_from(wants.sum::<i128>() * 1_000 / whole).unwrap_or(0)
}

fn want<'o>(order: &'o Order, filled: &Filled, piece: usize) -> Option<&'o Want> {
    let (want, _) = filled.plan.counted.kinds.get(piece)?.first()?;
    order.wants.get(*want)
}

/// The answer as text for a screen of 80 letters.
pub fn text(
    title: &str,
    ruler: Ruler,
    order: &Order,
    (each, chosen): (&[Filled; 3], usize),
) -> String {
    let filled = &each[chosen];
    let mut text = titled(title, ruler);
    let pieces: u64 = counts(filled).iter().map(|(_, n)| n).sum();
    let used = used(order, filled);
    let worth = match valued(order) {
        true => format!(", worth {}", filled.value),
        false => String::new(),
    };
    let proved = match (filled.proved, valued(order)) {
        (true, true) => "Nothing is worth more: that is proved.",
        (true, false) => "No more of it can be used: that is proved.",
        (false, _) => "That is the best found.",
    };
    let said = format!(
        "{}{worth}; {}.{} % of the sheet is used. {proved}",
        count(pieces, "piece", "pieces"),
        used / 10,
        used % 10
    );
    text.push_str(&strong(wrapped(&said, "", "").trim_end()));
    text.push('\n');
    let of: Vec<String> = counts(filled)
        .into_iter()
        .filter_map(|(piece, count)| {
            let want = want(order, filled, piece)?;
            Some(format!(
                "{count} of {}, {}",
                piece_name(order, &filled.plan, piece),
                size(ruler, want)
            ))
        })
        .collect();
    text.push_str(&wrapped(&format!("{}.", listed(&of)), "  ", "    "));
    let sides: Vec<String> = each.iter().map(|f| beside(order, f)).collect();
    let said = format!(
        "By kind of cuts: {}. This is {}.",
        sides.join("; "),
        stages(filled.stages)
    );
    text.push_str(&wrapped(&said, "  ", "    "));
    for sheet in sheets([&filled.plan]).iter().flat_map(|(_, sheets)| sheets) {
        text.push_str(&super::sheet_text(ruler, order, &filled.plan, sheet));
    }
    text.push_str(&super::take_care());
    text
}

fn beside(order: &Order, filled: &Filled) -> String {
    let pieces: u64 = counts(filled).iter().map(|(_, n)| n).sum();
    let pieces = count(pieces, "piece", "pieces");
    match valued(order) {
        true => format!("{} {pieces}, worth {}", stages(filled.stages), filled.value),
        false => {
            let used = used(order, filled);
            format!(
                "{} {pieces}, {}.{} %",
                stages(filled.stages),
                used / 10,
                used % 10
            )
        }
    }
}
