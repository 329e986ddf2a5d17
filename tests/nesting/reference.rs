//! A plain reference: every cut at every tick, every set of pieces, every number of sheets.

use crate::Dice;
use std::collections::{BTreeSet, HashMap};
use tuckwright::nest::{Divides, Job, Piece, Stages, Stock, Trim};

type Counts = Vec<u64>;
type Sets = BTreeSet<Counts>;
/// A part's sides, and the direction of its next cut with the stages that are left; nothing: any.
type Part = (u64, u64, Option<(Divides, u32)>);

/// All that can be cut from sheets of one stock.
pub struct Reference<'a> {
    job: &'a Job,
    stock: &'a Stock,
    known: HashMap<Part, Sets>,
}

impl<'a> Reference<'a> {
    pub fn new(job: &'a Job, stock: &'a Stock) -> Self {
        Self {
            job,
            stock,
            known: HashMap::new(),
        }
    }

    /// Everything that one sheet can give, with no more of a piece than is wanted.
    pub fn sheet(&mut self) -> Sets {
        let (width, height) = self.stock.trimmed().unwrap();
        let stages = match self.job.stages {
            Stages::Free => return self.part(width, height, None),
            Stages::Three => 3,
            Stages::Two => 2,
        };
        let mut all = self.part(width, height, Some((Divides::Width, stages)));
        all.extend(self.part(width, height, Some((Divides::Height, stages))));
        all
    }

    /// `stages`: the direction of the next cut and how many stages are left; `None`: any cuts.
    fn part(&mut self, width: u64, height: u64, stages: Option<(Divides, u32)>) -> Sets {
        if let Some(known) = self.known.get(&(width, height, stages)) {
            return known.clone();
        }
        let mut sets = Sets::from([vec![0; self.job.pieces.len()]]);
        for (at, piece) in self.job.pieces.iter().enumerate() {
            let mut only = vec![0; self.job.pieces.len()];
            only[at] = 1;
            for (w, h, _) in piece.ways(self.stock) {
                let last_cut = match stages {
                    Some((Divides::Width, 0)) => h == height && self.holds(width, w),
                    Some((Divides::Height, 0)) => w == width && self.holds(height, h),
                    _ => false,
                };
                if (w, h) == (width, height) || last_cut {
                    sets.insert(only.clone());
                }
            }
        }
        let directions: Vec<Divides> = match stages {
            None => vec![Divides::Width, Divides::Height],
            Some((_, 0)) => Vec::new(),
            Some((divides, _)) => vec![divides],
        };
        for divides in directions {
            let length = if divides == Divides::Width {
                width
            } else {
                height
            };
            let size = |length: u64| match divides {
                Divides::Width => (length, height),
                Divides::Height => (width, length),
            };
            let deeper = stages.map(|(_, left)| (divides.other(), left - 1));
            for at in 1..length {
                if !self.holds(length, at) || at < self.job.narrowest {
                    continue;
                }
                let (w, h) = size(at);
                let first = self.part(w, h, deeper);
                let rest = (length - at).saturating_sub(self.job.gap);
                let mut second = Sets::from([vec![0; self.job.pieces.len()]]);
                if rest > 0 {
                    let (w, h) = size(rest);
                    // The rest is cut on in the same stage, or is a part of it itself.
                    second = self.part(w, h, stages);
                    second.extend(self.part(w, h, deeper));
                }
                for a in &first {
                    for b in &second {
                        let sum = a.iter().zip(b).zip(&self.job.pieces);
                        sets.insert(sum.map(|((a, b), p)| (a + b).min(p.count)).collect());
                    }
                }
            }
        }
        self.known.insert((width, height, stages), sets.clone());
        sets
    }

    fn holds(&self, length: u64, part: u64) -> bool {
        match length.checked_sub(part) {
            None => false,
            Some(0) => true,
            Some(rest) => self.job.narrowest <= 1 || rest >= self.job.gap + self.job.narrowest,
        }
    }
}

/// The least cost, by every choice of sheets; `None` if the sheets do not suffice.
pub fn least_cost(job: &Job) -> Option<u64> {
    let each = job.stocks.iter();
    let sheets: Vec<Sets> = each.map(|s| Reference::new(job, s).sheet()).collect();
    // What is reached at which cost with which sheets used up, cheapest first.
    let start = (
        0u64,
        vec![0u64; job.stocks.len()],
        vec![0; job.pieces.len()],
    );
    let mut open = BTreeSet::from([start]);
    let mut seen: BTreeSet<(Vec<u64>, Counts)> = BTreeSet::new();
    while let Some((cost, used, have)) = open.pop_first() {
        if have.iter().zip(&job.pieces).all(|(h, p)| *h >= p.count) {
            return Some(cost);
        }
        if !seen.insert((used.clone(), have.clone())) {
            continue;
        }
        for (at, stock) in job.stocks.iter().enumerate() {
            if stock.count.is_some_and(|count| used[at] >= count) {
                continue;
            }
            for more in &sheets[at] {
                let sum = have.iter().zip(more).zip(&job.pieces);
                let sum: Counts = sum.map(|((a, b), p)| (a + b).min(p.count)).collect();
                if sum == have {
                    continue;
                }
                let mut used = used.clone();
                // Unlimited stocks need no count.
                if stock.count.is_some() {
                    used[at] += 1;
                }
                open.insert((cost + stock.cost, used, sum));
            }
        }
    }
    None
}

/// A small job: a few pieces, one or two stocks; all that a job can say comes up.
pub fn small_job(dice: &mut Dice) -> Job {
    let gap = if dice.throw(0, 2) == 0 {
        dice.throw(1, 2)
    } else {
        0
    };
    let narrowest = if dice.throw(0, 3) == 0 {
        dice.throw(2, 3)
    } else {
        0
    };
    let pieces = (0..dice.throw(1, 3)).map(|at| Piece {
        name: format!("p{at}"),
        width: dice.throw(narrowest.max(1), 5),
        height: dice.throw(narrowest.max(1), 5),
        count: dice.throw(1, 3),
        turn: dice.throw(0, 1) == 1,
        value: None,
        most_alike: None,
    });
    let pieces = pieces.collect();
    let limited = dice.throw(0, 2) == 0;
    let stocks = (0..dice.throw(1, 2)).map(|at| Stock {
        name: format!("s{at}"),
        width: dice.throw(5, 8),
        height: dice.throw(5, 8),
        count: limited.then(|| dice.throw(1, 2)),
        cost: dice.throw(1, 3),
        turn: dice.throw(0, 2) > 0,
        trim: Trim {
            left: dice.throw(0, 4) / 4,
            bottom: dice.throw(0, 4) / 4,
            ..Trim::default()
        },
    });
    let stocks = stocks.collect();
    let stages = [Stages::Free, Stages::Three, Stages::Two];
    Job {
        pieces,
        stocks,
        stages: stages[dice.throw(0, 2) as usize],
        gap,
        narrowest,
    }
}
