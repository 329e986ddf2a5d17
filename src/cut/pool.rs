//! Papers of which any one gives every piece that is cut from them: one question with all their sheets,
//! and its answer as a plan for each paper.

use super::batch::PaperPlan;
use super::job::{self, Counted};
use super::{CutError, Order, Paper, Want};
use crate::length::Ruler;
use crate::nest::{Cutting, Job, Part, Stages, What};
use crate::text::At;

/// Papers that are cut as one, and what is known of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pool {
    /// Places in [`Order::papers`].
    pub papers: Vec<usize>,
    /// Cuttings of [`question`]; they are looked at first. May be empty.
    pub known: Vec<Cutting>,
}

/// Papers from which something is cut, those together that share pieces.
pub fn batches(order: &Order) -> Vec<Vec<usize>> {
    let mut groups: Vec<Vec<usize>> = Vec::new();
    for want in &order.wants {
        let (mut tied, rest): (Vec<_>, Vec<_>) = std::mem::take(&mut groups)
            .into_iter()
            .partition(|group: &Vec<usize>| group.iter().any(|p| want.papers.contains(p)));
        tied.push(want.papers.clone());
        let mut one: Vec<usize> = tied.concat();
        one.sort_unstable();
        one.dedup();
        groups = rest;
        groups.push(one);
    }
    groups.sort_unstable();
    groups
}

/// Whether every piece that is cut from one of these papers may be cut from all of them.
pub fn is_one(order: &Order, papers: &[usize]) -> bool {
    let mut ours = order.wants.iter().filter(|want| want.is_of(papers));
    ours.all(|want| {
        papers.iter().all(|paper| want.papers.contains(paper))
            && (papers.len() == 1 || want.most_alike.is_none())
    })
}

/// An order with the papers as one, and for each of its wants the place in the whole order.
pub(super) fn pooled(order: &Order, papers: &[usize]) -> (Order, Vec<usize>) {
    let all = || papers.iter().filter_map(|p| order.papers.get(*p));
    let names: Vec<&str> = all().map(|p| p.name.as_str()).collect();
    let wants = order.wants.iter().enumerate();
    let wants = wants.filter(|(_, want)| want.is_of(papers));
    let of_pool = |want: &Want| Want {
        papers: vec![0],
        ..want.clone()
    };
    let (places, wants): (Vec<usize>, _) = wants.map(|(at, w)| (at, of_pool(w))).unzip();
    let pool = Order {
        papers: vec![Paper {
            name: names.join(" or "),
            directed: all().all(|p| p.directed),
            sheets: all().flat_map(|p| p.sheets.iter().cloned()).collect(),
        }],
        wants,
        any_paper: Vec::new(),
        from_left: Vec::new(),
        trimmer: order.trimmer,
    };
    (pool, places)
}

/// What is asked of the papers together; its stocks are the sheets of the first paper, then those of the
/// next. A whole sheet costs `sheet_cost`, an offcut 1.
///
/// # Errors
/// What trimming leaves nothing of, and sizes that share no step.
pub fn question(
    order: &Order,
    papers: &[usize],
    stages: Stages,
    sheet_cost: u64,
    ruler: Ruler,
) -> Result<Counted, Vec<At<CutError>>> {
    let (pool, _) = pooled(order, papers);
    let counts: Vec<(usize, u64)> = pool.wants.iter().map(|w| w.count).enumerate().collect();
    let mut counted = job::counted(&pool, 0, &counts, stages, sheet_cost, ruler)?;
    let papers = papers.iter().filter_map(|p| order.papers.get(*p));
    let directed = papers.flat_map(|it| std::iter::repeat_n(it.directed, it.sheets.len()));
    for (stock, directed) in counted.job.stocks.iter_mut().zip(directed) {
        stock.turn = !directed;
    }
    Ok(counted)
}

/// What `nest` found wrong with a question, in the maker's lengths.
pub fn faults(
    order: &Order,
    papers: &[usize],
    counted: &Counted,
    errors: Vec<crate::nest::JobError>,
    ruler: Ruler,
) -> Vec<At<CutError>> {
    job::faults(&pooled(order, papers).0, 0, counted, errors, ruler)
}

/// The answer as a plan for each paper from which something is cut.
pub(super) fn split(
    order: &Order,
    papers: &[usize],
    counted: &Counted,
    cuttings: &[Cutting],
) -> Vec<PaperPlan> {
    let (_, places) = pooled(order, papers);
    // What is not given out yet of each kind of piece, by the whole order's wants.
    let whole = |(want, n): &(usize, u64)| Some((*places.get(*want)?, *n));
    let kinds = counted.kinds.iter();
    let left = kinds.map(|kind| kind.iter().filter_map(whole).collect());
    let mut left: Vec<Vec<(usize, u64)>> = left.collect();
    let mut plans = Vec::new();
    let mut before = 0;
    for &paper in papers {
        let sheets = &order.papers[paper].sheets;
        let here = before..before + sheets.len();
        before = here.end;
        let own = cuttings.iter().filter(|c| here.contains(&c.stock));
        let mut own: Vec<Cutting> = own.cloned().collect();
        if own.is_empty() {
            continue;
        }
        let mut used = vec![0; counted.job.pieces.len()];
        for cutting in &mut own {
            let mut once = vec![0; used.len()];
            cutting.sheet.count(&mut once);
            let all = used.iter_mut().zip(once);
            all.for_each(|(used, once): (&mut u64, u64)| *used += once * cutting.times);
            cutting.stock -= here.start;
        }
        // Pieces of which this paper gives none are no part of its job.
        let mut new = vec![None; used.len()];
        let (mut pieces, mut kinds) = (Vec::new(), Vec::new());
        for (at, &count) in used.iter().enumerate().filter(|(_, n)| **n > 0) {
            new[at] = Some(pieces.len());
            pieces.push(crate::nest::Piece {
                count,
                ..counted.job.pieces[at].clone()
            });
            kinds.push(take(&mut left[at], count));
        }
        own.iter_mut()
            .for_each(|cutting| renumber(&mut cutting.sheet, &new));
        let number = |offcut: bool| {
            let of = own.iter().filter(|c| sheets[c.stock].offcut == offcut);
            of.map(|c| c.times).sum()
        };
        plans.push(PaperPlan {
            paper,
            sheets: number(false),
            offcuts: number(true),
            kept_proved: false,
            turns: Vec::new(),
            counted: Counted {
                job: Job {
                    pieces,
                    stocks: counted.job.stocks[here.clone()].to_vec(),
                    ..counted.job.clone()
                },
                unit: counted.unit,
                kinds,
                edges: counted.edges[here].to_vec(),
            },
            cuttings: own,
        });
    }
    plans
}

/// Takes a number off what is left, the first wants first.
fn take(left: &mut [(usize, u64)], mut count: u64) -> Vec<(usize, u64)> {
    let mut taken = Vec::new();
    for (want, there) in left {
        let of = count.min(*there);
        *there -= of;
        count -= of;
        if of > 0 {
            taken.push((*want, of));
        }
    }
    taken
}

fn renumber(part: &mut Part, new: &[Option<usize>]) {
    match &mut part.what {
        What::Piece { piece, .. } => *piece = new.get(*piece).copied().flatten().unwrap_or(0),
        What::Offcut => {}
        What::Split { parts, .. } => parts.iter_mut().for_each(|part| renumber(part, new)),
    }
}
