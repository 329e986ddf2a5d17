//! Pages of words alone for several readers, such as a teacher and a student: each begins on a page of its own.

use super::flow::{Flow, Item, Set};
use super::list::Document;
use super::paper::{self, Paper};
use crate::report::handout::{Section, said};

/// For each reader what stands under the title, and the sections.
pub fn document(paper: Paper, title: &str, readers: Vec<(String, Vec<Section>)>) -> Document {
    let mut pages = Vec::new();
    for (under, sections) in readers {
        let mut flow = Flow::new(paper);
        flow.opening(&said::capital(title), &under);
        let sets = sections.into_iter().map(|section| Set {
            title: section.title,
            items: section.blocks.into_iter().map(Item::Block).collect(),
            ..Set::default()
        });
        flow.all(&sets.collect::<Vec<_>>());
        pages.extend(flow.done());
    }
    paper::number(title, &mut pages);
    Document {
        title: title.to_owned(),
        language: "en",
        pages,
    }
}
