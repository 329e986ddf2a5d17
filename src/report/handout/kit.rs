//! Kits for a class: what whoever teaches cuts, buys, hands out and when; what a student finds in a kit and
//! does with it. Imports what this folder has.

use super::said::sized;
use super::{Block, Bullet, Section, Table, lists, sheets, steps, tidy};
use crate::album::Album;
use crate::cut::Answer;
use crate::length::Interval;
use crate::plan::Plan;
use crate::price::time::Timed;
use crate::price::weight::{Line, Weight, What};
use crate::report::words::{capital, count};
use crate::style::parts::{Shows, Uses};

/// A class: one album for each student, and spare kits.
#[derive(Clone, Copy, Debug)]
pub struct Class<'a> {
    pub album: &'a Album,
    pub plan: &'a Plan,
    /// The sheets of all kits; `None` if nothing is cut.
    pub answer: Option<Answer<'a>>,
    pub steps: &'a [Timed],
    /// What one album is made of.
    pub weight: &'a Weight,
    pub students: u64,
    pub spare: u64,
}

impl Class<'_> {
    fn kits(&self) -> u64 {
        self.students.saturating_add(self.spare)
    }

    /// `13 kits: 12 and 1 spare`.
    pub fn under(&self) -> String {
        let kits = count(whole(self.kits()), "kit", "kits");
        match self.spare {
            0 => kits,
            spare => format!("{kits}: {} and {spare} spare", self.students),
        }
    }
}

fn whole(n: u64) -> i64 {
    i64::try_from(n).unwrap_or(i64::MAX)
}

/// The page of whoever teaches.
pub fn teacher(class: Class<'_>) -> Vec<Section> {
    let section = |title: &str, blocks| {
        tidy(Section {
            title: title.to_owned(),
            blocks,
        })
    };
    vec![
        section(
            "To have or to buy, for all kits",
            vec![Block::List(Bullet::Tick, to_buy(class))],
        ),
        section("Cut before the class", beforehand(class)),
        section(
            "What each kit holds",
            vec![Block::List(Bullet::Tick, holds(class, true))],
        ),
        section("Time plan", clock(class)),
    ]
}

/// The pages of a student; what is checked after each step is left out, as someone stands by.
pub fn student(class: Class<'_>) -> Vec<Section> {
    let Class { album, plan, .. } = class;
    let mut all = vec![tidy(Section {
        title: "Your kit".to_owned(),
        blocks: vec![Block::List(Bullet::Tick, holds(class, false))],
    })];
    let mut pieces = lists::cutting(album, plan, None);
    pieces.title = "Your pieces, cut to size".to_owned();
    all.push(pieces);
    let mut blocks = Vec::new();
    for mut step in steps::steps(album, plan) {
        // The teacher has cut the papers and made the template.
        if step.uses != Some(Uses::Cut) && step.shows != Some(Shows::Template) {
            let check = |block: &Block| matches!(block, Block::List(Bullet::Tick, _));
            step.blocks.retain(|block| !check(block));
            blocks.extend(step.blocks);
        }
    }
    all.push(Section {
        title: "What to do".to_owned(),
        blocks,
    });
    all
}

/// `5 bags: small brown`.
fn thing(line: &Line, times: u64) -> String {
    let [one, more] = match line.what {
        What::Bags => ["bag", "bags"],
        What::Papers => ["piece", "pieces"],
        What::Cards => ["card", "cards"],
        What::Prints => ["print", "prints"],
        What::Rings => ["ring", "rings"],
    };
    let n = count(whole(line.count.saturating_mul(times)), one, more);
    match line.name.as_str() {
        "" => n,
        name => format!("{}: {n}", capital(name)),
    }
}

/// What a kit holds, with the number of its pieces or without.
fn holds(class: Class<'_>, pieces: bool) -> Vec<String> {
    let lines = class.weight.lines.iter();
    let lines = lines.filter(|line| pieces || line.what != What::Papers);
    lines.map(|line| thing(line, 1)).collect()
}

