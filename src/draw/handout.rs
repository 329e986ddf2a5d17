//! The printout as sections: texts and drawings in the order of work. `document` sets them on pages,
//! `html` writes them for a screen, `handout/sections` makes them.

mod sections;

use super::flow::{BETWEEN, Flow, Item, Set, contents};
use super::list::{Document, Page};
use super::paper::{self, MM, Paper};
use super::{outlines, strips, template};
use crate::album::Album;
use crate::cut::Answer;
use crate::length::Length;
use crate::plan::Plan;
use crate::report::handout::{Block, book, front, said};
use sections::{Sections, text};
pub(super) use sections::{beside_step, beside_steps};

/// A part of the printout.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// What stands first: the album, what to watch, what to cut and to have.
    Cut,
    Sheets,
    Leaves,
    Steps,
    Map,
    Template,
    Outlines,
    Rules,
    /// What stands first on the pages of one leaf that someone takes home, with its drawings.
    Home,
}

/// All parts with the words that a maker types for them.
pub const PARTS: [(&str, Part); 8] = [
    ("cut", Part::Cut),
    ("sheets", Part::Sheets),
    ("leaves", Part::Leaves),
    ("steps", Part::Steps),
    ("map", Part::Map),
    ("template", Part::Template),
    ("outlines", Part::Outlines),
    ("rules", Part::Rules),
];

/// The parts of the usual printout; outlines then only of what is no plain rectangle.
pub const USUAL: [Part; 7] = [
    Part::Cut,
    Part::Sheets,
    Part::Leaves,
    Part::Steps,
    Part::Map,
    Part::Template,
    Part::Outlines,
];

/// The pages of one leaf, of a plan that holds it alone.
pub const HOME: [Part; 3] = [Part::Home, Part::Steps, Part::Template];

/// What is printed.
#[derive(Clone, Copy)]
pub struct Ask<'a> {
    pub album: &'a Album,
    pub plan: &'a Plan,
    /// How the sheets are cut, where that is known.
    pub answer: Option<Answer<'a>>,
    /// These parts; `None` for the usual ones.
    pub parts: Option<&'a [Part]>,
}

impl Ask<'_> {
    fn has(&self, part: Part) -> bool {
        match self.parts {
            Some(parts) => parts.contains(&part),
            None => USUAL.contains(&part),
        }
    }
}

/// How large drawings are: the album on the first page, a sheet, a leaf, a leaf cut open (nanometres).
#[derive(Clone, Copy, PartialEq, Eq)]
struct Sizes {
    album: i64,
    sheet: i64,
    leaf: i64,
    open: i64,
    /// What to check after each step is left out.
    brief: bool,
}

/// From the largest to the smallest that is good to work from.
const SIZES: [Sizes; 8] = [
    size(112, 64, 125, 62),
    size(104, 62, 112, 56),
    size(96, 60, 100, 50),
    size(92, 57, 90, 46),
    size(88, 55, 80, 42),
    size(84, 53, 76, 38),
    size(80, 52, 72, 35),
    size(78, 49, 72, 35),
];

const fn size(album: i64, sheet: i64, leaf: i64, open: i64) -> Sizes {
    Sizes {
        album: album * MM,
        sheet: sheet * MM,
        leaf: leaf * MM,
        open: open * MM,
        brief: false,
    }
}

/// What stands above everything, and the words under it.
pub fn heads(ask: &Ask<'_>) -> [String; 2] {
    match ask.has(Part::Home) {
        true => front::of_one(ask.plan),
        false => [said::capital(&ask.plan.title), front::under(ask.plan)],
    }
}

/// One way to lay it all out.
#[derive(Clone, Copy, Default)]
struct Way {
    /// Steps beside the template before the map, and after it.
    steps: (usize, usize),
    /// A heading may stand at the foot of a page with the first line below it alone.
    lone: bool,
}

