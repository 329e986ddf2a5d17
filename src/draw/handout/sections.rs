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
    room: Room<'a>,
    cut: Made<i64>,
    home: Made<([i64; 3], bool)>,
    sheets: Made<i64>,
    leaves: Made<[i64; 2]>,
    steps: Made<bool>,
    map: Made<()>,
}

/// What every part is made of, at whatever size.
struct Room<'a> {
    ask: &'a Ask<'a>,
    width: i64,
    leaves: Vec<view::Sides<'a>>,
}

/// What a part looks like at the sizes that it reads. It is handed these alone, so it can read no others.
struct Made<R>(Vec<(R, Vec<Set>)>);

impl<R: Copy + PartialEq> Made<R> {
    fn at(
        &mut self,
        room: &mut Room<'_>,
        read: R,
        make: fn(&mut Room<'_>, R) -> Vec<Set>,
    ) -> Vec<Set> {
        if let Some((_, sets)) = self.0.iter().find(|it| it.0 == read) {
            return sets.clone();
        }
        let sets = make(room, read);
        self.0.push((read, sets.clone()));
        sets
    }
}

impl<'a> Sections<'a> {
    pub(super) fn new(ask: &'a Ask<'a>, width: i64) -> Sections<'a> {
        let frames = ask.plan.frames.iter().filter(|it| !view::is_plain(it));
        let leaves = frames.map(|frame| view::Sides::new(ask.plan, frame, width));
        Sections {
            room: Room {
                ask,
                width,
                leaves: leaves.collect(),
            },
            cut: Made(Vec::new()),
            home: Made(Vec::new()),
            sheets: Made(Vec::new()),
            leaves: Made(Vec::new()),
            steps: Made(Vec::new()),
            map: Made(Vec::new()),
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
        let asked = parts.into_iter().filter(|it| self.room.ask.has(*it));
        let asked: Vec<Part> = asked.collect();
        let all = asked.into_iter().flat_map(|part| self.part(part, sizes));
        all.filter(|set| !set.items.is_empty()).collect()
    }

    fn part(&mut self, part: Part, sizes: Sizes) -> Vec<Set> {
        let (room, at) = (&mut self.room, sizes);
        match part {
            Part::Cut => self.cut.at(room, at.album, cut),
            Part::Home => (self.home).at(room, ([at.album, at.leaf, at.open], at.brief), home),
            Part::Sheets => self.sheets.at(room, at.sheet, of_sheets),
            Part::Leaves => self.leaves.at(room, [at.leaf, at.open], leaves),
            Part::Steps => self.steps.at(room, at.brief, building),
            _ => self.map.at(room, (), facing),
        }
    }
}

/// The album, what to watch, what to cut and to have.
fn cut(room: &mut Room<'_>, high: i64) -> Vec<Set> {
    let Ask {
        album,
        plan,
        answer,
        ..
    } = *room.ask;
    let width = room.width;
    let picture = closed(plan, width * 9 / 20, high, true);
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
fn home(room: &mut Room<'_>, ([high, leaf, open], brief): ([i64; 3], bool)) -> Vec<Set> {
    let (ask, width) = (room.ask, room.width);
    let plan = ask.plan;
    let beside = lists::of_one(ask.album, plan);
    // No higher than what is said beside it.
    let picture = |high: i64| closed(plan, width * 2 / 5, high, false);
    let room = width - picture(high).width.nm() - BETWEEN;
    let picture = picture(high.min(strips::height(&beside, room)));
    let drawings = Item::Row(measured(plan, [leaf + 30 * MM, open * 3 / 2]));
    let measures = Set {
        part: "measures",
        beside: true,
        ..titled("Measures", vec![drawings])
    };
    let mut first = vec![Item::Beside(picture, beside)];
    let legend = look::legend(plan, width).filter(|_| !brief);
    first.extend(legend.map(|it| Item::Row(vec![it])));
    vec![titled("", first), measures]
}

fn of_sheets(room: &mut Room<'_>, high: i64) -> Vec<Set> {
    let ask = room.ask;
    let set = |answer: Answer<'_>| {
        let figures = cutting::figures(ask.plan.ruler, answer, high);
        let items = vec![words(sheets::words(answer.order)), Item::Row(figures)];
        Set {
            part: "sheets",
            ..titled("How to cut the sheets", items)
        }
    };
    ask.answer.map(set).into_iter().collect()
}

/// Leaves from both sides and cut open, and photos on their mats.
fn leaves(room: &mut Room<'_>, [high, open_high]: [i64; 2]) -> Vec<Set> {
    let (ask, width) = (room.ask, room.width);
    let plan = ask.plan;
    let mut all = Vec::new();
    for sides in &mut room.leaves {
        let frame = sides.frame;
        let title = match frame.leaf {
            Some(leaf) => front::kind(plan, leaf),
            None => said::capital(&frame.titles[0]),
        };
        let sides = sides.at(high).to_vec();
        all.push(titled(&title, vec![Item::Row(sides)]));
    }
    let mut open = profile::figures(plan, open_high);
    let mut mounts = match ask.has(Part::Steps) && beside_step(plan) {
        true => Vec::new(),
        false => mount::figures(plan, 40 * MM, open_high.min(48 * MM)),
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

fn building(room: &mut Room<'_>, brief: bool) -> Vec<Set> {
    let (ask, width) = (room.ask, room.width);
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
    for step in steps.iter_mut().filter(|_| brief) {
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
fn facing(room: &mut Room<'_>, (): ()) -> Vec<Set> {
    let (plan, width) = (room.ask.plan, room.width);
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
