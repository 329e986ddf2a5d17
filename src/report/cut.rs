//! The cutting plan: how many sheets and what is proved, the steps at the trimmer, what is left.
//!
//! `steps` tells the steps of one sheet, `table` the kinds of cuts side by side, `fill` the best use
//! of one sheet, `csv` the steps for a spreadsheet.

pub mod csv;
pub mod fill;
mod steps;
mod table;

use super::cautions;
use super::words::{capital, count, headed, listed, strong, titled, wrapped};
use crate::cut::offcuts::{Left, narrowest_kept};
use crate::cut::steps::{Is, Lies, SheetPlan, sheets};
use crate::cut::words::names;
use crate::cut::work::{self, Batch, PaperPlan, Way};
use crate::cut::{Answer, Order, Stages, Stop, Want};
use crate::length::{Length, Ruler};

pub use steps::{letters, settings, trimmed};

/// The most things that are named of what an offcut could still give.
const MOST_GIVEN: usize = 6;

/// An album's title, as it heads a text.
pub fn heading(title: &str) -> String {
    capital(title)
}

/// How sure the number of sheets is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// Fewer sheets cannot do.
    Proved,
    /// Fewer may do.
    Found,
    /// The sheets at hand do not suffice: proved.
    NotEnough,
    /// Whether they suffice is open.
    Undecided,
}

/// What became of all papers together.
pub fn verdict(batches: &[Batch]) -> Verdict {
    let short = |b: &&Batch| b.with_more.is_some();
    let mut all = batches.iter().filter(short).map(|b| &b.ways[b.chosen]);
    if all.clone().any(|way| way.not_enough) {
        return Verdict::NotEnough;
    }
    if all.next().is_some() {
        return Verdict::Undecided;
    }
    match batches.iter().all(|b| b.plan().proved) {
        true => Verdict::Proved,
        false => Verdict::Found,
    }
}

/// Whole sheets, offcuts that are cut up, and how many sheets it takes at least, in all.
pub fn totals(batches: &[Batch]) -> (u64, u64, u64) {
    let ways = || batches.iter().map(Batch::plan);
    (
        ways().filter_map(|w| w.sheets).sum(),
        ways().map(|w| w.offcuts).sum(),
        ways().map(|w| w.least).sum(),
    )
}

/// Sheets that are missing: paper, sheet of it, how many more.
pub fn missing(order: &Order, batches: &[Batch]) -> Vec<(usize, usize, u64)> {
    let plans = batches.iter().filter_map(|b| b.with_more.as_ref());
    plans.flat_map(|plan| work::missing(order, plan)).collect()
}

/// The plan as text for a screen of 80 letters.
pub fn text(title: &str, ruler: Ruler, answer: Answer<'_>) -> String {
    let mut text = titled(title, ruler);
    text.push_str(&head(ruler, answer));
    let all = sheets(answer.batches.iter().flat_map(|b| &b.plan().papers));
    if let Some(said) = settings(&all) {
        text.push_str(&wrapped(&said, "", ""));
    }
    if !answer.batches.is_empty() {
        text.push_str(&table::text(answer));
    }
    for (plan, sheets) in &all {
        text.push_str(&paper(ruler, answer.order, plan, sheets));
    }
    text.push_str(&left_over(ruler, answer.order, answer.left));
    text.push_str(&any_paper(ruler, answer.order));
    text.push_str(&from_left(ruler, answer.order));
    text.push_str(&take_care());
    text
}

fn take_care() -> String {
    let mut text = headed("Take care");
    text.push_str(&wrapped(cautions::BLADES.full, "  ", "  "));
    text
}

