//! A cutting plan for other programs.

mod shape;

use super::shape::Measure;
use super::{VERSION, length, pretty};
use crate::cut::fill::Filled;
use crate::cut::place::{Placed, placed};
use crate::cut::steps::{self, Cut, Is, Lies, SheetPlan};
use crate::cut::work::{Batch, PaperPlan, STAGES, Way};
use crate::cut::{Answer, Divides, Order, Stages, Want};
use crate::length::Ruler;
use crate::report::cautions;
use crate::report::cut::{self as words, Verdict, called, piece_name};
use shape::{
    Fill, FillKind, FromPaper, Gives, Group, Head, Kind, Lying, Missing, Offcut, OneCut, Piece,
    Plan, Sheet, Size, Thing,
};

/// A cutting plan; `exit` is the exit code that goes with it.
///
/// # Errors
///
/// None that is known: every value here can be written.
pub fn plan(title: &str, ruler: Ruler, answer: Answer<'_>, exit: u8) -> serde_json::Result<String> {
    let Answer { order, batches, .. } = answer;
    let verdict = words::verdict(batches);
    let (sheets_used, offcuts_used, lower_bound) = words::totals(batches);
    let plans = || batches.iter().flat_map(|b| &b.plan().papers);
    let mut sheets = Vec::new();
    let mut pattern = 0;
    let all = steps::sheets(plans());
    for (plan, ways) in &all {
        for one in ways {
            pattern += 1;
            let made = sheet(ruler, order, plan, one, pattern);
            for number in one.number..one.number + one.times {
                let again = made.clone();
                sheets.push(Sheet { number, ..again });
            }
        }
    }
    let measure = |l| length(ruler, l);
    pretty(&Plan {
        head: Head {
            tuckwright: VERSION,
            kind: "cut",
            title,
            ruler: measure(ruler.step()),
            unit: ruler.unit().name(),
            verdict: match verdict {
                Verdict::Proved => "proved",
                Verdict::Found => "best found",
                Verdict::NotEnough => "not enough sheets",
                Verdict::Undecided => "undecided",
            },
            exit,
            proved: matches!(verdict, Verdict::Proved | Verdict::NotEnough),
        },
        sheets_used,
        offcuts_used,
        lower_bound,
        settings: steps::settings(&all),
        stages: batches.iter().map(|b| group(order, b)).collect(),
        sheets,
        pieces: order
            .wants
            .iter()
            .enumerate()
            .map(|(at, want)| piece(ruler, want, from(order, plans(), at)))
            .collect(),
        any_paper: order
            .any_paper
            .iter()
            .map(|want| piece(ruler, want, Vec::new()))
            .collect(),
        missing: words::missing(order, batches)
            .into_iter()
            .filter_map(|(paper, at, more)| {
                let sheets = order.papers[paper].sheets.get(at)?;
                Some(Missing {
                    paper: order.papers[paper].name.clone(),
                    width: measure(sheets.width),
                    height: measure(sheets.height),
                    more,
                })
            })
            .collect(),
        offcuts: answer
            .left
            .iter()
            .map(|left| Offcut {
                paper: order.papers[left.paper].name.clone(),
                width: measure(left.width),
                height: measure(left.height),
                count: left.count,
                uncut: left.uncut,
                largest_proved: left.largest.map(|largest| largest.proved),
                gives: left
                    .gives
                    .iter()
                    .filter_map(|(want, count)| {
                        let want = words::any_want(order, *want)?;
                        Some(Gives {
                            name: want.name.clone(),
                            leaf: want.leaf.clone(),
                            count: *count,
                        })
                    })
                    .collect(),
            })
            .collect(),
        cautions: vec![cautions::BLADES.full],
    })
}

fn from<'p>(
    order: &Order,
    plans: impl Iterator<Item = &'p PaperPlan>,
    want: usize,
) -> Vec<FromPaper> {
    let each = plans.filter_map(|plan| {
        let kinds = plan.counted.kinds.iter().flatten();
        let count: u64 = kinds.filter(|(w, _)| *w == want).map(|(_, n)| n).sum();
        (count > 0).then(|| FromPaper {
            paper: order.papers[plan.paper].name.clone(),
            count,
        })
    });
    each.collect()
}

fn piece(ruler: Ruler, want: &Want, from: Vec<FromPaper>) -> Piece {
    Piece {
        name: want.name.clone(),
        leaf: want.leaf.clone(),
        width: length(ruler, want.width),
        height: length(ruler, want.height),
        count: want.count,
        from,
    }
}

fn group(order: &Order, batch: &Batch) -> Group {
    let kind = |way: &Way| Kind {
        sheets: way.sheets,
        offcuts: way.sheets.map(|_| way.offcuts),
        lower_bound: way.least,
        proved: way.proved,
        not_enough: way.not_enough,
    };
    let [two, three, free] = [0, 1, 2].map(|n| kind(&batch.ways[n]));
    Group {
        papers: batch
            .papers
            .iter()
            .map(|p| order.papers[*p].name.clone())
            .collect(),
        two,
        three,
        free,
        chosen: stages_name(STAGES[batch.chosen]),
    }
}

