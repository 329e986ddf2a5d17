//! The steps of one sheet, as sentences.

use super::super::words::wrapped;
use super::{called, size};
use crate::cut::steps::{Cut, Is, Lies, SheetPlan};
use crate::cut::work::PaperPlan;
use crate::cut::{Divides, Order};
use crate::length::{Interval, Length, Ruler};
use crate::plan::phrase::Phrase;
use crate::report::phrase;
use crate::text::grouped;

/// Each step: how far the fence is set, and what is cut, a sentence each, not wrapped.
pub fn told(
    ruler: Ruler,
    order: &Order,
    plan: &PaperPlan,
    sheet: &SheetPlan,
) -> Vec<(Length, Vec<String>)> {
    let each = sheet.steps.iter().map(|step| {
        let cuts = step.cuts.iter();
        let cuts = cuts.map(|cut| sentence(ruler, order, plan, cut)).collect();
        (step.setting, cuts)
    });
    each.collect()
}

pub(super) fn text(ruler: Ruler, order: &Order, plan: &PaperPlan, sheet: &SheetPlan) -> String {
    let mut text = match trimmed(sheet) {
        Some(said) => wrapped(&phrase::screen(ruler, &said), "      ", "        "),
        None => String::new(),
    };
    if let Some(whole) = uncut(order, plan, sheet) {
        text.push_str(&wrapped(&whole, "      ", "        "));
    }
    for (n, (setting, cuts)) in told(ruler, order, plan, sheet).iter().enumerate() {
        let set = match sheet.stays && n == 0 {
            true => "The fence stays at",
            false => "Set",
        };
        text.push_str(&format!("  {:>2}  {set} {}\n", n + 1, ruler.show(*setting)));
        // The number of a step's first line is enough to find it; every cut is a line of its own
        // below.
        for cut in cuts {
            text.push_str(&wrapped(cut, "      ", "        "));
        }
    }
    text
}

/// How often the fence is set for these sheets; `None` if nothing is cut.
pub fn settings(all: &[(&PaperPlan, Vec<SheetPlan>)]) -> Option<String> {
    let times = match crate::cut::steps::settings(all) {
        0 => return None,
        1 => "once".to_owned(),
        2 => "twice".to_owned(),
        n => format!("{n} times"),
    };
    let sheets = || all.iter().flat_map(|(_, sheets)| sheets);
    let stays = match sheets().filter(|sheet| sheet.stays).count() {
        0 => String::new(),
        1 => "; leave it once as it is between two sheets".to_owned(),
        n => format!("; leave it {n} times as it is between two sheets"),
    };
    let alike = match sheets().any(|sheet| sheet.times > 1 && !sheet.steps.is_empty()) {
        true => " Cut sheets that are alike together: each step with all of them.",
        false => "",
    };
    let trimmed = match sheets().any(SheetPlan::trimmed) {
        true => " Trimming the edges comes on top.",
        false => "",
    };
    Some(format!("Set the fence {times}{stays}.{alike}{trimmed}"))
}

/// What is cut off the edges first.
pub fn trimmed(sheet: &SheetPlan) -> Option<Phrase> {
    let edges = sheet.edges;
    let sides = [
        (edges.left, "left"),
        (edges.right, "right"),
        (edges.top, "upper"),
        (edges.bottom, "lower"),
    ];
    let same = grouped(sides.into_iter().filter(|(w, _)| *w > Length::ZERO));
    if same.is_empty() {
        return None;
    }
    let last = same.len() - 1;
    let each = same.iter().enumerate().map(|(n, (width, sides))| {
        let sides: Vec<String> = sides.iter().map(|s| (*s).to_owned()).collect();
        let off = match sides.len() {
            4 => " off each edge".to_owned(),
            _ => format!(" off the {} edge", super::listed(&sides)),
        };
        let between = match n {
            0 => "",
            _ if n == last => " and ",
            _ => ", ",
        };
        Phrase::words(between)
            .length(Interval::exact(*width))
            .and(off)
    });
    let left = [sheet.width, sheet.height].map(Interval::exact);
    let said = Phrase::words("Trim ").then(Phrase::joined(each, ""));
    Some(said.and(" first; ").size(left[0], left[1]).and(" is left."))
}

