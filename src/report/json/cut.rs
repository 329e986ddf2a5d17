//! A cutting plan for other programs.

use super::{about, joined, list, measure, pretty, start};
use crate::cut::fill::Filled;
use crate::cut::place::{Placed, placed};
use crate::cut::steps::{self, Cut, Is, Lies, SheetPlan};
use crate::cut::work::{Batch, PaperPlan, STAGES, Way};
use crate::cut::{Answer, Divides, Order, Stages, Want};
use crate::length::Ruler;
use crate::report::cautions;
use crate::report::cut::{self as words, Verdict, called, piece_name};
use serde_json::{Value, json};

/// A cutting plan; `exit` is the exit code that goes with it.
pub fn plan(title: &str, ruler: Ruler, answer: Answer<'_>, exit: u8) -> String {
    let Answer { order, batches, .. } = answer;
    let (verdict, proved) = match words::verdict(batches) {
        Verdict::Proved => ("proved", true),
        Verdict::Found => ("best found", false),
        Verdict::NotEnough => ("not enough sheets", true),
        Verdict::Undecided => ("undecided", false),
    };
    let (sheets_used, offcuts_used, lower_bound) = words::totals(batches);
    let plans = || batches.iter().flat_map(|batch| &batch.plan().papers);
    let all = steps::sheets(plans());
    let ways = all
        .iter()
        .flat_map(|(plan, ways)| ways.iter().map(move |one| (*plan, one)));
    let sheets = ways.zip(1..).flat_map(|((plan, one), pattern)| {
        let numbers = one.number..one.number + one.times;
        numbers.map(move |number| sheet((ruler, order, plan), one, (number, pattern)))
    });
    let missing = words::missing(order, batches);
    let missing = missing.into_iter().filter_map(|(paper, at, more)| {
        let sheets = order.papers[paper].sheets.get(at)?;
        Some(json!({
            "paper": order.papers[paper].name,
            "width": measure(ruler, sheets.width),
            "height": measure(ruler, sheets.height),
            "more": more,
        }))
    });
    let rest = json!({
        "verdict": verdict,
        "exit": exit,
        "proved": proved,
        "sheets_used": sheets_used,
        "offcuts_used": offcuts_used,
        "lower_bound": lower_bound,
        "settings": steps::settings(&all),
        "stages": list(batches, |it| group(order, it)),
        "sheets": sheets.collect::<Value>(),
        "pieces": list(order.wants.iter().enumerate(), |(at, want)| {
            piece(ruler, want, want.count, from(order, plans(), at))
        }),
        "any_paper": list(&order.any_paper, |want| piece(ruler, want, want.count, json!([]))),
        "from_left": list(&order.from_left, |want| piece(ruler, want, want.count, json!([]))),
        "missing": missing.collect::<Value>(),
        "offcuts": list(answer.left, |left| {
            let gives = left.gives.iter().filter_map(|(want, count)| {
                let want = words::any_want(order, *want)?;
                Some(json!({ "name": want.name, "leaf": want.leaf, "count": count }))
            });
            json!({
                "paper": order.papers[left.paper].name,
                "width": measure(ruler, left.width),
                "height": measure(ruler, left.height),
                "count": left.count,
                "uncut": left.uncut,
                "largest_proved": left.largest.map(|largest| largest.proved),
                "gives": gives.collect::<Value>(),
            })
        }),
        "cautions": [cautions::BLADES.full],
    });
    pretty(&joined([start("cut"), about(title, ruler), rest]))
}

fn from<'p>(order: &Order, plans: impl Iterator<Item = &'p PaperPlan>, want: usize) -> Value {
    let each = plans.filter_map(|plan| {
        let kinds = plan.counted.kinds.iter().flatten();
        let count: u64 = kinds.filter(|(w, _)| *w == want).map(|(_, n)| n).sum();
        let paper = &order.papers[plan.paper].name;
        (count > 0).then(|| json!({ "paper": paper, "count": count }))
    });
    each.collect()
}

fn piece(ruler: Ruler, want: &Want, count: u64, from: Value) -> Value {
    json!({
        "name": want.name,
        "leaf": want.leaf,
        "width": measure(ruler, want.width),
        "height": measure(ruler, want.height),
        "count": count,
        "from": from,
    })
}

fn group(order: &Order, batch: &Batch) -> Value {
    let kind = |way: &Way| {
        json!({
            "sheets": way.sheets,
            "offcuts": way.sheets.map(|_| way.offcuts),
            "lower_bound": way.least,
            "proved": way.proved,
            "not_enough": way.not_enough,
        })
    };
    let [two, three, free] = [0, 1, 2].map(|n| kind(&batch.ways[n]));
    json!({
        "papers": list(&batch.papers, |paper| json!(order.papers[*paper].name)),
        "two": two,
        "three": three,
        "free": free,
        "chosen": stages_name(STAGES[batch.chosen]),
    })
}