fn to_buy(class: Class<'_>) -> Vec<String> {
    let supplies = &class.album.supplies;
    let lines = class
        .weight
        .lines
        .iter()
        .filter(|line| line.what != What::Papers);
    let mut all: Vec<String> = Vec::new();
    for line in lines {
        let bag = supplies
            .bags
            .iter()
            .find(|bag| line.what == What::Bags && bag.name == line.name);
        let pack = bag
            .and_then(|bag| u64::try_from(bag.pack?).ok())
            .filter(|pack| *pack > 0);
        let packs = pack.map_or(String::new(), |pack| {
            let packs = line.count.saturating_mul(class.kits()).div_ceil(pack);
            format!(" ({} of {pack})", count(whole(packs), "pack", "packs"))
        });
        all.push(format!("{}{packs}", thing(line, class.kits())));
    }
    all.extend(class.answer.map_or(Vec::new(), |answer| {
        sheets::summary(class.plan.ruler, answer)
    }));
    all
}

fn beforehand(class: Class<'_>) -> Vec<Block> {
    let Some(answer) = class.answer else {
        return vec![Block::Text("Nothing is cut from sheets.".to_owned())];
    };
    let order = answer.order;
    let mut rows = Vec::new();
    for want in order.wants.iter().chain(&order.any_paper) {
        let papers = want.papers.iter().filter_map(|at| order.papers.get(*at));
        let papers: Vec<&str> = papers.map(|paper| paper.name.as_str()).collect();
        rows.push(vec![
            want.count.to_string(),
            sized(
                class.plan.ruler,
                Interval::exact(want.width),
                Interval::exact(want.height),
            ),
            papers.join(" or "),
            want.label(),
            (want.count / class.kits().max(1)).to_string(),
        ]);
    }
    let table = Table {
        head: ["Cut", "Width × height", "Paper", "For", "A kit"]
            .map(str::to_owned)
            .to_vec(),
        rows,
        numbers: vec![0, 4],
        bold: vec![0, 1],
        tick: true,
        ..Table::default()
    };
    vec![
        Block::Table(table),
        Block::Text("How to cut all sheets together: type “tuckwright cut” with the same copies and spare ones. Put the pieces of each kit into one of its bags.".to_owned()),
    ]
}

fn clock(class: Class<'_>) -> Vec<Block> {
    let mut rows = Vec::new();
    let (mut before, mut at) = (0_i64, 0_i64);
    let show = |minutes: i64| format!("{}:{:02}", minutes / 60, minutes % 60);
    for step in class.steps {
        let Some(minutes) = step.minutes else {
            rows.push(vec![
                "?".to_owned(),
                step.title.clone(),
                "no time is known".to_owned(),
            ]);
            continue;
        };
        if step.cuts || step.once {
            let times = if step.cuts { whole(class.kits()) } else { 1 };
            before = before.saturating_add(minutes.saturating_mul(times));
            continue;
        }
        rows.push(vec![
            show(at),
            step.title.clone(),
            format!("{minutes} minutes"),
        ]);
        at = at.saturating_add(minutes);
    }
    rows.push(vec![show(at), "All is done".to_owned(), String::new()]);
    let guessed = class
        .steps
        .iter()
        .any(|step| !step.said && step.minutes.is_some());
    let mut said = match before {
        0 => String::new(),
        before => format!(
            "Before the class: {} hours to cut for all kits and to make the template. ",
            show(before)
        ),
    };
    if guessed {
        said.push_str("These times are guesses for one album and practised hands: make one yourself first, and type what you needed into the album, below [minutes].");
    }
    let table = Table {
        head: ["At", "Step", "Takes"].map(str::to_owned).to_vec(),
        rows,
        ..Table::default()
    };
    vec![Block::Table(table), Block::Text(said)]
}
