//! Pages of a class: those of whoever teaches, in words alone, and two with drawings for each student.

use super::closed::closed;
use super::flow::{Flow, Item, Set};
use super::handout::beside_steps;
use super::list::{Document, Page};
use super::paper::{self, MM, Paper};
use crate::plan::Plan;
use crate::report::handout::steps::Step;
use crate::report::handout::{Block, Section, said};

/// What a student finds in a kit and does with it.
pub struct Student<'a> {
    pub plan: &'a Plan,
    pub kit: Section,
    pub steps: Vec<Step>,
}

/// Pages that a student can hold in both hands.
const PAGES: usize = 2;

/// For whoever teaches what stands under the title, and the sections; then the pages of each kind of album.
pub fn document(
    paper: Paper,
    title: &str,
    (under, sections): (String, Vec<Section>),
    students: &[Student<'_>],
) -> Document {
    let mut flow = Flow::new(paper);
    flow.opening(&said::capital(title), &under);
    let sets = sections.into_iter().map(|section| Set {
        title: section.title,
        items: section.blocks.into_iter().map(Item::Block).collect(),
        ..Set::default()
    });
    flow.all(&sets.collect::<Vec<_>>());
    let mut pages = flow.done();
    paper::number(title, &mut pages);
    for student in students {
        // The largest picture of the album with which it goes on two pages.
        let tried = [110, 95, 80, 65, 50].map(|high| of_student(paper, student, high * MM));
        let fewest = tried.iter().map(Vec::len).min().unwrap_or(0).max(PAGES);
        let mut own = tried.into_iter().filter(|pages| pages.len() <= fewest);
        let mut own = own.next().unwrap_or_default();
        paper::number(&student.plan.title, &mut own);
        pages.extend(own);
    }
    Document {
        title: title.to_owned(),
        language: "en",
        pages,
    }
}

fn of_student(paper: Paper, student: &Student<'_>, high: i64) -> Vec<Page> {
    let Student { plan, kit, steps } = student;
    let width = paper.column().width();
    let picture = closed(plan, width * 2 / 5, high, false);
    let heading = Block::Heading(kit.title.clone());
    let beside: Vec<Block> = std::iter::once(heading).chain(kit.blocks.clone()).collect();
    // A table needs the whole width; what stands before it goes beside the picture.
    let table = |block: &Block| matches!(block, Block::Table(_));
    let (below, beside): (Vec<Block>, Vec<Block>) = beside.into_iter().partition(table);
    let mut items = vec![Item::Beside(picture, beside)];
    items.extend(below.into_iter().map(Item::Block));
    items.extend(beside_steps(plan, None, steps, width));
    let mut flow = Flow::new(paper);
    flow.opening(&said::capital(&plan.title), "For each student");
    flow.all(&[Set {
        items,
        ..Set::default()
    }]);
    flow.done()
}
