//! What is left over: what is worth keeping, what it could still give, and a file of supplies that
//! says it to the next album.

use super::batch::{Batch, PaperPlan};
use super::{Order, Want};
use crate::length::{Length, Ruler};
use crate::nest::{self, Cutting, Job, Limits, Part, Piece, Stages, Stock, Trim, What};
use itertools::Itertools;
use num_integer::gcd;

/// What is narrower in either measure is waste: an inch, or 25 mm.
pub fn narrowest_kept(ruler: Ruler) -> Length {
    match ruler.is_metric() {
        true => Length::from_nm(25 * Length::MM.nm()),
        false => Length::INCH,
    }
}

/// Offcuts of one paper and size.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Left {
    /// Place in [`Order::papers`].
    pub paper: usize,
    pub width: Length,
    pub height: Length,
    pub count: u64,
    /// One of these is the largest single offcut of its paper.
    pub largest: Option<Largest>,
    /// It was at hand before, and was not cut.
    pub uncut: bool,
    /// What each of them could still give: place in [`Order::wants`], and how many.
    pub gives: Vec<(usize, u64)>,
}

/// How sure it is that the same sheets leave no larger offcut.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Largest {
    pub proved: bool,
    /// The kind of cuts that this is said of.
    pub stages: Stages,
}

impl Left {
    fn area(&self) -> i128 {
        i128::from(self.width.nm()) * i128::from(self.height.nm())
    }
}

/// Offcuts that are worth keeping, paper by paper, the largest first; those at hand that were not
/// needed among them.
pub fn left(order: &Order, batches: &[Batch], ruler: Ruler) -> Vec<Left> {
    let least = narrowest_kept(ruler);
    let mut all: Vec<Left> = Vec::new();
    let ways = batches.iter().map(Batch::plan);
    let plans = ways.flat_map(|way| way.papers.iter().map(|plan| (way.stages, plan)));
    let plans: Vec<(Stages, &PaperPlan)> = plans.collect();
    for &(stages, plan) in &plans {
        let mut here: Vec<Left> = Vec::new();
        for cutting in &plan.cuttings {
            each(&cutting.sheet, &mut |width, height| {
                let (width, height) = (plan.counted.length(width), plan.counted.length(height));
                put(&mut here, plan.paper, (width, height), cutting.times, false);
            });
        }
        here.extend(uncut(order, plan.paper, &plan.cuttings));
        here.sort_by_key(|l| (std::cmp::Reverse(l.area()), l.width));
        if let Some(first) = here.iter_mut().find(|l| !l.uncut) {
            first.largest = Some(Largest {
                proved: plan.kept_proved,
                stages,
            });
        }
        all.extend(here);
    }
    let idle = |paper: &usize| plans.iter().all(|(_, plan)| plan.paper != *paper);
    for paper in (0..order.papers.len()).filter(idle) {
        all.extend(uncut(order, paper, &[]));
    }
    all.retain(|l| l.width >= least && l.height >= least);
    for one in &mut all {
        one.gives = gives(order, one);
    }
    all
}

fn each(part: &Part, found: &mut impl FnMut(u64, u64)) {
    match &part.what {
        What::Piece { .. } => {}
        What::Offcut => found(part.width, part.height),
        What::Split { parts, .. } => parts.iter().for_each(|p| each(p, found)),
    }
}

fn put(all: &mut Vec<Left>, paper: usize, size: (Length, Length), count: u64, uncut: bool) {
    let same = |l: &&mut Left| (l.width, l.height) == size && l.uncut == uncut;
    match all.iter_mut().find(same) {
        Some(same) => same.count += count,
        None => all.push(Left {
            paper,
            width: size.0,
            height: size.1,
            count,
            largest: None,
            uncut,
            gives: Vec::new(),
        }),
    }
}

/// Offcuts at hand that stay as they are.
fn uncut(order: &Order, paper: usize, cuttings: &[Cutting]) -> Vec<Left> {
    let mut all = Vec::new();
    for (at, sheets) in order.papers[paper].sheets.iter().enumerate() {
        let of = cuttings.iter().filter(|c| c.stock == at);
        let used: u64 = of.map(|c| c.times).sum();
        let count = sheets.count.unwrap_or(0).saturating_sub(used);
        if sheets.offcut && count > 0 {
            put(&mut all, paper, (sheets.width, sheets.height), count, true);
        }
    }
    all
}

/// What an offcut could give more of: bands and what is tucked in, each alone, one line for each size.
fn gives(order: &Order, left: &Left) -> Vec<(usize, u64)> {
    let wants = order.wants.iter().chain(&order.any_paper).enumerate();
    // What is cut from named papers is cut from those alone.
    let of_it = |w: &Want| w.papers.is_empty() || w.papers.contains(&left.paper);
    let sizes = wants.filter(|(_, w)| w.loose && of_it(w));
    let sizes = sizes.unique_by(|(_, want)| (want.width, want.height));
    let found = sizes.map(|(at, want)| (at, most(order, left, want)));
    found.filter(|(_, most)| *most > 0).collect()
}

/// With more pieces than this across an offcut, only rows of them are looked at.
const FEW_ACROSS: i64 = 60;
/// And no longer than this, in nodes of the search.
const NODES_TO_GIVE: u64 = 500;

/// How many of one piece come out of an offcut.
fn most(order: &Order, left: &Left, want: &Want) -> u64 {
    let gap = order.trimmer.gap.nm();
    let narrowest = order.trimmer.narrowest.nm();
    let unit = [want.width.nm(), want.height.nm(), gap, narrowest];
    let unit = unit.into_iter().fold(0, gcd).max(1);
    let steps = |length: Length| u64::try_from(length.nm() / unit).unwrap_or(0);
    let job = Job {
        pieces: vec![Piece {
            name: String::new(),
            width: steps(want.width),
            height: steps(want.height),
            count: 1,
            turn: want.turn,
            value: Some(1),
            most_alike: None,
        }],
        stocks: vec![Stock {
            name: String::new(),
            width: steps(left.width),
            height: steps(left.height),
            count: Some(1),
            cost: 1,
            turn: !order.papers[left.paper].directed,
            trim: Trim::default(),
        }],
        stages: Stages::Three,
        gap: gap as u64 / unit as u64,
        narrowest: steps(order.trimmer.narrowest),
    };
    // On a sheet of very many positions rows of it are enough.
    let longest = left.width.max(left.height).nm();
    let few = longest / want.width.min(want.height).nm().max(1) <= FEW_ACROSS;
    let limits = Limits {
        nodes: if few { NODES_TO_GIVE } else { 0 },
        ..Limits::default()
    };
    // A piece that the offcut does not hold is an error of the question: there are none.
    nest::fill(&job, &limits).map_or(0, |fill| fill.value)
}

/// The offcuts as a file of supplies; nothing where none is worth keeping.
pub fn supplies(title: &str, order: &Order, left: &[Left], ruler: Ruler) -> Option<String> {
    if left.is_empty() {
        return None;
    }
    let quoted = |text: &str| toml::Value::String(text.to_owned()).to_string();
    let mut text = format!(
        "# Offcuts that are left of {}, each as it lies with its print upright.\n",
        title.replace(char::is_control, " ")
    );
    for one in left {
        let name = &order.papers[one.paper].name;
        text.push_str("\n[[offcut]]\n");
        if !name.is_empty() {
            text.push_str(&format!("paper = {}\n", quoted(name)));
        }
        let size = ruler.show_size(one.width, one.height);
        text.push_str(&format!(
            "size = {}\ncount = {}\n",
            quoted(&size),
            one.count
        ));
    }
    Some(text)
}
