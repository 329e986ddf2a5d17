//! The parts of the printout: what each says and draws, for pages of a width.

use super::super::closed::closed;
use super::super::flow::{BETWEEN, Item, Set};
use super::super::list::Page;
use super::super::paper::MM;
use super::super::{cutting, look, map, mount, pictures, pieces, profile, strips, view};
use super::{Ask, Part, Sizes};
use crate::cut::Answer;
use crate::plan::Plan;
use crate::report::handout::steps::{Shows, Uses};
use crate::report::handout::{Block, Bullet, Section, front, lists, openings, said, sheets, steps};
use crate::report::place;

pub(super) fn text(section: Section) -> Set {
    Set {
        title: section.title,
        items: section.blocks.into_iter().map(Item::Block).collect(),
        ..Set::default()
    }
}

/// Both sides of a leaf and its photos on their mats, each small enough to stand beside a template. Where
/// room is least, a side on which all lies in the middle is left to the words of the steps.
fn measured(plan: &Plan, [high, low]: [i64; 2]) -> Vec<Page> {
    let sides = plan.frames.iter().flat_map(|frame| {
        let first = pieces::turned(plan, frame);
        let all = low > 0 || !view::in_the_middle(frame, !first);
        let sides = [(first, high), (!first, low.max(52 * MM))];
        let sides = sides.into_iter().take(if all { 2 } else { 1 });
        sides.map(|(back, high)| view::side(plan, frame, back, high.max(70 * MM), high))
    });
    let sides: Vec<Page> = sides.collect();
    let mounts = mount::figures(plan, 40 * MM, if low > 0 { 40 * MM } else { 31 * MM });
    sides.into_iter().chain(mounts).collect()
}

/// A part with this title.
fn titled(title: &str, items: Vec<Item>) -> Set {
    Set {
        title: title.to_owned(),
        items,
        ..Set::default()
    }
}

fn words(said: String) -> Item {
    Item::Block(Block::Text(said))
}

/// Everything but what is drawn at true scale, for pages of a width. What stays as it is from size to size
/// is made once, however many are tried.
pub(super) struct Sections<'a> {
    ask: &'a Ask<'a>,
    width: i64,
    leaves: Vec<view::Sides<'a>>,
    made: Vec<(Part, Sizes, Vec<Set>)>,
}

impl<'a> Sections<'a> {
    pub(super) fn new(ask: &'a Ask<'a>, width: i64) -> Sections<'a> {
        let frames = ask.plan.frames.iter().filter(|it| !view::is_plain(it));
        Sections {
            ask,
            width,
            leaves: frames
                .map(|frame| view::Sides::new(ask.plan, frame, width))
                .collect(),
            made: Vec::new(),
        }
    }

    pub(super) fn of(&mut self, sizes: Sizes) -> Vec<Set> {
        let parts = [
            Part::Cut,
            Part::Home,
            Part::Sheets,
            Part::Leaves,
            Part::Steps,
            Part::Map,
        ];
        let asked = parts.into_iter().filter(|part| self.ask.has(*part));
        let mut all: Vec<Set> = asked.flat_map(|part| self.part(part, sizes)).collect();
        all.retain(|set| !set.items.is_empty());
        all
    }

    fn part(&mut self, part: Part, sizes: Sizes) -> Vec<Set> {
        let sizes = sizes.of(part);
        let same = |it: &&(Part, Sizes, _)| (it.0, it.1) == (part, sizes);
        if let Some((.., sets)) = self.made.iter().find(same) {
            return sets.clone();
        }
        let (ask, width) = (self.ask, self.width);
        let sets = match part {
            Part::Cut => cut(ask, sizes, width),
            Part::Home => home(ask, sizes, width),
            Part::Sheets => of_sheets(ask, sizes),
            Part::Leaves => leaves(ask, sizes, width, &mut self.leaves),
            Part::Steps => building(ask, sizes, width),
            _ => facing(ask, width),
        };
        self.made.push((part, sizes, sets.clone()));
        sets
    }
}

/// The album, what to watch, what to cut and to have.
fn cut(ask: &Ask<'_>, sizes: Sizes, width: i64) -> Vec<Set> {
    let Ask {
        album,
        plan,
        answer,
        ..
    } = *ask;
    let picture = closed(plan, width * 9 / 20, sizes.album, true);
    let mut beside = vec![Block::Heading(front::WATCH.to_owned())];
    beside.extend(front::watch(plan));
    let table = lists::table(album, plan, answer);
    // Where there is little to watch, the lists stand beside the picture, too.
    let whole = [beside.clone(), table.concat()].concat();
    let room = width - picture.width.nm() - BETWEEN;
    let short = strips::height(&whole, room) <= picture.height.nm() + 20 * MM;
    let mut words: Vec<Item> = front::words(plan).into_iter().map(Item::Block).collect();
    words.extend(look::legend(plan, width).map(|it| Item::Row(vec![it])));
    let (beside, title) = match short {
        true => (whole, "Words"),
        false => {
            words.insert(0, Item::Columns(table.to_vec()));
            (beside, lists::TABLE)
        }
    };
    vec![
        titled("", vec![Item::Beside(picture, beside)]),
        text(lists::cutting(album, plan, answer)),
        titled(title, words),
    ]
}

