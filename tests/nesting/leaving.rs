//! A plain reference for offcuts: every cut at every tick, with the largest part that is left whole.

use std::collections::HashMap;
use tuckwright::nest::{Cutting, Divides, Job, Stages, Stock};

type Counts = Vec<u64>;
/// What can be cut from a part, and the most area that one offcut of it then has.
type Left = HashMap<Counts, u64>;
/// Sides, the direction of the next cut with the stages that are left.
type Part = (u64, u64, Option<(Divides, u32)>);

struct Sheet<'a> {
    job: &'a Job,
    stock: &'a Stock,
    /// Offcuts with a shorter side do not count.
    least: u64,
    known: HashMap<Part, Left>,
}

fn put(all: &mut Left, counts: Counts, area: u64) {
    let most = all.entry(counts).or_insert(0);
    *most = area.max(*most);
}

impl Sheet<'_> {
    fn whole(&mut self) -> Left {
        let (width, height) = self.stock.trimmed().unwrap();
        let stages = match self.job.stages {
            Stages::Free => return self.part((width, height, None)),
            Stages::Three => 3,
            Stages::Two => 2,
        };
        let mut all = self.part((width, height, Some((Divides::Width, stages))));
        for (counts, area) in self.part((width, height, Some((Divides::Height, stages)))) {
            put(&mut all, counts, area);
        }
        all
    }

    fn part(&mut self, part: Part) -> Left {
        if let Some(known) = self.known.get(&part) {
            return known.clone();
        }
        let (width, height, stages) = part;
        let mut all = Left::from([(vec![0; self.job.pieces.len()], self.area(width, height))]);
        for (at, piece) in self.job.pieces.iter().enumerate() {
            let mut only = vec![0; self.job.pieces.len()];
            only[at] = 1;
            for (w, h, _) in piece.ways(self.stock) {
                let beside = |side: u64| side.saturating_sub(self.job.gap);
                if (w, h) == (width, height) {
                    put(&mut all, only.clone(), 0);
                } else if stages == Some((Divides::Width, 0)) && h == height && w < width {
                    if self.holds(width, w) {
                        put(&mut all, only.clone(), self.area(beside(width - w), height));
                    }
                } else if stages == Some((Divides::Height, 0))
                    && w == width
                    && h < height
                    && self.holds(height, h)
                {
                    put(&mut all, only.clone(), self.area(width, beside(height - h)));
                }
            }
        }
        let directions: Vec<Divides> = match stages {
            None => vec![Divides::Width, Divides::Height],
            Some((_, 0)) => Vec::new(),
            Some((divides, _)) => vec![divides],
        };
        for divides in directions {
            let upright = divides == Divides::Width;
            let length = if upright { width } else { height };
            let size = |along: u64| match upright {
                true => (along, height),
                false => (width, along),
            };
            let deeper = stages.map(|(_, left)| (divides.other(), left - 1));
            for at in self.job.narrowest.max(1)..length {
                if !self.holds(length, at) {
                    continue;
                }
                let (w, h) = size(at);
                let first = self.part((w, h, deeper));
                let rest = (length - at).saturating_sub(self.job.gap);
                let mut second = Left::from([(vec![0; self.job.pieces.len()], 0)]);
                if rest > 0 {
                    let (w, h) = size(rest);
                    second = self.part((w, h, stages));
                    for (counts, area) in self.part((w, h, deeper)) {
                        put(&mut second, counts, area);
                    }
                }
                join(self.job, &first, &second, &mut all);
            }
        }
        self.known.insert(part, all.clone());
        all
    }

    fn area(&self, width: u64, height: u64) -> u64 {
        match width.min(height) >= self.least {
            true => width * height,
            false => 0,
        }
    }

    fn holds(&self, length: u64, part: u64) -> bool {
        let rest = length - part;
        rest == 0 || self.job.narrowest <= 1 || rest >= self.job.gap + self.job.narrowest
    }
}

/// Everything that both give together, no more of a piece than is wanted.
fn join(job: &Job, first: &Left, second: &Left, all: &mut Left) {
    for (a, left) in first {
        for (b, more) in second {
            let sum = a.iter().zip(b).map(|(a, b)| a + b);
            let sum: Counts = sum.collect();
            if sum.iter().zip(&job.pieces).all(|(s, p)| *s <= p.count) {
                put(all, sum, *left.max(more));
            }
        }
    }
}

/// The most area of one offcut over all plans from as many sheets of each stock as the cuttings use;
/// those with a side shorter than `least` do not count.
pub fn most_left(job: &Job, cuttings: &[Cutting], least: u64) -> u64 {
    let nothing = vec![0; job.pieces.len()];
    let alike = job.pieces.iter().any(|p| p.most_alike.is_some());
    let mut all = Left::from([(nothing.clone(), 0)]);
    for (at, stock) in job.stocks.iter().enumerate() {
        let of = cuttings.iter().filter(|c| c.stock == at);
        let used: u64 = of.map(|c| c.times).sum();
        let mut sheet = Sheet {
            job,
            stock,
            least,
            known: HashMap::new(),
        };
        // What comes from this stock alone, for the spread over stocks.
        let mut here = Left::from([(nothing.clone(), 0)]);
        if used > 0 {
            let one = sheet.whole();
            for _ in 0..used {
                let mut more = Left::new();
                join(job, &here, &one, &mut more);
                here = more;
            }
        }
        if alike {
            here.retain(|counts, _| {
                let each = counts.iter().zip(&job.pieces);
                each.into_iter()
                    .all(|(c, p)| p.most_alike.is_none_or(|most| *c <= most))
            });
        }
        let mut more = Left::new();
        join(job, &all, &here, &mut more);
        all = more;
    }
    let wanted: Counts = job.pieces.iter().map(|p| p.count).collect();
    all.get(&wanted).copied().expect("the cuttings are a plan")
}