fn stages_name(stages: Stages) -> &'static str {
    match stages {
        Stages::Two => "two",
        Stages::Three => "three",
        Stages::Free => "free",
    }
}

/// The ruler, what is cut and the plan of the paper that it is cut from.
type On<'a> = (Ruler, &'a Order, &'a PaperPlan);

/// Sheets of one pattern are cut alike.
fn sheet(on: On<'_>, sheet: &SheetPlan, (number, pattern): (u64, usize)) -> Value {
    let (ruler, order, plan) = on;
    let from = &order.papers[plan.paper].sheets[sheet.stock];
    let (parts, _) = placed(plan, sheet);
    let (left_over, pieces): (Vec<_>, Vec<_>) = parts
        .into_iter()
        .partition(|part| part.lies.is == Is::Offcut);
    let cuts = sheet.steps.iter().zip(1..).flat_map(|(step, n)| {
        let set = measure(ruler, step.setting);
        step.cuts.iter().map(move |cut| one_cut(on, cut, (n, &set)))
    });
    json!({
        "paper": order.papers[plan.paper].name,
        "number": number,
        "pattern": pattern,
        "offcut": from.offcut,
        "width": measure(ruler, from.width),
        "height": measure(ruler, from.height),
        "trimmed": { "width": measure(ruler, sheet.width), "height": measure(ruler, sheet.height) },
        "cuts": cuts.collect::<Value>(),
        "pieces": list(&pieces, |it| lying(on, it)),
        "left_over": list(&left_over, |it| lying(on, it)),
    })
}

fn lying((ruler, order, plan): On<'_>, part: &Placed) -> Value {
    let (name, turned) = match part.lies.is {
        Is::Piece { piece, turned } => (piece_name(order, plan, piece), turned),
        _ => (String::new(), false),
    };
    json!({
        "name": name,
        "x": measure(ruler, part.x),
        "y": measure(ruler, part.y),
        "width": measure(ruler, part.lies.width),
        "height": measure(ruler, part.lies.height),
        "turned": turned,
    })
}

fn one_cut(on: On<'_>, cut: &Cut, (step, set): (usize, &Value)) -> Value {
    let (ruler, order, plan) = on;
    json!({
        "step": step,
        "set": set,
        "from": called(order, plan, cut.from.is),
        "from_width": measure(ruler, cut.from.width),
        "from_height": measure(ruler, cut.from.height),
        "alike": cut.alike,
        "side": match cut.divides {
            Divides::Width => "width",
            Divides::Height => "height",
        },
        "cuts": cut.cuts,
        "off": list(&cut.off, |(n, lies)| thing(on, *n, *lies)),
        "left": cut.left.map(|lies| thing(on, 1, lies)),
    })
}

fn thing((ruler, order, plan): On<'_>, count: u64, lies: Lies) -> Value {
    json!({
        "is": match lies.is {
            Is::Sheet => "sheet",
            Is::Strip(_) => "strip",
            Is::Piece { .. } => "piece",
            Is::Offcut => "offcut",
        },
        "name": match lies.is {
            Is::Offcut => String::new(),
            is => called(order, plan, is),
        },
        "width": measure(ruler, lies.width),
        "height": measure(ruler, lies.height),
        "turned": matches!(lies.is, Is::Piece { turned: true, .. }),
        "count": count,
    })
}

/// The best use of one sheet.
pub fn fill(
    title: &str,
    ruler: Ruler,
    order: &Order,
    (each, chosen): (&[Filled; 3], usize),
) -> String {
    let filled = &each[chosen];
    let plan = &filled.plan;
    let counts = words::fill::counts(filled);
    let pieces = counts.iter().filter_map(|(at, count)| {
        let (want, _) = plan.counted.kinds.get(*at)?.first()?;
        Some(piece(ruler, &order.wants[*want], *count, json!([])))
    });
    let stages = |(n, filled): (usize, &Filled)| {
        let pieces: u64 = words::fill::counts(filled).iter().map(|(_, n)| n).sum();
        json!({
            "stages": stages_name(filled.stages),
            "value": filled.value,
            "pieces": pieces,
            "used_permille": words::fill::used(order, filled),
            "proved": filled.proved,
            "chosen": n == chosen,
        })
    };
    let sheets = steps::sheets([plan]);
    let sheets = sheets.iter().flat_map(|(_, sheets)| sheets);
    let rest = json!({
        "verdict": if filled.proved { "proved" } else { "best found" },
        "exit": 0,
        "proved": filled.proved,
        "value": filled.value,
        "valued": order.wants.iter().any(|want| want.value.is_some()),
        "used_permille": words::fill::used(order, filled),
        "pieces": pieces.collect::<Value>(),
        "stages": list(each.iter().enumerate(), stages),
        "sheets": list(sheets, |one| sheet((ruler, order, plan), one, (1, 1))),
        "cautions": [cautions::BLADES.full],
    });
    pretty(&joined([start("fill"), about(title, ruler), rest]))
}
