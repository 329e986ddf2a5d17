//! The whole printout: texts, drawings, true-scale pages and cutting plans, in the order of work.

use super::list::{Document, Page};
use super::paper::{self, Paper};
use super::{cutting, flow, map, outlines, profile, template, view};
use crate::album::Album;
use crate::cut::Answer;
use crate::plan::Plan;
use crate::report::handout::texts;

/// Everything on pages. `answer` is how the sheets are cut, where that is known.
pub fn document(paper: Paper, album: &Album, plan: &Plan, answer: Option<Answer<'_>>) -> Document {
    let texts = texts(album, plan, answer);
    let mut pages: Vec<Page> = Vec::new();
    for section in &texts.before {
        pages.extend(flow::pages(paper, section));
    }
    pages.extend(map::pages(paper, plan));
    pages.extend(drawings(paper, plan));
    pages.extend(template::pages(paper, plan));
    if let Some(answer) = answer {
        pages.extend(cutting::pages(paper, plan.ruler, answer));
    }
    pages.extend(outlines::pages(paper, plan));
    for section in &texts.after {
        pages.extend(flow::pages(paper, section));
    }
    paper::number(&plan.title, &mut pages);
    Document {
        title: plan.title.clone(),
        language: "en",
        pages,
    }
}

/// Both sides of every kind of leaf.
fn drawings(paper: Paper, plan: &Plan) -> Vec<Page> {
    let mut pages = Vec::new();
    for leaf in &plan.leaves {
        // As it is met in the album: a turned leaf shows its back first.
        for pocket in [!leaf.turned, leaf.turned] {
            let drawn = view::pages(paper, plan, leaf, pocket);
            pages.extend(drawn);
        }
    }
    pages.extend(profile::pages(paper, plan));
    pages
}