fn head(ruler: Ruler, answer: Answer<'_>) -> String {
    let (sheets, offcuts, least) = totals(answer.batches);
    let mut said = Vec::new();
    let mut used = count(sheets, "sheet", "sheets");
    if offcuts > 0 {
        used = format!("{used} and {}", count(offcuts, "offcut", "offcuts"));
    }
    match verdict(answer.batches) {
        _ if answer.batches.is_empty() => {
            said.push("Nothing is cut from a paper that is named.".to_owned());
        }
        Verdict::Proved if sheets == 0 => {
            said.push(format!("{used}. Fewer offcuts are not enough (proved)."));
        }
        Verdict::Proved => said.push(format!(
            "{used}. {} are not enough (proved).",
            if offcuts > 0 {
                "Fewer sheets, or as few and fewer offcuts,"
            } else {
                "Fewer"
            }
        )),
        Verdict::Found if least == sheets => said.push(format!(
            "{used}. Fewer sheets are not enough (proved). Fewer offcuts might be."
        )),
        Verdict::Found if least == 0 => said.push(format!(
            "{used}: the best plan found. How few are enough is open. {}",
            stopped(answer)
        )),
        Verdict::Found => said.push(format!(
            "{used}: the best plan found. You need at least {least} (proved). {}",
            stopped(answer)
        )),
        Verdict::NotEnough => said.push("The sheets at hand are not enough (proved).".to_owned()),
        Verdict::Undecided => said.push(format!(
            "Given up: the sheets at hand may be enough, but no plan was found for them. {}",
            stopped(answer)
        )),
    }
    let order = answer.order;
    let few = missing(order, answer.batches);
    let missing = more_sheets(ruler, order, &few);
    if !missing.is_empty() {
        said.push(match verdict(answer.batches) {
            Verdict::Undecided => {
                format!("The plan below uses {} than you have.", listed(&missing))
            }
            _ => format!("Get {}: {}.", listed(&missing), needed(answer, &few)),
        });
    }
    strong(wrapped(said.join(" ").trim(), "", "").trim_end()) + "\n"
}

/// `6 are needed, 4 are at hand, as its print stays upright. Turned, 3 would be enough`.
fn needed(answer: Answer<'_>, few: &[(usize, usize, u64)]) -> String {
    let [(paper, at, more)] = few else {
        return "then they are".to_owned();
    };
    let sheets = &answer.order.papers[*paper].sheets;
    let at_hand = sheets[*at].count.unwrap_or(0);
    let are = |n: u64| format!("{n} {}", if n == 1 { "is" } else { "are" });
    let (needed, at_hand) = (are(at_hand + more), are(at_hand));
    let said = format!("{needed} needed, {at_hand} at hand");
    let mut batches = answer.batches.iter();
    let batch = batches.find(|batch| batch.papers == [*paper]);
    match batch.and_then(|batch| batch.turned) {
        Some(turned) => {
            format!("{said}, as its print stays upright. Turned, {turned} would be enough")
        }
        None => said,
    }
}

/// Sheets that are missing; `1 sheet more of each of fern and moss (leaf pad)` of designs of one pad.
fn more_sheets(ruler: Ruler, order: &Order, missing: &[(usize, usize, u64)]) -> Vec<String> {
    let mut all: Vec<(u64, &str, Vec<String>)> = Vec::new();
    for (paper, at, more) in missing {
        let paper = &order.papers[*paper];
        let (pad, name) = match (paper.name.rsplit_once(", "), paper.sheets.get(*at)) {
            (Some((pad, design)), _) => (pad, design.to_owned()),
            (None, Some(sheets)) if paper.name.is_empty() => {
                ("", ruler.show_size(sheets.width, sheets.height))
            }
            _ => ("", paper.name.clone()),
        };
        let same = |it: &&mut (u64, &str, _)| !pad.is_empty() && (it.0, it.1) == (*more, pad);
        match all.iter_mut().find(same) {
            Some((.., names)) => names.push(name),
            None => all.push((*more, pad, vec![name])),
        }
    }
    let said = all.into_iter().map(|(more, pad, names)| {
        let sheets = count(more, "sheet more", "sheets more");
        match (&names[..], pad) {
            ([name], "") => format!("{sheets} of {name}"),
            ([name], pad) => format!("{sheets} of {pad}, {name}"),
            _ => format!("{sheets} of each of {} ({pad})", listed(&names)),
        }
    });
    said.collect()
}

