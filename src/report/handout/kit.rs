//! Kits for a class: what whoever teaches cuts, buys, hands out and when; what a student finds in a kit and
//! does with it. Imports what this folder has.

use super::said::sized;
use super::{Block, Bullet, Section, Table, front, lists, steps, tidy};
use crate::album::Album;
use crate::cut::Answer;
use crate::length::{Interval, Ruler};
use crate::plan::Plan;
use crate::price::time::Timed;
use crate::price::weight::{Line, Weight, What};
use crate::report::place;
use crate::report::words::{capital, count, listed};
use crate::style::steps::{Shows, Uses};
use itertools::Itertools;

/// Students who make the same album, and spare kits of it.
#[derive(Clone, Copy, Debug)]
pub struct Class<'a> {
    pub album: &'a Album,
    pub plan: &'a Plan,
    pub steps: &'a [Timed],
    /// What one album is made of.
    pub weight: &'a Weight,
    pub students: u64,
    pub spare: u64,
}

/// All that are taught together.
#[derive(Clone, Copy, Debug)]
pub struct Room<'a> {
    pub classes: &'a [Class<'a>],
    /// The sheets of all kits; `None` if nothing is cut.
    pub answer: Option<Answer<'a>>,
    /// The shopping list for all kits.
    pub shopping: &'a [Section],
    pub ruler: Ruler,
}

impl Class<'_> {
    fn kits(&self) -> u64 {
        self.students.saturating_add(self.spare)
    }
}

impl Room<'_> {
    fn kits(&self) -> u64 {
        let kits = self.classes.iter().map(Class::kits);
        kits.fold(0, u64::saturating_add)
    }

    /// `13 kits: 12 and 1 spare`; of several kinds `13 kits: 5 of brown book and 8 of white book`.
    pub fn under(&self) -> String {
        let kits = count(self.kits(), "kit", "kits");
        match self.classes {
            [one] if one.spare == 0 => kits,
            [one] => format!("{kits}: {} and {} spare", one.students, one.spare),
            all => {
                let each = all.iter().map(|class| {
                    let spare = match class.spare {
                        0 => String::new(),
                        spare => format!(" ({spare} spare)"),
                    };
                    format!("{} of {}{spare}", class.kits(), class.plan.title)
                });
                format!("{kits}: {}", listed(&each.collect::<Vec<_>>()))
            }
        }
    }
}

/// The page of whoever teaches.
pub fn teacher(room: Room<'_>) -> Vec<Section> {
    let section = |title: &str, blocks| tidy(Section::new(title, blocks));
    let mut all = Vec::new();
    for Section { title, blocks } in room.shopping {
        let title = match title.as_str() {
            "" => "To have and to buy, for all kits",
            title => title,
        };
        let mut blocks = blocks.clone();
        for block in &mut blocks {
            if let (Block::List(bullet, _), true) = (block, title == "Buy") {
                *bullet = Bullet::Tick;
            }
        }
        all.push(section(title, blocks));
    }
    let plans = || room.classes.iter().map(|class| class.plan);
    let tools = plans().flat_map(lists::tools).unique().collect();
    all.push(section(
        "To lay out for each kit (tools can be shared)",
        vec![Block::List(Bullet::Tick, tools), front::care(plans())],
    ));
    let each = |of: &dyn Fn(Class<'_>) -> Vec<Block>| {
        let blocks = room.classes.iter().map(|class| {
            let mut blocks = of(*class);
            if room.classes.len() > 1 {
                blocks.insert(0, Block::Heading(class.plan.title.clone()));
            }
            blocks
        });
        blocks.flatten().collect::<Vec<Block>>()
    };
    let first = each(&|class| work(class).first);
    all.push(section("Make one first, and measure it", first));
    all.push(section("Cut before the class", beforehand(room)));
    let holds = each(&|class| vec![Block::List(Bullet::Tick, holds(class, true))]);
    all.push(section("What each kit holds", holds));
    all.push(section("Time plan", clock(room)));
    all
}

/// What is done with a kit.
pub struct Work {
    /// By whoever teaches, before anything is cut.
    pub first: Vec<Block>,
    /// The same, to make the template.
    pub template: Vec<Vec<Block>>,
    /// By a student.
    pub steps: Vec<steps::Step>,
}

/// Everything that is done, by the hand that does it. What a student checks after each step is left out, as
/// someone stands by.
pub fn work(class: Class<'_>) -> Work {
    let mut all = steps::steps(class.album, class.plan, false);
    all.retain(|step| step.uses != Some(Uses::Cut));
    steps::number(&mut all);
    let mut work = Work {
        first: Vec::new(),
        template: Vec::new(),
        steps: Vec::new(),
    };
    for mut step in all {
        if step.title.is_empty() || step.uses == Some(Uses::Measure) {
            work.first.extend(step.blocks);
        } else if step.shows == Some(Shows::Template) {
            work.template.push(step.blocks);
        } else {
            let check = |block: &Block| matches!(block, Block::List(Bullet::Tick, _));
            step.blocks.retain(|block| !check(block));
            work.steps.push(step);
        }
    }
    work
}

