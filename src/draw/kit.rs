//! Pages of a class: those of whoever teaches, with the sheets to cut and a template, and two with drawings for
//! each student.

use super::closed::closed;
use super::cutting;
use super::flow::{BETWEEN, Flow, Item, Set};
use super::handout::{beside_step, beside_steps};
use super::list::{Document, Page};
use super::paper::{self, MM, Paper};
use super::{look, mount, pieces, template, view};
use crate::cut::Answer;
use crate::length::Ruler;
use crate::plan::Plan;
use crate::report::handout::kit::Work;
use crate::report::handout::{Block, Section, said, sheets, steps};

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
        let mut own = own(paper, student);
        paper::number(&student.plan.title, &mut own);
        pages.extend(own);
    }
    Document {
        title: title.to_owned(),
        language: "en",
        pages,
    }
}

/// On two pages, or on as few as there can be: all drawings before those that steps name alone, then the largest
/// drawings, then the largest picture of the album, and the look of each paper where that has room.
fn own(paper: Paper, student: &Student<'_>) -> Vec<Page> {
    let drawn = |all: bool, side: i64| drawings(paper, student.plan, all, side * MM);
    let smallest = of_student(paper, student, &drawn(false, 50), (50 * MM, false));
    let fewest = smallest.len().max(PAGES);
    for (all, side) in [
        (true, 95),
        (true, 75),
        (false, 95),
        (false, 75),
        (false, 50),
    ] {
        let drawings = drawn(all, side);
        for (high, legend) in [(110, true), (80, true), (50, true), (50, false)] {
            let pages = of_student(paper, student, &drawings, (high * MM, legend));
            if pages.len() <= fewest {
                return pages;
            }
        }
    }
    smallest
}

/// Sides with their measures, no higher than so much (nanometres), all or those to which a step sends; photos on
/// their mats, unless they stand beside their step.
fn drawings(paper: Paper, plan: &Plan, all: bool, high: i64) -> Vec<Page> {
    let wide = (paper.column().width() - BETWEEN) / 2;
    let sides = plan.frames.iter().flat_map(|frame| {
        let first = pieces::turned(plan, frame);
        [first, !first].map(|back| (frame, back))
    });
    let shown = sides.filter(|(frame, back)| {
        let more = all && !view::is_plain(frame) && !view::in_the_middle(frame, *back);
        more || steps::sends_to(plan, frame, *back)
    });
    let sides = shown.map(|(frame, back)| view::side(plan, frame, back, wide, high));
    let mounts = match beside_step(plan) {
        true => Vec::new(),
        false => mount::figures(plan, 40 * MM, 34 * MM),
    };
    sides.chain(mounts).collect()
}

fn of_student(
    paper: Paper,
    student: &Student<'_>,
    drawings: &[Page],
    (high, legend): (i64, bool),
) -> Vec<Page> {
    let Student { plan, kit, work } = student;
    let width = paper.column().width();
    let picture = closed(plan, width * 2 / 5, high, false);
    let heading = Block::Heading(kit.title.clone());
    let beside: Vec<Block> = std::iter::once(heading).chain(kit.blocks.clone()).collect();
    // A table needs the whole width; what stands before it goes beside the picture.
    let table = |block: &Block| matches!(block, Block::Table(_));
    let (below, beside): (Vec<Block>, Vec<Block>) = beside.into_iter().partition(table);
    let mut items = vec![Item::Beside(picture, beside)];
    let legend = look::legend(plan, width).filter(|_| legend);
    items.extend(legend.map(|it| Item::Row(vec![it])));
    items.extend(below.into_iter().map(Item::Block));
    items.extend(beside_steps(plan, None, &work.steps, width));
    let mut flow = Flow::new(paper);
    flow.opening(&said::capital(&plan.title), "For each student");
    let mut sets = vec![Set {
        items,
        ..Set::default()
    }];
    if !drawings.is_empty() {
        sets.push(Set {
            title: "Measures".to_owned(),
            items: vec![Item::Row(drawings.to_vec())],
            ..Set::default()
        });
    }
    flow.all(&sets);
    flow.done()
}