fn stages_name(stages: Stages) -> &'static str {
    match stages {
        Stages::Two => "two",
        Stages::Three => "three",
        Stages::Free => "free",
    }
}

fn sheet(
    ruler: Ruler,
    order: &Order,
    plan: &PaperPlan,
    sheet: &SheetPlan,
    pattern: usize,
) -> Sheet {
    let from = &order.papers[plan.paper].sheets[sheet.stock];
    let measure = |l| length(ruler, l);
    let (parts, _) = placed(plan, sheet);
    let (left_over, pieces): (Vec<_>, Vec<_>) =
        parts.into_iter().partition(|p| p.lies.is == Is::Offcut);
    let lying = |all: Vec<Placed>| all.iter().map(|p| lying(ruler, order, plan, p)).collect();
    Sheet {
        paper: order.papers[plan.paper].name.clone(),
        number: 0,
        pattern,
        offcut: from.offcut,
        width: measure(from.width),
        height: measure(from.height),
        trimmed: Size {
            width: measure(sheet.width),
            height: measure(sheet.height),
        },
        cuts: sheet
            .steps
            .iter()
            .enumerate()
            .flat_map(|(n, step)| {
                let set = step.setting;
                step.cuts.iter().map(move |cut| (n, set, cut))
            })
            .map(|(n, set, cut)| one_cut(ruler, order, plan, cut, (n, measure(set))))
            .collect(),
        pieces: lying(pieces),
        left_over: lying(left_over),
    }
}

fn lying(ruler: Ruler, order: &Order, plan: &PaperPlan, part: &Placed) -> Lying {
    let (name, turned) = match part.lies.is {
        Is::Piece { piece, turned } => (piece_name(order, plan, piece), turned),
        _ => (String::new(), false),
    };
    Lying {
        name,
        x: length(ruler, part.x),
        y: length(ruler, part.y),
        width: length(ruler, part.lies.width),
        height: length(ruler, part.lies.height),
        turned,
    }
}

fn one_cut(
    ruler: Ruler,
    order: &Order,
    plan: &PaperPlan,
    cut: &Cut,
    (step, set): (usize, Measure),
) -> OneCut {
    OneCut {
        step: step + 1,
        set,
        from: called(order, plan, cut.from.is),
        from_width: length(ruler, cut.from.width),
        from_height: length(ruler, cut.from.height),
        alike: cut.alike,
        side: match cut.divides {
            Divides::Width => "width",
            Divides::Height => "height",
        },
        cuts: cut.cuts,
        off: cut
            .off
            .iter()
            .map(|(n, lies)| thing(ruler, order, plan, *n, *lies))
            .collect(),
        left: cut.left.map(|lies| thing(ruler, order, plan, 1, lies)),
    }
}

fn thing(ruler: Ruler, order: &Order, plan: &PaperPlan, count: u64, lies: Lies) -> Thing {
    Thing {
        is: match lies.is {
            Is::Sheet => "sheet",
            Is::Strip(_) => "strip",
            Is::Piece { .. } => "piece",
            Is::Offcut => "offcut",
        },
        name: match lies.is {
            Is::Offcut => String::new(),
            is => called(order, plan, is),
        },
        width: length(ruler, lies.width),
        height: length(ruler, lies.height),
        turned: matches!(lies.is, Is::Piece { turned: true, .. }),
        count,
    }
}

/// The best use of one sheet.
///
/// # Errors
///
/// None that is known: every value here can be written.
pub fn fill(
    title: &str,
    ruler: Ruler,
    order: &Order,
    (each, chosen): (&[Filled; 3], usize),
) -> serde_json::Result<String> {
    let filled = &each[chosen];
    let plan = &filled.plan;
    let counts = words::fill::counts(filled);
    let pieces = counts.iter().filter_map(|(at, count)| {
        let (want, _) = plan.counted.kinds.get(*at)?.first()?;
        let want = &order.wants[*want];
        Some(Piece {
            count: *count,
            ..piece(ruler, want, Vec::new())
        })
    });
    pretty(&Fill {
        head: Head {
            tuckwright: VERSION,
            kind: "fill",
            title,
            ruler: length(ruler, ruler.step()),
            unit: ruler.unit().name(),
            verdict: if filled.proved {
                "proved"
            } else {
                "best found"
            },
            exit: 0,
            proved: filled.proved,
        },
        value: filled.value,
        valued: order.wants.iter().any(|want| want.value.is_some()),
        used_permille: words::fill::used(order, filled),
        pieces: pieces.collect(),
        stages: each
            .iter()
            .enumerate()
            .map(|(n, filled)| FillKind {
                stages: stages_name(filled.stages),
                value: filled.value,
                pieces: words::fill::counts(filled).iter().map(|(_, n)| n).sum(),
                used_permille: words::fill::used(order, filled),
                proved: filled.proved,
                chosen: n == chosen,
            })
            .collect(),
        sheets: steps::sheets([plan])
            .iter()
            .flat_map(|(_, sheets)| sheets)
            .map(|one| Sheet {
                number: 1,
                ..sheet(ruler, order, plan, one, 1)
            })
            .collect(),
        cautions: vec![cautions::BLADES.full],
    })
}