/// Everything on pages: as few as there can be, and on them the largest drawings that take no page more.
pub fn document(paper: Paper, ask: &Ask<'_>) -> Document {
    let mut sections = Sections::new(ask, paper.column().width());
    let mut sizes = SIZES.to_vec();
    if ask.has(Part::Home) {
        sizes.extend(SIZES.map(|it| Sizes {
            brief: true,
            album: it.album * 2 / 3,
            ..it
        }));
        sizes.extend([72, 60, 50].map(|leaf| Sizes {
            brief: true,
            ..size(40, 49, leaf, 0)
        }));
    }
    let last = sizes[sizes.len() - 1];
    let smallest = sections.of(last);
    // How many steps stand beside the template before the map has its turn, and how many of the last
    // ones after it. A heading is left alone with a line at the foot of a page only to save one.
    let mut ways = [(2, 0), (1, 0), (0, 0), (1, 1), (1, 2), (2, 1), (2, 2)];
    if ask.has(Part::Home) {
        // What is moved last is the word of care.
        ways.swap(0, 1);
    }
    let ways = [false, true].map(|lone| ways.map(|steps| Way { steps, lone }));
    let tried = ways.as_flattened().iter();
    let tried = tried.map(|way| (*way, pages(paper, ask, &smallest, *way)));
    let (way, fewest) = tried
        .min_by_key(|(_, pages)| pages.len())
        .unwrap_or_default();
    let most = fewest.len();
    // The first of sizes, from the largest down, at which that holds: what is smaller seldom takes more pages.
    let mut largest = |sizes: &[Sizes]| {
        let (mut from, mut to, mut found) = (0, sizes.len(), None);
        while from < to {
            let middle = from.midpoint(to);
            let pages = pages(paper, ask, &sections.of(sizes[middle]), way);
            match pages.len() <= most {
                true => (to, found) = (middle, Some((sizes[middle], pages))),
                false => from = middle + 1,
            }
        }
        found
    };
    let found = largest(&sizes[..sizes.len() - 1]);
    let (mut now, mut pages) = found.unwrap_or((last, fewest));
    // What one kind of drawing leaves free, another may take.
    let parts: [fn(&mut Sizes) -> &mut i64; 4] = [
        |it| &mut it.leaf,
        |it| &mut it.open,
        |it| &mut it.sheet,
        |it| &mut it.album,
    ];
    for part in parts {
        let larger = SIZES.map(|mut it| *part(&mut it)).into_iter();
        let larger = larger.filter(|it| *it > *part(&mut now.clone()));
        let larger = larger.map(|size| {
            let mut sizes = now;
            *part(&mut sizes) = size;
            sizes
        });
        (now, pages) = largest(&larger.collect::<Vec<_>>()).unwrap_or((now, pages));
    }
    paper::number(&ask.plan.title, &mut pages);
    Document {
        title: ask.plan.title.clone(),
        language: "en",
        pages,
    }
}