/// Why it went no further.
fn stopped(answer: Answer<'_>) -> &'static str {
    let batches = answer.batches.iter();
    let met: Vec<Stop> = batches
        .flat_map(|b| [&b.ways[b.chosen], b.plan()])
        .filter(|w| !w.proved)
        .filter_map(|w| w.stopped)
        .collect();
    match met.as_slice() {
        met if met.contains(&Stop::Cancelled) => "You stopped it there.",
        met if met.contains(&Stop::Clock) => "The time was up; `--time` gives it more.",
        // The bound leaves the narrowest strip out, so the search can end above it.
        _ if answer.order.trimmer.narrowest > Length::ZERO => {
            "That count allows strips that are too narrow for the trimmer, so fewer may not do."
        }
        _ if answer
            .batches
            .iter()
            .any(|b| b.papers.len() > 1 && !b.plan().proved) =>
        {
            "The pieces can be shared out over their papers in too many ways to go through all."
        }
        _ => "The sizes can be put together in too many ways to go through all.",
    }
}

fn paper(ruler: Ruler, order: &Order, plan: &PaperPlan, sheets: &[SheetPlan]) -> String {
    let paper = &order.papers[plan.paper];
    let mut head = vec![count(plan.sheets, "sheet", "sheets")];
    if plan.offcuts > 0 {
        head.push(count(plan.offcuts, "offcut", "offcuts"));
    }
    let turned = if paper.directed {
        "; its print stays upright"
    } else {
        ""
    };
    let head = match paper.name.as_str() {
        "" => format!("{}{turned}", listed(&head)),
        name => format!("{}: {}{turned}", capital(name), listed(&head)),
    };
    let mut text = headed(wrapped(&head, "", "  ").trim_end());
    text.push_str(&wrapped(
        &format!("Pieces: {}.", listed(&pieces(ruler, order, plan))),
        "  ",
        "    ",
    ));
    for sheet in sheets {
        text.push_str(&sheet_text(ruler, order, plan, sheet));
    }
    text
}

/// The pieces of a paper, each with how many.
fn pieces(ruler: Ruler, order: &Order, plan: &PaperPlan) -> Vec<String> {
    let all = plan.counted.kinds.iter().flatten();
    let each = all.map(|(want, count)| {
        let want = &order.wants[*want];
        format!(
            "{count} of {}, {}",
            want.label(),
            crate::cut::words::size(ruler, want)
        )
    });
    each.collect()
}

/// Which sheets a way of cutting is for: `Sheet 1`, `Sheets 2 to 4, cut alike`.
pub fn which(sheet: &SheetPlan, offcut: bool) -> String {
    let (one, more) = if offcut {
        ("Offcut", "Offcuts")
    } else {
        ("Sheet", "Sheets")
    };
    let number = sheet.number;
    match sheet.times {
        1 => format!("{one} {number}"),
        times => format!("{more} {number} to {}, cut alike", number + times - 1),
    }
}

fn sheet_text(ruler: Ruler, order: &Order, plan: &PaperPlan, sheet: &SheetPlan) -> String {
    let from = &order.papers[plan.paper].sheets[sheet.stock];
    let size = ruler.show_size(from.width, from.height);
    let head = format!("{}: {size}", which(sheet, from.offcut));
    let mut text = format!("\n  {}\n", strong(&head));
    text.push_str(&steps::text(ruler, order, plan, sheet));
    text
}

/// What a part is called: `strip A`, `back mat`.
pub fn called(order: &Order, plan: &PaperPlan, is: Is) -> String {
    match is {
        Is::Sheet => "sheet".to_owned(),
        Is::Strip(n) => format!("strip {}", letters(n)),
        Is::Piece { piece, .. } => piece_name(order, plan, piece),
        Is::Offcut => "left over".to_owned(),
    }
}

/// What a piece of the job is called.
pub fn piece_name(order: &Order, plan: &PaperPlan, piece: usize) -> String {
    let wants = plan.counted.kinds.get(piece).into_iter().flatten();
    names(wants.map(|(want, _)| &order.wants[*want]))
}

fn size(ruler: Ruler, lies: Lies) -> String {
    ruler.show_size(lies.width, lies.height)
}

fn left_over(ruler: Ruler, order: &Order, left: &[Left]) -> String {
    let least = ruler.show(narrowest_kept(ruler));
    if left.is_empty() {
        return format!(
            "\n{}\n  Nothing that is {least} or more each way.\n",
            strong("Left over")
        );
    }
    let head = format!("Left over, where it is {least} or more each way");
    let mut text = headed(&head);
    for one in left {
        let paper = &order.papers[one.paper].name;
        let of = if paper.is_empty() {
            String::new()
        } else {
            format!(" of {paper}")
        };
        let many = if one.count > 1 {
            format!("{} of ", one.count)
        } else {
            String::new()
        };
        let mut said = format!("{many}{}{of}", ruler.show_size(one.width, one.height));
        if one.uncut {
            said.push_str(", at hand and not needed");
        }
        if let Some(largest) = one.largest {
            let by = match largest.stages {
                Stages::Free => String::new(),
                few => format!(", in {}", stages(few)),
            };
            said.push_str(&match largest.proved {
                true => {
                    format!(", the largest that these sheets can leave in one piece{by}: proved")
                }
                false => {
                    format!(", the largest in one piece that was found{by}; a larger one may be possible")
                }
            });
        }
        if !one.gives.is_empty() {
            let each = one.gives.iter().filter_map(|(want, most)| {
                let want = any_want(order, *want)?;
                Some(format!("{most} of {}", want.label()))
            });
            let mut each: Vec<String> = each.collect();
            if each.len() > MOST_GIVEN {
                each.truncate(MOST_GIVEN);
                each.push("others".to_owned());
            }
            let one_of = if one.count > 1 { "each " } else { "" };
            said.push_str(&format!("; {one_of}could still give {}", either(&each)));
        }
        text.push_str(&wrapped(&format!("{}.", capital(&said)), "  ", "    "));
    }
    text
}

/// A piece of the order, those of any paper after the others.
pub fn any_want(order: &Order, at: usize) -> Option<&Want> {
    order.wants.iter().chain(&order.any_paper).nth(at)
}

fn either(words: &[String]) -> String {
    match words.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} or {last}", rest.join(", ")),
        _ => words.concat(),
    }
}

