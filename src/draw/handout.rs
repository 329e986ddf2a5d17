//! The whole printout: texts, drawings, true-scale pages and cutting plans, in the order of work.

use super::list::{Document, Page};
use super::paper::{self, Paper};
use super::{flow, map, outlines, profile, template, view};
use crate::album::Album;
use crate::plan::Plan;
use crate::report::handout::texts;

/// Everything on pages. `cutting` are the pages of the cutting plans, empty where there are none;
/// they stand after the outlines.
pub fn document(paper: Paper, album: &Album, plan: &Plan, cutting: Vec<Page>) -> Document {
    let texts = texts(album, plan);
    let mut pages: Vec<Page> = Vec::new();
    for section in &texts.before {
        pages.extend(flow::pages(paper, section));
    }
    pages.extend(map::pages(paper, plan));
    pages.extend(drawings(paper, plan));
    pages.extend(template::pages(paper, plan));
    pages.extend(outlines::pages(paper, plan));
    pages.extend(cutting);
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