fn pages(
    paper: Paper,
    ask: &Ask<'_>,
    sections: &[Set],
    Way {
        steps: (beside, after),
        lone,
    }: Way,
) -> Vec<Page> {
    let plan = ask.plan;
    // Some drawings stand beside the template where they have room there.
    let mut more: Vec<Page> = Vec::new();
    for set in sections.iter().filter(|set| set.beside) {
        let first = more.len();
        more.extend(set.items.iter().filter_map(Item::row).flatten().cloned());
        if let Some(page) = more.get_mut(first).filter(|_| !ask.has(Part::Home)) {
            *page = headed(&set.title, page);
        }
    }
    let drawn = !more.is_empty();
    let mut after = last_steps(sections, after);
    more.extend(after.iter().map(|(page, _)| page.clone()));
    let of_steps = sections.iter().flat_map(|set| &set.of_template);
    let of_steps: Vec<Vec<Block>> = of_steps.cloned().collect();
    let here = of_steps.len().saturating_sub(beside);
    let mut words = of_steps[here..].to_vec();
    let (templates, beside_at) = match ask.has(Part::Template) {
        true => template::pages(paper, plan, &mut words, &mut more),
        false => (Vec::new(), 0),
    };
    let moved = match templates.is_empty() || !words.is_empty() {
        true => &[],
        false => &of_steps[here..],
    };
    let drawn = drawn && more.is_empty();
    if !drawn {
        after.clear();
    }
    let moved = moved.iter().chain(after.iter().map(|(_, blocks)| blocks));
    let moved: Vec<Vec<Block>> = moved.cloned().collect();
    let mut flow = Flow::new(paper);
    flow.lone = lone;
    if ask.has(Part::Cut) || ask.has(Part::Home) {
        let [title, under] = heads(ask);
        flow.opening(&title, &under);
    }
    if ask.has(Part::Cut) {
        flow.contents();
    }
    let mut sets = sections.to_vec();
    let moved_parts = sets.iter().filter(|set| drawn && set.beside);
    let moved_parts: Vec<&'static str> = moved_parts.map(|set| set.part).collect();
    sets.retain(|set| !(drawn && set.beside));
    for set in sets.iter_mut().filter(|set| !set.of_template.is_empty()) {
        set.without(&moved);
    }
    flow.all(&sets);
    let (mut begins, place) = (std::mem::take(&mut flow.begins), flow.contents_at);
    let mut pages = flow.done();
    if !templates.is_empty() {
        let at = pages.len();
        begins.push(("template", at));
        begins.extend(moved_parts.into_iter().map(|part| (part, at + beside_at)));
    }
    pages.extend(templates);
    if let (Some(place), Some(first)) = (place, pages.first_mut()) {
        begins.retain(|(_, at)| *at > 0);
        contents(first, place, &begins);
    }
    if ask.has(Part::Outlines) {
        pages.extend(outlines::pages(paper, plan, ask.parts.is_some()));
    }
    if ask.has(Part::Rules) {
        let mut flow = Flow::new(paper);
        flow.set(&text(book(plan)));
        pages.extend(flow.done());
    }
    pages
}

/// The first drawing of a part, under the part's heading.
fn headed(title: &str, page: &Page) -> Page {
    let mut all = strips::column(&[Block::Heading(title.to_owned())], page.width.nm());
    let top = all.height.nm() + MM;
    all.put_figure(page, 0, top);
    all.height = Length::from_nm(top + page.height.nm());
    all
}

/// The last steps, each with its picture as one drawing, and its words.
fn last_steps(sections: &[Set], count: usize) -> Vec<(Page, Vec<Block>)> {
    let set = sections.iter().find(|set| !set.of_template.is_empty());
    let steps = set.into_iter().flat_map(|set| &set.items).rev();
    let steps = steps.filter_map(|item| match item {
        Item::Beside(picture, blocks) => Some((picture, blocks)),
        _ => None,
    });
    let mut last: Vec<(Page, Vec<Block>)> = steps.take(count).map(step_drawn).collect();
    last.reverse();
    last
}

fn step_drawn((picture, blocks): (&Page, &Vec<Block>)) -> (Page, Vec<Block>) {
    let mut page = Page::figure("", "");
    page.put_figure(picture, 0, 0);
    let left = match picture.width.nm() {
        0 => 0,
        wide => wide + BETWEEN,
    };
    let words = strips::column(blocks, BESIDE_TEMPLATE - left);
    page.put(&words, left, 0);
    page.width = Length::from_nm(BESIDE_TEMPLATE);
    page.height = words.height.max(picture.height);
    (page, blocks.clone())
}

/// How wide a step is that stands beside the template.
const BESIDE_TEMPLATE: i64 = 118 * MM;

/// What a screen shows: everything but what is drawn at true scale.
pub fn on_screen(ask: &Ask<'_>, width: i64) -> Vec<Set> {
    let mut all = Sections::new(ask, width).of(SIZES[1]);
    if ask.has(Part::Rules) {
        all.push(text(book(ask.plan)));
    }
    all
}