/// What a sheet is that is not cut at all.
pub fn uncut(order: &Order, plan: &PaperPlan, sheet: &SheetPlan) -> Option<String> {
    if !sheet.steps.is_empty() {
        return None;
    }
    let (parts, _) = crate::cut::place::placed(plan, sheet);
    let whole = parts.first()?;
    Some(format!(
        "It is {} as it is.",
        called(order, plan, whole.lies.is)
    ))
}

fn sentence(ruler: Ruler, order: &Order, plan: &PaperPlan, cut: &Cut) -> String {
    let side = match cut.divides {
        Divides::Width => "width",
        Divides::Height => "height",
    };
    let cuts = match cut.cuts {
        1 => "1 cut".to_owned(),
        n => format!("{n} cuts"),
    };
    let off: Vec<String> = cut
        .off
        .iter()
        .map(|(count, lies)| many(*count, &part(ruler, order, plan, *lies)))
        .collect();
    let each = if cut.alike > 1 { " each" } else { "" };
    format!(
        "{}, {}: {cuts}{each} off the {side}. Off: {}. {}",
        what(order, plan, cut),
        size(ruler, cut.from),
        off.join("; "),
        left(ruler, order, plan, cut),
    )
}

/// What lies on the trimmer.
fn what(order: &Order, plan: &PaperPlan, cut: &Cut) -> String {
    let name = called(order, plan, cut.from.is);
    match (cut.from.is, cut.again, cut.alike) {
        (Is::Sheet, false, _) => "Sheet".to_owned(),
        (Is::Sheet, true, _) => "Rest of the sheet".to_owned(),
        (_, false, 1) => super::capital(&name),
        (_, true, 1) => format!("Rest of {name}"),
        (_, false, alike) => format!("Each {name} of {alike}"),
        (_, true, alike) => format!("Rest of each {name} of {alike}"),
    }
}

fn many(count: u64, what: &str) -> String {
    match count {
        1 => what.to_owned(),
        count => format!("{count} of {what}"),
    }
}

/// `back mat, 5 1/8 x 7 3/8 in`; a piece that lies turned has `turned` behind it.
fn part(ruler: Ruler, order: &Order, plan: &PaperPlan, lies: Lies) -> String {
    let name = called(order, plan, lies.is);
    let turned = match lies.is {
        Is::Piece { turned: true, .. } => ", turned",
        _ => "",
    };
    format!("{name}, {}{turned}", size(ruler, lies))
}

fn left(ruler: Ruler, order: &Order, plan: &PaperPlan, cut: &Cut) -> String {
    match cut.left {
        None => "Nothing is left.".to_owned(),
        Some(lies) if lies.is == cut.from.is => format!("Left: {}.", size(ruler, lies)),
        Some(lies) if lies.is == Is::Offcut => format!("Left over: {}.", size(ruler, lies)),
        Some(lies) => format!("Left: {}.", part(ruler, order, plan, lies)),
    }
}

/// 0 is A, 25 is Z, 26 is AA.
pub fn letters(n: usize) -> String {
    let last = char::from(b'A' + (n % 26) as u8);
    match n / 26 {
        0 => last.to_string(),
        more => format!("{}{last}", letters(more - 1)),
    }
}

#[cfg(test)]
mod tests {
    use super::letters;

    #[test]
    fn strips_are_lettered_for_ever() {
        let told = [0, 25, 26, 51, 52, 701, 702].map(letters);
        assert_eq!(told, ["A", "Z", "AA", "AZ", "BA", "ZZ", "AAA"]);
    }
}