fn any_paper(ruler: Ruler, order: &Order) -> String {
    if order.any_paper.is_empty() {
        return String::new();
    }
    let mut text = headed("Cut from any paper you have: none is named");
    for want in &order.any_paper {
        let size = crate::cut::words::size(ruler, want);
        let said = format!("{} of {}, {size}.", want.count, want.label());
        text.push_str(&wrapped(&said, "  ", "    "));
    }
    let said = "Type the size of a sheet, such as `--sheet \"12 x 12 in\"`, and these are planned too; or name their papers in the album.";
    text.push_str(&wrapped(said, "  ", "  "));
    text
}

fn from_left(ruler: Ruler, order: &Order) -> String {
    if order.from_left.is_empty() {
        return String::new();
    }
    let mut text = headed("Cut from what is left over");
    for want in &order.from_left {
        let size = crate::cut::words::size(ruler, want);
        let papers = want.papers.iter().filter_map(|at| order.papers.get(*at));
        let papers: Vec<String> = papers.map(|paper| paper.name.clone()).collect();
        let paper = match papers.is_empty() {
            true => "strong paper".to_owned(),
            false => either(&papers),
        };
        let said = format!("{} of {}, {size}, of {paper}.", want.count, want.label());
        text.push_str(&wrapped(&said, "  ", "    "));
    }
    text
}

/// A kind of stages in a maker's words.
pub fn stages(stages: Stages) -> &'static str {
    match stages {
        Stages::Two => "two stages",
        Stages::Three => "three stages",
        Stages::Free => "free cuts",
    }
}

/// Sheets of one way: `5`, or `5 (at least 4)` where four are not ruled out.
pub fn sheets_of(way: &Way) -> String {
    match (way.sheets, way.not_enough) {
        (None, true) => "too few".to_owned(),
        (None, false) => "not found".to_owned(),
        (Some(sheets), _) if sheets <= way.least => sheets.to_string(),
        (Some(sheets), _) => format!("{sheets} (at least {})", way.least),
    }
}
