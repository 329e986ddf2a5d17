//! Pages of a class: those of whoever teaches, with the sheets to cut and a template, and two with drawings for
//! each student.

use super::closed::closed;
use super::cutting;
use super::flow::{Flow, Item, Set};
use super::handout::beside_steps;
use super::list::{Document, Page};
use super::paper::{self, MM, Paper};
use super::template;
use crate::cut::Answer;
use crate::length::Ruler;
use crate::plan::Plan;
use crate::report::handout::kit::Work;
use crate::report::handout::{Block, Section, said, sheets};

/// What a student finds in a kit and does with it.
pub struct Student<'a> {
    pub plan: &'a Plan,
    pub kit: Section,
    pub work: Work,
}

/// Pages that a student can hold in both hands.
const PAGES: usize = 2;

/// How long the longer side of a sheet is drawn.
const SHEET: i64 = 49 * MM;

/// For whoever teaches what stands under the title, the sections, how each sheet is cut, and the templates; then
/// the pages of each kind of album.
pub fn document(
    paper: Paper,
    title: &str,
    (under, sections): (String, Vec<Section>),
    answer: Option<(Ruler, Answer<'_>)>,
    students: &[Student<'_>],
) -> Document {
    let mut flow = Flow::new(paper);
    flow.opening(&said::capital(title), &under);
    let sets = sections.into_iter().map(|section| Set {
        title: section.title,
        items: section.blocks.into_iter().map(Item::Block).collect(),
        ..Set::default()
    });
    let of_sheets = answer.map(|(ruler, answer)| Set {
        title: "How to cut the sheets".to_owned(),
        items: vec![
            Item::Block(Block::Text(sheets::words(answer.order))),
            Item::Row(cutting::figures(ruler, answer, SHEET)),
        ],
        ..Set::default()
    });
    let mut templates = Vec::new();
    let of_template = students.iter().map(|Student { plan, work, .. }| {
        // What does not stand beside a template stands here.
        let mut words = work.template.clone();
        templates.extend(template::pages(paper, plan, &mut words, &mut Vec::new()).0);
        Set {
            items: words.into_iter().flatten().map(Item::Block).collect(),
            ..Set::default()
        }
    });
    let sets: Vec<Set> = sets.chain(of_sheets).chain(of_template).collect();
    let sets: Vec<Set> = sets
        .into_iter()
        .filter(|set| !set.items.is_empty())
        .collect();
    flow.all(&sets);
    let mut pages = flow.done();
    pages.extend(templates);
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
    let Student { plan, kit, work } = student;
    let width = paper.column().width();
    let picture = closed(plan, width * 2 / 5, high, false);
    let heading = Block::Heading(kit.title.clone());
    let beside: Vec<Block> = std::iter::once(heading).chain(kit.blocks.clone()).collect();
    // A table needs the whole width; what stands before it goes beside the picture.
    let table = |block: &Block| matches!(block, Block::Table(_));
    let (below, beside): (Vec<Block>, Vec<Block>) = beside.into_iter().partition(table);
    let mut items = vec![Item::Beside(picture, beside)];
    items.extend(below.into_iter().map(Item::Block));
    items.extend(beside_steps(plan, None, &work.steps, width));
    let mut flow = Flow::new(paper);
    flow.opening(&said::capital(&plan.title), "For each student");
    flow.all(&[Set {
        items,
        ..Set::default()
    }]);
    flow.done()
}