/// What a student finds in a kit.
pub fn found(class: Class<'_>) -> Section {
    let Class { album, plan, .. } = class;
    let blocks = vec![
        Block::List(Bullet::Tick, holds(class, false)),
        front::care([plan]),
        lists::of_kit(album, plan),
    ];
    tidy(Section::new(
        "Your kit, with its pieces cut to size",
        blocks,
    ))
}

/// `5 bags: small brown`.
fn thing(plan: &Plan, line: &Line) -> String {
    let [one, more] = match line.what {
        What::Bags => place::supply(plan),
        What::Papers => ["piece", "pieces"],
        What::Cards => ["card", "cards"],
        What::Prints => ["print", "prints"],
        What::Rings => ["ring", "rings"],
    };
    let n = count(line.count, one, more);
    match line.name.as_str() {
        "" if line.what == What::Papers => format!("Paper of your choice: {n}"),
        "" => n,
        name => format!("{}: {n}", capital(name)),
    }
}

/// What a kit holds, with its pieces and prints or without.
fn holds(class: Class<'_>, all: bool) -> Vec<String> {
    let lines = class.weight.lines.iter();
    let lines = lines.filter(|line| all || !matches!(line.what, What::Papers | What::Prints));
    let template = class.steps.iter().any(|step| step.once);
    let template = template.then(|| "Template: one, or a few that are handed round".to_owned());
    let lines = lines.map(|line| thing(class.plan, line));
    lines.chain(template).collect()
}

fn beforehand(room: Room<'_>) -> Vec<Block> {
    let Some(answer) = room.answer else {
        return vec![Block::text("Nothing is cut from sheets.")];
    };
    let order = answer.order;
    let kits = |album: usize| room.classes.get(album).map_or(1, |it| it.kits().max(1));
    let mut rows = Vec::new();
    let cut = order.wants.iter().chain(&order.any_paper);
    for want in cut.chain(&order.from_left) {
        let papers = want.papers.iter().filter_map(|at| order.papers.get(*at));
        let papers: Vec<&str> = papers.map(|paper| paper.name.as_str()).collect();
        rows.push(vec![
            want.count.to_string(),
            sized(
                room.ruler,
                Interval::exact(want.width),
                Interval::exact(want.height),
            ),
            papers.join(" or "),
            want.label(),
            (want.count / kits(want.album)).to_string(),
        ]);
    }
    let table = Table {
        numbers: vec![0, 4],
        bold: vec![0, 1],
        tick: true,
        ..Table::new(&["Cut", "Width × height", "Paper", "For", "A kit"], rows)
    };
    let bagged = |it: &Class<'_>| !it.plan.leaves.is_empty() && place::supply(it.plan)[0] == "bag";
    let kept = match room.classes.iter().any(bagged) {
        true => "Put the pieces of each kit into one of its bags.",
        false => "Keep the pieces of each kit together.",
    };
    vec![
        Block::Table(table),
        Block::text(format!("How to cut the sheets stands below. {kept}")),
    ]
}

/// When each step begins, an album beside the other.
fn clock(room: Room<'_>) -> Vec<Block> {
    let show = |minutes: i64| format!("{}:{:02}", minutes / 60, minutes % 60);
    let mut titles: Vec<&str> = Vec::new();
    for step in room.classes.iter().flat_map(|class| class.steps) {
        let taught = !step.cuts && !step.once;
        if taught && !titles.contains(&step.title.as_str()) {
            titles.push(&step.title);
        }
    }
    let mut rows: Vec<Vec<String>> = titles.iter().map(|it| vec![(*it).to_owned()]).collect();
    let mut last = vec!["All is done".to_owned()];
    let (mut before, mut guessed) = (0_i64, false);
    for class in room.classes {
        let mut at = 0_i64;
        let mut begins: Vec<(&str, String)> = Vec::new();
        for step in class.steps {
            guessed |= !step.said && step.minutes.is_some();
            let minutes = step.minutes.unwrap_or(0);
            if step.cuts || step.once {
                let kits = i64::try_from(class.kits()).unwrap_or(i64::MAX);
                let times = if step.cuts { kits } else { 1 };
                before = before.saturating_add(minutes.saturating_mul(times));
                continue;
            }
            let takes = match step.minutes {
                Some(minutes) => format!("{} ({minutes} minutes)", show(at)),
                None => format!("{} (no time is known)", show(at)),
            };
            begins.push((&step.title, takes));
            at = at.saturating_add(minutes);
        }
        for (row, title) in rows.iter_mut().zip(&titles) {
            let known = begins.iter().find(|(known, _)| known == title);
            row.push(known.map_or("-".to_owned(), |(_, takes)| takes.clone()));
        }
        last.push(show(at));
    }
    rows.push(last);
    let mut said = match before {
        0 => String::new(),
        before => format!(
            "Before the class: {} hours to cut for all kits and to make the templates. ",
            show(before)
        ),
    };
    if guessed {
        said.push_str("These times are guesses for one album and practised hands: make one yourself first, and type what you needed into the album, below [minutes].");
    }
    let heads = room.classes.iter().map(|class| match room.classes.len() {
        1 => "Begins at".to_owned(),
        _ => class.plan.title.clone(),
    });
    let table = Table {
        head: std::iter::once("Step".to_owned()).chain(heads).collect(),
        rows,
        ..Table::default()
    };
    vec![Block::Table(table), Block::Text(said)]
}