/// What stands first on the pages that someone takes home.
fn home(ask: &Ask<'_>, sizes: Sizes, width: i64) -> Vec<Set> {
    let plan = ask.plan;
    let beside = lists::of_one(ask.album, plan);
    // No higher than what is said beside it.
    let picture = |high: i64| closed(plan, width * 2 / 5, high, false);
    let room = width - picture(sizes.album).width.nm() - BETWEEN;
    let picture = picture(sizes.album.min(strips::height(&beside, room)));
    let drawings = Item::Row(measured(plan, [sizes.leaf + 30 * MM, sizes.open * 3 / 2]));
    let measures = Set {
        part: "measures",
        beside: true,
        ..titled("Measures", vec![drawings])
    };
    let mut first = vec![Item::Beside(picture, beside)];
    let legend = look::legend(plan, width).filter(|_| !sizes.brief);
    first.extend(legend.map(|it| Item::Row(vec![it])));
    vec![titled("", first), measures]
}

fn of_sheets(ask: &Ask<'_>, sizes: Sizes) -> Vec<Set> {
    let set = |answer: Answer<'_>| {
        let figures = cutting::figures(ask.plan.ruler, answer, sizes.sheet);
        let items = vec![words(sheets::words(answer.order)), Item::Row(figures)];
        Set {
            part: "sheets",
            ..titled("How to cut the sheets", items)
        }
    };
    ask.answer.map(set).into_iter().collect()
}

/// Leaves from both sides and cut open, and photos on their mats.
fn leaves(ask: &Ask<'_>, sizes: Sizes, width: i64, frames: &mut [view::Sides<'_>]) -> Vec<Set> {
    let plan = ask.plan;
    let mut all = Vec::new();
    for sides in frames {
        let frame = sides.frame;
        let title = match frame.leaf {
            Some(leaf) => front::kind(plan, leaf),
            None => said::capital(&frame.titles[0]),
        };
        let sides = sides.at(sizes.leaf).to_vec();
        all.push(titled(&title, vec![Item::Row(sides)]));
    }
    let mut open = profile::figures(plan, sizes.open);
    let mut mounts = match ask.has(Part::Steps) && beside_step(plan) {
        true => Vec::new(),
        false => mount::figures(plan, 40 * MM, sizes.open.min(48 * MM)),
    };
    if let Some(said) = profile::introduction(plan) {
        let both = open.iter().chain(&mounts).map(|it| it.width.nm() + BETWEEN);
        if both.sum::<i64>() <= width + BETWEEN {
            open.append(&mut mounts);
        }
        all.push(titled(profile::TITLE, vec![words(said), Item::Row(open)]));
    }
    if !mounts.is_empty() {
        all.push(titled("Photos on their mats", vec![Item::Row(mounts)]));
    }
    for set in &mut all {
        set.moves = true;
        set.part = match plan.leaves.is_empty() {
            true => "drawings",
            false => "leaves",
        };
    }
    all
}

fn building(ask: &Ask<'_>, sizes: Sizes, width: i64) -> Vec<Set> {
    let Ask {
        album,
        plan,
        answer,
        ..
    } = *ask;
    let mut steps = steps::steps(album, plan, answer.is_some());
    if ask.has(Part::Home) {
        steps::number(&mut steps);
    }
    for step in steps.iter_mut().filter(|_| sizes.brief) {
        let check = |block: &Block| matches!(block, Block::List(Bullet::Tick, _));
        step.blocks.retain(|block| !check(block));
    }
    let of_template = steps.iter().filter(|it| it.shows == Some(Shows::Template));
    let of_template = of_template.map(|step| step.blocks.clone());
    let mut of_template: Vec<Vec<Block>> = of_template.collect();
    // Whoever takes two pages home sees that these are the steps.
    let title = match ask.has(Part::Home) {
        true => "",
        false => "Building it, step by step",
    };
    let mut items = beside_steps(plan, answer, &steps, width);
    // Before the first knife, or beside the template if that saves a page.
    if ask.has(Part::Home) {
        let care = vec![front::care([plan])];
        items.insert(0, Item::Beside(Page::figure("", ""), care.clone()));
        of_template.insert(0, care);
    }
    let set = Set {
        part: "steps",
        of_template,
        ..titled(title, items)
    };
    vec![set]
}

/// What faces what.
fn facing(ask: &Ask<'_>, width: i64) -> Vec<Set> {
    let plan = ask.plan;
    if !place::opens(plan) {
        return Vec::new();
    }
    let mut cells = map::cells(plan);
    cells.extend(look::legend(plan, (width * 3 / 5).min(110 * MM)));
    let said = words(openings::introduction(plan));
    let set = Set {
        part: "map",
        beside: true,
        ..titled(openings::TITLE, vec![said, Item::Row(cells)])
    };
    vec![set]
}

/// Steps, each beside its picture.
pub(crate) fn beside_steps(
    plan: &Plan,
    answer: Option<Answer<'_>>,
    steps: &[steps::Step],
    width: i64,
) -> Vec<Item> {
    let item = |step: &steps::Step| {
        let picture = match step.uses {
            Some(Uses::Photos) if beside_step(plan) => mount::beside(plan),
            _ => {
                let text = strips::height(&step.blocks, width * 3 / 4);
                pictures::of_step(plan, answer, step, text)
            }
        };
        Item::Beside(picture, step.blocks.clone())
    };
    steps.iter().map(item).collect()
}

/// Photos on their mats stand beside their step: where several kinds of leaf are cut open, they have no
/// room there.
pub(crate) fn beside_step(plan: &Plan) -> bool {
    let photos = plan.leaves.iter().flat_map(|leaf| &leaf.inserts);
    let photos = photos.filter(|insert| insert.photo.is_some()).count();
    let step = plan.steps.iter().any(|it| it.uses == Some(Uses::Photos));
    step && plan.leaves.len() > 1 && (1..=2).contains(&photos)
}
