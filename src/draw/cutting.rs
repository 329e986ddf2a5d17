//! The cutting plans of an album on paper: each sheet as a drawing, with its steps below.

use super::flow::{Flow, column};
use super::list::Page;
use super::paper::{MM, Paper};
use super::sheets::{Scale, figure};
use crate::cut::steps::{SheetPlan, sheets};
use crate::cut::work::PaperPlan;
use crate::cut::{Answer, Order};
use crate::length::{Length, Ruler};
use crate::report::handout::{Block, sheets as words};

/// The longer side of a sheet on the page.
const LONGEST: i64 = 130 * MM;

/// One way of cutting a sheet: the drawing, where it ends, and the steps.
pub struct Plan {
    pub page: Page,
    pub bottom: i64,
    pub steps: Block,
}

/// Every way of cutting a sheet, paper by paper.
pub fn plans(paper: Paper, ruler: Ruler, answer: Answer<'_>) -> Vec<Plan> {
    let mut all = Vec::new();
    let papers = answer.batches.iter().flat_map(|batch| &batch.plan().papers);
    for (plan, sheets) in sheets(papers) {
        for sheet in sheets {
            all.push(one(paper, ruler, answer.order, plan, &sheet));
        }
    }
    all
}

/// All pages of the cutting plans.
pub fn pages(paper: Paper, ruler: Ruler, answer: Answer<'_>) -> Vec<Page> {
    let each = plans(paper, ruler, answer).into_iter();
    each.flat_map(|plan| {
        let mut flow = Flow::after(paper, plan.page, plan.bottom);
        flow.block(&plan.steps);
        flow.done()
    })
    .collect()
}

fn one(paper: Paper, ruler: Ruler, order: &Order, plan: &PaperPlan, sheet: &SheetPlan) -> Plan {
    let from = &order.papers[plan.paper].sheets[sheet.stock];
    let title = format!("Cutting plan. {}", words::title(ruler, order, plan, sheet));
    let above = words::words(order, plan);
    let mut page = paper.page(&title, &format!("{title}. {above}"));
    let body = paper.body();
    let top = column(&mut page, body, body.top, "", &[above]) + 2 * MM;
    // No wider than the page, wherever its longer side is.
    let longest = LONGEST.min(body.width());
    let scale = Scale::new(from.width, from.height, longest, (body.left, top));
    let whole = scale.area(Length::ZERO, Length::ZERO, from.width, from.height);
    figure(&mut page, ruler, order, plan, sheet, scale);
    Plan {
        page,
        bottom: whole.bottom + 4 * MM,
        steps: words::steps(ruler, order, plan, sheet),
    }
}
