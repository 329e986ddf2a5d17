//! The whole printout: texts, drawings, true-scale pages and cutting plans, in the order of work.

use super::list::{Document, Page};
use super::paper::{self, Paper};
use super::{cutting, flow, map, outlines, pieces, profile, template, view};
use crate::album::Album;
use crate::cut::Answer;
use crate::plan::Plan;
use crate::report::handout::{ABOUT, Block, Section, contents, openings, texts};

/// Everything on pages. `answer` is how the sheets are cut, where that is known.
pub fn document(paper: Paper, album: &Album, plan: &Plan, answer: Option<Answer<'_>>) -> Document {
    let texts = texts(album, plan, answer);
    let set = |section: &Section| (section.title.clone(), flow::pages(paper, section));
    // The first section tells on which page each of the others begins.
    let mut before = texts.before.iter();
    let first = before.next();
    let mut parts: Vec<(String, Vec<Page>)> = before.map(set).collect();
    let mut part = |title: &str, pages: Vec<Page>| parts.push((title.to_owned(), pages));
    part(openings::TITLE, map::pages(paper, plan));
    let kinds = format!("Every kind of {}, both sides", pieces::kinds(plan)[0]);
    part(&kinds, drawings(paper, plan));
    part(profile::TITLE, profile::pages(paper, plan));
    part("Template at true scale", template::pages(paper, plan));
    if let Some(answer) = answer {
        let pages = cutting::pages(paper, plan.ruler, answer);
        part("Cutting plans", pages);
    }
    part("Outlines at true scale", outlines::pages(paper, plan));
    parts.extend(texts.after.iter().map(set));
    parts.retain(|(_, pages)| !pages.is_empty());

    let opening = |before: usize| {
        let mut at = before + 1;
        let lines = parts.iter().map(|(title, pages)| {
            let from = at;
            at += pages.len();
            (title.clone(), from, at - 1)
        });
        let contents = contents(&lines.collect::<Vec<_>>());
        first.map_or(Vec::new(), |first| {
            let mut section = first.clone();
            let about = |block: &Block| matches!(block, Block::Heading(words) if words == ABOUT);
            let at = section.blocks.iter().position(about).unwrap_or(0);
            section.blocks.splice(at..at, contents);
            flow::pages(paper, &section)
        })
    };
    // How long it is does not hang on the numbers in it.
    let mut pages = opening(opening(0).len());
    pages.extend(parts.into_iter().flat_map(|(_, pages)| pages));
    paper::number(&plan.title, &mut pages);
    Document {
        title: plan.title.clone(),
        language: "en",
        pages,
    }
}

/// Both sides of every frame.
fn drawings(paper: Paper, plan: &Plan) -> Vec<Page> {
    let mut pages = Vec::new();
    for frame in &plan.frames {
        // As it is met in the album: a turned leaf shows its back first.
        let turned = pieces::turned(plan, frame);
        for back in [turned, !turned] {
            pages.extend(view::pages(paper, plan, frame, back));
        }
    }
    pages
}
